"""Load over travel to failure, one line a tube, with yield, first damage and the end marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10
from textwrap import wrap

import numpy as np

from tubecalc.share.scene import Lines, Points, Scene, Shape, Words
from tubecalc.share.wall_picture import spread

_LEFT, _TOP, _BOTTOM = 62.0, 14.0, 66.0
_LEGEND = 186.0
MARKS = {
    "yield": "yield", "first": "first damage", "end": "carries no more", "flows": "flows on",
}  # fmt: skip


@dataclass(frozen=True)
class Trace:
    """One tube: number, name, style, corners of the line, marks as (x, y, kind), what ends it."""

    number: int
    name: str
    slug: str
    corners: tuple[tuple[float, float], ...]
    marks: tuple[tuple[float, float, str], ...]
    flows: bool
    ends: str
    dashed: bool = False


def _ticks(most: float, count: int) -> list[float]:
    """Round values from nil up to the most."""
    if most <= 0:
        return [0.0, 1.0]
    rough = most / count
    power = 10.0 ** floor(log10(rough))
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= rough * 0.999)
    return [k * step for k in range(ceil(most / step - 1e-9) + 1)]


def _say(value: float) -> str:
    return f"{value:,.0f}".replace(",", "\u202f") if value >= 1000 else f"{value:g}"


def _cross(x: float, y: float, colour: str) -> list[Shape]:
    paths: list[Points] = [[(x - 5, y - 5), (x + 5, y + 5)], [(x - 5, y + 5), (x + 5, y - 5)]]
    return [Lines(paths, "paper", 5.0), Lines(paths, colour, 2.2)]


def _ring(x: float, y: float, colour: str) -> list[Shape]:
    turns = np.linspace(0, 2 * np.pi, 25).tolist()
    path: Points = [(x + 4.6 * np.cos(t), y + 4.6 * np.sin(t)) for t in turns]
    return [Lines([path], colour, 1.8, closed=True, fill="paper")]


def _diamond(x: float, y: float, colour: str) -> list[Shape]:
    path: Points = [(x, y - 6), (x + 6, y), (x, y + 6), (x - 6, y)]
    return [Lines([path], colour, 1.8, closed=True, fill="paper")]


def _grid(
    xs: Sequence[float], ys: Sequence[float], px: Points, labels: tuple[str, str], width: float,
    height: float, right: float,
) -> list[Shape]:  # fmt: skip
    bottom = height - _BOTTOM
    across: list[Points] = [[(_LEFT, y), (right, y)] for _, y in px[len(xs) :]]
    up: list[Points] = [[(x, _TOP), (x, bottom)] for x, _ in px[: len(xs)]]
    out: list[Shape] = [Lines(across, "grid", 1.0), Lines(up, "grid", 0.6)]
    out.append(Lines([[(_LEFT, _TOP), (_LEFT, bottom), (right, bottom)]], "rule", 1.0))
    for value, (x, _) in zip(xs, px, strict=False):
        out.append(Words(x, bottom + 17, _say(value), anchor="middle"))
    for value, (_, y) in zip(ys, px[len(xs) :], strict=True):
        out.append(Words(_LEFT - 8, y + 4, _say(value), anchor="end"))
    out.append(Words((_LEFT + right) / 2, bottom + 34, labels[0], anchor="middle"))
    out.append(Words(13, (_TOP + bottom) / 2, labels[1], anchor="middle", rotate=-90))
    return out


def _key(y: float, kinds: Sequence[str], right: float, *, flows: bool) -> tuple[list[Shape], float]:
    """What the marks mean, under the axis, and the height it takes beyond its first line."""
    out: list[Shape] = []
    x, low = _LEFT + 6, y
    for kind in [*kinds, *(["flows"] if flows else [])]:
        words = MARKS[kind]
        wide = 26 + 6.2 * len(words)
        if x + wide > right + 16 and x > _LEFT + 6:
            x, low = _LEFT + 6, low + 17
        out += _DRAW[kind](x, low - 4, "ink")
        out.append(Words(x + 12, low, words, size=11.5))
        x += wide
    return out, low - y


def _arrow(x: float, y: float, colour: str) -> list[Shape]:
    return [Lines([[(x - 7, y - 5), (x + 3, y), (x - 7, y + 5)]], colour, 2.0)]


_DRAW = {"yield": _ring, "first": _diamond, "end": _cross, "flows": _arrow}


def _legend(traces: Sequence[Trace], x: float, y: float, width: float) -> tuple[list[Shape], float]:
    """Number, line and name of every tube, and what ends it."""
    out: list[Shape] = []
    for t in traces:
        dash = "7 3" if t.dashed else ""
        out.append(Lines([[(x, y - 4), (x + 22, y - 4)]], f"line:{t.slug}", 2.4, dash=dash))
        for text in wrap(f"{t.number} {t.name}", int((width - 30) / 6.7))[:3]:
            out.append(Words(x + 30, y, text, colour=f"text:{t.slug}", size=12.5, bold=True))
            y += 15
        for text in wrap(t.ends, int((width - 30) / 6.0))[:3]:
            out.append(Words(x + 30, y, text, size=11.5))
            y += 14
        y += 8
    return out, y


def line_picture(
    traces: Sequence[Trace], labels: tuple[str, str], *, width: float = 720.0,
    height: float = 400.0, says: str = "", empty: str = "",
) -> Scene:  # fmt: skip
    """Draw load over travel.

    Parameters
    ----------
    traces : sequence of Trace
        In the units shown.
    labels : tuple of str
        Names of travel and load with units.
    width, height : float
        Size; a narrow picture has its legend below and is taller [px].
    says : str
        The picture in words.
    empty : str
        Words in the plot when there is nothing to draw.

    Returns
    -------
    Scene
        The picture.

    Examples
    --------
    >>> one = Trace(1, "a", "a", ((0, 0), (1, 2)), ((1, 2, "end"),), False, "breaks at 2 N")
    >>> line_picture([one], ("sag, mm", "load, N")).width
    720.0
    """
    wide = width >= 560
    right = width - (_LEGEND + 22 if wide else 18)
    bottom = height - _BOTTOM
    ends = [p for t in traces for p in t.corners]
    xs = _ticks(max((x for x, _ in ends), default=1.0), 7 if wide else 4)
    ys = _ticks(max((y for _, y in ends), default=1.0), 6)

    def at(x: float, y: float) -> tuple[float, float]:
        return (
            _LEFT + x / xs[-1] * (right - _LEFT), bottom - y / ys[-1] * (bottom - _TOP)
        )  # fmt: skip

    px = [at(x, 0.0) for x in xs] + [at(0.0, y) for y in ys]
    shapes = _grid(xs, ys, px, labels, width, height, right)
    for t in traces:
        path: Points = [at(*p) for p in t.corners]
        shapes.append(Lines([path], "paper", 4.6))
        shapes.append(Lines([path], f"line:{t.slug}", 2.4, dash="7 3" if t.dashed else ""))
    tips = [at(*t.corners[-1]) for t in traces]
    places = spread([y for _, y in tips], 15.0, _TOP + 6, bottom - 4)
    for t, (x, y), place in zip(traces, tips, places, strict=True):
        if t.flows:
            shapes += _arrow(x, y, f"line:{t.slug}")
        for mx, my, kind in t.marks:
            shapes += _DRAW[kind](*at(mx, my), f"line:{t.slug}")
        shapes.append(Words(min(x + 9, right + 6), place + 4, str(t.number), f"text:{t.slug}", 13,
                            bold=True, halo=True))  # fmt: skip
    kinds = [k for k in MARKS if any(m[2] == k for t in traces for m in t.marks)]
    key, more = _key(height - 8, kinds, right, flows=any(t.flows for t in traces))
    shapes += key
    x, y = (right + 28, _TOP + 12) if wide else (_LEFT, height + more + 20)
    legend, low = _legend(traces, x, y, _LEGEND if wide else width - _LEFT)
    shapes += legend
    if empty:
        shapes.append(Words((_LEFT + right) / 2, height / 2, empty, "ink", 14, "middle", bold=True,
                            halo=True))  # fmt: skip
    return Scene(width, max(height + more, low), tuple(shapes), says)
