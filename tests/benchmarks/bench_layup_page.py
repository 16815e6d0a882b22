"""Time from an edit on page `layup` to the new picture in Chromium, as a visitor feels it.

Run with ``python tests/benchmarks/bench_layup_page.py [EDITS]``; nothing here is a timed assert.
The clock runs in the browser, from the Enter key to the first animation frame after the picture has
changed: sizes and stacks on "The wall", loads on "What it carries".
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

_CLOCK = """css => {
  window.times = []; let start = 0;
  document.addEventListener('keydown', e => { if (e.key === 'Enter') start = performance.now(); },
                            true);
  new MutationObserver(() => {
    if (!start) return;
    const t = start; start = 0;
    requestAnimationFrame(() => window.times.push(performance.now() - t));
  }).observe(document.querySelector(css), { childList: true, subtree: true });
}"""
STACKS = ("[90/0_3/90]", "[90/0_4/0f]", "[+/-45/0_2]_s", "[90/+/-30/0_5/0f]")


def _edits(page: object, label: str, texts: list[str]) -> list[float]:
    field = page.get_by_label(label, exact=True)  # type: ignore[attr-defined]
    for text in texts:
        field.fill(text)
        field.press("Enter")
        page.wait_for_timeout(250)  # type: ignore[attr-defined]
    return [float(t) for t in page.evaluate("window.times")]  # type: ignore[attr-defined]


def measure(url: str, edits: int) -> dict[str, list[float]]:
    """Milliseconds of each edit, by what is edited."""
    from playwright.sync_api import sync_playwright

    path = shutil.which("chromium") or shutil.which("chromium-browser")
    out = {}
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=["--no-sandbox"])
        for name, section, css, label, texts in (
            ("stack", "The wall", ".tc-laywall", "stacking sequence",
             [STACKS[n % len(STACKS)] for n in range(edits)]),
            ("size", "The wall", ".tc-laywall", "size", [f"{20 + n} mm" for n in range(edits)]),
            ("load", "What it carries", ".tc-layroom .tc-stack", "bending moment",
             [f"{20 + n} N m" for n in range(edits)]),
        ):  # fmt: skip
            page = browser.new_page(viewport={"width": 1440, "height": 1000})
            page.goto(url)
            page.wait_for_selector(".tc-laywall svg", timeout=120_000)
            page.get_by_role("button", name=section, exact=True).click()
            page.wait_for_timeout(2000)
            if name == "load":
                page.get_by_label("load", exact=True).select_option(label="typed here")
                page.wait_for_timeout(500)
            page.evaluate(_CLOCK, css)
            out[name] = _edits(page, label, texts)
            page.close()
        browser.close()
    return out


def main() -> None:
    """Serve, measure, print."""
    edits = int(sys.argv[1]) if len(sys.argv) > 1 else 60
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
            found = measure(f"http://127.0.0.1:{port}/voila/render/layup.ipynb", edits)
        finally:
            server.terminate()
            server.wait(20)
    for name, times in found.items():
        times = sorted(times)
        p95 = times[min(len(times) - 1, int(0.95 * len(times)))]
        print(f"{name}: {len(times)} of {edits} edits drew a new picture; "
              f"p50 {statistics.median(times):.1f} ms, p95 {p95:.1f} ms, "
              f"longest {times[-1]:.1f} ms")  # fmt: skip


if __name__ == "__main__":
    main()
