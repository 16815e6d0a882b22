"""Speed of a sweep, as ratios in one run.

Run with ``python tests/benchmarks/bench_sweep.py``; nothing here is a timed assert. Three cases,
all checks; states candidates x checks per second, linearity in N, the ratio to looping one tube
at a time, peak memory, and the distance from the memory-bandwidth floor: a numpy stream that reads
two columns and writes one, measured in the same run.
"""

from __future__ import annotations

import argparse
import time
import tracemalloc
from collections.abc import Callable
from typing import Any

import numpy as np

import tubecalc as tc
from tubecalc.laminate.construction import get_construction
from tubecalc.sweep import CHUNK, Grid, grid, reserves

NEED = tc.Need.from_toml("""
format = 1
title = "three cases"
[[case]]
kind = "cantilever"
load = "60 N"
span = "1.2 m"
tip_mass = "0.4 kg"
[[case]]
kind = "strut"
load = "-800 N"
span = "0.9 m"
[[case]]
kind = "three-point"
load = "150 N"
span = "1.6 m"
[limits]
deflection = "25 mm"
od_max = "40 mm"
frequency_min = "5 Hz"
[service]
temperature = "60 degC"
salt = true
""")
KEYS = (
    "pultruded", "roll-wrapped", "roll-wrapped-woven", "roll-wrapped-45", "pull-wound", "moulded",
    "6063-T6", "304-cold-drawn",
)  # fmt: skip


def best(work: Callable[[], Any], times: int = 3) -> float:
    """Shortest of several runs [s]."""
    out = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        out.append(time.perf_counter() - start)
    return min(out)


def candidates(n: int) -> Grid:
    """About n candidates: eight constructions, twenty walls, as many diameters as it takes."""
    wall = np.linspace(0.5e-3, 3e-3, 20)
    constructions = [get_construction(k) for k in KEYS]
    walls = len(grid(constructions, np.array([0.03]), wall))
    return grid(constructions, np.linspace(0.010, 0.040, max(1, round(n / walls))), wall)


def one_by_one(count: int) -> float:
    """Time per tube of the same checks on one tube at a time [s]."""
    rng = np.random.default_rng(1)
    tubes = [
        (str(rng.choice(KEYS)), float(od), float(wall))
        for od, wall in zip(
            rng.uniform(0.012, 0.04, count), rng.uniform(0.0006, 0.003, count), strict=True
        )
    ]

    def loop() -> None:
        for key, od, wall in tubes:
            reserves(grid([get_construction(key)], np.array([od]), np.array([wall])), NEED)

    return best(loop, 2) / count


def stream(n: int, columns: int) -> float:
    """Time to read two columns and write one, `columns` times over, chunk by chunk [s]."""
    a, b, c = np.ones(n), np.ones(n), np.empty(n)

    def work() -> None:
        for start in range(0, n, CHUNK):
            part = slice(start, start + CHUNK)
            for _ in range(columns):
                np.add(a[part], b[part], out=c[part])

    return best(work)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="speed of a sweep")
    parser.add_argument("--candidates", type=int, default=1_000_000)
    args = parser.parse_args()
    per = {}
    print(f"{'candidates':>12} {'s':>8} {'us each':>8} {'checks x cand./s':>17} {'peak MB':>8}")
    for n in (args.candidates // 100, args.candidates // 10, args.candidates):
        tubes = candidates(n)
        seconds = best(lambda tubes=tubes: reserves(tubes, NEED), 2)  # type: ignore[misc]
        tracemalloc.start()
        checks = len(reserves(tubes, NEED).by_check)
        peak = tracemalloc.get_traced_memory()[1] / 1e6
        tracemalloc.stop()
        per[n] = seconds / len(tubes)
        rate = len(tubes) * checks / seconds
        print(f"{len(tubes):12,} {seconds:8.3f} {per[n] * 1e6:8.2f} {rate:17,.0f} {peak:8.1f}")
    least, *_, most = per
    single = one_by_one(100)
    floor = stream(args.candidates, 3 * checks) / args.candidates
    big = per[most]
    print(f"linear: time per candidate at {most:,} over {least:,} is {big / per[least]:.2f}")
    print(
        f"one tube at a time {single * 1e6:,.0f} us; the sweep is {single / big:,.0f} times faster"
    )
    print(f"memory floor, {3 * checks} columns streamed: {floor * 1e6:.3f} us a candidate")
    print(f"the sweep takes {big / floor:.0f} times the floor")


if __name__ == "__main__":
    main()
