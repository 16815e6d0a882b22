"""Walls that couple stretch with twist (single helix, few angle plies): half-waves coupled.

Between simply supported ends the skew terms of A, B and D couple odd with even half-waves, in
every field; all five fields are kept. The axial movement and the tilt along the tube, which are
cosines along it, also have a part that is even along the tube (m = 0): with B26 it lets the hoop
bend without shear being held. A long tube buckles in one helical wave, whichever way it winds
easier.
"""

from __future__ import annotations

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.shell.twist import overlaps
from tubecalc.shell.walls import ShellWalls

SINES, COSINES = (0, 1, 3, 4), (2, 5)  # strain components by their shape along the tube
EVEN = (0, 3)  # fields that may be even along the tube: axial movement, tilt along


def _strains(a: Array, n: Array, R: Array) -> tuple[Array, Array, Array]:
    """Strain amplitudes per field (B, M, components, 5): sine ones, cosine ones, two shears."""
    shape = np.broadcast_shapes(a.shape, n.shape, R.shape)
    b = n / R
    s, c, g = (np.zeros((*shape, k, 5)) for k in (4, 2, 2))
    s[..., 0, 0] = s[..., 2, 3] = -a
    s[..., 1, 1] = s[..., 3, 4] = b
    s[..., 1, 2] = 1.0 / R
    c[..., 0, 0], c[..., 0, 1] = b, -a
    c[..., 1, 3], c[..., 1, 4] = b, -a
    c[..., 1, 1], c[..., 1, 0] = -a / (2 * R), -b / (2 * R)
    g[..., 0, 3], g[..., 0, 2] = 1.0, a
    g[..., 1, 4], g[..., 1, 2], g[..., 1, 1] = -1.0, b, 1.0 / R
    return s, c, g


def _stiffness(walls: ShellWalls, R: Array, n: Array, m: Array, span: float) -> Array:
    """Stiffness over (half-wave, field) pairs, (B, M, 5, M, 5), times 2 / span; m from 0."""
    a = m * np.pi / span
    s, c, g = _strains(a, n[:, None], R[:, None])
    abd = walls.abd
    ss = abd[:, SINES][:, :, SINES]
    cc = abd[:, COSINES][:, :, COSINES]
    sc = abd[:, SINES][:, :, COSINES]
    shear = np.stack([walls.shear_x, walls.shear_h], axis=-1)[:, None, :, None]
    own = _twice_the_even(
        np.swapaxes(s, -1, -2) @ (ss[:, None] @ s)
        + np.swapaxes(c, -1, -2) @ (cc[:, None] @ c)
        + np.swapaxes(g, -1, -2) @ (shear * g)
    )
    count = len(m)
    sign = np.where(m % 2 == 1, -1.0, 1.0)[:, None]
    link = sign * overlaps(m) * 2 / np.pi  # times 2 / span
    half = np.einsum("mp,bmij,bpjk->bmipk", link, np.swapaxes(s, -1, -2), sc[:, None] @ c)
    out = half + half.transpose(0, 3, 4, 1, 2)
    at = np.arange(count)
    out[:, at, :, at, :] += own.transpose(1, 0, 2, 3)
    return np.asarray(out)


def _twice_the_even(own: Array) -> Array:
    """What is even along the tube fills the whole span, a half-wave half of it; (B, M, 5, 5)."""
    out = own.copy()
    out[:, 0] *= 2.0
    return out


def _shear(a: Array, n: Array, m: Array) -> Array:
    """Work of a unit shear force times R, over (half-wave, field) pairs, (B, M, 5, M, 5)."""
    count = len(m)
    out = np.zeros((len(n), count, 5, count, 5))
    j = overlaps(m) * 2 / np.pi
    sign = np.where(m % 2 == 1, 1.0, -1.0)[:, None]
    ao, an, nn = a[None, :], a[:, None], n[:, None, None]
    one, other = sign * j, sign * j.T
    out[:, :, 2, :, 2] = nn * (one * ao - other * an)
    out[:, :, 1, :, 1] = nn * (one * ao - other * an)
    out[:, :, 1, :, 2] = one * ao - other * an
    out[:, :, 2, :, 1] = one * ao - other * an
    out[:, :, 0, :, 0] = nn * (one * an - other * ao)
    return out


