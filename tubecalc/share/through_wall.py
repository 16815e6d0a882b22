"""Stress through the wall ply by ply, and how far each ply is from its first damage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, isfinite, log10

from tubecalc.share.hatch import strokes
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words

_TOP, _BOTTOM, _LEFT, _STRIP, _GAP = 40.0, 40.0, 52.0, 46.0, 16.0
_HIGH = 300.0
_MOST = 100.0  # reserve at the end of its axis
NAMES = ("along the fibres", "across the fibres", "shear")
DASHES = ("", "6 3", "2 3", "9 3 2 3")


@dataclass(frozen=True)
class Strip:
    """One run of equal plies: hatch, label, thickness, stresses at its faces, reserves.

    Parameters
    ----------
    hatch : str or float
        As in `strokes`.
    label : str
        Which plies.
    thickness : float
        In any unit.
    stress : sequence
        For each place (inner, outer), each the three stresses in the unit shown.
    damage, fibre : float
        Factors on the load [-]; infinite or NaN where there is none.
    """

    hatch: str | float
    label: str
    thickness: float
    stress: Sequence[Sequence[Sequence[float]]]
    damage: float
    fibre: float


def through_picture(
    strips: Sequence[Strip], places: Sequence[str], unit: str, *, width: float = 720.0,
    says: str = "", colour: str = "ink",
) -> Scene:  # fmt: skip
    """Draw the wall unrolled with its stresses beside it, the bore at the foot.

    Parameters
    ----------
    strips : sequence of Strip
        Inside to outside.
    places : sequence of str
        Names of the places round the tube.
    unit : str
        Unit of the stresses.
    width : float
        Of the picture; a narrow one leaves the reserves out [px].
    says : str
        The picture in words.
    colour : str
        Colour role of the wall.

    Returns
    -------
    Scene

    Examples
    --------
    >>> one = Strip(0.0, "1 to 4", 1.0, [[(1.0, 0.0, 0.0), (2.0, 0.0, 0.0)]], 8.0, 12.0)
    >>> through_picture([one], ["all round"], "MPa").width
    720.0
    """
    wide = width >= 560
    total = sum(s.thickness for s in strips)
    ys = [_TOP + _HIGH]
    for s in strips:
        ys.append(ys[-1] - s.thickness / total * _HIGH)
    parts = 4 if wide else 3
    left = _LEFT + _STRIP + _GAP
    panel = (width - left - 8 - _GAP * (parts - 1)) / parts
    shapes = _wall(strips, ys, colour)
    for k, name in enumerate(NAMES):
        x = left + k * (panel + _GAP)
        title = f"{name}, {unit}" if wide else name.split()[0]
        shapes += _panel(strips, ys, k, x, panel, title)
    if wide:
        shapes += _reserves(strips, ys, left + 3 * (panel + _GAP), panel)
    key, low = _key(places, width, left)
    return Scene(width, low + 6, tuple(shapes + key), says)


def _wall(strips: Sequence[Strip], ys: Sequence[float], colour: str) -> list[Shape]:
    out: list[Shape] = []
    boxes: list[Points] = []
    for s, low, high in zip(strips, ys, ys[1:], strict=False):
        pitch = max(3.0, min(5.0, (low - high) / 1.6))
        marks = [
            [(_LEFT + u, high + v) for u, v in path]
            for path in strokes(s.hatch, _STRIP, low - high, pitch)
        ]
        dots = s.hatch == "dots"
        out.append(Lines(marks, colour, 1.9 if dots else 1.0, dot=dots))
        boxes.append([(_LEFT, low), (_LEFT + _STRIP, low), (_LEFT + _STRIP, high), (_LEFT, high)])
        if low - high >= 11:
            out.append(Words(_LEFT - 6, (low + high) / 2 + 4, s.label, size=11, anchor="end"))
    out.append(Lines(boxes, "muted", 0.8, closed=True))
    out.append(Words(_LEFT + _STRIP / 2, _TOP - 6, "outside", size=11, anchor="middle"))
    out.append(Words(_LEFT + _STRIP / 2, ys[0] + 15, "bore", size=11, anchor="middle"))
    return out


def _span(values: Sequence[float]) -> tuple[float, float]:
    low, high = min(0.0, *values), max(0.0, *values)
    if high == low:
        return -1.0, 1.0
    room = 0.06 * (high - low)
    return low - room, high + room


def _frame(ys: Sequence[float], x: float, wide: float, name: str) -> list[Shape]:
    faces: list[Points] = [[(x, y), (x + wide, y)] for y in ys]
    return [
        Lines(faces, "grid", 0.7),
        Lines([[(x, ys[0]), (x + wide, ys[0])]], "rule", 1.0),
        Words(x, _TOP - 20, name, "ink", 12, bold=True),
    ]


def _panel(
    strips: Sequence[Strip], ys: Sequence[float], k: int, x: float, wide: float, name: str
) -> list[Shape]:
    values = [face[k] for s in strips for place in s.stress for face in place]
    low, high = _span(values)

    def at(value: float) -> float:
        return x + (value - low) / (high - low) * wide

    out = _frame(ys, x, wide, name)
    out.append(Lines([[(at(0.0), _TOP), (at(0.0), ys[0])]], "muted", 1.0))
    for place in range(len(strips[0].stress)):
        path: list[tuple[float, float]] = []
        for s, y0, y1 in zip(strips, ys, ys[1:], strict=False):
            inner, outer = s.stress[place]
            path += [(at(inner[k]), y0), (at(outer[k]), y1)]
        out.append(Lines([path], "ink", 1.9, dash=DASHES[place % len(DASHES)]))
    ends = sorted({min(values), max(values)})
    for value in ends:
        if abs(value) > 1e-9 * max(abs(ends[0]), abs(ends[-1]), 1e-30):
            anchor = "start" if at(value) < x + 0.3 * wide else "end"
            out.append(Words(at(value), _TOP - 5 if value > 0 else ys[0] + 15, f"{value:.3g}",
                             size=11, anchor=anchor))  # fmt: skip
    out.append(Words(at(0.0), ys[0] + 29, "0", size=11, anchor="middle"))
    return out


def _reserves(strips: Sequence[Strip], ys: Sequence[float], x: float, wide: float) -> list[Shape]:
    def at(value: float) -> float:
        part = (log10(min(max(value, 0.1), _MOST)) + 1.0) / (log10(_MOST) + 1.0)
        return x + part * wide

    out = _frame(ys, x, wide, "times this load")
    out.append(Lines([[(at(1.0), _TOP), (at(1.0), ys[0])]], "ink", 1.2, dash="5 3"))
    for value in (0.1, 1.0, 10.0, _MOST):
        anchor = "start" if value == 0.1 else "end" if value == _MOST else "middle"
        out.append(Words(at(value), ys[0] + 29, f"{value:g}", size=11, anchor=anchor))
    worst = min((s.damage for s in strips if s.damage == s.damage), default=inf)
    for s, y0, y1 in zip(strips, ys, ys[1:], strict=False):
        if not isfinite(s.damage):
            continue
        high = min(8.0, 0.5 * (y0 - y1))
        y = (y0 + y1) / 2
        end, up, down = at(s.damage), y - high / 2, y + high / 2
        bar: Points = [(x, up), (end, up), (end, down), (x, down)]
        first = s.damage == worst
        out.append(Lines([bar], "ink", 0.8, closed=True, fill="ink" if first else "field"))
        if isfinite(s.fibre):
            out.append(Lines([[(at(s.fibre), y - 6), (at(s.fibre), y + 6)]], "warn", 2.0))
        if first or y0 - y1 >= 13:
            side = at(s.damage) + 4
            if isfinite(s.fibre) and abs(at(s.fibre) - side) < 26:
                side = at(s.fibre) + 5
            out.append(Words(min(side, x + wide - 4), y + 4, f"{s.damage:.3g}", "ink", 11,
                             "start" if side < x + wide - 28 else "end", bold=first,
                             halo=True))  # fmt: skip
    return out


def _key(places: Sequence[str], width: float, left: float) -> tuple[list[Shape], float]:
    """What the lines and marks mean, under the axis, and where that ends."""
    wide = width >= 560
    first = _LEFT if not wide else left
    x, y = first, _TOP + _HIGH + _BOTTOM + 6
    out: list[Shape] = []
    for place, dash in zip(places, DASHES * 2, strict=False):
        if x > first and x + 27 + 6.0 * len(place) > width:
            x, y = first, y + 16
        out.append(Lines([[(x, y - 4), (x + 22, y - 4)]], "ink", 1.9, dash=dash))
        out.append(Words(x + 27, y, place, size=11))
        x += 40 + 6.0 * len(place)
    if wide:
        words = "bar: first damage, mark: fibres"
        y += 16 if x + 6.0 * len(words) > width else 0
        out.append(Words(width - 4, y, words, size=11, anchor="end"))
    return out, y


__all__ = ["NAMES", "Strip", "through_picture"]
