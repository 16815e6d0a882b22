"""Words for a result: what governs, what is nearest, what would make a failing tube pass."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np

from tubecalc.checks import CHECKS, evaluate
from tubecalc.checks.base import FAIL, Outcome, deciding
from tubecalc.laminate.construction import Construction
from tubecalc.need import Need
from tubecalc.sweep import Grid, Reserves, grid, reserves
from tubecalc.unit_display import show

# check -> the limit that it measures against; the others measure against the load
LIMIT_OF = {
    "deflection": "deflection", "slope": "slope", "twist": "twist", "frequency": "frequency_min",
    "bend_radius": "bend_radius", "expansion": "expansion", "od": "od_max", "bore": "id_min",
    "mass": "mass",
}  # fmt: skip


def tube_name(construction: Construction, od: float, bore: float, system: str = "SI") -> str:
    """Name of a tube on screen: construction, OD x bore."""
    return f"{construction.name}, {show(od, 'length', system)} × {show(bore, 'length', system)}"


def worst(outcomes: list[Outcome], n: int = 0) -> Outcome | None:
    """The deciding outcome with the least reserve; None when nothing is driven."""
    counted = [(float(deciding(o.check, o.reserve[n])), o) for o in outcomes if not o.advisory]
    finite = [(r, o) for r, o in counted if math.isfinite(r)]
    return min(finite, key=lambda pair: pair[0])[1] if finite else None


def relax(outcome: Outcome, n: int, need: Need) -> str:
    """What would have to give for one failing outcome to pass."""
    limit = LIMIT_OF.get(outcome.check)
    if limit is not None:
        actual = outcome.capacity if outcome.check in ("frequency", "bore") else outcome.demand
        return f"relax {limit} to {show(float(actual[n]), outcome.kind)}"
    if outcome.check == "service":
        return "drop the service condition that rules it out"
    if outcome.check == "temperature":
        return f"keep it below {show(float(outcome.capacity[n]), 'temperature')}"
    if outcome.check == "whirl":
        return f"run no faster than {show(float(outcome.capacity[n]), 'speed')}"
    return f"take {float(outcome.reserve[n]):.2g} times the load, or less of a factor"


def nothing_passes(found: Reserves, need: Need) -> tuple[str, str]:
    """The nearest candidate and an honest sentence, when nothing passes.

    Parameters
    ----------
    found : Reserves
        Result of a sweep.
    need : Need
        The need.

    Returns
    -------
    tuple of str
        Name of the nearest tube and the sentence; both empty when something passes.
    """
    if found.passes.any():
        return "", ""
    if not len(found.grid):
        return "", "No candidate at all: every wall asked for is above half the outside diameter."
    vetoed = found.by_check.get("service", np.full(len(found.grid), np.inf)) < FAIL
    score = np.where(vetoed, -1.0, np.nan_to_num(found.reserve, nan=-2.0, posinf=1e9))
    best = int(np.argmax(score))
    part = found.grid.part(np.array([best]))
    outcomes = evaluate(part, need)
    construction = found.grid.constructions[found.grid.which[best]]
    s = part.sections
    name = tube_name(construction, float(2 * s.ro[0]), float(2 * s.ri[0]))
    failing = [o for o in outcomes if not o.advisory and o.reserve[0] < FAIL]
    failing.sort(key=lambda o: float(o.reserve[0]))
    if not failing:
        return name, f"Nothing passes; nearest is {name}."
    steps = "; ".join(dict.fromkeys(relax(o, 0, need) for o in failing[:3]))
    first = failing[0]
    return name, (
        f"Nothing passes. Nearest is {name}: {first.label} has {float(first.reserve[0]):.2g} of "
        f"what is asked ({first.why(0)}). To let it pass: {steps}."
    )


def remedies(construction: Construction, od: float, wall: float, need: Need) -> list[str]:
    """What would make a failing tube pass: the least wall, or the least OD.

    Parameters
    ----------
    construction : Construction
        Construction of the tube.
    od, wall : float
        Its outside diameter and wall [m].
    need : Need
        The need.

    Returns
    -------
    list of str
        Sentences; one says so when neither alone helps.
    """
    out = []
    walls = np.unique(np.concatenate([np.linspace(wall, od / 2, 60), [wall]]))
    thicker = _least(grid([construction], np.array([od]), walls), need, by="wall")
    if thicker is not None:
        out.append(f"least wall at this diameter: {show(thicker, 'length')}")
    ods = np.geomspace(od, od * 4, 120)
    wider = _least(grid([construction], ods, np.array([wall])), need, by="od")
    if wider is not None:
        out.append(f"least outside diameter with this wall: {show(wider, 'length')}")
    if not out:
        out.append("neither a thicker wall nor a larger diameter alone makes it pass")
    return out


def _least(candidates: Grid, need: Need, *, by: str) -> float | None:
    found = reserves(candidates, need)
    if not found.passes.any():
        return None
    values = candidates.walls.t[candidates.index] if by == "wall" else candidates.od
    return float(values[found.passes].min())


def assumptions(need: Need) -> list[str]:
    """Sentences on the factors and conventions a result stands on; nothing is hidden.

    Parameters
    ----------
    need : Need
        The need.

    Returns
    -------
    list of str
        One sentence each.

    Examples
    --------
    >>> assumptions(Need())[0]
    'Loads are multiplied by 1 for strength and 1 for buckling.'
    """
    f = need.factors
    out = [
        f"Loads are multiplied by {f.strength:g} for strength and {f.buckling:g} for buckling.",
        f"Struts are taken {f.bow * 1e3:g} mm per metre out of straight.",
        "Local buckling is reduced by "
        + (f"the factor {f.shell:g} given." if f.shell else "the cautious bound of NASA SP-8007."),
        f"First damage is judged by {f.criterion}; breaking by Hashin's modes with ply discount.",
        "Strengths are typical values of short tests at room temperature, not guaranteed minima.",
    ]
    for case in need.cases:
        if case.duration == "long" and f.sustained == 1.0:
            out.append("A load is there for long and no sustained-load knock-down is set.")
        if case.duration == "cyclic" and f.fatigue == 1.0:
            out.append("A load comes again and again and no fatigue knock-down is set.")
        if case.tip_mass and case.kind == "cantilever":
            out.append(
                f"The tip mass of {show(case.tip_mass, 'mass')} counts in the frequency; "
                "its weight is not added to the load."
            )
    return list(dict.fromkeys(out))


def without_limits(need: Need, *names: str) -> Need:
    """Copy of a need with some limits taken away."""
    changes: dict[str, Any] = dict.fromkeys(names, math.nan)
    return replace(need, limits=replace(need.limits, **changes))


__all__ = [
    "CHECKS", "assumptions", "nothing_passes", "relax", "remedies", "tube_name", "without_limits",
    "worst",
]  # fmt: skip
