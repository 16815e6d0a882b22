"""The button that puts the selected tube beside others, for page `compare` and for the customer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from html import escape

import ipywidgets as widgets

from tubecalc.app.carry import candidate_of
from tubecalc.app.jobs import Keeper
from tubecalc.app.state import Sayer, guard
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job

MOST = 6  # tubes on page compare


class Beside:
    """Put the selected tube into the job's comparison, or take it out.

    Parameters
    ----------
    keeper : Keeper
        Holds the job.
    selected : callable
        Key of the selected tube, "" for none.
    tube : callable
        Job -> the selected tube, the job with it in mind, and a sentence on what was left out.
    changed : callable
        Called after the comparison has changed.
    session : object
        Its status says what was refused.
    """

    def __init__(
        self,
        keeper: Keeper,
        selected: Callable[[], str],
        tube: Callable[[Job], tuple[Candidate, Job, str]],
        changed: Callable[[], None],
        session: Sayer,
    ) -> None:
        self._keeper, self._selected, self._changed = keeper, selected, changed
        self._tube, self._session = tube, session
        self.button, self.note = widgets.Button(), widgets.HTML()
        self.note.add_class("tc-note")
        self.button.on_click(guard(session, self._pressed))
        self.box = widgets.Box([self.button, self.note])
        for css in ("tc-row", "tc-beside"):
            self.box.add_class(css)

    def _inside(self, one: Candidate) -> list[Candidate]:
        size = (one.wall, one.od, one.id)
        return [c for c in self._keeper.base.candidates if (c.wall, c.od, c.id) == size]

    def _pressed(self, _: widgets.Button) -> None:
        key, base = self._selected(), self._keeper.base
        if not key:
            return
        one = candidate_of(key)
        if inside := self._inside(one):
            rest = tuple(c for c in base.candidates if c not in inside)
            self._keeper.base = replace(base, candidates=rest, chosen=-1)
        elif len(base.candidates) >= MOST:
            raise InputError(f"{MOST} tubes are in the comparison: take one out first")
        else:
            one, base, left_out = self._tube(base)
            self._keeper.base = replace(base, candidates=(*base.candidates, one))
            if left_out:
                self._session.status = left_out
        self.show()
        self._changed()

    def show(self) -> None:
        """Show whether the selected tube is in the comparison, and how many are."""
        key, count = self._selected(), len(self._keeper.base.candidates)
        there = bool(key) and bool(self._inside(candidate_of(key)))
        self.button.description = "take out of the comparison" if there else "compare this tube"
        self.button.disabled = not key
        words = f"{count} tube{'s' * (count != 1)} in the comparison" if count else ""
        if self.note.value != words:
            self.note.value = escape(words)
