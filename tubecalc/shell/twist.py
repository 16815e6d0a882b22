"""Torsional buckling of perfect cylinders: half-waves along coupled, the sign of the torque kept.

The shear force couples odd with even half-waves between simply supported ends; in a straight wall
the load is the largest singular value of the block between them, alike for both signs. In a long
tube one helical wave is enough: thin and isotropic the stress is 0.236 E (t / R)^1.5 /
(1 - nu^2)^0.75, 0.236 = 1 / (3 sqrt(2)) (Schwerin 1924; Timoshenko & Gere 1961, sec. 11.11;
MEMORY). The common 0.272 comes of Donnell's equations, 15 % high for two waves round.
"""

from __future__ import annotations

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.shell.buckling import Mode, _dips, _estimates, _least, settled, with_slope
from tubecalc.shell.walls import ShellWalls
from tubecalc.shell.waves import Wave, condensed

MOST_HALF_WAVES = 12.0  # beyond, the load nears that of the long tube as one over length squared


def helical_torque(walls: ShellWalls, R: Array, a: Array, n: Array) -> Array:
    """Torque at which one helical wave buckles [N m]; a < 0 winds for a positive torque."""
    w = condensed(walls, R, a, n)
    work = np.abs(a) * (n - w.v - w.v * (1 - n * w.v) + n * w.u**2)
    return np.asarray(np.pi * R**3 * w.k / work)


def long_torque(walls: ShellWalls, R: Array, sign: float) -> Mode:
    """Torque that buckles a long tube, skew terms included.

    Parameters
    ----------
    walls : ShellWalls
        W walls.
    R : numpy.ndarray
        Mean radii, (W, K) [m].
    sign : float
        Sign of the torque.

    Returns
    -------
    Mode
    """
    _, low, _, most = _estimates(walls, R)
    around = np.maximum(4.0, np.ceil(0.5 * most))
    n = np.arange(2.0, around.max() + 1.0)
    span = np.log(60.0)
    log_a = np.log(low / 6.0)[..., None] + span * np.linspace(0.0, 1.0, 14)
    w3, r3, way = walls.spread(3), R[..., None, None], -np.sign(sign)
    a = np.exp(log_a)[:, :, None, :]
    load = np.log(helical_torque(w3, r3, way * a, n[:, None]))
    a = np.exp(_dips(np.broadcast_to(log_a[:, :, None, :], load.shape), load))
    a = settled(a, lambda x: helical_torque(w3, r3, way * x, n[:, None]), np.nan)
    load = helical_torque(w3, r3, way * a, n[:, None])
    load = np.where(n[:, None] <= around[..., None, None], load, np.inf)
    best, n_best, a_best = _least(load, n[:, None], a)
    w1, waves = walls.spread(1), way * a_best
    return with_slope(best, n_best, a_best, lambda f: helical_torque(w1, f * R, waves, n_best))


def overlaps(m: Array) -> Array:
    """Integrals of sin(m pi x / L) cos(p pi x / L) over L, in L / pi; zero for even m + p."""
    s, c = m[:, None], m[None, :]
    odd = (s + c) % 2 == 1
    return np.asarray(np.where(odd, 2.0 * s / np.where(odd, s**2 - c**2, 1.0), 0.0))


def shear_work(w: Wave, a: Array, n: Array, m: Array) -> Array:
    """Work of a unit shear force on pairs of half-waves m along, times R pi / L; (..., M, M).

    w' (w. - v), v' (v. + w) and u' u. with dots round the ring; odd m in cosine and even m in sine
    of n theta, so that the matrix is real. It is symmetric, and zero for even m + p.
    """
    u, v = w.u, -w.v  # waves between supports: v counts the other way
    j = overlaps(m)
    ao, an = a[..., None, :], a[..., :, None]
    vo, vn, uo, un = v[..., None, :], v[..., :, None], u[..., None, :], u[..., :, None]
    nn = np.broadcast_to(n[..., None], (*a.shape, 1))
    one = ao * (nn + vn) + ao * vo * (1 + nn * vn) + nn * an * un * uo
    other = an * (nn + vo) + an * vn * (1 + nn * vo) + nn * ao * un * uo
    sign = np.where(m % 2 == 1, 1.0, -1.0)[:, None]
    return np.asarray(sign * (j * one - j.T * other))


