"""Handing over, without a browser: what leaves each page, in whose words, and what is refused."""

from __future__ import annotations

import base64
import io
import math
import re
import subprocess
import sys
from datetime import UTC, datetime
from html import escape, unescape
from urllib.parse import parse_qs

import openpyxl
import pytest
from ipywidgets.widgets.widget import _instances

from tubecalc import datafiles
from tubecalc.app import engine, link, outgoing
from tubecalc.app.carrier import Carrier
from tubecalc.app.compare_state import CompareSession, job_of
from tubecalc.app.handout import Handout
from tubecalc.app.outgoing import WAYS
from tubecalc.app.pages import choose, compare
from tubecalc.app.state import Session
from tubecalc.app.stocks import SIZE_LIMIT, open_stock
from tubecalc.compare import judge
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job, Text
from tubecalc.need import Need
from tubecalc.share.quote import quote_text

NEED = (datafiles.data_dir() / "jobs" / "sampling-boom.toml").read_text(encoding="utf-8")
HOSTILE = '<img src=x onerror="alert(1)">&"\'</style><script>x</script>'
START = {
    "page": b"<!DOCTYPE html>", "datasheet": b"%PDF", "xlsx": b"PK", "csv": b"", "png": b"\x89PNG",
    "svg": b"<?xml", "pdf": b"%PDF",
}  # fmt: skip
END = {
    "page": ".html", "datasheet": "-data-sheet.pdf", "xlsx": ".xlsx", "csv": ".csv",
    "png": "-chart.png", "svg": "-chart.svg", "pdf": "-chart.pdf",
}  # fmt: skip


@pytest.fixture
def page() -> choose.Page:
    return choose.Page(Session(engine.run, choose.start_choice()[0]))


@pytest.fixture
def beside() -> compare.Page:
    return compare.Page(CompareSession(compare.start_choice()[0]))


def got(handout: Handout, key: str) -> tuple[str, bytes]:
    """Press a button; the file that starts to download."""
    handout.buttons[key].click()
    found = re.search(r'download="([^"]+)" href="data:[^;]+;base64,([^"]+)"', handout.file.value)
    assert found is not None, handout.status
    assert f"Saved {found[1]}" in unescape(handout.status)
    return unescape(found[1]), base64.b64decode(found[2])


def job_in(handout: Handout) -> Job:
    """Job that a customer gets inside the page."""
    return Job.from_html(got(handout, "page")[1].decode("utf-8"))


def field(page: choose.Page, path: str):
    return next(b for slot, b in page.sentence._fields.items() if slot.startswith(f"{path}|")).input


def upload(widget, name: str, content: bytes) -> None:
    file = {"name": name, "type": "", "size": len(content), "content": memoryview(content)}
    widget.set_trait("value", ({**file, "last_modified": datetime.now(UTC)},))


def plain(words: str) -> str:
    return words.replace("\N{NO-BREAK SPACE}", " ")


def kept(page) -> Job:
    """Job the browser is told to keep."""
    words = unescape(re.sub(r"^<pre [^>]*>|</pre>$", "", page.keeper.store.value))
    return Job.from_toml(words + "\n")


# ---- every file ------------------------------------------------------------------------------
@pytest.mark.parametrize("key", sorted(WAYS))
def test_every_file_leaves_choose_and_compare(page, beside, key: str) -> None:
    for one in (page, beside):
        name, content = got(one.handout, key)
        assert name == f"tubecalc-sampling-boom{END[key]}"
        assert content.startswith(START[key])
        assert len(content) > 500
        assert WAYS[key].mime in one.handout.file.value


