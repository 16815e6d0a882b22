"""The two members of a bonded joint as the adhesive feels them, at a temperature, N at a time."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from tubecalc.environment import derated_walls
from tubecalc.environment_growth import growth
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layer import Layer
from tubecalc.laminate.layup import Layup
from tubecalc.ring import DEFAULT_NU23
from tubecalc.section import Sections
from tubecalc.thickwall import constants, solve
from tubecalc.values import Values

_P_OUT = 3  # column of the exact solution
_SOLID = 0.75  # a bar gives way less than a wall as thick as its radius
KINDS = ("pull", "twist", "bend")


class Member(NamedTuple):
    """N members, one side of the joint.

    pull, twist, bend: stiffness EA [N], GJ, EI [N m2]; soft: slip along that shear through the wall
    adds per shear stress at the bonded face [m/Pa]; grows: expansion along [1/K]; face_grows: of
    the bonded face round the tube [1/K]; face_soft: relative widening of the bonded face per
    pressure [1/Pa]; plate: bending stiffness of the wall along [N m]; ring: hoop stiffness over
    radius squared [Pa/m]; wall: thickness; face: radius of the bonded face [m].
    """

    pull: Array
    twist: Array
    bend: Array
    soft: Array
    grows: Array
    face_grows: Array
    face_soft: Array
    plate: Array
    ring: Array
    wall: Array
    face: Array


@dataclass(frozen=True)
class Face:
    """The ply next to the bond: shear it bears between plies and tension across it [Pa]."""

    name: str
    metal: bool
    shear: Array
    tension: Array


def through_shear(values: Values, angle: float) -> float:
    """Shear modulus of a ply through the wall, between the tube's axis and its radius [Pa].

    Parameters
    ----------
    values : Values
        Ply or metal; G13 is taken equal to G12.
    angle : float
        Fibre angle from the tube axis [deg].

    Returns
    -------
    float
        Of a ply at an angle by the cosine squared between G12 and G23.

    Examples
    --------
    >>> from tubecalc.materials import get_ply
    >>> ply = get_ply("carbon-sm-ud").si
    >>> through_shear(ply, 0.0) == ply.G12 > through_shear(ply, 90.0)
    True
    """
    if values.isotropic:
        return values.G12
    nu23 = DEFAULT_NU23 if math.isnan(values.nu23) else values.nu23
    g23 = values.E2 / (2 * (1 + nu23)) if math.isnan(values.G23) else values.G23
    g23 = min(g23, values.G12) if values.woven else g23
    c2 = math.cos(math.radians(angle)) ** 2
    return values.G12 * c2 + g23 * (1 - c2)


def wall_softness(layup: Layup, *, at_bore: bool) -> float:
    """Slip along that shear through a wall adds per shear stress at its bonded face [m/Pa].

    Parameters
    ----------
    layup : Layup
        Stack.
    at_bore : bool
        Whether the bonded face is the inner one.

    Returns
    -------
    float
        Along the tube.

    Notes
    -----
    Shear stress falls evenly from the bond to the free face: t / (3 G) for one material, Tsai,
    Oplinger & Morton, Int. J. Solids Struct. 35 (1998) 1163-1185 (title SEEN, form MEMORY); plies
    by the same energy, own form. Without it the peaks of a pull are up to 69 % above those of a
    general finite-element solver; with it -15 to +40 %.

    Not for twist: there the stress need not fall to nothing at the edge of the adhesive, and this
    would put the peak up to 45 % too low; without it -3 to +19 %, at one end of a stiff thin layer
    on all-axial carbon +40 % (tests/oracle/fe).

    Examples
    --------
    >>> steel = Layup.of([("304", 0, "3 mm")])
    >>> round(wall_softness(steel, at_bore=True) * steel.layers[0].values.G12 * 1e3, 6)
    1.0
    """
    runs: list[Layer] = list(layup.layers)[:: -1 if at_bore else 1]  # free face first
    z, along = 0.0, 0.0
    for x in runs:
        end = z + x.thickness * x.count
        part = (end**3 - z**3) / (3.0 * layup.t**2)
        along, z = along + part / through_shear(x.values, x.angle), end
    return along


def _outside_soft(s: Sections) -> Array:
    """Relative shrinking of the outside per outside pressure, ends free [1/Pa]."""
    walls = s.walls
    index = s.index + np.zeros(len(s.R), np.intp)
    first = [w.layers[0].values for w in walls.layups]
    out = np.array([(1.0 - v.nu12) / v.E2 for v in first])[index]  # bars, cautious for plies
    plies = constants(walls.pairs)
    count = np.where(s.bored, walls.block_count[index], 0)
    for blocks in np.unique(count[count > 0]).tolist():
        at = np.flatnonzero(count == blocks)
        k = index[at]
        radii = (s.R[at] + walls.edges[k, : blocks + 1].T) / s.ro[at]
        out[at] = -solve(plies, walls.block_sheet[k, :blocks].T, radii).u[-1, _P_OUT]
    return out


def member(sections: Sections, *, at_bore: bool, temperature: float, wet: bool = False) -> Member:
    """A member at a temperature.

    Parameters
    ----------
    sections : Sections
        N tubes or bars.
    at_bore : bool
        Whether it is bonded by its bore.
    temperature : float
        [degC].
    wet : bool
        Saturated with moisture.

    Returns
    -------
    Member
    """
    walls = derated_walls(sections.walls, temperature, wet)
    s = sections
    if walls is not sections.walls:
        s = Sections(walls, sections.index, 2.0 * sections.ro)
    grown = growth(sections)  # expansion is that of the sound wall
    soft = np.array([wall_softness(w, at_bore=at_bore) for w in walls.layups])[s.index]
    soft = soft * np.where(s.bored, 1.0, _SOLID)
    none = np.zeros_like(s.R)
    return Member(
        s.EA, s.GJ, s.EI, soft + none, grown.axial,
        grown.bore if at_bore else grown.outside,
        growth(s).bore_soft if at_bore else _outside_soft(s),
        walls.d_reduced[s.index, 0, 0] + none, s.Ehoop * s.t / s.R**2, s.t,
        s.ri if at_bore else s.ro,
    )  # fmt: skip


def face(sections: Sections, *, at_bore: bool) -> Face:
    """The ply next to the bond of N members.

    Notes
    -----
    Shear between plies: S12 of the ply, that of the tests. A metal bears what the adhesive does.
    Tension across: Yt of unidirectional plies; of cloth the least Yt of the wall or not known.
    """
    walls = sections.walls.layups
    plies = [(w.layers[0 if at_bore else -1].values) for w in walls]
    index = sections.index + np.zeros(len(sections.R), np.intp)
    shear = np.array([math.inf if v.isotropic else v.S12 for v in plies])[index]
    least = [
        min((x.values.Yt for x in w.layers if not x.values.isotropic and not x.values.woven),
            default=math.inf if v.isotropic else math.nan)
        for w, v in zip(walls, plies, strict=True)
    ]  # fmt: skip
    return Face(plies[0].name, plies[0].isotropic, shear, np.array(least)[index])


def thinned(m: Member, share: Array | float, *, at_bore: bool) -> tuple[Array, Array, Array]:
    """Stiffness of a member of which a share of the wall is left, the bonded face kept.

    Parameters
    ----------
    m : Member
        N members.
    share : numpy.ndarray
        Share of the wall, (M, N).
    at_bore : bool
        Whether it is bonded by its bore.

    Returns
    -------
    tuple of numpy.ndarray
        EA, GJ, EI, (M, N).

    Notes
    -----
    In proportion to the area and to the second moment of area of what is left: exact for one
    material, an estimate for plies.
    """
    left = np.asarray(share) * m.wall
    away = m.face + m.wall if at_bore else m.face - m.wall
    free = m.face + left if at_bore else m.face - left
    area = np.abs(free**2 - m.face**2) / np.abs(away**2 - m.face**2)
    turn = np.abs(free**4 - m.face**4) / np.abs(away**4 - m.face**4)
    return m.pull * area, m.twist * turn, m.bend * turn


__all__ = ["KINDS", "Face", "Member", "face", "member", "thinned", "through_shear", "wall_softness"]
