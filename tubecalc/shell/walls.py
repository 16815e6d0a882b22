"""Stiffness of distinct walls as shells: membrane, coupling, bending and transverse shear."""

from __future__ import annotations

from typing import NamedTuple
from weakref import WeakKeyDictionary

import numpy as np

from tubecalc.laminate.elastic import Array, Bools, Ints
from tubecalc.laminate.layup import Layup
from tubecalc.ring import SHEAR_SHARE, hoop_shear_modulus
from tubecalc.wall import SIX, WallTable

SKEW = ((0, 2), (1, 2), (0, 5), (1, 5), (2, 3), (2, 4), (3, 5), (4, 5))  # stretch with twist
STRAIGHT = 1e-6  # share of the direct stiffness below which a skew term is rounding


class ShellWalls(NamedTuple):
    """L walls: thickness, ABD (L, 6, 6), transverse shear axial and hoop, whether skewed."""

    t: Array
    abd: Array
    shear_x: Array
    shear_h: Array
    skew: Bools

    def take(self, index: Ints) -> ShellWalls:
        """Some of the walls."""
        return ShellWalls(
            self.t[index], self.abd[index], self.shear_x[index], self.shear_h[index],
            self.skew[index],
        )  # fmt: skip

    def spread(self, axes: int) -> ShellWalls:
        """The same with trailing axes of length one, to broadcast against radii and waves."""
        one = (1,) * axes
        return ShellWalls(
            self.t.reshape(-1, *one), self.abd.reshape(-1, *one, 6, 6),
            self.shear_x.reshape(-1, *one), self.shear_h.reshape(-1, *one),
            self.skew.reshape(-1, *one),
        )  # fmt: skip

    def deeper(self) -> ShellWalls:
        """The same with one more axis at the end."""
        return ShellWalls(
            self.t[..., None], self.abd[..., None, :, :], self.shear_x[..., None],
            self.shear_h[..., None], self.skew[..., None],
        )  # fmt: skip

    def straightened(self) -> ShellWalls:
        """The same walls without the terms that couple stretch and twist."""
        abd = self.abd.copy()
        for i, j in SKEW:
            abd[..., i, j] = abd[..., j, i] = 0.0
        return self._replace(abd=abd, skew=np.zeros_like(self.skew))


def transverse_shear(layup: Layup) -> tuple[float, float]:
    """Transverse shear stiffness of a wall along and round the tube [N/m].

    Parameters
    ----------
    layup : Layup
        The stack.

    Returns
    -------
    tuple of float
        5/6 of the plies' shear stiffness in series: axial, hoop.

    Notes
    -----
    Reissner 1945 for the 5/6 of an even wall; plies in series, own choice for layered walls.

    Examples
    --------
    >>> x, h = transverse_shear(Layup.of([("304", 0, "1 mm")]))
    >>> round(x / h, 6)
    1.0
    """
    x = sum(
        p.thickness * p.count / hoop_shear_modulus(p.values, 90.0 - abs(p.angle))
        for p in layup.layers
    )
    h = sum(p.thickness * p.count / hoop_shear_modulus(p.values, p.angle) for p in layup.layers)
    return SHEAR_SHARE * layup.t**2 / x, SHEAR_SHARE * layup.t**2 / h


_KEPT: WeakKeyDictionary[WallTable, ShellWalls] = WeakKeyDictionary()


def shell_walls(walls: WallTable) -> ShellWalls:
    """Shell stiffness of a table of walls, worked out once per table.

    Parameters
    ----------
    walls : WallTable
        L walls.

    Returns
    -------
    ShellWalls

    Examples
    --------
    >>> table = WallTable([Layup.from_notation("[0]", "carbon-sm-ud", "1 mm")])
    >>> shell_walls(table).abd.shape
    (1, 6, 6)
    """
    found = _KEPT.get(walls)
    if found is None:
        found = _KEPT[walls] = _make(walls)
    return found


def _make(walls: WallTable) -> ShellWalls:
    abd = np.empty((len(walls.t), 6, 6))
    for n, (i, j) in enumerate(SIX):
        a, b, d = (walls.moments[power, n] for power in range(3))
        for r, c in ((i, j), (j, i)):
            abd[:, r, c], abd[:, 3 + r, 3 + c] = a, d
            abd[:, r, 3 + c] = abd[:, 3 + r, c] = b
    shear = np.array([transverse_shear(layup) for layup in walls.layups])
    direct = np.array([1.0, 1.0, 1.0, 0, 0, 0]) + walls.t[:, None] * np.array([0, 0, 0, 1.0, 1, 1])
    scaled = np.abs(abd) / (direct[:, :, None] * direct[:, None, :]) / abd[:, :1, :1]
    skew = np.array([scaled[:, i, j] for i, j in SKEW]).max(axis=0) > STRAIGHT
    return ShellWalls(walls.t, abd, shear[:, 0], shear[:, 1], skew)
