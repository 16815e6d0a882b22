"""The table of a job: numbers that count, texts that stay texts, the same in every program."""

from __future__ import annotations

import csv
import io
import math
import os
import re
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import openpyxl
import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.job import Candidate, Job, Text
from tubecalc.need import Need
from tubecalc.share.sheet import sheet
from tubecalc.share.sheet_cells import held

DATE = "2026-11-25"
NEED = Need.from_toml("""
title = "Push rod & guide"
[[case]]
name = "push"
kind = "strut"
load = "-900 N"
span = "700 mm"
[[case]]
name = "pull"
kind = "strut"
load = "500 N"
span = "700 mm"
[limits]
od_max = "20 mm"
[service]
temperature = "70 degC"
salt = true
contact_metal = "aluminium"
[factors]
strength = 2.0
buckling = 2.0
""")
STEEL = Candidate("304-cold-drawn", 0.016, 0.013, price=9.5, note="in stock")
ALUMINIUM = Candidate("6061-T6", 0.020, 0.016, label="the light alternative")
THIN = Candidate("pultruded", 0.008, 0.006)
JOB = Job(NEED, (STEEL, ALUMINIUM, THIN), text=Text("Estuary Survey Group"), currency="EUR",
          date=DATE)  # fmt: skip
SHEETS = ["tubes", "checks", "need", "sources"]
NUMBERS = {
    "number", "OD [mm]", "bore [mm]", "wall [mm]", "mass [g/m]", "mass of 700 mm [kg]",
    "reserve [-]", "axial stiffness EA [N]", "bending stiffness EI [N m²]",
    "torsional stiffness GJ [N m²]", "tensile strength [N]", "compressive strength [N]",
    "bending strength [N m]", "torsional strength [N m]", "price [EUR/m]",
}  # fmt: skip


def book(data: bytes) -> Any:
    return openpyxl.load_workbook(io.BytesIO(data))


def frame(data: bytes, name: str = "tubes") -> pd.DataFrame:
    return pd.read_excel(io.BytesIO(data), sheet_name=name)


def table_of(data: bytes) -> pd.DataFrame:
    """CSV as one reads it: the rows that are numbered."""
    whole = pd.read_csv(io.BytesIO(data))
    return whole[whole["number"].notna()].reset_index(drop=True)


@pytest.fixture(scope="module")
def xlsx() -> bytes:
    return sheet(JOB, "xlsx")


@pytest.fixture(scope="module")
def text() -> bytes:
    return sheet(JOB, "csv")


# ---- numbers ------------------------------------------------------------------------------
def test_columns_of_numbers_are_numbers_and_name_their_unit(xlsx: bytes, text: bytes) -> None:
    for table in (frame(xlsx), pd.read_csv(io.BytesIO(text))):
        found = {c for c in table.columns if pd.api.types.is_numeric_dtype(table[c])}
        assert found >= NUMBERS
        assert {c for c in found - NUMBERS if not c.startswith("reserve, ")} == set()
        assert all(re.search(r" \[[^\]]+\]$", c) for c in found - {"number"})
    checks = frame(xlsx, "checks")
    for column in ("number", "reserve [-]", "demand", "capacity"):
        assert pd.api.types.is_numeric_dtype(checks[column])


def test_sizes_mass_and_stiffness_are_those_of_hand_formulas(xlsx: bytes) -> None:
    row = frame(xlsx).set_index("construction").loc["304-cold-drawn"]
    area = math.pi / 4 * (16.0**2 - 13.0**2)  # mm2
    inertia = math.pi / 64 * (16.0**4 - 13.0**4)  # mm4
    E, nu, density, strength = 200e3, 0.30, 7.90e-6, 520.0  # of data/materials: N, mm, kg
    assert row["wall [mm]"] == pytest.approx(1.5)
    assert row["mass [g/m]"] == pytest.approx(area * density * 1e6)
    assert row["mass of 700 mm [kg]"] == pytest.approx(area * density * 700)
    assert row["axial stiffness EA [N]"] == pytest.approx(E * area)
    assert row["bending stiffness EI [N m²]"] == pytest.approx(E * inertia / 1e6)
    assert row["torsional stiffness GJ [N m²]"] == pytest.approx(
        E / (2 * (1 + nu)) * 2 * inertia / 1e6
    )
    assert row["tensile strength [N]"] == pytest.approx(strength * area)
    assert row["bending strength [N m]"] == pytest.approx(strength * inertia / 8.0 / 1e3)
    # torsion: von Mises yield at the outer face
    assert row["torsional strength [N m]"] == pytest.approx(
        strength / math.sqrt(3) * 2 * inertia / 8.0 / 1e3
    )
    assert row["price [EUR/m]"] == 9.5
    assert row["note"] == "in stock"


