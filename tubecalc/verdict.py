"""One tube against a need: every check with demand, capacity, reserve, grade and reason."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubecalc.checks import CHECKS, evaluate
from tubecalc.checks.base import FAIL, NEAR, NO_GRADE, Candidates, Outcome
from tubecalc.checks.climate import heat_basis, time_basis
from tubecalc.checks.measured import cautions as tested_cautions
from tubecalc.checks.pressure import cautions as pressure_cautions
from tubecalc.checks.service import cautions as service_cautions
from tubecalc.checks.service import vetoes
from tubecalc.errors import InputError
from tubecalc.explain import assumptions, worst
from tubecalc.explain import remedies as size_remedies
from tubecalc.need import Need, refuse_no_case
from tubecalc.tube import Tube, single

if TYPE_CHECKING:
    import pandas as pd

STANDING_CAUTION = (
    "Where people can be hurt (loads overhead or carried, pressure, rotating shafts, power lines "
    "and lightning with conductive carbon, dust and splinters when cutting), follow the local "
    "code and have a licensed engineer check it; prove it with a test."
)


@dataclass(frozen=True)
class Verdict:
    """Result of `check`.

    Attributes
    ----------
    passes : bool
        Whether every deciding check that is known has a reserve of 1 or more.
    reserve : pandas.Series
        Check -> worst reserve over the cases.
    governing : str
        The deciding check with the least reserve, "" if nothing is driven.
    table : pandas.DataFrame
        One row per check and case: check, label, case, demand, capacity, unit, reserve, grade
        (A, B, C, or "none" outside the range of the check), advisory, why, error (expected),
        range (what lies outside it, empty inside), theory (which one, where there is a choice).
    cautions : list of str
        What to mind.
    unchecked : list of str
        Checks that could not be made because a value is not known.
    """

    passes: bool
    reserve: pd.Series[float]
    governing: str
    table: pd.DataFrame
    cautions: list[str]
    unchecked: list[str]


def check(tube: Tube, need: Need, *, system: str = "SI") -> Verdict:
    r"""Check one tube against a need.

    Parameters
    ----------
    tube : Tube
        One tube.
    need : Need
        Cases, limits, service and factors.
    system : str
        Display system of the sentences: "SI", "workshop" or "inch".

    Returns
    -------
    Verdict

    Raises
    ------
    InputError
        If the need has no case, or several tubes are given.

    Examples
    --------
    >>> need = Need.from_toml('[[case]]\nkind = "strut"\nload = "-75 N"\nspan = "760 mm"')
    >>> verdict = check(Tube("pultruded", od="4.6 mm", id="2.8 mm"), need)
    >>> verdict.passes, verdict.governing in ("column", "column_bow")
    (False, True)
    """
    if not isinstance(tube, Tube):
        raise InputError("is not a Tube", where="check", got=type(tube).__name__)
    single(tube, "check")
    refuse_no_case(need)
    c = tube.candidates
    return verdict_of(Candidates(c.sections, c.constructions, c.which, system), need)


def remedies(tube: Tube, need: Need, *, system: str = "SI") -> list[str]:
    r"""What would make a failing tube pass: the least wall, the least outside diameter.

    Parameters
    ----------
    tube : Tube
        One tube.
    need : Need
        The need it fails.
    system : str
        Display system of the sentences: "SI", "workshop" or "inch".

    Returns
    -------
    list of str
        Clauses; one says so when neither alone helps.

    Raises
    ------
    InputError
        If several tubes are given.

    Examples
    --------
    >>> need = Need.from_toml('[[case]]\nkind = "strut"\nload = "-75 N"\nspan = "760 mm"')
    >>> remedies(Tube("pultruded", od="4.6 mm", id="2.8 mm"), need)[-1][:36]
    'least outside diameter with this wal'
    """
    single(tube, "remedies")
    od, wall = 2 * float(tube.sections.ro[0]), float(tube.sections.t[0])
    return size_remedies(tube.construction, od, wall, need, system)


def verdict_of(candidates: Candidates, need: Need, n: int = 0) -> Verdict:
    """Verdict of one of several candidates; see `check`."""
    import pandas as pd

    outcomes = evaluate(candidates, need)
    rows = [_row(candidates, o, n) for o in outcomes]
    table = pd.DataFrame(
        rows,
        columns=["check", "label", "case", "demand", "capacity", "unit", "reserve", "grade",
                 "advisory", "why", "error", "range", "theory"],
    )  # fmt: skip
    first = worst(outcomes, n)
    unchecked = list(dict.fromkeys(o.check for o in outcomes if math.isnan(float(o.reserve[n]))))
    least = table.groupby("check", sort=False)["reserve"].min()
    return Verdict(
        all(not float(o.reserve[n]) < FAIL for o in outcomes if not o.advisory),
        least,
        "" if first is None else first.check,
        table,
        _cautions(candidates, need, outcomes, n, unchecked),
        unchecked,
    )


def _row(candidates: Candidates, o: Outcome, n: int) -> tuple[object, ...]:
    unit, scale = DISPLAY.get(o.kind, ("", 1.0))
    note = o.range_note(n, candidates.system)
    return (
        o.check, o.label, o.case, float(o.demand[n]) * scale, float(o.capacity[n]) * scale, unit,
        float(o.reserve[n]), NO_GRADE if note else candidates.grade(o.check, n), o.advisory,
        f"{o.why(n)} (outside the range: {note})" if note else o.why(n),
        CHECKS[o.check].error, note, "" if o.theory is None else o.theory(n),
    )  # fmt: skip


# unit of the demand and capacity columns: label and factor from SI
DISPLAY: dict[str, tuple[str, float]] = {
    "force": ("N", 1.0), "moment": ("N m", 1.0), "torque": ("N m", 1.0), "length": ("mm", 1e3),
    "angle": ("deg", 180 / math.pi), "mass": ("kg", 1.0), "frequency": ("Hz", 1.0),
    "speed": ("rpm", 30 / math.pi), "temperature": ("degC", 1.0), "number": ("-", 1.0),
    "expansion": ("1e-6/K", 1e6), "pressure": ("MPa", 1e-6), "stress": ("MPa", 1e-6),
}  # fmt: skip


def _cautions(
    candidates: Candidates, need: Need, outcomes: list[Outcome], n: int, unchecked: list[str]
) -> list[str]:
    construction = candidates.constructions[candidates.which[n]]
    out = [f"Ruled out, {v}" for v in vetoes(construction, need)]
    out += [
        f"Not checked: {CHECKS[c].label}, because a value of the material is not known."
        for c in unchecked
    ]
    for o in outcomes:
        if o.advisory and float(o.reserve[n]) < FAIL:
            out.append(f"{o.case}: {o.why(n)}" if o.case else o.why(n))
    out += [
        f"No grade for {o.label}{f' ({o.case})' if o.case else ''}: "
        f"{o.range_note(n, candidates.system)}. The number is shown for orientation only."
        for o in outcomes
        if o.range_note(n) and not float(o.reserve[n]) >= NEAR
    ]
    out += heat_basis(candidates, need.service, n) + time_basis(candidates, need, n)
    out += pressure_cautions(need) + tested_cautions(need, construction.key)
    out += _size_cautions(candidates, n)
    out += service_cautions(construction, need)
    if construction.splits:
        out.append(
            "All fibres run along the tube: ends split under a clamp, a drop or a pressed-in part; "
            "bind or sleeve the ends and clamp over a plug."
        )
    if construction.conductive and not construction.metal:
        out.append("Carbon conducts: keep clear of power lines and lightning.")
    out += _yield_caution(candidates, n)
    return [*out, *_used(need, candidates.system), STANDING_CAUTION]


def _size_cautions(candidates: Candidates, n: int) -> list[str]:
    """Sizes outside the usual range of the construction; they are computed all the same."""
    construction = candidates.constructions[candidates.which[n]]
    s, out = candidates.sections, []
    for word, value, name in (
        ("outside diameter", 2 * float(s.ro[n]), "od"), ("wall", float(s.t[n]), "wall"),
    ):  # fmt: skip
        low, high = (construction.size(f"{name}_{end}") for end in ("min", "max"))
        if value < low - 1e-9 or value > high + 1e-9:
            least, most = (candidates.show(x, "length") for x in (low, high))
            out.append(
                f"The {word} of {candidates.show(value, 'length')} is outside what is usual for "
                f"{construction.name} ({least} to {most}): ask whether it can be made."
            )
    return out


def _yield_caution(candidates: Candidates, n: int) -> list[str]:
    s = candidates.sections
    values = s.walls.layups[s.index[n]].layers[0].values
    if not values.isotropic or math.isnan(values.yield_minimum):
        return []
    if values.yield_minimum >= values.Xt:
        return []
    return [
        f"Yield strength is the typical {candidates.show(values.Xt, 'stress')}; the standard "
        f"guarantees {candidates.show(values.yield_minimum, 'stress')}."
    ]


def _used(need: Need, system: str) -> list[str]:
    """Assumptions that call for attention: no factor at all, missing knock-downs, tip mass."""
    out = [a for a in assumptions(need, system) if "knock-down is set" in a or "tip mass" in a]
    if need.factors.strength == 1.0:
        out.append("No safety factor is set; strengths are typical values, not guaranteed minima.")
    return out
