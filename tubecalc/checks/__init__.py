"""One room per way to fail; `evaluate` runs them all on arrays of candidates."""

from __future__ import annotations

from collections.abc import Callable

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
from tubecalc.checks.registry import CHECKS
from tubecalc.need import Need

ROOMS: tuple[Callable[[Candidates, Need], list[Outcome]], ...] = (
    strength.outcomes,
    pressure.outcomes,
    column.outcomes,
    shell.outcomes,
    local.outcomes,
    stiffness.outcomes,
    vibration.outcomes,
    service.outcomes,
)


def evaluate(candidates: Candidates, need: Need) -> list[Outcome]:
    """Run every check that the need calls for, with the materials at service temperature.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        Cases, limits, service and factors.

    Returns
    -------
    list of Outcome
        One per check and case, arrays of N.
    """
    tubes = at_service(candidates, need.service)
    return [outcome for room in ROOMS for outcome in room(tubes, need)]


__all__ = ["CHECKS", "Candidates", "Outcome", "evaluate"]