@pytest.mark.parametrize("candidate", JOB.candidates, ids=lambda c: c.wall)
def test_verdict_and_checks_are_those_of_one_check(xlsx: bytes, candidate: Candidate) -> None:
    tube = tc.Tube(candidate.wall, od=f"{candidate.od!r} m", id=f"{candidate.id!r} m")
    verdict = tc.check(tube, NEED)
    row = frame(xlsx).set_index("construction").loc[candidate.wall]
    assert row["result"] == ("✓ passes" if verdict.passes else "✗ fails")
    assert row["reserve [-]"] == pytest.approx(verdict.reserve[verdict.governing])
    checks = frame(xlsx, "checks")
    mine = checks[checks["number"] == row["number"]].fillna({"case": "", "reserve [-]": math.inf})
    said = {(a, b): c for a, b, c in mine[["way to fail", "case", "reserve [-]"]].to_numpy()}
    assert len(mine) == len(verdict.table)
    for one in verdict.table.itertuples():
        assert said[one.label, one.case] == pytest.approx(one.reserve)
    known = mine[np.isfinite(mine["reserve [-]"]) & (mine["unit"] == "N")]
    assert len(known) >= 4
    ratio = known["capacity"] / known["demand"]
    assert ratio.to_numpy() == pytest.approx(known["reserve [-]"].to_numpy())


def test_rows_run_from_the_recommended_to_the_failing(xlsx: bytes) -> None:
    table = frame(xlsx)
    assert table["number"].tolist() == [1, 2, 3]
    assert table["construction"].tolist() == ["6061-T6", "304-cold-drawn", "pultruded"]
    assert table["tube"][0] == "The light alternative"
    assert table["result"].tolist() == ["✓ passes", "✓ passes", "✗ fails"]
    order = frame(xlsx, "checks").groupby("number")["reserve [-]"]
    assert all(values.dropna().is_monotonic_increasing for _, values in order)


@pytest.mark.parametrize(
    ("units", "head", "value"),
    [
        ("SI", "OD [mm]", 16.0), ("workshop", "OD [mm]", 16.0), ("inch", "OD [in]", 16 / 25.4),
        ("workshop", "tensile strength [kgf]", 520 * 68.329640 / 9.80665),
        ("inch", "tensile strength [lbf]", 520 * 68.329640 / 4.4482216153),
        ("inch", "mass [lb/ft]", 0.5398042 / 0.45359237 * 0.3048),
        ("inch", "bending strength [lbf in]", 117.975394 / 0.112984829),
    ],
)  # fmt: skip
def test_every_display_system_has_its_own_units(units: str, head: str, value: float) -> None:
    """Area pi/4 (16^2 - 13^2) = 68.32964 mm2; mass and moment as in the test by hand formulas."""
    row = frame(sheet(replace(JOB, units=units), "xlsx")).set_index("construction")
    assert row[head]["304-cold-drawn"] == pytest.approx(value, rel=1e-6)


def test_demand_and_capacity_stand_in_the_units_of_the_job() -> None:
    need = Need.from_toml(
        '[[case]]\nkind = "pressure"\np_in = "2 MPa"\n[limits]\nod_max = "1 in"\n'
        '[service]\ntemperature = "60 degC"\n'
    )
    job = Job(need, (Candidate("6061-T6", 0.02, 0.017),), date=DATE)
    wanted = {"SI": ("MPa", 2.0, "mm", 20.0, "°C", 60.0), "workshop": ("bar", 20.0, "mm", 20.0,
              "°C", 60.0), "inch": ("psi", 290.075475, "in", 20 / 25.4, "°F", 140.0)}  # fmt: skip
    for units, (p, pressure, length, od, t, heat) in wanted.items():
        table = frame(sheet(replace(job, units=units), "xlsx"), "checks")
        found = table.drop_duplicates("way to fail").set_index("way to fail")
        strength = table[table["way to fail"].str.contains("burst|strength|yield", regex=True)]
        assert strength.iloc[0][["unit", "demand"]].tolist() == [p, pytest.approx(pressure)]
        assert found.loc["outside diameter", ["unit", "demand"]].tolist() == [
            length, pytest.approx(od)
        ]  # fmt: skip
        assert found.loc["heat", ["unit", "demand"]].tolist() == [t, pytest.approx(heat)]


