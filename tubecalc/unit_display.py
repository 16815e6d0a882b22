"""Numbers for people: three display systems, sensible digits, thin spaces between thousands."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tubecalc.errors import unknown_key
from tubecalc.unit_tables import KINDS, parse_unit

__all__ = ["DISPLAY", "DisplayUnit", "in_unit", "show", "unit_label"]

_THIN = "\u202f"  # narrow no-break space
_DIGITS = 4  # significant digits kept, whole numbers are never rounded away


@dataclass(frozen=True)
class DisplayUnit:
    """How one kind is shown: shown value = SI value / factor + offset."""

    label: str
    factor: float
    decimals: int
    offset: float = 0.0


def _unit(label: str, decimals: int) -> DisplayUnit:
    parsed = parse_unit(label) if label else (1.0, None)
    if parsed is None:  # pragma: no cover - a mistake in the tables below
        raise AssertionError(label)
    return DisplayUnit(label, parsed[0], decimals)


_CELSIUS = DisplayUnit("°C", 1.0, 1)
_FAHRENHEIT = DisplayUnit("°F", 5 / 9, 1, 32.0)
_SI = {
    "length": _unit("mm", 2),
    "force": _unit("N", 1),
    "moment": _unit("N m", 2),
    "torque": _unit("N m", 2),
    "stress": _unit("MPa", 1),
    "modulus": _unit("GPa", 2),
    "pressure": _unit("MPa", 2),
    "density": _unit("g/cm³", 3),
    "mass": _unit("kg", 3),
    "temperature": _CELSIUS,
    "temperature_difference": _unit("K", 1),
    "angle": _unit("deg", 2),
    "frequency": _unit("Hz", 1),
    "speed": _unit("rpm", 0),
    "expansion": _unit("µm/m/K", 2),
    "linear_density": _unit("g/m", 1),
    "time": _unit("s", 1),
    "ratio": _unit("%", 1),
    "number": _unit("", 2),
    "line_load": _unit("N/m", 1),
    "twist_rate": _unit("deg/m", 2),
    "stiffness": _unit("N/mm", 2),
    "area": _unit("mm²", 1),
    "areal_weight": _unit("g/m²", 1),
    "volume": _unit("cm³", 3),
    "velocity": _unit("m/s", 1),
    "heat_flux": _unit("W/m²", 0),
    "bending_stiffness": _unit("N m²", 1),
}
_WORKSHOP = {
    **_SI,
    "force": _unit("kgf", 1),
    "moment": _unit("kgf m", 2),
    "torque": _unit("kgf m", 2),
    "pressure": _unit("bar", 1),
    "mass": _unit("g", 0),
    "line_load": _unit("kgf/m", 2),
    "stiffness": _unit("kgf/mm", 2),
    "bending_stiffness": _unit("kgf m²", 2),
}
_INCH = {
    **_SI,
    "length": _unit("in", 3),
    "force": _unit("lbf", 1),
    "moment": _unit("lbf in", 1),
    "torque": _unit("lbf in", 1),
    "stress": _unit("ksi", 2),
    "modulus": _unit("Msi", 2),
    "pressure": _unit("psi", 1),
    "density": _unit("lb/in³", 4),
    "mass": _unit("lb", 3),
    "temperature": _FAHRENHEIT,
    "temperature_difference": _unit("Δ°F", 1),
    "expansion": _unit("µin/in/°F", 2),
    "linear_density": _unit("lb/ft", 4),
    "line_load": _unit("lbf/ft", 2),
    "twist_rate": _unit("deg/ft", 2),
    "stiffness": _unit("lbf/in", 1),
    "area": _unit("in²", 4),
    "areal_weight": _unit("oz/yd²", 2),
    "volume": _unit("in³", 4),
    "velocity": _unit("mph", 1),
    "heat_flux": _unit("Btu/h/ft²", 0),
    "bending_stiffness": _unit("lbf in²", 0),
}
DISPLAY: dict[str, dict[str, DisplayUnit]] = {"SI": _SI, "workshop": _WORKSHOP, "inch": _INCH}


def _find(kind: str, system: str) -> DisplayUnit:
    if system not in DISPLAY:
        raise unknown_key("display system", system, DISPLAY)
    if kind not in KINDS:
        raise unknown_key("kind of quantity", kind, KINDS)
    return DISPLAY[system][kind]


def unit_label(kind: str, system: str = "SI") -> str:
    """Label of the unit in which a kind is shown.

    Parameters
    ----------
    kind : str
        A key of `KINDS`.
    system : str
        "SI", "workshop" or "inch".

    Returns
    -------
    str
        For example "mm".

    Raises
    ------
    InputError
        For an unknown kind or system.

    Examples
    --------
    >>> unit_label("force", "workshop")
    'kgf'
    """
    return _find(kind, system).label


def in_unit(value_si: float, kind: str, system: str = "SI") -> float:
    """Value in the unit of a display system.

    Parameters
    ----------
    value_si : float
        In SI, a temperature in degC.
    kind : str
        A key of `KINDS`.
    system : str
        "SI", "workshop" or "inch".

    Returns
    -------
    float
        In the unit that `unit_label` names.

    Raises
    ------
    InputError
        For an unknown kind or system.

    Examples
    --------
    >>> in_unit(60.0, "temperature", "inch")
    140.0
    """
    unit = _find(kind, system)
    return value_si / unit.factor + unit.offset


def show(value_si: float, kind: str, system: str = "SI") -> str:
    r"""Value with its unit, rounded for reading.

    Parameters
    ----------
    value_si : float
        In SI, a temperature in degC.
    kind : str
        A key of `KINDS`.
    system : str
        "SI", "workshop" or "inch".

    Returns
    -------
    str
        Four significant digits at most, whole numbers in full, thousands parted by a narrow
        no-break space (U+202F); an en dash where there is no value.

    Raises
    ------
    InputError
        For an unknown kind or system.

    Examples
    --------
    >>> show(0.0015875, "length")
    '1.59 mm'
    >>> show(1.2, "length").replace("\N{NARROW NO-BREAK SPACE}", " ")
    '1 200 mm'
    >>> show(60.0, "temperature", "inch")
    '140 °F'
    """
    unit = _find(kind, system)
    value = in_unit(value_si, kind, system)
    if math.isnan(value):
        return "–"
    text = _digits(value, unit.decimals)
    return f"{text} {unit.label}" if unit.label else text


def _digits(value: float, decimals: int) -> str:
    """Round to the decimals and significant digits; small values keep two digits."""
    if math.isinf(value):
        return "∞" if value > 0 else "-∞"
    if value == 0:
        return "0"
    size = math.floor(math.log10(abs(value)))
    if size < -6 or size > 14:
        return f"{value:.3g}"
    places = max(0, min(decimals, _DIGITS - 1 - size))
    if abs(value) < 10 ** (1 - places):
        places = max(places, 1 - size)
    text = f"{value:,.{places}f}".replace(",", _THIN)
    return text.rstrip("0").rstrip(".") if "." in text else text
