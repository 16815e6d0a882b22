"""The paragraph for a quote: its numbers are the verdict's, its words are few and claim nothing."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.checks.registry import CHECKS
from tubecalc.job import Candidate, Job
from tubecalc.need import Case, Limits, Need, Service
from tubecalc.share.quote import MOST, quote_text

NEED = Need.from_toml("""
title = "Push rod"
[[case]]
name = "push"
kind = "strut"
load = "-900 N"
span = "700 mm"
[[case]]
name = "pull"
kind = "strut"
load = "500 N"
span = "700 mm"
[service]
temperature = "70 degC"
salt = true
contact_metal = "aluminium"
[factors]
strength = 2.0
buckling = 2.0
""")
LIGHT, THIN = Candidate("roll-wrapped", 0.018, 0.016), Candidate("pultruded", 0.008, 0.006)
ALUMINIUM, STEEL = Candidate("6061-T6", 0.020, 0.016), Candidate("304-cold-drawn", 0.016, 0.013)
JOB = Job(NEED, (LIGHT, ALUMINIUM, STEEL, THIN))
RESERVATION = (
    "Calculated, not tested: prove it with a bench test, and where people can be hurt have a "
    "licensed engineer check it."
)
HYPE = (
    "best",
    "superior",
    "excellent",
    "outstanding",
    "perfect",
    "guarantee",
    "ideal",
    "safe",
    "!",
)


def verdict(candidate: Candidate, need: Need = NEED) -> tc.Verdict:
    return tc.check(
        tc.Tube(candidate.wall, od=f"{candidate.od!r} m", id=f"{candidate.id!r} m"), need
    )


def mass(candidate: Candidate) -> float:
    tube = tc.Tube(candidate.wall, od=f"{candidate.od!r} m", id=f"{candidate.id!r} m")
    return float(tube.mass_per_length.to("g/m").magnitude)


def words(text: str) -> int:
    return len(text.split(" "))


def sound(text: str) -> None:
    """What holds of every paragraph."""
    assert "\n" not in text
    assert "  " not in text
    assert text.endswith(RESERVATION)
    assert words(text) <= MOST
    assert not re.search(r"\b(nan|inf)\b|\.\.|\s[.,;]", text)
    assert not [h for h in HYPE if re.search(rf"\b{re.escape(h)}\b" if h != "!" else h, text)]


def test_the_numbers_are_those_of_the_verdict() -> None:
    text = quote_text(JOB)
    sound(text)
    found = verdict(LIGHT)
    assert found.passes
    assert text.startswith(
        "Push rod: Roll-wrapped, plain 0/90, 18 mm outside and 16 mm bore, does what is asked. "
    )
    assert "the hardest is this: it must take a push of 900 N over 700 mm" in text
    assert "every load counted twice" in text
    governing = found.table[found.table["check"] == found.governing].iloc[0]
    assert f"What limits it first: {governing['label']}, with a reserve of " in text
    reserve = float(re.search(r"a reserve of ([\d.]+) \(1 just passes\)", text)[1])
    assert reserve == pytest.approx(found.reserve[found.governing], abs=0.005)
    assert CHECKS[found.governing].grades[0] == "B"
    assert "(1 just passes), an engineering estimate." in text
    weight, less = re.search(
        r"It weighs ([\d.]+) g per metre, (\d+) % lighter than the 6061", text
    ).groups()
    assert float(weight) == pytest.approx(mass(LIGHT), abs=0.05)
    assert int(less) == round(100 * (1 - mass(LIGHT) / mass(ALUMINIUM)))
    heat = found.table[found.table["check"] == "temperature"]["capacity"].iloc[0]
    assert f"It is good to {heat:g} °C." in text
    assert "To mind most – contact metal: aluminium and plain steel corrode against carbon" in text


def test_both_metals_are_named_where_there_is_room() -> None:
    need = replace(NEED, cases=NEED.cases[:1], service=Service(), title="")
    text = quote_text(Job(need, (LIGHT, ALUMINIUM, STEEL)))
    sound(text)
    assert text.startswith("Roll-wrapped, plain 0/90, 18 mm outside")
    for metal, name in ((ALUMINIUM, "6061-T6 aluminium"), (STEEL, "304 stainless, cold-drawn")):
        share = round(100 * (1 - mass(LIGHT) / mass(metal)))
        assert f"{share} % lighter than the {name} tube" in text


def test_a_metal_that_fails_is_no_measure_of_weight() -> None:
    small = replace(ALUMINIUM, od=0.008, id=0.006)
    text = quote_text(replace(JOB, candidates=(LIGHT, small)))
    assert "lighter" not in text
    heavier = quote_text(replace(JOB, candidates=(STEEL, ALUMINIUM), chosen=0))
    share = round(100 * (mass(STEEL) / mass(ALUMINIUM) - 1))
    assert f"{share} % heavier than the 6061-T6 aluminium tube" in heavier


def test_where_nothing_passes_it_says_so_and_what_falls_short() -> None:
    thinner = replace(LIGHT, od=0.012, id=0.011)
    text = quote_text(replace(JOB, candidates=(THIN, thinner)))
    sound(text)
    found = verdict(thinner)
    assert "None of the 2 tubes does what is asked; nearest comes roll-wrapped, plain" in text
    assert f"It falls short in one thing: {CHECKS[found.governing].label}" in text
    assert f"a reserve of {found.reserve[found.governing]:.2f} (1 just passes)" in text
    assert "lighter" not in text
    one = quote_text(replace(JOB, candidates=(THIN,)))
    sound(one)
    assert "Pultruded, 8 mm outside and 6 mm bore, does not do what is asked." in one


def test_a_chosen_tube_that_fails_is_told_with_one_that_would_do() -> None:
    text = quote_text(replace(JOB, chosen=3))
    sound(text)
    assert "Pultruded, 8 mm outside and 6 mm bore, was chosen but does not do what is" in text
    assert "Roll-wrapped, plain 0/90, 18 mm outside and 16 mm bore, would do, at 81.2 g" in text


def test_a_veto_is_told_as_one() -> None:
    need = replace(NEED, service=Service(insulating=True))
    text = quote_text(Job(need, (LIGHT,)))
    sound(text)
    assert "It is ruled out: " in text
    assert "reserve" not in text


def test_without_a_case_nothing_is_said_of_loads() -> None:
    text = quote_text(Job(candidates=(STEEL,)))
    sound(text)
    assert text.startswith(
        "304 stainless, cold-drawn, 16 mm outside and 13 mm bore, weighs 539.8 g"
    )
    assert "No load is stated" in text
    assert "reserve" not in text
    four = quote_text(Job(candidates=(STEEL, ALUMINIUM, LIGHT, THIN)))
    sound(four)
    assert "There is 1 more." in four
    with pytest.raises(tc.InputError, match="nothing to offer"):
        quote_text(Job())


def test_labels_are_used_and_the_construction_is_still_named() -> None:
    text = quote_text(replace(JOB, candidates=(replace(LIGHT, label="the slim one"), STEEL)))
    sound(text)
    assert "Push rod: The slim one (roll-wrapped, plain 0/90), 18 mm outside" in text


@pytest.mark.parametrize(
    ("units", "parts"),
    [("workshop", ("91.8 kgf", "81.2 g per metre")), ("inch", ("0.709 in outside", "202.3 lbf",
      "lb per foot", "248 °F"))],
)  # fmt: skip
def test_every_display_system(units: str, parts: tuple[str, ...]) -> None:
    """900 N over 9.80665 is 91.8 kgf, over 4.44822 is 202.3 lbf; 120 degC is 248 degF."""
    text = quote_text(JOB, system=units)
    sound(text)
    for part in parts:
        assert part in text
    assert text == quote_text(replace(JOB, units=units))
    with pytest.raises(tc.InputError, match='unknown units "metric"'):
        quote_text(JOB, system="metric")


CASES = [
    Case("strut", load=-900.0, span=0.7, guides=2, duration="long", end_fitting="plain"),
    Case("three-point", load=60.0, span=0.7, roller_width=0.01, own_weight=True),
    Case("four-point", load=60.0, span=0.7, inner_span=0.2, duration="cyclic", cycles=1e6),
    Case("uniform", load=60.0, span=0.7), Case("cantilever", load=9.0, span=0.7, tip_mass=0.2),
    Case("shaft", torque=2.0, speed=100.0, span=0.7, overhang=0.05, tip_mass=0.1),
    Case("pressure", p_in=1e5, span=0.7),
    Case("combined", axial=100.0, moment=1.0, shear=2.0, torque=1.0, p_in=1e5, span=0.7),
]  # fmt: skip
FULL = Limits(deflection=0.05, slope=0.1, twist=0.1, mass=2.0, od_max=0.04, id_min=0.001)


@pytest.mark.parametrize("case", CASES, ids=lambda c: c.kind)
def test_every_kind_of_case_fits_the_words(case: Case) -> None:
    need = Need("The rod of the northern survey boat", (case,), FULL, NEED.service, NEED.factors)
    for job in (Job(need, JOB.candidates), Job(need, (THIN,)), Job(need, (ALUMINIUM, STEEL))):
        sound(quote_text(job))
        sound(quote_text(job, system="inch"))


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.text(max_size=200), st.integers(-1, 3))
def test_any_title_and_label_leave_one_paragraph(word: str, chosen: int) -> None:
    try:
        named = replace(NEED, title=word, cases=(replace(NEED.cases[0], name=word), NEED.cases[1]))
        labelled = tuple(replace(c, label=word) for c in JOB.candidates)
        text = quote_text(replace(JOB, need=named, candidates=labelled, chosen=chosen))
    except tc.InputError:
        assert any("\ud800" <= c <= "\udfff" for c in word)
        return
    assert "\n" not in text
    assert not [c for c in text if unicodedata.category(c) in ("Cc", "Cs")]
    assert text.endswith(RESERVATION)
    assert words(text) <= MOST + 30  # a name may hold more blanks than words


def test_the_same_text_for_the_same_job_and_a_finite_reserve_only() -> None:
    assert quote_text(JOB) == quote_text(replace(JOB, date="2030-01-02"))
    idle = Need(cases=(Case("strut", load=1e-9, span=0.001),))
    text = quote_text(Job(idle, (STEEL,)))
    assert "inf" not in text
    assert math.isfinite(mass(STEEL))


def test_a_quote_says_that_own_tests_count() -> None:
    tested = replace(NEED, factors=replace(NEED.factors, bench="roll-wrapped crush 0.9"))
    words = tc.quote_text(Job(tested, (LIGHT, ALUMINIUM)))
    assert "Calculated, with what bench tests of such tubes left counted: prove it" in words
    assert "not tested" not in words
    other = replace(NEED, factors=replace(NEED.factors, bench="pultruded crush 0.9"))
    assert RESERVATION in tc.quote_text(Job(other, (LIGHT, ALUMINIUM)))
