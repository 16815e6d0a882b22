"""What the ends make of a skew wall: half-waves coupled, for each number of waves round by itself.

Under torsion and pressure the skew wall's load with so many waves round changes slowly with the
radius, as a share of the straight wall's. So a few radii are looked at and a curve is laid between
them; the least over the waves is taken only then, which keeps the kinks where they are. Axial
compression steps from one number of half-waves to the next: see `lengthwise`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tubecalc.laminate.elastic import Array
from tubecalc.shell import buckling, skew, twist
from tubecalc.shell.buckling import Mode
from tubecalc.shell.walls import ShellWalls

STRONG = 0.95  # share of a helical wave below which skew counts as strong
LOOKED = {False: 12.0, True: 40.0}  # half-waves along up to which ends are looked at: weak, strong
MOST = {False: 8.0, True: 16.0}  # half-waves kept when coupled; a longer span is cut, safe side
HELIX = 0.03  # share of direct stiffness in A16 or A26 that makes a helix
BESIDE = {False: 2, True: 4}  # waves round looked at on either side of the straight wall's
NAMES = {"pressure": "follower", "dead pressure": "pressure"}


def helix(wall: ShellWalls) -> bool:
    """Whether stretching itself twists the wall, as one helix does and plies in pairs do not."""
    a = wall.abd[0, :3, :3]
    return bool(max(abs(a[0, 2]), abs(a[1, 2])) > HELIX * np.sqrt(a[0, 0] * a[2, 2]))


def by_waves(kind: str, wall: ShellWalls, R: Array, span: float) -> tuple[Array, Array, Array]:
    """Straight wall's load and wave number along for every n round: (K, N) twice, and n, (N,)."""
    plain, at = wall.straightened(), R[None]
    if kind.startswith("torsion"):
        load, a, n = twist.torque_by_waves(plain, at, span)
    else:
        *_, most = buckling._estimates(plain, at)
        n = np.arange(2.0, np.ceil(2.0 * most.max()) + 3.0)
        a = np.full((1, len(R), 1), np.pi / span)
        follower = kind == "pressure"
        load = buckling.pressure_load(plain.spread(2), at[..., None], a, n, follower=follower)
    return load[0], np.broadcast_to(a, load.shape)[0], n


def curve(x: Array, at: Array, y: Array) -> Array:
    """Cubics through columns of points at equal distances, NaN where either end is not known.

    Parameters
    ----------
    x : numpy.ndarray
        Where, (K,), within `at`.
    at, y : numpy.ndarray
        Points (F,) and their values (F, N), NaN where not known.

    Returns
    -------
    numpy.ndarray
        (K, N).

    Examples
    --------
    >>> at = np.arange(4.0)
    >>> curve(np.array([1.5]), at, at[:, None] ** 2).tolist()
    [[2.25]]
    """
    if len(at) == 1:
        return np.asarray(np.repeat(y, len(x), axis=0))
    step = np.diff(y, axis=0)
    none = np.full((1, y.shape[1]), np.nan)
    before, after = np.concatenate([none, step]), np.concatenate([step, none])
    before, after = (np.where(np.isnan(a), b, a) for a, b in ((before, after), (after, before)))
    slope = 0.5 * (before + after)
    k = np.clip(np.searchsorted(at, x, side="right") - 1, 0, len(at) - 2)
    s = ((x - at[k]) / (at[k + 1] - at[k]))[:, None]
    bend = slope[k] * (1 - s) - slope[k + 1] * s + step[k] * (2 * s - 1)
    out = y[k] + s * step[k] + s * (1 - s) * bend
    out = np.where(s <= 0.0, y[k], out)
    return np.asarray(np.where(s >= 1.0, y[k + 1], out))


