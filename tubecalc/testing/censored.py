"""Location and spread of a sample in which some values are known only as "at least".

A specimen that slipped, broke in the grip or outlasted the frame says that its strength is no less
than what it carried. Maximum likelihood counts it as the chance of being stronger; it is neither
dropped nor averaged as a strength.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tubecalc.errors import InputError, unknown_key

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
DISTRIBUTIONS = ("normal", "lognormal", "weibull")


@dataclass(frozen=True)
class Fit:
    """Distribution of a sample by maximum likelihood.

    Attributes
    ----------
    distribution : str
        "normal", "lognormal" or "weibull".
    location, scale : float
        Mean and standard deviation of the values (normal) or of their logarithms (lognormal);
        logarithm of the characteristic value, and one over the shape (weibull).
    log_likelihood : float
        Logarithm of the likelihood of the (logarithms of the) values [-].
    n, broken : int
        Values, and those among them that are no "at least".
    location_error : float
        Standard error of the location.
    """

    distribution: str
    location: float
    scale: float
    log_likelihood: float
    n: int
    broken: int
    location_error: float

    def quantile(self, share: float) -> float:
        """Value that the share of all tubes stays below, without any confidence.

        Parameters
        ----------
        share : float
            0 to 1 [-].

        Returns
        -------
        float
            In the unit of the sample.
        """
        at = self.location + self.scale * standard_quantile(self.distribution, share)
        return float(at if self.distribution == "normal" else math.exp(at))


def standard_quantile(distribution: str, share: float) -> float:
    """Quantile of the standard normal law, or of the smallest extreme of the Weibull law.

    Parameters
    ----------
    distribution : str
        "normal", "lognormal" or "weibull".
    share : float
        0 to 1 [-].

    Returns
    -------
    float

    Examples
    --------
    >>> round(standard_quantile("normal", 0.1), 4), round(standard_quantile("weibull", 0.1), 4)
    (-1.2816, -2.2504)
    """
    if distribution == "weibull":
        return math.log(-math.log1p(-share))
    from statistics import NormalDist

    return NormalDist().inv_cdf(share)


def _likelihood(z: Array, open_end: Flags, *, extreme: bool) -> Array:
    """Log density of broken values, log chance of being stronger of the others."""
    from scipy.special import log_ndtr

    if extreme:
        e = np.exp(np.minimum(z, 700.0))
        return np.where(open_end, -e, z - e)
    return np.where(open_end, log_ndtr(-z), -0.5 * z**2 - 0.5 * math.log(2 * math.pi))


def fit(values: Array, at_least: Flags, distribution: str = "normal") -> Fit:
    """Fit a distribution to values of which some are "at least".

    Parameters
    ----------
    values : numpy.ndarray
        Sample, any unit.
    at_least : numpy.ndarray of bool
        True where the value is a lower bound.
    distribution : str
        "normal", "lognormal" or "weibull".

    Returns
    -------
    Fit

    Raises
    ------
    InputError
        If fewer than two values differ, all are "at least", or one is not above zero where its
        logarithm is needed.

    Notes
    -----
    Right-censored likelihood: Lawless, Statistical Models and Methods for Lifetime Data (1982),
    ch. 1 (MEMORY). scipy.stats.CensoredData with `fit` is the oracle in the tests.

    Examples
    --------
    >>> x = np.array([10.0, 11.0, 12.0, 13.0])
    >>> fit(x, np.zeros(4, bool)).location, round(fit(x, np.zeros(4, bool)).scale, 6)
    (11.5, 1.118034)
    >>> fit(x, x > 12.5).location > 11.5  # the last one would have carried more
    True
    """
    if distribution not in DISTRIBUTIONS:
        raise unknown_key("distribution", distribution, DISTRIBUTIONS, "distribution")
    if distribution != "normal" and not np.all(values > 0):
        raise InputError(
            f"a {distribution} distribution needs values above zero",
            where="values", got=f"{np.min(values):g}",
        )  # fmt: skip
    y = values if distribution == "normal" else np.log(values)
    broken = y[~at_least]
    if len(broken) < 2 or not np.ptp(broken) > 1e-12 * max(1.0, float(np.max(np.abs(broken)))):
        raise InputError(
            "at least two different values of specimens that broke are needed",
            where="values", got=f"{len(broken)} of {len(y)}",
        )  # fmt: skip
    extreme = distribution == "weibull"
    if not extreme and not at_least.any():
        where, size = float(np.mean(y)), float(np.std(y))
    else:
        where, size = _climb(y, at_least, extreme=extreme)
    top = float(np.sum(_likelihood((y - where) / size, at_least, extreme=extreme)))
    top -= len(broken) * math.log(size)
    error = _error(y, at_least, where, size, extreme=extreme)
    return Fit(distribution, where, size, top, len(y), len(broken), error)


def _climb(y: Array, at_least: Flags, *, extreme: bool) -> tuple[float, float]:
    """Location and scale of greatest likelihood."""
    from scipy.optimize import minimize

    centre, spread = float(np.mean(y)), float(np.std(y[~at_least])) or float(np.std(y))
    u = (y - centre) / spread

    def cost(p: Array) -> float:
        size = math.exp(float(np.clip(p[1], -30, 30)))
        z = (u - p[0]) / size
        return float(
            np.sum(~at_least) * math.log(size) - np.sum(_likelihood(z, at_least, extreme=extreme))
        )

    best = minimize(cost, np.array([0.3, 0.0]), method="BFGS", options={"gtol": 1e-6})
    if not best.success:  # a crawl that cannot fail, where the slope has misled
        best = minimize(cost, best.x, method="Nelder-Mead",
                        options={"xatol": 1e-8, "fatol": 1e-12, "maxiter": 2000})  # fmt: skip
    p = best.x
    return centre + spread * float(p[0]), spread * math.exp(float(p[1]))


def _error(y: Array, at_least: Flags, where: float, size: float, *, extreme: bool) -> float:
    """Standard error of the location from the curvature of the likelihood."""

    def cost(a: float, b: float) -> float:
        s = size * math.exp(b)
        z = (y - where - a * size) / s
        like = float(np.sum(_likelihood(z, at_least, extreme=extreme)))
        return float(np.sum(~at_least)) * math.log(s) - like

    h = 1e-3
    aa = (cost(h, 0) - 2 * cost(0, 0) + cost(-h, 0)) / h**2
    bb = (cost(0, h) - 2 * cost(0, 0) + cost(0, -h)) / h**2
    ab = (cost(h, h) - cost(h, -h) - cost(-h, h) + cost(-h, -h)) / (4 * h**2)
    det = aa * bb - ab**2
    return size * math.sqrt(bb / det) if det > 0 else math.nan
