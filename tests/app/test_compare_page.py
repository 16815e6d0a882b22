"""Page `compare` without a browser: tubes come and go, figures follow, foreign words stay words."""

from __future__ import annotations

import json
import math
import re
import time
from dataclasses import replace

import nbformat
import pytest
from ipywidgets.widgets.widget import _instances

from tubecalc import datafiles
from tubecalc.app import view_compare
from tubecalc.app.compare_cards import made_of, sized
from tubecalc.app.compare_state import MOST, CompareChoice, CompareSession, choice_of, job_of
from tubecalc.app.link import write_job
from tubecalc.app.pages import compare
from tubecalc.app.pages.start import start_html
from tubecalc.app.stocks import demo_stock, entries
from tubecalc.app.text import head_html
from tubecalc.compare import judge
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job

HOSTILE = '<img src=x onerror="alert(1)">&"\'</style><script>x</script>'
OWN = {
    "name": HOSTILE, "process": "wound", "hatch": "bias",
    "fill": [{"ply": "carbon-sm-ud", "angle": 45}, {"ply": "carbon-sm-ud", "angle": -45}],
}  # fmt: skip


@pytest.fixture
def page() -> compare.Page:
    return compare.Page(CompareSession(compare.start_choice()[0]))


def visible(page: compare.Page) -> int:
    return sum("tc-gone" not in c.box._dom_classes for c in page.cards.cards)


def test_first_view_sets_carbon_beside_steel_and_aluminium(page) -> None:
    result = page.session.result
    assert len(result.judged) == visible(page) == 3
    assert [bool(m) for m in result.judged.candidates.metal] == [True, True, False]
    assert "✓ passes the need" in page.table.value
    assert result.judged.span == pytest.approx(1.2)
    assert "1\u202f200 mm" in page.used.value


def test_the_page_shows_what_the_core_says(page) -> None:
    choice = page.session.choice
    direct = judge(choice.job)
    share = 100 * direct.mass[2] / direct.mass[0]
    assert f"Weighs {share:.0f} % of" in page.words.value
    assert page.session.result.judged.loads["bending"].last.tolist() == (
        direct.loads["bending"].last.tolist()
    )


def test_best_of_a_row_is_marked_by_a_sign_and_for_the_ear(page) -> None:
    row = page.table.value.split(">mass<")[1].split("</tr>")[0]
    cells = row.split("<td>")[1:]
    assert ["★" in c for c in cells] == [False, False, True]
    assert "best" in cells[2]


def test_the_span_slider_moves_bending_and_leaves_tension(page) -> None:
    before = page.session.result.judged
    page.slider.set_state({"value": 0.6})
    after = page.session.result.judged
    assert after.span == pytest.approx(0.6)
    assert (after.loads["bending"].stiffness > 6 * before.loads["bending"].stiffness).all()
    assert after.loads["tension"].last.tolist() == before.loads["tension"].last.tolist()
    assert page.span.input.value == "600 mm"


def test_a_span_beyond_the_slider_is_taken_exactly(page) -> None:
    page.span.input.value = "4.321 m"
    assert page.session.choice.span == pytest.approx(4.321)
    assert page.slider.max >= 4.321
    page.slider.set_state({"value": 4.32})  # what the browser snaps it to
    assert page.session.choice.span == pytest.approx(4.321)


@pytest.mark.parametrize("typed", ["1200", "1,5 m", "-2 m", "nan m", "1 km", "3 kg"])
def test_a_span_that_cannot_be_is_said_and_the_last_result_greyed(page, typed: str) -> None:
    page.span.input.value = typed
    assert page.session.problems
    assert page.span.message.value
    assert page.span.input.value == typed
    assert "tc-stale" in page.table._dom_classes
    page.span.input.value = "1 m"
    assert "tc-stale" not in page.table._dom_classes
    assert not page.span.message.value


def test_tubes_are_added_up_to_six_and_taken_away(page) -> None:
    for key in ("pultruded", "4130", "filament-wound"):
        page.adds.new.value = key
    assert visible(page) == MOST
    page.adds.new.value = "pultruded"
    assert "six" in page.session.status or "6" in page.session.status
    assert len(page.session.choice.job.candidates) == MOST
    page.cards.cards[1].drop.click()
    assert visible(page) == MOST - 1
    assert page.session.choice.shown[1].wall == "roll-wrapped-woven"


def test_a_tube_of_the_stock_list_brings_its_size_and_price(page) -> None:
    entry = entries(demo_stock())[5]
    page.adds.stock.value = 5
    got = page.session.choice.shown[-1]
    assert got == entry.candidate
    assert entry.words.startswith(got.note)
    assert page.session.choice.job.currency == "EUR"
    assert "price per metre" in page.table.value


