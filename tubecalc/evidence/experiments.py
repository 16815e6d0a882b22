"""Families of the experiments: published tests on real tubes, predicted without tuning."""

from __future__ import annotations

import math
import re
from functools import cache

import numpy as np

from tubecalc.checks.column import bowed_load
from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given
from tubecalc.evidence.laminates import moduli, ply_of
from tubecalc.evidence.sections import section_property
from tubecalc.evidence.tubes import isotropic, si
from tubecalc.laminate.criteria_insitu import last_ply_factor
from tubecalc.laminate.layup import Layup
from tubecalc.laminate.notation import read_notation
from tubecalc.materials import Metal, Ply
from tubecalc.need import Need
from tubecalc.shell import knock_down, ritz
from tubecalc.shell.ritz import Acting
from tubecalc.shell.walls import shell_walls
from tubecalc.tube import Tube
from tubecalc.verdict import check

_NU = 0.3  # where the source gives none; no row depends on it by more than 1 %


def _notation(text: str) -> str:
    found = re.search(r"\[[^\]]+\](?:_?s)?", text)
    if found is None:
        raise ValueError(f"no stack in {text!r}")
    return re.sub(r"\]s$", "]_s", found[0])


def _shell(text: str, unit: str = "mm") -> Tube:
    """Thin tube of mean radius R and wall h, its plies of equal thickness."""
    radius, wall = given(text, "R", unit), given(text, "h", unit)
    od = f"{2 * radius + wall!r} m"
    if "isotropic" in text:
        return isotropic(2 * radius + wall, wall, given(text, "E", "GPa"), given(text, "nu"))
    angles = read_notation(_notation(text))
    each = f"{wall / len(angles)!r} m"
    return Tube(Layup.of([(ply_of(text), a, each) for a in angles]), od=od)


@register(r"EXP-T")
def _torsion(row: Row) -> float | None:
    text = row.inputs
    nu, shear = given(text, "nu"), given(text, "G", "psi")
    od, wall = given(text, "OD", "in"), given(text, "wall", "in")
    return si(isotropic(od, wall, 2 * (1 + nu) * shear, nu).GJ)


@register(r"EXP-C[12]-")
def _rod(row: Row) -> float | None:
    """Straight rod between clamps: buckling or yield, whichever comes first."""
    text = row.inputs
    d, fy = given(text, "D", "mm"), given(text, "fy", "MPa")
    rod = isotropic(d, d / 2, given(text, "E", "GPa"), _NU, yield_strength=fy)
    span = f"{given(text, 'L', 'mm')!r} m"
    need = f'[[case]]\nkind = "strut"\nload = "-1 N"\nspan = "{span}"\nends = "fixed-fixed"'
    reserve = check(rod, Need.from_toml(need)).reserve
    return min(float(reserve["column"]), float(reserve["strength"]))


@register(r"EXP-B1")
def _eccentric(row: Row) -> float | None:
    """First yield; the arm of the load acts as a bow."""
    text = row.inputs
    fy, length = given(text, "fy", "MPa"), f"{given(text, 'L', 'mm')!r} m"
    tube = isotropic(given(text, "D", "mm"), given(text, "t", "mm"), given(text, "E", "GPa"), _NU)
    euler = np.array([si(tube.critical("column", length=length))])
    squash, moment = (np.array([fy * section_property(tube, n)]) for n in ("A", "W_el"))
    return float(bowed_load(euler, squash, moment, given(text, "e", "mm"))[0])


@register(r"EXP-C3-")
def _strut(row: Row) -> float | None:
    text = row.inputs
    radius, wall = given(text, "R", "in"), given(text, "h", "in")
    ply = Ply(
        "boron/epoxy", density="2 g/cm3", nu12=given(text, "nu12"),
        **{n: f"{given(text, n, 'Msi')!r} Pa" for n in ("E1", "E2", "G12")},
    )  # fmt: skip
    tube = Tube(Layup.of([(ply, 0, f"{wall!r} m")]), od=f"{2 * radius + wall!r} m")
    return si(tube.critical("column", length=f"{given(text, 'L', 'in')!r} m"))


@cache
def _clamped(text: str) -> float:
    """Axial buckling load of the perfect shell between the stiff plates of a test machine."""
    tube, length = _shell(text), given(text, "L", "mm")
    wall, radius = shell_walls(tube.sections.walls), float(tube.sections.R[0])

    @cache
    def load(n: int) -> float:
        return ritz(wall, radius, length, Acting(axial=1.0), [n], range(1, 24), clamped=True)

    best = min(range(0, 22, 2), key=load)  # two valleys are common, so every second one is tried
    return min(load(n) for n in (best, best + 1, abs(best - 1)))


