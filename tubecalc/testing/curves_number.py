"""Cells of a test file: numbers in either decimal sign, marks in place of numbers, time stamps."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from tubecalc.stock_cells import MISSING
from tubecalc.testing.curves_time import is_stamp

__all__ = [
    "BETWEEN", "Cell", "Signs", "evidence", "kind", "mark", "of_instrument", "remarked",
    "split_unit", "value",
]  # fmt: skip

Cell = str | float
_THIN = " \xa0\u202f\u2009\u2007\u2008"  # blanks that stand between thousands
BETWEEN = ".,'’" + _THIN
_SIGN = r"[+\-−]?"
_POWER = r"(?:[eEdD][+-]?\d{1,3})?"
_PLAIN = re.compile(rf"{_SIGN}(?:\d+([.,])?\d*|([.,])\d+){_POWER}")
_GROUPED = re.compile(
    rf"{_SIGN}\d{{1,3}}(?:([{BETWEEN}])\d{{3}})(?:\1\d{{3}})*(?:(?!\1)([.,])\d*)?{_POWER}"
)
_NONE = MISSING | {"nan", "null", "#n/a", "#nv", "#na", "#div/0!", "#value!", "invalid", "err"}
_NONE |= {"error", "1.#ind", "-1.#ind", "1.#qnan", "-nan", "nan(ind)", "-nan(ind)", "open"}
_DASHES = re.compile(r"[-–—.…_#]{2,}|#[A-ZÀ-Ü][A-ZÀ-Ü/0-9]{1,14}[!?]", re.IGNORECASE)
_BEYOND = re.compile(
    r"[+\-]?\s*(over|overload|over[- ]?range|over[- ]?flow|ol|o\.l\.?|o/l|0l|ovl|ovld|ovr|ovrld|ovf"
    r"|ovfl|ofl|ovrflw|sat|saturated|limit|inf|infinity|∞|1\.#inf|range|\*{2,})[.!]?"
    r"|[>≥]=?\s*[\d., ]+.{0,6}|[>]{2,}|[+]{2,}|\^{2,}",
    re.IGNORECASE,
)
_BOOKED = re.compile(rf"\(([\d{BETWEEN}]+)\)|([\d{BETWEEN}]*\d)[-−]")  # (5.5), 5.5-: both -5.5
_FRACTION = re.compile(r"([+\-−]?)(?:(\d+)[ -])?(\d{1,2})/(2|4|8|16|32|64)")
_LAKH = re.compile(rf"{_SIGN}\d{{1,2}}(?:,\d{{2}})+,\d{{3}}(?:\.\d*)?")  # thousands, then hundreds
_TIMES_TEN = re.compile(r"\s*[x×·*]\s*10\s*(?:\^|\*\*)\s*([+\-−]?\d{1,2})$")
_WITH_UNIT = re.compile(
    rf"([+\-−]?[\d.,][\d{BETWEEN}]*(?:[eE][+-]?\d+)?)\s*([A-Za-zµμ°%].{{0,11}})"
)
_TOLD = (  # words that follow a number and are no unit
    "peak|max|break|broke|bruch|riss|rupt|crack|fail|fract|slip|pause|hold|stop|end|start|snap|yield"
    "|first|last|see|here|pop|creak|click|noise|event"
)
_REMARKED = re.compile(
    rf"([+\-−]?\d[\d.,]*(?:[eE][+-]?\d{{1,3}})?)(?:\s*([<*!^†‡(\[{{?#←]\D*)|\s+((?:{_TOLD})\D*))",
    re.IGNORECASE,
)
_UNKNOWN = 9.9e37  # instruments send 9.9E37 beyond their range, 9.91E37 for no number (SCPI 1999)


def value(text: str, decimal: str) -> float | None:
    """Read a number, thousands in proper groups of three.

    Parameters
    ----------
    text : str
        One cell.
    decimal : str
        "." or ",".

    Returns
    -------
    float or None
        None where the text is no number under that decimal sign.

    Examples
    --------
    >>> value("1.336,52", ","), value("1.336,52", "."), value("1,5", ".")
    (1336.52, None, None)
    >>> value("1 234.5", "."), value("1,234", "."), value("1,234", ",")
    (1234.5, 1234.0, 1.234)
    >>> value("1 3/32", "."), value("12.5-", "."), value("1.2x10^3", "."), value("1,00,000", ".")
    (1.09375, -12.5, 1200.0, 100000.0)
    """
    text = _usual(text)
    part = _FRACTION.fullmatch(text)
    if part is not None:
        size = int(part[2] or 0) + int(part[3]) / int(part[4])
        return -size if part[1] in ("-", "−") else size
    plain = _PLAIN.fullmatch(text)
    if plain is not None:
        sign = plain[1] or plain[2]
        if sign is None or sign == decimal:
            return _float(text, decimal)
    grouped = _GROUPED.fullmatch(text)
    if grouped is None or grouped[1] == decimal or (grouped[2] or decimal) != decimal:
        return None
    if text.lstrip("+-−").startswith("0"):
        return None
    return _float(text.replace(grouped[1], ""), decimal)


def _usual(text: str) -> str:
    """Write a number as most do: (5.5) and 5.5- as -5.5, x10^3 as e3, 1,00,000 as 100,000."""
    if text.endswith((")", "-", "−")) and (booked := _BOOKED.fullmatch(text)):
        return f"-{booked[1] or booked[2]}"
    if "10" in text and (power := _TIMES_TEN.search(text)):
        return f"{text[: power.start()]}e{power[1].replace('−', '-')}"
    if text.count(",") > 1 and _LAKH.fullmatch(text):
        return text.replace(",", "")
    return text


def _float(text: str, decimal: str) -> float:
    text = text.replace("−", "-").replace(decimal, ".").lower().replace("d", "e")
    return float(text)


@dataclass
class Signs:
    """What the numbers of a file show: proven decimal signs, proven thousands, either."""

    decimal: set[str]
    thousands: set[str]
    either: set[str]
    example: str = ""

    def decide(self) -> tuple[str, bool]:
        """Give the decimal sign and whether another would fit as well.

        Returns
        -------
        tuple of str and bool
            The sign, and True where the user has to say.

        Examples
        --------
        >>> evidence(["0,5", "1.234,5"]).decide(), evidence(["1,234", "2,345"]).decide()
        ((',', False), (',', True))
        """
        proven = self.decimal - self.thousands
        if len(self.decimal) > 1:
            return ".", True
        if proven:
            return next(iter(proven)), False
        if self.thousands & {",", "."}:
            other = {",", "."} - self.thousands
            return (next(iter(other)), False) if other else (".", True)
        if self.either:
            return min(self.either), True
        return ".", False


def evidence(cells: Iterable[Cell]) -> Signs:
    """Collect what numbers show about their decimal sign.

    Parameters
    ----------
    cells : iterable of str or float
        Cells of the rows; floats (of a workbook) show nothing.

    Returns
    -------
    Signs
        Proven and possible signs.

    Examples
    --------
    >>> evidence(["0.125", "7"]).decimal
    {'.'}
    """
    out = Signs(set(), set(), set())
    for text in cells:
        if isinstance(text, float):
            continue
        text = _usual(text).lstrip("-") if text.endswith((")", "-", "−")) else _usual(text)
        plain, grouped = _PLAIN.fullmatch(text), _GROUPED.fullmatch(text)
        sign = plain and (plain[1] or plain[2])
        if (
            sign
            and grouped
            and not text.lstrip("+-−").startswith("0")
            and not re.search("[eEdD]", text)
        ):
            out.either.add(sign)
            out.example = out.example or text
        elif sign:
            out.decimal.add(sign)
        elif grouped and not plain:
            out.thousands.add(grouped[1])
            if grouped[2]:
                out.decimal.add(grouped[2])
    return out


def mark(text: str) -> str:
    """Tell what stands in place of a number.

    Parameters
    ----------
    text : str
        One cell.

    Returns
    -------
    str
        "beyond" the range of the sensor, "none" for no reading, "" for anything else.

    Examples
    --------
    >>> mark("OVER"), mark("---"), mark("> 2000"), mark("hello")
    ('beyond', 'none', 'beyond', '')
    """
    low = text.strip().lower()
    if low in _NONE or _DASHES.fullmatch(low):
        return "none"
    return "beyond" if _BEYOND.fullmatch(low) else ""


def of_instrument(number: float) -> str:
    """Tell whether a number is a mark: 9.9E37 and the like.

    Examples
    --------
    >>> of_instrument(9.9e37), of_instrument(9.91e37), of_instrument(12.0)
    ('beyond', 'none', '')
    """
    if abs(number) < _UNKNOWN * 0.999:
        return ""
    return "none" if abs(abs(number) / 9.91e37 - 1) < 1e-4 else "beyond"


def split_unit(text: str) -> tuple[str, str] | None:
    """Split a cell that carries its own unit.

    Parameters
    ----------
    text : str
        For example "1.5 kN".

    Returns
    -------
    tuple of str and str, or None
        Number and unit as written.

    Examples
    --------
    >>> split_unit("1.5 kN"), split_unit("-4g"), split_unit("boot ok")
    (('1.5', 'kN'), ('-4', 'g'), None)
    """
    match = _WITH_UNIT.fullmatch(text)
    if match is None or kind(match[1].strip()) != "n":
        return None
    return match[1].strip(), match[2].strip()


def remarked(text: str) -> tuple[str, str] | None:
    """Split a number from a remark behind it.

    Parameters
    ----------
    text : str
        One cell.

    Returns
    -------
    tuple of str and str, or None
        Number and remark; None where there is none, or the rest may be a unit or a mark.

    Examples
    --------
    >>> remarked("920.3 <-- peak"), remarked("12 BREAK"), remarked("12.5 kg @ 3 mm")
    (('920.3', '<-- peak'), ('12', 'BREAK'), None)
    """
    match = _REMARKED.fullmatch(text.strip())
    if match is None or not _PLAIN.fullmatch(match[1]):
        return None
    rest = (match[2] or match[3]).strip()
    return None if mark(rest) or mark(rest.strip("()[]{}<> ")) else (match[1], rest)


def kind(cell: Cell) -> str:
    """Tell what a cell may be.

    Parameters
    ----------
    cell : str or float
        One cell.

    Returns
    -------
    str
        "n" number, "e" empty, "m" no reading, "o" beyond the range, "t" time stamp, "x" text.

    Examples
    --------
    >>> "".join(kind(c) for c in ("1,5", "", "---", "OVER", "10:15:32.5", "CW", 2.0))
    'nemotxn'
    """
    if isinstance(cell, float):
        return "n"
    return _kept_kind(cell) if len(cell) < 40 else _kind(cell)


def _kind(cell: str) -> str:
    if not cell:
        return "e"
    if _PLAIN.fullmatch(cell) or _GROUPED.fullmatch(cell):
        return "n"
    usual = _usual(cell)
    if usual != cell and (_PLAIN.fullmatch(usual) or _GROUPED.fullmatch(usual)):
        return "n"
    if "/" in cell and _FRACTION.fullmatch(cell):
        return "n"
    found = mark(cell)
    if found:
        return "o" if found == "beyond" else "m"
    return "t" if is_stamp(cell) else "x"


_kept_kind = lru_cache(maxsize=8192)(_kind)  # a cell is looked at several times
