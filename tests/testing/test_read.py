"""Files of test machines: each dialect is written here from numbers chosen beforehand."""

from __future__ import annotations

import io
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import openpyxl
import pytest

import tubecalc as tc
from tubecalc.errors import InputError
from tubecalc.testing.curve import Curve

ROWS = [(0.0, 0.0), (0.5, 125.25), (1.0, 250.5), (1.5, 1375.75)]


def one(text: str | bytes, *picks: Any, **told: Any) -> Curve:
    data = text.encode() if isinstance(text, str) else text
    curves = tc.read_curves(data, *picks, name="pull.csv", **told)
    assert len(curves) == 1
    return curves[0]


def is_the_curve(curve: Curve) -> None:
    assert curve.data["travel_mm"].tolist() == pytest.approx([a for a, _ in ROWS])
    assert curve.data["force_N"].tolist() == pytest.approx([b for _, b in ROWS])


def body(mark: str = ",", form: str = "{:.2f}") -> str:
    return "".join(f"{form.format(a)}{mark}{form.format(b)}\n" for a, b in ROWS)


@pytest.mark.parametrize(
    "head",
    [
        "Travel (mm),Force (N)\n", "travel_mm,force_N\n", "Weg [mm],Kraft [N]\n", "mm,N\n",
        "Displacement,Load\nmm,N\n", "Déplacement / mm,Charge / N\n", "Stroke {mm},P {N}\n",
        "Crosshead travel in mm,Load N\n", '"Position: mm","Force; N"\n', "# x (mm),F (N)\n",
        "Channel 1,Channel 2\nmm,N\n", "Desplazamiento (mm),Fuerza (N)\n",
        "Test,17\nOperator,Load cell 5 kN\n\nCorsa (mm),Forza (N)\n", "Weg,Kraft\n\n[mm],[N]\n",
    ],
)  # fmt: skip
def test_headings_of_many_makers(head: str) -> None:
    """Names in several languages, units in the heading or in a row of their own."""
    curve = one(head + body())
    is_the_curve(curve)
    assert not curve.questions


@pytest.mark.parametrize(
    ("unit", "factor"),
    [
        ("N", 1.0), ("kN", 1e3), ("daN", 10.0), ("kgf", 9.80665), ("kg", 9.80665),
        ("lbf", 4.4482216),
        ("Lbs", 4.4482216), ("gf", 9.80665e-3), ("KN", 1e3), ("kip", 4448.2216), ("MN", 1e6),
    ],
)  # fmt: skip
def test_units_of_force(unit: str, factor: float) -> None:
    """Factors by the definitions: 9.80665 m/s2 and 0.45359237 kg."""
    curve = one(f"Travel (mm),Force ({unit})\n" + body())
    assert curve.data["force_N"].iloc[-1] == pytest.approx(1375.75 * factor, rel=1e-7)
    assert curve.original.iloc[-1, 1] == 1375.75


@pytest.mark.parametrize(
    ("unit", "factor"),
    [("mm", 1.0), ("in", 25.4), ("um", 1e-3), ("µm", 1e-3), ("cm", 10.0), ("mil", 0.0254)],
)  # fmt: skip
def test_units_of_travel(unit: str, factor: float) -> None:
    curve = one(f"Travel ({unit}),Force (N)\n" + body())
    assert curve.data["travel_mm"].iloc[-1] == pytest.approx(1.5 * factor, rel=1e-9)


@pytest.mark.parametrize(
    ("unit", "factor"),
    [("N m", 1.0), ("Nm", 1.0), ("N·m", 1.0), ("lbf in", 0.112984829), ("ft-lb", 1.355817948),
     ("kgf cm", 0.0980665), ("kgf.m", 9.80665), ("N mm", 1e-3)],
)  # fmt: skip
def test_units_of_torque(unit: str, factor: float) -> None:
    curve = one(f"Angle (rad),Torque ({unit})\n" + body())
    assert curve.data["torque_N_m"].iloc[-1] == pytest.approx(1375.75 * factor, rel=1e-8)
    assert curve.data["angle_deg"].iloc[-1] == pytest.approx(np.rad2deg(1.5))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_encodings_and_line_ends(encoding: str, ends: str) -> None:
    text = "Prüfung;für µm\nWeg (mm);Kraft (N)\n" + body(";")
    is_the_curve(one(text.replace("\n", ends).encode(encoding)))


