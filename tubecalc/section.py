"""Sections of N tubes as arrays: stiffness, mass, ply stress and load capacity.

Each wall is integrated ply by ply at its own radius with a common axial strain, twist and radial
displacement (layer-wise membrane). A closed tube is free of hoop stress and of held twist. Checked
against a general finite-element solver at R/t 4.5 and 19.5: EA within 0.8 %, EI within 1 %, GJ
within 0.1 % (single helix 1.7 %); see data/evidence/finite_element.csv.
"""

from __future__ import annotations

from functools import cached_property
from typing import NamedTuple

import numpy as np

from tubecalc.laminate import strength
from tubecalc.laminate.elastic import Array, Ints, symmetric_inverse
from tubecalc.wall import WallTable, mechanism_index, net_index

_BINOMIAL = ((1.0,), (1.0, 1.0), (1.0, 2.0, 1.0), (1.0, 3.0, 3.0, 1.0))


class Compliance(NamedTuple):
    """Strain amplitudes per load: entries 11, 12, 13, 22, 23, 33 of the inverse, each (N,)."""

    c11: Array
    c12: Array
    c13: Array
    c22: Array
    c23: Array
    c33: Array


class Capacity(NamedTuple):
    """Load factor at which the wall is broken and at which the first ply is damaged, (N,)."""

    broken: Array
    first: Array


class _Stations(NamedTuple):
    """Places in the wall where stress is greatest, (S, N): radius, kinematics, maps, strengths.

    Where all tubes share one wall the maps and strengths are (S, 1).
    """

    r: Array
    hoop: Array  # power of r that the hoop strain of tension and torsion follows
    bent: Array  # the same for the hoop and shear strain of bending
    to_ply: list[list[Array]]  # [stress][strain]
    fibre_net: list[list[Array]]  # [fibre][strain]
    s: strength.Strengths


class _Place(NamedTuple):
    """Stresses at every station for one place round the tube, (S, N)."""

    s1: Array
    s2: Array
    t12: Array
    fibre1: Array
    fibre2: Array
    mechanism: Array

    def reversed(self) -> _Place:
        """The same place under the reversed load."""
        return _Place(-self.s1, -self.s2, -self.t12, -self.fibre1, -self.fibre2, self.mechanism)


Triple = tuple[Array, Array, Array]


