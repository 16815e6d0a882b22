"""Time from a slider key press to the new chart in Chromium, as a visitor feels it.

Run with ``python tests/benchmarks/bench_page.py [PRESSES]``; nothing here is a timed assert. The
clock runs in the browser, from the key event to the first animation frame after the chart's layer
has changed. Prints p50 and p95 with the slower end of the keys that cross into sizes not yet
computed told apart.
"""

from __future__ import annotations

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request

from tubecalc.app.server import free_port

_CLOCK = """() => {
  window.times = []; let start = 0;
  document.querySelectorAll('.noUi-handle')[1]
    .addEventListener('keydown', () => { start = performance.now(); }, true);
  new MutationObserver(() => {
    if (!start) return;
    const t = start; start = 0;
    requestAnimationFrame(() => window.times.push(performance.now() - t));
  }).observe(document.querySelector('.tc-layerbox .widget-html-content'), { childList: true });
}"""


def measure(url: str, presses: int) -> list[float]:
    """Press arrow keys on the upper handle of the diameter slider; milliseconds of each."""
    from playwright.sync_api import sync_playwright

    path = shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1440, "height": 1000})
        page.goto(url)
        page.wait_for_selector(".tc-layer", timeout=120_000)
        page.wait_for_timeout(3000)
        page.evaluate(_CLOCK)
        page.locator(".noUi-handle").nth(1).focus()
        for n in range(presses):
            page.keyboard.press("ArrowLeft" if (n // 20) % 2 == 0 else "ArrowRight")
            page.wait_for_timeout(200)
        times = page.evaluate("window.times")
        browser.close()
    return [float(t) for t in times]


def main() -> None:
    """Serve, measure, print."""
    presses = int(sys.argv[1]) if len(sys.argv) > 1 else 120
    port = free_port()
    with tempfile.TemporaryDirectory() as folder:
        server = subprocess.Popen(
            [sys.executable, "-m", "tubecalc", "serve", "--no-browser", "--port", str(port),
             "--token", ""],
            cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        try:
            for _ in range(240):
                try:
                    urllib.request.urlopen(f"http://127.0.0.1:{port}/voila/static/voila.js").close()
                    break
                except OSError:
                    time.sleep(0.25)
            times = sorted(measure(f"http://127.0.0.1:{port}/voila/render/choose.ipynb", presses))
        finally:
            server.terminate()
            server.wait(20)
    p95 = times[min(len(times) - 1, int(0.95 * len(times)))]
    print(f"{len(times)} of {presses} key presses drew a new chart")
    print(f"p50 {statistics.median(times):.1f} ms, p95 {p95:.1f} ms, longest {times[-1]:.1f} ms")


if __name__ == "__main__":
    main()
