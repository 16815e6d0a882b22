"""Columns of a table into the data of a curve: units, time stamps, marks, questions."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tubecalc.errors import InputError
from tubecalc.testing.curve import Choice, Column, OverRange, Question
from tubecalc.testing.curves_counts import per_step, zero_of
from tubecalc.testing.curves_heads import ROLES, Heading, Unit, clean, unit_of
from tubecalc.testing.curves_roles import Answers, Roles, heads_of, title
from tubecalc.testing.curves_table import Table
from tubecalc.testing.curves_time import ORDERS, seconds
from tubecalc.testing.curves_told import units_told
from tubecalc.testing.curves_units import readings, scaled

__all__ = ["Made", "make"]

Array = NDArray[np.float64]
_CHOICES = {
    "force": ("N", "kN", "daN", "kgf", "gf", "tf", "lbf", "kip"),
    "travel": ("mm", "in", "um", "cm", "m", "thou"),
    "torque": ("N m", "N mm", "kN m", "lbf in", "lbf ft", "kgf cm", "kgf m"),
    "angle": ("deg", "rad", "rev"),
    "stress": ("MPa", "psi", "ksi"),
    "strain": ("1", "%", "ppm"),
    "time": ("s", "ms", "min"),
}
_LENGTHS = ("travel", "extension", "deflection")


@dataclass
class Made:
    """What becomes of a table."""

    data: dict[str, Any] = field(default_factory=dict)
    columns: list[Column] = field(default_factory=list)
    over: list[OverRange] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)


def make(table: Table, roles: Roles, answers: Answers, label: str) -> Made:
    """Bring the columns of a table to the units of a curve.

    Parameters
    ----------
    table : Table
        As found in the file.
    roles : Roles
        What its columns are.
    answers : Answers
        Units the user said.
    label : str
        Name of the file, for refusals.

    Returns
    -------
    Made
        Data, columns, notes and questions.

    Examples
    --------
    >>> from tubecalc.testing.curves_roles import find_roles
    >>> from tubecalc.testing.curves_table import Found
    >>> rows = np.array([0.0, 1.0])
    >>> table = Table(["Weg", "Kraft"], ["mm", "kN"], [rows, rows], [Found(), Found()])
    >>> found = find_roles(table, Answers(), "a.csv")
    >>> make(table, found, Answers(), "a.csv").data["force_N"].tolist()
    [0.0, 1000.0]
    """
    out = Made()
    heads = heads_of(table)
    told = units_told(table.preamble)
    where: dict[int, tuple[str, str, float]] = {}
    for role, columns in roles.columns.items():
        for count, c in enumerate(columns, 1):
            if role not in ROLES:
                out.data[role] = table.values[c]
                where[c] = role, role, 1.0
                continue
            name = _name(role, count)
            values = table.values[c]
            if isinstance(values, list):
                made = _stamps(table, c, values, answers, out)
                if made is not None:
                    out.data[name], where[c] = made, (role, name, 1.0)
                continue
            unit, factor = _unit(table, heads[c], role, c, told, answers, out, label)
            if factor is None:
                where[c] = role, "", 1.0
                continue
            zero = zero_of(table, c, roles.used) if unit is None else None
            if zero is not None:
                values = values - zero[0]
                out.notes.append(f'{zero[1]} above the rows is taken off "{title(table, c)}".')
            out.data[name] = values if factor == 1.0 else values * factor
            where[c] = role, name, factor
            if unit and unit.weight and role in ("force", "torque"):
                out.notes.append(f'"{unit.text}" of "{title(table, c)}" is read as a weight.')
            _marks(table, c, name, factor, out)
    if "time_s" in out.data:
        out.data["time_s"] = _going_on(out.data["time_s"], out)
    for c, head in enumerate(heads):
        role, name, factor = where.get(c, ("", "", 1.0))
        unit_text = head.unit.text if head.unit else head.raw_unit
        out.columns.append(Column(title(table, c), unit_text, role, name, factor))
    return out


def _name(role: str, count: int) -> str:
    base = ROLES[role][0]
    if count == 1:
        return base
    stem, _, unit = base.partition("_")
    return f"{stem}_{count}" + (f"_{unit}" if unit else "")


def _unit(
    table: Table, head: Heading, role: str, c: int, told: dict[str, str], answers: Answers,
    out: Made, label: str,
) -> tuple[Unit | None, float | None]:  # fmt: skip
    """Unit of a column and its factor; None where it has to be asked."""
    argument = "extension_unit" if role == "deflection" else f"{role}_unit"
    said = answers.units.get(argument)
    if said:
        unit = unit_of(said) or scaled(said, said=True)
        if unit is None or not unit.fits(role):
            known = _CHOICES["travel" if role in _LENGTHS else role]
            raise InputError(
                f"is no unit of a {role}", where=f"{label}:{argument}", got=said,
                expected=" or ".join(known),
            )  # fmt: skip
        if head.unit and head.unit.factor != unit.factor:
            out.notes.append(f'"{title(table, c)}" is read in {said} as you said.')
        return unit, unit.of(role)
    if head.unit and head.unit.fits(role):
        return head.unit, head.unit.of(role)
    if not head.unit and not head.raw_unit and role in told:
        unit = unit_of(told[role])
        if unit and unit.fits(role):
            out.notes.append(f"The unit {unit.text} of the {role} stands above the headings.")
            return unit, unit.of(role)
    steps = per_step(table, head, role)
    if steps is not None:
        out.notes.append(f'"{title(table, c)}" counts steps; {steps[1]} stands above the rows.')
        return None, steps[0]
    choices = _CHOICES["travel" if role in _LENGTHS else role]
    in_what = f' "{head.raw_unit}" is no unit known here.' if head.raw_unit else ""
    scales = readings(head.raw_unit)
    in_what = f' "{head.raw_unit}" may be read in two ways.' if scales else in_what
    out.questions.append(
        Question(
            argument, f'In which unit is "{title(table, c)}" ({role})?{in_what}',
            (*(Choice(u, label) for u, label in scales), *(Choice(u, u) for u in choices)),
        )
    )  # fmt: skip
    return None, None


def _stamps(table: Table, c: int, values: list[str], answers: Answers, out: Made) -> Array | None:
    """Seconds of a column of time stamps."""
    found, choices, note = seconds(values, answers.units.get("time_unit", ""))
    if note:
        out.notes.append(note)
    if found is None:
        out.questions.append(
            Question(
                "time_unit", f'How is "{title(table, c)}" to be read, for example "{values[0]}"?',
                tuple(Choice(k, ORDERS[k]) for k in choices),
            )
        )  # fmt: skip
        return None
    return found if np.any(np.isfinite(found)) else None


def _limit(text: str) -> float:
    """Number of a mark that names the limit: "> 2000"; zero for none."""
    match = re.fullmatch(r"[>≥]=?\s*(\d+(?:[.,]\d+)?).*", text)
    return float(match[1].replace(",", ".")) if match else 0.0


def _marks(table: Table, c: int, name: str, factor: float, out: Made) -> None:
    """Say marks in place of numbers."""
    by_mark: dict[tuple[str, bool], list[int]] = {}
    for row, found in table.marks[c].marks.items():
        by_mark.setdefault(found, []).append(row)
    for (text, beyond), rows in sorted(by_mark.items()):
        out.over.append(OverRange(name, clean(text, 20), beyond, tuple(sorted(rows))))
        if not beyond:
            continue
        values = out.data[name]
        good = values[np.isfinite(values)]
        many = f"{len(rows)} row" + ("s" if len(rows) > 1 else "")
        top = max(float(np.abs(good).max()) if good.size else 0.0, _limit(text) * factor)
        out.notes.append(
            f'"{clean(text, 20)}" stands in {many} of "{title(table, c)}": beyond the '
            f"range of the sensor. The largest value is unknown, at least {top:.6g} "
            f"{name.partition('_')[2].replace('_', ' ')} in size."
        )


def _going_on(time: Array, out: Made) -> Array:
    """Time that goes on where the clock of the machine began again."""
    steps = np.diff(time)
    if steps.size and float(steps.min()) >= 0:
        return time
    back = np.flatnonzero(steps < 0)
    if not back.size or back.size > 20:
        if back.size:
            out.notes.append(f"The time steps back in {back.size} rows; it is kept as recorded.")
        return time
    made = time.copy()
    for at in back:
        usual = float(np.nanmedian(np.abs(steps)))
        made[at + 1 :] += made[at] + usual - made[at + 1]
        out.notes.append(f"The clock begins again at row {at + 2}; the time goes on in the data.")
    return made
