"""Critical load of a column from load and sideways deflection, without going up to it.

Southwell (Proc. R. Soc. A 135 (1932) 601): a bow a0 grows to a0 / (Pcr/P - 1) more, so deflection
over load against deflection is a straight line of slope 1/Pcr that meets no load at -a0.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tubecalc.errors import InputError
from tubecalc.testing.reduce_line import Array, Ints

Flags = NDArray[np.bool_]
LEAST = 5  # readings that make a line
LOW = 0.4  # of the largest load, below which deflections are too small (common practice, no source)
REACH = 0.5  # of the critical load that must be reached (common practice, no source)
FAR = 0.05  # of the free length: beyond, the load of the bent line is 0.3 % above (elastica)
STRAIGHT = 0.03  # two halves of the line that differ by more are no line
MISFIT = 3.0  # scatters from the line, on average, from which a shorter line is looked for
ZERO = 0.02  # of the largest load, up to which a reading counts as unloaded
PLATEAU = 0.95  # of the critical load, from which the plateau counts as reached
_PARTS = (1.0, 0.85, 0.7, 0.55, 0.4, 0.3, 0.2)  # of the deflection: where the line may have to end


@dataclass(frozen=True)
class Bow:
    """What load and sideways deflection of a column say.

    Attributes
    ----------
    critical, critical_half : float
        Critical load and half its interval of 95 % [N].
    bow, bow_half : float
        Bow before any load, the load's eccentricity in it, and half its interval [m].
    reached : float
        Largest load over the critical one [-].
    first, last : float
        Deflection, from no load, where the line that was used begins and ends [m].
    low, high : float
        Load there [N].
    used : int
        Readings on the line [-].
    ended_early : bool
        Whether the line is left before the largest load: the column is no longer elastic there.
    origin : float
        Deflection as recorded at no load [m].
    """

    critical: float
    critical_half: float
    bow: float
    bow_half: float
    reached: float
    first: float
    last: float
    low: float
    high: float
    used: int
    ended_early: bool
    origin: float


@dataclass(frozen=True)
class _Line:
    """A line with half intervals: deflection at no load, scatters off it, what halves differ by."""

    critical: float
    half: float
    bow: float
    bow_half: float
    zero: float
    misfit: float
    apart: float = 0.0


def southwell(
    load: Array,
    deflection: Array,
    *,
    length: float = math.nan,
    within: tuple[float, ...] = (),
    where: str = "column",
) -> Bow:
    """Critical load and first bow of a column from its sideways deflection.

    Parameters
    ----------
    load : numpy.ndarray
        Compression, positive, up to the largest [N].
    deflection : numpy.ndarray
        Sideways, from the unloaded column [m]; the reading at no load is taken off.
    length : float
        Free length [m]; NaN where not known.
    within : tuple of float
        Deflection, as recorded, where the line begins and ends [m], if not as found.
    where : str
        Name of the specimen.

    Returns
    -------
    Bow

    Raises
    ------
    InputError
        If there are too few readings, none near no load, loads too low, or no line.

    Notes
    -----
    Source: Southwell, Proc. R. Soc. A 135 (1932) 601. Each reading is weighed by the scatter of
    its load and its deflection, so that small loads, whose quotient is all error, do not turn the
    line; the error of the reading at no load is left open. The interval is that of the line, wider
    where its two halves differ. Valid: elastic, deflection up to a twentieth of the length, one
    bow that grows. Grade A inside this range.

    Examples
    --------
    >>> P = np.linspace(0, 900, 40)
    >>> found = southwell(P, 1e-3 * P / (1000 - P))
    >>> round(found.critical, 1), round(found.bow * 1e3, 3)
    (1000.0, 1.0)
    """
    p, d = np.asarray(load, float), np.asarray(deflection, float)
    good = np.isfinite(p) & np.isfinite(d)
    p, d = p[good], d[good]
    top = float(np.max(p, initial=0.0))
    if len(p) < LEAST or not top > 0:
        raise InputError("has too few readings of load and deflection", where=where,
                         got=str(len(p)), expected=f"at least {LEAST}")  # fmt: skip
    if not np.ptp(d) > 1e-9 * float(np.max(np.abs(d))):
        raise InputError("gives no critical load: the deflection never changes", where=where)
    rest = _unloaded(p, top, where)
    began = float(np.median(d[rest]))
    d = d - began
    sign = math.copysign(1.0, float(d[int(np.argmax(np.abs(d)))]))
    d = d * sign
    errors = (max(_scatter(p), 1e-4 * top), max(_scatter(d), 1e-4 * float(np.max(d))))
    far = FAR * length if length > 0 else math.inf
    most = min(float(np.max(d)), far)
    if within:
        low, high = sorted(sign * (v - began) for v in within)
        choices = [(d >= low) & (d <= high)]
    else:
        low = LOW if np.sum((p >= LOW * top) & (d <= most)) >= LEAST else 5 * ZERO
        choices = [(p >= low * top) & (d <= part * most) for part in _PARTS]
    line, rows, why = _chosen(p, d, choices, rest, errors, own=bool(within))
    if line is None:
        raise InputError(f"gives no critical load: {why}", where=where)
    if top < REACH * line.critical:
        raise InputError(
            "gives no critical load: the loads stay too low for it", where=where,
            got=f"up to {top:.4g} N, {100 * top / line.critical:.0f} % of where the line points",
            expected=f"at least {100 * REACH:.0f} %",
        )  # fmt: skip
    u = d[rows] + line.zero
    return Bow(
        line.critical, line.half + line.apart / 2, line.bow,
        line.bow_half + line.bow * line.apart / line.critical / 2, top / line.critical,
        float(np.min(u)), float(np.max(u)), float(np.min(p[rows])), float(np.max(p[rows])),
        int(rows.sum()), not within and bool(np.max(u) < 0.95 * (most + line.zero)),
        began - sign * line.zero,
    )  # fmt: skip


def quotients(load: Array, deflection: Array, origin: float) -> tuple[Array, Array]:
    """Points of the plot: deflection from no load, and deflection over load.

    Parameters
    ----------
    load : numpy.ndarray
        As recorded, of either sign [N].
    deflection : numpy.ndarray
        As recorded [m].
    origin : float
        Deflection at no load [m].

    Returns
    -------
    tuple of numpy.ndarray
        [m], [m/N]; readings below a tenth of the largest load are left out.

    Examples
    --------
    >>> quotients(np.array([0.0, -50.0, -80.0]), np.array([0.1, 0.2, 0.5]), 0.1)
    (array([0.1, 0.4]), array([0.002, 0.005]))
    """
    p = np.abs(load)
    u = deflection - origin
    past = int(np.argmax(p)) + 1 if len(p) else 0
    p, u = p[:past], u[:past]
    u = u * math.copysign(1.0, float(u[int(np.argmax(np.abs(u)))])) if len(u) else u
    good = (p > 0.1 * np.max(p, initial=0.0)) & (u > 0)
    return u[good], u[good] / p[good]


def bowed_load(deflection: Array, critical: float, bow: float) -> Array:
    """Load of an elastic column at a deflection from no load.

    Parameters
    ----------
    deflection : numpy.ndarray
        [m].
    critical : float
        Critical load [N].
    bow : float
        Bow before loading [m].

    Returns
    -------
    numpy.ndarray
        [N].

    Notes
    -----
    The line of `southwell`, turned round: Timoshenko & Gere (1961), sec. 1.12 (MEMORY).

    Examples
    --------
    >>> bowed_load(np.array([0.0, 1e-3, 9e-3]), 1000.0, 1e-3).round(6).tolist()
    [0.0, 500.0, 900.0]
    """
    return np.asarray(critical * deflection / (deflection + bow))


def _chosen(
    p: Array, d: Array, choices: list[Flags], rest: Ints, errors: tuple[float, float], *, own: bool
) -> tuple[_Line | None, Flags, str]:
    """The longest line that is straight, its rows, or why there is none."""
    why = "the loads bend it too little"
    found: list[tuple[_Line, Flags]] = []
    for rows in choices:
        rows[rest] = False
        if rows.sum() < LEAST:
            continue
        line = _line(p, d, rows, rest, errors)
        if line is None:
            why = "deflection over load does not grow as that of a bow does"
        elif line.apart > STRAIGHT * line.critical and not own:
            why = "deflection over load against deflection is not straight"
        elif line.misfit < MISFIT or own:
            return line, rows, ""
        else:
            found.append((line, rows))
    return (*found[0], "") if found else (None, choices[0], why)


def _unloaded(p: Array, top: float, where: str) -> Ints:
    """Rows before the column was loaded."""
    rest = np.flatnonzero(p <= ZERO * top)
    if not len(rest):
        raise InputError(
            "gives no critical load: the deflection at no load is not in the record", where=where,
            got=f"first load {p[0]:.4g} N",
        )  # fmt: skip
    return rest[: int(np.argmax(np.diff(rest, append=rest[-1] + 2) > 1)) + 1]


def _scatter(v: Array) -> float:
    """Scatter of the readings of a smooth record; 0 where too few tell it."""
    if len(v) < 30:
        return 0.0
    return 1.4826 * float(np.median(np.abs(np.diff(v, 2)))) / math.sqrt(6)


def _start(p: Array, d: Array) -> tuple[float, float] | None:
    """Critical load and bow of the line, each reading weighed as its load is read."""
    use = (p > LOW / 2 * np.max(p)) & (d > 0)
    if use.sum() < 2:
        return None
    p, d = p[use], d[use]
    weight = p * p / d
    a = np.stack([d, np.ones_like(d)], axis=1) * weight[:, None]
    slope, level = np.linalg.lstsq(a, d / p * weight, rcond=None)[0]
    if slope > 0 and level > 0:
        return 1 / slope, level / slope
    critical = 1.3 * float(np.max(p))
    return critical, float(np.median(d * (critical / p - 1)))


def _fit(p: Array, d: Array, errors: tuple[float, float]) -> _Line | None:
    """The line, with the error of the reading at no load left open; half intervals of 95 %."""
    from scipy.special import stdtrit

    begin = _start(p, d)
    if begin is None or len(d) < LEAST:
        return None
    (critical, bow), zero, step = begin, 0.0, np.ones(3)
    rest, pull = np.zeros(len(d)), np.zeros((len(d), 3))
    for _ in range(80):
        u = d + zero
        down = u + bow
        if not critical > 0 or not bow > 0 or not np.all(down > 0):
            return None
        bend = critical * bow / down**2
        weight = 1 / np.hypot(errors[0], bend * errors[1])
        rest = (p - critical * u / down) * weight
        pull = np.stack([critical * u / down, -bend * u, bend * bow], axis=1) * weight[:, None]
        step = np.clip(np.linalg.lstsq(pull, rest, rcond=1e-12)[0], -0.4, 0.4)
        critical, bow, zero = critical * (1 + step[0]), bow * (1 + step[1]), zero + bow * step[2]
        if float(np.max(np.abs(step))) < 1e-9:
            break
    square = pull.T @ pull
    if float(np.max(np.abs(step))) > 1e-3 or np.linalg.cond(square) > 1e14:
        return None
    free = max(len(d) - 3, 1)
    spread = np.diag(np.linalg.inv(square)) * float(rest @ rest) / free * _kinship(rest)
    near = float(stdtrit(free, 0.975)) * np.sqrt(spread)
    critical, bow, zero = float(critical), float(bow), float(zero)
    return _Line(critical, critical * float(near[0]), bow, bow * float(near[1]), zero,
                 math.sqrt(float(rest @ rest) / free))  # fmt: skip


def _kinship(rest: Array) -> float:
    """How much neighbours that err alike widen an interval, squared [-]."""
    if len(rest) < 20 or not float(rest @ rest) > 0:
        return 1.0
    alike = min(0.98, max(0.0, float(rest[1:] @ rest[:-1] / (rest @ rest))))
    return (1 + alike) / (1 - alike)


def _line(p: Array, d: Array, rows: Flags, rest: Ints, errors: tuple[float, float]) -> _Line | None:
    """The line of some rows and those at no load, and what its two halves differ by."""
    at = np.concatenate([rest, np.flatnonzero(rows)])
    whole = _fit(p[at], d[at], errors)
    if whole is None or rows.sum() < 3 * LEAST:
        return whole
    middle = float(np.median(p[rows]))
    halves = []
    for part in (rows & (p <= middle), rows & (p > middle)):
        at = np.concatenate([rest, np.flatnonzero(part)])
        halves.append(_fit(p[at], d[at], errors))
    if halves[0] is None or halves[1] is None:
        return whole
    chance = math.hypot(halves[0].half, halves[1].half)
    apart = max(0.0, abs(halves[0].critical - halves[1].critical) - chance)
    return replace(whole, apart=apart)


__all__ = ["PLATEAU", "Bow", "bowed_load", "quotients", "southwell"]
