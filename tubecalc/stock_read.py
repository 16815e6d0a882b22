"""Bytes of a stock list (CSV, TSV, XLSX) into sheets of cells, nothing interpreted yet."""

from __future__ import annotations

import ast
import csv
import datetime
import io
import math
import operator
import re
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from tubecalc.errors import InputError
from tubecalc.stock_safe import refuse_rows, refuse_spread, refuse_unsafe

__all__ = ["EMPTY", "Cell", "Row", "Sheet", "load"]

_SEPARATORS = {";": "semicolon", "\t": "tab", ",": "comma", "|": "bar"}
_FORMAT_UNIT = re.compile(r'[\d#?]\s*"\s*(mm|cm|m|in|ft)\s*"')
_UNSEEN = dict.fromkeys((0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF, 0xAD))  # marks of no width
_REFERENCE = re.compile(r"\$?([A-Z]{1,3})\$?([0-9]{1,7})")
_OPERATORS: dict[type, Any] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
}


@dataclass(frozen=True)
class Cell:
    """One cell: its text, and what it was (text, number, date, error, formula)."""

    text: str = ""
    sort: str = "text"
    comment: str = ""
    note: str = ""


EMPTY = Cell()


@dataclass(frozen=True)
class Row:
    """One row: its number in the file and its cells."""

    number: int
    cells: tuple[Cell, ...]
    hidden: bool = False
    torn_to: int = 0  # last line, where an unclosed quote ran several lines together

    @property
    def blank(self) -> bool:
        """Whether no cell holds anything."""
        return not any(cell.text for cell in self.cells)

    def cell(self, column: int) -> Cell:
        """Give the cell of a column, empty beyond the end."""
        return self.cells[column] if column < len(self.cells) else EMPTY


@dataclass(frozen=True)
class Sheet:
    """One sheet or one text file split by one separator."""

    title: str
    rows: tuple[Row, ...]
    understood: str
    decimal_comma: bool = False
    spans: dict[int, tuple[str, ...]] = field(default_factory=dict)


def load(source: str | Path | bytes, name: str | None) -> tuple[str, list[list[Sheet]]]:
    """Read a file into sheets.

    Parameters
    ----------
    source : str, pathlib.Path or bytes
        Path of the file, or its content.
    name : str, optional
        Name used in messages; the file's own by default.

    Returns
    -------
    tuple of str and list of list of Sheet
        The name; and for each sheet the possible readings, one per separator for text.

    Raises
    ------
    InputError
        If the file cannot be read or is of a kind not read here.
    """
    if isinstance(source, bytes):
        data, label = source, name or "stock list"
    elif not isinstance(source, str | Path) or "\x00" in str(source):
        raise InputError(
            "is not a stock list", where=name or "stock list", got=type(source).__name__,
            expected="the path of a CSV or XLSX file, or its bytes",
        )  # fmt: skip
    else:
        label = name or Path(source).name
        try:
            data = Path(source).read_bytes()
        except OSError as error:
            raise InputError("cannot be read", where=label, got=error.strerror) from None
    if not data.strip():
        raise InputError("is empty", where=label, expected="a stock list as CSV or XLSX")
    if data[:4] == b"PK\x03\x04":
        return label, [[sheet] for sheet in _workbook(data, label)]
    if data[:4] == b"\xd0\xcf\x11\xe0":
        raise InputError("is an old .xls workbook; save it as .xlsx or CSV", where=label)
    text, encoding = _decode(data, label)
    if re.match(r"\s*(<!doctype\s+html|<html|<table|<\?xml)", text, re.IGNORECASE):
        raise InputError("is a web page or XML; save it as .xlsx or CSV", where=label)
    refuse_rows(max(text.count("\n"), text.count("\r")), label)
    return label, [[_split(text, mark, encoding) for mark in _SEPARATORS]]


