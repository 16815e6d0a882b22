"""Page `compare` in Chromium: tubes come and go, the span follows the hand, small screens hold."""

from __future__ import annotations

from typing import Any

import pytest

pytestmark = [pytest.mark.browser, pytest.mark.slow]
TOKEN = "let-me-in"


@pytest.fixture
def opened(browser: Any, address: str):
    made = []

    def go(width: int = 1440, dark: bool = False) -> tuple[Any, list[str]]:
        scheme = "dark" if dark else "light"
        context = browser.new_context(
            viewport={"width": width, "height": 1000}, color_scheme=scheme
        )
        made.append(context)
        page, wrong = context.new_page(), []
        page.on("console", lambda m: m.type == "error" and wrong.append(m.text))
        page.on("pageerror", lambda e: wrong.append(str(e)))
        page.on(
            "request",
            lambda r: r.url.split("//")[-1].startswith(address.split("//")[-1])
            or r.url.startswith(("data:", "blob:")) or wrong.append(r.url),
        )  # fmt: skip
        page.goto(f"{address}/voila/render/compare.ipynb?token={TOKEN}")
        page.wait_for_selector(".tc-lines", timeout=120_000)
        page.wait_for_selector(".tc-cmp", timeout=30_000)
        return page, wrong

    yield go
    for context in made:
        context.close()


def said(page: Any) -> str:
    return str(page.inner_text(".tc-used"))


def wait_for(page: Any, words: str) -> None:
    page.wait_for_function(
        "words => document.querySelector('.tc-used').innerText.includes(words)", arg=words,
        timeout=15_000,
    )  # fmt: skip


def test_tubes_are_added_changed_and_taken_away(opened) -> None:
    page, wrong = opened()
    page.get_by_label("add a tube").select_option("pultruded")
    wait_for(page, "4 pultruded")
    assert page.locator(".tc-cand:not(.tc-gone)").count() == 4
    box = page.locator(".tc-cand").nth(3).get_by_label("outside", exact=True)
    box.fill("11 mm")
    box.press("Enter")
    wait_for(page, "11 ×")
    box.fill("11 stone")
    box.press("Enter")
    page.wait_for_selector(".tc-cand .tc-bad")
    assert box.input_value() == "11 stone"
    box.fill("12 mm")
    box.press("Enter")
    wait_for(page, "12 ×")
    page.locator(".tc-cand").nth(3).get_by_role("button", name="remove").click()
    page.wait_for_function("document.querySelectorAll('.tc-cand:not(.tc-gone)').length === 3")
    page.get_by_label("figures", exact=True).select_option("weight for weight")
    page.wait_for_selector("text=per g/m")
    assert wrong == []


def test_the_span_follows_the_slider_and_every_kind_is_drawn(opened) -> None:
    page, wrong = opened()
    before = page.get_attribute(".tc-lines", "aria-label")
    page.locator(".tc .noUi-handle").focus()
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    page.wait_for_function(
        "before => document.querySelector('.tc-lines').getAttribute('aria-label') !== before",
        arg=before, timeout=15_000,
    )  # fmt: skip
    assert "1\u202f200 mm" not in said(page)
    page.get_by_role("button", name="torsion").click()
    page.wait_for_function(
        "document.querySelector('.tc-lines').getAttribute('aria-label').includes('torsion')"
    )
    assert wrong == []


@pytest.mark.parametrize(("width", "dark"), [(390, False), (1024, True), (1440, False)])
def test_nothing_is_wider_than_the_screen(opened, width: int, dark: bool) -> None:
    page, wrong = opened(width, dark)
    page.wait_for_function(
        "() => Math.abs(document.querySelector('.tc-lines').viewBox.baseVal.width"
        " - Math.max(320, document.querySelector('.tc-stack').clientWidth)) <= 10",
        timeout=30_000,
    )
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert wrong == []


def test_a_reload_keeps_the_tubes(opened) -> None:
    page, wrong = opened()
    page.get_by_label("add a tube").select_option("pull-wound")
    wait_for(page, "4 pull-wound")
    page.wait_for_function("(sessionStorage['tubecalc:job'] || '').includes('pull-wound')")
    page.reload()
    page.wait_for_selector(".tc-lines", timeout=120_000)
    wait_for(page, "4 pull-wound")
    assert wrong == []
