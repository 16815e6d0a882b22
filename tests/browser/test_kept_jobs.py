"""What was entered outlives a reload, a dead calculator and a change of page."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

pytestmark = [pytest.mark.browser, pytest.mark.slow]
TOKEN = "let-me-in"


def field(one: Any, label: str) -> Any:
    return one.page.get_by_label(label, exact=True).first


def wait_for(one: Any, label: str, text: str) -> None:
    one.page.wait_for_function(
        "([label, text]) => [...document.querySelectorAll('.tc input')].some(e =>"
        " e.labels && e.labels[0] && e.labels[0].textContent.trim() === label && e.value === text)",
        arg=[label, text],
        timeout=60_000,
    )


def kept(one: Any) -> str:
    return str(one.page.evaluate("JSON.parse(sessionStorage['tubecalc:job'] || '{}').text || ''"))


def reload(one: Any) -> None:
    one.page.reload()
    one.page.wait_for_selector(".tc-layer", timeout=120_000)


def type_in(one: Any, label: str, text: str) -> None:
    box = field(one, label)
    box.fill(text)
    box.press("Enter")


def test_a_reload_loses_nothing(visit, address: str) -> None:
    """A value, one that cannot be read, one not yet finished, and a start afresh."""
    one = visit()
    assert one.page.locator(".tc-keepnote").inner_text().startswith("Kept in this browser")
    used = one.html(".tc-used")
    type_in(one, "reach", "4 ft")
    one.changed(".tc-used", used)
    one.page.wait_for_function("sessionStorage['tubecalc:job'].includes('4 ft')")
    reload(one)
    wait_for(one, "reach", "4 ft")
    one.page.wait_for_selector("text=Taken up again from this browser")
    type_in(one, "Outside diameter, most", "35,5 mm")  # a decimal comma: refused, and kept
    one.page.locator(".tc-range .tc-bad, .tc-ends .tc-bad").first.wait_for()
    field(one, "load").fill("77 N")  # no Enter
    reload(one)
    wait_for(one, "reach", "4 ft")
    wait_for(one, "Outside diameter, most", "35,5 mm")
    wait_for(one, "load", "77 N")
    one.page.get_by_role("button", name="start afresh").click()
    one.page.wait_for_selector("text=This browser kept", timeout=120_000)
    wait_for(one, "reach", "1.2 m")
    assert one.errors == []
    assert one.foreign == []

    # another tab of this browser is offered it, and not forced to take it
    other = one.context.new_page()
    other.goto(f"{address}/voila/render/choose.ipynb?token={TOKEN}")
    other.wait_for_selector("text=This browser kept", timeout=120_000)
    assert other.get_by_label("reach", exact=True).first.input_value() == "1.2 m"
    other.get_by_role("button", name="take it up").click()
    other.wait_for_selector("text=Taken up again")
    assert other.get_by_label("reach", exact=True).first.input_value() == "4 ft"


def test_a_dead_calculator_loses_nothing(visit, address: str) -> None:
    one = visit()
    used = one.html(".tc-used")
    type_in(one, "reach", "0.9 m")
    one.changed(".tc-used", used)
    one.page.wait_for_function("sessionStorage['tubecalc:job'].includes('0.9 m')")
    kernel = one.page.evaluate(
        "JSON.parse(document.getElementById('jupyter-config-data').textContent).kernelId"
    )
    one.page.evaluate(
        "id => fetch('/api/kernels/' + id, {method: 'DELETE', headers: {'X-XSRFToken':"
        " (document.cookie.match(/_xsrf=([^;]+)/) || [])[1] || ''}})",
        kernel,
    )
    type_in(one, "load", "83 N")  # nobody listens any more
    one.page.locator("#tc-banner").wait_for(timeout=40_000)
    assert "kept in this browser" in one.page.inner_text("#tc-banner")
    one.page.click("#tc-banner a")
    one.page.wait_for_selector(".tc-layer", timeout=120_000)
    wait_for(one, "reach", "0.9 m")
    wait_for(one, "load", "83 N")
    one.page.wait_for_function("document.querySelector('.tc-used').textContent.includes('83')")


def test_a_page_carries_its_job_to_the_next_and_a_file_brings_it_back(
    visit, tmp_path: Path
) -> None:
    one = visit()
    used = one.html(".tc-used")
    type_in(one, "reach", "1.5 m")
    one.changed(".tc-used", used)
    one.page.get_by_role("button", name="compare this tube").click()
    one.page.wait_for_selector("text=1 tube in the comparison")
    one.page.wait_for_function("sessionStorage['tubecalc:job'].includes('[[candidate]]')")
    with one.page.expect_download(timeout=60_000) as got:
        one.page.get_by_role("button", name="save the job").click()
    got.value.save_as(tmp_path / "job.toml")
    assert got.value.suggested_filename == "tubecalc-sampling-boom.job.toml"
    one.page.click("nav a:has-text('tubecalc')")
    one.page.wait_for_selector("text=Carried over from page choose", timeout=120_000)
    one.page.wait_for_selector('text=Job "Sampling boom": 1 case, 1 tube.')
    one.page.click("nav >> text=choose")
    one.page.wait_for_selector(".tc-layer", timeout=120_000)
    wait_for(one, "reach", "1.5 m")
    one.page.get_by_role("button", name="start afresh").click()
    one.page.wait_for_selector("text=This browser kept", timeout=120_000)
    wait_for(one, "reach", "1.2 m")
    with one.page.expect_file_chooser() as chooser:
        one.page.click(".tc-upneed")
    chooser.value.set_files(tmp_path / "job.toml")
    wait_for(one, "reach", "1.5 m")
    one.page.wait_for_selector("text=1 tube in the comparison")
    one.page.wait_for_function("sessionStorage['tubecalc:job'].includes('1.5 m')")
    assert Path(tmp_path / "job.toml").read_text(encoding="utf-8") == kept(one)
    assert one.errors == []


def test_a_link_wins_over_what_was_kept_and_a_reload_over_the_link(visit, address: str) -> None:
    one = visit()
    used = one.html(".tc-used")
    type_in(one, "reach", "1.1 m")
    one.changed(".tc-used", used)
    one.page.wait_for_function("sessionStorage['tubecalc:job'].includes('1.1 m')")
    one.page.goto(f"{address}/voila/render/choose.ipynb?token={TOKEN}&job=winch-shaft")
    one.page.wait_for_selector(".tc-layer", timeout=120_000)
    one.page.wait_for_function("document.querySelector('.tc-head').textContent.includes('inch')")
    used = one.html(".tc-used")
    type_in(one, "torque", "31 N m")
    one.changed(".tc-used", used)
    one.page.wait_for_function("sessionStorage['tubecalc:job'].includes('31 N m')")
    reload(one)
    wait_for(one, "torque", "31 N m")
    shelf = json.loads(one.page.evaluate("localStorage['tubecalc:kept']"))
    assert any("1.1 m" in entry["text"] for entry in shelf)
