"""Facts of the trade (common practice, no source) about four tubes of 10 mm OD and 8 mm bore.

What counts as evidence and what does not:

* not evidence, because a data value was taken from it: the carbons' compression of about 1 t (the
  bearing strength of a plain cut end), the 304's compression of about 1.5 t (the yield of the
  cold-drawn 304), the 120 degC limit, and 15 to 20 mm as the size from which tubes are wrapped (the
  usual size range). They are asserted at the end as consistency of the data, no more;
* evidence: everything else. Orders are asserted strictly, numbers and ratios with the tolerance
  stated in the test and the reason for it.

A bench test reads its peak, so metals in bending are compared at the full plastic moment and
composites at the least of bending strength, transverse shear and crush under the nose.
"""

from __future__ import annotations

import csv
import math
from functools import cache

import pytest

import tubecalc as tc
from tubecalc.datafiles import data_dir

G0 = 9.80665
OD, BORE = 10e-3, 8e-3
AREA = math.pi / 4 * (OD**2 - BORE**2)  # 28.27 mm2
PLASTIC = (OD**3 - BORE**3) / 6  # plastic modulus of an annulus, 81.3 mm3
SPAN = "100 mm"
TUBES = {
    "304": "304-cold-drawn", "6063": "6063-T6", "roll-wrapped": "roll-wrapped",
    "woven": "roll-wrapped-woven", "pultruded": "pultruded",
}  # fmt: skip


@cache
def tube(name):
    return tc.Tube(TUBES.get(name, name), od="10 mm", id="8 mm")


@cache
def verdict(name, case):
    return tc.check(tube(name), tc.Need.from_toml(f"[[case]]\n{case}\n"))


def capacity(name, check, case):
    """Capacity in the row of one check [N or N m]."""
    rows = verdict(name, case).table.set_index("check")
    return float(rows.loc[check, "capacity"])


def pull(name):
    """Axial strength in tension [kgf]."""
    return capacity(name, "strength", 'kind = "strut"\nload = "1 N"\nspan = "0.1 m"') / G0


def push(name):
    """Compressive strength of the wall, ends held [kgf]."""
    return capacity(name, "strength", 'kind = "strut"\nload = "-1 N"\nspan = "0.05 m"') / G0


def bench(name):
    """Peak load in three-point bending at 100 mm, and what sets it [kgf]."""
    case = f'kind = "three-point"\nload = "1 N"\nspan = "{SPAN}"'
    moment = capacity(name, "strength", case)
    if tube(name).construction.metal:
        shape = PLASTIC / (math.pi / 32 * (OD**4 - BORE**4) / OD)
        bending = moment * shape
    else:
        bending = moment
    peaks = {
        "bending": bending * 4 / 0.1 / G0,
        "shear": capacity(name, "shear", case) * 2 / G0,  # half the load on either side
        "crush": capacity(name, "crush", case) / G0,
    }
    what = min(peaks, key=peaks.get)
    return peaks[what], what


def yield_of(name, basis):
    rows = tc.materials().query("key == @name and property == 'yield_strength' and basis == @basis")
    return float(rows["value"].iloc[0]) * 1e6


def trade(key):
    with (data_dir() / "evidence" / "trade.csv").open(encoding="utf-8", newline="") as file:
        return next(float(r["value"]) for r in csv.DictReader(file) if r["id"] == f"TRADE-{key}")


# -- density, 4 %: rounded figures ---------------------------------------------------------------
@pytest.mark.parametrize(
    ("name", "key"),
    [("304", "304"), ("6063", "6063"), ("pultruded", "carbon"), ("roll-wrapped", "carbon")],
)
def test_density(name, key):
    found = float((tube(name).mass_per_length / tube(name).area).to("g/cm^3").magnitude)
    assert found == pytest.approx(trade(f"density-{key}"), rel=0.04)


# -- twist ---------------------------------------------------------------------------------------
def twist(name):
    return float(tube(name).twist(torque="5 N m", length="155 mm").to("deg").magnitude)


