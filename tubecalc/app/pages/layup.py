"""Page `layup`: a wall of one's own, from its plies to the workshop."""

from __future__ import annotations

import os
from dataclasses import replace
from html import escape
from typing import Any

import ipywidgets as widgets

from tubecalc.app import text
from tubecalc.app import view_layup as view
from tubecalc.app.bits import box, framed, html, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.handout import Handout
from tubecalc.app.jobs import Keeper
from tubecalc.app.layup_burn import BurnRoom
from tubecalc.app.layup_carry import in_job, with_tube, with_wall
from tubecalc.app.layup_form import Form, Pick, button
from tubecalc.app.layup_hunt import HuntRoom
from tubecalc.app.layup_look import CSS
from tubecalc.app.layup_rooms import LoadRoom, PlyRoom, WallRoom
from tubecalc.app.layup_shop import ShopRoom
from tubecalc.app.layup_state import (
    SECTIONS,
    LayupChoice,
    LayupSession,
    choice_of,
    job_of,
)
from tubecalc.app.layup_work import WORK
from tubecalc.app.link import read_job, too_long, write_job
from tubecalc.app.opening_compare import first_job
from tubecalc.app.outgoing import tubes_words
from tubecalc.app.sentence import FieldBox
from tubecalc.app.state import SYSTEMS, guard
from tubecalc.errors import InputError
from tubecalc.job import Job

_OLD = "Mend the marked field first: nothing goes out from an old result."
_GREY = "Mend the marked field to go on; greyed is the last good result."


