"""Tests weight for weight: one bar a test, hollow and with an arrow where it is only "at least"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tubecalc.share.palette import Style
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words

_ROW, _TOP, _RIGHT = 22.0, 24.0, 74.0


def plain(value: float, digits: int) -> str:
    r"""Number with so many digits that count, never with an exponent of ten in sight.

    Examples
    --------
    >>> plain(215939.4, 4).replace("\N{NARROW NO-BREAK SPACE}", " "), plain(0.01234, 2)
    ('215 900', '0.012')
    """
    rounded = float(f"{value:.{digits}g}")
    if abs(rounded) >= 1000:
        return f"{rounded:,.0f}".replace(",", "\u202f")
    return f"{rounded:.{digits}g}" if abs(rounded) < 10**digits else f"{rounded:.0f}"


@dataclass(frozen=True)
class Bar:
    """One test: number and name, value in the unit shown, style, whether it is a lower bound."""

    name: str
    value: float
    style: Style
    at_least: bool = False


def bar_picture(bars: Sequence[Bar], label: str, *, width: float = 460.0) -> Scene:
    """Draw the bars, longest first.

    Parameters
    ----------
    bars : sequence of Bar
        The tests.
    label : str
        What is measured, with its unit.
    width : float
        Width [px].

    Returns
    -------
    Scene

    Examples
    --------
    >>> from tubecalc.share.palette import style
    >>> bar_picture([Bar("1 rod", 3.0, style("pultruded", "axial"), True)], "load").says
    'load: 1 rod at least 3.'
    """
    rows = sorted(bars, key=lambda b: -b.value)
    names = min(max((7.4 * min(len(b.name), 24) for b in rows), default=60.0) + 12, 0.42 * width)
    told = [f"{'≥ ' if b.at_least else ''}{plain(b.value, 4)}" for b in rows]
    behind = (7.6 * len(t) + 12 + 10 * b.at_least for t, b in zip(told, rows, strict=True))
    room = width - names - max([_RIGHT, *behind])
    most = max((b.value for b in rows), default=1.0) or 1.0
    shapes: list[Shape] = [Words(0, 13, label, "muted", 12.5)]
    for n, bar in enumerate(rows):
        y = _TOP + n * _ROW
        wide = max(1.0, bar.value / most * room)
        letters = max(6, int((names - 10) / 7.4))
        name = bar.name if len(bar.name) <= letters else f"{bar.name[: letters - 1]}…"
        shapes.append(Words(names - 8, y + 13, name, "ink", 12.5, "end"))
        box: Points = [(names, y + 3), (names + wide, y + 3), (names + wide, y + 16),
                       (names, y + 16)]  # fmt: skip
        line = f"line:{bar.style.slug}"
        fill = "paper" if bar.at_least else line
        shapes.append(Lines([box], line, 1.6, closed=True, fill=fill))
        end = names + wide
        if bar.at_least:
            arrow: Points = [(end + 3, y + 5), (end + 9, y + 9.5), (end + 3, y + 14)]
            shapes.append(Lines([arrow], line, 1.8))
            end += 8
        shapes.append(Words(end + 6, y + 14, told[n], "ink", 12.5))
    said = ", ".join(
        f"{b.name}{' at least' if b.at_least else ''} {plain(b.value, 4)}" for b in rows
    )
    return Scene(width, _TOP + _ROW * max(len(rows), 1) + 4, tuple(shapes), f"{label}: {said}.")


__all__ = ["Bar", "bar_picture", "plain"]
