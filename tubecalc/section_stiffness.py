"""Geometry and stiffness of N tubes as arrays.

Axial and torsional stiffness by the exact layered wall (`thickwall_table`); bending by layer-wise
membrane integration: each wall is integrated ply by ply at its own radius with a common axial
strain, twist and radial displacement. A closed tube is free of hoop stress and of held twist.
"""

from __future__ import annotations

from functools import cached_property
from typing import NamedTuple

import numpy as np

from tubecalc.laminate.elastic import Array, Bools, Ints, symmetric_inverse
from tubecalc.thickwall_table import LEAST_BORE, Exact, ExactTable, exact_table, series, spread
from tubecalc.wall import WallTable

_BINOMIAL = ((1.0,), (1.0, 1.0), (1.0, 2.0, 1.0), (1.0, 3.0, 3.0, 1.0))


class Compliance(NamedTuple):
    """Strain amplitudes per load: entries 11, 12, 13, 22, 23, 33 of the inverse, each (N,)."""

    c11: Array
    c12: Array
    c13: Array
    c22: Array
    c23: Array
    c33: Array


class Stiffness:
    """N tubes: outside diameters and walls from a table.

    Parameters
    ----------
    walls : WallTable
        Distinct walls.
    index : numpy.ndarray
        Which wall each tube has, shape (N,); or (1,) when all have the same, which is faster.
    od : numpy.ndarray
        Outside diameters [m], shape (N,).
    """

    def __init__(self, walls: WallTable, index: Ints, od: Array) -> None:
        self.walls, self.index = walls, index
        self.ro: Array = od / 2
        self.t: Array = walls.t[index]
        self.ri: Array = np.maximum(self.ro - self.t, 0.0)
        self.R: Array = self.ro - self.t / 2
        self.even = walls.homogeneous[index]

    # -- geometry ------------------------------------------------------------------------
    @cached_property
    def area(self) -> Array:
        """Area of the annulus [m2]."""
        return np.asarray(np.pi * (self.ro**2 - self.ri**2))

    @cached_property
    def I(self) -> Array:  # noqa: E743
        """Second moment of area of the annulus [m4]."""
        return np.asarray(np.pi / 4 * (self.ro**4 - self.ri**4))

    @cached_property
    def section_modulus(self) -> Array:
        """Elastic section modulus I / r [m3]."""
        return np.asarray(self.I / self.ro)

    @cached_property
    def plastic_modulus(self) -> Array:
        """Plastic section modulus (D^3 - d^3) / 6 [m3]."""
        return np.asarray(4.0 / 3.0 * (self.ro**3 - self.ri**3))

    @cached_property
    def mass_per_length(self) -> Array:
        """Mass per length [kg/m]."""
        m = self.walls.mass
        return np.asarray(2 * np.pi * (self.R * m[self.index, 0] + m[self.index, 1]))

    # -- stiffness -----------------------------------------------------------------------
    def _integral(self, moments: Array, entry: int, power: int) -> Array:
        """Integral of Q r^power over the wall, from the moments about mid-wall (4, 6, L)."""
        total = moments[0, entry][self.index]
        for j in range(1, power + 1):
            total = total * self.R + _BINOMIAL[power][j] * moments[j, entry][self.index]
        return np.asarray(total + 0.0 * self.R)

    def _log_integral(self, state: str) -> Array:
        """Integral of Q22 / r over the wall, block by block; not used for even walls."""
        if self.even.all():
            return np.ones_like(self.R)
        q22 = self.walls.hoop_blocks(state)[self.index].T
        radii = np.maximum(self.R + self.walls.edges[self.index].T, 1e-6 * self.ro)
        return np.asarray((q22 * np.diff(np.log(radii), axis=0)).sum(axis=0))

    def _pull(self, state: str) -> Compliance:
        """Axial strain, hoop amplitude and twist per axial force and torque."""
        m = self.walls.moments_of(state)
        k11, k13, k33 = (self._integral(m, e, p) for e, p in ((0, 1), (2, 2), (5, 3)))
        k12, k12e = self._integral(m, 1, 0), self._integral(m, 1, 1)
        k23, k23e = self._integral(m, 4, 1), self._integral(m, 4, 2)
        k22, k22e = self._log_integral(state), self._integral(m, 3, 1)
        k12, k22, k23 = (
            np.where(self.even, e, x) for x, e in ((k12, k12e), (k22, k22e), (k23, k23e))
        )
        inverse = symmetric_inverse(k11, k12, k13, k22, k23, k33)
        return Compliance(*(c / (2 * np.pi) for c in inverse))

    def _bend(self, state: str) -> Compliance:
        """Curvature, hoop and shear amplitude per bending moment."""
        m = self.walls.moments_of(state)
        powers = ((0, 3, 3), (1, 2, 3), (2, 2, 3), (3, 1, 3), (4, 1, 3), (5, 1, 3))
        six = [
            np.where(self.even, self._integral(m, e, even), self._integral(m, e, laminate))
            for e, laminate, even in powers
        ]
        return Compliance(*(c / np.pi for c in symmetric_inverse(*six)))

    @cached_property
    def pull(self) -> Compliance:
        """Compliance in tension and torsion, sound wall."""
        return self._pull("sound")

    @cached_property
    def pull_net(self) -> Compliance:
        """Compliance in tension and torsion, every matrix cracked."""
        return self._pull("net")

    @cached_property
    def pull_taut(self) -> Compliance:
        """The same with the fibres pulled taut, as by pressure inside."""
        return self._pull("taut")

    @cached_property
    def bend(self) -> Compliance:
        """Compliance in bending, sound wall."""
        return self._bend("sound")

    @cached_property
    def bend_net(self) -> Compliance:
        """Compliance in bending, every matrix cracked."""
        return self._bend("net")

    # -- exact layered wall ------------------------------------------------------------------
    @property
    def exact(self) -> ExactTable:
        """Exact answers of the walls."""
        return exact_table(self.walls)

    @cached_property
    def bored(self) -> Bools:
        """Which tubes have a bore; without one the exact wall does not apply."""
        return np.asarray(self.ri > LEAST_BORE * self.ro)

    @cached_property
    def thickness_ratio(self) -> Array:
        """Wall over mean radius, t / R [-]."""
        return np.asarray(self.t / self.R)

    @cached_property
    def basis(self) -> Array:
        """Series of t / R that the exact tables are summed with, (NODES, N)."""
        return series(np.minimum(self.thickness_ratio, 1.0))

    @cached_property
    def thick(self) -> Ints:
        """Tubes with a bore whose wall exceeds the mean radius: solved one by one."""
        return np.flatnonzero((self.thickness_ratio > 1.0) & self.bored)

    @cached_property
    def bars(self) -> Ints:
        """Tubes without a bore."""
        return np.flatnonzero(~self.bored)

    def wall_of(self, where: Ints) -> Ints:
        """Wall of some of the tubes."""
        return self.index[where] if len(self.index) > 1 else np.repeat(self.index, len(where))

    @cached_property
    def thick_exact(self) -> Exact:
        """Exact answers of `thick`, free strains included."""
        return self.exact.exact(
            self.wall_of(self.thick), self.thickness_ratio[self.thick], free=True
        )

    def _modulus(self, which: int) -> Array:
        """EA / A or GJ / J by the exact wall [Pa]; bars are left as they come."""
        out = spread(self.exact.stiffness[:, which], self.index, self.basis)
        if len(self.thick):
            out[self.thick] = self.thick_exact.stiffness[which]
        return out

    @cached_property
    def EA(self) -> Array:
        """Axial stiffness, hoop-stress-free and twist-free [N]."""
        exact = self._modulus(0) * self.area
        return np.where(self.bored, exact, 1.0 / self.pull.c11) if len(self.bars) else exact

    @cached_property
    def GJ(self) -> Array:
        """Torsional stiffness, free to stretch [N m2]."""
        exact = self._modulus(1) * 2.0 * self.I
        return np.where(self.bored, exact, 1.0 / self.pull.c33) if len(self.bars) else exact

    @cached_property
    def EI(self) -> Array:
        """Bending stiffness [N m2]."""
        return np.asarray(1.0 / self.bend.c11)

    @cached_property
    def Ex(self) -> Array:
        """Axial modulus EA / A [Pa]."""
        return np.asarray(self.EA / self.area)

    @cached_property
    def Gxy(self) -> Array:
        """Shear modulus of the wall for transverse shear, 1 / (a66 t) [Pa]."""
        return np.asarray(1.0 / (self.walls.a[:, 2, 2] * self.walls.t))[self.index]

    @cached_property
    def Ehoop(self) -> Array:
        """Hoop modulus 1 / (a22 t) [Pa]."""
        return np.asarray(1.0 / (self.walls.a[:, 1, 1] * self.walls.t))[self.index]

    @cached_property
    def nuxy(self) -> Array:
        """Hoop contraction over axial stretch [-]."""
        return np.asarray(-self.walls.a[:, 0, 1] / self.walls.a[:, 0, 0])[self.index]

    @cached_property
    def shear_coefficient(self) -> Array:
        """Shear coefficient of a hollow circle, orthotropic wall [-]; see `shear_coefficient`."""
        return shear_coefficient(self.Ex / self.Gxy, self.nuxy, self.ri / self.ro)

    @cached_property
    def GA(self) -> Array:
        """Shear modulus times area, before the shear coefficient [N]."""
        return np.asarray(self.Gxy * self.area)

    @cached_property
    def kGA(self) -> Array:
        """Shear stiffness of the beam [N]."""
        return np.asarray(self.shear_coefficient * self.GA)


