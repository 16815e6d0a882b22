"""Forms of page `bench`: what is told of a test, how its file is read, questions as menus."""

from __future__ import annotations

from typing import Any, cast

import ipywidgets as widgets

from tubecalc.app.bench_state import BenchSession
from tubecalc.app.bits import box, html, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.layup_form import Form, Pick, button, title
from tubecalc.app.state import guard
from tubecalc.app.view_bench import answered_html, plain
from tubecalc.laminate.construction import composites, get_construction, metals
from tubecalc.share.page_text import clean
from tubecalc.testing.bench import RIGID
from tubecalc.testing.bench_sum import KIND_WORDS
from tubecalc.testing.curve import Curve
from tubecalc.testing.result import FAILURE_WORDS, FAILURES

QUESTIONS = 8  # shown at once
_NONE = ("as found", "")
_KINDS = (("say which …", ""), *((w, k) for k, w in KIND_WORDS.items()),
          ("rigid bar, to measure the frame", RIGID))  # fmt: skip
_FAILED = (("not said", ""), *((FAILURE_WORDS[k], k) for k in FAILURES))
_ENDS = (("pinned both", ""), ("pinned and fixed", "fixed-pinned"), ("fixed both", "fixed-fixed"),
         ("fixed and free", "fixed-free"))  # fmt: skip
_COUNT = (("counts", "yes"), ("left out", "no"))
_TOLD: tuple[Field | Pick, ...] = (
    Field("t.name", "name", "words", "as in the file"),
    Pick("t.kind", "kind of test", _KINDS),
    Pick("t.wall_of", "made of", ()),
    Field("t.od", "outside diameter", "length", "not said"),
    Field("t.wall", "wall", "length", "or bore"),
    Field("t.id", "bore", "length", "or wall"),
    Field("t.span", "span or free length", "length", "not said"),
    Field("t.inner_span", "between the noses", "length", "a third of it"),
    Field("t.gauge_length", "gauge length", "length", "not said"),
    Field("t.nose", "nose width", "length", "10 mm taken"),
    Pick("t.ends", "ends of a column", _ENDS),
    Field("t.frame", "frame", "words", "rigid-bar file, N/mm"),
    Field("t.load_factor", "recorded load times", "words", "1"),
    Field("t.batch", "batch", "words", "not said"),
    Pick("t.failure", "how it failed", _FAILED),
    Pick("t.count", "in the statistics", _COUNT),
)
_BEAMS = ("three-point", "four-point")
_ONLY = {  # field -> kinds of test that ask for it
    "t.span": (*_BEAMS, "column"), "t.inner_span": ("four-point",), "t.nose": _BEAMS,
    "t.origin": tuple(k for k in KIND_WORDS if k != "column"),
    "t.gauge_length": ("tension", "compression", "torsion", "ring"), "t.ends": ("column",),
}  # fmt: skip
_FIRST = ("t.span", "t.gauge_length", "t.origin")  # asked before the kind is said
_MARKS = (
    Field("t.origin", "origin at", "length", "as found"),
    Field("t.linear_from", "straight from", "length", "as found"),
    Field("t.linear_to", "straight to", "length", "as found"),
    Field("t.peak_at", "largest at", "length", "as found"),
)
_READ: tuple[Field | Pick, ...] = (
    *(Pick(f"r.{k}", f"column of the {w}", (_NONE,)) for k, w in
      (("force", "load"), ("travel", "travel"), ("extension", "extension"),
       ("deflection", "deflection"), ("torque", "torque"), ("angle", "angle"))),
    Field("r.force_unit", "unit of the load", "words", "as found"),
    Field("r.travel_unit", "unit of the travel", "words", "as found"),
    Field("r.extension_unit", "unit of the extension", "words", "as found"),
    Field("r.torque_unit", "unit of the torque", "words", "as found"),
    Field("r.angle_unit", "unit of the angle", "words", "as found"),
    Pick("r.decimal", "decimal sign", (_NONE, ("point", "."), ("comma", ","), ("both", "either"))),
    Pick("r.delimiter", "columns are parted by",
         (_NONE, ("comma", ","), ("semicolon", ";"), ("tab", "\t"), ("bar", "|"), ("blanks", " "))),
)  # fmt: skip


def walls_menu(own: dict[str, str]) -> tuple[tuple[str, str], ...]:
    """Constructions to choose from: words and key.

    Parameters
    ----------
    own : dict
        Keys and names of the job's own walls.

    Returns
    -------
    tuple
    """
    known = [(get_construction(k).name, k) for k in (*composites(), *metals())]
    return (("not said", ""), *((clean(n), k) for k, n in own.items()), *known)


