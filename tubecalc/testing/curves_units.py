"""Units as test machines write them, and the column of a curve that each may belong to."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from tubecalc.unit_tables import KINDS, Dimension, parse_unit

__all__ = ["ROLES", "Unit", "readings", "scaled", "unit_of"]

_LENGTH, _FORCE = KINDS["length"].dimension, KINDS["force"].dimension
_MASS, _TIME = KINDS["mass"].dimension, KINDS["time"].dimension
_MOMENT, _ANGLE = KINDS["moment"].dimension, KINDS["angle"].dimension
_STRESS, _RATIO = KINDS["stress"].dimension, KINDS["ratio"].dimension
_LB_LENGTH: Dimension = (1, 1, 0, 0, 0)  # "ft lb", "kg m" as a torque

# role: column of the data, SI value of its unit there, dimensions of the units it may have
ROLES: dict[str, tuple[str, float, tuple[Dimension, ...]]] = {
    "time": ("time_s", 1.0, (_TIME,)),
    "force": ("force_N", 1.0, (_FORCE, _MASS)),
    "travel": ("travel_mm", 1e-3, (_LENGTH,)),
    "extension": ("extension_mm", 1e-3, (_LENGTH,)),
    "deflection": ("deflection_mm", 1e-3, (_LENGTH,)),
    "torque": ("torque_N_m", 1.0, (_MOMENT, _LB_LENGTH)),
    "angle": ("angle_deg", 0.017453292519943295, (_ANGLE,)),
    "stress": ("stress_MPa", 1e6, (_STRESS,)),
    "strain": ("strain", 1.0, (_RATIO,)),
}
_SPELT = {
    **{"newton": "N", "newtons": "N", "kilonewton": "kN", "kilonewtons": "kN", "kn": "kN"},
    **{"dan": "daN", "kgf": "kgf", "kg-f": "kgf", "kgs": "kg", "gf": "gf", "g-f": "gf", "kp": "kp"},
    **{"grams": "g", "gram": "g", "grf": "gf", "lbs": "lb", "lbf": "lbf", "lb-f": "lbf"},
    **{"pound-force": "lbf", "pounds-force": "lbf", "pound force": "lbf"},
    **{"lbsf": "lbf", "pounds": "lb", "pound": "lb", "klbf": "kip", "kips": "kip", "klb": "kip"},
    **{"tf": "tf", "tonf": "", "ton": "", "tons": "", "oz": "oz", "ozf": "ozf"},
    **{"millimeter": "mm", "millimetre": "mm", "millimeters": "mm", "millimetres": "mm"},
    **{"mm": "mm", "cm": "cm", "m": "m", "metre": "m", "meter": "m", "micron": "um"},
    **{"microns": "um", "micrometer": "um", "um": "um", "µm": "um", "in": "in", "in.": "in"},
    **{"inch": "in", "inches": "in", "inch.": "in", '"': "in", "mil": "thou", "mils": "thou"},
    **{"thou": "thou", "ft": "ft", "s": "s", "sec": "s", "secs": "s", "second": "s"},
    **{"seconds": "s", "sek": "s", "sekunden": "s", "seg": "s", "sec.": "s", "msec": "ms"},
    **{"ms": "ms", "millisec": "ms", "min": "min", "minutes": "min", "h": "h", "hr": "h"},
    **{"°": "deg", "deg": "deg", "degree": "deg", "degrees": "deg", "grad": "", "grd": ""},
    **{"deg.": "deg", "rad": "rad", "radians": "rad", "turns": "rev", "rev": "rev", "mrad": "mrad"},
    **{"nm": "Nm", "n-m": "N m", "n.m": "N m", "n·m": "N m", "n*m": "N m", "n m": "N m"},
    **{"knm": "kNm", "nmm": "Nmm", "n-mm": "N mm", "n.mm": "N mm", "n mm": "N mm", "n*mm": "N mm"},
    **{"ncm": "N cm", "n-cm": "N cm", "n.cm": "N cm", "n cm": "N cm", "kn-m": "kN m"},
    **{"kn.m": "kN m", "kn m": "kN m", "mpa": "MPa", "psi": "psi", "ksi": "ksi", "gpa": "GPa"},
    **{"n/mm2": "N/mm^2", "n/mm²": "N/mm^2", "mm/mm": "1", "in/in": "1", "m/m": "1", "%": "%"},
    **{"pct": "%", "percent": "%", "µm/m": "ppm", "um/m": "ppm", "ue": "ppm", "µe": "ppm"},
    **{"н": "N", "кн": "kN", "дан": "daN", "кгс": "kgf", "мм": "mm", "см": "cm", "мкм": "um"},
    **{"с": "s", "сек": "s", "мс": "ms", "мин": "min", "нм": "Nm", "н·м": "N m", "н*м": "N m"},
    **{"град": "deg", "мпа": "MPa"},
    **{"µε": "ppm", "microstrain": "ppm", "ustrain": "ppm", "µstrain": "ppm", "strain": "1"},
}
_POUND_FEET = re.compile(
    r"(?P<a>lbf?|lbs|pounds?|kgf?|kp|gf?|ozf?|ft|foot|in|inch|cm|m)[\s.·*_-]*(?P<b>lbf?|lbs|pounds?|kgf?|kp|gf?|ozf?|ft|foot|in|inch|cm|m)",
    re.IGNORECASE,
)
_EXACT: dict[str, tuple[float, Dimension]] = {  # by capitals, or unknown elsewhere
    "mNm": (1e-3, _MOMENT), "MNm": (1e6, _MOMENT), "daNm": (10.0, _MOMENT), "cNm": (0.01, _MOMENT),
    "cN": (0.01, _FORCE), "dyn": (1e-5, _FORCE), "gon": (0.015707963267948967, _ANGLE),
    "‰": (1e-3, _RATIO), "mε": (1e-3, _RATIO), "mstrain": (1e-3, _RATIO),
}  # fmt: skip
_NUMBER = r"(\d+(?:[.,]\d+)?|\d+/\d+|10\s*(?:\^\s*|\*\*\s*)-?\d|10[⁻²³⁴⁵⁶¹]+)"
_SCALED = re.compile(rf"(?:[x×]\s*)?{_NUMBER}\s*[·*]?\s*([A-Za-zµμ°].{{0,11}})")
_RAISED = str.maketrans("⁻¹²³⁴⁵⁶", "-123456")


@dataclass(frozen=True)
class Unit:
    """A unit as written, its SI value and its dimension."""

    text: str
    factor: float
    dimension: Dimension

    @property
    def weight(self) -> bool:
        """Whether it is a mass, which on a load cell means its weight."""
        return self.dimension in (_MASS, _LB_LENGTH)

    def of(self, role: str) -> float:
        """Factor to the unit of the data.

        Examples
        --------
        >>> unit_of("kN").of("force"), round(unit_of("g").of("force"), 8)
        (1000.0, 0.00980665)
        """
        gravity = 9.80665 if self.weight and role in ("force", "torque") else 1.0
        return self.factor * gravity / ROLES[role][1]

    def fits(self, role: str) -> bool:
        """Whether a column of that role may have it."""
        return role in ROLES and self.dimension in ROLES[role][2]


@lru_cache(maxsize=1024)
def unit_of(text: str) -> Unit | None:
    """Read a unit as test machines write it.

    Parameters
    ----------
    text : str
        For example "(kN)", "lbf ft", "Sec".

    Returns
    -------
    Unit or None
        None where it is no unit known here, or not one unit ("ton").

    Examples
    --------
    >>> unit_of("lbf-ft").factor  # doctest: +ELLIPSIS
    1.3558...
    >>> unit_of("Sec").dimension == unit_of("ms").dimension, unit_of("ton")
    (True, None)
    """
    plain = text.strip().strip("[](){}<>").strip().replace("μ", "µ")
    plain = plain.removesuffix(".") if len(plain) > 2 else plain
    if not plain or len(plain) > 16:
        return None
    both = _POUND_FEET.fullmatch(plain)
    if both:
        one, two = (unit_of(part) for part in (both["a"], both["b"]))
        if one and two and {_LENGTH} < {one.dimension, two.dimension}:
            load = one if two.dimension == _LENGTH else two
            way = two if load is one else one
            gravity = 9.80665 if load.weight else 1.0
            return Unit(plain, load.factor * gravity * way.factor, _MOMENT)
    if plain in ("MN", "mN", "N", "kN"):
        parsed = parse_unit(plain)
    elif plain in _EXACT:
        return Unit(plain, *_EXACT[plain])
    elif plain.lower() in _SPELT:
        parsed = parse_unit(_SPELT[plain.lower()]) if _SPELT[plain.lower()] else None
    else:
        parsed = parse_unit(plain) if re.search("[A-Za-zµ°%]", plain) else None
    return Unit(plain, *parsed) if parsed else None


def scaled(text: str, *, said: bool = False) -> Unit | None:
    """Read a unit of so many units: "0.01 mm", "1/100 mm", "x10 N", "10^3 N".

    Parameters
    ----------
    text : str
        As written in brackets.
    said : bool, optional
        Whether the user said it: then "10 N" counts as well, which in a heading may be the
        range of the cell.

    Returns
    -------
    Unit or None
        None where it is none, or can be read in two ways ("N x1000", "mm/100").

    Examples
    --------
    >>> scaled("1/100 mm").factor, scaled("x10 N").factor, scaled("10^3 N").factor
    (1e-05, 10.0, 1000.0)
    >>> scaled("N x1000"), scaled("N")
    (None, None)
    """
    plain = text.strip().strip("[](){}<>").strip()
    match = _SCALED.fullmatch(plain)
    unit = unit_of(match[2]) if match else None
    if match is None or unit is None:
        return None
    if match[1].isascii() and match[1].isdigit() and plain[0] not in "x×" and not said:
        return None
    number = re.sub(r"\s|\*\*|\^", "^", match[1].translate(_RAISED)).replace(",", ".")
    if number.startswith("10") and not re.fullmatch(r"[\d./]+", number):
        size = 10.0 ** int(number[2:].strip("^"))
    elif match[1] != match[1].translate(_RAISED):
        size = 10.0 ** int(number[2:])
    else:
        above, _, below = number.partition("/")
        size = float(above) / float(below or 1) if float(below or 1) else 0.0
    return Unit(plain, unit.factor * size, unit.dimension) if size > 0 else None


def readings(raw: str) -> list[tuple[str, str]]:
    """Give the readings of a unit with a factor that may be meant in two ways.

    Parameters
    ----------
    raw : str
        As written in the heading: "N x1000", "mm/100", "10 kN".

    Returns
    -------
    list of tuple of str and str
        Unit to pass back, and how it reads; empty for anything else.

    Examples
    --------
    >>> readings("N x1000")
    [('1000 N', '1 stands for 1000 N'), ('0.001 N', '1 stands for 0.001 N')]
    >>> readings("10 kN")[1]
    ('kN', '1 stands for 1 kN: 10 kN is the range')
    """
    text = raw.strip()
    range_of = re.fullmatch(r"(\d+)\s*([A-Za-zµμ°]{1,11})", text)
    if range_of and unit_of(range_of[2]):
        unit = range_of[2]
        return [(f"{range_of[1]} {unit}", f"1 stands for {range_of[1]} {unit}"),
                (unit, f"1 stands for 1 {unit}: {text} is the range")]  # fmt: skip
    both = re.fullmatch(r"([A-Za-zµμ°]{1,11})\s*[x×*/]\s*(10+)", text)
    if both is None or not unit_of(both[1]):
        return []
    many, few = both[2], f"{1 / float(both[2]):g}"
    order = (few, many) if "/" in text else (many, few)
    return [(f"{n} {both[1]}", f"1 stands for {n} {both[1]}") for n in order]
