"""Axial loads of a skew wall between ends, read between radii that were worked out in full.

The least load over the radius goes up and down as one number of half-waves gives way to the next;
no curve through a few points follows that. The shapes do: at the radii worked out the few easiest
shapes are kept, and between two of them any mixture of both sets may form. The stiffness is a
polynomial of one over R, so that it is projected on these shapes once per interval.

Source: Ritz's method with the shapes of neighbouring designs as trial functions (reduced basis;
Noor and Peters 1980, AIAA Journal 18, 455-462, MEMORY); the load so found is never below the full
one.
"""

from __future__ import annotations

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.shell import skew
from tubecalc.shell.buckling import NEAR
from tubecalc.shell.walls import ShellWalls

KEPT = 6  # shapes kept at either end of an interval
SHARPEST = -1.0  # bend that is carried on to the next radius
_DEGREE = 4  # of the stiffness in one over R


class Interval:
    """Loads of one wall between two radii, for some waves round.

    Parameters
    ----------
    wall : ShellWalls
        One wall.
    ends : tuple of float
        Mean radii that were worked out [m].
    n : numpy.ndarray
        Waves round, (B,).
    span : float
        Length [m].
    counts : tuple of int
        Half-waves along that count at either end.
    """

    def __init__(
        self, wall: ShellWalls, ends: tuple[float, float], n: Array, span: float,
        counts: tuple[int, int],
    ) -> None:  # fmt: skip
        self.n = n
        many = wall.take(np.zeros(len(n), np.intp))
        most = max(counts)
        size = 5 * most + len(skew.EVEN)
        base = np.zeros((len(n), size, 2 * KEPT))
        for side, (radius, count) in enumerate(zip(ends, counts, strict=True)):
            _, shapes = skew.easiest(many, np.full(len(n), radius), n, span, count, KEPT)
            base[:, : shapes.shape[1], side * KEPT : (side + 1) * KEPT] = shapes
        base = np.linalg.qr(base)[0]
        turn = np.cos(np.pi * (np.arange(_DEGREE + 1) + 0.5) / (_DEGREE + 1))
        self.ends = ends
        near, far = 1.0 / ends[0], 1.0 / ends[1]
        self.at = 0.5 * (near + far) + 0.5 * (near - far) * turn
        projected = [self._project(many, base, 1.0 / x, span, most) for x in self.at]
        self.k, self.g = (np.stack(x) for x in zip(*projected, strict=True))

    def _project(
        self, many: ShellWalls, base: Array, R: float, span: float, count: int
    ) -> tuple[Array, Array]:
        k, g = skew.forms(many, np.full(len(self.n), R), self.n, span, count, "axial")
        flat = np.swapaxes(base, -1, -2)
        return flat @ k @ base, flat @ g @ base

    def _at(self, R: Array) -> tuple[Array, Array]:
        """Stiffness and work on the shapes at radii, (K, B, 2 P, 2 P)."""
        x, at = 1.0 / R, self.at
        share = np.ones((len(R), len(at)))
        for j in range(len(at)):
            for i in range(len(at)):
                if i != j:
                    share[:, j] *= (x - at[i]) / (at[j] - at[i])
        k, g = (np.einsum("kj,jbpq->kbpq", share, m) for m in (self.k, self.g))
        return np.asarray(k), np.asarray(g)

    def least(self, R: Array) -> tuple[Array, Array, Array, Array]:
        """Least load at radii, its waves round, and slope and curvature of the same shape going on.

        Parameters
        ----------
        R : numpy.ndarray
            Mean radii between the ends, (K,) [m].

        Returns
        -------
        tuple of numpy.ndarray
            Load [N], waves round, slope and curvature of ln(load) over ln(R); (K,) each.
        """
        k, g = self._at(R)
        values, shapes = _shapes(k, g)
        best = np.argmax(values[..., -1], axis=1)
        rows = np.arange(len(R))
        mid, shape = np.log(values[rows, best, -1]), shapes[rows, best, :, -1]
        step, x = np.log(NEAR), np.log(R)
        low, high = np.log(self.ends)
        centre = np.clip(x, low + step, high - step)  # outside the interval the shapes are poor
        held = []
        for off in (-step, 0.0, step):  # the same shape goes on, though another be easier there
            k, g = (m[rows, best] for m in self._at(np.exp(centre + off)))
            some, others = _shapes(k, g)
            alike = np.abs(np.einsum("kp,kpq,kqj->kj", shape, k, others))
            held.append(-np.log(some[rows, np.argmax(alike, axis=1)]))
        curve = (held[2] - 2 * held[1] + held[0]) / step**2
        slope = (held[2] - held[0]) / (2 * step) + curve * (x - centre)
        # where one shape gives way to another the bend is sharp and short: not to be carried on
        return np.exp(-mid), self.n[best], slope, np.maximum(curve, SHARPEST)


def _shapes(k: Array, g: Array) -> tuple[Array, Array]:
    """One over the loads, rising, and shapes of unit stiffness."""
    low = np.linalg.cholesky(k)
    half = np.linalg.solve(low, g)
    values, turned = np.linalg.eigh(np.linalg.solve(low, np.swapaxes(half, -1, -2)))
    return values, np.linalg.solve(np.swapaxes(low, -1, -2), turned)
