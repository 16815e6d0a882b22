"""Forms of page `layup`: fields and menus bound to what is typed, each with its message."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any, Protocol

import ipywidgets as widgets

from tubecalc.app.bits import box, html, mark, put
from tubecalc.app.grammar import Field
from tubecalc.app.sentence import FieldBox
from tubecalc.app.state import guard


@dataclass(frozen=True)
class Pick:
    """A menu: path, label, options as (words, key)."""

    key: str
    label: str
    options: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Tick:
    """A switch: path and words; "yes" when it is on."""

    key: str
    label: str


class Filled(Protocol):
    """A session whose fields a form shows: what is typed, what is wrong with it."""

    choice: Any
    problems: Any
    status: Any

    def edit(self, path: str, text: str) -> None:
        """Change what stands in a field."""


class Form:
    """Fields of the page, made once; only their values move.

    Parameters
    ----------
    session : Filled
        State of the page.
    fields : sequence of Field, Pick or Tick
        Their keys are paths of what is typed.
    """

    def __init__(self, session: Filled, fields: Sequence[Field | Pick | Tick]) -> None:
        self.session, self._pushing = session, False
        self.boxes: dict[str, Any] = {}
        self.fields: dict[str, FieldBox] = {}
        self.menus: dict[str, tuple[Any, widgets.HTML]] = {}
        self.ticks: dict[str, widgets.ToggleButton] = {}
        for one in fields:
            self._make(one)

    def _make(self, one: Field | Pick | Tick) -> None:
        session, key = self.session, one.key
        if isinstance(one, Field):
            edit = guard(session, lambda text: session.edit(key, text))
            self.fields[key] = FieldBox(one, edit, grows=False)
            self.boxes[key] = self.fields[key].box
            return
        if isinstance(one, Tick):
            tick = widgets.ToggleButton(description=one.label)
            tick.add_class("tc-chip")
            tick.observe(guard(session, self._ticked(key)), names="value")
            self.ticks[key] = self.boxes[key] = tick
            return
        menu = widgets.Dropdown(options=list(one.options), description=one.label)
        menu.observe(guard(session, self._picked(key)), names="value")
        said = html()
        self.menus[key] = (menu, said)
        self.boxes[key] = box([menu, said], "tc-field")

    def _picked(self, key: str) -> Callable[[Any], None]:
        def picked(change: Any) -> None:
            if not self._pushing and change["new"] is not None:
                self.session.edit(key, str(change["new"]))

        return picked

    def _ticked(self, key: str) -> Callable[[Any], None]:
        def ticked(change: Any) -> None:
            if not self._pushing:
                self.session.edit(key, "yes" if change["new"] else "no")

        return ticked

    def grid(self, *keys: str) -> widgets.Box:
        """Some fields as a form with their labels above."""
        return box([self.boxes[k] for k in keys], "tc-for", "tc-layform")

    def row(self, *keys: str) -> widgets.Box:
        """Some fields in one row."""
        return box([self.boxes[k] for k in keys], "tc-row")

    def options(self, key: str, options: Sequence[tuple[str, str]]) -> None:
        """Give a menu other options."""
        menu = self.menus[key][0]
        if tuple(menu.options) != tuple(options):
            self._pushing = True
            try:
                menu.options = tuple(options)
            finally:
                self._pushing = False

    def choose(self, key: str, value: str) -> None:
        """Show an option of a menu without telling of it."""
        self._pushing = True
        try:
            self.menus[key][0].value = value
        finally:
            self._pushing = False

    def show(self) -> None:
        """Show what is typed, and what is wrong with it."""
        choice, problems = self.session.choice, self.session.problems
        self._pushing = True
        try:
            for key, field in self.fields.items():
                field.example(getattr(getattr(choice, "job", None), "units", "SI"))
                field.push(choice.get(key))
                field.say(problems.get(key, ""))
            for key, (menu, said) in self.menus.items():
                value = choice.get(key)
                known = [k for _, k in menu.options]
                want = value if value in known else (known[0] if known else None)
                if menu.value != want:
                    menu.value = want
                put(said, escape(problems.get(key, "")))
                mark(self.boxes[key], "tc-bad", key in problems)
            for key, tick in self.ticks.items():
                tick.value = choice.get(key) == "yes"
        finally:
            self._pushing = False


def told(words: str) -> widgets.HTML:
    """Words that do not change.

    Parameters
    ----------
    words : str
        Plain text.

    Returns
    -------
    ipywidgets.HTML

    Examples
    --------
    >>> told("a < b").value
    '<p class="tc-note">a &lt; b</p>'
    """
    made = html()
    made.value = f'<p class="tc-note">{escape(words)}</p>'
    return made


def title(words: str) -> widgets.HTML:
    """Heading of a group.

    Parameters
    ----------
    words : str
        Plain text.

    Returns
    -------
    ipywidgets.HTML
    """
    made = html()
    made.value = f"<h2>{escape(words)}</h2>"
    return made


def button(words: str, call: Callable[..., Any], session: Any, tip: str = "") -> widgets.Button:
    """Button that calls, with its errors said on the page.

    Parameters
    ----------
    words : str
        What is on it.
    call : callable
        Called without arguments.
    session : object
        Has a status.
    tip : str
        What it does, in more words.

    Returns
    -------
    ipywidgets.Button
    """
    made = widgets.Button(description=words, tooltip=tip)
    made.on_click(guard(session, lambda _: call()))
    return made


__all__ = ["Filled", "Form", "Pick", "Tick", "button", "title", "told"]
