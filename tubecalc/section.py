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
from tubecalc.wall import WallTable, net_factor

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


class _Station(NamedTuple):
    """One place in the wall of every tube: radius, powers of it, maps to ply stress, strengths."""

    r: Array
    hoop: Array  # r^h of the tension kinematics
    hoop_bend: Array  # r^h of the bending kinematics
    shear_bend: Array
    to_ply: Array  # (N, 3, 3)
    fibre_net: Array  # (N, 2, 3)
    s: strength.Strengths


class Sections:
    """N tubes: outside diameters and walls from a table.

    Parameters
    ----------
    walls : WallTable
        Distinct walls.
    index : numpy.ndarray
        Which wall each tube has, shape (N,).
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
    def mass_per_length(self) -> Array:
        """Mass per length [kg/m]."""
        m = self.walls.mass[self.index]
        return np.asarray(2 * np.pi * (self.R * m[:, 0] + m[:, 1]))

    # -- stiffness -----------------------------------------------------------------------
    def _integral(self, moments: Array, entry: int, power: int) -> Array:
        """Integral of Q r^power over the wall, from the moments about mid-wall."""
        total = np.zeros_like(self.R)
        for j, binomial in enumerate(_BINOMIAL[power]):
            total += binomial * self.R ** (power - j) * moments[self.index, j, entry]
        return total

    def _log_integral(self, *, net: bool) -> Array:
        """Integral of Q22 / r over the wall, block by block; 0 for even walls."""
        q22 = self.walls.hoop_blocks(net=net)
        edges = self.walls.edges
        total = np.zeros_like(self.R)
        floor = 1e-6 * self.ro
        inner = np.maximum(self.R + edges[self.index, 0], floor)
        for p in range(self.walls.n_blocks):
            outer = np.maximum(self.R + edges[self.index, p + 1], floor)
            total += q22[self.index, p] * np.log(outer / inner)
            inner = outer
        return total

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
    def stations(self) -> list[_Station]:
        """Places where stress is greatest: inner and outer face of each group of equal plies."""
        out = []
        sheets = self.walls.sheets
        for n in range(self.walls.station_z.shape[1]):
            r = np.maximum(self.R + self.walls.station_z[self.index, n], 1e-6 * self.ro)
            k = self.walls.station_sheet[self.index, n]
            out.append(
                _Station(
                    r,
                    np.where(self.even, 1.0, 1.0 / r),
                    np.where(self.even, r, 1.0),
                    np.where(self.even, r, 1.0),
                    sheets.to_ply[k],
                    sheets.fibre_net[k],
                    strength.Strengths._make(c[k] for c in sheets.strengths),
                )
            )
        return out

    def wall_strains(
        self, at: _Station, axial: Array, moment: Array, torque: Array, *, net: bool = False
    ) -> tuple[Array, Array, Array]:
        """Axial, hoop and shear strain of one station at the tension side of bending.

        Parameters
        ----------
        at : _Station
            Place in the wall.
        axial, moment, torque : numpy.ndarray
            Section loads, (N,) or scalar [N, N m, N m].
        net : bool
            With every matrix cracked.

        Returns
        -------
        tuple of numpy.ndarray
            (ex, ey, gxy), each (N,).
        """
        p, b = (self.pull_net, self.bend_net) if net else (self.pull, self.bend)
        ex = (p.c11 * axial + p.c13 * torque) + b.c11 * moment * at.r
        ey = (p.c12 * axial + p.c23 * torque) * at.hoop + b.c12 * moment * at.hoop_bend
        gxy = (p.c13 * axial + p.c33 * torque) * at.r + b.c13 * moment * at.shear_bend
        return ex, ey, gxy

    def _factors(
        self, axial: Array, moment: Array, torque: Array, criterion: str
    ) -> tuple[strength.Modes, Array, Array]:
        """Lowest factor of each mode, of the netting wall, and of a named criterion."""
        big = np.full_like(self.R, np.inf)
        fibre = crack = matrix = net = named = big
        for at in self.stations:
            e = self.wall_strains(at, axial, moment, torque)
            s1, s2, t12 = (
                at.to_ply[:, i, 0] * e[0] + at.to_ply[:, i, 1] * e[1] + at.to_ply[:, i, 2] * e[2]
                for i in range(3)
            )
            modes = strength.hashin_modes(s1, s2, t12, at.s)
            fibre = np.minimum(fibre, modes.fibre)
            crack = np.minimum(crack, modes.crack)
            matrix = np.minimum(matrix, modes.matrix)
            if criterion != "hashin":
                other = strength.first_failure_factor(criterion, s1, s2, t12, at.s)
                named = np.minimum(named, other)
            e = self.wall_strains(at, axial, moment, torque, net=True)
            f1, f2 = (
                at.fibre_net[:, i, 0] * e[0]
                + at.fibre_net[:, i, 1] * e[1]
                + at.fibre_net[:, i, 2] * e[2]
                for i in range(2)
            )
            net = np.minimum(net, net_factor(f1, f2, np.stack(e, axis=-1), at.s))
        first = strength.Modes(fibre, crack, matrix)
        return first, net, np.minimum.reduce(first) if criterion == "hashin" else named

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
        broken = first = np.full_like(self.R, np.inf)
        for place in places:
            modes, net, named = self._factors(*place, criterion)
            broken = np.minimum(broken, strength.surviving_factor(modes, net))
            first = np.minimum(first, named)
        return Capacity(broken, first)

    @cached_property
    def unit(self) -> dict[str, Capacity]:
        """Capacities of one load at a time: tension, compression [N], bending, torsion [N m]."""
        return self.unit_capacities("hashin")

    def unit_capacities(self, criterion: str) -> dict[str, Capacity]:
        """Like `unit`, with a named criterion for the first damage."""
        torsion = [self.capacity(torque=x, criterion=criterion) for x in (1.0, -1.0)]
        return {
            "tension": self.capacity(axial=1.0, criterion=criterion),
            "compression": self.capacity(axial=-1.0, criterion=criterion),
            "bending": self.capacity(moment=1.0, criterion=criterion),
            "torsion": Capacity(*(np.minimum(*pair) for pair in zip(*torsion, strict=True))),
        }


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
