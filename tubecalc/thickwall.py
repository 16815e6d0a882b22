"""Exact elastic solution of layered tubes: axial force, torque, pressure, temperature, moisture.

Each ply is a cylindrically orthotropic layer turned about the radius, in generalised plane strain.
A layer is an element with exact shape functions r^k, r^-k and the particular parts of axial
strain, twist and free strain; the radial displacements of the interfaces are eliminated layer by
layer (a symmetric positive tridiagonal system), for N tubes at a time.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from tubecalc.errors import InputError
from tubecalc.laminate.elastic import Array, Ints
from tubecalc.laminate.layup import Layup
from tubecalc.ring import DEFAULT_NU23
from tubecalc.unit_words import worded
from tubecalc.values import Values

WOVEN_NU3 = 0.30  # through-thickness Poisson ratio of woven cloth where none is known (MEMORY)
LOADS = ("axial", "torque", "p_in", "p_out")
_PORTION = 1024  # tubes at a time: keeps the working set in the cache
_ENTRIES = ((0, 0), (0, 1), (0, 2), (0, 3), (1, 1), (1, 2), (1, 3), (2, 2), (2, 3), (3, 3))


def stiffness_3d(v: Values, angle: float) -> Array:
    """Stiffness of a turned ply over (axial, hoop, radial, axial-hoop shear), 4 x 4 [Pa].

    Parameters
    ----------
    v : Values
        Ply in SI. nu13 is taken as nu12 for unidirectional plies and as nu23 for woven ones.
    angle : float
        Fibre angle from the tube axis [deg].

    Returns
    -------
    numpy.ndarray
        Stiffness [Pa].

    Notes
    -----
    Source: Jones, Mechanics of Composite Materials, 2nd ed. 1999, sec. 2.6 (monoclinic).
    """
    default = WOVEN_NU3 if v.woven else DEFAULT_NU23
    nu23 = v.nu12 if v.isotropic else default if math.isnan(v.nu23) else v.nu23
    nu13 = nu23 if v.woven else v.nu12
    e3 = v.E2 if math.isnan(v.E3) else v.E3
    s = np.zeros((4, 4))
    s[0, 0], s[1, 1], s[2, 2], s[3, 3] = 1 / v.E1, 1 / v.E2, 1 / e3, 1 / v.G12
    s[0, 1] = s[1, 0] = -v.nu12 / v.E1
    s[0, 2] = s[2, 0] = -nu13 / v.E1
    s[1, 2] = s[2, 1] = -nu23 / v.E2
    t = turn_4(angle)
    return np.asarray(t @ np.linalg.inv(s) @ t.T)


def turn_4(angle: float) -> Array:
    """Ply-axis stresses -> wall-axis stresses over (1, 2, 3, 12), 4 x 4 [-]."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return np.array(
        [
            [c * c, s * s, 0, -2 * c * s],
            [s * s, c * c, 0, 2 * c * s],
            [0, 0, 1, 0],
            [c * s, -c * s, 0, c * c - s * s],
        ]
    )


