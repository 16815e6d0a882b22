"""More rooms of page `join`: bolts and clamps, metals, heat, workshop, joints of the job."""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets

from tubecalc import datafiles
from tubecalc.app import view_join as view
from tubecalc.app import view_join_bond as bonds
from tubecalc.app import view_join_scatter as scatter
from tubecalc.app.bits import box, html, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.join_reopen import reopened
from tubecalc.app.join_rooms import NAME, Options, Room, glues
from tubecalc.app.join_state import JoinSession
from tubecalc.app.layup_form import Form, Pick, Tick, button, title, told
from tubecalc.app.view_growth import hotter_need_html, judged_growth_html
from tubecalc.errors import InputError
from tubecalc.joining.clamps import CLAMPS
from tubecalc.joining.galvanic import known_materials
from tubecalc.joining.job_joints import joint_rows, without_joint
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.joining.notes import WORKS
from tubecalc.joining.sun import surfaces
from tubecalc.laminate.construction import metals
from tubecalc.unit_words import for_system

_NONE = ("none", "")


def _metals() -> Options:
    return [(c.name, k) for k, c in metals().items()]


def _members(part: str) -> Options:
    rows = datafiles.rows("joining/members.csv")
    return [_NONE, *((r["name"], r["key"]) for r in rows if r["part"] == part)]


def _split(left: list[Any], right: list[Any]) -> Any:
    """Fields at the left, what they give at the right; one below the other on a small screen."""
    return box([box(left, "tc-laycol"), box(right, "tc-laycol")], "tc-laytwo", "tc-joinsplit")


class BoltRoom(Room):
    """Bolt or pin, thread, split clamp."""

    key = "bolt"

    def _parts(self) -> list[Any]:
        session = self.session
        self.form = Form(session, [
            Field("bolt.hole", "hole and pin", "length"),
            Field("bolt.load", "pull along (− push)", "force"),
            Field("bolt.edge", "hole to the end", "length", "not looked at"),
            Field("bolt.moment", "bending there", "moment", "none"),
            Pick("bolt.place", "the hole lies", (("where it bends most", "face"),
                                                 ("at the neutral axis", "side"))),
            Pick("bolt.pin", "pin of", (("not looked at", ""), *_metals())),
            Field("clamp.length", "clamp along the tube", "length"),
            Field("clamp.screw", "screw", "length"), Field("clamp.screws", "screws", "words"),
            Pick("clamp.style", "kind", tuple((k, k) for k in CLAMPS)),
            Field("clamp.load", "it must hold", "force", "not asked"),
            Field("clamp.washer", "washers of a bolt", "length"),
            Tick("clamp.plug", "tight plug in the bore"),
            Field("bolt.name", NAME, "words", "bolt"),
            Field("clamp.name", NAME, "words", "split clamp"),
            Field("thread.name", NAME, "words", "thread"),
        ])  # fmt: skip
        self.answer, self.bolt = self.result(), self.result()
        self.thread, self.clamp = self.result(), self.result()
        self.hole, self.grip, self.ring = self.result(), self.result(), self.result()
        grid = self.form.grid
        to_job = self.putter("bolt", "put this bolt into the job", lambda: self._put(0))
        to_job_too = self.putter("clamp", "put this clamp into the job", lambda: self._put(1))
        thread = self.putter("thread", "put this thread into the job",
                             lambda: self._join(JointSpec("thread"), "thread"))  # fmt: skip
        return [
            self.said, self.answer,
            _split([title("Bolt or pin through both walls"),
                    grid("bolt.hole", "bolt.load", "bolt.edge", "bolt.moment", "bolt.place",
                         "bolt.pin", "clamp.washer"), self.form.row("clamp.plug")],
                   [self.hole, to_job, self.bolt]),
            title("Thread"), self.thread, thread, title("Split clamp, and a bolt between washers"),
            self.clamp,
            _split([grid("clamp.length", "clamp.screw", "clamp.screws", "clamp.style",
                         "clamp.load")], [self.ring, to_job_too, self.grip]),
        ]  # fmt: skip

    def _put(self, n: int) -> None:
        self._join(self.session.found["bolt"].specs[n], ("bolt", "clamp")[n])

    def _fields(self) -> None:
        self.form.show()

    def _show(self, found: Any, system: str) -> None:
        put(self.answer, bonds.bolt_html(found, system))
        put(self.hole, scatter.bolt_picture_html(found, system))
        put(self.bolt, scatter.bolt_scatter_html() + bonds.ways_to_fail_html(found, system))
        put(self.thread, bonds.thread_html(found))
        put(self.clamp, bonds.clamp_html(found, system))
        put(self.ring, scatter.clamp_picture_html(found, system))
        put(self.grip, bonds.clamp_figures_html(found, system))


