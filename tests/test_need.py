"""The need: what a file says is what is used, and what is written reads back exactly."""

from __future__ import annotations

import math
from dataclasses import fields

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.datafiles import data_dir
from tubecalc.loads import section_loads
from tubecalc.need_parts import ENDS, KINDS, Case, Factors, Limits, Service

G0 = 9.80665
sizes = st.floats(1e-6, 1e6)
signed = st.one_of(sizes, sizes.map(lambda x: -x))
texts = st.text(max_size=30)


def maybe(values):
    return st.one_of(st.just(math.nan), values)


@st.composite
def cases(draw):
    kind = draw(st.sampled_from(sorted(KINDS)))
    values = {"kind": kind, "name": draw(texts), "guides": draw(st.integers(0, 5))}
    if kind in ("strut", "combined", "cantilever"):
        values["ends"] = draw(st.one_of(st.sampled_from(sorted(ENDS)), st.floats(0.1, 5.0)))
    elif kind == "uniform":
        values["ends"] = draw(st.sampled_from(("pinned-pinned", "fixed-free")))
    for name in ("tip_mass", "roller_width"):
        values[name] = draw(st.one_of(st.just(0.0), sizes))
    for name in ("axial", "moment", "shear"):
        values[name] = draw(st.one_of(st.just(0.0), signed))
    values["torque"] = draw(signed)
    if kind != "pressure":
        values["load"] = draw(signed)
    if kind in ("pressure", "combined"):
        values["p_in"], values["p_out"] = draw(sizes), draw(maybe(sizes))
        values["closed"] = draw(st.booleans())
    if kind == "shaft":
        values["overhang"] = draw(sizes)
    if kind in ("strut", "three-point", "four-point", "uniform", "cantilever"):
        values["own_weight"] = draw(st.booleans())
    values["touch"] = draw(st.sampled_from(("roller", "saddle", "clamp", "bolt")))
    values["saddle_angle"], values["hole"] = draw(st.floats(0.1, 6.28)), draw(sizes)
    values["edge_distance"] = draw(maybe(st.just(values["hole"] * draw(st.floats(0.6, 20)))))
    values["hole_place"] = draw(st.sampled_from(("face", "side")))
    values["plug"], values["cycles"] = draw(st.booleans()), draw(maybe(st.floats(1, 1e9)))
    values["span"], values["speed"] = draw(sizes), draw(maybe(sizes))
    if kind == "four-point":
        values["inner_span"] = draw(maybe(st.just(values["span"] * draw(st.floats(0.01, 0.99)))))
    values["end_fitting"] = draw(st.sampled_from(("bonded", "plain")))
    values["duration"] = draw(st.sampled_from(("short", "long", "cyclic")))
    return Case(**values)


limits = st.builds(Limits, **{f.name: maybe(sizes) for f in fields(Limits)})
services = st.builds(
    Service,
    temperature=maybe(st.floats(-200, 1000)), temperature_min=maybe(st.floats(-200, 1000)),
    contact_metal=texts, finish=st.sampled_from(("any", "smooth", "woven")),
    insert=st.sampled_from(("", "6061-T6", "304-annealed")),
    **{n: st.booleans() for n in ("sliding", "thread", "weld", "form", "insulating", "outdoor",
                                  "salt", "radio", "wet")},
)  # fmt: skip
factors = st.builds(
    Factors,
    strength=st.floats(0.1, 20), buckling=st.floats(0.1, 20),
    sustained=st.one_of(st.just(0.0), st.floats(0.01, 1)),
    fatigue=st.one_of(st.just(0.0), st.floats(0.01, 1)),
    bow=st.floats(0, 0.05), shell=st.floats(0, 1),
    bench=st.sampled_from(("", "pultruded crush 0.75", "own wall strength 0.9; 304 column 1")),
    criterion=st.sampled_from(("hashin", "tsai-wu", "max-stress", "max-strain", "tsai-hill")),
)  # fmt: skip
needs = st.builds(
    tc.Need, title=texts, cases=st.lists(cases(), min_size=1, max_size=4).map(tuple),
    limits=limits, service=services, factors=factors,
)  # fmt: skip


def close(a, b):
    """Equal but for the last bits of a temperature, which passes through kelvin."""
    if isinstance(a, float) and isinstance(b, float):
        return (math.isnan(a) and math.isnan(b)) or a == pytest.approx(b, rel=1e-15, abs=1e-8)
    return a == b


