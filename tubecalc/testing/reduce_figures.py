"""Figures and marks of a read curve, in SI."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from tubecalc.testing.reduce_facts import Given
from tubecalc.testing.reduce_frame import Frame
from tubecalc.testing.reduce_kinds import OFFSET, UNSAID, Rig
from tubecalc.testing.reduce_line import Line
from tubecalc.testing.reduce_points import departure, energy, offset_point
from tubecalc.testing.reduce_read import Read
from tubecalc.testing.result import Mark

NAN = math.nan
Point = tuple[float, float]


def figures(
    read: Read, rig: Rig, given: Given, slope: float, half: float, *, framed: bool
) -> dict[str, float]:
    """Everything in SI.

    Parameters
    ----------
    read : Read
        What was found.
    rig : Rig
        How the specimen was held.
    given : Given
        What the user moved.
    slope, half : float
        Load per travel [N/m or N m/rad] and half its interval.
    framed : bool
        Whether the frame is taken out of the travel.

    Returns
    -------
    dict of str to float
        NaN where not known.
    """
    path, top = read.path, read.top
    peak = float(path.y[top])
    per_x = math.pi / 180 if rig.kind == "torsion" else 1e-3
    si = {
        "stiffness": slope, "stiffness_half": half, "peak": peak, "tare": read.tare,
        "stress": rig.stress(peak), "set": read.seatings[0] * per_x if read.seatings else NAN,
    }  # fmt: skip
    si |= dict.fromkeys(("EI", "EA", "GJ", "GA", "modulus", "apparent_modulus", "modulus_half",
                         "yield_departure", "yield_offset", "origin"), NAN)  # fmt: skip
    si["first_drop"] = float(path.y[read.drops[0].top]) if read.drops else NAN
    x, y = path.x[read.main.first : top + 1], path.y[read.main.first : top + 1]
    known = path.lost is None and not given.per_metre
    si["energy"] = energy(x, y) * per_x if known else NAN
    if read.line is not None:
        si["origin"] = moved_line(read, given).origin * per_x
        left, met = yields(read, rig, given)
        si["yield_departure"] = left[1] if left else NAN
        si["yield_offset"] = met[1] if met else NAN
    return si | _wall(rig, slope, half, read, framed=framed)


def _wall(rig: Rig, slope: float, half: float, read: Read, *, framed: bool) -> dict[str, float]:
    """Stiffness of the section and modulus of the wall from the slope."""
    area, inertia = rig.area, rig.inertia
    out: dict[str, float] = {}
    section = NAN
    if rig.kind == UNSAID:
        return out
    if rig.bends:
        out["EI"], section = rig.bending_stiffness(slope), inertia
        whole = out["EI"]
    elif rig.kind in ("tension", "compression"):
        whole, section = slope * rig.gauge, area
        measured = read.path.way != "travel_mm"
        out["EA"] = whole
        out["apparent_modulus"] = whole / area
        if rig.kind == "tension" and not measured and not framed:
            out["modulus"] = NAN
            return out
    elif rig.kind == "torsion":
        whole, section = slope * rig.gauge, 2 * inertia
        out["GJ"] = whole
    elif rig.kind == "ring":
        whole, section = rig.ring_modulus(slope), 1.0
    else:
        whole = rig.euler_stiffness(float(read.path.y[read.top]))
        out["EI"], section = whole, inertia
    out["modulus"] = out["apparent_modulus"] = whole / section
    out["modulus_half"] = abs(out["modulus"]) * half / slope if slope else NAN
    return out


def yields(read: Read, rig: Rig, given: Given) -> tuple[Point | None, Point | None]:
    """Travel and load where the curve leaves its line, and where it meets the shifted line.

    Parameters
    ----------
    read : Read
        What was found, with a straight part.
    rig : Rig
        How the specimen was held.
    given : Given
        What the user moved.

    Returns
    -------
    departure, offset : tuple of float or None
        None where it is not reached, or where a slip came first: a shifted curve has not yielded.
    """
    path = read.path
    if read.line is None or path.lost is not None:
        return None, None
    x, y = path.x[read.main.first : read.top + 1], path.y[read.main.first : read.top + 1]
    shift = rig.travel_of_strain(OFFSET) / (math.pi / 180 if rig.kind == "torsion" else 1e-3)
    left = departure(x, y, read.line)
    met = offset_point(x, y, moved_line(read, given), shift) if shift > 0 else None
    falls = [float(path.x[d.top]) for d in read.drops if d.top < read.top]
    slipped = min(falls, default=math.inf)
    return (
        left if left and left[0] < slipped else None,
        met if met and met[0] < slipped else None,
    )


def moved_line(read: Read, given: Given) -> Line:
    """Straight part through the origin that the user gave, else as found.

    Parameters
    ----------
    read : Read
        What was found, with a straight part.
    given : Given
        What the user moved.

    Returns
    -------
    Line
    """
    line = read.line
    assert line is not None
    if math.isnan(given.origin):
        return line
    return replace(line, level=-line.slope * read.path.sign_x * given.origin)


def marks(read: Read, rig: Rig, given: Given, frame: Frame | None = None) -> list[Mark]:
    """Every point found, with the signs of the record and the tare put back.

    Parameters
    ----------
    read : Read
        What was found.
    rig : Rig
        How the specimen was held.
    given : Given
        What the user moved.
    frame : Frame, optional
        Taken out of the travel; put back, so that the points lie on the curve as recorded.

    Returns
    -------
    list of Mark
    """
    path, out = read.path, []

    def mark(key: str, label: str, x: float, y: float, argument: str = "") -> None:
        load = y + read.tare
        back = float(frame.at(np.array([load]))[0]) if frame else 0.0
        out.append(Mark(key, label, path.sign_x * (x + back), path.sign_y * load, argument))

    if read.line is not None:
        line = moved_line(read, given)
        mark("origin", "origin: the straight part drawn back to no load", line.origin, 0.0,
             "origin")  # fmt: skip
        for key, label, at in (("linear-from", "straight part begins", read.line.low),
                               ("linear-to", "straight part ends", read.line.high)):  # fmt: skip
            mark(key, label, at, read.line.at(at), "linear")
        left, met = yields(read, rig, given)
        if left:
            mark("departure", "leaves the straight line", *left)
        if met:
            mark("offset", "0.2 % offset", *met)
    for n, drop in enumerate(read.drops):
        key, label = ("drop", "sudden fall") if n else ("first-drop", "first sudden fall")
        mark(key, label, float(path.x[drop.top]), float(path.y[drop.top]))
    mark("peak", "largest load", float(path.x[read.top]), float(path.y[read.top]), "peak_at")
    return out
