"""Pictures of bolts, clamps, pairs, heat, growth: inside their frame, to scale, in words too."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.joining.clamps import split_clamp
from tubecalc.joining.galvanic import ENVIRONMENTS, galvanic, known_materials, ladder
from tubecalc.joining.growth import Athermal, assembly, athermal
from tubecalc.joining.heat import weakest
from tubecalc.joining.mechanical import bolt
from tubecalc.share.bolt_picture import bolt_picture
from tubecalc.share.clamp_picture import clamp_picture
from tubecalc.share.growth_picture import athermal_picture, growth_picture
from tubecalc.share.heat_picture import heat_picture
from tubecalc.share.letters import width_of
from tubecalc.share.pair_picture import pair_picture
from tubecalc.share.palette import DARK, LIGHT, contrast
from tubecalc.share.scene import Lines, Scene, Words, svg


def inside(scene: Scene) -> None:
    """Every line, and every text with its whole width, lies in the frame."""
    for s in scene.shapes:
        if isinstance(s, Words):
            wide = width_of(s.text, s.size, bold=s.bold)
            left = s.x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[s.anchor]
            assert left > -2, s
            assert left + wide < scene.width + 2, s
            assert 8 < s.y < scene.height + 1, s
            continue
        xy = np.array([p for path in s.paths for p in path]).reshape(-1, 2)
        assert np.isfinite(xy).all()
        if len(xy):
            assert xy.min() >= -1
            assert xy[:, 0].max() <= scene.width + 1
            assert xy[:, 1].max() <= scene.height + 1
    assert 'role="img"' in svg(scene)
    assert scene.says


def both(draw, *args, **more) -> None:
    """Broad and slim drawing: all of it in the frame, the same said, letters as large."""
    broad, slim = (draw(*args, **more, slim=s) for s in (False, True))
    inside(broad)
    inside(slim)
    assert slim.width <= 360 < broad.width
    larger = r"growth drawn [\d ]+ times|to scale"  # as the room decides
    assert re.sub(larger, "", slim.says) == re.sub(larger, "", broad.says)
    assert min(s.size for s in slim.shapes if isinstance(s, Words)) >= 11


def spans(scene: Scene) -> list[tuple[float, float]]:
    """Width and height of the closed round shapes [px]."""
    return [
        tuple(float(np.ptp(np.array(path)[:, k])) for k in (0, 1))
        for s in scene.shapes
        if isinstance(s, Lines) and s.closed
        for path in s.paths
        if len(path) == 73
    ]


def told(scene: Scene) -> list[str]:
    return [s.text for s in scene.shapes if isinstance(s, Words)]


# --- bolt ----------------------------------------------------------------------------------------


@settings(max_examples=25, deadline=None)
@given(st.floats(6, 120), st.floats(0.05, 0.4), st.floats(0.7, 12), st.integers(-9000, 9000),
       st.booleans(), st.sampled_from(["SI", "workshop", "inch"]))  # fmt: skip
def test_any_bolt_stays_inside_the_picture(od, share, edges, load, plug, system) -> None:
    tube = tc.Tube("roll-wrapped-woven", od=f"{od} mm", wall=f"{max(0.06 * od, 0.4)} mm")
    hole, load = share * od / 1e3, float(load or 1)
    made = bolt(tube, hole=f"{hole} m", load=f"{load} N", edge_distance=f"{edges * hole} m")
    both(bolt_picture, tube, made, hole=hole, edge=edges * hole, load=load, washer=2.5 * hole,
         plug=plug, system=system)  # fmt: skip


def test_hole_bore_and_edge_are_to_scale() -> None:
    tube = tc.Tube("roll-wrapped-woven", od="30 mm", id="26 mm")
    made = bolt(tube, hole="5 mm", load="1 kN", edge_distance="15 mm", pin="304")
    scene = bolt_picture(tube, made, hole=0.005, edge=0.015, load=1000.0)
    hole, od, bore = (w for w, _ in spans(scene))
    assert bore / od == pytest.approx(26 / 30, abs=1e-3)
    assert hole / od == pytest.approx(5 / 30, abs=1e-3)
    net = next(s for s in scene.shapes if isinstance(s, Lines) and s.dash == "7 4")
    shear = next(s for s in scene.shapes if isinstance(s, Lines) and s.dash == "2 3")
    assert (shear.paths[0][1][0] - net.paths[0][0][0]) / od == pytest.approx(15 / 30, abs=1e-3)
    assert "15 mm to the end, 3 holes" in told(scene)
    bold = [t for t in told(scene) if "◂" in t]
    assert bold == [f"pin {made.governing.reserve:.2f} ◂"]
    assert "pin governs" in scene.says


def test_an_end_that_is_not_given_is_not_drawn_as_one() -> None:
    tube = tc.Tube("pultruded", od="10 mm", id="8 mm")
    made = bolt(tube, hole="3 mm", load="-600 N")
    scene = bolt_picture(tube, made, hole=0.003, edge=math.nan, load=-600.0, plug=True)
    inside(scene)
    assert "distance to the end not given" in told(scene)
    assert not any("shears out" in t for t in told(scene))
    assert "Push 600 N" in scene.says
    assert "plug" in told(scene)


# --- clamp ---------------------------------------------------------------------------------------


@settings(max_examples=25, deadline=None)
@given(st.floats(6, 120), st.floats(4, 200), st.floats(0.1, 0.6), st.integers(1, 14),
       st.sampled_from(["two halves", "one slit"]), st.booleans())  # fmt: skip
def test_any_clamp_stays_inside_the_picture(od, length, share, screws, style, plug) -> None:
    tube = tc.Tube("pull-wound", od=f"{od} mm", wall=f"{max(0.06 * od, 0.4)} mm")
    screw = share * od
    made = split_clamp(tube, length=f"{length} mm", screw=f"{screw} mm", screws=screws, kind=style,
                       plug=plug)  # fmt: skip
    for system in ("SI", "inch"):
        both(clamp_picture, tube, made, length=length / 1e3, screw=screw / 1e3, screws=screws,
             style=style, plug=plug, system=system)  # fmt: skip


def test_pressure_fades_from_the_middle_of_a_half() -> None:
    tube = tc.Tube("pull-wound", od="20 mm", wall="1 mm")
    made = split_clamp(tube, length="20 mm", screw="4 mm")
    scene = clamp_picture(tube, made, length=0.02, screw=0.004, screws=2, style="two halves")
    arrows = [s.paths[0] for s in scene.shapes if isinstance(s, Lines) and s.colour == "warn"]
    assert len(arrows) == 14
    long = [math.dist(*a) for a in arrows[:7]]
    assert np.allclose(long, 30 * np.cos(np.radians([-60, -40, -20, 0, 20, 40, 60])) + 2, atol=0.1)
    assert f"{made.torque:.3g} N m at most" in scene.says


# --- pairs ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("environment", list(ENVIRONMENTS))
@pytest.mark.parametrize("other", known_materials())
def test_any_pair_stays_inside_and_says_what_is_eaten(other, environment) -> None:
    for tube in ("carbon", "glass", "aluminium"):
        couple = galvanic(tube, other, environment)
        both(pair_picture, couple, "somewhere")
        scene = pair_picture(couple, "somewhere")
        assert ("barrier" in told(scene)) == couple.barrier
        eaten = any(t == "eaten where bare" for t in told(scene))
        assert eaten == bool(couple.eaten and couple.grade != "good")
        assert any(t.startswith(("●", "◐", "○", "✗")) for t in told(scene))


def test_the_ladder_is_that_of_the_groups() -> None:
    """Niu 1988: magnesium is eaten first, carbon last; stainless and titanium share a group."""
    rungs = ladder()
    assert rungs[0] == ("magnesium",)
    assert rungs[-1] == ("carbon",)
    assert {"stainless", "titanium"} <= set(rungs[3])
    assert {"aluminium", "zinc"} <= set(rungs[1])
    scene = pair_picture(galvanic("carbon", "aluminium", "salt"), "wet with salt")
    assert "3 steps" in told(scene)
    assert "3 steps apart" in scene.says


# --- heat ----------------------------------------------------------------------------------------


@settings(max_examples=25, deadline=None)
@given(st.floats(-50, 180), st.sampled_from(["epoxy-tough", "epoxy-stiff", None]),
       st.sampled_from(["6061-T6", None]), st.sampled_from(["vinyl", None]), st.booleans(),
       st.sampled_from(["SI", "inch"]))  # fmt: skip
def test_any_assembly_stays_inside_the_picture(at, glue, insert, finish, wet, system) -> None:
    found = weakest("roll-wrapped-woven", temperature=f"{at} degC", adhesive=glue, insert=insert,
                    finish=finish, wet=wet)  # fmt: skip
    both(heat_picture, found, 10.0, system)


def test_temperatures_lie_on_one_scale_and_marks_say_what_fails() -> None:
    found = weakest("pultruded", temperature="70 degC", adhesive_glass="54 degC")
    scene = heat_picture(found, 5.0)
    ticks = {int(s.text.replace("\u2212", "-")): s.x for s in scene.shapes
             if isinstance(s, Words) and re.fullmatch(r"\u2212?\d+", s.text)}  # fmt: skip
    (a, xa), (b, xb) = sorted(ticks.items())[0], sorted(ticks.items())[-1]

    def px(value: float) -> float:
        return xa + (value - a) / (b - a) * (xb - xa)

    bars = [s for s in scene.shapes if isinstance(s, Lines) and s.fill == "accent"]
    ends = [max(x for x, _ in s.paths[0]) for s in bars]
    assert ends == pytest.approx([px(26.0), px(found.members[0].limit)], abs=0.2)
    asked = next(s for s in scene.shapes if isinstance(s, Lines) and s.width == 2.0)
    assert asked.paths[0][0][0] == pytest.approx(px(70.0), abs=0.2)
    band = next(s for s in scene.shapes if isinstance(s, Lines) and s.fill == "warn")
    assert [x for x, _ in band.paths[0]][:2] == pytest.approx([px(65.0), px(75.0)], abs=0.2)
    assert "✗ \u221244 K" in told(scene)
    assert any(t.startswith("✓ +") for t in told(scene))
    assert "good to 26 °C, softens at 54 °C, 44 K too little" in scene.says


ALPHA = st.integers(-300, 300).map(lambda n: n * 1e-7)  # 1/K


# --- growth --------------------------------------------------------------------------------------


@settings(max_examples=25, deadline=None)
@given(ALPHA, ALPHA, st.floats(0.01, 20), st.integers(-150, 150), st.sampled_from(["SI", "inch"]))
def test_any_growth_stays_inside_and_says_how_much_larger(one, two, length, rise, system) -> None:
    parts = [(assembly([(f"{a!r} /K", f"{length} m")], rise=f"{rise} K"), h)
             for a, h in ((one, "axial"), (two, "dots"))]  # fmt: skip
    both(growth_picture, parts, system)
    scene = growth_picture(parts, system)
    grown = [max(x for x, _ in s.paths[0]) for s in scene.shapes if isinstance(s, Lines)
             and s.closed]  # fmt: skip
    larger = re.search(r"growth drawn ([\d ]+) times", scene.says)
    factor = int(larger[1].replace(" ", "")) if larger else 1
    for k, alpha in enumerate((one, two)):
        cold, warm = grown[2 * k : 2 * k + 2]
        assert (warm - cold) / 330.0 == pytest.approx(alpha * rise * factor, abs=2e-3)


@settings(max_examples=30, deadline=None)
@given(ALPHA, ALPHA, st.floats(0.05, 5), st.sampled_from(["SI", "inch"]))
def test_lengths_that_cancel_are_drawn_to_scale(one, two, length, system) -> None:
    try:
        found = athermal(f"{one!r} /K", f"{two!r} /K", length=f"{length} m")
    except tc.InputError:
        return  # both alike
    pictures = [athermal_picture(found, ("one", "two"), ("axial", "dots"), system, slim=slim)
                for slim in (False, True)]  # fmt: skip
    assert pictures[1].says == pictures[0].says
    for scene in pictures:
        inside(scene)
        drawn_to_scale(scene, found, length)


def drawn_to_scale(scene: Scene, found: Athermal, length: float) -> None:
    held = next(s for s in scene.shapes if isinstance(s, Lines) and s.colour == "accent")
    whole = held.paths[1][0][0] - held.paths[0][0][0]
    bars = [s.paths[0] for s in scene.shapes if isinstance(s, Lines) and s.closed]
    wide = [max(x for x, _ in b) - min(x for x, _ in b) for b in bars]
    assert wide == pytest.approx([max(found.one / length * whole, 2.0),
                                  max(found.two / length * whole, 2.0)], abs=0.1)  # fmt: skip


# --- light, dark, grey ---------------------------------------------------------------------------


@pytest.mark.parametrize("paper", [LIGHT, DARK])
def test_words_stand_out_from_the_paper_in_light_and_dark(paper) -> None:
    for role in ("ink", "muted", "warn", "accent"):
        assert contrast(paper[role], paper["paper"]) > 4.5
