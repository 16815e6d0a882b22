"""Tests without a machine: re-told public questions by hand formulas, exact beams as oracle."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
from scipy.optimize import brentq

import tubecalc as tc
from tubecalc.errors import InputError
from tubecalc.laminate.construction import get_construction
from tubecalc.testing.bench import Entry, look
from tubecalc.testing.bench_sum import summed
from tubecalc.testing.by_hand import (
    fulcrum_stiffness,
    hung_line,
    plucked_stiffness,
    share_one_span,
    span_of_reading,
)
from tubecalc.testing.by_hand_read import answered, loads_of
from tubecalc.testing.curve import Curve

INCH, POUND = 0.0254, 4.4482216152605
PLUCK = {"frequency": "250 cpm", "length": "0.9 m", "tip_mass": "205 g", "own": "60 g/m"}
LINE = {"spar": "62 in", "line": "74 in", "weight": "1 lbf", "bow": "2 in"}


def row(answer, name):
    return dict(answer.rows)[name]


# -- twang ------------------------------------------------------------------------------------
@pytest.mark.parametrize(("own", "ei"), [("60 g/m", 36.3), ("", 34.1)])
def test_stiffness_from_a_twang(own, ei):
    """250 cycles a minute, 205 g on 0.9 m: 36.3 N m2, 34.1 without the tube's own mass."""
    found = answered("pluck", {**PLUCK, "own": own})
    assert float(row(found, "EI").split()[0]) == pytest.approx(ei, rel=2e-3)
    assert any("own mass is left out" in n for n in found.notes) == (not own)
    assert any("tapered" in n for n in found.notes)


@pytest.mark.parametrize("text", ["250 cpm", "250 cycles a minute", "250 /min", "4.16667 Hz"])
def test_swings_are_read_as_people_say_them(text):
    found = answered("pluck", {**PLUCK, "frequency": text})
    assert row(found, "EI") == "36.3 N m²"


@pytest.mark.parametrize(("tip", "error"), [(0.5, 0.003), (0.05, 0.012), (0.0, 0.031)])
def test_pluck_against_the_exact_beam(tip, error):
    """Oracle: the beam's own frequency equation for a tip mass, Euler-Bernoulli.

    1 + cos b cosh b + mu b (cos b sinh b - sin b cosh b) = 0, mu the tip mass over the beam's.
    """
    m, length, EI = 0.060, 0.9, 30.0
    mu = tip / (m * length)

    def miss(b):
        c, s = math.cos(b), math.sin(b)
        return 1 + c * math.cosh(b) + mu * b * (c * math.sinh(b) - s * math.cosh(b))

    root = brentq(miss, 1e-3, 2.0)
    hertz = root**2 / (2 * math.pi * length**2) * math.sqrt(EI / m)
    found = float(plucked_stiffness(hertz, length, tip, m))
    assert found == pytest.approx(EI, rel=error)
    assert found <= EI * (1 + 1e-9)


# -- two readings -----------------------------------------------------------------------------
def _joiner(od, wall):
    return tc.Tube("6061-T6", od=f"{od} in", wall=f"{wall} in")


def test_two_readings_that_cannot_share_one_span():
    """3/4 x 0.027 moves 1/4 in at 100 lb, 7/8 x 0.035 in 1/16 in: 16.9 and 13.5 in, by hand."""
    spans = []
    for tube, moves in ((_joiner(0.75, 0.027), 0.25), (_joiner(0.875, 0.035), 0.0625)):
        s = tube.sections
        spans.append(float(span_of_reading(moves * INCH / (100 * POUND), s.EI, s.kGA)[0]))
    assert np.array(spans) / INCH == pytest.approx([16.9, 13.5], rel=0.015)  # shear counts here
    assert "cannot be from one span" in share_one_span(["A", "B"], spans)
    assert "agree with one span" in share_one_span(["A", "B"], [0.40, 0.41])
    assert "agree" in share_one_span(["A", "B"], spans, [0.05, 0.05]), "coarse readings prove less"
    assert share_one_span(["A"], [0.4]) == ""


def test_span_of_a_reading_is_that_of_the_tubes_own_deflection():
    tube = tc.Tube("pultruded", od="10 mm", id="8 mm")
    moved = tube.deflection("three-point", load="1 N", span="320 mm")
    s = tube.sections
    span = span_of_reading(float(moved.to("m").magnitude), s.EI, s.kGA)
    assert float(span[0]) == pytest.approx(0.320, rel=1e-6)


def test_one_reading_says_its_span_its_stress_and_what_its_steps_leave():
    """110 lb on 16.9 in is 43.4 ksi (299 MPa), by hand; here with shear, within 1 %."""
    told = {"load": "110 lbf", "travel": "0.275 in", "step": "1/16 in"}
    found = answered("middle", told, _joiner(0.75, 0.027))
    assert float(row(found, "span, if the tube is as promised").split()[0]) == pytest.approx(
        16.9 * 25.4, rel=0.01
    )
    stress = row(found, "largest stress, as in a wall of one material")
    assert float(stress.split()[0]) == pytest.approx(43.4 * 6.894757, rel=0.01)
    assert "Steps of 1.59 mm leave" in found.notes[0]
    inches = answered("middle", told, _joiner(0.75, 0.027), "inch")
    assert row(inches, "span, if the tube is as promised").endswith(" in")


