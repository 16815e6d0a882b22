"""What becomes of the stacks of a search, how they rank, and how far it is."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.layup_search_check import Tried


class Progress(NamedTuple):
    """How far a search is: share done, stacks settled and checked for true, lightest found."""

    share: float
    settled: float
    checked: int
    lightest: float  # kg/m; NaN while nothing passes


def rounded(mass: Array) -> Array:
    """Masses without the last bits, so that equal ones are equal."""
    with np.errstate(divide="ignore", invalid="ignore"):
        scale = 10.0 ** (11 - np.ceil(np.log10(mass)))
        return np.where(mass > 0, np.round(mass * scale) / scale, mass)


def rank_of(r: Tried) -> tuple[float, float, float, int, tuple[int, ...]]:
    """Lightest first, then cheapest, then the one with the most reserve."""
    return r.mass, float(np.nan_to_num(r.cost)), -r.reserve, r.combo, r.word


@dataclass
class Tally:
    """What became of the stacks; a stack counts once for each size."""

    stacks: float = 0.0  # distinct stacks within the rules, NaN if not counted
    tubes: float = 0.0  # the same times sizes
    too_big: float = 0.0  # do not fit the sizes asked
    by_set: float = 0.0  # refuted together with their set
    by_stack: float = 0.0  # refuted by their own bounds
    checked: int = 0  # met the true checks, the cheap ones at least
    full: int = 0  # met all of them
    listed: bool = True  # every set was looked at
    cut: list[float] = field(default_factory=list)  # masses of sets not looked through
    stopped: bool = False
    spent: bool = False  # the limit of true checks was reached

    @property
    def settled(self) -> float:
        """Stacks decided on."""
        return self.too_big + self.by_set + self.by_stack + self.checked