def free_strain(angle: float, along: float, across: float) -> Array:
    """Free strain of a turned ply over (axial, hoop, radial, shear) [-]."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return np.array(
        [along * c * c + across * s * s, along * s * s + across * c * c, across,
         2 * c * s * (along - across)]
    )  # fmt: skip


class Constants(NamedTuple):
    """Elastic constants of K distinct plies in wall axes, each (K,) [Pa].

    1 axial, 2 hoop, 3 radius, 6 axial-hoop shear; b1 to b6 are the stresses of each free-strain
    column when fully held, (F, K).
    """

    c11: Array
    c12: Array
    c13: Array
    c16: Array
    c22: Array
    c23: Array
    c26: Array
    c33: Array
    c36: Array
    c66: Array
    b1: Array
    b2: Array
    b3: Array
    b6: Array


def constants(
    pairs: Sequence[tuple[Values, float]], free: Sequence[Sequence[tuple[float, float]]] = ()
) -> Constants:
    """Constants of plies and of their free strains.

    Parameters
    ----------
    pairs : sequence of (Values, float)
        K plies and their angles [deg].
    free : sequence
        F columns of K free strains (along, across) the fibre [-]; for instance the expansion
        coefficients.

    Returns
    -------
    Constants
    """
    c = np.stack([stiffness_3d(v, a) for v, a in pairs])
    held = np.zeros((len(free), len(pairs), 4))
    for f, column in enumerate(free):
        for n, ((_, angle), (along, across)) in enumerate(zip(pairs, column, strict=True)):
            held[f, n] = c[n] @ free_strain(angle, along, across)
    return Constants(*(c[:, i, j] for i, j in _ENTRIES), *np.moveaxis(held, -1, 0))


class Response(NamedTuple):
    """Answer of N tubes to M load columns; lengths over the outside radius.

    axial_strain and twist (times the outside radius) are (M, N); u and pull, the radial
    displacement and radius times radial stress at every interface, are (P + 1, M, N).
    """

    axial_strain: Array
    twist: Array
    u: Array
    pull: Array


class _Elements(NamedTuple):
    """Layers as elements, (P, N); loads of axial strain, twist and free strains on both faces."""

    k00: Array
    k01: Array
    k11: Array
    face0: Array  # (2 + F, P, N)
    face1: Array
    n_e: Array
    n_t: Array
    t_t: Array
    n_free: Array  # (F, P, N)
    t_free: Array


def _slide(x: Array) -> Array:
    """(1 - exp(-x)) / x, 1 at zero."""
    small = np.abs(x) < 1e-12
    if not small.any():
        return np.asarray(-np.expm1(-x) / x)
    return np.where(small, 1.0, -np.expm1(-x) / np.where(small, 1.0, x))


def _elements(c: Constants, r: Array) -> _Elements:
    """Element matrices of every layer; c is gathered to (P, N), r the interfaces (P + 1, N).

    With q = r0 / r1, Q = q^k and g_m(s) = (s^m - s^k) / (m - k), the particular part to the power
    m that is nil at the outer face and stays finite where m = k: integral of (q/s)^k is -g_1(q),
    of s (q/s)^k is -g_2(q), of s^p g_m is -[(1 - q^(m+p+1)) / (m+p+1) + q^(p+1) g_m(q)] / (k+p+1).
    """
    r1 = r[1:]
    q = r[:-1] / r1
    log = np.log(1.0 / q)
    k = np.sqrt(c.c22 / c.c33)
    big = np.exp(-k * log)
    gap = -np.expm1(-2.0 * k * log)  # 1 - Q^2
    g1, g2 = -big * log * _slide((1.0 - k) * log), -big * log * _slide((2.0 - k) * log)
    kc, kq = k * (1.0 + big * big) / gap, 2.0 * k * big / gap
    q2, q3 = q * q, q**3
    s_gap, t_gap = c.c12 - c.c13, c.c26 - 2.0 * c.c36
    s, w = s_gap / (1.0 + k), t_gap / (2.0 + k)  # times the power's part, over c33
    in1, out1 = big + g1 * (1.0 + kc), 1.0 + kq * g1
    in2, out2 = big + g2 * (2.0 + kc), 1.0 + kq * g2
    h = (-g1 - big * (1.0 - big * q) / (k + 1.0)) / gap  # integral of the inner shape
    h_r = (-g2 - big * (1.0 - big * q2) / (k + 2.0)) / gap  # the same times s
    p1 = -((1.0 - q2) / 2.0 + q * g1) / (k + 1.0) - g1 * h
    p1_r = -((1.0 - q3) / 3.0 + q2 * g1) / (k + 2.0) - g1 * h_r
    p2_r = -((1.0 - q2 * q2) / 4.0 + q2 * g2) / (k + 2.0) - g2 * h_r
    f = len(c.b1)
    face0, face1 = np.empty((2 + f, *q.shape)), np.empty((2 + f, *q.shape))
    face0[0], face1[0] = -r1 * (c.c13 * q + s * in1), r1 * (c.c13 + s * out1)
    rr = r1 * r1
    face0[1], face1[1] = -rr * (c.c36 * q2 + w * in2), rr * (c.c36 + w * out2)
    n_free, t_free = np.empty((f, *q.shape)), np.empty((f, *q.shape))
    for i in range(f):
        b = (c.b3[i] - c.b2[i]) / (1.0 + k)
        face0[2 + i] = -r1 * (b * in1 - c.b3[i] * q)
        face1[2 + i] = r1 * (b * out1 - c.b3[i])
        n_free[i] = rr * (b / c.c33 * s_gap * p1 - c.b1[i] * (1.0 - q2) / 2.0)
        t_free[i] = rr * r1 * (b / c.c33 * t_gap * p1_r - c.b6[i] * (1.0 - q3) / 3.0)
    return _Elements(
        c.c33 * kc - c.c23, -c.c33 * kq, c.c33 * kc + c.c23, face0, face1,
        rr * (c.c11 * (1.0 - q2) / 2.0 + s * s_gap / c.c33 * p1),
        rr * r1 * (c.c16 * (1.0 - q3) / 3.0 + s * t_gap / c.c33 * p1_r),
        rr * rr * (c.c66 * (1.0 - q2 * q2) / 4.0 + w * t_gap / c.c33 * p2_r),
        n_free, t_free,
    )  # fmt: skip


def _eliminate(e: _Elements, right: Array) -> Array:
    """Displacements of the interfaces, (P + 1, M, N), for the right sides; Thomas' elimination."""
    layers = len(e.k00)
    diagonal = np.zeros((layers + 1, e.k00.shape[1]))
    diagonal[:-1] += e.k00
    diagonal[1:] += e.k11
    for i in range(layers):
        share = e.k01[i] / diagonal[i]
        diagonal[i + 1] -= share * e.k01[i]
        right[i + 1] -= share * right[i]
    right[layers] /= diagonal[layers]
    for i in range(layers - 1, -1, -1):
        right[i] -= e.k01[i] * right[i + 1]
        right[i] /= diagonal[i]
    return right


