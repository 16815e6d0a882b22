"""Sweep, shortlist, ranking, frontier and the words for a result: order, truth, one code path."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.checks.service import length_of
from tubecalc.datafiles import data_dir
from tubecalc.explain import remedies
from tubecalc.laminate.construction import get_construction
from tubecalc.sweep import default_sizes, grid, reserves, to_table
from tubecalc.units import to_si

JOBS = sorted((data_dir() / "jobs").glob("*.toml"))
KEYS = list(tc.constructions()["key"])
BOOM = """
[[case]]
name = "reach"
kind = "cantilever"
load = "60 N"
span = "1.2 m"
tip_mass = "0.4 kg"
[[case]]
name = "knock"
kind = "three-point"
load = "300 N"
span = "1 m"
roller_width = "10 mm"
[[case]]
name = "push"
kind = "strut"
load = "-500 N"
span = "1.2 m"
[limits]
deflection = "25 mm"
mass = "0.6 kg"
od_max = "40 mm"
frequency_min = "3 Hz"
[service]
temperature = "60 degC"
salt = true
[factors]
strength = 2.0
buckling = 2.0
"""


def mm(value):
    """A length as text, every digit kept."""
    return f"{float(value)!r} mm"


@pytest.fixture(scope="module")
def need():
    return tc.Need.from_toml(BOOM)


@pytest.fixture(scope="module")
def table(need):
    return tc.sweep(need, od=("6 mm", "46 mm", "4 mm"), wall=("0.5 mm", "3 mm", "0.5 mm"))


# -- order ----------------------------------------------------------------------------------
def test_what_passes_comes_first_and_is_lightest_first(table):
    passing = table[table["passes"]]
    assert 0 < len(passing) < len(table)
    assert table["passes"].tolist() == sorted(table["passes"], reverse=True)
    assert passing["mass_kg_per_m"].is_monotonic_increasing
    assert table.index.tolist() == list(range(len(table)))


def test_what_fails_follows_nearest_first(table):
    failing = table.loc[~table["passes"], "reserve"]
    assert failing.is_monotonic_decreasing


def test_passes_means_that_every_deciding_reserve_is_one(table):
    advisory = {"reserve_first_ply", "reserve_split"}
    columns = [c for c in table if c.startswith("reserve_") and c not in advisory]
    least = table[columns].min(axis=1)
    assert ((least >= 1 - 1e-9) == table["passes"]).all()
    failing = table[~table["passes"]]
    np.testing.assert_allclose(failing["reserve"], least[~table["passes"]], rtol=1e-12)


def test_governing_names_the_column_of_the_least_reserve(table):
    for _, row in table.iterrows():
        assert row[f"reserve_{row['governing']}"] == row["reserve"]


def test_mass_is_that_of_the_longest_span(table, need):
    assert length_of(need) == 1.2
    np.testing.assert_allclose(table["mass_kg"], 1.2 * table["mass_kg_per_m"], rtol=1e-12)


def test_frontier_is_beaten_by_no_row(table):
    front = tc.frontier(table)
    assert front["mass_kg_per_m"].is_monotonic_increasing
    assert front["reserve"].is_monotonic_increasing
    for _, row in front.iterrows():
        better = table[
            (table["mass_kg_per_m"] < row["mass_kg_per_m"]) & (table["reserve"] >= row["reserve"])
        ]
        assert better.empty
    best = table["reserve"].max()
    assert front["reserve"].iloc[-1] == best


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 20), st.integers(0, 20)), min_size=1, max_size=40))
def test_frontier_of_any_table(points):
    frame = pd.DataFrame(points, columns=["mass_kg_per_m", "reserve"]).astype(float)
    front = tc.frontier(frame)
    kept = set(map(tuple, front[["mass_kg_per_m", "reserve"]].to_numpy()))

    def beaten(p):
        return any(m <= p[0] and r >= p[1] and (m, r) != p for m, r in points)

    assert kept == {(float(m), float(r)) for m, r in points if not beaten((m, r))}


# -- one code path ----------------------------------------------------------------------------
@pytest.mark.parametrize("job", JOBS, ids=lambda p: p.stem)
def test_a_single_tube_equals_its_row_of_the_sweep(job):
    """Every seventh row of a sweep, tube by tube through check: 1e-12."""
    need = tc.Need.from_toml(job)
    table = tc.sweep(need, od=("10 mm", "40 mm", "10 mm"), wall=("0.5 mm", "2 mm", "0.75 mm"))
    for _, row in table.iloc[::7].iterrows():
        tube = tc.Tube(row["construction"], od=mm(row["od_mm"]), wall=mm(row["wall_mm"]))
        assert float(tube.wall.magnitude) == pytest.approx(row["wall_mm"], abs=1e-6)
        verdict = tc.check(tube, need)
        assert verdict.passes == row["passes"]
        for name, value in verdict.reserve.items():
            expected = row[f"reserve_{name}"]
            if math.isinf(value):
                assert math.isinf(expected), name
            else:
                assert value == pytest.approx(expected, rel=1e-9, nan_ok=True), name
        if row["reserve"] < 1e9:
            assert verdict.governing == row["governing"]
        specific = tube.specific.iloc[0]
        for column in specific.index:
            assert specific[column] == pytest.approx(row[column], rel=1e-9), column


def test_chunks_do_not_change_a_bit(need):
    od, wall = default_sizes(need)
    chosen = [get_construction(k) for k in KEYS]
    candidates = grid(chosen, od[::4], wall[::3])
    whole = reserves(candidates, need)
    for size in (1, 7, 100):
        if size == 1:
            small = grid(chosen[:3], od[:4], wall[:3])
            a, b = reserves(small, need), reserves(small, need, size=1)
        else:
            a, b = whole, reserves(candidates, need, size=size)
        assert a.names == b.names
        np.testing.assert_array_equal(a.passes, b.passes)
        np.testing.assert_array_equal(a.governing, b.governing)
        np.testing.assert_allclose(a.reserve, b.reserve, rtol=1e-12)
        for name, column in a.by_check.items():
            np.testing.assert_allclose(b.by_check[name], column, rtol=1e-12, err_msg=name)


def test_candidates_do_not_know_of_each_other(need):
    """A construction swept alone gives the rows it has in company, but for the last bits.

    The exact wall is tabulated by a matrix product, whose sums follow the size of the batch.
    """
    sizes = {"od": ("10 mm", "40 mm", "5 mm"), "wall": ("0.5 mm", "3 mm", "0.5 mm")}
    company = tc.sweep(need, KEYS, **sizes)
    for key in ("pultruded", "roll-wrapped-45", "6061-T6", "filament-wound"):
        alone = tc.sweep(need, [key], **sizes).sort_values(["od_mm", "wall_mm"])
        rows = company[company["construction"] == key].sort_values(["od_mm", "wall_mm"])
        pd.testing.assert_frame_equal(
            alone.reset_index(drop=True), rows.reset_index(drop=True), rtol=1e-10,
            check_dtype=False,
        )  # fmt: skip


def test_the_order_of_cases_does_not_matter(need, table):
    turned = replace(need, cases=need.cases[::-1])
    other = tc.sweep(turned, od=("6 mm", "46 mm", "4 mm"), wall=("0.5 mm", "3 mm", "0.5 mm"))
    numbers = table.select_dtypes("number").columns
    np.testing.assert_allclose(other[numbers], table[numbers], rtol=1e-12)
    assert (other["governing"] == table["governing"]).all()


def test_two_cases_are_the_worst_of_each(need):
    sizes = {"od": ("10 mm", "40 mm", "10 mm"), "wall": ("1 mm", "2 mm", "0.5 mm")}
    both = tc.sweep(need, ["roll-wrapped"], **sizes).sort_values(["od_mm", "wall_mm"])
    single = [
        tc.sweep(replace(need, cases=(c,)), ["roll-wrapped"], **sizes).sort_values(
            ["od_mm", "wall_mm"]
        )
        for c in need.cases
    ]
    for column in ("reserve_strength", "reserve_deflection", "reserve_crush"):
        parts = [s[column].to_numpy() for s in single if column in s]
        np.testing.assert_allclose(both[column], np.min(parts, axis=0), rtol=1e-12)


# -- sizes, whole plies, range ----------------------------------------------------------------
def test_ranges_hold_both_ends(need):
    table = tc.sweep(
        need, ["6061-T6"], od=("10 mm", "20 mm", "2.5 mm"), wall=("1 mm", "2 mm", "0.1 mm")
    )
    assert sorted(set(table["od_mm"])) == [10, 12.5, 15, 17.5, 20]
    assert len(set(table["wall_mm"])) == 11
    assert (table["id_mm"] - (table["od_mm"] - 2 * table["wall_mm"])).abs().max() < 1e-6


@pytest.mark.parametrize("key", [k for k in KEYS if not get_construction(k).continuous])
def test_walls_are_whole_plies(key):
    """Every wall of a sweep is made of whole plies, each once, the nearest to what was asked."""
    c = get_construction(key)
    need = tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "1 N"\nspan = "1 m"')
    asked = np.arange(0.3, 4.0, 0.07)
    table = tc.sweep(need, [key], od=["60 mm"], wall=[f"{w:.4f} mm" for w in asked])
    fixed = sum(x.thickness * x.count for x in (*c.inner, *c.outer)) * 1e3
    unit = sum(x.thickness * x.count for x in c.fill) * 1e3
    count = (table["wall_mm"] - fixed) / unit
    assert (count - count.round()).abs().max() < 1e-6
    assert count.min() >= c.fill_min
    assert not table["wall_mm"].duplicated().any()
    least = fixed + c.fill_min * unit
    for wall in asked[asked > least]:
        made = float(tc.Layup.from_construction(key, mm(wall)).thickness.to("mm").magnitude)
        assert abs(made - wall) <= unit / 2 + 1e-9
    plies = sum(x.count for x in (*c.inner, *c.outer)) + count.round() * sum(
        x.count for x in c.fill
    )
    assert (table["plies"] == plies).all()


@pytest.mark.parametrize("key", KEYS)
def test_size_outside_the_usual_range_is_computed_and_flagged(key):
    c = get_construction(key)
    low, high = c.size("od_min") * 1e3, c.size("od_max") * 1e3
    assert 0 < low < high
    wall = max(1.0, c.size("wall_min") * 1e3)
    need = tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "1 N"\nspan = "1 m"')
    inside = [max(low, 2 * wall + 0.5), high]
    outside = [high * 1.05]
    table = tc.sweep(need, [key], od=[mm(d) for d in inside + outside], wall=[f"{wall} mm"])
    flags = table.set_index("od_mm")["in_range"]
    assert len(flags) == 3
    walls_fit = c.size("wall_min") <= table["wall_mm"].iloc[0] / 1e3 + 1e-9
    walls_fit &= table["wall_mm"].iloc[0] / 1e3 <= c.size("wall_max") + 1e-9
    for d in inside:
        assert bool(flags[round(d, 6)]) is bool(walls_fit)
    assert not flags[round(outside[0], 6)]
    assert np.isfinite(table["EA_N"]).all()


def test_own_wall_metal_and_ply_can_be_swept(need):
    ply = tc.Ply("own", E1="100 GPa", E2="8 GPa", G12="4 GPa", nu12=0.3, density="1.5 g/cm3",
                 Xt="1 GPa", Xc="0.8 GPa", Yt="40 MPa", Yc="150 MPa", S12="60 MPa")  # fmt: skip
    metal = tc.Metal(
        "own metal", E="70 GPa", nu=0.33, density="2.7 g/cm3", yield_strength="200 MPa"
    )
    wall = tc.Layup.of([(ply, 90, "0.1 mm"), (ply, 0, "0.8 mm"), (ply, 90, "0.1 mm")], name="mine")
    table = tc.sweep(need, [ply, metal, wall], od=["20 mm", "30 mm"], wall=["1 mm", "2 mm"])
    count = table.groupby("name").size().to_dict()
    assert count == {"own": 4, "own metal": 4, "mine": 2}
    assert np.isfinite(table["reserve"]).all()


def test_an_unknown_strength_is_passed_over_and_said(need):
    """A ply without strengths: stiffness is judged, the rest is NaN in the table and said aloud."""
    bare = tc.Ply("bare", E1="100 GPa", E2="8 GPa", G12="4 GPa", nu12=0.3, density="1.5 g/cm3")
    table = tc.sweep(need, [bare], od=["30 mm"], wall=["2 mm"])
    assert table["reserve_strength"].isna().all()
    assert np.isfinite(table["reserve"]).all()
    verdict = tc.check(tc.Tube(bare, od="30 mm", wall="2 mm"), need)
    assert "strength" in verdict.unchecked


# -- nothing passes: the hint is true ----------------------------------------------------------
IMPOSSIBLE = {
    "stiff": '[[case]]\nkind="cantilever"\nload="60 N"\nspan="1.2 m"\n'
    '[limits]\ndeflection="1 mm"\nod_max="30 mm"\nmass="0.1 kg"\n',
    "two spans": '[[case]]\nname="a"\nkind="cantilever"\nload="60 N"\nspan="1.2 m"\n'
    '[[case]]\nname="b"\nkind="three-point"\nload="900 N"\nspan="1.5 m"\n'
    '[limits]\ndeflection="0.2 mm"\nslope="0.01 deg"\nod_max="30 mm"\n',
    "strong": '[[case]]\nkind="strut"\nload="-400 kN"\nspan="2 m"\n[limits]\nod_max="40 mm"\n',
    "two loads": '[[case]]\nname="pull"\nkind="strut"\nload="3000 kN"\nspan="1 m"\n'
    '[[case]]\nname="turn"\nkind="shaft"\ntorque="90 kN m"\nspan="1 m"\n'
    '[limits]\ntwist="0.01 deg"\nod_max="40 mm"\n[factors]\nstrength=1.7\nbuckling=1.3\n',
    "light": '[[case]]\nkind="three-point"\nload="200 N"\nspan="1 m"\n'
    '[limits]\nmass="3 g"\ndeflection="2 mm"\nod_max="30 mm"\nid_min="29.5 mm"\n',
    "fast": '[[case]]\nkind="shaft"\ntorque="5 N m"\nspeed="90000 rpm"\nspan="1.5 m"\n'
    '[limits]\nfrequency_min="900 Hz"\nod_max="40 mm"\n',
    "hot": '[[case]]\nkind="strut"\nload="10 N"\nspan="0.5 m"\n[service]\ntemperature="900 degC"\n',
    "bend": '[[case]]\nkind="strut"\nload="10 N"\nspan="0.5 m"\n'
    '[limits]\nbend_radius="5 mm"\nid_min="4 mm"\nexpansion="1e-12 /K"\n',
    "combined": '[[case]]\nkind="combined"\naxial="-90 kN"\nmoment="4 kN m"\ntorque="3 kN m"\n'
    'shear="50 kN"\nspan="1 m"\n[limits]\nod_max="30 mm"\n',
}  # fmt: skip


def relaxed(need, hint):
    """The need with everything that the hint tells to relax, as it is written."""
    steps = hint.split("To let it pass: ")[1].removesuffix(".").split("; ")
    limits, cases, service = need.limits, list(need.cases), need.service
    for step in steps:
        if found := re.fullmatch(r"relax (\w+) to (.+)", step):
            name, text = found.groups()
            kinds = {
                "deflection": "length", "slope": "angle", "twist": "angle", "mass": "mass",
                "od_max": "length", "id_min": "length", "frequency_min": "frequency",
                "bend_radius": "length", "expansion": "expansion",
            }  # fmt: skip
            limits = replace(limits, **{name: to_si(text, kinds[name], what=name)})
        elif found := re.fullmatch(
            r"take ([0-9.e+-]+) times the load(?: of (.+?))?, or less of a factor", step
        ):
            share, of = float(found[1]), found[2]
            for n, c in enumerate(cases):
                if of in (None, c.name):
                    cases[n] = replace(
                        c, load=c.load * share, torque=c.torque * share, axial=c.axial * share,
                        moment=c.moment * share, shear=c.shear * share,
                    )  # fmt: skip
        elif found := re.fullmatch(r"keep it below (.+)", step):
            service = replace(service, temperature=to_si(found[1], "temperature", what="t"))
        elif found := re.fullmatch(r"run no faster than (.+)", step):
            speed = to_si(found[1], "speed", what="speed")
            cases = [replace(c, speed=min(c.speed, speed)) for c in cases]
        else:
            raise AssertionError(f"a step nobody can follow: {step}")
    return replace(need, limits=limits, cases=tuple(cases), service=service)


@pytest.mark.parametrize("name", sorted(IMPOSSIBLE))
def test_hint_when_nothing_passes_is_true(name):
    """Following the hint to the letter makes the nearest tube pass; not following it does not."""
    need = tc.Need.from_toml(IMPOSSIBLE[name])
    table = tc.sweep(need)
    assert not table["passes"].any()
    hint, nearest = table.attrs["hint"], table.attrs["nearest"]
    assert hint.startswith(f"Nothing passes. Nearest is {nearest}: ")
    after = tc.sweep(relaxed(need, hint))
    row = table.iloc[0]
    same = after[
        (after["construction"] == row["construction"]) & (after["od_mm"] == row["od_mm"])
        & (after["wall_mm"] == row["wall_mm"])
    ]  # fmt: skip
    if same.empty:  # the default sizes follow od_max and id_min
        tube = tc.Tube(row["construction"], od=mm(row["od_mm"]), wall=mm(row["wall_mm"]))
        assert tc.check(tube, relaxed(need, hint)).passes, hint
    else:
        assert same["passes"].all(), hint
    assert f"{row['name']}, " in nearest


def test_hint_names_a_veto_only_when_all_are_vetoed():
    """Welding and insulating at once: no construction does both; the hint says what to drop."""
    need = tc.Need.from_toml(
        '[[case]]\nkind="strut"\nload="10 N"\nspan="0.5 m"\n[service]\nweld=true\nradio=true\n'
    )
    table = tc.sweep(need, od=["20 mm"], wall=["1 mm"])
    assert not table["passes"].any()
    assert set(table["governing"]) == {"service"}
    assert "drop the service condition that rules it out" in table.attrs["hint"]


def test_no_hint_when_something_passes(table):
    assert table.attrs["hint"] == ""
    assert table.attrs["nearest"] == ""


def test_no_candidate_at_all_is_said():
    need = tc.Need.from_toml('[[case]]\nkind="strut"\nload="10 N"\nspan="0.5 m"')
    table = tc.sweep(need, ["6061-T6"], od=["2 mm"], wall=["3 mm"])
    assert len(table) == 0
    assert "every wall asked for is above half the outside diameter" in table.attrs["hint"]


# -- remedies are true -------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("key", "od", "wall"),
    [("6061-T6", 24.0, 1.0), ("304-annealed", 20.0, 0.5), ("pultruded", 30.0, 0.5),
     ("roll-wrapped", 28.0, 0.5), ("roll-wrapped-woven", 28.0, 0.5), ("moulded", 30.0, 0.5)],
)  # fmt: skip
def test_remedies_are_true(key, od, wall):
    """The least wall and the least diameter pass as they are written; a little less fails."""
    need = tc.Need.from_toml(
        '[[case]]\nkind="cantilever"\nload="40 N"\nspan="1 m"\n[limits]\ndeflection="12 mm"\n'
        "[factors]\nstrength=2.0\nbuckling=2.0\n"
    )
    c = get_construction(key)
    made = c.wall_of(wall / 1e3)

    def passes(od_mm, wall_mm):
        return tc.check(tc.Tube(key, od=mm(od_mm), wall=mm(wall_mm)), need).passes

    assert not passes(od, made * 1e3)
    advice = remedies(c, od / 1e3, made, need)
    assert advice
    for sentence in advice:
        words, text = sentence.split(": ")
        value = to_si(text, "length", what="size") * 1e3
        if words == "least wall at this diameter":
            step = c.least_step() * 1e3 or 0.02
            assert passes(od, value)
            assert not passes(od, value - step)
        else:
            assert words == "least outside diameter with this wall"
            assert passes(value, made * 1e3)
            assert not passes(value - 0.05, made * 1e3)


def test_remedies_say_when_neither_helps():
    need = tc.Need.from_toml(
        '[[case]]\nkind="cantilever"\nload="40 N"\nspan="1 m"\n[limits]\ndeflection="12 mm"\n'
        'od_max="10 mm"\nmass="1 g"\n'
    )
    advice = remedies(get_construction("pultruded"), 0.010, 0.001, need)
    assert advice == ["neither a thicker wall nor a larger diameter alone makes it pass"]


# -- shortlist -----------------------------------------------------------------------------------
@pytest.fixture(scope="module")
def stock():
    return tc.read_stock(data_dir() / "stock" / "estuary_stock.csv")


@pytest.mark.parametrize("job", JOBS, ids=lambda p: p.stem)
def test_shortlist_of_the_stock(job, stock):
    """Every stock tube once, its own columns carried along, each equal to its tube alone."""
    need = tc.Need.from_toml(job)
    table = tc.shortlist(need, stock)
    assert sorted(table["id"]) == sorted(stock.table["id"])
    assert table["passes"].tolist() == sorted(table["passes"], reverse=True)
    lines = stock.table.set_index("id")
    for _, row in table.iloc[::9].iterrows():
        line = lines.loc[row["id"]]
        assert (row["od_mm"], row["construction"]) == (line["od_mm"], line["construction"])
        assert row["id_mm"] == pytest.approx(line["id_mm"], abs=1e-6)
        assert row["price"] == line["price"] or math.isnan(line["price"])
        tube = tc.Tube(line["construction"], od=mm(line["od_mm"]), id=mm(line["id_mm"]))
        verdict = tc.check(tube, need)
        assert verdict.passes == row["passes"]
        for name, value in verdict.reserve.items():
            assert value == pytest.approx(row[f"reserve_{name}"], rel=1e-9, nan_ok=True), name


def test_shortlist_parts_the_stock(stock):
    """Every job of the demo has stock tubes that pass and some that do not."""
    for job in JOBS:
        passes = tc.shortlist(tc.Need.from_toml(job), stock)["passes"]
        assert passes.any(), job.name
        assert not passes.all(), job.name


def test_measured_tube_keeps_its_size_and_the_share_of_its_plies(stock):
    """A stock tube is stretched to its measured wall: no rounding, same share of every ply."""
    tube = tc.Tube("roll-wrapped", od="20.3 mm", id="18 mm")
    assert float(tube.wall.magnitude) == pytest.approx(1.15, abs=1e-9)
    rounded = tc.Layup.from_construction("roll-wrapped", "1.15 mm")
    stretched = tube.layup
    assert stretched.notation == rounded.notation
    ratio = stretched.table["thickness_mm"] / rounded.table["thickness_mm"]
    assert ratio.max() == pytest.approx(ratio.min(), rel=1e-9)


def test_specific_columns_can_be_left_out(need):
    lean = tc.sweep(need, ["pultruded"], od=["20 mm"], wall=["1 mm"], specific=False)
    full = tc.sweep(need, ["pultruded"], od=["20 mm"], wall=["1 mm"])
    assert not [c for c in lean if "per_mass" in c]
    assert set(lean) < set(full)
    wanted = {"EA_N", "EI_N_m2", "GJ_N_m2", "tension_per_mass_kN_m_per_kg"}
    assert wanted <= set(full)
    found = reserves(
        grid([get_construction("pultruded")], np.array([0.02]), np.array([1e-3])), need
    )
    assert len(to_table(found, need)) == 1


def test_remedies_of_a_tube_hold_and_a_little_less_does_not():
    """The least wall and the least diameter that are named pass; just below them fails."""
    ask = tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "-75 N"\nspan = "760 mm"')
    tube = tc.Tube("6063-T6", od="7 mm", wall="0.4 mm")
    said = dict(line.split(": ") for line in tc.remedies(tube, ask))
    assert set(said) == {
        "least wall at this diameter", "least outside diameter with this wall",
    }  # fmt: skip
    wall = float(said["least wall at this diameter"].removesuffix(" mm"))
    od = float(said["least outside diameter with this wall"].removesuffix(" mm"))
    assert tc.check(tc.Tube("6063-T6", od="7 mm", wall=f"{wall} mm"), ask).passes
    assert not tc.check(tc.Tube("6063-T6", od="7 mm", wall=f"{wall - 0.02} mm"), ask).passes
    assert tc.check(tc.Tube("6063-T6", od=f"{od} mm", wall="0.4 mm"), ask).passes
    assert not tc.check(tc.Tube("6063-T6", od=f"{od - 0.05} mm", wall="0.4 mm"), ask).passes
