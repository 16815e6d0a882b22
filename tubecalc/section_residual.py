"""Residual stress of cure and first damage of N tubes that carry it."""

from __future__ import annotations

import numpy as np

from tubecalc.laminate import residual
from tubecalc.laminate.elastic import Array, Ints
from tubecalc.section import Amount, Loads, Sections
from tubecalc.thickwall_table import LOADS, spread
from tubecalc.wall import WallTable

Triple = tuple[Array, Array, Array]
UNIT = {
    "tension": Loads(axial=1.0), "compression": Loads(axial=-1.0),
    "bending": Loads(moment=1.0), "torsion": Loads(torque=1.0),
}  # fmt: skip
STEP = 0.035  # of the root of t/R between the nodes of the table of first damage
_GRID = (STEP * np.arange(1, 41)) ** 2


def residual_stress(s: Sections, temperature: float, *, wet: bool = False) -> Triple | None:
    """Ply-axis stress that cure leaves in the wall at the stations, each (S, N) [Pa].

    Parameters
    ----------
    s : Sections
        N tubes.
    temperature : float
        Temperature of the tube [degC].
    wet : bool
        Count the swelling of full moisture, where it is known.

    Returns
    -------
    tuple of numpy.ndarray or None
        Nil for walls whose cure temperature or expansion is not known and for bars; None where
        it is known of no tube.

    Notes
    -----
    Exact layered wall under free strains alpha (T - T_free) and beta times moisture, linear and
    elastic from the stress-free temperature down: an upper bound, relaxation not counted.
    """
    table = s.exact
    if not table.cure_known[s.index].any():
        return None
    used = len(s.stations.r)
    out = spread(table.residual(temperature, wet=wet)[:, :, :used], s.index, s.basis)
    if len(s.thick):
        heat, cure, swell = s.thick_exact.stress[LOADS:, :, :used]
        known = table.cure_known[s.wall_of(s.thick)]
        out[..., s.thick] = (heat * temperature + cure + (swell if wet else 0.0)) * known
    out[..., s.bars] = 0.0
    return out[0], out[1], out[2]


def first_damage(
    s: Sections, loads: Loads, shear: Amount, before: Triple, criterion: str = "hashin"
) -> Array:
    """Factor on simultaneous loads at which the first ply is damaged, on top of a constant stress.

    Parameters
    ----------
    s : Sections
        N tubes.
    loads : Loads
        Section loads.
    shear : numpy.ndarray or float
        Transverse shear [N].
    before : tuple of numpy.ndarray
        Stress that is always there, from `residual_stress` [Pa].
    criterion : str
        Criterion of first damage.

    Returns
    -------
    numpy.ndarray
        (N,); 0 where a ply is cracked before any load.
    """
    limits = s.stations.s
    found = [
        residual.factor(criterion, before, s.stress(place), limits).min(axis=0)
        for place in s.places(loads, shear)
    ]
    return np.asarray(np.minimum.reduce(found))


def _size(s: Sections, key: str) -> Array:
    """Load per nominal stress at the outside."""
    if key in ("tension", "compression"):
        return s.area
    return np.asarray(s.section_modulus * (2.0 if key == "torsion" else 1.0))


def _unit_table(walls: WallTable, key: str, state: tuple[float, bool], criterion: str) -> Array:
    """Nominal stress at first damage of every wall at the nodes of t/R, (L, nodes) [Pa]."""
    name = f"first {key} {state} {criterion}"
    if name not in walls.kept:
        rows = len(walls.t)
        index: Ints = np.repeat(np.arange(rows), len(_GRID))
        radius = walls.t[index] / np.tile(_GRID, rows)
        s = Sections(walls, index, 2.0 * radius + walls.t[index])
        before = residual_stress(s, state[0], wet=state[1])
        if before is None:
            walls.kept[name] = np.full((rows, len(_GRID)), np.nan)
        else:
            found = first_damage(s, UNIT[key], 0.0, before, criterion)
            walls.kept[name] = (found / _size(s, key)).reshape(rows, len(_GRID))
    return np.asarray(walls.kept[name])


def first_of_unit(
    s: Sections, key: str, temperature: float, *, wet: bool = False, criterion: str = "hashin"
) -> Array:
    """Load at which the first ply is damaged under one load and the stress of cure.

    Parameters
    ----------
    s : Sections
        N tubes.
    key : str
        "tension", "compression", "bending" or "torsion".
    temperature : float
        Temperature of the tube [degC].
    wet : bool
        Count the swelling of full moisture.
    criterion : str
        Criterion of first damage.

    Returns
    -------
    numpy.ndarray
        (N,) [N or N m]; tabulated per wall over t/R with straight lines between, nil next to
        where cure alone cracks a ply. NaN for bars.
    """
    table = _unit_table(s.walls, key, (temperature, wet), criterion)
    x = s.thickness_ratio
    left = np.clip((np.sqrt(x) / STEP).astype(np.intp) - 1, 0, len(_GRID) - 2)
    share = np.minimum((x - _GRID[left]) / (_GRID[left + 1] - _GRID[left]), 1.0)
    low, high = table[s.index, left], table[s.index, left + 1]
    nominal = np.where((low == 0.0) | (high == 0.0), 0.0, low + share * (high - low))
    return np.asarray(np.where(s.bored, nominal, np.nan) * _size(s, key))
