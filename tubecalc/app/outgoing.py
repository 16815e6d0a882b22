"""What leaves the house from a page: the files of a job, and which tubes go out in words."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from importlib import import_module
from typing import Any

from tubecalc.app.jobs import stem_of
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.share.page_text import bound
from tubecalc.unit_display import show
from tubecalc.units import to_si

PAGE = "handover"  # of the job's tables of pages
PAPERS = ("A4", "Letter")
_NAMED = 4  # tubes told by name
_MM = 1e-3


@dataclass(frozen=True)
class Paper:
    """How pictures and papers are made.

    Parameters
    ----------
    width : float
        Width of the chart [mm].
    dpi : float
        Dots per inch of a PNG [1/in].
    paper : str
        "A4" or "Letter".
    """

    width: float = 170.0
    dpi: float = 300.0
    paper: str = "A4"


@dataclass(frozen=True)
class Way:
    """One file that can be handed over: words on its button, end of its name, media type."""

    words: str
    says: str
    end: str
    mime: str


WAYS = {
    "page": Way("customer page", "one page that opens anywhere, offline", ".html", "text/html"),
    "datasheet": Way("data sheet, PDF", "one or two sides of paper", "-data-sheet.pdf",
                     "application/pdf"),
    "xlsx": Way("table, XLSX", "a workbook: tubes, checks, need, sources", ".xlsx",
                "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    "csv": Way("table, CSV", "the tubes with every reserve", ".csv", "text/csv"),
    "png": Way("chart, PNG", "the chart as a picture", "-chart.png", "image/png"),
    "svg": Way("chart, SVG", "the chart as lines, for any size", "-chart.svg", "image/svg+xml"),
    "pdf": Way("chart, PDF", "the chart as a paper of its own", "-chart.pdf", "application/pdf"),
}  # fmt: skip
File = tuple[str, str, bytes]


def write(key: str, job: Job, how: Paper) -> File:
    """Write a file of a job.

    Parameters
    ----------
    key : str
        One of `WAYS`.
    job : Job
        What goes out.
    how : Paper
        Width, dots, paper.

    Returns
    -------
    tuple of str, str and bytes
        Name, media type, content.

    Raises
    ------
    InputError
        For a job that has nothing to hand over, or a size that cannot be.

    Examples
    --------
    >>> job = Job(candidates=(Candidate("6063-T6", 0.02, 0.017),))
    >>> name, mime, content = write("page", job, Paper())
    >>> name, mime, content[:15]
    ('tubecalc-job.html', 'text/html', b'<!DOCTYPE html>')
    """
    way = WAYS[key]
    return f"{stem_of(job)}{way.end}", way.mime, _content(key, job, how)


def _content(key: str, job: Job, how: Paper) -> bytes:
    # taken when they are asked for: the pages stay light
    made: bytes
    if key == "page":
        text: str = import_module("tubecalc.share.page").page(job)
        return text.encode("utf-8")
    if key == "datasheet":
        made = import_module("tubecalc.share.datasheet").datasheet(job, paper=how.paper)
    elif key in ("xlsx", "csv"):
        made = import_module("tubecalc.share.sheet").sheet(job, key, paper=how.paper)
    else:
        draw = import_module("tubecalc.share.quote_chart").chart
        made = draw(job, key, width_mm=how.width, dpi=how.dpi)
    return made


def quote_words(job: Job) -> str:
    """Words for the quote.

    Parameters
    ----------
    job : Job
        What goes out.

    Returns
    -------
    str
        Plain text.

    Raises
    ------
    InputError
        As `quote_text` does.
    """
    text: str = import_module("tubecalc.share.quote").quote_text(job)
    return text


# ---- which tubes -----------------------------------------------------------------------------
def tubes_words(job: Job) -> str:
    r"""Which tubes of a job go out, in words.

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
    >>> job = Job(candidates=(Candidate("6063-T6", 0.02, 0.017), Candidate("304", 0.02, 0.018)))
    >>> tubes_words(job).partition(";")[0].replace("\N{NO-BREAK SPACE}", " ").replace("×", "x")
    'Handed over: 6063-T6 aluminium 20 x 17 mm'
    """
    names = [_name(job, c) for c in job.candidates]
    if not names:
        return "No tube is named: the best of up to three constructions are handed over."
    return told(names, job.chosen)


def told(names: list[str], chosen: int, alone: str = "") -> str:
    r"""Sentence on the tubes that go out.

    Parameters
    ----------
    names : list of str
        Names with sizes.
    chosen : int
        Index of the recommended one; -1 for the lightest that passes.
    alone : str
        Said instead of the recommendation.

    Returns
    -------
    str
        Plain text.

    Examples
    --------
    >>> told(["rod 10 mm", "rod 12 mm"], 1).replace("\N{NO-BREAK SPACE}", "~")
    'Handed over: rod 10~mm; rod 12~mm, recommended.'
    """
    marked = [f"{n}, recommended" if k == chosen else n for k, n in enumerate(names)]
    shown = marked[:_NAMED]
    if _NAMED <= chosen < len(marked):
        shown.append(marked[chosen])
    rest = len(marked) - len(shown)
    more = f"; and {rest} more" if rest else ""
    end = alone
    if not end and chosen < 0 and len(names) > 1:
        end = "The lightest that passes is recommended."
    return bound(f"Handed over: {'; '.join(shown)}{more}. {end}".strip())


def _name(job: Job, c: Candidate) -> str:
    name = c.label.strip() or job.construction(c.wall).name
    od, bore = (show(v, "length", job.units) for v in (c.od, c.id))
    size = f"{od.rpartition(' ')[0]} × {bore}" if c.id else f"{od} solid"
    return f"{name} {size}"


# ---- how they are written: kept in the job -----------------------------------------------------
def paper_of(job: Job) -> Paper:
    """Width, dots and paper a job says, else the usual; nothing in it is believed unchecked.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    Paper

    Examples
    --------
    >>> paper_of(Job(page={"handover": {"width_mm": 120.0, "paper": "A9"}}))
    Paper(width=120.0, dpi=300.0, paper='A4')
    """
    state, usual = job.page.get(PAGE), Paper()
    if not isinstance(state, Mapping):
        return usual
    width, dpi = (_number(state.get(k)) for k in ("width_mm", "dpi"))
    paper = state.get("paper")
    return Paper(
        usual.width if width is None else width, usual.dpi if dpi is None else dpi,
        paper if isinstance(paper, str) and paper in PAPERS else usual.paper,
    )  # fmt: skip


def _number(value: Any) -> float | None:
    good = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if good and 0 < value < math.inf else None


def with_paper(job: Job, how: Paper) -> Job:
    """Job that says how its papers are written; the usual is not said.

    Parameters
    ----------
    job : Job
        The job.
    how : Paper
        Width, dots and paper.

    Returns
    -------
    Job

    Examples
    --------
    >>> paper_of(with_paper(Job(), Paper(120.0, 600.0, "Letter")))
    Paper(width=120.0, dpi=600.0, paper='Letter')
    """
    page = {k: v for k, v in job.page.items() if k != PAGE}
    if how != Paper():
        page[PAGE] = {"width_mm": how.width, "dpi": how.dpi, "paper": how.paper}
    return replace(job, page=page)


def width_from(text: str) -> float:
    """Width of a chart as typed: mm where no unit is given.

    Parameters
    ----------
    text : str
        For example "170" or "6.5 in".

    Returns
    -------
    float
        Width [mm].

    Raises
    ------
    InputError
        If it cannot be read, or no printer has it.

    Examples
    --------
    >>> width_from("170"), width_from("2 in")
    (170.0, 50.8)
    """
    try:
        value = float(text)
    except ValueError:
        value = to_si(text, "length", what="chart width", positive=True) / _MM
    return _within(round(value, 6), import_module("tubecalc.share.paper").WIDTHS, "chart width",
                   "mm")  # fmt: skip


def dpi_from(text: str) -> float:
    """Dots per inch as typed.

    Parameters
    ----------
    text : str
        For example "300".

    Returns
    -------
    float
        Dots per inch [1/in].

    Raises
    ------
    InputError
        If it cannot be read, or is out of range.

    Examples
    --------
    >>> dpi_from("600")
    600.0
    """
    value = to_si(text, "number", what="dots per inch")
    return _within(value, import_module("tubecalc.share.paper").DPIS, "dots per inch", "")


def _within(value: float, ends: tuple[float, float], what: str, unit: str) -> float:
    low, high = ends
    if not low <= value <= high:
        raise InputError(
            "is out of range", where=what, got=f"{value:g} {unit}".strip(),
            expected=f"{low:g} to {high:g} {unit}".strip(),
        )  # fmt: skip
    return value