def _decode(data: bytes, label: str) -> tuple[str, str]:
    """Text of the bytes, and the name of the encoding."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        encodings = ["utf-16"]
    elif b"\x00" in data[:200]:
        encodings = ["utf-16-le" if data[1:2] == b"\x00" else "utf-16-be"]
    else:
        encodings = ["utf-8-sig", "cp1252", "latin-1"]
    for encoding in encodings:
        try:
            return data.decode(encoding), encoding.removesuffix("-sig").upper()
        except UnicodeDecodeError:
            continue
    raise InputError("is not text and not an .xlsx workbook", where=label)


def _split(text: str, mark: str, encoding: str) -> Sheet:
    """Split text by one separator; rows carry the number of their first line."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\x00", "")
    rows, start = [], 1
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    try:
        for values in reader:
            cells = tuple(Cell(_clean(value)) for value in values)
            torn = any(mark in value and "\n" in value for value in values)
            rows.append(Row(start, cells, torn_to=reader.line_num if torn else 0))
            start = reader.line_num + 1
    except csv.Error:  # a cell beyond the reader's limit: not a list split by this mark
        rows = []
    comma = mark != "," and _has_decimal_comma(rows, mark)
    words = f"{encoding} text, {_SEPARATORS[mark]} separated"
    return Sheet("", tuple(rows), words + (", decimal comma" if comma else ""), comma)


def _clean(text: str) -> str:
    """Text with single blanks and without marks that cannot be seen."""
    return " ".join(text.translate(_UNSEEN).split())


def _has_decimal_comma(rows: list[Row], mark: str) -> bool:
    """Tell whether the numbers of a text file have decimal commas.

    A semicolon list with 1,500 and no decimal point has; elsewhere a number that cannot have a
    comma between thousands (1,5 or 0,125) must show it.
    """
    texts = [cell.text for row in rows for cell in row.cells]
    if any(re.fullmatch(r"[-+]?\d+\.(\d{1,2}|\d{4,})", text) for text in texts):
        return False
    sure = r"[-+]?(\d+,(\d{1,2}|\d{4,})|0,\d+|\d{1,3}(\.\d{3})+,\d+)"
    pattern = sure if mark != ";" else r"[-+]?\d[\d.]*,\d+\D*"
    return any(re.fullmatch(pattern, text) for text in texts)


def _workbook(data: bytes, label: str) -> list[Sheet]:
    """All sheets of an .xlsx workbook, hidden ones too."""
    import openpyxl

    try:
        refuse_unsafe(data, label)
        stored = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
        written = openpyxl.load_workbook(io.BytesIO(data))
        sheets = [_sheet(stored[sheet.title], sheet, label) for sheet in written.worksheets]
    except InputError:
        raise
    except Exception:  # the reader of a damaged workbook stops anywhere and says anything
        raise InputError(
            "is not a workbook that can be read", where=label, expected="an .xlsx workbook or CSV"
        ) from None
    if not sheets:
        raise InputError("has no sheet", where=label)
    return sheets


def _extent(sheet: Any, label: str) -> tuple[int, int]:
    """Last row and column that hold anything; a stray format far out does not count."""
    filled = [at for at, c in sheet._cells.items() if c.value is not None or c.comment]
    last = max((row for row, _ in filled), default=0), max((n for _, n in filled), default=0)
    refuse_spread(*last, label)
    return last


def _sheet(stored: Any, written: Any, label: str) -> Sheet:
    rows = []
    high, wide = _extent(written, label)
    below = _merged_down(written, high)
    for cells in written.iter_rows(max_row=high, max_col=wide) if high else ():
        number = cells[0].row
        hidden = bool(written.row_dimensions[number].hidden)
        read = (_cell(below.get((number, c.column), c), stored, written) for c in cells)
        rows.append(Row(number, tuple(read), hidden))
    spans: dict[int, tuple[str, ...]] = {}
    for merged in written.merged_cells.ranges:
        if merged.min_row > high or merged.min_col > wide:
            continue
        text = str(written.cell(merged.min_row, merged.min_col).value or "").strip()
        line = list(spans.get(merged.min_row, ("",) * wide))
        line[merged.min_col - 1 : merged.max_col] = [text] * (merged.max_col - merged.min_col + 1)
        spans[merged.min_row] = tuple(line)
    letters = [k for k, d in written.column_dimensions.items() if d.hidden]
    words = f'sheet "{written.title}"' + (" (hidden)" if written.sheet_state != "visible" else "")
    words += f", hidden columns {', '.join(letters)}" if letters else ""
    return Sheet(written.title, tuple(rows), words, spans=spans)


