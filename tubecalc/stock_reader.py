"""What one row of a stock list holds, cell by cell, with what is to be said about it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from tubecalc.errors import InputError
from tubecalc.stock_cells import Size, gauge, nominal, size
from tubecalc.stock_header import Column, Header, length_unit
from tubecalc.stock_read import EMPTY, Cell, Row
from tubecalc.stock_tables import Pipe

__all__ = ["Context", "Problem", "Reader", "fold"]

SAME_MM = 0.01  # two columns of one size further apart than this contradict each other
_UNITS_OF_SIZE = ("mm", "cm", "in")  # a column "Unit" may also say ea, pcs or m, as things are sold


@dataclass(frozen=True)
class Problem:
    """What is wrong with one cell, row or the whole list.

    Parameters
    ----------
    row : int
        Row or line number in the file; 0 for the whole list.
    column : str
        Heading of the column; "" for the whole row.
    message : str
        One clear sentence without a full stop.
    refused : bool
        Whether the row was left out for it.
    """

    row: int
    column: str
    message: str
    refused: bool = True

    def __str__(self) -> str:
        place = ", ".join(filter(None, (f"row {self.row}" if self.row else "", self.column)))
        return f"{place}: {self.message}." if place else f"{self.message}."


@dataclass(frozen=True)
class Context:
    """What holds for all rows: units by role, gauge, decimal comma, known constructions."""

    units: Mapping[str, str]
    gauge: str
    decimal_comma: bool
    known: Mapping[str, str]
    construction: str
    currency: str

    @cached_property
    def folded(self) -> dict[str, str]:
        """Construction keys by folded name."""
        return {fold(alias): key for alias, key in self.known.items()}


def fold(text: str) -> str:
    """Lower case, with everything but letters and digits as one space."""
    return re.sub(r"[^a-z0-9]+", " ", text.lower()).strip()


class Reader:
    """Reads the cells of one row and gathers problems and notes."""

    def __init__(self, row: Row, header: Header, context: Context) -> None:
        self.row, self.header, self.context = row, header, context
        self.problems: list[Problem] = []
        self.notes: list[str] = []
        self.length = self.made = ""  # length and construction, as the description gives them

    def cell(self, role: str) -> Cell:
        """Cell of a role, empty where no column has it."""
        column = self.header.columns.get(role)
        return self.row.cell(column.index) if column else EMPTY

    def heading(self, role: str) -> str:
        """Heading to name in a sentence on a role."""
        column = self.header.columns.get(role) or self.header.columns.get("description")
        return column.heading if column else ""

    def problem(self, role: str, message: str, *, refused: bool = True) -> None:
        """Add a sentence on a role."""
        self.problems.append(Problem(self.row.number, self.heading(role), message, refused))

    def note(self, *texts: str) -> None:
        """Add notes, each once."""
        self.notes += [text for text in texts if text and text not in self.notes]

    def point(self, role: str) -> Cell:
        """Cell with its decimal comma as a point; "1.500" of such a list is refused."""
        cell = self.cell(role)
        if not self.context.decimal_comma or cell.sort != "text":
            return cell
        if re.match(r"[-+]?\d{1,3}(\.\d{3})+(?![\d,.])", cell.text):
            joined = cell.text.replace(".", "")
            comma = cell.text.replace(".", ",")
            raise InputError(
                f'"{cell.text}" may mean {joined} or {comma} in a list with decimal commas'
            )
        plain = re.sub(r"(?<=\d)\.(?=\d{3}[.,])", "", cell.text)
        return replace(cell, text=re.sub(r"(?<=\d),(?=\d)", ".", plain))

    def attempt(self, role: str, read: Callable[[Cell], Any], *, refused: bool = True) -> Any:
        """Read a cell; None and a sentence where it cannot be read."""
        try:
            return read(self.point(role))
        except InputError as error:
            self.problem(role, error.message, refused=refused)
            return None

    def size(self, role: str) -> float | None:
        """Size of a column in mm."""
        if role not in self.header.columns:
            return None
        unit, example = self.unit(role), f"{self.heading(role)} mm"
        found: Size | None = None
        if role == "wall":
            bare = not unit and self.header.columns["wall"].index == self._gauge_index()
            found = self.attempt(
                role,
                lambda c: gauge(c.text, self.context.gauge, bare=bare) or size(c, unit, example),
            )
        else:
            found = self.attempt(role, lambda c: size(c, unit, example))
        if found is None:
            return None
        self.note(found.note)
        self._compare(role, found.mm)
        return found.mm

    def unit(self, role: str) -> str:
        """Unit of a column: its own or, where it has none, that of the row's column "Unit"."""
        unit = self.context.units.get(role, "")
        if unit:
            return unit
        if role == "length":
            return length_unit(self.cell("length unit").text)
        named = length_unit(self.cell("unit").text)
        return named if named in _UNITS_OF_SIZE else ""

    def _compare(self, role: str, mm: float) -> None:
        """Refuse a row whose further column of the same size says something else."""
        for twin in self.header.twins:
            if twin.role != role:
                continue
            try:
                other = size(self.row.cell(twin.index), length_unit(twin.unit) or self.unit(role))
            except InputError:
                continue
            if other is not None and abs(other.mm - mm) > SAME_MM:
                self.problem(
                    role,
                    f'"{self.heading(role)}" says {mm:g} mm and "{twin.heading}" {other.mm:g} mm',
                )

    def _gauge_index(self) -> int:
        column: Column | None = self.header.columns.get("gauge")
        return column.index if column else -1

    def pipe(self) -> tuple[Pipe, str] | None:
        """Nominal pipe named in the OD or description column."""
        for role in ("od", "description"):
            found: tuple[Pipe, str] | None = self.attempt(role, lambda c: nominal(c.text))
            if found:
                return found
            if self.problems:
                return None
        return None
