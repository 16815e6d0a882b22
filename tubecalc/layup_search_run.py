"""The search: what the bounds left is put to the true checks, lightest first.

Where there are many sets of plies, one that passes is looked for by halving the masses first, so
that there is an answer early. Then come all that are lighter: some orders of each set, and when
every set has had its turn the orders put off, until nothing lighter than the answer is left.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from tubecalc.laminate.elastic import Ints
from tubecalc.layup_search_check import Draft, Tried, judged
from tubecalc.layup_search_screen import CHUNK, Screen
from tubecalc.layup_search_space import MOST_SETS, Space, number_of_sets
from tubecalc.layup_search_tally import Progress, rank_of
from tubecalc.need import Need

TRIED = 8  # orders of a set that are checked for true once one of them passes
FEW_ORDERS = 20_000  # orders of a set that are written out in the first turn
MOST_ORDERS = 2_000_000  # and in the second
MOST_SCREENED = 50_000_000  # stacks bounded one by one before sets of many orders are left
FIRST = 16  # orders of a set that are checked before other sets have had their turn
MOST_LATER = 200_000  # stacks put off that are kept
MANY_SETS = 200  # from so many sets on one that passes is looked for first
WINDOW, PROBED = 100, 8  # sets on both sides of a mass, and how many of them are looked at
CHEAP = 10  # stacks that fail in a cheap check count as so many to one full check
PORTION = (64, 8)  # stacks checked at a time: all plies along or around, and with others
SAME = 1e-11  # masses that differ by less are equal


class Search(Screen):
    """One search; see `tubecalc.layup_search.search_layup`.

    Parameters
    ----------
    space : Space
        Plies, rules and sizes.
    need : Need
        The need.
    best : int
        Rows wanted.
    every_order : bool
        Every order of the plies is a row, else the best one found of each set.
    most_checks : int
        Limit of true checks.
    progress, stop, system
        As of `search_layup`.
    """

    def __init__(
        self, space: Space, need: Need, best: int, *, every_order: bool, most_checks: int,
        progress: Callable[[Progress], object] | None, stop: Callable[[], bool] | None,
        system: str = "SI",
    ) -> None:  # fmt: skip
        super().__init__(space, need, stop=stop, every_order=every_order, system=system)
        self.best, self.most_checks, self.progress = best, most_checks, progress
        self.passing: dict[int, list[Tried]] = {}  # combo -> what passes
        self.failing: list[Tried] = []
        self.nearly: list[tuple[float, Draft]] = []
        self.seen: set[tuple[int, tuple[int, ...]]] = set()  # checked before their turn
        self.later: list[Draft] = []  # put off
        self.orders_tried: dict[int, int] = {}
        self.place, self.beyond = 0, math.inf
        self.rest = math.inf  # least mass that is not decided on
        self._rows: list[Tried] | None = None  # kept until something more passes

    # -- which are checked -----------------------------------------------------------------
    def _wanted(self, draft: Draft) -> bool:
        """Whether a stack still has to be checked for true."""
        if self.every_order:
            return True
        rows = self.passing.get(draft.combo)
        if not rows:
            return True
        row = min(rows, key=rank_of)
        rank = draft.mass, float(np.nan_to_num(draft.cost))
        best = rank_of(row)[:2]
        few = self.orders_tried.get(draft.combo, 0) < TRIED
        return rank < best or (rank == best and few and draft.hope > row.reserve)

    def _enough(self, mass: float) -> bool:
        """Whether the rows wanted are found and whatever weighs `mass` comes after them."""
        rows = self.rows()
        return len(rows) >= self.best and rows[self.best - 1].mass < mass * (1 - SAME)

    def _portion(self, size: int, below: float, *, patient: bool) -> list[Draft]:
        """The next stacks to check; those of a set that has had its turn are put off."""
        some: list[Draft] = []
        now: dict[int, int] = {}
        while self.pool and len(some) < size and self.pool[0].mass <= below:
            draft = heapq.heappop(self.pool)
            combo, ahead = draft.combo, now.get(draft.combo, 0)
            tried = self.orders_tried.get(combo, 0) + ahead
            if (combo, draft.word) in self.seen:
                self.seen.discard((combo, draft.word))
            elif not self._wanted(draft):
                self.tally.by_stack += 1
            elif tried >= FIRST and not patient and not self.every_order:
                if len(self.later) < MOST_LATER:
                    self.later.append(draft)
                else:
                    self.tally.cut.append(draft.mass)
            else:
                now[combo] = ahead + 1
                some.append(draft)
        return some

    # -- true checks -----------------------------------------------------------------------
    def _check(self, below: float, *, patient: bool = False) -> bool:
        """Check the pool for true up to a mass, lightest first; False to end the search."""
        size = 8
        while self.pool and self.pool[0].mass <= below:
            if self._enough(self.pool[0].mass):
                return False
            some = self._portion(size, below, patient=patient)
            self._judge(some)
            size = min(2 * size, PORTION[self.skew])
            if self._spent() or self.halt():
                return False
        return True

    def _spent(self) -> bool:
        checked = max(self.tally.full, self.tally.checked / CHEAP)
        self.tally.spent = checked >= self.most_checks
        return self.tally.spent

    def _judge(self, some: list[Draft]) -> None:
        if not some:
            return
        done, failed = judged(self.space, self.need, some)
        self.tally.checked += len(some)
        self.tally.full += len(done)
        for draft in some:
            self.orders_tried[draft.combo] = self.orders_tried.get(draft.combo, 0) + 1
        for row in done:
            if row.passes:
                self.passing.setdefault(row.combo, []).append(row)
                self._rows = None
            else:
                self.failing.append(row)
        self.nearly = sorted([*self.nearly, *failed], key=lambda x: -x[0])[:16]
        self._tell()

    def rows(self) -> list[Tried]:
        """What passes, as ranked: by mass, cost, then the most reserve."""
        if self._rows is None:
            if self.every_order:
                some = [r for rows in self.passing.values() for r in rows]
            else:
                some = [min(rows, key=rank_of) for rows in self.passing.values()]
            self._rows = sorted(some, key=rank_of)
        return self._rows

    # -- the whole -------------------------------------------------------------------------
    def _tell(self, *, end: bool = False) -> None:
        if self.progress is None:
            return
        done, rows = self.tally.settled, self.rows()
        share = done / self.tally.tubes if self.tally.tubes > 0 else self.place / len(self.set)
        lightest = rows[0].mass if rows else math.nan
        self.progress(Progress(1.0 if end else min(share, 1.0), done, self.tally.checked, lightest))

    def _reach(self) -> None:
        """Find something that passes and is not much too heavy, by halving the masses."""
        low, high = 0, len(self.queue) - 1
        while low <= high and not self._spent() and not self.halt():
            middle = (low + high + 1) // 2
            near = self.queue[max(0, middle - WINDOW) : middle + WINDOW]
            near = near[np.argsort(-self.hope[near], kind="stable")[:PROBED]]
            some = [self.promising(int(combo)) for combo in near]
            drafts = [d for d in some if d is not None and (d.combo, d.word) not in self.seen]
            self.seen |= {(d.combo, d.word) for d in drafts}
            self._judge(drafts)
            if any(int(combo) in self.passing for combo in near):
                high = middle - 1
            else:
                low = middle + 1

    def run(self, *, beyond: float = math.inf) -> None:
        """Search until the rows are proven, nothing is left, or it is stopped.

        Parameters
        ----------
        beyond : float
            Least mass of what was left out of the space as too heavy to matter [kg/m].
        """
        self.rest = self.beyond = beyond
        at, group, more = 0, 4, True
        self._tell()
        if len(self.queue) > MANY_SETS and not self.every_order:
            self._reach()
        while at < len(self.queue) and more and not self.tally.spent and not self.halt():
            if self._enough(float(self.mass[self.queue[at]])):
                break
            some = self._next(at, group)
            self.write_out(some, FEW_ORDERS)
            at += len(some)
            self.place, group = at, min(2 * group, 4_096)
            after = float(self.mass[self.queue[at]]) if at < len(self.queue) else math.inf
            more = self._check(after)
        self._second(float(self.mass[self.queue[at]]) if at < len(self.queue) else math.inf)
        left = [self.mass[self.queue[at]]] if at < len(self.queue) else []
        self.rest = min([self.rest, *left, *(d.mass for d in self.pool[:1])])
        self._tell(end=True)

    def _second(self, below: float) -> None:
        """What was put off, up to a mass: orders checked later, and sets with very many orders."""
        partly, self.partly = sorted(self.partly, key=lambda c: self.mass[c]), []
        again = set(partly)
        self.pool = [d for d in [*self.pool, *self.later] if d.combo not in again]
        heapq.heapify(self.pool)
        while partly and not self.tally.spent and not self.halt():
            combo = partly[0]
            if self._enough(float(self.mass[combo])) or self.screened > MOST_SCREENED:
                break
            del partly[0]
            if not self._settled(combo):
                self.write_out(np.array([combo]), MOST_ORDERS)
                self._check(float(self.mass[partly[0]]) if partly else below, patient=True)
        if not (self.tally.spent or self.halt()):
            self._check(below, patient=True)
        open_ones = [c for c in [*partly, *self.partly] if not self._settled(c)]
        self.tally.cut += [float(self.mass[c]) for c in open_ones]

    def _settled(self, combo: int) -> bool:
        """Whether a set has an order that passes and none that is lighter."""
        rows = self.passing.get(combo, [])
        return any(r.mass <= self.mass[combo] * (1 + SAME) for r in rows)

    def _next(self, at: int, group: int) -> Ints:
        """The next sets: a few, or many where they make few stacks."""
        some = self.queue[at : at + group]
        many = np.cumsum(np.minimum(self.size[self.set[some]], FEW_ORDERS))
        return np.asarray(some[: max(1, int(np.searchsorted(many, 4 * CHUNK)))])

    @property
    def proven(self) -> int:
        """How many of the rows nothing lighter can come before."""
        if not self.tally.listed:
            return 0
        rest = min([self.rest, *self.tally.cut])
        return sum(row.mass <= rest * (1 + SAME) for row in self.rows())

    @property
    def exhausted(self) -> bool:
        """Whether every stack was decided on."""
        return self.tally.listed and math.isinf(self.rest) and not self.tally.cut

    def plies_that_matter(self) -> int:
        """Most plies of a wall as light as the lightest found, where only so few can be listed.

        Returns
        -------
        int
            0 where the sets were listed, nothing was found, or there are still too many.
        """
        rows = self.rows()
        if self.tally.listed or not rows or self.tally.stopped:
            return 0
        most = int(rows[0].mass * (1 + SAME) / self.lightest_ply())
        if most >= self.space.most_plies:
            return 0
        few = replace(self.space, most_plies=most)
        return most if number_of_sets(few) * len(few.sizes) <= MOST_SETS else 0
