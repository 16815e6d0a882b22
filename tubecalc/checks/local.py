"""Local ways to fail: crush and split at load points, holes, cut ends."""

from __future__ import annotations

import numpy as np

from tubecalc.checks import hole
from tubecalc.checks.base import Candidates, Outcome, case_name, make, pick
from tubecalc.checks.climate import knock_down
from tubecalc.laminate.construction import Construction
from tubecalc.laminate.elastic import Array
from tubecalc.loadpoint import NOSE_ANGLE, Patch
from tubecalc.loadpoint_table import load_table
from tubecalc.loads import own_weight, section_loads
from tubecalc.need import Case, Need
from tubecalc.section import Sections

DENT_CONSTANT = 15.0 * 2.0**0.5  # API RP 2A-WSD, commentary on dents (MEMORY)
# A load on the very end of a tube dents it four times as deep as one far from it, a beam on an
# elastic bed being the model of its ovalisation (Hetenyi 1946, MEMORY); the plastic dent has one
# side instead of two (own reasoning).
FREE_END, FREE_END_CRUSH = 4.0, 2.0
SADDLE_MOST = 0.2387 / 0.0528  # ring moment of a point load over that at a saddle's horn (MEMORY):
# 3 / (4 pi) and Zick, Welding Journal 30 (1951), 120 degrees
COSINE = 2.0 * (3.0 * (np.pi**2 / 4.0 - 2.0)) ** 0.5  # even pressure with the spread of a cosine


def patch_of(case: Case) -> Patch | None:
    """Where a load point of a case presses; None for a bolt or where a plug holds the wall.

    Parameters
    ----------
    case : Case
        Load case.

    Returns
    -------
    Patch or None

    Notes
    -----
    A roller touches 30 degrees round the tube, a saddle the angle it embraces. A clamp is two
    halves that each press with the load, spread as the cosine of the angle.
    """
    if case.plug or case.touch == "bolt":
        return None
    if case.touch == "clamp":
        return Patch(case.roller_width, COSINE, opposed=True)
    return Patch(case.roller_width, case.saddle_angle if case.touch == "saddle" else NOSE_ANGLE)


def split_load(s: Sections, patch: Patch) -> Array:
    """Load at which the wall under a load point is first damaged, at the bore or outside.

    Parameters
    ----------
    s : Sections
        N tubes.
    patch : Patch
        Where the load presses.

    Returns
    -------
    numpy.ndarray
        Load [N].

    Notes
    -----
    Ply stresses of the shell under the patch, see `tubecalc.loadpoint`; Hashin 1980. Against
    three-dimensional elasticity hoop strain at the bore is at R/t 4.5 within -9 and +3 % under
    2 mm, within 3 % under 10 mm; at 19.5 within 3 %.
    """
    found = load_table(s.walls, patch).at(s.index, s.R, damage=True)
    return np.minimum(found.bore, found.outside)


def crush_load(s: Sections, patch: Patch) -> Array:
    """Load that presses a dent one wall deep at a load point.

    Parameters
    ----------
    s : Sections
        N tubes.
    patch : Patch
        Where the load presses.

    Returns
    -------
    numpy.ndarray
        Load [N].

    Notes
    -----
    Metal tubes: P = 15 m (D/t)^(1/2) (2 X/D)^(1/2) with m = fy t^2 / 4 (API RP 2A-WSD commentary,
    after Furnes & Amdahl 1980; MEMORY). The mechanism trades hoop bending against axial
    stretching, so m is written sqrt(m_h N_x t / 4) with the wall's own hoop moment m_h and axial
    force N_x at break, which is m itself for a metal. Dent X = t. A roller of some width adds the
    plastic ring over its width, 4 m_h / R. A saddle or clamp is taken to lift this as it lifts the
    load of first damage, but not beyond Zick's ring moment of a rigid saddle of 120 degrees (own
    rule). Grade C until bench tests calibrate it.
    """
    hoop, axial = s.walls.hoop_moment[0][s.index], s.walls.axial_force[s.index]
    roller = DENT_CONSTANT * np.sqrt(hoop * axial * s.t / 4.0) + 4.0 * hoop * patch.length / s.R
    plain = Patch(patch.length, NOSE_ANGLE)
    if patch == plain:
        return np.asarray(roller)
    lift = split_load(s, patch) / split_load(s, plain)
    return np.asarray(roller * np.clip(lift, 1.0, SADDLE_MOST))


