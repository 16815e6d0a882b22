"""What a customer page says: verdict, reasons, remedies, checks, sources; plain text."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Any

from tubecalc.checks import CHECKS, evaluate
from tubecalc.checks.base import FAIL
from tubecalc.compare import Judged, judge, size_words
from tubecalc.compare_words import differences
from tubecalc.explain import LIMIT_OF, assumptions, relax
from tubecalc.job import Job
from tubecalc.joining.job_joints import JointRow, joint_rows
from tubecalc.materials import materials
from tubecalc.need import Need
from tubecalc.share import joint_words
from tubecalc.share.bars import Reserve, number
from tubecalc.share.job_chart import least, ranked
from tubecalc.share.need_words import joined, sentence
from tubecalc.share.page_text import SYSTEMS
from tubecalc.tube import Tube
from tubecalc.unit_display import show
from tubecalc.verdict import STANDING_CAUTION, Verdict, remedies


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
    rows = _records(verdict)
    mine = [r for r in rows if r["check"] == verdict.governing and not r["advisory"]]
    return min(mine, key=lambda r: float(r["reserve"]), default={})


def _records(verdict: Verdict) -> list[dict[str, Any]]:
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
    joint = joint_words.reason(told.joints, told.judged, told.shown)
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


def reserves(told: Told) -> list[Reserve]:
    """Reserves of the tube the page tells of, worst first; what nothing drives is left out.

    Parameters
    ----------
    told : Told
        A job with a case.

    Returns
    -------
    list of Reserve
    """
    v = told.verdict(told.shown)
    out: dict[str, Reserve] = {}
    for row in sorted(_records(v), key=lambda r: float(r["reserve"])):
        value = float(row["reserve"])
        if math.isfinite(value) and row["check"] not in out:
            out[row["check"]] = Reserve(
                CHECKS[row["check"]].label, value, row["check"] == v.governing,
                bool(row["advisory"]), str(row["grade"]),
            )  # fmt: skip
    joints = joint_words.bars(told.joints, told.judged, told.shown)
    if any(j.governing for j in joints):
        out = {k: replace(r, governing=False) for k, r in out.items()}
    every = [*out.values(), *joints]
    return sorted(every, key=lambda r: (not r.governing, r.advisory, r.value))


def cautions(told: Told, system: str) -> list[str]:
    """Cautions of the tube the page tells of, without the standing one of the foot.

    Parameters
    ----------
    told : Told
        The job.
    system : str
        Display system.

    Returns
    -------
    list of str
    """
    joints = joint_words.cautions(told.joints, told.judged, told.shown)
    if not told.judged.need.cases:
        return joints
    found = told.verdict(told.shown, system).cautions
    return joints + [sentence(c) for c in found if c != STANDING_CAUTION]


def assumed(told: Told, system: str) -> list[str]:
    """Assumptions the result stands on, own remarks on the candidates included.

    Parameters
    ----------
    told : Told
        The job.
    system : str
        Display system.

    Returns
    -------
    list of str
    """
    return assumptions(told.judged.need, system) if told.judged.need.cases else []


def helps(told: Told, system: str) -> list[str]:
    """What would make the nearest tube pass; empty where it passes.

    Parameters
    ----------
    told : Told
        The job.
    system : str
        Display system.

    Returns
    -------
    list of str
        Sentences.
    """
    j, n = told.judged, told.shown
    if j.passes(n) is not False:
        return []
    return [sentence(x) for x in (*_sizes(j.tubes[n], j.need, system),
                                  *_relaxed(j.tubes[n], j.need, system))]  # fmt: skip


@lru_cache(maxsize=64)
def _sizes(tube: Tube, need: Need, system: str) -> list[str]:
    return remedies(tube, need, system=system)


def _relaxed(tube: Tube, need: Need, system: str) -> Iterator[str]:
    """What has to give, in one clause: all of it together."""
    failing = [o for o in evaluate(tube.candidates, need) if not o.advisory and o.reserve[0] < FAIL]
    failing.sort(key=lambda o: float(o.reserve[0]))
    steps: dict[tuple[str, str], str] = {}
    for o in failing:
        named = o.check in LIMIT_OF or o.check in ("service", "temperature", "whirl")
        key = (o.check, "") if named else ("load", o.case)
        steps.setdefault(key, relax(o, 0, need, system))
    if steps:
        yield f"or keep the tube and {joined(list(steps.values()))}"


def beside(told: Told, n: int, system: str) -> list[str]:
    """One of the other tubes against the one the page tells of.

    Parameters
    ----------
    told : Told
        The job.
    n : int
        Which tube.
    system : str
        Display system.

    Returns
    -------
    list of str
        Whether it passes and why, weight, bending.
    """
    out = []
    if told.judged.need.cases:
        v = told.verdict(n, system)
        row = governing(v)
        if v.passes:
            out.append(f"Passes; {row['label']} governs, {number(least(v))}." if row else "Passes.")
        else:
            out.append(f"Fails: {row['why']}." if row else "Fails.")
    out += [told.joint(n)] if told.joint(n) else []
    return out + differences(told.every[system], n, told.shown)[:2]


def checks(told: Told, system: str) -> list[tuple[str, ...]]:
    """Every check of the tube the page tells of, least reserve first.

    Parameters
    ----------
    told : Told
        A job with a case.
    system : str
        Display system.

    Returns
    -------
    list of tuple of str
        Way to fail, case, reserve, grade, expected error, reason.
    """
    rows = _records(told.verdict(told.shown, system))
    own = [r["reserve"] for r in _records(told.verdict(told.shown))]
    out: list[tuple[str, ...]] = joint_words.checks(told.joints, told.shown)
    for at in sorted(range(len(rows)), key=lambda k: float(own[k])):
        row = rows[at]
        if not math.isfinite(float(row["reserve"])):
            continue
        label = f"{row['label']}{' (advice)' if row['advisory'] else ''}"
        why = f"{row['why']}; {row['theory']}" if row["theory"] else str(row["why"])
        grade = "–" if row["range"] else str(row["grade"])
        error = "not known out here" if row["range"] else str(row["error"])
        out.append((label, str(row["case"]), number(float(row["reserve"])), grade, error,
                    sentence(why)))  # fmt: skip
    return out


def bases(told: Told) -> list[tuple[str, str]]:
    """What each check used rests on.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    list of (check, basis)
    """
    if not told.judged.need.cases:
        return []
    table = told.verdict(told.shown).table
    used = dict.fromkeys(table["check"][[math.isfinite(r) for r in table["reserve"]]])
    return [(CHECKS[c].label, sentence(CHECKS[c].basis)) for c in used]


@lru_cache(maxsize=1)
def _published() -> dict[str, tuple[str, str]]:
    """Name of every material that comes with tubecalc and where its values are from."""
    table = materials()
    out: dict[str, tuple[str, str]] = {}
    for key, name, source in zip(*(table[c].tolist() for c in ("key", "name", "source")),
                                 strict=True):  # fmt: skip
        found = out.get(key, (name, ""))[1]
        if source and source not in found.split("; "):
            found = f"{found}; {source}" if found else source
        out[key] = (name, found)
    return out


def origins(told: Told) -> list[tuple[str, str]]:
    """Where the values of the materials and the rules of the walls come from.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    list of (name, source)
    """
    out: dict[str, str] = {}
    for tube in told.judged.tubes:
        for ply in tube.layup.layers:
            if ply.key in _published():
                name, source = _published()[ply.key]
                out.setdefault(name, source)
            else:
                out.setdefault(ply.values.name or "own material", "as given with the job")
    for tube in told.judged.tubes:
        c = tube.construction
        said = dict.fromkeys(str(e.get("source", "")) for e in c.evidence)
        source = "; ".join(s for s in said if s) or "as given with the job"
        out.setdefault(f"{c.name}: rules and sizes", source)
    return [(name, sentence(source)) for name, source in out.items()]


__all__ = [
    "Told", "assumed", "bases", "beside", "cautions", "chart_message", "checks", "governing",
    "headline", "helps", "lead", "least", "mark", "origins", "reserves",
]  # fmt: skip
