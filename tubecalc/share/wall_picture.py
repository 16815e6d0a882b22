"""The wall to scale: a piece of the ring, every ply hatched in its fibre direction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import asin, cos, radians, sin

import numpy as np

from tubecalc.share.hatch import bent, strokes
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words

WIDTH, HEIGHT = 330.0, 186.0
_LABELS = 46.0
_WIDEST, _NARROWEST = radians(52), radians(3)  # half of the piece that is shown
_TALLEST = 84.0


@dataclass(frozen=True)
class Band:
    """One run of equal plies, counted from the bore outwards.

    Parameters
    ----------
    hatch : str or float
        Angle of the fibres from the tube axis [deg], or a hatch name ("woven", "dots").
    label : str
        Short name at the edge, for example "0°" or "woven".
    thickness : float
        Thickness of the run, in any unit that the diameters share.
    plies : int
        How many plies the run holds [-].
    colour : str
        Colour role.
    """

    hatch: str | float
    label: str
    thickness: float
    plies: int = 1
    colour: str = "ink"


@dataclass(frozen=True)
class _Ring:
    """Placement of the ring piece on the picture."""

    cx: float
    cy: float
    scale: float
    half: float

    def at(self, radius: float, turn: float) -> tuple[float, float]:
        r = radius * self.scale
        return self.cx + r * sin(turn), self.cy - r * cos(turn)

    def arc(self, radius: float, *, back: bool = False) -> list[tuple[float, float]]:
        turns = np.linspace(-self.half, self.half, 25).tolist()
        return [self.at(radius, t) for t in (reversed(turns) if back else turns)]


def _place(outer: float, wall: float, width: float) -> _Ring:
    reach = (width - 2 * _LABELS) / 2
    scale = min(_TALLEST / wall, reach / sin(_NARROWEST) / outer)
    half = asin(min(sin(_WIDEST), reach / (outer * scale)))
    tall = outer * scale - (outer - wall) * scale * cos(half)
    top = max(8.0, (HEIGHT - 48 - tall) / 2)
    return _Ring(width / 2 - 8, top + outer * scale, scale, half)


def spread(
    wanted: Sequence[float], gap: float | Sequence[float], low: float, high: float
) -> list[float]:
    """Move labels along a line as little as needed to keep them apart.

    Parameters
    ----------
    wanted : sequence of float
        Where the middle of each label would like to be [px].
    gap : float or sequence of float
        Height of the labels, one for all or one each [px].
    low, high : float
        Ends of the line for the middles [px].

    Returns
    -------
    list of float
        Positions in the order given [px]. Too many labels for the line are set closer.

    Examples
    --------
    >>> spread([10, 12, 50], 10, 0, 100)
    [6.0, 16.0, 50.0]
    """
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    if not order:
        return []
    heights = [float(gap) if isinstance(gap, (int, float)) else float(gap[i]) for i in order]
    steps = [0.0]
    for above, below in pairwise(heights):
        steps.append(steps[-1] + (above + below) / 2)
    if steps[-1] > high - low:
        steps = [s * (high - low) / steps[-1] for s in steps]
    pools: list[list[float]] = []  # [sum, count]: least-squares fit that does not decrease
    for i, step in zip(order, steps, strict=True):
        pools.append([float(wanted[i]) - step, 1.0])
        while len(pools) > 1 and pools[-2][0] / pools[-2][1] > pools[-1][0] / pools[-1][1]:
            total, count = pools.pop()
            pools[-1][0] += total
            pools[-1][1] += count
    means = [total / count for total, count in pools for _ in range(int(count))]
    last = high - steps[-1]
    out = [0.0] * len(order)
    for i, mean, step in zip(order, means, steps, strict=True):
        out[i] = min(max(mean, low), last) + step
    return out


def _band(ring: _Ring, band: Band, inner: float, pitch: float) -> list[Shape]:
    outer = inner + band.thickness
    length = 2 * ring.half * (inner + outer) / 2 * ring.scale
    height = band.thickness * ring.scale

    def place(x: float, y: float) -> tuple[float, float]:
        return ring.at(outer - y / ring.scale, (x / length * 2 - 1) * ring.half)

    edge: Points = ring.arc(outer) + ring.arc(inner, back=True)
    marks = bent(strokes(band.hatch, length, height, pitch), place)
    dots = band.hatch == "dots"
    return [
        Lines([edge], colour="transparent", width=0, closed=True, fill=band.colour,
              fill_opacity=0.10),
        Lines(marks, colour=band.colour, width=1.9 if dots else 1.1,
              dot=dots),
        Lines([edge], colour="muted", width=0.7, closed=True),
    ]  # fmt: skip


def ring_piece(
    bands: Sequence[Band], bore: float, top: tuple[float, float], scale: float, half: float
) -> list[Shape]:
    """Draw a piece of a ring, its plies hatched, where it is wanted and at a given scale.

    Parameters
    ----------
    bands : sequence of Band
        Runs of plies from the bore outwards.
    bore : float
        Diameter, in the unit of the thicknesses.
    top : tuple of float
        Where the highest point of the outside lies [px].
    scale : float
        Pixels per unit of the thicknesses.
    half : float
        Half of the angle shown [rad].

    Returns
    -------
    list of Shape
        From the bore outwards.

    Examples
    --------
    >>> len(ring_piece([Band(0.0, "0°", 1.0)], 8.0, (50.0, 10.0), 20.0, 0.2))
    3
    """
    outer = bore / 2 + sum(b.thickness for b in bands)
    ring = _Ring(top[0], top[1] + outer * scale, scale, half)
    thin = min(b.thickness for b in bands) * scale
    pitch = max(3.0, min(5.0, thin / 1.6))
    shapes: list[Shape] = []
    radius = bore / 2
    for band in bands:
        shapes += _band(ring, band, radius, pitch)
        radius += band.thickness
    return shapes


def _labels(ring: _Ring, bands: Sequence[Band], bore: float) -> list[Shape]:
    middles, radius = [], bore
    for b in bands:
        middles.append(radius + b.thickness / 2)
        radius += b.thickness
    if len(bands) > 9:
        return []
    ends = [ring.at(m, ring.half) for m in middles]
    places = spread([y for _, y in ends], 13.0, 12.0, HEIGHT - 40)
    out: list[Shape] = []
    side = max(x for x, _ in ends) + 10
    for b, (x, y), place in zip(bands, ends, places, strict=True):
        text = f"{b.label} ×{b.plies}" if b.plies > 1 else b.label
        out.append(Lines([[(x + 1, y), (side - 2, place)]], colour="rule", width=0.8))
        out.append(Words(side, place + 4, text, size=11.5))
    return out


def _inset(outer: float, bore: float, half: float, cx: float, cy: float) -> list[Shape]:
    """Draw the whole section, small, with the piece that is shown above marked."""
    k = 17 / outer
    full = np.linspace(0, 2 * np.pi, 49).tolist()
    part = np.linspace(-max(half, 0.12), max(half, 0.12), 13).tolist()

    def ring(r: float, turns: Sequence[float]) -> list[tuple[float, float]]:
        return [(cx + r * k * sin(t), cy - r * k * cos(t)) for t in turns]

    out: list[Shape] = [Lines([ring(outer, full), ring(bore, full)], "muted", 0.9, closed=True)]
    piece = ring(outer, part) + ring(bore, part[::-1])
    out.append(Lines([piece], "ink", 1.0, closed=True, fill="ink"))
    return out


def wall_picture(
    bands: Sequence[Band], outside: float, bore: float, *, texts: tuple[str, str], says: str = ""
) -> Scene:
    """Draw a piece of the ring to scale.

    Parameters
    ----------
    bands : sequence of Band
        Runs of plies from the bore outwards; their thicknesses fill the wall.
    outside, bore : float
        Diameters, in the unit of the thicknesses.
    texts : tuple of str
        Bore and outside diameter with units, as shown.
    says : str
        The picture in words.

    Returns
    -------
    Scene
        The picture.

    Examples
    --------
    >>> bands = [Band(90.0, "90°", 0.5), Band(0.0, "0°", 0.5)]
    >>> wall_picture(bands, 10, 8, texts=("8 mm", "10 mm")).width
    330.0
    """
    outer, inner = outside / 2, bore / 2
    ring = _place(outer, outer - inner, WIDTH)
    thin = min(b.thickness for b in bands) * ring.scale
    pitch = max(3.0, min(5.0, thin / 1.6))
    shapes: list[Shape] = []
    radius = inner
    for band in bands:
        shapes += _band(ring, band, radius, pitch)
        radius += band.thickness
    shapes += _labels(ring, bands, inner)
    base = HEIGHT - 22
    shapes += _inset(outer, inner, ring.half, 26, base - 1)
    shapes.append(Words(54, base - 5, f"bore {texts[0]}", size=11.5))
    shapes.append(Words(54, base + 11, f"outside {texts[1]}", size=11.5))
    shapes.append(Words(WIDTH - 4, base - 5, "hatch: fibre direction,", size=11, anchor="end"))
    shapes.append(Words(WIDTH - 4, base + 11, "tube axis left to right", size=11, anchor="end"))
    return Scene(WIDTH, HEIGHT, tuple(shapes), says)


def swatch(hatch: str, colour: str, width: float = 30.0, height: float = 14.0) -> Scene:
    """Draw a small hatched sample of a construction.

    Parameters
    ----------
    hatch : str
        Hatch name.
    colour : str
        Colour role.
    width, height : float
        Size [px].

    Returns
    -------
    Scene
        The picture.

    Examples
    --------
    >>> swatch("hoop", "ink").height
    14.0
    """
    marks = strokes(hatch, width, height, 4.0)
    dots = hatch == "dots"
    box = [(0.5, 0.5), (width - 0.5, 0.5), (width - 0.5, height - 0.5), (0.5, height - 0.5)]
    return Scene(
        width,
        height,
        (
            Lines([box], "transparent", 0, closed=True, fill=colour, fill_opacity=0.12),
            Lines(marks, colour, 1.9 if dots else 1.1, dot=dots),
            Lines([box], colour, 1.0, closed=True),
        ),
        "",
    )
