"""The chart for a quote: what it says, that it can be read on paper, and that it can be re-made."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

import tubecalc as tc
from tests.share.test_paper import HOSTILE, SVG, boxes, overlapping, tool
from tubecalc.job import Candidate, Job, Text
from tubecalc.need import Need
from tubecalc.share.bars import number
from tubecalc.share.letters import folded
from tubecalc.share.quote_chart import (
    LEAST,
    MOST,
    PER_MM,
    chart,
    leaf_of,
    write_chart,
)
from tubecalc.share.quote_words import short_need, told_of
from tubecalc.share.scene import Lines, Words

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
TUBES = (
    Candidate("304-cold-drawn", 0.036, 0.032), Candidate("6063-T6", 0.038, 0.032),
    Candidate("6063-T6", 0.030, 0.028, "A thin one with a name that goes on for rather long"),
)  # fmt: skip
JOB = Job(NEED, TUBES, text=Text("Estuary Survey Group", "Q-118"), date=DATE)
BARE = replace(JOB, need=Need())


def said(data: bytes) -> str:
    """Text of an SVG, every run of white space one plain space."""
    texts = [t.text or "" for t in ET.fromstring(data).iter(f"{SVG}text")]
    return re.sub(r"\s+", " ", " ".join(texts))


# ---- what it says -----------------------------------------------------------------------
def test_every_tube_has_its_figures_in_one_line() -> None:
    text = said(chart(JOB, "svg"))
    for c in TUBES:
        tube = tc.Tube(c.wall, od=f"{c.od} m", id=f"{c.id} m")
        verdict = tc.check(tube, NEED)
        mass = float(tube.mass_per_length.to("g/m").magnitude)
        rows = verdict.table[verdict.table["check"] == verdict.governing]
        row = rows.loc[rows["reserve"].idxmin()]
        size = f"{c.od * 1e3:g} × {c.id * 1e3:g} mm"
        line = rf"{size} ([\d ]+\.?\d*) g/m {re.escape(number(float(row['reserve'])))} "
        word = "✓ passes" if verdict.passes else "✗ fails"
        found = re.search(rf"{line}{row['label']} \({row['grade']}\) {word}", text)
        assert found
        assert float(found[1].replace(" ", "")) == pytest.approx(mass, rel=5e-4)
    for words in ("Sampling boom", "for Estuary Survey Group, reference Q-118", DATE,
                  "It must carry 60 N at the tip of a reach of 1 200 mm.", "2 of 3 tubes pass",
                  f"tubecalc {tc.__version__}", "licensed engineer", "Grade A: closed form",
                  "outside diameter, mm"):  # fmt: skip
        assert words in text


def test_without_a_load_the_lines_to_failure_stand_instead() -> None:
    """6063-T6, 38 x 32 mm: EI by hand; first yield in three-point bending 4 S W / L."""
    text = said(chart(BARE, "svg"))
    assert "no load is stated, so none is judged" in text
    assert "passes" not in text
    assert "sag in the middle of 500 mm, mm" in text
    metal = tc.materials().query("key == '6063-T6'").set_index("property")["value"]
    inertia = np.pi / 64 * (0.038**4 - 0.032**4)
    stiff = float(metal.loc["E"]) * 1e9 * inertia
    assert f"{stiff:,.0f} N m²".replace(",", " ") in text


def test_more_tubes_than_lines_are_counted() -> None:
    many = tuple(replace(TUBES[1], od=0.030 + 1e-3 * k, id=0.026 + 1e-3 * k) for k in range(15))
    text = said(chart(replace(JOB, candidates=many), "svg"))
    passing = [tc.check(tc.Tube(c.wall, od=f"{c.od} m", id=f"{c.id} m"), NEED).passes for c in many]
    good = max(0, sum(passing) - 12)
    assert f"are not listed: {good} pass, {3 - good} fail." in text
    leaf, _ = leaf_of(told_of(replace(JOB, candidates=many)), DATE, 741.0)
    shapes = [s for scene, _, _ in leaf.places for s in scene.shapes if isinstance(s, Lines)]
    assert sum(s.fill == "paper" and s.colour == "ink" for s in shapes) == 3
    text = said(chart(replace(BARE, candidates=many), "svg"))
    assert "3 more tubes are not listed here." in text
    assert "The 8 lightest are drawn." in text


def test_a_long_need_is_shortened_and_says_so() -> None:
    cases = tuple(replace(NEED.cases[0], name=f"load number {k}") for k in range(30))
    told = told_of(replace(JOB, need=replace(NEED, cases=cases)))
    lines = short_need(told, 500.0, 12.0, 4)
    text = " ".join(lines).replace("\u00a0", " ")
    left = re.search(r"And (\d+) more loads\.", text)
    assert left
    assert text.count("it must carry") == 30 - int(left[1])
    assert len(lines) <= 4
    assert text.endswith("Every load is counted 2 times.")
    assert lines == folded(" ".join(lines), 500.0, 12.0)


# ---- on paper ---------------------------------------------------------------------------
@pytest.mark.parametrize("job", [JOB, BARE], ids=["judged", "bare"])
@pytest.mark.parametrize("width", [80, 100, 128, 130, 150, 170, 210, 300, 420])
def test_letters_are_no_smaller_than_six_and_a_half_points_and_stay_on_the_paper(
    width: float, job: Job
) -> None:
    px = min(max(PER_MM * width, LEAST), MOST)
    leaf, _ = leaf_of(told_of(job), DATE, px)
    unit = width / 25.4 * 72 / leaf.width
    words = [s for scene, _, _ in leaf.places for s in scene.shapes if isinstance(s, Words)]
    assert min(s.size for s in words) * unit >= 6.5
    for left, right, top, low, text in boxes(leaf):
        assert 0 <= left <= right <= leaf.width, text
        assert 0 <= top < low < leaf.height, text
    assert leaf.height / leaf.width < (5.0 if width < 130 else 1.6)


@pytest.mark.parametrize("width", [80, 130, 170])
def test_no_two_words_of_the_list_lie_on_each_other(width: float) -> None:
    leaf, _ = leaf_of(told_of(JOB), DATE, min(max(PER_MM * width, LEAST), MOST))
    assert overlapping(boxes(leaf, last=1)) == []


def test_pass_and_fail_differ_without_colour() -> None:
    leaf, _ = leaf_of(told_of(JOB), DATE, 741.0)
    words = [s.text for scene, _, _ in leaf.places for s in scene.shapes if isinstance(s, Words)]
    assert sum("✓" in w for w in words) == 2
    assert sum("✗" in w for w in words) == 1
    rings = [s for s in leaf.places[-1][0].shapes if isinstance(s, Lines) and s.dash == "2.5 2"]
    assert len(rings) == 1
    grey = np.asarray(Image.open(io.BytesIO(chart(JOB, "png", dpi=100))).convert("L"))
    assert grey.min() < 60
    assert np.median(grey) == 255


@pytest.mark.parametrize(("width", "dpi"), [(170, 300), (80, 150), (420, 96)])
def test_png_is_as_wide_as_asked_for(width: float, dpi: float, tmp_path: Path) -> None:
    path = write_chart(JOB, tmp_path / "c.png", width_mm=width, dpi=dpi)
    image = Image.open(path)
    assert image.width == round(width / 25.4 * dpi)
    assert image.info["dpi"] == pytest.approx((dpi, dpi), abs=0.02)


def test_pdf_reads_like_the_svg_and_carries_its_letters() -> None:
    data = chart(JOB, "pdf")
    text = re.sub(r"\s+", " ", tool("pdftotext", "-raw", "FILE", "-", data=data))
    for word in set(said(chart(JOB, "svg")).split()):
        assert word in text
    rows = tool("pdffonts", "FILE", data=data).splitlines()[2:]
    assert rows
    assert all(" TrueType " in r and "yes yes yes" in r for r in rows)
    size = re.search(r"Page size:\s+([\d.]+) x", tool("pdfinfo", "FILE", data=data))
    assert size
    assert float(size[1]) == pytest.approx(170 / 25.4 * 72, abs=0.01)


# ---- the file ---------------------------------------------------------------------------
def test_the_same_job_gives_the_same_bytes_in_another_process() -> None:
    code = (
        "import hashlib, sys; sys.path.insert(0, sys.argv[1])\n"
        "from tests.share.test_quote_chart import JOB, chart\n"
        "for k in ('png', 'svg', 'pdf'):\n"
        "    print(hashlib.sha256(chart(JOB, k, dpi=72)).hexdigest())\n"
    )
    found = set()
    for seed in ("1", "77"):
        env = {**os.environ, "PYTHONHASHSEED": seed, "OMP_NUM_THREADS": "1"}
        done = subprocess.run(
            [sys.executable, "-c", code, str(Path(__file__).parents[2])], capture_output=True,
            text=True, check=True, env=env,
        )  # fmt: skip
        found.add(done.stdout)
    assert len(found) == 1
    assert chart(JOB, "svg") == chart(replace(JOB, candidates=TUBES), "svg")
    assert chart(JOB, "svg", date="2030-01-02") != chart(JOB, "svg")


def test_endings_sizes_and_folders_are_refused_in_words(tmp_path: Path) -> None:
    for name in ("c.gif", "c", "c.png.exe"):
        with pytest.raises(tc.InputError, match=r"ends in \.png or \.svg or \.pdf"):
            write_chart(JOB, tmp_path / name)
    with pytest.raises(tc.InputError, match="cannot be written"):
        write_chart(JOB, tmp_path / "none" / "c.png")
    with pytest.raises(tc.InputError, match="40 to 600 mm"):
        write_chart(JOB, tmp_path / "c.png", width_mm=20)
    with pytest.raises(tc.InputError, match="72 to 1200"):
        chart(JOB, "svg", dpi=5)
    with pytest.raises(tc.InputError, match="kind of chart"):
        chart(JOB, "jpeg")
    with pytest.raises(tc.InputError, match="neither a tube nor a need"):
        chart(Job(), "png")
    with pytest.raises(tc.InputError, match="is not a Job"):
        chart("job", "png")  # type: ignore[arg-type]
    assert list(tmp_path.iterdir()) == []


def test_a_failed_write_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "c.svg"
    path.write_text("old", encoding="utf-8")

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(tc.InputError, match="No space left"):
        write_chart(JOB, path)
    monkeypatch.undo()
    assert path.read_text(encoding="utf-8") == "old"
    assert list(tmp_path.iterdir()) == [path]


# ---- other people's words ---------------------------------------------------------------
words = st.one_of(st.sampled_from(HOSTILE), st.text(max_size=12))


@settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(words, words, words, words)
def test_nobodys_words_act_in_the_chart(title: str, customer: str, name: str, label: str) -> None:
    case = replace(NEED.cases[0], name=name)
    job = replace(
        JOB, need=replace(NEED, title=title, cases=(case, case)), text=Text(customer, customer),
        candidates=(replace(TUBES[1], label=label), TUBES[0]),
    )  # fmt: skip
    root = ET.fromstring(chart(job, "svg"))
    plain = ET.fromstring(chart(JOB, "svg"))
    assert {e.tag for e in root.iter()} <= {e.tag for e in plain.iter()}
    assert {k for e in root.iter() for k in e.attrib} <= {k for e in plain.iter() for k in e.attrib}
    assert chart(job, "pdf")
    assert chart(job, "png", width_mm=80, dpi=72)
