"""The main chart of a job: weight over diameter, its tubes numbered among all sizes around them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from tubecalc.compare import Judged, size_words
from tubecalc.laminate.construction import Construction
from tubecalc.need import Need
from tubecalc.share import palette
from tubecalc.share.chart import Axes, Picture, Series, frame, layer, nice_log, nice_range
from tubecalc.share.palette import Style
from tubecalc.share.scene import Dots, Lines, Points, Scene, Shape, Words
from tubecalc.share.wall_picture import spread
from tubecalc.sweep import grid
from tubecalc.sweep_quick import passing
from tubecalc.unit_display import in_unit, show, unit_label
from tubecalc.verdict import Verdict

Array = NDArray[np.float64]
WIDE, NARROW = 880.0, 354.0
_SIZES, _WALLS = 15, 10  # diameters and walls of the sizes around
_FADED = 0.32  # of the sizes that fail: the tubes of the job come first
_BADGE = 8.0
NUMBERED = 12  # most tubes whose numbers can be told apart; the others are small rings
_SPILL = 16.0  # room for a wide name at the right [px]


@dataclass(frozen=True, eq=False)
class Around:
    """Sizes of one construction around the tubes of a job."""

    construction: Construction
    od: Array
    mass: Array
    passes: NDArray[np.bool_]


def least(verdict: Verdict) -> float:
    """Reserve of the check that governs.

    Parameters
    ----------
    verdict : Verdict
        Of one tube.

    Returns
    -------
    float
        Infinite where nothing is driven [-].
    """
    if not verdict.governing:
        return math.inf
    value = float(verdict.reserve[verdict.governing])
    return value if not math.isnan(value) else -1.0


def ranked(judged: Judged) -> list[int]:
    """Tubes of a job as a reader wants them: recommended, passing, failing.

    Parameters
    ----------
    judged : Judged
        The tubes.

    Returns
    -------
    list of int
        Indices; the lightest that passes first, the nearest that fails first.
    """

    def place(n: int) -> tuple[bool, bool, float, int]:
        verdict, mass = judged.verdicts[n], float(judged.mass[n])
        fails = verdict is not None and not verdict.passes
        return n != judged.best, fails, -least(verdict) if fails and verdict else mass, n

    return sorted(range(len(judged)), key=place)


def styles_of(judged: Judged) -> dict[str, Style]:
    """Style of every construction in a comparison.

    Parameters
    ----------
    judged : Judged
        The tubes.

    Returns
    -------
    dict of str to Style
        By key, in the order of the tubes.
    """
    out: dict[str, Style] = {}
    for tube in judged.tubes:
        c = tube.construction
        if c.key not in out:
            out[c.key] = palette.style(c.key, c.hatch, metal=c.metal, order=len(out))
    return out


def around(judged: Judged) -> tuple[Around, ...]:
    """Judge the sizes around the tubes of a job, for every construction among them.

    Parameters
    ----------
    judged : Judged
        The tubes.

    Returns
    -------
    tuple of Around
        Empty without a case.
    """
    if not judged.need.cases:
        return ()
    made = tuple({t.construction.key: t.construction for t in judged.tubes}.values())
    ods, walls = _ranges(judged)
    cases = tuple(replace(c, name="") for c in judged.need.cases)
    unnamed = replace(judged.need, title="", cases=cases)  # a new title computes nothing anew
    return tuple(
        _around(c, ods, tuple(sorted({*walls, *_own_walls(judged, c)})), unnamed) for c in made
    )


def _own_walls(judged: Judged, construction: Construction) -> list[float]:
    """Walls of the tubes of one construction, so that its line passes through them [m]."""
    s = judged.candidates.sections.t
    return [
        round(float(s[n]), 9)
        for n, t in enumerate(judged.tubes)
        if t.construction.key == construction.key
    ]


def _ranges(judged: Judged) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Diameters and walls to try: somewhat beyond the tubes, round steps of diameter [m]."""
    s = judged.candidates.sections
    low, high = float(np.min(s.ro)) * 2, float(np.max(s.ro)) * 2
    top = judged.need.limits.od_max
    low, high = 0.7 * low, 1.3 * high if math.isnan(top) else max(high, min(top, 2 * high))
    even, own = np.linspace(low, high, _SIZES), np.unique((2 * s.ro).round(6))
    apart = np.abs(even[:, None] - own).min(axis=1) > 0.6 * (even[1] - even[0])
    ods = np.sort(np.concatenate([even[apart].round(6), own]))
    walls = np.geomspace(0.6 * float(np.min(s.t)), 1.6 * float(np.max(s.t)), _WALLS)
    return tuple(ods.tolist()), tuple(np.round(walls, 6).tolist())


