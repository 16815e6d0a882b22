"""The drawer with the words for the customer: who it is for, what stands before and after."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from tubecalc.app.bits import box, mark
from tubecalc.app.grammar import Field
from tubecalc.app.sentence import FieldBox
from tubecalc.app.state import Sayer, guard
from tubecalc.errors import InputError
from tubecalc.job import Job

LINE, LONG = 200, 4000  # characters
_FIELDS = (
    Field("customer", "customer", "words", "who it is for"),
    Field("reference", "reference", "words", "your number for it"),
    Field("author", "from", "words", "who answers for it"),
    Field("date", "date", "words", "today"),
    Field("currency", "currency", "words", "for example EUR"),
    Field("introduction", "before the tubes", "long", "one or two sentences, if you like"),
    Field("closing", "after the tubes", "long", "for example terms of delivery"),
)
_OF_JOB = ("date", "currency")


def worded(job: Job, key: str, text: str) -> Job:
    """Job with one of the words for the customer changed.

    Parameters
    ----------
    job : Job
        The job.
    key : str
        customer, reference, author, introduction, closing, date or currency.
    text : str
        As typed.

    Returns
    -------
    Job

    Raises
    ------
    InputError
        If it is too long, or no date.

    Examples
    --------
    >>> worded(Job(), "date", "2026-11-25").date
    '2026-11-25'
    """
    text = text.strip()
    most = LONG if key in ("introduction", "closing") else LINE
    if len(text) > most:
        raise InputError(
            "is too long", where=_label(key), got=f"{len(text)} characters",
            expected=f"at most {most}",
        )  # fmt: skip
    if key not in _OF_JOB:
        return replace(job, text=replace(job.text, **{key: text}))
    try:
        return replace(job, date=text) if key == "date" else replace(job, currency=text)
    except InputError as error:
        raise InputError(
            error.message, where=_label(key), got=error.got, expected=error.expected
        ) from None


def _label(key: str) -> str:
    return next(f.label for f in _FIELDS if f.key == key)


def _text(job: Job, key: str) -> str:
    return str(getattr(job if key in _OF_JOB else job.text, key))


class Customer:
    """Drawer with the words for the customer.

    Parameters
    ----------
    base : callable
        Gives the job.
    keep : callable
        Called with the job after a word has changed, and with the same one after a word was
        refused.
    session : object
        Its status says a fault.

    Notes
    -----
    Put `button` and `box` on the page; clear `wrong` and call `show` when another job is there.
    """

    def __init__(
        self, base: Callable[[], Job], keep: Callable[[Job], None], session: Sayer
    ) -> None:
        self._base, self._keep = base, keep
        self.wrong: dict[str, str] = {}  # key -> what is wrong with it
        self.button = widgets.ToggleButton(
            description="words for the customer", tooltip="name, reference, introduction, closing"
        )
        self.fields = {
            f.key: FieldBox(f, guard(session, self._typed(f.key)), grows=False) for f in _FIELDS
        }
        lines = [self.fields[f.key].box for f in _FIELDS if f.kind == "words"]
        long = [self.fields[f.key].box for f in _FIELDS if f.kind == "long"]
        self.box = box([box(lines, "tc-forline"), box(long, "tc-forlong")], "tc-for", "tc-gone")
        self.button.observe(guard(session, self._opened), names="value")
        self.show()

    def _opened(self, change: Any) -> None:
        mark(self.box, "tc-gone", not change["new"])

    def _typed(self, key: str) -> Callable[[str], None]:
        def typed(text: str) -> None:
            base = self._base()
            try:
                job = worded(base, key, text)
            except InputError as error:
                self.wrong[key] = str(error)
                job = base
            else:
                self.wrong.pop(key, None)
            self._keep(job)
            self.show()

        return typed

    def show(self) -> None:
        """Show the words of the job; what was typed wrong stays as it was typed."""
        job = self._base()
        for key, field in self.fields.items():
            if key not in self.wrong:
                field.push(_text(job, key))
            field.say(self.wrong.get(key, ""))


__all__ = ["Customer", "worded"]
