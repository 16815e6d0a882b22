"""Cells of a stock list into millimetres, counts and prices; what is not a size is refused."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from tubecalc.errors import InputError
from tubecalc.stock_read import Cell
from tubecalc.stock_tables import GAUGES, PIPES, Pipe, by_dn
from tubecalc.stock_words import UNIT_WORDS
from tubecalc.unit_text import split_quantity
from tubecalc.units import to_si

__all__ = ["MISSING", "Size", "is_date", "nominal", "price", "quantity", "size"]

MISSING = {"", "-", "–", "—", "n/a", "na", "n.a.", "none", "nil", "tbc", "tba", "?", "poa"}
_MONTH = r"(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DAY_MONTH = re.compile(rf"(\d{{1,2}})[-/. ]{_MONTH}([-/. ]\d{{2,4}})?", re.IGNORECASE)
_MONTH_NUMBER = re.compile(rf"{_MONTH}[-/. ](\d{{1,4}})", re.IGNORECASE)
_NUMBERS_DATE = re.compile(r"\d{4}-\d{2}-\d{2}.*|\d{1,2}([/.-])\d{1,2}\1(\d{4}|\d{2})")
_GAUGE = re.compile(r"(\d{1,2})\s*(swg|bwg|awg|msg|usg|ga|g|gauge|gage|#)\.?", re.IGNORECASE)
_NAMED_FIRST = re.compile(r"(swg|bwg|awg|msg|usg|ga|gauge|gage|#)\s*(\d{1,2})", re.IGNORECASE)
_NPS = r"(?:\d{1,2}(?:\s*-\s*|\s+))?\d{1,2}(?:\s*/\s*\d)?|\d{1,2}\.\d{1,2}"
_PIPE = re.compile(
    rf"(?:(?P<tag>nps|nb)\s*)?(?P<nps>{_NPS})\s*(?:\"|in|inch)?\s*(?P<nb>nps|nb)?\s*,?\s*"
    r"(?:sch(?:edule|\.)?\s*(?P<sch>\d{1,3})\s*s?)?",
    re.IGNORECASE,
)
_DN = re.compile(r"dn\s*(?P<dn>\d{1,3})\s*,?\s*(?:sch(?:edule|\.)?\s*(?P<sch>\d{1,3})s?)?", re.I)
_TOLERANCE = re.compile(
    r"(.+?)\s*(?:±|\+/-|\+-)\s*([\d.]+)\s*(\S*)"
    r"|(.+?)\s+([-+][\d.]+\s*/\s*[-+]?[\d.]+)\s*([a-z\"]*)",
    re.IGNORECASE,
)
_ABOUT = re.compile(
    r"(ca\.?|circa|~|≈|approx\.?|about|abt\.?|etwa|env\.?|[<>≤≥]=?|max\.?|min\.?|up to|bis)\s*\d.*"
    r"|\d.*\?",
    re.IGNORECASE,
)
_FOOTNOTE = re.compile(r"[*†‡¹²³⁴⁵⁶⁷⁸⁹]+$")
_THOUSANDS = re.compile(r"(?<=\d)['’](?=\d{3}(?![\d\"]))")  # 1'234 as written in Switzerland
_SEVERAL = re.compile(
    r"[&();…]|\.\.|,(?!\d)|\b(or|and|to)\b|\d\s*-\s*\d+(?!\d*\s*/)|\d\s*/.*\d\s*/"
)
_WORDED = [
    (re.compile(rf"(?<=[\d½¼¾⅛])\s*({words})\b\.?", re.IGNORECASE), f" {unit}")
    for words, unit in UNIT_WORDS.items()
]
_CLASS = re.compile(r"([\d.]+)\s*([a-z]{1,2}\d{1,2})", re.IGNORECASE)  # of an ISO fit: 25 h9
_PURE = re.compile(r"(\d+)\s*/\s*(\d+)\D*")
_DECORATION = re.compile(r"^[ø⌀]\s*|\s*\b(od|id|o/d|i/d|wall|wt|thk|bore)\.?$", re.IGNORECASE)


@dataclass(frozen=True)
class Size:
    """A size in mm, how it was written, and what is to be noted."""

    mm: float
    note: str = ""


def is_date(cell: Cell) -> bool:
    """Tell whether a cell holds a date, as a spreadsheet makes of a fraction."""
    text = cell.text
    return cell.sort == "date" or any(
        pattern.fullmatch(text) for pattern in (_DAY_MONTH, _MONTH_NUMBER, _NUMBERS_DATE)
    )


def _date_sentence(text: str) -> str:
    """Say which fractions a date may have been."""
    day = _DAY_MONTH.fullmatch(text)
    other = _MONTH_NUMBER.fullmatch(text)
    stamp = re.match(r"\d{4}-(\d{2})-(\d{2})", text)
    meant = "a fraction"
    if day or stamp:
        d, m = (int(day[1]), _MONTHS.index(day[2][:3].lower()) + 1) if day else (0, 0)
        d, m = (int(stamp[2]), int(stamp[1])) if stamp else (d, m)
        meant = f"{d}/{m} or {m}/{d}" if d != m else f"{d}/{m}"
    elif other:
        meant = f"{_MONTHS.index(other[1][:3].lower()) + 1}/{int(other[2])}"
    made = f'holds the date "{text}", which a spreadsheet may have made of {meant}'
    return f"{made}; write the size again"


def _refuse_sort(cell: Cell) -> None:
    """Refuse cells that cannot be a size whatever their text."""
    if is_date(cell):
        raise InputError(_date_sentence(cell.text))
    if cell.sort == "formula":
        raise InputError(
            f"holds the formula {cell.text} without a stored value; "
            "open and save the file in a spreadsheet, or write the number"
        )
    if cell.sort == "struck":
        raise InputError(f'"{cell.text}" is struck out')
    if cell.sort == "error":
        raise InputError(f'holds "{cell.text}", which is not a size')


def gauge(text: str, system: str, *, bare: bool) -> Size | None:
    """Read a gauge number as a wall.

    Parameters
    ----------
    text : str
        Such as "16 SWG", "18ga" or, in a column of gauges, "16".
    system : str
        Gauge that the file or the user names, "" for none.
    bare : bool
        Whether a whole number alone is a gauge or may be one.

    Returns
    -------
    Size or None
        None where the text is no gauge.

    Raises
    ------
    InputError
        If the gauge is not named or not in the tables.
    """
    text = re.sub(r"\b([a-z])\.([a-z])\.([a-z])\.?(?![a-z])", r"\1\2\3", text, flags=re.I)  # S.W.G.
    match, first = _GAUGE.fullmatch(text), _NAMED_FIRST.fullmatch(text)
    if match or first:
        number, mark = (match[1], match[2]) if match else (first[2], first[1])  # type: ignore[index]
    elif bare and re.fullmatch(r"\d{1,2}", text):
        number, mark = text, ""
    else:
        return None
    named = mark.upper() if mark.lower() in ("swg", "bwg", "awg", "msg", "usg") else system
    if not named:
        walls = [f"{g} {t[int(number)]:.3f} mm" for g, t in GAUGES.items() if int(number) in t]
        may = "" if mark else f" or {number} mm"
        raise InputError(
            f'"{text}" may be a gauge ({", ".join(walls) or "not in the tables here"}){may}; '
            "write which, for example 16 SWG, or the wall in mm"
        )
    if named not in GAUGES or int(number) not in GAUGES[named]:
        raise InputError(f'"{text}" is a gauge not in the tables here; write the wall in mm')
    return Size(GAUGES[named][int(number)], f"wall {number} {named}")


def size(cell: Cell, unit: str, example: str = "OD mm") -> Size | None:
    """Read one size.

    Parameters
    ----------
    cell : Cell
        The cell.
    unit : str
        Unit of the column, "" where none is known.
    example : str, optional
        A heading with a unit, for the refusal.

    Returns
    -------
    Size or None
        In mm; None where the cell says there is no value.

    Raises
    ------
    InputError
        If the cell holds anything but one size, or a number without a unit.
    """
    if cell.text.lower() in MISSING:
        return None
    _refuse_sort(cell)
    text = _DECORATION.sub("", cell.text).strip()
    for words, spelled in _WORDED:
        text = words.sub(spelled, text)
    if _ABOUT.fullmatch(text):
        raise InputError(f'"{cell.text}" is no exact size; write the size itself')
    if _FOOTNOTE.search(text):
        raise InputError(f'"{cell.text}" carries a mark of a footnote; write the size alone')
    tolerance = _TOLERANCE.fullmatch(re.sub(r"\((±.*|\+/-.*)\)$", r"\1", text))
    fit = _CLASS.fullmatch(text)
    note = f"tolerance class {fit[2]}" if fit else ""
    text = fit[1] if fit else text
    if tolerance:
        text = f"{tolerance[1] or tolerance[4]} {tolerance[3] or tolerance[6] or ''}".strip()
        note = f"tolerance {'±' + tolerance[2] if tolerance[2] else tolerance[5]}"
    text = _THOUSANDS.sub("", text)
    if _SEVERAL.search(text):
        raise InputError(f'"{cell.text}" is not one size')
    number, own = split_quantity(text)
    _refuse_fraction(cell.text, text, own or unit)
    if own == "" and not unit:
        raise InputError(
            f'"{cell.text}" has no unit and the column names none; '
            f'write the unit in the heading, for example "{example}"'
        )
    read = to_si(text if own else f"{number!r} {unit}", "length", what="size")
    if number < 0 or read <= 0:
        raise InputError(f'"{cell.text}" is {"negative" if number < 0 else "zero"}')
    if own and unit and own != unit:
        note = "; ".join(filter(None, (note, f'"{cell.text}" although the column is in {unit}')))
    if cell.sort == "text" and not own and re.fullmatch(r"[\d.]+", text) and cell.note:
        note = "; ".join(filter(None, (note, cell.note)))
    return Size(round(1e3 * read, 6), note)


def _refuse_fraction(written: str, text: str, unit: str) -> None:
    """Refuse 11/2, which may be 1-1/2 or two sizes, and a bare fraction of a millimetre."""
    match = _PURE.fullmatch(text)
    if match is None:
        return
    if int(match[1]) >= int(match[2]):
        raise InputError(f'"{written}" may be one size or two; write it as a decimal number')
    if unit == "mm":
        raise InputError(f'"{written}" is a fraction, as of inches, in mm; write which it is')


def nominal(text: str) -> tuple[Pipe, str] | None:
    """Find the pipe that a nominal name stands for.

    Parameters
    ----------
    text : str
        Such as "NPS 1-1/2 SCH 40" or "DN40".

    Returns
    -------
    tuple of Pipe and str, or None
        The pipe and its schedule ("" where not stated); None where the text names no pipe.

    Raises
    ------
    InputError
        If it names a pipe that is not in the table.
    """
    plain = re.sub(r"\b(pipe|tube)\b\.?", "", text, flags=re.IGNORECASE).strip()
    dn = _DN.fullmatch(plain)
    if dn:
        pipe = by_dn(int(dn["dn"]))
        if pipe is None:
            raise InputError(f'"{text}" is a nominal size not in the table; write OD and wall')
        return pipe, dn["sch"] or ""
    match = _PIPE.fullmatch(plain)
    if match is None or not (match["tag"] or match["nb"] or match["sch"]):
        return None
    value, _ = split_quantity(match["nps"])
    found = [p for p in PIPES.values() if math.isclose(split_quantity(p.nps)[0], value)]
    if not found:
        raise InputError(f'"{text}" is a nominal pipe not in the table; write OD and wall')
    return found[0], match["sch"] or ""


def quantity(cell: Cell) -> Size | None:
    """Read a number of pieces; "50+" counts as 50 with a note.

    Parameters
    ----------
    cell : Cell
        The cell.

    Returns
    -------
    Size or None
        The count in `.mm`, which here is a count; None where there is none.

    Raises
    ------
    InputError
        If it is not a count.
    """
    text = cell.text.lower()
    if text in MISSING:
        return None
    match = re.fullmatch(r"(\d{1,7})(\.0+)?\s*(\+)?\s*(pcs?|pieces|off|ea)?\.?", text)
    if match is None or is_date(cell) or cell.sort in ("error", "formula"):
        raise InputError(f'"{cell.text}" is not a number of pieces')
    note = f'quantity "{cell.text}": at least {match[1]}' if match[3] else ""
    return Size(float(match[1]), note)


def price(cell: Cell) -> tuple[float, str] | None:
    """Read a price and its currency.

    Parameters
    ----------
    cell : Cell
        The cell.

    Returns
    -------
    tuple of float and str, or None
        The price and currency ("" where the cell names none); None where there is none.

    Raises
    ------
    InputError
        If it is not a price.
    """
    text = cell.text
    if text.lower() in MISSING:
        return None
    text = re.sub(r"[.,](-{1,2}|–|—)(?=\s|$)", "", text)  # 45,- and 22.--
    if re.search(r"\d\.\d{3},\d{2}(?!\d)", text):  # 1.234,50 can only be read in one way
        text = text.replace(".", "").replace(",", ".")
    match = re.fullmatch(
        r"([€£$]|[A-Z]{3})?\s*(\d{1,3}(?:[, ]\d{3})+(?:\.\d{2})|\d+(?:\.\d+)?)\s*([€£$]|[A-Z]{3})?",
        text,
    )
    if match is None or is_date(cell) or cell.sort in ("error", "formula"):
        raise InputError(f'"{text}" is not a price')
    mark = match[1] or match[3] or ""
    return float(re.sub(r"[, ]", "", match[2])), {"€": "EUR", "£": "GBP"}.get(mark, mark)