@lru_cache(maxsize=64)
def _around(
    construction: Construction, ods: tuple[float, ...], walls: tuple[float, ...], need: Need
) -> Around:
    sizes = grid([construction], np.array(ods), np.array(walls))
    mass = sizes.part(slice(None)).sections.mass_per_length
    return Around(construction, sizes.od, np.asarray(mass), passing(sizes, need))


def _near(judged: Judged, one: Around) -> Around:
    """Sizes about as heavy as the tubes of the job."""
    low, high = 0.5 * float(np.min(judged.mass)), 1.8 * float(np.max(judged.mass))
    seen = (one.mass >= low) & (one.mass <= high)
    return Around(one.construction, one.od[seen], one.mass[seen], one.passes[seen])


def axes_of(
    judged: Judged, sizes: Sequence[Around], system: str, width: float = WIDE, height: float = 0.0
) -> Axes:
    """Axes that hold the tubes and the sizes around them.

    Parameters
    ----------
    judged : Judged
        The tubes.
    sizes : sequence of Around
        From `around`.
    system : str
        Display system.
    width, height : float
        Size of the picture; the usual height where it is 0 [px].

    Returns
    -------
    Axes
        Outside diameter and mass per length.
    """
    od = np.concatenate([2 * judged.candidates.sections.ro, *(a.od for a in sizes)])
    mass = np.concatenate([judged.mass, *(a.mass for a in sizes)])
    x = [in_unit(float(v), "length", system) for v in (od.min(), od.max())]
    y = [in_unit(float(v), "linear_density", system) for v in (mass.min(), mass.max())]
    margin = 0.04 * (x[1] - x[0]) or 0.2 * x[1]
    wide = width >= 560
    return Axes(
        nice_range(max(0.0, x[0] - margin), x[1] + margin),
        nice_log(y[0], max(y[1], 2 * y[0])),
        f"outside diameter, {unit_label('length', system)}",
        f"mass, {unit_label('linear_density', system)}" + (" of length" if wide else ""),
        width, height or (430.0 if wide else 400.0),
    )  # fmt: skip


def says_chart(judged: Judged, system: str = "SI") -> str:
    """Say the message of the chart in words.

    Parameters
    ----------
    judged : Judged
        The tubes.
    system : str
        Display system.

    Returns
    -------
    str
        One or two sentences.
    """
    parts = []
    for number, n in enumerate(ranked(judged), 1):
        ok = judged.passes(n)
        word = "" if ok is None else (" passes" if ok else " fails")
        mass = show(float(judged.mass[n]), "linear_density", system)
        size = size_words(judged.tubes[n], system)
        parts.append(f"{number} {judged.names[n]} {size} at {mass}{word}")
    return f"Chart of mass per length over outside diameter: {'; '.join(parts)}."


def chart_scene(
    judged: Judged, sizes: Sequence[Around], system: str | None = None, width: float = WIDE,
    height: float = 0.0,
) -> Scene:  # fmt: skip
    """Draw the main chart of a job.

    Parameters
    ----------
    judged : Judged
        The tubes.
    sizes : sequence of Around
        From `around`.
    system : str, optional
        Display system; the job's own when not given.
    width, height : float
        Size of the picture; the usual height where it is 0 [px].

    Returns
    -------
    Scene
        Frame, sizes around (filled pass, hollow fail), numbered tubes.
    """
    system = system or judged.system
    sizes = [_near(judged, a) for a in sizes]
    axes = axes_of(judged, sizes, system, width - _SPILL, height)
    styles = styles_of(judged)
    series = tuple(
        Series(
            a.construction.key, a.construction.name, styles[a.construction.key].slug,
            a.od * in_unit(1.0, "length", system), a.mass * in_unit(1.0, "linear_density", system),
            a.passes, a.construction.metal,
        )
        for a in sizes
    )  # fmt: skip
    under = layer(axes, Picture(series))
    faded = [
        replace(x, opacity=_FADED) if isinstance(x, Dots) and x.hollow else x for x in under.shapes
    ]
    shapes = (*frame(axes).shapes, *faded, *_badges(judged, axes, system, styles))
    return Scene(axes.width + _SPILL, axes.height, shapes, says_chart(judged, system))


