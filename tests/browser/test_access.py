"""Every page for those who hear it, use keys only, enlarge it, or see few colours."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.share.test_page_file import JOB
from tubecalc import write_page

pytestmark = pytest.mark.browser
TOKEN = "let-me-in"
READY = {
    "start": "h1", "choose": ".tc-layer", "compare": ".tc-stack svg", "layup": ".tc-page svg",
    "bench": ".tc-uptests", "join": ".tc-verdict", "evidence": "tr[data-pick]",
}  # fmt: skip
NAMED = {
    "slider", "textbox", "combobox", "button", "checkbox", "image", "img", "link", "radio",
    "spinbutton", "progressbar", "table", "grid",
}  # fmt: skip
SHIFTS = (
    "window.tcShift = 0; new PerformanceObserver(l => { for (const e of l.getEntries())"
    " if (!e.hadRecentInput) window.tcShift += e.value })"
    ".observe({ type: 'layout-shift', buffered: true });"
)
Open = Callable[..., Any]


@pytest.fixture(scope="module")
def shown(browser: Any, address: str) -> Iterator[Open]:
    """Pages by name, each opened once."""
    pages: dict[str, Any] = {}

    def go(name: str, width: int = 1440) -> Any:
        if name not in pages:
            context = browser.new_context(
                viewport={"width": width, "height": 900}, bypass_csp=True, reduced_motion="reduce"
            )
            page = pages[name] = context.new_page()
            page.add_init_script(SHIFTS)
            page.goto(f"{address}/voila/render/{name}.ipynb?token={TOKEN}")
            page.wait_for_selector(".tc-page[role=main]", timeout=120_000)
            page.wait_for_selector(READY[name], timeout=120_000)
            page.wait_for_timeout(1800)  # the answer is known to the reader of answers
        page = pages[name]
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme="light")
        return page

    yield go
    for page in pages.values():
        page.context.close()


def faults(page: Any) -> list[str]:
    """What Chromium's own tree for screen readers lacks."""
    client = page.context.new_cdp_session(page)
    nodes = [
        (str(n["role"]["value"]), str(n.get("name", {}).get("value", "")).strip(), n)
        for n in client.send("Accessibility.getFullAXTree")["nodes"]
        if not n.get("ignored") and "role" in n
    ]
    client.detach()
    mains = sum(role == "main" for role, _, _ in nodes)
    found = [] if mains == 1 else [f"{mains} main parts"]
    found += [f"{role} without a name" for role, name, _ in nodes if role in NAMED and not name]
    heads = [
        next(int(p["value"]["value"]) for p in n["properties"] if p["name"] == "level")
        for role, _, n in nodes
        if role == "heading"
    ]
    found += [] if heads.count(1) == 1 else [f"{heads.count(1)} first headings"]
    return found + [f"h{a} before h{b}" for a, b in pairwise(sorted_by_place(page)) if b > a + 1]


def sorted_by_place(page: Any) -> list[int]:
    """Levels of the headings in the order they stand on the page."""
    return list(
        page.evaluate(
            "() => [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')]"
            ".filter(h => h.getClientRects().length).map(h => Number(h.tagName[1]))"
        )
    )


@pytest.mark.parametrize("name", READY)
def test_a_page_has_one_main_part_names_and_ordered_headings(shown: Open, name: str) -> None:
    page = shown(name)
    assert faults(page) == []
    assert page.evaluate("document.documentElement.lang") == "en"
    assert page.title().endswith(" · tubecalc")


def test_the_search_for_faults_finds_them(shown: Open) -> None:
    page = shown("start")
    page.evaluate(
        "document.querySelector('.tc-page').insertAdjacentHTML('beforeend', '<div id=wrong>"
        '<main></main><button></button><input><h1>x</h1><h4>x</h4><img src="data:,"></div>\')'
    )
    found = faults(page)
    page.evaluate("document.getElementById('wrong').remove()")
    for fault in ("2 main parts", "button without a name", "textbox without a name",
                  "2 first headings", "h1 before h4"):  # fmt: skip
        assert fault in found


def test_the_page_for_the_customer_has_them_too(browser: Any, tmp_path: Path) -> None:
    path = write_page(JOB, tmp_path / "offer.html")
    context = browser.new_context(viewport={"width": 720, "height": 900}, offline=True)
    page = context.new_page()
    page.goto(path.as_uri())
    assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 720
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", READY)
def test_axe_finds_no_fault(shown: Open, name: str, scheme: str) -> None:
    page = shown(name)
    page.emulate_media(color_scheme=scheme)
    found = Axe().run(page).response["violations"]
    assert [(v["id"], v["nodes"][0]["html"][:120]) for v in found] == []


