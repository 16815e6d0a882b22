"""The straight part of a curve: where it lies, its slope, and how sure the slope is.

Every window between some seventy places along the curve is fitted at once from running sums. A
window counts as straight where what is left beside the line is noise, or a small share of its load,
and where its two halves have the same slope. Of these the one with the largest rise of load wins;
gentler slopes than the steepest are marked down, so that neither slack, nor a bedding-in toe, nor
the long plastic run of a metal is taken for the elastic part.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Ints = NDArray[np.intp]
BLOCKS = 2000  # means of neighbouring rows that the search works on
PLACES = 72  # places along the curve where a window may begin or end
LEAST_RISE = 0.2  # of the largest load, below which a straight piece is no linear part
STRAIGHT = ((0.0025, 0.02), (0.005, 0.03), (0.01, 0.045))  # rest over rise; halves apart
FULL = 0.9  # of the steepest slope, from which a window is not marked down
GROUPS = 12  # of neighbouring rows, whose means bear the interval: long ones outlast a wander
TRIM = 0.2  # of the rise, left out at both ends of the window found
CONFIDENCE = 0.95


@dataclass(frozen=True)
class Line:
    """Straight part of one loading: load = slope times travel + level.

    Attributes
    ----------
    slope, level : float
        Load per travel, and load at zero travel.
    low, high : float
        Travel where the part begins and ends.
    half : float
        Half the width of the 95 % interval of the slope.
    rest : float
        Standard deviation of single rows beside the line.
    rise : float
        Load that the part spans.
    rows : int
        Rows in it.
    """

    slope: float
    level: float
    low: float
    high: float
    half: float
    rest: float
    rise: float
    rows: int

    @property
    def origin(self) -> float:
        """Travel at which the line carries nothing."""
        return -self.level / self.slope

    def at(self, travel: float) -> float:
        """Load on the line.

        Parameters
        ----------
        travel : float
            In the unit of the curve.

        Returns
        -------
        float
        """
        return self.slope * travel + self.level

    def shifted(self, load: float) -> Line:
        """The same line where a load was there before the test began.

        Parameters
        ----------
        load : float
            Taken off every load.

        Returns
        -------
        Line
        """
        return replace(self, level=self.level - load)


def block_means(x: Array, y: Array, most: int = BLOCKS) -> tuple[Array, Array, int]:
    """Means of neighbouring rows.

    Parameters
    ----------
    x, y : numpy.ndarray
        Rows of a curve.
    most : int
        Largest number of means.

    Returns
    -------
    x, y : numpy.ndarray
        Means.
    size : int
        Rows in each; the last rows that do not fill a mean are left out.

    Examples
    --------
    >>> block_means(np.arange(4.0), np.arange(4.0), 2)[0].tolist()
    [0.5, 2.5]
    """
    size = max(1, -(-len(x) // most))
    if size > 1 and len(x) // size < 2:
        size = 1
    n = len(x) // size * size
    return x[:n].reshape(-1, size).mean(axis=1), y[:n].reshape(-1, size).mean(axis=1), size


def stepped(x: Array, y: Array) -> tuple[Array, Array, float]:
    """One point for every step of a travel that is read in coarse steps, as of a dial gauge.

    Parameters
    ----------
    x, y : numpy.ndarray
        Rows of one loading.

    Returns
    -------
    x, y : numpy.ndarray
        Mean load of the rows at each reading, without the first and the last, which are cut off;
        the rows as they are where most readings stand for a single row.
    slack : float
        Travel from row to row: so far off each point may lie, in a beat of steps and rows.

    Examples
    --------
    >>> x = np.repeat(np.arange(10.0), 4)
    >>> a, b, slack = stepped(x, np.arange(40.0))
    >>> a.tolist() == [1, 2, 3, 4, 5, 6, 7, 8], (b - 4 * a).tolist()[:2], slack
    (True, [1.5, 1.5], 0.25)
    """
    first = np.concatenate([[0], np.flatnonzero(np.diff(x)) + 1])
    if len(first) < 8 or 2 * len(first) > len(x) + 1:
        return x, y, 0.0
    count = np.diff(np.concatenate([first, [len(x)]]))
    if float(np.median(count)) < 2:
        return x, y, 0.0
    at, load = x[first], np.add.reduceat(y, first) / count
    slack = float(np.median(np.abs(np.diff(at)))) / float(np.median(count))
    return at[1:-1], load[1:-1], slack


def dot(u: Array, v: Array) -> float:
    """Sum of products, on one thread: for one sum, starting others takes longer.

    Parameters
    ----------
    u, v : numpy.ndarray
        Of one length.

    Returns
    -------
    float

    Examples
    --------
    >>> dot(np.array([1.0, 2.0]), np.array([3.0, 4.0]))
    11.0
    """
    return float(np.einsum("i,i->", u, v))


def noise(x: Array, y: Array) -> float:
    """Standard deviation of single values about the curve through their neighbours.

    Parameters
    ----------
    x, y : numpy.ndarray
        Rows of a curve; of a long one every so many three neighbours are looked at.

    Returns
    -------
    float
        In the unit of y.

    Examples
    --------
    >>> noise(np.arange(9.0), 3 * np.arange(9.0))
    0.0
    """
    if len(x) < 5:
        return 0.0
    at = np.arange(1, len(x) - 1, max(1, len(x) // 20000))
    wide = x[at + 1] - x[at - 1]
    with np.errstate(over="ignore"):  # a step next to nothing
        share = np.where(wide != 0, (x[at] - x[at - 1]) / np.where(wide == 0, 1, wide), 0.5)
    share = np.clip(share, 0, 1)
    away = y[at] - (y[at - 1] + share * (y[at + 1] - y[at - 1]))
    return float(np.median(np.abs(away)) / 0.6745 / math.sqrt(1.5))


def resolution(y: Array) -> float:
    """Smallest step that the values of a record are written in, or somewhat more.

    Parameters
    ----------
    y : numpy.ndarray
        In the order of the record; of a long one every so many are looked at.

    Returns
    -------
    float
        Smallest bend between three neighbours that is not zero: a multiple of the step, and of
        noise far above the step next to it; 0 for fewer than three values.

    Examples
    --------
    >>> resolution(np.round(np.arange(50.0) ** 1.5))
    1.0
    """
    if len(y) < 3:
        return 0.0
    at = np.arange(1, len(y) - 1, max(1, len(y) // 20000))
    bend = np.abs(y[at + 1] - 2 * y[at] + y[at - 1])
    bend = bend[bend > 1e-9 * float(np.max(np.abs(y[at])))]
    return float(np.min(bend)) if len(bend) else 0.0


class _Sums:
    """Running sums of a curve, from which every window is fitted."""

    def __init__(self, x: Array, y: Array) -> None:
        self.x0, self.y0 = float(x.mean()), float(y.mean())
        u, v = x - self.x0, y - self.y0
        parts = np.stack([np.ones_like(u), u, v, u * u, u * v, v * v])
        self.p = np.concatenate([np.zeros((6, 1)), np.cumsum(parts, axis=1)], axis=1)

    def fit(self, i: Ints, j: Ints) -> tuple[Array, Array, Array, Array]:
        """Slope, level, standard deviation of the rest, and spread of x of the rows i <= r < j."""
        n, a, b, aa, ab, bb = self.p[:, j] - self.p[:, i]
        sxx = np.maximum(aa - a * a / n, 0.0)
        sxy, syy = ab - a * b / n, np.maximum(bb - b * b / n, 0.0)
        safe = np.where(sxx > 0, sxx, 1.0)
        slope = np.where(sxx > 0, sxy / safe, np.nan)
        left = np.maximum(syy - slope * sxy, 0.0)
        level = b / n + self.y0 - slope * (a / n + self.x0)
        return slope, level, np.sqrt(left / np.maximum(n - 2, 1)), sxx


def find_line(x: Array, y: Array, *, top: float | None = None) -> Line | None:
    """Straight part of one loading.

    Parameters
    ----------
    x, y : numpy.ndarray
        Travel and load of one loading in the order of the record, up to its largest load.
    top : float, optional
        Largest load of the test, if this loading does not reach it.

    Returns
    -------
    Line or None
        None where no straight piece spans a fifth of the load.

    Examples
    --------
    >>> x = np.linspace(0, 2, 81)
    >>> y = np.maximum(x - 0.4, 0) * 100  # 0.4 of slack
    >>> line = find_line(x, y)
    >>> round(line.slope, 6), round(line.origin, 6)
    (100.0, 0.4)
    >>> find_line(x, x**2) is None
    True
    """
    x, y, slack = stepped(x, y)
    bx, by, _ = block_means(x, y)
    if len(bx) < 4:
        return None
    span = (float(np.max(by)) if top is None else top) - float(np.median(by[:3]))
    if not span > 0:
        return None
    found = _search(bx, by, LEAST_RISE * span)
    return None if found is None else _fitted(x, y, bx, *found, slack)


def _search(bx: Array, by: Array, least: float) -> tuple[int, int] | None:
    """Blocks of the best window: first, and one past the last."""
    run_x, run_y = np.maximum.accumulate(bx), np.maximum.accumulate(by)
    along = (run_x - run_x[0]) / (np.ptp(run_x) or 1.0) + (run_y - run_y[0]) / (
        np.ptp(run_y) or 1.0
    )
    places = np.unique(
        np.concatenate(
            [np.searchsorted(along, np.linspace(0, along[-1], PLACES)), [len(bx)]]
        ).astype(np.intp)
    )
    i, j = (a.ravel() for a in np.meshgrid(places, places, indexing="ij"))
    keep = j - i >= 4
    i, j = i[keep], j[keep]
    if not len(i):
        return None
    sums, sigma = _Sums(bx, by), noise(bx, by)
    slope, _, rest, sxx = sums.fit(i, j)
    rise = slope * (bx[j - 1] - bx[i])
    middle = (i + j) // 2
    first, last = sums.fit(i, middle)[0], sums.fit(middle, j)[0]
    chance = 4.0 * sigma / np.sqrt(np.where(sxx > 0, sxx, np.inf))
    doubt = 4.0 * np.maximum(rest, sigma) / np.sqrt(np.where(sxx > 0, sxx, np.inf))  # of halves
    apart = np.abs(last - first)
    possible = np.isfinite(apart) & (slope > 0) & (rise >= least)
    for left, halves in STRAIGHT:
        straight = possible & (rest <= np.maximum(1.5 * sigma, left * rise))
        straight &= apart <= halves * slope + 3.0 * chance
        sure = straight & (doubt < 0.4 * slope)
        if sure.any():
            steepest = float(np.max(slope[sure]))
            mark = np.minimum(slope / (FULL * steepest), 1.0) ** 2 * rise
            best = int(np.argmax(np.where(sure, mark, -np.inf)))
            return int(i[best]), int(j[best])
    return None


def _fitted(x: Array, y: Array, bx: Array, first: int, past: int, slack: float) -> Line | None:
    """Line through the rows of a window, its ends trimmed."""
    size = max(1, len(x) // len(bx))
    rows = slice(first * size, min(past * size, len(x)))
    u, v = x[rows], y[rows]
    trimmed = _between(u, v, TRIM)
    return line_through(*(trimmed if len(trimmed[0]) >= 5 else (u, v)), slack)


def _between(u: Array, v: Array, trim: float) -> tuple[Array, Array]:
    low, high = float(np.min(u)), float(np.max(u))
    edge = trim * (high - low)
    inside = (u >= low + edge) & (u <= high - edge)
    return u[inside], v[inside]


def line_through(x: Array, y: Array, slack: float = 0.0) -> Line | None:
    """Line through given rows with the interval of its slope.

    Parameters
    ----------
    x, y : numpy.ndarray
        Rows.
    slack : float
        How far off the travel of coarse steps may lie at either end, which widens the interval.

    Returns
    -------
    Line or None
        None for fewer than three rows or no travel.

    Notes
    -----
    Student's interval from the means of a dozen groups of neighbouring rows, so that a slow
    wander of the load counts as much as it should; bent windows widen it by what their halves
    differ beyond chance.
    """
    if len(x) < 3 or not np.ptp(x) > 0:
        return None
    from scipy.special import stdtrit

    x0, y0 = float(x.mean()), float(y.mean())
    u, v = x - x0, y - y0
    sxx = dot(u, u)
    slope = dot(u, v) / sxx
    if not slope > 0:
        return None
    level = y0 - slope * x0
    rest = math.sqrt(max(dot(v, v) - slope**2 * sxx, 0.0) / (len(x) - 2))
    gx, gy, _ = block_means(x, y, GROUPS)
    group = _Sums(gx, gy)
    whole = (np.array([0], np.intp), np.array([len(gx)], np.intp))
    by_group = float(group.fit(*whole)[2][0]) / math.sqrt(float(group.fit(*whole)[3][0]) or 1.0)
    error = max(by_group, rest / math.sqrt(sxx))
    half = float(stdtrit(max(len(gx) - 2, 1), (1 + CONFIDENCE) / 2)) * error
    middle = len(gx) // 2
    if middle >= 3:
        i, j = np.array([0, middle], np.intp), np.array([middle, len(gx)], np.intp)
        a, b = group.fit(i, j)[0]
        half = math.hypot(half, max(0.0, abs(float(b - a)) - 8.0 * error) / 4.0)
    low, high = float(np.min(x)), float(np.max(x))
    half += slope * slack / (high - low)
    return Line(slope, level, low, high, half, rest, slope * (high - low), len(x))
