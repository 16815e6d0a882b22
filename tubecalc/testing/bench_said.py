"""What tests on the bench say of each other: contradictions, spans, directions, ends."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from tubecalc.errors import InputError
from tubecalc.laminate.construction import Construction
from tubecalc.testing.bench import POINTS, Seen, thin
from tubecalc.testing.by_hand import share_one_span, span_of_reading
from tubecalc.testing.column_ends import ends_of
from tubecalc.testing.curve import Curve
from tubecalc.testing.reduce_group import directions, odd_slopes, same_tests
from tubecalc.testing.reduce_spans import corrected
from tubecalc.testing.result import TestResult
from tubecalc.tube import Tube

PAIRS = 300  # curves, above which pairs are not looked through
Walls = Callable[[str], Construction]


def tube_of(seen: Seen, result: TestResult, walls: Walls) -> Tube:
    """Tube that was tested: its construction at the measured size.

    Parameters
    ----------
    seen : Seen
        The test.
    result : TestResult
        Its result.
    walls : callable
        Key -> construction.

    Returns
    -------
    Tube

    Raises
    ------
    InputError
        If construction or size is not told, or the tube cannot be.
    """
    key, rig = seen.entry.get("wall_of"), result.rig
    if not key:
        raise InputError("say what the tube was made of")
    if math.isnan(rig.od) or math.isnan(rig.wall):
        raise InputError("OD and wall are not said")
    bore = rig.od - 2 * rig.wall
    return Tube(walls(key), od=f"{rig.od!r} m", id=f"{max(bore, 0.0)!r} m")


def key_of(seen: Seen, r: TestResult) -> tuple[Any, ...]:
    """What makes tests alike: construction, kind, size and span."""
    span = r.rig.span if r.rig.bends or r.kind == "column" else math.nan
    sizes = [None if math.isnan(v) else round(v * 1e4) for v in (r.rig.od, r.rig.wall, span)]
    return (seen.entry.get("wall_of"), r.kind, *sizes)


def curves_of(tests: Sequence[Seen]) -> list[Curve]:
    """Curves of tests under their names on the bench; where one is from a job, points of all.

    Parameters
    ----------
    tests : sequence of Seen
        Reduced or not.

    Returns
    -------
    list of Curve
    """
    import pandas as pd

    kept = any(s.curve is None for s in tests)
    out = []
    for seen in tests:
        if seen.curve is not None and not kept:
            out.append(replace(seen.curve, name=seen.name))
            continue
        torsion = seen.result is not None and seen.result.kind == "torsion"
        names = ("angle_deg", "torque_N_m") if torsion else ("travel_mm", "force_N")
        points = pd.DataFrame(dict(zip(names, thin(seen.x, seen.y, POINTS), strict=True)))
        out.append(Curve(seen.name, points, points))
    return out


def said_of(
    tests: Sequence[Seen], counted: Sequence[tuple[int, Seen, TestResult]], walls: Walls
) -> list[str]:
    """Contradictions between tests, and what spans, directions and ends tell.

    Parameters
    ----------
    tests : sequence of Seen
        All tests.
    counted : sequence of (int, Seen, TestResult)
        Those that count, with their places.
    walls : callable
        Key -> construction.

    Returns
    -------
    list of str
    """
    curves = curves_of([s for s in tests if s.entry.counted])
    out = list(same_tests(curves)) if len(curves) <= PAIRS else []
    for key in sorted({s.entry.get("wall_of") for _, s, _ in counted}):
        out += odd_slopes([r for _, s, r in counted if s.entry.get("wall_of") == key])
    names: dict[tuple[Any, ...], list[TestResult]] = {}
    spans: dict[tuple[Any, ...], list[tuple[str, TestResult]]] = {}
    for _, seen, r in counted:
        if seen.entry.get("name").strip():
            names.setdefault((*key_of(seen, r), seen.name), []).append(r)
        if r.kind == "three-point" and not math.isnan(r.rig.span) and r.si["stiffness"] > 0:
            spans.setdefault(key_of(seen, r)[:4], []).append((seen.name, r))
    for turned in names.values():
        out += directions(turned) if len(turned) > 1 else []
    for series in spans.values():
        out += _series(series)
    return out + _unknown_spans(counted, walls) + _ends(counted, walls)


def _unknown_spans(counted: Sequence[tuple[int, Seen, TestResult]], walls: Walls) -> list[str]:
    """Spans that beams without one would have if their tubes are as promised."""
    names: list[str] = []
    spans: list[float] = []
    for _, seen, r in counted:
        if r.kind != "three-point" or r.rig.span > 0 or not r.si["stiffness"] > 0:
            continue
        try:
            s = tube_of(seen, r, walls).sections
        except InputError:
            continue
        names.append(seen.name)
        spans.append(float(span_of_reading(1 / r.si["stiffness"], s.EI[0], s.kGA[0])))
    out = [
        f"{name}: the span is missing; if the tube is as promised it was {span * 1e3:.3g} mm, "
        "less by what dents and frame give."
        for name, span in zip(names, spans, strict=True)
    ]
    together = share_one_span(names, spans)
    return [*out, together] if together else out


def _ends(counted: Sequence[tuple[int, Seen, TestResult]], walls: Walls) -> list[str]:
    """Which ends the columns had, where their tubes are known."""
    columns: dict[tuple[Any, ...], list[tuple[Seen, TestResult]]] = {}
    for _, seen, r in counted:
        if r.kind == "column" and r.rig.span > 0 and r.si["peak"] > 0:
            columns.setdefault(key_of(seen, r), []).append((seen, r))
    out = []
    for rows in columns.values():
        seen, r = rows[0]
        try:
            tube = tube_of(seen, r, walls)
        except InputError:
            continue
        pinned = tube.critical("column", length=f"{r.rig.span!r} m", ends="pinned-pinned")
        known = [v.si["critical"] for _, v in rows if v.si.get("critical", math.nan) > 0]
        loads = known or [v.si["peak"] for _, v in rows]
        least = not known and any(v.peak_is_at_least for _, v in rows)
        found = ends_of(loads, float(pinned.to("N").magnitude), at_least=least, where=seen.name)
        name = seen.name if len(rows) == 1 else f"{seen.name} and its like"
        out.append(f"Column {name}: {' '.join(found.sentences())}")
    return out


def _series(series: Sequence[tuple[str, TestResult]]) -> list[str]:
    """What several spans of one construction and size say of its shear."""
    lengths = [r.rig.span for _, r in series]
    if max(lengths) < 1.05 * min(lengths):
        return []
    name, last = max(series, key=lambda s: s[1].rig.span)
    try:
        note = corrected(last, [r for _, r in series if r is not last]).notes[-1]
    except InputError as error:
        return [f"Spans of {name} and its like: {error.message}."]
    return [f"{name} and its like: {note}"]


__all__ = ["PAIRS", "Walls", "curves_of", "key_of", "said_of", "tube_of"]
