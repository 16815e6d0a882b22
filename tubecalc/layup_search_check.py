"""True checks of stacks: the rooms of `tubecalc.checks`, cheap ones first, then all of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from tubecalc.checks import (
    CHECKS,
    column,
    local,
    pressure,
    service,
    stiffness,
    strength,
    vibration,
)
from tubecalc.checks.base import FAIL, Candidates, Outcome, deciding
from tubecalc.checks.climate import at_service
from tubecalc.laminate.elastic import Array, Bools, Ints
from tubecalc.laminate.layup import Layup
from tubecalc.layup_search_space import Space
from tubecalc.layup_search_wall import wall_of
from tubecalc.need import Need
from tubecalc.sweep import Grid, Reserves, reserves
from tubecalc.wall import WallTable

Room = Callable[[Candidates, Need], list[Outcome]]
STAGES: tuple[tuple[Room, ...], ...] = (
    (stiffness.outcomes, vibration.outcomes, service.outcomes),
    (strength.outcomes, pressure.outcomes, column.outcomes),
    (local.outcomes,),
)


@dataclass(frozen=True)
class Tried:
    """One stack that was checked: its plies, size, mass, cost, and reserves by check."""

    combo: int
    word: tuple[int, ...]
    ri: float
    mass: float
    cost: float
    reserve: float
    passes: bool
    by_check: dict[str, float]
    outside: tuple[str, ...]


@dataclass(frozen=True)
class Draft:
    """A stack that is to be checked."""

    mass: float
    cost: float
    hope: float
    combo: int
    word: tuple[int, ...]
    ri: float

    def __lt__(self, other: Draft) -> bool:
        return self.rank() < other.rank()

    def rank(self) -> tuple[float, float, float, int, tuple[int, ...]]:
        """Lightest first, then cheapest, then the one that may carry most."""
        return self.mass, self.cost, -self.hope, self.combo, self.word


def grid_of(space: Space, words: Sequence[tuple[int, ...]], ri: Array) -> Grid:
    """Candidates of stacks as a sweep takes them."""
    walls = [wall_of([space.letters[k] for k in word]) for word in words]
    layups = [Layup(c.fill, construction=c.key, name=c.name) for c in walls]
    table = WallTable(layups)
    every: Ints = np.arange(len(words))
    return Grid(table, every, 2.0 * (ri + table.t), tuple(walls), every)


def _passing(grid: Grid, need: Need, rooms: Sequence[Room]) -> tuple[Array, Bools]:
    """Least deciding reserve of each, and which have none below one."""
    tubes = at_service(grid.part(slice(None)), need.service)
    least = np.full(len(grid), np.inf)
    for room in rooms:
        for outcome in room(tubes, need):
            if not outcome.advisory:
                least = np.fmin(least, deciding(outcome.check, outcome.reserve))
    return least, least >= FAIL


def tried(drafts: Sequence[Draft], found: Reserves) -> list[Tried]:
    """Results of full checks one by one."""
    out = []
    for n, d in enumerate(drafts):
        values = {k: float(v[n]) for k, v in found.by_check.items()}
        beyond = tuple(k for k, v in found.outside.items() if v[n])
        out.append(
            Tried(d.combo, d.word, d.ri, d.mass, d.cost, float(found.reserve[n]),
                  bool(found.passes[n]), values, beyond)
        )  # fmt: skip
    return out


def full(space: Space, need: Need, drafts: Sequence[Draft]) -> list[Tried]:
    """Every check of some stacks, as a sweep makes them."""
    if not drafts:
        return []
    grid = grid_of(space, [d.word for d in drafts], np.array([d.ri for d in drafts]))
    return tried(drafts, reserves(grid, need))


def judged(
    space: Space, need: Need, drafts: Sequence[Draft]
) -> tuple[list[Tried], list[tuple[float, Draft]]]:
    """Full results of the stacks that get through the cheap rooms, and how the others failed.

    Parameters
    ----------
    space : Space
        The space.
    need : Need
        The need.
    drafts : sequence of Draft
        Stacks.

    Returns
    -------
    list of Tried
        Those that went through every check; they may have failed there.
    list of tuple
        (least reserve met, stack) of those that failed in a cheap room already.
    """
    left, failed = list(drafts), []
    points = any(c.kind in ("three-point", "four-point", "uniform", "cantilever") or c.hole > 0
                 for c in need.cases)  # fmt: skip
    for rooms in STAGES:
        if not left or (rooms is STAGES[2] and not points):
            continue
        grid = grid_of(space, [d.word for d in left], np.array([d.ri for d in left]))
        least, ok = _passing(grid, need, rooms)
        failed += [(float(r), d) for r, d, o in zip(least, left, ok, strict=True) if not o]
        left = [d for d, o in zip(left, ok, strict=True) if o]
    return full(space, need, left), failed


def merged(space: Space, rows: Sequence[Tried]) -> Reserves:
    """Results of several batches as one, for the table of a sweep."""
    grid = grid_of(space, [r.word for r in rows], np.array([r.ri for r in rows]))
    present = dict.fromkeys(k for r in rows for k in r.by_check)
    checks = [k for k in CHECKS if k in present]
    by_check = {k: np.array([r.by_check.get(k, np.inf) for r in rows]) for k in checks}
    outside = {
        k: np.array([k in r.outside for r in rows])
        for k in checks if any(k in r.outside for r in rows)
    }  # fmt: skip
    names = tuple(k for k in checks if not CHECKS[k].advisory)
    reserve = np.array([r.reserve for r in rows])
    governing = np.full(len(rows), -1, np.intp)
    for n, row in enumerate(rows):
        counted = [float(deciding(k, by_check[k][n : n + 1])[0]) for k in names]
        known = [i for i, v in enumerate(counted) if v == row.reserve and np.isfinite(v)]
        governing[n] = known[0] if known else -1
    passes = np.array([r.passes for r in rows])
    return Reserves(grid, by_check, reserve, governing, names, passes, {}, outside)
