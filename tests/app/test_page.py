"""Page `choose` without a browser: widgets change, the page answers, nothing entered is lost."""

from __future__ import annotations

import base64
import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
from ipywidgets.widgets.widget import _instances

from tubecalc import datafiles
from tubecalc.app import engine
from tubecalc.app.pages import choose, start
from tubecalc.app.state import Session
from tubecalc.errors import InputError
from tubecalc.need import Need
from tubecalc.sweep import sweep
from tubecalc.units import Q_


@pytest.fixture
def page() -> choose.Page:
    return choose.Page(Session(engine.run, choose.start_choice()[0]))


def box(page: choose.Page, path: str):
    return next(b for slot, b in page.sentence._fields.items() if slot.startswith(f"{path}|"))


def words(page: choose.Page) -> str:
    return page.sentence.box.children[0].value


def test_first_view_answers_the_first_job(page) -> None:
    result = page.session.result
    assert result.need.title == "Sampling boom"
    assert result.passing > 0
    assert "Passes." in page.answer.value
    assert "reach <b>1\u202f200 mm</b>" in page.used.value


def test_page_shows_what_the_core_says(page) -> None:
    """The selected tube is the lightest passing one of a direct sweep in the usual sizes."""
    choice = page.session.choice
    import numpy as np

    od, wall = np.arange(10, 40.5, 1.0), np.arange(0.75, 3.01, 0.25)
    table = sweep(
        page.session.result.need, list(choice.constructions), Q_(od, "mm"), Q_(wall, "mm")
    )
    good = table[table["passes"] & table["in_range"] & (table["wall_mm"].between(0.75, 3.0))]
    best = good.sort_values("mass_kg_per_m").iloc[0]
    key = page.session.result.sheet.keys[page.session.result.row]
    assert key == f"{best['construction']}|{best['od_mm']:.4f}|{best['id_mm']:.4f}"


def test_slider_redraws_the_layer_and_not_the_frame(page) -> None:
    layer, frame = page.layer.value, page.frame.value
    page.controls.od.slider.set_state({"value": [10.0, 39.5]})
    assert page.session.choice.od == pytest.approx((0.010, 0.0395))
    assert page.layer.value != layer
    assert page.frame.value == frame
    assert page.controls.od.ends[1].input.value == "39.5 mm"


def test_a_size_between_slider_steps_is_not_snapped(page) -> None:
    end = page.controls.od.ends[1]
    end.input.value = "39.7 mm"
    assert page.session.choice.od[1] == pytest.approx(0.0397)
    page.controls.od.slider.set_state({"value": [10.0, 39.5]})  # what the browser snaps it to
    assert page.session.choice.od[1] == pytest.approx(0.0397)
    page.controls.od.slider.set_state({"value": [10.0, 39.0]})
    assert page.session.choice.od[1] == pytest.approx(0.039)


def test_a_size_beyond_the_slider_widens_it(page) -> None:
    page.controls.od.ends[1].input.value = "120 mm"
    assert page.session.choice.od[1] == pytest.approx(0.12)
    assert page.controls.od.slider.max >= 120


@pytest.mark.parametrize("typed", ["10 kg", "30", "-3 mm", "5 mm", "10,5 mm"])
def test_a_wrong_size_says_so_and_keeps_what_was_typed(page, typed) -> None:
    end, before = page.controls.od.ends[1], page.session.result
    end.input.value = typed
    assert end.message.value
    assert end.input.value == typed
    assert page.session.result is before
    assert "tc-stale" in page.answer._dom_classes
    end.input.value = "30 mm"
    assert not end.message.value
    assert "tc-stale" not in page.answer._dom_classes


