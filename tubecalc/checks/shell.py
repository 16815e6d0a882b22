"""Local buckling of the wall: perfect cylinder, knock-down, loads acting together.

The bow of the whole column, n = 1, is the check "column"; outside pressure alone is "collapse" in
`checks.pressure`. Together with other loads outside pressure counts here.
"""

from __future__ import annotations

import numpy as np

from tubecalc.checks.base import Candidates, Outcome, case_name, make
from tubecalc.checks.strength import end_pull, pressures
from tubecalc.laminate.elastic import Array
from tubecalc.loads import own_weight, section_loads
from tubecalc.need import Case, Need
from tubecalc.section import Sections
from tubecalc.shell import (
    critical_axial,
    critical_bending,
    critical_pressure,
    critical_torsion,
    knock_down,
    mode_of,
)


def load_factor(axial: Array, bending: Array, torsion: Array, pressure: Array) -> Array:
    """Factor on all loads at which a wall buckles that bears several at once.

    Parameters
    ----------
    axial, bending, torsion, pressure : numpy.ndarray
        Each load over the load that buckles the wall alone [-].

    Returns
    -------
    numpy.ndarray
        Infinite where nothing acts.

    Notes
    -----
    The shares add up to one. NASA SP-8007 (1968), sec. 4.1, takes that for compression with
    bending, torsion or pressure (Weingarten & Seide, AIAA J. 3 (1965) 913, for bending with
    pressure; MEMORY), and it cannot be unsafe for a perfect tube: the stable region of a linear
    problem is convex (Papkovich 1934; MEMORY). Against `tubecalc.shell.ritz` 2 to 28 % low. The
    handbook's Rb + Rt^2 = 1 for bending with torsion is up to 11 % unsafe for layered walls
    against the same and is not used (tests/test_shell.py).

    Examples
    --------
    >>> one, none = np.ones(1), np.zeros(1)
    >>> float(load_factor(one, one, none, none)[0])
    0.5
    """
    with np.errstate(divide="ignore"):
        return np.asarray(1.0 / (axial + bending + torsion + pressure))


def _shares(need: Need, case: Case, s: Sections) -> dict[str, Array]:
    """Each load over the load it buckles the wall at alone, knocked down; none where it is nil."""
    loads, given = section_loads(case, own_weight(case, s)), need.factors.shell
    inside, outside = pressures(case)
    excess = max(0.0, outside - inside)
    pulled = loads.axial + end_pull(case, s)
    span = case.span
    out = {}
    if np.any(pulled < 0):
        capacity = critical_axial(s, span) * knock_down(s, "axial", given=given)
        out["axial"] = np.maximum(-pulled, 0.0) / capacity
    if np.any(loads.moment):
        capacity = critical_bending(s, span) * knock_down(s, "bending", given=given)
        out["bending"] = loads.moment / capacity
    if loads.torque:
        capacity = critical_torsion(s, span, np.sign(loads.torque))
        out["torsion"] = abs(loads.torque) / (capacity * knock_down(s, "torsion", given=given))
    if excess:
        capacity = critical_pressure(s, span) * knock_down(s, "pressure", given=given)
        out["pressure"] = excess / capacity
    return out


def _wall(candidates: Candidates, need: Need, case: Case, name: str) -> list[Outcome]:
    """Local buckling of one case."""
    s = candidates.sections
    shares = _shares(need, case, s)
    if not shares or set(shares) == {"pressure"} or case.kind == "pressure":
        return []
    none = np.zeros_like(s.R)
    capacity = load_factor(
        *(shares.get(k, none) + none for k in ("axial", "bending", "torsion", "pressure"))
    )

    def why(n: int) -> str:
        kind = max(shares, key=lambda k: float(np.broadcast_to(shares[k], none.shape)[n]))
        sign = "-" if not case.torque >= 0 else "+"
        shape = mode_of(s, f"torsion{sign}" if kind == "torsion" else kind, case.span, n)
        return (
            f"local buckling of the wall ({shape}) at {capacity[n]:.3g} times the loads after "
            f"knock-down, factor {need.factors.buckling:g} asked"
        )

    at = {"R/t": s.R / s.t, "L/R": case.span / s.R}
    return [make("wall_buckling", name, capacity, need.factors.buckling, "number", why, at=at)]


def outcomes(candidates: Candidates, need: Need) -> list[Outcome]:
    """Local buckling of the wall in every case.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    need : Need
        The need.

    Returns
    -------
    list of Outcome
        Check "wall_buckling".
    """
    out: list[Outcome] = []
    for number, case in enumerate(need.cases, 1):
        out += _wall(candidates, need, case, case_name(case, number))
    return out
