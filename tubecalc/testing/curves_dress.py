"""Rows in a dress: whole lines in quotes, formulas of text, JSON, tables that lie on their side."""

from __future__ import annotations

import json
import re
from typing import Any

from tubecalc.errors import InputError
from tubecalc.testing.curves_heads import heading
from tubecalc.testing.curves_line import DELIMITERS, kinds, split
from tubecalc.testing.curves_number import Cell
from tubecalc.testing.curves_table import Line

__all__ = ["of_json", "on_its_side", "undressed", "upright"]

_HEAD = 8192
_JSON_MOST = 50_000_000  # bytes
_SIDE_LINES = 60  # of a file whose table lies on its side
_SIDE_CELLS = 12  # of its rows, at the least
_MARKS = b",;\t|"


def undressed(data: bytes) -> bytes:
    r"""Take away what stands around every line or cell.

    Parameters
    ----------
    data : bytes
        UTF-8 text.

    Returns
    -------
    bytes
        The very same object where there is nothing to take away.

    Examples
    --------
    >>> undressed(b'"mm,N"\n"0,1"\n"1,2"\n"2,3"\n')
    b'mm,N\n0,1\n1,2\n2,3\n'
    >>> undressed(b'mm,N\n="0",="1"\n="1",="2"\n')
    b'mm,N\n"0","1"\n"1","2"\n'
    >>> undressed(b'{"mm": 0, "N": 1}\n{"mm": 1, "N": 2}\n')
    b'mm: 0, N: 1\nmm: 1, N: 2\n'
    """
    head = data[:_HEAD]
    if b'"' not in head:
        return data
    lines = [line.strip() for line in head.split(b"\n") if line.strip()][:200]
    lines = lines[:-1] if len(data) > _HEAD and len(lines) > 1 else lines
    half = 0.5 * len(lines)
    if sum(re.match(rb'(?:[^="]*[,;\t|])?="', line) is not None for line in lines) > half:
        return re.sub(rb'(^|[,;\t|])="', rb'\1"', data, flags=re.MULTILINE)
    if sum(line.startswith(b'{"') and line.rstrip(b",").endswith(b"}") for line in lines) > half:
        bare = re.sub(rb"^[ \t]*\{|\},?[ \t\r]*$", b"", data, flags=re.MULTILINE)
        return bare.replace(b'"', b"")
    whole = [x for x in lines if x.count(b'"') == 2 and x[:1] == x[-1:] == b'"']
    for mark in _MARKS:
        counts = {line.count(mark) for line in whole}
        if len(whole) > half and len(whole) > 2 and len(counts) == 1 and min(counts):
            words = re.search(rb"[A-Za-z]", whole[0])
            if words or mark != ord(","):  # "0,5" may be one number
                return re.sub(rb'^"([^"\r\n]*)"(\r?)$', rb"\1\2", data, flags=re.MULTILINE)
    return data


def of_json(data: bytes, label: str) -> list[Line] | None:
    r"""Rows of a JSON text: lists under names, or records.

    Parameters
    ----------
    data : bytes
        UTF-8 text.
    label : str
        Name of the file.

    Returns
    -------
    list of Line or None
        None where it is no JSON.

    Raises
    ------
    InputError
        If it is JSON without a table.

    Examples
    --------
    >>> [line.cells for line in of_json(b'{"mm": [0, 1], "N": [2, 3]}', "a.json")]
    [['mm', 'N'], [0.0, 2.0], [1.0, 3.0]]
    """
    if data[:64].lstrip()[:1] not in (b"{", b"[") or len(data) > _JSON_MOST:
        return None
    try:
        found = json.loads(data)
    except (ValueError, RecursionError):
        return None
    columns = _columns(found)
    if columns is None or len({len(c) for c in columns.values()}) != 1:
        raise InputError(
            "is JSON without a table", where=label,
            expected="lists of equal length under names, or CSV, TXT, TSV or XLSX",
        )  # fmt: skip
    rows = zip(*columns.values(), strict=True)
    names: list[Cell] = [str(k) for k in columns]
    body: list[list[Cell]] = [[_cell(v) for v in row] for row in rows]
    return [Line(n, cells) for n, cells in enumerate([names, *body], 1)]


def _columns(found: Any) -> dict[str, list[Any]] | None:
    """Columns of lists under names, or of records, as deep as they lie."""
    if isinstance(found, dict):
        lists = {k: v for k, v in found.items() if isinstance(v, list)}
        if len(lists) > 1:
            return lists
        return next((c for v in found.values() if (c := _columns(v)) is not None), None)
    if isinstance(found, list) and found and all(isinstance(r, dict) for r in found):
        names = dict.fromkeys(k for r in found for k in r)
        return {k: [r.get(k) for r in found] for k in names} if len(names) > 1 else None
    return None


def _cell(value: Any) -> Cell:
    if value is None or isinstance(value, list | dict):
        return ""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    return " ".join(str(value).split())


def on_its_side(few: list[str], notes: list[str]) -> list[Line] | None:
    """Turn a text whose every row is a channel.

    Parameters
    ----------
    few : list of str
        Its lines.
    notes : list of str
        Gets a sentence where it is turned.

    Returns
    -------
    list of Line or None
        None where it is none.

    Examples
    --------
    >>> few = ["mm," + ",".join("12345678901234"), "N," + ",".join("23456789012345")]
    >>> [line.cells for line in on_its_side(few, [])][:2]
    [['mm', 'N'], ['1', '2']]
    """
    if len(few) > _SIDE_LINES:
        return None
    for mark in DELIMITERS:
        lines = [Line(n, split(line, mark), line) for n, line in enumerate(few, 1)]
        turned = upright(lines, notes)
        if turned is not None:
            return turned
    return None


def upright(lines: list[Line], notes: list[str]) -> list[Line] | None:
    """Turn a table of a row per channel.

    Parameters
    ----------
    lines : list of Line
        Of a file or a sheet.
    notes : list of str
        Gets a sentence where it is turned.

    Returns
    -------
    list of Line or None
        None where the table stands as usual.

    Examples
    --------
    >>> upright([Line(1, ["mm", "N"]), Line(2, ["0", "1"])], []) is None
    True
    """
    if len(lines) > _SIDE_LINES:
        return None
    across = [line for line in lines if _channel(line.cells)]
    if not 2 <= len(across) <= 12 or len({len(line.cells) for line in across}) != 1:
        return None
    above = [line for line in lines if line not in across]
    if any(set(kinds(line.cells[1:4])) & {"n"} and len(line.cells) > 3 for line in above):
        return None
    notes.append("The table lies on its side, a row for each channel; it was turned.")
    columns = zip(*(line.cells for line in across), strict=True)
    start = len(above) + 1
    return [*above, *(Line(n, list(cells)) for n, cells in enumerate(columns, start))]


def _channel(cells: list[Cell]) -> bool:
    """Tell a heading followed by nothing but numbers, perhaps a unit between."""
    if len(cells) < _SIDE_CELLS or not isinstance(cells[0], str):
        return False
    head = heading(cells[0])
    letters = kinds(cells[2:])
    return bool(head.roles or head.unit) and letters.count("n") > 0.8 * len(letters)
