"""Units at the border: text and pint quantities to SI floats, and back to a display system.

Ordinary text ("10 mm", "200 kgf") is read from a small table; pint is imported only when it is
needed, and there is one registry.
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from tubecalc.errors import InputError, unknown_key
from tubecalc.unit_display import DISPLAY, DisplayUnit, in_unit, show, unit_label
from tubecalc.unit_tables import KINDS, Dimension, Kind, name_of, parse_unit, under_gravity
from tubecalc.unit_text import split_quantity

if TYPE_CHECKING:
    import pint

__all__ = [
    "DISPLAY",
    "KINDS",
    "Q_",
    "DisplayUnit",
    "in_unit",
    "registry",
    "show",
    "to_si",
    "to_si_array",
    "unit_label",
]

_MOST = 1e20  # no value in SI is larger, none but zero smaller than one over it
_DIMENSIONLESS: Dimension = (0, 0, 0, 0, 0)
_CYCLES: Dimension = (0, 0, -1, 0, 0)
_TURNING: Dimension = (0, 0, -1, 0, 1)
_ROOTS = {"meter": 0, "gram": 1, "second": 2, "kelvin": 3, "radian": 4}
_COUNTS = re.compile(r"(pcs?|pieces?|off|ea|each|stk|stck|st(ü|ue)ck|nos?)\.?", re.IGNORECASE)
_CELSIUS = {"degC", "C", "°C", "celsius", "Celsius", "deg C", "ºC", "degree_Celsius"}
_FAHRENHEIT = {"degF", "F", "°F", "fahrenheit", "Fahrenheit", "deg F", "ºF", "degree_Fahrenheit"}
_SAFE_UNIT = re.compile(r"[A-Za-zµμΩ°%_Δ0-9*/^.()·² ³⁴⁻¹-]{1,80}")
_WEIGHT = {"kg": "kgf", "g": "gf", "t": "tf", "tonne": "tf", "oz": "ozf"}
_WEIGHT |= {"lb": "lbf", "lbs": "lbf", "lbm": "lbf"}
_FORCES = {"kgf": "kg", "kp": "kg", "gf": "g", "tf": "t", "lbf": "lb", "ozf": "oz"}
_DEFINE = ("kp = kgf", "Msi = 1000 * ksi", "lbm = lb", "rev = turn", "mil_length = 1e-3 * inch")


@cache
def registry() -> pint.UnitRegistry[Any]:
    """Give the one unit registry, made on first use.

    Returns
    -------
    pint.UnitRegistry
        Knows the units of the trade too: kgf, kp, tf, Msi, rev; "Nm" is a newton metre.

    Examples
    --------
    >>> registry() is registry()
    True
    """
    import pint

    def powers(text: str) -> str:
        return re.sub(r"(?<=[A-Za-z])([234])(?![0-9A-Za-z_])", r"^\1", text)

    def torques(text: str) -> str:
        return re.sub(r"\b([kM]?)Nm\b", r"(\1N * m)", text)

    made: pint.UnitRegistry[Any] = pint.UnitRegistry(preprocessors=[powers, torques])
    for line in _DEFINE:
        if line.split()[0] not in made:
            made.define(line)
    return made


def __getattr__(name: str) -> Any:
    if name == "ureg":
        return registry()
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def Q_(value: Any, unit: str | None = None) -> Any:
    """Make a quantity of the one registry.

    Parameters
    ----------
    value : float, array_like or str
        The number or numbers in `unit`; or text with its unit, for example "10 mm".
    unit : str, optional
        Any unit pint knows.

    Returns
    -------
    pint.Quantity
        The quantity.

    Raises
    ------
    InputError
        If the unit or the text cannot be read.

    Examples
    --------
    >>> Q_(10, "mm").to("m").magnitude
    0.01
    >>> float(Q_("1/2 in").to("mm").magnitude)
    12.7
    """
    if isinstance(value, str) and unit is None:
        number, unit = split_quantity(value)
        value = number
    if isinstance(value, list | tuple):
        value = np.asarray(value, dtype=float)
    made = registry()
    return made.Quantity(value, "dimensionless" if unit in (None, "") else _pint_unit(str(unit)))


def _pint_unit(unit: str) -> Any:
    if not _SAFE_UNIT.fullmatch(unit) or re.search(r"\d{3}|\*\*.*\*\*", unit):
        raise InputError(f'"{unit}" is not a unit')
    spelt = unit.strip().replace("°C", "degC").replace("°F", "degF").replace("°", "degree")
    spelt = "1" + spelt if spelt.startswith("/") else spelt
    try:
        return registry().parse_units(spelt)
    except Exception:
        raise InputError(f'"{unit}" is not a unit known here') from None


def _from_pint(quantity: Any) -> tuple[Any, Dimension]:
    """Magnitude in SI and dimension of a pint quantity of any registry."""
    root = quantity.to_root_units()
    exponents = [0.0] * 5
    for name, power in root.unit_items():
        if name not in _ROOTS:
            raise InputError(f'"{quantity.units}" is not a unit used here')
        exponents[_ROOTS[name]] += float(power)
    a, b, c, d, e = exponents
    return root.magnitude * 1e-3**b, (a, b, c, d, e)


def _read_text(text: str, kind: str) -> tuple[float, Dimension]:
    text = " ".join(text.split())
    number, unit = split_quantity(text)
    if not math.isfinite(number):
        raise InputError(f'"{text}" is not a finite number')
    if KINDS[kind].dimension == (0, 0, 0, 1, 0):
        degrees = _temperature(number, unit, difference=kind == "temperature_difference")
        if degrees is not None:
            return degrees, (0, 0, 0, 1, 0)
    if not unit:
        if kind in ("number", "ratio"):
            return number, _DIMENSIONLESS
        raise InputError(f'"{text}" has no unit')
    if _COUNTS.fullmatch(unit):
        raise InputError(f'"{text}" counts pieces')
    if unit in ("ton", "tons"):
        raise InputError(f'"{text}" may be a short, long or metric ton; write kg, lb or t')
    parsed = parse_unit(unit)
    if parsed is None:
        value, dimension = _from_pint(registry().Quantity(number, _pint_unit(unit)))
        return float(value), dimension
    return number * parsed[0], parsed[1]


def _temperature(number: float, unit: str, *, difference: bool) -> float | None:
    """Kelvin of a temperature or a difference written in degrees; None for other units."""
    if unit in _CELSIUS:
        return number if difference else number + 273.15
    if unit in _FAHRENHEIT:
        return number / 1.8 if difference else (number + 459.67) / 1.8
    return None


def _read_quantity(value: Any, kind: str) -> tuple[Any, Dimension]:
    """Magnitude in SI and dimension, for a pint quantity (duck-typed: any registry)."""
    if KINDS[kind].dimension == (0, 0, 0, 1, 0):
        name, difference = str(value.units), kind == "temperature_difference"
        if name.startswith("delta_") and not difference:
            raise InputError(f'"{value}" is a temperature difference')
        if difference and name in ("degree_Celsius", "degree_Fahrenheit"):
            scale = 1.0 if name == "degree_Celsius" else 1 / 1.8
            return value.magnitude * scale, (0, 0, 0, 1, 0)
    return _from_pint(value)


def _fit(value: Any, dimension: Dimension, kind: str, shown: str) -> Any:
    """Check the dimension; bring turns and cycles, kelvin and Celsius together."""
    wanted = KINDS[kind].dimension
    if kind == "speed" and dimension == _CYCLES and "Hz" in shown:
        return value * 2 * math.pi
    if kind == "frequency" and dimension == _TURNING:
        return value / (2 * math.pi)
    if dimension != wanted:
        raise InputError(_wrong(KINDS[kind], dimension, shown))
    return value - 273.15 if kind == "temperature" else value


def _wrong(kind: Kind, dimension: Dimension, shown: str) -> str:
    """Sentence for a wrong dimension, with the unit that was probably meant."""
    sentence = f'got "{shown}", which is {name_of(dimension)}; give {kind.name}, for example '
    if under_gravity(dimension) == kind.dimension:
        meant = _swap(shown, _WEIGHT)
        if meant is not None:
            value, its = _read_text(meant, "number")
            if its == kind.dimension:
                return f'{sentence}"{meant}" or "{value:.4g} {kind.unit.replace("*", " ")}"'
    if under_gravity(kind.dimension) == dimension and (meant := _swap(shown, _FORCES)):
        return f'{sentence}"{meant}"'
    return sentence + kind.example


def _swap(shown: str, table: dict[str, str]) -> str | None:
    """Give the text with the first unit of the table replaced by its fellow."""
    pattern = r"(?<![A-Za-z])(" + "|".join(table) + r")(?![A-Za-z])"
    swapped, count = re.subn(pattern, lambda m: table[m[1]], shown, count=1)
    return swapped if count else None


def _place(what: str, where: str | None) -> str:
    if not where or where == what or where.endswith(f":{what}"):
        return where or what
    return f"{where}:{what}"


def _convert(value: Any, kind: str, place: str) -> Any:
    """One value or array of a quantity, to SI; refusals name the place."""
    if kind not in KINDS:
        raise unknown_key("kind of quantity", kind, KINDS)
    shown = " ".join(str(value).split())
    example = f"{KINDS[kind].name}, for example {KINDS[kind].example}"
    try:
        if isinstance(value, str):
            read = _read_text(value, kind)
        elif hasattr(value, "to_root_units") and hasattr(value, "magnitude"):
            read = _read_quantity(value, kind)
        elif isinstance(value, bool | np.bool_) or value is None:
            raise InputError(f'got "{shown}"')
        elif isinstance(value, int | float | np.integer | np.floating):
            if kind not in ("number", "ratio"):
                raise InputError(f"got {shown} without a unit")
            read = float(value), _DIMENSIONLESS
        else:
            raise InputError(f"got {type(value).__name__}")
    except InputError as error:
        raise InputError(f"{error.message}; give {example}", where=place, got=shown) from None
    try:
        return _fit(*read, kind, shown)
    except InputError as error:
        raise InputError(error.message, where=place, got=shown) from None


def _refuse_bad(values: NDArray[np.float64], positive: bool, place: str, shown: str) -> None:
    if not np.all(np.isfinite(values)):
        raise InputError("is not a finite number", where=place, got=shown)
    size = np.abs(values)
    if np.any(size > _MOST) or np.any((size > 0) & (size < 1 / _MOST)):
        raise InputError("is beyond any size that is computed here", where=place, got=shown)
    if positive and np.any(values <= 0):
        sign = "zero" if not np.any(values < 0) else "negative"
        raise InputError(f"is {sign}; it must be above zero", where=place, got=shown)


def to_si(
    value: Any, kind: str, *, what: str, where: str | None = None, positive: bool = False
) -> float:
    r"""Read one value with its unit into an SI float.

    Parameters
    ----------
    value : str or pint.Quantity
        For example "10 mm", "5/8 in", "1-1/2 in", "2' 6\"", "200 kgf", "60 °C". Bare numbers are
        accepted for the kinds "number" and "ratio" only.
    kind : str
        A key of `KINDS`: length, force, stress, temperature, ...
    what : str
        Name of the field or argument, for the message.
    where : str, optional
        File and row it came from.
    positive : bool
        Whether zero and negative values are refused.

    Returns
    -------
    float
        In SI: m, N, N m, Pa, kg, kg/m3, s, rad, Hz, rad/s, 1/K, kg/m, N/m, rad/m, K;
        a temperature in degC.

    Raises
    ------
    InputError
        For a missing or wrong unit, a comma, an empty text, NaN or infinity.

    Examples
    --------
    >>> to_si("10 mm", "length", what="od")
    0.01
    >>> to_si("60 degC", "temperature", what="temperature")
    60.0
    >>> to_si("200 kg", "force", what="load")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    tubecalc.errors.InputError: load: got "200 kg", which is a mass; give a force, ...
    """
    place = _place(what, where)
    read = np.asarray(_convert(value, kind, place), dtype=float)
    if read.size != 1:
        raise InputError("has several values", where=place, got=value, expected="one value")
    _refuse_bad(read, positive, place, str(value))
    number = float(read.reshape(-1)[0])
    if kind == "temperature" and number < -273.15 - 1e-9:
        raise InputError("is below absolute zero", where=place, got=str(value))
    if kind != "temperature":
        return number
    typed = split_quantity(" ".join(value.split())) if isinstance(value, str) else (0.0, "")
    return float(typed[0]) if typed[1] in _CELSIUS else round(number, 9)  # degC stays as typed


def to_si_array(
    values: Any, kind: str, *, what: str, where: str | None = None, positive: bool = False
) -> NDArray[np.float64]:
    """Read one or many values with units into an SI array.

    Parameters
    ----------
    values : str, pint.Quantity or list of those
        A quantity may hold an array.
    kind, what, where, positive
        As in `to_si`.

    Returns
    -------
    numpy.ndarray
        One-dimensional, float, in SI (degC for temperatures).

    Raises
    ------
    InputError
        As in `to_si`, naming the number of the value in a list; also for an empty list.

    Examples
    --------
    >>> to_si_array(["10 mm", "1 in"], "length", what="od").tolist()
    [0.01, 0.0254]
    """
    place = _place(what, where)
    if isinstance(values, list | tuple) or (
        isinstance(values, np.ndarray) and kind not in ("number", "ratio")
    ):
        read = [
            to_si(v, kind, what=f"{what}[{i}]", where=where, positive=positive)
            for i, v in enumerate(values)
        ]
        array = np.asarray(read, dtype=float)
    else:
        plain = isinstance(values, np.ndarray)
        array = np.asarray(values if plain else _convert(values, kind, place), dtype=float)
        array = np.atleast_1d(array).astype(float).reshape(-1)
    if array.size == 0:
        raise InputError("is empty", where=place, expected=KINDS[kind].example)
    _refuse_bad(array, positive, place, str(values))
    return array
