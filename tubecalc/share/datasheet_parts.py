"""Parts of a data sheet: words and pictures as blocks that can be set on a page."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeVar

from tubecalc.checks.registry import GRADES
from tubecalc.checks.service import length_of
from tubecalc.compare_words import own_tests, rows, suits
from tubecalc.share.bars import reserve_bars
from tubecalc.share.board import LEAD, Board
from tubecalc.share.flow import GAP, Block, Section
from tubecalc.share.job_chart import badge, styles_of
from tubecalc.share.letters import folded, width_of
from tubecalc.share.page_reasons import (
    assumed,
    bases,
    beside,
    cautions,
    checks,
    helps,
    origins,
    reserves,
)
from tubecalc.share.page_verdict import Told, headline, lead, mark
from tubecalc.share.palette import Style
from tubecalc.share.quote_words import short_need
from tubecalc.share.scene import Scene
from tubecalc.share.wall_picture import WIDTH, swatch, wall_picture
from tubecalc.share.walls_row import bands
from tubecalc.unit_display import show

EDGE = 52.0  # margin [px]
Item = TypeVar("Item")
BODY, SMALL = 12.0, 10.5
COLUMN = 362.0  # the right one of two [px]
BARS = 10  # most reserve bars [-]
_CHECKS = ("way to fail", "case", "reserve", "grade", "expected error", "reason")


def style_of(told: Told) -> Style:
    """Style of the tube the sheet tells of."""
    return styles_of(told.judged)[told.judged.tubes[told.shown].construction.key]


def _room(width: float) -> float:
    return width - 2 * EDGE


def heading(width: float, text: str, x: float = EDGE) -> Block:
    """Heading of a section."""
    board = Board(width)
    y = board.words(x, GAP, _room(width), text, 13.5, bold=True, most=1)
    return Block(board, y + 3, glued=True)


def paragraph(width: float, text: str, size: float = BODY, *, most: int = 5) -> Block:
    """Text over the whole width."""
    board = Board(width)
    return Block(board, board.words(EDGE, 0.0, _room(width), text, size, most=most) + 2)


def varied(items: Sequence[Item], key: Callable[[Item], str], most: int) -> list[Item]:
    """Pick so many items that as few kinds as possible are left out, in their own order.

    Parameters
    ----------
    items : sequence
        From the one that counts most to the one that counts least.
    key : callable
        Item -> its kind.
    most : int
        How many [-].

    Returns
    -------
    list

    Examples
    --------
    >>> varied(["a1", "a2", "a3", "b1"], lambda x: x[0], 3)
    ['a1', 'a2', 'b1']
    """
    kinds = [key(x) for x in items]
    first = [k for k, kind in enumerate(kinds) if kind not in kinds[:k]]
    rest = [k for k in range(len(items)) if k not in set(first)]
    return [items[k] for k in sorted((first + rest)[:most])]


def listed(
    width: float, title: str, name: str, texts: Sequence[str], most: int, size: float = BODY,
    lines: int = 5,
) -> Section:  # fmt: skip
    """Section of paragraphs, at most so many."""
    made = [paragraph(width, f"• {t}", size, most=lines) for t in texts[:most]]
    head = [heading(width, title)] if made else []
    return Section(name, (*head, *made), max(0, len(texts) - most))


# ---- top ----------------------------------------------------------------------------------
def top(told: Told, when: str, width: float) -> Section:
    """Title, customer, reference, date; verdict and reason."""
    board, room, own = Board(width), _room(width), told.job.units
    text = told.job.text
    title = told.judged.need.title.strip() or "Which tube?"
    board.line(width - EDGE, 1.0, when, BODY, "muted", anchor="end")
    y = board.words(EDGE, 0.0, room - 110, title, 14.5, bold=True, most=2)
    given = (("for", text.customer), ("reference", text.reference), ("by", text.author))
    for word, value in given:
        if value.strip():
            y = board.words(EDGE, y, room - 110, f"{word} {value.strip()}", BODY, "muted", most=2)
    word, good = mark(told)
    y += 8
    board.line(EDGE, y, word, BODY, "ink" if good else "warn", bold=True)
    y = board.words(EDGE, y + 17, room, headline(told, own), 18.0, bold=True, most=4) + 3
    if reason := lead(told, own):
        y = board.words(EDGE, y, room, reason, BODY, most=4)
    return Section("", (Block(board, y + 2),))


# ---- need, wall, figures, bars ------------------------------------------------------------
def _wall(told: Told) -> tuple[Scene, str]:
    """Picture of the wall and its caption."""
    tube, own, st = told.judged.tubes[told.shown], told.job.units, style_of(told)
    runs = bands(tube, f"line:{st.slug}")
    outer, bore = (2 * float(r[0]) for r in (tube.sections.ro, tube.sections.ri))
    named = [f"{b.label} × {b.plies}" if b.plies > 1 else b.label for b in runs]
    words = ", ".join(named)
    if len(named) > 9:
        words = f"{len(named)} runs of plies, {named[0]} at the bore and {named[-1]} outside"
    thick = show(float(tube.sections.t[0]), "length", own)
    texts = (show(bore, "length", own), show(outer, "length", own))
    return (
        wall_picture(runs, outer, bore, texts=texts),
        f"{tube.construction.name}, {thick} of wall, from the bore outwards: {words}.",
    )


def _percent(share: float) -> str:
    return "not stated" if math.isnan(share) else f"±{100 * share:g} %"


def properties(told: Told) -> list[tuple[str, str]]:
    """Figures of the tube the sheet tells of.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    list of (name, value)
        Values with their units.
    """
    n, own, j = told.shown, told.job.units, told.judged
    tube, c = j.tubes[n], j.tubes[n].construction
    s = tube.sections
    found = {r.key: f"{r.cells[n]} {r.unit}" for r in rows(j)}
    suit = {x.key: x.texts[n] for x in suits(j)}
    alpha = float(tube.layup.alpha_x.magnitude)
    out = [
        ("outside diameter", f"{show(2 * float(s.ro[0]), 'length', own)}, {suit['od']}"),
        (
            "bore",
            f"{show(2 * float(s.ri[0]), 'length', own)}, {suit['id']}"
            if float(s.ri[0]) > 1e-9
            else "none: a solid rod",
        ),
        ("wall", f"{show(float(s.t[0]), 'length', own)}, {_percent(c.tolerance_wall)}"),
        ("mass per length", told.mass(n, own)),
    ]
    length = length_of(j.need) if j.need.cases else math.nan
    if math.isfinite(length) and length > 0:
        out.append(("mass of the tube", f"{show(float(j.mass[n]) * length, 'mass', own)} at "
                    f"{show(length, 'length', own)}"))  # fmt: skip
    out += [
        ("axial stiffness EA", found["tension.stiffness"]),
        ("bending stiffness EI", found["buckling.stiffness"]),
        ("torsional stiffness GJ", found["torsion.stiffness"]),
        ("growth with heat, along",
         "not known" if math.isnan(alpha) else show(alpha, "expansion", own)),
        ("highest temperature", suit["t_max"]),
    ]  # fmt: skip
    if suit["price"] != "not known":
        out.append(("price per metre", suit["price"]))
    return out


def pairs(
    board: Board, x: float, y: float, room: float, given: Sequence[tuple[str, str]], share: float
) -> float:
    """Names and values in two columns, with a thin line above each pair."""
    for name, value in given:
        board.rule(y, x, x + room, "grid")
        low = board.words(x, y + 3, share - 8, name, 11.5, "muted", most=2)
        y = max(low, board.words(x + share, y + 3, room - share, value, 11.5, most=3)) + 2
    board.rule(y, x, x + room, "grid")
    return y


def _strengths(told: Told) -> list[tuple[str, str]]:
    """Load at the end of every kind, where nothing is judged."""
    n = told.shown
    return [
        (r.group, f"{r.cells[n]} {r.unit}" + (f", {r.notes[n]}" if r.notes[n] else ""))
        for r in rows(told.judged) if r.key.endswith(".last")
    ]  # fmt: skip


def _left(board: Board, told: Told, room: float) -> float:
    """Need in words, and the figures of the tube under it."""
    y = board.words(EDGE, GAP, room, "What is asked", 13.5, bold=True) + 3
    if told.judged.need.cases:
        for line in short_need(told, room, BODY, 15, join="\n"):
            board.line(EDGE, y, line, BODY)
            y += LEAD * BODY
    else:
        y = board.words(EDGE, y, room, "No load is stated, so nothing is judged.", BODY)
    y = board.words(EDGE, y + GAP, room, "The tube", 13.5, bold=True) + 3
    return pairs(board, EDGE, y, room, properties(told), 142.0)


def _right(board: Board, told: Told, x: float) -> float:
    """Wall to scale, and under it the reserve bars or what the tube carries at most."""
    scene, caption = _wall(told)
    board.words(x, GAP, COLUMN, "The wall, to scale", 13.5, bold=True)
    y = board.put(scene, x + (COLUMN - WIDTH) / 2, GAP + 20)
    y = board.words(x, y + 2, COLUMN, caption, SMALL, "muted", most=4)
    found = reserves(told) if told.judged.need.cases else []
    title = "Reserve, by way to fail" if found else "Carries at most, one load at a time"
    y = board.words(x, y + GAP, COLUMN, title, 13.5, bold=True) + 3
    if not found:
        y = pairs(board, x, y, COLUMN, _strengths(told), 138.0) + 3
        over = show(told.judged.span, "length", told.job.units)
        note = f"Room temperature, short time, no safety factor; bending and buckling over {over}."
        note = " ".join([note, *own_tests(told.judged)])
    else:
        st = style_of(told)
        bars = reserve_bars(found[:BARS], hatch=st.hatch, colour=f"line:{st.slug}", width=COLUMN)
        y = board.put(bars, x, y) + 4
        note = "What it bears over what is asked, factors included. Black governs."
        if any(r.advisory for r in found[:BARS]):
            note += " Dashed is advice and decides nothing."
        if len(found) > BARS:
            note += f" {len(found) - BARS} more stand in the table of checks."
    return board.words(x, y, COLUMN, note, SMALL, "muted")


def body(told: Told, width: float) -> Section:
    """Need and figures of the tube at the left, wall and reserves at the right."""
    board, right = Board(width), width - EDGE - COLUMN
    low = max(_left(board, told, right - EDGE - 24), _right(board, told, right))
    return Section("", (Block(board, low + 2),))


# ---- lists --------------------------------------------------------------------------------
def checked_table(told: Told, width: float, most: int) -> Section:
    """Every check: reserve, grade, expected error, reason."""
    if not told.judged.need.cases:
        return Section("", ())
    found = checks(told, told.job.units)
    named = len(told.judged.need.cases) > 1
    widths = [128.0, 76.0 if named else 0.0, 58.0, 38.0, 170.0]
    edges = [EDGE + sum(widths[:k]) for k in range(5)]
    widths.append(width - EDGE - edges[4] - widths[4])
    edges.append(edges[4] + widths[4])
    head = Board(width)
    for k, text in enumerate(_CHECKS):
        if k != 1 or named:
            head.line(edges[k], 0.0, text, SMALL, "muted")
    names = Block(head, 16.0, glued=True)
    blocks = [heading(width, f"Every check of tube {told.order.index(told.shown) + 1}"), names]
    for row in varied(found, lambda x: x[0], most):
        board, low = Board(width), 0.0
        board.rule(0.0, EDGE, width - EDGE, "grid")
        for k, text in enumerate(row):
            if widths[k]:
                size, bold = (11.5 if k in (0, 2) else SMALL), k == 2
                text = text.replace(" ", "\u00a0") if bold else text  # "> 1000" is one word
                low = max(low, board.words(edges[k], 3.0, widths[k] - 10, text, size, bold=bold,
                                           most=6))  # fmt: skip
        blocks.append(Block(board, low + 2))
    return Section("checks", tuple(blocks), max(0, len(found) - most), names)


def _against(told: Told, n: int) -> str:
    """Verdict on another tube and its weight; where nothing is judged, how far it bends."""
    said = beside(told, n, told.job.units)
    share = 100 * float(told.judged.mass[n] / told.judged.mass[told.shown])
    weight = f"Weighs {share:.0f} % of number 1."
    return f"{said[0]} {weight}" if told.judged.need.cases else " ".join((weight, *said[1:2]))


def others(told: Told, width: float, most: int) -> Section:
    """The other tubes against the one the sheet tells of."""
    styles, blocks = styles_of(told.judged), []
    left = [(k, n) for k, n in enumerate(told.order, 1) if n != told.shown]
    for k, n in left[:most]:
        board, st = Board(width), styles[told.judged.tubes[n].construction.key]
        board.shapes += badge(k, (EDGE + 9, 9.0), st.slug, best=False,
                              passes=told.judged.passes(n))  # fmt: skip
        board.put(swatch(st.hatch, f"line:{st.slug}"), EDGE + 24, 2.0)
        x, own = EDGE + 64, told.job.units
        room = width - EDGE - x
        name = f"{told.label(n)}, {told.size(n, own)}, {told.mass(n, own)}"
        y = board.words(x, 1.0, room, name, BODY, bold=True, most=2)
        y = board.words(x, y, room, _against(told, n), 11.5, most=3)
        blocks.append(Block(board, max(y, 20.0) + 4))
    head = [heading(width, "The others, against number 1")] if blocks else []
    return Section("other tubes", (*head, *blocks), max(0, len(left) - most))


def _two(width: float, given: Sequence[tuple[str, str, str]]) -> list[Block]:
    """Names, ratings and texts, two side by side."""
    half = (_room(width) - 24) / 2
    blocks = []
    for k in range(0, len(given), 2):
        board, low = Board(width), 0.0
        for side, (name, rating, text) in enumerate(given[k : k + 2]):
            x = EDGE + side * (half + 24)
            board.rule(0.0, x, x + half, "grid")
            board.words(x, 3.0, 96, name, SMALL, "muted", most=2)
            board.line(x + 100, 3.0, rating, SMALL, bold=True)
            at = width_of(f"{rating} ", SMALL, bold=True) if rating else 0.0
            at = max(at + 4, 36.0) if rating else 0.0
            high = board.words(x + 100 + at, 3.0, half - 100 - at, text, SMALL, most=4)
            low = max(low, high, 3 + LEAD * SMALL * len(folded(name, 96, SMALL, most=2)))
        blocks.append(Block(board, low + 2, items=len(given[k : k + 2])))
    return blocks


def service(told: Told, width: float) -> Section:
    """How the tube takes wear, joining, weather: grades of service."""
    skip = {"t_max", "price", "od", "id"}
    n = told.shown
    given = [(x.label, x.ratings[n], x.texts[n]) for x in suits(told.judged) if x.key not in skip]
    return Section(
        "notes on what else suits", (heading(width, "What else suits"), *_two(width, given))
    )


def remedy(told: Told, width: float) -> Section:
    """What would make the nearest tube pass."""
    found = helps(told, told.job.units)
    return listed(width, "What would help", "remedies", found, 4)


def mind(told: Told, width: float, most: int) -> Section:
    """Cautions."""
    found = cautions(told, told.job.units)
    kept = varied(found, lambda x: x.partition(": ")[2].casefold() or x, most)
    one = listed(width, "To mind", "cautions", kept, most)
    return replace(one, more=len(found) - len(kept))


def assumptions_of(told: Told, width: float, most: int) -> Section:
    """What the result stands on."""
    found = assumed(told, told.job.units)
    return listed(width, "Assumptions", "assumptions", found, most, 11.5, 3)


def sources(told: Told, width: float, most: int) -> Section:
    """Grades, what the checks rest on, where the values of this tube come from, in brief."""
    own, n = told.job.units, told.shown
    alone = Told(told.job, {own: replace(told.judged, tubes=(told.judged.tubes[n],))})
    said = [*origins(alone), *bases(told)]
    blocks = [paragraph(width, f"{a}: {b}", SMALL, most=2) for a, b in said[:most]]
    if told.judged.need.cases:
        words = "; ".join(f"{k} {v}" for k, v in GRADES.items())
        text = (
            f"Grades of evidence: {words}; – outside the range in which the check is shown to hold."
        )
        blocks.insert(0, paragraph(width, text, SMALL))
    head = heading(width, "Sources, in brief")
    return Section("sources", (head, *blocks), max(0, len(said) - most))


__all__ = [
    "EDGE", "SMALL", "assumptions_of", "body", "checked_table", "heading", "listed", "mind",
    "others", "paragraph", "properties", "remedy", "service", "sources", "style_of", "top",
    "varied",
]  # fmt: skip
