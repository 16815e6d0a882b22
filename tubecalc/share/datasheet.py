"""The data sheet: one or two pages on the recommended tube, as a PDF."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date as day

from tubecalc.errors import unknown_key
from tubecalc.job import Job
from tubecalc.share.board import LEAD, MISSING, Board
from tubecalc.share.datasheet_parts import (
    EDGE,
    SMALL,
    assumptions_of,
    body,
    checked_table,
    mind,
    others,
    remedy,
    service,
    sources,
    style_of,
    top,
)
from tubecalc.share.flow import Flow, Section, flow
from tubecalc.share.hatch import strokes
from tubecalc.share.job_chart import styles_of
from tubecalc.share.letters import folded
from tubecalc.share.need_words import joined
from tubecalc.share.page import dated
from tubecalc.share.page_verdict import Told, headline
from tubecalc.share.palette import Style
from tubecalc.share.paper import About, Leaf, booklet
from tubecalc.share.quote_words import told_of
from tubecalc.share.scene import Lines, Scene
from tubecalc.verdict import STANDING_CAUTION

PAPERS: Mapping[str, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # [mm]
POINTS = 0.7  # of paper for each pixel: the least letters, 10.5 px, are 7.35 points
PAGES = 2
_STRIP = 30.0  # where the hatched strip stands [px]


def title_of(told: Told) -> str:
    """Title of the job."""
    return told.judged.need.title.strip() or "Which tube?"


def _sections(told: Told, when: str, width: float) -> list[Section]:
    """What the sheet says, in the order of its weight."""
    return [
        top(told, when, width), body(told, width), remedy(told, width), mind(told, width, 10),
        checked_table(told, width, 18), assumptions_of(told, width, 10), others(told, width, 6),
        service(told, width), sources(told, width, 14),
    ]  # fmt: skip


def _strip(width: float, st: Style) -> Scene:
    """Strip in the hatch of the tube."""
    room = width - 2 * EDGE
    dots = st.hatch == "dots"
    marks = strokes(st.hatch, room, 12.0, 5.0)
    return Scene(room, 12.0, (Lines(marks, f"line:{st.slug}", 1.9 if dots else 1.1, dot=dots),))


def _foot(board: Board, height: float, words: str) -> float:
    """Standing caution and the line under it; gives where the foot begins."""
    room = board.width - 2 * EDGE
    tall = LEAD * SMALL * (len(folded(STANDING_CAUTION, room, SMALL)) + 1) + 8
    y = height - 30 - tall
    board.rule(y, EDGE, board.width - EDGE)
    y = board.words(EDGE, y + 6, room, STANDING_CAUTION, SMALL, "warn")
    board.line(EDGE, y, words, SMALL, "muted")
    return height - 30 - tall


def _some(lost: int, count: int) -> str:
    return f"all {count}" if lost == count else f"{lost} of {count}"


def _left(found: Flow) -> str:
    """What found no room, in a sentence."""
    if not found.left:
        return ""
    parts = [f"{_some(lost, count)} {name}" for name, (lost, count) in found.left.items()]
    return (
        f"Left out here for want of room: {joined(parts)}. The customer page of this job has all "
        "of it."
    )


def leaves_of(told: Told, when: str, paper: str) -> list[Leaf]:
    """Set the sheet.

    Parameters
    ----------
    told : Told
        The job.
    when : str
        ISO date.
    paper : str
        A key of `PAPERS`.

    Returns
    -------
    list of Leaf
        One or two pages.
    """
    from tubecalc import __version__

    width, height = (v / 25.4 * 72 / POINTS for v in PAPERS[paper])
    room = width - 2 * EDGE
    low = _foot(Board(width), height, "")
    sections = _sections(told, when, width)
    tops = (_STRIP + 24, *[_STRIP + 12] * (PAGES - 1))
    found = flow(sections, width, tops, (low - 6,) * PAGES)
    missing = any(b.unknown() for b in found.pages)
    if found.left or missing:
        said = " ".join(p for p in (_left(found), MISSING if missing else "") if p)
        tall = LEAD * SMALL * (len(folded(said, room, SMALL)) + 1) + 10
        found = flow(sections, width, tops, (low - 6,) * (PAGES - 1) + (low - 6 - tall,))
    notes = [t for t in (_left(found), MISSING if missing else "") if t]
    if notes:
        text = " ".join(notes)
        tall = LEAD * SMALL * len(folded(text, room, SMALL))
        y = min(found.ends[-1] + 8, low - tall - 4)
        found.pages[-1].words(EDGE, y, room, text, SMALL, bold=bool(found.left))
    styles, out = styles_of(told.judged).values(), []
    for k, page in enumerate(found.pages, 1):
        if k == 1:
            page.put(_strip(width, style_of(told)), EDGE, _STRIP)
        else:
            page.words(EDGE, _STRIP - 8, room, f"{title_of(told)}, continued", SMALL, "muted",
                       most=1)  # fmt: skip
        foot = (
            f"tubecalc {__version__}, {when}. These figures help to choose; they approve nothing. "
            f"Page {k} of {len(found.pages)}."
        )
        _foot(page, height, foot)
        out.append(page.leaf(height, tuple(styles)))
    return out


def datasheet(job: Job, *, date: str | day | None = None, paper: str = "A4") -> bytes:
    """Data sheet of the recommended tube of a job.

    Parameters
    ----------
    job : Job
        With candidates, or a need to choose the best for.
    date : str or datetime.date, optional
        ISO date on the sheet; the job's own, else today, when not given.
    paper : str
        "A4" or "Letter".

    Returns
    -------
    bytes
        PDF of one or two pages; the same bytes for the same job, date and paper.

    Raises
    ------
    InputError
        For another paper, a job with nothing to offer, or what the core refuses of it.

    Examples
    --------
    >>> from tubecalc.job import Candidate
    >>> job = Job(candidates=(Candidate("6063-T6", 0.02, 0.017),), date="2026-11-25")
    >>> datasheet(job)[:5]
    b'%PDF-'
    """
    if paper not in PAPERS:
        raise unknown_key("paper", paper, PAPERS)
    told = told_of(job)
    when = dated(job, date)
    about = About(f"{title_of(told)}: data sheet", headline(told, told.job.units), when)
    return booklet(leaves_of(told, when, paper), about, PAPERS[paper][0])


__all__ = ["PAPERS", "datasheet", "leaves_of"]
