"""Several batches: may they be pooled, and the basis value with their spread or without."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.testing.basis_value import Basis, basis
from tubecalc.testing.censored import Array
from tubecalc.testing.statistics import read_sample

FEWEST = 3  # batches that show a spread between batches at all (CMH-17-1G sec. 8.3, MEMORY)
SIGNIFICANT = 0.025  # chance of calling like batches unlike that CMH-17-1G takes (MEMORY)
# Upper 2.5 % point of the standardised statistic: Scholz & Stephens (1987), Table 2.
_POINT = (1.960, 1.149, -0.391)
_UNEVEN = 0.05  # significance below which the spreads of batches are called unlike


@dataclass(frozen=True)
class Alike:
    """Whether batches look like one population.

    Attributes
    ----------
    statistic, critical : float
        Anderson and Darling's statistic of k samples over k - 1, and what chance allows [-].
    uneven : float
        Chance that spreads within batches that are alike look as unlike as these [-].
    """

    statistic: float
    critical: float
    uneven: float

    @property
    def pooled(self) -> bool:
        """Whether they may be pooled."""
        return self.statistic <= self.critical


@dataclass(frozen=True)
class ByBatch:
    """Basis values of tests whose batches are told.

    Attributes
    ----------
    batches : int
        Batches [-].
    alike : Alike or None
        Test of likeness; None where it cannot be made.
    values : dict of str to Basis or str
        "A" and "B" -> the value, or the sentence that refuses it.
    sentence : str
        Whether the batches may be pooled, and what was done.
    """

    batches: int
    alike: Alike | None
    values: dict[str, Basis | str]
    sentence: str


def alike(groups: Sequence[Any]) -> Alike:
    """Test whether several batches come from one population.

    Parameters
    ----------
    groups : sequence of sequence of float
        Values of each batch, one unit.

    Returns
    -------
    Alike

    Raises
    ------
    InputError
        For fewer than two batches, fewer than five values, or values that are all one.

    Notes
    -----
    k-sample Anderson-Darling test with midranks: Scholz & Stephens, J. Am. Stat. Assoc. 82 (1987)
    918, eqs. 6 and 7, as MIL-HDBK-17-1F sec. 8.3.2.2 prints it over k - 1. Spreads: Levene's test
    about the medians (Brown & Forsythe, J. Am. Stat. Assoc. 69 (1974) 364).

    Examples
    --------
    >>> found = alike([[100, 102, 98, 101], [99, 103, 100, 97], [101, 99, 102, 100]])
    >>> found.pooled
    True
    >>> alike([[100, 102, 98, 101], [99, 103, 100, 97], [81, 79, 82, 80]]).pooled
    False
    """
    parts = [np.sort(np.asarray(g, float)) for g in groups]
    k, n = len(parts), sum(len(g) for g in parts)
    if k < 2 or n < 5 or any(not len(g) for g in parts):
        raise InputError("two batches with five values together are the least", where="batches",
                         got=f"{k} batches, {n} values")  # fmt: skip
    every = np.sort(np.concatenate(parts))
    if not np.ptp(every) > 0:
        raise InputError("all values are one and the same", where="batches")
    statistic = _unlike(parts, every) / (k - 1)
    m = k - 1
    point = _POINT[0] + _POINT[1] / math.sqrt(m) + _POINT[2] / m
    critical = 1 + math.sqrt(_variance([len(g) for g in parts])) / m * point
    return Alike(statistic, critical, _spreads(parts))


def _unlike(parts: list[Array], every: Array) -> float:
    """Statistic A2akN of Scholz & Stephens, ties by midranks."""
    n = len(every)
    z, equal = np.unique(every, return_counts=True)
    below = np.searchsorted(every, z, "left") + equal / 2
    out = 0.0
    for g in parts:
        left, right = np.searchsorted(g, z, "left"), np.searchsorted(g, z, "right")
        mine = left + (right - left) / 2
        down = below * (n - below) - n * equal / 4
        out += float(np.sum(equal / n * (n * mine - below * len(g)) ** 2 / down)) / len(g)
    return out * (n - 1) / n


def _variance(sizes: list[int]) -> float:
    """Variance of A2akN for batches of these sizes."""
    n, k = sum(sizes), len(sizes)
    big = sum(1 / s for s in sizes)
    i = np.arange(1, n)
    h = float(np.sum(1 / i))
    tail = np.cumsum((1 / i)[::-1])[::-1]  # sum of 1/j from j = i to n - 1
    g = float(np.sum(tail[1:] / (n - i[:-1])))
    a = (4 * g - 6) * (k - 1) + (10 - 6 * g) * big
    b = (2 * g - 4) * k**2 + 8 * h * k + (2 * g - 14 * h - 4) * big - 8 * h + 4 * g - 6
    c = (6 * h + 2 * g - 2) * k**2 + (4 * h - 4 * g + 6) * k + (2 * h - 6) * big + 4 * h
    d = (2 * h + 6) * k**2 - 4 * h * k
    return (a * n**3 + b * n**2 + c * n + d) / ((n - 1) * (n - 2) * (n - 3))


def _spreads(parts: list[Array]) -> float:
    """Significance of Levene's test about the medians; 1 where no batch has a spread."""
    from scipy.special import fdtrc

    away = [np.abs(g - np.median(g)) for g in parts]
    k, n = len(parts), sum(len(g) for g in parts)
    within = sum(float(np.sum((a - a.mean()) ** 2)) for a in away)
    mean = float(np.mean(np.concatenate(away)))
    between = sum(len(a) * (float(a.mean()) - mean) ** 2 for a in away)
    if n <= k or not within > 0:
        return 1.0
    return float(fdtrc(k - 1, n - k, between / (k - 1) / (within / (n - k))))


