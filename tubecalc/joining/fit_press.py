"""Press fit of two tubes: pressure, stress in both walls, what force and torque make it slip."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from tubecalc import shell
from tubecalc.environment_growth import plug_soft
from tubecalc.errors import InputError
from tubecalc.thickwall import ThickWall
from tubecalc.tube import Tube, single

MOST_INTERFERENCE = 0.02  # of the diameter; beyond it two tubes are not pressed together (own rule)


class Soft(NamedTuple):
    """Change of diameter over diameter per pressure: bore wider, outside smaller [1/Pa]."""

    bore: float
    outside: float


@dataclass(frozen=True)
class Pressed:
    """A press fit at one interference and temperature; SI.

    hoop_outer and hoop_inner are the hoop stresses at the bore of the outer and of the inner tube,
    where they are largest; reserve is the pressure that breaks (metal: yields) the weaker wall over
    the pressure, first the same for the first damage of a ply; weak names that wall.
    """

    temperature: float
    interference: float
    pressure: float
    hoop_outer: float
    hoop_inner: float
    reserve: float
    first: float
    weak: str
    force: float
    torque: float


def softness(inner: Tube, outer: Tube) -> Soft:
    """How much the bore of the outer and the outside of the inner tube give under pressure.

    Parameters
    ----------
    inner, outer : Tube
        One tube each; the inner may be a solid metal bar.

    Returns
    -------
    Soft
        [1/Pa], ends free.

    Raises
    ------
    InputError
        For a solid inner bar of plies.

    Notes
    -----
    Exact layered cylinder; for one isotropic layer it is Lame's: (b^2 + a^2) / (b^2 - a^2) + nu
    over E for the bore, less nu for the outside (Timoshenko, Strength of Materials, Part II).

    Examples
    --------
    >>> ring, plug = Tube("304", od="30 mm", id="20 mm"), Tube("304", od="20 mm", id="0 mm")
    >>> found = softness(plug, ring)
    >>> round(found.bore * 200e9, 2), round(found.outside * 200e9, 2)  # E 200 GPa, nu 0.3
    (2.9, 0.7)
    """
    single(inner, "fit:inner")
    single(outer, "fit:outer")
    wide = ThickWall(outer.layup, float(outer.sections.ro[0])).solve(p_in=1.0)
    bore = float(wide.u[0] / wide.radii[0])
    if float(inner.sections.ri[0]) > 1e-9:
        small = ThickWall(inner.layup, float(inner.sections.ro[0])).solve(p_out=1.0)
        return Soft(bore, -float(small.u[-1]))
    values = inner.layup.plies[0].values
    if not values.isotropic:
        raise InputError(
            "a press fit on a solid bar of plies is not worked out", where="fit:inner",
            expected="a tube, or a metal bar",
        )  # fmt: skip
    return Soft(bore, plug_soft(values))


@dataclass(frozen=True)
class Walls:
    """What both walls bear: pressure that breaks and that first damages each [Pa]; hoop factors.

    hoop is the hoop stress at each bore per pressure [-]; names says which wall, and how it fails.
    """

    broken: tuple[tuple[float, str], ...]
    first: tuple[float, ...]
    hoop: tuple[float, float]


def walls(inner: Tube, outer: Tube, length: float) -> Walls:
    """Pressures that both walls of a press fit bear.

    Parameters
    ----------
    inner, outer : Tube
        One tube each.
    length : float
        Length of the fit, for buckling of the inner tube; NaN for a long one [m].

    Returns
    -------
    Walls
    """
    one = np.ones(1)
    held = outer.sections.capacity(p_in=one)
    around = ThickWall(outer.layup, float(outer.sections.ro[0])).solve(p_in=1.0)
    hoop_outer = float(around.wall_stress(0, float(outer.sections.ri[0]))[1])
    broken = [(float(held.broken[0]), "the outer tube bursts" if not outer.construction.metal
               else "the outer tube yields")]  # fmt: skip
    first = [float(held.first[0])]
    if float(inner.sections.ri[0]) <= 1e-9:
        broken.append((inner.layup.plies[0].values.Xc, "the bar yields"))
        return Walls(tuple(broken), (*first, broken[-1][0]), (hoop_outer, -1.0))
    squeezed = inner.sections.capacity(p_out=one)
    within = ThickWall(inner.layup, float(inner.sections.ro[0])).solve(p_out=1.0)
    hoop_inner = float(within.wall_stress(0, float(inner.sections.ri[0]))[1])
    metal = inner.construction.metal
    broken.append((float(squeezed.broken[0]), f"the inner tube {'yields' if metal else 'crushes'}"))
    first.append(float(squeezed.first[0]))
    buckles = float(shell.perfect(inner.sections, "pressure", length).load[0])
    broken.append((buckles, "the inner tube buckles inwards"))
    return Walls(tuple(broken), tuple(first), (hoop_outer, hoop_inner))


def pressed(
    interference: float,
    diameter: float,
    soft: Soft,
    bears: Walls,
    *,
    length: float,
    friction: float,
    temperature: float,
) -> Pressed:
    """A press fit at one interference.

    Parameters
    ----------
    interference : float
        On the diameter; nought or less gives no pressure [m].
    diameter : float
        Of the joint [m].
    soft : Soft
        As from `softness`.
    bears : Walls
        As from `walls`.
    length : float
        Of the joint [m]; NaN gives no slip force.
    friction : float
        Coefficient [-].
    temperature : float
        For the record [degC].

    Returns
    -------
    Pressed

    Notes
    -----
    p = (interference / diameter) / (sum of both compliances); slip force mu p pi D L. Even
    pressure: the peak at the ends of the fit is left out, so is the grip that a pulled tube loses
    by getting thinner. Timoshenko, as above.
    """
    p = max(interference, 0.0) / diameter / (soft.bore + soft.outside)
    worst, weak = min(bears.broken, key=lambda x: math.inf if math.isnan(x[0]) else x[0])
    reserve, first = (x / p if p > 0 else math.inf for x in (worst, min(bears.first)))
    force = friction * p * math.pi * diameter * length
    return Pressed(
        temperature, interference, p, bears.hoop[0] * p, bears.hoop[1] * p, reserve, first, weak,
        force, force * diameter / 2.0,
    )  # fmt: skip


__all__ = ["MOST_INTERFERENCE", "Pressed", "Soft", "Walls", "pressed", "softness", "walls"]
