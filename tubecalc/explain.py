"""Words for a result: what governs, what is nearest, what would make a failing tube pass."""

from __future__ import annotations

import math

import numpy as np

from tubecalc.checks import CHECKS, evaluate
from tubecalc.checks.base import FAIL, Outcome, deciding
from tubecalc.checks.measured import STIFF
from tubecalc.environment import ROOM
from tubecalc.laminate.construction import Construction
from tubecalc.laminate.elastic import Array
from tubecalc.need import Case, Factors, Need
from tubecalc.need_parts import bench_shares
from tubecalc.sweep import Reserves, grid
from tubecalc.sweep_quick import passing
from tubecalc.unit_display import show
from tubecalc.units import to_si

# check -> the limit that it measures against; the others measure against the load
STEPS = 48  # sizes tried at a time for a remedy
THICKER, WIDER = 4.0, 4.0  # how far a remedy looks: walls of so many times, diameters likewise

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


def rounded(value: float, kind: str, *, up: bool, system: str = "SI") -> str:
    """A value as shown, rounded so that what is read still holds.

    Parameters
    ----------
    value : float
        In SI, above zero.
    kind : str
        Kind of quantity.
    up : bool
        Round up, else down.
    system : str
        Display system.

    Returns
    -------
    str
        As from `show`.

    Examples
    --------
    >>> rounded(0.0088421, "length", up=True)
    '8.85 mm'
    """
    sign = 1.0 if up else -1.0
    text = show(value, kind, system)
    if not 1e-18 < value < 1e18:  # beyond what can be typed in again
        return text
    for step in range(1, 200):
        if sign * (to_si(text, kind, what="value") - value) >= 0:
            break
        text = show(value * (1.0 + sign * 5e-4 * step), kind, system)
    return text


def _share(reserve: float) -> str:
    """A reserve below one, rounded down to two digits."""
    if reserve <= 0:
        return "0"
    unit = 10.0 ** (math.floor(math.log10(reserve)) - 1)
    return f"{math.floor(reserve / unit * (1 + 1e-12)) * unit:.2g}"


def relax(outcome: Outcome, n: int, need: Need, system: str = "SI") -> str:
    """What would have to give for one failing outcome to pass, rounded to the safe side."""
    limit = LIMIT_OF.get(outcome.check)
    if limit is not None:
        least = outcome.check in ("frequency", "bore")
        actual = outcome.capacity if least else outcome.demand
        to = rounded(float(actual[n]), outcome.kind, up=not least, system=system)
        return f"relax {limit} to {to}"
    if outcome.check == "service":
        return "drop the service condition that rules it out"
    if outcome.check == "temperature":
        return f"keep it below {show(float(outcome.capacity[n]), 'temperature', system)}"
    if outcome.check == "whirl":
        top = rounded(float(outcome.capacity[n]), "speed", up=False, system=system)
        return f"run no faster than {top}"
    of = f" of {outcome.case}" if len(need.cases) > 1 and outcome.case else ""
    return f"take {_share(float(outcome.reserve[n]))} times the load{of}, or less of a factor"


def _steps(failing: list[Outcome], need: Need, system: str) -> str:
    """Everything that has to give, the worst of each limit and of each case's load once."""
    steps: dict[tuple[str, str], str] = {}
    for o in failing:  # the least reserve first
        named = o.check in LIMIT_OF or o.check in ("service", "temperature", "whirl")
        steps.setdefault((o.check, "") if named else ("load", o.case), relax(o, 0, need, system))
    return "; ".join(steps.values())


