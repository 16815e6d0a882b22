"""A joint as a job carries it: every field round-trips, what cannot be kept is refused."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.joining.joint_spec import KINDS, JointSpec

TEXTS = st.text(max_size=12).filter(lambda s: "\x00" not in s)
NAMES = st.from_regex("[a-z]{1,6}", fullmatch=True)
VALUES = st.recursive(
    st.one_of(TEXTS, st.booleans(), st.integers(-(2**40), 2**40), st.floats(-1e6, 1e6)),
    lambda x: st.one_of(st.lists(x, max_size=3), st.dictionaries(NAMES, x, max_size=3)),
    max_leaves=6,
)  # fmt: skip


@given(
    st.sampled_from([k for k in KINDS if k != "bond"]), st.integers(-1, 40),
    st.from_regex("[A-Za-z0-9 .]{0,20}", fullmatch=True),
    st.dictionaries(st.from_regex("[a-z]{1,8}", fullmatch=True).filter(
        lambda k: k not in ("kind", "candidate", "name")), VALUES, max_size=4),
)  # fmt: skip
def test_round_trips_through_a_job_file(kind: str, candidate: int, name: str, fields: dict) -> None:
    try:
        one = JointSpec(kind, candidate, name, fields)
    except tc.InputError:
        return  # texts with surrogates and the like
    need = tc.Need.from_toml('format = 1\n[[case]]\nkind = "strut"\nload = "1 kN"\nspan = "1 m"\n')
    job = tc.Job(need, page={"join": {"joint": [one.to_table()]}})
    text = job.to_toml()
    (table,) = tomllib.loads(text)["page"]["join"]["joint"]
    assert JointSpec.from_table(table) == one
    (again,) = tc.Job.from_toml(text).page["join"]["joint"]
    assert JointSpec.from_table(again) == one


def test_a_bond_is_worked_out_from_its_table() -> None:
    tube = tc.Tube("6061-T6", od="30 mm", wall="2 mm")
    spec = JointSpec("bond", given={
        "insert": {"of": "304", "od": "25.6 mm", "wall": "2 mm"}, "overlap": ["20 mm", "30 mm"],
        "axial": "4 kN", "temperature": ["-10 degC", "30 degC"],
    })  # fmt: skip
    plug = tc.Tube("304", od="25.6 mm", wall="2 mm")
    direct = tc.bond(tube, plug, overlap=["20 mm", "30 mm"], axial="4 kN",
                     temperature=["-10 degC", "30 degC"])  # fmt: skip
    assert spec.bond(tube).tension.m.tolist() == direct.tension.m.tolist()


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ({}, "a joint needs its kind"),
        ({"kind": "weld"}, 'unknown kind of joint "weld"'),
        ({"kind": "bond", "overlapp": "1 mm"}, 'did you mean "overlap"'),
        ({"kind": "fit", "candidate": "one"}, "is not the number of a candidate"),
        ({"kind": "fit", "x": object()}, "cannot be kept in a job file"),
    ],
)
def test_refused(table: dict, words: str) -> None:
    with pytest.raises(tc.InputError, match=words):
        JointSpec.from_table(table)


def test_what_a_bond_lacks_is_named() -> None:
    tube = tc.Tube("6061-T6", od="30 mm", wall="2 mm")
    with pytest.raises(tc.InputError, match="a bonded joint needs its overlap"):
        JointSpec("bond", given={"insert": "304"}).bond(tube)
    with pytest.raises(tc.InputError, match="an insert needs its material"):
        JointSpec("bond", given={"insert": {"od": "1 mm"}, "overlap": "2 mm"}).bond(tube)
    with pytest.raises(tc.InputError, match="is not a bonded joint"):
        JointSpec("fit").bond(tube)
