"""The job on the pages: opened, saved, carried, kept by the browser, and in a link."""

from __future__ import annotations

import base64
import re
import zlib
from dataclasses import replace
from datetime import UTC, datetime
from html import unescape
from urllib.parse import parse_qs

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tubecalc import datafiles
from tubecalc.app import engine, link
from tubecalc.app.carrier import Carrier
from tubecalc.app.carry import READERS, choice_of, job_of, state_of
from tubecalc.app.draft import Draft, to_toml
from tubecalc.app.jobs import Keeper, read_file
from tubecalc.app.pages import choose, evidence, start
from tubecalc.app.state import Choice, Session
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job, Text
from tubecalc.need import Need

TUBES = (Candidate("pultruded", 0.01, 0.008), Candidate("6063-T6", 0.02, 0.017, "al", 12.5, "n"))
FILE = (datafiles.data_dir() / "jobs" / "winch-shaft.toml").read_text(encoding="utf-8")


@pytest.fixture
def page() -> choose.Page:
    return choose.Page(Session(engine.run, choose.start_choice()[0]))


def field(page: choose.Page, path: str):
    return next(b for slot, b in page.sentence._fields.items() if slot.startswith(f"{path}|")).input


def upload(keeper: Keeper, name: str, content: bytes) -> None:
    file = {"name": name, "type": "", "size": len(content), "content": memoryview(content)}
    keeper.upload.set_trait("value", ({**file, "last_modified": datetime.now(UTC)},))


def kept(keeper: Keeper) -> str:
    """What the browser is told."""
    return unescape(re.sub(r"^<pre [^>]*>|</pre>$", "", keeper.store.value))


def told(keeper: Keeper, name: str) -> str:
    found = re.search(rf'data-{name}="([^"]*)"', keeper.store.value)
    assert found is not None
    return found[1]


def hear(keeper: Keeper, kind: str, words: str = "", text: str = "") -> None:
    """What keep.js puts into the inbox."""
    keeper.inbox.value = f"{len(keeper.inbox.value)}|{kind}|{words}\n{text}"


def fresh(text: str, kind: str = "again") -> choose.Page:
    """A page of another kernel that is given what the browser kept."""
    page = choose.open_page("")
    hear(page.keeper, kind, "14:05", text)
    return page


# ---- kept by the browser ---------------------------------------------------------------------
def test_another_kernel_shows_what_the_first_was_told(page) -> None:
    """Reload or dead kernel: every setting comes back, the need as it was typed."""
    field(page, "case.0.span").value = "4 ft"
    page.controls.od.ends[1].input.value = "35 mm"
    page.controls.ticks["pultruded"].value = False
    page.controls.weight.value = True
    page.controls.beyond.value = True
    page.units.value = "workshop"
    page.bus.value = "1|sort|mass_kg"
    page.bus.value = f"2|pick|{page.session.result.sheet.keys[page.session.result.short[1]]}"
    other = fresh(kept(page.keeper))
    assert replace(other.session.choice, width=720) == replace(page.session.choice, width=720)
    assert field(other, "case.0.span").value == "4 ft"
    assert kept(other.keeper) == kept(page.keeper)
    assert "Taken up again from this browser, 14:05." in other.keeper.note.value
    assert 'data-keep="afresh"' in other.keeper.note.value


@pytest.mark.parametrize(
    ("path", "typed"),
    [("case.0.span", "1,2 m"), ("case.0.load", ""), ("factors.strength", "two"),
     ("case.0.load", '"; </pre><script>'), ("limits.od_max", "40")],
)  # fmt: skip
def test_an_entry_that_cannot_be_read_is_kept_as_typed(page, path: str, typed: str) -> None:
    field(page, "case.0.tip_mass").value = "0.9 kg"
    field(page, path).value = typed
    assert page.session.problems
    assert "<script" not in page.keeper.store.value
    job = Job.from_toml(kept(page.keeper) + "\n")
    assert job.need == page.session.result.need  # the last that could be read
    other = fresh(kept(page.keeper))
    if typed:
        assert field(other, path).value == typed
    assert field(other, "case.0.tip_mass").value == "0.9 kg"
    assert set(other.session.problems) == set(page.session.problems)