def nothing_passes(found: Reserves, need: Need, system: str = "SI") -> tuple[str, str]:
    """The nearest candidate and an honest sentence, when nothing passes.

    Parameters
    ----------
    found : Reserves
        Result of a sweep.
    need : Need
        The need.
    system : str
        Display system.

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
    part = found.grid.part(np.array([best]), system)
    outcomes = evaluate(part, need)
    construction = found.grid.constructions[found.grid.which[best]]
    s = part.sections
    name = tube_name(construction, float(2 * s.ro[0]), float(2 * s.ri[0]), system)
    failing = [o for o in outcomes if not o.advisory and o.reserve[0] < FAIL]
    failing.sort(key=lambda o: float(o.reserve[0]))
    if not failing:
        return name, f"Nothing passes; nearest is {name}."
    steps, first = _steps(failing, need, system), failing[0]
    return name, (
        f"Nothing passes. Nearest is {name}: {first.label} has {float(first.reserve[0]):.2g} of "
        f"what is asked ({first.why(0)}). To let it pass: {steps}."
    )


def remedies(
    construction: Construction, od: float, wall: float, need: Need, system: str = "SI"
) -> list[str]:
    """What would make a failing tube pass: the least wall, or the least OD.

    Parameters
    ----------
    construction : Construction
        Construction of the tube.
    od, wall : float
        Its outside diameter and wall [m].
    need : Need
        The need.
    system : str
        Display system.

    Returns
    -------
    list of str
        Sentences; one says so when neither alone helps.
    """
    out = []
    usual = construction.size("wall_max")
    most = min(od / 2, max(THICKER * wall, 0.0 if math.isnan(usual) else THICKER * usual))
    walls = np.geomspace(wall, max(most, wall), STEPS)
    thicker = _least(construction, need, np.array([od]), walls, by="wall")
    if thicker is not None:
        least = rounded(thicker, "length", up=True, system=system)
        out.append(f"least wall at this diameter: {least}")
    ods = np.geomspace(od, od * WIDER, STEPS)
    wider = _least(construction, need, ods, np.array([wall]), by="od")
    if wider is not None:
        least = rounded(wider, "length", up=True, system=system)
        out.append(f"least outside diameter with this wall: {least}")
    if not out:
        out.append("neither a thicker wall nor a larger diameter alone makes it pass")
    return out


def _least(
    construction: Construction, need: Need, ods: Array, walls: Array, *, by: str
) -> float | None:
    """Least wall or diameter that passes; the step before it is looked through again."""
    least: float | None = None
    for _ in range(3):
        candidates = grid([construction], ods, walls)
        if not len(candidates):
            return least
        passes = passing(candidates, need)
        values = candidates.walls.t[candidates.index] if by == "wall" else candidates.od
        if not passes.any():
            return least
        least = float(values[passes].min())
        below = values[values < least * (1 - 1e-9)]
        if not len(below):
            return least
        between = np.linspace(float(below.max()), least, STEPS)
        ods, walls = (ods, between) if by == "wall" else (between, walls)
    return least


def _time_notes(case: Case, f: Factors) -> list[str]:
    """How a lasting or repeated load enters."""
    if case.duration == "short":
        return []
    share = f.sustained if case.duration == "long" else f.fatigue
    if share == 0.0:
        return [f"Under {case.duration} load each material keeps its published share of strength."]
    if share < 1.0:
        return [f"Under {case.duration} load {share:g} of the strength counts, as given."]
    if case.duration == "long":
        return ["A load is there for long and no sustained-load knock-down is set."]
    return ["A load comes again and again and no fatigue knock-down is set."]


def _mass_notes(case: Case, system: str) -> list[str]:
    """How own weight and a mass on the end enter."""
    out = ["The tube's own weight is part of the load."] if case.own_weight else []
    if not case.tip_mass:
        return out
    mass = show(case.tip_mass, "mass", system)
    if case.kind == "shaft" and case.overhang:
        return [*out, f"The coupling mass of {mass} on the overhang counts in the critical speed."]
    if case.kind == "cantilever" or (case.kind == "uniform" and case.ends == "fixed-free"):
        return [
            *out,
            f"The tip mass of {mass} counts in the frequency; its weight is not added to the load.",
        ]
    return [*out, f"The tip mass of a {case.kind} case is not used."]


def _bow(share: float, system: str) -> str:
    """Bow over length of a strut in words."""
    if system == "inch":
        return f"{12 * share:.3g} in per foot"
    return f"{1e3 * share:g} mm per metre"


def assumptions(need: Need, system: str = "SI") -> list[str]:
    """Sentences on the factors and conventions a result stands on; nothing is hidden.

    Parameters
    ----------
    need : Need
        The need.
    system : str
        Display system.

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
        f"Struts are taken {_bow(f.bow, system)} out of straight.",
        "Local buckling is reduced by "
        + (f"the factor {f.shell:g} given." if f.shell else "the cautious bound of NASA SP-8007."),
        f"First damage is judged by {f.criterion}; breaking by Hashin's modes with ply discount.",
        "Strengths are typical values of short tests, not guaranteed minima; "
        + (
            "what heat and moisture leave of them is taken for the service temperature."
            if need.service.temperature > ROOM or need.service.wet
            else "they hold at room temperature, dry."
        ),
    ]
    for wall, check, share in bench_shares(f.bench):
        if check in STIFF:
            out.append(f"Own bench tests leave {share:g} of the computed {check}: {wall}.")
            continue
        label = CHECKS[check].label if check in CHECKS else check
        out.append(f"Own bench tests leave {share:g} of the promised load: {wall}, {label}.")
    for case in need.cases:
        out += [*_time_notes(case, f), *_mass_notes(case, system)]
    return list(dict.fromkeys(out))


__all__ = [
    "CHECKS", "assumptions", "nothing_passes", "relax", "remedies", "tube_name",
    "worst",
]  # fmt: skip
