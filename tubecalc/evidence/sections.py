"""Family of the section tables: area, moments and mass of round tubes of standards and manuals."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given
from tubecalc.evidence.tubes import diameter, isotropic, si
from tubecalc.tube import Tube

_ALUMINIUM = 0.098 * 0.45359237 / 0.0254**3  # lb/in3, the density the manual states for its table
_STEEL = 7850.0  # kg/m3, the density EN 10219-2 and EN 10210-2 state
_STEEL_AISC = 490.0 * 0.45359237 / 0.3048**3  # lb/ft3, AISC Manual


def _density(row: Row) -> float:
    if row.id.startswith("ADM"):
        return _ALUMINIUM
    return _STEEL_AISC if row.id.startswith("AISC") else _STEEL


def section_property(tube: Tube, name: str) -> float:
    """A tabulated property by the name it has in the table.

    Parameters
    ----------
    tube : Tube
        One isotropic tube.
    name : str
        "A", "mass" or "W" (AISC: weight), "I", "W_el" or "S", "W_pl" or "Z", "I_t" or "J", "W_t"
        or "C", "i" or "r".

    Returns
    -------
    float
        SI value.
    """
    values: dict[str, Callable[[], float]] = {
        "A": lambda: si(tube.area), "mass": lambda: si(tube.mass_per_length),
        "I": lambda: si(tube.I), "I_t": lambda: si(tube.J),
        "W_el": lambda: si(tube.section_modulus), "W_pl": lambda: si(tube.plastic_modulus),
        "W_t": lambda: si(tube.J) / (si(tube.od) / 2),
        "i": lambda: math.sqrt(si(tube.I) / si(tube.area)),
    }  # fmt: skip
    same = {"S": "W_el", "Z": "W_pl", "J": "I_t", "C": "W_t", "r": "i", "W": "mass"}
    return values[same.get(name, name)]()


@register(r"EN102|AISC-(?:HSS|Pipe)|ADM-")
def _table(row: Row) -> float | None:
    text = row.inputs
    wall = given(text, "wall", "in" if " in" in text else "mm")
    if row.id.startswith("AISC-HSS") and row.quantity == "W":
        # the manual weighs the nominal wall; its other properties use 0.93 of it
        nominal = re.search(r"X([\d.]+)-", row.id)
        wall = float(nominal[1]) * 0.0254 if nominal else wall
    return section_property(isotropic(diameter(text), wall, density=_density(row)), row.quantity)
