"""Sheets of a workbook with test rows, looked through before they are read."""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from typing import Any

from tubecalc.errors import InputError
from tubecalc.stock_safe import refuse_unsafe
from tubecalc.testing.curves_number import Cell
from tubecalc.testing.curves_table import Line

__all__ = ["sheets"]

_MOST_CELLS = 6_000_000
_MOST_COLUMNS = 500
_LOOKED = 60  # rows whose number formats are looked at
_FORMULA = re.compile(rb"<f\b[^>]*>[^<]*</f>\s*(?:<v\s*/>|<v>\s*</v>)?\s*</c>")


def sheets(data: bytes, label: str) -> list[tuple[str, list[Line], str]]:
    """Read the sheets of a workbook as values; formulas by their stored value.

    Parameters
    ----------
    data : bytes
        The workbook.
    label : str
        Its name.

    Returns
    -------
    list of tuple of str, list of Line and str
        Title, rows that hold anything, and a note ("" for none) for each sheet.

    Raises
    ------
    InputError
        If it is damaged, locked, too large, or holds what no spreadsheet program writes.
    """
    import openpyxl

    try:
        refuse_unsafe(data, label)
        book = openpyxl.load_workbook(io.BytesIO(data), data_only=True, read_only=True)
        left, without = _MOST_CELLS, _unsaved(data, book)
        out = []
        for sheet in book.worksheets:
            lines, left = _lines(sheet, left, label)
            _percent(sheet, lines)
            note = "" if sheet.sheet_state == "visible" else f'Sheet "{sheet.title}" is hidden.'
            empty = without.get(sheet.title, 0)
            if empty:
                note = f"{note} " * bool(note) + (
                    f'{empty} formula{"s" * (empty > 1)} of sheet "{sheet.title}" hold no stored '
                    "value: open the workbook in a spreadsheet program, save it, and read it again."
                )
            out.append((str(sheet.title), lines, note))
        return out
    except InputError as error:
        message = error.message.replace("to be a stock list", "to be a test file")
        message = message.replace("than a stock list has", "than a test file has")
        raise InputError(
            message, where=error.where, got=error.got, expected=error.expected
        ) from None
    except (zipfile.BadZipFile, KeyError):
        raise InputError(
            "is not a workbook that can be read", where=label,
            expected="an .xlsx workbook, CSV, TXT or TSV",
        ) from None  # fmt: skip
    except Exception:  # the reader of a damaged workbook stops anywhere and says anything
        raise InputError(
            "is a damaged workbook", where=label, expected="an .xlsx workbook as saved by a "
            "spreadsheet program",
        ) from None  # fmt: skip


def _lines(sheet: Any, left: int, label: str) -> tuple[list[Line], int]:
    """Rows of a sheet that hold anything, and how many cells may still follow."""
    sheet.reset_dimensions()
    out: list[Line] = []
    for number, row in enumerate(sheet.iter_rows(values_only=True), 1):
        if len(row) > _MOST_COLUMNS:
            filled = [i for i, v in enumerate(row) if v is not None]
            if filled and filled[-1] >= _MOST_COLUMNS:
                raise InputError(
                    "has too many columns to be a test file", where=f"{label}:{sheet.title}",
                    got=f"{filled[-1] + 1} columns", expected=f"at most {_MOST_COLUMNS}",
                )  # fmt: skip
        left -= len(row) + 1
        if left < 0:
            raise InputError(
                "spreads over more cells than a test file has", where=f"{label}:{sheet.title}",
                expected=f"at most {_MOST_CELLS} cells; save a longer test as CSV",
            )  # fmt: skip
        cells = [_cell(v) for v in row]
        while cells and cells[-1] == "":
            cells.pop()
        out.append(Line(number, cells))
    while out and not out[-1].cells:
        out.pop()
    return out, left


def _percent(sheet: Any, lines: list[Line]) -> None:
    """Give cells that are shown in per cent their sign: 0.012 shown as 1.2 %."""
    columns: set[int] = set()
    for row in sheet.iter_rows(max_row=_LOOKED):
        for c, cell in enumerate(row):
            if isinstance(cell.value, float) and "%" in str(cell.number_format):
                columns.add(c)
    for line in lines if columns else []:
        for c in columns:
            if c < len(line.cells) and isinstance(cell := line.cells[c], float):
                line.cells[c] = f"{100 * cell:.12g} %"


def _unsaved(data: bytes, book: Any) -> dict[str, int]:
    """Formulas without a stored value in each sheet."""
    out: dict[str, int] = {}
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        for n, sheet in enumerate(book.worksheets, 1):
            name = f"xl/worksheets/sheet{n}.xml"
            if name not in parts.namelist():
                continue
            text = parts.read(name)
            if b"<f" in text and (found := len(_FORMULA.findall(text))):
                out[sheet.title] = found
    return out


def _cell(value: Any) -> Cell:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value)
    if isinstance(value, int | float):
        return float(value)
    if isinstance(value, datetime.datetime):
        return value.isoformat(sep=" ")
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    if isinstance(value, datetime.timedelta):
        return float(value.total_seconds())
    return " ".join(str(value).split())
