"""Families of thick walls: Lame's cylinder, radial stress of layered walls, wound vessels."""

from __future__ import annotations

import itertools
import math
import re

import numpy as np

from tubecalc.checks.pressure import netting_angle
from tubecalc.evidence.book import Row, register
from tubecalc.evidence.finite_elements import stack_named
from tubecalc.evidence.inputs import given
from tubecalc.evidence.tubes import si, solver_tube
from tubecalc.laminate.elastic import reduced_stiffness, stress_rotation
from tubecalc.laminate.layup import Layup
from tubecalc.materials import Metal
from tubecalc.thickwall import Solution, ThickWall

GAUSS = 0.5 / math.sqrt(3.0)  # of the thickness, from its middle: points of a reduced brick
NEARLY_HALF = 0.5 - 1e-8  # Poisson ratio of a material that keeps its volume


def plane_strain(layup: Layup, outside: float, pressure: float) -> Solution:
    """A tube under pressure inside, held to its length.

    Parameters
    ----------
    layup : Layup
        Stack.
    outside : float
        Outside radius [m].
    pressure : float
        Pressure inside [Pa].

    Returns
    -------
    Solution

    Examples
    --------
    >>> steel = Layup.of([("304", 0, "10 mm")])
    >>> abs(plane_strain(steel, 0.020, 100e6).axial_strain) < 1e-12
    True
    """
    wall = ThickWall(layup, outside)
    free, pull = wall.solve(p_in=pressure), wall.solve(axial=1.0)
    return wall.solve(p_in=pressure, axial=-free.axial_strain / pull.axial_strain)


@register(r"LAME-1-u|LAME-2")
def _lame(row: Row) -> float:
    """Isotropic thick cylinder held to its length."""
    metre = row.id.startswith("LAME-2")
    a, b, p = (given(row.inputs, n, u) for n, u in (("a", ""), ("b", ""), ("p", "MPa")))
    a, b = (a, b) if metre else (a / 1e3, b / 1e3)
    nu = min(given(row.inputs, "nu"), NEARLY_HALF)
    modulus = 2e11 if metre else given(row.inputs, "E", "GPa")
    metal = Metal("row", E=f"{modulus!r} Pa", nu=nu, density="1 g/cm3", yield_strength="1 MPa")
    found = plane_strain(Layup.of([(metal, 0, f"{b - a!r} m")]), b, p)
    if row.quantity.startswith("u_r"):
        at = b if "0.2" in row.quantity else a
        return found.hoop_strain(0, at) * at
    return float(found.wall_stress(0, a)[("sigma_zz", "sigma_theta", "sigma_r").index(
        row.quantity.split("(")[0].strip()
    )])  # fmt: skip


@register(r"XS_")
def _peak(row: Row) -> float:
    """Largest stress of either sign at the integration points of one brick a ply."""
    name = row.inputs.split(" ")[0]
    force = float(re.search(r"=\[([\d.]+), 0, 0\]", row.inputs)[1])  # type: ignore[index]
    tube = solver_tube(stack_named(name))
    layup, outside = tube.layup, si(tube.od) / 2
    found = ThickWall(layup, outside).solve(axial=force)
    faces = layup.faces + outside - layup.t / 2
    points = [
        (ply, (a + b) / 2 + sign * GAUSS * (b - a))
        for ply, (a, b) in enumerate(itertools.pairwise(faces.tolist()))
        for sign in (-1, 1)
    ]
    part = ("axial", "hoop", "radial", "shear").index(row.quantity.split(" ")[1])
    values = np.array([found.wall_stress(ply, r)[part] for ply, r in points])
    peak = float(values[np.argmax(np.abs(values))])
    return abs(peak) if part == 3 else peak  # the sign of shear is that of the ply looked at


@register(r"DI-VESSEL-p")
def _wound_vessel(row: Row) -> float:
    """Pressure at a fibre strain, every ply carrying the membrane stress of the shell alone."""
    e1, e2, g, nu = (
        given(row.inputs, n, u)
        for n, u in (("E1", "GPa"), ("E2", "GPa"), ("G12", "GPa"), ("nu12", ""))
    )
    ratio = given(row.inputs, "r", "m") / given(row.inputs, "t", "mm")
    turn = stress_rotation(math.radians(given(row.inputs, "theta")))
    unit = turn @ np.array([ratio / 2, ratio, 0.0])
    strain = np.linalg.solve(reduced_stiffness(e1, e2, g, nu), unit)
    return float(1e-3 / strain[0])


@register(r"NETTING-ideal")
def _netting(row: Row) -> float:
    return netting_angle(given(row.inputs, "tan^2(theta)"))
