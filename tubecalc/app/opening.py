"""What page `choose` opens with: the first demo job, changed by what a link says."""

from __future__ import annotations

from tubecalc.app.carry import choice_of, with_own
from tubecalc.app.demo import FIRST_JOB, jobs
from tubecalc.app.link import read_query
from tubecalc.app.state import Choice
from tubecalc.job import Job


def start_choice(query: str = "", job: Job | None = None, words: str = "") -> tuple[
    Choice, list[str]
]:  # fmt: skip
    """Choice a page starts with: the first demo job, changed by what the link says.

    Parameters
    ----------
    query : str
        Query string of the link.
    job : Job, optional
        Job that came with the link.
    words : str
        The TOML it was read from.

    Returns
    -------
    tuple of Choice and list of str
        The choice, and what in the link could not be used.
    """
    start, refused = Choice(draft=jobs()[FIRST_JOB]), list[str]()
    if job is not None and (job.need.cases or job.page):
        start, refused = choice_of(job, words, start)
    elif job is not None:
        start = with_own(start, job)
    choice, more = read_query(query, start, jobs())
    return choice, [*refused, *more]
