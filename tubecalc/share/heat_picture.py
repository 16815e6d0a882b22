"""Temperatures of an assembly on one axis: what each member stands, its margin, what is asked."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from tubecalc.joining.heat import Heat, Member, degrees, kelvins
from tubecalc.share.hatch import slant
from tubecalc.share.joint_shapes import box, kept, rows
from tubecalc.share.letters import folded
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words
from tubecalc.unit_display import in_unit, unit_label

WIDTH, SLIM = 680.0, 350.0
_TOP, _BAR = 58.0, 20.0
_ROOM = 20.0  # degC, where the axis begins unless something is colder


class _Room(NamedTuple):
    """Room of a drawing [px]: width, ends of the axis; names beside the bars or above them."""

    width: float
    left: float
    right: float
    beside: bool

    def named(self, m: Member) -> list[str]:
        """Lines of a member's name."""
        if self.beside:
            return folded(m.name, self.left - 22, 11.0, most=2)
        return folded(m.name, self.width - 16, 11.0)

    def row(self, m: Member) -> float:
        """Height of a member's row."""
        return 48.0 if self.beside else 62.0 + 13.0 * len(self.named(m))


_BROAD_ROOM, _SLIM_ROOM = _Room(WIDTH, 176.0, 606.0, True), _Room(SLIM, 8.0, 258.0, False)


def heat_picture(heat: Heat, error: float, system: str = "SI", *, slim: bool = False) -> Scene:
    """Draw what each member of an assembly stands, the weakest first.

    Parameters
    ----------
    heat : Heat
        The assembly.
    error : float
        Expected error of the temperature asked [K].
    system : str
        Display system.
    slim : bool
        For a small screen: half as wide, the names above the bars.

    Returns
    -------
    Scene

    Examples
    --------
    >>> from tubecalc.joining.heat import weakest
    >>> found = weakest("pultruded", temperature="70 degC", adhesive_glass="54 degC")
    >>> heat_picture(found, 5.0).says[:47]
    '70 °C asked. Adhesive, own adhesive: good to 26'
    """
    members = sorted(heat.members, key=lambda m: math.inf if math.isnan(m.limit) else m.limit)
    ends = [v for m in members for v in (m.limit, m.glass) if math.isfinite(v)]
    asked = heat.temperature
    low = min([_ROOM, asked - error, *ends])
    high = max([asked + error, *ends])
    low, high = low - 0.02 * (high - low), high + 0.06 * (high - low)
    room = _SLIM_ROOM if slim else _BROAD_ROOM
    scale = (room.right - room.left) / (high - low)

    def px(value: float) -> float:
        return room.left + (value - low) * scale

    tops = _TOP + np.cumsum([0.0, *(room.row(m) for m in members)])
    bottom = float(tops[-1])
    shapes: list[Shape] = [
        *_axis(low, high, bottom, system, room),
        Lines([box(px(asked - error), _TOP - 10, px(asked + error), bottom)], "transparent", 0.0,
              closed=True, fill="warn", fill_opacity=0.12),
    ]  # fmt: skip
    for top, m in zip(tops.tolist(), members, strict=False):
        shapes += _member(m, asked, top, px, system, room)
    words = Words(min(px(asked), room.right - 60), _TOP - 18, f"{_plain(asked, system)} asked",
                  "warn", 12.5, "middle", bold=True)  # fmt: skip
    legend = "bar: good to; hatched: margin up to where it softens"
    legend += f"; shaded: {kelvins(error, system)} either way" if error else ""
    told = rows(legend, room.left, bottom + 52, room.width - room.left - 4)
    shapes += [
        Lines([[(px(asked), _TOP - 10), (px(asked), bottom)]], "warn", 2.0),
        kept(words, 4.0, room.width - 4),
        *told,
    ]
    shapes.sort(key=lambda s: isinstance(s, Words))  # no line runs through a word
    return Scene(room.width, told[-1].y + 12, tuple(shapes), _says(members, asked, system))


def _plain(value: float, system: str) -> str:
    return degrees(value, system).replace("-", "\u2212")


