"""Lines of a test file into tables, one per specimen; lines that are no rows are said."""

from __future__ import annotations

import bisect
import io
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tubecalc.errors import InputError
from tubecalc.testing.curves_above import Above, above, flat, is_names, label_of
from tubecalc.testing.curves_body import measured
from tubecalc.testing.curves_heads import unit_of
from tubecalc.testing.curves_line import kinds, split
from tubecalc.testing.curves_number import Cell, kind, mark, of_instrument, split_unit, value
from tubecalc.testing.curves_plan import plain_pattern, shape
from tubecalc.testing.curves_runs import Run, Runs, Text
from tubecalc.testing.curves_table import Found, Line, Plan, Table

__all__ = ["Lines", "parse_plain", "tables"]

_MOST_TABLES = 2000  # of one file
_AHEAD = 40  # lines looked at below headings


class Lines:
    """Lines of a text, split only where they are asked for, or rows of a sheet."""

    def __init__(
        self,
        raw: Sequence[str] | Sequence[Line],
        plan: Plan,
        label: str = "test file",
    ) -> None:
        self.raw, self.plan, self.start, self.label = raw, plan, 1, label
        self.runs = Runs(raw, plan) if isinstance(raw, Text) else None
        self.pattern: re.Pattern[str] | None = None

    def __len__(self) -> int:
        return len(self.raw)

    def plain(self, i: int) -> bool:
        """Whether a line holds nothing but numbers."""
        line = self.raw[i]
        return (
            self.pattern is not None
            and isinstance(line, str)
            and self.pattern.fullmatch(line) is not None
        )

    def line(self, i: int) -> Line:
        """One line with its cells."""
        line = self.raw[i]
        if isinstance(line, Line):
            return line
        return Line(self.start + i, split(line.rstrip("\r"), self.plan.delimiter), line)


def parse_plain(lines: Sequence[str], plan: Plan) -> NDArray[np.float64]:
    """Read lines that hold nothing but numbers.

    Parameters
    ----------
    lines : sequence of str
        Each matched by `plain_pattern`.
    plan : Plan
        How they are split.

    Returns
    -------
    numpy.ndarray
        One row a line.

    Examples
    --------
    >>> parse_plain(["0,5;1", "1,0;2"], Plan(";", ",", 2)).tolist()
    [[0.5, 1.0], [1.0, 2.0]]
    """
    import pandas as pd

    try:
        frame = pd.read_csv(
            io.StringIO("\n".join(lines) + "\n"),
            header=None, names=range(plan.width), dtype=np.float64, na_filter=False,
            sep=r"\s+" if plan.delimiter == " " else plan.delimiter, decimal=plan.decimal,
            skipinitialspace=True,
        )  # fmt: skip
    except (ValueError, pd.errors.ParserError):
        frame = None
    if frame is not None and frame.shape == (len(lines), plan.width):
        return frame.to_numpy()
    return np.array([_one_by_one(line, plan) for line in lines], dtype=float)


def _one_by_one(line: str, plan: Plan) -> list[float]:
    """Numbers of a line that the quick reader splits in another way."""
    cells = [value(str(c), plan.decimal) for c in split(line.rstrip("\r"), plan.delimiter)]
    cells += [None] * (plan.width - len(cells))
    return [math.nan if c is None else c for c in cells[: plan.width]]


@dataclass
class _Block:
    """Rows of one table while they are collected."""

    head: Above
    plan: Plan
    plain: list[int] = field(default_factory=list)  # index of the row for each plain line
    lines: list[str] = field(default_factory=list)
    runs: list[tuple[int, Run]] = field(default_factory=list)
    odd: dict[int, list[Cell | None]] = field(default_factory=dict)  # row -> cells
    places: list[tuple[int, int]] = field(default_factory=list)  # row and line of each stretch
    rows: int = 0
    short: dict[int, int] = field(default_factory=dict)  # row -> cells it had
    gaps: list[int] = field(default_factory=list)
    table: Table = field(default_factory=lambda: Table([], [], [], []))

    def add(self, line: int, rows: int) -> int:
        """Add rows from a line on; gives how many."""
        if not self.places or line - self.rows != self.places[-1][1] - self.places[-1][0]:
            self.places.append((self.rows, line))
        self.rows += rows
        return rows

    def line_of(self, row: int) -> int:
        """Line of a row."""
        first, line = self.places[bisect.bisect_right(self.places, (row, math.inf)) - 1]
        return line + row - first


