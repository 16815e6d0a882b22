"""Long files are read many rows at once: the same numbers as line by line, and quickly enough."""

from __future__ import annotations

import datetime
import tracemalloc
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tubecalc.errors import InputError
from tubecalc.testing import curves_found, curves_runs
from tubecalc.testing.curve import Curve
from tubecalc.testing.curves import read_curves
from tubecalc.testing.curves_time import seconds

# How the cells of a column may be written; every form takes the row and gives a text.
NUMBERS = ("{:.2f}", "{:.3f}", "{:.0f}", "{:.4e}", "{!r}", "{:+.3f}", "{:9.3f}", "{:,.2f}")
STAMPS = (
    "{h:02d}:{m:02d}:{s:02d}.{c:02d}", "2026-11-2{d}T{h:02d}:{m:02d}:{s:02d}",
    "2{d}.11.2026 {h:02d}:{m:02d}:{s:02d},{c:02d}", "{h}:{m:02d}:{s:02d} PM", "{m:02d}:{s:02d}.{c}",
    "11/2{d}/26 {h}:{m:02d}:{s:02d}.{c:02d} am", "2026-11-2{d} {h:02d}:{m:02d}:{s:02d}+01:00",
)  # fmt: skip
WORDS = ("load", "hold", "unload", "µ-switch", "Phase two", "", "OVER", "off 2")
ODD = (
    "OVER", "---", "", "nan", "inf", "-1.#INF", "9.9E37", "1e400", "> 2000", "12.5 kN", "1 234,5",
    "1,234.5", "1.234,5", "12.34.56", "1e", ".5", "5.", "-", "(5.5)", "\u22121.5", "1d3", "0x10",
    "1_0", "\xa07.5", "7.5\t", '"8.5"', ' "8.5"', '"8.5', '8"5', '""', "12:30:15", "word", "1e-400",
    "0.30000000000000004", "123456789012345678901", "True", "\ufffd", "1'234.5", "01,234.5",
    "1234,567.8", "\r", "3\r4", "２",
)  # fmt: skip