@settings(max_examples=120, deadline=None)
@given(needs)
def test_what_is_written_reads_back_exactly(need):
    back = tc.Need.from_toml(need.to_toml())
    assert back.title == need.title
    assert back.cases == need.cases or all(
        repr(a) == repr(b) for a, b in zip(back.cases, need.cases, strict=True)
    )
    assert repr(back.limits) == repr(need.limits)
    assert back.factors == need.factors
    for f in fields(Service):
        assert close(getattr(back.service, f.name), getattr(need.service, f.name)), f.name
    assert tc.Need.from_toml(back.to_toml()) == back


@pytest.mark.parametrize("path", sorted((data_dir() / "jobs").glob("*.toml")), ids=lambda p: p.stem)
def test_demo_jobs_round_trip(path):
    need = tc.Need.from_toml(path)
    assert tc.Need.from_toml(str(path)) == need
    assert tc.Need.from_toml(path.read_text(encoding="utf-8")) == need
    assert tc.Need.from_toml(need.to_toml()) == need
    assert need.title
    assert need.cases


def test_written_to_a_file_and_read_with_a_byte_order_mark(tmp_path):
    need = tc.Need.from_toml('title = "Höhe ½"\n[[case]]\nkind = "strut"\nload = "1 N"\nspan="1 m"')
    path = tmp_path / "need.toml"
    path.write_text(need.to_toml(), encoding="utf-8-sig")
    assert tc.Need.from_toml(path) == need


def test_units_of_the_shop_are_read():
    """200 kgf is 1961.33 N, 5/8 in 15.875 mm, 100 lbf in 11.298 N m, 140 degF 60 degC: by hand."""
    need = tc.Need.from_toml(
        '[[case]]\nkind = "strut"\nload = "-200 kgf"\nspan = "2 ft 6 in"\n'
        '[[case]]\nkind = "shaft"\ntorque = "100 lbf in"\nspeed = "3000 rpm"\nspan = "1 m"\n'
        '[limits]\nod_max = "5/8 in"\nslope = "1 deg"\n[service]\ntemperature = "140 degF"\n'
    )
    strut, shaft = need.cases
    assert strut.load == pytest.approx(-200 * G0)
    assert strut.span == pytest.approx(30 * 0.0254)
    assert shaft.torque == pytest.approx(100 * 0.45359237 * G0 * 0.0254)
    assert shaft.speed == pytest.approx(2 * math.pi * 50)
    assert need.limits.od_max == pytest.approx(0.015875)
    assert need.limits.slope == pytest.approx(math.pi / 180)
    assert need.service.temperature == pytest.approx(60.0)


def test_a_uniform_load_may_be_given_per_length():
    total, per = (
        tc.Need.from_toml(f'[[case]]\nkind = "uniform"\nload = "{x}"\nspan = "1.5 m"')
        for x in ("75 N", "50 N/m")
    )
    assert total == per


def test_length_is_another_word_for_span_and_case_may_be_one_table():
    a = tc.Need.from_toml('[case]\nkind = "strut"\nload = "1 N"\nlength = "1 m"')
    b = tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "1 N"\nspan = "1 m"')
    assert a == b


def test_defaults_are_neutral_and_shown():
    need = tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "-1 N"\nspan = "1 m"')
    assert (need.factors.strength, need.factors.buckling) == (1.0, 1.0)
    text = need.to_toml()
    assert "strength = 1.0" in text
    assert "buckling = 1.0" in text
    said = " ".join(tc.assumptions(need))
    for words in ("multiplied by 1 for strength and 1 for buckling", "2 mm per metre", "SP-8007",
                  "hashin", "typical"):  # fmt: skip
        assert words in said
    long = tc.Need.from_toml('[[case]]\nkind="strut"\nload="1 N"\nspan="1 m"\nduration="long"')
    assert any("no sustained-load knock-down" in a for a in tc.assumptions(long))


def test_with_case_changes_one_case_only():
    need = tc.Need.from_toml(
        '[[case]]\nkind="strut"\nload="1 N"\nspan="1 m"\n'
        '[[case]]\nkind="strut"\nload="2 N"\nspan="1 m"'
    )
    other = need.with_case(1, load=5.0)
    assert [c.load for c in other.cases] == [1.0, 5.0]
    assert [c.load for c in need.cases] == [1.0, 2.0]


