"""Page `join` in Chromium: answers follow the fields, the slider drives, joints travel, phones."""

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
        page.goto(f"{address}/voila/render/join.ipynb?token={TOKEN}")
        page.wait_for_selector(".tc-joinpic svg:visible", timeout=120_000)
        return page, wrong

    yield go
    for context in made:
        context.close()


def room(page: Any, words: str) -> None:
    page.get_by_role("button", name=words, exact=True).first.click()


def answer(page: Any, words: str) -> None:
    page.wait_for_selector(f".tc-joinroom:not(.tc-gone) .tc-verdict >> text={words}",
                           timeout=15_000)  # fmt: skip


def test_equal_sizes_bind_smaller_ones_slide_and_a_wrong_size_greys(opened) -> None:
    page, wrong = opened()
    answer(page, "Will bind.")
    size = page.get_by_label("its outside, or its bore")
    size.fill("25.4 mm")
    size.press("Enter")
    answer(page, "Slides")
    size.fill("27 mm")
    size.press("Enter")
    page.wait_for_selector(".tc-joinroom .tc-bad >> text=larger than the bore")
    page.wait_for_selector(".tc-joinroom .tc-stale .tc-verdict")
    assert size.input_value() == "27 mm"
    size.fill("25.4 mm")
    size.press("Enter")
    page.wait_for_function("() => !document.querySelector('.tc-joinroom .tc-stale')")
    assert wrong == []


def test_the_slider_drives_the_bond_and_the_joint_stands_on_compare(opened) -> None:
    page, wrong = opened()
    room(page, "Will the bond hold")
    answer(page, "Too hot for the adhesive.")
    page.locator(".tc-joinroom:not(.tc-gone)").get_by_label("adhesive").first.select_option(
        label="toughened epoxy paste, cured warm"
    )
    answer(page, "Holds.")
    before = page.locator(".tc-joinslide .widget-slider:not(.tc-gone) .noUi-handle").bounding_box()
    assert before is not None
    page.locator(".tc-joinslide .widget-slider:not(.tc-gone) .noUi-handle").focus()
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.tc-joinroom:not(.tc-gone) input')]"
        ".some((x) => /^3[1-9]|^[4-9]/.test(x.value) && x.value.endsWith(' mm'))", timeout=15_000,
    )  # fmt: skip
    room(page, "put this joint into the job")
    page.wait_for_selector(".tc-joinjob >> text=bonded joint")
    page.get_by_role("link", name="compare", exact=True).click()
    page.wait_for_selector(".tc-cmp", timeout=120_000)
    page.wait_for_selector(".tc-cmp >> text=bonded joint", timeout=30_000)
    assert wrong == []


@pytest.mark.parametrize(("width", "dark"), [(390, False), (1024, True)])
def test_every_room_fits_the_screen(opened, width, dark) -> None:
    page, wrong = opened(width, dark)
    rooms = {"Telescoping pole": 1, "Will the bond hold": 2, "Bolts, threads, clamps": 2,
             "Which metal may touch it": 1, "Heat": 3, "Will it slide": 1}  # fmt: skip
    for words, pictures in rooms.items():
        room(page, words)
        page.wait_for_selector(".tc-joinroom:not(.tc-gone) .tc-verdict", timeout=15_000)
        wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert wide <= 0, words
        boxes = page.locator(".tc-joinroom:not(.tc-gone) .tc-joinpic")
        page.wait_for_function(
            "n => document.querySelectorAll('.tc-joinroom:not(.tc-gone) .tc-joinpic').length === n",
            arg=pictures, timeout=15_000,
        )  # fmt: skip
        which = "slim" if width < 700 else "broad"
        for box in boxes.all():  # a drawing of its own on a phone, not scrolled, heard once
            assert box.locator(f"svg.{which}").is_visible(), words
            assert box.evaluate("e => e.scrollWidth - e.clientWidth") <= 0, words
            assert box.get_by_role("img").count() == 1, words
    room(page, "In the workshop")
    page.wait_for_selector("text=What harms people, first")
    assert wrong == []


def test_a_pole_of_an_own_stock_tube_goes_into_the_job_under_its_name(opened, tmp_path) -> None:
    page, wrong = opened()
    path = tmp_path / "mine.csv"
    rows = "".join(f"T{n},6063-T6,{20 + n},{16 + n}\n" for n in range(1, 9))
    path.write_text(f"id,construction,od_mm,id_mm\n{rows}", encoding="utf-8")
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="own stock list").click()
    chooser.value.set_files(path)
    page.wait_for_selector("text=mine.csv: 8 tubes to choose from above", timeout=15_000)
    menu = page.locator(".tc-jointube select").first
    menu.select_option(label="own stock: T8, 6063-T6 28 × 24 mm")
    page.wait_for_selector(".tc-used >> text=28 × 24 mm", timeout=15_000)
    room(page, "Telescoping pole")
    answer(page, "may bind")
    name = page.locator(".tc-joinroom:not(.tc-gone) .tc-joinput input")
    name.fill("mast")
    name.press("Enter")
    room(page, "put this pole into the job")
    page.wait_for_selector(".tc-joinjob td >> text=mast", timeout=15_000)
    assert wrong == []


@pytest.mark.parametrize(("width", "dark"), [(1440, False), (1024, True)])
def test_pictures_are_seen_whole_and_have_words(opened, width, dark) -> None:
    page, wrong = opened(width, dark)
    for words, count in (("Bolts, threads, clamps", 2), ("Which metal may touch it", 1),
                         ("Heat", 3)):  # fmt: skip
        room(page, words)
        seen = ".tc-joinroom:not(.tc-gone) .tc-joinpic"
        page.wait_for_selector(f"{seen} svg", timeout=15_000)
        page.wait_for_function(
            "([css, n]) => document.querySelectorAll(css).length === n", arg=[seen, count],
            timeout=15_000,
        )  # fmt: skip
        cut = page.eval_on_selector_all(seen, "e => e.map((x) => x.scrollWidth - x.clientWidth)")
        assert cut == [0] * count, words
        told = page.eval_on_selector_all(
            f"{seen} svg", "e => e.map((x) => x.getAttribute('aria-label').length)"
        )
        assert min(told) > 40
    assert wrong == []
