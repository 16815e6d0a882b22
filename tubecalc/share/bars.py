"""Reserve bars: one bar a way to fail, log axis, a line at 1, the governing one solid and bold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, log10

from tubecalc.checks.base import FAIL
from tubecalc.share.hatch import strokes
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words

WIDTH = 330.0
_NAMES = 166.0
_ROW = 21.0
_TOP = 8.0
_RIGHT = 84.0
_TICKS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True)
class Reserve:
    """One way to fail.

    Parameters
    ----------
    label : str
        Name of the check in words.
    value : float
        Reserve factor: capacity over factored demand, 1 just passes [-].
    governing : bool
        The lowest one that counts.
    advisory : bool
        Shown, but does not decide.
    grade : str
        Grade of evidence, A, B or C.
    """

    label: str
    value: float
    governing: bool = False
    advisory: bool = False
    grade: str = ""


def number(value: float) -> str:
    """Write a reserve factor in three figures.

    Parameters
    ----------
    value : float
        Reserve factor [-].

    Returns
    -------
    str
        For example "1.12", "34" or "> 1000".

    Examples
    --------
    >>> number(1.119), number(34.4), number(5000.0), number(0.0471)
    ('1.12', '34', '> 1000', '0.047')
    >>> number(0.9991)  # what fails is never written as if it passed
    '0.99'
    """
    if 0.99 <= value < FAIL:
        return "0.99"
    if not isfinite(value) or value > 1000:
        return "> 1000"
    if value >= 10:
        return f"{value:.0f}" if value >= 20 else f"{value:.1f}"
    return f"{value:.2f}" if value >= 0.1 else f"{value:.2g}"


def _x(value: float, left: float, right: float) -> float:
    share = (log10(min(max(value, 0.1), 10.0)) + 1) / 2
    return left + share * (right - left)


def _bar(
    r: Reserve, y: float, one: float, end: float, hatch: str | float, colour: str
) -> list[Shape]:
    x0, x1 = sorted((one, end))
    x1 = max(x1, x0 + 2)
    h = 12.0
    box = [(x0, y - h / 2), (x1, y - h / 2), (x1, y + h / 2), (x0, y + h / 2)]
    if r.governing:
        return [Lines([box], "ink", 1.0, closed=True, fill="ink")]
    marks: list[Points] = [
        [(x + x0, v + y - h / 2) for x, v in path] for path in strokes(hatch, x1 - x0, h, 4.0)
    ]
    dots = hatch == "dots"
    return [
        Lines(marks, colour, 1.9 if dots else 1.0, dot=dots),
        Lines([box], colour, 1.0, closed=True, dash="3 2" if r.advisory else ""),
    ]


def _row(r: Reserve, y: float, width: float, hatch: str | float, colour: str) -> list[Shape]:
    left, right = _NAMES + 8, width - _RIGHT
    one, end = _x(1.0, left, right), _x(r.value, left, right)
    tone = "ink" if r.governing or r.value < 1 else "muted"
    out: list[Shape] = [
        Words(_NAMES, y + 4, r.label, colour=tone, size=12, anchor="end", bold=r.governing)
    ]
    out += _bar(r, y, one, end, hatch, colour)
    text = number(r.value) + (" advice" if r.advisory else " fails" if r.value < 1 else "")
    out.append(
        Words(max(end, one) + 6, y + 4, text, colour=tone, size=12, bold=r.governing, halo=True)
    )
    return out


def reserve_bars(
    reserves: Sequence[Reserve],
    *,
    hatch: str | float,
    colour: str,
    rows: int = 0,
    width: float = WIDTH,
    says: str = "",
) -> Scene:
    """Draw the reserve of a tube by way to fail.

    Parameters
    ----------
    reserves : sequence of Reserve
        In the order shown, worst first.
    hatch : str or float
        Hatch of the construction.
    colour : str
        Colour role of the construction.
    rows : int
        Leave room for at least this many rows, so that the page does not jump [-].
    width : float
        Width of the picture [px].
    says : str
        The picture in words.

    Returns
    -------
    Scene
        The picture.

    Examples
    --------
    >>> reserve_bars([Reserve("sag", 1.2, governing=True)], hatch="hoop", colour="ink").height
    63.0
    """
    count = max(len(reserves), rows)
    bottom = _TOP + count * _ROW
    left, right = _NAMES + 8, width - _RIGHT
    shapes: list[Shape] = []
    ticks: list[Points] = [
        [(_x(t, left, right), _TOP), (_x(t, left, right), bottom)] for t in _TICKS if t != 1
    ]
    shapes.append(Lines(ticks, "grid", 0.8))
    for i, r in enumerate(reserves):
        shapes += _row(r, _TOP + (i + 0.5) * _ROW, width, hatch, colour)
    one = _x(1.0, left, right)
    shapes.append(Lines([[(one, _TOP - 4), (one, bottom + 4)]], "ink", 1.6))
    for t in (0.1, 1.0, 10.0):
        shapes.append(
            Words(_x(t, left, right), bottom + 16, f"{t:g}", size=11, anchor="middle",
                  colour="ink" if t == 1 else "muted", bold=t == 1)
        )  # fmt: skip
    shapes.append(Words(one, bottom + 30, "1 just passes", size=11, anchor="middle"))
    return Scene(width, bottom + 34, tuple(shapes), says)
