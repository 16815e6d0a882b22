"""Hatches that follow the fibres: the signature of the pictures.

A hatch is drawn as seen from the side of the tube with the axis lying left to right: axial fibres
are level lines, hoop fibres upright ones, a wound wall slants at its own angle, metals are dotted.
"""

from __future__ import annotations

from collections.abc import Callable
from math import cos, hypot, radians, sin

import numpy as np

from tubecalc.share.scene import Points

Place = Callable[[float, float], tuple[float, float]]

_ANGLES = {
    "axial": (0.0,),
    "hoop": (90.0,),
    "cross": (0.0, 90.0),
    "bias": (45.0, -45.0),
    "helix": (55.0,),
}


def _clip(
    x: float, y: float, dx: float, dy: float, w: float, h: float
) -> tuple[float, float] | None:
    """Part of a line (as two parameters) that lies in the box 0..w, 0..h."""
    low, high = -1e9, 1e9
    for start, step, size in ((x, dx, w), (y, dy, h)):
        if abs(step) < 1e-9:
            if not 0 <= start <= size:
                return None
            continue
        a, b = sorted((-start / step, (size - start) / step))
        low, high = max(low, a), min(high, b)
    return (low, high) if high - low > 0.4 else None


def slant(angle: float, width: float, height: float, pitch: float) -> list[Points]:
    """Parallel strokes at an angle, clipped to a box.

    Parameters
    ----------
    angle : float
        From the level, anticlockwise [deg].
    width, height : float
        Size of the box [px].
    pitch : float
        Distance between strokes [px].

    Returns
    -------
    list of points
        Two-point strokes, y downwards.

    Examples
    --------
    >>> slant(0, 10, 6, 3)
    [[(0.0, 1.5), (10.0, 1.5)], [(0.0, 4.5), (10.0, 4.5)]]
    """
    dx, dy = cos(radians(angle)), -sin(radians(angle))
    dx, dy = (0.0 if abs(v) < 1e-12 else v for v in (dx, dy))
    nx, ny = -dy, dx
    offsets = [nx * u + ny * v for u, v in ((0, 0), (width, 0), (0, height), (width, height))]
    first = np.floor(min(offsets) / pitch) * pitch + pitch / 2
    out: list[Points] = []
    for offset in np.arange(first, max(offsets), pitch).tolist():
        x, y = nx * offset, ny * offset
        part = _clip(x, y, dx, dy, width, height)
        if part:
            (a, b) = part
            out.append([(x + a * dx, y + a * dy), (x + b * dx, y + b * dy)])
    return out


def _woven(width: float, height: float, cell: float) -> list[Points]:
    """Over and under: little groups of level and upright strokes in a chequer."""
    out: list[Points] = []
    for row, y in enumerate(np.arange(0, height - 0.3, cell).tolist()):
        for col, x in enumerate(np.arange(0, width - 0.3, cell).tolist()):
            w, h = min(cell, width - x), min(cell, height - y)
            for t in (0.3, 0.7):
                if (row + col) % 2:
                    out.append([(x + 0.4, y + t * h), (x + w - 0.4, y + t * h)])
                else:
                    out.append([(x + t * w, y + 0.4), (x + t * w, y + h - 0.4)])
    return out


def _random(width: float, height: float, pitch: float) -> list[Points]:
    """Short strokes in every direction, the same ones every time."""
    rng = np.random.default_rng(7)
    count = max(3, int(width * height / (pitch * pitch * 1.3)))
    out: list[Points] = []
    for u, v, turn in rng.random((count, 3)).tolist():
        x, y, a = u * width, v * height, turn * 180
        dx, dy = 0.8 * pitch * cos(radians(a)), 0.8 * pitch * sin(radians(a))
        part = _clip(x, y, dx, dy, width, height)
        if part:
            a, b = max(part[0], -1.0), min(part[1], 1.0)
            if b - a > 0.3:
                out.append([(x + a * dx, y + a * dy), (x + b * dx, y + b * dy)])
    return out


def _dots(width: float, height: float, pitch: float) -> list[Points]:
    """Dots, written as strokes of no length."""
    rows = max(1, round(height / pitch))
    out: list[Points] = []
    for row in range(rows):
        y = (row + 0.5) * height / rows
        start = pitch / 2 if row % 2 else pitch
        out += [[(x, y), (x + 0.01, y)] for x in np.arange(start, width, pitch).tolist()]
    return out


def strokes(kind: str | float, width: float, height: float, pitch: float = 4.0) -> list[Points]:
    """Strokes of a hatch in a box.

    Parameters
    ----------
    kind : str or float
        Hatch name, or the angle of a ply from the tube axis [deg].
    width, height : float
        Size of the box [px].
    pitch : float
        Distance between strokes [px].

    Returns
    -------
    list of points
        Strokes inside the box.

    Examples
    --------
    >>> len(strokes("hoop", 12, 5, 4))
    3
    """
    if isinstance(kind, (int, float)):
        return slant(float(kind), width, height, pitch)
    if kind == "woven":
        return _woven(width, height, 1.6 * pitch)
    if kind == "random":
        return _random(width, height, pitch)
    if kind == "dots":
        return _dots(width, height, pitch)
    out: list[Points] = []
    for angle in _ANGLES.get(kind, (0.0,)):
        out += slant(angle, width, height, pitch)
    return out


def bent(paths: list[Points], place: Place, step: float = 6.0) -> list[Points]:
    """Carry strokes from a flat box on to a curve, cutting long ones into short pieces.

    Parameters
    ----------
    paths : list of points
        Strokes in the flat box.
    place : callable
        (x, y) in the box -> (x, y) in the picture.
    step : float
        Longest piece [px].

    Returns
    -------
    list of points
        Strokes in the picture.

    Examples
    --------
    >>> bent([[(0.0, 0.0), (4.0, 0.0)]], lambda x, y: (x + 1, y))
    [[(1.0, 0.0), (5.0, 0.0)]]
    """
    out: list[Points] = []
    for path in paths:
        (x0, y0), (x1, y1) = path[0], path[-1]
        n = max(1, int(hypot(x1 - x0, y1 - y0) / step))
        out.append([place(x0 + (x1 - x0) * i / n, y0 + (y1 - y0) * i / n) for i in range(n + 1)])
    return out
