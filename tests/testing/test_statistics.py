"""Statistics of tests: published factors and data sets, SciPy as oracle, promised confidence.

CMH-17-1G (2012) Tables 8.5.10 and 8.5.11 and the example data of its section 8.3.11, with the
results of STAT17 and CMH17-STATS, as quoted in the public validation document of the open
statistics package cmstatr (S. Kloppenborg, JOSS 5 (2020) 2265): SEEN there.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

import tubecalc as tc
from tubecalc.testing.basis_value import basis, basis_factor, more_tests, pooled_basis
from tubecalc.testing.censored import fit
from tubecalc.testing.statistics import (
    critical_residual,
    describe,
    goodness,
    modified_variation,
    normalised,
)

N18 = [
    137.4438, 139.5395, 150.89, 141.4474, 141.8203, 151.8821, 143.9245, 132.9732, 136.6419,
    138.1723, 148.7668, 143.283, 143.5429, 141.7023, 137.4732, 152.338, 144.1589, 128.5218,
]  # fmt: skip
HOT = {  # ETW of section 8.3.11.1.1
    1: [106.357525, 105.898733, 88.4640082, 103.901744, 80.2058219, 109.199597, 61.0139431],
    2: [99.3207107, 115.861770, 82.6133082, 85.3690411, 115.801622, 44.3217741, 117.328077,
        88.6782903],
    3: [107.676986, 108.960241, 116.122640, 80.2334815, 106.145570, 104.667866, 104.234953],
}  # fmt: skip
HOT2 = {  # ETW2 of the same section
    1: [99.0239966, 103.341238, 100.302130, 98.4634133, 92.2647280, 103.487693, 113.734763],
    2: [108.172659, 108.426732, 116.260375, 121.049610, 111.223082, 104.574843, 103.222552],
    3: [99.3918538, 87.3421658, 102.730741, 96.3694916, 99.5946088, 97.0712407],
}  # fmt: skip
POOL = {  # section 8.3.11.1.2
    "CTD": [79.04517, 102.6014, 97.79372, 92.86423, 117.218, 108.7168, 112.2773, 114.0129,
            106.8452, 112.3911, 115.5658, 87.40657, 102.2785, 110.6073, 105.2762, 110.8924,
            108.7638, 110.9833, 101.3417, 100.0251],
    "RTD": [103.2006, 105.1034, 105.1893, 100.4189, 85.32319, 92.69923, 98.45242, 104.1014,
            91.51841, 101.3746, 101.5828, 99.57384, 88.84826, 92.18703, 101.8234, 97.68909,
            101.5172, 100.0481, 102.0544],
    "ETW": [63.22764, 70.84454, 66.43223, 75.37771, 72.43773, 68.43073, 69.72524, 66.20343,
            60.51251, 65.69334, 62.73595, 59.00798, 62.37761, 64.3947, 72.8491, 66.56226,
            66.56779, 66.00123, 59.62108, 60.61167, 57.65487, 66.51241, 64.89347, 57.73054,
            68.94086, 61.63177],
    "ETW2": [54.09806, 58.87615, 61.60167, 60.23973, 61.4808, 64.55832, 57.76131, 49.91463,
             61.49271, 57.7281, 62.11653, 62.69353, 61.38523, 60.39053, 59.17616, 60.17616,
             46.47396, 51.16616],
}  # fmt: skip
ALL_HOT = [x for batch in HOT.values() for x in batch]
ALL_HOT2 = [x for batch in HOT2.values() for x in batch]
K_B = {2: 20.581, 3: 6.157, 5: 3.408, 11: 2.276, 18: 1.974, 31: 1.768, 50: 1.646, 75: 1.570,
       100: 1.527, 137: 1.488}  # fmt: skip
K_A = {2: 37.094, 3: 10.553, 5: 5.741, 11: 3.852, 18: 3.370, 31: 3.048, 50: 2.862, 75: 2.748,
       100: 2.684, 137: 2.626}  # fmt: skip


@pytest.mark.parametrize(("kind", "table"), [("A", K_A), ("B", K_B)])
def test_factors_are_those_of_the_handbook(kind, table):
    for n, k in table.items():
        assert basis_factor(kind, n) == pytest.approx(k, rel=1e-3), n


@pytest.mark.parametrize(
    ("kind", "distribution", "value", "tolerance"),
    [("A", "normal", 120.336, 5e-4), ("B", "normal", 129.287, 5e-4),
     ("A", "lognormal", 121.710, 5e-4), ("B", "lognormal", 129.664, 5e-4),
     ("A", "weibull", 109.150, 5e-4), ("B", "weibull", 125.441, 5e-4)],
)  # fmt: skip
def test_basis_values_are_those_of_stat17(kind, distribution, value, tolerance):
    found = tc.basis(N18, kind, distribution=distribution)
    assert found == pytest.approx(value, rel=tolerance)
    assert (found.kind, found.distribution, found.n, found.broken) == (kind, distribution, 18, 18)


def test_basis_keeps_the_unit_of_its_values():
    bare = basis(N18, "B")
    given = basis(tc.Q_(N18, "ksi"), "B")
    assert given == pytest.approx(bare, rel=1e-12)
    assert given.quantity.to("MPa").magnitude == pytest.approx(bare * 6.894757293, rel=1e-9)
    mixed = basis(["400 MPa", "0.42 GPa", "410 MPa", "405 MPa"], "B")
    assert mixed.unit == "MPa"
    assert mixed == pytest.approx(408.75 - 4.16193 * np.std([400, 420, 410, 405], ddof=1), rel=1e-4)


@pytest.mark.parametrize(
    ("distribution", "level", "tolerance"),
    [("normal", 0.465, 2e-3), ("lognormal", 0.480, 2e-3), ("weibull", 0.179, 5e-3)],
)
def test_goodness_of_fit_is_that_of_stat17(distribution, level, tolerance):
    assert goodness(N18, distribution) == pytest.approx(level, rel=tolerance)


@pytest.mark.parametrize(
    ("distribution", "level"), [("normal", 0.006051), ("lognormal", 0.000307), ("weibull", 0.0219)]
)
def test_poor_fit_is_that_of_stat17_and_is_said(distribution, level):
    assert goodness(ALL_HOT, distribution) == pytest.approx(level, rel=4e-3)
    said = basis([*ALL_HOT2, 160.0, 170.0], "B", distribution).notes
    assert any("do not look" in s for s in said)


def test_odd_value_is_that_of_the_handbook():
    two, three = describe(HOT[2]), describe(HOT[3])
    assert (two.residual, two.critical) == pytest.approx((2.008, 2.127), rel=1e-3)
    assert two.outlier is None
    assert (three.residual, three.critical) == pytest.approx((2.119, 2.020), rel=1e-3)
    assert three.outlier == HOT[3].index(80.2334815)
    assert "80.23" in three.notes[0]
    assert critical_residual(2) == np.inf


@pytest.mark.parametrize(
    ("kind", "values"),
    [("B", {"CTD": 93.64, "RTD": 87.30, "ETW": 54.33, "ETW2": 47.12}),
     ("A", {"CTD": 86.19, "RTD": 79.86, "ETW": 46.84, "ETW2": 39.69})],
)  # fmt: skip
def test_pooled_basis_is_that_of_the_handbook(kind, values):
    found = pooled_basis(POOL, kind)
    for key, value in values.items():
        assert found[key] == pytest.approx(value, rel=1e-3), key


@pytest.mark.parametrize(("kind", "value"), [("A", 34.6), ("B", 63.2)])
def test_basis_over_batches_is_that_of_the_handbook(kind, value):
    batch = [b for b, x in HOT2.items() for _ in x]
    found = basis(ALL_HOT2, kind, batches=batch)
    assert found == pytest.approx(value, rel=1e-3)
    assert (kind == "A") == any("five or more" in s for s in found.notes)


@pytest.mark.parametrize(
    ("key", "variation"), [("CTD", 0.0933), ("RTD", 0.058), ("ETW", 0.0723), ("ETW2", 0.0836)]
)
def test_variation_is_that_of_the_handbook(key, variation):
    assert describe(POOL[key]).variation == pytest.approx(variation, rel=2e-3)


@pytest.mark.parametrize(("key", "variation"), [("RTD", 0.069), ("ETW", 0.0761)])
def test_modified_variation_is_that_of_the_handbook(key, variation):
    assert modified_variation(describe(POOL[key]).variation) == pytest.approx(variation, rel=2e-3)


def test_interval_of_the_mean_is_students():
    found = describe(N18)
    low, high = stats.t.interval(0.95, 17, loc=np.mean(N18), scale=stats.sem(N18))
    assert (found.low, found.high) == pytest.approx((low, high), rel=1e-9)


# -- values that are "at least" ---------------------------------------------------------------
def _censored(seed: int, n: int, distribution: str) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(seed)
    x = {"normal": rng.normal(400, 30, n), "lognormal": np.exp(rng.normal(6, 0.08, n)),
         "weibull": 400 * rng.weibull(14, n)}[distribution]  # fmt: skip
    limit = rng.uniform(360, 480, n)
    return np.minimum(x, limit), x > limit


@pytest.mark.parametrize("distribution", ["normal", "lognormal", "weibull"])
@pytest.mark.parametrize("seed", range(4))
def test_most_likely_law_is_that_of_scipy(distribution, seed):
    x, open_end = _censored(seed, 25, distribution)
    data = stats.CensoredData.right_censored(x, open_end)
    found = fit(x, open_end, distribution)
    if distribution == "normal":
        expected = stats.norm.fit(data)
    elif distribution == "lognormal":
        shape, _, scale = stats.lognorm.fit(data, floc=0)
        expected = (np.log(scale), shape)
    else:
        shape, _, scale = stats.weibull_min.fit(data, floc=0)
        expected = (np.log(scale), 1 / shape)
    assert (found.location, found.scale) == pytest.approx(expected, rel=2e-4)


def test_lower_bound_is_neither_dropped_nor_averaged():
    broken = [402.0, 398.0, 405.0, 401.0]
    with_bound = describe([*broken, 404.0], [False] * 4 + [True])
    assert with_bound.mean > describe([*broken, 404.0]).mean > describe(broken).mean
    low_bound = describe([*broken, 300.0], [False] * 4 + [True])  # says nothing: it broke early
    assert low_bound.mean == pytest.approx(describe(broken).mean, rel=1e-6)
    assert basis(broken, "B", censored=[404.0]) == basis(
        [*broken, 404.0], "B", censored=[False] * 4 + [True]
    )


@pytest.mark.parametrize("kind", ["A", "B"])
@pytest.mark.parametrize("share", [0.0, 0.3])
def test_basis_keeps_its_promise(kind, share):
    """In at least 95 % of samples the basis lies below the true share (simulation, fixed seed)."""
    rng, trials, n = np.random.default_rng(7), 1000 if share == 0 else 400, 12
    truth = stats.norm.ppf(0.01 if kind == "A" else 0.1, 400, 20)
    good = counted = 0
    for _ in range(trials):
        x = rng.normal(400, 20, n)
        limit = np.where(rng.random(n) < share * 1.6, rng.normal(400, 20, n), np.inf)
        y, open_end = np.minimum(x, limit), x > limit
        try:
            good += basis(y, kind, censored=list(open_end)) <= truth
        except tc.InputError:
            continue
        counted += 1
    assert counted > 0.95 * trials
    assert good / counted > 0.95 - 2 * np.sqrt(0.05 * 0.95 / trials)


@pytest.mark.parametrize(
    ("values", "kind", "says"),
    [([400.0], "B", "1 broken specimen does not carry a B-basis, 2 more that break are the least"),
     ([400.0, 410.0], "A", "1 more that breaks is the least"),
     ([300.0, 400.0, 500.0], "B", "do not carry a B-basis"),
     ([1.0, 100.0, 400.0, 300.0], "A", "no number of tests would")],
)  # fmt: skip
def test_sample_that_cannot_carry_a_basis_is_refused(values, kind, says):
    with pytest.raises(tc.InputError) as caught:
        basis(values, kind)
    assert says in str(caught.value)


def test_number_of_further_tests_is_the_first_that_carries():
    values = np.array([350.0, 400.0, 450.0])
    found = fit(values, np.zeros(3, bool))
    more = more_tests(found, "B")
    assert more is not None
    variation = 50 / 400
    assert basis_factor("B", 3 + more) * variation <= 0.5 < basis_factor("B", 2 + more) * variation
    with pytest.raises(tc.InputError, match=rf"{more} more that break would"):
        basis(values, "B")


def test_all_lower_bounds_carry_nothing():
    with pytest.raises(tc.InputError, match='5 more are only "at least"'):
        basis([400.0] * 5, "B", censored=[True] * 5)
    assert "no mean is known" in describe([400.0] * 5, [True] * 5).notes[0]


@pytest.mark.parametrize(
    ("args", "says"),
    [(([], "B"), "no value"), (([1, 2, "x"], "B"), "values:3: "), (([1, 2, np.nan], "B"), "finite"),
     (([1, 2, 3], "C"), 'unknown basis "C"'), (([1, 2, 3], "B", "gamma"), "distribution"),
     (([-1, 2, 3], "B", "weibull"), "above zero"), (([1, 2, 3], "B", "normal", [True]), "marks"),
     ((["1 mm", "2 N"], "B"), "does not fit"), (("123", "B"), "not a list"),
     (([500, 510, 520, "490 MPa"], "B"), "values:1: has no unit, the others are in MPa"),
     ((["490 MPa", "500", "510 MPa"], "B"), 'values:2: has no unit, the others are in MPa'),
     ((["500 MPa"] * 3, "B", "normal", [540.0]), "censored:1: has no unit")],
)  # fmt: skip
def test_bad_samples_are_refused_in_words(args, says):
    with pytest.raises(tc.InputError) as caught:
        basis(*args)
    assert says in str(caught.value)


@pytest.mark.parametrize("law", ["lognormal", "weibull"])
def test_batches_with_another_law_are_refused_not_answered_by_the_normal_one(law):
    with pytest.raises(tc.InputError, match="batches are weighed with the normal law only"):
        basis(N18, "B", law, batches=list("abc") * 6)


def test_an_a_basis_reads_well():
    with pytest.raises(tc.InputError, match="do not carry an A-basis"):
        basis([400.0, 470.0], "A")
    with pytest.raises(tc.InputError, match="do not carry an A-basis: it would be"):
        basis([100.0, 300.0, 200.0, 500.0], "A")
    with pytest.raises(tc.InputError, match="do not carry a B-basis"):
        basis([400.0, 470.0], "B")
    assert any("batches for an A-basis; this one rests on 18" in n for n in basis(N18, "A").notes)


def test_factor_of_one_test_is_refused():
    with pytest.raises(tc.InputError, match="two tests"):
        tc.basis_factor("B", 1)


def test_thickness_normalisation_is_undone_by_its_inverse():
    assert normalised(normalised(500.0, 1.1, 1.0), 1.0, 1.1) == pytest.approx(500.0, rel=1e-12)
    with pytest.raises(tc.InputError):
        normalised(500.0, 0.0, 1.0)
