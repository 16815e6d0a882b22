"""What a check gives back, and the candidates it is given."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from tubecalc.checks.registry import CHECKS
from tubecalc.laminate.construction import Construction
from tubecalc.laminate.elastic import Array, Bools, Ints
from tubecalc.need import Case, Need
from tubecalc.section import Capacity, Sections
from tubecalc.unit_display import show

NO_GRADE = "none"  # outside the range in which a check has been shown to hold
NEAR = 3.0  # reserve below which a check outside its range may decide after all (own rule)
FAIL = 1.0 - 1e-9  # a reserve of 1 just passes, rounding included


@dataclass(frozen=True)
class Outcome:
    """One check of one case on N tubes.

    reserve is capacity over demand: 1 just passes; NaN means not known, infinity not driven.
    `at` holds the actual values of the quantities in the ranges of the check; `theory` says by
    which theory a tube was computed where there is a choice.
    """

    check: str
    case: str
    demand: Array
    capacity: Array
    kind: str  # unit kind of demand and capacity, for display
    reserve: Array
    why: Callable[[int], str]
    label: str = ""
    unit: str = ""
    at: Mapping[str, Array | float] = field(default_factory=dict)
    theory: Callable[[int], str] | None = None

    @property
    def outside(self) -> Bools:
        """Which tubes lie outside the range in which the check has been shown to hold, (N,)."""
        out = np.zeros(np.shape(self.reserve), bool)
        for r in CHECKS[self.check].ranges:
            if r.quantity in self.at:
                out |= r.outside(self.at[r.quantity])
        return out

    def range_note(self, n: int, system: str = "SI") -> str:
        """What is outside the range for one tube, in a display system; empty inside it."""
        said = []
        for r in CHECKS[self.check].ranges:
            if r.quantity not in self.at:
                continue
            value = np.broadcast_to(np.asarray(self.at[r.quantity], float), self.reserve.shape)[n]
            if r.outside(value):
                shown = r.shown(float(value), system)
                said.append(f"{r.quantity} is {shown}, shown to hold for {r.said(system)}")
        return "; ".join(said)

    @property
    def advisory(self) -> bool:
        """Whether it warns only and does not decide whether the tube passes."""
        return CHECKS[self.check].advisory


def deciding(check: str, reserves: Array) -> Array:
    """Reserves as they count for the ranking: an envelope that fits does not count at all."""
    if not CHECKS[check].envelope:
        return reserves
    return np.where(reserves >= FAIL, np.inf, reserves)


class Candidates:
    """N tubes with the construction each is made by.

    Parameters
    ----------
    sections : Sections
        The tubes' sections.
    constructions : sequence of Construction
        Distinct constructions.
    which : numpy.ndarray
        Index of each tube's construction, (N,).
    system : str
        Display system of the sentences.
    """

    def __init__(
        self,
        sections: Sections,
        constructions: Sequence[Construction],
        which: Ints,
        system: str = "SI",
    ) -> None:
        self.system = system
        self.sections = sections
        self.constructions = tuple(constructions)
        self.which = which

    def __len__(self) -> int:
        return len(self.which)

    def show(self, value: float, kind: str) -> str:
        """A value as the sentences show it."""
        return show(value, kind, self.system)

    def of_construction(self, values: Sequence[float]) -> Array:
        """Values by construction -> values by tube."""
        return np.asarray(values, float)[self.which]

    @cached_property
    def metal(self) -> Bools:
        """Which tubes are metal."""
        return np.array([c.metal for c in self.constructions])[self.which]

    def grade(self, check: str, n: int) -> str:
        """Grade of a check for one tube."""
        return CHECKS[check].grades[int(self.metal[n])]

    def unit(self, need: Need) -> dict[str, Capacity]:
        """Capacities of one load at a time, first damage by the need's criterion."""
        cache: dict[str, dict[str, Capacity]] = self.__dict__.setdefault("_unit", {})
        name = need.factors.criterion
        if name not in cache:
            s = self.sections
            cache[name] = s.unit if name == "hashin" else s.unit_capacities(name)
        return cache[name]


def reserve(capacity: Array, demand: Array | float) -> Array:
    """Capacity over demand; infinite where nothing is demanded.

    Parameters
    ----------
    capacity : numpy.ndarray
        What the tube can do.
    demand : numpy.ndarray or float
        What is asked of it, factors included.

    Returns
    -------
    numpy.ndarray
        Reserve factor [-].

    Examples
    --------
    >>> reserve(np.array([4.0, 4.0]), np.array([2.0, 0.0])).tolist()
    [2.0, inf]
    """
    d = np.abs(np.asarray(demand, float))
    with np.errstate(divide="ignore", invalid="ignore"):
        out = np.where(d == 0, np.inf, capacity / d)  # a demand not known stays not known
    return np.asarray(np.where(out > 1e25, np.inf, out))


def pick(value: Array | float, n: int) -> float:
    """One tube's value of a number or an array of N."""
    return float(np.ravel(value)[n if np.size(value) > 1 else 0])


def case_name(case: Case, number: int) -> str:
    """Name of a case as shown: its own, else its kind and number."""
    return case.name or f"{case.kind} {number}"


def make(
    check: str,
    case: str,
    capacity: Array,
    demand: Array | float,
    kind: str,
    why: Callable[[int], str],
    *,
    label: str = "",
    unit: str = "",
    at: Mapping[str, Array | float] | None = None,
    theory: Callable[[int], str] | None = None,
) -> Outcome:
    """Outcome with its reserve worked out."""
    size = np.shape(capacity)
    d = np.broadcast_to(np.asarray(demand, float), size)
    return Outcome(
        check,
        case,
        d,
        capacity,
        kind,
        reserve(capacity, d),
        why,
        label or CHECKS[check].label,
        unit,
        at or {},
        theory,
    )
