"""Specimens that stand side by side in a table, taken apart by headings that repeat."""

from __future__ import annotations

import dataclasses
import re

import numpy as np

from tubecalc.testing.curve import Choice, Question
from tubecalc.testing.curves_heads import Heading, clean, heading
from tubecalc.testing.curves_table import Table

__all__ = ["beside"]

_LEAD = 2  # columns in front that all specimens share, at the most
_SEVERAL = Question(
    "split",
    "The headings are numbered. Are these several specimens side by side, or several sensors on "
    "one? Taken as several specimens.",
    (Choice("specimens", "several specimens"), Choice("one", "one specimen")),
    taken="specimens",
)
_LOADS = {"force", "torque"}
_WAYS = {"travel", "extension", "deflection", "angle"}


def beside(table: Table, split: str = "") -> list[Table]:
    """Take apart specimens that stand side by side under headings that repeat.

    Parameters
    ----------
    table : Table
        As found in the file.
    split : str, optional
        "specimens" or "one", where the user has said.

    Returns
    -------
    list of Table
        The table itself where nothing repeats; where numbered headings may be several sensors
        on one specimen as well, the tables carry the question.

    Examples
    --------
    >>> from tubecalc.testing.curves_table import Found
    >>> x = np.array([1.0, 2.0])
    >>> table = Table(["N", "mm"] * 2, [""] * 4, [x] * 4, [Found() for _ in range(4)])
    >>> len(beside(table))
    2
    >>> table.names = ["Load 1 (N)", "Travel 1 (mm)", "Load 2 (N)", "Travel 2 (mm)"]
    >>> len(beside(table))
    2
    """
    width = len(table.names)
    for lead in range(min(_LEAD, width - 4) + 1 if width > 3 else 0):
        for step in range(2, (width - lead) // 2 + 1):
            if (width - lead) % step:
                continue
            groups, counted = _repeats(table, lead, step)
            if groups is not None and not (counted and split == "one"):
                if counted and not split:
                    table = dataclasses.replace(table, questions=[*table.questions, _SEVERAL])
                starts = range(lead, width, step)
                return [
                    _columns(table, at, step, lead, name)
                    for at, name in zip(starts, groups, strict=True)
                ]
    return [table]


def _repeats(table: Table, lead: int, step: int) -> tuple[list[str] | None, bool]:
    """Names of the specimens, "" for none, and whether numbers alone tell them apart.

    None where headings do not repeat in that step.
    """
    names = [clean(n).casefold() for n in table.names[lead:]]
    units = [clean(u) for u in table.units[lead:]]
    blocks = range(0, len(names), step)
    same = all(
        names[i] == names[i % step] and units[i] == units[i % step] for i in range(len(names))
    )
    first = slice(lead, lead + step)
    heads = [heading(n, u) for n, u in zip(table.names[first], table.units[first], strict=True)]
    if same:
        known = sum(bool(h.roles or h.unit) for h in heads)
        different = len({(n, u) for n, u in zip(names[:step], units[:step], strict=True)}) == step
        whole = known >= 2 and different and (not lead or _pair(heads))
        return (["" for _ in blocks] if whole else None), False
    if any(units[i] != units[i % step] for i in range(len(names))):
        return None, False
    alone = all(bool(n) == (i % step == 0) for i, n in enumerate(names))
    alone = alone and not any(heading(names[i], units[i]).roles for i in blocks)
    if alone and _pair([heading("", u) for u in units[:step]]):
        return [clean(table.names[lead + i]) for i in blocks], False  # specimens above the units
    bare = [re.sub(r"\d+", "#", n) for n in names]
    told = [set(re.findall(r"\d+", " ".join(names[at : at + step]))) for at in blocks]
    counted = all(len(t) == 1 for t in told) and len(set().union(*told)) == len(told)
    if counted and all(bare[i] == bare[i % step] for i in range(len(bare))) and _pair(heads):
        return ["" for _ in blocks], True
    return None, False


def _pair(heads: list[Heading]) -> bool:
    """Whether a load and a way are among columns."""
    loads = sum(bool(set(h.roles) & _LOADS) or _fits(h, "force") for h in heads)
    ways = sum(bool(set(h.roles) & _WAYS) or _fits(h, "travel") for h in heads)
    return loads > 0 and ways > 0


def _fits(head: Heading, role: str) -> bool:
    return not head.roles and head.unit is not None and head.unit.fits(role)


def _columns(table: Table, at: int, step: int, lead: int, name: str) -> Table:
    """Some columns of a table, its empty rows at the end left away."""
    own = list(range(at, at + step))
    last = 0
    for c in own:
        column, found = table.values[c], table.marks[c]
        filled = [bool(v) for v in column] if isinstance(column, list) else np.isfinite(column)
        rows = np.flatnonzero(filled)
        last = max(last, int(rows[-1]) + 1 if len(rows) else 0, *(r + 1 for r in found.marks), 0)
    picked = [*range(lead), *own]
    named = [table.groups[c] for c in own if c < len(table.groups) and table.groups[c]]
    heads = ["" if name and c in own else table.names[c] for c in picked]
    return dataclasses.replace(
        table, names=heads, units=[table.units[c] for c in picked],
        values=[table.values[c][:last] for c in picked], marks=[table.marks[c] for c in picked],
        label=name or (named[0] if named else ""), notes=list(table.notes),
    )  # fmt: skip
