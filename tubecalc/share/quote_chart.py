"""The chart for a quote: need, chart, one line a tube, as wide as one wants it on paper.

Letters have one height on paper from 80 mm to 210 mm of width; a wider picture is enlarged.
"""

from __future__ import annotations

import math
from datetime import date as day
from pathlib import Path

from tubecalc.errors import unknown_key
from tubecalc.job import Job
from tubecalc.share.bars import number
from tubecalc.share.board import LEAD, MISSING, Board
from tubecalc.share.files import checked, put
from tubecalc.share.job_chart import NUMBERED, around, badge, chart_scene, styles_of
from tubecalc.share.letters import width_of
from tubecalc.share.page import dated
from tubecalc.share.page_verdict import Told, chart_message, governing, headline, least
from tubecalc.share.palette import Style
from tubecalc.share.paper import KINDS, About, Leaf, measures, picture
from tubecalc.share.quote_words import grade_of, graded, short_need, told_of
from tubecalc.share.scene import Scene
from tubecalc.share.travel import travel_scene
from tubecalc.share.wall_picture import swatch
from tubecalc.unit_display import show
from tubecalc.verdict import STANDING_CAUTION

SUFFIXES = tuple(f".{k}" for k in KINDS)
PER_MM = 4.36  # pixels of the picture per mm of paper: the least letters, 10 px, are 6.5 points
LEAST, MOST = 348.0, 920.0  # width of the picture [px]
WIDE = 560.0  # from here on the tubes stand in a table [px]
ROWS, LINES = NUMBERED, 8  # most tubes in the list and in the chart of travels
EDGE = 16.0
SMALL = 10.5
_TALL = 330.0  # of the chart [px]
_GAP, _GOVERNS, _NAMES = 16.0, 170.0, 150.0  # gap of columns, most for reasons, least for names
_CAPTION = (
    "Numbers are the tubes below, with a dashed ring where one does not pass. Dots are other "
    "sizes: filled passes, hollow fails. A line runs through the lightest that passes; metals are "
    "dashed."
)


def _short(told: Told, n: int) -> tuple[str, str, str]:
    """Reserve, what governs with its grade, whether it passes."""
    v = told.verdict(n)
    row = governing(v)
    what = f"{row['label']} ({grade_of(told, n)})" if row else "nothing comes near its limit"
    return number(least(v)), what, "✓ passes" if v.passes else "✗ fails"


def _figures(told: Told, n: int) -> tuple[str, str, str]:
    """Where nothing is judged: wall, bending stiffness, the same for each unit of mass."""
    j, system = told.judged, told.job.units
    s = j.candidates.sections
    stiff = float(s.EI[n])
    share = stiff / float(j.mass[n]) / max((s.EI / j.mass).tolist())
    return (
        show(float(s.t[n]), "length", system), show(stiff, "bending_stiffness", system),
        f"{100 * share:.0f} %",
    )  # fmt: skip


def _mark(board: Board, told: Told, number_: int, n: int, y: float, st: Style) -> None:
    shapes = badge(number_, (EDGE + 9.5, y), st.slug, best=n == told.judged.best,
                   passes=told.judged.passes(n))  # fmt: skip
    board.shapes += shapes
    board.put(swatch(st.hatch, f"line:{st.slug}"), EDGE + 25, y - 7)


def _columns(told: Told) -> tuple[list[str], list[list[str]], list[str]]:
    """Headings, cells and anchors of the table, without the names."""
    system, judged_ = told.job.units, bool(told.judged.need.cases)
    heads = ["OD × bore", "mass"]
    heads += ["reserve", "governed by (grade)", "result"] if judged_ else [
        "wall", "bending stiffness", "the same per mass"]  # fmt: skip
    rows = [
        [told.size(n, system), told.mass(n, system),
         *(_short(told, n) if judged_ else _figures(told, n))]
        for n in told.order[:ROWS]
    ]  # fmt: skip
    return heads, rows, ["end", "end", "end", "start" if judged_ else "end", "end"]


