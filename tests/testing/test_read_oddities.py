"""Oddities of test files: the right numbers, or a question or refusal that names what and where.

Each file is written here from numbers chosen beforehand: travel X in steps of 0.05 mm, and a load
that rises by 200 N/mm and falls to a fifth in the last five rows. Its largest value stands in row
LAST and is 200 N/mm times 4.7 mm, 940 N.
"""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from typing import Any

import numpy as np
import openpyxl
import pytest
from numpy.typing import NDArray

import tubecalc as tc
from tubecalc.errors import InputError
from tubecalc.testing.curve import Curve

X = np.arange(100) * 0.05
LAST = 94
F = np.where(np.arange(100) <= LAST, 200.0 * X, 188.0)


def read(text: str | bytes, **told: Any) -> list[Curve]:
    return tc.read_curves(text.encode() if isinstance(text, str) else text, name="odd.csv", **told)


def one(text: str | bytes, **told: Any) -> Curve:
    (curve,) = read(text, **told)
    return curve


def rows(
    x: Any = X, f: Any = F, form: str = "{:.3f};{:.2f}\n", change: Callable[[str], str] = str
) -> str:
    return "".join(change(form.format(a, b)) for a, b in zip(x, f, strict=True))


def comma(text: str) -> str:
    return text.replace(".", ",")


def is_it(curve: Curve, force: NDArray[np.float64] = F, way: NDArray[np.float64] = X) -> None:
    """Within half of the last figure written: 5e-8 in are 1.3e-6 mm; forces have 0.005 N."""
    assert curve.data["travel_mm"].to_numpy() == pytest.approx(way, abs=2e-6)
    assert curve.data["force_N"].to_numpy() == pytest.approx(force, abs=0.006, nan_ok=True)


def said(curve: Curve) -> str:
    return " ".join([*curve.notes, *curve.understood.lines()])


def asks(curve: Curve) -> set[str]:
    return {q.argument for q in curve.questions}


# what once ended in a traceback


@pytest.mark.parametrize("data", [b"4.704.750 .5", b"2.802.850;\xe2\x88\x92.9"])
def test_no_rows_are_a_sentence(data: bytes) -> None:
    with pytest.raises(InputError, match="holds no rows of numbers"):
        read(data)


def test_a_decimal_sign_that_leaves_no_row_is_a_sentence() -> None:
    text = "Weg [mm];Kraft [N]\n" + "".join(f"{a:.2f};{comma(f'{b:.2f}')}\n" for a, b in
                                            zip(X, F, strict=True))  # fmt: skip
    with pytest.raises(InputError, match="holds no rows of numbers"):
        read(text, decimal=",")


@pytest.mark.parametrize(
    ("data", "numbers"),
    [
        (b"0 6\n\xa0 0 1\n2 3\n", [[0, 6], [0, 1], [2, 3]]),
        (b"0    0.750    130.18\n  \x1f 1.60     0.800    140.01\n",
         [[0, 0.75, 130.18], [1.6, 0.8, 140.01]]),
        (b"0\r0 2\n0 0 1\n0 0 7", [[0, 0, 1], [0, 0, 7]]),
    ],
)  # fmt: skip
def test_odd_blanks_part_cells(data: bytes, numbers: list[list[float]]) -> None:
    assert one(data).original.to_numpy().tolist() == numbers


# units with a factor


@pytest.mark.parametrize(
    ("head", "way", "load"),
    [
        ("Weg [0.01 mm];Kraft [x10 N]", 100.0, 0.1), ("Weg (1/100 mm);Kraft (10^3 N)", 100.0, 1e-3),
        ("Weg [0,01 mm];Kraft [10³ N]", 100.0, 1e-3), ("Weg 0.01 mm;Kraft kN", 100.0, 1e-3),
    ],
)  # fmt: skip
def test_a_number_in_the_unit_is_a_factor(head: str, way: float, load: float) -> None:
    """A column in hundredths of a millimetre holds a hundred times the millimetres."""
    curve = one(f"{head}\n" + rows(X * way, F * load, "{:.2f};{:.6f}\n"))
    is_it(curve)


TWO_WAYS = {"N x1000": (1000.0, 0.001), "10 kN": (10000.0, 1000.0)}  # newton a unit of the column


