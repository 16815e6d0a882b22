"""The need as used, what to mind, and where every figure comes from, as tables."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from tubecalc.checks import CHECKS
from tubecalc.checks.registry import GRADES
from tubecalc.explain import assumptions
from tubecalc.materials import materials
from tubecalc.share import joint_words
from tubecalc.share.need_words import need_words, sentence
from tubecalc.share.page_reasons import helps
from tubecalc.share.page_verdict import Told, headline, lead
from tubecalc.share.sheet_cells import Column, Table, Value, held, number
from tubecalc.verdict import STANDING_CAUTION

OWN = "as given with the job"
OUTSIDE = "outside the range in which the check has been shown to hold: for orientation only"
_NEED = (Column("what", 28.0), Column("said", 105.0))


def version_line(when: str) -> str:
    """Program, version and date.

    Parameters
    ----------
    when : str
        ISO date.

    Returns
    -------
    str

    Examples
    --------
    >>> version_line("2026-11-25").split(", ")[1]
    '2026-11-25'
    """
    from tubecalc import __version__

    return f"tubecalc {__version__}, {when}"


def need(told: Told, when: str) -> Table:
    """The job in words: title, verdict, need, values as used, assumptions, what to mind.

    Parameters
    ----------
    told : Told
        The job.
    when : str
        ISO date.

    Returns
    -------
    Table
    """
    rows = [(held(a, 120), held(b)) for a, b in _need_rows(told, when) if b.strip()]
    return Table("need", _NEED, list(rows), filtered=False)


def _need_rows(told: Told, when: str) -> Iterator[tuple[str, str]]:
    job, own = told.job, told.job.units
    text = job.text
    yield "job", job.need.title
    yield "for", text.customer
    yield "reference", text.reference
    yield "from", text.author
    yield "computed with", version_line(when)
    yield "introduction", text.introduction
    yield "answer", " ".join(x for x in (headline(told, own), lead(told, own)) if x)
    for line in need_words(job.need, own):
        yield "need", line
    for name, value in _values(tomllib.loads(job.need.to_toml())):
        yield f"as used: {name}", value
    if job.need.cases:
        for line in assumptions(job.need, own):
            yield "assumption", sentence(line)
    for line in helps(told, own):
        yield "what would help", line
    for line, whose in _cautions(told).items():
        yield f"to mind, tube{'s' * (len(whose) > 1)} {_list(whose)}", sentence(line)
    joints = joint_words.cautions(told.joints, told.judged, told.shown, own)
    for line in (*joints, *joint_words.minds(told.joints, told.shown)):
        yield "to mind, joints", line
    yield "always", STANDING_CAUTION
    yield "closing words", text.closing


def _cautions(told: Told) -> dict[str, list[int]]:
    """Caution -> numbers of the tubes it is about."""
    out: dict[str, list[int]] = {}
    if told.judged.need.cases:
        for k, n in enumerate(told.order, 1):
            for line in told.verdict(n).cautions:
                if line != STANDING_CAUTION:
                    out.setdefault(line, []).append(k)
    return out


def _list(numbers: list[int]) -> str:
    """Numbers with runs drawn together.

    Examples
    --------
    >>> _list([1, 2, 3, 5])
    '1 to 3, 5'
    """
    runs: list[list[int]] = []
    for n in numbers:
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    return ", ".join(f"{r[0]} to {r[-1]}" if len(r) > 2 else ", ".join(map(str, r)) for r in runs)


def _values(table: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Every value of a need as written in its file."""
    for key, value in table.items():
        if key in ("format", "title"):
            continue
        if isinstance(value, list):
            for n, part in enumerate(value, 1):
                yield from ((f"{key} {n}, {a}", b) for a, b in _values(part))
        elif isinstance(value, Mapping):
            yield from ((f"{key}, {a}", b) for a, b in _values(value))
        else:
            words = {True: "yes", False: "no"}.get(value) if isinstance(value, bool) else None
            yield key.replace("_", " "), words or str(value)


