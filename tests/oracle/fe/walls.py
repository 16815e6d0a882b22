"""Walls of the cases: for the solver as three-dimensional constants, for tubecalc as a Tube."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

import tubecalc as tc
from tubecalc.materials import Metal, Ply

CONSTANTS = Path(__file__).resolve().parents[3] / "data" / "evidence" / "solver_materials.csv"
_PAIRS = ((0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2))  # order of the solver's stiffness card


@cache
def constants() -> dict[str, dict[str, float]]:
    """Round constants of the test materials, MPa and t/mm3."""
    with CONSTANTS.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {
        row["key"]: {
            k.removesuffix("_GPa"): float(v) * (1e3 if k.endswith("_GPa") else 1.0)
            for k, v in row.items()
            if k not in ("key", "standing", "source")
        }
        for row in rows
    }


def stiffness(material: str, axes: np.ndarray) -> np.ndarray:
    """Fourth-order stiffness in a wall frame; rows of `axes` are the ply's 1, 2, 3."""
    m = constants()[material]
    s = np.zeros((6, 6))
    e, nu = (m["E1"], m["E2"], m["E3"]), {(0, 1): m["nu12"], (0, 2): m["nu13"], (1, 2): m["nu23"]}
    for a in range(3):
        s[a, a] = 1 / e[a]
    for (a, b), ratio in nu.items():
        s[a, b] = s[b, a] = -ratio / e[a]
    s[3, 3], s[4, 4], s[5, 5] = 1 / m["G12"], 1 / m["G13"], 1 / m["G23"]
    c = np.linalg.inv(s)
    full = np.zeros((3, 3, 3, 3))
    for a, (i, j) in enumerate(_PAIRS):
        for b, (k, p) in enumerate(_PAIRS):
            for x, y in {(i, j), (j, i)}:
                for v, w in {(k, p), (p, k)}:
                    full[x, y, v, w] = c[a, b]
    return np.asarray(np.einsum("ai,bj,ck,dl,abcd->ijkl", axes, axes, axes, axes, full))


def card(material: str, angle: float, *, shell: bool) -> list[float]:
    """21 constants of a turned ply in the solver's order.

    Bricks have the frame (r, theta, z); composite shells of ccx 2.20 take a cylindrical
    orientation as (z, -theta, outward normal), found by the sign of the extension-twist coupling.
    """
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    if shell:
        axes = np.array([[c, -s, 0], [-s, -c, 0], [0, 0, 1.0]])
    else:
        axes = np.array([[0, s, c], [0, c, -s], [1.0, 0, 0]])
    full = stiffness(material, axes)
    matrix = np.array([[full[i, j, k, p] for k, p in _PAIRS] for i, j in _PAIRS])
    return [float(matrix[a, b]) for b in range(6) for a in range(b + 1)]


@dataclass(frozen=True)
class Wall:
    """A tube: outside diameter [mm] and plies (material, angle [deg], thickness [mm]) from inside.

    Neighbours of the same material and angle are one block.
    """

    name: str
    od: float
    plies: tuple[tuple[str, float, float], ...]

    @property
    def t(self) -> float:
        return sum(t for _, _, t in self.plies)

    @property
    def radius(self) -> float:
        return (self.od - self.t) / 2

    @property
    def bore(self) -> float:
        return self.od / 2 - self.t

    @property
    def slenderness(self) -> float:
        return self.radius / self.t

    def __str__(self) -> str:
        return f"{self.name} R/t {self.slenderness:.3g}"

    def tube(self) -> tc.Tube:
        """The same tube as tubecalc knows it; nu13 and G13 are its own assumption."""
        layup = tc.Layup.of([(_material(m), a, f"{t!r} mm") for m, a, t in self.plies])
        return tc.Tube(layup, id=f"{2 * self.bore!r} mm")


@cache
def _material(key: str) -> Ply | Metal:
    m = constants()[key]
    density = f"{m['density_g_cm3']!r} g/cm3"
    if key in ("steel", "alu"):
        return Metal(key, E=f"{m['E1']!r} MPa", nu=m["nu12"], density=density)
    moduli = {k: f"{m[k]!r} MPa" for k in ("E1", "E2", "E3", "G12", "G23")}
    return Ply(key, **moduli, nu12=m["nu12"], nu23=m["nu23"], density=density)


def wall(name: str, ratio: float, text: str, od: float = 20.0) -> Wall:
    """Build a wall of equal plies to a given R / t.

    Parameters
    ----------
    name : str
        Name of the case.
    ratio : float
        Mean radius over thickness.
    text : str
        Material and angles, inside to outside: "ud 0 90 0".
    od : float
        Outside diameter [mm].
    """
    material, *angles = text.split()
    t = od / 2 / (ratio + 0.5) / len(angles)
    return Wall(name, od, tuple((material, float(a), t) for a in angles))


def si(quantity: Any) -> float:
    """Plain number in SI."""
    return float(quantity.to_base_units().magnitude)
