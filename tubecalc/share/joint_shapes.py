"""Shapes that the pictures of joints share: rings, arrows, sizes, hatched pieces of a tube."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import cos, hypot, pi, sin

import numpy as np

from tubecalc.share.hatch import strokes
from tubecalc.share.letters import folded, width_of
from tubecalc.share.scene import Lines, Points, Shape, Words

At = tuple[float, float]


def circle(radius: float, at: At, start: float = 0.0, end: float = 2 * pi) -> Points:
    """Points of a circle or of a part of it.

    Parameters
    ----------
    radius : float
        [px].
    at : tuple of float
        Its middle [px].
    start, end : float
        Angles from the right, clockwise on the screen [rad].

    Returns
    -------
    list of points

    Examples
    --------
    >>> [round(x) for x in circle(10.0, (0.0, 0.0))[18]]
    [0, 10]
    """
    count = max(3, round(72 * abs(end - start) / (2 * pi)))
    turns = np.linspace(start, end, count + 1).tolist()
    return [(at[0] + radius * cos(t), at[1] + radius * sin(t)) for t in turns]


def sector(inner: float, outer: float, at: At, start: float, end: float) -> Points:
    """Outline of a piece of a ring.

    Parameters
    ----------
    inner, outer : float
        Radii [px].
    at : tuple of float
        Middle [px].
    start, end : float
        Angles [rad].

    Returns
    -------
    list of points

    Examples
    --------
    >>> len(sector(5.0, 10.0, (0.0, 0.0), 0.0, 3.14)) > 20
    True
    """
    return [*circle(outer, at, start, end), *reversed(circle(inner, at, start, end))]


def ring(inner: float, outer: float, at: At, fill: str, opacity: float) -> list[Shape]:
    """Cross-section of a tube; its bore shows the paper."""
    out: list[Shape] = [
        Lines([circle(outer, at)], "ink", 1.1, closed=True, fill=fill, fill_opacity=opacity)
    ]
    if inner > 0.5:
        out.append(Lines([circle(inner, at)], "ink", 1.1, closed=True, fill="paper"))
    return out


def box(x0: float, y0: float, x1: float, y1: float) -> Points:
    """Corners of a rectangle."""
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def hatched(kind: str, x0: float, y0: float, x1: float, y1: float, pitch: float = 6.0) -> Lines:
    """Hatch of a construction in a box.

    Parameters
    ----------
    kind : str
        Hatch of the construction.
    x0, y0, x1, y1 : float
        The box, upper left and lower right [px].
    pitch : float
        Between strokes [px].

    Returns
    -------
    Lines
    """
    paths = [[(x0 + u, y0 + v) for u, v in p] for p in strokes(kind, x1 - x0, y1 - y0, pitch)]
    dots = kind == "dots"
    return Lines(paths, "muted", 1.4 if dots else 0.7, dot=dots)


def arrow(start: At, end: At, colour: str = "warn", width: float = 1.6) -> Lines:
    """Arrow from one place to another.

    Parameters
    ----------
    start, end : tuple of float
        [px].
    colour : str
        Role.
    width : float
        Of the pen [px].

    Returns
    -------
    Lines

    Examples
    --------
    >>> len(arrow((0, 0), (20, 0)).paths)
    2
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    long = hypot(dx, dy) or 1.0
    ux, uy, head = dx / long, dy / long, min(5.0, long / 2.0)
    left = (end[0] - head * ux + 0.75 * head * uy, end[1] - head * uy - 0.75 * head * ux)
    right = (end[0] - head * ux - 0.75 * head * uy, end[1] - head * uy + 0.75 * head * ux)
    return Lines([[start, end], [left, end, right]], colour, width)


def size_line(x0: float, x1: float, y: float, text: str, *, above: bool = True) -> list[Shape]:
    """Level line with ticks at its ends and its size in words.

    Parameters
    ----------
    x0, x1, y : float
        Ends and height [px].
    text : str
        The size.
    above : bool
        Words above the line, else below.

    Returns
    -------
    list of Shape
    """
    ticks: Sequence[Points] = [[(x0, y), (x1, y)], [(x0, y - 4), (x0, y + 4)],
                               [(x1, y - 4), (x1, y + 4)]]  # fmt: skip
    return [
        Lines(ticks, "muted", 1.0),
        Words((x0 + x1) / 2, y - 6 if above else y + 14, text, "ink", 11.5, "middle", halo=True),
    ]


def kept(words: Words, left: float, right: float) -> Words:
    """A line of text, moved sideways as far as it takes to lie between two edges.

    Parameters
    ----------
    words : Words
        The line; one that is wider than the room begins at its left edge.
    left, right : float
        Edges [px].

    Returns
    -------
    Words

    Examples
    --------
    >>> kept(Words(95.0, 10.0, "long words"), 0.0, 100.0).x < 60.0
    True
    """
    wide = width_of(words.text, words.size, bold=words.bold)
    start = words.x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[words.anchor]
    return replace(words, x=words.x + max(min(start, right - wide), left) - start)


def rows(text: str, x: float, y: float, wide: float, colour: str = "muted", size: float = 11.5,
         *, bold: bool = False, pitch: float = 15.0) -> list[Words]:  # fmt: skip
    """Text folded to lines below one another.

    Parameters
    ----------
    text : str
        The text.
    x, y : float
        Where its first line begins [px].
    wide : float
        Room [px].
    colour : str
        Role.
    size : float
        Height of the letters [px].
    bold : bool
        Whether it is bold.
    pitch : float
        From line to line [px].

    Returns
    -------
    list of Words

    Examples
    --------
    >>> [w.text for w in rows("one two three", 0.0, 10.0, 60.0, size=10.0)]
    ['one two', 'three']
    """
    return [Words(x, y + pitch * n, line, colour, size, bold=bold)
            for n, line in enumerate(folded(text, wide, size, bold=bold))]  # fmt: skip


__all__ = ["arrow", "box", "circle", "hatched", "kept", "ring", "rows", "sector", "size_line"]