def by_batch(
    values: Sequence[float],
    batches: Sequence[str],
    law: str = "normal",
    censored: Sequence[bool] | None = None,
) -> ByBatch | None:
    """Basis values of a group of tests by batches.

    Parameters
    ----------
    values : sequence of float
        Of one unit.
    batches : sequence of str
        Batch of each; "" where it is not told.
    law : str
        "normal", "lognormal" or "weibull", for batches that may be pooled.
    censored : sequence of bool, optional
        True for "at least".

    Returns
    -------
    ByBatch or None
        None where no batch is told.

    Notes
    -----
    Order of CMH-17-1G sec. 8.3 (MEMORY): like batches are pooled and a law is fitted; unlike ones
    get the value of the analysis of variance, which counts the spread between batches.

    Examples
    --------
    >>> strong = [100, 102, 98, 101, 99, 103, 100, 97, 101, 99, 102, 100]
    >>> found = by_batch(strong, ["a"] * 4 + ["b"] * 4 + ["c"] * 4)
    >>> found.sentence
    '3 batches do not differ by more than chance (Anderson-Darling 0.44, up to 2.14): pooled.'
    >>> by_batch(strong, [""] * 12) is None
    True
    """
    told = [b.strip() for b in batches]
    if not any(told):
        return None
    x, open_end, _ = read_sample(list(values), None if censored is None else list(censored))
    names = list(dict.fromkeys(b for b in told if b))
    k = len(names)

    def refused(said: str, found: Alike | None = None) -> ByBatch:
        return ByBatch(k, found, {"B": said, "A": said}, said)

    if not all(told):
        missing = sum(not b for b in told)
        return refused(
            f"{missing} of {len(told)} tests do not say their batch: no basis by batches."
        )
    if open_end.any():
        return refused('Batches cannot be weighed beside "at least" values: no basis by batches.')
    groups = [x[[b == name for b in told]] for name in names]
    found = None
    if k > 1 and len(x) >= 5 and np.ptp(x) > 0:
        found = alike(groups)
    if k < FEWEST:
        more = FEWEST - k
        said = f"{k} batch{'es do' if k > 1 else ' does'} not show how much batches differ"
        said += f", {more} more {'is' if more == 1 else 'are'} the least: no basis by batches."
        if found is not None:
            said += " The two " + (
                "do not differ by more than chance."
                if found.pooled
                else "differ: do not pool them."
            )
        return refused(said, found)
    if found is None:
        return refused("Too few tests, or all alike to the digit: no basis by batches.")
    test = f"(Anderson-Darling {found.statistic:.2f}, up to {found.critical:.2f})"
    if found.pooled:
        said = f"{k} batches do not differ by more than chance {test}: pooled."
        made = {kind: _basis(x, kind, law) for kind in "BA"}
    else:
        said = (
            f"{k} batches differ by more than chance {test}: not pooled; the basis counts the "
            "spread between batches (analysis of variance)."
        )
        made = {kind: _basis(x, kind, law, told) for kind in "BA"}
        if found.uneven < _UNEVEN:
            said += " Their spreads are unlike too, which that analysis does not allow for."
    if min(len(g) for g in groups) < 3:
        said += " Batches of one or two tests hide a difference."
    return ByBatch(k, found, made, said)


def _basis(x: Array, kind: str, law: str, told: Sequence[str] | None = None) -> Basis | str:
    try:
        return basis(x, kind, law if told is None else "normal", batches=told)
    except InputError as error:
        return error.message[0].upper() + error.message[1:] + "."


__all__ = ["Alike", "ByBatch", "alike", "by_batch"]
