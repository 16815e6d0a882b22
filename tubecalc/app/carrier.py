"""The job on a page that shows none of it: opened, saved, handed over and carried on."""

from __future__ import annotations

from tubecalc.app.bits import box, mark
from tubecalc.app.handout import Handout
from tubecalc.app.jobs import Keeper, summary
from tubecalc.app.link import read_job
from tubecalc.app.outgoing import tubes_words
from tubecalc.job import Job


class Carrier:
    """Job of a page that shows none of it.

    Parameters
    ----------
    page : str
        Name of the page.
    query : str
        Query string the page was opened with.

    Notes
    -----
    Put `bar` and `door` on the page and `keeper.hidden` anywhere in it.
    """

    def __init__(self, page: str, query: str = "") -> None:
        self.keeper = Keeper(page, lambda: self.keeper.base, self._take, query)
        job, _, refused = read_job(query)
        if job is not None:
            self.keeper.base = job
            self.keeper.say(summary(job))
        elif refused:
            self.keeper.say(" ".join(refused))
        self.handout = Handout(
            lambda: self.keeper.base, lambda: tubes_words(self.keeper.base),
            lambda: self.keeper.base, self._keep,
        )  # fmt: skip
        self.bar = box(self.keeper.parts, "tc-row", "tc-jobbar")
        self.door = self.handout.box
        self._show()
        self.keeper.publish()

    def _take(self, job: Job, _: str) -> list[str]:
        self._show()
        return [summary(job)]

    def _keep(self, job: Job) -> None:
        self.keeper.base = job
        self.keeper.publish(hold=bool(self.handout.refusal))

    def _show(self) -> None:
        job = self.keeper.base
        mark(self.door, "tc-gone", not (job.candidates or job.need.cases))
        self.handout.fresh()


__all__ = ["Carrier"]
