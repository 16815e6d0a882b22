"""The exact layered wall for many tubes of few walls: smooth functions of t/R, tabulated per wall.

Stress at the stations per unit load is a smooth function of t/R for one wall. It is solved exactly
at eleven Chebyshev points of t/R from 0 to 1 and interpolated (within 0.1 % of the largest stress,
tested); thicker tubes are solved one by one. Radial stress is taken off both direct stresses of
metals, whose yield does not feel an even pressure.
"""

from __future__ import annotations

import itertools
from functools import cached_property
from typing import NamedTuple

import numpy as np

from tubecalc.laminate.elastic import Array, Bools, Ints
from tubecalc.thickwall import Constants, Response, constants, solve, turn_4
from tubecalc.wall import WallTable

COLUMNS = ("axial", "torque", "p_in", "p_out", "heat", "cure", "wet")
LOADS = 4  # of the columns, those that are loads; the others are free strains
NODES = 11
_ANGLE = np.pi * (np.arange(NODES) + 0.5) / NODES
X_NODES = (np.cos(_ANGLE) + 1.0) / 2.0  # t/R
_TO_SERIES = np.linalg.inv(np.polynomial.chebyshev.chebvander(np.cos(_ANGLE), NODES - 1))
LEAST_BORE = 0.02  # ID/OD below which a tube counts as a bar: layer-wise membrane


class Exact(NamedTuple):
    """Exact answers of n tubes: stress (M, 3, S, n) over the nominal one, stiffness over nominal.

    Nominal are N / A, T r / J, p_in ri / t and p_out ro / t; 1 Pa for free strains; EA and GJ are
    over A and J [Pa].
    """

    stress: Array
    stiffness: Array


def series(x: Array) -> Array:
    """Chebyshev polynomials of t/R between 0 and 1, (NODES, N)."""
    z = 2.0 * x - 1.0
    out = np.empty((NODES, *x.shape))
    out[0], out[1] = 1.0, z
    for n in range(2, NODES):
        np.multiply(2.0 * z, out[n - 1], out=out[n])
        out[n] -= out[n - 2]
    return out


def spread(table: Array, index: Ints, basis: Array) -> Array:
    """Sum of series: coefficients (L, ..., NODES) of each tube's wall times basis (NODES, N).

    Parameters
    ----------
    table : numpy.ndarray
        Coefficients by wall.
    index : numpy.ndarray
        Wall of each tube, (N,) or (1,) where all have the same.
    basis : numpy.ndarray
        From `series`.

    Returns
    -------
    numpy.ndarray
        (..., N).
    """
    shape, n = table.shape[1:-1], basis.shape[1]
    flat = table.reshape(len(table), -1, NODES)
    if len(index) == 1:
        return np.asarray(flat[index[0]] @ basis).reshape(*shape, n)
    cuts = np.flatnonzero(np.diff(index)) + 1
    if 8 * len(cuts) > n:
        found = np.einsum("nmd,dn->mn", flat[index], basis, optimize=True)
        return np.asarray(found).reshape(*shape, n)
    out = np.empty((flat.shape[1], n))
    ends = [0, *cuts.tolist(), n]
    for start, stop in itertools.pairwise(ends):  # runs of one wall
        np.matmul(flat[index[start]], basis[:, start:stop], out=out[:, start:stop])
    return out.reshape(*shape, n)


