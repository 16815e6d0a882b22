"""Cut plan: published examples, brute force, nothing lost or overfull, refusals."""

from __future__ import annotations

from collections import Counter
from functools import cache
from itertools import combinations_with_replacement

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tubecalc.errors import InputError
from tubecalc.making import CutPlan, cut_plan
from tubecalc.making_solver import Cutting, all_patterns, solve

# --- published examples --------------------------------------------------------------------
# "Cutting stock problem", Wikipedia: rolls of 5600 mm, 308 patterns, 73 rolls, 0.401 % waste.
PAPER = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10, 2050: 12,
    2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip


def test_paper_rolls_as_published() -> None:
    plan = cut_plan({f"{k} mm": n for k, n in PAPER.items()}, "5600 mm", kerf="0 mm")
    assert (plan.count, plan.proven) == (73, True)
    assert round(plan.waste * 100, 3) == 0.401


def test_paper_patterns_are_those_of_the_published_308_that_are_full() -> None:
    lengths = tuple(sorted(PAPER, reverse=True))
    fit = [c for r in (1, 2, 3, 4) for c in combinations_with_replacement(lengths, r)
           if sum(c) <= 5600]  # fmt: skip
    assert len(fit) == 308
    full = {tuple(c.count(k) for k in lengths) for c in fit if 5600 - sum(c) < 1380}
    q = Cutting(lengths, tuple(PAPER[k] for k in lengths), (5600,), (1.0,), (None,))
    found = all_patterns(q)
    assert found is not None
    assert len(found) == len(full)
    assert {counts for _, counts in found} == full


def test_rolls_of_chvatal() -> None:
    """Chvatal, Linear Programming, Freeman 1983, ch. 13: 453 raws (452.25 in fractions), MEMORY."""
    orders = [("45 in", 97), ("36 in", 610), ("31 in", 395), ("14 in", 211)]
    plan = cut_plan(orders, "100 in", kerf="0 mm")
    assert (plan.count, plan.proven) == (453, True)


def test_logs_that_fill_but_the_last() -> None:
    """40 long into 90 x 8, 111 x 12, 55 x 16, 30 x 20: 3532 / 40 = 88.3, so 89 is the least."""
    orders = [("8 ft", 90), ("12 ft", 111), ("16 ft", 55), ("20 ft", 30)]
    assert cut_plan(orders, "40 ft", kerf="0 mm").count == 89


# --- brute force ---------------------------------------------------------------------------
def least(pieces: list[int], stocks: list[tuple[int, float]], kerf: int, trim: int) -> float:
    """Cheapest way to divide the pieces into bars, every division tried."""

    @cache
    def bar(group: int) -> float:
        inside = [p for i, p in enumerate(pieces) if group >> i & 1]
        needs = sum(inside) + kerf * (len(inside) - 1) + 2 * trim
        return min((cost for length, cost in stocks if length >= needs), default=float("inf"))

    @cache
    def best(rest: int) -> float:
        if not rest:
            return 0.0
        first = rest & -rest
        found, other = float("inf"), rest ^ first
        part = other
        while True:
            cost = bar(part | first)
            if cost < found:
                found = min(found, cost + best(other ^ part))
            if not part:
                return found
            part = (part - 1) & other

    return best((1 << len(pieces)) - 1)


SMALL = st.lists(st.integers(5, 60), min_size=1, max_size=9)


@settings(max_examples=60, deadline=None)
@given(SMALL, st.integers(60, 130), st.integers(0, 4), st.integers(0, 3))
def test_bars_are_as_few_as_every_division_tried(
    pieces: list[int], stock: int, kerf: int, trim: int
) -> None:
    stock = max(stock, max(pieces) + 2 * trim)
    plan = cut_plan([f"{p} mm" for p in pieces], f"{stock} mm", kerf=f"{kerf} mm",
                    trim=f"{trim} mm")  # fmt: skip
    assert plan.proven
    assert plan.count == least(pieces, [(stock, 1.0)], kerf, trim)


@settings(max_examples=40, deadline=None)
@given(
    SMALL, st.lists(st.integers(60, 150), min_size=2, max_size=3, unique=True), st.integers(0, 4)
)
def test_length_of_stock_is_the_least_of_every_division(
    pieces: list[int], stocks: list[int], kerf: int
) -> None:
    plan = cut_plan([f"{p} mm" for p in pieces], [f"{s} mm" for s in stocks], kerf=f"{kerf} mm")
    want = least(pieces, [(s, float(s)) for s in stocks], kerf, 0)
    assert float(plan.stock_length.to("mm").magnitude) == pytest.approx(want)


@settings(max_examples=40, deadline=None)
@given(SMALL, st.lists(st.floats(1, 9), min_size=2, max_size=2))
def test_price_is_the_least_of_every_division(pieces: list[int], prices: list[float]) -> None:
    stock = [("70 mm", None, prices[0]), ("110 mm", None, prices[1])]
    plan = cut_plan([f"{p} mm" for p in pieces], stock, kerf="1 mm")
    want = least(pieces, [(70, prices[0]), (110, prices[1])], 1, 0)
    assert plan.cost == pytest.approx(want)
    assert plan.unit == "price"


