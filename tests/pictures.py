"""Makes the picture of the README from the running product: python tests/pictures.py [FILE]."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from tubecalc.app.server import free_port

PICTURE = Path(__file__).resolve().parents[1] / "data" / "pictures" / "choose.png"
WIDTH, HEIGHT = 1440, 1140


def _ready(url: str, server: subprocess.Popen[bytes]) -> None:
    for _ in range(240):
        if server.poll() is not None:
            sys.exit("The server did not start.")
        try:
            urllib.request.urlopen(url, timeout=2).close()
        except OSError:
            time.sleep(0.25)
        else:
            return
    sys.exit("The server did not answer.")


def shoot(url: str, target: Path) -> None:
    """Open the page in Chromium and save what a visitor sees first."""
    from playwright.sync_api import sync_playwright

    path = shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": WIDTH, "height": HEIGHT})
        page.goto(url)
        page.wait_for_selector(".tc-layer", timeout=120_000)
        page.wait_for_timeout(2000)
        target.parent.mkdir(parents=True, exist_ok=True)
        page.screenshot(path=target)
        browser.close()


def main() -> None:
    """Start the product, take its picture, stop it."""
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else PICTURE
    port = free_port()
    with tempfile.TemporaryDirectory() as folder:
        server = subprocess.Popen(
            [sys.executable, "-m", "tubecalc", "serve", "--no-browser", "--port", str(port),
             "--token", ""],
            cwd=folder,
        )  # fmt: skip
        try:
            url = f"http://127.0.0.1:{port}/voila/render/choose.ipynb"
            _ready(f"http://127.0.0.1:{port}/voila/static/voila.js", server)
            shoot(url, target)
        finally:
            server.terminate()
            server.wait(20)
    print(f"{target.name}: {target.stat().st_size // 1024} kB")


if __name__ == "__main__":
    main()
