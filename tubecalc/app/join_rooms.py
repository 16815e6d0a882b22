"""Rooms of page `join`: will it slide, will the bond hold; what every room shares."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from html import escape
from typing import Any

import ipywidgets as widgets

from tubecalc.app import view_join as view
from tubecalc.app import view_join_bond as bonds
from tubecalc.app import view_join_scatter as scatter
from tubecalc.app.bits import box, html, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.join_state import JoinChoice, JoinSession
from tubecalc.app.join_stock import carried, listed
from tubecalc.app.join_work import TYPED, TubeFound, source_of
from tubecalc.app.join_work_bond import bond_case
from tubecalc.app.layup_form import Form, Pick, Tick, button, title
from tubecalc.app.state import guard
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.joining.adhesives import adhesives, shares
from tubecalc.joining.job_joints import entries, with_joint
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.laminate.construction import composites, metals
from tubecalc.unit_words import for_system
from tubecalc.units import in_unit, to_si, unit_label

LONGEST = 60  # letters of the name of a joint
NAME = "what you call it"
USUAL = for_system("usual; +/-0.05 mm, h9", "usual; +/-0.002 in, h9")  # tolerance of an outside
SLIDES = {"mm": (2.0, 120.0, 1.0), "in": (0.1, 5.0, 0.01)}  # unit of the overlap: least, most, step
MEND = "Mend the marked field to go on; greyed is the last good result."
Options = list[tuple[str, str]]


def made_of(job: Job) -> Options:
    """Constructions, metals and own walls of a job, as (name, key)."""
    own = [(f"{c.name} (own)", k) for k, c in job.constructions.items()]
    return [*((c.name, k) for k, c in {**composites(), **metals()}.items()), *own]


def sources(choice: JoinChoice) -> Options:
    """Where a tube can be taken from, as (words, key)."""
    job = choice.job
    named = [
        (f"{n} {c.label.strip() or job.construction(c.wall).name} "
         f"{in_unit(c.od, 'length', job.units):.4g} × {in_unit(c.id, 'length', job.units):.4g} "
         f"{unit_label('length', job.units)}", str(n))
        for n, c in enumerate(job.candidates, 1)
    ]  # fmt: skip
    return [*named, ("typed here", TYPED), *listed(choice)]


def glues() -> Options:
    """Classes of adhesive, as (name, key)."""
    table = adhesives()
    pairs = dict(zip(table["key"].tolist(), table["name"].tolist(), strict=True))
    return [(str(name), str(key)) for key, name in pairs.items()]


class Room:
    """A part of the page: its fields, its results, what greys them.

    Parameters
    ----------
    session : JoinSession
        State of the page.
    """

    key = ""
    form: Form  # of a room with fields

    def __init__(self, session: JoinSession) -> None:
        self.session = session
        self.said = html("tc-used")
        self.results: list[widgets.HTML] = []
        self.box = box(self._parts(), "tc-layroom", "tc-joinroom")

    def _parts(self) -> list[Any]:
        raise NotImplementedError

    def result(self, *css: str) -> widgets.HTML:
        """Place for a result, greyed while a field is wrong."""
        made = html(*css)
        self.results.append(made)
        return made

    def _show(self, found: Any, system: str) -> None:
        raise NotImplementedError

    def _fields(self) -> None:
        """Show what is typed."""

    def show(self) -> None:
        """Show the room as it was found last."""
        session = self.session
        self._fields()
        wrong = session.stale
        words = session.problems.get(self.key) or session.problems.get("tube") or MEND
        put(self.said, f'<span class="tc-stale-note">{escape(words)}</span>' if wrong else "")
        if self.key in session.found and session.found[self.key] is not None:
            self._show(session.found[self.key], session.choice.job.units)
        for widget in self.results:
            mark(widget, "tc-stale", wrong)

    def putter(self, part: str, words: str, call: Callable[[], None]) -> widgets.Box:
        """Name of the joint, and the button that puts it into the job."""
        made = button(words, call, self.session, "it counts beside the tube's verdict then")
        return box([self.form.boxes[f"{part}.name"], made], "tc-row", "tc-joinput")

    def _join(self, spec: JointSpec, part: str = "") -> None:
        """Put a joint into the job."""
        session = self.session
        if session.stale:
            raise InputError("mend the marked field first: nothing goes into the job as it stands")
        base: TubeFound = session.found["tube"]
        name = " ".join(session.choice.get(f"{part or self.key}.name").split())
        if len(name) > LONGEST:
            raise InputError(f"a name of a joint has at most {LONGEST} letters",
                             got=f"{len(name)} letters")  # fmt: skip
        tube, before, left_out = carried(session.choice, base.candidate)
        job = with_joint(before, tube, replace(spec, name=name))
        at = next(n for n, c in enumerate(job.candidates, 1)
                  if (c.wall, c.od, c.id) == (tube.wall, tube.od, tube.id))  # fmt: skip
        session.change(job=job, texts=session.choice.put("tube.from", str(at)).texts)
        said = f"The joint is in the job now, on tube {at}"
        if len(entries(job)) == len(entries(before)):
            said += ", in place of the one of that kind and name; another name keeps both"
        session.status = " ".join(x for x in (f"{said}.", left_out) if x)


class SlideRoom(Room):
    """Two tubes one in the other."""

    key = "slide"

    def _parts(self) -> list[Any]:
        session = self.session
        self.form = Form(session, [
            Pick("slide.role", "this tube is", (("the outer one", "outer"),
                                                ("the inner one", "inner"))),
            Pick("slide.from", "the other tube", tuple(sources(session.choice))),
            Pick("slide.of", "made of", tuple(made_of(session.choice.job))),
            Field("slide.size", "its outside, or its bore", "length", "size on size"),
            Field("slide.wall", "its wall", "length"),
            Field("slide.overlap", "length in each other", "length", "bow left out"),
            Field("slide.at", "at", "temperature",
                  for_system("room; or -20 degC, 60 degC", "room; or 0 degF, 140 degF")),
            Field("slide.iso", "ISO fit", "words", "none; H7/g6"),
            Field("slide.outside", "outside of the inner one", "words", USUAL),
            Field("slide.bore", "bore of the outer one", "words",
                  for_system("usual; H7, 10.02 mm, …", "usual; H7, 0.502 in, …")),
            Field("slide.out_of_round", "out of round", "length", "within the tolerance"),
            Tick("slide.ground", "outside is ground"), Tick("slide.press", "it shall grip"),
            Field("wear.cycles", "slid in and out, times", "number", "not asked"),
            Field("wear.stroke", "way of one push", "length"),
            Field("wear.load", "pressed together by", "force"),
            Field("wear.touch", "touching over", "length"), Tick("wear.grit", "grit gets in"),
            Field("slide.name", NAME, "words", "sliding fit"),
        ])  # fmt: skip
        self.answer, self.picture = self.result(), self.result()
        self.figures, self.mind = self.result(), self.result()
        grid = self.form.grid
        self.typed = grid("slide.of", "slide.size", "slide.wall")
        put_in = self.putter("slide", "put this fit into the job", self._put)
        left = box([self.form.row("slide.role", "slide.from"), self.typed,
                    grid("slide.overlap", "slide.at"), title("What is known of both sizes"),
                    grid("slide.outside", "slide.bore", "slide.iso", "slide.out_of_round"),
                    self.form.row("slide.ground", "slide.press"),
                    title("Wear, where it slides often"),
                    grid("wear.cycles", "wear.stroke", "wear.load", "wear.touch"),
                    self.form.row("wear.grit")], "tc-laycol")  # fmt: skip
        right = box([self.picture, put_in, self.figures, self.mind], "tc-laycol")
        return [self.said, self.answer, box([left, right], "tc-laytwo", "tc-joinsplit")]

    def _put(self) -> None:
        self._join(self.session.found["slide"].spec)

    def _fields(self) -> None:
        choice = self.session.choice
        self.form.options("slide.from", sources(choice))
        self.form.options("slide.of", made_of(choice.job))
        self.form.show()
        mark(self.typed, "tc-gone", source_of(self.session.choice, "slide") is not None)

    def _show(self, found: Any, system: str) -> None:
        put(self.answer, view.slide_html(found, system))
        put(self.picture, view.slide_picture_html(found, system))
        put(self.figures, view.slide_figures_html(found, system))
        put(self.mind, view.slide_mind_html(found, system))


class BondRoom(Room):
    """Bonded insert or sleeve."""

    key = "bond"

    def _parts(self) -> list[Any]:
        session = self.session
        prepared = [(s.name, k) for (what, k, side), s in shares().items()
                    if what == "preparation" and side == "metal"]  # fmt: skip
        self.form = Form(session, [
            Pick("bond.insert", "part bonded in", tuple(made_of(session.choice.job))),
            Pick("bond.place", "it goes", (("into the bore", "inside"),
                                           ("over the tube", "over"))),
            Field("bond.wall", "its wall", "length", "solid"),
            Field("bond.overlap", "overlap", "length"),
            Field("bond.gap", "gap a side", "length", "best of the adhesive"),
            Pick("bond.glue", "adhesive", tuple(glues())),
            Pick("bond.prepared", "surfaces", tuple(prepared)),
            Pick("bond.from", "load", (("typed here", TYPED),)),
            Field("bond.axial", "pull along (− push)", "force", "none"),
            Field("bond.torque", "torque", "torque", "none"),
            Field("bond.moment", "bending moment, deep end", "moment", "none"),
            Field("bond.cold", "coldest", "temperature", "room"),
            Field("bond.hot", "hottest", "temperature", "room"),
            Field("bond.taper", "end thins out over", "length", "not at all"),
            Field("bond.barrier", "glass ply between", "length", "none"),
            Field("bond.off", "off centre by", "length", "nothing"),
            Field("bond.long", "length of the part", "length", "long enough"),
            Field("bond.broke", "one came apart at", "force", "not asked"),
            Tick("bond.wet", "wet for months"), Tick("bond.scarf", "both thin out to nothing"),
            Field("bond.name", NAME, "words", "bonded joint"),
        ])  # fmt: skip
        self.sliders = {unit: self._slider(unit) for unit in SLIDES}
        self._pushing, self._here = False, 0.0
        self.beyond = html("tc-note")
        self.answer, self.picture = self.result(), self.result()
        self.curve, self.figures, self.mind = self.result(), self.result(), self.result()
        self.scatter = self.result()
        grid = self.form.grid
        self.loads = grid("bond.axial", "bond.torque", "bond.moment")
        put_in = self.putter("bond", "put this joint into the job", self._put)
        left = box([grid("bond.insert", "bond.place", "bond.wall", "bond.overlap"),
                    box([*self.sliders.values(), self.beyond], "tc-joinslide"),
                    grid("bond.glue", "bond.gap", "bond.prepared"), title("Load"),
                    self.form.row("bond.from"), self.loads, title("Heat and wet"),
                    grid("bond.cold", "bond.hot"), self.form.row("bond.wet"),
                    title("Shape, and what happened"),
                    grid("bond.taper", "bond.barrier", "bond.off", "bond.long", "bond.broke"),
                    self.form.row("bond.scarf")], "tc-laycol")  # fmt: skip
        right = box([self.picture, self.curve, put_in, self.scatter, self.figures, self.mind],
                    "tc-laycol")  # fmt: skip
        return [self.said, self.answer, box([left, right], "tc-laytwo", "tc-joinsplit")]

    def _slider(self, unit: str) -> widgets.FloatSlider:
        """Slider of one unit; each keeps its range, so that a browser bends no value into it."""
        least, most, step = SLIDES[unit]
        made = widgets.FloatSlider(
            value=(least + most) / 2, min=least, max=most, step=step, continuous_update=True,
            readout=False, description=f"overlap, {unit}",
        )  # fmt: skip
        made.observe(guard(self.session, self._slid), names="value")
        return made

    @property
    def slider(self) -> widgets.FloatSlider:
        """The slider that is shown."""
        return self.sliders[unit_label("length", self.session.choice.job.units)]

    def _slid(self, change: Any) -> None:
        """Take what a hand does; a browser that rounds to a step is no hand."""
        shown = self.slider
        moved = change["owner"] is shown and not self._pushing
        if moved and abs(change["new"] - self._here) > 0.51 * shown.step:
            unit = unit_label("length", self.session.choice.job.units)
            self.session.edit("bond.overlap", f"{change['new']:.4g} {unit}")

    def _put(self) -> None:
        self._join(self.session.found["bond"].spec)

    def _fields(self) -> None:
        choice = self.session.choice
        cases = [(f"case {n}: {c.name or c.kind}", f"case {n}")
                 for n, c in enumerate(choice.job.need.cases, 1)]  # fmt: skip
        self.form.options("bond.from", [("typed here", TYPED), *cases])
        self.form.options("bond.insert", made_of(choice.job))
        self.form.show()
        mark(self.loads, "tc-gone", bond_case(choice) > 0)
        self._slide_to(choice.get("bond.overlap"), choice.job.units)

    def _slide_to(self, text: str, system: str) -> None:
        """Show the overlap on the slider; one that lies outside it is said, never bent."""
        shown, unit = self.slider, unit_label("length", system)
        for one in self.sliders.values():
            mark(one, "tc-gone", one is not shown)
        try:
            value = in_unit(to_si(text, "length", what="overlap"), "length", system)
        except InputError:
            put(self.beyond, "")
            return
        self._here, inside = value, shown.min <= value <= shown.max
        put(self.beyond, "" if inside else f"{value:.4g} {unit} lies outside the slider.")
        if inside and abs(shown.value - value) > 1e-6:
            self._pushing = True
            try:
                shown.value = value
            finally:
                self._pushing = False

    def _show(self, found: Any, system: str) -> None:
        put(self.answer, bonds.bond_html(found, system))
        put(self.picture, bonds.bond_picture_html(found, system))
        put(self.curve, bonds.bond_curve_html(found, system))
        put(self.figures, bonds.bond_figures_html(found, system))
        put(self.scatter, scatter.bond_scatter_html(found, system))
        put(self.mind, bonds.bond_mind_html(found, system))


__all__ = ["MEND", "NAME", "BondRoom", "Room", "SlideRoom", "glues", "made_of", "sources"]
