"""Page `join`: will it slide, will it hold; fits, joints and heat of a tube's ends."""

from __future__ import annotations

import os
from dataclasses import replace
from html import escape
from typing import Any

import ipywidgets as widgets

from tubecalc.app import text
from tubecalc.app.bits import box, framed, html, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.handout import Handout
from tubecalc.app.jobs import Keeper
from tubecalc.app.join_look import CSS as JOIN_CSS
from tubecalc.app.join_rooms import MEND, BondRoom, SlideRoom, made_of, sources
from tubecalc.app.join_rooms_more import BoltRoom, HeatRoom, JobJoints, MetalRoom, ShopRoom
from tubecalc.app.join_rooms_pole import PoleRoom
from tubecalc.app.join_state import PAGE, SECTIONS, JoinChoice, JoinSession, choice_of, job_of
from tubecalc.app.join_stock import StockRow, carried
from tubecalc.app.join_work import source_of
from tubecalc.app.join_work_bond import WORK
from tubecalc.app.layup_form import Form, Pick
from tubecalc.app.layup_look import CSS
from tubecalc.app.link import read_job, too_long, write_job
from tubecalc.app.opening_compare import first_job
from tubecalc.app.outgoing import tubes_words
from tubecalc.app.state import SYSTEMS, guard
from tubecalc.app.view_join import tube_words
from tubecalc.errors import InputError
from tubecalc.job import Job