def tables(lines: Lines, plan: Plan) -> list[Table]:
    """Cut lines into tables.

    Parameters
    ----------
    lines : Lines
        All lines.
    plan : Plan
        How they are split and how numbers are written.

    Returns
    -------
    list of Table
        One per specimen, in the order of the file.

    Examples
    --------
    >>> raw = ["mm,N", "0,1", "1,9", "OVER?", "2,18", "3,27"]
    >>> found = tables(Lines(raw, Plan(",", ".", 2)), Plan(",", ".", 2))
    >>> found[0].names, found[0].rows, found[0].skipped[0].line
    (['mm', 'N'], 4, 4)
    """
    out: list[_Block] = []
    between: list[Line] = []
    block: _Block | None = None
    lines.pattern = plain_pattern(plan)
    i, fresh = 0, True  # fresh: the next row begins a table
    while i < len(lines):
        run = lines.runs.at(i) if lines.runs is not None else None
        cells: list[Cell | None] | None = None
        good, short = True, 0
        if run is None and not lines.plain(i):
            line = lines.line(i)
            if not any(c != "" for c in line.cells):
                between.append(line)
                i += 1
                continue
            cells, short = _row(line, plan)
            good = cells is not None
        if not good:
            if is_names(line):
                ahead = _look_ahead(lines, i + 1, plan)
                if ahead is not plan:
                    plan = ahead
                    if lines.runs is not None:
                        lines.runs.replan(plan, i + _AHEAD)
                lines.pattern = plain_pattern(plan)
                fresh = True
            elif block is not None and label_of(line):
                fresh = True
            between.append(line)
            i += 1
            continue
        if fresh or block is None:
            if len(out) >= _MOST_TABLES:
                raise InputError(
                    f"begins anew more than {_MOST_TABLES} times", where=lines.label,
                    expected="the tests of one series in a file",
                )  # fmt: skip
            block = _begin(out, between, plan, block)
        else:
            _interrupted(block, between, plan)
        between, fresh = [], False
        if run is not None:
            block.runs.append((block.rows, run))
        elif cells is None:
            block.plain.append(block.rows)
            block.lines.append(str(lines.raw[i]))
        else:
            block.odd[block.rows] = cells
            if short:
                block.short[block.rows] = short
        i += block.add(lines.start + i, run.rows if run is not None else 1)
    if block is not None:
        _interrupted(block, between, plan, after=True)
    return [_finish(b) for b in out]


def _begin(out: list[_Block], between: list[Line], plan: Plan, last: _Block | None) -> _Block:
    """Start a table below its headings; rows that stood above the first headings are none."""
    head = above(between, plan.width)
    if last is not None and not head.names and last.plan.width == plan.width:
        head.names, head.units, head.line = last.head.names, last.head.units, last.head.line
    block = _Block(head, plan)
    if last is not None and not last.head.names and last.rows < 3 and out:
        for row in range(last.rows):
            block.table.skip(last.line_of(row), "stands above the headings")
        out.pop()
    out.append(block)
    return block


def _interrupted(block: _Block, between: list[Line], plan: Plan, after: bool = False) -> None:
    """Keep lines between rows as left out, with the reason."""
    for line in between:
        if not any(c != "" for c in line.cells):
            if not after and (not block.gaps or block.gaps[-1] != block.rows):
                block.gaps.append(block.rows)
            continue
        letters = kinds(line.cells)
        filled = sum(letters.count(c) for c in "ntuo")
        text = flat(line.cells)
        if any("\ufffd" in str(c) or "\x80" <= str(c)[-1:] <= "\x9f" for c in line.cells):
            why = "torn: holds bytes that are no text"
        elif re.match(r"[A-Za-z_]\w*\s*=", str(line.cells[0])) and not plan.delimiter:
            why = "torn: not all values of a row are there"
        elif len(line.cells) != plan.width and filled:
            why = f"torn: {len(line.cells)} cells in place of {plan.width}"
        elif set(letters) & set("ntuo"):
            why = "holds a cell that is no number in a column of numbers"
        else:
            why = "text " + ("below" if after else "between") + " the rows"
        block.table.skip(line.number, why, text)


def _look_ahead(lines: Lines, start: int, plan: Plan) -> Plan:
    """Give the plan of the rows below headings."""
    rows: list[list[Cell]] = []
    for i in range(start, min(start + _AHEAD, len(lines))):
        line = lines.line(i)
        if is_names(line):
            break
        rows.append(line.cells)
    count, width, texts, stamps = shape(rows)
    if count < 1 + bool(texts) or (width, texts, stamps) == (plan.width, plan.texts, plan.stamps):
        return plan
    return Plan(plan.delimiter, plan.decimal, width, texts, stamps, plan.questions, plan.notes)


def _row(line: Line, plan: Plan) -> tuple[list[Cell | None] | None, int]:
    """Cells of a row as numbers, None for an empty one; None where the line is no row."""
    cells = list(line.cells)
    while len(cells) > plan.width and cells[-1] == "":
        cells.pop()
    short = len(cells) if len(cells) < plan.width else 0
    if len(cells) > plan.width or (short and (plan.delimiter == " " or short < 2)):
        return None, 0
    letters = kinds(cells)
    out: list[Cell | None] = []
    real = 0
    for c, (cell, letter) in enumerate(zip(cells, letters, strict=True)):
        if c in plan.texts or isinstance(cell, float):
            real += int(isinstance(cell, float))
            out.append(cell)
        elif letter in "xt" and (letter != "t" or c not in plan.stamps):
            return None, 0
        elif letter in "nu" and not plan.questions:
            pair = split_unit(cell) if letter == "u" else None
            if value(pair[0] if pair else cell, plan.decimal) is None:
                return None, 0
            real += 1
            out.append(cell)
        else:
            real += int(letter in "nuo" or (letter == "m" and len(cells) > 2))
            out.append(cell or None)
    if not real or (short and set(letters) - set("nu")):
        return None, 0
    return out + [None] * (plan.width - len(cells)), short


