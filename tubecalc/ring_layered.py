"""Exact elastic ring of layers pressed by two opposite loads: stress and change of diameter.

Each ply is a cylindrically orthotropic layer; its plane solution is a cosine series round the ring
with four powers of the radius per wave; layers are joined by their face motions and tractions.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tubecalc.errors import InputError
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layup import Layup
from tubecalc.ring import hoop_shear_modulus
from tubecalc.thickwall import stiffness_3d

WAVES_PER_RATIO = 30.0  # highest wave round the ring over mean radius per wall
PLY_RADIAL, PLY_HOOP = 2, 1  # rows of `stiffness_3d`
Block = tuple[float, float, Array, float]  # radii, (hoop, radial) stiffness, shear modulus


class LayeredRing:
    """Slice of a long tube, or a short ring, under two opposite line loads.

    Parameters
    ----------
    layup : Layup
        Stack, inside to outside.
    radius : float
        Mean radius [m].
    width : float
        Length of the ring along the axis [m]; infinite for a long tube, whose wall cannot curve
        along the axis.

    Raises
    ------
    InputError
        If the tube has no bore.

    Notes
    -----
    Source: Lekhnitskii, Anisotropic Plates (1968), sec. 38-40, the curved orthotropic bar
    (MEMORY); here by displacements r^k and layer by layer. Angle plies are taken with their
    axial-hoop shear held, as neighbours of the other sign hold it. A short ring curves the other
    way along its axis; the share of that is after Ashwell, J. R. Aeronaut. Soc. 54 (1950) 708
    (MEMORY).

    Examples
    --------
    >>> ring = LayeredRing(Layup.of([("304", 0, "0.1 mm")]), 10e-3)
    >>> round(float(ring.hoop_stress(9.95e-3, 0.0)) * 0.1e-3**2 / (6 * 10e-3), 3)  # 1 / pi
    0.319
    """

    def __init__(self, layup: Layup, radius: float, width: float = math.inf) -> None:
        inside = radius - layup.t / 2
        if inside <= 1e-9 * radius:
            raise InputError("the layered ring needs a bore", where="tube:id", got="0 mm")
        self.radius, self.t = radius, layup.t
        curved = 0.0 if math.isinf(width) else _free_to_curve(layup, radius, width)
        blocks: list[Block] = []
        r = inside
        for thickness, c, shear in plane_blocks(layup, curved):
            blocks.append((r, r + thickness, c, shear))
            r += thickness
        most = max(40, math.ceil(WAVES_PER_RATIO * radius / layup.t))
        self.n = np.arange(2, most, 2, dtype=float)
        self.outside = r
        # two opposite unit line loads on the outside, their highest waves faded out
        load = 2.0 / (math.pi * r) * np.exp(-36.0 * (self.n / most) ** 8)
        self.layers = [_Layer(self.n, np.full_like(self.n, a), np.full_like(self.n, b), c, g)
                       for a, b, c, g in blocks]  # fmt: skip
        _join(self.layers, load * self.outside)
        self.even = _Breathing(blocks, 1.0 / (math.pi * r))

    def _layer(self, r: float, *, outer: bool) -> int:
        inside = [
            n
            for n, x in enumerate(self.layers)
            if x.r0[0] * (1 - 1e-9) <= r <= x.r1[0] * (1 + 1e-9)
        ]
        if not inside:
            raise InputError("the radius is not inside the wall", where="ring:r", got=f"{r:g} m")
        return inside[-1] if outer else inside[0]

    def hoop_stress(self, r: float, theta: float, *, outer: bool = False) -> float:
        """Hoop stress per line load.

        Parameters
        ----------
        r : float
            Radius [m].
        theta : float
            Angle from the load [rad].
        outer : bool
            At a face between two plies, take the outer one.

        Returns
        -------
        float
            [Pa per N/m].
        """
        i = self._layer(r, outer=outer)
        waves = self.layers[i].hoop(r)
        return float(self.even.hoop(r, i) + (waves * np.cos(self.n * theta)).sum())

    def motion(self, r: float, theta: float) -> float:
        """Outward motion per line load.

        Parameters
        ----------
        r, theta : float
            Radius [m] and angle from the load [rad].

        Returns
        -------
        float
            [m per N/m].
        """
        i = self._layer(r, outer=False)
        waves = self.layers[i].outward(r)
        return float(self.even.outward(r, i) + (waves * np.cos(self.n * theta)).sum())


def plane_blocks(layup: Layup, curved: float = 0.0) -> list[tuple[float, Array, float]]:
    """Layers of a wall as the ring sees them, equal neighbours as one.

    Parameters
    ----------
    layup : Layup
        Stack.
    curved : float
        0 where the axial strain is held, 1 where the axial stress is free.

    Returns
    -------
    list of tuple
        Thickness [m], (hoop, radial) stiffness [Pa], hoop-radial shear modulus [Pa].
    """
    out: list[tuple[float, Array, float]] = []
    for x in layup.layers:
        t = x.thickness * x.count
        c = _plane(stiffness_3d(x.values, x.angle), curved)
        shear = hoop_shear_modulus(x.values, x.angle)
        if out and np.allclose(out[-1][1], c, rtol=1e-9) and math.isclose(out[-1][2], shear):
            out[-1] = (out[-1][0] + t, c, shear)
        else:
            out.append((t, c, shear))
    return out


def wave_strains(layup: Layup, radii: Array, n: Array) -> Array:
    """Hoop strain at the bore and outside under a unit outside pressure cos(n theta).

    Parameters
    ----------
    layup : Layup
        Stack.
    radii : numpy.ndarray
        Mean radii; the pressure is per mid-wall area [m].
    n : numpy.ndarray
        Waves round, 2 or more, of the shape of `radii`.

    Returns
    -------
    numpy.ndarray
        (2, ...) [1/Pa], for an outward pressure.
    """
    r = np.maximum(radii - layup.t / 2, 1e-3 * radii)
    layers = []
    for thickness, c, shear in plane_blocks(layup):
        layers.append(_Layer(n, r, r + thickness, c, shear))
        r = r + thickness
    _join(layers, -radii)
    return np.stack([layers[0].hoop_strain(layers[0].r0), layers[-1].hoop_strain(layers[-1].r1)])


def _join(layers: list[_Layer], push: Array) -> None:
    """Find the motion of every face under an inward push per angle on the outside."""
    faces = len(layers) + 1
    k = np.zeros((len(push), 2 * faces, 2 * faces))
    for i, layer in enumerate(layers):
        k[:, 2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += layer.stiffness
    f = np.zeros((len(push), 2 * faces))
    f[:, -2] = -push
    motion = np.asarray(np.linalg.solve(k, f[..., None])[..., 0], float)
    for i, layer in enumerate(layers):
        layer.settle(motion[:, 2 * i : 2 * i + 4])


class _Layer:
    """One ply for all waves: its four solutions, and its stiffness between its two faces."""

    def __init__(self, n: Array, r0: Array, r1: Array, c: Array, shear: float) -> None:
        self.r0, self.r1, self.n, self.c = r0, r1, n, c
        hoop, mixed, radial = c[0, 0], c[0, 1], c[1, 1]
        p, q = hoop + n * n * shear, shear + n * n * hoop
        s, u = mixed + shear, hoop + shear
        half = (radial * q + p * shear - (n * s) ** 2) / (2.0 * radial * shear) + 0j
        root = np.sqrt(half**2 - (p * q - (n * u) ** 2) / (radial * shear))
        lam = np.sqrt(np.stack([half + root, half - root]))  # (2, N), real parts not negative
        self.k = np.concatenate([lam, -lam])  # (4, N)
        self.v = n * (self.k * s + u) / (shear * (self.k**2 - 1.0) - n * n * hoop)
        self.shear = shear
        motion = np.stack([*self._motions(r0), *self._motions(r1)])  # (4 rows, 4, N)
        pull = np.stack([*(-r0 * x for x in self._tractions(r0)),
                         *(r1 * x for x in self._tractions(r1))])  # fmt: skip
        self.back = np.linalg.inv(motion.transpose(2, 0, 1))  # (N, 4, 4)
        self.stiffness = (pull.transpose(2, 0, 1) @ self.back).real
        self.amount: NDArray[np.complex128] = np.zeros_like(self.k)

    def settle(self, motion: Array) -> None:
        """Take the face motions that the ring found."""
        self.amount = np.asarray((self.back @ motion[..., None])[..., 0].T)

    def _power(self, r: Array | float) -> Array:
        """r^k, scaled so that each solution is 1 at the face where it is greatest."""
        base = np.stack([self.r1, self.r1, self.r0, self.r0])
        return np.asarray((r / base) ** self.k)

    def _motions(self, r: Array | float) -> tuple[Array, Array]:
        x = self._power(r)
        return x, self.v * x

    def _tractions(self, r: Array | float) -> tuple[Array, Array]:
        """Radial stress and shear of the four solutions."""
        x = self._power(r) / r
        stretch = 1.0 + self.n * self.v
        return (
            (self.c[1, 1] * self.k + self.c[0, 1] * stretch) * x,
            self.shear * ((self.k - 1.0) * self.v - self.n) * x,
        )

    def hoop(self, r: float) -> Array:
        """Hoop stress of every wave."""
        x = self._power(r) / r
        each = (self.c[0, 1] * self.k + self.c[0, 0] * (1.0 + self.n * self.v)) * x
        return np.asarray((each * self.amount).sum(axis=0).real)

    def hoop_strain(self, r: Array | float) -> Array:
        """Hoop strain of every wave."""
        each = (1.0 + self.n * self.v) * self._power(r) / r
        return np.asarray((each * self.amount).sum(axis=0).real)

    def outward(self, r: float) -> Array:
        """Outward motion of every wave."""
        return np.asarray((self._power(r) * self.amount).sum(axis=0).real)


def _plane(c: Array, curved: float) -> Array:
    """(hoop, radial) stiffness between axial strain held (0) and axial stress free (1)."""
    rows = [PLY_HOOP, PLY_RADIAL]
    held = c[np.ix_(rows, rows)]
    return np.asarray(held - curved * np.outer(c[rows, 0], c[rows, 0]) / c[0, 0])


def _free_to_curve(layup: Layup, radius: float, width: float) -> float:
    """Share of the anticlastic curvature that a ring of some width takes up, 0 to 1."""
    abd = layup.abd
    beta = (1.0 / (np.linalg.inv(abd[:3, :3])[1, 1] * 4.0 * radius**2 * abd[3, 3])) ** 0.25
    x = min(float(beta * width), 300.0)
    return 2.0 / x * (math.cosh(x) - math.cos(x)) / (math.sinh(x) + math.sin(x))


class _Breathing:
    """Wave zero: even pressure inwards on the outside of the same layers."""

    def __init__(self, blocks: Sequence[Block], pressure: float) -> None:
        self.blocks = blocks
        m = len(blocks)
        a, f = np.zeros((2 * m, 2 * m)), np.zeros(2 * m)
        stiff = blocks[0][2][1, 1]
        scale = np.array([[1.0], [1.0 / stiff]])
        for i in range(m - 1):
            r = blocks[i][1]
            a[2 * i : 2 * i + 2, 2 * i : 2 * i + 2] = self._rows(i, r)[:2] * scale
            a[2 * i : 2 * i + 2, 2 * i + 2 : 2 * i + 4] = -self._rows(i + 1, r)[:2] * scale
        a[-2, :2] = self._rows(0, blocks[0][0])[1] / stiff
        a[-1, -2:] = self._rows(m - 1, blocks[-1][1])[1] / stiff
        f[-1] = -pressure / stiff
        self.amount = np.linalg.solve(a, f).reshape(m, 2)

    def _rows(self, i: int, r: float) -> Array:
        """Motion, radial and hoop stress of the two solutions r^k and r^-k of a layer."""
        _, base, c, _ = self.blocks[i]
        k = math.sqrt(c[0, 0] / c[1, 1]) * np.array([1.0, -1.0])
        x = (r / base) ** k
        return np.stack([x, (c[1, 1] * k + c[0, 1]) * x / r, (c[0, 1] * k + c[0, 0]) * x / r])

    def outward(self, r: float, i: int) -> float:
        """Outward motion in layer i."""
        return float(self._rows(i, r)[0] @ self.amount[i])

    def hoop(self, r: float, i: int) -> float:
        """Hoop stress in layer i."""
        return float(self._rows(i, r)[2] @ self.amount[i])
