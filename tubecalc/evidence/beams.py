"""Families of beams: vibration, whirl, columns, classes of metal tubes and their plastic loads."""

from __future__ import annotations

import math
import re

import numpy as np

from tubecalc.beam import Span, exact_root
from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given
from tubecalc.evidence.tubes import isotropic, si, size

_ZERO = np.zeros(1)


def _euler(ends: str, mode: int, tip_ratio: float = 0.0) -> float:
    """Value of omega L^2 sqrt(m / EI) of a beam that neither shears nor has rotary inertia."""
    tip = np.array([tip_ratio])
    return math.sqrt(float(exact_root(Span(ends), mode, _ZERO, _ZERO, tip)[0]))


@register(r"VIB-(?:cant|ff|tip)")
def _roots(row: Row) -> float | None:
    if row.id == "VIB-ff":
        return _euler("free-free", 1)
    if row.id == "VIB-cant-coef":
        return _euler("fixed-free", 1)
    if row.id.startswith("VIB-cant-f3"):
        return _euler("fixed-free", 3) / _euler("fixed-free", 1)
    mode = int(row.id[-1])
    if row.id.startswith("VIB-tip"):
        return _euler("fixed-free", mode, 1.0)
    return math.sqrt(_euler("fixed-free", mode))


@register(r"VIB-tube|WHIRL-tube")
def _tube_frequency(row: Row) -> float | None:
    """Beam without shear, as the row's formula; the solver rows hold the one with shear."""
    text = row.inputs
    density = given(text, "rho", "kg/m3")
    tube = isotropic(*size(text), given(text, "E", "GPa"), density=density)
    length, m = given(text, "L", "m"), si(tube.mass_per_length)
    found = re.search(r"tip mass ([\d.]+) kg", row.quantity)
    tip = float(found[1]) / (m * length) if found else 0.0
    root = _euler("pinned-pinned" if row.id.startswith("WHIRL") else "fixed-free", 1, tip)
    omega = root / length**2 * math.sqrt(si(tube.EI) / m)
    return omega if row.unit == "rpm" else omega / (2 * math.pi)
