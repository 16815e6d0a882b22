"""Page `join` without a browser: answers of the core, refusals at fields, joints in the job."""

from __future__ import annotations

import re
from dataclasses import replace
from html import unescape

import pytest
from ipywidgets.widgets.widget import _instances

import tubecalc as tc
from tubecalc.app.carry import candidate_of
from tubecalc.app.compare_state import CompareSession
from tubecalc.app.join_rooms import MEND
from tubecalc.app.join_state import SECTIONS, START, JoinChoice, choice_of, job_of
from tubecalc.app.link import write_job
from tubecalc.app.opening_compare import first_job, start_choice
from tubecalc.app.outgoing import Paper, write
from tubecalc.app.pages import choose, compare, join
from tubecalc.app.pages.start import start_html
from tubecalc.app.text import head_html
from tubecalc.job import Candidate, Job
from tubecalc.joining.galvanic import galvanic
from tubecalc.joining.job_joints import joint_rows, with_joint
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.joining.nested import telescope

HOSTILE = '<img src=x onerror="alert(1)">&"\'</style><script>x</script>'
WRAP = Candidate("roll-wrapped-woven", 0.03, 0.026)


@pytest.fixture
def page() -> join.Page:
    return join.open_page("")


def go(page: join.Page, room: str):
    page.sections.value = room
    return page.rooms[room]


def at(page: join.Page, room: str, path: str, text: str) -> None:
    """Type into a field of a section."""
    form = page.form if path.startswith("tube.") else go(page, room).form
    form.fields[path].input.value = text


def said(page: join.Page, path: str) -> str:
    room = "slide" if path.startswith("wear.") else path.split(".")[0]
    form = page.form if room == "tube" else page.rooms[
        "bolt" if room == "clamp" else room].form  # fmt: skip
    return unescape(form.fields[path].message.value)


def plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


# --- every room answers -----------------------------------------------------------------------


def test_the_page_stands_among_the_others() -> None:
    assert "join.ipynb" in head_html("choose")
    assert "join.ipynb" in start_html()
    assert 'aria-current="page">join' in head_html("join")


@pytest.mark.parametrize("room", list(SECTIONS))
def test_every_room_opens_with_an_answer(page, room) -> None:
    made = go(page, room)
    assert page.session.problems == {}
    assert page.session.status == ""
    assert any(w.value for w in made.results)
    hidden = [k for k, r in page.rooms.items() if "tc-gone" in r.box._dom_classes]
    assert room not in hidden
    assert len(hidden) == len(SECTIONS) - 1


def test_equal_sizes_bind_and_the_page_says_what_to_take_off(page) -> None:
    at(page, "slide", "tube.od", "6 mm")
    at(page, "slide", "tube.id", "4 mm")
    room = go(page, "slide")
    page.form.menus["tube.of"][0].value = "pultruded"
    room.form.menus["slide.of"][0].value = "pultruded"
    room.form.fields["slide.wall"].input.value = "0.75 mm"
    direct = tc.fit(tc.Tube("pultruded", od="4 mm", id="2.5 mm"),
                    tc.Tube("pultruded", od="6 mm", id="4 mm"), overlap="100 mm")  # fmt: skip
    words = plain(room.answer.value)
    assert direct.verdict == "will bind"
    assert words.startswith("Will bind.")
    assert f"take {round(direct.take_off.typical * 1e3, 3):g} mm off" in words
    assert "Grade C" in words
    assert "measure the tubes" in words
    assert "cross-section" in room.picture.value
    room.form.fields["slide.size"].input.value = "3.8 mm"
    assert plain(room.answer.value).startswith("Slides")


def test_this_tube_may_be_the_inner_one(page) -> None:
    room = go(page, "slide")
    room.form.menus["slide.role"][0].value = "inner"
    room.form.fields["slide.size"].input.value = "30.6 mm"
    found = page.session.found["slide"].fit
    assert float(found.inner.od.m) == pytest.approx(30.0)
    assert float(found.outer.id.m) == pytest.approx(30.6)


def test_measured_sizes_a_press_fit_and_wear_are_asked_for(page) -> None:
    room = go(page, "slide")
    fields = room.form.fields
    fields["slide.size"].input.value = "25.8 mm"
    fields["slide.outside"].input.value = "25.79 mm, 25.80 mm, 25.81 mm"
    assert page.session.found["slide"].fit.outside.grade == "A"
    fields["wear.cycles"].input.value = "10000"
    assert "Wear" in room.figures.value
    assert page.session.found["slide"].wear is not None
    fields["wear.cycles"].input.value = ""
    fields["slide.outside"].input.value = "0.01 mm"
    fields["slide.bore"].input.value = "0.01 mm"
    fields["slide.size"].input.value = "26.04 mm"
    assert "larger than the bore" in said(page, "slide.size")
    room.form.ticks["slide.press"].value = True
    assert page.session.problems == {}
    assert "Press fit" in room.figures.value


