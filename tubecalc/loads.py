"""Section loads and deflections of the load cases, per unit stiffness; closed-form beam theory."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.need import Case
from tubecalc.section import Sections

G0 = 9.80665  # standard gravity [m/s2], exact by definition (CGPM 1901)
Amount = Array | float


@dataclass(frozen=True)
class SectionLoads:
    """Largest section loads of a case [N, N m, N, N m] and the largest load at one point [N].

    One number each, or (N,) where the own weight of N tubes is part of the load.
    """

    axial: float = 0.0
    moment: Amount = 0.0
    shear: Amount = 0.0
    torque: float = 0.0
    point: Amount = 0.0


@dataclass(frozen=True)
class Flexure:
    """Deflection = bend / EI + shear / kGA; slope = turn / EI [N m3, N m, N m2]."""

    bend: Amount
    shear: Amount
    turn: Amount


def inner_span(case: Case) -> float:
    """Distance between the two loads of four-point bending; a third of the span if not given."""
    return case.span / 3.0 if math.isnan(case.inner_span) else case.inner_span


def own_weight(case: Case, s: Sections) -> Amount:
    """Weight per length of the tubes of a case that lie across it; 0 where it is not asked [N/m].

    Parameters
    ----------
    case : Case
        Load case.
    s : Sections
        N tubes.

    Returns
    -------
    numpy.ndarray or float
    """
    return np.asarray(s.mass_per_length * G0) if case.own_weight else 0.0


def section_loads(case: Case, weight: Amount = 0.0) -> SectionLoads:
    """Largest section loads of a case.

    Parameters
    ----------
    case : Case
        Load case in SI.
    weight : numpy.ndarray or float
        Own weight per length, taken to act with the load; see `own_weight` [N/m].

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
    p, span = abs(case.load), case.span
    own = weight * span  # weight of the span; the moments of load and weight peak together
    if case.kind == "strut":
        return SectionLoads(axial=case.load)
    if case.kind == "three-point":
        return SectionLoads(
            moment=p * span / 4 + own * span / 8, shear=p / 2 + own / 2, point=p + 0 * own
        )
    if case.kind == "four-point":
        arm = (span - inner_span(case)) / 2
        return SectionLoads(
            moment=p / 2 * arm + own * span / 8, shear=p / 2 + own / 2, point=p / 2 + own / 2
        )
    if case.kind == "uniform":
        if case.ends == "fixed-free":
            return SectionLoads(moment=(p + own) * span / 2, shear=p + own)
        return SectionLoads(moment=(p + own) * span / 8, shear=(p + own) / 2, point=(p + own) / 2)
    if case.kind == "cantilever":
        return SectionLoads(moment=p * span + own * span / 2, shear=p + own, point=p)
    torque = 0.0 if math.isnan(case.torque) else case.torque
    if case.kind == "shaft":
        return SectionLoads(torque=torque)
    return SectionLoads(case.axial, abs(case.moment), abs(case.shear), torque)


def flexure(case: Case, weight: Amount = 0.0) -> Flexure | None:
    """Deflection and slope of a case per unit stiffness; None where nothing bends.

    Parameters
    ----------
    case : Case
        Load case in SI.
    weight : numpy.ndarray or float
        Own weight per length, taken to act with the load; see `own_weight` [N/m].

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
    free = case.kind == "cantilever" or (case.kind == "uniform" and case.ends == "fixed-free")
    own = _even(weight * span, span, free=free)
    if case.kind == "uniform":
        load = _even(p, span, free=free)
    elif case.kind == "three-point":
        load = Flexure(p * span**3 / 48, p * span / 4, p * span**2 / 16)
    elif case.kind == "four-point":
        a = (span - inner_span(case)) / 2
        load = Flexure(
            p / 2 * a * (3 * span**2 - 4 * a**2) / 24, p * a / 2, p / 2 * a * (span - a) / 2
        )
    else:
        load = Flexure(p * span**3 / 3, p * span, p * span**2 / 2)
    return Flexure(load.bend + own.bend, load.shear + own.shear, load.turn + own.turn)


def _even(total: Amount, span: float, *, free: bool) -> Flexure:
    """An evenly spread load on a cantilever or on two rests."""
    if free:
        return Flexure(total * span**3 / 8, total * span / 2, total * span**2 / 6)
    return Flexure(5 * total * span**3 / 384, total * span / 8, total * span**2 / 24)
