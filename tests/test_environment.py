"""Heat, moisture, time and cycles: limits, published values, ranges, units, inserts, bend radius.

Expected values are worked by hand here or stand in the publication named beside them.
"""

from __future__ import annotations

import csv
import itertools
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.checks import climate
from tubecalc.checks.insert import BOND
from tubecalc.checks.registry import CHECKS
from tubecalc.checks.service import heat_limit
from tubecalc.environment import (
    RUBBER,
    at_temperature,
    basis,
    derated,
    derated_walls,
    glass_transition,
    matrix_retention,
    retention,
    wet_glass_transition,
)
from tubecalc.environment_growth import contact_pressure, growth
from tubecalc.environment_metal import metal_family, metal_retention
from tubecalc.environment_time import LOADS, family_of, published, sentence, stress_range
from tubecalc.errors import InputError
from tubecalc.laminate.construction import composites, get_construction
from tubecalc.laminate.layup import Layup
from tubecalc.materials import Metal, Ply, get_metal, get_ply
from tubecalc.need import Case, Factors, Need, Service
from tubecalc.thickwall import ThickWall
from tubecalc.wall import WallTable

DATA = Path(__file__).resolve().parents[1] / "data" / "materials"
PLIES = (
    "carbon-sm-ud", "carbon-im-ud", "carbon-hm-ud", "carbon-uhm-ud", "glass-ud", "glass-wound-ud",
    "carbon-woven", "glass-woven",
)  # fmt: skip
METALS = ("304-annealed", "6063-T6", "6061-T6", "4130", "mild-steel", "Ti-3Al-2.5V")
STRUT = '[[case]]\nkind = "strut"\nload = "-10 N"\nspan = "0.5 m"\n'


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def need(text: str) -> Need:
    return Need.from_toml(STRUT + text)


def row_of(tube: tc.Tube, text: str, check: str) -> list:
    table = tc.check(tube, need(text)).table
    return [r for _, r in table[table["check"] == check].iterrows()]


# -- data -----------------------------------------------------------------------------------
@pytest.mark.parametrize("name", ["heat.csv", "knockdowns.csv"])
def test_every_share_has_a_basis_a_standing_and_a_source(name):
    for row in rows(name):
        assert row["source"].strip()
        assert row["basis"] in {"typical", "minimum", "nominal"}
        assert row["standing"] in {"SEEN", "MEMORY", "COMPUTED", "PRACTICE"}
        if row["standing"] == "PRACTICE":
            assert row["source"] == "common practice, no source"


def test_tables_of_metals_start_at_one_and_never_rise():
    table: dict[tuple[str, str], list[tuple[float, float]]] = {}
    for row in rows("heat.csv"):
        table.setdefault((row["family"], row["property"]), []).append(
            (float(row["temperature"]), float(row["value"]))
        )
    assert len(table) == 10
    for key, pairs in table.items():
        assert pairs == sorted(pairs), key
        assert pairs[0] == (20.0, 1.0), key
        shares = [v for _, v in pairs]
        assert all(b <= a for a, b in itertools.pairwise(shares)), key


@pytest.mark.parametrize("key", PLIES)
def test_every_ply_knows_its_climate(key):
    v = get_ply(key).si
    assert v.t_g > v.t_g_wet > v.t_max - 35
    assert 100 <= v.t_free <= v.t_g + 1
    assert v.beta2 >= v.beta1 >= 0
    assert 0 < v.moisture < 0.02


def test_every_metal_has_a_family_with_a_table():
    assert [metal_family(get_metal(k).si) for k in METALS] == [
        "stainless", "aluminium-6063", "aluminium", "steel", "steel", "titanium",
    ]  # fmt: skip


# -- matrix ---------------------------------------------------------------------------------
def test_retention_at_its_limits():
    """Chamis 1983: 1 at the temperature of the test, 0 at the glass transition, cold gains none."""
    assert matrix_retention([20.0, -50.0, 150.0, 200.0], 150.0, 150.0).tolist() == [1, 1, 0, 0]


