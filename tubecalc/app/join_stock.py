"""Stock lists on page `join`: the demo list or one's own, and the tubes taken from them."""

from __future__ import annotations

from functools import cache
from typing import Any

import ipywidgets as widgets

from tubecalc.app.bits import box, html, mark, put
from tubecalc.app.controls import STOCK_LIMIT
from tubecalc.app.grammar import Field
from tubecalc.app.join_state import LISTED, JoinChoice, JoinSession
from tubecalc.app.layup_form import Form
from tubecalc.app.state import guard
from tubecalc.app.stocks import Entry, demo_stock, entries, open_stock, priced, read_words
from tubecalc.job import Candidate, Job
from tubecalc.unit_words import say

FINDS = 100  # a list longer than this can be searched
GROUPS = ("tube", "slide")


@cache
def demo_tubes() -> dict[str, Entry]:
    """Tubes of the stock list that comes with tubecalc, by key.

    Returns
    -------
    dict

    Examples
    --------
    >>> demo_tubes()["stock PU-01"].words
    'PU-01, pultruded 1 × 0.5 mm'
    """
    return {f"stock {e.candidate.note}": e for e in entries(demo_stock())}


def entry_at(choice: JoinChoice, group: str) -> Entry | None:
    """Tube of a stock list that a group of fields takes, None where it takes none.

    Parameters
    ----------
    choice : JoinChoice
        The choice.
    group : str
        "tube" or "slide".

    Returns
    -------
    Entry or None

    Examples
    --------
    >>> entry_at(JoinChoice(), "tube") is None
    True
    """
    return choice.own_entry(group) or demo_tubes().get(choice.get(f"{group}.from"))


def listed(choice: JoinChoice) -> list[tuple[str, str]]:
    """Tubes of the list that is open as (words, key): those sought, and those taken.

    Parameters
    ----------
    choice : JoinChoice
        The choice.

    Returns
    -------
    list of tuple

    Examples
    --------
    >>> listed(JoinChoice())[0]
    ('stock: PU-01, pultruded 1 × 0.5 mm', 'stock PU-01')
    """
    units = choice.job.units
    if choice.stock is None:
        return [(f"stock: {say(e.words, units)}", key) for key, e in demo_tubes().items()]
    taken = {choice.get(f"{g}.from") for g in GROUPS}
    sought = choice.get("stock.find").strip().lower()
    found = [
        (f"own stock: {say(e.words, units)}", f"own {n}")
        for n, e in enumerate(choice.stock.entries, 1)
        if sought in say(e.words, units).lower() or f"own {n}" in taken
    ]
    kept = [x for n, x in enumerate(found) if n < LISTED or x[1] in taken]
    demo = [(f"stock: {say(e.words, units)}", k) for k, e in demo_tubes().items() if k in taken]
    return [*kept, *demo]


def carried(choice: JoinChoice, candidate: Candidate) -> tuple[Candidate, Job, str]:
    """The tube as the job takes it: its price only in the currency of the job.

    Parameters
    ----------
    choice : JoinChoice
        The choice.
    candidate : Candidate
        The tube.

    Returns
    -------
    tuple of Candidate, Job and str
        Tube, job, a sentence on what was left out.

    Examples
    --------
    >>> carried(JoinChoice(), Candidate("304", 0.02, 0.018))[2]
    ''
    """
    taken = entry_at(choice, "tube")
    return priced(taken, choice.job) if taken is not None else (candidate, choice.job, "")


class StockRow:
    """Row in which an own stock list is opened, and searched where it is long.

    Parameters
    ----------
    session : JoinSession
        State of the page.
    """

    def __init__(self, session: JoinSession) -> None:
        self.session = session
        self.upload = widgets.FileUpload(
            accept=".csv,.xlsx", multiple=False, description="own stock list", icon=""
        )
        self.upload.add_class("tc-upstock")
        self.upload.tooltip = STOCK_LIMIT
        self.upload.observe(guard(session, self._uploaded), names="value")
        self.form = Form(session, [Field("stock.find", "find in the list", "words", "any")])
        self.note = html("tc-note")
        find = self.form.boxes["stock.find"]
        self.box = box([self.upload, find, self.note], "tc-row", "tc-joinstock")

    def _uploaded(self, change: Any) -> None:
        if not change["new"]:
            return
        file = change["new"][0]
        content, self.upload.value = bytes(file["content"]), ()
        found = open_stock(str(file["name"]), content)
        self.session.stocked(found.name, entries(found))
        self.session.status = f"{found.name}: {read_words(found)}"

    def show(self) -> None:
        """Show what list is open."""
        stock = self.session.choice.stock
        self.form.show()
        many = 0 if stock is None else len(stock.entries)
        mark(self.form.boxes["stock.find"], "tc-gone", many <= FINDS)
        said = "" if stock is None else f"{stock.name[:40]}: {many} tubes to choose from above."
        if many > LISTED:
            said += f" {LISTED} at once are in the menus: find the one you mean."
        put(self.note, said)


__all__ = ["GROUPS", "StockRow", "carried", "demo_tubes", "entry_at", "listed"]
