"""Page `layup` without a browser: the stack both ways, results of the core, refusals, the job."""

from __future__ import annotations

import base64
import io
import re
import time
from dataclasses import replace
from html import unescape

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ipywidgets.widgets.widget import _instances

from tubecalc.app import layup_work
from tubecalc.app.compare_state import CompareChoice, CompareSession
from tubecalc.app.layup_carry import key_of, with_tube
from tubecalc.app.layup_hunt import Hunt, taken
from tubecalc.app.layup_rows import MOST, Row, notation_of, read_rows, rows_from, rows_of
from tubecalc.app.layup_state import LayupChoice, LayupSession, Reader, choice_of, job_of
from tubecalc.app.layup_work import WORK, asked_of
from tubecalc.app.link import write_job
from tubecalc.app.outgoing import WAYS, Paper, write
from tubecalc.app.pages import choose, compare, layup
from tubecalc.app.pages.start import start_html
from tubecalc.app.state import Session
from tubecalc.app.text import head_html
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.laminate.layup import Layup
from tubecalc.need import Need
from tubecalc.plystress_reserve import carried, loads_of_case
from tubecalc.tube import Tube
from tubecalc.verdict import check

UD, CLOTH = "carbon-sm-ud", "carbon-woven"
HOSTILE = '<img src=x onerror="alert(1)">&"\'</style><script>x</script>'
STRUT = Need.from_toml('[[case]]\nkind = "strut"\nload = "20 kN"\nspan = "0.5 m"')


@pytest.fixture
def page() -> layup.Page:
    return layup.open_page("")


def angles(page: layup.Page) -> list[float]:
    return [p.angle for p in page.session.found["wall"].layup.plies]


def field(page: layup.Page, room: str, path: str) -> object:
    return page.rooms[room].form.fields[path]


def at(page: layup.Page, room: str, path: str, text: str) -> None:
    """Type into a field of a section."""
    page.sections.value = room
    page.rooms[room].form.fields[path].input.value = text


def said(page: layup.Page, room: str, path: str) -> str:
    return unescape(page.rooms[room].form.fields[path].message.value)


# --- the stack ------------------------------------------------------------------------------


def test_the_page_opens_with_a_wall_and_its_figures(page) -> None:
    assert page.session.problems == {}
    assert "<svg" in page.rooms["wall"].wall.value
    direct = Tube(Layup.of([(UD, 90, None), *[(UD, 0, None)] * 4, (CLOTH, 0, None)]), id="20 mm")
    shown = re.sub(r"<[^>]+>", " ", page.rooms["wall"].figures.value)
    assert f"{float(direct.EI.magnitude):.4g}" in shown
    assert "layup.ipynb" in head_html("choose")
    assert "layup.ipynb" in start_html()


def test_a_typed_sequence_lays_the_rows(page) -> None:
    page.sequence.input.value = "[90/+/-45_2/0_3f]"
    assert angles(page) == [90, 45, -45, 45, -45, 0, 0, 0]
    lines = page.rooms["wall"].editor.lines
    assert [ln.ply.value for ln in lines[:2]] == [UD, UD]
    assert lines[5].ply.value == CLOTH
    assert lines[5].fields["count"].input.value == "3"
    assert page.session.choice.get("sequence") == ""


def test_edited_rows_write_the_sequence(page) -> None:
    lines = page.rooms["wall"].editor.lines
    lines[1].fields["count"].input.value = "3"
    lines[2].ply.value = UD
    lines[2].fields["angle"].input.value = "90"
    assert page.sequence.input.value == "[90/0_3/90]"


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("[90/0_3", "at character 1"),
        ("[90/100]", "outside -90 to 90"),
        ("[90//0]", "at character 5"),
        ("[0_9999]", "plies"),
        ("[0_300]", "300 plies: up to 200"),
        ("[90Q/0]", "letter Q is no ply here"),
        ("x" * 400, "too long"),
    ],
)
def test_a_sequence_that_cannot_be_read_is_said_at_its_field(page, typed, words) -> None:
    before = angles(page)
    page.sequence.input.value = typed
    assert words in unescape(page.sequence.message.value)
    assert page.sequence.input.value == typed
    assert angles(page) == before
    assert "tc-stale" in page.rooms["wall"].wall._dom_classes
    with pytest.raises(InputError, match="Mend the marked field"):
        page._going()
    page.sequence.input.value = "[90/0]"
    assert page.sequence.message.value == ""
    assert "tc-stale" not in page.rooms["wall"].wall._dom_classes


