"""A hole or a bolt through both walls: net section, bearing, shear-out, first crack at its edge."""

from __future__ import annotations

import math

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, make, pick
from tubecalc.checks.climate import knock_down
from tubecalc.laminate.elastic import Array
from tubecalc.loads import SectionLoads, own_weight, section_loads
from tubecalc.need import Case, Need
from tubecalc.section import Sections

POINT_STRESS = 1.016e-3  # characteristic distance, Whitney & Nuismer 1974 (MEMORY) [m]
METAL_BEARING = 1.5  # bearing yield over yield, edge distance 1.5 diameters or more (MEMORY)


def half_angle(s: Sections, hole: float) -> Array:
    """Half the angle that a hole takes of the wall [rad]; a hole as wide as the tube takes all."""
    return np.asarray(np.arcsin(np.minimum(hole / (2.0 * s.R), 1.0)))


def loss(s: Sections, hole: float, place: str) -> Array:
    """Share of the second moment of area that a hole through both walls takes away.

    Parameters
    ----------
    s : Sections
        N tubes.
    hole : float
        Diameter [m].
    place : str
        "face": in the plane of bending; "side": at the neutral axis.

    Returns
    -------
    numpy.ndarray
        Share [-].

    Notes
    -----
    Two strips of half angle f off a thin ring: R^3 t (2 f +- sin 2 f) of pi R^3 t; for a small
    hole in the face 2 d / (pi R). Elementary.
    """
    f = half_angle(s, hole)
    return np.asarray((2.0 * f + (1.0 if place == "face" else -1.0) * np.sin(2.0 * f)) / np.pi)


def concentration(s: Sections) -> Array:
    """Stress at the edge of a small hole over the axial stress far from it.

    Parameters
    ----------
    s : Sections
        N tubes.

    Returns
    -------
    numpy.ndarray
        Factor [-]; 3 for an isotropic wall.

    Notes
    -----
    1 + sqrt(2 (sqrt(Ex / Ey) - nuxy) + Ex / Gxy): Lekhnitskii, Anisotropic Plates (1968); a wide
    flat plate. Curvature of the wall adds, by Van Dyke (1965), under 5 % while
    d^2 / (R t) is below 1 (MEMORY).
    """
    inside = 2.0 * (np.sqrt(s.Ex / s.Ehoop) - s.nuxy) + s.Ex / s.Gxy
    return np.asarray(1.0 + np.sqrt(np.maximum(inside, 0.0)))


def point_stress(k: Array, hole: float, distance: float = POINT_STRESS) -> Array:
    """Axial stress a small distance from the edge of a hole over that far from it.

    Parameters
    ----------
    k : numpy.ndarray
        Factor at the edge; see `concentration`.
    hole : float
        Diameter [m].
    distance : float
        From the edge [m].

    Returns
    -------
    numpy.ndarray
        Factor [-], the whole strength over that with the hole.

    Notes
    -----
    Whitney & Nuismer, J. Composite Materials 8 (1974) 253, point-stress criterion with the
    approximation of Konish & Whitney 1975 (MEMORY).

    Examples
    --------
    >>> [round(float(point_stress(np.array(3.0), d)), 2) for d in (1e-9, 10e-3, 1.0)]
    [1.0, 2.06, 2.99]
    """
    x = hole / 2.0 / (hole / 2.0 + distance)
    rise = x**2 + 3.0 * x**4 - (k - 3.0) * (5.0 * x**6 - 7.0 * x**8)
    return np.asarray(np.maximum(1.0 + 0.5 * rise, 1.0))


def strip(s: Sections, hole: float) -> Array:
    """Correction of a wide-plate factor for the finite half circumference beside a hole.

    Notes
    -----
    (2 + (1 - d/W)^3) / (3 (1 - d/W)) with W = pi R: Peterson, Stress Concentration Factors, 1974,
    isotropic strip (MEMORY).
    """
    left = np.maximum(1.0 - hole / (np.pi * s.R), 1e-9)
    return np.asarray((2.0 + left**3) / (3.0 * left))


