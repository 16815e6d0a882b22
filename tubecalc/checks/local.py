"""Local ways to fail: crush and split at load points, cut ends."""

from __future__ import annotations

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, case_name, make, pick
from tubecalc.checks.climate import knock_down
from tubecalc.laminate.construction import Construction
from tubecalc.laminate.elastic import Array
from tubecalc.loads import own_weight, section_loads
from tubecalc.need import Case, Need
from tubecalc.section import Sections

DENT_CONSTANT = 15.0 * 2.0**0.5  # API RP 2A-WSD, commentary on dents (MEMORY)
LINE_LOAD_MOMENT = 1.0 / np.pi  # ring under two opposite line loads, moment / (q R)
LAYERED_RING = 1.2  # curved-bar stress of cross-ply rings is up to 18 % low against the solver


def crush_load(s: Sections, width: float) -> Array:
    """Load that presses a dent one wall deep at a saddle-free load point.

    Parameters
    ----------
    s : Sections
        N tubes.
    width : float
        Width of the roller or saddle along the tube [m].

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
    plastic ring over its width, 4 m_h / R. Grade C until bench tests calibrate it.
    """
    hoop, axial = s.walls.hoop_moment[0][s.index], s.walls.axial_force[s.index]
    return np.asarray(DENT_CONSTANT * np.sqrt(hoop * axial * s.t / 4.0) + 4.0 * hoop * width / s.R)


def split_load(s: Sections, width: float) -> Array:
    """Load at which the bore first cracks under a load point.

    Parameters
    ----------
    s : Sections
        N tubes.
    width : float
        Width of the roller along the tube [m].

    Returns
    -------
    numpy.ndarray
        Load [N].

    Notes
    -----
    Ring moment q R / pi under opposite line loads (Roark), the point load being spread over
    2 R (Ex t R^2 / (36 D22))^(1/4): n = 2 ovalisation on the elastic foundation of the ring with
    membrane stretching along the tube (semi-membrane shell), own derivation. Less 1/1.2 for
    layered rings.
    """
    d22 = s.walls.d_reduced[s.index, 1, 1]
    spread = 2.0 * s.R * (s.Ex * s.t * s.R**2 / (36.0 * d22)) ** 0.25 + width
    first = s.walls.hoop_moment[1][s.index] / LAYERED_RING
    return np.asarray(first * spread / (LINE_LOAD_MOMENT * s.R))


def _points(candidates: Candidates, need: Need, case: Case, name: str) -> list[Outcome]:
    """Crush and first split at the load points of one case."""
    s = candidates.sections
    load = section_loads(case, own_weight(case, s)).point
    if not np.any(load):
        return []
    left, factor = knock_down(case, need, candidates, "hoop"), need.factors.strength
    crush = crush_load(s, case.roller_width) * left
    split = np.where(candidates.metal, np.inf, split_load(s, case.roller_width) * left)

    def crush_why(n: int) -> str:
        if np.isnan(crush[n]):
            return "crush at the load point: not checked, the ply strengths are not known"
        at = candidates.show(float(crush[n]), "force")
        return (
            f"crush at the load point: a dent one wall deep at {at}, "
            f"asked {candidates.show(pick(load, n), 'force')}; a plug or saddle carries more"
        )

    def split_why(n: int) -> str:
        if np.isnan(split[n]):
            return "first split at the bore: not checked, the ply strengths are not known"
        if candidates.metal[n]:
            return "a metal tube does not split"
        at = candidates.show(float(split[n]), "force")
        return (
            f"first split at the bore under the load point at about {at}; "
            "a warning, the tube still carries"
        )

    return [
        make("crush", name, crush, load * factor, "force", crush_why),
        make("split", name, split, load * factor, "force", split_why),
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
        Checks "crush", "split" and "end_crush".
    """
    out: list[Outcome] = []
    for number, case in enumerate(need.cases, 1):
        name = case_name(case, number)
        out += _points(candidates, need, case, name)
        if case.kind == "strut" and case.load < 0 and case.end_fitting == "plain":
            bearing = candidates.of_construction([_bearing(c) for c in candidates.constructions])
            capacity = bearing * candidates.sections.area

            def why(n: int, c: Array = capacity) -> str:
                if np.isnan(c[n]):
                    return "crush of the cut end: no bearing strength known"
                at = candidates.show(float(c[n]), "force")
                if candidates.metal[n]:
                    return f"a plain cut end yields at {at}"
                return f"a plain cut end crushes at {at}: sleeve or plug it"

            out.append(
                make("end_crush", name, capacity, -case.load * need.factors.strength, "force", why)
            )
    return out
