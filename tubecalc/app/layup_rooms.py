"""Rooms of page `layup`: the wall, what it carries, a ply from fibre and resin."""

from __future__ import annotations

from dataclasses import replace
from html import escape

from tubecalc import datafiles
from tubecalc.app import view_layup as view
from tubecalc.app.bits import box, html, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.layup_editor import Editor
from tubecalc.app.layup_form import Form, Pick, Tick, button, title, told
from tubecalc.app.layup_rows import Row, data_plies, rows_of
from tubecalc.app.layup_state import LayupSession
from tubecalc.app.layup_work import LOADS, WallFound, case_of
from tubecalc.errors import InputError
from tubecalc.laminate.cloth import WEAVES
from tubecalc.laminate.constituents import Fibre, Resin, get_fibre, get_resin
from tubecalc.laminate.construction import composites
from tubecalc.laminate.own_ply import ply_of, ply_table, table_of
from tubecalc.units import to_si


class WallRoom:
    """Stack editor, wall to scale, figures, stiffness over angle.

    Parameters
    ----------
    session : LayupSession
        State of the page.
    """

    def __init__(self, session: LayupSession) -> None:
        self.session = session
        self._shown: tuple[WallFound, str] | None = None
        self.editor = Editor(session)
        self.form = Form(session, [
            Pick("from.what", "start again from", self._sources()),
            Field("from.wall", "with a wall of about", "length"),
        ])  # fmt: skip
        self.start = button("lay it", self._lay, session, "takes the place of the stack above")
        self.wall, self.polar, self.figures = html(), html(), html()
        self.notes, self.abd = html(), html()
        again = box([*self.form.boxes.values(), self.start], "tc-row", "tc-layagain")
        left = box([self.editor.box, again, self.notes], "tc-laycol")
        mid = box([title("The wall to scale"), self.wall, title("Stiffness over angle"),
                   self.polar], "tc-laycol")  # fmt: skip
        right = box([self.figures, self.abd], "tc-laycol")
        self.results = (self.wall, self.polar, self.figures, self.notes, self.abd)
        self.box = box([left, mid, right], "tc-laywall")

    def _sources(self) -> tuple[tuple[str, str], ...]:
        own = self.session.choice.job.constructions
        named = [(f"{c.name} (own)", k) for k, c in own.items()]
        return (*((c.name, k) for k, c in composites().items()), *named)

    def _lay(self) -> None:
        choice = self.session.choice
        made = choice.job.construction(choice.get("from.what"))
        wall = to_si(choice.get("from.wall"), "length", what="wall", positive=True)
        layers = made.layup(wall).layers
        plies = dict(choice.plies)
        for x in layers:
            if x.key not in data_plies() and x.key not in plies:
                plies[x.key] = ply_of(table_of(x.values))
        self.session.choice = replace(choice, plies=plies)
        self.session.stack(rows_of(layers, plies))

    def show(self) -> None:
        """Show the wall as it was found last, pictures first."""
        found, system = self.session.found.get("wall"), self.session.choice.job.units
        if found is not None:
            self._results(found, system)
        for widget in self.results:
            mark(widget, "tc-stale", self.session.stale)
        self.editor.show()
        self.form.options("from.what", self._sources())
        self.form.show()

    def _results(self, found: WallFound, system: str) -> None:
        if self._shown is not None and self._shown[0] is found and self._shown[1] == system:
            return
        self._shown = found, system
        put(self.wall, view.wall_html(found, system))
        put(self.polar, view.polar_html(found, system))
        put(self.figures, view.figures_html(found, system))
        put(self.notes, view.notes_html(found))
        put(self.abd, view.abd_html(found))


_PLAIN = (
    "Strengths of the plies as they are at room temperature, dry and under a short load, no factor "
    "counted. Page choose and the customer's papers lower them for heat, moisture and time, and "
    "count the factors of the need."
)


class LoadRoom:
    """A load, and ply by ply how the wall carries it.

    Parameters
    ----------
    session : LayupSession
        State of the page.
    """

    def __init__(self, session: LayupSession) -> None:
        self.session = session
        loads = [Field(f"load.{k}", words, kind, "none") for k, (kind, words) in LOADS.items()]
        self.form = Form(session, [
            Pick("load.from", "load", (("typed here", "typed"),)), *loads,
            Pick("load.ends", "ends under pressure", (("open", "open"), ("closed", "closed"))),
            Field("load.at", "at", "temperature", "20 degC"),
            Tick("load.cure", "count the stress of cure"),
        ])  # fmt: skip
        self.typed = self.form.grid(*(f"load.{k}" for k in LOADS), "load.ends")
        self.used, self.words, self.picture, self.table = (
            html("tc-used"), html("tc-said"), html(), html()
        )  # fmt: skip
        self.stack = box([self.picture], "tc-stack")
        top = self.form.row("load.from", "load.at", "load.cure")
        self.box = box(
            [top, self.typed, self.used, self.words, self.stack,
             title("Every ply, where it is worst"), self.table, told(_PLAIN)], "tc-layroom",
        )  # fmt: skip

    def show(self) -> None:
        """Show the load as it was found last."""
        choice = self.session.choice
        cases = [(f"case {n}: {c.name or c.kind}", f"case {n}")
                 for n, c in enumerate(choice.job.need.cases, 1)]  # fmt: skip
        self.form.options("load.from", [("typed here", "typed"), *cases])
        self.form.show()
        mark(self.typed, "tc-gone", case_of(choice) > 0)
        got, wall = self.session.found.get("load"), self.session.found.get("wall")
        wrong = self.session.wrong("load") or self.session.stale
        if got is None or wall is None:
            put(self.used, note_of(self.session, "load"))
            return
        system = choice.job.units
        put(self.words, view.load_html(got, wall, system))
        put(self.picture, view.through_html(got, wall, choice.width, system))
        put(self.table, view.load_table_html(got, choice, system))
        put(self.used, note_of(self.session, "load") or view.load_words(got, system))
        for widget in (self.words, self.stack, self.table):
            mark(widget, "tc-stale", wrong)