@given(st.floats(-60, 149), st.floats(0, 40), st.floats(60, 149))
def test_retention_falls_with_heat_and_with_water(t, more, wet):
    now = matrix_retention(t, 150.0, wet)
    assert matrix_retention(t + more, 150.0, wet) <= now <= matrix_retention(t, 150.0, 150.0) <= 1


@given(st.floats(20, 149), st.floats(80, 149))
def test_retention_is_the_same_in_degrees_fahrenheit(t, wet):
    def f(x):
        return 1.8 * x + 32

    other = matrix_retention(f(t), f(150.0), f(wet), f(20.0))
    assert float(other) == pytest.approx(float(matrix_retention(t, 150.0, wet)), abs=1e-6)


@pytest.mark.parametrize("outside", [-0.001, 0.101])
def test_moisture_of_the_wet_glass_transition_has_a_range(outside):
    assert float(wet_glass_transition(150.0, 0.1)) < float(wet_glass_transition(150.0, 0.0)) == 150
    with pytest.raises(InputError, match="moisture of the matrix is out of range"):
        wet_glass_transition(150.0, outside)


def test_wet_value_of_the_ply_goes_before_the_fit():
    v = get_ply("carbon-sm-ud").si
    assert glass_transition(v, wet=True) == v.t_g_wet
    fit = glass_transition(replace(v, t_g_wet=math.nan), wet=True)  # 1 % of the ply, 3 % of resin
    assert fit == pytest.approx((302 * 0.745 - 32) / 1.8)
    assert math.isnan(glass_transition(replace(v, t_g_wet=math.nan, moisture=math.nan), wet=True))


@pytest.mark.parametrize("key", PLIES)
def test_what_the_matrix_carries_falls_and_what_the_fibre_carries_stays(key):
    cold = get_ply(key).si
    hot = at_temperature(cold, 60.0, wet=True)
    share = math.sqrt((cold.t_g_wet - 60) / (cold.t_g - 20))  # NASA TM-83320
    kept = {"E1", "Xt"} | ({"E2", "Yt"} if cold.woven else set())
    for name in ("E1", "E2", "G12", "Xt", "Xc", "Yt", "Yc", "S12"):
        ratio = getattr(hot, name) / getattr(cold, name)
        assert ratio == pytest.approx(1.0 if name in kept else share), name
    assert (hot.nu12, hot.alpha1, hot.alpha2, hot.density, hot.t_g) == (
        cold.nu12, cold.alpha1, cold.alpha2, cold.density, cold.t_g,
    )  # fmt: skip


@pytest.mark.parametrize(("wet", "top"), [(False, 150.0), (True, 115.0)])
def test_glass_transition_just_inside_at_and_outside(wet, top):
    cold = get_ply("carbon-sm-ud").si
    assert at_temperature(cold, top - 0.001, wet).G12 > 0
    for t in (top, top + 0.001):
        with pytest.raises(InputError, match=f"below {top:g} °C"):
            at_temperature(cold, t, wet)


@pytest.mark.parametrize("t", [math.nan, math.inf])
def test_temperature_that_is_no_number_is_refused(t):
    with pytest.raises(InputError, match="not a finite number"):
        at_temperature(get_ply("carbon-sm-ud").si, t)


def test_unknown_glass_transition_is_said_and_nothing_is_taken_off():
    own = Ply("own", E1="130 GPa", E2="9 GPa", G12="4 GPa", nu12=0.3, density="1.5 g/cm3").si
    assert at_temperature(own, 100.0, True) is own
    assert "glass transition not known" in basis(own, 100.0)