@pytest.mark.parametrize(
    ("name", "typed", "words"),
    [
        ("angle", "91", "-90 to 90"),
        ("angle", "±45", "lay one row at +"),
        ("angle", "steep", "not a number"),
        ("count", "0", "no number of plies"),
        ("count", "2.5", "no number of plies"),
        ("count", "5000", "up to 200 plies"),
        ("thickness", "0.15", "no unit"),
        ("thickness", "-1 mm", "above zero"),
    ],
)
def test_a_field_of_a_row_says_what_is_wrong(page, name, typed, words) -> None:
    line = page.rooms["wall"].editor.lines[1]
    line.fields[name].input.value = typed
    assert words in unescape(line.fields[name].message.value)
    assert line.fields[name].input.value == typed
    assert page.session.stale


@pytest.mark.parametrize("typed", ["", "20", "0 mm", "-3 mm", "3 kg"])
def test_a_size_that_cannot_be_is_said(page, typed) -> None:
    page.size.input.value = typed
    assert page.size.message.value
    assert page.session.stale


def test_a_wall_too_thick_for_its_outside_is_said_at_the_size(page) -> None:
    page.by.menus["by"][0].value = "od"
    page.size.input.value = "1 mm"
    assert "thicker than the radius" in page.size.message.value


def test_an_empty_stack_is_said(page) -> None:
    for _ in range(3):
        page.rooms["wall"].editor._drop(0)()
    assert "empty" in page.rooms["wall"].editor.more.value
    assert page.session.stale
    page.rooms["wall"].editor._add()
    assert not page.session.stale


def test_rows_move_copy_mirror_and_repeat(page) -> None:
    editor = page.rooms["wall"].editor
    page.sequence.input.value = "[90/0_2]"
    editor._act(layup_work_moved, 0, 1)()
    assert angles(page) == [0, 0, 90]
    editor._copy(1)()
    assert angles(page) == [0, 0, 90, 90]
    page.sequence.input.value = "[90/0]"
    editor._all(mirror)
    assert angles(page) == [90, 0, 0, 90]
    editor.times.value = "3"
    editor._repeat()
    assert angles(page) == [90, 0, 0, 90] * 3
    for _ in range(6):
        editor._repeat() if len(angles(page)) * 3 <= MOST else None
    with pytest.raises(InputError, match="up to 200"):
        editor._repeat()


def layup_work_moved(rows, k, step):
    from tubecalc.app.layup_rows import moved

    return moved(rows, k, step)


def mirror(rows):
    from tubecalc.app.layup_rows import mirrored

    return mirrored(rows)


ROW = st.builds(
    Row, st.sampled_from([UD, CLOTH, "glass-ud", "carbon-hm-ud"]),
    st.sampled_from(["0", "90", "45", "-45", "30", "22.5", "-88.25"]),
    st.integers(1, 9).map(str), st.sampled_from(["", "0.2 mm", "0.31 mm"]),
)  # fmt: skip


@settings(max_examples=80, deadline=None)
@given(st.lists(ROW, min_size=1, max_size=8))
def test_rows_and_notation_are_one_stack(rows: list[Row]) -> None:
    """Written and read again every ply has its angle, material and thickness."""
    layers, wrong = read_rows(rows, {})
    assert wrong == {}
    again, _ = read_rows(rows_from(notation_of(rows, {}), rows, {}), {})

    def plies(some):
        return [(x.key, x.angle, round(x.thickness, 12)) for x in some for _ in range(x.count)]

    assert plies(again) == plies(layers)
    assert plies(read_rows(rows_of(layers, {}), {})[0]) == plies(layers)


def test_a_construction_is_laid_as_its_rule_makes_it(page) -> None:
    room = page.rooms["wall"]
    room.form.menus["from.what"][0].value = "roll-wrapped-45"
    room.form.fields["from.wall"].input.value = "1.5 mm"
    room.start.click()
    rule = Layup.from_construction("roll-wrapped-45", "1.5 mm")
    assert angles(page) == [p.angle for p in rule.plies]


