"""Curves of tests: one with every point that was found on it, or several over each other."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

import numpy as np

from tubecalc.share.palette import Style
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words
from tubecalc.testing.bench import Array, Seen, thin
from tubecalc.testing.column_bow import bowed_load
from tubecalc.testing.result import TestResult
from tubecalc.unit_display import in_unit, show, unit_label

LEFT, RIGHT, _TOP, _BOTTOM = 64.0, 18.0, 16.0, 46.0
SHORT = {
    "origin": "origin", "linear-from": "straight from", "linear-to": "straight to",
    "departure": "leaves the line", "offset": "0.2 % offset", "peak": "largest",
    "first-drop": "first fall", "drop": "fall", "slip": "slip", "unloaded": "no load",
}  # fmt: skip


@dataclass(frozen=True)
class Axes:
    """Where the values of a picture lie: travel and load at the corners, in the units shown."""

    width: float
    height: float
    x: tuple[float, float]
    y: tuple[float, float]
    legend: float = 0.0

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Place of a point [px]."""
        right, low = self.width - RIGHT - self.legend, self.height - _BOTTOM
        sx = (x - self.x[0]) / (self.x[1] - self.x[0])
        sy = (y - self.y[0]) / (self.y[1] - self.y[0])
        return LEFT + sx * (right - LEFT), low - sy * (low - _TOP)

    def travel(self, px: float) -> float:
        """Travel at a place, in the unit shown."""
        right = self.width - RIGHT - self.legend
        return self.x[0] + (px - LEFT) / (right - LEFT) * (self.x[1] - self.x[0])


@dataclass(frozen=True)
class Shown:
    """A curve in the units shown, turned so that load and travel grow.

    Attributes
    ----------
    x, y : numpy.ndarray
        Travel and load.
    sign_x, sign_y : float
        What the recorded values were multiplied by.
    per_x : float
        Unit shown per mm or deg.
    marks : tuple of (key, x, y)
        Points found.
    """

    x: Array
    y: Array
    sign_x: float
    sign_y: float
    per_x: float
    marks: tuple[tuple[str, float, float], ...] = ()

    @property
    def origin(self) -> float:
        """Travel of the origin; 0 where it is not known."""
        return next((x for k, x, _ in self.marks if k in ("origin", "unloaded")), 0.0)


def labels(*, torsion: bool, units: str) -> tuple[str, str]:
    """Names of travel and load with their units.

    Parameters
    ----------
    torsion : bool
        Whether it was twisted.
    units : str
        Display system.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> labels(torsion=False, units="inch")
    ('travel, in', 'load, lbf')
    """
    if torsion:
        return "twist, deg", f"torque, {unit_label('torque', units)}"
    return f"travel, {unit_label('length', units)}", f"load, {unit_label('force', units)}"


def is_torsion(seen: Seen) -> bool:
    """Whether the load of a test is a torque."""
    if seen.result is not None:
        return seen.result.kind == "torsion"
    return seen.curve is not None and "torque_N_m" in seen.curve.data


def shown(seen: Seen, units: str, *, points: int = 0) -> Shown:
    """Curve of a test in the units shown.

    Parameters
    ----------
    seen : Seen
        The test.
    units : str
        Display system.
    points : int
        At most so many, 0 for all there are [-].

    Returns
    -------
    Shown
    """
    torsion, result = is_torsion(seen), seen.result
    per_y = in_unit(1.0, "torque" if torsion else "force", units)
    per_x = 1.0 if torsion else in_unit(1e-3, "length", units)
    sx, sy = _signs(seen, result)
    x, y = thin(seen.x, seen.y, points) if points else (seen.x, seen.y)
    marks = () if result is None else tuple(
        (m.key, sx * m.x * per_x, sy * m.y * per_y) for m in result.marks
        if math.isfinite(m.x) and math.isfinite(m.y)
    )  # fmt: skip
    return Shown(sx * x * per_x, sy * y * per_y, sx, sy, per_x, marks)


def _signs(seen: Seen, result: TestResult | None) -> tuple[float, float]:
    """Signs that turn load and travel so that they grow."""
    places = {m.key: m for m in result.marks} if result else {}
    top, low = (
        places.get("peak"),
        next((places[k] for k in ("origin", "unloaded", "linear-from") if k in places), None),
    )
    if top is None:
        if not len(seen.y):
            return 1.0, 1.0
        n = int(np.argmax(np.abs(seen.y)))
        return (-1.0 if seen.x[n] < 0 else 1.0), (-1.0 if seen.y[n] < 0 else 1.0)
    first = low.x if low else 0.0
    return (-1.0 if top.x < first else 1.0), (-1.0 if top.y < 0 else 1.0)


