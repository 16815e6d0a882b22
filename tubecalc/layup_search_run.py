"""The search: sets of plies by bounds, their stacks by bounds, what is left by the true checks.

Sets of plies (how many of each) on each size are put in the order of their least mass. Those that
cannot do it in any order are refuted together; of the others every order is written out and
refuted by its own bounds or checked for true, lightest first, until nothing that is lighter than
the answer is left.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from tubecalc.checks.base import FAIL, reserve
from tubecalc.checks.service import heat_limit, vetoes
from tubecalc.environment import ROOM
from tubecalc.errors import InputError
from tubecalc.laminate.elastic import Array, Bools, Ints
from tubecalc.layup_search_bound import SPARE, Hopes, Sets, Stacks, worst
from tubecalc.layup_search_check import Draft, Tried, judged
from tubecalc.layup_search_orders import number_of_orders, orders
from tubecalc.layup_search_space import (
    MOST_SETS,
    Counts,
    Space,
    Words,
    all_sets,
    grown_sets,
    number_of_sets,
)
from tubecalc.layup_search_tally import Progress, Tally, rank_of, rounded
from tubecalc.layup_search_wall import wall_of
from tubecalc.need import Need
from tubecalc.unit_display import show

BEAM = 1_000  # sets of plies kept at each step where there are too many to list
CHUNK = 20_000  # stacks screened at a time
MOST_ORDERS = 2_000_000  # stacks of one set that are looked at
MOST_LEFT = 4_096  # of them kept for the true checks, the most hopeful
TRIED = 8  # orders of a set that are checked for true once one of them passes
CHEAP = 20  # stacks that fail in a cheap check count as so many to one full check
PORTION = (64, 8)  # stacks checked at a time: all plies along or around, and with others
SAME = 1e-11  # masses that differ by less are equal


class Search:
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
    progress, stop
        As of `search_layup`.
    """

    def __init__(
        self, space: Space, need: Need, best: int, *, every_order: bool, most_checks: int,
        progress: Callable[[Progress], object] | None, stop: Callable[[], bool] | None,
        system: str = "SI",
    ) -> None:  # fmt: skip
        self.space, self.need, self.best = space, need, best
        self.every_order, self.most_checks = every_order, most_checks
        self.progress, self.stop, self.system = progress, stop, system
        self.mirror, self.skew = space.mirror, bool((space.mirror != np.arange(space.K)).any())
        self.twisted = any(c.torque and not math.isnan(c.torque) for c in need.cases)
        self.hopes, self.tally = Hopes(space, need), Tally()
        self.passing: dict[int, list[Tried]] = {}  # combo -> what passes
        self.failing: list[Tried] = []
        self.nearly: list[tuple[float, Draft]] = []
        self.pool: list[Draft] = []
        self.orders_tried: dict[int, int] = {}
        self._rows: list[Tried] | None = None  # kept until something more passes
        self.place, self.beyond = 0, math.inf
        self.rest = math.inf  # least mass that is not decided on
        self.most: dict[str, float] = {}  # check -> most that any set can hope for
        self._sets()
        self._sizes()
        self._screen()

    # -- sets and sizes ------------------------------------------------------------------
    def _sets(self) -> None:
        sizes = len(self.space.sizes)
        if number_of_sets(self.space) * sizes <= MOST_SETS:
            self.counts = all_sets(self.space)
            found = number_of_orders(self.space, self.counts) if len(self.counts) else None
            if found is not None:
                self.counts, found = self.counts[found > 0], found[found > 0]
        else:
            self.tally.listed, found = False, None
            parts = list(grown_sets(self.space, self._worth, max(2, BEAM // sizes)))
            self.counts = np.unique(np.concatenate(parts), axis=0)
        if not len(self.counts):
            raise InputError(
                "no stack obeys all the rules", where="rules",
                expected="fewer rules, more plies or more angles",
            )  # fmt: skip
        self.orders = np.full(len(self.counts), np.nan) if found is None else found
        full = self.tally.listed
        self.tally.stacks = float(self.orders.sum()) if full else math.nan
        self.tally.tubes = self.tally.stacks * sizes

    def _worth(self, counts: Counts) -> Array:
        """Hope of sets per mass, at the size that suits each best."""
        amount = counts * self.space.thickness
        out = np.full(len(counts), -np.inf)
        for size in range(len(self.space.sizes)):
            ri = self.space.bore_radius(np.full(len(counts), size), amount.sum(axis=1))
            at = Sets(amount, np.maximum(ri, 1e-6))
            hope = np.minimum(worst(self.hopes.reserves(at), len(counts)), 1.5)
            out = np.where(ri >= 0, np.maximum(out, hope / self.hopes.mass(at) ** 0.1), out)
        return out

    def _sizes(self) -> None:
        """Every set on every size that the envelope allows."""
        limits, number = self.need.limits, len(self.space.sizes)
        self.set = np.repeat(np.arange(len(self.counts)), number)
        size = np.tile(np.arange(number), len(self.counts))
        wall = (self.counts * self.space.thickness).sum(axis=1)[self.set]
        ri = self.space.bore_radius(size, wall)
        close = 1.0 - FAIL
        wide = ~(ri + wall <= limits.od_max / 2 * (1 + close)) & (not math.isnan(limits.od_max))
        tight = ~(ri >= limits.id_min / 2 * (1 - close)) & (not math.isnan(limits.id_min))
        fits = ~(wide | tight | (ri < 0))
        if not fits.any():
            raise self._no_size(wide, tight, ri + wall, ri)
        self.tally.too_big = float(self.orders[self.set[~fits]].sum())
        self.set, self.ri = self.set[fits], ri[fits]

    def _no_size(self, wide: Bools, tight: Bools, ro: Array, ri: Array) -> InputError:
        limits = self.need.limits
        where = "mandrels" if self.space.bores else "od"
        said, cause = [], "other sizes or a wider limit"
        if wide.any():
            least, most = (
                show(float(x), "length", self.system) for x in (2 * ro.min(), limits.od_max)
            )
            said.append(f"the smallest tube is {least} outside, od_max is {most}")
        if tight.any():
            most, least = (
                show(float(x), "length", self.system)
                for x in (max(2 * ri.max(), 0.0), limits.id_min)
            )
            said.append(f"the largest bore is {most}, id_min is {least}")
        said = said or ["the thinnest wall is thicker than the radius"]
        return InputError(f"no size fits: {' and '.join(said)}", where=where, expected=cause)

    # -- bounds on sets --------------------------------------------------------------------
    def _ply_limits(self) -> dict[str, Array]:
        """Reserve that each ply's own heat limit and service rules leave a wall, (K,)."""
        need = replace(self.need, service=replace(self.need.service, finish="any"))
        walls = [wall_of([x]) for x in self.space.letters]
        out = {}
        banned = np.array([0.0 if vetoes(w, need) else np.inf for w in walls])
        if (banned == 0).any():
            out["service"] = banned
        hot = need.service.temperature
        if hot > ROOM:
            rise = [heat_limit(w, wet=need.service.wet) - ROOM for w in walls]
            spare = np.array([np.inf if math.isnan(r) else max(r, 0.0) for r in rise])
            out["temperature"] = reserve(spare, hot - ROOM)
        return out

    def _screen(self) -> None:
        """Hope, least mass and least cost of every set and size; what is refuted goes."""
        n = len(self.set)
        self.hope, self.mass, self.cost = np.empty(n), np.empty(n), np.empty(n)
        limits = self._ply_limits()
        for at in range(0, n, CHUNK):
            part = slice(at, at + CHUNK)
            counts = self.counts[self.set[part]]
            sets = Sets(counts * self.space.thickness, self.ri[part])
            found = self.hopes.reserves(sets)
            for check, of_ply in limits.items():
                found[check] = np.where(counts > 0, of_ply, np.inf).min(axis=1)
            for check, values in found.items():
                self.most[check] = max(self.most.get(check, 0.0), float(values.max()))
            self.hope[part] = worst(found, len(counts))
            self.mass[part], self.cost[part] = self.hopes.mass(sets), self.hopes.cost(sets)
        self.mass = rounded(self.mass)
        alive = self.hope >= 1.0 - SPARE
        self.tally.by_set = float(self.orders[self.set[~alive]].sum())
        rank = np.lexsort((np.nan_to_num(self.cost), self.mass))
        self.queue = rank[alive[rank]]

    # -- stacks ----------------------------------------------------------------------------
    def _write_out(self, combos: Ints) -> None:
        """Every order of some sets on their sizes: refuted by its bounds, or into the pool."""
        waiting: dict[int, list[tuple[int, Words]]] = {}
        held: dict[int, int] = {}
        for combo in combos.tolist():
            seen = 0
            for words in orders(self.space, self.counts[self.set[combo]], CHUNK):
                plies = words.shape[1]
                waiting.setdefault(plies, []).append((combo, words))
                held[plies] = held.get(plies, 0) + len(words)
                seen += len(words)
                if held[plies] >= CHUNK:
                    self._bound(waiting.pop(plies))
                    held[plies] = 0
                if seen >= MOST_ORDERS or self._halt():
                    self.tally.cut.append(float(self.mass[combo]))
                    break
        for some in waiting.values():
            self._bound(some)

    def _bound(self, some: list[tuple[int, Words]]) -> None:
        words = np.concatenate([w for _, w in some])
        combo = np.repeat([c for c, _ in some], [len(w) for _, w in some])
        at = Stacks(words, self.space.thickness, self.ri[combo])
        hope = worst(self.hopes.reserves(at), len(words))
        hope[self._twins(words, combo)] = -1.0
        left = np.flatnonzero(hope >= 1.0 - SPARE)
        self.tally.by_stack += len(words) - len(left)
        left = left[np.argsort(-hope[left], kind="stable")]
        mass, cost = rounded(self.hopes.mass(at)), self.hopes.cost(at)
        taken: dict[int, int] = {}
        for n in left.tolist():
            c = int(combo[n])
            taken[c] = taken.get(c, 0) + 1
            if taken[c] > MOST_LEFT:
                self.tally.cut.append(float(mass[n]))
                continue
            draft = Draft(float(mass[n]), float(cost[n]), float(hope[n]), c,
                          tuple(words[n].tolist()), float(self.ri[c]))  # fmt: skip
            heapq.heappush(self.pool, draft)

    def _twins(self, words: Words, combo: Ints) -> Bools:
        """Stacks whose mirror image, +a for -a, is of the same set and carries just the same."""
        if self.every_order or self.twisted or not self.skew:
            return np.zeros(len(words), bool)
        counts = self.counts[self.set[combo]]
        same = (counts == counts[:, self.mirror]).all(axis=1)
        turned = self.mirror[words]
        differs = turned != words
        first = differs.argmax(axis=1)[:, None]
        back = np.take_along_axis(turned, first, 1) < np.take_along_axis(words, first, 1)
        return np.asarray(same & differs.any(axis=1) & back[:, 0])

    # -- true checks -----------------------------------------------------------------------
    def _wanted(self, draft: Draft) -> bool:
        """Whether a stack still has to be checked for true."""
        if self.every_order:
            return True
        rows = self.passing.get(draft.combo)
        if not rows:
            return True
        row = min(rows, key=rank_of)
        as_light = (draft.mass, np.nan_to_num(draft.cost)) <= (row.mass, np.nan_to_num(row.cost))
        few = self.orders_tried.get(draft.combo, 0) < TRIED
        return bool(as_light and few and draft.hope > row.reserve)

    def _enough(self, mass: float) -> bool:
        """Whether the rows wanted are found and whatever weighs `mass` comes after them."""
        rows = self.rows()
        return len(rows) >= self.best and rows[self.best - 1].mass < mass * (1 - SAME)

    def _check(self, below: float) -> bool:
        """Check the pool for true up to a mass, lightest first; False to end the search."""
        size = 8
        while self.pool and self.pool[0].mass <= below:
            if self._enough(self.pool[0].mass):
                return False
            some: list[Draft] = []
            of: dict[int, int] = {}
            while self.pool and len(some) < size and self.pool[0].mass <= below:
                draft = heapq.heappop(self.pool)
                busy = of.get(draft.combo, 0) >= TRIED and not self.every_order
                if busy and self.passing.get(draft.combo):
                    continue
                if self._wanted(draft):
                    of[draft.combo] = of.get(draft.combo, 0) + 1
                    some.append(draft)
                else:
                    self.tally.by_stack += 1
            if not some:
                continue
            self._judge(some)
            size = min(2 * size, PORTION[self.skew])
            self._tell()
            checked = self.tally.checked / CHEAP
            if max(self.tally.full, checked) >= self.most_checks:
                self.tally.spent = True
            if self.tally.spent or self._halt():
                self.rest = min([self.rest, *(d.mass for d in self.pool[:1])])
                return False
        return True

    def _judge(self, some: list[Draft]) -> None:
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
    def _halt(self) -> bool:
        if not self.tally.stopped and self.stop is not None and self.stop():
            self.tally.stopped = True
        return self.tally.stopped

    def _tell(self, *, end: bool = False) -> None:
        if self.progress is None:
            return
        done, rows = self.tally.settled, self.rows()
        share = done / self.tally.tubes if self.tally.tubes > 0 else self.place / len(self.set)
        lightest = rows[0].mass if rows else math.nan
        self.progress(Progress(1.0 if end else min(share, 1.0), done, self.tally.checked, lightest))

    def lightest_ply(self) -> float:
        """No ply of a wall weighs less than this per length [kg/m]."""
        wall = float(self.space.thickness.max()) * self.space.most_plies
        ri = max(float(self.space.bore_radius(np.zeros(1, np.intp), np.array([wall]))[0]), 0.0)
        t = self.space.thickness
        return float((2.0 * np.pi * (ri + t / 2) * t * self.hopes.density).min())

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

    def run(self, *, beyond: float = math.inf) -> None:
        """Search until the rows are proven, nothing is left, or it is stopped.

        Parameters
        ----------
        beyond : float
            Least mass of what was left out of the space as too heavy to matter [kg/m].
        """
        self.rest = self.beyond = beyond
        at, group = 0, 4
        self._tell()
        while at < len(self.queue):
            if self._halt() or self._enough(float(self.mass[self.queue[at]])):
                break
            some = self._next(at, group)
            self._write_out(some)
            at += len(some)
            self.place, group = at, min(2 * group, 4_096)
            after = float(self.mass[self.queue[at]]) if at < len(self.queue) else math.inf
            if not self._check(after):
                break
        if at < len(self.queue):
            self.rest = min(self.rest, float(self.mass[self.queue[at]]))
        if self.pool:
            self.rest = min(self.rest, self.pool[0].mass)
        self._tell(end=True)

    def _next(self, at: int, group: int) -> Ints:
        """The next sets: a few, or many where they make few stacks."""
        some = self.queue[at : at + group]
        many = np.cumsum(np.nan_to_num(self.orders[self.set[some]], nan=CHUNK))
        return np.asarray(some[: max(1, int(np.searchsorted(many, 4 * CHUNK)))])

    @property
    def proven(self) -> int:
        """How many of the rows nothing can come before; all of them where nothing is left."""
        if not self.tally.listed:
            return 0
        rest = min([self.rest, *self.tally.cut])
        return sum(row.mass <= rest * (1 + SAME) for row in self.rows())

    @property
    def exhausted(self) -> bool:
        """Whether every stack was decided on."""
        return self.tally.listed and math.isinf(self.rest) and not self.tally.cut
