"""Which column is the load and which the way; where two would fit, the question."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from tubecalc.errors import InputError, unknown_key
from tubecalc.testing.curve import Choice, Question
from tubecalc.testing.curves_counts import counted_load
from tubecalc.testing.curves_heads import ROLES, Heading, clean, heading
from tubecalc.testing.curves_table import Table

__all__ = ["Answers", "Roles", "find_roles", "heads_of"]

Pick = str | int | None
_MANY = ("extension", "strain")  # several columns of these are several gauges
_ASKED = {
    "force": "Which column is the force?",
    "travel": "Which column is the travel?",
    "torque": "Which column is the torque?",
    "angle": "Which column is the angle?",
}


@dataclass
class Answers:
    """What the user said: column of a role, unit of a role."""

    columns: dict[str, Sequence[str | int]] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    split: str = ""


@dataclass
class Roles:
    """Role -> columns, with notes and questions."""

    columns: dict[str, list[int]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)

    @property
    def used(self) -> set[int]:
        """Columns that have a role."""
        return {c for found in self.columns.values() for c in found}

    def first(self, role: str) -> int | None:
        """Column of a role, None for none."""
        return self.columns[role][0] if self.columns.get(role) else None


def heads_of(table: Table) -> list[Heading]:
    """Headings of a table, its row of units read with them.

    Parameters
    ----------
    table : Table
        As found in the file.

    Returns
    -------
    list of Heading
        One a column.

    Examples
    --------
    >>> heads_of(Table(["Kraft"], ["kN"], [], []))[0].roles
    ('force',)
    """
    return [heading(n, u) for n, u in zip(table.names, table.units, strict=True)]


def title(table: Table, column: int) -> str:
    """Name of a column for people."""
    return clean(table.names[column]) or f"column {column + 1}"


def _pick(table: Table, wanted: str | int, role: str, label: str) -> int:
    """Column that the user named by heading or number from 1."""
    text = clean(wanted)
    names = [title(table, c) for c in range(len(table.names))]
    folded = [n.casefold() for n in names]
    if text.casefold() in folded:
        return folded.index(text.casefold())
    numbered = text.casefold().removeprefix("column").strip()
    if numbered.isdigit() and 1 <= int(numbered) <= len(names):
        return int(numbered) - 1
    raise unknown_key("column", text, names, where=f"{label}:{role}")


def _ask(table: Table, role: str, columns: Sequence[int], why: str = "") -> Question:
    choices = []
    for c in columns:
        values = table.values[c]
        extent = ""
        if not isinstance(values, list) and np.any(np.isfinite(values)):
            extent = f", {np.nanmin(values):.6g} to {np.nanmax(values):.6g}"
        unit = f" {table.units[c]}" if table.units[c] else ""
        value = title(table, c)
        if sum(title(table, k) == value for k in range(len(table.names))) > 1:
            value = str(c + 1)
        choices.append(Choice(value, f"{title(table, c)} (column {c + 1}{extent}{unit})"))
    return Question(role, f"{_ASKED[role]}{' ' + why if why else ''}", tuple(choices))


def find_roles(table: Table, answers: Answers, label: str) -> Roles:
    """Find the role of every column.

    Parameters
    ----------
    table : Table
        As found in the file.
    answers : Answers
        What the user said.
    label : str
        Name of the file, for refusals.

    Returns
    -------
    Roles
        With questions where two columns fit one role or none does.

    Raises
    ------
    InputError
        If the user named a column that is not there.

    Examples
    --------
    >>> rows = np.zeros(3)
    >>> table = Table(["Weg", "Kraft"], ["mm", "N"], [rows, rows], [])
    >>> find_roles(table, Answers(), "a.csv").columns
    {'force': [1], 'travel': [0]}
    """
    heads, out = heads_of(table), Roles()
    numeric = [c for c, v in enumerate(table.values) if not isinstance(v, list)]
    for role, wanted in answers.columns.items():
        picked = [_pick(table, w, role, label) for w in wanted]
        if role != "time" and any(c not in numeric for c in picked):
            raise InputError(
                "holds text, not numbers", where=f"{label}:{role}", got=title(table, picked[0])
            )
        twice = next((r for r, cs in out.columns.items() if set(cs) & set(picked)), None)
        if twice is not None:
            raise InputError(
                f"is the column of the {twice} as well", where=f"{label}:{role}",
                got=title(table, picked[0]), expected="another column",
            )  # fmt: skip
        out.columns[role] = picked
    for role in ("specimen", "cycle", "direction"):
        found = [c for c, h in enumerate(heads) if role in h.roles and c not in out.used]
        if found:
            out.columns[role] = found[:1]
    stamps = [c for c in range(len(heads)) if c not in numeric]
    times = [c for c in stamps if heads[c].roles[:1] in (("time",), ("date",))]
    if times and "time" not in out.columns:
        out.columns["time"] = times[-1:]
    for role in ("force", "torque", "angle", "travel", "extension", "deflection", "strain",
                 "stress", "time"):  # fmt: skip
        _one(role, table, heads, numeric, out)
    _letters(heads, numeric, out)
    _by_unit(table, heads, numeric, out)
    if not {"extension", "deflection"} & set(answers.columns):
        _travel(table, out)
    _open(table, heads, numeric, out)
    out.columns = {r: out.columns[r] for r in (*ROLES, "cycle", "direction", "specimen")
                   if out.columns.get(r)}  # fmt: skip
    return out


def _one(role: str, table: Table, heads: list[Heading], numeric: list[int], out: Roles) -> None:
    """Give a role to the column whose heading has that one alone."""
    found = [c for c in numeric if heads[c].roles == (role,) and c not in out.used]
    if role in out.columns or not found:
        return
    if role in _MANY or len(found) == 1:
        out.columns[role] = found
    elif role in _ASKED:
        out.questions.append(_ask(table, role, found, "Several would fit."))
    else:
        out.columns[role] = found[:1]
        out.notes.append(f'Several columns are a {role}; "{title(table, found[0])}" is used.')


def _letters(heads: list[Heading], numeric: list[int], out: Roles) -> None:
    """Give columns of several roles the one that is left."""
    asked = {q.argument for q in out.questions}
    for _ in range(3):
        for c in numeric:
            if c in out.used or len(heads[c].roles) < 2:
                continue
            left = [r for r in heads[c].roles if r not in out.columns and r not in asked]
            if "force" in out.columns and not any("angle" in h.roles for h in heads):
                left = [r for r in left if r != "torque"]
            rivals = [k for k in numeric if k != c and k not in out.used and
                      set(left) & set(heads[k].roles)]  # fmt: skip
            if len(left) == 1 and not rivals:
                out.columns[left[0]] = [c]


def _by_unit(table: Table, heads: list[Heading], numeric: list[int], out: Roles) -> None:
    """Give columns whose headings say nothing a role by their unit, where one alone has it."""
    asked = {q.argument for q in out.questions}
    taken = {"travel": {"travel", "extension", "deflection"}}
    for role in ("force", "torque", "angle", "time", "travel"):
        if asked & {role} or taken.get(role, {role}) & set(out.columns):
            continue
        found = [
            c for c in numeric
            if c not in out.used and not heads[c].roles and not heads[c].named
            and (unit := heads[c].unit) and unit.fits(role) and not unit.weight
        ]  # fmt: skip
        if len(found) == 1:
            out.columns[role] = found
            unit = heads[found[0]].unit
            out.notes.append(
                f'"{title(table, found[0])}" is taken as the {role} by its unit '
                f"{unit.text if unit else ''}."
            )
        elif found and role in _ASKED:
            out.questions.append(_ask(table, role, found, "Several have such a unit."))


def _travel(table: Table, out: Roles) -> None:
    """The only way of a file is its travel, whatever it is called."""
    if "travel" in out.columns or any(q.argument == "travel" for q in out.questions):
        return
    for role in ("extension", "deflection"):
        found = out.columns.get(role, [])
        if len(found) == 1 and not (role == "extension" and "deflection" in out.columns):
            name = title(table, found[0])
            out.columns["travel"] = out.columns.pop(role)
            if role == "extension":
                out.questions.append(_whose(name))
            else:
                out.notes.append(f'"{name}" is the only way in the file and taken as the travel.')
            return


def _whose(name: str) -> Question:
    return Question(
        "travel",
        f'"{name}" is the only way in the file. Is it the travel of the machine or the reading '
        "of an extensometer on the tube? It is taken as the travel.",
        (
            Choice(name, "travel of the machine"),
            Choice(name, "extensometer on the tube", argument="extension"),
        ),
        taken=name,
    )


def _open(table: Table, heads: list[Heading], numeric: list[int], out: Roles) -> None:
    """Ask for the load and the way where they are missing."""
    for c in numeric:
        if heads[c].named and c not in out.used:
            unit = heads[c].unit
            out.notes.append(
                f'"{title(table, c)}" is called {" or ".join(heads[c].named)}, but '
                f'"{unit.text if unit else ""}" is no unit of it: is a column swapped?'
            )
    has = set(out.columns) | {q.argument for q in out.questions}
    counted = counted_load(table, heads, [c for c in numeric if c not in out.used])
    if counted is not None and not has & {"force", "torque"}:
        out.columns["force"] = [counted]
        out.notes.append(f'"{title(table, counted)}" is taken as the force by the line above it.')
        has.add("force")
    free = [c for c in numeric if c not in out.used]
    turning = bool(has & {"torque", "angle"})
    if not has & {"force", "torque", "stress"}:
        out.questions.append(_ask(table, "torque" if turning else "force", free))
    if not has & {"travel", "extension", "deflection", "angle", "strain"}:
        out.questions.append(_ask(table, "angle" if turning else "travel", free))