def _table(board: Board, told: Told, styles: dict[str, Style], y: float) -> float:
    """One line a tube under headings, where there is room for it."""
    heads, rows, anchors = _columns(told)
    widths = [
        max(width_of(head, SMALL), *(width_of(row[k], 12.0, bold=True) for row in rows))
        for k, head in enumerate(heads)
    ]
    widths[3] = min(widths[3], _GOVERNS)
    left, right = EDGE + 64, board.width - EDGE
    edges = [right - sum(widths[k:]) - _GAP * (len(heads) - k) for k in range(len(heads))]
    spots = [
        x + _GAP + (w if anchor == "end" else 0.0)
        for x, w, anchor in zip(edges, widths, anchors, strict=True)
    ]
    if edges[0] - left < _NAMES:
        return _list(board, told, styles, y)
    board.line(left, y, "tube", SMALL, "muted")
    for x, head, anchor in zip(spots, heads, anchors, strict=True):
        board.line(x, y, head, SMALL, "muted", anchor=anchor)
    y += 17
    for number_, (n, row) in enumerate(zip(told.order, rows, strict=False), 1):
        board.rule(y, EDGE, right, "grid")
        bold = n == told.judged.best
        low = board.words(left, y + 5, edges[0] - left, told.label(n), bold=bold, most=3)
        for k, (x, cell, anchor) in enumerate(zip(spots, row, anchors, strict=True)):
            strong, tone = bold and k in (2, 4), "ink"
            if k == 4 and told.judged.passes(n) is False:
                strong, tone = True, "warn"
            if anchor == "start":
                low = max(low, board.words(x, y + 5, widths[k], cell, most=2))
            else:
                board.line(x, y + 5, cell, colour=tone, anchor=anchor, bold=strong)
        _mark(board, told, number_, n, y + 12.5, styles[told.judged.tubes[n].construction.key])
        y = max(low, y + 22) + 3
    board.rule(y, EDGE, right)
    return y + 6


def _list(board: Board, told: Told, styles: dict[str, Style], y: float) -> float:
    """Two or three lines a tube, for a narrow picture."""
    x, right, system = EDGE + 64, board.width - EDGE, told.job.units
    for number_, n in enumerate(told.order[:ROWS], 1):
        board.rule(y, EDGE, right, "grid")
        _mark(board, told, number_, n, y + 12.5, styles[told.judged.tubes[n].construction.key])
        y = board.words(x, y + 5, right - x, told.label(n), bold=n == told.judged.best, most=2)
        sizes = f"{told.size(n, system)}, {told.mass(n, system)}"
        if told.judged.need.cases:
            reserve, what, word = _short(told, n)
            tone = "ink" if told.judged.passes(n) else "warn"
            y = board.words(x, y, right - x, f"{sizes}; {word}, reserve {reserve}: {what}", 11.5,
                            tone, most=4)  # fmt: skip
        else:
            wall, stiff, share = _figures(told, n)
            text = f"{sizes}; wall {wall}, bending stiffness {stiff}, per mass {share} of the best"
            y = board.words(x, y, right - x, text, 11.5, most=4)
        y += 5
    board.rule(y, EDGE, right)
    return y + 6


def _rest(told: Told) -> str:
    """What is said of tubes that are not listed."""
    left = told.order[ROWS:]
    if not left:
        return ""
    if not told.judged.need.cases:
        return f"{len(left)} more tubes are not listed here."
    good = sum(bool(told.judged.passes(n)) for n in left)
    return (
        f"{len(left)} more tubes, small rings in the chart, are not listed: {good} pass, "
        f"{len(left) - good} fail."
    )


def _chart(told: Told, width: float) -> tuple[Scene, str, str]:
    """Picture, heading, caption."""
    j = told.judged
    if j.need.cases:
        scene = chart_scene(j, around(j), told.job.units, width, _TALL)
        return scene, chart_message(told), _CAPTION
    drawn = told.order[:LINES]
    scene = travel_scene(j, drawn, styles_of(j), width=width - 30, named=False)
    few = f"The {LINES} lightest are drawn. " if len(told.order) > LINES else ""
    caption = (
        f"{few}Stiffness does not change before the end; a metal is drawn elastic, then level at "
        "its full plastic load. The last column is bending stiffness for each unit of mass, "
        "against the best."
    )
    return scene, headline(told, told.job.units), caption


def _head(board: Board, told: Told) -> float:
    """Title, customer and reference, the need."""
    wide, room = board.width >= WIDE, board.width - 2 * EDGE
    title = told.judged.need.title.strip() or "Which tube?"
    y = board.words(EDGE, 12.0, room, title, 20 if wide else 16, bold=True, most=2)
    text = told.job.text
    given = (("for", text.customer), ("reference", text.reference))
    who = ", ".join(f"{word} {value.strip()}" for word, value in given if value.strip())
    if who:
        y = board.words(EDGE, y, room, who, 11.5, "muted", most=2)
    if told.judged.need.cases:
        for row in short_need(told, room, 12.5, 4 if wide else 9):
            board.line(EDGE, y + 3, row, 12.5)
            y += LEAD * 12.5
    return y + 12