class Page:
    """Widgets of the page and how they follow the session.

    Parameters
    ----------
    session : JoinSession
        State of the page.
    query : str
        Query string the page was opened with.
    """

    def __init__(self, session: JoinSession, query: str = "") -> None:
        self.session, self._pushing = session, False
        self.keeper = Keeper("join", lambda: job_of(session.choice), self._take, query, session)
        self._make_bar()
        self._make_tube()
        self.rooms: dict[str, Any] = {
            "slide": SlideRoom(session), "pole": PoleRoom(session), "bond": BondRoom(session),
            "bolt": BoltRoom(session), "metal": MetalRoom(session), "heat": HeatRoom(session),
            "shop": ShopRoom(session),
        }  # fmt: skip
        self.joints = JobJoints(session)
        self.handout = Handout(
            self._going, self._says_going, lambda: session.choice.job, self._keep
        )
        self._make_box()
        session.observe(guard(session, lambda _: self.show()), names="seen")
        session.observe(guard(session, self._status_changed), names="status")
        self.show()

    # ---- making
    def _make_bar(self) -> None:
        self.head = widgets.HTML()
        self.units = widgets.Dropdown(
            options=[(name, key) for key, name in SYSTEMS.items()], description="units"
        )
        self.units.observe(guard(self.session, self._units_changed), names="value")
        self.status = html("tc-status")
        self.bar = box([*self.keeper.parts, self.units, self.status], "tc-row", "tc-jobbar")

    def _make_tube(self) -> None:
        job = self.session.choice.job
        self.form = Form(self.session, [
            Pick("tube.from", "tube", tuple(sources(self.session.choice))),
            Pick("tube.of", "made of", tuple(made_of(job))),
            Field("tube.od", "outside diameter", "length"), Field("tube.id", "bore", "length"),
        ])  # fmt: skip
        words = [widgets.HTML(w) for w in ("Join the tube ", " of ", ", outside ", ", bore ")]
        boxes = self.form.boxes
        self.typed = [words[1], boxes["tube.of"], words[2], boxes["tube.od"], words[3],
                      boxes["tube.id"]]  # fmt: skip
        self.tube = box([words[0], boxes["tube.from"], *self.typed, widgets.HTML(".")],
                        "tc-sentence", "tc-jointube")  # fmt: skip
        self.used = html("tc-used")
        self.stock = StockRow(self.session)

    def _make_box(self) -> None:
        self.sections = widgets.ToggleButtons(options=[(w, k) for k, w in SECTIONS.items()])
        self.sections.observe(guard(self.session, self._section_changed), names="value")
        self.bus = widgets.Text(continuous_update=False)
        self.bus.add_class("tc-bus")
        self.bus.observe(guard(self.session, self._heard), names="value")
        tabs = box([self.sections], "tc-kinds", "tc-laytabs")
        rooms = box([r.box for r in self.rooms.values()], "tc-layrooms")
        style = widgets.HTML(text.style_html() + f"<style>{CSS}{JOIN_CSS}</style>")
        self.box = framed(
            [style, self.head],
            [self.bar, self.tube, box([self.used, self.stock.box], "tc-row", "tc-joinused"),
             tabs, rooms, self.joints.box, self.handout.box],
            [widgets.HTML(text.foot_html()), self.bus, self.keeper.hidden],
            "Will it slide, will it hold",
        )  # fmt: skip

    # ---- listening
    def _section_changed(self, change: Any) -> None:
        if not self._pushing and change["new"]:
            self.session.change(section=change["new"])

    def _units_changed(self, change: Any) -> None:
        if not self._pushing:
            self.session.choice = self.session.choice.in_units(change["new"])

    def _heard(self, change: Any) -> None:
        parts = str(change["new"]).split("|")
        if len(parts) == 3 and parts[1] == "view" and parts[2].isdigit():
            self.session.change(width=max(320, min(2000, int(parts[2]))))

    def _take(self, job: Job, _: str) -> list[str]:
        """Show another job; one that says nothing of this page keeps what is typed."""
        before = self.session.choice
        choice, refused = choice_of(job)
        if PAGE not in job.page:
            choice = replace(before, job=job)
        self.session.choice = replace(choice, width=before.width, stock=before.stock)
        self.handout.fresh()
        return refused

    def _keep(self, job: Job) -> None:
        """Take words for the customer, or how papers are written."""
        self.session.change(job=job)

    def _going(self) -> Job:
        choice = self.session.choice
        if choice.job.candidates:
            return job_of(choice)
        if self.session.wrong("tube"):
            raise InputError("Mend the marked field first: nothing goes out from an old result.")
        tube, job, _ = carried(choice, self.session.found["tube"].candidate)
        return replace(job_of(replace(choice, job=job)), candidates=(tube,))

    def _says_going(self) -> str:
        try:
            return tubes_words(self._going())
        except InputError as error:
            return str(error)

    # ---- showing
    def show(self) -> None:
        """Show the session as it stands."""
        session = self.session
        choice = session.choice
        self._pushing = True
        try:
            self.units.value = choice.job.units
            self.sections.value = choice.section
        finally:
            self._pushing = False
        self._show_tube(choice)
        self.stock.show()
        for key, room in self.rooms.items():
            mark(room.box, "tc-gone", key != choice.section)
        self.rooms[choice.section].show()
        self.joints.show()
        self.handout.show()
        self.keeper.publish(hold=bool(self.handout.refusal))
        job = job_of(choice)
        link = write_job(job, tests=False)
        note = f"job: {choice.job.need.title or 'own need'}"
        put(self.head, text.head_html("join", note, link, long=too_long(link),
                                      left=len(job.tests)))  # fmt: skip

    def _show_tube(self, choice: JoinChoice) -> None:
        self.form.options("tube.from", sources(choice))
        self.form.options("tube.of", made_of(choice.job))
        if source_of(choice, "tube") is None and choice.get("tube.from") != "typed":
            choice = choice.put("tube.from", "typed")
        self.form.show()
        free = source_of(choice, "tube") is None
        menu = self.form.menus["tube.from"][0]
        if free and menu.value != "typed":
            self.form.choose("tube.from", "typed")
        for widget in self.typed:
            mark(widget, "tc-gone", not free)
        found = self.session.found.get("tube")
        if self.session.wrong("tube"):
            words = self.session.problems.get("tube", MEND)
            put(self.used, f'<span class="tc-stale-note">{escape(words)}</span>')
        elif found is not None:
            put(self.used, f"Used: <b>{escape(tube_words(found, choice.job.units))}</b>.")

    def _status_changed(self, change: Any) -> None:
        put(self.status, f'<span role="status">{escape(change["new"])}</span>')


def start_choice(query: str = "") -> tuple[JoinChoice, list[str]]:
    """Choice the page starts with: the demo job, or the job of the link.

    Parameters
    ----------
    query : str
        Query string of the link.

    Returns
    -------
    tuple of JoinChoice and list of str
        The choice, and what in the link could not be used.

    Examples
    --------
    >>> start_choice()[0].section
    'slide'
    """
    job, _, refused = read_job(query)
    if job is None:
        return JoinChoice(replace(first_job(), candidates=(), chosen=-1)), refused
    choice, more = choice_of(job)
    if PAGE not in job.page:  # it has not been here: sizes to start with in its own units
        choice = replace(choice, job=replace(job, units="SI")).in_units(job.units)
    return choice, [*refused, *more]


def open_page(query: str = "") -> Page:
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
    choice, refused = start_choice(query)
    session = JoinSession(choice, WORK)
    page = Page(session, query)
    session.status = " ".join(refused)
    return page


def main() -> widgets.Widget:
    """Show the page; the notebook's one call.

    Returns
    -------
    ipywidgets.Widget
        The page.
    """
    return open_page(os.environ.get("QUERY_STRING", "")).box


__all__ = ["Page", "main", "open_page", "start_choice"]
