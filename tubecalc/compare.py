"""Two to six tubes side by side: one evaluation that page, sheet and chart share.

Every figure comes from the checks: a need with one unit load per kind of load is put to them, and
what fails first gives the load. Room temperature, short time, no safety factor; what own tests
leave is counted where the need has it switched on.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.checks.base import Candidates
from tubecalc.checks.measured import as_stiff, left
from tubecalc.compare_loads import (
    KINDS,
    Kind,
    Loaded,
    Part,
    loaded,
    measured,
    spanned_parts,
    stacked,
    unit_parts,
)
from tubecalc.errors import InputError
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layup import Layup
from tubecalc.need import Need
from tubecalc.need_parts import Factors
from tubecalc.section import Sections
from tubecalc.tube import Tube
from tubecalc.tube import single as one_tube
from tubecalc.unit_display import show
from tubecalc.verdict import Verdict, check
from tubecalc.wall import WallTable, unique_layups

if TYPE_CHECKING:
    from tubecalc.job import Job

SPAN = 0.5  # of a comparison whose need has none [m]
MOST = 64  # tubes side by side; a page of more grows past what opens quickly
KEPT = 64  # sets of tubes and of walls kept


@dataclass(frozen=True, eq=False)
class Judged:
    """Candidates of a job, judged once.

    Attributes
    ----------
    need : Need
        What they are judged against.
    tubes : tuple of Tube
        One per candidate.
    names : tuple of str
        Short names, no two alike.
    verdicts : tuple of Verdict or None
        One per candidate; None where the need has no case.
    loads : dict of str to Loaded
        Per kind of load (`compare_loads.KINDS`): stiffness, first and last load, what fails.
    span : float
        Length that bending, buckling and travels are for [m].
    best : int
        The chosen candidate, else the lightest that passes; -1 without one.
    prices : numpy.ndarray
        Per metre, NaN where not known.
    system : str
        Display system.
    """

    need: Need
    tubes: tuple[Tube, ...]
    names: tuple[str, ...]
    verdicts: tuple[Verdict | None, ...]
    candidates: Candidates
    loads: Mapping[str, Loaded]
    span: float
    best: int
    prices: Array
    system: str = "SI"
    currency: str = ""

    def __len__(self) -> int:
        return len(self.tubes)

    @cached_property
    def mass(self) -> Array:
        """Mass per length [kg/m]."""
        return self.candidates.sections.mass_per_length

    def per_mass(self, values: Array) -> Array:
        """Values for each unit of mass per length, (N,)."""
        return np.asarray(values / self.mass)

    def at_weight_of(self, values: Array, reference: int) -> Array:
        """Values as they would be if every tube had the weight of one of them, (N,).

        Wall and plies scaled in number, not in kind: proportional to mass per length.
        """
        return np.asarray(self.per_mass(values) * self.mass[reference])

    def passes(self, n: int) -> bool | None:
        """Whether one candidate does what the need asks; None without a case."""
        verdict = self.verdicts[n]
        return None if verdict is None else bool(verdict.passes)


def size_words(tube: Tube, system: str = "SI") -> str:
    """Outside diameter and bore as shown, "20 × 18 mm".

    Parameters
    ----------
    tube : Tube
        One tube.
    system : str
        Display system.

    Returns
    -------
    str

    Examples
    --------
    >>> size_words(Tube("304", od="10 mm", wall="1 mm")).replace("×", "x")
    '10 x 8 mm'
    """
    s = tube.sections
    od, bore = (show(2 * float(r[0]), "length", system) for r in (s.ro, s.ri))
    if float(s.ri[0]) < 1e-9:
        return f"{od} solid"
    return f"{od.rpartition(' ')[0]} × {bore}"


def _names(tubes: Sequence[Tube], labels: Sequence[str], system: str) -> tuple[str, ...]:
    """Labels, or construction and size where needed, no two alike."""
    names = [
        given.strip() or tube.construction.name for tube, given in zip(tubes, labels, strict=True)
    ]
    twice = {n for n in names if names.count(n) > 1}
    names = [
        f"{n}, {size_words(t, system)}" if n in twice else n
        for n, t in zip(names, tubes, strict=True)
    ]
    seen: dict[str, int] = {}
    out = []
    for name in names:
        seen[name] = seen.get(name, 0) + 1
        out.append(name if seen[name] == 1 else f"{name} ({seen[name]})")
    return tuple(out)


@lru_cache(maxsize=256)
def _verdict(tube: Tube, need: Need, system: str) -> Verdict:
    return check(tube, need, system=system)


_WALLS: OrderedDict[tuple[Any, ...], WallTable] = OrderedDict()


def _walls(layups: Sequence[Layup]) -> WallTable:
    """Table of walls, kept: what was worked out for a wall serves its next diameter too."""
    key = tuple(
        (x.construction, *((id(y.values), y.angle, round(y.thickness, 12), y.count)
                           for y in x.layers))
        for x in layups
    )  # fmt: skip
    found = _WALLS.pop(key, None) or WallTable(list(layups))
    _WALLS[key] = found
    while len(_WALLS) > KEPT:
        _WALLS.popitem(last=False)
    return found


@lru_cache(maxsize=KEPT)
def together(tubes: tuple[Tube, ...], system: str = "SI") -> Candidates:
    """Tubes of any walls in one set of arrays.

    Parameters
    ----------
    tubes : tuple of Tube
        One size each.
    system : str
        Display system of the sentences.

    Returns
    -------
    Candidates

    Examples
    --------
    >>> both = together((Tube("304", od="9 mm", wall="1 mm"), Tube("6061-T6", od="9 mm",
    ...                  wall="1 mm")))
    >>> both.metal.tolist()
    [True, True]
    """
    distinct, index = unique_layups([t.layups[int(t.sections.index[0])] for t in tubes])
    od = np.array([2 * float(t.sections.ro[0]) for t in tubes])
    sections = Sections(_walls(distinct), index, od)
    return Candidates(sections, [t.construction for t in tubes], np.arange(len(tubes)), system)


@lru_cache(maxsize=2048)
def _unit_parts(tube: Tube, kind: str) -> list[Part]:
    return unit_parts(together((tube,)), kind)


@lru_cache(maxsize=256)
def _loaded(tubes: tuple[Tube, ...], kind: Kind, span: float, bench: str) -> Loaded:
    """One kind of load on all tubes; what no length enters is worked out once per tube."""
    need = Need(factors=Factors(bench=bench))
    candidates = together(tubes)
    soft = as_stiff(candidates, need)  # the same without own tests of a stiffness
    if not kind.spanned:
        parts = stacked([_unit_parts(t, kind.key) for t in tubes])
    else:
        wanted = ("compression",) if kind.key == "buckling" else ("moment", "roller")
        fixed = {k: stacked([_unit_parts(t, k) for t in tubes]) for k in wanted}
        column = kind.key == "buckling"
        parts = spanned_parts(soft if column else candidates, kind.key, span, fixed)
    return loaded(soft, kind, measured(parts, left(candidates, need)), span)


def span_of(need: Need) -> float:
    """Length that a comparison is for: the first span of the need [m].

    Parameters
    ----------
    need : Need
        The need.

    Returns
    -------
    float
        `SPAN` where the need has none.

    Examples
    --------
    >>> span_of(Need())
    0.5
    """
    spans = [c.span for c in need.cases if c.span > 0]
    return spans[0] if spans else SPAN


def compare(
    tubes: Sequence[Tube],
    need: Need | None = None,
    *,
    span: float | None = None,
    labels: Sequence[str] | None = None,
    prices: Sequence[float] | None = None,
    chosen: int = -1,
    system: str = "SI",
    currency: str = "",
) -> Judged:
    """Judge tubes side by side.

    Parameters
    ----------
    tubes : sequence of Tube
        One size each.
    need : Need, optional
        What they must do; without a case there are no verdicts.
    span : float, optional
        Length for bending, buckling and travels [m]; the first of the need when not given.
    labels : sequence of str, optional
        Names; the construction's where empty.
    prices : sequence of float, optional
        Per metre.
    chosen : int
        Recommended candidate, -1 for the lightest that passes.
    system : str
        Display system of the sentences: "SI", "workshop" or "inch".
    currency : str
        Of the prices.

    Returns
    -------
    Judged

    Raises
    ------
    InputError
        Without a tube, or for a span that is not above zero.

    Examples
    --------
    >>> both = compare([Tube("304", od="20 mm", wall="1 mm"), Tube("6063-T6", od="20 mm",
    ...                wall="1 mm")], span=1.0)
    >>> [round(float(v)) for v in both.loads["tension"].first]  # yield over the section [N]
    [12833, 12833]
    """
    if not 0 < len(tubes) <= MOST:
        raise InputError(
            "cannot lay so many tubes side by side" if tubes else "there is no tube to compare",
            where="compare", got=f"{len(tubes)} tubes", expected=f"1 to {MOST}",
        )  # fmt: skip
    for tube in tubes:
        one_tube(tube, "compare")
    need = need or Need()
    length = span_of(need) if span is None else float(span)
    if not 0 < length < math.inf:
        raise InputError("is not above zero", where="compare:span", got=f"{length:g} m")
    joint = together(tuple(tubes), system)
    verdicts = tuple(_verdict(t, need, system) if need.cases else None for t in tubes)
    mass = joint.sections.mass_per_length
    passing = [n for n, v in enumerate(verdicts) if v is not None and v.passes]
    best = chosen if 0 <= chosen < len(tubes) else min(passing, key=lambda n: mass[n], default=-1)
    return Judged(
        need, tuple(tubes), _names(tubes, labels or [""] * len(tubes), system), verdicts, joint,
        {k: _loaded(tuple(tubes), x, length, need.factors.bench) for k, x in KINDS.items()},
        length, best,
        np.array([math.nan] * len(tubes) if prices is None else list(prices), float),
        system, currency,
    )  # fmt: skip


def judge(job: Job, *, span: float | None = None) -> Judged:
    """Judge the candidates of a job.

    Parameters
    ----------
    job : Job
        Need, candidates, own walls, chosen candidate, units.
    span : float, optional
        Length for bending, buckling and travels [m]; the first of the need when not given.

    Returns
    -------
    Judged

    Raises
    ------
    InputError
        Without a candidate, or for what the core refuses of one of them.
    """
    tubes = [_tube_of(job, n) for n in range(len(job.candidates))]
    return compare(
        tubes, job.need, span=span, labels=[c.label for c in job.candidates],
        prices=[c.price for c in job.candidates], chosen=job.chosen, system=job.units,
        currency=job.currency,
    )  # fmt: skip


_TUBES: dict[Any, Tube] = {}


def _tube_of(job: Job, n: int) -> Tube:
    """Tube of a candidate, kept: what was worked out for it stays with it."""
    c = job.candidates[n]
    key = (c.wall, c.od, c.id, repr(job.walls.get(c.wall)))
    tube = _TUBES.get(key)
    if tube is None:
        while len(_TUBES) >= 256:
            _TUBES.pop(next(iter(_TUBES)))
        tube = _TUBES[key] = c.tube(job)
    return tube


__all__ = ["MOST", "SPAN", "Judged", "compare", "judge", "size_words", "span_of"]
