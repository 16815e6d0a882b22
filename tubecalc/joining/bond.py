"""Bonded inserts, sleeves and lugs: how long, how strong, joint or tube first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.joining.bond_input import TIP, read
from tubecalc.joining.bond_judge import (
    bond_strengths,
    limits,
    member_strengths,
    peel_stress,
    radial_pull,
)
from tubecalc.joining.bond_result import Bond
from tubecalc.joining.bond_state import state_at
from tubecalc.laminate.construction import get_construction
from tubecalc.tube import Tube
from tubecalc.units import Q_

if TYPE_CHECKING:
    import pandas as pd


def bond(
    tube: Tube,
    insert: Any,
    *,
    overlap: Any,
    gap: Any = None,
    adhesive: Any = "epoxy-tough",
    axial: Any = None,
    torque: Any = None,
    moment: Any = None,
    temperature: Any = None,
    bonded_at: Any = None,
    wet: bool = False,
    preparation: str = "abraded",
    taper: Any = None,
    tube_taper: Any = None,
    tip: Any = None,
    scarf: bool = False,
    insert_wall: Any = None,
    place: str = "inside",
    insert_length: Any = None,
    tube_length: Any = None,
    off_centre: Any = None,
    barrier: Any = None,
) -> Bond:
    """Bonded joint of a tube and an insert in its bore or a sleeve over it.

    Overlap, gap, loads and tapers may be lists, and the tube or the insert N tubes: N joints.

    Parameters
    ----------
    tube : Tube
        The tube.
    insert : Tube, str, Metal or Layup
        The insert or sleeve with its sizes; or its material, then it is made to fit with
        `insert_wall`, `place` and `gap`.
    overlap : str or Quantity
        Length of the overlap.
    gap : str or Quantity, optional
        Thickness of the adhesive a side; from the diameters where both are given, else the best
        one of the adhesive.
    adhesive : str or Adhesive
        Class, see `tubecalc.joining.adhesives.adhesives`.
    axial, torque, moment : str or Quantity, optional
        Loads; a positive axial load pulls. Of a force across the tube the moment at the deep end
        of the overlap, the larger one: with that at the mouth peaks come out up to 58 % too low.
    temperature : str or Quantity, or a pair of them, optional
        Hottest or coldest, or both ends of service; room temperature is looked at too.
    bonded_at : str or Quantity, optional
        Temperature at which the adhesive set; that of its class when not given.
    wet : bool
        Whether it is wet for months.
    preparation : str
        Of the surfaces: "etched", "blasted", "abraded", "degreased" or "none".
    taper, tube_taper : str or Quantity, optional
        Length over which the insert's end, or the tube's end, thins out to `tip`.
    tip : str or Quantity, optional
        What is left at a tapered end; 0.5 mm.
    scarf : bool
        Whether both members thin out to nothing over the whole overlap.
    insert_wall : str or Quantity, optional
        Wall of an insert made to fit, or "solid".
    place : str
        Of an insert made to fit: "inside" or "over".
    insert_length, tube_length : str or Quantity, optional
        Lengths of the parts, to refuse an overlap that does not fit.
    off_centre : str or Quantity, optional
        Distance between the axes; the thin side counts.
    barrier : str or Quantity, optional
        Insulating glass ply between the members, its thickness.

    Returns
    -------
    Bond
        Stresses, strengths, what governs, lengths that matter, cautions.

    Raises
    ------
    InputError
        One sentence for whatever cannot be used: no gap, a gap above what the adhesive allows, an
        overlap longer than a part, a temperature above that of the weakest member, an unknown
        adhesive, an insert larger than the bore.

    Notes
    -----
    Shear lag: see `tubecalc.joining.bond_lag`, `bond_plastic` and `bond_taper`; shear through the
    walls: `bond_walls`. The strength is typical, not guaranteed: apply a factor of your own.

    Examples
    --------
    >>> tube = Tube("roll-wrapped-woven", od="30 mm", wall="2 mm")
    >>> plug = bond(tube, "6061-T6", insert_wall="3 mm", overlap="30 mm", gap="0.2 mm",
    ...             axial="5 kN", torque="20 N m", adhesive="epoxy-tough")
    >>> plug.governing
    'joint'
    >>> bool(plug.peak_shear > plug.average_shear)
    True
    """
    given = dict(locals())
    given["tip"] = Q_(TIP, "m") if tip is None else tip
    asked = read(tube, insert, given)
    states = tuple(state_at(asked, t) for t in asked.temperatures)
    bears = bond_strengths(asked, states)
    of_tube, tube_factor = member_strengths(asked.tubes, asked)
    of_insert, insert_factor = member_strengths(asked.inserts, asked)
    return Bond(
        asked, states, bears, of_tube, of_insert,
        limits(asked, states, bears, (tube_factor, insert_factor)),
        np.maximum.reduce([peel_stress(asked, s) for s in states]),
        np.maximum.reduce([np.maximum(radial_pull(asked, s), 0.0) for s in states]),
    )  # fmt: skip


def heat_limits(tube: Any, insert: Any, adhesive: Any, *, wet: bool = False) -> pd.DataFrame:
    """Highest service temperature of tube, adhesive and insert, the weakest first.

    Parameters
    ----------
    tube, insert : Tube or str
        Tubes, or keys of a construction or metal.
    adhesive : str or Adhesive
        Class of the adhesive.
    wet : bool
        Saturated with moisture.

    Returns
    -------
    pandas.DataFrame
        member, name, softens_degC (glass transition), limit_degC.

    Notes
    -----
    Limit 28 K below the glass transition: MIL-HDBK-17-3 (MEMORY), or the member's own if lower.

    Examples
    --------
    >>> heat_limits("pultruded", "6061-T6", "epoxy-tough")["member"].tolist()
    ['adhesive', 'insert', 'tube']
    """
    import pandas as pd

    from tubecalc.checks.climate import transition_of
    from tubecalc.checks.service import heat_limit
    from tubecalc.joining.adhesives import get_adhesive

    glue = get_adhesive(adhesive)
    rows = [("adhesive", glue.name, glue.softening(wet=wet), glue.heat_limit(wet=wet))]
    for member, one in (("tube", tube), ("insert", insert)):
        c = one.construction if isinstance(one, Tube) else get_construction(one)
        rows.append((member, c.name, transition_of(c, wet=wet), heat_limit(c, wet=wet)))
    table = pd.DataFrame(rows, columns=["member", "name", "softens_degC", "limit_degC"])
    return table.sort_values("limit_degC", kind="stable", ignore_index=True)


__all__ = ["Bond", "bond", "heat_limits"]
