"""Reduces a test: what its curve says of the tube, and what it cannot say."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from tubecalc.errors import InputError, unknown_key
from tubecalc.testing.column_reduce import ACROSS, column, merged, sideways, way_of
from tubecalc.testing.reduce_asked import table_of
from tubecalc.testing.reduce_facts import Given, by_strain, by_stress, given_of, scaled, units_of
from tubecalc.testing.reduce_failure import failure_of
from tubecalc.testing.reduce_figures import figures, marks
from tubecalc.testing.reduce_frame import Frame, read_frame
from tubecalc.testing.reduce_kinds import doubts, missing
from tubecalc.testing.reduce_line import find_line
from tubecalc.testing.reduce_path import Path, paths
from tubecalc.testing.reduce_read import Read, read_path
from tubecalc.testing.reduce_spans import corrected
from tubecalc.testing.reduce_words import (
    censored,
    failure_notes,
    loop_notes,
    sense_notes,
    slope_notes,
    start_notes,
    swapped_notes,
)
from tubecalc.testing.result import FAILURES, TestResult


def reduce_test(
    curve: Any,
    kind: str,
    span: Any = None,
    od: Any = None,
    wall: Any = None,
    gauge_length: Any = None,
    frame: Any = None,
    failure: str | None = None,
    *,
    id: Any = None,  # the trade's name for the bore
    inner_span: Any = None,
    ends: str | float = "pinned-pinned",
    at: str = "nose",
    spans: Sequence[Any] | None = None,
    way: str | None = None,
    origin: Any = None,
    linear: tuple[Any, Any] | None = None,
    peak_at: Any = None,
    load_factor: Any = None,
    nose: Any = None,
    batch: str | None = None,
    name: str | None = None,
) -> TestResult:
    """Reduce one test.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        As `read_curves` gives it; or a table with force_N and travel_mm (torque_N_m, angle_deg).
    kind : str
        "tension", "compression", "three-point", "four-point", "torsion", "ring" or "column".
    span : str or Quantity, optional
        Between the supports of a beam; free length of a column.
    od, wall, id : str or Quantity, optional
        Section; two of the three.
    gauge_length : str or Quantity, optional
        Length that travel, extension or twist is over; length of a ring along its axis.
    frame : Curve, str or Quantity, optional
        Run on a rigid bar with the same rig, "2400 N/mm" or "0.4 um/N": taken out of the travel.
    failure : str, optional
        "break", "crush", "split", "buckling", "yield", "delamination"; or what is no strength of
        the tube: "grip", "jaw", "bond", "slip", "run-out", "stopped". That of the file where it
        names one and nothing is given.
    inner_span : str or Quantity, optional
        Between the noses of four-point bending; a third of the span when not given.
    ends : str or float, optional
        Ends of a column, or effective length over free length [-].
    at : str, optional
        Where the travel of four-point bending is: "nose" or "middle".
    spans : sequence, optional
        Other results of the same tube, or pairs of span and stiffness: shear is taken out.
    way : str, optional
        Column to read the load against.
    origin, peak_at : str or Quantity, optional
        Travel of the origin, and of the largest load that counts, where the found ones are wrong.
    linear : tuple, optional
        Travel where the straight part begins and ends.
    load_factor : float or str, optional
        What the recorded load is multiplied by: calibration of its cell [-].
    nose : str or Quantity, optional
        Length of tube that a nose of a bending test touches, along the tube.
    batch : str, optional
        Batch that the specimen is from.
    name : str, optional
        Of the specimen.

    Returns
    -------
    TestResult

    Raises
    ------
    InputError
        If the curve has no load, no travel or too few rows, if a value is no length, or the kind
        of test does not fit.

    Notes
    -----
    The origin is where the straight part meets zero load, as ISO 527 and ASTM D790 (toe
    compensation) do it. In a test with loops the stiffness is that of the second and further
    loadings. A column with its sideways deflection gives its critical load by Southwell's line
    (`column_bow.southwell`). Grade A for slope and loads; what the slope means for the wall is
    that of the kind of test and stands in the notes.

    Examples
    --------
    >>> import pandas as pd
    >>> travel = np.linspace(0, 5, 101)
    >>> data = pd.DataFrame({"travel_mm": travel, "force_N": 170.57 * travel})
    >>> out = reduce_test(data, "three-point", span="600 mm", od="25 mm", wall="1.5 mm")
    >>> round(out.EI.m, 1), round(out.modulus.m, 1), out.peak_is_at_least
    (767.6, 100.0, True)
    """
    table_of(curve)
    said = str(name or getattr(curve, "name", "") or "curve")
    if failure is not None and failure not in FAILURES:
        raise unknown_key("failure", failure, FAILURES, f"{said}:failure")
    failure, from_file = failure_of(curve, failure)
    given = given_of(
        curve, said, kind=kind, span=span, od=od, wall=wall, bore=id, gauge_length=gauge_length,
        inner_span=inner_span, nose=nose, ends=ends, at=at, origin=origin,
        linear=linear, peak_at=peak_at,
    )  # fmt: skip
    if frame is None:
        given, way = by_strain(curve, given, way)
    rig = given.rig
    curve, notes = scaled(sideways(curve, kind), load_factor, said)
    curve, by_area = by_stress(curve, rig, said)
    notes += by_area
    way = way_of(curve, kind, way)
    senses = paths(curve, kind, way=way, gauge_mm=rig.gauge * 1e3, where=said)
    steel = _frame_for(frame, kind, senses[0].way)
    others = Given(rig)
    reads = [read_path(_without(p, steel), others if n else given) for n, p in enumerate(senses)]
    first = reads[0]
    per = 180 / math.pi if kind == "torsion" else 1e3
    slope, half = _with_frame(first.slope, first.half, steel)
    si = figures(first, rig, given, slope * per, half * per, framed=steel is not None)
    open_end = censored(first.end, failure)
    found = tuple(marks(first, rig, given, steel))
    notes += [*given.notes, *from_file, *first.path.notes]
    notes += start_notes(first, si["peak"], "N m" if kind == "torsion" else "N",
                         preload=given.preload)  # fmt: skip
    if kind == "column":
        bowed = column(curve, first, rig, given, failure, open_end, said)
        si, open_end, found = si | bowed.si, bowed.open_end, merged(found, bowed)
        notes += bowed.notes
    across = first.path.way == ACROSS and kind == "column"  # a slope that is no stiffness
    if not across:
        notes += swapped_notes(senses[0])
    notes += [*missing(rig), *_frame_notes(first, steel)]
    notes += doubts(rig, si["apparent_modulus"], si["stiffness"])
    if not across:
        notes += slope_notes(rig, first, framed=steel is not None)
        notes += sense_notes([r.slope for r in reads], first)
    notes += [*loop_notes(first), *failure_notes(rig, first, failure, open_end=open_end)]
    load_unit, travel_unit = units_of(curve, kind, first.path.way)
    slopes = ([r.slope for r in reads], [x.slope for x in first.lines])
    turned, loadings = (() if across else tuple(v * per for v in each) for each in slopes)
    result = TestResult(
        said, kind, rig, failure or "", open_end, tuple(dict.fromkeys(notes)), found,
        first.path.way, si, turned, loadings, load_unit, travel_unit,
        steel is not None, str(batch or "").strip(),
    )  # fmt: skip
    return corrected(result, spans) if spans is not None else result


def _frame_for(frame: Any, kind: str, way: str) -> Frame | None:
    if frame is None:
        return None
    if way not in ("travel_mm", "angle_deg"):
        raise InputError(
            "the load is read against what is measured on the specimen, where the frame does not "
            "count", where="frame", expected='no frame, or way="travel_mm"',
        )  # fmt: skip
    return read_frame(frame, kind)


def _without(path: Path, frame: Frame | None) -> Path:
    if frame is None:
        return path
    return replace(path, x=path.x - frame.at(path.y), recorded=path.x)


def _with_frame(slope: float, half: float, frame: Frame | None) -> tuple[float, float]:
    """Interval widened by what is not known of the frame."""
    if frame is None or math.isnan(slope):
        return slope, half
    return slope, math.hypot(half, slope**2 * frame.half / frame.slope**2)


def _frame_notes(read: Read, frame: Frame | None) -> list[str]:
    if frame is None:
        return []
    if math.isnan(read.slope):
        path = read.path
        whole = find_line(path.shown[: read.top + 1], path.y[: read.top + 1])
        if whole is None or whole.slope < 0.98 * frame.slope:
            return []
        return ["The frame is said to be softer than tube and frame together: its stiffness, or a "
                "unit, is wrong."]  # fmt: skip
    out = []
    part = 1 / frame.slope / (1 / frame.slope + 1 / read.slope)
    small = "less than 1" if part < 0.01 else f"{100 * part:.0f}"
    out.append(f"The frame gives {small} % of the travel; it is taken out.")
    if part > 0.5:
        out.append("More than half of the travel is the frame's: measure on the specimen.")
    if float(np.max(read.path.y)) > 1.02 * frame.most:
        out.append("The run on the rigid bar ends at a lower load; it is continued straight.")
    return out
