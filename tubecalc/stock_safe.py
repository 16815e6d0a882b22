"""A workbook from anybody, looked through before it is read: size, entities, endless ranges."""

from __future__ import annotations

import io
import re
import zipfile

from tubecalc.errors import InputError

MOST_ROWS = 50_000
MOST_COLUMNS = 500
_LARGEST = 100_000_000  # bytes of all parts unpacked
_MOST_PARTS = 2_000
_MOST_CELLS = 2_000_000  # of a sheet; of all merged ranges and links, read cell by cell
_RANGE = re.compile(
    rb"<(?:\w+:)?(?:mergeCell|hyperlink)\b[^<>]*?\sref\s*=\s*[\"']\$?([A-Za-z]{1,3})\$?([0-9]{1,7})"
    rb":\$?([A-Za-z]{1,3})\$?([0-9]{1,7})[\"']"
)
_DECLARED = re.compile(rb"<\?xml[^>]{0,200}?encoding\s*=\s*[\"']([\w.-]+)[\"']")
_PLAIN = (b"utf-8", b"utf8", b"us-ascii", b"ascii")


def refuse_rows(count: int, label: str) -> None:
    """Refuse a list that has more rows than any stock list.

    Parameters
    ----------
    count : int
        Its rows [-].
    label : str
        Name of the file.

    Raises
    ------
    InputError
        Naming both numbers.

    Examples
    --------
    >>> refuse_rows(50_000, "rack.csv")
    """
    if count > MOST_ROWS:
        raise InputError(
            "has too many rows to be a stock list", where=label, got=f"{count} rows",
            expected=f"at most {MOST_ROWS}",
        )  # fmt: skip


def refuse_spread(rows: int, columns: int, label: str) -> None:
    """Refuse a sheet that reaches further down or to the right than any stock list.

    Parameters
    ----------
    rows, columns : int
        Last row and column that hold anything [-].
    label : str
        Name of the file.

    Raises
    ------
    InputError
        Naming what it has and what it may have.
    """
    refuse_rows(rows, label)
    if columns > MOST_COLUMNS:
        raise InputError(
            "has too many columns to be a stock list", where=label, got=f"{columns} columns",
            expected=f"at most {MOST_COLUMNS}",
        )  # fmt: skip
    if rows * columns > _MOST_CELLS:
        raise InputError(
            "spreads over more cells than a stock list has", where=label,
            got=f"{rows} rows of {columns} columns", expected=f"at most {_MOST_CELLS} cells",
        )  # fmt: skip


def refuse_unsafe(data: bytes, label: str) -> None:
    """Refuse a workbook that would cost more to read than it can hold, or that reads other files.

    Parameters
    ----------
    data : bytes
        The file.
    label : str
        Its name.

    Raises
    ------
    InputError
        For what unpacks to too much, is locked, declares entities or a document type, is not
        UTF-8, or joins ranges without end.
    zipfile.BadZipFile
        For what is no archive.
    """
    cells = 0
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        found = parts.infolist()
        if len(found) > _MOST_PARTS or sum(p.file_size for p in found) > _LARGEST:
            raise InputError("is a workbook too large to be a stock list", where=label)
        if any(p.flag_bits & 0x1 for p in found):
            raise InputError("is locked with a password; save it without one", where=label)
        for part in found:
            body = parts.read(part)
            _refuse_part(body, label)
            cells += sum(_area(*m.groups()) for m in _RANGE.finditer(body))
            if cells > _MOST_CELLS:
                raise InputError(
                    "joins more cells than a stock list has", where=label,
                    expected="merged cells and links on the list only",
                )  # fmt: skip


def _refuse_part(body: bytes, label: str) -> None:
    if b"<!DOCTYPE" in body or b"<!ENTITY" in body:
        raise InputError(
            "declares entities or a document type, as no spreadsheet program writes them",
            where=label, expected="a workbook as saved by a spreadsheet program",
        )  # fmt: skip
    told = _DECLARED.match(body.removeprefix(b"\xef\xbb\xbf").lstrip())
    wide = body[:2] in (b"\xff\xfe", b"\xfe\xff") or body[:4] in (b"<\x00?\x00", b"\x00<\x00?")
    if wide or (told and told[1].lower() not in _PLAIN):
        raise InputError("holds a part that is not UTF-8", where=label)


def _area(left: bytes, top: bytes, right: bytes, bottom: bytes) -> int:
    wide, high = _column(right) - _column(left), int(bottom) - int(top)
    return (abs(wide) + 1) * (abs(high) + 1)


def _column(letters: bytes) -> int:
    """Number of a column from its letters.

    Examples
    --------
    >>> _column(b"A"), _column(b"XFD")
    (1, 16384)
    """
    out = 0
    for letter in letters.upper():
        out = 26 * out + letter - 64
    return out


__all__ = ["MOST_COLUMNS", "MOST_ROWS", "refuse_rows", "refuse_spread", "refuse_unsafe"]
