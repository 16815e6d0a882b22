"""The menus that put a tube beside the others: a construction, the demo list, one's own list."""

from __future__ import annotations

from time import monotonic
from typing import Any

import ipywidgets as widgets

from tubecalc.app.bits import box, html, mark, put
from tubecalc.app.compare_cards import kinds_of, made_of
from tubecalc.app.compare_state import CompareSession
from tubecalc.app.controls import STOCK_LIMIT
from tubecalc.app.state import StockList, guard
from tubecalc.app.stocks import Entry, demo_stock, entries, open_stock, priced, read_words
from tubecalc.job import Candidate

LISTED = 300  # tubes of a list in the menu at once
_FINDS = 100  # a list longer than this can be searched
_NEW = ("add a tube …", "")
_TWICE = 0.5  # s; a busy page may tell of one pick twice, the second right behind the first


class Adds:
    """Row of menus under the tubes.

    Parameters
    ----------
    session : CompareSession
        State of the page.
    """

    def __init__(self, session: CompareSession) -> None:
        self.session, self._pushing = session, False
        self.new = widgets.Dropdown(options=[_NEW], description="add a tube")
        self.stock = widgets.Dropdown(description="from stock")
        self.upload = widgets.FileUpload(
            accept=".csv,.xlsx", multiple=False, description="own stock list", icon=""
        )
        self.upload.add_class("tc-upstock")
        self.upload.tooltip = STOCK_LIMIT
        self.find = widgets.Text(
            description="find in the list", placeholder="find in the list", continuous_update=False
        )
        self.note = html("tc-note")
        for menu, call in ((self.new, self._new_chosen), (self.stock, self._stock_chosen)):
            menu.add_class("tc-menu")
            menu.observe(guard(session, call), names="value")
        self.find.add_class("tc-menu")
        self.find.observe(guard(session, self._sought), names="value")
        self.upload.observe(guard(session, self._uploaded), names="value")
        self._picked: tuple[object, float] = (None, 0.0)
        self._list: StockList = demo_stock()
        self._entries: tuple[Entry, ...] = ()
        self.box = box(
            [self.new, self.stock, self.find, self.upload, self.note], "tc-row", "tc-adds"
        )
        self._open(demo_stock())
        self.show()

    # ---- listening
    def _new_chosen(self, change: Any) -> None:
        key = change["new"]
        if self._pushing or not key:
            return
        self._push(self.new, "")
        if self._told_twice(key):
            return
        choice = self.session.choice
        old = choice.shown[min(choice.reference, len(choice.shown) - 1)] if choice.shown else None
        start = old or Candidate(key, 0.02, 0.018)
        self.session.add(made_of(start, key, choice.job))
        self._picked = (key, monotonic())

    def _stock_chosen(self, change: Any) -> None:
        if self._pushing or change["new"] is None or change["new"] < 0:
            return
        entry = self._entries[change["new"]]
        self._push(self.stock, -1)
        if self._told_twice(change["new"]):
            return
        candidate, job, left_out = priced(entry, self.session.choice.job)
        self.session.add(candidate, job)
        self.session.status = left_out
        self._picked = (change["new"], monotonic())

    def _told_twice(self, what: object) -> bool:
        """Whether this is the pick that was just dealt with, told again by a busy page."""
        last, when = self._picked
        return what == last and monotonic() - when < _TWICE

    def _uploaded(self, change: Any) -> None:
        if not change["new"]:
            return
        file = change["new"][0]
        content, self.upload.value = bytes(file["content"]), ()
        self._open(open_stock(str(file["name"]), content))
        self.session.status = f"{self._list.name}: {read_words(self._list)}"

    def _sought(self, _: Any) -> None:
        if not self._pushing:
            self._list_them()

    # ---- showing
    def _open(self, found: StockList) -> None:
        self._list, self._entries = found, entries(found)
        mark(self.find, "tc-gone", len(self._entries) <= _FINDS)
        self._push(self.find, "")
        self._list_them()

    def _list_them(self) -> None:
        """Fill the menu with the tubes of the list, or with those that hold what is sought."""
        demo = self._list is demo_stock()
        name = "the demo stock list" if demo else self._list.name[:40]
        sought = str(self.find.value).strip().lower()
        found = [n for n, e in enumerate(self._entries) if sought in e.words.lower()]
        lines = [(self._entries[n].words, n) for n in found[:LISTED]]
        self._pushing = True
        try:
            self.stock.options = [(f"from {name} …", -1), *lines]
            self.stock.value = -1
        finally:
            self._pushing = False
        more = f"{LISTED} of {len(found)} tubes are listed: find the one you mean."
        none = "No tube of the list is called so."
        put(self.note, more if len(found) > LISTED else "" if found else none)

    def _push(self, widget: Any, value: Any) -> None:
        self._pushing = True
        try:
            widget.value = value
        finally:
            self._pushing = False

    def show(self) -> None:
        """List the constructions of the job."""
        kinds = (_NEW, *kinds_of(self.session.choice.job))
        if tuple(self.new.options) != kinds:
            self._pushing = True
            try:
                self.new.options = kinds
            finally:
                self._pushing = False


__all__ = ["LISTED", "Adds"]
