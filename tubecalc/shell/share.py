"""Share of the perfect cylinder's buckling load that tests leave: NASA SP-8007."""

from __future__ import annotations

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.section import Sections

DEPTH = {"axial": 0.901, "bending": 0.731}
TORSION, PRESSURE = 0.67, 0.75


def knock_down(s: Sections, kind: str = "axial", *, given: float = 0.0) -> Array:
    """Share of the perfect cylinder's buckling load that is relied on.

    Parameters
    ----------
    s : Sections
        N tubes.
    kind : str
        "axial", "bending", "torsion" or "pressure".
    given : float
        The user's own factor; 0 takes the cautious bound.

    Returns
    -------
    numpy.ndarray
        Factor, (N,) [-].

    Notes
    -----
    1 - 0.901 (1 - exp(-phi)) axial, 0.731 bending, phi = sqrt(R / t*) / 29.8 with t* the radius of
    gyration of the wall, (Dx Dy / (Ex Ey))^(1/4): NASA SP-8007 (1968), sec. 4.1 and 4.2, eqs. 5, 9
    and 10, as read in public codes that cite it. Torsion 0.67 and outside pressure 0.75: the same
    (SEEN in public codes). Small sound composite tubes in tests have kept 0.65 to 0.76 axially,
    where this bound gives about half: it is cautious.

    Examples
    --------
    >>> from tubecalc.tube import Tube
    >>> tube = Tube("304", od="101 mm", wall="1 mm")
    >>> [round(float(knock_down(tube.sections, k)[0]), 2) for k in ("axial", "torsion")]
    [0.68, 0.67]
    """
    if given:
        return np.full_like(s.R, given)
    if kind in ("torsion", "pressure"):
        return np.full_like(s.R, TORSION if kind == "torsion" else PRESSURE)
    phi = np.sqrt(s.R / s.walls.equivalent_thickness[s.index]) / 29.8
    return np.asarray(1.0 - DEPTH[kind] * (1.0 - np.exp(-phi)))
