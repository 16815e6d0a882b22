"""Cost of reading a long test file, as a ratio in one run.

Run with ``python tests/benchmarks/bench_curves.py``; nothing here is a timed assert. Writes files
of 1,000,000 rows in several dialects and states what `read_curves` costs against pandas told all
settings beforehand.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from tubecalc.testing.curves import read_curves

ROWS = 1_000_000


def seconds(work: Callable[[], Any]) -> float:
    """Least processor time of three runs [s]."""
    times = []
    for _ in range(3):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def rows(point: str = ".", mark: str = ",") -> str:
    """Text of a long pull: time, travel and force with some noise."""
    t = np.arange(ROWS) * 1e-3
    noise = np.random.default_rng(1).normal(0.0, 2.0, ROWS)
    lines = (
        f"{a:.3f}{mark}{b:.5f}{mark}{c:.2f}"
        for a, b, c in zip(t, t / 60, t * 8.5 + noise, strict=True)
    )
    return "\n".join(lines).replace(".", point) + "\n"


def main() -> None:
    """Print the table."""
    plain = rows()
    head = "Specimen,A-1\nSpan,400,mm\n\nTime,Travel,Force\n(s),(mm),(N)\n"
    torn = plain.replace("\n500.000,", "\n500.0", 1)
    comma = "Zeit;Weg;Kraft\ns;mm;N\n" + rows(",", ";")
    known: dict[str, Any] = {"header": None, "names": ["time_s", "travel_mm", "force_N"]}
    cases: list[tuple[str, str, dict[str, Any]]] = [
        ("comma, preamble, units row", head + plain, {**known, "skiprows": 5}),
        ("semicolon, decimal comma", comma, {**known, "skiprows": 2, "sep": ";", "decimal": ","}),
        ("one torn line in the middle", head + torn, {**known, "skiprows": 5}),
    ]
    print(f"{ROWS:,} rows of three columns; processor time, least of three")
    with tempfile.TemporaryDirectory() as folder:
        for title, text, told in cases:
            path = Path(folder) / "pull.csv"
            path.write_text(text, encoding="utf-8")
            base = seconds(lambda path=path, told=told: pd.read_csv(path, **told))  # type: ignore[misc]
            ours = seconds(lambda path=path: read_curves(path))  # type: ignore[misc]
            print(
                f"{title:30s} pandas {base:6.3f} s, read_curves {ours:6.3f} s, {ours / base:5.2f}"
            )


if __name__ == "__main__":
    main()
