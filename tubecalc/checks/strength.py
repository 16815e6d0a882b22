"""Strength: tension, compression, bending, torsion, transverse shear and all at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, case_name, make, pick
from tubecalc.checks.climate import knock_down
from tubecalc.checks.cure import first_factor
from tubecalc.laminate.elastic import Array
from tubecalc.loads import Amount, SectionLoads, own_weight, section_loads
from tubecalc.need import Case, Need
from tubecalc.section import Loads, Sections
from tubecalc.section_residual import UNIT


def wall_ratio(s: Sections) -> Mapping[str, Array]:
    """R/t of layered walls, the range of their stress; not known (no limit) for even walls."""
    return {"R/t": np.where(s.even, np.nan, s.R / s.t)}


def pressures(case: Case) -> tuple[float, float]:
    """Pressure inside and outside, nil where not given [Pa]."""
    inside, outside = (0.0 if np.isnan(p) else p for p in (case.p_in, case.p_out))
    return inside, outside


def end_pull(case: Case, s: Sections) -> Amount:
    """Axial force of the pressures on closed ends [N]."""
    inside, outside = pressures(case)
    if not case.closed or not (inside or outside):
        return 0.0
    return np.asarray(np.pi * (inside * s.ri**2 - outside * s.ro**2))


def _single(loads: SectionLoads) -> tuple[str, Amount, str] | None:
    """The one section load of a simple case: capacity name, size, unit kind."""
    acting = [x for x in (loads.axial, loads.moment, loads.torque) if np.any(x)]
    if len(acting) != 1:
        return None
    if loads.axial:
        return ("tension" if loads.axial > 0 else "compression", abs(loads.axial), "force")
    if np.any(loads.moment):
        return "bending", loads.moment, "moment"
    return "torsion", abs(loads.torque), "torque"


def _sentence(
    candidates: Candidates,
    what: str,
    demand: Amount,
    capacity: Array,
    kind: str,
    factor: float,
    note: Callable[[int], str] | None = None,
) -> Callable[[int], str]:
    def why(n: int) -> str:
        ends = "yields" if candidates.metal[n] else "breaks"
        if np.isinf(capacity[n]):
            return "a metal has no plies to crack"
        if np.isnan(capacity[n]):
            return f"{what}: not checked, the ply strengths are not known"
        at, asked = (
            candidates.show(float(capacity[n]), kind),
            candidates.show(pick(demand, n), kind),
        )
        extra = ""
        if factor != 1:
            extra = f", {candidates.show(pick(demand, n) * factor, kind)} with factor {factor:g}"
        if candidates.metal[n] and what == "bending strength":
            s = candidates.sections
            shape = s.plastic_modulus[n] / s.section_modulus[n]
            extra += f"; full plastic moment {candidates.show(float(capacity[n] * shape), kind)}"
        return f"{what}: {ends} at {at}, asked {asked}{extra}{note(n) if note else ''}"

    return why


def outcomes(candidates: Candidates, need: Need) -> list[Outcome]:
    """Strength, transverse shear and first ply of every case.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need.

    Returns
    -------
    list of Outcome
        Checks "strength", "shear" and "first_ply", or "weep" where pressure is held inside.

    Notes
    -----
    Single loads use the capacities worked out once per tube; simultaneous loads, pressure among
    them, are combined in every ply. Transverse shear is checked at the sides of the tube, where
    bending is nil.
    """
    out: list[Outcome] = []
    factor, s = need.factors.strength, candidates.sections
    for number, case in enumerate(need.cases, 1):
        loads = section_loads(case, own_weight(case, s))
        name, left = case_name(case, number), knock_down(case, need, candidates)
        one = None if any(pressures(case)) else _single(loads)
        if one is None and case.kind == "combined":
            out += _combined(candidates, need, case, name, left)
            continue
        if one is not None:
            out += _alone(candidates, need, one, name, left)
        if np.any(loads.shear):
            aged = candidates.unit(need)["torsion"].broken * knock_down(
                case, need, candidates, "torsion"
            )
            shear = aged / (2.0 * s.R)
            out.append(
                make("shear", name, shear, loads.shear * factor, "force",
                     _sentence(candidates, "transverse shear", loads.shear, shear, "force", factor),
                     at=wall_ratio(s))
            )  # fmt: skip
    return out


def _alone(
    candidates: Candidates,
    need: Need,
    one: tuple[str, Amount, str],
    name: str,
    left: Array | float,
) -> list[Outcome]:
    """Strength and first ply under one section load."""
    key, size, kind = one
    s, factor = candidates.sections, need.factors.strength
    unit, load = candidates.unit(need)[key], UNIT[key]
    broken = unit.broken * left
    damage, note = first_factor(candidates, need, key, unit.first)
    first = np.where(candidates.metal, np.inf, damage * left)
    label = f"{key} strength"
    at = wall_ratio(s)

    def theory(n: int) -> str:
        return s.theory(n, load)

    return [
        make("strength", name, broken, size * factor, kind,
             _sentence(candidates, label, size, broken, kind, factor), label=label,
             at=at, theory=theory),
        make("first_ply", name, first, size * factor, kind,
             _sentence(candidates, f"first damage in {key}", size, first, kind, factor, note),
             at=at, theory=theory),
    ]  # fmt: skip


def _combined(
    candidates: Candidates, need: Need, case: Case, name: str, left: Array | float
) -> list[Outcome]:
    """All loads of a case at once, ply by ply; capacity is a factor on the whole case.

    A tube that holds pressure inside has failed at its first crack: "weep" takes the place of
    "first_ply" then, and decides.
    """
    s, factor = candidates.sections, need.factors.strength
    alone = section_loads(case, own_weight(case, s))
    inside, outside = pressures(case)
    loads = Loads(
        alone.axial + end_pull(case, s), alone.moment, alone.torque, inside, outside
    )  # fmt: skip
    found = s.capacity_of(loads, alone.shear, criterion=need.factors.criterion)
    damage, note = first_factor(candidates, need, loads, found.first, alone.shear)

    def why(n: int) -> str:
        value = broken[n]
        if np.isnan(value):
            return "combined strength: not checked, the ply strengths are not known"
        ends = "yields" if candidates.metal[n] else "breaks"
        return f"combined strength: {ends} at {value:.3g} times the loads, factor {factor:g} asked"

    def first_why(n: int) -> str:
        if candidates.metal[n]:
            return "a metal has no plies to crack"
        said = "weeps through the first crack" if inside > outside else "first damage"
        return f"{said} at {first[n]:.3g} times the loads{note(n)}"

    def theory(n: int) -> str:
        return s.theory(n, loads)

    broken = found.broken * left
    first = np.where(candidates.metal, np.inf, damage * left)
    at = wall_ratio(s)
    return [
        make("strength", name, broken, factor, "number", why, label="combined strength",
             at=at, theory=theory),
        make("weep" if inside > outside else "first_ply", name, first, factor, "number", first_why,
             at=at, theory=theory),
    ]  # fmt: skip
