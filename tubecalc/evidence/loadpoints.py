"""Families of the load-point evidence: nose travel, dents, rings."""

from __future__ import annotations

import math
from functools import cache

from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given
from tubecalc.evidence.tubes import si, solver_tube
from tubecalc.loadpoint import NOSE
from tubecalc.loadpoint_table import over_axis
from tubecalc.ring import RING, RING_SIDE, ring_moment
from tubecalc.ring_layered import LayeredRing


@register(r"A3_")
def _three_point(row: Row) -> float | None:
    """Three-point bending by a nose of 2 mm x 30 degrees, per unit load."""
    tube = solver_tube(row.inputs)
    what = row.quantity
    span = f"{given(row.inputs, 'span')!r} mm"
    if what.startswith(("axis deflection", "nose travel")):
        at = "axis" if what.startswith("axis") else "nose"
        return si(tube.deflection("three-point", load="1 N", span=span, at=at))
    if what.startswith("shear flexibility"):
        return 1.0 / si(tube.shear_coefficient * tube.GA)
    more = over_axis(tube.sections, given(row.inputs, "span") / 1e3, NOSE)
    return float((more.nose if "at nose" in what else more.support)[0])


@cache
def _ring(inputs: str, width: float) -> LayeredRing:
    tube = solver_tube(inputs)
    return LayeredRing(tube.layup, (si(tube.od) + si(tube.id)) / 4, width)


@register(r"C(?:10|60)_")
def _pinched(row: Row) -> float | None:
    """Ring of a long tube, or 10 mm long, under two opposite unit line loads."""
    ring = _ring(row.inputs, 0.010 if "b=10" in row.quantity else math.inf)
    side = math.pi / 2
    if row.quantity.startswith("diametral"):
        return -2.0 * ring.motion(ring.radius, 0.0)
    if row.quantity.startswith("sideways"):
        return 2.0 * ring.motion(ring.radius, side)
    theta = side if "at side" in row.quantity else 0.0
    r = ring.outside if "outside" in row.quantity else ring.outside - ring.t
    return ring.hoop_stress(r, theta)


@register(r"RING-")
def _thin_ring(row: Row) -> float | None:
    """Closed forms of the thin ring, the limit that the layered one is tested against."""
    if row.id == "RING-num":  # R 100 mm, section 10 x 5 mm, E 200 GPa, 10 N; half of the loss
        return RING * 10.0 * 0.1**3 / (200e9 * 0.010 * 0.005**3 / 12) / 2.0
    values = {
        "RING-M-load": ring_moment(0.0),
        "RING-M-90": abs(ring_moment(math.pi / 2)),
        "RING-dV": RING,
        "RING-dH": RING_SIDE,
        "RING-dH-misprint": RING_SIDE,
    }
    return values.get(row.id)
