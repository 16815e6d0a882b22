"""Failure criteria of a ply as load factors.

All functions take the ply-axis stress of a unit load, shape (...), and strengths that broadcast
against it, and return the factor by which that load may be multiplied. Infinite where the stress
does not drive the criterion, NaN where a strength that is needed is not known.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tubecalc.errors import unknown_key
from tubecalc.laminate.criteria_larc import larc03
from tubecalc.laminate.criteria_puck import puck
from tubecalc.laminate.elastic import Array


class Strengths(NamedTuple):
    """Strengths and the moduli that turn them into limit strains, as arrays [Pa]."""

    Xt: Array
    Xc: Array
    Yt: Array
    Yc: Array
    S12: Array
    E1: Array
    E2: Array
    G12: Array
    nu12: Array
    woven: Array  # 1.0 where the second direction carries fibre too
    isotropic: Array  # 1.0 for metals


class Modes(NamedTuple):
    """What fails: fibres, a crack across tension, matrix crushed or sheared; and the first of all.

    ``fibre`` is the fibre's own stress alone; the share of shear that Hashin adds to fibre tension
    counts in ``first``, since sheared plies of an angle-ply wall crack long before a fibre breaks.
    """

    fibre: Array
    crack: Array
    matrix: Array
    first: Array


TINY = 1e-60  # stress too small to matter; keeps ratios finite


def _ratio(strength: Array, stress: Array) -> Array:
    """Strength over a stress that may be zero."""
    return strength / np.maximum(np.abs(stress), TINY)


def _root(a: Array, b: Array) -> Array:
    """Positive root of a x^2 + b x = 1; stable for a near zero and for either sign of b."""
    disc = np.sqrt(np.maximum(b * b + 4.0 * a, 0.0))
    return np.asarray(2.0 / np.maximum(b + disc, TINY))


def max_stress(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    """Load factor by maximum stress.

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
    Source: Kaw 2006, sec. 2.8.1, Example 2.17 (16.33 MPa for a 60 degree ply).
    """
    f1 = _ratio(np.where(s1 >= 0, s.Xt, s.Xc), s1)
    f2 = _ratio(np.where(s2 >= 0, s.Yt, s.Yc), s2)
    return np.asarray(np.minimum(np.minimum(f1, f2), _ratio(s.S12, t12)))


def max_strain(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    """Load factor by maximum strain, the limit strains being strength over modulus.

    Parameters
    ----------
    s1, s2, t12 : numpy.ndarray
        Ply-axis stresses of the unit load [Pa].
    s : Strengths
        Strengths and moduli [Pa].

    Returns
    -------
    numpy.ndarray
        Load factor [-].

    Notes
    -----
    Source: Kaw 2006, sec. 2.8.3.
    """
    return max_stress(s1 - s.nu12 * s2, s2 - s.nu12 * s.E2 / s.E1 * s1, t12, s)


def tsai_hill(s1: Array, s2: Array, t12: Array, s: Strengths, *, tensile: bool = False) -> Array:
    """Load factor by Tsai-Hill with the strength of the sign of each stress.

    Parameters
    ----------
    s1, s2, t12 : numpy.ndarray
        Ply-axis stresses of the unit load [Pa].
    s : Strengths
        Strengths [Pa].
    tensile : bool
        Use tensile strengths whatever the sign, as the first form of the criterion did.

    Returns
    -------
    numpy.ndarray
        Load factor [-].

    Notes
    -----
    Source: Kaw 2006, sec. 2.8.4, Example 2.19 (10.94 MPa tensile, 16.06 MPa by sign).
    """
    x1 = s.Xt if tensile else np.where(s1 >= 0, s.Xt, s.Xc)
    x2 = s.Xt if tensile else np.where(s2 >= 0, s.Xt, s.Xc)
    y = s.Yt if tensile else np.where(s2 >= 0, s.Yt, s.Yc)
    a = (s1 / x1) ** 2 - s1 * s2 / x2**2 + (s2 / y) ** 2 + (t12 / s.S12) ** 2
    return np.asarray(1.0 / np.sqrt(np.maximum(a, TINY)))


def tsai_wu(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    """Load factor by Tsai-Wu with F12 = -0.5 sqrt(F11 F22).

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
    Source: Tsai & Wu 1971; Kaw 2006, sec. 2.8.5, Example 2.20 (22.39 MPa).
    """
    f11, f22 = 1.0 / (s.Xt * s.Xc), 1.0 / (s.Yt * s.Yc)
    a = f11 * s1**2 + f22 * s2**2 + (t12 / s.S12) ** 2 - np.sqrt(f11 * f22) * s1 * s2
    b = (1.0 / s.Xt - 1.0 / s.Xc) * s1 + (1.0 / s.Yt - 1.0 / s.Yc) * s2
    return _root(a, b)


def hashin_indices(s1: Array, s2: Array, t12: Array, s: Strengths) -> Modes:
    """Squared failure indices by Hashin 1980 in plane stress, mode by mode; 1 is failure.

    Parameters
    ----------
    s1, s2, t12 : numpy.ndarray
        Ply-axis stresses [Pa].
    s : Strengths
        Strengths [Pa].

    Returns
    -------
    Modes
        Indices of the fibres, of a crack under transverse tension (or shear alone), of the matrix
        in transverse compression with shear, and of Hashin's criterion as a whole.

    Notes
    -----
    Source: Hashin, J. Appl. Mech. 47 (1980) 329. The transverse shear strength is not in any of
    the data sets, so it is taken as half the transverse compressive strength (a fracture plane at
    45 degrees), which turns the compressive matrix mode into (s2/Yc)^2 + (t12/S)^2 = 1.
    Woven plies: the second direction is a fibre direction; shear alone is the matrix mode.
    Metals: von Mises yield as the fibre mode. Squares, so that the worst place can be picked
    before the one root is taken.
    """
    shear2 = (t12 / s.S12) ** 2
    cross2 = (s2 / np.where(s2 >= 0, s.Yt, s.Yc)) ** 2
    along = s1 > 0
    fibre = (s1 / np.where(along, s.Xt, s.Xc)) ** 2
    crack = cross2 + shear2
    tension = s2 >= 0
    woven = s.woven > 0
    if woven.any():
        fibre = np.where(woven, np.maximum(fibre, cross2), fibre)
        crack = np.where(woven, shear2, crack)
        tension = tension | woven
    first = np.maximum(fibre + np.where(along, shear2, 0.0), crack)
    crushed = np.where(tension, 0.0, crack)
    crack = np.where(tension, crack, 0.0)
    metal = s.isotropic > 0
    if metal.any():
        mises = (s1**2 - s1 * s2 + s2**2 + 3.0 * t12**2) / s.Xt**2
        fibre = np.where(metal, mises, fibre)
        crack, crushed = np.where(metal, 0.0, crack), np.where(metal, 0.0, crushed)
        first = np.where(metal, mises, first)
    return Modes(np.asarray(fibre), crack, crushed, np.asarray(first))


def factors_of(indices: Modes) -> Modes:
    """Load factors of squared indices; infinite where nothing drives a mode."""
    return Modes._make(
        np.where(i > TINY, 1.0 / np.sqrt(np.maximum(i, TINY)), np.where(np.isnan(i), i, np.inf))
        for i in indices
    )


def hashin(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    """Load factor by Hashin, the lowest of its modes; see `hashin_indices`."""
    return factors_of(hashin_indices(s1, s2, t12, s)).first


def von_mises(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    """Load factor to yield by von Mises in plane stress."""
    return _ratio(s.Xt, np.sqrt(s1**2 - s1 * s2 + s2**2 + 3.0 * t12**2))


def _tsai_hill_tensile(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    return tsai_hill(s1, s2, t12, s, tensile=True)


def surviving_factor(first: Modes, fibres_alone: Array) -> Array:
    """Load factor at which a wall is really broken, not merely cracked.

    Parameters
    ----------
    first : Modes
        Lowest factor of each mode over the wall with sound plies.
    fibres_alone : numpy.ndarray
        Lowest factor over the wall when every matrix has lost its stiffness (netting).

    Returns
    -------
    numpy.ndarray
        Load factor [-].

    Notes
    -----
    Ply-discount reasoning (Barbero, Introduction to Composite Materials Design, sec. 7.3; Kaw
    2006, sec. 5.3): a crack across the fibres under tension is not the end if the fibres alone
    carry more; a broken fibre or a crushed matrix is.

    Examples
    --------
    >>> one = np.ones(1)
    >>> surviving_factor(Modes(9 * one, 2 * one, 8 * one, 2 * one), 5 * one).tolist()
    [5.0]
    """
    hard = np.minimum(first.fibre, first.matrix)
    cracked = np.maximum(first.crack, np.minimum(fibres_alone, hard))
    return np.where(first.crack < hard, cracked, hard)


CRITERIA = {
    "max-stress": max_stress,
    "max-strain": max_strain,
    "tsai-hill": tsai_hill,
    "tsai-hill-tensile": _tsai_hill_tensile,
    "tsai-wu": tsai_wu,
    "hashin": hashin,
    "puck": puck,
    "larc03": larc03,
}


def first_failure_factor(criterion: str, s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    """Load factor by a named criterion; metals by von Mises whatever the name.

    Parameters
    ----------
    criterion : str
        "max-stress", "max-strain", "tsai-hill", "tsai-hill-tensile", "tsai-wu", "hashin", "puck" or
        "larc03".
    s1, s2, t12 : numpy.ndarray
        Ply-axis stresses of the unit load [Pa].
    s : Strengths
        Strengths [Pa].

    Returns
    -------
    numpy.ndarray
        Load factor [-].

    Raises
    ------
    InputError
        If the criterion is not known.
    """
    rule = CRITERIA.get(criterion)
    if rule is None:
        raise unknown_key("criterion", criterion, list(CRITERIA), None)
    factor = rule(s1, s2, t12, s)
    metal = s.isotropic > 0
    return np.where(metal, von_mises(s1, s2, t12, s), factor) if metal.any() else factor


def mode_name(s1: float, s2: float, t12: float, s: Strengths) -> str:
    """Words for what fails first in one ply under one stress state.

    Parameters
    ----------
    s1, s2, t12 : float
        Ply-axis stresses [Pa].
    s : Strengths
        Strengths of that ply, scalars [Pa].

    Returns
    -------
    str
        For example "fibre tension" or "crack across the fibres".
    """
    if float(s.isotropic) > 0:
        return "yield"
    woven = float(s.woven) > 0
    parts = {
        "fibre tension" if s1 >= 0 else "fibre compression": float(
            _ratio(np.asarray(s.Xt if s1 >= 0 else s.Xc), np.asarray(s1))
        ),
        ("fibre tension" if s2 >= 0 else "fibre compression")
        if woven
        else ("crack across the fibres" if s2 >= 0 else "matrix compression"): float(
            _ratio(np.asarray(s.Yt if s2 >= 0 else s.Yc), np.asarray(s2))
        ),
    }
    parts["shear"] = float(_ratio(s.S12, np.asarray(t12)))
    return min(parts, key=lambda k: parts[k])