def test_a_size_that_cannot_be_read_is_held_for_the_browser(page) -> None:
    page.controls.od.ends[1].input.value = "35,5 mm"
    assert told(page.keeper, "hold") == "1"
    page.controls.od.ends[1].input.value = "35.5 mm"
    assert told(page.keeper, "hold") == "0"


def test_a_need_without_a_case_is_kept(page) -> None:
    page.session.change(draft=Draft("Mine"))
    other = fresh(kept(page.keeper))
    assert other.session.choice.draft.cases == ()
    assert other.session.choice.draft.title == "Mine"


def test_a_need_finished_while_a_size_is_wrong_is_not_lost(page) -> None:
    page.controls.od.ends[1].input.value = "35,5 mm"
    field(page, "case.0.load").value = "77 N"
    assert Job.from_toml(kept(page.keeper)).need.cases[0].load == 77.0
    assert field(fresh(kept(page.keeper)), "case.0.load").value == "77 N"


@pytest.mark.parametrize(
    "text", ["", "job = 2\n", "<p>", "job = 1\n[need]\nx = 1\n", "\x00", "job = 1\n[[need.case]]\n"]
)
def test_what_the_browser_kept_may_be_damaged(page, text: str) -> None:
    before = page.session.choice
    hear(page.keeper, "again", "14:05", text)
    assert page.session.choice == before
    assert "cannot be opened" in page.keeper.note.value
    assert told(page.keeper, "taken") == "1"


def test_the_browser_speaks_and_the_page_answers(page) -> None:
    count = int(told(page.keeper, "count"))
    hear(page.keeper, "ping")
    assert int(told(page.keeper, "count")) > count
    hear(page.keeper, "offer", "<b>x</b>, 14:05")
    assert "&lt;b&gt;x" in page.keeper.note.value
    assert 'data-keep="take"' in page.keeper.note.value
    assert 'data-keep="forget"' in page.keeper.note.value
    hear(page.keeper, "blocked")
    assert "keeps nothing" in page.keeper.note.value
    said = page.keeper.note.value
    for noise in ("", "|", "3", "4|again", "5|shell|rm", "\n"):
        page.keeper.inbox.value = noise
    assert page.keeper.note.value == said or "cannot be opened" in page.keeper.note.value


def test_a_changed_job_is_told_in_few_characters(page) -> None:
    """It goes with every step of a slider."""
    assert len(page.keeper.store.value) < 4000


def test_stock_list_does_not_travel_and_the_page_says_so(page) -> None:
    page._load_stock(("mine.csv", b"id,construction,od_mm,id_mm\nA1,6063-T6,38,34\n"))
    page.keeper.save.click()
    assert 'stock list "mine.csv" does not travel' in unescape(page.status.value)
    other = fresh(kept(page.keeper))
    assert other.session.choice.stock is None
    assert 'stock list "mine.csv" does not travel' in unescape(other.keeper.note.value)
    hear(page.keeper, "again", "14:05", kept(page.keeper))  # the very same list is still there
    assert page.session.choice.stock.name == "mine.csv"
    page._load_stock("demo")
    assert fresh(kept(page.keeper)).session.choice.stock.name == "demo"


# ---- files -----------------------------------------------------------------------------------
def saved(keeper: Keeper) -> tuple[str, Job]:
    keeper.save.click()
    found = re.search(r'download="([^"]+)" href="data:[^;]+;base64,([^"]+)"', keeper.file.value)
    assert found is not None
    return found[1], Job.from_toml(base64.b64decode(found[2]).decode())


