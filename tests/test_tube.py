"""Tube: sizes from any two of three, quantities out, arrays, metals by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

import tubecalc as tc
from tubecalc.materials import Metal

STEEL = Metal("steel", E="200 GPa", nu=0.3, density="7.9 g/cm3", yield_strength="400 MPa")
KEYS = list(tc.constructions()["key"])


def number(quantity, unit):
    return float(quantity.to(unit).magnitude)


@pytest.mark.parametrize(
    "given", [{"od": "10 mm", "wall": "1 mm"}, {"od": "10 mm", "id": "8 mm"},
              {"id": "8 mm", "wall": "1 mm"}, {"od": "10 mm", "id": "8 mm", "wall": "1 mm"}],
)  # fmt: skip
def test_any_two_sizes_make_the_same_tube(given):
    """A = pi/4 (10^2 - 8^2) = 28.274 mm2, I = pi/64 (10^4 - 8^4) = 289.81 mm4: by hand."""
    tube = tc.Tube(STEEL, **given)
    assert [number(x, "mm") for x in (tube.od, tube.id, tube.wall)] == pytest.approx([10, 8, 1])
    assert number(tube.area, "mm^2") == pytest.approx(28.2743, rel=1e-5)
    assert number(tube.I, "mm^4") == pytest.approx(289.81, rel=1e-4)
    assert number(tube.J, "mm^4") == pytest.approx(579.62, rel=1e-4)


def test_metal_tube_by_hand():
    """E A, E I, G J, G A, rho A of the annulus; Cowper's coefficient for m = 0.8, nu = 0.3."""
    tube = tc.Tube(STEEL, od="10 mm", id="8 mm")
    area, second, g = 28.2743e-6, 289.81e-12, 200e9 / 2.6
    assert number(tube.EA, "N") == pytest.approx(200e9 * area, rel=1e-4)
    assert number(tube.EI, "N m^2") == pytest.approx(200e9 * second, rel=1e-4)
    assert number(tube.GJ, "N m^2") == pytest.approx(2 * g * second, rel=1e-4)
    assert number(tube.GA, "N") == pytest.approx(g * area, rel=1e-4)
    assert number(tube.mass_per_length, "g/m") == pytest.approx(7900 * area * 1e3, rel=1e-4)
    assert number(tube.Ex, "GPa") == pytest.approx(200)
    assert number(tube.Ehoop, "GPa") == pytest.approx(200)
    assert number(tube.Gxy, "GPa") == pytest.approx(76.923, rel=1e-4)
    assert number(tube.nuxy, "") == pytest.approx(0.3)
    q, m = (1 + 0.64) ** 2, 0.8
    cowper = 6 * 1.3 * q / ((7 + 6 * 0.3) * q + (20 + 12 * 0.3) * m**2)
    assert number(tube.shear_coefficient, "") == pytest.approx(cowper, rel=1e-9)
    column = tube.specific.iloc[0]
    assert column["tension_per_mass_kN_m_per_kg"] == pytest.approx(400e6 / 7900 / 1e3)
    assert column["EA_per_mass_MN_m_per_kg"] == pytest.approx(200e9 / 7900 / 1e6)


def test_deflections_of_a_metal_tube_by_hand():
    """Bending and shear written out, k G A with Cowper's k = 0.5378 for m = 0.8."""
    tube = tc.Tube(STEEL, od="10 mm", id="8 mm")
    ei, kga = 200e9 * 289.81e-12, number(tube.shear_coefficient, "") * 76.923e9 * 28.2743e-6
    p, span = 100.0, 0.3
    by_hand = {
        "three-point": p * span**3 / 48 / ei + p * span / 4 / kga,
        "four-point": 23 * p * span**3 / 1296 / ei + p * span / 6 / kga,
        "uniform": 5 * p * span**3 / 384 / ei + p * span / 8 / kga,
        "cantilever": p * span**3 / 3 / ei + p * span / kga,
    }
    for kind, expected in by_hand.items():
        found = tube.deflection(kind, load="100 N", span="300 mm")
        assert number(found, "m") == pytest.approx(expected, rel=1e-4), kind
    twist = tube.twist(torque="5 N m", length="155 mm")
    assert number(twist, "rad") == pytest.approx(5 * 0.155 / (76.923e9 * 579.62e-12), rel=1e-4)


