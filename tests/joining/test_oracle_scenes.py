"""Joints of an invented survey team's gear, each worked by hand beside the code.

Hand formulas and solvers are written out here from first principles: Lame's cylinder, the lag
equation by SciPy's boundary-value solver, virtual work of a stack of tubes, a balance of heat,
quadrature of a clamp's pressure. Nothing of the code under test is used to get an expected value
but stiffnesses of its tubes that other tests hold.
"""

from __future__ import annotations

import itertools
import math
from fractions import Fraction

import numpy as np
import pytest
from scipy.integrate import quad, solve_bvp

import tubecalc as tc
from tubecalc.joining import pole
from tubecalc.joining.adhesives import Adhesive
from tubecalc.joining.clamps import split_clamp
from tubecalc.joining.growth import athermal
from tubecalc.joining.mechanical import bolt
from tubecalc.joining.pole import Beam
from tubecalc.joining.sun import in_the_sun
from tubecalc.materials import Metal

STEEL = Metal("steel", E="200 GPa", nu=0.3, density="7.85 g/cm3", yield_strength="300 MPa",
              alpha="12e-6 1/K")  # fmt: skip
ALU = Metal("aluminium", E="70 GPa", nu=0.33, density="2.7 g/cm3", yield_strength="240 MPa",
            alpha="23e-6 1/K")  # fmt: skip
GLUE = Adhesive.of("glue", shear_modulus="0.5 GPa", nu=0.35, shear_strength="20 MPa",
                   shear_strain=0.3, tension="25 MPa", t_g="100 degC")  # fmt: skip
G0 = 9.80665
SIGMA = 5.670374e-8


def si(quantity: object, unit: str) -> float:
    return float(np.reshape(quantity.to(unit).m, -1)[0])  # type: ignore[attr-defined]


def test_steel_bush_pressed_into_an_aluminium_housing_warm_and_cold() -> None:
    """Lame's press fit of 20.02 into 20 mm; interference by growth at -20 and 60 degC.

    Tolerance 0.2 %: interference is taken on the bore, not on the mean of both diameters.
    """
    bush, housing = tc.Tube(STEEL, od="20.02 mm", id="14 mm"), tc.Tube(ALU, od="30 mm", id="20 mm")
    a, b, c = 7.0, 10.0, 15.0
    soft = ((c**2 + b**2) / (c**2 - b**2) + 0.33) / 70e9
    soft += ((b**2 + a**2) / (b**2 - a**2) - 0.3) / 200e9
    pressure = 0.02 / 20.0 / soft
    given = {"press": True, "outside": ["20.02 mm"], "bore": ["20 mm"], "overlap": "25 mm"}
    found = tc.fit(bush, housing, friction=0.12, **given)
    one = found.presses[0]
    assert one.pressure == pytest.approx(pressure, rel=2e-3)
    assert one.hoop_outer == pytest.approx(pressure * (c**2 + b**2) / (c**2 - b**2), rel=2e-3)
    assert one.hoop_inner == pytest.approx(-2 * pressure * b**2 / (b**2 - a**2), rel=2e-3)
    force = 0.12 * pressure * math.pi * 0.02 * 0.025
    assert (one.force, one.torque) == pytest.approx((force, force * 0.01), rel=2e-3)
    k = (c**2 + b**2) / (c**2 - b**2)  # von Mises at the bore: hoop k p against -p across
    assert one.reserve == pytest.approx(240e6 / (pressure * math.sqrt(k * k + k + 1)), rel=2e-3)
    for x in tc.fit(bush, housing, temperature=["-20 degC", "60 degC"], **given).at:
        rise = x.temperature - 20.0
        clearance = 20.0 * (1 + 23e-6 * rise) - 20.02 * (1 + 12e-6 * rise)
        assert x.middle == pytest.approx(clearance * 1e-3, rel=1e-9)


def test_steel_sleeve_over_an_aluminium_shaft_under_torque() -> None:
    """The lag d'' = w^2 d by hand in hyperbolic functions; tube's yield in shear by von Mises."""
    shaft, sleeve = tc.Tube(ALU, od="24 mm", id="20 mm"), tc.Tube(STEEL, od="30 mm", id="24.4 mm")
    made = tc.bond(shaft, sleeve, overlap="30 mm", adhesive=GLUE, torque="50 N m")
    a, length, torque, k = 12.1e-3, 0.03, 50.0, 0.5e9 / 0.2e-3
    gj_shaft = 70e9 / 2.66 * math.pi / 2 * (0.012**4 - 0.010**4)
    gj_sleeve = 200e9 / 2.6 * math.pi / 2 * (0.015**4 - 0.0122**4)
    w = math.sqrt(2 * math.pi * a**3 * k * (1 / gj_shaft + 1 / gj_sleeve))
    sinh = -torque / gj_shaft / w
    cosh = (torque / gj_sleeve / w - sinh * math.cosh(w * length)) / math.sinh(w * length)
    first = k * a * cosh
    last = k * a * (cosh * math.cosh(w * length) + sinh * math.sinh(w * length))
    assert si(made.shear_at_insert_end, "Pa") == pytest.approx(first, rel=1e-9)
    assert si(made.shear_at_tube_end, "Pa") == pytest.approx(last, rel=1e-9)
    assert si(made.average_shear, "Pa") == pytest.approx(torque / (2 * math.pi * a**2 * length))
    bears = 240e6 / math.sqrt(3) * math.pi / 2 * (0.012**4 - 0.010**4) / 0.012
    assert float(made.of_tube["torsion"][0]) == pytest.approx(bears, rel=1e-6)


