"""Tables of several specimens taken apart: side by side, by a column, by a new beginning."""

from __future__ import annotations

import dataclasses
import itertools

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curve import Choice, Question
from tubecalc.testing.curves_heads import clean
from tubecalc.testing.curves_roles import Answers, Roles, find_roles
from tubecalc.testing.curves_shape import restarts
from tubecalc.testing.curves_table import Found, Table

__all__ = ["apart"]

Rows = NDArray[np.int64]


def _take(table: Table, rows: Rows, label: str) -> Table:
    """Some rows of a table."""
    place = {int(r): i for i, r in enumerate(rows)} if any(m.marks for m in table.marks) else {}
    values = [[v[int(r)] for r in rows] if isinstance(v, list) else v[rows] for v in table.values]
    marks = [
        Found({place[r]: m for r, m in found.marks.items() if r in place}) for found in table.marks
    ]
    return dataclasses.replace(table, values=values, marks=marks, label=label, gaps=[])


def apart(table: Table, answers: Answers, label: str) -> list[tuple[Table, Roles]]:
    """Take apart specimens that stand one below the other.

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
    list of tuple of Table and Roles
        One per specimen; where one and several are possible, the roles carry the question.

    Examples
    --------
    >>> words = ["a"] * 3 + ["b"] * 3
    >>> x = np.arange(6.0)
    >>> table = Table(["specimen", "N", "mm"], [""] * 3, [words, x, x], [Found() for _ in range(3)])
    >>> [part.label for part, _ in apart(table, Answers(), "a.csv")]
    ['a', 'b']
    """
    roles = find_roles(table, answers, label)
    column = roles.first("specimen")
    if column is not None:
        names = [_plain(v) for v in table.values[column]]
        groups: dict[str, list[int]] = {}
        for row, name in enumerate(names):
            groups.setdefault(name, []).append(row)
        if len(groups) > 1 and min(map(len, groups.values())) >= 3:
            head = clean(table.names[column])
            parts = [
                (f"{head} {name}" if name.isdigit() else name, np.array(rows))
                for name, rows in groups.items()
            ]
            return [(_take(table, rows, name), _copy(roles)) for name, rows in parts]
        roles.columns.pop("specimen")
    starts, question = _starts(table, roles, answers)
    if question:
        roles.questions.append(question)
    if not starts:
        return [(table, roles)]
    edges = [0, *starts, table.rows]
    stem = table.label
    return [
        (_take(table, np.arange(a, b), f"{stem} {n}".strip() if stem else ""), _copy(roles))
        for n, (a, b) in enumerate(itertools.pairwise(edges), 1)
    ]


def _plain(value: str | float) -> str:
    return clean(value if isinstance(value, str) else f"{value:g}")


def _copy(roles: Roles) -> Roles:
    return Roles(dict(roles.columns), list(roles.notes), list(roles.questions))


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _starts(table: Table, roles: Roles, answers: Answers) -> tuple[list[int], Question | None]:
    """Rows at which another specimen begins, and the question whether it does."""
    ways = [roles.first(r) for r in ("travel", "extension", "deflection", "angle")]
    way = next((table.values[c] for c in ways if c is not None), None)
    at = roles.first("time")
    time = table.values[at] if at is not None else None
    loads = [roles.first(r) for r in ("force", "torque")]
    load = next((table.values[c] for c in loads if c is not None), None)
    load = load if isinstance(load, np.ndarray) else None
    blank, both, alone = restarts(
        time if isinstance(time, np.ndarray) else None,
        way if isinstance(way, np.ndarray) else None, table.gaps, load,
    )  # fmt: skip
    every = sorted({*blank, *both, *alone})
    if not every:
        return [], None
    broken = not both and load is not None and all(_fell(load, r) for r in alone)
    taken = answers.split or ("specimens" if blank or broken else "one")
    rows = every if answers.split == "specimens" or not blank else blank
    if answers.split:
        return (rows if taken == "specimens" else []), None
    how = "after a blank line" if blank else "together with the time" if both else ""
    how = how or "together with the load"
    text = (
        f"The travel begins again {_times(len(blank or both or alone))} {how}. "
        "Are these several specimens, or one that was loaded again? Taken as "
    )
    text += "several." if taken == "specimens" else "one."
    choices = (Choice("specimens", "several specimens"), Choice("one", "one specimen"))
    question = Question("split", text, choices, taken=taken)
    return (rows if taken == "specimens" else []), question


def _fell(load: NDArray[np.float64], row: int) -> bool:
    """Whether the load had fallen to less than half of its largest before a row: a break."""
    size = np.abs(load[:row])
    size = size[np.isfinite(size)]
    return bool(size.size) and bool(size[-1] < 0.5 * size.max())