@pytest.mark.parametrize("mark", [";", "\t", "|", "  "])
@pytest.mark.parametrize("thousands", ["", ".", " ", "\xa0", "'"])
def test_decimal_commas_with_thousands(mark: str, thousands: str) -> None:
    if mark == "  " and thousands in (" ", "\xa0"):
        pytest.skip("cannot be told apart")
    rows = "".join(f"{a:.2f}{mark}{b:,.2f}\n" for a, b in ROWS)
    rows = rows.replace(",", "_").replace(".", ",").replace("_", thousands)
    is_the_curve(one(f"Weg (mm){mark}Kraft (N)\n" + rows))


def test_quoted_numbers_with_thousands() -> None:
    rows = "".join(f'"{a:,.2f}","{b:,.2f}"\n' for a, b in ROWS)
    is_the_curve(one('"Travel (mm)","Force (N)"\n' + rows))


def test_a_decimal_sign_that_cannot_be_told_is_asked() -> None:
    """1,234 is 1.234 or 1234: no number is given until the user says which."""
    text = "Weg (mm);Kraft (N)\n1,234;2,345\n1,345;2,456\n1,456;2,567\n"
    asked = one(text)
    (question,) = asked.questions
    assert question.argument == "decimal"
    assert question.open
    assert not asked.ready
    assert list(asked.data.columns) == []
    values = {c.value: one(text, decimal=c.value) for c in question.choices}
    assert values[","].data["force_N"].tolist() == [2.345, 2.456, 2.567]
    assert values["."].data["force_N"].tolist() == [2345, 2456, 2567]


def test_commas_that_part_and_are_decimals_alike_are_refused() -> None:
    with pytest.raises(InputError, match="4 cells in a row under 2 headings"):
        one("Weg (mm),Kraft (N)\n0,5,1,25\n1,0,2,50\n1,5,3,75\n")


def test_missing_units_are_asked_and_answered() -> None:
    text = "travel,load\n" + body()
    asked = one(text)
    assert {q.argument for q in asked.questions} == {"travel_unit", "force_unit"}
    assert list(asked.data.columns) == []
    assert asked.original["load"].tolist() == [b for _, b in ROWS]
    told = one(text, force_unit="kN", travel_unit="in")
    assert told.questions == ()
    assert told.data["force_N"].iloc[-1] == 1375750.0
    with pytest.raises(InputError, match=r"pull.csv:force_unit: is no unit of a force"):
        one(text, force_unit="mm")


def test_two_loads_are_asked_and_answered() -> None:
    text = "Travel (mm),Load 1 (N),Load 2 (kN)\n0,1,2\n1,3,4\n2,5,9\n"
    (question,) = one(text).questions
    assert question.argument == "force"
    assert [c.value for c in question.choices] == ["Load 1 (N)", "Load 2 (kN)"]
    assert one(text, force=question.choices[1].value).data["force_N"].tolist() == [2e3, 4e3, 9e3]
    assert one(text, force=2).data["force_N"].tolist() == [1, 3, 5]
    with pytest.raises(InputError, match='unknown column "Lod 1 \\(N\\)", did you mean'):
        one(text, force="Lod 1 (N)")


def test_columns_without_headings_are_asked() -> None:
    asked = one("0.0,0.0\n0.5,20.5\n1.0,41.0\n")
    assert {q.argument for q in asked.questions} == {"force", "travel"}
    told = one("0.0,0.0\n0.5,20.5\n1.0,41.0\n", 2, 1, "N", "mm")
    assert told.data["force_N"].tolist() == [0, 20.5, 41]


def test_names_and_units_that_contradict_each_other_are_asked() -> None:
    asked = one("Force (mm),Travel (N)\n" + body())
    assert list(asked.data.columns) == []
    assert {q.argument for q in asked.questions} == {"force", "travel"}
    assert any("is a column swapped" in note for note in asked.notes)


def test_two_extensometers_beside_the_travel() -> None:
    curve = one(
        "Time (s),Travel (mm),Ext 1 (um),Ext 2 (um),Load (N)\n0,0,0,0,0\n1,1,10,12,5\n2,2,20,24,9\n"
    )
    assert curve.data["extension_mm"].tolist() == pytest.approx([0, 0.010, 0.020])
    assert curve.data["extension_2_mm"].tolist() == pytest.approx([0, 0.012, 0.024])
    assert curve.questions == ()


