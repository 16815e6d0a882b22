"""One line of a test file: its cells, and what each of them may be."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from functools import lru_cache

from tubecalc.testing.curves_heads import heading, unit_of
from tubecalc.testing.curves_number import Cell, kind, remarked, split_unit

__all__ = ["DELIMITERS", "kinds", "known_heads", "split"]

DELIMITERS = {"\t": "tab", ";": "semicolon", ",": "comma", "|": "bar", " ": "spaces"}


def split(line: str, delimiter: str) -> list[Cell]:
    """Split one line; quotes are honoured where they close on it.

    Parameters
    ----------
    line : str
        One line without its end.
    delimiter : str
        One of `DELIMITERS`.

    Returns
    -------
    list of str
        Cells without blanks around them.

    Examples
    --------
    >>> split('"1,5" , 2', ","), split(" 1   2.5", " ")
    (['1,5', '2'], ['1', '2.5'])
    """
    if delimiter == " ":
        if '"' in line and line.count('"') % 2 == 0:
            return [(a or b).strip() for a, b in re.findall(r'"([^"]*)"|(\S+)', line)]
        return list(line.split())
    if '"' in line and line.count('"') % 2 == 0:
        try:
            return [c.strip() for c in next(csv.reader([line.strip(" ")], delimiter=delimiter))]
        except (csv.Error, StopIteration):
            pass
    return [c.strip().strip('"').strip() for c in line.split(delimiter)]


def kinds(cells: Sequence[Cell]) -> str:
    """Kinds of the cells of a row, one letter each.

    Parameters
    ----------
    cells : sequence of str or float
        Of one line.

    Returns
    -------
    str
        Those of `kind`; and "u" a number with its unit, "r" a number with a remark behind it.

    Examples
    --------
    >>> kinds(["1.5 kN", "920.3 <-- peak", "Load"])
    'urx'
    """
    return "".join(letter if (letter := kind(c)) != "x" else _text_kind(str(c)) for c in cells)


@lru_cache(maxsize=4096)
def _text_kind(cell: str) -> str:
    if not any(c.isdigit() for c in cell[:8]):
        return "x"
    pair = split_unit(cell) if len(cell) < 30 else None
    if pair and unit_of(pair[1]):
        return "u"
    found = remarked(cell)
    if found is None or unit_of(found[1].split()[0].strip("()[]{}<>")):
        return "x"
    return "r"


def known_heads(rows: list[list[Cell]], width: int) -> int:
    """Count the known headings in the row of as many cells that has the most.

    Parameters
    ----------
    rows : list of list of str or float
        Of the beginning of a file.
    width : int
        Cells of a row [-].

    Returns
    -------
    int

    Examples
    --------
    >>> known_heads([["Operator", "me"], ["Load", "mm"], ["1", "2"]], 2)
    2
    """
    heads = [row for row in rows if len(row) == width and not set("nu") & set(kinds(row))]
    counts = [
        sum(bool((h := heading(str(c))).roles or h.unit or unit_of(str(c))) for c in row)
        for row in heads[:40]
    ]
    return max(counts, default=0)