@pytest.mark.parametrize("key", KEYS)
def test_array_equals_single_tubes(key):
    ods = [8.0, 12.5, 25.0, 60.0]
    many = tc.Tube(key, od=tc.Q_(ods, "mm"), wall="1 mm")
    assert len(many) == 4
    for n, od in enumerate(ods):
        one = tc.Tube(key, od=f"{od} mm", wall="1 mm")
        for name in ("EA", "EI", "GJ", "GA", "mass_per_length", "area", "I", "J", "wall", "id"):
            assert float(getattr(many, name).magnitude[n]) == pytest.approx(
                float(getattr(one, name).magnitude), rel=1e-12
            ), name
        np.testing.assert_allclose(
            many.specific.iloc[n].to_numpy(float), one.specific.iloc[0].to_numpy(float), rtol=1e-9
        )


def test_walls_and_bores_may_be_arrays_too():
    tube = tc.Tube("roll-wrapped", od=["20 mm", "20 mm", "30 mm"], wall=["1 mm", "2 mm", "2 mm"])
    assert tube.wall.to("mm").magnitude == pytest.approx([1.0, 2.0, 2.0])
    bore = tc.Tube("6061-T6", od=tc.Q_([20, 30], "mm"), id=tc.Q_([18, 26], "mm"))
    assert bore.wall.to("mm").magnitude == pytest.approx([1.0, 2.0])


def test_bore_is_kept_when_the_wall_is_rounded():
    """The mandrel sets the bore: with id and wall the outside follows from whole plies."""
    tube = tc.Tube("roll-wrapped", id="18 mm", wall="1.1 mm")
    assert number(tube.wall, "mm") == pytest.approx(1.0)
    assert number(tube.id, "mm") == pytest.approx(18)
    assert number(tube.od, "mm") == pytest.approx(20)


def test_own_stack_takes_its_wall_from_the_plies():
    wall = tc.Layup.from_notation("[90/0_3/90]", "carbon-sm-ud", "0.2 mm")
    by_od, by_id = tc.Tube(wall, od="20 mm"), tc.Tube(wall, id="18 mm")
    assert number(by_od.id, "mm") == pytest.approx(18)
    assert number(by_id.od, "mm") == pytest.approx(20)
    assert by_od.EI.magnitude == pytest.approx(by_id.EI.magnitude)
    with pytest.raises(tc.InputError, match="the wall is not that of the stack"):
        tc.Tube(wall, od="20 mm", wall="2 mm")


def test_key_name_and_object_are_the_same_tube():
    by_key = tc.Tube("6063-T6", od="20 mm", wall="1 mm")
    for other in ("6063 T6", "6063", "6063-T6 aluminium", by_key.construction):
        assert tc.Tube(other, od="20 mm", wall="1 mm").EI.magnitude == by_key.EI.magnitude


def test_all_axial_tube_by_hand():
    """Pultruded: E1 A, E1 I, G12 J, since nothing couples in a wall of one axial ply."""
    tube = tc.Tube("pultruded", od="10 mm", id="8 mm")
    ply = tube.layup.plies[0].values
    assert number(tube.EA, "N") == pytest.approx(ply.E1 * 28.2743e-6, rel=1e-4)
    assert number(tube.EI, "N m^2") == pytest.approx(ply.E1 * 289.81e-12, rel=1e-4)
    assert number(tube.GJ, "N m^2") == pytest.approx(ply.G12 * 579.62e-12, rel=1e-4)
    row = tube.specific.iloc[0]
    mass = ply.density * 28.2743e-6
    assert row["tension_per_mass_kN_m_per_kg"] == pytest.approx(
        ply.Xt * 28.2743e-6 / mass / 1e3, rel=1e-4
    )
    assert row["compression_per_mass_kN_m_per_kg"] == pytest.approx(
        ply.Xc / ply.density / 1e3, rel=1e-4
    )