class Shares:
    """Logarithm of the skew wall's load over the straight wall's, by waves round, at a few radii.

    Parameters
    ----------
    kind : str
        A torsion or a pressure.
    wall : ShellWalls
        One wall.
    R : numpy.ndarray
        A few radii, rising, (F,) [m].
    span : float
        Length [m].
    helical : numpy.ndarray
        Share of the easier helical wave of an endless tube there, (F,).
    """

    def __init__(self, kind: str, wall: ShellWalls, R: Array, span: float, helical: Array) -> None:
        self.x, self.helical = np.log(R), np.log(helical)
        plain, along, self.n = by_waves(kind, wall, R, span)
        self.log = np.full(plain.shape, np.nan)
        least = np.argmin(plain, axis=1)
        waves = np.take_along_axis(along, least[:, None], axis=1)[:, 0] * span / np.pi
        strong = helix(wall) | (helical <= STRONG) | (helical >= 1.0 / STRONG)
        beside = np.where(strong, BESIDE[True], BESIDE[False])[:, None]
        near = np.abs(self.n - self.n[least][:, None]) <= beside
        near[1:] |= near[:-1].copy()  # what one radius looks at, its neighbours look at too
        near[:-1] |= near[1:].copy()
        for k in np.flatnonzero(waves <= np.where(strong, LOOKED[True], LOOKED[False])).tolist():
            hard, few = bool(strong[k]), float(waves[k])
            fade = min(1.0, 4.0 * (1.0 - few / LOOKED[hard]))
            short = span * min(1.0, MOST[hard] / few)
            count = int(np.ceil(1.7 * min(few, MOST[hard]))) + (12 if hard else 5)
            n, below = self.n[near[k]], plain[k, near[k]]
            share = _share(kind, wall, float(R[k]), n, below, short, count)
            mixed = fade * np.log(share) + (1.0 - fade) * self.helical[k]
            self.log[k, near[k]] = mixed
        self.any = bool(np.isfinite(self.log).any())

    def looked(self, R: Array) -> NDArray[np.bool_]:
        """Radii between places at which ends were looked at, (K,)."""
        x = np.clip(np.log(R), self.x[0], self.x[-1])
        return np.asarray(np.isfinite(curve(x, self.x, self.log)).any(axis=1))

    def loads(self, R: Array, n: Array, plain: Array) -> Array:
        """Logarithm of the load at radii, by waves round, (K, N).

        Parameters
        ----------
        R, n : numpy.ndarray
            Radii (K,) [m] and waves round (N,).
        plain : numpy.ndarray
            Logarithm of the straight wall's, (K, N).

        Returns
        -------
        numpy.ndarray
            The helical share of the straight wall's where nothing was looked at.
        """
        x = np.clip(np.log(R), self.x[0], self.x[-1])
        out = plain + np.interp(x, self.x, self.helical)[:, None]
        size = min(len(n), len(self.n))
        own = curve(x, self.x, self.log)[:, :size] + plain[:, :size]
        known = np.isfinite(own)
        looked = known.any(axis=1, keepdims=True)
        out = np.where(looked, np.inf, out)  # waves not looked at are far from the least
        out[:, :size] = np.where(known, own, out[:, :size])
        return np.asarray(out)


def _share(
    kind: str, wall: ShellWalls, R: float, n: Array, plain: Array, span: float, count: int
) -> Array:
    """Skew wall's load over the straight wall's with n waves round, (N,)."""
    many, r = wall.take(np.zeros(len(n), np.intp)), np.full(len(n), R)
    if kind.startswith("torsion"):
        sign = 1.0 if kind == "torsion+" else -1.0
        load = skew.critical(many, r, n, span, count, "torsion", sign)
        return np.asarray(load / twist.straight_torque(many.straightened(), r, n, span, count))
    load = skew.critical(many, r, n, span, count, NAMES[kind])
    return np.asarray(np.minimum(load / plain, 1.0))


def between(
    kind: str, wall: ShellWalls, R: Array, span: float, shares: Shares
) -> tuple[Mode, NDArray[np.bool_]]:
    """Least load of a skew wall between ends, at radii (K,), with slope and curvature.

    Parameters
    ----------
    kind : str
        A torsion or a pressure.
    wall : ShellWalls
        One wall.
    R : numpy.ndarray
        Radii [m].
    span : float
        Length [m].
    shares : Shares
        What the ends make of it.

    Returns
    -------
    Mode
        Arrays (K,); the wave number along is left out (NaN).
    numpy.ndarray
        Radii at which ends were looked at, (K,); elsewhere the endless tube's load is as good.
    """
    step = np.log(buckling.NEAR)
    n = by_waves(kind, wall, R, span)[2]
    logs = []
    for factor in (1.0 / buckling.NEAR, 1.0, buckling.NEAR):
        load, _, waves = by_waves(kind, wall, factor * R, span)
        plain = np.full((len(R), len(n)), np.inf)
        size = min(len(n), len(waves))
        plain[:, :size] = np.log(load[:, :size])
        logs.append(shares.loads(factor * R, n, plain))
    best = np.argmin(logs[1], axis=1)[:, None]
    low, mid, high = (np.take_along_axis(x, best, axis=1)[:, 0] for x in logs)
    with np.errstate(invalid="ignore"):
        slope, bend = (high - low) / (2 * step), (high - 2 * mid + low) / step**2
    known = np.isfinite(low) & np.isfinite(high)
    slope, bend = (np.where(known, x, 0.0) for x in (slope, bend))
    mode = Mode(np.exp(mid), n[best[:, 0]], np.full_like(R, np.nan), slope, bend)
    return mode, shares.looked(R)
