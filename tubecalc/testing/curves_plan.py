"""How the lines of a text file are split, and which sign its decimals have."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence

from tubecalc.errors import InputError
from tubecalc.testing.curve import Choice, Question
from tubecalc.testing.curves_decimal import decide_decimal, note_point, refuse_double
from tubecalc.testing.curves_line import DELIMITERS, kinds, known_heads, split
from tubecalc.testing.curves_number import Cell
from tubecalc.testing.curves_table import Plan

__all__ = ["blank_of", "plain_pattern", "plan_of", "plan_of_cells", "shape"]

_LONGEST = 20_000  # characters of a line
_COMMENT = re.compile(r"^\s*(#|%|//|!)\s*")


def shape(rows: Iterable[Sequence[Cell]]) -> tuple[int, int, frozenset[int], frozenset[int]]:
    """Give the shape most rows of numbers share.

    Parameters
    ----------
    rows : iterable of sequence of str or float
        Rows of cells.

    Returns
    -------
    tuple of int, int, frozenset and frozenset
        How many rows have it, its width, its columns of words and of time stamps.

    Examples
    --------
    >>> shape([["Load", "Way"], ["CW", "1.0"], ["CW", "2.0"]])[:2]
    (2, 2)
    """
    seen: list[tuple[int, str, Sequence[Cell]]] = []
    for row in rows:
        if len(row) < 2:
            continue
        letters = kinds(row)
        if sum(letters.count(c) for c in "ntuo"):
            seen.append((len(row), letters, row))
    strong = [s for s in seen if sum(s[1].count(c) for c in "ntuom") >= 2] or seen
    if not strong:
        return 0, 0, frozenset(), frozenset()
    best = (0, 0, frozenset[int](), frozenset[int]())
    for width, _ in Counter(s[0] for s in strong).most_common(3):
        rows_of = [s for s in strong if s[0] == width]
        texts, stamps = set(), set()
        for c in range(width):
            column = Counter(s[1][c] for s in rows_of)
            words = sum(_word(s[2][c]) for s in rows_of if s[1][c] == "x")
            if words > 0.5 * len(rows_of):
                texts.add(c)
            elif column["t"] > 0.5 * len(rows_of):
                stamps.add(c)
            elif 0 < column["x"] <= column["e"] == len(rows_of) - column["x"]:
                texts.add(c)  # remarks
        clean = sum(
            all(k in "ntmoeu" or c in texts for c, k in enumerate(s[1]))
            and any(k in "nu" and c not in texts for c, k in enumerate(s[1]))
            for s in rows_of
        )
        if clean > best[0]:
            best = clean, width, frozenset(texts), frozenset(stamps)
    return best


def _word(cell: Cell) -> bool:
    """Tell a word, such as a direction or the name of a specimen."""
    return isinstance(cell, str) and bool(re.fullmatch(r"[^\W\d_][^;\t|,=]{0,30}", cell))


def plan_of(
    sample: list[str], whole: Iterable[str], delimiter: str | None, decimal: str | None, label: str
) -> Plan:
    """Find how a text file is split and how its numbers are written.

    Parameters
    ----------
    sample : list of str
        Lines of its beginning, middle and end.
    whole : iterable of str
        All its lines, asked only where the sample leaves the decimal sign open.
    delimiter, decimal : str, optional
        Where the user has said.
    label : str
        Name of the file, for the refusals.

    Returns
    -------
    Plan
        With the questions that are open.

    Raises
    ------
    InputError
        If no row of numbers is found.

    Examples
    --------
    >>> found = plan_of(["Weg;Kraft", "0,1;2,5", "0,2;5,0"], [], None, None, "a.csv")
    >>> found.delimiter, found.decimal, found.width
    (';', ',', 2)
    """
    scores = []
    longest = max(map(len, sample), default=0)
    if longest > _LONGEST:
        raise InputError(
            "has a line too long to be a row", where=label, got=f"{longest} characters",
            expected=f"at most {_LONGEST}",
        )  # fmt: skip
    for mark in [delimiter] if delimiter else DELIMITERS:
        if mark != " " and not any(mark in line for line in sample):
            continue
        rows = [split(_COMMENT.sub("", line), mark) for line in sample]
        clean, width, texts, stamps = shape(rows)
        if clean:
            score = clean * (1 + known_heads(rows, width))
            scores.append((score, mark, Plan(mark, ".", width, texts, stamps), rows, clean))
    if not scores:
        raise InputError(
            "holds no rows of numbers", where=label, expected="rows of load and travel in columns"
        )
    by_blanks = max((s[4] for s in scores if s[1] == " "), default=0)
    if any(s[1] in "\t;|" and s[4] >= by_blanks for s in scores):
        scores = [s for s in scores if s[1] != " "]  # blanks stand within the cells
    best = max(s[0] for s in scores)
    close = [s for s in scores if s[0] >= 0.9 * best]
    close = [s for s in close if s[1] != " "] or close
    _, mark, plan, rows, _ = close[0]
    if len(close) > 1:
        choices = tuple(Choice(s[1], f"{DELIMITERS[s[1]]}: {s[2].width} columns") for s in close)
        plan.questions.append(Question("delimiter", "What parts the columns?", choices))
    if plan.delimiter == "," and not decimal and not any('"' in line for line in sample):
        note_point(plan, rows)
        decimal = "."
    plan.blank = blank_of(rows, plan)
    decide_decimal(plan, rows, whole, decimal)
    refuse_double(plan, rows, label)
    return plan


def plan_of_cells(rows: list[list[Cell]], decimal: str | None, label: str) -> Plan:
    """Find the shape of rows that are split already.

    Parameters
    ----------
    rows : list of list of str or float
        Of a sheet or a log.
    decimal : str, optional
        Where the user has said.
    label : str
        Name of the file, for the refusal.

    Returns
    -------
    Plan
        With the questions that are open.

    Raises
    ------
    InputError
        If no row of numbers is found.

    Examples
    --------
    >>> plan_of_cells([["mm", "N"], [1.0, 2.0], [2.0, 4.0]], None, "a.xlsx").width
    2
    """
    few = rows if len(rows) < 1200 else [*rows[:800], *rows[-300:]]
    clean, width, texts, stamps = shape(few)
    if not clean:
        raise InputError(
            "holds no rows of numbers", where=label, expected="rows of load and travel in columns"
        )
    plan = Plan("", ".", width, texts, stamps)
    plan.blank = blank_of(few, plan)
    decide_decimal(plan, few, rows, decimal)
    return plan


def blank_of(rows: Iterable[Sequence[Cell]], plan: Plan) -> frozenset[int]:
    """Columns in which nothing stands beside numbers.

    Parameters
    ----------
    rows : iterable of sequence of str or float
        Rows of cells.
    plan : Plan
        How many cells they have, and which are words.

    Returns
    -------
    frozenset of int

    Examples
    --------
    >>> blank_of([["1", "", "2"], ["2", "", "4"]], Plan(";", ".", 3))
    frozenset({1})
    """
    seen = [row for row in rows if len(row) == plan.width and set("nu") & set(kinds(row))]
    return (
        frozenset(c for c in range(plan.width) if seen and all(row[c] == "" for row in seen))
        - plan.texts
    )


def plain_pattern(plan: Plan) -> re.Pattern[str] | None:
    """Give the pattern of a line that holds nothing but numbers.

    Parameters
    ----------
    plan : Plan
        How lines are split.

    Returns
    -------
    re.Pattern or None
        None where rows have columns of words or stamps.

    Examples
    --------
    >>> pattern = plain_pattern(Plan(";", ",", 2))
    >>> bool(pattern.fullmatch("0,5;-1,25")), bool(pattern.fullmatch("0,5;OVER"))
    (True, False)
    """
    if plan.texts or plan.stamps or plan.questions or not plan.width:
        return None
    sign = re.escape(plan.decimal)
    number = rf"[+-]?(?:\d+(?:{sign}\d*)?|{sign}\d+)(?:[eE][+-]?\d{{1,3}})?"
    if plan.delimiter == " ":
        return re.compile(rf"\s*{number}(?:\s+{number}){{{plan.width - 1}}}\s*", re.ASCII)
    number = rf' *(?:{number}|"{number}") *'
    mark = re.escape(plan.delimiter)
    return re.compile(rf"{number}(?:{mark}{number}){{{plan.width - 1}}}\r?", re.ASCII)