@pytest.mark.parametrize("mode", [1, 2, 3])
def test_frequency_of_a_slender_pinned_tube_by_hand(mode):
    """F = n^2 pi / 2 sqrt(E I / (m L^4)); the span is 300 diameters, shear is below 0.02 %."""
    tube = tc.Tube(STEEL, od="10 mm", id="8 mm")
    ei, m = 200e9 * 289.81e-12, 7900 * 28.2743e-6
    by_hand = mode**2 * math.pi / 2 * math.sqrt(ei / m) / 3.0**2
    assert number(tube.frequency(length="3 m", mode=mode), "Hz") == pytest.approx(by_hand, rel=2e-3)
    if mode == 1:
        assert number(tube.critical_speed(length="3 m"), "rpm") == pytest.approx(
            60 * by_hand, rel=2e-3
        )


def test_critical_loads_of_a_thin_metal_tube_by_hand():
    """Long thin steel cylinder, R = 49.5, t = 1 mm, nu = 0.3.

    axial (n^2 - 1) / (n^2 + 1) = 0.6 of 2 pi E t^2 / sqrt(3 (1 - nu^2)): hoop bending 9 D / R^4 and
    stretching E t R^2 a^4 / 16 of w = sin(a x) cos(2 theta) over 1.25 a^2 N, least over a;
    pressure E / (4 (1 - nu^2)) (t / R)^3; shear and hoop stretch take up to 0.4 %; bending the
    lower of pi R E t^2 / sqrt(3 (1 - nu^2)) and 1.089 pi R sqrt(E t D), less a tenth; torsion
    2 pi R^2 t E / (3 sqrt(2)) (t / R)^1.5 / (1 - nu^2)^(3/4) (Schwerin 1924; Timoshenko & Gere
    1961, sec. 11.11: 0.236; Donnell's equations, not right for two waves round, make it 0.272).
    """
    tube = tc.Tube(STEEL, od="100 mm", wall="1 mm")
    r, t, e = 49.5e-3, 1e-3, 200e9
    root = math.sqrt(3 * 0.91)
    assert number(tube.critical("axial"), "N") == pytest.approx(
        0.6 * 2 * math.pi * e * t**2 / root, rel=4e-3
    )
    pressure = e / (4 * 0.91) * (t / r) ** 3
    assert number(tube.critical("pressure"), "Pa") == pytest.approx(pressure, rel=1e-3)
    d = e * t**3 / (12 * 0.91)
    oval = 1.089 * math.pi * r * math.sqrt(e * t * d)
    local = math.pi * r * e * t**2 / root
    assert number(tube.critical("bending"), "N m") == pytest.approx(
        0.9 * min(oval, local), rel=2e-3
    )
    torsion = 2 * math.pi * r**2 * t * e / (3 * 2**0.5) * (t / r) ** 1.5 / 0.91**0.75
    for kind in ("torsion+", "torsion-"):
        assert number(tube.critical(kind), "N m") == pytest.approx(torsion, rel=1e-2)


def test_pinch_of_a_thin_metal_ring_by_hand():
    """Loss of diameter 0.1488 q R^3 / D, D = E t^3 / (12 (1 - nu^2)); stretch and shear 0.4 %."""
    tube = tc.Tube(STEEL, od="100 mm", wall="1 mm")
    d = 200e9 * 1e-9 / (12 * 0.91)
    by_hand = 0.14878 * 1000 * 49.5e-3**3 / d
    assert number(tube.pinch(per_length="1 N/mm"), "m") == pytest.approx(by_hand, rel=5e-3)


@pytest.mark.parametrize("key", KEYS)
def test_stronger_tubes_are_never_weaker_by_a_thicker_wall(key):
    """More wall at one diameter: EA, EI, GJ, strengths and mass all rise, whole plies or not."""
    walls = np.arange(0.5, 4.01, 0.25)
    tube = tc.Tube(key, od=tc.Q_(np.full(len(walls), 30.0), "mm"), wall=tc.Q_(walls, "mm"))
    for name in ("EA", "EI", "GJ", "mass_per_length"):
        assert (np.diff(getattr(tube, name).magnitude) >= -1e-9).all(), name


