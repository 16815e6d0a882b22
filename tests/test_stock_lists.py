"""Stock lists as they come: other languages, several tables, shapes, marks. All invented.

Expected sizes are worked by hand from what the lists say (1 in = 25.4 mm).
"""

from __future__ import annotations

import io

import openpyxl
import pytest
from openpyxl.styles import Font

from tubecalc.errors import InputError
from tubecalc.stock import Stock, read_stock

KNOWN = {"pultruded": "pultruded", "wound": "wound", "6061-T6": "6061-T6"}


def read(text: str | bytes) -> Stock:
    data = text.encode() if isinstance(text, str) else text
    return read_stock(data, name="list", known=KNOWN)


def kept(stock: Stock) -> dict[str, tuple[float, float]]:
    table = stock.table
    return {
        i: (o, w) for i, o, w in zip(table["id"], table["od_mm"], table["wall_mm"], strict=True)
    }


def said(stock: Stock, row: int) -> str:
    return " ".join(str(p) for p in stock.problems if p.row == row)


def book(lines: list[list[object]]) -> openpyxl.Workbook:
    made = openpyxl.Workbook()
    for line in lines:
        made.worksheets[0].append(line)
    return made


def content(made: openpyxl.Workbook) -> bytes:
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


@pytest.mark.parametrize(
    "headings",
    [
        "Art-Nr;Typ;Außen-Ø [mm];Innen-Ø [mm];Wandstärke [mm];Länge [m];Bestand;Preis €",
        "Artikel;Werkstoff;AD mm;Innendurchmesser mm;Wand mm;Länge m;Stück;Stückpreis EUR",
        "Réf;Matière;Ø ext. mm;Ø int. mm;Épaisseur mm;Longueur m;Quantité;Prix HT €",
        "Codigo;Tipo;Diámetro exterior mm;Diámetro interior mm;Espesor mm;Largo m;Cant.;Precio €",
        "Codice;Materiale;Diametro esterno mm;Ø interno mm;Spessore mm;Lunghezza m;Qta;Prezzo €",
        "Artikel;Soort;Buitendiameter mm;Ø binnen mm;Wanddikte mm;Lengte m;Voorraad;Prijs €",
    ],
)
def test_headings_in_other_languages(headings: str) -> None:
    stock = read(f"{headings}\nA;pultruded;10,5;8,5;1;1,5;4;12,50\n")
    assert kept(stock) == {"A": (10.5, 1.0)}
    row = stock.table.iloc[0]
    assert (row["length_mm"], row["quantity"], row["price"]) == (1500, 4, 12.5)
    assert row["currency"] == "EUR"
    assert row["construction"] == "pultruded"
    assert stock.problems == []


def test_a_price_per_length_is_no_price_of_a_piece() -> None:
    for heading in ("Price €/m", "Preis pro m", "Price per ft", "Cost/m"):
        stock = read(f"Ref,OD mm,Wall mm,{heading}\na,10,1,7\n")
        assert stock.table["price"].isna().all(), heading
        assert f"{heading}: is no price of a piece" in said(stock, 0)


def test_what_is_no_round_tube_is_refused() -> None:
    stock = read(
        "Description,Shape,OD mm,Wall mm\nRound tube 25x1.5,round,25,1.5\n"
        "Square tube,,25,1.5\nTube,hexagon,25,1.5\nRod 20,,20,1\nVierkantrohr,,30,2\n"
        "Tube with square cut ends,round,30,1\n"
    )
    assert stock.table["row"].tolist() == [2, 7]
    assert 'Description: "Square tube" is no round tube' in said(stock, 3)
    assert 'Shape: "hexagon" is no round tube' in said(stock, 4)
    assert "is no round tube" in said(stock, 5)
    assert "is no round tube" in said(stock, 6)


def test_a_second_table_below_is_read_by_its_own_headings() -> None:
    stock = read(
        "Ref,Type,OD mm,ID mm,Length mm\na,pultruded,12,10,1000\n\n"
        "Ref,Alloy,OD in,Wall in,Length ft\nb,6061-T6,1,.065,12\n"
    )
    assert kept(stock) == {"a": (12.0, 1.0), "b": pytest.approx((25.4, 1.651))}
    assert stock.table["length_mm"].tolist() == pytest.approx([1000, 3657.6])
    assert "headings in row 1" in stock.understood
    assert "headings in row 4; ref" in stock.understood


def test_tables_beside_each_other_are_both_read() -> None:
    stock = read(
        "Ref,Type,OD mm,ID mm,,Ref,Type,OD in,ID in\na,pultruded,12,10,,c,6061-T6,1,0.9\n"
        "b,wound,14,12,,,,,\n"
    )
    assert kept(stock) == {
        "a": (12.0, 1.0),
        "b": (14.0, 1.0),
        "c": pytest.approx((25.4, 1.27)),
    }
    assert stock.problems == []