class Sections:
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

    def _log_integral(self, *, net: bool) -> Array:
        """Integral of Q22 / r over the wall, block by block; not used for even walls."""
        if self.even.all():
            return np.ones_like(self.R)
        q22 = self.walls.hoop_blocks(net=net)[self.index].T
        radii = np.maximum(self.R + self.walls.edges[self.index].T, 1e-6 * self.ro)
        return np.asarray((q22 * np.diff(np.log(radii), axis=0)).sum(axis=0))

    def _pull(self, *, net: bool) -> Compliance:
        """Axial strain, hoop amplitude and twist per axial force and torque."""
        m = self.walls.moments_net if net else self.walls.moments
        k11, k13, k33 = (self._integral(m, e, p) for e, p in ((0, 1), (2, 2), (5, 3)))
        k12, k12e = self._integral(m, 1, 0), self._integral(m, 1, 1)
        k23, k23e = self._integral(m, 4, 1), self._integral(m, 4, 2)
        k22, k22e = self._log_integral(net=net), self._integral(m, 3, 1)
        k12, k22, k23 = (
            np.where(self.even, e, x) for x, e in ((k12, k12e), (k22, k22e), (k23, k23e))
        )
        inverse = symmetric_inverse(k11, k12, k13, k22, k23, k33)
        return Compliance(*(c / (2 * np.pi) for c in inverse))

    def _bend(self, *, net: bool) -> Compliance:
        """Curvature, hoop and shear amplitude per bending moment."""
        m = self.walls.moments_net if net else self.walls.moments
        powers = ((0, 3, 3), (1, 2, 3), (2, 2, 3), (3, 1, 3), (4, 1, 3), (5, 1, 3))
        six = [
            np.where(self.even, self._integral(m, e, even), self._integral(m, e, laminate))
            for e, laminate, even in powers
        ]
        return Compliance(*(c / np.pi for c in symmetric_inverse(*six)))

    @cached_property
    def pull(self) -> Compliance:
        """Compliance in tension and torsion, sound wall."""
        return self._pull(net=False)

    @cached_property
    def pull_net(self) -> Compliance:
        """Compliance in tension and torsion, every matrix cracked."""
        return self._pull(net=True)

    @cached_property
    def bend(self) -> Compliance:
        """Compliance in bending, sound wall."""
        return self._bend(net=False)

    @cached_property
    def bend_net(self) -> Compliance:
        """Compliance in bending, every matrix cracked."""
        return self._bend(net=True)

    @cached_property
    def EA(self) -> Array:
        """Axial stiffness, hoop-stress-free and twist-free [N]."""
        return np.asarray(1.0 / self.pull.c11)

    @cached_property
    def GJ(self) -> Array:
        """Torsional stiffness, free to stretch [N m2]."""
        return np.asarray(1.0 / self.pull.c33)

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

    # -- stress and capacity ---------------------------------------------------------------
    @cached_property
    def stations(self) -> _Stations:
        """Inner and outer face of each group of equal plies."""
        walls, sheets = self.walls, self.walls.sheets
        used = walls.stations_used(self.index)
        k = walls.station_sheet[self.index, :used].T
        r = np.maximum(self.R + walls.station_z[self.index, :used].T, 1e-6 * self.ro)
        return _Stations(
            r,
            *self._powers(r),
            [[sheets.to_ply[:, i, j][k] for j in range(3)] for i in range(3)],
            [[sheets.fibre_net[:, i, j][k] for j in range(3)] for i in range(2)],
            strength.Strengths._make(c[k] for c in sheets.strengths),
        )

    def wall_strains(
        self, axial: Array, moment: Array, torque: Array, *, net: bool = False
    ) -> Triple:
        """Axial, hoop and shear strain at the stations, on the tension side of bending.

        Parameters
        ----------
        axial, moment, torque : numpy.ndarray
            Section loads, (N,) or scalar [N, N m, N m].
        net : bool
            With every matrix cracked.

        Returns
        -------
        tuple of numpy.ndarray
            (ex, ey, gxy), each (S, N).
        """
        at = self.stations
        p, b = (self.pull_net, self.bend_net) if net else (self.pull, self.bend)
        return _strains(p, b, (at.r, at.hoop, at.bent), axial, moment, torque)

    def strains_at(self, r: Array, axial: Array, moment: Array, torque: Array) -> Triple:
        """Axial, hoop and shear strain of the sound wall at a radius; see `wall_strains`.

        Parameters
        ----------
        r : numpy.ndarray
            Radius [m].
        axial, moment, torque : numpy.ndarray
            Section loads [N, N m, N m].

        Returns
        -------
        tuple of numpy.ndarray
            (ex, ey, gxy).
        """
        return _strains(self.pull, self.bend, (r, *self._powers(r)), axial, moment, torque)

    def _powers(self, r: Array) -> tuple[Array, Array]:
        """Powers of the radius that hoop strain follows in tension, and in bending."""
        return np.where(self.even, 1.0, 1.0 / r), np.where(self.even, r, 1.0)

    def _place(self, axial: Array, moment: Array, torque: Array) -> _Place:
        """Stresses of the sound wall, fibre stresses and strain index of the netting wall."""
        at = self.stations
        e = self.wall_strains(axial, moment, torque)
        s1, s2, t12 = (m[0] * e[0] + m[1] * e[1] + m[2] * e[2] for m in at.to_ply)
        e = self.wall_strains(axial, moment, torque, net=True)
        f1, f2 = (m[0] * e[0] + m[1] * e[1] + m[2] * e[2] for m in at.fibre_net)
        return _Place(s1, s2, t12, f1, f2, mechanism_index(*e))

    def _judge(self, at: _Place, criterion: str) -> Capacity:
        """Capacity of one place."""
        s = self.stations.s
        indices = strength.hashin_indices(at.s1, at.s2, at.t12, s)
        modes = strength.factors_of(strength.Modes._make(i.max(axis=0) for i in indices))
        net = np.maximum(net_index(at.fibre1, at.fibre2, s), at.mechanism).max(axis=0)
        broken = strength.surviving_factor(modes, 1.0 / np.maximum(net, strength.TINY))
        if criterion == "hashin":
            return Capacity(broken, modes.first)
        named = strength.first_failure_factor(criterion, at.s1, at.s2, at.t12, s)
        return Capacity(broken, named.min(axis=0))

    def _both_ways(self, criterion: str, **load: float) -> tuple[Capacity, Capacity]:
        """Capacities of one unit load and of its reverse, from one set of stresses."""
        none = np.zeros(1)
        amounts = [
            np.full(1, load[k]) if k in load else none for k in ("axial", "moment", "torque")
        ]
        place = self._place(amounts[0], amounts[1], amounts[2])
        return self._judge(place, criterion), self._judge(place.reversed(), criterion)

    def capacity(
        self,
        axial: Array | float = 0.0,
        moment: Array | float = 0.0,
        torque: Array | float = 0.0,
        shear: Array | float = 0.0,
        *,
        criterion: str = "hashin",
    ) -> Capacity:
        """Factor on simultaneous section loads at which the wall breaks or first cracks.

        Parameters
        ----------
        axial, moment, torque, shear : numpy.ndarray or float
            Section loads [N, N m, N m, N].
        criterion : str
            Criterion of the first damage; what breaks is always judged by Hashin's modes.

        Returns
        -------
        Capacity
            Load factors, each (N,).

        Notes
        -----
        Looked at: both extreme fibres of bending, and the sides, where transverse shear V acts
        like a torque of 2 R V (thin wall: shear flow V / (pi R) against T / (2 pi R^2)).
        """
        zero = np.zeros_like(self.R)
        n, m, t = (np.asarray(x, float) + zero for x in (axial, moment, torque))
        places = [(n, m, t)]
        if np.any(m):
            places.append((n, -m, t))
        if np.any(shear):
            side = 2.0 * self.R * np.asarray(shear, float)
            places += [(n, zero, t + side), (n, zero, t - side)]
        return _lower(*(self._judge(self._place(*place), criterion) for place in places))

    @cached_property
    def unit(self) -> dict[str, Capacity]:
        """Capacities of one load at a time: tension, compression [N], bending, torsion [N m]."""
        return self.unit_capacities("hashin")

    def unit_capacities(self, criterion: str) -> dict[str, Capacity]:
        """Like `unit`, with a named criterion for the first damage."""
        tension, compression = self._both_ways(criterion, axial=1.0)
        return {
            "tension": tension,
            "compression": compression,
            "bending": _lower(*self._both_ways(criterion, moment=1.0)),
            "torsion": _lower(*self._both_ways(criterion, torque=1.0)),
        }


def _strains(
    p: Compliance, b: Compliance, at: Triple, axial: Array, moment: Array, torque: Array
) -> Triple:
    """Strains from pull and bend; `at` is the radius and its powers, as from `_powers`."""
    r, hoop, bent = at
    ex = (p.c11 * axial + p.c13 * torque) + (b.c11 * moment) * r
    ey = (p.c12 * axial + p.c23 * torque) * hoop + (b.c12 * moment) * bent
    gxy = (p.c13 * axial + p.c33 * torque) * r + (b.c13 * moment) * bent
    return ex, ey, gxy


def _lower(*places: Capacity) -> Capacity:
    """The lower of each capacity over several places."""
    return Capacity(
        np.minimum.reduce([p.broken for p in places]), np.minimum.reduce([p.first for p in places])
    )


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
