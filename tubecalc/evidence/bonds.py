"""Families of bonded laps: shear lag of plates and tubes, load and heat."""

from __future__ import annotations

import math

import numpy as np

from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given
from tubecalc.joining.bond_lag import Lap, average, end_shear

_ONE = np.ones(1)


def _lap(length: float, width: float, spring: float, tube: float, insert: float) -> Lap:
    return Lap(*(x * _ONE for x in (length, width, spring, tube, insert)))


def _peak(lap: Lap, load: float, mismatch: float = 0.0) -> float:
    return float(np.max(np.abs(end_shear(lap, load, mismatch))))


@register(r"BOND-SHIG-")
def _double_lap(row: Row) -> float | None:
    """Half of a symmetric double lap: one outer member, half of the inner one."""
    text = row.inputs
    width, length = given(text, "b", "in"), given(text, "l", "in")
    outer = given(text, "Eo", "psi") * given(text, "to", "in") * width
    inner = given(text, "Ei", "psi") * given(text, "ti", "in") / 2.0 * width
    lap = _lap(length, width, given(text, "G", "psi") / given(text, "h", "in"), outer, inner)
    load = given(text, "P", "lbf") / 2.0
    if row.quantity.startswith("average"):
        return float(average(lap, load)[0])
    if row.quantity.startswith("peak tau thermal"):
        free = (given(text, "alpha_i") - given(text, "alpha_o")) * given(text, "dT")
        return _peak(lap, 0.0, free)
    return _peak(lap, load)


@register(r"BOND-VOLK-")
def _volkersen(row: Row) -> float | None:
    text = row.inputs
    first, second = given(text, "E1t1", "N/mm"), given(text, "E2t2", "N/mm")
    lap = _lap(given(text, "l", "mm"), 1.0, given(text, "G", "MPa") / given(text, "ta", "mm"),
               first, second)  # fmt: skip
    return _peak(lap, 1.0) / float(average(lap, 1.0)[0])


@register(r"BOND-COAX-")
def _tubes(row: Row) -> float | None:
    """Inner tube 30 x 2 mm in an outer one of 34.4 x 2 mm, layer of 0.2 mm, 40 mm long."""
    text = row.inputs
    inner, outer, wall = (given(text, x, "mm") / 2.0 for x in ("inner carbon", "outer Al", "wall"))
    wall *= 2.0
    gap, length = given(text, "ta", "mm"), given(text, "l", "mm")
    spring, radius = given(text, "Ga", "GPa") / gap, inner + gap / 2.0
    radii = ((inner - wall, inner), (outer - wall, outer))
    if "torsion" in row.quantity:
        moduli = given(text, "G1", "GPa"), given(text, "G2", "GPa")
        stiff = [g * math.pi / 2.0 * (b**4 - a**4) / radius**2
                 for g, (a, b) in zip(moduli, radii, strict=True)]  # fmt: skip
    else:
        moduli = given(text, "E1", "GPa"), given(text, "E2", "GPa")
        stiff = [e * math.pi * (b**2 - a**2) for e, (a, b) in zip(moduli, radii, strict=True)]
    lap = _lap(length, 2.0 * math.pi * radius, spring, *stiff)
    return _peak(lap, 1.0) / float(average(lap, 1.0)[0])
