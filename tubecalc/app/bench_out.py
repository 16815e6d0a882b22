"""The row of page `bench` that hands its results over: report, table, charts."""

from __future__ import annotations

import base64
from collections.abc import Callable
from html import escape
from importlib import import_module
from typing import Any

import ipywidgets as widgets

from tubecalc.app.bits import box, html, put
from tubecalc.app.jobs import stem_of
from tubecalc.app.state import guard
from tubecalc.app.text import download_html
from tubecalc.errors import InputError
from tubecalc.share.bench_words import Words

_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
WAYS = {
    "html": ("report page", "one page that opens anywhere, offline", "text/html"),
    "xlsx": ("table, XLSX", "a workbook: tests, groups, measured over promised", _XLSX),
    "png": ("chart, PNG", "the curves as a picture", "image/png"),
    "svg": ("chart, SVG", "the curves as lines, for any size", "image/svg+xml"),
    "pdf": ("chart, PDF", "the curves as a paper", "application/pdf"),
}


class BenchOut:
    """Buttons that write files of the tests.

    Parameters
    ----------
    words : callable
        Gives the tests in words.
    """

    def __init__(self, words: Callable[[], Words]) -> None:
        self._words = words
        self.said, self.file = html("tc-outsaid"), html("tc-file")
        self.buttons: dict[str, widgets.Button] = {}
        for key, (text, tip, _) in WAYS.items():
            button = widgets.Button(description=text, tooltip=tip)
            button.on_click(guard(self, self._writing(key)))
            self.buttons[key] = button
        group = box(list(self.buttons.values()), "tc-outgroup")
        self.box = box([widgets.HTML("<h2>Hand the tests over</h2>"), group, self.said, self.file],
                       "tc-out", "tc-downloads")  # fmt: skip

    @property
    def status(self) -> str:
        """What was said last, as HTML."""
        return str(self.said.value)

    @status.setter
    def status(self, words: str) -> None:
        put(self.said, f'<span role="status">{escape(words)}</span>')

    def _writing(self, key: str) -> Callable[[Any], None]:
        def write(button: widgets.Button) -> None:
            self.status = f"Writing: {WAYS[key][0]} …"
            button.disabled = True
            try:
                name, content = written(key, self._words())
            finally:
                button.disabled = False
            self.file.value = ""  # the same file a second time is a download too
            code = base64.b64encode(content).decode("ascii")
            self.file.value = download_html(name, WAYS[key][2], code)
            self.status = f"Saved {name}, {max(1, round(len(content) / 1e3))} kB."

        return write


def written(key: str, words: Words) -> tuple[str, bytes]:
    """Write one file of the tests.

    Parameters
    ----------
    key : str
        One of `WAYS`.
    words : Words
        The tests.

    Returns
    -------
    tuple of str and bytes
        Name and content.

    Raises
    ------
    InputError
        If no test is reduced yet.
    """
    reduced = any(s.result is not None for s in words.summary.tests)
    if not reduced and words.by_hand() is None:
        raise InputError("no test is reduced yet: there is nothing to hand over")
    room = import_module("tubecalc.share.bench_page")
    stem = f"{stem_of(words.job)}-tests"
    if key == "html":
        return f"{stem}.html", room.report(words).encode("utf-8")
    if key == "xlsx":
        return f"{stem}.xlsx", room.report_sheet(words)
    return f"{stem}.{key}", room.report_chart(words, key)


__all__ = ["WAYS", "BenchOut", "written"]
