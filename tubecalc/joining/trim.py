"""Material off a tube, by sandpaper or by wear: what is left, ply by ply, and what it costs."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from tubecalc.errors import InputError, unknown_key
from tubecalc.joining.workshop import figure
from tubecalc.laminate.layup import Layer, Layup
from tubecalc.tube import Tube, single
from tubecalc.unit_words import worded

SIDES = ("outside", "bore")


class Cost(NamedTuple):
    """What a depth off one side leaves: shares of bending, axial and torsional stiffness [-].

    plies counts the plies cut through; into names the ply the cut ends in.
    """

    depth: float
    bending: float
    axial: float
    torsion: float
    plies: int
    into: str


def thinned(tube: Tube, depth: float, side: str = "outside") -> Tube:
    """The tube with material taken off its outside or its bore.

    Parameters
    ----------
    tube : Tube
        One tube.
    depth : float
        Radial depth [m].
    side : str
        "outside" or "bore".

    Returns
    -------
    Tube
        The plies that are left, at their own radii.

    Raises
    ------
    InputError
        For an unknown side, a negative depth, or a depth of the whole wall.

    Examples
    --------
    >>> worn = thinned(Tube("304", od="30 mm", wall="1.2 mm"), 0.1e-3, "bore")
    >>> round(float(worn.wall.m), 3), round(float(worn.od.m), 3)
    (1.1, 30.0)
    """
    single(tube, "thinned")
    if side not in SIDES:
        raise unknown_key("side", side, SIDES, "thinned:side")
    wall = float(tube.sections.t[0])
    if not 0.0 <= depth < wall * (1 - 1e-9):
        raise InputError(
            "the depth is not within the wall", where="thinned:depth",
            got=worded("{} of {}", "length", depth, wall), expected="0 to less than the wall",
        )  # fmt: skip
    plies = list(tube.layup.plies)
    end = -1 if side == "outside" else 0
    rest = depth
    while rest >= plies[end].thickness * (1 - 1e-9):
        rest -= plies.pop(end).thickness
    if rest > 1e-12:
        plies[end] = replace(plies[end], thickness=plies[end].thickness - rest)
    layup = Layup(plies, construction=tube.layup.construction, name=tube.layup.name)
    od = 2.0 * (float(tube.sections.ro[0]) - (depth if side == "outside" else 0.0))
    return Tube(layup, od=f"{od!r} m")


def outer_ply(tube: Tube) -> tuple[float, str]:
    """Depth that may come off the outside, and what it is.

    Parameters
    ----------
    tube : Tube
        One tube.

    Returns
    -------
    tuple
        Thickness of the outer ply; the resin-rich skin of an all-axial wall; the whole wall of a
        metal [m]. And its name.

    Examples
    --------
    >>> outer_ply(Tube("pultruded", od="4 mm", id="2.5 mm"))
    (5e-05, 'the resin-rich skin')
    """
    construction = tube.construction
    if construction.metal:
        return float(tube.sections.t[0]), "the wall"
    if construction.continuous or len(tube.layup.plies) == 1:
        return figure("surface_film").value, "the resin-rich skin"
    ply = tube.layup.plies[-1]
    return ply.thickness, f"the outer ply ({_named(ply)})"


def _named(ply: Layer) -> str:
    return "woven" if ply.values.woven else f"{ply.angle:g} degrees"


def cost(tube: Tube, depth: float, side: str = "outside") -> Cost:
    """Stiffness that is left when a depth comes off one side.

    Parameters
    ----------
    tube : Tube
        One tube.
    depth : float
        Radial depth [m].
    side : str
        "outside" or "bore".

    Returns
    -------
    Cost
        By the real section of the plies that are left.

    Examples
    --------
    >>> tube = Tube("304", od="30 mm", wall="1.2 mm")
    >>> round(1 - cost(tube, 0.1e-3, "bore").bending, 3), round(1 - cost(tube, 0.1e-3).bending, 3)
    (0.074, 0.093)
    """
    left = thinned(tube, depth, side)
    was, now = tube.sections, left.sections
    ei, ea, gj = (float(getattr(now, k)[0] / getattr(was, k)[0]) for k in ("EI", "EA", "GJ"))
    kept = left.layup.plies
    into = _named(kept[-1 if side == "outside" else 0])
    return Cost(depth, ei, ea, gj, len(tube.layup.plies) - len(kept), into)


__all__ = ["SIDES", "Cost", "cost", "outer_ply", "thinned"]
