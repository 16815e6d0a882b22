"""Cost of the beam checks in a sweep, as ratios in one run.

Run with ``python tests/benchmarks/bench_beam.py``; nothing here is a timed assert. States the time
of each check per million candidates over that of the closed pinned column in the same run, and the
table of first roots over the exact root.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from typing import Any

import numpy as np

from tubecalc.beam import Span, exact_root
from tubecalc.beam_table import first_root
from tubecalc.checks.column import critical_load, helix_load
from tubecalc.checks.vibration import critical_speed, frequency, oval_frequency
from tubecalc.laminate.construction import get_construction
from tubecalc.section import Sections
from tubecalc.sweep import CHUNK, grid

KEYS = ("pultruded", "roll-wrapped", "pull-wound", "6063-T6", "304-cold-drawn")
CHECKS: dict[str, Callable[[Sections], Any]] = {
    "column, pinned": lambda s: critical_load(s, 0.8),
    "column, propped": lambda s: critical_load(s, 0.8, "fixed-pinned"),
    "column, fixed with 2 guides": lambda s: critical_load(s, 0.8, "fixed-fixed", 2),
    "torque into a helix": lambda s: helix_load(s, 0.8, "pinned-pinned", 1.0, 1.0),
    "frequency, pinned": lambda s: frequency(s, 0.8),
    "frequency, fixed": lambda s: frequency(s, 0.8, "fixed-fixed"),
    "frequency, cantilever and tip mass": lambda s: frequency(s, 0.8, "fixed-free", 0.1),
    "ovalling": oval_frequency,
    "whirl, pinned": lambda s: critical_speed(s, 0.8),
    "whirl, overhang and coupling": lambda s: critical_speed(s, 0.8, "pinned-pinned", 0.2, 0.3),
}


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("-n", type=int, default=200_000)
    count = parser.parse_args().n
    walls = np.linspace(0.5e-3, 3e-3, 20)
    made = [get_construction(k) for k in KEYS]
    each = len(grid(made, np.array([0.03]), walls))
    every = grid(made, np.linspace(0.01, 0.04, count // each), walls)
    parts = [c.sections for _, c in every.portions(CHUNK)]
    for s in parts:  # what all checks share
        _ = s.EI, s.kGA, s.I, s.area, s.mass_per_length, s.walls.d_reduced
    cost = {}
    for name, check in CHECKS.items():
        check(parts[0])  # builds the table
        start = time.perf_counter()
        for s in parts:
            check(s)
        cost[name] = (time.perf_counter() - start) * 1e6 / len(every)
    for name, seconds in cost.items():
        ratio = seconds / cost["column, pinned"]
        print(f"{name:36s} {seconds:6.3f} s per million, {ratio:5.1f} x the pinned column")
    rng = np.random.default_rng(1)
    n = 20_000
    data = rng.uniform(0, 0.1, n), rng.uniform(0, 0.005, n), rng.uniform(0, 5, n)
    start = time.perf_counter()
    first_root(Span("fixed-free"), *data)
    middle = time.perf_counter()
    exact_root(Span("fixed-free"), 1, *data)
    print(f"exact root over table: {(time.perf_counter() - middle) / (middle - start):.0f} x")


if __name__ == "__main__":
    main()
