"""Families of heat, moisture, time and cycles, inserts and bend radius."""

from __future__ import annotations

import re

from tubecalc.checks.service import heat_limit
from tubecalc.checks.stiffness import flattening_radius
from tubecalc.environment import matrix_retention, wet_glass_transition
from tubecalc.environment_growth import contact_pressure, growth
from tubecalc.environment_metal import metal_retention
from tubecalc.environment_time import published, stress_range
from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given, has
from tubecalc.laminate.construction import of_material
from tubecalc.laminate.layup import Layup
from tubecalc.materials import Metal, Ply
from tubecalc.tube import Tube


@register(r"ENV-matrix-")
def _matrix(row: Row) -> float | None:
    t, dry, now, room = (given(row.inputs, x) for x in ("T", "Tg", "Tgw", "room"))
    return float(matrix_retention(t, dry, now, room))


@register(r"ENV-Tgw-")
def _wet(row: Row) -> float | None:
    """In degF in the row; a difference from 32 degF in SI, so the offset is added by hand."""
    dry = (given(row.inputs, "Tg") - 32.0) / 1.8
    wet = float(wet_glass_transition(dry, given(row.inputs, "moisture")))
    return (wet * 1.8 + 32.0) / 1.8


@register(r"ENV-margin")
def _margin(row: Row) -> float | None:
    ply = Ply("resin", E1="130 GPa", E2="9 GPa", G12="4.5 GPa", nu12=0.3, density="1.55 g/cm3",
              t_g=f"{given(row.inputs, 'Tg')} degC")  # fmt: skip
    return heat_limit(of_material(ply))


@register(r"ENV-EC3-E-|ENV-EC9-|ENV-304-")
def _metal(row: Row) -> float | None:
    family = row.inputs.split(",")[0]
    prop = "E" if row.quantity.startswith("E ") else "strength"
    found = metal_retention(family, prop, given(row.inputs, "T"))
    if has(row.inputs, "over"):
        found /= metal_retention(family, prop, given(row.inputs, "over"))
    return found


@register(r"ENV-EC3-C|ENV-EC3-cut")
def _cycles(row: Row) -> float | None:
    slope = given(row.inputs, "m")
    found = stress_range(1.0, slope, given(row.inputs, "N"))
    return found / (stress_range(1.0, slope, given(row.inputs, "over"))
                    if has(row.inputs, "over") else 1.0)  # fmt: skip


@register(r"ENV-(?:glass|carbon)-")
def _share(row: Row) -> float | None:
    wall = Layup.from_notation("[0]", row.inputs.split(" ")[0], "1 mm")
    if has(row.inputs, "N"):
        return published(wall, "fatigue", "tension", given(row.inputs, "N")).share
    return published(wall, "sustained", "tension").share


@register(r"ENV-plug")
def _plug(row: Row) -> float | None:
    ring, plug = (_metal_of(x) for x in row.inputs.split(";")[:2])
    found = re.search(r"ring ([\d.]+) to ([\d.]+) mm", row.inputs)
    if found is None:
        return None
    tube = Tube(ring, od=f"{found[2]} mm", id=f"{found[1]} mm")
    rise = given(row.inputs, "dT")
    return float(contact_pressure(growth(tube.sections), plug.si, rise)[0])


def _metal_of(text: str) -> Metal:
    e, nu, alpha = given(text, "E"), given(text, "nu"), given(text, "alpha")
    return Metal(text[:4], E=f"{e} GPa", nu=nu, density="3 g/cm3", alpha=f"{alpha} 1/K")


@register(r"ENV-flatten")
def _flatten(row: Row) -> float | None:
    radius, t, nu = (given(row.inputs, x) for x in ("R", "t", "nu"))
    metal = Metal("tube", E="200 GPa", nu=nu, density="7.9 g/cm3")
    tube = Tube(metal, od=f"{2 * radius + t} mm", wall=f"{t} mm")
    return float(flattening_radius(tube.sections)[0]) * 0.9


@register(r"TM83320-4\.1-E11")
def _rule_of_mixtures(row: Row) -> float | None:
    """Kf Ef + km Em; the print leaves the matrix out."""
    fibre, matrix = given(row.inputs, "Ef11", "psi"), given(row.inputs, "Em", "psi")
    return given(row.inputs, "kf") * fibre + given(row.inputs, "km") * matrix


@register(r"MAT-304-G-86")
def _inconsistent(row: Row) -> float | None:
    """G of the printed E and nu; the print gives another."""
    return given(row.inputs, "E", "GPa") / (2.0 * (1.0 + given(row.inputs, "nu")))
