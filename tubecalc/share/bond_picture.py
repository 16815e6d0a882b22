"""A bonded joint: half section to scale, below it the shear stress along the overlap."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from tubecalc.joining.bond_result import Bond
from tubecalc.joining.bond_state import State
from tubecalc.joining.fit_words import length as small
from tubecalc.laminate.elastic import Array
from tubecalc.share.hatch import strokes
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words
from tubecalc.unit_display import in_unit, unit_label
from tubecalc.unit_words import rough

WIDTH, SLIM = 680.0, 350.0
_TOP, _PLOT, _BELOW = 30.0, 150.0, 46.0
_LONE = 0.35  # lone ends over the overlap
_ROW = 17.0  # of words [px]
_THINNEST = 2.0  # of the adhesive as drawn [px]
_DASHES = ("", "7 4", "2 3")


class _Room(NamedTuple):
    """Room of a drawing: width, margins, tallest section [px], words beside it or below."""

    width: float
    left: float
    right: float
    tallest: float
    beside: bool


_BROAD_ROOM = _Room(WIDTH, 62.0, 120.0, 170.0, True)
_SLIM_ROOM = _Room(SLIM, 54.0, 16.0, 130.0, False)


def _wall(x: Array, near: Array, far: Array) -> Points:
    """Outline between two radii along the joint."""
    up = list(zip(x.tolist(), near.tolist(), strict=True))
    return [*up, *reversed(list(zip(x.tolist(), far.tolist(), strict=True)))]


def _hatched(kind: str, x0: float, x1: float, y0: float, y1: float) -> list[Points]:
    top = min(y0, y1)
    return [
        [(x0 + u, top + v) for u, v in path] for path in strokes(kind, x1 - x0, abs(y1 - y0), 6.0)
    ]


def _left(length: float, tip: float, wall: float, s: Array, *, scarf: bool, whole: float) -> Array:
    """Wall that is left at a distance from a member's end."""
    if scarf:
        return np.clip(wall * s / whole, 0.0, wall)
    if length <= 0:
        return np.full_like(s, wall)
    return np.minimum(tip + (wall - tip) * np.maximum(s, 0.0) / length, wall)


def _section(bond: Bond, n: int, room: _Room) -> tuple[list[Shape], float, float, float]:
    """Shapes of the half section, its bottom, and where the overlap begins and ends [px]."""
    a = bond.asked
    length = float(a.overlap[n])
    radii = [(float(m.ri[n]), float(m.ro[n])) for m in (a.tubes, a.inserts)]
    most = max(r for pair in radii for r in pair)
    wide = room.width - room.left - room.right
    scale = min(wide / (length * (1 + 2 * _LONE)), room.tallest / most)
    x0 = room.left + (wide - scale * length * (1 + 2 * _LONE)) / 2 + scale * length * _LONE
    axis = _TOP + most * scale
    places = np.linspace(0.0, length, 33)
    shapes: list[Shape] = []
    for of_tube, (ri, ro) in zip((True, False), radii, strict=True):
        taper = float((a.shape.tube if of_tube else a.shape.insert)[n])
        wall, tip = ro - ri, min(a.shape.tip, ro - ri)
        from_end = length - places if of_tube else places
        left = _left(taper, tip, wall, from_end, scarf=a.shape.scarf, whole=length)
        lone = -_LONE * length if of_tube else (1 + _LONE) * length
        x = np.array([lone, *places]) if of_tube else np.array([*places, lone])
        left = np.array([wall, *left]) if of_tube else np.array([*left, wall])
        outer = of_tube == a.inside  # bonded by its bore
        near, far = (ri, ri + left) if outer else (ro, ro - left)
        xs, path = (
            x0 + scale * x,
            _wall(
                x0 + scale * x, np.full_like(x, axis - scale * near), axis - scale * np.asarray(far)
            ),
        )
        fill = "row" if of_tube else "field"
        shapes.append(Lines([path], "ink", 1.2, closed=True, fill=fill))
        hatch = (a.tube if of_tube else a.insert).construction.hatch
        if taper <= 0 and not a.shape.scarf:
            marks = _hatched(hatch, float(xs.min()), float(xs.max()), axis - scale * ro,
                             axis - scale * ri)  # fmt: skip
            shapes.append(Lines(marks, "muted", 1.1 if hatch == "dots" else 0.7,
                                dot=hatch == "dots"))  # fmt: skip
    r, gap = float(a.radius[n]) * scale, max(float(a.gap[n]) * scale, _THINNEST)
    y = axis - r
    x1, half = x0 + length * scale, gap / 2
    glue = [(x0, y - half), (x1, y - half), (x1, y + half), (x0, y + half)]
    shapes.append(Lines([glue], "accent", 0.6, closed=True, fill="accent"))
    if a.barrier > 0:  # a glass ply on the tube's face, past the overlap at both ends
        thick = max(a.barrier * scale, _THINNEST)
        face = y - half if a.inside else y + half
        deep = face - thick if a.inside else face + thick
        ply = [(x0 - 8, face), (x1, face), (x1, deep), (x0 - 8, deep)]
        shapes.append(Lines([ply], "ink", 0.8, closed=True, fill="shade"))
    lone = _LONE * length * scale + 8
    ends = x0 - lone, x1 + lone
    shapes.append(Lines([[(ends[0], axis), (ends[1], axis)]], "muted", 0.9, dash="14 4 3 4"))
    shapes.append(Words(ends[0] - 6, axis + 4, "axis", size=11, anchor="end"))
    return shapes, axis, x0, x1