def test_stock_tubes_go_into_the_tube(page) -> None:
    page.form.menus["tube.from"][0].value = "stock PU-10"
    go(page, "slide").form.menus["slide.from"][0].value = "stock PU-07"
    found = page.session.found["slide"].fit
    assert float(found.outer.id.m) == pytest.approx(4.0)
    assert float(found.inner.od.m) == pytest.approx(4.0)
    assert found.verdict == "will bind"


def test_the_pole_is_that_of_the_core(page) -> None:
    room = go(page, "pole")
    tubes = telescope("roll-wrapped-woven", od="30 mm", wall="2 mm", count=4, gap="0.3 mm")
    direct = tc.nested(tubes, length="1 m", overlap="120 mm", load="5 N")
    assert page.session.found["pole"].judged.pole.droop == pytest.approx(direct.droop, rel=1e-9)
    assert "Load pair at every joint" in room.figures.value
    assert "droop" in room.picture.value
    at(page, "pole", "pole.overlap", "2 m")
    assert "not shorter than its section" in said(page, "pole.overlap")


def test_the_bond_is_that_of_the_core_and_says_what_governs(page) -> None:
    at(page, "bond", "bond.torque", "20 N m")
    room = go(page, "bond")
    assert plain(room.answer.value).startswith(  # of the job: up to 60 degC
        "Too hot for the adhesive. The adhesive is good to 40 °C, the need asks 60 °C. The joint"
    )
    need = page.session.choice.job.need
    cool = replace(need, service=replace(need.service, temperature=35.0))
    page.session.change(job=replace(page.session.choice.job, need=cool))
    direct = tc.bond(tc.Tube("roll-wrapped-woven", od="30 mm", id="26 mm"), "6061-T6",
                     insert_wall="3 mm", overlap="30 mm", axial="2 kN",
                     torque="20 N m")  # fmt: skip
    factor = page.session.choice.job.need.factors.strength
    words = plain(room.answer.value)
    assert words.startswith("Holds. The joint gives way first")
    assert f"reserve {float(direct.reserve.m) / factor:.2f}" in words
    assert f"{100 * float(direct.efficiency.m):.0f} %" in words
    assert "more does nothing" in room.curve.value
    assert "shear stress" in room.picture.value
    curve = page.session.found["bond"].curve
    assert len(curve) > 20
    assert curve.asked.overlap[-1] > float(direct.useful_overlap.m) / 1e3


def test_the_slider_and_the_field_are_one(page) -> None:
    room = go(page, "bond")
    room.slider.value = 44.0
    assert page.session.choice.get("bond.overlap") == "44 mm"
    assert room.form.fields["bond.overlap"].input.value == "44 mm"
    room.form.fields["bond.overlap"].input.value = "400 mm"
    assert page.session.choice.get("bond.overlap") == "400 mm"  # not bent to the slider's end
    assert "outside the slider" in room.beyond.value
    assert float(page.session.found["bond"].bond.asked.overlap[0]) == pytest.approx(0.4)


def test_a_load_is_taken_from_the_job(page) -> None:
    room = go(page, "bond")
    room.form.menus["bond.from"][0].value = "case 1"
    assert "tc-gone" in room.loads._dom_classes
    loads = page.session.found["bond"].bond.asked.loads
    assert float(abs(loads.moment[0])) > 50
    assert float(loads.axial[0]) == 0.0


def test_pairs_of_metals_are_those_of_the_table(page) -> None:
    room = go(page, "metal")
    room.form.menus["metal.env"][0].value = "salt"
    couple = galvanic("carbon", "aluminium", "salt")
    assert plain(room.answer.value).startswith("Must not touch.")
    assert couple.grade == "no"
    assert "the aluminium is eaten" in plain(room.answer.value)
    rows = re.findall(r"<tr>.*?</tr>", room.table.value.split("<tbody>")[1])
    assert len(rows) == len(page.session.found["metal"].rows) > 10


def test_heat_names_the_weakest_and_how_far_it_grows(page) -> None:
    room = go(page, "heat")
    assert plain(room.answer.value).startswith("The adhesive is too weak.")
    room.form.menus["heat.by"][0].value = "typed"
    room.form.fields["heat.at"].input.value = "30 degC"
    assert plain(room.answer.value).startswith("Stands it.")
    room.form.menus["heat.surface"][0].value = "white-paint"
    room.form.menus["heat.by"][0].value = "sun"
    assert page.session.found["heat"].sun.hottest < 60
    assert "running back" in room.growth.value or "end to end" in room.growth.value