def _drop_short(block: _Block) -> set[int]:
    """Rows that are shorter than the others: torn, unless many follow each other."""
    rows = sorted(block.short)
    torn: set[int] = set()
    at = 0
    while at < len(rows):
        stop = at
        while stop + 1 < len(rows) and rows[stop + 1] == rows[stop] + 1:
            stop += 1
        if stop - at < 2:
            torn |= set(rows[at : stop + 1])
        else:
            block.table.notes.append(
                f"From line {block.line_of(rows[at])} on {stop - at + 1} rows have "
                f"{block.short[rows[at]]} cells of {block.plan.width}; the last cells are empty."
            )
        at = stop + 1
    return torn


def _finish(block: _Block) -> Table:
    """Make the table of the rows collected."""
    plan, table = block.plan, block.table
    for row in sorted(torn := _drop_short(block)):
        why = f"torn: {block.short[row]} cells in place of {plan.width}"
        table.skip(block.line_of(row), why, flat([c for c in block.odd[row] if c is not None]))
    keep = np.ones(block.rows, dtype=bool)
    keep[list(torn)] = False
    numbers = np.full((plan.width, block.rows), np.nan).T  # each column in one piece
    if block.lines:
        numbers[block.plain] = parse_plain(block.lines, plan)
    for start, run in block.runs:
        numbers[start : start + run.rows] = run.numbers
    table.marks = [Found() for _ in range(plan.width)]
    words: dict[int, list[str]] = {c: [""] * block.rows for c in plan.texts | plan.stamps}
    if plan.questions:
        words = {c: [""] * block.rows for c in range(plan.width)}
    for start, run in block.runs:
        for c, column in run.words.items():
            words[c][start : start + run.rows] = column
        for row, c, token in run.marks:
            table.marks[c].marks[start + row] = token, kind(token) == "o"
    signs = [(start + r.thousands_row, r.thousands) for start, r in block.runs if r.thousands]
    units = [""] * plan.width
    for row, cells in block.odd.items():
        if signs and row > signs[0][0]:
            table.thousands = table.thousands or signs[0][1]
        for c, cell in enumerate(cells):
            if c in words:
                words[c][row] = "" if cell is None else str(cell)
            elif cell is not None:
                numbers[row, c] = _number(cell, plan, units, c, row, table)
    if signs:
        table.thousands = table.thousands or signs[0][1]
    _instrument_marks(numbers, words, table)
    new = np.cumsum(keep) - 1 if torn else np.arange(block.rows)
    for found in table.marks:
        found.marks = {int(new[r]): m for r, m in found.marks.items() if keep[r]}
    if torn:
        words = {c: [w for w, k in zip(ws, keep, strict=True) if k] for c, ws in words.items()}
        numbers = numbers[keep]
    table.values = [words[c] if c in words else numbers[:, c] for c in range(plan.width)]
    head = block.head
    table.names = head.names or [""] * plan.width
    table.groups = head.groups
    table.units = [a or b for a, b in zip(head.units or [""] * plan.width, units, strict=True)]
    table.heading_line, table.label, table.preamble = head.line, head.label, head.preamble
    table.first_line, table.last_line = block.line_of(0), block.line_of(block.rows - 1)
    table.gaps = [int(new[g]) for g in block.gaps if g < block.rows and keep[g]]
    table.skipped.sort(key=lambda s: s.line)
    return table


def _number(cell: Cell, plan: Plan, units: list[str], c: int, row: int, table: Table) -> float:
    """One number; marks are kept; a unit beside it is brought to the first of the column."""
    if isinstance(cell, float):
        return cell
    pair = split_unit(cell) if kind(cell) == "x" else None  # "1.5e+02" has no unit, nor has "0L"
    read = value(pair[0] if pair else cell, plan.decimal)
    if read is None:
        table.marks[c].marks[row] = cell, mark(cell) == "beyond"
        return float("nan")
    if pair and (unit := unit_of(pair[1])):
        units[c] = units[c] or pair[1]
        first = unit_of(units[c])
        if first and first.dimension == unit.dimension and first.factor != unit.factor:
            return read * unit.factor / first.factor
    elif not cell.isdigit() and plan.thousands_of(cell):
        table.thousands = table.thousands or plan.thousands_of(cell)
    return read


def _instrument_marks(
    numbers: NDArray[np.float64], words: dict[int, list[str]], table: Table
) -> None:
    """Numbers that stand for marks, as instruments send them."""
    for c in range(numbers.shape[1]):
        if c in words or measured(numbers[:, c]):
            continue
        for row in np.flatnonzero(np.abs(numbers[:, c]) > 9.8e37).tolist():
            text = of_instrument(float(numbers[row, c]))
            table.marks[c].marks[row] = f"{numbers[row, c]:g}", text == "beyond"
            numbers[row, c] = np.nan