def test_what_is_not_driven_or_not_known_is_a_word_and_leaves_the_number_out() -> None:
    wall = {"name": "of unknown strength", "hatch": "axial", "continuous": True,
            "fill": [{"ply": "carbon-sm-ud", "angle": 0, "count": 1}]}  # fmt: skip
    job = replace(JOB, candidates=(*JOB.candidates, Candidate("own", 0.018, 0.014)),
                  walls={"own": wall}, units="SI")  # fmt: skip
    checks = frame(sheet(job, "xlsx"), "checks")
    idle = checks[checks["result"] == "not asked"]
    assert len(idle)
    assert idle["reserve [-]"].isna().all()
    assert set(checks["result"]) <= {"✓ holds", "✗ fails", "! warns", "not asked", "not known"}
    inside = zipfile.ZipFile(io.BytesIO(sheet(job, "xlsx"))).read("xl/worksheets/sheet2.xml")
    assert not re.search(rb"<v>-?(inf|nan)", inside, re.IGNORECASE)


def test_a_job_without_a_case_has_no_verdicts_and_one_without_tubes_gets_the_best() -> None:
    bare = sheet(Job(candidates=(STEEL,)), "xlsx", date=DATE)
    assert book(bare).sheetnames == ["tubes", "need", "sources"]
    assert not [c for c in frame(bare).columns if "reserve" in c or c == "result"]
    offered = frame(sheet(Job(NEED), "xlsx", date=DATE))
    assert len(offered) == 3
    assert offered["construction"].is_unique
    with pytest.raises(tc.InputError, match="nothing to offer"):
        sheet(Job(), "xlsx")


# ---- the workbook -------------------------------------------------------------------------
def test_headings_stay_in_view_and_filters_and_print_are_set_up(xlsx: bytes) -> None:
    found = book(xlsx)
    assert found.sheetnames == SHEETS
    for name, frozen in zip(SHEETS, ("C2", "D2", "A2", "A2"), strict=True):
        one = found[name]
        assert one.freeze_panes == frozen
        assert one.page_setup.orientation == "landscape"
        assert one.page_setup.paperSize == 9  # A4
        assert (one.page_setup.fitToWidth, one.page_setup.fitToHeight) == (1, 0)
        assert one.sheet_properties.pageSetUpPr.fitToPage
        assert one.print_title_rows == "$1:$1"
        assert one.oddFooter.left.text == f"tubecalc {tc.__version__}, {DATE}"
        assert one.oddFooter.right.text == "&P / &N"
        assert one.oddHeader.left.text == "Push rod && guide"
        assert (one.auto_filter.ref is None) == (name == "need")
        assert all(cell.font.b and cell.alignment.wrap_text for cell in one[1])
    letter = book(sheet(JOB, "xlsx", paper="Letter"))
    assert {one.page_setup.paperSize for one in letter.worksheets} == {1}


def test_numbers_are_shown_with_the_decimals_they_need(xlsx: bytes) -> None:
    one = book(xlsx)["tubes"]
    at = {cell.value: cell.column for cell in one[1]}
    shown = {head: one.cell(2, column).number_format for head, column in at.items()}
    assert shown["OD [mm]"] == "#,##0.00"
    assert shown["axial stiffness EA [N]"] == "#,##0"
    assert shown["mass of 700 mm [kg]"] == "#,##0.000"
    assert shown["price [EUR/m]"] == "#,##0.00"


def test_need_as_used_assumptions_cautions_and_version_are_told(xlsx: bytes) -> None:
    rows = frame(xlsx, "need").to_numpy().tolist()
    said = dict(reversed(rows))
    assert said["job"] == "Push rod & guide"
    assert said["for"] == "Estuary Survey Group"
    assert said["computed with"] == f"tubecalc {tc.__version__}, {DATE}"
    assert said["as used: case 1, load"] == "-900.0 N"
    assert said["as used: service, salt"] == "yes"
    assert "does what is asked" in said["answer"]
    assert said["always"] == tc.STANDING_CAUTION
    told = {
        text.lower().rstrip(".")
        for what, text in rows
        if what.startswith(("assumption", "to mind"))
    }
    verdict = tc.check(tc.Tube("pultruded", od="8 mm", id="6 mm"), NEED)
    for line in (*tc.assumptions(NEED), *verdict.cautions):
        assert line.lower().rstrip(".") in told or line == tc.STANDING_CAUTION


