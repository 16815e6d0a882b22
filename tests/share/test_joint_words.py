"""Joints in the papers of a job: in the verdict, the checks and the bars; nobody's words run."""

from __future__ import annotations

from dataclasses import replace

import pytest

import tubecalc as tc
from tubecalc.job import Candidate, Job
from tubecalc.joining.job_joints import joint_rows, with_joint
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.share.page import page
from tubecalc.share.page_reasons import cautions, checks, reserves
from tubecalc.share.page_verdict import Told, headline, lead, mark

NEED = '[[case]]\nkind = "strut"\nload = "1 kN"\nspan = "0.5 m"\n[factors]\nstrength = 2.0'
WRAP = Candidate("roll-wrapped-woven", 0.03, 0.026)
HOSTILE = "</script><img src=x onerror=alert(1)><b>\"'&"


def bonded(axial: str, name: str = "") -> JointSpec:
    given = {"insert": "6061-T6", "insert_wall": "3 mm", "overlap": "30 mm", "axial": axial}
    return JointSpec("bond", name=name, given=given)


@pytest.fixture
def job() -> Job:
    return Job(tc.Need.from_toml(NEED), (WRAP,))


def test_a_sound_joint_leaves_the_verdict_to_the_tube(job) -> None:
    told = Told.of(with_joint(job, WRAP, bonded("1 N")))
    assert mark(told) == mark(Told.of(job)) == ("✓ Passes", True)
    assert headline(told, "SI") == headline(Told.of(job), "SI")
    assert checks(told, "SI")[0][0] == "joint: bonded joint"


def test_a_joint_that_governs_is_the_headline_and_the_black_bar(job) -> None:
    told = Told.of(with_joint(job, WRAP, bonded("6 kN")))
    (row,) = told.joints
    assert row.passes is True
    assert mark(told) == ("✓ Tube passes, joint governs", True)
    assert f"Its joint governs: bonded joint, with a reserve of {row.reserve:.2f}." in headline(
        told, "SI"
    )
    first = reserves(told)[0]
    assert (first.label, first.governing) == ("joint: bonded joint", True)
    assert first.value == pytest.approx(row.reserve)
    assert sum(r.governing for r in reserves(told)) == 1
    assert any("carries people" in c for c in cautions(told, "SI"))


def test_a_joint_that_fails_is_no_good_news(job) -> None:
    told = Told.of(with_joint(job, WRAP, bonded("60 kN")))
    assert mark(told) == ("✗ Tube passes, its joint does not", False)
    assert "But its joint does not hold: bonded joint" in headline(told, "SI")
    assert lead(told, "SI").startswith("Bonded joint: the bond gives way first")
    quote = tc.quote_text(told.job)
    assert "But its joint does not hold: bonded joint" in quote
    assert len(quote.split(" ")) <= 120


def test_without_a_load_the_joints_are_told_all_the_same(job) -> None:
    bare = replace(job, need=tc.Need())
    told = Told.of(with_joint(bare, WRAP, JointSpec("thread")))
    assert mark(told) == ("✗ Its joint does not hold", False)
    assert "strips along the plies" in lead(told, "SI")


def test_a_joint_whose_tube_has_changed_is_said_to_count_for_nothing(job) -> None:
    other = Candidate(WRAP.wall, 0.03, 0.0255)
    told = Told.of(replace(with_joint(job, WRAP, bonded("60 kN")), candidates=(other,)))
    assert mark(told)[1] is True
    assert any("counts for nothing" in c for c in cautions(told, "SI"))


def test_nobodys_name_of_a_joint_runs_and_the_bytes_stay_the_same(job) -> None:
    one = with_joint(job, WRAP, bonded("60 kN", HOSTILE))
    text = page(one, date="2026-11-25")
    assert text == page(Job.from_toml(one.to_toml()), date="2026-11-25")
    assert "<img" not in text
    assert text.count("</script>") == page(job, date="2026-11-25").count("</script>")
    assert joint_rows(Job.from_html(text))[0].name == HOSTILE
