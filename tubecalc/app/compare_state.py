"""What the page `compare` knows: a job, what is compared how, and the result."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from traitlets import Any as AnyTrait
from traitlets import Dict, HasTraits, Instance, Unicode, observe

from tubecalc.compare import Judged, judge, span_of
from tubecalc.compare_equal import KEEP, SAME, Equal, equal
from tubecalc.compare_lines import DRAWN
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.unit_words import worded

MOST = 6  # tubes side by side
PAGE = "compare"


@dataclass(frozen=True)
class CompareChoice:
    """Everything a person set on the page.

    Parameters
    ----------
    job : Job
        Need, candidates, own walls, units.
    span : float
        Length for bending, buckling and travels [m]; NaN for that of the need.
    reference : int
        The tube that the others are held against.
    per_mass : bool
        Figures weight for weight.
    kind : str
        Kind of load of the chart.
    same, keep : str
        What the equivalents share with the reference, and which size stays.
    width : int
        Width of the chart on the screen [px].
    """

    job: Job
    span: float = math.nan
    reference: int = 0
    per_mass: bool = False
    kind: str = "bending"
    same: str = "EI"
    keep: str = "od"
    width: int = 720

    @property
    def length(self) -> float:
        """Span as used [m]."""
        return span_of(self.job.need) if math.isnan(self.span) else self.span

    @property
    def shown(self) -> tuple[Candidate, ...]:
        """Candidates on the page: the first six of the job."""
        return self.job.candidates[:MOST]


@dataclass(frozen=True, eq=False)
class CompareResult:
    """Everything the page shows, computed from one choice."""

    choice: CompareChoice
    judged: Judged
    reference: int
    equals: tuple[Equal | None, ...]  # None for the reference itself


def run(choice: CompareChoice) -> CompareResult:
    """Judge the tubes of a choice.

    Parameters
    ----------
    choice : CompareChoice
        The choice.

    Returns
    -------
    CompareResult

    Raises
    ------
    InputError
        Without a tube, or for what the core refuses.
    """
    if not choice.shown:
        raise InputError("add a tube to compare")
    chosen = choice.job.chosen if choice.job.chosen < MOST else -1
    job = replace(choice.job, candidates=choice.shown, chosen=chosen)
    judged = judge(job, span=choice.length)
    at = min(choice.reference, len(judged) - 1)
    target = judged.tubes[at]
    equals = tuple(
        None if n == at else equal(
            target, t.layup if t.construction.fixed else t.construction, choice.same, choice.keep,
            system=judged.system,
        )
        for n, t in enumerate(judged.tubes)
    )  # fmt: skip
    return CompareResult(choice, judged, at, equals)


class CompareSession(HasTraits):
    """State of one visitor's page; the only thing that changes.

    Parameters
    ----------
    choice : CompareChoice
        Where to start.
    """

    choice = Instance(CompareChoice)
    result = AnyTrait(None, allow_none=True)
    mistakes = Dict()  # path of a field -> sentence
    problems = Dict()
    status = Unicode("")

    def __init__(
        self, choice: CompareChoice, run_core: Callable[[CompareChoice], CompareResult] = run
    ) -> None:
        self._run_core = run_core
        super().__init__(choice=choice)

    @property
    def stale(self) -> bool:
        """Whether the result on screen belongs to an earlier, valid entry."""
        return bool(self.problems)

    def change(self, **parts: Any) -> None:
        """Change parts of the choice at once."""
        self.choice = replace(self.choice, **parts)

    def change_job(self, **parts: Any) -> None:
        """Change parts of the job."""
        self.change(job=replace(self.choice.job, **parts))

    def put(self, n: int, candidate: Candidate) -> None:
        """Replace one candidate."""
        candidates = list(self.choice.job.candidates)
        candidates[n] = candidate
        self.change_job(candidates=tuple(candidates))

    def add(self, candidate: Candidate, job: Job | None = None) -> None:
        """Add a candidate after those shown, to the job or to one that was made of it."""
        shown = len(self.choice.shown)
        if shown >= MOST:
            raise InputError(f"{MOST} tubes side by side are the most: take one away first")
        job = self.choice.job if job is None else job
        rest, chosen = job.candidates[shown:], job.chosen + (job.chosen >= shown)
        every = (*job.candidates[:shown], candidate, *rest)
        self.change(job=replace(job, candidates=every, chosen=chosen))

    def drop(self, n: int) -> None:
        """Take a candidate away; the reference and the recommended one stay who they are."""
        job, at = self.choice.job, self.choice.reference
        rest = tuple(c for k, c in enumerate(job.candidates) if k != n)
        chosen = -1 if job.chosen == n else job.chosen - (job.chosen > n)
        self.mistakes = {k: v for k, v in self.mistakes.items() if k == "span"}
        self.change(
            job=replace(job, candidates=rest, chosen=chosen),
            reference=0 if at == n else at - (at > n),
        )

    def mistake(self, path: str, message: str) -> None:
        """Note (or with "" clear) what is wrong with a field."""
        found = {k: v for k, v in self.mistakes.items() if k != path}
        self.mistakes = {**found, path: message} if message else found

    @observe("choice", "mistakes")
    def _changed(self, _: Any) -> None:
        problems = dict(self.mistakes)
        if not problems:
            try:
                found = self._run_core(self.choice)
            except InputError as error:
                problems = {"": error.said(self.choice.job.units)}
            else:
                self.problems = {}
                self.result = found
                return
        self.problems = problems


# ---- as part of a job -------------------------------------------------------------------
def job_of(choice: CompareChoice) -> Job:
    """The job with the state of the page in it.

    Parameters
    ----------
    choice : CompareChoice
        The choice.

    Returns
    -------
    Job
    """
    state: dict[str, Any] = {
        "reference": choice.reference, "weight": choice.per_mass, "kind": choice.kind,
        "same": choice.same, "keep": choice.keep,
    }  # fmt: skip
    if not math.isnan(choice.span):
        state["span"] = f"{choice.span!r} m"
    return replace(choice.job, page={**choice.job.page, PAGE: state})


def choice_of(job: Job) -> tuple[CompareChoice, list[str]]:
    """Choice of a job, with what its page state says; nothing in it is believed unchecked.

    Parameters
    ----------
    job : Job
        A job, perhaps from a file or a link.

    Returns
    -------
    tuple of CompareChoice and list of str
        The choice, and one sentence for each part that was left out.
    """
    choice, refused = CompareChoice(job), []
    for key, value in _table(job.page.get(PAGE)).items():
        try:
            choice = replace(choice, **_read(key, value, len(choice.shown)))
        except InputError:
            refused.append(f'"{str(key)[:40]}" of the comparison cannot be used and is left out.')
    return choice, refused


def _table(value: Any) -> Mapping[str, Any]:
    return value if isinstance(value, Mapping) else {}


def _read(key: str, value: Any, count: int) -> dict[str, Any]:
    from tubecalc.units import to_si

    if key == "span" and isinstance(value, str):
        return {"span": span_from(to_si(value, "length", what="span", positive=True))}
    if key == "reference" and isinstance(value, int) and 0 <= value < max(1, count):
        return {"reference": int(value)}
    if key == "weight" and isinstance(value, bool):
        return {"per_mass": value}
    for name, known in (("kind", DRAWN), ("same", SAME), ("keep", KEEP)):
        if key == name and isinstance(value, str) and value in known:
            return {name: value}
    raise InputError("is not known", got=str(key)[:40])


def span_from(value: float) -> float:
    """A span that can be compared over.

    Parameters
    ----------
    value : float
        Length [m].

    Returns
    -------
    float

    Raises
    ------
    InputError
        Below 1 mm or above 100 m.
    """
    if not 1e-3 <= value <= 100.0:
        raise InputError(
            "is out of range", where="span", expected=worded("{} to {}", "length", 1e-3, 100.0)
        )
    return value


__all__ = [
    "MOST", "PAGE", "CompareChoice", "CompareResult", "CompareSession", "choice_of", "job_of",
    "run", "span_from",
]  # fmt: skip
