"""Cutting list: widths by hand geometry, mass of the wall, seams apart, sizes, refusals."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.errors import InputError
from tubecalc.making import cutting_list
from tubecalc.making_pieces import across, path_of, starts, strips_of

MM = 1e-3


def area(corners: tuple[tuple[float, float], ...]) -> float:
    """Shoelace formula."""
    x, y = np.array(corners).T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


def stack(text: str, thickness: str = "0.125 mm") -> tc.Layup:
    return tc.Layup.from_notation(text, "carbon-sm-ud", thickness)


# --- developed widths ----------------------------------------------------------------------
def test_width_of_wraps_is_the_sum_of_their_circles() -> None:
    """Three wraps of 0.2 mm on 20 mm: middles at 20.2, 20.6 and 21.0 mm across."""
    by_hand = math.pi * (20.2 + 20.6 + 21.0)
    assert path_of(20 * MM, 0.2 * MM, 3) / MM == pytest.approx(by_hand, rel=1e-12)
    made = cutting_list(stack("[0_3]", "0.2 mm"), mandrel="20 mm", length="1 m", overlap="0 mm")
    assert made.table["width_mm"].tolist() == pytest.approx([by_hand])


def spiral(first: float, step: float, turns: int) -> float:
    """Length of r = first + step * angle / turn, by fine summation of its arc element."""
    angle = np.linspace(0.0, 2 * math.pi * turns, 200_001)
    climb = step / (2 * math.pi)
    element = np.hypot(first + climb * angle, climb)
    return float(np.sum((element[1:] + element[:-1]) / 2) * (angle[1] - angle[0]))


@pytest.mark.parametrize(("d", "t", "n"), [(20.0, 0.15, 1), (6.0, 0.25, 4), (50.0, 0.125, 16)])
def test_width_against_the_spiral(d: float, t: float, n: int) -> None:
    """The circles are a steady climb from d/2 to second order; one from d/2 + t/2 is pi n t longer.

    The ply lies on the round mandrel first and steps up at its own edge: no climb before that.
    """
    circles = path_of(d, t, n)
    assert spiral(d / 2, t, n) == pytest.approx(circles, rel=2 * (t / d) ** 2)
    assert spiral(d / 2 + t / 2, t, n) - circles == pytest.approx(math.pi * n * t, rel=5e-3)


@given(st.floats(2, 200), st.floats(0.03, 1.0), st.integers(1, 40))
def test_width_times_thickness_fills_the_ring(d: float, t: float, n: int) -> None:
    """What is cut is what is in the wall, to the last ply."""
    ring = math.pi / 4 * ((d + 2 * n * t) ** 2 - d**2)
    assert path_of(d, t, n) * t == pytest.approx(ring, rel=1e-9)


def test_width_goes_on_from_piece_to_piece() -> None:
    """[90/0_2/90] of 0.125 mm on 10 mm, by hand: 10.125; 10.375 + 10.625; 10.875 mm middles."""
    made = cutting_list(stack("[90/0_2/90]"), mandrel="10 mm", length="250 mm", overlap="2 mm")
    by_hand = [math.pi * 10.125 + 2, math.pi * (10.375 + 10.625) + 2, math.pi * 10.875 + 2]
    assert made.table["width_mm"].tolist() == pytest.approx(by_hand, rel=1e-12)
    assert made.table["plies"].tolist() == ["1", "2-3", "4"]
    assert made.table["length_mm"].tolist() == [290.0] * 3


# --- mass ----------------------------------------------------------------------------------
@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.sampled_from([0.0, 90.0, 45.0, -45.0, 30.0]), min_size=1, max_size=12),
    st.floats(5, 80), st.floats(0.1, 3.0),
)  # fmt: skip
def test_mass_of_butted_pieces_is_that_of_the_tube(angles: list[float], d: float, m: float) -> None:
    wall = tc.Layup.of([("carbon-sm-ud", a, "0.125 mm") for a in angles])
    made = cutting_list(wall, mandrel=f"{d} mm", length=f"{m} m", overlap="0 mm", trim="0 mm")
    tube = tc.Tube(wall, od=f"{d + 2 * wall.t / MM} mm")
    want = float(tube.mass_per_length.to("kg/m").magnitude) * m
    assert float(made.mass.to("kg").magnitude) == pytest.approx(want, rel=1e-9)
    assert sum(p.wraps for p in made.pieces) == len(angles)


def test_overlap_adds_its_share_and_waste_its_allowance() -> None:
    """One ply of 31.81 mm with 3 mm overlap weighs 3 / 31.81 more; 5 tubes, 20 % waste."""
    bare = cutting_list(stack("[0]"), mandrel="10 mm", length="1 m", overlap="0 mm")
    lapped = cutting_list(stack("[0]"), mandrel="10 mm", length="1 m", overlap="3 mm", tubes=5,
                          waste="20 %")  # fmt: skip
    share = float((lapped.mass / bare.mass).to("").magnitude)
    assert share == pytest.approx(1 + 3 / (math.pi * 10.125), rel=1e-12)
    want = 5 * 1.2 * float(lapped.mass.to("kg").magnitude)
    assert float(lapped.mass_to_buy.magnitude) == pytest.approx(want)
    assert lapped.materials["mass_kg"].sum() == pytest.approx(want)


# --- bias pieces and strips ----------------------------------------------------------------
def test_a_bias_piece_needs_the_roll_width_that_a_turned_rectangle_has() -> None:
    """A 30 x 40 rectangle turned by 45 deg is 70 / sqrt 2 high."""
    assert across(30.0, 40.0, 45.0) == pytest.approx(70 / math.sqrt(2))
    assert len(strips_of(30.0, 40.0, 45.0, 49.6)) == 1
    assert len(strips_of(30.0, 40.0, 45.0, 49.4)) == 2


def test_long_bias_strips_have_the_length_of_the_slanted_cut() -> None:
    """Inside a long piece 60 wide, a strip 10 wide at 45 deg runs 60 sqrt 2 + 10, tip to tip."""
    strips = strips_of(60.0, 1000.0, 45.0, 10.0)
    assert strips[40].length == pytest.approx(60 * math.sqrt(2) + 10)


@given(st.floats(5, 500), st.floats(5, 3000), st.floats(-90, 90), st.floats(20, 1000))
def test_strips_fill_the_piece_and_none_is_wider_than_the_roll(
    width: float, length: float, angle: float, roll: float
) -> None:
    strips = strips_of(width, length, angle, roll)
    assert sum(area(s.corners) for s in strips) == pytest.approx(width * length, rel=1e-6)
    a = math.radians(angle)
    for s in strips:
        over = [-math.sin(a) * x + math.cos(a) * y for x, y in s.corners]
        along = [math.cos(a) * x + math.sin(a) * y for x, y in s.corners]
        assert max(over) - min(over) <= roll * (1 + 1e-6)
        assert max(along) - min(along) == pytest.approx(s.length)


def test_a_run_too_wide_for_the_roll_becomes_several_pieces_that_are_not() -> None:
    """Eight axial wraps on 40 mm are a metre wide; a 300 mm roll takes two wraps (252 mm)."""
    made = cutting_list(stack("[0_8]"), mandrel="40 mm", length="1 m", roll_width="300 mm")
    assert [p.wraps for p in made.pieces] == [2, 2, 2, 2]
    assert (made.table["strips"] == 1).all()
    assert made.table["width_mm"].max() <= 300


def test_one_wrap_wider_than_the_roll_is_joined_and_said() -> None:
    made = cutting_list(stack("[0]"), mandrel="120 mm", length="1 m", roll_width="300 mm")
    assert made.table["strips"].tolist() == [2]
    assert any("1 piece is wider than the roll of 300 mm" in n for n in made.notes)


def test_most_wraps_divides_a_run_evenly() -> None:
    made = cutting_list(stack("[0_7]"), mandrel="8 mm", length="1 m", most_wraps=3)
    assert [p.wraps for p in made.pieces] == [3, 2, 2]


# --- seams ---------------------------------------------------------------------------------
@given(st.integers(1, 1500))
def test_seams_are_spread(count: int) -> None:
    """No two closer than 360 / (count + 1), neighbours in the stack at least 100 degrees."""
    places = starts(count)
    assert len(places) == count
    assert all(0 <= p < 360 for p in places)
    order = sorted(places)
    gaps = [b - a for a, b in pairwise(order)] + [360 - order[-1]]
    assert min(gaps) >= 360 / (count + 1) - 1e-9
    apart = [min(abs(a - b), 360 - abs(a - b)) for a, b in pairwise(places)]
    assert min(apart, default=180) >= 100 - 1e-9


def test_start_is_also_given_as_a_way_round_the_surface_it_lies_on() -> None:
    """Second of two pieces: half a turn of a 20.25 mm circle."""
    made = cutting_list(stack("[90/0]"), mandrel="20 mm", length="1 m")
    assert made.table["start_deg"].tolist() == [0.0, 180.0]
    assert made.table["start_mm"][1] == pytest.approx(math.pi * 20.25 / 2)


# --- size after cure -----------------------------------------------------------------------
def test_outside_diameter_holds_all_the_material() -> None:
    """Mandrel 20 and eight plies 0.125: 22 mm; two overlaps 3 x 0.125 add 0.75 mm2 to the ring."""
    made = cutting_list(stack("[90_4/0_4]"), mandrel="20 mm", length="0.2 m")
    assert len(made.pieces) == 2
    want = math.sqrt(22**2 + 4 * 2 * 3 * 0.125 / math.pi)
    assert float(made.od.magnitude) == pytest.approx(want)
    low, high = made.od_range.magnitude
    assert high - low == pytest.approx(2 * 2 * 1.0 * 0.05)
    assert float(made.od_at_seam.magnitude) == pytest.approx(22.125)
    assert float(made.od_rolled.magnitude) == pytest.approx(22.2)


def test_thick_rolled_wall_stands_open_before_cure_by_its_longer_way_round() -> None:
    """Last of 20 single-wrap pieces: 10 % more of 2 * 2.4375 mm of diameter below its middle."""
    made = cutting_list(stack("[(90/0)_10]"), mandrel="20 mm", length="0.2 m", overlap="0 mm")
    want = math.pi * 0.1 * 2 * (19.5 * 0.125)
    assert made.table["open_before_cure_mm"].iloc[-1] == pytest.approx(want)


def test_tube_and_construction_give_the_same_list() -> None:
    tube = tc.Tube("roll-wrapped", id="20 mm", wall="1.5 mm")
    a = cutting_list(tube, length="1 m").table
    b = cutting_list("roll-wrapped", "1.5 mm", mandrel="20 mm", length="1 m").table
    assert a["width_mm"].tolist() == pytest.approx(b["width_mm"].tolist(), rel=1e-9)
    assert a["plies"].tolist() == b["plies"].tolist()


def test_whole_plies_that_miss_the_size_asked_for_are_said() -> None:
    made = cutting_list("roll-wrapped", mandrel="20 mm", od="22.9 mm", length="1 m")
    assert any("Whole plies make 23 mm; 22.9 mm was asked for." in n for n in made.notes)


# --- refusals ------------------------------------------------------------------------------
BAD = {
    "overlap is longer than the way round": {"overlap": "40 mm"},
    "mandrel is larger than the tube": {"od": "9 mm"},
    "is negative": {"trim": "-1 mm"},
    "must be above zero": {"length": "0 mm"},
    "more than 400 strips": {"roll_width": "0.05 mm"},
    "must be a whole number": {"tubes": 0},
    "is out of range": {"waste": "400 %"},
    "mandrel is missing": {"mandrel": None},
}


@pytest.mark.parametrize("words", BAD)
def test_bad_input_is_refused_in_words(words: str) -> None:
    given_in = {"mandrel": "10 mm", "length": "1 m", **BAD[words]}
    with pytest.raises(InputError, match=words):
        cutting_list(stack("[45/-45]"), **given_in)


@pytest.mark.parametrize(
    ("wall", "words"), [("304", "not rolled"), ("pultruded", "not rolled from sheets")]
)
def test_walls_that_are_no_sheets_are_refused(wall: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        cutting_list(wall, "1 mm", mandrel="10 mm", length="1 m")


def test_thousands_of_plies_are_listed_in_time() -> None:
    made = cutting_list(stack("[(90/0)_2000]", "0.01 mm"), mandrel="50 mm", length="1 m")
    assert len(made.table) == 4000
    assert made.table["width_mm"].is_monotonic_increasing
