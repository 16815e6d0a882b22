"""What the shape of a curve shows while it is read: loops, restarts, a load that stands."""

from __future__ import annotations

import itertools
import math

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curve import Loop

__all__ = ["first_fall", "loops", "restarts", "shape_notes"]

Array = NDArray[np.float64]
_TURN = 0.05  # a turn of the travel counts where it goes back by this part of its range
_MOST_TURNS = 100_000


def loops(way: Array) -> tuple[Loop, ...]:
    """Find where the travel turns back and forth again.

    Parameters
    ----------
    way : numpy.ndarray
        Travel, extension or angle, any unit.

    Returns
    -------
    tuple of Loop
        Stretches between the turns; empty where it never turns back by 5 % of its range.

    Examples
    --------
    >>> way = np.r_[np.arange(0.0, 11), np.arange(9.0, 1, -1), np.arange(3.0, 12)]
    >>> [(p.start, p.stop, p.number, p.loading) for p in loops(way)]
    [(0, 11, 1, True), (11, 19, 1, False), (19, 28, 2, True)]
    """
    whole = way.size > 0 and bool(np.isfinite(_low_high(way)).all())
    good = None if whole else np.flatnonzero(np.isfinite(way))
    x = way if good is None else way[good]
    if x.size < 3:
        return ()
    x = x - x[0]
    np.abs(x, out=x)
    span = float(x.max() - x.min())
    if span <= 0 or first_fall(x, _TURN * span) is None:
        return ()
    cells = np.floor(x / (0.2 * _TURN * span)).astype(np.int64)
    marks = np.flatnonzero(np.diff(cells)) + 1
    marks = np.unique(np.concatenate([[0], marks - 1, marks, [x.size - 1]]))
    if marks.size > _MOST_TURNS:
        return ()
    turns = _turns(x, marks, _TURN * span)
    if not turns:
        return ()
    edges = [0, *(t + 1 for t in turns), x.size]
    out, number = [], 0
    rising = bool(x[turns[0]] > x[0]) or turns[0] == 0
    for start, stop in itertools.pairwise(edges):
        number += int(rising)
        first = start if start == 0 or good is None else int(good[start])
        last = way.size if stop == x.size else stop if good is None else int(good[stop])
        out.append(Loop(first, last, max(number, 1), rising))
        rising = not rising
    return _without_jumps(out)


def _without_jumps(found: list[Loop]) -> tuple[Loop, ...]:
    """A fall within one row is no unloading: the row begins the next loading."""
    out: list[Loop] = []
    for part in found:
        last = out[-1] if out else None
        if last and not last.loading and last.stop - last.start == 1 and part.loading:
            out[-1] = Loop(last.start, part.stop, part.number, True)
        else:
            out.append(part)
    return tuple(out)


def first_fall(x: Array, least: float) -> int | None:
    """Find the first row that lies lower than one before it by more than so much.

    Parameters
    ----------
    x : numpy.ndarray
        One column.
    least : float
        In its unit.

    Returns
    -------
    int or None
        None where nothing falls so far.

    Examples
    --------
    >>> first_fall(np.array([0.0, 3.0, 2.5, 4.0, 2.0, 0.0]), 1.0)
    4
    """
    size = max(1, math.isqrt(x.size))
    whole = x.size // size * size
    table = x[:whole].reshape(-1, size)
    tops = np.maximum.accumulate(table.max(axis=1, initial=-np.inf))
    possible = np.flatnonzero(tops - table.min(axis=1, initial=np.inf) > least).tolist()
    for block in [*possible, len(table)]:
        part = x[block * size : (block + 1) * size].copy()
        if part.size and block:
            part[0] = max(part[0], tops[block - 1])
        run = np.maximum.accumulate(part)
        low = run - x[block * size : (block + 1) * size] > least
        if low.any():
            return block * size + int(np.argmax(low))
    return None


def _low_high(x: Array) -> tuple[float, float]:
    """Smallest and largest value; NaN where one is."""
    return float(x.min()), float(x.max())