def _solve(c: Constants, r: Array) -> Response:
    e = _elements(c, r)
    layers, n = e.k00.shape
    held = len(e.face0)  # axial strain, twist, free strains; then both pressures
    right = np.zeros((layers + 1, held + 2, n))
    right[:-1, :held] -= np.moveaxis(e.face0, 0, 1)
    right[1:, :held] -= np.moveaxis(e.face1, 0, 1)
    right[0, held], right[-1, held + 1] = r[0], -r[-1]
    u = _eliminate(e, right)
    # resultants over 2 pi of each column with axial strain and twist held: reciprocity of the faces
    pulled = np.stack(
        [(e.face0[i][:, None] * u[:-1] + e.face1[i][:, None] * u[1:]).sum(0) for i in (0, 1)]
    )
    n_e = e.n_e.sum(0) + pulled[0, 0]
    n_t = e.n_t.sum(0) + pulled[0, 1]
    t_t = e.t_t.sum(0) + pulled[1, 1]
    pulled[0, 2:held] += e.n_free.sum(1)
    pulled[1, 2:held] += e.t_free.sum(1)
    columns = held + 2  # axial, torque, p_in, p_out, free strains
    det = n_e * t_t - n_t * n_t
    n_load, t_load = np.zeros((columns, n)), np.zeros((columns, n))
    n_load[0] = t_load[1] = 1.0
    order = [held, held + 1, *range(2, held)]
    n_load[2:], t_load[2:] = -pulled[0, order], -pulled[1, order]
    strain, twist = (t_t * n_load - n_t * t_load) / det, (n_e * t_load - n_t * n_load) / det
    moved = strain * u[:, 0][:, None] + twist * u[:, 1][:, None]
    moved[:, 2:] += u[:, order]
    pull = np.empty_like(moved)
    pull[0], pull[0, 2] = 0.0, -r[0]
    pull[1:] = (
        e.k01[:, None] * moved[:-1] + e.k11[:, None] * moved[1:]
        + e.face1[0][:, None] * strain + e.face1[1][:, None] * twist
    )  # fmt: skip
    pull[1:, 4:] += np.moveaxis(e.face1[2:], 0, 1)
    return Response(strain, twist, moved, pull)


