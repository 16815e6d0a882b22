"""The main chart: what passes (filled), what fails (hollow), the best that passes (line).

The frame (axes) and the layer (points, lines, labels) are separate pictures of one size, so that a
moving slider redraws only the layer.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from html import escape
from math import ceil, floor, log10
from textwrap import wrap

import numpy as np
from numpy.typing import NDArray

from tubecalc.share.scene import Dots, Lines, Points, Scene, Shape, Words, svg
from tubecalc.share.wall_picture import spread

Array = NDArray[np.float64]
_LEFT, _TOP, _BOTTOM = 62.0, 14.0, 46.0


@dataclass(frozen=True)
class Series:
    """Candidates of one construction or metal.

    Parameters
    ----------
    key, name, slug : str
        Key, name on screen, and colour name of the style.
    x, y : ndarray
        Outside diameter and measure of every candidate, in the units shown.
    passes : ndarray of bool
        Which candidates pass.
    dashed : bool
        Metals are dashed.
    """

    key: str
    name: str
    slug: str
    x: Array
    y: Array
    passes: NDArray[np.bool_]
    dashed: bool = False


@dataclass(frozen=True)
class Axes:
    """What the frame depends on, and nothing else.

    Parameters
    ----------
    x, y : tuple of float
        Ends of the axes, in the units shown; the y axis is logarithmic.
    x_label, y_label : str
        Names with units.
    width, height : float
        Size of the picture [px].
    """

    x: tuple[float, float]
    y: tuple[float, float]
    x_label: str
    y_label: str
    width: float = 720.0
    height: float = 430.0

    @property
    def margin(self) -> float:
        """Room for the labels at the right [px]."""
        return 150.0 if self.width >= 560 else 112.0

    @property
    def right(self) -> float:
        """Right edge of the plot [px]."""
        return self.width - self.margin

    @property
    def bottom(self) -> float:
        """Lower edge of the plot [px]."""
        return self.height - _BOTTOM

    def px(self, x: Array) -> Array:
        """Pixels of x values."""
        low, high = self.x
        return _LEFT + (x - low) / (high - low) * (self.right - _LEFT)

    def py(self, y: Array) -> Array:
        """Pixels of y values."""
        low, high = np.log10(self.y[0]), np.log10(self.y[1])
        share = (np.log10(np.maximum(y, 1e-300)) - low) / (high - low)
        result: Array = self.bottom - share * (self.bottom - _TOP)
        return result


@dataclass(frozen=True)
class Picture:
    """Everything the layer shows.

    Parameters
    ----------
    series : tuple of Series
        One a construction.
    selected : tuple of float or None
        x and y of the ringed candidate, in the units shown.
    best_is_low : bool
        True when the lightest is best, False for stiffness or strength per mass.
    says : str
        The chart in words.
    empty : str
        Words in the plot when there is nothing to draw.
    """

    series: tuple[Series, ...]
    selected: tuple[float, float] | None = None
    best_is_low: bool = True
    says: str = ""
    empty: str = ""
    units: tuple[str, str] = field(default=("mm", "g/m"))


def nice_range(low: float, high: float) -> tuple[float, float]:
    """Widen an interval to round ends, so that the frame seldom changes.

    Parameters
    ----------
    low, high : float
        Interval.

    Returns
    -------
    tuple of float
        Rounded outwards, by an eighth of the span or so.

    Examples
    --------
    >>> nice_range(10, 40)
    (10.0, 40.0)
    >>> nice_range(9.4, 40.6)
    (5.0, 45.0)
    """
    step = _step((high - low) / 8 or high / 8 or 1.0)
    return floor(low / step + 1e-9) * step, ceil(high / step - 1e-9) * step


def nice_log(low: float, high: float) -> tuple[float, float]:
    """Widen a log interval to 1, 2 or 5 times a power of ten.

    Parameters
    ----------
    low, high : float
        Interval, above zero.

    Returns
    -------
    tuple of float
        Rounded outwards.

    Examples
    --------
    >>> nice_log(43, 840)
    (20.0, 1000.0)
    """
    steps = [m * 10.0**e for e in range(-9, 10) for m in (1, 2, 5)]
    below = max(s for s in steps if s <= low * 0.97)
    above = min(s for s in steps if s >= high * 1.03)
    return below, above


def _step(rough: float) -> float:
    power = 10.0 ** floor(log10(rough))
    return next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= rough * 0.999)


def _x_ticks(axes: Axes) -> list[float]:
    low, high = axes.x
    step = _step((high - low) / (8 if axes.width >= 560 else 5))
    return [k * step for k in range(ceil(low / step - 1e-9), floor(high / step + 1e-9) + 1)]


def _y_ticks(axes: Axes) -> list[float]:
    low, high = axes.y
    decades = log10(high / low)
    marks: tuple[float, ...] = (1, 2, 5) if decades <= 3.4 else (1,)
    ticks = [m * 10.0**e for e in range(-9, 10) for m in marks]
    return [t for t in ticks if low * 0.999 <= t <= high * 1.001]


def _thousands(value: float) -> str:
    return f"{value:,.0f}".replace(",", "\u202f") if value >= 1000 else f"{value:g}"


def frame(axes: Axes) -> Scene:
    """Grid, ticks and names of the axes.

    Parameters
    ----------
    axes : Axes
        The axes.

    Returns
    -------
    Scene
        The frame.

    Examples
    --------
    >>> frame(Axes((10, 40), (20, 1000), "outside, mm", "mass, g/m")).width
    720.0
    """
    xs, ys = _x_ticks(axes), _y_ticks(axes)
    px, py = axes.px(np.array(xs)).tolist(), axes.py(np.array(ys)).tolist()
    grid: list[Points] = [[(_LEFT, y), (axes.right, y)] for y in py]
    uprights: list[Points] = [[(x, _TOP), (x, axes.bottom)] for x in px]
    shapes: list[Shape] = [Lines(grid, "grid", 1.0), Lines(uprights, "grid", 0.6)]
    shapes.append(Lines([[(_LEFT, axes.bottom), (axes.right, axes.bottom)]], "rule", 1.0))
    for value, x in zip(xs, px, strict=True):
        shapes.append(Words(x, axes.bottom + 18, f"{value:g}", anchor="middle"))
    for value, y in zip(ys, py, strict=True):
        shapes.append(Words(_LEFT - 8, y + 4, _thousands(value), anchor="end"))
    middle = (_LEFT + axes.right) / 2
    shapes.append(Words(middle, axes.height - 8, axes.x_label, anchor="middle"))
    y = (_TOP + axes.bottom) / 2
    shapes.append(Words(13, y, axes.y_label, anchor="middle", rotate=-90))
    return Scene(axes.width, axes.height, tuple(shapes), "")


def best_line(series: Series, *, low: bool = True) -> tuple[Array, Array]:
    """Find the best candidate that passes at each outside diameter.

    Parameters
    ----------
    series : Series
        The candidates.
    low : bool
        True when the lowest y is best.

    Returns
    -------
    tuple of ndarray
        x and y of the line.

    Examples
    --------
    >>> s = Series("k", "n", "k", np.array([1., 1., 2.]), np.array([5., 4., 3.]),
    ...            np.array([True, True, False]))
    >>> best_line(s)
    (array([1.]), array([4.]))
    """
    x, y = series.x[series.passes], series.y[series.passes]
    order = np.lexsort((y if low else -y, x))
    x, y = x[order], y[order]
    first = np.ones(len(x), dtype=bool)
    first[1:] = np.diff(x) > 1e-9
    return x[first], y[first]


def _wrap(name: str, narrow: bool) -> list[str]:
    return wrap(name, 15 if narrow else 19, break_long_words=False, break_on_hyphens=False)


def _labels(axes: Axes, ends: list[tuple[Series, float, float, bool]]) -> list[Shape]:
    """Name every line at the right; a thin leader runs from its end to its name."""
    narrow = axes.width < 560
    size = 11.0 if narrow else 12.5
    texts = [_wrap(s.name, narrow) for s, *_ in ends]
    line = size + 2.5
    heights = [len(lines) * line + 5 for lines in texts]
    places = spread([y for _, _, y, _ in ends], heights, _TOP + 12, axes.bottom - 8)
    out: list[Shape] = []
    at = axes.right + (12 if narrow else 20)
    for (s, x, y, passed), lines, middle in zip(ends, texts, places, strict=True):
        if passed:
            path = [(x + 4, y), (axes.right + 4, y), (at - 3, middle)]
            out.append(Lines([path], f"line:{s.slug}", 0.9, dash="1.5 3"))
        for k, text in enumerate(lines):
            place = middle + (k - (len(lines) - 1) / 2) * line + 4
            colour = f"text:{s.slug}" if passed else "muted"
            out.append(Words(at, place, text, colour=colour, size=size, bold=passed))
    return out


def layer(axes: Axes, picture: Picture) -> Scene:
    """Points, lines, labels and the ring around the selected tube.

    Parameters
    ----------
    axes : Axes
        The axes of the frame.
    picture : Picture
        What to show.

    Returns
    -------
    Scene
        The layer, the size of the frame.
    """
    hollow: list[Shape] = []
    filled: list[Shape] = []
    halos: list[Shape] = []
    lines: list[Shape] = []
    ends: list[tuple[Series, float, float, bool]] = []
    missing = axes.bottom - 4
    for s in picture.series:
        px, py, ok = axes.px(s.x), axes.py(s.y), s.passes
        colour = f"line:{s.slug}"
        hollow.append(Dots(px[~ok], py[~ok], colour, 5.0, hollow=True, opacity=0.6))
        filled.append(Dots(px[ok], py[ok], colour, 4.8, opacity=0.75))
        bx, by = best_line(s, low=picture.best_is_low)
        if len(bx):
            qx, qy = axes.px(bx).tolist(), axes.py(by).tolist()
            path: Points = list(zip(qx, qy, strict=True))
            halos.append(Lines([path], "paper", 4.6))
            lines.append(Lines([path], colour, 2.4, dash="7 3" if s.dashed else ""))
            ends.append((s, qx[-1], qy[-1], True))
        elif len(px):
            missing_series = Series(s.key, f"{s.name}: none", s.slug, s.x, s.y, s.passes)
            ends.append((missing_series, axes.right, missing, False))
    shapes = hollow + filled + halos + lines + _labels(axes, ends) + _ring(axes, picture)
    if picture.empty:
        middle = (_LEFT + axes.right) / 2
        shapes.append(
            Words(middle, axes.height / 2, picture.empty, "ink", 14, "middle", bold=True, halo=True)
        )
    return Scene(axes.width, axes.height, tuple(shapes), picture.says)


def _ring(axes: Axes, picture: Picture) -> list[Shape]:
    if picture.selected is None:
        return []
    x = float(axes.px(np.array(picture.selected[0])))
    y = float(axes.py(np.array(picture.selected[1])))
    turns = np.linspace(0, 2 * np.pi, 33).tolist()
    circle: Points = [(x + 8.5 * np.cos(t), y + 8.5 * np.sin(t)) for t in turns]
    foot: Points = [(x, y + 9), (x, axes.bottom)]
    return [
        Lines([foot], "ink", 1.0, dash="2 3"),
        Lines([circle], "paper", 5.0, closed=True),
        Lines([circle], "ink", 2.2, closed=True),
    ]


def points_attribute(axes: Axes, picture: Picture) -> str:
    """Where every candidate lies, for the pointer (an attribute of the layer).

    Parameters
    ----------
    axes : Axes
        The axes.
    picture : Picture
        What is shown.

    Returns
    -------
    str
        ` data-points='...'`, compact JSON.
    """
    data = [
        {
            "k": s.key,
            "x": np.round(axes.px(s.x)).astype(int).tolist(),
            "y": np.round(axes.py(s.y)).astype(int).tolist(),
        }
        for s in picture.series
    ]
    text = json.dumps(data, separators=(",", ":"), ensure_ascii=False)
    return f" data-points='{escape(text, quote=False).replace(chr(39), '&#39;')}'"


def layer_svg(axes: Axes, picture: Picture) -> str:
    """Layer as an SVG element that knows where its points lie.

    Parameters
    ----------
    axes : Axes
        The axes.
    picture : Picture
        What to show.

    Returns
    -------
    str
        One <svg> element.
    """
    scene = layer(axes, picture)
    marked = Scene(
        scene.width, scene.height, scene.shapes, scene.says, points_attribute(axes, picture)
    )
    return svg(marked, "tc-layer")
