"""What stands above the rows of a test file: names, units, the specimen, other values."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from tubecalc.testing.curves_heads import clean, heading, unit_of
from tubecalc.testing.curves_number import Cell, kind, split_unit
from tubecalc.testing.curves_table import Line
from tubecalc.testing.curves_told import channels

__all__ = ["Above", "above", "is_names", "label_of"]

_WORDS = (
    r"(?:specimen|sample|probenbezeichnung|probe|probenname|prüfling|prufling|muster|test|run|coupon"
    r"|piece|éprouvette|eprouvette|essai|probeta|provino|prova|ensayo|tube|rohr|data ?set)"
)
_LABEL = re.compile(
    rf"\W*{_WORDS}\b\s*(?:no\.?|nr\.?|number|name|id|bezeichnung|nummer|label|#)?\s*[:=#]?\s*(\S.{{0,40}}?)?\W*",
    re.IGNORECASE,
)
_BARE = re.compile(
    rf"\W*({_WORDS}\W{{0,3}}(?:no\.?|nr\.?|#)?\s*\S{{0,12}}\d\S{{0,8}})\W*", re.IGNORECASE
)
_COMMENT = re.compile(r"^\s*(?:#+|%+|//|!)\s*")
_PAIR = re.compile(r"\s*([^:=]{2,40}?)\s*[:=]\s*(\S.{0,80})")


@dataclass
class Above:
    """Headings, units, and what else stood above the rows."""

    names: list[str] = field(default_factory=list)
    units: list[str] = field(default_factory=list)
    line: int = 0
    label: str = ""
    preamble: list[tuple[str, str]] = field(default_factory=list)
    groups: list[str] = field(default_factory=list)  # a row of specimens above the headings
    short: int = 0  # headings, where a text has fewer of them than columns


def _texts(line: Line, width: int) -> list[str]:
    """Cells of a line of headings without comment marks, no wider than the rows if it can be."""
    cells = [clean(c) for c in line.cells]
    if cells:
        cells[0] = _COMMENT.sub("", cells[0])
    while len(cells) > width and not cells[-1]:
        cells.pop()
    if len(cells) > width > 1 and not cells[width] and sum(map(bool, cells[:width])) > 1:
        cells = cells[:width]  # notes beside the table
    if len(cells) > width > 1 and not line.raw:
        cells = cells[:width]  # of a sheet: columns without values
    if len(cells) > width and not cells[0]:
        cells.pop(0)
    return cells if len(cells) <= width else _spaced(line, width, cells)


def _spaced(line: Line, width: int, cells: list[str]) -> list[str]:
    """Cells of headings parted by blanks, whose units stand apart from them."""
    raw = _COMMENT.sub("", line.raw.strip())
    for pattern in (r"\s{2,}|\t", r"\s+(?![\[({<])", r"\s+(?![\[({<]|in\b|no\b|\d)"):
        found = [clean(c) for c in re.split(pattern, raw) if c.strip()]
        if len(found) == width:
            return found
    return cells


def _figure(cell: str) -> bool:
    """Tell a cell that is a value rather than a heading: a number, a stamp, "5 kN"."""
    if kind(cell) in "nt":
        return True
    pair = split_unit(cell)
    return pair is not None and unit_of(pair[1]) is not None


def _score(cells: Sequence[str]) -> int:
    return sum(bool((h := heading(c)).roles or h.named or h.unit) for c in set(cells) if c)


def is_names(line: Line, width: int = 0) -> bool:
    """Tell a row of headings of which at least two are known.

    Parameters
    ----------
    line : Line
        A line that is no row of numbers.
    width : int, optional
        Cells of a row [-]; 0 where not known yet.

    Returns
    -------
    bool
        Whether a new table may begin here.

    Examples
    --------
    >>> is_names(Line(1, ["Time", "Load"])), is_names(Line(1, ["Load cell", "5", "kN"]))
    (True, False)
    """
    cells = _texts(line, width or max(len(line.cells), 1))
    if any(_figure(c) for c in cells) or len([c for c in cells if c]) < 2:
        return False
    return _score(cells) >= 2 and not _is_units(cells)


def _is_units(cells: Sequence[str]) -> bool:
    filled = [c for c in cells if c and c.strip("[]()- ")]
    return bool(filled) and all(unit_of(c) is not None for c in filled)


def label_of(line: Line) -> str:
    """Give the specimen a line between rows names, such as "Specimen 2"; "" for none.

    Parameters
    ----------
    line : Line
        A line that is no row of numbers.

    Returns
    -------
    str
        The name.

    Examples
    --------
    >>> label_of(Line(9, ["Specimen 2", ""])), label_of(Line(9, ["HX711 not ready"]))
    ('Specimen 2', '')
    """
    text = " ".join(clean(c) for c in line.cells if c != "")
    match = _BARE.fullmatch(text)
    return match[1] if match else ""


def above(lines: list[Line], width: int) -> Above:
    """Read what stands above rows.

    Parameters
    ----------
    lines : list of Line
        From the end of what came before to the first row.
    width : int
        Cells of a row [-].

    Returns
    -------
    Above
        Names and units as long as a row, empty where there are none.

    Examples
    --------
    >>> lines = [Line(1, ["Sample", "A-3"]), Line(2, ["Weg", "Kraft"]), Line(3, ["mm", "kN"])]
    >>> found = above(lines, 2)
    >>> found.names, found.units, found.label, found.line
    (['Weg', 'Kraft'], ['mm', 'kN'], 'A-3', 2)
    """
    out = Above()
    filled = [line for line in lines if any(c != "" for c in line.cells)]
    rows = [(line, _texts(line, width)) for line in filled]
    at = _names_at(rows, width)
    used: set[int] = set()
    if at is not None:
        used.add(at)
        names = rows[at][1]
        if len(names) <= width:
            out.names = names + [""] * (width - len(names))
            out.line = rows[at][0].number
            out.short = len(names) if len(names) < width and rows[at][0].raw else 0
        for near in (at + 1, at - 1, at + 2):  # a heading may go on below itself
            if 0 <= near < len(rows) and _is_units(rows[near][1]) and len(rows[near][1]) <= width:
                out.units = rows[near][1] + [""] * (width - len(rows[near][1]))
                used.add(near)
                break
        if at and at - 1 not in used:
            groups = [clean(c) for c in rows[at - 1][0].cells]
            if sum(bool(_BARE.fullmatch(c)) for c in groups) > 1:
                out.groups = groups
                used.add(at - 1)
    for i, (line, _) in enumerate(rows):
        if i not in used:
            _field(line, out)
    out.names = channels(out.names, out.preamble, width)
    return out


def _names_at(rows: list[tuple[Line, list[str]]], width: int) -> int | None:
    """Index of the row of headings: the one with most known, the lowest of equals."""
    best, where = 0.0, None
    for i in range(len(rows) - 1, max(-1, len(rows) - 9), -1):
        cells = rows[i][1]
        filled = [c for c in cells if c]
        if len(filled) < min(2, width) or any(_figure(c) for c in filled):
            continue
        if len(filled) > 1 and all(_BARE.fullmatch(c) for c in filled):
            continue  # specimens side by side
        units = _is_units(cells)
        score = float(_score(cells)) if not units else 0.5
        if len(filled) > width:
            score = min(score, 0.4)
        if not units and len(filled) >= max(2, width - 1):
            score += 0.6
        if units and len(filled) < min(2, width):
            score = 0.0
        if score > best:
            best, where = score, i
    return where if best >= 0.5 else None


def _field(line: Line, out: Above) -> None:
    """Keep a line above the headings as a name and its value."""
    cells = [clean(c) for c in line.cells if c != ""]
    if not cells:
        return
    cells[0] = _COMMENT.sub("", cells[0])
    if len(cells) == 1:
        pair = _PAIR.fullmatch(cells[0])
        cells = [pair[1], pair[2]] if pair else cells
    key, value = cells[0].rstrip(" :="), " ".join(cells[1:])
    out.preamble.append((key, value))
    if not value:
        bare = _BARE.fullmatch(key)
        out.label = bare[1] if bare else out.label
        return
    match = _LABEL.fullmatch(key)
    if match and not match[1] and value:
        word = re.match(r"\w+", key)
        out.label = out.label or (f"{word[0]} {value}" if word and value.isdigit() else value)


def flat(cells: Sequence[Cell]) -> str:
    """Cells as one line for a message.

    Parameters
    ----------
    cells : sequence of str or float
        Of one line.

    Returns
    -------
    str
        Clipped.

    Examples
    --------
    >>> flat(["a", 1.0])
    'a | 1.0'
    """
    return clean(" | ".join(str(c) for c in cells), 60)
