"""Sheets of a workbook with test rows, looked through before they are read."""

from __future__ import annotations

import datetime
import io
import zipfile
from typing import Any

from tubecalc.errors import InputError
from tubecalc.stock_safe import refuse_unsafe
from tubecalc.testing.curves_number import Cell
from tubecalc.testing.curves_table import Line

__all__ = ["sheets"]

_MOST_CELLS = 6_000_000
_MOST_COLUMNS = 500


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
        left = _MOST_CELLS
        out = []
        for sheet in book.worksheets:
            lines, left = _lines(sheet, left, label)
            note = "" if sheet.sheet_state == "visible" else f'Sheet "{sheet.title}" is hidden.'
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