@pytest.mark.parametrize(
    ("stamps", "seconds"),
    [
        (["10:15:30.000", "10:15:30.250", "10:15:31.5"], [0, 0.25, 1.5]),
        (["2026-11-05T23:59:59", "2026-11-06T00:00:01", "2026-11-06T00:00:02"], [0, 2, 3]),
        (["05.11.2026 10:00:00", "05.11.2026 10:00:01", "05.11.2026 10:00:03"], [0, 1, 3]),
        (["11/5/2026 12:59:59 PM", "11/5/2026 1:00:00 PM", "11/5/2026 1:00:02 PM"], [0, 1, 3]),
        (["23:59:59.5", "00:00:00.5", "00:00:01.5"], [0, 1, 2]),
        (["00:59.5", "01:00.5", "01:01.0"], [0, 1, 1.5]),
    ],
)
def test_time_stamps(stamps: list[str], seconds: list[float]) -> None:
    rows = "".join(f"{s};{i};{2 * i}\n" for i, s in enumerate(stamps))
    curve = one("Time;Weg (mm);Kraft (N)\n" + rows)
    assert curve.data["time_s"].tolist() == pytest.approx(seconds)
    assert curve.questions == ()


def test_time_stamps_of_two_readings_are_asked() -> None:
    text = "Time;Weg (mm);Kraft (N)\n10:15;0;0\n10:16;1;5\n10:18;2;9\n"
    asked = one(text)
    assert "time_s" not in asked.data
    (question,) = asked.questions
    assert [c.value for c in question.choices] == ["h:min", "min:s"]
    assert one(text, time_unit="min:s").data["time_s"].tolist() == [0, 1, 3]
    assert one(text, time_unit="h:min").data["time_s"].tolist() == [0, 60, 180]


BLOCK = "Travel (mm),Force (N)\n0.0,0\n0.5,{a}\n1.0,{b}\n1.5,{c}\n"


@pytest.mark.parametrize("between", ["\n", "\n\n", "Specimen 2\n", "\nSample: T-2\n\n"])
def test_blocks_below_each_other(between: str) -> None:
    text = BLOCK.format(a=5, b=9, c=14) + between + BLOCK.format(a=6, b=11, c=17)
    first, second = tc.read_curves(text.encode(), name="set.csv")
    assert first.data["force_N"].tolist() == [0, 5, 9, 14]
    assert second.data["force_N"].tolist() == [0, 6, 11, 17]
    assert (second.understood.block, second.understood.blocks) == (2, 2)
    if "T-2" in between:
        assert second.name == "T-2"


def test_blocks_of_other_columns_and_units() -> None:
    text = BLOCK.format(a=5, b=9, c=14) + "\nTime;x\n\ns,mm,kN\n0,0,0\n1,1,0.5\n2,2,0.9\n"
    text = text.replace("Time;x\n\ns,mm,kN", "Time,Travel,Load\ns,mm,kN")
    first, second = tc.read_curves(text.encode())
    assert first.data["force_N"].tolist() == [0, 5, 9, 14]
    assert second.data["force_N"].tolist() == [0, 500, 900]
    assert second.data["time_s"].tolist() == [0, 1, 2]


def test_specimens_side_by_side() -> None:
    text = "A-1,,A-2,\nmm,N,mm,N\n0,0,0,0\n1,5,1,6\n2,9,2,11\n,,3,17\n"
    first, second = tc.read_curves(text.encode())
    assert first.data["force_N"].tolist() == [0, 5, 9]
    assert second.data["force_N"].tolist() == [0, 6, 11, 17]


def test_specimens_named_in_a_column() -> None:
    rows = "".join(f"{s},{i},{f * i}\n" for s, f in (("A", 5), ("B", 6)) for i in range(4))
    first, second = tc.read_curves(("Specimen,Travel (mm),Force (N)\n" + rows).encode())
    assert (first.name, second.name) == ("A", "B")
    assert second.data["force_N"].tolist() == [0, 6, 12, 18]


def test_a_new_beginning_without_headings_is_said_and_asked() -> None:
    rows = body() + body()
    curve = one("Time (s),Travel (mm),Force (N)\n" + "".join(
        f"{i % 4},{line}\n" for i, line in enumerate(rows.splitlines())
    ))  # fmt: skip
    assert len(curve.data) == 8
    (question,) = curve.questions
    assert (question.argument, question.taken) == ("split", "one")
    both = tc.read_curves(
        b"Travel (mm),Force (N)\n" + (body() + "\n" + body()).encode(), split="specimens"
    )
    assert len(both) == 2
    for curve in both:
        is_the_curve(curve)


