"""Least buckling loads of any wall, straight or skew; what the tables hold and one tube asks for.

A straight wall's load is the least of closed forms. A skew wall's is that times the share which the
easier helical wave of an endless tube leaves; where few half-waves fit between the ends, it is what
the coupled half-waves of `skew` make of each number of waves round (see `ends`).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tubecalc.laminate.elastic import Array
from tubecalc.shell import buckling, twist
from tubecalc.shell.buckling import Mode
from tubecalc.shell.ends import Shares, between
from tubecalc.shell.lengthwise import Lengthwise
from tubecalc.shell.walls import ShellWalls

KINDS = ("axial", "bending", "torsion+", "torsion-", "pressure", "dead pressure")
ACROSS = 0.15  # spacing in ln(R) of the places where ends are looked at


def straight(kind: str, walls: ShellWalls, R: Array, span: float) -> Mode:
    """Least load with the skew terms left out, (W, K)."""
    plain = walls.straightened()
    if kind == "axial":
        return buckling.axial(plain, R, span)
    if kind in ("pressure", "dead pressure"):
        return buckling.pressure(plain, R, span, follower=kind == "pressure")
    return twist.torque(plain, R, span, 1.0)


def least(kind: str, walls: ShellWalls, R: Array, span: float) -> Mode:
    """Least buckling load of a perfect tube.

    Parameters
    ----------
    kind : str
        One of KINDS; "pressure" follows the wall.
    walls : ShellWalls
        W walls.
    R : numpy.ndarray
        Mean radii in rising order, (W, K) [m].
    span : float
        Length between simply supported ends [m]; NaN for a long tube.

    Returns
    -------
    Mode
        Load [N, N m or Pa], waves, slope; (W, K).
    """
    if kind == "bending":
        return _bending(walls, R, span)
    mode = straight(kind, walls, R, span)
    rows = np.flatnonzero(walls.skew)
    if not len(rows):
        return mode
    walls = walls.take(rows)
    some = Mode(*(v[rows] for v in mode))
    share, slope = helical_share(kind, walls, R[rows], some)
    mode.slope[rows] += slope
    load, n, bend = mode.load.copy(), mode.n.copy(), mode.curve.copy()
    load[rows] *= share
    if np.isnan(span):
        return mode._replace(load=load)
    found: tuple[Mode, NDArray[np.bool_]] | None
    lengthwise = _lengthwise(walls, R[rows], span, some, share) if kind == "axial" else []
    for row, own, at in zip(rows.tolist(), range(len(rows)), R[rows], strict=True):
        if kind == "axial":
            mine = Mode(*(v[own] for v in some))
            found = lengthwise[own].least(at, mine, share[own], slope[own])
        else:
            found = _between(kind, walls.take(np.array([own])), at, span)
        if found is not None:
            own_mode, looked = found
            for whole, part in zip((load, n, mode.slope, bend), own_mode[:2] + own_mode[3:],
                                   strict=True):  # fmt: skip
                whole[row, looked] = part[looked]
    return mode._replace(load=load, n=n, curve=bend)


def _few(R: Array) -> Array:
    """Radii of the lattice at which ends are looked at for these; one alone is looked at itself."""
    if len(R) == 1:
        return R
    low, high = np.floor(np.log(R[0]) / ACROSS), np.ceil(np.log(R[-1]) / ACROSS)
    # a curve between two radii leans on the next ones, and what is looked at on theirs
    return np.asarray(np.exp(ACROSS * np.arange(low - 3.0, high + 4.0)))


def _lengthwise(
    walls: ShellWalls, R: Array, span: float, own: Mode, helical: Array
) -> list[Lengthwise]:
    """What ends make of skew walls in axial compression; all walls looked at in one go."""
    few, mode, share = R, own, helical
    if R.shape[1] > 1:
        few = _few(np.array([R.min(), R.max()])) + np.zeros((len(R), 1))
        mode = straight("axial", walls, few, span)
        share = helical_share("axial", walls, few, mode)[0]
    waved = Mode(*(v.copy() for v in mode))
    rings = np.flatnonzero((mode.n < 2).any(axis=1))
    if len(rings):
        plain = walls.take(rings).straightened()
        some = buckling.axial(plain, few[rings], span, rings=False)
        for whole, part in zip(waved, some, strict=True):
            whole[rings] = part
    return [
        Lengthwise(
            walls.take(np.array([k])), few[k], span, Mode(*(v[k] for v in mode)),
            Mode(*(v[k] for v in waved)), share[k],
        )
        for k in range(len(R))
    ]  # fmt: skip


def _between(
    kind: str, wall: ShellWalls, R: Array, span: float
) -> tuple[Mode, NDArray[np.bool_]] | None:
    """What ends make of one skew wall's load; nothing where many half-waves fit between them."""
    few = _few(R)
    mode = straight(kind, wall, few[None], span)
    share, _ = helical_share(kind, wall, few[None], mode)
    shares = Shares(kind, wall, few, span, share[0])
    return between(kind, wall, R, span, shares) if shares.any else None


def _bending(walls: ShellWalls, R: Array, span: float) -> Mode:
    """Straight and skew walls apart: the latter keep twice as many waves."""
    if walls.skew.all() or not walls.skew.any():
        return buckling.bending(walls, R, span)
    out = Mode(*(np.empty(R.shape) for _ in Mode._fields))
    for rows in (np.flatnonzero(walls.skew), np.flatnonzero(~walls.skew)):
        for whole, part in zip(out, buckling.bending(walls.take(rows), R[rows], span), strict=True):
            whole[rows] = part
    return out


def _easier(one: Mode, other: Mode, plain: Mode) -> tuple[Array, Array]:
    """Lesser of two loads over a third, and the slope of that, waves held."""
    first = one.load <= other.load
    load, slope = (np.where(first, a, b) for a, b in zip(one[::3], other[::3], strict=True))
    return np.asarray(load / plain.load), np.asarray(slope - plain.slope)


def helical_share(kind: str, walls: ShellWalls, R: Array, mode: Mode) -> tuple[Array, Array]:
    """Share that skew leaves of the load of an endless tube, the easier helical wave; its slope."""
    plain = walls.straightened()
    if kind.startswith("torsion"):
        own = twist.long_torque(walls, R, 1.0 if kind == "torsion+" else -1.0)
        return _easier(own, own, twist.long_torque(plain, R, 1.0))
    if kind == "axial":
        ways = [buckling.axial(walls, R, np.nan, way) for way in (1.0, -1.0)]
        return _easier(ways[0], ways[1], buckling.axial(plain, R, np.nan))
    follower = kind == "pressure"
    own, none = (_ring(w, R, mode.n, follower=follower) for w in (walls, plain))
    return _easier(own, own, none)


def _ring(walls: ShellWalls, R: Array, n: Array, *, follower: bool) -> Mode:
    """Pressure on a long tube with given waves round, (W, K)."""
    w1, a = walls.spread(1), 0.0 * R
    return buckling.with_slope(
        buckling.pressure_load(w1, R, a, n, follower=follower), n, a,
        lambda f: buckling.pressure_load(w1, f * R, a, n, follower=follower),
    )  # fmt: skip