def _turns(x: Array, marks: NDArray[np.int64], least: float) -> list[int]:
    """Rows at which the travel turns by at least so much."""
    turns: list[int] = []
    low = high = int(marks[0])
    direction = 0
    for i in marks.tolist():
        high = i if x[i] >= x[high] else high
        low = i if x[i] <= x[low] else low
        if direction >= 0 and x[high] - x[i] >= least:
            if direction > 0 or high > 0:
                turns.append(high)
            direction, low = -1, i
        elif direction <= 0 and x[i] - x[low] >= least:
            if direction < 0:
                turns.append(low)
            direction, high = 1, i
        if direction > 0:
            low = i
        elif direction < 0:
            high = i
    return turns


def restarts(
    time: Array | None, way: Array | None, gaps: list[int], load: Array | None = None
) -> tuple[list[int], list[int], list[int]]:
    """Find rows at which a new test seems to begin.

    Parameters
    ----------
    time, way : numpy.ndarray, optional
        Columns as read.
    gaps : list of int
        Rows before which blank lines stand.
    load : numpy.ndarray, optional
        Column as read.

    Returns
    -------
    tuple of list of int
        Rows after blank lines at which the travel begins again; rows without, at which time and
        travel both begin again; rows without either, at which travel and load begin again.

    Examples
    --------
    >>> x = np.array([0.0, 1, 2, 3, 0, 1, 2, 3])
    >>> restarts(x, x, [4]), restarts(x, x, []), restarts(None, x, [], x)
    (([4], [], []), ([], [4], []), ([], [], [4]))
    """
    base = way if way is not None else time
    if base is None or base.size < 6:
        return [], [], []
    rows = _again(base)
    blank = [r for r in gaps if r in rows]
    if way is None or not rows:
        return blank, [], []
    both = rows & _again(time) if time is not None else set()
    quiet: set[int] = set()
    if load is not None and rows - both - set(blank) and np.isfinite(load).any():
        span = float(np.nanmax(load) - np.nanmin(load))
        quiet = {r for r in rows if abs(load[r] - load[0]) <= 0.05 * span}
    rest = quiet - both - set(blank)
    return blank, sorted(both - set(blank)), sorted(rest)


def _again(x: Array) -> set[int]:
    """Rows at which a column falls back to its beginning from more than half of its range."""
    low, high = _low_high(x)
    if not math.isfinite(high - low):
        if not np.any(np.isfinite(x)):
            return set()
        low, high = float(np.nanmin(x)), float(np.nanmax(x))
    span = high - low
    if span <= 0:
        return set()
    steps = np.diff(x)
    down, up = _low_high(steps)
    if -0.5 * span <= down and up <= 0.5 * span:
        return set()
    at = np.flatnonzero(np.abs(steps) > 0.5 * span) + 1
    return {int(r) for r in at if abs(x[r] - x[0]) <= 0.05 * span}


def shape_notes(name: str, load: Array | None, unit: str, rows: int) -> list[str]:
    """Say what is odd about a load.

    Parameters
    ----------
    name : str
        "force" or "torque".
    load : numpy.ndarray, optional
        Its values in the data.
    unit : str
        Unit of the data.
    rows : int
        Rows of the curve [-].

    Returns
    -------
    list of str
        Sentences.

    Examples
    --------
    >>> shape_notes("force", np.array([5.0, 5.0, 5.0]), "N", 3)
    ['The force is 5 N in every row: nothing was loaded, or the cell was not read.']
    """
    if rows == 1:
        return ["The file holds one row only."]
    if load is None:
        return []
    good = load
    if not load.size or not np.isfinite(_low_high(load)).all():
        good = load[np.isfinite(load)]
    if not good.size:
        return [f"The {name} holds no number in any row."]
    low, high = float(good.min()), float(good.max())
    if low == high:
        return [
            f"The {name} is {low:g} {unit} in every row: nothing was loaded, or the cell was "
            "not read."
        ]
    out = []
    if -low > high:
        out.append(f"The {name} is recorded negative; the sign is kept.")
    top = low if -low > high else high
    tail = good[::-1]
    stands = 0 if tail[0] != top else int(np.argmax(tail != top))
    if stands >= 5:
        out.append(
            f"The {name} stands at {top:g} {unit} in the last {stands} rows: a limit of the frame "
            "or of the cell, not a failure."
        )
    return out