def solve(c: Constants, sheet: Ints, radii: Array) -> Response:
    """Exact response of N tubes to unit loads.

    Parameters
    ----------
    c : Constants
        K distinct plies, with F free-strain columns.
    sheet : numpy.ndarray
        Ply of every layer, inside to outside, (P, N).
    radii : numpy.ndarray
        Radii of the interfaces over the outside radius, rising, (P + 1, N).

    Returns
    -------
    Response
        Columns: axial force of 2 pi Pa x outside radius^2, torque of 2 pi Pa x outside radius^3,
        pressure inside of 1 Pa, outside of 1 Pa (open ends), then the free strains.

    Notes
    -----
    Source: Lekhnitskii, Theory of Elasticity of an Anisotropic Body; layered form as in Herakovich,
    Mechanics of Fibrous Composites 1998, ch. 10 (MEMORY); the element form and its closed
    integrals are our own. Agrees with a general finite-element solver to 0.01 %.

    Examples
    --------
    >>> from tubecalc.materials import get_metal
    >>> c = constants([(get_metal("304-annealed").si, 0.0)])
    >>> lame = solve(c, np.zeros((1, 1), int), np.array([[0.5], [1.0]]))
    >>> np.abs(lame.pull[:, 2, 0]).round(12).tolist()  # radius times pressure, at bore and outside
    [0.5, 0.0]
    """
    n = sheet.shape[1]
    parts = []
    for start in range(0, n, _PORTION):
        part = slice(start, start + _PORTION)
        k = sheet[:, part]
        parts.append(_solve(Constants._make(x[..., k] for x in c), radii[:, part]))
    if len(parts) == 1:
        return parts[0]
    return Response._make(np.concatenate(x, axis=-1) for x in zip(*parts, strict=True))


class ThickWall:
    """Exact solution for one tube, ply by ply.

    Parameters
    ----------
    layup : Layup
        Stack, inside to outside.
    outside : float
        Outside radius [m].

    Raises
    ------
    InputError
        If the tube has no bore.

    Notes
    -----
    The face of `solve` for one tube, with stresses at any radius of a ply.

    Examples
    --------
    >>> steel = Layup.of([("304", 0, "10 mm")])
    >>> found = ThickWall(steel, 0.020).solve(p_in=100e6)
    >>> round(float(found.wall_stress(0, 0.010)[1]) / 1e6, 1)  # Lame, 5/3 of the pressure
    166.7
    """

    def __init__(self, layup: Layup, outside: float) -> None:
        self.scale = outside
        inside = outside - layup.t
        if inside <= 1e-9 * outside:
            raise InputError(
                "the thick-wall solution needs a bore",
                where="tube:id",
                got=worded("{}", "length", 0.0),
            )
        self.radii: Array = (layup.faces + outside - layup.t / 2) / outside
        self.pairs = [(x.values, x.angle) for x in layup.plies]

    def solve(
        self,
        *,
        axial: float = 0.0,
        torque: float = 0.0,
        p_in: float = 0.0,
        p_out: float = 0.0,
        closed: bool = False,
        delta_T: float = 0.0,
        strains: Sequence[tuple[float, float]] | None = None,
    ) -> Solution:
        """Solve for loads.

        Parameters
        ----------
        axial, torque : float
            Section loads [N, N m].
        p_in, p_out : float
            Pressure inside and outside [Pa].
        closed : bool
            Whether the pressure also pulls on closed ends.
        delta_T : float
            Temperature change, even through the wall [K].
        strains : sequence of (float, float), optional
            Further free strain of every ply along and across the fibre, such as swelling [-].

        Returns
        -------
        Solution
        """
        big = self.scale
        none = [(0.0, 0.0)] * len(self.pairs)
        given = [(v.alpha1 * delta_T, v.alpha2 * delta_T) for v, _ in self.pairs]
        more = none if strains is None else strains
        free = [
            (0.0 if math.isnan(a) else a + x, 0.0 if math.isnan(b) else b + y)
            for (a, b), (x, y) in zip(given if delta_T else none, more, strict=True)
        ]
        c = constants(self.pairs, [free])
        found = solve(c, np.arange(len(free))[:, None], self.radii[:, None])
        ends = math.pi * (p_in * (self.radii[0] * big) ** 2 - p_out * big**2) if closed else 0.0
        unit = 2 * math.pi * big**2
        amounts = np.array([(axial + ends) / unit, torque / unit / big, p_in, p_out, 1.0])
        return Solution(
            c, [a for _, a in self.pairs], self.radii, big,
            float(found.axial_strain[:, 0] @ amounts), float(found.twist[:, 0] @ amounts) / big,
            found.u[:, :, 0] @ amounts,
        )  # fmt: skip