def _points(candidates: Candidates, need: Need, case: Case, name: str) -> list[Outcome]:
    """Crush and first split at the load points of one case."""
    s = candidates.sections
    load = section_loads(case, own_weight(case, s)).point
    patch = patch_of(case)
    if not np.any(load) or (patch is None and not case.plug):
        return []
    left, factor = knock_down(case, need, candidates, "hoop"), need.factors.strength
    crush = split = np.full_like(s.R, np.inf)
    end = case.kind == "cantilever"  # the load presses on the free end
    if patch is not None:
        crush = crush_load(s, patch) * left / (FREE_END_CRUSH if end else 1.0)
        split = split_load(s, patch) * left / (FREE_END if end else 1.0)
        split = np.where(candidates.metal, np.inf, split)
    where = "at the free end" if end else f"under the {case.touch}"

    def crush_why(n: int) -> str:
        if case.plug:
            return "crush at the load point: a tight plug holds the wall from inside"
        if np.isnan(crush[n]):
            return "crush at the load point: not checked, the ply strengths are not known"
        at = candidates.show(float(crush[n]), "force")
        more = "" if case.touch == "clamp" else "; a plug or a wider saddle carries more"
        return (
            f"crush {where}: a dent one wall deep at {at}, "
            f"asked {candidates.show(pick(load, n), 'force')}{more}"
        )

    def split_why(n: int) -> str:
        if case.plug:
            return "first split at the load point: a tight plug holds the wall from inside"
        if np.isnan(split[n]):
            return "first split at the load point: not checked, the ply strengths are not known"
        if candidates.metal[n]:
            return "a metal tube does not split"
        at = candidates.show(float(split[n]), "force")
        return f"first damage in the wall {where} at about {at}; a warning, the tube still carries"

    slim = {"R/t": s.R / s.t}
    return [
        make("crush", name, crush, load * factor, "force", crush_why, at=slim),
        make("split", name, split, load * factor, "force", split_why, at=slim),
    ]


def _bearing(construction: Construction) -> float:
    """Stress that a plain cut end bears; a metal yields."""
    if construction.metal:
        return construction.fill[0].values.Xt
    return construction.end_bearing


def outcomes(candidates: Candidates, need: Need) -> list[Outcome]:
    """Local checks of every case.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need.

    Returns
    -------
    list of Outcome
        Checks "crush", "split", "end_crush" and those of `tubecalc.checks.hole`.
    """
    out: list[Outcome] = []
    for number, case in enumerate(need.cases, 1):
        name = case_name(case, number)
        out += _points(candidates, need, case, name)
        out += hole.outcomes_of(candidates, need, case, name)
        if case.kind == "strut" and case.load < 0 and case.end_fitting == "plain":
            bearing = candidates.of_construction([_bearing(c) for c in candidates.constructions])
            capacity = bearing * candidates.sections.area

            def why(n: int, c: Array = capacity) -> str:
                if np.isnan(c[n]):
                    return "crush of the cut end: no bearing strength known"
                at = candidates.show(float(c[n]), "force")
                if candidates.metal[n]:
                    return f"a plain cut end yields at {at}"
                splits = candidates.constructions[candidates.which[n]].splits
                fails = "splits and brooms" if splits else "crushes"
                return f"a plain cut end {fails} at {at}: sleeve or plug it"

            out.append(
                make("end_crush", name, capacity, -case.load * need.factors.strength, "force", why)
            )
    return out