def test_units_of_the_climate_of_an_own_ply():
    def ply(**more):
        return Ply("own", E1="130 GPa", E2="9 GPa", G12="4 GPa", nu12=0.3, density="1.5 g/cm3",
                   **more)  # fmt: skip

    v = ply(t_g="302 degF", t_g_wet="388.15 K", t_free="130 degC", beta2=0.5, moisture=0.012).si
    assert (v.t_g, v.t_g_wet, v.t_free) == pytest.approx((150.0, 115.0, 130.0))
    with pytest.raises(InputError, match="without a unit"):
        ply(t_g=150)
    with pytest.raises(InputError, match="a mass fraction"):
        ply(moisture=1.2)
    with pytest.raises(InputError, match="wet glass transition lies above the dry one"):
        ply(t_g="120 degC", t_g_wet="121 degC")


# -- metals ---------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("key", "t", "e", "strength"),
    [
        ("mild-steel", 200, 0.90, 0.89),  # EN 1993-1-2, Tables 3.1 and E.1
        ("mild-steel", 350, 0.75, 0.715),
        ("304-annealed", 100, 0.96, 0.82),  # EN 1993-1-2, Table C.1
        ("6061-T6", 80, 0.98, 1.0),  # EN 1999-1-1, 3.2.2
        ("6061-T6", 100, 0.97, 0.80),
    ],
)
def test_metals_at_heat(key, t, e, strength):
    cold = get_metal(key).si
    hot = at_temperature(cold, t)
    # E of aluminium goes straight between 0.99 at 50 and 0.97 at 100 degC
    assert pytest.approx(e, abs=3e-3) == hot.E1 / cold.E1
    assert pytest.approx(hot.E1 / cold.E1) == hot.G12 / cold.G12
    assert hot.Xt / cold.Xt == pytest.approx(strength)
    assert pytest.approx(strength) == hot.S12 / cold.S12


@pytest.mark.parametrize(("key", "end"), [("6061-T6", 550.0), ("Ti-3Al-2.5V", 316.0)])
def test_table_of_a_metal_just_inside_at_and_outside(key, end):
    cold = get_metal(key).si
    assert at_temperature(cold, end - 0.01).Xt > 0
    with pytest.raises(InputError, match="the end of its table"):
        at_temperature(cold, end + 0.01)
    assert math.isnan(metal_retention(metal_family(cold), "E", end + 0.01))


def test_cold_metal_and_wet_metal_are_unchanged():
    steel = get_metal("mild-steel").si
    assert at_temperature(steel, -40.0, True) is steel
    assert basis(steel, 20.0) == ""


def test_metal_without_a_table_is_said():
    brass = Metal("brass", E="100 GPa", nu=0.34, density="8.5 g/cm3", yield_strength="200 MPa").si
    assert at_temperature(brass, 150.0) is brass
    assert "no table of its strength at heat" in basis(brass, 150.0)


# -- walls ----------------------------------------------------------------------------------
def test_derated_wall_is_kept_and_equals_a_wall_of_derated_plies():
    cold = get_construction("roll-wrapped").layup(0.0015)
    hot = derated(cold, 70.0)
    assert derated(cold, 70.0) is hot
    assert derated(cold, 20.0) is cold
    assert derated(cold, -40.0) is cold
    v = get_ply("carbon-sm-ud").si
    share = math.sqrt((150 - 70) / 130)
    ply = replace(v, **{k: getattr(v, k) * share for k in ("E2", "E3", "G12")})
    by_hand = Layup([replace(x, values=ply) for x in cold.layers])
    assert np.allclose(hot.abd, by_hand.abd, rtol=1e-12)
    assert hot.t == cold.t
    assert hot.density == cold.density


def test_many_temperatures_do_not_pile_up():
    wall = get_construction("pultruded").layup(0.001)
    for t in range(30, 110):
        derated(wall, float(t))
    assert len(wall.__dict__["_derated"]) <= 4


