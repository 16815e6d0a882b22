"""The customer page opened from disk in Chromium with no network: quiet, readable, accessible."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

import tubecalc as tc
from tests.share.test_page_file import JOB
from tubecalc.job import Candidate

pytestmark = pytest.mark.browser
THIN = Candidate("6063-T6", 0.030, 0.028)
CARBON = Candidate("pultruded", 0.030, 0.026, price=41.5, note="from stock")
HOSTILE = "<img src=x onerror=alert(1)></script><script>document.title='caught'</script>"
JOBS = {
    "passes": replace(JOB, candidates=(*JOB.candidates, THIN, CARBON)),
    "fails": replace(JOB, candidates=(THIN,)),
    "hostile": replace(
        JOB, text=replace(JOB.text, customer=HOSTILE, introduction=HOSTILE), currency=HOSTILE,
        candidates=(replace(CARBON, label=HOSTILE, note=HOSTILE), *JOB.candidates),
    ),
}  # fmt: skip
Open = Callable[..., tuple[Any, list[str]]]


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("an offer")
    return {name: tc.write_page(job, folder / f"{name}.html") for name, job in JOBS.items()}


@pytest.fixture
def opened(browser: Any, files: dict[str, Path]) -> Iterator[Open]:
    contexts = []

    def open_(name: str = "passes", width: int = 1280, **more: Any) -> tuple[Any, list[str]]:
        context = browser.new_context(
            viewport={"width": width, "height": 900}, offline=True, **more
        )
        contexts.append(context)
        page = context.new_page()
        heard: list[str] = []
        own = files[name].as_uri()
        page.on("request", lambda r: None if r.url in (own, "data:,") else heard.append(r.url))
        page.on("console", lambda m: heard.append(f"{m.type}: {m.text}"))
        page.on("pageerror", lambda e: heard.append(str(e)))
        page.goto(own)
        return page, heard

    yield open_
    for context in contexts:
        context.close()


@pytest.mark.parametrize("name", sorted(JOBS))
@pytest.mark.parametrize("script", [True, False])
def test_it_asks_for_nothing_and_complains_of_nothing(
    opened: Open, name: str, script: bool
) -> None:
    page, heard = opened(name, java_script_enabled=script)
    assert page.locator("h1").inner_text() != ""
    assert page.title().startswith("Sampling boom")
    assert page.locator("svg.broad").first.bounding_box()["height"] > 200
    page.wait_for_timeout(150)
    assert heard == []


def test_the_style_is_let_in_by_the_policy(opened: Open) -> None:
    page, _ = opened(java_script_enabled=False)
    assert "serif" in page.locator("h1").evaluate("e => getComputedStyle(e).fontFamily")
    assert page.locator("#tubes").evaluate("e => getComputedStyle(e).borderCollapse") == "collapse"


def test_with_scripts_off_it_reads_and_offers_no_dead_switch(opened: Open) -> None:
    page, _ = opened(java_script_enabled=False)
    assert page.locator("#tools").is_hidden()
    assert page.locator("#tubes button").count() == 0
    assert page.locator("#tubes tbody tr").count() == 4
    assert page.locator("footer").is_visible()


def test_what_somebody_typed_does_not_run(opened: Open) -> None:
    page, heard = opened("hostile")
    assert page.title() == f"Sampling boom · {HOSTILE}"
    assert page.locator("img").count() == 0
    assert page.locator("script").count() == 2
    assert page.locator(".top").inner_text().count(HOSTILE) == 1
    assert heard == []


def test_the_switch_changes_every_figure_and_back(opened: Open) -> None:
    """38 mm, 1.2 m and 60 N over 25.4 mm an inch and 4.44822 N a pound-force."""
    page, heard = opened()

    def figures() -> tuple[str, ...]:
        parts = ("main", "svg.broad[aria-label^=Chart]", "svg[aria-label^=Wall]")
        return tuple(
            page.locator(p).first.evaluate("e => e.textContent + e.getAttribute('aria-label')")
            for p in parts
        )

    before = figures()
    page.get_by_label("inch, lbf, lb").check()
    inch = figures()
    assert all(a != b for a, b in zip(before, inch, strict=True))
    assert "1.496\u00a0×\u00a01.26" in inch[0]
    assert "carry 13.5\u00a0lbf at the tip of a reach of 47.24\u00a0in" in inch[0]
    assert "outside diameter, in" in inch[1]
    assert "60\u00a0N" not in inch[0]
    assert page.locator("#said").inner_text() == "Units: inch, lbf, lb."
    page.get_by_label("mm, kgf, g").check()
    assert "carry 6.1\u00a0kgf at the tip of a reach of 1\u202f200\u00a0mm" in figures()[0]
    page.get_by_label("mm, N, kg").check()
    assert tuple(t.replace("Units: mm, N, kg.", "") for t in figures()) == before
    assert heard == []


def test_headings_sort_by_the_number_and_by_the_keyboard(opened: Open) -> None:
    page, heard = opened()

    def column(n: int) -> list[float]:
        values = page.locator(f"#tubes tbody tr > *:nth-child({n})").evaluate_all(
            "all => all.map(e => e.dataset.v)"
        )
        return [float(v) for v in values if v != ""]

    mass = page.get_by_role("button", name="mass, g/m")
    mass.click()
    assert column(3) == sorted(column(3))
    page.keyboard.press("Enter")
    assert column(3) == sorted(column(3), reverse=True)
    assert page.locator("#tubes th[aria-sort]").get_attribute("aria-sort") == "descending"
    assert page.locator("#said").inner_text() == "Sorted by mass, g/m, falling."
    page.get_by_role("button", name="price").click()
    last = page.locator("#tubes tbody tr").last.inner_text()
    assert "–" in last, "an unknown price stands last"
    page.get_by_label("inch, lbf, lb").check()
    assert page.get_by_role("button", name="mass, lb/ft").count() == 1
    assert heard == []


@pytest.mark.parametrize("name", sorted(JOBS))
@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (1280, "dark"), (390, "light")])
def test_axe_finds_no_fault(opened: Open, name: str, width: int, scheme: str) -> None:
    page, _ = opened(name, width, color_scheme=scheme, bypass_csp=True)
    found = Axe().run(page)
    assert [v["id"] for v in found.response["violations"]] == []


@pytest.mark.parametrize("name", sorted(JOBS))
@pytest.mark.parametrize("width", [1440, 1024, 390, 320])
def test_nothing_runs_off_the_side(opened: Open, name: str, width: int) -> None:
    page, _ = opened(name, width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    slim = page.locator("svg.slim").first
    assert slim.is_visible() == (width <= 620)


def test_dark_paper_is_dark_on_screen_and_white_in_print(opened: Open) -> None:
    page, _ = opened(color_scheme="dark")
    colour = "getComputedStyle(document.querySelector('h1')).color"
    assert sum(map(int, page.evaluate(colour)[4:-1].split(","))) > 600
    page.emulate_media(media="print")
    assert sum(map(int, page.evaluate(colour)[4:-1].split(","))) < 200


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_it_prints_on_few_pages_without_its_switch(opened: Open, size: str) -> None:
    page, _ = opened()
    pages = page.pdf(format=size).count(b"/Type /Page\n")
    assert 2 <= pages <= 6
    page.emulate_media(media="print")
    assert page.locator("#tools").is_hidden()
    assert page.locator("svg.broad").first.is_visible()