def test_lone_rows_name_the_construction_of_the_rows_below() -> None:
    stock = read(
        "Ref;OD mm;ID mm\nPULTRUDED;;\na;12;10\nPage 2;;\nb;14;12\nWound;;\nc;16;14\n"
        "Something else;;\nd;18;16\n"
    )
    assert stock.table["construction"].tolist() == ["pultruded", "pultruded", "wound", ""]
    assert 'row 2 ("PULTRUDED") names the construction' in stock.understood
    assert 'row 8 holds only "Something else"' in stock.understood


def test_a_unit_column_and_a_unit_above_the_headings() -> None:
    stock = read(
        "Ref,OD,ID,Unit,Length,Length unit\na,12,10,mm,1000,mm\nb,1,0.9,in,6,ft\nc,12,10,pcs,1 m,\n"
    )
    assert kept(stock) == {"a": (12.0, 1.0), "b": pytest.approx((25.4, 1.27))}
    assert stock.table["length_mm"].tolist() == pytest.approx([1000, 1828.8])
    assert '"12" has no unit' in said(stock, 4)
    stock = read('List,,\nAll dimensions in mm,,\nRef,OD,ID\na,12,10\nb,"1 in",23\n')
    assert kept(stock) == {"a": (12.0, 1.0), "b": pytest.approx((25.4, 1.2))}
    assert '"OD" is read in mm, as "All dimensions in mm" above says' in stock.understood
    stock = read("All sizes in mm,,\nSome sizes in inches,,\nRef,OD,ID\na,12,10\n")
    assert '"12" has no unit' in said(stock, 4)


def test_an_actual_size_goes_before_a_nominal_one() -> None:
    stock = read("Ref,Nominal OD mm,Actual OD mm,ID mm\na,12,11.9,10\n")
    assert kept(stock) == {"a": (11.9, 0.95)}
    assert '"Actual OD mm" is read.' in said(stock, 0)


def test_dates_as_numbers_and_lengths_out_of_scale_are_refused() -> None:
    stock = read(
        "Ref,OD in,Wall in,Length m\na,46239,.049,2\nb,1,.049,2000\nc,1,.049,2\nd,1,.049,0.01\n"
    )
    assert list(kept(stock)) == ["c", "d"]
    assert "a date may stand here as its number" in said(stock, 2)
    assert "2000 m is longer than a tube is kept" in said(stock, 3)
    assert "length 10 mm is less than the OD of 25.4 mm" in said(stock, 5)
    stock = read("Ref;OD mm;ID mm;Length mm\na;25;22;1.500\n")
    assert '"1.500" may mean 1500 or 1.5' in said(stock, 2)
    assert len(stock) == 0


@pytest.mark.parametrize(
    ("cell", "sentence"),
    [
        ("ca. 25", "no exact size"),
        ("~25", "no exact size"),
        ("> 25", "no exact size"),
        ("max 25", "no exact size"),
        ("25?", "no exact size"),
        ("16...18", "is not one size"),
        ("25*", "mark of a footnote"),
        ("30¹", "mark of a footnote"),
    ],
)
def test_doubtful_sizes_are_refused_by_name(cell: str, sentence: str) -> None:
    stock = read(f"Ref,OD mm,ID mm\na,{cell},14\n")
    assert len(stock) == 0
    assert sentence in said(stock, 2)
    assert cell in said(stock, 2)


def test_cells_in_the_spelling_of_the_trade() -> None:
    stock = read(
        "Ref,OD mm,Wall,Length mm\na,25 +0.1/-0,65 mil,1'234\nb,25±0.1,16 S.W.G.,1000\n"
        "c,\u200b25\u00a0,35 mils,1\u202f000\n"
    )
    assert kept(stock) == {
        "a": pytest.approx((25.0, 1.651)),
        "b": pytest.approx((25.0, 1.6256)),
        "c": pytest.approx((25.0, 0.889)),
    }
    assert stock.table["length_mm"].tolist() == [1234, 1000, 1000]
    assert "tolerance +0.1/-0" in stock.table["note"][0]


def test_prices_in_the_spelling_of_the_trade() -> None:
    stock = read(
        'Ref,OD mm,ID mm,Price\na,12,10,"€ 1.234,50"\nb,13,11,CHF 22.-\nc,14,12,"£45,--"\n'
    )
    assert stock.table["price"].tolist() == [1234.5, 22, 45]
    assert stock.table["currency"].tolist() == ["EUR", "CHF", "GBP"]