def test_sources_give_every_value_of_the_materials_with_source_and_standing(xlsx: bytes) -> None:
    table = frame(xlsx, "sources")
    used = tc.materials()
    used = used[used["key"].isin(["304-cold-drawn", "6061-T6", "carbon-sm-ud"])]
    mine = table[table["what"] == "material"]
    assert len(mine) == len(used)
    assert sorted(mine["value"]) == pytest.approx(sorted(used["value"]))
    assert mine[["source", "standing", "basis"]].notna().all().all()
    assert {"strength", "column buckling", "heat"} <= set(table[table["what"] == "check"]["name"])
    assert table[table["what"] == "check"]["source"].notna().all()
    words = table[table["what"] == "meaning"]["name"]
    assert {"grade A", "grade B", "grade C", "SEEN", "MEMORY", "typical"} <= set(words)


def test_the_same_job_and_date_give_the_same_bytes_in_another_process(
    xlsx: bytes, text: bytes, tmp_path: Path
) -> None:
    (tmp_path / "job.toml").write_text(JOB.to_toml(), encoding="utf-8")
    code = (
        "import sys, tubecalc as tc\nfrom tubecalc.share.sheet import sheet\n"
        "job = tc.Job.from_toml(sys.argv[1])\n"
        "for kind in ('xlsx', 'csv'):\n"
        "    open(sys.argv[1] + kind, 'wb').write(sheet(job, kind))\n"
    )
    for seed in ("1", "2"):
        subprocess.run([sys.executable, "-c", code, str(tmp_path / "job.toml")], check=True,
                       env={**os.environ, "PYTHONHASHSEED": seed, "TZ": f"UTC{seed}"})  # fmt: skip
        assert (tmp_path / "job.tomlxlsx").read_bytes() == xlsx
        assert (tmp_path / "job.tomlcsv").read_bytes() == text
    assert sheet(JOB, "xlsx", date="2030-01-02") != xlsx


def test_no_part_of_the_file_knows_the_clock_or_another_program(xlsx: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(xlsx)) as parts:
        assert {i.date_time for i in parts.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        core, app = (parts.read(f"docProps/{n}.xml").decode() for n in ("core", "app"))
        assert not [n for n in parts.namelist() if "vba" in n.lower() or "external" in n.lower()]
    assert re.findall(r"\d{4}-\d{2}-\d{2}T[^<]*", core) == [f"{DATE}T00:00:00Z"] * 2
    assert re.findall("<Application>([^<]*)", app) == ["tubecalc"]


def test_as_many_tubes_as_are_compared_are_as_many_rows() -> None:
    many = tuple(replace(STEEL, od=STEEL.od + k * 1e-5, id=STEEL.id + k * 1e-5) for k in range(64))
    need = Need.from_toml('[[case]]\nkind = "strut"\nload = "-900 N"\nspan = "700 mm"')
    data = sheet(Job(need, many), "xlsx", date=DATE)
    assert len(frame(data)) == 64
    assert len(data) < 300_000
    with pytest.raises(tc.InputError, match="65 tubes"):
        sheet(Job(need, (*many, STEEL)), "xlsx")


# ---- texts of people ----------------------------------------------------------------------
NASTY = [
    "=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", " =1", "'=1", '"=1', "＝1+1",
    '=cmd|"/c calc"!A0', '=HYPERLINK("http://a.invalid","x")', "a;=1", 'a";=1', "a,=1", "a|=1",
    "_x003D_1", "#REF!", "x\x00y\x0b\x1f", "\ufffe\uffff", "\u202ereversed", "a" * 40_000,
    "<script>&amp;]]>", "1e5", "007", "TRUE", "2026-11-25", "\U0001f9ea" * 3000, "&P&N&\"x\"",
]  # fmt: skip
FORMULA = re.compile(r"\s*[=+\-@＝＋－＠]")


def hostile(word: str) -> Job:
    named = replace(NEED, title=word, cases=(replace(NEED.cases[0], name=word), *NEED.cases[1:]))
    one = replace(ALUMINIUM, label=word, note=word)
    words = Text(word, word, word, word, word)
    return Job(named, (one, THIN), text=words, currency=word, date=DATE)


def cells(data: bytes) -> Iterator[Any]:
    for one in book(data).worksheets:
        for row in one.iter_rows():
            yield from row


def check_harmless(word: str) -> None:
    data = sheet(hostile(word), "xlsx")
    for cell in cells(data):
        assert cell.data_type in ("s", "n"), (cell.coordinate, cell.value)
        if isinstance(cell.value, str):
            assert len(cell.value) <= 4000
            assert not FORMULA.match(cell.value) or cell.quotePrefix
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        for name in parts.namelist():
            assert b"<f>" not in parts.read(name)
            assert b"<hyperlink" not in parts.read(name).lower()
            assert b"\x00" not in parts.read(name)
    text = sheet(hostile(word), "csv").decode("utf-8-sig")
    for mark in (",", ";", "|"):  # whatever a country takes for the separator
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=mark):
            assert not [v for v in row if FORMULA.match(v) and not _is_number(v)], (mark, row)
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert len({len(row) for row in rows}) == 1
    table = table_of(text.encode())
    assert table["OD [mm]"].tolist() == [20.0, 8.0]


