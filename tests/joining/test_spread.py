"""Worst case and likely least of joints: by hand, and a Monte Carlo drawn beside them."""

from __future__ import annotations

import math

import numpy as np
import pytest

import tubecalc as tc
from tubecalc.joining.adhesives import Adhesive, get_adhesive
from tubecalc.joining.clamps import split_clamp
from tubecalc.joining.growth import athermal
from tubecalc.joining.heat import weakest
from tubecalc.joining.spread import bond_spread, clamp_spread, growth_spread, heat_spread

TUBE = tc.Tube("roll-wrapped-woven", od="30 mm", id="26 mm")


def made(overlap="30 mm", **more):
    return tc.bond(TUBE, "6061-T6", insert_wall="3 mm", overlap=overlap, **more)


def test_a_short_bond_goes_with_the_shear_strength() -> None:
    """A bond of 4 mm flows over its whole length: 15 of 17.9 MPa leave 0.838 of its strength."""
    found = bond_spread(made("4 mm").asked)
    assert found is not None
    assert float(found.parts["shear_strength"][0]) == pytest.approx(15.0 / 17.9, rel=2e-3)
    assert float(found.parts["shear_strain"][0]) == pytest.approx(1.0, abs=2e-3)
    assert float(found.parts["surfaces"][0]) == pytest.approx(0.46 / 0.55)
    likely, worst = found.at(0.004, "tension")
    taken = [1 - 15.0 / 17.9, 1 - 0.46 / 0.55]
    assert likely == pytest.approx(1 - math.hypot(*taken), abs=3e-3)
    assert worst == pytest.approx(15.0 / 17.9 * 0.46 / 0.55, rel=3e-3)


def test_each_influence_is_the_bond_worked_out_anew_with_it() -> None:
    known = get_adhesive("epoxy-tough")
    weak = Adhesive.of("weak", shear_strain="0.3")
    assert weak.shear_modulus == known.shear_modulus
    base, less = made("60 mm"), made("60 mm", adhesive=weak)
    found = bond_spread(base.asked)
    want = min(float(less.strengths[k][0] / base.strengths[k][0]) for k in base.strengths)
    assert float(found.parts["shear_strain"][0]) == pytest.approx(want, rel=1e-9)


def test_wet_service_counts_at_the_low_end_of_its_share() -> None:
    dry, wet = (bond_spread(made(wet=w, adhesive="epoxy-stiff").asked) for w in (False, True))
    assert "wet service" not in dry.parts
    assert float(wet.parts["wet service"][0]) == pytest.approx(0.4 / 0.5)
    assert wet.at(0.03, "torsion")[0] < dry.at(0.03, "torsion")[0]


@pytest.mark.parametrize("kind", ["tension", "compression", "torsion", "bending"])
def test_likely_lies_between_worst_and_typical_over_the_overlap(kind) -> None:
    found = bond_spread(made(["5 mm", "15 mm", "30 mm", "60 mm", "90 mm"]).asked)
    assert np.all(found.worst[kind] < found.likely[kind])
    assert np.all(found.likely[kind] < 1.0)
    assert np.all(found.worst[kind] > 0.3)


def test_an_adhesive_of_ones_own_has_no_range() -> None:
    assert bond_spread(made(adhesive=Adhesive.of("ours", shear_strength="20 MPa")).asked) is None


def test_clamp_by_hand_and_by_drawing_lots() -> None:
    """Grip goes with friction over nut factor: 0.1, 0.15, 0.3 and 0.15, 0.2, 0.3."""
    clamp = split_clamp(TUBE, length="20 mm", screw="5 mm")
    grip = clamp_spread(clamp)
    assert grip.middle == pytest.approx(clamp.slip * (0.15 / 0.1) * (0.15 / 0.2))
    assert grip.worst == pytest.approx(clamp.slip * 0.15 / 0.3)
    rng = np.random.default_rng(3)  # lognormal, the bad ends three standard deviations out
    mu = 0.15 * np.exp(rng.normal(size=400_000) * math.log(1.5) / 3)
    nut = 0.2 * np.exp(rng.normal(size=400_000) * math.log(1.5) / 3)
    drawn = clamp.slip / (0.1 / 0.15) * mu / nut
    assert float(np.quantile(drawn, 0.00135)) == pytest.approx(grip.likely, rel=0.02)


def test_margin_in_the_heat_by_hand() -> None:
    found = weakest("pultruded", temperature="70 degC", adhesive_glass="110 degC")
    assert found.margin == pytest.approx(12.0)  # 110 - 28 - 70
    assert heat_spread(found, 10.0) == pytest.approx((-3.0, 12.0 - math.sqrt(125.0)))
    assert heat_spread(found, 0.0) == pytest.approx((7.0, 7.0))


def test_growth_that_is_likely_left_by_drawing_lots() -> None:
    """Both expansions normal, their doubt three standard deviations: quantile of the growth."""
    found = athermal("2e-6 /K", "23e-6 /K", length="1 m")
    rng = np.random.default_rng(5)
    off = rng.normal(size=(2, 400_000)) * found.doubt / 3
    drawn = 2e-6 * (1 + off[0]) * found.one - 23e-6 * (1 + off[1]) * found.two
    assert float(np.quantile(drawn, 0.99865)) == pytest.approx(growth_spread(found), rel=0.02)
