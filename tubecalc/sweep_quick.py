"""Which candidates pass, and the lightest that do, with the slow checks run only where they count.

The slow checks work out tables for each new wall. A candidate that already fails another check
needs none, nor does one heavier than what is looked for. The answers are those of a full sweep.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tubecalc.checks import ROOMS, SLOW, Room, pressure, strength
from tubecalc.laminate.elastic import Bools, Ints
from tubecalc.need import Need
from tubecalc.sweep import Grid, Reserves, in_usual_range, reserves

_TABLED = (strength.outcomes, pressure.outcomes)  # tables that are made fast
STAGES: tuple[tuple[Room, ...], ...] = (
    tuple(room for room in ROOMS if room not in (*SLOW, *_TABLED)), _TABLED, SLOW,
)  # fmt: skip
BATCH = 48  # candidates judged whole at a time, lightest first


def some_of(candidates: Grid, where: Ints) -> Grid:
    """Some candidates of a grid, with the same walls.

    Parameters
    ----------
    candidates : Grid
        N candidates.
    where : numpy.ndarray
        Which of them.

    Returns
    -------
    Grid
    """
    return replace(
        candidates, index=candidates.index[where], od=candidates.od[where],
        which=candidates.which[where],
    )  # fmt: skip


def passing(candidates: Grid, need: Need) -> Bools:
    """Which candidates pass every deciding check.

    Parameters
    ----------
    candidates : Grid
        N candidates.
    need : Need
        The need.

    Returns
    -------
    numpy.ndarray
        As `reserves(...).passes`, (N,).

    Examples
    --------
    >>> from tubecalc.laminate.construction import get_construction
    >>> from tubecalc.sweep import grid
    >>> need = Need.from_table({"case": [{"kind": "strut", "load": "9 kN", "span": "1 m"}]})
    >>> some = grid([get_construction("6063-T6")], np.array([0.02]), np.array([0.0005, 0.002]))
    >>> passing(some, need).tolist()
    [False, True]
    """
    return _after(candidates, need, STAGES)


def _after(candidates: Grid, need: Need, stages: tuple[tuple[Room, ...], ...]) -> Bools:
    """Which candidates pass some stages, each run on what the one before has left."""
    passes = np.ones(len(candidates), bool)
    for rooms in stages:
        left = np.flatnonzero(passes)
        if len(left):
            passes[left] = reserves(some_of(candidates, left), need, rooms=rooms).passes
    return passes


def lightest(candidates: Grid, need: Need, count: int) -> Ints | None:
    """The lightest that pass, each of another construction.

    Parameters
    ----------
    candidates : Grid
        N candidates.
    need : Need
        The need.
    count : int
        How many [-].

    Returns
    -------
    numpy.ndarray or None
        Indices, lightest first: of a usual size and within the range of every deciding check if
        there is one such, else any that pass. None where nothing passes.
    """
    mass = candidates.part(slice(None)).sections.mass_per_length
    left = np.flatnonzero(_after(candidates, need, STAGES[:-1]))
    left = left[np.argsort(mass[left], kind="stable")]
    usual = in_usual_range(candidates)[left]
    for some, proven in ((left[usual], True), (left, False)):
        found = _first(candidates, need, some, count, proven=proven)
        if len(found):
            return found
    return None


def _first(candidates: Grid, need: Need, order: Ints, count: int, *, proven: bool) -> Ints:
    """First of an order that pass, each of another construction."""
    out: list[int] = []
    taken: set[int] = set()
    for start in range(0, len(order), BATCH):
        some = order[start : start + BATCH]
        some = some[~np.isin(candidates.which[some], list(taken))]
        if not len(some):
            continue
        for at in some[_good(reserves(some_of(candidates, some), need), proven)].tolist():
            which = int(candidates.which[at])
            if which not in taken:
                taken.add(which)
                out.append(at)
        if len(out) >= count or len(taken) == len(candidates.constructions):
            break
    return np.array(out[:count], np.intp)


def _good(found: Reserves, proven: bool) -> Bools:
    return found.passes & ~found.unproven if proven else found.passes


__all__ = ["STAGES", "lightest", "passing", "some_of"]
