"""Stock lists. Expected sizes are worked by hand from what the sample rows say (1 in = 25.4 mm)."""

from __future__ import annotations

import io
import os
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.comments import Comment

from tubecalc.errors import InputError
from tubecalc.stock import COLUMNS, Stock, read_stock
from tubecalc.stock_tables import GAUGES, PIPES

DATA = Path(__file__).parent / "data" / "stock"
KNOWN = {"pultruded": "pultruded", "plain tube": "roll-wrapped", "plain tube woven": "woven-key"}


def kept(stock: Stock) -> dict[str, tuple[float, float]]:
    table = stock.table
    return {
        i: (o, w) for i, o, w in zip(table["id"], table["od_mm"], table["wall_mm"], strict=True)
    }


def said(stock: Stock, row: int) -> str:
    return " | ".join(str(problem) for problem in stock.problems if problem.row == row)


def refused(stock: Stock) -> set[int]:
    return {problem.row for problem in stock.problems if problem.refused}


def note(stock: Stock, row: int) -> str:
    return str(stock.table.set_index("row").loc[row, "note"])


def read(text: str, **more: object) -> Stock:
    return read_stock(text.encode(), name="list.csv", known=KNOWN, **more)  # type: ignore[arg-type]


def test_inch_fractions_are_read_and_dates_refused() -> None:
    stock = read_stock(DATA / "inches_and_dates.csv")
    sizes = {
        "Q1": (19.05, 1.2446),
        "Q3": (34.925, 3.175),
        "Q5": (12.7, 0.889),
        "Q7": (50.8, 2.1082),
    }
    assert kept(stock) == {key: pytest.approx(value) for key, value in sizes.items()}
    assert refused(stock) == {3, 5, 7}
    assert 'O.D. [in]: holds the date "07-Aug"' in said(stock, 3)
    assert "7/8 or 8/7" in said(stock, 3)
    assert "3/16" in said(stock, 5)
    assert "SWG 2.032 mm, BWG 2.108 mm" in said(stock, 7)
    assert 'construction "unobtainium" is not known' in said(stock, 6)
    assert stock.table["construction"].tolist() == ["6061-T6", "6061-T6", "", "6061-T6"]
    assert stock.table["length_mm"].tolist()[:3] == pytest.approx([2438.4, 2286.0, 2438.4])
    assert stock.table["length_mm"].isna().tolist() == [False, False, False, True]
    assert "none in stock" in note(stock, 6)
    assert "no length given" in note(stock, 8)


def test_gauges_need_their_system() -> None:
    stock = read_stock(DATA / "gauges.csv")
    assert kept(stock) == {"G1": pytest.approx((25.4, 1.6256)), "G2": pytest.approx((32, 2.1082))}
    assert refused(stock) == {4, 5, 6, 7}
    assert '"18g" may be a gauge (SWG 1.219 mm, BWG 1.245 mm)' in said(stock, 4)
    assert '"12" may be a gauge (SWG 2.642 mm, BWG 2.769 mm) or 12 mm' in said(stock, 5)
    assert '"25.4" has no unit' in said(stock, 6)
    assert "not in the tables" in said(stock, 7)


def test_answers_settle_what_the_list_leaves_open() -> None:
    stock = read_stock(DATA / "gauges.csv", assume={"gauge": "SWG", "od": "mm"})
    assert kept(stock)["G3"] == pytest.approx((20, 1.2192))
    assert kept(stock)["G4"] == pytest.approx((25, 2.6416))
    assert kept(stock)["G5"] == pytest.approx((25.4, 0.9144))
    assert refused(stock) == {7}
    stock = read(
        "Ref,OD,ID\na,10,8\n", assume={"od": "mm", "id": "mm", "construction": "pultruded"}
    )
    assert stock.table["construction"].tolist() == ["pultruded"]
    assert stock.problems == []
    for wrong in ({"gauge": "XYZ"}, {"od": "kg"}, {"colour": "red"}):
        with pytest.raises(InputError, match="assume"):
            read("Ref,OD,ID\na,10,8\n", assume=wrong)


