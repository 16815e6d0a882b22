"""The most that stacks can hope for: reserves that no true check exceeds, for many stacks at once.

Each figure is never worse than the true one, so what falls short here is refuted for certain: a
set of plies in its best order (every ply where it helps most, order by order of no concern), or
one stack with its own order. Stiffness is bounded by the energy of a motion that the tube could
make, strength by equilibrium with every ply at its strength, both own derivations on the classical
theorems (Washizu, Variational Methods in Elasticity 1982; Drucker, Prager & Greenberg 1952; both
from MEMORY).
The rooms of `tubecalc.checks` then turn these figures into reserves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from tubecalc.checks import column, local, stiffness, vibration
from tubecalc.checks.base import Candidates, Outcome
from tubecalc.checks.climate import hot_of
from tubecalc.checks.strength import pressures
from tubecalc.environment import at_temperature
from tubecalc.laminate.construction import of_layup
from tubecalc.laminate.elastic import Array, Ints, symmetric_inverse
from tubecalc.laminate.layup import Layup
from tubecalc.layup_search_space import Space, Words
from tubecalc.loadpoint import NOSE_ANGLE, Patch
from tubecalc.loads import section_loads
from tubecalc.need import Case, Need
from tubecalc.section import Capacity, Sections
from tubecalc.thickwall import constants
from tubecalc.wall import NET_SHEAR, NET_STRAIN, SIX, Sheets, WallTable

SPARE = 0.005  # by which a hope must fall short: the tables behind the checks are that good
BETWEEN = 1.05  # what strength may gain between the faces that are looked at and by interpolation
MOST_SHEAR_SHARE = 0.9  # greatest shear coefficient, see `section_stiffness.shear_coefficient`


@dataclass(frozen=True)
class Sets:
    """Sets of plies in the order that helps most, one figure at a time.

    Parameters
    ----------
    amount : numpy.ndarray
        Thickness of each ply altogether, (N, K) [m].
    ri : numpy.ndarray
        Radius of the bore, (N,) [m].
    """

    amount: Array
    ri: Array

    def about_axis(self, values: Array, power: int) -> Array:
        """Greatest integral of a figure of the plies, (K,) or (N, K), times r^power, (N,).

        The least comes first, inside (rearrangement inequality of Hardy, Littlewood & Polya).
        """
        return _rising(self.amount, values, self.ri, power)

    def about_middle(self, values: Array, power: int) -> Array:
        """Greatest integral of a figure times the distance from mid-wall to a power, (N,)."""
        return 2.0 * _rising(self.amount / 2, values, np.zeros_like(self.ri), power)


def _rising(amount: Array, values: Array, start: Array, power: int) -> Array:
    order = np.broadcast_to(np.argsort(values, axis=-1, kind="stable"), amount.shape)
    size = np.take_along_axis(amount, order, axis=1)
    sorted_values = np.take_along_axis(np.broadcast_to(values, amount.shape), order, axis=1)
    edges = np.concatenate([start[:, None], start[:, None] + np.cumsum(size, axis=1)], axis=1)
    raised = edges ** (power + 1) / (power + 1)
    return np.asarray((sorted_values * np.diff(raised, axis=1)).sum(axis=1))


@dataclass(frozen=True)
class Stacks:
    """Stacks as they are, inside to outside.

    Parameters
    ----------
    words : numpy.ndarray
        Number of each ply, (N, plies).
    thickness : numpy.ndarray
        Of the K plies [m].
    ri : numpy.ndarray
        Radius of the bore, (N,) [m].
    """

    words: Words
    thickness: Array
    ri: Array

    @cached_property
    def _at(self) -> Ints:
        """Where each ply counts in a flat table of stacks and plies, (N * plies,)."""
        rows = len(self.thickness) * np.arange(len(self.words))
        return np.asarray((rows[:, None] + self.words).ravel())

    def _shared(self, raised: Array) -> Array:
        """Growth of a figure from face to face added up for each ply, (N, K)."""
        growth = np.broadcast_to(np.diff(raised, axis=1), self.words.shape).ravel()
        size = len(self.words) * len(self.thickness)
        total = np.bincount(self._at, growth, size)
        return np.asarray(total.reshape(len(self.words), -1), float)

    @cached_property
    def amount(self) -> Array:
        """Thickness of each ply altogether, (N, K) [m]."""
        return self._shared(self._depth)

    @cached_property
    def _depth(self) -> Array:
        """Distance of every face from the bore, (N, plies + 1) or (1, plies + 1) if all alike."""
        if np.ptp(self.thickness) < 1e-12:
            return np.asarray(self.thickness[0] * np.arange(self.words.shape[1] + 1.0)[None])
        steps = np.cumsum(self.thickness[self.words], axis=1)
        return np.concatenate([np.zeros((len(self.words), 1)), steps], axis=1)

    @cached_property
    def _rings(self) -> tuple[Array, Array, Array]:
        """Integrals of r, r^2 and r^3 over each ply, (N, K) each."""
        r = self._depth + (self.ri[:1] if (self.ri == self.ri[0]).all() else self.ri)[:, None]
        r2 = r * r
        return self._shared(r2 / 2), self._shared(r2 * r / 3), self._shared(r2 * r2 / 4)

    @cached_property
    def _sides(self) -> tuple[Array, Array]:
        """Integrals of |z| and z^2 over each ply, z from mid-wall, (N, K) each."""
        z = self._depth - self._depth[:, -1:] / 2
        return self._shared(z * np.abs(z) / 2), self._shared(z * z * z / 3)

    def about_axis(self, values: Array, power: int) -> Array:
        """Integral of a figure of the plies, (K,) or (N, K), times r^power, (N,)."""
        return _summed(self._rings[power - 1], values)

    def about_middle(self, values: Array, power: int) -> Array:
        """Integral of a figure times the distance from mid-wall to a power, (N,)."""
        return _summed(self._sides[power - 1], values)


def _summed(shares: Array, values: Array) -> Array:
    if values.ndim == 1:
        return np.asarray(shares @ values)
    return np.asarray(np.einsum("nk,nk->n", shares, values))


class Box:
    """The strength of K plies as what a wall may carry along, around and in shear [Pa].

    Parameters
    ----------
    sheets : Sheets
        The plies.
    """

    def __init__(self, sheets: Sheets, angles: Array, *, taut: bool) -> None:
        s, c, n = sheets.strengths, np.cos(np.radians(angles)), np.sin(np.radians(angles))
        xt, xc, yt, yc, shear = (
            np.where(np.isnan(v), np.inf, v) for v in (s.Xt, s.Xc, s.Yt, s.Yc, s.S12)
        )
        turned = 2.0 * NET_STRAIN + NET_SHEAR  # shear strain of a ply before it is a mechanism
        left = 1e-3 * s.G12 + (xt if taut else 0.0)
        shear = np.maximum(shear, left * turned)
        yt, yc = (np.maximum(y, 1e-3 * s.E2 * turned) for y in (yt, yc))

        def of(a: Array, b: Array, d: Array) -> Array:  # nothing times infinity is nothing
            parts = [(a, np.where(a > 0, xt, xc)), (b, np.where(b > 0, yt, yc)), (d, shear)]
            return np.asarray(
                sum(np.where(np.abs(f) < 1e-12, 0.0, np.abs(f) * np.minimum(x, 1e30))
                    for f, x in parts) * BETWEEN
            )  # fmt: skip

        self.pull, self.push = (of(w * c * c, w * n * n, w * -2.0 * c * n) for w in (1.0, -1.0))
        self.hoop, self.crush = (of(w * n * n, w * c * c, w * 2.0 * c * n) for w in (1.0, -1.0))
        self.twist, self.back = (
            of(w * c * n, w * -c * n, w * (c * c - n * n)) for w in (1.0, -1.0)
        )


class _Walls(WallTable):
    """What the checks ask of a wall, as hoped for."""

    def __init__(self, t: Array, d22: Array, hoop: Array, axial: Array) -> None:
        self.t = t
        self.kept = {}
        d = np.zeros((len(t), 3, 3))
        d[:, 1, 1] = d22
        self.__dict__.update(d_reduced=d, hoop_moment=(hoop, hoop), axial_force=axial)


class _Hoped(Sections):
    """Sections whose stiffness and strength are as hoped for."""

    def __init__(self, walls: _Walls, ri: Array, figures: dict[str, Array]) -> None:
        self.walls, self.index = walls, np.arange(len(ri))
        self.ri, self.t = ri, walls.t
        self.ro, self.R = ri + self.t, ri + self.t / 2
        self.even = np.zeros(len(ri), bool)
        self.__dict__.update(figures)


class Hopes:
    """Reserves that stacks of a space can hope for under a need.

    Parameters
    ----------
    space : Space
        The space.
    need : Need
        The need.
    """

    def __init__(self, space: Space, need: Need) -> None:
        limits = replace(need.limits, bend_radius=math.nan, expansion=math.nan)
        factors = replace(
            need.factors, sustained=need.factors.sustained or 1.0,
            fatigue=need.factors.fatigue or 1.0,
        )  # fmt: skip
        service = replace(need.service, insert="")
        self.need = replace(need, limits=limits, factors=factors, service=service)
        hot = hot_of(need.service)
        values = [at_temperature(x.values, hot, need.service.wet) for x in space.letters]
        layups = [Layup([replace(x, values=v)]) for x, v in zip(space.letters, values, strict=True)]
        self.space, self.one = space, of_layup(Layup([space.letters[0]], name="own stack"))
        self.angles = np.array([x.angle for x in space.letters])
        table = WallTable(layups)  # a wall of each ply: its sheets are the plies in order
        order = table.block_sheet[:, 0]
        self.q = np.stack([table.sheets.qbar[order][:, i, j] for i, j in SIX], axis=1)  # (K, 6)
        self.c66 = constants(table.pairs).c66[order]
        self.density = table.sheets.density[order]
        strengths = type(table.sheets.strengths)._make(c[order] for c in table.sheets.strengths)
        sheets = replace(table.sheets, strengths=strengths)
        inflated = any(p > 0 for p, _ in (pressures(c) for c in need.cases))
        self.box = Box(sheets, self.angles, taut=inflated)

    # -- figures -------------------------------------------------------------------------
    def mass(self, at: Sets | Stacks) -> Array:
        """Least mass per length, (N,) [kg/m]."""
        return -2.0 * np.pi * at.about_axis(-self.density, 1)

    def cost(self, at: Sets | Stacks) -> Array:
        """Least cost per length, (N,)."""
        return -2.0 * np.pi * at.about_axis(-self.density * self.space.price, 1)

    def _sections(self, at: Sets | Stacks) -> Candidates:
        q, box, t = self.q, self.box, at.amount.sum(axis=1)
        R, area = at.ri + t / 2, np.pi * ((at.ri + t) ** 2 - at.ri**2)
        a11, a12, a16, a22, a26, a66 = (at.amount @ q).T
        det = a22 * a66 - a26 * a26
        b, g = -(a66 * a12 - a26 * a16) / det, -(a22 * a16 - a26 * a12) / det
        b, g = (x[:, None] * R[:, None] for x in (b, g))  # hoop and shear strain that go with it
        bent = at.about_axis(q[:, 0], 3)
        bent = bent + at.about_axis(2.0 * (q[:, 1] * b + q[:, 2] * g), 2)
        bent = bent + at.about_axis(q[:, 3] * b**2 + 2.0 * q[:, 4] * b * g + q[:, 5] * g**2, 1)
        soft = symmetric_inverse(a11, a12, a16, a22, a26, a66)[5]
        pull, push = (2.0 * np.pi * at.about_axis(x, 1) for x in (box.pull, box.push))
        bend = np.pi * np.minimum(*(at.about_axis(x, 2) for x in (box.pull, box.push)))
        twist = 2.0 * np.pi * np.minimum(*(at.about_axis(x, 2) for x in (box.twist, box.back)))
        never = np.full_like(t, np.inf)
        unit = {
            "tension": Capacity(pull, never), "compression": Capacity(push, never),
            "bending": Capacity(bend, never), "torsion": Capacity(twist, never),
        }  # fmt: skip
        moment = at.about_middle(np.maximum(box.hoop, box.crush), 1)
        axial = np.minimum(at.amount @ box.pull, at.amount @ box.push)
        walls = _Walls(t, at.about_middle(q[:, 3], 2), moment, axial)
        figures = {
            "EI": np.pi * bent, "kGA": MOST_SHEAR_SHARE * area / (soft * t),
            "GJ": 2.0 * np.pi * at.about_axis(self.c66, 3), "area": area,
            "mass_per_length": self.mass(at),
        }  # fmt: skip
        tubes = Candidates(_Hoped(walls, at.ri, figures), (self.one,), np.zeros(len(t), np.intp))
        tubes.__dict__["_unit"] = {self.need.factors.criterion: unit}
        return tubes

    # -- reserves ------------------------------------------------------------------------
    def reserves(self, at: Sets | Stacks) -> dict[str, Array]:
        """Reserve that no stack exceeds, by check, (N,) each.

        Parameters
        ----------
        at : Sets or Stacks
            N sets of plies, or stacks.

        Returns
        -------
        dict
            Check -> reserve [-]; checks that cannot be bounded are not there.
        """
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            tubes = self._sections(at)
            found: dict[str, Array] = {}
            for room in (stiffness, column, vibration):
                for outcome in room.outcomes(tubes, self.need):
                    _least(found, outcome.check, outcome.reserve)
            for case in self.need.cases:
                self._strength(found, tubes, case, at)
                self._crush(found, tubes, case)
            mass = self.need.limits.mass
            if not math.isnan(mass):
                from tubecalc.checks.service import length_of

                total = tubes.sections.mass_per_length * length_of(self.need)
                _least(found, "mass", mass / total)
        return {k: np.where(np.isnan(v), np.inf, v) for k, v in found.items()}

    def _strength(
        self, found: dict[str, Array], tubes: Candidates, case: Case, at: Sets | Stacks
    ) -> None:
        """Each section load and pressure by itself."""
        s, loads, box = tubes.sections, section_loads(case), self.box
        unit, factor = tubes.unit(self.need), self.need.factors.strength
        inside, outside = pressures(case)
        axial = loads.axial + (
            np.pi * (inside * s.ri**2 - outside * s.ro**2) if case.closed else 0.0
        )
        some = np.where(axial >= 0, unit["tension"].broken, unit["compression"].broken)
        shares = [np.abs(axial) / some, abs(loads.torque) / unit["torsion"].broken]
        if case.kind != "combined":
            shares.append(np.asarray(loads.moment) / unit["bending"].broken)
        ring = inside * s.ri - outside * s.ro
        around = np.where(ring >= 0, at.amount @ box.hoop, at.amount @ box.crush)
        shares.append(np.abs(ring) / around)
        worst = np.maximum.reduce([x + np.zeros_like(s.R) for x in shares]) * factor
        _least(found, "strength", np.where(worst > 0, 1.0 / worst, np.inf))
        if np.any(loads.shear) and case.kind != "combined":
            shear = unit["torsion"].broken / (2.0 * s.R)
            _least(found, "shear", shear / (loads.shear * factor))

    def _crush(self, found: dict[str, Array], tubes: Candidates, case: Case) -> None:
        """A dent one wall deep under a load point."""
        load, patch = section_loads(case).point, local.patch_of(case)
        if patch is None or not np.any(load):
            return
        plain = Patch(patch.length, NOSE_ANGLE)
        most = local.crush_load(tubes.sections, plain)
        if patch != plain:
            most = most * local.SADDLE_MOST
        if case.kind == "cantilever":
            most = most / local.FREE_END_CRUSH
        _least(found, "crush", most / (load * self.need.factors.strength))


def _least(found: dict[str, Array], check: str, reserve: Array) -> None:
    found[check] = np.asarray(np.minimum(found.get(check, np.inf), reserve))


def worst(found: dict[str, Array], n: int) -> Array:
    """Least hope of each of n, and infinity where nothing is driven."""
    return np.asarray(np.minimum.reduce([np.full(n, np.inf), *found.values()]))


__all__ = ["SPARE", "Box", "Hopes", "Outcome", "Sets", "Stacks", "worst"]
