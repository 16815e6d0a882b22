"""The command line: readable tables, exit codes 0, 1, 2, one sentence for bad input."""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path

import pytest

from tubecalc import cli
from tubecalc.cli_report import columns, digits
from tubecalc.datafiles import data_dir

SMALL = ["--od", "8:16:2 mm", "--wall", "1:2:0.5 mm"]
ROD = """
format = 1
title = "Rod"
[[case]]
name = "push"
kind = "strut"
load = "-300 N"
span = "600 mm"
[factors]
strength = 2.0
buckling = 2.0
"""


@pytest.fixture
def rod(tmp_path: Path) -> Path:
    path = tmp_path / "rod.toml"
    path.write_text(ROD, encoding="utf-8")
    return path


def ran(capsys: pytest.CaptureFixture[str], *args: str | Path) -> tuple[int, str, str]:
    code = cli.main([str(a) for a in args])
    out, err = capsys.readouterr()
    return code, out, err


# --- pick -----------------------------------------------------------------------------------


def test_pick_names_the_lightest_passing_tube_and_says_why(
    rod: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 0; a shortlist, then the chosen tube with its reserves and cautions."""
    code, out, err = ran(capsys, "pick", rod, *SMALL)
    assert (code, err) == (0, "")
    assert out.startswith("Rod: ")
    assert "lightest first" in out
    lines = out.splitlines()
    first = next(line for line in lines if line.lstrip().startswith("1 "))
    chosen = next(line for line in lines if line.startswith("Chosen: "))
    name = chosen.removeprefix("Chosen: ").split(",")[0]
    assert name in first
    assert "yes" in first
    assert "licensed engineer" in " ".join(out.split())


def test_pick_says_nearest_and_what_to_relax_when_nothing_passes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit 1, no pretence: 300 N on 6 m cannot be carried by 8 mm tubes."""
    path = tmp_path / "long.toml"
    path.write_text(ROD.replace("600 mm", "6 m"), encoding="utf-8")
    code, out, err = ran(capsys, "pick", path, "--od", "6:8:1 mm", "--wall", "1:1:1 mm")
    assert (code, err) == (1, "")
    assert ": 0 of " in out
    assert "Nothing passes" in out
    assert "To let it pass" in " ".join(out.split())
    assert "\nNearest: " in out


def test_pick_writes_every_candidate_to_csv(
    rod: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The file holds all tubes, the screen only the first ones."""
    target = tmp_path / "all.csv"
    code, out, _ = ran(capsys, "pick", rod, *SMALL, "--top", "2", "--out", target)
    assert code == 0
    with target.open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(handle))
    assert f"{len(rows)} tubes written to" in out
    assert {"construction", "od_mm", "id_mm", "reserve", "passes"} <= set(rows[0])
    assert {float(r["od_mm"]) for r in rows} == {8.0, 10.0, 12.0, 14.0, 16.0}


def test_pick_takes_only_the_constructions_asked_for(
    rod: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One key, one construction in the table."""
    code, out, _ = ran(capsys, "pick", rod, *SMALL, "--constructions", "6061-T6")
    assert code == 0
    body = [line for line in out.splitlines() if line[:2].strip().isdigit()]
    assert body
    assert len({line.split()[1] for line in body}) == 1


def test_pick_from_a_stock_list(rod: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The demo stock list has tubes for the rod."""
    (stock,) = (data_dir() / "stock").glob("*.csv")
    code, out, err = ran(capsys, "pick", rod, "--stock", stock)
    assert (code, err) == (0, "")
    assert "Chosen: " in out


@pytest.mark.parametrize(("units", "label"), [("SI", "mm"), ("workshop", "mm"), ("inch", "in")])
def test_pick_shows_sizes_in_the_units_asked_for(
    units: str, label: str, rod: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Inch users read inches; everybody else millimetres."""
    _, out, _ = ran(capsys, "pick", rod, *SMALL, "--units", units)
    assert f"OD x bore, {label} " in out


@pytest.mark.parametrize("path", sorted((data_dir() / "jobs").glob("*.toml")), ids=lambda p: p.stem)
def test_every_demo_need_finds_a_tube(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The five invented needs can be met by common tubes."""
    code, out, err = ran(capsys, "pick", path, "--od", "6:60:2 mm", "--wall", "0.5:3:0.5 mm")
    assert (code, err) == (0, "")
    assert "Chosen: " in out


# --- bad input ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "args", "words"),
    [
        (("600 mm", "600"), [], "span"),
        (('"-300 N"', '"-300 mm"'), [], "load"),
        (("600 mm", "600,5 mm"), [], "span"),
        (('kind = "strut"', 'kind = "strutt"'), [], "strut"),
        (("span", "spann"), [], "span"),
        (("[[case]]", "[[case"), [], "TOML"),
        (("", ""), ["--od", "8-16"], "LO:HI:STEP"),
        (("", ""), ["--od", "8:16:0 mm"], "step"),
        (("", ""), ["--constructions", "pultrudet"], "pultruded"),
        (("", ""), ["--out", "list.docx"], "CSV"),
        (("", ""), ["--stock", "nowhere.csv"], "nowhere.csv"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_two(
    change: tuple[str, str],
    args: list[str],
    words: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """What, where, got, expected on stderr; nothing on stdout; no traceback."""
    path = tmp_path / "rod.toml"
    path.write_text(ROD.replace(*change) if change[0] else ROD, encoding="utf-8")
    code, out, err = ran(capsys, "pick", path, *args)
    assert (code, out) == (2, "")
    assert err.startswith("tubecalc pick: ")
    assert words in err
    assert err.count("\n") == 1
    assert "Traceback" not in err


def test_missing_and_empty_need_files_are_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The file's name stands in the sentence."""
    code, _, err = ran(capsys, "pick", tmp_path / "none.toml")
    assert code == 2
    assert "none.toml: there is no such need file." in err
    (tmp_path / "empty.toml").write_text("", encoding="utf-8")
    code, _, err = ran(capsys, "pick", tmp_path / "empty.toml")
    assert code == 2
    assert "empty.toml" in err


def test_unknown_commands_and_options_end_with_two_and_one_line() -> None:
    """As a shell sees it: exit 2, one line that points to --help."""
    for args in (["pcik"], ["pick"], ["pick", "x.toml", "--colour", "red"], []):
        done = subprocess.run(
            [sys.executable, "-m", "tubecalc", *args], capture_output=True, text=True
        )
        assert done.returncode == 2
        assert done.stderr.startswith("tubecalc")
        assert "--help" in done.stderr
        assert done.stderr.count("\n") == 1


def test_serve_refuses_an_address_that_is_not_ours(capsys: pytest.CaptureFixture[str]) -> None:
    """203.0.113.0/24 is set aside for documentation (RFC 5737); no machine has it."""
    code, out, err = ran(capsys, "serve", "--no-browser", "--address", "203.0.113.7")
    assert (code, out) == (2, "")
    assert "203.0.113.7" in err


# --- evidence -------------------------------------------------------------------------------


def test_evidence_lists_published_and_computed_values(capsys: pytest.CaptureFixture[str]) -> None:
    """Every row has its source above it; all that is held to agrees."""
    code, out, err = ran(capsys, "evidence")
    assert (code, err) == (0, "")
    assert "Source: " in out
    assert "agrees" in out
    assert "OUTSIDE" not in out


def test_evidence_of_one_topic_is_a_part_of_the_whole(capsys: pytest.CaptureFixture[str]) -> None:
    """A misspelt topic is answered with the known ones."""
    whole = ran(capsys, "evidence")[1]
    part = ran(capsys, "evidence", "--topic", "failure")[1]
    assert 0 < len(part.splitlines()) < len(whole.splitlines())
    code, _, err = ran(capsys, "evidence", "--topic", "failur3")
    assert code == 2
    assert "failure" in err


def test_evidence_fails_when_a_value_leaves_its_tolerance(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A published value off by one percent is reported and ends with 1."""
    from dataclasses import replace

    from tubecalc import evidence

    row = next(r for r in evidence.rows() if r.id == "KAW2.6-Q11")
    wrong = replace(row, value=row.value * 1.01)
    monkeypatch.setattr(evidence, "rows", lambda topic=None: [wrong])
    code, out, _ = ran(capsys, "evidence")
    assert code == 1
    assert "OUTSIDE" in out


# --- text -----------------------------------------------------------------------------------


def test_columns_line_up_and_numbers_read_well() -> None:
    """Right-aligned cells end in one column; four digits are enough."""
    text = columns(["a", "n"], [["x", "1.5"], ["yy", "10"]], "lr").splitlines()
    assert {len(line) for line in text} == {len(text[0])}
    assert [digits(x) for x in (0.0, 0.999, 12.345, 1e-6)] == ["0.00", "0.999", "12.3", "1e-06"]


def test_pick_takes_the_users_own_constructions(tmp_path, capsys):
    """A construction from the user's file stands beside ours, by its own name."""
    own = tmp_path / "own.toml"
    own.write_text(
        '[boat-tube]\nname = "our boat tube"\nt_max = "90 degC"\n'
        'inner = [{ply = "carbon-sm-ud", angle = 90, thickness = "0.1 mm"}]\n'
        'fill = [{ply = "carbon-im-ud", angle = 0, thickness = "0.15 mm"}]\n',
        encoding="utf-8",
    )
    need = data_dir() / "jobs" / "sampling-boom.toml"
    code = cli.main(["pick", str(need), "--own", str(own), "--constructions", "boat-tube"])
    said = capsys.readouterr().out
    assert code == 0
    assert "our boat tube" in said


def test_pick_speaks_inches_throughout(capsys):
    """Reasons, not only sizes, come in the units asked for."""
    need = data_dir() / "jobs" / "sampling-boom.toml"
    cli.main(["pick", str(need), "--constructions", "6063-T6", "--units", "inch"])
    said = capsys.readouterr().out
    assert "lbf in" in said
    assert " mm" not in said
