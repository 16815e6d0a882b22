"""Local buckling of the wall: perfect cylinder, knock-down, loads acting together."""

from __future__ import annotations

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, case_name, make
from tubecalc.laminate.elastic import Array
from tubecalc.loads import own_weight, section_loads
from tubecalc.need import Case, Need
from tubecalc.section import Sections


def knock_down_shell(s: Sections, *, bending: bool = False, given: float = 0.0) -> Array:
    """Share of the perfect cylinder's buckling load that is relied on.

    Parameters
    ----------
    s : Sections
        N tubes.
    bending : bool
        Factor for bending instead of axial compression.
    given : float
        The user's own factor; 0 takes the cautious bound.

    Returns
    -------
    numpy.ndarray
        Factor [-].

    Notes
    -----
    1 - 0.901 (1 - exp(-phi)) axial, 0.731 bending, phi = sqrt(R / t*) / 29.8: NASA SP-8007
    (1968), sec. 4.1 and 4.2.
    """
    if given:
        return np.full_like(s.R, given)
    phi = np.sqrt(s.R / s.walls.equivalent_thickness[s.index]) / 29.8
    return np.asarray(1.0 - (0.731 if bending else 0.901) * (1.0 - np.exp(-phi)))


def critical_axial(s: Sections) -> Array:
    """Axial load at which a perfect short cylinder buckles in small waves [N]."""
    return np.asarray(2.0 * np.pi * s.walls.wave_constant[s.index])


def critical_bending(s: Sections) -> Array:
    """Moment at which a perfect tube buckles or flattens, the lower, less 10 % [N m].

    Notes
    -----
    pi R^2 N and the ovalisation limit 1.089 pi R sqrt(Ex t D22): within +4 to +11 % of
    non-linear solutions, so 0.9 of the lower is taken.
    """
    local = np.pi * s.R * s.walls.wave_constant[s.index]
    d22 = s.walls.d_reduced[s.index, 1, 1]
    oval = 1.089 * np.pi * s.R * np.sqrt(s.Ex * s.t * d22)
    return np.asarray(0.9 * np.minimum(local, oval))


def critical_torsion(s: Sections) -> Array:
    """Torque at which a long perfect tube buckles; shorter tubes carry more [N m].

    Notes
    -----
    2 pi R^2 t 0.272 (Ex Eh^3)^(1/4) (t/R)^(3/2) with the flexural hoop modulus (Bert & Kim 1995).
    """
    eh = 12.0 * s.walls.d_reduced[s.index, 1, 1] / s.t**3
    return np.asarray(
        2 * np.pi * s.R**2 * s.t * 0.272 * (s.Ex * eh**3) ** 0.25 * (s.t / s.R) ** 1.5
    )


def _wall(candidates: Candidates, need: Need, case: Case, name: str) -> list[Outcome]:
    """Local buckling of one case; interaction adds the shares linearly."""
    s = candidates.sections
    loads = section_loads(case, own_weight(case, s))
    given = need.factors.shell
    share = np.zeros_like(s.R)
    if loads.axial < 0:
        share = share - loads.axial / (critical_axial(s) * knock_down_shell(s, given=given))
    if np.any(loads.moment):
        share = share + loads.moment / (
            critical_bending(s) * knock_down_shell(s, bending=True, given=given)
        )
    if loads.torque:
        share = share + abs(loads.torque) / (critical_torsion(s) * knock_down_shell(s, given=given))
    if not share.any():
        return []
    capacity = 1.0 / share

    def why(n: int) -> str:
        return (
            f"local buckling of the wall at {capacity[n]:.3g} times the loads after knock-down, "
            f"factor {need.factors.buckling:g} asked"
        )

    return [make("wall_buckling", name, capacity, need.factors.buckling, "number", why)]


def outcomes(candidates: Candidates, need: Need) -> list[Outcome]:
    """Local buckling of the wall in every case.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need.

    Returns
    -------
    list of Outcome
        Check "wall_buckling".
    """
    out: list[Outcome] = []
    for number, case in enumerate(need.cases, 1):
        out += _wall(candidates, need, case, case_name(case, number))
    return out