def test_the_workshop_warns_of_dust_and_splinters_first(page) -> None:
    room = go(page, "shop")
    words = plain(room.notes.value)
    assert words.index("Dust of carbon") < words.index("Cutting")
    assert "splinters" in words
    assert "Local rules" in words
    room.form.menus["shop.work"][0].value = "drilling"
    assert "Sharp carbide" in room.notes.value
    assert "Wet paper" not in room.notes.value


# --- what is wrong -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "typed", "words"),
    [
        ("slide.size", "27 mm", "larger than the bore"),
        ("slide.outside", "-0.1 mm", "one sign"),
        ("slide.outside", "-0.1/0 mm", "upper limit stands first"),
        ("slide.outside", "H7", "other kind of letter"),
        ("slide.iso", "H7/x99", "no tolerance grade"),
        ("slide.overlap", "ten", ""),
        ("slide.at", "60 degC, hot", ""),
        ("pole.gap", "0 mm", "equal sizes do not slide"),
        ("pole.count", "1", "whole number"),
        ("bond.gap", "0 mm", "no room for adhesive"),
        ("bond.gap", "3 mm", "more than"),
        ("bond.hot", "90 degC", "above its temperature"),
        ("bond.overlap", "", "Fill this in"),
        ("bond.wall", "14 mm", "fills its bore"),
        ("bond.taper", "80 mm", "longer than the overlap"),
        ("bolt.hole", "40 mm", "as wide as the bore"),
        ("bolt.edge", "2 mm", "runs out of the end"),
        ("clamp.screws", "0", "whole number"),
        ("heat.wind", "-3 m/s", "nought or more"),
        ("tube.od", "20", ""),
    ],
)  # fmt: skip
def test_a_wrong_field_says_so_and_greys_the_last_good_result(page, path, typed, words) -> None:
    room = {"clamp": "bolt", "tube": "slide"}.get(path.split(".")[0], path.split(".")[0])
    made = go(page, room)
    before = [w.value for w in made.results]
    at(page, room, path, typed)
    assert page.session.problems, path
    told = said(page, path)
    assert told, page.session.problems
    assert words in told
    assert [w.value for w in made.results] == before
    assert all("tc-stale" in w._dom_classes for w in made.results)
    assert MEND in unescape(made.said.value)
    form = page.form if path.startswith("tube.") else made.form
    form.fields[path].input.value = START.get(path, "")
    assert page.session.problems == {}
    assert all("tc-stale" not in w._dom_classes for w in made.results)


def test_an_overlap_longer_than_its_part_is_refused_at_the_overlap(page) -> None:
    at(page, "bond", "bond.long", "20 mm")
    assert "longer than the insert" in said(page, "bond.overlap")


def test_nothing_goes_into_the_job_from_a_wrong_field(page) -> None:
    at(page, "bond", "bond.gap", "0 mm")
    before = page.session.choice.job
    press(page, "bond", "put this joint into the job")
    assert "mend the marked field" in page.session.status
    assert page.session.choice.job == before


