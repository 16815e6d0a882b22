"""What a customer page says first: the job judged once, its verdict, headline, reason."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from tubecalc.compare import Judged, judge, size_words
from tubecalc.job import Job
from tubecalc.joining.job_joints import JointRow, joint_rows
from tubecalc.share import joint_words
from tubecalc.share.bars import number
from tubecalc.share.job_chart import least, ranked
from tubecalc.share.need_words import joined, sentence
from tubecalc.share.page_text import SYSTEMS
from tubecalc.unit_display import show
from tubecalc.verdict import Verdict


@dataclass(frozen=True, eq=False)
class Told:
    """A job with something to offer, judged once and worded in every display system."""

    job: Job
    every: dict[str, Judged]

    @classmethod
    def of(cls, job: Job) -> Told:
        """Judge a job that has candidates."""
        return cls(job, {s: judge(replace(job, units=s)) for s in SYSTEMS})

    @property
    def judged(self) -> Judged:
        """In the display system of the job."""
        return self.every[self.job.units]

    @cached_property
    def order(self) -> list[int]:
        """Recommended first."""
        return ranked(self.judged)

    @property
    def shown(self) -> int:
        """The tube the page tells of: the recommended, else the one that comes nearest."""
        return self.order[0]

    @cached_property
    def joints(self) -> tuple[JointRow, ...]:
        """Joints of the job, worked out."""
        return joint_rows(self.job)

    def joint(self, n: int) -> str:
        """What the joints of one tube add to its verdict, "" where it has none."""
        return joint_words.short(self.joints, self.judged, n)

    def verdict(self, n: int, system: str = "") -> Verdict:
        """Verdict on one tube, worded in a display system."""
        found = self.every[system or self.job.units].verdicts[n]
        if found is None:
            raise ValueError("without a case there is no verdict")
        return found

    def name(self, n: int) -> str:
        """Name with a capital letter."""
        text = self.judged.names[n]
        return text[:1].upper() + text[1:]

    def label(self, n: int) -> str:
        """What somebody called the tube, else the name of its construction."""
        given = self.job.candidates[n].label.strip()
        text = given or self.judged.tubes[n].construction.name
        return text[:1].upper() + text[1:]

    def size(self, n: int, system: str) -> str:
        """Outside diameter and bore."""
        return size_words(self.judged.tubes[n], system)

    def mass(self, n: int, system: str) -> str:
        """Mass per length."""
        return show(float(self.judged.mass[n]), "linear_density", system)


def governing(verdict: Verdict) -> dict[str, Any]:
    """Row of the check that governs.

    Parameters
    ----------
    verdict : Verdict
        Of one tube.

    Returns
    -------
    dict
        Columns of the table of checks; empty where nothing is driven.
    """
    rows = records(verdict)
    mine = [r for r in rows if r["check"] == verdict.governing and not r["advisory"]]
    return min(mine, key=lambda r: float(r["reserve"]), default={})


def records(verdict: Verdict) -> list[dict[str, Any]]:
    """Rows of the table of checks.

    Parameters
    ----------
    verdict : Verdict
        Of one tube.

    Returns
    -------
    list of dict
        Columns by name.
    """
    names = list(verdict.table.columns)
    columns = [verdict.table[name].tolist() for name in names]
    return [dict(zip(names, row, strict=True)) for row in zip(*columns, strict=True)]


def mark(told: Told) -> tuple[str, bool]:
    """Word over the headline and whether it is good news.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    tuple of str and bool
        Sign and word.
    """
    ok = told.judged.passes(told.shown)
    if joined := joint_words.mark(told.joints, told.judged, told.shown):
        return joined
    if ok is None:
        return "Side by side", True
    return ("✓ Passes", True) if ok else ("✗ Does not pass", False)


def headline(told: Told, system: str) -> str:
    """Verdict in a sentence or two.

    Parameters
    ----------
    told : Told
        The job.
    system : str
        Display system.

    Returns
    -------
    str
    """
    n, count = told.shown, len(told.judged)
    tube = f"{told.label(n)}, {told.size(n, system)}"
    if not told.judged.need.cases:
        few = "One tube" if count == 1 else f"{count} tubes side by side"
        return f"{few}; no load is stated, so none is judged."
    v = told.verdict(n)
    row = governing(v)
    if v.passes:
        does = f"{tube}, does what is asked at {told.mass(n, system)}."
        if joint := joint_words.verdict(told.joints, told.judged, n):
            return f"{does} {joint}"
        if not row:
            return f"{does} Nothing that is asked comes near its limit."
        what = str(row["label"])
        return f"{does} {what[0].upper()}{what[1:]} governs, with a reserve of {number(least(v))}."
    reason = f": {_short_of(row, least(v))}" if row else ""
    if told.judged.best >= 0:
        return f"{tube}, was chosen but does not do what is asked{reason}."
    if count == 1:
        return f"{tube}, does not do what is asked{reason}."
    return f"None of these {count} tubes does what is asked. Nearest is {_low(tube)}{reason}."


def _short_of(row: dict[str, Any], reserve: float) -> str:
    """What is missing, in a clause."""
    if row["check"] == "service":
        return "what it has to put up with rules it out"
    return f"{row['label']} reaches {number(reserve)} of what is asked"


def _low(text: str) -> str:
    """Small first letter, unless the word is an abbreviation or a number."""
    return text[:1].lower() + text[1:] if text[1:2].islower() else text


def lead(told: Told, system: str) -> str:
    """Reason of the verdict and the weight against the metals on the page.

    Parameters
    ----------
    told : Told
        The job.
    system : str
        Display system.

    Returns
    -------
    str
        "" where nothing is judged.
    """
    joint = joint_words.reason(told.joints, told.judged, told.shown, system)
    if not told.judged.need.cases:
        return joint
    row = governing(told.verdict(told.shown, system))
    case = f"{row['case']}: " if row and row["case"] and len(told.judged.need.cases) > 1 else ""
    why = sentence(f"{case}{row['why']}") if row else ""
    return " ".join(p for p in (joint, why, _against_metals(told)) if p)


def _against_metals(told: Told) -> str:
    """Weight against the lightest passing tube of each metal on the page."""
    j, n = told.judged, told.shown
    if not j.passes(n):
        return ""
    lightest: dict[str, float] = {}
    for k, tube in enumerate(j.tubes):
        c = tube.construction
        if c.metal and k != n and j.passes(k) and c.key != j.tubes[n].construction.key:
            lightest[c.name] = min(float(j.mass[k]), lightest.get(c.name, math.inf))
    shares = sorted((m, name) for name, m in lightest.items())[:3]
    words = [f"{100 * float(j.mass[n]) / m:.0f} % of the {name} tube" for m, name in shares]
    return f"It weighs {joined(words)}." if words else ""


def chart_message(told: Told) -> str:
    """What the chart says, as its heading.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    str
    """
    j = told.judged
    count = len(j)
    if not j.need.cases:
        return "Weight over diameter"
    passing = [n for n in range(count) if j.passes(n)]
    if count == 1:
        return "Where the tube lies among all sizes"
    if not passing:
        return f"None of the {count} tubes passes"
    some = f"{len(passing)} of {count}" if len(passing) < count else f"All {count}"
    head = f"{some} tubes pass"
    if len(passing) == 1:
        head = f"One of {count} tubes passes"
    if told.shown not in passing:
        return head
    lightest = min(passing, key=lambda n: float(j.mass[n]))
    if len(passing) > 1 and lightest == told.shown:
        return f"{head}; number 1 is the lightest of them"
    return f"{head}; number 1 is recommended" if len(passing) > 1 else f"{head}: number 1"


__all__ = ["Told", "chart_message", "governing", "headline", "lead", "least", "mark", "records"]
