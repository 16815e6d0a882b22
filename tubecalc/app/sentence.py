"""The need as a sentence with its controls: fields are made once, then only their values move."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from typing import Any

import ipywidgets as widgets

from tubecalc.app.draft import Draft, all_fields, shares_of
from tubecalc.app.draft_words import own_tests
from tubecalc.app.grammar import (
    CASES,
    CHIPS,
    DURATIONS,
    FACTORS,
    FINISHES,
    HEATS,
    LIMITS,
    MAX_CASES,
    SERVICE,
    SHARES,
    Field,
)
from tubecalc.app.state import Session, guard
from tubecalc.laminate.construction import metals
from tubecalc.unit_words import say


class FieldBox:
    """A text or a choice with its message; tells of changes made by hand only.

    Parameters
    ----------
    field : Field
        What is typed here.
    tell : callable
        Called with the new text.
    grows : bool
        The box is as wide as its text.
    """

    def __init__(self, field: Field, tell: Callable[[str], None], *, grows: bool = True) -> None:
        self.field, self._tell, self._pushing, self._grows = field, tell, False, grows
        if field.kind == "choice":
            self.input: Any = widgets.Dropdown(options=field.choices, description=field.label)
        elif field.kind == "long":
            self.input = widgets.Textarea(
                description=field.label, placeholder=field.blank, continuous_update=False, rows=3
            )
        else:
            self.input = widgets.Text(
                description=field.label, placeholder=field.blank, continuous_update=False
            )
        self.message = widgets.HTML()
        self.box = widgets.Box([self.input, self.message])
        self.box.add_class("tc-field")
        self.input.observe(self._changed, names="value")

    def _changed(self, change: Any) -> None:
        if not self._pushing:
            self._tell(str(change["new"] or ""))

    def push(self, text: str) -> None:
        """Show a text without telling of it."""
        if self.input.value == text:
            return
        self._pushing = True
        try:
            if self.field.kind == "choice":
                text = text or self.field.choices[0]
                if text not in self.input.options:
                    self.input.options = (*self.field.choices, text)
            self.input.value = text
            if self.field.kind != "choice" and self._grows:
                wide = len(text or self.field.blank or "….")
                self.input.layout.width = f"{max(wide, 3) * 0.62 + 1.2:.1f}em"
        finally:
            self._pushing = False

    def example(self, system: str) -> None:
        """Show the example of an empty field in a display system."""
        blank = say(self.field.blank, system)
        if self.field.kind != "choice" and self.input.placeholder != blank:
            self.input.placeholder = blank

    def say(self, message: str) -> None:
        """Show what is wrong with the text, "" for nothing."""
        text = escape(message)
        if self.message.value != text:
            self.message.value = text
            (self.box.add_class if message else self.box.remove_class)("tc-bad")


@dataclass(frozen=True)
class CaseRow:
    """Menus and chips of one case, under the sentence."""

    form: widgets.Dropdown
    term: widgets.Dropdown
    chips: dict[str, widgets.ToggleButton]
    box: widgets.Box


class Sentence:
    """The sentence and the small row of cases and limits under it.

    Parameters
    ----------
    session : Session
        State of the page.
    """

    def __init__(self, session: Session) -> None:
        self.session = session
        self._fields: dict[str, FieldBox] = {}
        self._words: dict[str, widgets.HTML] = {}
        self._crosses: dict[str, widgets.Button] = {}
        self._rows: list[CaseRow] = []
        self._shape: tuple[Any, ...] = ()
        self._pushing = False
        self.box = widgets.Box()
        self.box.add_class("tc-sentence")
        self.more = widgets.Box()
        for css in ("tc-row", "tc-more"):
            self.more.add_class(css)
        self._make_menus()
        self._make_service()
        self.show(session.choice.draft, session.problems)

    # ---- making
    def _make_menus(self) -> None:
        self.add_case = widgets.Dropdown(
            options=[("add a case …", ""), *((name, form) for form, (name, _) in CASES.items())],
            description="add a case",
        )
        self.add_limit = widgets.Dropdown(
            options=[("add a limit …", "")], description="add a limit"
        )
        for menu, call in ((self.add_case, self._case_added), (self.add_limit, self._limit_added)):
            menu.add_class("tc-menu")
            menu.observe(guard(self.session, call), names="value")

    def _make_service(self) -> None:
        self.service: dict[str, widgets.ToggleButton] = {}
        for key, text in SERVICE.items():
            chip = widgets.ToggleButton(description=text)
            chip.add_class("tc-chip")
            chip.observe(guard(self.session, self._chip_changed(f"service.{key}")), names="value")
            self.service[key] = chip
        self.finish = widgets.Dropdown(
            options=[(text, key) for key, text in FINISHES.items()], description="finish"
        )
        inserts = [(f"insert of {metal.name}", key) for key, metal in metals().items()]
        self.insert = widgets.Dropdown(
            options=[("no metal insert", ""), *inserts],
            description="metal bonded in the bore",
        )
        for menu, path in ((self.finish, "service.finish"), (self.insert, "service.insert")):
            menu.add_class("tc-menu")
            menu.observe(guard(self.session, self._picked(path)), names="value")
        label = widgets.Label("It also")
        self.service_row = widgets.Box([label, *self.service.values(), self.finish, self.insert])
        for css in ("tc-row", "tc-service"):
            self.service_row.add_class(css)

    def _field(self, path: str, field: Field) -> FieldBox:
        slot = f"{path}|{field.label}"
        if slot not in self._fields:
            edit = guard(self.session, lambda text: self.session.edit(path, text))
            self._fields[slot] = FieldBox(field, edit)
        return self._fields[slot]

    def _word(self, slot: str, text: str) -> widgets.HTML:
        word = self._words.get(slot)
        if word is None:
            word = self._words[slot] = widgets.HTML()
        if word.value != escape(text):
            word.value = escape(text)
        return word

    def _cross(self, slot: str, tip: str, call: Callable[[], None]) -> widgets.Button:
        button = self._crosses.get(slot)
        if button is None:
            button = self._crosses[slot] = widgets.Button(description="×", tooltip=tip)
            button.add_class("tc-x")
            button.on_click(guard(self.session, lambda _: call()))
        return button

    def _row(self, k: int) -> CaseRow:
        while len(self._rows) <= k:
            n = len(self._rows)
            form = widgets.Dropdown(
                options=[(name, key) for key, (name, _) in CASES.items()],
                description=f"case {n + 1}",
            )
            term = widgets.Dropdown(
                options=[(f"{d} load", d) for d in DURATIONS], description="for how long"
            )
            form.observe(guard(self.session, self._form_changed(n)), names="value")
            term.observe(guard(self.session, self._term_changed(n)), names="value")
            term.add_class("tc-menu")
            chips = {}
            for key, (words, _) in CHIPS.items():
                chips[key] = widgets.ToggleButton(description=words)
                chips[key].add_class("tc-chip")
                chips[key].observe(
                    guard(self.session, self._chip_changed(f"case.{n}.{key}")), names="value"
                )
            self._rows.append(CaseRow(form, term, chips, widgets.Box([form, term])))
            self._rows[-1].box.add_class("tc-row")
        return self._rows[k]

    # ---- telling
    def _case_added(self, change: Any) -> None:
        if change["new"] and not self._pushing:
            form, self.add_case.value = change["new"], ""
            if len(self.session.choice.draft.cases) >= MAX_CASES:
                self.session.status = f"A need holds up to {MAX_CASES} cases on this page."
                return
            self.session.change(draft=self.session.choice.draft.with_case(form))

    def _limit_added(self, change: Any) -> None:
        if change["new"] and not self._pushing:
            key, self.add_limit.value = change["new"], ""
            path, start = (
                (f"service.{key}", HEATS[key][3]) if key in HEATS else (f"limits.{key}", "")
            )
            self.session.edit(path, start or LIMITS[key][3])

    def _form_changed(self, k: int) -> Callable[[Any], None]:
        def changed(change: Any) -> None:
            if not self._pushing:
                self.session.change(draft=self.session.choice.draft.with_form(k, change["new"]))

        return changed

    def _term_changed(self, k: int) -> Callable[[Any], None]:
        def changed(change: Any) -> None:
            if not self._pushing:
                self.session.edit(f"case.{k}.duration", change["new"])

        return changed

    def _chip_changed(self, path: str) -> Callable[[Any], None]:
        def changed(change: Any) -> None:
            if not self._pushing:
                self.session.edit(path, "yes" if change["new"] else "")

        return changed

    def _picked(self, path: str) -> Callable[[Any], None]:
        def changed(change: Any) -> None:
            if not self._pushing:
                self.session.edit(path, change["new"])

        return changed

    def _remove(self, path: str) -> Callable[[], None]:
        def call() -> None:
            draft = self.session.choice.draft
            if path.startswith("case."):
                self.session.change(draft=draft.without_case(int(path.split(".")[1])))
            else:
                self.session.edit(path, "")

        return call

    # ---- showing
    def show(self, draft: Draft, problems: dict[str, str]) -> None:
        """Show a draft and what is wrong with it."""
        self._pushing = True
        try:
            self._show_shape(draft)
            self._show_rows(draft)
        finally:
            self._pushing = False
        for path, field in all_fields(draft):
            box = self._field(path, field)
            box.push(draft.get(path))
            box.say(problems.get(path, ""))

    def _show_shape(self, draft: Draft) -> None:
        heats = tuple(k for k in HEATS if draft.get(f"service.{k}"))
        limits = tuple(k for k, _ in draft.limits if k in LIMITS)
        shares = tuple(shares_of(draft))
        tests = own_tests(draft)
        shape = (tuple(c.form for c in draft.cases), limits, heats, shares, tests)
        if shape == self._shape:
            return
        self._shape = shape
        parts: list[widgets.Widget] = []
        for k, case in enumerate(draft.cases):
            parts += self._clause(k, case.form, len(draft.cases))
        lead = "; " if draft.cases else ""
        for key in limits:
            parts += self._phrase(f"limits.{key}", lead + LIMITS[key][1], LIMITS[key][2])
            lead = ", "
        for key in heats:
            parts += self._phrase(f"service.{key}", lead + HEATS[key][1], HEATS[key][2])
            lead = ", "
        for duration in shares:
            key, before, after, field = SHARES[duration]
            parts.append(self._word(f"{key}.before", lead + before))
            parts.append(self._field(f"factors.{key}", field).box)
            parts.append(self._word(f"{key}.after", after))
            lead = ", "
        parts.append(self._word("factor", f"{lead}with factor "))
        parts.append(self._field("factors.strength", FACTORS["strength"]).box)
        parts.append(self._word("factor2", " on strength and "))
        parts.append(self._field("factors.buckling", FACTORS["buckling"]).box)
        parts.append(self._word("stop", " on buckling."))
        parts += [self._word("tests", tests)] if tests else []
        self.box.children = parts
        free = [(LIMITS[k][0], k) for k in LIMITS if k not in limits]
        free += [(HEATS[k][0], k) for k in HEATS if k not in heats]
        self.add_limit.options = [("add a limit …", ""), *free]

    def _clause(self, k: int, form: str, count: int) -> list[widgets.Widget]:
        out: list[widgets.Widget] = []
        for n, piece in enumerate(CASES[form][1]):
            if isinstance(piece, Field):
                out.append(self._field(f"case.{k}.{piece.key}", piece).box)
                continue
            text = piece
            if n == 0:
                text = piece[0].upper() + piece[1:] if k == 0 else f", and {piece}"
            out.append(self._word(f"case.{k}.{n}", text))
        if count > 1:
            out.append(self._cross(f"case.{k}", f"remove case {k + 1}", self._remove(f"case.{k}")))
        return out

    def _phrase(self, path: str, words: str, field: Field) -> list[widgets.Widget]:
        box = self._field(path, field).box
        cross = self._cross(path, f"remove: {field.label}", self._remove(path))
        return [self._word(path, words), box, cross]

    def _show_rows(self, draft: Draft) -> None:
        rows = []
        for k, case in enumerate(draft.cases):
            row = self._row(k)
            row.form.value, row.term.value = case.form, case.get("duration") or DURATIONS[0]
            mine = [row.form, row.term]
            for key, (_, forms) in CHIPS.items():
                row.chips[key].value = case.get(key) == "yes"
                mine += [row.chips[key]] if case.form in forms else []
            if row.box.children != tuple(mine):
                row.box.children = tuple(mine)
            rows.append(row.box)
        children = (*rows, self.add_case, self.add_limit)
        if self.more.children != children:
            self.more.children = children
        for key, chip in self.service.items():
            chip.value = bool(draft.get(f"service.{key}"))
        for menu, key in ((self.finish, "finish"), (self.insert, "insert")):
            text = draft.get(f"service.{key}")
            menu.value = text if text in [v for _, v in menu.options] else ""
