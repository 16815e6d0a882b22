"""A tubular lap meshed as a solid of revolution against tc.bond: pull, and heat alone.

Why they differ at the ends: at a square edge the shear stress of the adhesive must fall to nothing
within about a gap's thickness, which shear lag does not know; its peak at the very end stands for
the solver's peak just inside. The walls also bend there, which takes load off the edge.
"""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import tubecalc as tc
from tests.oracle.fe.lap import Lap, flow_lap, solve_lap
from tubecalc.joining.adhesives import Adhesive
from tubecalc.joining.bond_result import Bond
from tubecalc.materials import Metal, Ply

pytestmark = pytest.mark.solver

ALU, UD = (70e3, 0.33), (9e3, 125e3, 9e3, 0.0216, 0.4, 0.3, 4.5e3, 3.2e3, 4.5e3)
HEAT = 20.0
METAL = tc.Metal("aluminium", E="70 GPa", nu=0.33, density="2.7 g/cm3", alpha="23e-6 1/K")
AXIAL = tc.Ply(
    "axial", E1="125 GPa", E2="9 GPa", G12="4.5 GPa", nu12=0.3, nu23=0.4, G23="3.2 GPa",
    density="1.5 g/cm3", alpha1="0 1/K", alpha2="0 1/K", Xt="2 GPa", Xc="1 GPa", Yt="50 MPa",
    Yc="200 MPa", S12="80 MPa",
)  # fmt: skip
CASES = {
    "aluminium": Lap(8, 10, 0.2, 12.2, 25, ALU, (2e3, 0.35), ALU),
    "thick aluminium": Lap(5, 10, 0.2, 15.2, 25, ALU, (2e3, 0.35), ALU),
    "carbon": Lap(8, 10, 0.2, 11.7, 25, ALU, (2e3, 0.35), UD, (23e-6, 0.0)),
    "short, carbon": Lap(8, 10, 0.2, 11.7, 10, ALU, (2e3, 0.35), UD, (23e-6, 0.0)),
    "very short": Lap(8, 10, 0.2, 12.2, 6, ALU, (2e3, 0.35), ALU),
    "thin layer, thick aluminium": Lap(5, 10, 0.05, 15.05, 25, ALU, (2e3, 0.35), ALU),
    "thin layer, carbon": Lap(8, 10, 0.05, 11.55, 25, ALU, (2e3, 0.35), UD),
    "soft layer, aluminium": Lap(8, 10, 0.5, 12.5, 25, ALU, (400.0, 0.35), ALU),
    "wide, carbon": Lap(22, 25, 0.2, 27.2, 40, ALU, (2e3, 0.35), UD),
    "wide, thin walls": Lap(24, 25, 0.2, 26.2, 40, ALU, (2e3, 0.35), ALU),
}


def joint(lap: Lap, **of_glue: Any) -> Bond:
    """The same joint with tc.bond; every load is nil but the pull."""
    e, nu = lap.adhesive
    glue = Adhesive.of("glue", shear_modulus=f"{e / 2 / (1 + nu)!r} MPa", nu=nu,
                       **{"shear_strength": "10 MPa", "shear_strain": 0.5, **of_glue})  # fmt: skip
    wall: Metal | Ply = METAL if lap.tube_of == ALU else AXIAL
    bore = lap.insert + lap.gap
    stack = tc.Layup.of([(wall, 0, f"{lap.outside - bore!r} mm")])
    tube = tc.Tube(stack, id=f"{2 * bore!r} mm")
    insert = tc.Tube(METAL, od=f"{2 * lap.insert!r} mm", id=f"{2 * lap.bore!r} mm")
    insert_thins, tube_thins = (f"{x!r} mm" for x in lap.thins)
    return tc.bond(tube, insert, overlap=f"{lap.length!r} mm", adhesive=glue, axial="1 kN",
                   taper=insert_thins, tube_taper=tube_thins, tip=f"{lap.tip!r} mm",
                   bonded_at=f"{20.0 - HEAT} degC")  # fmt: skip


def halves(z: np.ndarray, stress: np.ndarray) -> tuple[float, float]:
    """Greatest stress, with its sign, in either half of the overlap."""
    first = z < (z[0] + z[-1]) / 2
    return tuple(float(part[np.abs(part).argmax()]) for part in (stress[first], stress[~first]))


