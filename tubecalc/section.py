"""Sections of N tubes as arrays: ply stress and load capacity.

Axial force, torque and pressure by the exact layered wall, interpolated per distinct wall
(`thickwall_table`); bending layer-wise (a common axial strain, twist and radial displacement, each
ply at its own radius). Checked against a general finite-element solver at R/t 4.5 and 19.5; see
data/evidence/finite_element.csv.
"""

from __future__ import annotations

from functools import cached_property
from typing import NamedTuple

import numpy as np

from tubecalc.laminate import strength
from tubecalc.laminate.elastic import Array
from tubecalc.section_stiffness import Compliance, Stiffness, shear_coefficient
from tubecalc.thickwall_table import COLUMNS, spread
from tubecalc.wall import mechanism_index, net_index

THIN_ENOUGH = (
    0.02  # difference of the layer-wise stress from the exact one that is still called thin
)
Amount = Array | float


class Loads(NamedTuple):
    """Section loads and pressures, (N,) or one number each [N, N m, N m, Pa, Pa].

    Pressure acts on the wall alone: the pull on closed ends is part of `axial`.
    """

    axial: Amount = 0.0
    moment: Amount = 0.0
    torque: Amount = 0.0
    p_in: Amount = 0.0
    p_out: Amount = 0.0

    def even(self) -> dict[str, Amount]:
        """The loads that act alike all round, by column of the exact table, those not nil."""
        four = {k: getattr(self, k) for k in ("axial", "torque", "p_in", "p_out")}
        return {k: v for k, v in four.items() if np.any(v)}


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


