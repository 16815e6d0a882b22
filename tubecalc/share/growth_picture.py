"""Lengths before and after warming, the growth drawn larger; two materials that cancel it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from tubecalc.joining.fit_words import length as small
from tubecalc.joining.growth import Athermal, Grown
from tubecalc.share.fit_picture import FACTORS
from tubecalc.share.joint_shapes import arrow, box, hatched, kept, rows, size_line
from tubecalc.share.letters import folded, width_of
from tubecalc.share.scene import Lines, Scene, Shape, Words
from tubecalc.unit_display import show
from tubecalc.unit_words import rough

WIDTH, SLIM = 680.0, 350.0
_TOP, _ROW, _BAR = 34.0, 74.0, 15.0
_MINUS = "\u2212"
_LARGER = (*FACTORS, 2000, 5000, 10000, 20000, 50000)


class _Room(NamedTuple):
    """Room of a drawing [px]: width, begin and length of the bars, of a growth drawn larger."""

    width: float
    left: float
    long: float
    most: float


_BROAD_ROOM, _SLIM_ROOM = _Room(WIDTH, 190.0, 330.0, 76.0), _Room(SLIM, 64.0, 226.0, 52.0)


def _factor(longest: float, most: float) -> int:
    """Round factor that makes the largest growth seen; `longest` to scale, `most` room [px]."""
    return max((f for f in _LARGER if longest * f <= most), default=1)


def growth_picture(
    parts: Sequence[tuple[Grown, str]], system: str = "SI", *, slim: bool = False
) -> Scene:
    """Draw lengths before and after a change of temperature.

    Parameters
    ----------
    parts : sequence of (Grown, hatch)
        Assemblies of one part each, of one length, and the hatches of their materials.
    system : str
        Display system.
    slim : bool
        For a small screen: half as wide, the names above the bars.

    Returns
    -------
    Scene

    Examples
    --------
    >>> from tubecalc.joining.growth import assembly
    >>> made = assembly([("6061-T6", "1 m")], rise="40 K")
    >>> growth_picture([(made, "dots")]).says[:40]
    '1 000 mm of 6061-T6 aluminium warmed by '
    """
    long = max(g.length for g, _ in parts)
    room = _SLIM_ROOM if slim else _BROAD_ROOM
    scale = room.long / long
    most = max(abs(g.total) for g, _ in parts) * scale
    factor = _factor(most, room.most) if most > 0 else 1
    shapes: list[Shape] = []
    high = _TOP if not slim else 14.0
    for g, hatch in parts:
        high += 15.0 * len(_named(g, room, system)) if slim else 0.0
        shapes += _pair(g, hatch, high, scale, factor, system, room)
        high += _ROW
    high += 16
    larger = f"growth drawn {factor:,} times".replace(",", "\u202f") if factor > 1 else "to scale"
    start = 8.0 if slim else room.left
    shapes.append(Words(start, high - 8, f"lengths to scale, {larger}", size=11.5))
    said = [
        f"{show(g.length, 'length', system)} of {g.parts[0][0]} "
        f"{'warmed' if g.rise >= 0 else 'cooled'} by "
        f"{show(abs(g.rise), 'temperature_difference', system)} "
        f"{'grows' if g.total >= 0 else 'shrinks'} by {small(abs(g.total), system)}."
        for g, _ in parts
    ]
    return Scene(room.width, high, tuple(shapes), (" ".join(said) + f" Lengths to scale, {larger}.")
                 .replace("\u202f", " "))  # fmt: skip


def _grows(g: Grown, system: str) -> str:
    return f"{'+' if g.total >= 0 else _MINUS}{small(abs(g.total), system)}"


def _named(g: Grown, room: _Room, system: str) -> list[str]:
    """Lines of a material's name: beside the bars, or above them beside the growth."""
    if room.width == WIDTH:
        return folded(g.parts[0][0], room.left - 64, 12.0, bold=True, most=3)
    wide = room.width - 28 - width_of(_grows(g, system), 12.5, bold=True)
    return folded(g.parts[0][0], wide, 12.0, bold=True)


def _pair(g: Grown, hatch: str, top: float, scale: float, factor: int, system: str,
          room: _Room) -> list[Shape]:  # fmt: skip
    end = room.left + g.length * scale
    grown = g.total * scale * factor
    out: list[Shape] = []
    slim, names = room.width < WIDTH, _named(g, room, system)
    first = top + 12 if not slim else top - 11 - 15 * (len(names) - 1)
    for n, line in enumerate(names):
        out.append(Words(8, first + 15 * n, line, "ink", 12, bold=True))
    later = "warm" if g.rise >= 0 else "cold"
    for k, (word, to) in enumerate((("before", end), (later, end + grown))):
        y = top + k * (_BAR + 9)
        out.append(Lines([box(room.left, y, max(to, room.left + 2), y + _BAR)], "ink", 1.1,
                         closed=True, fill="row" if hatch == "dots" else "field"))  # fmt: skip
        out.append(hatched(hatch, room.left + 1, y + 1, max(to, room.left + 4) - 1, y + _BAR - 1,
                           5.0))  # fmt: skip
        out.append(Words(room.left - 8, y + 12, word, size=11.5, anchor="end"))
    y = top + _BAR + 4.5
    out.append(Lines([[(end, top - 4), (end, top + 2 * _BAR + 13)]], "warn", 1.2, dash="4 3"))
    if abs(grown) > 2:
        out.append(arrow((end, y), (end + grown, y)))
    value = Words(max(end, end + grown) + 8, top + _BAR + 21, _grows(g, system), "warn", 12.5,
                  bold=True)  # fmt: skip
    if slim:
        value = Words(room.width - 6, first, value.text, "warn", 12.5, "end", bold=True)
    out.append(kept(value, 4.0, room.width - 4))
    return out


