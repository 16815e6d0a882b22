"""Strength of tubes that were pulled to pieces, from the literature.

Soden, Hinton & Kaddour, Compos. Sci. Technol. 58 (1998) 1011 and 62 (2002) 1489: benchmark tubes
of the world-wide failure exercise. Ply values SEEN in secondary files, tube strengths MEMORY.
"""

from __future__ import annotations

import numpy as np
import pytest

import tubecalc as tc
from tubecalc.laminate.criteria_insitu import last_ply_factor

AS4 = tc.Ply(
    "carbon/epoxy of the exercise", E1="126 GPa", E2="11 GPa", G12="6.6 GPa", nu12=0.28,
    density="1.6 g/cm3", Xt="1950 MPa", Xc="1480 MPa", Yt="48 MPa", Yc="200 MPa", S12="79 MPa",
)  # fmt: skip


def test_quasi_isotropic_tube_breaks_near_718_mpa_long_after_its_first_crack():
    """[90/+-45/0]s of AS4/3501-6, axial strength 718 MPa measured (MEMORY).

    A cracked ply is not a broken tube: first damage near a third of it, last fibres within 15 %,
    on the safe side.
    """
    wall = tc.Layup.from_notation("[90/+/-45/0]s", AS4, "0.1375 mm")
    tube = tc.Tube(wall, od="102.2 mm")
    area = float(tube.area.to("m^2").magnitude)
    found = tube.sections.unit["tension"]
    broken, first = (float(x[0]) / area / 1e6 for x in found)
    assert 0.85 * 718 <= broken <= 718
    assert 0.25 * 718 < first < 0.5 * 718


def test_verdict_keeps_crack_and_break_apart():
    """Between the two loads the tube passes, and is said to crack.

    Expected 651 MPa: last-ply calculation of another hand with every matrix gone.
    """
    wall = tc.Layup.from_notation("[90/+/-45/0]s", AS4, "0.1375 mm")
    tube = tc.Tube(wall, od="102.2 mm")
    force = 450e6 * float(tube.area.to("m^2").magnitude)
    need = tc.Need.from_toml(f'[[case]]\nkind = "strut"\nload = "{force!r} N"\nspan = "1 m"')
    verdict = tc.check(tube, need)
    assert verdict.passes
    assert verdict.reserve["first_ply"] < 1 < verdict.reserve["strength"]
    assert verdict.reserve["strength"] == pytest.approx(651 / 450, rel=0.02)
    assert any("first damage" in caution for caution in verdict.cautions)


@pytest.mark.parametrize("criterion", ["hashin", "puck", "larc03", "tsai-wu", "max-strain"])
def test_every_criterion_sees_the_first_crack_long_before_the_break(criterion):
    """The same tube: cracks across the fibre begin between a quarter and a half of 718 MPa.

    Measured first cracks of cross-ply carbon walls lie there too; the exercise's theories spread
    from 25 to 45 % (MEMORY).
    """
    wall = tc.Layup.from_notation("[90/+/-45/0]s", AS4, "0.1375 mm")
    found = wall.first_failure(Nx="1 N/mm", criterion=criterion, curls=False)
    stress = found.load_factor * 1e3 / wall.t / 1e6
    assert found.angle == 90
    assert 0.25 * 718 < stress < 0.5 * 718


def test_lined_wound_glass_tube_cracks_far_below_its_break():
    """[+/-55] E-glass/MY750, hoop to axial 2 to 1, lined: 736 MPa hoop (MEMORY, confidence 0.55).

    First crack across the fibre by plain laminate theory 112 MPa (computed by another hand); the
    fibres alone carry 17 % more than the tube did. Bracket, not a point.
    """
    glass = tc.Ply(
        "glass/epoxy of the exercise", E1="45.6 GPa", E2="16.2 GPa", G12="5.83 GPa", nu12=0.278,
        density="2.0 g/cm3", Xt="1280 MPa", Xc="800 MPa", Yt="40 MPa", Yc="145 MPa", S12="73 MPa",
    )  # fmt: skip
    wall = tc.Layup.from_notation("[+/-55]s", glass, "0.25 mm")
    crack = wall.first_failure(Nx="0.5 N/mm", Ny="1 N/mm", criterion="max-stress", curls=False)
    assert crack.load_factor * 1e3 / wall.t / 1e6 == pytest.approx(112, rel=0.01)
    broken = last_ply_factor(wall, np.array([0.5, 1.0, 0.0]) * wall.t) / 1e6
    assert 736 < broken < 1.25 * 736