class Page:
    """Widgets of the page and how they follow the session.

    Parameters
    ----------
    session : LayupSession
        State of the page.
    query : str
        Query string the page was opened with.
    """

    def __init__(self, session: LayupSession, query: str = "") -> None:
        self.session, self._pushing = session, False
        self.keeper = Keeper("layup", lambda: job_of(session.choice), self._take, query, session)
        self._make_bar()
        self._make_sentence()
        self.rooms: dict[str, Any] = {
            "wall": WallRoom(session), "load": LoadRoom(session), "ply": PlyRoom(session),
            "burn": BurnRoom(session), "hunt": HuntRoom(session), "shop": ShopRoom(session),
        }  # fmt: skip
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

    def _make_sentence(self) -> None:
        session = self.session
        self.sequence = FieldBox(
            Field("sequence", "stacking sequence", "words", "[90/0_4/90]"),
            guard(session, session.sequence),
        )
        self.size = FieldBox(Field("size", "size", "length"),
                             guard(session, lambda t: session.edit("size", t)))  # fmt: skip
        self.by = Form(session, [Pick("by", "size by", (("a mandrel of", "bore"),
                                                        ("an outside of", "od")))])  # fmt: skip
        self.name = FieldBox(Field("name", "name of the wall", "words", "own wall"),
                             guard(session, lambda t: session.edit("name", t)))  # fmt: skip
        words = [widgets.HTML(w) for w in ("Lay ", " on ", " ", ", and call it ", ".")]
        self.sentence = box(
            [words[0], self.sequence.box, words[1], self.by.boxes["by"], words[2], self.size.box,
             words[3], self.name.box, words[4]], "tc-sentence",
        )  # fmt: skip
        self.letters, self.used = html("tc-note", "tc-letters"), html("tc-used")
        self.put_wall = button("put the wall into the job", self._put_wall, session,
                               "choose and compare know it then")  # fmt: skip
        self.put_tube = button("put the tube beside the others", self._put_tube, session,
                               "as a candidate on compare and in every file")  # fmt: skip
        self.known = html("tc-note")
        self.sections = widgets.ToggleButtons(options=[(w, k) for k, w in SECTIONS.items()])
        self.sections.observe(guard(session, self._section_changed), names="value")

    def _make_box(self) -> None:
        self.bus = widgets.Text(continuous_update=False)
        self.bus.add_class("tc-bus")
        self.bus.observe(guard(self.session, self._heard), names="value")
        own = box([self.put_wall, self.put_tube, self.known], "tc-row", "tc-layown")
        rooms = box([r.box for r in self.rooms.values()], "tc-layrooms")
        style = widgets.HTML(text.style_html() + f"<style>{CSS}</style>")
        self.box = framed(
            [style, self.head],
            [self.bar, self.sentence, self.letters, self.used, own,
             box([self.sections], "tc-kinds", "tc-laytabs"), rooms, self.handout.box],
            [widgets.HTML(text.foot_html()), self.bus, self.keeper.hidden], "A wall of one's own",
        )  # fmt: skip

    # ---- listening
    def _section_changed(self, change: Any) -> None:
        if not self._pushing and change["new"]:
            self.session.change(section=change["new"])

    def _units_changed(self, change: Any) -> None:
        if not self._pushing:
            choice = self.session.choice
            self.session.change(job=replace(choice.job, units=change["new"]))

    def _heard(self, change: Any) -> None:
        parts = str(change["new"]).split("|")
        if len(parts) == 3 and parts[1] == "view" and parts[2].isdigit():
            self.session.change(width=max(320, min(2000, int(parts[2]))))

    def _take(self, job: Job, _: str) -> list[str]:
        """Show another job; one that says nothing of a wall keeps that of the page."""
        before = self.session.choice
        choice, refused = choice_of(job)
        if "layup" not in job.page:
            choice = replace(before, job=job)
        self.session.choice = replace(choice, width=before.width)
        self.handout.fresh()
        return refused

    def _keep(self, job: Job) -> None:
        """Take words for the customer, or how papers are written."""
        self.session.change(job=job)

    def _wall(self) -> Any:
        found = self.session.found.get("wall")
        if self.session.stale or found is None:
            raise InputError(_OLD)
        return found

    def _put_wall(self) -> None:
        choice = self.session.choice
        self.session.change(job=with_wall(choice, self._wall()))
        self.session.status = f'"{choice.get("name").strip()}" is a wall of this job now.'

    def _put_tube(self) -> None:
        choice = self.session.choice
        self.session.change(job=with_tube(choice, self._wall()))
        self.session.status = f'A tube of "{choice.get("name").strip()}" is in the job now.'

    def _going(self) -> Job:
        found = self._wall()
        choice = replace(self.session.choice, job=job_of(self.session.choice))
        return choice.job if choice.job.candidates else with_tube(choice, found)

    def _says_going(self) -> str:
        try:
            return tubes_words(self._going())
        except InputError as error:
            return str(error)

    # ---- showing
    def show(self) -> None:
        """Show the session as it stands."""
        session = self.session
        choice, problems = session.choice, session.problems
        found: Any = session.found.get("wall")
        for key, room in self.rooms.items():
            mark(room.box, "tc-gone", key != choice.section)
        self.rooms[choice.section].show()
        self._pushing = True
        try:
            self.units.value = choice.job.units
            self.sections.value = choice.section
        finally:
            self._pushing = False
        typed = choice.get("sequence")
        if typed or (found is not None and not session.stale):
            self.sequence.push(typed or found.notation)
        self.sequence.say(problems.get("sequence", ""))
        self.size.push(choice.get("size"))
        self.size.say(problems.get("size", ""))
        self.name.push(choice.get("name"))
        self.by.show()
        self._show_words(choice, found)
        self.handout.show()
        self.keeper.publish(hold=bool(self.handout.refusal))
        self._show_head(choice)

    def _show_words(self, choice: LayupChoice, found: Any) -> None:
        stale = self.session.stale
        words = self.session.problems.get("wall", "") or _GREY
        put(self.used, f'<span class="tc-stale-note">{escape(words)}</span>' if stale else "")
        if found is None:
            return
        put(self.letters, view.letters_html(found, choice))
        how = in_job(choice, found)
        put(self.known, {
            "same": "The job has this wall.",
            "other": "The job has another wall of this name: put it in again to take its place.",
        }.get(how, "The job does not have this wall yet."))  # fmt: skip

    def _show_head(self, choice: LayupChoice) -> None:
        job = job_of(choice)
        link = write_job(job, tests=False)
        note = f"job: {choice.job.need.title or 'own need'}"
        put(self.head, text.head_html("layup", note, link, long=too_long(link),
                                      left=len(job.tests)))  # fmt: skip

    def _status_changed(self, change: Any) -> None:
        put(self.status, f'<span role="status">{escape(change["new"])}</span>')


def start_choice(query: str = "") -> tuple[LayupChoice, list[str]]:
    """Choice the page starts with: the demo job, or the job of the link.

    Parameters
    ----------
    query : str
        Query string of the link.

    Returns
    -------
    tuple of LayupChoice and list of str
        The choice, and what in the link could not be used.

    Examples
    --------
    >>> start_choice()[0].section
    'wall'
    """
    job, _, refused = read_job(query)
    if job is None:
        return LayupChoice(replace(first_job(), candidates=(), chosen=-1)), refused
    choice, more = choice_of(job)
    return choice, [*refused, *more]


def build(session: LayupSession) -> widgets.Widget:
    """Make the page for a session.

    Parameters
    ----------
    session : LayupSession
        State of the page.

    Returns
    -------
    ipywidgets.Widget
        The page.
    """
    return Page(session).box


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
    session = LayupSession(choice, WORK)
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


__all__ = ["Page", "build", "main", "open_page", "start_choice"]