def leaf_of(told: Told, when: str, width: float) -> tuple[Leaf, str]:
    """Set the chart.

    Parameters
    ----------
    told : Told
        The job.
    when : str
        ISO date.
    width : float
        Width of the picture [px].

    Returns
    -------
    tuple of Leaf and str
        The picture, and what it says.
    """
    from tubecalc import __version__

    board = Board(width)
    styles, room = styles_of(told.judged), width - 2 * EDGE
    y = _head(board, told)
    scene, message, caption = _chart(told, width - 8)
    y = board.words(EDGE, y, room, message, 13.5, bold=True, most=3) + 4
    y = board.put(scene, 4.0, y) + 6
    y = board.words(EDGE, y, room, caption, SMALL, "muted") + 10
    y = (_table if width >= WIDE else _list)(board, told, styles, y)
    if rest := _rest(told):
        y = board.words(EDGE, y, room, rest, 11.5) + 4
    notes = [*graded(told, ROWS), *([MISSING] if board.unknown() else [])]
    if notes:
        y = board.words(EDGE, y, room, " ".join(notes), SMALL, "muted") + 2
    y = board.words(EDGE, y, room, STANDING_CAUTION, SMALL, "warn") + 2
    y = board.words(EDGE, y, room, f"tubecalc {__version__}, {when}. These figures help to choose; "
                    "they approve nothing.", SMALL, "muted")  # fmt: skip
    return board.leaf(math.ceil(y + 8), tuple(styles.values())), f"{message}. {scene.says}"


def chart(
    job: Job, kind: str, *, date: str | day | None = None, width_mm: float = 170.0,
    dpi: float = 300.0,
) -> bytes:  # fmt: skip
    """Comparison chart of a job for a quote.

    Parameters
    ----------
    job : Job
        With candidates, or a need to choose the best for.
    kind : str
        "png", "svg" or "pdf".
    date : str or datetime.date, optional
        ISO date in the foot; the job's own, else today, when not given.
    width_mm : float
        Width on paper, 40 to 600; below 80 the letters are small [mm].
    dpi : float
        Pixels per inch of a PNG, 72 to 1200 [1/in].

    Returns
    -------
    bytes
        The file; the same bytes for the same job, date and size.

    Raises
    ------
    InputError
        For another kind or size, a job with nothing to offer, or what the core refuses of it.

    Examples
    --------
    >>> from tubecalc.job import Candidate
    >>> job = Job(candidates=(Candidate("6063-T6", 0.02, 0.017),), date="2026-11-25")
    >>> chart(job, "png", width_mm=80, dpi=72)[1:4]
    b'PNG'
    """
    if kind not in KINDS:
        raise unknown_key("kind of chart", kind, KINDS)
    width_mm, dpi = measures(width_mm, dpi)
    told = told_of(job)
    when = dated(job, date)
    leaf, says = leaf_of(told, when, min(max(PER_MM * width_mm, LEAST), MOST))
    title = told.judged.need.title.strip() or "Which tube?"
    return picture(leaf, kind, About(title, says, when), width_mm, dpi)


def write_chart(
    job: Job, path: str | Path, *, date: str | day | None = None, width_mm: float = 170.0,
    dpi: float = 300.0,
) -> Path:  # fmt: skip
    """Write the comparison chart of a job for a quote.

    Parameters
    ----------
    job : Job
        With candidates, or a need to choose the best for.
    path : str or pathlib.Path
        Where, ending in .png, .svg or .pdf; a failed write leaves an old file as it was.
    date : str or datetime.date, optional
        ISO date in the foot; the job's own, else today, when not given.
    width_mm : float
        Width on paper, 40 to 600 [mm].
    dpi : float
        Pixels per inch of a PNG, 72 to 1200 [1/in].

    Returns
    -------
    pathlib.Path
        The file.

    Raises
    ------
    InputError
        For another ending, a file that cannot be written, or as `chart` does.
    """
    target = checked(path, SUFFIXES, "chart")
    kind = target.suffix.lower().removeprefix(".")
    data = chart(job, kind, date=date, width_mm=width_mm, dpi=dpi)
    return put(target, data, suffixes=SUFFIXES, what="chart")


__all__ = ["SUFFIXES", "chart", "leaf_of", "write_chart"]
