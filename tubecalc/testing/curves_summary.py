"""Tables of results beside the rows of tests: they are no curves."""

from __future__ import annotations

from tubecalc.testing.curves_roles import heads_of
from tubecalc.testing.curves_table import Plan, Table

__all__ = ["without_summaries"]

_SUMMARY = 3  # a table of fewer rows beside long ones is a summary
_LONG = 10  # rows
_SHARE = 0.5  # of the longest, below which a table without a way is a summary
_WAYS = {"travel", "extension", "deflection", "angle", "strain"}


def without_summaries(
    pairs: list[tuple[Plan, Table]], notes: list[str]
) -> list[tuple[Plan, Table]]:
    """Leave out tables of results: of a row or two, or short and without any way.

    Parameters
    ----------
    pairs : list of tuple of Plan and Table
        All tables of a file.
    notes : list of str
        Gets a sentence for each that is left out.

    Returns
    -------
    list of tuple of Plan and Table
        The others; all where none is long.

    Examples
    --------
    >>> import numpy as np
    >>> long = Table(["mm", "N"], ["", ""], [np.arange(20.0)] * 2, [])
    >>> short = Table(["Specimen", "Max load (N)"], ["", ""], [np.arange(4.0)] * 2, [])
    >>> told = []
    >>> len(without_summaries([(Plan(), short), (Plan(), long)], told)), len(told)
    (1, 1)
    """
    longest = max(t.rows for _, t in pairs)
    if longest < _LONG:
        return pairs
    ways = any(_has_way(t) for _, t in pairs if t.rows == longest)
    out = []
    for plan, table in pairs:
        short = ways and table.rows < _SHARE * longest and any(table.names) and not _has_way(table)
        if table.rows >= _SUMMARY and not short:
            out.append((plan, table))
            continue
        where = f'sheet "{table.sheet}", ' if table.sheet else ""
        rows = f"{table.rows} row" + ("s" if table.rows != 1 else "")
        notes.append(
            f"{where}line {table.first_line}: a table of {rows} is taken as a summary and left out."
        )
    return out


def _has_way(table: Table) -> bool:
    """Whether a column may be the way."""
    heads = heads_of(table)
    return any(
        set(h.roles) & _WAYS or (not h.roles and h.unit is not None and h.unit.fits("travel"))
        for h in heads
    )
