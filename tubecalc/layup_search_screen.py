"""Sets of plies and their stacks before the true checks: sizes that fit, bounds, what is left.

Sets of plies (how many of each) that cannot do it in any order are refuted together; of the
others every order is written out and refuted by its own bounds, or goes into the pool.
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
from tubecalc.layup_search_check import Draft
from tubecalc.layup_search_orders import number_of_orders, obeys, orders
from tubecalc.layup_search_space import (
    MOST_SETS,
    Counts,
    Space,
    Words,
    all_sets,
    grown_sets,
    number_of_sets,
)
from tubecalc.layup_search_tally import Tally, rounded
from tubecalc.layup_search_wall import wall_of
from tubecalc.need import Need
from tubecalc.unit_display import show

BEAM = 1_000  # sets of plies kept at each step where there are too many to list
CHUNK = 20_000  # stacks screened at a time
MOST_LEFT = 4_096  # of them kept for the true checks, the most hopeful


class Screen:
    """Sets of plies of a space on its sizes, with their least mass and their hope.

    Parameters
    ----------
    space : Space
        Plies, rules and sizes.
    need : Need
        The need.
    stop : callable or None
        As of `tubecalc.layup_search.search_layup`.
    every_order : bool
        Mirror images, +a for -a, count apart.
    system : str
        Display system of the sentences.
    """

    def __init__(
        self, space: Space, need: Need, *, stop: Callable[[], bool] | None,
        every_order: bool, system: str,
    ) -> None:  # fmt: skip
        self.space, self.need, self.stop = space, need, stop
        self.every_order, self.system = every_order, system
        self.mirror, self.skew = space.mirror, bool((space.mirror != np.arange(space.K)).any())
        self.twisted = any(c.torque and not math.isnan(c.torque) for c in need.cases)
        self.hopes, self.tally = Hopes(space, need), Tally()
        self.pool: list[Draft] = []
        self.partly: list[int] = []  # sets and sizes of which not every order was looked at
        self.screened = 0  # stacks bounded one by one
        self.most: dict[str, float] = {}  # check -> most that any set can hope for
        self._sets()
        self._sizes()
        self._screen()

    def halt(self) -> bool:
        """Whether the search was told to stop."""
        if not self.tally.stopped and self.stop is not None and self.stop():
            self.tally.stopped = True
        return self.tally.stopped

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
            parts = []
            for some in grown_sets(self.space, self._worth, max(2, BEAM // sizes)):
                parts.append(some)
                if sum(len(p) for p in parts) and self.halt():
                    break
            self.counts = np.unique(np.concatenate(parts), axis=0)
        if not len(self.counts):
            raise InputError(
                "no stack obeys all the rules", where="rules",
                expected="fewer rules, more plies or more angles",
            )  # fmt: skip
        self.orders = np.full(len(self.counts), np.nan) if found is None else found
        logs = np.concatenate([[0.0], np.cumsum(np.log(np.arange(1, 2 + self.space.most_plies)))])
        every = logs[self.counts.sum(axis=1)] - logs[self.counts].sum(axis=1)
        self.size = np.exp(every) * (1 - 1e-9) if found is None else found  # at most so many orders
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
        self.hope, self.mass, self.cost = np.full(n, -np.inf), np.full(n, np.inf), np.zeros(n)
        limits, seen = self._ply_limits(), 0
        for at in range(0, n, CHUNK):
            if at and self.halt():
                break
            seen = min(at + CHUNK, n)
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
        self.tally.by_set = float(self.orders[self.set[:seen][~alive[:seen]]].sum())
        rank = np.lexsort((np.nan_to_num(self.cost), self.mass))
        self.queue = rank[alive[rank]]

    # -- stacks ----------------------------------------------------------------------------
    def write_out(self, combos: Ints, most: int) -> None:
        """Orders of some sets on their sizes: refuted by their bounds, or into the pool.

        Parameters
        ----------
        combos : numpy.ndarray
            Which sets and sizes.
        most : int
            Orders of one set that are looked at; sets that have more come into `partly`.
        """
        waiting: dict[int, list[tuple[int, Words]]] = {}
        held: dict[int, int] = {}
        for combo in combos.tolist():
            if self.size[self.set[combo]] > most:
                self.partly.append(combo)
            seen = 0
            for words in orders(self.space, self.counts[self.set[combo]], CHUNK):
                plies = words.shape[1]
                waiting.setdefault(plies, []).append((combo, words))
                held[plies] = held.get(plies, 0) + len(words)
                seen += len(words)
                if held[plies] >= CHUNK:
                    self._bound(waiting.pop(plies))
                    held[plies] = 0
                if seen >= most or self.halt():
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
        self.screened += len(words)
        whole = ~np.isin(combo, self.partly)
        self.tally.by_stack += int(whole.sum() - whole[left].sum())
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

    def promising(self, combo: int) -> Draft | None:
        """A hopeful order of a set, the stiffest plies outside; None where none obeys the rules."""
        counts = self.counts[self.set[combo]]
        plies = np.repeat(np.arange(len(counts)), counts)
        some = [plies[np.argsort(sign * self.hopes.q[plies, n], kind="stable")]
                for n in (0, 3, 5) for sign in (1.0, -1.0)]  # fmt: skip
        some = [w for w in some if obeys(self.space, tuple(w.tolist()))]
        words = np.array(some, np.uint8).reshape(len(some), len(plies))
        first = next(orders(self.space, counts, CHUNK // 10), words[:0])
        words = np.concatenate([words, first])
        if not len(words):
            return None
        at = Stacks(words, self.space.thickness, np.full(len(words), self.ri[combo]))
        hope = worst(self.hopes.reserves(at), len(words))
        best = int(np.argmax(hope))
        mass, cost = rounded(self.hopes.mass(at))[best], self.hopes.cost(at)[best]
        return Draft(float(mass), float(cost), float(hope[best]), combo,
                     tuple(words[best].tolist()), float(self.ri[combo]))  # fmt: skip

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

    def lightest_ply(self) -> float:
        """No ply of a wall weighs less than this per length [kg/m]."""
        wall = float(self.space.thickness.max()) * self.space.most_plies
        ri = max(float(self.space.bore_radius(np.zeros(1, np.intp), np.array([wall]))[0]), 0.0)
        t = self.space.thickness
        return float((2.0 * np.pi * (ri + t / 2) * t * self.hopes.density).min())
