"""What a check gives back, and the candidates it is given."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tubecalc.laminate.construction import Construction
from tubecalc.laminate.elastic import Array, Bools, Ints
from tubecalc.need import Case, Need
from tubecalc.section import Capacity, Sections
from tubecalc.unit_display import show

GRADES = {
    "A": "closed form verified against published values and an independent solver",
    "B": "engineering estimate",
    "C": "rule of thumb of the trade",
}


FAIL = 1.0 - 1e-9  # a reserve of 1 just passes, rounding included


@dataclass(frozen=True)
class Check:
    """Name of a way to fail, its grades (composite, metal), expected error and basis."""

    label: str
    grades: tuple[str, str]
    error: str
    basis: str
    advisory: bool = False
    envelope: bool = False  # fits or does not: governs only where it fails


CHECKS: dict[str, Check] = {
    "strength": Check(
        "strength", ("B", "A"), "composite -20 to +25 %, metal 5 %",
        "layer-wise ply stress, Hashin 1980 with ply discount; metals: von Mises yield",
    ),
    "shear": Check(
        "transverse shear", ("B", "B"), "15 %", "thin-wall shear flow V / (pi R) on the plies",
    ),
    "first_ply": Check(
        "first crack in a ply", ("B", "A"), "20 % and more; cure stress not counted",
        "layer-wise ply stress, criterion of the need", advisory=True,
    ),
    "column": Check(
        "column buckling", ("A", "A"),
        "under 1 %; propped all-axial struts up to 2 % high at 25 diameters",
        "Euler with shear (Engesser); Timoshenko & Gere, Theory of Elastic Stability",
    ),
    "column_bow": Check(
        "bowed strut", ("B", "B"), "10 to 20 %, the bow decides",
        "Ayrton-Perry: axial and bending strength with the bow amplified by 1 / (1 - P/Pcr)",
    ),
    "wall_buckling": Check(
        "local buckling of the wall", ("C", "C"),
        "-60 to +5 % against the solver; two-wave modes of medium length not covered",
        "orthotropic Donnell cylinder with NASA SP-8007 knock-down; ovalisation after Brazier",
    ),
    "crush": Check(
        "crush at a load point", ("C", "C"), "factor 1.5; calibrate with a bench test",
        "dent one wall deep, after API RP 2A / Furnes & Amdahl 1980, hoop and axial strength apart",
    ),
    "split": Check(
        "first split at a load point", ("C", "C"), "factor 2",
        "ring bending spread along the tube by membrane action, n = 2", advisory=True,
    ),
    "end_crush": Check(
        "crush of a plain cut end", ("C", "C"), "30 %", "bearing strength of the construction",
    ),
    "deflection": Check(
        "deflection", ("A", "A"), "2 %", "Timoshenko beam, shear coefficient of a hollow circle",
    ),
    "slope": Check("slope", ("A", "A"), "2 %", "beam theory; shear adds no slope at a free tip"),
    "twist": Check("twist", ("A", "A"), "0.1 %, single helix 2 %", "T L / GJ, free to stretch"),
    "bend_radius": Check(
        "bend radius", ("B", "A"), "20 %", "EI over the bending strength",
    ),
    "expansion": Check("thermal growth", ("B", "A"), "10 %", "expansion of the closed wall"),
    "frequency": Check(
        "first natural frequency", ("A", "A"), "1 %", "exact beam with tip mass, Dunkerley shear",
    ),
    "whirl": Check(
        "critical speed", ("B", "B"), "5 %", "first whirl of the span, its ends, Dunkerley shear",
    ),
    "temperature": Check(
        "heat", ("C", "B"), "10 degC", "service limit of the construction",
    ),
    "od": Check("outside diameter", ("A", "A"), "tolerance of the tube", "geometry", envelope=True),
    "bore": Check("bore", ("A", "A"), "tolerance of the tube", "geometry", envelope=True),
    "mass": Check("mass", ("A", "A"), "5 %", "density times volume", envelope=True),
    "service": Check("service", ("C", "C"), "a rule, not a number", "practice of the trade"),
}  # fmt: skip


@dataclass(frozen=True)
class Outcome:
    """One check of one case on N tubes.

    reserve is capacity over demand: 1 just passes; NaN means not known, infinity not driven.
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
        out = np.where(d > 0, capacity / d, np.inf)
    return np.asarray(np.where(out > 1e25, np.inf, out))


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
    )
