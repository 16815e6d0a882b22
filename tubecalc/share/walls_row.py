"""Walls side by side, all to one scale: a hatched piece of each ring, and each whole section."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, ceil, radians, sin
from textwrap import wrap

import numpy as np

from tubecalc.share.scene import Lines, Points, Scene, Shape, Words
from tubecalc.share.wall_picture import Band, ring_piece
from tubecalc.tube import Tube

_PIECE, _SECTION = 58.0, 74.0  # height of the thickest wall and of the largest section [px]
_LEAST = 150.0  # width of one tube [px]
_WIDEST = radians(40)


@dataclass(frozen=True)
class Wall:
    """One tube of the row: number and name, its bands, its diameters, words under it."""

    number: int
    name: str
    bands: tuple[Band, ...]
    outside: float
    bore: float
    size: str
    note: str
    slug: str


def bands(tube: Tube, colour: str) -> tuple[Band, ...]:
    """Runs of equal plies of a tube, from the bore outwards.

    Parameters
    ----------
    tube : Tube
        One tube.
    colour : str
        Colour role.

    Returns
    -------
    tuple of Band
        Thickness in m.

    Examples
    --------
    >>> [b.label for b in bands(Tube("304", od="10 mm", wall="1 mm"), "ink")]
    ['metal']
    """
    out: list[Band] = []
    for ply in tube.layup.plies:
        values = ply.values
        if values.isotropic:
            hatch: str | float = "dots"
            label = "metal"
        elif values.woven:
            hatch, label = "woven", "woven"
        else:
            hatch = float(ply.angle)
            label = f"{ply.angle:+g}°" if ply.angle % 90 else f"{abs(ply.angle):g}°"
        count = 1 if tube.construction.continuous else ply.count
        thick = ply.thickness * ply.count
        if out and (out[-1].hatch, out[-1].label) == (hatch, label):
            last = out.pop()
            thick, count = thick + last.thickness, count + last.plies
        out.append(Band(hatch, label, thick, count, colour))
    return tuple(out)


def _scales(walls: Sequence[Wall], column: float) -> tuple[float, float]:
    """Pixels per unit of the pieces and of the whole sections."""
    thickest = max((w.outside - w.bore) / 2 for w in walls)
    largest = max(w.outside for w in walls)
    return _PIECE / thickest, min(_SECTION, column - 40) / largest


def _section(w: Wall, cx: float, bottom: float, scale: float) -> list[Shape]:
    turns = np.linspace(0, 2 * np.pi, 61)

    def ring(r: float) -> Points:
        x, y = cx + r * scale * np.sin(turns), bottom - w.outside / 2 * scale
        return list(zip(x.tolist(), (y - r * scale * np.cos(turns)).tolist(), strict=True))

    colour = f"line:{w.slug}"
    if w.bore <= 0:
        return [Lines([ring(w.outside / 2)], colour, 1.2, closed=True, fill=colour,
                      fill_opacity=0.35)]  # fmt: skip
    thick = (w.outside - w.bore) / 2 * scale
    middle = ring((w.outside + w.bore) / 4)
    edges = [ring(w.outside / 2), ring(w.bore / 2)]
    return [
        Lines([middle], colour, max(thick, 0.8), closed=True),
        Lines(edges, "ink", 0.7, closed=True),
    ]


def _column(
    w: Wall, left: float, top: float, width: float, scales: tuple[float, float]
) -> list[Shape]:
    cx = left + width / 2
    lines = wrap(f"{w.number}  {w.name}", max(14, int(width / 7.4)))[:3]
    out: list[Shape] = [
        Words(cx, top + 14 + 15 * k, text, colour=f"text:{w.slug}", size=12.5, anchor="middle",
              bold=True)
        for k, text in enumerate(lines)
    ]  # fmt: skip
    scale = scales[0]
    half = asin(min(sin(_WIDEST), (width / 2 - 16) / (w.outside / 2 * scale)))
    crown = top + 62
    out += ring_piece(w.bands, w.bore, (cx, crown), scale, half)
    base = crown + _PIECE + 26 + _SECTION
    out += _section(w, cx, base, scales[1])
    out.append(Words(cx, base + 18, w.size, colour="ink", size=12, anchor="middle"))
    out.append(Words(cx, base + 33, w.note, size=11.5, anchor="middle"))
    return out


def walls_row(walls: Sequence[Wall], width: float = 720.0) -> Scene:
    """Draw walls side by side to one scale.

    Parameters
    ----------
    walls : sequence of Wall
        In order; diameters in the unit of the bands.
    width : float
        Room [px]; as many rows as it takes.

    Returns
    -------
    Scene
        The picture, which says its sizes.

    Examples
    --------
    >>> one = Wall(1, "steel", (Band("dots", "metal", 1.0),), 20.0, 18.0, "20 x 18", "1 mm", "a")
    >>> walls_row([one, one], 400.0).height
    278.0
    """
    most = max(1, int(width // _LEAST))
    rows = ceil(len(walls) / most)
    per = ceil(len(walls) / rows)
    column = width / per
    scales = _scales(walls, min(column, 230.0))
    tall = 62 + _PIECE + 26 + _SECTION + 58
    shapes: list[Shape] = []
    for k, w in enumerate(walls):
        shapes += _column(w, (k % per) * column, (k // per) * tall, column, scales)
    said = "; ".join(f"{w.number} {w.name}, {w.size}, {w.note}" for w in walls)
    return Scene(width, rows * tall, tuple(shapes), f"Walls side by side to one scale: {said}.")
