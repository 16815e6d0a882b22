"""One line of a test file: a row of numbers, or the reason why it is none."""

from __future__ import annotations

import re

from tubecalc.testing.curves_line import kinds
from tubecalc.testing.curves_number import Cell, remarked, split_unit, value
from tubecalc.testing.curves_table import Line, Plan

__all__ = ["holds_date", "row_of", "why_none"]

_MONTHS = "jan|feb|mar|apr|may|mai|jun|jul|aug|sep|oct|okt|nov|dec|dez"
_DATE = re.compile(rf"\d{{1,2}}[-. ](?:{_MONTHS})[a-z]*|(?:{_MONTHS})[a-z]*[-. ]\d{{1,2}}", re.I)


def row_of(
    line: Line, plan: Plan, *, within: bool = True
) -> tuple[list[Cell | None] | None, int, str]:
    """Cells of a row as numbers.

    Parameters
    ----------
    line : Line
        Any line.
    plan : Plan
        How rows are split and how numbers are written.
    within : bool, optional
        Whether rows stand above it: then a remark behind the numbers is no heading.

    Returns
    -------
    list of str or float or None
        None in it for an empty cell; None where the line is no row.
    int
        How many cells it has where it is shorter than the others, else 0.
    str
        A remark beside the numbers, "" for none.

    Examples
    --------
    >>> row_of(Line(9, ["4.7", "920.3 <-- peak"]), Plan(",", ".", 2))
    (['4.7', '920.3'], 0, '<-- peak')
    >>> row_of(Line(9, ["4.7", "9b2"]), Plan(",", ".", 2))
    (None, 0, '')
    """
    none: tuple[None, int, str] = None, 0, ""
    cells, remark = _within(line, plan, within)
    short = len(cells) if len(cells) < plan.width else 0
    if len(cells) > plan.width or (short and (plan.delimiter == " " or short < 2)):
        return none
    letters = kinds(cells)
    out: list[Cell | None] = []
    real = 0
    for c, (cell, letter) in enumerate(zip(cells, letters, strict=True)):
        if c in plan.texts or isinstance(cell, float):
            real += int(isinstance(cell, float))
            out.append(cell)
        elif letter == "x" and c in plan.blank and within:
            remark = " ".join(filter(None, (remark, cell)))
            out.append(None)
        elif letter == "r" and within and not plan.questions:
            number, rest = remarked(cell) or (cell, "")
            if letters.count("r") > 1 or value(number, plan.decimal) is None:
                return none
            remark = " ".join(filter(None, (remark, rest)))
            real += 1
            out.append(number)
        elif letter in "xtr" and (letter != "t" or c not in plan.stamps):
            return none
        elif letter in "nu" and not plan.questions:
            pair = split_unit(cell) if letter == "u" else None
            if value(pair[0] if pair else cell, plan.decimal) is None:
                return none
            real += 1
            out.append(cell)
        else:
            real += int(letter in "nuo" or (letter == "m" and len(cells) > 2))
            out.append(cell or None)
    if not real or (short and set(letters) - set("nu")):
        return none
    return out + [None] * (plan.width - len(cells)), short, remark


def _within(line: Line, plan: Plan, within: bool) -> tuple[list[Cell], str]:
    """Cells without notes that stand beside the table, and a remark behind the last one."""
    cells = list(line.cells)
    while len(cells) > plan.width and cells[-1] == "":
        cells.pop()
    rest = cells[plan.width :]
    if not rest or plan.width < 2:
        return cells, ""
    if rest[0] == "" and plan.delimiter != " ":
        return cells[: plan.width], ""
    if (
        within
        and not set(kinds(rest)) - set("xe")
        and not set(kinds(cells[: plan.width])) - set("nu")
    ):
        return cells[: plan.width], " ".join(str(c) for c in rest)
    return cells, ""


def holds_date(line: Line) -> bool:
    """Tell a line with a date such as "2-Jan" in a cell.

    Parameters
    ----------
    line : Line
        Any line.

    Returns
    -------
    bool

    Examples
    --------
    >>> holds_date(Line(1, ["2-Jan", "5"])), holds_date(Line(1, ["2", "5"]))
    (True, False)
    """
    return any(_DATE.fullmatch(str(c)) for c in line.cells)


def why_none(line: Line, plan: Plan, *, after: bool = False) -> tuple[str, bool]:
    """Say why a line is no row.

    Parameters
    ----------
    line : Line
        A line between rows or below them.
    plan : Plan
        How rows are split.
    after : bool, optional
        Whether no row follows.

    Returns
    -------
    str
        The reason.
    bool
        Whether numbers of a row may be lost with it.

    Examples
    --------
    >>> why_none(Line(9, ["Max", "4.95", "920.3"]), Plan(",", ".", 2), after=True)
    ('values with a name, no row', False)
    >>> why_none(Line(9, ["4.95", "9b2"]), Plan(",", ".", 2))
    ('holds a cell that is no number in a column of numbers', True)
    """
    letters = kinds(line.cells)
    filled = sum(letters.count(c) for c in "ntuo")
    first = str(line.cells[0])
    if any("\ufffd" in str(c) or "\x80" <= str(c)[-1:] <= "\x9f" for c in line.cells):
        return "torn: holds bytes that are no text", True
    if re.match(r"[A-Za-z_]\w*\s*=", first) and not plan.delimiter:
        return "torn: not all values of a row are there", True
    if holds_date(line):
        return "holds a date, which a spreadsheet program may have made of a fraction", True
    if filled and re.match(r"[^\W\d_]{3}", first) and not set(letters[1:]) - set("nue"):
        return "values with a name, no row", False
    if len(line.cells) != plan.width and filled:
        return f"torn: {len(line.cells)} cells in place of {plan.width}", True
    figures = re.fullmatch(r"[\d.,+eE−-]*\d[\d.,+eE−-]*", "".join(str(c) for c in line.cells))
    if figures and len(line.cells) < plan.width:
        return "torn: figures without a gap between the columns", True
    if set(letters) & set("ntuor"):
        return "holds a cell that is no number in a column of numbers", True
    return "text " + ("below" if after else "between") + " the rows", False
