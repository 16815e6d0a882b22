"""Joints in a job: they round-trip, find their tube again, and say when they govern."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

import tubecalc as tc
from tubecalc.compare import judge
from tubecalc.job import Candidate, Job
from tubecalc.joining.clamps import split_clamp
from tubecalc.joining.job_joints import (
    MOST,
    entries,
    joint_rows,
    unread,
    with_joint,
    without_joint,
)
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.joining.joint_verdict import beside, governed
from tubecalc.joining.mechanical import bolt

NEED = '[[case]]\nkind = "strut"\nload = "1 kN"\nspan = "0.5 m"\n[factors]\nstrength = 2.0'
STEEL, WRAP = Candidate("304", 0.02, 0.018), Candidate("roll-wrapped-woven", 0.03, 0.026)
BOND = JointSpec("bond", given={"insert": "6061-T6", "insert_wall": "3 mm", "overlap": "30 mm",
                                "axial": "5 kN"})  # fmt: skip
FIT = JointSpec("fit", given={"inner": {"of": "304", "od": "25.5 mm", "wall": "1 mm"}})
EVERY = (
    BOND, FIT, JointSpec("press", given={"inner": {"of": "304", "od": "26.06 mm", "wall": "1 mm"},
                                         "overlap": "30 mm", "outside": "0.01 mm",
                                         "bore": "0.01 mm"}),
    JointSpec("bolt", given={"hole": "5 mm", "load": "1 kN"}),
    JointSpec("clamp", given={"length": "20 mm", "screw": "5 mm", "load": "300 N",
                              "style": "one slit"}),
    JointSpec("thread"),
    JointSpec("heat", given={"temperature": "35 degC", "adhesive": "epoxy-tough"}),
    JointSpec("growth", given={"length": "1 m", "rise": "40 K", "allowed": "1 mm"}),
)  # fmt: skip


@pytest.fixture
def job() -> Job:
    return Job(tc.Need.from_toml(NEED), (STEEL, WRAP))


def test_every_kind_round_trips_and_is_answered(job) -> None:
    for spec in EVERY:
        job = with_joint(job, WRAP, spec)
    again = Job.from_toml(job.to_toml())
    assert again == job
    assert [(t, s.kind, s.given) for t, s in entries(again)] == [
        (WRAP, s.kind, s.given) for s in EVERY
    ]
    rows = joint_rows(again)
    assert [r.candidate for r in rows] == [1] * len(EVERY)
    assert [r.passes for r in rows] == [True, True, True, True, True, False, True, True]
    assert all(r.why and r.grade in "ABC" for r in rows)
    assert job.page["join"]["joints"][0]["joint"]["kind"] == "bond"


def test_reserves_are_those_of_the_joints_with_the_factor_of_the_need(job) -> None:
    for spec in (BOND, EVERY[3], EVERY[4]):
        job = with_joint(job, WRAP, spec)
    tube = WRAP.tube(job)
    bonded = tc.bond(tube, "6061-T6", insert_wall="3 mm", overlap="30 mm", axial="5 kN")
    bolted = bolt(tube, hole="5 mm", load="1 kN", factor=2.0)
    held = split_clamp(tube, length="20 mm", screw="5 mm", kind="one slit").slip
    held *= 0.15 / 0.3  # nut factor of a lubricated screw over that of a dry one
    got = [r.reserve for r in joint_rows(job)]
    want = [float(bonded.reserve.m) / 2, bolted.reserve, held / 600.0]
    assert got == pytest.approx(want, rel=1e-9)


def test_a_joint_follows_its_tube_and_not_its_place(job) -> None:
    job = with_joint(job, WRAP, BOND)
    turned = replace(job, candidates=(WRAP, STEEL))
    assert [r.candidate for r in joint_rows(turned)] == [0]
    gone = replace(job, candidates=(STEEL,))
    (row,) = joint_rows(gone)
    assert row.candidate == -1
    assert row.passes is None
    assert "not among" in row.why
    assert beside(joint_rows(gone), judge(gone), 0) == ""


def test_a_tube_that_is_not_there_comes_with_its_joint() -> None:
    job = with_joint(Job(), WRAP, FIT)
    assert job.candidates == (WRAP,)
    assert len(joint_rows(job)) == 1
    assert without_joint(job, 0).page == {}


def test_the_same_joint_again_takes_the_place_of_the_first(job) -> None:
    longer = JointSpec("bond", given={**BOND.given, "overlap": "40 mm"})
    job = with_joint(with_joint(job, WRAP, BOND), WRAP, longer)
    assert [s.given["overlap"] for _, s in entries(job)] == ["40 mm"]
    named = with_joint(job, WRAP, replace(BOND, name="foot"))
    assert [r.name for r in joint_rows(named)] == ["bonded joint", "foot"]


def test_joint_governs_where_it_bears_less_than_the_tube(job) -> None:
    weak = JointSpec("bond", given={**BOND.given, "axial": "6 kN"})
    weak = with_joint(job, WRAP, weak)
    rows, judged = joint_rows(weak), judge(weak)
    tube = float(judged.verdicts[1].reserve[judged.verdicts[1].governing])
    assert 1.0 < rows[0].reserve < tube
    assert beside(rows, judged, 1).startswith("The tube passes, joint governs: bonded joint")
    assert governed(rows, judged, 1) == rows[0]
    assert beside(rows, judged, 0) == ""
    assert governed(rows, judged, 0) is None
    broken = with_joint(job, WRAP, JointSpec("bond", given={**BOND.given, "axial": "60 kN"}))
    assert beside(joint_rows(broken), judge(broken), 1).startswith(
        "The tube passes, its joint does not"
    )
    sound = with_joint(job, WRAP, JointSpec("bond", given={**BOND.given, "axial": "1 N"}))
    assert beside(joint_rows(sound), judge(sound), 1).startswith("The joint is not what limits")
    assert governed(joint_rows(sound), judge(sound), 1) is None


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"hole": "5 mm", "load": "1 kN", "x": 1}, 'unknown field of a joint "x"'),
        ({"hole": "5 mm", "load": "1 kN", "factor": 9.0}, 'unknown field of a joint "factor"'),
        ({"hole": "50 mm", "load": "1 kN"}, "as wide as the bore"),
        ({"hole": [1, 2], "load": "1 kN"}, ""),
        ({"hole": "5 mm"}, "wrong kind"),
    ],
)
def test_a_joint_that_cannot_be_is_said_and_fails(job, given, said) -> None:
    (row,) = joint_rows(with_joint(job, WRAP, JointSpec("bolt", given=given)))
    assert row.passes is False
    assert math.isnan(row.reserve)
    assert row.why.startswith("cannot be: ")
    assert said in row.why


@pytest.mark.parametrize(
    "rows", [[{"joint": {"kind": "glue"}}], [{}], [1], ["a"], [{"joint": {"kind": "bond"}}]]
)
def test_rows_that_are_no_joints_count_for_nothing(rows) -> None:
    job = Job(page={"join": {"joints": rows}})
    assert joint_rows(job) == ()
    assert unread(job) == 1


def test_a_job_carries_so_many_joints(job) -> None:
    for n in range(MOST):
        job = with_joint(job, WRAP, JointSpec("thread", name=f"thread {n}"))
    with pytest.raises(tc.InputError, match="carries no more joints"):
        with_joint(job, WRAP, JointSpec("thread", name="one more"))


def test_names_that_hide_something_are_shown_plain(job) -> None:
    one = replace(EVERY[3], name="foot\u202e\n\ttoof" + "x" * 90)
    (row,) = joint_rows(with_joint(job, WRAP, one))
    assert row.name == ("foot toof" + "x" * 90)[:60]
