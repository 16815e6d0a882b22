"""Growth of a tube with heat, exact through the layered wall, and of a metal bonded in its bore."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.section import Sections
from tubecalc.thickwall import constants, solve
from tubecalc.values import Values
from tubecalc.wall import WallTable

_P_IN, _HEAT = 2, 4  # columns of the exact solution with one column of free strain


class Growth(NamedTuple):
    """Of N tubes: expansion along, of the bore and of the outside [1/K]; bore strain per pressure.

    bore_soft is the relative widening of the bore per inside pressure, ends free [1/Pa].
    """

    axial: Array
    bore: Array
    outside: Array
    bore_soft: Array


def wall_expansion(walls: WallTable) -> Array:
    """Axial and hoop expansion of each distinct wall in a closed tube, thin form, (L, 2) [1/K].

    Parameters
    ----------
    walls : WallTable
        L distinct walls.

    Returns
    -------
    numpy.ndarray
        NaN where a ply has no expansion coefficients.

    Notes
    -----
    Laminate theory without curl: Kaw 2006, eq. 4.66. In thick walls the bore
    grows several 1e-6 1/K less and the outside more: see `growth`.

    Examples
    --------
    >>> from tubecalc.laminate.layup import Layup
    >>> (wall_expansion(WallTable([Layup.of([("304", 0, "1 mm")])])) * 1e6).round(3).tolist()
    [[17.3, 17.3]]
    """
    kept = walls.__dict__.get("_expansion")
    if kept is None:
        found = [(x.alpha_x.magnitude, x.alpha_y.magnitude) for x in walls.layups]
        kept = walls.__dict__["_expansion"] = np.array(found, float)
    return np.asarray(kept)


def growth(s: Sections) -> Growth:
    """Expansion and bore stiffness of tubes by the exact layered wall.

    Parameters
    ----------
    s : Sections
        N tubes.

    Returns
    -------
    Growth
        NaN where a ply has no expansion coefficients; tubes without a bore take the thin form.

    Notes
    -----
    Source: see `tubecalc.thickwall.solve`.

    Examples
    --------
    >>> from tubecalc.laminate.layup import Layup
    >>> walls = WallTable([Layup.of([("304", 0, "1 mm")])])
    >>> found = growth(Sections(walls, np.array([0]), np.array([0.02])))
    >>> round(float(found.axial[0]) * 1e6, 3), round(float(found.bore[0]) * 1e6, 3)
    (17.3, 17.3)
    """
    kept = s.__dict__.get("_growth")
    if kept is None:
        kept = s.__dict__["_growth"] = _growth(s)
    return Growth(*kept)


def _growth(s: Sections) -> Growth:
    walls = s.walls
    index = s.index + np.zeros(len(s.R), np.intp)
    thin = wall_expansion(walls)[index].T
    out = Growth(thin[0].copy(), thin[1].copy(), thin[1].copy(), np.full(len(s.R), np.nan))
    plies = constants(walls.pairs, [[(v.alpha1, v.alpha2) for v, _ in walls.pairs]])
    count = np.where(s.bored, walls.block_count[index], 0)
    for blocks in np.unique(count[count > 0]).tolist():
        at = np.flatnonzero(count == blocks)
        k = index[at]
        radii = (s.R[at] + walls.edges[k, : blocks + 1].T) / s.ro[at]
        found = solve(plies, walls.block_sheet[k, :blocks].T, radii)
        out.axial[at] = found.axial_strain[_HEAT]
        out.bore[at] = found.u[0, _HEAT] / radii[0]
        out.outside[at] = found.u[-1, _HEAT]
        out.bore_soft[at] = found.u[0, _P_IN] / radii[0]
    return out


def plug_soft(metal: Values) -> float:
    """Relative shrinking of a solid plug per pressure on its rim, ends free [1/Pa].

    Parameters
    ----------
    metal : Values
        The metal.

    Returns
    -------
    float
        (1 - nu) / E. A hollow insert gives way more, so the plug is the cautious case.

    Notes
    -----
    Timoshenko, Strength of Materials, Part II, 3rd ed. 1956, thick cylinders and shrink fits.

    Examples
    --------
    >>> from tubecalc.materials import get_metal
    >>> round(plug_soft(get_metal("304").si) * 200e9, 3)
    0.7
    """
    return (1.0 - metal.nu12) / metal.E1


def contact_pressure(found: Growth, metal: Values, rise: float) -> Array:
    """Pressure between a tube and the metal bonded in its bore after a change of temperature.

    Parameters
    ----------
    found : Growth
        Of N tubes.
    metal : Values
        The insert, a solid plug.
    rise : float
        Temperature less the one at which it was bonded [K].

    Returns
    -------
    numpy.ndarray
        Positive where the insert pushes on the bore, negative where it pulls on the bond (N,) [Pa].

    Notes
    -----
    Mismatch strain over the sum of both compliances, as in a shrink fit (Timoshenko, as above);
    the tube's by the exact layered wall. The glue line and the ends are left out. Grade B: 20 %.
    """
    return np.asarray((metal.alpha1 - found.bore) * rise / (found.bore_soft + plug_soft(metal)))
