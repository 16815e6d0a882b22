"""Joints that a job carries: read, worked out on their tube, and set beside its verdict."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from tubecalc.errors import InputError, unknown_key
from tubecalc.job import Candidate, Job
from tubecalc.joining.clamps import split_clamp
from tubecalc.joining.fits import fit
from tubecalc.joining.heat_judge import GROWTH_ERROR, judged_growth, judged_heat
from tubecalc.joining.joint_pair import pair_of
from tubecalc.joining.joint_row import JointRow
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.joining.mechanical import bolt, thread_rule
from tubecalc.joining.pole_judge import ERROR as POLE_ERROR
from tubecalc.joining.pole_judge import judged_pole
from tubecalc.joining.spread import clamp_spread, grip_reserve
from tubecalc.tube import Tube
from tubecalc.unit_words import Said, Spoken, rough, say
from tubecalc.units import to_si

PAGE, ROWS = "join", "joints"
MOST = 50
NAMES = {
    "bond": "bonded joint", "fit": "sliding fit", "press": "press fit", "bolt": "bolt",
    "pin": "pin", "clamp": "split clamp", "thread": "thread", "pole": "telescoping pole",
    "heat": "weakest part in the heat", "growth": "growth with heat",
}  # fmt: skip
ERRORS = {
    "A": "5 % where the sizes are as measured", "B": "25 %", "C": "50 %, an estimate of the trade",
}  # fmt: skip
_CLASSES = {
    "A": "as measured", "B": "as the tolerances stated", "C": "usual tolerances: measure the tubes",
}  # fmt: skip


def entries(job: Job) -> list[tuple[Candidate | None, JointSpec]]:
    """Joints of a job, each with the tube it was made for; what cannot be read is left out.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    list of tuple
        Tube as a candidate of the job, None where it is not in the job any more, and the joint.
    """
    table = job.page.get(PAGE)
    rows = table.get(ROWS, []) if isinstance(table, Mapping) else []
    out: list[tuple[Candidate | None, JointSpec]] = []
    for row in list(rows)[:MOST] if isinstance(rows, Sequence) else []:
        try:
            spec = JointSpec.from_table(row["joint"])
            out.append((_tube_of(job, row["tube"]), spec))
        except (InputError, KeyError, TypeError, ValueError):
            continue
    return out


def unread(job: Job) -> int:
    """How many joints of a job cannot be read.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    int

    Examples
    --------
    >>> unread(Job()), unread(Job(page={"join": {"joints": [{"joint": {"kind": "glue"}}]}}))
    (0, 1)
    """
    table = job.page.get(PAGE)
    rows = table.get(ROWS, []) if isinstance(table, Mapping) else []
    return len(rows) - len(entries(job)) if isinstance(rows, Sequence) else 1


def _tube_of(job: Job, table: Mapping[str, Any]) -> Candidate | None:
    size = table["wall"], float(table["od"]), float(table["id"])
    return next((c for c in job.candidates if (c.wall, c.od, c.id) == size), None)


def with_joint(job: Job, tube: Candidate, spec: JointSpec) -> Job:
    """Job with a joint more; a joint of the same name on the same tube gives way.

    Parameters
    ----------
    job : Job
        The job.
    tube : Candidate
        Whose end it is; put among the candidates if it is not there.
    spec : JointSpec
        The joint.

    Returns
    -------
    Job

    Raises
    ------
    InputError
        For more joints than a job carries.

    Examples
    --------
    >>> one = Candidate("6063-T6", 0.02, 0.017)
    >>> job = with_joint(Job(), one, JointSpec("thread"))
    >>> [(t == one, s.kind) for t, s in entries(Job.from_toml(job.to_toml()))]
    [(True, 'thread')]
    """
    same = [c for c in job.candidates if (c.wall, c.od, c.id) == (tube.wall, tube.od, tube.id)]
    tubes = job.candidates if same else (*job.candidates, tube)
    at = tubes.index(same[0] if same else tube)
    made = replace(job, candidates=tubes)
    mine = replace(spec, candidate=at)
    kept = [
        (t, s) for t, s in entries(job)
        if not (t is not None and t == tubes[at] and (s.kind, s.name) == (spec.kind, spec.name))
    ]  # fmt: skip
    if len(kept) >= MOST:
        raise InputError("a job carries no more joints", where="joints", expected=f"at most {MOST}")
    return _put(made, [*kept, (tubes[at], mine)])


def without_joint(job: Job, number: int) -> Job:
    """Job with a joint less.

    Parameters
    ----------
    job : Job
        The job.
    number : int
        Place among its joints [-].

    Returns
    -------
    Job
    """
    return _put(job, [x for k, x in enumerate(entries(job)) if k != number])


def _put(job: Job, kept: Sequence[tuple[Candidate | None, JointSpec]]) -> Job:
    state = {k: v for k, v in job.page.get(PAGE, {}).items() if k != ROWS}
    rows = [
        {"tube": {"wall": t.wall, "od": t.od, "id": t.id}, "joint": s.to_table()}
        for t, s in kept if t is not None
    ]  # fmt: skip
    if rows:
        state[ROWS] = rows
    page = {k: v for k, v in job.page.items() if k != PAGE}
    return replace(job, page={**page, PAGE: state} if state else page)


# ---- the answers ----------------------------------------------------------------------------
def joint_rows(job: Job) -> tuple[JointRow, ...]:
    """Every joint of a job, worked out.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    tuple of JointRow
        In the order of the job; empty for a job without joints.

    Examples
    --------
    >>> job = with_joint(Job(), Candidate("pultruded", 0.02, 0.018), JointSpec("thread"))
    >>> [(r.name, r.passes) for r in joint_rows(job)]
    [('thread', False)]
    """
    return tuple(_answer(job, n, tube, spec) for n, (tube, spec) in enumerate(entries(job)))


def _answer(job: Job, n: int, tube: Candidate | None, spec: JointSpec) -> JointRow:
    name = _plain(spec.name)[:60] or NAMES[spec.kind]
    if tube is None:
        said = "its tube is not among those of the job any more"
        return JointRow(n, -1, spec.kind, name, None, math.nan, "none", "", said)
    at = job.candidates.index(tube)
    try:
        made = _worked(spec, tube, job.need.factors.strength, Job(walls=job.walls))
    except InputError as error:
        said = Spoken(_refusal(error), job.units)
        return JointRow(n, at, spec.kind, name, False, math.nan, "none", "", said)
    asked = job.need.service.temperature
    if made.warmest < asked and made.passes is not False:  # the glue goes before the tube
        made = replace(made, passes=False, reserve=math.nan, why=too_hot(made.warmest, asked))
    if made.stands < asked and made.passes is not False:
        made = replace(made, passes=False, why=too_hot(made.stands, asked, made.part))
    why = Spoken(lambda system: say(made.why, system), job.units)
    return replace(made, number=n, candidate=at, name=name, why=why)


def too_hot(warmest: float, asked: float, part: str = "adhesive") -> Spoken:
    """Sentence of a bond, or another part, that is not good to the heat of the need [degC]."""
    return Spoken(lambda s: (
        f"the {part} is good to {rough(warmest, 'temperature', s)}, the need asks "
        f"{rough(asked, 'temperature', s)}"
    ))  # fmt: skip


def _refusal(error: InputError) -> Said:
    return lambda system: _plain(f"cannot be: {error.said(system)}")


def _plain(text: str) -> str:
    """Text that somebody gave without what cannot be seen in it."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


