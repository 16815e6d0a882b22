"""Picture of a bonded joint: to scale, inside its frame, told in words."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.share.bond_picture import bond_picture
from tubecalc.share.scene import Dots, Lines, Scene, Words, svg

TUBE = tc.Tube("roll-wrapped-woven", od="30 mm", wall="2 mm")


def outlines(scene: Scene, fill: str) -> np.ndarray:
    (one,) = [s for s in scene.shapes if isinstance(s, Lines) and s.fill == fill]
    return np.array(one.paths[0])


@settings(max_examples=12, deadline=None)
@given(
    st.floats(2, 150), st.floats(0.05, 0.6), st.sampled_from(["inside", "over"]),
    st.sampled_from([{}, {"taper": True}, {"scarf": True}]),
    st.sampled_from([None, ("-20 degC", "30 degC")]), st.sampled_from([None, "3 kN", "-3 kN"]),
    st.booleans(),
)  # fmt: skip
def test_stays_inside_its_frame(overlap, gap, place, shape, heat, load, slim) -> None:
    more = {"taper": f"{overlap / 2} mm"} if "taper" in shape else shape
    made = tc.bond(TUBE, "6061-T6", insert_wall="3 mm", place=place, overlap=f"{overlap} mm",
                   gap=f"{gap} mm", temperature=heat, axial=load, **more)  # fmt: skip
    scene = bond_picture(made, slim=slim)
    points = []
    for s in scene.shapes:
        assert not isinstance(s, Dots)
        points += [(s.x, s.y)] if isinstance(s, Words) else [p for path in s.paths for p in path]
    xy = np.array(points)
    assert np.isfinite(xy).all()
    assert xy.min() >= -1
    assert xy[:, 0].max() <= scene.width + 1
    assert xy[:, 1].max() <= scene.height + 1
    assert svg(scene).startswith("<svg")
    assert "nan" not in scene.says


def test_a_slim_picture_holds_its_words_and_says_the_same() -> None:
    """A letter of these words is at most 0.6 of its size wide (common practice, no source)."""
    made = tc.bond(TUBE, "6061-T6", insert_wall="3 mm", overlap="30 mm", axial="5 kN",
                   temperature=("-20 degC", "38 degC"), barrier="0.1 mm",
                   gap="0.25 mm")  # fmt: skip
    broad, slim = (bond_picture(made, slim=s) for s in (False, True))
    assert slim.says == broad.says
    assert slim.width <= 360 < broad.width
    for s in slim.shapes:
        if isinstance(s, Words):
            wide = 0.6 * s.size * len(s.text)
            left = s.x - {"start": 0.0, "middle": wide / 2, "end": wide}[s.anchor]
            assert left >= -1, s.text
            assert left + wide <= slim.width + 1, s.text
    below = [s.text for s in slim.shapes if isinstance(s, Words)]
    assert "gap 0.25 mm, glass ply 0.1 mm" in below


def test_drawn_to_one_scale_and_told_in_words() -> None:
    made = tc.bond(TUBE, "6061-T6", insert_wall="3 mm", overlap="30 mm", axial="5 kN")
    scene = bond_picture(made)
    glue = outlines(scene, "accent")
    scale = np.ptp(glue[:, 0]) / 30.0
    assert np.ptp(outlines(scene, "row")[:, 1]) / scale == pytest.approx(
        float(TUBE.wall.to("mm").m), rel=1e-6
    )
    assert np.ptp(outlines(scene, "field")[:, 1]) / scale == pytest.approx(3.0, rel=1e-6)
    peak = float(made.peak_shear.to("MPa").m)
    assert f"{peak:.3g} MPa" in scene.says or f"{peak:.3g} at the tube's end" in scene.says
    assert "half section to scale" in scene.says


def test_the_curve_is_the_stress() -> None:
    """Highest point of the drawn line over its frame, against the axis marks."""
    made = tc.bond(TUBE, "6061-T6", overlap="25 mm", axial="5 kN")
    scene = bond_picture(made)
    (curve,) = [s for s in scene.shapes if isinstance(s, Lines) and s.width == 1.8
                and len(s.paths[0]) > 10]  # fmt: skip
    marks = {float(s.text): s.y - 4 for s in scene.shapes if isinstance(s, Words)
             and s.anchor == "end" and s.text.replace(".", "").isdigit()}  # fmt: skip
    (a, ya), (b, yb) = min(marks.items()), max(marks.items())
    drawn = a + (np.array(curve.paths[0])[:, 1].min() - ya) * (b - a) / (yb - ya)
    assert drawn == pytest.approx(float(made.peak_shear.to("MPa").m), rel=1e-6)


@pytest.mark.parametrize("place", ["inside", "over"])
def test_a_glass_ply_lies_between_adhesive_and_tube(place) -> None:
    args = {"insert_wall": "3 mm", "place": place, "overlap": "30 mm", "axial": "2 kN"}
    bare, with_ply = (bond_picture(tc.bond(TUBE, "6061-T6", **args, **more))
                      for more in ({}, {"barrier": "0.3 mm"}))  # fmt: skip
    assert not any(isinstance(s, Lines) and s.fill == "shade" for s in bare.shapes)
    ply, glue = outlines(with_ply, "shade"), outlines(with_ply, "accent")
    assert ply[:, 0].min() < glue[:, 0].min()  # past the overlap
    if place == "inside":  # the tube lies farther from the axis, so higher on the screen
        assert ply[:, 1].max() == pytest.approx(glue[:, 1].min())
    else:
        assert ply[:, 1].min() == pytest.approx(glue[:, 1].max())
    assert "glass ply 0.3 mm" in with_ply.says
    assert "glass ply 0.3 mm" in {s.text for s in with_ply.shapes if isinstance(s, Words)}
