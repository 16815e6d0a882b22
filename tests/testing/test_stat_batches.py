"""Batches: the likeness test against SciPy, the handbook's two data sets, what is refused."""

from __future__ import annotations

import math
import warnings

import numpy as np
import pytest
from scipy.stats import anderson_ksamp, levene

from tests.testing.test_statistics import ALL_HOT, ALL_HOT2, HOT, HOT2
from tubecalc.errors import InputError
from tubecalc.testing.basis_value import Basis, basis
from tubecalc.testing.batches import alike, by_batch


def told(groups):
    return [f"batch {name}" for name, rows in groups.items() for _ in rows]


@pytest.mark.parametrize("seed", range(40))
def test_likeness_is_that_of_scipy(seed):
    """Statistic standardised as SciPy gives it: (A2 - (k - 1)) / sigma; ties by rounding."""
    rng = np.random.default_rng(seed)
    k = int(rng.integers(2, 7))
    digits = int(rng.integers(0, 3))
    groups = [np.round(rng.normal(rng.normal(100, 3), 4, int(rng.integers(3, 15))), digits)
              for _ in range(k)]  # fmt: skip
    found = alike(groups)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        oracle = anderson_ksamp(groups)
    assert found.pooled == (oracle.statistic <= oracle.critical_values[3])  # the 2.5 % point
    sigma = (found.critical - 1) / oracle.critical_values[3]
    assert (found.statistic - 1) / sigma == pytest.approx(oracle.statistic, rel=1e-9, abs=1e-9)
    assert found.uneven == pytest.approx(levene(*groups, center="median").pvalue, rel=1e-9)


def test_like_batches_are_called_unlike_as_seldom_as_is_said():
    """2.5 % is promised; 1500 trials of three batches of six, two standard errors allowed."""
    rng = np.random.default_rng(3)
    blamed = sum(not alike(list(rng.normal(100, 5, (3, 6)))).pooled for _ in range(1500))
    assert abs(blamed / 1500 - 0.025) < 2 * math.sqrt(0.025 * 0.975 / 1500) + 0.004


def test_handbook_pools_one_condition_and_not_the_other():
    """CMH-17-1G sec. 8.3.11: ETW may be pooled, ETW2 goes to the analysis of variance."""
    one = by_batch(ALL_HOT, told(HOT))
    assert one.alike.pooled
    assert "pooled" in one.sentence
    two = by_batch(ALL_HOT2, told(HOT2))
    assert not two.alike.pooled
    assert two.values["A"] == pytest.approx(34.6, rel=1e-3)
    assert two.values["B"] == pytest.approx(63.2, rel=1e-3)
    assert "not pooled" in two.sentence


def test_pooled_value_is_that_without_batches_and_follows_the_law():
    strong = [100, 102, 98, 101, 99, 103, 100, 97, 101, 99, 102, 100]
    batches = [b for b in "abc" for _ in range(4)]
    for law in ("normal", "lognormal", "weibull"):
        found = by_batch(strong, batches, law)
        assert found.values["B"] == pytest.approx(float(basis(strong, "B", law)))
        assert found.values["B"].distribution == law


@pytest.mark.parametrize(
    ("values", "batches", "censored", "says"),
    [([100, 101, 99, 102, 98], ["a"] * 5, None, "1 batch does not show .* 2 more are the least"),
     ([100, 101, 99, 102, 98, 100], ["a", "b"] * 3, None, "2 batches do not show .* 1 more is"),
     ([100, 101, 99, 102, 98, 100], ["a", "b", ""] * 2, None, "2 of 6 tests do not say"),
     ([100, 101, 99, 102, 98, 100], ["a", "b", "c"] * 2, [True] + [False] * 5, '"at least"'),
     ([100.0] * 6, ["a", "b", "c"] * 2, None, "alike to the digit"),
     ([100, 120], ["a", "b"], None, "1 more is the least")],
)  # fmt: skip
def test_batches_that_carry_no_basis_are_refused_in_words(values, batches, censored, says):
    import re

    found = by_batch(values, batches, censored=censored)
    assert re.search(says, found.sentence)
    assert not any(isinstance(v, Basis) for v in found.values.values())


def test_two_batches_that_differ_are_said_to():
    values = [100, 101, 99, 102, 98, 80, 81, 79, 82, 78]
    assert "differ: do not pool them" in by_batch(values, ["a"] * 5 + ["b"] * 5).sentence


def test_no_batch_told_is_none_and_library_refuses_two():
    assert by_batch([1.0, 2.0, 3.0], ["", " ", ""]) is None
    with pytest.raises(InputError, match="2 batches do not show how much batches differ, 1 more"):
        basis([100, 101, 99, 102], "B", batches=["a", "a", "b", "b"])
    with pytest.raises(InputError, match="two batches with five values"):
        alike([[1.0, 2.0, 3.0]])
    with pytest.raises(InputError, match="one and the same"):
        alike([[1.0, 1.0, 1.0], [1.0, 1.0]])
