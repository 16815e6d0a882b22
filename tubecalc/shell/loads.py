"""Perfect buckling loads of N tubes: from the tables for many, worked out for one."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.section import Sections
from tubecalc.shell import buckling, skew
from tubecalc.shell.minima import KINDS, least
from tubecalc.shell.oval import flattening_moment
from tubecalc.shell.tables import BEYOND, reach, table
from tubecalc.shell.walls import ShellWalls, shell_walls

NONLINEAR = 0.9  # limit moments of non-linear solutions lie up to 10 % below the lower form
LONG = 40.0  # spans over radius beyond which local buckling in bending knows no ends
SLENDER = 200.0  # spans over radius beyond which a bow is a beam's, too soft for a shell's figures
LEFT_OUT = 6  # half-waves coupled in the bow of a skew column


def critical_axial(s: Sections, span: float = np.nan) -> Array:
    """Axial load at which the wall of a perfect tube buckles, the bow of the column left out.

    Parameters
    ----------
    s : Sections
        N tubes.
    span : float
        Length between simply supported ends [m]; NaN for a long tube.

    Returns
    -------
    numpy.ndarray
        Load, (N,) [N].

    Notes
    -----
    Least over waves round (n = 0, 2, 3 ...) and half-waves along. A long tube has waves n = 2 at
    0.6 of the classical load of a short one. n = 1 is the column's and not here.
    """
    return table("axial", s.walls, span).load(s.index, s.R)


def critical_bending(s: Sections, span: float = np.nan) -> Array:
    """Moment at which a perfect tube wrinkles or flattens, 0.9 of the lower.

    Parameters
    ----------
    s, span
        As `critical_axial`.

    Returns
    -------
    numpy.ndarray
        Moment, (N,) [N m].

    Notes
    -----
    Wrinkling: waves of many n under an axial force that varies as cos(theta), the section round.
    Flattening: `flattening_moment`. Wrinkling and flattening help each other: non-linear
    solutions lie 4 to 10 % below the lower one.
    """
    wrinkles = wrinkling_moment(s, span)
    return np.asarray(NONLINEAR * np.minimum(wrinkles, flattening_moment(s, span)))


def wrinkling_moment(s: Sections, span: float = np.nan) -> Array:
    """Moment at which the wall wrinkles while the section stays round, (N,) [N m]."""
    far = span > LONG * s.R
    if far.all() or not far.any():
        return table("bending", s.walls, np.nan if far.all() else span).load(s.index, s.R)
    index, out = np.broadcast_to(s.index, s.R.shape), np.empty_like(s.R)
    for part, length in ((far, np.nan), (~far, span)):
        out[part] = table("bending", s.walls, length).load(index[part], s.R[part])
    return out


def critical_torsion(s: Sections, span: float = np.nan, sign: float = 1.0) -> Array:
    """Torque at which the wall of a perfect tube buckles.

    Parameters
    ----------
    s, span
        As `critical_axial`.
    sign : float
        Sign of the torque: it counts where plies at + and - angles are not alike.

    Returns
    -------
    numpy.ndarray
        Torque, (N,) [N m].
    """
    return table("torsion+" if sign >= 0 else "torsion-", s.walls, span).load(s.index, s.R)


def critical_pressure(s: Sections, span: float = np.nan, *, follower: bool = True) -> Array:
    """Outside pressure at which a perfect tube collapses.

    Parameters
    ----------
    s : Sections
        N tubes.
    span : float
        Length between rings or ends that keep the section round [m]; NaN for a long tube.
    follower : bool
        The pressure follows the wall, as a fluid's; else it keeps its direction.

    Returns
    -------
    numpy.ndarray
        Pressure, (N,) [Pa].
    """
    kind = "pressure" if follower else "dead pressure"
    return table(kind, s.walls, span).load(s.index, s.R)


def short_wave_axial(s: Sections) -> Array:
    """Axial load at which a perfect short thin cylinder buckles in small waves [N].

    Notes
    -----
    Donnell's equations, 0.605 E t^2 x 2 pi for a metal with nu = 0.3 (Lorenz, Timoshenko,
    Southwell; NASA SP-8007). A reference form; the checks take `critical_axial`.
    """
    return np.asarray(2.0 * np.pi * s.walls.wave_constant[s.index])


def _column(walls: ShellWalls, R: Array, span: float) -> Array:
    """Axial load of the bow of the whole tube as a shell, one half-wave, n = 1, (N,)."""
    one = np.ones_like(R)
    near = np.minimum(span, SLENDER * R)  # beyond, Euler's square of the length
    out = buckling.axial_load(walls, R, np.pi / near, one)
    for row in np.flatnonzero(walls.skew):
        at = np.array([row])
        out[at] = skew.critical(walls.take(at), R[at], one[at], float(near[row]), LEFT_OUT, "axial")
    return np.asarray(out * (near / span) ** 2)


class Found(NamedTuple):
    """Load, waves round (NaN: many together), half-waves along (NaN in a long tube)."""

    load: Array
    around: Array
    along: Array


def perfect(s: Sections, kind: str, span: float = np.nan, *, bow: bool = True) -> Found:
    """Least buckling load of N perfect tubes, worked out without a table.

    Parameters
    ----------
    s : Sections
        N tubes.
    kind : str
        One of `minima.KINDS`; "bending" is wrinkling with the section round.
    span : float
        Length between simply supported ends [m]; NaN for a long tube.
    bow : bool
        Whether "axial" counts the bow of the whole tube, n = 1, too.

    Returns
    -------
    Found
        Arrays (N,).
    """
    index = np.broadcast_to(s.index, s.R.shape)
    walls = shell_walls(s.walls).take(index)
    near = np.minimum(s.R, reach(walls.t, span))  # beyond it the waves named are those there
    mode = least(kind, walls, near[:, None], span)
    load, n, a = mode.load[:, 0] * (s.R / near) ** BEYOND[kind], mode.n[:, 0], mode.a[:, 0]
    along = a * span / np.pi
    if bow and kind == "axial" and not np.isnan(span):
        whole = _column(walls, s.R, span)
        load, n, along = (
            np.where(whole < load, x, y) for x, y in ((whole, load), (1.0, n), (1.0, along))
        )
    return Found(load, n, np.where(along > 0, along, np.nan))


COUNT = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def _said(value: float) -> str:
    whole = round(value)
    return COUNT[whole] if whole < len(COUNT) else str(whole)


def mode_of(s: Sections, kind: str, span: float = np.nan, n: int = 0) -> str:
    """The shape in which the wall of one perfect tube buckles, in words.

    Parameters
    ----------
    s : Sections
        N tubes.
    kind : str
        One of `minima.KINDS`.
    span : float
        Length [m]; NaN for a long tube.
    n : int
        Which tube.

    Returns
    -------
    str

    Examples
    --------
    >>> from tubecalc.tube import Tube
    >>> mode_of(Tube("304", od="60 mm", wall="1.5 mm").sections, "axial", 0.12)
    'three waves round, two half-waves along'
    """
    which = np.broadcast_to(s.index, s.R.shape)[n : n + 1]
    one = Sections(s.walls, which, 2.0 * s.ro[n : n + 1])
    if kind == "bending":
        wrinkles = wrinkling_moment(one, span) <= flattening_moment(one, span)
        return "short waves on the squeezed side" if wrinkles[0] else "the section flattens"
    found = perfect(one, kind, span, bow=False)
    around, m = float(found.around[0]), float(found.along[0])
    waves = "rings" if around == 0.0 else f"{_said(around)} waves round"
    if np.isnan(m):
        return waves
    if kind.startswith("torsion"):
        return f"{waves}, winding along"
    return f"{waves}, {_said(m)} half-wave{'s' if round(m) != 1 else ''} along"


__all__ = [
    "KINDS",
    "Found",
    "critical_axial",
    "critical_bending",
    "critical_pressure",
    "critical_torsion",
    "mode_of",
    "perfect",
    "short_wave_axial",
    "wrinkling_moment",
]
