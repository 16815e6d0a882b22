"""Shear lag of bonded laps against SciPy's boundary-value solver, hand limits and symmetry.

The published values (Volkersen, Shigley, tubular laps in tension and torsion) are rows of
data/evidence/joints.csv and tested there.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

import tubecalc as tc
from tubecalc.joining import bond_lag, bond_plastic, bond_taper
from tubecalc.joining.bond_lag import Lap

ONE = np.ones(1)


def lap(length: float, width: float, spring: float, tube: float, insert: float) -> Lap:
    return Lap(*(x * ONE for x in (length, width, spring, tube, insert)))


def random_laps(count: int, seed: int) -> Lap:
    """Overlaps of 5 to 60 mm on tubes of 6 to 60 mm, stiff and soft members and adhesives."""
    rng = np.random.default_rng(seed)
    return Lap(
        rng.uniform(5e-3, 60e-3, count), np.pi * rng.uniform(6e-3, 60e-3, count),
        10 ** rng.uniform(11.5, 12.9, count), 10 ** rng.uniform(6, 7.5, count),
        10 ** rng.uniform(6, 7.5, count),
    )  # fmt: skip


def oracle(one: Lap, load: float, mismatch: float, x: np.ndarray, **taper) -> np.ndarray:
    """Shear stress from forces and slip, N_i' = c k d and d' = N_i/S_i - N_t/S_t + e."""
    length, c, k, tube, insert = (float(v[0]) for v in one)
    tube_of = taper.get("tube", lambda s: np.full_like(s, tube))
    insert_of = taper.get("insert", lambda s: np.full_like(s, insert))

    def slopes(s: np.ndarray, y: np.ndarray) -> np.ndarray:
        force, slip = y
        strain = force / insert_of(s) - (load - force) / tube_of(s) + mismatch
        return np.vstack([c * k * slip, strain])

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.array([a[0], b[0] - load])

    # force and slip are scaled to be alike in size
    big = abs(load) + abs(mismatch) * min(tube, insert)
    unit = big / (c * k * length)
    s0 = np.linspace(0.0, length, 200)
    found = solve_bvp(
        lambda s, y: slopes(s, y * np.array([[big], [unit]])) / np.array([[big], [unit]]),
        lambda a, b: ends(a * [big, unit], b * [big, unit]) / big,
        s0, np.vstack([load / big * s0 / length, np.ones(200)]), tol=1e-7, max_nodes=40000,
    )  # fmt: skip
    assert found.status == 0, found.message
    return k * found.sol(x)[1] * unit


@pytest.mark.parametrize("case", range(12))
def test_closed_form_is_the_boundary_value_problem(case: int) -> None:
    """Random laps, load and heat together; tolerance: the solver works to 1e-7."""
    laps = random_laps(12, 5)
    one = Lap(*(v[case : case + 1] for v in laps))
    x = np.linspace(0.0, float(one.length[0]), 41)
    for load, e in ((5e3, 0.0), (0.0, 4e-4), (-3e3, 2e-4)):
        ours = bond_lag.shear(one, load, e, x)
        assert ours == pytest.approx(oracle(one, load, e, x), abs=1e-5 * np.abs(ours).max())


def test_ends_are_those_of_the_curve_and_the_curve_carries_the_load() -> None:
    """Equilibrium: the stress times the width sums up to the load, heat adds nothing."""
    laps = random_laps(50, 7)
    x = bond_taper.nodes(laps.length, 4000)
    tau = bond_lag.shear(laps, 4e3, 3e-4, x)
    assert np.allclose(tau[[0, -1]], bond_lag.end_shear(laps, 4e3, 3e-4), rtol=1e-12)
    total = np.trapezoid(tau, x, axis=0) * laps.width
    assert np.allclose(total, 4e3, rtol=1e-4)  # trapezia


def test_stiff_members_share_the_load_evenly() -> None:
    """Rigid members: peak equals average."""
    one = lap(0.02, 0.1, 1e12, 1e13, 1e13)
    assert np.concatenate(bond_lag.end_shear(one, 2e3)) == pytest.approx([1e6, 1e6], rel=1e-4)


def test_a_long_lap_forgets_its_length() -> None:
    """By hand, half-infinite lap: k (P/S_t) / w at the insert's end."""
    one = lap(0.5, 0.1, 1e12, 1e7, 3e7)
    rate = np.sqrt(0.1 * 1e12 * (1e-7 + 1 / 3e7))
    ends = bond_lag.end_shear(one, 2e3)
    assert float(ends[0][0]) == pytest.approx(1e12 * 2e3 / 1e7 / rate, rel=1e-9)
    longer = bond_lag.end_shear(one._replace(length=np.array([5.0])), 2e3)
    assert np.allclose(ends, longer, rtol=1e-12)
    assert np.isfinite(bond_lag.shear(one._replace(length=ONE * 100), 1.0, 0.0, np.array([50.0])))


