"""Parity plot: how far every computed value lies from its published one, over its size.

Up and down is the distance in per cent, on a scale that is linear below 0.01 % and logarithmic
beyond, so that agreement to six digits and a factor of two fit one picture. Left and right is the
published number in its own unit: different units share the axis, and no distance is read along it.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

import numpy as np
from numpy.typing import NDArray

from tubecalc.share.scene import Dots, Lines, Points, Scene, Shape, Words

Array = NDArray[np.float64]
_LEFT, _RIGHT, _TOP, _BOTTOM = 58.0, 16.0, 26.0, 42.0
_LINEAR = 0.01  # per cent below which the scale is linear
_TICKS = (0.01, 0.1, 1.0, 10.0, 100.0)
_BAND = 1.0  # per cent, shaded


@dataclass(frozen=True)
class Mark:
    """Values of one verdict.

    Parameters
    ----------
    key, name : str
        Verdict, and its name in the legend.
    values : ndarray
        Published numbers, each in its own unit.
    apart : ndarray
        Computed over published, less one [-].
    colour : str
        Role of the palette.
    hollow : bool
        Drawn as a ring.
    size : float
        Diameter [px].
    """

    key: str
    name: str
    values: Array
    apart: Array
    colour: str = "accent"
    hollow: bool = False
    size: float = 4.6


def stretch(percent: Array) -> Array:
    """Place of a distance on the scale: linear near zero, logarithmic beyond.

    Parameters
    ----------
    percent : ndarray
        Distance [%].

    Returns
    -------
    ndarray
        0 for none, 1 for 0.01 %, one more for every power of ten [-].

    Examples
    --------
    >>> stretch(np.array([0.0, 0.01, 1.0, -100.0])).tolist()
    [0.0, 1.0, 3.0, -5.0]
    """
    size = np.abs(percent) / _LINEAR
    far = 1.0 + np.log10(np.maximum(size, 1.0))
    return np.asarray(np.sign(percent) * np.where(size < 1.0, size, far))


@dataclass(frozen=True)
class _Plot:
    width: float
    height: float
    low: float
    high: float
    reach: float

    def x(self, values: Array) -> Array:
        share = (np.log10(np.abs(values)) - self.low) / (self.high - self.low)
        return np.asarray(_LEFT + share * (self.width - _LEFT - _RIGHT))

    def y(self, percent: Array) -> Array:
        half = (self.height - _TOP - _BOTTOM) / 2
        share = np.clip(stretch(percent) / self.reach, -1.0, 1.0)
        return np.asarray(_TOP + half * (1.0 - share))


def _axes(plot: _Plot) -> list[Shape]:
    right, low = plot.width - _RIGHT, plot.height - _BOTTOM
    y = [float(plot.y(np.array([v]))[0]) for v in (_BAND, -_BAND)]
    box: Points = [(_LEFT, y[0]), (right, y[0]), (right, y[1]), (_LEFT, y[1])]
    shapes: list[Shape] = [Lines([box], "none", 0.0, closed=True, fill="field", fill_opacity=0.75)]
    ticks = [s * t for t in _TICKS for s in (1, -1) if stretch(np.array([t]))[0] <= plot.reach]
    places = [(t, float(plot.y(np.array([t]))[0])) for t in ticks]
    shapes.append(Lines([[(_LEFT, y), (right, y)] for _, y in places], "grid", 1.0))
    zero = float(plot.y(np.zeros(1))[0])
    shapes.append(Lines([[(_LEFT, zero), (right, zero)]], "ink", 1.2))
    shapes.append(Words(_LEFT - 8, zero + 4, "0", "ink", 12, "end"))
    for value, place in places:
        shapes.append(Words(_LEFT - 8, place + 4, f"{value:+g}", anchor="end"))
    step = 2 if plot.width >= 560 else 4
    powers = [p for p in range(-40, 41, step) if plot.low <= p <= plot.high]
    for p in powers:
        x = float(plot.x(np.array([10.0**p]))[0])
        shapes.append(Lines([[(x, low), (x, low + 4)]], "rule", 1.0))
        shapes.append(Words(x, low + 18, _power(p), anchor="middle"))
    shapes.append(Lines([[(_LEFT, low), (right, low)]], "rule", 1.0))
    shapes.append(Words(_LEFT - 44, 13, "computed over published, % apart", size=12))
    middle = (_LEFT + right) / 2
    label = "published number, in its own unit"
    shapes.append(Words(middle, plot.height - 6, label, anchor="middle"))
    return shapes


def _power(p: int) -> str:
    small = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
    return {0: "1", 1: "10", 2: "100"}.get(p, "10" + str(p).translate(small))


def parity(
    marks: Sequence[Mark], *, width: float = 720.0, height: float = 400.0, says: str = "",
    chosen: tuple[str, int] | None = None,
) -> Scene:  # fmt: skip
    """Draw the distances.

    Parameters
    ----------
    marks : sequence of Mark
        One a verdict, the last on top.
    width, height : float
        Size [px].
    says : str
        The picture in words.
    chosen : tuple of str and int, optional
        Key and index of the ringed value.

    Returns
    -------
    Scene
        With the places of its points for the pointer.

    Examples
    --------
    >>> one = Mark("agrees", "agrees", np.array([10.0]), np.array([0.002]))
    >>> parity([one], says="One value.").says
    'One value.'
    """
    used = [m for m in marks if len(m.values)]
    sizes = np.concatenate([np.log10(np.abs(m.values)) for m in used]) if used else np.zeros(1)
    far = np.concatenate([100 * np.abs(m.apart) for m in used]) if used else np.ones(1)
    reach = float(np.max(stretch(np.maximum(far, _BAND)))) + 0.25
    low, high = float(np.min(sizes)) - 0.4, float(np.max(sizes)) + 0.4
    plot = _Plot(width, height, low, high, reach)
    shapes = _axes(plot)
    data = []
    for m in used:
        x, y = plot.x(m.values), plot.y(100 * m.apart)
        fade = 0.55 if m.key == used[0].key and len(used) > 1 and not m.hollow else 1.0
        shapes.append(Dots(x, y, m.colour, m.size, m.hollow, fade))
        data.append({"k": m.key, "x": x.round().astype(int).tolist(),
                     "y": y.round().astype(int).tolist()})  # fmt: skip
        if chosen and chosen[0] == m.key and chosen[1] < len(x):
            shapes += _ring(float(x[chosen[1]]), float(y[chosen[1]]))
    if not used:
        shapes.append(Words(width / 2, height / 2, "nothing to compare here", "ink", 14, "middle"))
    text = json.dumps(data, separators=(",", ":"), ensure_ascii=False)
    extra = f" data-points='{escape(text, quote=False).replace(chr(39), '&#39;')}'"
    return Scene(width, height, tuple(shapes), says, extra)


def _ring(x: float, y: float) -> list[Shape]:
    turns = np.linspace(0, 2 * np.pi, 33).tolist()
    circle: Points = [(x + 8.5 * np.cos(t), y + 8.5 * np.sin(t)) for t in turns]
    return [Lines([circle], "paper", 5.0, closed=True), Lines([circle], "ink", 2.2, closed=True)]
