"""What a search says besides its rows: how sure it is, what fails, the front, one ply more."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import numpy as np

from tubecalc.checks import CHECKS
from tubecalc.explain import nothing_passes
from tubecalc.layup_search_bound import SPARE, Stacks, worst
from tubecalc.layup_search_check import Draft, Tried, full, merged
from tubecalc.layup_search_orders import obeys
from tubecalc.layup_search_run import Search
from tubecalc.layup_search_space import Words
from tubecalc.layup_search_wall import stack_text

NEAREST = 8  # stacks that are looked at in full where nothing passes
PLACES = 2  # most hopeful places of one ply more that are checked for true


def _many(number: float) -> str:
    return f"{number:,.0f}" if number < 1e15 else f"{number:.2g}"


def why(search: Search) -> str:
    """How sure the answer is, in one or two sentences.

    Parameters
    ----------
    search : Search
        A search that has run.

    Returns
    -------
    str
    """
    t, rows = search.tally, search.rows()
    beyond = t.by_set + t.by_stack + t.too_big
    number = "uncounted" if math.isnan(t.tubes) else _many(t.tubes)
    done = (
        f"{number} tubes (stacks times sizes); {_many(np.nan_to_num(beyond))} refuted by bounds "
        f"that are never too hard, {_many(t.checked)} put to the checks themselves"
    )
    if math.isnan(t.tubes):
        done = f"a space too large to count; {_many(t.checked)} tubes put to the checks themselves"
    if rows and search.proven:
        more = ""
        if math.isfinite(search.beyond):
            more = f" of at most {search.space.most_plies} plies (more weigh more)"
        return f"Proven: nothing lighter passes among {done}{more}."
    if not rows and search.exhausted:
        return f"Proven: nothing passes among {done}."
    cause = (
        "the search was stopped" if t.stopped else
        f"the limit was reached ({_many(search.most_checks)} full checks, or ten times as many "
        "that fail early)" if t.spent else
        "there are too many sets of plies to list, so the most hopeful were followed ply by ply"
        if not t.listed else "some sets of plies make too many stacks to look at them all"
    )  # fmt: skip
    lighter = " a lighter one may exist" if rows else " one that passes may exist"
    return f"Not proven: {cause};{lighter}. Looked at {done}."


# -- nothing passes ------------------------------------------------------------------------
def nearest(search: Search) -> list[Tried]:
    """Stacks that come nearest, checked in full, the nearest first.

    Parameters
    ----------
    search : Search
        A search that found nothing.

    Returns
    -------
    list of Tried
        At least one.
    """
    known = sorted(search.failing, key=lambda r: -r.reserve)[:NEAREST]
    drafts = [d for _, d in search.nearly][: NEAREST - len(known)]
    if not known and not drafts:
        drafts = _hopeful(search)
    rows = known + full(search.space, search.need, drafts)
    return sorted(rows, key=lambda r: (-np.nan_to_num(r.reserve, posinf=1e30), r.mass, r.word))


def _hopeful(search: Search) -> list[Draft]:
    """A hopeful order of the most hopeful sets."""
    rank = np.argsort(-np.nan_to_num(search.hope, posinf=1e30), kind="stable")
    some = [search.promising(combo) for combo in rank[:NEAREST].tolist()]
    return [d for d in some if d is not None]


def hint(search: Search, rows: list[Tried]) -> tuple[str, str]:
    """Name of the nearest tube and which check no stack can meet.

    Parameters
    ----------
    search : Search
        A search that found nothing.
    rows : list of Tried
        From `nearest`.

    Returns
    -------
    tuple of str
    """
    name, said = nothing_passes(merged(search.space, rows), search.need, search.system)
    said = said.removeprefix("Nothing passes. ")
    beyond = {k: v for k, v in search.most.items() if v < 1.0 - SPARE}
    what = "; ".join(
        f"{CHECKS[k].label} (the best of them has at most {v:.2g} of what is asked)"
        for k, v in sorted(beyond.items(), key=lambda x: x[1])
    )
    if what and search.tally.listed:
        return name, f"No stack of these plies on these sizes can meet: {what}. {said}"
    if what:
        return name, f"None of the stacks looked at can meet: {what}. {said}"
    if search.exhausted:
        return name, f"Every stack fails, not all of them in the same check. {said}"
    return name, f"Nothing was found, and not every stack was looked at. {said}"


# -- more mass, more reserve -----------------------------------------------------------------
def _row(search: Search, r: Tried) -> dict[str, Any]:
    text, materials = stack_text([search.space.letters[k] for k in r.word])
    return {
        "stack": text, "materials": materials, "id_mm": round(2e3 * r.ri, 6),
        "mass_kg_per_m": r.mass, "reserve": r.reserve, "passes": r.passes,
    }  # fmt: skip


def front(search: Search, steps: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """What no other stack looked at in full beats in both mass and reserve, lightest first.

    Parameters
    ----------
    search : Search
        A search that has run.
    steps : iterable of dict
        From `added`.

    Returns
    -------
    list of dict
        stack, materials, id_mm, mass_kg_per_m, reserve, passes.
    """
    seen = [r for some in search.passing.values() for r in some] + search.failing
    points = [_row(search, r) for r in _unbeaten(seen)]
    names = ("stack", "materials", "id_mm", "mass_kg_per_m", "reserve", "passes")
    points += [{k: s[k] for k in names} for s in steps]
    points.sort(key=lambda p: (p["mass_kg_per_m"], -p["reserve"]))
    out: list[dict[str, Any]] = []
    for p in points:
        if not out or p["reserve"] > out[-1]["reserve"]:
            out.append(p)
    return out


def _unbeaten(seen: list[Tried]) -> list[Tried]:
    out: list[Tried] = []
    for r in sorted(seen, key=lambda r: (r.mass, -r.reserve)):
        if not out or r.reserve > out[-1].reserve:
            out.append(r)
    return out


def _grown(search: Search, word: tuple[int, ...], unit: list[int]) -> list[tuple[int, ...]]:
    """A stack with one unit more, at every place."""
    out = set()
    for at in range(len(word) + 1):
        for plies in {tuple(unit), tuple(unit[::-1])}:
            new = word[:at] + plies + word[at:]
            if search.space.rules.symmetric:
                back = len(word) - at
                new = word[: min(at, back)] + plies + word[min(at, back) : max(at, back)]
                new += plies[::-1] + word[max(at, back) :]
            out.add(new)
    return sorted(w for w in out if obeys(search.space, w))


def added(search: Search, first: Tried) -> list[dict[str, Any]]:
    """What one ply more buys a stack, ply by ply, in the best of its most hopeful places.

    Parameters
    ----------
    search : Search
        A search that has run.
    first : Tried
        The stack.

    Returns
    -------
    list of dict
        ply, angle (both of a pair count as +), stack, materials, id_mm, mass_kg_per_m, mass_added,
        reserve, gain, passes; the most reserve per mass first.
    """
    space, out = search.space, []
    wall = sum(space.thickness[k] for k in first.word)
    for unit in space.units:
        plies = np.flatnonzero(unit).tolist()
        words: Words = np.array(_grown(search, first.word, plies), np.uint8)
        if not len(words):
            continue
        more = space.thickness[words[0]].sum() - wall
        ri = np.full(len(words), first.ri - (0.0 if space.bores else more))
        if ri[0] < 0:
            continue
        at = Stacks(words, space.thickness, ri)
        hope, mass, cost = (
            worst(search.hopes.reserves(at), len(ri)), search.hopes.mass(at), search.hopes.cost(at)
        )  # fmt: skip
        drafts = [
            Draft(float(mass[n]), float(cost[n]), float(hope[n]), -1, tuple(words[n].tolist()),
                  float(ri[n]))
            for n in np.argsort(-hope, kind="stable")[:PLACES].tolist()
        ]  # fmt: skip
        best = max(full(space, search.need, drafts), key=lambda r: r.reserve)
        one = space.letters[plies[0]]
        out.append(
            {"ply": one.key, "angle": one.angle, **_row(search, best),
             "mass_added": best.mass - first.mass, "gain": best.reserve - first.reserve}
        )  # fmt: skip
    return sorted(out, key=lambda s: -s["gain"] / s["mass_added"])


__all__ = ["added", "front", "hint", "nearest", "why"]
