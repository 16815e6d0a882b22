"""Sizes as they come: tolerance classes of tubes, and limits as a user writes them."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from tubecalc import datafiles
from tubecalc.errors import InputError, unknown_key
from tubecalc.joining import iso286
from tubecalc.unit_words import Spoken, for_system, worded
from tubecalc.units import in_unit, to_si, unit_label

_MINUS = str.maketrans("\u2212\u2013", "--")  # minus signs that are no hyphen
SIGMAS = 3.0  # standard deviations from the middle of a tolerance to its limits (PRACTICE)


@dataclass(frozen=True)
class Band:
    """A diameter: middle, limits and spread [m], and where the limits come from.

    grade: "A" measured on these tubes, "B" a stated tolerance, "C" what is usual in the trade.
    """

    middle: float
    low: float
    high: float
    sigma: float
    said: str
    grade: str

    def moved(self, by: float) -> Band:
        """The same band at another diameter.

        Parameters
        ----------
        by : float
            Added to every diameter [m].

        Returns
        -------
        Band
        """
        return Band(
            self.middle + by, self.low + by, self.high + by, self.sigma, self.said, self.grade
        )


@cache
def _classes() -> dict[str, tuple[str, float, float]]:
    """Class -> of diameter or wall, share of the size, least value [m]."""
    return {
        r["class"]: (r["of"], float(r["share"]), float(r["least"]) * 1e-3)
        for r in datafiles.rows("joining/tube_tolerances.csv")
    }


def tube_tolerance(name: str, size: float) -> float:
    """Tolerance of a tube's outside diameter (D1 to D4) or wall (T1 to T5), plus or minus.

    Parameters
    ----------
    name : str
        Class.
    size : float
        Diameter or wall [m].

    Returns
    -------
    float
        Half the band [m]: a share of the size, at least a fixed value.

    Raises
    ------
    InputError
        For an unknown class or a size that is not positive.

    Notes
    -----
    Source: ISO 1127; T5 from ISO 1129. See data/joining/tube_tolerances.csv.

    Examples
    --------
    >>> round(tube_tolerance("D4", 0.0337) * 1e3, 4)
    0.1685
    """
    if name not in _classes():
        raise unknown_key("tolerance class", name, list(_classes()), "tube_tolerance")
    if not (math.isfinite(size) and size > 0):
        raise InputError("must be a positive length", where="tube_tolerance:size", got=f"{size:g}")
    _, share, least = _classes()[name]
    return max(share * size, least)


def band_of(nominal: float, given: Any, *, bore: bool, where: str) -> Band:
    """Band of a diameter from whatever is known of it.

    Parameters
    ----------
    nominal : float
        Nominal diameter [m].
    given : str, Quantity or list
        "+/-0.05 mm" or "0.05 mm" (half the band), "0/-0.1 mm" (upper, then lower), a tolerance
        symbol ("h9", "H7"), a class ("D4"), or measured diameters as a list.
    bore : bool
        A bore takes capital letters, an outside small ones.
    where : str
        For messages.

    Returns
    -------
    Band

    Raises
    ------
    InputError
        For limits in the wrong order or with a sign missing, a letter of the other kind, or
        measured sizes far from the nominal one.

    Examples
    --------
    >>> found = band_of(0.010, "0/-0.1 mm", bore=False, where="outside")
    >>> round(found.middle * 1e3, 6), round(found.high * 1e3, 6)
    (9.95, 10.0)
    """
    if isinstance(given, list | tuple):
        return _measured(nominal, given, where)
    if isinstance(given, str):
        text = given = " ".join(given.translate(_MINUS).split())
        if re.fullmatch(r"[A-Za-z]{1,2} ?\d{1,2}", text):
            return _symbol(nominal, text, bore=bore, where=where)
        if "/" in text.replace("+/-", "").replace("+ / -", ""):
            return _two(nominal, text, where)
    return _half(nominal, given, where)


def even(nominal: float, half: float, said: str, grade: str) -> Band:
    """Band of equal limits either side.

    Parameters
    ----------
    nominal, half : float
        Middle and half the band [m].
    said : str
        Where it comes from.
    grade : str
        A, B or C.

    Returns
    -------
    Band
    """
    return Band(nominal, nominal - half, nominal + half, half / SIGMAS, said, grade)


def _symbol(nominal: float, text: str, *, bore: bool, where: str) -> Band:
    text = text.replace(" ", "")
    if text in _classes() and bore:
        raise InputError(
            "is a class of outsides and walls, and could be a symbol of ISO 286 too", where=where,
            got=text, expected="limits of the bore, or another symbol",
        )  # fmt: skip
    if text in _classes():
        if _classes()[text][0] != "diameter":
            raise InputError(
                "is a class of wall thickness", where=where, got=text, expected="D1 to D4"
            )
        return even(nominal, tube_tolerance(text, nominal), f"class {text} of ISO 1127", "B")
    if text[0].isupper() != bore:
        right = "a capital letter: H7" if bore else "a small letter: h9"
        raise InputError(
            f"the tolerance of {'a bore' if bore else 'an outside'} has the other kind of letter",
            where=where, got=text, expected=right,
        )  # fmt: skip
    low, high = iso286.limits(nominal, text)
    half = (high - low) / 2.0
    return even(nominal + (high + low) / 2.0, half, f"{text} of ISO 286", "B")


def _half(nominal: float, given: Any, where: str) -> Band:
    text = given.replace("±", "").replace("+/-", "").strip() if isinstance(given, str) else given
    if isinstance(text, str) and text[:1] in "+-":
        raise InputError(
            "a limit with one sign needs the other limit too", where=where, got=given,
            expected=f'"0/{text}"' if text[0] == "-" else f'"{_zero(text)}"',
        )  # fmt: skip
    half = to_si(text, "length", what="tolerance", where=where)
    if half < 0:
        raise InputError("a tolerance is not negative", where=where, got=str(given),
                         expected=for_system('"0.05 mm" for plus or minus',
                                             '"0.002 in" for plus or minus'))  # fmt: skip
    _wide(nominal, half, where)
    return even(nominal, half, worded("stated: +/-{}", "length", half), "B")


def _two(nominal: float, text: str, where: str) -> Band:
    upper, _, lower = text.partition("/")
    unit = re.search(r"[A-Za-zµ\"]+\s*$", lower)
    if unit is None:
        raise InputError("the limits have no unit", where=where, got=text,
                         expected=for_system('"0/-0.1 mm"', '"0/-0.004 in"'))  # fmt: skip
    upper = upper.strip() if re.search(r"[A-Za-zµ\"]", upper) else f"{upper.strip()} {unit[0]}"
    for part in (upper, lower):
        number = re.sub(r"[^0-9.eE+-]", "", part.split()[0])
        if number[:1] not in "+-" and float(number or 0) != 0.0:
            raise InputError("each limit needs its sign", where=where, got=text,
                             expected=for_system('"+0.05/-0.1 mm"',
                                                 '"+0.002/-0.004 in"'))  # fmt: skip
    high, low = (to_si(x.strip(), "length", what="limit", where=where) for x in (upper, lower))
    if high < low:
        raise InputError(
            "the upper limit stands first and is the larger one", where=where, got=text,
            expected=f'"{lower.split()[0]}/{upper}"',
        )  # fmt: skip
    _wide(nominal, max(abs(high), abs(low)), where)
    said = Spoken(lambda s: (
        f"stated: {in_unit(high, 'length', s):+.4g}/{in_unit(low, 'length', s):+.4g} "
        f"{unit_label('length', s)}"
    ))  # fmt: skip
    return even(nominal + (high + low) / 2.0, (high - low) / 2.0, said, "B")


def _zero(text: str) -> str:
    """Upper limit with one sign, and nought below it in the same unit."""
    number, _, unit = text.partition(" ")
    return f"{number}/0 {unit}".rstrip()


def _wide(nominal: float, half: float, where: str) -> None:
    if half > 0.2 * nominal:
        raise InputError(
            "the tolerance is more than a fifth of the diameter", where=where,
            got=worded("{}", "length", half),
            expected=worded("at most {}", "length", 0.2 * nominal, digits=3),
        )  # fmt: skip


def _measured(nominal: float, given: Sequence[Any], where: str) -> Band:
    if not given:
        raise InputError(
            "no measured diameter is given",
            where=where,
            expected=for_system('["9.95 mm"]', '["0.392 in"]'),
        )
    sizes = [to_si(x, "length", what="measured diameter", where=where, positive=True)
             for x in given]  # fmt: skip
    far = max(sizes, key=lambda x: abs(x - nominal))
    if abs(far - nominal) > 0.2 * nominal:
        raise InputError(
            worded("a measured diameter lies far from the nominal {}", "length", nominal),
            where=where, got=worded("{}", "length", far),
        )  # fmt: skip
    mean = math.fsum(sizes) / len(sizes)
    spread = math.fsum((x - mean) ** 2 for x in sizes)
    sigma = math.sqrt(spread / (len(sizes) - 1)) if len(sizes) > 1 else 0.0
    said = f"measured, {len(sizes)} reading{'s' if len(sizes) > 1 else ''}"
    return Band(mean, min(sizes), max(sizes), sigma, said, "A")


__all__ = ["SIGMAS", "Band", "band_of", "even", "tube_tolerance"]