def test_torn_and_foreign_lines_are_left_out_and_said() -> None:
    text = "Travel (mm);Force (N)\n0.0;0\n0.5;125.25\n0.7\nsensor lost\n1.0;250.5\n1.2;2;6\n"
    curve = one(text + "1.5;1375.75\nMaximum;1375.75\n")
    is_the_curve(curve)
    assert [s.line for s in curve.understood.skipped] == [4, 5, 7, 9]
    assert curve.understood.skipped[2].why == "torn: 3 cells in place of 2"


def test_a_number_cut_off_at_the_end_of_the_file_is_no_number() -> None:
    curve = one("Travel (mm),Force (N)\n" + body() + "2.00,15")
    is_the_curve(curve)
    assert "ends within a number" in curve.understood.skipped[0].why


@pytest.mark.parametrize(
    "mark", ["OVER", "OL", "+OVLD", "> 1400", "9.9E+37", "Inf", "*****", "OVERLOAD"]
)
def test_marks_beyond_the_range(mark: str) -> None:
    curve = one("Travel (mm);Force (N)\n" + body(";") + f"2.0;{mark}\n2.5;{mark}\n")
    assert curve.beyond("force_N").tolist() == [False] * 4 + [True] * 2
    assert curve.data["force_N"].isna().sum() == 2
    assert curve.understood.skipped == ()


@pytest.mark.parametrize("mark", ["---", "NaN", "n/a", "", "#N/A", "-"])
def test_marks_of_no_reading(mark: str) -> None:
    curve = one("Travel (mm);Force (N);Time (s)\n0;0;0\n1;5;1\n" + f"2;{mark};2\n3;9;3\n")
    assert curve.data["force_N"].isna().tolist() == [False, False, True, False]
    assert not curve.beyond("force_N").any()


def test_units_beside_every_number() -> None:
    curve = one("Travel;Force\n0.0 mm;0 N\n0.5 mm;900 N\n1.0 mm;1.8 kN\n")
    assert curve.data["force_N"].tolist() == pytest.approx([0, 900, 1800])


def test_log_of_named_values() -> None:
    text = (
        "hello\nN_per_count=0.5\n"
        + "".join(f"t={i}s F={2 * i} x={i}.5mm\n" for i in range(5))
        + "t=5s F"
    )
    curve = one(text)
    assert curve.data["force_N"].tolist() == [0, 1, 2, 3, 4]
    assert curve.data["travel_mm"].tolist() == [0.5, 1.5, 2.5, 3.5, 4.5]


def test_a_summary_above_the_rows_is_left_out_and_said() -> None:
    rows = "".join(f"{i},{5 * i}\n" for i in range(20))
    text = "Max load (N),Travel at max (mm)\n95,19\n\nTravel (mm),Force (N)\n" + rows
    curve = one(text)
    assert curve.data["force_N"].tolist() == [5 * i for i in range(20)]
    assert any("summary" in note for note in curve.notes)


def test_a_constant_load_and_a_single_row_are_read_and_noted() -> None:
    flat = one("Travel (mm),Force (N)\n0,5\n1,5\n2,5\n")
    assert any("in every row" in note for note in flat.notes)
    single = one("Travel (mm),Force (N)\n1.5,5.5\n")
    assert single.data["force_N"].tolist() == [5.5]
    assert any("one row only" in note for note in single.notes)


# --- workbooks ------------------------------------------------------------------------------


def book(sheets: dict[str, list[list[Any]]]) -> bytes:
    made = openpyxl.Workbook()
    made.remove(made.active)
    for title, rows in sheets.items():
        sheet = made.create_sheet(title)
        for row in rows:
            sheet.append(row)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def test_sheets_of_a_workbook() -> None:
    head = [["Report"], [], ["Travel", "Load"], ["mm", "kN"]]
    rows = [[i * 1.234, i * 0.5] for i in range(12)]
    data = book({"Summary": [["all", "good"]], "T-1": head + rows, "T-2": head + rows[:6]})
    first, second = tc.read_curves(data)
    assert (first.name, second.name) == ("T-1", "T-2")
    assert first.data["force_N"].tolist() == [i * 500.0 for i in range(12)]
    assert first.data["travel_mm"].tolist() == pytest.approx([i * 1.234 for i in range(12)])
    assert len(second.data) == 6
    assert any("Summary" in note for note in first.notes)
    assert tc.read_curves(data, sheet="T-2")[0].name == "T-2"
    with pytest.raises(InputError, match='unknown sheet "T-9"'):
        tc.read_curves(data, sheet="T-9")


