"""Geometry of rolled plies: path round the mandrel, strips of the roll, where seams start.

A piece lies flat with x along the tube and y round it, as the finished tube shows it from outside.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]
Polygon = tuple[Point, ...]

GOLDEN_TURN = 360.0 * (3.0 - math.sqrt(5.0)) / 2.0  # 137.508 deg
LEAST_STEP = 100.0  # two plies that follow one another start at least this far apart [deg]


@dataclass(frozen=True)
class Strip:
    """One strip of the roll within a piece: its corners in the flat piece, its length [m]."""

    corners: Polygon
    length: float


@dataclass(frozen=True)
class Piece:
    """One piece to cut and roll: lengths in m, angles in deg, density in kg/m3.

    `plies` are the first and last ply of the stack that it makes, the innermost is 1; `inside` is
    the diameter on which it is rolled, `path` its way round without overlap.
    """

    order: int
    plies: tuple[int, int]
    material: str
    angle: float
    woven: bool
    thickness: float
    density: float
    inside: float
    path: float
    overlap: float
    length: float
    strips: tuple[Strip, ...]
    start: float = 0.0

    @property
    def wraps(self) -> int:
        """How often it goes round."""
        return self.plies[1] - self.plies[0] + 1

    @property
    def width(self) -> float:
        """Developed width: path and overlap [m]."""
        return self.path + self.overlap

    @property
    def outside(self) -> float:
        """Diameter over the piece [m]."""
        return self.inside + 2 * self.wraps * self.thickness

    @property
    def end(self) -> float:
        """Where the outer edge comes to lie, from the mark [deg]."""
        last = math.pi * (self.outside - self.thickness)
        return (self.start + 360.0 * self.overlap / last) % 360.0

    @property
    def mass(self) -> float:
        """Mass of the piece as cut [kg]."""
        return self.width * self.length * self.thickness * self.density


def path_of(inside: float, thickness: float, wraps: int) -> float:
    """Way round of a ply that is rolled up several times.

    Parameters
    ----------
    inside : float
        Diameter it starts on [m].
    thickness : float
        Of one wrap [m].
    wraps : int
        Whole turns [-].

    Returns
    -------
    float
        Developed length at the middle of the ply, without overlap [m].

    Notes
    -----
    Each wrap is a circle at the middle of its ply: the sum of pi (d + (2 k - 1) t) over k = 1..n
    is pi n (d + n t). Times the thickness it is exactly the area of the ring that the wraps fill,
    so the mass is that of the wall. A middle line that climbs steadily from d/2 + t/2 to one t more
    a turn (an Archimedean spiral) is pi n t longer, one that climbs from d/2 agrees to second
    order; the real ply lies on the round mandrel and steps up once a turn, at its own edge.
    Source: geometry, derived here.

    Examples
    --------
    >>> round(path_of(10e-3, 0.125e-3, 1) * 1e3, 3)
    31.809
    """
    return math.pi * wraps * (inside + wraps * thickness)


def across(width: float, length: float, angle: float) -> float:
    """Extent of a rectangle across the fibres.

    Parameters
    ----------
    width, length : float
        Round and along the tube [m].
    angle : float
        Fibres from the tube axis [deg].

    Returns
    -------
    float
        The roll width it needs when cut in one [m].

    Examples
    --------
    >>> round(across(3.0, 4.0, 90.0), 6), round(across(3.0, 4.0, 0.0), 6)
    (4.0, 3.0)
    """
    a = math.radians(abs(angle))
    return length * math.sin(a) + width * math.cos(a)


def clip(corners: Sequence[Point], nx: float, ny: float, most: float) -> Polygon:
    """Part of a convex polygon where nx x + ny y is at most a value.

    Parameters
    ----------
    corners : sequence of point
        The polygon.
    nx, ny, most : float
        The straight edge.

    Returns
    -------
    tuple of point
        What is left, perhaps nothing.

    Examples
    --------
    >>> clip([(0, 0), (2, 0), (2, 1), (0, 1)], 1, 0, 1.5)
    ((0, 0), (1.5, 0.0), (1.5, 1.0), (0, 1))
    """
    out: list[Point] = []
    for (x0, y0), (x1, y1) in zip(corners, [*corners[1:], *corners[:1]], strict=True):
        a, b = nx * x0 + ny * y0 - most, nx * x1 + ny * y1 - most
        if a <= 0:
            out.append((x0, y0))
        if a * b < 0:
            s = a / (a - b)
            out.append((x0 + s * (x1 - x0), y0 + s * (y1 - y0)))
    return tuple(out) if len(out) > 2 else ()


def strips_of(width: float, length: float, angle: float, roll: float) -> tuple[Strip, ...]:
    """Strips of the roll, edge to edge along the fibres, that make one flat piece.

    Parameters
    ----------
    width, length : float
        Round and along the tube [m].
    angle : float
        Fibres from the tube axis; plus rises to the right as seen from outside, axis level [deg].
    roll : float
        Width of the roll [m].

    Returns
    -------
    tuple of Strip
        One where the piece can be cut whole.

    Examples
    --------
    >>> len(strips_of(0.1, 1.0, 90.0, 0.3)), len(strips_of(0.1, 1.0, 0.0, 0.3))
    (4, 1)
    """
    a = math.radians(angle)
    ux, uy = math.cos(a), math.sin(a)  # along the fibres
    nx, ny = (uy, -ux) if angle > 0 else (-uy, ux)  # across them; whole strips from the left
    box = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    places = [nx * x + ny * y for x, y in box]
    low, high = min(places), max(places)
    count = max(1, math.ceil((high - low) / roll * (1 - 1e-9)))
    out = []
    for k in range(count):
        part: Polygon = clip(box, -nx, -ny, -(low + k * roll)) if k else box
        part = clip(part, nx, ny, low + (k + 1) * roll) if k < count - 1 else part
        if part:
            along = [ux * x + uy * y for x, y in part]
            out.append(Strip(part, max(along) - min(along)))
    return tuple(out)


def starts(count: int) -> list[float]:
    """Where each piece starts round the tube, so that seams do not stack.

    Parameters
    ----------
    count : int
        Number of pieces, inside to outside [-].

    Returns
    -------
    list of float
        From the mark on the mandrel [deg].

    Notes
    -----
    The turn is divided evenly into as many places as there are pieces (one more where the number
    allows no good step), and the places are taken in the step nearest to the golden angle of
    137.5 degrees that visits every place. Then no two pieces start at the same place, any two are
    at least 360 / (count + 1) degrees apart, and two that follow one another at least 100 degrees.
    Source: three-distance theorem, Sos 1957 (MEMORY); that seams are spread is common practice, no
    source.

    Examples
    --------
    >>> starts(5)
    [0.0, 144.0, 288.0, 72.0, 216.0]
    """
    if count <= 1:
        return [0.0] * count
    places = count
    while True:
        steps = [m for m in range(1, places // 2 + 1)
                 if math.gcd(m, places) == 1 and 360.0 * m / places >= LEAST_STEP]  # fmt: skip
        if steps:
            step = min(steps, key=lambda m: abs(360.0 * m / places - GOLDEN_TURN))
            return [(k * step % places) * 360.0 / places for k in range(count)]
        places += 1


__all__ = ["GOLDEN_TURN", "LEAST_STEP", "Piece", "Strip", "across", "clip", "path_of", "starts",
           "strips_of"]  # fmt: skip
