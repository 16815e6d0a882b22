"""Odd records: spikes, gaps, clipped sensors, coarse dials, slipped extensometers, order of rows.

Every truth is that of the curve as it is made here; the oddity is put into it afterwards.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import tubecalc as tc
from tubecalc.testing.curve import Curve, OverRange, Question, Understood
from tubecalc.testing.reduce_tidy import spikes

SLOPE = 200.0  # N/mm


def broken(rows: int = 100, noise: float = 0.3, toe: float = 0.2) -> tuple[np.ndarray, np.ndarray]:
    """Travel [mm] and load [N] of a soft toe, a straight part of SLOPE, and a break."""
    x = np.linspace(0, 4.95, rows)
    y = np.where(x < toe, SLOPE * x**2 / (2 * toe), SLOPE * (x - toe / 2))
    y[-5:] = 0.2 * y[-6]
    return x, y + np.random.default_rng(1).normal(0, noise, rows)


def table(x: np.ndarray, y: np.ndarray, **more: np.ndarray) -> pd.DataFrame:
    return pd.DataFrame({"travel_mm": x, "force_N": y, **more})


def told(table: pd.DataFrame, *preamble: tuple[str, str], **more: object) -> Curve:
    return Curve("T", table, table, Understood(preamble=preamble, **more))


def reduced(data: object, kind: str = "three-point", **more: object) -> tc.TestResult:
    return tc.reduce_test(data, kind, **more)


def holds(out: tc.TestResult, peak: float, within: float = 0.01) -> None:
    assert out.stiffness.to("N/mm").m == pytest.approx(SLOPE, rel=within)
    assert out.peak.to("N").m == pytest.approx(peak, rel=1e-9)


def says(out: tc.TestResult, words: str) -> bool:
    return any(words in n for n in out.notes)


# --- spikes


@pytest.mark.parametrize(
    "rows",
    [
        {20: 9000.0, 55: -8000.0, 70: 5000.0},
        {70: 4000.0, 71: 4100.0},
        {50: 0.0},
        {94: 1e5, 10: 9e4},
    ],
)
def test_spikes_are_named_and_left_out(rows):
    x, y = broken()
    true = y.copy()
    for row, value in rows.items():
        y[row] = value
    kept = np.delete(true, list(rows))
    out = reduced(table(x, y))
    holds(out, float(kept.max()))
    assert not out.peak_is_at_least
    said = next(n for n in out.notes if "jumps out" in n)
    assert all(f"row {row + 1}" in said for row in rows)


def test_no_spike_is_found_where_none_was_put():
    rng = np.random.default_rng(3)
    found = 0
    for noise in (0.0, 1.0, 20.0, 60.0):
        for rows in (25, 100, 3000):
            _, y = broken(rows, noise)
            found += len(spikes(y)) + len(spikes(np.round(y / 25) * 25))
    found += len(spikes(rng.normal(0, 1, 5000))) + len(spikes(np.cumsum(rng.normal(0, 1, 5000))))
    assert found == 0


def test_a_slip_and_a_saw_are_no_spikes():
    x = np.linspace(0, 8, 161)
    saw = 500 * (x % 1.0)  # every fall is kept for a row, then load comes back along the travel
    slip = 200 * x
    slip[80] *= 0.7  # a fall of a third in one row
    assert not len(spikes(saw))
    assert not len(spikes(slip))


def test_many_spikes_are_kept_and_said():
    x, y = broken(300)
    y[5:290:20] = 5000.0
    out = reduced(table(x, y))
    assert out.peak.m == 5000.0
    assert says(out, "so many spikes are kept; look at the cell and its cable")


# --- what is missing at the largest load


def test_a_gap_at_the_largest_load_makes_it_at_least():
    x, y = broken()
    before = y[84]
    y[85:95] = np.nan
    for failure in (None, "break"):
        out = reduced(table(x, y), failure=failure)
        assert out.peak_is_at_least
        assert out.peak.m == pytest.approx(before)
        assert says(out, "missing next to it")


def test_a_gap_elsewhere_or_by_the_beat_of_the_file_does_not():
    x, y = broken()
    peak = float(y.max())
    elsewhere = y.copy()
    elsewhere[20:25] = np.nan
    assert not reduced(table(x, elsewhere)).peak_is_at_least
    slow = y.copy()  # the cell is read at every other row, the travel at each
    slow[1::2] = np.nan
    out = reduced(table(x, slow))
    assert not out.peak_is_at_least
    assert out.peak.m == pytest.approx(float(np.nanmax(slow)))
    assert peak == pytest.approx(out.peak.m, rel=0.02)


def test_the_largest_load_needs_no_travel():
    x, y = broken()
    x[10::7] = np.nan
    assert np.isnan(x[94])
    assert np.argmax(y) == 94
    out = reduced(table(x, y))
    holds(out, float(y.max()))
    assert not out.peak_is_at_least
    assert says(out, "put between the rows beside")
    mark = next(m for m in out.marks if m.key == "peak")
    assert 4.65 < mark.x < 4.75  # 4.70 was cut out


def test_rows_beyond_the_range_stay_beyond_the_range():
    x, y = broken()
    y[85:95] = np.nan
    data = table(x, y)
    over = OverRange("force_N", "OVER", True, tuple(range(85, 95)))
    out = reduced(told(data, over_range=(over,)))
    assert out.peak_is_at_least
    assert says(out, "beyond the range")


# --- a sensor at its limit


def test_a_clipped_sensor_gives_a_lower_bound():
    x, y = broken(noise=0.3)
    y = np.minimum(y, 800.0)
    y[-5:] = 200.0
    out = reduced(table(x, y))
    holds(out, 800.0)
    assert out.peak_is_at_least
    assert says(out, "its sensor was at its limit")
    assert reduced(table(x, y), failure="break").peak_is_at_least


def test_a_plateau_that_scatters_or_cannot_be_told_is_kept():
    x, y = broken(noise=0.3)
    flows = np.minimum(y, 800 + np.random.default_rng(2).normal(0, 0.3, len(y)))
    flows[-5:] = 200.0
    out = reduced(table(x, flows))
    assert not out.peak_is_at_least
    assert not says(out, "exactly one value")
    x, smooth = broken(noise=0.0)
    smooth = np.minimum(smooth, 800.0)
    smooth[-5:] = 200.0
    out = reduced(table(x, smooth))
    assert not out.peak_is_at_least, "without scatter a metal's yield looks the same"
    assert says(out, "the limit of its sensor, or yield?")


# --- coarse travel, turned order, full turns


@pytest.mark.parametrize("step", [0.1, 0.25, 0.4])
def test_travel_in_the_steps_of_a_dial_gauge(step):
    x, y = broken(200)
    out = reduced(table(np.round(x / step) * step, y))
    holds(out, float(y.max()), within=0.03)


def test_interval_of_a_coarse_travel_holds_the_slope_as_often_as_it_says():
    """Noise of the load, travel rounded to a coarse dial: 95 % of 300, less three deviations."""
    rng = np.random.default_rng(11)
    inside = 0
    for _ in range(300):
        x = np.linspace(0, 5, 240)
        y = SLOPE * x + rng.normal(0, 8, len(x))
        low, high = reduced(table(np.round(x / 0.25) * 0.25, y)).stiffness_interval
        inside += low.m <= SLOPE <= high.m
    assert inside >= 300 * 0.95 - 3 * np.sqrt(300 * 0.95 * 0.05)


def test_rows_from_the_last_to_the_first_are_read_backwards():
    x, y = broken()
    time = np.arange(100) * 0.1
    out = reduced(table(x, y, time_s=time).iloc[::-1].reset_index(drop=True))
    plain = reduced(table(x, y, time_s=time))
    holds(out, float(y.max()))
    assert not out.peak_is_at_least
    assert out.si["stiffness"] == pytest.approx(plain.si["stiffness"], rel=1e-12)
    assert says(out, "from the last to the first")
    wrapped = reduced(table(x, y, time_s=np.mod(time, 4.0)))  # a counter that begins anew
    holds(wrapped, float(y.max()))
    assert not says(wrapped, "from the last to the first")


@pytest.mark.parametrize("rest", [0.2, 0.0])
def test_a_time_that_counts_down_turns_no_rows(rest):
    """The load after the break is a fifth of the largest, or nothing."""
    x, y = broken()
    y[-5:] *= rest / 0.2
    down = 60 - np.arange(100) * 0.1
    out = reduced(table(x, y, time_s=down))
    holds(out, float(y.max()))
    assert not says(out, "from the last to the first")
    back = reduced(table(x[::-1], y[::-1], time_s=down))
    holds(back, float(y.max()))
    assert says(back, "from the last to the first")


@pytest.mark.parametrize("start", [350.0, -175.0])
def test_an_angle_goes_on_where_it_begins_anew(start):
    angle = np.linspace(0, 20, 81)
    shown = np.mod(start + angle, 360) if start > 0 else start - angle
    shown = np.where(shown < -180, shown + 360, shown)
    out = reduced(pd.DataFrame({"angle_deg": shown, "torque_N_m": 5 * angle}), "torsion")
    assert out.stiffness.to("N*m/deg").m == pytest.approx(5.0, rel=1e-9)
    assert says(out, "begins anew after 360 deg once")


# --- extensometers, tare, failures of the file


def two_extensometers(stop: int, which: int) -> Curve:
    load = np.linspace(0, 8000, 120)
    arms = [load / 8000, load / 8000]
    arms[which][stop:] = arms[which][stop]
    data = table(load / 2000, load, extension_mm=arms[0], extension_2_mm=arms[1])
    return told(data)


@pytest.mark.parametrize("which", [0, 1])
def test_an_extensometer_that_stands_still_is_left_out(which):
    out = reduced(two_extensometers(60, which), "tension", gauge_length="50 mm")
    assert out.stiffness.to("N/mm").m == pytest.approx(8000, rel=1e-6)
    assert says(out, f"The {('first', 'second')[which]} extensometer stands still")
    assert not says(out, "crooked")


def test_two_extensometers_that_both_go_on_are_averaged():
    out = reduced(two_extensometers(119, 0), "tension", gauge_length="50 mm")
    assert out.stiffness.to("N/mm").m == pytest.approx(8000, rel=1e-6)
    assert says(out, "averaged")


@pytest.mark.parametrize("how", ["stands still", "is taken off"])
def test_an_extensometer_that_stops_gives_the_slope_from_before(how):
    """8000 N/mm up to half of the load, then no travel: 95 % of 100, less three deviations."""
    load = np.linspace(0, 8000, 120)
    inside = 0
    for seed in range(100):
        arm = load / 8000 + np.random.default_rng(seed).normal(0, 2e-4, 120)
        arm[60:] = arm[60] if how == "stands still" else 0.0
        data = table(load / 2000, load, extension_mm=arm * (-1) ** seed)
        out = reduced(data, "tension", gauge_length="50 mm", od="10 mm", wall="1 mm")
        low, high = (v.to("N/mm").m for v in out.stiffness_interval)
        inside += low <= 8000 <= high
        assert high - low < 0.01 * 8000
        assert out.peak.to("N").m == pytest.approx(8000)
        assert says(out, "slipped or was taken off")
        assert (out.energy, out.yield_load) == (None, None)
    assert inside >= 95 - 3 * np.sqrt(100 * 0.95 * 0.05)


@pytest.mark.parametrize("kind", ["tension", "compression"])
def test_strain_gives_the_modulus_without_a_gauge_length(kind):
    """E = 70 GPa on a wall of 100 mm2, whatever the crosshead did."""
    strain = np.linspace(0, 0.008, 80)
    area = np.pi / 4 * (25**2 - 22**2)
    data = table(strain * 300, 70e3 * area * strain, strain=strain)
    out = reduced(data, kind, od="25 mm", wall="1.5 mm")
    assert out.modulus.to("GPa").m == pytest.approx(70, rel=1e-9)
    assert out.EA.to("N").m == pytest.approx(70e3 * area, rel=1e-9)
    assert says(out, "stiffness is that of one metre of tube")
    assert not says(out, "Without an extensometer")
    assert out.energy is None
    by_head = reduced(data, kind, od="25 mm", wall="1.5 mm", way="travel_mm")
    assert by_head.EA is None
    told_too = reduced(data, kind, od="25 mm", wall="1.5 mm", gauge_length="50 mm")
    assert told_too.EA.to("N").m == pytest.approx(70e3 * area, rel=1e-9)
    assert told_too.energy is not None


def test_stress_over_strain_gives_the_modulus():
    """E = 70 GPa; the load is that of the area told, 110.7 mm2."""
    strain = np.linspace(0, 0.008, 80)
    data = pd.DataFrame({"strain": strain, "stress_MPa": 70e3 * strain})
    out = reduced(data, "tension", od="25 mm", wall="1.5 mm")
    area = np.pi / 4 * (25**2 - 22**2)
    assert out.modulus.to("GPa").m == pytest.approx(70, rel=1e-9)
    assert out.peak.to("N").m == pytest.approx(560 * area, rel=1e-9)
    assert out.stress.to("MPa").m == pytest.approx(560, rel=1e-9)
    assert says(out, "the stress times 110.7 mm2")
    with pytest.raises(tc.InputError, match="has a stress and no force: the area of the wall"):
        reduced(data, "tension")
    with pytest.raises(tc.InputError, match="has no force"):
        reduced(data, "ring")


def rests(stands: float) -> pd.DataFrame:
    x, y = broken()
    return table(np.concatenate([np.zeros(10), x]), np.concatenate([np.zeros(10), y]) + stands)


def test_load_that_stands_before_the_travel_moves_is_no_load():
    top = float(broken()[1].max())
    out = reduced(rests(35.0))
    assert out.stiffness.to("N/mm").m == pytest.approx(SLOPE, rel=0.01)
    assert out.peak.m == pytest.approx(top, abs=0.5)  # the mean of the lead carries its noise
    assert says(out, "35 N stand before anything is loaded")
    assert says(out, f"{top + 35:.5g} N")


def test_a_preload_that_the_file_names_is_load():
    top = float(broken()[1].max())
    out = reduced(told(rests(35.0), ("Preload", "35 N")))
    assert out.peak.m == pytest.approx(top + 35, rel=1e-9)
    assert reduced(told(rests(35.0), ("Preload", "0 N"))).peak.m == pytest.approx(top, abs=0.5)


def test_a_record_that_begins_under_load_is_asked_about():
    x, y = broken()
    # the middle of its first three rows: 200 N/mm x (2.55 - 0.1) mm = 490 N
    assert says(reduced(table(x[50:], y[50:])), "The record begins at about 490 N: a preload, or")
    named = told(table(x[50:], y[50:]), ("Preload", "480 N"))
    assert not says(reduced(named), "The record begins")
    assert not says(reduced(table(x, y)), "The record begins")


@pytest.mark.parametrize(
    ("key", "words", "failure"),
    [
        ("Failure mode", "pulled out of grip", "slip"), ("Failure", "jaw break", "jaw"),
        ("Failure mode", "at the grip", "grip"), ("Fracture type", "adhesive bond", "bond"),
        ("Versagen", "Bruch an der Einspannung", "grip"), ("Bruchart", "Rohrbruch Mitte", "break"),
        ("Failure", "crushed end", "crush"), ("Break location", "gauge", "break"),
    ],
)  # fmt: skip
def test_how_it_failed_is_taken_from_the_file(key, words, failure):
    out = reduced(told(table(*broken()), (key, words)), "tension")
    assert out.failure == failure
    assert out.peak_is_at_least is (failure in ("slip", "jaw", "grip", "bond"))
    assert says(out, "is from the file")


@pytest.mark.parametrize(
    ("key", "words"),
    [("Failure load", "920 N at grip"), ("Break detection", "grip 20 %"), ("Remark", "grip"),
     ("Failure mode", "")],
)  # fmt: skip
def test_other_lines_say_nothing_of_the_failure(key, words):
    out = reduced(told(table(*broken()), (key, words)), "tension")
    assert (out.failure, out.peak_is_at_least) == ("", False)


def test_words_that_cannot_be_sorted_are_shown_not_guessed():
    for words in ("no grip failure", "LGM"):
        out = reduced(told(table(*broken()), ("Failure mode", words)), "tension")
        assert (out.failure, out.peak_is_at_least) == ("", False)
        assert says(out, f'"{words}". That is not understood')


def test_the_user_knows_better_than_the_file():
    curve = told(table(*broken()), ("Failure", "jaw break"))
    out = reduced(curve, "tension", failure="break")
    assert (out.failure, out.peak_is_at_least) == ("break", False)
    assert says(out, '"jaw break", you say "break": yours is used')


# --- refusals


@pytest.mark.parametrize("what", ["x", None, 7, {"force_N": [1.0]}])
def test_what_is_no_curve_is_refused(what):
    with pytest.raises(tc.InputError, match="is no curve"):
        tc.reduce_test(what, "ring")


def test_a_list_of_curves_is_refused():
    with pytest.raises(tc.InputError, match="is a list of curves, expected one of them"):
        tc.reduce_test([told(table(*broken()))], "ring")


@pytest.mark.parametrize("column", ["travel_mm", "force_N"])
def test_words_in_a_column_are_refused(column):
    data = table(np.arange(9.0), np.arange(9.0)).astype(object)
    data[column] = ["a"] * 9
    said = rf'curve:{column}: holds "a" in place of a number\.'
    for more in ({}, {"load_factor": 2}):
        with pytest.raises(tc.InputError, match=said):
            tc.reduce_test(data, "ring", **more)


def test_the_open_question_is_said():
    x, y = broken()
    asks = Question("force_unit", 'In which unit is "Force"?', ())
    curve = Curve("T", pd.DataFrame({"travel_mm": x}), pd.DataFrame(), questions=(asks,))
    with pytest.raises(
        tc.InputError, match=r'T: waits for an answer\. In which unit is "Force"\? Say force_unit\.'
    ):
        tc.reduce_test(curve, "three-point")
    asks = Question("travel_unit", 'In which unit is "Stroke"?', ())
    curve = Curve("T", pd.DataFrame({"force_N": y}), pd.DataFrame(), questions=(asks,))
    with pytest.raises(tc.InputError, match=r'In which unit is "Stroke"\?'):
        tc.reduce_test(curve, "three-point")


def test_places_outside_of_the_record_are_refused():
    x, y = broken()
    assert reduced(table(x, y), peak_at="4.7 mm").peak.m == pytest.approx(float(y.max()))
    with pytest.raises(tc.InputError, match=r"peak_at: lies outside of the record, got .99 mm"):
        reduced(table(x, y), peak_at="99 mm")
    with pytest.raises(tc.InputError, match=r"origin: lies outside of the record, got .9 mm"):
        reduced(table(x, y), origin="9 mm")
    assert reduced(table(x, y), origin="-0.2 mm").si["origin"] == pytest.approx(-2e-4)


@pytest.mark.parametrize("ends", [-1, 0, float("nan"), float("inf")])
def test_an_end_factor_that_is_none_is_refused(ends):
    with pytest.raises(tc.InputError, match="ends: is no effective length over free length"):
        reduced(table(*broken()), "column", span="400 mm", ends=ends)


def test_a_frame_softer_than_tube_and_frame_together_is_said():
    out = reduced(table(*broken()), frame="100 N/mm")
    assert out.stiffness is None
    assert says(out, "softer than tube and frame together")
    assert reduced(table(*broken()), frame="400 N/mm").stiffness.m == pytest.approx(400, rel=0.01)
