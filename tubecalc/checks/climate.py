"""Candidates at their service temperature, and what time and cycles leave of their strength."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from tubecalc.checks.base import Candidates
from tubecalc.environment import ROOM, basis, derated_walls, glass_transition, retention
from tubecalc.environment_time import published, sentence
from tubecalc.laminate.construction import Construction
from tubecalc.laminate.elastic import Array
from tubecalc.need import Case, Need, Service
from tubecalc.section import Sections
from tubecalc.values import Values
from tubecalc.wall import WallTable

_EFFECT = {"long": "sustained", "cyclic": "fatigue"}  # duration of a case -> factor that applies


def hot_of(service: Service) -> float:
    """Temperature at which stiffness and strength are taken, room temperature at least [degC]."""
    hot = service.temperature
    return ROOM if math.isnan(hot) else max(hot, ROOM)


def values_of(construction: Construction) -> tuple[Values, ...]:
    """Distinct materials of a construction."""
    layers = (*construction.inner, *construction.fill, *construction.outer)
    return tuple(dict.fromkeys(x.values for x in layers))


def at_service(candidates: Candidates, service: Service) -> Candidates:
    """The same tubes with their materials at the service temperature and moisture.

    Parameters
    ----------
    candidates : Candidates
        N tubes at room temperature.
    service : Service
        Temperature and moisture.

    Returns
    -------
    Candidates
        The same object where nothing is hot or wet. Kept on the candidates and on their wall
        table, so each distinct wall is worked out once.
    """
    hot = hot_of(service)
    if hot <= ROOM and not service.wet:
        return candidates
    kept: dict[tuple[float, bool], Candidates] = candidates.__dict__.setdefault("_climate", {})
    key = (hot, service.wet)
    if key not in kept:
        s = candidates.sections
        walls = derated_walls(s.walls, hot, service.wet)
        sections = s if walls is s.walls else Sections(walls, s.index, 2.0 * s.ro)
        softer = [_softer(c, hot, service.wet) for c in candidates.constructions]
        kept.clear()
        kept[key] = Candidates(sections, softer, candidates.which, candidates.system)
        kept[key].__dict__["_room"] = candidates
    return kept[key]


def at_room(candidates: Candidates) -> Candidates:
    """The candidates that `at_service` was given: the same tubes at room temperature and dry."""
    found = candidates.__dict__.get("_room", candidates)
    return found if isinstance(found, Candidates) else candidates


def _softer(construction: Construction, hot: float, wet: bool) -> Construction:
    """A construction whose plain end bears with what heat and moisture leave of its strength."""
    if construction.metal or math.isnan(construction.end_bearing):
        return construction
    left = min(retention(v, hot, wet=wet)[1] for v in values_of(construction))
    if left >= 1.0:
        return construction
    return replace(construction, end_bearing=construction.end_bearing * left)


def heat_basis(candidates: Candidates, service: Service, n: int) -> list[str]:
    """Sentences on how heat and moisture enter for one tube: share, basis, source.

    Parameters
    ----------
    candidates : Candidates
        N tubes, at room temperature or at service.
    service : Service
        Temperature and moisture.
    n : int
        Which tube.

    Returns
    -------
    list of str
        Empty where nothing is hot or wet.
    """
    materials = values_of(candidates.constructions[candidates.which[n]])
    said = [
        basis(v, hot_of(service), wet=service.wet, show=lambda t: candidates.show(t, "temperature"))
        for v in materials
    ]
    return [_full(x) for x in dict.fromkeys(said) if x]


def _full(text: str) -> str:
    """A clause as a sentence."""
    return f"{text[0].upper()}{text[1:]}."


def transition_of(construction: Construction, *, wet: bool) -> float:
    """Lowest glass transition of a construction's plies; infinite for metals, NaN if unknown."""
    found = [glass_transition(v, wet=wet) for v in values_of(construction)]
    known = [t for t in found if not math.isnan(t)]
    return min(known, default=math.nan)


# -- time and cycles ----------------------------------------------------------------------
def loads_of(case: Case) -> tuple[str, ...]:
    """Loads of a case that its wall carries along or around: what decides how it ages."""
    out: list[str] = []
    if case.kind == "strut":
        out.append("tension" if case.load > 0 else "compression")
    if case.kind in ("three-point", "four-point", "uniform", "cantilever"):
        out.append("bending")
    if case.kind == "shaft":
        out.append("torsion")
    if case.kind == "combined":
        out += ["tension"] if case.axial > 0 else ["compression"] if case.axial < 0 else []
        out += ["bending"] if case.moment else []
        out += ["torsion"] if case.shear or not math.isnan(case.torque) else []
    if not (math.isnan(case.p_in) and math.isnan(case.p_out)):
        out.append("hoop")
    return tuple(out) or ("tension",)


def knock_down(
    case: Case, need: Need, candidates: Candidates | None = None, load: str = ""
) -> Array | float:
    """Share of the short-time strength left for the duration of a case.

    Parameters
    ----------
    case : Case
        The case; its duration says which factor applies.
    need : Need
        Its factors: 1 is none, 0 the published value of each material, else the user's own.
    candidates : Candidates, optional
        N tubes; needed for the published values.
    load : str
        "tension", "compression", "bending", "torsion" or "hoop"; the worst of the case's own loads
        when not given.

    Returns
    -------
    numpy.ndarray or float
        Share, (N,) for published values, else one number [-].
    """
    effect = _EFFECT.get(case.duration)
    if effect is None:
        return 1.0
    given = float(getattr(need.factors, effect))
    if given or candidates is None:
        return given
    s = candidates.sections
    loads = (load,) if load else loads_of(case)
    every = np.array([_shares(s.walls, effect, x, case.cycles) for x in loads]).min(axis=0)
    return np.asarray(every[s.index] + np.zeros_like(s.R))


def _shares(walls: WallTable, effect: str, load: str, cycles: float) -> Array:
    """Published share of each distinct wall, (L,), kept on the table."""
    kept: dict[tuple[str, str, str], Array] = walls.__dict__.setdefault("_shares", {})
    key = (effect, load, repr(cycles))
    if key not in kept:
        kept[key] = np.array([published(x, effect, load, cycles).share for x in walls.layups])
    return kept[key]


def knock_down_note(candidates: Candidates, case: Case, need: Need, n: int, load: str = "") -> str:
    """A case's knock-down for one tube in a sentence with its source; empty where there is none.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    case : Case
        The case.
    need : Need
        The need.
    n : int
        Which tube.
    load : str
        See `knock_down`.

    Returns
    -------
    str
    """
    effect = _EFFECT.get(case.duration)
    if effect is None:
        return ""
    given = float(getattr(need.factors, effect))
    if given == 1.0:
        return ""
    if given:
        return f"{given:g} of the short-time strength, as given"
    s = candidates.sections
    layup = s.walls.layups[s.index[n if len(s.index) > 1 else 0]]
    found = [
        published(layup, effect, x, case.cycles) for x in ((load,) if load else loads_of(case))
    ]
    least = min(found, key=lambda k: -1.0 if math.isnan(k.share) else k.share)
    return sentence(least, effect, case.cycles)


def time_basis(candidates: Candidates, need: Need, n: int) -> list[str]:
    """Sentences on what time and cycles take off the strength of one tube, case by case.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need.
    n : int
        Which tube.

    Returns
    -------
    list of str
        Empty where no case is of long or cyclic duration, or its factor is 1.
    """
    said = [knock_down_note(candidates, case, need, n) for case in need.cases]
    return [_full(x) for x in dict.fromkeys(said) if x]