@settings(max_examples=40, deadline=None)
@given(
    st.floats(2e-3, 0.2), st.floats(5.5, 8), st.floats(5.5, 8), st.floats(11, 13),
    st.floats(-1e-3, 1e-3),
)  # fmt: skip
def test_a_lap_turned_round_is_the_same_lap(
    length: float, tube: float, insert: float, spring: float, e: float
) -> None:
    one = lap(length, 0.08, 10**spring, 10**tube, 10**insert)
    first = bond_lag.end_shear(one, 1e3, e)
    other = bond_lag.end_shear(one.turned(), 1e3, -e)
    assert np.allclose(first, other[::-1], rtol=1e-9)
    # the peak of the load alone lies where the softer member carries it
    a, b = (float(v[0]) for v in bond_lag.end_shear(one, 1e3))
    assert (a >= b * (1 - 1e-9)) == (tube <= insert) or abs(a - b) < 1e-6 * a


# --- flowing adhesive ----------------------------------------------------------------------
def test_short_laps_flow_all_over_and_long_ones_end_at_the_energy() -> None:
    strength, slip = 20e6 * ONE, 80e-6 * ONE
    short = lap(2e-3, 0.08, 2e12, 1e7, 1e7)
    assert float(bond_plastic.ultimate(short, strength, slip)[0]) == pytest.approx(
        20e6 * 0.08 * 2e-3, rel=1e-9
    )
    long = lap(0.4, 0.08, 2e12, 1e7, 2e7)
    work = 20e6 * (80e-6 - 20e6 / 2e12 / 2)  # area under the curve, by hand
    reach = np.sqrt(2 * 0.08 * (1e-7 + 0.5e-7) * work)
    assert float(bond_plastic.ultimate(long, strength, slip, 2e-4 * ONE)[0]) == pytest.approx(
        min(1e7 * (reach + 2e-4), 2e7 * (reach - 2e-4)), rel=1e-6
    )


def test_brittle_adhesive_breaks_when_it_yields() -> None:
    laps = random_laps(60, 9)
    strength = np.full(60, 25e6)
    slip = strength / laps.spring
    for e in (0.0, 2e-4, -2e-4):
        ours = bond_plastic.ultimate(laps, strength, slip, e)
        assert np.allclose(ours, bond_lag.yield_load(laps, strength, e), rtol=1e-6, atol=1e-3)


