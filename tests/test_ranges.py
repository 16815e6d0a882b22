"""Every range of validity: just inside, at its end, and just outside, through the whole verdict.

Inside and at the end a check has its grade; outside it has none, the sentence says which quantity
is out and where the check holds, and a caution repeats it. The number is still shown.
"""

from __future__ import annotations

import math
from dataclasses import fields, replace

import numpy as np
import pytest

import tubecalc as tc
from tubecalc.checks import CHECKS
from tubecalc.checks.registry import Range

METAL = tc.Metal(
    "test steel", E="200 GPa", nu=0.3, density="7850 kg/m3", yield_strength="350 MPa",
    alpha="12e-6 1/K",
)  # fmt: skip
BEAM = 'kind = "three-point"\nload = "10 N"\nspan = "{span}"\nroller_width = "5 mm"'
# a wall whose plies differ, for the checks of plies; a metal wall is one ply and has no such range
PLY = tc.Ply(
    "test ply", E1="130 GPa", E2="9 GPa", G12="4.5 GPa", nu12=0.3, density="1550 kg/m3",
    Xt="2000 MPa", Xc="1200 MPa", Yt="50 MPa", Yc="200 MPa", S12="80 MPa", alpha1="0 1/K",
    alpha2="30e-6 1/K",
)  # fmt: skip
LAYUP = tc.Layup.of([(PLY, 90, "0.25 mm"), (PLY, 0, "0.5 mm"), (PLY, 90, "0.25 mm")])
OF_PLIES = {"strength", "shear", "first_ply", "weep", "split"}
STRUT = 'kind = "strut"\nload = "-10 N"\nspan = "{span}"'
SHAFT = 'kind = "shaft"\ntorque = "1 N m"\nspeed = "10 rpm"\nspan = "{span}"'
CASES = {
    "weep": 'kind = "pressure"\np_in = "1 bar"',
    "collapse": 'kind = "pressure"\np_out = "1 bar"\nspan = "{span}"',
    "column": STRUT, "column_bow": STRUT, "shaft_helix": SHAFT, "whirl": SHAFT, "twist": SHAFT,
    "wall_buckling": STRUT, "end_crush": STRUT + '\nend_fitting = "plain"',
    "hole": STRUT + '\ntouch = "bolt"\nhole = "{hole}"\nedge_distance = "{edge}"',
}  # fmt: skip
LIMITS = {
    "deflection": 'deflection = "1 m"', "slope": 'slope = "10 deg"', "twist": 'twist = "10 deg"',
    "frequency": 'frequency_min = "1 Hz"', "bend_radius": 'bend_radius = "900 m"',
    "expansion": 'expansion = "1e-3 1/K"',
}  # fmt: skip


def tube_and_need(check: str, quantity: str, value: float) -> tuple[tc.Tube, tc.Need]:
    """A 1 mm steel tube and a need in which one quantity has a value and the others are usual."""
    given = {"R/t": 9.5, "L/D": 20.0, "L/R": 40.0, "hole/D": 0.1, "edge distance/hole": 5.0}
    heat = {"coldest temperature": 20.0, "hottest temperature": 20.0}
    assert quantity in given or quantity in heat, f"no way to set {quantity}: add one to this test"
    (given if quantity in given else heat)[quantity] = value
    radius = given["R/t"] * 1e-3
    od = 2 * radius + 1e-3
    hole = given["hole/D"] * (2 * radius if check == "hole" and "mean" in quantity else od)
    span = given["L/R"] * radius if quantity == "L/R" else given["L/D"] * od
    sizes = {
        "span": f"{span!r} m", "hole": f"{hole!r} m",
        "edge": f"{given['edge distance/hole'] * hole!r} m",
    }  # fmt: skip
    case = CASES.get(check, BEAM).format(**sizes)
    cold, hot = heat["coldest temperature"], heat["hottest temperature"]
    text = f"[[case]]\n{case}\n[limits]\n{LIMITS.get(check, '')}\n[service]\n"
    text += f'temperature = "{hot!r} degC"\ntemperature_min = "{cold!r} degC"\n'
    text += 'insert = "6061-T6"\n' if check == "insert" else ""
    if check in OF_PLIES:
        return tc.Tube(LAYUP, od=f"{od!r} m"), tc.Need.from_toml(text)
    return tc.Tube(METAL, od=f"{od!r} m", wall="1 mm"), tc.Need.from_toml(text)


