"""Points of a curve: slack, peak, drops, the end of the straight part, energy."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tubecalc.testing.curves_shape import first_fall
from tubecalc.testing.reduce_line import Array, Line, block_means, dot, noise, resolution
from tubecalc.testing.reduce_path import Branch, Path

FALL = 0.02  # of the peak, from which a sudden fall of load is a drop
BREAK = 0.05  # of the peak, from which a fall that no way back explains is the break
SUDDEN = 0.02  # of the travel, within which a drop happens
DEPART = 0.01  # of the load on the line, from which a curve has left it
FLAT = 8  # rows at exactly one load that chance does not give where the loads scatter
HOLD = 4  # rows at one and the same largest load that mean a limit of the frame
_TARE = 0.02  # of the peak: larger loads at the start are a preload and stay
_REST = 0.2  # of the peak: but not where they stand before the travel moves and the line starts


@dataclass(frozen=True)
class Drop:
    """A sudden fall of load: rows of its top and its foot, and what was lost."""

    top: int
    foot: int
    loss: float


@dataclass(frozen=True)
class End:
    """How a record ends.

    Attributes
    ----------
    broke : bool
        Whether the load fell for good without the travel going back.
    why : str
        Where it did not: "beyond the range", "gap", "clipped", "held", "turned back" or "rising".
    flat : int
        Rows at one and the same largest load while the travel runs on; 0 where there are few.
    """

    broke: bool
    why: str = ""
    flat: int = 0


def tare_of(
    path: Path, branch: Branch, line: Line | None, *, preload: bool = False
) -> tuple[float, int]:
    """Load shown before anything touched, and how many rows it rests on.

    Parameters
    ----------
    path : Path
        Load over travel.
    branch : Branch
        First loading.
    line : Line or None
        Its straight part; without one nothing is taken off.
    preload : bool
        Whether a preload is named: what stands at the start is load then.

    Returns
    -------
    load : float
        0 where the record begins in contact, or under a preload.
    rows : int
    """
    if line is None:
        return 0.0, 0
    y = path.y[branch.first : branch.past]
    x = path.x[branch.first : branch.past]
    top = float(np.max(y))
    start = float(np.median(y[:3]))
    spread = noise(x, y)
    lead = int(0.8 * int(np.argmax(y > start + max(5 * spread, 0.003 * top))))
    if lead < 3:
        return 0.0, 0
    run = float(x[lead - 1] - x[0])
    if abs(start) > _TARE * top:
        rests = lead >= 5 and run < 0.002 * float(np.ptp(x)) and abs(start) < _REST * top
        if preload or not rests:
            return 0.0, 0
    if lead < 8 and run < 0.03 * float(np.ptp(x)):
        return 0.0, 0  # too little to tell a lead from the first rows of the loading
    if float(x[lead - 1]) > (start - line.level) / line.slope:
        return 0.0, 0  # the straight part has begun there
    if run > 0 and lead > 3:  # a lead that already rises is the loading itself
        away = x[:lead] - x[:lead].mean()
        slope = dot(away, y[:lead]) / dot(away, away)
        if slope > 0.05 * line.slope and slope * run > 2 * spread / np.sqrt(lead):
            return 0.0, 0
    return float(np.mean(y[:lead])), lead


def drops_of(path: Path, peak: float) -> list[Drop]:
    """Sudden falls of load that no way back of the travel explains, in their order.

    Parameters
    ----------
    path : Path
        Load over travel, tare taken off.
    peak : float
        Largest load.

    Returns
    -------
    list of Drop
        At most fifty.
    """
    x, y = path.x, path.y
    least = max(FALL * peak, 6 * noise(x, y))
    within = SUDDEN * float(np.ptp(x))
    out: list[Drop] = []
    start = 0
    while start < len(y) - 1 and len(out) < 50:
        low = first_fall(y[start:], least)
        if low is None:
            break
        at = start + low
        top = start + int(np.argmax(y[start : at + 1]))
        near = np.flatnonzero(y[top : at + 1] >= y[top] - 0.3 * least)
        top += int(near[-1])
        foot = at
        while foot + 1 < len(y) and y[foot + 1] < y[foot]:
            foot += 1
        loss = float(y[top] - y[foot])
        back = float(x[top] - np.min(x[top : foot + 1]))
        sudden = abs(float(x[foot] - x[top])) <= within or foot - top <= 3
        if sudden and back <= max(within, 0.0) and y[top] > 2 * least:
            out.append(Drop(top, foot, loss))
        start = _past(y, foot, least)
    return out


def _past(y: Array, foot: int, least: float) -> int:
    """Row from which the next drop is looked for: the deepest of the fall."""
    rise = first_fall(-y[foot:], least)
    end = foot + rise if rise is not None else len(y)
    return max(foot + 1, foot + int(np.argmin(y[foot:end])) if end > foot else foot + 1)


def end_of(path: Path, top: int, slope: float) -> End:
    """How the record ends after its largest load.

    Parameters
    ----------
    path : Path
        Load over travel, tare taken off.
    top : int
        Row of the largest load.
    slope : float
        Slope of the straight part; 0 where there is none.

    Returns
    -------
    End
    """
    x, y = path.x, path.y
    peak = float(y[top])
    if path.over:
        return End(False, "beyond the range")
    if path.beside_gap is not None and path.beside_gap[top]:
        return End(False, "gap")
    if _held(x, y, top):
        return End(False, "held")
    flat = _flat(x, y, top)
    if flat and _scatters(x[:top], y[:top]):
        return End(False, "clipped", flat)
    after_x, after_y = x[top:], y[top:]
    back = np.maximum(float(x[top]) - after_x, 0.0)
    fell = peak - after_y
    if np.any(fell > BREAK * peak + 1.5 * slope * back):
        return End(True, flat=flat)
    if float(back[-1]) > 0.01 * float(np.ptp(x)):
        return End(False, "turned back", flat)
    return End(False, "rising", flat)


def _held(x: Array, y: Array, top: int) -> bool:
    """Whether the record stands at its largest load to the end, as at the limit of a frame."""
    peak = float(y[top])
    last = len(y) - 1
    if not abs(float(y[last]) - peak) <= 1e-4 * abs(peak):
        return False
    same = np.abs(y - peak) <= 1e-4 * abs(peak)
    runs = np.flatnonzero(~same)
    first = int(runs[-1]) + 1 if len(runs) else 0
    if last - first + 1 < HOLD:
        return False
    step = float(np.ptp(x)) / max(len(x) - 1, 1)
    return abs(float(x[last] - x[first])) <= 0.25 * step * (last - first)


def _flat(x: Array, y: Array, top: int) -> int:
    """Rows that follow each other at exactly the largest load while the travel runs on."""
    other = np.flatnonzero(y[top:] != y[top])
    count = int(other[0]) if len(other) else len(y) - top
    runs_on = float(x[top + count - 1] - x[top]) > 0.02 * float(np.ptp(x))
    return count if count >= FLAT and runs_on else 0


def _scatters(x: Array, y: Array) -> bool:
    """Whether the loads before scatter by more than their resolution, so that none repeats."""
    if len(y) < 3 * FLAT:
        return False
    return 0 < 2 * resolution(y) < noise(x, y)


def departure(x: Array, y: Array, line: Line) -> tuple[float, float] | None:
    """Where a curve leaves its straight part for good.

    Parameters
    ----------
    x, y : numpy.ndarray
        One loading up to its largest load, tare taken off.
    line : Line
        Straight part.

    Returns
    -------
    tuple or None
        Travel and load of the curve where it lies 1 % and four times the noise below the line and
        stays so; None where it never does before the largest load.
    """
    bx, by, size = block_means(x, y)
    sigma = max(noise(x, y), line.rest) / np.sqrt(size)
    on = line.slope * bx + line.level
    away = on - by
    beyond = bx > (line.low + line.high) / 2
    off = (away > np.maximum(DEPART * on, 4 * sigma)) & beyond
    if not off.any() or not off[-1]:
        return None
    kept = np.flatnonzero(~off & beyond)
    first = int(kept[-1]) + 1 if len(kept) else int(np.argmax(off))
    if first >= len(bx) or len(bx) - first < 2:
        return None
    return float(bx[first]), float(by[first])


def offset_point(x: Array, y: Array, line: Line, offset: float) -> tuple[float, float] | None:
    """Where a curve crosses its straight part shifted along the travel.

    Parameters
    ----------
    x, y : numpy.ndarray
        One loading up to its largest load, tare taken off.
    line : Line
        Straight part.
    offset : float
        Shift, in the unit of x.

    Returns
    -------
    tuple or None
        Travel and load; None where the curve ends before.
    """
    bx, by, _ = block_means(x, y)
    gap = by - line.slope * (bx - offset) - line.level
    beyond = np.flatnonzero((gap <= 0) & (bx > (line.low + line.high) / 2))
    if not len(beyond):
        return None
    j = int(beyond[0])
    if j == 0 or gap[j - 1] <= 0:
        return float(bx[j]), float(by[j])
    share = gap[j - 1] / (gap[j - 1] - gap[j])
    return (
        float(bx[j - 1] + share * (bx[j] - bx[j - 1])),
        float(by[j - 1] + share * (by[j] - by[j - 1])),
    )


def energy(x: Array, y: Array) -> float:
    """Work of the load along the travel.

    Parameters
    ----------
    x, y : numpy.ndarray
        One loading up to its largest load, tare taken off.

    Returns
    -------
    float
        Unit of x times unit of y.

    Examples
    --------
    >>> energy(np.array([0.0, 1.0, 2.0]), np.array([0.0, 10.0, 20.0]))
    20.0
    """
    return dot(np.diff(x), y[1:] + y[:-1]) / 2
