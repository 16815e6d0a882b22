"""Time stamps of test files into seconds from the first row."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

__all__ = ["ORDERS", "is_stamp", "seconds"]

_DATE = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})|(\d{1,2})[-/.](\d{1,2})[-/.](\d{4}|\d{2})")
_CLOCK = re.compile(
    r"(\d{1,3}):(\d{2})(?::(\d{2}))?(?:[.,](\d{1,9}))?\s*([ap]\.?m\.?)?\s*(?:z|utc|[+-]\d{2}:?\d{2})?",
    re.IGNORECASE,
)
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


def _clock(text: str, short: str) -> float:
    """Seconds since midnight; two parts begin with minutes where `short` is "min:s"."""
    match = _CLOCK.fullmatch(text)
    if match is None:
        return float("nan")
    first, second = int(match[1]), int(match[2])
    rest = float(f"0.{match[4]}") if match[4] else 0.0
    if match[3] is None:
        return 60.0 * first + second + rest if short == "min:s" else 3600.0 * first + 60.0 * second
    half = (match[5] or "").lower()[:1]
    hour = first % 12 + (12 if half == "p" else 0) if half else first
    return 3600.0 * hour + 60.0 * second + int(match[3]) + rest


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
    pairs = [_parts(cell) or ("", "") for cell in cells]
    clocks = [clock for _, clock in pairs if clock]
    dates = list(dict.fromkeys(date for date, _ in pairs if date))
    short = [c for c in clocks if c.count(":") == 1]
    if not clocks:
        return np.full(len(pairs), np.nan), (), ""
    if short and any(re.search("[.,]", c) for c in short):
        told = "min:s"
    if short and told not in ("h:min", "min:s"):
        return None, ("h:min", "min:s"), ""
    order = "day first"
    if len(dates) > 1:
        order = _order(dates, told)
        if not order:
            return None, ("day first", "month first"), ""
    days = {date: _day(date, order) for date in dates} if len(dates) > 1 else {}
    out = np.array([days.get(date, 0.0) + _clock(clock, told) for date, clock in pairs])
    note = ""
    if not days:
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