def test_opened_job_is_saved_whole(page) -> None:
    """What page choose does not show comes out as it went in."""
    walls = {"mine": {"fill": [{"ply": "glass-ud", "angle": 45}]}}
    job = Job(
        Need.from_toml(FILE), (*TUBES, Candidate("mine", 0.02, 0.018)), 1, walls, "inch", "EUR",
        Text("A", "B", "<i>", "D", "E"), ({"force_N": [1.0, 2.0]},), "2026-11-25",
        {"compare": {"view": "same mass"}},
    )  # fmt: skip
    upload(page.keeper, "job.toml", job.to_toml().encode())
    assert page.status.value == '<span role="status">Opened job.toml.</span>'
    assert page.session.choice.units == "inch"
    name, back = saved(page.keeper)
    assert name == "tubecalc-winch-shaft.job.toml"
    assert replace(back, page={}) == replace(job, page={})
    assert back.page["compare"] == job.page["compare"]
    assert back.page["choose"] == state_of(page.session.choice)


def test_a_need_file_keeps_the_units_and_the_ranges_on_screen(page) -> None:
    page.units.value = "workshop"
    page.controls.wall.ends[1].input.value = "2 mm"
    upload(page.keeper, "need.toml", FILE.encode())
    assert page.session.choice.units == "workshop"
    assert page.session.choice.wall[1] == pytest.approx(0.002)
    assert page.session.result.need == Need.from_toml(FILE)
    assert to_toml(page.session.choice.draft).count("rad") == 0  # as typed in the file


def test_a_customer_page_is_opened_as_a_job(page) -> None:
    job = Job(Need.from_toml(FILE), TUBES)
    html = f"<!doctype html>\n<html><body>{job.to_html()}</body></html>"
    upload(page.keeper, "offer.html", html.encode())
    assert page.session.result.need == job.need
    assert page.keeper.base.candidates == TUBES
    upload(page.keeper, "cut.html", html[: len(html) // 2].encode())
    assert "cut.html:job block" in page.status.value
    assert "cut off" in page.status.value


@pytest.mark.parametrize(
    ("content", "words"),
    [(b"", "empty"), (b"\xff\xfe", "UTF-8"), (b"<html></html>", "holds no job"),
     (b"job = 2", "newer"), (b"#" * (5 * 2**20 + 1), "too big"), (b"x = ", "line 1"),
     (b"job = 1\n[need]\n" + b"[[need.case]]\nkind='shaft'\ntorque='1 N m'\n" * 13, "13")],
    ids=["empty", "bytes", "page", "newer", "big", "broken", "cases"],
)  # fmt: skip
def test_what_is_no_job_is_a_sentence_and_loses_nothing(page, content: bytes, words: str) -> None:
    before, base = page.session.choice, page.keeper.base
    upload(page.keeper, "bad.toml", content)
    assert words in page.status.value
    assert page.session.choice == before
    assert page.keeper.base is base


def test_read_file_names_the_file() -> None:
    with pytest.raises(InputError, match=r"^mine\.toml:candidate 1:wall: "):
        read_file("mine.toml", b'job = 1\n[[candidate]]\nwall="x"\nod="2 mm"\nid="1 mm"\n')


# ---- other pages -----------------------------------------------------------------------------
def test_start_and_evidence_open_save_and_carry() -> None:
    job = Job(Need.from_toml(FILE), TUBES)
    for name in ("start", "evidence"):
        one = Carrier(name)
        assert kept(one.keeper) == ""  # nothing to carry yet
        one.keeper.save.click()
        assert "no job yet" in one.keeper.note.value
        hear(one.keeper, "carry", "choose", job.to_toml())
        assert "Carried over from page choose." in one.keeper.note.value
        assert "1 case, 2 tubes" in one.keeper.note.value
        assert saved(one.keeper)[1] == job
        assert kept(one.keeper) == job.to_toml()
    linked = Carrier("start", link.write_job(job))
    assert linked.keeper.base == job
    assert told(linked.keeper, "link") == "1"


def texts_of(widget) -> str:
    inner = "".join(texts_of(w) for w in getattr(widget, "children", ()))
    value = getattr(widget, "value", "")
    return inner + (value if isinstance(value, str) else "")


@pytest.mark.parametrize("build", [start.build, evidence.build])
def test_every_page_has_the_bar(build) -> None:
    assert 'class="tc-keep"' in texts_of(build())


def test_tubes_for_the_comparison(page) -> None:
    button = page.beside.button
    assert button.description == "compare this tube"
    keys = [page.session.result.sheet.keys[n] for n in page.session.result.short]
    for n, key in enumerate(keys[:7]):
        page.bus.value = f"{n}|pick|{key}"
        button.click()
    assert "6 tubes are in the comparison" in page.status.value
    inside = Job.from_toml(kept(page.keeper)).candidates
    sizes = [f"{c.wall}|{c.od * 1e3:.4f}|{c.id * 1e3:.4f}" for c in inside]
    assert sizes == keys[:6]
    page.bus.value = f"9|pick|{keys[0]}"
    assert button.description == "take out of the comparison"
    button.click()
    assert len(page.keeper.base.candidates) == 5
    assert "&amp;j=" in page.head.value


# ---- a hostile or damaged state --------------------------------------------------------------
BAD_VALUES = [3, "x" * 100, [], [1], ["a", "b"], [[1], [2]], {"a": 1}, [0.0, 1e9], [True, True],
              [-1.0, 2.0], [float("nan"), 1.0]]  # fmt: skip
NO_TICK = ("constructions", [])  # is a state of the page


@pytest.mark.parametrize(
    ("key", "value"), [(k, v) for k in READERS for v in BAD_VALUES if (k, v) != NO_TICK]
)
def test_a_bad_part_of_the_state_is_named_and_left_out(key: str, value) -> None:
    base = Choice(draft=choose.jobs()["winch-shaft"])
    job = Job(Need.from_toml(FILE), page={"choose": {key: value}})
    choice, refused = choice_of(job, job.to_toml(), base)
    assert len(refused) == 1
    assert f'"{key}"' in refused[0]
    assert getattr(choice, key) == getattr(base, key)


values = st.recursive(
    st.one_of(st.text(max_size=8), st.floats(), st.integers(-9, 9), st.booleans()),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=4), inner, max_size=3)
    ),
    max_leaves=5,
)


