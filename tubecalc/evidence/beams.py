"""Families of beams: vibration, whirl, columns, classes of metal tubes and their plastic loads."""

from __future__ import annotations

import math
import re

import numpy as np

from tubecalc.beam import Span, exact_root
from tubecalc.beam_column import buckling_root, helix_torque
from tubecalc.checks.column import bowed_load
from tubecalc.checks.vibration import oval_frequency
from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given
from tubecalc.evidence.sections import section_property
from tubecalc.evidence.tubes import isotropic, si, size, solver_tube
from tubecalc.loads import flexure
from tubecalc.need import Case
from tubecalc.tube import Tube

_ZERO = np.zeros(1)
_INCH = 0.0254


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


@register(r"VIB-(?:thick|root)-")
def _tabled_root(row: Row) -> float | None:
    """Fourth root of lambda: beta L of a slender beam, or of one with shear and rotary inertia."""
    found = re.search(r"mode (\d), ([\w-]+)", row.quantity)
    if found is None:
        return None
    r2, s2 = _ZERO, _ZERO
    if row.id.startswith("VIB-thick"):
        r2 = np.array([given(row.inputs, "h/L") ** 2 / 12.0])  # rectangular section
        s2 = r2 * 2.0 * (1.0 + given(row.inputs, "nu")) / given(row.inputs, "k")
    root = exact_root(Span(found[2]), int(found[1]), s2, r2, _ZERO)
    return math.sqrt(math.sqrt(float(root[0])))


@register(r"VIB-FE-")
def _short_tube(row: Row) -> float | None:
    """Bending of a short tube, or the ovalling of its section where that comes first."""
    tube, ends = solver_tube(row.inputs), row.quantity.split(" ")[-1]
    if row.quantity.endswith("ovalling"):
        return float(oval_frequency(tube.sections)[0])
    return si(tube.frequency(length=f"{given(row.inputs, 'L')!r} mm", ends=ends))


@register(r"COL-FE-")
def _short_column(row: Row) -> float | None:
    length = f"{given(row.inputs, 'L')!r} mm"
    return si(solver_tube(row.inputs).critical("column", length=length))


@register(r"COL-(?:propped|fixed-guide|helix)")
def _end_conditions(row: Row) -> float | None:
    if row.id.startswith("COL-helix"):
        return helix_torque(row.quantity.split(" ")[-1])
    if row.id == "COL-propped":
        return float(buckling_root("fixed-pinned", _ZERO)[0]) ** 2
    return float(buckling_root("fixed-fixed", _ZERO, guides=1)[0]) ** 2


# --- metal tubes of the standards -----------------------------------------------------------------


def _bar(diameter: float, yield_strength: float) -> Tube:
    """A solid bar, to stand for a section of which a source gives one property only."""
    return isotropic(diameter, diameter / 2.0, yield_strength=yield_strength)


def _strength(tube: Tube, load: str) -> float:
    return float(tube.sections.unit[load].broken[0])


@register(r"COL-SS1-NcRd")
def _squash(row: Row) -> float | None:
    """Squash load over the partial factor; the area is the rounded one of the source."""
    area = float(row.inputs.split(" ")[0]) * 1e-4
    bar = _bar(math.sqrt(4.0 * area / math.pi), given(row.inputs, "fy", "MPa"))
    return _strength(bar, "compression") / given(row.inputs, "gM0")


@register(r"COL-SS1-NbRd")
def _bowed(row: Row) -> float | None:
    """Bowed strut with the bow of the code's curve, the rounded area of the source."""
    squash = 19.5e-4 * 220e6 / 1.1
    tube = isotropic(0.159, 0.004, 200e9)
    euler = math.pi**2 * si(tube.EI) / given(row.inputs, "L", "m") ** 2
    slenderness = math.sqrt(1.1 * squash / euler)
    bow = given(row.inputs, "alpha") * (slenderness - 0.2)
    one = np.ones(1)
    return squash * float(bowed_load(one / slenderness**2, one, one, bow)[0])


@register(r"COL-AISC-E11-KLr")
def _slenderness(row: Row) -> float | None:
    """The pipe by its design wall, not the rounded radius of gyration in the source."""
    radius = section_property(isotropic(10.75 * _INCH, 0.34 * _INCH), "r")
    return given(row.inputs, "KL", "ft") / radius


@register(r"PLAST-AISC-F9B-Mp")
def _plastic_moment(row: Row) -> float | None:
    """Yield moment times the shape factor, for a bar of the stated plastic modulus."""
    modulus = given(row.inputs, "Z", "in3")
    bar = _bar((6.0 * modulus) ** (1.0 / 3.0), given(row.inputs, "Fy", "ksi"))
    shape = si(bar.plastic_modulus) / si(bar.section_modulus)
    return _strength(bar, "bending") * shape


@register(r"TOR-AISC-H5B-Tn")
def _torque(row: Row) -> float | None:
    """Torque at the shear stress the standard allows, 0.6 Fy (von Mises has 0.577)."""
    shear = 0.6 * given(row.inputs, "Fy", "ksi")
    diameter = (16.0 * given(row.inputs, "C", "in3") / math.pi) ** (1.0 / 3.0)
    return _strength(_bar(diameter, math.sqrt(3.0) * shear), "torsion")


@register(r"CALLISTER-DE16\.1-E")
def _needed_modulus(row: Row) -> float | None:
    """Modulus at which bending alone gives the deflection, as the source has it."""
    text = row.inputs
    od, bore = given(text, "OD", "mm"), given(text, "ID", "mm")
    case = Case("three-point", load=1000.0, span=given(text, "span", "m"))
    bending = flexure(case)
    if bending is None:
        return None
    return float(bending.bend) / (si(isotropic(od, (od - bore) / 2).I) * 0.35e-3)
