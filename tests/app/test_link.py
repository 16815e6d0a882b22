"""A choice travels in a link; what a link says is checked before it is used."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubecalc.app.link import read_query, write_query
from tubecalc.app.pages.choose import jobs, start_choice
from tubecalc.app.state import SYSTEMS, Choice
from tubecalc.app.view_chart import MEASURES
from tubecalc.laminate.construction import composites, metals

KEYS = [*composites(), *metals()]
ENDS = st.tuples(st.integers(1, 900), st.integers(0, 90)).map(lambda t: (t[0] / 1e4, sum(t) / 1e4))


@given(
    st.sampled_from(sorted(jobs())),
    ENDS,
    ENDS,
    st.lists(st.sampled_from(KEYS), min_size=1, unique=True),
    st.sampled_from(sorted(SYSTEMS)),
    st.sampled_from(sorted(MEASURES)),
)
def test_round_trip(job, od, wall, keys, units, measure) -> None:
    choice = Choice(jobs()[job], od, wall, tuple(keys), units=units, measure=measure)
    back, refused = read_query(write_query(choice), Choice(), {})
    assert refused == []
    assert back.od == pytest.approx(choice.od)
    assert back.wall == pytest.approx(choice.wall)
    assert replace(back, od=od, wall=wall, draft=choice.draft) == choice
    assert back.draft.cases == choice.draft.cases
    assert back.draft.limits == choice.draft.limits


@pytest.mark.parametrize(
    "query",
    ["od=10-nan", "od=40-10mm", "od=-5-10mm", "od=1e9-2e9", "wall=0-1mm", "of=unobtainium",
     "units=furlong", "by=price", "job=../../etc", "need=!!!!", "need=eJwDAAAAAAE", "od=10"],
)  # fmt: skip
def test_a_bad_part_is_named_and_left_out(query: str) -> None:
    start, _ = start_choice()
    choice, refused = start_choice(query)
    assert choice == start
    assert len(refused) == 1
    assert query.split("=")[0] in refused[0]


def test_a_range_beyond_the_slider_is_kept() -> None:
    assert start_choice("od=10-120mm")[0].od == pytest.approx((0.01, 0.12))


def test_another_version_is_not_guessed() -> None:
    choice, refused = start_choice("v=9&units=inch")
    assert choice.units == "SI"
    assert refused


def test_unknown_words_and_tokens_are_ignored() -> None:
    assert start_choice("token=abc&x=y")[1] == []
