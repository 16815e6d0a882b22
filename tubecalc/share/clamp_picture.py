"""A split clamp on a tube: section with the pressure round it, and the grip from the side."""

from __future__ import annotations

import math
from itertools import pairwise
from math import cos, pi, sin
from typing import NamedTuple

import numpy as np

from tubecalc.joining.clamps import Clamp
from tubecalc.share.joint_shapes import At, arrow, box, circle, hatched, ring, sector, size_line
from tubecalc.share.scene import Lines, Scene, Shape, Words
from tubecalc.tube import Tube
from tubecalc.unit_words import rough

WIDTH, SLIM, HEIGHT = 680.0, 350.0, 300.0
_LARGEST = 62.0
_BODY, _SPLIT = 20.0, 0.09  # of the clamp round the tube [px]; half of a slit [rad]
_WIDE, _LUG = 140.0, 1.4  # room beside the tube [px]; width of a lug over its screw
_PEAK, _ALONG = 30.0, 244.0  # longest arrow, longest clamp from the side [px]


class _Room(NamedTuple):
    """Room of a drawing [px].

    Size, middle of the section, its line of words; from the side: ends, axis, first line of words.
    """

    width: float
    height: float
    at: At
    words: float
    side: float
    right: float
    axis: float
    told: float


def _room(r: float, *, slim: bool) -> _Room:
    """Room of a broad drawing, or of a slim one of a tube that is drawn `r` px in radius."""
    if not slim:
        return _Room(WIDTH, HEIGHT, (176.0, 150.0), HEIGHT - 12, 356.0, 660.0, 150.0, 20.0)
    around = max(r + _PEAK + 4, 40.0)
    words = 8 + 2 * around + 18
    axis = words + 76 + r + _BODY
    return _Room(SLIM, axis + r + _BODY + 66, (SLIM / 2, 8 + around), words, 16.0, 334.0, axis,
                 words + 32)  # fmt: skip


def clamp_picture(
    tube: Tube,
    found: Clamp,
    *,
    length: float,
    screw: float,
    screws: int,
    style: str,
    plug: bool = False,
    system: str = "SI",
    slim: bool = False,
) -> Scene:
    """Draw a split clamp round a tube.

    Parameters
    ----------
    tube : Tube
        One tube.
    found : Clamp
        What the clamp may press and then holds.
    length, screw : float
        Of the clamp along the tube; diameter of a screw [m].
    screws : int
        How many.
    style : str
        "two halves" or "one slit".
    plug : bool
        A tight plug in the bore.
    system : str
        Display system.
    slim : bool
        For a small screen: half as wide, the side below the section.

    Returns
    -------
    Scene

    Examples
    --------
    >>> from tubecalc.joining.clamps import split_clamp
    >>> tube = Tube("pull-wound", od="20 mm", wall="1 mm")
    >>> made = split_clamp(tube, length="20 mm", screw="4 mm")
    >>> clamp_picture(tube, made, length=0.02, screw=0.004, screws=2, style="two halves").says[:37]
    'Split clamp in two halves, 20 mm long'
    """
    ro, ri = float(tube.sections.ro[0]), float(tube.sections.ri[0])
    scale = min(_LARGEST / ro, _WIDE / (ro + _LUG * screw), _ALONG / length)
    room = _room(ro * scale, slim=slim)
    shapes = [
        *_round(scale, ro, ri, screw, room.at, style=style, plug=plug),
        *_long(tube, scale, ro, length, screw, screws, style, system, room),
        *_told(found, system, room),
        Words(room.at[0], room.words, "tube and screws to scale, the clamp's body not", size=11.5,
              anchor="middle"),
        Words((room.side + room.right) / 2, room.height - 12, "from the side, to scale", size=11.5,
              anchor="middle"),
    ]  # fmt: skip
    return Scene(room.width, room.height, tuple(shapes),
                 _says(tube, found, length, screws, style, plug=plug, system=system))  # fmt: skip


def _slits(style: str) -> list[float]:
    """Angles at which the clamp is open [rad]."""
    return [0.0, pi] if style == "two halves" else [0.0]