def test_remarks_of_practice_follow_the_stack(page) -> None:
    page.sequence.input.value = "[0_6]"
    notes = page.rooms["wall"].notes.value
    assert "splits" in notes
    assert "6 plies" in notes
    page.sequence.input.value = "[90/0_2/90]"
    assert "nothing against" in page.rooms["wall"].notes.value or "cure" in (
        page.rooms["wall"].notes.value.lower()
    )


def test_matrices_are_there_on_demand(page) -> None:
    assert "<details>" in page.rooms["wall"].abd.value
    value = page.session.found["wall"].layup.abd[0, 0] * 1e-6
    assert f"{value:.4g}" in page.rooms["wall"].abd.value


# --- what it carries ------------------------------------------------------------------------


def test_a_case_of_the_job_is_carried_as_the_core_says(page) -> None:
    page.sections.value = "load"
    got, wall = page.session.found["load"], page.session.found["wall"]
    case = page.session.choice.job.need.cases[0]
    direct = carried(wall.tube, loads_of_case(wall.tube, case))
    assert got.carried.damaged.damage == direct.damaged.damage
    assert f"{direct.broken:.3g} times" in page.rooms["load"].words.value
    plain = Need(cases=page.session.choice.job.need.cases)
    verdict = check(wall.tube, plain)
    broken = verdict.table.set_index("check").loc["strength", "capacity"]
    moment = direct.broken * loads_of_case(wall.tube, case).moment
    assert moment <= float(broken) * 1.001  # shear acts too


def test_a_typed_load_is_carried(page) -> None:
    page.sections.value = "load"
    page.rooms["load"].form.menus["load.from"][0].value = "typed"
    at(page, "load", "load.moment", "")
    assert "No load" in page.rooms["load"].used.value
    at(page, "load", "load.axial", "2 kN")
    assert "2\u202f000 N along" in page.rooms["load"].used.value
    assert "tc-stale" not in page.rooms["load"].table._dom_classes
    at(page, "load", "load.axial", "2 kg")
    assert said(page, "load", "load.axial")
    assert "tc-stale" in page.rooms["load"].table._dom_classes


# --- from fibre and resin -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "typed", "words"),
    [
        ("ply.content", "95 %", "closest packing"),
        ("ply.content", "60", "no share"),
        ("ply.voids", "60 %", "out of range"),
        ("ply.thickness", "0.4 mm", "does not match the areal weight"),
        ("ply.areal_weight", "150", "no unit"),
        ("ply.content", "lots", "number"),
    ],
)
def test_what_no_ply_can_be_is_said_at_its_field(page, path, typed, words) -> None:
    at(page, "ply", path, typed)
    assert words in said(page, "ply", path)
    assert "tc-stale" in page.rooms["ply"].result._dom_classes


def test_a_made_ply_is_used_in_the_stack_and_travels(page) -> None:
    at(page, "ply", "ply.name", "our 150 g tape")
    page.rooms["ply"].use.click()
    assert page.session.choice.section == "wall"
    assert page.session.choice.rows[-1].ply == "our 150 g tape"
    assert page.session.problems == {}
    page.put_tube.click()
    job = Job.from_toml(job_of(page.session.choice).to_toml())
    again, refused = choice_of(job)
    assert refused == []
    assert again.rows == page.session.choice.rows
    assert again.plies["our 150 g tape"].si == page.session.choice.plies["our 150 g tape"].si


# --- burn-off ---------------------------------------------------------------------------------


def burnt(page: layup.Page, **texts: str) -> None:
    page.sections.value = "burn"
    start = {"sample_mass": "2.5 g", "residue_mass": "1.75 g", "sample_density": "1.85 g/cm3"}
    for name, text in (start | texts).items():
        if name == "gas":
            page.rooms["burn"].form.menus["burn.gas"][0].value = text
        else:
            page.rooms["burn"].form.fields[f"burn.{name.replace('__', '.')}"].input.value = text


def test_the_gas_is_asked_for(page) -> None:
    burnt(page)
    assert "carbon burns in air" in page.rooms["burn"].form.menus["burn.gas"][1].value


