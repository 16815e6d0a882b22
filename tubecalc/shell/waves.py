"""Stiffness of one wave of a cylinder, condensed to its radial amplitude; closed form.

A wave winds round the cylinder as w = sin(a x + n theta); u, v and the two rotations of the
normals follow it as cosines. Sanders' strains (Sanders 1959; Budiansky & Sanders 1963), first-order
transverse shear (Reissner 1945, Mindlin 1951), every term of the wall's A, B and D. In a wall
without skew terms the waves +n and -n are equally stiff and add up to sin(a x) cos(n theta), the
exact mode between simply supported ends (w = v = 0, no axial force or moment).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.shell.walls import ShellWalls


class Wave(NamedTuple):
    """Condensed stiffness per area and unit radial amplitude, and the u and v that go with it."""

    k: Array
    u: Array
    v: Array


def strain_terms(a: Array, b: Array, R: Array) -> list[list[tuple[int, Array]]]:
    """Terms (component, factor) of the strains of u, v, w and the rotations, in this order.

    Parameters
    ----------
    a, b : numpy.ndarray
        Wave numbers along and round the tube, n / R [1/m].
    R : numpy.ndarray
        Mean radius [m].

    Returns
    -------
    list of list
        Components 0 to 5 follow sin: axial, hoop, shear strain, axial, hoop, twist curvature.
    """
    return [
        [(0, -a), (2, -b), (5, b / (2 * R))],
        [(1, -b), (2, -a), (5, -a / (2 * R))],
        [(1, 1.0 / R)],
        [(3, -a), (5, -b)],
        [(4, -b), (5, -a)],
    ]


def skewed(i: int, j: int) -> bool:
    """Whether a wall stiffness couples stretching or bending with shear or twist."""
    return (i in (2, 5)) != (j in (2, 5))


def full_stiffness(walls: ShellWalls, R: Array, a: Array, n: Array) -> list[list[Array]]:
    """Stiffness of a wave over u, v, w and two rotations, 5 x 5 of arrays per area [N/m3].

    Parameters
    ----------
    walls : ShellWalls
        Walls whose arrays broadcast with the others.
    R, a, n : numpy.ndarray
        Mean radius [m], wave number along [1/m], waves round [-]; all broadcast.

    Returns
    -------
    list of list of numpy.ndarray
        Upper triangle filled; the mean over the wave is half of it.
    """
    b = n / R
    terms = strain_terms(a, b, R)
    c, skew = walls.abd, bool(walls.skew.any())
    out: list[list[Array]] = [[np.zeros(())] * 5 for _ in range(5)]
    for i in range(5):
        used = sorted({k for row in terms[i:] for k, _ in row})
        stress = {
            k: sum(c[..., j, k] * f for j, f in terms[i] if skew or not skewed(j, k)) for k in used
        }
        for j in range(i, 5):
            out[i][j] = np.asarray(sum(stress[k] * f for k, f in terms[j]) + 0.0)
    sx, sh = walls.shear_x, walls.shear_h
    shear_terms: tuple[tuple[Array, tuple[tuple[int, Array | float], ...]], ...] = (
        (sx, ((2, a), (3, 1.0))),
        (sh, ((1, -1.0 / R), (2, b), (4, 1.0))),
    )
    for s, row in shear_terms:
        for p, (i, f) in enumerate(row):
            for j, g in row[p:]:
                out[i][j] = np.asarray(out[i][j] + s * f * g)
    return out


def condensed(
    walls: ShellWalls, R: Array, a: Array, n: Array, squeeze: Array | float = 0.0
) -> Wave:
    """Stiffness against the radial amplitude, everything else free to follow.

    Parameters
    ----------
    walls, R, a, n
        As `full_stiffness`.
    squeeze : numpy.ndarray or float
        Axial compression per length under which v follows [N/m]: an estimate of the buckling load
        takes the error of following the elastic forces alone from 0.5 to below 0.05 %.

    Returns
    -------
    Wave
        The stiffness is the elastic one of the wave so shaped: a Rayleigh quotient with it errs
        by the square of the error of the shape, and upward.

    Notes
    -----
    Elimination without pivoting: the 4 x 4 block is positive definite.
    """
    k = full_stiffness(walls, R, a, n)
    k[1][1] = np.asarray(k[1][1] - squeeze * a * a)
    order = (3, 4, 0, 1, 2)  # rotations first, then u, v, w last
    m = [[k[min(i, j)][max(i, j)] for j in order] for i in order]
    for p in range(4):
        for i in range(p + 1, 5):
            f = m[p][i] / m[p][p]
            for j in range(i, 5):
                m[i][j] = m[i][j] - f * m[p][j]
    v = -m[3][4] / m[3][3]
    u = -(m[2][4] + m[2][3] * v) / m[2][2]
    return Wave(m[4][4] + squeeze * (a * v) ** 2, u, v)
