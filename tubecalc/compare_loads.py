"""One kind of load at a time: stiffness, load at yield or first damage, load at break, what fails.

The loads come from the checks, put to them as a need with one unit load. Metals may go on beyond
yield; how far is bounded by an elastic, perfectly plastic wall.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from tubecalc.checks import CHECKS, column, evaluate, local, shell, strength
from tubecalc.checks.base import NO_GRADE, Candidates, Outcome
from tubecalc.checks.stiffness import deflection
from tubecalc.laminate.elastic import Array, Ints
from tubecalc.loads import flexure, section_loads
from tubecalc.need import Case, Need
from tubecalc.section import Sections

ROLLER = 0.010  # length of tube under the middle roller of three-point bending [m]
BEFORE = ("weep",)  # decides whether a tube passes, but is the first damage and not the end
YIELD, PLASTIC, RUPTURE = "yield", "full plastic load", "rupture"


@dataclass(frozen=True)
class Kind:
    """A kind of load: its name, units, and the case that puts one unit of it to the checks."""

    key: str
    label: str
    unit: str  # unit kind of the load
    case: Case
    spanned: bool = False  # whether the length counts for the load
    stiffness: str = ""  # what the stiffness is called
    stiffness_unit: str = ""
    travel_unit: str = "length"


KINDS: dict[str, Kind] = {
    k.key: k
    for k in (
        Kind("tension", "tension", "force", Case("strut", load=1.0),
             stiffness="EA", stiffness_unit="force"),
        Kind("compression", "compression, short piece", "force", Case("strut", load=-1.0),
             stiffness="EA", stiffness_unit="force"),
        Kind("torsion", "torsion", "torque", Case("shaft", torque=1.0),
             stiffness="GJ", stiffness_unit="bending_stiffness", travel_unit="angle"),
        Kind("bending", "three-point bending", "force",
             Case("three-point", load=1.0, roller_width=ROLLER), spanned=True,
             stiffness="load per sag", stiffness_unit="stiffness"),
        Kind("buckling", "compression, whole length", "force", Case("strut", load=-1.0),
             spanned=True, stiffness="EI", stiffness_unit="bending_stiffness"),
        Kind("pressure", "pressure inside, closed ends", "pressure", Case("pressure", p_in=1.0)),
        Kind("outside", "pressure outside, closed ends", "pressure", Case("pressure", p_out=1.0)),
    )
}  # fmt: skip


@dataclass(frozen=True, eq=False)
class Loaded:
    """N tubes under one kind of load.

    Attributes
    ----------
    kind : Kind
        The kind of load.
    stiffness : numpy.ndarray
        EA [N], GJ or EI [N m2], load per sag [N/m]; NaN for pressure.
    travel : numpy.ndarray
        Stretch, sag [m] or twist [rad] per unit load over the length; NaN where none is meant.
    first, last : numpy.ndarray
        Load at yield or first damage, and at which it carries no more [N, N m, Pa].
    first_by, last_by : tuple of str
        What happens there, in words.
    grades : tuple of str
        Grade of the check that gives the last load; "none" outside its range.
    flat : numpy.ndarray
        Load at which a metal flows on without more load; NaN where it does not.
    """

    kind: Kind
    stiffness: Array
    travel: Array
    first: Array
    last: Array
    first_by: tuple[str, ...]
    last_by: tuple[str, ...]
    grades: tuple[str, ...]
    flat: Array


def plastic_shares(s: Sections) -> dict[str, Array]:
    """Full plastic load over first yield of a metal tube, by kind of load.

    Parameters
    ----------
    s : Sections
        N tubes.

    Returns
    -------
    dict of str to numpy.ndarray
        tension, compression: 1; bending: plastic over elastic section modulus; torsion: the same
        for shear flow; pressure: ln of the diameters' ratio over its elastic measure [-].

    Notes
    -----
    Hill, The Mathematical Theory of Plasticity (1950), chs. 4 and 5 (MEMORY): a wall that does not
    harden. Torque 2 pi k (ro^3 - ri^3) / 3; pressure with closed ends 2 k ln(ro / ri); k is the
    yield stress in shear. Grade A for the bound itself.

    Examples
    --------
    >>> from tubecalc.tube import Tube
    >>> bar = Tube("304", od="10 mm", id="0 mm").sections
    >>> [round(float(plastic_shares(bar)[k][0]), 3) for k in ("bending", "torsion")]
    [1.698, 1.333]
    """
    one = np.ones_like(s.ro)
    cubes = s.ro**3 - s.ri**3
    elastic = s.ro**4 - s.ri**4
    return {
        "tension": one, "compression": one, "buckling": one,
        "bending": np.asarray(s.plastic_modulus / s.section_modulus),
        "torsion": np.asarray(4.0 / 3.0 * s.ro * cubes / elastic),
    }  # fmt: skip


class Part(NamedTuple):
    """One check on N tubes under a unit load: the load it allows and its grade."""

    check: str
    load: Array
    grades: tuple[str, ...]

    @property
    def early(self) -> bool:
        """Whether it is the first damage and not the end."""
        return self.check in BEFORE or CHECKS[self.check].advisory


def parts_of(candidates: Candidates, outcomes: Sequence[Outcome]) -> list[Part]:
    """Checks of a unit load as loads, with the grade of each tube.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    outcomes : sequence of Outcome
        Of one case with one unit of load.

    Returns
    -------
    list of Part
    """
    n = len(candidates)
    return [
        Part(
            o.check, np.broadcast_to(o.reserve, (n,)),
            tuple(
                NO_GRADE if o.range_note(k) else candidates.grade(o.check, k) for k in range(n)
            ),
        )
        for o in outcomes
    ]  # fmt: skip


def stacked(each: Sequence[Sequence[Part]]) -> list[Part]:
    """Parts of tubes judged one by one, as parts of all of them.

    Parameters
    ----------
    each : sequence
        Parts of one tube each.

    Returns
    -------
    list of Part
        A check that does not speak of a tube allows it any load.
    """
    by = [{p.check: p for p in parts} for parts in each]
    out = []
    for check in dict.fromkeys(c for one in by for c in one):
        mine = [one.get(check) for one in by]
        out.append(
            Part(
                check, np.array([np.inf if p is None else float(p.load[0]) for p in mine]),
                tuple("" if p is None else p.grades[0] for p in mine),
            )
        )  # fmt: skip
    return out


def measured(parts: Sequence[Part], shares: Mapping[str, Array]) -> list[Part]:
    """Parts with what own tests leave of their loads.

    Parameters
    ----------
    parts : sequence of Part
        As computed.
    shares : mapping
        Check -> share of the load that counts, (N,) [-].

    Returns
    -------
    list of Part
    """
    return [p._replace(load=p.load * shares[p.check]) if p.check in shares else p for p in parts]


def unit_parts(tube: Candidates, kind: str) -> list[Part]:
    """Parts of one tube that no length enters.

    Parameters
    ----------
    tube : Candidates
        One or more tubes.
    kind : str
        A key of `KINDS` without a span, "moment" (wall buckling per bending moment) or "roller"
        (crush and split under a roller).

    Returns
    -------
    list of Part
    """
    if kind == "moment":
        found = shell.outcomes(tube, Need(cases=(Case("combined", moment=1.0),)))
    elif kind == "roller":
        found = local.outcomes(tube, Need(cases=(replace(KINDS["bending"].case, span=1.0),)))
    else:
        found = evaluate(tube, Need(cases=(KINDS[kind].case,)))
    return parts_of(tube, found)


def spanned_parts(
    candidates: Candidates, kind: str, span: float, fixed: Mapping[str, list[Part]]
) -> list[Part]:
    """Parts of tubes under a load whose length counts.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    kind : str
        "bending" or "buckling".
    span : float
        Length [m].
    fixed : mapping
        Parts of the tubes that no length enters, see `unit_parts`: those of "moment" and
        "roller", or of "compression".

    Returns
    -------
    list of Part

    Notes
    -----
    Local buckling is that of a long tube, which is the least of all lengths.
    """
    case = replace(KINDS[kind].case, span=span)
    need = Need(cases=(case,))
    if kind == "buckling":
        column_parts = parts_of(candidates, column.outcomes(candidates, need))
        return [*fixed["compression"], *column_parts]
    moment = np.asarray(section_loads(case).moment)
    wall = [p._replace(load=p.load / moment) for p in fixed["moment"]]
    return [*parts_of(candidates, strength.outcomes(candidates, need)), *wall, *fixed["roller"]]


def loaded(candidates: Candidates, kind: Kind, parts: Sequence[Part], span: float) -> Loaded:
    """Stiffness, first and last load of tubes under one kind of load.

    Parameters
    ----------
    candidates : Candidates
        N tubes.
    kind : Kind
        One of `KINDS`.
    parts : sequence of Part
        What the checks allow.
    span : float
        Length that travels are for [m].

    Returns
    -------
    Loaded
    """
    s, metal = candidates.sections, candidates.metal.tolist()
    ends, early = [p for p in parts if not p.early], [p for p in parts if p.early]
    elastic, last_of = _least(ends, s)
    damage, early_of = _least(early, s)
    top, flat, by = _beyond_yield(candidates, kind, ends, s)
    first_by, last_by, grades = [], [], []
    for n, is_metal in enumerate(metal):
        end = _word(ends, int(last_of[n]), metal=is_metal)
        sooner = bool(damage[n] < elastic[n] * (1 - 1e-6))
        first_by.append(_word(early, int(early_of[n]), metal=is_metal) if sooner else end)
        last_by.append(by[n] if is_metal else end)
        grades.append(ends[int(last_of[n])].grades[n] if ends else "")
    return Loaded(
        kind, *_stiffness(kind, s, span), np.minimum(damage, elastic),
        np.where(metal, top, elastic), tuple(first_by), tuple(last_by), tuple(grades),
        np.where(metal, flat, np.nan),
    )  # fmt: skip


def _least(parts: Sequence[Part], s: Sections) -> tuple[Array, Ints]:
    """Lowest load over some checks and which gives it; infinite without any.

    A check whose value is not known makes the load not known.
    """
    if not parts:
        return np.full_like(s.ro, np.inf), np.full(len(s.ro), -1)
    table = np.array([p.load for p in parts])
    which = np.argmin(np.where(np.isnan(table), -1.0, table), axis=0)
    return np.asarray(table[which, np.arange(table.shape[1])]), which


def _beyond_yield(
    candidates: Candidates, kind: Kind, ends: Sequence[Part], s: Sections
) -> tuple[Array, Array, list[str]]:
    """Load that a metal carries at most, the load at which it flows on, and what ends it."""
    share = plastic_shares(s).get(kind.key, np.ones_like(s.ro))
    strong = [p for p in ends if p.check in ("strength", "shear")]
    others = [p for p in ends if p.check not in ("strength", "shear")]
    plastic = _least(strong, s)[0] * share
    rest, which = _least(others, s)
    flows = ~(rest < plastic)
    said = [YIELD if x < 1.0 + 1e-9 else PLASTIC for x in share.tolist()]
    top = plastic
    if kind.key == "tension":
        ultimate = np.array([_ultimate(s, n) for n in range(len(said))]) * s.area
        top = np.where(np.isnan(ultimate), plastic, ultimate)
        said = [w if np.isnan(u) else RUPTURE for w, u in zip(said, ultimate.tolist(), strict=True)]
    by = [
        said[n] if flows[n] else _word(others, int(which[n]), metal=True) for n in range(len(said))
    ]
    bounded = kind.key not in ("buckling", "pressure", "outside")
    return np.where(flows, top, rest), np.where(flows & bounded, plastic, np.nan), by


def _ultimate(s: Sections, n: int) -> float:
    layup = s.walls.layups[int(s.index[n if len(s.index) > 1 else 0])]
    return float(layup.layers[0].values.ultimate)


def _word(parts: Sequence[Part], which: int, *, metal: bool) -> str:
    if which < 0:
        return ""
    check = parts[which].check
    if check == "strength":
        return YIELD if metal else "fibre failure"
    return "shear yield" if metal and check == "shear" else CHECKS[check].label


def _stiffness(kind: Kind, s: Sections, span: float) -> tuple[Array, Array]:
    """Stiffness, and travel over the span per unit load."""
    none = np.full_like(s.ro, np.nan)
    if kind.key == "bending":
        bend = flexure(replace(kind.case, span=span))
        assert bend is not None
        sag = deflection(s, bend)
        return np.asarray(1.0 / sag), sag
    if kind.key == "buckling":
        return s.EI, none
    if kind.key == "torsion":
        return s.GJ, np.asarray(span / s.GJ)
    return (s.EA, np.asarray(span / s.EA)) if kind.unit == "force" else (none, none)
