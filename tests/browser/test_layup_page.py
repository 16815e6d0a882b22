"""Page `layup` in Chromium: edits redraw, mistakes are told, searches stop, the wall goes on."""

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
            viewport={"width": width, "height": 1000}, color_scheme=scheme, accept_downloads=True
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
        page.goto(f"{address}/voila/render/layup.ipynb?token={TOKEN}")
        page.wait_for_selector(".tc-laywall svg", timeout=120_000)
        page.wait_for_selector(".tc-layrow", timeout=30_000)
        return page, wrong

    yield go
    for context in made:
        context.close()


def changed(page: Any, css: str, before: str) -> None:
    page.wait_for_function(
        "([css, before]) => document.querySelector(css).innerHTML !== before", arg=[css, before],
        timeout=15_000,
    )  # fmt: skip


def test_an_edit_redraws_and_a_wrong_sequence_keeps_the_last_wall(opened) -> None:
    page, wrong = opened()
    before = page.inner_html(".tc-laywall")
    field = page.get_by_label("stacking sequence")
    field.fill("[90/+/-45/0_3]")
    field.press("Enter")
    changed(page, ".tc-laywall", before)
    page.wait_for_function("() => document.querySelectorAll('.tc-layrow').length === 4")
    field.fill("[90/0_3")
    field.press("Enter")
    page.wait_for_selector(".tc-sentence .tc-bad >> text=no closing bracket")
    assert field.input_value() == "[90/0_3"
    page.wait_for_function("() => document.querySelectorAll('.tc-laywall .tc-stale').length > 2")
    angle = page.locator(".tc-layrow").nth(3).get_by_label("angle, row 4")
    angle.fill("90")
    angle.press("Enter")
    page.wait_for_function(
        "() => document.querySelector('.tc-sentence input').value === '[90/+/-45/90_3]'"
    )
    page.wait_for_function("() => !document.querySelector('.tc-laywall .tc-stale')")
    assert wrong == []


def test_the_wall_is_put_into_the_job_and_stands_on_choose_and_compare(opened) -> None:
    page, wrong = opened()
    name = page.get_by_label("name of the wall")
    name.fill("thin mast")
    name.press("Enter")
    page.get_by_role("button", name="put the tube beside the others").click()
    page.wait_for_selector("text=The job has this wall.")
    page.get_by_role("link", name="compare", exact=True).click()
    page.wait_for_selector(".tc-cmp", timeout=120_000)
    page.wait_for_function(
        "() => document.querySelector('.tc-used').innerText.includes('thin mast')", timeout=30_000
    )
    page.get_by_role("link", name="choose", exact=True).click()
    page.wait_for_selector(".tc-layer", timeout=120_000)
    page.wait_for_function(
        "() => document.querySelector('.tc-controls').innerText.includes('thin mast')",
        timeout=30_000,
    )
    assert wrong == []


def test_a_search_is_stopped_and_what_it_found_is_taken_over(opened) -> None:
    page, wrong = opened()
    page.get_by_role("button", name="Lightest stack", exact=True).click()
    most = page.get_by_label("most plies", exact=True)
    most.fill("10")
    most.press("Enter")
    angles = page.get_by_label("angles, degrees")
    angles.fill("0, 30, 45, 60, 90")
    angles.press("Enter")
    page.wait_for_timeout(500)
    page.get_by_role("button", name="search", exact=True).click()
    page.wait_for_selector(".tc-progress", timeout=60_000)
    size = page.get_by_label("size", exact=True)
    before = page.inner_html(".tc-keep", timeout=5_000)
    size.fill("31 mm")
    size.press("Enter")  # the page listens while it searches
    changed(page, ".tc-keep", before)
    stop = page.get_by_role("button", name="stop", exact=True)
    if stop.is_visible():
        stop.click()
    page.wait_for_selector("text=/Proven|Not proven/", timeout=120_000)
    page.get_by_role("button", name="take over", exact=True).click()
    page.wait_for_selector("text=is the wall of this page now", timeout=15_000)
    assert wrong == []


def test_a_workshop_page_is_downloaded(opened) -> None:
    page, wrong = opened()
    page.get_by_role("button", name="For the workshop", exact=True).click()
    page.wait_for_selector("table.shop", timeout=15_000)
    with page.expect_download() as waiting:
        page.get_by_role("button", name="page to print").click()
    assert waiting.value.suggested_filename == "tubecalc-own-wall-workshop.html"
    assert wrong == []


@pytest.mark.parametrize(("width", "dark"), [(390, False), (1024, True)])
def test_nothing_is_wider_than_the_screen(opened, width: int, dark: bool) -> None:
    page, wrong = opened(width, dark)
    for section in ("The wall", "What it carries", "From fibre and resin", "Burn-off of a sample",
                    "Lightest stack", "For the workshop"):  # fmt: skip
        page.get_by_role("button", name=section, exact=True).click()
        page.wait_for_timeout(800)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, section
    assert wrong == []