def _ticks(low: float, high: float, count: int) -> list[float]:
    """Round values that take in both ends."""
    span = high - low
    if not span > 0 or not math.isfinite(span):
        return [0.0, 1.0]
    rough = span / count
    power = 10.0 ** floor(log10(rough))
    step = next(m * power for m in (1.0, 2.0, 2.5, 5.0, 10.0) if m * power >= rough * 0.999)
    first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    return [k * step for k in range(first, last + 1)]


def _say(value: float) -> str:
    if abs(value) >= 1000:
        return f"{value:,.0f}".replace(",", "\u202f")
    return f"{value:.6g}"


def around(
    curves: Sequence[Shown], size: tuple[float, float], names: tuple[str, str], legend: float
) -> tuple[Axes, list[Shape]]:
    """Axes around curves, with their lines and numbers."""
    width, height = size
    xs = [c.x for c in curves if len(c.x)] or [np.array([0.0, 1.0])]
    ys = [c.y for c in curves if len(c.y)] or [np.array([0.0, 1.0])]
    x = _ticks(*_ends(xs), 8 if width >= 560 else 4)
    y = _ticks(*_ends(ys), 6)
    axes = Axes(width, height, (x[0], x[-1]), (y[0], y[-1]), legend)
    right, low = width - RIGHT - legend, height - _BOTTOM
    across: list[Points] = [[(LEFT, p), (right, p)] for p in (axes.at(0, v)[1] for v in y)]
    up: list[Points] = [[(p, _TOP), (p, low)] for p in (axes.at(v, 0)[0] for v in x)]
    corner: Points = [(LEFT, _TOP), (LEFT, low), (right, low)]
    shapes: list[Shape] = [Lines(across, "grid", 1.0), Lines(up, "grid", 0.6),
                           Lines([corner], "rule", 1.0)]  # fmt: skip
    shapes += [Words(axes.at(v, 0)[0], low + 17, _say(v), anchor="middle") for v in x]
    shapes += [Words(LEFT - 8, axes.at(0, v)[1] + 4, _say(v), anchor="end") for v in y]
    shapes.append(Words((LEFT + right) / 2, low + 36, names[0], anchor="middle"))
    shapes.append(Words(13, (_TOP + low) / 2, names[1], anchor="middle", rotate=-90))
    return axes, shapes


def _ends(values: Sequence[Array]) -> tuple[float, float]:
    """From nil, or from below where more than noise lies there, to the most."""
    low, high = min(float(v.min()) for v in values), max(float(v.max()) for v in values)
    return (0.0 if low > -0.04 * abs(high) else low), 1.02 * high


def drawn_path(axes: Axes, x: Array, y: Array) -> Points:
    """Path of a curve in a picture."""
    return [axes.at(a, b) for a, b in zip(x.tolist(), y.tolist(), strict=True)]


def one_picture(
    seen: Seen, style: Style, units: str, *, width: float = 720.0, height: float = 420.0
) -> tuple[Scene, Axes, Shown]:
    """One curve with the points found on it and its straight part drawn on.

    Parameters
    ----------
    seen : Seen
        The test.
    style : Style
        Of its construction.
    units : str
        Display system.
    width, height : float
        Size [px].

    Returns
    -------
    tuple of Scene, Axes and Shown
        The picture, and what is needed to place handles on it.
    """
    curve = shown(seen, units)
    torsion = is_torsion(seen)
    names = labels(torsion=torsion, units=units)
    extra: list[Shape] = []
    space = [curve]
    if seen.result is not None and sideways(seen.result):
        names = names[0].replace("travel", "sideways deflection"), names[1]
    if seen.result is not None and across(seen.result):
        space.append(critical_level(seen.result, curve, units))
    turned = [" (sign turned)" if v < 0 else "" for v in (curve.sign_x, curve.sign_y)]
    names = names[0] + turned[0], names[1] + turned[1]
    axes, shapes = around(space, (width, height), names, 0.0)
    if len(space) > 1 and seen.result is not None:
        extra = bowed_shapes(seen.result, axes, space, units)
    line = f"line:{style.slug}"
    shapes += extra
    if len(curve.x):
        shapes += _straight(axes, curve)
        shapes.append(Lines([drawn_path(axes, curve.x, curve.y)], line, 2.0))
    shapes += _named(axes, curve)
    if not len(curve.x):
        shapes.append(Words(width / 2, height / 2, "no curve to draw yet", "ink", 14, "middle"))
    says = f"Load over travel of {seen.name}: " + (
        ", ".join(f"{SHORT.get(k, k)} at {x:.4g}, {y:.4g}" for k, x, y in curve.marks)
        or "nothing found"
    )
    return Scene(width, height, tuple(shapes), says + "."), axes, curve


def sideways(result: TestResult) -> bool:
    """Whether it is a column whose load is read against its sideways deflection."""
    return result.kind == "column" and result.way == "deflection_mm"


