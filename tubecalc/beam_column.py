"""Columns that shear, exact for every end and for guides on the way, and shafts under torque.

Engesser's column (1891): the shear force follows the slope of the axis, EI psi'' = -kGA (w' - psi)
and kGA (w'' - psi') = P w''. Haringx (1948) lets it follow the rotation of the section, which for
tubes gives a little more; Engesser is the safe side and what solid tubes obey (Timoshenko & Gere,
Theory of Elastic Stability, 2nd ed. 1961, sec. 2.17, MEMORY).
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from tubecalc.errors import unknown_key
from tubecalc.laminate.elastic import Array

ENDS = ("pinned-pinned", "fixed-fixed", "fixed-pinned", "fixed-free")
_ROUNDS = 8  # each takes a factor of 12 and more off the error: 3e-10 is left
_SAMPLES = 2001
_HELIX = {
    "pinned-pinned": 2.0 * math.pi, "fixed-fixed": 8.986819, "fixed-pinned": 2.0 * math.pi,
    "fixed-free": math.pi,
}  # fmt: skip


def buckling_root(ends: str, s2: Array, guides: int = 0) -> Array:
    """Wave number times bay length at which a column of equal bays bows out.

    Parameters
    ----------
    ends : str
        "pinned-pinned", "fixed-fixed", "fixed-pinned" or "fixed-free".
    s2 : numpy.ndarray
        EI / (kGA l^2), l the length of a bay: the length over guides + 1 [-].
    guides : int
        Supports that hold the column sideways at equal distances and let it turn.

    Returns
    -------
    numpy.ndarray
        x; the load is EI x^2 / l^2 / (1 + s2 x^2).

    Raises
    ------
    InputError
        For other ends.

    Notes
    -----
    The rotations over the guides of n bays go as sin(i phi), which leaves one equation between the
    symmetric and the antisymmetric stiffness of a bay: x = pi + 2 atan(sqrt(y^2 + q) - y) with
    y = (1 + s2 x^2) / x and q = 0 pinned, tan^2(pi / 2n) fixed, tan^2(pi / 4n) propped (slope
    deflection with stability functions, after Livesley & Chandler 1956, MEMORY; shear added here).
    One propped bay is tan x = x / (1 + s2 x^2). Without guides all but that are closed.

    Examples
    --------
    >>> zero = np.zeros(1)
    >>> round(float(buckling_root("fixed-pinned", zero)[0]), 6)
    4.493409
    >>> round(float(buckling_root("fixed-fixed", zero, guides=1)[0]), 6)  # each half is propped
    4.493409
    """
    if ends not in ENDS:
        raise unknown_key("end condition", ends, list(ENDS), "ends")
    s2, bays = np.asarray(s2, float), guides + 1
    if ends == "pinned-pinned":
        return np.full(s2.shape, math.pi)
    if ends == "fixed-free":
        return np.full(s2.shape, math.pi / 2.0) if bays == 1 else _free_end(s2, bays)
    if ends == "fixed-fixed" and bays == 1:
        return np.full(s2.shape, 2.0 * math.pi)
    q = math.tan(math.pi / (2.0 * bays) / (1.0 if ends == "fixed-fixed" else 2.0)) ** 2
    x = np.full(s2.shape, 4.2)
    for _ in range(_ROUNDS):
        y = (1.0 + s2 * x * x) / x
        x = math.pi + 2.0 * np.arctan(np.sqrt(y * y + q) - y)
    return np.asarray(x)


def _free_end(s2: Array, bays: int) -> Array:
    """The bay beyond the last guide is free at its tip; read from a table."""
    share, x = _free_end_table(bays)
    return np.interp(s2 / (1.0 + s2), share, x)


@cache
def _free_end_table(bays: int) -> tuple[Array, Array]:
    """Root of x tan x tanh((n - 1) chi) = sqrt(ks ka) of a tip on n - 1 bays fixed at the far end.

    ks, ka: symmetric and antisymmetric stiffness of a bay, cosh chi = (ka + ks) / (ka - ks).
    """
    share = np.linspace(0.0, 1.0 - 1e-9, _SAMPLES)
    s2 = share / (1.0 - share)
    low, high = np.full(_SAMPLES, 1e-6), np.full(_SAMPLES, math.pi / 2.0)
    for _ in range(60):
        x = (low + high) / 2.0
        cot = 1.0 / np.tan(x / 2.0)
        eta_x = x / (1.0 + s2 * x * x)
        symmetric, anti = x * cot, x * eta_x / np.maximum(2.0 - eta_x * cot, 1e-300)
        chi = np.arccosh(np.maximum((anti + symmetric) / np.abs(anti - symmetric), 1.0))
        below = x * np.tan(x) * np.tanh((bays - 1) * chi) < np.sqrt(symmetric * anti)
        low, high = np.where(below, x, low), np.where(below, high, x)
    return share, (low + high) / 2.0


def helix_torque(ends: str) -> float:
    """Torque at which a long shaft bows into a helix, in units of EI / L.

    Parameters
    ----------
    ends : str
        What holds the shaft.

    Returns
    -------
    float
        2 pi between pins, 8.987 (2 x 4.4934) with both ends held in direction, pi with one end
        free (a torque that turns half way with the tip).

    Raises
    ------
    InputError
        For other ends.

    Notes
    -----
    Source: Greenhill, Proc. Inst. Mech. Eng. 1883; Timoshenko & Gere 1961, sec. 2.21 (MEMORY); the
    fixed value from u'''' = i T / EI u''', tan(T L / 2 EI) = T L / 2 EI. One end fixed and the
    other pinned has no such root; the pinned value stands in.

    Examples
    --------
    >>> round(helix_torque("pinned-pinned"), 4)
    6.2832
    """
    if ends not in _HELIX:
        raise unknown_key("end condition", ends, list(_HELIX), "ends")
    return _HELIX[ends]
