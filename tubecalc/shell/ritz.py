"""One Ritz/Fourier routine for any load on one tube: what the closed forms are measured by.

Half-waves along (with what is even along the tube, which B26 drives) and waves round are coupled
in full: five fields (u, v, w and two rotations), Sanders' strains, first-order transverse shear,
all of A, B and D, both signs of the torque, several n in bending. Integrals along the tube by
Gauss quadrature, round it exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tubecalc.laminate.elastic import Array
from tubecalc.shell.walls import ShellWalls

Complex = NDArray[np.complexfloating[Any, Any]]
FIELDS = ("u", "v", "w", "x", "y")


class Acting(NamedTuple):
    """Loads that grow together: compression +, moment, torque, outside pressure [N, N m, Pa]."""

    axial: float = 0.0
    moment: float = 0.0
    torque: float = 0.0
    pressure: float = 0.0
    follower: bool = True


def _shapes(m: Array, span: float, x: Array, *, clamped: bool) -> dict[str, tuple[Array, Array]]:
    """Values and slopes of the shapes along, per field, (x, m)."""
    a = m * np.pi / span
    s, c = np.sin(np.outer(x, a)), np.cos(np.outer(x, a))
    sine, cosine = (s, a * c), (c, -a * s)
    if not clamped:
        return {"u": cosine, "v": sine, "w": sine, "x": cosine, "y": sine}
    s1, c1 = np.sin(np.pi * x / span)[:, None], np.cos(np.pi * x / span)[:, None]
    flat = (s1 * s, s1 * a * c + np.pi / span * c1 * s)
    return {"u": sine, "v": sine, "w": flat, "x": sine, "y": sine}


class _Waves:
    """Strains and displacement gradients of the shapes with n waves round, (x, 5 M)."""

    def __init__(self, R: float, n: int, shapes: dict[str, tuple[Array, Array]]) -> None:
        turn = {"v": -1j, "y": -1j}  # v and y go as sin(n theta), the others as cos
        self.f = {k: turn.get(k, 1.0 + 0j) * v[0] for k, v in shapes.items()}
        self.d = {k: turn.get(k, 1.0 + 0j) * v[1] for k, v in shapes.items()}
        f, d, i = self.f, self.d, 1j * n / R
        self.strain = np.stack([
            self.row(u=d["u"]),
            self.row(v=i * f["v"], w=f["w"] / R),
            self.row(v=d["v"], u=i * f["u"]),
            self.row(x=d["x"]),
            self.row(y=i * f["y"]),
            self.row(x=i * f["x"], y=d["y"], v=d["v"] / (2 * R), u=-i * f["u"] / (2 * R)),
            self.row(x=f["x"], w=d["w"]),
            self.row(y=f["y"], w=i * f["w"], v=-f["v"] / R),
        ])  # fmt: skip
        self.along = [self.row(w=d["w"]), self.row(v=d["v"]), self.row(u=d["u"])]
        self.round = [
            self.row(w=i * f["w"], v=-f["v"] / R),
            self.row(v=i * f["v"], w=f["w"] / R),
            self.row(u=i * f["u"]),
        ]

    def row(self, **parts: Complex) -> Complex:
        """One strain over all fields."""
        zero = np.zeros_like(self.f["w"])
        return np.concatenate([parts.get(k, zero) for k in FIELDS], axis=1)

    def volume(self, R: float, weights: Array) -> Complex:
        """Second-order change of the enclosed volume per R, over two."""
        w, v, u = (self.row(**{k: self.f[k]}) for k in "wvu")
        dw, dv = (x * R for x in (self.round[0], self.round[1]))  # w. - v and v. + w
        out = _product(w, dv, weights) - _product(v, dw, weights)
        ux, wx = self.along[2], self.along[0]
        out = out + R * (_product(ux, w, weights) - _product(u, wx, weights))
        return np.asarray((out + out.conj().T) / (2 * R))


def _product(a: Complex, b: Complex, weights: Array) -> Complex:
    return np.asarray((a.conj().T * weights) @ b)


def ritz(
    wall: ShellWalls, R: float, span: float, acting: Acting, around: Sequence[int],
    along: Sequence[int], *, clamped: bool = False,
) -> float:  # fmt: skip
    """Factor on the loads at which one perfect tube buckles.

    Parameters
    ----------
    wall : ShellWalls
        One wall.
    R, span : float
        Mean radius and length [m].
    acting : Acting
        Loads that grow together.
    around : sequence of int
        Waves round; neighbours are coupled by a moment, so give them in rising order.
    along : sequence of int
        Half-waves along.
    clamped : bool
        Ends clamped between stiff plates instead of simply supported (w = v = 0).

    Returns
    -------
    float
        Least positive factor; infinity when the loads buckle nothing.

    Notes
    -----
    Axial, hoop and shear forces of the membrane state work on all first-order gradients of the
    displacements (Green's strain); a following pressure adds the change of volume. n = 0 and
    skew walls with a moment: the modes symmetric under a half-turn about the mid-length radius.

    Examples
    --------
    >>> from tubecalc.tube import Tube
    >>> from tubecalc.shell.walls import shell_walls
    >>> s = Tube("304", od="60 mm", wall="1.5 mm").sections
    >>> wall, acting = shell_walls(s.walls), Acting(axial=1e3)
    >>> factors = [ritz(wall, s.R[0], 0.12, acting, [n], range(1, 7)) for n in range(2, 6)]
    >>> int(np.argmin(factors)) + 2  # waves round
    3
    """
    m = np.asarray(along, float)
    if not clamped:  # axial movement and tilt may also be even along the tube
        m = np.concatenate([[0.0], m])
    nodes, weights = np.polynomial.legendre.leggauss(int(3 * m.max()) + 16)
    x, w = span / 2 * (nodes + 1), span / 2 * weights
    shapes = _shapes(m, span, x, clamped=clamped)
    waves = [_Waves(R, n, shapes) for n in around]
    size = 5 * len(m)
    k = np.zeros((size * len(waves),) * 2, complex)
    g = np.zeros_like(k)
    c = np.zeros((8, 8))
    c[:6, :6], c[6, 6], c[7, 7] = wall.abd[0], wall.shear_x[0], wall.shear_h[0]
    for i, one in enumerate(waves):
        at = slice(i * size, (i + 1) * size)
        stress = np.einsum("ij,jxd->ixd", c, one.strain)
        k[at, at] = np.einsum("ixd,x,ixe->de", one.strain.conj(), w, stress, optimize=True)
        g[at, at] = _work(one, R, acting, w)
        if acting.moment and i + 1 < len(waves):
            beside = slice((i + 1) * size, (i + 2) * size)
            share = (np.sqrt(0.5) if around[i] == 0 else 0.5) * acting.moment / (np.pi * R * R)
            pairs = zip(one.along[:2], waves[i + 1].along[:2], strict=True)
            g[at, beside] = share * sum(_product(p, q, w) for p, q in pairs)
            g[beside, at] = g[at, beside].conj().T
    real = np.diagonal(k).real
    kept = np.flatnonzero(real > 1e-12 * real.max())  # the others are no shape at all
    k, g = (matrix[np.ix_(kept, kept)] for matrix in (k, g))
    low = np.linalg.cholesky(k)
    half = np.linalg.solve(low, g)
    full = np.linalg.solve(low, half.conj().T)
    top = float(np.linalg.eigvalsh((full + full.conj().T) / 2)[-1])
    return 1.0 / top if top > 0 else float("inf")


def _work(one: _Waves, R: float, acting: Acting, w: Array) -> Complex:
    """Work of the loads' membrane forces on one number of waves round."""
    out = acting.axial / (2 * np.pi * R) * sum(_product(p, p, w) for p in one.along[:2])
    if acting.torque:
        pairs = zip(one.along, one.round, strict=True)
        cross = sum(_product(p, q, w) for p, q in pairs)
        out = out - acting.torque / (2 * np.pi * R * R) * (cross + np.conj(np.transpose(cross)))
    if acting.pressure:
        out = out + acting.pressure * R * sum(_product(p, p, w) for p in one.round)
        if acting.follower:
            out = out - acting.pressure * one.volume(R, w)
    return np.asarray(out)
