"""Families of closed formulas: columns, shear, deflection, torsion, shells, metals."""

from __future__ import annotations

import math
from typing import cast

import numpy as np

from tubecalc.checks.column import bowed_load, critical_load
from tubecalc.checks.stiffness import deflection
from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given, has
from tubecalc.evidence.laminates import stack_of
from tubecalc.evidence.sections import section_property
from tubecalc.evidence.tubes import Beam, isotropic, peak_stress, si, size
from tubecalc.loads import flexure
from tubecalc.materials import Metal, get_metal, materials
from tubecalc.need import Case
from tubecalc.section import Sections, shear_coefficient
from tubecalc.tube import Tube

_ONE = np.ones(1)
_METALS = {"304": "304-annealed", "6063-T6": "6063-T6", "6061-T6": "6061-T6",
           "Ti-3Al-2.5V": "Ti-3Al-2.5V"}  # fmt: skip


def _beam(EI: float, kGA: float) -> Sections:
    """Stand-in for a section of which only the stiffness is known."""
    return cast(Sections, Beam(EI * _ONE, kGA * _ONE))


# --- sections and columns ---------------------------------------------------------------------


@register(r"SEC-QUAD|COL-EC3-6\.7-(?:I|W_el)$|COL-SS1-(?:A|W_el|W_pl)$")
def _section(row: Row) -> float | None:
    return section_property(isotropic(*size(row.inputs)), row.quantity.split(" ")[0])


def _chi(slenderness: float, alpha: float, plateau: float) -> float:
    """Share of the squash load that a bowed strut carries: the bow of the code's curve."""
    eta = alpha * (slenderness - plateau)
    return float(bowed_load(_ONE / slenderness**2, _ONE, _ONE, eta)[0])


@register(r"COL-EC3-curve-b|COL-EC9-")
def _curve(row: Row) -> float | None:
    text = row.inputs
    plateau = given(text, "lam0") if has(text, "lam0") else 0.2  # EN 1993-1-1, 6.3.1.2
    return _chi(given(text, "lam"), given(text, "alpha"), plateau)


@register(r"COL-EC3-6\.7-S")
def _ec3_strut(row: Row) -> float | None:
    text = row.inputs
    fy, length = given(text, "fy", "MPa"), given(text, "L", "mm")
    tube = isotropic(*size(text), given(text, "E", "MPa"))
    euler = math.pi**2 * si(tube.EI) / length**2  # the standard leaves shear out
    squash = si(tube.area) * fy
    return _chi(math.sqrt(squash / euler), given(row.quantity, "alpha"), 0.2) * squash


@register(r"COL-ENGESSER")
def _engesser(row: Row) -> float | None:
    text = row.inputs
    length = given(text, "L", "mm")
    EI = given(text, "PE", "N") * length**2 / math.pi**2
    return float(critical_load(_beam(EI, given(text, "kGA", "N")), length, 1.0)[0])


# --- shear and deflection ---------------------------------------------------------------------


@register(r"SHEAR-")
def _shear(row: Row) -> float | None:
    text = row.inputs
    nu = given(text, "nu_LT" if has(text, "nu_LT") else "nu")
    g = given(text, "E/G") if has(text, "E/G") else 2.0 * (1.0 + nu)
    m = given(text, "ro") if has(text, "ro") else given(text, "m") if has(text, "m") else 1.0
    return float(shear_coefficient(g * _ONE, nu * _ONE, m * _ONE)[0])


@register(r"DEF-")
def _deflection(row: Row) -> float | None:
    text = row.inputs
    if row.id == "DEF-cant-seen":  # P = L = 1, EI = 10, kGA = 50; the source counts downwards
        tip = flexure(Case("cantilever", load=1.0, span=1.0))
        return None if tip is None else -float(deflection(_beam(10.0, 50.0), tip)[0])
    beam = _beam(given(text, "EI", "N mm2"), given(text, "kGA", "N"))
    load, span = given(text, "P", "N"), given(text, "L", "mm")
    cases = {
        "DEF-3pt": Case("three-point", load=load, span=span),
        "DEF-4pt-third": Case("four-point", load=load, span=span),
        "DEF-4pt-quarter": Case("four-point", load=load, span=span, inner_span=span / 2),
        "DEF-cant": Case("cantilever", load=load, span=span),
    }
    bending = flexure(cases[row.id])
    return None if bending is None else float(deflection(beam, bending)[0])


# --- torsion and bending of metals ------------------------------------------------------------