def _named(bond: Bond, n: int, axis: float, x0: float, x1: float, system: str) -> list[Shape]:
    a = bond.asked
    out: list[Shape] = []
    side = x1 + (x1 - x0) * _LONE + 12
    up = float(axis - (axis - _TOP) * 0.98)
    names = [("insert" if a.inside else "sleeve", a.insert), ("tube", a.tube)]
    for k, (word, one) in enumerate(names if not a.inside else names[::-1]):
        out.append(Words(side, up + 10 + 30 * k, word, "ink", 12, bold=True))
        outside = float(one.sections.ro[min(n, len(one) - 1)])
        out.append(Words(side, up + 24 + 30 * k, f"OD {_size(2 * outside, system)}", size=11))
    out.append(Words(side, up + 84, f"gap {small(float(a.gap[n]), system)}", "accent", 11))
    if a.barrier > 0:
        out.append(Words(side, up + 100, f"glass ply {small(a.barrier, system)}", "ink", 11))
    return out


def _below(bond: Bond, n: int, top: float, system: str) -> list[Shape]:
    """The same names in rows under a slim section."""
    a = bond.asked
    names = [("insert" if a.inside else "sleeve", a.insert), ("tube", a.tube)]
    said = [f"{word} OD {_size(2 * float(one.sections.ro[min(n, len(one) - 1)]), system)}"
            for word, one in (names if not a.inside else names[::-1])]  # fmt: skip
    out: list[Shape] = [Words(_SLIM_ROOM.left, top, ", ".join(said), "ink", 12)]
    gap = f"gap {small(float(a.gap[n]), system)}"
    gap += f", glass ply {small(a.barrier, system)}" if a.barrier > 0 else ""
    return [*out, Words(_SLIM_ROOM.left, top + _ROW, gap, "accent", 12)]


def _size(x: float, system: str) -> str:
    return rough(x, "length", system)


def _step(most: float) -> float:
    """Round step for about four marks."""
    raw = most / 4.0
    power = 10.0 ** math.floor(math.log10(raw))
    return float(next(m * power for m in (1, 2, 5, 10) if m * power >= raw))


def _curves(bond: Bond, n: int, system: str) -> list[tuple[str, Array, Array, str]]:
    """What is drawn: words, places [m], stress in the unit shown, dash."""
    per = in_unit(1.0, "stress", system)
    room: State = bond.room
    first = [
        ("of the loads", room.x[:, n], np.abs(bond.shear_along(room, heat=False))[:, n] * per, "")
    ]
    rest = [s for s in bond.states if np.any(s.mismatch[n] != 0.0)][:2]
    for dash, s in zip(_DASHES[1:], rest, strict=False):
        words = f"with heat at {rough(s.temperature, 'temperature', system)}"
        words = words.replace("-", "\u2212")
        first.append((words, s.x[:, n], np.abs(bond.shear_along(s))[:, n] * per, dash))
    return first


