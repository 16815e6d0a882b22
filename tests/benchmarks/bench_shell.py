"""Cost of shell buckling, as ratios in one run.

Run with ``python tests/benchmarks/bench_shell.py``; nothing here is a timed assert. States what the
tables of the sweep benchmark cost to build and to read against the checks of strength, column and
deflection on the same candidates, and one tube's direct minimum against the full Ritz routine.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

import numpy as np
from bench_sweep import NEED, candidates

from tubecalc.checks import column, shell, stiffness, strength
from tubecalc.shell import critical_axial, critical_bending, perfect, ritz
from tubecalc.shell.ritz import Acting
from tubecalc.shell.walls import shell_walls
from tubecalc.sweep import CHUNK, Grid, reserves
from tubecalc.tube import Tube


def seconds(work: Callable[[], Any]) -> float:
    """Processor time of one run [s]."""
    start = time.process_time()
    work()
    return time.process_time() - start


def run(grid: Grid, rooms: list[Callable[..., Any]]) -> None:
    """Some checks on every portion."""
    for _, tubes in grid.portions(CHUNK):
        for room in rooms:
            room(tubes, NEED)


def main() -> None:
    """Print the table."""
    grid = candidates(1_000_000)
    print(f"{len(grid):,} candidates, {len(grid.walls.t)} walls, three cases")
    few = [strength.outcomes, column.outcomes, stiffness.outcomes]
    run(grid, few)  # tables of others
    base = seconds(lambda: run(grid, few))
    first = seconds(lambda: run(grid, [shell.outcomes]))
    again = seconds(lambda: run(grid, [shell.outcomes]))
    whole = seconds(lambda: reserves(grid, NEED))
    print(f"strength, column and deflection  {base:7.2f} s    1.00")
    print(f"shell buckling, tables built     {first:7.2f} s {first / base:7.2f}")
    print(f"shell buckling, tables kept      {again:7.2f} s {again / base:7.2f}")
    print(f"all checks, tables kept          {whole:7.2f} s {whole / base:7.2f}")
    tube = Tube("roll-wrapped-45", od="60 mm", wall="1.5 mm")
    s = tube.sections
    wall, radius = shell_walls(s.walls), float(s.R[0])
    full = seconds(
        lambda: [ritz(wall, radius, 0.3, Acting(axial=1), [n], range(1, 25)) for n in range(2, 10)]
    )
    direct = seconds(lambda: perfect(s, "axial", 0.3))
    print(f"one tube, axial: direct minimum {1e3 * direct:.1f} ms, Ritz over n {1e3 * full:.0f} ms")
    some = grid.part(np.arange(0, len(grid), len(grid) // 1300))
    critical_axial(some.sections, 0.9)
    kept = seconds(lambda: critical_axial(some.sections, 0.9))
    bend = seconds(lambda: critical_bending(some.sections, 1.2))
    print(
        f"1300 tubes of a slider, tables kept: axial {1e3 * kept:.2f} ms, bending {1e3 * bend:.2f}"
    )


if __name__ == "__main__":
    main()