def across(result: TestResult) -> bool:
    """Whether it is a column whose critical load was found from its sideways deflection."""
    return sideways(result) and not math.isnan(result.si.get("critical", math.nan))


def critical_level(result: TestResult, curve: Shown, units: str) -> Shown:
    """Critical load of a column over the width of its curve, in the units shown."""
    load = in_unit(result.si["critical"], "force", units)
    ends = np.array([curve.origin, float(np.max(curve.x, initial=curve.origin))])
    return Shown(ends, np.array([load, load]), curve.sign_x, curve.sign_y, curve.per_x)


def bowed_shapes(result: TestResult, axes: Axes, space: Sequence[Shown], units: str) -> list[Shape]:
    """Critical load of a column, and the curve of its bow."""
    curve, level = space
    v = result.si
    u = np.linspace(0.0, float(level.x[1] - level.x[0]), 120)
    load = in_unit(1.0, "force", units) * bowed_load(
        u / curve.per_x * 1e-3, v["critical"], v["bow"]
    )
    told = drawn_path(axes, level.x, level.y)
    part = (u >= v["bow_from"] * 1e3 * curve.per_x) & (u <= v["bow_to"] * 1e3 * curve.per_x)
    fitted = drawn_path(axes, u + curve.origin, load)
    wide = [p for p, on in zip(fitted, part.tolist(), strict=True) if on]
    shapes: list[Shape] = [Lines([wide], "field", 9.0)] if len(wide) > 1 else []
    shapes += [Lines([fitted], "ink", 1.0, dash="5 4"), Lines([told], "ink", 1.0, dash="2 3")]
    name = f"critical load {show(v['critical'], 'force', units)}"
    shapes.append(Words(told[0][0] + 8, told[0][1] - 6, name, "ink", 12, halo=True))
    return shapes


def _straight(axes: Axes, curve: Shown) -> list[Shape]:
    """Straight part drawn back to the origin and on beyond its end."""
    at = {k: (x, y) for k, x, y in curve.marks}
    if not {"origin", "linear-from", "linear-to"} <= set(at):
        return []
    (x0, y0), (x1, y1) = at["origin"], at["linear-to"]
    if not y1 > y0:
        return []
    top = min(axes.y[1], y1 + 0.35 * (y1 - y0))
    far = x0 + (x1 - x0) * (top - y0) / (y1 - y0)
    part: Points = [axes.at(*at["linear-from"]), axes.at(x1, y1)]
    thin_line: Points = [axes.at(x0, y0), axes.at(far, top)]
    return [Lines([part], "field", 9.0), Lines([thin_line], "ink", 1.0, dash="5 4")]


def _reach(at: float, words: str, *, right: bool) -> tuple[float, float]:
    """From where to where a name reaches [px]."""
    long = 7.0 * len(words)
    return (at, at + long) if right else (at - long, at)


def _free(
    wish: float, step: float, reach: tuple[float, float],
    taken: Sequence[tuple[float, float, float]], floor_px: float,
) -> float:  # fmt: skip
    """Nearest height to a wish, step by step, at which a name lies on no other [px]."""
    start = min(wish, floor_px)
    near = [t for a, b, t in taken if a < reach[1] and reach[0] < b]
    for way in (step, -step):
        top = start
        while 10 < top <= floor_px:
            if all(abs(top - t) >= 13 for t in near):
                return top
            top += way
    return start


def _named(axes: Axes, curve: Shown) -> list[Shape]:
    """Rings with their names, which do not lie on each other."""
    out: list[Shape] = []
    taken: list[tuple[float, float, float]] = []
    count = 0
    for key, x, y in curve.marks:
        count += key == "drop"
        if key == "drop" and count > 4:
            continue
        px, py = axes.at(x, y)
        turns = np.linspace(0, 2 * np.pi, 25).tolist()
        ring: Points = [(px + 5 * np.cos(t), py + 5 * np.sin(t)) for t in turns]
        out.append(Lines([ring], "ink", 1.8, closed=True, fill="paper"))
        if key == "drop":
            continue
        words = SHORT.get(key, key)
        right = px < axes.width - 130
        low = key in ("origin", "linear-from")
        at = px + (9 if right else -9)
        top = _free(py + 16 if low else py - 9, -14 if low else 14, _reach(at, words, right=right),
                    taken, axes.height - _BOTTOM - 4)  # fmt: skip
        taken.append((*_reach(at, words, right=right), top))
        out.append(Words(at, top, words, "ink", 12, "start" if right else "end", halo=True))
    return out


__all__ = [
    "SHORT", "Axes", "Shown", "around", "drawn_path", "is_torsion", "labels", "one_picture",
    "shown", "sideways",
]  # fmt: skip
