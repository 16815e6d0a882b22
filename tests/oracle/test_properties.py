"""Properties every answer must have, whatever the numbers: isotropic limit, turning, mirror, scale.

Nothing here needs a published value: two ways of asking the same thing must agree.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.materials import Metal, Ply

KEYS = ("carbon-sm-ud", "carbon-hm-ud", "glass-ud", "carbon-woven", "glass-woven")
NEED = """
[[case]]
kind = "combined"
axial = "-300 N"
moment = "4 N m"
torque = "3 N m"
shear = "50 N"
span = "0.4 m"
[[case]]
kind = "three-point"
load = "200 N"
span = "0.4 m"
roller_width = "6 mm"
[[case]]
kind = "cantilever"
load = "40 N"
span = "0.3 m"
tip_mass = "0.1 kg"
[limits]
deflection = "5 mm"
slope = "2 deg"
frequency_min = "20 Hz"
bend_radius = "1 m"
"""
angles = st.one_of(st.sampled_from((0.0, 90.0, 45.0, -45.0)), st.floats(-90, 90))
stacks = st.lists(
    st.tuples(st.sampled_from(KEYS), angles, st.floats(0.05, 0.5)), min_size=1, max_size=6
)


def tube_of(stack, bore=12.0):
    return tc.Tube(tc.Layup.of([(key, a, f"{t!r} mm") for key, a, t in stack]), id=f"{bore!r} mm")


def stiffness(tube):
    return np.array([float(getattr(tube, n).magnitude) for n in ("EA", "EI", "GJ", "GA")])


def strengths(tube):
    columns = [c for c in tube.specific if "_per_mass_" in c and "EA" not in c]
    return tube.specific[columns].to_numpy()[0]


# -- isotropic limit --------------------------------------------------------------------------
isotropic = st.tuples(st.floats(20, 400), st.floats(0.05, 0.45), st.floats(50, 2000))


def twin(e, nu, fy):
    """The same isotropic solid as a metal and as a ply whose strengths are all the yield."""
    metal = Metal("m", E=f"{e!r} GPa", nu=nu, density="5 g/cm3", yield_strength=f"{fy!r} MPa")
    ply = Ply(
        "p", E1=f"{e!r} GPa", E2=f"{e!r} GPa", G12=f"{e / (2 * (1 + nu))!r} GPa", nu12=nu, nu23=nu,
        density="5 g/cm3", Xt=f"{fy!r} MPa", Xc=f"{fy!r} MPa", Yt=f"{fy!r} MPa", Yc=f"{fy!r} MPa",
        S12=f"{fy / math.sqrt(3)!r} MPa",
    )  # fmt: skip
    return metal, ply


@settings(max_examples=60, deadline=None)
@given(isotropic, st.lists(st.tuples(angles, st.floats(0.1, 0.6)), min_size=1, max_size=5))
def test_stack_of_an_isotropic_ply_is_the_metal_tube(solid, turned):
    """Stiffness of any stack of an isotropic ply is E A, E I, G J of the annulus.

    EA and EI to 0.3 % only: the layer-wise wall keeps one radial displacement for all plies, the
    solid one lets each radius contract by itself; R / t goes down to 2.5 here.
    """
    metal, ply = twin(*solid)
    wall = tc.Layup.of([(ply, a, f"{t!r} mm") for a, t in turned])
    stack = tc.Tube(wall, id="12 mm")
    solid_tube = tc.Tube(metal, od=stack.od, id=stack.id)
    e, nu = solid[0] * 1e9, solid[1]
    area, second = float(stack.area.to("m^2").magnitude), float(stack.I.to("m^4").magnitude)
    g = e / (2 * (1 + nu))
    by_hand = [e * area, e * second, 2 * g * second, g * area]
    np.testing.assert_allclose(stiffness(solid_tube), by_hand, rtol=1e-9)
    np.testing.assert_allclose(stiffness(stack), by_hand, rtol=3e-3)
    np.testing.assert_allclose(stiffness(stack)[2:], by_hand[2:], rtol=1e-9)


@settings(max_examples=60, deadline=None)
@given(isotropic, st.integers(-5000, 5000), st.integers(-40, 40), st.integers(-40, 40))
def test_metal_yields_by_von_mises_at_the_outside(solid, axial, moment, torque):
    """Combined axial force, moment and torque: s = N/A + M r/I, t = T r/J, s^2 + 3 t^2 = fy^2."""
    fy = solid[2]
    metal, _ = twin(*solid)
    tube = tc.Tube(metal, od="16 mm", id="12 mm")
    area, second = math.pi * 28e-6, math.pi / 64 * (16e-3**4 - 12e-3**4)
    s = abs(axial) / area + abs(moment) * 8e-3 / second
    t = torque * 8e-3 / (2 * second)
    mises = math.sqrt(s * s + 3 * t * t)
    if mises < 1e3:
        return
    text = (
        f'[[case]]\nkind = "combined"\naxial = "{axial!r} N"\nmoment = "{moment!r} N m"\n'
        f'torque = "{torque!r} N m"\n'
    )
    reserve = tc.check(tube, tc.Need.from_toml(text)).reserve["strength"]
    assert reserve == pytest.approx(fy * 1e6 / mises, rel=1e-6)


# -- turning, mirror, order ---------------------------------------------------------------------
@settings(max_examples=60, deadline=None)
@given(stacks)
def test_turning_every_ply_by_90_degrees_swaps_axial_and_hoop(stack):
    turned = [(k, a - 90 if a > 0 else a + 90, t) for k, a, t in stack]
    here, there = (tc.Layup.of([(k, a, f"{t!r} mm") for k, a, t in s]) for s in (stack, turned))
    swap = np.array([1, 0, 2])
    sign = np.array([1, 1, -1])
    for power, name in enumerate("ABD", start=1):
        a, b = getattr(here, name).magnitude, getattr(there, name).magnitude
        expected = a[np.ix_(swap, swap)] * np.outer(sign, sign)
        np.testing.assert_allclose(b, expected, rtol=1e-9, atol=here.t**power)  # a wall of 1 Pa


@settings(max_examples=60, deadline=None)
@given(stacks)
def test_mirrored_helix_is_the_same_tube(stack):
    """All angles negated: same stiffness and strength; only the sense of twist turns round."""
    mirrored = tube_of([(k, -a, t) for k, a, t in stack])
    tube = tube_of(stack)
    np.testing.assert_allclose(stiffness(mirrored), stiffness(tube), rtol=1e-9)
    np.testing.assert_allclose(strengths(mirrored), strengths(tube), rtol=1e-9)
    pull, other = tube.sections.pull, mirrored.sections.pull
    np.testing.assert_allclose(other.c13, -pull.c13, atol=1e-12 * float(pull.c33[0]), rtol=1e-6)


@settings(max_examples=60, deadline=None)
@given(stacks, st.randoms(use_true_random=False))
def test_order_of_plies_does_not_change_the_membrane(stack, random):
    shuffled = list(stack)
    random.shuffle(shuffled)
    a, b = (
        tc.Layup.of([(k, a, f"{t!r} mm") for k, a, t in s]).A.magnitude for s in (stack, shuffled)
    )
    np.testing.assert_allclose(a, b, rtol=1e-9, atol=1e-9 * a.max())


@settings(max_examples=60, deadline=None)
@given(stacks)
def test_a_ply_in_two_halves_is_the_same_ply(stack):
    halves = [(k, a, t / 2) for k, a, t in stack for _ in range(2)]
    np.testing.assert_allclose(stiffness(tube_of(halves)), stiffness(tube_of(stack)), rtol=1e-9)
    np.testing.assert_allclose(strengths(tube_of(halves)), strengths(tube_of(stack)), rtol=1e-6)


# -- scale and units ------------------------------------------------------------------------------
@settings(max_examples=60, deadline=None)
@given(stacks, st.floats(0.2, 5.0))
def test_everything_grows_by_its_power_of_size(stack, k):
    """Sizes times k: EA by k^2, EI and GJ by k^4; strength per mass per length by k^0 and k."""
    tube = tube_of(stack)
    big = tube_of([(key, a, t * k) for key, a, t in stack], 12.0 * k)
    np.testing.assert_allclose(
        stiffness(big), stiffness(tube) * np.array([k**2, k**4, k**4, k**2]), rtol=1e-8
    )
    for column, power in (("tension", 0), ("compression", 0), ("bending", 1), ("torsion", 1)):
        name = next(c for c in tube.specific if c.startswith(f"{column}_per_mass"))
        assert big.specific[name][0] == pytest.approx(tube.specific[name][0] * k**power, rel=1e-8)


@settings(max_examples=40, deadline=None)
@given(stacks, st.floats(0.3, 3.0))
def test_reserves_of_a_scaled_job_are_the_same(stack, k):
    """Lengths times k, forces k^2, moments k^3 (same stress): the strength reserves do not move."""
    job = (
        '[[case]]\nkind = "three-point"\nload = "{} N"\nspan = "{} m"\nroller_width = "{} m"\n'
        '[[case]]\nkind = "shaft"\ntorque = "{} N m"\n'
        '[[case]]\nkind = "strut"\nload = "{} N"\nspan = "{} m"\n'
        '[limits]\ndeflection = "{} m"\nbend_radius = "{} m"\n'
    )

    def at(k):
        f, m = k**2, k**3
        return tc.Need.from_toml(
            job.format(200 * f, 0.4 * k, 0.006 * k, 8 * m, -500 * f, 0.5 * k, 0.01 * k, k)
        )

    small = tc.check(tube_of(stack), at(1.0))
    big = tc.check(tube_of([(key, a, t * k) for key, a, t in stack], 12.0 * k), at(k))
    assert small.governing == big.governing
    for name, value in small.reserve.items():
        # tables of a wall have their nodes at fixed radii: what they give moves within their error
        rel = {"wall_buckling": 5e-3, "split": 2e-2}.get(name, 1e-6)
        assert big.reserve[name] == pytest.approx(value, rel=rel), name


@pytest.mark.parametrize("key", sorted(tc.constructions()["key"]))
def test_the_same_job_in_inches_and_pounds(key):
    """A need and a tube written in inch-pound units give the reserves of the same in SI."""
    si = tc.Need.from_toml(NEED)
    inch, pound = 0.0254, 0.45359237 * 9.80665
    text = NEED
    for old, new in (
        ("-300 N", f"{-300 / pound!r} lbf"), ("4 N m", f"{4 / pound / inch!r} lbf in"),
        ("3 N m", f"{3 / pound / inch!r} lbf in"), ("50 N", f"{50 / pound!r} lbf"),
        ("200 N", f"{200 / 9.80665!r} kgf"), ("40 N", f"{40 / pound!r} lbf"),
        ("0.4 m", f"{0.4 / inch!r} in"), ("0.3 m", f"{0.3 / inch / 12!r} ft"),
        ("6 mm", f"{6 / 25.4!r} in"), ("0.1 kg", f"{0.1 / 0.45359237!r} lb"),
        ("5 mm", f"{5 / 25.4!r} in"), ("2 deg", f"{math.radians(2)!r} rad"),
        ("20 Hz", "1200 rpm"), ("1 m", f"{1 / inch!r} in"),
    ):  # fmt: skip
        text = text.replace(f'"{old}"', f'"{new}"')
    other = tc.Need.from_toml(text)
    a = tc.check(tc.Tube(key, od="25.4 mm", id="22 mm"), si)
    b = tc.check(tc.Tube(key, od="1 in", id=f"{22 / 25.4!r} in"), other)
    assert a.governing == b.governing
    for name, value in a.reserve.items():
        assert b.reserve[name] == pytest.approx(value, rel=1e-9, nan_ok=True), name


# -- monotone -------------------------------------------------------------------------------------
@pytest.mark.parametrize("key", sorted(tc.constructions()["key"]))
def test_more_load_never_helps(key):
    tube = tc.Tube(key, od="25 mm", wall="2 mm")

    def at(k):
        return tc.Need.from_toml(
            f'[[case]]\nkind = "three-point"\nload = "{100 * k!r} N"\nspan = "0.6 m"\n'
            f'[[case]]\nkind = "strut"\nload = "{-400 * k!r} N"\nspan = "0.6 m"\n'
            f'[[case]]\nkind = "shaft"\ntorque = "{5 * k!r} N m"\nspan = "0.6 m"\n'
            '[limits]\ndeflection = "5 mm"\ntwist = "3 deg"\n'
        )

    one, two = (tc.check(tube, at(k)).reserve for k in (1.0, 2.0))
    for name in one.index:
        if name in ("frequency",):
            continue
        assert two[name] == pytest.approx(one[name] / 2, rel=1e-9), name


@settings(max_examples=40, deadline=None)
@given(stacks)
def test_equilibrium_of_the_ply_stresses(stack):
    """Axial stress of the table over the section gives back the force, shear stress the torque.

    Faces are joined by straight lines in each ply, which is off by the curvature of the stress.
    """
    tube = tube_of(stack, 30.0)
    radius = float(tube.sections.R[0])
    faces = radius + tube.layup.faces
    for load, name in ((1000.0, "axial"), (20.0, "torque")):
        table = tube.ply_stress(**{name: f"{load} {'N' if name == 'axial' else 'N m'}"})
        force = torque = 0.0
        for n, (inner, outer) in enumerate(itertools.pairwise(faces)):
            rows = table[table["ply"] == n + 1]
            c, s = (f(math.radians(rows["angle"].iloc[0])) for f in (math.cos, math.sin))
            s1, s2, t12 = (rows[f"{x}_MPa"].to_numpy() * 1e6 for x in ("sigma1", "sigma2", "tau12"))
            axial = c * c * s1 + s * s * s2 - 2 * c * s * t12
            shear = c * s * (s1 - s2) + (c * c - s * s) * t12
            x, w = np.polynomial.legendre.leggauss(4)
            r = (inner + outer) / 2 + (outer - inner) / 2 * x
            share = (r - inner) / (outer - inner)
            for total, power in ((axial, 1), (shear, 2)):
                value = total[0] + (total[1] - total[0]) * share
                part = 2 * math.pi * (outer - inner) / 2 * np.sum(w * value * r**power)
                force, torque = (force + part, torque) if power == 1 else (force, torque + part)
        big = abs(load)
        assert (force if name == "axial" else torque) == pytest.approx(load, rel=2e-3)
        other = torque / radius if name == "axial" else force * radius
        assert other == pytest.approx(0.0, abs=2e-3 * big)
