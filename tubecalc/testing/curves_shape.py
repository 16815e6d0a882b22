"""What the shape of a curve shows while it is read: loops, restarts, a load that stands."""

from __future__ import annotations

import itertools

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curve import Loop

__all__ = ["loops", "restarts", "shape_notes"]

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
    good = np.flatnonzero(np.isfinite(way))
    if good.size < 3:
        return ()
    x = way if good.size == way.size else way[good]
    x = np.abs(x - x[0])
    span = float(x.max() - x.min())
    if span <= 0:
        return ()
    if not np.any(np.maximum.accumulate(x) - x > _TURN * span):
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
        first = 0 if start == 0 else int(good[start])
        last = way.size if stop == x.size else int(good[stop])
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


def restarts(time: Array | None, way: Array | None, gaps: list[int]) -> tuple[list[int], list[int]]:
    """Find rows at which a new test seems to begin.

    Parameters
    ----------
    time, way : numpy.ndarray, optional
        Columns as read.
    gaps : list of int
        Rows before which blank lines stand.

    Returns
    -------
    tuple of list of int
        Rows after blank lines at which the travel begins again; rows without, at which time and
        travel both begin again.

    Examples
    --------
    >>> x = np.array([0.0, 1, 2, 3, 0, 1, 2, 3])
    >>> restarts(x, x, [4]), restarts(x, x, []), restarts(None, x, [])
    (([4], []), ([], [4]), ([], []))
    """
    base = way if way is not None else time
    if base is None or base.size < 6:
        return [], []
    rows = _again(base)
    blank = [r for r in gaps if r in rows]
    if time is None or way is None:
        return blank, []
    both = rows & _again(time)
    return blank, sorted(both - set(blank))


def _again(x: Array) -> set[int]:
    """Rows at which a column falls back to its beginning from more than half of its range."""
    steps = np.abs(np.diff(x))
    span = float(np.nanmax(x) - np.nanmin(x)) if np.any(np.isfinite(x)) else 0.0
    if span <= 0:
        return set()
    at = np.flatnonzero(steps > 0.5 * span) + 1
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
    stands = int(np.argmax(tail != top)) if np.any(tail != top) else 0
    if stands >= 5:
        out.append(
            f"The {name} stands at {top:g} {unit} in the last {stands} rows: a limit of the frame "
            "or of the cell, not a failure."
        )
    return out
