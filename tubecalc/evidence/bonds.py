"""Families of bonded laps: shear lag of plates and tubes, load and heat."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import numpy as np

from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given
from tubecalc.joining.adhesives import Adhesive
from tubecalc.joining.bond import bond
from tubecalc.joining.bond_lag import Lap, average, end_shear
from tubecalc.laminate.layup import Layup
from tubecalc.materials import Metal, Ply
from tubecalc.tube import Tube

_ONE = np.ones(1)


@cache
def _of_solver(name: str) -> Metal | Ply:
    """Materials of the meshed laps, as their rows name them."""
    if name == "aluminium":
        return Metal("aluminium", E="70 GPa", nu=0.33, density="2.7 g/cm3")
    return Ply("axial carbon", E1="125 GPa", E2="9 GPa", G12="4.5 GPa", nu12=0.3, nu23=0.4,
               G23="3.2 GPa", density="1.5 g/cm3", S12="80 MPa", Xt="2 GPa", Xc="1 GPa",
               Yt="50 MPa", Yc="200 MPa")  # fmt: skip


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


@cache
def _lap_of_solver(text: str) -> tuple[float, float]:
    """Shear stress at both ends of a lap as its row's inputs tell it, insert's end first."""
    bore, outside, hole, wide = (
        given(text, x, "mm") for x in ("insert bore", "insert od", "tube bore", "tube od")
    )
    modulus, nu = given(text, "Ea", "MPa"), given(text, "nua")
    glue = Adhesive.of("evidence", shear_modulus=f"{modulus / 2 / (1 + nu)!r} Pa", nu=nu)
    of = "aluminium" if "tube aluminium" in text else "axial carbon"
    tube = Tube(Layup.of([(_of_solver(of), 0.0, f"{(wide - hole) / 2!r} m")]), id=f"{hole!r} m")
    insert = Tube(_of_solver("aluminium"), od=f"{outside!r} m", id=f"{bore!r} m")
    load: dict[str, Any] = {
        "pull": {"axial": "1 kN"}, "twist": {"torque": "10 N m"}, "bend": {"moment": "10 N m"},
    }[text.split("; ")[-1].split(" ")[0]]  # fmt: skip
    made = bond(tube, insert, overlap=f"{given(text, 'overlap', 'mm')!r} m", adhesive=glue, **load)
    along = made.shear_along(made.room, heat=False)[:, 0]
    return float(along[0]), float(along[-1])


@register(r"LAPFE-")
def _meshed(row: Row) -> float | None:
    return _lap_of_solver(row.inputs)[0 if row.id.endswith("insert") else 1]
