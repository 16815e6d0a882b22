"""Mean, spread and interval of a handful of tests; the odd one out; which law they follow."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.testing.censored import DISTRIBUTIONS, Array, Fit, Flags, fit

CONFIDENCE = 0.95
DOUBTFUL = 0.05  # significance below which a law or a value is doubted


@dataclass(frozen=True)
class Sample:
    """What a handful of tests says.

    Attributes
    ----------
    n, broken : int
        Values, and those among them that are no "at least".
    mean, deviation : float
        In the unit of the values; by maximum likelihood where some are "at least".
    variation : float
        Deviation over mean [-]; NaN where the mean is zero.
    low, high : float
        The mean lies between them with 95 % confidence; NaN for fewer than two that broke.
    least, most : float
        Smallest and largest value.
    outlier : int or None
        Place of the value that does not belong, by the maximum normed residual.
    residual, critical : float
        Largest normed residual and what it may be [-].
    notes : tuple of str
        What must be said beside the figures.
    """

    n: int
    broken: int
    mean: float
    deviation: float
    variation: float
    low: float
    high: float
    least: float
    most: float
    outlier: int | None
    residual: float
    critical: float
    notes: tuple[str, ...]


def read_sample(values: Any, censored: Any = None) -> tuple[Array, Flags, str]:
    """Values as numbers of one unit, which of them are "at least", and the unit.

    Parameters
    ----------
    values : sequence of float, of text with a unit, of Quantity; or Quantity
        The sample.
    censored : sequence, optional
        As many flags as values, true for "at least"; or further values that are all "at least".

    Returns
    -------
    values : numpy.ndarray
    at_least : numpy.ndarray of bool
    unit : str
        "" for bare numbers.

    Raises
    ------
    InputError
        For no value, one that is no number or not finite, or units that do not fit.

    Examples
    --------
    >>> read_sample(["400 MPa", "0.42 GPa"], [False, True])
    (array([400., 420.]), array([False,  True]), 'MPa')
    """
    numbers, unit = _numbers(values, "", "values")
    if censored is None:
        return numbers, np.zeros(len(numbers), bool), unit
    listed = list(np.atleast_1d(censored)) if not isinstance(censored, list) else censored
    if not hasattr(censored, "units") and all(isinstance(c, bool | np.bool_) for c in listed):
        if len(listed) not in (0, len(numbers)):
            raise InputError(
                "as many marks as values are needed", where="censored", got=str(len(listed)),
                expected=str(len(numbers)),
            )  # fmt: skip
        return numbers, np.array(listed or [False] * len(numbers), bool), unit
    more, _ = _numbers(censored, unit, "censored")
    flags = np.repeat([False, True], [len(numbers), len(more)])
    return np.concatenate([numbers, more]), flags, unit


def _numbers(values: Any, unit: str, where: str) -> tuple[Array, str]:
    from tubecalc.units import Q_

    if isinstance(values, str):
        raise InputError("is not a list of values", where=where, got=values)
    scaled = False  # the values were one quantity
    if hasattr(values, "units"):
        unit = unit or f"{values.units:~}"
        values = values.to(unit).magnitude if unit else values.magnitude
        scaled = True
    out: list[float] = []
    plain = 0  # place of the first bare number
    for n, v in enumerate(np.atleast_1d(np.asarray(values, dtype=object)), start=1):
        try:
            one = Q_(v) if isinstance(v, str) and not _bare(v) else v
        except InputError as error:
            raise InputError(error.message, where=f"{where}:{n}", got=v) from None
        if hasattr(one, "units"):
            unit = unit or f"{one.units:~}"
            try:
                one = one.to(unit).magnitude
            except Exception:
                raise InputError(
                    f"does not fit the others, which are in {unit}", where=f"{where}:{n}", got=v
                ) from None
        elif not plain:
            plain = n
        try:
            number = float(one)
        except (TypeError, ValueError):
            raise InputError("is not a number", where=f"{where}:{n}", got=v) from None
        if isinstance(v, bool) or not math.isfinite(number):
            raise InputError("is not a finite number", where=f"{where}:{n}", got=v)
        out.append(number)
    if plain and unit and not scaled:
        raise InputError(
            f"has no unit, the others are in {unit}", where=f"{where}:{plain}",
            got=f"{out[plain - 1]:g}", expected="one unit for all, or none",
        )  # fmt: skip
    if not out and where == "values":
        raise InputError("there is no value", where=where)
    return np.array(out, dtype=float), unit


def _bare(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def critical_residual(n: int, significance: float = DOUBTFUL) -> float:
    """Largest normed residual that chance allows.

    Parameters
    ----------
    n : int
        Values [-].
    significance : float
        Chance of blaming a value that belongs [-].

    Returns
    -------
    float
        Distance from the mean over the standard deviation [-]; infinite for fewer than three.

    Notes
    -----
    Maximum normed residual: Stefansky, Technometrics 14 (1972) 469 (MEMORY); Student's t at
    significance / 2n with n - 2 degrees of freedom, as MIL-HDBK-17 and CMH-17 print it.

    Examples
    --------
    >>> round(critical_residual(7), 3), round(critical_residual(8), 3)
    (2.02, 2.127)
    """
    if n < 3:
        return math.inf
    from scipy.special import stdtrit

    q = float(stdtrit(n - 2, 1 - significance / (2 * n)))
    return (n - 1) / math.sqrt(n) * math.sqrt(q**2 / (n - 2 + q**2))


def describe(values: Any, censored: Any = None, names: Sequence[str] | None = None) -> Sample:
    """Mean, spread, interval and the odd one out.

    Parameters
    ----------
    values : sequence
        Numbers, or text and quantities of one kind.
    censored : sequence, optional
        Flags, true for "at least"; or further values that are all "at least".
    names : sequence of str, optional
        Names of the specimens for the notes.

    Returns
    -------
    Sample

    Raises
    ------
    InputError
        If a value cannot be read.

    Examples
    --------
    >>> s = describe([137.0, 139.5, 150.9, 141.4])
    >>> round(s.mean, 2), round(s.deviation, 3), round(s.variation, 4), s.outlier
    (142.2, 6.073, 0.0427, None)
    >>> describe([100.0, 102.0, 98.0], [False, False, True]).notes[0]
    '1 of 3 is "at least": mean and spread are the most likely ones that allow for it.'
    """
    x, at_least, _ = read_sample(values, censored)
    n, broken = len(x), int(np.sum(~at_least))
    notes: list[str] = []
    mean, deviation, half = math.nan, math.nan, math.nan
    if broken == 0:
        notes.append("No specimen broke: all values are lower bounds, and no mean is known.")
    elif broken == 1 or np.ptp(x[~at_least]) == 0:
        if not at_least.any():
            mean, deviation = float(x[0]), 0.0 if n > 1 else math.nan
            half = 0.0 if n > 1 else math.nan
        else:
            notes.append(
                "One value of a broken specimen does not carry a mean beside lower bounds."
            )
    else:
        mean, deviation, half = _centre(fit(x, at_least), x)
        if at_least.any():
            count = n - broken
            verb = "is" if count == 1 else "are"
            notes.append(
                f'{count} of {n} {verb} "at least": mean and spread are the most likely ones '
                "that allow for it."
            )
    outlier, residual, critical = _odd(x[~at_least])
    place = None if outlier is None else int(np.flatnonzero(~at_least)[outlier])
    if place is not None:
        name = names[place] if names is not None else f"value {place + 1}"
        notes.append(
            f"{name} ({x[place]:.4g}) lies {residual:.2f} deviations from the mean, more than the "
            f"{critical:.2f} of chance: look for its cause before leaving it out."
        )
    return Sample(
        n, broken, mean, deviation, deviation / mean if mean else math.nan, mean - half,
        mean + half, float(np.min(x)), float(np.max(x)), place, residual, critical, tuple(notes),
    )  # fmt: skip


def _centre(found: Fit, x: Array) -> tuple[float, float, float]:
    """Mean, deviation and half the interval of the mean."""
    from scipy.special import stdtrit

    m = found.broken
    deviation = found.scale * math.sqrt(m / (m - 1))
    error = found.location_error * math.sqrt(m / (m - 1))
    if m == len(x):
        error = deviation / math.sqrt(m)
    return found.location, deviation, float(stdtrit(m - 1, (1 + CONFIDENCE) / 2)) * error


def _odd(x: Array) -> tuple[int | None, float, float]:
    critical = critical_residual(len(x))
    if len(x) < 3 or not np.ptp(x) > 0:
        return None, math.nan, critical
    away = np.abs(x - np.mean(x)) / np.std(x, ddof=1)
    worst = int(np.argmax(away))
    found = worst if away[worst] > critical else None
    return found, float(away[worst]), critical


def goodness(values: Any, distribution: str = "normal") -> float:
    """Chance that a sample of the law looks at least as odd as this one (Anderson and Darling).

    Parameters
    ----------
    values : sequence
        Sample without lower bounds.
    distribution : str
        "normal", "lognormal" or "weibull".

    Returns
    -------
    float
        Observed significance level [-]; below 0.05 the law is doubted.

    Notes
    -----
    Anderson-Darling with the small-sample corrections and levels of MIL-HDBK-17-1F sec. 8.3.4
    (MEMORY; results of STAT17 in tests/testing/test_statistics.py).

    Examples
    --------
    >>> goodness([1.0, 1.1, 1.2, 1.3, 1.4, 9.0]) < 0.05
    True
    """
    from scipy.special import log_ndtr

    x, _, _ = read_sample(values)
    found = fit(x, np.zeros(len(x), bool), distribution)
    n = len(x)
    y = np.sort(x if distribution == "normal" else np.log(x))
    i = np.arange(1, n + 1)
    if distribution == "weibull":
        z = np.exp((y - found.location) / found.scale)
        below, above = np.log(-np.expm1(-z)), -z
    else:
        z = (y - np.mean(y)) / np.std(y, ddof=1)
        below, above = log_ndtr(z), log_ndtr(-z)
    a = float(np.sum((1 - 2 * i) / n * (below + above[::-1])) - n)
    if distribution == "weibull":
        a *= 1 + 0.2 / math.sqrt(n)
        power = -0.10 + 1.24 * math.log(a) + 4.48 * a
    else:
        a *= 1 + 4 / n - 25 / n**2
        power = -0.48 + 0.78 * math.log(a) + 4.58 * a
    return 1 / (1 + math.exp(min(power, 700.0)))


def modified_variation(variation: float) -> float:
    """Coefficient of variation that a young process is credited with.

    Parameters
    ----------
    variation : float
        As measured [-].

    Returns
    -------
    float
        At least 6 %; half plus 4 % from 4 to 8 % [-].

    Notes
    -----
    CMH-17-1G sec. 8.4.4 (MEMORY).

    Examples
    --------
    >>> [round(modified_variation(v), 4) for v in (0.02, 0.058, 0.1)]
    [0.06, 0.069, 0.1]
    """
    return variation if variation >= 0.08 else max(0.06, variation / 2 + 0.04)


def normalised(strength: float, thickness: float, nominal: float) -> float:
    """Strength as if the wall had its nominal thickness: the fibres carry, the resin fills.

    Parameters
    ----------
    strength : float
        As measured, any unit of stress.
    thickness, nominal : float
        Wall of the specimen, and the nominal one, in one unit.

    Returns
    -------
    float
        In the unit of the strength.

    Notes
    -----
    CMH-17-1G sec. 2.4.3 (MEMORY): fibre-controlled properties only.

    Examples
    --------
    >>> round(normalised(142.817, 0.112, 0.105), 3)
    152.338
    """
    if not thickness > 0 or not nominal > 0:
        raise InputError("must be above zero", where="thickness", got=f"{thickness}, {nominal}")
    return strength * thickness / nominal


__all__ = [
    "DISTRIBUTIONS", "Sample", "critical_residual", "describe", "goodness",
    "modified_variation", "normalised", "read_sample",
]  # fmt: skip
