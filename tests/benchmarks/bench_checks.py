"""Cost of all checks over the plain three, as a ratio in one run.

Run with ``python tests/benchmarks/bench_checks.py``; nothing here is a timed assert. The plain
three are strength, column and deflection; "all" is every room of `tubecalc.checks`, the wave-number
minimum of the wall's buckling included. Asked for: at most 4 times the plain three.
"""

from __future__ import annotations

import argparse
import cProfile
import pstats
import time

import bench_sweep

from tubecalc import checks
from tubecalc.checks import column, stiffness, strength
from tubecalc.sweep import Grid, reserves

PLAIN = (strength.outcomes, column.outcomes, stiffness.outcomes)


def timed(tubes: Grid, rooms: tuple[object, ...], times: int = 2) -> tuple[float, float]:
    """First and shortest time of a sweep through some rooms [s]."""
    kept, took = checks.ROOMS, []
    checks.ROOMS = rooms  # type: ignore[assignment]
    try:
        for _ in range(times):
            start = time.perf_counter()
            reserves(tubes, bench_sweep.NEED)
            took.append(time.perf_counter() - start)
    finally:
        checks.ROOMS = kept
    return took[0], min(took)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="cost of all checks")
    parser.add_argument("--candidates", type=int, default=1_000_000)
    parser.add_argument("--profile", action="store_true", help="where the time goes")
    args = parser.parse_args()
    tubes = bench_sweep.candidates(args.candidates)
    if args.profile:
        with cProfile.Profile() as profile:
            reserves(tubes, bench_sweep.NEED)
        pstats.Stats(profile).sort_stats("tottime").print_stats(25)
        return
    rooms = checks.ROOMS
    first, full = timed(tubes, rooms)
    _, plain = timed(tubes, PLAIN)
    print(f"{len(tubes):,} candidates, {len(tubes.walls.t)} distinct walls, three cases")
    print(f"strength, column, deflection  {plain:7.2f} s")
    print(f"all checks                    {full:7.2f} s  {full / plain:5.2f} times (asked: 4)")
    print(f"all checks, tables to be made {first:7.2f} s  {first / plain:5.2f} times")
    for room in rooms:
        if room not in PLAIN:
            _, more = timed(tubes, (*PLAIN, room))
            name = room.__module__.rsplit(".", 1)[1]
            print(f"  {name:<12} adds {(more - plain) / plain:5.2f} times")


if __name__ == "__main__":
    main()
