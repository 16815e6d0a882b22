"""Pictures of joints: two tubes one in the other with their clearance, and a pole that droops.

Everything is to scale but what the picture says is drawn larger.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import cos, degrees, pi, sin
from typing import NamedTuple

import numpy as np

from tubecalc.joining.fit_words import length, percent
from tubecalc.joining.fits import Fit
from tubecalc.joining.nested import Joint, Pole
from tubecalc.joining.workshop import figure
from tubecalc.share.joint_shapes import kept, rows
from tubecalc.share.letters import width_of
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words
from tubecalc.unit_display import in_unit, show, unit_label

WIDTH, SLIM, HEIGHT = 680.0, 350.0, 300.0
_SEEN = 7.0  # pixels that a gap wants
FACTORS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
_ROW = 74.0
_POLE_TOP = 76.0


class _Room(NamedTuple):
    """Room of a drawing [px]: width, circle and its middle, edges and upper end of the bars."""

    width: float
    round: float
    middle: tuple[float, float]
    left: float
    right: float
    top: float


_BROAD_ROOM = _Room(WIDTH, 112.0, (140.0, 146.0), 330.0, 660.0, 54.0)
_SLIM_ROOM = _Room(SLIM, 92.0, (175.0, 124.0), 62.0, 338.0, 314.0)


class _Side(NamedTuple):
    """A pole from the side [px]: width, edges, level of its straight line; scale and factor."""

    width: float
    left: float
    right: float
    top: float
    scale: float
    down: int

    def x(self, along: float) -> float:
        return self.left + along * self.scale


def factor_for(drawn: float, wanted: float, most: float) -> int:
    """Round factor that makes something seen.

    Parameters
    ----------
    drawn, wanted, most : float
        Size to scale, size wanted, and the most there is room for [px].

    Returns
    -------
    int
        1 where it is seen anyway.

    Examples
    --------
    >>> factor_for(0.3, 7.0, 20.0), factor_for(9.0, 7.0, 20.0)
    (50, 1)
    """
    best = 1
    for f in FACTORS:
        if drawn * f <= most and drawn * best < wanted:
            best = f
    return best


def _circle(r: float, at: tuple[float, float]) -> Points:
    return [(at[0] + r * cos(t), at[1] + r * sin(t)) for t in np.linspace(0, 2 * pi, 73).tolist()]


def _rings(f: Fit, room: _Room) -> tuple[list[Shape], int]:
    """Cross-section of both tubes; the factor by which the gap is drawn larger."""
    scale = room.round / float(f.outer.sections.ro[0])
    bore, wall = float(f.outer.sections.ri[0]) * scale, float(f.inner.sections.t[0]) * scale
    gap = max(f.at[0].middle, 0.0) / 2.0 * scale
    factor = factor_for(gap, _SEEN, bore * 0.35) if gap > 0 else 1
    outside = bore - gap * factor
    inside = max(outside - wall, 0.0)
    out: list[Shape] = []
    for radius, fill, opacity in ((room.round, "accent", 0.16), (bore, "paper", 1.0),
                                  (outside, "ink", 0.14), (inside, "paper", 1.0)):  # fmt: skip
        if radius > 0.5:
            out.append(Lines([_circle(radius, room.middle)], "ink", 1.1, closed=True, fill=fill,
                             fill_opacity=opacity))  # fmt: skip
    return out, factor


def fit_picture(f: Fit, system: str = "SI", *, slim: bool = False) -> Scene:
    """Both tubes to scale, the gap drawn larger, and the clearance at every temperature.

    Parameters
    ----------
    f : Fit
        The fit.
    system : str
        Display system.
    slim : bool
        For a small screen: half as wide, the bars below the section instead of beside.

    Returns
    -------
    Scene

    Examples
    --------
    >>> import tubecalc as tc
    >>> inner, outer = (tc.Tube("pultruded", od=o, id=i) for o, i in (("9.8 mm", "8 mm"),
    ...                                                              ("12 mm", "10 mm")))
    >>> fit_picture(tc.fit(inner, outer)).says[:44]
    'Cross-section of both tubes, gap drawn 5 tim'
    """
    room = _SLIM_ROOM if slim else _BROAD_ROOM
    shapes, factor = _rings(f, room)
    larger = f"gap drawn {factor} times" if factor > 1 else "to scale"
    if f.at[0].middle <= 0:
        larger = "no gap"
    sizes = (
        f"{length(2 * f.inner.sections.ro[0], system)} into "
        f"{length(2 * f.outer.sections.ri[0], system)}"
    )
    at, low = room.middle[0], room.middle[1] + room.round + (22 if slim else 28)
    shapes += [
        Words(at, 20, sizes, "ink", 13.0, "middle", bold=True),
        Words(at, low, f"cross-section, {larger}", anchor="middle"),
    ]
    bars, high = _bars(f, system, room)
    shapes += bars
    said = [
        f"at {show(x.temperature, 'temperature', system)} worst case {_signed(x.free, system)} to "
        f"{_signed(x.most, system)}, binds {percent(x.chance)}"
        for x in f.at
    ]
    says = f"Cross-section of both tubes, {larger}; clearance on the diameter: "
    high = high if slim else max(HEIGHT, high)
    return Scene(room.width, high, tuple(shapes), says + "; ".join(said) + ".")


def _signed(value: float, system: str) -> str:
    return length(value, system).replace("-", "\u2212")


def _bars(f: Fit, system: str, room: _Room) -> tuple[list[Shape], float]:
    """Clearance on the diameter, a worst-case and a statistical bar for every temperature."""
    left, right, top = room.left, room.right, room.top
    gap = figure("running_gap").value
    ends = [v for x in f.at for v in (x.free, x.least, x.most, x.low)]
    low, high = min([0.0, *ends]), max([gap * 1.4, *ends])
    spare = 0.06 * (high - low)
    low, high = low - spare, high + spare
    scale = (right - left) / (high - low)

    def px(value: float) -> float:
        return left + (value - low) * scale

    def words(x: float, y: float, text: str, colour: str, size: float, anchor: str) -> Words:
        return kept(Words(x, y, text, colour, size, anchor, halo=True), left, room.width - 4)

    bottom = top + _ROW * len(f.at)
    slides = Words(px(gap) + 4, top - 14, "slides by hand", size=11.5)
    if px(gap) + 8 + width_of(slides.text, slides.size) > room.width:  # a row of its own above
        slides = kept(Words(px(gap), top - 29, slides.text, size=11.5, anchor="middle"),
                      left, room.width - 4)  # fmt: skip
    out: list[Shape] = [
        Words(left if room.width == WIDTH else 8, top - (34 if room.width == WIDTH else 52),
              "clearance on the diameter", "ink", 13.0, bold=True),
        Lines([[(left, top - 8), (px(0.0), top - 8), (px(0.0), bottom), (left, bottom)]],
              "transparent", 0, closed=True, fill="warn", fill_opacity=0.10),
        Lines([[(px(0.0), top - 8), (px(0.0), bottom)]], "warn", 1.6),
        Lines([[(px(gap), top - 8), (px(gap), bottom)]], "muted", 1.0, dash="4 3"),
        Words(px(0.0), top - 14, "binds", "warn", 11.5, "end" if px(0.0) > left + 40 else
              "start"),
        slides,
    ]  # fmt: skip
    for n, x in enumerate(f.at):
        y = top + n * _ROW + 16
        temperature = show(x.temperature, "temperature", system).replace("-", "\u2212")
        out += _bar(px(x.free), px(x.least), px(x.most), y, "accent", 0.30)
        out += _bar(px(x.low), px(x.low), px(x.high), y + 22, "ink", 0.22)
        out.append(Lines([[(px(x.middle), y - 3), (px(x.middle), y + 37)]], "ink", 1.6))
        out.append(Words(left - 6, y + 12, temperature, "ink", 12, "end"))
        least, most = _signed(x.free, system), _signed(x.most, system)
        if px(x.most) - px(x.free) < width_of(f"{least} {most}", 10.5) + 12:  # no room for two
            out.append(words(px(x.free) + 3, y + 12, f"{least} to {most}", "ink", 10.5, "start"))
        else:
            out.append(words(px(x.free) + 3, y + 12, least, "ink", 10.5, "start"))
            out.append(words(px(x.most) - 3, y + 12, most, "ink", 10.5, "end"))
        out.append(words(px(x.low) + 3, y + 34, f"binds {percent(x.chance)}", "ink", 10.5,
                         "start"))  # fmt: skip
    start = left if room.width == WIDTH else 8.0
    told = [*rows("upper bar: worst case, oval and bow hatched at its left", start, bottom + 18,
                  room.width - start - 4, size=11)]  # fmt: skip
    told += rows("lower bar: 99.7 % of pairs; line: middle", start, told[-1].y + 15,
                 room.width - start - 4, size=11)  # fmt: skip
    return [*out, *told], told[-1].y + 11


def _bar(start: float, left: float, right: float, y: float, fill: str,
         opacity: float) -> list[Shape]:  # fmt: skip
    box: Points = [(left, y), (right, y), (right, y + 16), (left, y + 16)]
    out: list[Shape] = [Lines([box], fill, 1.0, closed=True, fill=fill, fill_opacity=opacity)]
    if left - start > 1.0:
        marks: list[Points] = [[(a, y + 16), (min(a + 8, left), y)]
                               for a in np.arange(start, left, 4.0).tolist()]  # fmt: skip
        out.append(Lines(marks, fill, 0.9))
        out.append(Lines([[(start, y), (left, y), (left, y + 16), (start, y + 16)]], fill, 0.8,
                         closed=True))  # fmt: skip
    return out


def pole_picture(p: Pole, system: str = "SI", *, slim: bool = False) -> Scene:
    """A telescoping pole from the side, drooping, with the load pair of every joint.

    Parameters
    ----------
    p : Pole
        The pole.
    system : str
        Display system.
    slim : bool
        For a small screen: half as wide, the load pairs in rows below.

    Returns
    -------
    Scene

    Examples
    --------
    >>> from tubecalc.joining.nested import nested, telescope
    >>> tubes = telescope("pultruded", od="20 mm", wall="1 mm", count=3, gap="0.3 mm")
    >>> pole_picture(nested(tubes, length="1 m", overlap="120 mm", load="2 N")).says[:38]
    'Pole of 3 sections, reach 2 760 mm, dr'
    """
    width, left, right = (SLIM, 24.0, 40.0) if slim else (WIDTH, 44.0, 60.0)
    scale = (width - left - right) / p.reach
    droop = max(abs(p.droop), 1e-12)
    down = factor_for(droop * scale, 40.0, 150.0)
    top = _level(p, scale, down)
    v = _Side(width, left, right, top, scale, down)
    thick = factor_for(2.0 * float(p.tubes[-1].sections.ro[0]) * scale, 7.0, 14.0)
    shapes: list[Shape] = [
        Lines([[(left, top), (width - right + 30, top)]], "muted", 1.0, dash="5 4"),
        Lines([[(left, top - 26), (left, top + 26)]], "ink", 2.4),
        Lines([[(left, y), (left - 9, y + 9)]
               for y in np.arange(top - 26, top + 20, 9.0).tolist()], "ink", 1.0),
    ]  # fmt: skip
    for n, ((x, w), tube) in enumerate(zip(p.curve, p.tubes, strict=True)):
        half = float(tube.sections.ro[0]) * scale * thick
        px, py = left + x * scale, top + w * scale * down
        band = [*zip(px.tolist(), (py - half).tolist(), strict=True),
                *zip(px[::-1].tolist(), (py + half)[::-1].tolist(), strict=True)]  # fmt: skip
        role = "accent" if n % 2 == 0 else "shade"
        shapes.append(Lines([band], "ink", 1.0, closed=True, fill=role, fill_opacity=0.35))
    low = max(top + float(p.curve[-1][1][-1]) * scale * down, top) + 66
    shapes += _joints(p, v, system, numbered=slim)
    shapes += _droop(p, v, system)
    drawn = _drawn(down, thick)
    start = 8.0 if slim else left
    told = rows(_parts(p, system), start, low, width - start - 4, "ink", 12.0)
    if slim:  # what stands above the joints of a broad drawing
        told.append(Words(start, told[-1].y + 20, "at the mouth / at the heel of joint", size=11.5))
        for n, j in enumerate(p.joints, 1):
            text = f"{n}: {_pair(j, system)}, {_play(j)}"
            told.append(Words(start, told[-1].y + 16, text, "ink", 12.0))
        told.append(Words(start, told[-1].y + 20, drawn, size=11.5))
    else:
        told.append(Words(start, told[-1].y + 16, drawn, size=11.5))
    shapes += told
    high = told[-1].y + 14
    says = f"Pole of {len(p.tubes)} sections, reach {_mm(p.reach, system)}, droop "
    says += f"{_mm(p.droop, system)}: load {_mm(p.elastic, system)}, weight "
    says += f"{_mm(p.by_weight, system)}, play {_mm(p.by_play, system)}, dents "
    says += f"{_mm(p.by_give, system)}; {drawn}."
    return Scene(width, high, tuple(shapes), says.replace("\u202f", " "))


def _level(p: Pole, scale: float, down: int) -> float:
    """Height of the straight line of the base, lower where the pole is lifted [px]."""
    return _POLE_TOP + max(0.0, -min(float(w.min()) for _, w in p.curve)) * scale * down


def _drawn(down: int, thick: int) -> str:
    parts = [f"{what} drawn {f} times" for what, f in (("droop", down), ("diameters", thick))
             if f > 1]  # fmt: skip
    return ", ".join(parts) or "to scale"


def _mm(value: float, system: str) -> str:
    return show(value, "length", system).replace("-", "\u2212")


def _pair(j: Joint, system: str) -> str:
    """Forces at the mouth and at the heel."""
    words = f"{in_unit(abs(j.pair.mouth), 'force', system):.3g} / "
    words += f"{in_unit(abs(j.pair.heel), 'force', system):.3g} "
    return words + unit_label("force", system)


def _play(j: Joint) -> str:
    return f"play {degrees(j.play):.2g}°"


def _joints(p: Pole, v: _Side, system: str, *, numbered: bool) -> list[Shape]:
    """Load pair of every joint: arrows at the heel and at the mouth, numbers above."""
    out: list[Shape] = []
    biggest = max((abs(j.pair.mouth) for j in p.joints), default=0.0) or 1.0
    for n, (j, ((xa, wa), (xb, _))) in enumerate(zip(p.joints, pairwise(p.curve), strict=True), 1):
        for at, force in ((float(xb[0]), j.pair.heel), (float(xa[-1]), j.pair.mouth)):
            y = v.top + float(np.interp(at, xa, wa)) * v.scale * v.down
            size = 8.0 + 16.0 * abs(force) / biggest
            out += _arrow(v.x(at), y - 6 if force > 0 else y + 6, size if force > 0 else -size)
        middle = v.x((float(xb[0]) + float(xa[-1])) / 2.0)
        if numbered:
            out.append(Words(middle, 28.0, str(n), "ink", 12.0, "middle", bold=True))
            continue
        out.append(Words(middle, 36.0, _pair(j, system), "ink", 11.0, "middle"))
        out.append(Words(middle, 22.0, _play(j), size=11.0, anchor="middle"))
    return out


def _arrow(x: float, y: float, size: float) -> list[Shape]:
    """Arrow that ends at a point, from above for a positive size."""
    head = 4.0 if size > 0 else -4.0
    return [
        Lines([[(x, y - size), (x, y)]], "warn", 1.6),
        Lines([[(x - 3.5, y - head), (x, y), (x + 3.5, y - head)]], "warn", 1.6),
    ]


def _droop(p: Pole, v: _Side, system: str) -> list[Shape]:
    x = v.x(p.reach)
    y = v.top + float(p.curve[-1][1][-1]) * v.scale * v.down
    out: list[Shape] = [Lines([[(x + 14, v.top), (x + 14, y)]], "muted", 1.0)]
    middle = (v.top + y) / 2.0 + 4
    if v.width < WIDTH:  # no room beside the pole
        middle = v.top - 8 if y >= v.top else v.top + 17
    out.append(Words(x + 12, middle, _mm(p.droop, system), "ink", 12.0, "end",
                     bold=True, halo=True))  # fmt: skip
    if p.load:
        out += _arrow(x, y + 34 if p.load > 0 else y - 34, 24.0 if p.load > 0 else -24.0)
        beside = y + 34 if p.load > 0 else y - 24
        out.append(Words(x - 8, beside, show(abs(p.load), "force", system), "ink", 11.5, "end"))
    return out


def _parts(p: Pole, system: str) -> str:
    """Droop by what makes it."""
    parts: Sequence[tuple[str, float]] = (
        ("load", p.elastic), ("weight", p.by_weight), ("play", p.by_play), ("dents", p.by_give)
    )  # fmt: skip
    return "droop: " + ", ".join(f"{name} {_mm(x, system)}" for name, x in parts)


__all__ = ["FACTORS", "SLIM", "WIDTH", "factor_for", "fit_picture", "pole_picture"]