def test_twist_over_155_mm_reads_in_degrees():
    """1 : 3 : 20 : 26 are degrees if the twist length was 155 mm: 304 turns by 1.00 deg.

    By hand: T L / (G J), J = pi/32 (10^4 - 8^4) = 579.6 mm4, G = 200 / 2.6 = 76.9 GPa: 0.996 deg.
    """
    polar = math.pi / 32 * (OD**4 - BORE**4)
    by_hand = math.degrees(5 * 0.155 / (200e9 / 2.6 * polar))
    assert by_hand == pytest.approx(1.0, rel=0.02)
    assert twist("304") == pytest.approx(by_hand, rel=1e-3)
    assert twist("6063") == pytest.approx(trade("twist-6063"), rel=0.05)


def test_twist_ratio_of_the_metals():
    """3 within 5 %: the ratio of two well-known shear moduli, 76.9 / 25.9 = 2.97."""
    assert twist("6063") / twist("304") == pytest.approx(trade("twist-6063"), rel=0.05)


@pytest.mark.parametrize(
    ("name", "rel"), [("roll-wrapped", 0.15), ("woven", 0.15), ("pultruded", 0.35)]
)
def test_twist_ratio_of_the_carbons(name, rel):
    """20 within 15 %, 26 within 35 %: the in-plane shear modulus of the resin decides.

    Ours has one ply for both, G12 = 4.23 GPa, so both stand at 18; 20 would be 3.8 GPa and 26 would
    be 2.9 GPa, a softer resin than a prepreg's. That pultruded twists more than wrapped is
    therefore not reproduced (it needs a ply of its own), only that both stand far above metal.
    """
    key = {"woven": "roll"}.get(name, name.split("-")[0])
    assert twist(name) / twist("304") == pytest.approx(trade(f"twist-{key}"), rel=rel)
    assert twist(name) > 5 * twist("6063")


# -- tension -------------------------------------------------------------------------------------
def test_tension_order():
    """Pultruded > roll-wrapped > 304 > 6063, strictly."""
    order = [pull(n) for n in ("pultruded", "roll-wrapped", "304", "6063")]
    assert order == sorted(order, reverse=True)
    assert pull("pultruded") > pull("woven") > pull("304")


def test_6063_yields_near_half_a_tonne():
    """500 kgf lies between the guaranteed (497) and the typical yield (620): 25 % on the typical.

    By hand: 172.4 and 215 MPa on 28.27 mm2.
    """
    least, typical = (yield_of("6063-T6", b) * AREA / G0 for b in ("minimum", "typical"))
    assert 0.95 * least <= trade("tension-6063") <= typical
    assert pull("6063") == pytest.approx(trade("tension-6063"), rel=0.25)


def test_pultruded_takes_over_two_tonnes_even_when_the_grips_break_it():
    """The grips broke it at less than half of what it should take, and that was over 2 t."""
    assert pull("pultruded") / 2 > trade("tension-pultruded")


def test_pultruded_well_gripped_is_about_three_times_304():
    """Three times the tensile strength of the 304 within 15 %: two strengths of 5 to 10 % scatter.

    By hand: 2170 MPa over 723.9 MPa (cold-drawn, minimum).
    """
    ultimate = tc.materials().query("key == '304-cold-drawn' and property == 'ultimate'")["value"]
    assert pull("pultruded") * G0 / AREA / 1e6 / float(ultimate.iloc[0]) == pytest.approx(
        3, rel=0.15
    )


# -- compression ---------------------------------------------------------------------------------
def test_6063_is_pressed_to_yield_near_half_a_tonne():
    """As in tension: a short metal tube yields the same both ways, 25 % on the typical value."""
    assert push("6063") == pytest.approx(trade("compression-6063"), rel=0.25)


def test_compression_order_of_walls_and_ends():
    """304 > both carbons > 6063, the carbons by their cut ends: 1.5 : 1 : 0.5 t.

    Of these the 1.5 and the 1 t were used for data; that the 6063 comes last is the prediction,
    and that the ends and not the wall decide for carbon (the wall alone would take over 3 t).
    """
    plain = 'kind = "strut"\nload = "-1 N"\nspan = "0.05 m"\nend_fitting = "plain"'
    for name in ("pultruded", "roll-wrapped", "woven"):
        ends = capacity(name, "end_crush", plain) / G0
        assert push("304") > ends > push("6063")
        assert push(name) > 3 * ends
        assert verdict(name, plain).governing == "end_crush"


