"""Puck's criterion in plane stress: fibre failure, and three modes of cracks between fibres."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from tubecalc.laminate.elastic import Array

if TYPE_CHECKING:
    from tubecalc.laminate.strength import Strengths

_TINY = 1e-60
GLASS, CARBON = (0.30, 0.25), (0.35, 0.30)  # p21 tension, compression; Puck, Kopp & Knops 2002
_CARBON_FROM = 75e9  # fibre-direction modulus above which a ply is taken for carbon [Pa]


def plane_resistance(Yc: ArrayLike, S12: ArrayLike, p21c: ArrayLike) -> Array:
    """Resistance of the action plane against its own transverse shear, from the coupling rule.

    Parameters
    ----------
    Yc, S12 : array_like
        Transverse compressive and in-plane shear strength [Pa].
    p21c : array_like
        Inclination of the (s2, t12) envelope at s2 = 0 on the compression side [-].

    Returns
    -------
    numpy.ndarray
        R [Pa].

    Notes
    -----
    Source: Puck & Schuermann, Compos. Sci. Technol. 62 (2002) 1633; Knops, Analysis of Failure in
    Fiber Polymer Laminates (2008), eq. 75. MEMORY, held by the number of a public test (PUCK-RA).

    Examples
    --------
    >>> round(float(plane_resistance(200.0, 79.0, 0.30)), 3)
    77.306
    """
    s, p = np.asarray(S12, float), np.asarray(p21c, float)
    return np.asarray(s / (2 * p) * (np.sqrt(1 + 2 * p * np.asarray(Yc, float) / s) - 1))


def puck_exposure(
    s2: ArrayLike,
    t12: ArrayLike,
    *,
    Yt: ArrayLike,
    Yc: ArrayLike,
    S12: ArrayLike,
    p21t: ArrayLike,
    p21c: ArrayLike,
) -> Array:
    """Stress exposure against a crack between the fibres; 1 is failure.

    Parameters
    ----------
    s2, t12 : array_like
        Transverse and shear stress in ply axes [Pa].
    Yt, Yc, S12 : array_like
        Strengths [Pa].
    p21t, p21c : array_like
        Inclinations of the envelope at s2 = 0, tension and compression side [-].

    Returns
    -------
    numpy.ndarray
        Exposure, of the first degree in the stress: mode A (s2 >= 0), B (a crack across, closed)
        or C (an oblique crack) [-].

    Notes
    -----
    Source: Puck & Schuermann, Compos. Sci. Technol. 58 (1998) 1045 and 62 (2002) 1633; VDI 2014
    part 3. MEMORY, held by published numbers of another code (rows PUCK-). The weakening by a high
    stress along the fibre is left out. Valid for unidirectional plies. Grade B.

    Examples
    --------
    >>> given = dict(Yt=48.0, Yc=200.0, S12=79.0, p21t=0.35, p21c=0.30)
    >>> puck_exposure([30, -50, -150], [40, 60, 60], **given).round(4).tolist()
    [0.839, 0.5947, 0.8649]
    """
    side, shear = np.asarray(s2, float), np.abs(np.asarray(t12, float))
    yt, yc, s12, pt, pc = (np.asarray(v, float) for v in (Yt, Yc, S12, p21t, p21c))
    plane = plane_resistance(yc, s12, pc)
    p22c = pc * plane / s12
    turn = s12 * np.sqrt(1 + 2 * p22c)  # shear at which mode B becomes C
    pull = np.sqrt((shear / s12) ** 2 + ((1 - pt * yt / s12) * side / yt) ** 2) + pt * side / s12
    closed = (np.sqrt(shear**2 + (pc * side) ** 2) + pc * side) / s12
    push = np.maximum(-side, _TINY)
    oblique = ((shear / (2 * (1 + p22c) * s12)) ** 2 + (side / yc) ** 2) * yc / push
    across = -side * turn <= plane * shear
    return np.asarray(np.where(side >= 0, pull, np.where(across, closed, oblique)))


def puck(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    """Load factor by Puck in plane stress; fibres by their own strength.

    Parameters
    ----------
    s1, s2, t12 : numpy.ndarray
        Ply-axis stresses of the unit load [Pa].
    s : Strengths
        Strengths [Pa].

    Returns
    -------
    numpy.ndarray
        Load factor [-].

    Notes
    -----
    Source: see `puck_exposure`. Inclinations 0.35 and 0.30 for carbon, 0.30 and 0.25 for glass
    (plies below 75 GPa along the fibre), Puck, Kopp & Knops, Compos. Sci. Technol. 62 (2002) 371.
    Woven plies: both directions are fibre directions, shear alone cracks the matrix.

    Examples
    --------
    >>> from tubecalc.laminate.strength import Strengths
    >>> ply = Strengths(*(np.array([v]) for v in (
    ...     1950e6, 1480e6, 48e6, 200e6, 79e6, 126e9, 11e9, 6.6e9, 0.28, 0.0, 0.0)))
    >>> puck(np.zeros(1), np.array([30e6]), np.array([40e6]), ply).round(4).tolist()
    [1.1919]
    """
    carbon = s.E1 >= _CARBON_FROM
    p21t, p21c = (np.where(carbon, c, g) for c, g in zip(CARBON, GLASS, strict=True))
    along = np.abs(s1) / np.where(s1 >= 0, s.Xt, s.Xc)
    crack = puck_exposure(s2, t12, Yt=s.Yt, Yc=s.Yc, S12=s.S12, p21t=p21t, p21c=p21c)
    woven = s.woven > 0
    if woven.any():
        cloth = np.maximum(np.abs(s2) / np.where(s2 >= 0, s.Yt, s.Yc), np.abs(t12) / s.S12)
        crack = np.where(woven, cloth, crack)
    return np.asarray(1.0 / np.maximum(np.maximum(along, crack), _TINY))