@lru_cache(maxsize=64)
def _worked(spec: JointSpec, tube: Candidate, factor: float, walls: Job) -> JointRow:
    """One joint, kept: it depends on the tube, the walls of the job and the factor alone.

    Its sentence knows every display system.
    """
    try:
        made = _KINDS[spec.kind](spec, tube.tube(walls), factor, walls)
        return replace(made, pair=pair_of(spec, tube.tube(walls), walls))
    except InputError:
        raise
    except (TypeError, ValueError, AttributeError):
        raise InputError("a value is of the wrong kind", where=f"joint:{spec.kind}") from None


def _only(given: Mapping[str, Any], call: Callable[..., Any], *more: str) -> dict[str, Any]:
    """Arguments of a joint, all of them known."""
    known = [k for k in inspect.signature(call).parameters if k not in ("tube", "factor")]
    for key in given:
        if key not in (*known, *more):
            raise unknown_key("field of a joint", key, [*known, *more], "joint")
    return dict(given)


def _row(kind: str, passes: bool | None, reserve: float, grade: str, error: str,
         why: str) -> JointRow:  # fmt: skip
    return JointRow(0, -1, kind, "", passes, reserve, grade, error, why)


def _bonded(spec: JointSpec, tube: Tube, factor: float, walls: Job) -> JointRow:
    found = spec.bond(tube, walls)
    firm = [x for x in found.limits if not x.advisory and x.key != "tube"]
    worst = min(firm, key=lambda x: float(x.reserve[0]))
    reserve = float(worst.reserve[0]) / factor
    warmest = found.asked.adhesive.heat_limit(wet=found.asked.wet)
    if not math.isfinite(reserve):
        none = _row("bond", None, math.nan, worst.grade, worst.error, "no load is given")
        return replace(none, warmest=warmest)
    why = f"the {'bond' if worst.key == 'joint' else worst.label} gives way first, at {reserve:.3g}"
    why += f" times the loads{_counted(factor)}"
    row = _row("bond", reserve >= 1.0, reserve, worst.grade, worst.error, why)
    return replace(row, warmest=warmest)


def _counted(factor: float) -> str:
    return "" if factor == 1.0 else f" and the factor {factor:g} of the need"


