"""Winding: closing on a marked mandrel, band side by side, turning zone, mass, refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tubecalc.errors import InputError
from tubecalc.making import winding
from tubecalc.making_closing import circuits, closings, turning


# --- closing -------------------------------------------------------------------------------
@given(st.integers(1, 200), st.floats(0.1, 60), st.floats(0, 15))
def test_starts_fall_on_every_place_once_and_the_neighbour_comes_after_the_pattern(
    count: int, stroke: float, least: float
) -> None:
    """Wind it: add up the turns circuit by circuit and look where the bands start."""
    for c in closings(count, stroke, least):
        turn = 2 * (stroke + c.end_turn) / (2 * math.pi)
        places = [round(k * turn * count) % count for k in range(count)]
        assert all(abs(k * turn * count - round(k * turn * count)) < 1e-6 for k in range(count))
        assert sorted(places) == list(range(count))
        beside = {1 % count, (count - 1) % count}
        if count > 2:
            assert min(k for k in range(1, count) if places[k] in beside) == c.pattern
            assert places[c.pattern] == (1 if c.ahead else count - 1)
        assert c.end_turn >= least - 1e-9
        assert c.end_turn < least + math.pi + 1e-9


@given(st.floats(5, 300), st.floats(10, 85), st.floats(2, 20))
def test_closing_angle_lays_the_bands_edge_to_edge(d: float, a: float, b: float) -> None:
    """At the closing angle the bands take exactly the way round: N b / cos(a) = pi D."""
    assume(circuits(d, math.radians(a), b) > 1)
    row = winding(f"{d} mm", a, f"{b} mm", "1 m").table.iloc[0]
    n = round(math.pi * d * math.cos(math.radians(row["closing_angle_deg"])) / b)
    assert n * b / math.cos(math.radians(row["closing_angle_deg"])) == pytest.approx(math.pi * d)
    assert abs(n - row["circuits_exact"]) <= 1
    assert 1 - 1e-9 <= row["coverage"] < 1 + 1 / row["circuits_exact"] + 1e-9


def test_circuits_by_hand() -> None:
    """100 mm across, 60 deg, band 10 mm: 314.16 x 0.5 / 10 = 15.71, so 16, overlap 1.9 %."""
    made = winding("100 mm", 60, "10 mm", "1 m")
    row = made.table.iloc[0]
    assert row["circuits"] == 16
    assert row["coverage"] == pytest.approx(16 / 15.70796, rel=1e-6)
    assert row["closing_angle_deg"] == pytest.approx(math.degrees(math.acos(160 / 314.159265)))
    assert row["lead_mm"] == pytest.approx(314.159265 / math.tan(math.radians(60)))


def test_a_pattern_asked_for_is_wound() -> None:
    made = winding("100 mm", 60, "10 mm", "1 m", pattern=5)
    assert made.layers[0].closing.pattern == 5
    with pytest.raises(InputError, match="pattern 4 does not close with 16 circuits"):
        winding("100 mm", 60, "10 mm", "1 m", pattern=4)


# --- turning by friction -------------------------------------------------------------------
@pytest.mark.parametrize("a", [15.0, 45.0, 70.0])
def test_turning_zone_is_the_path_at_the_edge_of_slipping(a: float) -> None:
    """Integrate da/ds = mu sin(a)^2 / R from the angle to hoop."""
    radius, mu = 20.0, 0.2
    at = np.linspace(math.radians(a), math.pi / 2, 100_001)

    def whole(values: np.ndarray) -> float:
        return float(np.sum((values[1:] + values[:-1]) / 2 * np.diff(at)))

    slope = radius / (mu * np.sin(at) ** 2)
    zone = turning(2 * radius, math.radians(a), mu)
    assert zone.length == pytest.approx(whole(slope * np.cos(at)), rel=1e-6)
    assert zone.path == pytest.approx(2 * whole(slope), rel=1e-6)
    assert zone.turn == pytest.approx(2 * whole(slope * np.sin(at) / radius), rel=1e-6)


def test_more_friction_turns_in_less_room() -> None:
    """Twice the friction, half the zone."""
    a = winding("40 mm", 45, "5 mm", "1 m", friction=0.2).table["end_zone_mm"][0]
    b = winding("40 mm", 45, "5 mm", "1 m", friction=0.4).table["end_zone_mm"][0]
    assert a == pytest.approx(2 * b)


# --- length and mass -------------------------------------------------------------------------
@settings(max_examples=30, deadline=None)
@given(st.floats(20, 200), st.floats(10, 80), st.floats(2, 10), st.floats(0.2, 3))
def test_mass_is_that_of_two_plies_times_the_coverage(
    d: float, a: float, b: float, m: float
) -> None:
    """Without the ends: 2 t pi D L rho, and by what the bands overlap."""
    assume(circuits(d, math.radians(a), b) > 1)
    made = winding(f"{d} mm", a, f"{b} mm", f"{m} m", thickness="0.2 mm", density="1.6 g/cm3")
    x = made.layers[0]
    ends = (
        x.circuits * 2 * x.closing.end_turn * d / 2e3
    )  # band laid as hoop while the mandrel turns
    plies = 2 * 0.2e-3 * math.pi * d * 1e-3 * m * 1600
    want = plies * made.table["coverage"][0] + ends * b * 1e-3 * 0.2e-3 * 1600
    assert float(made.mass.magnitude) == pytest.approx(want, rel=1e-6)


def test_layers_grow_by_two_plies_each_way() -> None:
    made = winding("40 mm", 55, "5 mm", "1 m", layers=3, thickness="0.25 mm")
    assert made.table["diameter_mm"].tolist() == pytest.approx([40.0, 41.0, 42.0])
    assert made.table["circuits"].is_monotonic_increasing


def test_strand_weighs_its_length() -> None:
    made = winding("40 mm", 55, "5 mm", "1 m", strand="1.6 g/m")
    row = made.table.iloc[0]
    assert row["strand_mass_g"] == pytest.approx(1.6 * row["path_m"])
    assert float(made.strand_length.magnitude) == pytest.approx(row["path_m"])


@pytest.mark.parametrize(
    ("given_in", "words"),
    [
        ({"angle": 90}, "out of range"),
        ({"angle": "0 deg"}, "out of range"),
        ({"angle": 89.9}, "wider than its way round.*hoop winding at"),
        ({"band": "0.001 mm"}, "more than 20000 circuits"),
        ({"mandrel": "-5 mm"}, "negative|above zero"),
        ({"layers": 3}, "need the ply thickness"),
        ({"layers": 0}, "whole number"),
        ({"friction": 3}, "out of range"),
    ],
)
def test_bad_input_is_refused_in_words(given_in: dict[str, object], words: str) -> None:
    asked = {"mandrel": "40 mm", "angle": 45, "band": "5 mm", "length": "1 m", **given_in}
    with pytest.raises(InputError, match=words):
        winding(**asked)  # type: ignore[arg-type]


def test_a_band_wider_than_the_mandrel_is_round_is_refused():
    with pytest.raises(InputError, match=r"wider than the mandrel's circumference.*62\.83 mm"):
        winding("20 mm", "45 deg", "90 mm", "1 m")
