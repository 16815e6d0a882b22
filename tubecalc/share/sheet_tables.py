"""Tubes and checks of a job as tables of real numbers, worded in its display system."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tubecalc.checks import CHECKS
from tubecalc.checks.base import FAIL
from tubecalc.checks.service import length_of
from tubecalc.compare_equal import value_of
from tubecalc.laminate.elastic import Array
from tubecalc.share import joint_words
from tubecalc.share.need_words import sentence
from tubecalc.share.page_verdict import Told, governing
from tubecalc.share.sheet_cells import Column, Table, Value, held, number
from tubecalc.unit_display import DISPLAY, in_unit, unit_label

PASSES, FAILS, UNJUDGED = "✓ passes", "✗ fails", "not judged"
HOLDS, WARNS, IDLE, UNKNOWN = "✓ holds", "! warns", "not asked", "not known"
# unit of the table of checks -> kind of quantity; every MPa in it is a pressure
_KIND_OF = {
    "N": "force", "N m": "moment", "mm": "length", "deg": "angle", "kg": "mass", "Hz": "frequency",
    "rpm": "speed", "degC": "temperature", "-": "number", "1e-6/K": "expansion", "MPa": "pressure",
}  # fmt: skip
_SCALE = {
    "mm": 1e-3, "deg": math.pi / 180, "rpm": math.pi / 30, "1e-6/K": 1e-6, "MPa": 1e6,
}  # fmt: skip
_STIFF = (
    ("axial stiffness EA", "EA", "force", 0),
    ("bending stiffness EI", "EI", "bending_stiffness", 1),
    ("torsional stiffness GJ", "GJ", "bending_stiffness", 1),
)
STRENGTHS = (
    ("tensile strength", "tension", "force", 0),
    ("compressive strength", "compression", "force", 0),
    ("bending strength", "bending", "moment", 1),
    ("torsional strength", "torsion", "torque", 1),
)
_REMARK = 500


@dataclass(frozen=True)
class _Filled:
    """A column with its cells, in the order of the candidates."""

    column: Column
    cells: list[Value]


def _measure(told: Told, name: str, values: Array, kind: str, decimals: int = -1) -> _Filled:
    """Column of a quantity in the unit of the job's display system."""
    system = told.job.units
    places = DISPLAY[system][kind].decimals if decimals < 0 else decimals
    head = f"{name} [{unit_label(kind, system) or '-'}]"
    cells = [number(in_unit(float(v), kind, system)) for v in values]
    tail = head[head.rindex(" ", 0, head.index("[") - 1) + 1 :] if " " in name else ""
    width = max(9.5, 0.92 * len(tail), *(len(w) + 2.5 for w in head.split()), *map(_room, cells))
    return _Filled(Column(head, width, places), list(cells))


def _room(value: Value) -> float:
    """Width that a number takes with its thousands set apart and its decimals."""
    return len(f"{value:,.2f}") + 1.0 if isinstance(value, float) else 0.0


def _words(head: str, width: float, cells: list[str]) -> _Filled:
    return _Filled(Column(head, width), list(cells))


def tubes(told: Told) -> Table:
    """One row a tube, the recommended first.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    Table
        Number, name, construction, sizes, mass, verdict, stiffness, strength, price, note.
    """
    j, job = told.judged, told.job
    count = range(len(j))
    s = j.candidates.sections
    place = {n: k for k, n in enumerate(told.order, 1)}
    filled = [
        _Filled(Column("number", 8.0, 0), [place[n] for n in count]),
        _words("tube", 25.0, [held(told.label(n), 120) for n in count]),
        _words("construction", 15.0, [held(c.wall, 120) for c in job.candidates]),
        _measure(told, "OD", 2 * s.ro, "length"), _measure(told, "bore", 2 * s.ri, "length"),
        _measure(told, "wall", s.t, "length"), _measure(told, "mass", j.mass, "linear_density"),
    ]  # fmt: skip
    if j.need.cases:
        long = in_unit(length_of(j.need), "length", job.units)
        name = f"mass of {round(long, 2):g} {unit_label('length', job.units)}"
        filled.append(_measure(told, name, j.mass * length_of(j.need), "mass"))
        filled += _verdicts(told)
    filled += [_measure(told, a, getattr(s, b), kind, d) for a, b, kind, d in _STIFF]
    strengths = [_measure(told, a, value_of(s, b), kind, d) for a, b, kind, d in STRENGTHS]
    filled += strengths
    missing = [
        ", ".join(x.column.head.split(" [")[0] for x in strengths if x.cells[n] is None)
        for n in count
    ]
    filled += _given(told, missing)
    order = told.order
    return Table(
        "tubes", tuple(x.column for x in filled),
        [tuple(x.cells[n] for x in filled) for n in order], frozen=2,
        bold=frozenset({0} if j.best >= 0 else ()),
    )  # fmt: skip


def _given(told: Told, missing: list[str]) -> list[_Filled]:
    """Price and remark of every tube, and what is not known of it."""
    job = told.job
    money = held(job.currency, 12)
    prices: list[Value] = [number(c.price) for c in job.candidates]
    out = []
    if any(p is not None for p in prices):
        unit = f"{money}/m" if money else "per m"
        out.append(_Filled(Column(f"price [{unit}]", 11.0, 2), prices))
    if any(missing):
        out.append(_words(UNKNOWN, 20.0, missing))
    return [*out, _words("note", 24.0, [held(c.note, _REMARK) for c in job.candidates])]


