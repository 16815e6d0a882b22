"""Room of heat on page `join`: heat and growth enter the job, open again, and are refused."""

from __future__ import annotations

import re
from dataclasses import replace
from html import unescape
from typing import Any

import pytest

import tubecalc as tc
from tubecalc.app.join_reopen import can_reopen, reopened
from tubecalc.app.outgoing import Paper, write
from tubecalc.app.pages import join
from tubecalc.job import Job
from tubecalc.joining.heat_judge import judged_growth
from tubecalc.joining.job_joints import entries, joint_rows

HEAT, GROWTH = "put this heat into the job", "put this growth into the job"
TYPED = {"heat.by": "typed", "heat.at": "41 degC", "heat.glass": "68 degC", "heat.own": "120 degC",
         "heat.insert": "6061-T6", "heat.finish": "clear-coat", "heat.wet": "yes"}  # fmt: skip
SUNNY = {"heat.by": "sun", "heat.air": "30 degC", "heat.wind": "2 m/s",
         "heat.surface": "white-paint", "heat.glue": "epoxy-tough"}  # fmt: skip
GROWS = {"heat.length": "800 mm", "heat.rise": "-30 K", "heat.other": "304",
         "growth.part": "-100 mm", "growth.allowed": "0.05 mm", "growth.name": "arm"}  # fmt: skip


@pytest.fixture
def page() -> join.Page:
    made = join.open_page("")
    made.sections.value = "heat"
    return made


def fill(page: join.Page, texts: dict[str, str]) -> None:
    for path, text in texts.items():
        page.session.edit(path, text)


def click(page: join.Page, words: str) -> None:
    walk = _walk(page.rooms["heat"].box)
    next(w for w in walk if getattr(w, "description", "") == words).click()


def plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def _walk(widget: Any) -> Any:
    yield widget
    for child in getattr(widget, "children", ()):
        yield from _walk(child)


@pytest.mark.parametrize(
    ("texts", "words", "kind"),
    [(TYPED, HEAT, "heat"), (SUNNY, HEAT, "heat"), (GROWS, GROWTH, "growth"),
     ({"heat.glue": "", "heat.name": "bare"}, HEAT, "heat"), ({}, GROWTH, "growth")],
)  # fmt: skip
def test_it_enters_the_job_and_opens_again_as_it_was(page, texts, words, kind) -> None:
    fill(page, texts)
    click(page, words)
    assert page.session.status.startswith("The joint is in the job now")
    job = Job.from_toml(page.session.choice.job.to_toml())
    ((_, spec),) = entries(job)
    assert spec.kind == kind
    assert can_reopen(spec)
    other = join.open_page("")
    other.session.change(job=job)
    fill(other, {"heat.finish": "powder", "heat.wet": "yes", "heat.glass": "99 degC",
                 "heat.surface": "black-paint", "growth.allowed": "7 mm"})  # fmt: skip
    other.session.choice = reopened(other.session.choice, 0)
    assert other.session.choice.section == "heat"
    assert other.session.problems == {}
    for path, text in texts.items():
        assert other.session.choice.get(path) == text, path
    click(other, words)
    assert entries(other.session.choice.job) == entries(job)


def test_opening_the_heat_leaves_the_growth_as_typed(page) -> None:
    click(page, HEAT)
    fill(page, GROWS)
    page.session.choice = reopened(page.session.choice, 0)
    assert all(page.session.choice.get(k) == v for k, v in GROWS.items())


def test_growth_is_judged_in_the_room_as_in_the_job(page) -> None:
    for allowed, word, passes in (("", "It grows.", None), ("0.001 mm", "Grows too far.", False),
                                  ("5 mm", "Grows no more than allowed.", True)):  # fmt: skip
        fill(page, {**GROWS, "growth.allowed": allowed})
        click(page, GROWTH)
        (row,) = joint_rows(page.session.choice.job)
        assert row.passes is passes
        assert plain(page.rooms["heat"].judged.value).startswith(word)
        given = dict(entries(page.session.choice.job)[0][1].given)
        tube = page.session.found["tube"].tube
        found = judged_growth(tube, **given)
        assert found.worst == pytest.approx(page.session.found["heat"].growth.worst)
    table = plain(page.joints.table.value)
    assert "arm" in table
    assert "passes" in table


def test_the_room_says_that_the_need_is_hotter_as_the_job_does(page) -> None:
    """The need of the first job asks 60 degC; a glass transition of 68 degC less 28 K is 40."""
    assert page.session.choice.job.need.service.temperature == 60.0
    for glass, hotter in (("68 degC", True), ("88 degC", False)):
        fill(page, {"heat.by": "typed", "heat.at": "30 degC", "heat.glass": glass})
        click(page, HEAT)
        (row,) = joint_rows(page.session.choice.job)
        shown = plain(page.rooms["heat"].answer.value)
        assert shown.startswith("Stands it.")
        said = "Too hot in the job. The adhesive is good to 40 °C, the need asks 60 °C."
        assert (said in shown) is hotter
        assert row.passes is not hotter


def test_rooms_and_table_turn_to_inches(page) -> None:
    fill(page, GROWS)
    click(page, HEAT)
    click(page, GROWTH)
    page.units.value = "inch"
    for shown in (page.rooms["heat"].judged.value, page.joints.table.value):
        words = plain(shown)
        assert " in " in words
        assert not re.search(r"\d (mm|°C|K)\b", words)


@pytest.mark.parametrize(
    ("path", "text", "said"),
    [("growth.allowed", "0 mm", "above zero"), ("growth.allowed", "3", "unit"),
     ("growth.part", "ten", ""), ("growth.allowed", "5 K", "")],
)  # fmt: skip
def test_a_mistake_is_said_at_its_field_and_nothing_goes_into_the_job(
    page, path, text, said
) -> None:
    page.session.edit(path, text)
    ((where, sentence),) = page.session.problems.items()
    assert where == path
    assert said in sentence
    click(page, GROWTH)
    assert joint_rows(page.session.choice.job) == ()
    assert "mend the marked field first" in page.session.status.lower()


def test_the_papers_say_heat_and_growth(page) -> None:
    fill(page, {"heat.by": "typed", "heat.at": "90 degC", "growth.allowed": "0.001 mm"})
    click(page, HEAT)
    click(page, GROWTH)
    job = replace(page.session.choice.job, chosen=0)
    paper = plain(write("page", job, Paper())[2].decode("utf-8"))
    assert "joint: weakest part in the heat" in paper
    assert "joint: growth with heat" in paper
    assert "its class: measure it where much hangs on it" in paper
    table = write("csv", job, Paper())[2].decode("utf-8-sig")
    assert "growth with heat" in table
    assert "oint does not hold: growth with heat" in tc.quote_text(job)
    assert write("datasheet", job, Paper())[2].startswith(b"%PDF")
    assert write("xlsx", job, Paper())[2][:2] == b"PK"