class TestForm:
    """What is told of the test that is shown.

    Parameters
    ----------
    session : BenchSession
        State of the page.
    """

    __test__ = False  # not a test of pytest's

    def __init__(self, session: BenchSession) -> None:
        self.session = session
        self.form = Form(cast(Any, session), [*_TOLD, *_MARKS])
        self.found = button("marks as found", self._found, session, "forget what was moved")
        self.alike = button("tell the others the same", self._alike, session,
                            "where nothing is told: kind, size, span, construction")  # fmt: skip
        self.away = button("take this test away", session.remove, session)
        self.box = box(
            [title("The specimen and how it was held"),
             self.form.grid(*(f.key for f in _TOLD)),
             title("Marks on the curve: drag them, or write where they are"),
             self.form.grid(*(f.key for f in _MARKS)),
             box([self.found, self.alike, self.away], "tc-row")], "tc-bencol",
        )  # fmt: skip

    def _found(self) -> None:
        self.session.put(dict.fromkeys(("origin", "linear_from", "linear_to", "peak_at"), ""))

    def _alike(self) -> None:
        count = self.session.spread()
        self.session.status = f"Told {count} other test{'s' * (count != 1)} the same."

    def show(self) -> None:
        """Show what is told, and what is wrong with it."""
        choice = self.session.choice
        own = {k: c.name for k, c in choice.job.constructions.items()}
        options = list(walls_menu(own))
        now = choice.get("t.wall_of")
        if now and now not in [k for _, k in options]:
            options.append((f"{clean(now)[:60]}, not known here", now))
        self.form.options("t.wall_of", options)
        self.form.show()
        kind = choice.get("t.kind")
        for key, kinds in _ONLY.items():
            asked = kind in kinds if kind else key in _FIRST
            told = choice.get(key) or key in self.session.problems
            mark(self.form.boxes[key], "tc-gone", not asked and not told)


class ReadForm:
    """Questions about the file that is shown, and how it may be read otherwise.

    Parameters
    ----------
    session : BenchSession
        State of the page.
    """

    def __init__(self, session: BenchSession) -> None:
        self.session, self._pushing = session, False
        self._choices: list[list[tuple[str, str]]] = [[] for _ in range(QUESTIONS)]
        self.texts = [html("tc-question") for _ in range(QUESTIONS)]
        self.menus = [
            widgets.Dropdown(options=[("choose …", "")], description=f"answer {n + 1}")
            for n in range(QUESTIONS)
        ]
        self.rows = []
        for n, menu in enumerate(self.menus):
            menu.add_class("tc-menu")
            menu.observe(guard(session, self._picked(n)), names="value")
            self.rows.append(box([self.texts[n], menu], "tc-ask"))
        self.head = html()
        self.answered = html("tc-note")
        self.again = button("ask me again", self._again, session, "forget the answers")
        self.form = Form(cast(Any, session), list(_READ))
        self.toggle = widgets.ToggleButton(description="read it otherwise")
        self.toggle.observe(guard(session, self._toggled), names="value")
        self.grid = self.form.grid(*(f.key for f in _READ))
        self.grid.add_class("tc-gone")
        self.asking = box([self.head, *self.rows], "tc-asks")
        self.box = box([box([self.answered, self.again, self.toggle], "tc-row"), self.grid],
                       "tc-benread")  # fmt: skip

    def _picked(self, n: int) -> Any:
        def picked(change: Any) -> None:
            if self._pushing or not change["new"]:
                return
            argument, value = self._choices[n][int(change["new"])]
            entry = self.session.choice.entry
            if entry is not None:
                self.session.answer(entry.digest, {argument: value})

        return picked

    def _toggled(self, change: Any) -> None:
        mark(self.grid, "tc-gone", not change["new"])

    def _again(self) -> None:
        entry = self.session.choice.entry
        if entry is not None:
            self.session.ask_again(entry.digest)

    def show(self, curve: Curve | None) -> None:
        """Show the questions of a curve, and what was answered."""
        choice = self.session.choice
        entry = choice.entry
        given = choice.answers.get(entry.digest, {}) if entry is not None else {}
        questions = list(curve.questions)[:QUESTIONS] if curve is not None else []
        put(self.head, "<h2>Two readings are possible: which one is it?</h2>" if questions else "")
        self._pushing = True
        try:
            for n, row in enumerate(self.rows):
                mark(row, "tc-gone", n >= len(questions))
                if n < len(questions):
                    self._ask(n, questions[n])
        finally:
            self._pushing = False
        put(self.answered, answered_html(given))
        mark(self.again, "tc-gone", not given)
        mark(self.box, "tc-gone", curve is None)
        if curve is None:
            return
        heads = [(clean(c.heading)[:60] or f"column {k}", c.heading or str(k))
                 for k, c in enumerate(curve.understood.columns, 1)]  # fmt: skip
        for key in ("force", "travel", "extension", "deflection", "torque", "angle"):
            now = given.get(key, "")
            more = [(clean(now)[:60], now)] if now and now not in [h for _, h in heads] else []
            self.form.options(f"r.{key}", [_NONE, *heads, *more])
        self.form.show()

    def _ask(self, n: int, question: Any) -> None:
        choices = [(c.argument or question.argument, c.value) for c in question.choices]
        taken = ""
        if question.taken:
            label = next((c.label for c in question.choices if c.value == question.taken
                          and not c.argument), question.taken)  # fmt: skip
            taken = f" <span class='tc-faint'>Taken until you say: {plain(label)}.</span>"
        put(self.texts[n], plain(question.text) + taken)
        labels = [(clean(c.label)[:120], str(k)) for k, c in enumerate(question.choices)]
        options = [("choose …", ""), *labels]
        self._choices[n] = choices
        menu = self.menus[n]
        if tuple(menu.options) != tuple(options):
            menu.options = options
        menu.value = ""


__all__ = ["QUESTIONS", "ReadForm", "TestForm", "walls_menu"]
