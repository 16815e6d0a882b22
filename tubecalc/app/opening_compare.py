"""What page `compare` opens with: the demo need and three tubes, or the job of a link."""

from __future__ import annotations

from dataclasses import replace

from tubecalc.app.compare_state import CompareChoice, choice_of
from tubecalc.app.demo import FIRST_JOB, jobs
from tubecalc.app.draft import to_toml
from tubecalc.app.link import read_job
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.need import Need

FIRST = (
    Candidate("304-cold-drawn", 0.032, 0.030), Candidate("6063-T6", 0.032, 0.028),
    Candidate("roll-wrapped-woven", 0.032, 0.0295),
)  # fmt: skip


def first_job() -> Job:
    """The demo need with one tube of steel, one of aluminium and one of carbon.

    Returns
    -------
    Job
    """
    return Job(Need.from_toml(to_toml(jobs()[FIRST_JOB])), FIRST)


def start_choice(query: str = "") -> tuple[CompareChoice, list[str]]:
    """Choice a page starts with: the demo job, or the job of the link.

    Parameters
    ----------
    query : str
        Query string of the link.

    Returns
    -------
    tuple of CompareChoice and list of str
        The choice, and what in the link could not be used.
    """
    job, _, refused = read_job(query)
    if job is None:
        return CompareChoice(first_job()), refused
    if not job.candidates:
        job = replace(job, candidates=FIRST, chosen=-1)
    choice, more = choice_of(job)
    return choice, [*refused, *more]


def known(job: Job, key: str) -> bool:
    """Whether a job knows a construction.

    Parameters
    ----------
    job : Job
        With its own walls.
    key : str
        Key of a construction, a metal or an own wall.

    Returns
    -------
    bool

    Examples
    --------
    >>> known(Job(), "6063-T6"), known(Job(), "mine")
    (True, False)
    """
    try:
        job.construction(key)
    except InputError:
        return False
    return True
