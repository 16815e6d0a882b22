"""Page `evidence`: every published value beside the computed one, worst first."""

from __future__ import annotations

import os
import time
from typing import Any, cast

import ipywidgets as widgets

from tubecalc.app import proof, proof_words
from tubecalc.app.bits import box, framed, put
from tubecalc.app.carrier import Carrier
from tubecalc.app.state import Session, guard
from tubecalc.app.text import foot_html, head_html, style_html
from tubecalc.evidence import Row, rows
from tubecalc.evidence.memory import forget, keep, recall
from tubecalc.evidence.report import ordered
from tubecalc.share.scene import svg

LINES = 40  # of the table before "show all"
_EVERYTHING = {"topic": "all topics", "verdict": "all verdicts", "standing": "all standings"}
_TOLD_EVERY = 0.3  # s between two words on the progress


class Page:
    """Widgets of the page and what is chosen.

    Parameters
    ----------
    found : list of Row
        All rows.
    """

    def __init__(self, found: list[Row]) -> None:
        self.rows = found
        self.order = ("verdict", True)
        self.chosen = ""
        self.width = 0
        self.ready = False
        self._make_filters()
        self._make_parts()
        self._make_box()
        if recall(found) == len(found):
            self._shown("from the last run of this same code")
        else:
            self.lead.value = proof_words.waiting_html(len(found))
            self.status = f"Working: {len(found)} values are being compared."

    @property
    def status(self) -> str:
        """Word on what the page is doing."""
        return str(self.said.value)

    @status.setter
    def status(self, words: str) -> None:
        self.said.value = words

    # ---- making
    def _make_filters(self) -> None:
        entries = proof_words.options(self.rows, _EVERYTHING)
        self.filters = {
            name: widgets.Dropdown(options=entries[name], description=name) for name in _EVERYTHING
        }
        self.all = widgets.ToggleButton(description="show every line")
        self.again = widgets.Button(description="compute again")
        self.said = widgets.Label()
        self.said.add_class("tc-status")
        for menu in self.filters.values():
            menu.observe(self._safe(self._filtered), names="value")
        self.all.observe(self._safe(self._filtered), names="value")
        self.again.on_click(self._safe(self._afresh))

    def _make_parts(self) -> None:
        self.lead, self.table, self.plot = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.matrix, self.one, self.tests = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.title = widgets.HTML("<h2>Distance of the computed from the published value</h2>")
        self.table.add_class("tc-scroll")
        self.one.add_class("tc-onebox")
        self.bus = widgets.Text(continuous_update=False)
        self.bus.add_class("tc-bus")
        self.tip = widgets.HTML()
        for css in ("tc-tiptext", "tc-hidden"):
            self.tip.add_class(css)
        self.bus.observe(self._safe(self._heard), names="value")

    def _make_box(self) -> None:
        bar = box([*self.filters.values(), self.all, self.again, self.said], "tc-row",
                   "tc-jobbar", "tc-filters")  # fmt: skip
        stack = box([self.plot], "tc-stack")
        chart = box([self.title, stack, self.one], "tc-chart")
        side = box([self.matrix], "tc-side")
        self.carrier = Carrier("evidence", os.environ.get("QUERY_STRING", ""))
        head = f"{style_html()}<style>{proof_words.CSS}</style>{head_html('evidence')}"
        top = '<div class="tc-list"><h1>Can I believe this?</h1></div>'
        fixed = widgets.HTML(proof_words.grades_html() + proof_words.HOW)
        keep = self.carrier.keeper
        self.box = framed(
            [widgets.HTML(head)],
            [self.carrier.bar, widgets.HTML(top), self.lead, bar, box([chart, side], "tc-evid"),
             self.table, self.tests, self.carrier.door, fixed],
            [widgets.HTML(foot_html()), self.bus, self.tip, keep.hidden],
        )  # fmt: skip

    def _safe(self, call: Any) -> Any:
        return guard(cast(Session, self), call)  # it only needs a status to write to

    # ---- computing
    def compute(self) -> None:
        """Compute every row, telling how far it has come."""
        start = told = time.monotonic()
        for n, row in enumerate(self.rows):
            _ = row.computed
            if time.monotonic() - told > _TOLD_EVERY:
                told = time.monotonic()
                self.status = f"Working: {n} of {len(self.rows)} values compared."
        keep(self.rows)
        self._shown(f"computed in {time.monotonic() - start:.1f} s")

    def _afresh(self, _: Any) -> None:
        forget(self.rows)
        self.compute()

    def _shown(self, how: str) -> None:
        self.ready = True
        self.lead.value = proof.lead_html(self.rows)
        self.tests.value = proof.trials_html(ordered(rows("experiments"), "topic"))
        self._show()
        self.status = f"{len(self.rows)} values, {how}."

    # ---- listening
    def _heard(self, change: Any) -> None:
        parts = str(change["new"]).split("|")
        kind, rest = (parts[1] if len(parts) > 1 else ""), parts[2:]
        if kind == "view" and rest and rest[0].isdigit():
            self.width = int(rest[0])
            if not self.ready:
                self.compute()
            self._draw()
        elif kind == "pick":
            self._choose("|".join(rest))
        elif kind == "sort" and rest:
            self.order = (rest[0], rest[0] != self.order[0] or not self.order[1])
            self._show()
        elif kind in ("point", "hover") and len(rest) == 2 and self.ready:
            self._point(kind, rest[0], int(rest[1]))

    def _point(self, kind: str, verdict: str, index: int) -> None:
        mine = proof.marks_of(self.picked()).get(verdict, [])
        if not 0 <= index < len(mine):
            return
        if kind == "point":
            self._choose(mine[index].id)
        else:
            self.tip.value = proof.tip_html(mine[index], f"{verdict}|{index}")

    def _choose(self, key: str) -> None:
        self.chosen = key
        self._show()

    def _filtered(self, _: Any) -> None:
        self._show()

    # ---- showing
    def picked(self) -> list[Row]:
        """Rows that pass the filters, in the order shown.

        Returns
        -------
        list of Row
        """
        wanted = {name: menu.value for name, menu in self.filters.items() if menu.value}
        found = [r for r in self.rows if all(getattr(r, k) == v for k, v in wanted.items())]
        return ordered(found, self.order[0], falls=self.order[1])

    def _show(self) -> None:
        if not self.ready:
            return
        found = self.picked()
        if found and not any(r.id == self.chosen for r in found):
            self.chosen = found[0].id
        limit = len(found) if self.all.value else LINES
        put(self.table, proof.part_html(len(found), limit, self.order == ("verdict", True))
             + proof.table_html(found, self.order, self.chosen, limit))  # fmt: skip
        put(self.matrix, proof.matrix_html(found))
        put(self.one, proof.one_html(next((r for r in found if r.id == self.chosen), None)))
        self._draw()

    def _draw(self) -> None:
        width = float(self.width or 720)
        put(self.plot, svg(proof.picture(self.picked(), width, self.chosen), "tc-layer"))


def build() -> widgets.Widget:
    """Make the evidence page.

    Returns
    -------
    ipywidgets.Widget
        The page; it computes when a browser tells its width, or at once from the last run.
    """
    return Page(rows()).box


def main() -> widgets.Widget:
    """Show the page; the notebook's one call.

    Returns
    -------
    ipywidgets.Widget
        The page.
    """
    return build()


__all__ = ["Page", "build", "main"]
