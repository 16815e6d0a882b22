"""Page `compare`: two to six tubes side by side."""

from __future__ import annotations

import math
import os
from dataclasses import replace
from html import escape
from typing import Any

import ipywidgets as widgets

from tubecalc.app import text, view_compare
from tubecalc.app.bits import box, framed, html, mark, put
from tubecalc.app.compare_adds import Adds
from tubecalc.app.compare_cards import Cards, Equals
from tubecalc.app.compare_look import CSS
from tubecalc.app.compare_state import (
    CompareChoice,
    CompareSession,
    choice_of,
    job_of,
    span_from,
)
from tubecalc.app.grammar import Field
from tubecalc.app.handout import Handout
from tubecalc.app.jobs import Keeper
from tubecalc.app.link import too_long, write_job
from tubecalc.app.opening_compare import FIRST, first_job, known, start_choice
from tubecalc.app.outgoing import tubes_words
from tubecalc.app.sentence import FieldBox
from tubecalc.app.state import SYSTEMS, guard
from tubecalc.app.styles import style_of
from tubecalc.compare_equal import KEEP, SAME
from tubecalc.compare_loads import KINDS
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.laminate.construction import composites, metals
from tubecalc.share.palette import css
from tubecalc.share.scene import svg
from tubecalc.unit_display import in_unit, show
from tubecalc.units import to_si

_OLD = "Mend the marked field first: nothing goes out from an old result."
_GREY = "Mend the marked field to go on; greyed is the last good result."
_SLIDER = (0.1, 3.0)  # span [m]


