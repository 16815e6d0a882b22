"""Buckling loads of perfect cylinders: the least over wave numbers, on arrays of walls and radii.

Simply supported ends; a span of NaN is a tube so long that the wave length is free. One term in
each direction is exact for straight walls (see `waves`) in axial compression and pressure; bending
couples neighbouring n, torsion couples half-waves along. Skew walls: see `skew`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.shell.walls import ShellWalls
from tubecalc.shell.waves import condensed

GRID = 17  # wave lengths looked at before the least is refined
NEAR = 1.01  # radius over radius for slopes
SHORTEST = np.pi / 2  # wave number times wall: half-waves below two walls are no shell's


class Mode(NamedTuple):
    """Load, waves round, wave number along [1/m]; slope and curvature of ln(load) over ln(R).

    Slope and curvature are those of the wave that is least here, its numbers held.
    """

    load: Array
    n: Array
    a: Array
    slope: Array
    curve: Array


def along(a: Array, span: float) -> Array:
    """Half-waves in a span; NaN for a long tube."""
    return np.asarray(a * span / np.pi)


def _estimates(walls: ShellWalls, R: Array) -> tuple[Array, Array, Array, Array]:
    """Classical force per length [N/m], longest and shortest wave numbers, most waves round."""
    w = walls.spread(R.ndim - 1)
    c = w.abd
    a22 = c[..., 1, 1] - c[..., 0, 1] ** 2 / c[..., 0, 0]
    d11, d22 = c[..., 3, 3], c[..., 4, 4]
    short = (a22 / (R**2 * d11)) ** 0.25
    long = 3.46 * (d22 / (c[..., 0, 0] * R**2)) ** 0.25 / R
    round_ = 0.6 * (c[..., 0, 0] * R**2 / d22) ** 0.25
    most = np.minimum(2.5 * short, SHORTEST / w.t)
    return 1.4 * np.sqrt(a22 * d11) / R, 0.4 * long, np.maximum(most, long), round_


def axial_load(
    walls: ShellWalls, R: Array, a: Array, n: Array, squeeze: Array | float = 0.0
) -> Array:
    """Axial load at which one wave buckles [N], v following elastically or under the squeeze.

    Notes
    -----
    The load works on the rotations w' and v' of the generators: K / (a^2 (1 + v^2)), a Rayleigh
    quotient; the lesser of the two shapes is the nearer one.
    """
    wave = condensed(walls, R, a, n)
    best = wave.k / (1.0 + wave.v**2)
    if not isinstance(squeeze, float):
        wave = condensed(walls, R, a, n, squeeze)
        best = np.fmin(best, wave.k / (1.0 + wave.v**2))
    return np.asarray(2 * np.pi * R * best / (a * a))


def _vertex(x: Array, y: Array) -> Array:
    """Abscissa of the parabola through three neighbouring points, (..., 3), within them."""
    left, mid, right = (y[..., i] for i in range(3))
    bend = left - 2 * mid + right
    with np.errstate(divide="ignore", invalid="ignore"):
        off = np.where(bend > 0, 0.5 * (left - right) / bend, 0.0)
    return np.asarray(x[..., 1] + np.clip(off, -1.0, 1.0) * (x[..., 1] - x[..., 0]))


def _dips(x: Array, y: Array) -> Array:
    """First and last local minimum along the last axis, and its far end: abscissae, (..., 3)."""
    inner = (y[..., 1:-1] <= y[..., :-2]) & (y[..., 1:-1] <= y[..., 2:])
    low = np.argmin(y[..., 1:-1], axis=-1)
    none = ~inner.any(axis=-1)
    first = np.where(none, low, np.argmax(inner, axis=-1))
    last = np.where(none, low, inner.shape[-1] - 1 - np.argmax(inner[..., ::-1], axis=-1))
    out = []
    for at in (first, last):
        three = at[..., None] + np.arange(3)
        out.append(_vertex(*(np.take_along_axis(v, three, axis=-1) for v in (x, y))))
    return np.stack([*out, x[..., -1]], axis=-1)


def settled(a: Array, of: Callable[[Array], Array], span: float) -> Array:
    """Wave numbers to try: whole half-waves about a, or in a long tube the least near a."""
    if not np.isnan(span):
        return whole(a, span)
    x = np.log(a)[..., None] + 0.1 * np.array([-1.0, 0.0, 1.0])
    y = np.stack([np.log(of(np.exp(x[..., i]))) for i in range(3)], axis=-1)
    return np.asarray(np.exp(_vertex(x, y)))


def whole(a: Array, span: float) -> Array:
    """Wave numbers with whole half-waves on either side of a."""
    m = np.floor(a * span / np.pi)
    m = np.concatenate([m, m + 1.0], axis=-1)
    return np.asarray(np.maximum(m, 1.0) * np.pi / span)


def _least(load: Array, n: Array, a: Array) -> tuple[Array, Array, Array]:
    """Least over the trailing axes of (W, K, ...), with its n and a."""
    flat = load.reshape(*load.shape[:2], -1)
    at = np.argmin(flat, axis=-1)[..., None]
    pick = [
        np.take_along_axis(np.broadcast_to(v, load.shape).reshape(flat.shape), at, axis=-1)[..., 0]
        for v in (load, n, a)
    ]
    return pick[0], pick[1], pick[2]


def axial(
    walls: ShellWalls, R: Array, span: float, way: float = 1.0, *, rings: bool = True
) -> Mode:
    """Least axial buckling load of straight walls, the bow of the whole column (n = 1) left out.

    Parameters
    ----------
    walls : ShellWalls
        W walls; skew terms are taken as they are, right for +n waves of a long tube only.
    R : numpy.ndarray
        Mean radii, (W, K) [m].
    span : float
        Length [m]; NaN for a long tube.
    way : float
        Sign of the wave number along: which way the wave winds, for skew walls.
    rings : bool
        Whether waves that do not vary round count.

    Returns
    -------
    Mode
        Arrays (W, K).
    """
    force, low, high, most = _estimates(walls, R)
    n = np.concatenate([[0.0] * rings, np.arange(2.0, np.ceil(most.max()) + 3.0)])
    step = np.linspace(0.0, 1.0, GRID)
    log_a = np.log(low)[..., None] + np.log(high / low)[..., None] * step  # (W, K, J)
    w3, r3, f3 = walls.spread(3), R[..., None, None], force[..., None, None]
    grid = np.exp(log_a)[:, :, None, :]
    load = np.log(axial_load(w3, r3, way * grid, n[:, None]))
    a = np.exp(_dips(np.broadcast_to(log_a[:, :, None, :], load.shape), load))
    a = settled(a, lambda x: axial_load(w3, r3, way * x, n[:, None]), span)
    load = axial_load(w3, r3, way * a, n[:, None], f3)
    load = np.where(n[:, None] <= np.ceil(most)[..., None, None] + 2.0, load, np.inf)
    best, n_best, a_best = _least(load, n[:, None], a)
    w1, waves = walls.spread(1), way * a_best
    return with_slope(best, n_best, a_best, lambda f: axial_load(w1, f * R, waves, n_best, force))


def with_slope(load: Array, n: Array, a: Array, of: Callable[[float], Array]) -> Mode:
    """Mode with slope and curvature over the radius, from the loads at R (1 + e) of the same waves.

    Parameters
    ----------
    load, n, a : numpy.ndarray
        Least load and its waves.
    of : callable
        Load of the same waves at a radius so many times as large.

    Returns
    -------
    Mode
    """
    low, mid, high = np.log(of(1.0 / NEAR)), np.log(load), np.log(of(NEAR))
    step = np.log(NEAR)
    return Mode(load, n, a, (high - low) / (2 * step), (high - 2 * mid + low) / step**2)


def pressure_load(walls: ShellWalls, R: Array, a: Array, n: Array, *, follower: bool) -> Array:
    """Outside pressure at which one wave buckles [Pa].

    Notes
    -----
    Hoop force -p R works on all rotations and stretches round the ring; a pressure that follows the
    wall adds p times the second-order loss of volume. Long ring: (n^2 - 1) D / R^3 following,
    n^2 D / R^3 dead (Levy 1884; Brush & Almroth 1975, sec. 4.4).
    """
    w = condensed(walls, R, a, n)
    work = ((n - w.v) ** 2 + (1 - n * w.v) ** 2 + (n * w.u) ** 2) / R
    if follower:
        work = work - (1 + w.v**2 - 2 * n * w.v - 2 * a * R * w.u) / R
    return np.asarray(w.k / work)


def pressure(walls: ShellWalls, R: Array, span: float, *, follower: bool = True) -> Mode:
    """Least outside pressure that buckles the wall, one half-wave along.

    Parameters
    ----------
    walls, R, span
        As `axial`.
    follower : bool
        The pressure follows the wall (fluid), else it keeps its direction.

    Returns
    -------
    Mode
    """
    *_, most = _estimates(walls, R)
    n = np.arange(2.0, np.ceil(2.0 * most.max()) + 3.0)
    a = np.full((*R.shape, 1), 0.0 if np.isnan(span) else np.pi / span)
    load = pressure_load(walls.spread(2), R[..., None], a, n, follower=follower)
    load = np.where(n <= np.ceil(2.0 * most)[..., None] + 2.0, load, np.inf)
    best, n_best, a_best = _least(load, n, a)

    w1 = walls.spread(1)
    return with_slope(
        best, n_best, a_best,
        lambda f: pressure_load(w1, f * R, a_best, n_best, follower=follower),
    )  # fmt: skip


def bending_load(walls: ShellWalls, R: Array, a: Array, top: Array) -> Array:
    """Moment at which waves n = 0 to `top`, coupled, buckle with one wave length along [N m].

    Notes
    -----
    The axial force varies as cos(theta) and couples n with n +- 1 only: the pencil is bipartite in
    even and odd n, its largest eigenvalue the largest singular value of the block between them. In
    a skew wall waves that wind one way (n > 0) and the other (n < 0) differ and both are kept; ends
    between which they would have to add up to nothing are then not looked at.
    """
    skew = bool(walls.skew.any())
    most = int(top.max())
    most += most % 2
    n = np.arange(-float(most) if skew else 0.0, most)  # as many even as odd
    wave = condensed(walls.deeper(), R[..., None], a[..., None], n)
    soft = 1.0 / np.sqrt(wave.k)
    link = 0.5 * (1 + wave.v[..., 1:] * wave.v[..., :-1]) * soft[..., 1:] * soft[..., :-1]
    if not skew:
        link[..., 0] *= np.sqrt(2.0)  # n = 0 has twice the mean square
    # each tube has its own count, whatever the others in the batch need
    link = np.where(np.abs(n[:-1] + 0.5) < top[..., None], link, 0.0)
    half = len(n) // 2
    block = np.zeros((*link.shape[:-1], half, half))
    even, odd = np.arange(half), np.arange(half - 1)
    block[..., even, even] = link[..., 0::2]  # n = 2 i with 2 i + 1
    block[..., odd + 1, odd] = link[..., 1::2]  # n = 2 i + 2 with 2 i + 1
    largest = np.linalg.eigvalsh(block @ np.swapaxes(block, -1, -2))[..., -1]
    return np.asarray(np.pi * R**2 / (a * a * np.sqrt(largest)))


def bending(walls: ShellWalls, R: Array, span: float) -> Mode:
    """Least moment at which the wall buckles in bending, the section kept round until then.

    Parameters
    ----------
    walls, R, span
        As `axial`.

    Returns
    -------
    Mode
        n is NaN: waves of many n act together.
    """
    _, _, high, most = _estimates(walls, R)
    top = np.ceil(1.6 * most) + 6.0
    log_a = np.log(high / 25.0)[..., None] + np.log(25.0) * np.linspace(0.0, 1.0, 12)
    w2, r2 = walls.spread(2), R[..., None]
    top2 = top[..., None]
    load = np.log(bending_load(w2, r2, np.exp(log_a), top2))
    a = settled(np.exp(_dips(log_a, load)), lambda x: bending_load(w2, r2, x, top2), span)
    load = bending_load(w2, r2, a, top2)
    best, _, a_best = _least(load, np.zeros(1), a)

    w1 = walls.spread(1)
    return with_slope(
        best, np.full_like(best, np.nan), a_best, lambda f: bending_load(w1, f * R, a_best, top)
    )
