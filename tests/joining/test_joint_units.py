"""Joints speak the display system: in inches nothing metric is left, and the numbers agree."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

import tubecalc as tc
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.joining import bond_words, fit_words
from tubecalc.joining.adhesives import Adhesive
from tubecalc.joining.fits import fit
from tubecalc.joining.growth import assembly, athermal, expansion_of
from tubecalc.joining.heat import weakest
from tubecalc.joining.iso286 import iso_fit
from tubecalc.joining.job_joints import joint_rows, with_joint
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.joining.mechanical import bolt
from tubecalc.joining.nested import nested, telescope
from tubecalc.joining.sun import in_the_sun
from tubecalc.joining.trim import thinned
from tubecalc.joining.tube_sizes import band_of
from tubecalc.joining.wear import wear
from tubecalc.share.bond_curve import curve_picture
from tubecalc.share.bond_picture import bond_picture
from tubecalc.share.fit_picture import fit_picture
from tubecalc.share.scene import Scene, Words
from tubecalc.tube import Tube
from tubecalc.unit_words import Spoken, say

# By definition: inch and pound of 1959, standard gravity of 1901, Fahrenheit by its two points.
INCH, POUND = 0.0254, 0.45359237 * 9.80665
TO_SI: dict[str, Callable[[float], float]] = {
    "mm": lambda x: x * 1e-3, "µm": lambda x: x * 1e-6, "in": lambda x: x * INCH,
    "N": float, "kN": lambda x: x * 1e3, "lbf": lambda x: x * POUND,
    "N m": float, "lbf in": lambda x: x * POUND * INCH,
    "MPa": lambda x: x * 1e6, "psi": lambda x: x * POUND / INCH**2,
    "ksi": lambda x: x * 1e3 * POUND / INCH**2,
    "°C": float, "degC": float, "°F": lambda x: (x - 32.0) / 1.8,
    "K": float, "Δ°F": lambda x: x / 1.8,
    "µm/K": lambda x: x * 1e-6, "µin/°F": lambda x: x * 1e-6 * INCH * 1.8,
}  # fmt: skip
METRIC = {"mm", "µm", "N", "kN", "N m", "MPa", "°C", "degC", "K", "µm/K"}
_UNITS = "|".join(sorted(map(re.escape, TO_SI), key=len, reverse=True))
_VALUE = re.compile(
    rf"([-+−]?(?:\d{{1,3}}(?:[ \u202f]\d{{3}})+|\d+)(?:\.\d+)?) ({_UNITS})(?![\w/°])"
)

NEED = '[[case]]\nkind = "strut"\nload = "1 kN"\nspan = "0.5 m"\n[factors]\nstrength = 1.5'
WRAP = Candidate("roll-wrapped-woven", 0.03, 0.026)
TUBE = Tube("roll-wrapped-woven", od="30 mm", id="26 mm")
STEEL = {"of": "304", "wall": "1 mm"}
BOND = {"insert": "6061-T6", "insert_wall": "3 mm", "overlap": "30 mm", "axial": "5 kN"}
SPECS = {
    "bond": JointSpec("bond", given=BOND),
    "fit": JointSpec("fit", given={"inner": {**STEEL, "od": "25.5 mm"}, "overlap": "80 mm",
                                   "temperature": ["-20 degC", "60 degC"]}),
    "size on size": JointSpec("fit", given={"inner": {**STEEL, "od": "26 mm"}}),
    "loose": JointSpec("fit", given={"inner": {**STEEL, "od": "22 mm"}, "bore": "0/-0.1 mm"}),
    "press": JointSpec("press", given={"inner": {**STEEL, "od": "26.06 mm"}, "overlap": "30 mm",
                                       "outside": "0.01 mm", "bore": "0.01 mm"}),
    "bolt": JointSpec("bolt", given={"hole": "5 mm", "load": "3 kN", "edge_distance": "15 mm"}),
    "bolt in the end": JointSpec("bolt", given={"hole": "5 mm", "load": "3 kN",
                                                "edge_distance": "6 mm"}),
    "bolt that bears": JointSpec("bolt", given={"hole": "3 mm", "load": "3 kN"}),
    "pin": JointSpec("pin", given={"hole": "2 mm", "load": "1 kN", "pin": "304"}),
    "clamp": JointSpec("clamp", given={"length": "20 mm", "screw": "5 mm", "load": "300 N"}),
    "thread": JointSpec("thread"),
    "pole": JointSpec("pole", given={"count": 3, "gap": "0.3 mm", "length": "1 m",
                                     "overlap": "120 mm", "load": "2 N", "droop": "10 mm"}),
    "heat": JointSpec("heat", given={"temperature": "70 degC", "adhesive": "epoxy-tough",
                                     "insert": "6061-T6"}),
    "sun": JointSpec("heat", given={"sun": {"air": "35 degC", "wind": "2 m/s"}}),
    "growth": JointSpec("growth", given={"length": "1 m", "rise": "40 K", "other": "6061-T6",
                                         "other_length": "-100 mm", "allowed": "0.2 mm"}),
    "growth not judged": JointSpec("growth", given={"length": "1 m", "rise": "-40 K",
                                                    "other": "6061-T6"}),
    "refused": JointSpec("bond", given={**BOND, "gap": "2 mm"}),
    "too hot": JointSpec("bond", given={**BOND, "temperature": "90 degC"}),
    "hole too wide": JointSpec("bolt", given={"hole": "50 mm", "load": "1 kN"}),
    "larger than the bore": JointSpec("fit", given={"inner": {**STEEL, "od": "27 mm"}}),
}  # fmt: skip


def values(text: str) -> list[tuple[float, str, float]]:
    """Every value of a text: number, unit, half of its last digit."""
    out = []
    for number, unit in _VALUE.findall(text):
        plain = number.replace("\u202f", "").replace(" ", "").replace("−", "-")
        places = len(plain.partition(".")[2])
        out.append((float(plain), unit, 0.5 * 10.0**-places))
    return out


def agree(metric: str, inch: str) -> int:
    """Hold an inch text against its metric one; how many values they share.

    Tolerance: half the last digit of each, and 0.6 % for values rounded to two or three digits.
    """
    left = [v for v in values(inch) if v[1] in METRIC]
    assert not left, inch
    one, two = values(metric), values(inch)
    assert len(one) == len(two), (metric, inch)
    for (a, unit_a, half_a), (b, unit_b, half_b) in zip(one, two, strict=True):
        to_a, to_b = TO_SI[unit_a], TO_SI[unit_b]
        room = abs(to_a(a + half_a) - to_a(a)) + abs(to_b(b + half_b) - to_b(b))
        assert to_b(b) == pytest.approx(to_a(a), abs=1.05 * room + 1e-12, rel=6e-3), (metric, inch)
    return len(one)


def test_the_reader_of_this_test_sees_what_is_wrong() -> None:
    assert values("1\u202f200 mm at −20 °C, 5 N m") == [
        (1200.0, "mm", 0.5), (-20.0, "°C", 0.5), (5.0, "N m", 0.5)
    ]  # fmt: skip
    assert agree("25.4 mm and 100 °C", "1 in and 212 °F") == 2
    for wrong in ("25.4 mm and 212 °F", "1.1 in and 212 °F", "1 in", "1 in and 200 °F"):
        with pytest.raises(AssertionError):
            agree("25.4 mm and 100 °C", wrong)


@pytest.mark.parametrize("name", SPECS)
def test_every_kind_of_joint_is_said_in_inches_with_the_same_values(name) -> None:
    job = with_joint(Job(tc.Need.from_toml(NEED), (WRAP,)), WRAP, SPECS[name])
    (metric,), (inch,) = joint_rows(job), joint_rows(replace(job, units="inch"))
    count = agree(metric.why, inch.why)
    assert count > 0 or name in ("bond", "thread")
    assert say(metric.why, "inch") == inch.why
    assert say(inch.why, "SI") == metric.why
    assert (metric.passes, metric.grade) == (inch.passes, inch.grade)
    assert metric.reserve == pytest.approx(inch.reserve, nan_ok=True)


def test_every_way_a_bolt_fails_is_said_in_inches() -> None:
    found = bolt(TUBE, hole="5 mm", load="3 kN", edge_distance="15 mm", pin="304")
    told = [agree(x.why, say(x.why, "inch")) for x in found.limits]
    assert len(told) == 5
    assert sum(told) >= 6


BONDS = {
    "plain": {},
    "long": {"overlap": "120 mm"},
    "hot and cold": {"temperature": ["-20 degC", "40 degC"]},
    "thick": {"gap": "0.5 mm", "off_centre": "0.2 mm"},
    "thin": {"gap": "0.05 mm"},
    "with a ply": {"barrier": "0.1 mm"},
}


@pytest.mark.parametrize("name", BONDS)
def test_cautions_and_pictures_of_a_bond_are_said_in_inches(name) -> None:
    made = tc.bond(TUBE, **{**BOND, **BONDS[name]})
    metric, inch = (bond_words.cautions(made, s) for s in ("SI", "inch"))
    assert metric == made.cautions
    assert len(metric) == len(inch)
    assert sum(agree(a, b) for a, b in zip(metric, inch, strict=True)) >= 3
    agree(made.broke_at("2 kN"), say(made.broke_at("2 kN"), "inch"))
    one, two = (bond_picture(made, system=s) for s in ("SI", "inch"))
    agree(one.says, two.says)
    assert not [v for t in texts(two) for v in values(t) if v[1] in METRIC]
    assert "shear stress, ksi" in texts(two)
    assert "shear stress, MPa" in texts(one)


def texts(scene: Scene) -> list[str]:
    return [x.text for x in scene.shapes if isinstance(x, Words)]


def test_stress_in_the_picture_of_a_bond_is_that_of_the_bond() -> None:
    made = tc.bond(TUBE, **BOND)
    average = made.average_shear.to("Pa").m / (1e3 * POUND / INCH**2)
    assert f"average {average:.3g}" in texts(bond_picture(made, system="inch"))


def test_curve_and_fit_pictures_hold_nothing_metric_in_inches() -> None:
    made = tc.bond(TUBE, **BOND)
    many = tc.bond(TUBE, **{**BOND, "overlap": ["10 mm", "30 mm", "60 mm"]})
    slides = fit(Tube("304", od="25.5 mm", wall="1 mm"), TUBE, temperature="60 degC")
    for scene in (curve_picture(made, many, "inch"), fit_picture(slides, "inch")):
        for text in (*texts(scene), scene.says):
            assert not [v for v in values(text) if v[1] in METRIC], text


def test_cautions_of_a_fit_are_said_in_inches() -> None:
    inner = Tube("roll-wrapped-woven", od="25.9 mm", wall="1 mm")
    for known in ({}, {"outside": "+/-0.05 mm", "bore": "0/-0.1 mm"}, {"ground": True}):
        found = fit(inner, TUBE, overlap="80 mm", **known)
        metric, inch = (fit_words.cautions(found, s) for s in ("SI", "inch"))
        assert sum(agree(a, b) for a, b in zip(metric, inch, strict=True)) >= 2
    stated = fit(inner, TUBE, outside="0/-0.1 mm", bore="0.05 mm")
    said = fit_words.cautions(stated, "inch")
    assert "stated: +0/-0.003937 in" in said[0]
    assert "stated: +/-0.001969 in" in said[1]


def test_heat_sun_growth_and_wear_are_said_in_inches() -> None:
    hot = weakest(TUBE, temperature="70 degC", adhesive="epoxy-tough", insert="6061-T6")
    cool = weakest(TUBE, temperature="30 degC", adhesive_glass="90 degC", wet=True)
    said = [hot.why, cool.why, *(m.why for m in (*hot.members, *cool.members))]
    said += [in_the_sun(TUBE).why, athermal(TUBE, "6061-T6", length="1 m").why]
    inner = Tube("pultruded", od="25.7 mm", wall="1 mm")
    said.append(wear(inner, TUBE, cycles=5000, stroke="1 m", load="20 N", touch="20 mm").why)
    assert sum(agree(x, say(x, "inch")) for x in said) >= 18


def test_whole_degrees_are_those_of_the_scale() -> None:
    """28 K below a glass transition of 54 degC: 26 degC; in Fahrenheit 129, 79 and 50."""
    found = weakest("pultruded", temperature="20 degC", adhesive_glass="54 degC")
    assert say(found.members[1].why, "inch") == ("50 Δ°F below its glass transition of 129 °F dry")
    assert "good to 79 °F, 68 °F asked, 11 Δ°F to spare" in say(found.why, "inch")


PLUG = Tube("304", od="25.6 mm", wall="2 mm")
POLE = telescope("pultruded", od="20 mm", wall="1 mm", count=3, gap="0.3 mm")
REFUSED: dict[str, Callable[[], object]] = {
    "gap of nothing": lambda: tc.bond(TUBE, "304", overlap="20 mm", gap="0 mm"),
    "gap too wide": lambda: tc.bond(TUBE, "304", overlap="20 mm", gap="0.9 mm"),
    "no room": lambda: tc.bond(TUBE, "304", overlap="20 mm", gap="0.5 mm",
                               insert_wall="14 mm"),
    "no wall": lambda: tc.bond(TUBE, "304", overlap="20 mm", place="over"),
    "insert too large": lambda: tc.bond(TUBE, Tube("304", od="27 mm", wall="2 mm"),
                                        overlap="20 mm"),
    "gap against sizes": lambda: tc.bond(TUBE, PLUG, overlap="20 mm", gap="0.3 mm"),
    "overlap too long": lambda: tc.bond(TUBE, PLUG, overlap="20 mm", tube_length="15 mm"),
    "taper too long": lambda: tc.bond(TUBE, PLUG, overlap="20 mm", taper="25 mm"),
    "off centre": lambda: tc.bond(TUBE, PLUG, overlap="20 mm", off_centre="0.3 mm"),
    "too hot": lambda: tc.bond(TUBE, PLUG, overlap="20 mm", temperature="60 degC"),
    "gaps fall": lambda: Adhesive.of("x", gap_best="5 mm"),
    "hole as the bore": lambda: bolt(TUBE, hole="26 mm", load="1 kN"),
    "hole at the end": lambda: bolt(TUBE, hole="5 mm", load="1 kN", edge_distance="1 mm"),
    "inner too large": lambda: fit(Tube("304", od="27 mm", wall="1 mm"), TUBE),
    "two nominals": lambda: fit(Tube("304", od="25 mm", wall="1 mm"), TUBE, iso="H7/g6"),
    "press too hard": lambda: fit(Tube("304", od="27 mm", wall="1 mm"), TUBE, press=True),
    "oval": lambda: fit(Tube("304", od="25 mm", wall="1 mm"), TUBE, out_of_round="-1 mm"),
    "no tolerance": lambda: fit(Tube(tc.Metal("x", E="70 GPa", nu=0.3, density="2.7 g/cm3"),
                                     od="25 mm", wall="1 mm"), TUBE),
    "wide": lambda: band_of(0.01, "5 mm", bore=False, where="x"),
    "less than nothing": lambda: band_of(0.01, tc.Q_(-0.1, "mm"), bore=False, where="x"),
    "far": lambda: band_of(0.01, ["15 mm"], bore=False, where="x"),
    "none measured": lambda: band_of(0.01, [], bore=False, where="x"),
    "no sign": lambda: band_of(0.01, "0.2/0.1 mm", bore=False, where="x"),
    "no unit": lambda: band_of(0.01, "0/-0.1", bore=False, where="x"),
    "beyond the tables": lambda: iso_fit(0.6, "H7/g6"),
    "no room in the pole": lambda: telescope("pultruded", od="8 mm", wall="1 mm", count=9,
                                             gap="0.3 mm"),
    "gap of the pole": lambda: telescope("pultruded", od="8 mm", wall="1 mm", count=2, gap="0 mm"),
    "overlap of the pole": lambda: nested(POLE, length="1 m", overlap="2 m"),
    "both overlaps": lambda: nested(POLE, length="1 m", overlap="0.6 m"),
    "whole wall": lambda: thinned(TUBE, 5e-3),
    "worn through": lambda: wear(Tube("304", od="25 mm", wall="1 mm"), TUBE, cycles=1e9,
                                 stroke="1 m", load="20 N", touch="20 mm", gritty=True),
    "too alike": lambda: athermal("20e-6 /K", "23e-6 /K", length="1 m"),
    "no expansion": lambda: expansion_of(Tube(
        tc.Ply("own", E1="130 GPa", E2="9 GPa", G12="4 GPa", nu12=0.3, density="1.5 g/cm3"),
        od="20 mm", wall="1 mm")),
    "wall and radius": lambda: Tube("304", od="10 mm", wall="6 mm"),
    "bore and outside": lambda: Tube("304", od="10 mm", id="12 mm"),
    "sizes that clash": lambda: Tube("304", od="10 mm", id="8 mm", wall="2 mm"),
    "no part": lambda: assembly([], rise="10 K"),
}  # fmt: skip


EXAMPLES = {  # what to write instead is an example to copy, of round numbers in either system
    "no wall", "oval", "no tolerance", "less than nothing", "none measured", "no sign", "no unit",
    "gap of the pole", "no expansion",
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_a_refusal_names_its_limit_in_inches(name) -> None:
    with pytest.raises(InputError) as hit:
        REFUSED[name]()
    error = hit.value
    assert str(error) == error.said("SI")
    typed = "" if isinstance(error.got, Spoken) else str(error.got)  # stays as it was typed
    metric, inch = (error.said(s).replace(f'got "{typed}"', "") for s in ("SI", "inch"))
    assert not [v for v in values(inch) if v[1] in METRIC], inch
    if name in EXAMPLES:
        assert metric != inch
    else:
        agree(metric, inch)