def weakening(
    candidates: Candidates, hole: float, lost: Array, distance: float, edge: Array | None = None
) -> Array:
    """Strength of the whole section over that with the hole, for one kind of load.

    A metal yields and evens out: net section. A composite breaks by the stress a small distance
    from the edge, or by the net section where that is worse.
    """
    s = candidates.sections
    net = 1.0 / np.maximum(1.0 - lost, 1e-9)
    factor = concentration(s) if edge is None else edge
    near = point_stress(factor, hole, distance) * strip(s, hole)
    return np.where(candidates.metal, net, np.maximum(net, near))


def _share(
    candidates: Candidates, need: Need, case: Case, loads: SectionLoads, *, first: bool
) -> Array:
    """Sum of load over capacity at the hole, axial force and bending."""
    s, unit, hole = candidates.sections, candidates.unit(need), case.hole
    distance = 0.0 if first else POINT_STRESS
    share = np.zeros_like(s.R)
    if np.any(loads.axial):
        kind = "tension" if loads.axial > 0 else "compression"
        weak = weakening(candidates, hole, 2.0 * half_angle(s, hole) / np.pi, distance)
        can = unit[kind].first if first else unit[kind].broken
        share = share + abs(loads.axial) / can * weak
    if np.any(loads.moment):
        lost = loss(s, hole, case.hole_place)
        weak = weakening(candidates, hole, lost, distance)
        if case.hole_place == "side":  # no axial stress there: only the section is smaller
            weak = 1.0 / np.maximum(1.0 - lost, 1e-9)
        can = unit["bending"].first if first else unit["bending"].broken
        share = share + loads.moment / can * weak
    return np.asarray(share)


def _net(candidates: Candidates, need: Need, case: Case, name: str) -> list[Outcome]:
    """Break of the section at the hole, and its first crack."""
    s, hole = candidates.sections, case.hole
    loads = section_loads(case, own_weight(case, s))
    at = {"hole/D": hole / (2.0 * s.ro)}
    left, factor = knock_down(case, need, candidates), need.factors.strength
    out: list[Outcome] = []
    lost = loss(s, hole, case.hole_place)
    with np.errstate(divide="ignore", invalid="ignore"):
        whole = left / _share(candidates, need, case, loads, first=False)
        crack = left / _share(candidates, need, case, loads, first=True)

    def why(n: int) -> str:
        if np.isnan(whole[n]):
            return "hole in the wall: not checked, the ply strengths are not known"
        place = "in the plane of bending" if case.hole_place == "face" else "at the neutral axis"
        taken = f" {place}, where it takes {100 * lost[n]:.2g} % of I,"
        where = taken if np.any(loads.moment) else ""
        return (
            f"the wall breaks at a {candidates.show(hole, 'length')} hole{where} at "
            f"{whole[n]:.3g} times the loads, factor {factor:g} asked"
        )

    def crack_why(n: int) -> str:
        if candidates.metal[n]:
            return "a metal yields at the edge of a hole and evens the stress out"
        return f"first damage at the edge of the hole at {crack[n]:.3g} times the loads"

    if np.any(loads.axial) or np.any(loads.moment):
        out = [
            make("hole", name, whole, factor, "number", why, label="hole: net section", at=at),
            make("first_ply", name, np.where(candidates.metal, np.inf, crack), factor, "number",
                 crack_why, label="first damage at the edge of the hole"),
        ]  # fmt: skip
    return out + _side_shear(candidates, need, case, loads, name)


