"""Three-dimensional elasticity of a layered tube under a pressed patch; no shell in it.

Fourier integral along the tube and series round it as in the shell, but through the wall quadratic
finite elements in the radius with all six strains, at least two elements a ply.
"""

from __future__ import annotations

import math

import numpy as np

GAUSS = np.polynomial.legendre.leggauss(3)


def stiffness(v, angle):
    """6 x 6 over (x, hoop, r, hoop-r, x-r, x-hoop) of a ply turned about the radius."""
    e3 = v.E2 if math.isnan(v.E3) else v.E3
    nu13 = v.nu12
    g13, g23 = v.G12, v.E2 / (2 * (1 + v.nu23)) if math.isnan(v.G23) else v.G23
    s = np.zeros((6, 6))
    s[:3, :3] = [
        [1 / v.E1, -v.nu12 / v.E1, -nu13 / v.E1],
        [-v.nu12 / v.E1, 1 / v.E2, -v.nu23 / v.E2],
        [-nu13 / v.E1, -v.nu23 / v.E2, 1 / e3],
    ]
    s[3, 3], s[4, 4], s[5, 5] = 1 / g23, 1 / g13, 1 / v.G12
    c, n = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    t = np.array([  # ply stress -> wall stress
        [c * c, n * n, 0, 0, 0, -2 * c * n], [n * n, c * c, 0, 0, 0, 2 * c * n], [0, 0, 1, 0, 0, 0],
        [0, 0, 0, c, n, 0], [0, 0, 0, -n, c, 0], [c * n, -c * n, 0, 0, 0, c * c - n * n],
    ])  # fmt: skip
    return t @ np.linalg.inv(s) @ t.T


def strains(k, n, r, f, df):
    """(M, 6, 3 q) strains of the helical wave k x + n y from nodal motions; f, df shapes (q,)."""
    m, q = len(k), len(f)
    b = np.zeros((m, 6, 3, q))
    b[:, 0, 0] = k[:, None] * f
    b[:, 1, 1], b[:, 1, 2] = n[:, None] * f / r, f / r
    b[:, 2, 2] = df
    b[:, 3, 1], b[:, 3, 2] = df - f / r, -n[:, None] * f / r
    b[:, 4, 0], b[:, 4, 2] = df, -k[:, None] * f
    b[:, 5, 0], b[:, 5, 1] = n[:, None] * f / r, k[:, None] * f
    return b.reshape(m, 6, 3 * q)


def shapes(x):
    return (
        np.array([x * (x - 1) / 2, 1 - x * x, x * (x + 1) / 2]),
        np.array([x - 0.5, -2 * x, x + 0.5]),
    )


def waves(layup, inside, k, n, per_ply=2):
    """Motion of the outside and wall strains (6) at the bore per unit pressure of each wave."""
    cuts, mats, r = [inside], [], inside
    for x in layup.plies:
        for _ in range(per_ply):
            r += x.thickness / per_ply
            cuts.append(r)
            mats.append(stiffness(x.values, x.angle))
    nodes = 2 * len(mats) + 1
    big = np.zeros((len(k), 3 * nodes, 3 * nodes))
    for e, c in enumerate(mats):
        a, h = cuts[e], cuts[e + 1] - cuts[e]
        where = (3 * np.arange(2 * e, 2 * e + 3) + np.arange(3)[:, None]).ravel()
        block = np.zeros((len(k), 9, 9))
        for x, w in zip(*GAUSS, strict=True):
            f, df = shapes(x)
            at = a + h * (x + 1) / 2
            b = strains(k, n, at, f, df * 2 / h)
            block += (w * h / 2 * at) * (b.transpose(0, 2, 1) @ (c @ b))
        big[:, where[:, None], where] += block
    load = np.zeros((len(k), 3 * nodes))
    load[:, -1] = cuts[-1]
    u = np.linalg.solve(big, load[..., None])[..., 0]
    f, df = shapes(-1.0)
    first = (3 * np.arange(3) + np.arange(3)[:, None]).ravel()
    b = strains(k, n, cuts[0], f, df * 2 / (cuts[1] - cuts[0]))
    return u[:, -1], (b @ u[:, first, None])[..., 0]


def parabola(x):
    return np.where(
        x < 1e-3, 1 - x * x / 10, 3 * (np.sin(x) - x * np.cos(x)) / np.maximum(x, 1e-3) ** 3
    )


def patch(layup, od, length, angle, *, most=60, along=90, per_ply=2):
    """Dent [m/N], mean over the patch, and bore strains under its middle [1/N], n = 1 left out."""
    inside, radius = od / 2 - layup.t, od / 2
    spread = math.sqrt(5 / 3)
    half, turn = spread * length / 2, spread * angle / 2
    n0 = np.concatenate([[0], np.arange(2, most)]).astype(float)
    k0 = np.geomspace(2e-3 / radius, 16 / half, along)
    step = math.log(k0[1] / k0[0])
    weight = k0 * step
    weight[[0, -1]] /= 2
    weight[0] += k0[0]
    n, k = (x.ravel() for x in np.meshgrid(n0, k0, indexing="ij"))
    shape = parabola(n * turn) * parabola(k * half)
    amount = np.where(n == 0, 0.5, 1.0) * shape * np.tile(weight, len(n0)) / (math.pi**2 * radius)
    amount /= parabola(np.array(turn))
    dent, bore = 0.0, np.zeros(6)
    for sign in (1.0, -1.0):
        w, e = waves(layup, inside, k, sign * n, per_ply)
        dent += 0.5 * (w * amount * shape).sum()
        bore -= 0.5 * (e * amount[:, None]).sum(axis=0)
    return dent, bore