class Page:
    """Widgets of the page and how they follow the session.

    Parameters
    ----------
    session : CompareSession
        State of the page.
    query : str
        Query string the page was opened with.
    """

    def __init__(self, session: CompareSession, query: str = "") -> None:
        self.session, self._pushing = session, False
        self.keeper = Keeper("compare", lambda: job_of(session.choice), self._take, query, session)
        self.cards, self.adds = Cards(session), Adds(session)
        self.handout = Handout(
            self._going, self._says_going, lambda: session.choice.job, self._keep
        )
        self._make_bar()
        self._make_sentence()
        self._make_chart()
        self._make_side()
        self._make_box()
        session.observe(self._safe(self._choice_changed), names=["choice", "problems"])
        session.observe(self._safe(self._result_changed), names="result")
        session.observe(self._safe(self._status_changed), names="status")
        self._choice_changed(None)
        self._result_changed(None)

    def _safe(self, call: Any) -> Any:
        return guard(self.session, call)

    # ---- making
    def _make_bar(self) -> None:
        self.head = widgets.HTML()
        self.units = widgets.Dropdown(
            options=[(name, key) for key, name in SYSTEMS.items()], description="units"
        )
        self.units.observe(self._safe(self._units_changed), names="value")
        self.status = html("tc-status")
        self.bar = box([*self.keeper.parts, self.units, self.status], "tc-row", "tc-jobbar")

    def _make_sentence(self) -> None:
        self.span = FieldBox(Field("span", "span", "length"), self._safe(self._span_typed))
        self.against = widgets.Dropdown(options=[("", 0)], description="against")
        self.weight = widgets.Dropdown(
            options=[("as they are", False), ("weight for weight", True)], description="figures"
        )
        self.against.observe(self._safe(self._against_changed), names="value")
        self.weight.observe(self._safe(self._weight_changed), names="value")
        parts: list[Any] = [widgets.HTML("Side by side over "), self.span.box]
        for words, menu in ((", against ", self.against), (", figures ", self.weight)):
            field = box([menu, widgets.HTML()], "tc-field")
            parts += [widgets.HTML(words), field]
        self.sentence = box([*parts, widgets.HTML(".")], "tc-sentence")
        self.slider = widgets.FloatSlider(
            value=1.0, min=_SLIDER[0], max=_SLIDER[1], step=0.01, readout=False,
            description="span, m",
            layout=widgets.Layout(width="100%", max_width="420px"),
        )  # fmt: skip
        self.slider.add_class("tc-menu")
        self.slider.observe(self._safe(self._slid), names="value")
        self.used = html("tc-used")

    def _make_chart(self) -> None:
        kinds = [(KINDS[k].label, k) for k in view_compare.TRAVELS]
        self.kinds = widgets.ToggleButtons(options=kinds, value=self.session.choice.kind)
        self.kinds.observe(self._safe(self._kind_changed), names="value")
        self.picture, self.walls = widgets.HTML(), widgets.HTML()
        self.walls.add_class("tc-walls")
        self.stack = box([self.picture], "tc-stack")
        title = widgets.HTML("<h2>Load over travel, to failure</h2>")
        walls = widgets.HTML("<h2>The walls, to one scale. Hatch: fibre direction, tube axis left "
                             "to right.</h2>")  # fmt: skip
        fine = widgets.HTML(
            "<details><summary>What these figures assume</summary>"
            f'<p class="tc-fine">{view_compare.ASSUMES}</p></details>'
        )
        self.left = box([title, box([self.kinds], "tc-kinds"), self.stack, fine, walls,
                          self.walls], "tc-cmpleft")  # fmt: skip

    def _make_side(self) -> None:
        self.words = html("tc-said")
        self.question = widgets.HTML()
        self.same = widgets.Dropdown(
            options=[(words, key) for key, words in SAME.items()], description="the same"
        )
        self.keep = widgets.Dropdown(
            options=[(words, key) for key, words in KEEP.items()], description="with"
        )
        for menu, part in ((self.same, "same"), (self.keep, "keep")):
            menu.add_class("tc-menu")
            menu.observe(self._safe(self._setting(part)), names="value")
        self.equals = Equals(self.session, view_compare.equal_html)
        equal = box([widgets.HTML("<h2>What would replace it?</h2>"), self.same, self.keep,
                      self.question, self.equals.box], "tc-equal")  # fmt: skip
        self.side = box([self.words, equal], "tc-cmpside")

    def _make_box(self) -> None:
        self.style = widgets.HTML()
        self.table, self.suits = html("tc-tabled"), html("tc-tabled")
        self.bus = widgets.Text(continuous_update=False)
        self.bus.add_class("tc-bus")
        self.bus.observe(self._safe(self._heard), names="value")
        main = box([self.left, self.side], "tc-side2")
        self.box = framed(
            [self.style, self.head],
            [self.bar, self.sentence, self.slider, self.cards.box, self.adds.box, self.used, main,
             self.handout.box, self.table, self.suits],
            [widgets.HTML(text.foot_html()), self.bus, self.keeper.hidden], "Compare tubes",
        )  # fmt: skip

    # ---- listening
    def _take(self, job: Job, _: str) -> list[str]:
        """Show another job; one without tubes keeps those on the page."""
        if not job.candidates:
            own = [c for c in self.session.choice.shown if known(job, c.wall)]
            job = replace(job, candidates=tuple(own or FIRST), chosen=-1)
        choice, refused = choice_of(job)
        self.session.mistakes = {}
        self.session.change(**{**choice.__dict__, "width": self.session.choice.width})
        self.handout.fresh()
        return refused

    def _keep(self, job: Job) -> None:
        """Take words for the customer, or how papers are written."""
        if job == self.session.choice.job:
            self._publish()
        else:
            self.session.change(job=job)

    def _publish(self) -> None:
        self.keeper.publish(hold=bool(self.session.mistakes or self.handout.refusal))

    def _going(self) -> Job:
        if self.session.stale or self.session.result is None:
            raise InputError(_OLD)
        return job_of(self.session.choice)

    def _says_going(self) -> str:
        stale = self.session.stale or self.session.result is None
        return _OLD if stale else tubes_words(self.session.choice.job)

    def _units_changed(self, change: Any) -> None:
        if not self._pushing:
            self.session.change_job(units=change["new"])

    def _span_typed(self, words: str) -> None:
        try:
            value = math.nan
            if words.strip():
                value = span_from(to_si(words, "length", what="span", positive=True))
        except InputError as error:
            self.session.mistake("span", error.said(self.session.choice.job.units))
            return
        self.session.mistake("span", "")
        self.session.change(span=value)

    def _slid(self, change: Any) -> None:
        if self._pushing:
            return
        unit = in_unit(1.0, "length", self.session.choice.job.units)
        value = float(change["new"])
        if abs(value - self.session.choice.length) <= 0.5001 * self.slider.step:
            return  # the browser snaps to its steps: not a wish
        self.session.mistake("span", "")
        self.session.change(span=round(value * unit, 3) / unit)

    def _against_changed(self, change: Any) -> None:
        if not self._pushing and change["new"] is not None:
            self.session.change(reference=int(change["new"]))

    def _weight_changed(self, change: Any) -> None:
        if not self._pushing:
            self.session.change(per_mass=bool(change["new"]))

    def _kind_changed(self, change: Any) -> None:
        if not self._pushing:
            self.session.change(kind=change["new"])

    def _setting(self, part: str) -> Any:
        def changed(change: Any) -> None:
            if not self._pushing:
                self.session.change(**{part: change["new"]})

        return changed

    def _heard(self, change: Any) -> None:
        parts = str(change["new"]).split("|")
        if len(parts) == 3 and parts[1] == "view" and parts[2].isdigit():
            self.session.change(width=min(2000, int(parts[2])))

    # ---- showing
    def _choice_changed(self, _: Any) -> None:
        choice, mistakes = self.session.choice, self.session.mistakes
        self._pushing = True
        try:
            self._push(choice)
        finally:
            self._pushing = False
        if "span" not in mistakes:
            self.span.push(show(choice.length, "length", choice.job.units))
        self.span.say(mistakes.get("span", ""))
        self.cards.show()
        self.adds.show()
        self._show_problems()
        self.handout.show()
        self._publish()

    def _push(self, choice: CompareChoice) -> None:
        """Put the choice into the menus without telling of it."""
        names = self.session.result.judged.names if self.session.result is not None else ()
        if len(names) != len(choice.shown):
            names = tuple(c.wall for c in choice.shown)
        options = tuple((f"{n + 1} {name}", n) for n, name in enumerate(names)) or (("", 0),)
        if tuple(self.against.options) != options:
            self.against.options = options
        at = min(choice.reference, len(options) - 1)
        pairs: list[tuple[Any, Any]] = [
            (self.against, at), (self.weight, choice.per_mass), (self.units, choice.job.units),
            (self.kinds, choice.kind), (self.same, choice.same), (self.keep, choice.keep),
        ]  # fmt: skip
        for menu, value in pairs:
            if menu.value != value:
                menu.value = value
        self.keep.layout.display = "none" if choice.same == "od" else ""
        wide = min(_SLIDER[0], choice.length), max(_SLIDER[1], choice.length)
        with self.slider.hold_sync():
            if (self.slider.min, self.slider.max) != wide:
                self.slider.min, self.slider.max = -1.0, 1e6
                self.slider.min, self.slider.max = wide
            self.slider.value = choice.length

    def _show_problems(self) -> None:
        problems = self.session.problems
        for widget in (self.stack, self.walls, self.side, self.table, self.suits):
            mark(widget, "tc-stale", bool(problems))
        if problems:
            whole = problems.get("", "")
            note = f"{whole} {_GREY}" if whole else _GREY
            put(self.used, f'<span class="tc-stale-note">{escape(note)}</span>')
        elif self.session.result is not None:
            put(self.used, view_compare.used_words(self.session.choice, self.session.result.judged))

    def _status_changed(self, change: Any) -> None:
        put(self.status, f'<span role="status">{escape(change["new"])}</span>')

    def _result_changed(self, _: Any) -> None:
        result = self.session.result
        if result is None:
            put(self.style, _styles([], []))
            put(self.head, text.head_html("compare"))
            return
        self._pushing = True
        try:
            self._push(result.choice)
        finally:
            self._pushing = False
        judged = result.judged
        every = [style_of(k) for k in (*composites(), *metals())]
        put(self.style, _styles(every, view_compare.styles_of(judged)))
        put(self.picture, svg(view_compare.chart_of(result), "tc-lines"))
        put(self.walls, view_compare.walls_svg(result))
        put(self.words, view_compare.words_html(result))
        put(self.question, f"<p>{escape(view_compare.question(result))}</p>")
        self.equals.show(result)
        put(self.table, view_compare.table_html(result))
        put(self.suits, view_compare.suits_html(result))
        put(self.used, view_compare.used_words(result.choice, judged))
        job = job_of(result.choice)
        link = write_job(job, tests=False)
        note = f"job: {judged.need.title or 'own need'}"
        put(self.head, text.head_html("compare", note, link, long=too_long(link),
                                      left=len(job.tests)))  # fmt: skip


def _styles(every: list[Any], own: list[Any]) -> str:
    seen = {s.key: s for s in (*every, *own)}
    return f"<style>{css(seen.values())}{CSS}</style>"


def build(session: CompareSession) -> widgets.Widget:
    """Make the page for a session.

    Parameters
    ----------
    session : CompareSession
        State of the page.

    Returns
    -------
    ipywidgets.Widget
        The page.
    """
    return Page(session).box


def main() -> widgets.Widget:
    """Show the page; the notebook's one call.

    Returns
    -------
    ipywidgets.Widget
        The page.
    """
    query = os.environ.get("QUERY_STRING", "")
    choice, refused = start_choice(query)
    session = CompareSession(choice)
    page = Page(session, query)
    session.status = " ".join(refused)
    return page.box


__all__ = ["FIRST", "Page", "build", "first_job", "main", "start_choice"]
