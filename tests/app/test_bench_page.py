"""Page `bench` without a browser: files in, questions, marks, statistics, the job it leaves."""

from __future__ import annotations

import csv
import re
from html import unescape
from html.parser import HTMLParser

import numpy as np
import pytest
from ipywidgets import HTML
from ipywidgets.widgets.widget import _instances

from tubecalc.app.bench_carry import choice_of
from tubecalc.app.bench_out import WAYS, written
from tubecalc.app.pages import bench
from tubecalc.app.pages import choose as choosing
from tubecalc.app.pages.start import start_html
from tubecalc.app.text import head_html
from tubecalc.datafiles import data_dir
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.need import Need
from tubecalc.testing.bench import LARGEST
from tubecalc.testing.bench_rows import ROW
from tubecalc.tube import Tube
from tubecalc.verdict import check

HOSTILE = '<img src=x onerror="alert(1)">&"\'</style><script>x</script>'
SLOPE = 200.0


def beam(slope: float = SLOPE, top: float = 5.0, heads: str = "travel_mm,force_N") -> bytes:
    """A straight line to a break: the slope is the truth."""
    travel = np.linspace(0, top, 201)
    rows = [f"{x:.5f},{slope * x:.4f}" for x in travel] + [f"{top + 0.02:.5f},3.0"]
    return "\n".join([heads, *rows, ""]).encode()


@pytest.fixture
def page() -> bench.Page:
    return bench.open_page("")


@pytest.fixture(scope="module")
def opened() -> bench.Page:
    """The page with the invented set; tests that change it open their own."""
    made = bench.open_page("")
    made.demo.click()
    return made


def drop(page: bench.Page, *files: tuple[str, bytes]) -> None:
    page._uploaded({"new": [{"name": n, "content": memoryview(c)} for n, c in files]})


def put(page: bench.Page, **texts: str) -> None:
    """Type into fields of the test that is shown."""
    for key, text in texts.items():
        page.form.form.fields[f"t.{key}"].input.value = text


def told(page: bench.Page) -> bench.Page:
    drop(page, ("beam.csv", beam()))
    page.form.form.menus["t.kind"][0].value = "three-point"
    put(page, od="10 mm", id="8 mm", span="240 mm")
    return page


def choose(page: bench.Page, n: int) -> None:
    page._heard({"new": f"1|pick|t{n}"})


def words(html: str) -> str:
    return unescape(re.sub(r"<[^>]+>", " ", html))


def result(page: bench.Page):
    return page.seen.result


def shown(page: bench.Page) -> str:
    """Everything that the page shows as HTML."""
    parts = [page.head, page.tests, page.picture, page.layer, page.figures, page.notes,
             page.understood, page.refused, page.all, page.group, page.promise, page.weight,
             page.offers, page.on, page.status, *page.reading.texts, page.reading.answered,
             page.keeper.store]  # fmt: skip
    return "".join(p.value for p in parts)


# --- opening --------------------------------------------------------------------------------


def test_the_page_opens_empty_and_says_its_limits(page) -> None:
    assert "9 MB" in page.upload.tooltip
    assert "9 MB" in "".join(c.value for c in page.top.children if isinstance(c, HTML))
    assert all("tc-gone" in room._dom_classes for room in page.rooms.values())
    assert 'href="bench.ipynb"' in head_html("choose")
    assert 'href="bench.ipynb"' in start_html()
    with pytest.raises(InputError, match="no test is reduced yet"):
        written("html", page.session.words)


def test_the_invented_set_reads_and_reduces_to_its_truth(opened) -> None:
    """Truth is the index's, by which the curves were made."""
    with (data_dir() / "tests" / "index.csv").open(encoding="utf-8") as lines:
        rows = {r["specimen"]: r for r in csv.DictReader(lines)}
    found = {s.name: s for s in opened.session.words.summary.tests}
    assert opened.session.refused == {}
    every = [t for s in found.values() for t in s.understood]
    assert not any("begins at" in t for t in every)  # all of them begin with noise about nil
    assert set(rows) <= set(found)
    for name, row in rows.items():
        got = found[name].result
        unit = {"N/mm": "N/mm", "N m/deg": "N*m/deg"}[row["stiffness_unit"]]
        want = float(row["true_stiffness"])
        if row["construction"] in ("304-cold-drawn", "6063-T6"):
            assert got.stiffness.to(unit).magnitude == pytest.approx(want, rel=0.03), name
        assert got.peak_is_at_least == (
            row["failure"] in ("grip", "jaw", "slip", "run-out", "stopped")
        ), name


