"""The bar that opens and saves a job on every page, and what lets the browser keep it.

The page tells the browser the job as it stands (`Keeper.publish`); the script keep.js of the
template keeps it in the browser's own storage, with what was typed and not yet answered, and gives
it back when the page is loaded again, when another page is opened, or when the calculator has died.
"""

from __future__ import annotations

import base64
from collections.abc import Callable
from dataclasses import replace
from html import escape
from typing import Any

import ipywidgets as widgets

from tubecalc import job_file
from tubecalc.app.link import has_state
from tubecalc.app.state import guard
from tubecalc.app.text import download_html
from tubecalc.errors import InputError
from tubecalc.job import Job

KEEPS = "Kept in this browser as you type."
_AFRESH = ("afresh", "start afresh")
_OFFER = (("take", "take it up"), ("forget", "forget it"))
_NOTHING = "There is no job yet: open one, or begin one on another page."


def read_file(name: str, content: bytes) -> tuple[Job, str]:
    """Read what was dropped: a job file, a need file, or a customer page.

    Parameters
    ----------
    name : str
        File name.
    content : bytes
        The file.

    Returns
    -------
    tuple of Job and str
        The job and the TOML it was read from.

    Raises
    ------
    InputError
        Naming the file and the place.
    """
    where = name[:80] or "job"
    if len(content) > job_file.LARGEST:
        raise InputError("is too big", where=where, expected="at most 5 MB")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(
            "is not UTF-8 text", where=where, expected="a job, a need or a page of tubecalc"
        ) from None
    if not text.strip():
        raise InputError("is empty", where=where)
    try:
        if text.lstrip()[:1] == "<":
            text = job_file.find_block(text, "page")[0]
        return Job.from_toml(text + "\n"), text
    except InputError as error:
        at = (error.where or "").removeprefix("job").removeprefix("page").lstrip(":")
        raise InputError(
            error.message, where=f"{where}:{at}" if at else where, got=error.got,
            expected=error.expected,
        ) from None  # fmt: skip


def stem_of(job: Job) -> str:
    """Name for files of a job, without its suffix.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    str
        Letters, figures and hyphens alone.

    Examples
    --------
    >>> stem_of(Job())
    'tubecalc-job'
    """
    title = "".join(c if c.isalnum() else "-" for c in job.need.title.lower())[:60]
    return f"tubecalc-{title.strip('-') or 'job'}"


