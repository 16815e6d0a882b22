"""Long files of nothing but numbers below their headings, read in one go."""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curves_body import between, lines_in, measured, numbers_of, thousands_of
from tubecalc.testing.curves_plan import plain_pattern
from tubecalc.testing.curves_rows import Lines, tables
from tubecalc.testing.curves_table import Plan, Table

__all__ = ["HEAD", "fast", "sample"]

HEAD = 65536  # bytes of the beginning that are looked at line by line
_FIRST = 8192  # of them, enough where no long lines stand above the rows
_PIECE = 8192
_BYTES = 4_000_000  # of a piece
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
    lines = [line for p in pieces for line in p.decode("utf-8", "replace").split("\n")]
    lines = [line.rstrip("\r") for line in lines]
    lines = [line for line in lines if line.strip()]
    return lines if len(lines) < 600 else [*lines[:300], *lines[300:-100:20], *lines[-100:]]


def fast(data: bytes, plan: Plan, path: str = "", *, cut: bool = False) -> Table | None:
    r"""Read a file whose rows are numbers without a break.

    Parameters
    ----------
    data : bytes
        UTF-8 text.
    plan : Plan
        How its lines are split.
    path : str, optional
        File that holds these very bytes, which is read on several threads; "" for none.
    cut : bool, optional
        Whether the file has one more line below, which was taken away.

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
    if plain_pattern(plan) is None or len(data) < HEAD:
        return None
    table = _beginning(data, plan, _FIRST) or _beginning(data, plan, HEAD)
    if table is None:
        return None
    start = 0
    for _ in range(table.first_line - 1):
        start = data.index(b"\n", start) + 1
    signs = thousands_of(data, plan, start)
    if signs is None:
        return None
    parted = signs.size > 0
    if path:
        rows, above = lines_in(data, start), table.first_line - 1
        values = numbers_of(path, plan, rows + cut, above=above, thousands=parted)
        values = None if values is None else values[:rows]
    else:
        values = _in_pieces(data, start, plan, parted=parted)
    if values is None or len(values) < table.rows or not measured(values):
        return None
    table.values = [values[:, c] for c in range(plan.width)]
    table.last_line = table.first_line + len(values) - 1
    table.thousands = table.thousands or (between(plan) if parted else "")
    return table


def _in_pieces(data: bytes, start: int, plan: Plan, *, parted: bool) -> Values | None:
    """Rows of a text as numbers, given up at the first piece that holds anything else."""
    if data.endswith((b"\n\n", b"\n\r\n")):
        data = data.rstrip(b"\r\n") + b"\n"
    out: list[Values] = []
    while start < len(data):
        stop = data.find(b"\n", start + _BYTES) + 1 or len(data)
        piece = data[start:stop]
        values = numbers_of(io.BytesIO(piece), plan, lines_in(piece), thousands=parted)
        if values is None:
            return None
        out.append(values)
        start = stop
    return np.concatenate(out) if out else None


def _beginning(data: bytes, plan: Plan, size: int) -> Table | None:
    """Table of the first bytes; None where more than headings and rows of numbers stand there."""
    cut = data.rfind(b"\n", 0, size)
    lines = [line.rstrip("\r") for line in data[:cut].decode("utf-8", "replace").split("\n")]
    found = tables(Lines(lines, plan), plan)
    if len(found) != 1 or found[0].rows < 3 or found[0].last_line != len(lines):
        return None
    table = found[0]
    if table.skipped or table.gaps or any(m.marks for m in table.marks):
        return None
    if len(table.names) != plan.width or table.last_line - table.first_line + 1 != table.rows:
        return None
    return table
