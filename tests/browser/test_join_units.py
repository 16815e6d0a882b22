"""Units in Chromium: the slider of a bond bends no typed value, the customer page turns whole."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import tubecalc as tc
from tubecalc.job import Candidate, Job
from tubecalc.joining.job_joints import with_joint
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.share.page import write_page

pytestmark = [pytest.mark.browser, pytest.mark.slow]
TOKEN = "let-me-in"
METRIC = re.compile(r"\d[\d.\u202f]*[ \u00a0](?:mm|N|kN|N\u00a0?m|MPa|°C|kg)(?![\w/])")
WRAP = Candidate("roll-wrapped-woven", 0.03, 0.026)


def test_an_overlap_in_millimetres_stays_as_typed_when_the_page_turns_to_inches(
    browser: Any, address: str
) -> None:
    page = browser.new_page()
    page.goto(f"{address}/voila/render/join.ipynb?token={TOKEN}")
    page.wait_for_selector(".tc-joinpic svg", timeout=120_000)
    page.get_by_role("button", name="Will the bond hold", exact=True).first.click()
    page.wait_for_selector(".tc-joinslide .widget-slider:not(.tc-gone) .noUi-handle")
    shown = page.locator(".tc-joinroom:not(.tc-gone)")
    typed = shown.get_by_label("overlap", exact=True).first
    typed.fill("30.5 mm")
    typed.press("Enter")
    for words, unit, stress in (
        ("inch, pound", "in", "ksi"), ("mm, N, g", "mm", "MPa"), ("inch, pound", "in", "ksi")
    ):  # fmt: skip
        page.get_by_label("units").first.select_option(label=words)
        page.wait_for_selector(
            f".tc-joinslide .widget-slider:not(.tc-gone) >> text=overlap, {unit}"
        )
        page.wait_for_selector(f".tc-joinroom:not(.tc-gone) svg >> text=shear stress, {stress}")
        page.wait_for_timeout(1500)
        assert shown.get_by_label("overlap", exact=True).first.input_value() == "30.5 mm"
    page.close()


@pytest.mark.parametrize("width", [1440, 390])
def test_the_customer_page_turns_its_joints_and_cuts_nothing_off(
    browser: Any, tmp_path: Path, width: int
) -> None:
    job = Job(tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "1 kN"\nspan = "0.5 m"'), (WRAP,))
    bond = {"insert": "6061-T6", "insert_wall": "3 mm", "overlap": "30 mm", "axial": "60 kN"}
    bolt = {"hole": "5 mm", "load": "9 kN", "edge_distance": "15 mm"}
    for kind, given in (("bond", bond), ("bolt", bolt)):
        job = with_joint(job, WRAP, JointSpec(kind, given=given))
    write_page(job, tmp_path / "page.html", date="2026-11-25")
    page = browser.new_page(viewport={"width": width, "height": 900})
    page.goto((tmp_path / "page.html").as_uri())
    assert "a 5 mm bolt through both walls" in page.inner_text("body").replace("\u00a0", " ")
    page.get_by_text("inch, lbf, lb").click()
    text = page.inner_text("body")
    assert "a 0.197 in bolt through both walls" in text.replace("\u00a0", " ")
    assert not METRIC.search(text)
    over = "e => e.closest('.scroll').scrollWidth - e.closest('.scroll').clientWidth"
    assert page.locator("#checks").evaluate(over) <= 0
    page.get_by_text("mm, N, kg").click()
    assert "a 5 mm bolt through both walls" in page.inner_text("body").replace("\u00a0", " ")
    page.close()
