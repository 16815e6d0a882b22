"""Words of the pieces for a quote: the job judged, its need in few lines, grades."""

from __future__ import annotations

from tubecalc.checks.registry import GRADES
from tubecalc.compare import judge
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.share.letters import folded
from tubecalc.share.need_words import need_words
from tubecalc.share.offer import offered
from tubecalc.share.page_verdict import Told, governing


def told_of(job: Job) -> Told:
    """Job with something to offer, judged and worded in its own display system.

    Parameters
    ----------
    job : Job
        With candidates, or a need to choose the best for.

    Returns
    -------
    Told

    Raises
    ------
    InputError
        If it is no job, there is nothing to offer, or for what the core refuses of a candidate.
    """
    if not isinstance(job, Job):
        raise InputError("is not a Job", where="job", got=type(job).__name__)
    made = offered(job)
    return Told(made, {made.units: judge(made)})


def short_need(told: Told, room: float, size: float, most: int, *, join: str = " ") -> list[str]:
    """Need in words in few lines; loads that find no room are counted.

    Parameters
    ----------
    told : Told
        The job.
    room : float
        Width [px].
    size : float
        Height of the letters [px].
    most : int
        Most lines [-].
    join : str
        Between the sentences; a line break for one sentence a line.

    Returns
    -------
    list of str
        Lines.
    """
    said = need_words(told.judged.need, told.job.units)
    count = len(told.judged.need.cases)
    loads, rest = said[:count], said[count:]
    for kept in range(count, 0, -1):
        left = [f"And {count - kept} more loads."] if kept < count else []
        lines = folded(join.join((*loads[:kept], *left, *rest)), room, size)
        if len(lines) <= most:
            return lines
    return folded(join.join((*loads[:1], *rest)), room, size, most=most)


def graded(told: Told, most: int) -> list[str]:
    """Grades of the checks that govern, and what they mean.

    Parameters
    ----------
    told : Told
        The job.
    most : int
        How many tubes count, from the first [-].

    Returns
    -------
    list of str
        Sentences, none where nothing is judged.
    """
    if not told.judged.need.cases:
        return []
    used = {grade_of(told, n) for n in told.order[:most]} - {""}
    out = [f"Grade {k}: {v}." for k, v in GRADES.items() if k in used]
    if "–" in used:
        out.append("Grade –: outside the range in which the check has been shown to hold.")
    return out


def grade_of(told: Told, n: int) -> str:
    """Grade of the check that governs one tube.

    Parameters
    ----------
    told : Told
        A job with a case.
    n : int
        Which tube.

    Returns
    -------
    str
        "–" outside the range of the check, "" where nothing governs.
    """
    row = governing(told.verdict(n))
    return "" if not row else ("–" if row["range"] else str(row["grade"]))


__all__ = ["grade_of", "graded", "short_need", "told_of"]
