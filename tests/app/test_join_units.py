"""Page `join` in inches: every room and refusal; compare and choose name a joint without tube."""

from __future__ import annotations

import re
from dataclasses import replace
from html import unescape

import pytest

from tubecalc.app.compare_state import CompareSession
from tubecalc.app.join_said import joint_said
from tubecalc.app.join_state import SECTIONS
from tubecalc.app.opening_compare import start_choice
from tubecalc.app.pages import compare, join
from tubecalc.job import Candidate
from tubecalc.joining.job_joints import with_joint
from tubecalc.joining.joint_spec import JointSpec

METRIC = re.compile(r"\d[\d.\u202f]*[ \u00a0](?:mm|µm|N|kN|N m|MPa|GPa|°C|degC|K|kg|g|m)(?![\w/])")


@pytest.fixture
def page() -> join.Page:
    made = join.open_page("")
    made.session.change(job=replace(made.session.choice.job, units="inch"))
    return made


def plain(html: str) -> str:
    html = re.sub(r"<style.*?</style>", " ", html, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


@pytest.mark.parametrize("section", SECTIONS)
def test_no_room_holds_anything_metric_in_inches(page, section) -> None:
    page.session.change(section=section)
    shown = [plain(w.value) for w in page.rooms[section].results]
    assert any(shown)
    assert not [m[0] for text in shown for m in METRIC.finditer(text)]
    page.session.change(job=replace(page.session.choice.job, units="SI"))
    if section not in ("metal", "shop"):
        assert any(METRIC.search(plain(w.value)) for w in page.rooms[section].results)


@pytest.mark.parametrize(
    ("path", "typed", "says"),
    [
        ("bond.hot", "90 degC", "at most 104 °F"),  # 40 degC
        ("bond.gap", "2 mm", "at most 0.02362 in"),  # 0.6 mm
        ("bolt.edge", "1 mm", "more than 0.09843 in"),  # 2.5 mm
        ("slide.size", "27 mm", "1.063 in into 1.024 in"),  # 27 mm into 26 mm
        ("pole.overlap", "2 m", "less than 39.37 in"),  # 1 m
    ],
)
def test_a_refusal_follows_the_units_of_the_page(page, path, typed, says) -> None:
    session = page.session
    session.change(section=path.split(".")[0])
    session.edit(path, typed)
    assert says in session.problems[path]
    assert not METRIC.search(session.problems[path])
    session.change(job=replace(session.choice.job, units="SI"))
    assert METRIC.search(session.problems[path])


def test_the_slider_runs_in_the_units_of_the_page_and_bends_no_value(page) -> None:
    session = page.session
    session.change(section="bond")
    room = page.rooms["bond"]
    inch, metric = room.sliders["in"], room.sliders["mm"]
    assert room.slider is inch
    assert (inch.description, inch.value) == ("overlap, in", pytest.approx(30 / 25.4))
    assert "tc-gone" in metric._dom_classes
    assert "tc-gone" not in inch._dom_classes
    assert session.choice.get("bond.overlap") == "30 mm"
    inch.set_state({"value": 1.18})  # the browser rounds to a step
    metric.set_state({"value": 2.0})  # and may speak of the slider that is not shown
    assert session.choice.get("bond.overlap") == "30 mm"
    inch.set_state({"value": 2.0})
    assert session.choice.get("bond.overlap") == "2 in"
    assert float(session.found["bond"].bond.overlap.m) == pytest.approx(50.8)
    session.change(job=replace(session.choice.job, units="SI"))
    assert room.slider is metric
    assert (metric.description, metric.value) == ("overlap, mm", pytest.approx(50.8))
    assert session.choice.get("bond.overlap") == "2 in"


def test_a_joint_of_the_job_is_told_in_its_units(page) -> None:
    session = page.session
    one = session.found["tube"].candidate
    spec = JointSpec("fit", given={"inner": {"of": "304", "od": "25 mm", "wall": "1 mm"}})
    session.change(job=with_joint(session.choice.job, one, spec))
    assert "0.9843 in outside" in plain(page.joints.table.value)
    session.change(job=replace(session.choice.job, units="SI"))
    assert "25 mm outside" in plain(page.joints.table.value)


def test_compare_and_choose_say_that_a_joint_has_lost_its_tube() -> None:
    choice = start_choice()[0]
    lost = Candidate("304", 0.05, 0.046)
    job = with_joint(choice.job, lost, JointSpec("thread", name="foot"))
    job = replace(job, candidates=choice.job.candidates)
    says = "The foot of this job counts for nothing: its tube is not among those of the job"
    page = compare.Page(CompareSession(replace(choice, job=job)))
    assert says in plain(page.table.value)
    sound = compare.Page(CompareSession(choice))
    assert "counts for nothing" not in plain(sound.table.value)
    key = f"{lost.wall}|{lost.od!r}|{lost.id!r}"
    assert joint_said(choice.job, lambda: choice.job, key, None) == ""
    assert says in joint_said(job, lambda: job, key, None)
