"""Every joint of carbon and a metal says what the wet does to the pair; a loose fit its shim."""

from __future__ import annotations

import pytest

from tubecalc.compare import judge
from tubecalc.job import Candidate, Job
from tubecalc.joining.clamps import split_clamp
from tubecalc.joining.fits import fit
from tubecalc.joining.galvanic import touching
from tubecalc.joining.heat import weakest
from tubecalc.joining.job_joints import joint_rows, with_joint
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.joining.mechanical import bolt
from tubecalc.joining.wear import wear
from tubecalc.need import Need
from tubecalc.share import joint_words
from tubecalc.share.quote import quote_text
from tubecalc.tube import Tube
from tubecalc.unit_words import say

CARBON = Tube("pultruded", od="25 mm", wall="1.5 mm")
GLASS = Tube("filament-wound", od="25 mm", wall="1.5 mm")


def pairs(cautions: list[str]) -> list[str]:
    return [c for c in cautions if "wet or salty" in c or "sound pair" in c]


def test_a_post_in_an_aluminium_sleeve_is_warned_of_and_the_reverse() -> None:
    sleeve = Tube("6061-T6", od="28 mm", id="25.4 mm")
    core = Tube("6061-T6", od="21.7 mm", wall="2 mm")
    for found in (fit(CARBON, sleeve), fit(core, CARBON)):
        (said,) = pairs(found.cautions)
        assert "the aluminium is eaten" in said
        assert "anodising only slows it" in said
        assert "titanium or stainless" in said
        assert "taken apart" in said
    assert pairs(fit(GLASS, sleeve).cautions) == []
    assert pairs(fit(core, GLASS).cautions) == []


@pytest.mark.parametrize(("pin", "says"), [
    ("4130", "carbon on steel corrodes"), ("Ti-3Al-2.5V", "carbon on titanium is a sound pair"),
    (None, "a plain screw of steel"),
])  # fmt: skip
def test_a_bolt_in_carbon_says_what_becomes_of_its_metal(pin, says) -> None:
    found = bolt(CARBON, hole="5 mm", load="1 kN", pin=pin)
    (said,) = pairs(list(found.cautions))
    assert said.startswith(says)
    assert pairs(list(bolt(GLASS, hole="5 mm", load="1 kN", pin=pin).cautions)) == []


def test_a_clamp_on_carbon_warns_of_aluminium() -> None:
    (said,) = pairs(list(split_clamp(CARBON, length="20 mm", screw="4 mm").cautions))
    assert said.startswith("where the clamp is of aluminium")
    assert pairs(list(split_clamp(GLASS, length="20 mm", screw="4 mm").cautions)) == []


def test_no_current_no_word() -> None:
    assert touching("6061-T6", "6063-T6") == touching("carbon", "glass") == ""


def test_a_loose_fit_names_its_shim_a_side() -> None:
    """A 25 mm tube in a 25.55 mm socket: half of 0.55 mm, 0.28 mm a side, by hand."""
    socket = Tube("6063-T6", od="28.09 mm", id="25.55 mm")
    said = fit(CARBON, socket).why
    assert "a shim of 0.275 mm a side" in said
    assert "a shim of 0.0108 in a side" in say(said, "inch")


def test_refusals_say_what_to_do_on_a_page_too() -> None:
    with pytest.raises(ValueError, match="a press fit, which grips"):
        fit(CARBON, Tube("304", od="27 mm", id="24.9 mm"))
    with pytest.raises(ValueError, match="size of the other tube left empty"):
        fit(CARBON, Tube("304", od="28 mm", id="25.2 mm"), iso="H7/g6")


def test_the_tubes_own_resin_counts_and_a_metal_has_none() -> None:
    """Laminate 84 degC and bond 54 degC at 70 degC: 56 and 26 degC, 28 K below each, by hand."""
    found = weakest("pultruded", temperature="70 degC", adhesive_glass="54 degC",
                    tube_glass="84 degC")  # fmt: skip
    limits = {m.part: m.limit for m in found.members}
    assert limits == {"tube": pytest.approx(56.0), "adhesive": pytest.approx(26.0)}
    assert found.needed == pytest.approx(98.0)
    assert "also too weak: the tube to 56" in found.why
    assert any("cured in the cold" in c for c in found.cautions)
    with pytest.raises(ValueError, match="no glass transition"):
        weakest("304", temperature="70 degC", tube_glass="84 degC")


