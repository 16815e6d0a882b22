"""A- and B-basis: the strength that 99 or 90 % of all tubes reach, with 95 % confidence."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Any

import numpy as np

from tubecalc.errors import InputError, unknown_key
from tubecalc.testing.censored import DISTRIBUTIONS, Array, Fit, fit, standard_quantile
from tubecalc.testing.statistics import DOUBTFUL, describe, goodness, read_sample

SHARES = {"A": 0.99, "B": 0.90}  # of all tubes that are at least as strong
CONFIDENCE = 0.95
LEAST = 3  # specimens that broke, or batches, below which a spread is hearsay
CARRIES = 0.5  # a basis below this part of the mean is owed to the factor, not to the tubes
USUAL = {"A": 55, "B": 18}  # tests that handbook practice asks for (CMH-17-1G, MEMORY)
_MOST = 1000  # tests looked at when saying how many more are needed


class Basis(float):
    """A basis value: a number that knows where it comes from.

    Attributes
    ----------
    kind, distribution : str
        "A" or "B"; "normal", "lognormal" or "weibull".
    unit : str
        Unit of the values; "" for bare numbers.
    factor : float
        One-sided tolerance factor that was used [-].
    n, broken : int
        Values, and those among them that are no "at least".
    fit : Fit
        The law that was fitted.
    notes : tuple of str
        What must be said beside it.
    """

    kind: str
    distribution: str
    unit: str
    factor: float
    n: int
    broken: int
    fit: Fit
    notes: tuple[str, ...]

    @property
    def quantity(self) -> Any:
        """The value with its unit."""
        from tubecalc.units import Q_

        return Q_(float(self), self.unit or "")


def _share(kind: str) -> float:
    if kind not in SHARES:
        raise unknown_key("basis", kind, SHARES, "basis:kind")
    return SHARES[kind]


def basis_factor(kind: str, n: int, distribution: str = "normal") -> float:
    """One-sided tolerance factor: so many deviations below the mean lies the basis value.

    Parameters
    ----------
    kind : str
        "A" (99 % of all tubes are stronger) or "B" (90 %), with 95 % confidence.
    n : int
        Tests, at least 2 [-].
    distribution : str
        "normal" and "lognormal" share their factor; that of "weibull" counts by the handbook.

    Returns
    -------
    float
        [-].

    Raises
    ------
    InputError
        For another kind, fewer than two tests or an unknown distribution.

    Notes
    -----
    Normal: Owen, SCR-607 (1963), non-central t; CMH-17-1G Tables 8.5.10 and 8.5.11 print the same
    to three digits. Weibull: the fit of MIL-HDBK-17-1F Tables 8.5.8 and 8.5.9 (MEMORY, reproduces
    the results of STAT17 to four digits).

    Examples
    --------
    >>> round(basis_factor("B", 6), 3), round(basis_factor("A", 10), 3)
    (3.006, 3.981)
    """
    share = _share(kind)
    if distribution not in DISTRIBUTIONS:
        raise unknown_key("distribution", distribution, DISTRIBUTIONS, "distribution")
    if isinstance(n, bool) or int(n) != n or n < 2:
        raise InputError("a basis needs at least two tests", where="basis_factor:n", got=str(n))
    n = int(n)
    if distribution == "weibull":
        if kind == "B":
            return 3.803 + math.exp(1.79 - 0.516 * math.log(n) + 5.1 / (n - 1))
        return 6.649 + math.exp(2.55 - 0.526 * math.log(n) + 4.76 / n)
    return _tolerance(n, float(n - 1), share)


@lru_cache(maxsize=4096)
def _tolerance(n: float, freedom: float, share: float) -> float:
    from scipy.special import nctdtrit

    away = -standard_quantile("normal", 1 - share) * math.sqrt(n)
    return float(nctdtrit(freedom, away, CONFIDENCE)) / math.sqrt(n)


def basis(
    values: Any,
    kind: str = "B",
    distribution: str = "normal",
    censored: Any = None,
    *,
    batches: Sequence[Any] | None = None,
) -> Basis:
    """A- or B-basis value of a sample.

    Parameters
    ----------
    values : sequence
        Numbers, or text and quantities of one kind.
    kind : str
        "A" or "B".
    distribution : str
        "normal", "lognormal" or "weibull".
    censored : sequence, optional
        Flags, true for "at least"; or further values that are all "at least".
    batches : sequence, optional
        Batch of each value; the spread between batches then counts (normal, none censored).

    Returns
    -------
    Basis
        A float with its factor, fit and notes.

    Raises
    ------
    InputError
        If the sample cannot carry the value; the sentence says how many more tests would.

    Notes
    -----
    With values that are "at least", location and scale are the most likely ones and the factor is
    that of the specimens that broke: a simulation in the tests finds the promised confidence or
    more. Batches: single-point analysis of variance of MIL-HDBK-17-1F sec. 8.3.5.2 (MEMORY).

    Examples
    --------
    >>> sample = [137.4, 139.5, 150.9, 141.4, 141.8, 151.9, 143.9, 133.0, 136.6, 138.2]
    >>> round(basis(sample, "B"), 2), round(basis(sample, "B", "weibull"), 2)
    (127.19, 119.91)
    >>> try:
    ...     basis([400.0, 470.0], "B")
    ... except InputError as error:
    ...     print(error.message)
    2 broken specimens do not carry a B-basis, 1 more that breaks is the least
    """
    share = _share(kind)
    if distribution not in DISTRIBUTIONS:
        raise unknown_key("distribution", distribution, DISTRIBUTIONS, "distribution")
    x, at_least, unit = read_sample(values, censored)
    broken = int(np.sum(~at_least))
    if broken < LEAST:
        raise _too_few(kind, broken, LEAST - broken, len(x) - broken)
    if batches is not None:
        if distribution != "normal":
            raise InputError("batches are weighed with the normal law only",
                             where="distribution", got=distribution)  # fmt: skip
        return _by_batch(x, unit, kind, share, batches, censored=bool(at_least.any()))
    found = fit(x, at_least, distribution)
    factor = basis_factor(kind, broken, distribution)
    value = _bound(found, factor, share)
    _carries(value, found, kind)
    return _made(value, kind, unit, factor, found, _cautions(x, at_least, kind, distribution))


def _bound(found: Fit, factor: float, share: float) -> float:
    if found.distribution == "weibull":
        at = found.quantile(1 - share)
        return at * math.exp(-factor * found.scale / math.sqrt(found.broken))
    deviation = found.scale * math.sqrt(found.broken / (found.broken - 1))
    low = found.location - factor * deviation
    return low if found.distribution == "normal" else math.exp(low)


def _made(
    value: float, kind: str, unit: str, factor: float, found: Fit, notes: tuple[str, ...]
) -> Basis:
    out = Basis(value)
    out.kind, out.distribution, out.unit, out.factor = kind, found.distribution, unit, factor
    out.n, out.broken, out.fit, out.notes = found.n, found.broken, found, notes
    return out


def _too_few(kind: str, broken: int, more: int, open_end: int) -> InputError:
    said = f"{broken} broken specimen" + ("s do" if broken != 1 else " does")
    beside = ""
    if open_end:
        beside = f' ({open_end} more {"are" if open_end > 1 else "is"} only "at least")'
    return InputError(
        f"{said} not carry {_a(kind)}-basis{beside}, {more} more {_tests(more)} the least",
        where="values",
    )  # fmt: skip


def _a(kind: str) -> str:
    return "an A" if kind == "A" else f"a {kind}"


def _tests(more: int) -> str:
    return "that breaks is" if more == 1 else "that break are"


def _carries(value: float, found: Fit, kind: str) -> None:
    """Refuse a value that owes more to the factor than to the tubes."""
    middle = found.quantile(0.5)
    if value >= CARRIES * middle:
        return
    more = more_tests(found, kind)
    cure = (
        f"with the same spread {more} more that break would"
        if more
        else "with this spread no number of tests would"
    )
    raise InputError(
        f"{found.broken} broken specimens with this spread do not carry {_a(kind)}-basis: it would "
        f"be {value:.4g}, {100 * value / middle:.0f} % of the middle; {cure}",
        where="values",
    )


def more_tests(found: Fit, kind: str) -> int | None:
    """How many more tests with the same spread would carry a basis value.

    Parameters
    ----------
    found : Fit
        Law of the tests so far.
    kind : str
        "A" or "B".

    Returns
    -------
    int or None
        0 where the sample carries it already; None where no number within reason would.
    """
    from dataclasses import replace

    share, middle = _share(kind), found.quantile(0.5)
    for m in range(max(found.broken, LEAST), _MOST):
        trial = replace(found, broken=m, scale=_rescaled(found, m))
        if _bound(trial, basis_factor(kind, m, found.distribution), share) >= CARRIES * middle:
            return m - found.broken
    return None


def _rescaled(found: Fit, m: int) -> float:
    """Scale of greatest likelihood that means the same deviation with m specimens."""
    if found.distribution == "weibull":
        return found.scale
    now = math.sqrt(found.broken / (found.broken - 1))
    return found.scale * now / math.sqrt(m / (m - 1))


def _cautions(x: Array, at_least: Any, kind: str, distribution: str) -> tuple[str, ...]:
    said = list(describe(x, list(at_least)).notes)
    broken = int(np.sum(~at_least))
    if broken < USUAL[kind]:
        said.append(
            f"Handbook practice asks for {USUAL[kind]} tests from several batches for "
            f"{_a(kind)}-basis; this one rests on {broken}."
        )
    if not at_least.any() and broken >= 5:
        level = goodness(x, distribution)
        if level < DOUBTFUL:
            said.append(
                f"The values do not look {distribution}: chance gives a fit this poor in "
                f"{100 * level:.2g} % of samples."
            )
    return tuple(said)


def _by_batch(
    x: Array, unit: str, kind: str, share: float, batches: Sequence[Any], *, censored: bool
) -> Basis:
    """Basis from the spread within and between batches."""
    if censored:
        raise InputError('batches cannot be weighed beside "at least" values', where="batches")
    if len(batches) != len(x):
        raise InputError("as many batches as values are needed", where="batches",
                         got=str(len(batches)), expected=str(len(x)))  # fmt: skip
    groups = [x[[b == key for b in batches]] for key in dict.fromkeys(batches)]
    k, n = len(groups), len(x)
    if k < LEAST:
        raise InputError(
            f"{k} batch{'es do' if k > 1 else ' does'} not show how much batches differ, "
            f"{LEAST - k} more {'is' if k == 2 else 'are'} the least", where="batches",
        )  # fmt: skip
    sizes = np.array([len(g) for g in groups], float)
    mean = float(np.mean(x))
    within = sum(float(np.sum((g - np.mean(g)) ** 2)) for g in groups) / (n - k)
    between = sum(len(g) * (float(np.mean(g)) - mean) ** 2 for g in groups) / (k - 1)
    typical = (n - float(np.sum(sizes**2)) / n) / (k - 1)
    deviation = math.sqrt(between / typical + (typical - 1) / typical * within)
    u = max(between / within, 1.0) if within > 0 else math.inf
    w = 1.0 if math.isinf(u) else math.sqrt(u / (u + typical - 1))
    k0, k1 = _tolerance(n, n - 1.0, share), _tolerance(k, k - 1.0, share)
    root = math.sqrt(typical)
    factor = (k0 - k1 / root + (k1 - k0) * w) / (1 - 1 / root) if typical > 1 else k1
    value = mean - factor * deviation
    found = Fit("normal", mean, deviation * math.sqrt((n - 1) / n), math.nan, n, n, math.nan)
    if value < CARRIES * mean and k < 5:
        note = f"{k} batches do not show how much batches differ: five or more would"
        return _made(value, kind, unit, factor, found, (note + ".",))
    _carries(value, found, kind)
    return _made(value, kind, unit, factor, found, ())


def pooled_basis(groups: dict[str, Any], kind: str = "B") -> dict[str, Basis]:
    """Basis values of several groups that share one spread.

    Parameters
    ----------
    groups : dict of str to sequence
        Values of each group, one unit.
    kind : str
        "A" or "B".

    Returns
    -------
    dict of str to Basis

    Raises
    ------
    InputError
        If there are not two groups, or one cannot be read.

    Notes
    -----
    Pooled standard deviation: CMH-17-1G sec. 8.3.4; the factor counts all tests for the spread
    and those of the group for the mean.

    Examples
    --------
    >>> out = pooled_basis({"dry": [93.0, 95.0, 97.0, 99.0], "wet": [80.0, 82.0, 84.0, 86.0]})
    >>> {k: round(v, 2) for k, v in out.items()}
    {'dry': 88.43, 'wet': 75.43}
    """
    share = _share(kind)
    samples = {k: read_sample(v) for k, v in groups.items()}
    n, g = sum(len(x) for x, _, _ in samples.values()), len(samples)
    if g < 2 or n <= g:
        raise InputError("two groups with two values each are the least", where="groups")
    square = sum(float(np.sum((x - np.mean(x)) ** 2)) for x, _, _ in samples.values())
    deviation = math.sqrt(square / (n - g))
    out = {}
    for key, (x, _, unit) in samples.items():
        m = len(x)
        factor = _tolerance(m, float(n - g), share)
        mean = float(np.mean(x))
        found = Fit("normal", mean, deviation, math.nan, m, m, deviation / math.sqrt(m))
        out[key] = _made(mean - factor * deviation, kind, unit, factor, found, ())
    return out