@pytest.mark.parametrize("case", range(10))
def test_ultimate_load_is_where_the_solver_finds_the_breaking_slip(case: int) -> None:
    """SciPy solves the flowing joint under 99.9 % and 100.1 % of our load."""
    laps = random_laps(10, 21)
    one = Lap(*(v[case : case + 1] for v in laps))
    length, c, k, tube, insert = (float(v[0]) for v in one)
    strength, slip, e = 22e6, 22e6 / k * (3 + 2 * case), 1.5e-4 * (-1) ** case
    ours = float(bond_plastic.ultimate(one, strength * ONE, slip * ONE, e * ONE)[0])
    if ours > 0.998 * c * length * strength:
        return  # flows all over: the slip is not set by the load
    start = bond_taper.ultimate(straight(one), strength * ONE, slip * ONE, e * ONE).slip[:, 0]
    reached = []
    for load in (0.999 * ours, 1.001 * ours):
        x = bond_taper.nodes(one.length)[:, 0]
        guess = np.vstack([start, np.gradient(start, x)]) / slip
        found = solve_bvp(
            lambda s, y: np.vstack(
                [y[1], c * (1 / tube + 1 / insert) * np.clip(k * slip * y[0], -strength, strength)
                 / slip]
            ),
            lambda a, b, p=load: np.array(
                [a[1] + (p / tube - e) / slip, b[1] - (p / insert + e) / slip]
            ),
            x, guess, tol=1e-5, max_nodes=60000,
        )  # fmt: skip
        assert found.status == 0, found.message
        reached.append(max(found.y[0, 0], found.y[0, -1]))
    assert reached[0] < 1.0 < reached[1]


def test_longer_never_carries_less_and_the_useful_overlap_is_found() -> None:
    base = random_laps(30, 3)
    strength, slip = np.full(30, 20e6), np.full(30, 90e-6)
    loads = [
        bond_plastic.ultimate(base._replace(length=x * np.ones(30)), strength, slip)
        for x in (2e-3, 6e-3, 2e-2, 6e-2, 0.2, 0.6)
    ]
    assert np.all(np.diff(loads, axis=0) >= -1e-6 * np.array(loads[1:]))
    most = bond_plastic.long_ultimate(base, strength, slip)
    assert np.allclose(loads[-1], np.minimum(most, 0.6 * base.width * strength), rtol=1e-6)
    need = bond_plastic.overlap_for(base, 0.95 * most, strength, slip)
    again = bond_plastic.ultimate(base._replace(length=need), strength, slip)
    assert np.allclose(again, 0.95 * most, rtol=1e-6)
    assert np.isnan(bond_plastic.overlap_for(base, 1.01 * most, strength, slip)).all()


# --- tapers ----------------------------------------------------------------------------------
def straight(laps: Lap) -> bond_taper.Taper:
    n = bond_taper.ELEMENTS
    shape = (n, len(laps.length))
    return bond_taper.Taper(
        bond_taper.nodes(laps.length, n), laps.width, laps.spring,
        np.broadcast_to(laps.tube, shape), np.broadcast_to(laps.insert, shape),
    )  # fmt: skip


def test_elements_give_the_closed_form_where_the_lap_is_straight() -> None:
    """Mesh error: 0.2 % at decays up to w l = 140."""
    laps = random_laps(80, 11)
    t = straight(laps)
    load, heat = bond_taper.elastic(t)
    ours = laps.spring * (4e3 * load + 3e-4 * heat)
    exact = bond_lag.shear(laps, 4e3, 3e-4, t.x)
    assert (np.abs(ours - exact).max(axis=0) / np.abs(exact).max(axis=0)).max() < 2e-3
    strength, slip = np.full(80, 20e6), 20e6 / laps.spring * np.linspace(1, 20, 80)
    for e in (0.0, 2e-4):
        flow = bond_taper.ultimate(t, strength, slip, e).load
        want = bond_plastic.ultimate(laps, strength, slip, e)
        assert np.allclose(flow, want, rtol=2e-3, atol=1.0)