def near(need: tc.Need, check: str, tube: tc.Tube) -> tc.Need:
    """The need with its factors raised until the check is near deciding."""
    reserve = float(tc.check(tube, need).reserve[check])
    if not math.isfinite(reserve) or reserve < 2:
        return need
    limits = {f.name: getattr(need.limits, f.name) for f in fields(need.limits)}
    if check in LIMITS:
        key = "frequency_min" if check == "frequency" else check
        limits[key] *= reserve / 2 if check == "frequency" else 2 / reserve
        return replace(need, limits=replace(need.limits, **limits))
    factors = replace(
        need.factors, strength=need.factors.strength * reserve / 2,
        buckling=need.factors.buckling * reserve / 2,
    )  # fmt: skip
    cases = tuple(replace(c, speed=c.speed * reserve / 2) for c in need.cases)
    return replace(need, factors=factors, cases=cases)


def noted(check: str, quantity: str, value: float) -> tuple[set[str], set[str], list[str]]:
    """Grades and range notes of a check, and the cautions."""
    tube, need = tube_and_need(check, quantity, value)
    verdict = tc.check(tube, near(need, check, tube))
    rows = verdict.table[verdict.table["check"] == check]
    assert len(rows), f"{check} is not made by this need: mend the case in this test"
    return set(rows["grade"]), set(rows["range"]), verdict.cautions


ENDS = [
    (check, r.quantity, end, up)
    for check, c in CHECKS.items()
    for r in c.ranges
    for end, up in ((r.low, False), (r.high, True))
    if math.isfinite(end) and (end > 0 or "temperature" in r.quantity)  # no size below nothing
]


@pytest.mark.parametrize(("check", "quantity", "end", "up"), ENDS)
def test_a_check_says_when_it_is_outside_its_range(check, quantity, end, up):
    step = 1e-4 * max(abs(end), 1.0)
    inside, outside = (end - step, end + step) if up else (end + step, end - step)
    for value in (inside, end):
        grades, notes, _ = noted(check, quantity, value)
        assert notes == {""}, f"{value} is inside {quantity} of {check}"
        assert grades <= {"A", "B", "C"}
    if (quantity, outside <= 0.5) == ("R/t", True):  # thinner than a solid bar cannot be
        with pytest.raises(tc.InputError, match="thicker than the radius"):
            noted(check, quantity, outside)
        return
    grades, notes, cautions = noted(check, quantity, outside)
    assert "none" in grades  # of several rows of one check, those that use the quantity
    said = [note for note in notes if note]
    assert said
    assert all(quantity in note and "shown to hold for" in note for note in said)
    assert any(c.startswith("No grade for") and quantity in c for c in cautions)


def test_every_check_that_computes_has_a_range():
    """What only compares sizes or looks up a rule needs none."""
    rules = {"od", "bore", "mass", "service", "end_crush"}
    assert {k for k, c in CHECKS.items() if not c.ranges} <= rules


def test_a_sweep_says_which_candidates_are_unproven():
    need = tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "-20 kN"\nspan = "100 mm"\n')
    table = tc.sweep(need, ["6063-T6"], od=["6 mm", "40 mm"], wall=["1 mm"])
    short = table["od_mm"] == 40
    assert table.loc[short, "unproven"].all()  # 2.5 diameters long
    assert not table.loc[~short, "unproven"].any()  # 16.7 diameters long
    assert set(table.loc[short & table["governing"].str.startswith("column"), "grade"]) <= {"none"}


def test_a_range_holds_its_ends_and_does_not_judge_what_is_not_known():
    r = Range("R/t", 2.0, 100.0)
    values = np.array([2.0, 100.0, np.nan, 1.999, 100.1])
    assert r.outside(values).tolist() == [False, False, False, True, True]
    assert str(r) == "R/t 2 to 100"
    assert str(Range("L/D", 8.0, np.inf)) == "L/D from 8"
    assert str(Range("heat", -np.inf, 120.0)) == "heat up to 120"