def _walk(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from _walk(child)


def press(page: join.Page, room: str, words: str) -> None:
    made = go(page, room)
    next(w for w in _walk(made.box) if getattr(w, "description", "") == words).click()


# --- joints in the job ---------------------------------------------------------------------------


def test_joints_enter_the_job_and_travel(page) -> None:
    press(page, "bond", "put this joint into the job")
    press(page, "slide", "put this fit into the job")
    press(page, "bolt", "put this bolt into the job")
    press(page, "bolt", "put this clamp into the job")
    job = job_of(page.session.choice)
    assert job.candidates == (WRAP,)
    assert [r.kind for r in joint_rows(job)] == ["bond", "fit", "bolt", "clamp"]
    assert page.session.choice.get("tube.from") == "1"
    again = join.open_page(write_job(job))
    assert [r.kind for r in joint_rows(again.session.choice.job)] == [
        "bond",
        "fit",
        "bolt",
        "clamp",
    ]
    assert again.sections.value == "bolt"
    assert "sliding fit" in page.joints.table.value
    page.joints.which.value = 0
    page.joints.out.click()
    assert [r.kind for r in joint_rows(page.session.choice.job)] == ["fit", "bolt", "clamp"]


def test_what_is_typed_round_trips_through_a_file(page) -> None:
    at(page, "bond", "bond.overlap", "41 mm")
    job = Job.from_toml(job_of(page.session.choice).to_toml())
    choice, refused = choice_of(job)
    assert refused == []
    assert choice.get("bond.overlap") == "41 mm"
    assert choice.section == "bond"


@pytest.mark.parametrize(
    "state",
    [{"section": "x"}, {"section": 3}, {"typed": "abc"}, {"typed": [["a"]]}, {"typed": [[1, 2]]},
     {"typed": [["a", "b" * 500]]}, {"joints": [3]}],
)  # fmt: skip
def test_a_state_that_is_wrong_is_left_out_with_a_word(state) -> None:
    choice, refused = choice_of(Job(page={"join": state}))
    assert len(refused) == 1
    assert choice.texts == {}


def test_hostile_text_stays_text() -> None:
    job = replace(first_job(), candidates=(replace(WRAP, label=HOSTILE),), chosen=0)
    job = with_joint(job, job.candidates[0], JointSpec("thread", name=HOSTILE))
    page = join.open_page("")
    page._take(job, "")
    at(page, "slide", "slide.iso", HOSTILE)
    every = [w.value for w in _walk(page.box) if type(w).__name__ == "HTML"]
    shown = " ".join(v for v in every if "<style>" not in v and "<pre hidden" not in v)
    assert "<img" not in shown
    assert "<script" not in shown
    assert "&lt;img" in shown


def test_the_comparison_and_the_papers_say_that_the_joint_governs() -> None:
    base = replace(first_job(), chosen=2)
    tube = base.candidates[2]
    given = {"insert": "6061-T6", "insert_wall": "3 mm", "overlap": "12 mm", "moment": "75 N m"}
    weak = with_joint(base, tube, JointSpec("bond", given=given))
    (row,) = joint_rows(weak)
    assert row.passes is False
    html = compare.Page(CompareSession(start_choice(write_job(weak))[0])).box
    shown = " ".join(w.value for w in _walk(html) if type(w).__name__ == "HTML")
    assert "The tube passes, its joint does not: bonded joint" in shown
    paper = write("page", weak, Paper())[2].decode("utf-8")
    assert "Tube passes, its joint does not" in paper
    assert "joint: bonded joint" in paper
    assert "joint does not hold: bonded joint" in tc.quote_text(weak)
    table = write("csv", weak, Paper())[2].decode("utf-8-sig")
    assert "its joint does not: bonded joint" in table
    assert write("datasheet", weak, Paper())[2].startswith(b"%PDF")
    without = write("csv", base, Paper())[2].decode("utf-8-sig")
    assert "joint" not in without.splitlines()[0]


def test_page_choose_says_what_the_joint_of_the_selected_tube_adds() -> None:
    page = choose.open_page("")
    result = page.session.result
    tube = candidate_of(result.sheet.keys[result.row])
    given = {"insert": "6061-T6", "insert_wall": "3 mm", "overlap": "12 mm", "moment": "75 N m"}
    before = page.answer.value
    job = with_joint(page.job_now(), tube, JointSpec("bond", given=given))
    page.keeper._open(job, job.to_toml())
    assert "The tube passes, its joint does not: bonded joint" in page.answer.value
    assert "joint" not in before


# --- the machine ---------------------------------------------------------------------------------


def test_changes_leave_no_widgets_behind(page) -> None:
    for room in SECTIONS:
        go(page, room)
    before = len(_instances)
    for n in range(20):
        at(page, "slide", "slide.size", f"{25 + n / 40} mm")
        go(page, "heat")
    assert len(_instances) == before


def test_another_job_keeps_what_is_typed_unless_it_has_its_own(page) -> None:
    at(page, "bond", "bond.overlap", "41 mm")
    page._take(first_job(), "")
    assert page.session.choice.get("bond.overlap") == "41 mm"
    own = job_of(replace(JoinChoice(first_job()), section="heat"))
    page._take(own, "")
    assert page.session.choice.get("bond.overlap") == "30 mm"
    assert page.sections.value == "heat"


def test_units_of_the_job_are_those_of_the_answers(page) -> None:
    go(page, "pole")
    page.units.value = "inch"
    assert " in " in plain(page.rooms["pole"].answer.value)
    go(page, "slide")
    assert " in outside into a " in plain(page.rooms["slide"].answer.value)


def test_a_force_across_bends_a_bond_most_at_its_deep_end(page) -> None:
    """By hand: 100 N at 1 m, plug 50 mm deep: 100 N m at the mouth, 105 N m at the deep end."""
    need = tc.Need.from_toml(
        'format = 1\n[[case]]\nname = "reach"\nkind = "cantilever"\nload = "100 N"\nspan = "1 m"\n'
    )
    page.session.choice = replace(page.session.choice, job=Job(need, (WRAP,)))
    go(page, "bond")
    for path, text in (("bond.overlap", "50 mm"), ("bond.from", "case 1")):
        page.session.edit(path, text)
    found = page.session.found["bond"]
    assert float(found.bond.asked.loads.moment[0]) == pytest.approx(105.0, rel=1e-6)
    assert found.loads == "reach, its moment that at the deep end of the overlap"
