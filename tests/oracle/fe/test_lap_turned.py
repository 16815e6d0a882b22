"""A tubular lap in bricks against tc.bond: twisted, and bent.

Twist: the stress round the axis need not vanish at the edge of the adhesive as that along it must,
so its peak stands out. Bending: part of the moment passes by walls that press on each other, which
the shear lag leaves out: the softer the adhesive and the stiffer the walls, the more.
"""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tests.oracle.fe.lap_solid import bend_lap, twist_lap
from tests.oracle.fe.test_lap import CASES, halves, joint
from tubecalc.joining.bond_judge import mouth_pressure, peel_ratio

pytestmark = pytest.mark.solver

LOAD = 1e4  # N mm
# case -> share of the moment that the solver's shear stress carries (found)
BY_SHEAR = {
    "aluminium": 0.91, "thick aluminium": 0.78, "carbon": 0.92, "very short": 0.93,
    "thin layer, thick aluminium": 0.84, "thin layer, carbon": 0.94,
    "soft layer, aluminium": 0.65, "wide, carbon": 0.96, "wide, thin walls": 0.99,
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_twist(name: str, solver: str, tmp_path: Path) -> None:
    """Mesh: the stress carries the torque within 0.5 %; ours -3 to +19 %, one end +40 %.

    Found: -2 to +18 %; at the tube's end of the thin layer on carbon, where a seventh of the stress
    of the other end acts, +40 %.
    """
    lap = CASES[name]
    found, made = twist_lap(lap, tmp_path, LOAD), joint(lap)
    a = float(made.asked.radius[0])
    carried = np.trapezoid(found.shear, found.z) * 2 * math.pi * (a * 1e3) ** 2
    assert carried == pytest.approx(LOAD, rel=5e-3)
    along = made.room.unit["twist"][:, 0] * (LOAD * 1e-3 / a) / 1e6
    theirs = halves(found.z, found.shear)
    worse = int(theirs[1] > theirs[0])
    for end in (0, 1):
        off = along[-end] / theirs[end] - 1
        assert -0.03 < off < (0.19 if end == worse or lap.gap >= 0.2 else 0.41)


@pytest.mark.parametrize("name", BY_SHEAR)
def test_bending(name: str, solver: str, tmp_path: Path) -> None:
    """Ours at the ends -10 to +45 %, with the soft layer to +69 %; middle at most 27 % of the peak.

    Peel at the tube's end -24 to +81 %. The solver's shear carries the share of the moment found
    before; ours carries all of it.
    """
    lap = CASES[name]
    found, made = bend_lap(lap, tmp_path, LOAD), joint(lap)
    a = float(made.asked.radius[0])
    carried = np.trapezoid(found.shear, found.z) * math.pi * (a * 1e3) ** 2 / LOAD
    assert carried == pytest.approx(BY_SHEAR[name], abs=0.01)
    along = made.room.unit["bend"][:, 0] * (2e-3 * LOAD / a) / 1e6
    x = made.room.x[:, 0] * 1e3
    assert np.trapezoid(along, x) * math.pi * (a * 1e3) ** 2 == pytest.approx(LOAD, rel=3e-3)
    soft = name.startswith("soft")
    for ours, theirs in zip(along[[0, -1]], halves(found.z, found.shear), strict=True):
        assert -0.10 < ours / theirs - 1 < (0.70 if soft else 0.45)
    inner = (found.z > 1.0) & (found.z < lap.length - 1.0)
    off = np.abs(np.interp(found.z, x, along) - found.shear)[inner].max()
    assert off < (0.28 if soft else 0.20) * along.max()
    # peel half a gap from the tube's end: of the shear, and of the walls that bear on each other
    peel = float(np.interp(lap.length - lap.gap / 2, found.z, found.peel))
    ours = float(peel_ratio(made.asked, made.room, of_tube=True)[0]) * along[-1]
    ours += float(mouth_pressure(made.asked, made.room, along[-1:])[0])
    assert -0.25 < ours / peel - 1 < 0.82


@pytest.mark.parametrize("far", [20.0, 60.0])
@pytest.mark.parametrize("name", ["aluminium", "thick aluminium", "carbon", "very short",
                                  "soft layer, aluminium", "wide, carbon"])  # fmt: skip
def test_a_force_across_counts_with_its_moment_at_the_deep_end(
    name: str, far: float, solver: str, tmp_path: Path
) -> None:
    """Force 20 or 60 mm outside the tube: with the larger moment ours at the ends -11 to +131 %.

    With the moment at the tube's mouth it would be up to 58 % too low at the insert's end.
    """
    lap = replace(CASES[name], far=far)
    found, made = bend_lap(lap, tmp_path, force=LOAD / far), joint(lap)
    a = float(made.asked.radius[0])
    unit = made.room.unit["bend"][[0, -1], 0] * (2e-3 / a) / 1e6
    deep = LOAD / far * (far + lap.length)
    for ours, theirs in zip(unit * deep, halves(found.z, found.shear), strict=True):
        assert -0.11 < abs(ours / theirs) - 1 < 1.31


def test_the_mesh_is_fine_enough(solver: str, tmp_path: Path) -> None:
    """Half as many bricks through the walls, along and round: the peaks of bending within 3 %."""
    lap = CASES["carbon"]
    fine = bend_lap(lap, tmp_path, LOAD)
    coarse = bend_lap(lap, tmp_path, LOAD, walls=2, layer=1, along=30, around=2)
    for one, other in zip(halves(fine.z, fine.shear), halves(coarse.z, coarse.shear), strict=True):
        assert one == pytest.approx(other, rel=0.03)
