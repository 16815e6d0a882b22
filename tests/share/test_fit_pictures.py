"""Pictures of joints: inside their frame, to scale, what is drawn larger is said."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.joining import fit_words
from tubecalc.joining.nested import nested, telescope
from tubecalc.share.fit_picture import FACTORS, factor_for, fit_picture, pole_picture
from tubecalc.share.letters import width_of
from tubecalc.share.scene import Dots, Lines, Scene, Words, svg


def inside(scene: Scene) -> None:
    found = []
    for s in scene.shapes:
        assert not isinstance(s, Dots)
        if isinstance(s, Words):  # with its whole width
            wide = width_of(s.text, s.size, bold=s.bold)
            left = s.x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[s.anchor]
            found += [(left, s.y), (left + wide, s.y)]
        else:
            found += [p for path in s.paths for p in path]
    xy = np.array(found)
    assert np.isfinite(xy).all()
    assert xy.min() >= -1
    assert xy[:, 0].max() <= scene.width + 1
    assert xy[:, 1].max() <= scene.height + 1


def said(scene: Scene) -> str:
    """What it says but for how many times larger it draws, which the room decides."""
    return re.sub(r"drawn \d+ times", "drawn larger", scene.says).replace(
        "to scale", "drawn larger"
    )


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
    found = tc.fit(inner, outer, overlap="50 mm", outside="h9",
                   temperature=["-20 degC", "60 degC"])  # fmt: skip
    for system in ("SI", "inch"):
        broad, slim = (fit_picture(found, system, slim=s) for s in (False, True))
        for scene in (broad, slim):
            inside(scene)
            assert svg(scene) == svg(scene)
        assert said(slim) == said(broad)
        assert slim.width <= 360 < broad.width
        smallest = min(s.size for s in slim.shapes if isinstance(s, Words))
        assert smallest >= 10.5  # px, as in the broad one


def test_sentence_table_and_picture_name_one_least_clearance():
    """P13 of the list of problems: 1 in into 1 in less two walls; by hand from its limits.

    Outside at most od + 0.010 in, bore at least od - 0.010 in, so the diameters alone leave the
    nominal 0.009 - 0.020 = -0.011 in; oval and bow take more.
    """
    outer = tc.Tube("6061-T6", od="1.125 in", wall="0.058 in")
    inner = tc.Tube("6061-T6", od="1 in", wall="0.058 in")
    found = tc.fit(inner, outer, outside="+/-0.010 in", bore="+/-0.010 in", overlap="10 in",
                   straightness=0.001, out_of_round="0.004 in")  # fmt: skip
    least = found.at[0].free / 0.0254
    assert found.at[0].least / 0.0254 == pytest.approx(-0.011, abs=1e-9)
    assert least < -0.0149  # 0.004 in of oval at least
    text = f"\u2212{abs(round(least, 4)):g} in"
    assert f"clearance {text} to 0.029 in with oval and bow counted" in fit_words.why(found, "inch")
    assert "-" not in fit_words.why(found, "inch")
    assert text in fit_picture(found, "inch").says
    assert any(isinstance(s, Words) and s.text.startswith(text)
               for s in fit_picture(found, "inch", slim=True).shapes)  # fmt: skip


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
        slim = pole_picture(found, system, slim=True)
        inside(slim)
        assert slim.says.split(";")[0] == scene.says.split(";")[0]
        below = [s.text for s in slim.shapes if isinstance(s, Words)]
        above = [t for t in words if " / " in t]
        told = [t for n, pair in enumerate(above, 1) for t in below if t.startswith(f"{n}: {pair}")]
        assert len(told) == count - 1
        assert all(" play " in t for t in told)
        assert not any("-" in t for t in (*words, *below))  # a true minus


@settings(deadline=None)
@given(st.floats(1e-3, 500), st.floats(1, 50), st.floats(1, 300))
def test_factor_is_round_and_never_too_large(drawn, wanted, most):
    found = factor_for(drawn, wanted, most)
    assert found in FACTORS
    assert found == 1 or drawn * found <= most
