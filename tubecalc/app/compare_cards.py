"""The tubes that are compared, as rows of fields; made once, then only their values move."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from tubecalc.app.bits import box, mark, put
from tubecalc.app.compare_state import MOST, CompareResult, CompareSession
from tubecalc.app.customer import LINE
from tubecalc.app.grammar import Field
from tubecalc.app.sentence import FieldBox
from tubecalc.app.state import guard
from tubecalc.app.styles import style_for
from tubecalc.app.text import swatch_html
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.laminate.construction import composites, metals
from tubecalc.unit_display import show
from tubecalc.unit_words import worded
from tubecalc.units import to_si

LARGEST = 2.0  # outside diameter that is taken [m]
_SIZES = {"od": "outside", "id": "bore", "wall": "wall"}
_WORDS = {"label": ("called", "its name for the customer"), "note": ("note", "one remark")}


def sized(candidate: Candidate, part: str, value: float, job: Job) -> Candidate:
    """Candidate with one size changed: a new wall or outside keeps whole plies.

    Parameters
    ----------
    candidate : Candidate
        The candidate.
    part : str
        "od" (the wall stays), "id" (the outside stays, as measured) or "wall" (the outside stays).
    value : float
        The size [m].
    job : Job
        For its own walls.

    Returns
    -------
    Candidate

    Raises
    ------
    InputError
        If the sizes do not go together.
    """
    if not 0 <= value <= LARGEST:
        raise InputError("is out of range", where=_SIZES[part],
                         got=worded("{}", "length", value, digits=6),
                         expected=worded("up to {}", "length", LARGEST))  # fmt: skip
    if part == "id":
        return replace(candidate, id=value)
    od = value if part == "od" else candidate.od
    wall = candidate.wall_thickness if part == "od" else value
    if wall <= 0:
        raise InputError("is not a wall", where="wall")
    made = wall if part == "od" else job.construction(candidate.wall).wall_of(wall)
    bore = round(od - 2 * made, 9)
    if bore < -1e-9:
        raise InputError(
            "the wall is thicker than the radius", where=_SIZES[part],
            got=worded("wall {} on {}", "length", made, od),
        )  # fmt: skip
    return replace(candidate, od=od, id=max(bore, 0.0))


def made_of(candidate: Candidate, key: str, job: Job) -> Candidate:
    """Candidate of another construction, outside and wall as near as whole plies allow.

    Parameters
    ----------
    candidate : Candidate
        The candidate.
    key : str
        Construction, metal or own wall.
    job : Job
        For its own walls.

    Returns
    -------
    Candidate
    """
    wall = job.construction(key).wall_of(candidate.wall_thickness)
    bore = max(0.0, round(candidate.od - 2 * wall, 9))
    return Candidate(key, candidate.od, bore)


def _named(candidate: Candidate, part: str, words: str) -> Candidate:
    if len(words) > LINE:
        raise InputError(
            "is too long", where=_WORDS[part][0], got=f"{len(words)} characters",
            expected=f"at most {LINE}",
        )  # fmt: skip
    if part == "label":
        return replace(candidate, label=words)
    return replace(candidate, note=words)


class Card:
    """Row of one candidate.

    Parameters
    ----------
    session : CompareSession
        State of the page.
    n : int
        Which candidate.
    """

    def __init__(self, session: CompareSession, n: int) -> None:
        self.session, self.n, self._pushing = session, n, False
        self.tag = widgets.HTML()
        self.tag.add_class("tc-tag")
        self.kind = widgets.Dropdown(options=kinds_of(session.choice.job), description="made of")
        self.kind.observe(guard(session, self._kind_changed), names="value")
        self.sizes = {
            part: FieldBox(Field(f"{n}.{part}", label, "length"), self._typed(part), grows=False)
            for part, label in _SIZES.items()
        }
        self.price = FieldBox(
            Field(f"{n}.price", "price per metre", "number"), self._typed("price"), grows=False
        )
        self.words = {
            part: FieldBox(Field(f"{n}.{part}", label, "words", blank), self._typed(part),
                           grows=False)
            for part, (label, blank) in _WORDS.items()
        }  # fmt: skip
        self.best = widgets.ToggleButton(
            description="recommend", tooltip="recommend this one; none for the lightest that passes"
        )
        self.best.observe(guard(session, self._recommended), names="value")
        self.drop = widgets.Button(description="remove", tooltip="take this tube away")
        self.drop.on_click(guard(session, lambda _: session.drop(n)))
        fields = [*self.sizes.values(), self.price, *self.words.values()]
        self.box = box(
            [self.tag, self.kind, *(f.box for f in fields), self.best, self.drop], "tc-cand"
        )

    def _kind_changed(self, change: Any) -> None:
        if not self._pushing and change["new"]:
            job = self.session.choice.job
            old = self.session.choice.shown[self.n]
            self.session.put(self.n, replace(made_of(old, change["new"], job), price=math.nan))

    def _recommended(self, change: Any) -> None:
        if not self._pushing:
            self.session.change_job(chosen=self.n if change["new"] else -1)

    def _typed(self, part: str) -> Callable[[str], None]:
        def typed(text: str) -> None:
            path = f"{self.n}.{part}"
            try:
                new = self._changed(part, text)
            except InputError as error:
                self.session.mistake(path, error.said(self.session.choice.job.units))
                return
            self.session.mistake(path, "")
            if new == self.session.choice.shown[self.n]:
                self.show()
            else:
                self.session.put(self.n, new)

        return guard(self.session, typed)

    def _changed(self, part: str, text: str) -> Candidate:
        old = self.session.choice.shown[self.n]
        if part == "price":
            price = to_si(text, "number", what="price") if text.strip() else math.nan
            return replace(old, price=price)
        if part in _WORDS:
            return _named(old, part, text.strip())
        value = to_si(text, "length", what=_SIZES[part], positive=part != "id")
        return sized(old, part, value, self.session.choice.job)

    def show(self) -> None:
        """Show the candidate as it stands; what was typed wrong stays as it was typed."""
        choice = self.session.choice
        here = self.n < len(choice.shown)
        mark(self.box, "tc-gone", not here)
        if not here:
            return
        candidate, units = choice.shown[self.n], choice.job.units
        construction = choice.job.construction(candidate.wall)
        own = candidate.wall in choice.job.constructions
        self._push_kind(candidate.wall if own else construction.key, construction.name)
        st = style_for(construction, self.n)
        tag = f"{self.n + 1}{swatch_html(st)}"
        if self.tag.value != tag:
            self.tag.value = tag
        values = {"od": candidate.od, "id": candidate.id, "wall": candidate.wall_thickness}
        for part, field in self.sizes.items():
            wrong = self.session.mistakes.get(f"{self.n}.{part}", "")
            if not wrong:
                field.push(show(values[part], "length", units))
            field.say(wrong)
        others = {"price": "" if math.isnan(candidate.price) else f"{candidate.price:g}",
                  "label": candidate.label, "note": candidate.note}  # fmt: skip
        for part, field in {"price": self.price, **self.words}.items():
            wrong = self.session.mistakes.get(f"{self.n}.{part}", "")
            if not wrong:
                field.push(others[part])
            field.say(wrong)
        self._push_best(choice.job.chosen == self.n)

    def _push_best(self, chosen: bool) -> None:
        self._pushing = True
        try:
            self.best.value = chosen
            self.best.description = "recommended" if chosen else "recommend"
        finally:
            self._pushing = False

    def _push_kind(self, key: str, name: str) -> None:
        """Put the menu on a construction without telling of it; one not listed is added."""
        kinds = kinds_of(self.session.choice.job)
        if key not in [k for _, k in kinds]:
            kinds = (*kinds, (name, key))
        self._pushing = True
        try:
            if tuple(self.kind.options) != kinds:
                self.kind.options = kinds
            self.kind.value = key
        finally:
            self._pushing = False


def kinds_of(job: Job) -> tuple[tuple[str, str], ...]:
    """What a tube may be made of, the job's own walls first.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    tuple of (str, str)
        Name and key.

    Examples
    --------
    >>> kinds_of(Job())[0]
    ('pultruded', 'pultruded')
    """
    every = {**job.constructions, **composites(), **metals()}
    return tuple((c.name, k) for k, c in every.items())


class Cards:
    """All rows of candidates.

    Parameters
    ----------
    session : CompareSession
        State of the page.
    """

    def __init__(self, session: CompareSession) -> None:
        self.cards = [Card(session, n) for n in range(MOST)]
        self.box = box([c.box for c in self.cards], "tc-cands")
        self.show()

    def show(self) -> None:
        """Show every candidate."""
        for card in self.cards:
            card.show()


class Equals:
    """The equivalents in words, each with a button that puts the tube beside the others.

    Parameters
    ----------
    session : CompareSession
        State of the page.
    words : callable
        Result and number of a candidate -> HTML of its equivalent.
    """

    def __init__(self, session: CompareSession, words: Callable[[CompareResult, int], str]) -> None:
        self.session, self._words = session, words
        self.rows: list[tuple[widgets.HTML, widgets.Button, widgets.Box]] = []
        for n in range(MOST):
            text, button = widgets.HTML(), widgets.Button(description="put it beside the others")
            button.on_click(guard(session, self._adding(n)))
            row = box([text, button], "tc-eqrow")
            self.rows.append((text, button, row))
        self.box = box([row for *_, row in self.rows], "tc-eqs")

    def _adding(self, n: int) -> Callable[[Any], None]:
        def add(_: Any) -> None:
            result = self.session.result
            found = result.equals[n] if result is not None and n < len(result.equals) else None
            if found is None or found.tube is None:
                return
            s = found.tube.sections
            od, bore = (round(2 * float(r[0]), 9) for r in (s.ro, s.ri))
            self.session.add(Candidate(result.choice.shown[n].wall, od, bore))

        return add

    def show(self, result: CompareResult) -> None:
        """Show the equivalents of a result."""
        for n, (text, button, row) in enumerate(self.rows):
            html = self._words(result, n) if n < len(result.equals) else ""
            mark(row, "tc-gone", not html)
            put(text, html)
            found = result.equals[n] if n < len(result.equals) else None
            button.layout.display = "" if found is not None and found.tube is not None else "none"


__all__ = ["Card", "Cards", "Equals", "kinds_of", "made_of", "sized"]
