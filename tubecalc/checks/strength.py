"""Strength: tension, compression, bending, torsion, transverse shear and all at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, case_name, make, pick
from tubecalc.checks.climate import knock_down
from tubecalc.laminate.elastic import Array
from tubecalc.loads import Amount, SectionLoads, own_weight, section_loads
from tubecalc.need import Need


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


def _sentence(candidates: Candidates, what: str, demand: Amount, capacity: Array, kind: str,
              factor: float) -> Callable[[int], str]:  # fmt: skip
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
        return f"{what}: {ends} at {at}, asked {asked}{extra}"

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
        Checks "strength", "shear" and "first_ply".

    Notes
    -----
    Single loads use the capacities worked out once per tube; simultaneous loads are combined in
    every ply. Transverse shear is checked at the sides of the tube, where bending is nil.
    """
    out: list[Outcome] = []
    unit = candidates.unit(need)
    factor = need.factors.strength
    for number, case in enumerate(need.cases, 1):
        loads = section_loads(case, own_weight(case, candidates.sections))
        name, left = case_name(case, number), knock_down(case, need, candidates)
        one = _single(loads)
        if one is None and case.kind == "combined":
            out += _combined(candidates, need, loads, name, left)
            continue
        if one is not None:
            key, size, kind = one
            broken = unit[key].broken * left
            first = np.where(candidates.metal, np.inf, unit[key].first * left)
            label = f"{key} strength"
            out.append(
                make("strength", name, broken, size * factor, kind,
                     _sentence(candidates, label, size, broken, kind, factor), label=label)
            )  # fmt: skip
            out.append(
                make("first_ply", name, first, size * factor, kind,
                     _sentence(candidates, f"first damage in {key}", size, first, kind, factor))
            )  # fmt: skip
        if np.any(loads.shear):
            aged = unit["torsion"].broken * knock_down(case, need, candidates, "torsion")
            shear = aged / (2.0 * candidates.sections.R)
            out.append(
                make("shear", name, shear, loads.shear * factor, "force",
                     _sentence(candidates, "transverse shear", loads.shear, shear, "force", factor))
            )  # fmt: skip
    return out


def _combined(
    candidates: Candidates, need: Need, loads: SectionLoads, name: str, left: Array | float
) -> list[Outcome]:
    """All loads of a case at once, ply by ply; capacity is a factor on the whole case."""
    found = candidates.sections.capacity(
        loads.axial, loads.moment, loads.torque, loads.shear, criterion=need.factors.criterion
    )
    factor = need.factors.strength

    def why(n: int) -> str:
        value = broken[n]
        if np.isnan(value):
            return "combined strength: not checked, the ply strengths are not known"
        ends = "yields" if candidates.metal[n] else "breaks"
        return f"combined strength: {ends} at {value:.3g} times the loads, factor {factor:g} asked"

    def first_why(n: int) -> str:
        if candidates.metal[n]:
            return "a metal has no plies to crack"
        return f"first damage at {first[n]:.3g} times the loads"

    broken = found.broken * left
    first = np.where(candidates.metal, np.inf, found.first * left)
    return [
        make("strength", name, broken, factor, "number", why, label="combined strength"),
        make("first_ply", name, first, factor, "number", first_why),
    ]  # fmt: skip