@pytest.mark.parametrize(
    ("texts", "path", "words"),
    [
        ({"residue_mass": "2.6 g"}, "burn.residue_mass", "weighs more than the sample"),
        ({"sample_mass": "2.5"}, "burn.sample_mass", "no unit"),
        ({"char_yield": "95 %"}, "burn.char_yield", "out of range"),
    ],
)
def test_a_burn_off_that_cannot_be_is_said(page, texts, path, words) -> None:
    burnt(page, gas="air", **texts)
    assert words in said(page, "burn", path)


def test_carbon_in_air_is_refused_with_the_cause(page) -> None:
    page.sections.value = "burn"
    page.rooms["burn"].form.menus["burn.fibre"][0].value = "carbon-sm"
    burnt(page, gas="air")
    assert "burns in air" in said(page, "burn", "burn.fibre_loss")


def test_voids_below_nil_are_explained(page) -> None:
    burnt(page, gas="air", sample_density="2.2 g/cm3")
    shown = page.rooms["burn"].said.value + page.rooms["burn"].result.value
    assert "void" in shown.lower()


def test_a_burnt_stack_is_taken_over_and_handed_on(page) -> None:
    seen = {
        "seen__0__angle": "90",
        "seen__0__areal_weight": "150 g/m2",
        "seen__1__angle": "0",
        "seen__1__areal_weight": "300 g/m2",
        "seen__1__count": "3",
        "tube__id": "20 mm",
    }
    burnt(page, gas="air", **seen)
    got = page.session.found["burn"]
    assert f"{100 * got.burnt.fibre_volume_fraction:.2f}" in page.rooms["burn"].result.value
    page.rooms["burn"].take.click()
    assert angles(page) == [90, 0, 0, 0]
    mine, theirs = page.session.found["wall"].tube, got.stack.tube
    assert float(mine.EI.magnitude) == pytest.approx(float(theirs.EI.magnitude), rel=1e-6)
    page.put_tube.click()
    job = page.session.choice.job
    for key in ("page", "csv", "xlsx"):
        name, _, content = write(key, job, Paper())
        assert name.endswith(WAYS[key].end)
        assert len(content) > 500


def test_a_seen_ply_that_does_not_match_is_said(page) -> None:
    burnt(page, gas="air", seen__0__angle="120", seen__0__areal_weight="150 g/m2")
    assert "out of range" in said(page, "burn", "burn.seen.0.angle")


# --- lightest stack --------------------------------------------------------------------------


def small(page: layup.Page) -> None:
    page.session.change(job=replace(page.session.choice.job, need=STRUT))
    page.sections.value = "hunt"
    for path, text in (("angles", "0, 90"), ("most", "4"), ("mandrels", "20 mm")):
        page.rooms["hunt"].form.fields[f"hunt.{path}"].input.value = text


def test_the_search_finds_what_the_core_finds_and_is_taken_over(page) -> None:
    small(page)
    room = page.rooms["hunt"]
    room.go.click()
    table = page.session.found["hunt"]
    assert table.attrs["proven"]
    assert table["stack"].iloc[0] in unescape(room.result.value)
    assert "Proven" in unescape(room.said.value)
    room.take.click()
    wall = page.session.found["wall"]
    assert float(wall.tube.mass_per_length.to("kg/m").magnitude) == pytest.approx(
        float(table["mass_kg_per_m"].iloc[0]), rel=1e-9
    )
    assert check(wall.tube, STRUT).passes


def test_a_search_can_be_stopped_and_keeps_what_it_found(page) -> None:
    small(page)
    asked = asked_of(page.session.choice, Reader(page.session.choice))
    assert asked is not None
    hunt = Hunt(STRUT, replace(asked, most=8, angles=(0.0, 30.0, 45.0, 60.0, 90.0)), "SI")
    hunt.start()
    hunt.stop()
    until = time.monotonic() + 60
    while hunt.going and time.monotonic() < until:
        time.sleep(0.02)
    assert not hunt.going
    assert hunt.error is None
    assert hunt.table.attrs["partial"] or hunt.table.attrs["proven"]


@pytest.mark.parametrize(
    ("path", "typed", "words"),
    [
        ("hunt.angles", "0, steep", "no angle"),
        ("hunt.angles", "0, 120", "outside -90 to 90"),
        ("hunt.most", "9000", "whole number"),
        ("hunt.mandrels", "20", "no unit"),
    ],
)
def test_a_search_form_that_cannot_be_is_said(page, path, typed, words) -> None:
    at(page, "hunt", path, typed)
    assert words in said(page, "hunt", path)
    page.rooms["hunt"].go.click()
    assert "mend the marked field" in page.session.status