def note_of(session: LayupSession, group: str) -> str:
    """What is wrong with a group as a whole, or with the wall, as HTML."""
    words = session.problems.get(group, "")
    if not words and session.stale:
        words = "Mend the wall first: greyed is the last good result."
    return plain_note(words)


class PlyRoom:
    """Fibre and resin to a ply, with the band between the methods.

    Parameters
    ----------
    session : LayupSession
        State of the page.
    """

    def __init__(self, session: LayupSession) -> None:
        self.session = session
        fibres, resins = constituent_names()
        self.form = Form(session, [
            Pick("ply.fibre", "fibre", fibres), Pick("ply.resin", "resin", resins),
            Pick("ply.by", "content by", (("volume", "volume"), ("weight", "weight"))),
            Field("ply.content", "fibre content", "ratio", "from weight and thickness"),
            Field("ply.voids", "voids", "ratio", "none"),
            Pick("ply.weave", "weave", tuple((_WEAVE[w], w) for w in WEAVES)),
            Field("ply.crimp", "crimp factor", "ratio", "usual for the weave"),
            Field("ply.areal_weight", "fibre per area", "areal_weight", "not known"),
            Field("ply.thickness", "cured thickness", "length", "from the weight"),
            Field("ply.name", "name of the ply", "words", "fibre / resin"),
        ])  # fmt: skip
        self.use = button("use as ply in the stack", self._use, session, "laid outside the others")
        self.said, self.result = html("tc-used"), html()
        left = box([self.form.grid(*self.form.boxes), box([self.use], "tc-row"), self.said],
                   "tc-laycol")  # fmt: skip
        self.box = box([told("What a ply would be, from what it is made of. The band spans the "
                             "methods and their error against measured plies; strengths are a "
                             "first idea."),
                        box([left, self.result], "tc-laytwo", "tc-laynarrow")],
                       "tc-layroom")  # fmt: skip

    def _use(self) -> None:
        session = self.session
        made = session.found.get("ply")
        if made is None or session.wrong("ply"):
            raise InputError("mend the marked field first: this ply is not what is written")
        if made.thickness != made.thickness:
            raise InputError("a ply in a stack needs its thickness: type it, or the fibre per area")
        name = made.ply.name[:60]
        ply = ply_of({**ply_table(made.ply), "name": name})
        choice = session.choice
        rows = choice.rows
        fresh = name not in choice.plies
        if fresh or not any(r.ply == name for r in rows):
            rows = (*rows, Row(name))
        session.choice = replace(choice, plies={**choice.plies, name: ply}, rows=rows,
                                 section="wall")  # fmt: skip
        session.status = f"{name} is a ply of this job now."

    def show(self) -> None:
        """Show the ply as it was found last."""
        self.form.show()
        made = self.session.found.get("ply")
        put(self.said, plain_note(self.session.problems.get("ply", "")))
        if made is not None:
            put(self.result, view.made_html(made, self.session.choice.job.units))
        mark(self.result, "tc-stale", self.session.wrong("ply"))


def plain_note(words: str) -> str:
    """Words that warn, as HTML; "" for none."""
    return f'<span class="tc-stale-note">{escape(words)}</span>' if words else ""


_WEAVE = {"ud": "unidirectional", "plain": "plain cloth", "twill": "twill cloth",
          "satin": "satin cloth"}  # fmt: skip


def constituent_names() -> tuple[tuple[tuple[str, str], ...], tuple[tuple[str, str], ...]]:
    """Fibres and resins that come with tubecalc, as (name, key).

    Returns
    -------
    tuple of tuple
        Fibres, resins.

    Examples
    --------
    >>> "epoxy" in dict((key, name) for name, key in constituent_names()[1])
    True
    """
    keys = list(dict.fromkeys(r["key"] for r in datafiles.rows("materials/constituents.csv")))
    fibres: list[tuple[str, str]] = []
    resins: list[tuple[str, str]] = []
    for key in keys:
        try:
            made: Fibre | Resin = get_fibre(key)
            fibres.append((made.name, key))
        except InputError:
            resins.append((get_resin(key).name, key))
    return tuple(fibres), tuple(resins)


__all__ = ["LoadRoom", "PlyRoom", "WallRoom", "constituent_names", "note_of",
           "plain_note"]  # fmt: skip
