"""Pictures of joints: inside their frame, to scale, what is drawn larger is said."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.joining.nested import nested, telescope
from tubecalc.share.fit_picture import FACTORS, factor_for, fit_picture, pole_picture
from tubecalc.share.scene import Dots, Lines, Scene, Words, svg


def inside(scene: Scene) -> None:
    found = []
    for s in scene.shapes:
        assert not isinstance(s, Dots)
        found += [(s.x, s.y)] if isinstance(s, Words) else [p for path in s.paths for p in path]
    xy = np.array(found)
    assert np.isfinite(xy).all()
    assert xy.min() >= -1
    assert xy[:, 0].max() <= scene.width + 1
    assert xy[:, 1].max() <= scene.height + 1


def circles(scene: Scene) -> list[float]:
    """Diameters of the closed round shapes, the largest first [px]."""
    return [
        float(np.ptp(np.array(path)[:, 0]))
        for s in scene.shapes
        if isinstance(s, Lines)
        for path in s.paths
        if len(path) == 73
    ]


@settings(max_examples=25, deadline=None)
@given(st.floats(1, 100), st.floats(0, 0.02), st.floats(0.03, 0.3), st.sampled_from(
    ["pultruded", "6061-T6", "roll-wrapped"]))  # fmt: skip
def test_any_pair_stays_inside_the_picture(bore, gap, wall, key):
    outer = tc.Tube("304", id=f"{bore!r} mm", wall=f"{bore * wall!r} mm")
    inner = tc.Tube(key, od=f"{bore * (1 - gap)!r} mm", id=f"{bore * (1 - gap) * 0.8!r} mm")
    for system in ("SI", "inch"):
        scene = fit_picture(tc.fit(inner, outer, overlap="50 mm", outside="h9",
                                   temperature=["-20 degC", "60 degC"]), system)  # fmt: skip
        inside(scene)
        assert svg(scene) == svg(scene)


def test_rings_are_to_scale_but_for_the_gap_that_is_said():
    inner, outer = (tc.Tube("pultruded", od=o, id=i)
                    for o, i in (("9.8 mm", "8 mm"), ("12 mm", "10 mm")))  # fmt: skip
    scene = fit_picture(tc.fit(inner, outer))
    factor = int(re.search(r"gap drawn (\d+) times", scene.says)[1])
    od, bore, outside, inside_ = circles(scene)
    assert bore / od == pytest.approx(10 / 12, abs=1e-3)
    assert (bore - outside) / od == pytest.approx(factor * 0.2 / 12, rel=1e-2)
    assert (outside - inside_) / od == pytest.approx(1.8 / 12, rel=1e-2)


def test_size_on_size_shows_no_gap_and_says_it_binds():
    inner, outer = (tc.Tube("pultruded", od=o, id=i)
                    for o, i in (("4 mm", "2.5 mm"), ("6 mm", "4 mm")))  # fmt: skip
    scene = fit_picture(tc.fit(inner, outer))
    assert "no gap" in scene.says
    assert "binds 50 %" in scene.says


@pytest.mark.parametrize("count", [2, 3, 6])
@pytest.mark.parametrize("load", ["0 N", "3 N", "-60 N"])
def test_pole_stays_inside_and_names_every_joint(count, load):
    tubes = telescope("roll-wrapped", od="50 mm", wall="1.5 mm", count=count, gap="0.6 mm")
    found = nested(tubes, length="1.2 m", overlap="200 mm", load=load)
    for system in ("SI", "workshop", "inch"):
        scene = pole_picture(found, system)
        inside(scene)
        words = [s.text for s in scene.shapes if isinstance(s, Words)]
        assert sum(t.startswith("play ") for t in words) == count - 1
        assert f"Pole of {count} sections" in scene.says


@settings(deadline=None)
@given(st.floats(1e-3, 500), st.floats(1, 50), st.floats(1, 300))
def test_factor_is_round_and_never_too_large(drawn, wanted, most):
    found = factor_for(drawn, wanted, most)
    assert found in FACTORS
    assert found == 1 or drawn * found <= most