def test_a_page_opens_without_matplotlib_and_no_file_needs_pyplot() -> None:
    """The first keeps a visitor light, the second keeps figures from piling up."""
    code = (
        "import sys\nfrom tubecalc.app import outgoing\nfrom tubecalc.app.pages import choose\n"
        "page = choose.open_page('')\nassert 'matplotlib' not in sys.modules\n"
        "for key in outgoing.WAYS:\n"
        "    outgoing.write(key, page._going(), outgoing.Paper())\n"
        "assert 'matplotlib' in sys.modules\nassert 'matplotlib.pyplot' not in sys.modules\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_names_of_files_are_no_two_alike() -> None:
    names = [way.end for way in WAYS.values()]
    assert len(set(names)) == len(names)


def test_the_table_holds_the_tubes_that_are_said_to_go_out(page) -> None:
    book = openpyxl.load_workbook(io.BytesIO(got(page.handout, "xlsx")[1]))
    cells = {str(c.value) for sheet in book for row in sheet.iter_rows() for c in row}
    for candidate in job_in(page.handout).candidates:
        name = Job().construction(candidate.wall).name
        assert any(name.lower() in c.lower() for c in cells)
        assert name in page.handout.which.value


def test_a_chart_is_as_wide_and_as_fine_as_asked_for(beside) -> None:
    """A PNG says its size in its own head: 2 in at 150 dots are 300."""
    beside.handout.width.input.value = "4 in"
    beside.handout.dpi.input.value = "150"
    png = got(beside.handout, "png")[1]
    assert int.from_bytes(png[16:20], "big") == 600
    assert beside.handout.width.input.value == "101.6"
    assert outgoing.paper_of(kept(beside)).width == 101.6
    other = compare.Page(CompareSession(compare.start_choice()[0]))
    other._take(kept(beside), "")
    assert other.handout.width.input.value == "101.6"
    assert other.handout.dpi.input.value == "150"


def test_letter_paper_reaches_the_data_sheet(beside) -> None:
    beside.handout.paper.value = "Letter"
    assert b"612" in got(beside.handout, "datasheet")[1]  # points: 8.5 in


@pytest.mark.parametrize(
    ("part", "typed"),
    [("width", "9999"), ("width", "x"), ("width", "10 kg"), ("width", "nan"), ("width", "-170"),
     ("dpi", "0"), ("dpi", "1e9"), ("dpi", "fine"), ("dpi", "inf")],
)  # fmt: skip
def test_a_size_that_cannot_be_is_said_at_its_field_and_nothing_goes_out(
    page, part: str, typed: str
) -> None:
    box = getattr(page.handout, part)
    before = kept(page).page.get("handover")
    box.input.value = typed
    assert box.message.value
    assert box.input.value == typed
    assert 'data-hold="1"' in page.keeper.store.value
    page.handout.buttons["png"].click()
    assert page.handout.file.value == ""
    assert kept(page).page.get("handover") == before
    box.input.value = ""
    assert box.message.value == ""
    assert outgoing.paper_of(kept(page)) == outgoing.Paper()
    assert got(page.handout, "svg")


@pytest.mark.parametrize(
    "state",
    [3, [1], {"width_mm": "wide", "dpi": True, "paper": 3}, {"width_mm": -1.0, "dpi": math.inf}],
)
def test_how_papers_are_written_is_not_believed_unchecked(state) -> None:
    job = Job(page={"handover": state}) if isinstance(state, dict) else Job()
    assert outgoing.paper_of(job) == outgoing.Paper()


def test_the_same_file_can_be_asked_for_twice(page) -> None:
    """A value that does not change tells a browser nothing, so it is emptied in between."""
    values: list[str] = []
    page.handout.file.observe(lambda change: values.append(change["new"]), names="value")
    first = got(page.handout, "csv")
    assert got(page.handout, "csv") == first
    assert [bool(v) for v in values] == [True, False, True]


# ---- which tubes -----------------------------------------------------------------------------
def test_without_tubes_put_beside_the_selected_one_goes_out_first(page) -> None:
    result = page.session.result
    key = result.sheet.keys[result.short[1]]
    page.bus.value = f"1|pick|{key}"
    job = job_in(page.handout)
    sizes = [f"{c.wall}|{c.od * 1e3:.4f}|{c.id * 1e3:.4f}" for c in job.candidates]
    assert sizes[0] == key
    assert job.chosen == 0
    assert 2 <= len(sizes) <= 3
    assert len({c.wall for c in job.candidates}) == len(sizes)
    judged = judge(job)
    assert all(judged.passes(n) for n in range(len(sizes)))
    said = page.handout.which.value
    assert said.index("recommended") < said.index(";")
    assert page.keeper.base.candidates == ()  # handing over puts nothing beside


def test_alternatives_are_the_lightest_of_their_construction(page) -> None:
    result, job = page.session.result, job_in(page.handout)
    sheet = result.sheet
    for c in job.candidates[1:]:
        rows = [n for n in result.shown[c.wall] if sheet.column("passes")[n]]
        best = min(rows, key=lambda n: sheet.column("mass_kg_per_m")[n])
        assert sheet.keys[best] == f"{c.wall}|{c.od * 1e3:.4f}|{c.id * 1e3:.4f}"


def test_tubes_put_beside_go_out_and_no_others(page) -> None:
    keys = [page.session.result.sheet.keys[n] for n in page.session.result.short[:2]]
    for n, key in enumerate(keys):
        page.bus.value = f"{n}|pick|{key}"
        page.beside.button.click()
    page.bus.value = f"7|pick|{page.session.result.sheet.keys[page.session.result.short[3]]}"
    job = job_in(page.handout)
    assert [f"{c.wall}|{c.od * 1e3:.4f}|{c.id * 1e3:.4f}" for c in job.candidates] == keys
    assert job.candidates == page.keeper.base.candidates
    assert page.handout.which.value.startswith("Handed over: ")
    assert "lightest that passes is recommended" in page.handout.which.value


def test_a_failing_tube_is_never_called_recommended(page) -> None:
    field(page, "case.0.load").value = "5 kN"
    assert page.session.result.passing == 0
    assert "recommended" not in page.handout.which.value
    assert "The selected one fails." in page.handout.which.value
    assert job_in(page.handout).chosen == -1


def test_nothing_selected_goes_nowhere(page) -> None:
    page.controls.od.ends[0].input.value = "1 mm"
    page.controls.od.ends[1].input.value = "1.1 mm"
    assert page.session.result.row is None
    assert "nothing goes out" in page.handout.which.value


def test_tubes_of_a_stock_list_go_out_with_name_and_price(page) -> None:
    page.controls.source.value = "demo"
    job = job_in(page.handout)
    table = page.session.choice.stock.stock.table.set_index("id")
    assert job.currency == "EUR"
    for c in job.candidates:
        row = table.loc[c.note]
        assert c.od * 1e3 == pytest.approx(row["od_mm"])
        assert c.price == pytest.approx(row["price"] / row["length_mm"] * 1e3, abs=1e-3)


def test_a_price_in_another_currency_is_left_out_and_said(page) -> None:
    page.handout.customer.fields["currency"].input.value = "USD"
    page.controls.source.value = "demo"
    page.beside.button.click()
    assert math.isnan(page.keeper.base.candidates[0].price)
    assert "priced in EUR and the job in USD" in page.session.status
    assert kept(page).currency == "USD"


def test_units_and_need_of_the_page_go_along(page) -> None:
    page.units.value = "inch"
    field(page, "case.0.load").value = "61 N"
    job = job_in(page.handout)
    assert job.units == "inch"
    assert job.need.cases[0].load == pytest.approx(61.0)
    assert " in" in plain(page.handout.which.value)


def test_more_tubes_than_can_be_told_are_counted() -> None:
    tubes = tuple(Candidate("304", 0.02 + 0.001 * k, 0.018 + 0.001 * k) for k in range(9))
    said = outgoing.tubes_words(Job(candidates=tubes, chosen=8))
    assert "28 × 26 mm, recommended; and 4 more." in plain(said)
    assert said.count("304") == 5


# ---- what is refused ---------------------------------------------------------------------------
def test_nothing_goes_out_from_an_old_result(page, beside) -> None:
    field(page, "case.0.span").value = "1,2 m"
    beside.span.input.value = "1,2 m"
    for one in (page, beside):
        assert "Mend the marked field first" in one.handout.which.value
        for button in (*one.handout.buttons.values(), one.handout.quote):
            one.handout.say("")
            button.click()
            assert "Mend the marked field first" in one.handout.status
        assert one.handout.file.value == ""
        assert one.handout.words.value == ""
    field(page, "case.0.span").value = "1.2 m"
    assert "Mend" not in page.handout.which.value


def test_words_of_a_quote_go_away_when_they_no_longer_hold(page, beside) -> None:
    for one in (page, beside):
        one.handout.quote.click()
        assert escape(quote_text(one._going())) in one.handout.words.value
        assert "data-copy" in one.handout.words.value
    field(page, "case.0.load").value = "50 N"
    beside.cards.cards[0].sizes["od"].input.value = "33 mm"
    assert page.handout.words.value == ""
    assert beside.handout.words.value == ""


def test_a_refusal_of_the_core_is_one_sentence(page, monkeypatch) -> None:
    def refuse(*_: object) -> None:
        raise InputError("the wall is thicker than the radius", where="candidate 1")

    monkeypatch.setattr(outgoing, "write", refuse)
    page.handout.buttons["page"].click()
    assert "candidate 1: the wall is thicker than the radius." in page.handout.status
    assert not page.handout.buttons["page"].disabled


def test_a_fault_is_said_without_its_traceback(page, monkeypatch, capfd) -> None:
    def break_it(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(outgoing, "write", break_it)
    page.handout.buttons["pdf"].click()
    assert "fault of its own" in page.handout.status
    assert "Traceback" not in page.handout.status
    assert "ZeroDivisionError" in capfd.readouterr().err
    assert not page.handout.buttons["pdf"].disabled


def test_a_slow_file_says_that_it_is_being_written(page, monkeypatch) -> None:
    seen: list[tuple[str, bool]] = []

    def slow(key: str, *_: object) -> outgoing.File:
        seen.append((page.handout.status, page.handout.buttons[key].disabled))
        return "a.html", "text/html", b"<"

    monkeypatch.setattr(outgoing, "write", slow)
    page.handout.buttons["page"].click()
    assert "Writing: customer page …" in seen[0][0]
    assert seen[0][1]
    assert "Saved a.html" in page.handout.status
    assert not page.handout.buttons["page"].disabled


# ---- pages that show no tube -----------------------------------------------------------------
def test_start_hands_over_once_there_is_a_job() -> None:
    one = Carrier("start")
    assert "tc-gone" in one.door._dom_classes
    one.keeper._open(Job(Need.from_toml(NEED)), "")
    assert "tc-gone" not in one.door._dom_classes
    assert "best of up to three" in one.handout.which.value
    assert got(one.handout, "page")[0] == "tubecalc-sampling-boom.html"
    job = Job(Need.from_toml(NEED), (Candidate("6063-T6", 0.038, 0.034),), 0)
    linked = Carrier("evidence", link.write_job(job))
    assert "6063-T6 aluminium 38 × 34 mm" in plain(linked.handout.which.value)
    assert job_in(linked.handout).candidates == job.candidates


# ---- words for the customer --------------------------------------------------------------------
WORDS = {
    "customer": "Tidal Survey", "reference": "Q-17", "author": "A. Wright", "date": "2026-11-25",
    "currency": "EUR", "introduction": "As we said on the telephone.", "closing": "Ex works.",
}  # fmt: skip


def type_words(handout: Handout) -> None:
    for key, words in WORDS.items():
        handout.customer.fields[key].input.value = words


def test_words_for_the_customer_are_kept_and_reach_the_page(page, beside) -> None:
    wanted = Text("Tidal Survey", "Q-17", "As we said on the telephone.", "Ex works.", "A. Wright")
    for one in (page, beside):
        type_words(one.handout)
        for job in (kept(one), job_in(one.handout)):
            assert (job.text, job.date, job.currency) == (wanted, "2026-11-25", "EUR")
        html = got(one.handout, "page")[1].decode()
        for words in WORDS.values():
            assert words == "EUR" or words in html
        query = re.search(r'ipynb\?([^"]+)"', one.head.value)[1]
        back = link.read_job(unescape(query))[0]
        assert (back.text, back.date) == (wanted, "2026-11-25")


def test_another_kernel_shows_the_words_again(page, beside) -> None:
    type_words(page.handout)
    other = choose.open_page("")
    other.keeper._open(kept(page), kept(page).to_toml())
    third = compare.Page(CompareSession(compare.start_choice()[0]))
    third._take(kept(page), "")
    for one in (other, third):
        for key, words in WORDS.items():
            assert one.handout.customer.fields[key].input.value == words


@pytest.mark.parametrize(
    ("key", "typed"), [("date", "tomorrow"), ("date", "2026-02-30"), ("customer", "x" * 300),
                       ("closing", "x" * 5000)]
)  # fmt: skip
def test_words_that_cannot_be_taken_are_said_at_their_field(page, key: str, typed: str) -> None:
    box, before = page.handout.customer.fields[key], kept(page)
    box.input.value = typed
    assert box.message.value
    assert box.input.value == typed
    assert kept(page).text == before.text
    assert 'data-hold="1"' in page.keeper.store.value
    assert unescape(box.message.value) in unescape(page.handout.which.value)
    page.handout.buttons["page"].click()
    assert page.handout.file.value == ""
    box.input.value = ""
    assert "Handed over" in page.handout.which.value


def test_hostile_words_stay_words(page, beside) -> None:
    for one in (page, beside):
        for key in ("customer", "reference", "introduction", "closing", "author", "currency"):
            one.handout.customer.fields[key].input.value = HOSTILE
        one.handout.customer.fields["date"].input.value = HOSTILE
    beside.cards.cards[0].words["label"].input.value = HOSTILE
    beside.cards.cards[0].words["note"].input.value = HOSTILE
    for one in (page, beside):
        one.handout.customer.fields["date"].input.value = ""
        one.handout.quote.click()
    texts = [w.value for w in _instances.values()
             if type(w).__name__ == "HTML" and isinstance(w.value, str)]  # fmt: skip
    everything = "".join(texts)
    assert "<img" not in everything
    assert "<script" not in everything
    html = got(beside.handout, "page")[1].decode()
    assert "<img" not in html
    assert job_in(beside.handout).text.customer == HOSTILE


def test_a_title_cannot_leave_its_folder(page) -> None:
    draft = page.session.choice.draft
    page.session.change(draft=type(draft)("../../etc/x\\y\x00:*", *list(vars(draft).values())[1:]))
    name = got(page.handout, "csv")[0]
    assert re.fullmatch(r"tubecalc-[\w-]+\.csv", name)


# ---- cards of the comparison -------------------------------------------------------------------
def test_names_notes_and_the_recommended_one_are_set_on_the_cards(beside) -> None:
    card = beside.cards.cards[2]
    card.words["label"].input.value = "  the light one "
    card.words["note"].input.value = "two weeks"
    card.price.input.value = "41.5"
    beside.cards.cards[1].best.value = True
    job = kept(beside)
    one = job.candidates[2]
    assert (one.label, one.note, one.price) == ("the light one", "two weeks", 41.5)
    assert job.chosen == 1
    assert [c.best.value for c in beside.cards.cards[:3]] == [False, True, False]
    assert "6063-T6 aluminium 32 × 28 mm, recommended" in plain(beside.handout.which.value)
    assert "the light one" in beside.table.value
    card.best.value = True
    assert [c.best.value for c in beside.cards.cards[:3]] == [False, False, True]
    assert beside.session.result.judged.best == 2
    card.best.value = False
    assert beside.session.choice.job.chosen == -1
    assert "lightest that passes is recommended" in beside.handout.which.value


def test_the_recommended_one_stays_who_it_is(beside) -> None:
    beside.cards.cards[2].best.value = True
    beside.cards.cards[0].drop.click()
    assert beside.session.choice.job.chosen == 1
    beside.adds.new.value = "4130"
    assert beside.session.choice.job.chosen == 1
    assert beside.cards.cards[1].best.value
    many = tuple(Candidate("304", 0.02 + 0.001 * k, 0.018 + 0.001 * k) for k in range(8))
    beside._take(Job(candidates=many, chosen=7), "")
    beside.cards.cards[0].drop.click()
    beside.cards.cards[0].drop.click()
    beside.cards.cards[0].drop.click()
    assert beside.session.choice.job.candidates[beside.session.choice.job.chosen] == many[7]


def test_a_name_too_long_is_said_at_its_field(beside) -> None:
    box = beside.cards.cards[0].words["label"]
    box.input.value = "x" * 201
    assert "too long" in box.message.value
    assert kept(beside).candidates[0].label == ""
    box.input.value = "x"
    assert not box.message.value


@pytest.mark.parametrize("typed", ["-1", "dear", "inf", "nan", "1,5"])
def test_a_price_that_is_none_is_said_at_its_field(beside, typed: str) -> None:
    box = beside.cards.cards[0].price
    box.input.value = typed
    assert box.message.value
    assert math.isnan(kept(beside).candidates[0].price)


# ---- own stock list on the comparison ----------------------------------------------------------
def test_an_own_stock_list_is_opened_on_the_comparison(beside) -> None:
    text = (
        b"id,construction,od_mm,id_mm,length_mm,price,currency\n"
        b"A1,6063-T6,38,34,2000,30,EUR\nA2,6063-T6,30,31,1000,1,EUR\nA3,304,20,18,1000,5,GBP\n"
    )
    upload(beside.adds.upload, "mine.csv", text)
    assert beside.adds.stock.options[0][0] == "from mine.csv …"
    assert len(beside.adds.stock.options) == 3
    assert "mine.csv: 2 tubes read, 1 rows refused." in beside.session.status
    beside.adds.stock.value = 0
    one = beside.session.choice.shown[-1]
    assert (one.wall, one.note, one.price) == ("6063-T6", "A1", 15.0)
    assert beside.session.choice.job.currency == "EUR"
    beside.adds.stock.value = 1
    assert math.isnan(beside.session.choice.shown[-1].price)
    assert "priced in GBP" in beside.session.status


@pytest.mark.parametrize("content", [b"", b"\x00\x01nothing here", b"a,b\n1,2\n", b"PK\x03\x04x"])
def test_a_list_that_cannot_be_read_is_a_sentence(beside, content: bytes) -> None:
    before = beside.adds.stock.options
    upload(beside.adds.upload, "bad.csv" if content[:2] != b"PK" else "bad.xlsx", content)
    assert "bad." in beside.session.status
    assert "fault" not in beside.session.status
    assert beside.adds.stock.options == before


def test_a_list_too_large_is_refused_on_both_pages() -> None:
    with pytest.raises(InputError, match=r"^a\.csv: is too large, expected at most 50 MB"):
        open_stock("a.csv", bytes(SIZE_LIMIT + 1))


def test_a_long_list_is_searched(beside) -> None:
    lines = [f"T{k:04d},304,{20 + k / 100:.2f},18" for k in range(700)]
    upload(
        beside.adds.upload, "long.csv", "\n".join(["id,construction,od_mm,id_mm", *lines]).encode()
    )
    assert len(beside.adds.stock.options) == 301
    assert "300 of 700 tubes are listed" in beside.adds.note.value
    beside.adds.find.value = "T0698"
    assert [n for _, n in beside.adds.stock.options] == [-1, 698]
    beside.adds.stock.value = 698
    assert beside.session.choice.shown[-1].note == "T0698"
    beside.adds.find.value = "no such"
    assert "No tube of the list is called so." in beside.adds.note.value


# ---- own walls on page choose ------------------------------------------------------------------
WALL = {
    "name": HOSTILE, "process": "wound", "hatch": "helix",
    "fill": [{"ply": "carbon-sm-ud", "angle": 0}, {"ply": "carbon-sm-ud", "angle": 90}],
}  # fmt: skip


def with_wall(key: str = "my wall, 2|x") -> choose.Page:
    job = Job(Need.from_toml(NEED), walls={key: WALL, "other": {**WALL, "name": "other one"}})
    return choose.open_page(link.write_job(job))


def test_own_walls_are_ticked_swept_and_picked() -> None:
    key = "my wall, 2|x"
    page = with_wall(key)
    assert page.session.problems == {}
    assert list(page.controls.ticks)[:2] == [key, "other"]
    assert page.controls.ticks[key].value
    result = page.session.result
    rows = result.shown[key]
    assert len(rows) > 100
    row = next(n for n in rows if result.sheet.column("passes")[n])
    page.bus.value = f"1|pick|{result.sheet.keys[row]}"
    assert page.session.result.row == row
    assert page.session.result.tube.construction.key == key
    assert "<img" not in page.answer.value + page.table.value + page.layer.value
    out = job_in(page.handout)
    assert out.candidates[0].wall == key
    assert out.walls[key] == WALL
    page.beside.button.click()
    assert page.keeper.base.candidates[0].wall == key


def test_an_own_wall_judges_as_the_core_does() -> None:
    page = with_wall("own")
    result = page.session.result
    page.bus.value = f"1|pick|{result.sheet.keys[int(result.shown['own'][-1])]}"
    row, sheet = page.session.result.row, page.session.result.sheet
    judged = judge(page._going())
    assert judged.mass[0] == pytest.approx(sheet.column("mass_kg_per_m")[row], rel=1e-6)
    assert judged.passes(0) == bool(sheet.column("passes")[row])


def test_own_walls_are_unticked_kept_linked_and_gone_with_their_job() -> None:
    key = "my wall, 2|x"
    page = with_wall(key)
    page.controls.ticks["other"].value = False
    assert "other" not in page.session.result.shown
    again = choose.open_page(link.write_query(page.session.choice, page.keeper.base))
    assert again.session.status == ""
    assert again.session.choice.constructions == page.session.choice.constructions
    fresh = choose.open_page("")
    fresh.keeper._open(kept(page), kept(page).to_toml())
    assert fresh.session.choice.constructions == page.session.choice.constructions
    assert len(parse_qs(link.write_query(fresh.session.choice))["of"]) == 1
    fresh.keeper._open(Job(Need.from_toml(NEED)), "")
    assert next(iter(fresh.controls.ticks)) == "pultruded"
    assert fresh.session.problems == {}
    assert key not in fresh.session.choice.constructions


def test_own_walls_have_colours_and_no_new_widgets() -> None:
    page = with_wall("own")
    assert "--tc-line-own:" in page.style.value
    job, empty = kept(page), Job(Need.from_toml(NEED))
    page.keeper._open(empty, "")
    count = len(_instances)
    for _ in range(3):
        page.keeper._open(job, job.to_toml())
        page.keeper._open(empty, "")
    assert len(_instances) == count


def test_handing_over_makes_no_new_widgets(page, beside) -> None:
    for one in (page, beside):
        got(one.handout, "csv")
        count = len(_instances)
        for k in range(5):
            got(one.handout, "csv")
            one.handout.quote.click()
            one.handout.customer.fields["customer"].input.value = f"C{k}"
        assert len(_instances) == count


def test_state_of_the_comparison_goes_out_with_it(beside) -> None:
    beside.slider.set_state({"value": 0.9})
    assert job_in(beside.handout).page == job_of(beside.session.choice).page
