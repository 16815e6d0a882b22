"""Measured over promised, factors that stay off, tests side by side."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest

import tubecalc as tc
from tubecalc.need import Factors
from tubecalc.testing.calibrate import Calibration, Ratio, biases, ratios, table
from tubecalc.testing.predict import promise, weight_for_weight
from tubecalc.testing.reduce_group import directions, odd_slopes, same_tests

SIZE = {"od": "10 mm", "id": "8 mm"}


def broken(top, kind="tension", failure="break", k=1000.0, name="R", **more):
    """A straight curve that breaks at a load."""
    x = np.linspace(0, 1.1 * top / k, 400)
    y = np.where(x < top / k, k * x, 0.02 * top)
    columns = ("angle_deg", "torque_N_m") if kind == "torsion" else ("travel_mm", "force_N")
    data = pd.DataFrame(dict(zip(columns, (x, y), strict=True)))
    return tc.reduce_test(data, kind, failure=failure, name=name, **SIZE, **more)


@pytest.fixture(scope="module")
def pultruded():
    return tc.Tube("pultruded", **SIZE)


def test_promise_of_a_metal_is_yield_and_rupture_by_hand():
    tube = tc.Tube(tc.Metal("m", E="200 GPa", nu=0.3, density="7.9 g/cm^3",
                            yield_strength="200 MPa", ultimate="500 MPa"), **SIZE)  # fmt: skip
    said = promise(broken(5000, gauge_length="100 mm"), tube)
    area = math.pi / 4 * (100 - 64)
    assert said.loads["strength"] == pytest.approx(200 * area, rel=1e-6)
    assert said.last == pytest.approx(500 * area, rel=1e-6)
    assert said.stiffness == pytest.approx(200e3 * area, rel=1e-6)
    column = promise(broken(900, "column", "buckling", span="600 mm", ends="fixed-fixed"), tube)
    inertia = math.pi / 64 * (10**4 - 8**4) * 1e-12
    euler = math.pi**2 * 200e9 * inertia / 0.3**2
    assert column.loads["column"] == pytest.approx(euler, rel=0.02)


def test_four_points_promise_by_the_moment_between_the_noses():
    tube = tc.Tube("304", **SIZE)
    three = promise(broken(300, "three-point", span="300 mm"), tube)
    four = promise(broken(300, "four-point", span="300 mm", inner_span="100 mm"), tube)
    assert four.loads["strength"] / three.loads["strength"] == pytest.approx(75 / 50, rel=1e-3)


def test_failure_is_held_against_the_check_that_speaks_of_it(pultruded):
    one = {
        r.check: r for r in ratios(broken(900, "three-point", "crush", span="100 mm"), pultruded)
    }
    two = {
        r.check: r for r in ratios(broken(120, "three-point", "split", span="100 mm"), pultruded)
    }
    assert {"stiffness", "crush"} == set(one)
    assert {"stiffness", "split"} == set(two)
    said = promise(broken(900, "three-point", "crush", span="100 mm"), pultruded)
    assert one["crush"].ratio == pytest.approx(900 / said.loads["crush"], rel=0.01)
    ends = ratios(broken(9000, "compression", "crush", gauge_length="30 mm"), pultruded)
    assert [r.check for r in ends] == ["stiffness", "end_crush"]


def test_grip_failure_stays_a_lower_bound_and_gives_no_stiffness(pultruded):
    (one,) = ratios(broken(22000, failure="grip", gauge_length="200 mm"), pultruded)
    assert (one.check, one.at_least) == ("strength", True)
    (bias,) = biases([one])
    assert bias.broken == 0
    assert not bias.off
    assert "at least 0.36" in bias.sentence()


def _made(values, check="crush", bounds=(), construction="pultruded"):
    rows = [(v, False) for v in values] + [(v, True) for v in bounds]
    return [
        Ratio(f"R{n}", construction, "three-point", check, check, 1000 * v, 1000.0, "load", low)
        for n, (v, low) in enumerate(rows)
    ]


def test_middle_ratio_and_its_interval_are_students_of_the_logarithm():
    from scipy import stats

    values = [0.72, 0.80, 0.75, 0.78]
    (bias,) = biases(_made(values))
    logs = np.log(values)
    low, high = stats.t.interval(0.95, 3, loc=logs.mean(), scale=stats.sem(logs))
    assert bias.ratio == pytest.approx(math.exp(logs.mean()), rel=1e-6)
    assert (bias.low, bias.high) == pytest.approx((math.exp(low), math.exp(high)), rel=1e-4)
    assert bias.off
    assert "promises too much" in bias.sentence()


def test_what_specimens_leave_open_accuses_nobody():
    (close,) = biases(_made([0.985, 0.99, 0.988]))
    assert close.high < 1.0
    assert not close.off


def test_two_tests_accuse_nobody():
    (bias,) = biases(_made([0.5, 0.51]))
    assert not bias.off
    assert "1 more would tell" in bias.sentence()


def test_lower_bounds_raise_the_ratio_and_never_lower_it():
    plain = biases(_made([0.9, 1.0, 1.1]))[0]
    above = biases(_made([0.9, 1.0, 1.1], bounds=[1.08]))[0]
    below = biases(_made([0.9, 1.0, 1.1], bounds=[0.2]))[0]
    assert above.ratio > plain.ratio
    assert below.ratio == pytest.approx(plain.ratio, rel=1e-3)
    assert biases(_made([], bounds=[1.3]))[0].off, "a bound above the promise is proof enough"


def test_nothing_is_applied_until_it_is_switched_on():
    need = tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "100 N"\nspan = "100 mm"')
    made = Calibration(tuple(biases(_made([0.72, 0.80, 0.75]))))
    assert made.need(need) is need
    assert made.lines() == []
    on = made.switched("pultruded", "crush")
    used = on.need(need)
    assert used.factors.bench == f"pultruded crush {made.factors[0].low:.4g}"
    assert (used.factors.strength, used.factors.buckling) == (1.0, 1.0)
    assert "Calibrated by 3 tests: pultruded" in on.lines()[0]
    assert on.switched("pultruded", "crush", on=False).need(used) == need
    assert made.on == frozenset()
    assert Factors().bench == ""


def test_what_is_on_counts_for_its_wall_and_its_check_alone():
    """Reserve of the check times the share; the others and other walls keep theirs."""
    need = tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "-100 N"\nspan = "500 mm"')
    made = Calibration(tuple(biases(_made([0.8, 0.82, 0.84], check="column"))))
    used = made.switched("pultruded", "column").need(need)
    share = float(f"{made.factors[0].low:.4g}")
    for key, expected in (("pultruded", share), ("roll-wrapped", 1.0)):
        tube = tc.Tube(key, od="10 mm", wall="1 mm")
        plain, own = tc.check(tube, need), tc.check(tube, used)
        assert own.reserve["column"] == pytest.approx(expected * plain.reserve["column"])
        rest = [c for c in plain.reserve.index if c != "column"]
        assert own.reserve[rest].tolist() == plain.reserve[rest].tolist()
        why = own.table.set_index("check").loc["column", "why"]
        assert ("own tests leave" in why) == (expected < 1)
    swept = tc.sweep(used, ["pultruded", "roll-wrapped"], od=["10 mm"], wall=["1 mm"])
    one = tc.check(tc.Tube("pultruded", od="10 mm", wall="1 mm"), used)
    row = swept.set_index("construction").loc["pultruded"]
    assert row["reserve_column"] == pytest.approx(one.reserve["column"])
    assert any("Own bench tests leave" in line for line in tc.assumptions(used))
    assert tc.Need.from_toml(used.to_toml()) == used


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("pultruded crush", "not what tests leave"), ("pultruded crush 1.2", "not what tests"),
        ("pultruded crush nan", "not what tests leave"), ("pultruded crash 0.9", "crush"),
    ],
)  # fmt: skip
def test_a_share_that_cannot_be_read_or_would_relax_is_refused(text, says):
    toml = '[[case]]\nkind = "strut"\nload = "-100 N"\nspan = "0.5 m"\n[factors]\nbench = '
    with pytest.raises(tc.InputError, match=says):
        tc.check(
            tc.Tube("pultruded", od="10 mm", wall="1 mm"), tc.Need.from_toml(f'{toml}"{text}"')
        )


@pytest.mark.parametrize(
    ("values", "check", "says"),
    [([0.5, 0.6], "crush", "1 more would"), ([0.8, 0.8, 0.82], "stiffness", "own wall"),
     ([1.4, 1.5, 1.6], "crush", "may not relax a need")],
)  # fmt: skip
def test_factor_that_may_not_be_used_is_refused(values, check, says):
    made = Calibration(tuple(biases(_made(values, check=check))))
    with pytest.raises(tc.InputError, match=says):
        made.switched("pultruded", check)
    with pytest.raises(tc.InputError, match="unknown factor"):
        made.switched("pultrded", check)


def test_table_and_weight_for_weight(pultruded):
    test = broken(900, "three-point", "crush", span="100 mm", name="R4")
    rows = table(ratios(test, pultruded))
    assert list(rows["check"]) == ["stiffness", "crush"]
    assert rows["ratio"].tolist() == pytest.approx((rows.measured / rows.promised).tolist())
    weights = weight_for_weight([test, test], [pultruded, "42.977 g/m"])
    assert weights["peak_per_mass_N_m_per_kg"].tolist() == pytest.approx(
        [900 / 0.042977] * 2, rel=5e-3
    )
    with pytest.raises(tc.InputError, match="as many masses"):
        weight_for_weight([test], [])


# -- side by side -----------------------------------------------------------------------------
def _curve(name, data):
    from tubecalc.testing.curve import Curve

    return Curve(name, data, data)


def _wavy(seed, n=400):
    rng = np.random.default_rng(seed)
    x = np.linspace(0, 5, n)
    return pd.DataFrame({"travel_mm": x, "force_N": 100 * x + rng.normal(0, 4, n)})


def test_one_test_in_two_files_is_found_and_two_tests_are_not():
    a, b = _wavy(1), _wavy(2)
    again = a.assign(force_N=(a.force_N / 4.4482).round(2) * 4.4482)
    assert same_tests([_curve("A", a), _curve("B", b)]) == []
    (said,) = same_tests([_curve("A", a), _curve("B", b), _curve("C", again)])
    assert said == "A and C are one and the same test: count it once."


def test_two_halves_of_one_test_are_found():
    a = _wavy(3)
    said = same_tests([_curve("A", a.iloc[:200]), _curve("B", a.iloc[200:])])
    assert "cut in two" in said[0]


def test_directions_that_differ_look_crooked():
    alike = [broken(300, "three-point", k=k, span="300 mm", name=f"D{k}") for k in (100, 101)]
    assert "agree within 1.0 %" in directions(alike)[0]
    apart = [broken(300, "three-point", k=k, span="300 mm", name=f"D{k}") for k in (100, 112)]
    assert directions(apart)[0].startswith("D112 is 12 % stiffer than D100")


def test_readings_that_cannot_share_a_span_are_not_averaged():
    one = broken(300, "three-point", k=100, span="300 mm", name="A")
    two = broken(300, "three-point", k=200, span="300 mm", name="B")
    assert "not averaged" in odd_slopes([one, two])[0]
    assert odd_slopes([one, one]) == []
