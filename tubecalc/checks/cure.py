"""First damage of a ply with the stress that cure left in it."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from tubecalc.checks.base import Candidates
from tubecalc.laminate.elastic import Array
from tubecalc.need import Need, Service
from tubecalc.section import Amount, Loads
from tubecalc.section_residual import Triple, first_damage, residual_stress

ROOM = 20.0  # degC
NOT_COUNTED = "; cure stress is not counted, its data are missing"


def coldest(service: Service) -> float:
    """Temperature at which cure stress is greatest: room, or the coldest asked [degC]."""
    cold = service.temperature_min
    return ROOM if math.isnan(cold) else min(cold, ROOM)


def states(candidates: Candidates, service: Service) -> list[Triple]:
    """Cure stress of the tubes dry and cold, and, for wet service, swollen and warm too."""
    s = candidates.sections
    kept: dict[tuple[float, bool], Triple | None] = s.__dict__.setdefault("_cure", {})
    asked = [(coldest(service), False)]
    if service.wet:
        warm = service.temperature
        asked.append((ROOM if math.isnan(warm) else max(warm, ROOM), True))
    for key in asked:
        if key not in kept:
            kept[key] = residual_stress(s, key[0], wet=key[1])
    return [x for x in (kept[key] for key in asked) if x is not None]


def first_factor(
    candidates: Candidates, need: Need, loads: Loads, shear: Amount, without: Array
) -> tuple[Array, Callable[[int], str]]:
    """Factor on loads at the first damage of a ply, with cure stress where its data allow.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        Criterion and service temperatures.
    loads : Loads
        Section loads.
    shear : numpy.ndarray or float
        Transverse shear [N].
    without : numpy.ndarray
        Factor without cure stress, (N,).

    Returns
    -------
    numpy.ndarray
        Factor, (N,).
    callable
        What to add to the sentence of one tube.
    """
    s = candidates.sections
    before = states(candidates, need.service)
    if not before:
        return without, lambda n: NOT_COUNTED
    found = [first_damage(s, loads, shear, x, need.factors.criterion) for x in before]
    damage = np.where(np.isnan(without), without, np.minimum.reduce(found))
    known = s.exact.cure_known[s.index]
    temperature = candidates.show(coldest(need.service), "temperature")

    def note(n: int) -> str:
        if not known[n if len(known) > 1 else 0]:
            return NOT_COUNTED
        if damage[n] == 0.0:
            return f"; cure stress alone cracks a ply at {temperature}"
        share = damage[n] / without[n]
        return f"; cure stress at {temperature} counted, {share:.0%} of the load without it"

    return damage, note
