"""Time and size of a customer page of six tubes, as a ratio to drawing its chart once.

Run with ``python tests/benchmarks/bench_page_file.py [TIMES]``; nothing here is a timed assert. The
first page of a process also fills the tables of its walls; the others are what a page of the
calculator does, whose walls are known already. The chart is drawn for print, 300 dots per inch.
"""

from __future__ import annotations

import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import tubecalc as tc
from tubecalc.compare import judge
from tubecalc.job import Candidate, Job
from tubecalc.share.job_chart import around, chart_scene, styles_of
from tubecalc.share.palette import Style
from tubecalc.share.paper import About, Leaf, picture
from tubecalc.share.scene import Scene

TUBES = (
    Candidate("roll-wrapped", 0.030, 0.027), Candidate("roll-wrapped-woven", 0.030, 0.027),
    Candidate("pultruded", 0.028, 0.024), Candidate("6063-T6", 0.038, 0.034),
    Candidate("304-cold-drawn", 0.034, 0.032), Candidate("filament-wound", 0.036, 0.032),
)  # fmt: skip
NEED = """
title = "Sampling boom"
[[case]]
name = "reach"
kind = "cantilever"
load = "60 N"
span = "1.2 m"
[[case]]
kind = "strut"
load = "-800 N"
span = "0.9 m"
[limits]
deflection = "25 mm"
od_max = "40 mm"
[factors]
strength = 2.0
buckling = 2.0
"""


def median(what: Callable[[], object], times: int) -> float:
    """Median time of a call [s]."""
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        what()
        spent.append(time.perf_counter() - start)
    return statistics.median(spent)


def print_chart(scene: Scene, styles: tuple[Style, ...]) -> bytes:
    """Draw a scene 170 mm wide at 300 dots per inch."""
    leaf = Leaf(scene.width, scene.height, ((scene, 0.0, 0.0),), styles)
    return picture(leaf, "png", About("chart"), 170.0, 300.0)


def opened(path: Path, times: int) -> float:
    """Median time from navigation to loaded in Chromium, from disk [s]."""
    from playwright.sync_api import sync_playwright

    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        page = browser.new_page()
        spent = []
        for _ in range(times):
            page.goto(path.as_uri())
            spent.append(page.evaluate("performance.getEntriesByType('navigation')[0].duration"))
        browser.close()
    return statistics.median(spent) / 1e3


def main() -> None:
    """Measure and print."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    job = Job(tc.Need.from_toml(NEED), TUBES, date="2026-11-25")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "offer.html"
        first = median(lambda: tc.write_page(job, path), 1)
        again = median(lambda: tc.write_page(job, path), times)
        numbers = iter(range(2, 1000))
        other = median(
            lambda: tc.write_page(
                replace(job, need=job.need.with_case(0, load=60.0 + 1e-3 * next(numbers))), path
            ),
            times,
        )
        judged = judge(job)
        scene, styles = chart_scene(judged, around(judged)), tuple(styles_of(judged).values())
        chart = median(lambda: print_chart(scene, styles), times)
        print(f"size                          {path.stat().st_size / 1e3:7.0f} kB")
        print(f"first page, walls unknown     {1e3 * first:7.0f} ms")
        print(f"page, another load            {1e3 * other:7.0f} ms  {other / chart:5.2f} charts")
        print(f"page, the same job            {1e3 * again:7.0f} ms  {again / chart:5.2f} charts")
        print(f"chart, 170 mm at 300 dpi      {1e3 * chart:7.0f} ms")
        print(f"opens in Chromium             {1e3 * opened(path, times):7.0f} ms")


if __name__ == "__main__":
    main()
