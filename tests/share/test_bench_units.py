"""Sentences on tests follow the display system; numbers are held to pint, names stay."""

from __future__ import annotations

import io
import re
from html import unescape

import openpyxl
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tubecalc.app.bench_state import BenchChoice, BenchSession
from tubecalc.job import Job
from tubecalc.share.bench_page import report, report_sheet
from tubecalc.share.bench_units import heard
from tubecalc.testing.bench import demo

DAY = "2026-11-25"
UNITS = {  # as written -> as pint names it, and what each display system shows
    "N m/deg": ("N*m/deg", "lbf in/deg", "kgf m/deg"), "N m²": ("N*m^2", "lbf in²", "kgf m²"),
    "N m": ("N*m", "lbf in", "kgf m"), "N/mm": ("N/mm", "lbf/in", "kgf/mm"),
    "N": ("N", "lbf", "kgf"), "kN": ("kN", "lbf", "kgf"), "GPa": ("GPa", "Msi", "GPa"),
    "MPa": ("MPa", "ksi", "MPa"), "mm": ("mm", "in", "mm"), "g/m": ("g/m", "lb/ft", "g/m"),
}  # fmt: skip
PINT = {
    "lbf in/deg": "lbf*inch/deg", "kgf m/deg": "kgf*m/deg", "lbf in²": "lbf*inch^2",
    "kgf m²": "kgf*m^2", "lbf in": "lbf*inch", "kgf m": "kgf*m", "lbf/in": "lbf/inch",
    "kgf/mm": "kgf/mm", "lbf": "lbf", "kgf": "kgf", "GPa": "GPa", "Msi": "Mpsi", "ksi": "ksi",
    "MPa": "MPa", "in": "inch", "mm": "mm", "lb/ft": "lb/ft", "g/m": "g/m",
}  # fmt: skip
SI_LEFT = re.compile(r"\d[ \u00a0\u202f](?:mm|kN|N|N m|N m²|N/mm|GPa|MPa|g/m)(?![\w²/])")
REGISTRY = pint.UnitRegistry()
pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning")


@given(
    st.floats(1e-3, 1e6), st.integers(3, 6), st.sampled_from(sorted(UNITS)),
    st.sampled_from(["inch", "workshop"]),
)  # fmt: skip
@settings(max_examples=300, deadline=None)
def test_a_number_in_a_sentence_is_that_of_pint(value, digits, unit, system) -> None:
    """Within half a step of the last digit that counts."""
    text = f"{value:.{digits}g}"
    name, inch, workshop = UNITS[unit]
    label = inch if system == "inch" else workshop
    said = heard(f"It bears {text} {unit}, and more.", system)
    found = re.fullmatch(r"It bears ([\d.\u202fe+-]+) (.+), and more\.", said)
    assert found, said
    assert found[2] == label
    want = REGISTRY.Quantity(float(text), name).to(PINT[label]).magnitude
    assert float(found[1].replace("\u202f", "")) == pytest.approx(want, rel=0.51 * 10 ** (1 - 3))


@pytest.mark.parametrize(
    ("text", "want"),
    [  # 1 in = 25.4 mm, 1 lbf = 4.44822 N, 1 ksi = 6.89476 MPa, by hand
        ("Tube 25.4 × 50.8 mm, 254 mm apart", "Tube 1 × 2 in, 10 in apart"),
        ("4.448 to 8.896 N", "1 to 2 lbf"),
        ("444.8 ± 4.4 N", "100 ± 0.99 lbf"),
        ("at most 6.895 MPa.", "at most 1 ksi."),
        ("Spans of 254 and 508 mm", "Spans of 10 and 20 in"),
        ("0.2 % offset, 5 tests, 3 N-bars, 2 mm/min, 7 Nm", None),
        ("90 deg, 4.5 J, 12 m, 5 s", None),
    ],
)
def test_sentences_read_well(text, want) -> None:
    assert heard(text, "inch") == (text if want is None else want)
    assert heard(text, "SI") == text


