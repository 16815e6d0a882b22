"""Picture of strength over overlap: the leading load, the joint's own point, the useful length."""

from __future__ import annotations

import numpy as np
import pytest

import tubecalc as tc
from tubecalc.share.bond_curve import curve_picture, leading
from tubecalc.share.letters import width_of
from tubecalc.share.scene import Lines, Words

TUBE = tc.Tube("6061-T6", od="30 mm", wall="2 mm")
PLACES = [f"{x:g} mm" for x in np.linspace(5, 120, 24)]


def made(overlap="30 mm", **loads: str):
    return tc.bond(TUBE, "6061-T6", insert_wall="2 mm", overlap=overlap, **loads)


@pytest.mark.parametrize(
    ("loads", "kind"),
    [({}, "tension"), ({"axial": "1 kN"}, "tension"), ({"axial": "-1 kN"}, "compression"),
     ({"torque": "5 N m"}, "torsion"), ({"moment": "5 N m", "axial": "1 N"}, "bending")],
)  # fmt: skip
def test_the_load_that_uses_the_joint_up_most_is_drawn(loads, kind) -> None:
    assert leading(made(**loads)) == kind
    scene = curve_picture(made(**loads), made(PLACES, **loads))
    names = {"tension": "pull", "compression": "push", "torsion": "torque"}
    assert names.get(kind, "bending moment").capitalize() in scene.says.split(" the bond")[0]


def test_the_point_of_the_joint_lies_on_the_curve_and_length_beyond_useful_is_flat() -> None:
    one, many = made(axial="5 kN"), made(PLACES, axial="5 kN")
    scene = curve_picture(one, many)
    curve = max((s for s in scene.shapes if isinstance(s, Lines)), key=lambda s: len(s.paths[0]))
    x, y = np.array(curve.paths[0]).T
    (dot,) = [s for s in scene.shapes if isinstance(s, Lines) and s.dot]
    (at, up) = dot.paths[0][0]
    assert up == pytest.approx(float(np.interp(at, x, y)), abs=1.0)
    useful = float(one.useful_overlap.m)
    beyond = many.strengths["tension"][many.asked.overlap * 1e3 > useful]
    assert len(beyond) > 2
    assert beyond.max() / beyond.min() < 1.021  # 98 % of all that length can do is reached
    assert any(isinstance(s, Words) and "more does nothing" in s.text for s in scene.shapes)


def test_other_units_are_written_in_them() -> None:
    one, many = made(axial="5 kN"), made(PLACES, axial="5 kN")
    words = [s.text for s in curve_picture(one, many, "inch").shapes if isinstance(s, Words)]
    assert "overlap, in" in words
    assert any("lbf" in w for w in words)


@pytest.mark.parametrize("system", ["SI", "workshop", "inch"])
@pytest.mark.parametrize("overlap", ["6 mm", "30 mm", "118 mm"])
@pytest.mark.parametrize("loads", [{"axial": "5 kN"}, {"torque": "20 N m"}, {"moment": "9 N m"}])
def test_a_slim_curve_holds_its_words_and_says_the_same(system, overlap, loads) -> None:
    one, many = made(overlap, **loads), made(PLACES, **loads)
    broad, slim = (curve_picture(one, many, system, slim=s) for s in (False, True))
    assert slim.says == broad.says
    assert slim.width <= 360 < broad.width
    for scene in (broad, slim):
        for s in scene.shapes:
            if isinstance(s, Words):
                wide = width_of(s.text, s.size, bold=s.bold)
                left = s.x - {"start": 0.0, "middle": wide / 2, "end": wide}[s.anchor]
                assert left >= -1, s.text
                assert left + wide <= scene.width + 1, s.text
                assert s.y < scene.height, s.text
                assert s.size >= 11
    said = [s.text for s in slim.shapes if isinstance(s, Words)]
    assert any(t == "dotted: the tube breaks" or t.startswith("the tube bears ") for t in said)