def straight_torque(
    walls: ShellWalls, R: Array, n: Array, span: Array | float, count: Array | int
) -> Array:
    """Torque that buckles straight walls between supports, waves n round [N m].

    Parameters
    ----------
    walls : ShellWalls
        Broadcasts with R.
    R, n : numpy.ndarray
        Mean radius [m] and waves round.
    span : numpy.ndarray or float
        Length [m].
    count : numpy.ndarray or int
        Half-waves along.

    Returns
    -------
    numpy.ndarray
    """
    most = int(np.max(count))
    m = np.arange(1.0, most + most % 2 + 1.0)
    length = np.broadcast_to(span, np.broadcast_shapes(R.shape, n.shape, np.shape(span)))
    a = m * np.pi / length[..., None]
    R1, n1 = R[..., None], n[..., None]
    w = condensed(walls.deeper(), R1, a, n1)
    soft = np.where(m <= np.asarray(count)[..., None], 1.0, 0.0)
    soft = soft / np.sqrt(w.k * length[..., None] / 2)
    work = shear_work(w, a, n1, m) * (length / np.pi / R)[..., None, None]
    block = (work * soft[..., :, None] * soft[..., None, :])[..., 0::2, 1::2]
    top = np.linalg.eigvalsh(block @ np.swapaxes(block, -1, -2))[..., -1]
    return np.asarray(2 * np.pi * R**2 / np.sqrt(top))


def torque(walls: ShellWalls, R: Array, span: float, sign: float) -> Mode:
    """Least torque that buckles straight walls.

    Parameters
    ----------
    walls : ShellWalls
        W walls.
    R : numpy.ndarray
        Mean radii, (W, K) [m].
    span : float
        Length [m]; NaN for a long tube.
    sign : float
        Sign of the torque; of no account unless the wall is skew and long.

    Returns
    -------
    Mode
        The wave number along is that of the helical wave of a long tube.
    """
    endless = long_torque(walls, R, sign)
    if np.isnan(span):
        return endless
    load, n, short, count = _torque_waves(walls, R, span, endless)
    best, n_best, _ = _least(load, n, endless.a[..., None])
    cut = (short / span) ** 2  # one where the span is whole
    w1 = walls.spread(1)
    own = with_slope(
        best, n_best, endless.a, lambda f: straight_torque(w1, f * R, n_best, short, count)
    )
    mixed = (cut * x + (1 - cut) * y for x, y in zip(own[3:], endless[3:], strict=True))
    return Mode(endless.load * (best / endless.load) ** cut, n_best, endless.a, *mixed)


def torque_by_waves(walls: ShellWalls, R: Array, span: float) -> tuple[Array, Array, Array]:
    """Torque and wave number along for every n = 2, 3 ... round: (W, K, N) twice, and n, (N,)."""
    endless = long_torque(walls, R, 1.0)
    load, n, short, _ = _torque_waves(walls, R, span, endless)
    cut = ((short / span) ** 2)[..., None]
    long = endless.load[..., None]
    return long * (load / long) ** cut, np.broadcast_to(endless.a[..., None], load.shape), n


def _torque_waves(
    walls: ShellWalls, R: Array, span: float, endless: Mode
) -> tuple[Array, Array, Array, Array]:
    """Torques (W, K, N) over the span that is looked at, n (N,), that span and its half-waves."""
    short = np.minimum(span, MOST_HALF_WAVES * np.pi / endless.a)
    *_, most = _estimates(walls, R)
    around = np.ceil(2.0 * (R / span * most) ** 0.5) + 4.0
    n = np.arange(2.0, around.max() + 1.0)
    count = np.ceil(2.4 * endless.a * short / np.pi) + 10.0
    w2, r2, s2 = walls.spread(2), R[..., None], short[..., None]
    load = straight_torque(w2, r2, n, s2, count[..., None])
    load = np.where(n <= around[..., None], load, np.inf)
    return load, n, short, count
