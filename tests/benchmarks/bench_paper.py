"""Time and size of quote chart and data sheet, as a ratio to one bare rendering of matplotlib.

Run with ``python tests/benchmarks/bench_paper.py [TIMES]``; nothing here is a timed assert. The
bare rendering is a scatter of as many points as the chart has, on plain axes of the same size and
resolution. What the pieces say is computed before: the walls are known, as on a page of the
calculator.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Callable

import numpy as np
from bench_page_file import NEED, TUBES, median

from tubecalc.job import Job
from tubecalc.need import Need
from tubecalc.share.datasheet import datasheet
from tubecalc.share.quote_chart import chart


def bare(kind: str) -> bytes:
    """600 points on plain axes, 170 mm wide, 300 dots per inch."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(170 / 25.4, 180 / 25.4))
    axes = figure.add_subplot()
    turns = np.linspace(0.0, 60.0, 600)
    axes.scatter(turns, np.sin(turns), s=9)
    axes.set_xlabel("outside diameter, mm")
    out = io.BytesIO()
    figure.savefig(out, format=kind, dpi=300)
    return out.getvalue()


def main() -> None:
    """Measure and print."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    job = Job(Need.from_toml(NEED), TUBES, date="2026-11-25")
    pieces: list[tuple[str, str, Callable[[], bytes]]] = [
        ("chart, PNG", "png", lambda: chart(job, "png")),
        ("chart, SVG", "svg", lambda: chart(job, "svg")),
        ("chart, PDF", "pdf", lambda: chart(job, "pdf")),
        ("data sheet, PDF", "pdf", lambda: datasheet(job)),
    ]
    base = {k: median(lambda k=k: bare(k), times) for k in ("png", "svg", "pdf")}
    for kind, spent in base.items():
        print(f"bare rendering, {kind.upper()}  {1e3 * spent:7.0f} ms")
    for name, kind, make in pieces:
        first = median(make, 1)
        spent = median(make, times)
        print(
            f"{name:20s} {1e3 * spent:7.0f} ms  {spent / base[kind]:5.2f} bare renderings, "
            f"first {1e3 * first:5.0f} ms, {len(make()) / 1e3:5.0f} kB"
        )


if __name__ == "__main__":
    main()
