"""Page `choose`: from a need to a chosen tube."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from html import escape
from typing import Any

import ipywidgets as widgets

from tubecalc.app import engine, saving, text, view, view_chart
from tubecalc.app.beside import Beside
from tubecalc.app.bits import box, framed, html, mark, put
from tubecalc.app.carry import choice_of, job_of
from tubecalc.app.controls import Controls, units_menu
from tubecalc.app.demo import FIRST_JOB, jobs
from tubecalc.app.draft import Draft
from tubecalc.app.handout import Handout
from tubecalc.app.jobs import Keeper
from tubecalc.app.join_said import joint_said
from tubecalc.app.link import read_job, too_long, write_query
from tubecalc.app.offering import candidate_at, going, going_words
from tubecalc.app.opening import start_choice
from tubecalc.app.outgoing import File, tubes_words
from tubecalc.app.sentence import Sentence
from tubecalc.app.state import Session, guard
from tubecalc.app.stocks import demo_stock, open_stock, read_words, stocked
from tubecalc.app.styles import style_in, style_of
from tubecalc.app.view_answer import answer_html, chart_title, note_words, tube_html
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.laminate.construction import composites, metals
from tubecalc.share.chart import Axes, frame, layer_svg
from tubecalc.share.scene import svg

_STALE = "Mend the marked field to go on."
_OLD = "Mend the marked field first: nothing goes out from an old result."
_GREY = "Greyed: the last good result, not what is written above."


class Page:
    """Widgets of the page and how they follow the session.

    Parameters
    ----------
    session : Session
        State of the page.
    query : str
        Query string the page was opened with.
    """

    def __init__(self, session: Session, query: str = "") -> None:
        self.session = session
        self.jobs = jobs()
        self._axes: Axes | None = None
        self.keeper = Keeper("choose", self.job_now, self._take, query, session)
        self._make_head()
        self.sentence = Sentence(session)
        self.used = html("tc-used")
        kinds = [(style_of(k), c.name) for k, c in (*composites().items(), *metals().items())]
        measures = [(m.name, k) for k, m in view_chart.MEASURES.items() if k != "mass"]
        self.controls = Controls(session, kinds, measures, self._load_stock)
        self._make_chart()
        self._make_answer()
        self.foot = widgets.HTML(text.foot_html())
        self._make_box([s for s, _ in kinds])
        session.observe(guard(session, self._choice_changed), names=["choice", "problems"])
        session.observe(guard(session, self._result_changed), names="result")
        session.observe(guard(session, self._status_changed), names="status")
        session.observe(guard(session, self._kept_changed), names=["choice", "mistakes"])
        self.show()
        self.keeper.publish()

    # ---- making
    def _make_head(self) -> None:
        self.head = widgets.HTML()
        self.job = widgets.Dropdown(
            options=[("own need", ""), *((d.title, k) for k, d in self.jobs.items())],
            description="job",
        )
        self.upload = self.keeper.upload
        self.units = units_menu(self.session)
        self.job.observe(guard(self.session, self._job_chosen), names="value")
        self.status = html("tc-status")
        self.bar = widgets.Box([self.job, self.units, *self.keeper.parts, self.status])
        for css in ("tc-row", "tc-jobbar"):
            self.bar.add_class(css)

    def _make_chart(self) -> None:
        self.frame, self.layer = widgets.HTML(), widgets.HTML()
        self.layer.add_class("tc-layerbox")
        self.stack = widgets.Box([self.frame, self.layer])
        self.stack.add_class("tc-stack")
        self.chart_title = widgets.HTML()
        self.chart = widgets.Box([self.chart_title, self.stack])
        self.chart.add_class("tc-chart")
        self.table = widgets.HTML()
        self.table.add_class("tc-table")
        self.bus = widgets.Text(continuous_update=False)
        self.bus.add_class("tc-bus")
        self.tip = html("tc-tiptext")
        self.tip.add_class("tc-hidden")
        self.bus.observe(guard(self.session, self._heard), names="value")

    def _make_answer(self) -> None:
        self.answer = widgets.HTML()
        self.bars = widgets.HTML()
        for widget in (self.answer, self.bars):
            widget.add_class("tc-said")
        self.mind, self.more = widgets.HTML(), widgets.HTML()
        self.handout = Handout(
            self._going, self._says_going, lambda: self.keeper.base, self._keep,
            (("shortlist, CSV", "the table of this page", self._making(saving.shortlist_csv)),
             ("need, TOML", "what the tube must do, alone", self._making(saving.need_toml))),
        )  # fmt: skip
        self.beside = Beside(
            self.keeper, self._selected, self._tube, self._beside_changed, self.session
        )
        self.side = widgets.Box(
            [self.answer, self.bars, self.mind, self.beside.box, self.handout.box, self.more]
        )
        self.side.add_class("tc-answer")

    def _make_box(self, styles: list[Any]) -> None:
        self.drawer = widgets.ToggleButton(description="sizes, constructions, stock list")
        self.drawer.add_class("tc-drawer")
        self.drawer.observe(guard(self.session, self._drawer), names="value")
        parts = [self.controls.box, self.chart, self.table, self.drawer, self.side]
        self._styles, self.style = styles, widgets.HTML(text.style_html(styles))
        said = self.sentence
        self.box = framed(
            [self.style, self.head],
            [self.bar, said.box, self.used, said.more, said.service_row, box(parts, "tc-main")],
            [self.foot, self.bus, self.tip, self.keeper.hidden], "Choose a tube",
        )  # fmt: skip

    # ---- listening
    def _drawer(self, change: Any) -> None:
        box = self.controls.box
        (box.add_class if change["new"] else box.remove_class)("tc-open")

    def _job_chosen(self, change: Any) -> None:
        if change["new"] in self.jobs:
            self.session.status = ""
            self._open(self.jobs[change["new"]])

    def _open(self, draft: Draft) -> None:
        """Take another need; the diameters reach up to its largest."""
        parts: dict[str, Any] = {"draft": draft, "selected": ""}
        top = engine.need_of(draft).limits.od_max
        if top > 0:  # NaN where there is no limit
            parts["od"] = (min(self.session.choice.od[0], top / 2), top)
        self.session.change(**parts)

    # ---- the job
    def job_now(self) -> Job:
        """Job as it stands on the page; where the need cannot be read, with the last good one."""
        choice, base, result = self.session.choice, self.keeper.base, self.session.result
        try:
            need = engine.need_of(choice.draft)
        except InputError:
            need = base.need if result is None else result.need
        return job_of(choice, base, need)

    def _take(self, job: Job, words: str) -> list[str]:
        """Show a job that was opened or kept."""
        before = self.session.choice
        choice, said = choice_of(job, words, before)
        name = job.page.get("choose", {}).get("stock", "")
        if name == "demo":
            choice = replace(choice, stock=demo_stock())
        elif name and before.stock is not None and before.stock.name == name:
            choice = replace(choice, stock=before.stock)
        elif name:
            said.append(f'The stock list "{name}" does not travel with a job: open it again.')
        self.session.mistakes = {}
        self.session.choice = choice
        self.handout.fresh()
        if self.session.result is not None:
            self._show_answer(self.session.result)  # joints may be new where the need is not
        return said

    def _kept_changed(self, _: Any) -> None:
        self.keeper.publish(hold=bool(self.session.mistakes or self.handout.refusal))

    def _beside_changed(self) -> None:
        self._kept_changed(None)
        self.handout.show()
        if self.session.result is not None:
            self._show_head(self.session.result)

    def _keep(self, job: Job) -> None:
        """Take words for the customer, or how papers are written."""
        self.keeper.base = job
        self._kept_changed(None)
        if self.session.result is not None:
            self._show_head(self.session.result)

    def _going(self) -> Job:
        if self.session.stale or self.session.result is None:
            raise InputError(_OLD)
        return going(self.session.result, self.job_now())

    def _says_going(self) -> str:
        result, base = self.session.result, self.keeper.base
        if self.session.stale or result is None:
            return _OLD
        if base.candidates:
            return tubes_words(replace(base, units=result.choice.units))
        return going_words(result)

    def _tube(self, job: Job) -> tuple[Candidate, Job, str]:
        result = self.session.result
        return candidate_at(result, result.row, job)

    def _making(self, call: Callable[[Any], File]) -> Callable[[], File]:
        def make() -> File:
            self._going()  # which says why not
            return call(self.session.result)

        return make

    def _selected(self) -> str:
        result = self.session.result
        return "" if result is None or result.row is None else result.sheet.keys[result.row]

    def _load_stock(self, what: Any) -> None:
        if what == "own":
            return
        if not what:
            self.session.status = ""
            self.session.change(stock=None, selected="")
            return
        found = demo_stock() if what == "demo" else open_stock(*what)
        self.session.choice = stocked(self.session.choice, found)
        self.session.status = read_words(found)

    def _heard(self, change: Any) -> None:
        parts = str(change["new"]).split("|")
        kind, rest = parts[1] if len(parts) > 1 else "", parts[2:]
        if kind == "pick":
            self.session.change(selected="|".join(rest))
        elif kind == "sort" and rest:
            column, falls = self.session.choice.sort
            self.session.change(sort=(rest[0], column == rest[0] and not falls))
        elif kind == "view" and rest and rest[0].isdigit():
            self.session.change(width=int(rest[0]))
        elif kind in ("point", "hover") and len(rest) > 1 and self.session.result is not None:
            self._point(kind, "|".join(rest[:-1]), int(rest[-1]))

    def _point(self, kind: str, key: str, index: int) -> None:
        result = self.session.result
        rows = result.shown.get(key, ())
        if not 0 <= index < len(rows):
            return
        if kind == "point":
            self.session.change(selected=result.sheet.keys[int(rows[index])])
        else:
            words = view_chart.note_of(result, int(rows[index]))
            self.tip.value = f'<span data-of="{escape(key)}|{index}">{escape(words)}</span>'

    # ---- showing
    def show(self) -> None:
        """Show the session as it stands."""
        self._choice_changed(None)
        self._result_changed(None)

    def _choice_changed(self, _: Any) -> None:
        choice = self.session.choice
        self.sentence.show(choice.draft, self.session.problems)
        self.controls.show(choice)
        own = [style_in(choice, c.key) for c in choice.own]
        put(self.style, text.style_html([*self._styles, *own]))
        if self.units.value != choice.units:
            self.units.value = choice.units
        job = next((k for k, d in self.jobs.items() if d == choice.draft), "")
        if self.job.value != job:
            self.job.value = job
        self._show_problems()

    def _show_problems(self) -> None:
        problems = self.session.problems
        stale = bool(problems)
        for widget in (self.stack, self.table, self.answer, self.bars, self.mind, self.more):
            mark(widget, "tc-stale", stale)
        if stale:
            whole = problems.get("", "")
            put(self.used, f'<span class="tc-stale-note">{escape(whole or _STALE)}</span>')
            put(self.chart_title, f'<h2 class="tc-stale-note">{_GREY}</h2>')
        else:
            put(self.used, text.used_html(view.used_pairs(self.session.choice)))
            if self.session.result is not None:
                put(self.chart_title, chart_title(self.session.result))
        self.handout.show()

    def _status_changed(self, change: Any) -> None:
        put(self.status, f'<span role="status">{escape(change["new"])}</span>')

    def _result_changed(self, _: Any) -> None:
        result = self.session.result
        if result is None:
            return
        axes = view_chart.axes_of(result)
        if axes != self._axes:
            self._axes = axes
            self.frame.value = svg(frame(axes), "tc-frame", hidden=True)
        put(self.layer, layer_svg(axes, view_chart.picture_of(result)))
        put(self.chart_title, chart_title(result))
        columns, rows = view.table_of(result)
        selected = "" if result.row is None else result.sheet.keys[result.row]
        put(self.table, text.table_html(columns, rows, selected, result.choice.sort))
        self._show_answer(result)

    def _show_answer(self, result: Any) -> None:
        if result.row is None:
            put(self.answer, text.verdict_html(False, result.hint))
            for part in (self.bars, self.mind, self.more):
                put(part, "")
            self._show_rest(result)
            return
        memo = result.judged.memo.setdefault(result.choice.units, {})
        if not memo:
            memo.update(tube_html(result))
        joint = joint_said(self.keeper.base, self.job_now, self._selected(), result.verdict)
        put(self.answer, answer_html(result, memo["wall"], joint))
        put(self.bars, memo["bars"])
        put(self.mind, memo["mind"])
        put(self.more, memo["more"])
        self._show_rest(result)

    def _show_rest(self, result: Any) -> None:
        self.beside.show()
        self.handout.show()
        self._show_head(result)

    def _show_head(self, result: Any) -> None:
        base = self.keeper.base
        link = write_query(result.choice, base)
        put(self.head, text.head_html("choose", note_words(result), link, long=too_long(link),
                                      left=0 if base is None else len(base.tests)))  # fmt: skip


def build(session: Session) -> widgets.Widget:
    """Make the page for a session.

    Parameters
    ----------
    session : Session
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
    return open_page(os.environ.get("QUERY_STRING", "")).box


def open_page(query: str) -> Page:
    """Open the page with a link.

    Parameters
    ----------
    query : str
        Query string of the link.

    Returns
    -------
    Page
        The page, which says what in the link could not be used.
    """
    job, words, refused = read_job(query)
    try:
        choice, more = start_choice(query, job, words)
    except InputError as error:
        job, (choice, more) = None, (start_choice()[0], [f"The link's job is not used: {error}"])
    session = Session(engine.run, choice)
    page = Page(session, query)
    if job is not None:
        page.keeper.base = job
        page.show()
        page.keeper.publish()
    session.status = " ".join(dict.fromkeys([*refused, *more]))
    return page


__all__ = ["FIRST_JOB", "Page", "build", "jobs", "main", "open_page", "start_choice"]
