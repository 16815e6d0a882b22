"""The evidence page without a browser: working word, filters, order, points, memory."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import ipywidgets
import pytest

from tubecalc.app import proof, proof_words
from tubecalc.app.pages.evidence import LINES, Page
from tubecalc.checks import CHECKS
from tubecalc.evidence import memory, rows
from tubecalc.evidence.report import ordered


@pytest.fixture
def nowhere(tmp_path, monkeypatch):
    """A cache folder of its own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return tmp_path


@pytest.fixture
def page(nowhere):
    found = [replace(r) for r in rows("failure") + rows("experiments")]
    return Page(found)


def send(page, text, count=[0]):  # noqa: B006  (a counter, as the browser's)
    count[0] += 1
    page.bus.value = f"{count[0]}|{text}"


def picks(page):
    return re.findall(r'data-pick="([^"]+)"', page.table.value)


def test_it_says_that_it_works_before_it_knows_and_computes_when_a_browser_is_there(page):
    assert page.status.startswith("Working")
    assert page.table.value == ""
    send(page, "pick|EXP-W1")  # too early: nothing breaks
    assert page.table.value == ""
    send(page, "view|690")
    assert "computed in" in page.status
    assert 'width="690"' in page.plot.value
    assert page.lead.value.count("<b>") >= 1


def test_the_second_page_shows_at_once_and_can_compute_again(page, nowhere):
    send(page, "view|690")
    again = Page([replace(r) for r in page.rows])
    assert "last run" in again.status
    assert again.table.value == page.table.value
    again.again.click()
    assert "computed in" in again.status


def test_a_changed_code_remembers_nothing(page, nowhere, monkeypatch):
    send(page, "view|690")
    monkeypatch.setattr(memory, "fingerprint", lambda: "other")
    assert Page([replace(r) for r in page.rows]).status.startswith("Working")


@pytest.mark.parametrize("junk", ["", "[]", "{", '{"EXP-W1": "x"}', "[[1, 2]]", "null"])
def test_a_spoilt_memory_is_no_fault(page, nowhere, junk):
    path = memory.place()
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(junk, encoding="utf-8")
    found = [replace(r) for r in rows("failure")]
    assert memory.recall(found) == 0


def test_worst_stand_first_and_headings_sort(page):
    send(page, "view|690")
    shown = picks(page)
    assert shown == [r.id for r in ordered(page.rows)][:LINES]
    assert shown[0] == "EXP-T4"  # a lesson, three times off
    send(page, "sort|error")
    by_error = [abs(r.error) for r in page.picked() if r.error is not None]
    assert by_error == sorted(by_error, reverse=True)
    send(page, "sort|error")
    assert page.order == ("error", False)
    assert "worst first" not in page.table.value


def test_filters_narrow_the_table_the_counts_and_the_picture(page):
    send(page, "view|690")
    everything = page.plot.value
    page.filters["topic"].value = "failure"
    assert {r.topic for r in page.picked()} == {"failure"}
    assert page.plot.value != everything
    page.filters["verdict"].value = "agrees"
    page.filters["standing"].value = "COMPUTED"
    assert {(r.verdict, r.standing) for r in page.picked()} == {("agrees", "COMPUTED")}
    page.filters["verdict"].value = "OUTSIDE"
    assert "No value fits" in page.table.value
    assert "nothing to compare" in page.plot.value
    page.filters["verdict"].value = ""
    page.all.value = True
    assert len(picks(page)) == len(page.picked())


def test_a_point_is_named_and_chosen_and_its_row_told_in_full(page):
    send(page, "view|690")
    points = json.loads(
        re.search(r"data-points='([^']+)'", page.plot.value)[1].replace("&quot;", '"')
    )
    marks = proof.marks_of(page.picked())
    assert {p["k"]: len(p["x"]) for p in points} == {k: len(v) for k, v in marks.items() if v}
    send(page, "hover|agrees|0")
    row = marks["agrees"][0]
    assert 'data-of="agrees|0"' in page.tip.value
    send(page, "point|agrees|0")
    assert page.chosen == row.id
    for text in (row.id, row.file, "standing", "tolerance"):
        assert text in page.one.value
    send(page, "point|agrees|99999")
    send(page, "hover|nonsense|1")
    assert page.chosen == row.id


def test_the_picture_says_its_message_in_words(page):
    send(page, "view|690")
    said = re.search(r'aria-label="([^"]+)"', page.plot.value)[1]
    assert "within 1 %" in said
    assert "outside" in said


def test_foreign_text_is_escaped(nowhere):
    bad = replace(rows("failure")[0], quantity="<img onerror=1>", note="<b>", source="<i>")
    html = proof.table_html([bad], ("verdict", True), "", 5) + proof.one_html(bad)
    html += proof.trials_html([bad]) + proof.tip_html(bad, "a|0")
    assert "<img" not in html
    assert "<b>" not in html


def test_every_check_has_its_grade_error_and_range_on_the_page():
    html = proof_words.grades_html()
    for check in CHECKS.values():
        assert check.label in html
        for r in check.ranges:
            assert str(r).replace("<", "&lt;") in html


def test_widgets_do_not_pile_up(page):
    send(page, "view|690")
    before = len(ipywidgets.widgets.widget._instances)
    for n, topic in enumerate([t for _, t in page.filters["topic"].options] * 3):
        page.filters["topic"].value = topic
        send(page, f"view|{600 + 10 * n}")
    assert len(ipywidgets.widgets.widget._instances) == before
