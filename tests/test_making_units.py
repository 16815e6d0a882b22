"""Workshop lists and their notes in inches: lengths turn, plain texts stay metric."""

from __future__ import annotations

import re

import pytest

from tubecalc.making import cut_plan, winding
from tubecalc.share.workshop import BARS, WOUND, lines_of, table_html
from tubecalc.unit_words import say

METRIC = re.compile(r"\d ?(?:mm|m)(?![\w²2])")


def test_notes_of_a_winding_and_a_cut_plan_can_be_said_in_inches() -> None:
    """25.4 mm are an inch (exact)."""
    wound = winding("50.8 mm", 45, "6.35 mm", "508 mm", friction=0.2)
    plan = cut_plan([("254 mm", 5)], "2 m", kerf="2.54 mm", trim="25.4 mm")
    bare = cut_plan([("254 mm", 5)], "2 m", kerf="0 mm")
    for made in (wound, plan, bare):
        assert any(METRIC.search(n) for n in made.notes)
        told = [say(n, "inch") for n in made.notes[1 if made is not wound else 0 :]]
        assert not any(METRIC.search(n) for n in told), told
        assert [say(n) for n in made.notes] == list(made.notes)
    assert "Each cut takes 0.1 in" in lines_of(plan.notes, "inch")
    assert "1 in come off each end" in lines_of(plan.notes, "inch")


def test_tables_turn_their_lengths_and_headings() -> None:
    plan = cut_plan([("254 mm", 5)], "2 m", kerf="2.54 mm", trim="25.4 mm")
    metric, inch = (table_html(BARS, plan.table, system=s) for s in ("SI", "inch"))
    assert "stock [mm]" in metric
    assert "stock [in]" in inch
    assert "[mm]" not in inch
    assert f"{2000 / 25.4:.2f}" in inch
    wound = winding("50.8 mm", 45, "6.35 mm", "508 mm").table
    first = table_html(WOUND, wound, system="inch")
    assert float(re.findall(r'<td class="n">([0-9.]+)</td>', first)[1]) == pytest.approx(
        float(wound["diameter_mm"].iloc[0]) / 25.4, abs=6e-5)  # fmt: skip
