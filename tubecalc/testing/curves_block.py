"""Rows of one table while they are collected, and the table they become."""

from __future__ import annotations

import bisect
import io
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curves_above import Above, flat
from tubecalc.testing.curves_body import measured
from tubecalc.testing.curves_heads import Unit, clean, heading, unit_of
from tubecalc.testing.curves_line import split
from tubecalc.testing.curves_number import Cell, kind, mark, of_instrument, split_unit, value
from tubecalc.testing.curves_runs import Run
from tubecalc.testing.curves_table import Found, Plan, Table

__all__ = ["Block", "finish", "parse_plain"]

_MOST_REMARKS = 6  # that are told one by one


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
class Block:
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
    remarks: list[tuple[int, str]] = field(default_factory=list)  # line and remark
    dates: list[int] = field(default_factory=list)  # lines with a date in place of a number
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


def _drop_short(block: Block) -> set[int]:
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


def finish(block: Block) -> Table:
    """Make the table of the rows collected.

    Parameters
    ----------
    block : Block
        Rows that belong together.

    Returns
    -------
    Table
        Its columns, marks and notes.
    """
    plan, table = block.plan, block.table
    for row in sorted(torn := _drop_short(block)):
        why = f"torn: {block.short[row]} cells in place of {plan.width}"
        line = block.line_of(row)
        table.skip(line, why, flat([c for c in block.odd[row] if c is not None]))
        table.holes.append((row, line))
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
    head = block.head
    units = _Units(_heads(head, plan.width), [""] * plan.width)
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
    _mixed_units(units, numbers, block)
    _instrument_marks(numbers, words, table)
    torn |= _dashes(numbers, words, block)
    keep[list(torn)] = False
    new = np.cumsum(keep) - 1 if torn else np.arange(block.rows)
    for found in table.marks:
        found.marks = {int(new[r]): m for r, m in found.marks.items() if keep[r]}
    if torn:
        words = {c: [w for w, k in zip(ws, keep, strict=True) if k] for c, ws in words.items()}
        numbers = numbers[keep]
    table.values = [words[c] if c in words else numbers[:, c] for c in range(plan.width)]
    table.names = head.names or [""] * plan.width
    table.groups = head.groups
    table.units = [
        a or b for a, b in zip(head.units or [""] * plan.width, units.cells, strict=True)
    ]
    table.heading_line, table.label, table.preamble = head.line, head.label, head.preamble
    table.first_line, table.last_line = block.line_of(0), block.line_of(block.rows - 1)
    table.holes = [(int(np.count_nonzero(keep[:r])), line) for r, line in table.holes]
    table.gaps = [int(new[g]) for g in block.gaps if g < block.rows and keep[g]]
    table.skipped.sort(key=lambda s: s.line)
    _short_heads(table, head)
    _say_remarks(block, words)
    return table


def _dashes(numbers: NDArray[np.float64], words: dict[int, list[str]], block: Block) -> set[int]:
    """First rows that hold nothing but dashes, such as a line below the headings."""
    out: set[int] = set()
    table = block.table
    while len(out) < min(block.rows - 1, 3):
        row = len(out)
        marks = [found.marks.get(row) for found in table.marks]
        if np.isfinite(numbers[row]).any() or not any(marks) or any(m and m[1] for m in marks):
            break
        if any(words[c][row] for c in words):
            break
        out.add(row)
        table.skip(block.line_of(row), "dashes in place of numbers")
    return out


def _short_heads(table: Table, head: Above) -> None:
    """Take headings away that are fewer than the columns: which belongs to which is not told."""
    if not head.short:
        return
    for values, found in zip(table.values[head.short :], table.marks[head.short :], strict=True):
        if isinstance(values, list) or (not np.isfinite(values).any() and not found.marks):
            continue
        told = ", ".join(clean(n, 30) for n in table.names[: head.short])
        table.notes.append(
            f"Rows have {len(table.names)} cells under {head.short} headings ({told}): which "
            "belongs to which column is not told, so none is used."
        )
        table.names = [""] * len(table.names)
        table.units = [""] * len(table.names)
        return