# -- three-point bending -------------------------------------------------------------------------
def test_three_point_order():
    """Roll-wrapped > 304 > pultruded > 6063, strictly."""
    order = [bench(n)[0] for n in ("roll-wrapped", "304", "pultruded", "6063")]
    assert order == sorted(order, reverse=True)
    assert bench("woven")[0] > bench("304")[0]


@pytest.mark.parametrize(("name", "key"), [("roll-wrapped", "roll"), ("woven", "roll")])
def test_three_point_peak_of_roll_wrapped(name, key):
    """About 200 kgf within 15 %; shear at the sides sets it, not the crush."""
    peak, what = bench(name)
    assert peak == pytest.approx(trade(f"three-point-{key}"), rel=0.15)
    assert what == "shear"


def test_three_point_peak_of_pultruded():
    """About 140 kgf within 35 %: a crush formula of grade C, stated as a factor of 1.5."""
    peak, what = bench("pultruded")
    assert peak == pytest.approx(trade("three-point-pultruded"), rel=0.35)
    assert what == "crush"


def test_three_point_peak_of_304():
    """Between 150 and 175 kgf: the full plastic moment of cold-drawn 304, 520 MPa x 81.3 mm3.

    By hand: 520e6 x 81.3e-9 = 42.3 N m, 4 M / S = 1692 N = 172 kgf. The yield was taken from the
    compression of the same tube, so this checks the plastic moment, not the material.
    """
    peak, what = bench("304")
    assert 150 <= peak <= 175
    assert what == "bending"


def test_three_point_peak_of_6063():
    """About 50 kgf within 45 % on the typical yield, 20 % on the yield that tension showed.

    By hand: the plastic moment is 71 kgf at the typical 215 MPa; the same tubes yielded near 0.5 t
    in tension, 173 MPa, with which it is 57 kgf. The tubes of the trade stand near the guaranteed
    172.4 MPa and not at the typical value.
    """
    peak, what = bench("6063")
    assert what == "bending"
    assert peak == pytest.approx(trade("three-point-6063"), rel=0.45)
    shown = trade("tension-6063") * G0 / AREA
    assert shown == pytest.approx(172.4e6, rel=0.02)
    assert peak * shown / yield_of("6063-T6", "typical") == pytest.approx(50, rel=0.2)


def test_hoop_fibres_resist_the_crushing():
    """The reason given: hoop plies lift the crush load, all-axial tubes split first."""
    case = f'kind = "three-point"\nload = "100 kgf"\nspan = "{SPAN}"'
    crush, split = (
        {n: capacity(n, c, case) for n in ("pultruded", "roll-wrapped", "woven")}
        for c in ("crush", "split")
    )
    for name in ("roll-wrapped", "woven"):
        assert crush[name] > 2 * crush["pultruded"]
        assert split[name] > 3 * split["pultruded"]
    assert verdict("pultruded", case).governing == "crush"
    assert verdict("roll-wrapped", case).governing != "crush"


def test_reading_of_the_304_as_cold_drawn_and_of_the_span_as_100_mm():
    """Compression says 520 MPa; with it 150 to 175 kgf in bending mean a span of 99 to 115 mm.

    By hand: fy = 1500 kgf / 28.27 mm2 = 520 MPa; S = 4 fy Zp / P. Annealed (215 MPa) the span
    would have been 41 to 48 mm, and the tube could not have taken 1.5 t at all. The 6063 (173 MPa
    by its tension, 50 kgf in bending) says 115 mm. So 100 mm is within 15 % of each reading, at the
    short end of both.
    """
    fy = trade("compression-304") * G0 / AREA
    assert fy == pytest.approx(520e6, rel=0.01)
    low, high = (4 * fy * PLASTIC / (p * G0) for p in (175, 150))
    assert (low, high) == (pytest.approx(0.0986, rel=0.01), pytest.approx(0.115, rel=0.01))
    assert low <= 0.100 <= high
    soft = trade("tension-6063") * G0 / AREA
    assert 4 * soft * PLASTIC / (trade("three-point-6063") * G0) == pytest.approx(0.115, rel=0.01)
    annealed = tc.Tube("304-annealed", od="10 mm", id="8 mm")
    need = tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "-1500 kgf"\nspan = "0.05 m"')
    assert tc.check(annealed, need).reserve["strength"] == pytest.approx(215 / 520, rel=0.02)
    assert tc.check(tube("304"), need).reserve["strength"] == pytest.approx(1.0, rel=0.02)


