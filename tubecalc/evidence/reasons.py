"""Why a tolerance is as wide as it is: by the note of a row, else by its topic."""

from __future__ import annotations

import re

from tubecalc.evidence.book import Row

_DIGITS = "the digits the source prints"
# Topic, or the beginning of one -> reason; the longest that fits counts.
_BY_TOPIC = {
    "CLT": "the digits the source prints; inputs are exact",
    "heat and moisture": "same formula, digits of the source",
    "metals at heat": "values of the standard's table; between its lines straight",
    "cycles": _DIGITS,
    "sustained load": "the value itself",
    "shaft under torque": _DIGITS,
    "insert": "same formula, rounding of the source",
    "bend radius": "same formula, rounding of the source",
    "classification": _DIGITS,
    "column": _DIGITS,
    "deflection": _DIGITS,
    "experiments": "spread of the test: material, size, how the ends are held",
    "external pressure": "digits of the source; test shells of 1934 are up to 7 % imperfect",
    "facts of the trade": "what a workshop says by word of mouth, to one figure",
    "failure": "digits of the source; points read off a curve 3 %",
    "material curve": "points read off a curve",
    "metal consistency": "values printed to two or three digits",
    "metal value": "the value itself, unit conversion only",
    "density": _DIGITS,
    "fibre volume": _DIGITS,
    "geometry": _DIGITS,
    "hot-wet": _DIGITS,
    "micromechanics": _DIGITS,
    "micromechanics realism": "scatter of the modulus among makers, 9 %",
    "ply thickness": "resin content of a tape varies by 3 per cent of weight",
    "ovalisation": "digits of the source; approximations the source names",
    "plastic moment": _DIGITS,
    "ring": _DIGITS,
    "section tables": "three figures in the table: half a unit of the last",
    "shear coefficient": "same formula, rounding of the source",
    "shell buckling": "digits of the source; curves read as power laws 1 to 6 %",
    "solver, buckling": "shell theory against elements of finite size: mesh change below 1 %, "
    "theories of shells differ by 3 to 5 %",
    "solver, frequency": "mesh, and beam theory for a tube of finite wall",
    "solver, ply stress": "element averages and layer-wise theory: stated in theory before "
    "comparing; exact solutions 0.1 %",
    "solver, pressure": "mesh and end effect; exact solutions 0.1 %",
    "solver, ring": "ring theory of a thick wall with shear, 3 %; stresses at a line load more",
    "solver, stiffness": "layer-wise theory of a thick wall, at most 2 %",
    "solver, three-point bending": "beam theory with shear on a short span; dents under a patch "
    "by shell theory about 10 %",
    "solver": "mesh of the solver",
    "statistics": _DIGITS,
    "thermal": _DIGITS,
    "thick cylinder": _DIGITS,
    "torsion": _DIGITS,
    "tube": _DIGITS,
    "vibration": "digits of the source",
    "whirling": "digits of the source",
}


def reason(row: Row) -> str:
    """Why the tolerance of a row is what it is.

    Parameters
    ----------
    row : Row
        An evidence row.

    Returns
    -------
    str
        From the note ("tolerance: ...") or by topic; "" where there is no tolerance or no reason.

    Examples
    --------
    >>> from tubecalc.evidence import rows
    >>> reason(rows("section tables")[0])
    'three figures in the table: half a unit of the last'
    """
    if not row.rel_tol > 0:
        return ""
    found = re.search(r"tolerance: (.*)", row.note)
    if found:
        return found[1]
    fitting = [topic for topic in _BY_TOPIC if row.topic.startswith(topic)]
    return _BY_TOPIC[max(fitting, key=len)] if fitting else ""
