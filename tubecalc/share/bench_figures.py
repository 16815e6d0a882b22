"""Figures of one test on the bench as texts, in the units of the display system."""

from __future__ import annotations

import math

from tubecalc.errors import InputError
from tubecalc.share.bench_bars import plain
from tubecalc.testing.bench import RIGID, Seen
from tubecalc.testing.bench_sum import Stat
from tubecalc.testing.reduce_frame import read_frame
from tubecalc.testing.result import TestResult
from tubecalc.unit_display import in_unit, show, unit_label

NONE = "–"


def figure(value: float, kind: str, units: str) -> str:
    """Value with its unit; a dash where there is none; large loads in kN.

    Parameters
    ----------
    value : float
        SI.
    kind : str
        Kind of quantity; "EA" for a stiffness along the axis.
    units : str
        Display system.

    Returns
    -------
    str

    Examples
    --------
    >>> figure(539646.3, "EA", "SI")
    '539.6 kN'
    """
    if math.isnan(value):
        return NONE
    if kind == "EA":
        return f"{plain(value / 1e3, 4)} kN" if units == "SI" else show(value, "force", units)
    return show(value, kind, units)


def size(r: TestResult, units: str) -> str:
    """Section and span or gauge length of a test."""
    rig, out = r.rig, ""
    if rig.od == rig.od:
        out = show(rig.od, "length", units)
        if rig.wall == rig.wall:
            bore = show(rig.od - 2 * rig.wall, "length", units)
            out = f"{out.rpartition(' ')[0]} × {bore}"
    more = (("span", rig.span), ("gauge", rig.gauge))
    told = [f"{word} {show(v, 'length', units)}" for word, v in more if v == v]
    return ", ".join(([out] if out else []) + told) or NONE


def slope(r: TestResult, units: str) -> str:
    """Slope of the straight part with half of its interval."""
    row = r.row()
    end = "N_m_per_deg" if r.kind == "torsion" else "N_per_mm"
    value, high = row[f"stiffness_{end}"], row[f"stiffness_high_{end}"]
    if math.isnan(value):
        return NONE
    if r.kind == "torsion":
        factor, unit = in_unit(1.0, "torque", units), f"{unit_label('torque', units)}/deg"
    else:
        factor, unit = in_unit(1e3, "stiffness", units), unit_label("stiffness", units)
    half = "" if math.isnan(high) else f" ± {plain((high - value) * factor, 2)}"
    return f"{plain(value * factor, 4)}{half} {unit}"


def frame_slope(seen: Seen, units: str) -> str:
    """Slope of a run on a rigid bar, which is the frame's; "" where it is none.

    Parameters
    ----------
    seen : Seen
        The run.
    units : str
        Display system.

    Returns
    -------
    str
        With half of its interval.
    """
    if seen.entry.get("kind") != RIGID or seen.curve is None:
        return ""
    torsion = "torque_N_m" in seen.curve.data
    try:
        found = read_frame(seen.curve, "torsion" if torsion else "three-point")
    except InputError:
        return ""
    if torsion:
        factor, unit = in_unit(1.0, "torque", units), f"{unit_label('torque', units)}/deg"
    else:
        factor, unit = in_unit(1e3, "stiffness", units), unit_label("stiffness", units)
    near = f" ± {plain(found.half * factor, 2)}" if found.half > 1e-6 * found.slope else ""
    return f"{plain(found.slope * factor, 4)}{near} {unit}"


def peak(r: TestResult, units: str) -> str:
    """Largest load, with its sign where the tube would have carried more."""
    kind = "torque" if r.kind == "torsion" else "force"
    told = figure(r.si["peak"], kind, units)
    return f"at least {told}" if r.peak_is_at_least else told


def yielded(r: TestResult, units: str) -> str:
    """Load at the yield, or of a column the critical one, and how it was found."""
    kind = "torque" if r.kind == "torsion" else "force"
    critical = r.si.get("critical", math.nan)
    if not math.isnan(critical):
        return f"{figure(critical, kind, units)} (critical)"
    offset, left = r.si["yield_offset"], r.si["yield_departure"]
    if not math.isnan(offset):
        return f"{figure(offset, kind, units)} (0.2\u00a0%)"
    return NONE if math.isnan(left) else f"{figure(left, kind, units)} (leaves line)"


def count(s: Stat) -> str:
    """How many tests, and how many of them are "at least"."""
    n, broken = s.sample.n, s.sample.broken
    return str(n) if n == broken else f"{n}, {n - broken} at least"


def of_seen(seen: Seen) -> list[str]:
    """Everything that must be said of one test beside its figures."""
    result = seen.result
    notes = list(result.notes) if result else []
    return [*(t for t in seen.problems.values() if t), *notes]


__all__ = ["NONE", "count", "figure", "frame_slope", "of_seen", "peak", "size", "slope", "yielded"]
