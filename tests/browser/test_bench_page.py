"""Page `bench` in Chromium: files go in, marks follow the hand, the job stays, screens hold."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tubecalc.share.bench_page import report
from tubecalc.share.bench_words import Words
from tubecalc.testing.bench_sum import summed

pytestmark = [pytest.mark.browser, pytest.mark.slow]
TOKEN = "let-me-in"
LINE = "travel_mm,force_N\n" + "".join(f"{k / 40},{5.0 * k}\n" for k in range(160)) + "4.01,1\n"


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
        page.goto(f"{address}/voila/render/bench.ipynb?token={TOKEN}")
        page.wait_for_selector(".tc-uptests", timeout=120_000)
        page.wait_for_timeout(800)
        return page, wrong

    yield go
    for context in made:
        context.close()


def upload(page: Any, *files: Path) -> None:
    with page.expect_file_chooser() as chooser:
        page.locator(".tc-uptests").click()
    chooser.value.set_files([str(f) for f in files])


def typed(page: Any, label: str, text: str) -> None:
    field = page.get_by_role("textbox", name=label, exact=True)
    field.fill(text)
    field.press("Enter")


def test_a_file_is_read_its_mark_dragged_and_the_report_saved(opened, tmp_path) -> None:
    good, bad = tmp_path / "line.csv", tmp_path / "bad.csv"
    good.write_text(LINE)
    bad.write_text("nothing\n")
    page, wrong = opened()
    upload(page, good, bad)
    page.wait_for_selector(".tc-bencurve")
    assert "bad.csv" in page.inner_text(".tc-refused")
    page.get_by_label("kind of test").select_option("bending, one nose")
    page.wait_for_selector(".tc-handle[data-mark=linear_to]")
    typed(page, "outside diameter", "10 mm")
    typed(page, "bore", "8 mm")
    typed(page, "span or free length", "240 mm")
    page.wait_for_selector(".tc-figures >> text=modulus")
    box = page.locator(".tc-handle[data-mark=linear_to] circle").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 80, y, steps=5)
    page.mouse.up()
    field = page.get_by_role("textbox", name="straight to", exact=True)
    page.wait_for_function("e => e.value.endsWith(' mm')", arg=field.element_handle())
    before = field.input_value()
    handle = page.locator(".tc-handle[data-mark=linear_to]")
    moved = handle.bounding_box()
    assert moved["x"] + moved["width"] / 2 == pytest.approx(x - 80, abs=12)
    handle.focus()
    page.keyboard.press("ArrowLeft")
    page.wait_for_function("([e, b]) => e.value !== b", arg=[field.element_handle(), before])
    with page.expect_download() as download:
        page.get_by_role("button", name="report page").click()
    assert download.value.suggested_filename == "tubecalc-job-tests.html"
    page.reload()
    page.wait_for_selector(".tc-bencurve", timeout=60_000)
    page.wait_for_function("document.querySelector('.tc-tests').innerText.includes('from the job')")
    assert wrong == []


def test_a_file_too_large_for_the_socket_is_said_before_it_is_sent(opened, tmp_path) -> None:
    big = tmp_path / "big.csv"
    big.write_bytes(b"0,0\n" * 2_400_000)
    page, wrong = opened()
    upload(page, big)
    page.wait_for_function(
        "document.querySelector('.tc-status').innerText.includes('too large for the page')"
    )
    assert wrong == []


@pytest.mark.parametrize(("width", "dark"), [(1440, True), (1024, False), (390, False)])
def test_every_section_of_the_invented_set_holds_on_the_screen(opened, width, dark) -> None:
    page, wrong = opened(width, dark)
    page.get_by_role("button", name="open the invented set").click()
    page.wait_for_selector(".tc-bencurve", timeout=60_000)
    signs = {
        "All tests": ".tc-benres", "Statistics": ".tc-benstat",
        "Against prediction": "text=as promised", "Weight for weight": "text=per g/m",
        "One test": ".tc-handle",
    }  # fmt: skip
    for name, sign in signs.items():
        page.get_by_role("button", name=name, exact=True).click()
        page.wait_for_selector(sign)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert wrong == []


def test_the_report_opens_offline_without_a_word_of_complaint(browser, tmp_path) -> None:
    from tests.share.test_bench_report import made, seen

    words = made(seen("A", 120.0, 4.0, failure="crush"), seen("B", 121.0, 4.1, failure="grip"))
    assert isinstance(words, Words)
    assert len(summed(words.summary.tests, words.job.construction).groups) == 1
    path = tmp_path / "report.html"
    path.write_text(report(words, date="2026-11-25"), encoding="utf-8")
    for width in (1100, 390):
        page, wrong = browser.new_page(viewport={"width": width, "height": 900}), []
        page.on("console", lambda m, w=wrong: m.type == "error" and w.append(m.text))
        page.goto(path.as_uri())
        assert page.locator("svg").count() >= 4
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert wrong == []
        page.close()