@pytest.mark.parametrize(
    ("path", "typed"),
    [
        ("case.0.load", "60 kg"), ("case.0.span", "1,2 m"), ("case.0.span", "-1 m"),
        ("case.0.span", "0 m"), ("case.0.span", "zero"), ("limits.od_max", "40"),
        ("factors.strength", "0"), ("factors.strength", "inf"), ("case.0.load", ""),
        ("service.temperature", "60 mm"),
    ],
)  # fmt: skip
def test_a_wrong_entry_stays_at_its_field_and_the_last_result_stays_greyed(
    page, path: str, typed: str
) -> None:
    before, shown = page.session.result, page.layer.value
    field = box(page, path)
    field.input.value = typed
    assert field.input.value == typed
    assert field.message.value, page.session.problems
    assert "tc-bad" in field.box._dom_classes
    assert "Traceback" not in field.message.value
    assert page.session.result is before
    assert page.layer.value == shown
    assert "tc-stale" in page.stack._dom_classes


def test_a_mistake_the_core_gives_no_field_for_is_said_under_the_sentence(page) -> None:
    before = page.session.result
    box(page, "case.0.tip_mass").input.value = "-1 kg"
    said = page.used.value + box(page, "case.0.tip_mass").message.value
    assert "negative" in said
    assert page.session.result is before


def test_mending_the_entry_brings_the_page_back(page) -> None:
    field = box(page, "case.0.span")
    field.input.value = "1,2 m"
    field.input.value = "4 ft"
    assert field.message.value == ""
    assert "1\u202f219 mm" in page.used.value
    assert page.session.problems == {}


def test_nothing_is_saved_from_a_greyed_result(page) -> None:
    box(page, "case.0.span").input.value = "1,2 m"
    for button in page.handout.buttons.values():
        button.click()
        assert page.handout.file.value == ""
        assert "Mend" in page.handout.status
        page.handout.say("")


def test_two_wrong_fields_both_say_so(page) -> None:
    box(page, "case.0.span").input.value = "x"
    box(page, "case.0.load").input.value = "y"
    assert box(page, "case.0.span").message.value
    assert box(page, "case.0.load").message.value


def test_what_people_type_is_escaped(page) -> None:
    box(page, "case.0.span").input.value = "<img src=x onerror=alert(1)>"
    everything = "".join(w.value for w in _instances.values() if hasattr(w, "value")
                         and isinstance(w.value, str) and type(w).__name__ == "HTML")  # fmt: skip
    assert "<img" not in everything


def test_cases_and_limits_come_and_go(page) -> None:
    draft = page.session.choice.draft
    page.sentence.add_case.value = "push"
    assert [c.kind for c in page.session.result.need.cases] == ["cantilever", "strut"]
    page.sentence.add_limit.value = "frequency_min"
    assert page.session.result.need.limits.frequency_min == 20.0
    page.sentence._crosses["limits.frequency_min"].click()
    page.sentence._crosses["case.1"].click()
    assert page.session.choice.draft == draft


def test_a_case_changes_its_kind(page) -> None:
    page.sentence._rows[0].form.value = "three-point"
    assert page.session.result.need.cases[0].kind == "three-point"
    assert page.session.result.need.cases[0].span == 1.2


def test_service_toggles_reach_the_core(page) -> None:
    page.sentence.service["insulating"].value = True
    assert page.session.result.need.service.insulating
    page.sentence.service["insulating"].value = False
    page.sentence.finish.value = "smooth"
    assert page.session.result.need.service.finish == "smooth"


@pytest.mark.parametrize("job", sorted(choose.jobs()))
@pytest.mark.parametrize("units", ["SI", "workshop", "inch"])
def test_every_demo_job_is_answered_in_every_unit(page, job: str, units: str) -> None:
    page.job.value = job
    page.units.value = units
    assert page.session.problems == {}
    assert page.session.result.passing > 0
    if units == "inch":
        assert " in" in page.answer.value
        assert "lb/ft" in page.table.value
    label = {"SI": "mm", "workshop": "mm", "inch": "in"}[units]
    assert f"outside diameter, {label}" in page.frame.value


def test_units_do_not_change_the_need(page) -> None:
    before = page.session.result.need
    page.units.value = "inch"
    assert page.session.result.need == before
    assert page.session.choice.od == pytest.approx((0.01, 0.04))


def test_nothing_passes_is_said_honestly(page) -> None:
    box(page, "case.0.load").input.value = "5 kN"
    assert page.session.result.passing == 0
    assert "Nothing passes" in page.answer.value
    assert "Fails." in page.answer.value


