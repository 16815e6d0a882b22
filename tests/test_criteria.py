"""Puck and LaRC03: their envelopes, the criteria by name, and the strength of held plies.

The published numbers stand in data/evidence/failure.csv; here are the shapes of the envelopes and
what the need and the stack do with a name.
"""

from __future__ import annotations

import numpy as np
import pytest

import tubecalc as tc
from tubecalc.errors import InputError
from tubecalc.laminate.criteria_insitu import in_situ
from tubecalc.laminate.layer import strengths_of
from tubecalc.laminate.strength import CRITERIA, first_failure_factor
from tubecalc.materials import get_ply

NAMES = ("puck", "larc03")
PLY = strengths_of([get_ply("carbon-sm-ud").si])
S = {k: float(getattr(PLY, k)[0]) for k in ("Xt", "Xc", "Yt", "Yc", "S12")}


def factor(name, s1, s2, t12):
    one = [np.atleast_1d(np.asarray(v, float)) for v in (s1, s2, t12)]
    return first_failure_factor(name, *np.broadcast_arrays(*one), PLY)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(
    ("axis", "sign", "strength"),
    [(0, 1, "Xt"), (0, -1, "Xc"), (1, 1, "Yt"), (1, -1, "Yc"), (2, 1, "S12"), (2, -1, "S12")],
)
def test_each_strength_alone_is_met(name, axis, sign, strength):
    """Any criterion returns the strength it was given; by definition, 0.1 %."""
    stress = [0.0, 0.0, 0.0]
    stress[axis] = sign * 1e6
    assert factor(name, *stress)[0] * 1e6 == pytest.approx(S[strength], rel=1e-3)


@pytest.mark.parametrize("name", NAMES)
def test_moderate_pressure_across_raises_the_shear_a_ply_carries(name):
    """Friction on the crack; both papers show the hump, Tsai-Hill has none."""
    shear = S["S12"]
    pressed = factor(name, 0.0, -0.3 * S["Yc"], shear)[0]
    assert pressed > 1.05
    assert factor("tsai-hill", 0.0, -0.3 * S["Yc"], shear)[0] < 1.0


@pytest.mark.parametrize("name", NAMES)
def test_sign_of_shear_does_not_matter_and_the_factor_scales(name):
    rng = np.random.default_rng(5)
    s1, s2, t12 = rng.uniform(-1, 1, (3, 60)) * np.array([[500e6], [60e6], [60e6]])
    there = factor(name, s1, s2, t12)
    assert factor(name, s1, s2, -t12) == pytest.approx(there, rel=1e-7)
    assert 7.0 * factor(name, 7 * s1, 7 * s2, 7 * t12) == pytest.approx(there, rel=1e-6)
    at = factor(name, *(there * v for v in (s1, s2, t12)))
    assert at == pytest.approx(np.ones(60), rel=1e-6)


def test_shear_lowers_the_compression_that_a_fibre_carries_before_it_kinks():
    """LaRC03: kinking; max stress does not know it."""
    shear = 0.5 * S["S12"] / S["Xc"]
    assert factor("larc03", -1e6, 0.0, shear * 1e6)[0] < 0.85 * S["Xc"] / 1e6
    assert factor("max-stress", -1e6, 0.0, shear * 1e6)[0] == pytest.approx(S["Xc"] / 1e6)


@pytest.mark.parametrize("name", NAMES)
def test_no_stress_is_no_failure_and_no_strength_is_not_known(name):
    assert factor(name, 0.0, 0.0, 0.0)[0] > 1e20
    bare = PLY._replace(Yt=np.array([np.nan]))
    one = np.ones(1)
    assert np.isnan(first_failure_factor(name, one, one, one, bare)[0])


@pytest.mark.parametrize("name", NAMES)
def test_named_in_a_need_and_on_a_stack(name):
    assert name in CRITERIA
    wall = tc.Layup.from_notation("[+/-45]_s", "carbon-sm-ud", "0.15 mm")
    found = wall.first_failure(Nx="100 N/mm", criterion=name)
    assert found.criterion == name
    assert found.load_factor == pytest.approx(
        wall.first_failure(Nx="100 N/mm", criterion="hashin").load_factor, rel=0.25
    )
    need = tc.Need.from_toml(
        f'[[case]]\nkind = "strut"\nload = "5 kN"\nspan = "300 mm"\n[factors]\ncriterion = "{name}"'
    )
    for key in ("roll-wrapped-woven", "roll-wrapped-45", "filament-wound"):
        reserve = tc.check(tc.Tube(key, od="20 mm", id="17 mm"), need).reserve
        assert 0 < reserve["first_ply"] < np.inf


def test_a_thin_held_ply_is_stronger_and_a_place_is_one_of_two():
    """A quarter of the thickness: twice the strength, from the same energy of the crack."""
    thick, thin = in_situ(PLY, 0.8e-3), in_situ(PLY, 0.2e-3)
    assert thin.Yt / thick.Yt == pytest.approx(2.0)
    assert pytest.approx(2**0.5) == thick.S12 / PLY.S12
    outer = in_situ(PLY, 2e-3, place="outer")
    assert (outer.Yt, outer.S12) == (PLY.Yt, PLY.S12)
    with pytest.raises(InputError, match="place of a ply"):
        in_situ(PLY, 1e-3, place="middle")
