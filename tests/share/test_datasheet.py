"""The data sheet: its numbers, its parts, one or two pages, nothing left out in silence."""

from __future__ import annotations

import math
import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tests.share.test_paper import HOSTILE, boxes, overlapping, tool
from tubecalc.job import Candidate, Job, Text
from tubecalc.need import Need
from tubecalc.share.bars import number
from tubecalc.share.board import Board
from tubecalc.share.datasheet import PAPERS, POINTS, datasheet, leaves_of
from tubecalc.share.datasheet_parts import EDGE, properties, varied
from tubecalc.share.flow import Block, Section, flow
from tubecalc.share.page_reasons import assumed, cautions, checks, origins
from tubecalc.share.page_verdict import Told
from tubecalc.share.paper import Leaf
from tubecalc.share.quote_words import told_of
from tubecalc.share.scene import Words

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
ALUMINIUM, STEEL = Candidate("6063-T6", 0.038, 0.032), Candidate("304-cold-drawn", 0.036, 0.032)
JOB = Job(NEED, (STEEL, ALUMINIUM), date=DATE, currency="EUR",
          text=Text("Estuary Survey Group", "Q-118", author="A. Adviser"))  # fmt: skip
BARE = replace(JOB, need=Need(), candidates=(ALUMINIUM,))
CASES = tuple(replace(NEED.cases[0], name=f"load number {k}", load=60.0 - k) for k in range(24))
LONG = replace(JOB, need=replace(NEED, cases=CASES))


def plain(text: str) -> str:
    return re.sub(r"\s+", " ", text)


def words_of(leaves: list[Leaf]) -> str:
    """Every line of the sheet, in order."""
    return plain(" ".join(
        s.text for leaf in leaves for scene, _, _ in leaf.places for s in scene.shapes
        if isinstance(s, Words)
    ))  # fmt: skip


@pytest.fixture(scope="module")
def told() -> Told:
    return told_of(JOB)


@pytest.fixture(scope="module")
def data() -> bytes:
    return datasheet(JOB)


# ---- what it says -----------------------------------------------------------------------
def test_reserves_grades_and_errors_in_the_file_are_those_of_the_verdict(data: bytes) -> None:
    text = plain(tool("pdftotext", "-raw", "FILE", "-", data=data))
    table = tc.check(tc.Tube("6063-T6", od="38 mm", id="32 mm"), NEED).table
    driven = table[[math.isfinite(r) for r in table["reserve"]]]
    assert len(driven) >= 5
    for _, row in driven.iterrows():
        label = f"{row['label']}{' (advice)' if row['advisory'] else ''}"
        grade = "–" if row["range"] else row["grade"]
        assert f"{label} {number(float(row['reserve']))} {grade} " in text
        assert plain(str(row["error"])) in text
        assert plain(str(row["why"]))[1:] in text


def test_the_figures_of_a_metal_tube_follow_from_its_sizes(told: Told) -> None:
    """Hand formulas of a hollow circle; density and modulus of the data file."""
    metal = tc.materials().query("key == '6063-T6'").set_index("property")["value"]
    e, nu, rho = (float(metal.loc[k]) for k in ("E", "nu", "density"))
    area = math.pi / 4 * (0.038**2 - 0.032**2)
    inertia = math.pi / 64 * (0.038**4 - 0.032**4)
    want = {
        "mass per length": rho * area * 1e6, "axial stiffness EA": e * area * 1e6,
        "bending stiffness EI": e * 1e9 * inertia,
        "torsional stiffness GJ": e * 1e9 / 2 / (1 + nu) * 2 * inertia,
        "mass of the tube": rho * 1e3 * area * 1.2,
    }  # fmt: skip
    found = dict(properties(told))
    for name, value in want.items():
        shown = re.match(r"[\d\s.]+", found[name])
        assert shown
        assert float(re.sub(r"\s", "", shown[0])) == pytest.approx(value, rel=6e-3), name
    assert found["axial stiffness EA"].endswith(" kN")
    assert found["outside diameter"].startswith("38 mm")
    assert found["highest temperature"].endswith("°C")