@pytest.mark.parametrize("case", range(8))
def test_tapers_against_the_boundary_value_solver(case: int) -> None:
    """Insert thinned towards its end, tube towards its own; down to 5 %, load and heat."""
    laps = random_laps(8, 31)
    one = Lap(*(v[case : case + 1] for v in laps))
    length, tube, insert = float(one.length[0]), float(one.tube[0]), float(one.insert[0])
    low = 0.05 + 0.1 * case

    def share_i(s: np.ndarray) -> np.ndarray:
        return np.minimum(low + (1 - low) * s / (0.6 * length), 1.0)

    def share_t(s: np.ndarray) -> np.ndarray:
        return np.minimum(low + (1 - low) * (length - s) / length, 1.0)

    t = straight(one)
    middle = (t.x[1:] + t.x[:-1]) / 2
    t = t._replace(tube=tube * share_t(middle), insert=insert * share_i(middle))
    load, heat = (v[:, 0] for v in bond_taper.elastic(t))
    for p, e in ((4e3, 0.0), (0.0, 3e-4)):
        ours = float(one.spring[0]) * (p * load + e * heat)
        want = oracle(
            one, p, e, t.x[:, 0],
            tube=lambda s: tube * share_t(s), insert=lambda s: insert * share_i(s),
        )  # fmt: skip
        assert ours == pytest.approx(want, abs=3e-3 * np.abs(want).max())


def test_a_scarf_of_like_members_is_sheared_evenly() -> None:
    """Both members run out to nothing over the overlap: every place carries the average."""
    one = lap(0.05, 0.1, 1e12, 1e7, 1e7)
    t = straight(one)
    middle = (t.x[1:] + t.x[:-1]) / 2 / 0.05
    t = t._replace(tube=1e7 * (1 - middle), insert=1e7 * middle)
    tau = 1e12 * bond_taper.elastic(t)[0] * 5e3
    assert tau[:, 0] == pytest.approx(np.full(len(tau), 5e3 / 0.1 / 0.05), rel=1e-6)
    # and so it flows all over
    flow = bond_taper.ultimate(t, 20e6 * ONE, 60e-6 * ONE).load
    assert float(flow[0]) == pytest.approx(20e6 * 0.1 * 0.05, rel=1e-6)


def test_flowing_tapers_are_in_balance_and_break_just_once() -> None:
    """Slip nowhere beyond its limit, reached somewhere, and the stress carries the load."""
    laps = random_laps(120, 41)
    share = np.linspace(0.02, 1.0, bond_taper.ELEMENTS)[:, None]
    t = straight(laps)
    t = t._replace(tube=t.tube * share[::-1], insert=t.insert * share)
    strength = np.linspace(10e6, 40e6, 120)
    slip = strength / laps.spring * np.linspace(1, 25, 120)
    found = bond_taper.ultimate(t, strength, slip, np.linspace(-3e-4, 3e-4, 120))
    worst = np.abs(found.slip).max(axis=0) / slip
    held = found.load > 0
    assert worst[held] == pytest.approx(np.ones(held.sum()), rel=1e-6)
    stress = np.clip(laps.spring * found.slip, -strength, strength)
    carried = np.trapezoid(stress, t.x, axis=0) * laps.width
    assert carried[held] == pytest.approx(found.load[held], rel=1e-6)


@pytest.mark.parametrize("off", [0.0, 0.05, 0.1, 0.11, 0.12, 0.13])
def test_a_tapered_bond_that_flows_all_over_bears_its_whole_area(off):
    """60 K of cold and a thin side do not part a bond that has slip enough to flow everywhere.

    By hand: flow stress 17.9 MPa over the area 2 pi x 12.9 mm x 30 mm, abraded 0.55.
    """
    tube = tc.Tube("roll-wrapped-woven", od="30 mm", id="26 mm")
    made = tc.bond(tube, "6061-T6", insert_wall="3 mm", overlap="30 mm", axial="2 kN",
                   taper="15 mm", off_centre=f"{off} mm", temperature="-20 degC")  # fmt: skip
    whole = 17.9e6 * 2 * np.pi * 12.9e-3 * 30e-3 * 0.55
    assert float(made.strengths["tension"][0]) == pytest.approx(whole, rel=1e-3)
