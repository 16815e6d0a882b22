"""The customer page: one file that opens anywhere, asks nothing of anybody, and holds its job."""

from __future__ import annotations

import base64
import hashlib
from datetime import date as day
from functools import cache
from importlib.resources import files
from pathlib import Path

from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.job_parts import date_of
from tubecalc.share import page_parts as parts
from tubecalc.share import page_table as tables
from tubecalc.share import palette
from tubecalc.share.files import checked, put
from tubecalc.share.job_chart import around, styles_of
from tubecalc.share.offer import offered
from tubecalc.share.page_text import esc
from tubecalc.share.page_verdict import Told
from tubecalc.verdict import STANDING_CAUTION

SUFFIX = ".html"


@cache
def _own(name: str) -> str:
    return files("tubecalc.share").joinpath(name).read_text(encoding="utf-8").strip()


def _hash(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def dated(job: Job, date: str | day | None) -> str:
    """Date of what is written: the one given, else the job's, else today.

    Parameters
    ----------
    job : Job
        The job.
    date : str or datetime.date, optional
        ISO date.

    Returns
    -------
    str
        ISO date.

    Raises
    ------
    InputError
        If it is not a date.

    Examples
    --------
    >>> dated(Job(date="2026-11-25"), None)
    '2026-11-25'
    """
    return date_of("" if date is None else date, "date") or job.date or day.today().isoformat()


def page(job: Job, *, date: str | day | None = None) -> str:
    """Customer page of a job.

    Parameters
    ----------
    job : Job
        With candidates, or a need to choose the best for.
    date : str or datetime.date, optional
        ISO date on the page; the job's own, else today, when not given.

    Returns
    -------
    str
        HTML; the same text for the same job and date.

    Raises
    ------
    InputError
        If there is nothing to offer, or for what the core refuses of a candidate.

    Examples
    --------
    >>> from tubecalc.job import Candidate
    >>> text = page(Job(candidates=(Candidate("6063-T6", 0.02, 0.017),)), date="2026-11-25")
    >>> text[:15], "://" in text, Job.from_html(text).candidates[0].wall
    ('<!DOCTYPE html>', False, '6063-T6')
    """
    if not isinstance(job, Job):
        raise InputError("is not a Job", where="page", got=type(job).__name__)
    when = dated(job, date)
    told = Told.of(offered(job))
    chart, spare = parts.chart(told, around(told.judged))
    wall = parts.wall(told)
    bars = parts.bars(told)
    pictures = f'<div class="two">{bars}{wall}</div>' if bars else wall
    main = "".join((
        parts.answer(told), parts.need(told), chart, pictures, tables.table(told),
        tables.others(told), tables.notes(told), tables.closing(told), tables.fine(told),
    ))  # fmt: skip
    body = (
        f"<header>{parts.band(told)}{parts.top(told, when)}</header><main>{main}</main>"
        f"{_foot(when)}{spare}\n{job.to_html()}"
    )
    return _document(told, body)


def _foot(when: str) -> str:
    from tubecalc import __version__

    return (
        f'<footer><p class="stand">{esc(STANDING_CAUTION)}</p>'
        f"<p>These figures help to choose; they approve nothing. Computed with tubecalc "
        f"{esc(__version__)}, {when}. This page holds its job: drop it on tubecalc to take it up "
        "again.</p></footer>"
    )


def _document(told: Told, body: str) -> str:
    style = palette.css(styles_of(told.judged).values()) + _own("page_look.css")
    script = _own("page_script.js")
    policy = (
        f"default-src 'none'; style-src '{_hash(style)}'; script-src '{_hash(script)}'; "
        "img-src data:; base-uri 'none'; form-action 'none'"
    )
    title = " · ".join(
        t for t in (told.judged.need.title.strip(), told.job.text.customer.strip()) if t
    )
    return (
        f'<!DOCTYPE html>\n<html lang="en" data-units="{told.job.units}"><head>'
        '<meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<meta name="color-scheme" content="light dark">'
        '<meta name="referrer" content="no-referrer">'
        f'<title>{esc(title or "Which tube?")}</title><link rel="icon" href="data:,">'
        f"<style>{style}</style></head>\n<body>{body}\n<script>{script}</script></body></html>\n"
    )


def write_page(job: Job, path: str | Path, *, date: str | day | None = None) -> Path:
    """Write the customer page of a job: one file, no outside request, its job inside.

    Parameters
    ----------
    job : Job
        With candidates, or a need to choose the best for.
    path : str or pathlib.Path
        Where, ending in .html; a failed write leaves an old file as it was.
    date : str or datetime.date, optional
        ISO date on the page; the job's own, else today, when not given.

    Returns
    -------
    pathlib.Path
        The file.

    Raises
    ------
    InputError
        For another ending, a file that cannot be written, or as `page` does.
    """
    target = checked(path, (SUFFIX,), "page")
    return put(target, page(job, date=date).encode(), suffixes=(SUFFIX,), what="page")


__all__ = ["dated", "page", "write_page"]