@register(r"EXP-S(?!2)")
def _axial(row: Row) -> float | None:
    """Perfect shell; the design load of the data base beside the cautious bound."""
    perfect = _clamped(row.inputs)
    if not row.quantity.startswith("design load"):
        return perfect
    return perfect * float(knock_down(_shell(row.inputs).sections)[0])


@register(r"EXP-S2|EXP-K1")
def _torque(row: Row) -> float | None:
    """Perfect shell, lower of the two signs, simply supported ends."""
    tube, length = _shell(row.inputs), f"{given(row.inputs, 'L', 'mm')!r} m"
    return min(si(tube.critical(s, length=length)) for s in ("torsion+", "torsion-"))


@register(r"EXP-W")
def _shaft(row: Row) -> float | None:
    text = row.inputs
    e1, e2, g12, nu12 = moduli(text)
    angles = read_notation(_notation(text))
    ply = Ply(
        "boron/epoxy", E1=f"{e1!r} Pa", E2=f"{e2!r} Pa", G12=f"{g12!r} Pa", nu12=nu12,
        density=f"{given(text, 'rho')!r} kg/m3",
    )  # fmt: skip
    each = f"{given(text, 'wall', 'mm') / len(angles)!r} m"
    tube = Tube(Layup.of([(ply, a, each) for a in angles]), od=f"{given(text, 'OD', 'mm')!r} m")
    length = f"{given(text, 'L', 'm')!r} m"
    if row.unit == "rpm":
        return 2 * math.pi / 60 * float(tube.critical_speed(length=length).to("rpm").magnitude)
    return min(si(tube.critical(s, length=length)) for s in ("torsion+", "torsion-"))


@register(r"EXP-E1")
def _hybrid(row: Row) -> float | None:
    """Fibre and matrix, then composite and metal, each by share of the section."""
    text = row.inputs
    ef, em, vf = given(text, "Ef", "Msi"), given(text, "Em", "Msi"), given(text, "Vf")
    plies = Ply(
        "composite", E1=f"{vf * ef + (1 - vf) * em!r} Pa", E2=f"{1.0e9!r} Pa", G12="4 GPa",
        nu12=0.3, density="1.7 g/cm3",
    )  # fmt: skip
    skin = Metal("skin", E=f"{given(text, 'EAl', 'Msi')!r} Pa", nu=0.33, density="2.7 g/cm3")
    wall = Layup.of([(skin, 0, "0.1 mm"), (plies, 0, "0.8 mm"), (skin, 0, "0.1 mm")])
    return float(wall.Ex.to("Pa").magnitude)


@register(r"EXP-R1")
def _flattening(row: Row) -> float | None:
    """A thin ring of the stated stiffness class, 5 % flatter."""
    text = row.inputs
    d, length = given(text, "D", "mm"), given(text, "L", "mm")
    stiffness, wall = given(text, "EI/D3") * d**3, 5e-3 * d
    tube = isotropic(d + wall, wall, 12 * stiffness / wall**3 * (1 - _NU**2), _NU)
    return 0.05 * d * length / si(tube.pinch(per_length="1 N/m"))


@register(r"EXP-Q1")
def _pulled_tube(row: Row) -> float | None:
    wall = Layup.from_notation(_notation(row.inputs), _strong(row.inputs), "0.1375 mm")
    tube = Tube(wall, od="100 mm")
    return float(tube.sections.unit["tension"].broken[0]) / si(tube.area)


@register(r"EXP-Q2")
def _wound_tube(row: Row) -> float | None:
    wall = Layup.from_notation(_notation(row.inputs), _strong(row.inputs), "0.25 mm")
    return last_ply_factor(wall, np.array([0.5, 1.0, 0.0]) * wall.t)


def _strong(text: str) -> Ply:
    """Ply whose two strengths along the fibre differ."""
    found = ply_of(text)
    e1, e2, g12, nu12 = moduli(text)
    words = (("Xt", "Xt"), ("Xc", "Xc"), ("Yt", "Yt"), ("Yc", "Yc"), ("S12", "S"))
    return Ply(
        found.name, E1=f"{e1!r} Pa", E2=f"{e2!r} Pa", G12=f"{g12!r} Pa", nu12=nu12,
        density="1.6 g/cm3", **{k: f"{given(text, w, 'MPa')!r} Pa" for k, w in words},
    )  # fmt: skip
