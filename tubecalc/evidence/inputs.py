"""Reads the inputs text of evidence rows, and brings results to a row's unit."""

from __future__ import annotations

import re

from tubecalc.errors import InputError
from tubecalc.unit_tables import parse_unit

_NUMBER = r"[-+]?\d+(?:\.\d*)?(?:[eE][-+]?\d+)?"
_UNIT_WORDS = {"lb": "lbf", "lb/in": "lbf/in", "F": "degF", "-": "1", "": "1", "coef": "1",
               "length unit of a": "m"}  # fmt: skip


def unit_factor(unit: str) -> float:
    """Factor from a row's unit to SI.

    Parameters
    ----------
    unit : str
        For example "GPa", "1e6 psi", "1e-6/K", "lb/in" (a force per length) or "-".

    Returns
    -------
    float
        SI value of one such unit [-].

    Raises
    ------
    InputError
        If the unit is not known.

    Examples
    --------
    >>> round(unit_factor("1e6 psi"))
    6894757293
    >>> unit_factor("1e-6/K"), unit_factor("-"), unit_factor("mm per N/mm")
    (1e-06, 1.0, 1e-06)
    """
    text = unit.strip()
    lead = re.match(rf"({_NUMBER})(?=[\s/*]|$)\s*", text)
    factor, rest = (float(lead[1]), text[lead.end() :]) if lead else (1.0, text)
    if " per " in rest:
        above, below = rest.split(" per ")
        return factor * unit_factor(above) / unit_factor(below)
    rest = _UNIT_WORDS.get(rest, rest).replace("/F", "/degF")
    parsed = parse_unit(rest)
    if parsed is None:
        raise InputError("an evidence row has an unknown unit", where="unit", got=unit)
    return factor * parsed[0]


def from_si(value: float, unit: str) -> float:
    """Bring an SI value to a row's unit.

    Parameters
    ----------
    value : float
        SI value.
    unit : str
        Unit of the row.

    Returns
    -------
    float
        The value in that unit.

    Examples
    --------
    >>> round(from_si(181.811e9, "GPa"), 3)
    181.811
    """
    return value / unit_factor(unit)


def given(text: str, name: str, unit: str = "") -> float:
    """One named input, in SI.

    Parameters
    ----------
    text : str
        Inputs text, for example "OD=42.4 mm wall=3.0 mm" or "Vf 0.60: Ef=220 Em=3.6 GPa".
    name : str
        Name in front of the number; "=" or a space may stand between.
    unit : str
        Unit where the text has none behind the number; a list such as "Ef=220 Em=3.6 GPa" shares
        the one at its end, so it must be given here.

    Returns
    -------
    float
        SI value.

    Raises
    ------
    InputError
        If the name does not stand in the text.

    Examples
    --------
    >>> given("OD=42.4 mm wall=3.0 mm", "wall", "mm")
    0.003
    >>> round(given("E1=20.010e6 E2=1.301e6 psi", "E1", "psi") / 1e9, 2)
    137.96
    """
    found = _named(text, name)
    if found is None:
        raise InputError("an evidence row lacks an input", where=name, got=text)
    return float(found[1]) * unit_factor(unit)


def has(text: str, name: str) -> bool:
    """Whether a named number stands in the inputs text.

    Parameters
    ----------
    text, name : str
        Inputs text, and the name looked for.

    Returns
    -------
    bool

    Examples
    --------
    >>> has("E1=181 GPa", "E1"), has("E1=181 GPa", "E2")
    (True, False)
    """
    return _named(text, name) is not None


def _named(text: str, name: str) -> re.Match[str] | None:
    name = re.escape(name)
    return re.search(rf"(?<![A-Za-z0-9]){name}(?:\s*=\s*|\s+)({_NUMBER})", text)