@pytest.mark.parametrize("unit", ["N x1000", "10 kN", "mm/100"])
def test_a_factor_that_may_be_read_in_two_ways_is_asked(unit: str) -> None:
    """10 kN may be the range of the load cell, x1000 may multiply or divide."""
    role, other = ("force", "Travel (mm)") if "N" in unit else ("travel", "Load (N)")
    name = {"force": "Load", "travel": "Travel"}[role]
    text = f"{other};{name} ({unit})\n" + rows()
    curve = one(text)
    assert asks(curve) == {f"{role}_unit"}
    assert "may be read in two ways" in curve.questions[0].text
    if role == "force":
        for choice, newton in zip(curve.questions[0].choices[:2], TWO_WAYS[unit], strict=True):
            told = one(text, force_unit=choice.value)
            assert told.data["force_N"].to_numpy() == pytest.approx(newton * F)


@pytest.mark.parametrize(
    ("head", "way", "load"),
    [
        ("Travel.mm,Force.kN", 1.0, 1e-3), ("travelMm,forceKn", 1.0, 1e-3),
        ("Stroke (mm.),Load (lbf.)", 1.0, 1 / 4.4482216152605),
        ("Disp (inch),Load (pound-force)", 1 / 25.4, 1 / 4.4482216152605),
        ("Deflection by dial gauge (1/100 mm),Load (N)", 100.0, 1.0),
        ("Travel (mm),Load (cN)", 1.0, 100.0), ("Travel (mm),Load (dyn)", 1.0, 1e5),
    ],
)  # fmt: skip
def test_spellings_of_units(head: str, way: float, load: float) -> None:
    is_it(one(f"{head}\n" + rows(X * way, F * load, "{:.7f},{:.7f}\n")))


@pytest.mark.parametrize(
    ("unit", "newton_metres"),
    [("mNm", 1e-3), ("daNm", 10.0), ("MNm", 1e6), ("foot-pounds", 1.3558179483314)],
)
def test_units_of_torque_by_their_capitals(unit: str, newton_metres: float) -> None:
    curve = one(f"Angle (gon),Torque ({unit})\n0,0\n50,1\n100,2\n")
    assert curve.data["torque_N_m"].tolist() == pytest.approx([0, newton_metres, 2 * newton_metres])
    assert curve.data["angle_deg"].tolist() == pytest.approx([0, 45, 90])  # 400 gon are 360 deg


@pytest.mark.parametrize(
    "above",
    [
        "Units: force kN; displacement mm\n\nDisplacement,Force\n",
        "Units,SI (kN, mm, s)\n\nDisplacement,Force\n",
        "Channel 1: Displacement [mm]\nChannel 2: Force [kN]\n\nCh1,Ch2\n",
    ],
)
def test_units_told_above_the_headings(above: str) -> None:
    is_it(one(above + rows(X, F / 1e3, "{:.3f},{:.6f}\n")))


@pytest.mark.parametrize("encoding", ["utf-8", "cp1251"])
def test_cyrillic_headings_and_units(encoding: str) -> None:
    text = "Время, с;Перемещение, мм;Нагрузка, кН\n"
    text += "".join(
        comma(f"{a * 9:.2f};{a:.3f};{b / 1e3:.6f}\n") for a, b in zip(X, F, strict=True)
    )
    curve = one(text.encode(encoding))
    is_it(curve)
    assert curve.data["time_s"].to_numpy() == pytest.approx(X * 9)


# numbers


def test_a_decimal_sign_that_changes_is_asked() -> None:
    """Thousands cannot stand in a column that has decimals after the other sign."""
    change = 50
    text = "Weg [mm];Kraft [N]\n" + rows(X[:change], F[:change], "{:.3f};{:.3f}\n", comma)
    text += rows(X[change:], F[change:], "{:.3f};{:.3f}\n")
    curve = one(text)
    assert asks(curve) == {"decimal"}
    assert '"2.500"' in curve.questions[0].text
    assert "force_N" not in curve.data
    is_it(one(text, decimal="either"))


def test_points_in_one_column_and_commas_in_the_other() -> None:
    text = "Weg [mm];Kraft [N]\n"
    text += "".join(f"{a:.2f};{comma(f'{b:.2f}')}\n" for a, b in zip(X, F, strict=True))
    curve = one(text)
    assert asks(curve) == {"decimal"}
    assert [c.value for c in curve.questions[0].choices] == [",", "either"]
    is_it(one(text, decimal="either"))


