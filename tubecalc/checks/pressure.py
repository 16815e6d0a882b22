"""Pressure inside and outside: weeping, bursting, crushing and collapse of the wall."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, case_name, make
from tubecalc.checks.climate import knock_down
from tubecalc.checks.cure import first_factor
from tubecalc.checks.strength import end_pull, pressures, wall_ratio
from tubecalc.laminate.elastic import Array
from tubecalc.need import Case, Need
from tubecalc.section import Loads, Sections
from tubecalc.shell import critical_pressure, mode_of
from tubecalc.shell import knock_down as shell_share

LAW = (
    "Pressure equipment has its own law and needs licensed practice: this is an estimate for "
    "choosing, not a design by code. Prove a tube with water, not with gas, behind a shield."
)
OVAL = (
    "Collapse under outside pressure is for a round tube: 1 % difference between the largest and "
    "smallest diameter can take a third of it, and metals may yield before."
)


def cautions(need: Need) -> list[str]:
    """What to mind when a need has pressure.

    Parameters
    ----------
    need : Need
        The need.

    Returns
    -------
    list of str
        Empty without pressure.
    """
    acting = [pressures(c) for c in need.cases]
    out = [LAW] if any(any(p) for p in acting) else []
    return out + ([OVAL] if any(p[1] > p[0] for p in acting) else [])


def netting_angle(ratio: float) -> float:
    """Angle at which fibres alone carry a ratio of hoop to axial wall force.

    Parameters
    ----------
    ratio : float
        Hoop over axial force per length; 2 for closed ends [-].

    Returns
    -------
    float
        From the tube axis [rad].

    Notes
    -----
    tan^2 = ratio. Source: Evans & Gibson, Proc. R. Soc. A 458 (2002) 3077.

    Examples
    --------
    >>> round(float(np.degrees(netting_angle(2.0))), 2)
    54.74
    """
    return float(np.arctan(np.sqrt(ratio)))


def _loads(case: Case, s: Sections) -> Loads:
    """Loads of a case of pressure alone."""
    inside, outside = pressures(case)
    return Loads(axial=end_pull(case, s), p_in=inside, p_out=outside)


def _why(candidates: Candidates, what: str, capacity: Array, demand: float, factor: float,
         note: Callable[[int], str] | None = None) -> Callable[[int], str]:  # fmt: skip
    """Sentence on a pressure a tube can take."""

    def why(n: int) -> str:
        if np.isinf(capacity[n]):
            return "a metal has no plies to crack"
        if np.isnan(capacity[n]):
            return f"{what}: not checked, the ply strengths are not known"
        at, asked = (candidates.show(p, "pressure") for p in (float(capacity[n]), demand))
        extra = ""
        if factor != 1:
            extra = f", {candidates.show(demand * factor, 'pressure')} with factor {factor:g}"
        does = "yields at the bore" if candidates.metal[n] else what
        return f"{does} at {at}, asked {asked}{extra}{note(n) if note else ''}"

    return why


def _alone(candidates: Candidates, need: Need, case: Case, name: str) -> list[Outcome]:
    """Strength of a case of pressure alone; capacities are the larger of the two pressures."""
    s, factor = candidates.sections, need.factors.strength
    inside, outside = pressures(case)
    size = max(inside, outside)
    if not size:
        return []
    loads, left = _loads(case, s), knock_down(case, need, candidates)
    found = s.capacity_of(loads, criterion=need.factors.criterion)
    damage, note = first_factor(candidates, need, loads, found.first)
    broken = found.broken * left * size
    first = np.where(candidates.metal, np.inf, damage * left * size)
    at = wall_ratio(s)

    def theory(n: int) -> str:
        return s.theory(n, loads)

    burst = inside >= outside
    what = "burst" if burst else "strength under outside pressure"
    does = "bursts" if burst else "is crushed"
    out = [
        make("strength", name, broken, size * factor, "pressure",
             _why(candidates, does, broken, size, factor), label=what, at=at, theory=theory)
    ]  # fmt: skip
    if inside > outside:
        said = _why(candidates, "weeps through the first crack", first, size, factor, note)
        out.append(make("weep", name, first, size * factor, "pressure", said, at=at, theory=theory))
    else:
        said = _why(candidates, "first damage of a ply", first, size, factor, note)
        out.append(
            make("first_ply", name, first, size * factor, "pressure", said, at=at, theory=theory)
        )
    return out


def _collapse(candidates: Candidates, need: Need, case: Case, name: str) -> list[Outcome]:
    """Collapse under the excess of outside pressure."""
    s, factor = candidates.sections, need.factors.buckling
    inside, outside = pressures(case)
    excess = outside - inside
    if excess <= 0:
        return []
    shares = shell_share(s, "pressure", given=need.factors.shell)
    share, capacity = float(shares[0]), shares * critical_pressure(s, case.span)

    def why(n: int) -> str:
        at, asked = (candidates.show(p, "pressure") for p in (float(capacity[n]), excess))
        extra = ""
        if factor != 1:
            extra = f", {candidates.show(excess * factor, 'pressure')} with factor {factor:g}"
        shape = mode_of(s, "pressure", case.span, n)
        return f"collapses at {at} ({shape}; {share:g} of a perfect tube), asked {asked}{extra}"

    at = {"R/t": np.asarray(s.R / s.t), "L/R": case.span / s.R}
    return [make("collapse", name, capacity, excess * factor, "pressure", why, at=at)]


def outcomes(candidates: Candidates, need: Need) -> list[Outcome]:
    """Checks of every case with pressure.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need.

    Returns
    -------
    list of Outcome
        "strength" (burst, or crushed from outside) and "weep" or "first_ply" of cases of pressure
        alone, "collapse" wherever the pressure outside is higher. Combined cases get their
        strength, with pressure, in the room of strength.

    Notes
    -----
    A tube that holds a fluid has failed at the first crack through a ply: "weep" decides.
    """
    out: list[Outcome] = []
    for number, case in enumerate(need.cases, 1):
        if not any(pressures(case)):
            continue
        name = case_name(case, number)
        if case.kind == "pressure":
            out += _alone(candidates, need, case, name)
        out += _collapse(candidates, need, case, name)
    return out