def test_stock_prices_are_per_metre() -> None:
    import pandas as pd

    table = pd.read_csv(datafiles.data_dir() / "stock/estuary_stock.csv")
    by = {e.candidate.note: e.candidate.price for e in entries(demo_stock())}
    row = table[table["length_mm"] != 1000].iloc[0]
    assert by[row["id"]] == pytest.approx(row["price"] / row["length_mm"] * 1e3, rel=1e-3)


def test_sizes_are_typed_as_outside_bore_or_wall(page) -> None:
    card = page.cards.cards[0]
    card.sizes["wall"].input.value = "1.5 mm"
    assert page.session.choice.shown[0].id == pytest.approx(0.029)
    card.sizes["od"].input.value = "1 1/2 in"
    got = page.session.choice.shown[0]
    assert got.od == pytest.approx(0.0381)
    assert got.wall_thickness == pytest.approx(0.0015)
    card.sizes["id"].input.value = "0 mm"
    assert page.session.choice.shown[0].id == 0.0
    assert "solid" in page.used.value


def test_a_wall_that_cannot_be_is_said_at_its_field(page) -> None:
    card = page.cards.cards[1]
    card.sizes["wall"].input.value = "30 mm"
    assert "thicker than the radius" in card.sizes["wall"].message.value
    assert card.sizes["wall"].input.value == "30 mm"
    assert page.session.choice.shown[1].od == 0.032
    card.sizes["wall"].input.value = "2 mm"
    assert not page.session.problems


def test_a_plied_wall_is_made_of_whole_plies() -> None:
    job = Job()
    start = Candidate("roll-wrapped-woven", 0.032, 0.0295)
    got = sized(start, "wall", 1.43e-3, job)
    made = job.construction("roll-wrapped-woven").wall_of(1.43e-3)
    assert got.wall_thickness == pytest.approx(made)
    assert sized(start, "id", 0.0297, job).id == 0.0297  # a bore is measured
    assert made_of(got, "304", job).od == 0.032
    with pytest.raises(InputError, match="thicker"):
        sized(start, "wall", 0.05, job)


def test_weight_for_weight_divides_by_the_mass(page) -> None:
    page.weight.value = True
    assert "per g/m" in page.table.value
    assert page.session.choice.per_mass


def test_loads_are_in_kgf_for_the_workshop(page) -> None:
    page.units.value = "workshop"
    assert "kgf" in page.table.value
    assert "kgf" in page.picture.value
    assert "kgf" in page.question.value + page.words.value + page.table.value


def test_the_reference_is_chosen_and_follows_when_another_tube_goes(page) -> None:
    page.against.value = 2
    assert "against 3" in page.words.value
    page.cards.cards[0].drop.click()
    assert page.session.choice.reference == 1
    assert "against 2 roll-wrapped" in page.words.value


def test_what_would_replace_it_can_be_put_beside_the_others(page) -> None:
    page.same.value = "EI"
    text, button, _ = page.equals.rows[2]
    assert "plies" in text.value
    button.click()
    judged = page.session.result.judged
    assert len(judged) == 4
    ei = judged.candidates.sections.EI
    assert ei[0] <= ei[3] * (1 + 1e-6)
    assert ei[3] < 1.2 * ei[0]


def test_what_cannot_replace_it_says_so_and_has_no_button(page) -> None:
    page.same.value = "GJ"
    text, button, _ = page.equals.rows[2]
    assert "No: " in text.value
    assert button.layout.display == "none"


def test_all_kinds_of_load_are_drawn_and_said(page) -> None:
    for kind, words in view_compare.TRAVELS.items():
        page.kinds.value = kind
        assert words in page.picture.value
        said = re.search(r'aria-label="([^"]*)"', page.picture.value)[1]
        assert "Load over travel" in said
        assert "yields" in said


def test_a_single_tube_and_none_are_met_with_words(page) -> None:
    page.cards.cards[0].drop.click()
    page.cards.cards[0].drop.click()
    assert "second tube" in page.words.value
    page.cards.cards[0].drop.click()
    assert page.session.problems
    assert "add a tube" in page.used.value
    page.adds.new.value = "304-annealed"
    assert not page.session.problems


def test_a_job_without_a_case_compares_without_verdicts() -> None:
    page = compare.Page(CompareSession(CompareChoice(Job(candidates=compare.FIRST))))
    assert not page.session.problems
    assert "passes the need" not in page.table.value
    assert page.session.result.judged.span == 0.5


