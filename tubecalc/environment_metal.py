"""Metals at temperature: shares of stiffness and yield strength, tables of the Eurocodes."""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from tubecalc import datafiles
from tubecalc.laminate.elastic import Array
from tubecalc.values import Values

_METALS = {  # family -> density [kg/m3] and modulus [Pa] between which a metal is taken for it
    "aluminium": (2500.0, 2950.0, 60e9, 80e9),
    "titanium": (4300.0, 4800.0, 95e9, 125e9),
    "stainless": (7875.0, 8100.0, 185e9, 205e9),
    "steel": (7700.0, 7900.0, 190e9, 215e9),
}


@cache
def heat_tables() -> dict[tuple[str, str], tuple[Array, Array, str]]:
    """(family, property) -> temperatures, factors, source with its standing."""
    found: dict[tuple[str, str], list[tuple[float, float]]] = {}
    said: dict[tuple[str, str], str] = {}
    for row in datafiles.rows("materials/heat.csv"):
        key = row["family"], row["property"]
        found.setdefault(key, []).append((float(row["temperature"]), float(row["value"])))
        said[key] = f"{row['source']}, {row['where']} ({row['standing']})"
    return {
        k: (np.array([t for t, _ in v]), np.array([f for _, f in v]), said[k])
        for k, v in found.items()
    }


def metal_family(values: Values) -> str:
    """Family of a metal by its density and modulus, "" if none fits.

    Parameters
    ----------
    values : Values
        An isotropic material.

    Returns
    -------
    str
        "aluminium", "aluminium-6063", "steel", "stainless" or "titanium". Own rule: the alloy is
        told by its name, the rest by density and modulus.

    Examples
    --------
    >>> from tubecalc.materials import get_metal
    >>> [metal_family(get_metal(k).si) for k in ("304", "6063-T6", "mild-steel")]
    ['stainless', 'aluminium-6063', 'steel']
    """
    for family, (least, most, soft, stiff) in _METALS.items():
        if least <= values.density <= most and soft <= values.E1 <= stiff:
            return f"{family}-6063" if family == "aluminium" and "6063" in values.name else family
    return ""


def metal_retention(family: str, prop: str, temperature: float) -> float:
    """Share of the room-temperature value that a metal keeps.

    Parameters
    ----------
    family : str
        As from `metal_family`.
    prop : str
        "strength" (0.2 % proof) or "E".
    temperature : float
        Metal temperature [degC].

    Returns
    -------
    float
        Share, linear between the lines of the table; NaN beyond its end or without a table [-].

    Examples
    --------
    >>> metal_retention("steel", "E", 250.0), metal_retention("aluminium", "strength", 90.0)
    (0.85, 0.9)
    """
    table = heat_tables().get((family, prop))
    if table is None or temperature > table[0][-1]:
        return math.nan
    return round(float(np.interp(temperature, table[0], table[1])), 12)
