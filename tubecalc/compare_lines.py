"""Load over travel to failure, with yield, first damage and the end marked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tubecalc.compare import Judged
from tubecalc.compare_loads import PLASTIC
from tubecalc.errors import unknown_key
from tubecalc.laminate.elastic import Array

DRAWN = ("bending", "tension", "torsion", "compression")  # kinds of load that have a travel
BEYOND = 1.15  # a metal that flows is drawn this far past the longest travel
SAYS = (
    "Straight lines: stiffness does not change before the end. A metal is drawn elastic, then "
    "perfectly plastic: straight to its full plastic load, then level, a bound that rounds off "
    "from the yield mark on and leaves hardening out. Stiffness lost to cracks before fibre "
    "failure is left out; walls at +/-45 soften well before they break."
)


@dataclass(frozen=True)
class Mark:
    """Something that happens on a line: where, and what in words."""

    travel: float
    load: float
    kind: str  # "yield", "first" or "end"
    what: str


@dataclass(frozen=True, eq=False)
class Line:
    """Load over travel of one tube, SI.

    Attributes
    ----------
    name : str
        Of the tube.
    travel, load : numpy.ndarray
        Corners of the line [m or rad; N or N m].
    marks : tuple of Mark
        From the origin outwards.
    flows : bool
        Whether it goes on level beyond its last corner.
    """

    name: str
    travel: Array
    load: Array
    marks: tuple[Mark, ...]
    flows: bool


def lines(judged: Judged, kind: str = "bending") -> tuple[Line, ...]:
    """Load over travel of every tube.

    Parameters
    ----------
    judged : Judged
        Tubes, judged.
    kind : str
        One of `DRAWN`.

    Returns
    -------
    tuple of Line
        Over the span of the comparison.

    Raises
    ------
    InputError
        For a kind without a travel.

    Notes
    -----
    See `SAYS`. Full plastic loads: `compare_loads.plastic_shares`.

    Examples
    --------
    >>> from tubecalc.compare import compare
    >>> from tubecalc.tube import Tube
    >>> both = compare([Tube("304", od="20 mm", wall="1 mm"), Tube("pultruded", od="10 mm",
    ...                wall="1 mm")], span=0.5)
    >>> [(x.flows, [m.kind for m in x.marks]) for x in lines(both, "tension")]
    [(True, ['yield']), (False, ['end'])]
    """
    if kind not in DRAWN:
        raise unknown_key("kind of load with a travel", kind, DRAWN)
    found = judged.loads[kind]
    flat = np.where(np.isnan(found.flat), found.last, found.flat)
    ends = found.travel * flat
    reach = BEYOND * float(np.nanmax(np.where(np.isfinite(ends), ends, 0.0)))
    return tuple(_line(judged, kind, n, float(flat[n]), reach) for n in range(len(judged)))


def _line(judged: Judged, kind: str, n: int, top: float, reach: float) -> Line:
    found = judged.loads[kind]
    per, first = float(found.travel[n]), float(found.first[n])
    flows = not np.isnan(found.flat[n])
    if not np.isfinite(top) or not np.isfinite(per):
        return Line(judged.names[n], np.zeros(1), np.zeros(1), (), flows=False)
    corners = [(0.0, 0.0), (top * per, top)] + ([(reach, top)] if flows else [])
    metal = bool(judged.candidates.metal[n])
    marks = []
    if flows or first < top * (1 - 1e-6):
        what = found.first_by[n]
        marks.append(Mark(first * per, first, "yield" if metal else "first", what))
    if not flows:
        marks.append(Mark(top * per, top, "end", found.last_by[n]))
    elif top > first * (1 + 1e-6):
        marks.append(Mark(top * per, top, "end", PLASTIC))
    x, y = np.array(corners).T
    return Line(judged.names[n], x, y, tuple(marks), flows)
