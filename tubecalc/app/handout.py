"""The row that hands a job over: files to download, and the words for a quote to copy."""

from __future__ import annotations

import base64
from collections.abc import Callable, Sequence
from dataclasses import replace
from html import escape
from typing import Any

import ipywidgets as widgets

from tubecalc.app import outgoing
from tubecalc.app.bits import box, html, put
from tubecalc.app.customer import Customer
from tubecalc.app.grammar import Field
from tubecalc.app.outgoing import File, Paper
from tubecalc.app.sentence import FieldBox
from tubecalc.app.state import guard
from tubecalc.app.text import download_html
from tubecalc.errors import InputError
from tubecalc.job import Job

Extra = tuple[str, str, Callable[[], File]]  # words on the button, what it is, how it is made


class Handout:
    """Hand the job of a page over.

    Parameters
    ----------
    out : callable
        Gives the job that goes out; raises `InputError` where nothing may.
    says : callable
        Says in words which tubes go out, or why none may; it is asked with every change.
    base : callable
        Gives the job that keeps width, dots and paper.
    keep : callable
        Called with that job after one of them has changed.
    extras : sequence of Extra
        Further files of this page.

    Notes
    -----
    Put `box` on the page, and call `show` after every change of what `out` gives.
    """

    def __init__(
        self,
        out: Callable[[], Job],
        says: Callable[[], str],
        base: Callable[[], Job],
        keep: Callable[[Job], None],
        extras: Sequence[Extra] = (),
    ) -> None:
        self._out, self._says, self._base, self._keep = out, says, base, keep
        self._quoted: Job | None = None
        self._pushing = False
        self.wrong: dict[str, str] = {}  # "width" or "dpi" -> what is wrong with it
        self.customer = Customer(base, self._worded, self)
        self.which, self.said, self.file = html("tc-outs"), html("tc-outsaid"), html("tc-file")
        self.words = html("tc-quoted")
        self._make_buttons(extras)
        self._make_fields()
        groups = [self._group(k) for k in (("page", "datasheet"), ("xlsx", "csv"))]
        charts = self._group(("png", "svg", "pdf"))
        more = box([self.buttons[words] for words, *_ in extras], "tc-outgroup")
        parts = [*groups, charts, *([more] if extras else []),
                 box([self.width.box, self.dpi.box, self.paper], "tc-outset"),
                 box([self.quote, self.customer.button], "tc-outgroup")]  # fmt: skip
        self.box = box(
            [widgets.HTML("<h2>Hand it over</h2>"), self.which, box(parts, "tc-outrow"),
             self.said, self.words, self.customer.box, self.file], "tc-out", "tc-downloads",
        )  # fmt: skip
        self.say("")
        self.show()

    # ---- making
    def _make_buttons(self, extras: Sequence[Extra]) -> None:
        self.buttons: dict[str, widgets.Button] = {}
        for key, way in outgoing.WAYS.items():
            button = widgets.Button(description=way.words, tooltip=way.says)
            button.on_click(guard(self, self._writing(key)))
            self.buttons[key] = button
        for words, says, make in extras:
            button = widgets.Button(description=words, tooltip=says)
            button.on_click(guard(self, self._saving(words, make)))
            self.buttons[words] = button
        self.quote = widgets.Button(description="quote in words", tooltip="one paragraph to paste")
        self.quote.on_click(guard(self, self._quoting))

    def _group(self, keys: Sequence[str]) -> widgets.Box:
        return box([self.buttons[k] for k in keys], "tc-outgroup")

    def _make_fields(self) -> None:
        self.width = FieldBox(
            Field("width", "chart width, mm", "number", "170"), guard(self, self._sized("width")),
            grows=False,
        )  # fmt: skip
        self.dpi = FieldBox(
            Field("dpi", "dots per inch", "number", "300"), guard(self, self._sized("dpi")),
            grows=False,
        )  # fmt: skip
        self.paper = widgets.Dropdown(options=list(outgoing.PAPERS), description="paper")
        self.paper.observe(guard(self, self._papered), names="value")

    # ---- saying
    @property
    def status(self) -> str:
        """What was said last, as HTML."""
        return str(self.said.value)

    @status.setter
    def status(self, words: str) -> None:
        self.say(words)

    def say(self, words: str) -> None:
        """Say something under the buttons.

        Parameters
        ----------
        words : str
            Plain text.
        """
        put(self.said, f'<span role="status">{escape(words)}</span>')

    # ---- listening
    def _sized(self, part: str) -> Callable[[str], None]:
        read = outgoing.width_from if part == "width" else outgoing.dpi_from
        usual = getattr(Paper(), part)

        def typed(text: str) -> None:
            try:
                value = read(text) if text.strip() else usual
            except InputError as error:
                self.wrong[part] = str(error)
                self._worded(self._base())  # the browser holds what was typed
                return
            self.wrong.pop(part, None)
            self._set(**{part: value})

        return typed

    def _worded(self, job: Job) -> None:
        self._keep(job)
        self.show()

    def _papered(self, change: Any) -> None:
        if not self._pushing:
            self._set(paper=change["new"])

    def _set(self, **parts: Any) -> None:
        base = self._base()
        self._worded(outgoing.with_paper(base, replace(outgoing.paper_of(base), **parts)))

    # ---- writing
    @property
    def refusal(self) -> str:
        """What is wrong with a field of the row, "" for nothing."""
        return " ".join([*self.customer.wrong.values(), *self.wrong.values()])

    def _going(self) -> Job:
        if self.refusal:
            raise InputError(self.refusal)
        return self._out()

    def _writing(self, key: str) -> Callable[[Any], None]:
        def make() -> File:
            job = self._going()
            return outgoing.write(key, job, outgoing.paper_of(self._base()))

        return self._saving(outgoing.WAYS[key].words, make)

    def _saving(self, words: str, make: Callable[[], File]) -> Callable[[Any], None]:
        def save(button: widgets.Button) -> None:
            self.say(f"Writing: {words} …")
            button.disabled = True
            try:
                name, mime, content = make()
            finally:
                button.disabled = False
            self.file.value = ""  # the same file a second time is a download too
            self.file.value = download_html(name, mime, base64.b64encode(content).decode("ascii"))
            self.say(f"Saved {name}, {_size(len(content))}.")

        return save

    def _quoting(self, _: widgets.Button) -> None:
        job = self._going()
        self.say("Writing: quote in words …")
        words = outgoing.quote_words(job)
        self._quoted = job
        put(
            self.words,
            f'<div class="tc-quote"><blockquote tabindex="0" dir="auto">{escape(words)}'
            '</blockquote><button type="button" class="tc-button" data-copy>copy the words'
            "</button></div>",
        )
        self.say("")

    # ---- showing
    def fresh(self) -> None:
        """Another job is there: what was typed wrong for the last one is gone."""
        self.wrong.clear()
        self.customer.wrong.clear()
        self.customer.show()
        self.show()

    def show(self) -> None:
        """Show which tubes go out; words of a quote for something else go away."""
        put(self.which, escape(self.refusal or self._says()))
        if self._quoted is not None and self._quoted != self._still():
            self._quoted = None
            put(self.words, "")
        if "Saved" in self.said.value:
            self.say("")
        how = outgoing.paper_of(self._base())
        for part, field in (("width", self.width), ("dpi", self.dpi)):
            if part not in self.wrong:
                field.push(f"{getattr(how, part):g}")
            field.say(self.wrong.get(part, ""))
        self._pushing = True
        try:
            self.paper.value = how.paper
        finally:
            self._pushing = False

    def _still(self) -> Job | None:
        try:
            return self._out()
        except InputError:
            return None


def _size(count: int) -> str:
    return f"{count / 1e6:.1f} MB" if count >= 1e6 else f"{max(1, round(count / 1e3))} kB"


__all__ = ["Extra", "Handout"]