class MetalRoom(Room):
    """Which material may touch the tube."""

    key = "metal"

    def _parts(self) -> list[Any]:
        places = tuple((words, key) for key, words in bonds.PLACES.items())
        self.form = Form(self.session, [
            Pick("metal.other", "it touches", tuple((m, m) for m in known_materials())),
            Pick("metal.env", "where it is", places),
        ])  # fmt: skip
        self.answer, self.ways, self.table = self.result(), self.result(), self.result()
        self.picture = self.result()
        return [self.said, self.answer,
                _split([self.form.grid("metal.other", "metal.env"), self.ways], [self.picture]),
                title("Everything that may touch it"), self.table]  # fmt: skip

    def _fields(self) -> None:
        self.form.show()

    def _show(self, found: Any, system: str) -> None:
        put(self.answer, bonds.metal_html(found) + scatter.pair_scatter_html(found))
        where = bonds.PLACES[found.couple.environment]
        put(self.picture, scatter.pair_picture_html(found.couple, where))
        put(self.ways, bonds.ways_html(found))
        put(self.table, bonds.metals_html(found))


class HeatRoom(Room):
    """Weakest member, sun, growth."""

    key = "heat"

    def _parts(self) -> list[Any]:
        skins = [("the bare tube", ""), *zip(surfaces()["name"].tolist(),
                                             surfaces()["key"].tolist(), strict=True)]  # fmt: skip
        inserts = [*_members("insert"), *_metals()]
        self.form = Form(self.session, [
            Pick("heat.by", "heat", (("it lies in the sun", "sun"), ("a temperature", "typed"))),
            Field("heat.air", "air in the shade", "temperature"),
            Field("heat.wind", "wind", "velocity"),
            Pick("heat.surface", "surface", tuple((str(a), str(b)) for a, b in skins)),
            Field("heat.at", "temperature", "temperature"),
            Pick("heat.glue", "adhesive", (_NONE, *glues())),
            Field("heat.glass", "or one that softens at", "temperature", "of its class"),
            Field("heat.own", "tube softens at", "temperature", "of its class"),
            Pick("heat.insert", "insert", tuple(inserts)),
            Pick("heat.finish", "finish", tuple(_members("finish"))),
            Tick("heat.wet", "wet for months"),
            Field("heat.length", "length", "length"),
            Field("heat.rise", "warmer by", "temperature_difference"),
            Pick("heat.other", "with a part of", tuple(_metals())),
            Field("growth.part", "that part in line", "length",
                  for_system("none; -100 mm runs back", "none; -4 in runs back")),
            Field("growth.allowed", "may grow by", "length", "not asked"),
            Field("heat.name", NAME, "words", "weakest part in the heat"),
            Field("growth.name", NAME, "words", "growth with heat"),
        ])  # fmt: skip
        self.answer, self.members, self.growth = self.result(), self.result(), self.result()
        self.picture, self.lengths, self.judged = self.result(), self.result(), self.result()
        grid = self.form.grid
        heat_in = self.putter("heat", "put this heat into the job", self._put)
        growth_in = self.putter("growth", "put this growth into the job", self._put_growth)
        self.sun, self.hot = grid("heat.air", "heat.wind", "heat.surface"), grid("heat.at")
        return [
            self.said, self.answer,
            _split([self.form.row("heat.by"), self.sun, self.hot,
                    grid("heat.glue", "heat.glass", "heat.own", "heat.insert", "heat.finish"),
                    self.form.row("heat.wet")], [self.picture, heat_in, self.members]),
            title("How much it grows"), self.judged,
            _split([grid("heat.length", "heat.rise", "heat.other", "growth.part",
                         "growth.allowed")], [self.lengths, growth_in, self.growth]),
        ]  # fmt: skip

    def _put(self) -> None:
        self._join(self.session.found["heat"].spec)

    def _put_growth(self) -> None:
        spec = self.session.found["heat"].growth_spec
        if spec is None:
            raise InputError("how much this tube grows is not known: nothing goes into the job")
        self._join(spec, "growth")

    def _fields(self) -> None:
        self.form.show()
        sunny = self.session.choice.get("heat.by") == "sun"
        mark(self.sun, "tc-gone", not sunny)
        mark(self.hot, "tc-gone", sunny)

    def _show(self, found: Any, system: str) -> None:
        hotter = hotter_need_html(found.heat, found.need, system)
        put(self.answer, bonds.heat_html(found, system) + hotter)
        put(self.picture, scatter.heat_picture_html(found, system))
        put(self.members, bonds.members_html(found, system)
            + scatter.heat_scatter_html(found, system))  # fmt: skip
        put(self.lengths, scatter.growth_picture_html(found, system))
        put(self.judged, judged_growth_html(found.growth, system))
        minds = found.growth.cautions if found.growth is not None else ()
        put(self.growth, bonds.growth_html(found, system) + view.mind_html(minds))


