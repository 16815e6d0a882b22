"""Long files of nothing but numbers below their headings, read in one go."""

from __future__ import annotations

import io
import re

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curves_plan import plain_pattern
from tubecalc.testing.curves_rows import Lines, tables
from tubecalc.testing.curves_table import Plan, Table

__all__ = ["HEAD", "fast", "pieces", "sample"]

HEAD = 65536  # bytes of the beginning that are looked at line by line
_PIECE = 8192
_BYTES = 4_000_000  # of a piece
_LINES = 20_000  # of a piece read in one go
Values = NDArray[np.float64]


def sample(data: bytes) -> list[str]:
    r"""Lines of the beginning, the middle and the end of a text.

    Parameters
    ----------
    data : bytes
        UTF-8.

    Returns
    -------
    list of str
        Whole lines only.

    Examples
    --------
    >>> sample(b"a\n\nb")
    ['a', 'b']
    """
    if len(data) <= 2 * HEAD:
        pieces = [data]
    else:
        middle = len(data) // 2
        pieces = [data[:HEAD].rpartition(b"\n")[0] or data[:HEAD]]
        pieces.append(data[middle : middle + _PIECE].partition(b"\n")[2].rpartition(b"\n")[0])
        pieces.append(data[-_PIECE:].partition(b"\n")[2])
    lines = [line for p in pieces for line in p.decode("utf-8", "replace").splitlines()]
    lines = [line for line in lines if line.strip()]
    return lines if len(lines) < 600 else [*lines[:300], *lines[300:-100:20], *lines[-100:]]


def fast(data: bytes, plan: Plan) -> Table | None:
    r"""Read a file whose rows are numbers without a break.

    Parameters
    ----------
    data : bytes
        UTF-8 text.
    plan : Plan
        How its lines are split.

    Returns
    -------
    Table or None
        None where anything else stands between the rows: then every line is looked at.

    Examples
    --------
    >>> rows = "".join(f"{i}.5,{2 * i}\n" for i in range(20_000)).encode()
    >>> fast(b"mm,N\n" + rows, Plan(",", ".", 2)).rows
    20000
    """
    pattern = plain_pattern(plan)
    if pattern is None or len(data) < HEAD:
        return None
    cut = data.rfind(b"\n", 0, HEAD)
    lines = [line.rstrip("\r") for line in data[:cut].decode("utf-8", "replace").split("\n")]
    found = tables(Lines(lines, plan), plan)
    if len(found) != 1 or found[0].rows < 3 or found[0].last_line != len(lines):
        return None
    table = found[0]
    if table.skipped or table.gaps or any(m.marks for m in table.marks):
        return None
    if len(table.names) != plan.width or table.last_line - table.first_line + 1 != table.rows:
        return None
    start = 0
    for _ in range(table.first_line - 1):
        start = data.index(b"\n", start) + 1
    values = _in_pieces(data, start, plan)
    if values is None or len(values) < table.rows or not np.all(np.abs(values) < 9.8e37):
        return None
    table.values = [values[:, c] for c in range(plan.width)]
    table.last_line = table.first_line + len(values) - 1
    return table


def _in_pieces(data: bytes, start: int, plan: Plan) -> Values | None:
    """Rows as numbers, given up at the first piece that holds anything else."""
    if data.endswith((b"\n\n", b"\n\r\n")):
        data = data.rstrip(b"\r\n") + b"\n"
    out: list[Values] = []
    while start < len(data):
        stop = data.find(b"\n", start + _BYTES) + 1 or len(data)
        values = _body(data[start:stop], plan)
        if values is None:
            return None
        out.append(values)
        start = stop
    return np.concatenate(out) if out else None


def pieces(lines: list[str], plan: Plan) -> dict[int, Values]:
    """Find long pieces of lines that hold nothing but numbers.

    Parameters
    ----------
    lines : list of str
        All lines of a text.
    plan : Plan
        How they are split.

    Returns
    -------
    dict of int and numpy.ndarray
        First line -> the rows of the piece.

    Examples
    --------
    >>> found = pieces(["1,2"] * 40_000 + ["x"], Plan(",", ".", 2))
    >>> sorted(found), len(found[0])
    ([0, 20000], 20000)
    """
    out: dict[int, Values] = {}
    if plain_pattern(plan) is None or len(lines) <= _LINES:
        return out
    for start in range(0, len(lines) - _LINES, _LINES):
        part = lines[start : start + _LINES]
        values = _body(("\n".join(part) + "\n").encode(), plan)
        if values is not None and len(values) == len(part) and np.all(np.abs(values) < 9.8e37):
            out[start] = values
    return out


def _body(data: bytes, plan: Plan) -> Values | None:
    """Rows as numbers; None where one of them is no row of numbers."""
    import pandas as pd

    thousands = None
    if plan.delimiter not in (",", " "):
        other = b"." if plan.decimal == "," else b","
        if other in data:
            if re.search(
                rb"%b(?!\d{3}(?!\d))|\d{4}%b|(?<!\d)%b|(?<!\d)0\d*%b" % ((re.escape(other),) * 4),
                data,
            ):
                return None
            thousands = other.decode()
    try:
        frame = pd.read_csv(
            io.BytesIO(data), header=None, names=range(plan.width), dtype=np.float64,
            na_filter=False,
            sep=r"\s+" if plan.delimiter == " " else plan.delimiter, decimal=plan.decimal,
            thousands=thousands, skip_blank_lines=False, encoding="utf-8", low_memory=False,
        )  # fmt: skip
    except (ValueError, pd.errors.ParserError, UnicodeDecodeError):
        return None
    if not isinstance(frame.index, pd.RangeIndex):
        return None
    return frame.to_numpy()
