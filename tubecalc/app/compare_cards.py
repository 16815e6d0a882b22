"""The tubes that are compared, as rows of fields; made once, then only their values move."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import ipywidgets as widgets

from tubecalc.app.compare_state import MOST, CompareResult, CompareSession
from tubecalc.app.demo import demo_stock
from tubecalc.app.grammar import Field
from tubecalc.app.sentence import FieldBox
from tubecalc.app.state import guard
from tubecalc.app.styles import style_for
from tubecalc.app.text import swatch_html
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.laminate.construction import composites, metals
from tubecalc.unit_display import show
from tubecalc.units import to_si

LARGEST = 2.0  # outside diameter that is taken [m]
_SIZES = {"od": "outside", "id": "bore", "wall": "wall"}


@cache
def stock_entries() -> tuple[tuple[str, Candidate], ...]:
    """Tubes of the demo stock list, as they are called there.

    Returns
    -------
    tuple of (str, Candidate)
    """
    table = demo_stock().stock.table
    out = []
    for row in table.to_dict("records"):
        od, bore = float(row["od_mm"]), float(row["id_mm"])
        price = float(row.get("price", math.nan))
        candidate = Candidate(
            str(row["construction"]), round(od * 1e-3, 9), round(bore * 1e-3, 9),
            price=_per_metre(price, float(row.get("length_mm", math.nan))),
            note=str(row.get("id", "")),
        )  # fmt: skip
        out.append((f"{row['id']}, {row['construction']} {od:g} × {bore:g} mm", candidate))
    return tuple(out)


def _per_metre(price: float, length_mm: float) -> float:
    """Price of a length over that length [per m]; NaN where either is not known."""
    value = price / (length_mm * 1e-3) if length_mm > 0 else math.nan
    return round(value, 4) if value >= 0 else math.nan


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
        raise InputError("is out of range", where=_SIZES[part], got=f"{value * 1e3:.6g} mm",
                         expected=f"up to {LARGEST * 1e3:g} mm")  # fmt: skip
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
            got=f"wall {made * 1e3:.4g} mm in {od * 1e3:.4g} mm",
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
        self.kind = widgets.Dropdown(options=_kinds(session.choice.job), description="made of")
        self.kind.observe(guard(session, self._kind_changed), names="value")
        self.sizes = {
            part: FieldBox(Field(f"{n}.{part}", label, "length"), self._typed(part), grows=False)
            for part, label in _SIZES.items()
        }
        self.price = FieldBox(
            Field(f"{n}.price", "price per metre", "number"), self._typed("price"), grows=False
        )
        self.drop = widgets.Button(description="remove", tooltip="take this tube away")
        self.drop.on_click(guard(session, lambda _: session.drop(n)))
        self.box = widgets.Box(
            [self.tag, self.kind, *(f.box for f in self.sizes.values()), self.price.box, self.drop]
        )
        self.box.add_class("tc-cand")

    def _kind_changed(self, change: Any) -> None:
        if not self._pushing and change["new"]:
            job = self.session.choice.job
            old = self.session.choice.shown[self.n]
            self.session.put(self.n, replace(made_of(old, change["new"], job), price=math.nan))

    def _typed(self, part: str) -> Callable[[str], None]:
        def typed(text: str) -> None:
            path = f"{self.n}.{part}"
            try:
                new = self._changed(part, text)
            except InputError as error:
                self.session.mistake(path, str(error))
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
        value = to_si(text, "length", what=_SIZES[part], positive=part != "id")
        return sized(old, part, value, self.session.choice.job)

    def show(self) -> None:
        """Show the candidate as it stands; what was typed wrong stays as it was typed."""
        choice = self.session.choice
        here = self.n < len(choice.shown)
        (self.box.remove_class if here else self.box.add_class)("tc-gone")
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
        wrong = self.session.mistakes.get(f"{self.n}.price", "")
        if not wrong:
            self.price.push("" if math.isnan(candidate.price) else f"{candidate.price:g}")
        self.price.say(wrong)

    def _push_kind(self, key: str, name: str) -> None:
        """Put the menu on a construction without telling of it; one not listed is added."""
        kinds = _kinds(self.session.choice.job)
        if key not in [k for _, k in kinds]:
            kinds = (*kinds, (name, key))
        self._pushing = True
        try:
            if tuple(self.kind.options) != kinds:
                self.kind.options = kinds
            self.kind.value = key
        finally:
            self._pushing = False


def _kinds(job: Job) -> tuple[tuple[str, str], ...]:
    """What a tube may be made of: name and key, the job's own walls first."""
    every = {**job.constructions, **composites(), **metals()}
    return tuple((c.name, k) for k, c in every.items())


class Cards:
    """All rows, and the menus that add one.

    Parameters
    ----------
    session : CompareSession
        State of the page.
    """

    def __init__(self, session: CompareSession) -> None:
        self.session, self._pushing = session, False
        self.cards = [Card(session, n) for n in range(MOST)]
        self.box = widgets.Box([c.box for c in self.cards])
        self.box.add_class("tc-cands")
        self.new = widgets.Dropdown(options=[("add a tube …", "")], description="add a tube")
        self.stock = widgets.Dropdown(
            options=[("from the demo stock list …", -1),
                     *((text, k) for k, (text, _) in enumerate(stock_entries()))],
            description="from stock",
        )  # fmt: skip
        for menu, call in ((self.new, self._new_chosen), (self.stock, self._stock_chosen)):
            menu.add_class("tc-menu")
            menu.observe(guard(session, call), names="value")
        self.show()

    def _new_chosen(self, change: Any) -> None:
        key = change["new"]
        if self._pushing or not key:
            return
        self._reset(self.new, "")
        choice = self.session.choice
        old = choice.shown[min(choice.reference, len(choice.shown) - 1)] if choice.shown else None
        start = old or Candidate(key, 0.02, 0.018)
        self.session.add(made_of(start, key, choice.job))

    def _stock_chosen(self, change: Any) -> None:
        if self._pushing or change["new"] is None or change["new"] < 0:
            return
        self._reset(self.stock, -1)
        self.session.add(stock_entries()[change["new"]][1])

    def _reset(self, menu: widgets.Dropdown, value: Any) -> None:
        self._pushing = True
        try:
            menu.value = value
        finally:
            self._pushing = False

    def show(self) -> None:
        """Show every candidate."""
        kinds = [("add a tube …", ""), *_kinds(self.session.choice.job)]
        if tuple(self.new.options) != tuple(kinds):
            self.new.options = kinds
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
            row = widgets.Box([text, button])
            row.add_class("tc-eqrow")
            self.rows.append((text, button, row))
        self.box = widgets.Box([row for *_, row in self.rows])
        self.box.add_class("tc-eqs")

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
            (row.remove_class if html else row.add_class)("tc-gone")
            if text.value != html:
                text.value = html
            found = result.equals[n] if n < len(result.equals) else None
            button.layout.display = "" if found is not None and found.tube is not None else "none"


__all__ = ["Card", "Cards", "Equals", "made_of", "sized", "stock_entries"]