def test_a_delimiter_cannot_be_a_decimal_sign_too() -> None:
    with pytest.raises(InputError, match="commas part the columns"):
        read("mm,N\n" + rows(form="{:.2f},{:.2f}\n"), decimal="either")


@pytest.mark.parametrize("blank", ["\u2009", "\u2007", "\u2008", "\u202f", "\xa0"])
def test_thin_blanks_between_thousands(blank: str) -> None:
    load = 20 * F  # up to 18,800 N
    text = "Weg [mm];Kraft [N]\n" + "".join(
        comma(f"{a:.3f};{b:_.2f}\n").replace("_", blank) for a, b in zip(X, load, strict=True)
    )
    is_it(one(text), load)


@pytest.mark.parametrize(
    ("written", "number"),
    [
        ("12.3-", -12.3), ("1.2x10^2", 120.0), ('"1,00,000.5"', 100000.5), ('="0.05"', 0.05),
        ("1.2D+02", 120.0), ("(5.5)", -5.5),
    ],
)  # fmt: skip
def test_ways_to_write_a_number(written: str, number: float) -> None:
    curve = one("Travel (mm),Force (N)\n0.5,1.25\n" + f"1.5,{written}\n" * 3)
    assert curve.data["force_N"].tolist() == [1.25, number, number, number]


def test_fractions_of_an_inch() -> None:
    """Thirty-seconds, shortened: 2/32 is written 1/16, 35/32 as 1 3/32."""
    text = ["0", "1/32", "1/16", "3/32", "1/8", "31/32", "1", "1 1/32", "1 1/16", "1 3/32"]
    inches = np.array([0, 1, 2, 3, 4, 31, 32, 33, 34, 35]) / 32
    curve = one(
        "Deflection (in),Load (lbf)\n" + "".join(f"{t},{k}.5\n" for k, t in enumerate(text))
    )
    assert curve.data["travel_mm"].to_numpy() == pytest.approx(25.4 * inches)


def test_dates_made_of_fractions_are_refused_by_their_line() -> None:
    text = "Travel (in),Load (lbf)\n0,0\n1/16,10\n2-Jan,20\n3/16,30\n03-Aug,40\n5/16,50\n"
    with pytest.raises(InputError, match=r"odd.csv:line 4: holds dates in 2 rows"):
        read(text)


# marks, codes, lines that are left out


@pytest.mark.parametrize(("mark", "beyond"), [(">>>>>", True), ("#WERT!", False), ("+++", True)])
def test_marks_keep_their_rows(mark: str, beyond: bool) -> None:
    text = [f"{b:.2f}" for b in F]
    text[80:84] = [mark] * 4
    curve = one("Travel (mm),Force (N)\n" + "".join(f"{a:.3f},{b}\n" for a, b in
                                                     zip(X, text, strict=True)))  # fmt: skip
    force = F.copy()
    force[80:84] = np.nan
    is_it(curve, force)
    assert [(o.mark, o.beyond, o.rows) for o in curve.understood.over_range] == [
        (mark, beyond, (80, 81, 82, 83))
    ]


@pytest.mark.parametrize(("code", "count"), [("9999.99", 8), ("32767", 2), ("65535", 8)])
def test_codes_are_marks_not_loads(code: str, count: int) -> None:
    """The load was 800 N at most before them; machines write such numbers beyond their range."""
    load = [f"{b:.2f}" for b in F]
    load[81 : 81 + count] = [code] * count
    load[81 + count :] = ["188"] * (100 - 81 - count)
    curve = one("Travel (mm),Force (N)\n" + "".join(f"{a:.3f},{b}\n" for a, b in
                                                     zip(X, load, strict=True)))  # fmt: skip
    assert np.nanmax(curve.data["force_N"]) == pytest.approx(800.0)
    assert curve.beyond("force_N").sum() == count
    assert f"{code} stands in {count} rows" in said(curve)
    assert tc.reduce_test(curve, "three-point").peak_is_at_least


def test_a_load_that_stands_is_no_code() -> None:
    """A weight of 500 N hung on in one step and left there; a plateau below twice the rest."""
    hung = np.r_[np.linspace(0, 1, 20), np.full(80, 500.0)]
    flat = np.minimum(F, 600.0)
    for load in (hung, flat):
        is_it(one("Travel (mm);Force (N)\n" + rows(X, load)), load)


