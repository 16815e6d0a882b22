"""Limits and fits: standard tolerances and fundamental deviations of ISO 286, to 500 mm.

Tables are the authority; the standard's formulas, from which they were rounded, are kept beside
them so that a value can be held to its own origin.
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import NamedTuple

from tubecalc import datafiles
from tubecalc.errors import InputError, unknown_key
from tubecalc.unit_words import worded

GRADES = tuple(range(1, 19))
SHAFT_LETTERS = ("a", "b", "c", "d", "e", "f", "g", "h", "js", "k", "m", "n", "p", "r", "s", "t",
                 "u")  # fmt: skip
MOST = 0.5  # m, largest size of the tables
_UNITS = {5: 7, 6: 10, 7: 16, 8: 25, 9: 40, 10: 64, 11: 100, 12: 160, 13: 250, 14: 400, 15: 640,
          16: 1000, 17: 1600, 18: 2500}  # tolerance units of a grade  # fmt: skip
_SYMBOL = re.compile(r"([A-Za-z]{1,2})\s*(\d{1,2})")


class Limits(NamedTuple):
    """Lower and upper deviation from the nominal size [m]."""

    lower: float
    upper: float


class IsoFit(NamedTuple):
    """Limits of bore and shaft, and the least and most clearance [m]; below nought it presses."""

    bore: Limits
    shaft: Limits

    @property
    def least(self) -> float:
        """Clearance of the smallest bore on the largest shaft [m]."""
        return self.bore.lower - self.shaft.upper

    @property
    def most(self) -> float:
        """Clearance of the largest bore on the smallest shaft [m]."""
        return self.bore.upper - self.shaft.lower

    @property
    def kind(self) -> str:
        """One of "clearance", "interference" and "transition"."""
        if self.least >= 0:
            return "clearance"
        return "interference" if self.most <= 0 else "transition"


@cache
def _grades() -> tuple[tuple[float, dict[int, float]], ...]:
    """(largest size, grade -> tolerance) of every range [m]."""
    return tuple(
        (float(r["to_mm"]) * 1e-3, {n: float(r[f"IT{n}"]) * 1e-6 for n in GRADES})
        for r in datafiles.rows("joining/iso286_grades.csv")
    )


@cache
def _deviations() -> tuple[tuple[float, dict[str, float]], ...]:
    """(largest size, letter -> fundamental deviation) of every range [m]."""
    known = [x for x in SHAFT_LETTERS if x not in ("h", "js")]
    return tuple(
        (float(r["to_mm"]) * 1e-3, {x: float(r[x] or math.nan) * 1e-6 for x in known})
        for r in datafiles.rows("joining/iso286_deviations.csv")
    )


def _size(size: float) -> float:
    if not 0.0 < size <= MOST * (1 + 1e-12):
        raise InputError(
            "the tables of ISO 286 do not hold for this size", where="iso286:size",
            got=worded("{}", "length", size), expected=worded("above 0, to {}", "length", MOST),
        )  # fmt: skip
    return size


def _grade(grade: int) -> int:
    if grade not in GRADES:
        raise InputError(
            "is no tolerance grade", where="iso286:grade", got=f"IT{grade}", expected="IT1 to IT18"
        )
    return grade


def grade(size: float, number: int) -> float:
    """Standard tolerance of a size.

    Parameters
    ----------
    size : float
        Nominal size, to 500 mm [m].
    number : int
        Grade, 1 to 18.

    Returns
    -------
    float
        Width of the tolerance [m].

    Raises
    ------
    InputError
        For a size or grade beyond the table.

    Notes
    -----
    Source: ISO 286-1, table of standard tolerances; see data/joining/iso286_grades.csv.

    Examples
    --------
    >>> round(grade(0.040, 7) * 1e6, 3)
    25.0
    """
    _size(size)
    number = _grade(number)
    return next(row[number] for to, row in _grades() if size <= to * (1 + 1e-12))


def deviation(size: float, letter: str, number: int) -> float:
    """Fundamental deviation of a shaft: of its side nearest to the nominal size.

    Parameters
    ----------
    size : float
        Nominal size [m].
    letter : str
        a to h (upper side, nought or less), k to u (lower side, nought or more).
    number : int
        Grade; k is nought below 4 and above 7.

    Returns
    -------
    float
        [m].

    Raises
    ------
    InputError
        For a letter that is not here, or a size for which the standard gives none.

    Notes
    -----
    Source: ISO 286-1; see data/joining/iso286_deviations.csv.

    Examples
    --------
    >>> round(deviation(0.040, "g", 6) * 1e6, 3), round(deviation(0.040, "p", 6) * 1e6, 3)
    (-9.0, 26.0)
    """
    _size(size)
    if letter not in SHAFT_LETTERS or letter == "js":
        raise unknown_key("letter of ISO 286", letter, [x for x in SHAFT_LETTERS if x != "js"])
    if letter == "h" or (letter == "k" and not 4 <= number <= 7):
        return 0.0
    value = next(row[letter] for to, row in _deviations() if size <= to * (1 + 1e-12))
    if math.isnan(value):
        raise InputError(
            f"the standard gives no {letter} for this size", where="iso286:size",
            got=worded("{}", "length", size),
            expected=worded("above {}, or another letter", "length", 0.024),
        )  # fmt: skip
    return value


def limits(size: float, symbol: str) -> Limits:
    """Limits of a shaft ("g6") or a bore ("H7").

    Parameters
    ----------
    size : float
        Nominal size [m].
    symbol : str
        Small letter: shaft. Capital: bore. Then the grade.

    Returns
    -------
    Limits
        Deviations from the nominal size [m].

    Raises
    ------
    InputError
        For a symbol that cannot be read, or is not in the tables.

    Notes
    -----
    Bores A to H mirror the shafts. K, M, N to grade 8 and P to U to grade 7 have ES = -ei plus
    the step from the grade before (ISO 286-1; none to 3 mm); N above grade 8 has ES = 0 over 3 mm;
    M6 of 250 to 315 mm is 2 um smaller by the standard's own exception.

    Examples
    --------
    >>> [round(x * 1e6, 3) for x in limits(0.040, "H7")]
    [0.0, 25.0]
    >>> [round(x * 1e6, 3) for x in limits(0.040, "P7")]
    [-42.0, -17.0]
    """
    found = _SYMBOL.fullmatch(symbol.strip())
    letters = found[1] if found else ""
    if found is None or not (letters.islower() or letters.isupper()):
        raise InputError(
            "is no tolerance symbol", where="iso286:symbol", got=symbol, expected='"H7" or "g6"'
        )
    number = _grade(int(found[2]))
    width = grade(size, number)
    letter = letters.lower()
    if letter not in SHAFT_LETTERS:
        known = SHAFT_LETTERS if letters.islower() else [x.upper() for x in SHAFT_LETTERS]
        raise unknown_key("letter of ISO 286", letters, known, "iso286:symbol")
    if letter == "js":
        return Limits(-width / 2.0, width / 2.0)
    if letters.islower():
        near = deviation(size, letter, number)
        return Limits(near - width, near) if letter <= "h" else Limits(near, near + width)
    if letter <= "h":
        near = 0.0 - deviation(size, letter, number)
        return Limits(near, near + width)
    upper = _upper_of_bore(size, letter, number)
    return Limits(upper - width, upper)


def _upper_of_bore(size: float, letter: str, number: int) -> float:
    """Upper deviation ES of bores K to U [m]."""
    if letter == "n" and number > 8 and size > 3e-3:
        return 0.0
    if letter == "k" and number > 8 and size > 3e-3:
        raise InputError(
            "the standard gives no K above grade 8 for this size", where="iso286:symbol",
            got=f"K{number}", expected="K8 or finer, or JS",
        )  # fmt: skip
    least = 4 if letter == "k" else number
    near = deviation(size, letter, min(max(number, least), 7) if letter == "k" else number)
    if letter == "m" and number == 6 and 0.250 < size <= 0.315:
        return -9e-6
    steps = number <= 8 if letter in "kmn" else number <= 7
    if not steps or size <= 3e-3 or number == 1:
        return -near
    return -near + grade(size, number) - grade(size, number - 1)


def iso_fit(size: float, symbol: str) -> IsoFit:
    """Fit of a bore and a shaft, "H7/g6".

    Parameters
    ----------
    size : float
        Nominal size of both [m].
    symbol : str
        Bore first, then the shaft.

    Returns
    -------
    IsoFit
        Limits of both, least and most clearance.

    Raises
    ------
    InputError
        For anything but a capital letter before the stroke and a small one behind it.

    Examples
    --------
    >>> found = iso_fit(0.040, "H7/g6")
    >>> round(found.least * 1e6, 3), round(found.most * 1e6, 3), found.kind
    (9.0, 50.0, 'clearance')
    """
    parts = [x.strip() for x in str(symbol).split("/")]
    if len(parts) != 2 or not parts[0][:1].isupper() or not parts[1][:1].islower():
        raise InputError(
            "a fit names the bore in a capital letter, then the shaft in a small one",
            where="iso286:fit", got=symbol, expected='"H7/g6"',
        )  # fmt: skip
    return IsoFit(limits(size, parts[0]), limits(size, parts[1]))


def range_mean(size: float) -> float:
    """Geometric mean of the range of sizes that a size lies in [m].

    Parameters
    ----------
    size : float
        Nominal size [m].

    Returns
    -------
    float
        As the standard's formulas take it; the first range counts from 1 mm.

    Examples
    --------
    >>> round(range_mean(0.040) * 1e3, 4)
    38.7298
    """
    _size(size)
    low = 1e-3
    for to, _ in _grades():
        if size <= to * (1 + 1e-12):
            return math.sqrt(low * to)
        low = to
    raise AssertionError(size)  # pragma: no cover - _size has seen to it


def formula(size: float, number: int) -> float:
    """Standard tolerance by the standard's formula, before rounding.

    Parameters
    ----------
    size : float
        Nominal size [m].
    number : int
        Grade, 5 to 18.

    Returns
    -------
    float
        [m]; the table decides.

    Raises
    ------
    InputError
        For a grade that is not made of tolerance units.

    Notes
    -----
    i = 0.45 D^(1/3) + 0.001 D, D in mm, i in um; IT6 is 10 i, five grades are a factor of ten:
    ISO 286-1, annex.

    Examples
    --------
    >>> round(formula(0.040, 7) * 1e6, 2)
    24.98
    """
    if number not in _UNITS:
        raise InputError(
            "is not made of tolerance units", where="iso286:grade", got=f"IT{number}",
            expected="IT5 to IT18",
        )  # fmt: skip
    d = range_mean(size) * 1e3
    return float(_UNITS[number] * (0.45 * d ** (1 / 3) + 0.001 * d) * 1e-6)


__all__ = ["GRADES", "SHAFT_LETTERS", "IsoFit", "Limits", "deviation", "formula", "grade",
           "iso_fit", "limits", "range_mean"]  # fmt: skip