def test_contradicting_rows_are_refused_by_row_and_column() -> None:
    stock = read_stock(DATA / "contradictions.csv")
    table = stock.table
    assert table["row"].tolist() == [2, 6, 12, 15, 16]
    assert table["id_mm"].tolist() == [10, 9, 10, 10, 12]
    assert table["od_mm"].tolist() == [12, 12, 12, 12, 14]
    assert "WT mm: wall 1.4 mm contradicts (OD - ID)/2 = 1 mm" in said(stock, 3)
    assert 'WT mm: "0" is zero' in said(stock, 4)
    assert "Bore mm: ID 14 mm is not smaller than OD 10 mm" in said(stock, 5)
    assert "repeats row 2" in said(stock, 7)
    assert note(stock, 2) == "good; repeated in row 7, kept once"
    assert 'OD mm: "-12" is negative' in said(stock, 8)
    assert said(stock, 9) == ""
    assert 'OD mm: "11.9 (12)" is not one size' in said(stock, 10)
    assert 'Length mm: "5 pcs" counts pieces' in said(stock, 11)
    assert "ID and wall not given" in said(stock, 13)
    assert "wall 6 mm is not smaller than the radius" in said(stock, 14)
    assert "tolerance ±0.1" in note(stock, 15)
    assert '"K5" also stands for another size in row 6' in said(stock, 16)
    assert note(stock, 6) == "last year's"
    assert 'row 17 holds only "Prices without tax"' in stock.understood
    assert 'row 18 ("Grand total") is a total' in stock.understood
    assert "tubes read: 5, rows refused: 9" in stock.understood


def test_nominal_pipe_names_are_not_diameters() -> None:
    stock = read_stock(DATA / "pipes.csv")
    table = stock.table
    # ASME B36.10M: NPS 1 is 33.4 mm x 3.38 (SCH 40), NPS 2 is 60.3 x 5.54 (SCH 80): MEMORY, as SEEN
    assert table["row"].tolist() == [2, 3, 5, 6]
    assert table["od_mm"].tolist() == pytest.approx([33.4, 60.3, 31.75, 25.0])
    assert table["wall_mm"].tolist() == pytest.approx([3.38, 5.54, 2.1082, 2.0])
    assert "ASME B36.10M" in note(stock, 2)
    assert "read as inches" in note(stock, 5)
    assert refused(stock) == {4, 7, 8, 9, 10}
    assert "OD 60.3 mm; its wall or schedule is not stated" in said(stock, 4)
    assert '"25 x 2" names no unit' in said(stock, 7)
    assert '"14ga" may be a gauge' in said(stock, 8)
    assert "nominal pipe not in the table" in said(stock, 9)
    assert said(stock, 10) != ""


def test_nominal_names_in_a_column_of_diameters() -> None:
    stock = read(
        "Ref,OD,Wall\na,DN40,3 mm\nb,DN25,3 mm\nc,NPS 1,SCH 80\n"
        "d,DN40,\ne,NPS 1,SCH 5\nf,DN7,1 mm\n"
    )
    assert kept(stock) == {"a": (48.3, 3.0), "c": (33.4, 4.55)}
    assert "33.4 mm by ASME B36.10M but 33.7 mm by EN 10220" in said(stock, 3)
    assert "not stated" in said(stock, 5)
    assert "schedule 5 is not in the table" in said(stock, 6)
    assert "nominal size not in the table" in said(stock, 7)


def test_gauge_and_pipe_tables_hold_together() -> None:
    """Definitions: SWG 16 is 0.064 in, BWG 16 is 0.065 in; NPS 1-1/2 SCH 40 is 1.900 x 0.145 in."""
    assert GAUGES["SWG"][16] == pytest.approx(0.064 * 25.4)
    assert GAUGES["BWG"][16] == pytest.approx(0.065 * 25.4)
    assert PIPES["1-1/2"].od == pytest.approx(1.900 * 25.4, abs=0.05)
    assert PIPES["1-1/2"].walls["40"] == pytest.approx(0.145 * 25.4, abs=0.005)
    for walls in GAUGES.values():
        assert sorted(walls.values(), reverse=True) == list(walls.values())
    for pipe in PIPES.values():
        assert pipe.walls["10"] < pipe.walls["40"] < pipe.walls["80"] < pipe.od / 2


