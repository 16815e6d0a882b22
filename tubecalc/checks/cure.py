"""First damage of a ply with the stress that cure left in it."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from tubecalc.checks.base import Candidates
from tubecalc.laminate.elastic import Array
from tubecalc.need import Need, Service
from tubecalc.section import Amount, Loads, Sections
from tubecalc.section_residual import Triple, first_damage, first_of_unit, residual_stress

ROOM = 20.0  # degC
NOT_COUNTED = "; cure stress is not counted, its data are missing"


def coldest(service: Service) -> float:
    """Temperature at which cure stress is greatest: room, or the coldest asked [degC]."""
    cold = service.temperature_min
    return ROOM if math.isnan(cold) else min(cold, ROOM)


def states(service: Service) -> list[tuple[float, bool]]:
    """Temperature and moisture at which cure stress is looked at: dry and cold, wet and warm."""
    out = [(coldest(service), False)]
    if service.wet:
        warm = service.temperature
        out.append((ROOM if math.isnan(warm) else max(warm, ROOM), True))
    return out


def _before(s: Sections, state: tuple[float, bool]) -> Triple:
    """Cure stress in one state, kept with the tubes."""
    kept: dict[tuple[float, bool], Triple] = s.__dict__.setdefault("_cure", {})
    if state not in kept:
        found = residual_stress(s, state[0], wet=state[1])
        none = np.zeros_like(s.stations.r)
        kept[state] = (none, none, none) if found is None else found
    return kept[state]


def first_factor(
    candidates: Candidates,
    need: Need,
    load: str | Loads,
    without: Array,
    shear: Amount = 0.0,
) -> tuple[Array, Callable[[int], str]]:
    """Factor on loads at the first damage of a ply, with cure stress where its data allow.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        Criterion and service temperatures.
    load : str or Loads
        One unit load by its name ("tension", tabulated per wall), or loads acting together.
    without : numpy.ndarray
        Factor without cure stress, (N,).
    shear : numpy.ndarray or float
        Transverse shear [N].

    Returns
    -------
    numpy.ndarray
        Factor, (N,).
    callable
        What to add to the sentence of one tube.
    """
    s, criterion = candidates.sections, need.factors.criterion
    known = s.exact.cure_known[s.index]
    if not known.any():
        return without, lambda n: NOT_COUNTED
    found = [
        first_of_unit(s, load, t, wet=wet, criterion=criterion)
        if isinstance(load, str)
        else first_damage(s, load, shear, _before(s, (t, wet)), criterion)
        for t, wet in states(need.service)
    ]
    damage = np.where(known & s.bored, np.minimum.reduce(found), without)
    temperature = candidates.show(coldest(need.service), "temperature")

    def note(n: int) -> str:
        if not known[n if len(known) > 1 else 0] or not s.bored[n]:
            return NOT_COUNTED
        if damage[n] == 0.0:
            return f"; cure stress alone cracks a ply at {temperature}"
        share = damage[n] / without[n]
        return f"; cure stress at {temperature} counted, {share:.0%} of the load without it"

    return damage, note
