"""Tables as a workbook (XLSX) whose bytes depend on nothing but what is in it."""

from __future__ import annotations

import io
import re
import zipfile
from typing import TYPE_CHECKING, Any

from tubecalc.share.sheet_cells import (
    Column,
    Table,
    Value,
    escaped,
    held,
    is_formula,
    number_format,
)

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

PAPERS = {"A4": 9, "Letter": 1}  # numbers of ECMA-376 part 1, 18.3.1.63
_STAMP = (1980, 1, 1, 0, 0, 0)  # of every part; the format has no earlier one
_NARROW = 13.0  # columns of text below this width are not wrapped
_FONT, _SIZE = "Arial", 10.0  # or what a machine has in its place
_TIME = re.compile(rb"(<dcterms:(created|modified)[^>]*>)[^<]*")
_APP = (
    b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<Properties xmlns="http://schemas.'
    b'openxmlformats.org/officeDocument/2006/extended-properties"><Application>tubecalc'
    b"</Application></Properties>"
)


def workbook(
    tables: list[Table], *, title: str, author: str, when: str, foot: str, paper: str
) -> bytes:
    """Workbook of some tables.

    Parameters
    ----------
    tables : list of Table
        One a sheet, in order.
    title, author : str
        Properties of the file; the title heads every printed page.
    when : str
        ISO date, for the properties.
    foot : str
        Foot of every printed page.
    paper : str
        A key of `PAPERS`.

    Returns
    -------
    bytes
    """
    from openpyxl import Workbook
    from openpyxl.styles import Font

    book = Workbook()
    book.remove(book.worksheets[0])
    book._named_styles["Normal"].font = Font(_FONT, _SIZE)
    for table in tables:
        sheet = book.create_sheet(table.name)
        _fill(sheet, table)
        _print(sheet, PAPERS[paper], held(title, 80), held(foot, 80))
    book.properties.title = escaped(held(title, 200))
    book.properties.creator = escaped(held(author, 120)) or "tubecalc"
    out = io.BytesIO()
    book.save(out)
    return _settled(out.getvalue(), f"{when}T00:00:00Z".encode())


def _fill(sheet: Worksheet, table: Table) -> None:
    from openpyxl.utils import get_column_letter

    for n, column in enumerate(table.columns, 1):
        sheet.column_dimensions[get_column_letter(n)].width = column.width
        values = [row[n - 1] for row in table.rows]
        _head(sheet.cell(1, n), column)
        _column(sheet, n, column, values, table.bold)
    sheet.row_dimensions[1].height = _height([(c.head, 0.9 * c.width) for c in table.columns])
    for at, row in enumerate(table.rows):  # said, for not every program works it out
        wide = [
            (v, c.width) for v, c in zip(row, table.columns, strict=True)
            if isinstance(v, str) and _wraps(c)
        ]  # fmt: skip
        sheet.row_dimensions[at + 2].height = _height(wide)
    sheet.freeze_panes = sheet.cell(2, table.frozen + 1)
    if table.filtered and table.rows:
        sheet.auto_filter.ref = f"A1:{get_column_letter(len(table.columns))}{len(table.rows) + 1}"


def _head(cell: Any, column: Column) -> None:
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

    _put(cell, column.head)
    text = column.decimals is None
    cell.font, cell.fill = Font(_FONT, _SIZE, bold=True), PatternFill("solid", fgColor="FFEDEDED")
    cell.border = Border(bottom=Side("thin", color="FF666666"))
    cell.alignment = Alignment(
        horizontal="left" if text else "right", vertical="bottom", wrap_text=True, indent=int(text)
    )


def _column(
    sheet: Worksheet, n: int, column: Column, values: list[Value], bold: frozenset[int]
) -> None:
    from openpyxl.styles import Alignment, Font

    plain, strong = Font(_FONT, _SIZE), Font(_FONT, _SIZE, bold=True)
    if column.decimals is None:
        shape = "General"
        place = Alignment("left", vertical="top", wrap_text=_wraps(column), indent=1)
    else:
        shape, place = number_format(values, column.decimals), Alignment("right", vertical="top")
    for at, value in enumerate(values):
        cell = sheet.cell(at + 2, n)
        _put(cell, value)
        cell.alignment, cell.number_format = place, shape
        cell.font = strong if at in bold else plain


def _wraps(column: Column) -> bool:
    return column.decimals is None and column.width >= _NARROW


def _height(cells: list[tuple[str, float]]) -> float:
    """Height of a row whose cells hold these texts at these widths [pt]."""
    return 13.0 * max((_lines(*cell) for cell in cells), default=1) + 1.5


def _lines(text: str, width: float) -> int:
    """Lines that a text takes at a width."""
    lines, room, width = 1, 0.0, width - 1
    for word in text.split():
        need = 0.9 * len(word)
        if room and room + 1 + need > width:
            lines, room = lines + 1, 0.0
        lines += int(need // width)
        room += need % width + (1 if room else 0)
    return lines


def _put(cell: Any, value: Value) -> None:
    """Value of a cell; a text is never a formula, neither now nor when it is edited."""
    if value is None or value == "":
        return
    if isinstance(value, str):
        cell.value, cell.data_type = escaped(value), "s"  # whatever the library took it for
        if is_formula(value):
            cell.quotePrefix = True
    else:
        cell.value = value


def _print(sheet: Worksheet, paper: int, title: str, foot: str) -> None:
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = paper
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.print_title_rows = "1:1"
    m = sheet.page_margins
    m.left = m.right = 0.4
    m.top = m.bottom = 0.7
    m.header = m.footer = 0.3
    for part, text in (
        (sheet.oddHeader.left, title), (sheet.oddHeader.right, sheet.title),
        (sheet.oddFooter.left, foot),
    ):  # fmt: skip
        part.text = escaped(text).replace("&", "&&") or None
    sheet.oddFooter.right.text = "&P / &N"


def _settled(data: bytes, when: bytes) -> bytes:
    """The same workbook with no clock and no machine in it."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as new,
    ):
        for name in old.namelist():
            body = old.read(name)
            if name == "docProps/core.xml":
                body = _TIME.sub(rb"\g<1>" + when, body)
            elif name == "docProps/app.xml":
                body = _APP
            part = zipfile.ZipInfo(name, _STAMP)
            part.compress_type, part.create_system = zipfile.ZIP_DEFLATED, 3
            part.external_attr = 0o600 << 16
            new.writestr(part, body)
    return out.getvalue()


__all__ = ["PAPERS", "workbook"]