def test_a_need_that_cannot_be_met_is_said_with_its_cause(page) -> None:
    small(page)
    hard = Need.from_toml('[[case]]\nkind = "strut"\nload = "900 kN"\nspan = "0.5 m"')
    page.session.change(job=replace(page.session.choice.job, need=hard))
    page.rooms["hunt"].go.click()
    assert "No stack of these plies" in unescape(page.rooms["hunt"].said.value)
    page.session.change(job=replace(page.session.choice.job, need=Need()))
    page.rooms["hunt"].go.click()
    assert "asks for nothing yet" in page.session.status


def test_a_row_of_two_materials_is_taken_over() -> None:
    row = {"stack": "[90_C/0_2C/0_f]", "materials": f"C = {UD}; f = {CLOTH}", "id_mm": 22.0}
    got = taken(LayupChoice(), row)
    assert got.rows == (Row(UD, "90", "1"), Row(UD, "0", "2"), Row(CLOTH, "0", "1"))
    assert (got.get("by"), got.get("size")) == ("bore", "22 mm")


# --- for the workshop ------------------------------------------------------------------------


def test_the_cutting_list_and_its_files(page) -> None:
    page.sections.value = "shop"
    room = page.rooms["shop"]
    made = page.session.found["shop"].cutting
    assert f"{float(made.table['width_mm'].iloc[0]):.1f}" in room.cutting.value
    at(page, "shop", "shop.wanted", "6 x 450 mm\n2 x 280 mm")
    room.planned.click()
    assert page.session.found["plan"].count == 2
    for kind in ("html", "csv", "xlsx"):
        name, _, content = room.write(kind)
        assert name == f"tubecalc-own-wall-workshop.{kind}"
        assert len(content) > 1000
    book = openpyxl.load_workbook(io.BytesIO(room.write("xlsx")[2]))
    assert "Cut plan" in book.sheetnames
    at(page, "shop", "shop.kerf", "3 mm")
    assert "plan again" in room.plan.value
    assert "Cut plan" not in openpyxl.load_workbook(io.BytesIO(room.write("xlsx")[2])).sheetnames


@pytest.mark.parametrize(
    ("path", "typed", "words"),
    [
        ("shop.overlap", "90 mm", "longer than the way round"),
        ("shop.length", "0 mm", "above zero"),
        ("shop.waste", "300 %", "out of range"),
        ("shop.tubes", "many", "whole number"),
        ("shop.angle", "2 deg", "out of range"),
        ("shop.band", "50 mm", "wider than its way round"),
    ],
)
def test_a_workshop_field_that_cannot_be_is_said(page, path, typed, words) -> None:
    at(page, "shop", path, typed)
    shown = [said(page, "shop", p) for p in (path, "shop.angle")]
    assert any(words in text for text in shown)
    with pytest.raises(InputError, match="mend the marked field"):
        page.rooms["shop"].write("csv")


@pytest.mark.parametrize(
    ("wanted", "stock", "words"),
    [("6 x 3 m", "2 m", "longer than every bar"), ("six", "2 m", "write how many"),
     ("6 x 450", "2 m", "no unit")],
)  # fmt: skip
def test_a_cut_plan_that_cannot_be_is_said(page, wanted, stock, words) -> None:
    at(page, "shop", "shop.wanted", wanted)
    at(page, "shop", "shop.stock", stock)
    page.rooms["shop"].planned.click()
    shown = said(page, "shop", "shop.wanted") + unescape(page.rooms["shop"].plan.value)
    assert words in shown


# --- the job ----------------------------------------------------------------------------------


def test_the_wall_goes_into_the_job_and_choose_and_compare_see_it(page) -> None:
    page.name.input.value = "Mast, thin"
    page.put_wall.click()
    job = page.session.choice.job
    assert list(job.walls) == ["own-mast-thin"]
    assert "has this wall" in page.known.value
    page.sequence.input.value = "[90/0_3/90]"
    assert "another wall of this name" in page.known.value
    page.put_tube.click()
    job = Job.from_toml(job_of(page.session.choice).to_toml())
    (one,) = job.candidates
    mine = page.session.found["wall"].tube
    assert float(one.tube(job).EI.magnitude) == pytest.approx(float(mine.EI.magnitude), rel=1e-6)
    beside = compare.Page(CompareSession(CompareChoice(job)))
    assert "Mast, thin" in beside.used.value
    chosen = choose.Page(Session(choose.engine.run, choose.start_choice()[0]))
    chosen._take(job, job.to_toml())
    assert "own-mast-thin" in [c.key for c in chosen.session.choice.own]