def workbook(**more: object) -> bytes:
    """Make a workbook with a title, merged group headings, units row, formulas, a hidden row."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Rack 4"
    lines = [
        ["Tubes in rack 4"],
        [],
        [None, "Size", None, None, "Make-up", None, "Holding"],
        ["Code", "OD", "ID", "Wall", "Type", "Outer layer", "Length", "Pieces", "Unit price"],
        [None, "mm", "mm", "mm", None, None, "m", None, "EUR"],
        ["X1", 10, 8, "=(B6-C6)/2", "plain tube", "woven", 2, 3, 12.5],
        ["X2", "12.0", 9, "=(B7-C7)/2", "plain tube", "none", 2, "20+", "POA"],
        ["X3", 14, 12, 1, "plain tube", "none", "1 or 2", 1, 9],
        ["X4", 14, 12, "=VLOOKUP(A9,Z:Z,2)", "pultruded", None, 1, 1, 9],
        ["X5", 16, 14, "=$D$11/2+0.5", "pultruded", None, 1, 0, 9],
        ["X6", 16, 14, 1, "braided thing", None, 1, 2, 9],
    ]
    for line in lines:
        sheet.append(line)
    sheet.merge_cells("A1:I1")
    sheet.merge_cells("B3:D3")
    sheet.merge_cells("E3:F3")
    sheet.merge_cells("G3:H3")
    sheet["B6"].comment = Comment("measured 9.96", "someone")
    sheet["J4"] = None
    sheet.row_dimensions[10].hidden = True
    old = book.create_sheet("last year")
    old.append(["X1", 11, 8])
    for cell, value in more.items():
        sheet[cell] = value
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def test_workbook_with_groups_units_formulas_comments_and_sheets() -> None:
    stock = read_stock(workbook(), name="rack.xlsx", known=KNOWN)
    table = stock.table
    assert table["id"].tolist() == ["X1", "X2", "X5", "X6"]
    assert table["wall_mm"].tolist() == [1, 1.5, 1, 1]
    assert table["length_mm"].tolist() == [2000, 2000, 1000, 1000]
    assert table["construction"].tolist() == ["woven-key", "roll-wrapped", "pultruded", ""]
    assert table["quantity"].tolist() == [3, 20, 0, 2]
    assert table["price"].tolist()[0] == 12.5
    assert table["currency"].tolist() == ["EUR", "", "EUR", "EUR"]
    assert "measured 9.96" in note(stock, 6)
    assert "computed from the formula =(B6-C6)/2" in note(stock, 6)
    assert "at least 20" in note(stock, 7)
    assert "price on application" in note(stock, 7)
    assert "hidden row" in note(stock, 10)
    assert "hidden" in said(stock, 10)
    assert refused(stock) == {8, 9}
    assert 'Length: "1 or 2" is not one size' in said(stock, 8)
    assert "Wall: holds the formula =VLOOKUP(A9,Z:Z,2) without a stored value" in said(stock, 9)
    assert 'sheet "last year" has 1 filled row and also lists X1' in said(stock, 0)
    assert 'sheet "Rack 4"; headings in row 4, units in row 5' in stock.understood


def test_workbook_dates_errors_and_units_in_the_number_format() -> None:
    import datetime

    stock = read_stock(
        workbook(B6=datetime.datetime(2026, 8, 5), B7="#REF!", C8=True, G8=2), known=KNOWN
    )
    assert "5/8 or 8/5" in said(stock, 6)
    assert 'OD: holds "#REF!"' in said(stock, 7)
    assert 'ID: holds "True"' in said(stock, 8)
    book = openpyxl.load_workbook(io.BytesIO(workbook()))
    book["Rack 4"]["B6"], book["Rack 4"]["D6"] = 0.5, 2.35
    book["Rack 4"]["B6"].number_format = '0.0 "in"'
    out = io.BytesIO()
    book.save(out)
    stock = read_stock(out.getvalue(), known=KNOWN)
    assert kept(stock)["X1"] == pytest.approx((12.7, 2.35))  # 0.5 in outside, 8 mm inside
    assert "although the column is in mm" in note(stock, 6)


def test_circular_formulas_end() -> None:
    stock = read_stock(workbook(D6="=D7", D7="=D6"), known=KNOWN)
    assert "without a stored value" in said(stock, 6)


COMMA_LIST = (
    "Rack list\nprinted Monday\n\nRef;Type;OD;Wall;Length;Price €\n;;[mm];[mm];[m];\n"
    "a;pultruded;12,5;1,25;2,000;1.234,50\nb;pultruded;1.500;1;1,5;3,10\nc;Rohr Ø;8;1;1;\n"
)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_decimal_commas_preamble_units_row_and_encodings(encoding: str, ending: str) -> None:
    data = COMMA_LIST.replace("\n", ending).encode(encoding)
    stock = read_stock(data, name="liste.csv", known=KNOWN)
    assert kept(stock) == {"a": (12.5, 1.25), "c": (8.0, 1.0)}
    assert stock.table["length_mm"].tolist() == [2000, 1000]
    assert stock.table["price"].tolist()[0] == 1234.5
    assert stock.table["currency"].tolist()[0] == "EUR"
    assert 'OD: "1.500" may mean 1500 or 1,500' in said(stock, 7)
    assert (
        "semicolon separated, decimal comma; headings in row 4, units in row 5" in stock.understood
    )
    assert "3 rows above it passed over" in stock.understood


def test_tab_and_latin1_and_utf16_without_mark() -> None:
    text = "Ref\tOD mm\tWall mm\tNote\na\t12\t1\tgrün\n"
    for data in (text.encode("latin-1"), text.encode("utf-16-le"), text.encode("utf-16-be")):
        stock = read_stock(data, known=KNOWN)
        assert kept(stock) == {"a": (12.0, 1.0)}
        assert note(stock, 2) == "grün"


def test_decimal_comma_in_a_comma_list_is_refused() -> None:
    stock = read('Ref,OD mm,Wall mm\na,"12,5",1\nb,"1,500",1\nc,12,1\n')
    assert list(kept(stock)) == ["c"]
    assert "write 12.5 with a point" in said(stock, 2)
    assert "may mean 1500 or 1.500" in said(stock, 3)


def test_thousands_in_a_semicolon_list_with_points_are_not_decimals() -> None:
    stock = read("Ref;OD mm;Wall mm;Length mm\na;12.5;1.25;1,500\n")
    assert "may mean 1500 or 1.500" in said(stock, 2)


def test_an_unclosed_quote_is_told() -> None:
    stock = read('Ref,OD mm,Wall mm\na,"12,1\nb,12,1\nc,"12",1\nd,10,1\n')
    assert "runs lines 2 to 4 together" in said(stock, 2)
    assert list(kept(stock)) == ["d"]


@pytest.mark.parametrize(
    ("headings", "values"),
    [
        ("outside diameter (mm),wall thickness (mm)", "10,1"),
        ("O.D. mm,I.D. mm", "10,8"),
        ("Outer dia [mm],Bore [mm]", "10,8"),
        ("od_mm,thk_mm", "10,1"),
        ('OD ",ID "', "0.393700787,0.314960630"),
        ("OD cm,Wall mm", "1,1"),
        ("id_mm,wall_mm", "8,1"),
        ("OD,ID,WT", "10 mm,8 mm,1 mm"),
        ("OD mm,ID,WT", "10,8,1"),
    ],
)
def test_trade_headings(headings: str, values: str) -> None:
    stock = read(f"Item,{headings}\nz,{values}\n")
    assert kept(stock) == {"z": pytest.approx((10.0, 1.0), abs=1e-6)}


def test_one_column_for_both_sizes() -> None:
    stock = read("Ref,OD x Wall,Length\na,25 x 1.5 mm,2 m\nb,1 in × 16 SWG,2 m\n")
    assert kept(stock) == {"a": (25.0, 1.5), "b": pytest.approx((25.4, 1.6256))}


def test_a_bare_diameter_and_doubled_columns_are_told() -> None:
    stock = read(
        "Ref,Diameter mm,ID mm,Wall mm,OD mm,Outside dia mm\na,12,10,1,12,12\nb,12,10,1,12,13\n"
    )
    assert kept(stock) == {"a": (12.0, 1.0)}
    assert '"OD mm" is read where they agree' in said(stock, 0)
    assert '"OD mm" says 12 mm and "Outside dia mm" 13 mm' in said(stock, 3)
    stock = read("Ref,Diameter mm,ID mm,Wall mm\na,12,10,1\n")
    assert "Diameter mm: does not say outside or inside" in said(stock, 0)


def test_id_beside_id_mm_is_the_reference_and_a_table_reads_back() -> None:
    first = read_stock(DATA / "contradictions.csv").table
    again = read_stock(first.to_csv(index=False).encode()).table
    for column in ("id", "construction", "od_mm", "id_mm", "wall_mm", "length_mm"):
        assert again[column].tolist() == first[column].tolist()
    lone = read("ID,OD mm,Wall mm\nA-1,12,1\nA-2,14,1\n")
    assert list(kept(lone)) == ["A-1", "A-2"]


def test_repeated_headings_and_a_table_of_fixed_columns() -> None:
    stock = read("Ref,OD mm,Wall mm\na,12,1\nRef,OD mm,Wall mm\nb,14,1\n")
    assert list(kept(stock)) == ["a", "b"]
    assert "row 3 repeats the headings" in stock.understood
    assert tuple(stock.table.columns) == COLUMNS
    nothing = read("Ref,OD mm,Wall mm\n")
    assert len(nothing) == 0
    assert tuple(nothing.table.columns) == COLUMNS


def test_unreadable_files_are_said_in_a_sentence(tmp_path: Path) -> None:
    for data, part in (
        (b"", "is empty"),
        (b"hello\nworld\n", "no row of headings"),
        (b"PK\x03\x04 broken", "not a workbook"),
        (b"\xd0\xcf\x11\xe0" + bytes(600), "old .xls"),
    ):
        with pytest.raises(InputError, match=part):
            read_stock(data, name="x")
    with pytest.raises(InputError, match="cannot be read"):
        read_stock(tmp_path / "absent.csv")


@settings(deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes_give_a_stock_or_a_sentence(data: bytes) -> None:
    check_any(data)


CELLS = st.sampled_from(
    ["", "12", "1.5", "1,5", "-3", "16 ga", "05-Aug", "DN40", "1 in", "1/2", "x", '"', "10 mm", "0"]
)


@settings(deadline=None)
@given(st.lists(st.lists(CELLS, min_size=3, max_size=5), max_size=6), st.sampled_from(",;\t"))
def test_any_cells_give_consistent_tubes_or_a_named_row(rows: list[list[str]], mark: str) -> None:
    lines = [mark.join(["Ref", "OD mm", "ID", "Wall", "Length"]), *(mark.join(r) for r in rows)]
    check_any("\n".join(lines).encode())


def check_any(data: bytes) -> None:
    try:
        stock = read_stock(data, name="x", known=KNOWN)
    except InputError as error:
        assert str(error).startswith("x: ")  # noqa: PT017
        return
    table = stock.table
    assert ((table["od_mm"] > table["id_mm"]) & (table["id_mm"] > 0)).all()
    assert table["wall_mm"].tolist() == pytest.approx(
        ((table["od_mm"] - table["id_mm"]) / 2).tolist(), abs=0.051
    )
    assert not refused(stock) & set(table["row"])


# The open samples of the project, where the folder is at hand: expected values are its README's.
OPEN = {
    "S01": ({"T-101": (12.7, 0.889), "T-104": (22.225, 1.473), "T-105": (25.4, 1.5875),
             "T-106": (28.575, 1.473), "T-107": (31.75, 3.048), "T-110": (38.1, 3.175)},
            {3, 4, 9, 10}),
    "S03": ({"AL002": (31.75, 3.251), "SS001": (12.7, 1.245)}, {2, 4, 6, 7, 8}),
    "S05": ({"R01": (25.0, 1.5), "R05": (30.0, 1.5)}, {3, 4, 5, 7, 8, 10, 11}),
    "S07": ({"C-20-1": (20, 1), "C-25-1.5": (25, 1.5), "P-8-1": (8, 1), "C-40-2": (40, 2)}, {8}),
}  # fmt: skip


def sample(name: str) -> Path:
    folder = os.environ.get("TUBECALC_SAMPLES")
    if not folder:
        pytest.skip("set TUBECALC_SAMPLES to the folder of open samples")
    found = sorted(Path(folder).glob(f"{name}_*"))
    assert found, f"{name} is not in {folder}"
    return found[0]


@pytest.mark.parametrize("name", sorted(OPEN))
def test_open_samples(name: str) -> None:
    stock = read_stock(sample(name))
    sizes, rows = OPEN[name]
    assert kept(stock) == {key: pytest.approx(value, abs=6e-4) for key, value in sizes.items()}
    assert refused(stock) == rows


def test_open_sample_of_pipe_names() -> None:
    stock = read_stock(sample("S09"))
    assert stock.table["row"].tolist() == [2, 3, 4]
    assert stock.table["od_mm"].tolist() == pytest.approx([48.3, 38.1, 101.6])
    assert stock.table["wall_mm"].tolist() == pytest.approx([3.68, 1.651, 5.74])
    assert refused(stock) == {5, 6, 7}
