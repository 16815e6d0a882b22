"""Sections of evidence tubes: a stack written as text, or an isotropic wall."""

from __future__ import annotations

import csv
import math
import re
from functools import cache
from typing import Any, NamedTuple

import numpy as np

from tubecalc.datafiles import data_dir
from tubecalc.evidence.inputs import given, has
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layup import Layup
from tubecalc.materials import Metal, Ply
from tubecalc.tube import Tube

_SHEET = re.compile(r"(steel|alu|ud|woven|eglass)([+-]\d+)x([\d.]+)")


class Beam(NamedTuple):
    """Bending and shear stiffness alone, where a source gives no tube [N m2, N]."""

    EI: Array
    kGA: Array


@cache
def solver_material(key: str) -> Ply:
    """Material of the finite-element checks.

    Parameters
    ----------
    key : str
        "steel", "alu", "ud", "woven" or "eglass".

    Returns
    -------
    Ply
        Constants of data/evidence/solver_materials.csv; it has no strengths.

    Examples
    --------
    >>> solver_material("ud").E1
    <Quantity(130.0, 'gigapascal')>
    """
    path = data_dir() / "evidence" / "solver_materials.csv"
    with path.open(encoding="utf-8", newline="") as handle:
        v = next(line for line in csv.DictReader(handle) if line["key"] == key)
    moduli = {n: f"{v[n + '_GPa']} GPa" for n in ("E1", "E2", "E3", "G12", "G23")}
    return Ply(
        key, **moduli, nu12=float(v["nu12"]), nu23=float(v["nu23"]),
        density=f"{v['density_g_cm3']} g/cm3",
    )  # fmt: skip


def diameter(text: str) -> float:
    """Outside diameter in the inputs text.

    Parameters
    ----------
    text : str
        For example "OD 10 ID 8 [ud+0x1]" or "OD 42.4 mm; wall 3.0 mm".

    Returns
    -------
    float
        [m].

    Examples
    --------
    >>> round(diameter("OD 1.66 in; wall 0.13 in"), 6), diameter("OD 10 ID 8")
    (0.042164, 0.01)
    """
    return given(text, "OD", "in" if re.search(r"OD [\d.]+ in", text) else "mm")


def solver_tube(text: str) -> Tube:
    """Tube of a finite-element row.

    Parameters
    ----------
    text : str
        Plies inside to outside, material + angle from the axis x thickness in mm:
        "OD 10 ID 8 [ud+90x0.125 ud+0x0.625 woven+0x0.25]".

    Returns
    -------
    Tube

    Examples
    --------
    >>> solver_tube("OD 10 ID 8 [ud+0x1]").EA.to("MN").round(3)
    <Quantity(3.676, 'meganewton')>
    """
    od = diameter(text)
    plies = [(m, float(angle), float(t)) for m, angle, t in _SHEET.findall(text)]
    wall = (od - given(text, "ID", "mm")) / 2 if has(text, "ID") else given(text, "wall", "mm")
    # thicknesses are printed rounded: the wall given by the diameters is the exact one
    scale = wall * 1e3 / math.fsum(t for *_, t in plies)
    layup = Layup.of([(solver_material(m), a, f"{t * scale!r} mm") for m, a, t in plies])
    return Tube(layup, od=f"{od!r} m")


def isotropic(
    od: float,
    wall: float,
    E: float = 200e9,
    nu: float = 0.3,
    *,
    density: float = 7850.0,
    yield_strength: float = 1e8,
) -> Tube:
    """One isotropic tube; SI values.

    Parameters
    ----------
    od, wall : float
        Outside diameter and wall [m]; a wall of half the diameter is a solid bar.
    E, nu : float
        Elastic constants [Pa, -].
    density : float
        [kg/m3].
    yield_strength : float
        [Pa].

    Returns
    -------
    Tube

    Examples
    --------
    >>> isotropic(0.0424, 0.003).area.to("cm^2").round(3)
    <Quantity(3.713, 'centimeter ** 2')>
    """
    metal = Metal(
        "evidence", E=f"{E!r} Pa", nu=nu, density=f"{density!r} kg/m3",
        yield_strength=f"{yield_strength!r} Pa",
    )  # fmt: skip
    return Tube(Layup.of([(metal, 0, f"{wall!r} m")]), od=f"{od!r} m")


def size(text: str) -> tuple[float, float]:
    """Diameter and wall in the inputs text.

    Parameters
    ----------
    text : str
        For example "CHS 244.5 x 10", "tube 30x2" or "OD 48.3, t 3.0 mm", in mm.

    Returns
    -------
    tuple of float
        [m].

    Examples
    --------
    >>> size("CHS 159 x 4")
    (0.159, 0.004)
    """
    found = re.search(r"([\d.]+) ?x ?([\d.]+)", text)
    if found is None:
        return given(text, "OD", "mm"), given(text, "t", "mm")
    return float(found[1]) / 1e3, float(found[2]) / 1e3


def si(quantity: Any) -> float:
    """SI value of a quantity.

    Parameters
    ----------
    quantity : Quantity
        As the public functions return it.

    Returns
    -------
    float

    Examples
    --------
    >>> round(si(isotropic(0.01, 0.001).od), 6)
    0.01
    """
    return float(quantity.to_base_units().magnitude)


def peak_stress(tube: Tube, component: str, **loads: str) -> float:
    """Largest ply-axis stress in a tube, with its sign, on the tension side of bending.

    Parameters
    ----------
    tube : Tube
        One tube.
    component : str
        "sigma1", "sigma2" or "tau12".
    **loads : str
        Section loads, as `Tube.ply_stress` takes them.

    Returns
    -------
    float
        [Pa].

    Examples
    --------
    >>> round(peak_stress(isotropic(0.01, 0.001), "sigma1", axial="1 kN") / 1e6, 2)
    35.37
    """
    table = tube.ply_stress(**loads)
    values = table.loc[table["station"] != "compression side", f"{component}_MPa"].to_numpy(float)
    return 1e6 * float(values[np.argmax(np.abs(values))])
