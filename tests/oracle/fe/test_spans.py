"""Whole tubes between supports: deflection of the axis, column, natural frequency."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.oracle.fe.walls import Wall, si, wall
from tests.oracle.fe.whole import critical, deflection, frequencies

pytestmark = pytest.mark.solver

WALLS = [
    wall("steel", 2.5, "steel 0"),
    wall("aluminium", 40, "alu 0"),
    wall("all-axial", 2.5, "ud 0"),
    wall("all-axial", 4.5, "ud 0"),
    wall("all-axial", 20, "ud 0"),
    wall("90/0/90", 4.5, "ud 90 0 90"),
    wall("0/90/0", 20, "ud 0 90 0"),
    wall("+-45", 4.5, "ud 45 -45 45 -45"),
    wall("+-45 symmetric", 20, "ud 45 -45 -45 45"),
    wall("quasi-isotropic", 10, "ud 0 45 -45 90"),
    wall("+-55", 10, "eglass 55 -55"),
]
each_wall = pytest.mark.parametrize("wall", WALLS, ids=str)


def compare_deflection(wall: Wall, spans: int, along: int, rel: float, folder: Path) -> None:
    """Three-point bending over a span in outside diameters, load and supports as shear flow."""
    span = spans * wall.od
    found = deflection(wall, span, folder, along=along)
    ours = si(wall.tube().deflection("three-point", load="1 N", span=f"{span!r} mm"))
    assert ours == pytest.approx(found * 1e-3, rel=rel)


@each_wall
def test_short_span_deflects_by_shear_too(wall: Wall, solver: str, tmp_path: Path) -> None:
    """Ten diameters. Mesh error below 0.05 %.

    The beam errs by how the load enters: found -0.70 (+-45) to +0.54 % (all-axial, R/t 2.5).
    """
    compare_deflection(wall, 10, 12, 0.01, tmp_path)


@pytest.mark.parametrize("wall", WALLS[0:10:3], ids=str)
def test_long_span_deflection(wall: Wall, solver: str, tmp_path: Path) -> None:
    """Thirty diameters. Mesh error 0.01 %; beam -0.22 to +0.16 %."""
    compare_deflection(wall, 30, 16, 0.004, tmp_path)


def uneven(wall: Wall) -> bool:
    """Whether the shell mesh itself is poor: an unsymmetric stack settles only as 1 / around.

    Quasi-isotropic 0/45/-45/90: 16, 24, 32 elements round give a column 1.0, 0.8, 0.6 % below ours.
    """
    return wall.name == "quasi-isotropic"


@each_wall
def test_pinned_column_of_25_diameters(wall: Wall, solver: str, tmp_path: Path) -> None:
    """Mesh error below 0.04 %, see `uneven`; beam +0.1 to +0.65 % (+-45 at R/t 4.5)."""
    length = 25 * wall.od
    ours = si(wall.tube().critical("column", length=f"{length!r} mm"))
    found = critical(wall, "axial", length, tmp_path, around=16, along=12, guess=ours)
    assert ours == pytest.approx(found.load, rel=0.015 if uneven(wall) else 0.01)


@each_wall
@pytest.mark.parametrize("ends", ["fixed-free", "pinned-pinned"])
def test_first_frequency_of_20_diameters(
    wall: Wall, ends: str, solver: str, tmp_path: Path
) -> None:
    """Mesh error up to 0.2 % (+-45 at the clamp); beam -0.44 to +0.37 %."""
    length = 20 * wall.od
    first = frequencies(wall, ends, length, tmp_path, around=16, along=12)[0]
    ours = si(wall.tube().frequency(length=f"{length!r} mm", ends=ends))
    assert ours == pytest.approx(first, rel=0.008)