@pytest.mark.parametrize("name", READY)
def test_enlarged_twice_nothing_runs_off_the_side(shown: Open, name: str) -> None:
    """1440 px at 200 % are 720 px of the page."""
    page = shown(name, 720)
    page.wait_for_timeout(300)
    assert page.evaluate("document.documentElement.scrollWidth") <= 720


@pytest.mark.parametrize("name", READY)
def test_nothing_jumps_while_a_page_opens(shown: Open, name: str) -> None:
    """0.1 is where a shift counts as disturbing (Web Vitals, cumulative layout shift)."""
    page = shown(name)
    assert page.evaluate("window.tcShift") < 0.1


def test_sliders_say_what_they_set_and_its_unit(shown: Open) -> None:
    page = shown("choose")
    said = page.evaluate(
        "() => [...document.querySelectorAll('[role=slider]')].map(e => [e.ariaLabel,"
        " e.getAttribute('aria-valuetext')])"
    )
    assert [name for name, _ in said] == [
        "Outside diameter, from", "Outside diameter, to", "Wall, from", "Wall, to"
    ]  # fmt: skip
    typed = [page.get_by_label(f"{part}, {end}").input_value()
             for part in ("Outside diameter", "Wall") for end in ("least", "most")]  # fmt: skip
    assert [value for _, value in said] == typed


def test_every_stop_of_the_tab_key_is_seen(shown: Open) -> None:
    """Every stop has a ring, is on the page, and comes once; the last leads out again."""
    page = shown("choose")
    page.evaluate("document.activeElement.blur(); window.scrollTo(0, 0)")
    at = (
        "() => { const e = document.activeElement; if (e === document.body) return null;"
        " const s = getComputedStyle(e), b = e.getBoundingClientRect(); e.dataset.stop ??="
        " String(Math.random());"
        " return [e.dataset.stop, s.outlineStyle, parseFloat(s.outlineWidth),"
        " Math.min(b.width, b.height), e.className + ' ' + (e.ariaLabel || e.textContent)] }"
    )
    stops: list[list[Any]] = []
    for _ in range(200):
        page.keyboard.press("Tab")
        stop = page.evaluate(at)
        if stop is None or any(stop[0] == known[0] for known in stops):
            break
        stops.append(stop)
    else:
        pytest.fail("the Tab key never comes round")
    assert [s[4] for s in stops if s[1] == "none" or s[2] < 1 or s[3] < 4] == []
    words = " ".join(s[4] for s in stops)
    assert stops[0][4].endswith("skip to the page")
    for needed in ("Outside diameter, from", "save the job", "customer page", "tc-stack"):
        assert needed in words


def test_the_first_stop_skips_to_the_page(shown: Open) -> None:
    page = shown("choose")
    page.evaluate("document.querySelector('.tc-skip').focus()")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "tc-page"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('nav')") is None


def test_the_answer_is_read_out_and_a_mistake_is_told_with_its_field(shown: Open) -> None:
    """By keys only: a reach no tube can bear, then a word that is no length, then back."""
    page = shown("choose")
    field = page.get_by_label("reach", exact=True).first
    before = field.input_value()

    def write(words: str, heard: str) -> None:
        field.focus()
        page.keyboard.press("Control+A")
        page.keyboard.type(words)
        page.keyboard.press("Enter")
        page.wait_for_function(
            "w => document.getElementById('tc-live').textContent.includes(w)", arg=heard,
            timeout=20_000,
        )  # fmt: skip

    write("9 m", "Fails.")
    write("far", "Mend the marked field")
    assert field.get_attribute("aria-invalid") == "true"
    told = page.locator(f"#{field.get_attribute('aria-describedby')}").inner_text()
    assert "far" in told
    stale = Axe().run(page).response["violations"]
    assert [v["id"] for v in stale] == [], "greyed figures can still be read"
    write(before, "Passes.")
    assert field.get_attribute("aria-describedby") is None


def test_a_switch_says_whether_it_is_on(shown: Open) -> None:
    page = shown("choose")
    chip = page.get_by_role("button", name="is welded")
    assert chip.get_attribute("aria-pressed") == "false"
    chip.focus()
    page.keyboard.press("Space")
    page.locator("button[aria-pressed=true]", has_text="is welded").wait_for(timeout=15_000)
    page.keyboard.press("Space")
    page.locator("button[aria-pressed=false]", has_text="is welded").wait_for(timeout=15_000)
