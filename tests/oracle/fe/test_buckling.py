"""Buckling of perfect tubes between simple supports beside composite shells of the solver.

Mesh error, against half as many elements again each way: axial, torsion and pressure -0.4 to
+0.3 %, bending up to +0.8 %. Straight walls (no coupling of stretch with twist) then differ by the
series the closed form keeps and by the solver's end zone, -0.4 to +1.3 %; skewed walls by more.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.oracle.fe.walls import Wall, si, wall
from tests.oracle.fe.whole import Buckled, critical

pytestmark = pytest.mark.solver

ALLOY = wall("aluminium", 40, "alu 0")
AXIAL = wall("all-axial", 20, "ud 0")
THICK = wall("all-axial", 10, "ud 0")
CROSS = wall("0/90/0", 20, "ud 0 90 0")
BIAS = wall("+-45 symmetric", 20, "ud 45 -45 -45 45")
THIN_BIAS = wall("+-45", 40, "ud 45 -45")
QUASI = wall("quasi-isotropic symmetric", 20, "ud 0 45 -45 90 90 -45 45 0")
WOUND = wall("+-55", 40, "eglass 55 -55 55 -55")
HELIX = wall("helix 30", 20, "ud 30")
STRAIGHT = 0.02  # mesh 0.8 % and theory 1.3 %
# Mesh 0.4 %; found up to +4.1 % where B26 softens the hoop (unsymmetric +-55, +-45): the series for
# skewed walls starts with one half-wave and so lacks the warping that is even along the tube.
SKEWED = 0.05


def rel(wall: Wall) -> float:
    return STRAIGHT if wall in (ALLOY, AXIAL, THICK, CROSS, QUASI) else SKEWED


def both(
    wall: Wall, kind: str, diameters: float, mesh: tuple[int, int], folder: Path
) -> tuple[float, Buckled]:
    """Our load in N, N m or Pa, and the solver's in N, N mm or MPa."""
    length = diameters * wall.od
    ours = si(wall.tube().critical(kind, length=f"{length!r} mm"))
    unit = {"axial": 1.0, "pressure": 1e6}.get(kind, 1e-3)
    around, along = mesh
    found = critical(wall, kind, length, folder, around=around, along=along, guess=ours / unit)
    return ours / unit, found


@pytest.mark.parametrize("wall", [ALLOY, AXIAL, CROSS, BIAS, QUASI, WOUND], ids=str)
def test_axial_wrinkles_of_two_diameters(wall: Wall, solver: str, tmp_path: Path) -> None:
    """The shortest case: many waves along, or none but n = 2 where the wall is bias."""
    ours, found = both(wall, "axial", 2, (32, 32), tmp_path)
    assert ours == pytest.approx(found.load, rel=rel(wall))


def test_axial_load_of_a_thicker_wall(solver: str, tmp_path: Path) -> None:
    """Three diameters at R / t 10: two waves round, transverse shear counts."""
    ours, found = both(THICK, "axial", 3, (24, 24), tmp_path)
    assert ours == pytest.approx(found.load, rel=rel(THICK))


@pytest.mark.parametrize("wall", [ALLOY, AXIAL, CROSS, BIAS, THIN_BIAS, HELIX, WOUND], ids=str)
def test_torsion_of_six_diameters(wall: Wall, solver: str, tmp_path: Path) -> None:
    ours, found = both(wall, "torsion+", 6, (24, 24), tmp_path)
    assert ours == pytest.approx(found.load, rel=rel(wall))


@pytest.mark.parametrize("wall", [BIAS, THIN_BIAS, HELIX], ids=str)
def test_torsion_the_other_way(wall: Wall, solver: str, tmp_path: Path) -> None:
    """The sign matters: +-45 symmetric carries half as much again this way."""
    ours, found = both(wall, "torsion-", 6, (24, 24), tmp_path)
    assert ours == pytest.approx(found.load, rel=rel(wall))


@pytest.mark.parametrize("wall", [ALLOY, AXIAL, QUASI, WOUND], ids=str)
@pytest.mark.parametrize("diameters", [2.5, 8])
def test_outside_pressure(wall: Wall, diameters: float, solver: str, tmp_path: Path) -> None:
    """The solver's load keeps its direction; fluid follows the wall: (n^2 - 1) / n^2 of it."""
    ours, found = both(wall, "pressure", diameters, (24, 12), tmp_path)
    n = found.waves
    assert n == (3 if diameters < 5 else 2)
    assert ours == pytest.approx(found.load * (n**2 - 1) / n**2, rel=rel(wall))


@pytest.mark.parametrize("wall", [ALLOY, AXIAL, CROSS, BIAS], ids=str)
def test_bending_of_two_diameters(wall: Wall, solver: str, tmp_path: Path) -> None:
    """Wrinkles of the compressed side between round ends; flattening has no room here.

    The solver's linear answer knows no flattening; ours takes a tenth off for it.
    """
    ours, found = both(wall, "bending", 2, (32, 24), tmp_path)
    assert ours == pytest.approx(0.9 * found.load, rel=rel(wall))