def test_ferrule_on_a_solid_rod_tip_by_the_boundary_value_solver() -> None:
    """Solid pultruded tip of 6 mm in a steel ferrule of 0.5 mm, pulled; the bar's softness 3/4."""
    rod = tc.Tube("pultruded", od="6 mm", id="0 mm")
    made = tc.bond(rod, STEEL, place="over", insert_wall="0.5 mm", overlap="20 mm", gap="0.1 mm",
                   adhesive=GLUE, axial="500 N")  # fmt: skip
    ply = rod.layup.plies[0].values
    stiff_rod = ply.E1 * math.pi * 0.003**2
    stiff_ferrule = 200e9 * math.pi * (0.0036**2 - 0.0031**2)
    soft = 0.75 * 0.003 / (3 * ply.G12) + 0.5e-3 / (3 * 200e9 / 2.6)
    k = 1 / (0.1e-3 / 0.5e9 + soft)
    rate2 = 2 * math.pi * 3.05e-3 * k * (1 / stiff_rod + 1 / stiff_ferrule)
    found = solve_bvp(
        lambda x, y: np.vstack([y[1], rate2 * y[0]]),
        lambda p, q: np.array([p[1] + 500 / stiff_rod, q[1] - 500 / stiff_ferrule]),
        np.linspace(0.0, 0.02, 400), np.zeros((2, 400)), tol=1e-9, max_nodes=100_000,
    )  # fmt: skip
    assert found.status == 0
    assert si(made.shear_at_insert_end, "Pa") == pytest.approx(k * found.y[0, 0], rel=1e-6)
    assert si(made.shear_at_tube_end, "Pa") == pytest.approx(k * found.y[0, -1], rel=1e-6)


def test_sounding_pole_of_five_sections_by_virtual_work() -> None:
    """Every joint a pair of forces; droop as the integral of M m / EI + V v / kGA of all tubes."""
    tubes = [tc.Tube("pultruded", od=f"{d} mm", wall="1 mm") for d in (40, 37.6, 35.2, 32.8, 30.4)]
    pole = tc.nested(tubes, length="1 m", overlap="150 mm", load="2 N")
    bend = [float(t.sections.EI[0]) for t in tubes]
    shear = [float(t.sections.kGA[0]) for t in tubes]
    weight = [si(t.mass_per_length, "kg/m") * G0 for t in tubes]

    def forces(tip: float, own: list[float]) -> list[tuple[list[tuple[float, float]], float]]:
        out, points = [], [(1.0, tip)]
        for q in own[:0:-1]:
            total = sum(f for _, f in points) + q
            mouth = (sum(f * x for x, f in points) + q / 2) / 0.15
            out.append(([*points, (0.0, mouth - total), (0.15, -mouth)], q))
            points = [(0.85, total - mouth), (1.0, mouth)]
        return [(points, own[0]), *out[::-1]]

    x = (np.arange(100_000) + 0.5) / 100_000

    def inside(loads: tuple[list[tuple[float, float]], float]) -> tuple[np.ndarray, np.ndarray]:
        points, q = loads
        m = q * (1 - x) ** 2 / 2 + sum(f * np.maximum(at - x, 0) for at, f in points)
        return m, q * (1 - x) + sum(f * (at > x) for at, f in points)

    def droop(tip: float, own: list[float]) -> float:
        real, unit = forces(tip, own), forces(1.0, [0.0] * 5)
        out = 0.0
        for r, u, ei, kga in zip(real, unit, bend, shear, strict=True):
            (m, v), (m1, v1) = inside(r), inside(u)
            out += float(np.mean(m * m1 / ei + v * v1 / kga))
        return out

    assert pole.elastic == pytest.approx(droop(2.0, [0.0] * 5), rel=1e-6)
    assert pole.by_weight == pytest.approx(droop(0.0, weight), rel=1e-6)
    middles = [(n + 1) * 0.85 + 0.075 for n in range(4)]  # each joint turns about its middle
    assert pole.by_play == pytest.approx(sum(0.4e-3 / 0.15 * (4.4 - m) for m in middles))
    assert pole.mass == pytest.approx(sum(weight) / G0)


