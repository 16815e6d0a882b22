"""A served page and a real browser; without one the tests skip, or fail where it is required."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

TOKEN = "let-me-in"
REQUIRED = os.environ.get("TUBECALC_REQUIRE_BROWSER") == "1"


def _missing(what: str) -> None:
    if REQUIRED:
        pytest.fail(f"{what} is missing and TUBECALC_REQUIRE_BROWSER=1 asks for it")
    pytest.skip(f"{what} is missing")


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        _missing("Chromium")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        _missing("playwright")
    with sync_playwright() as play:
        chromium = play.chromium.launch(
            executable_path=path, args=["--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"]
        )
        yield chromium
        chromium.close()


@pytest.fixture(scope="session")
def address(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The pages as `tubecalc serve` opens them, from a folder that is not the checkout's."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    folder = tmp_path_factory.mktemp("elsewhere")
    root = Path(__file__).resolve().parents[2]
    known = os.environ.get("PYTHONPATH", "")
    log = (folder / "log.txt").open("w", encoding="utf-8")
    server = subprocess.Popen(
        [sys.executable, "-m", "tubecalc", "serve", "--no-browser", "--port", str(port),
         "--token", TOKEN],
        cwd=folder, stdout=log, stderr=subprocess.STDOUT,
        env={**os.environ, "PYTHONPATH": str(root) + (os.pathsep + known if known else "")},
    )  # fmt: skip
    try:
        _wait(port, server, folder / "log.txt")
        yield f"http://127.0.0.1:{port}"
    finally:
        server.terminate()
        server.wait(20)
        log.close()


def _wait(port: int, server: subprocess.Popen[bytes], log: Path) -> None:
    for _ in range(240):
        if server.poll() is not None:
            break
        try:
            socket.create_connection(("127.0.0.1", port), 1).close()
        except OSError:
            time.sleep(0.25)
        else:
            return
    pytest.fail(f"the server did not start: {log.read_text(encoding='utf-8')[-2000:]}")


class Visit:
    """One visitor's page, with what went wrong on it."""

    def __init__(self, browser: Any, address: str, width: int, dark: bool, query: str) -> None:
        self.context = browser.new_context(
            viewport={"width": width, "height": 1000},
            color_scheme="dark" if dark else "light",
            accept_downloads=True,
        )
        self.page = self.context.new_page()
        self.errors: list[str] = []
        self.foreign: list[str] = []
        self.page.on("console", lambda m: m.type == "error" and self.errors.append(m.text))
        self.page.on("pageerror", lambda e: self.errors.append(str(e)))
        self.page.on("request", lambda r: self._asked(r.url, address))
        self.page.goto(f"{address}/voila/render/choose.ipynb?token={TOKEN}{query}")
        self.page.wait_for_selector(".tc-layer", timeout=120_000)
        self.page.wait_for_function(
            "() => Math.abs(document.querySelector('.tc-layer').viewBox.baseVal.width"
            " - Math.max(320, document.querySelector('.tc-stack').clientWidth)) <= 10",
            timeout=30_000,
        )

    def _asked(self, url: str, address: str) -> None:
        if not url.startswith((address, address.replace("http", "ws"), "data:", "blob:")):
            self.foreign.append(url)

    def changed(self, what: str, before: str) -> None:
        """Wait until the text of an element is another than before."""
        self.page.wait_for_function(
            "([css, before]) => document.querySelector(css).innerHTML !== before",
            arg=[what, before],
            timeout=15_000,
        )

    def html(self, what: str) -> str:
        """Inner HTML of an element."""
        return str(self.page.eval_on_selector(what, "e => e.innerHTML"))


@pytest.fixture
def visit(browser: Any, address: str) -> Iterator[Callable[..., Visit]]:
    """Open page `choose` as one visitor."""
    made: list[Visit] = []

    def go(width: int = 1440, *, dark: bool = False, query: str = "") -> Visit:
        made.append(Visit(browser, address, width, dark, query))
        return made[-1]

    yield go
    for one in made:
        one.context.close()
