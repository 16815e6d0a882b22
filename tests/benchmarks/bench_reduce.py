"""Benchmark: a million rows read and reduced, against pandas reading them with known settings.

Run: python tests/benchmarks/bench_reduce.py. Also a folder of 200 tests.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import pandas as pd

import tubecalc as tc
from tubecalc.testing.bench_set import reduce_folder
from tubecalc.testing.curves import read_curves

ROWS = 1_000_000
ALLOWED = 3.0  # times what pandas needs to read the same file


def _file(path: Path, rows: int, seed: int = 0) -> Path:
    rng = np.random.default_rng(seed)
    x = np.linspace(0, 6, rows)
    y = np.where(x < 5.6, 120 * np.maximum(x - 0.4, 0), 20) + rng.normal(0, 0.5, rows)
    table = pd.DataFrame({"time_s": x * 10, "travel_mm": x, "force_N": y})
    table.to_csv(path, index=False, float_format="%.4f")
    return path


def _best(run: object, times: int = 3) -> float:
    spent = []
    for _ in range(times):
        begun = time.perf_counter()
        run()  # type: ignore[operator]
        spent.append(time.perf_counter() - begun)
    return min(spent)


def main() -> int:
    with tempfile.TemporaryDirectory() as name:
        path = _file(Path(name) / "long.csv", ROWS)

        def ours() -> None:
            out = tc.reduce_test(read_curves(path)[0], "three-point", span="600 mm")
            assert abs(float(out.stiffness.to("N/mm").magnitude) - 120) < 0.1

        plain = _best(lambda: pd.read_csv(path))
        both = _best(ours)
        curve = read_curves(path)[0]
        alone = _best(lambda: tc.reduce_test(curve, "three-point", span="600 mm"))
        print(f"{ROWS} rows: pandas reads {plain:.2f} s, read and reduced {both:.2f} s, "
              f"{both / plain:.2f} times; reducing alone {alone:.3f} s")  # fmt: skip
    with tempfile.TemporaryDirectory() as name:
        for n in range(200):
            _file(Path(name) / f"R{n:03}.csv", 500, n)
        begun = time.perf_counter()
        bench = reduce_folder(Path(name), kind="ring")
        spent = time.perf_counter() - begun
        print(f"200 files of 500 rows: {spent:.2f} s, {len(bench.results)} reduced")
    return 0 if both <= ALLOWED * plain and len(bench.results) == 200 else 1


if __name__ == "__main__":
    sys.exit(main())
