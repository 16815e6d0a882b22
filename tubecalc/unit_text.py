"""Text such as "1 1/2 in" or "1 500 mm" into a number and the text of its unit."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from tubecalc.errors import InputError

__all__ = ["split_quantity"]

_MARKS = {"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "−": "-", "⁄": "/", "–": "-"}
_MARKS |= {"''": '"'}
_PLAIN = r"(?:\d{1,3}(?: \d{3})+|\d+)(?:\.\d*)?|\.\d+"
_FRACTION = r"(?:(?P<whole>\d+)(?:\s+|\s*-\s*))?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)"
_NUMBER = re.compile(
    rf"(?P<sign>[-+]?)\s*(?:{_FRACTION}|(?P<plain>{_PLAIN})(?P<power>[eE][-+]?\d+)?)(?![\d.])"
)
_FEET_INCHES = re.compile(
    r"""(?P<feet>[-+]?\d+(?:\.\d+)?)\s*(?:'|ft|feet|foot)\s*-?\s*(?P<inches>\d.*?)\s*(?:"|in|inch(?:es)?)"""
)
_COMMA = re.compile(r"[-+]?\d[\d.' ]*,[\d,. ]*\d|^\s*[-+]?,\d|\d,(?!\S)")
_VULGAR = re.compile(r"(\d?)\s*([¼½¾⅐-⅞])")


def _plain_text(text: str) -> str:
    """Give the text with ordinary spaces, marks and fractions."""
    text = " ".join(text.split())  # no-break and thin spaces too

    def spell(match: re.Match[str]) -> str:
        fraction = unicodedata.normalize("NFKC", match[2]).replace("⁄", "/")
        return f"{match[1]} {fraction}" if match[1] else fraction

    text = _VULGAR.sub(spell, text)
    for mark, plain in _MARKS.items():
        text = text.replace(mark, plain)
    return text.strip()


def _number(match: re.Match[str]) -> float:
    """Value of a number that _NUMBER matched."""
    if match["top"]:
        bottom = float(match["bottom"])
        if bottom == 0:
            raise InputError(f'"{match[0]}" divides by zero')
        value = float(match["whole"] or 0) + float(match["top"]) / bottom
    else:
        value = float(match["plain"].replace(" ", "") + (match["power"] or ""))
    return -value if match["sign"] == "-" else value


def _refuse_comma(text: str) -> None:
    match = _COMMA.search(text)
    if match is None:
        return
    number = match[0].strip()
    if re.fullmatch(r"[-+]?\d{1,3},\d{3}", number):
        joined, point = number.replace(",", ""), number.replace(",", ".")
        raise InputError(
            f'"{text}" may mean {joined} or {point}; write {joined} or {point} without the comma'
        )
    if number.count(",") == 1 and "." not in number:
        raise InputError(
            f'"{text}" has a decimal comma; write {number.replace(",", ".")} with a point'
        )
    raise InputError(f'"{text}" has commas; write the digits without them and a decimal point')


@lru_cache(maxsize=4096)
def split_quantity(text: str) -> tuple[float, str]:
    r"""Split text into number and unit text.

    Parameters
    ----------
    text : str
        For example "1-1/2 in", "2' 6\"", "1.25e3 N", "1 500 mm".

    Returns
    -------
    tuple of float and str
        The number, and the unit as written ("" where there is none).

    Raises
    ------
    InputError
        If there is no number in front, or it has a comma.

    Examples
    --------
    >>> split_quantity("1 1/2 in")
    (1.5, 'in')
    >>> split_quantity("2' 6\"")
    (30.0, 'in')
    >>> split_quantity("1 500 mm")
    (1500.0, 'mm')
    """
    text = " ".join(text.split())
    plain = _plain_text(text)
    if not plain:
        raise InputError("is empty")
    _refuse_comma(plain)
    both = _FEET_INCHES.fullmatch(plain)
    if both is not None:
        inches, rest = split_quantity(both["inches"])
        if rest or not 0 <= inches < 12:
            raise InputError(f'"{text}" is not feet and inches; write it like 2\' 6"')
        feet = float(both["feet"])
        return (12 * feet + (-inches if both["feet"].startswith("-") else inches), "in")
    match = _NUMBER.match(plain)
    if match is None:
        bad = re.match(r"[-+]?(nan|inf)", plain, re.IGNORECASE)
        raise InputError(
            f'"{text}" is not a finite number' if bad else f'"{text}" does not start with a number'
        )
    unit = plain[match.end() :].strip()
    return _number(match), {"'": "ft", '"': "in"}.get(unit, unit)
