"""Least buckling loads tabulated over the radius, once per wall, span and kind of load.

Nodes are equally spaced in ln(R) on one lattice for all walls. A node keeps the least load, its
slope and curvature with the waves held; between two nodes the lesser of both parabolas (in
logarithms) is taken, which catches the kinks where one number of waves gives way to the next.
Within 0.5 % of the least itself (tests/test_shell.py). Walls and radii are added as they are asked
for.
"""

from __future__ import annotations

from collections import OrderedDict
from weakref import WeakKeyDictionary

import numpy as np

from tubecalc.laminate.elastic import Array, Ints
from tubecalc.shell.buckling import Mode
from tubecalc.shell.minima import least
from tubecalc.shell.walls import ShellWalls, shell_walls
from tubecalc.wall import WallTable

STEP = {"axial": 0.045, "bending": 0.10, "torsion+": 0.10, "torsion-": 0.10, "pressure": 0.10,
        "dead pressure": 0.10}  # fmt: skip
RUN = 256  # tubes of one wall that make a run
SPANS = 24  # tables kept per set of walls
BATCH = 40_000  # waves worked on at a time
THINNEST, SHORTEST = 1000.0, 0.1  # R/t and L/R to which waves are looked for
# power of R that the load follows beyond, on the safe side: long-tube forms, far outside the range
# in which the checks are shown to hold
BEYOND = {"axial": 0.0, "bending": 1.0, "torsion+": 0.5, "torsion-": 0.5, "pressure": -3.0,
          "dead pressure": -3.0}  # fmt: skip
WAVES = {"axial": 160, "bending": 180, "torsion+": 200, "torsion-": 200}  # per node, about


def reach(t: Array, span: float) -> Array:
    """Greatest mean radius at which waves are looked for; a larger tube has too many of them.

    Parameters
    ----------
    t : numpy.ndarray
        Walls [m].
    span : float
        Length [m]; NaN for a long tube.

    Returns
    -------
    numpy.ndarray
        [m].

    Examples
    --------
    >>> reach(np.array([0.001]), np.nan).tolist(), reach(np.array([0.001]), 0.05).tolist()
    ([1.0], [0.5])
    """
    return np.fmin(THINNEST * t, span / SHORTEST)


class Table:
    """Logarithm of the least load and its slope at the nodes, for the walls of one table.

    Parameters
    ----------
    kind : str
        One of `minima.KINDS`.
    walls : ShellWalls
        L walls.
    span : float
        Length [m]; NaN for a long tube.
    """

    def __init__(self, kind: str, walls: ShellWalls, span: float) -> None:
        self.kind, self.walls, self.span = kind, walls, span
        self.step = STEP[kind]
        self.first = 0
        self.log: Array = np.full((len(walls.t), 0), np.nan)
        self.slope: Array = self.log.copy()
        self.curve: Array = self.log.copy()

    def load(self, index: Ints, R: Array) -> Array:
        """Least load of tubes.

        Parameters
        ----------
        index : numpy.ndarray
            Wall of each, (N,) or (1,).
        R : numpy.ndarray
            Mean radii, (N,) [m].

        Returns
        -------
        numpy.ndarray
            (N,) [N, N m or Pa].
        """
        if not len(R):
            return np.zeros_like(R)
        near = np.minimum(R, reach(self.walls.t, self.span)[index])
        load = self._within(index, near)
        return load if near is R or (near == R).all() else load * (R / near) ** BEYOND[self.kind]

    def _within(self, index: Ints, R: Array) -> Array:
        x = np.log(R) / self.step
        k = np.floor(x).astype(np.intp)
        off = (x - k) * self.step
        self._cover(index, int(k.min()), int(k.max()) + 1, run=len(R) >= RUN)
        k -= self.first
        below = self._near(index, k, off)
        above = self._near(index, k + 1, off - self.step)
        return np.asarray(np.exp(np.minimum(below, above)))

    def _near(self, index: Ints, k: Ints, off: Array) -> Array:
        """Logarithm of the load beside a node, from its value, slope and curvature."""
        bend = self.curve[index, k] * (0.5 * off) + self.slope[index, k]
        return np.asarray(self.log[index, k] + bend * off)

    def _cover(self, index: Ints, low: int, high: int, *, run: bool) -> None:
        """See that the nodes low to high of these walls are there, of all in a run of one wall."""
        width = self.log.shape[1]
        if not width:
            self.first = low
        before, after = max(0, self.first - low), max(0, high + 1 - self.first - width)
        if before or after:
            grow = ((0, 0), (before, after))
            self.log, self.slope, self.curve = (
                np.pad(x, grow, constant_values=np.nan) for x in (self.log, self.slope, self.curve)
            )
            self.first -= before
        part = slice(low - self.first, high + 1 - self.first)
        used = index[:1] if len(index) > 1 and (index == index[0]).all() else np.unique(index)
        missing = np.isnan(self.log[used, part])
        if not missing.any():
            return
        if run and len(used) == 1:  # the others follow in a sweep: all at once is faster
            used = np.arange(len(self.walls.t))
            missing = np.isnan(self.log[:, part])
        for column in np.unique(missing, axis=0):
            if not column.any():
                continue
            lacking = np.flatnonzero(column) + part.start
            rows = used[(missing == column).all(axis=1)]
            self._fill(rows, slice(int(lacking[0]), int(lacking[-1]) + 1))

    def _fill(self, rows: Ints, nodes: slice) -> None:
        # one node alone would be worked out without the curve that its neighbours lean on
        last = max(nodes.stop, nodes.start + 2)
        R = np.exp((np.arange(nodes.start, last) + self.first) * self.step)
        size = max(1, BATCH // (WAVES.get(self.kind, 20) * len(R)))
        for start in range(0, len(rows), size):
            some = rows[start : start + size]
            radii = np.broadcast_to(R, (len(some), len(R)))
            mode = least(self.kind, self.walls.take(some), radii, self.span)
            mode = Mode(*(v[:, : nodes.stop - nodes.start] for v in mode))
            self.log[some, nodes] = np.log(mode.load)
            self.slope[some, nodes] = mode.slope
            # in a long tube the waves change with R: the slope follows them, the curvature not
            self.curve[some, nodes] = 0.0 if np.isnan(self.span) else mode.curve


_KEPT: WeakKeyDictionary[WallTable, OrderedDict[tuple[str, float | None], Table]] = (
    WeakKeyDictionary()
)


def table(kind: str, walls: WallTable, span: float) -> Table:
    """The table of some walls, kind of load and span, kept between calls.

    Parameters
    ----------
    kind : str
        One of `minima.KINDS`.
    walls : WallTable
        L walls.
    span : float
        Length [m]; NaN for a long tube.

    Returns
    -------
    Table

    Examples
    --------
    >>> from tubecalc.laminate.layup import Layup
    >>> walls = WallTable([Layup.of([("304", 0, "1 mm")])])
    >>> kept = table("pressure", walls, 0.5)
    >>> table("pressure", walls, 0.5) is kept
    True
    """
    tables = _KEPT.setdefault(walls, OrderedDict())
    key = (kind, None if np.isnan(span) else float(span))
    found = tables.pop(key, None)
    if found is None:
        found = Table(kind, shell_walls(walls), span)
    tables[key] = found
    while len(tables) > SPANS:
        tables.popitem(last=False)
    return found
