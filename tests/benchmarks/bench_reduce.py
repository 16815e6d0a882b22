"""Benchmark: a million rows read and reduced, against pandas reading them with known settings.

Run: python tests/benchmarks/bench_reduce.py. By the clock and by the processor, for several ways
to write a file. pandas is told everything beforehand. Also a folder of 200 tests.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

import tubecalc as tc
from tubecalc.testing.bench_set import reduce_folder
from tubecalc.testing.curves import read_curves

ROWS = 1_000_000
ALLOWED = 3.0  # times what pandas needs to read the same file, by the clock
NAMES = ["time_s", "travel_mm", "force_N"]
FLOATS = dict.fromkeys(NAMES, np.float64)


def _table(rows: int, seed: int = 0) -> pd.DataFrame:
    rng = np.random.default_rng(seed)
    x = np.linspace(0, 6, rows)
    y = np.where(x < 5.6, 120 * np.maximum(x - 0.4, 0), 20) + rng.normal(0, 0.5, rows)
    return pd.DataFrame({"time_s": x * 10, "travel_mm": x, "force_N": y})


def _cases(table: pd.DataFrame) -> list[tuple[str, str, dict[str, Any]]]:
    """Title, text of the file, and what pandas is told."""
    plain = table.to_csv(index=False, float_format="%.4f")
    above = "Specimen,A-1\nOperator,N. N.\nSpan,600,mm\n"
    comma = table.to_csv(index=False, float_format="%.4f", sep=";", decimal=",")
    middle = plain.index("\n", len(plain) // 2)
    torn = plain[:middle] + plain[middle:].replace(",", "", 1)
    return [
        ("headings and numbers", plain, {"dtype": FLOATS}),
        ("lines above, units below", above + plain.replace("\n", "\ns,mm,N\n", 1),
         {"skiprows": 5, "header": None, "names": NAMES, "dtype": FLOATS}),
        ("semicolon, decimal comma", comma, {"sep": ";", "decimal": ",", "dtype": FLOATS}),
        ("one torn line in the middle", torn, {"low_memory": False}),
    ]  # fmt: skip


def best(runs: list[Callable[[], object]], times: int = 9) -> list[tuple[float, float]]:
    """Least time of each by the clock and by the processor [s]; taken in turns."""
    spent: list[list[tuple[float, float]]] = [[] for _ in runs]
    for _ in range(times):
        for run, own in zip(runs, spent, strict=True):
            clock, work = time.perf_counter(), time.process_time()
            run()
            own.append((time.perf_counter() - clock, time.process_time() - work))
    return [(min(s[0] for s in own), min(s[1] for s in own)) for own in spent]


def main() -> int:
    slow = False
    print(f"{ROWS:,} rows of three columns; s by clock / by processor, least of nine in turns")
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "long.csv"
        for title, text, told in _cases(_table(ROWS)):
            path.write_text(text, encoding="utf-8")

            def ours() -> None:
                out = tc.reduce_test(read_curves(path)[0], "three-point", span="600 mm")
                assert abs(float(out.stiffness.to("N/mm").magnitude) - 120) < 0.1

            curve = read_curves(path)[0]
            plain, both, alone = best([
                lambda told=told: pd.read_csv(path, **told), ours,  # type: ignore[misc]
                lambda c=curve: tc.reduce_test(c, "three-point", span="600 mm"),  # type: ignore[misc]
            ])  # fmt: skip
            ratio = [b / p for b, p in zip(both, plain, strict=True)]
            slow |= ratio[0] > ALLOWED
            print(
                f"{title:28s} pandas {plain[0]:.3f} / {plain[1]:.3f}, read and reduced "
                f"{both[0]:.3f} / {both[1]:.3f}: {ratio[0]:.2f} / {ratio[1]:.2f} times; "
                f"reducing alone {alone[0]:.3f}"
            )
    with tempfile.TemporaryDirectory() as name:
        for n in range(200):
            _table(500, n).to_csv(Path(name) / f"R{n:03}.csv", index=False, float_format="%.4f")
        begun = time.perf_counter()
        bench = reduce_folder(Path(name), kind="ring")
        spent = time.perf_counter() - begun
        print(f"200 files of 500 rows: {spent:.2f} s, {len(bench.results)} reduced")
    return 1 if slow or len(bench.results) != 200 else 0


if __name__ == "__main__":
    sys.exit(main())