def test_no_construction_is_a_sentence(page) -> None:
    for tick in page.controls.ticks.values():
        tick.value = False
    assert "tick at least one construction" in page.used.value


def test_shortlist_sorts_and_picks(page) -> None:
    page.bus.value = "1|sort|reserve"
    sheet, short = page.session.result.sheet, page.session.result.short
    good = [sheet.column("reserve")[n] for n in short if sheet.column("passes")[n]]
    assert good == sorted(good)
    page.bus.value = "2|sort|reserve"
    good = [page.session.result.sheet.column("reserve")[n] for n in page.session.result.short
            if page.session.result.sheet.column("passes")[n]]  # fmt: skip
    assert good == sorted(good, reverse=True)
    key = page.session.result.sheet.keys[page.session.result.short[2]]
    page.bus.value = f"3|pick|{key}"
    assert page.session.result.sheet.keys[page.session.result.row] == key
    assert f'data-pick="{key}" tabindex="0" aria-selected="true"' in page.table.value


@pytest.mark.parametrize("message", ["", "1", "1|pick", "2|sort|no-such", "3|point|x|9", "4|view|x",
                                     "5|hover|pultruded|99999", "6|pick|no|such|tube"])  # fmt: skip
def test_a_strange_message_changes_nothing(page, message: str) -> None:
    before = page.answer.value
    page.bus.value = message
    assert page.answer.value == before


def test_pointer_gets_the_name_of_a_point(page) -> None:
    page.bus.value = "1|hover|pultruded|0"
    assert 'data-of="pultruded|0"' in page.tip.value
    row = int(page.session.result.shown["pultruded"][0])
    od, bore = (page.session.result.sheet.column(c)[row] for c in ("od_mm", "id_mm"))
    assert f"{od:g} × {bore:g} mm" in page.tip.value


def test_weight_for_weight_changes_axis_and_columns(page) -> None:
    page.controls.weight.value = True
    assert "bending stiffness for its weight, N m³/kg" in page.frame.value
    assert "bending stiffness for its weight" in page.table.value
    sheet, row = page.session.result.sheet, page.session.result.row
    column = sheet.column("EI_per_mass_N_m3_per_kg")
    ok = sheet.column("passes").astype(bool)
    shown = [n for rows in page.session.result.shown.values() for n in rows if ok[n]]
    assert column[row] == max(column[n] for n in shown)


def test_demo_stock_list(page) -> None:
    page.controls.source.value = "demo"
    result = page.session.result
    assert result.passing > 0
    assert "tubes read" in page.status.value
    ids = set(result.sheet.table["id"])
    assert any(i in page.table.value for i in ids)
    page.controls.source.value = ""
    assert page.session.choice.stock is None


def upload(widget, name: str, content: bytes) -> None:
    file = {"name": name, "type": "", "size": len(content), "content": memoryview(content)}
    widget.set_trait("value", ({**file, "last_modified": datetime.now(UTC)},))


def test_own_stock_list(page) -> None:
    text = b"id,construction,od_mm,id_mm\nA1,6063-T6,38,34\nA2,6063-T6,30,31\n"
    upload(page.controls.upload, "mine.csv", text)
    assert page.session.choice.stock.name == "mine.csv"
    assert list(page.session.result.sheet.table["id"]) == ["A1"]
    assert "row 3" in page.status.value


def test_a_stock_list_that_cannot_be_read_is_a_sentence(page) -> None:
    before = page.session.result
    upload(page.controls.upload, "bad.csv", b"\x00\x01nothing here")
    assert "bad.csv" in page.status.value
    assert page.session.result is before


def test_need_file_upload_and_download_agree(page) -> None:
    text = (datafiles.data_dir() / "jobs" / "winch-shaft.toml").read_bytes()
    upload(page.upload, "job.toml", text)
    assert page.session.result.need == Need.from_toml(text.decode())
    page.handout.buttons["need, TOML"].click()
    assert downloaded(page, ".toml") == Need.from_toml(text.decode())


def downloaded(page, suffix: str):
    found = re.search(
        r'download="([^"]+)" href="data:([^;]+);base64,([^"]+)"', page.handout.file.value
    )
    assert found is not None
    assert found[1].endswith(suffix)
    content = base64.b64decode(found[3])
    return Need.from_toml(content.decode()) if suffix == ".toml" else content