class ShopRoom(Room):
    """Notes for cutting, sanding and drilling."""

    key = "shop"

    def _parts(self) -> list[Any]:
        works = (("all of it", ""), *((w, w) for w in WORKS))
        self.form = Form(self.session, [Pick("shop.work", "notes for", works)])
        self.notes = self.result()
        return [self.form.row("shop.work"), self.said, self.notes,
                told("Common practice of the trade where no source is named.")]  # fmt: skip

    def _fields(self) -> None:
        self.form.show()

    def _show(self, found: Any, system: str) -> None:
        put(self.notes, bonds.notes_html(found, system))


class JobJoints:
    """Joints that the job holds, and how one of them leaves it.

    Parameters
    ----------
    session : JoinSession
        State of the page.
    """

    def __init__(self, session: JoinSession) -> None:
        self.session = session
        self.table = html()
        self.which = widgets.Dropdown(options=[("joint 1", 0)], description="joint")
        self.open = button("open it in its room", self._open, session, "to look at it or change it")
        self.out = button("take it out of the job", self._out, session)
        self.row = box([self.which, self.open, self.out], "tc-row")
        self.box = box([self.table, self.row], "tc-joinjob")

    def _out(self) -> None:
        if self.which.value is not None:
            session = self.session
            session.change(job=without_joint(session.choice.job, int(self.which.value)))
            session.status = "The joint is out of the job."

    def _open(self) -> None:
        if self.which.value is not None:
            session = self.session
            session.choice = reopened(session.choice, int(self.which.value))
            session.status = "The joint is open in its room; under its name it is put back changed."

    def show(self) -> None:
        """Show the joints as the job holds them."""
        choice = self.session.choice
        rows = joint_rows(choice.job)
        mark(self.box, "tc-gone", not rows)
        options = [(f"{r.number + 1} {r.name}", r.number) for r in rows]
        if options and list(self.which.options) != options:
            self.which.options = options
        put(self.table, view.joints_html(rows, choice))


__all__ = ["BoltRoom", "HeatRoom", "JobJoints", "MetalRoom", "ShopRoom"]