def athermal_picture(found: Athermal, names: tuple[str, str], hatches: tuple[str, str],
                     system: str = "SI", *, slim: bool = False) -> Scene:  # fmt: skip
    """Draw two materials whose growths cancel between two ends.

    Parameters
    ----------
    found : Athermal
        The lengths.
    names, hatches : tuple of str
        Of both materials, as they stand in `found`.
    system : str
        Display system.
    slim : bool
        For a small screen: half as wide, the names above and below the bars.

    Returns
    -------
    Scene

    Examples
    --------
    >>> from tubecalc.joining.growth import athermal
    >>> made = athermal("2e-6 /K", "23e-6 /K", length="1 m")
    >>> athermal_picture(made, ("a", "b"), ("axial", "dots")).says[:42]
    '1 095 mm of a from the left end, then 95.2'
    """
    one, two = found.one, found.two
    second_back = found.folded and one >= two
    width, left, long = (SLIM, 16.0, 318.0) if slim else (WIDTH, 190.0, 330.0)
    start, deeper = left, 0.0
    scale = long / max(one, two, found.length)
    shapes: list[Shape] = []
    y0, y1 = 48.0, 48.0 + _BAR + 26
    if not found.folded:
        spans = [(0.0, one, y0), (one, found.length, y0)]
    elif second_back:
        spans = [(0.0, one, y0), (found.length, one, y1)]
    else:
        spans = [(found.length - two, 0.0, y1), (found.length - two, found.length, y0)]
        left += (two - found.length) * scale
    for (a, b, y), name, hatch in zip(spans, names, hatches, strict=True):
        x0, x1 = sorted((left + a * scale, left + b * scale))
        x1 = max(x1, x0 + 2)
        shapes.append(Lines([box(x0, y, x1, y + _BAR)], "ink", 1.1, closed=True,
                            fill="row" if hatch == "dots" else "field"))  # fmt: skip
        if x1 - x0 > 6:
            shapes.append(hatched(hatch, x0 + 1, y + 1, x1 - 1, y + _BAR - 1, 5.0))
        words = f"{rough(abs(b - a), 'length', system, 4)} of {name}"
        if slim:
            lines = rows(words, 0.0, 0.0, width - 8, "ink")
            y_first = y - 6 - 15 * (len(lines) - 1)
            if y == y1 or (not found.folded and a > 0):
                y_first, deeper = y + _BAR + 15, 15.0 * len(lines) + 4
            shapes += [kept(Words((x0 + x1) / 2, y_first + w.y, w.text, "ink", 11.5, "middle",
                                  halo=True), 4.0, width - 4) for w in lines]  # fmt: skip
            continue
        wide = x1 - x0 > 150 or not found.folded
        up = y + _BAR + 15 if not found.folded and a > 0 else y - 6
        shapes.append(Words((x0 + x1) / 2 if wide else x0 - 6, up if wide else y + 12, words,
                            "ink", 11.5, "middle" if wide else "end", halo=True))  # fmt: skip
    shapes += _held(left, start, scale, found, (y0, y1, y1 + _BAR + 14 + deeper), system)
    shapes.sort(key=lambda s: isinstance(s, Words))  # no line runs through a word
    how = "running back" if found.folded else "end to end"
    first = rough(one, "length", system, 4)
    said = f"{first} of {names[0]} from the left end, then {rough(two, 'length', system, 4)} of "
    said += f"{names[1]} {how}: the ends stay {show(found.length, 'length', system)} apart."
    return Scene(width, y1 + _BAR + 62 + deeper, tuple(shapes), said.replace("\u202f", " "))


def _held(left: float, start: float, scale: float, found: Athermal,
          levels: tuple[float, float, float], system: str) -> list[Shape]:  # fmt: skip
    """The two ends that stay apart, and the piece that ties what runs back."""
    ends = left, left + found.length * scale
    out: list[Shape] = []
    tied = "; thick: tied together" if found.folded else ""
    y0, y1, low = levels
    out.append(Lines([[(x, y0 - 14), (x, low + 4)] for x in ends], "accent", 1.8))
    if found.folded:
        far = left + found.one * scale if found.one >= found.two else (
            left - (found.two - found.length) * scale)  # fmt: skip
        out.append(Lines([[(far, y0), (far, y1 + _BAR)]], "ink", 3.0))
    line, text = size_line(ends[0], ends[1], low, f"stays {show(found.length, 'length', system)}",
                           above=False)  # fmt: skip
    out += [line, kept(text, 4.0, WIDTH) if isinstance(text, Words) else text]
    out.append(Words(start, low + 38, f"lengths to scale{tied}", size=11.5))
    return out


__all__ = ["SLIM", "WIDTH", "athermal_picture", "growth_picture"]