@register(r"TOR-HIB51")
def _torque(row: Row) -> float | None:
    ro, tau = given(row.inputs, "ro", "mm"), given(row.inputs, "tau", "MPa")
    ri = given(row.inputs, "ri", "mm") if has(row.inputs, "ri") else 0.0
    tube = isotropic(2 * ro, ro - ri, yield_strength=math.sqrt(3.0) * tau)  # von Mises
    return float(tube.sections.unit["torsion"].broken[0])


@register(r"TOR-HIB53")
def _shear_stress(row: Row) -> float | None:
    ro, ri = given(row.inputs, "ro", "mm"), given(row.inputs, "ri", "mm")
    tube = isotropic(2 * ro, ro - ri)
    torque = f"{given(row.inputs, 'T')!r} N m"
    outer = peak_stress(tube, "tau12", torque=torque)
    if row.quantity.endswith("outer"):
        return outer
    table = tube.ply_stress(torque=torque)
    return 1e6 * float(table.loc[table["face"] == "inner", "tau12_MPa"].iloc[0])


@register(r"PLAST-AISC-F9B-Z")
def _plastic(row: Row) -> float | None:
    tube = isotropic(given(row.inputs, "D", "in"), given(row.inputs, "tdes", "in"))
    return section_property(tube, "Z")


@register(r"PLAST-thin$")
def _shape_factor(row: Row) -> float | None:
    thin = isotropic(0.1, 1e-5)
    return si(thin.plastic_modulus) / si(thin.section_modulus)


@register(r"BEND-")
def _bend_radius(row: Row) -> float | None:
    od, strain = given(row.inputs, "D", "mm"), given(row.inputs, "eps")
    tube = isotropic(od, od / 10, 200e9, yield_strength=strain * 200e9)
    return si(tube.EI) / float(tube.sections.unit["bending"].broken[0])


@register(r"CORNELL-HW7-Nxy")
def _shear_flow(row: Row) -> float | None:
    """Flow at the mean radius that turns as the shear stresses of all plies do together."""
    wall, radius = stack_of(row.inputs), given(row.inputs, "mean radius", "mm")
    table = Tube(wall, od=f"{2 * radius + wall.t!r} m").ply_stress(torque="1 kN m")
    turn = np.radians(table["angle"].to_numpy())
    along, across, shear = (1e6 * table[f"{k}_MPa"].to_numpy()
                            for k in ("sigma1", "sigma2", "tau12"))  # fmt: skip
    stress = np.sin(turn) * np.cos(turn) * (along - across) + np.cos(2 * turn) * shear
    edges = radius - wall.t / 2 + np.cumsum([0.0, *(x.thickness for x in wall.plies)])
    faces = np.repeat(edges, 2)[1:-1]  # inner and outer one of each ply
    turning = (stress * (faces / radius) ** 2).reshape(-1, 2).mean(axis=1)
    return float(np.sum(turning * np.diff(edges)))


# --- thick walls and rings --------------------------------------------------------------------


@register(r"LAME-1-hoop-a$|LAME-3$")
def _bore_stress(row: Row) -> float | None:
    text = row.inputs
    length, pressure = ("mm", "MPa") if "mm" in text else ("in", "psi")
    a, b = given(text, "a", length), given(text, "b", length)
    load = f"{given(text, 'p', pressure)!r} Pa"
    return peak_stress(isotropic(2 * b, b - a), "sigma2", p_in=load)


@register(r"RING-dV$")
def _ring(row: Row) -> float | None:
    """A ring so thin that only bending counts."""
    tube = isotropic(0.2001, 1e-4)
    bending = float(tube.layup.D.to_base_units().magnitude[1, 1])
    return si(tube.pinch(per_length="1 N/m")) * bending / 0.1**3


# --- metals -----------------------------------------------------------------------------------


@register(r"MAT-.*-G$")
def _shear_modulus(row: Row) -> float | None:
    unit = "Msi" if "Msi" in row.inputs else "GPa"
    metal = Metal(
        "evidence", E=f"{given(row.inputs, 'E', unit)!r} Pa", nu=given(row.inputs, "nu"),
        density="1 g/cm3",
    )  # fmt: skip
    return float(metal.G12.to("Pa").magnitude)


@register(r"MAT-304-(?:E|density)$|MAT-.*-yield-min")
def _metal_value(row: Row) -> float | None:
    """The value in the data, against the one the source prints."""
    key = _METALS[row.inputs.split(",")[0]]
    if row.quantity in ("E", "density"):
        return float(getattr(get_metal(key), row.quantity).to_base_units().magnitude)
    table = materials()
    found = table[
        (table["key"] == key)
        & (table["property"] == "yield_strength")
        & (table["basis"] == "minimum")
    ]
    return float(found["value"].iloc[0]) * 1e6 if len(found) == 1 else None
