"""Measured over promised, factors that stay off, tests side by side."""

from __future__ import annotations

import math
import re

import numpy as np
import pandas as pd
import pytest

import tubecalc as tc
from tubecalc.need import Factors
from tubecalc.testing.calibrate import Calibration, Ratio, biases, ratios, table
from tubecalc.testing.predict import bending_said, beyond_bending, promise, weight_for_weight
from tubecalc.testing.reduce_group import directions, doubles, odd_slopes, same_tests

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
    assert {"EI", "crush"} == set(one)
    assert {"EI", "split"} == set(two)
    said = promise(broken(900, "three-point", "crush", span="100 mm"), pultruded)
    assert one["crush"].ratio == pytest.approx(900 / said.loads["crush"], rel=0.01)
    ends = ratios(broken(9000, "compression", "crush", gauge_length="30 mm"), pultruded)
    assert [r.check for r in ends] == ["EA", "end_crush"]


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
    [([0.5, 0.6], "crush", "1 more would"), ([0.8, 0.8, 0.82], "EA", "own wall"),
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
    assert list(rows["check"]) == ["EI", "crush"]
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
    assert said == "A and C are one and the same test: it counts once."


def test_two_halves_of_one_test_are_found():
    a = _wavy(3)
    said = same_tests([_curve("A", a.iloc[:200]), _curve("B", a.iloc[200:])])
    assert "cut in two" in said[0]


def test_a_test_that_is_there_twice_counts_once():
    """Which of them: the first whole one; of halves that with the break; alike ones all count."""
    a, b = _wavy(1), _wavy(2)
    again = a.assign(force_N=(a.force_N / 4.4482).round(2) * 4.4482)
    whole = _wavy(3)
    half, rest = whole.iloc[:200], whole.iloc[200:]
    made = [_curve(n, d) for n, d in zip("ABCDE", (a, b, again, half, rest), strict=True)]
    assert doubles(made[:3]) == {2: 0}
    assert doubles([made[3], made[1], made[4]]) == {0: 2}
    assert doubles([None, *made[:2]]) == {}
    stiffer = a.assign(travel_mm=a.travel_mm * 0.95)  # another tube that breaks at the same load
    assert doubles([made[0], _curve("F", stiffer)]) == {}
    fewer = _curve("G", pd.DataFrame({"travel_mm": np.linspace(0, 5, 399)}).assign(
        force_N=lambda d: 100 * d.travel_mm))  # fmt: skip
    line = _curve("H", a.assign(force_N=100 * a.travel_mm))
    assert doubles([line, fewer]) == {}
    assert "both count" in same_tests([line, fewer])[0]


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


# -- stiffness -------------------------------------------------------------------------------
NEED = """
[[case]]
kind = "three-point"
load = "100 N"
span = "1 m"
[[case]]
kind = "strut"
load = "-500 N"
span = "1 m"
[[case]]
kind = "shaft"
torque = "2 N m"
span = "1 m"
speed = "1000 rpm"
[limits]
deflection = "20 mm"
slope = "3 deg"
twist = "20 deg"
frequency_min = "10 Hz"
bend_radius = "3 m"
[factors]
bench = "{}"
"""


def test_a_stiffness_that_is_switched_on_enters_every_check_that_uses_it():
    """By hand: sag, slope, column and helix go with EI, frequency and whirl with its root.

    GJ enters the twist alone. Shear and a compressed beam's softening leave 1 to 3 % open.
    """
    tube = tc.Tube("pultruded", od="20 mm", wall="1.5 mm")

    def table(bench):
        return tc.check(tube, tc.Need.from_toml(NEED.format(bench))).table.set_index(
            ["check", "case"]
        )

    plain, own = table(""), table("pultruded EI 0.8; pultruded GJ 0.5")
    part = own.reserve / plain.reserve
    power = {"deflection": 1.0, "slope": 1.0, "column": 1.0, "column_bow": 1.0, "shaft_helix": 1.0,
             "frequency": 0.5, "whirl": 0.5}  # fmt: skip
    for (check_, _), value in part.items():
        expected = 0.5 if check_ == "twist" else 0.8 ** power.get(check_, 0.0)
        loose = check_ in power and check_ != "slope"
        assert value == pytest.approx(expected, rel=0.03 if loose else 1e-9), check_
    why = own.xs("deflection").why.iloc[0]
    assert "with 0.80 of EI as own tests leave" in why
    assert "sags" in why
    other = table("roll-wrapped EI 0.8")
    assert (other.reserve == plain.reserve).all()
    assert (table("pultruded EI 1.0").reserve == plain.reserve).all()


def test_column_tests_and_a_soft_tube_are_not_counted_twice():
    tube = tc.Tube("pultruded", od="20 mm", wall="1.5 mm")

    def column(bench):
        return tc.check(tube, tc.Need.from_toml(NEED.format(bench))).reserve["column"]

    both = column("pultruded EI 0.8; pultruded column 0.7")
    assert both == pytest.approx(column("pultruded column 0.7"), rel=0.01)
    assert column("pultruded EI 0.8; pultruded column 0.9") == pytest.approx(
        column("pultruded EI 0.8"), rel=1e-9
    )


def test_a_stiffness_counts_in_a_sweep_as_in_one_check():
    need = tc.Need.from_toml(NEED.format("pultruded EI 0.8"))
    row = tc.sweep(need, ["pultruded", "roll-wrapped"], od=["20 mm"], wall=["1.5 mm"])
    one = tc.check(tc.Tube("pultruded", od="20 mm", wall="1.5 mm"), need)
    swept = row.set_index("construction").loc["pultruded"]
    assert swept["reserve_deflection"] == pytest.approx(one.reserve["deflection"])


def test_stiffness_that_is_off_says_what_to_do():
    def made(values, check):
        rows = [Ratio(f"R{v}", "pultruded", "torsion", "", check, v, 1.0, check, False)
                for v in values]  # fmt: skip
        return Calibration(tuple(biases(rows)))

    low = made([0.80, 0.81, 0.82], "EI")
    assert "Switch its factor on below" in low.factors[0].sentence()
    assert "E1 of the axial plies times 0.81" in low.factors[0].sentence()
    on = low.switched("pultruded", "EI")
    assert "computed stiffness times" in on.lines()[0]
    need = tc.Need.from_toml(NEED.format(""))
    assert on.need(need).factors.bench == f"pultruded EI {low.factors[0].low:.4g}"
    high = made([1.30, 1.31, 1.32], "GJ").factors[0]
    assert "a factor may not relax a need" in high.sentence()
    assert "G12" in high.cure()
    assert "no check asks for EA" in made([0.80, 0.81, 0.82], "EA").factors[0].cure()
    assert made([1.0, 1.01, 0.99], "EI").factors[0].cure() == ""
    loads = biases(_made([0.7, 0.72, 0.74]))[0]
    assert loads.cure() == ""


# -- nose ------------------------------------------------------------------------------------
def test_travel_of_a_nose_is_compared_with_travel_of_a_nose():
    """A curve made of bending, shear and dents of the same tube is as promised: ratio 1.

    Truth: `Tube.deflection(at="nose")`, held against the finite-element solver elsewhere.
    """
    tube = tc.Tube("pultruded", **SIZE)
    moved = tube.deflection("three-point", load="1 N", span="100 mm", at="nose", nose="6 mm")
    k = 1 / float(moved.to("mm").magnitude)
    test = broken(300, "three-point", "crush", k=k, span="100 mm", nose="6 mm")
    one = next(r for r in ratios(test, tube) if r.check == "EI")
    assert one.ratio == pytest.approx(1.0, rel=1e-3)
    assert one.rig_in_it
    EI = float(tube.EI.magnitude)
    assert test.si["EI"] < 0.97 * EI
    (said,) = bending_said(test, beyond_bending(test, tube))
    found = float(re.search(r"gives EI ([\d.]+)", said)[1])
    assert found == pytest.approx(EI, rel=5e-3)
    assert "with a nose of 6 mm" in said
    unsaid = broken(300, "three-point", "crush", k=k, span="100 mm")
    assert "not said: give its width" in bending_said(unsaid, beyond_bending(unsaid, tube))[0]


def test_nose_decides_the_promised_crush():
    """Promise of the check with the same nose as `roller_width`, worked out by `tc.check`."""
    tube = tc.Tube("pultruded", **SIZE)
    loads = []
    for nose in ("4 mm", "20 mm"):
        said = promise(broken(300, "three-point", "crush", span="100 mm", nose=nose), tube)
        loads.append(said.loads["crush"])
        need = tc.Need.from_toml(
            '[[case]]\nkind = "three-point"\nload = "100 N"\nspan = "100 mm"\n'
            f'roller_width = "{nose}"'
        )
        reserve = tc.check(tube, need).reserve["crush"]
        assert said.loads["crush"] == pytest.approx(100 * reserve, rel=1e-3)
    assert loads[0] < loads[1]


def test_nose_that_cannot_be_is_refused():
    with pytest.raises(tc.InputError, match="wider than half of the span"):
        broken(300, "three-point", span="100 mm", nose="60 mm")


def test_four_points_have_shear_in_their_travel_and_say_so():
    tube = tc.Tube("pultruded", **SIZE)
    test = broken(300, "four-point", span="100 mm", inner_span="40 mm")
    a = 0.030
    shear = a / 2 / float(tube.sections.kGA[0])
    bend = a**2 * (0.3 - 4 * a) / 12 / float(tube.EI.magnitude)
    one = next(r for r in ratios(test, tube) if r.check == "EI")
    assert one.promised == pytest.approx(float(tube.EI.magnitude) * bend / (bend + shear), rel=1e-6)
    assert (
        "dents under the noses are not known" in bending_said(test, beyond_bending(test, tube))[0]
    )


def test_assumptions_name_a_lowered_stiffness_as_one():
    said = tc.assumptions(tc.Need.from_toml(NEED.format("pultruded EI 0.8; pultruded crush 0.7")))
    assert "Own bench tests leave 0.8 of the computed EI: pultruded." in said
    assert any("0.7 of the promised load: pultruded, crush" in line for line in said)


def test_a_stiffness_far_off_is_a_mistake_and_no_factor():
    rows = [Ratio(f"R{v}", "pultruded", "torsion", "", "EI", v, 1.0, "EI", False)
            for v in (0.30, 0.31, 0.32)]  # fmt: skip
    made = Calibration(tuple(biases(rows)))
    assert "wrong span, size, unit" in made.factors[0].sentence()
    with pytest.raises(tc.InputError, match="no bias but a wrong span"):
        made.switched("pultruded", "EI")
