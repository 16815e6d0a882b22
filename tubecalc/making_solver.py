"""One-dimensional cutting stock: patterns enumerated or generated, chosen by scipy's HiGHS.

All lengths are whole numbers (nanometres) so that a cut that just fits is seen to fit. A piece
carries its saw cut with it, a bar one saw cut more.
Sources: Gilmore & Gomory, "A linear programming approach to the cutting-stock problem", Operations
Research 9, 1961 (patterns, their generation by a knapsack); Farley, "A note on bounding a class of
linear programming problems", Operations Research 38, 1990 (bound from any dual values), MEMORY.
"""

from __future__ import annotations

import math
import time
from collections import Counter
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Counts = tuple[int, ...]
Column = tuple[int, Counts]  # which stock length, how many of each piece

MOST_PATTERNS = 6000  # maximal patterns up to which all are written down
CELLS = 20_000  # finest grid of the knapsack
EPS = 1e-6


@dataclass(frozen=True)
class Cutting:
    """The question: lengths of pieces and rooms of bars with their saw cut, counts and costs."""

    pieces: tuple[int, ...]
    wanted: tuple[int, ...]
    rooms: tuple[int, ...]
    costs: tuple[float, ...]
    stock: tuple[int | None, ...]


@dataclass
class Found:
    """The answer: how often each pattern is cut, a bound on the cost, whether it is proven."""

    bars: Counter[Column]
    bound: float
    proven: bool
    short: Counts = ()
    patterns: int = 0
    cost: float = field(default=0.0)


