"""What the ends make of a skew wall in axial compression.

The least load goes up and down over the radius as one number of half-waves gives way to the next.
Where few half-waves fit it is read from the shapes at the radii of a lattice (see `reduced`); where
many fit, what the ends make of the load of an endless tube is small, and is read as a share.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from tubecalc.laminate.elastic import Array
from tubecalc.shell import skew
from tubecalc.shell.buckling import Mode
from tubecalc.shell.ends import LOOKED, MOST, STRONG, helix
from tubecalc.shell.reduced import Interval
from tubecalc.shell.walls import ShellWalls

BESIDE = {False: 1, True: 4}  # waves round looked at on either side of the straight wall's


class Lengthwise:
    """One skew wall at a few radii.

    Parameters
    ----------
    wall : ShellWalls
        One wall.
    few : numpy.ndarray
        Radii of the lattice, rising, (F,) [m].
    span : float
        Length between simply supported ends [m].
    mode, waved : Mode
        Straight wall's least there, and the least of two and more waves round; arrays (F,).
    helical : numpy.ndarray
        Share that the easier helical wave of an endless tube leaves there, (F,).
    """

    def __init__(
        self, wall: ShellWalls, few: Array, span: float, mode: Mode, waved: Mode, helical: Array
    ) -> None:
        self.wall, self.few, self.span, self.load, self.helical = (
            wall,
            few,
            span,
            mode.load,
            helical,
        )
        self.n = waved.n
        self.strong = helix(wall) | (helical <= STRONG) | (helical >= 1.0 / STRONG)
        self.waves = waved.a * span / np.pi
        most, looked = (np.where(self.strong, x[True], x[False]) for x in (MOST, LOOKED))
        self.looked = self.waves <= looked
        self.whole = self.looked & (self.waves <= most)  # the span is not cut
        self.share = cache(self._share)

    def _around(self, k: int) -> Array:
        """Waves round that are tried."""
        beside = BESIDE[bool(self.strong[k])]
        near: Array = self.n[k] + np.arange(-beside, beside + 1.0)
        return np.unique(np.maximum(near, 2.0))

    def _along(self, k: int) -> int:
        """Half-waves that are coupled."""
        strong = bool(self.strong[k])
        few = min(float(self.waves[k]), MOST[strong])
        return int(np.ceil(1.7 * few)) + (12 if strong else 5)

    def _share(self, k: int) -> float:
        """Load between ends over that of the helical wave."""
        if not self.looked[k]:
            return 1.0
        strong, waves = bool(self.strong[k]), float(self.waves[k])
        fade = min(1.0, 4.0 * (1.0 - waves / LOOKED[strong]))
        short = self.span * min(1.0, MOST[strong] / waves)
        n = self._around(k)
        many, r = self.wall.take(np.zeros(len(n), np.intp)), np.full(len(n), self.few[k])
        load = skew.critical(many, r, n, short, self._along(k), "axial").min()
        return float((min(load / self.load[k], 1.0) / self.helical[k]) ** fade)

    def least(
        self, R: Array, own: Mode, helical: Array, turn: Array
    ) -> tuple[Mode, NDArray[np.bool_]]:
        """Least loads at radii.

        Parameters
        ----------
        R : numpy.ndarray
            Mean radii within the lattice, (K,) [m].
        own : Mode
            Straight wall's least there, arrays (K,).
        helical, turn : numpy.ndarray
            Helical share there and the slope of its logarithm, (K,).

        Returns
        -------
        Mode
            Arrays (K,).
        numpy.ndarray
            Radii that the ends have a say in, (K,).
        """
        load, slope = own.load * helical, own.slope + turn
        n, curve = own.n.copy(), own.curve.copy()
        if len(self.few) == 1:
            load = load * self.share(0)
            return Mode(load, n, own.a, slope, curve), np.ones(len(R), bool)
        at = np.clip(np.searchsorted(self.few, R, side="right") - 1, 0, len(self.few) - 2)
        part = (np.log(R / self.few[at])) / np.log(self.few[at + 1] / self.few[at])
        for k in np.unique(at).tolist():
            here = np.flatnonzero(at == k)
            if self.whole[k] and self.whole[k + 1]:
                found = self._interval(k).least(R[here])
                easier = found[0] < own.load[here]
                for whole, mine, alone in zip(
                    (load, n, slope, curve), found, (own.load, own.n, own.slope, own.curve),
                    strict=True,
                ):  # fmt: skip
                    whole[here] = np.where(easier, mine, alone[here])
            else:
                ends = np.log([self.share(k), self.share(k + 1)])
                load[here] *= np.exp((1 - part[here]) * ends[0] + part[here] * ends[1])
        return Mode(load, n, own.a, slope, curve), np.ones(len(R), bool)

    def _interval(self, k: int) -> Interval:
        n = np.unique(np.concatenate([self._around(k), self._around(k + 1)]))
        ends = float(self.few[k]), float(self.few[k + 1])
        return Interval(self.wall, ends, n, self.span, (self._along(k), self._along(k + 1)))
