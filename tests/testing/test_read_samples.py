"""The open samples of test files; the expected values are those told with the samples.

Slopes are fitted here by least squares over the rows named, which the reader knows nothing of.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tubecalc.testing.curve import Curve
from tubecalc.testing.curves import read_curves


def sample(name: str, **told: Any) -> Curve:
    folder = os.environ.get("TUBECALC_SAMPLES")
    if not folder:
        pytest.skip("set TUBECALC_SAMPLES to the folder of open samples")
    found = sorted(Path(folder).glob(f"{name}_*"))
    assert found, f"{name} is not in {folder}"
    curves = read_curves(found[0], **told)
    assert len(curves) == 1
    return curves[0]


def slope(
    curve: Curve, low: float, high: float, way: str = "travel_mm", load: str = "force_N"
) -> float:
    x, y = curve.data[way].to_numpy(), curve.data[load].to_numpy()
    rows = np.isfinite(y) & (np.abs(y) >= low) & (np.abs(y) <= high)
    return float(np.polyfit(x[rows], y[rows], 1)[0])


def test_quoted_rows_below_boilerplate_and_a_units_row() -> None:
    curve = sample("B01")
    before = curve.data.iloc[:-6]  # six rows after the failure
    assert before["force_N"].max() == pytest.approx(1226.0 + 1.6, abs=1.5)  # the tare is in it
    rows = before["force_N"].between(300, 1100)
    fit = np.polyfit(before["travel_mm"][rows], before["force_N"][rows], 1)
    assert fit[0] == pytest.approx(170.57, rel=0.005)
    assert curve.data["time_s"].iloc[0] == 0.05
    assert len(curve.data) == 766
    assert curve.understood.heading_line == 8
    assert not curve.questions


def test_decimal_comma_semicolon_latin_letters() -> None:
    curve = sample("B03")
    assert curve.data["force_N"].iloc[-1] == 1436.46
    assert curve.data["travel_mm"].iloc[-1] == 16.0
    assert slope(curve, 100, 1400) == pytest.approx(89.73, rel=0.005)
    assert curve.name == "Rohr Ø30x1,5"
    assert curve.understood.decimal == ","
    assert curve.understood.thousands == "."
    assert ("Stützweite", "800 mm") in curve.understood.preamble
    assert not curve.questions


def test_two_byte_text_with_weight_units() -> None:
    curve = sample("B05")
    assert slope(curve, 50, 1150) == pytest.approx(66.46, rel=0.005)
    assert curve.data["force_N"].iloc[-1] == pytest.approx(121.9777 * 9.80665)
    assert curve.original["Load(kgf)"].iloc[-1] == 121.9777
    assert ("Span", "50.0 cm") in curve.understood.preamble
    assert not curve.questions


def test_compression_stopped_at_the_limit_of_the_frame() -> None:
    curve = sample("B07")
    assert curve.data["force_N"].min() == -95_000.0
    assert slope(curve, 30e3, 90e3) == pytest.approx(179_071.0, rel=0.01)
    assert any("stands at -95000 N in the last 12 rows" in note for note in curve.notes)
    assert "loop" not in curve.data
    (question,) = curve.questions
    assert (question.argument, question.open) == ("travel", False)
    assert not sample("B07", travel="Extension").questions
    told = sample("B07", extension="Extension")
    assert "extension_mm" in told.data
    assert "travel_mm" not in told.data


def test_log_of_grams_and_motor_steps_with_a_torn_line() -> None:
    curve = sample("B09")
    data = curve.data
    assert [s.line for s in curve.understood.skipped] == [61, 127]
    assert "torn" in curve.understood.skipped[0].why
    assert data["travel_mm"].iloc[-1] == pytest.approx(7160 / 400)
    assert data["force_N"].iloc[-1] == pytest.approx(16.223 * 9.80665)
    contact = data["travel_mm"] > 1.0
    fit = np.polyfit(data["travel_mm"][contact], data["force_N"][contact], 1)
    assert fit[0] == pytest.approx(9.2, rel=0.01)
    assert -fit[1] / fit[0] == pytest.approx(0.6, abs=0.05)
    assert np.all(np.diff(data["time_s"]) > 0)
    assert any("clock begins again" in note for note in curve.notes)


def test_frame_run_in_pounds_and_inches_beside_one_in_newtons() -> None:
    frame, tube = sample("B11a"), sample("B11b")
    machine = slope(frame, 1500, 3500)
    apparent = slope(tube, 1500, 4700)
    assert machine == pytest.approx(2400.0, rel=0.01)
    assert apparent == pytest.approx(1283.0, rel=0.01)
    assert 1 / (1 / apparent - 1 / machine) == pytest.approx(2756.7, rel=0.02)
    assert not frame.questions
    assert not tube.questions


def test_loops_are_kept_and_marked() -> None:
    curve = sample("B13")
    assert curve.data["loop"].max() == 3
    again = curve.data[(curve.data["loop"] > 1) & curve.data["loading"]]
    rows = again["force_N"] > 20
    fit = np.polyfit(again["travel_mm"][rows], again["force_N"][rows], 1)
    assert fit[0] == pytest.approx(85.0, rel=0.01)
    assert len(curve.data) == 234
    assert sorted(set(curve.data["cycle"])) == [1, 2, 3]


def test_marks_in_place_of_numbers_are_neither_dropped_nor_zero() -> None:
    curve = sample("B15")
    assert len(curve.data) == 140
    assert curve.beyond("force_N").sum() == 10
    assert curve.beyond("force_N")[-10:].all()
    assert curve.data["force_N"].isna().sum() == 13
    assert curve.data["force_N"].max() == 1997.5
    assert slope(curve, 100, 1990) == pytest.approx(310.0, rel=0.005)
    assert any("at least 1997.5 N" in note for note in curve.notes)


def test_torque_in_pound_feet_both_ways() -> None:
    curve = sample("B17")
    one = curve.data[curve.data["direction"] == "CW"]
    two = curve.data[curve.data["direction"] == "CCW"]
    first = np.polyfit(one["angle_deg"][1:], one["torque_N_m"][1:], 1)
    second = np.polyfit(two["angle_deg"][1:], two["torque_N_m"][1:], 1)
    assert first[0] == pytest.approx(8.5739, rel=1e-3)
    assert second[0] == pytest.approx(8.5739 * 0.985, rel=1e-3)
    assert first[1] == pytest.approx(0.25, abs=0.01)
    assert not curve.questions