def _badges(judged: Judged, axes: Axes, system: str, styles: dict[str, Style]) -> list[Shape]:
    """Number of every tube at its place, moved apart where they would cover each other."""
    x = axes.px(2 * judged.candidates.sections.ro * in_unit(1.0, "length", system))
    y = axes.py(judged.mass * in_unit(1.0, "linear_density", system))
    order = ranked(judged)[:NUMBERED]
    places = dict(zip(order, _apart(x[order], y[order], axes), strict=True))
    leaders: list[Shape] = []
    out: list[Shape] = [
        Lines([_circle((float(x[n]), float(y[n])), 3.4)], "ink", 1.0, closed=True, fill="paper")
        for n in range(len(judged)) if n not in places
    ]  # fmt: skip
    for number, n in reversed(list(enumerate(order, 1))):
        at, slug = places[n], styles[judged.tubes[n].construction.key].slug
        here = (float(x[n]), float(y[n]))
        if math.dist(at, here) > 1:
            leaders.append(Lines([[here, at]], "ink", 1.0))
            leaders.append(Lines([_circle(here, 3.4)], "paper", 3.0, closed=True))
            leaders.append(Lines([_circle(here, 3.4)], "ink", 1.0, closed=True, fill="ink"))
        out += badge(number, at, slug, best=n == judged.best, passes=judged.passes(n))
    return leaders + out


def _circle(at: tuple[float, float], r: float) -> Points:
    turns = np.linspace(0, 2 * np.pi, 33).tolist()
    return [(at[0] + r * math.cos(t), at[1] + r * math.sin(t)) for t in turns]


def badge(
    number: int, at: tuple[float, float], slug: str, *, best: bool, passes: bool | None
) -> list[Shape]:
    """Number of a tube in a ring: filled for the recommended, dashed for one that fails.

    Parameters
    ----------
    number : int
        Number of the tube [-].
    at : tuple of float
        Middle [px].
    slug : str
        Colour name of its style.
    best : bool
        Whether it is recommended.
    passes : bool or None
        Whether it passes; None where nothing is judged.

    Returns
    -------
    list of Shape

    Examples
    --------
    >>> [x.text for x in badge(3, (9.0, 9.0), "a", best=True, passes=True) if isinstance(x, Words)]
    ['3']
    """
    r = _BADGE + (1.5 if best else 0.0)
    circle = _circle(at, r)
    dash = "2.5 2" if passes is False else ""
    face, text = ("ink", "paper") if best else ("paper", f"text:{slug}")
    return [
        Lines([circle], "paper", 5.0, closed=True, fill="paper"),
        Lines([circle], "ink" if best else f"line:{slug}", 1.6, closed=True, fill=face, dash=dash),
        Words(at[0], at[1] + 4, str(number), text, 12 if number < 10 else 10, "middle", bold=True),
    ]


def _apart(x: Array, y: Array, axes: Axes) -> list[tuple[float, float]]:
    """Places of the badges: close neighbours stand beside their places, one above the other."""
    gap = 2 * _BADGE + 5
    out = list(zip(x.tolist(), y.tolist(), strict=True))
    left = set(range(len(out)))
    while left:
        group = [left.pop()]
        for k in group:
            near = {m for m in left if abs(x[m] - x[k]) < gap and abs(y[m] - y[k]) < gap}
            left -= near
            group += sorted(near)
        if len(group) > 1:
            wanted = [float(y[k]) for k in group]
            for k, place in zip(group, spread(wanted, gap, 24.0, axes.bottom - 14), strict=True):
                out[k] = (max(float(x[m]) for m in group) + 3 * _BADGE, place)
    return out


__all__ = [
    "NARROW", "NUMBERED", "WIDE", "Around", "around", "axes_of", "badge", "chart_scene", "least",
    "ranked", "says_chart", "styles_of",
]  # fmt: skip
