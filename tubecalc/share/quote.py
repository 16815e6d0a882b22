"""A paragraph for a quote: which tube, what it does, what limits it, what to mind."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from tubecalc.checks.base import case_name
from tubecalc.checks.measured import shares_said
from tubecalc.compare import judge
from tubecalc.errors import InputError, unknown_key
from tubecalc.job import Job
from tubecalc.joining.joint_verdict import of_tube
from tubecalc.need import Need
from tubecalc.share import joint_words
from tubecalc.share.bars import number
from tubecalc.share.job_chart import least
from tubecalc.share.need_words import case_words, joined, limits_words, sentence
from tubecalc.share.offer import offered
from tubecalc.share.page_reasons import cautions, helps
from tubecalc.share.page_text import SYSTEMS
from tubecalc.share.page_verdict import Told, governing
from tubecalc.share.sheet_cells import held
from tubecalc.unit_display import show

MOST = 120  # words
_LABEL = 60  # letters of a name that somebody gave
_CAUTION, _FEW = 30, 4  # words of what to mind, at most and at least
_TRUST = {
    "A": "by a proven formula",
    "B": "an engineering estimate",
    "C": "a rule of thumb of the trade",
    "": "for orientation only, as it lies outside what has been shown to hold",
}
_PROVE = (
    "prove it with a bench test, and where people can be hurt have a licensed engineer check it."
)
_STAND = f"Calculated, not tested: {_PROVE}"
_OWN = f"Calculated, with what bench tests of such tubes left counted: {_PROVE}"
_PLAIN = ("The matrix of", "The tip mass", "The coupling mass")  # bookkeeping, nothing to mind


@dataclass(frozen=True)
class _Part:
    """A sentence, and what becomes of it when the words run out: (how early, shorter text)."""

    text: str
    then: tuple[tuple[int, str], ...] = ()


def quote_text(job: Job, *, system: str | None = None) -> str:
    """Paragraph for a quote, in plain words with the numbers in it.

    Parameters
    ----------
    job : Job
        With candidates, or a need to choose the best for.
    system : str, optional
        Display system: "SI", "workshop" or "inch"; the job's own when not given.

    Returns
    -------
    str
        One paragraph of at most about 120 words: the tube, what it does under which need, what
        governs with its reserve and how far that is to be trusted, weight, heat, what to mind most,
        and the reservation.

    Raises
    ------
    InputError
        For an unknown system, if there is nothing to offer, or for what the core refuses of a
        candidate.

    Examples
    --------
    >>> from tubecalc.job import Candidate
    >>> job = Job(candidates=(Candidate("6063-T6", 0.02, 0.017),))
    >>> quote_text(job)[:75]
    '6063-T6 aluminium, 20 mm outside and 17 mm bore, weighs 234.5 g per metre. '
    """
    if not isinstance(job, Job):
        raise InputError("is not a Job", where="quote", got=type(job).__name__)
    if system is not None and system not in SYSTEMS:
        raise unknown_key("units", system, SYSTEMS, "quote")
    whole = offered(replace(job, units=system or job.units))
    told = Told(whole, {whole.units: judge(whole)})
    if not whole.need.cases:
        parts = [*_unjudged(told)]
    elif told.judged.passes(told.shown):
        parts = [*_passing(told)]
    else:
        parts = [*_failing(told)]
    return _fitted(parts)


def _fitted(parts: list[_Part]) -> str:
    """As many words as there may be; the least needed give way first."""
    while len(_text(parts).split(" ")) > MOST:
        early = max((p.then[0][0] for p in parts if p.then), default=0)
        if not early:
            break
        parts = [
            _Part(p.then[0][1], p.then[1:]) if p.then and p.then[0][0] == early else p
            for p in parts
        ]
    return _text(parts)


def _text(parts: list[_Part]) -> str:
    return " ".join(p.text for p in parts if p.text)


# ---- what there is to say -----------------------------------------------------------------
def _passing(told: Told) -> Iterator[_Part]:
    n, need, system = told.shown, told.job.need, told.job.units
    row = governing(told.verdict(n))
    yield _Part(f"{_for(need)}{_tube(told, n)}, does what is asked.")
    yield from _asked(need, row, system)
    if not row:
        yield _Part("Nothing that is asked comes near its limit.")
    else:
        yield from _governs(row, least(told.verdict(n)), "What limits it first")
    yield from _joint(told, n)
    own, one, two = (f"It weighs {_weight(told, n)}{_against(told, k)}." for k in range(3))
    yield _Part(two, ((5, one), (1, own)))
    yield _Part(_heat(told, n), ((2, ""),))
    yield _mind(told)
    yield _stand(told, n)


def _stand(told: Told, n: int) -> _Part:
    """What the figures rest on."""
    own = shares_said(told.job.need, told.judged.tubes[n].construction.key)
    return _Part(_OWN if own else _STAND)


def _joint(told: Told, n: int) -> Iterator[_Part]:
    """The joint that governs or fails, else that the joints hold."""
    said = joint_words.verdict(told.joints, told.judged, n) or told.joint(n)
    if said:
        yield _Part(held(said, 160))


def _failing(told: Told) -> Iterator[_Part]:
    n, need, system = told.shown, told.job.need, told.job.units
    count = len(told.judged)
    row = governing(told.verdict(n))
    tube = _tube(told, n)
    if told.judged.best >= 0:
        yield _Part(f"{_for(need)}{tube}, was chosen but does not do what is asked.")
    elif count == 1:
        yield _Part(f"{_for(need)}{tube}, does not do what is asked.")
    else:
        first = f"{_for(need)}None of the {count} tubes does what is asked; nearest comes"
        yield _Part(f"{first} {_low(told, n)}.")
    yield from _asked(need, row, system)
    if row:
        yield from _governs(row, least(told.verdict(n)), "It falls short in one thing")
    passing = [k for k in told.order if told.judged.passes(k)]
    if passing:
        other = passing[0]
        yield _Part(f"{_tube(told, other)}, would do, at {_weight(told, other)}.", ((1, ""),))
    else:
        yield _Part(" ".join(helps(told, system)[:1]), ((2, ""),))
        yield _mind(told)
    yield _stand(told, n)


def _unjudged(told: Told) -> Iterator[_Part]:
    order = told.order
    for k, n in enumerate(order[:3]):
        yield _Part(f"{_tube(told, n)}, weighs {_weight(told, n)}.", ((k, ""),) * (k > 0))
    if len(order) > 3:
        yield _Part(
            f"There {'is 1' if len(order) == 4 else f'are {len(order) - 3}'} more.", ((4, ""),)
        )
    yield _Part("No load is stated, so nothing is said of what it carries."
                if len(order) == 1 else
                "No load is stated, so nothing is said of what they carry.")  # fmt: skip
    yield _Part(_heat(told, order[0]) if len(order) == 1 else "", ((3, ""),))
    yield _Part(_STAND)


# ---- clauses ------------------------------------------------------------------------------
def _for(need: Need) -> str:
    title = _name(need.title)
    return f"{title}: " if title else ""


def _name(text: str) -> str:
    """A name that somebody gave, no longer than one says it."""
    return " ".join(held(text, _LABEL).split()[:8])


def _tube(told: Told, n: int) -> str:
    """Name, what it is made as, and its size as one says it; with a capital letter."""
    text = _low(told, n)
    return text[:1].upper() + text[1:]


def _low(told: Told, n: int) -> str:
    system, s = told.job.units, told.judged.tubes[n].sections
    made = _name(told.judged.tubes[n].construction.name)
    given = _name(told.job.candidates[n].label)
    name = f"{given} ({made})" if given and given != made else made
    od, bore = (show(2 * float(r[0]), "length", system) for r in (s.ro, s.ri))
    size = f"{od} outside and {bore} bore" if float(s.ri[0]) > 1e-9 else f"a rod of {od}"
    return f"{name}, {size}"


def _weight(told: Told, n: int) -> str:
    text = told.mass(n, told.job.units)
    return text.replace("/m", " per metre").replace("/ft", " per foot")


def _asked(need: Need, row: dict[str, Any], system: str) -> Iterator[_Part]:
    """What it must do: the only case, or the one that governs and the names of the others."""
    own = need.cases[0]
    for k, case in enumerate(need.cases, 1):
        if row and case_name(case, k) == row["case"]:
            own = case
    count = len(need.cases)
    first = "It must" if count == 1 else f"Of {count} cases the hardest is this: it must"
    if not row or (count > 1 and not row["case"]):
        first = "It must" if count == 1 else f"Of {count} cases the first is this: it must"
    yield _Part(f"{first} {case_words(own, system)}{_factor(need)}.")
    yield _Part(sentence(limits_words(need.limits, system)), ((7, ""),))


def _factor(need: Need) -> str:
    """Factors on the load as a clause."""
    f = need.factors
    if f.strength == f.buckling:
        return f", every load counted {_times(f.strength)}" if f.strength != 1 else ""
    return (
        f", loads counted {_times(f.strength)} for strength and {_times(f.buckling)} for buckling"
    )


def _times(factor: float) -> str:
    return "twice" if factor == 2 else f"{factor:g} times"


def _governs(row: dict[str, Any], reserve: float, first: str) -> Iterator[_Part]:
    if row["check"] == "service":
        yield _Part(f"It is ruled out: {held(str(row['why']), 200)}.")
        return
    trust = _TRUST.get("" if row["range"] else str(row["grade"]), _TRUST[""])
    yield _Part(
        f"{first}: {row['label']}, with a reserve of {number(reserve)} (1 just passes), {trust}."
    )
    yield _Part(sentence(held(str(row["why"]), 240)), ((8, ""),))


def _against(told: Told, most: int) -> str:
    """Weight against the lightest passing tube of each metal in the job, so many at most."""
    j, n = told.judged, told.shown
    own = j.tubes[n].construction.key
    lightest: dict[str, float] = {}
    for k, tube in enumerate(j.tubes):
        c = tube.construction
        if c.metal and c.key != own and j.passes(k):
            lightest[c.name] = min(float(j.mass[k]), lightest.get(c.name, math.inf))
    found = sorted((mass, name) for name, mass in lightest.items())[:most]
    words = [f"{_change(float(j.mass[n]) / m)} the {_name(name)} tube" for m, name in found]
    return f", {joined(words)}" if words else ""


def _change(ratio: float) -> str:
    percent = round(100 * abs(ratio - 1))
    if not percent:
        return "as heavy as"
    if ratio > 2:
        return f"{ratio:.1f} times as heavy as"
    return f"{percent} % {'lighter' if ratio < 1 else 'heavier'} than"


def _heat(told: Told, n: int) -> str:
    """Highest temperature: of the check where there is one, else of the construction."""
    limit = told.judged.tubes[n].construction.t_max
    if told.job.need.cases:
        table = told.verdict(n).table
        hot = table[table["check"] == "temperature"]["capacity"].tolist()
        limit = float(hot[0]) if hot and math.isfinite(hot[0]) else limit
    if not math.isfinite(limit):
        return ""
    said = f"It is good to {show(limit, 'temperature', told.job.units)}"
    glue = min((r.warmest for r in of_tube(told.joints, n) if r.warmest < limit), default=math.nan)
    if math.isfinite(glue):
        said += f", its bonded joint to {show(glue, 'temperature', told.job.units)}"
    return f"{said}."


def _mind(told: Told) -> _Part:
    """The first caution that is one; bookkeeping is left out."""
    for caution in cautions(told, told.job.units):
        if not caution.startswith(_PLAIN):
            text = held(caution, 240)
            text = f"{text[:1].lower() if text[1:2].islower() else text[:1]}{text[1:]}"
            full, brief = (_short(text, words) for words in (_CAUTION, _CAUTION // 2))
            return _Part(full, ((6, brief), (3, "")) if brief else ((3, ""),))
    return _Part("")


def _short(text: str, most: int) -> str:
    """As many whole clauses as the words allow, "" where too little would be left."""
    for mark in (". ", "; ", ": ", ", "):
        while len(text.split(" ")) > most and mark in text:
            text = text.rpartition(mark)[0]
    words = len(text.split(" "))
    return f"To mind most – {text.rstrip('.')}." if _FEW <= words <= most else ""


__all__ = ["MOST", "quote_text"]
