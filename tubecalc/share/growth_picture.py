"""Lengths before and after warming, the growth drawn larger; two materials that cancel it."""

from __future__ import annotations

from collections.abc import Sequence

from tubecalc.joining.fit_words import length as small
from tubecalc.joining.growth import Athermal, Grown
from tubecalc.share.fit_picture import FACTORS
from tubecalc.share.joint_shapes import arrow, box, hatched, size_line
from tubecalc.share.letters import folded
from tubecalc.share.scene import Lines, Scene, Shape, Words
from tubecalc.unit_display import show
from tubecalc.unit_words import rough

WIDTH = 680.0
_LEFT, _LONG, _TOP, _ROW, _BAR = 190.0, 330.0, 34.0, 62.0, 15.0
_MOST = 76.0  # room for a growth that is drawn larger [px]
_LARGER = (*FACTORS, 2000, 5000, 10000, 20000, 50000)


def _factor(longest: float) -> int:
    """Round factor that makes the largest growth seen; `longest` to scale [px]."""
    return max((f for f in _LARGER if longest * f <= _MOST), default=1)


def growth_picture(parts: Sequence[tuple[Grown, str]], system: str = "SI") -> Scene:
    """Draw lengths before and after a change of temperature.

    Parameters
    ----------
    parts : sequence of (Grown, hatch)
        Assemblies of one part each, of one length, and the hatches of their materials.
    system : str
        Display system.

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
    scale = _LONG / long
    most = max(abs(g.total) for g, _ in parts) * scale
    factor = _factor(most) if most > 0 else 1
    shapes: list[Shape] = []
    for n, (g, hatch) in enumerate(parts):
        shapes += _pair(g, hatch, _TOP + n * (_ROW + 12), scale, factor, system)
    high = _TOP + len(parts) * (_ROW + 12) + 16
    larger = f"growth drawn {factor:,} times".replace(",", "\u202f") if factor > 1 else "to scale"
    shapes.append(Words(_LEFT, high - 8, f"lengths to scale, {larger}", size=11.5))
    said = [
        f"{show(g.length, 'length', system)} of {g.parts[0][0]} "
        f"{'warmed' if g.rise >= 0 else 'cooled'} by "
        f"{show(abs(g.rise), 'temperature_difference', system)} "
        f"{'grows' if g.total >= 0 else 'shrinks'} by {small(abs(g.total), system)}."
        for g, _ in parts
    ]
    return Scene(WIDTH, high, tuple(shapes), (" ".join(said) + f" Lengths to scale, {larger}.")
                 .replace("\u202f", " "))  # fmt: skip


def _pair(g: Grown, hatch: str, top: float, scale: float, factor: int,
          system: str) -> list[Shape]:  # fmt: skip
    end = _LEFT + g.length * scale
    grown = g.total * scale * factor
    out: list[Shape] = []
    for n, line in enumerate(folded(g.parts[0][0], _LEFT - 64, 12.0, bold=True, most=3)):
        out.append(Words(8, top + 12 + 15 * n, line, "ink", 12, bold=True))
    later = "warm" if g.rise >= 0 else "cold"
    for k, (word, to) in enumerate((("before", end), (later, end + grown))):
        y = top + k * (_BAR + 9)
        out.append(Lines([box(_LEFT, y, max(to, _LEFT + 2), y + _BAR)], "ink", 1.1, closed=True,
                         fill="row" if hatch == "dots" else "field"))  # fmt: skip
        out.append(hatched(hatch, _LEFT + 1, y + 1, max(to, _LEFT + 4) - 1, y + _BAR - 1, 5.0))
        out.append(Words(_LEFT - 8, y + 12, word, size=11.5, anchor="end"))
    y = top + _BAR + 4.5
    out.append(Lines([[(end, top - 4), (end, top + 2 * _BAR + 13)]], "warn", 1.2, dash="4 3"))
    if abs(grown) > 2:
        out.append(arrow((end, y), (end + grown, y)))
    sign = "+" if g.total >= 0 else "\u2212"
    words = f"{sign}{small(abs(g.total), system)}"
    out.append(Words(max(end, end + grown) + 8, top + _BAR + 21, words, "warn", 12.5, bold=True))
    return out


def athermal_picture(found: Athermal, names: tuple[str, str], hatches: tuple[str, str],
                     system: str = "SI") -> Scene:  # fmt: skip
    """Draw two materials whose growths cancel between two ends.

    Parameters
    ----------
    found : Athermal
        The lengths.
    names, hatches : tuple of str
        Of both materials, as they stand in `found`.
    system : str
        Display system.

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
    scale = _LONG / max(one, two, found.length)
    left = _LEFT
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
        wide = x1 - x0 > 150 or not found.folded
        up = y + _BAR + 15 if not found.folded and a > 0 else y - 6
        shapes.append(Words((x0 + x1) / 2 if wide else x0 - 6, up if wide else y + 12, words,
                            "ink", 11.5, "middle" if wide else "end", halo=True))  # fmt: skip
    shapes += _held(left, scale, found, y0, y1, system)
    how = "running back" if found.folded else "end to end"
    first = rough(one, "length", system, 4)
    said = f"{first} of {names[0]} from the left end, then {rough(two, 'length', system, 4)} of "
    said += f"{names[1]} {how}: the ends stay {show(found.length, 'length', system)} apart."
    return Scene(WIDTH, y1 + _BAR + 62, tuple(shapes), said.replace("\u202f", " "))


def _held(left: float, scale: float, found: Athermal, y0: float, y1: float,
          system: str) -> list[Shape]:  # fmt: skip
    """The two ends that stay apart, and the piece that ties what runs back."""
    ends = left, left + found.length * scale
    out: list[Shape] = []
    tied = "; thick: tied together" if found.folded else ""
    low = y1 + _BAR + 14
    out.append(Lines([[(x, y0 - 14), (x, low + 4)] for x in ends], "accent", 1.8))
    if found.folded:
        far = left + found.one * scale if found.one >= found.two else (
            left - (found.two - found.length) * scale)  # fmt: skip
        out.append(Lines([[(far, y0), (far, y1 + _BAR)]], "ink", 3.0))
    out += size_line(ends[0], ends[1], low, f"stays {show(found.length, 'length', system)}",
                     above=False)  # fmt: skip
    out.append(Words(_LEFT, low + 38, f"lengths to scale{tied}", size=11.5))
    return out


__all__ = ["WIDTH", "athermal_picture", "growth_picture"]