def _side_shear(
    candidates: Candidates, need: Need, case: Case, loads: SectionLoads, name: str
) -> list[Outcome]:
    """Shear and torque past the hole.

    Pure shear pulls along one diagonal and presses along the other: the edge of the hole sees one
    more than under a pull, 4 in an isotropic wall (Kirsch); taken so for every wall (own
    reasoning).
    """
    s, hole, factor = candidates.sections, case.hole, need.factors.strength
    side = case.hole_place == "side" and np.any(loads.shear)
    if not (side or loads.torque):
        return []
    aged = candidates.unit(need)["torsion"].broken * knock_down(case, need, candidates, "torsion")
    flow = np.abs(loads.torque) + (2.0 * s.R * loads.shear if side else 0.0)
    lost = 2.0 * half_angle(s, hole) / np.pi
    weak = weakening(candidates, hole, lost, POINT_STRESS, edge=concentration(s) + 1.0)
    capacity = aged / weak / np.maximum(flow, 1e-300)

    def why(n: int) -> str:
        if np.isnan(capacity[n]):
            return "shear past the hole: not checked, the ply strengths are not known"
        return (
            f"shear past a {candidates.show(hole, 'length')} hole: {capacity[n]:.3g} times the "
            f"loads on the wall that is left, factor {factor:g} asked"
        )

    at = {"hole/D": hole / (2.0 * s.ro)}
    label = "hole: shear past it"
    return [make("hole", name, capacity, factor, "number", why, label=label, at=at)]


def _bolt(candidates: Candidates, need: Need, case: Case, name: str) -> list[Outcome]:
    """Bearing of a bolt on both walls, and shear-out to the end of the tube."""
    s, hole = candidates.sections, case.hole
    loads = section_loads(case, own_weight(case, s))
    axial = case.kind in ("strut", "combined")
    push = np.abs(loads.axial) if axial else loads.point
    if not np.any(push):
        return []
    bearing = candidates.of_construction(
        [METAL_BEARING * c.fill[0].values.Xt if c.metal else c.end_bearing
         for c in candidates.constructions]
    )  # fmt: skip
    at = {"hole/D": hole / (2.0 * s.ro)}
    left, factor = knock_down(case, need, candidates, "compression"), need.factors.strength
    capacity = bearing * left * 2.0 * hole * s.t + 0.0 * s.R

    def why(n: int) -> str:
        if np.isnan(capacity[n]):
            return "bearing of the bolt: not checked, no bearing strength known"
        return (
            f"a {candidates.show(hole, 'length')} bolt through both walls bears "
            f"{candidates.show(float(capacity[n]), 'force')}, asked "
            f"{candidates.show(pick(push, n), 'force')}"
        )

    out = [make("hole", name, capacity, push * factor, "force", why, label="hole: bearing", at=at)]
    if axial and not math.isnan(case.edge_distance):
        out.append(_shear_out(candidates, need, case, push * factor, name))
    return out


def _shear_out(
    candidates: Candidates, need: Need, case: Case, demand: Array | float, name: str
) -> Outcome:
    """The bolt shears a plug of wall out to the end: two planes in each of two walls.

    Load 4 e t times the shear strength of the wall, e from the hole's centre to the end:
    MIL-HDBK-17-3F, bolted joints (MEMORY); edge distance over diameter of 2 and more is in range.
    """
    s, e = candidates.sections, case.edge_distance
    torsion = candidates.unit(need)["torsion"].broken
    strength = torsion / (2.0 * np.pi * s.R**2 * s.t)
    capacity = 4.0 * e * s.t * strength * knock_down(case, need, candidates, "torsion")

    def why(n: int) -> str:
        if np.isnan(capacity[n]):
            return "shear-out of the bolt: not checked, the ply strengths are not known"
        return (
            f"the bolt shears out to the end, {candidates.show(e, 'length')} away, at "
            f"{candidates.show(float(capacity[n]), 'force')}; more edge distance or hoop and "
            "bias plies help"
        )

    at: dict[str, Array | float] = {
        "hole/D": np.asarray(case.hole / (2.0 * s.ro)), "edge distance/hole": e / case.hole,
    }  # fmt: skip
    return make("hole", name, capacity, demand, "force", why, label="hole: shear-out", at=at)


def outcomes_of(candidates: Candidates, need: Need, case: Case, name: str) -> list[Outcome]:
    """Checks of the hole of one case; none where the case has no hole.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need.
    case : Case
        One of its cases.
    name : str
        Name of the case.

    Returns
    -------
    list of Outcome
        Check "hole": net section, shear past the hole, bearing and shear-out of a bolt; and
        "first_ply" for the first damage at its edge.
    """
    if math.isnan(case.hole):
        return []
    out = _net(candidates, need, case, name)
    if case.touch == "bolt":
        out += _bolt(candidates, need, case, name)
    return out
