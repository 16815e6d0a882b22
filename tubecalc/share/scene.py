"""A picture as a list of plain shapes, drawn alike on screen (SVG) and in print (matplotlib).

Coordinates are pixels of the screen picture, y downwards. Colours are roles of
`tubecalc.share.palette` ("ink", "line:pultruded"), so that a dark screen and white paper can show
the same picture.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape

import numpy as np
from numpy.typing import NDArray

Points = Sequence[tuple[float, float]]


@dataclass(frozen=True)
class Lines:
    """Polylines of one pen; `dot` draws each path as a round dot at its first point."""

    paths: Sequence[Points]
    colour: str = "ink"
    width: float = 1.0
    dash: str = ""
    closed: bool = False
    fill: str = "none"
    fill_opacity: float = 1.0
    dot: bool = False


@dataclass(frozen=True)
class Dots:
    """Round points of one size, filled or hollow."""

    x: NDArray[np.float64]
    y: NDArray[np.float64]
    colour: str = "ink"
    size: float = 5.0
    hollow: bool = False
    opacity: float = 1.0


@dataclass(frozen=True)
class Words:
    """One line of text."""

    x: float
    y: float
    text: str
    colour: str = "muted"
    size: float = 12.0
    anchor: str = "start"
    bold: bool = False
    rotate: float = 0.0
    halo: bool = False


Shape = Lines | Dots | Words


@dataclass(frozen=True)
class Scene:
    """A picture: size in pixels, shapes from back to front, and what it says in words."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    says: str = ""
    extra: str = field(default="", compare=False)


def _num(value: float) -> str:
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text


def _paint(role: str) -> str:
    kind, _, slug = role.partition(":")
    if slug:
        return f"var(--tc-{kind}-{slug})"
    return role if role in ("none", "transparent") else f"var(--tc-{role})"


def _path(path: Points, end: str) -> str:
    numbers = tuple(round(v, 1) for point in path for v in point)
    return ("M%g %g" + "L%g %g" * (len(path) - 1)) % numbers + end


def _svg_lines(s: Lines) -> str:
    if s.dot:
        d = "".join(f"M{_num(path[0][0])} {_num(path[0][1])}h0" for path in s.paths)
        pen = f'stroke="{_paint(s.colour)}" stroke-width="{s.width:g}" stroke-linecap="round"'
        return f'<path d="{d}" fill="none" {pen}/>'
    d = "".join(_path(path, "Z" if s.closed else "") for path in s.paths if path)
    dash = f' stroke-dasharray="{s.dash}"' if s.dash else ""
    fade = f' fill-opacity="{s.fill_opacity:g}"' if s.fill_opacity < 1 else ""
    return (
        f'<path d="{d}" fill="{_paint(s.fill)}"{fade} stroke="{_paint(s.colour)}" '
        f'stroke-width="{s.width:g}"{dash} stroke-linejoin="round"/>'
    )


def _svg_dots(s: Dots, name: str) -> str:
    if not len(s.x):
        return ""
    numbers = np.column_stack((s.x, s.y)).round(1).ravel().tolist()
    d = ("M%g %gh0" * len(s.x)) % tuple(numbers)
    pen = f'fill="none" stroke-linecap="round" opacity="{s.opacity:g}"'
    if not s.hollow:
        return f'<path d="{d}" {pen} stroke="{_paint(s.colour)}" stroke-width="{s.size:g}"/>'
    return (
        f'<defs><path id="{name}" d="{d}"/></defs><g {pen}>'
        f'<use href="#{name}" stroke="{_paint(s.colour)}" stroke-width="{s.size:g}"/>'
        f'<use href="#{name}" stroke="var(--tc-paper)" stroke-width="{s.size - 2.2:g}"/></g>'
    )


def _svg_words(s: Words) -> str:
    turn = f' transform="rotate({s.rotate:g} {_num(s.x)} {_num(s.y)})"' if s.rotate else ""
    bold = ' font-weight="700"' if s.bold else ""
    halo = (
        ' paint-order="stroke" stroke="var(--tc-paper)" stroke-width="3.5" stroke-linejoin="round"'
        if s.halo
        else ""
    )
    return (
        f'<text x="{_num(s.x)}" y="{_num(s.y)}" font-size="{s.size:g}" text-anchor="{s.anchor}" '
        f'fill="{_paint(s.colour)}"{bold}{halo}{turn}>{escape(s.text)}</text>'
    )


def svg(scene: Scene, css_class: str = "", *, hidden: bool = False) -> str:
    """Write a scene as an SVG element whose colours follow the page.

    Parameters
    ----------
    scene : Scene
        The picture.
    css_class : str
        Class of the element.
    hidden : bool
        True for a layer that another element already says in words.

    Returns
    -------
    str
        One <svg> element.

    Examples
    --------
    >>> svg(Scene(10, 10, (), "An empty picture."))[:53]
    '<svg class="" viewBox="0 0 10 10" width="10" height="'
    """
    body = []
    for n, s in enumerate(scene.shapes):
        if isinstance(s, Lines):
            body.append(_svg_lines(s))
        elif isinstance(s, Dots):
            body.append(_svg_dots(s, f"tc-dots-{n}"))
        else:
            body.append(_svg_words(s))
    label = 'aria-hidden="true"' if hidden else f'role="img" aria-label="{escape(scene.says)}"'
    return (
        f'<svg class="{css_class}" viewBox="0 0 {_num(scene.width)} {_num(scene.height)}" '
        f'width="{_num(scene.width)}" height="{_num(scene.height)}" {label}{scene.extra}>'
        f"{''.join(body)}</svg>"
    )