def _verdicts(told: Told) -> list[_Filled]:
    """Whether every tube passes, its reserve, what governs, and how far that is to be trusted."""
    count = range(len(told.judged))
    rows = [governing(told.verdict(n)) for n in count]
    found = [PASSES if told.judged.passes(n) else FAILS for n in count]
    reserves: list[Value] = [number(float(r["reserve"])) if r else None for r in rows]
    return [
        _words("result", 11.0, found),
        _Filled(Column("reserve [-]", 9.0, 2), reserves),
        _words("governed by", 15.0, [str(r["label"]) if r else "nothing asked" for r in rows]),
        _words("grade", 7.5, [_grade(r) if r else "–" for r in rows]),
        _words("expected error", 21.0, [_error(r) if r else "–" for r in rows]),
        *_joints(told),
    ]


def _joints(told: Told) -> list[_Filled]:
    """What the joints of every tube add to its verdict; nothing for a job without joints."""
    if not told.joints:
        return []
    return [_words("joint", 26.0, [held(told.joint(n), 200) for n in range(len(told.judged))])]


def _grade(row: dict[str, Any]) -> str:
    return "–" if row["range"] else str(row["grade"])


def _error(row: dict[str, Any]) -> str:
    return "not known out here" if row["range"] else str(row["error"])


def reserve_of_checks(told: Told) -> list[tuple[str, list[float | None]]]:
    """Least reserve of every tube by way to fail, in the order of the table of tubes.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    list of (label, reserves)
        Only ways to fail that at least one tube has a number for.
    """
    if not told.judged.need.cases:
        return []
    out = []
    for key, check in CHECKS.items():
        cells = [number(float(told.verdict(n).reserve.get(key, math.inf))) for n in told.order]
        if any(c is not None for c in cells):
            out.append((check.label, cells))
    return out


# ---- every check ------------------------------------------------------------------------
_CHECKS = (
    Column("number", 8.0, 0), Column("tube", 24.0), Column("way to fail", 19.0),
    Column("case", 14.0), Column("reserve [-]", 9.0, 2), Column("result", 10.0),
    Column("demand", 11.0, 2), Column("capacity", 11.0, 2), Column("unit", 7.0),
    Column("counts", 10.5), Column("grade", 7.0), Column("expected error", 30.0),
    Column("outside its range", 22.0), Column("reason", 58.0),
)  # fmt: skip


def checks(told: Told) -> Table:
    """Every check of every tube, the tubes by number, least reserve first.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    Table
        Demand includes the factors; demand and capacity stand in the unit beside them.
    """
    rows = [row for k, n in enumerate(told.order, 1) for row in _of_tube(told, k, n)]
    places = max(2, DISPLAY[told.job.units]["length"].decimals)
    columns = [
        replace(c, decimals=places) if c.head in ("demand", "capacity") else c for c in _CHECKS
    ]
    return Table("checks", tuple(columns), rows, frozen=3)


def _of_tube(told: Told, place: int, n: int) -> Iterator[tuple[Value, ...]]:
    joints = joint_words.checks(told.joints, n, told.job.units)
    for label, case, reserve, grade, error, why in joints:
        yield (place, held(told.label(n), 120), held(label, 120), case, *_joint_of(reserve), None,
               None, "", "decides", grade, held(error), "", held(why, _REMARK))  # fmt: skip
    if not told.judged.need.cases:
        return
    table = told.verdict(n).table
    columns = {name: table[name].tolist() for name in table.columns}
    reserves = [float(r) for r in columns["reserve"]]
    name = held(told.label(n), 120)
    for at in np.argsort(reserves, kind="stable").tolist():  # what is not known comes last
        row = {key: values[at] for key, values in columns.items()}
        why = f"{row['why']}; {row['theory']}" if row["theory"] else str(row["why"])
        yield (
            place, name, str(row["label"]), held(str(row["case"]), 120), number(reserves[at]),
            result(reserves[at], advisory=bool(row["advisory"])), *_measured(row, told.job.units),
            "as advice" if row["advisory"] else "decides", _grade(row), _error(row),
            held(str(row["range"])), held(sentence(why)),
        )  # fmt: skip


def _joint_of(reserve: str) -> tuple[Value, str]:
    """Reserve of a joint as a number, and its result in a word."""
    if reserve in ("✓", "✗", "–"):
        return None, {"✓": HOLDS, "✗": FAILS, "–": IDLE}[reserve]
    value = float(reserve.lstrip("> ").replace("\u202f", ""))
    return value, result(value, advisory=False)


def result(reserve: float, *, advisory: bool) -> str:
    """Result of one check in a word and a sign.

    Parameters
    ----------
    reserve : float
        Reserve factor [-].
    advisory : bool
        Whether it warns only.

    Returns
    -------
    str

    Examples
    --------
    >>> result(1.0, advisory=False), result(float("inf"), advisory=False)
    ('✓ holds', 'not asked')
    """
    if math.isnan(reserve):
        return UNKNOWN
    if math.isinf(reserve):
        return IDLE
    if reserve >= FAIL:
        return HOLDS
    return WARNS if advisory else FAILS


def _measured(row: dict[str, Any], system: str) -> tuple[Value, Value, Value]:
    """Demand, capacity and their unit in a display system; nothing for a rule."""
    unit = str(row["unit"])
    if row["check"] == "service" or unit not in _KIND_OF:
        return None, None, "rule"
    kind, scale = _KIND_OF[unit], _SCALE.get(unit, 1.0)
    demand, capacity = (
        number(in_unit(float(row[k]) * scale, kind, system)) for k in ("demand", "capacity")
    )
    return demand, capacity, unit_label(kind, system) or "-"


__all__ = [
    "FAILS", "HOLDS", "IDLE", "PASSES", "STRENGTHS", "UNJUDGED", "UNKNOWN", "WARNS", "checks",
    "reserve_of_checks", "result", "tubes",
]  # fmt: skip
