"""Many distinct walls as one table of arrays; laminate work is done here, once per wall.

L walls, S stations (the faces of the first and last block of each ply, where stress is
greatest), P blocks of equal neighbouring plies. Radial positions z are from mid-wall, outward.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tubecalc.laminate import strength
from tubecalc.laminate.elastic import (
    Array,
    Bools,
    Ints,
    reduced_stiffness,
    rotated_stiffness,
    stress_rotation,
)
from tubecalc.laminate.layup import Layer, Layup, strengths_of
from tubecalc.values import Values

SIX = ((0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2))  # order 11, 12, 16, 22, 26, 66
MATRIX_LEFT = 1e-3  # share of matrix stiffness kept in the netting wall (Barbero, Example 7.8)
NET_STRAIN, NET_SHEAR = 0.02, 0.04  # beyond these a netting wall counts as a mechanism (own rule)
WAVE_RATIOS = np.concatenate([[0.0], np.geomspace(0.05, 20.0, 72)])


@dataclass(frozen=True)
class Sheets:
    """Distinct (material, angle) pairs: stiffness in wall axes, stress maps and strengths."""

    qbar: Array  # (K, 3, 3)
    qbar_net: Array  # (K, 3, 3), matrix gone
    qbar_taut: Array  # (K, 3, 3), matrix gone, fibres at their strength in tension
    to_ply: Array  # (K, 3, 3): wall strain -> ply-axis stress
    fibre_net: Array  # (K, 2, 3): wall strain -> fibre stress with the matrix gone, both fibres
    strengths: strength.Strengths  # each (K,)
    density: Array  # (K,)


def _net(v: Values) -> tuple[float, float, float, float]:
    """Constants of a ply whose matrix has cracked through."""
    if v.isotropic:
        return v.E1, v.E2, v.G12, v.nu12
    cross = 1.0 if v.woven else MATRIX_LEFT
    return v.E1, v.E2 * cross, v.G12 * MATRIX_LEFT, v.nu12 * MATRIX_LEFT


def _taut(v: Values) -> tuple[float, float, float, float]:
    """The same with the fibres pulled to their strength, which keeps them from turning.

    A fibre under a stress X that turns by an angle pulls back with X times the angle: a shear
    stiffness of X (initial stress, as of a string; own derivation).
    """
    e1, e2, g, nu = _net(v)
    return e1, e2, g if v.isotropic or np.isnan(v.Xt) else g + v.Xt, nu


def _make_sheets(pairs: Sequence[tuple[Values, float]]) -> Sheets:
    values = [v for v, _ in pairs]
    angles = np.radians([a for _, a in pairs])
    sound = reduced_stiffness(*np.array([[v.E1, v.E2, v.G12, v.nu12] for v in values]).T)
    net, taut = (reduced_stiffness(*np.array([f(v) for v in values]).T) for f in (_net, _taut))
    turn = stress_rotation(angles)
    qbar, qbar_net = rotated_stiffness(sound, angles), rotated_stiffness(net, angles)
    return Sheets(
        qbar, qbar_net, rotated_stiffness(taut, angles), turn @ qbar, (turn @ qbar_net)[:, :2, :],
        strengths_of(values), np.array([v.density for v in values]),
    )  # fmt: skip


def _merged(layers: Sequence[Layer]) -> list[tuple[Values, float, float]]:
    """Neighbouring equal plies as one block of (values, angle, thickness)."""
    out: list[tuple[Values, float, float]] = []
    for x in layers:
        t = x.thickness * x.count
        if out and out[-1][0] is x.values and out[-1][1] == x.angle:
            out[-1] = (x.values, x.angle, out[-1][2] + t)
        else:
            out.append((x.values, x.angle, t))
    return out


def _ends(where: list[int]) -> list[int]:
    """Faces of the first and the last of some blocks, where stress peaks."""
    return sorted({where[0], where[0] + 1, where[-1], where[-1] + 1})


class WallTable:
    """Arrays for L distinct walls.

    Parameters
    ----------
    layups : sequence of Layup
        Distinct stacks.

    Examples
    --------
    >>> walls = WallTable([Layup.from_notation("[0]", "carbon-sm-ud", "1 mm")])
    >>> walls.t.round(6).tolist()
    [0.001]
    """

    def __init__(self, layups: Sequence[Layup]) -> None:
        self.layups = tuple(layups)
        self.kept: dict[str, object] = {}  # what floors above work out once per table
        sheet_of: dict[tuple[int, float], int] = {}
        pairs: list[tuple[Values, float]] = []
        blocks = [_merged(layup.layers) for layup in layups]
        self.block_count: Ints = np.array([len(b) for b in blocks], np.intp)
        self.n_blocks = int(self.block_count.max())
        rows, groups = len(blocks), []
        sheet = np.zeros((rows, self.n_blocks), np.intp)
        thick = np.zeros((rows, self.n_blocks))
        for n, wall in enumerate(blocks):
            seen: dict[int, list[int]] = {}
            for p, (values, angle, t) in enumerate(wall):
                key = (id(values), angle)
                if key not in sheet_of:
                    sheet_of[key] = len(pairs)
                    pairs.append((values, angle))
                k = sheet[n, p] = sheet_of[key]
                thick[n, p] = t
                seen.setdefault(int(k), []).append(p)
            sheet[n, len(wall) :] = sheet[n, len(wall) - 1]
            groups.append([(k, _ends(where)) for k, where in seen.items()])
        self.pairs = tuple(pairs)
        self.sheets = _make_sheets(pairs)
        self.block_sheet: Ints = sheet
        self.t: Array = thick.sum(axis=1)
        edges = np.concatenate([np.zeros((rows, 1)), np.cumsum(thick, axis=1)], axis=1)
        self.edges: Array = edges - self.t[:, None] / 2  # (L, P + 1)
        self._place_stations(groups)
        single = np.array([len(g) == 1 for g in groups])
        first = self.sheets.qbar[sheet[:, 0]]
        straight = np.abs(first[:, 0, 2]) + np.abs(first[:, 1, 2]) <= 1e-9 * first[:, 0, 0]
        self.homogeneous: Bools = single & straight
        self.isotropic: Bools = self.sheets.strengths.isotropic[sheet[:, 0]] > 0

    def _place_stations(self, groups: list[list[tuple[int, list[int]]]]) -> None:
        """Faces of the first and last block of each ply; short walls repeat their first."""
        flat = [[(k, e) for k, faces in group for e in faces] for group in groups]
        self.station_count: Ints = np.array([len(f) for f in flat], np.intp)
        most = int(self.station_count.max())
        full = np.array([f + [f[0]] * (most - len(f)) for f in flat], np.intp)
        self.station_sheet: Ints = np.ascontiguousarray(full[..., 0])
        self.station_edge: Ints = np.ascontiguousarray(full[..., 1])
        self.station_z: Array = np.take_along_axis(self.edges, self.station_edge, axis=1)

    def stations_used(self, index: Ints) -> int:
        """Largest number of real stations among some walls."""
        return int(self.station_count[index].max(initial=2))

    def _moments(self, qbar: Array) -> Array:
        """Integrals of Q z^n over the wall, n = 0 to 3; shape (4, 6, L)."""
        six = np.stack([qbar[:, i, j] for i, j in SIX], axis=-1)[self.block_sheet]  # (L, P, 6)
        z = self.edges
        out = [
            np.einsum("lp,lps->ls", (z[:, 1:] ** (n + 1) - z[:, :-1] ** (n + 1)) / (n + 1), six)
            for n in range(4)
        ]
        return np.ascontiguousarray(np.stack(out).transpose(0, 2, 1))

    @cached_property
    def moments(self) -> Array:
        """Stiffness moments of the sound wall, (4, 6, L)."""
        return self._moments(self.sheets.qbar)

    @cached_property
    def moments_net(self) -> Array:
        """Stiffness moments with every matrix cracked, (4, 6, L)."""
        return self._moments(self.sheets.qbar_net)

    @cached_property
    def moments_taut(self) -> Array:
        """Stiffness moments with every matrix cracked and the fibres pulled taut, (4, 6, L)."""
        return self._moments(self.sheets.qbar_taut)

    def moments_of(self, state: str) -> Array:
        """Stiffness moments of the wall "sound", "net" or "taut", (4, 6, L)."""
        if state == "sound":
            return self.moments
        return self.moments_net if state == "net" else self.moments_taut

    def hoop_blocks(self, state: str) -> Array:
        """Q22 of every block of the wall "sound", "net" or "taut", (L, P)."""
        sheets = self.sheets
        q = {"sound": sheets.qbar, "net": sheets.qbar_net, "taut": sheets.qbar_taut}[state]
        return np.asarray(q[:, 1, 1][self.block_sheet])

    @cached_property
    def mass(self) -> Array:
        """Integrals of density and density times z over the wall, (L, 2) [kg/m2, kg/m]."""
        rho = self.sheets.density[self.block_sheet]
        z = self.edges
        return np.stack(
            [(rho * np.diff(z, axis=1)).sum(1), (rho * np.diff(z**2, axis=1)).sum(1) / 2], axis=1
        )

    # -- quantities of the flat wall ----------------------------------------------------------
    @staticmethod
    def _full(six: Array) -> Array:
        """(6, L) entries -> (L, 3, 3)."""
        out = np.empty((six.shape[1], 3, 3))
        for n, (i, j) in enumerate(SIX):
            out[:, i, j] = out[:, j, i] = six[n]
        return out

    @cached_property
    def a(self) -> Array:
        """Membrane compliance without curl, (L, 3, 3) [m/N]."""
        return np.asarray(np.linalg.inv(self._full(self.moments[0])))

    @cached_property
    def d_reduced(self) -> Array:
        """Bending stiffness reduced for coupling, D - B a B, (L, 3, 3) [N m].

        Source: Ashton & Whitney, Theory of Laminated Plates 1970 (reduced bending stiffness).
        """
        b = self._full(self.moments[1])
        return np.asarray(self._full(self.moments[2]) - b @ self.a @ b)

    @cached_property
    def wave_constant(self) -> Array:
        """Constant c of the local axial buckling force per length N = c / R, (L,) [N].

        Infinite orthotropic cylinder, Donnell equations, least over the wave ratio with the wave
        length free: N R = 2 sqrt(f_D / f_A). Isotropic limit 2 sqrt(D A) = 0.605 E t^2.
        Source: Timoshenko & Gere 1961, sec. 11.1; NASA SP-8007 (1968), sec. 4.2.
        """
        rho2 = WAVE_RATIOS**2
        d, a = self.d_reduced[:, None], self.a[:, None]
        f_d = d[..., 0, 0] + 2 * (d[..., 0, 1] + 2 * d[..., 2, 2]) * rho2 + d[..., 1, 1] * rho2**2
        f_a = a[..., 1, 1] + (2 * a[..., 0, 1] + a[..., 2, 2]) * rho2 + a[..., 0, 0] * rho2**2
        return np.asarray((2.0 * np.sqrt(np.maximum(f_d, 0.0) / f_a)).min(axis=1))

    @cached_property
    def equivalent_thickness(self) -> Array:
        """Radius of gyration that ranks the wall for a shell knock-down, t / sqrt(12) for metals.

        (D11 D22 / (A11 A22))^(1/4), (L,) [m]; phi = sqrt(R / this) / 29.8, which for a metal is
        sqrt(R / t) / 16. Source: NASA SP-8007 (1968), sec. 4.2, orthotropic cylinders.
        """
        d, a = self.d_reduced, self.moments[0]
        return np.asarray((d[:, 0, 0] * d[:, 1, 1] / (a[0] * a[3])) ** 0.25)

    def _flat_factors(self, strain: Array, strain_net: Array) -> tuple[Array, Array]:
        """Broken and first-damage factors of wall strains at the stations, (L, S, 3) each."""
        s = strength.Strengths._make(c[self.station_sheet] for c in self.sheets.strengths)
        stress = np.einsum("lsij,lsj->lsi", self.sheets.to_ply[self.station_sheet], strain)
        indices = strength.hashin_indices(stress[..., 0], stress[..., 1], stress[..., 2], s)
        first = strength.factors_of(strength.Modes._make(i.max(axis=1) for i in indices))
        fibre = np.einsum("lsij,lsj->lsi", self.sheets.fibre_net[self.station_sheet], strain_net)
        net = np.maximum(
            net_index(fibre[..., 0], fibre[..., 1], s),
            mechanism_index(strain_net[..., 0], strain_net[..., 1], strain_net[..., 2]),
        ).max(axis=1)
        alone = 1.0 / np.maximum(net, strength.TINY)
        return strength.surviving_factor(first, alone), first.first

    def _hoop_bending(self, sign: float) -> tuple[Array, Array]:
        """Broken and first-damage hoop moment per length, one sense of bending [N]."""
        unit = np.array([0.0, sign, 0.0])
        strains = []
        for m in (self.moments, self.moments_net):
            kappa = np.linalg.solve(
                self._full(m[2]), np.broadcast_to(unit, (len(self.t), 3))[..., None]
            )
            strains.append(self.station_z[..., None] * kappa[:, None, :, 0])
        return self._flat_factors(strains[0], strains[1])

    @cached_property
    def hoop_moment(self) -> tuple[Array, Array]:
        """Hoop bending moment per length at break and at first damage, both (L,) [N].

        The lesser of the two senses of bending; metals as a full plastic hinge, 1.5 times first
        yield.
        """
        (b1, f1), (b2, f2) = self._hoop_bending(1.0), self._hoop_bending(-1.0)
        broken, first = np.minimum(b1, b2), np.minimum(f1, f2)
        return np.where(self.isotropic, 1.5 * broken, broken), first

    @cached_property
    def axial_force(self) -> Array:
        """Axial force per length at break, the lesser of tension and compression, (L,) [N/m]."""
        unit = np.array([1.0, 0.0, 0.0])
        out = []
        stations = self.station_z.shape[1]
        for sign in (1.0, -1.0):
            sound, net = (
                np.repeat((np.linalg.inv(self._full(m[0])) @ (sign * unit))[:, None], stations, 1)
                for m in (self.moments, self.moments_net)
            )
            out.append(self._flat_factors(sound, net)[0])
        return np.minimum(out[0], out[1])


def net_index(fibre1: Array, fibre2: Array, s: strength.Strengths) -> Array:
    """Failure index of the fibres of a wall whose matrix has gone.

    Parameters
    ----------
    fibre1, fibre2 : numpy.ndarray
        Stress along the first and second fibre direction [Pa].
    s : Strengths
        Strengths of the stations [Pa].

    Returns
    -------
    numpy.ndarray
        Index; 1 is failure [-].
    """
    index = np.abs(fibre1) / np.where(fibre1 >= 0, s.Xt, s.Xc)
    if not (s.woven > 0).any():
        return np.asarray(index)
    second = np.abs(fibre2) / np.where(fibre2 >= 0, s.Yt, s.Yc)
    return np.where(s.woven > 0, np.maximum(index, second), index)


def mechanism_index(ex: Array, ey: Array, gxy: Array) -> Array:
    """Index of too much strain: a netting wall that strains further is a mechanism.

    Parameters
    ----------
    ex, ey, gxy : numpy.ndarray
        Wall strains [-].

    Returns
    -------
    numpy.ndarray
        Index; 1 is failure [-].

    Notes
    -----
    Own rule: 2 % along the axis or the hoop, 4 % in shear, above any fibre's strain to failure.
    """
    direct = np.maximum(np.abs(ex), np.abs(ey)) / NET_STRAIN
    return np.asarray(np.maximum(direct, np.abs(gxy) / NET_SHEAR))


def unique_layups(layups: Sequence[Layup]) -> tuple[list[Layup], Ints]:
    """Distinct stacks among many, and which of them each one is.

    Parameters
    ----------
    layups : sequence of Layup
        Stacks, with repeats.

    Returns
    -------
    list of Layup
        The distinct ones.
    numpy.ndarray
        Index of each input into them.
    """
    seen: dict[tuple[object, ...], int] = {}
    distinct: list[Layup] = []
    index = np.empty(len(layups), np.intp)
    for n, layup in enumerate(layups):
        key = (
            layup.construction,
            *((id(x.values), x.angle, round(x.thickness, 12), x.count) for x in layup.layers),
        )
        if key not in seen:
            seen[key] = len(distinct)
            distinct.append(layup)
        index[n] = seen[key]
    return distinct, index
