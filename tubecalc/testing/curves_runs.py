"""Long texts: lines that are decoded only when asked for, and rows read many at a time."""

from __future__ import annotations

import bisect
import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import overload

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curves_cells import Cells, cells_of, floats, stamps
from tubecalc.testing.curves_number import kind
from tubecalc.testing.curves_table import Plan

__all__ = ["Run", "Runs", "Text", "lines_in", "measured", "numbers_of", "thousands_of"]

Values = NDArray[np.float64]
LEAST = 64  # lines of a text, below which each is looked at by itself
_FIRST = 256  # lines read at once at the beginning, and where the columns change
_MOST = 65_536  # lines read at once further on
_PART = 250_000  # bytes that stay in the processor


class Text(Sequence[str]):
    r"""Lines of a text, decoded only when they are asked for.

    Parameters
    ----------
    data : bytes
        UTF-8.

    Examples
    --------
    >>> text = Text(b"a\nb\n")
    >>> len(text), text[1], text[2]
    (3, 'b', '')
    """

    def __init__(self, data: bytes) -> None:
        self.data = data
        codes = np.frombuffer(data, np.uint8)
        ends = [np.flatnonzero(codes[i : i + _PART] == 10) + i for i in range(0, len(data), _PART)]
        self.ends = np.concatenate([*ends, [len(data)]]).astype(np.intp)

    def __len__(self) -> int:
        return int(self.ends.size)

    def begin(self, i: int) -> int:
        """First byte of a line."""
        return int(self.ends[i - 1]) + 1 if i else 0

    @overload
    def __getitem__(self, i: int) -> str: ...
    @overload
    def __getitem__(self, i: slice) -> list[str]: ...
    def __getitem__(self, i: int | slice) -> str | list[str]:
        if isinstance(i, slice):
            return [self[k] for k in range(*i.indices(len(self)))]
        i = i + len(self) if i < 0 else i
        return self.data[self.begin(i) : int(self.ends[i])].decode("utf-8", "replace")

    def __iter__(self) -> Iterator[str]:
        return (self[i] for i in range(len(self)))

    def block(self, start: int, stop: int) -> bytes:
        """Bytes of some lines, with their ends."""
        return self.data[self.begin(start) : int(self.ends[stop - 1]) + 1]


@dataclass
class Run:
    """Rows that follow each other: numbers, words of columns of words, the sign of thousands."""

    numbers: Values
    words: dict[int, list[str]]
    thousands: str = ""
    thousands_row: int = 0
    marks: list[tuple[int, int, str]] = field(default_factory=list)  # row, column, mark

    @property
    def rows(self) -> int:
        """How many."""
        return len(self.numbers)


