"""Handing over in Chromium: every file arrives, words are copied and kept, nothing asks outside."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tubecalc.job import Job

pytestmark = [pytest.mark.browser, pytest.mark.slow]
TOKEN = "let-me-in"
STEM = "tubecalc-sampling-boom"
FILES = {
    "customer page": (".html", b"<!DOCTYPE html>"),
    "data sheet, PDF": ("-data-sheet.pdf", b"%PDF"),
    "table, XLSX": (".xlsx", b"PK"),
    "table, CSV": (".csv", b"\xef\xbb\xbf"),
    "chart, PNG": ("-chart.png", b"\x89PNG"),
    "chart, SVG": ("-chart.svg", b"<?xml"),
    "chart, PDF": ("-chart.pdf", b"%PDF"),
}
CHOOSE = {
    "shortlist, CSV": ("-shortlist.csv", b"\xef\xbb\xbf"),
    "need, TOML": ("-need.toml", b"format = 1"),
}
WATCH = """() => {
  window.said = [];
  new MutationObserver(() => window.said.push(document.querySelector('.tc-outsaid').innerText))
    .observe(document.querySelector('.tc-outsaid'), { childList: true, subtree: true });
}"""


def to(one: Any, address: str, name: str) -> None:
    """Go to another page of the same visitor."""
    one.page.goto(f"{address}/voila/render/{name}.ipynb?token={TOKEN}")
    one.page.wait_for_selector("h2:text('Hand it over')", timeout=120_000, state="attached")
    one.page.wait_for_selector(".tc-keep", state="attached")


def fetched(one: Any, button: str, folder: Path) -> tuple[str, bytes]:
    with one.page.expect_download(timeout=60_000) as got:
        one.page.get_by_role("button", name=button, exact=True).click()
    got.value.save_as(folder / "file")
    return str(got.value.suggested_filename), (folder / "file").read_bytes()


def test_every_file_arrives_from_choose(visit, tmp_path: Path) -> None:
    one = visit()
    one.page.evaluate(WATCH)
    for button, (end, start) in {**FILES, **CHOOSE}.items():
        name, content = fetched(one, button, tmp_path)
        assert name == f"{STEM}{end}"
        assert content.startswith(start)
    one.page.wait_for_selector(f".tc-outsaid:has-text('Saved {STEM}-need.toml')")
    said = one.page.evaluate("window.said")
    for button in FILES:  # the word is there while the file is being written
        assert f"Writing: {button} …" in said
    assert fetched(one, "table, CSV", tmp_path) == fetched(one, "table, CSV", tmp_path)
    assert one.errors == []
    assert one.foreign == []


def test_words_of_a_quote_are_copied(visit, address: str) -> None:
    one = visit()
    one.context.grant_permissions(["clipboard-read", "clipboard-write"], origin=address)
    one.page.get_by_role("button", name="quote in words").click()
    words = one.page.locator(".tc-quote blockquote")
    words.wait_for()
    outside = one.page.inner_text(".tc-answer h3 span").split(" × ")[0]
    assert f"{outside} mm" in words.inner_text().replace("\N{NO-BREAK SPACE}", " ")
    one.page.get_by_role("button", name="copy the words").click()
    one.page.wait_for_selector("text=copied")
    assert one.page.evaluate("navigator.clipboard.readText()") == words.inner_text()
    assert one.errors == []


def test_words_for_the_customer_outlive_a_reload_and_reach_the_page(
    visit, address: str, tmp_path: Path
) -> None:
    """From the comparison: drawer, name and recommended tube; a reload; the customer's page."""
    one = visit()
    to(one, address, "compare")
    one.page.wait_for_selector(".tc-cmp", timeout=60_000)
    one.page.get_by_role("button", name="words for the customer").click()
    for label, words in (("customer", "Tidal Survey"), ("reference", "Q-17")):
        one.page.get_by_label(label, exact=True).fill(words)
    one.page.get_by_label("before the tubes", exact=True).fill("As we said:\none line, another.")
    card = one.page.locator(".tc-cand").nth(2)
    card.get_by_label("called", exact=True).fill("the light one")
    card.get_by_role("button", name="recommend").click()
    one.page.wait_for_selector(".tc-outs:has-text('the light one')")
    one.page.wait_for_function("(sessionStorage['tubecalc:job'] || '').includes('chosen = 2')")
    one.page.reload()
    one.page.wait_for_selector(".tc-outs:has-text('the light one')", timeout=120_000)
    assert one.page.get_by_label("customer", exact=True).input_value() == "Tidal Survey"
    name, content = fetched(one, "customer page", tmp_path)
    assert name == f"{STEM}.html"
    job = Job.from_html(content.decode("utf-8"))
    assert (job.text.customer, job.text.reference) == ("Tidal Survey", "Q-17")
    assert job.text.introduction == "As we said:\none line, another."
    assert (job.chosen, job.candidates[2].label) == (2, "the light one")
    assert one.errors == []
    assert one.foreign == []


def test_start_hands_over_the_job_it_is_carried(visit, address: str, tmp_path: Path) -> None:
    one = visit()
    used = one.html(".tc-used")
    box = one.page.get_by_label("reach", exact=True)
    box.fill("1.1 m")
    box.press("Enter")
    one.changed(".tc-used", used)
    one.page.wait_for_function("(sessionStorage['tubecalc:job'] || '').includes('1.1 m')")
    to(one, address, "start")
    one.page.locator(".tc-out").wait_for()
    name, content = fetched(one, "table, CSV", tmp_path)
    assert name == f"{STEM}.csv"
    assert content
    other = one.context.browser.new_context()
    page = other.new_page()
    page.goto(f"{address}/voila/render/start.ipynb?token={TOKEN}")
    page.wait_for_selector(".tc-list", timeout=120_000)
    assert not page.locator(".tc-out").is_visible()  # no job, nothing to hand over
    other.close()


@pytest.mark.parametrize("name", ["choose", "compare"])
def test_the_row_holds_at_390_px(visit, address: str, name: str) -> None:
    one = visit(390)
    if name != "choose":
        to(one, address, name)
    one.page.get_by_role("button", name="words for the customer").click()
    one.page.locator(".tc-for").wait_for()
    assert one.page.evaluate("document.documentElement.scrollWidth") <= 390
    small = one.page.evaluate(
        "() => [...document.querySelectorAll('.tc-out button, .tc-out input, .tc-out select,"
        " .tc-out textarea, .tc-cand button, .tc-cand input, .tc-cand select')]"
        ".filter(e => e.offsetParent && e.getBoundingClientRect().height < 40)"
        ".map(e => e.outerHTML.slice(0, 120))"
    )
    assert small == []
    assert one.errors == []


def test_an_own_stock_list_is_opened_on_the_comparison(visit, address: str) -> None:
    one = visit()
    to(one, address, "compare")
    with one.page.expect_file_chooser() as chooser:
        one.page.locator(".tc-upstock").click()
    chooser.value.set_files(
        {
            "name": "mine.csv", "mimeType": "text/csv",
            "buffer": b"id,construction,od_mm,id_mm\nA1,6063-T6,38,34\n",
        }
    )  # fmt: skip
    one.page.wait_for_selector(".tc-status:has-text('mine.csv: 1 tubes read')")
    one.page.get_by_label("from stock", exact=True).select_option("A1, 6063-T6 38 × 34 mm")
    one.page.wait_for_selector(".tc-used:has-text('38 × 34')")
    one.page.wait_for_timeout(1500)  # one pick that is told twice must not add two tubes
    assert one.page.locator(".tc-cand:not(.tc-gone)").count() == 4
    assert one.errors == []
