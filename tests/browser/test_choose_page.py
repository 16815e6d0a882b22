"""Page `choose` in Chromium, as a visitor meets it."""

from __future__ import annotations

import time
import urllib.error
import urllib.request
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

pytestmark = [pytest.mark.browser, pytest.mark.slow]
TOKEN = "let-me-in"
LAYER, FRAME = ".tc-layerbox .widget-html-content", ".tc-stack > .widget-html:first-child"


def status(url: str) -> int:
    class NoRedirect(urllib.request.HTTPRedirectHandler):
        def redirect_request(self, *_: Any) -> None:
            return None

    try:
        return int(urllib.request.build_opener(NoRedirect).open(url, timeout=20).status)
    except urllib.error.HTTPError as error:
        return int(error.code)


def test_page_opens_clean_and_asks_no_other_host(visit) -> None:
    one = visit()
    assert one.errors == []
    assert one.foreign == []
    assert "Passes." in one.page.inner_text(".tc-verdict")
    assert one.page.locator("tr[data-pick]").count() >= 5


def test_front_door_leads_to_the_pages(browser, address: str) -> None:
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{address}/?token={TOKEN}")
    page.wait_for_selector(".tc-list", timeout=120_000)
    assert page.url.split("?")[0].endswith("/voila/render/start.ipynb")
    page.click("text=Can I believe this?")
    page.wait_for_selector("table.tc-proof", timeout=120_000)
    page.click("nav >> text=choose")
    page.wait_for_selector(".tc-layer", timeout=120_000)
    context.close()


def test_strangers_and_files_are_refused(address: str) -> None:
    assert status(f"{address}/voila/render/choose.ipynb") == 302  # to the login page
    for name in ("choose.ipynb", "start.ipynb", "x.png", "../pyproject.toml"):
        assert status(f"{address}/voila/files/{name}?token={TOKEN}") in (403, 404)


def test_slider_key_redraws_the_layer_and_leaves_the_frame(visit) -> None:
    one = visit()
    layer, frame = one.html(LAYER), one.html(FRAME)
    handle = one.page.locator(".noUi-handle").nth(1)
    handle.focus()
    one.page.keyboard.press("ArrowLeft")
    one.changed(LAYER, layer)
    assert one.html(FRAME) == frame
    one.page.wait_for_function(
        "() => [...document.querySelectorAll('.tc-ends input')].some(e => e.value === '39.5 mm')"
    )


def test_drag_changes_the_chart(visit) -> None:
    one = visit()
    layer = one.html(LAYER)
    box = one.page.locator(".noUi-handle").nth(1).bounding_box()
    one.page.mouse.move(box["x"] + 8, box["y"] + 8)
    one.page.mouse.down()
    one.page.mouse.move(box["x"] - 20, box["y"] + 8, steps=12)
    one.page.mouse.up()
    one.changed(LAYER, layer)
    one.page.wait_for_timeout(800)
    typed = float(one.page.get_by_label("Outside diameter, most").input_value().split()[0])
    assert 20 < typed < 39


def test_wrong_entry_keeps_what_was_typed_and_greys_the_last_result(visit) -> None:
    one = visit()
    layer = one.html(LAYER)
    field = one.page.get_by_label("reach", exact=True)
    field.fill("1,2 m")
    field.press("Enter")
    message = one.page.locator(".tc-sentence .tc-bad")
    message.wait_for()
    assert "decimal comma" in message.inner_text()
    assert field.input_value() == "1,2 m"
    assert field.get_attribute("aria-invalid") == "true"
    assert one.html(LAYER) == layer
    look = "e => getComputedStyle(e).filter + ' ' + getComputedStyle(e, '::before').borderLeftStyle"
    assert one.page.eval_on_selector(".tc-stack", look) == "grayscale(1) dotted"
    field.fill("4 ft")
    field.press("Enter")
    one.changed(LAYER, layer)
    assert "1\u202f219 mm" in one.page.inner_text(".tc-used")
    assert one.page.locator(".tc-bad").count() == 0


def test_keyboard_walks_the_shortlist(visit) -> None:
    one = visit()
    one.page.locator("tr[data-pick]").first.focus()
    names = [one.page.inner_text(".tc-answer h3")]
    for _ in range(3):
        head = one.html(".tc-answer h3")
        one.page.keyboard.press("ArrowDown")
        one.changed(".tc-answer h3", head)
        names.append(one.page.inner_text(".tc-answer h3"))
    assert len(set(names)) == 4
    assert one.page.evaluate("document.activeElement.getAttribute('aria-selected')") == "true"


def test_sorting_by_a_heading(visit) -> None:
    one = visit()
    table = one.html(".tc-table")
    one.page.click('[data-sort="mass_kg"]')
    one.changed(".tc-table", table)
    assert one.page.locator('th[aria-sort="ascending"]').inner_text().startswith("job total")


