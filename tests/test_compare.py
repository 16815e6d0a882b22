"""Side by side: figures against hand formulas, equivalents against a mechanics text."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import brentq

import tubecalc as tc
from tubecalc.checks import evaluate
from tubecalc.compare import compare, judge, span_of
from tubecalc.compare_equal import SAME, equal
from tubecalc.compare_lines import lines
from tubecalc.compare_loads import KINDS, plastic_shares
from tubecalc.compare_words import best_of, differences, own_tests, rows, suits
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.need import Case, Need
from tubecalc.need_parts import Factors
from tubecalc.tube import Tube

STEEL = tc.Metal("steel", E="193 GPa", nu=0.29, density="8.0 g/cm3", yield_strength="210 MPa",
                 ultimate="520 MPa")  # fmt: skip
ALLOY = tc.Metal("alloy", E="68.9 GPa", nu=0.33, density="2.7 g/cm3", yield_strength="276 MPa")
UD = tc.Ply("ud", E1="130 GPa", E2="9 GPa", G12="4.5 GPa", nu12=0.3, density="1.55 g/cm3",
            thickness="0.125 mm")  # fmt: skip
MIXED = (
    Tube("304", od="20 mm", wall="1 mm"), Tube("6063-T6", od="20 mm", wall="1.5 mm"),
    Tube("roll-wrapped-woven", od="20 mm", wall="1 mm"), Tube("filament-wound", od="21 mm",
    wall="1 mm"),
)  # fmt: skip


# ---- one kind of load at a time -----------------------------------------------------------
def test_a_metal_tube_carries_what_the_formulas_of_strength_of_materials_say() -> None:
    """Gere & Timoshenko, Mechanics of Materials, 4th ed. (1997), chs. 2, 3, 5, 9 and 11."""
    ro, ri, span, fy = 0.010, 0.008, 0.8, 210e6
    judged = compare([Tube(STEEL, od="20 mm", id="16 mm")], span=span)
    area, inertia = math.pi * (ro**2 - ri**2), math.pi / 4 * (ro**4 - ri**4)
    load = judged.loads
    assert_allclose(load["tension"].stiffness, 193e9 * area, rtol=1e-6)
    assert_allclose(load["tension"].first, fy * area, rtol=1e-6)
    assert_allclose(load["tension"].last, 520e6 * area, rtol=1e-6)
    assert_allclose(load["torsion"].stiffness, 193e9 / 2.58 * 2 * inertia, rtol=1e-6)
    assert_allclose(load["torsion"].first, fy / math.sqrt(3) * 2 * inertia / ro, rtol=1e-6)
    assert_allclose(load["bending"].first, 4 / span * fy * inertia / ro, rtol=1e-6)
    # the sag without shear, 48 EI / L^3; shear adds about one per cent at 40 diameters
    assert_allclose(load["bending"].stiffness, 48 * 193e9 * inertia / span**3, rtol=0.01)
    euler = math.pi**2 * 193e9 * inertia / span**2
    # Ayrton & Perry 1886 with a bow of L / 500: P / N + P e / (M (1 - P / P_E)) = 1
    squash, moment, bow = fy * area, fy * inertia / ro, span / 500
    bowed = brentq(
        lambda p: p / squash + p * bow / (moment * (1 - p / euler)) - 1, 1.0, 0.999 * euler
    )
    assert_allclose(load["buckling"].last, bowed, rtol=0.01)  # shear aside
    assert load["buckling"].last_by == ("bowed strut",)


def test_full_plastic_loads_are_those_of_the_plastic_hinge() -> None:
    """Hill, The Mathematical Theory of Plasticity (1950): integrals of a wall all at yield."""
    ro, ri, fy = 0.010, 0.007, 210e6
    judged = compare([Tube(STEEL, od="20 mm", id="14 mm")], span=1.0)
    r = np.linspace(ri, ro, 20001)
    torque = 2 * math.pi * fy / math.sqrt(3) * np.trapezoid(r**2, r)
    moment = 4 * fy * np.trapezoid(r**2, r)
    assert_allclose(judged.loads["torsion"].last, torque, rtol=1e-5)
    assert_allclose(judged.loads["bending"].last, 4 * moment, rtol=1e-5)  # M = P L / 4, L = 1 m
    thin = plastic_shares(Tube(STEEL, od="100 mm", wall="0.5 mm").sections)
    assert_allclose(thin["bending"], 4 / math.pi, rtol=0.01)  # of a thin ring
    assert_allclose(thin["torsion"], 1.0, rtol=0.01)


@pytest.mark.parametrize("kind", list(KINDS))
def test_each_load_is_the_least_that_the_checks_of_such_a_need_allow(kind: str) -> None:
    """The page must not say otherwise than `tubecalc.check` on the same load."""
    case = replace(KINDS[kind].case, span=0.6 if KINDS[kind].spanned else math.nan)
    judged = compare(MIXED, span=0.6)
    for n, tube in enumerate(MIXED):
        found = evaluate(tube.candidates, Need(cases=(case,)))
        ends = [float(o.reserve[0]) for o in found if not o.advisory and o.check != "weep"]
        least = min(float(o.reserve[0]) for o in found)
        if not judged.candidates.metal[n]:
            assert_allclose(judged.loads[kind].last[n], min(ends), rtol=2e-3)
        assert_allclose(judged.loads[kind].first[n], least, rtol=2e-3)


OWN = (
    "roll-wrapped-woven strength 0.8; roll-wrapped-woven EI 0.9; roll-wrapped-woven column 0.7; "
    "roll-wrapped-woven crush 0.5; roll-wrapped-woven GJ 0.6; 304-annealed strength 0.5"
)


@pytest.mark.parametrize("kind", list(KINDS))
def test_own_tests_count_as_they_do_where_tubes_are_chosen(kind: str) -> None:
    """The load at which such a need just passes, with the same tests switched on in it."""
    case = replace(KINDS[kind].case, span=0.8 if KINDS[kind].spanned else math.nan)
    bench = Factors(bench=OWN)
    own = compare(MIXED, Need(factors=bench), span=0.8)
    plain, got = compare(MIXED, span=0.8).loads[kind], own.loads[kind]
    for n, tube in enumerate(MIXED):
        found = evaluate(tube.candidates, Need(cases=(case,), factors=bench))
        ends = [float(o.reserve[0]) for o in found if not o.advisory and o.check != "weep"]
        if not own.candidates.metal[n]:
            assert_allclose(got.last[n], min(ends), rtol=2e-3)
        assert_allclose(got.first[n], min(float(o.reserve[0]) for o in found), rtol=2e-3)
    assert got.last[3] == plain.last[3]  # no test of that construction
    lower = {"torsion": 0.6, "buckling": 0.9, "bending": None}.get(kind, 1.0)
    if lower is not None:
        assert_allclose(got.stiffness[2], lower * plain.stiffness[2], rtol=1e-12)
    else:
        assert 0.9 < got.stiffness[2] / plain.stiffness[2] < 0.92  # shear is in the sag too


def test_own_tests_that_count_are_said_and_others_are_not() -> None:
    said = " ".join(own_tests(compare(MIXED, Need(factors=Factors(bench=OWN)), span=0.8)))
    assert "of 3 roll-wrapped" in said
    assert "crush at a load point times 0.5, GJ times 0.6" in said
    assert "strength times 0.5" in said
    assert "filament" not in said
    assert own_tests(compare(MIXED, span=0.8)) == []
    need = Need(cases=(Case("strut", load=100.0),), factors=Factors(bench=OWN))
    told = [tc.check(t, need).cautions for t in MIXED]
    assert [sum("Own tests count" in x for x in one) for one in told] == [1, 0, 1, 0]


def test_damage_comes_before_the_end_and_both_have_a_cause() -> None:
    for found in compare(MIXED, span=0.6).loads.values():
        assert (found.first <= found.last * (1 + 1e-9)).all()
        assert all(found.first_by)
        assert all(found.last_by)


def test_many_tubes_at_once_are_as_each_alone() -> None:
    many = compare(MIXED, span=0.7)
    for n, tube in enumerate(MIXED):
        one = compare([tube], span=0.7)
        for kind in KINDS:
            for part in ("stiffness", "travel", "first", "last"):
                a, b = getattr(many.loads[kind], part)[n], getattr(one.loads[kind], part)[0]
                assert_allclose(a, b, rtol=2e-3)


def test_weight_for_weight_is_each_value_over_its_mass() -> None:
    judged = compare(MIXED, span=0.6)
    values = judged.loads["tension"].last
    assert_allclose(judged.at_weight_of(values, 0)[0], values[0])
    assert_allclose(judged.per_mass(values) * judged.mass, values)


# ---- equivalents ----------------------------------------------------------------------------
def test_a_tube_as_stiff_as_a_rod_is_not_as_strong() -> None:
    """A 28 mm solid bar against 42.4 mm tube: equal I at 1.09 mm wall, equal Z at 1.73 mm.

    I = pi (D^4 - d^4) / 64 and Z = I / (D / 2): Gere & Timoshenko (1997), app. D.
    """
    rod = Tube(STEEL, od="28 mm", id="0 mm")
    stiff, strong = (equal(rod, STEEL, same, od=0.0424) for same in ("EI", "bending"))
    assert stiff.tube is not None
    assert strong.tube is not None
    assert_allclose(stiff.tube.wall.to("mm").magnitude, 1.09, atol=0.005)
    assert_allclose(strong.tube.wall.to("mm").magnitude, 1.73, atol=0.005)
    with pytest.raises(InputError, match="above zero"):
        equal(rod, STEEL, "EI", "wall", wall=0.0)


@pytest.mark.parametrize(
    ("bore", "wall", "mass"), [("12.7 mm", 0.71, 53.0), ("13.2 mm", 0.62, 46.0)]
)
def test_carbon_for_an_aluminium_frame_tube(bore: str, wall: float, mass: float) -> None:
    """5/8 in aluminium tube with a bore of 12.7 to 13.2 mm, all fibres along at 130 GPa."""
    found = equal(Tube(ALLOY, od="15.875 mm", id=bore), UD, "EI")
    assert found.tube is not None
    assert_allclose(found.tube.sections.t * 1e3, wall, atol=0.005)
    assert_allclose(found.tube.sections.mass_per_length * 1e3, mass, rtol=0.02)
    assert_allclose(found.reached, 1.0, rtol=1e-6)


def test_a_thin_tube_of_the_same_bending_stiffness_has_the_wall_of_the_thin_formula() -> None:
    """EI = pi E R^3 t of a thin ring: walls go inversely with the modulus at the same radius."""
    target = Tube(ALLOY, od="50 mm", wall="0.5 mm")
    found = equal(target, STEEL, "EI")
    assert found.tube is not None
    thin = 0.5e-3 * 68.9 / 193
    assert_allclose(found.tube.sections.t, thin, rtol=0.03)
    assert_allclose(found.weight, 8.0 / 2.7 * 68.9 / 193, rtol=0.03)


def test_at_the_same_wall_the_diameter_goes_with_the_cube_root_of_the_modulus() -> None:
    """EI = pi E R^3 t: R2 / R1 = (E1 / E2)^(1/3)."""
    found = equal(Tube(STEEL, od="40 mm", wall="0.4 mm"), ALLOY, "EI", "wall")
    assert found.tube is not None
    assert_allclose(found.tube.sections.R / 0.0198, (193 / 68.9) ** (1 / 3), rtol=2e-3)


@pytest.mark.parametrize("same", [s for s in SAME if s not in ("od", "mass")])
@pytest.mark.parametrize("keep", ["od", "wall"])
def test_what_is_found_has_at_least_what_was_asked(same: str, keep: str) -> None:
    target = Tube("6063-T6", od="20 mm", wall="1 mm")
    for wall_of in ("304", "roll-wrapped-woven", "roll-wrapped-45"):
        found = equal(target, wall_of, same, keep)
        if found.tube is None:
            assert found.says.startswith("No: ")
            continue
        assert found.reached >= 1 - 1e-6
        if wall_of == "304":
            assert found.reached <= 1 + 1e-4  # a metal wall is not stepped
        elif keep == "od":  # one ply less would not do
            c = found.tube.construction
            t = float(found.tube.sections.t[0])
            if t > c.wall_of(0.0) + 1e-9:
                less = Tube(c, od="20 mm", wall=tc.Q_(t - c.least_step(), "m"))
                one = equal(target, "304", same)  # the target's value, by a metal that meets it
                assert one.tube is not None
                assert found.reached > 1
                assert less.sections.t[0] < t


def test_the_same_mass_is_never_heavier() -> None:
    target = Tube("6063-T6", od="20 mm", wall="1 mm")
    found = equal(target, "roll-wrapped-woven", "mass")
    assert found.tube is not None
    assert 0.9 < found.weight <= 1.0
    assert "whole" in found.says


def test_what_cannot_be_is_said_with_a_way_out() -> None:
    """A load that even a solid 42.4 mm bar does not carry asks for another diameter.

    Z = pi d^3 / 32 = 7483 mm3 against the 13 095 mm3 that are wanted; at a wall of 3 mm that is
    about 79 mm outside.
    """
    wanted = Tube(STEEL, od="79 mm", wall="3 mm")
    assert_allclose(wanted.sections.section_modulus * 1e9, 13095, rtol=0.02)
    strong = tc.Metal("strong", E="193 GPa", nu=0.29, density="8 g/cm3",
                      yield_strength=f"{210 * 13095 / 7483:.6f} MPa")  # fmt: skip
    bar = Tube(strong, od="42.4 mm", id="0 mm")  # a bar that carries as much
    found = equal(bar, STEEL, "bending", wall=3e-3)
    assert found.tube is None
    assert "57 %" in found.says
    assert_allclose(float(found.says.split("takes")[1].split()[0]), 79, rtol=0.02)


def test_a_strength_that_is_not_known_is_not_matched() -> None:
    found = equal(Tube("304", od="20 mm", wall="1 mm"), UD, "bending")
    assert found.tube is None
    assert "not known" in found.says


def test_an_unknown_quantity_is_refused() -> None:
    with pytest.raises(InputError, match="EI"):
        equal(Tube("304", od="20 mm", wall="1 mm"), "304", "EJ")


# ---- lines ------------------------------------------------------------------------------------
def test_lines_have_the_slope_of_the_stiffness_and_end_at_the_last_load() -> None:
    judged = compare(MIXED, span=0.6)
    for n, line in enumerate(lines(judged, "bending")):
        assert_allclose(line.load[1] / line.travel[1], judged.loads["bending"].stiffness[n])
        assert line.flows == bool(judged.candidates.metal[n])
        assert [m.load for m in line.marks] == sorted(m.load for m in line.marks)
    carbon = lines(judged, "bending")[2]
    assert [m.kind for m in carbon.marks] == ["first", "end"]
    with pytest.raises(InputError, match="travel"):
        lines(judged, "pressure")


# ---- words ------------------------------------------------------------------------------------
def test_differences_give_the_ratios() -> None:
    judged = compare(MIXED, span=0.6)
    said = differences(judged, 2)
    share = judged.mass[2] / judged.mass[0]
    far = judged.loads["bending"].travel[2] / judged.loads["bending"].travel[0]
    assert f"Weighs {100 * share:.0f} % of" in said[0]
    assert f"Bends {far:.1f} times as far" in said[1]
    assert "breaks rather than yields" in " ".join(said)
    alike = compare([MIXED[0], MIXED[0]], span=0.6)
    assert differences(alike, 1)[0].startswith("Weighs the same as")


def test_best_value_is_marked_and_ties_share_it() -> None:
    assert best_of(np.array([1.0, 2.0, 3.0]), low=True) == {0}
    assert best_of(np.array([1.0, math.nan])) == frozenset()
    assert best_of(np.array([2.0, 2.001])) == frozenset()
    judged = compare(MIXED, span=0.6)
    by = {r.key: r for r in rows(judged)}
    assert by["mass"].best == {int(np.argmin(judged.mass))}
    light = {r.key: r for r in rows(judged, per_mass=True)}
    assert_allclose(
        light["tension.stiffness"].values, by["tension.stiffness"].values / judged.mass / 1e3
    )


def test_loads_are_in_kgf_where_the_workshop_thinks_in_it() -> None:
    by = {r.key: r for r in rows(compare(MIXED, span=0.6, system="workshop"))}
    assert by["bending.last"].unit == "kgf"
    si = {r.key: r for r in rows(compare(MIXED, span=0.6))}
    assert_allclose(by["bending.last"].values * 9.80665, si["bending.last"].values)


def test_what_suits_covers_every_question_asked_beyond_strength() -> None:
    judged = compare(MIXED, span=0.6, prices=[12.0, math.nan, 30.0, math.nan], currency="EUR")
    found = {x.key: x for x in suits(judged)}
    assert {"t_max", "sliding", "thread", "weld", "form", "insulating", "contact_metal", "finish",
            "od", "id", "splits", "price"} <= set(found)  # fmt: skip
    assert found["weld"].ratings[0] == "good"
    assert found["weld"].ratings[2] == "no"
    assert found["price"].texts[:2] == ("12.0 EUR", "not known")


# ---- a job ------------------------------------------------------------------------------------
def test_a_job_is_judged_once_for_all_that_show_it() -> None:
    need = Need(cases=(Case("strut", load=-500.0, span=0.9),))
    job = Job(need, (Candidate("304", 0.02, 0.018, "steel"), Candidate("roll-wrapped", 0.02, 0.018),
                     Candidate("6063-T6", 0.02, 0.018, price=4.0)))  # fmt: skip
    judged = judge(job)
    assert judged.span == span_of(need) == 0.9
    assert judged.names[0] == "steel"
    assert judged.best == int(np.argmin(judged.mass))
    assert [judged.passes(n) for n in range(3)] == [True, True, True]
    assert judge(replace(job, chosen=2)).best == 2
    assert judge(job).verdicts[1] is judged.verdicts[1]
    assert_allclose(judged.verdicts[0].reserve.min() * 1.0,
                    tc.check(Tube("304", od="20 mm", id="18 mm"), need).reserve.min())  # fmt: skip


def test_names_are_told_apart_and_no_tube_is_refused() -> None:
    judged = compare([MIXED[0], MIXED[0], Tube("304", od="30 mm", wall="1 mm")], span=0.5)
    assert len(set(judged.names)) == 3
    with pytest.raises(InputError, match="tubes"):
        compare([])
    with pytest.raises(InputError, match="above zero"):
        compare([MIXED[0]], span=0.0)


def test_an_own_wall_without_a_least_number_of_plies_can_be_the_equal() -> None:
    table = {"fill": [{"ply": "carbon-sm-ud", "angle": 45}, {"ply": "carbon-sm-ud", "angle": -45}]}
    job = Job(candidates=(Candidate("304", 0.03, 0.028), Candidate("own", 0.03, 0.028)),
              walls={"own": table})  # fmt: skip
    judged = judge(job)
    found = equal(judged.tubes[0], judged.tubes[1].construction, "GJ")
    assert found.tube is not None
    assert found.reached >= 1
    assert equal(judged.tubes[0], judged.tubes[1].construction, "mass").weight <= 1