def test_curves_without_a_span_are_held_against_each_other():
    made = []
    for name, od, wall, slope in (("A", 19.05, 0.6858, 70.05), ("B", 22.225, 0.889, 280.2)):
        travel = np.linspace(0, 5, 60)
        data = pd.DataFrame({"travel_mm": travel, "force_N": slope * travel})
        told = {"kind": "three-point", "wall_of": "6061-T6", "od": f"{od} mm", "wall": f"{wall} mm",
                "name": name}  # fmt: skip
        made.append(look(Entry(f"{name}.csv", name, 0, told), Curve(name, data, data)))
    said = summed(made, get_construction).said
    assert any("A: the span is missing; if the tube is as promised it was 42" in t for t in said)
    assert any("cannot be from one span" in t for t in said)


# -- hung line ---------------------------------------------------------------------------------
def test_spar_bent_over_a_fulcrum_by_a_hung_line():
    """62 in spar, 2 x 37 in line, 1 lb, 2 in of bow: 7.12 N m2 plain, 7.98 with the inward force.

    By hand: tension 0.916 lbf, 0.50 sideways, 0.767 inwards on each end.
    """
    tension, side, inwards = hung_line(1.0, 31.0, 37.0)
    assert (tension, side, inwards) == pytest.approx((0.916, 0.5, 0.767), abs=5e-4)
    found = answered("line", LINE)
    assert row(found, "EI") == "7.98 N m²"
    assert "7.12 N m², 11 % low" in found.notes[0]


def test_fulcrum_against_the_exact_beam_column():
    """Oracle: cantilever with side force and push, bow = P L^3 / 3 EI * 3 (tan u - u) / u^3."""
    side, push, half, bow = 0.5, 0.767, 31.0, 2.0

    def miss(EI):
        u = half * math.sqrt(push / EI)
        return side * half**3 / (3 * EI) * 3 * (math.tan(u) - u) / u**3 - bow

    exact = brentq(miss, 1500, 9000)
    assert fulcrum_stiffness(bow, side, push, half) == pytest.approx(exact, rel=5e-3)


# -- column ------------------------------------------------------------------------------------
def test_loads_of_a_column_tell_its_ends():
    """By hand: pinned load of aluminium, 68.9 GPa; 2.045 times it is pinned and fixed."""
    tube = tc.Tube("6061-T6", od="12 mm", wall="1 mm")
    inertia = math.pi / 64 * (0.012**4 - 0.010**4)
    pinned = math.pi**2 * 68.9e9 * inertia / 0.9**2
    told = {"length": "900 mm", "loads": f"{2.03 * pinned:.1f}, {2.06 * pinned:.1f} N"}
    found = answered("column", told, tube)
    assert row(found, "effective length over free length").startswith(("0.69", "0.7"))
    assert "as pinned and fixed" in " ".join(found.notes)
    least = answered("column", told, tube, set_deflection=True)
    assert row(least, "measured").startswith("at least")
    assert any("not yet the plateau" in note for note in least.notes)


# -- bad input ---------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("rig", "told", "says"),
    [("pluck", {**PLUCK, "frequency": ""}, "swings is not said"),
     ("pluck", {**PLUCK, "length": "0.9 kg"}, "length"),
     ("pluck", {**PLUCK, "length": "-1 m"}, "length"),
     ("pluck", {**PLUCK, "tip_mass": "", "own": ""}, "a mass at the tip or of the tube"),
     ("line", {**LINE, "line": "60 in"}, "not longer than the spar"),
     ("line", {**LINE, "bow": "deep"}, "bow"),
     ("middle", {"load": "1 N", "travel": "1 mm"}, "say construction and two sizes"),
     ("pendulum", {}, "unknown rig")],
)  # fmt: skip
def test_bad_readings_are_refused_in_words(rig, told, says):
    with pytest.raises(InputError) as caught:
        answered(rig, told)
    assert says in str(caught.value)


@pytest.mark.parametrize("text", ["", "heavy", "10 kg", "-5 N", "10 N and more", "<b>"])
def test_bad_loads_are_refused_in_words(text):
    with pytest.raises(InputError):
        loads_of(text)
    tube = tc.Tube("6061-T6", od="12 mm", wall="1 mm")
    with pytest.raises(InputError):
        answered("column", {"length": "1 m", "loads": text}, tube)


def test_step_above_the_reading_is_refused():
    tube = tc.Tube("6061-T6", od="12 mm", wall="1 mm")
    with pytest.raises(InputError, match="step is larger"):
        answered("middle", {"load": "1 N", "travel": "1 mm", "step": "3 mm"}, tube)
