"""Headings that are repeated within one record, as on the pages of a print, put together again."""

from __future__ import annotations

import dataclasses

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curves_roles import heads_of
from tubecalc.testing.curves_table import Found, Table

__all__ = ["joined_pages"]

_GOES_ON = 5.0  # usual steps, within which a way or a time goes on
_WAYS = ("travel", "extension", "deflection", "angle")


def joined_pages(tables: list[Table]) -> list[Table]:
    """Join tables whose headings are the same and whose travel and time go on.

    Parameters
    ----------
    tables : list of Table
        In the order of the file.

    Returns
    -------
    list of Table
        The same where nothing is joined.

    Examples
    --------
    >>> def page(a, b):
    ...     x = np.arange(a, b)
    ...     return Table(["mm", "N"], ["", ""], [x, 2 * x], [Found(), Found()])
    >>> [t.rows for t in joined_pages([page(0.0, 5.0), page(5.0, 9.0), page(0.0, 4.0)])]
    [9, 4]
    """
    out: list[Table] = []
    counts: list[int] = []
    for table in tables:
        if out and _goes_on(out[-1], table):
            out[-1] = _joined(out[-1], table)
            counts[-1] += 1
        else:
            out.append(table)
            counts.append(1)
    for table, count in zip(out, counts, strict=True):
        if count > 1:
            table.notes.append(
                f"The headings stand {count} times in the record; the travel goes on below each, "
                "so that it is read as one."
            )
    return out


def _goes_on(one: Table, two: Table) -> bool:
    """Tell whether a table is the next page of another."""
    if (one.names, one.units, one.sheet) != (two.names, two.units, two.sheet):
        return False
    if not any(one.names) or one.rows < 3 or (two.label and two.label != one.label):
        return False
    heads = heads_of(one)
    ways, times = [], []
    for c, head in enumerate(heads):
        before, after = one.values[c], two.values[c]
        if isinstance(before, list) or isinstance(after, list):
            if not (isinstance(before, list) and isinstance(after, list)):
                return False  # words in one, numbers in the other
            if isinstance(before, list) and head.roles[:1] in (("time",), ("date",)):
                return False  # stamps: not compared here
            continue
        units = head.unit is not None and head.unit.fits("travel") and not head.roles
        if set(head.roles) & set(_WAYS) or units:
            ways.append(_next(before, after))
        elif head.roles[:1] == ("time",):
            times.append(_next(before, after))
    return bool(ways) and all(ways) and all(times)


def _next(before: NDArray[np.float64], after: NDArray[np.float64]) -> bool:
    """Tell whether a column goes on by a step as those before."""
    steps = np.diff(before)
    steps = steps[np.isfinite(steps)]
    if not steps.size or not np.isfinite([before[-1], after[0]]).all():
        return False
    usual, step = float(np.median(steps)), float(after[0] - before[-1])
    return usual != 0 and 0 < step / usual <= _GOES_ON


def _joined(one: Table, two: Table) -> Table:
    values = [
        [*a, *b] if isinstance(a, list) and isinstance(b, list)
        else np.concatenate([np.asarray(a, float), np.asarray(b, float)])
        for a, b in zip(one.values, two.values, strict=True)
    ]  # fmt: skip
    marks = [
        Found({**a.marks, **{row + one.rows: m for row, m in b.marks.items()}})
        for a, b in zip(one.marks, two.marks, strict=True)
    ]
    return dataclasses.replace(
        one, values=values, marks=marks, last_line=two.last_line,
        skipped=[*one.skipped, *two.skipped], skipped_count=one.skipped_count + two.skipped_count,
        notes=list(dict.fromkeys([*one.notes, *two.notes])),
        gaps=[*one.gaps, *(g + one.rows for g in two.gaps)],
        holes=[*one.holes, *((row + one.rows, line) for row, line in two.holes)],
        thousands=one.thousands or two.thousands,
    )  # fmt: skip
