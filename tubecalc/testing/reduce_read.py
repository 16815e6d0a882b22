"""Reads one sense of a curve: straight part, loadings, tare, peak, drops, end."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from tubecalc.errors import InputError
from tubecalc.testing.reduce_facts import Given
from tubecalc.testing.reduce_line import Line, find_line, line_through, stepped
from tubecalc.testing.reduce_path import Branch, Path, branches
from tubecalc.testing.reduce_points import Drop, End, drops_of, end_of, tare_of

NAN = math.nan
REACH = 0.005  # of the travel, within which the largest load is looked for where it was set
AGAIN = 0.4  # of the largest load, from which a further loading counts for the stiffness


@dataclass(frozen=True)
class Read:
    """Everything found on one sense of a curve, in units of the curve's data.

    Attributes
    ----------
    path : Path
        Load over travel, tare taken off.
    line, first : Line or None
        Straight part of the loading that holds the peak, and of the first loading.
    lines : tuple of Line
        Straight part of every loading.
    slope, half : float
        Load per travel and half its 95 % interval.
    tare : float
        Load taken off.
    top : int
        Row of the largest load.
    main : Branch
        Loading that holds it.
    drops : tuple of Drop
        Sudden falls.
    end : End
        How the record ends.
    seatings : tuple of float
        Set left by each loading, one after the other.
    """

    path: Path
    line: Line | None
    first: Line | None
    lines: tuple[Line, ...]
    slope: float
    half: float
    tare: float
    top: int
    main: Branch
    drops: tuple[Drop, ...]
    end: End
    seatings: tuple[float, ...]


def read_path(path: Path, given: Given) -> Read:
    """Find everything on one sense of a curve.

    Parameters
    ----------
    path : Path
        Load over travel.
    given : Given
        What the user moved or told.

    Returns
    -------
    Read

    Raises
    ------
    InputError
        If the straight part the user gave holds no rising load.
    """
    parts = branches(path)
    top = _top(path, given)
    started = [b for b in parts if b.first <= top]
    main = started[-1] if started else parts[0]
    main = Branch(main.first, max(top + 1, main.first + 2))
    peak = float(path.y[top])
    alone = main.first == parts[0].first
    first = _line(path, main if alone else parts[0], peak)
    tare, _ = tare_of(path, parts[0], first, preload=given.preload)
    path = replace(path, y=path.y - tare)
    first = None if first is None else first.shifted(tare)
    if given.linear:
        own = _chosen_line(path, main, given)
    else:
        own = first if alone else _line(path, main, peak - tare)
    lines = _loadings(path, parts, main, own, peak - tare)
    line = own if own is not None else (lines[-1] if lines else None)
    if line is not None and path.sign_x * given.origin > line.high:
        _outside("origin", given.origin, path)
    slope, half = _pooled(lines, own, given)
    end = end_of(path, top, line.slope if line else 0.0)
    drops = tuple(drops_of(path, peak - tare))
    return Read(path, line, first, tuple(lines), slope, half, tare, top, main, drops, end,
                 _seatings(path, parts))  # fmt: skip


def _top(path: Path, given: Given) -> int:
    if math.isnan(given.peak_at):
        return int(np.argmax(path.y))
    at = path.sign_x * given.peak_at
    near = np.abs(path.shown - at)
    if float(near.min()) > 0.02 * float(np.ptp(path.shown)):
        _outside("peak_at", given.peak_at, path)
    reach = REACH * float(np.ptp(path.shown))
    close = np.flatnonzero(near <= max(reach, float(near.min())))
    return int(close[np.argmax(path.y[close])])


def _outside(what: str, got: float, path: Path) -> None:
    """Refuse a travel that the record does not have."""
    unit = "deg" if path.way == "angle_deg" else "mm"
    low, high = sorted(path.sign_x * float(v) for v in (np.min(path.shown), np.max(path.shown)))
    raise InputError("lies outside of the record", where=what, got=f"{got:.4g} {unit}",
                     expected=f"{low:.4g} to {high:.4g} {unit}")  # fmt: skip


def _line(path: Path, branch: Branch, top: float) -> Line | None:
    x, y = path.x[branch.first : branch.past], path.y[branch.first : branch.past]
    past = int(np.argmax(y)) + 1
    if path.lost is not None:
        past = min(past, max(path.lost - branch.first, 0))
    return find_line(x[:past], y[:past], top=None if past == len(y) else top)


def _chosen_line(path: Path, main: Branch, given: Given) -> Line | None:
    low, high = sorted(path.sign_x * v for v in given.linear)
    rows = slice(main.first, main.past)
    x, y, shown = path.x[rows], path.y[rows], path.shown[rows]
    inside = (shown >= low) & (shown <= high)
    line = line_through(*stepped(x[inside], y[inside]))
    if line is None:
        raise InputError(
            "no load rises between the ends given", where="linear",
            got=f"{low:.4g} to {high:.4g}", expected="at least three rows of the loading",
        )  # fmt: skip
    return line


def _loadings(
    path: Path, parts: list[Branch], main: Branch, own: Line | None, peak: float
) -> list[Line]:
    """Straight part of every loading that goes far enough; one for a test without loops."""
    if len(parts) < 2:
        return [own] if own is not None else []
    out = []
    for b in parts:
        if float(np.max(path.y[b.first : b.past])) < AGAIN * peak:
            continue
        mine = own if b.first == main.first else _line(path, b, peak)
        if mine is not None:
            out.append(mine)
    return out


def _pooled(lines: list[Line], own: Line | None, given: Given) -> tuple[float, float]:
    """Slope and half its interval: of the loadings after the first, else of the one there is."""
    if given.linear and own is not None:
        return own.slope, own.half
    if not lines:
        return NAN, NAN
    if len(lines) < 2:
        return lines[0].slope, lines[0].half
    use = lines[1:]
    slopes = np.array([x.slope for x in use])
    halves = np.maximum([x.half for x in use], 1e-9 * slopes)
    weight = 1 / halves**2
    mean = float(np.sum(weight * slopes) / np.sum(weight))
    half = float(1 / math.sqrt(np.sum(weight)))
    return mean, max(half, float(np.ptp(slopes)) / 2)


def _seatings(path: Path, parts: list[Branch]) -> tuple[float, ...]:
    """Set left by each way back to no load, one after the other."""
    out, before = [], float(path.x[parts[0].first])
    for n, b in enumerate(parts):
        end = parts[n + 1].first if n + 1 < len(parts) else len(path.x) - 1
        x, y = path.x[b.past : end + 1], path.y[b.past : end + 1]
        top = float(path.y[b.past - 1])
        if len(x) < 5 or not float(np.min(y)) < 0.05 * top or not top > 0:
            break
        low = (y > 0.05 * top) & (y < 0.5 * top)
        if low.sum() < 3:
            break
        slope, level = np.polyfit(x[low], y[low], 1)
        if not slope > 0:
            break
        zero = float(-level / slope)
        out.append(zero - before)
        before = zero
    return tuple(out) if len(parts) > 1 else ()