class ExactTable:
    """Exact stress at the stations of every wall of a table.

    Parameters
    ----------
    walls : WallTable
        L distinct walls.

    Examples
    --------
    >>> from tubecalc.laminate.layup import Layup
    >>> walls = WallTable([Layup.of([("304", 0, "1 mm")])])
    >>> ExactTable(walls).loads.shape  # wall, load, stress, station, series
    (1, 4, 3, 2, 11)
    """

    def __init__(self, walls: WallTable) -> None:
        self.walls = walls
        self._residual: dict[tuple[float, bool], Array] = {}

    @cached_property
    def _plies(self) -> Constants:
        """Constants with unit temperature, cooling from cure to 0 degC and full moisture."""
        values = [v for v, _ in self.walls.pairs]

        def free(one: float, *many: float) -> float:
            return float(np.nan_to_num(np.prod([one, *many])))

        heat = [(free(v.alpha1), free(v.alpha2)) for v in values]
        cure = [(-free(v.alpha1, v.t_free), -free(v.alpha2, v.t_free)) for v in values]
        wet = [(free(v.beta1, v.moisture), free(v.beta2, v.moisture)) for v in values]
        return constants(self.walls.pairs, [heat, cure, wet])

    @cached_property
    def _through(self) -> tuple[Array, Array]:
        """Ply-axis stress per radial stress, (K, 3), and of held free strains, (F, K, 3)."""
        c = self._plies
        back = np.stack([np.linalg.inv(turn_4(a))[[0, 1, 3]] for _, a in self.walls.pairs])
        column = np.stack([c.c13, c.c23, c.c33, c.c36], -1) / c.c33[:, None]
        held = np.stack([c.b1, c.b2, c.b3, c.b6], -1)
        held = held - column * held[..., 2:3]
        return (back @ column[..., None])[..., 0], np.einsum("kij,fkj->fki", back, held)

    def exact(self, index: Ints, x: Array, *, free: bool) -> Exact:
        """Exact answers of n tubes.

        Parameters
        ----------
        index : numpy.ndarray
            Wall of each, (n,).
        x : numpy.ndarray
            t/R of each, below 2.
        free : bool
            With the columns of free strain.

        Returns
        -------
        Exact
        """
        walls = self.walls
        columns = len(COLUMNS) if free else LOADS
        stress = np.empty((columns, 3, walls.station_z.shape[1], len(x)))
        stiffness = np.empty((2, len(x)))
        plies = self._plies
        if not free:
            plies = plies._replace(b1=plies.b1[:0], b2=plies.b2[:0], b3=plies.b3[:0],
                                   b6=plies.b6[:0])  # fmt: skip
        count = walls.block_count[index]
        for blocks in np.unique(count).tolist():
            which = np.flatnonzero(count == blocks)
            k, t = index[which], walls.t[index[which]]
            mid = t / x[which]
            radii = (mid + walls.edges[k, : blocks + 1].T) / (mid + t / 2)
            found = solve(plies, walls.block_sheet[k, :blocks].T, radii)
            stress[..., which] = self._at_stations(found, k, radii)
            stiffness[0, which] = 2 * np.pi / found.axial_strain[0]
            stiffness[1, which] = 2 * np.pi / found.twist[1]
        ro, ri = 1.0 / x + 0.5, 1.0 / x - 0.5  # over t
        area, polar = 2 * np.pi / x, np.pi / 2 * (ro**4 - ri**4)
        r = (1.0 / x)[:, None] + walls.station_z[index] / walls.t[index, None]
        stress[0] *= area / (2 * np.pi * ro**2)
        stress[1] *= (polar / (2 * np.pi * ro**3))[None] / r.T
        stress[2] /= ri
        stress[3] /= ro
        stiffness *= np.stack([ro**2 / area, ro**4 / polar])
        return Exact(stress, stiffness)

    def _at_stations(self, found: Response, k: Ints, radii: Array) -> Array:
        """Ply-axis stress at the stations, (M, 3, S, n), from the answer at the interfaces."""
        walls = self.walls
        sheet, edge = walls.station_sheet[k].T, walls.station_edge[k].T  # (S, n)
        tubes = np.arange(len(k))
        r = radii[edge, tubes]
        e2 = np.moveaxis(found.u, 0, 1)[:, edge, tubes] / r
        radial = np.moveaxis(found.pull, 0, 1)[:, edge, tubes] / r
        e1, e6 = found.axial_strain[:, None], found.twist[:, None] * r
        through, held = self._through
        metal = walls.sheets.strengths.isotropic[sheet]
        out = np.empty((len(e1), 3, *sheet.shape))
        for i in range(3):
            m = walls.sheets.to_ply[sheet, i]
            less = through[sheet, i] - (metal if i < 2 else 0.0)
            out[:, i] = m[..., 0] * e1 + m[..., 1] * e2 + m[..., 2] * e6 + less * radial
            if len(out) > LOADS:
                out[LOADS:, i] -= held[:, sheet, i]
        return out

    def _nodes(self, *, free: bool) -> Exact:
        """Answers at the nodes as series, stress (L, M, 3, S, NODES)."""
        rows = len(self.walls.t)
        index = np.repeat(np.arange(rows), NODES)
        found = self.exact(index, np.tile(X_NODES, rows), free=free)
        stress = found.stress.reshape(*found.stress.shape[:3], rows, NODES) @ _TO_SERIES.T
        stiffness = found.stiffness.reshape(2, rows, NODES) @ _TO_SERIES.T
        return Exact(np.ascontiguousarray(np.moveaxis(stress, 3, 0)), np.moveaxis(stiffness, 1, 0))

    @cached_property
    def _of_loads(self) -> Exact:
        return self._nodes(free=False)

    @property
    def loads(self) -> Array:
        """Series of the stress per nominal stress of the loads, (L, 4, 3, S, NODES)."""
        return self._of_loads.stress

    @property
    def stiffness(self) -> Array:
        """Series of EA / A and GJ / J, (L, 2, NODES) [Pa]."""
        return self._of_loads.stiffness

    @cached_property
    def free(self) -> Array:
        """Series of the stress of free strains, (L, 3, 3, S, NODES) [Pa]."""
        return np.ascontiguousarray(self._nodes(free=True).stress[:, LOADS:])

    @cached_property
    def cure_known(self) -> Bools:
        """Walls of which every ply but metal has its expansion and cure temperature, (L,)."""
        return self._known("alpha1", "alpha2", "t_free")

    @cached_property
    def swelling_known(self) -> Bools:
        """Walls of which every ply but metal has its swelling and moisture content, (L,)."""
        return self._known("beta1", "beta2", "moisture")

    def _known(self, *names: str) -> Bools:
        plies = np.array(
            [v.isotropic or not any(np.isnan(getattr(v, n)) for n in names)
             for v, _ in self.walls.pairs]
        )  # fmt: skip
        made = np.array([not v.isotropic for v, _ in self.walls.pairs])[self.walls.block_sheet]
        return np.asarray(plies[self.walls.block_sheet].all(axis=1) & made.any(axis=1))

    def residual(self, temperature: float, *, wet: bool) -> Array:
        """Series of the stress left by cure, (L, 3, S, NODES); nil where not known [Pa].

        Parameters
        ----------
        temperature : float
            Temperature of the wall [degC].
        wet : bool
            With the swelling of full moisture.

        Returns
        -------
        numpy.ndarray
        """
        key = (temperature, wet)
        if key not in self._residual:
            total = self.free[:, 0] * temperature + self.free[:, 1]
            if wet:
                total += self.free[:, 2]
            self._residual[key] = total * self.cure_known[:, None, None, None]
        return self._residual[key]


def exact_table(walls: WallTable) -> ExactTable:
    """The exact table of some walls, made on first use and kept with them."""
    kept = walls.kept.get("exact")
    if not isinstance(kept, ExactTable):
        kept = walls.kept["exact"] = ExactTable(walls)
    return kept