def test_the_same_name_takes_the_place_of_the_wall_and_keeps_the_others(page) -> None:
    page.put_tube.click()
    page.size.input.value = "24 mm"
    page.put_tube.click()
    (one,) = page.session.choice.job.candidates
    assert one.id == pytest.approx(0.024)
    page.name.input.value = "second"
    page.put_tube.click()
    assert len(page.session.choice.job.candidates) == 2


@pytest.mark.parametrize("name", ["", "   ", "x" * 100])
def test_a_wall_without_a_name_is_not_put(page, name) -> None:
    page.name.input.value = name
    page.put_wall.click()
    assert page.session.choice.job.walls == {}
    assert "name for a wall" in page.session.status


def test_the_state_of_the_page_survives_job_link_and_reload(page) -> None:
    page.sequence.input.value = "[90/+/-30_2/0_3f]"
    at(page, "load", "load.at", "60 degC")
    page.units.value = "inch"
    choice = page.session.choice
    again, refused = choice_of(Job.from_toml(job_of(choice).to_toml()))
    assert refused == []
    assert (again.rows, dict(again.texts), again.section) == (
        choice.rows, dict(choice.texts), "load",
    )  # fmt: skip
    opened = layup.open_page(write_job(job_of(choice)))
    assert opened.session.choice.rows == choice.rows
    assert opened.session.choice.job.units == "inch"


@pytest.mark.parametrize(
    "state",
    [
        {"rows": "many"}, {"rows": [["a"]]}, {"rows": [[1, 2, 3, 4]]}, {"section": "kitchen"},
        {"typed": [["x"]]}, {"typed": 7}, {"plies": [{"name": "carbon-sm-ud"}]},
        {"plies": [{"name": "p", "E1": "no"}]}, {"rows": [["q", "x" * 900, "1", ""]]},
    ],
)  # fmt: skip
def test_a_strangers_state_is_left_out_with_a_sentence(state) -> None:
    choice, refused = choice_of(Job(page={"layup": state}))
    assert len(refused) == 1
    assert choice.rows == LayupChoice().rows
    LayupSession(choice, WORK)


def test_hostile_names_stay_words(page) -> None:
    name = HOSTILE[:58]
    page.name.input.value = name
    at(page, "ply", "ply.name", name)
    page.rooms["ply"].use.click()
    page.put_tube.click()
    for section in ("wall", "load", "ply", "burn", "hunt", "shop"):
        page.sections.value = section
    every = [w for w in _instances.values() if type(w).__name__ == "HTML"]
    shown = [w.value for w in every if "tc-keep" not in w.value]
    assert not any("<img src" in v for v in shown)
    choice = page.session.choice
    job = with_tube(choice, page.session.found["wall"])
    assert key_of(name).replace("-", "").isalnum()
    assert b"<img src" not in write("page", job, Paper())[2]
    assert b"<img src" not in page.rooms["shop"].write("html")[2]


def test_nothing_piles_up_behind_the_page(page) -> None:
    for k in range(3):
        page.size.input.value = f"{20 + k} mm"
    before = len(_instances)
    for k in range(50):
        page.size.input.value = f"{24 + k % 9} mm"
        page.sections.value = ("wall", "load", "shop")[k % 3]
    assert len(_instances) == before


def test_a_file_of_the_shop_starts_to_download(page) -> None:
    page.sections.value = "shop"
    room = page.rooms["shop"]
    button = next(
        b for b in _instances.values() if getattr(b, "description", "") == "lists, CSV"
        and b in room.box.children[2].children
    )  # fmt: skip
    button.click()
    found = re.search(r"base64,([^\"]+)", room.file.value)
    assert found is not None
    assert b"piece,plies" in base64.b64decode(found[1])


def test_units_follow_the_job(page) -> None:
    page.units.value = "inch"
    assert "Msi" in page.rooms["wall"].figures.value
    assert layup_work.WORK is WORK
