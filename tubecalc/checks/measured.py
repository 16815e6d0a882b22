"""What own bench tests leave of promised loads, where a user has switched it on."""

from __future__ import annotations

import copy
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, pick
from tubecalc.checks.registry import CHECKS
from tubecalc.errors import unknown_key
from tubecalc.laminate.elastic import Array
from tubecalc.need import Need
from tubecalc.need_parts import bench_shares

# Stiffness that tests may lower -> checks that it enters.
STIFF = {
    "EI": ("deflection", "slope", "column", "column_bow", "shaft_helix", "frequency", "whirl"),
    "GJ": ("twist",),
}


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
        Check, "EI" or "GJ" -> share of each tube, (N,) [-]; empty where nothing is switched on
        for them.

    Raises
    ------
    InputError
        For an unknown check.
    """
    out: dict[str, Array] = {}
    for wall, check, share in bench_shares(need.factors.bench):
        if check not in CHECKS and check not in STIFF:
            raise unknown_key("check", check, [*CHECKS, *STIFF], "need:factors:bench")
        mine = [c.key == wall for c in candidates.constructions]
        if any(mine):
            had = out.get(check, np.ones(len(candidates)))
            out[check] = np.minimum(had, np.where(candidates.of_construction(mine), share, 1.0))
    return out


def shares_said(need: Need, wall: str) -> list[tuple[str, float]]:
    """What own tests leave for one construction, in words and as a share.

    Parameters
    ----------
    need : Need
        Its factors.bench.
    wall : str
        Key of the construction.

    Returns
    -------
    list of (str, float)
        Name of the check, "EI" or "GJ", and the share [-]; empty where nothing is switched on.
    """
    return [
        (CHECKS[check].label if check in CHECKS else check, share)
        for key, check, share in bench_shares(need.factors.bench)
        if key == wall
    ]


def cautions(need: Need, wall: str) -> list[str]:
    """Say of a tube that own tests count in its figures.

    Parameters
    ----------
    need : Need
        Its factors.bench.
    wall : str
        Key of the tube's construction.

    Returns
    -------
    list of str
        One sentence, or none.

    Examples
    --------
    >>> from tubecalc.need_parts import Factors
    >>> cautions(Need(factors=Factors(bench="pultruded EI 0.9; 304 strength 0.8")), "pultruded")
    ['Own tests count in this tube: EI times 0.9 of what is computed.']
    """
    told = [f"{what} times {share:.3g}" for what, share in shares_said(need, wall)]
    return [f"Own tests count in this tube: {', '.join(told)} of what is computed."] if told else []


def as_stiff(candidates: Candidates, need: Need) -> Candidates:
    """Candidates whose bending and twist stiffness is what own tests leave of it.

    Parameters
    ----------
    candidates : Candidates
        N tubes, materials at service temperature.
    need : Need
        Its factors.bench.

    Returns
    -------
    Candidates
        The same object where no stiffness is switched on; loads that the wall carries stay as
        they are.
    """
    found = shares(candidates, need) if need.factors.bench else {}
    on = {k: found[k] for k in STIFF if k in found}
    if not on:
        return candidates
    candidates.unit(need)  # strengths of the wall, kept, not worked out of a softer one
    s, out = copy.copy(candidates.sections), copy.copy(candidates)
    s.__dict__.update({k: getattr(candidates.sections, k) * v for k, v in on.items()})
    out.sections = s
    return out


def left(candidates: Candidates, need: Need) -> dict[str, Array]:
    """Share of a load that counts once the stiffness of `as_stiff` is in it.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        Its factors.bench.

    Returns
    -------
    dict of str to numpy.ndarray
        As `shares`.
    """
    found = shares(candidates, need) if need.factors.bench else {}
    for key, checks in STIFF.items():  # tests of columns have a soft tube in them already
        for check in {*checks} & {*found} if key in found else ():
            found[check] = np.minimum(found[check] / found[key], 1.0)
    return found


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
        Capacity and reserve times the share; the sentence says so, as it does where a stiffness
        of `as_stiff` has entered.
    """
    found = left(candidates, need)
    out = [_scaled(o, found[o.check]) if o.check in found else o for o in outcomes]
    for key, checks in STIFF.items():
        if key in found:
            out = [_softer(o, key, found[key]) if o.check in checks else o for o in out]
    return out


def _softer(outcome: Outcome, key: str, share: Array) -> Outcome:
    def why(n: int, said: Callable[[int], str] = outcome.why) -> str:
        part = pick(share, n)
        return said(n) if part == 1.0 else f"{said(n)}, with {part:.2f} of {key} as own tests leave"

    return replace(outcome, why=why)


def _scaled(outcome: Outcome, share: Array) -> Outcome:
    def why(n: int, said: Callable[[int], str] = outcome.why) -> str:
        part = pick(share, n)
        return said(n) if part == 1.0 else f"{said(n)}; own tests leave {part:.2f} of that"

    return replace(
        outcome, capacity=outcome.capacity * share, reserve=outcome.reserve * share, why=why
    )


__all__ = ["STIFF", "as_measured", "as_stiff", "cautions", "left", "shares", "shares_said"]