class Keeper:
    """Open and save the job of a page, and let the browser keep it.

    Parameters
    ----------
    page : str
        Name of the page.
    current : callable
        Gives the job as it stands on the page.
    take : callable
        Called with a job and the TOML it was read from, to show it; may raise `InputError`, which
        leaves the page as it was. Gives sentences on what was left out, or None.
    query : str
        Query string the page was opened with.
    session : object, optional
        Has a `status` that says what was opened, saved or refused; else the bar says it.

    Notes
    -----
    Put `parts` in the page's bar and `hidden` anywhere in its box. Call `publish` once when the
    page stands, and after every change of what `current` gives. `base` is the job as it was
    opened; a page changes what it does not own only through it.
    """

    def __init__(
        self,
        page: str,
        current: Callable[[], Job],
        take: Callable[[Job, str], list[str] | None],
        query: str = "",
        session: Any = None,
    ) -> None:
        self.page, self._current, self._take = page, current, take
        self._link, self._count, self._taken = has_state(query), 0, 0
        self._session = self if session is None else session
        self.base = Job()
        self._make_bar()
        self.inbox, self.store = widgets.Textarea(continuous_update=False), widgets.HTML()
        self.inbox.add_class("tc-inbox")
        self.inbox.observe(guard(self._session, self._heard), names="value")
        self.hidden = widgets.Box([self.inbox, self.store])
        self.hidden.add_class("tc-hidden")
        self.say(KEEPS)

    def _make_bar(self) -> None:
        self.upload = widgets.FileUpload(
            accept=".toml,.html", description="open a job", multiple=False, icon=""
        )
        self.upload.add_class("tc-upneed")
        self.upload.tooltip = "a job, a need, or a page that was saved for a customer"
        self.save = widgets.Button(description="save the job")
        self.note, self.file = widgets.HTML(), widgets.HTML()
        self.note.add_class("tc-keepnote")
        self.file.add_class("tc-file")
        self.upload.observe(guard(self._session, self._uploaded), names="value")
        self.save.on_click(guard(self._session, self._saved))
        self.parts = [self.upload, self.save, self.note, self.file]

    # ---- saying
    def say(self, words: str, *buttons: tuple[str, str]) -> None:
        """Say something beside the buttons.

        Parameters
        ----------
        words : str
            Plain text.
        *buttons : tuple of str
            What the browser is to do ("afresh", "take", "forget") and the words on the button.
        """
        html = f'<span role="status">{escape(words)}</span>' + "".join(
            f' <button type="button" data-keep="{key}">{escape(text)}</button>'
            for key, text in buttons
        )
        if self.note.value != html:
            self.note.value = html

    @property
    def status(self) -> str:
        """What was said last, as HTML."""
        return str(self.note.value)

    @status.setter
    def status(self, words: str) -> None:
        self.say(words)

    # ---- for the browser
    def publish(self, *, hold: bool = False) -> None:
        """Tell the browser the job as it stands.

        Parameters
        ----------
        hold : bool
            Something that was typed is in no job, as it cannot be read: the browser keeps it.
        """
        self._count += 1
        try:
            job = self._current()
            text = "" if _empty(job) else job.to_toml()
        except InputError as error:
            self._session.status = f"This job cannot be kept: {error}"
            return
        self.store.value = (
            f'<pre hidden class="tc-keep" data-page="{self.page}" data-count="{self._count}"'
            f' data-taken="{self._taken}" data-title="{escape(job.need.title[:80])}"'
            f' data-link="{int(self._link)}" data-hold="{int(hold)}">{escape(text)}</pre>'
        )

    def _heard(self, change: Any) -> None:
        head, _, text = str(change["new"]).partition("\n")
        _, kind, words = (*head.split("|", 2), "", "")[:3]
        if kind == "again":
            self._again(f"Taken up again from this browser, {words[:60]}.", text)
        elif kind == "carry":
            self._again(f"Carried over from page {words[:20]}.", text)
        elif kind == "offer":
            self.say(f"This browser kept {words[:120]}.", *_OFFER)
        elif kind == "blocked":
            self.say("This browser keeps nothing: save the job before you leave.")
        elif kind == "ping":
            self.publish()

    def _again(self, how: str, text: str) -> None:
        self._taken += 1
        try:
            said = self._open(Job.from_toml(text + "\n"), text)
        except InputError as error:
            self.say(
                f"What this browser kept cannot be opened: {error}", ("afresh", "start afresh")
            )
            self.publish()
            return
        self.say(" ".join([how, *said]),
                 ("afresh", "start afresh"))  # fmt: skip

    def _open(self, job: Job, text: str) -> list[str]:
        before, self.base = self.base, job
        try:
            said = self._take(job, text) or []
        except InputError:
            self.base = before
            raise
        self.publish()
        return said

    # ---- files
    def _uploaded(self, change: Any) -> None:
        if not change["new"]:
            return
        file = change["new"][0]
        content, self.upload.value = bytes(file["content"]), ()
        said = self._open(*read_file(str(file["name"]), content))
        self._session.status = " ".join([f"Opened {file['name']}.", *said])

    def _saved(self, _: Any) -> None:
        job = self._current()
        if _empty(job):
            raise InputError(_NOTHING.rstrip("."))
        name = f"{stem_of(job)}.job.toml"
        code = base64.b64encode(job.to_toml().encode("utf-8")).decode("ascii")
        self.file.value = ""  # the same file a second time is a download too
        self.file.value = download_html(name, "application/toml", code)
        self._session.status = f"Saved {name}." + _lost(job)


def _lost(job: Job) -> str:
    """What of the page does not travel."""
    stock = job.page.get("choose", {}).get("stock", "")
    if not stock or stock == "demo":
        return ""
    return f' The stock list "{stock}" does not travel with the job: keep it beside it.'


def _empty(job: Job) -> bool:
    return job == replace(Job(), version=job.version)


def summary(job: Job) -> str:
    """What a job holds, in one sentence.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    str
        Plain text.

    Examples
    --------
    >>> summary(Job())
    'Job "own need": 0 cases, 0 tubes.'
    """
    cases, tubes = len(job.need.cases), len(job.candidates)
    return (
        f'Job "{job.need.title or "own need"}": {cases} case{"s" * (cases != 1)}, '
        f"{tubes} tube{'s' * (tubes != 1)}."
    )


__all__ = ["KEEPS", "Keeper", "read_file", "stem_of", "summary"]
