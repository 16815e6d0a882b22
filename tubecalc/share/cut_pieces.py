"""Pieces of a cutting list, unrolled and to scale with their fibres, and where they start."""

from __future__ import annotations

from math import cos, hypot, pi, radians, sin

import numpy as np

from tubecalc.making import CuttingList
from tubecalc.making_pieces import Piece, clip
from tubecalc.share.hatch import slant
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words
from tubecalc.share.wall_picture import spread

WIDTH = 680.0
MOST_PIECES, MOST_STARTS = 24, 24
_LEFT, _RIGHT, _TOP, _GAP = 40.0, 20.0, 30.0, 38.0
_LEAST, _TALLEST = 12.0, 220.0  # height of the narrowest and of the widest piece [px]
CLOCK = 300.0


def _scale(pieces: list[Piece], width: float) -> tuple[float, float]:
    """Pixels per metre, and the length of the pieces that is drawn [m]."""
    room = width - _LEFT - _RIGHT
    whole = room / pieces[0].length
    narrow = _LEAST / min(p.width for p in pieces)
    wide = _TALLEST / max(p.width for p in pieces)
    scale = max(min(whole, wide), min(narrow, wide))
    return scale, min(pieces[0].length, room / scale)


def _title(p: Piece) -> str:
    wraps = "1 wrap" if p.wraps == 1 else f"{p.wraps} wraps"
    strips = f", {len(p.strips)} strips" if len(p.strips) > 1 else ""
    angle = f"{p.angle:+g}°" if p.angle not in (0.0, 90.0, -90.0) else f"{abs(p.angle):g}°"
    return (
        f"{angle} {p.material}: {p.width * 1e3:.1f} × {p.length * 1e3:.6g} mm, {wraps}{strips}, "
        f"start at {p.start:.0f}°"
    )


def _fibres(p: Piece, wide: float, high: float) -> list[Points]:
    angles = (p.angle, p.angle - 90 if p.angle > 0 else p.angle + 90) if p.woven else (p.angle,)
    return [path for a in angles for path in slant(a, wide, high, 6.0)]


def _break(x: float, y: float, high: float) -> Points:
    """Zigzag of a piece that goes on."""
    steps = max(2, round(high / 8))
    return [(x + (4 if k % 2 else -1), y + high * k / steps) for k in range(steps + 1)]


def _piece(p: Piece, y: float, scale: float, shown: float) -> list[Shape]:
    wide, high = shown * scale, p.width * scale
    lap = p.overlap * scale

    def at(u: float, v: float) -> tuple[float, float]:
        return _LEFT + u, y + high - v

    marks = [[(_LEFT + u, y + v) for u, v in path] for path in _fibres(p, wide, high)]
    joints: list[Points] = []
    for s in p.strips[1:]:
        part = clip(s.corners, 1.0, 0.0, shown)
        joints += [[at(a * scale, b * scale) for a, b in edge] for edge in _edge(part, p.angle)]
    box: Points = [at(0, 0), at(wide, 0), at(wide, high), at(0, high)]
    out: list[Shape] = [
        Lines([box], "transparent", 0, closed=True, fill="field"),
        Lines(marks, "muted", 0.8),
        Lines(joints, "ink", 1.8, dash="9 3"),
    ]
    if lap > 1.5:
        out.append(Lines([[at(0, high - lap), at(wide, high - lap)]], "ink", 1.0, dash="2 3"))
    sides: list[Points] = [[at(wide, 0), at(0, 0), at(0, high), at(wide, high)]]
    if shown < p.length * (1 - 1e-9):
        sides.append(_break(_LEFT + wide, y, high))
        out.append(Lines(sides, "ink", 1.2))
    else:
        out.append(Lines([box], "ink", 1.2, closed=True))
    return out


def _edge(part: Points, angle: float) -> list[Points]:
    """Edge of a strip along the fibres where it meets the strip before."""
    if len(part) < 2:
        return []
    ux, uy = cos(radians(angle)), sin(radians(angle))
    sign = -1.0 if angle > 0 else 1.0
    across = [sign * (ux * y - uy * x) for x, y in part]
    low = min(across)
    size = max(hypot(x, y) for x, y in part)
    ends = [c for c, a in zip(part, across, strict=True) if a - low < 1e-9 * size]
    return [ends] if len(ends) > 1 else []