def _merged_down(sheet: Any, high: int) -> dict[tuple[int, int], Any]:
    """First cell of words merged over several rows, by each row and column below it."""
    out: dict[tuple[int, int], Any] = {}
    for merged in sheet.merged_cells.ranges:
        first = sheet.cell(merged.min_row, merged.min_col)
        if merged.min_row < merged.max_row and first.data_type == "s":
            last = min(merged.max_row, high)
            out |= {(row, merged.min_col): first for row in range(merged.min_row + 1, last + 1)}
    return out


def _cell(written: Any, stored: Any, sheet: Any) -> Cell:
    """One workbook cell as text, with comment; formulas by stored value or simple arithmetic."""
    comment = " ".join(written.comment.text.split()) if written.comment else ""
    value = written.value
    if written.data_type == "f":
        value = stored[written.coordinate].value
        if value is None:
            formula = getattr(written.value, "text", None) or str(written.value)
            computed = _compute(formula, sheet, 0)
            if computed is None:
                return Cell(formula, "formula", comment)
            text = f"{computed:.12g}"
            return Cell(text, "number", comment, f"computed from the formula {formula}")
    return replace(_plain(value, written), comment=comment)


def _plain(value: Any, written: Any) -> Cell:
    if value is None:
        return EMPTY
    struck = bool(written.font and written.font.strike)
    if isinstance(value, datetime.date | datetime.time | datetime.timedelta):
        return Cell(str(value).removesuffix(" 00:00:00"), "date")
    if isinstance(value, bool) or written.data_type == "e":
        return Cell(str(value), "error")
    if isinstance(value, int | float):
        unit = _FORMAT_UNIT.search(written.number_format or "")
        text = f"{value:.12g}" + (f" {unit[1]}" if unit else "")
        return Cell(text, "struck" if struck else "number")
    return Cell(_clean(str(value)), "struck" if struck else "text")


def _compute(formula: str, sheet: Any, depth: int) -> float | None:
    """Value of arithmetic on cells of the same sheet; None for anything else."""
    text = formula.lstrip("=").replace("$", "")
    if depth > 8 or len(text) > 200:
        return None
    try:
        return _walk(ast.parse(text, mode="eval").body, sheet, depth)
    except (SyntaxError, ValueError, ZeroDivisionError, OverflowError, RecursionError):
        return None


def _walk(node: ast.expr, sheet: Any, depth: int) -> float:
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    if isinstance(node, ast.BinOp) and type(node.op) in _OPERATORS:
        left, right = _walk(node.left, sheet, depth), _walk(node.right, sheet, depth)
        return float(_OPERATORS[type(node.op)](left, right))
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return -_walk(node.operand, sheet, depth)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and not node.keywords:
        if node.func.id.upper() != "ROUND" or len(node.args) != 2:
            raise ValueError(node.func.id)
        value, digits = (_walk(argument, sheet, depth) for argument in node.args)
        step = 10.0 ** int(digits)
        return math.copysign(math.floor(abs(value) * step + 0.5), value) / step
    if isinstance(node, ast.Name) and _REFERENCE.fullmatch(node.id):
        value = sheet[node.id].value
        if isinstance(value, str) and value.startswith("="):
            inner = _compute(value, sheet, depth + 1)
            if inner is None:
                raise ValueError(value)
            return inner
        if isinstance(value, bool) or not isinstance(value, int | float | str):
            raise ValueError(node.id)
        return float(value)
    raise ValueError(ast.dump(node))