def test_every_part_is_there(data: bytes) -> None:
    text = plain(tool("pdftotext", "-raw", "FILE", "-", data=data)).lower()
    for words in (
        "Sampling boom", "for Estuary Survey Group", "reference Q-118", "by A. Adviser", DATE,
        "✓ Passes", "does what is asked at", "It must carry 60 N at the tip of a reach of 1 200",
        "The wall, to scale", "±10 %", "growth with heat",
        "Reserve, by way to fail", "just passes", "Every check of tube 1", "To mind",
        "Assumptions", "The others, against number 1", "304 stainless, cold-drawn, 36 × 32 mm",
        "What else suits", "welding", "Sources, in brief", "EN 1999-1-1", "Grades of evidence",
        "licensed engineer", f"tubecalc {tc.__version__}", "page 1 of 2", "page 2 of 2",
    ):  # fmt: skip
        assert words.lower() in text, words


def test_a_tube_that_fails_is_called_so_and_what_helps_is_said() -> None:
    thin = replace(JOB, candidates=(Candidate("6063-T6", 0.030, 0.028),))
    text = words_of(leaves_of(told_of(thin), DATE, "A4"))
    assert "✗ Does not pass" in text
    assert "does what is asked at" not in text
    wall = re.search(r"Least wall at this diameter: ([\d.]+ mm)\.", text)
    assert wall
    assert tc.check(tc.Tube("6063-T6", od="30 mm", wall=wall[1]), NEED).passes


def test_without_a_load_it_says_what_the_tube_carries() -> None:
    """First yield in tension: 0.2 % proof stress times area."""
    leaves = leaves_of(told_of(BARE), DATE, "Letter")
    text = words_of(leaves)
    assert len(leaves) == 1
    assert "No load is stated" in text
    assert "Reserve" not in text
    assert "Carries at most, one load at a time tension " in text
    assert "page 1 of 1" in text.lower()


# ---- room -------------------------------------------------------------------------------
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("job", [JOB, BARE, LONG], ids=["judged", "bare", "long"])
def test_words_stay_inside_the_margins_and_off_each_other(job: Job, paper: str) -> None:
    leaves = leaves_of(told_of(job), DATE, paper)
    assert 1 <= len(leaves) <= 2
    for leaf in leaves:
        assert leaf.width * POINTS == pytest.approx(PAPERS[paper][0] / 25.4 * 72)
        found = boxes(leaf)
        assert overlapping(found) == []
        for left, right, top, low, text in found:
            assert EDGE - 5 <= left <= right <= leaf.width - EDGE + 1, text
            assert 14 / POINTS <= top < low <= leaf.height - 14 / POINTS, text
        sizes = {s.size for sc, _, _ in leaf.places for s in sc.shapes if isinstance(s, Words)}
        assert min(sizes) * POINTS >= 7


def test_what_finds_no_room_is_counted() -> None:
    told = told_of(LONG)
    text = words_of(leaves_of(told, DATE, "A4"))
    found = re.search(r"Left out here for want of room: (.*?)\. The customer page", text)
    assert found
    lost = {}
    for part in re.split(r", | and ", found[1]):
        hit = re.fullmatch(r"(?:all (\d+)|(\d+) of (\d+)) (.*)", part)
        assert hit, part
        lost[hit[4]] = (int(hit[1] or hit[2]), int(hit[1] or hit[3]))
    own = told.job.units
    assert lost["checks"][1] == len(checks(told, own))
    if "cautions" in lost:
        assert lost["cautions"][1] == len(cautions(told, own))
    shown = [c for c in checks(told, own) if f"{c[0]} {c[1]} {c[2]} {c[3]} " in text]
    assert len(shown) >= lost["checks"][1] - lost["checks"][0]
    least = min(checks(told, own), key=lambda c: float(c[2].strip("> ")))
    assert f"{least[0]} {least[1]} {least[2]} " in text
    left = re.search(r"And (\d+) more loads\.", text)
    assert left
    assert text.count("it must carry") == 24 - int(left[1])


def test_nothing_is_said_to_be_left_out_when_all_is_there() -> None:
    single = told_of(replace(JOB, candidates=(ALUMINIUM,)))
    text = words_of(leaves_of(single, DATE, "A4"))
    assert "Left out" not in text
    for line in (*assumed(single, "SI"), *cautions(single, "SI")):
        assert plain(line) in text
    for name, _ in origins(single):
        assert name in text


def test_a_table_that_goes_on_repeats_its_headings() -> None:
    leaves = leaves_of(told_of(LONG), DATE, "A4")
    last = words_of(leaves[1:])
    assert last.startswith("Sampling boom, continued") or "continued" in last
    assert "way to fail case reserve grade expected error reason" in last


