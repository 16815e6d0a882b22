"""The command reduce: a table and a report, a folder with a bad file among good ones."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import numpy as np
import openpyxl
import pytest

from tubecalc import cli
from tubecalc.datafiles import data_dir
from tubecalc.share.bench_sheet import bench_sheet
from tubecalc.testing.bench_set import reduce_folder
from tubecalc.testing.report import group_sentences, groups

FOLDER = data_dir() / "tests"


def ran(capsys, *args):
    code = cli.main(["reduce", *map(str, args)])
    out, err = capsys.readouterr()
    assert "Traceback" not in err
    return code, out, err


def written(path: Path, k: float = 100.0, seed: int = 0) -> Path:
    rng = np.random.default_rng(seed)
    x = np.linspace(0, 3, 60)
    y = np.where(x < 2.8, k * x + rng.normal(0, 0.2, 60), 5.0)
    rows = "\n".join(f"{a:.4f},{b:.3f}" for a, b in zip(x, y, strict=True))
    path.write_text("travel_mm,force_N\n" + rows + "\n", encoding="utf-8")
    return path


def test_one_file_by_its_options(capsys, tmp_path):
    file = written(tmp_path / "R1.csv")
    code, out, err = ran(capsys, file, "--kind", "three-point", "--span", "600 mm", "--od", "25 mm",
                         "--wall", "1.5 mm", "--failure", "crush")  # fmt: skip
    assert (code, err) == (0, "")
    line = next(text for text in out.splitlines() if text.startswith("R1"))
    assert "three-point" in line
    assert "crush" in line
    assert "450" in out, "EI = 100 N/mm times 0.6^3 / 48"


def test_demo_folder_gives_every_test_groups_and_promises(capsys, tmp_path):
    code, out, err = ran(capsys, FOLDER, "-o", tmp_path / "bench.xlsx")
    assert code == 0
    assert "20 of 20" in err
    for word in ("ST-tension", "PU-b5", "at least", "B-basis", "Measured over promised"):
        assert word in out
    book = openpyxl.load_workbook(tmp_path / "bench.xlsx")
    assert book.sheetnames == ["tests", "groups", "promised"]
    assert book["tests"].max_row == 21


def test_folder_of_200_shows_progress_and_survives_bad_files(capsys, tmp_path):
    for n in range(197):
        written(tmp_path / f"R{n:03}.csv", 80 + n / 10, n)
    (tmp_path / "S1.csv").write_bytes(b"")
    (tmp_path / "S2.csv").write_bytes(bytes(range(256)) * 40)
    (tmp_path / "S3.csv").write_text("travel_mm,force_N\n" + "1,5\n" * 30, encoding="utf-8")
    code, out, err = ran(capsys, tmp_path, "--kind", "ring")
    assert code == 0
    assert sum(text.startswith("R") and " ring " in text for text in out.splitlines()) == 197
    assert "100 of 200" in err
    for name in ("S1.csv", "S2.csv", "S3"):
        assert any(name in text for text in err.splitlines()), name
    assert "Not reduced" in out


@pytest.mark.parametrize(
    ("args", "says"),
    [(["no-such.csv", "--kind", "ring"], "no such file"),
     (["R1.csv", "--kind", "rng"], "unknown kind of test"),
     (["R1.csv", "--kind", "torsion"], "no torque"),
     (["R1.csv", "--kind", "ring", "-o", "x.pdf"], "x.pdf"),
     (["R1.csv", "--kind", "three-point", "--span", "6 kg"], "span")],
)  # fmt: skip
def test_what_cannot_be_done_is_said_in_one_sentence(capsys, tmp_path, monkeypatch, args, says):
    written(tmp_path / "R1.csv")
    monkeypatch.chdir(tmp_path)
    code, out, err = ran(capsys, *args)
    assert (code, out) == (2, "")
    assert says in err
    assert err.count("\n") == 1


def test_index_that_lacks_a_kind_is_refused(capsys, tmp_path):
    written(tmp_path / "R1.csv")
    (tmp_path / "index.csv").write_text("file,kind\nR1.csv,\n", encoding="utf-8")
    code, _, err = ran(capsys, tmp_path)
    assert code == 2
    assert "index.csv:row 2" in err


def test_hostile_names_reach_neither_terminal_nor_formula(capsys, tmp_path):
    written(tmp_path / "R1.csv")
    (tmp_path / "index.csv").write_text(
        'file,kind,specimen\nR1.csv,ring,"=cmd|x!A1\x1b[31m"\n', encoding="utf-8"
    )
    code, out, err = ran(capsys, tmp_path, "-o", tmp_path / "out.csv")
    assert code == 0
    assert "\x1b" not in out + err
    text = (tmp_path / "out.csv").read_text(encoding="utf-8-sig")
    (row,) = csv.DictReader(io.StringIO(text))
    assert row["specimen"].startswith("'=")
    bench = reduce_folder(tmp_path)
    cell = openpyxl.load_workbook(io.BytesIO(bench_sheet(bench, "xlsx")))["tests"]["A2"]
    assert cell.data_type == "s"


def test_same_tests_give_the_same_bytes():
    bench = reduce_folder(FOLDER)
    for kind in ("csv", "xlsx"):
        one, two = (bench_sheet(bench, kind, date="2026-11-25") for _ in range(2))
        assert one == two


def test_two_files_of_one_test_are_said(capsys, tmp_path):
    written(tmp_path / "A.csv", seed=4)
    written(tmp_path / "B.csv", seed=4)
    code, out, _ = ran(capsys, tmp_path, "--kind", "ring")
    assert code == 0
    assert "A and B are one and the same test" in out


def test_a_test_that_is_there_three_times_enters_mean_and_basis_once(capsys, tmp_path):
    """Ten tubes, one of them in three files: the group is that of ten."""
    for n in range(10):
        written(tmp_path / f"T{n}.csv", seed=n)
    ran(capsys, tmp_path, "--kind", "ring")
    alone = reduce_folder(tmp_path, kind="ring")
    for n in (1, 2):
        written(tmp_path / f"U{n}.csv", seed=4)
    bench = reduce_folder(tmp_path, kind="ring")
    assert len(bench.results) == 12
    assert bench.doubles == {10: 4, 11: 4}
    ((key, tests),) = groups(bench).items()
    assert len(tests) == 10
    assert group_sentences(key, tests) == group_sentences(*next(iter(groups(alone).items())))


def test_one_bad_sheet_does_not_take_the_others_with_it(capsys, tmp_path):
    book = openpyxl.Workbook()
    first = book.active
    first.append(["Travel (mm)", "Force (N)"])
    for _ in range(9):
        first.append([1.0, 5.0])
    good = book.create_sheet("good")
    good.append(["Travel (mm)", "Force (N)"])
    for n in range(40):
        good.append([n * 0.1, 20.0 * n])
    book.save(tmp_path / "two.xlsx")
    code, out, err = ran(capsys, tmp_path / "two.xlsx", "--kind", "ring")
    assert code == 0
    assert "the load never changes" in err
    assert "200 N/mm" in out


def test_the_open_question_of_a_file_is_printed(capsys, tmp_path):
    rows = "".join(f"{n * 0.1:.2f},{20 * n}\n" for n in range(40))
    (tmp_path / "plain.csv").write_text("Travel,Force\n" + rows)
    code, _, err = ran(capsys, tmp_path / "plain.csv", "--kind", "ring")
    assert code == 2
    assert 'In which unit is "Force"' in err
    assert "Say force_unit: N, kN" in err
    code, out, _ = ran(capsys, tmp_path / "plain.csv", "--kind", "ring", "--force-unit", "N",
                       "--travel-unit", "mm")  # fmt: skip
    assert code == 0
    assert "200 N/mm" in out


def test_kind_that_is_not_said_gives_loads_and_slope_only(capsys, tmp_path):
    code, out, err = ran(capsys, written(tmp_path / "R1.csv"))
    assert (code, err) == (0, "")
    assert "kind of test was not said" in out
    (result,) = reduce_folder(tmp_path).results
    assert result.kind == "unsaid"
    assert float(result.stiffness.to("N/mm").magnitude) == pytest.approx(100, rel=0.01)
    assert (result.EI, result.modulus, result.stress, result.yield_offset) == (None,) * 4


def test_index_tells_batches_and_the_report_says_whether_they_pool(tmp_path, capsys):
    """Three batches of four, one a sixth weaker: the likeness test must see it."""
    rows = ["file,kind,od_mm,id_mm,span_mm,nose_mm,failure,batch"]
    for n, batch in enumerate("AAAABBBBCCCC"):
        top = (3.4 if batch == "C" else 4.0) + 0.02 * (n % 4) + 0.01 * (n // 4)
        travel = [k * top / 100 for k in range(101)]
        text = "travel_mm,force_N\n" + "".join(f"{x:.5f},{150 * x:.4f}\n" for x in travel)
        (tmp_path / f"t{n}.csv").write_text(text + f"{top + 0.02},3\n")
        rows.append(f"t{n}.csv,three-point,10,8,240,8,crush,{batch}")
    (tmp_path / "index.csv").write_text("\n".join(rows) + "\n")
    assert cli.main(["reduce", str(tmp_path), "-o", str(tmp_path / "out.csv")]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "3 batches differ by more than chance" in said
    assert "B-basis" in said
    assert ",A," in (tmp_path / "out.csv").read_text(encoding="utf-8-sig")


def test_a_column_is_reduced_from_its_sideways_deflection(tmp_path, capsys):
    """1000 N critical and 1 mm of bow are put in; the cell's factor is 1.1."""
    loads = [9.0 * k for k in range(101)]
    text = "Lateral deflection (mm),Load (N)\n"
    text += "".join(f"{p / (1000 - p):.5f},{p:.3f}\n" for p in loads)
    (tmp_path / "c.csv").write_text(text)
    told = ["--kind", "column", "--span", "900 mm", "--od", "12 mm", "--wall", "1 mm"]
    more = ["--ends", "fixed-pinned", "--load-factor", "1.1"]
    assert cli.main(["reduce", str(tmp_path / "c.csv"), *told, *more]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "critical load 1100 N" in said
    assert "bow before loading 1 mm" in said