def test_pointer_names_and_picks_a_point(visit) -> None:
    one = visit()
    box = one.page.locator(".tc-layer").bounding_box()
    spot = one.page.evaluate(
        "() => { const s = JSON.parse(document.querySelector('.tc-layer').dataset.points)"
        ".find(p => p.k === '6063-T6'); return [s.x[5], s.y[5]]; }"
    )
    scale = box["width"] / one.page.evaluate(
        "document.querySelector('.tc-layer').viewBox.baseVal.width"
    )
    x, y = box["x"] + spot[0] * scale, box["y"] + spot[1] * scale
    one.page.mouse.move(x, y)
    tip = one.page.locator("#tc-tip")
    tip.wait_for()
    name, size, *_ = tip.inner_text().split("\n")
    head = one.html(".tc-answer h3")
    one.page.mouse.click(x, y)
    one.changed(".tc-answer h3", head)
    head = one.page.inner_text(".tc-answer h3").lower()
    assert name.lower() in head
    assert size.split(",")[0].removesuffix(" mm") in head


@pytest.mark.parametrize("width", [1440, 1024, 390])
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_layout(visit, width: int, dark: bool, tmp_path: Path) -> None:
    """Nothing runs over the edge, columns stack, no label overlaps another, targets are big."""
    one = visit(width, dark=dark)
    page = one.page
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    place = {
        c: page.locator(f".tc-{c}").bounding_box()
        for c in ("sentence", "stack", "table", "verdict")
    }
    assert place["sentence"]["y"] < place["stack"]["y"] < place["table"]["y"]
    if width == 390:
        assert place["verdict"]["y"] < place["stack"]["y"]
        assert not page.locator(".tc-controls").is_visible()
        page.get_by_role("button", name="sizes, constructions, stock list").click()
        page.locator(".tc-controls").wait_for()
    else:
        assert place["verdict"]["x"] > place["stack"]["x"] + 200
    boxes = page.evaluate(
        "() => [...document.querySelectorAll('.tc-layer text')].map(e => {"
        "const b = e.getBoundingClientRect();"
        "return [b.left, b.top, b.right, b.bottom, e.textContent]})"
    )
    assert len(boxes) >= 6
    for a, b in combinations(boxes, 2):
        apart = a[2] <= b[0] + 1 or b[2] <= a[0] + 1 or a[3] <= b[1] + 4 or b[3] <= a[1] + 4
        assert apart, (a[4], b[4])
    assert max(b[2] for b in boxes) <= width + 1
    paper = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert paper == ("rgb(23, 25, 30)" if dark else "rgb(252, 251, 248)")
    page.screenshot(path=tmp_path / "page.png", full_page=True)
    assert (tmp_path / "page.png").stat().st_size > 20_000


def test_every_control_has_a_name(visit) -> None:
    one = visit()
    nameless = one.page.evaluate(
        "() => [...document.querySelectorAll('.tc input, .tc select, .tc button')].filter(e =>"
        " e.offsetParent && !(e.labels && e.labels.length && e.labels[0].textContent.trim())"
        " && !e.textContent.trim() && !e.getAttribute('aria-label') && !e.title"
        " && !e.closest('.tc-bus') && e.type !== 'file').map(e => e.outerHTML.slice(0, 120))"
    )
    assert nameless == []


def test_page_does_not_jump_while_a_slider_moves(visit) -> None:
    one = visit()

    def tops() -> list[int]:
        return [round(one.page.locator(c).bounding_box()["y"]) for c in
                (".tc-stack", ".tc-table", ".tc-verdict", ".tc-downloads")]  # fmt: skip

    before, layer = tops(), one.html(LAYER)
    one.page.locator(".noUi-handle").nth(1).focus()
    one.page.keyboard.press("ArrowLeft")
    one.changed(LAYER, layer)
    assert tops() == before


def test_closing_the_page_ends_its_kernel(visit, address: str) -> None:
    one = visit()
    kernel = one.page.evaluate(
        "JSON.parse(document.getElementById('jupyter-config-data').textContent).kernelId"
    )
    url = f"{address}/api/kernels/{kernel}?token={TOKEN}"
    assert status(url) == 200
    one.page.close(run_before_unload=True)
    for _ in range(60):
        if status(url) == 404:
            return
        time.sleep(0.5)
    pytest.fail("the kernel outlived its page")


def test_a_lost_kernel_is_said(visit) -> None:
    one = visit()
    one.page.route("**/api/kernels/*", lambda route: route.fulfill(status=404))
    banner = one.page.locator("#tc-banner")
    banner.wait_for(timeout=20_000)
    assert "lost its calculator" in banner.inner_text()


def test_link_opens_the_same_choice_again(visit) -> None:
    one = visit(query="&job=winch-shaft&units=inch&od=20-30mm")
    link = one.page.get_by_role("link", name="link to this").get_attribute("href")
    again = visit(query="&" + link.split("?", 1)[1])
    for part in (".tc-used", ".tc-answer h3", ".tc-table"):
        assert again.page.inner_text(part) == one.page.inner_text(part)


def test_stock_list_upload(visit) -> None:
    one = visit()
    layer = one.html(LAYER)
    with one.page.expect_file_chooser() as chooser:
        one.page.locator(".tc-upstock").click()
    chooser.value.set_files(
        {
            "name": "mine.csv",
            "mimeType": "text/csv",
            "buffer": b"id,construction,od_mm,id_mm\nA1,6063-T6,38,34\nA2,6061-T6,40,36\n",
        }
    )
    one.changed(LAYER, layer)
    one.page.locator(".tc-status >> text=2 tubes read").wait_for()
    assert "A1" in one.page.inner_text(".tc-table")
