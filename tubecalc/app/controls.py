"""Controls beside the chart: ranges, constructions, stock list, what to compare, units."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from tubecalc.app.bits import box, put
from tubecalc.app.grammar import Field
from tubecalc.app.sentence import FieldBox
from tubecalc.app.state import SYSTEMS, Choice, Session, guard
from tubecalc.app.styles import style_in
from tubecalc.app.text import swatch_html
from tubecalc.errors import InputError
from tubecalc.share.palette import Style
from tubecalc.units import in_unit, show, to_si

STOCK_LIMIT = "CSV or XLSX, up to 50 MB"


@dataclass(frozen=True)
class Span:
    """Ends and step of a slider in one display system, in its length unit."""

    low: float
    high: float
    step: float


_SPANS = {
    "od": {"SI": Span(1, 80, 0.5), "inch": Span(0.0625, 3.25, 0.03125)},
    "wall": {"SI": Span(0.2, 6, 0.05), "inch": Span(0.01, 0.25, 0.005)},
}
_NAMES = {"od": "Outside diameter", "wall": "Wall"}


class RangeControl:
    """A slider with two handles and a box for each end; the model is never moved by clamping.

    Parameters
    ----------
    session : Session
        State of the page.
    part : str
        "od" or "wall".
    """

    def __init__(self, session: Session, part: str) -> None:
        self.session, self.part, self._pushing = session, part, False
        self._system = ""
        self.slider = widgets.FloatRangeSlider(
            value=(1.0, 2.0), min=0.0, max=100.0, readout=False, continuous_update=True,
            layout=widgets.Layout(width="100%"),
        )  # fmt: skip
        self.slider.add_class("tc-menu")
        self.ends = [
            FieldBox(
                Field(f"{part}.{k}", f"{_NAMES[part]}, {word}", "length"),
                self._typed(k),
                grows=False,
            )
            for k, word in enumerate(("least", "most"))
        ]
        boxes = widgets.Box([e.box for e in self.ends])
        boxes.add_class("tc-ends")
        title = widgets.HTML(f"<h2>{_NAMES[part]}</h2>")
        self.box = widgets.VBox([title, self.slider, boxes])
        self.box.add_class("tc-group")
        self.slider.observe(guard(session, self._slid), names="value")
        self.show(session.choice)

    def _slid(self, change: Any) -> None:
        if self._pushing:
            return
        unit = to_si(f"1 {'in' if self._system == 'inch' else 'mm'}", "length", what="slider")
        old = getattr(self.session.choice, self.part)
        near = 0.5001 * self.slider.step * unit  # the browser snaps to its steps: not a wish
        low, high = (
            was if abs(v * unit - was) <= near else round(v * unit, 7)
            for v, was in zip(change["new"], old, strict=True)
        )
        if (low, high) == old:
            return
        for k in (0, 1):
            self.session.mistake(f"{self.part}.{k}", "")
        self.session.change(**{self.part: (low, high)})

    def _typed(self, k: int) -> Callable[[str], None]:
        def typed(text: str) -> None:
            path = f"{self.part}.{k}"
            try:
                value = to_si(text, "length", what=_NAMES[self.part], positive=True)
                ends = list(getattr(self.session.choice, self.part))
                ends[k] = value
                if ends[0] > ends[1]:
                    raise InputError("the least is above the most", got=text)
            except InputError as error:
                self.session.mistake(path, error.said(self._system))
                return
            self.session.mistake(path, "")
            self.session.change(**{self.part: tuple(ends)})

        return guard(self.session, typed)

    def show(self, choice: Choice) -> None:
        """Show the range of a choice; a value beyond the slider widens the slider."""
        system = choice.units
        span = _SPANS[self.part]["inch" if system == "inch" else "SI"]
        low, high = (in_unit(v, "length", system) for v in getattr(choice, self.part))
        self._pushing = True
        try:
            with self.slider.hold_sync():
                wide = (min(span.low, low), max(span.high, high))
                if (self.slider.min, self.slider.max) != wide or self._system != system:
                    self.slider.min, self.slider.max = -1e9, 1e9
                    self.slider.step = span.step
                    self.slider.value = (low, high)
                    self.slider.min, self.slider.max = wide
                self.slider.value = (low, high)
            self._system = system
            unit = "in" if system == "inch" else "mm"
            self.slider.description = f"{_NAMES[self.part]}, {unit}"  # heard, not seen
        finally:
            self._pushing = False
        for k, value in enumerate(getattr(choice, self.part)):
            if f"{self.part}.{k}" not in self.session.mistakes:
                self.ends[k].push(show(value, "length", system))
            self.ends[k].say(self.session.mistakes.get(f"{self.part}.{k}", ""))


class Controls:
    """All controls beside the chart.

    Parameters
    ----------
    session : Session
        State of the page.
    kinds : sequence of (Style, name)
        Constructions and metals that may be shown.
    measures : sequence of (text, key)
        What the chart may compare.
    load_stock : callable
        Called with "" (any size), "demo" or (name, bytes) of an own list.
    """

    def __init__(
        self,
        session: Session,
        kinds: Sequence[tuple[Style, str]],
        measures: Sequence[tuple[str, str]],
        load_stock: Callable[[Any], None],
    ) -> None:
        self.session, self._pushing, self._load_stock = session, False, load_stock
        self.od, self.wall = RangeControl(session, "od"), RangeControl(session, "wall")
        self._make_ticks(kinds)
        self._make_source()
        self._make_measure(measures)
        self.box = widgets.Box(
            [
                widgets.VBox([self.od.box, self.wall.box]),
                self.kinds_box,
                widgets.VBox([self.source_box, self.measure_box]),
            ]
        )
        self.box.add_class("tc-controls")
        self.show(session.choice)

    def _make_ticks(self, kinds: Sequence[tuple[Style, str]]) -> None:
        self.ticks: dict[str, widgets.Checkbox] = {}
        self._spare: list[tuple[widgets.Checkbox, widgets.HTML, widgets.Box]] = []
        self._own: tuple[Any, ...] = ()
        lines: list[widgets.Widget] = []
        for style, name in kinds:
            tick, swatch, line = self._tick_line()
            tick.description, swatch.value = name, swatch_html(style)
            self.ticks[style.key] = tick
            if style.dashed and (not lines or not kinds[len(lines) - 1][0].dashed):
                line.add_class("tc-first")
            lines.append(line)
        self._lines = lines
        self._tick_box = widgets.VBox(lines)
        self._tick_box.add_class("tc-ticks")
        self.kinds_box = widgets.VBox([widgets.HTML("<h2>Constructions</h2>"), self._tick_box])
        self.kinds_box.add_class("tc-group")

    def _tick_line(self) -> tuple[widgets.Checkbox, widgets.HTML, widgets.Box]:
        tick, swatch = widgets.Checkbox(indent=False), widgets.HTML()
        tick.observe(guard(self.session, self._ticked), names="value")
        return tick, swatch, box([tick, swatch], "tc-tick")

    def _show_own(self, choice: Choice) -> None:
        """List the job's own walls before the others; their lines are made once and used again."""
        if choice.own == self._own:
            return
        for own in self._own:
            del self.ticks[own.key]
        while len(self._spare) < len(choice.own):
            self._spare.append(self._tick_line())
        mine = self._spare[: len(choice.own)]
        ticks = {}
        for own, (tick, swatch, _) in zip(choice.own, mine, strict=True):
            tick.description = f"{own.name} (own)"
            put(swatch, swatch_html(style_in(choice, own.key)))
            ticks[own.key] = tick
        self.ticks = {**ticks, **self.ticks}
        self._own = choice.own
        self._tick_box.children = [*(line for *_, line in mine), *self._lines]

    def _make_source(self) -> None:
        self.source = widgets.Dropdown(
            options=[("any size", ""), ("demo stock list", "demo")], description="sizes from"
        )
        self.source.observe(guard(self.session, self._source_changed), names="value")
        self.upload = widgets.FileUpload(
            accept=".csv,.xlsx", multiple=False, description="own stock list", icon=""
        )
        self.upload.observe(guard(self.session, self._uploaded), names="value")
        self.source.add_class("tc-menu")
        self.upload.add_class("tc-upstock")
        self.beyond = widgets.Checkbox(description="unusual sizes too", indent=False)
        self.beyond.observe(guard(self.session, self._beyond_changed), names="value")
        self.source_note = widgets.HTML(f'<div class="tc-note">{STOCK_LIMIT}.</div>')
        self.source_box = widgets.VBox(
            [widgets.HTML("<h2>From</h2>"), self.source, self.beyond, self.upload, self.source_note]
        )
        self.source_box.add_class("tc-group")

    def _make_measure(self, measures: Sequence[tuple[str, str]]) -> None:
        self.weight = widgets.Checkbox(description="weight for weight", indent=False)
        self.measure = widgets.Dropdown(options=list(measures), description="by")
        self.measure.add_class("tc-menu")
        self.weight.observe(guard(self.session, self._measure_changed), names="value")
        self.measure.observe(guard(self.session, self._measure_changed), names="value")
        self.measure_box = widgets.VBox(
            [widgets.HTML("<h2>Compare</h2>"), self.weight, self.measure]
        )
        self.measure_box.add_class("tc-group")

    def _ticked(self, _: Any) -> None:
        if not self._pushing:
            chosen = tuple(key for key, tick in self.ticks.items() if tick.value)
            self.session.change(constructions=chosen)

    def _beyond_changed(self, change: Any) -> None:
        if not self._pushing:
            self.session.change(beyond=bool(change["new"]))

    def _source_changed(self, change: Any) -> None:
        if not self._pushing:
            self._load_stock(change["new"])

    def _uploaded(self, change: Any) -> None:
        if change["new"]:
            file = change["new"][0]
            self._load_stock((str(file["name"]), bytes(file["content"])))
            self.upload.value = ()

    def _measure_changed(self, _: Any) -> None:
        if not self._pushing:
            self.session.change(measure=self.measure.value if self.weight.value else "mass")

    def show(self, choice: Choice) -> None:
        """Show a choice without telling of it."""
        self.od.show(choice)
        self.wall.show(choice)
        self._pushing = True
        try:
            self._show_own(choice)
            for key, tick in self.ticks.items():
                tick.value = key in choice.constructions
            self.weight.value = choice.measure != "mass"
            if choice.measure != "mass":
                self.measure.value = choice.measure
            self.beyond.value = choice.beyond
            self.measure.disabled = choice.measure == "mass"
            self._show_source(choice)
        finally:
            self._pushing = False

    def _show_source(self, choice: Choice) -> None:
        options = [("any size", ""), ("demo stock list", "demo")]
        value = ""
        if choice.stock is not None:
            value = "demo" if choice.stock.name == "demo" else "own"
            if value == "own":
                options.append((choice.stock.name, "own"))
        if tuple(self.source.options) != tuple(options):
            self.source.options = options
        self.source.value = value


def units_menu(session: Session) -> widgets.Dropdown:
    """Menu of display systems.

    Parameters
    ----------
    session : Session
        State of the page.

    Returns
    -------
    ipywidgets.Dropdown
        The menu.
    """
    menu = widgets.Dropdown(
        options=[(text, key) for key, text in SYSTEMS.items()], description="units"
    )
    menu.observe(guard(session, lambda c: session.change(units=c["new"])), names="value")
    return menu