def test_stack_of_unlike_tubes_by_virtual_work_in_fractions() -> None:
    """Tubes whose stiffness differs 222 times on overlaps of 25 mm, exact rational numbers."""
    parts = [(1.0, 100.0), (3.0, 100.0), (0.5, 22245.0), (1.0, 100.0)]
    overlaps = [0.05078125, 0.025390625, 0.025390625]
    beams = [Beam(x, ei, 1e18, 0.0) for x, ei in parts]
    points, _ = pole.statics(beams, overlaps, 1.0)
    ends = [np.array([b.length]) for b in beams]
    found = float(pole.places(beams, overlaps, points, [0.0] * 3, ends)[-1][0])
    forces, total = [(Fraction(1), Fraction(1))], Fraction(0)
    for n in range(3, -1, -1):
        length, heel = Fraction(parts[n][0]), Fraction(0)
        if n:
            o = Fraction(overlaps[n - 1])
            mouth = sum(f * x for x, f in forces) / o
            heel = mouth - sum(f for _, f in forces)
            forces += [(Fraction(0), heel), (o, -mouth)]
        cuts = sorted({Fraction(0), length, *(x for x, _ in forces)})
        for a, b in itertools.pairwise(cuts):
            left, middle, right = (
                sum(f * max(x - s, Fraction(0)) for x, f in forces) for s in (a, (a + b) / 2, b)
            )
            total += (b - a) * (left**2 + 4 * middle**2 + right**2) / 6 / Fraction(parts[n][1])
        if n:
            base = Fraction(parts[n - 1][0])
            forces = [(base - o, -heel), (base, mouth)]
    assert found == pytest.approx(float(total), rel=1e-12)


def test_camera_boom_clamp_holds_what_the_integral_of_its_pressure_gives() -> None:
    """Pressure p cos t on two halves: force of a half F = p R L pi / 2, friction round by quad."""
    boom = tc.Tube("roll-wrapped", od="30 mm", wall="2 mm")
    clamp = split_clamp(boom, length="20 mm", screw="4 mm", friction=0.2)
    area = 0.015 * 0.02
    half = quad(lambda t: math.cos(t) ** 2 * area, -math.pi / 2, math.pi / 2)[0]
    round_ = 2 * quad(lambda t: math.cos(t) * area, -math.pi / 2, math.pi / 2)[0]
    p = clamp.force / half
    assert clamp.slip == pytest.approx(0.2 * p * round_, rel=1e-9)
    assert clamp.slip_torque == pytest.approx(0.2 * p * round_ * 0.015, rel=1e-9)


def test_hole_in_the_plane_of_bending_takes_a_fifth_of_the_section() -> None:
    """4 mm through both walls at mean radius 12: 2 d / (pi R) = 21 % of I; at the side nothing."""
    joiner = tc.Tube("pultruded", od="25 mm", id="23 mm")
    bears = float(joiner.sections.unit["bending"].broken[0]) / 10.0
    left = {
        place: bolt(joiner, hole="4 mm", load="1 N", moment="10 N m", place=place).limits[0].reserve
        for place in ("face", "side")
    }
    assert left["face"] / bears == pytest.approx(1 - 2 * 4 / (math.pi * 12), abs=0.01)
    assert left["side"] / bears == pytest.approx(1.0, abs=0.01)


@pytest.mark.parametrize("wind", [0.0, 2.0, 5.0])
def test_dark_boom_in_the_sun_gives_off_what_it_takes_up(wind: float) -> None:
    """Sun on the diameter, a fifth of it from the ground on half the circumference; 0.5 %."""
    boom = tc.Tube("6061-T6", od="50 mm", wall="2 mm")
    found = in_the_sun(boom, surface="black-anodised", wind=wind, air_temperature="35 degC")
    takes = 0.85 * 1000 * (0.05 + 0.2 * math.pi * 0.025)
    hot, air = found.mean + 273.15, 308.15
    gives = math.pi * 0.05 * (found.film * (hot - air) + 0.85 * SIGMA * (hot**4 - air**4))
    assert gives == pytest.approx(takes, rel=5e-3)


def test_gauge_arm_of_carbon_and_nickel_iron_keeps_its_length() -> None:
    """a1 L1 + a2 L2 = 0: one part in five of 1.2e-6 beside four of -0.3e-6."""
    found = athermal("-0.3e-6 /K", "1.2e-6 /K", length="1 m")
    assert (found.one, found.two, found.folded) == (pytest.approx(0.8), pytest.approx(0.2), False)


def test_link_plug_of_half_an_inch_needs_an_inch_of_bond() -> None:
    """15 kN at 15 MPa on 12.7 mm is 25.1 mm; 500 lbf over that is 15 % of it: the surfaces."""
    link = tc.Tube("roll-wrapped-woven", od="15 mm", id="12.7 mm")
    plug = tc.bond(link, "6061-T6", insert_wall="solid", overlap="25.1 mm", gap="0.28 mm",
                   axial="15 kN")  # fmt: skip
    mean = math.pi * (12.7 - 0.28) * 25.1
    assert si(plug.average_shear, "MPa") == pytest.approx(15e3 / mean)
    assert "surfaces let go" in plug.broke_at("500 lbf")
    assert "2.3 MPa" in plug.broke_at("500 lbf")