def test_a_tenth_of_a_millimetre_of_wear_costs_what_the_ring_says() -> None:
    """I of 30 x 27.6 with 0.1 mm off the bore radius: -7.4 %; off the outside: -9.3 %, by hand."""
    inner, outer = Tube("304", od="30 mm", wall="1.2 mm"), Tube("304", od="34 mm", id="30.4 mm")
    use = {"cycles": 1000, "stroke": "1 m", "load": "20 N", "touch": "20 mm"}
    tenth = wear(inner, outer, **use).tenth
    assert tenth is not None
    assert tenth[1] == pytest.approx(0.093, abs=0.0006)
    other = wear(Tube("304", od="27.2 mm", wall="1 mm"), inner, **use).tenth
    assert other is not None
    assert other[0] == pytest.approx(0.074, abs=0.0006)
    assert wear(Tube("304", od="27.2 mm", wall="0.15 mm"), inner, **use).tenth is None


def test_the_papers_of_a_job_warn_of_each_pair_that_is_eaten() -> None:
    need = Need.from_toml('[[case]]\nkind = "strut"\nload = "1 kN"\nspan = "0.5 m"')
    tube = Candidate("pultruded", 0.025, 0.022)
    job = Job(need, (tube,))
    sleeve = {"of": "6061-T6", "od": "28 mm", "id": "25.4 mm"}
    for spec in (
        JointSpec("fit", name="sleeve", given={"outer": sleeve}),
        JointSpec("bond", name="end", given={"insert": "6061-T6", "overlap": "20 mm"}),
        JointSpec("bond", name="kept", given={"insert": "6061-T6", "overlap": "20 mm",
                                              "barrier": "0.1 mm"}),
        JointSpec("bolt", name="screw", given={"hole": "5 mm", "load": "1 kN", "pin": "4130"}),
        JointSpec("bolt", name="noble", given={"hole": "5 mm", "load": "1 kN", "pin": "304"}),
    ):  # fmt: skip
        job = with_joint(job, tube, spec)
    rows = joint_rows(job)
    assert [r.name for r in rows if r.pair] == ["sleeve", "end", "screw"]
    told = joint_words.cautions(rows, judge(job), 0, "SI")
    eaten = [c for c in told if "wet or salty" in c]
    assert sorted(c.split(":")[0] for c in eaten) == ["End", "Screw", "Sleeve"]


@pytest.mark.parametrize(("asked", "passes"), [("35 degC", True), ("60 degC", False)])
def test_the_glue_of_a_joint_is_held_against_the_heat_of_the_need(asked, passes) -> None:
    """Its class is good to 40 degC, 28 K below 68 degC: the papers name both limits."""
    need = Need.from_toml('[[case]]\nkind = "strut"\nload = "1 kN"\nspan = "0.5 m"\n'
                          f'[service]\ntemperature = "{asked}"')  # fmt: skip
    tube = Candidate("pultruded", 0.025, 0.022)
    given = {"insert": "304", "overlap": "20 mm", "axial": "1 kN", "adhesive": "epoxy-tough"}
    job = with_joint(Job(need, (tube,)), tube, JointSpec("bond", given=given))
    (row,) = joint_rows(job)
    assert row.passes is passes
    assert row.warmest == pytest.approx(40.0)
    text = quote_text(job)
    assert ", its bonded joint to 40 °C." in text
    if not passes:
        assert row.why == "the adhesive is good to 40 °C, the need asks 60 °C"
        assert "But its joint does not hold: bonded joint." in text


def test_a_measured_pair_is_told_by_its_readings() -> None:
    """Mean of 24.93, 24.95, 24.94 mm and of 25.02, 25.00, 25.01 mm, by hand."""
    sleeve = Tube("304", od="28 mm", id="25.3 mm")
    said = fit(CARBON, sleeve, outside=["24.93 mm", "24.95 mm", "24.94 mm"],
               bore=["25.02 mm", "25.00 mm", "25.01 mm"]).why  # fmt: skip
    assert "24.94 mm outside into a 25.01 mm bore" in said