def test_wall_table_is_derated_once_and_only_if_something_changes():
    walls = WallTable([get_construction(k).layup(0.001) for k in ("pultruded", "mild-steel")])
    assert derated_walls(walls, 20.0) is walls
    hot = derated_walls(walls, 60.0)
    assert derated_walls(walls, 60.0) is hot
    assert hot.a[0, 0, 0] == pytest.approx(walls.a[0, 0, 0], rel=2e-3)  # fibres along: kept
    assert hot.a[0, 1, 1] > walls.a[0, 1, 1] * 1.15


def test_above_the_glass_transition_a_sweep_still_ranks():
    wall = derated(get_construction("pultruded").layup(0.001), 400.0)
    cold = get_ply("carbon-sm-ud").si
    assert pytest.approx(RUBBER * cold.E2) == wall.layers[0].values.E2
    assert wall.layers[0].values.E1 == cold.E1


def test_candidates_at_service():
    tubes = tc.Tube("roll-wrapped", od=["20 mm", "30 mm"], wall="1.5 mm").candidates
    assert climate.at_service(tubes, Service()) is tubes
    assert climate.at_service(tubes, Service(temperature=-40.0)) is tubes
    hot = climate.at_service(tubes, Service(temperature=70.0, wet=True))
    assert climate.at_service(tubes, Service(temperature=70.0, wet=True)) is hot
    assert climate.at_room(hot) is tubes
    assert climate.at_room(tubes) is tubes
    assert (hot.sections.ro == tubes.sections.ro).all()
    assert (hot.sections.GJ < tubes.sections.GJ).all()
    share = math.sqrt((115 - 70) / 130)
    assert hot.constructions[0].end_bearing == pytest.approx(
        share * tubes.constructions[0].end_bearing
    )


# -- heat limit -----------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("key", "wet", "limit"),
    [
        ("pultruded", False, 120.0),  # its own limit lies below 150 - 28
        ("pultruded", True, 115.0 - 28.0),  # MIL-HDBK-17: 50 degF below the wet glass transition
        ("filament-wound", True, 105.0 - 28.0),
        ("6061-T6", True, 80.0),
    ],
)
def test_heat_limit_just_inside_at_and_outside(key, wet, limit):
    assert heat_limit(get_construction(key), wet=wet) == limit
    tube = tc.Tube(key, od="10 mm", wall="1 mm")
    for t, passes in ((limit - 0.01, True), (limit, True), (limit + 0.01, False)):
        text = f'[service]\ntemperature = "{t} degC"\nwet = {str(wet).lower()}\n'
        (found,) = row_of(tube, text, "temperature")
        assert (found["reserve"] >= 1 - 1e-9) is passes, t
        assert (found["demand"], found["capacity"]) == pytest.approx((t, limit))


def test_heat_says_share_basis_and_source():
    tube = tc.Tube("pultruded", od="10 mm", wall="1 mm")
    text = '[service]\ntemperature = "60 degC"\nwet = true\n'
    (found,) = row_of(tube, text, "temperature")
    assert "28 K below the glass transition wet of 115 °C" in found["why"]
    said = " ".join(tc.check(tube, need(text)).cautions)
    assert "keeps 65 % of its stiffness and strength at 60 °C wet" in said
    assert "NASA TM-83320" in said


@pytest.mark.parametrize(("cold", "graded"), [(-54.9, True), (-55, True), (-55.1, False)])
def test_cold_has_a_range(cold, graded):
    tube = tc.Tube("pultruded", od="10 mm", wall="1 mm")
    (found,) = row_of(tube, f'[service]\ntemperature_min = "{cold} degC"\n', "temperature")
    assert math.isinf(found["reserve"])
    assert (found["range"] == "") is graded
    assert (found["grade"] == "C") is graded


# -- time and cycles ------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("key", "load", "family"),
    [
        ("pultruded", "tension", "carbon"),
        ("pultruded", "torsion", "matrix"),
        ("pultruded", "hoop", "matrix"),
        ("roll-wrapped", "hoop", "carbon"),
        ("roll-wrapped-45", "torsion", "carbon"),
        ("filament-wound", "tension", "matrix"),  # +/-55 degrees
        ("filament-wound", "torsion", "glass"),
        ("6061-T6", "bending", "aluminium"),
        ("304", "hoop", "stainless"),
    ],
)
def test_what_ages_a_wall(key, load, family):
    assert family_of(get_construction(key).layup(0.002), load) == family