@pytest.mark.parametrize(
    ("case", "moment", "shear", "axial", "torque"),
    [
        ('kind="three-point"\nload="100 N"\nspan="2 m"', 50, 50, 0, 0),  # P L / 4
        ('kind="four-point"\nload="100 N"\nspan="3 m"', 50, 50, 0, 0),  # P/2 x L/3
        ('kind="four-point"\nload="100 N"\nspan="3 m"\ninner_span="2 m"', 25, 50, 0, 0),
        ('kind="uniform"\nload="100 N"\nspan="2 m"', 25, 50, 0, 0),  # W L / 8
        ('kind="uniform"\nload="100 N"\nspan="2 m"\nends="fixed-free"', 100, 100, 0, 0),  # W L / 2
        ('kind="cantilever"\nload="-100 N"\nspan="2 m"', 200, 100, 0, 0),  # P L
        ('kind="strut"\nload="-100 N"\nspan="2 m"', 0, 0, -100, 0),
        ('kind="shaft"\ntorque="-7 N m"', 0, 0, 0, -7),
        ('kind="combined"\naxial="-5 N"\nmoment="-6 N m"\nshear="-2 N"\ntorque="7 N m"',
         6, 2, -5, 7),
    ],
)  # fmt: skip
def test_section_loads_of_every_kind(case, moment, shear, axial, torque):
    """Largest section loads by statics, worked out by hand beside each case."""
    found = section_loads(tc.Need.from_toml(f"[[case]]\n{case}\n").cases[0])
    assert (found.moment, found.shear, found.axial, found.torque) == pytest.approx(
        (moment, shear, axial, torque)
    )


STEEL = tc.Metal("steel", E="200 GPa", nu=0.3, density="7850 kg/m3", yield_strength="250 MPa")
# simply supported and fixed-free beams under an even load: Gere & Timoshenko, Mechanics of
# Materials, App. G (MEMORY)
OWN = {"three-point": (1 / 8, 5 / 384), "four-point": (1 / 8, 5 / 384), "uniform": (1 / 8, 5 / 384),
       "cantilever": (1 / 2, 1 / 8)}  # fmt: skip


@pytest.mark.parametrize("kind", OWN)
def test_own_weight_is_a_load_when_asked(kind):
    """A 20 x 18 steel tube of 4 m with next to no other load: w L^2 / 8 and 5 w L^4 / 384 EI."""
    area = math.pi * (0.010**2 - 0.009**2)
    weight, span = 7850 * area * G0, 4.0
    moment, sag = OWN[kind]
    text = f'[[case]]\nkind="{kind}"\nload="1e-9 N"\nspan="4 m"\nown_weight=%s\n'
    text += '[limits]\ndeflection="1 m"'
    tube = tc.Tube(STEEL, od="20 mm", id="18 mm")
    table = tc.check(tube, tc.Need.from_toml(text % "true")).table.set_index("check")
    assert table["demand"]["strength"] == pytest.approx(weight * span**2 * moment, rel=1e-6)
    bent = weight * span**4 * sag / (200e9 * math.pi / 4 * (0.010**4 - 0.009**4))
    assert table["demand"]["deflection"] == pytest.approx(bent * 1e3, rel=2e-3)  # shear adds
    assert table["demand"]["deflection"] > bent * 1e3
    free = tc.check(tube, tc.Need.from_toml(text % "false")).table.set_index("check")
    assert free["demand"]["strength"] < 1e-6


def test_own_weight_of_many_tubes_is_each_ones_own():
    need = tc.Need.from_toml(
        '[[case]]\nkind="cantilever"\nload="10 N"\nspan="2 m"\nown_weight=true'
    )
    table = tc.sweep(need, ["6063-T6", "pultruded"], od=("20 mm", "30 mm", "5 mm"),
                     wall=("1 mm", "2 mm", "0.5 mm"))  # fmt: skip
    for row in table.itertuples():
        tube = tc.Tube(row.construction, od=f"{row.od_mm} mm", wall=f"{row.wall_mm} mm")
        assert row.reserve_strength == pytest.approx(tc.check(tube, need).reserve["strength"])


def test_equal_needs_are_equal_and_hash_alike():
    text = '[[case]]\nkind="strut"\nload="1 N"\nspan="1 m"'
    a, b = tc.Need.from_toml(text), tc.Need.from_toml(text)
    assert a == b
    assert hash(a) == hash(b)
    assert a != b.with_case(0, load=2.0)
    assert a != "need"


def test_a_tip_mass_that_is_not_used_is_said():
    """Nothing that was entered is passed over in silence."""
    need = tc.Need.from_toml(
        '[[case]]\nkind = "strut"\nload = "-10 N"\nspan = "1 m"\ntip_mass = "1 kg"'
    )
    assert "The tip mass of a strut case is not used." in tc.assumptions(need)
    verdict = tc.check(tc.Tube("6063-T6", od="20 mm", wall="1 mm"), need)
    assert "The tip mass of a strut case is not used." in verdict.cautions
