"""A telescoping pole as a joint: by hand, over a job file, in the verdict of its tube."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.compare import judge
from tubecalc.job import Candidate, Job
from tubecalc.joining.job_joints import entries, joint_rows, with_joint
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.joining.joint_verdict import beside, governed
from tubecalc.joining.nested import nested
from tubecalc.joining.pole_judge import judged_pole, tip_load
from tubecalc.joining.pole_sections import inward, telescope

NEED = '[[case]]\nkind = "cantilever"\nload = "5 N"\nspan = "1 m"\n[factors]\nstrength = 2.0'
WRAP = Candidate("roll-wrapped-woven", 0.03, 0.026)
GIVEN = {"count": 4, "gap": "0.3 mm", "length": "1 m", "overlap": "120 mm", "load": "5 N"}


def pole_of(**more):
    return judged_pole(WRAP.tube(Job()), **{**GIVEN, **more})


def test_likely_most_droop_by_hand() -> None:
    """Each joint turns about the middle of its overlap; its lever reaches from there to the tip."""
    found = nested(telescope("roll-wrapped-woven", od="30 mm", wall="2 mm", count=4, gap="0.3 mm"),
                   length="1 m", overlap="120 mm", load="5 N")  # fmt: skip
    levers = [3.64 - (0.88 * n + 0.06) for n in (1, 2, 3)]  # 0.88 m from section to section
    by = [(j.fit.at[0].high - 0.3e-3) / 0.12 * a for j, a in zip(found.joints, levers, strict=True)]
    want = sum(0.3e-3 / 0.12 * a for a in levers) + math.sqrt(sum(x * x for x in by))
    assert found.by_play_likely == pytest.approx(want, rel=1e-9)
    assert found.droop < found.droop_likely < found.droop_most


def test_a_pole_that_is_lifted_droops_upwards_by_its_play_too() -> None:
    tubes = telescope("pultruded", od="20 mm", wall="1 mm", count=3, gap="0.3 mm")
    down, up = (nested(tubes, length="1 m", overlap="120 mm", load=f, elevation="90 deg")
                for f in ("2 N", "-2 N"))  # fmt: skip
    assert up.by_play_likely == pytest.approx(-down.by_play_likely)
    assert up.droop_likely == pytest.approx(-down.droop_likely)


def test_chance_that_any_joint_binds_is_that_of_independent_ones() -> None:
    found = pole_of(gap="0.15 mm").pole
    one = found.joints[0].fit.chance
    assert 0.001 < one < 0.2
    assert found.chance == pytest.approx(1 - (1 - one) ** 3, rel=1e-6)  # three equal joints


def test_the_way_that_governs_and_the_factor() -> None:
    bare, twice = pole_of(), pole_of(factor=2.0)
    assert twice.reserve == pytest.approx(bare.reserve / 2)
    assert bare.reserve == pytest.approx(bare.pole.reserve)
    assert bare.governing.label == "joint 1 (outer tube at the mouth)"
    assert bare.passes
    droops = pole_of(droop="100 mm", factor=2.0)
    assert droops.governing.label == "droop"
    assert droops.reserve == pytest.approx(0.1 / droops.pole.droop_most)  # the factor is not on it
    assert not droops.passes
    assert "the droop governs, 100 mm is allowed" in droops.why()


def test_a_pole_that_may_bind_does_not_pass() -> None:
    tight = pole_of(gap="0.15 mm")
    assert tight.reserve > 1
    assert tight.binds
    assert not tight.passes
    assert tight.why().startswith("a joint may bind, chance")
    job = with_joint(Job(tc.Need.from_toml(NEED), (WRAP,)), WRAP,
                     JointSpec("pole", given={**GIVEN, "gap": "0.15 mm"}))  # fmt: skip
    rows = joint_rows(job)
    assert rows[0].passes is False
    assert math.isnan(rows[0].reserve)  # it bears the load: no number below 1 is there to show
    said = beside(rows, judge(job), 0)
    assert said == "The tube passes, its joint does not: telescoping pole."


def test_the_first_section_is_the_tube_and_the_others_may_be_thinner() -> None:
    thin = pole_of(wall="1 mm").pole
    assert float(thin.tubes[0].sections.t[0]) == pytest.approx(2e-3)
    assert [float(t.sections.t[0]) for t in thin.tubes[1:]] == pytest.approx([1e-3] * 3, rel=0.3)
    assert float(thin.tubes[1].od.m) == pytest.approx(25.7)
    tube = tc.Tube("pultruded", od="20 mm", wall="1 mm")
    with pytest.raises(tc.InputError, match="equal sizes do not slide"):
        inward(tube, wall="1 mm", count=2, gap="0 mm")


def test_load_of_a_case_by_hand() -> None:
    case = tc.Need.from_toml(NEED.replace('"1 m"', '"1 m"\ntip_mass = "0.5 kg"')).cases[0]
    assert tip_load(case) == pytest.approx(5.0 + 0.5 * 9.80665)
    with pytest.raises(tc.InputError, match="a case held at one end"):
        tip_load(replace(case, kind="strut"))


LENGTHS = st.sampled_from(["1 m", "900 mm", ["1 m", "0.9 m", "0.8 m"]])


@settings(max_examples=15, deadline=None)
@given(LENGTHS, st.integers(80, 200), st.integers(1, 9), st.sampled_from(["0 deg", "45 deg"]))
def test_a_pole_is_kept_in_a_job_file(length, overlap, load, lean) -> None:
    asked = {"count": 3, "gap": "0.3 mm", "length": length, "overlap": f"{overlap} mm",
             "load": f"{load} N", "elevation": lean, "temperature": ["-10 degC", "50 degC"],
             "droop": "1 m"}  # fmt: skip
    job = Job(tc.Need.from_toml(NEED), (WRAP,))
    job = with_joint(job, WRAP, JointSpec("pole", name="mast", given=asked))
    again = Job.from_toml(job.to_toml())
    assert again == job
    ((tube, spec),) = entries(again)
    assert (tube, spec.kind, spec.name, spec.given) == (WRAP, "pole", "mast", asked)
    (row,) = joint_rows(again)
    direct = judged_pole(WRAP.tube(job), **asked, factor=2.0)
    assert row.reserve == pytest.approx(direct.reserve)
    assert (row.name, row.passes, row.grade) == ("mast", direct.passes, "C")


def test_a_pole_stands_beside_the_verdict_of_its_tube() -> None:
    job = Job(tc.Need.from_toml(NEED), (WRAP,))
    weak = with_joint(job, WRAP, JointSpec("pole", given={**GIVEN, "load": "60 N"}))
    rows, judged = joint_rows(weak), judge(weak)
    assert rows[0].passes is False
    said = beside(rows, judged, 0)
    assert said.startswith("The tube passes, its joint does not: telescoping pole, reserve 0.")
    assert governed(rows, judged, 0) == rows[0]
    assert "droop" in rows[0].why
    assert "telescoping pole" in tc.quote_text(weak)


@pytest.mark.parametrize(
    ("more", "words"),
    [({"overlap": "2 m"}, "not shorter than its section"), ({"gap": "0 mm"}, "do not slide"),
     ({"count": "four"}, "number of sections"), ({"sag": "1 mm"}, 'unknown field of a joint "sag"'),
     ({"droop": "0 mm"}, "droop")],
)  # fmt: skip
def test_a_pole_that_cannot_be_is_said_and_fails(more, words) -> None:
    job = with_joint(Job(), WRAP, JointSpec("pole", given={**GIVEN, **more}))
    (row,) = joint_rows(job)
    assert row.passes is False
    assert words in row.why
