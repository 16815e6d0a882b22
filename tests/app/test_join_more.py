"""Page `join`: poles and names in the job, one's own stock list, walls of one's own."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from html import unescape

import pytest

from tubecalc.app.join_state import choice_of, job_of
from tubecalc.app.link import write_job
from tubecalc.app.pages import join
from tubecalc.job import Candidate, Job
from tubecalc.joining.job_joints import entries, joint_rows, with_joint
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.joining.pole_judge import judged_pole

WRAP = Candidate("roll-wrapped-woven", 0.03, 0.026)
OWN = {"own 1": {"name": "my <b>wall</b>",
                 "fill": [{"ply": "carbon-sm-ud", "angle": 0, "count": 4},
                          {"ply": "glass-ud", "angle": 90, "count": 1}]}}  # fmt: skip
STOCK = b"id,construction,od_mm,id_mm,price,length_mm,currency\n" + b"".join(
    f"T{n},6063-T6,{20 + n},{16 + n},9,1000,EUR\n".encode() for n in range(1, 9)
)


@pytest.fixture
def page() -> join.Page:
    return join.open_page("")


def go(page: join.Page, room: str):
    page.sections.value = room
    return page.rooms[room]


def plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def _walk(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from _walk(child)


def press(page: join.Page, room: str, words: str) -> None:
    made = go(page, room)
    next(w for w in _walk(made.box) if getattr(w, "description", "") == words).click()


def upload(page: join.Page, content: bytes, name: str = "mine.csv") -> None:
    page.stock.upload.value = ({"name": name, "content": content, "type": "", "size": 1,
                                "last_modified": dt.datetime(2026, 1, 1)},)  # fmt: skip


# --- the pole and the names in the job ------------------------------------------------------------


def test_a_pole_enters_the_job_with_its_answer_and_travels(page) -> None:
    room = go(page, "pole")
    room.form.fields["pole.droop"].input.value = "200 mm"
    room.form.fields["pole.name"].input.value = "survey mast"
    press(page, "pole", "put this pole into the job")
    assert page.session.status == "The joint is in the job now, on tube 1."
    again = join.open_page(write_job(job_of(page.session.choice)))
    (row,) = joint_rows(again.session.choice.job)
    factor = again.session.choice.job.need.factors.strength
    direct = judged_pole(WRAP.tube(Job()), count=4, gap="0.3 mm", length="1 m", overlap="120 mm",
                         load="5 N", elevation="0 deg", droop="200 mm", factor=factor)  # fmt: skip
    assert (row.kind, row.name, row.passes) == ("pole", "survey mast", True)
    assert row.reserve == pytest.approx(direct.reserve, rel=1e-9)
    assert row.reserve == pytest.approx(again.session.found["pole"].judged.reserve, rel=1e-9)
    assert "survey mast" in again.joints.table.value
    assert "sections reach" in plain(again.joints.table.value)


def test_the_tip_takes_its_load_from_a_case_of_the_job(page) -> None:
    room = go(page, "pole")
    cases = page.session.choice.job.need.cases
    assert [k for _, k in room.form.menus["pole.from"][0].options] == ["typed", "case 1"]
    room.form.menus["pole.from"][0].value = "case 1"
    case = cases[0]
    want = case.load + case.tip_mass * 9.80665
    assert page.session.found["pole"].judged.pole.load == pytest.approx(want)
    assert "tc-gone" in room.form.boxes["pole.load"]._dom_classes
    assert plain(room.answer.value).startswith("Fails. Under")
    assert "meant for a reach of" in room.answer.value
    assert case.span < page.session.found["pole"].judged.pole.reach


def test_a_pole_that_may_bind_or_droops_too_far_says_so(page) -> None:
    room = go(page, "pole")
    room.form.fields["pole.droop"].input.value = "50 mm"
    assert plain(room.answer.value).startswith("Droops too far.")
    assert "50 mm is allowed" in room.answer.value.replace("\u202f", " ")
    room.form.fields["pole.droop"].input.value = ""
    room.form.fields["pole.gap"].input.value = "0.15 mm"
    assert plain(room.answer.value).startswith("Holds, but may bind.")
    room.form.fields["pole.droop"].input.value = "0 mm"
    assert "above zero" in unescape(room.form.fields["pole.droop"].message.value)


def test_names_keep_joints_of_one_kind_apart(page) -> None:
    press(page, "bolt", "put this bolt into the job")
    room = go(page, "bolt")
    room.form.fields["bolt.hole"].input.value = "6 mm"
    press(page, "bolt", "put this bolt into the job")
    assert "in place of the one of that kind and name" in page.session.status
    room.form.fields["bolt.name"].input.value = "  foot\tbolt "
    press(page, "bolt", "put this bolt into the job")
    assert [r.name for r in joint_rows(page.session.choice.job)] == ["bolt", "foot bolt"]
    assert page.joints.which.options[1][0] == "2 foot bolt"
    room.form.fields["bolt.name"].input.value = "x" * 61
    before = page.session.choice.job
    press(page, "bolt", "put this bolt into the job")
    assert "at most 60 letters" in page.session.status
    assert page.session.choice.job == before
    assert "put this clamp into the job" in {getattr(w, "description", "") for w in _walk(room.box)}


# --- one's own stock list -------------------------------------------------------------------------


def test_an_own_stock_list_is_opened_and_its_tubes_are_kept_with_the_job(page) -> None:
    upload(page, STOCK)
    assert page.session.status.startswith("mine.csv: 8 tubes read, 0 rows refused.")
    assert "mine.csv: 8 tubes" in plain(page.stock.note.value)
    menu = page.form.menus["tube.from"][0]
    assert ("own stock: T8, 6063-T6 28 × 24 mm", "own 8") in menu.options
    menu.value = "own 8"
    go(page, "slide").form.menus["slide.from"][0].value = "own 3"
    found = page.session.found["slide"].fit
    assert float(found.outer.id.m) == pytest.approx(24.0)
    assert float(found.inner.od.m) == pytest.approx(23.0)
    again, refused = choice_of(Job.from_toml(job_of(page.session.choice).to_toml()))
    assert refused == []
    later = join.open_page(write_job(job_of(again)))  # the list is not there any more
    fit = later.session.found["slide"].fit
    assert (float(fit.outer.od.m), float(fit.outer.id.m)) == pytest.approx((28.0, 24.0))
    assert (float(fit.inner.od.m), float(fit.inner.id.m)) == pytest.approx((23.0, 19.0))
    press(page, "slide", "put this fit into the job")
    job = page.session.choice.job
    assert (job.candidates[0].note, job.candidates[0].price, job.currency) == ("T8", 9.0, "EUR")


def test_a_price_in_another_currency_stays_out(page) -> None:
    page.session.change(job=replace(page.session.choice.job, currency="USD"))
    upload(page, STOCK)
    page.form.menus["tube.from"][0].value = "own 1"
    press(page, "bolt", "put this bolt into the job")
    assert "its price is left out" in page.session.status
    assert page.session.choice.job.candidates[0].price != 9.0


def test_a_second_list_keeps_what_was_taken_from_the_first(page) -> None:
    upload(page, STOCK)
    page.form.menus["tube.from"][0].value = "own 8"
    upload(page, b"id,construction,od_mm,id_mm\nA,304,30,28\n", "other.csv")
    assert page.session.choice.get("tube.from") == "typed"
    assert page.session.choice.get("tube.od") == "28 mm"
    assert page.session.found["tube"].candidate.od == pytest.approx(0.028)


def test_a_long_list_is_searched_and_what_is_taken_stays_in_the_menu(page) -> None:
    rows = "".join(f"L{n},304,{10 + n / 100},8\n" for n in range(500))
    upload(page, b"id,construction,od_mm,id_mm\n" + rows.encode())
    menu = page.form.menus["tube.from"][0]
    assert len(menu.options) == 1 + 300
    assert "find the one you mean" in page.stock.note.value
    menu.value = "own 2"
    page.stock.form.fields["stock.find"].input.value = "L499,"
    assert [k for _, k in menu.options] == ["typed", "own 2", "own 500"]
    assert menu.value == "own 2"


@pytest.mark.parametrize("content", [b"", b"\x00\x01", b"a,b\n1,2\n", b"id;od\nx;y\n"])
def test_a_list_that_cannot_be_read_is_said_and_changes_nothing(page, content) -> None:
    upload(page, content)
    assert page.session.status
    assert "Traceback" not in page.session.status
    assert page.session.choice.stock is None or page.session.choice.stock.entries == ()
    assert page.session.found["tube"].candidate.od == pytest.approx(0.03)


# --- walls of one's own ---------------------------------------------------------------------------


def with_own(page: join.Page) -> None:
    page.session.change(job=replace(page.session.choice.job, walls=OWN))


def test_an_insert_may_be_of_an_own_wall(page) -> None:
    with_own(page)
    room = go(page, "bond")
    assert ("my <b>wall</b> (own)", "own 1") in room.form.menus["bond.insert"][0].options
    room.form.menus["bond.insert"][0].value = "own 1"
    room.form.menus["bond.glue"][0].value = "epoxy-tough-warm"  # stands the 60 degC of the need
    assert page.session.problems == {}
    made = page.session.found["bond"].bond.asked.insert
    assert made.construction.name == "my <b>wall</b>"
    assert "<b>wall" not in room.picture.value
    press(page, "bond", "put this joint into the job")
    again = Job.from_toml(job_of(page.session.choice).to_toml())
    ((_, spec),) = entries(again)
    assert spec.given["insert"] == "own 1"
    (row,) = joint_rows(again)
    direct = page.session.found["bond"]
    assert row.reserve == pytest.approx(float(direct.bond.reserve.m) / direct.factor)
    lost = replace(again, walls={})
    assert joint_rows(lost)[0].passes is False
    assert "own 1" in joint_rows(lost)[0].why


def test_the_inner_tube_and_the_pole_may_be_of_an_own_wall(page) -> None:
    with_own(page)
    room = go(page, "slide")
    room.form.menus["slide.of"][0].value = "own 1"
    room.form.fields["slide.size"].input.value = "25.6 mm"
    told = room.form.fields["slide.outside"].message.value
    assert "tolerance of the outside is not known" in unescape(told)
    room.form.fields["slide.outside"].input.value = "+/-0.05 mm"
    assert page.session.problems == {}
    assert page.session.found["slide"].fit.inner.construction.name == "my <b>wall</b>"
    assert "<b>wall" not in room.answer.value + room.mind.value
    page.form.menus["tube.of"][0].value = "own 1"
    fields = go(page, "pole").form.fields
    assert "tolerance of the outside is not known" in unescape(fields["pole.outside"].message.value)
    fields["pole.outside"].input.value = "+/-0.05 mm"
    fields["pole.bore"].input.value = "+/-0.03 mm"
    assert page.session.problems == {}
    tubes = page.session.found["pole"].judged.pole.tubes
    assert {t.construction.name for t in tubes} == {"my <b>wall</b>"}


# --- pictures, worst case and likely, and where mistakes are said ---------------------------------


@pytest.mark.parametrize(
    ("room", "pictures", "words"),
    [
        ("bond", 2, "likely least, one joint in a thousand less"),
        ("bolt", 2, "How far bearing and shear-out scatter"),
        ("metal", 1, "No statistical answer: the table grades pairs"),
        ("heat", 3, "likely least, root sum square"),
        ("pole", 1, "likely most, one pole in a thousand more"),
        ("slide", 1, "chance of binding"),
    ],
)
def test_each_part_has_a_picture_a_grade_and_worst_and_likely(page, room, pictures, words) -> None:
    made = go(page, room)
    shown = "".join(w.value for w in made.results)
    assert shown.count('<svg class="broad"') == pictures
    assert shown.count('<svg class="slim"') == pictures  # the style sheet shows one of the two
    assert shown.count('role="img"') == 2 * pictures
    assert shown.count("aria-label=") >= 2 * pictures
    assert words in plain(shown)
    assert "Grade <b>" in shown


@pytest.mark.parametrize(
    ("path", "typed", "words"),
    [
        ("bolt.edge", "0 mm", "above zero"), ("bolt.load", "0 N", "needs a load"),
        ("clamp.washer", "4 mm", "wider than its hole"),
        ("clamp.washer", "40 mm", "wider than the tube"),
        ("heat.length", "0 mm", "above zero"), ("pole.lean", "200 deg", "right angle at most"),
        ("pole.at", "200 degC", "soft so hot"), ("pole.outside", "H7", "other kind of letter"),
        ("pole.droop", "soon", "does not start with a number"),
    ],
)  # fmt: skip
def test_a_mistake_is_said_at_its_field(page, path, typed, words) -> None:
    room = {"clamp": "bolt"}.get(path.split(".")[0], path.split(".")[0])
    field = go(page, room).form.fields[path]
    field.input.value = typed
    assert words in unescape(field.message.value)
    assert set(page.session.problems) == {path}


def test_a_bond_that_the_cold_alone_parts_has_no_odd_number(page) -> None:
    room = go(page, "bond")
    for path, text in (("bond.glue", "epoxy-stiff"), ("bond.gap", "0.1 mm"),
                       ("bond.off", "0.09 mm"), ("bond.cold", "-60 degC"),
                       ("bond.overlap", "100 mm"), ("bond.broke", "9 kN")):  # fmt: skip
        form = room.form
        (form.fields[path].input if path in form.fields else form.menus[path][0]).value = text
    assert page.session.status == ""
    assert page.session.problems == {}
    shown = plain("".join(w.value for w in room.results))
    assert "The joint gives way first, reserve 0 under" in shown
    assert "heat or cold alone parts this bond" in shown
    assert "no length helps" in room.curve.value
    press(page, "bond", "put this joint into the job")
    (row,) = joint_rows(page.session.choice.job)
    assert (row.passes, row.reserve) == (False, 0.0)
    assert "nan" not in shown.split()
    assert not re.search(r"\de-\d\d", shown)


# --- a joint opens again in its room --------------------------------------------------------------

FILLED = {
    "slide": (("slide.of", "pultruded"), ("slide.size", "25.5 mm"),
              ("slide.at", "-10 degC, 50 degC"), ("slide.outside", "+/-0.02 mm"),
              ("slide.bore", "25.98 mm, 26 mm, 26.02 mm"), ("slide.out_of_round", "0.01 mm"),
              ("slide.name", "drawer")),
    "pole": (("pole.count", "3"), ("pole.length", "1 m, 0.9 m, 0.8 m"), ("pole.wall", "1 mm"),
             ("pole.droop", "300 mm"), ("pole.at", "50 degC"), ("pole.lean", "30 deg")),
    "bond": (("bond.insert", "304-annealed"), ("bond.wall", "2 mm"), ("bond.glue", "epoxy-stiff"),
             ("bond.axial", ""), ("bond.torque", "9 N m"), ("bond.cold", "-10 degC"),
             ("bond.taper", "10 mm"), ("bond.off", "0.05 mm"), ("bond.scarf", "no"),
             ("bond.prepared", "blasted"), ("bond.name", "foot")),
    "bolt": (("bolt.hole", "6 mm"), ("bolt.edge", ""), ("bolt.moment", "3 N m"),
             ("bolt.place", "side"), ("bolt.pin", "304-annealed")),
}  # fmt: skip
PUT = {"slide": "put this fit into the job", "pole": "put this pole into the job",
       "bond": "put this joint into the job", "bolt": "put this bolt into the job"}  # fmt: skip


def fill(room, path: str, text: str) -> None:
    form = room.form
    if path in form.fields:
        form.fields[path].input.value = text
    elif path in form.menus:
        form.menus[path][0].value = text
    else:
        form.ticks[path].value = text == "yes"


@pytest.mark.parametrize("key", list(FILLED))
def test_a_joint_opens_again_as_it_was_put_into_the_job(page, key) -> None:
    room = go(page, key)
    for path, text in FILLED[key]:
        fill(room, path, text)
    assert page.session.problems == {}
    press(page, key, PUT[key])
    ((_, spec),) = entries(page.session.choice.job)
    other = join.open_page(write_job(job_of(page.session.choice)))
    other.session.choice = replace(other.session.choice, texts={}, section="heat")
    other.joints.open.click()
    assert other.session.status.startswith("The joint is open in its room")
    assert other.sections.value == key
    assert other.session.problems == {}
    press(other, key, PUT[key])
    ((tube, again),) = entries(other.session.choice.job)
    assert tube == WRAP
    assert again == spec


def test_a_clamp_and_a_fit_with_a_stock_tube_open_again(page) -> None:
    room = go(page, "bolt")
    fill(room, "clamp.style", "one slit")
    fill(room, "clamp.plug", "yes")
    fill(room, "clamp.load", "200 N")
    press(page, "bolt", "put this clamp into the job")
    go(page, "slide").form.menus["slide.from"][0].value = "stock PU-10"
    press(page, "slide", "put this fit into the job")
    before = page.session.found["slide"].fit
    specs = [s for _, s in entries(page.session.choice.job)]
    page.session.choice = replace(page.session.choice, texts={})
    page.joints.which.value = 0
    page.joints.open.click()
    press(page, "bolt", "put this clamp into the job")
    assert next(s for _, s in entries(page.session.choice.job) if s.kind == "clamp") == specs[0]
    page.joints.which.value = next(
        n for n, (_, s) in enumerate(entries(page.session.choice.job)) if s.kind == "fit"
    )
    page.joints.open.click()
    found = page.session.found["slide"].fit
    assert float(found.inner.od.m) == pytest.approx(float(before.inner.od.m))
    assert float(found.inner.id.m) == pytest.approx(float(before.inner.id.m))


def test_a_joint_without_its_tube_or_that_no_room_can_show_says_so(page) -> None:
    gone = with_joint(Job(), WRAP, JointSpec("bolt", given={"hole": "5 mm"}))
    gone = replace(gone, candidates=())
    page.session.change(job=gone)
    page.joints.which.value = 0
    page.joints.open.click()
    assert "not among those of the job" in page.session.status
    odd = with_joint(Job(), WRAP, JointSpec("fit", given={"inner": "x"}))
    page.session.change(job=odd)
    page.joints.open.click()
    assert "not one that a room can show" in page.session.status


def test_a_clamp_says_whether_it_grips_as_the_job_does(page) -> None:
    room = go(page, "bolt")
    assert plain(room.clamp.value).startswith("First crack sets the limit.")
    factor = page.session.choice.job.need.factors.strength
    for load, word in ((300.0, "It grips."), (900.0, "It slips.")):
        fill(room, "clamp.load", f"{load} N")
        slip = page.session.found["bolt"].clamp.slip
        assert plain(room.clamp.value).startswith(word)
        press(page, "bolt", "put this clamp into the job")
        (row,) = joint_rows(page.session.choice.job)
        dry = 0.15 / 0.3  # nut factor of a lubricated screw over that of a dry one
        assert row.reserve == pytest.approx(slip * dry / load / factor)
        assert row.passes == (word == "It grips.")
        assert "if they are dry" in row.why