def test_workbook_of_text_cells_with_commas() -> None:
    data = book({"A": [["Weg (mm)", "Kraft (N)"], ["0,5", "1.234,5"], ["1,0", "2.345,6"]]})
    assert tc.read_curves(data)[0].data["force_N"].tolist() == [1234.5, 2345.6]


def test_a_workbook_with_entities_or_a_bomb_is_refused() -> None:
    data = book({"A": [["Weg (mm)", "Kraft (N)"], [1.0, 2.0], [2.0, 3.0]]})
    for name, text in (
        (
            "xl/worksheets/sheet1.xml",
            b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>',
        ),
        ("xl/blown.bin", b"\0" * 120_000_000),
    ):
        out = io.BytesIO()
        with (
            zipfile.ZipFile(io.BytesIO(data)) as old,
            zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
        ):
            for part in old.infolist():
                if part.filename != name:
                    new.writestr(part, old.read(part))
            new.writestr(name, text)
        with pytest.raises(InputError) as caught:
            tc.read_curves(out.getvalue(), name="bad.xlsx")
        assert "stock" not in str(caught.value)


# --- bad input ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "bad.csv: is empty"),
        (b" \r\n\t\n", "bad.csv: is empty"),
        (b"\x89PNG\r\n\x1a\n....", "bad.csv: is a picture"),
        (bytes(range(256)) * 40, "bad.csv: is not text and not an .xlsx workbook"),
        (b"%PDF-1.7 ...", "bad.csv: is a PDF"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "bad.csv: is an old .xls workbook"),
        (b"PK\x03\x04 broken", "bad.csv: is not a workbook that can be read"),
        (b"hello\nworld\n", "bad.csv: holds no rows of numbers"),
        (b"Travel (mm),Force (N)\n", "bad.csv: holds no rows of numbers"),
    ],
)
def test_what_is_no_test_file_is_refused_in_a_sentence(data: bytes, sentence: str) -> None:
    with pytest.raises(InputError) as caught:
        tc.read_curves(data, name="bad.csv")
    assert str(caught.value).startswith(sentence)


def test_a_file_of_two_gigabytes_is_refused_by_its_size_alone(tmp_path: Path) -> None:
    path = tmp_path / "huge.csv"
    with path.open("wb") as file:
        file.truncate(2_100_000_000)  # no block of it is written
    with pytest.raises(InputError, match=r"huge.csv: has 2.1 GB"):
        tc.read_curves(path, large=True)
    with path.open("wb") as file:
        file.truncate(250_000_000)
    with pytest.raises(InputError, match=r"large=True"):
        tc.read_curves(path)
    with pytest.raises(InputError, match="cannot be read"):
        tc.read_curves(tmp_path / "nowhere.csv")


def test_hostile_cells_stay_text() -> None:
    bad = '=HYPERLINK("http://x")\x1b[2J\u202e<script>alert(1)</script>'
    curve = one(f"Note;{bad}\nTravel (mm);Force (N);{bad}\n0;0;a\n1;5;=1+1\n2;9;b\n")
    assert curve.data["force_N"].tolist() == [0, 5, 9]
    kept = " ".join(
        [*curve.original.columns, *curve.understood.lines(), *map(str, curve.understood.preamble)]
    )
    assert "\u202e" not in kept
    assert "\x1b" not in kept
    assert curve.original.iloc[1, 2] == "=1+1"