def all_patterns(q: Cutting, most: int = MOST_PATTERNS) -> list[Column] | None:
    """Every pattern to which no further wanted piece can be added; None where there are too many.

    Parameters
    ----------
    q : Cutting
        The question; pieces longest first.
    most : int
        Where to give up [-].

    Returns
    -------
    list of (int, tuple of int) or None
        Stock and counts.

    Examples
    --------
    >>> all_patterns(Cutting((4, 3), (9, 9), (10,), (1.0,), (None,)))
    [(0, (2, 0)), (0, (1, 2)), (0, (0, 3))]
    """
    out: list[Column] = []
    steps = 0
    for s, room in enumerate(q.rooms):
        open_ = [((), room)]  # type: list[tuple[Counts, int]]
        while open_:
            steps += 1
            if steps > 40 * most or len(out) > most:
                return None
            counts, left = open_.pop()
            i = len(counts)
            if i == len(q.pieces):
                full = all(
                    c == w or length > left
                    for c, w, length in zip(counts, q.wanted, q.pieces, strict=True)
                )
                if full and any(counts):
                    out.append((s, counts))
                continue
            top = min(q.wanted[i], left // q.pieces[i])
            least = top if i == len(q.pieces) - 1 else 0
            open_ += [((*counts, c), left - c * q.pieces[i]) for c in range(least, top + 1)]
    return out


def first_plan(q: Cutting) -> tuple[list[Column], Counts]:
    """Longest piece first into the bar that costs least for what it holds.

    Parameters
    ----------
    q : Cutting
        The question; pieces longest first.

    Returns
    -------
    tuple
        Patterns used, and the pieces that found no bar.

    Examples
    --------
    >>> first_plan(Cutting((6, 4), (1, 3), (10,), (1.0,), (None,)))
    ([(0, (1, 1)), (0, (0, 2))], (0, 0))
    """
    left, stock = list(q.wanted), list(q.stock)
    out: list[Column] = []
    while any(left):
        best: tuple[float, Column] | None = None
        for s, room in enumerate(q.rooms):
            if stock[s] == 0:
                continue
            counts, rest = [], room
            for length, n in zip(q.pieces, left, strict=True):
                counts.append(min(n, rest // length))
                rest -= counts[-1] * length
            if any(counts) and (best is None or q.costs[s] / (room - rest) < best[0]):
                best = (q.costs[s] / (room - rest), (s, tuple(counts)))
        if best is None:
            break
        s, made = best[1]
        times = min(n // c for n, c in zip(left, made, strict=True) if c)
        have = stock[s]
        if have is not None:
            times = min(times, have)
            stock[s] = have - times
        left = [n - times * c for n, c in zip(left, made, strict=True)]
        out.append(best[1])
    return out, tuple(left)


def _matrix(q: Cutting, columns: list[Column]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Pieces per pattern, and which patterns draw on each stock length that is limited."""
    pieces = np.array([c for _, c in columns], float).T
    limited = [s for s, n in enumerate(q.stock) if n is not None]
    draws = np.array([[float(s == t) for s, _ in columns] for t in limited], float)
    return pieces, draws.reshape(len(limited), len(columns))


def _linear(q: Cutting, columns: list[Column], lack: float) -> tuple[NDArray[np.float64], ...]:
    """Fractions of each pattern; worth of a piece more and of a bar more of a limited stock."""
    from scipy.optimize import linprog

    pieces, draws = _matrix(q, columns)
    m = len(q.pieces)
    matrix = np.block([[-pieces, -np.eye(m)], [draws, np.zeros((len(draws), m))]])
    limits = [float(n) for n in q.stock if n is not None]
    costs = [*(q.costs[s] for s, _ in columns), *([lack] * m)]
    made = linprog(costs, A_ub=matrix, b_ub=[*(-float(w) for w in q.wanted), *limits])
    duals = np.asarray(made.ineqlin.marginals)
    scarce = np.zeros(len(q.rooms))
    scarce[[s for s, n in enumerate(q.stock) if n is not None]] = duals[m:]
    return np.asarray(made.x), -duals[:m], scarce


class _Knapsack:
    """Most worth in a bar: bounded pieces on a grid, all stock lengths at once."""

    def __init__(self, q: Cutting, *, relaxed: bool = False) -> None:
        unit = math.gcd(*q.pieces, *q.rooms)
        self.exact = max(q.rooms) // unit <= CELLS
        cell = unit if self.exact else -(-max(q.rooms) // CELLS)
        self.sizes = [p // cell if self.exact or relaxed else -(-p // cell) for p in q.pieces]
        self.rooms = [r // cell for r in q.rooms]
        self.most = [min(w, max(q.rooms) // p) for w, p in zip(q.wanted, q.pieces, strict=True)]

    def solve(self, worth: NDArray[np.float64]) -> list[tuple[float, Counts]]:
        """Best worth and counts for every stock length."""
        best = np.zeros(max(self.rooms) + 1)
        taken: list[tuple[int, int, NDArray[np.bool_]]] = []
        for i, (size, most) in enumerate(zip(self.sizes, self.most, strict=True)):
            part, left = 1, most if worth[i] > 1e-12 else 0
            while left:
                n = min(part, left)
                left, part = left - n, 2 * part
                shift = n * size
                if shift >= len(best):
                    continue
                with_it = best[: len(best) - shift] + n * worth[i]
                better = np.zeros(len(best), bool)
                better[shift:] = with_it > best[shift:] + 1e-12
                best[shift:] = np.maximum(best[shift:], with_it)
                taken.append((i, n, better))
        return [(float(best[room]), self._back(taken, room)) for room in self.rooms]

    def _back(self, taken: list[tuple[int, int, NDArray[np.bool_]]], room: int) -> Counts:
        counts = [0] * len(self.sizes)
        for i, n, better in reversed(taken):
            if better[room]:
                counts[i] += n
                room -= n * self.sizes[i]
        return tuple(counts)


def _bound(q: Cutting, worth: NDArray[np.float64], scarce: NDArray[np.float64]) -> float:
    """Cost below which no plan can be, from the worth of pieces (Farley 1990)."""
    values = [v for v, _ in _Knapsack(q, relaxed=True).solve(worth)]
    shrink = 1.0
    for value, cost, n in zip(values, q.costs, q.stock, strict=True):
        if n is None and value > cost:
            shrink = min(shrink, cost / value)
    dear = sum(
        n * max(0.0, value * shrink - cost)
        for value, cost, n in zip(values, q.costs, q.stock, strict=True)
        if n is not None
    )
    return float(shrink * np.dot(worth, q.wanted) - dear)


def _generate(
    q: Cutting, columns: list[Column], lack: float, until: float
) -> tuple[NDArray[np.float64], float]:
    """Add patterns while one is worth more than its bar; fractions of each, bound they prove."""
    known = set(columns)
    sack = _Knapsack(q)
    while True:
        times, worth, scarce = _linear(q, columns, lack)
        new = [
            (s, counts)
            for s, (value, counts) in enumerate(sack.solve(worth))
            if value + scarce[s] > q.costs[s] * (1 + EPS) and (s, counts) not in known
        ]
        if not new or time.monotonic() > until:
            return times, _bound(q, worth, scarce)
        columns += new
        known.update(new)


def _dive(
    q: Cutting, columns: list[Column], times: NDArray[np.float64], lack: float, until: float
) -> Counter[Column]:
    """Keep the whole part of the fractions, or round up the largest, and solve for the rest."""
    bars: Counter[Column] = Counter()
    while any(q.wanted):
        count = len(columns)
        take = np.floor(times[:count] + EPS).astype(int)
        if not take.any():
            take[int(np.argmax(times[:count]))] = 1
        if not times[:count].max() > EPS:
            break
        left, stock = list(q.wanted), list(q.stock)
        for column, n in zip(columns, take.tolist(), strict=True):
            have = stock[column[0]]
            n = n if have is None else min(n, have)
            if n:
                bars[column] += n
                left = [max(0, w - n * c) for w, c in zip(left, column[1], strict=True)]
                stock[column[0]] = None if have is None else have - n
        q = Cutting(q.pieces, tuple(left), q.rooms, q.costs, tuple(stock))
        if not any(left):
            break
        if time.monotonic() > until:
            bars.update(_greedy(q))
            break
        columns += [c for c in dict.fromkeys(first_plan(q)[0]) if c not in set(columns)]
        times, _ = _generate(q, columns, lack, until)
    return bars


def _greedy(q: Cutting) -> Counter[Column]:
    """Bars of `first_plan`, counted."""
    bars: Counter[Column] = Counter()
    left = list(q.wanted)
    for column in first_plan(q)[0]:
        n = min(w // c for w, c in zip(left, column[1], strict=True) if c)
        have = q.stock[column[0]]
        n = n if have is None else min(n, have)
        bars[column] += n
        left = [w - n * c for w, c in zip(left, column[1], strict=True)]
    return bars


def _whole(
    q: Cutting, columns: list[Column], lack: float, seconds: float
) -> tuple[Counter[Column], float, bool] | None:
    """Whole numbers of each pattern, where pieces may lack: bars, bound, whether proven."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array, eye_array, hstack

    pieces, draws = _matrix(q, columns)
    m, n = pieces.shape
    most = [max(-(-w // c) for w, c in zip(q.wanted, counts, strict=True) if c)
            for _, counts in columns]  # fmt: skip
    rows = [LinearConstraint(hstack([csr_array(pieces), eye_array(m)]), lb=q.wanted)]
    if len(draws):
        limits = [float(k) for k in q.stock if k is not None]
        rows.append(LinearConstraint(hstack([csr_array(draws), csr_array((len(draws), m))]),
                                     ub=limits))  # fmt: skip
    made = milp(
        [*(q.costs[s] for s, _ in columns), *([lack] * m)],
        integrality=np.ones(n + m), bounds=Bounds(0, [*most, *q.wanted]), constraints=rows,
        options={"time_limit": seconds, "mip_rel_gap": 0.0},
    )  # fmt: skip
    if made.x is None:
        return None
    times = np.round(made.x[:n]).astype(int).tolist()
    bars = Counter({column: k for column, k in zip(columns, times, strict=True) if k})
    return bars, float(made.mip_dual_bound), made.status == 0


def _no_more(q: Cutting, bars: Counter[Column]) -> Counter[Column]:
    """Take out what was cut beyond the wish, and bars that hold nothing then."""
    over = [
        sum(n * counts[i] for (_, counts), n in bars.items()) - w for i, w in enumerate(q.wanted)
    ]
    for column in sorted(
        bars, key=lambda c: sum(a * b for a, b in zip(c[1], q.pieces, strict=True))
    ):
        while bars[column] and any(o > 0 and c for o, c in zip(over, column[1], strict=True)):
            less = [min(max(o, 0), c) for o, c in zip(over, column[1], strict=True)]
            n = min([bars[column], *(o // d for o, d in zip(over, less, strict=True) if d)])
            over = [o - n * d for o, d in zip(over, less, strict=True)]
            bars[column] -= n
            kept = tuple(c - d for c, d in zip(column[1], less, strict=True))
            if any(kept):
                bars[(column[0], kept)] += n
    return Counter({k: v for k, v in bars.items() if v})


def _round_up(q: Cutting, bound: float) -> float:
    """Costs that are whole multiples of a step lift the bound to the next one."""
    if all(float(c).is_integer() for c in q.costs):
        step = math.gcd(*(int(c) for c in q.costs))
        return step * math.ceil(bound / step - EPS)
    return bound


def solve(q: Cutting, seconds: float = 10.0) -> Found:
    """Cheapest bars for the wanted pieces.

    Parameters
    ----------
    q : Cutting
        The question; pieces longest first.
    seconds : float
        Time for all; a step that has begun is ended, so large questions take a little more [s].

    Returns
    -------
    Found
        With `short`, the pieces for which the stock does not suffice.

    Examples
    --------
    >>> found = solve(Cutting((6, 4), (2, 2), (10,), (1.0,), (None,)))
    >>> found.bars, found.proven
    (Counter({(0, (1, 1)): 2}), True)
    """
    lack = 10.0 * max(q.costs) * (1 + len(q.rooms))
    columns = all_patterns(q)
    if columns is not None:
        made = _whole(q, columns, lack, seconds)
        if made is not None:
            bars, dual, done = made
            return _answer(q, bars, dual, done=done, patterns=len(columns))
    start = time.monotonic()
    columns = list(dict.fromkeys(first_plan(q)[0]))
    times, bound = _generate(q, columns, lack, start + 0.5 * seconds)
    cheapest = min(c / room for c, room in zip(q.costs, q.rooms, strict=True))
    material = cheapest * sum(p * w for p, w in zip(q.pieces, q.wanted, strict=True))
    bound = max(bound, material)
    plans = [_greedy(q), _dive(q, list(columns), times, lack, start + 0.75 * seconds)]
    best = min((_answer(q, b, bound, patterns=len(columns)) for b in plans), key=_rank)
    if not best.proven and (left := start + seconds - time.monotonic()) > 0.1:
        made = _whole(q, columns, lack, left)
        if made is not None:
            best = min(best, _answer(q, made[0], bound, patterns=len(columns)), key=_rank)
    return best


def _rank(found: Found) -> tuple[int, float]:
    return sum(found.short), found.cost


def _answer(
    q: Cutting, bars: Counter[Column], bound: float, *, done: bool = False, patterns: int
) -> Found:
    bars = _no_more(q, Counter(bars))
    cost = math.fsum(n * q.costs[s] for (s, _), n in bars.items())
    made = [sum(n * counts[i] for (_, counts), n in bars.items()) for i in range(len(q.pieces))]
    short = tuple(w - m for w, m in zip(q.wanted, made, strict=True))
    bound = _round_up(q, bound) if not any(short) else bound
    proven = done or (not any(short) and cost <= bound * (1 + 1e-9))
    return Found(bars, cost if proven else min(bound, cost), proven, short, patterns, cost)


__all__ = ["Cutting", "Found", "all_patterns", "first_plan", "solve"]
