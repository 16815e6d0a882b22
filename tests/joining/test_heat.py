"""Weakest member, sun, growth: hand balances, published film, the problem of the glue."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from tubecalc.errors import InputError
from tubecalc.joining.growth import assembly, athermal, expansion_of
from tubecalc.joining.heat import weakest
from tubecalc.joining.sun import SIGMA, air, film, in_the_sun
from tubecalc.laminate.construction import of_material
from tubecalc.materials import Ply, get_metal
from tubecalc.tube import Tube

TUBE = Tube("pultruded", od="20 mm", wall="1 mm")


# -- weakest member --------------------------------------------------------------------------------


def test_the_glue_goes_before_the_tube():
    """Laminate Tg 84 C, glue Tg 54 C, asked 70 C: good to 56 and 26 C, needs 98 C (28 K margin)."""
    ply = Ply("resin", E1="130 GPa", E2="9 GPa", G12="4.5 GPa", nu12=0.3, density="1.55 g/cm3",
              t_g="84 degC")  # fmt: skip
    found = weakest(of_material(ply), temperature="70 degC", adhesive_glass="54 degC")
    tube, glue = found.members
    assert (tube.limit, glue.limit) == pytest.approx((56.0, 26.0))
    assert not found.passes
    assert found.weakest is glue
    assert found.needed == pytest.approx(98.0)
    for word in ("adhesive", "26 °C", "also too weak", "tube to 56 °C", "98 °C is needed"):
        assert word in found.why


def test_every_member_counts_and_wet_is_never_better():
    args = {"temperature": "40 degC", "adhesive": "epoxy-tough", "insert": "pla",
            "finish": "clear-coat"}  # fmt: skip
    dry, wet = (weakest(TUBE, wet=w, **args) for w in (False, True))
    assert [m.part for m in dry.members] == ["tube", "adhesive", "insert", "finish"]
    assert all(b.limit <= a.limit for a, b in zip(dry.members, wet.members, strict=True))
    assert list(dry.table["limit_degC"]) == sorted(dry.table["limit_degC"])
    assert weakest(TUBE, temperature="40 degC", insert="6061-T6").members[1].limit == 80.0


def test_hot_sun_asks_more_than_the_air():
    sun = in_the_sun(TUBE, air_temperature="35 degC")
    found = weakest(TUBE, temperature=sun, adhesive="epoxy-tough")
    assert found.temperature == sun.hottest
    assert not found.passes


@pytest.mark.parametrize(
    ("args", "words"),
    [({"insert": "cheese"}, 'unknown insert "cheese"'), ({"insert": "powder"}, "is not an insert"),
     ({"finish": "nylon"}, "is not a finish"), ({"adhesive": "gum"}, "gum")],
)  # fmt: skip
def test_unknown_members_are_refused(args, words):
    with pytest.raises(InputError, match=words):
        weakest(TUBE, temperature="40 degC", **args)


# -- sun -------------------------------------------------------------------------------------------


def test_film_of_the_textbook_cylinder():
    """Incropera & DeWitt, example 7.4 (MEMORY): 12.7 mm, 10 m/s, 26.2 and 128.4 C, 96 W/m2K."""
    assert film(0.0127, 128.4, 26.2, 10.0) == pytest.approx(96.0, rel=0.02)


def test_air_of_the_tables():
    """Incropera & DeWitt, table of air at 300 and 350 K (MEMORY)."""
    for kelvin, nu, k in ((300.0, 15.89e-6, 26.3e-3), (350.0, 20.92e-6, 30.0e-3)):
        found = air(kelvin - 273.15)
        assert (found.nu, found.k) == pytest.approx((nu, k), rel=0.02)


def test_thick_aluminium_is_one_temperature_by_a_balance_of_the_whole():
    """What it takes up on its shadow and from the ground leaves by film and radiation all round."""
    tube, sun, around = Tube("6061-T6", od="30 mm", wall="3 mm"), 1000.0, 30.0
    found = in_the_sun(tube, surface="dark-paint", air_temperature="30 degC", wind=1.0)
    taken = 0.80 * sun * (0.030 + 0.2 * math.pi * 0.030 / 2)

    def left(t: float) -> float:
        h = film(0.030, t, around, 1.0)
        out = h * (t - around) + 0.90 * SIGMA * ((t + 273.15) ** 4 - (around + 273.15) ** 4)
        return taken - math.pi * 0.030 * out

    assert found.mean == pytest.approx(brentq(left, 31.0, 150.0), abs=0.3)
    assert found.hottest - found.coolest < 1.0


@settings(max_examples=15, deadline=None)
@given(st.floats(0.0, 10.0), st.floats(100, 1200), st.floats(-20, 45))
def test_more_sun_is_hotter_more_wind_is_cooler(wind, sun, around):
    def at(w: float, s: float) -> float:
        return in_the_sun(TUBE, air_temperature=f"{around!r} degC", wind=w, sun=s).hottest

    here = at(wind, sun)
    assert here > around
    assert at(wind, sun + 100) > here
    assert at(wind + 3.0, sun) < here + 1e-6


def test_colour_and_shade():
    shade = in_the_sun(TUBE, sun=0.0)
    assert shade.hottest == pytest.approx(35.0, abs=1e-6)
    order = [in_the_sun(TUBE, surface=s).hottest
             for s in ("white-paint", "light-paint", "dark-paint", "black-paint")]  # fmt: skip
    assert order == sorted(order)
    with pytest.raises(InputError, match='unknown surface "pink"'):
        in_the_sun(TUBE, surface="pink")
    with pytest.raises(InputError, match="nought or more"):
        in_the_sun(TUBE, wind=-1.0)


# -- growth ----------------------------------------------------------------------------------------


def test_growth_of_a_chain_by_hand():
    """1 m of aluminium and 2 m of stainless, 30 K."""
    al, st_ = (get_metal(k).si.alpha1 for k in ("6061-T6", "304"))
    found = assembly([("6061-T6", "1 m"), ("304", "2 m")], rise="30 K")
    assert found.total == pytest.approx(30 * (al + 2 * st_))
    assert found.expansion == pytest.approx((al + 2 * st_) / 3)
    assert found.length == pytest.approx(3.0)


ALPHA = st.integers(-300, 3000).map(lambda n: n * 1e-8)


@settings(deadline=None)
@given(ALPHA, ALPHA, st.floats(0.05, 5.0), st.integers(-80, 80))
def test_athermal_pair_does_not_grow_when_put_together(a, b, length, rise):
    try:
        found = athermal(f"{a!r} /K", f"{b!r} /K", length=f"{length!r} m")
    except InputError:
        assert abs(a - b) < 1e-9 or abs(a) + abs(b) > 4 * abs(a - b)
        return
    l1 = found.one if not found.folded or abs(a) < abs(b) else -found.one
    l2 = found.two if not found.folded or abs(b) < abs(a) else -found.two
    grown = assembly([(f"{a!r} /K", f"{l1!r} m"), (f"{b!r} /K", f"{l2!r} m")], rise=f"{rise!r} K")
    assert grown.length == pytest.approx(length, rel=1e-9)
    assert grown.total == pytest.approx(0.0, abs=1e-15 + 1e-12 * abs(rise))


def test_carbon_and_aluminium_athermal_spacer():
    """Carbon shrinks along its fibre: a short metal end makes up for it, end to end."""
    name, carbon = expansion_of(TUBE)
    assert "pultruded" in name
    found = athermal(TUBE, "6061-T6", length="1 m")
    metal = get_metal("6061-T6").si.alpha1
    assert found.two == pytest.approx(abs(carbon) / abs(metal - carbon), rel=1e-9)
    assert found.folded == (carbon > 0)
    assert found.left == pytest.approx(0.1 * (abs(carbon) * found.one + metal * found.two))


@pytest.mark.parametrize(
    ("one", "two", "words"),
    [("304", "304", "expand alike"), ("22e-6 /K", "23e-6 /K", "too much alike"),
     ("cheese", "304", "unknown construction"), ("23 mm", "304", "cons")],
)  # fmt: skip
def test_pairs_that_cannot_be_athermal_are_refused(one, two, words):
    with pytest.raises(InputError, match=words):
        athermal(one, two, length="1 m")


def test_bad_assemblies_are_refused():
    with pytest.raises(InputError, match="at least one part"):
        assembly([], rise="10 K")
    own = Ply("nude", E1="130 GPa", E2="9 GPa", G12="4.5 GPa", nu12=0.3, density="1.55 g/cm3")
    with pytest.raises(InputError, match="expansion is not known"):
        assembly([(Tube(own, od="10 mm", wall="1 mm"), "1 m")], rise="10 K")
    assert np.isnan(Tube(own, od="10 mm", wall="1 mm").alpha_x.m)
