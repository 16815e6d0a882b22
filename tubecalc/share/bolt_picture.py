"""A bolt through a tube: the end from the side and the section at the hole, both to scale."""

from __future__ import annotations

import math
from typing import NamedTuple

from tubecalc.joining.mechanical import Fastened
from tubecalc.share.bars import number
from tubecalc.share.joint_shapes import At, arrow, box, circle, hatched, kept, ring, size_line
from tubecalc.share.scene import Lines, Scene, Shape, Words
from tubecalc.tube import Tube
from tubecalc.unit_display import show
from tubecalc.unit_words import rough

WIDTH, SLIM, HEIGHT = 680.0, 350.0, 300.0
_TALLEST = 128.0


class _Room(NamedTuple):
    """Room of a drawing [px].

    Size; axis, begin and end of the tube from the side, most that edge distance and hole may take,
    its last line of words; middle of the section, first line of the reserves.
    """

    width: float
    height: float
    axis: float
    left: float
    end: float
    along: float
    words: float
    section: At
    told: float


_BROAD_ROOM = _Room(WIDTH, HEIGHT, 140.0, 34.0, 350.0, 250.0, 288.0, (528.0, 140.0), 20.0)
_SLIM_ROOM = _Room(SLIM, 466.0, 100.0, 24.0, 316.0, 216.0, 242.0, (112.0, 350.0), 286.0)


def bolt_picture(
    tube: Tube,
    found: Fastened,
    *,
    hole: float,
    edge: float,
    load: float,
    washer: float = math.nan,
    plug: bool = False,
    system: str = "SI",
    slim: bool = False,
) -> Scene:
    """Draw a bolt through both walls of a tube.

    Parameters
    ----------
    tube : Tube
        One tube.
    found : Fastened
        What each way to fail has in reserve.
    hole, edge : float
        Diameter of the hole; from its centre to the end, NaN where not given [m].
    load : float
        Along the tube, + pulls [N].
    washer : float
        Diameter of the washers; NaN for none [m].
    plug : bool
        A tight plug in the bore.
    system : str
        Display system.
    slim : bool
        For a small screen: half as wide, the section below the side.

    Returns
    -------
    Scene

    Examples
    --------
    >>> import tubecalc as tc
    >>> from tubecalc.joining.mechanical import bolt
    >>> tube = tc.Tube("roll-wrapped", od="30 mm", wall="2 mm")
    >>> made = bolt(tube, hole="6 mm", load="2 kN", edge_distance="18 mm")
    >>> bolt_picture(tube, made, hole=0.006, edge=0.018, load=2000.0).says[:43]
    'End of a 30 mm tube with a 6 mm hole, 18 mm'
    """
    ro, ri = float(tube.sections.ro[0]), float(tube.sections.ri[0])
    known = not math.isnan(edge)
    reach = edge if known else 1.5 * ro
    room = _SLIM_ROOM if slim else _BROAD_ROOM
    scale = min(_TALLEST / (2 * ro), room.along / (reach + hole / 2))
    shapes = [
        *_side(tube, scale, ro, hole, reach, room, known=known, load=load, system=system),
        *_cut(scale, ro, ri, hole, washer, room.section, plug=plug),
        *_told(found, room),
        Words(room.section[0], room.height - 12, "section at the hole, to scale", size=11.5,
              anchor="middle"),
    ]  # fmt: skip
    return Scene(room.width, room.height, tuple(shapes),
                 _says(tube, found, hole, edge, load, plug=plug, system=system))  # fmt: skip