def test_state_goes_into_the_job_and_comes_back() -> None:
    start = compare.first_job()
    choice = CompareChoice(start, 0.75, 1, per_mass=True, kind="torsion", same="mass", keep="wall")
    back, refused = choice_of(Job.from_toml(job_of(choice).to_toml()))
    assert refused == []
    assert back == replace(choice, job=back.job)
    assert back.job.candidates == start.candidates


def test_state_in_a_job_is_not_believed_unchecked() -> None:
    page = {"reference": 99, "kind": HOSTILE, "same": 3, "span": "9 km", "weight": "yes", "x": 1}
    job = Job(candidates=compare.FIRST, page={"compare": page})
    choice, refused = choice_of(job)
    assert choice == CompareChoice(job)
    assert len(refused) == len(page)


def test_a_link_opens_the_same_comparison() -> None:
    choice = CompareChoice(compare.first_job(), 0.9, 1)
    got, refused = compare.start_choice(write_job(job_of(choice)))
    assert refused == []
    assert got.length == pytest.approx(0.9)
    assert got.shown == choice.shown
    broken, said = compare.start_choice("v=1&j=%3Cscript%3E")
    assert broken.shown == compare.FIRST
    assert said


def test_a_job_with_more_tubes_shows_six_and_loses_none(page) -> None:
    many = tuple(Candidate("304", 0.02 + 0.001 * k, 0.018 + 0.001 * k) for k in range(9))
    page._take(Job(candidates=many), "")
    assert visible(page) == MOST
    assert "holds 3 more" in page.used.value
    page.cards.cards[0].drop.click()
    assert page.session.choice.job.candidates == many[1:]
    assert len(job_of(page.session.choice).candidates) == 8


def test_words_of_people_stay_words() -> None:
    need = replace(compare.first_job().need, title=HOSTILE)
    job = Job(
        need, (Candidate("own", 0.03, 0.028, label=HOSTILE), Candidate("304", 0.03, 0.028),
               Candidate("own", 0.03, 0.028, price=2.0)),
        walls={"own": OWN}, currency=HOSTILE,
    )  # fmt: skip
    page = compare.Page(CompareSession(CompareChoice(job)))
    assert not page.session.problems
    shown = [w.value for w in vars(page).values() if isinstance(getattr(w, "value", None), str)]
    html = "".join(shown) + "".join(t.value for t, *_ in page.equals.rows)
    assert "onerror" in html
    assert "<img" not in html
    assert "<script" not in html
    page.session.mistake("0.od", HOSTILE)
    assert "<img" not in page.cards.cards[0].sizes["od"].message.value


def test_an_own_wall_has_a_colour_and_a_row(page) -> None:
    job = Job(candidates=(Candidate("own", 0.03, 0.028), Candidate("304", 0.03, 0.028)),
              walls={"own": {**OWN, "name": "mine"}})  # fmt: skip
    page._take(job, "")
    assert "--tc-line-own:" in page.style.value
    assert "1 mine" in page.table.value
    assert page.cards.cards[0].kind.value == "own"


def test_widgets_are_made_once_and_a_slide_is_quick(page) -> None:
    page.slider.set_state({"value": 0.7})
    count = len(_instances)
    times = []
    for k in range(20):
        begun = time.perf_counter()
        page.slider.set_state({"value": 0.8 + 0.01 * k})
        times.append(time.perf_counter() - begun)
    assert len(_instances) == count
    assert sorted(times)[10] < 0.2  # 10 ms on a quiet core


def test_the_page_is_in_the_navigation_and_its_notebook_is_thin() -> None:
    assert 'href="compare.ipynb"' in head_html("choose")
    assert 'href="compare.ipynb"' in start_html()
    path = datafiles.data_dir().parent / "notebooks" / "compare.ipynb"
    book = nbformat.read(path, as_version=4)
    code = [c for c in book.cells if c.cell_type == "code"]
    assert [c.outputs for c in code] == [[]]
    assert json.loads(path.read_text())["nbformat"] == 4
    assert math.isnan(compare.start_choice()[0].span)


def test_own_tests_that_count_are_said_beside_every_figure_that_has_them(page) -> None:
    """And beside the equivalents, which have them not."""
    job = job_of(page.session.choice)
    wall = job.candidates[-1].wall
    need = replace(job.need, factors=replace(job.need.factors, bench=f"{wall} EI 0.5"))
    page._take(replace(job, need=need), "")
    for part in (page.words, page.table):
        assert "Own tests count in the figures of" in part.value
        assert "EI times 0.5" in part.value
    assert "own tests do not count in it" in page.question.value
    page._take(job, "")
    for part in (page.words, page.table, page.question):
        assert "wn tests" not in part.value