@pytest.mark.parametrize("remark", [" <-- peak", " BREAK", "*", " (largest)"])
def test_a_remark_beside_a_number_keeps_its_row(remark: str) -> None:
    lines = rows(form="{:.3f},{:.2f}\n").splitlines()
    lines[LAST] += remark
    curve = one("Travel (mm),Force (N)\n" + "\n".join(lines) + "\n")
    is_it(curve)
    assert f'line {LAST + 2} "{remark.strip()}"' in said(curve)


@pytest.mark.parametrize("cell", ["9b2", "0.94 tons"])
def test_a_row_of_the_largest_load_is_never_lost_unsaid(cell: str) -> None:
    """What follows the number may be its unit, so the number is not taken; that is said."""
    lines = rows(form="{:.3f},{:.2f}\n").splitlines()
    lines[LAST] = f"4.700,{cell}"
    curve = one("Travel (mm),Force (N)\n" + "\n".join(lines) + "\n")
    assert len(curve.data) == 99
    assert f"Line {LAST + 2} is left out beside the largest force" in said(curve)


@pytest.mark.parametrize("unit", ["0.94 kN", "0.0958533 tf", "95.8533 kg"])
def test_a_unit_beside_one_number_is_brought_to_that_of_the_heading(unit: str) -> None:
    """940 N are 0.94 kN, or 95.8533 kg of weight at 9.80665 m/s2."""
    is_it(one("Travel (mm);Force (N)\n" + rows().replace("4.700;940.00", f"4.700;{unit}")))


def test_a_unit_beside_one_number_is_not_that_of_all() -> None:
    """The heading has none: whether the others are in newton is not told."""
    curve = one("Travel (mm);Force\n" + rows().replace("4.700;940.00", "4.700;0.94 kN"))
    assert asks(curve) == {"force_unit"}
    assert "all others have none" in said(curve)


def test_two_columns_grown_together_at_the_largest_load_are_said() -> None:
    curve = one("Travel (mm);Force (N)\n" + rows().replace("4.700;940.00", "4.700940.00"))
    assert f"Line {LAST + 2} is left out beside the largest force" in said(curve)


def test_a_column_of_remarks_keeps_every_row() -> None:
    words = {30: "crack heard", 60: "pause", 95: "BREAK"}
    text = "Travel (mm),Force (N),Event\n" + "".join(
        f"{a:.3f},{b:.2f},{words.get(i, '')}\n" for i, (a, b) in enumerate(zip(X, F, strict=True))
    )
    curve = one(text)
    is_it(curve)
    assert 'line 97 "BREAK"' in said(curve)
    assert curve.original["Event"].tolist().count("") == 97


@pytest.mark.parametrize("row", [5, LAST])
def test_one_remark_far_below_the_headings(row: int) -> None:
    lines = rows(form="{:.3f};{:.2f};\n").splitlines()
    lines[row] += "P"
    curve = one("Travel (mm);Force (N);Flag\n" + "\n".join(lines) + "\n")
    is_it(curve)
    assert f'line {row + 2} "P"' in said(curve)


@pytest.mark.parametrize("dashes", ["-,-", "---,---"])
def test_a_line_of_dashes_is_no_row(dashes: str) -> None:
    is_it(one(f"Travel,Force\n[mm],[N]\n{dashes}\n" + rows(form="{:.3f},{:.2f}\n")))


def test_a_footer_is_no_torn_row() -> None:
    curve = one("Travel (mm),Force (N)\n" + rows(form="{:.3f},{:.2f}\n") + "Max,4.95,940.0\n")
    is_it(curve)
    assert [s.why for s in curve.understood.skipped] == ["values with a name, no row"]


def test_a_record_without_a_beginning_says_so() -> None:
    """Row 60 holds 200 N/mm times 3 mm, 600 of 940 N."""
    assert "begins at 64% of its largest" in said(one("mm;N\n" + rows(X[60:], F[60:])))
    assert "begins at" not in said(one("mm;N\n" + rows()))


# headings, pages, specimens


def test_headings_fewer_than_columns_are_not_used() -> None:
    """An index without a heading: the first heading stands above it, not above the travel."""
    text = "Travel (mm),Force (N)\n" + "".join(
        f"{i},{a:.3f},{b:.2f}\n" for i, (a, b) in enumerate(zip(X, F, strict=True))
    )
    curve = one(text)
    assert asks(curve) == {"force", "travel"}
    assert "3 cells under 2 headings" in said(curve)
    is_it(one(text, force=3, travel=2, force_unit="N", travel_unit="mm"))


