"""What the joints of the job say of the tube that page `choose` shows."""

from __future__ import annotations

from collections.abc import Callable

from tubecalc.app.carry import candidate_of
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.joining.job_joints import PAGE, ROWS, joint_rows
from tubecalc.joining.joint_verdict import of_tube, orphans, said_of
from tubecalc.verdict import Verdict


def joint_said(base: Job, now: Callable[[], Job], key: str, verdict: Verdict | None) -> str:
    """Sentence on the joints of the selected tube, and on those whose tube is gone; "" for none.

    Parameters
    ----------
    base : Job
        The job as it was opened.
    now : callable
        Gives the job as it stands, for the factor of its need.
    key : str
        Key of the selected tube, "" for none.
    verdict : Verdict or None
        On that tube.

    Returns
    -------
    str

    Examples
    --------
    >>> joint_said(Job(), Job, "", None)
    ''
    """
    if not key or not base.page.get(PAGE, {}).get(ROWS):
        return ""
    one = candidate_of(key)
    here = [n for n, c in enumerate(base.candidates)
            if (c.wall, c.od, c.id) == (one.wall, one.od, one.id)]  # fmt: skip
    try:
        job = now()
    except InputError:
        job = base
    rows = joint_rows(job)
    mine = said_of(of_tube(rows, here[0]), verdict) if here else ""
    return " ".join(x for x in (mine, *orphans(rows)) if x)


__all__ = ["joint_said"]