@st.composite
def texts(draw: st.DrawFn) -> str:
    """A file of numbers, words and stamps with odd cells, torn and other lines in between."""
    mark = draw(st.sampled_from([",", ";", "\t", "|", " "]))
    decimal = draw(st.sampled_from([".", "."] if mark == "," else [".", ","]))
    kinds = ["travel", "force", *draw(st.lists(st.sampled_from(["time", "word", "stamp"]),
                                               max_size=2, unique=True))]  # fmt: skip
    kinds = draw(st.permutations(kinds))
    forms = {k: draw(st.sampled_from(NUMBERS)) for k in kinds}
    quoted = {k: draw(st.booleans()) for k in kinds}
    stamp = draw(st.sampled_from(STAMPS))
    words = draw(st.lists(st.sampled_from(WORDS), min_size=1, max_size=3))
    rows = draw(st.integers(12, 90))
    loops = draw(st.booleans())
    shift = draw(st.sampled_from([0, 5]))  # 5,370 may be read in two ways, 0,370 not
    names = {"travel": "Travel (mm)", "force": "Force (N)", "time": "Zeit [s]", "word": "Phase",
             "stamp": "Time"}  # fmt: skip
    head = mark.join(names[k].replace(" ", "_" if mark == " " else " ") for k in kinds)

    def cell(kind: str, i: int) -> str:
        if kind == "word":
            text = words[i * len(words) // rows]
        elif kind == "stamp":
            text = stamp.format(
                h=(10 + i // 40) % 24, m=i // 20 % 60, s=3 * i % 60, c=7 * i % 100, d=i // 30
            )
        else:
            way = abs((4 * i) % (2 * rows) - rows) if loops else i
            number = {"travel": shift + 0.37 * way, "force": 9.137 * way - 5, "time": 0.1 * i}[kind]
            text = forms[kind].format(number)
            text = text.replace(",", "_").replace(".", decimal)
            text = text.replace("_", "," if decimal == "." else ".")
        if mark in text or quoted[kind]:
            text = f'"{text}"'
        return text

    lines = [head, *(mark.join(cell(k, i) for k in kinds) for i in range(rows))]
    for _ in range(draw(st.integers(0, 6))):
        at = draw(st.integers(1, len(lines) - 1))
        what = draw(st.sampled_from(["cell", "cell", "torn", "longer", "blank", "head", "specimen",
                                     "text", "quote", "sheet"]))  # fmt: skip
        cells = lines[at].split(mark)
        if what == "cell":
            cells[draw(st.integers(0, len(cells) - 1))] = draw(st.sampled_from(ODD))
            lines[at] = mark.join(cells)
        elif what == "torn":
            lines[at] = lines[at][: draw(st.integers(0, len(lines[at])))]
        elif what == "longer":
            lines[at] += mark + draw(st.sampled_from(["", "5", "x"]))
        elif what == "quote":
            lines[at] = lines[at].replace(mark, f'"{mark}', 1)
        elif what == "sheet":
            lines[at:at] = ["Zeit;Weg;Kraft".replace(";", mark), *[f"1{mark}2{mark}3"] * 4]
        else:
            blank = draw(st.sampled_from(["", "  ", mark]))
            others = {"head": head, "specimen": "Specimen 2", "text": "stopped by hand"}
            lines.insert(at, others.get(what, blank))
    ends = draw(st.sampled_from(["\n", "\n", "\r\n"]))
    return ends.join(lines) + draw(st.sampled_from([ends, "", 2 * ends]))


def said(data: bytes, **told: Any) -> list[Curve] | str:
    """Curves, or what is refused."""
    try:
        return read_curves(data, name="pull.csv", **told)
    except InputError as refused:
        return str(refused)


def line_by_line(data: bytes, **told: Any) -> list[Curve] | str:
    with pytest.MonkeyPatch.context() as change:
        change.setattr(curves_found, "fast", lambda *_, **__: None)
        change.setattr(curves_runs, "LEAST", 10**9)
        return said(data, **told)


def same(one: list[Curve] | str, other: list[Curve] | str) -> None:
    """Everything that is read and said is the same; numbers to the last bits."""
    if isinstance(one, str) or isinstance(other, str):
        assert one == other
        return
    assert len(one) == len(other)
    for a, b in zip(one, other, strict=True):
        assert (a.name, a.understood, a.notes) == (b.name, b.understood, b.notes)
        assert a.questions == b.questions
        # 1e-15: the reader of numbers that pandas has may round the last bit otherwise
        pd.testing.assert_frame_equal(a.data, b.data, rtol=1e-15, atol=0)
        pd.testing.assert_frame_equal(a.original, b.original, rtol=1e-15, atol=0)


@settings(max_examples=600, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(texts(), st.sampled_from([3, 16, 256]), st.sampled_from([1, 4]))
def test_rows_read_at_once_are_the_rows_read_line_by_line(
    text: str, first: int, short: int
) -> None:
    """Oracle: the reader that looks at every line by itself."""
    data = text.encode()
    slow = line_by_line(data)
    with pytest.MonkeyPatch.context() as change:
        change.setattr(curves_runs, "LEAST", 0)
        change.setattr(curves_runs, "SHORT", short)
        change.setattr(curves_runs, "_FIRST", first)
        same(said(data), slow)


def test_powers_of_ten_beside_words_are_numbers() -> None:
    """9.087e+02 is 908.7, not 9.087 with a unit "e+02"."""
    rows = "".join(f"{i},{100.5 * i:.4e},load\n" for i in range(5))
    (curve,) = read_curves(b"Travel (mm),Force (N),Phase\n" + rows.encode())
    assert curve.data["force_N"].tolist() == [0, 100.5, 201, 301.5, 402]


@given(
    st.lists(st.integers(0, 10**9), min_size=2, max_size=40).map(sorted),
    st.sampled_from(
        [
            "%H:%M:%S.{c}", "%Y-%m-%dT%H:%M:%S.{c}", "%d.%m.%Y %H:%M:%S,{c}",
            "%Y/%m/%d %H:%M:%S.{c}Z", "%Y-%m-%d %I:%M:%S.{c} %p",
        ]
    ),
)  # fmt: skip
def test_time_stamps_are_seconds_from_the_first(hundredths: list[int], form: str) -> None:
    """Oracle: the dates of Python's standard library."""
    if form.startswith("%H"):  # a clock alone: one day, as it is not known how many pass
        hundredths = [h % 8_640_000 for h in hundredths]
        hundredths.sort()
    start = datetime.datetime(2026, 11, 25)
    times = [start + datetime.timedelta(milliseconds=10 * h) for h in hundredths]
    cells = [t.strftime(form).format(c=f"{t.microsecond // 10_000:02d}") for t in times]
    got, choices, _ = seconds(cells)
    assert choices == ()
    assert got is not None
    wanted = [(t - times[0]).total_seconds() for t in times]
    # 1e-5 s: seconds since the year 1 in a float are good to 7.6e-6
    assert got.tolist() == pytest.approx(wanted, abs=1e-5)


def test_half_days_without_seconds_are_hours_and_minutes() -> None:
    """11:59 a.m., noon and 1:01 p.m."""
    assert seconds(["11:59 a.m.", "12:00 p.m.", "1:01 p.m."])[0].tolist() == [0, 60, 3720]  # type: ignore[union-attr]


def test_a_zero_with_an_l_is_a_mark() -> None:
    """Some meters show 0L for overload."""
    (curve,) = read_curves(b"Travel (mm),Force (N)\n0,1\n1,5\n2,0L\n3,0L\n")
    assert curve.beyond("force_N").tolist() == [False, False, True, True]


def test_figures_of_another_script_do_not_end_the_reading() -> None:
    """Full-width figures are figures."""
    (curve,) = read_curves("Travel (mm),Force (N)\n0,１\n1,２\n2,9\n".encode())
    assert curve.data["force_N"].tolist() == [1, 2, 9]


def test_a_file_that_does_not_fit_into_the_memory_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def full(*_: object, **__: object) -> None:
        raise MemoryError

    monkeypatch.setattr(curves_found, "fast", full)
    with pytest.raises(InputError, match=r"^pull.csv: does not fit into the memory of this mach"):
        read_curves(b"mm,N\n1,2\n3,4\n", name="pull.csv")


def test_a_device_is_refused() -> None:
    """Reading it would never end."""
    with pytest.raises(InputError, match="is no file but a device or a pipe"):
        read_curves("/dev/zero")


def test_zeros_are_refused_before_they_are_decoded(tmp_path: Path) -> None:
    """A hole in a file is all zeros; as text of two bytes it would take twice its size again."""
    path = tmp_path / "hole.csv"
    with path.open("wb") as file:
        file.truncate(10_000_000)
    tracemalloc.start()
    try:
        with pytest.raises(InputError, match="is not text and not an"):
            read_curves(path)
        assert tracemalloc.get_traced_memory()[1] < 12_000_000
    finally:
        tracemalloc.stop()


@pytest.mark.parametrize("bad", ["{},7", "{}\r1,2", "{} x"])
def test_a_torn_row_of_a_long_file_on_the_disk_is_left_out(tmp_path: Path, bad: str) -> None:
    """A file that is read in several parts at once: rows with too much or too little are said."""
    rows = [f"{i},{2 * i}.5" for i in range(500_000)]
    rows[250_000] = bad.format(rows[250_000])
    path = tmp_path / "pull.csv"
    path.write_bytes("\n".join(["Travel (mm),Force (N)", *rows, ""]).encode())
    assert path.stat().st_size > 5 * 1024 * 1024  # from there on pandas reads in parts
    (curve,) = read_curves(path)
    assert [s.line for s in curve.understood.skipped] == [250_002]
    wanted = np.delete(np.arange(500_000), 250_000)
    assert np.array_equal(curve.data["travel_mm"], wanted)
    assert np.array_equal(curve.data["force_N"], 2 * wanted + 0.5)


def test_a_file_that_begins_anew_all_the_time_is_refused() -> None:
    """Each beginning would be a curve of its own."""
    one = b"Travel (mm),Force (N)\n0,1\n1,5\n2,9\n"
    with pytest.raises(InputError, match=r"^pull.csv: begins anew more than 2000 times"):
        read_curves(2001 * one, name="pull.csv")
    assert len(read_curves(300 * one, name="pull.csv")) == 300