def fit_arguments(spec: JointSpec, tube: Tube, walls: Job) -> tuple[Tube, Tube, dict[str, Any]]:
    """Inner tube, outer tube and the other arguments of the fit of a joint.

    Parameters
    ----------
    spec : JointSpec
        Of kind "fit" or "press", with the other tube as ``inner`` or ``outer``: a table of ``of``
        and ``od``, ``id``, ``wall``.
    tube : Tube
        Its tube.
    walls : Job
        For walls of its own.

    Returns
    -------
    tuple
    """
    given = dict(spec.given)
    sides = [k for k in ("inner", "outer") if k in given]
    if len(sides) != 1 or not isinstance(given[sides[0]], Mapping):
        raise InputError("a fit needs the other tube", where="joint:outer",
                         expected='inner = {of = "304", od = "10 mm", wall = "1 mm"}')  # fmt: skip
    table = dict(given.pop(sides[0]))
    made = walls.construction(str(table.pop("of", "")), f"joint:{sides[0]}:of")
    extra = [k for k in table if k not in ("od", "id", "wall")]
    if extra:
        raise unknown_key("field of a tube", extra[0], ("of", "od", "id", "wall"), "joint")
    if "press" in given:
        raise InputError("a press fit is a kind of joint", where="joint:press")
    given = _only(given, fit)
    other = Tube(made, **table)
    pair = (other, tube) if sides[0] == "inner" else (tube, other)
    return *pair, given


def _fitted(spec: JointSpec, tube: Tube, factor: float, walls: Job) -> JointRow:
    inner, outer, given = fit_arguments(spec, tube, walls)
    found = fit(inner, outer, press=spec.kind == "press", **given)
    passes = found.verdict == "grips" if spec.kind == "press" else found.slides
    return _row(spec.kind, passes, math.nan, found.grade, _CLASSES[found.grade], found.why)


def _bolted(spec: JointSpec, tube: Tube, factor: float, walls: Job) -> JointRow:
    found = bolt(tube, **_only(spec.given, bolt), factor=max(factor, 1.0))
    worst = found.governing
    reserve = worst.reserve
    return _row(spec.kind, reserve >= 1.0, reserve, worst.grade, ERRORS.get(worst.grade, "none"),
                Spoken(lambda system: f"{worst.label}: {say(worst.why, system)}"))  # fmt: skip


def _clamped(spec: JointSpec, tube: Tube, factor: float, walls: Job) -> JointRow:
    given = _only(spec.given, split_clamp, "load", "style")
    asked = given.pop("load", None)
    if "style" in given:  # the word "kind" is that of the joint
        given["kind"] = given.pop("style")
    found = split_clamp(tube, **given)
    grip = clamp_spread(found)
    known = math.isfinite(found.slip)
    why = Spoken(lambda s: (
        f"{say(found.why, s)}; it holds {rough(found.slip, 'force', s)} by friction there, "
        f"{rough(grip.worst, 'force', s)} if they are dry" if known else say(found.why, s)
    ))  # fmt: skip
    if asked is None:
        return _row("clamp", None, math.nan, found.grade, ERRORS["C"], why)
    load = float(to_si(asked, "force", what="load", where="joint"))
    reserve = grip_reserve(found, load, factor)
    return _row("clamp", reserve >= 1.0, reserve, found.grade, ERRORS["C"], why)


def _threaded(spec: JointSpec, tube: Tube, factor: float, walls: Job) -> JointRow:
    rating, said = thread_rule(tube.construction)
    return _row("thread", rating != "no", math.nan, "C", "", said)


def _poled(spec: JointSpec, tube: Tube, factor: float, walls: Job) -> JointRow:
    found = judged_pole(tube, **_only(spec.given, judged_pole), factor=factor)
    reserve = math.nan if found.binds and found.reserve >= 1.0 else found.reserve
    return _row("pole", found.passes, reserve, found.pole.grade, POLE_ERROR,
                Spoken(found.why))  # fmt: skip


def _heated(spec: JointSpec, tube: Tube, factor: float, walls: Job) -> JointRow:
    found = judged_heat(tube, **_only(spec.given, judged_heat))
    row = _row("heat", found.passes, math.nan, found.grade, found.error, found.why)
    part, minds = found.heat.weakest, tuple(found.heat.cautions)
    return replace(row, stands=part.limit, part=part.part, minds=minds)


def _grown(spec: JointSpec, tube: Tube, factor: float, walls: Job) -> JointRow:
    found = judged_growth(tube, **_only(spec.given, judged_growth))
    row = _row("growth", found.passes, found.reserve, found.grade, GROWTH_ERROR, found.why)
    return replace(row, minds=found.cautions)


_KINDS = {
    "bond": _bonded, "fit": _fitted, "press": _fitted, "bolt": _bolted, "pin": _bolted,
    "clamp": _clamped, "thread": _threaded, "pole": _poled, "heat": _heated, "growth": _grown,
}  # fmt: skip


__all__ = ["ERRORS", "MOST", "NAMES", "PAGE", "ROWS", "JointRow", "entries", "fit_arguments",
           "joint_rows", "too_hot", "unread", "with_joint", "without_joint"]  # fmt: skip
