"""Bad input of fits, fastenings, pairs, growth, sun and wear: one sentence each, no traceback."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

import tubecalc as tc
from tubecalc.errors import InputError
from tubecalc.joining.clamps import split_clamp
from tubecalc.joining.growth import assembly, athermal
from tubecalc.joining.mechanical import bolt
from tubecalc.joining.sun import in_the_sun
from tubecalc.joining.wear import wear

TUBE = tc.Tube("roll-wrapped", od="30 mm", wall="2 mm")
INNER = tc.Tube("pultruded", od="25.9 mm", wall="1.5 mm")


def hole(**given: Any) -> Any:
    return bolt(TUBE, **{"hole": "6 mm", "load": "2 kN", **given})


def clamp(**given: Any) -> Any:
    return split_clamp(TUBE, **{"length": "20 mm", "screw": "4 mm", **given})


def worn(**given: Any) -> Any:
    given = {"cycles": 1e4, "stroke": "1 m", "load": "20 N", "touch": "20 mm", **given}
    return wear(INNER, TUBE, **given)


def glued(insert: Any = "6061-T6", **given: Any) -> Any:
    given = {"insert_wall": "2 mm", "overlap": "30 mm", "gap": "0.2 mm", **given}
    return tc.bond(TUBE, insert, **given)


def slid(**given: Any) -> Any:
    return tc.fit(INNER, TUBE, **given)


REFUSED: dict[str, tuple[Callable[[], Any], str]] = {
    "bolt without load": (lambda: hole(load="0 N"), "needs a load"),
    "factor in words": (lambda: hole(factor="two"), "bolt:factor"),
    "factor below 1": (lambda: hole(factor=0.5), "1 or more"),
    "clamp, negative friction": (lambda: clamp(friction=-1), "no coefficient of friction"),
    "clamp, no friction": (lambda: clamp(friction=math.nan), "finite"),
    "clamp, friction in words": (lambda: clamp(friction="dry"), "split_clamp:friction"),
    "clamp, factor in words": (lambda: clamp(factor="x"), "split_clamp:factor"),
    "clamp, screw as the tube": (lambda: clamp(screw="30 mm"), "as thick as the tube"),
    "part that is no pair": (lambda: assembly([1], rise="10 K"), "part 1: is a material"),  # type: ignore[list-item]
    "parts in one word": (lambda: assembly("abc", rise="10 K"), "part 1: is a material"),  # type: ignore[arg-type]
    "expansion without unit": (lambda: assembly([("23e-6", "1 m")], rise="10 K"), "no unit"),
    "metal misspelt": (lambda: athermal("6061-T7", "304", length="1 m"), 'mean "6061-T6"'),
    "second material": (lambda: athermal("304", "unobtainium", length="1 m"), "athermal:two"),
    "doubt in words": (lambda: athermal("304", "pultruded", length="1 m", doubt="some"), "doubt"),  # type: ignore[arg-type]
    "pair with nothing": (lambda: tc.galvanic("carbon", None), "material of a pair"),  # type: ignore[arg-type]
    "pair misspelt": (lambda: tc.galvanic("carbon", "alumnium"), 'mean "aluminium"'),
    "wind with a unit of length": (lambda: in_the_sun(TUBE, wind="5 m"), "wind"),  # type: ignore[arg-type]
    "wind from behind": (lambda: in_the_sun(TUBE, wind=-1.0), "nought or more"),
    "cycles in words": (lambda: worn(cycles="many"), "wear:cycles"),
    "negative cycles": (lambda: worn(cycles=-1), "nought or more"),
    "rate in words": (lambda: worn(rate="x"), "wear:rate"),
    "fit of a word": (lambda: tc.fit("pultruded", TUBE), "two tubes"),  # type: ignore[arg-type]
    "friction in words": (
        lambda: tc.fit(INNER, TUBE, press=True, friction="dry"), "fit:friction",  # type: ignore[arg-type]
    ),
    "straightness in words": (lambda: slid(straightness="good"), "fit:straightness"),
    "straightness unknown": (lambda: slid(straightness=math.nan), "finite"),
    "class of outsides for a bore": (lambda: slid(bore="D4"), "ISO 286 too"),
    "class of walls for a bore": (lambda: slid(bore="T3"), "ISO 286 too"),
    "upper limit below the lower": (lambda: slid(bore="-0.1/0 mm"), "upper limit stands first"),
    "limit without sign": (lambda: slid(bore="0/0.1 mm"), "needs its sign"),
    "fit of soft walls": (lambda: slid(temperature="160 degC"), "inner tube is soft so hot"),
    "bond without overlap": (lambda: glued(overlap=None), "needs its overlap"),
    "wet in words": (lambda: glued(wet="no"), "yes or no"),
    "scarf in words": (lambda: glued(scarf="no"), "yes or no"),
    "set in a furnace": (lambda: glued(bonded_at="1000 degC"), "no adhesive sets"),
    "barrier as thick as a wall": (lambda: glued(barrier="5 mm"), "insulating ply"),
    "insert of nothing": (lambda: glued(None), "bond:insert"),
    "insert misspelt": (lambda: glued("6061-T7"), 'mean "6061-T6"'),
    "gap used up": (lambda: glued(off_centre="0.2 mm"), "touches the tube"),
    "pull as a mass": (lambda: glued(axial="5 kg"), "a mass"),
    "torque as a force": (lambda: glued(torque="5 N"), "a force"),
    "above its temperature": (lambda: glued(temperature="60 degC"), "glass transition of 68"),
    "worn through": (lambda: worn(cycles=1e12), "worn through"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_refused_in_one_sentence(name: str) -> None:
    call, said = REFUSED[name]
    with pytest.raises(InputError) as error:
        call()
    text = str(error.value)
    assert said in text
    assert text.endswith(".")
    assert "\n" not in text


def test_a_minus_sign_is_one_however_it_is_typed() -> None:
    plain, typeset = (slid(bore=f"0/{sign}0.1 mm").bore for sign in ("-", "\u2212"))
    assert plain == typeset


def test_nothing_peels_where_nothing_pulls() -> None:
    """A push closes the ends: the reserve against peel is endless, not a huge number."""
    peel = {x.key: float(x.reserve[0]) for x in glued(axial="-5 kN").limits}["peel"]
    assert peel == math.inf
