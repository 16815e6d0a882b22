"""Residual stress of cure and first damage of N tubes that carry it."""

from __future__ import annotations

import numpy as np

from tubecalc.laminate import residual
from tubecalc.laminate.elastic import Array
from tubecalc.section import Amount, Loads, Sections
from tubecalc.thickwall_table import LOADS, spread

Triple = tuple[Array, Array, Array]


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
