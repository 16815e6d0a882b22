"""Service: heat, envelope, mass, and what the construction will not put up with."""

from __future__ import annotations

import math

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, make
from tubecalc.checks.climate import transition_of
from tubecalc.environment import MARGIN, ROOM
from tubecalc.laminate.construction import Construction
from tubecalc.laminate.elastic import Array
from tubecalc.need import Need

_FLAGS = ("sliding", "thread", "weld", "form", "insulating", "outdoor", "salt", "radio")


def asked(need: Need) -> list[str]:
    """Service conditions that the need sets, by the name of the construction's rating."""
    out = [f for f in _FLAGS if getattr(need.service, f)]
    return out + (["contact_metal"] if need.service.contact_metal else [])


def vetoes(construction: Construction, need: Need) -> list[str]:
    """Sentences on what rules a construction out.

    Parameters
    ----------
    construction : Construction
        The construction.
    need : Need
        The need.

    Returns
    -------
    list of str
        Empty when nothing does.
    """
    out = []
    for name in asked(need):
        rating, why = construction.service.get(name, ("", ""))
        if rating == "no":
            out.append(f"{name.replace('_', ' ')}: {why}")
    if need.service.finish == "woven" and not has_woven_face(construction):
        out.append("finish: a woven face is asked for and the outer ply is not woven")
    return out


def has_woven_face(construction: Construction) -> bool:
    """Whether the outermost ply is woven cloth."""
    outer = (*construction.inner, *construction.fill, *construction.outer)
    return bool(outer) and outer[-1].values.woven


def cautions(construction: Construction, need: Need) -> list[str]:
    """Sentences on what to mind with a construction that is not ruled out."""
    out = []
    for name in asked(need):
        rating, why = construction.service.get(name, ("", ""))
        if rating in ("poor", "fair"):
            out.append(f"{name.replace('_', ' ')}: {why}")
    return out


def outcomes(candidates: Candidates, need: Need) -> list[Outcome]:
    """Heat, diameter, bore, mass and service vetoes.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need.

    Returns
    -------
    list of Outcome
        Checks "temperature", "od", "bore", "mass" and "service".
    """
    out: list[Outcome] = []
    s, limits = candidates.sections, need.limits
    if need.service.temperature > ROOM or need.service.temperature_min < ROOM:
        out.append(_heat(candidates, need))
    if not math.isnan(limits.od_max):
        out.append(
            _size(
                candidates,
                "od",
                np.full_like(s.R, limits.od_max),
                2 * s.ro,
                "outside {d}, at most {c} asked",
            )
        )
    if not math.isnan(limits.id_min):
        out.append(
            _size(
                candidates,
                "bore",
                2 * s.ri,
                np.full_like(s.R, limits.id_min),
                "bore {c}, at least {d} asked",
            )
        )
    if not math.isnan(limits.mass):
        total = s.mass_per_length * length_of(need)
        room = np.full_like(s.R, limits.mass)
        out.append(_size(candidates, "mass", room, total, "weighs {d}, at most {c} asked", "mass"))
    found = [vetoes(c, need) for c in candidates.constructions]
    if asked(need) or need.service.finish == "woven":
        fine = candidates.of_construction([0.0 if v else math.inf for v in found])

        def why(n: int) -> str:
            return "; ".join(found[candidates.which[n]]) or "nothing asked rules it out"

        one = np.ones_like(s.R)
        out.append(
            Outcome("service", "", one, np.minimum(fine, 1.0), "number", fine, why, "service")
        )
    return out


def length_of(need: Need) -> float:
    """Longest span of the need, 1 m when none is given [m]."""
    spans = [c.span for c in need.cases if not math.isnan(c.span)]
    return max(spans, default=1.0)


def heat_limit(construction: Construction, *, wet: bool = False) -> float:
    """Highest service temperature of a construction.

    Parameters
    ----------
    construction : Construction
        The construction.
    wet : bool
        Saturated with moisture.

    Returns
    -------
    float
        The lower of its own limit and the glass transition, dry or wet, less 28 K; NaN where
        neither is known [degC].

    Notes
    -----
    Margin: MIL-HDBK-17-3, operational limit 50 degF below the wet glass transition (MEMORY).

    Examples
    --------
    >>> from tubecalc.laminate.construction import get_construction
    >>> tube = get_construction("pultruded")
    >>> heat_limit(tube), heat_limit(tube, wet=True)
    (120.0, 87.0)
    """
    return float(np.fmin(construction.t_max, transition_of(construction, wet=wet) - MARGIN))


def _heat(candidates: Candidates, need: Need) -> Outcome:
    service = need.service
    hot = ROOM if math.isnan(service.temperature) else service.temperature
    cold = hot if math.isnan(service.temperature_min) else service.temperature_min
    limits = [heat_limit(c, wet=service.wet) for c in candidates.constructions]
    limit = candidates.of_construction([math.nan if math.isinf(x) else x for x in limits])

    def why(n: int) -> str:
        if np.isnan(limit[n]):
            return "heat: no temperature limit known for this wall"
        c = candidates.constructions[candidates.which[n]]
        top, at, room = (candidates.show(t, "temperature") for t in (float(limit[n]), hot, ROOM))
        said = f"good to {top}, {at} asked (reserve counts the rise above {room})"
        glass = transition_of(c, wet=service.wet)
        if math.isfinite(glass):
            state = " wet" if service.wet else ""
            margin = glass - limit[n]
            said += (
                f"; {candidates.show(margin, 'temperature_difference')} below the glass "
                f"transition{state} of {candidates.show(glass, 'temperature')}, "
                f"{candidates.show(MARGIN, 'temperature_difference')} at least"
            )
        return said

    rise = np.maximum(limit - ROOM, 0.0)
    spare = np.where(np.isnan(rise), np.nan, np.inf) if hot <= ROOM else rise / (hot - ROOM)
    return Outcome(
        "temperature", "", np.full_like(limit, hot), limit, "temperature", spare, why, "heat",
        at={"coldest temperature": cold},
    )  # fmt: skip


def _size(
    candidates: Candidates,
    check: str,
    capacity: Array,
    demand: Array,
    words: str,
    kind: str = "length",
) -> Outcome:
    def why(n: int) -> str:
        return words.format(
            d=candidates.show(float(demand[n]), kind), c=candidates.show(float(capacity[n]), kind)
        )

    return make(check, "", capacity, demand, kind, why)
