"""Every joint of carbon and a metal says what the wet does to the pair; a loose fit its shim."""

from __future__ import annotations

import pytest

from tubecalc.joining.clamps import split_clamp
from tubecalc.joining.fits import fit
from tubecalc.joining.galvanic import touching
from tubecalc.joining.mechanical import bolt
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
