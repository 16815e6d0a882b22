"""The need as typed: nothing is lost on the way to the core and back."""

from __future__ import annotations

import pytest

from tubecalc import datafiles
from tubecalc.app.draft import CaseDraft, Draft, all_fields, from_toml, problems_of, to_toml
from tubecalc.app.grammar import CASES, CHIPS, LIMITS, START, fields_of
from tubecalc.need import ENDS, KINDS, Need

JOBS = sorted((datafiles.data_dir() / "jobs").glob("*.toml"))


@pytest.mark.parametrize("path", JOBS, ids=lambda p: p.stem)
def test_demo_job_means_the_same_after_the_page_had_it(path) -> None:
    text = path.read_text(encoding="utf-8")
    assert Need.from_toml(to_toml(from_toml(text))) == Need.from_toml(text)


@pytest.mark.parametrize("form", CASES)
def test_every_form_starts_with_a_case_the_core_accepts(form: str) -> None:
    draft = Draft(cases=(CaseDraft(form, START[form]),))
    assert problems_of(draft) == {}
    assert Need.from_toml(to_toml(draft)).cases


def test_forms_cover_every_kind_of_the_core() -> None:
    kinds = {"strut" if f in ("push", "pull") else f for f in CASES}
    assert kinds == set(KINDS)
    assert set(next(f for f in fields_of("push") if f.key == "ends").choices) == set(ENDS)


def test_a_push_is_compression_and_a_pull_is_tension() -> None:
    for form, sign in (("push", -1), ("pull", 1)):
        need = Need.from_toml(to_toml(Draft(cases=(CaseDraft(form, START[form]),))))
        assert need.cases[0].load == sign * 800.0
    assert (
        from_toml('[[case]]\nkind = "strut"\nload = "-5 N"\nspan = "1 m"').cases[0].form == "push"
    )


def test_what_the_sentence_does_not_show_is_kept() -> None:
    text = """
    title = "x"
    [[case]]
    kind = "strut"
    load = "-5 N"
    span = "1 m"
    guides = 2
    end_fitting = "plain"
    duration = "cyclic"
    [factors]
    strength = 1.5
    fatigue = 0.4
    criterion = "tsai-wu"
    [service]
    finish = "smooth"
    contact_metal = "6061-T6"
    weld = false
    wet = true
    insert = "6061-T6"
    """
    assert Need.from_toml(to_toml(from_toml(text))) == Need.from_toml(text)


@pytest.mark.parametrize(
    "fields",
    [
        'kind = "three-point"\nload = "5 N"\nspan = "1 m"\nown_weight = true\nplug = true\n'
        'touch = "bolt"\nhole = "4 mm"\nhole_place = "side"\nedge_distance = "12 mm"\n'
        'saddle_angle = "90 deg"\nduration = "long"\n',
        'kind = "pressure"\np_in = "5 bar"\nclosed = false\nduration = "cyclic"\ncycles = 1e6\n',
        'kind = "shaft"\ntorque = "5 N m"\nspan = "1 m"\noverhang = "80 mm"\ntip_mass = "1 kg"\n',
        'kind = "strut"\nload = "-5 N"\nspan = "1 m"\nends = 0.8\n',
    ],
    ids=["places", "pressure", "shaft", "effective length"],
)
@pytest.mark.parametrize("factors", ["", "[factors]\nsustained = 0\nfatigue = 0.3"])
def test_every_field_of_a_case_is_kept(fields: str, factors: str) -> None:
    text = f"[[case]]\n{fields}{factors}"
    assert Need.from_toml(to_toml(from_toml(text))) == Need.from_toml(text)


def test_a_lasting_load_asks_what_share_of_the_strength_counts() -> None:
    draft = Draft(cases=(CaseDraft("pull", START["pull"]),))
    assert "factors.sustained" not in dict(all_fields(draft))
    draft = draft.put("case.0.duration", "long")
    assert "factors.sustained" in dict(all_fields(draft))
    assert Need.from_toml(to_toml(draft)).factors.sustained == 0.0  # the published share
    assert dict(all_fields(draft))["factors.sustained"].blank == "published share"
    draft = draft.put("factors.sustained", "0.4")
    assert Need.from_toml(to_toml(draft)).factors.sustained == 0.4


@pytest.mark.parametrize("form", CASES)
def test_chips_are_offered_where_the_core_takes_them(form: str) -> None:
    for key, (_, forms) in CHIPS.items():
        draft = Draft(cases=(CaseDraft(form, START[form]),)).put(f"case.0.{key}", "yes")
        if form in forms:
            assert getattr(Need.from_toml(to_toml(draft)).cases[0], key) is True


def test_limits_of_the_core_can_all_be_added() -> None:
    draft = Draft(cases=(CaseDraft("pull", START["pull"]),))
    for key, (_, _, _, start) in LIMITS.items():
        draft = draft.put(f"limits.{key}", start)
    need = Need.from_toml(to_toml(draft))
    assert set(LIMITS) == set(need.limits.__dataclass_fields__)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1,2 m", "decimal comma"), ("3 kg", "length"), ("12", "unit"), ("nan m", "nan"),
        ("", "fill this in"), ("-1 m", ""), ("0 m", ""),
    ],
)  # fmt: skip
def test_a_wrong_entry_is_one_sentence_at_its_field(typed: str, said: str) -> None:
    draft = Draft(cases=(CaseDraft("cantilever", START["cantilever"]),)).put("case.0.span", typed)
    problems = problems_of(draft)
    if not said:  # the core refuses it: see test_page
        assert problems == {}
        return
    assert list(problems) == ["case.0.span"]
    assert said in problems["case.0.span"].lower()
    assert "\n" not in problems["case.0.span"]


def test_changing_the_form_keeps_what_both_share() -> None:
    draft = Draft(cases=(CaseDraft("cantilever", (("load", "7 N"), ("span", "5/8 in"))),))
    case = draft.with_form(0, "three-point").cases[0]
    assert (case.get("load"), case.get("span")) == ("7 N", "5/8 in")
    assert case.get("roller_width")


def test_all_fields_follow_the_sentence() -> None:
    draft = from_toml(JOBS[0].read_text(encoding="utf-8"))
    paths = [p for p, _ in all_fields(draft)]
    assert len(set(paths)) == len(paths)
    assert all(draft.get(p) or f.blank for p, f in all_fields(draft))


def test_titles_with_quotes_and_line_breaks_survive() -> None:
    draft = Draft('a "b" \\ c\nd', (CaseDraft("pull", START["pull"]),))
    assert Need.from_toml(to_toml(draft)).title == 'a "b" \\ c d'
