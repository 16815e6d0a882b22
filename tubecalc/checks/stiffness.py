"""Stiffness: deflection, slope, twist, bend radius, thermal growth, a metal in the bore."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from tubecalc.checks import insert
from tubecalc.checks.base import Candidates, Outcome, case_name, make
from tubecalc.checks.service import length_of
from tubecalc.environment import ROOM
from tubecalc.environment_growth import growth
from tubecalc.laminate.elastic import Array
from tubecalc.loads import Flexure, flexure, own_weight, section_loads
from tubecalc.need import Need
from tubecalc.section import Sections
from tubecalc.shell import short_wave_axial
from tubecalc.unit_words import micro, signed


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
        Checks "deflection", "slope", "twist", "bend_radius", "expansion" and "insert".
    """
    s, limits = candidates.sections, need.limits
    out: list[Outcome] = []
    for number, case in enumerate(need.cases, 1):
        name, f = case_name(case, number), flexure(case, own_weight(case, s))
        at = {"L/D": case.span / (2 * s.ro)}
        if f is not None and not math.isnan(limits.deflection):
            sag = deflection(s, f)
            out.append(
                _limit(candidates, "deflection", name, sag, limits.deflection, "length", "sags", at)
            )
        if f is not None and not math.isnan(limits.slope):
            tilt = f.turn / s.EI
            out.append(_limit(candidates, "slope", name, tilt, limits.slope, "angle", "tilts", at))
        torque = section_loads(case).torque
        if torque and not math.isnan(case.span) and not math.isnan(limits.twist):
            turned = abs(torque) * case.span / s.GJ
            at = {"R/t": s.R / s.t}
            out.append(
                _limit(candidates, "twist", name, turned, limits.twist, "angle", "twists", at)
            )
    if not math.isnan(limits.bend_radius):
        out.append(_bend_radius(candidates, need))
    if not math.isnan(limits.expansion):
        out.append(_expansion(candidates, need))
    return out + insert.outcomes(candidates, need)


def flattening_radius(s: Sections) -> Array:
    """Radius to which a long tube can be bent before its round section flattens and gives way [m].

    Parameters
    ----------
    s : Sections
        N tubes.

    Returns
    -------
    numpy.ndarray

    Notes
    -----
    Brazier, Proc. R. Soc. A 116 (1927) 104: curvature at the greatest moment is 1.5 times that
    moment over EI; moment 1.089 pi R sqrt(Ex t D22), the orthotropic form, less 10 % as it is 4 to
    11 % above non-linear solutions. Isotropic: 1 / (0.471 t / (R^2 sqrt(1 - nu^2))) / 0.9.
    """
    d22 = s.walls.d_reduced[s.index, 1, 1]
    moment = 0.9 * 1.089 * np.pi * s.R * np.sqrt(s.Ex * s.t * d22)
    return np.asarray(s.EI / (1.5 * moment))


def wrinkling_radius(s: Sections) -> Array:
    """Radius at which the squeezed side of a perfect tube wrinkles [m]; see `short_wave_axial`."""
    return np.asarray(s.EI / (0.9 * 0.5 * s.R * short_wave_axial(s)))


def _bend_radius(candidates: Candidates, need: Need) -> Outcome:
    """Smallest bend radius: strain limit of every ply, flattening and wrinkling of the wall."""
    s, unit, limit = candidates.sections, candidates.unit(need)["bending"], need.limits.bend_radius
    breaks = s.EI / unit.broken * need.factors.strength
    cracks = s.EI / unit.first * need.factors.strength
    flattens = flattening_radius(s) * need.factors.buckling
    wrinkles = wrinkling_radius(s) * need.factors.buckling
    least = np.maximum(np.maximum(breaks, flattens), wrinkles)

    def why(n: int) -> str:
        if np.isnan(least[n]):
            return "bend radius: not checked, a value of the material is not known"
        r = [candidates.show(float(x[n]), "length") for x in (least, breaks, flattens, wrinkles)]
        ends = "yields" if candidates.metal[n] else "fibres break"
        first = "" if candidates.metal[n] else (
            f", first crack at {candidates.show(float(cracks[n]), 'length')}"
        )  # fmt: skip
        return (
            f"bends to no less than {r[0]} of {candidates.show(limit, 'length')}: {ends} at "
            f"{r[1]}{first}, the section flattens at {r[2]}, the wall wrinkles at {r[3]}, factors "
            "included"
        )

    return make(
        "bend_radius", "", np.full_like(least, limit), least, "length", why, at={"R/t": s.R / s.t}
    )


def _expansion(candidates: Candidates, need: Need) -> Outcome:
    """Axial expansion against its limit; growth over the span and of the diameters is said."""
    s, service, limit = candidates.sections, need.service, need.limits.expansion
    found = growth(s)
    actual = np.abs(found.axial)
    cold = service.temperature_min if not math.isnan(service.temperature_min) else ROOM
    hot = service.temperature if not math.isnan(service.temperature) else ROOM
    span, rise = length_of(need), hot - cold

    def why(n: int) -> str:
        if np.isnan(actual[n]):
            return "expansion: not checked, an expansion coefficient is not known"
        along, bore, outside = (
            candidates.show(float(x[n]), "expansion")
            for x in (found.axial, found.bore, found.outside)
        )
        said = (
            f"grows {along} of {candidates.show(limit, 'expansion')} along; "
            f"bore {bore}, outside {outside} around"
        )
        if not rise:
            return said
        long = (
            f"{signed(float(found.axial[n] * rise * span), 'length', candidates.system)} over "
            f"{candidates.show(span, 'length')}"
        )
        grown = float(2.0 * s.ro[n] * found.outside[n] * rise)
        wide = f"{micro(grown, candidates.system)} on the outside diameter"
        ends = " to ".join(candidates.show(x, "temperature") for x in (cold, hot))
        return f"{said}; {long} and {wide} from {ends}"

    return make(
        "expansion",
        "",
        np.full_like(actual, limit),
        actual,
        "expansion",
        why,
        at={"R/t": s.R / s.t},
    )


def _limit(
    candidates: Candidates, check: str, case: str, actual: Array, limit: float, kind: str,
    verb: str, at: Mapping[str, Array],
) -> Outcome:  # fmt: skip
    """An actual value that must stay below a limit."""

    def why(n: int) -> str:
        if np.isnan(actual[n]):
            return f"{check}: not checked, a value of the material is not known"
        return f"{verb} {candidates.show(float(actual[n]), kind)} of {candidates.show(limit, kind)}"

    return make(check, case, np.full_like(actual, limit), actual, kind, why, at=at)
