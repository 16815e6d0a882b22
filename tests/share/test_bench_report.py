"""The report of tests: one page, a workbook and a chart, the same every time, strangers inert."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser

import numpy as np
import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tubecalc.errors import InputError
from tubecalc.job import Job, Text
from tubecalc.need import Need
from tubecalc.share.bench_curves import one_picture
from tubecalc.share.bench_handles import moved
from tubecalc.share.bench_page import report, report_chart, report_sheet, write_report
from tubecalc.share.bench_words import Words
from tubecalc.testing.bench import Entry, Seen, look, read_file, thin
from tubecalc.testing.bench_sum import summed

DAY = "2026-11-25"
HOSTILE = '<img src=x onerror="alert(1)">&"\'</style><script>x</script>'
TOLD = {"kind": "three-point", "wall_of": "pultruded", "od": "10 mm", "id": "8 mm",
        "span": "240 mm"}  # fmt: skip


def seen(name: str, slope: float, top: float, **more: str) -> Seen:
    travel = np.linspace(0, top, 120)
    rows = "".join(f"{x:.5f},{slope * x:.4f}\n" for x in travel)
    content = f"travel_mm,force_N\n{rows}{top + 0.02:.4f},2.0\n".encode()
    (curve,) = read_file(f"{name}.csv", content, {})
    return look(Entry(f"{name}.csv", name[:12], 0, {**TOLD, "name": name, **more}), curve)


def made(*tests: Seen, job: Job | None = None) -> Words:
    job = job or Job()
    return Words(summed(tests, job.construction), job)


@pytest.fixture(scope="module")
def words() -> Words:
    tests = [seen(f"T{k}", 120.0 + k, 4.0 + 0.1 * k, failure="crush") for k in range(4)]
    return made(*tests, seen("G", 121.0, 2.0, failure="grip"))


def plain(html: str) -> str:
    text = unescape(re.sub(r"<style>.*?</style>|<[^>]+>", " ", html, flags=re.DOTALL))
    return text.replace("\u00a0", " ")


class Tags(HTMLParser):
    """Names of tags, attributes that run or fetch something."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.wild: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        for key, value in attrs:
            fetches = key in ("src", "href", "action", "data") and not (value or "").startswith(
                ("data:", "#")
            )
            if key.startswith("on") or fetches:
                self.wild.append(f"{key}={value}")


def test_the_report_asks_nothing_of_anybody_and_is_the_same_every_time(words) -> None:
    text = report(words, date=DAY)
    assert text == report(words, date=DAY)
    assert "://" not in text
    assert "default-src 'none'" in text
    found = Tags()
    found.feed(text)
    assert found.wild == []
    assert "script" not in found.tags
    assert DAY in text


def test_the_report_says_what_the_tests_say(words) -> None:
    said = plain(report(words, date=DAY))
    for part in ("Results", "Statistics", "Measured over promised", "Weight for weight",
                 "how T0.csv was understood", "licensed engineer"):  # fmt: skip
        assert part in said
    peaks = [(120.0 + k) * (4.0 + 0.1 * k) for k in range(4)]
    assert f"{peaks[0]:.0f} N" in said
    assert "at least 242 N" in said
    mean = words.summary.groups[0].stats[0].sample
    assert (mean.n, mean.broken) == (5, 4)


def test_the_letters_of_strangers_are_words() -> None:
    job = Job(Need(title=HOSTILE), text=Text(customer=HOSTILE, reference=HOSTILE))
    bad = seen("A", 120.0, 4.0)
    bad = replace(bad, entry=bad.entry.put("name", HOSTILE).put("wall_of", HOSTILE),
                  understood=(HOSTILE,))  # fmt: skip
    text = report(made(bad, job=job), date=DAY)
    found = Tags()
    found.feed(text)
    assert found.tags.isdisjoint({"img", "script"})
    assert found.wild == []
    assert plain(text).count("onerror") >= 4


def test_the_workbook_holds_every_test_and_no_formula(words) -> None:
    content = report_sheet(words, date=DAY)
    assert content == report_sheet(words, date=DAY)
    book = openpyxl.load_workbook(io.BytesIO(content))
    rows = list(book["tests"].iter_rows(values_only=True))
    assert len(rows) == 1 + len(words.summary.tests)
    place = rows[0].index("peak [N]")
    assert rows[1][place] == pytest.approx(480.0, rel=1e-3)
    evil = seen("=1+1", 120.0, 4.0)
    book = openpyxl.load_workbook(io.BytesIO(report_sheet(made(evil), date=DAY)))
    cells = [c for sheet in book for row in sheet.iter_rows() for c in row]
    assert all(c.data_type != "f" for c in cells)


