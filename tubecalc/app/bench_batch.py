"""Row of page `bench` that tells the batch of several tests at once."""

from __future__ import annotations

import re
from html import escape
from typing import Any

import ipywidgets as widgets

from tubecalc.app.bench_state import BenchSession
from tubecalc.app.bits import box, html, put
from tubecalc.app.layup_form import button
from tubecalc.errors import InputError

_SPAN = re.compile(r"(\d{1,4})(?:(?:-|–|to|\.\.)(\d{1,4}))?")
LONGEST = 60  # letters of a batch


def numbers_of(text: str, count: int) -> list[int]:
    """Places of the tests that a text names by their numbers.

    Parameters
    ----------
    text : str
        "1-4, 7" or "1 to 4 7".
    count : int
        Tests there are [-].

    Returns
    -------
    list of int
        From 0.

    Raises
    ------
    InputError
        If a piece is no number of a test.

    Examples
    --------
    >>> numbers_of("1-3, 5", 8), numbers_of("2 to 3", 8)
    ([0, 1, 2, 4], [1, 2])
    """
    joined = re.sub(r"\s*(-|–|\bto\b|\.\.)\s*", r"\1", text.strip())
    out: dict[int, None] = {}
    for piece in filter(None, re.split(r"[,;\s]+", joined)):
        found = _SPAN.fullmatch(piece)
        first = int(found[1]) if found else 0
        last = int(found[2] or found[1]) if found else 0
        if not 1 <= first <= last <= count:
            raise InputError("is no number of a test here", where="tests", got=piece[:30],
                             expected=f'numbers from 1 to {count}, as "1-4, 7"')  # fmt: skip
        out |= dict.fromkeys(range(first - 1, last))
    if not out:
        raise InputError("names no test", where="tests", expected='numbers, as "1-4, 7"')
    return list(out)


class BatchForm:
    """Numbers of tests and the name of their batch.

    Parameters
    ----------
    session : BenchSession
        State of the page.
    """

    def __init__(self, session: BenchSession) -> None:
        self.session = session
        self.which = widgets.Text(description="tests", placeholder="1-4, 7")
        self.batch = widgets.Text(description="are of batch", placeholder="A")
        for one in (self.which, self.batch):
            one.add_class("tc-short-text")
        self.tell = button("tell it", self._tell, session, "an empty batch takes it back")
        self.said = html("tc-benbatch")
        self.box = box([self.which, self.batch, self.tell, self.said], "tc-row", "tc-batches")

    def _tell(self) -> None:
        choice = self.session.choice
        try:
            places = numbers_of(self.which.value, len(choice.entries))
        except InputError as error:
            put(self.said, f'<span class="tc-bad-words" role="alert">{escape(str(error))}</span>')
            return
        name = " ".join(self.batch.value.split())[:LONGEST]
        rows: list[Any] = list(choice.entries)
        for n in places:
            rows[n] = rows[n].put("batch", name)
        many = f"{len(places)} test{'s' * (len(places) != 1)}"
        text = f"{many}: batch {name}." if name else f"{many}: no batch."
        put(self.said, f'<span role="status">{escape(text)}</span>')
        self.session.change(entries=tuple(rows))


__all__ = ["BatchForm", "numbers_of"]