@pytest.mark.parametrize(
    "key", [k for k in KEYS if "roll" in k or k in ("pultruded", "pull-wound")]
)
def test_strength_of_carbon_tubes_lies_below_all_axial(key):
    """No carbon wall pulls more than the same area of axial fibre, nor less than a tenth of it."""
    tube = tc.Tube(key, od="20 mm", wall="1.5 mm")
    ply = tc.Tube("pultruded", od="20 mm", wall="1.5 mm").layup.plies[0].values
    most = ply.Xt / ply.density / 1e3
    found = tube.specific.iloc[0]["tension_per_mass_kN_m_per_kg"]
    assert 0.1 * most < found <= most * (1 + 1e-9)


def test_text_of_a_tube_names_its_size():
    assert repr(tc.Tube("pultruded", od="10 mm", id="8 mm")) == "Tube('pultruded', 10 x 8 mm)"


def test_a_size_outside_the_usual_range_is_computed_and_flagged():
    """Pultruded tubes are usual from 0.7 to 12 mm; a 30 mm one is computed with a caution."""
    ask = tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "-75 N"\nspan = "760 mm"')
    large = tc.check(tc.Tube("pultruded", od="30 mm", wall="1 mm"), ask)
    usual = tc.check(tc.Tube("pultruded", od="10 mm", wall="1 mm"), ask)
    assert large.passes
    assert [c for c in large.cautions if "outside what is usual for pultruded" in c]
    assert not [c for c in usual.cautions if "outside what is usual" in c]


def test_a_plain_metal_end_yields_at_its_area_times_yield():
    """6063-T6 with 215 MPa and 28.27 mm2 bears 6079 N at a plain end."""
    ask = tc.Need.from_toml(
        '[[case]]\nkind = "strut"\nload = "-3 kN"\nspan = "50 mm"\nend_fitting = "plain"'
    )
    alloy = tc.Metal("alloy", E="69 GPa", nu=0.33, density="2.7 g/cm3", yield_strength="215 MPa")
    table = tc.check(tc.Tube(alloy, od="10 mm", id="8 mm"), ask).table.set_index("check")
    assert table.loc["end_crush", "capacity"] == pytest.approx(215 * math.pi / 4 * 36, rel=1e-9)


def test_a_shaft_held_at_its_bearings_whirls_faster():
    """Built-in against pinned bearings: (4.7300 / pi)^2 = 2.267 for a slender steel shaft."""
    text = '[[case]]\nkind = "shaft"\ntorque = "1 N m"\nspeed = "100 rpm"\nspan = "3 m"\n'
    tube = tc.Tube("304", od="20 mm", wall="1 mm")
    pinned, held = (
        tc.check(tube, tc.Need.from_toml(text + f'ends = "{ends}"')).reserve["whirl"]
        for ends in ("pinned-pinned", "fixed-fixed")
    )
    assert held / pinned == pytest.approx((4.7300 / math.pi) ** 2, rel=2e-3)  # shear is small


@pytest.mark.parametrize(
    ("ply", "flows"),
    [
        ("carbon-woven", True),  # 56 GPa along: softer than some glass, and carries current
        ("carbon-sm-ud", True),
        ("glass-ud", False),
        ("glass-woven", False),
        (tc.Ply("plain cloth", E1="52 GPa", E2="52 GPa", G12="4 GPa", nu12=0.05,
             density="1.5 g/cm3"), True),
        (tc.Ply("S-glass straight", E1="55 GPa", E2="16 GPa", G12="7.6 GPa", nu12=0.28,
             density="2 g/cm3"), False),
        (tc.Ply("aramid straight", E1="76 GPa", E2="5.5 GPa", G12="2.1 GPa", nu12=0.34,
             density="1.38 g/cm3"), False),
        (tc.Ply("own tape", E1="120 GPa", E2="8 GPa", G12="4 GPa", nu12=0.3,
             density="1.55 g/cm3"), True),
    ],
)  # fmt: skip
def test_carbon_in_an_own_stack_carries_current(ply, flows) -> None:
    """Common practice, no source: carbon conducts, glass and aramid do not."""
    need = tc.Need.from_toml(
        'format = 1\n[[case]]\nname = "pull"\nkind = "strut"\nload = "10 N"\nspan = "1 m"\n'
    )
    layup = tc.Layup.of([(ply, 0, "0.2 mm"), (ply, 90, "0.2 mm")])
    cautions = " ".join(tc.check(tc.Tube(layup, od="20 mm"), need).cautions)
    assert ("power lines and lightning." in cautions) is flows
