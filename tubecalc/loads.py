"""Section loads and deflections of the load cases, per unit stiffness; closed-form beam theory."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tubecalc.need import Case


@dataclass(frozen=True)
class SectionLoads:
    """Largest section loads of a case [N, N m, N, N m] and the largest load at one point [N]."""

    axial: float = 0.0
    moment: float = 0.0
    shear: float = 0.0
    torque: float = 0.0
    point: float = 0.0


@dataclass(frozen=True)
class Flexure:
    """Deflection = bend / EI + shear / kGA; slope = turn / EI [N m3, N m, N m2]."""

    bend: float
    shear: float
    turn: float


def inner_span(case: Case) -> float:
    """Distance between the two loads of four-point bending; a third of the span if not given."""
    return case.span / 3.0 if math.isnan(case.inner_span) else case.inner_span


def section_loads(case: Case) -> SectionLoads:
    """Largest section loads of a case.

    Parameters
    ----------
    case : Case
        Load case in SI.

    Returns
    -------
    SectionLoads

    Notes
    -----
    Source: Young & Budynas, Roark's Formulas for Stress and Strain, 7th ed., Table 8.1 (MEMORY).

    Examples
    --------
    >>> section_loads(Case("three-point", load=100.0, span=1.0)).moment
    25.0
    """
    p, span = case.load, case.span
    if case.kind == "strut":
        return SectionLoads(axial=p)
    if case.kind == "three-point":
        return SectionLoads(moment=abs(p) * span / 4, shear=abs(p) / 2, point=abs(p))
    if case.kind == "four-point":
        arm = (span - inner_span(case)) / 2
        return SectionLoads(moment=abs(p) / 2 * arm, shear=abs(p) / 2, point=abs(p) / 2)
    if case.kind == "uniform":
        if case.ends == "fixed-free":
            return SectionLoads(moment=abs(p) * span / 2, shear=abs(p))
        return SectionLoads(moment=abs(p) * span / 8, shear=abs(p) / 2, point=abs(p) / 2)
    if case.kind == "cantilever":
        return SectionLoads(moment=abs(p) * span, shear=abs(p), point=abs(p))
    torque = 0.0 if math.isnan(case.torque) else case.torque
    if case.kind == "shaft":
        return SectionLoads(torque=torque)
    return SectionLoads(case.axial, abs(case.moment), abs(case.shear), torque)


def flexure(case: Case) -> Flexure | None:
    """Deflection and slope of a case per unit stiffness; None where nothing bends.

    Parameters
    ----------
    case : Case
        Load case in SI.

    Returns
    -------
    Flexure or None

    Notes
    -----
    Source: Timoshenko beam, Gere & Timoshenko, Mechanics of Materials, App. G (MEMORY); shear
    terms P L / (4 kGA), F a / (2 kGA), w L^2 / (8 kGA), P L / kGA.

    Examples
    --------
    >>> f = flexure(Case("three-point", load=500.0, span=1.0))
    >>> round(f.bend / 2000.0 + f.shear / 1.5e6, 9)  # EI 2000 N m2, kGA 1.5 MN
    0.005291667
    """
    if case.kind not in ("three-point", "four-point", "uniform", "cantilever"):
        return None
    p, span = abs(case.load), case.span
    if case.kind == "three-point":
        return Flexure(p * span**3 / 48, p * span / 4, p * span**2 / 16)
    if case.kind == "four-point":
        a = (span - inner_span(case)) / 2
        return Flexure(
            p / 2 * a * (3 * span**2 - 4 * a**2) / 24, p * a / 2, p / 2 * a * (span - a) / 2
        )
    if case.kind == "cantilever":
        return Flexure(p * span**3 / 3, p * span, p * span**2 / 2)
    if case.ends == "fixed-free":
        return Flexure(p * span**3 / 8, p * span / 2, p * span**2 / 6)
    return Flexure(5 * p * span**3 / 384, p * span / 8, p * span**2 / 24)
