"""Cells of many lines at once: where they lie, the numbers in them, the shape of their stamps.

What is not understood here is only said to be so; such a line is then looked at by itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curves_number import BETWEEN, kind, value

__all__ = ["Cells", "cells_of", "floats", "stamps"]

Ints = NDArray[np.intp]
Flags = NDArray[np.bool_]
Codes = NDArray[Any]  # of characters, uint8 where all are ASCII, else uint32
_LAST = 0x3001
_BLANK = np.zeros(_LAST + 1, dtype=bool)
_BLANK[[c for c in range(_LAST + 1) if chr(c).isspace()]] = True
_LONGEST = 40  # characters of a number or a stamp
_EXACT = 15  # digits of a whole number that a float holds exactly
_MOST_POWER = 22  # power of ten that a float holds exactly
_TENS = 10.0 ** np.arange(_MOST_POWER + 1)
_SHAPES = 64  # of time stamps or words that are looked for in a column


@dataclass
class Cells:
    """Cells of the lines that have as many as the rows.

    Attributes
    ----------
    text : str
        All lines.
    codes : numpy.ndarray
        Its characters.
    lines : numpy.ndarray
        Which lines, counted from 0; all others have other cells.
    left, right : numpy.ndarray
        First character and one past the last of each cell, blanks and quotes left away; one row a
        line.
    count : int
        Lines of the text.
    """

    text: str
    codes: Codes
    lines: Ints
    left: Ints
    right: Ints
    count: int

    def words(self, column: int) -> list[str]:
        """Cells of a column as text."""
        text = self.text
        edges = zip(self.left[:, column].tolist(), self.right[:, column].tolist(), strict=True)
        return [text[a:b] for a, b in edges]

    def word(self, row: int, column: int) -> str:
        """One cell as text."""
        return self.text[int(self.left[row, column]) : int(self.right[row, column])]

    def holds(self, sign: str, columns: list[int]) -> bool:
        """Tell whether a character stands in any cell of some columns."""
        if sign not in self.text:
            return False
        count = np.concatenate([[0], np.cumsum(self.codes == ord(sign))])
        return bool((count[self.right[:, columns]] > count[self.left[:, columns]]).any())

    def repeated(self, column: int) -> list[str]:
        """Cells of a column as text, where few words are repeated many times."""
        left, right = self.left[:, column], self.right[:, column]
        length = right - left
        longest = int(length.max(initial=0))
        if longest > _LONGEST:
            return self.words(column)
        at = np.arange(longest)
        table = self.codes[np.minimum(left[:, None] + at, self.codes.size - 1)]
        table[at >= length[:, None]] = 0
        out = np.empty(left.size, dtype=object)
        rest = np.arange(left.size)
        for _ in range(_SHAPES):
            if not rest.size:
                return list(out)
            same = (table == table[0]).all(axis=1)
            out[rest[same]] = self.word(int(rest[0]), column)
            rest, table = rest[~same], table[~same]
        return self.words(column)

    def take(self, rows: Flags) -> Cells:
        """The cells of some of the lines."""
        return Cells(self.text, self.codes, self.lines[rows], self.left[rows], self.right[rows],
                     self.count)  # fmt: skip


def cells_of(data: bytes, delimiter: str, width: int) -> Cells:
    r"""Find the cells of all lines that have so many.

    Parameters
    ----------
    data : bytes
        Whole lines, UTF-8.
    delimiter : str
        What parts the cells; " " for any number of blanks.
    width : int
        Cells of a row [-].

    Returns
    -------
    Cells
        Lines with quotes that do not stand around a whole cell are left away as well.

    Examples
    --------
    >>> found = cells_of(b'1;"2;5"\n3;\n1;2;3\n', ";", 2)
    >>> found.lines.tolist(), found.words(0), found.words(1)
    ([0, 1], ['1', '3'], ['2;5', ''])
    """
    text = data.decode("utf-8", "replace")
    codes: Codes = np.frombuffer(data, np.uint8)
    if not data.isascii():
        codes = np.frombuffer(text.encode("utf-32-le"), np.uint32)
    ends = np.flatnonzero(codes == 10)
    if codes.size and codes[-1] != 10:
        ends = np.append(ends, codes.size)
    starts = np.concatenate([[0], ends[:-1] + 1]).astype(np.intp)
    stops = _without(codes, starts, ends, 13)
    quotes: Ints | None = None
    if b'"' in data:
        quotes = np.concatenate([[0], np.cumsum(codes == 34)]).astype(np.intp)
    if delimiter == " ":
        found = _blanks(codes, starts, stops, quotes, width)
    else:
        found = _marks(codes, starts, ends, stops, quotes, (ord(delimiter), width))
    lines, left, right = found
    return Cells(text, codes, lines, left, right, ends.size)


def _blank(codes: Codes) -> Flags:
    return _BLANK[codes] if codes.dtype == np.uint8 else _BLANK[np.minimum(codes, _LAST)]


def _without(codes: Codes, left: Ints, right: Ints, code: int) -> Ints:
    """Ends without a character that stands there any number of times."""
    while (more := (right > left) & (codes[np.maximum(right - 1, 0)] == code)).any():
        right = right - more
    return right


def _trimmed(codes: Codes, left: Ints, right: Ints) -> tuple[Ints, Ints]:
    """Cells without blanks around them."""
    last = max(codes.size - 1, 0)
    while (more := (left < right) & _blank(codes[np.minimum(left, last)])).any():
        left = left + more
    while (more := (left < right) & _blank(codes[np.maximum(right - 1, 0)])).any():
        right = right - more
    return left, right


def _blanks(
    codes: Codes, starts: Ints, stops: Ints, quotes: Ints | None, width: int
) -> tuple[Ints, Ints, Ints]:
    """Cells parted by blanks."""
    blank = _blank(codes)
    edge = np.concatenate([[True], blank, [True]])
    left = np.flatnonzero(~blank & edge[:-2])
    right = np.flatnonzero(~blank & edge[2:]) + 1
    first = np.searchsorted(left, starts)
    good = np.searchsorted(left, stops) - first == width
    if quotes is not None:
        good &= quotes[stops] == quotes[starts]
    lines = np.flatnonzero(good)
    at = first[lines, None] + np.arange(width)
    return lines, left[at], right[at]


def _marks(
    codes: Codes, starts: Ints, ends: Ints, stops: Ints, quotes: Ints | None, how: tuple[int, int]
) -> tuple[Ints, Ints, Ints]:
    """Cells parted by a sign, which does not count within quotes."""
    mark, width = how
    parts = codes == mark
    if quotes is not None:
        lengths = np.diff(np.append(starts, codes.size))
        within = (quotes[1:] - np.repeat(quotes[starts], lengths)) & 1
        parts &= within == 0
    places = np.flatnonzero(parts)
    first = np.searchsorted(places, starts)
    good = np.searchsorted(places, ends) - first == width - 1
    if quotes is not None:
        good &= (quotes[ends] - quotes[starts]) % 2 == 0
    lines = np.flatnonzero(good)
    inner = places[first[lines, None] + np.arange(width - 1)]
    raw_left = np.concatenate([starts[lines, None], inner + 1], axis=1)
    raw_right = np.concatenate([inner, stops[lines, None]], axis=1)
    left, right = _trimmed(codes, raw_left, raw_right)
    if quotes is None:
        return lines, left, right
    inside = quotes[raw_right] - quotes[raw_left]
    last = max(codes.size - 1, 0)
    whole = (inside == 2) & (raw_right - raw_left >= 2) & (left == raw_left) & (right == raw_right)
    whole &= (codes[np.minimum(left, last)] == 34) & (codes[np.maximum(right - 1, 0)] == 34)
    good = (whole | (inside == 0)).all(axis=1)
    lines, left, right, whole = lines[good], left[good], right[good], whole[good]
    left, right = _trimmed(codes, left + whole, right - whole)
    return lines, left, right


def stamps(cells: Cells, column: int) -> Flags:
    r"""Tell which cells of a column are time stamps.

    Parameters
    ----------
    cells : Cells
        Of many lines.
    column : int
        Which.

    Returns
    -------
    numpy.ndarray
        True also for an empty cell; False where it is none, or of a shape that is rare.

    Examples
    --------
    >>> stamps(cells_of(b"10:15:30\n10:15\nten\n", ",", 1), 0).tolist()
    [True, True, False]
    """
    left, right = cells.left[:, column], cells.right[:, column]
    good: Flags = left == right
    rest = np.flatnonzero(~good & (right - left <= _LONGEST))
    if not rest.size:
        return good
    length = (right - left)[rest]
    at = np.arange(int(length.max()))
    table = cells.codes[np.minimum(left[rest, None] + at, cells.codes.size - 1)]
    table = np.where((table >= 48) & (table <= 57), 57, table)
    table[at >= length[:, None]] = 0
    for _ in range(_SHAPES):
        if not rest.size:
            break
        same = (table == table[0]).all(axis=1)
        shape = "".join(map(chr, table[0].tolist())).rstrip("\0")
        good[rest[same]] = kind(shape) == "t"
        rest, table = rest[~same], table[~same]
    return good


@dataclass
class _Reading:
    """Numbers while they are read character by character."""

    mantissa: NDArray[np.float64]
    good: Flags
    digits: Ints
    after: Ints  # digits behind the decimal sign
    point: Flags
    group: Ints  # digits since the last sign between thousands
    sign: NDArray[np.uint32]  # between thousands
    power: Flags
    power_digits: Ints
    power_value: Ints
    power_sign: Ints


def floats(
    cells: Cells, column: int, decimal: str
) -> tuple[NDArray[np.float64], Flags, NDArray[np.uint32]]:
    r"""Read the numbers of a column.

    Parameters
    ----------
    cells : Cells
        Of many lines.
    column : int
        Which.
    decimal : str
        "." or ",".

    Returns
    -------
    values : numpy.ndarray
        NaN for an empty cell, and where there is no number.
    good : numpy.ndarray
        Whether a cell is a number, thousands in proper groups of three, or empty.
    signs : numpy.ndarray
        Code of the sign between thousands; 0 for none.

    Examples
    --------
    >>> found = floats(cells_of(b"1.234,5\n-2e3\n1.23\n\nOVER\n", ";", 1), 0, ",")
    >>> found[0][:2].tolist(), found[1].tolist()
    ([1234.5, -2000.0], [True, True, False, True, False])
    """
    codes, left, right = cells.codes, cells.left[:, column], cells.right[:, column]
    last, count = max(codes.size - 1, 0), left.size
    empty = left == right
    first = codes[np.minimum(left, last)]
    minus = ~empty & ((first == 45) | (first == 0x2212))
    start = left + (minus | (~empty & (first == 43)))
    zeros = np.zeros(count, dtype=np.intp)
    no = np.zeros(count, dtype=bool)
    out = _Reading(
        np.zeros(count), right - left <= _LONGEST, zeros.copy(), zeros.copy(), no.copy(),
        zeros.copy(), np.zeros(count, np.uint32), no.copy(), zeros.copy(), zeros.copy(),
        zeros.copy(),
    )  # fmt: skip
    between = [ord(s) for s in BETWEEN if s != decimal]
    longest = int(np.max((right - start)[out.good], initial=0))
    for j in range(longest):
        at = start + j
        code = codes[np.minimum(at, last)]
        _step(out, code, at < right, ord(decimal), between)
    good = out.good & (out.digits > 0)
    good &= ~out.power | ((out.power_digits >= 1) & (out.power_digits <= 3))
    parted = out.sign > 0
    good &= ~parted | out.point | out.power | (out.group == 3)
    good &= ~parted | (codes[np.minimum(start, last)] != 48)
    power = out.power_value * np.where(out.power_sign < 0, -1, 1) - out.after
    exact = (out.digits <= _EXACT) & (np.abs(power) <= _MOST_POWER)
    ten = _TENS[np.minimum(np.abs(power), _MOST_POWER)]
    values = np.where(power < 0, out.mantissa / ten, out.mantissa * ten)
    values = np.where(minus, -values, values)
    for row in np.flatnonzero(good & ~exact).tolist():
        read = value(cells.text[left[row] : right[row]], decimal)
        good[row] = read is not None
        values[row] = np.nan if read is None else read
    values[empty | ~good] = np.nan
    return values, good | empty, np.where(good, out.sign, 0)


def _step(out: _Reading, code: Codes, live: Flags, point: int, between: list[int]) -> None:
    """Read one more character of every number."""
    figure = code - code.dtype.type(48)  # wraps below "0"
    digit = live & (figure <= 9)
    other = live & ~digit
    if out.power.any():
        _power_digits(out, figure, digit & out.power)
        digit = digit & ~out.power
    out.mantissa = np.where(digit, out.mantissa * 10.0 + figure, out.mantissa)
    out.digits += digit
    out.after += digit & out.point
    out.group += digit & ~out.point
    if not other.any():
        return
    is_point = other & (code == point)
    out.good &= ~(is_point & (out.point | out.power | ((out.sign > 0) & (out.group != 3))))
    out.point |= is_point
    other &= ~is_point
    if other.any():
        _rare(out, code, other, between)


def _power_digits(out: _Reading, figure: Codes, digit: Flags) -> None:
    out.power_value = np.where(
        digit & (out.power_digits < 4), out.power_value * 10 + figure.astype(np.intp),
        out.power_value,
    )  # fmt: skip
    out.power_digits += digit


def _rare(out: _Reading, code: Codes, other: Flags, between: list[int]) -> None:
    """Read signs between thousands and powers of ten."""
    power = other & ((code == 101) | (code == 69))
    out.good &= ~(power & (out.power | (out.digits == 0)))
    out.good &= ~(power & (out.sign > 0) & ~out.point & (out.group != 3))
    sign = other & out.power & ((code == 43) | (code == 45))
    out.good &= ~(sign & ((out.power_digits > 0) | (out.power_sign != 0)))
    out.power_sign = np.where(sign, np.where(code == 45, -1, 1), out.power_sign)
    out.power |= power
    parts = other & ~power & ~sign & np.isin(code, between)
    if parts.any():
        wrong = out.point | out.power | (out.group == 0) | (out.group > 3)
        wrong |= (out.sign > 0) & ((out.group != 3) | (out.sign != code))
        out.good &= ~(parts & wrong)
        out.sign = np.where(parts, code, out.sign).astype(np.uint32)
        out.group[parts] = 0
    out.good &= ~(other & ~power & ~sign & ~parts)
