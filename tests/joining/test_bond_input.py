"""What a bonded joint refuses: one sentence each, whole."""

from __future__ import annotations

import pytest

import tubecalc as tc

TUBE = tc.Tube("6061-T6", od="30 mm", wall="2 mm")  # bore 26 mm
PLUG = tc.Tube("304", od="25.6 mm", wall="2 mm")

REFUSED = [
    ({"insert": "304", "gap": "0 mm"},
     'bond:gap: the gap is zero: there is no room for adhesive, got "0 mm", expected about '
     "0.2 mm a side."),
    ({"insert": tc.Tube("304", od="26 mm", wall="2 mm")},
     'bond:gap: the gap is zero: there is no room for adhesive, got "0 mm", expected about '
     "0.2 mm a side."),
    ({"insert": "304", "gap": "0.9 mm"},
     "bond:gap: the gap is more than two-part epoxy paste, toughened allows, "
     'got "0.9 mm a side", expected at most 0.6 mm; sleeve the insert, or take an adhesive that '
     "fills gaps."),
    ({"insert": "304", "gap": "-0.1 mm"},
     'bond:gap: is negative; it must be zero or more, got "-0.1 mm".'),
    ({"insert": tc.Tube("304", od="27 mm", wall="2 mm")},
     'bond:insert: the insert is larger than the bore, got "27 mm into 26 mm", expected an outside '
     "diameter below the bore by twice the gap."),
    ({"insert": PLUG, "gap": "0.3 mm"},
     'bond:gap: the gap contradicts the diameters, got "0.3 mm", expected 0.2 mm a side.'),
    ({"insert": PLUG, "insert_length": "15 mm"},
     'bond:overlap: the overlap is longer than the insert, got "20 mm", expected at most 15 mm.'),
    ({"insert": PLUG, "tube_length": "15 mm"},
     'bond:overlap: the overlap is longer than the tube, got "20 mm", expected at most 15 mm.'),
    ({"insert": PLUG, "taper": "25 mm"},
     'bond:taper: the taper is longer than the overlap, got "25 mm", expected at most 20 mm.'),
    ({"insert": PLUG, "off_centre": "0.2 mm"},
     "bond:off_centre: off centre by the whole gap, the insert touches the tube, got \"0.2 mm\", "
     "expected less than 0.2 mm."),
    ({"insert": PLUG, "temperature": "60 degC"},
     "bond:temperature: two-part epoxy paste, toughened is above its temperature, got \"60 °C\", "
     "expected at most 40 °C, 28 K below its glass transition of 68 °C."),
    ({"insert": PLUG, "temperature": "30 degC", "wet": True},
     "bond:temperature: two-part epoxy paste, toughened is above its temperature when wet, got "
     '"30 °C", expected at most 24 °C, 28 K below its glass transition of 52 °C.'),
    ({"insert": PLUG, "temperature": ["0 degC", "10 degC", "20 degC"]},
     'bond:temperature: is the coldest and the hottest of service, got "3 temperatures", expected '
     "one or two."),
    ({"insert": PLUG, "adhesive": "epoxy-tought"},
     'bond:adhesive: unknown adhesive "epoxy-tought", did you mean "epoxy-tough"? Known: '
     "cyanoacrylate, epoxy-film, epoxy-stiff, epoxy-tough, epoxy-tough-warm, methacrylate, "
     "polyurethane."),
    ({"insert": PLUG, "preparation": "sanded"},
     'bond:preparation: unknown surface preparation "sanded", did you mean "abraded"? Known: '
     "abraded, blasted, degreased, etched, none."),
    ({"insert": "304", "place": "beside"},
     'bond:place: unknown place of the insert "beside", did you mean "inside"? Known: '
     "inside, over."),
    ({"insert": "304", "place": "over"},
     'bond:insert_wall: a sleeve over the tube needs its wall, expected insert_wall="2 mm".'),
    ({"insert": "304", "insert_wall": "13 mm"},
     'bond:insert_wall: the wall of the insert fills its bore, got "13 mm", expected "solid", or '
     "less than 12.8 mm."),
    ({"insert": PLUG, "axial": "500"},
     'bond:axial: "500" has no unit; give a force, for example "200 N" or "200 kgf".'),
    ({"insert": PLUG, "axial": ["1 kN", "2 kN"], "torque": ["1 N m", "2 N m", "3 N m"]},
     'bond: lists of different lengths do not go together, got "axial 2, torque 3", '
     "expected one, or as many as the others."),
]  # fmt: skip


@pytest.mark.parametrize(("given", "sentence"), REFUSED, ids=[s[:60] for _, s in REFUSED])
def test_refused_in_one_sentence(given: dict, sentence: str) -> None:
    with pytest.raises(tc.InputError) as hit:
        tc.bond(TUBE, **{"overlap": "20 mm", **given})
    assert str(hit.value) == sentence


def test_an_overlap_of_nothing_and_no_tube_are_refused() -> None:
    with pytest.raises(tc.InputError, match="overlap: is zero; it must be above zero"):
        tc.bond(TUBE, PLUG, overlap="0 mm")
    with pytest.raises(tc.InputError, match="a joint needs the tube"):
        tc.bond("6061-T6", PLUG, overlap="10 mm")  # type: ignore[arg-type]


def test_own_adhesive_is_checked() -> None:
    from tubecalc.joining.adhesives import Adhesive

    with pytest.raises(tc.InputError, match="unknown field of an adhesive"):
        Adhesive.of("x", shear_modulas="1 GPa")
    with pytest.raises(tc.InputError, match="less than shear strength over shear modulus"):
        Adhesive.of("x", shear_strain=0.001)
    with pytest.raises(tc.InputError, match="must rise from least to most"):
        Adhesive.of("x", gap_best="5 mm")
    with pytest.raises(tc.InputError, match=r"below 0\.5"):
        Adhesive.of("x", nu=0.5)