def test_every_section_shows_the_set(opened) -> None:
    for key in opened.rooms:
        opened.sections.value = key
    assert "at least" in words(opened.all.value)
    assert opened.all.value.count("<svg") == 4
    opened.sections.value = "all"
    opened.apart.value = True
    assert opened.all.value.count("<svg") == 16
    assert "torsion, pultruded" in words(opened.all.value)
    opened.apart.value = False
    assert "broken specimen" in words(opened.group.value)
    assert "measured over promised" in opened.promise.value
    assert "per g/m" in opened.weight.value
    opened.sections.value = "test"


# --- files and questions ------------------------------------------------------------------------


def test_a_bad_file_is_named_and_the_others_go_on(page) -> None:
    drop(page, ("good.csv", beam()), (HOSTILE + ".csv", b"rubbish\n"), ("none.txt", b""),
         ("other.csv", beam(100.0)))  # fmt: skip
    assert [e.file for e in page.session.choice.entries] == ["good.csv", "other.csv"]
    said = words(page.refused.value)
    assert HOSTILE[:20] in said
    assert "none.txt" in said
    assert "<img" not in page.refused.value
    assert page.session.status.startswith("Read 2 tests of 2 files. 2 files are left out")


def test_a_file_that_is_too_large_is_refused_with_the_way_out(page) -> None:
    drop(page, ("big.csv", b"0" * (LARGEST + 1)), ("good.csv", beam()))
    assert "at most 9 MB" in words(page.refused.value)
    assert "tubecalc reduce" in words(page.refused.value)
    assert len(page.session.choice.entries) == 1
    page._heard({"new": f"m3|toobig|{HOSTILE}.csv"})
    assert "too large for the page" in words(page.status.value)
    assert "<img" not in page.status.value


def test_the_same_file_twice_is_one(page) -> None:
    drop(page, ("a.csv", beam()))
    drop(page, ("b.csv", beam()))
    assert len(page.session.choice.entries) == 1
    assert "is here already" in words(page.refused.value)


def test_a_question_is_a_menu_that_reads_again(page) -> None:
    drop(page, ("ask.csv", beam(heads="mm,load")))
    assert page.seen.asked == 1
    assert "question" in words(page.tests.value)
    menu = page.reading.menus[0]
    label = next(t for t, _ in menu.options if t.split()[0].strip(",:") == "kN")
    menu.value = next(v for t, v in menu.options if t == label)
    assert page.session.choice.answers[page.session.choice.entry.digest] == {"force_unit": "kN"}
    assert page.seen.asked == 0
    assert page.seen.curve.data["force_N"].max() == pytest.approx(SLOPE * 5.0 * 1000, rel=1e-6)
    assert "kN" in page.reading.answered.value
    page.reading.again.click()
    assert page.seen.asked == 1


def test_what_was_understood_is_said_and_may_be_corrected(page) -> None:
    text = "Weg;Kraft;Kraft 2\nmm;kN;kN\n" + "".join(f"{k};{2 * k};{3 * k}\n" for k in range(40))
    drop(page, ("de.csv", text.encode()))
    said = words(page.understood.value)
    assert '"Weg" in mm is the travel' in said
    assert "semicolon" in said
    page.reading.form.menus["r.force"][0].value = "Kraft"
    assert '"Kraft" in kN is the force' in words(page.understood.value)
    page.reading.form.menus["r.force"][0].value = "Kraft 2"
    assert page.seen.curve.data["force_N"].max() == pytest.approx(3 * 39 * 1000)


def test_an_answer_that_cannot_be_is_refused_and_nothing_changes(page) -> None:
    drop(page, ("a.csv", beam()))
    before = page.seen
    page.reading.form.fields["r.force_unit"].input.value = "stone"
    assert page.session.status
    assert page.seen is before
    assert page.session.choice.answers.get(before.entry.digest, {}) == {}


# --- one test -----------------------------------------------------------------------------------