# -- weight for weight ---------------------------------------------------------------------------
def test_weight_for_weight_both_carbons_are_far_ahead_in_all_but_torsion():
    """'Far ahead' is read as at least twice the better metal; in torsion they are not."""
    row = {
        n: tube(n).specific.iloc[0] for n in ("304", "6063", "roll-wrapped", "woven", "pultruded")
    }
    for column in row["304"].index:
        if "_per_mass_" not in column:
            continue
        best = max(row["304"][column], row["6063"][column])
        for name in ("roll-wrapped", "woven", "pultruded"):
            ratio = row[name][column] / best
            if column.startswith("GJ"):
                assert ratio < 0.5, (name, column)
            elif column.startswith("torsion"):
                assert ratio < 1.5, (name, column)
            else:
                assert ratio > 2, (name, column)


# -- bending by hand -----------------------------------------------------------------------------
def least_radius(od, bore):
    need = tc.Need.from_toml(
        '[[case]]\nkind = "strut"\nload = "1 N"\nspan = "0.1 m"\n[limits]\nbend_radius = "1 m"\n'
    )
    made = tc.check(tc.Tube("pultruded", od=f"{od} mm", id=f"{bore} mm"), need)
    return float(made.table.set_index("check").loc["bend_radius", "demand"])


@pytest.mark.parametrize(("od", "bore"), [(0.7, 0.3), (1.0, 0.5), (1.5, 0.7)])
def test_smallest_bend_radius_by_hand(od, bore):
    """35, 50, 75 mm within 20 %, and never below what the fibre allows.

    By hand: all three are 50 OD, 1 % strain; the fibre breaks in compression at 1450 MPa / 125 GPa
    = 1.16 %, 43 OD. What people do by hand stays a little short of breaking.
    """
    found = least_radius(od, bore)
    asked = trade(f"bend-{od:g}")
    assert found == pytest.approx(asked, rel=0.20)
    assert found < asked


def test_larger_tubes_are_limited_by_the_hand_and_not_by_the_fibre():
    """3 mm: 250 mm by hand is 0.6 % strain; the fibre would allow half of it. A bound, no more."""
    assert least_radius(3, 2) < 0.6 * trade("bend-3")


# -- consistency of the data: NOT evidence, these facts were used as data ------------------------
def test_data_follow_the_trade_where_the_trade_was_the_source():
    carbons = ("pultruded", "roll-wrapped", "roll-wrapped-woven", "roll-wrapped-45", "pull-wound")
    table = tc.constructions().set_index("key")
    for key in carbons:
        assert table.loc[key, "t_max_degC"] == trade("temperature")
        bearing = tc.Tube(key, od="10 mm", id="8 mm").construction.end_bearing * AREA / G0
        assert bearing == pytest.approx(trade("compression-carbon"), rel=0.02)
    assert push("304") == pytest.approx(trade("compression-304"), rel=0.02)


@pytest.mark.parametrize("od", ["10 mm", "20 mm", "25 mm"])
def test_above_15_to_20_mm_tubes_are_wrapped(od):
    """Usual sizes: pultruded ends below 15 mm, roll-wrapped goes on; outside it is flagged."""
    need = tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "100 N"\nspan = "0.5 m"')
    table = tc.sweep(need, ["pultruded", "roll-wrapped"], od=[od], wall=["1 mm"]).set_index(
        "construction"
    )
    assert bool(table.loc["roll-wrapped", "in_range"])
    assert bool(table.loc["pultruded", "in_range"]) is (od == "10 mm")