def _say_remarks(block: Block, words: dict[int, list[str]]) -> None:
    """Say what stands beside the numbers."""
    said = list(block.remarks)
    for c in block.plan.texts:
        filled = [r for r, w in enumerate(words[c]) if w] if c in words else []
        if 0 < len(filled) <= max(1, 0.1 * block.rows):
            said += [(block.line_of(r), words[c][r]) for r in filled[: _MOST_REMARKS + 1]]
    said.sort()
    if said:
        text = ", ".join(f'line {n} "{clean(t, 40)}"' for n, t in said[:_MOST_REMARKS])
        more = f" and {len(said) - _MOST_REMARKS} more" if len(said) > _MOST_REMARKS else ""
        block.table.notes.append(f"Remarks beside the numbers, which are kept: {text}{more}.")


@dataclass
class _Units:
    """Units of columns: of the headings, and beside numbers."""

    heads: list[Unit | None]
    cells: list[str]  # the first that stood beside a number, where the heading has none
    rows: dict[int, list[int]] = field(default_factory=dict)  # in which one stands


def _heads(head: Above, width: int) -> list[Unit | None]:
    names, below = head.names or [""] * width, head.units or [""] * width
    return [heading(n, u).unit for n, u in zip(names, below, strict=True)]


def _number(cell: Cell, plan: Plan, units: _Units, c: int, row: int, table: Table) -> float:
    """One number; marks are kept; a unit beside it is brought to that of the column."""
    if isinstance(cell, float):
        return cell
    pair = split_unit(cell) if kind(cell) == "x" else None  # "1.5e+02" has no unit, nor has "0L"
    read = value(pair[0] if pair else cell, plan.decimal)
    if read is None:
        table.marks[c].marks[row] = cell, mark(cell) == "beyond"
        return float("nan")
    if pair and (unit := unit_of(pair[1])):
        if units.heads[c] is None:
            units.cells[c] = units.cells[c] or pair[1]
            units.rows.setdefault(c, []).append(row)
        ratio = _ratio(unit, units.heads[c] or unit_of(units.cells[c]))
        if ratio is None:
            table.marks[c].marks[row] = cell, False
            return float("nan")
        return read if ratio == 1.0 else read * ratio
    if not cell.isdigit() and "/" not in cell and plan.thousands_of(cell):
        table.thousands = table.thousands or plan.thousands_of(cell)
    return read


def _ratio(unit: Unit, column: Unit | None) -> float | None:
    """Factor from the unit beside a number to that of its column; None where none leads there."""
    if column is None or unit.dimension == column.dimension:
        return 1.0 if column is None else unit.factor / column.factor
    for role in ("force", "torque"):
        if unit.fits(role) and column.fits(role):
            return unit.of(role) / column.of(role)
    return None


def _mixed_units(units: _Units, numbers: NDArray[np.float64], block: Block) -> None:
    """Say where only some numbers of a column carry a unit; a few of them are left out."""
    for c, rows in units.rows.items():
        bare = int(np.isfinite(numbers[:, c]).sum()) - len(rows)
        if bare <= 0:
            continue
        line = block.line_of(rows[0])
        if bare <= len(rows):
            block.table.notes.append(
                f"{bare} numbers of column {c + 1} have no unit; they are read in {units.cells[c]} "
                "like the others."
            )
            continue
        for row in rows:
            text = str(block.odd[row][c])
            block.table.marks[c].marks[row] = text, False
            numbers[row, c] = np.nan
        block.table.notes.append(
            f"{len(rows)} numbers of column {c + 1} have the unit {units.cells[c]} beside them, "
            f"from line {line} on, all others have none: they are not used."
        )
        units.cells[c] = ""


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