def test_a_test_says_what_it_needs_and_then_its_figures(page) -> None:
    drop(page, ("beam.csv", beam()))
    assert "kind of test" in words(page.notes.value)
    page.form.form.menus["t.kind"][0].value = "three-point"
    assert "span is missing" in words(page.notes.value)
    put(page, od="10 mm", id="8 mm", span="240 mm")
    inertia = np.pi / 64 * (0.010**4 - 0.008**4)  # by hand
    EI = SLOPE * 1e3 * 0.24**3 / 48
    assert result(page).EI.magnitude == pytest.approx(EI, rel=2e-3)
    assert result(page).modulus.magnitude == pytest.approx(EI / inertia / 1e9, rel=2e-3)
    assert "beam: bending, one nose, 10 × 8 mm, span 240 mm" in words(page.figures.value)


def test_a_wrong_size_is_said_at_its_field(page) -> None:
    told(page)
    put(page, wall="9 mm", id="")
    said = unescape(page.form.form.fields["t.wall"].message.value)
    assert "thicker than the radius" in said
    assert page.form.form.fields["t.wall"].input.value == "9 mm"
    put(page, wall="1 mm")
    assert result(page) is not None
    put(page, od="10 stone")
    assert page.form.form.fields["t.od"].message.value


def test_a_mark_is_dragged_written_and_forgotten(page) -> None:
    told(page)
    assert page.layer.value.count("tc-handle") >= 4
    places = re.findall(r'aria-valuenow="([^"]+)"', page.layer.value)
    assert all(re.fullmatch(r"-?\d+\.\d+", p) for p in places)
    found = {m.key: m.x for m in result(page).marks}
    page._heard({"new": "m1|mark|linear_to|260.0"})
    entry = page.session.choice.entry
    moved = float(entry.get("linear_to").split()[0])
    assert 0 < moved < found["linear-to"]
    assert float(entry.get("linear_from").split()[0]) == pytest.approx(found["linear-from"], 1e-3)
    assert {m.key: m.x for m in result(page).marks}["linear-to"] == pytest.approx(moved, abs=0.05)
    put(page, peak_at="2.5 mm")
    assert result(page).peak.to("N").magnitude == pytest.approx(SLOPE * 2.5, rel=0.01)
    page.form.found.click()
    assert {m.key: m.x for m in result(page).marks} == pytest.approx(found)
    for wild in ("m2|mark|linear_to|nan", "m3|mark|x|1", "m4|mark|origin|abc", "m5|mark", "|||"):
        page.bus.value = wild
    assert page.session.choice.entry.get("linear_to") == ""
    assert "fault of its own" not in page.session.status


def test_grip_failure_is_at_least_everywhere(page) -> None:
    told(page)
    page.form.form.menus["t.failure"][0].value = "grip"
    assert result(page).peak_is_at_least
    assert "at least" in words(page.figures.value)
    assert "at least" in words(page.tests.value)
    (stat, *_) = page.session.words.summary.groups[0].stats
    assert stat.sample.broken == 0
    assert np.isnan(stat.sample.mean)


def test_others_are_told_the_same_where_nothing_is_told(page) -> None:
    told(page)
    drop(page, ("b.csv", beam(190.0)), ("c.csv", beam(210.0)))
    choose(page, 2)
    put(page, od="12 mm", wall="1 mm")
    choose(page, 0)
    page.form.alike.click()
    second, third = page.session.choice.entries[1:]
    assert (second.get("od"), second.get("id"), second.get("span")) == ("10 mm", "8 mm", "240 mm")
    assert (third.get("od"), third.get("id"), third.get("wall")) == ("12 mm", "", "1 mm")
    assert third.get("kind") == "three-point"


def test_the_frame_is_taken_out_by_the_file_of_its_run(page) -> None:
    told(page)
    drop(page, ("bar.csv", beam(2000.0, 1.0)))
    choose(page, 0)
    put(page, frame="bar.csv")
    want = 1 / (1 / SLOPE - 1 / 2000.0)
    assert result(page).stiffness.to("N/mm").magnitude == pytest.approx(want, rel=0.01)


# --- all together ---------------------------------------------------------------------------------


def group(page: bench.Page, tops: tuple[float, ...], failure: str = "crush") -> None:
    """Alike tests with these largest travels."""
    told(page)
    page.form.form.menus["t.wall_of"][0].value = "pultruded"
    drop(page, *((f"t{k}.csv", beam(120.0 + 0.1 * k, top)) for k, top in enumerate(tops)))
    choose(page, 0)
    page.form.alike.click()
    page.session.remove()
    for n in range(len(tops)):
        choose(page, n)
        page.form.form.menus["t.failure"][0].value = failure


