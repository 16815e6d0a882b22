"""First natural frequency of many beams at once, from tables of the exact root.

The exact root divided by Dunkerley's estimate is a smooth number near one. Without an overhang it
is a polynomial through Chebyshev nodes; with one, where the span and the overhang trade places as
the coupling grows heavier, it is interpolated. Beams beyond the reach of the tables get the exact
root itself. Against it (tests/test_beam.py): polynomials 0.01 %, overhangs 0.1 % in frequency.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.polynomial import chebyshev

from tubecalc.beam import Span, check, exact_root, tip_at
from tubecalc.laminate.elastic import Array

R2_MAX = 0.008  # spans from 4 diameters on
S2_MAX = 1.2  # and shear as soft as E / (k G) = 150 there
_MIDDLE = 0.1  # s2 in the middle of its axis
_DEGREES = {True: (6, 2, 8), False: (12, 4, 0)}  # in s2, r2, tip; with and without a tip mass
_ROWS, _COLUMNS, _CURVE = 40, 480, 600  # s2, tip, samples of the exact curve


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


@cache
def _polynomial(span: Span) -> Array:
    """Coefficients of the ratio, powers of (s2 axis, r2 axis, tip axis), each on -1..1."""
    nodes = [chebyshev.chebpts1(d + 1) for d in _DEGREES[span.takes_tip]]
    u, r, y = np.meshgrid(*nodes, indexing="ij")
    s2 = _from_axis((1.0 + u) / 2.0)
    estimate = _estimate(span)
    tip = np.zeros_like(u)
    if span.takes_tip:
        own, unit = estimate.parts(s2, np.ones_like(u))
        tip = own * (1.0 + y) / ((1.0 - y) * unit)
    beam, mass = estimate.parts(s2, tip)
    table = 1.0 / (exact_root(span, 1, s2, R2_MAX * r, tip) * (beam + mass))
    for axis, x in enumerate(nodes):
        powers = np.linalg.inv(np.vander(x, increasing=True))
        table = np.moveaxis(np.tensordot(powers, table, (1, axis)), 0, axis)
    return np.asarray(table)


def _horner(coefficients: list[Array] | Array, x: Array) -> Array:
    """Polynomial in x; the coefficients, rising, may themselves be arrays."""
    total = coefficients[-1]
    for c in coefficients[-2::-1]:
        total = total * x + c
    return np.asarray(total)


def _smooth_ratio(span: Span, u: Array, r: Array, y: Array) -> Array:
    table = _polynomial(span)
    inner = [
        _horner([_horner(row, y) if len(row) > 1 else row[0] for row in plane], r)
        for plane in table
    ]
    return _horner(inner, u)


@cache
def _grid(span: Span) -> Array:
    """Ratio at even steps of s2 axis and tip axis; last axis 1, r, r^2 coefficients."""
    s2 = _from_axis(np.linspace(0.0, 1.0, _ROWS))[:, None]
    even = np.linspace(0.0, 1.0, _COLUMNS)
    share = (1.0 - np.cos(np.linspace(0.0, np.pi, _CURVE)[1:-1])) / 2.0
    out = []
    for r2 in (-R2_MAX, 0.0, R2_MAX):
        bare = exact_root(span, 1, s2, np.full_like(s2, r2), np.zeros_like(s2))
        lam = bare * share
        tip = np.maximum(tip_at(span, lam, s2, np.full_like(lam, r2)), 0.0)
        beam, mass = _estimate(span).parts(s2, tip)
        at, ratio = mass / (beam + mass), 1.0 / (lam * (beam + mass))
        end = 1.0 / (bare * beam)
        out.append(
            [
                np.interp(even, np.r_[0.0, a[::-1], 1.0], np.r_[e, g[::-1], g[0]])
                for a, g, e in zip(at, ratio, end, strict=True)
            ]
        )
    low, middle, high = np.array(out)
    return np.stack([middle, (high - low) / 2.0, (high + low) / 2.0 - middle], -1)


def _grid_ratio(span: Span, u: Array, r: Array, y: Array) -> Array:
    table = _grid(span)
    i = np.clip((u * (_ROWS - 1)).astype(int), 0, _ROWS - 2)
    j = np.clip((y * (_COLUMNS - 1)).astype(int), 0, _COLUMNS - 2)
    fu, fy = u * (_ROWS - 1) - i, y * (_COLUMNS - 1) - j
    flat = table.reshape(-1, 3)
    first = i * _COLUMNS + j
    powers = []
    for k in range(3):
        t = flat[:, k]
        near = t[first] * (1.0 - fy) + t[first + 1] * fy
        far = t[first + _COLUMNS] * (1.0 - fy) + t[first + _COLUMNS + 1] * fy
        powers.append(near * (1.0 - fu) + far * fu)
    return _horner(powers, r)


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
    ratio: Callable[[Span, Array, Array, Array], Array] = _smooth_ratio
    u = _axis(s2)
    beam, mass = _estimate(span).parts(s2, tip)
    y = mass / (beam + mass)
    if span.overhang > 0:
        ratio = _grid_ratio
    else:
        u, y = 2.0 * u - 1.0, 2.0 * y - 1.0
    root = np.asarray(1.0 / ((beam + mass) * ratio(span, u, r2 / R2_MAX, y)))
    beyond = (s2 > S2_MAX) | (np.abs(r2) > R2_MAX)
    if beyond.any():
        root[beyond] = exact_root(span, 1, s2[beyond], r2[beyond], tip[beyond])
    return root