def test_no_wall_of_the_data_files_is_without_a_published_value():
    for c in composites().values():
        for effect in ("sustained", "fatigue"):
            for load in LOADS:
                found = published(c.layup(0.002), effect, load, 1e6)
                assert 0.1 <= found.share < 1, (c.key, effect, load)
                assert "MEMORY" in sentence(found, effect) or "PRACTICE" in sentence(found, effect)


@settings(max_examples=40)
@given(st.floats(1, 1e9), st.floats(1, 30), st.sampled_from(["pultruded", "6063-T6", "4130"]))
def test_more_cycles_never_help(cycles, times, key):
    wall = get_construction(key).layup(0.001)
    more = min(cycles * times, 1e9)
    first, later = (published(wall, "fatigue", "bending", n).share for n in (cycles, more))
    assert 0 <= later <= first <= 1


@pytest.mark.parametrize("cycles", [0.0, 0.999, 1.001e9, -5.0])
def test_cycles_outside_their_range_are_refused(cycles):
    wall = get_construction("pultruded").layup(0.001)
    assert published(wall, "fatigue", "tension", 1.0).share == 1
    assert published(wall, "fatigue", "tension", 1e9).share == pytest.approx(1 - 9 * 0.05)
    with pytest.raises(InputError, match="number of cycles is out of range"):
        published(wall, "fatigue", "tension", cycles)


def test_metal_fatigue_is_a_stress_range_over_the_yield_strength():
    """EN 1993-1-9: category 160 at 2 million cycles; mild steel yields at 235 MPa."""
    wall = Layup.of([("mild-steel", 0, "1 mm")])
    assert published(wall, "fatigue", "tension", 2e6).share == pytest.approx(160 / 235)
    assert published(wall, "fatigue", "tension", 1e4).share == 1
    assert stress_range(160.0, 3.0, 1e8) == stress_range(160.0, 3.0, 1e9)


def test_unknown_effect_and_load_are_refused():
    wall = get_construction("pultruded").layup(0.001)
    with pytest.raises(InputError, match="sustained, fatigue"):
        published(wall, "rust", "tension")
    with pytest.raises(InputError, match="torsion"):
        published(wall, "fatigue", "sideways")


def test_factor_none_own_and_published():
    tubes = tc.Tube("filament-wound", od=["20 mm", "30 mm"], wall="2 mm").candidates
    case = Case("strut", load=100.0, span=1.0, duration="long")

    def share(case, **factors):
        return climate.knock_down(case, Need(factors=Factors(**factors)), tubes)

    assert share(case) == 1.0
    assert share(case, sustained=0.3) == 0.3
    assert share(case, sustained=0.0).tolist() == [0.4, 0.4]  # matrix-dominated: ISO 14692
    assert share(replace(case, duration="short"), sustained=0.0) == 1.0
    cyclic = replace(case, duration="cyclic", cycles=1e6)
    assert share(cyclic, fatigue=0.0) == pytest.approx([0.4, 0.4])
    need_ = Need(factors=Factors(fatigue=0.0))
    assert "after 1e+06 cycles" in climate.knock_down_note(tubes, cyclic, need_, 1)
    silent = replace(cyclic, cycles=math.nan)
    assert "1e+07 cycles (not given, assumed)" in climate.knock_down_note(tubes, silent, need_, 0)
    assert climate.knock_down_note(tubes, case, Need(), 0) == ""
    both = Need(cases=(case, cyclic), factors=Factors(sustained=0.0, fatigue=0.5))
    first, second = climate.time_basis(tubes, both, 0)
    assert first.startswith("Matrix keeps 0.4 of its strength under sustained load: ISO 14692")
    assert second == "0.5 of the short-time strength, as given."


