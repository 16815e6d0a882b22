"""A bonded joint at one temperature: stresses per unit load and loads it bears."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tubecalc.joining import bond_lag, bond_plastic, bond_taper
from tubecalc.joining.bond_input import Asked, barrier_softness
from tubecalc.joining.bond_lag import Lap
from tubecalc.joining.bond_walls import Face, Member, face, member, thinned
from tubecalc.laminate.elastic import Array, Bools

_STRAIGHT = 80  # elements of the curve of a straight joint; its ends are exact
PULL, TWIST, BEND = "pull", "twist", "bend"


@dataclass(frozen=True)
class State:
    """N joints at one temperature.

    Attributes
    ----------
    temperature : float
        [degC].
    tube, insert : Member
        The members.
    laps : dict
        Load kind -> Lap with the gap as it is, on its thinner side if off centre.
    tapers : dict
        Load kind -> Taper; empty for straight joints.
    credited : numpy.ndarray
        Spring with the gap that counts for strength: no more than the best one [Pa/m].
    strength, slip : numpy.ndarray
        Shear stress at which the bond flows, or its ply breaks [Pa], slip at which it parts [m].
    ply_limits : numpy.ndarray
        Whether the ply next to the bond is weaker than the adhesive.
    mismatch : numpy.ndarray
        Free strain of the insert less that of the tube; nil where an expansion is not known [-].
    x : numpy.ndarray
        Places along the overlap (M + 1, N) [m].
    unit : dict
        Load kind, and "heat" for a mismatch of 1 -> shear stress along (M + 1, N) [Pa].
    """

    temperature: float
    tube: Member
    insert: Member
    laps: dict[str, Lap]
    tapers: dict[str, bond_taper.Taper]
    credited: dict[str, Array]
    strength: Array
    slip: dict[str, Array]
    ply_limits: Bools
    mismatch: Array
    x: Array
    unit: dict[str, Array]

    def ultimate(self, kind: str, mismatch: Array) -> Array:
        """Load P of a kind at which the bond parts, before knock-downs (N,) [N]."""
        spring = self.credited[kind]
        if self.tapers:
            t = self.tapers[kind]._replace(spring=spring)
            return bond_taper.ultimate(t, self.strength, self.slip[kind], mismatch).load
        lap = self.laps[kind]._replace(spring=spring)
        return bond_plastic.ultimate(lap, self.strength, self.slip[kind], mismatch)

    def long(self, kind: str) -> tuple[Lap, Array, Array]:
        """Straight lap of a kind as it counts for strength, flow stress and breaking slip."""
        return self.laps[kind]._replace(spring=self.credited[kind]), self.strength, self.slip[kind]


def _stiffness(radius: Array, pull: Array, twist: Array, bend: Array) -> dict[str, Array]:
    """Equivalent stiffness S of each load kind [N]; see `bond_lag`."""
    return {
        PULL: np.asarray(pull), TWIST: np.asarray(twist / radius**2),
        BEND: np.asarray(2.0 * bend / radius**2),
    }  # fmt: skip


def _thickness(asked: Asked, x: Array, m: Member, *, of_tube: bool) -> Array:
    """Share of the wall that is left at places along the overlap."""
    shape = asked.shape
    from_end = asked.overlap - x if of_tube else x
    length = asked.overlap if shape.scarf else shape.tube if of_tube else shape.insert
    tip = np.zeros_like(m.wall) if shape.scarf else np.minimum(shape.tip / m.wall, 1.0)
    slope = from_end / np.where(length > 0, length, 1.0)
    return np.where(length > 0, np.minimum(tip + (1.0 - tip) * slope, 1.0), 1.0)


def faces(asked: Asked) -> tuple[Face, Face]:
    """The plies on both sides of the bond, tube and insert."""
    return face(asked.tubes, at_bore=asked.inside), face(asked.inserts, at_bore=not asked.inside)


def state_at(asked: Asked, temperature: float) -> State:
    """Work out a joint at a temperature.

    Parameters
    ----------
    asked : Asked
        The joints.
    temperature : float
        [degC].

    Returns
    -------
    State
    """
    glue, hot = asked.adhesive, temperature
    tube = member(asked.tubes, at_bore=asked.inside, temperature=hot, wet=asked.wet)
    insert = member(asked.inserts, at_bore=not asked.inside, temperature=hot, wet=asked.wet)
    left = glue.left(hot)
    modulus, flow = glue.shear_modulus * left, glue.shear_strength * left
    radius = asked.radius
    thin = asked.gap - asked.off_centre
    counted = np.minimum(thin, glue.gap_best)
    extra = barrier_softness(asked.barrier) if asked.barrier else 0.0
    plies = np.minimum(*(f.shear for f in faces(asked))) * left
    weak = plies < flow
    strength = np.minimum(plies, flow)
    width = 2.0 * np.pi * radius
    along = extra + tube.soft + insert.soft
    soft = {PULL: along, TWIST: extra + np.zeros_like(along), BEND: along}
    spring = {k: 1.0 / (thin / modulus + v) for k, v in soft.items()}
    credited = {k: 1.0 / (counted / modulus + v) for k, v in soft.items()}
    plastic = counted * (glue.shear_strain - glue.yield_strain)
    slip = {k: strength / credited[k] + np.where(weak, 0.0, plastic) for k in soft}
    free = (insert.grows - tube.grows) * (hot - asked.bonded_at)
    s_tube = _stiffness(radius, tube.pull, tube.twist, tube.bend)
    s_insert = _stiffness(radius, insert.pull, insert.twist, insert.bend)
    laps = {k: Lap(asked.overlap, width, spring[k], s_tube[k], s_insert[k]) for k in soft}
    tapers = {} if asked.shape.straight else _tapers(asked, laps, tube, insert)
    x, unit = _units(asked, laps, tapers)
    return State(hot, tube, insert, laps, tapers, credited, strength, slip, weak,
                 np.nan_to_num(free), x, unit)  # fmt: skip


def _tapers(
    asked: Asked, laps: dict[str, Lap], tube: Member, insert: Member
) -> dict[str, bond_taper.Taper]:
    x = bond_taper.nodes(asked.overlap)
    middle = (x[1:] + x[:-1]) / 2.0
    parts = []
    for m, of_tube in ((tube, True), (insert, False)):
        at_bore = asked.inside if of_tube else not asked.inside
        share = _thickness(asked, middle, m, of_tube=of_tube)
        parts.append(_stiffness(asked.radius, *thinned(m, share, at_bore=at_bore)))
    return {
        k: bond_taper.Taper(x, lap.width, lap.spring, parts[0][k], parts[1][k])
        for k, lap in laps.items()
    }


def _units(
    asked: Asked, laps: dict[str, Lap], tapers: dict[str, bond_taper.Taper]
) -> tuple[Array, dict[str, Array]]:
    """Shear stress along the joint per unit of each load and of mismatch."""
    out: dict[str, Array] = {}
    x = bond_taper.nodes(asked.overlap, bond_taper.ELEMENTS if tapers else _STRAIGHT)
    for kind, lap in laps.items():
        if tapers:
            load, heat = bond_taper.elastic(tapers[kind])
            out[kind] = lap.spring * load
            if kind == PULL:
                out["heat"] = lap.spring * heat
        else:
            out[kind] = bond_lag.shear(lap, 1.0, 0.0, x)
            if kind == PULL:
                out["heat"] = bond_lag.shear(lap, 0.0, 1.0, x)
    return x, out


__all__ = ["BEND", "PULL", "TWIST", "State", "faces", "state_at"]
