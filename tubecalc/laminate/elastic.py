"""Plane-stress stiffness of one ply, turned to an angle.

Arrays broadcast over leading dimensions; the last two are the 3 x 3 matrix over
(axial x, hoop y, shear xy) with engineering shear strain. Angles are measured from the tube axis.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.intp]


def reduced_stiffness(E1: ArrayLike, E2: ArrayLike, G12: ArrayLike, nu12: ArrayLike) -> Array:
    """Reduced stiffness Q of a ply in its own axes.

    Parameters
    ----------
    E1, E2, G12 : array_like
        Moduli along and across the fibre, and in-plane shear [Pa].
    nu12 : array_like
        Major Poisson ratio [-].

    Returns
    -------
    numpy.ndarray
        Q, shape (..., 3, 3) [Pa].

    Notes
    -----
    Source: Kaw, Mechanics of Composite Materials, 2nd ed. 2006, eq. 2.78 and Example 2.6.

    Examples
    --------
    >>> Q = reduced_stiffness(181e9, 10.3e9, 7.17e9, 0.28)
    >>> [round(float(q) / 1e9, 3) for q in (Q[0, 0], Q[0, 1], Q[1, 1], Q[2, 2])]
    [181.811, 2.897, 10.346, 7.17]
    """
    e1, e2, g, nu = np.broadcast_arrays(*(np.asarray(a, float) for a in (E1, E2, G12, nu12)))
    d = 1.0 - nu**2 * e2 / e1
    q = np.zeros((*e1.shape, 3, 3))
    q[..., 0, 0] = e1 / d
    q[..., 1, 1] = e2 / d
    q[..., 0, 1] = q[..., 1, 0] = nu * e2 / d
    q[..., 2, 2] = g
    return q


def stress_rotation(angle: ArrayLike) -> Array:
    """Matrix that turns laminate-axis stresses into ply-axis stresses.

    Parameters
    ----------
    angle : array_like
        Fibre angle from the tube axis [rad].

    Returns
    -------
    numpy.ndarray
        T, shape (..., 3, 3); (s1, s2, t12) = T (sx, sy, txy) [-].

    Notes
    -----
    Source: Kaw 2006, eq. 2.94.

    Examples
    --------
    >>> T = stress_rotation(np.radians(60.0))
    >>> [round(float(s), 3) for s in T @ np.array([2.0, -3.0, 4.0])]
    [1.714, -2.714, -4.165]
    """
    a = np.asarray(angle, float)
    c, s = np.cos(a), np.sin(a)
    t = np.empty((*a.shape, 3, 3))
    t[..., 0, 0] = t[..., 1, 1] = c * c
    t[..., 0, 1] = t[..., 1, 0] = s * s
    t[..., 0, 2], t[..., 1, 2] = 2 * c * s, -2 * c * s
    t[..., 2, 0], t[..., 2, 1] = -c * s, c * s
    t[..., 2, 2] = c * c - s * s
    return t


def rotated_stiffness(Q: ArrayLike, angle: ArrayLike) -> Array:
    """Stiffness of a ply turned to an angle, in laminate axes.

    Parameters
    ----------
    Q : array_like
        Reduced stiffness, shape (..., 3, 3) [Pa].
    angle : array_like
        Fibre angle from the tube axis [rad].

    Returns
    -------
    numpy.ndarray
        Qbar, shape (..., 3, 3) [Pa].

    Notes
    -----
    Source: Kaw 2006, eq. 2.104; Example 2.7.

    Examples
    --------
    >>> Qb = rotated_stiffness(reduced_stiffness(181e9, 10.3e9, 7.17e9, 0.28), np.radians(60))
    >>> round(float(Qb[1, 2]) / 1e9, 2)
    54.19
    """
    t = stress_rotation(-np.asarray(angle, float))
    result: Array = t @ np.asarray(Q, float) @ np.swapaxes(t, -1, -2)
    return result


def free_thermal_strain(alpha1: ArrayLike, alpha2: ArrayLike, angle: ArrayLike) -> Array:
    """Expansion coefficients of a turned ply.

    Parameters
    ----------
    alpha1, alpha2 : array_like
        Expansion along and across the fibre [1/K].
    angle : array_like
        Fibre angle from the tube axis [rad].

    Returns
    -------
    numpy.ndarray
        (alpha_x, alpha_y, alpha_xy), shape (..., 3) [1/K].

    Notes
    -----
    Source: Kaw 2006, eq. 2.122.

    Examples
    --------
    >>> free_thermal_strain(0.02e-6, 22.5e-6, np.radians(90.0)).round(9).tolist()
    [2.25e-05, 2e-08, -0.0]
    """
    a1, a2, a = np.broadcast_arrays(*(np.asarray(x, float) for x in (alpha1, alpha2, angle)))
    c, s = np.cos(a), np.sin(a)
    return np.stack([a1 * c * c + a2 * s * s, a1 * s * s + a2 * c * c, 2 * c * s * (a1 - a2)], -1)


def symmetric_inverse(a: Array, b: Array, c: Array, d: Array, e: Array, f: Array) -> list[Array]:
    """Inverse of many symmetric 3 x 3 matrices given by their six entries.

    Parameters
    ----------
    a, b, c, d, e, f : numpy.ndarray
        Entries 11, 12, 13, 22, 23, 33.

    Returns
    -------
    list of numpy.ndarray
        Entries 11, 12, 13, 22, 23, 33 of the inverse.

    Notes
    -----
    Cofactor rule; written out because a general solver costs ten times as much on small matrices.

    Examples
    --------
    >>> one = np.ones(1)
    >>> [float(x[0]) for x in symmetric_inverse(2 * one, 0 * one, 0 * one, one, 0 * one, 4 * one)]
    [0.5, 0.0, 0.0, 1.0, 0.0, 0.25]
    """
    c11, c12, c13 = d * f - e * e, c * e - b * f, b * e - c * d
    det = a * c11 + b * c12 + c * c13
    inv = 1.0 / det
    return [
        c11 * inv,
        c12 * inv,
        c13 * inv,
        (a * f - c * c) * inv,
        (b * c - a * e) * inv,
        (a * d - b * b) * inv,
    ]
