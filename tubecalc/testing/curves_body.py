"""Rows of nothing but numbers read at once, by the reader that pandas has."""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curves_table import Plan

__all__ = ["between", "lines_in", "measured", "numbers_of", "thousands_of"]

Values = NDArray[np.float64]
Ints = NDArray[np.intp]
_PART = 250_000  # bytes that stay in the processor


def lines_in(data: bytes, start: int = 0) -> int:
    r"""Count the lines of a text from a place on.

    Parameters
    ----------
    data : bytes
        Text.
    start : int, optional
        First byte.

    Returns
    -------
    int

    Examples
    --------
    >>> lines_in(b"a\nb\nc"), lines_in(b"a\nb\n")
    (3, 2)
    """
    codes = np.frombuffer(data, np.uint8)[start:]
    ends = sum(
        int(np.count_nonzero(codes[i : i + _PART] == 10)) for i in range(0, codes.size, _PART)
    )
    return ends + (not data.endswith(b"\n"))


def measured(values: Values) -> bool:
    """Tell whether all values are numbers, and none of them stands for a mark.

    Parameters
    ----------
    values : numpy.ndarray
        As read.

    Returns
    -------
    bool

    Examples
    --------
    >>> measured(np.array([1.0, -2.0])), measured(np.array([1.0, 9.9e37]))
    (True, False)
    """
    return bool(values.size) and float(values.min()) > -9.8e37 and float(values.max()) < 9.8e37


def thousands_of(data: bytes, plan: Plan, start: int = 0) -> Ints | None:
    """Find the signs between thousands: points beside decimal commas, else commas.

    Parameters
    ----------
    data : bytes
        Rows of numbers.
    plan : Plan
        How they are split; commas that part cells are none, those within quotes are.
    start : int, optional
        First byte that is looked at.

    Returns
    -------
    numpy.ndarray or None
        Their bytes; None where one does not part groups of three.

    Examples
    --------
    >>> plan = Plan(";", ",", 2)
    >>> thousands_of(b"1.234,5;2", plan).tolist(), thousands_of(b"1.5;2", plan)
    ([1], None)
    """
    sign = between(plan)
    if data.find(sign.encode(), start) < 0 or (plan.delimiter == sign and b'"' not in data):
        return np.zeros(0, dtype=np.intp)
    codes = np.frombuffer(data, np.uint8)
    at = np.flatnonzero(codes[start:] == ord(sign)) + start
    if plan.delimiter == sign:
        quotes = np.cumsum(codes[start:] == 34, dtype=np.uint8)  # even or odd is enough
        at = at[quotes[at - start] % 2 == 1]
    last = codes.size - 1

    def figure(step: int) -> NDArray[np.bool_]:
        code = codes[np.clip(at + step, 0, last)]
        return (code >= 48) & (code <= 57) & (at + step >= start) & (at + step <= last)

    one, two, three = figure(-1), figure(-1) & figure(-2), figure(-1) & figure(-2) & figure(-3)
    proper = one & ~(three & figure(-4)) & figure(1) & figure(2) & figure(3) & ~figure(4)
    begin = at - 1 - two - three  # first figure of the group before
    before = np.where(begin > start, codes[np.maximum(begin - 1, 0)], 0)
    proper &= (codes[begin] != 48) | (before == ord(sign))
    proper &= before != ord(plan.decimal)
    return at if proper.all() else None


def between(plan: Plan) -> str:
    """Sign that may stand between thousands.

    Parameters
    ----------
    plan : Plan
        How numbers are written.

    Returns
    -------
    str

    Examples
    --------
    >>> between(Plan(";", ",", 2)), between(Plan(",", ".", 2))
    ('.', ',')
    """
    return "." if plan.decimal == "," else ","


def numbers_of(
    source: str | io.BytesIO, plan: Plan, rows: int, *, above: int = 0, thousands: bool = False,
    columns: list[int] | None = None,
) -> Values | None:  # fmt: skip
    r"""Read rows that hold nothing but numbers.

    Parameters
    ----------
    source : str or io.BytesIO
        Path of a file, which is read on several threads, or bytes.
    plan : Plan
        How the rows are split.
    rows : int
        How many there are [-].
    above : int, optional
        Lines of the file above them [-].
    thousands : bool, optional
        Whether there are signs between thousands, as `thousands_of` finds them.
    columns : list of int, optional
        Those that are read; all by default.

    Returns
    -------
    numpy.ndarray or None
        None where one of the rows is no row of numbers, or another count of them is found.

    Examples
    --------
    >>> plan = Plan(",", ".", 2)
    >>> numbers_of(io.BytesIO(b"1,2\n3,4\n"), plan, 2).tolist()
    [[1.0, 2.0], [3.0, 4.0]]
    >>> numbers_of(io.BytesIO(b"1,2\n3\n"), plan, 2) is None
    True
    """
    import pandas as pd

    try:
        frame = pd.read_csv(
            source, header=None, names=range(plan.width), na_filter=False,
            dtype=dict.fromkeys(columns, np.float64) if columns else np.float64,
            sep=r"\s+" if plan.delimiter == " " else plan.delimiter, decimal=plan.decimal,
            thousands=between(plan) if thousands else None, skip_blank_lines=False,
            skiprows=above, low_memory=isinstance(source, str), usecols=columns,
            encoding="utf-8", compression=None,
        )  # fmt: skip
    except (OSError, ValueError, pd.errors.ParserError, UnicodeDecodeError):
        return None
    if not isinstance(frame.index, pd.RangeIndex) or len(frame) != rows:
        return None
    return frame.to_numpy()
