"""The customer page: what it says, that it holds its job, and that nobody's words can act in it."""

from __future__ import annotations

import base64
import hashlib
import math
import os
import re
from collections import Counter
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import html5lib
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.job import Candidate, Job, Text
from tubecalc.need import Need
from tubecalc.share import offer
from tubecalc.share.page import page
from tubecalc.share.page_text import clean

DATE = "2026-11-25"
NEED = Need.from_toml("""
title = "Sampling boom"
[[case]]
name = "reach"
kind = "cantilever"
load = "60 N"
span = "1.2 m"
[limits]
deflection = "25 mm"
[factors]
strength = 2.0
buckling = 2.0
""")
TEXT = Text("Estuary Survey Group", "Q-118", "A first word.", "A last word.", "A. Adviser")
STEEL, ALUMINIUM = Candidate("304-cold-drawn", 0.036, 0.032), Candidate("6063-T6", 0.038, 0.032)
JOB = Job(NEED, (STEEL, ALUMINIUM), text=TEXT, currency="EUR", date=DATE)
WALL = {"name": "plain", "hatch": "bias", "fill": [{"ply": "glass-ud", "angle": 0, "count": 2}]}


class Parsed(HTMLParser):
    """Elements with their attributes, and the text of each."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[tuple[str, dict[str, str]]] = []
        self.words: list[tuple[tuple[str, ...], str]] = []
        self.comments: list[str] = []
        self.open: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, {k: v or "" for k, v in attrs}))
        assert len(attrs) == len(dict(attrs)), "an attribute stands twice"
        if tag not in ("meta", "link", "br", "input"):
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.found.append((tag, {k: v or "" for k, v in attrs}))

    def handle_endtag(self, tag):
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.words.append((tuple(self.open), data))

    def handle_comment(self, data):
        self.comments.append(data)

    def all(self, tag: str) -> list[dict[str, str]]:
        return [attrs for name, attrs in self.found if name == tag]

    def text(self, *, scripts: bool = False) -> str:
        return "".join(
            w for at, w in self.words if scripts or not {"script", "style", "template"} & set(at)
        )


@pytest.fixture(scope="module")
def html() -> str:
    return page(JOB)


@pytest.fixture(scope="module")
def seen(html: str) -> Parsed:
    return Parsed(html)


def cells(seen: Parsed, column: str) -> list[float]:
    """Numbers behind a column of the table of tubes, in the order of the rows."""
    html = "".join(f"<{t}{''.join(f' {k}={v!r}' for k, v in a.items())}>" for t, a in seen.found)
    table = html[html.index("<table id='tubes'") :].split("<table", 2)[1]
    found = [re.findall(r"<t[hd][^>]*data-v='([^']*)'", r) for r in table.split("<tr")[2:]]
    return [float(row[COLUMNS.index(column)]) for row in found]


COLUMNS = ["tube", "od", "mass", "bar", "reserve", "result", "governed", "grade", "wall", "EI"]


# ---- what it says -----------------------------------------------------------------------
def test_the_figures_of_the_table_follow_from_the_sizes(seen: Parsed) -> None:
    """Hand formulas of a hollow circle; density and modulus of the data files."""
    want = []
    for c in (ALUMINIUM, STEEL):  # the lightest that passes comes first
        metal = tc.materials().query("key == @c.wall").set_index("property")
        rho = float(metal.loc["density", "value"]) * 1e3
        e = float(metal.loc["E", "value"]) * 1e9
        want.append((
            rho * math.pi / 4 * (c.od**2 - c.id**2), e * math.pi / 64 * (c.od**4 - c.id**4)
        ))  # fmt: skip
    assert cells(seen, "mass") == pytest.approx([m for m, _ in want], rel=2e-3)
    assert cells(seen, "EI") == pytest.approx([ei for _, ei in want], rel=2e-3)
    assert cells(seen, "od") == pytest.approx([0.038, 0.036])
    assert cells(seen, "wall") == pytest.approx([0.003, 0.002])


def test_the_verdict_is_the_only_main_heading_and_comes_first(html: str, seen: Parsed) -> None:
    levels = [int(t[1]) for t, _ in seen.found if t in ("h1", "h2", "h3")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))
    head = "".join(w for at, w in seen.words if at[-1:] == ("h1",)).replace("\u00a0", " ")
    assert head.startswith("6063-T6 aluminium, 38 × 32 mm, does what is asked at ")
    assert "Deflection governs, with a reserve of " in head
    body = html[html.index("<main>") :]
    order = [body.index(w) for w in ("<h1", "What is asked", 'class="chart"', "Reserve, by way",
                                     "The wall", "Side by side", "To mind", "Every check",
                                     "Assumptions", "Grades of evidence")]  # fmt: skip
    assert order == sorted(order)


def test_every_part_that_a_customer_needs_is_there(seen: Parsed) -> None:
    text = re.sub(r"\s+", " ", seen.text())
    for words in (
        "Sampling boom", "for Estuary Survey Group", "reference Q-118", DATE, "A first word.",
        "A last word.", "A. Adviser", "It must carry 60 N at the tip of a reach of 1 200 mm.",
        "Every load is counted 2 times.", "expected error", "EN 1999-1-1",
        "Timoshenko beam", f"tubecalc {tc.__version__}", "licensed engineer", "rule of thumb",
    ):  # fmt: skip
        assert words.lower() in text.lower()


def test_tables_name_their_rows_and_columns_and_pictures_their_message(seen: Parsed) -> None:
    assert all(th.get("scope") in ("row", "col") for th in seen.all("th"))
    pictures = [s for s in seen.all("svg") if s.get("role") == "img"]
    assert len(pictures) >= 4
    assert all(len(s["aria-label"]) > 30 for s in pictures)
    assert all(s.get("aria-hidden") == "true" for s in seen.all("svg") if "role" not in s)
    charts = [s["aria-label"] for s in pictures if s["aria-label"].startswith("Chart")]
    assert all("passes" in says and "6063-T6" in says for says in charts)
    assert seen.all("html")[0]["lang"] == "en"
    assert len(seen.all("main")) == len(seen.all("header")) == len(seen.all("footer")) == 1
    ids = [a["id"] for _, a in seen.found if "id" in a]
    assert len(ids) == len(set(ids))


def test_the_other_units_lie_ready(seen: Parsed) -> None:
    """38 mm and 32 mm over 25.4 mm an inch; 60 N over 4.44822 N a pound-force."""
    heads = seen.all("h1")
    assert "1.496\u00a0×\u00a01.26\u00a0in" in heads[0]["data-inch"]
    said = [a["data-inch"] for a in seen.all("li") if "data-inch" in a]
    assert any("13.5\u00a0lbf" in s and "47.24\u00a0in" in s for s in said)
    kept = [a["data-workshop"] for a in seen.all("li") if "data-workshop" in a]
    assert any("6.1\u00a0kgf" in s for s in kept)  # 60 N / 9.80665
    names = {a["id"] for a in seen.all("template")}
    assert names == {"chart-workshop", "chart-inch"}
    drawn = [a.get("data-inch", "") for a in seen.all("text")]
    assert "outside 1.496 in" in [d.replace("\u00a0", " ") for d in drawn]


def test_where_none_passes_it_says_so_and_what_helps_does_help() -> None:
    thin = Candidate("6063-T6", 0.030, 0.028)
    seen = Parsed(page(replace(JOB, candidates=(thin, replace(thin, od=0.026, id=0.024)))))
    text = seen.text().replace("\u00a0", " ")
    assert "None of these 2 tubes does what is asked. Nearest is 6063-T6" in text
    assert "aluminium, 30 × 28 mm: " in text
    assert "✗ Does not pass" in text
    assert "None of the 2 tubes passes" in text
    wall = re.search(r"Least wall at this diameter: ([\d.]+ mm)\.", text)
    outside = re.search(r"Least outside diameter with this wall: ([\d.]+ mm)\.", text)
    eased = re.search(r"relax deflection to ([\d.]+ mm) and take ([\d.]+) times the load", text)
    assert wall
    assert outside
    assert eased
    assert tc.check(tc.Tube("6063-T6", od="30 mm", wall=wall[1]), NEED).passes
    assert tc.check(tc.Tube("6063-T6", od=outside[1], wall="1 mm"), NEED).passes
    less = NEED.to_toml().replace("0.025 m", eased[1]).replace("60.0", str(60 * float(eased[2])))
    assert tc.check(tc.Tube("6063-T6", od="30 mm", wall="1 mm"), Need.from_toml(less)).passes


def test_a_chosen_tube_that_fails_is_not_praised() -> None:
    thin = Candidate("6063-T6", 0.030, 0.028)
    text = Parsed(page(replace(JOB, candidates=(STEEL, thin), chosen=1))).text()
    assert "was chosen but does not do what is asked" in text
    assert "does what is asked at" not in text


def test_without_a_load_nothing_is_judged() -> None:
    seen = Parsed(page(replace(JOB, need=Need())))
    text = seen.text()
    assert "no load is stated, so none is judged" in text
    assert "passes" not in text
    assert not [t for t in seen.all("table") if t.get("id") == "checks"]


@pytest.mark.slow
def test_a_need_alone_is_offered_the_best_of_three_constructions() -> None:
    job = Job(NEED, date=DATE)
    found = offer.offered(job)
    assert len({c.wall for c in found.candidates}) == len(found.candidates) == 3
    masses = []
    for c in found.candidates:
        tube = c.tube(found)
        assert tc.check(tube, NEED).passes
        masses.append(float(tube.mass_per_length.to("kg/m").magnitude))
    assert masses == sorted(masses)
    table = tc.sweep(NEED, specific=False)
    good = table[table["passes"] & table["in_range"] & ~table["unproven"]]
    assert masses[0] == pytest.approx(float(good["mass_kg_per_m"].min()))
    assert Job.from_html(page(job)) == job


def test_nothing_to_offer_is_refused_in_words() -> None:
    with pytest.raises(tc.InputError, match="neither a tube nor a need"):
        page(Job())


# ---- the file ---------------------------------------------------------------------------
def test_the_page_gives_its_job_back(html: str, tmp_path: Path) -> None:
    assert Job.from_html(html) == JOB
    written = tc.write_page(JOB, tmp_path / "offer.html")
    assert written.read_text(encoding="utf-8") == html
    assert Job.from_html(written) == JOB


def test_the_same_job_and_date_give_the_same_bytes() -> None:
    assert page(replace(JOB), date="2030-01-02") == page(replace(JOB), date="2030-01-02")
    assert "2030-01-02" in page(JOB, date="2030-01-02")
    with pytest.raises(tc.InputError, match="is not a date"):
        page(JOB, date="soon")


def test_the_policy_names_the_only_style_and_the_only_script(html: str, seen: Parsed) -> None:
    policy = next(m["content"] for m in seen.all("meta") if "http-equiv" in m)
    assert policy.startswith("default-src 'none'; ")
    assert "unsafe" not in policy
    for tag in ("style", "script"):
        inline = re.findall(rf"<{tag}>(.*?)</{tag}>", html, re.DOTALL)
        assert len(inline) == 1
        digest = base64.b64encode(hashlib.sha256(inline[0].encode()).digest()).decode()
        assert f"{tag}-src 'sha256-{digest}'" in policy
    assert html.index("Content-Security-Policy") < html.index("<style>")
    assert not re.search(r"://|url\(|@import", html)
    assert [a["href"] for _, a in seen.found if "href" in a and not a["href"].startswith("#")] == [
        "data:,"
    ]
    assert not [a for _, a in seen.found if {"src", "style", "srcset", "action"} & set(a)]


def test_a_parser_that_forgives_nothing_reads_it(html: str) -> None:
    html5lib.HTMLParser(strict=True).parse(html)


def test_six_tubes_stay_below_400_kilobytes() -> None:
    six = tuple(
        replace(c, od=c.od + k * 1e-3, id=c.id + k * 1e-3)
        for c in (STEEL, ALUMINIUM)
        for k in range(3)
    )
    assert len(page(replace(JOB, candidates=six)).encode()) < 400_000


def test_another_ending_or_a_missing_folder_is_refused(tmp_path: Path) -> None:
    for name in ("offer.pdf", "offer", "offer.html.exe"):
        with pytest.raises(tc.InputError, match=r"ends in \.html"):
            tc.write_page(JOB, tmp_path / name)
    with pytest.raises(tc.InputError, match="cannot be written"):
        tc.write_page(JOB, tmp_path / "none" / "offer.html")
    with pytest.raises(tc.InputError, match="zero byte"):
        tc.write_page(JOB, f"{tmp_path}/a\x00.html")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("step", ["fsync", "fdopen"])
def test_a_failed_write_leaves_the_old_file(
    step: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "offer.html"
    path.write_text("old", encoding="utf-8")

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, step, full)
    with pytest.raises(tc.InputError, match="No space left"):
        tc.write_page(JOB, path)
    monkeypatch.undo()
    assert path.read_text(encoding="utf-8") == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_a_new_file_may_be_read_by_others_and_an_old_one_keeps_its_rights(tmp_path: Path) -> None:
    path = tmp_path / "offer.html"
    tc.write_page(JOB, path)
    mask = os.umask(0)
    os.umask(mask)
    assert path.stat().st_mode & 0o777 == 0o666 & ~mask
    path.chmod(0o600)
    tc.write_page(JOB, path)
    assert path.stat().st_mode & 0o777 == 0o600


# ---- other people's words ---------------------------------------------------------------
HOSTILE = [
    "</script><script>alert(1)</script>", "<img src=x onerror=alert(1)>", "<!--", "-->", "]]>",
    "</title><svg onload=alert(1)>", "</style>", "' onmouseover='alert(1)", '" autofocus="',
    "&lt;b&gt;", "&#60;script&#62;", "&amp", "\u202egnp.exe", "\u2066\u2069\u2069",
    "\x00\x01\x1b\x7f",    "\x85\x9f", "\ufdd0\uffff\U0001fffe", "a\r\nb\rc\n\nd", "\u2028\u2029",
    "{{7*7}}", "javascript:alert(1)",
    "</template>", "</bdi></p></main>", "`${1}`", "שלום (a) 12", "\U0001f600\u0301", "<plaintext>",
]  # fmt: skip
words = st.one_of(st.sampled_from(HOSTILE), st.text(max_size=12),
                  st.lists(st.sampled_from(HOSTILE), max_size=3).map("".join))  # fmt: skip
names = words.filter(lambda w: w.strip() and len(w) < 60)


def hostile_job(draw) -> Job:
    case = replace(NEED.cases[0], name=draw(words))
    key = "own " + draw(names)
    own = {**WALL, "name": draw(names)}
    own["evidence"] = [{"fields": ["fill"], "source": draw(words), "standing": "PRACTICE"}]
    tubes = (
        replace(ALUMINIUM, label=draw(words), note=draw(words), price=12.5),
        Candidate(key, 0.03, 0.027, draw(words), note=draw(words)),
    )
    text = Text(draw(words), draw(words), draw(words), draw(words), draw(words))
    return Job(
        replace(NEED, title=draw(words), cases=(case, case)), tubes, text=text, date=DATE,
        currency=draw(words), walls={key: own}, page={"choose": {"said": draw(words)}},
    )  # fmt: skip


hostile_jobs = st.composite(hostile_job)()


def plain_job() -> Job:
    class One:
        def __call__(self, _: object) -> str:
            return "word"

    return hostile_job(One())


MAY_VARY = {"p", "br", "bdi", "span", "div", "section", "path", "text", "svg", "b"}


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(hostile_jobs)
def test_nobodys_words_become_elements_or_attributes(job: Job) -> None:
    html = page(job)
    seen, plain = Parsed(html), Parsed(page(plain_job()))
    have, allowed = Counter(t for t, _ in seen.found), Counter(t for t, _ in plain.found)
    assert set(have) <= set(allowed) | {"br"}
    for tag in set(have) - MAY_VARY:
        assert have[tag] <= allowed[tag], tag
    pairs = {(t, k) for t, a in plain.found for k in a} | {
        (t, k) for t in ("li", "td", "h1", "h3", "p", "dd", "span", "figcaption")
        for k in ("data-workshop", "data-inch", "class", "dir")
    }  # fmt: skip
    assert {(t, k) for t, a in seen.found for k in a} <= pairs
    assert not seen.comments
    assert not seen.open[2:], "something stays open"
    html5lib.HTMLParser(strict=True).parse(html)
    assert not re.search("[\u202a-\u202e\u2066-\u2069\x00-\x08\x0b-\x1f\x7f-\x9f]", html)
    assert Job.from_html(html) == job


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(hostile_jobs)
def test_words_are_shown_as_they_were_typed(job: Job) -> None:
    text = Parsed(page(job)).text()
    for typed in (job.need.title, job.text.customer, job.text.reference, job.text.author):
        if typed.strip():
            assert clean(typed.strip()) in text