def test_statistics_follow_what_counts(page) -> None:
    tops = (4.0, 4.2, 4.4, 4.1, 4.3)
    group(page, tops)
    (found,) = page.session.words.summary.groups
    peaks = [(120.0 + 0.1 * k) * top for k, top in enumerate(tops)]
    peak = found.stats[0]
    assert peak.sample.mean == pytest.approx(np.mean(peaks), rel=1e-3)
    factor = 3.4066  # one-sided tolerance factor, 5 tests, 90 % / 95 %: Owen, SCR-607 (1963)
    want = np.mean(peaks) - factor * np.std(peaks, ddof=1)
    assert float(peak.basis["B"]) == pytest.approx(want, rel=2e-3)
    page.sections.value = "group"
    page.law.value = "weibull"
    assert "weibull" in words(page.group.value)
    page.sections.value = "test"
    choose(page, 4)
    page.form.form.menus["t.count"][0].value = "no"
    assert len(page.session.words.summary.groups[0].members) == 4
    assert "left out" in words(page.tests.value)


def test_two_broken_tests_carry_no_basis_and_it_says_how_many_more(page) -> None:
    group(page, (4.0, 4.2))
    page.sections.value = "group"
    assert "1 more that breaks is the least" in words(page.group.value)


def test_a_factor_is_off_until_it_is_switched_on_and_then_said(page) -> None:
    group(page, (1.0, 1.02, 1.04, 1.06))
    need = Need.from_toml('[[case]]\nkind = "three-point"\nload = "100 N"\nspan = "0.2 m"')
    job = Job(need, (Candidate("pultruded", 0.010, 0.008),))
    page.session.change(job=job)
    page.sections.value = "promise"
    assert page.on.value == ""
    assert page._keys == [("pultruded", "crush")]
    page.factors[0].value = True
    said = words(page.on.value)
    assert "Calibrated by 4 tests: pultruded" in said
    found = re.findall(r"crush at a load point ([\d.]+) as computed, ([\d.]+) with", said)
    before, after = (float(x) for x in found[0])
    share = page.session.words.calibration.factors
    low = next(f.low for f in share if f.check == "crush")
    assert after == pytest.approx(low * before, rel=0.01)
    kept = page.session.job().need
    assert kept.factors.bench == f"pultruded crush {low:.4g}"
    assert check(Tube("pultruded", od="10 mm", id="8 mm"), kept).reserve["crush"] == pytest.approx(
        after, rel=0.01
    )
    assert "Calibrated by 4 tests" in words(written("html", page.session.words)[1].decode())
    again = bench.open_page("")
    again._take(page.session.job(), "")
    assert again.session.words.calibration.on == {("pultruded", "crush")}
    page.factors[0].value = False
    assert page.on.value == ""
    assert page.session.job().need.factors.bench == ""


def test_two_files_that_are_one_test_are_said(page) -> None:
    told(page)
    noisy = beam().decode().replace(",3.0", ",3.1")
    drop(page, ("copy.csv", noisy.encode()))
    page.sections.value = "all"
    assert "one and the same test" in words(page.all.value)


def test_what_cannot_be_promised_says_why(page) -> None:
    told(page)
    page.sections.value = "promise"
    page.form.form.menus["t.wall_of"][0].value = ""
    assert "say what the tube was made of" in " ".join(page.session.words.unsaid())


# --- the job --------------------------------------------------------------------------------------


def test_results_go_into_the_job_and_come_back(opened) -> None:
    job = opened.session.job()
    text = job.to_toml()
    assert all(row["row"] == ROW for row in job.tests)
    page = bench.open_page("")
    assert page._take(Job.from_toml(text), text) == []
    for table in ("results", "statistics", "ratios"):
        assert getattr(page.session.words, table)() == getattr(opened.session.words, table)(), table
    assert page.session.job() == job
    assert "from the job" in words(page.tests.value)


def test_without_its_file_a_test_keeps_its_figures_and_says_so(page) -> None:
    told(page)
    before = page.session.job()
    page._take(Job.from_toml(before.to_toml()), "")
    page.session.choice = choice_of(before)[0]
    figures = page.figures.value
    put(page, od="20 mm")
    assert "drop it on the page again" in unescape(page.form.form.fields["t.od"].message.value)
    assert page.figures.value == figures
    put(page, name="renamed")
    assert page.session.choice.entry.get("name") == "renamed"
    drop(page, ("again.csv", beam()))
    assert page.seen.curve is not None
    assert page.session.choice.entry.get("span") == "240 mm"
    put(page, od="20 mm", id="16 mm")
    assert result(page).rig.od == pytest.approx(0.020)


