"""A table of one specimen as found in a file, before its columns are given a meaning."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curve import Question, Skipped
from tubecalc.testing.curves_number import BETWEEN, Cell

__all__ = ["MOST_SKIPPED", "Found", "Line", "Plan", "Table"]

MOST_SKIPPED = 50  # lines left out that are listed one by one
Values = NDArray[np.float64] | list[str]


@dataclass
class Line:
    """One line of a file or one row of a sheet."""

    number: int
    cells: list[Cell]
    raw: str = ""


@dataclass
class Plan:
    """How the lines of a file are split and how its numbers are written."""

    delimiter: str = ""
    decimal: str = "."
    width: int = 0
    texts: frozenset[int] = frozenset()  # columns of words, units beside numbers left aside
    stamps: frozenset[int] = frozenset()
    blank: frozenset[int] = frozenset()  # columns in which nothing was seen yet
    questions: list[Question] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def thousands_of(self, text: str) -> str:
        """Sign between the thousands of a number, "" where it has none."""
        for sign in BETWEEN:
            if sign != self.decimal and sign in text:
                return sign
        return ""


@dataclass
class Found:
    """Marks in place of numbers in one column: row -> the mark, and whether beyond the range."""

    marks: dict[int, tuple[str, bool]] = field(default_factory=dict)


@dataclass
class Table:
    """Rows of one specimen: headings, units and values column by column."""

    names: list[str]
    units: list[str]
    values: list[Values]
    marks: list[Found]
    heading_line: int = 0
    first_line: int = 0
    last_line: int = 0
    label: str = ""
    preamble: list[tuple[str, str]] = field(default_factory=list)
    skipped: list[Skipped] = field(default_factory=list)
    skipped_count: int = 0
    notes: list[str] = field(default_factory=list)
    gaps: list[int] = field(default_factory=list)  # rows before which blank lines stand
    holes: list[tuple[int, int]] = field(default_factory=list)  # row before which a line is lost
    sheet: str = ""
    thousands: str = ""
    groups: list[str] = field(default_factory=list)  # specimens named above the headings
    questions: list[Question] = field(default_factory=list)

    @property
    def rows(self) -> int:
        """Number of rows."""
        return len(self.values[0]) if self.values else 0

    def skip(self, line: int, why: str, text: str = "") -> None:
        """Keep a line that is left out, with its reason."""
        self.skipped_count += 1
        if len(self.skipped) < MOST_SKIPPED:
            self.skipped.append(Skipped(line, why, text))
