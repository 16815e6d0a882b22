"""Strengths of a ply from fibre and matrix: published one-line relations, for a first idea only."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from tubecalc.laminate.elastic import Array


def fibre_tension(
    Xtf: ArrayLike, vf: ArrayLike, vm: ArrayLike, Ef: ArrayLike, Em: ArrayLike
) -> Array:
    """Strength along the fibre in tension: the fibres break first, the matrix carries along.

    Parameters
    ----------
    Xtf : array_like
        Tensile strength of the fibre [Pa].
    vf, vm : array_like
        Shares of the volume [-].
    Ef, Em : array_like
        Modulus along the fibre, of fibre and matrix [Pa].

    Returns
    -------
    numpy.ndarray
        [Pa].

    Notes
    -----
    Source: Murthy & Chamis, ICAN manual, NASA TP-2515, 1986; Kaw 2006, eq. 3.89.

    Examples
    --------
    >>> round(float(fibre_tension(1550.0, 0.7, 0.3, 85.0, 3.4)))
    1104
    """
    f, m, ef, em = (np.asarray(x, float) for x in (vf, vm, Ef, Em))
    return np.asarray(np.asarray(Xtf) * (f + m * em / ef))


def fibre_crush(Xcf: ArrayLike, vf: ArrayLike) -> Array:
    """Strength along the fibre in compression where the fibres crush.

    Parameters
    ----------
    Xcf : array_like
        Compressive strength of the fibre [Pa].
    vf : array_like
        Fibre share of the volume [-].

    Returns
    -------
    numpy.ndarray
        [Pa].

    Notes
    -----
    Source: Chamis, NASA TM-83320, 1983, fig. 5 (MEMORY).

    Examples
    --------
    >>> round(float(fibre_crush(2500.0, 0.6)), 9)
    1500.0
    """
    return np.asarray(np.asarray(vf, float) * np.asarray(Xcf))


def fibre_kink(S12: ArrayLike, Xtm: ArrayLike) -> Array:
    """Strength along the fibre in compression where the matrix lets the fibres part.

    Parameters
    ----------
    S12 : array_like
        Shear strength of the ply [Pa].
    Xtm : array_like
        Tensile strength of the matrix [Pa].

    Returns
    -------
    numpy.ndarray
        [Pa].

    Notes
    -----
    Source: Chamis, NASA TM-83320, 1983, fig. 5: 10 S12 + 2.5 Xtm, fitted to tests of its time
    (MEMORY).

    Examples
    --------
    >>> float(fibre_kink(50.0, 80.0))
    700.0
    """
    return np.asarray(10.0 * np.asarray(S12, float) + 2.5 * np.asarray(Xtm))


def void_factor(voids: ArrayLike, vf: ArrayLike) -> Array:
    """What round voids between the fibres leave of a strength that the matrix carries.

    Parameters
    ----------
    voids, vf : array_like
        Shares of the volume [-].

    Returns
    -------
    numpy.ndarray
        1 without voids, at least 0 [-].

    Notes
    -----
    Source: Chamis, NASA TM-83320, 1983: 1 - sqrt(4 voids / ((1 - vf) pi)) (MEMORY).

    Examples
    --------
    >>> round(float(void_factor(0.02, 0.6)), 3)
    0.748
    """
    share = 4.0 * np.maximum(np.asarray(voids, float), 0.0) / ((1.0 - np.asarray(vf)) * np.pi)
    return np.asarray(np.maximum(1.0 - np.sqrt(share), 0.0))


def matrix_strength(
    strength: ArrayLike, fibre: ArrayLike, matrix: ArrayLike, vf: ArrayLike, voids: ArrayLike = 0.0
) -> Array:
    """Strength across the fibre or in shear: that of the matrix, strained more between fibres.

    Parameters
    ----------
    strength : array_like
        Strength of the matrix of the same kind [Pa].
    fibre, matrix : array_like
        Modulus of each of the same kind [Pa].
    vf, voids : array_like
        Shares of the volume [-].

    Returns
    -------
    numpy.ndarray
        [Pa].

    Notes
    -----
    Source: Chamis, NASA TM-83320, 1983, fig. 5: 1 - (sqrt(vf) - vf)(1 - Em / Ef) (MEMORY).

    Examples
    --------
    >>> round(float(matrix_strength(69.0, 15.0, 4.2, 0.6)), 1)
    60.3
    """
    f = np.asarray(vf, float)
    loss = (np.sqrt(f) - f) * (1.0 - np.asarray(matrix, float) / np.asarray(fibre))
    return np.asarray(np.asarray(strength) * (1.0 - loss) * void_factor(voids, f))