@settings(deadline=None, max_examples=150)
@given(st.dictionaries(st.sampled_from(["typed", "stock", *READERS]), values, max_size=9))
def test_no_state_does_more_than_be_left_out(state) -> None:
    job = Job(Need.from_toml(FILE), page={"choose": state})
    choice, _ = choice_of(job, job.to_toml(), Choice())
    assert choice.draft.title == "Winch shaft" or "typed" in state
    assert 0 < choice.od[0] <= choice.od[1] <= 2.0


def test_an_edited_need_wins_over_what_was_typed(page) -> None:
    """Somebody changed the [need] of a saved file by hand."""
    field(page, "case.0.span").value = "4 ft"
    text = kept(page.keeper).replace('load = "60.0 N"', 'load = "90 N"')
    other = fresh(text)
    assert other.session.result.need.cases[0].load == 90.0


# ---- links -----------------------------------------------------------------------------------
def test_a_link_holds_the_whole_state(page) -> None:
    page.keeper.base = Job(candidates=TUBES, currency="EUR", text=Text(customer="Ä <b>"))
    page.controls.beyond.value = True
    page.bus.value = "1|sort|mass_kg"
    query = link.write_query(page.session.choice, page.keeper.base)
    assert not link.too_long(query)
    other = choose.open_page(query)
    assert other.keeper.base == page.keeper.base
    near = replace(page.session.choice, od=other.session.choice.od, wall=other.session.choice.wall)
    assert replace(other.session.choice, width=720) == replace(near, width=720)
    assert told(other.keeper, "link") == "1"
    assert other.status.value == '<span role="status"></span>' or not other.session.status


def test_a_long_link_says_so(page) -> None:
    import random

    noise = "".join(random.Random(1).choices("abcdefghijklmnopqrstuvwxyz0123456789 ", k=3000))
    page.keeper.base = Job(text=Text(introduction=noise))
    page.show()
    assert "too long for some mail programs: send the job file" in page.head.value
    assert choose.open_page(link.write_query(page.session.choice, page.keeper.base)).keeper.base


