"""Ply constants from fibre and matrix: mixture, series, Halpin-Tsai and the Chamis forms."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from tubecalc.laminate.elastic import Array


def mixture(fibre: ArrayLike, matrix: ArrayLike, vf: ArrayLike, vm: ArrayLike = np.nan) -> Array:
    """Side by side: modulus along the fibre, density, Poisson's ratio.

    Parameters
    ----------
    fibre, matrix : array_like
        Property of each, one unit.
    vf, vm : array_like
        Volume shares [-]; without voids the matrix fills the rest.

    Returns
    -------
    numpy.ndarray
        Property of the ply, the same unit.

    Notes
    -----
    Source: Kaw 2006, eqs. 3.8, 3.27, 3.45.

    Examples
    --------
    >>> round(float(mixture(85.0, 3.4, 0.7)), 2)
    60.52
    """
    share = np.asarray(vf, float)
    rest = np.where(np.isnan(vm), 1.0 - share, vm)
    return np.asarray(share * np.asarray(fibre) + rest * np.asarray(matrix))


def series(fibre: ArrayLike, matrix: ArrayLike, vf: ArrayLike) -> Array:
    """One behind the other: a low bound of the modulus across the fibre and in shear.

    Parameters
    ----------
    fibre, matrix : array_like
        Modulus of each [Pa].
    vf : array_like
        Fibre share of the volume [-].

    Returns
    -------
    numpy.ndarray
        [Pa].

    Notes
    -----
    Source: Kaw 2006, eqs. 3.37 and 3.49.

    Examples
    --------
    >>> round(float(series(85.0, 3.4, 0.7)), 2)
    10.37
    """
    share = np.asarray(vf, float)
    return np.asarray(1.0 / (share / np.asarray(fibre) + (1.0 - share) / np.asarray(matrix)))


def halpin_tsai(fibre: ArrayLike, matrix: ArrayLike, vf: ArrayLike, xi: float) -> Array:
    """Modulus across the fibre (xi 2) or in shear (xi 1).

    Parameters
    ----------
    fibre, matrix : array_like
        Modulus of each [Pa].
    vf : array_like
        Fibre share of the volume [-].
    xi : float
        Measure of reinforcement [-].

    Returns
    -------
    numpy.ndarray
        [Pa].

    Notes
    -----
    Source: Halpin & Tsai 1969; Kaw 2006, eqs. 3.52 and 3.57.

    Examples
    --------
    >>> round(float(halpin_tsai(85.0, 3.4, 0.7, 2.0)), 1)
    20.2
    """
    ratio, share = np.asarray(fibre, float) / np.asarray(matrix, float), np.asarray(vf, float)
    eta = (ratio - 1.0) / (ratio + xi)
    return np.asarray(np.asarray(matrix) * (1.0 + xi * eta * share) / (1.0 - eta * share))


def chamis(fibre: ArrayLike, matrix: ArrayLike, vf: ArrayLike, *, root: bool = True) -> Array:
    """Modulus across the fibre or in shear, of a square array of fibres.

    Parameters
    ----------
    fibre, matrix : array_like
        Transverse (or shear) modulus of each [Pa].
    vf : array_like
        Fibre share of the volume [-].
    root : bool
        False uses the share itself, as for G23.

    Returns
    -------
    numpy.ndarray
        [Pa].

    Notes
    -----
    Source: Chamis, NASA TM-83320, 1983, eqs. of fig. 2.

    Examples
    --------
    >>> round(float(chamis(2.0, 0.5, 0.63)), 2)
    1.24
    """
    share = np.asarray(vf, float)
    width = np.sqrt(share) if root else share
    return np.asarray(matrix / (1.0 - width * (1.0 - np.asarray(matrix) / np.asarray(fibre))))


def fibre_share(
    fibre_weight: ArrayLike, rho_f: ArrayLike, rho_m: ArrayLike, voids: ArrayLike = 0.0
) -> Array:
    """Fibre share of the volume from its share of the weight.

    Parameters
    ----------
    fibre_weight : array_like
        Share of the weight [-].
    rho_f, rho_m : array_like
        Densities, one unit.
    voids : array_like
        Share of the volume that is empty [-].

    Returns
    -------
    numpy.ndarray
        [-].

    Notes
    -----
    Source: Chamis, NASA TM-83320, 1983, Example 4.1; mass balance of ASTM D3171.

    Examples
    --------
    >>> round(float(fibre_share(0.70, 0.063, 0.046, 0.01)), 3)
    0.624
    """
    weight = np.asarray(fibre_weight, float)
    ratio = np.asarray(rho_f, float) / np.asarray(rho_m, float)
    return np.asarray((1.0 - np.asarray(voids)) / (1.0 + ratio * (1.0 / weight - 1.0)))


def expansion(
    vf: ArrayLike,
    E1f: ArrayLike,
    Em: ArrayLike,
    num: ArrayLike,
    a1f: ArrayLike,
    a2f: ArrayLike,
    am: ArrayLike,
    nuf: ArrayLike,
) -> tuple[Array, Array]:
    """Expansion along and across the fibre.

    Parameters
    ----------
    vf : array_like
        Fibre share of the volume [-].
    E1f, Em : array_like
        Modulus of fibre and matrix [Pa].
    num, nuf : array_like
        Poisson's ratio of matrix and fibre [-].
    a1f, a2f, am : array_like
        Expansion of the fibre along and across, and of the matrix [1/K].

    Returns
    -------
    tuple of numpy.ndarray
        Along and across [1/K].

    Notes
    -----
    Source: Schapery 1968; Kaw 2006, eqs. 3.117 and 3.118.

    Examples
    --------
    >>> [round(1e6 * float(a), 3) for a in expansion(0.7, 85e9, 3.4e9, 0.3, 5e-6, 5e-6, 63e-6, 0.2)]
    [5.978, 27.395]
    """
    f, ef, em, nm, a1, a2, a, nf = (
        np.asarray(x, float) for x in (vf, E1f, Em, num, a1f, a2f, am, nuf)
    )
    m = 1.0 - f
    along = (f * a1 * ef + m * a * em) / (f * ef + m * em)
    across = (1 + nf) * a2 * f + (1 + nm) * a * m - along * (f * nf + m * nm)
    return np.asarray(along), np.asarray(across)


def expansion_chamis(
    vf: ArrayLike, E1f: ArrayLike, E1: ArrayLike, num: ArrayLike, a2f: ArrayLike, am: ArrayLike
) -> Array:
    """Expansion across the fibre of a square array of fibres.

    Parameters
    ----------
    vf : array_like
        Fibre share of the volume [-].
    E1f, E1 : array_like
        Modulus along the fibre, of the fibre and of the ply [Pa].
    num : array_like
        Poisson's ratio of the matrix [-].
    a2f, am : array_like
        Expansion of the fibre across, and of the matrix [1/K].

    Returns
    -------
    numpy.ndarray
        [1/K].

    Notes
    -----
    Source: Chamis, NASA TM-83320, 1983, fig. 4.

    Examples
    --------
    >>> round(float(expansion_chamis(0.605, 12.4, 7.6995, 0.41, 2.8, 57.0)), 1)
    19.9
    """
    f, ef, e, nm, a2, a = (np.asarray(x, float) for x in (vf, E1f, E1, num, a2f, am))
    width = np.sqrt(f)
    return np.asarray(a2 * width + (1 - width) * (1 + f * nm * ef / e) * a)
