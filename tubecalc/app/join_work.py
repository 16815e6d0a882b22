"""What page `join` computes from what is typed: calls of the core, no formulas of its own."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tubecalc.app.join_state import JoinChoice
from tubecalc.app.join_stock import entry_at
from tubecalc.app.layup_state import Reader
from tubecalc.app.state import sentence
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.joining.fits import Fit, fit
from tubecalc.joining.job_joints import fit_arguments
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.joining.pole_judge import JudgedPole, judged_pole, tip_load
from tubecalc.joining.wear import Wear, wear
from tubecalc.tube import Tube
from tubecalc.unit_display import show
from tubecalc.units import to_si

TYPED = "typed"


# ---- the tube ---------------------------------------------------------------------------------
@dataclass(frozen=True, eq=False)
class TubeFound:
    """The tube whose end is joined, as a candidate and as a tube."""

    candidate: Candidate
    tube: Tube


def source_of(choice: JoinChoice, group: str) -> Candidate | None:
    """Tube of the job or of the stock that a group of fields takes, None where it is typed.

    Parameters
    ----------
    choice : JoinChoice
        The choice.
    group : str
        "tube" or "slide".

    Returns
    -------
    Candidate or None

    Examples
    --------
    >>> source_of(JoinChoice(), "tube") is None
    True
    """
    which = choice.get(f"{group}.from")
    if which.isdecimal() and 1 <= int(which[:6]) <= len(choice.job.candidates):
        return choice.job.candidates[int(which) - 1]
    taken = entry_at(choice, group)
    return None if taken is None else taken.candidate


def tube_found(choice: JoinChoice, reader: Reader, found: Mapping[str, Any]) -> TubeFound | None:
    """The tube of the job, of the stock, or as typed."""
    taken = source_of(choice, "tube")
    if taken is None:
        od = reader.si("tube.od", "length", "outside diameter", positive=True)
        bore = reader.si("tube.id", "length", "bore")
        if math.isnan(od):
            reader.wrong.setdefault("tube.od", "Fill this in: the outside diameter of the tube.")
        if math.isnan(bore):
            reader.wrong.setdefault("tube.id", "Fill this in; nought for a rod.")
        if reader.wrong:
            return None
        try:
            taken = Candidate(choice.get("tube.of"), round(od, 9), round(bore, 9))
        except InputError as error:
            reader.refuse(error, "tube", {"od": "tube.od", "id": "tube.id"})
            return None
    before = found.get("tube")
    if before is not None and before.candidate == taken:
        return before  # type: ignore[no-any-return]
    try:
        return TubeFound(taken, taken.tube(choice.job))
    except InputError as error:
        reader.wrong["tube.od" if source_of(choice, "tube") is None else "tube"] = sentence(
            error, reader.system
        )
        return None


def mm(value: float) -> str:
    """A length as a joint carries it.

    Parameters
    ----------
    value : float
        [m].

    Returns
    -------
    str

    Examples
    --------
    >>> mm(0.0295)
    '29.5 mm'
    """
    return f"{value * 1e3:.9g} mm"


# ---- will it slide ----------------------------------------------------------------------------
@dataclass(frozen=True, eq=False)
class SlideFound:
    """A fit, the joint it is, and wear where its use is given."""

    fit: Fit
    spec: JointSpec
    wear: Wear | None


def _listed(text: str) -> Any:
    """One text, or a list of those between commas."""
    parts = [p.strip() for p in text.replace(";", ",").split(",") if p.strip()]
    return parts if len(parts) > 1 else text.strip()


def _other(choice: JoinChoice, base: TubeFound) -> dict[str, str]:
    """The other tube of a fit as the joint carries it."""
    taken = source_of(choice, "slide")
    if taken is not None:
        return {"of": taken.wall, "od": mm(taken.od), "id": mm(taken.id)}
    outer = choice.get("slide.role") == "outer"  # this tube is the outer one
    alike = mm(base.candidate.id if outer else base.candidate.od)
    size = choice.get("slide.size").strip() or alike
    return {"of": choice.get("slide.of"), "od" if outer else "id": size,
            "wall": choice.get("slide.wall").strip()}  # fmt: skip


def _degrees(reader: Reader, path: str) -> list[str]:
    """Temperatures of a field, each of them readable."""
    text = reader.choice.get(path).strip()
    parts = [p.strip() for p in text.replace(";", ",").split(",") if p.strip()]
    for part in parts:
        try:
            to_si(part, "temperature", what="temperature")
        except InputError as error:
            reader.wrong[path] = sentence(error, reader.system)
    return parts


def slide_found(choice: JoinChoice, reader: Reader, found: Mapping[str, Any]) -> SlideFound | None:
    """Fit of this tube and the other one."""
    base: TubeFound = found["tube"]
    outer = choice.get("slide.role") == "outer"
    reader.si("slide.overlap", "length", "overlap", positive=True)
    for key, what in (("size", "its size"), ("wall", "its wall")):
        reader.si(f"slide.{key}", "length", what, positive=True)
    given: dict[str, Any] = {"inner" if outer else "outer": _other(choice, base)}
    if degrees := _degrees(reader, "slide.at"):
        given["temperature"] = degrees
    for key in ("overlap", "outside", "bore", "iso", "out_of_round"):
        if text := reader.given(f"slide.{key}"):
            given[key] = text if key in ("overlap", "iso") else _listed(text)
    if choice.get("slide.ground") == "yes":
        given["ground"] = True
    if reader.wrong:
        return None
    press = choice.get("slide.press") == "yes"
    try:
        spec = JointSpec("press" if press else "fit", given=given)
        inner, outer_, words = fit_arguments(spec, base.tube, Job(walls=choice.job.walls))
        made = fit(inner, outer_, press=press, **words)
    except InputError as error:
        free = source_of(choice, "slide") is None
        at = "slide.size" if free else "slide.from"
        known = {k: f"slide.{k}" for k in ("overlap", "outside", "bore", "iso", "out_of_round")}
        known |= {"inner": at, "outer": at, "od": at, "id": at, "wall": "slide.wall",
                  "ground": "slide.outside", "temperature": "slide.at"}  # fmt: skip
        if (error.where or "").startswith("iso286"):
            typed = (k for k in ("iso", "outside", "bore") if reader.given(f"slide.{k}"))
            reader.wrong[f"slide.{next(typed, 'iso')}"] = sentence(error, reader.system)
            return None
        reader.refuse(error, "slide", known)
        return None
    return SlideFound(made, spec, _worn(choice, reader, made))


def _worn(choice: JoinChoice, reader: Reader, made: Fit) -> Wear | None:
    if reader.given("wear.cycles") is None:
        return None
    cycles = reader.si("wear.cycles", "number", "times")
    kinds = {"stroke": "length", "load": "force", "touch": "length"}
    for key, kind in kinds.items():
        if math.isnan(reader.si(f"wear.{key}", kind, key)):
            reader.wrong.setdefault(f"wear.{key}", "Fill this in: wear needs it.")
    if reader.wrong:
        return None
    try:
        return wear(
            made.inner, made.outer, cycles=cycles, gritty=choice.get("wear.grit") == "yes",
            stroke=choice.get("wear.stroke"), load=choice.get("wear.load"),
            touch=choice.get("wear.touch"),
        )  # fmt: skip
    except InputError as error:
        reader.refuse(error, "wear.cycles", {k: f"wear.{k}" for k in ("cycles", *kinds)})
        return None


# ---- telescoping pole --------------------------------------------------------------------------
@dataclass(frozen=True, eq=False)
class PoleFound:
    """A pole with what governs it, the joint it is, and words for its load."""

    judged: JudgedPole
    spec: JointSpec
    loads: str


_POLE = {"gap": "length", "load": "force", "lean": "angle", "wall": "length", "droop": "length"}
_NAMES = {"wall": "wall", "droop": "droop", "lean": "elevation", "gap": "gap"}


def pole_case(choice: JoinChoice) -> int:
    """Number of the job's case whose load the tip bears; 0 where it is typed.

    Parameters
    ----------
    choice : JoinChoice
        The choice.

    Returns
    -------
    int

    Examples
    --------
    >>> pole_case(JoinChoice())
    0
    """
    which, cases = choice.get("pole.from").removeprefix("case "), choice.job.need.cases
    good = which.isdecimal() and 1 <= int(which[:6]) <= len(cases)
    return int(which) if good and cases[int(which) - 1].kind == "cantilever" else 0


def pole_found(choice: JoinChoice, reader: Reader, found: Mapping[str, Any]) -> PoleFound | None:
    """Pole whose largest section is this tube."""
    base: TubeFound = found["tube"]
    count = reader.whole("pole.count", 2, 20)
    which = pole_case(choice)
    for key, kind in _POLE.items():
        empty = math.isnan(reader.si(f"pole.{key}", kind, key))
        if empty and key in ("gap", "lean", "load") and not (which and key == "load"):
            reader.wrong.setdefault(f"pole.{key}", "Fill this in.")
    degrees = _degrees(reader, "pole.at")
    if reader.wrong:
        return None
    given: dict[str, Any] = {"count": count, "length": _listed(choice.get("pole.length")),
                             "overlap": _listed(choice.get("pole.overlap"))}  # fmt: skip
    given |= {n: t for k, n in _NAMES.items() if (t := reader.given(f"pole.{k}"))}
    given |= {k: _listed(t) for k in ("outside", "bore") if (t := reader.given(f"pole.{k}"))}
    given |= {"temperature": degrees} if degrees else {}
    case = choice.job.need.cases[which - 1] if which else None
    given["load"] = choice.get("pole.load") if case is None else f"{tip_load(case):.9g} N"
    try:
        made = judged_pole(base.tube, **given, factor=choice.job.need.factors.strength)
    except InputError as error:
        _refuse_pole(reader, error)
        return None
    words = "the load typed" if case is None else case.name or f"case {which}"
    if case is not None and abs(case.span - made.pole.reach) > 0.01 * made.pole.reach:
        words += f", meant for a reach of {show(case.span, 'length', choice.job.units)}"
    return PoleFound(made, JointSpec("pole", given=given), words)


def _refuse_pole(reader: Reader, error: InputError) -> None:
    """Put an error of the core at the field it speaks of."""
    known = {k: f"pole.{k}" for k in ("count", "gap", "length", "overlap", "load", "wall", "droop")}
    known |= {"od": "pole.count", "elevation": "pole.lean"}
    if "joint" in (error.where or ""):  # of one of its fits
        typed = [k for k in ("outside", "bore") if reader.given(f"pole.{k}")]
        told = [k for k in ("outside", "bore") if k in error.message]
        told = ["at"] if "hot" in error.message else told
        reader.wrong[f"pole.{(told or typed or ['gap'])[0]}"] = sentence(error, reader.system)
        return
    for word in ("overlap", "length", "gap", "droop"):
        if (error.where or "") == "nested" and word in error.message:
            known["pole"] = known["nested"] = f"pole.{word}"
    reader.refuse(error, "pole", known)


__all__ = ["TYPED", "PoleFound", "SlideFound", "TubeFound", "mm", "pole_case", "pole_found",
           "slide_found", "source_of", "tube_found"]  # fmt: skip
