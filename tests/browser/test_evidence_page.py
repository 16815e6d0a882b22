"""Page `evidence` in Chromium: it shows at once, works on, and answers pointer and keys."""

from __future__ import annotations

import json
from typing import Any

import pytest

pytestmark = [pytest.mark.browser, pytest.mark.slow]
TOKEN = "let-me-in"


@pytest.fixture
def opened(browser: Any, address: str):
    made = []

    def go(width: int, dark: bool = False) -> tuple[Any, list[str]]:
        scheme = "dark" if dark else "light"
        context = browser.new_context(
            viewport={"width": width, "height": 1000}, color_scheme=scheme
        )
        made.append(context)
        page, errors = context.new_page(), []
        page.on("console", lambda m: m.type == "error" and errors.append(m.text))
        page.on("pageerror", lambda e: errors.append(str(e)))
        page.goto(f"{address}/voila/render/evidence.ipynb?token={TOKEN}")
        page.wait_for_selector("h1", timeout=120_000)
        page.wait_for_selector(".tc-layer", timeout=120_000)
        return page, errors

    yield go
    for context in made:
        context.close()


def test_points_lines_headings_and_filters_answer(opened) -> None:
    page, errors = opened(1440)
    assert "within 1 %" in page.get_attribute(".tc-layer", "aria-label")
    groups = json.loads(page.get_attribute(".tc-layer", "data-points"))
    group = next(g for g in groups if g["k"] == "known difference")
    box = page.locator(".tc-layer").bounding_box()
    scale = box["width"] / page.evaluate(
        "document.querySelector('.tc-layer').viewBox.baseVal.width"
    )
    at = (box["x"] + group["x"][0] * scale, box["y"] + group["y"][0] * scale)
    page.mouse.move(*at)
    page.wait_for_selector("#tc-tip:visible", timeout=15_000)
    assert "published" in page.inner_text("#tc-tip")
    page.mouse.click(*at)
    page.wait_for_selector(".tc-one h3:has-text('known difference')", timeout=15_000)
    page.click("[data-sort=error]")
    page.wait_for_selector("th[aria-sort=descending] [data-sort=error]", timeout=15_000)
    page.locator("tr[data-pick]").nth(3).click()
    wanted = page.locator("tr[data-pick]").nth(4).get_attribute("data-pick")
    page.wait_for_timeout(400)
    page.keyboard.press("ArrowDown")
    page.wait_for_selector(f'tr[data-pick="{wanted}"][aria-selected=true]', timeout=15_000)
    page.locator(".tc-filters select").nth(1).select_option("agrees")
    page.wait_for_function(
        "() => document.querySelectorAll('.tc-matrix tbody tr').length === 1", timeout=15_000
    )
    assert errors == []


@pytest.mark.parametrize(("width", "dark"), [(390, False), (1024, True)])
def test_nothing_runs_off_the_page(opened, width: int, dark: bool) -> None:
    page, errors = opened(width, dark)
    page.wait_for_timeout(400)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    wide = "[...document.querySelectorAll('.tc-scroll')].map(e => e.scrollWidth - e.clientWidth)"
    assert max(page.evaluate(wide)) <= 1
    assert errors == []
