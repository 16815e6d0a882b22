"""The commands page, sheet, chart and quote: what they take, what they write, how they refuse."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pandas as pd
import pytest

import tubecalc as tc
from tubecalc import cli
from tubecalc.cli_files import stem
from tubecalc.job import Candidate, Job
from tubecalc.need import Need
from tubecalc.share.page import page
from tubecalc.share.quote import quote_text
from tubecalc.share.sheet import sheet

DATE = "2026-11-25"
NEED = """
format = 1
title = "Rod"
[[case]]
name = "push"
kind = "strut"
load = "-300 N"
span = "600 mm"
[limits]
od_max = "16 mm"
[factors]
strength = 2.0
buckling = 2.0
"""
JOB = Job(
    Need.from_toml(NEED), (Candidate("304", 0.016, 0.013), Candidate("6061-T6", 0.016, 0.012))
)
THIN = Job(Need.from_toml(NEED), (Candidate("pultruded", 0.003, 0.002),))


@pytest.fixture
def rod(tmp_path: Path) -> Path:
    path = tmp_path / "some job.toml"
    path.write_text(JOB.to_toml(), encoding="utf-8")
    return path


def ran(capsys: pytest.CaptureFixture[str], *args: str | Path) -> tuple[int, str, str]:
    code = cli.main([str(a) for a in args])
    out, err = capsys.readouterr()
    return code, out, err


def refused(capsys: pytest.CaptureFixture[str], *args: str | Path) -> str:
    """The one sentence of a refusal."""
    code, out, err = ran(capsys, *args)
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    assert "Traceback" not in err
    return err


# ---- what they write ----------------------------------------------------------------------
def test_page_and_sheet_write_what_the_library_writes(
    rod: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "offer.html"
    assert ran(capsys, "page", rod, "-o", out, "--date", DATE) == (0, f"Written: {out}\n", "")
    assert out.read_text(encoding="utf-8") == page(JOB, date=DATE)
    for kind in ("xlsx", "csv"):
        out = tmp_path / f"offer.{kind}"
        assert ran(capsys, "sheet", rod, "-o", out, "--date", DATE)[0] == 0
        assert out.read_bytes() == sheet(JOB, kind, date=DATE)
    ran(capsys, "sheet", rod, "-o", out, "--date", DATE, "--paper", "Letter", "--units", "inch")
    assert "OD [in]" in pd.read_csv(out).columns


def test_the_chart_has_the_width_and_the_dots_asked_for(
    rod: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    import struct

    out = tmp_path / "offer.png"
    code, said, err = ran(capsys, "chart", rod, "-o", out, "--width", "100", "--dpi", "127",
                          "--date", DATE)  # fmt: skip
    assert (code, said, err) == (0, f"Written: {out}\n", "")
    data = out.read_bytes()
    assert data[:4] == b"\x89PNG"
    assert struct.unpack(">I", data[16:20])[0] == pytest.approx(100 / 25.4 * 127, abs=1)
    for suffix, start in ((".svg", b"<?xml"), (".pdf", b"%PDF")):
        out = tmp_path / f"offer{suffix}"
        assert ran(capsys, "chart", rod, "-o", out)[0] == 0
        assert out.read_bytes().startswith((start, b"<svg"))


def test_the_data_sheet_is_the_sheet_as_pdf(
    rod: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "offer.pdf"
    assert ran(capsys, "sheet", rod, "-o", out, "--date", DATE)[0] == 0
    assert out.read_bytes().startswith(b"%PDF")
    assert out.read_bytes() == tc.write_sheet(JOB, tmp_path / "b.pdf", date=DATE).read_bytes()


def test_quote_prints_the_paragraph(rod: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert ran(capsys, "quote", rod) == (0, quote_text(JOB) + "\n", "")
    assert "lbf" in ran(capsys, "quote", rod, "--units", "inch")[1]


def test_a_need_file_and_a_customer_page_are_jobs_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    need, html = tmp_path / "need.toml", tmp_path / "offer.HTML"
    need.write_text(NEED, encoding="utf-8")
    html.write_text(page(JOB, date=DATE), encoding="utf-8")
    assert ran(capsys, "sheet", html, "-o", tmp_path / "a.xlsx", "--date", DATE)[0] == 0
    assert (tmp_path / "a.xlsx").read_bytes() == sheet(JOB, "xlsx", date=DATE)
    assert ran(capsys, "quote", html)[1] == quote_text(JOB) + "\n"
    code, out, _ = ran(capsys, "quote", need)
    assert code == 0
    assert out.startswith("Rod: ")


def test_the_name_is_made_from_the_title_and_lies_beside_the_job(
    rod: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert ran(capsys, "page", rod)[1] == f"Written: {tmp_path / 'rod.html'}\n"
    assert ran(capsys, "sheet", rod)[1] == f"Written: {tmp_path / 'rod.xlsx'}\n"
    untitled = tmp_path / "Some Job.toml"
    untitled.write_text(NEED.replace('title = "Rod"', ""), encoding="utf-8")
    assert ran(capsys, "sheet", untitled)[1] == f"Written: {tmp_path / 'some-job.xlsx'}\n"


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Sampling boom", "sampling-boom"), ("../../etc/passwd", "etc-passwd"),
        ("C:\\x\\y", "c-x-y"), ("~", ""), ("Über Öl", "uber-ol"), ("a\x00b\n", "a-b"),
        ("con", "tube-con"), ("LPT1", "tube-lpt1"), ("-rf", "rf"), (".hidden", "hidden"),
        ("x" * 500, "x" * 60), ("$(touch x)`y`", "touch-x-y"), ("船", ""),
    ],
)  # fmt: skip
def test_a_title_is_no_path(title: str, name: str) -> None:
    assert stem(title) == name


# ---- exit codes ---------------------------------------------------------------------------
def test_where_nothing_passes_it_is_written_all_the_same_and_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "thin.toml"
    path.write_text(THIN.to_toml(), encoding="utf-8")
    for command, ending in (("page", "html"), ("sheet", "csv"), ("chart", "svg")):
        out = tmp_path / f"thin.{ending}"
        code, said, err = ran(capsys, command, path, "-o", out, "--date", DATE)
        assert (code, said) == (1, f"Written: {out}\n")
        assert err == "The tube does not do what is asked.\n"
        assert out.stat().st_size > 1000
    code, said, err = ran(capsys, "quote", path)
    assert code == 1
    assert "does not do what is asked" in said
    two = Job(THIN.need, (*THIN.candidates, Candidate("pultruded", 0.004, 0.003)))
    path.write_text(two.to_toml(), encoding="utf-8")
    assert ran(capsys, "quote", path)[2] == "None of the 2 tubes does what is asked.\n"


def test_a_job_without_a_case_is_no_failure(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "bare.toml"
    path.write_text(Job(candidates=JOB.candidates).to_toml(), encoding="utf-8")
    assert ran(capsys, "quote", path)[0] == 0


# ---- refusals -----------------------------------------------------------------------------
def test_files_that_cannot_be_written_are_refused_in_a_sentence(
    rod: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = sorted(tmp_path.iterdir())
    for command, endings in (
        ("page", ".html"), ("sheet", ".xlsx or .csv or .pdf"), ("chart", ".png"),
    ):  # fmt: skip
        said = refused(capsys, command, rod, "-o", tmp_path / "offer.doc")
        assert 'got "offer.doc"' in said
        assert f"ends in {endings}" in said
    said = refused(capsys, "sheet", rod, "-o", tmp_path / "none" / "offer.csv")
    assert "cannot be written" in said
    assert "a folder that exists" in said
    assert "not a date" in refused(capsys, "sheet", rod, "--date", "25.11.2026")
    assert "not a date" in refused(capsys, "quote", rod, "--date", "soon")
    assert sorted(tmp_path.iterdir()) == before


def test_a_folder_one_may_not_write_to_is_refused(
    rod: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    closed = tmp_path / "closed"
    closed.mkdir()
    if os.geteuid() == 0:  # nobody refuses root: the system call is made to
        import tempfile

        def no(*_: object, **__: object) -> None:
            raise PermissionError(13, "Permission denied")

        monkeypatch.setattr(tempfile, "mkstemp", no)
    else:
        closed.chmod(0o500)
    said = refused(capsys, "sheet", rod, "-o", closed / "offer.csv")
    assert "Permission denied" in said


def test_the_job_itself_is_never_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    html = tmp_path / "rod.html"
    html.write_text(page(JOB, date=DATE), encoding="utf-8")
    before = html.read_bytes()
    for more in ((), ("-o", html), ("-o", tmp_path / "." / "rod.html")):
        assert "over the job it is made from" in refused(capsys, "page", html, *more)
    assert html.read_bytes() == before


@pytest.mark.parametrize(
    ("name", "content", "part"),
    [
        ("a.toml", "x = 1\n", "is not a job"),
        ("a.toml", "job = 2\nversion = \"9.9\"\n", "newer tubecalc"),
        ("a.toml", "job = 1\n[[candidat]]\n", 'did you mean "candidate"?'),
        ("a.toml", "job = [\n", "no TOML"),
        ("a.toml", "", "is empty"),
        ("a.toml", "job = 1\n", "nothing to offer"),
        ("a.html", "<html>nothing</html>", "holds no job"),
        ("a.xlsx", "PK\x03\x04\udcff", "is not UTF-8 text"),
    ],
)  # fmt: skip
def test_what_is_no_job_is_refused_with_its_name(
    name: str, content: str, part: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / name
    path.write_bytes(content.encode("utf-8", "surrogateescape"))
    for command in ("page", "sheet", "quote"):
        said = refused(capsys, command, path)
        assert part in said
        assert said.startswith(f"tubecalc {command}: ")
    assert [p.name for p in tmp_path.iterdir()] == [name]


def test_an_absent_file_a_folder_and_a_cut_page_are_refused(
    rod: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "there is no such file" in refused(capsys, "quote", tmp_path / "absent.toml")
    assert "cannot be read" in refused(capsys, "quote", tmp_path)
    whole = page(JOB, date=DATE)
    cut = tmp_path / "cut.html"
    cut.write_text(whole[: whole.index("[need]") + 40], encoding="utf-8")
    said = refused(capsys, "sheet", cut)
    assert re.search(r"cut\.html:job block:line \d+: is cut off", said)


def test_wrong_words_on_the_line_are_refused(rod: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for args in (["sheet"], ["sheet", rod, "--paper", "A5"], ["chart", rod, "--dpi", "many"],
                 ["page", rod, "--units", "metric"]):  # fmt: skip
        with pytest.raises(SystemExit) as stopped:
            cli.main([str(a) for a in args])
        assert stopped.value.code == 2
        assert "see tubecalc" in capsys.readouterr().err
