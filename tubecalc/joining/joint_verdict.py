"""Joints of a job beside the verdict of their tubes: which of them gives way first."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tubecalc.compare import Judged
from tubecalc.joining.job_joints import JointRow
from tubecalc.verdict import Verdict

_NO_LOAD = "Its joint has no load to bear"
_UNJUDGED = {"growth": "How far it may grow is not given",
             "heat": "What its parts stand is not known"}  # fmt: skip


def of_tube(rows: Sequence[JointRow], n: int) -> list[JointRow]:
    """Joints of one candidate, what fails first, then the least reserve.

    Parameters
    ----------
    rows : sequence of JointRow
        Of the job.
    n : int
        Index of the candidate [-].

    Returns
    -------
    list of JointRow
    """

    def order(r: JointRow) -> tuple[bool, float, bool]:
        reserve = math.inf if math.isnan(r.reserve) else r.reserve
        return r.passes is not False, reserve, r.passes is None

    return sorted((r for r in rows if r.candidate == n), key=order)


def beside(rows: Sequence[JointRow], judged: Judged, n: int) -> str:
    """What the joints of a tube add to its verdict, in a sentence; "" where it has none.

    Parameters
    ----------
    rows : sequence of JointRow
        Of the job.
    judged : Judged
        Its tubes.
    n : int
        Index of the candidate [-].

    Returns
    -------
    str
        Says whether the joint governs.
    """
    return said_of(of_tube(rows, n), judged.verdicts[n])


def said_of(mine: Sequence[JointRow], verdict: Verdict | None) -> str:
    """What the joints of one tube add to its verdict, in a sentence; "" for none.

    Parameters
    ----------
    mine : sequence of JointRow
        As from `of_tube`.
    verdict : Verdict or None
        On the tube.

    Returns
    -------
    str
    """
    if not mine:
        return ""
    worst, ok = mine[0], None if verdict is None else bool(verdict.passes)
    number = "" if math.isnan(worst.reserve) else f", reserve {_number(worst.reserve)}"
    if worst.passes is False:
        head = {True: "The tube passes, its joint does not", False: "The tube fails, and so does "
                "its joint", None: "Its joint fails"}[ok]  # fmt: skip
    elif worst.reserve < _least(verdict):
        head = {True: "The tube passes, joint governs", False: "The tube fails, its joint passes",
                None: "Its joint passes"}[ok]  # fmt: skip
    else:
        head = "Its joint passes" if worst.passes else _UNJUDGED.get(worst.kind, _NO_LOAD)
        if ok and not math.isnan(worst.reserve):
            head = "The joint is not what limits the tube"
    return f"{head}: {worst.name}{number}."


def orphans(rows: Sequence[JointRow]) -> list[str]:
    """Joints whose tube is not in the job any more, a sentence each.

    Parameters
    ----------
    rows : sequence of JointRow
        Of the job.

    Returns
    -------
    list of str

    Examples
    --------
    >>> gone = JointRow(0, -1, "thread", "foot", None, math.nan, "none", "", "its tube is gone")
    >>> orphans([gone])
    ['The foot of this job counts for nothing: its tube is gone.']
    """
    return [
        f"The {r.name} of this job counts for nothing: {r.why}." for r in rows if r.candidate < 0
    ]


def _number(value: float) -> str:
    return f"{value:.2f}" if value < 10 else f"{value:.3g}"


def _least(verdict: Verdict | None) -> float:
    """Reserve of the check that governs."""
    if verdict is None or not verdict.governing:
        return math.inf
    value = float(verdict.reserve[verdict.governing])
    return -1.0 if math.isnan(value) else value


def governed(rows: Sequence[JointRow], judged: Judged, n: int) -> JointRow | None:
    """The joint that gives way before its tube, or fails; None where the tube decides.

    Parameters
    ----------
    rows : sequence of JointRow
        Of the job.
    judged : Judged
        Its tubes.
    n : int
        Index of the candidate [-].

    Returns
    -------
    JointRow or None
    """
    mine, verdict = of_tube(rows, n), judged.verdicts[n]
    tube = _least(verdict)
    for row in mine[:1]:
        if row.passes is False or row.reserve < tube:
            return row
    return None


__all__ = ["beside", "governed", "of_tube", "orphans", "said_of"]
