"""Several curves of tests over each other, each begun at its own origin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tubecalc.share.bench_curves import (
    Shown,
    around,
    drawn_path,
    is_torsion,
    labels,
    shown,
    sideways,
)
from tubecalc.share.palette import Style
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words
from tubecalc.testing.bench import Seen


@dataclass(frozen=True)
class Trace:
    """A curve among others: its number, the test, its style, whether it is the chosen one."""

    number: int
    seen: Seen
    style: Style
    chosen: bool = False


def over_picture(
    traces: Sequence[Trace], units: str, *, width: float = 720.0, height: float = 380.0,
    title: str = "",
) -> Scene:  # fmt: skip
    """Several curves over each other, each begun at its own origin.

    Parameters
    ----------
    traces : sequence of Trace
        Tests of one kind.
    units : str
        Display system.
    width, height : float
        Size [px].
    title : str
        Words for the picture.

    Returns
    -------
    Scene
    """
    points = max(60, min(400, 1600 // max(len(traces), 1)))
    curves = []
    for t in traces:
        c = shown(t.seen, units, points=points)
        marks = tuple((k, x - c.origin, y) for k, x, y in c.marks)
        curves.append(Shown(c.x - c.origin, c.y, c.sign_x, c.sign_y, c.per_x, marks))
    torsion = bool(traces) and is_torsion(traces[0].seen)
    names = labels(torsion=torsion, units=units)
    if traces and all(t.seen.result is not None and sideways(t.seen.result) for t in traces):
        names = names[0].replace("travel", "sideways deflection"), names[1]
    axes, shapes = around(curves, (width, height), names, 0.0)
    ordered = sorted(zip(traces, curves, strict=True), key=lambda p: p[0].chosen)
    for t, c in ordered:
        dash = "7 3" if t.style.dashed else ""
        pen = 2.6 if t.chosen else 1.5
        shapes.append(Lines([drawn_path(axes, c.x, c.y)], f"line:{t.style.slug}", pen, dash=dash))
    tips = []
    for t, c in ordered:
        top = next(((x, y) for k, x, y in c.marks if k == "peak"), None)
        if top is None and len(c.y):
            n = int(np.argmax(c.y))
            top = (float(c.x[n]), float(c.y[n]))
        if top is not None:
            tips.append((t, *axes.at(*top)))
    shapes += _tips(tips)
    if not traces:
        shapes.append(Words(width / 2, height / 2, "nothing to draw", "ink", 14, "middle"))
    return Scene(width, height, tuple(shapes), title)


def _tips(tips: Sequence[tuple[Trace, float, float]]) -> list[Shape]:
    """Number of every curve at its largest load; an arrow where it is only "at least"."""
    out: list[Shape] = []
    groups: list[list[tuple[Trace, float, float]]] = []
    for tip in sorted(tips, key=lambda t: t[0].number):
        near = next((g for g in groups if _near(g[0], tip)), None)
        groups.append([tip]) if near is None else near.append(tip)
    taken: list[tuple[float, float]] = []
    for group in groups:
        x, y = max(g[1] for g in group), min(g[2] for g in group)
        slug = group[0][0].style.slug
        for t, px, py in group:
            if t.seen.result is not None and t.seen.result.peak_is_at_least:
                head: Points = [(px - 4, py - 8), (px, py - 14), (px + 4, py - 8)]
                out.append(Lines([[(px, py), (px, py - 13)], head], f"line:{slug}", 1.8))
        words, place = _numbers([t.number for t, _, _ in group]), y - 5
        while any(abs(place - b) < 13 and abs(x - a) < 40 for a, b in taken) and place > 12:
            place -= 13
        taken.append((x, place))
        out.append(Words(x + 7, place, words, f"text:{slug}", 12.5, bold=True, halo=True))
    return out


def _near(a: tuple[Trace, float, float], b: tuple[Trace, float, float]) -> bool:
    return a[0].style == b[0].style and abs(a[1] - b[1]) < 26 and abs(a[2] - b[2]) < 40


def _numbers(numbers: Sequence[int]) -> str:
    """Numbers in few letters: runs as their ends."""
    runs: list[list[int]] = []
    for n in sorted(numbers):
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    return ", ".join(f"{r[0]}" if len(r) == 1 else f"{r[0]} to {r[-1]}" for r in runs)


__all__ = ["Trace", "over_picture"]