def test_rows_of_others_stay_in_the_job(page) -> None:
    page._take(Job(tests=({"load": 3, "who": "another"},)), "")
    told(page)
    assert page.session.job().tests[0] == {"load": 3, "who": "another"}
    assert len(page.session.job().tests) == 2


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("kind", "folding"), ("number", 0), ("number", True), ("figures", {"peak": "much"}),
        ("figures", {"peak": float("nan")}), ("marks", [["a"]]), ("rig", {}),
        ("curve", {"x": [1.0]}),
        ("curve", {"x": [1.0], "y": [1.0, 2.0]}), ("told", "x"), ("name", 3), ("failure", "bored"),
        ("at_least", 1),
        ("rig", {"ends": "pinned-pinned", "at_nose": True, "od": 0.01, "wall": 9.0}),
        ("notes", [1]), ("digest", 1), ("curve", {"x": [0.0] * 999, "y": [0.0] * 999}),
    ],
)  # fmt: skip
def test_a_damaged_row_is_left_out_and_named(page, key, value) -> None:
    told(page)
    (row,) = page.session.job().tests
    other = bench.open_page("")
    said = other._take(Job(tests=({**row, key: value}, {**row, "digest": "other"})), "")
    assert said == ["A test of this job is damaged and is left out: beam.csv."]
    assert len(other.session.choice.entries) == 1


def test_state_in_a_job_is_not_believed(page) -> None:
    told(page)
    job = page.session.job()
    for state in ({"section": "x", "chosen": 99, "law": 3, "on": "all"}, {"on": [["a"], [1, 2]]},
                  {"chosen": True, "on": [["pultruded", "crush"]]}):  # fmt: skip
        other = bench.open_page("")
        other._take(Job(tests=job.tests, page={"bench": state}), "")
        assert other.seen is not None
        assert other.session.words.calibration.on == frozenset()


# --- strangers ------------------------------------------------------------------------------------