# ---- sources ----------------------------------------------------------------------------
_SOURCES = (
    Column("what", 13.0), Column("name", 26.0), Column("item", 24.0), Column("value", 12.0, -1),
    Column("unit", 9.0), Column("least", 11.0, -1), Column("most", 11.0, -1), Column("basis", 10.0),
    Column("standing", 13.0), Column("source", 52.0), Column("place", 26.0), Column("note", 46.0),
)  # fmt: skip
_STANDINGS = {
    "SEEN": "read in the source that is named",
    "MEMORY": "recalled, the source was not at hand",
    "COMPUTED": "worked out from other values",
    "PRACTICE": "common practice of the trade, no source",
}
_BASES = {
    "typical": "what is usually measured; used for strengths",
    "minimum": "what a standard guarantees; shown, not used for the reserve",
    "nominal": "the value one calculates with",
}
_MEANINGS = (
    ("grade A / B", "the first is for composite tubes, the second for metal ones"),
    ("–", OUTSIDE),
    ("demand", "what is asked, factors included"),
    ("reserve", "what the tube can do over what is asked, factors included; 1 just passes"),
    ("strength", "of the section, short time at room temperature: yield of a metal, fibre failure "
                 "of a composite; buckling is not looked at"),
)  # fmt: skip


def sources(told: Told) -> Table:
    """Materials and constructions used, what each check rests on, and what the words mean.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    Table
    """
    used = _materials(told), _constructions(told), _checks(told), _words()
    return Table("sources", _SOURCES, [row for part in used for row in part])


def _row(what: str, name: str, item: str = "", *, basis: str = "", standing: str = "",
         source: str = "", place: str = "", note: str = "",
         numbers: tuple[Value, Value, Value] = (None, None, None), unit: str = "",
         ) -> tuple[Value, ...]:  # fmt: skip
    value, low, high = numbers
    return (
        what, held(name, 120), held(item, 120), value, held(unit, 40), low, high, held(basis, 120),
        held(standing, 40), held(source), held(place), held(note),
    )  # fmt: skip


def _materials(told: Told) -> Iterator[tuple[Value, ...]]:
    table = materials()
    known = set(table["key"])
    done: set[str] = set()
    for ply in (ply for tube in told.judged.tubes for ply in tube.layup.layers):
        if ply.key not in known:
            name = ply.values.name or "own material"
            if name not in done:
                yield _row("material", name, source=OWN)
            done.add(name)
        elif ply.key not in done:
            done.add(ply.key)
            for r in table[table["key"] == ply.key].to_dict("records"):
                yield _row(
                    "material", r["name"], str(r["property"]).replace("_", " "),
                    numbers=(number(r["value"]), number(r["low"]), number(r["high"])),
                    unit=_text(r["unit"]), basis=_text(r["basis"]), standing=_text(r["standing"]),
                    source=_text(r["source"]), place=_text(r["where"]), note=_text(r["note"]),
                )  # fmt: skip


def _text(value: object) -> str:
    """Text of a cell of a data table; nothing for what is not given."""
    return "" if value is None or (isinstance(value, float) and math.isnan(value)) else str(value)


def _constructions(told: Told) -> Iterator[tuple[Value, ...]]:
    made = {t.construction.key: t.construction for t in told.judged.tubes}
    for key, c in made.items():
        if key in told.job.walls or not c.evidence:
            yield _row("construction", c.name, "all fields", source=OWN)
            continue
        for e in c.evidence:
            items = ", ".join(str(f).replace("_", " ") for f in e.get("fields", ()))
            yield _row("construction", c.name, items, standing=str(e.get("standing", "")),
                       source=str(e.get("source", "")), note=str(e.get("note", "")))  # fmt: skip


def _checks(told: Told) -> Iterator[tuple[Value, ...]]:
    if not told.judged.need.cases:
        return
    used = dict.fromkeys(
        name
        for n in told.order
        for name, reserve in told.verdict(n).reserve.items()
        if not math.isinf(reserve)
    )
    for key in used:
        check = CHECKS[str(key)]
        holds = "; ".join(r.said(told.job.units) for r in check.ranges)
        yield _row(
            "check", check.label, "as advice" if check.advisory else "decides",
            standing="grade " + " / ".join(check.grades), source=check.basis,
            place=f"holds for {holds}" if holds else "",
            note=f"expected error: {check.error}",
        )  # fmt: skip


def _words() -> Iterator[tuple[Value, ...]]:
    for key, meaning in GRADES.items():
        yield _row("meaning", f"grade {key}", source=meaning)
    for name, meaning in _MEANINGS:
        yield _row("meaning", name, source=meaning)
    for key, meaning in _STANDINGS.items():
        yield _row("meaning", key, "standing", source=meaning)
    for key, meaning in _BASES.items():
        yield _row("meaning", key, "basis", source=meaning)


__all__ = ["OUTSIDE", "OWN", "need", "sources", "version_line"]
