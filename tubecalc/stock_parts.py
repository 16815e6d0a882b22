"""The tables of one sheet: below each other, beside each other, and what stands above them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from tubecalc.stock_header import SIZES, Header, header_at
from tubecalc.stock_read import Row, Sheet

__all__ = ["Part", "parts", "unit_above"]

_ALL_IN = re.compile(
    r"\b(?:dimensions?|dims?|sizes?|measurements?|diameters?|ma(?:ß|ss)e|abmessungen|angaben|"
    r"cotes|medidas|misure|maten)\b[^.;,]*?\b(mm|cm|inch(?:es)?|millimet(?:er|re)s?)\b",
    re.IGNORECASE,
)
_WORDS = {"inch": "in", "inches": "in", "mm": "mm", "cm": "cm"}


@dataclass(frozen=True)
class Part:
    """One table: its headings and the rows below them."""

    header: Header
    rows: tuple[Row, ...]
    shared: bool = False  # whether tables beside it share the rows
    first: bool = True


def parts(sheet: Sheet, header: Header) -> Iterator[Part]:
    """Part a sheet into its tables.

    Parameters
    ----------
    sheet : Sheet
        The cells.
    header : Header
        The headings found first.

    Yields
    ------
    Part
        Tables beside each other, then those with headings of their own further down.
    """
    start, current = header.first, header
    for at in range(header.first, len(sheet.rows)):
        again = _new_headings(sheet, at, current)
        if again is None:
            continue
        yield from _beside(current, sheet.rows[start:at], current is header)
        start, current = again.first, again
    yield from _beside(current, sheet.rows[start:], current is header)


def _beside(header: Header, rows: tuple[Row, ...], first: bool) -> Iterator[Part]:
    for one in (header, *header.beside):
        yield Part(replace(one, beside=()), rows, bool(header.beside), first)


def _new_headings(sheet: Sheet, at: int, current: Header) -> Header | None:
    """Headings of a further table, None for a row of data or the same headings again."""
    texts = [cell.text for cell in sheet.rows[at].cells if cell.text]
    if any(text[0].isdigit() for text in texts):
        return None
    found = header_at(sheet, at)
    if found is None or len(found.columns) < 3 or not set(found.columns) & set(SIZES):
        return None
    return None if _places(found) == _places(current) else found


def _places(header: Header) -> set[tuple[str, int, str]]:
    return {(c.role, c.index, c.unit) for c in header.columns.values()}


def unit_above(sheet: Sheet, header: Header) -> tuple[str, str]:
    """Unit that a line above the headings gives for all sizes.

    Parameters
    ----------
    sheet : Sheet
        The cells.
    header : Header
        The headings.

    Returns
    -------
    tuple of str and str
        The unit and the line; "" and "" where no line says it, or two lines differ.
    """
    found = {}
    for row in sheet.rows:
        if row.number >= header.row:
            break
        for cell in row.cells:
            match = _ALL_IN.search(cell.text)
            if match:
                found[_WORDS.get(match[1].lower(), "mm")] = cell.text
    return next(iter(found.items())) if len(found) == 1 else ("", "")
