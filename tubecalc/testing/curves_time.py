"""Time stamps of test files into seconds from the first row."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["ORDERS", "is_stamp", "seconds"]

_DATE = re.compile(
    r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})|(\d{1,2})[-/.](\d{1,2})[-/.](\d{4}|\d{2})", re.ASCII
)
_CLOCK = re.compile(
    r"(\d{1,3}):(\d{2})(?::(\d{2}))?(?:[.,](\d{1,9}))?\s*([ap]\.?m\.?)?\s*(?:z|utc|[+-]\d{2}:?\d{2})?",
    re.IGNORECASE | re.ASCII,
)
_AT_ONCE = 65_536  # stamps taken apart at once
_LONGEST = 60  # characters of a stamp
_SHAPES = 24  # of stamps looked for before each is looked at
_FIGURES = str.maketrans("0123456789", "9" * 10)
Ints = NDArray[np.intp]
Flags = NDArray[np.bool_]
ORDERS = {
    "h:min": "hours and minutes",
    "min:s": "minutes and seconds",
    "day first": "day before month",
    "month first": "month before day",
}


def _parts(text: str) -> tuple[str, str] | None:
    """Split date and clock of a stamp; either may be empty."""
    text = text.strip()
    date = _DATE.match(text)
    if date is None:
        return ("", text) if _CLOCK.fullmatch(text) else None
    clock = text[date.end() :].lstrip("Tt ,_")
    if clock and not _CLOCK.fullmatch(clock):
        return None
    return date[0], clock


def is_stamp(text: str) -> bool:
    """Tell whether a cell is a date, a time of day or both.

    Parameters
    ----------
    text : str
        One cell.

    Returns
    -------
    bool
        True for "10:15:32.5", "2026-11-05T10:15:32" or "05.11.2026".

    Examples
    --------
    >>> is_stamp("10:15:32.5"), is_stamp("05.11.2026 10:15:32,5"), is_stamp("12.5")
    (True, True, False)
    """
    return _parts(text) is not None


def _day(text: str, order: str) -> float:
    """Seconds at midnight of a date."""
    match = _DATE.fullmatch(text)
    if match is None:
        return float("nan")
    if match[1]:
        year, month, day = int(match[1]), int(match[2]), int(match[3])
    else:
        one, two, year = int(match[4]), int(match[5]), int(match[6])
        year += 2000 if year < 100 else 0
        day, month = (two, one) if order == "month first" else (one, two)
    try:
        return 86400.0 * datetime.date(year, month, day).toordinal()
    except ValueError:
        return float("nan")


@dataclass
class _Stamps:
    """Time stamps taken apart, one row each; what is no stamp has neither date nor clock."""

    dates: dict[str, int]
    date: Ints  # place in the dates, -1 for none
    clock: Flags
    short: Flags  # one colon only
    parted: Flags  # with decimals
    halved: Flags  # of the morning or the afternoon
    figures: NDArray[np.float64]  # first, second, third figure, fraction; NaN where not there
    later: Flags  # of the afternoon


def _taken_apart(cells: Sequence[str]) -> _Stamps:
    """Dates and clocks of stamps; those of one shape at once."""
    count = len(cells)
    flags = [np.zeros(count, dtype=bool) for _ in range(5)]
    out = _Stamps(
        {}, np.full(count, -1, dtype=np.intp), flags[0], flags[1], flags[2], flags[3],
        np.full((4, count), np.nan), flags[4],
    )  # fmt: skip
    for start in range(0, count, _AT_ONCE):
        part = cells[start : start + _AT_ONCE]
        shapes: dict[str, list[int]] = {}
        if max(map(len, part)) > _LONGEST:
            rest = np.arange(len(part))
        else:
            rest = _by_shape(part, start, out)
        for row in rest.tolist():
            shapes.setdefault(part[row].translate(_FIGURES), []).append(row)
        for shape, rows in shapes.items():
            some = [part[row] for row in rows]
            _same_shape(shape, some, _codes(some), np.array(rows) + start, out)
    return out


def _codes(cells: Sequence[str]) -> NDArray[np.uint32]:
    """Characters of cells, one row each, zeros behind shorter ones."""
    table = np.array(cells, dtype=np.str_)
    return table.view(np.uint32).reshape(len(cells), -1)


def _by_shape(cells: Sequence[str], start: int, out: _Stamps) -> Ints:
    """Take apart the stamps of the first shapes; gives the rows that are left."""
    codes = _codes(cells)
    table = np.where((codes >= 48) & (codes <= 57), 57, codes)
    rest = np.arange(len(cells))
    for _ in range(_SHAPES):
        if not rest.size:
            break
        first = table[rest[0]]
        same = (table[rest] == first).all(axis=1)
        rows = rest[same]
        shape = "".join(map(chr, first.tolist())).rstrip("\0")
        _same_shape(shape, [cells[i] for i in rows.tolist()], codes[rows], rows + start, out)
        rest = rest[~same]
    return rest


def _same_shape(
    shape: str, cells: list[str], codes: NDArray[np.uint32], rows: Ints, out: _Stamps
) -> None:
    """Take apart stamps that differ in their figures only."""
    parts = _parts(shape)
    if parts is None:
        return
    date, clock = parts
    first = len(shape) - len(shape.lstrip())
    if date:
        last = first + len(date)
        change = (codes[1:, first:last] != codes[:-1, first:last]).any(axis=1)
        begin = np.concatenate([[0], np.flatnonzero(change) + 1])
        texts = [cells[i][first:last] for i in begin.tolist()]
        places = [out.dates.setdefault(text, len(out.dates)) for text in texts]
        out.date[rows] = np.repeat(places, np.diff(np.append(begin, len(cells))))
    match = _CLOCK.fullmatch(clock) if clock else None
    if match is None:
        return
    out.clock[rows] = True
    out.short[rows] = clock.count(":") == 1
    out.parted[rows] = match[4] is not None
    half = (match[5] or "").lower()[:1]
    out.halved[rows], out.later[rows] = bool(half), half == "p"
    begin_of_clock = len(shape.rstrip()) - len(clock)
    for k in range(4):
        if match[k + 1] is None:
            continue
        figure = np.zeros(len(cells))
        low, high = match.span(k + 1)
        for c in range(begin_of_clock + low, begin_of_clock + high):
            figure = 10.0 * figure + (codes[:, c] - 48.0)
        out.figures[k, rows] = figure / 10.0 ** (high - low) if k == 3 else figure


def _clocks(found: _Stamps, told: str) -> NDArray[np.float64]:
    """Seconds since midnight; two figures are minutes and seconds where told so."""
    first, second, third, rest = found.figures
    rest = np.where(np.isnan(rest), 0.0, rest)
    hour = np.where(found.halved, first % 12 + np.where(found.later, 12, 0), first)
    two = 60.0 * first + second + rest if told == "min:s" else 3600.0 * hour + 60.0 * second
    out: NDArray[np.float64] = np.where(
        np.isnan(third), two, 3600.0 * hour + 60.0 * second + third + rest
    )
    return out


def seconds(
    cells: Sequence[str], told: str = ""
) -> tuple[NDArray[np.float64] | None, tuple[str, ...], str]:
    """Read time stamps.

    Parameters
    ----------
    cells : sequence of str
        One stamp a row; what is none becomes NaN.
    told : str, optional
        One of `ORDERS`, where the user has said which.

    Returns
    -------
    tuple of numpy.ndarray or None, tuple of str and str
        Seconds from the first stamp [s]; where two readings are possible, None and the keys of
        `ORDERS` that fit; a note, "" for none.

    Examples
    --------
    >>> seconds(["23:59:59.5", "00:00:00.25"])[0].tolist()
    [0.0, 0.75]
    >>> seconds(["10:15", "10:16"])[1]
    ('h:min', 'min:s')
    """
    found = _taken_apart(cells)
    if not found.clock.any():
        return np.full(len(cells), np.nan), (), ""
    short = found.clock & found.short
    if (short & found.halved).any():
        told = "h:min"
    elif (short & found.parted).any():
        told = "min:s"
    if short.any() and told not in ("h:min", "min:s"):
        return None, ("h:min", "min:s"), ""
    dates, order = list(found.dates), "day first"
    if len(dates) > 1:
        order = _order(dates, told)
        if not order:
            return None, ("day first", "month first"), ""
    days = np.zeros(len(dates) + 1)  # the last one: no date
    if len(dates) > 1:
        days[:-1] = [_day(date, order) for date in dates]
    out = days[found.date] + _clocks(found, told)
    note = ""
    if len(dates) < 2:
        steps = np.diff(out[np.isfinite(out)])
        wraps = np.flatnonzero(steps < -43200.0)
        if wraps.size:
            good = np.flatnonzero(np.isfinite(out))
            for at in wraps:
                out[good[at + 1] :] += 86400.0
            note = "The clock passes midnight; the time goes on."
    first = out[np.isfinite(out)]
    return out - (first[0] if first.size else 0.0), (), note


def _order(dates: list[str], told: str) -> str:
    """Order of day and month where a test runs over several dates; "" where both fit."""
    matches = [m for m in map(_DATE.fullmatch, dates) if m and not m[1]]
    if not matches or any(int(m[4]) > 12 for m in matches):
        return "day first"
    if any(int(m[5]) > 12 for m in matches):
        return "month first"
    return told if told in ("day first", "month first") else ""