def test_published_value_reaches_the_strength_check():
    text = '[[case]]\nkind = "strut"\nload = "1 kN"\nspan = "0.5 m"\nduration = "long"\n[factors]\n'
    tube = tc.Tube("pultruded", od="10 mm", wall="1 mm")
    full, less = (
        tc.check(tube, Need.from_toml(f"{text}sustained = {f}\n")).reserve["strength"]
        for f in (1.0, 0)
    )
    assert less / full == pytest.approx(0.55)  # ACI 440.1R-15


def test_user_metal_without_a_published_value_is_not_known():
    brass = Metal("brass", E="100 GPa", nu=0.34, density="8.5 g/cm3", yield_strength="200 MPa")
    found = published(Layup.of([(brass, 0, "1 mm")]), "fatigue", "tension", 1e6)
    assert math.isnan(found.share)
    assert "set the factor by hand" in sentence(found, "fatigue", 1e6)


# -- growth and inserts ---------------------------------------------------------------------
@pytest.mark.parametrize("key", ["roll-wrapped", "roll-wrapped-45", "filament-wound", "6063-T6"])
@pytest.mark.parametrize("od", [8.0, 40.0])
def test_growth_is_that_of_the_exact_tube(key, od):
    """Against the one-tube solution, which a finite-element solver confirmed to 0.01 %."""
    tube = tc.Tube(key, od=f"{od} mm", wall="1 mm")
    s, found = tube.sections, growth(tube.sections)
    exact = ThickWall(tube.layup, float(s.ro[0])).solve(delta_T=1.0)
    assert found.axial[0] == pytest.approx(exact.axial_strain, rel=1e-6, abs=1e-12)
    assert found.bore[0] == pytest.approx(exact.hoop_strain(0, float(s.ri[0])), rel=1e-6)
    pressed = ThickWall(tube.layup, float(s.ro[0])).solve(p_in=1.0)
    assert found.bore_soft[0] == pytest.approx(pressed.hoop_strain(0, float(s.ri[0])), rel=1e-6)


def test_growth_of_a_metal_is_even_and_its_bore_follows_lame():
    s = tc.Tube("304", od="30 mm", id="20 mm").sections
    found, v = growth(s), get_metal("304").si
    for x in (found.axial, found.bore, found.outside):
        assert x[0] == pytest.approx(v.alpha1)
    lame = (15**2 + 10**2) / (15**2 - 10**2) + v.nu12  # Timoshenko, thick cylinder, open ends
    assert found.bore_soft[0] == pytest.approx(lame / v.E1)


def test_insert_of_the_same_metal_does_nothing():
    s = tc.Tube("6061-T6", od="30 mm", id="20 mm").sections
    assert contact_pressure(growth(s), get_metal("6061-T6").si, 50.0)[0] == pytest.approx(0, abs=1)


def test_insert_presses_when_hot_and_pulls_when_cold():
    tube = tc.Tube("roll-wrapped", od="20 mm", wall="1.5 mm")
    text = '[service]\ninsert = "6061-T6"\ntemperature = "60 degC"\ntemperature_min = "-20 degC"\n'
    hot, cold = row_of(tube, text, "insert")
    assert "presses on the wall" in hot["why"]
    assert "pulls on the bond" in cold["why"]
    assert cold["capacity"] == pytest.approx(BOND / 1e6)
    found = growth(tube.sections)
    micro = 17e3 * (23.6e-6 - float(found.bore[0])) * -40  # bore 17 mm, 40 K colder
    assert f"{micro:+.3g} µm on the diameter" in cold["why"]
    assert hot["advisory"]