class Runs:
    """Rows of a text, read many at a time from the line on that is asked for.

    Parameters
    ----------
    text : Text
        All lines.
    plan : Plan
        How they are split.
    """

    def __init__(self, text: Text, plan: Plan) -> None:
        self.text = text
        last = len(text) - 1
        self.count = last + int(text.begin(last) < len(text.data))  # the end is no line
        self.replan(plan)

    def replan(self, plan: Plan) -> None:
        """Read what follows by another plan."""
        self.plan, self.size, self.low, self.high = plan, _FIRST, 0, 0
        self.able = not plan.questions and plan.width > 1 and bool(plan.delimiter)
        self.numeric = [c for c in range(plan.width) if c not in plan.texts | plan.stamps]
        self.quick = True

    def at(self, i: int) -> Run | None:
        """Rows from a line on; None where that line is no plain row."""
        if not self.able or self.count < LEAST or i >= self.count:
            return None
        if not self.low <= i < self.high:
            self._load(i)
        here = int(np.searchsorted(self.lines, i - self.low))
        if here == self.lines.size or self.lines[here] != i - self.low:
            return None
        stop = int(self.stops[np.searchsorted(self.stops, here, side="right")])
        words = {c: w[here:stop] for c, w in self.words.items()}
        run = Run(self.numbers[here:stop], words)
        first, last = (bisect.bisect_left(self.marks, (k, 0, "")) for k in (here, stop))
        run.marks = [(row - here, c, text) for row, c, text in self.marks[first:last]]
        signs = self.signs[here:stop]
        if signs.any():
            run.thousands_row = int(np.argmax(signs > 0))
            run.thousands = chr(int(signs[run.thousands_row]))
        return run

    def _load(self, i: int) -> None:
        """Read the lines from one on."""
        self.low, self.high, self.marks = i, min(i + self.size, self.count), []
        self.size = min(4 * self.size, _MOST)
        data = self.text.block(i, self.high)
        if not self._plain(data):
            self._mixed(data)
        self.stops = np.append(np.flatnonzero(np.diff(self.lines) != 1) + 1, self.lines.size)

    def _plain(self, data: bytes) -> bool:
        """Read lines that are all rows of numbers."""
        if self.plan.texts or self.plan.stamps or (sign := thousands_of(data, self.plan)) is None:
            return False
        values = numbers_of(io.BytesIO(data), self.plan, self.high - self.low, thousands=sign)
        if values is None or not measured(values):
            return False
        self.lines, self.numbers, self.words = np.arange(len(values)), values, {}
        self.signs = np.full(len(values), ord(sign) if sign else 0, np.uint32)
        return True

    def _mixed(self, data: bytes) -> None:
        """Read lines of which some are no plain rows, or with columns of words or stamps."""
        plan = self.plan
        cells = cells_of(data, plan.delimiter, plan.width)
        good = np.ones(cells.lines.size, dtype=bool)
        for c in plan.stamps:
            good &= stamps(cells, c)
        cells = cells.take(good) if not good.all() else cells
        values = self._quickly(cells, data)
        signs = np.zeros(cells.lines.size, np.uint32)
        if values is None:
            values = np.full((cells.lines.size, plan.width), np.nan)
            good = np.ones(cells.lines.size, dtype=bool)
            real = np.zeros(cells.lines.size, dtype=bool)
            for c in self.numeric:
                values[:, c], right, sign = floats(cells, c, plan.decimal)
                for row in np.flatnonzero(~right).tolist():
                    letter = kind(text := cells.word(row, c))
                    if letter in "mo":  # stands in place of a number
                        self.marks.append((row, c, text))
                        right[row] = True
                        real[row] |= letter == "o" or plan.width > 2
                good &= right
                signs = np.where(signs > 0, signs, sign)
            good &= real | ~np.isnan(values).all(axis=1)
            if not good.all():
                cells, values, signs = cells.take(good), values[good], signs[good]
                new = np.cumsum(good) - 1
                self.marks = [(int(new[r]), c, text) for r, c, text in self.marks if good[r]]
            self.marks.sort()
        self.lines, self.numbers, self.signs = cells.lines, values, signs
        self.words = {c: cells.words(c) for c in plan.stamps}
        for c in plan.texts:
            kept: dict[str, str] = {}
            self.words[c] = [kept.setdefault(w, w) for w in cells.words(c)]

    def _quickly(self, cells: Cells, data: bytes) -> Values | None:
        """Columns of numbers where every cell is one, without thousands."""
        if not self.quick or not cells.lines.size:
            return None
        if cells.lines.size < cells.count:
            lines = data.split(b"\n")
            data = b"\n".join(lines[i] for i in cells.lines.tolist()) + b"\n"
        found = numbers_of(io.BytesIO(data), self.plan, cells.lines.size, columns=self.numeric)
        self.quick = found is not None
        if found is None or not measured(found):
            return None
        if len(self.numeric) == self.plan.width:
            return found
        values = np.full((len(found), self.plan.width), np.nan)
        values[:, self.numeric] = found
        return values


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


def thousands_of(data: bytes, plan: Plan) -> str | None:
    """Give the sign between thousands of columns that are not parted by commas or blanks.

    Parameters
    ----------
    data : bytes
        Rows of numbers.
    plan : Plan
        How they are split.

    Returns
    -------
    str or None
        "" for none; None where it does not part groups of three.

    Examples
    --------
    >>> plan = Plan(";", ",", 2)
    >>> thousands_of(b"1.234,5;2", plan), thousands_of(b"1.5;2", plan), thousands_of(b"1;2", plan)
    ('.', None, '')
    """
    if plan.delimiter in (",", " "):
        return ""
    other = b"." if plan.decimal == "," else b","
    if other not in data:
        return ""
    sign, point = re.escape(other), re.escape(plan.decimal.encode())
    improper = rb"%b(?!\d{3}(?!\d))|\d{4}%b|(?<!\d)%b|(?<!\d)0\d*%b|%b\d*%b" % (
        sign, sign, sign, sign, point, sign,
    )  # fmt: skip
    return None if re.search(improper, data) else other.decode()


def numbers_of(
    source: str | io.BytesIO, plan: Plan, rows: int, *, above: int = 0, thousands: str = "",
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
    thousands : str, optional
        Sign between thousands.
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
            thousands=thousands or None, skip_blank_lines=False, encoding="utf-8",
            skiprows=above, compression=None, low_memory=isinstance(source, str), usecols=columns,
        )  # fmt: skip
    except (OSError, ValueError, pd.errors.ParserError, UnicodeDecodeError):
        return None
    if not isinstance(frame.index, pd.RangeIndex) or len(frame) != rows:
        return None
    return frame.to_numpy()