def shear_coefficient(g: Array, nu: Array, m: Array) -> Array:
    """Shear coefficient of a hollow circle with an orthotropic wall.

    Parameters
    ----------
    g : numpy.ndarray
        Axial modulus over shear modulus [-].
    nu : numpy.ndarray
        Poisson ratio, hoop contraction over axial stretch [-].
    m : numpy.ndarray
        Inside over outside radius [-].

    Returns
    -------
    numpy.ndarray
        Coefficient, kept between 0.4 and 0.9 [-].

    Notes
    -----
    k = 6 g (1+m^2)^2 / [(7g - 2 nu)(1+m^2)^2 + (20g - 16 nu) m^2]; with g = 2 (1 + nu) it is
    Cowper, J. Appl. Mech. 33 (1966) 335. The limits keep angle-ply walls (g below 1), whose
    apparent shear flexibility is an artefact of Poisson contraction, in a sensible range.

    Examples
    --------
    >>> round(float(shear_coefficient(np.array(2.6), np.array(0.3), np.array(0.9))), 5)
    0.53297
    """
    q = (1.0 + m**2) ** 2
    k = 6.0 * g * q / ((7.0 * g - 2.0 * nu) * q + (20.0 * g - 16.0 * nu) * m**2)
    return np.asarray(np.clip(k, 0.4, 0.9))