def _axis(low: float, high: float, bottom: float, system: str, room: _Room) -> list[Shape]:
    """Temperature axis in the unit shown."""
    a, b = (in_unit(x, "temperature", system) for x in (low, high))
    power = 10.0 ** math.floor(math.log10((b - a) / 5.0))
    step = next(m * power for m in (1, 2, 5, 10) if m * power >= (b - a) / 6.0)
    grid: list[Points] = []
    out: list[Shape] = []
    for value in np.arange(math.ceil(a / step) * step, b + 1e-9, step).tolist():
        x = room.left + (value - a) / (b - a) * (room.right - room.left)
        grid.append([(x, _TOP - 10), (x, bottom)])
        text = f"{value:.0f}".replace("-", "\u2212")
        out.append(Words(x, bottom + 16, text, size=11, anchor="middle"))
    return [
        Lines(grid, "grid", 1.0),
        Lines([[(room.left, bottom), (room.right, bottom)]], "rule", 1.0),
        Words(room.right, bottom + 32, f"temperature, {unit_label('temperature', system)}", "ink",
              12, "end"),
        *out,
    ]  # fmt: skip


def _member(m: Member, asked: float, top: float, px: Callable[[float], float],
            system: str, room: _Room) -> list[Shape]:  # fmt: skip
    names = room.named(m)
    y0 = top + 4 if room.beside else top + 19 + 13 * len(names)
    y1, first = y0 + _BAR, top + 12
    out: list[Shape] = [Words(8, first, m.part, "ink", 12.5, bold=True, halo=True)]
    for n, line in enumerate(names):
        out.append(Words(8, first + 14 + 13 * n, line, size=11, halo=True))
    if math.isnan(m.limit):
        return [*out, Words(room.left + 8, y1 - 5, "not known", "ink", 12)]
    limit = px(m.limit)
    bar = box(room.left, y0, max(limit, room.left + 1), y1)
    out.append(Lines([bar], "ink", 1.1, closed=True, fill="accent", fill_opacity=0.34))
    if math.isfinite(m.glass) and m.glass > m.limit:
        glass = px(m.glass)
        out.append(Lines([box(limit, y0, glass, y1)], "ink", 0.9, closed=True, fill="paper"))
        marks = [[(limit + u, y0 + v) for u, v in p] for p in slant(45, glass - limit, _BAR, 5.0)]
        out.append(Lines(marks, "muted", 0.9))
        out.append(Lines([[(glass, y0 - 3), (glass, y1 + 3)]], "ink", 1.8))
        softens = Words(glass, y1 + 14, f"softens {degrees(m.glass, system)}", "ink", 11,
                        "middle" if glass < room.right - 30 else "end", halo=True)  # fmt: skip
        out.append(kept(softens, 4.0, room.width - 4))
    fits = limit - room.left > 56
    out.append(Words(limit - 4 if fits else limit + 4, y0 + 14, _plain(m.limit, system), "ink",
                     11.5, "end" if fits else "start", bold=True, halo=True))  # fmt: skip
    spare = m.limit - asked
    mark, sign = ("✓", "+") if spare >= 0 else ("✗", "\u2212")
    out.append(Words(room.width - 4, y0 + 14, f"{mark} {sign}{kelvins(abs(spare), system)}",
                     "ink" if spare >= 0 else "warn", 12.5, "end", bold=True))  # fmt: skip
    return out


def _says(members: list[Member], asked: float, system: str) -> str:
    said = [f"{degrees(asked, system)} asked."]
    for m in members:
        head = f"{m.part.capitalize()}, {m.name}: "
        if math.isnan(m.limit):
            said.append(f"{head}not known.")
            continue
        spare = m.limit - asked
        text = f"{head}good to {degrees(m.limit, system)}"
        if math.isfinite(m.glass):
            text += f", softens at {degrees(m.glass, system)}"
        text += f", {kelvins(abs(spare), system)} {'to spare' if spare >= 0 else 'too little'}."
        said.append(text)
    return " ".join(said)


__all__ = ["SLIM", "WIDTH", "heat_picture"]
