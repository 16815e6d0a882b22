"""A metal bonded in the bore: what heat and cold do to the wall and to the bond."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, make
from tubecalc.checks.climate import at_room, hot_of
from tubecalc.environment import ROOM
from tubecalc.environment_growth import contact_pressure, growth
from tubecalc.laminate.elastic import Array
from tubecalc.materials import get_metal
from tubecalc.need import Need
from tubecalc.section import Sections
from tubecalc.unit_words import micro
from tubecalc.values import Values

BOND = 30e6  # Pa, direct tension of a sound structural epoxy bond (common practice, no source)


def outcomes(candidates: Candidates, need: Need) -> list[Outcome]:
    """Wall and bond at the hot and the cold end of service, for a metal bonded in at room heat.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need; `service.insert` names the metal.

    Returns
    -------
    list of Outcome
        Check "insert", one for each end of the temperature range that is given.

    Notes
    -----
    Where the metal outgrows the bore it presses on the wall: against the inside pressure that
    breaks it. Where it shrinks away it pulls on the bond: against 30 MPa, or the least transverse
    tensile strength of the plies if that is lower. Peaks at the ends of the bond are left out.
    """
    service = need.service
    if not service.insert:
        return []
    metal = get_metal(service.insert).si
    out = []
    for word, t, tubes in (
        ("hot", hot_of(service), candidates),
        ("cold", service.temperature_min, at_room(candidates)),
    ):
        if not math.isnan(t) and abs(t - ROOM) > 1e-9:
            out.append(_end(tubes, need, metal, t, word))
    return out


def bond_strength(s: Sections) -> Array:
    """Direct tension a bond to each tube's bore bears: 30 MPa, or the plies' if lower [Pa]."""
    least = [
        min((x.values.Yt for x in w.layers if not x.values.woven), default=math.nan)
        for w in s.walls.layups
    ]
    return np.asarray(np.fmin(np.array(least)[s.index], BOND) + np.zeros_like(s.R))


def _end(tubes: Candidates, need: Need, metal: Values, t: float, word: str) -> Outcome:
    s, found = tubes.sections, growth(tubes.sections)
    pressure = contact_pressure(found, metal, t - ROOM)
    holds = s.capacity(p_in=np.ones_like(s.R), criterion=need.factors.criterion).broken
    capacity = np.where(pressure > 0, holds, bond_strength(s))
    at: dict[str, Array | float] = {f"{'hottest' if word == 'hot' else 'coldest'} temperature": t}
    return make(
        "insert", "", capacity, np.abs(pressure) * need.factors.strength, "pressure",
        _sentence(tubes, metal, t, pressure, capacity), label=f"bonded insert, {word}", at=at,
    )  # fmt: skip


def _sentence(
    tubes: Candidates, metal: Values, t: float, pressure: Array, capacity: Array
) -> Callable[[int], str]:
    s, found = tubes.sections, growth(tubes.sections)

    def why(n: int) -> str:
        if np.isnan(pressure[n]) or np.isnan(capacity[n]):
            return "insert: not checked, a value of the wall is not known"
        gap = float(2.0 * s.ri[n] * (metal.alpha1 - found.bore[n]) * (t - ROOM))
        along = 1e6 * (metal.alpha1 - found.axial[n]) * (t - ROOM)
        per = "µin/in" if tubes.system == "inch" else "µm/m"
        p, most = (tubes.show(abs(float(x[n])), "pressure") for x in (pressure, capacity))
        if pressure[n] > 0:
            does = f"presses on the wall with {p}, which breaks at {most}"
        else:
            does = f"pulls on the bond with {p}, which parts at about {most}"
        return (
            f"at {tubes.show(t, 'temperature')} the {metal.name} insert is "
            f"{micro(gap, tubes.system)} on the diameter and {along:+.3g} {per} along "
            f"against the tube, bonded in at {tubes.show(ROOM, 'temperature')}; as a solid plug it "
            f"{does}"
        )

    return why
