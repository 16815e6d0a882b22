"""Pairs of metals: levels of the standard, rules, and unknown names."""

from __future__ import annotations

import itertools

import pytest

from tubecalc.errors import InputError
from tubecalc.joining.galvanic import (
    ENVIRONMENTS,
    GRADES,
    galvanic,
    galvanic_table,
    known_materials,
    material_of,
)
from tubecalc.tube import Tube

CARBON = ["pultruded", "roll-wrapped", "roll-wrapped-woven", "roll-wrapped-45", "pull-wound"]


@pytest.mark.parametrize(
    ("metal", "levels"), [("carbon", (1, 1, 3)), ("titanium", (2, 3, 5)), ("nickel", (1, 2, 4))]
)
def test_levels_of_aluminium_are_those_of_the_standard(metal, levels):
    """MIL-STD-889C Table I, aluminium alloys; sea water, marine, industrial air."""
    found = [galvanic("6061-T6", metal, env).level for env in ("salt", "marine", "outdoor")]
    assert tuple(found) == levels


@pytest.mark.parametrize("metal", ["6061-T6", "6063-T6", "mild-steel", "4130"])
@pytest.mark.parametrize("construction", CARBON)
def test_carbon_on_aluminium_or_steel_in_salt_needs_a_barrier(construction, metal):
    """A carbon post seized in an aluminium sleeve; steel screws in truss tubes: common practice."""
    found = galvanic(construction, metal, "salt")
    assert found.barrier
    assert found.eaten in ("aluminium", "steel")
    assert found.measures[0].startswith("an insulating glass ply")
    assert any("titanium or stainless" in m for m in found.measures)


@pytest.mark.parametrize("metal", ["304-annealed", "Ti-3Al-2.5V"])
def test_stainless_and_titanium_on_carbon_go_with_sealing(metal):
    """Niu: one step between the groups."""
    found = galvanic("pultruded", metal, "salt")
    assert (found.grade, found.steps, found.barrier) == ("fair", 1, False)
    assert any("seal" in m for m in found.measures)


def test_glass_breaks_the_circuit_everywhere():
    for metal, env in itertools.product(("6061-T6", "zinc", "carbon"), ENVIRONMENTS):
        found = galvanic("filament-wound", metal, env)
        assert (found.grade, found.eaten, found.measures) == ("good", "", ())


@pytest.mark.parametrize("env", ENVIRONMENTS)
def test_pairs_are_symmetric_and_a_metal_on_itself_is_good(env):
    for a, b in itertools.product(known_materials(), repeat=2):
        one, two = galvanic(a, b, env), galvanic(b, a, env)
        assert (one.grade, one.eaten, one.level) == (two.grade, two.eaten, two.level)
        if a == b:
            assert one.grade == "good"


def test_wetter_and_saltier_is_never_better():
    for a, b in itertools.combinations(known_materials(), 2):
        worse = [GRADES.index(galvanic(a, b, env).grade) for env in ENVIRONMENTS]
        assert worse == sorted(worse), (a, b)


def test_the_baser_metal_is_eaten():
    """MIL-STD-889 Table II, sea water: 6061-T6 no. 19 above 304 no. 40."""
    assert galvanic("304", "6061-T6").eaten == "aluminium"
    assert galvanic("zinc", "aluminium").eaten == "zinc"
    assert galvanic("steel", "zinc").eaten == "zinc"
    assert str(galvanic_table("salt").loc["aluminium", "carbon"]) == "no"


def test_names_and_tubes_are_understood():
    assert material_of("Graphite") == material_of(Tube("pull-wound", od="12 mm", wall="1 mm"))
    assert material_of(" Aluminum ") == material_of("6063-T6") == "aluminium"
    assert material_of("4130") == "steel"


def test_unknown_pair_and_environment_are_one_sentence():
    with pytest.raises(InputError, match=r'unknown material of a pair "unobtainium".*carbon'):
        galvanic("pultruded", "unobtainium")
    with pytest.raises(InputError, match='did you mean "marine"'):
        galvanic("pultruded", "304", "marin")
    with pytest.raises(InputError, match="unknown material of a pair"):
        galvanic("", "304")