class Sections(Stiffness):
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

    @cached_property
    def _used(self) -> int:
        """Stations looked at."""
        return self.walls.stations_used(self.index)

    @cached_property
    def stations(self) -> _Stations:
        """Faces of the first and last block of each ply."""
        walls, sheets, used = self.walls, self.walls.sheets, self._used
        k = walls.station_sheet[self.index, :used].T
        r = np.maximum(self.R + walls.station_z[self.index, :used].T, 1e-6 * self.ro)
        return _Stations(
            r,
            *self._powers(r),
            [[sheets.to_ply[:, i, j][k] for j in range(3)] for i in range(3)],
            [[sheets.fibre_net[:, i, j][k] for j in range(3)] for i in range(2)],
            strength.Strengths._make(c[k] for c in sheets.strengths),
        )

    # -- layer-wise membrane -----------------------------------------------------------------
    def wall_strains(self, loads: Loads, *, net: bool = False) -> Triple:
        """Axial, hoop and shear strain at the stations by the layer-wise membrane wall.

        Parameters
        ----------
        loads : Loads
            Section loads; the tension side of bending.
        net : bool
            With every matrix cracked.

        Returns
        -------
        tuple of numpy.ndarray
            (ex, ey, gxy), each (S, N).
        """
        at = self.stations
        return self._strains((at.r, at.hoop, at.bent), loads, net=net)

    def strains_at(self, r: Array, loads: Loads) -> Triple:
        """Axial, hoop and shear strain of the sound wall at a radius; see `wall_strains`.

        Parameters
        ----------
        r : numpy.ndarray
            Radius [m].
        loads : Loads
            Section loads.

        Returns
        -------
        tuple of numpy.ndarray
            (ex, ey, gxy).
        """
        return self._strains((r, *self._powers(r)), loads, net=False)

    def _powers(self, r: Array) -> tuple[Array, Array]:
        """Powers of the radius that hoop strain follows in tension, and in bending."""
        return np.where(self.even, 1.0, 1.0 / r), np.where(self.even, r, 1.0)

    def _hoop_load(self, loads: Loads) -> Array:
        """Load of the pressures on the hoop amplitude."""
        p, r = (loads.p_in, loads.p_out), (self.ri, self.ro)
        power = np.where(self.even, 2.0, 1.0)
        return np.asarray(2 * np.pi * (p[0] * r[0] ** power - p[1] * r[1] ** power))

    def _strains(self, at: Triple, loads: Loads, *, net: bool) -> Triple:
        """Strains from pull and bend; `at` is the radius and its powers, as from `_powers`."""
        r, hoop, bent = at
        ex = ey = gxy = np.zeros(1)
        if loads.even():
            p, n, t = self.pull, loads.axial, loads.torque
            if net:
                held = np.any(np.greater(loads.p_in, loads.p_out))  # inflated: fibres are taut
                p = self.pull_taut if held else self.pull_net
            e, h, g = p.c11 * n + p.c13 * t, p.c12 * n + p.c23 * t, p.c13 * n + p.c33 * t
            if np.any(loads.p_in) or np.any(loads.p_out):
                q = self._hoop_load(loads)
                e, h, g = e + p.c12 * q, h + p.c22 * q, g + p.c23 * q
            ex, ey, gxy = e, h * hoop, g * r
        if np.any(loads.moment):
            b, m = self.bend_net if net else self.bend, loads.moment
            bent_by = (b.c11 * m) * r, (b.c12 * m) * bent, (b.c13 * m) * bent
            if not loads.even():
                return bent_by
            ex, ey, gxy = ex + bent_by[0], ey + bent_by[1], gxy + bent_by[2]
        return ex, ey, gxy

    def membrane(self, loads: Loads) -> Triple:
        """Ply-axis stresses at the stations by the layer-wise membrane wall, each (S, N) [Pa].

        Parameters
        ----------
        loads : Loads
            Section loads; the tension side of bending.

        Returns
        -------
        tuple of numpy.ndarray
            (s1, s2, t12).
        """
        e = self.wall_strains(loads)
        m = self.stations.to_ply
        s1, s2, t12 = (row[0] * e[0] + row[1] * e[1] + row[2] * e[2] for row in m)
        return s1, s2, t12

    # -- exact wall ----------------------------------------------------------------------------
    def _nominal(self, column: str) -> Array:
        """Nominal stress of a unit load that the exact table is scaled by."""
        if column == "axial":
            return 1.0 / self.area
        if column == "torque":
            return np.asarray(self.stations.r / (2.0 * self.I))
        return np.asarray((self.ri if column == "p_in" else self.ro) / self.t)

    def unit_stress(self, column: str) -> Array:
        """Ply-axis stresses at the stations per unit of one load, exact wall, (3, S, N) [Pa].

        Parameters
        ----------
        column : str
            "axial", "torque", "p_in" or "p_out"; "heat" (per kelvin), "cure" (cooling from cure
            to 0 degC) or "wet" (full moisture).

        Returns
        -------
        numpy.ndarray
            Bars without a bore: layer-wise membrane, nil for free strains.
        """
        cache: dict[str, Array] = self.__dict__.setdefault("_unit_stress", {})
        if column not in cache:
            cache[column] = self._unit_stress_of(column)
        return cache[column]

    def _unit_stress_of(self, column: str) -> Array:
        number = COLUMNS.index(column)
        loads = number < 4
        table = self.exact.loads[:, number] if loads else self.exact.free[:, number - 4]
        out = spread(table[:, :, : self._used], self.index, self.basis)
        if len(self.thick):
            out[..., self.thick] = self.thick_exact.stress[number, :, : self._used]
        if loads:
            out *= self._nominal(column)
        if len(self.bars):
            bars = Sections(self.walls, self.wall_of(self.bars), 2 * self.ro[self.bars])
            bars.__dict__["_used"] = self._used
            thin = bars.membrane(Loads()._replace(**{column: 1.0})) if loads else (0.0, 0.0, 0.0)
            for i in range(3):
                out[i][:, self.bars] = thin[i]
        return out

    def stress(self, loads: Loads) -> Triple:
        """Ply-axis stresses of the sound wall at the stations, each (S, N) [Pa].

        Parameters
        ----------
        loads : Loads
            Section loads; the tension side of bending.

        Returns
        -------
        tuple of numpy.ndarray
            (s1, s2, t12); of metals less the radial stress, which yield does not feel.
        """
        even = loads.even()
        total: Array | None = None
        for column, amount in even.items():
            part = self.unit_stress(column)
            if np.any(np.not_equal(amount, 1.0)):
                part = part * np.asarray(amount)
            total = part if total is None else total + part
        if total is None:
            return self.membrane(loads)
        s1, s2, t12 = total
        if np.any(loads.moment):
            bent = self.membrane(Loads(moment=loads.moment))
            s1, s2, t12 = s1 + bent[0], s2 + bent[1], t12 + bent[2]
        return s1, s2, t12

    def thin_error(self, n: int, loads: Loads) -> float:
        """Largest difference of the layer-wise stress from the exact one for one tube [-].

        Parameters
        ----------
        n : int
            Which tube.
        loads : Loads
            Section loads; bending, layer-wise in both, does not count.

        Returns
        -------
        float
            Over the largest stress, each stress over its strength; 0 without such loads.
        """
        loads = Loads(*(np.broadcast_to(x, self.R.shape)[n : n + 1] for x in loads))
        loads = loads._replace(moment=0.0)
        if not loads.even() or not self.bored[n]:
            return 0.0
        one = Sections(self.walls, self.wall_of(np.array([n])), 2 * self.ro[n : n + 1])
        s = one.stations.s
        exact, thin = np.array(one.stress(loads)), np.array(one.membrane(loads))
        limit = np.array(
            [np.where(exact[0] > 0, s.Xt, s.Xc), np.where(exact[1] > 0, s.Yt, s.Yc), s.S12]
        )
        limit = np.where(np.isnan(limit), np.nanmax(limit) if np.any(limit > 0) else 1.0, limit)
        return float(np.abs((thin - exact) / limit).max() / np.abs(exact / limit).max())

    def theory(self, n: int, loads: Loads) -> str:
        """Which theory the stresses of one tube come from.

        Parameters
        ----------
        n : int
            Which tube.
        loads : Loads
            Section loads.

        Returns
        -------
        str
            One sentence without full stop.
        """
        if not self.bored[n]:
            return "bar without a bore: layer-wise wall"
        if not loads.even():
            return "layer-wise wall, every ply at its own radius"
        off = self.thin_error(n, loads)
        said = f"exact layered wall: the thin form is {off:.0%} off"
        if off <= THIN_ENOUGH:
            said = "exact layered wall; the thin form would do, within 2 %"
        return f"{said}; bending layer-wise" if np.any(loads.moment) else said

    # -- capacity --------------------------------------------------------------------------------
    def _place(self, loads: Loads) -> _Place:
        """Stresses of the sound wall, fibre stresses and strain index of the netting wall."""
        e = self.wall_strains(loads, net=True)
        f1, f2 = (m[0] * e[0] + m[1] * e[1] + m[2] * e[2] for m in self.stations.fibre_net)
        return _Place(*self.stress(loads), f1, f2, mechanism_index(*e))

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
        place = self._place(Loads(**load))
        return self._judge(place, criterion), self._judge(place.reversed(), criterion)

    def capacity(
        self,
        axial: Amount = 0.0,
        moment: Amount = 0.0,
        torque: Amount = 0.0,
        shear: Amount = 0.0,
        *,
        p_in: Amount = 0.0,
        p_out: Amount = 0.0,
        criterion: str = "hashin",
    ) -> Capacity:
        """Factor on simultaneous section loads at which the wall breaks or first cracks.

        Parameters
        ----------
        axial, moment, torque, shear : numpy.ndarray or float
            Section loads [N, N m, N m, N].
        p_in, p_out : numpy.ndarray or float
            Pressure inside and outside; its pull on closed ends belongs to `axial` [Pa].
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
        loads = Loads(axial, moment, torque, p_in, p_out)
        return self.capacity_of(loads, shear, criterion=criterion)

    def capacity_of(
        self, loads: Loads, shear: Amount = 0.0, *, criterion: str = "hashin"
    ) -> Capacity:
        """Like `capacity`, with the loads in one."""
        found = [self._judge(self._place(x), criterion) for x in self.places(loads, shear)]
        return _lower(*found)

    def places(self, loads: Loads, shear: Amount = 0.0) -> list[Loads]:
        """Loads as they act at the places round the tube that are looked at; see `capacity`."""
        out = [loads]
        if np.any(loads.moment):
            out.append(loads._replace(moment=-np.asarray(loads.moment)))
        if np.any(shear):
            side = 2.0 * self.R * np.asarray(shear, float)
            none = loads._replace(moment=0.0)
            out += [none._replace(torque=loads.torque + x) for x in (side, -side)]
        return out

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


def _lower(*places: Capacity) -> Capacity:
    """The lower of each capacity over several places."""
    return Capacity(
        np.minimum.reduce([p.broken for p in places]), np.minimum.reduce([p.first for p in places])
    )


__all__ = ["Capacity", "Compliance", "Loads", "Sections", "shear_coefficient"]
