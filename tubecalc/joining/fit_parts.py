"""Clearance of two tubes: limits, spread, what out-of-round and bow take, chance of binding."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np

from tubecalc.joining.tube_sizes import SIGMAS, Band
from tubecalc.joining.workshop import figure
from tubecalc.laminate.elastic import Array

_NODES = 48  # of the one integral that has no closed form
TAIL = 0.00135  # one side beyond three standard deviations: what a statistical limit leaves out


@dataclass(frozen=True)
class Shape:
    """How far both tubes are from round and straight, worst case [m].

    out_of_round is the largest less the smallest diameter of a section; bow is how far the middle
    of the overlap lies from the line through its ends.
    """

    inner_round: float = 0.0
    outer_round: float = 0.0
    inner_bow: float = 0.0
    outer_bow: float = 0.0

    @property
    def worst(self) -> float:
        """Clearance on the diameter that both take when they lie crosswise [m].

        Notes
        -----
        Two ovals turned by t about each other leave c - sqrt(a^2 + b^2 - 2 a b cos 2t) / 2, a and b
        their out-of-round; a bowed tube in a bowed bore takes the difference of the two bows as
        vectors. Rigid tubes; own derivation, a Monte Carlo of points round the bore agrees.
        """
        return (self.inner_round + self.outer_round) / 2.0 + self.inner_bow + self.outer_bow

    @property
    def spreads(self) -> tuple[float, float]:
        """Scales of the two Rayleigh distributions of the loss: of oval and of bow [m].

        The size and the direction of each are as random as a normal vector whose three standard
        deviations are the worst case (own rule).
        """
        oval = math.hypot(self.inner_round, self.outer_round) / 2.0 / SIGMAS
        return oval, math.hypot(self.inner_bow, self.outer_bow) / SIGMAS


def bow_over(straightness: float, overlap: float) -> float:
    """Bow of a tube over an overlap.

    Parameters
    ----------
    straightness : float
        Bow over length, quoted over a metre [-].
    overlap : float
        Length of the overlap [m].

    Returns
    -------
    float
        [m]; a tube bent to a circle: with the square of the length up to a metre, beyond it with
        the length.

    Examples
    --------
    >>> round(bow_over(0.001, 0.1) * 1e3, 6), round(bow_over(0.001, 2.0) * 1e3, 6)
    (0.01, 2.0)
    """
    whole = figure("straightness_length").value
    return straightness * overlap * min(overlap / whole, 1.0)


@dataclass(frozen=True)
class Clear:
    """Clearance on the diameter at one temperature [m]; below nought it presses.

    least and most are worst cases of the diameters; statistical ones leave out 0.135 % either side
    and count oval and bow; free is the least that is left when oval and bow take their worst.
    """

    temperature: float
    least: float
    middle: float
    most: float
    free: float
    low: float
    high: float
    chance: float


def chance_below(x: float, middle: float, sigma: float, shape: Shape) -> float:
    """Chance that the free clearance is below a value.

    Parameters
    ----------
    x : float
        The value, 0 for binding [m].
    middle, sigma : float
        Clearance of the diameters: mean and standard deviation [m].
    shape : Shape
        Out-of-round and bow.

    Returns
    -------
    float
        0 to 1.

    Notes
    -----
    Normal clearance less two independent Rayleigh losses. One loss is closed: completing the square
    of the normal density times exp(-z^2 / 2 s^2); the other is integrated (own derivation; checked
    by Monte Carlo).

    Examples
    --------
    >>> round(chance_below(0.0, 3e-5, 1e-5, Shape()), 6)
    0.00135
    """
    one, two = sorted(shape.spreads)
    c = middle - x
    if one <= 0.0:
        return float(_one_loss(np.array([c]), sigma, two)[0])
    losses, weights = _losses()
    return float(weights @ _one_loss(c - one * losses, sigma, two))


@cache
def _losses() -> tuple[Array, Array]:
    """Losses of a Rayleigh distribution of scale 1, and their weights (Gauss-Legendre)."""
    u, w = np.polynomial.legendre.leggauss(_NODES)
    return np.sqrt(-2.0 * np.log1p(-(u + 1.0) / 2.0)), w / 2.0


def _one_loss(c: Array, sigma: float, scale: float) -> Array:
    """P(Z - R < 0), Z normal about c, R Rayleigh."""
    if sigma <= 0.0:
        if scale <= 0.0:
            return np.where(c <= 0.0, 1.0, 0.0)
        return np.asarray(np.exp(-(np.maximum(c, 0.0) ** 2) / (2.0 * scale**2)))
    below = _normal(-c / sigma)
    if scale <= 0.0:
        return below
    both = math.hypot(sigma, scale)
    inside = c * scale / (sigma * both)
    return np.asarray(below + scale / both * np.exp(-(c**2) / (2.0 * both**2)) * _normal(inside))


def _normal(z: Array) -> Array:
    return np.array([0.5 * math.erfc(-v / math.sqrt(2.0)) for v in np.atleast_1d(z)])


def clear(outside: Band, bore: Band, shape: Shape, grow: tuple[float, float], t: float,
          rise: float) -> Clear:  # fmt: skip
    """Clearance at a temperature.

    Parameters
    ----------
    outside, bore : Band
        Outside of the inner tube, bore of the outer one, at room temperature.
    shape : Shape
        Out-of-round and bow.
    grow : tuple of float
        Expansion of the outside and of the bore [1/K].
    t, rise : float
        Temperature, and its difference from room temperature [degC, K].

    Returns
    -------
    Clear
    """
    wide = bore.middle * (0.0 if rise == 0.0 else grow[1] * rise)
    wide -= outside.middle * (0.0 if rise == 0.0 else grow[0] * rise)
    least, most = bore.low - outside.high + wide, bore.high - outside.low + wide
    middle = bore.middle - outside.middle + wide
    sigma = math.hypot(outside.sigma, bore.sigma)
    low = _quantile(middle, sigma, shape)
    return Clear(
        t, least, middle, most, least - shape.worst, low, middle + SIGMAS * sigma,
        chance_below(0.0, middle, sigma, shape),
    )  # fmt: skip


def _quantile(middle: float, sigma: float, shape: Shape) -> float:
    """Free clearance that all but 0.135 % exceed, by halving."""
    if sigma <= 0.0 and max(shape.spreads) <= 0.0:
        return middle
    high = middle - SIGMAS * sigma
    low = high - 6.0 * sum(shape.spreads) - sigma
    for _ in range(60):
        at = (low + high) / 2.0
        low, high = (low, at) if chance_below(at, middle, sigma, shape) > TAIL else (at, high)
    return (low + high) / 2.0


__all__ = ["TAIL", "Clear", "Shape", "bow_over", "chance_below", "clear"]
