"""One room per way to fail; `evaluate` runs them all on arrays of candidates."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from tubecalc.checks import (
    column,
    local,
    pressure,
    service,
    shell,
    stiffness,
    strength,
    vibration,
)
from tubecalc.checks.base import Candidates, Outcome
from tubecalc.checks.climate import at_service
from tubecalc.checks.measured import as_measured, as_stiff
from tubecalc.checks.registry import CHECKS
from tubecalc.need import Need

Room = Callable[[Candidates, Need], list[Outcome]]
ROOMS: tuple[Room, ...] = (
    strength.outcomes,
    pressure.outcomes,
    column.outcomes,
    shell.outcomes,
    local.outcomes,
    stiffness.outcomes,
    vibration.outcomes,
    service.outcomes,
)
SLOW: tuple[Room, ...] = (shell.outcomes, local.outcomes)  # work out tables for each new wall

STIFF: tuple[Room, ...] = (column.outcomes, stiffness.outcomes, vibration.outcomes)


def evaluate(
    candidates: Candidates, need: Need, rooms: Sequence[Room] | None = None
) -> list[Outcome]:
    """Run every check that the need calls for, with the materials at service temperature.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        Cases, limits, service and factors.
    rooms : sequence of callable, optional
        Ways to fail to look at; all when not given.

    Returns
    -------
    list of Outcome
        One per check and case, arrays of N.
    """
    tubes = at_service(candidates, need.service)
    chosen = ROOMS if rooms is None else rooms
    soft = as_stiff(tubes, need)
    found: list[Outcome] = []
    for room in chosen:
        made = room(soft if room in STIFF else tubes, need)
        if room in STIFF and soft is not tubes:  # a softer tube bends tighter: that is no credit
            made = [o for o in made if o.check != "bend_radius"]
            made += [o for o in room(tubes, need) if o.check == "bend_radius"]
        found += made
    return as_measured(found, candidates, need)


__all__ = ["CHECKS", "ROOMS", "SLOW", "Candidates", "Outcome", "Room", "evaluate"]