@pytest.mark.parametrize(
    ("told", "sentence"),
    [
        ({"decimal": ";"}, 'unknown decimal ";"'),
        ({"delimiter": "x"}, 'unknown delimiter "x"'),
        ({"split": "maybe"}, 'unknown split "maybe"'),
        ({"encoding": "utf-99"}, "cannot be read as that encoding"),
        ({"force": 9}, 'unknown column "9"'),
    ],
)
def test_wrong_answers_are_refused(told: dict[str, Any], sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        one("Travel (mm),Force (N)\n" + body(), **told)


def test_importing_tubecalc_does_not_load_the_reader() -> None:
    code = "import sys, tubecalc; print('tubecalc.testing.curves' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


# --- more of the kind -----------------------------------------------------------------------


def test_headings_in_quotes_over_two_lines() -> None:
    curve = one('"Load\n(kN)","Stroke\n(mm)"\n0,0\n1,5\n2,9\n')
    assert curve.data["force_N"].tolist() == [0, 1000, 2000]
    assert curve.understood.first_line == 4


def test_labels_between_rows_keep_the_headings() -> None:
    text = "Travel (mm),Force (N)\nSample A1\n0,0\n1,5\n2,9\nSample A2\n0,0\n1,6\n2,11\n"
    first, second = tc.read_curves(text.encode())
    assert (first.name, second.name) == ("Sample A1", "Sample A2")
    assert second.data["force_N"].tolist() == [0, 6, 11]


def test_a_limit_told_by_the_mark_is_the_least_value() -> None:
    curve = one("Travel (mm);Force (kN)\n0;0\n1;1.5\n2;> 2.0\n")
    assert any("at least 2000 N" in note for note in curve.notes)


def test_two_strain_gauges_in_microstrain() -> None:
    curve = one("F (kN);eps1 (µm/m);eps2 (µm/m)\n0;0;0\n1;120;110\n2;240;220\n")
    assert curve.data["strain"].tolist() == pytest.approx([0, 120e-6, 240e-6])
    assert curve.data["strain_2"].tolist() == pytest.approx([0, 110e-6, 220e-6])


def test_date_and_time_in_columns_of_their_own() -> None:
    rows = "".join(f"05.11.2026;10:15:0{i},5;{i},5;{i},1\n" for i in range(4))
    curve = one("Datum;Uhrzeit;Kraft [kN];Weg [mm]\n" + rows)
    assert curve.data["time_s"].tolist() == [0, 1, 2, 3]
    assert curve.data["force_N"].tolist() == [500, 1500, 2500, 3500]


@pytest.mark.parametrize(("mark", "decimal"), [(",", "."), (";", ","), ("\t", "."), (" ", ".")])
@pytest.mark.parametrize("odd", ["", "torn", "mark", "block"])
def test_a_long_file_reads_as_a_short_one(mark: str, decimal: str, odd: str) -> None:
    """Long files are read in one go or in pieces; the numbers are those of every line."""
    n = 60_000
    x, y = np.arange(n) * 0.001, np.arange(n) * 0.37 - 5
    lines = [f"{a:.3f}{mark}{b:.2f}".replace(".", decimal) for a, b in zip(x, y, strict=True)]
    force = np.round(y, 2)
    if odd == "torn":
        lines.insert(30_123, lines[30_123][:3])
    if odd == "mark":
        lines[30_123] = f"{x[30_123]:.3f}{mark}OVER".replace(".", decimal)
        force[30_123] = np.nan
    head = f"Travel(mm){mark}Force(N)\n"
    text = head + "\n".join(lines) + "\n"
    wanted = [force]
    if odd == "block":
        text, wanted = text + head + "\n".join(lines) + "\n", [force, force]
    curves = tc.read_curves(text.encode(), name="long.csv")
    assert len(curves) == len(wanted)
    for curve in curves:
        np.testing.assert_allclose(curve.data["travel_mm"], x, rtol=0, atol=1e-9)
        np.testing.assert_allclose(curve.data["force_N"], force, rtol=0, atol=1e-9)
    skipped = curves[0].understood.skipped
    assert [s.line for s in skipped] == ([30_125] if odd == "torn" else [])


def test_a_line_without_end_is_refused_at_once() -> None:
    with pytest.raises(InputError, match="has a line too long to be a row"):
        one("1," * 2_000_000)


def test_points_between_bare_commas_are_decimals_and_that_is_said() -> None:
    curve = one("Weg (mm),Kraft (N)\n1.234,2.345\n1.345,2.456\n")
    assert curve.data["force_N"].tolist() == [2.345, 2.456]
    assert curve.questions == ()
    assert any("The point is the decimal sign" in note for note in curve.notes)


@pytest.mark.parametrize("bad", ["", "1.23,5", "12.34", "0.123,5", "1234.567"])
def test_thousands_of_a_long_file_stand_in_groups_of_three(bad: str) -> None:
    """What is no number under the signs of the file is left out and said, never read as another."""
    force = np.arange(40_000) * 0.5
    texts = [f"{f:,.1f}".translate(str.maketrans(",.", ".,")) for f in force]
    lines = [f"{i},5;{text}" for i, text in enumerate(texts)]
    if bad:
        lines.insert(20_000, f"0,5;{bad}")
    (curve,) = tc.read_curves(("Weg (mm);Kraft (N)\n" + "\n".join(lines) + "\n").encode())
    np.testing.assert_array_equal(curve.data["force_N"], force)
    assert [s.line for s in curve.understood.skipped] == ([20_002] if bad else [])