def piece_picture(
    made: CuttingList, *, width: float = WIDTH, most: int = MOST_PIECES
) -> Scene:  # fmt: skip
    """Draw the pieces unrolled, all to one scale, the tube axis level.

    Parameters
    ----------
    made : CuttingList
        The list.
    width : float
        Width of the picture [px].
    most : int
        Pieces drawn; the rest is counted in words [-].

    Returns
    -------
    Scene
        The picture; long pieces are broken off so that narrow ones can be seen.

    Examples
    --------
    >>> from tubecalc.making import cutting_list
    >>> made = cutting_list("roll-wrapped", "1 mm", mandrel="20 mm", length="400 mm")
    >>> piece_picture(made).width
    680.0
    """
    pieces = list(made.pieces[:most])
    scale, shown = _scale(pieces, width)
    head = "seen from outside, tube axis level; lower edge starts, dotted: overlap"
    if any(len(p.strips) > 1 for p in pieces):
        head += ", dashed: joint of strips"
    if shown < pieces[0].length * (1 - 1e-9):
        head += "; broken off"
    shapes: list[Shape] = [Words(_LEFT, 16, head, size=11.5)]
    y = _TOP
    for p in pieces:
        shapes.append(Words(_LEFT - 10, y + 15, str(p.order), "ink", 14, "end", bold=True))
        shapes.append(Words(_LEFT, y + 14, _title(p), "ink", 12))
        shapes += _piece(p, y + 20, scale, shown)
        y += _GAP + p.width * scale
    rest = len(made.pieces) - len(pieces)
    if rest:
        words = "1 more piece is" if rest == 1 else f"{rest} more pieces are"
        shapes.append(Words(_LEFT, y + 12, f"{words} in the table.", size=12))
        y += 20
    says = "Pieces to cut, in the order of rolling. " + " ".join(
        f"{p.order}: {_title(p)}." for p in pieces
    )
    return Scene(width, y, tuple(shapes), says)


def start_picture(made: CuttingList, *, width: float = CLOCK, most: int = MOST_STARTS) -> Scene:
    """Draw the section as a clock: where each piece starts and its overlap ends.

    Parameters
    ----------
    made : CuttingList
        The list.
    width : float
        Width and height of the picture [px].
    most : int
        Pieces drawn; the rest is counted in words [-].

    Returns
    -------
    Scene
        The mark is at the top, angles run clockwise, inner pieces lie further in.

    Examples
    --------
    >>> from tubecalc.making import cutting_list
    >>> made = cutting_list("roll-wrapped", "1 mm", mandrel="20 mm", length="400 mm")
    >>> start_picture(made).height
    322.0
    """
    pieces = list(made.pieces[:most])
    c, outer = width / 2, width / 2 - 46
    inner = 0.42 * outer
    step = (outer - inner) / len(pieces)

    def at(radius: float, turn: float) -> tuple[float, float]:
        a = radians(turn)
        return c + radius * sin(a), c + radius * cos(a) * -1

    def arc(radius: float, low: float, high: float) -> Points:
        turns = np.linspace(low, high, max(2, int((high - low) / 6) + 2)).tolist()
        return [at(radius, t) for t in turns]

    rings: list[Points] = [arc(r, 0, 360) for r in (inner, outer)]
    hours: list[Points] = [[at(outer, 30.0 * k), at(outer + 5, 30.0 * k)] for k in range(12)]
    shapes: list[Shape] = [
        Lines(rings, "muted", 0.9, closed=True), Lines(hours, "rule", 1.0),
        Lines([[at(inner - 14, 0), at(outer + 10, 0)]], "warn", 1.2, dash="5 3"),
        Words(c, 11, "mark", "ink", 12, "middle", bold=True),
        Words(c, c - 3, "mandrel", size=12, anchor="middle"),
        Words(c, c + 13, f"{made.asked.mandrel * 1e3:.4g} mm", "ink", 12, "middle"),
    ]  # fmt: skip
    for k, p in enumerate(pieces):
        low, high = inner + k * step, inner + (k + 1) * step
        lap = 360 * p.overlap / (pi * (p.outside - p.thickness))
        shapes.append(Lines([arc((low + high) / 2, p.start, p.start + lap)], "muted",
                            max(1.5, 0.5 * step)))  # fmt: skip
        shapes.append(Lines([[at(low, p.start), at(high, p.start)]], "ink", 2.2))
    shapes += _numbers(pieces, outer, c, width)
    words = "inner pieces further in; clockwise; grey: overlap"
    shapes.append(Words(c, width + 2, words, size=11, anchor="middle"))
    rest = len(made.pieces) - len(pieces)
    if rest:
        shapes.append(Words(c, width + 17, f"and {rest} more in the table", size=11,
                            anchor="middle"))  # fmt: skip
    says = "Start of each piece, clockwise from the mark: " + ", ".join(
        f"{p.order} at {p.start:.0f} degrees" for p in pieces
    )
    return Scene(width, width + 22, tuple(shapes), says + ".")


def _numbers(pieces: list[Piece], outer: float, c: float, width: float) -> list[Shape]:
    """Order of each piece outside the ring, kept apart round it."""
    gap = 360 * 17 / (2 * pi * (outer + 20))
    places = spread([p.start for p in pieces], gap, 0.0, 360.0 - gap)
    return [
        Words(c + (outer + 20) * sin(radians(t)), c - (outer + 20) * cos(radians(t)) + 4,
              str(p.order), "ink", 12, "middle", bold=True, halo=True)
        for p, t in zip(pieces, places, strict=True)
    ]  # fmt: skip


__all__ = ["CLOCK", "MOST_PIECES", "MOST_STARTS", "WIDTH", "piece_picture", "start_picture"]