def _is_number(text: str) -> bool:
    return bool(re.fullmatch(r"-?\d+(\.\d+)?(e-?\d+)?", text))


@pytest.mark.parametrize("word", NASTY, ids=range(len(NASTY)))
def test_no_text_becomes_a_formula(word: str) -> None:
    check_harmless(word)


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=60)
       | st.text("=+-@|;,\t\r\n'\"!x1 ", max_size=12))  # fmt: skip
def test_no_text_at_all_becomes_a_formula(word: str) -> None:
    check_harmless(word)


def test_a_text_is_kept_as_typed_where_it_is_harmless() -> None:
    data = sheet(hostile("Ø 8 mm – light; dry, Søren's"), "xlsx")
    assert frame(data)["tube"][0] == "Ø 8 mm – light; dry, Søren's"
    assert table_of(sheet(hostile("=1+1"), "csv"))["tube"][0] == "'=1+1"
    assert frame(sheet(hostile("=1+1"), "xlsx"))["tube"][0] == "=1+1"
    assert held("a\u2028b") == "a b"


# ---- CSV ----------------------------------------------------------------------------------
def test_csv_holds_the_same_numbers_and_the_notes_below(xlsx: bytes, text: bytes) -> None:
    assert text.startswith(b"\xef\xbb\xbf")
    table, other = table_of(text), frame(xlsx)
    for column in NUMBERS:
        assert table[column].to_numpy() == pytest.approx(other[column].to_numpy(), nan_ok=True)
    whole = pd.read_csv(io.BytesIO(text))
    notes = whole[whole["number"].isna()]
    assert notes.drop(columns="tube").isna().all().all()
    said = "\n".join(notes["tube"])
    assert f"computed with: tubecalc {tc.__version__}, {DATE}" in said
    for part in ("material, 6061-T6 aluminium: E", "check, column buckling", "grade A", "'"):
        assert part in said


def test_csv_has_the_reserve_of_every_check(text: bytes) -> None:
    table = table_of(text).set_index("construction")
    verdict = tc.check(tc.Tube("304-cold-drawn", od="16 mm", id="13 mm"), NEED)
    for label, key in (("column buckling", "column"), ("heat", "temperature"),
                       ("outside diameter", "od"), ("strength", "strength")):  # fmt: skip
        assert table[f"reserve, {label} [-]"]["304-cold-drawn"] == pytest.approx(
            verdict.reserve[key]
        )


# ---- writing ------------------------------------------------------------------------------
def test_the_ending_says_what_is_written(tmp_path: Path, xlsx: bytes, text: bytes) -> None:
    assert tc.write_sheet(JOB, tmp_path / "offer.XLSX").read_bytes() == xlsx
    assert tc.write_sheet(JOB, str(tmp_path / "offer.csv")).read_bytes() == text
    for name in ("offer.xls", "offer", "offer.xlsm"):
        with pytest.raises(tc.InputError, match=r"ends in \.xlsx or \.csv or \.pdf"):
            tc.write_sheet(JOB, tmp_path / name)
    with pytest.raises(tc.InputError, match="cannot be written"):
        tc.write_sheet(JOB, tmp_path / "none" / "offer.csv")
    with pytest.raises(tc.InputError, match='unknown paper "A5"'):
        tc.write_sheet(JOB, tmp_path / "offer.csv", paper="A5")
    with pytest.raises(tc.InputError, match='unknown kind of sheet "ods"'):
        sheet(JOB, "ods")
    with pytest.raises(tc.InputError, match="is not a date"):
        sheet(JOB, "csv", date="soon")
    with pytest.raises(tc.InputError, match="is not a Job"):
        sheet("offer", "csv")  # type: ignore[arg-type]


