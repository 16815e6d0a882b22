"""Cells of a sheet: numbers that count, and texts that no spreadsheet takes for a formula."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from tubecalc.share.page_text import clean

Value = str | float | int | None
LONGEST = 2000  # letters of one cell; the format itself ends at 32 767
_STARTS = tuple("=+-@\uff1d\uff0b\uff0d\uff20")  # with their wide forms, which some programs fold
_ESCAPE = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_CELL_START = re.compile(r"(^|[;,|])([\s\"']*)(?=[=+\-@\uff1d\uff0b\uff0d\uff20])")


@dataclass(frozen=True)
class Column:
    """One column of a table.

    Parameters
    ----------
    head : str
        Heading, with its unit in brackets where it holds numbers.
    width : float
        In letters.
    decimals : int or None
        Least decimals of a column of numbers; -1 where each has its own, None for text.
    """

    head: str
    width: float
    decimals: int | None = None


@dataclass(frozen=True)
class Table:
    """One sheet: columns and rows, nothing laid out yet."""

    name: str
    columns: tuple[Column, ...]
    rows: list[tuple[Value, ...]]
    frozen: int = 0  # columns that stay in view
    filtered: bool = True
    bold: frozenset[int] = field(default_factory=frozenset)  # rows that stand out


def held(text: str, most: int = LONGEST) -> str:
    r"""Text as a cell may hold it: one line, no control characters, not too long.

    Parameters
    ----------
    text : str
        Anything.
    most : int
        Letters to keep [-].

    Returns
    -------
    str

    Examples
    --------
    >>> held(" two\r\nlines\x00 ")
    'two lines�'
    >>> held("abcdef", 4)
    'abc…'
    """
    line = " ".join(clean(text[: 4 * most]).split())
    return line if len(line) <= most else f"{line[: most - 1].rstrip()}…"


def number(value: float) -> float | None:
    """Number for a cell: nine digits that count, nothing where there is none.

    Parameters
    ----------
    value : float
        Any number.

    Returns
    -------
    float or None
        None for infinity and for what is not known; a word beside it says which.

    Examples
    --------
    >>> number(8.000000000000002), number(float("inf")), number(float("nan"))
    (8.0, None, None)
    """
    return float(f"{value:.9g}") if math.isfinite(value) else None


def is_formula(text: str) -> bool:
    """Whether a spreadsheet might take a text for a formula when it is typed or edited.

    Parameters
    ----------
    text : str
        Text of a cell.

    Returns
    -------
    bool

    Examples
    --------
    >>> is_formula("=1+1"), is_formula(" -2"), is_formula("1-2")
    (True, True, False)
    """
    return text.lstrip()[:1] in _STARTS


def escaped(text: str) -> str:
    """Text for a workbook, where _x0041_ would stand for a letter.

    Parameters
    ----------
    text : str
        Text of a cell.

    Returns
    -------
    str
        Escaped as ECMA-376 part 1, 22.9.2.19 says.

    Examples
    --------
    >>> escaped("_x003D_1"), escaped("a_xyz")
    ('_x005F_x003D_1', 'a_xyz')
    """
    return _ESCAPE.sub("_x005F_", text)


def plain(text: str) -> str:
    """Text for CSV, with ' wherever a spreadsheet might begin a formula.

    Not only at the start: where the separator of a country is a semicolon, a program may part the
    cell there, quotes or not.

    Parameters
    ----------
    text : str
        Text of a cell.

    Returns
    -------
    str

    Examples
    --------
    >>> plain("=1+1"), plain("a; =1"), plain("-20 to 5"), plain("10-12")
    ("'=1+1", "a; '=1", "'-20 to 5", '10-12')
    """
    return _CELL_START.sub(r"\1\2'", text)


def number_format(values: Iterable[Value], decimals: int) -> str:
    """Number format of a column: enough decimals for two digits of its least value.

    Parameters
    ----------
    values : iterable
        Its cells.
    decimals : int
        Decimals at least, thousands being set apart; below zero each cell keeps its own.

    Returns
    -------
    str

    Examples
    --------
    >>> number_format([1234.5, 20.0], 1), number_format([0.0123], 1), number_format([], 0)
    ('#,##0.0', '#,##0.000', '#,##0')
    """
    if decimals < 0:
        return "General"
    sizes = [abs(v) for v in values if isinstance(v, float | int) and v]
    least = min(sizes, default=1.0)
    wanted = 1 - math.floor(math.log10(least)) if least < 1 else 0
    places = max(decimals, min(wanted, 8))
    return "#,##0" + (f".{'0' * places}" if places else "")


__all__ = [
    "LONGEST", "Column", "Table", "Value", "escaped", "held", "is_formula", "number",
    "number_format", "plain",
]  # fmt: skip
