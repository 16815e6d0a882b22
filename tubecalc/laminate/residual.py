"""First damage of plies that carry stress before any load: residual stress of cure, moisture.

The load factor f solves criterion(constant + f x stress of the unit load) = 1. A ply that the
constant part alone has cracked gets 0.
"""

from __future__ import annotations

import numpy as np

from tubecalc.laminate import strength
from tubecalc.laminate.elastic import Array

Triple = tuple[Array, Array, Array]
_STEPS = 50  # halvings for the criteria without a closed form


def _root(a: Array, b: Array, d: Array) -> Array:
    """Positive root of a f^2 + 2 b f = d, 0 where d is not positive; stable for a near zero."""
    d = np.maximum(d, 0.0)
    return np.asarray(d / np.maximum(b + np.sqrt(np.maximum(b * b + a * d, 0.0)), strength.TINY))


def _line(c: Array, u: Array, most: Array, least: Array) -> Array:
    """Factor at which c + f u reaches +most or -least."""
    room = np.where(u >= 0, most - c, least + c)
    return np.asarray(np.maximum(room, 0.0) / np.maximum(np.abs(u), strength.TINY))


def _hashin(c: Triple, u: Triple, s: strength.Strengths) -> Array:
    """Hashin 1980 mode by mode, each a quadratic in the factor; see `strength.hashin_indices`."""
    (c1, c2, c3), (u1, u2, u3) = c, u
    v3, k3 = u3 / s.S12, c3 / s.S12
    aa, bb, dd = v3 * v3, k3 * v3, 1.0 - k3 * k3

    def ellipse(ci: Array, ui: Array, limit: Array) -> Array:
        v, k = ui / limit, ci / limit
        return _root(v * v + aa, k * v + bb, dd - k * k)

    along = ellipse(c1, u1, s.Xt)
    pulled = c1 + along * u1 > 0.0
    fibre = np.where(pulled, along, np.where(u1 < 0, _line(c1, u1, s.Xt, s.Xc), np.inf))
    opened = ellipse(c2, u2, s.Yt)
    across = np.where(c2 + opened * u2 >= 0.0, opened, ellipse(c2, u2, s.Yc))
    woven = s.woven > 0
    if woven.any():
        alone = np.minimum(_line(c2, u2, s.Yt, s.Yc), _root(aa, bb, dd))
        across = np.where(woven & (c1 + across * u1 <= 0.0), alone, across)
    out = np.minimum(fibre, across)
    metal = s.isotropic > 0
    return np.where(metal, _mises(c, u, s), out) if metal.any() else np.asarray(out)


def _mises(c: Triple, u: Triple, s: strength.Strengths) -> Array:
    """Von Mises yield."""
    (c1, c2, c3), (u1, u2, u3) = c, u
    a = u1 * u1 - u1 * u2 + u2 * u2 + 3 * u3 * u3
    b = c1 * u1 - (c1 * u2 + c2 * u1) / 2 + c2 * u2 + 3 * c3 * u3
    d = s.Xt**2 - (c1 * c1 - c1 * c2 + c2 * c2 + 3 * c3 * c3)
    return _root(a, b, d)


def _tsai_wu(c: Triple, u: Triple, s: strength.Strengths) -> Array:
    """Tsai-Wu with F12 = -0.5 sqrt(F11 F22)."""
    (c1, c2, c3), (u1, u2, u3) = c, u
    f11, f22, f66 = 1.0 / (s.Xt * s.Xc), 1.0 / (s.Yt * s.Yc), 1.0 / s.S12**2
    f1, f2, f12 = 1.0 / s.Xt - 1.0 / s.Xc, 1.0 / s.Yt - 1.0 / s.Yc, -0.5 * np.sqrt(f11 * f22)
    a = f11 * u1 * u1 + f22 * u2 * u2 + f66 * u3 * u3 + 2 * f12 * u1 * u2
    b = f11 * c1 * u1 + f22 * c2 * u2 + f66 * c3 * u3 + f12 * (c1 * u2 + c2 * u1)
    d = f11 * c1 * c1 + f22 * c2 * c2 + f66 * c3 * c3 + 2 * f12 * c1 * c2 + f1 * c1 + f2 * c2
    out = _root(a, b + (f1 * u1 + f2 * u2) / 2, 1.0 - d)
    metal = s.isotropic > 0
    return np.where(metal, _mises(c, u, s), out) if metal.any() else out


def _halving(criterion: str, c: Triple, u: Triple, s: strength.Strengths) -> Array:
    """Any other criterion: the admissible stresses are convex, so halving finds the one root."""

    def holds(f: Array) -> Array:
        now = [x + f * y for x, y in zip(c, u, strict=True)]
        return strength.first_failure_factor(criterion, now[0], now[1], now[2], s)

    alone = strength.first_failure_factor(criterion, u[0], u[1], u[2], s)
    high = np.minimum(alone * 1e3, 1e30)
    low = np.zeros_like(high)
    for _ in range(_STEPS):
        middle = (low + high) / 2
        fine = holds(middle) >= 1.0
        low, high = np.where(fine, middle, low), np.where(fine, high, middle)
    return np.where(holds(np.zeros_like(low)) >= 1.0, low, 0.0) + 0.0 * alone


def factor(criterion: str, constant: Triple, unit: Triple, s: strength.Strengths) -> Array:
    """Load factor of first damage with a constant stress.

    Parameters
    ----------
    criterion : str
        As `strength.first_failure_factor`; closed form for "hashin" and "tsai-wu".
    constant, unit : tuple of numpy.ndarray
        Ply-axis stresses (s1, s2, t12): those always there, and of the load times one [Pa].
    s : Strengths
        Strengths [Pa].

    Returns
    -------
    numpy.ndarray
        Factor on the load; 0 where the constant part alone breaks the criterion [-].

    Notes
    -----
    Source: thermal first-ply failure as in Kaw 2006, sec. 5.3.2; the quadratics are our own.

    Examples
    --------
    >>> one = np.ones(1)
    >>> s = strength.Strengths(*([100 * one] * 5), one, one, one, 0 * one, 0 * one, 0 * one)
    >>> across = (0 * one, one, 0 * one)
    >>> [float(factor("hashin", (0 * one, r * one, 0 * one), across, s)[0]) for r in (0, 30, 100)]
    [100.0, 70.0, 0.0]
    """
    if criterion == "hashin":
        return _hashin(constant, unit, s)
    if criterion == "tsai-wu":
        return _tsai_wu(constant, unit, s)
    return _halving(criterion, constant, unit, s)