@pytest.mark.parametrize("step", ["fsync", "fdopen"])
def test_a_failed_write_leaves_the_old_file(
    step: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "offer.xlsx"
    path.write_text("old", encoding="utf-8")

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, step, full)
    with pytest.raises(tc.InputError, match="No space left"):
        tc.write_sheet(JOB, path)
    monkeypatch.undo()
    assert path.read_text(encoding="utf-8") == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["offer.xlsx"]


# ---- another program ----------------------------------------------------------------------
def program(name: str) -> str:
    found = shutil.which(name)
    if found is None and os.environ.get("TUBECALC_REQUIRE_OFFICE") == "1":
        pytest.fail(f"{name} is missing and TUBECALC_REQUIRE_OFFICE=1 asks for it")
    if found is None:
        pytest.skip(f"{name} is not here")
    return found


@pytest.fixture(scope="module")
def office() -> str:
    return program("soffice")


def converted(office: str, folder: Path, data: bytes, to: str, ending: str) -> list[Path]:
    """Files that an office program makes of a workbook."""
    (folder / "offer.xlsx").write_bytes(data)
    profile = (folder / "profile").as_uri()
    subprocess.run(
        [office, f"-env:UserInstallation={profile}", "--headless", "--convert-to", to, "--outdir",
         str(folder / "out"), str(folder / "offer.xlsx")],
        check=True, capture_output=True, timeout=180, env={**os.environ, "HOME": str(folder)},
    )  # fmt: skip
    return sorted((folder / "out").glob(f"*.{ending}"))


@pytest.mark.slow
def test_an_office_program_reads_the_same_numbers_and_no_formula(
    office: str, tmp_path: Path, xlsx: bytes
) -> None:
    """CSV of every sheet: comma, quote, UTF-8, values as they are and not as they are shown."""
    to = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1"
    found = {p.stem.removeprefix("offer-"): p for p in converted(office, tmp_path, xlsx, to, "csv")}
    assert set(found) == set(SHEETS)
    for name in ("tubes", "checks", "sources"):
        theirs, ours = pd.read_csv(found[name]), frame(xlsx, name)
        assert theirs.columns.tolist() == ours.columns.tolist()
        assert len(theirs) == len(ours)
        for column in ours.select_dtypes("number"):
            assert theirs[column].to_numpy() == pytest.approx(
                ours[column].to_numpy(), rel=1e-8, nan_ok=True
            )
    nasty = sheet(hostile('=cmd|"/c calc"!A0'), "xlsx")
    flat = converted(office, tmp_path, nasty, "fods", "fods")[0].read_text(encoding="utf-8")
    assert "table:formula" not in flat
    assert "=cmd|" in flat


@pytest.mark.slow
def test_an_office_program_prints_every_sheet_on_landscape_pages(
    office: str, tmp_path: Path, xlsx: bytes
) -> None:
    pdf = converted(office, tmp_path, xlsx, "pdf", "pdf")[0]
    info = subprocess.run(
        [program("pdfinfo"), str(pdf)], check=True, capture_output=True, text=True
    ).stdout
    assert re.search(r"Page size: +841\.\d+ x 595\.\d+ pts \(A4\)", info)
    pages = subprocess.run([program("pdftotext"), "-layout", str(pdf), "-"], check=True,
                           capture_output=True, text=True).stdout.split("\f")[:-1]  # fmt: skip
    assert len(pages) <= 12
    for number, page in enumerate(pages, 1):
        assert f"tubecalc {tc.__version__}, {DATE}" in page
        assert re.search(rf"{number} ?/ ?{len(pages)}\s*$", page)
        assert "Push rod & guide" in page
        assert "###" not in page  # a number that its column cannot hold
    first = " ".join(pages[0].split())
    for part in ("OD [mm]", "304 stainless, cold-drawn", "539.8", "✓ passes", "✗ fails"):
        assert part in first
