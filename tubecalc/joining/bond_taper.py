"""Shear lag of laps whose members change in stiffness along the overlap: tapers and scarfs.

Boundary-value problem in the slip d between the faces of the adhesive, elements of even stiffness
with linear slip, nodes crowded to both ends; N laps at a time. Where the lap is straight it gives
the closed form of `tubecalc.joining.bond_lag`. Peaks of a pull on thinned ends lie -4 to +27 % of
those of a general finite-element solver (tests/oracle/fe).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tubecalc.laminate.elastic import Array

ELEMENTS = 240
_STEPS, _ROUNDS, _STEP_BACK = 8, 24, 12
SAME = 1e-6  # loads that differ by less are one: where all of it flows, every end gives the same
_FLOWING = 1e-7  # share of the elastic spring left while the adhesive flows, to keep the step


class Taper(NamedTuple):
    """N laps with stiffness along the overlap.

    x: nodes from the insert's end (M + 1, N) [m]; width and spring (N,) as in a `Lap`; tube and
    insert: stiffness of each element (M, N) [N].
    """

    x: Array
    width: Array
    spring: Array
    tube: Array
    insert: Array


class Answer(NamedTuple):
    """Slip at the nodes (M + 1, N) [m] and load (N,) [N]."""

    slip: Array
    load: Array


def nodes(length: Array, elements: int = ELEMENTS) -> Array:
    """Places along the overlap, crowded to both ends, (elements + 1, N) [m].

    Parameters
    ----------
    length : numpy.ndarray
        Overlaps [m].
    elements : int
        Elements along.

    Returns
    -------
    numpy.ndarray
        From 0 to the length.

    Examples
    --------
    >>> (nodes(np.array([0.02]), 4)[:, 0] * 1e3).round(3).tolist()
    [0.0, 2.929, 10.0, 17.071, 20.0]
    """
    share = (1.0 - np.cos(np.pi * np.linspace(0.0, 1.0, elements + 1))) / 2.0
    return np.asarray(share[:, None] * length)


class _Chain(NamedTuple):
    """Assembled laps: diagonal, next to it, spring per node, load vectors of P and of e."""

    main: Array
    side: Array
    weight: Array
    pull: Array
    heat: Array


def _assemble(t: Taper) -> _Chain:
    h = np.diff(t.x, axis=0)
    both = t.tube + t.insert
    soft = t.tube * t.insert / both
    stiff = soft / h
    main = np.zeros_like(t.x)
    main[:-1] += stiff
    main[1:] += stiff
    weight = np.zeros_like(t.x)
    weight[:-1] += h / 2.0
    weight[1:] += h / 2.0
    pull, heat = np.zeros_like(t.x), np.zeros_like(t.x)
    pull[-1] = 1.0
    share = t.insert / both
    pull[:-1] += share
    pull[1:] -= share
    heat[:-1] -= soft
    heat[1:] += soft
    return _Chain(main, -stiff, weight * t.width, pull, heat)


def _solved(main: Array, side: Array, right: Array) -> Array:
    """Solve symmetric positive tridiagonal systems, (M + 1, N); right is (M + 1, K, N).

    The N systems stand one behind the other as one band without ties between them.
    """
    from scipy.linalg import solveh_banded

    rows, n = main.shape
    band = np.zeros((2, n, rows))
    band[0] = main.T
    band[1, :, :-1] = side.T
    columns = np.moveaxis(right, 1, 2).transpose(1, 0, 2).reshape(n * rows, -1)
    found = solveh_banded(band.reshape(2, -1), columns, lower=True, check_finite=False)
    return np.asarray(found.reshape(n, rows, -1).transpose(1, 2, 0))


def elastic(t: Taper) -> tuple[Array, Array]:
    """Slip per unit load and per unit mismatch, elastic.

    Parameters
    ----------
    t : Taper
        N laps.

    Returns
    -------
    tuple of numpy.ndarray
        (M + 1, N) each [m/N, m]; times the spring they are shear stresses.

    Examples
    --------
    >>> one = np.ones(1)
    >>> even = np.full((ELEMENTS, 1), 1e7)
    >>> lap = Taper(nodes(0.02 * one), one, 1e12 * one, even, even)
    >>> round(float(elastic(lap)[0][0, 0] * 1e12 * 1e4 / 1e6), 2)  # closed form: 2.237
    2.24
    """
    c = _assemble(t)
    found = _solved(c.main + c.weight * t.spring, c.side, np.stack([c.pull, c.heat], axis=1))
    return found[:, 0], found[:, 1]


def ultimate(t: Taper, strength: Array, slip: Array, mismatch: Array | float = 0.0) -> Answer:
    """Load at which the slip somewhere reaches the one that breaks an adhesive that flows.

    Parameters
    ----------
    t : Taper
        N laps.
    strength, slip : numpy.ndarray
        Shear stress at which the adhesive flows [Pa], slip at which it breaks [m].
    mismatch : array_like
        Free strain of the insert less that of the tube; of a push, with its sign turned [-].

    Returns
    -------
    Answer
        Load, 0 where the mismatch breaks it without one, and the slip then.

    Notes
    -----
    Newton's method on slips and load together, the slip of the worst node held at its limit; the
    worst node is looked for again until no other lies beyond. See `bond_plastic.ultimate`.

    Examples
    --------
    >>> one = np.ones(1)
    >>> even = np.full((ELEMENTS, 1), 1e7)
    >>> lap = Taper(nodes(0.05 * one), one, 1e12 * one, even, even)
    >>> round(float(ultimate(lap, 20e6 * one, 100e-6 * one).load[0]) / 1e3)
    268
    """
    c = _assemble(t)
    e = np.broadcast_to(np.asarray(mismatch, float), t.spring.shape)
    per_load, per_heat = elastic(t)
    at = np.argmax(per_load, axis=0)
    column = np.arange(len(at))
    best = Answer(np.zeros_like(t.x), np.full(t.spring.shape, np.inf))
    for _ in range(4):
        start = (strength / t.spring - (per_heat * e)[at, column]) / per_load[at, column]
        found = _held(t, c, (strength, slip, e), at, Answer(per_load * start + per_heat * e, start))
        lower = found.load <= best.load * (1.0 + SAME)  # all of it flows: both ends, one load
        best = Answer(
            np.where(lower, found.slip, best.slip), np.where(lower, found.load, best.load)
        )
        worst = np.argmax(found.slip, axis=0)
        if np.all(found.slip[worst, column] <= slip * (1.0 + 1e-6)):
            break
        at = worst
    most = np.minimum(best.load, c.weight.sum(axis=0) * strength)
    most = np.where(np.abs(best.slip).max(axis=0) > slip * (1.0 + 1e-6), 0.0, most)
    return Answer(best.slip, np.maximum(most, 0.0))


def _held(
    t: Taper, c: _Chain, limits: tuple[Array, Array, Array], at: Array, start: Answer
) -> Answer:
    """Load at which one node of each lap has the slip that breaks, reached in steps from yield."""
    strength, slip, _ = limits
    yielded = strength / t.spring
    found = start
    for share in np.linspace(0.0, 1.0, _STEPS + 1) ** 2:
        target = yielded + share * (slip - yielded)
        found = _newton(t, c, limits, at, target, found)
    return found


def _newton(
    t: Taper, c: _Chain, limits: tuple[Array, Array, Array], at: Array, target: Array, start: Answer
) -> Answer:
    """Slips and load in balance while one node of each lap has a given slip."""
    strength, slip, e = limits
    column = np.arange(len(at))
    d, p = start.slip.copy(), start.load.copy()
    yielded = strength / t.spring
    for turn in range(_ROUNDS):
        stress = np.clip(t.spring * d, -strength, strength)
        rest = c.main * d + c.weight * stress - c.pull * p - c.heat * e
        rest[:-1] += c.side * d[1:]
        rest[1:] += c.side * d[:-1]
        spring = t.spring * np.where(np.abs(d) < yielded, 1.0, _FLOWING)
        step = _solved(c.main + c.weight * spring, c.side, np.stack([-rest, c.pull], axis=1))
        more = (target - d[at, column] - step[at, 0, column]) / step[at, 1, column]
        share = 1.0 if turn < _STEP_BACK else 0.5
        moved = share * (step[:, 0] + step[:, 1] * more)
        d, p = d + moved, p + share * more
        if np.all(np.abs(moved).max(axis=0) < 1e-9 * slip):
            break
    return Answer(d, p)


__all__ = ["ELEMENTS", "Answer", "Taper", "elastic", "nodes", "ultimate"]
