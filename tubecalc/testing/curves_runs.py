"""Long texts: lines that are decoded only when asked for, and rows read many at a time."""

from __future__ import annotations

import bisect
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import overload

import numpy as np
from numpy.typing import NDArray

from tubecalc.testing.curves_body import between, measured, numbers_of, thousands_of
from tubecalc.testing.curves_cells import Cells, cells_of, floats, stamps
from tubecalc.testing.curves_number import kind
from tubecalc.testing.curves_table import Plan

__all__ = ["Run", "Runs", "Text"]

Values = NDArray[np.float64]
Codes = NDArray[np.uint32]
LEAST = 64  # lines of a text, below which each is looked at by itself
SHORT = 4  # rows that follow each other, below which each is looked at by itself
_FIRST = 256  # lines read at once at the beginning, and where the columns change
_MOST = 65_536  # lines read at once further on
_MISSES = 2  # after which the next pieces are taken for such as well
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
        self.replan(plan, 0)

    def replan(self, plan: Plan, begin: int) -> None:
        """Read what follows by another plan, from a line on."""
        self.plan, self.size, self.low, self.high = plan, _FIRST, 0, 0
        self.begin = begin
        self.able = plan.width > 1 and bool(plan.delimiter)
        self.numeric = [c for c in range(plan.width) if c not in plan.texts | plan.stamps]
        self.misses = 0  # pieces one after the other in which a cell was no plain number

    def at(self, i: int) -> Run | None:
        """Rows from a line on; None where that line is no plain row."""
        if not self.able or self.count < LEAST or not self.begin <= i < self.count:
            return None
        if not self.low <= i < self.high:
            self._load(i)
        if i not in self.found:
            return None
        here, stop = self.found[i]
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
        self.low, self.high = i, min(i + self.size, self.count)
        self.marks: list[tuple[int, int, str]] = []
        self.size = min(4 * self.size, _MOST)
        data = self.text.block(i, self.high)
        if not self._plain(data):
            self._mixed(data)
        first = np.flatnonzero(np.diff(self.lines, prepend=-2) != 1)
        past = np.append(first[1:], self.lines.size)
        first, past = first[past - first >= SHORT], past[past - first >= SHORT]
        lines = (self.lines[first] + i).tolist()
        self.found = dict(
            zip(lines, zip(first.tolist(), past.tolist(), strict=True), strict=True)
        )  # line -> the rows that follow each other from there on

    def _plain(self, data: bytes) -> bool:
        """Read lines that are all rows of numbers."""
        if self.plan.texts or self.plan.stamps or self.plan.questions:
            return False
        found = self._numbers(data, self.high - self.low)
        if found is None:
            return False
        self.numbers, self.signs = found
        self.lines = np.arange(len(self.numbers))
        self.words: dict[int, list[str]] = {}
        return True

    def _numbers(self, data: bytes, rows: int) -> tuple[Values, Codes] | None:
        """Columns of numbers, and the sign between thousands in each row."""
        at = thousands_of(data, self.plan)
        if at is None:
            return None
        values = numbers_of(io.BytesIO(data), self.plan, rows, thousands=at.size > 0)
        if values is None or not measured(values):
            return None
        signs = np.zeros(rows, np.uint32)
        if at.size:
            ends = np.flatnonzero(np.frombuffer(data, np.uint8) == 10)
            signs[np.searchsorted(ends, at)] = ord(between(self.plan))
        return values, signs

    def _mixed(self, data: bytes) -> None:
        """Read lines of which some are no plain rows, or with columns of words or stamps."""
        plan = self.plan
        cells = cells_of(data, plan.delimiter, plan.width)
        good = np.ones(cells.lines.size, dtype=bool)
        for c in plan.stamps:
            good &= stamps(cells, c)
        cells = cells.take(good) if not good.all() else cells
        if plan.questions:
            self._doubtful(cells)
            return
        found = self._quickly(cells, data)
        if found is not None:
            values, signs = found
        else:
            signs = np.zeros(cells.lines.size, np.uint32)
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
        self.words |= {c: cells.repeated(c) for c in plan.texts}

    def _doubtful(self, cells: Cells) -> None:
        """Keep rows as text whose numbers may be read in two ways."""
        good, real = np.ones((2, cells.lines.size), dtype=bool)
        real[:] = False
        for c in self.numeric:
            values, right, _ = floats(cells, c, ".")
            others, also, _ = floats(cells, c, ",")
            good &= right | also
            real |= ~np.isnan(values) | ~np.isnan(others)
        cells = cells.take(good & real)
        self.lines, self.signs = cells.lines, np.zeros(cells.lines.size, np.uint32)
        self.numbers = np.full((cells.lines.size, self.plan.width), np.nan)
        self.words = {c: cells.words(c) for c in range(self.plan.width)}

    def _quickly(self, cells: Cells, data: bytes) -> tuple[Values, Codes] | None:
        """Columns of numbers where every cell is one."""
        if not cells.lines.size:
            return None
        if self.misses > _MISSES:
            self.misses -= 1  # tried again later
            return None
        if cells.lines.size < cells.count:
            lines = data.split(b"\n")
            data = b"\n".join(lines[i] for i in cells.lines.tolist()) + b"\n"
        found = None
        if len(self.numeric) == self.plan.width:
            found = self._numbers(data, cells.lines.size)
        elif not cells.holds(between(self.plan), self.numeric):
            read = numbers_of(io.BytesIO(data), self.plan, cells.lines.size, columns=self.numeric)
            if read is not None and measured(read):
                values = np.full((len(read), self.plan.width), np.nan)
                values[:, self.numeric] = read
                found = values, np.zeros(len(read), np.uint32)
        self.misses = self.misses + 1 if found is None else 0
        if self.misses > _MISSES:
            self.misses += 8
        return found