def test_given_names_are_not_turned() -> None:
    text = "bar 30 mm and bar 3: 254 mm"
    assert heard(text, "inch", ["bar 3", "bar 30 mm", ""]) == "bar 30 mm and bar 3: 10 in"


def session(units: str, **hand: str) -> BenchSession:
    made = BenchSession(BenchChoice(Job(units=units), hand=hand))
    found = demo()
    made.add(list(found.files), found.told)
    return made


def test_no_sentence_of_report_and_workbook_stays_in_si_in_inches() -> None:
    """But how a file was understood, which is told in the file's own units."""
    made = session("inch", rig="pluck", frequency="250 cpm", length="0.9 m", tip_mass="205 g")
    html = report(made.words, date=DAY)
    shown = re.sub(r"<style>.*?</style>|<details><summary>how .*?</details>", " ", html,
                   flags=re.DOTALL)  # fmt: skip
    shown = unescape(re.sub(r"<[^>]+>", " ", shown))
    assert SI_LEFT.findall(shown) == []
    assert "begins at 0.441 lbf in" in shown  # 0.0498 N m over 0.112985 N m a lbf in
    book = openpyxl.load_workbook(io.BytesIO(report_sheet(made.words, date=DAY)))
    texts = [str(c.value) for sheet in book for row in sheet.iter_rows() for c in row if c.value]
    assert SI_LEFT.findall("\n".join(texts)) == []
    heads = [c.value for c in book["tests"][1]]
    assert "peak [lbf]" in heads
    first = book["tests"].cell(2, heads.index("peak [lbf]") + 1).value
    assert first == pytest.approx(21520.7 / 4.4482216, rel=1e-4)  # as the page says in SI
    assert book["tests"].cell(2, heads.index("od [in]") + 1).value == pytest.approx(10 / 25.4)


def test_a_test_by_hand_stands_in_report_and_workbook() -> None:
    """250 a minute with 205 g on 0.9 m, 60 g/m: 36.3 N m2 by hand."""
    told = {"rig": "pluck", "frequency": "250 cpm", "length": "0.9 m", "tip_mass": "205 g",
            "own": "60 g/m"}  # fmt: skip
    made = session("SI", **told)
    shown = unescape(re.sub(r"<[^>]+>", " ", report(made.words, date=DAY)))
    for part in ("Tested without a machine", "plucked, one end clamped", "250 cpm", "36.3 N m²",
                 "A clamp that gives makes EI too low", "grade A"):  # fmt: skip
        assert part in shown
    book = openpyxl.load_workbook(io.BytesIO(report_sheet(made.words, date=DAY)))
    rows = {r[0].value: r[1].value for r in book["by hand"].iter_rows(min_row=2)}
    assert rows["EI"] == "36.3 N m²"
    assert rows["read: swings"] == "250 cpm"
    alone = BenchSession(BenchChoice(Job(), hand=told))
    shown = unescape(re.sub(r"<[^>]+>", " ", report(alone.words, date=DAY)))
    assert "read by hand" in shown
    assert "0 tests" not in shown
    book = openpyxl.load_workbook(io.BytesIO(report_sheet(alone.words, date=DAY)))
    assert book.sheetnames == ["by hand"]
    half = BenchSession(BenchChoice(Job(), hand={"rig": "pluck", "frequency": "250 cpm"}))
    assert half.words.by_hand() is None


def test_a_test_left_out_is_in_no_group_of_the_workbook() -> None:
    made = session("SI")
    place = next(n for n, s in enumerate(made.words.summary.tests) if s.name == "PU-b3")
    made.change(chosen=place)
    made.put({"count": "no"})
    book = openpyxl.load_workbook(io.BytesIO(report_sheet(made.words, date=DAY)))
    rows = [[c.value for c in r] for r in book["groups"].iter_rows(min_row=2)]
    assert [r[2] for r in rows if "pultruded" in r[0] and "three-point" in r[1]] == [4]