@pytest.mark.parametrize("content", [b"", b"kind = ", b"\xff\xfe", b"[[case]]\nkind='strutt'\n"])
def test_a_broken_need_file_is_a_sentence_and_loses_nothing(page, content: bytes) -> None:
    before = page.session.choice
    upload(page.upload, "bad.toml", content)
    assert page.session.choice == before
    assert page.status.value.count("Traceback") == 0
    assert len(page.status.value) > 30


def test_saved_table_has_the_figures_per_mass(page) -> None:
    """Every table carries stiffness and strength for the weight, whatever the chart shows."""
    page.handout.buttons["shortlist, CSV"].click()
    head = downloaded(page, "-shortlist.csv").decode("utf-8-sig").splitlines()[0]
    for load in ("EA", "EI", "GJ", "tension", "compression", "bending", "torsion"):
        assert f"{load} per mass [" in head


def test_standing_caution_is_on_the_page(page) -> None:
    for word in ("overhead or carried", "pressure", "rotating shafts", "power lines", "lightning",
                 "dust and splinters", "licensed engineer", "local"):  # fmt: skip
        assert word in page.foot.value, word


def test_a_fault_of_the_page_is_said_and_logged(page, capfd) -> None:
    def broken(_: object) -> None:
        raise ZeroDivisionError

    from tubecalc.app.state import guard

    guard(page.session, broken)(None)
    assert "fault of its own" in page.status.value
    assert "ZeroDivisionError" in capfd.readouterr().err


def test_a_refusal_in_a_callback_is_one_sentence(page) -> None:
    from tubecalc.app.state import guard

    def refuse(_: object) -> None:
        raise InputError("is too large", where="x.csv")

    guard(page.session, refuse)(None)
    assert page.session.status == "x.csv: is too large."


def test_changes_make_no_new_widgets(page) -> None:
    page.units.value = "inch"
    page.units.value = "SI"
    count = len(_instances)
    for k in range(50):
        page.controls.od.slider.set_state({"value": [10.0, 30.0 + k / 4]})
        box(page, "case.0.load").input.value = f"{40 + k} N"
    assert len(_instances) == count


def test_cases_added_again_reuse_their_widgets(page) -> None:
    for _ in range(2):
        page.sentence.add_case.value = "push"
        page.sentence._crosses["case.1"].click()
    count = len(_instances)
    for _ in range(5):
        page.sentence.add_case.value = "push"
        page.sentence._crosses["case.1"].click()
    assert len(_instances) == count


def test_an_equal_choice_is_not_run_again() -> None:
    runs: list[object] = []

    def run(choice: object) -> object:
        runs.append(choice)
        return engine.run(choice)  # type: ignore[arg-type]

    session = Session(run, choose.start_choice()[0])
    session.change(units=session.choice.units)
    session.edit("case.0.span", session.choice.draft.get("case.0.span"))
    assert len(runs) == 1


def test_pictures_say_their_message(page) -> None:
    assert re.search(
        r'aria-label="Chart of mass over outside diameter: \d+ of \d+ pass', page.layer.value
    )
    assert 'aria-label="Wall to scale, bore' in page.answer.value
    assert "(governs)" in page.bars.value


def test_start_page_links_only_to_pages_that_exist() -> None:
    html = start.start_html()
    for name in re.findall(r'href="([^"]+)"', html):
        assert (datafiles.notebooks_dir() / name).is_file(), name
    for name in re.findall(r'href="([^"]+)"', choose.text.head_html("start")):
        assert (datafiles.notebooks_dir() / name).is_file(), name


def test_pages_hold_no_formulas() -> None:
    """No arithmetic of strength or stiffness in tubecalc/app: it never imports the rooms."""
    folder = Path(engine.__file__).parent
    for path in folder.rglob("*.py"):
        code = path.read_text(encoding="utf-8")
        assert "tubecalc.section" not in code, path.name
        assert "tubecalc.checks.strength" not in code, path.name
        assert "math.pi" not in code, path.name
