"""Speed of the search for the lightest stack, as ratios in one run.

Run with ``python tests/benchmarks/bench_search.py``; nothing here is a timed assert. A need of two
cases on one core: stacks written out and screened per second, one by one by their own bounds; the
same for whole searches, where sets of plies are refuted together; against a true check of one
stack at a time, and how the rate holds from small to large portions.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from typing import Any

import numpy as np

import tubecalc as tc
from tubecalc.laminate.layup import Layup
from tubecalc.layup_search_bound import Hopes, Stacks, worst
from tubecalc.layup_search_orders import orders
from tubecalc.layup_search_space import Space, make_space

NEED = tc.Need.from_toml("""
format = 1
title = "two cases"
[[case]]
kind = "strut"
load = "-3 kN"
span = "1 m"
[[case]]
kind = "cantilever"
load = "60 N"
span = "0.8 m"
[limits]
deflection = "6 mm"
od_max = "40 mm"
frequency_min = "5 Hz"
""")
BORE = 0.03


def best(work: Callable[[], Any], times: int = 3) -> float:
    """Shortest of several runs [s]."""
    out = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        out.append(time.perf_counter() - start)
    return min(out)


def space_of(most_plies: int, *, mixed: bool) -> Space:
    """0, +/-45 and 90 of carbon; cloth of another thickness too when mixed."""
    plies: list[Any] = ["carbon-sm-ud", ("carbon-woven", [0, 45])] if mixed else ["carbon-sm-ud"]
    sizes = np.array([BORE])
    return make_space(plies, [0, 45, 90], most_plies, None, None, sizes, bores=True)


def screened(space: Space, hopes: Hopes, portion: int) -> int:
    """Write out the orders of one set of plies and bound each by itself; how many there were."""
    counts = np.zeros(len(space.letters), np.int16)
    counts[:4] = (4, 1, 1, 2) if len(counts) > 4 else (5, 2, 2, 1)
    counts[4:] = 1
    seen = 0
    for words in orders(space, counts, portion):
        at = Stacks(words, space.thickness, np.full(len(words), BORE / 2))
        seen += len(words)
        _ = worst(hopes.reserves(at), len(words)) >= 1.0
    return seen


def checked(count: int) -> float:
    """Time of `tc.check` for one stack at a time [s]."""
    rng = np.random.default_rng(1)
    tubes = []
    for _ in range(count):
        layup = Layup.of([("carbon-sm-ud", float(a), None) for a in rng.choice([0, 90], 8)])
        tubes.append(tc.Tube(layup, id="30 mm", wall=f"{layup.t * 1e3!r} mm"))
    start = time.perf_counter()
    for tube in tubes:
        tc.check(tube, NEED)
    return (time.perf_counter() - start) / count


def searches() -> None:
    """Whole searches: tubes settled per second."""
    mandrels = ["20 mm", "26 mm", "30 mm", "35 mm"]
    asked: list[tuple[str, dict[str, Any]]] = [
        ("0/90, 16 plies", {"plies": ["carbon-sm-ud"], "angles": [0, 90], "most_plies": 16}),
        ("0/45/90, 8 plies", {"plies": ["carbon-sm-ud"], "angles": [0, 45, 90], "most_plies": 8}),
        ("carbon and glass, 10 plies", {"plies": ["carbon-sm-ud", "glass-ud"], "angles": [0, 90],
                                        "most_plies": 10}),
    ]  # fmt: skip
    print(f"{'search':>28} {'tubes':>14} {'s':>7} {'settled/s':>14} {'in full':>8} {'proven':>7}")
    for name, words in asked:
        start = time.perf_counter()
        table = tc.search_layup(NEED, mandrels=mandrels, best=5, **words)
        seconds, a = time.perf_counter() - start, table.attrs
        print(f"{name:>28} {a['tubes']:14,} {seconds:7.2f} {a['screened'] / seconds:14,.0f} "
              f"{a['checked']:8} {a['proven']!s:>7}")  # fmt: skip


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="speed of the search for the lightest stack")
    parser.add_argument("--checks", type=int, default=30)
    args = parser.parse_args()
    one = checked(args.checks)
    print(f"one stack at a time, all checks: {1 / one:,.0f} a second")
    print(f"{'portion':>8} {'stacks':>8} {'us each':>8} {'stacks/s':>12} {'to a full check':>16}")
    for mixed in (False, True):
        space = space_of(10, mixed=mixed)
        hopes = Hopes(space, NEED)
        for portion in (1_000, 20_000):
            number = screened(space, hopes, portion)
            each = best(lambda s=space, h=hopes, p=portion: screened(s, h, p)) / number  # type: ignore[misc]
            kind = "two thicknesses" if mixed else "one thickness"
            print(f"{portion:8,} {number:8,} {each * 1e6:8.2f} {1 / each:12,.0f} "
                  f"{one / each:15,.0f}x  {kind}")  # fmt: skip
    searches()


if __name__ == "__main__":
    main()