def _plot(bond: Bond, n: int, top: float, x0: float, x1: float, system: str,
          legend: tuple[float, float]) -> list[Shape]:  # fmt: skip
    """Stress along the overlap; where the words of its lines begin."""
    curves = _curves(bond, n, system)
    at, first = legend
    most = max(float(c[2].max()) for c in curves)
    most = most if most > 1e-9 else 1.0
    step = _step(most)
    scale = _PLOT / (step * math.ceil(most / step - 1e-9))
    low = top + _PLOT
    grid: list[Points] = []
    shapes: list[Shape] = []
    for k in range(math.ceil(most / step - 1e-9) + 1):
        y = low - k * step * scale
        grid.append([(x0, y), (x1, y)])
        shapes.append(Words(x0 - 6, y + 4, f"{k * step:g}", size=11, anchor="end"))
    length = float(bond.asked.overlap[n])
    for _, x, tau, dash in curves:
        path = list(zip((x0 + (x1 - x0) * x / length).tolist(), (low - tau * scale).tolist(),
                        strict=True))  # fmt: skip
        pen = "ink" if not dash else "accent"
        shapes.append(Lines([path], pen, 1.8, dash=dash))
    for k, (name, _, _, dash) in enumerate(curves):
        y = first + _ROW * k
        pen = "ink" if not dash else "accent"
        shapes.append(Lines([[(at, y - 4), (at + 22, y - 4)]], pen, 1.8, dash=dash))
        shapes.append(Words(at + 26, y, name, "ink", 11))
    average = in_unit(1e6 * float(np.atleast_1d(bond.average_shear.m)[n]), "stress", system)
    if average > 0:
        y = low - average * scale
        shapes.append(Lines([[(x0, y), (x1, y)]], "warn", 1.2, dash="1 3"))
        y = first + _ROW * len(curves)
        shapes.append(Lines([[(at, y - 4), (at + 22, y - 4)]], "warn", 1.2, dash="1 3"))
        shapes.append(Words(at + 26, y, f"average {average:.3g}", "ink", 11))
    ends = [[(x0, top), (x0, low), (x1, low), (x1, top)]]
    other = "insert" if bond.asked.inside else "sleeve"
    words: list[Shape] = [
        Words(x0, low + 16, f"{other}'s end", size=11, anchor="middle"),
        Words(x1, low + 16, "tube's end", size=11, anchor="middle"),
        Words((x0 + x1) / 2, low + 34, f"overlap {_size(length, system)}", "ink", 12, "middle"),
        Words(x0, top - 10, f"shear stress, {unit_label('stress', system)}", "ink", 12),
    ]
    return [Lines(grid, "grid", 1.0), Lines(ends, "rule", 1.0), *shapes, *words]


def bond_picture(bond: Bond, n: int = 0, *, slim: bool = False, system: str = "SI") -> Scene:
    """Draw one bonded joint.

    Parameters
    ----------
    bond : Bond
        The joints.
    n : int
        Which one [-].
    slim : bool
        For a small screen: half as wide, its words below instead of beside.
    system : str
        Display system.

    Returns
    -------
    Scene
        The picture; the adhesive is drawn at least two pixels thick.

    Examples
    --------
    >>> import tubecalc as tc
    >>> tube = tc.Tube("6061-T6", od="30 mm", wall="2 mm")
    >>> made = tc.bond(tube, "6061-T6", insert_wall="2 mm", overlap="30 mm", axial="5 kN")
    >>> bond_picture(made).says[:44]
    'Insert of 6061-T6 aluminium in 6061-T6 alumi'
    """
    room = _SLIM_ROOM if slim else _BROAD_ROOM
    section, axis, x0, x1 = _section(bond, n, room)
    if not slim:
        top = axis + 40
        names, legend = _named(bond, n, axis, x0, x1, system), (x1 + 8, top + 12)
        low = top + _PLOT + _BELOW
    else:
        top = axis + 40 + 3 * _ROW
        names, legend = _below(bond, n, axis + 26, system), (room.left, top + _PLOT + _BELOW + 12)
        low = legend[1] + _ROW * (len(_curves(bond, n, system)) + 1)
    shapes = [*section, *names, *_plot(bond, n, top, x0, x1, system, legend)]
    return Scene(room.width, low, tuple(shapes), _says(bond, n, system))


def _says(bond: Bond, n: int, system: str) -> str:
    a, unit = bond.asked, unit_label("stress", system)
    word = "Insert" if a.inside else "Sleeve"
    where = "in" if a.inside else "over"
    told = [
        f"{word} of {a.insert.construction.name} {where} {a.tube.construction.name}, overlap "
        f"{_size(float(a.overlap[n]), system)}, gap {small(float(a.gap[n]), system)}"
        f"{', glass ply ' + small(a.barrier, system) if a.barrier > 0 else ''}; half section to "
        "scale."
    ]
    for name, _, tau, _ in _curves(bond, n, system):
        told.append(
            f"Shear stress {name}: {tau[0]:.3g} {unit} at the {word.lower()}'s end, "
            f"{tau[len(tau) // 2]:.3g} {unit} in the middle, {tau[-1]:.3g} {unit} at the tube's "
            "end."
        )
    return " ".join(told)


__all__ = ["SLIM", "WIDTH", "bond_picture"]