@pytest.mark.parametrize(
    ("service", "graded"),
    [
        ('temperature = "119.9 degC"', True), ('temperature = "120 degC"', True),
        ('temperature = "120.1 degC"', False), ('temperature_min = "-55 degC"', True),
        ('temperature_min = "-55.1 degC"', False),
    ],
)  # fmt: skip
def test_insert_has_a_range(service, graded):
    tube = tc.Tube("roll-wrapped", od="20 mm", wall="1.5 mm")
    (found,) = row_of(tube, f'[service]\ninsert = "304"\n{service}\n', "insert")
    assert (found["grade"] == "B") is graded


def test_growth_in_millimetres_is_said():
    tube = tc.Tube("6061-T6", od="20 mm", wall="1.5 mm")
    text = (
        '[limits]\nexpansion = "25e-6 1/K"\n'
        '[service]\ntemperature = "20 degC"\ntemperature_min = "-20 degC"\n'
    )
    (found,) = row_of(tube, text, "expansion")
    assert f"{23.6e-6 * 40 * 500:+.3g} mm over 500 mm" in found["why"]
    assert f"{23.6e-6 * 40 * 20e3:+.3g} µm on the outside diameter" in found["why"]
    assert found["reserve"] == pytest.approx(25 / 23.6)


def test_unknown_expansion_is_not_guessed():
    own = Ply("own", E1="130 GPa", E2="9 GPa", G12="4 GPa", nu12=0.3, density="1.5 g/cm3")
    tube = tc.Tube(own, od="20 mm", wall="1.5 mm")
    (found,) = row_of(tube, '[limits]\nexpansion = "5e-6 1/K"\n', "expansion")
    assert math.isnan(found["reserve"])
    assert "not known" in found["why"]


# -- bend radius ----------------------------------------------------------------------------
def test_bend_radius_of_fibre_crack_and_round_section():
    """All-axial: fibre strain Xc / E1 at the rim, radius = E1 ro / Xc; thin metal: Brazier."""
    v = get_ply("carbon-sm-ud").si
    tube = tc.Tube("pultruded", od="10 mm", wall="1 mm")
    (found,) = row_of(tube, '[limits]\nbend_radius = "1 m"\n', "bend_radius")
    assert found["demand"] == pytest.approx(v.E1 * 5.0 / v.Xc, rel=0.01)
    for word in ("fibres break", "first crack", "flattens", "wrinkles"):
        assert word in found["why"]


def test_thin_wall_wrinkles_or_flattens_before_it_yields():
    hard = Metal("hard", E="70 GPa", nu=0.3, density="2.7 g/cm3", yield_strength="5 GPa")
    tube = tc.Tube(hard, od="40 mm", wall="0.5 mm")
    (found,) = row_of(tube, '[limits]\nbend_radius = "1 m"\n', "bend_radius")
    brazier = 19.75**2 * math.sqrt(1 - 0.09) / (math.sqrt(2) / 3 * 0.5)  # mm, Brazier 1927
    assert found["demand"] >= brazier
    said = found["why"].replace("\u202f", "")
    assert f"flattens at {brazier / 0.9:.4g} mm" in said


@pytest.mark.parametrize(("wall", "graded"), [(0.1991, True), (0.1990, True), (0.1989, False)])
def test_bend_radius_has_a_range(wall, graded):
    low, high = (CHECKS["bend_radius"].ranges[0].low, CHECKS["bend_radius"].ranges[0].high)
    assert (low, high) == (0.5, 100.0)
    od = 2 * 100 * 0.199 + 0.199  # R/t of 100 at a wall of 0.199 mm
    tube = tc.Tube("6063-T6", od=f"{od} mm", wall=f"{wall} mm")
    (found,) = row_of(tube, '[limits]\nbend_radius = "100 m"\n', "bend_radius")
    assert (found["range"] == "") is graded


def test_retention_of_the_data_plies_at_a_usual_service():
    """Own order of size: at 60 degC dry 0.83 or more of the matrix is left in every prepreg."""
    for key in PLIES:
        stiff, strong = retention(get_ply(key).si, 60.0)
        assert 0.79 < stiff == strong < 0.9
