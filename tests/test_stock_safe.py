"""Workbooks from anybody: bombs, entities, endless ranges and damage are refused in a sentence."""

from __future__ import annotations

import io
import random
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.comments import Comment

from tubecalc.errors import InputError
from tubecalc.stock import read_stock
from tubecalc.stock_safe import MOST_COLUMNS, MOST_ROWS

SHEET, STYLES, BOOK = "xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/workbook.xml"
LAUGHS = b"<!DOCTYPE x [<!ENTITY a0 'ha'>" + b"".join(
    b"<!ENTITY a%d '%s'>" % (k, b"&a%d;" % (k - 1) * 10) for k in range(1, 12)
) + b"]>"  # fmt: skip


def workbook(fill: Callable[[object], None] | None = None) -> bytes:
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Ref", "OD mm", "Wall mm"])
    sheet.append(["a", 12, 1])
    if fill is not None:
        fill(sheet)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def changed(change: Callable[[str, bytes], bytes], more: dict[str, bytes] | None = None) -> bytes:
    """A workbook with the bytes of its parts changed, and parts added."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(workbook())) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(name, change(name, old.read(name)))
        for name, body in (more or {}).items():
            new.writestr(name, body)
    return out.getvalue()


def refused(data: bytes, seconds: float = 5.0) -> str:
    began = time.monotonic()
    with pytest.raises(InputError) as error:
        read_stock(data, name="rack.xlsx")
    assert time.monotonic() - began < seconds
    said = str(error.value)
    assert said.startswith("rack.xlsx: ")
    assert "\n" not in said
    return said


def declared(body: bytes, what: bytes, use: bytes) -> bytes:
    """XML with a declaration before its root, used in every text."""
    at = body.index(b"?>") + 2 if body.startswith(b"<?xml") else 0
    return (
        body[:at]
        + what
        + body[at:].replace(b">a<", b">" + use + b"<").replace(b">12<", b">" + use + b"<")
    )


def test_the_workbook_as_it_is_is_read() -> None:
    assert len(read_stock(workbook())) == 1
    assert len(read_stock(changed(lambda _, body: body))) == 1


@pytest.mark.parametrize("part", [SHEET, STYLES, BOOK, "[Content_Types].xml", "_rels/.rels"])
@pytest.mark.parametrize(
    ("what", "use"),
    [
        (LAUGHS, b"&a11;"), (b"<!DOCTYPE x>", b"a"),
        (b'<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/hostname">]>', b"&e;"),
        (b'<!DOCTYPE x [<!ENTITY % e SYSTEM "http://127.0.0.1:9/e.dtd"> %e;]>', b"a"),
        (b'<!DOCTYPE x SYSTEM "http://127.0.0.1:9/x.dtd">', b"a"),
    ],
    ids=["laughs", "empty", "file", "parameter", "dtd"],
)  # fmt: skip
def test_entities_and_document_types_are_refused_in_every_part(
    part: str, what: bytes, use: bytes
) -> None:
    data = changed(lambda name, body: declared(body, what, use) if name == part else body)
    assert "declares entities or a document type" in refused(data)


def test_another_encoding_hides_nothing() -> None:
    def wide(name: str, body: bytes) -> bytes:
        if name != SHEET:
            return body
        text = body.decode().removeprefix('<?xml version="1.0"?>')
        return f'<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE x>{text}'.encode("utf-16")

    assert "not UTF-8" in refused(changed(wide))
    for code in ("utf-16-le", "utf-16-be"):
        data = changed(lambda n, b, c=code: b if n != SHEET else ("<?xml?>" + b.decode()).encode(c))
        assert "not UTF-8" in refused(data)
    named = b'<?xml version="1.0" encoding="UTF-7"?>'
    assert "not UTF-8" in refused(changed(lambda n, b: named + b if n == SHEET else b))


def test_bombs_are_refused_before_they_unfold() -> None:
    zeros = changed(lambda _, body: body, {"xl/media/image1.png": b"\0" * 120_000_000})
    assert len(zeros) < 200_000
    assert "too large to be a stock list" in refused(zeros)
    many = changed(lambda _, body: body, {f"xl/media/{k}": b"" for k in range(2500)})
    assert "too large to be a stock list" in refused(many)


def test_a_part_that_lies_about_its_size_is_refused() -> None:
    """The directory promises ten bytes; the part unfolds to five million."""
    data = bytearray(changed(lambda _, body: body, {"xl/media/x": b"\0" * 5_000_000}))
    at = data.rindex(b"PK\x01\x02")  # the last entry of the directory
    assert data[at + 46 : at + 56] == b"xl/media/x"
    data[at + 24 : at + 28] = (10).to_bytes(4, "little")
    assert "not a workbook that can be read" in refused(bytes(data))


def test_far_cells_and_endless_ranges_are_refused_at_once() -> None:
    def far(row: int, column: int) -> bytes:
        return workbook(lambda sheet: sheet.cell(row, column, "x"))  # type: ignore[attr-defined]

    assert f"at most {MOST_ROWS}" in refused(far(1_048_576, 1))
    assert f"at most {MOST_COLUMNS}" in refused(far(2, 16_384))
    assert "spreads over more cells" in refused(far(MOST_ROWS, MOST_COLUMNS))
    note = workbook(lambda s: setattr(s["A1048576"], "comment", Comment("x", "y")))  # type: ignore[index]
    assert "too many rows" in refused(note)
    for tag in (
        b'<mergeCells count="1"><mergeCell ref="A1:XFD1048576"/></mergeCells>',
        b"<mergeCells><mergeCell ref='$A$1:$XFD$1048576' /></mergeCells>",
        b'<hyperlinks><hyperlink location="a" ref="A1:XFD1048576"/></hyperlinks>',
    ):
        end = b"</sheetData>"
        data = changed(lambda n, b, t=tag, e=end: b.replace(e, e + t) if n == SHEET else b)
        assert "joins more cells" in refused(data)


def test_a_stray_format_far_out_is_no_row() -> None:
    def fill(sheet: object) -> None:
        sheet["B1048576"].number_format = "0.00"  # type: ignore[index]
        sheet["XFD3"].font = openpyxl.styles.Font(bold=True)  # type: ignore[index]

    began = time.monotonic()
    assert read_stock(workbook(fill)).table["od_mm"].tolist() == [12]
    assert time.monotonic() - began < 5


def test_too_many_rows_are_refused_in_text_and_workbook() -> None:
    rows = "".join("a,12,1\n" for _ in range(MOST_ROWS + 1))
    with pytest.raises(
        InputError, match=f'got "{MOST_ROWS + 1} rows", expected at most {MOST_ROWS}'
    ):
        read_stock(rows.encode(), name="rack.csv")
    row = b"<row><c><v>1</v></c></row>"
    data = changed(
        lambda n, b: b.replace(b"</sheetData>", row * MOST_ROWS + b"</sheetData>")
        if n == SHEET else b
    )  # fmt: skip
    assert "too many rows" in refused(data, 60.0)


def test_locked_foreign_and_damaged_files_are_said_in_words() -> None:
    locked = bytearray(workbook())
    for mark, offset in ((b"PK\x01\x02", 8), (b"PK\x03\x04", 6)):
        at = 0
        while (at := locked.find(mark, at)) >= 0:
            locked[at + offset] |= 1
            at += 4
    assert "locked with a password" in refused(bytes(locked))
    for files in ({"word/document.xml": b"<w/>"}, {"content.xml": b"<office/>", "mimetype": b"x"}):
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w") as new:
            for name, body in files.items():
                new.writestr(name, body)
        said = refused(out.getvalue())
        assert "not a workbook that can be read" in said
        assert "an .xlsx workbook or CSV" in said
    for part in (SHEET, BOOK, "[Content_Types].xml"):
        cut = changed(lambda n, b, p=part: b[: len(b) // 2] if n == p else b)
        assert "not a workbook that can be read" in refused(cut)
    whole = workbook()
    for keep in (60, len(whole) // 2, len(whole) - 30):
        assert "not a workbook that can be read" in refused(whole[:keep])


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_any_damage_gives_a_stock_or_a_sentence(seed: int) -> None:
    """Some bytes of the file, or of one of its parts, turned into others."""
    rng = random.Random(seed)
    victim = rng.choice(["", SHEET, STYLES, BOOK, "xl/_rels/workbook.xml.rels"])

    def spoil(body: bytes) -> bytes:
        out = bytearray(body)
        for _ in range(rng.randint(1, 6)):
            out[rng.randrange(len(out))] = rng.randrange(256)
        return bytes(out)

    data = changed(lambda n, b: spoil(b) if n == victim else b)
    data = data if victim else spoil(data)
    said = ""
    try:
        assert len(read_stock(data, name="rack.xlsx")) <= 2
    except InputError as error:
        said = str(error)
    assert "\n" not in said


def test_a_file_of_another_type_is_refused_whatever_its_name(tmp_path: Path) -> None:
    for name, data in (("a.xlsx", b"%PDF-1.7\n\x00\x01"), ("a.csv", b"\x89PNG\r\n\x1a\n\x00\x00")):
        path = tmp_path / name
        path.write_bytes(data)
        with pytest.raises(InputError) as error:
            read_stock(path)
        assert "\n" not in str(error.value)
