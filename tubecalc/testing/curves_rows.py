"""Lines of a test file into tables, one per specimen; lines that are no rows are said."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence

from tubecalc.errors import InputError
from tubecalc.testing.curves_above import above, flat, is_names, label_of
from tubecalc.testing.curves_block import Block, finish
from tubecalc.testing.curves_line import split
from tubecalc.testing.curves_number import Cell
from tubecalc.testing.curves_odd import holds_date, row_of, why_none
from tubecalc.testing.curves_plan import blank_of, plain_pattern, shape
from tubecalc.testing.curves_runs import Runs, Text
from tubecalc.testing.curves_table import Line, Plan, Table

__all__ = ["Lines", "tables"]

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
    out: list[Block] = []
    between: list[Line] = []
    block: Block | None = None
    lines.pattern = plain_pattern(plan)
    i, fresh = 0, True  # fresh: the next row begins a table
    while i < len(lines):
        run = lines.runs.at(i) if lines.runs is not None else None
        cells: list[Cell | None] | None = None
        good, short, remark = True, 0, ""
        if run is None and not lines.plain(i):
            line = lines.line(i)
            if not any(c != "" for c in line.cells):
                between.append(line)
                i += 1
                continue
            cells, short, remark = row_of(line, plan, within=not fresh and block is not None)
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
            if remark:
                block.remarks.append((line.number, remark))
        i += block.add(lines.start + i, run.rows if run is not None else 1)
    if block is not None:
        _interrupted(block, between, plan, after=True)
    for b in out:
        _refuse_dates(b, lines.label)
    return [finish(b) for b in out]


def _begin(out: list[Block], between: list[Line], plan: Plan, last: Block | None) -> Block:
    """Start a table below its headings; rows that stood above the first headings are none."""
    head = above(between, plan.width)
    if last is not None and not head.names and last.plan.width == plan.width:
        head.names, head.units, head.line = last.head.names, last.head.units, last.head.line
    block = Block(head, plan)
    if last is not None and not last.head.names and last.rows < 3 and out:
        for row in range(last.rows):
            block.table.skip(last.line_of(row), "stands above the headings")
        out.pop()
    out.append(block)
    return block


def _interrupted(block: Block, between: list[Line], plan: Plan, after: bool = False) -> None:
    """Keep lines between rows as left out, with the reason."""
    for line in between:
        if not any(c != "" for c in line.cells):
            if not after and (not block.gaps or block.gaps[-1] != block.rows):
                block.gaps.append(block.rows)
            continue
        why, lost = why_none(line, plan, after=after)
        block.table.skip(line.number, why, flat(line.cells))
        if lost:
            block.table.holes.append((block.rows, line.number))
        if holds_date(line):
            block.dates.append(line.number)


def _refuse_dates(block: Block, label: str) -> None:
    """Refuse rows of which many hold dates in place of fractions."""
    if len(block.dates) > max(1, 0.05 * block.rows):
        raise InputError(
            f"holds dates in {len(block.dates)} rows, which a spreadsheet program may have made of "
            "fractions", where=f"{label}:line {block.dates[0]}",
            expected="numbers, or the file as the machine wrote it",
        )  # fmt: skip


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
    found = dataclasses.replace(plan, width=width, texts=texts, stamps=stamps)
    found.blank = blank_of(rows, found)
    same = width == plan.width and stamps == plan.stamps and texts <= plan.texts
    return plan if same and plan.texts <= texts | found.blank else found
