"""First natural frequency of many beams at once, from tables of the exact root.

The exact root divided by Dunkerley's estimate is a number near one that changes slowly; it is read
from a grid of shear, rotary inertia and tip mass. Against the exact root (tests/test_beam.py):
0.01 % in frequency, 0.2 % with an overhang, where the span and the overhang trade places as the
coupling grows heavier. Beams beyond the grid, shorter than any check holds for, get the estimate.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import NamedTuple

import numpy as np

from tubecalc.beam import Span, check, exact_root, tip_at
from tubecalc.laminate.elastic import Array, Ints

R2_MAX = 0.008  # spans from 4 diameters on
S2_MAX = 1.2  # and shear as soft as E / (k G) = 150 there
_MIDDLE = 0.1  # s2 in the middle of its axis
_ROWS = {True: 40, False: 400}  # steps in s2, with and without a tip mass
_COLUMNS, _CURVE = 480, 600  # steps in tip mass, samples of the exact curve


class _Estimate(NamedTuple):
    """Dunkerley: 1 / lambda = bend + shear s2 + tip (tip_bend + tip_shear s2)."""

    bend: float
    shear: float
    tip_bend: float
    tip_shear: float

    def parts(self, s2: Array, tip: Array) -> tuple[Array, Array]:
        """Share of the beam, and of the mass on its tip."""
        return self.bend + self.shear * s2, tip * (self.tip_bend + self.tip_shear * s2)


def _one(span: Span, s2: float, tip: float) -> float:
    return float(exact_root(span, 1, np.array([s2]), np.zeros(1), np.array([tip]))[0])


@cache
def _estimate(span: Span) -> _Estimate:
    """Each term alone, from the exact root."""
    much, heavy = 1e6, 1e7
    bend, shear = 1.0 / _one(span, 0.0, 0.0), 1.0 / (_one(span, much, 0.0) * much)
    if not span.takes_tip:
        return _Estimate(bend, shear, 0.0, 0.0)
    tip = 1.0 / (_one(span, 0.0, heavy) * heavy)
    return _Estimate(bend, shear, tip, 1.0 / (_one(span, much, heavy) * heavy * much))


def _axis(s2: Array) -> Array:
    """Shear flexibility on 0..1."""
    return s2 / (s2 + _MIDDLE) * (1.0 + _MIDDLE / S2_MAX)


def _from_axis(u: Array) -> Array:
    u = u / (1.0 + _MIDDLE / S2_MAX)
    return _MIDDLE * u / (1.0 - u)


def _at_rest(span: Span, s2: Array, r2: float) -> Array:
    """Ratio without a tip mass, one row for each s2."""
    bare = exact_root(span, 1, s2, np.full_like(s2, r2), np.zeros_like(s2))
    return np.asarray(1.0 / (bare * _estimate(span).parts(s2, np.zeros_like(s2))[0]))


def _with_tip(span: Span, s2: Array, r2: float) -> Array:
    """Ratio at even steps of the tip axis: the exact curve tip(lambda) read backwards."""
    s2 = s2[:, None]
    share = (1.0 - np.cos(np.linspace(0.0, np.pi, _CURVE)[1:-1])) / 2.0
    bare = exact_root(span, 1, s2, np.full_like(s2, r2), np.zeros_like(s2))
    lam = bare * share
    tip = np.maximum(tip_at(span, lam, s2, np.full_like(lam, r2)), 0.0)
    beam, mass = _estimate(span).parts(s2, tip)
    at, ratio = mass / (beam + mass), 1.0 / (lam * (beam + mass))
    even = np.linspace(0.0, 1.0, _COLUMNS)
    return np.array(
        [
            np.interp(even, np.r_[0.0, a[::-1], 1.0], np.r_[e, g[::-1], g[0]])
            for a, g, e in zip(at, ratio, _at_rest(span, s2[:, 0], r2), strict=True)
        ]
    )


@lru_cache(maxsize=64)  # one for each overhang in use
def _grid(span: Span) -> tuple[Array, Array, Array]:
    """Ratio at even steps of s2 axis (and tip axis), flat: coefficients of 1, r, r^2."""
    rows = _from_axis(np.linspace(0.0, 1.0, _ROWS[span.takes_tip]))
    make = _with_tip if span.takes_tip else _at_rest
    low, middle, high = (make(span, rows, r2).ravel() for r2 in (-R2_MAX, 0.0, R2_MAX))
    return middle, (high - low) / 2.0, (high + low) / 2.0 - middle


def _cell(axis: Array, steps: int) -> tuple[Ints, Array]:
    """Cell of an even axis on 0..1, and the place within it."""
    x = axis * (steps - 1)
    cell = np.clip(x.astype(int), 0, steps - 2)
    return cell, x - cell


def _ratio(span: Span, u: Array, r: Array, y: Array) -> Array:
    """Ratio between the grid points: straight in both axes, a parabola in r."""
    i, fu = _cell(u, _ROWS[span.takes_tip])
    columns, j, fy = 1, 0 * i, 0.0 * y
    if span.takes_tip:
        columns = _COLUMNS
        j, fy = _cell(y, _COLUMNS)
    first = i * columns + j

    def between(t: Array) -> Array:
        near, far = t[first], t[first + columns]
        if span.takes_tip:
            near = near + (t[first + 1] - near) * fy
            far = far + (t[first + columns + 1] - far) * fy
        return np.asarray(near + (far - near) * fu)

    one, first_power, second = (between(t) for t in _grid(span))
    return np.asarray(one + r * (first_power + r * second))


def _pinned(s2: Array, r2: Array) -> Array:
    """First root of a beam on two pins, closed (Huang 1961)."""
    k2 = np.pi**2
    b = 1.0 + k2 * (r2 + s2)
    return np.asarray(2.0 * k2**2 / (b + np.sqrt(b * b - 4.0 * r2 * s2 * k2**2)))


def first_root(span: Span, s2: Array, r2: Array, tip: Array) -> Array:
    """First natural frequency of a Timoshenko beam, for a sweep.

    Parameters
    ----------
    span : Span
        Ends and overhang.
    s2, r2, tip : numpy.ndarray
        As in `tubecalc.beam.exact_root`.

    Returns
    -------
    numpy.ndarray
        lambda = m omega^2 L^4 / EI.

    Raises
    ------
    InputError
        As from `exact_root`.

    Notes
    -----
    Source: the exact root, tabulated; closed for two pins.

    Examples
    --------
    >>> one = np.ones(1)
    >>> root = first_root(Span("fixed-free"), 0.01 * one, 0.001 * one, one)
    >>> round(float((root / exact_root(Span("fixed-free"), 1, 0.01, 0.001, one))[0]), 5)
    1.0
    """
    check(span, 1, tip)
    s2, r2, tip = (np.asarray(x, float) for x in np.broadcast_arrays(s2, r2, tip))
    if span == Span("pinned-pinned"):
        return _pinned(s2, r2)
    if span.ends == "free-free":  # no check asks for it, and rotary inertia counts for more in it
        return exact_root(span, 1, s2, r2, tip)
    beam, mass = _estimate(span).parts(s2, tip)
    inside = np.minimum(s2, S2_MAX)
    ratio = _ratio(span, _axis(inside), r2 / R2_MAX, mass / (beam + mass))
    root = np.asarray(1.0 / ((beam + mass) * ratio))
    beyond = (s2 > S2_MAX) | (np.abs(r2) > R2_MAX)
    return np.asarray(np.where(beyond, 1.0 / (beam + mass), root))
