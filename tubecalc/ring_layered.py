"""Exact elastic ring of layers pressed by two opposite loads: stress and change of diameter.

A cosine series round the ring, each wave solved exactly through the layers (`ring_wave`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from tubecalc.errors import InputError
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layup import Layup
from tubecalc.ring_wave import Block, blocks_of, joined
from tubecalc.unit_words import worded

WAVES_PER_RATIO = 30.0  # highest wave round the ring over mean radius per wall


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
    (MEMORY); here by displacements r^k, layer by layer, with the axial motion of angle plies; see
    `tubecalc.ring_wave`. A short ring curves the other way along its axis; the share of that is
    after Ashwell, J. R. Aeronaut. Soc. 54 (1950) 708 (MEMORY).

    Examples
    --------
    >>> ring = LayeredRing(Layup.of([("304", 0, "0.1 mm")]), 10e-3)
    >>> round(float(ring.hoop_stress(9.95e-3, 0.0)) * 0.1e-3**2 / (6 * 10e-3), 3)  # 1 / pi
    0.319
    """

    def __init__(self, layup: Layup, radius: float, width: float = math.inf) -> None:
        inside = radius - layup.t / 2
        if inside <= 1e-9 * radius:
            raise InputError(
                "the layered ring needs a bore", where="tube:id", got=worded("{}", "length", 0.0)
            )
        self.radius, self.t = radius, layup.t
        curved = 0.0 if math.isinf(width) else _free_to_curve(layup, radius, width)
        blocks = blocks_of(layup, curved)
        most = max(40, math.ceil(WAVES_PER_RATIO * radius / layup.t))
        self.n = np.arange(2, most, 2, dtype=float)
        self.outside = radius + layup.t / 2
        # two opposite unit line loads on the outside, their highest waves faded out
        load = 2.0 / math.pi * np.exp(-36.0 * (self.n / most) ** 8)
        self.layers = joined(blocks, self.n, np.array([inside]), load)
        self.even = _Breathing(blocks, inside, 1.0 / (math.pi * self.outside))

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


def _free_to_curve(layup: Layup, radius: float, width: float) -> float:
    """Share of the anticlastic curvature that a ring of some width takes up, 0 to 1."""
    abd = layup.abd
    beta = (1.0 / (np.linalg.inv(abd[:3, :3])[1, 1] * 4.0 * radius**2 * abd[3, 3])) ** 0.25
    x = min(float(beta * width), 300.0)
    return 2.0 / x * (math.cosh(x) - math.cos(x)) / (math.sinh(x) + math.sin(x))


class _Breathing:
    """Wave zero: even pressure inwards on the outside of the same layers."""

    def __init__(self, blocks: Sequence[Block], inside: float, pressure: float) -> None:
        self.blocks = blocks
        m = len(blocks)
        self.tops = (inside + np.cumsum([b.t for b in blocks])).tolist()
        a, f = np.zeros((2 * m, 2 * m)), np.zeros(2 * m)
        stiff = blocks[0].c[1, 1]
        scale = np.array([[1.0], [1.0 / stiff]])
        for i, r in enumerate(self.tops[:-1]):
            a[2 * i : 2 * i + 2, 2 * i : 2 * i + 2] = self._rows(i, r)[:2] * scale
            a[2 * i : 2 * i + 2, 2 * i + 2 : 2 * i + 4] = -self._rows(i + 1, r)[:2] * scale
        a[-2, :2] = self._rows(0, inside)[1] / stiff
        a[-1, -2:] = self._rows(m - 1, self.tops[-1])[1] / stiff
        f[-1] = -pressure / stiff
        self.amount = np.linalg.solve(a, f).reshape(m, 2)

    def _rows(self, i: int, r: float) -> Array:
        """Motion, radial and hoop stress of the two solutions r^k and r^-k of a layer."""
        c = self.blocks[i].c
        k = math.sqrt(c[0, 0] / c[1, 1]) * np.array([1.0, -1.0])
        x = (r / self.tops[i]) ** k
        return np.stack([x, (c[1, 1] * k + c[0, 1]) * x / r, (c[0, 1] * k + c[0, 0]) * x / r])

    def outward(self, r: float, i: int) -> float:
        """Outward motion in layer i."""
        return float(self._rows(i, r)[0] @ self.amount[i])

    def hoop(self, r: float, i: int) -> float:
        """Hoop stress in layer i."""
        return float(self._rows(i, r)[2] @ self.amount[i])
