"""Room of page `join`: telescoping pole."""

from __future__ import annotations

from typing import Any

from tubecalc.app import view_join as view
from tubecalc.app.bits import box, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.join_rooms import NAME, USUAL, Room
from tubecalc.app.join_work import TYPED, pole_case
from tubecalc.app.layup_form import Form, Pick, title, told
from tubecalc.unit_words import for_system


class PoleRoom(Room):
    """Telescoping pole whose largest section is the tube."""

    key = "pole"

    def _parts(self) -> list[Any]:
        self.form = Form(self.session, [
            Field("pole.count", "sections", "words"),
            Field("pole.gap", "clearance on the diameter", "length"),
            Field("pole.wall", "wall of the smaller ones", "length", "as this tube"),
            Field("pole.length", "length of a section", "length",
                  for_system("1 m, 0.9 m, …", "40 in, 36 in, …")),
            Field("pole.overlap", "overlap", "length",
                  for_system("120 mm, 100 mm, …", "5 in, 4 in, …")),
            Pick("pole.from", "load", (("typed here", TYPED),)),
            Field("pole.load", "load on the tip", "force"),
            Field("pole.lean", "pointing up by", "angle"),
            Field("pole.droop", "may droop by", "length", "not asked"),
            Field("pole.outside", "outside of each", "words", USUAL),
            Field("pole.bore", "bore of each", "words", "usual; H7"),
            Field("pole.at", "at", "temperature", "room"),
            Field("pole.name", NAME, "words", "telescoping pole"),
        ])  # fmt: skip
        self.answer, self.picture, self.figures = self.result(), self.result(), self.result()
        self.mind = self.result()
        put_in = self.putter("pole", "put this pole into the job", self._put)
        grid = self.form.grid
        left = box([
            told("The tube above is the largest section, held fast at its base; every next one "
                 "slides in it."),
            grid("pole.count", "pole.gap", "pole.wall", "pole.length", "pole.overlap", "pole.lean"),
            title("Load and droop"), self.form.row("pole.from"), grid("pole.load", "pole.droop"),
            title("What is known of the sizes"), grid("pole.outside", "pole.bore", "pole.at"),
        ], "tc-laycol")  # fmt: skip
        right = box([self.picture, put_in, self.figures, self.mind], "tc-laycol")
        return [self.said, self.answer, box([left, right], "tc-laytwo", "tc-joinsplit")]

    def _put(self) -> None:
        self._join(self.session.found["pole"].spec)

    def _fields(self) -> None:
        choice = self.session.choice
        cases = [
            (f"case {n}: {c.name or c.kind}", f"case {n}")
            for n, c in enumerate(choice.job.need.cases, 1)
            if c.kind == "cantilever"
        ]
        self.form.options("pole.from", [("typed here", TYPED), *cases])
        self.form.show()
        mark(self.form.boxes["pole.load"], "tc-gone", pole_case(choice) > 0)

    def _show(self, found: Any, system: str) -> None:
        put(self.answer, view.pole_html(found, system))
        put(self.picture, view.pole_picture_html(found.judged.pole, system))
        put(self.figures, view.pole_figures_html(found.judged.pole, system))
        put(self.mind, view.mind_html(found.judged.pole.cautions))


__all__ = ["PoleRoom"]