def test_empty_cells_beyond_the_headings_are_no_columns() -> None:
    is_it(one("Travel (mm),Force (N)\n" + rows(form="{:.3f},{:.2f},,\n")))


@pytest.mark.parametrize("line", ["", "Page 2 of 4\n", "\f\n"])
def test_headings_on_every_page_leave_one_record(line: str) -> None:
    pages = [f"{line}Travel (mm);Force (N)\n" + rows(X[i : i + 25], F[i : i + 25])
             for i in range(0, 100, 25)]  # fmt: skip
    curve = one("".join(pages))
    is_it(curve)
    assert "stand 4 times" in said(curve)
    assert len(read("".join(pages), split="specimens")) == 4


def test_pages_of_unlike_columns_stay_apart() -> None:
    """Words in a column of one page, marks of the sensor in that of the next."""
    head = "Travel (mm),Force (N),Phase\n"
    text = head + "".join(f"{k},{9 * k},load\n" for k in range(3))
    text += head + "".join(f"{k},{9 * k},OVER\n" for k in range(3, 9))
    assert [len(c.data) for c in read(text)] == [3, 6]


def test_a_second_specimen_without_headings_is_asked() -> None:
    """Travel and load begin again after a break."""
    text = "travel_mm;force_N\n" + rows() + rows(X, 1.3 * F)
    first, second = read(text)
    is_it(first)
    is_it(second, 1.3 * F)
    assert asks(first) == {"split"}
    assert len(read(text, split="specimens")) == 2
    assert len(read(text, split="one")) == 1


def test_a_loop_is_no_second_specimen() -> None:
    """Unloaded row by row: the travel goes back in many steps."""
    way = np.r_[X[:60], X[58:3:-1], X[4:]]
    curve = one("mm;N\n" + rows(way, 200 * way))
    assert not curve.questions
    is_it(curve, 200 * way, way)


SIDES: list[tuple[str, str, int]] = [
    ("Specimen 1,,,Specimen 2,,\nTravel,Load,,Travel,Load,\n(mm),(N),,(mm),(N),\n",
     "{a:.3f},{b:.2f},,{a:.3f},{c:.2f},\n", 0),
    ("Travel 1 (mm),Load 1 (N),Travel 2 (mm),Load 2 (N)\n", "{a:.3f},{b:.2f},{a:.3f},{c:.2f}\n", 0),
    (",T-1,,T-2,\n,mm,N,mm,N\n", "{i},{a:.3f},{b:.2f},{a:.3f},{c:.2f}\n", 1),
    ("Time (s),Travel (mm),Load (N),Travel (mm),Load (N)\n",
     "{i},{a:.3f},{b:.2f},{a:.3f},{c:.2f}\n", 1),
]  # fmt: skip


@pytest.mark.parametrize(("head", "form", "lead"), SIDES)
def test_specimens_side_by_side(head: str, form: str, lead: int) -> None:
    text = head + "".join(
        form.format(i=i, a=a, b=b, c=1.3 * b) for i, (a, b) in enumerate(zip(X, F, strict=True))
    )
    first, second = read(text)
    is_it(first)
    is_it(second, 1.3 * F)
    assert ("time_s" in second.data) == ("Time" in head)
    assert asks(first) - {"travel"} == ({"split"} if "Load 1" in head else set())
    if "Load 1" in head:
        assert len(read(text, split="one")) == 1
    if lead and "Time" not in head:
        assert (first.name, second.name) == ("T-1", "T-2")


def test_one_column_is_not_load_and_travel() -> None:
    with pytest.raises(InputError, match="is the column of the force as well"):
        read("mm;N\n" + rows(), force=1, travel=1)


def test_scale_and_zero_of_counts() -> None:
    """42 counts a newton above a zero of 84213, 400 steps a millimetre."""
    text = "# counts_per_N=42\n# zero=84213\n# steps_per_mm=400\nsteps;counts\n"
    text += rows(400 * X, 84213 + 42 * F, "{:.0f};{:.0f}\n")
    curve = one(text)
    is_it(curve)
    assert "zero=84213 above the rows is taken off" in said(curve)


# other dresses


