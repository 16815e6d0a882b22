"""Units that are read without pint, and the kinds of quantity tubecalc knows."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache

__all__ = ["KINDS", "Dimension", "Kind", "name_of", "parse_unit", "under_gravity"]

Dimension = tuple[float, float, float, float, float]  # length, mass, time, temperature, angle

_G0 = 9.80665  # standard gravity, m/s2, 3rd General Conference on Weights and Measures (1901)
_IN = 0.0254  # international inch, exact
_LB = 0.45359237  # international pound, exact
_NONE: Dimension = (0, 0, 0, 0, 0)
_L: Dimension = (1, 0, 0, 0, 0)
_M: Dimension = (0, 1, 0, 0, 0)
_T: Dimension = (0, 0, 1, 0, 0)
_K: Dimension = (0, 0, 0, 1, 0)
_A: Dimension = (0, 0, 0, 0, 1)
_F: Dimension = (1, 1, -2, 0, 0)
_P: Dimension = (-1, 1, -2, 0, 0)
_FL: Dimension = (2, 1, -2, 0, 0)
_HZ: Dimension = (0, 0, -1, 0, 0)
_V: Dimension = (1, 0, -1, 0, 0)
_W: Dimension = (2, 1, -3, 0, 0)


def _times(a: Dimension, b: Dimension, power: float = 1) -> Dimension:
    return (
        a[0] + power * b[0],
        a[1] + power * b[1],
        a[2] + power * b[2],
        a[3] + power * b[3],
        a[4] + power * b[4],
    )


def _group(dimension: Dimension, units: dict[str, float]) -> dict[str, tuple[float, Dimension]]:
    return {name: (factor, dimension) for name, factor in units.items()}


_ATOMS: dict[str, tuple[float, Dimension]] = {
    **_group(
        _L,
        {
            **{"m": 1.0, "km": 1e3, "dm": 0.1, "cm": 1e-2, "mm": 1e-3, "µm": 1e-6, "um": 1e-6},
            **{"in": _IN, "inch": _IN, "inches": _IN, "µin": 1e-6 * _IN, "thou": 1e-3 * _IN},
            **{"ft": 12 * _IN, "feet": 12 * _IN, "foot": 12 * _IN, "yd": 36 * _IN},
        },
    ),
    **_group(
        _M,
        {
            **{"kg": 1.0, "g": 1e-3, "mg": 1e-6, "t": 1e3, "tonne": 1e3},
            **{"lb": _LB, "lbs": _LB, "lbm": _LB, "oz": _LB / 16, "slug": _LB * _G0 / (12 * _IN)},
        },
    ),
    **_group(_T, {"s": 1.0, "ms": 1e-3, "min": 60.0, "h": 3600.0, "hour": 3600.0, "d": 86400.0}),
    **_group(_K, {"K": 1.0, "degC": 1.0, "degF": 5 / 9, "ΔdegC": 1.0, "ΔdegF": 5 / 9}),
    **_group(_A, {"rad": 1.0, "mrad": 1e-3, "deg": math.pi / 180, "rev": 2 * math.pi}),
    **_group(
        _F,
        {
            **{"N": 1.0, "kN": 1e3, "MN": 1e6, "mN": 1e-3, "daN": 10.0},
            **{"kgf": _G0, "kp": _G0, "gf": 1e-3 * _G0, "tf": 1e3 * _G0},
            **{"lbf": _LB * _G0, "kip": 1e3 * _LB * _G0, "ozf": _LB * _G0 / 16},
        },
    ),
    **_group(
        _P,
        {
            **{"Pa": 1.0, "hPa": 1e2, "kPa": 1e3, "MPa": 1e6, "GPa": 1e9, "bar": 1e5, "mbar": 1e2},
            **{"psi": _LB * _G0 / _IN**2, "ksi": 1e3 * _LB * _G0 / _IN**2},
            **{"Msi": 1e6 * _LB * _G0 / _IN**2, "atm": 101325.0},
        },
    ),
    **_group(_FL, {"Nm": 1.0, "kNm": 1e3, "Nmm": 1e-3, "J": 1.0}),
    **_group(_HZ, {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6}),
    **_group(_times(_A, _HZ), {"rpm": 2 * math.pi / 60}),
    **_group(_V, {"mph": 63360 * _IN / 3600, "kmh": 1 / 3.6, "knot": 1852 / 3600}),
    **_group(_W, {"W": 1.0, "kW": 1e3}),
    **_group(_FL, {"Btu": 1055.05585262}),  # international table
    **_group(_NONE, {"1": 1.0, "%": 1e-2, "ppm": 1e-6}),
    "cc": (1e-6, (3, 0, 0, 0, 0)),
}
_SPELL = {
    **{"μ": "µ", "°C": "degC", "°F": "degF", "º": "°", "²": "2", "³": "3", "⁴": "4", "⁻¹": "-1"},
    **{"·": "*", "×": "*", "⋅": "*", "**": "^"},
}
_TERM = re.compile(r"\s*([A-Za-zµΔ°%]+|1(?![0-9.]))\s*(?:\^?\s*([-+]?[0-9]))?\s*")
_JOIN = re.compile(r"\s*([*/]|-(?=[A-Za-z]))?\s*")


@lru_cache(maxsize=512)
def parse_unit(text: str) -> tuple[float, Dimension] | None:
    """Factor to SI and dimension of a unit written with common atoms.

    Parameters
    ----------
    text : str
        For example "lbf in", "g/cm3", "/K" or "N/mm^2". One slash divides by the next unit only.

    Returns
    -------
    tuple of float and Dimension, or None
        None where an atom is not in the table: then pint is asked.

    Examples
    --------
    >>> parse_unit("kN m")
    (1000.0, (2.0, 1.0, -2.0, 0.0, 0.0))
    >>> parse_unit("furlong") is None
    True
    """
    for old, new in _SPELL.items():
        text = text.replace(old, new)
    text = re.sub(r"°(?![CF])", "deg", text.strip())
    match_slash = text.startswith("/")
    factor, dimension, at, sign = 1.0, _NONE, int(match_slash), -1.0 if match_slash else 1.0
    while at < len(text):
        term = _TERM.match(text, at)
        if term is None or term[1] not in _ATOMS:
            return None
        power = sign * float(term[2] or 1)
        atom, its = _ATOMS[term[1]]
        factor, dimension = factor * atom**power, _times(dimension, its, power)
        at = term.end()
        if at < len(text):
            join = _JOIN.match(text, at)
            mark = join[1] if join else None
            if mark is None and not text[at - 1].isspace():
                return None
            sign = -1.0 if mark == "/" else 1.0
            at = join.end() if join else at
            if at >= len(text):
                return None
    return factor, dimension


@dataclass(frozen=True)
class Kind:
    """What a value is: its name in a sentence, dimension, SI unit and an example to copy."""

    name: str
    dimension: Dimension
    unit: str
    example: str


def _kind(name: str, unit: str, example: str) -> Kind:
    parsed = parse_unit(unit)
    if parsed is None:  # pragma: no cover - a mistake in the table below
        raise AssertionError(unit)
    return Kind(name, parsed[1], unit, example)


KINDS: dict[str, Kind] = {
    "length": _kind("a length", "m", '"10 mm" or "5/8 in"'),
    "force": _kind("a force", "N", '"200 N" or "200 kgf"'),
    "moment": _kind("a moment", "N*m", '"12 N m" or "100 lbf in"'),
    "torque": _kind("a torque", "N*m", '"12 N m" or "100 lbf in"'),
    "stress": _kind("a stress", "Pa", '"250 MPa" or "36 ksi"'),
    "modulus": _kind("a modulus", "Pa", '"70 GPa" or "10 Msi"'),
    "pressure": _kind("a pressure", "Pa", '"6 bar" or "0.6 MPa"'),
    "density": _kind("a density", "kg/m^3", '"1.55 g/cm3"'),
    "mass": _kind("a mass", "kg", '"0.4 kg" or "400 g"'),
    "temperature": _kind("a temperature", "K", '"60 degC" or "140 degF"'),
    "temperature_difference": _kind("a temperature difference", "K", '"40 K"'),
    "angle": _kind("an angle", "rad", '"2 deg"'),
    "frequency": _kind("a frequency", "1/s", '"50 Hz"'),
    "speed": _kind("a speed of rotation", "rad/s", '"3000 rpm"'),
    "expansion": _kind("a coefficient of expansion", "1/K", '"23e-6 /K" or "23 ppm/K"'),
    "linear_density": _kind("a mass per length", "kg/m", '"85 g/m"'),
    "time": _kind("a time", "s", '"10 s" or "5 min"'),
    "ratio": _kind("a ratio", "1", '"5 %" or "0.05"'),
    "number": _kind("a number", "1", '"2"'),
    "line_load": _kind("a load per length", "N/m", '"50 N/m"'),
    "twist_rate": _kind("a twist per length", "rad/m", '"2 deg/m"'),
    "stiffness": _kind("a stiffness", "N/m", '"200 N/mm"'),
    "areal_weight": _kind("a mass per area", "kg/m^2", '"200 g/m2"'),
    "volume": _kind("a volume", "m^3", '"1.2 cm3"'),
    "area": _kind("an area", "m^2", '"50 mm2"'),
    "velocity": _kind("a velocity", "m/s", '"3 m/s" or "7 mph"'),
    "heat_flux": _kind("a heat flux", "W/m^2", '"1000 W/m2"'),
    "bending_stiffness": _kind("a bending stiffness", "N*m^2", '"800 N m2"'),
}


def name_of(dimension: Dimension) -> str:
    """Name a dimension in words.

    Parameters
    ----------
    dimension : Dimension
        Exponents of length, mass, time, temperature and angle.

    Returns
    -------
    str
        For example "a mass"; "a quantity of another kind" where it has no name here.

    Examples
    --------
    >>> name_of((0, 1, 0, 0, 0))
    'a mass'
    """
    if dimension == _NONE:
        return "a plain number"
    return next(
        (kind.name for kind in KINDS.values() if kind.dimension == dimension),
        "a quantity of another kind",
    )


def under_gravity(dimension: Dimension) -> Dimension:
    """Dimension of a weight, given that of the mass: what 'kg' said for 'kgf' is missing.

    Parameters
    ----------
    dimension : Dimension
        For example that of a mass.

    Returns
    -------
    Dimension
        The same times length over time squared.

    Examples
    --------
    >>> name_of(under_gravity((0, 1, 0, 0, 0)))
    'a force'
    """
    return _times(dimension, (1, 0, -2, 0, 0))
