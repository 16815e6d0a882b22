"""A split clamp on a tube: section with the pressure round it, and the grip from the side."""

from __future__ import annotations

import math
from itertools import pairwise
from math import cos, pi, sin

import numpy as np

from tubecalc.joining.clamps import Clamp
from tubecalc.share.joint_shapes import arrow, box, circle, hatched, ring, sector, size_line
from tubecalc.share.scene import Lines, Scene, Shape, Words
from tubecalc.tube import Tube
from tubecalc.unit_words import rough

WIDTH, HEIGHT = 680.0, 300.0
_AT, _LARGEST = (176.0, 150.0), 62.0
_BODY, _SPLIT = 20.0, 0.09  # of the clamp round the tube [px]; half of a slit [rad]
_SIDE, _RIGHT = 356.0, 660.0
_WIDE, _LUG = 140.0, 1.4  # room beside the tube [px]; width of a lug over its screw
_PEAK = 30.0  # longest arrow [px]


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
    scale = min(_LARGEST / ro, _WIDE / (ro + _LUG * screw), (_RIGHT - _SIDE - 60) / length)
    shapes = [
        *_round(scale, ro, ri, screw, style=style, plug=plug),
        *_long(tube, scale, ro, length, screw, screws, style, system),
        *_told(found, system),
        Words(_AT[0], HEIGHT - 12, "tube and screws to scale, the clamp's body not", size=11.5,
              anchor="middle"),
        Words((_SIDE + _RIGHT) / 2, HEIGHT - 12, "from the side, to scale", size=11.5,
              anchor="middle"),
    ]  # fmt: skip
    return Scene(WIDTH, HEIGHT, tuple(shapes), _says(tube, found, length, screws, style, plug=plug,
                                                      system=system))  # fmt: skip


def _slits(style: str) -> list[float]:
    """Angles at which the clamp is open [rad]."""
    return [0.0, pi] if style == "two halves" else [0.0]


def _round(scale: float, ro: float, ri: float, screw: float, *, style: str,
           plug: bool) -> list[Shape]:  # fmt: skip
    r, slits = ro * scale, _slits(style)
    out: list[Shape] = []
    ends = [*slits, slits[0] + 2 * pi]
    for a, b in pairwise(ends):
        body = sector(r, r + _BODY, _AT, a + _SPLIT, b - _SPLIT)
        out.append(Lines([body], "ink", 1.1, closed=True, fill="shade", fill_opacity=0.35))
    d, lug = screw * scale, max(26.0, screw * scale * _LUG)
    for turn in slits:  # a lug with its screw beside every slit
        side = cos(turn)
        x = _AT[0] + side * (r + _BODY)
        for up in (-1.0, 1.0):
            y = _AT[1] + up * (r + _BODY) * sin(_SPLIT)
            lugs = box(min(x, x + side * lug), min(y, y + up * 20), max(x, x + side * lug),
                       max(y, y + up * 20))  # fmt: skip
            out.append(Lines([lugs], "ink", 1.1, closed=True, fill="shade", fill_opacity=0.35))
        middle = x + side * lug / 2
        out.append(Lines([box(middle - d / 2, _AT[1] - 34, middle + d / 2, _AT[1] + 34)], "ink",
                         1.1, closed=True, fill="field"))  # fmt: skip
    out += ring(ri * scale, r, _AT, "accent", 0.34)
    if plug:
        out.append(Lines([circle(ri * scale, _AT)], "ink", 0.8, closed=True, fill="shade",
                         fill_opacity=0.25))  # fmt: skip
        out.append(Words(_AT[0], _AT[1] + 4, "plug", "ink", 11.5, "middle"))
        return out
    for side in (-1.0, 1.0):  # two opposed pressures that fade as the cosine
        for t in np.radians([-60.0, -40.0, -20.0, 0.0, 20.0, 40.0, 60.0]).tolist():
            big, (ux, uy) = _PEAK * cos(t), (sin(t), side * cos(t))
            tip = (_AT[0] + ux * (r - 1), _AT[1] + uy * (r - 1))
            start = (_AT[0] + ux * (r + big + 1), _AT[1] + uy * (r + big + 1))
            out.append(arrow(start, tip, width=1.3))
    return out


def _long(tube: Tube, scale: float, ro: float, length: float, screw: float, screws: int,
          style: str, system: str) -> list[Shape]:  # fmt: skip
    """The tube and the clamp from the side, screws of the near side where they sit."""
    top, low = _AT[1] - ro * scale, _AT[1] + ro * scale
    x0 = (_SIDE + _RIGHT) / 2 - length * scale / 2
    x1 = x0 + length * scale
    out: list[Shape] = [
        Lines([box(_SIDE, top, _RIGHT, low)], "transparent", 0.0, closed=True, fill="row"),
        hatched(tube.construction.hatch, _SIDE, top, _RIGHT, low),
        Lines([[(_SIDE, top), (_RIGHT, top)], [(_SIDE, low), (_RIGHT, low)]], "ink", 1.2),
        Lines([box(x0, top - _BODY, x1, low + _BODY)], "ink", 1.2, closed=True, fill="paper"),
        Lines([box(x0, top - _BODY, x1, low + _BODY)], "ink", 1.2, closed=True, fill="shade",
              fill_opacity=0.35),
        Lines([[(x0, _AT[1] - 2), (x1, _AT[1] - 2)], [(x0, _AT[1] + 2), (x1, _AT[1] + 2)]], "ink",
              1.0),
    ]  # fmt: skip
    near = math.ceil(screws / len(_slits(style)))
    d = screw * scale
    shown = min(near, 12)
    for n in range(shown):
        x = x0 + (x1 - x0) * (n + 0.5) / shown
        out.append(Lines([box(x - d / 2, _AT[1] - 24, x + d / 2, _AT[1] + 24)], "ink", 1.0,
                         closed=True, fill="field"))  # fmt: skip
    return out + size_line(x0, x1, low + _BODY + 18, rough(length, "length", system), above=False)


def _told(found: Clamp, system: str) -> list[Shape]:
    if not math.isfinite(found.force):
        words = ["limit not known"]
    else:
        words = [f"screws to {rough(found.torque, 'torque', system)} at most",
                 f"a half presses with {rough(found.force, 'force', system)}",
                 f"holds {rough(found.slip, 'force', system)} along the tube"]  # fmt: skip
    return [Words(_RIGHT, 20 + 15 * n, text, "ink", 11.5, "end", bold=n == 0)
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


__all__ = ["HEIGHT", "WIDTH", "clamp_picture"]