@pytest.mark.parametrize(
    "text",
    [
        '"Travel (mm),Force (N)"\n' + rows(form='"{:.3f},{:.2f}"\n'),
        "Travel (mm),Force (N)\n" + rows(form='="{:.3f}",="{:.2f}"\n'),
        rows(form='{{"x_mm": {:.3f}, "F_N": {:.3f}}}\n'),
        json.dumps({"travel_mm": X.tolist(), "force_N": F.tolist()}),
        json.dumps([{"travel_mm": a, "force_N": b} for a, b in zip(X, F, strict=True)]),
        "Travel (mm)," + ",".join(f"{a:.3f}" for a in X) + "\nForce (N),"
        + ",".join(f"{b:.2f}" for b in F) + "\n",
        "| Travel (mm) | Force (N) |\n|---|---|\n" + rows(form="| {:.3f} | {:.2f} |\n"),
        "Travel (mm),Force (N)\n" + rows(form="{:.3f},{:.2f}\n") + "\0" * 4096,
    ],
    ids=["whole lines quoted", "formulas of text", "JSON lines", "JSON lists", "JSON records",
         "on its side", "bars and dashes", "zero bytes below"],
)  # fmt: skip
def test_rows_in_another_dress(text: str) -> None:
    is_it(one(text))


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("<html><body><table><tr><td>1</td><td>2</td></tr></table></body></html>",
         r"is a web page \(HTML\)"),
        ("<?xml version='1.0'?><test><p x='1' f='2'/></test>", "is XML"),
        ('{"specimen": "T-7", "span": 600}', "is JSON without a table"),
    ],
)  # fmt: skip
def test_what_is_no_table_is_named(text: str, sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        read(text)


# workbooks


def book(fill: Callable[[Any], None]) -> bytes:
    made, out = openpyxl.Workbook(), io.BytesIO()
    fill(made)
    made.save(out)
    return out.getvalue()


def test_a_sheet_of_results_is_no_test() -> None:
    def fill(made: Any) -> None:
        sheet = made.active
        sheet.title = "Summary"
        for row in (["Specimen", "Max load (N)"], ["T-1", 940], ["T-2", 880], ["Mean", 910]):
            sheet.append(row)
        for title in ("T-1", "T-2"):
            sheet = made.create_sheet(title)
            sheet.append(["Travel (mm)", "Load (N)"])
            for pair in zip(X.tolist(), F.tolist(), strict=True):
                sheet.append(pair)

    curves = read(book(fill))
    assert [c.name for c in curves] == ["T-1", "T-2"]
    is_it(curves[0])
    assert 'sheet "Summary", line 2' in said(curves[0])


def test_notes_beside_the_table_of_a_sheet() -> None:
    def fill(made: Any) -> None:
        sheet = made.active
        for column, head, values in ((3, "Travel (mm)", X), (4, "Load (N)", F)):
            sheet.cell(5, column, head)
            for i, value in enumerate(values.tolist()):
                sheet.cell(6 + i, column, value)
        sheet["H5"], sheet["H6"], sheet["G8"], sheet["H8"] = "Max", 940.0, "Mean", 470.0

    is_it(one(book(fill)))


def test_formulas_without_a_value_are_named() -> None:
    def fill(made: Any) -> None:
        made.active.append(["Travel (mm)", "Raw (V)", "Load (N)"])
        for i, (a, b) in enumerate(zip(X.tolist(), F.tolist(), strict=True)):
            made.active.append([a, b / 500, f"=B{i + 2}*500"])

    curve = one(book(fill))
    assert "100 formulas of sheet" in said(curve)
    assert curve.data["travel_mm"].to_numpy() == pytest.approx(X)
    assert "force_N" not in curve.data


@pytest.mark.parametrize("head", ["Strain", "Strain (%)"])
def test_per_cent_of_a_sheet(head: str) -> None:
    """0.012 in the format of per cent is shown as 1.20 %, whatever the heading says."""
    strain = np.linspace(0, 0.012, 40)

    def fill(made: Any) -> None:
        made.active.append([head, "Load (N)"])
        for a in strain.tolist():
            made.active.append([a, 70000 * a])
            made.active.cell(made.active.max_row, 1).number_format = "0.00%"

    assert one(book(fill)).data["strain"].to_numpy() == pytest.approx(strain)


def test_headings_that_go_on_in_a_second_line() -> None:
    is_it(one("Travel;Force\nof machine;of cell\nmm;N\n" + rows()))
