"""What a customer page says below its verdict: reserves, cautions, remedies, checks, sources."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from tubecalc.checks import CHECKS, evaluate
from tubecalc.checks.base import FAIL
from tubecalc.compare_words import differences
from tubecalc.explain import LIMIT_OF, assumptions, relax
from tubecalc.materials import materials
from tubecalc.need import Need
from tubecalc.share import joint_words
from tubecalc.share.bars import Reserve, number
from tubecalc.share.job_chart import least
from tubecalc.share.need_words import joined, sentence
from tubecalc.share.page_verdict import Told, governing, records
from tubecalc.tube import Tube
from tubecalc.verdict import STANDING_CAUTION, remedies


def reserves(told: Told) -> list[Reserve]:
    """Reserves of the tube the page tells of, worst first; what nothing drives is left out.

    Parameters
    ----------
    told : Told
        A job with a case.

    Returns
    -------
    list of Reserve
    """
    v = told.verdict(told.shown)
    out: dict[str, Reserve] = {}
    for row in sorted(records(v), key=lambda r: float(r["reserve"])):
        value = float(row["reserve"])
        if math.isfinite(value) and row["check"] not in out:
            out[row["check"]] = Reserve(
                CHECKS[row["check"]].label, value, row["check"] == v.governing,
                bool(row["advisory"]), str(row["grade"]),
            )  # fmt: skip
    joints = joint_words.bars(told.joints, told.judged, told.shown)
    if any(j.governing for j in joints):
        out = {k: replace(r, governing=False) for k, r in out.items()}
    every = [*out.values(), *joints]
    return sorted(every, key=lambda r: (not r.governing, r.advisory, r.value))


def cautions(told: Told, system: str) -> list[str]:
    """Cautions of the tube the page tells of, without the standing one of the foot.

    Parameters
    ----------
    told : Told
        The job.
    system : str
        Display system.

    Returns
    -------
    list of str
    """
    joints = joint_words.cautions(told.joints, told.judged, told.shown, system)
    minds = joint_words.minds(told.joints, told.shown)
    if not told.judged.need.cases:
        return joints + minds
    found = told.verdict(told.shown, system).cautions
    return joints + [sentence(c) for c in found if c != STANDING_CAUTION] + minds


def assumed(told: Told, system: str) -> list[str]:
    """Assumptions the result stands on, own remarks on the candidates included.

    Parameters
    ----------
    told : Told
        The job.
    system : str
        Display system.

    Returns
    -------
    list of str
    """
    return assumptions(told.judged.need, system) if told.judged.need.cases else []


def helps(told: Told, system: str) -> list[str]:
    """What would make the nearest tube pass; empty where it passes.

    Parameters
    ----------
    told : Told
        The job.
    system : str
        Display system.

    Returns
    -------
    list of str
        Sentences.
    """
    j, n = told.judged, told.shown
    if j.passes(n) is not False:
        return []
    return [sentence(x) for x in (*_sizes(j.tubes[n], j.need, system),
                                  *_relaxed(j.tubes[n], j.need, system))]  # fmt: skip


@lru_cache(maxsize=64)
def _sizes(tube: Tube, need: Need, system: str) -> list[str]:
    return remedies(tube, need, system=system)


def _relaxed(tube: Tube, need: Need, system: str) -> Iterator[str]:
    """What has to give, in one clause: all of it together."""
    failing = [o for o in evaluate(tube.candidates, need) if not o.advisory and o.reserve[0] < FAIL]
    failing.sort(key=lambda o: float(o.reserve[0]))
    steps: dict[tuple[str, str], str] = {}
    for o in failing:
        named = o.check in LIMIT_OF or o.check in ("service", "temperature", "whirl")
        key = (o.check, "") if named else ("load", o.case)
        steps.setdefault(key, relax(o, 0, need, system))
    if steps:
        yield f"or keep the tube and {joined(list(steps.values()))}"


def beside(told: Told, n: int, system: str) -> list[str]:
    """One of the other tubes against the one the page tells of.

    Parameters
    ----------
    told : Told
        The job.
    n : int
        Which tube.
    system : str
        Display system.

    Returns
    -------
    list of str
        Whether it passes and why, weight, bending.
    """
    out = []
    if told.judged.need.cases:
        v = told.verdict(n, system)
        row = governing(v)
        if v.passes:
            out.append(f"Passes; {row['label']} governs, {number(least(v))}." if row else "Passes.")
        else:
            out.append(f"Fails: {row['why']}." if row else "Fails.")
    out += [told.joint(n)] if told.joint(n) else []
    return out + differences(told.every[system], n, told.shown)[:2]


def checks(told: Told, system: str) -> list[tuple[str, ...]]:
    """Every check of the tube the page tells of, least reserve first.

    Parameters
    ----------
    told : Told
        A job with a case.
    system : str
        Display system.

    Returns
    -------
    list of tuple of str
        Way to fail, case, reserve, grade, expected error, reason.
    """
    rows = records(told.verdict(told.shown, system))
    own = [r["reserve"] for r in records(told.verdict(told.shown))]
    out: list[tuple[str, ...]] = joint_words.checks(told.joints, told.shown, system)
    for at in sorted(range(len(rows)), key=lambda k: float(own[k])):
        row = rows[at]
        if not math.isfinite(float(row["reserve"])):
            continue
        label = f"{row['label']}{' (advice)' if row['advisory'] else ''}"
        why = f"{row['why']}; {row['theory']}" if row["theory"] else str(row["why"])
        grade = "–" if row["range"] else str(row["grade"])
        error = "not known out here" if row["range"] else str(row["error"])
        out.append((label, str(row["case"]), number(float(row["reserve"])), grade, error,
                    sentence(why)))  # fmt: skip
    return out


def bases(told: Told) -> list[tuple[str, str]]:
    """What each check used rests on.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    list of (check, basis)
    """
    if not told.judged.need.cases:
        return []
    table = told.verdict(told.shown).table
    used = dict.fromkeys(table["check"][[math.isfinite(r) for r in table["reserve"]]])
    return [(CHECKS[c].label, sentence(CHECKS[c].basis)) for c in used]


@lru_cache(maxsize=1)
def _published() -> dict[str, tuple[str, str]]:
    """Name of every material that comes with tubecalc and where its values are from."""
    table = materials()
    out: dict[str, tuple[str, str]] = {}
    for key, name, source in zip(*(table[c].tolist() for c in ("key", "name", "source")),
                                 strict=True):  # fmt: skip
        found = out.get(key, (name, ""))[1]
        if source and source not in found.split("; "):
            found = f"{found}; {source}" if found else source
        out[key] = (name, found)
    return out


def origins(told: Told) -> list[tuple[str, str]]:
    """Where the values of the materials and the rules of the walls come from.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    list of (name, source)
    """
    out: dict[str, str] = {}
    for tube in told.judged.tubes:
        for ply in tube.layup.layers:
            if ply.key in _published():
                name, source = _published()[ply.key]
                out.setdefault(name, source)
            else:
                out.setdefault(ply.values.name or "own material", "as given with the job")
    for tube in told.judged.tubes:
        c = tube.construction
        said = dict.fromkeys(str(e.get("source", "")) for e in c.evidence)
        source = "; ".join(s for s in said if s) or "as given with the job"
        out.setdefault(f"{c.name}: rules and sizes", source)
    return [(name, sentence(source)) for name, source in out.items()]


__all__ = [
    "assumed", "bases", "beside", "cautions", "checks", "helps", "origins", "reserves",
]  # fmt: skip
