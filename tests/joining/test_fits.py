"""Sliding and press fits: hand cases, Monte Carlo, Lame, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tubecalc.environment_growth import contact_pressure, growth
from tubecalc.errors import InputError
from tubecalc.joining import fit_press
from tubecalc.joining.fit_parts import Shape, bow_over, chance_below
from tubecalc.joining.fits import fit
from tubecalc.joining.trim import cost, thinned
from tubecalc.joining.tube_sizes import band_of, tube_tolerance
from tubecalc.materials import Metal, Ply, get_metal
from tubecalc.tube import Tube

UM = 1e-6


def rod(od: str, bore: str) -> Tube:
    return Tube("pultruded", od=od, id=bore)


# -- the fact of the trade ---------------------------------------------------------------------


def test_4_mm_tube_into_a_4_mm_bore_will_bind_and_a_little_comes_off_the_inner_one():
    """Common practice, no source: equal nominal sizes do not slide."""
    found = fit(rod("4 mm", "2.5 mm"), rod("6 mm", "4 mm"), overlap="40 mm")
    assert found.verdict == "will bind"
    assert not found.slides
    assert "size on size" in found.why
    assert "off the outside diameter of the inner tube" in found.why
    assert 0.03e-3 < found.take_off.typical < 0.1e-3
    sanded = fit(rod("3.94 mm", "2.5 mm"), rod("6 mm", "4 mm"), overlap="40 mm",
                 outside=["3.94 mm", "3.935 mm"], bore=["4.0 mm", "4.005 mm"])  # fmt: skip
    assert sanded.slides
    assert sanded.grade == "A"


@pytest.mark.parametrize("size", ["4 mm", "10 mm", "25 mm", "1 in"])
@pytest.mark.parametrize("key", ["pultruded", "roll-wrapped", "6061-T6", "304-cold-drawn"])
def test_equal_sizes_never_slide(size, key):
    outer = Tube(key, id=size, wall="1 mm")
    d = float(outer.id.to("mm").m)
    found = fit(Tube("304", od=f"{d!r} mm", wall="0.5 mm"), outer)
    assert found.verdict == "will bind"
    assert found.take_off.typical > 0


@pytest.mark.parametrize(
    ("wall", "clearance", "verdict"),
    [("0.058 in", 0.009, "may bind"), ("0.120 in", 0.010, "may bind"),
     ("0.125 in", 0.0, "will bind")],
)  # fmt: skip
def test_telescoping_sections_in_eighth_inch_steps(wall, clearance, verdict):
    """Mill tolerance +/-0.010 in on diameter, +/-0.003 in on wall: a nominal gap is no promise."""
    w = float(wall.split()[0])
    inner_od = 1.0 if w < 0.1 else 0.75
    outer = Tube("6061-T6", od="1.125 in" if w < 0.1 else "1 in", wall=wall)
    found = fit(Tube("6061-T6", od=f"{inner_od} in", wall="0.058 in"), outer,
                outside="0.010 in", bore="0.010 in")  # fmt: skip
    assert found.nominal / 0.0254 == pytest.approx(clearance, abs=1e-9)
    assert found.verdict == verdict
    assert not found.slides


def test_accurate_surface_decides_the_tolerance():
    """Rolled tube: bore from the mandrel; its outside only when ground. Pultruded: both."""
    tube = Tube("roll-wrapped", od="20 mm", id="18 mm")
    outer = Tube("roll-wrapped", od="22.6 mm", id="20.2 mm")
    rough, ground = fit(tube, outer), fit(tube, outer, ground=True)
    assert rough.verdict == "may bind"
    assert ground.slides
    assert any("not its accurate surface" in c for c in rough.cautions)
    assert not any("not its accurate surface" in c for c in ground.cautions)
    assert rough.bore.high - rough.bore.low == pytest.approx(0.1e-3)


# -- clearance ---------------------------------------------------------------------------------


def test_iso_fit_gives_its_own_clearances():
    """ISO 286: 40 H7/g6 has 9 to 50 um."""
    found = fit(Tube("304", od="40 mm", id="30 mm"), Tube("304", od="50 mm", id="40 mm"),
                iso="H7/g6")  # fmt: skip
    room = found.at[0]
    assert (room.least / UM, room.most / UM) == pytest.approx((9.0, 50.0))
    assert found.verdict == "slides, close"


def test_expansion_of_both_counts():
    """Aluminium in a steel ring of 40 mm, 50 K: (23.6 - 17.3 (304)) 1e-6 x 40 mm x 50 K less."""
    inner, outer = Tube("6061-T6", od="39.9 mm", id="30 mm"), Tube("304", od="44 mm", id="40 mm")
    found = fit(inner, outer, temperature="70 degC")
    a, b = (float(get_metal(k).alpha.to("1/K").m) for k in ("304", "6061-T6"))
    by_hand = (0.040 * a - 0.0399 * b) * 50.0
    assert by_hand < -10e-6
    assert found.at[1].middle - found.at[0].middle == pytest.approx(by_hand, rel=1e-9)
    assert found.worst.temperature == 70.0
    assert fit(inner, outer, temperature="-30 degC").worst.temperature == 20.0


def test_bow_goes_with_the_square_of_the_overlap():
    """Circle of 1 mm bow in a metre: 0.01 mm in a tenth of it (sagitta, l^2 / 8 R)."""
    radius = 1.0 / (8 * 0.001)
    assert bow_over(0.001, 0.1) == pytest.approx(0.1**2 / 8 / radius)
    short, long = (fit(rod("9.8 mm", "8 mm"), rod("12 mm", "10 mm"), overlap=x).worst.free
                   for x in ("50 mm", "500 mm"))  # fmt: skip
    assert short - long == pytest.approx(2 * (0.00025 - 0.0000025), rel=1e-6)


@pytest.mark.parametrize("turn", [0.0, 0.3, 0.9, math.pi / 2])
def test_two_ovals_leave_what_points_round_the_bore_leave(turn):
    a, b, gap = 0.2, 0.1, 1.0  # mm on the diameter
    phi = np.linspace(0, 2 * np.pi, 20001)
    bore = (10 + gap + b / 2 * np.cos(2 * (phi - turn))) / 2
    shaft = (10 + a / 2 * np.cos(2 * phi)) / 2
    loss = gap - 2 * float(np.min(bore - shaft))
    by_formula = math.sqrt(a * a + b * b - 2 * a * b * math.cos(2 * turn)) / 2
    assert loss == pytest.approx(by_formula, rel=1e-4)
    assert loss <= Shape(a, b).worst + 1e-9
    if turn == math.pi / 2:
        assert loss == pytest.approx(Shape(a, b).worst, rel=1e-6)


@pytest.mark.parametrize(
    ("middle", "si", "so", "shape"),
    [
        (50, 20, 20, Shape()), (20, 15, 30, Shape(60 * UM, 90 * UM)),
        (60, 10, 10, Shape(0.0, 120 * UM, 40 * UM, 30 * UM)),
        (0, 10, 20, Shape(50 * UM, 0.0, 10 * UM)), (80, 0, 0, Shape(90 * UM, 90 * UM, 60 * UM)),
        (-5, 10, 10, Shape(30 * UM, 30 * UM, 30 * UM, 30 * UM)),
    ],
)  # fmt: skip
def test_chance_of_binding_is_that_of_a_million_pairs(middle, si, so, shape):
    """Monte Carlo of diameters, ovals with their turn and bows with their direction."""
    rng, n = np.random.default_rng(7), 1_000_000
    gap = middle * UM + rng.normal(0, 1, n) * so * UM - rng.normal(0, 1, n) * si * UM
    oval = [rng.normal(0, 1, (2, n)) * x / 3 for x in (shape.inner_round, shape.outer_round)]
    bow = [rng.normal(0, 1, (2, n)) * x / 3 for x in (shape.inner_bow, shape.outer_bow)]
    gap -= np.hypot(*(oval[0] - oval[1])) / 2 + np.hypot(*(bow[0] - bow[1]))
    expected = float((gap <= 0).mean())
    found = chance_below(0.0, middle * UM, math.hypot(si, so) * UM, shape)
    assert found == pytest.approx(expected, abs=0.002)


@settings(deadline=None)
@given(st.floats(1, 200), st.floats(0.1, 100), st.floats(1.0, 4.0))
def test_larger_tolerance_never_lowers_the_chance_of_binding(gap, sigma, more):
    """For two tubes that clear each other on the average."""
    one, two = (chance_below(0.0, gap * UM, s * UM, Shape()) for s in (sigma, sigma * more))
    assert two >= one - 1e-12


@settings(deadline=None)
@given(st.floats(0, 60), st.floats(0, 60), st.floats(0, 30), st.floats(1, 50), st.floats(-50, 300))
def test_chance_is_symmetric_and_falls_with_clearance_and_rises_with_shape(a, b, c, sigma, gap):
    def at(g: float, *shape: float) -> float:
        return chance_below(0.0, g * UM, sigma * UM, Shape(*(x * UM for x in shape)))

    here = at(gap, a, b, c)
    assert 0.0 <= here <= 1.0 + 1e-12
    assert at(gap, b, a, 0.0, c) == pytest.approx(here, abs=1e-9)
    assert at(gap + 10, a, b, c) <= here + 1e-6
    assert at(gap, a + 20, b, c) >= here - 1e-6


@settings(max_examples=25, deadline=None)
@given(st.floats(9.0, 9.98), st.floats(0.001, 0.2), st.floats(0.001, 0.2))
def test_statistical_limits_lie_within_the_worst_case(od, t1, t2):
    found = fit(Tube("304", od=f"{od!r} mm", id="8 mm"), Tube("304", od="12 mm", id="10 mm"),
                outside=f"{t1!r} mm", bore=f"{t2!r} mm").at[0]  # fmt: skip
    assert found.least <= found.low <= found.middle <= found.high <= found.most
    assert found.most - found.least == pytest.approx(2 * (t1 + t2) * 1e-3)


# -- off the tube --------------------------------------------------------------------------------


@pytest.mark.parametrize(("depth", "bore", "outside"), [(0.1, 0.074, 0.093), (0.2, 0.15, 0.18)])
def test_worn_pole_loses_what_the_annulus_loses(depth, bore, outside):
    """30 mm outside, 1.2 mm wall: 7.4 % off the bore, 9.3 % off the outside for 0.1 mm."""
    tube = Tube("304", od="30 mm", wall="1.2 mm")
    assert 1 - cost(tube, depth * 1e-3, "bore").bending == pytest.approx(bore, abs=0.006)
    assert 1 - cost(tube, depth * 1e-3).bending == pytest.approx(outside, abs=0.006)


def test_plies_come_off_one_by_one():
    tube = Tube("roll-wrapped-woven", od="20 mm", id="18 mm")
    plies = len(tube.layup.plies)
    left = thinned(tube, tube.layup.plies[-1].thickness)
    assert len(left.layup.plies) == plies - 1
    assert not left.layup.plies[-1].values.woven
    into = cost(tube, 0.1e-3)
    assert (into.plies, into.into) == (0, "woven")
    assert float(left.id.m) == pytest.approx(float(tube.id.m))


def test_outer_ply_is_not_cut_through():
    tube, outer = Tube("roll-wrapped", od="20 mm", id="18 mm"), rod("24 mm", "20 mm")
    found = fit(tube, outer, outside=["20.35 mm", "20.37 mm"], bore=["20.0 mm", "20.0 mm"])
    assert found.take_off.allowed == pytest.approx(0.15e-3)
    assert "smaller inner tube" in found.why


# -- press fits --------------------------------------------------------------------------------

METAL = st.tuples(st.floats(60e9, 210e9), st.floats(0.2, 0.4))


@settings(max_examples=30, deadline=None)
@given(METAL, METAL, st.floats(0.05, 0.95), st.floats(1.1, 3.0))
def test_press_fit_of_metals_is_lames(one, two, bore, ring):
    """Pressure (d / D) / [((b2+a2)/(b2-a2) + nu) / E + ((a2+c2)/(a2-c2) - nu) / E]: Timoshenko."""
    a, b, c = 0.010, 0.010 * ring, 0.010 * bore
    metals = [Metal("m", E=f"{e!r} Pa", nu=nu, density="3 g/cm3", yield_strength="1 GPa")
              for e, nu in (one, two)]  # fmt: skip
    inner = Tube(metals[0], od=f"{2 * a!r} m", id=f"{2 * c!r} m")
    outer = Tube(metals[1], od=f"{2 * b!r} m", id=f"{2 * a!r} m")
    found = fit_press.softness(inner, outer)
    wide = ((b * b + a * a) / (b * b - a * a) + two[1]) / two[0]
    small = ((a * a + c * c) / (a * a - c * c) - one[1]) / one[0]
    assert (found.bore, found.outside) == pytest.approx((wide, small), rel=1e-8)


def test_shrunk_hub_by_hand():
    """Steel hub 60 x 30 on a solid steel shaft, 20 um: p = E d (b2 - a2) / (2 D b2) = 50 MPa."""
    steel = Metal("steel", E="200 GPa", nu=0.3, density="7.85 g/cm3", yield_strength="400 MPa")
    found = fit(Tube(steel, od="30 mm", id="0 mm"), Tube(steel, od="60 mm", id="30 mm"),
                outside=["30.020 mm"], bore=["30.000 mm"], overlap="40 mm", press=True,
                friction=0.12)  # fmt: skip
    press = found.presses[1]
    assert press.pressure == pytest.approx(50e6, rel=1e-3)
    assert press.hoop_outer == pytest.approx(50e6 * 5 / 3, rel=1e-3)
    assert press.force == pytest.approx(0.12 * 50e6 * math.pi * 0.030 * 0.040, rel=1e-3)
    assert press.torque == pytest.approx(press.force * 0.015)
    mises = 50e6 * math.sqrt((5 / 3) ** 2 + 1 + 5 / 3)  # open ends: hoop, -p radial
    assert press.reserve == pytest.approx(400e6 / mises, rel=0.01)


def test_heated_plug_presses_on_a_layered_bore_as_an_interference_does():
    """Mismatch strain x diameter is an interference: two routes to one pressure."""
    outer, metal = Tube("roll-wrapped", od="24 mm", id="20 mm"), get_metal("6061-T6")
    found = growth(outer.sections)
    heat = float(contact_pressure(found, metal.si, 60.0)[0])
    plug = Tube("6061-T6", od="20 mm", id="0 mm")
    d = (metal.si.alpha1 - float(found.bore[0])) * 60.0 * 0.020
    soft = fit_press.softness(plug, outer)
    assert d / 0.020 / (soft.bore + soft.outside) == pytest.approx(heat, rel=1e-9)


def test_press_fit_grip_falls_when_the_shaft_shrinks_away():
    inner, outer = Tube("6061-T6", od="20.02 mm", id="16 mm"), Tube("roll-wrapped", od="24 mm",
                                                                   id="20 mm")  # fmt: skip
    args = {"outside": "0.002 mm", "bore": "0.002 mm", "overlap": "30 mm", "press": True}
    warm, cold = fit(inner, outer, **args), fit(inner, outer, temperature="-40 degC", **args)
    assert warm.verdict == "grips"
    assert cold.verdict == "may not grip"
    assert cold.presses[0].force < warm.presses[0].force
    assert any("loosens" in c for c in warm.cautions)


# -- refused ---------------------------------------------------------------------------------------


def test_inner_larger_than_the_bore_is_refused():
    with pytest.raises(InputError, match="the inner tube is larger than the bore"):
        fit(rod("10.1 mm", "8 mm"), rod("12 mm", "10 mm"))


@pytest.mark.parametrize(
    ("args", "words"),
    [
        ({"outside": "-0.05 mm"}, "needs the other limit"),
        ({"outside": "+0.05 mm"}, "needs the other limit"),
        ({"outside": "-0.1/0 mm"}, "upper limit stands first"),
        ({"outside": "0.1/0.2 mm"}, "needs its sign"),
        ({"outside": "0/-0.1"}, "no unit"),
        ({"outside": "0.05"}, "has no unit"),
        ({"outside": "H7"}, "other kind of letter"),
        ({"bore": "h7"}, "other kind of letter"),
        ({"outside": "5 mm"}, "more than a fifth"),
        ({"outside": "T3"}, "class of wall"),
        ({"outside": []}, "no measured diameter"),
        ({"outside": ["19 mm"]}, "far from the nominal"),
        ({"iso": "H7/g6"}, "one nominal diameter"),
        ({"overlap": "-10 mm"}, "overlap"),
        ({"overlap": "0 mm"}, "overlap"),
        ({"out_of_round": "-0.1 mm"}, "nought or more"),
        ({"straightness": -0.1}, "nought or more"),
        ({"friction": -0.1}, "coefficient of friction"),
        ({"ground": True, "outside": "0.1 mm"}, "either the tolerance"),
    ],
)  # fmt: skip
def test_mistakes_are_one_clear_sentence(args, words):
    with pytest.raises(InputError, match=words) as error:
        fit(rod("9.8 mm", "8 mm"), rod("12 mm", "10 mm"), **args)
    assert str(error.value).count("\n") == 0


def test_unknown_expansion_is_said_and_never_guessed():
    own = Ply("nude", E1="130 GPa", E2="9 GPa", G12="4.5 GPa", nu12=0.3, density="1.55 g/cm3")
    inner = Tube(own, od="9.8 mm", id="8 mm")
    found = fit(inner, rod("12 mm", "10 mm"), outside="0.02 mm", temperature="60 degC")
    assert math.isnan(found.at[1].least)
    assert "away from room temperature it is not known" in found.why
    assert any("no expansion" in c for c in found.cautions)
    assert "surfaces are accurate" not in found.cautions[0]  # nobody said so of this wall


def test_wall_of_ones_own_asks_for_its_tolerance():
    from tubecalc.laminate.layup import Layup

    own = Tube(Layup.of([("carbon-sm-ud", 0, "1 mm")]), od="9.8 mm")
    with pytest.raises(InputError, match="tolerance of the outside is not known"):
        fit(own, rod("12 mm", "10 mm"))
    assert fit(own, rod("12 mm", "10 mm"), outside="0.05 mm").grade == "C"


def test_bar_has_no_bore_and_far_too_tight_is_no_press_fit():
    with pytest.raises(InputError, match="no bore"):
        fit(rod("4 mm", "2 mm"), Tube("304", od="6 mm", id="0 mm"))
    with pytest.raises(InputError, match="too much interference"):
        fit(rod("10.5 mm", "8 mm"), rod("12 mm", "10 mm"), press=True)


def test_tube_classes_of_iso_1127():
    assert tube_tolerance("D3", 0.0603) == pytest.approx(0.45225e-3)
    assert band_of(0.0337, "D4", bore=False, where="x").high - 0.0337 == pytest.approx(0.1685e-3)
    with pytest.raises(InputError, match="unknown tolerance class"):
        tube_tolerance("D9", 0.01)
