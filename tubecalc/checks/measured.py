"""What own bench tests leave of promised loads, where a user has switched it on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, pick
from tubecalc.checks.registry import CHECKS
from tubecalc.errors import unknown_key
from tubecalc.laminate.elastic import Array
from tubecalc.need import Need
from tubecalc.need_parts import bench_shares


def shares(candidates: Candidates, need: Need) -> dict[str, Array]:
    """Share of the promised load that counts, by check.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        Its factors.bench.

    Returns
    -------
    dict of str to numpy.ndarray
        Check -> share of each tube, (N,) [-]; empty where nothing is switched on for them.

    Raises
    ------
    InputError
        For an unknown check.
    """
    out: dict[str, Array] = {}
    for wall, check, share in bench_shares(need.factors.bench):
        if check not in CHECKS:
            raise unknown_key("check", check, list(CHECKS), "need:factors:bench")
        mine = [c.key == wall for c in candidates.constructions]
        if any(mine):
            had = out.get(check, np.ones(len(candidates)))
            out[check] = np.minimum(had, np.where(candidates.of_construction(mine), share, 1.0))
    return out


def as_measured(outcomes: Sequence[Outcome], candidates: Candidates, need: Need) -> list[Outcome]:
    """Outcomes with the loads that own tests leave.

    Parameters
    ----------
    outcomes : sequence of Outcome
        As computed.
    candidates : Candidates
        The tubes.
    need : Need
        The need.

    Returns
    -------
    list of Outcome
        Capacity and reserve times the share; the sentence says so.
    """
    found = shares(candidates, need) if need.factors.bench else {}
    return [_scaled(o, found[o.check]) if o.check in found else o for o in outcomes]


def _scaled(outcome: Outcome, share: Array) -> Outcome:
    def why(n: int, said: Callable[[int], str] = outcome.why) -> str:
        part = pick(share, n)
        return said(n) if part == 1.0 else f"{said(n)}; own tests leave {part:.2f} of that"

    return replace(
        outcome, capacity=outcome.capacity * share, reserve=outcome.reserve * share, why=why
    )


__all__ = ["as_measured", "shares"]