def test_a_whole_job_as_a_link() -> None:
    job = Job(Need.from_toml(FILE), TUBES, currency="EUR", page={"compare": {"view": "a"}})
    back, text, refused = link.read_job(link.write_job(job))
    assert (back, text, refused) == (job, job.to_toml(), [])
    page = choose.open_page(link.write_job(job))
    assert page.session.result.need == job.need
    assert page.keeper.base.candidates == TUBES


def packed(data: bytes) -> str:
    return base64.urlsafe_b64encode(data).decode().rstrip("=")


BOMB = zlib.compress(b"#" * 50_000_000, 9)
GOOD = zlib.compress(Job(currency="EUR").to_toml().encode())


@pytest.mark.parametrize(
    "data",
    [b"", b"\x00", BOMB, GOOD[:-4], GOOD + b"x", zlib.compress(b"\xff\xfe"), zlib.compress(b""),
     zlib.compress(b"job = 2\n"), zlib.compress(zlib.compress(b"job = 1"))],
    ids=["nothing", "zero", "bomb", "cut", "tail", "bytes", "empty", "newer", "twice"],
)  # fmt: skip
@pytest.mark.parametrize("key", ["j", "need"])
def test_a_packed_part_that_is_none_is_refused(data: bytes, key: str) -> None:
    query = f"{key}={packed(data)}"
    page = choose.open_page(query)
    assert page.session.choice.draft == choose.jobs()[choose.FIRST_JOB]
    if data:
        assert "The link" in page.session.status


@settings(deadline=None, max_examples=150)
@given(
    st.dictionaries(
        st.sampled_from(["v", "j", "need", "od", "wall", "of", "units", "by", "tube", "beyond",
                         "sort", "job", "x"]),
        st.one_of(st.text(max_size=30), st.binary(max_size=60).map(packed),
                  st.binary(max_size=60).map(zlib.compress).map(packed),
                  st.text(max_size=60).map(lambda t: packed(zlib.compress(t.encode())))),
        max_size=8,
    )
)  # fmt: skip
def test_no_link_does_more_than_be_refused(parts: dict[str, str]) -> None:
    from urllib.parse import urlencode

    query = urlencode(parts)
    job, text, refused = link.read_job(query)
    choice, more = choose.start_choice(query, job, text)
    assert choice.draft.cases
    assert all(s.startswith("The link") for s in [*refused, *more])


@settings(deadline=None, max_examples=100)
@given(st.one_of(st.text(), st.binary().map(lambda b: b.decode("latin-1"))))
def test_noise_is_no_link(noise: str) -> None:
    choice, refused = choose.start_choice(noise)
    assert choice == choose.start_choice()[0] or parse_qs(noise)
    assert all(s.startswith("The link") for s in refused)


def test_a_link_of_many_parts_or_of_great_length_is_not_used() -> None:
    for query in ("x=1&" * 500, "x=" + "y" * 40_000):
        choice, refused = choose.start_choice(query + "&units=inch")
        assert choice == choose.start_choice()[0]
        assert len(refused) == 1


def test_job_of_names_its_writer() -> None:
    job = job_of(Choice(), Job(version="0.0.1"), Need())
    assert job.version == Job().version


def test_a_link_leaves_the_bench_tests_behind_and_says_so():
    """What they leave of a load stands in the need: no figure changes by it."""
    rows = tuple({"name": f"R{n}", "kind": "ring", "note": "x" * 300} for n in range(40))
    job = Job(Need.from_toml(FILE), tests=rows)
    whole, short = link.write_job(job), link.write_job(job, tests=False)
    assert len(short) < len(whole)
    assert link.read_job(short)[0] == replace(job, tests=())
    assert link.read_job(whole)[0] == job
    page = choose.open_page(whole)
    assert page.keeper.base.tests == rows
    assert "bench tests, 40 of them" in page.head.value
    query = link.write_query(page.session.choice, page.keeper.base)
    assert "j" not in parse_qs(query)  # nothing but the need, which goes as "need"