def _side(tube: Tube, scale: float, ro: float, hole: float, reach: float, room: _Room, *,
          known: bool, load: float, system: str) -> list[Shape]:  # fmt: skip
    """The end of the tube seen along the bolt."""
    axis, end = room.axis, room.end
    top, low = axis - ro * scale, axis + ro * scale
    x, r = end - reach * scale, hole / 2 * scale
    start = min(room.left, x - r - 24)
    out: list[Shape] = [
        Lines([box(start, top, end, low)], "transparent", 0.0, closed=True, fill="row"),
        hatched(tube.construction.hatch, start, top, end, low),
        Lines([[(start, top), (end, top)], [(start, low), (end, low)]], "ink", 1.2),
        Lines([[(end, top), (end, low)]], "ink", 1.2 if known else 0.8,
              dash="" if known else "3 4"),
        Lines([[(start - 10, axis), (end + 14, axis)]], "muted", 0.9, dash="14 4 3 4"),
        Lines([[(x, top - 10), (x, low + 10)]], "warn", 1.2, dash="7 4"),
        Lines([circle(r, (x, axis))], "ink", 1.3, closed=True, fill="paper"),
    ]  # fmt: skip
    if known:  # what shears out to the end
        out.append(
            Lines(
                [[(x, axis - r), (end, axis - r)], [(x, axis + r), (end, axis + r)]],
                "warn",
                1.2,
                dash="2 3",
            )
        )
        words = f"{rough(reach, 'length', system)} to the end, {reach / hole:.2g} holes"
        line, text = size_line(x, end, low + 26, words, above=False)
        out += [line, _within(text, room)]
    else:
        out.append(Words(end, low + 22, "distance to the end not given", "ink", 11.5, "end"))
    line, text = size_line(x - r, x + r, top - 18, f"hole {rough(hole, 'length', system)}")
    out += [line, _within(text, room)]
    if load:
        to = 30.0 if load > 0 else -30.0
        out.append(arrow((x, axis), (x + to, axis), width=2.4))
        words = show(abs(load), "force", system)
        at = x + to + (6 if load > 0 else -6)
        force = Words(at, axis + 4, words, "warn", 12, "start" if load > 0 else "end", bold=True,
                      halo=True)  # fmt: skip
        out.append(_within(force, room))
    out.append(Words(start, room.words, "the end from the side, to scale", size=11.5))
    dotted = "; dotted: shears out" if known else ""
    out.append(Words(start, room.words - 16, f"dashed: net section{dotted}", size=11.5))
    return out


def _within(shape: Shape, room: _Room) -> Shape:
    return kept(shape, 4.0, room.width - 4.0) if isinstance(shape, Words) else shape


def _cut(scale: float, ro: float, ri: float, hole: float, washer: float, at: At, *,
         plug: bool) -> list[Shape]:  # fmt: skip
    """Cross-section at the hole: what is left of the wall, bolt, plug, washers."""
    r = hole / 2 * scale
    out = ring(ri * scale, ro * scale, at, "accent", 0.34)
    if plug:
        out.append(Lines([circle(ri * scale, at)], "ink", 0.8, closed=True, fill="shade",
                         fill_opacity=0.25))  # fmt: skip
        out.append(Words(at[0] - ro * scale - 8, at[1] + 4, "plug", "ink", 11.5, "end"))
        out.append(Lines([[(at[0] - ro * scale - 5, at[1]), (at[0] - ri * scale * 0.7, at[1])]],
                         "ink", 0.8))  # fmt: skip
    thick = 5.0
    top, low = at[1] - ro * scale - 14, at[1] + ro * scale + 14
    out.append(Lines([box(at[0] - r, top, at[0] + r, low)], "ink", 1.2, closed=True, fill="field"))
    if not math.isnan(washer):
        w = washer / 2 * scale
        for y in (at[1] - ro * scale - thick, at[1] + ro * scale):
            out.append(Lines([box(at[0] - w, y, at[0] + w, y + thick)], "ink", 1.0, closed=True,
                             fill="shade", fill_opacity=0.5))  # fmt: skip
    return out


def _told(found: Fastened, room: _Room) -> list[Shape]:
    """Reserve of every way to fail, at the right; what governs is bold and marked."""
    worst = found.governing
    shown = [x for x in found.limits if not x.advisory and math.isfinite(x.reserve)]
    out: list[Shape] = [Words(room.width - 6, room.told, "reserve", size=11.5, anchor="end")]
    for n, one in enumerate(shown, 1):
        text = f"{_short(one.label)} {number(one.reserve)}{' ◂' if one is worst else ''}"
        out.append(
            Words(room.width - 6, room.told + 15 * n, text, "ink", 11.5, "end", bold=one is worst)
        )
    return out


def _short(label: str) -> str:
    return {"pin: shear": "pin"}.get(label, label.removeprefix("hole: "))


def _says(tube: Tube, found: Fastened, hole: float, edge: float, load: float, *, plug: bool,
          system: str) -> str:  # fmt: skip
    od = rough(2 * float(tube.sections.ro[0]), "length", system)
    said = f"End of a {od} tube with a {rough(hole, 'length', system)} hole, "
    said += "its distance to the end not given" if math.isnan(edge) else (
        f"{rough(edge, 'length', system)} from the end")  # fmt: skip
    said += f", and the section at the hole{', a plug in the bore' if plug else ''}; to scale. "
    said += f"{'Pull' if load >= 0 else 'Push'} {show(abs(load), 'force', system)}. "
    ways = [f"{_short(x.label)} {number(x.reserve)}" for x in found.limits
            if math.isfinite(x.reserve)]  # fmt: skip
    said += f"Reserves: {', '.join(ways)}; {_short(found.governing.label)} governs."
    return said.replace("\u202f", " ")


__all__ = ["HEIGHT", "SLIM", "WIDTH", "bolt_picture"]
