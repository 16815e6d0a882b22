"""What stands where the largest load should: codes of the machine, rows that were left out."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curve import OverRange
from tubecalc.testing.curves_columns import Made
from tubecalc.testing.curves_table import Table

__all__ = ["beside_the_top", "codes"]

Array = NDArray[np.float64]
_LEAST = 10  # different values that a curve has beside a code
_FAR = 3.0  # times all other values: no load jumps so far and then stands
_NEAR = 1.2  # the same, where the number is the limit of a counter or all nines
_BEGINS = 0.2  # of the largest load, from which a record does not begin at zero
_COUNTERS = {2**n - k for n in (10, 11, 12, 14, 15, 16, 23, 24, 31, 32) for k in (0, 1)}


def codes(made: Made, name: str) -> None:
    """Take numbers that stand for "beyond the range" out of the load, and say so.

    Parameters
    ----------
    made : Made
        Its data, marks and notes may be changed.
    name : str
        Column of the load.

    Notes
    -----
    Common practice, no source: machines write 9999.99, 32767 and the like where a value is
    beyond their range. Taken for such where at least three rows, two for a number of nines or
    the limit of a counter, hold one and the same value, far above all others, and the others
    make a curve.

    Examples
    --------
    >>> force = np.array([*np.arange(20.0), *[9999.0] * 4, 3.0])
    >>> made = Made({"force_N": force})
    >>> codes(made, "force_N")
    >>> int(np.isnan(made.data["force_N"]).sum()), made.over[0].mark, made.over[0].beyond
    (4, '9999', True)
    """
    load = made.data.get(name)
    if load is None or not load.size:
        return
    low, high = float(load.min()), float(load.max())
    if not np.isfinite(high - low):
        good = load[np.isfinite(load)]
        if not good.size:
            return
        low, high = float(good.min()), float(good.max())
    for top in (high, low):
        size, other = abs(top), -low if top == high else high
        if size < other:
            continue
        same = load == top
        count = int(np.count_nonzero(same))
        if count < 2 or count > 0.5 * load.size:
            continue
        column = next((c for c in made.columns if c.name == name), None)
        written = top / column.factor if column else top
        coded = _coded(written)
        rest = load[np.isfinite(load) & ~same]
        most = float(np.abs(rest).max(initial=0.0))
        far = size >= _NEAR * most if coded else count > 2 and _FAR * most <= size <= 20 * most
        if not far or np.unique(rest[: 100 * _LEAST]).size < _LEAST:
            continue
        rows = np.flatnonzero(same)
        made.data[name] = np.where(same, np.nan, load)
        made.over.append(OverRange(name, f"{written:.10g}", True, tuple(rows.tolist())))
        title = column.heading if column else name
        made.notes.append(
            f'{written:.10g} stands in {count} rows of "{title}", far above all others: taken as a '
            f"mark for beyond the range, not as a load. The largest load is at least {most:.6g} "
            f"{name.partition('_')[2].replace('_', ' ')} in size."
        )
        return


def _coded(written: float) -> bool:
    """Tell the limit of a counter, or a number of nothing but nines."""
    size = abs(round(written, 6))
    return (
        size in _COUNTERS or re.fullmatch(r"9{3,}(\.9*)?0*|9{2,}\.9+", f"{size:.10g}") is not None
    )


def beside_the_top(table: Table, load: Array | None, name: str) -> list[str]:
    """Say where lines left out may have held the largest load, and a record without beginning.

    Parameters
    ----------
    table : Table
        With the rows before which lines were left out.
    load : numpy.ndarray, optional
        In the data.
    name : str
        "force" or "torque".

    Returns
    -------
    list of str
        Sentences.

    Examples
    --------
    >>> table = Table([], [], [], [], holes=[(2, 14)])
    >>> beside_the_top(table, np.array([0.0, 9.0, 1.0]), "force")
    ['Line 14 is left out beside the largest force: the largest may be lost with it.']
    """
    if load is None or not load.size:
        return []
    out = []
    size = None
    if table.holes:
        size = np.abs(load)
        size[np.isnan(size)] = -1.0
        top = int(np.argmax(size))
        lost = [line for row, line in table.holes if row in (top, top + 1)]
        if lost:
            lines = "Line " + ", ".join(map(str, lost[:5])) + (" and more" if lost[5:] else "")
            are = "is" if len(lost) == 1 else "are"
            out.append(
                f"{lines} {are} left out beside the largest {name}: the largest may be lost "
                "with it."
            )
    few = np.abs(load[:: max(1, load.size // 500)])
    if abs(float(load[0])) <= _BEGINS * float(few.max()):
        return out  # most records end here
    first, high, low = float(load[0]), float(load.max()), float(load.min())
    top_value = high if high >= -low else low  # noise about nil is no load of the other sense
    if load.size >= _LEAST and abs(first) > _BEGINS * abs(top_value) > 0 and first != top_value:
        out.append(
            f"The {name} begins at {abs(first / top_value):.0%} of its largest value: the "
            "beginning is missing, or a preload stands on it."
        )
    return out
