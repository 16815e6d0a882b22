"""One row of a stock list into one tube, or into sentences that say why not."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from tubecalc.errors import InputError, near
from tubecalc.stock_cells import MISSING, Size, gauge, nominal, price, quantity, size
from tubecalc.stock_header import SIZES, Column, Header, length_unit
from tubecalc.stock_read import EMPTY, Cell, Row
from tubecalc.stock_tables import Pipe
from tubecalc.unit_text import split_quantity

__all__ = ["WALL_AGREES_MM", "Context", "Problem", "fold", "read_row"]

WALL_AGREES_MM = 0.05  # a wall and (OD - ID)/2 further apart than this contradict each other
_STANDARD = "ASME B36.10M"
_INCH_HABIT = re.compile(r"(?<![\d.])\.\d")  # .065 without a leading zero
_FEET = re.compile(r"\d\s*(ft|feet|foot|in|inch(es)?|['\"′″])", re.IGNORECASE)
_SCHEDULE = re.compile(r"sch(?:edule|\.)?\s*(\d{1,3})\s*s?", re.IGNORECASE)


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


class _Reader:
    """Reads the cells of one row and gathers problems and notes."""

    def __init__(self, row: Row, header: Header, context: Context) -> None:
        self.row, self.header, self.context = row, header, context
        self.problems: list[Problem] = []
        self.notes: list[str] = []

    def cell(self, role: str) -> Cell:
        column = self.header.columns.get(role)
        return self.row.cell(column.index) if column else EMPTY

    def heading(self, role: str) -> str:
        column = self.header.columns.get(role) or self.header.columns.get("description")
        return column.heading if column else ""

    def problem(self, role: str, message: str, *, refused: bool = True) -> None:
        self.problems.append(Problem(self.row.number, self.heading(role), message, refused))

    def note(self, *texts: str) -> None:
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
        try:
            return read(self.point(role))
        except InputError as error:
            self.problem(role, error.message, refused=refused)
            return None

    def size(self, role: str) -> float | None:
        """Size of a column in mm."""
        if role not in self.header.columns:
            return None
        unit, example = self.context.units.get(role, ""), f"{self.heading(role)} mm"
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
        return found.mm

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


def _from_pipe(reader: _Reader, pipe: Pipe, schedule: str) -> dict[str, float]:
    """OD and wall of a nominal pipe, with the standard noted; refused where not settled."""
    role = "od" if reader.cell("od").text else "description"
    name = f"NPS {pipe.nps} (DN {pipe.dn})"
    written = _SCHEDULE.fullmatch(reader.cell("wall").text)
    schedule = schedule or (written[1] if written else "")
    if schedule:
        if schedule not in pipe.walls:
            reader.problem(
                role, f"{name} in schedule {schedule} is not in the table; write OD, wall"
            )
            return {}
        reader.note(f"{name} schedule {schedule} by {_STANDARD}")
        return {"od": pipe.od, "wall": pipe.walls[schedule]}
    wall = reader.size("wall")
    if wall is None:
        if not reader.problems:
            reader.problem(
                role,
                f"{name} is a nominal pipe, OD {pipe.od} mm; its wall or schedule is not stated",
            )
        return {}
    if not pipe.agreed and reader.cell(role).text.upper().startswith("DN"):
        reader.problem(
            role,
            f"DN {pipe.dn} is {pipe.od} mm by {_STANDARD} but {pipe.en_od} mm by EN 10220; "
            "write the OD",
        )
        return {}
    reader.note(f"{name} by {_STANDARD}")
    return {"od": pipe.od, "wall": wall}


def _described(reader: _Reader) -> dict[str, float]:
    """OD and wall from a description such as "38 x 1.5 mm tube"."""
    text = re.sub(r"\b(tube|tubing|round|chs)\b", "", reader.cell("description").text, flags=re.I)
    parts = [part.strip() for part in re.split(r"\s*[x×*]\s*", text.strip(), flags=re.I)]
    if len(parts) != 2 or not all(re.match(r"[ø⌀]?\s*[\d.½¼¾⅛]", part) for part in parts):
        gives = "more than OD and wall" if len(parts) > 2 else "no OD and wall"
        reader.problem("description", f'"{text.strip()}" gives {gives}')
        return {}
    unit = reader.context.units.get("od", "")
    bare = [re.sub(r"(?i)\b(od|id|wall|wt)\b", "", part).strip() for part in parts]
    if not unit:
        unit = _shared_unit(reader, bare)
    if not unit and not any(_own_unit(part) for part in bare):
        reader.problem(
            "description", f'"{text.strip()}" names no unit; write for example "38 x 1.5 mm"'
        )
        return {}
    second = "id" if re.search(r"(?i)\bid\b", parts[1]) else "wall"
    out = {}
    for role, part in zip(("od", second), bare, strict=True):
        try:
            wall = gauge(part, reader.context.gauge, bare=False) if role == "wall" else None
            read = wall or size(Cell(part), unit)
        except InputError as error:
            ask = error.message.replace("in the heading, for example", "behind it, for example")
            reader.problem("description", ask.replace('"OD mm"', '"38 x 1.5 mm"'))
            continue
        if read:
            reader.note(read.note)
            out[role] = read.mm
    return out


def _own_unit(text: str) -> str:
    """Give whatever stands behind the number of a size, a gauge too."""
    try:
        return split_quantity(text)[1]
    except InputError:
        return ""


def _shared_unit(reader: _Reader, parts: list[str]) -> str:
    """Unit behind the last size for both; inches where two signs of the row agree on them."""
    if _own_unit(parts[0]) or _own_unit(parts[1]):
        return length_unit(_own_unit(parts[1]))
    if any(_INCH_HABIT.search(part) for part in parts) and _FEET.search(reader.cell("length").text):
        reader.note("read as inches: decimals without a leading zero and a length in feet")
        return "in"
    return ""


def _sizes(reader: _Reader) -> dict[str, float]:
    """OD, ID and wall of the row in mm, two of which fix the third."""
    pipe = reader.pipe()
    if pipe:
        found = _from_pipe(reader, *pipe)
    elif reader.problems:
        return {}
    elif "od" in reader.header.columns or "id" in reader.header.columns:
        read = {role: reader.size(role) for role in SIZES}
        found = {role: mm for role, mm in read.items() if mm is not None}
    else:
        found = _described(reader)
    return {} if reader.problems else _agree(reader, found)


def _agree(reader: _Reader, found: dict[str, float]) -> dict[str, float]:
    """Complete and check OD, ID and wall against each other."""
    od, bore, wall = (found.get(role, math.nan) for role in SIZES)
    given = len(found)
    if given < 2:
        missing = [
            role.upper() if role != "wall" else "wall" for role in SIZES if role not in found
        ]
        reader.problem("wall" if "od" in found else "od", f"{' and '.join(missing)} not given")
        return {}
    if math.isnan(od):
        od = bore + 2 * wall
    if not math.isnan(bore) and bore >= od:
        reader.problem("id", f"ID {bore:g} mm is not smaller than OD {od:g} mm")
        return {}
    if math.isnan(wall):
        wall = (od - bore) / 2
    if 2 * wall >= od:
        reader.problem("wall", f"wall {wall:g} mm is not smaller than the radius of OD {od:g} mm")
        return {}
    if given == 3 and abs(wall - (od - bore) / 2) > WALL_AGREES_MM:
        reader.problem(
            "wall",
            f"wall {wall:g} mm contradicts (OD - ID)/2 = {(od - bore) / 2:g} mm "
            f"from OD {od:g} and ID {bore:g} mm",
        )
        return {}
    if math.isnan(bore):
        bore = od - 2 * wall
    return {"od_mm": round(od, 4), "id_mm": round(bore, 4), "wall_mm": round(wall, 4)}


def _construction(reader: _Reader) -> str:
    """Key of the construction; "" with a problem where the text matches none."""
    texts = [reader.cell(role).text for role in ("construction", "face")]
    if texts[0].lower() in MISSING:
        if "construction" in reader.header.columns and not reader.context.construction:
            reader.problem("construction", "no construction is given", refused=False)
        return reader.context.construction
    text = " ".join(t for t in texts if t.lower() not in MISSING)
    key = reader.context.folded.get(fold(text))
    if key is not None:
        reader.note(f'"{text}" read as {key}' if fold(text) != fold(key) else "")
        return key
    hint = near(text, reader.context.known)
    reader.problem(
        "construction",
        f'construction "{text}" is not known' + (f", {hint.rstrip('?')}" if hint else ""),
        refused=False,
    )
    return ""


def read_row(
    row: Row, header: Header, context: Context
) -> tuple[dict[str, Any] | None, list[Problem]]:
    """Read one row.

    Parameters
    ----------
    row : Row
        The cells.
    header : Header
        What each column holds.
    context : Context
        What holds for all rows.

    Returns
    -------
    tuple of dict or None, and list of Problem
        The tube, None where the row is refused; and what is to be said about it.
    """
    reader = _Reader(row, header, context)
    if row.torn_to:
        reader.problems.append(
            Problem(
                row.number,
                "",
                f"a quotation mark opened here runs lines {row.number} to {row.torn_to} together",
            )
        )
        return None, reader.problems
    sizes = _sizes(reader)
    units = context.units
    length = reader.attempt("length", lambda c: size(c, units.get("length", ""), "Length mm"))
    count = reader.attempt("quantity", quantity, refused=False)
    cost = reader.attempt("price", price, refused=False)
    if any(problem.refused for problem in reader.problems):
        return None, reader.problems
    record: dict[str, Any] = {
        "id": reader.cell("ref").text,
        "construction": _construction(reader),
        **sizes,
        "length_mm": length.mm if length else math.nan,
        "quantity": count.mm if count else math.nan,
        "price": cost[0] if cost else math.nan,
        "currency": (cost[1] or reader.cell("currency").text or context.currency) if cost else "",
    }
    reader.note(length.note if length else "", count.note if count else "")
    _more_notes(reader, length is None, count is not None and count.mm == 0)
    return {**record, "note": "; ".join(reader.notes), "row": row.number}, reader.problems


def _more_notes(reader: _Reader, no_length: bool, none_left: bool) -> None:
    """Add what the row says beside its sizes."""
    reader.note(reader.cell("note").text)
    for column in reader.header.columns.values():
        cell = reader.row.cell(column.index)
        reader.note(f"comment at {column.heading}: {cell.comment}" if cell.comment else "")
        reader.note(f"{column.heading} {cell.note}" if cell.note else "")
    if reader.cell("price").text.lower() == "poa":
        reader.note("price on application")
    if no_length and "length" in reader.header.columns:
        reader.note("no length given")
    if none_left:
        reader.note("none in stock")
    if reader.row.hidden:
        reader.note("hidden row")
        message = "the row is hidden in the sheet; it was read"
        reader.problems.append(Problem(reader.row.number, "", message, refused=False))
