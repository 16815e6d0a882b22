"""Exact beams against the closed forms: Ritz with high polynomials, roots and quadrature (scipy).

The oracles share no code with the product: the energy of a Timoshenko beam is integrated with
Legendre polynomials, whose ends are held by a null space; frequencies of the uniform beam are roots
of its characteristic equation; deflections are integrals of M m / EI + V v / kGA.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.polynomial import legendre
from scipy.integrate import quad
from scipy.linalg import eigh, null_space
from scipy.optimize import brentq

import tubecalc as tc
from tubecalc.beam import Span, exact_root
from tubecalc.loads import flexure
from tubecalc.materials import Metal, Ply
from tubecalc.need import Case

DEGREE = 20
AXIAL = Ply("axial", E1="130 GPa", E2="9 GPa", G12="4.5 GPa", nu12=0.3, density="1.55 g/cm3")
STEEL = Metal("steel", E="200 GPa", nu=0.3, density="7.9 g/cm3")
# ends: (deflection, slope) held at 0, then at L
HELD = {
    "pinned-pinned": ((1, 0), (1, 0)),
    "fixed-free": ((1, 1), (0, 0)),
    "fixed-fixed": ((1, 1), (1, 1)),
    "fixed-pinned": ((1, 1), (1, 0)),
    "free-free": ((0, 0), (0, 0)),
}


class Beam:
    """Timoshenko beam of unit length on x = 0..1: w and psi as Legendre series."""

    def __init__(self, ends):
        x, weight = legendre.leggauss(DEGREE + 4)
        self.weight = weight / 2
        self.p = legendre.legvander(x, DEGREE)
        eye = np.eye(DEGREE + 1)
        self.dp = 2 * np.stack([legendre.legval(x, legendre.legder(c)) for c in eye], 1)
        at = legendre.legvander(np.array([-1.0, 1.0]), DEGREE)
        rows = []
        for end, (w, psi) in enumerate(HELD[ends]):
            zero = np.zeros(DEGREE + 1)
            rows += [np.r_[at[end], zero]] if w else []
            rows += [np.r_[zero, at[end]]] if psi else []
        self.free = null_space(np.array(rows)) if rows else np.eye(2 * DEGREE + 2)
        self.tip = np.r_[at[1], np.zeros(DEGREE + 1)]

    def form(self, left, right):
        return left.T @ (self.weight[:, None] * right)

    def held(self, matrix):
        return self.free.T @ matrix @ self.free

    def stiffness(self, shear):
        """Bending 1, shear stiffness over EI / L^2."""
        z = np.zeros((DEGREE + 1, DEGREE + 1))
        gap = np.hstack([self.dp, -self.p])
        bend = np.block([[z, z], [z, self.form(self.dp, self.dp)]])
        return self.held(bend + shear * self.form(gap, gap))

    def column(self, shear):
        """Least P L^2 / EI."""
        z = np.zeros((DEGREE + 1, DEGREE + 1))
        load = self.held(np.block([[self.form(self.dp, self.dp), z], [z, z]]))
        return 1 / eigh(load, self.stiffness(shear), eigvals_only=True)[-1]

    def frequency(self, shear, rotary, tip, mode):
        """omega^2 m L^4 / EI of a mode; rotary inertia over m L^2, tip mass over m L."""
        z = np.zeros((DEGREE + 1, DEGREE + 1))
        mass = np.block([[self.form(self.p, self.p), z], [z, rotary * self.form(self.p, self.p)]])
        mass = mass + tip * np.outer(self.tip, self.tip)
        return eigh(self.stiffness(shear), self.held(mass), eigvals_only=True)[mode - 1]


def section(tube):
    s = tube.sections
    return (float(x[0]) for x in (s.EI, s.kGA, s.mass_per_length, s.I, s.area))


sizes = st.tuples(st.sampled_from((AXIAL, STEEL)), st.floats(4, 80), st.floats(0.05, 0.6))


@settings(max_examples=100, deadline=None)
@given(
    sizes,
    st.floats(7, 80),
    st.sampled_from(("pinned-pinned", "fixed-free", "fixed-fixed", "fixed-pinned")),
)
def test_column_with_shear(size, slender, ends):
    """The column of every end against the exact shear-flexible one, propped all-axial included."""
    material, od, share = size
    tube = tc.Tube(material, od=f"{od!r} mm", wall=f"{share * od / 2!r} mm")
    span = slender * od * 1e-3
    ei, kga, *_ = section(tube)
    exact = Beam(ends).column(kga * span**2 / ei) * ei / span**2
    found = float(tube.critical("column", length=f"{span!r} m", ends=ends).magnitude)
    assert found == pytest.approx(exact, rel=1e-6)


@pytest.mark.parametrize("mode", [1, 2, 3])
@settings(max_examples=60, deadline=None)
@given(ratio=st.one_of(st.floats(1e-3, 1.0), st.floats(1.0, 300.0)))
def test_cantilever_with_tip_mass_by_its_characteristic_equation(mode, ratio):
    """Root of 1 + cos cosh = mu beta (sin cosh - cos sinh), between those of free and held tip."""

    def equation(b):
        return (
            1 + math.cos(b) * math.cosh(b)
            - ratio * b * (math.sin(b) * math.cosh(b) - math.cos(b) * math.sinh(b))
        ) / math.cosh(b)  # fmt: skip

    free = [brentq(lambda b: math.cos(b) + 1 / math.cosh(b), k - 1, k + 1) for k in (2, 5, 8)]
    pinned = [1e-9] + [brentq(lambda b: math.tan(b) - math.tanh(b), k, k + 0.5) for k in (3.7, 6.9)]
    root = brentq(equation, pinned[mode - 1], free[mode - 1])
    found = exact_root(Span("fixed-free"), mode, np.zeros(1), np.zeros(1), np.array([ratio]))
    assert float(found[0]) == pytest.approx(root**4, rel=1e-9)


tips = st.one_of(st.just(0.0), st.floats(1e-6, 50))  # tip mass over the mass of the beam


@settings(max_examples=80, deadline=None)
@given(sizes, st.floats(10, 80), st.sampled_from(sorted(HELD)), tips, st.integers(1, 3))
def test_frequency_with_shear_rotary_inertia_and_tip_mass(size, slender, ends, tip, mode):
    """Modes 1 to 5 against the whole Timoshenko beam; the first comes from a table, 0.01 %."""
    material, od, share = size
    tip = tip if ends == "fixed-free" else 0.0
    tube = tc.Tube(material, od=f"{od!r} mm", wall=f"{share * od / 2!r} mm")
    span = slender * od * 1e-3
    ei, kga, m, second, area = section(tube)
    skip = 2 if ends == "free-free" else 0
    exact = Beam(ends).frequency(kga * span**2 / ei, second / area / span**2, tip, mode + skip)
    hertz = math.sqrt(exact * ei / m) / span**2 / (2 * math.pi)
    found = float(
        tube.frequency(
            length=f"{span!r} m", ends=ends, tip_mass=f"{tip * m * span!r} kg", mode=mode
        )
        .to("Hz")
        .magnitude
    )
    assert found == pytest.approx(hertz, rel=1e-4 if mode == 1 else 1e-6)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.1, 5), st.floats(1, 1e4), st.floats(0.05, 0.95))
def test_deflections_by_quadrature(span, load, inner):
    """Unit-load integrals of every bending case: mid-span or tip deflection, slope at the end."""
    inside = inner * span
    a, half = (span - inside) / 2, span / 2

    def middle(x):  # moment and shear of a unit load at mid-span
        return min(x, span - x) / 2, 0.5 if x < half else -0.5

    def three(x):
        return load / 2 * min(x, span - x), load / 2 * (1 if x < half else -1)

    def four(x):
        return load / 2 * min(x, a, span - x), load / 2 * (int(x < a) - int(x > span - a))

    def spread(x):
        return load / span * x * (span - x) / 2, load / span * (half - x)

    def tip(x):  # x from the free tip
        return load * x, load

    def spread_tip(x):
        return load * x**2 / (2 * span), load * x / span

    held = [
        (Case("three-point", load=load, span=span), three),
        (Case("four-point", load=load, span=span, inner_span=inside), four),
        (Case("uniform", load=load, span=span), spread),
    ]
    free = [
        (Case("cantilever", load=load, span=span), tip),
        (Case("uniform", load=load, span=span, ends="fixed-free"), spread_tip),
    ]

    def rotation(x):  # unit moment at the left support
        return 1 - x / span, 0.0

    for case, inside_forces in held:
        _compare(flexure(case), inside_forces, middle, rotation, span, [a, half, span - a])
    for case, inside_forces in free:
        _compare(flexure(case), inside_forces, lambda x: (x, 1.0), lambda x: (1.0, 0.0), span, None)


def _compare(found, forces, unit, rotation, span, breaks):
    def integral(of):
        return quad(of, 0, span, points=breaks)[0]

    assert found.bend == pytest.approx(integral(lambda x: forces(x)[0] * unit(x)[0]), rel=1e-6)
    assert found.shear == pytest.approx(integral(lambda x: forces(x)[1] * unit(x)[1]), rel=1e-6)
    assert found.turn == pytest.approx(integral(lambda x: forces(x)[0] * rotation(x)[0]), rel=1e-6)
