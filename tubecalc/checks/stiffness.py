"""Stiffness: deflection, slope, twist, bend radius, thermal growth."""

from __future__ import annotations

import math

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, case_name, make
from tubecalc.laminate.elastic import Array
from tubecalc.loads import Flexure, flexure, own_weight, section_loads
from tubecalc.need import Need
from tubecalc.section import Sections


def deflection(s: Sections, f: Flexure) -> Array:
    """Deflection of the axis, bending and shear [m]."""
    return np.asarray(f.bend / s.EI + f.shear / s.kGA)


def outcomes(candidates: Candidates, need: Need) -> list[Outcome]:
    """Deflection, slope and twist of every case, bend radius and growth of the tube.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need.

    Returns
    -------
    list of Outcome
        Checks "deflection", "slope", "twist", "bend_radius" and "expansion".
    """
    s, limits = candidates.sections, need.limits
    out: list[Outcome] = []
    for number, case in enumerate(need.cases, 1):
        name, f = case_name(case, number), flexure(case, own_weight(case, s))
        if f is not None and not math.isnan(limits.deflection):
            out.append(
                _limit(
                    candidates,
                    "deflection",
                    name,
                    deflection(s, f),
                    limits.deflection,
                    "length",
                    "sags",
                )
            )
        if f is not None and not math.isnan(limits.slope):
            out.append(
                _limit(candidates, "slope", name, f.turn / s.EI, limits.slope, "angle", "tilts")
            )
        torque = section_loads(case).torque
        if torque and not math.isnan(case.span) and not math.isnan(limits.twist):
            turned = abs(torque) * case.span / s.GJ
            out.append(_limit(candidates, "twist", name, turned, limits.twist, "angle", "twists"))
    if not math.isnan(limits.bend_radius):
        least = s.EI / (candidates.unit(need)["bending"].broken / need.factors.strength)
        out.append(
            _limit(
                candidates,
                "bend_radius",
                "",
                least,
                limits.bend_radius,
                "length",
                "bends to no less than",
            )
        )
    if not math.isnan(limits.expansion):
        alpha = np.array([float(w.alpha_x.magnitude) for w in s.walls.layups])[s.index]
        out.append(
            _limit(
                candidates, "expansion", "", np.abs(alpha), limits.expansion, "expansion", "grows"
            )
        )
    return out


def _limit(
    candidates: Candidates, check: str, case: str, actual: Array, limit: float, kind: str, verb: str
) -> Outcome:
    """An actual value that must stay below a limit."""

    def why(n: int) -> str:
        if np.isnan(actual[n]):
            return f"{check}: not checked, a value of the material is not known"
        return f"{verb} {candidates.show(float(actual[n]), kind)} of {candidates.show(limit, kind)}"

    return make(check, case, np.full_like(actual, limit), actual, kind, why)