class Tags(HTMLParser):
    """Names of tags, and attributes that run something."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.runs: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.runs += [k for k, v in attrs if k.startswith("on") or "script:" in (v or "")]


def test_hostile_names_and_cells_are_words(page) -> None:
    quoted = HOSTILE.replace('"', '""')
    heads = f'"{quoted} travel (mm)","{quoted} force (N)"\n'
    rows = "".join(f"{k},{2 * k}\n" for k in range(60))
    drop(page, (f"{HOSTILE}.csv", f"{HOSTILE}\n{heads}{rows}".encode()),
         ("ok.csv", beam(heads=f"mm,{HOSTILE} load")), (HOSTILE, b"\x00\x01"))  # fmt: skip
    page.form.form.menus["t.kind"][0].value = "three-point"
    put(page, name=HOSTILE, od=HOSTILE, frame=HOSTILE)
    put(page, od="10 mm", frame="")
    for n in range(len(page.session.choice.entries)):
        choose(page, n)
        for key in page.rooms:
            page.sections.value = key
    seen = Tags()
    seen.feed(shown(page))
    assert seen.tags.isdisjoint({"img", "script"})
    assert seen.runs == []
    assert "onerror" in unescape(shown(page))


def test_nothing_grows_while_a_test_is_worked_on(page) -> None:
    told(page)
    before = len(_instances)
    for k in range(25):
        page._heard({"new": f"m{k}|mark|origin|{70 + k}.0"})
        put(page, span=f"{240 + k} mm")
    for key in page.rooms:
        page.sections.value = key
    assert len(_instances) == before


def test_the_curve_stays_light(page) -> None:
    travel = np.linspace(0, 5, 100_000)
    rows = "".join(f"{x:.6f},{200 * x:.5f}\n" for x in travel.tolist())
    drop(page, ("long.csv", f"travel_mm,force_N\n{rows}".encode()))
    assert len(page.seen.x) < 2000
    assert page.seen.y.max() == pytest.approx(1000.0)
    assert len(page.session.job().to_toml()) < 20_000


def test_many_tests_are_told_in_turn_and_fit_a_job(page, monkeypatch) -> None:
    monkeypatch.setattr("tubecalc.app.bench_state._PATIENCE", -1.0)
    said: list[str] = []
    page.session.observe(lambda change: said.append(change["new"]), names="status")
    drop(page, *((f"t{k}.csv", beam(100.0 + k)) for k in range(30)))
    assert "Reading 7 of 30: t6.csv …" in said
    assert "Reducing 30 of 30 …" in said
    assert said[-1] == "Read 30 tests of 30 files."
    monkeypatch.setattr("tubecalc.app.bench_state._TOGETHER", 30 * 50)
    assert all(len(row["curve"]["x"]) <= 50 for row in page.session.rows())


def test_every_way_out_is_written(opened) -> None:
    starts = {"html": b"<!DOCTYPE html>", "xlsx": b"PK", "png": b"\x89PNG", "svg": b"<?xml",
              "pdf": b"%PDF"}  # fmt: skip
    for key in WAYS:
        name, content = written(key, opened.session.words)
        assert name.endswith(f".{key}")
        assert content.startswith(starts[key])
    opened.out.buttons["html"].click()
    assert "data-autodownload" in opened.out.file.value
    assert "Saved" in opened.out.said.value


def test_the_largest_load_moves_by_one_arrow_key_too(page) -> None:
    """A key moves 2 px, less than the reach within which the largest load is looked for."""
    told(page)
    x = float(re.search(r'data-mark="peak_at"\s+data-x="([\d.]+)"', page.layer.value)[1])
    before = next(m.x for m in result(page).marks if m.key == "peak")
    page.move("peak_at", x - 2)
    after = next(m.x for m in result(page).marks if m.key == "peak")
    assert 0.9 * before < after < before


# --- columns, noses, batches ---------------------------------------------------------------------


def column(share: float = 0.9) -> bytes:
    """Load and sideways deflection of an elastic bow: 1000 N critical, 1 mm of bow."""
    load = np.linspace(0, 1000 * share, 80)
    rows = [f"{x:.3f},{p:.4f}" for p, x in zip(load, load / (1000 - load), strict=True)]
    return "\n".join(["Lateral deflection (mm),Load (N)", *rows, ""]).encode()


def test_a_column_shows_its_critical_load_and_its_line(page) -> None:
    drop(page, ("column.csv", column()))
    page.form.form.menus["t.kind"][0].value = "column"
    put(page, od="12 mm", wall="1 mm", span="900 mm")
    figures = words(page.figures.value)
    assert re.search(r"critical load\s+1\s?000 N", figures)
    assert "sideways deflection" in figures
    assert "work" not in figures
    assert "Critical load from the bow" in page.bow.value
    assert "critical load 1\u202f000 N" in unescape(page.picture.value)
    assert "not reached at 90 %" in words(page.notes.value)
    assert 'data-mark="linear_to"' in page.layer.value
    assert 'data-mark="origin"' not in page.layer.value
    page.units.value = "inch"
    assert "in per 1000 lbf" in page.bow.value
    page.units.value = "SI"
    again = bench.open_page("")
    again._take(page.session.job(), "")
    assert "Critical load from the bow" in again.bow.value
    assert "1 000 N" in words(again.figures.value).replace("\u202f", " ")
    report = words(written("html", page.session.words)[1].decode())
    assert "Deflection over load against deflection" in report
    page.form.form.menus["t.kind"][0].value = "compression"
    assert page.bow.value == ""


def test_only_the_fields_of_a_kind_are_asked(page) -> None:
    told(page)

    def gone(key: str) -> bool:
        return "tc-gone" in page.form.form.boxes[f"t.{key}"]._dom_classes

    assert [k for k in ("span", "nose", "inner_span", "gauge_length", "ends") if not gone(k)] == [
        "span", "nose"
    ]  # fmt: skip
    page.form.form.menus["t.kind"][0].value = "column"
    assert not gone("ends")
    assert gone("origin")
    put(page, nose="8 mm")
    assert not gone("nose"), "what was typed is never hidden"


def test_nose_width_is_asked_and_dents_are_taken_out(page) -> None:
    told(page)
    page.form.form.menus["t.wall_of"][0].value = "pultruded"
    assert "not said: give its width" in words(page.notes.value)
    put(page, nose="6 mm")
    notes = words(page.notes.value)
    assert "with a nose of 6 mm" in notes
    assert "With these taken out the test gives EI" in notes
    put(page, nose="200 mm")
    assert "wider than half" in page.session.problems["t.nose"]


def test_a_load_factor_multiplies_curve_and_figures(page) -> None:
    told(page)
    before = result(page).si["peak"]
    put(page, load_factor="1.1")
    assert result(page).si["peak"] == pytest.approx(1.1 * before)
    assert page.seen.y.max() == pytest.approx(1.1 * before)
    put(page, load_factor="nought")
    assert "Is no factor" in page.session.problems["t.load_factor"]


def test_batches_are_told_for_many_tests_and_decide_the_basis(page) -> None:
    """Two batches alike and one weaker by a sixth, as the likeness test must see."""
    tops = (4.0, 4.04, 3.97, 4.02, 4.01, 3.98, 4.03, 3.99, 3.4, 3.43, 3.38, 3.41)
    group(page, tops)
    page.sections.value = "group"
    assert "(normal)" in words(page.group.value)

    def tell(which: str, batch: str) -> str:
        page.batches.which.value, page.batches.batch.value = which, batch
        page.batches.tell.click()
        return words(page.batches.said.value)

    assert "4 tests: batch A" in tell("1-4", "A")
    assert "8 of 12 tests do not say their batch" in words(page.group.value)
    tell("5 to 8", "B")
    tell("9,10 11-12", "C")
    said = words(page.group.value)
    assert "3 batches differ by more than chance" in said
    assert "(between batches)" in said
    page.sections.value = "all"
    assert "batch" in words(page.all.value)
    kept = page.session.job()
    assert kept.tests[0]["told"]["batch"] == "A"
    assert "names no test" in tell("", "A")
    for bad in ("0", "13", "x", "4-2", HOSTILE):
        assert "is no number of a test here" in tell(bad, "A"), bad
    assert "<img" not in page.batches.said.value
    tell("1-12", "")
    page.sections.value = "group"
    assert "(normal)" in words(page.group.value)


def test_a_soft_construction_is_offered_a_factor_and_it_counts(page) -> None:
    """A wall that is a fifth softer than promised, by hand from its own promise."""
    told(page)
    page.form.form.menus["t.wall_of"][0].value = "pultruded"
    put(page, span="300 mm", nose="6 mm")
    tube = Tube("pultruded", od="10 mm", id="8 mm")
    moved = tube.deflection("three-point", load="1 N", span="300 mm", at="nose", nose="6 mm")
    k = 0.8 / float(moved.to("mm").magnitude)
    page.session.remove()
    for n in range(3):
        drop(page, (f"s{n}.csv", beam(k * (1 + 0.002 * n), 4.0)))
        page.session.change(chosen=n)
        page.form.form.menus["t.kind"][0].value = "three-point"
        page.form.form.menus["t.wall_of"][0].value = "pultruded"
        put(page, od="10 mm", id="8 mm", span="300 mm", nose="6 mm")
    page.sections.value = "promise"
    said = words(page.promise.value)
    assert "bending stiffness EI: 0.80 of what is promised" in said
    assert "E1 of the axial plies times 0.80" in said
    assert "The frame is still in the travel of all" in said
    assert ("pultruded", "EI") in page._keys
    page.factors[page._keys.index(("pultruded", "EI"))].value = True
    assert "computed stiffness times" in words(page.on.value)
    need = page.session.job().need
    assert need.factors.bench.startswith("pultruded EI 0.79")


def test_slack_rest_load_and_frame_are_told_with_the_figures(page) -> None:
    """A beam of 200 N/mm that is reached after 0.5 mm, under 3 N at rest; a bar of 2400 N/mm."""
    travel = np.linspace(0, 5, 401)
    load = 3.0 + SLOPE * np.clip(travel - 0.5, 0, None)
    rows = [f"{x:.5f},{y:.4f}" for x, y in zip(travel, load, strict=True)] + ["5.02,4.0"]
    drop(page, ("slack.csv", "\n".join(["travel_mm,force_N", *rows, ""]).encode()),
         ("bar.csv", beam(2400.0, 2.0)))  # fmt: skip
    page.session.put({"kind": "three-point"})
    said = " ".join(words(page.figures.value).split())
    assert "load at rest, taken off 3 N" in said
    assert "travel begins to count at 0.5 mm" in said
    page.session.put({"od": "10 mm", "id": "8 mm", "span": "240 mm"})
    assert " MPa" in words(page.figures.value)
    page._units_changed({"new": "inch"})
    assert " ksi" in words(page.figures.value)
    assert " MPa" not in words(page.figures.value)
    assert "GPa" not in words(page.figures.value)
    page._units_changed({"new": "SI"})
    assert "200 N/mm" in said  # of the file, as people write it
    page.session.change(chosen=1)
    page.session.put({"kind": "rigid-bar"})
    assert "slope of the frame 2 400 N/mm" in " ".join(words(page.figures.value).split())


def test_an_unknown_construction_is_named_where_nothing_is_promised(page) -> None:
    drop(page, ("a.csv", beam()))
    page.session.put({"kind": "three-point", "span": "240 mm", "od": "10 mm", "id": "8 mm",
                      "wall_of": "not-known"})  # fmt: skip
    page.sections.value = "promise"
    assert "nothing is promised" in words(page.promise.value)
    assert "not-known" in words(page.promise.value)


def test_a_factor_is_said_in_the_sentence_of_choose_and_gone_when_it_is_off(page) -> None:
    page.demo.click()
    page.sections.value = "promise"
    place = page._keys.index(("pultruded", "crush"))
    page.factors[place].value = True
    there = choosing.open_page("")
    there._take(page.session.job(), "")
    said = " ".join(words(w.value) for w in there.sentence.box.children if isinstance(w, HTML))
    assert "Own bench tests count: pultruded, crush at a load point times 0.872." in said
    page.factors[place].value = False
    there._take(page.session.job(), "")
    said = " ".join(words(w.value) for w in there.sentence.box.children if isinstance(w, HTML))
    assert "bench tests" not in said


def test_a_pull_without_an_extensometer_gives_no_EA_anywhere_on_the_page(opened) -> None:
    tests = opened.session.words.summary.tests
    for name, has in (("RW-tension", False), ("ST-tension", True)):
        place = next(n for n, s in enumerate(tests) if s.name == name)
        opened.session.change(chosen=place)
        assert (">EA<" in opened.figures.value) == has
        assert ("apparent, no modulus" in opened.figures.value) != has


# --- by hand ------------------------------------------------------------------------------------


def test_a_pluck_gives_its_stiffness_without_any_file(page) -> None:
    """250 a minute with 205 g on 0.9 m, 60 g/m: 36.3 N m2 by hand."""
    page.by_hand.click()
    assert "tc-gone" not in page.rooms["hand"]._dom_classes
    room = page.hand
    for key, text in (("frequency", "250 cpm"), ("length", "0.9 m"), ("tip_mass", "205 g"),
                      ("own", "60 g/m")):  # fmt: skip
        room.form.fields[key].input.value = text
    assert "36.3 N m²" in words(room.answer.value)
    room.form.fields["length"].input.value = "0.9 kg"
    assert room.answer.value == ""
    assert "length" in room.texts.problems
    room.form.fields["length"].input.value = "0.9 m"
    again = bench.open_page("")
    again._take(page.session.job(), "")
    assert "36.3 N m²" in words(again.hand.answer.value)


def test_a_column_by_hand_needs_its_tube_and_says_what_stays(page) -> None:
    page.by_hand.click()
    room = page.hand
    room.form.menus["rig"][0].value = "column"
    for key, text in (("length", "27.5 in"), ("loads", "30; 31; 29.5 lbf")):
        room.form.fields[key].input.value = text
    assert "say construction" in room.texts.problems["wall_of"].lower()
    room.form.menus["wall_of"][0].value = "6061-T6"
    for key, text in (("od", "0.96 in"), ("id", "0.49 in")):
        room.form.fields[key].input.value = text
    said = words(room.answer.value)
    assert "stays unexplained" in said
    assert "tc-gone" in room.form.boxes["frequency"]._dom_classes
    room.form.fields["loads"].input.value = HOSTILE
    assert "<img" not in room.answer.value
    assert room.texts.problems["loads"]
    put_bad = Job(page={"bench": {"section": "hand", "hand": {"rig": "none", "od": 3}}})
    again = bench.open_page("")
    again._take(put_bad, "")
    assert again.session.choice.hand == {}


def test_who_opens_the_page_without_a_test_reads_what_it_does(page) -> None:
    assert "tc-gone" not in page.start._dom_classes
    said = words(page.start.value)
    for part in ("What it reads", "What it finds", "What a test cannot say", "goggles"):
        assert part in said
    page.session.change(section="hand")
    assert "tc-gone" in page.start._dom_classes
    page.session.change(section="test")
    told(page)
    assert "tc-gone" in page.start._dom_classes
