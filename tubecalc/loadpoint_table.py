"""Load points of many tubes: each distinct wall is worked out at a few radii, tubes interpolate."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from tubecalc.laminate import strength
from tubecalc.laminate.elastic import Array, Ints
from tubecalc.loadpoint import Patch, Response, respond
from tubecalc.section import Sections
from tubecalc.wall import WallTable

NODES = 18  # radii of a table
LOWEST, HIGHEST = 1.0, 400.0  # mean radius over wall at its ends; beyond, the end is used
STEP = float(np.log(HIGHEST / LOWEST) / (NODES - 1))
LARGE = 1e30  # stands for a load that damages nothing


class LoadPoint(NamedTuple):
    """Dent per load [m/N], and the loads that first damage the inner and the outer half [N]."""

    dent: Array
    bore: Array
    outside: Array


def first_damage(walls: WallTable, radii: Array, found: Response) -> tuple[Array, Array]:
    """Load at which the wall under the patch is first damaged.

    Parameters
    ----------
    walls : WallTable
        L walls.
    radii : numpy.ndarray
        Mean radii, (L, R) [m].
    found : Response
        Response of the same walls and radii.

    Returns
    -------
    tuple of numpy.ndarray
        Loads for the inner and the outer half of the wall, (L, R) [N]; NaN where the strengths
        are not known.

    Notes
    -----
    Hashin 1980 on the ply stresses; metals by von Mises yield. Hoop strain at z is taken as
    (e + z k) R / (R + z), the curved bar of Winkler (Timoshenko, Strength of Materials, part II),
    each wave brought to the exact layered ring at the two faces.
    """
    z = walls.station_z[:, None, :]  # (L, 1, S)
    at = np.maximum(radii[..., None] + z, 1e-6 * radii[..., None])
    face = (z[:, 0] >= 0.0).astype(np.intp)  # which half a station is in
    which = (np.arange(len(z))[:, None, None], np.arange(radii.shape[1])[:, None], face[:, None])
    e = found.stretch[which] + z[..., None] * found.curve[which]
    e[..., 1] *= radii[..., None] / at
    to_ply = walls.sheets.to_ply[walls.station_sheet][:, None]
    stress = (to_ply @ e[..., None])[..., 0]
    s = strength.Strengths._make(c[walls.station_sheet][:, None] for c in walls.sheets.strengths)
    index = strength.hashin_indices(stress[..., 0], stress[..., 1], stress[..., 2], s).first
    inner = z < 0.0
    halves = (np.where(side, index, 0.0).max(axis=-1) for side in (inner, ~inner))
    bore, outside = (1.0 / np.sqrt(np.maximum(i, LARGE**-2)) for i in halves)
    return bore, outside


class LoadTable:
    """Load points of distinct walls for one patch; radii are worked out when first asked for.

    Parameters
    ----------
    walls : WallTable
        L walls.
    patch : Patch
        Where the load presses.
    """

    def __init__(self, walls: WallTable, patch: Patch) -> None:
        self.walls, self.patch = walls, patch
        self.logs = np.full((3, len(walls.t) * NODES), np.nan)
        self.known = np.zeros(len(walls.t) * NODES, bool)
        self.ready = np.zeros(len(walls.t) * NODES, bool)  # the four radii from here are known

    def _fill(self, first: Ints) -> None:
        """Work out the four radii that begin at each of some places."""
        if self.ready[first].all():
            return
        self.ready[first] = True
        wanted = np.zeros(len(self.known), bool)
        for j in range(4):
            wanted[first + j] = True
        todo = (wanted & ~self.known).reshape(-1, NODES)
        for wall in np.flatnonzero(todo.any(axis=1)):
            nodes = np.flatnonzero(todo[wall])
            part = WallTable(self.walls.layups[wall : wall + 1])
            radii = (part.t * LOWEST * np.exp(STEP * nodes))[None]
            found = respond(part, radii, self.patch)
            values = np.stack([found.dent, *first_damage(part, radii, found)])[:, 0]
            self.logs[:, wall * NODES + nodes] = np.log(values)
        self.known |= wanted

    def at(self, index: Ints, radius: Array, *, damage: bool = False) -> LoadPoint:
        """Interpolate for tubes.

        Parameters
        ----------
        index : numpy.ndarray
            Wall of each tube, (N,) or (1,).
        radius : numpy.ndarray
            Mean radii, (N,) [m].
        damage : bool
            The damage loads only; the dent is left NaN, which is faster.

        Returns
        -------
        LoadPoint

        Notes
        -----
        Cubic in the logarithm of radius over wall.
        """
        place = np.log(radius / (LOWEST * self.walls.t[index])) / STEP
        place = np.clip(place, 0.0, NODES - 1.0)
        start = np.clip(place.astype(np.intp) - 1, 0, NODES - 4)
        x = place - start
        first = index * NODES + start
        self._fill(first)
        w = (
            (x - 1) * (x - 2) * (x - 3) / -6, x * (x - 2) * (x - 3) / 2,
            x * (x - 1) * (x - 3) / -2, x * (x - 1) * (x - 2) / 6,
        )  # fmt: skip
        logs = [np.full(1, np.nan) if damage else self.logs[0], *self.logs[1:]]
        out = (
            np.exp(sum(wj * log[first + j] for j, wj in enumerate(w))) if len(log) > 1 else log
            for log in logs
        )
        return LoadPoint(*(np.asarray(v) for v in out))


@lru_cache(maxsize=64)
def load_table(walls: WallTable, patch: Patch) -> LoadTable:
    """Table of some walls for one patch, kept between calls.

    Parameters
    ----------
    walls : WallTable
        L walls.
    patch : Patch
        Where the load presses.

    Returns
    -------
    LoadTable
    """
    return LoadTable(walls, patch)


class NoseTravel(NamedTuple):
    """Parts of a nose's travel beyond the axis, per load [m/N], (N,)."""

    nose: Array
    support: Array


def over_axis(s: Sections, span: float, patch: Patch) -> NoseTravel:
    """How far the surface under a nose moves against the axis in three-point bending.

    Parameters
    ----------
    s : Sections
        N tubes.
    span : float
        [m].
    patch : Patch
        What the nose and each support touch.

    Returns
    -------
    NoseTravel
        At the nose, where bending also lifts the compressed side by nu r^2 / 2 times the
        curvature; and at one support, which carries half the load and no moment.

    Notes
    -----
    Poisson's effect: St Venant bending (Timoshenko & Goodier, Theory of Elasticity, art. 102).
    Its part decides how the solver's dent under a nose falls with the span.
    """
    dent = load_table(s.walls, patch).at(s.index, s.R).dent
    curvature = span / 4.0 / s.EI
    return NoseTravel(dent - s.nuxy * curvature * s.ro**2 / 2.0, dent / 2.0)
