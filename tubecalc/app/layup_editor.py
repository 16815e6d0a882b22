"""The stack as rows, inside to outside: each made once, then only its values move."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from tubecalc.app.bits import box, html, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.layup_form import button
from tubecalc.app.layup_rows import Row, checked, mirrored, moved, ply_names, repeated
from tubecalc.app.layup_state import LayupSession
from tubecalc.app.sentence import FieldBox
from tubecalc.app.state import guard
from tubecalc.errors import InputError

SHOWN = 40  # rows with fields of their own
_REPEATS = ("2", "3", "4", "5", "10")


@dataclass
class Line:
    """Widgets of one row."""

    number: widgets.HTML
    ply: widgets.Dropdown
    said: widgets.HTML
    fields: dict[str, FieldBox]
    box: widgets.Box


class Editor:
    """The rows of the stack with what can be done to them.

    Parameters
    ----------
    session : LayupSession
        State of the page.
    """

    def __init__(self, session: LayupSession) -> None:
        self.session, self._pushing = session, False
        self.lines: list[Line] = []
        self._names: tuple[tuple[str, str], ...] = ()
        self.rows = box([], "tc-layrows")
        self.more = html("tc-note")
        self.times = widgets.Dropdown(options=list(_REPEATS), description="times")
        self.times.add_class("tc-menu")
        self.times.observe(guard(session, self._timed), names="value")
        tools = [
            button("add a ply", self._add, session, "outside the last one"),
            button("mirror", lambda: self._all(mirrored), session,
                   "its mirror image outside it"),
            button("repeat", self._repeat, session, "the whole stack, several times over"),
            self.times,
        ]  # fmt: skip
        head = html("tc-layhead")
        head.value = "<h2>The stack, from the bore outwards</h2>"
        self.box = box([head, self.rows, self.more, box(tools, "tc-row")], "tc-layedit")

    # ---- making
    def _line(self, k: int) -> Line:
        while len(self.lines) <= k:
            n = len(self.lines)
            ply = widgets.Dropdown(description=f"ply, row {n + 1}" if n else "ply")
            ply.observe(guard(self.session, self._plied(n)), names="value")
            more = f", row {n + 1}" if n else ""
            fields = {
                name: FieldBox(Field(f"row.{n}.{name}", words + more, kind, blank),
                               guard(self.session, self._typed(n, name)), grows=False)
                for name, words, kind, blank in (
                    ("angle", "angle", "words", "0"), ("count", "plies", "words", "1"),
                    ("thickness", "thickness", "words", "its own"),
                )
            }  # fmt: skip
            said = html()
            number = html("tc-laynum")
            acts = [
                button("▲", self._act(moved, n, -1), self.session, f"row {n + 1} further in"),
                button("▼", self._act(moved, n, 1), self.session, f"row {n + 1} further out"),
                button("copy", self._copy(n), self.session, f"row {n + 1} once more"),
                button("×", self._drop(n), self.session, f"take row {n + 1} away"),
            ]
            parts = [number, box([ply, said], "tc-field"), *(f.box for f in fields.values()),
                     box(acts, "tc-layacts")]  # fmt: skip
            self.lines.append(Line(number, ply, said, fields, box(parts, "tc-layrow")))
        return self.lines[k]

    # ---- listening
    def _plied(self, k: int) -> Callable[[Any], None]:
        def picked(change: Any) -> None:
            if not self._pushing and change["new"]:
                self.session.row(k, ply=str(change["new"]))

        return picked

    def _typed(self, k: int, name: str) -> Callable[[str], None]:
        return lambda text: self.session.row(k, **{name: text.strip()})

    def _act(self, call: Callable[..., Any], k: int, step: int) -> Callable[[], None]:
        return lambda: self.session.stack(call(self.session.choice.rows, k, step))

    def _copy(self, k: int) -> Callable[[], None]:
        def copy() -> None:
            rows = self.session.choice.rows
            self.session.stack((*rows[: k + 1], *rows[k:]))

        return copy

    def _drop(self, k: int) -> Callable[[], None]:
        def drop() -> None:
            rows = self.session.choice.rows
            self.session.stack(rows[:k] + rows[k + 1 :])

        return drop

    def _add(self) -> None:
        rows = self.session.choice.rows
        last = rows[-1] if rows else Row("carbon-sm-ud")
        self.session.stack((*rows, Row(last.ply, "0", "1", last.thickness)))

    def _all(self, call: Callable[[tuple[Row, ...]], tuple[Row, ...]]) -> None:
        rows = self.session.choice.rows
        if not rows:
            raise InputError("there is no ply yet: add one")
        self.session.stack(call(rows))

    def _repeat(self) -> None:
        times = int(self.times.value)
        self._all(lambda rows: checked(repeated(rows, times)))

    def _timed(self, change: Any) -> None:
        if not self._pushing:
            self.session.edit("repeat", str(change["new"]))

    # ---- showing
    def show(self) -> None:
        """Show the rows as they stand, and what is wrong with them."""
        choice, problems = self.session.choice, self.session.problems
        names = tuple((name, key) for key, name in ply_names(choice.plies).items())
        shown = choice.rows[:SHOWN]
        self._pushing = True
        try:
            first = 1
            for k, row in enumerate(shown):
                self._put(k, row, names, problems, first)
                first += int(row.count) if row.count.isdecimal() else 1
            self.times.value = choice.get("repeat") if choice.get("repeat") in _REPEATS else "2"
        finally:
            self._pushing = False
        children = tuple(self._line(k).box for k in range(len(shown)))
        if self.rows.children != children:
            self.rows.children = children
        rest = len(choice.rows) - len(shown)
        words = problems.get("rows", "")
        if rest:
            words = f"{rest} more rows outside these: change them in the sequence above."
        put(self.more, words)
        mark(self.more, "tc-stale-note", "rows" in problems)

    def _put(
        self, k: int, row: Row, names: tuple[tuple[str, str], ...], problems: dict[str, str],
        first: int,
    ) -> None:  # fmt: skip
        line = self._line(k)
        listed = any(key == row.ply for _, key in names)
        known = names if listed else (*names, (row.ply, row.ply))
        if tuple(line.ply.options) != known:
            line.ply.options = known
        if line.ply.value != row.ply:
            line.ply.value = row.ply
        number = str(first)
        if row.count.isdecimal() and int(row.count) > 1:
            number += f"–{first + int(row.count) - 1}"
        put(line.number, number)
        wrong = problems.get(f"row.{k}.ply", "")
        put(line.said, wrong)
        for name, field in line.fields.items():
            field.push(getattr(row, name))
            field.say(problems.get(f"row.{k}.{name}", ""))


__all__ = ["SHOWN", "Editor"]