def test_descriptions_that_hold_everything() -> None:
    stock = read(
        "Description,Qty\n6061-T6 tube 1.000 x .065 x 12 ft,4\n"
        "6061-T6 tube 25mm OD x 1.5mm wall x 2m,4\n"
        "Ø25 x 1.5 mm,1\nOD12 ID10 mm,1\n30mm x 27mm x 1000mm,5\n8x6x1000 mm,9\nØ 10/8 mm,1\n"
    )
    table = stock.table
    assert table["row"].tolist() == [2, 3, 4, 5, 6, 7]
    assert table["od_mm"].tolist() == pytest.approx([25.4, 25, 25, 12, 30, 8])
    assert table["wall_mm"].tolist() == pytest.approx([1.651, 1.5, 1.5, 1, 1.5, 1])
    lengths = table["length_mm"].fillna(0).tolist()
    assert lengths == pytest.approx([3657.6, 2000, 0, 0, 1000, 1000])
    assert table["construction"].tolist() == ["6061-T6", "6061-T6", "", "", "", ""]
    assert '"27mm" is no wall of such a tube and read as its bore' in table["note"][4]
    assert "gives no OD and wall" in said(stock, 8)
    stock = read(
        "Description,Qty\nCF tube 6x8x1000 mm,1\n40x20x2 mm,1\n22/25 x 1 mm,1\n25x1.5x1000 in,1\n"
    )
    assert len(stock) == 0


def test_fractions_that_may_be_two_sizes_are_refused() -> None:
    stock = read("Ref,OD mm,ID mm\na,25 / 20,10\nb,1/2,0.2\nc,25 1/2,23\n")
    assert kept(stock) == {"c": (25.5, 1.25)}
    assert '"25 / 20" may be one size or two' in said(stock, 2)
    assert '"1/2" is a fraction, as of inches, in mm' in said(stock, 3)
    stock = read("Ref,OD in,Wall in\na,11/2,1/8\nb,1/2,1/16\n")
    assert kept(stock) == {"b": pytest.approx((12.7, 1.5875))}


def test_tolerances_behind_sizes_and_words_for_units() -> None:
    stock = read(
        "Ref,OD mm,Wall mm,Length\na,25 h9,1.5,1 lfm\nb,25.0 (±0.1),1.5,2 Meter\nc,1 Zoll,1.5,1 m\n"
    )
    assert stock.table["od_mm"].tolist() == pytest.approx([25, 25, 25.4])
    assert stock.table["length_mm"].tolist() == [1000, 2000, 1000]
    assert stock.table["note"].tolist()[0] == "tolerance class h9"
    assert stock.table["note"].tolist()[1] == "tolerance ±0.1"


def test_headings_in_two_rows_and_a_gauge_named_in_the_heading() -> None:
    made = book(
        [
            ["Ref", "Type", "Diameter", None, "Wall", "Length"],
            [None, None, "Outer", "Inner", None, None],
            [None, None, "mm", "mm", "mm", "m"],
            ["a", "wound", 25, 22, 1.5, 2],
        ]
    )
    for cells in ("C1:D1", "A1:A3", "B1:B3"):
        made.worksheets[0].merge_cells(cells)
    stock = read(content(made))
    assert kept(stock) == {"a": (25.0, 1.5)}
    assert stock.table["length_mm"].tolist() == [2000]
    stock = read("Ref,OD in,Wall SWG\na,1,16\nb,1,.064\n")
    assert kept(stock) == {"a": pytest.approx((25.4, 1.6256))}


def test_stock_in_metres_drawn_lines_and_other_totals() -> None:
    stock = read(
        "Ref,OD mm,ID mm,Stock m\n---,---,---,---\na,12,10,120\nGesamt,,,120\nSumme,,,120\n"
    )
    assert kept(stock) == {"a": (12.0, 1.0)}
    assert stock.table["quantity"].isna().all()
    assert "Stock m: is no number of pieces; it was not read." in said(stock, 0)
    assert not any(problem.refused for problem in stock.problems)


def test_a_diameter_that_is_neither_outside_nor_inside_is_asked() -> None:
    stock = read("Ref;Ø mm;Wand mm\na;10;1\n")
    assert "Ø mm: does not say outside or inside" in said(stock, 0)
    assert "OD and ID not given" in said(stock, 2)


def test_words_merged_down_struck_cells_and_rounded_formulas() -> None:
    made = book(
        [
            ["Type", "Ref", "OD mm", "ID mm", "Wall mm", "Qty"],
            ["pultruded", "a", 12, 10, "=ROUND((C2-D2)/2,2)", 7],
            [None, "b", 14, 12, "=round((C3-D3)/2+0.004,2)", None],
            ["wound", "c", 16, 14, None, 1],
            ["wound", "d", 18, 16, "=SUM(C5,1)", 1],
        ]
    )
    sheet = made.worksheets[0]
    sheet.merge_cells("A2:A3")
    sheet.merge_cells("F2:F3")
    sheet["C4"].font = Font(strike=True)
    stock = read(content(made))
    assert kept(stock) == {"a": (12.0, 1.0), "b": (14.0, 1.0)}
    assert stock.table["construction"].tolist() == ["pultruded", "pultruded"]
    assert stock.table["quantity"].isna().tolist() == [False, True]
    assert 'OD mm: "16" is struck out' in said(stock, 4)
    assert "without a stored value" in said(stock, 5)


def test_headings_alone_and_web_pages_are_said() -> None:
    assert "no tube stands below the headings" in said(read("Ref,OD mm,ID mm\n"), 0)
    with pytest.raises(InputError, match="is a web page"):
        read("<html><table><tr><td>Ref</td><td>OD mm</td></tr></table></html>")