def critical(
    walls: ShellWalls, R: Array, n: Array, span: float, count: int, kind: str, sign: float = 1.0
) -> Array:
    """Load that buckles skew walls between supports in n waves round.

    Parameters
    ----------
    walls : ShellWalls
        B walls.
    R, n : numpy.ndarray
        Mean radius [m] and waves round, two or more; (B,).
    span : float
        Length [m].
    count : int
        Half-waves along.
    kind : str
        "axial", "torsion", "pressure" or "follower".
    sign : float
        Sign of the torque.

    Returns
    -------
    numpy.ndarray
        [N, N m or Pa].
    """
    k, g = forms(walls, R, n, span, count, kind, sign)
    low = np.asarray(np.linalg.cholesky(k), float)
    return np.asarray(1.0 / np.linalg.eigvalsh(_whitened(low, g))[:, -1])


def easiest(
    walls: ShellWalls, R: Array, n: Array, span: float, count: int, kept: int
) -> tuple[Array, Array]:
    """Least axial loads of skew walls between supports, and the shapes they buckle in.

    Parameters
    ----------
    walls, R, n, span, count
        As in `critical`.
    kept : int
        How many.

    Returns
    -------
    tuple of numpy.ndarray
        Loads rising (B, kept) [N], shapes (B, S, kept).
    """
    k, g = forms(walls, R, n, span, count, "axial")
    low = np.asarray(np.linalg.cholesky(k), float)
    values, shapes = np.linalg.eigh(_whitened(low, g))
    shapes = np.linalg.solve(np.swapaxes(low, -1, -2), shapes[..., : -kept - 1 : -1])
    return 1.0 / values[..., : -kept - 1 : -1], shapes


def _whitened(low: Array, g: Array) -> Array:
    half = np.linalg.solve(low, g)
    return np.asarray(np.linalg.solve(low, np.swapaxes(half, -1, -2)))


def forms(
    walls: ShellWalls, R: Array, n: Array, span: float, count: int, kind: str, sign: float = 1.0
) -> tuple[Array, Array]:
    """Stiffness, and work of a unit load, over the fields of every half-wave; (B, S, S) both.

    Parameters
    ----------
    walls, R, n, span, count, kind, sign
        As in `critical`.

    Returns
    -------
    tuple of numpy.ndarray
        S = 5 count + 2: the two fields even along the tube, then five for each half-wave.
    """
    m = np.arange(count + 1.0)
    a = m * np.pi / span
    k = _stiffness(walls, R, n, m, span)
    if kind == "torsion":
        g = -sign * _shear(a, n, m) / (2 * np.pi * R**3)[:, None, None, None, None]
    else:
        g = np.zeros_like(k)
        at = np.arange(len(m))
        own = _twice_the_even(_work(kind, a, n, R))
        g[:, at, :, at, :] = own.transpose(1, 0, 2, 3)
    size = 5 * len(m)
    kept = np.concatenate([EVEN, np.arange(5, size)])
    k, g = (x.reshape(-1, size, size)[:, kept[:, None], kept] for x in (k, g))
    return k, g


def _work(kind: str, a: Array, n: Array, R: Array) -> Array:
    """Work of a unit axial load or pressure on one half-wave's fields, (B, M, 5, 5)."""
    out = np.zeros((len(n), len(a), 5, 5))
    if kind == "axial":
        out[..., 1, 1] = out[..., 2, 2] = a**2 / (2 * np.pi * R[:, None])
        return out
    r, k = R[:, None], n[:, None]
    out[..., 1, 1] = out[..., 2, 2] = (1 + k**2) / r
    out[..., 1, 2] = out[..., 2, 1] = 2 * k / r
    out[..., 0, 0] = k**2 / r
    if kind == "follower":
        out[..., 1, 1] -= 1 / r
        out[..., 2, 2] -= 1 / r
        out[..., 1, 2] -= k / r
        out[..., 2, 1] -= k / r
        out[..., 0, 2] += a
        out[..., 2, 0] += a
    return out