@pytest.mark.parametrize("name", CASES)
def test_pull(name: str, solver: str, tmp_path: Path) -> None:
    """Mesh: the stress carries the load within 0.2 %; ours at the ends -15 to +40 %, middle 22 %.

    Found: peak at the insert's end -2 to +40 %, at the tube's end -15 to +21 %: lowest where the
    layer is thin and the walls are thick, highest where both walls are thin. Further than 1 mm from
    the ends at most 22 % of the peak.
    """
    lap = CASES[name]
    found, made = solve_lap(lap, tmp_path, pull=1e3), joint(lap)
    carried = np.trapezoid(found.shear, found.z) / lap.length
    assert carried == pytest.approx(float(made.average_shear.m), rel=2e-3)
    along = made.shear_along(made.room, heat=False)[:, 0] / 1e6
    for ours, theirs in zip(along[[0, -1]], halves(found.z, found.shear), strict=True):
        assert -0.16 < ours / theirs - 1 < 0.41
    ours = np.interp(found.z, made.room.x[:, 0] * 1e3, along)
    inner = (found.z > 1.0) & (found.z < lap.length - 1.0)
    assert np.abs(ours - found.shear)[inner].max() < 0.22 * along.max()


@pytest.mark.parametrize("thins", [(10, 0), (0, 10), (10, 10), (25, 25)])
@pytest.mark.parametrize("name", ["aluminium", "thick aluminium", "carbon"])
def test_tapers(name: str, thins: tuple[int, int], solver: str, tmp_path: Path) -> None:
    """Ends thinned to 0.5 mm, or to 0.1 mm over the whole overlap; ours at the ends -4 to +28 %.

    Found: -4 to +27 %, no worse than without taper.
    """
    lap = replace(CASES[name], thins=thins, tip=0.5 if thins[0] < 25 else 0.1)
    found, made = solve_lap(lap, tmp_path, pull=1e3), joint(lap)
    along = made.shear_along(made.room, heat=False)[:, 0] / 1e6
    x = made.room.x[:, 0] * 1e3
    ends = zip(halves(x, along), halves(found.z, found.shear), strict=True)
    assert all(-0.05 < ours / theirs - 1 < 0.28 for ours, theirs in ends)


@pytest.mark.parametrize("name", ["carbon", "short, carbon"])
def test_heat(name: str, solver: str, tmp_path: Path) -> None:
    """Aluminium grows in carbon that does not, along the axis only; ours +6 to +11 %."""
    lap = CASES[name]
    found, made = solve_lap(lap, tmp_path, heat=HEAT), joint(lap)
    along = made.room.unit["heat"][:, 0] * made.room.mismatch[0] / 1e6
    for ours, theirs in zip(along[[0, -1]], halves(found.z, found.shear), strict=True):
        assert 0.0 < ours / theirs - 1 < 0.12


@pytest.mark.parametrize("name", ["aluminium", "carbon"])
def test_adhesive_that_flows(name: str, solver: str, tmp_path: Path) -> None:
    """Overlap 60 mm, flow at 20 MPa, break at a shear strain of 0.2: solver bears 4 to 7 % more.

    Load at which the strain somewhere reaches that, without heat. All of the area flowing
    would bear 76 kN; ours is 35 and 37 kN.
    """
    lap, strain = replace(CASES[name], length=60, alpha=(0.0, 0.0)), 0.2
    made = joint(lap, shear_strength="20 MPa", shear_strain=strain, gap_best="0.2 mm")
    bears = float(made.room.ultimate("pull", np.zeros(1))[0])
    assert bears < 0.5 * 2 * math.pi * 10.1 * 60 * 20
    found = flow_lap(lap, tmp_path, [0.8 * bears, bears, 1.1 * bears], 20.0)
    load = float(np.interp(strain, found, [0.8, 1.0, 1.1]))
    assert 1.0 < load < 1.10


def test_peel_is_an_estimate(solver: str, tmp_path: Path) -> None:
    """The rule for peel at the tube's end, half a gap from the edge, within 50 %."""
    for name in ("aluminium", "thick aluminium", "carbon"):
        lap = replace(CASES[name], alpha=(0.0, 0.0))
        found, made = solve_lap(lap, tmp_path, pull=1e3), joint(lap)
        theirs = float(np.interp(lap.length - lap.gap / 2, found.z, found.peel))
        from tubecalc.joining.bond_judge import peel_ratio

        tau = made.shear_along(made.room, heat=False)[-1, 0] / 1e6
        ours = float(peel_ratio(made.asked, made.room, of_tube=True)[0]) * tau
        assert ours == pytest.approx(theirs, rel=0.5)