@dataclass(frozen=True)
class Solution:
    """Stresses and strains of a solved tube.

    Attributes
    ----------
    axial_strain : float
        [-].
    twist : float
        Twist per length [rad/m].
    """

    plies: Constants
    angles: list[float]
    radii: Array
    scale: float
    axial_strain: float
    twist: float
    u: Array

    def _strain(self, ply: int, radius: float) -> Array:
        """(axial, hoop, radial, shear) strain of a ply at a radius [m]."""
        c = Constants._make(x[..., ply] for x in self.plies)
        r0, r1 = self.radii[ply : ply + 2]
        s, q = radius / self.scale / r1, r0 / r1
        k, turn = math.sqrt(c.c22 / c.c33), self.twist * self.scale
        big, gap = q**k, -math.expm1(2 * k * math.log(q))

        def part(m: float) -> tuple[float, float]:
            """Particular part, nil at both faces, and its slope times s."""
            g = [-(x**k) * -math.log(x) * float(_slide(np.asarray(-(m - k) * math.log(x))))
                 for x in (q, s)]  # fmt: skip
            return g[1] - g[0] * inner[0], m * g[1] + s**k - g[0] * inner[1]

        up, down = s**k, (q / s) ** k
        inner = ((down - big * up) / gap, -k * (down + big * up) / gap)
        outer = ((up - big * down) / gap, k * (up + big * down) / gap)
        one, two = part(1.0), part(2.0)
        pull = (self.axial_strain * (c.c12 - c.c13) + c.b3[0] - c.b2[0]) / c.c33 / (1 + k)
        wind = turn * r1 * (c.c26 - 2 * c.c36) / c.c33 / (2 + k)
        f, slope = (
            self.u[ply] / r1 * inner[i] + self.u[ply + 1] / r1 * outer[i]
            + pull * one[i] + wind * two[i] for i in (0, 1)
        )  # fmt: skip
        return np.array([self.axial_strain, f / s, slope / s, turn * s * r1])

    def wall_stress(self, ply: int, radius: float) -> Array:
        """(axial, hoop, radial, shear) stress of a ply at a radius [m] in wall axes [Pa]."""
        c = Constants._make(x[..., ply] for x in self.plies)
        stiff = np.array(
            [[c.c11, c.c12, c.c13, c.c16], [c.c12, c.c22, c.c23, c.c26],
             [c.c13, c.c23, c.c33, c.c36], [c.c16, c.c26, c.c36, c.c66]]
        )  # fmt: skip
        held = np.array([c.b1[0], c.b2[0], c.b3[0], c.b6[0]])
        return np.asarray(stiff @ self._strain(ply, radius) - held)

    def ply_stress(self, ply: int, radius: float) -> Array:
        """(s1, s2, s3, t12) of a ply at a radius [m] in ply axes [Pa]."""
        back = np.linalg.inv(turn_4(self.angles[ply]))
        return np.asarray(back @ self.wall_stress(ply, radius))

    def hoop_strain(self, ply: int, radius: float) -> float:
        """Hoop strain of a ply at a radius [m]."""
        return float(self._strain(ply, radius)[1])
