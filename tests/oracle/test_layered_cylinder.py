"""Second opinion on EA, GJ and ply stress: an exact layered cylinder by radial finite elements.

Three-dimensional ply stiffness turned by index tensors, radial displacement free in every ply,
common axial strain and twist rate; the energy is integrated by Gauss and solved by numpy. It shares
no code and no assumption (plane stress, membrane) with the product.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.materials import Ply

CARBON = {"E1": 130e9, "E2": 9e9, "G12": 4.5e9, "nu12": 0.30, "nu23": 0.40, "rho": 1550.0}
GLASS = {"E1": 45.6e9, "E2": 16.2e9, "G12": 5.83e9, "nu12": 0.278, "nu23": 0.40, "rho": 1950.0}
ALLOY = {"E1": 70e9, "E2": 70e9, "G12": 70e9 / 2.6, "nu12": 0.30, "nu23": 0.30, "rho": 2700.0}
CELLS = 16  # quadratic elements a ply; 5e-4 on face stress of one hoop ply at R / t 2
_VOIGT = ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))  # x, hoop, radius


def stiffness(m: dict[str, float], degrees: float) -> np.ndarray:
    """6 x 6 stiffness in (axial, hoop, radius) axes, turned through the fourth-order tensor."""
    e1, e2, g, n12, n23 = (m[k] for k in ("E1", "E2", "G12", "nu12", "nu23"))
    s = np.zeros((6, 6))
    s[0, 0], s[1, 1], s[2, 2] = 1 / e1, 1 / e2, 1 / e2
    s[0, 1] = s[1, 0] = s[0, 2] = s[2, 0] = -n12 / e1
    s[1, 2] = s[2, 1] = -n23 / e2
    s[3, 3], s[4, 4], s[5, 5] = 2 * (1 + n23) / e2, 1 / g, 1 / g
    c = np.linalg.inv(s)
    full = np.zeros((3, 3, 3, 3))
    for a, (i, j) in enumerate(_VOIGT):
        for b, (k, p) in enumerate(_VOIGT):
            for x, y in {(i, j), (j, i)}:
                for v, w in {(k, p), (p, k)}:
                    full[x, y, v, w] = c[a, b]
    t = math.radians(degrees)
    r = np.array([[math.cos(t), -math.sin(t), 0], [math.sin(t), math.cos(t), 0], [0, 0, 1]])
    turned = np.einsum("ia,jb,kc,ld,abcd->ijkl", r, r, r, r, full)
    return np.array([[turned[i, j, k, p] for k, p in _VOIGT] for i, j in _VOIGT])


class Cylinder:
    """Plies (material, angle, thickness) from a bore radius; unknowns axial strain, twist, u(r)."""

    def __init__(self, plies, bore):
        edges, ply_of = [bore], []
        for n, (_, _, t) in enumerate(plies):
            edges += [edges[-1] + t * (k + 1) / CELLS for k in range(CELLS)]
            ply_of += [n] * CELLS
        self.c = [stiffness(m, a) for m, a, _ in plies]
        nodes = 2 * len(ply_of) + 1
        k = np.zeros((2 + nodes, 2 + nodes))
        x, w = np.polynomial.legendre.leggauss(4)
        self.points = []
        for cell, n in enumerate(ply_of):
            a, b = edges[cell], edges[cell + 1]
            for xi, weight in zip(x, w, strict=True):
                r = (a + b) / 2 + (b - a) / 2 * xi
                row = self._strain(cell, xi, r, b - a, nodes)
                k += 2 * math.pi * r * weight * (b - a) / 2 * row.T @ self.c[n] @ row
                self.points.append((n, r, row))
        self.solution = np.linalg.solve(k, np.eye(2 + nodes)[:, :2])  # unit force, unit torque
        self.faces = [self._face(cell, n, xi, edges, nodes)
                      for cell, n in enumerate(ply_of)
                      for xi in ([-1.0] if cell % CELLS == 0 else [])
                      + ([1.0] if cell % CELLS == CELLS - 1 else [])]  # fmt: skip

    @staticmethod
    def _strain(cell, xi, r, length, nodes):
        """Rows: axial, hoop, radial, hoop-radius, axial-radius, axial-hoop strain."""
        shape = np.array([xi * (xi - 1) / 2, 1 - xi**2, xi * (xi + 1) / 2])
        slope = np.array([xi - 0.5, -2 * xi, xi + 0.5]) * 2 / length
        row = np.zeros((6, 2 + nodes))
        at = slice(2 + 2 * cell, 5 + 2 * cell)
        row[0, 0], row[5, 1] = 1.0, r
        row[1, at], row[2, at] = shape / r, slope
        return row

    def _face(self, cell, n, xi, edges, nodes):
        r = edges[cell + (xi > 0)]
        return n, self._strain(cell, xi, r, edges[cell + 1] - edges[cell], nodes)

    @property
    def ea(self):
        return 1 / self.solution[0, 0]

    @property
    def gj(self):
        return 1 / self.solution[1, 1]

    def fibre_stress(self, load, angles):
        """Fibre stress on the inner and outer face of every ply for a unit load (0 N, 1 T)."""
        out = []
        for n, row in self.faces:
            s = self.c[n] @ row @ self.solution[:, load]
            t = math.radians(angles[n])
            c, k = math.cos(t), math.sin(t)
            out.append(s[0] * c * c + s[1] * k * k + 2 * s[5] * c * k)
        return np.array(out)


def as_ply(m):
    return Ply(
        f"{m['rho']:g}", E1=f"{m['E1']!r} Pa", E2=f"{m['E2']!r} Pa", G12=f"{m['G12']!r} Pa",
        nu12=m["nu12"], nu23=m["nu23"], density=f"{m['rho']!r} kg/m3",
    )  # fmt: skip


OURS = {id(m): as_ply(m) for m in (CARBON, GLASS, ALLOY)}
angles = st.one_of(st.sampled_from((0.0, 90.0, 45.0, -45.0, 30.0, 80.0)), st.floats(-90, 90))
plies = st.lists(
    st.tuples(st.sampled_from((CARBON, GLASS, ALLOY)), angles, st.floats(0.05, 0.4)),
    min_size=1, max_size=6,
)  # fmt: skip
slender = st.sampled_from((2.0, 4.5, 19.5))


def both(stack, ratio):
    """The exact cylinder and our tube, R / t as given."""
    total = sum(t for _, _, t in stack)
    bore = (ratio - 0.5) * total
    exact = Cylinder([(m, a, t * 1e-3) for m, a, t in stack], bore * 1e-3)
    wall = tc.Layup.of([(OURS[id(m)], a, f"{t!r} mm") for m, a, t in stack])
    return exact, tc.Tube(wall, id=f"{2 * bore!r} mm")


def test_isotropic_cylinder_is_exact():
    """The oracle itself: EA = E A and GJ = G J of a homogeneous tube."""
    exact = Cylinder([(ALLOY, 0.0, 1e-3)], 4e-3)
    assert exact.ea == pytest.approx(70e9 * math.pi * (25e-6 - 16e-6), rel=1e-9)
    assert exact.gj == pytest.approx(70e9 / 2.6 * math.pi / 2 * (625e-12 - 256e-12), rel=1e-9)


TOLERANCE = 5e-4


@settings(max_examples=100, deadline=None)
@given(plies, slender)
def test_random_stacks_stretch_and_twist_like_the_exact_cylinder(stack, ratio):
    """EA and GJ of any stack, unbalanced and mixed ones too.

    The exact wall, interpolated over t / R.
    """
    exact, tube = both(stack, ratio)
    assert float(tube.EA.magnitude) == pytest.approx(exact.ea, rel=TOLERANCE)
    assert float(tube.GJ.magnitude) == pytest.approx(exact.gj, rel=TOLERANCE)


@pytest.mark.parametrize("key", sorted(tc.constructions()["key"]))
@pytest.mark.parametrize("ratio", [4.5, 19.5])
def test_every_construction_stretches_and_twists_like_the_exact_cylinder(key, ratio):
    """EA and GJ of the walls that are made, with their own plies: 0.8 %."""
    od = 12.0 * (ratio + 0.5) / 5
    tube = tc.Tube(key, od=f"{od} mm", id=f"{od * (ratio - 0.5) / (ratio + 0.5)} mm")
    stack = [
        (
            {"E1": v.E1, "E2": v.E2, "G12": v.G12, "nu12": v.nu12, "nu23": v.nu23},
            ply.angle,
            ply.thickness,
        )
        for ply in tube.layup.plies
        for v in (ply.values,)
    ]
    exact = Cylinder(stack, float(tube.id.to("m").magnitude) / 2)
    assert float(tube.EA.magnitude) == pytest.approx(exact.ea, rel=0.008)
    assert float(tube.GJ.magnitude) == pytest.approx(exact.gj, rel=0.008)


@settings(max_examples=60, deadline=None)
@given(plies, slender)
def test_fibre_stress_of_any_stack(stack, ratio):
    """Fibre stress on both faces of every ply, force and torque, on the largest in the wall."""
    exact, tube = both(stack, ratio)
    e1 = max(m["E1"] for m, _, _ in stack)
    for n, (name, load) in enumerate((("axial", "1 N"), ("torque", "1 N m"))):
        ours = tube.ply_stress(**{name: load})["sigma1_MPa"].to_numpy() * 1e6
        want = exact.fibre_stress(n, [a for _, a, _ in stack])
        strain = 1 / exact.ea if n == 0 else float(tube.od.to("m").magnitude) / 2 / exact.gj
        scale = np.abs(want).max() + 1e-3 * e1 * strain
        assert np.abs(ours - want).max() <= 1e-3 * scale