@pytest.mark.parametrize(("kind", "start"), [("png", b"\x89PNG"), ("svg", b"<?xml"),
                                             ("pdf", b"%PDF")])  # fmt: skip
def test_the_chart_is_written_and_the_same_every_time(words, kind, start) -> None:
    content = report_chart(words, kind, date=DAY, width_mm=120.0, dpi=100.0)
    assert content.startswith(start)
    assert content == report_chart(words, kind, date=DAY, width_mm=120.0, dpi=100.0)


def test_nothing_to_draw_is_refused() -> None:
    empty = made(seen("A", 120.0, 4.0, kind=""))
    with pytest.raises(InputError, match="no curve to draw"):
        report_chart(empty, "png")


def test_the_report_is_written_whole_or_not_at_all(words, tmp_path) -> None:
    assert write_report(words, tmp_path / "r.html", date=DAY).read_text() == report(words, date=DAY)
    with pytest.raises(InputError, match="no name for a report"):
        write_report(words, tmp_path / "r.pdf")


def test_a_mark_at_its_own_place_stays_where_it_is(words) -> None:
    """From travel to pixel and back."""
    first = words.summary.tests[0]
    for units in ("SI", "inch", "workshop"):
        _, axes, curve = one_picture(first, words.style("pultruded"), units, width=640.0)
        for key, x, y in curve.marks:
            text = moved(axes, curve, axes.at(x, y)[0], torsion=False)
            want = next(m.x for m in first.result.marks if m.key == key)
            assert float(text.split()[0]) == pytest.approx(want, abs=2e-3)


@given(
    st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=3000),
    st.integers(10, 200),
)  # fmt: skip
@settings(max_examples=60, deadline=None)
def test_fewer_points_keep_peaks_ends_and_order(values, points) -> None:
    y = np.array(values)
    x = np.arange(len(y), dtype=float)
    a, b = thin(x, y, points)
    assert len(a) <= max(points, 2)
    assert np.all(np.diff(a) > 0)
    assert (b.max(), b.min()) == (y.max(), y.min())
    assert (a[0], a[-1]) == (x[0], x[-1])


def test_batches_and_columns_stand_in_report_and_workbook() -> None:
    """Batches of four, one a sixth weaker, which the likeness test must see."""
    tests = [seen(f"T{n}", 120.0, top + 0.02 * (n % 4) + 0.01 * (n // 4), failure="crush",
                  batch=batch)
             for n, (top, batch) in enumerate([*((4.0, "A"),) * 4, *((4.0, "B"),) * 4,
                                               *((3.3, "C"),) * 4])]  # fmt: skip
    found = made(*tests)
    said = plain(report(found, date="2026-11-25"))
    assert "3 batches differ by more than chance" in said
    assert "(between batches)" in said
    book = openpyxl.load_workbook(io.BytesIO(report_sheet(found, date="2026-11-25")))
    heads = [c.value for c in book["tests"][1]]
    column = heads.index("batch")
    assert [row[column].value for row in book["tests"].iter_rows(min_row=2)] == list("AAAABBBBCCCC")
    assert "3 batches differ" in str(book["groups"]["D2"].value)


def test_a_test_that_is_there_twice_enters_mean_and_basis_once() -> None:
    """Also where one of them is from a job, which keeps points and no curve."""
    tests = [seen(f"T{k}", 120.0 + k, 4.0 + 0.1 * k, failure="crush") for k in range(4)]
    alone = made(*tests).summary
    again = seen("U1", 121.0, 4.1, failure="crush")
    for copy in (again, replace(again, curve=None)):
        found = made(*tests, copy).summary
        assert found.groups[0].members == (0, 1, 2, 3)
        assert found.groups[0].stats[0].sample.mean == alone.groups[0].stats[0].sample.mean
        assert [b.n for b in found.biases] == [b.n for b in alone.biases]
        assert "T1 and U1 are one and the same test: it counts once." in found.said
    left = replace(tests[1], entry=tests[1].entry.put("count", "no"))
    assert made(tests[0], left, *tests[2:], again).summary.groups[0].members == (0, 2, 3, 4)
