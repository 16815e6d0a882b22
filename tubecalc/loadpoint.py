"""A load pressed on a patch of the wall: dent, bending and stretch of the wall under it.

Cylindrical shell with transverse shear, solved by Fourier integral along the tube and Fourier
series round it. Worked out once per distinct wall at a few radii; candidates interpolate.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layup import Layup
from tubecalc.ring import SHEAR_SHARE, hoop_shear_modulus
from tubecalc.ring_wave import wave_strains
from tubecalc.wall import WallTable

NOSE_LENGTH, NOSE_ANGLE = 2e-3, math.radians(30.0)  # the nose of the finite-element reference
SAME_SPREAD = math.sqrt(5.0 / 3.0)  # half-width of a parabola over that of a box, equal variance
WAVES = np.array([0, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 21, 24, 27, 30, 34, 38])
SPARSE = np.array([2.0, 3.0, 4.0, 6.0, 9.0, 14.0, 22.0, 38.0])  # waves worked out on the ring
LENGTHS = 24  # wave numbers along the tube
TAIL = 14.0  # wave number times half-length at which the pressure has faded


@dataclass(frozen=True)
class Patch:
    """Part of the surface that a load presses on.

    Parameters
    ----------
    length : float
        Along the tube [m]; less than the wall is taken as the wall.
    angle : float
        Round the tube [rad].
    opposed : bool
        The same load presses from the other side too (a pinch or a clamp); else the load is
        carried away by the tube as a beam.
    """

    length: float = NOSE_LENGTH
    angle: float = NOSE_ANGLE
    opposed: bool = False


NOSE = Patch()


class Response(NamedTuple):
    """Per unit load: dent (L, R) [m/N], stretch and curvature under the patch [1/N, 1/(m N)].

    Dent is inward and is the mean over the patch. Stretch and curvature are (L, R, 2, 3): as they
    count for the bore and for the outside; axial, hoop and shear.
    """

    dent: Array
    stretch: Array
    curve: Array


class Shell(NamedTuple):
    """Stiffness of L walls: membrane, coupling, bending (6, L), shear along and round (L,)."""

    a: Array
    b: Array
    d: Array
    along: Array
    round: Array


def shell_of(walls: WallTable) -> Shell:
    """Shell stiffness of distinct walls.

    Parameters
    ----------
    walls : WallTable
        L walls.

    Returns
    -------
    Shell
        Transverse shear is five sixths of the plies' shear stiffness in series.
    """
    shear = np.empty((2, len(walls.t)))
    for n, layup in enumerate(walls.layups):
        for row, turn in ((0, 90.0), (1, 0.0)):
            series = sum(
                x.thickness * x.count / hoop_shear_modulus(x.values, turn + x.angle)
                for x in layup.layers
            )
            shear[row, n] = SHEAR_SHARE * layup.t**2 / series
    m = walls.moments
    return Shell(m[0], m[1], m[2], shear[0], shear[1])


def _solve(shell: Shell, a: Array, b: Array, r: Array) -> tuple[Array, list[Array]]:
    """Outward motion and (u, v, bx, by) over it under unit pressure cos(a x + b y).

    First-order shear shell: e = (u', v* + w r, u* + v'), g = (bx + w', by + w* - v r) and
    k = (bx', by*, bx* + by' + (v' - u*) r / 2), the last after Sanders 1959, without which a
    rigid turn of the tube would twist the wall. With u, v, bx, by as sine and w as cosine of one
    helical phase all stretches and curvatures are cosines and both shears are sines, so that
    walls with 16 and 26 terms give a real symmetric system too.
    """
    A11, A12, A16, A22, A26, A66 = shell.a[:, :, None, None, None]
    B11, B12, B16, B22, B26, B66 = shell.b[:, :, None, None, None]
    D11, D12, D16, D22, D26, D66 = shell.d[:, :, None, None, None]
    sx, sy = shell.along[:, None, None, None], shell.round[:, None, None, None]
    aa, ab, bb = a * a, a * b, b * b

    def own(c11: Array, c16: Array, c66: Array) -> Array:
        return c11 * aa + 2.0 * c16 * ab + c66 * bb

    def other(c22: Array, c26: Array, c66: Array) -> Array:
        return c22 * bb + 2.0 * c26 * ab + c66 * aa

    def cross(c12: Array, c16: Array, c26: Array, c66: Array) -> Array:
        return (c12 + c66) * ab + c16 * aa + c26 * bb

    twist = (B16 * a + B66 * b, B26 * b + B66 * a, D16 * a + D66 * b, D26 * b + D66 * a)
    turn = (-0.5 * r * b, 0.5 * r * a)  # share of u and v in the twist
    b_cross = cross(B12, B16, B26, B66)
    m = [
        [own(A11, A16, A66)],
        [cross(A12, A16, A26, A66), other(A22, A26, A66) + r * r * sy],
        [own(B11, B16, B66), b_cross, own(D11, D16, D66) + sx],
        [
            b_cross, other(B22, B26, B66) - r * sy, cross(D12, D16, D26, D66),
            other(D22, D26, D66) + sy,
        ],
    ]  # fmt: skip
    h = [
        r * (a * A12 + b * A26) + turn[0] * (r * B26),
        r * (b * (A22 + sy) + a * A26) + turn[1] * (r * B26),
        r * (a * B12 + b * B26) - a * sx,
        r * (b * B22 + a * B26) - b * sy,
    ]
    for i in range(4):
        for j in range(min(i, 1) + 1):
            m[i][j] = m[i][j] + turn[j] * twist[i]
            if i < 2:
                m[i][j] = m[i][j] + turn[i] * (twist[j] + D66 * turn[j])
    y = _ldl(m, h)
    w = 1.0 / (r * r * A22 + aa * sx + bb * sy - sum(hi * yi for hi, yi in zip(h, y, strict=True)))
    return np.asarray(w), [-yi for yi in y]


def _ldl(m: list[list[Array]], h: list[Array]) -> list[Array]:
    """Solve many small symmetric systems given by their lower triangle."""
    n = len(h)
    low: list[list[Array]] = [[] for _ in range(n)]  # L below the diagonal
    diag: list[Array] = []
    for i in range(n):
        for j in range(i):
            s = m[i][j]
            for k in range(j):
                s = s - low[i][k] * low[j][k] * diag[k]
            low[i].append(s / diag[j])
        d = m[i][i]
        for k in range(i):
            d = d - low[i][k] ** 2 * diag[k]
        diag.append(d)
    x: list[Array] = []
    for i in range(n):
        s = h[i]
        for k in range(i):
            s = s - low[i][k] * x[k]
        x.append(s)
    x = [xi / di for xi, di in zip(x, diag, strict=True)]
    for i in reversed(range(n)):
        for k in range(i + 1, n):
            x[i] = x[i] - low[k][i] * x[k]
    return x


def spread(x: Array) -> Array:
    """Fourier transform of a unit parabolic pressure of half-width 1 at wave number x.

    Examples
    --------
    >>> np.abs(spread(np.array([0.0, 4.493409457909064]))).round(12).tolist()  # tan x = x
    [1.0, 0.0]
    """
    small = np.abs(x) < 1e-2
    y = np.where(small, 1.0, x)
    full = 3.0 * (np.sin(y) - y * np.cos(y)) / y**3
    return np.where(small, 1.0 - x * x / 10.0, full)


def respond(walls: WallTable, radii: Array, patch: Patch) -> Response:
    """Response of walls at some radii.

    Parameters
    ----------
    walls : WallTable
        L walls.
    radii : numpy.ndarray
        Mean radii, (L, R) [m].
    patch : Patch
        Where the load presses.

    Returns
    -------
    Response

    Notes
    -----
    Own derivation on the first-order shear shell (Reddy, Mechanics of Laminated Composite Plates
    and Shells, 2nd ed. 2004, ch. 8; MEMORY), transformed along the tube as for a concentrated
    load on a long cylinder (Yuan 1946; Morley 1960; MEMORY). The pressure is a parabola along and
    round with the variance of an even pressure on the patch. Round the tube n = 1 is left to the
    beam.
    """
    shell = shell_of(walls)
    out = [
        _one(Shell(*(x[..., n : n + 1] for x in shell)), walls.layups[n], radii[n : n + 1], patch)
        for n in range(len(walls.t))
    ]
    return Response(*(np.concatenate(x) for x in zip(*out, strict=True)))


def _one(shell: Shell, layup: Layup, radii: Array, patch: Patch) -> Response:
    """Response of one wall; arrays are (1, R, wave round, wave along)."""
    half = SAME_SPREAD * max(patch.length, layup.t) / 2.0
    waves, count = WAVES, _counts()
    if patch.opposed:
        waves, count = waves[waves % 2 == 0], 2.0 * count[waves % 2 == 0]
    a, weight = _along(shell, radii, half)
    r = (1.0 / radii)[..., None, None]
    turn = SAME_SPREAD * patch.angle / 2.0
    shape = spread(waves * turn)[:, None] * spread(a * half)
    p = (count / np.pi**2 / spread(np.array(turn)))[:, None] * shape * weight * r  # per newton
    signs = (1.0,) if _straight(shell, layup.t) else (1.0, -1.0)
    total = [np.zeros((*radii.shape, len(waves))) for _ in range(7)]
    for sign in signs:
        b = sign * waves[:, None] * r
        w, (u, v, x, y) = _solve(shell, a, b, r)
        w = w * p / len(signs)
        twist = b * x + a * y + 0.5 * r * (a * v - b * u)
        parts = (w * shape, a * u * w, (b * v + r) * w, (b * u + a * v) * w,
                 a * x * w, b * y * w, twist * w)  # fmt: skip
        total = [s + q.sum(axis=-1) for s, q in zip(total, parts, strict=True)]
    bent = np.ones((2, *total[0].shape))
    bent[:, 0, :, waves > 1] = np.moveaxis(
        curved_bar(shell, layup, radii[0], waves[waves > 1]), -1, 0
    )
    faces = np.stack([np.stack([t * (f if i in (2, 5) else 1.0) for f in bent], axis=-2)
                      for i, t in enumerate(total)])  # fmt: skip
    faces = np.moveaxis(-faces.sum(axis=-1), 0, -1)
    return Response(total[0].sum(axis=-1), faces[..., 1:4], faces[..., 4:7])


def curved_bar(shell: Shell, layup: Layup, radii: Array, waves: Array) -> Array:
    """Hoop strain of the exact layered ring over that of the shell, wave by wave.

    Parameters
    ----------
    shell : Shell
        The one wall.
    layup : Layup
        Its stack.
    radii : numpy.ndarray
        Mean radii, (R,) [m].
    waves : numpy.ndarray
        Waves round, 2 or more, (W,).

    Returns
    -------
    numpy.ndarray
        Factors at the bore and outside, (2, R, W).
    """
    known = _bars(_stack(layup))
    if not known.keep:
        known.keep.append(layup)
    ratios = np.round(radii / layup.t, 9)
    new = np.array([n for n, x in enumerate(ratios.tolist()) if x not in known.found], np.intp)
    if len(new):
        each = np.moveaxis(_bar(shell, layup, radii[new]), 1, 0)
        known.found.update(zip(ratios[new].tolist(), each, strict=True))
    factor = np.stack([known.found[x] for x in ratios.tolist()], axis=1)
    return np.asarray(factor @ _weights(np.log(SPARSE), np.log(waves.astype(float))))


@dataclass(frozen=True)
class _Bars:
    """Factors of one stack by radius over wall, whatever its thickness, (2, wave) each."""

    keep: list[Layup]  # a stack is known by its materials' identity: keep them alive
    found: dict[float, Array]


@lru_cache(maxsize=2048)
def _bars(stack: tuple[tuple[int, float, float], ...]) -> _Bars:
    return _Bars([], {})


def _stack(layup: Layup) -> tuple[tuple[int, float, float], ...]:
    """What makes two walls alike but for their size."""
    return tuple(
        (id(x.values), x.angle, round(x.thickness * x.count / layup.t, 9)) for x in layup.layers
    )


def _bar(shell: Shell, layup: Layup, radii: Array) -> Array:
    """Factors at the waves of `SPARSE`, (2, R, M)."""
    r, n = (x.ravel() for x in np.meshgrid(radii, SPARSE, indexing="ij"))
    one = np.ones((1, 1, 1, len(r))) / r
    w, (_, v, _, y) = _solve(shell, 0.0 * one, n * one, one)
    z = np.array([-0.5, 0.5])[:, None] * layup.t
    inside = np.maximum(r + z, 1e-3 * r)
    plain = (((n / r * v + 1.0 / r) * w)[0, 0] + z * (n / r * y * w)[0, 0]) * r / inside
    exact = wave_strains(layup, radii, SPARSE)
    return np.asarray(exact / plain.reshape(exact.shape))


def _weights(nodes: Array, at: Array) -> Array:
    """Weights of linear interpolation from nodes, (N, M)."""
    return np.stack([np.interp(at, nodes, row) for row in np.eye(len(nodes))])


def _straight(shell: Shell, t: float) -> bool:
    """Whether the wall has no 16 and 26 terms, so that both senses of a helix are alike."""
    terms = (shell.a[[2, 4]], shell.b[[2, 4]] / t, shell.d[[2, 4]] / t**2)
    return bool(max(np.abs(x).max() for x in terms) < 1e-9 * shell.a[0, 0])


def _along(shell: Shell, radii: Array, half: float) -> tuple[Array, Array]:
    """Wave numbers along the tube and their weights, (1, R, 1, K), even in the logarithm."""
    soft = (4.0 * shell.d[3] / shell.a[0])[:, None] ** 0.25 / radii**1.5
    low = np.minimum(0.02 * np.minimum(soft, 1.0 / radii), 0.1 / half)
    step = (np.log(TAIL / half / low) / (LENGTHS - 1))[..., None]
    a = (low[..., None] * np.exp(step * np.arange(LENGTHS)))[:, :, None, :]
    weight = a * step[..., None]
    weight[..., 0] = 0.5 * weight[..., 0] + a[..., 0]  # with what lies below the first
    weight[..., -1] *= 0.5
    return a, weight


def _counts() -> Array:
    """How many waves each of `WAVES` stands for; n = 0 counts half."""
    gaps = np.diff(WAVES, append=2 * WAVES[-1] - WAVES[-2])
    before = np.diff(WAVES, prepend=-1)
    count = (gaps + before) / 2.0
    count[WAVES == 2] = 1.0
    count[0] = 0.5
    return np.asarray(count)
