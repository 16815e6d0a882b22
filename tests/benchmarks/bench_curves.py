"""Cost of reading a long test file, as a ratio in one run.

Run with ``python tests/benchmarks/bench_curves.py``; nothing here is a timed assert. Writes files
of 1,000,000 rows in several dialects and states what `read_curves` costs against pandas told all
settings beforehand, by the clock and by the processor. What pandas gives of a column of words,
stamps or marks is text, not yet time or marks.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from tubecalc.testing.curves import read_curves

ROWS = 1_000_000
NAMES = ["time_s", "travel_mm", "force_N"]


def least(works: list[Callable[[], Any]], times: int = 4) -> list[tuple[float, float]]:
    """Least time of each by the clock and by the processor [s]; taken in turns."""
    spent: list[list[tuple[float, float]]] = [[] for _ in works]
    for _ in range(times):
        for work, own in zip(works, spent, strict=True):
            clock, processor = time.perf_counter(), time.process_time()
            work()
            own.append((time.perf_counter() - clock, time.process_time() - processor))
    return [(min(s[0] for s in own), min(s[1] for s in own)) for own in spent]


def text(head: str, columns: list[Iterable[str]], mark: str = ",") -> str:
    """Headings and rows."""
    return head + "\n".join(map(mark.join, zip(*columns, strict=True))) + "\n"


def cases() -> list[tuple[str, str, dict[str, Any]]]:
    """Title, text of the file, and what pandas is told."""
    t = np.arange(ROWS) * 1e-2
    load = t * 8.5 + np.random.default_rng(1).normal(0.0, 2.0, ROWS)
    seconds, way = [f"{v:.2f}" for v in t], [f"{v / 60:.5f}" for v in t]
    force, parted = [f"{v:.2f}" for v in load], [f'"{v:,.2f}"' for v in load]
    stamps = pd.date_range("2026-11-05 12:03:04.25", periods=ROWS, freq="10ms")
    iso = [s[:22] for s in stamps.astype(str)]
    clock = [s[11:] for s in iso]
    words = ["load" if v < 60 else "hold" for v in t]
    over = [*force[: ROWS - 100_000], *["OVER"] * 100_000]
    head = "Time (s),Travel (mm),Force (N)\n"
    above = "Specimen,A-1\nSpan,400,mm\n\nTime,Travel,Force\n(s),(mm),(N)\n"
    plain = text("", [seconds, way, force])
    comma = text("", [seconds, way, force], ";").replace(".", ",")
    torn = plain.replace("\n5000.00,", "\n5000.0", 1)
    floats = {"dtype": np.float64, "header": None, "names": NAMES}
    known = {"header": None, "names": NAMES, "low_memory": False}
    return [
        ("numbers, lines above, units", above + plain, {**floats, "skiprows": 5}),
        ("semicolon, decimal comma", "Zeit;Weg;Kraft\ns;mm;N\n" + comma,
         {**floats, "skiprows": 2, "sep": ";", "decimal": ","}),
        ("one torn line in the middle", above + torn, {**known, "skiprows": 5}),
        ("a column of words", text("Time (s),Phase,Travel (mm),Force (N)\n",
                                   [seconds, words, way, force]), {}),
        ("time of day", text(head, [clock, way, force]), {}),
        ("date and time", text(head, [iso, way, force]), {}),
        ("thousands in quotes", text(head, [seconds, way, parted]), {"thousands": ","}),
        ("100,000 marks", text(head, [seconds, way, over]), {"low_memory": False}),
        ("columns parted by blanks",
         text("time_s travel_mm force_N\n", [seconds, way, force], "  "), {"sep": r"\s+"}),
    ]  # fmt: skip


def main() -> None:
    """Print the table."""
    print(f"{ROWS:,} rows of three columns; s by clock / by processor, least of four in turns")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "pull.csv"
        for title, content, told in cases():
            path.write_text(content, encoding="utf-8")
            assert len(read_curves(path)[0].data) >= ROWS - 1
            base, ours = least([lambda told=told: pd.read_csv(path, **told),  # type: ignore[misc]
                                lambda: read_curves(path)])  # fmt: skip
            print(
                f"{title:28s} pandas {base[0]:6.3f} / {base[1]:6.3f}, read_curves {ours[0]:6.3f} / "
                f"{ours[1]:6.3f}: {ours[0] / base[0]:5.2f} / {ours[1] / base[1]:5.2f} times"
            )


if __name__ == "__main__":
    main()
