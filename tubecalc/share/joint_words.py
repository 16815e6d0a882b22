"""Joints of a job in the words of its papers: verdict, reason, rows of checks, bars, cautions."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tubecalc.compare import Judged
from tubecalc.joining.bond_words import PEOPLE
from tubecalc.joining.job_joints import JointRow
from tubecalc.joining.joint_verdict import beside, governed, of_tube, orphans
from tubecalc.share.bars import Reserve, number
from tubecalc.share.need_words import sentence
from tubecalc.unit_words import say

Rows = Sequence[JointRow]


def mark(rows: Rows, judged: Judged, n: int) -> tuple[str, bool] | None:
    """Word over the headline where a joint of a tube that passes governs; None where it does not.

    Parameters
    ----------
    rows : sequence of JointRow
        Joints of the job.
    judged : Judged
        Its tubes.
    n : int
        Which tube.

    Returns
    -------
    tuple of str and bool, or None
        Sign and word, and whether it is good news.

    Examples
    --------
    >>> from tubecalc.compare import judge
    >>> from tubecalc.job import Candidate, Job
    >>> mark((), judge(Job(candidates=(Candidate("304", 0.02, 0.018),))), 0) is None
    True
    """
    row = governed(rows, judged, n)
    if row is None or judged.passes(n) is False:
        return None
    if row.passes is False:
        good = judged.passes(n)
        return ("✗ Tube passes, its joint does not" if good else "✗ Its joint does not hold"), False
    return ("✓ Tube passes, joint governs", True) if judged.passes(n) else None


def verdict(rows: Rows, judged: Judged, n: int) -> str:
    """Sentence on the joint that governs, "" where none does.

    Parameters
    ----------
    rows : sequence of JointRow
        Joints of the job.
    judged : Judged
        Its tubes.
    n : int
        Which tube.

    Returns
    -------
    str
    """
    row = governed(rows, judged, n)
    if row is None:
        return ""
    reserve = "" if math.isnan(row.reserve) else f", with a reserve of {number(row.reserve)}"
    if row.passes is False:
        return f"But its joint does not hold: {row.name}{reserve}."
    return f"Its joint governs: {row.name}{reserve}."


def reason(rows: Rows, judged: Judged, n: int, system: str) -> str:
    """Why the joint that governs does, "" where none does.

    Parameters
    ----------
    rows : sequence of JointRow
        Joints of the job.
    judged : Judged
        Its tubes.
    n : int
        Which tube.
    system : str
        Display system.

    Returns
    -------
    str
    """
    row = governed(rows, judged, n)
    return sentence(f"{row.name}: {say(row.why, system)}") if row is not None else ""


def short(rows: Rows, judged: Judged, n: int) -> str:
    """What the joints add to the verdict of a tube, "" where it has none."""
    return beside(rows, judged, n)


def checks(rows: Rows, n: int, system: str) -> list[tuple[str, ...]]:
    """Joints of a tube as rows of the table of checks.

    Parameters
    ----------
    rows : sequence of JointRow
        Joints of the job.
    n : int
        Which tube.
    system : str
        Display system.

    Returns
    -------
    list of tuple of str
        Way to fail, case, reserve, grade, expected error, reason.
    """
    return [
        (f"joint: {r.name}", "", told(r), r.grade if r.grade in "ABC" else "–", r.error or "–",
         sentence(say(r.why, system)))
        for r in of_tube(rows, n)
    ]  # fmt: skip


def told(row: JointRow) -> str:
    """Reserve of a joint as it is written; a mark where it has no number."""
    if not math.isnan(row.reserve):
        return number(row.reserve)
    return "–" if row.passes is None else "✓" if row.passes else "✗"


def bars(rows: Rows, judged: Judged, n: int) -> list[Reserve]:
    """Joints of a tube that have a number, as bars.

    Parameters
    ----------
    rows : sequence of JointRow
        Joints of the job.
    judged : Judged
        Its tubes.
    n : int
        Which tube.

    Returns
    -------
    list of Reserve
    """
    first = governed(rows, judged, n)
    return [
        Reserve(f"joint: {r.name}", r.reserve, first is not None and r.number == first.number,
                False, r.grade)
        for r in of_tube(rows, n) if math.isfinite(r.reserve)
    ]  # fmt: skip


def cautions(rows: Rows, judged: Judged, n: int, system: str) -> list[str]:
    """What to mind with the joints of a tube; the one that governs is told of in the verdict.

    Parameters
    ----------
    rows : sequence of JointRow
        Joints of the job.
    judged : Judged
        Its tubes.
    n : int
        Which tube.
    system : str
        Display system.

    Returns
    -------
    list of str
    """
    mine, first = of_tube(rows, n), governed(rows, judged, n)
    out = [PEOPLE] if any(r.kind == "bond" for r in mine) else []
    out += [sentence(f"{r.name}: {r.pair}") for r in mine if r.pair]
    out += orphans(rows)
    return out + [
        sentence(f"{r.name}: {say(r.why, system)}") for r in mine
        if r.passes is False and r is not first
    ]  # fmt: skip


def minds(rows: Rows, n: int) -> list[str]:
    """What else to mind with the joints of a tube; it stands after all other cautions.

    Parameters
    ----------
    rows : sequence of JointRow
        Joints of the job.
    n : int
        Which tube.

    Returns
    -------
    list of str

    Examples
    --------
    >>> minds((), 0)
    []
    """
    return [sentence(f"{r.name}: {x}") for r in of_tube(rows, n) for x in r.minds]


__all__ = ["bars", "cautions", "checks", "mark", "minds", "reason", "short", "told", "verdict"]
