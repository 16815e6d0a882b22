"""What a bonded joint bears, what its members bear, and which gives way first."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from tubecalc.environment import derated_walls
from tubecalc.joining.bond_input import Asked
from tubecalc.joining.bond_plastic import long_ultimate, overlap_for
from tubecalc.joining.bond_result import GRADES, Limit, parts
from tubecalc.joining.bond_state import BEND, PULL, TWIST, State, faces
from tubecalc.joining.bond_walls import Member
from tubecalc.laminate.elastic import Array
from tubecalc.section import Sections

if TYPE_CHECKING:
    from tubecalc.joining.bond_result import Bond

NEAR = 0.98  # share of the load of an endless overlap that counts as all of it (own rule)
TROUGH = 6.0  # transfer lengths that leave the middle nearly unloaded, Hart-Smith (MEMORY)
_UNIT = ("tension", "compression", "torsion", "bending")


def _least(values: list[Array]) -> Array:
    return np.asarray(np.minimum.reduce(values))


def bond_strengths(asked: Asked, states: tuple[State, ...]) -> dict[str, Array]:
    """Loads one at a time that the bond bears at the worst temperature, knock-downs included.

    Parameters
    ----------
    asked : Asked
        The joints.
    states : tuple of State
        At their temperatures.

    Returns
    -------
    dict
        "tension", "compression" [N], "torsion", "bending" [N m], (N,).
    """
    kept = asked.prepared.value * asked.kept_wet
    r, none = asked.radius, np.zeros(len(asked.overlap))
    found: dict[str, list[Array]] = {k: [] for k in _UNIT}
    for s in states:
        found["tension"].append(s.ultimate(PULL, s.mismatch))
        found["compression"].append(s.ultimate(PULL, -s.mismatch))
        found["torsion"].append(s.ultimate(TWIST, none) * r)
        both = _least([s.ultimate(BEND, s.mismatch), s.ultimate(BEND, -s.mismatch)])
        found["bending"].append(both * r / 2.0)
    return {k: kept * _least(v) for k, v in found.items()}


def _at(s: Sections, temperature: float, wet: bool) -> Sections:
    walls = derated_walls(s.walls, temperature, wet)
    return s if walls is s.walls else Sections(walls, s.index, 2.0 * s.ro)


def member_strengths(sections: Sections, asked: Asked) -> tuple[dict[str, Array], Array]:
    """Loads one at a time that a member bears, and the factor on the loads together.

    Parameters
    ----------
    sections : Sections
        Tubes or inserts.
    asked : Asked
        The joints.

    Returns
    -------
    dict
        As in `bond_strengths`.
    numpy.ndarray
        Factor on the loads at which it breaks; of a pull of 1 N where there is no load (N,) [-].
    """
    alone: dict[str, list[Array]] = {k: [] for k in _UNIT}
    together = []
    loads = asked.loads
    idle = _idle(asked)
    for t in asked.temperatures:
        s = _at(sections, t, asked.wet)
        for k in _UNIT:
            alone[k].append(s.unit[k].broken + np.zeros_like(s.R))
        axial = np.where(idle, 1.0, loads.axial)
        together.append(s.capacity(axial, loads.moment, loads.torque).broken)
    return {k: _least(v) for k, v in alone.items()}, _least(together)


def _idle(asked: Asked) -> Array:
    return np.asarray(sum(np.abs(x) for x in asked.loads) == 0.0)


def joint_reserve(asked: Asked, bears: dict[str, Array]) -> Array:
    """Factor on the loads at which the bond parts; pull and bending add, torque is square to them.

    Parameters
    ----------
    asked : Asked
        The joints.
    bears : dict
        From `bond_strengths`.

    Returns
    -------
    numpy.ndarray
        Of a pull of 1 N where there is no load (N,) [-].
    """
    axial = np.where(_idle(asked), 1.0, asked.loads.axial)
    with np.errstate(divide="ignore", invalid="ignore"):
        pull = np.abs(axial) / np.where(axial >= 0, bears["tension"], bears["compression"])
        bend = np.abs(asked.loads.moment) / bears["bending"]
        turn = np.abs(asked.loads.torque) / bears["torsion"]
        pull, bend, turn = (np.where(np.isnan(x), 0.0, x) for x in (pull, bend, turn))
        share = np.hypot(pull + bend, turn)  # endless where the mismatch alone parts the bond
        return np.asarray(1.0 / share)


def first_flow(asked: Asked, states: tuple[State, ...]) -> Array:
    """Factor on the loads at which the adhesive first flows somewhere, heat included (N,) [-]."""
    out = []
    kept = asked.prepared.value * asked.kept_wet
    loads = asked.loads
    idle = _idle(asked)
    for s in states:
        _, turned = parts(asked, s, heat=False)
        bent = s.unit[BEND] * (2.0 * np.abs(loads.moment) / asked.radius)
        pull = s.unit[PULL] * np.where(idle, 1.0, loads.axial)
        heat = s.unit["heat"] * s.mismatch
        for along in (pull + bent, pull - bent):
            size = np.maximum(along**2 + turned**2, 1e-30)
            room = s.strength**2 - heat**2
            root = np.sqrt(np.maximum((along * heat) ** 2 + size * room, 0.0))
            found = np.where(room <= 0.0, 0.0, (root - along * heat) / size)
            out.append(found.min(axis=0))
    return kept * _least(out)


# -- across the bond -----------------------------------------------------------------------
def radial_pull(asked: Asked, s: State) -> Array:
    """Pull across the bond from unlike growth round the tube; negative where it presses [Pa].

    Notes
    -----
    Shrink fit of two tubes (exact layered walls) with the adhesive between, held sideways; the
    adhesive's own growth left out. Grade B: 20 %.
    """
    inner, outer = (s.insert, s.tube) if asked.inside else (s.tube, s.insert)
    rise = s.temperature - asked.bonded_at
    layer = asked.gap / (asked.adhesive.confined * asked.adhesive.left(s.temperature))
    soft = inner.face_soft + outer.face_soft + layer / asked.radius
    press = (inner.face_grows - outer.face_grows) * rise / soft
    return np.asarray(-np.nan_to_num(press))


def peel_ratio(asked: Asked, s: State, *, of_tube: bool) -> Array:
    """Peel over shear stress at a member's free end [-].

    Notes
    -----
    The end of the wall is a beam on the adhesive, bent by the shear stress at its face: lambda t,
    4 lambda^4 = (k + E_hoop t / R^2) / D with k the stiffness of the layer across. Without the
    hoop it is Hart-Smith's (3 E_a (1 - nu^2) t / (E h))^(1/4), NASA CR-112235, 1973 (MEMORY).
    A solid plug does not bend: nil.
    """
    m: Member = s.tube if of_tube else s.insert
    left = np.ones_like(m.wall)
    shape = asked.shape
    if shape.scarf:
        left = 0.0 * left
    elif np.any((shape.tube if of_tube else shape.insert) > 0):
        tapered = (shape.tube if of_tube else shape.insert) > 0
        left = np.where(tapered, np.minimum(shape.tip / m.wall, 1.0), 1.0)
    left = np.maximum(left, 1e-3)
    t, plate, ring = m.wall * left, m.plate * left**3, m.ring * left
    layer = asked.adhesive.confined * asked.adhesive.left(s.temperature) / asked.gap
    rate = ((layer + ring) / (4.0 * plate)) ** 0.25
    found = layer * t / (4.0 * plate * rate**3)
    solid = ~(asked.tubes if of_tube else asked.inserts).bored
    return np.where(solid, 0.0, found)


def mouth_pressure(asked: Asked, s: State, bent: Array) -> Array:
    """Stress across the bond where a bent wall ends, of the walls that bear on each other [Pa].

    Parameters
    ----------
    asked : Asked
        The joints.
    s : State
        At a temperature.
    bent : numpy.ndarray
        Shear stress of the bending at that end (N,) [Pa].

    Returns
    -------
    numpy.ndarray
        Of the outermost line (N,): pull at the tube's end, press at the insert's end.

    Notes
    -----
    Two beams with shear on the layer: their sections turn apart by tau / (k a), and the transverse
    force that brings them together again, kGA of both in series, must come to nothing at the end:
    k_r turn / (l + w), with l^2 = pi a (k_r + k_t) / kGA and w the decay of the lag. Own form.
    With the peel of the shear stress -24 to +81 % of a general finite-element solver at the tube's
    end, where without it the peel of a moment was up to 2.7 times too low (tests/oracle/fe).
    """
    lap, a = s.laps[BEND], asked.radius
    left = asked.adhesive.left(s.temperature)
    across = asked.adhesive.confined * left / asked.gap
    round_ = asked.adhesive.shear_modulus * left / asked.gap
    tube, insert = asked.tubes.kGA, asked.inserts.kGA
    rate = np.sqrt(np.pi * a * (across + round_) * (tube + insert) / (tube * insert))
    return np.asarray(across * bent / (lap.spring * a) / (rate + lap.rate))


def peel_stress(asked: Asked, s: State) -> Array:
    """Peel stress at the worse end: of the loads, with heat, and what heat pulls across [Pa].

    The shear stress counts up to where the adhesive flows; a push closes the ends. Of a moment both
    sides of the tube are looked at.
    """
    along = s.unit[PULL] * asked.loads.axial + s.unit["heat"] * s.mismatch
    turn = s.unit[BEND] * np.abs(2.0 * asked.loads.moment / asked.radius)
    found = [np.zeros_like(asked.radius)]
    for k, of_tube, opens in ((0, False, -1.0), (-1, True, 1.0)):
        ratio = peel_ratio(asked, s, of_tube=of_tube)
        press = opens * mouth_pressure(asked, s, np.minimum(turn[k], s.strength))
        for side in (1.0, -1.0):
            shear = np.clip(along[k] + side * turn[k], -s.strength, s.strength)
            found.append(shear * ratio + side * press)
    return np.asarray(np.maximum.reduce(found) + np.maximum(radial_pull(asked, s), 0.0))


def _over(borne: Array, stress: Array) -> Array:
    """Borne over stress; endless where nothing pulls."""
    pulls = stress > 1.0
    return np.where(pulls, borne / np.where(pulls, stress, 1.0), np.inf)


def peel_allowed(asked: Asked, s: State) -> Array:
    """Tension across the bond that adhesive and plies bear; plies not known are left out [Pa]."""
    across = np.fmin(*(f.tension for f in faces(asked)))
    least = np.fmin(across, asked.adhesive.tension)
    return np.asarray(least * asked.adhesive.left(s.temperature))


# -- all together ----------------------------------------------------------------------------
def limits(
    asked: Asked, states: tuple[State, ...], bears: dict[str, Array], members: tuple[Array, Array]
) -> tuple[Limit, ...]:
    """Every way to give way under the loads, and the warnings.

    Parameters
    ----------
    asked : Asked
        The joints.
    states : tuple of State
        At their temperatures.
    bears : dict
        From `bond_strengths`.
    members : tuple of numpy.ndarray
        Factors of tube and insert from `member_strengths`.

    Returns
    -------
    tuple of Limit
    """
    kept = asked.prepared.value * asked.kept_wet
    grade, error, basis = GRADES["strength"]
    ply = any(np.any(s.ply_limits) for s in states)
    what = "the ply next to the bond" if ply else "the adhesive"
    peel = [_over(peel_allowed(asked, s) * kept, peel_stress(asked, s)) for s in states]
    metal = asked.tube.construction.metal
    return (
        Limit("joint", "bond", joint_reserve(asked, bears), grade, error, False,
              f"{what} parts: {basis}; times {kept:.2g} for preparation and moisture"),
        Limit("tube", "tube beside the joint", members[0], "A" if metal else "B",
              "5 %" if metal else "-20 to +25 %", False, "strength of the wall, as in the checks"),
        Limit("insert", "insert", members[1], "A" if asked.insert.construction.metal else "B",
              "5 %", False, "strength of its full wall, yield of metals"),
        Limit("flow", "adhesive first flows", first_flow(asked, states), "C", error, True,
              "elastic peak with heat reaches the flow stress: the level for fatigue and creep"),
        Limit("peel", "peel at the ends", _least(peel), *GRADES["peel"][:2], True,
              GRADES["peel"][2]),
    )  # fmt: skip


def lengths(bond: Bond) -> dict[str, Array]:
    """Overlaps of straight members: useful, against creep, matching the tube (N,) [m].

    For the load that counts most: pull, torque or bending; a pull if there is none.

    Notes
    -----
    Against creep: the ends flow over the load's length, 6 transfer lengths stay between, after
    Hart-Smith (MEMORY); that part of a bond must be lightly stressed to resist creep is
    MIL-HDBK-17-3F, vol. 3, ch. 12, D-8 (SEEN).
    """
    asked, kept = bond.asked, bond.knockdown
    kind, scale, key = _leading(asked)
    useful, creep, match = [], [], []
    for s in bond.states:
        lap, strength, slip = s.long(kind)
        heat = s.mismatch if kind == PULL else np.zeros_like(s.mismatch)
        most = long_ultimate(lap, strength, slip, heat)
        useful.append(overlap_for(lap, NEAR * most, strength, slip, heat))
        target = bond.of_tube[key] / scale
        asks = np.array([asked.loads.axial, asked.loads.torque, asked.loads.moment])
        asks = np.abs(asks[(PULL, TWIST, BEND).index(kind)]) / scale
        load = np.where(asks > 0, asks, np.minimum(target, most))
        creep.append(load / (lap.width * strength) + TROUGH / lap.rate)
        match.append(overlap_for(lap, target / kept, strength, slip, heat))
    return {
        "useful": np.maximum.reduce(useful), "creep": np.maximum.reduce(creep),
        "matching": np.asarray(np.maximum.reduce(match)),
    }  # fmt: skip


def _leading(asked: Asked) -> tuple[str, Array, str]:
    """Load kind that counts most in the first joint, load per P, name of the strength."""
    r, loads = asked.radius, asked.loads
    size = {
        PULL: abs(loads.axial[0]), TWIST: abs(loads.torque[0]) / r[0],
        BEND: 2 * abs(loads.moment[0]) / r[0],
    }  # fmt: skip
    kind = max(size, key=lambda k: size[k])
    if size[kind] == 0.0 or kind == PULL:
        push = loads.axial[0] < 0
        return PULL, np.ones_like(r), "compression" if push else "tension"
    return (TWIST, r, "torsion") if kind == TWIST else (BEND, r / 2.0, "bending")


__all__ = [
    "bond_strengths", "first_flow", "joint_reserve", "lengths", "limits", "member_strengths",
    "mouth_pressure",
    "peel_allowed", "peel_ratio", "peel_stress", "radial_pull",
]  # fmt: skip
