"""Speed of the exact layered wall, one core.

Run with ``OMP_NUM_THREADS=1 python tests/benchmarks/bench_thick.py``; nothing here is a timed
assert. Tubes solved per second (four loads each) for walls of 4 to 10 blocks, the ratio to a numpy
stream of the same numbers, and how much of a sweep's strength the exact wall takes.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

import numpy as np

import tubecalc as tc
from tubecalc.section import Loads, Sections
from tubecalc.thickwall import constants, solve
from tubecalc.thickwall_table import ExactTable, exact_table
from tubecalc.wall import WallTable

TUBES = 50_000
CARBON, GLASS = "carbon-sm-ud", "glass-ud"


def best(work: Callable[[], Any], times: int = 3) -> float:
    """Shortest of several runs [s]."""
    out = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        out.append(time.perf_counter() - start)
    return min(out)


def wall(blocks: int) -> tc.Layup:
    """A wall of so many blocks, no two neighbours alike."""
    angles = [90, 0, 45, -45, 30, -30, 60, -60]
    return tc.Layup.of(
        [((CARBON, GLASS)[n % 2], angles[n % len(angles)], "0.15 mm") for n in range(blocks)]
    )


def solved(blocks: int) -> float:
    """Time to solve all tubes of one wall [s]."""
    layup = wall(blocks)
    plies = constants([(x.values, x.angle) for x in layup.plies])
    ro = np.linspace(2.5, 50.0, TUBES) * layup.t
    radii = (ro - layup.t / 2 + layup.faces[:, None]) / ro
    sheet = np.tile(np.arange(blocks)[:, None], (1, TUBES))
    return best(lambda: solve(plies, sheet, radii))


def stream(columns: int) -> float:
    """Time to read two columns and write one, so many times over [s]."""
    a, b, c = np.ones(TUBES), np.ones(TUBES), np.empty(TUBES)

    def work() -> None:
        for _ in range(columns):
            np.add(a, b, out=c)

    return best(work)


def tabulated() -> tuple[float, float, float]:
    """Time of one table, of exact unit stresses and of all unit capacities of many tubes [s]."""
    walls = WallTable([wall(6)])
    od = np.linspace(5.0, 100.0, TUBES) * float(walls.t[0])
    index = np.zeros(1, np.intp)
    made = best(lambda: ExactTable(walls).loads)
    exact_table(walls)

    def stresses() -> None:
        s = Sections(walls, index, od)
        s.stress(Loads(axial=1.0))
        s.stress(Loads(torque=1.0))

    return made, best(stresses), best(lambda: Sections(walls, index, od).unit)


def main() -> None:
    """Print the table."""
    print(f"{'blocks':>7} {'us a tube':>10} {'tubes a second':>15} {'of a stream':>12}")
    for blocks in (1, 4, 6, 8, 10):
        seconds = solved(blocks)
        floor = stream(8 * (blocks + 1))  # u and radial stress of four loads at every interface
        print(
            f"{blocks:7d} {seconds / TUBES * 1e6:10.2f} {TUBES / seconds:15,.0f} "
            f"{seconds / floor:11.0f}x"
        )
    made, stress, unit = tabulated()
    print(f"table of one wall of six blocks, eleven nodes: {made * 1e3:.1f} ms")
    print(
        f"exact stress of two loads from the table: {stress / TUBES * 1e6:.2f} us a tube, "
        f"{stress / unit:.0%} of all unit capacities ({unit / TUBES * 1e6:.2f} us)"
    )


if __name__ == "__main__":
    main()