def _round(scale: float, ro: float, ri: float, screw: float, at: At, *,
           style: str, plug: bool) -> list[Shape]:  # fmt: skip
    r, slits = ro * scale, _slits(style)
    out: list[Shape] = []
    ends = [*slits, slits[0] + 2 * pi]
    for a, b in pairwise(ends):
        body = sector(r, r + _BODY, at, a + _SPLIT, b - _SPLIT)
        out.append(Lines([body], "ink", 1.1, closed=True, fill="shade", fill_opacity=0.35))
    d, lug = screw * scale, max(26.0, screw * scale * _LUG)
    for turn in slits:  # a lug with its screw beside every slit
        side = cos(turn)
        x = at[0] + side * (r + _BODY)
        for up in (-1.0, 1.0):
            y = at[1] + up * (r + _BODY) * sin(_SPLIT)
            lugs = box(min(x, x + side * lug), min(y, y + up * 20), max(x, x + side * lug),
                       max(y, y + up * 20))  # fmt: skip
            out.append(Lines([lugs], "ink", 1.1, closed=True, fill="shade", fill_opacity=0.35))
        middle = x + side * lug / 2
        out.append(Lines([box(middle - d / 2, at[1] - 34, middle + d / 2, at[1] + 34)], "ink",
                         1.1, closed=True, fill="field"))  # fmt: skip
    out += ring(ri * scale, r, at, "accent", 0.34)
    if plug:
        out.append(Lines([circle(ri * scale, at)], "ink", 0.8, closed=True, fill="shade",
                         fill_opacity=0.25))  # fmt: skip
        out.append(Words(at[0], at[1] + 4, "plug", "ink", 11.5, "middle"))
        return out
    for side in (-1.0, 1.0):  # two opposed pressures that fade as the cosine
        for t in np.radians([-60.0, -40.0, -20.0, 0.0, 20.0, 40.0, 60.0]).tolist():
            big, (ux, uy) = _PEAK * cos(t), (sin(t), side * cos(t))
            tip = (at[0] + ux * (r - 1), at[1] + uy * (r - 1))
            start = (at[0] + ux * (r + big + 1), at[1] + uy * (r + big + 1))
            out.append(arrow(start, tip, width=1.3))
    return out


def _long(tube: Tube, scale: float, ro: float, length: float, screw: float, screws: int,
          style: str, system: str, room: _Room) -> list[Shape]:  # fmt: skip
    """The tube and the clamp from the side, screws of the near side where they sit."""
    axis = room.axis
    top, low = axis - ro * scale, axis + ro * scale
    x0 = (room.side + room.right) / 2 - length * scale / 2
    x1 = x0 + length * scale
    out: list[Shape] = [
        Lines([box(room.side, top, room.right, low)], "transparent", 0.0, closed=True, fill="row"),
        hatched(tube.construction.hatch, room.side, top, room.right, low),
        Lines([[(room.side, y), (room.right, y)] for y in (top, low)], "ink", 1.2),
        Lines([box(x0, top - _BODY, x1, low + _BODY)], "ink", 1.2, closed=True, fill="paper"),
        Lines([box(x0, top - _BODY, x1, low + _BODY)], "ink", 1.2, closed=True, fill="shade",
              fill_opacity=0.35),
        Lines([[(x0, axis - 2), (x1, axis - 2)], [(x0, axis + 2), (x1, axis + 2)]], "ink",
              1.0),
    ]  # fmt: skip
    near = math.ceil(screws / len(_slits(style)))
    d = screw * scale
    shown = min(near, 12)
    for n in range(shown):
        x = x0 + (x1 - x0) * (n + 0.5) / shown
        out.append(Lines([box(x - d / 2, axis - 24, x + d / 2, axis + 24)], "ink", 1.0,
                         closed=True, fill="field"))  # fmt: skip
    return out + size_line(x0, x1, low + _BODY + 18, rough(length, "length", system), above=False)


def _told(found: Clamp, system: str, room: _Room) -> list[Shape]:
    if not math.isfinite(found.force):
        words = ["limit not known"]
    else:
        words = [f"screws to {rough(found.torque, 'torque', system)} at most",
                 f"a half presses with {rough(found.force, 'force', system)}",
                 f"holds {rough(found.slip, 'force', system)} along the tube"]  # fmt: skip
    return [Words(room.right, room.told + 15 * n, text, "ink", 11.5, "end", bold=n == 0)
            for n, text in enumerate(words)]  # fmt: skip


def _says(tube: Tube, found: Clamp, length: float, screws: int, style: str, *, plug: bool,
          system: str) -> str:  # fmt: skip
    how = "in two halves" if style == "two halves" else "with one slit"
    said = f"Split clamp {how}, {rough(length, 'length', system)} long with {screws} "
    said += f"{'screw' if screws == 1 else 'screws'}, on a "
    said += f"{rough(2 * float(tube.sections.ro[0]), 'length', system)} tube. "
    if plug:
        said += "A plug in the bore holds the wall. "
    said += "It presses from two sides, most in the middle of a half, nothing at the slits."
    if math.isfinite(found.force):
        said += f" Screws to {rough(found.torque, 'torque', system)} at most; then it holds "
        said += f"{rough(found.slip, 'force', system)} along the tube."
    return said.replace("\u202f", " ")


__all__ = ["HEIGHT", "SLIM", "WIDTH", "clamp_picture"]