@settings(max_examples=25, deadline=None)
@given(SMALL, st.integers(0, 3))
def test_generated_patterns_come_to_the_same_bars(pieces: list[int], kerf: int) -> None:
    """With no pattern written down beforehand the bound holds, and proven means least."""
    import tubecalc.making_solver as solver

    count = Counter(pieces)
    lengths = sorted(count, reverse=True)
    q = Cutting(tuple(p + kerf for p in lengths), tuple(count[p] for p in lengths),
                (90 + kerf,), (1.0,), (None,))  # fmt: skip
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(solver, "all_patterns", lambda q: None)
        found = solve(q, 5.0)
    want = least(pieces, [(90, 1.0)], kerf, 0)
    assert found.bound <= want + 1e-9
    assert found.cost >= want
    assert found.cost == want or not found.proven


# --- nothing lost, nothing overfull ----------------------------------------------------------
def check(plan: CutPlan, wanted: Counter[float]) -> None:
    made: Counter[float] = Counter()
    for b in plan.bars:
        made.update({round(k * 1e3, 6): n * b.count for k, n in Counter(b.cuts).items()})
        saw = plan.kerf * (len(b.cuts) - 1)
        assert sum(b.cuts) + saw + 2 * plan.trim <= b.stock + 1e-9
        assert sum(b.cuts) + b.saw + b.trim + b.offcut == pytest.approx(b.stock)
        assert b.offcut >= 0
    assert made == wanted


@settings(max_examples=25, deadline=None)
@given(
    st.dictionaries(st.integers(20, 2900), st.integers(1, 400), min_size=1, max_size=10),
    st.integers(0, 50).map(lambda k: k / 10), st.integers(0, 20),
)  # fmt: skip
def test_every_piece_is_cut_once_and_no_bar_is_overfull(
    wanted: dict[int, int], kerf: float, trim: int
) -> None:
    plan = cut_plan({f"{k} mm": n for k, n in wanted.items()}, ["3 m", "6 m"], kerf=f"{kerf} mm",
                    trim=f"{trim} mm", seconds=0.4)  # fmt: skip
    check(plan, Counter({float(k): n for k, n in wanted.items()}))
    assert plan.bound <= plan.cost * (1 + 1e-9)


def test_thousands_of_pieces_of_many_lengths() -> None:
    """2400 pieces of 60 odd lengths: bound within 1 % of the plan, no piece lost."""
    wanted = {f"{137 + 41.37 * k:.2f} mm": 40 for k in range(60)}
    plan = cut_plan(wanted, "6 m", kerf="2.5 mm", seconds=3)
    check(plan, Counter({float(k[:-3]): n for k, n in wanted.items()}))
    assert plan.cost <= 1.01 * plan.bound + 1


# --- the saw -------------------------------------------------------------------------------
def test_piece_that_ends_with_the_bar_needs_no_cut() -> None:
    """3 x 331 + 2 x 3.5 mm = 1000 mm exactly; one hundredth more needs a second bar."""
    assert cut_plan([("331 mm", 3)], "1 m", kerf="3.5 mm").count == 1
    assert cut_plan([("331.01 mm", 3)], "1 m", kerf="3.5 mm").count == 2
    plan = cut_plan([("1 m", 2)], "1 m", kerf="3 mm")
    assert (plan.count, plan.waste) == (2, 0.0)


def test_saw_cut_of_nothing_is_allowed_and_said() -> None:
    plan = cut_plan([("500 mm", 4)], "1 m", kerf="0 mm")
    assert plan.count == 2
    assert any("taken as nothing" in n for n in plan.notes)


def test_few_bars_of_one_length_are_not_overdrawn() -> None:
    """Eight pieces of 0.9 m: two 2 m bars hold four, 1 m bars the rest."""
    plan = cut_plan([("0.9 m", 8)], [("2 m", 2), ("1 m", 20)], kerf="2 mm")
    used = Counter({round(b.stock, 6): 0 for b in plan.bars})
    for b in plan.bars:
        used[round(b.stock, 6)] += b.count
    assert used[2.0] <= 2
    assert float(plan.stock_length.magnitude) == pytest.approx(8.0)


# --- refusals ------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("wanted", "stock", "more", "words"),
    [
        ([], "1 m", {}, "no piece is wanted"),
        ([("2 m", 1)], "1 m", {}, "longer than every bar"),
        ([("995 mm", 1)], "1 m", {"trim": "5 mm"}, "longer than every bar without its ends"),
        ([("200 mm", 1)], "1 m", {"kerf": "-1 mm"}, "kerf: is negative"),
        ([("200 mm", 1)], "1 m", {"trim": "-1 mm"}, "trim: is negative"),
        ([("200 mm", -1)], "1 m", {}, "not a whole number"),
        ([("200 mm", 2.5)], "1 m", {}, "not a whole number"),
        ([("0 mm", 1)], "1 m", {}, "above zero"),
        ([(200, 1)], "1 m", {}, "no unit|unit"),
        ([("600 mm", 3)], [("1 m", 2)], {}, "stock is not enough.*1 of 600 mm"),
        ([("200 mm", 1)], [], {}, "no stock"),
        ([("200 mm", 1)], [("1 m", None, 2), ("2 m", None)], {}, "some have none"),
        ([("1 mm", 2_000_000)], "1 m", {}, "more than 1,000,000"),
        ([("0.1 mm", 9)], "6 m", {"kerf": "0 mm"}, "more than 2,000 of a piece"),
        ([("0.0000000001 mm", 9)], "1 m", {"kerf": "0 mm"}, "more than 2,000 of a piece"),
        (5, "1 m", {}, "not a list"),
    ],
)
def test_bad_input_is_refused_in_words(wanted, stock, more, words) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(InputError, match=words):
        cut_plan(wanted, stock, **more)