def test_blocks_follow_each_other_and_headings_do_not_stay_behind() -> None:
    head, row = Block(Board(10), 10.0, glued=True), Block(Board(10), 30.0)
    found = flow([Section("rows", (head, row, row)), Section("more", (head, row))], 10.0,
                 (0.0, 0.0), (75.0, 75.0))  # fmt: skip
    assert found.ends == [70.0, 40.0]
    assert found.left == {}
    short = flow([Section("rows", (head, row, row), more=3)], 10.0, (0.0,), (45.0,))
    assert short.ends == [40.0]
    assert short.left == {"rows": (4, 5)}


@given(st.lists(st.text("abc", min_size=1, max_size=2), max_size=12), st.integers(0, 8))
def test_a_choice_keeps_its_order_and_every_kind_it_can(items: list[str], most: int) -> None:
    kept = varied(items, lambda x: x, most)
    assert len(kept) == min(most, len(items))
    assert len(set(kept)) == min(len(set(items)), most)
    rest = iter(items)
    assert all(any(x == y for y in rest) for x in kept)


# ---- the file ---------------------------------------------------------------------------
@pytest.mark.parametrize("paper", PAPERS)
def test_pages_have_the_size_of_the_paper_and_the_letters_are_inside(paper: str) -> None:
    data = datasheet(JOB, paper=paper)
    said = tool("pdfinfo", "FILE", data=data)
    size = re.search(r"Page size:\s+([\d.]+) x ([\d.]+) pts", said)
    assert size
    assert [float(v) / 72 * 25.4 for v in size.groups()] == pytest.approx(PAPERS[paper], abs=0.1)
    assert re.search(r"Pages:\s+[12]\n", said)
    assert "Sampling boom: data sheet" in said
    rows = tool("pdffonts", "FILE", data=data).splitlines()[2:]
    assert rows
    assert all(" TrueType " in r and "yes yes yes" in r for r in rows)


def test_the_same_job_gives_the_same_bytes_in_another_process(data: bytes) -> None:
    code = (
        "import hashlib, sys; sys.path.insert(0, sys.argv[1])\n"
        "from tests.share.test_datasheet import JOB, datasheet\n"
        "print(hashlib.sha256(datasheet(JOB)).hexdigest())\n"
    )
    found = set()
    for seed, zone in (("1", "UTC"), ("77", "Asia/Tokyo")):
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "OMP_NUM_THREADS": "1"}
        done = subprocess.run(
            [sys.executable, "-c", code, str(Path(__file__).parents[2])], capture_output=True,
            text=True, check=True, env=env,
        )  # fmt: skip
        found.add(done.stdout)
    assert len(found) == 1
    assert datasheet(replace(JOB)) == data
    assert datasheet(JOB, date="2030-01-02") != data


def test_other_paper_and_an_empty_job_are_refused_in_words() -> None:
    with pytest.raises(tc.InputError, match=r"paper.*A5"):
        datasheet(JOB, paper="A5")
    with pytest.raises(tc.InputError, match="neither a tube nor a need"):
        datasheet(Job())
    with pytest.raises(tc.InputError, match="is not a date"):
        datasheet(JOB, date="soon")


# ---- other people's words ---------------------------------------------------------------
words = st.one_of(st.sampled_from([*HOSTILE, "long word " * 300, "w" * 3000]), st.text(max_size=12))


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(words, min_size=6, max_size=6))
def test_nobodys_words_break_the_sheet(given_: list[str]) -> None:
    title, customer, reference, name, label, author = given_
    case = replace(NEED.cases[0], name=name)
    job = replace(
        JOB, need=replace(NEED, title=title, cases=(case, case)),
        text=Text(customer, reference, author=author),
        candidates=(replace(ALUMINIUM, label=label), STEEL),
    )  # fmt: skip
    leaves = leaves_of(told_of(job), DATE, "A4")
    assert 1 <= len(leaves) <= 2
    for leaf in leaves:
        for left, right, top, low, text in boxes(leaf):
            assert EDGE - 5 <= left <= right <= leaf.width - EDGE + 1, text
            assert 0 < top < low < leaf.height, text
    data = datasheet(job)
    assert len(re.findall(rb"/Type /Page\b", data)) == len(leaves)
    assert not re.search(rb"/(?:JavaScript|JS|OpenAction|Launch|URI|EmbeddedFile)\b", data)
