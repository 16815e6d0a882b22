"""Stacking sequences, both ways: published examples, round trips, and what is refused where.

Rules and examples: ASTM D6507, laminate orientation code, as told in TM 1-1500-204-23-11 (US Army
2010) sec. 5-7, seen; MIL-HDBK-17-2F sec. 1.6.1, recalled.
"""

from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.laminate.notation import (
    MOST_PLIES,
    Mark,
    read_notation,
    read_plies,
    stack_code,
    write_notation,
)

ANGLES = st.sampled_from((0.0, 90.0, 45.0, -45.0, 30.0, -30.0, 22.5, -90.0))
TAGS = st.sampled_from(("", "C", "f", "Gl"))
MARKS = st.builds(Mark, ANGLES, TAGS)


@st.composite
def stacks(draw):
    """Stacks as people make them: sets, repeated, mirrored, with a middle ply."""
    marks = draw(st.lists(MARKS, min_size=1, max_size=7)) * draw(st.integers(1, 4))
    how = draw(st.sampled_from(("", "s", "odd")))
    if how:
        middle = draw(st.lists(MARKS, min_size=1, max_size=1)) if how == "odd" else []
        marks = marks + middle + marks[::-1]
    return marks


@pytest.mark.parametrize(
    ("text", "plies"),
    [
        ("[90/0_3/90]", [90, 0, 0, 0, 90]),
        ("[+/-45]_s", [45, -45, -45, 45]),
        ("[±45]s", [45, -45, -45, 45]),
        ("[∓45]", [-45, 45]),
        ("[-/+45]", [-45, 45]),
        ("[0/45/90]S", [0, 45, 90, 90, 45, 0]),
        ("[0/45/90bar]s", [0, 45, 90, 45, 0]),
        ("[0/45/9̅0̅]ₛ", [0, 45, 90, 45, 0]),
        (r"[0/\pm45/\overline{90}]_{s}", [0, 45, -45, 90, -45, 45, 0]),
        ("[0/90bar_3]s", [0, 90, 90, 90, 0]),  # three half plies on either side of the middle
        ("[0/90]2s", [0, 90, 0, 90, 90, 0, 90, 0]),
        ("[0/90]_2T", [0, 90, 0, 90]),
        ("[(0/90)_2/45]", [0, 90, 0, 90, 45]),
        ("[0₂/(±45)₂]", [0, 0, 45, -45, 45, -45]),
        ("[0₁₂]", [0] * 12),
        ("[0°/−60°/60°]", [0, -60, 60]),
        ("[0, 90, 0]", [0, 90, 0]),
        ("[(0/90)_s/(45/(0/30)_2)_2]", [0, 90, 90, 0, 45, 0, 30, 0, 30, 45, 0, 30, 0, 30]),
        ("[22.5/-22.5]", [22.5, -22.5]),
    ],
)
def test_standard_texts_are_read(text, plies):
    assert plies == read_notation(text)


@pytest.mark.parametrize(
    ("text", "plies"),
    [
        ("[45f/0_2C]", [(45, "f"), (0, "C"), (0, "C")]),
        ("[45w/0C_2]", [(45, "w"), (0, "C"), (0, "C")]),
        ("[(0,90)_f/(±45)_f/0]", [(0, "f"), (45, "f"), (0, "")]),  # one cloth is one ply
        ("[(0/90G)_C]", [(0, "C"), (90, "G")]),
        ("[+/-45_G/0bar_C]_s", [(45, "G"), (-45, "G"), (0, "C"), (-45, "G"), (45, "G")]),
    ],
)
def test_letters_behind_angles_and_brackets_name_the_material(text, plies):
    assert plies == [tuple(m) for m in read_plies(text)]


@pytest.mark.parametrize(
    ("plies", "text"),
    [
        ([90, 0, 0, 0, 90], "[90/0_3/90]"),
        ([45, -45, -45, 45], "[+/-45]_s"),
        ([0, 90, 90, 0], "[0/90]_s"),
        ([0, 0], "[0_2]"),
        ([45, -45, 0, 90, 0, -45, 45], "[+/-45/0/90bar]_s"),
        ([0, 90] * 20, "[0/90]_20"),
        ([0, 0, 45, -45, 45, -45, 0, 0], "[0_2/(+/-45)_2/0_2]"),
        (([0, 90] * 8 + [90, 0] * 8), "[0/90]_8s"),
        ([45, -45] * 3 + [0], "[(+/-45)_3/0]"),
        ([0, 30, 0, 30, 60], "[(0/30)_2/60]"),
        ([0.1 + 0.2], "[0.30000000000000004]"),
    ],
)
def test_the_shortest_text_is_written(plies, text):
    assert text == write_notation(plies)


@settings(max_examples=400, deadline=None)
@given(stacks())
def test_what_is_written_is_read_back(marks):
    text = write_notation([m.angle for m in marks], [m.tag for m in marks])
    assert marks == read_plies(text)
    plain = "[" + "/".join(f"{m.angle:g}{'_' * bool(m.tag)}{m.tag}" for m in marks) + "]"
    assert marks == read_plies(plain)
    assert len(text.replace("+/-", "±")) <= len(plain)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.floats(-90, 90), min_size=1, max_size=60))
def test_any_angles_come_back_to_the_last_bit(angles):
    assert [a + 0.0 for a in angles] == read_notation(write_notation(angles))


@settings(max_examples=400, deadline=None)
@given(st.text("[]()0123459/_sSTCf±∓+-. ,;bar̅₂ₛ\\{}", max_size=30))
def test_any_text_gives_plies_or_a_sentence(text):
    try:
        plies = read_plies(text)
    except tc.InputError as error:
        assert str(error).startswith("layup: stacking sequence cannot be read: ")  # noqa: PT017
    else:
        assert 1 <= len(plies) <= MOST_PLIES
        assert plies == read_plies(write_notation(*zip(*plies, strict=True)))


@pytest.mark.parametrize(
    ("text", "why", "at"),
    [
        ("", "it must start with [", 1),
        ("0/90", "it must start with [", 1),
        ("[0/90", "no closing bracket", 1),
        ("[0/(90]", "( is closed by ]", 7),
        ("[0/95]", "angle 95 is outside -90 to 90 degrees", 4),
        ("[0/902]", "2 plies at 90 are written 90_2", 4),
        ("[02/90]", "02 may be a low figure: write 0_2", 2),
        ("[0/x]", "'x' is not an angle", 4),
        ("[0//90]", "no angle before '/'", 4),
        ("[]", "no angle before ']'", 2),
        ("[0]]", "']' after the end", 4),
        ("[0_0]", "a repeat count of 0", 4),
        ("[0_99999999]", "more than 5000 plies", 4),
        ("[((((0_9)_9)_9)_9)_9]", "more than 5000 plies", 17),
        ("[22,5/67,5]", "is the comma a point or the next ply?", 4),
        ("[0/45 2]", "a repeat is written 0_2", 7),
        ("[90bar/0]s", "a bar marks the last ply", 7),
        ("[0/90bar]", "_s is missing", 9),
        ("[0/+/-45bar]s", "not their own mirror image", 13),
        ("[0_s]", "'s' cannot name a material", 4),
        ("[0/90]s further", "'further' has more than 4 letters", 9),
    ],
)
def test_a_refusal_names_the_place(text, why, at):
    with pytest.raises(tc.InputError) as error:
        read_notation(text)
    assert why in str(error.value)
    assert f"at character {at}," in str(error.value)


def test_materials_come_from_what_the_letters_mean():
    wall = tc.Layup.from_notation(
        "[45_f/0_2C]", {"f": "carbon-woven", "C": "carbon-sm-ud"}, {"f": "0.2 mm", "C": "0.1 mm"}
    )
    assert [p.key for p in wall.plies] == ["carbon-woven", "carbon-sm-ud", "carbon-sm-ud"]
    assert wall.t == pytest.approx(0.4e-3, rel=1e-12)
    bare = tc.Layup.from_notation("[45_f/0_2]", {"f": "carbon-woven", "": "carbon-sm-ud"})
    assert [p.key for p in bare.plies] == ["carbon-woven", "carbon-sm-ud", "carbon-sm-ud"]


@pytest.mark.parametrize(
    ("text", "ply", "part"),
    [
        ("[45_f/0]", "carbon-sm-ud", "names several materials"),
        ("[45_f/0]", {"f": "carbon-woven"}, "a ply has no material letter"),
        ("[45_k/0]", {"f": "carbon-woven", "": "carbon-sm-ud"}, 'unknown material letter "k"'),
        ("[45_f]", {"f": "carbon-wovn"}, 'did you mean "carbon-woven"?'),
    ],
)
def test_letters_without_a_meaning_are_refused(text, ply, part):
    with pytest.raises(tc.InputError) as error:
        tc.Layup.from_notation(text, ply, "0.1 mm")
    assert part in str(error.value)


def test_a_mixed_stack_is_written_with_its_letters():
    keys = ["carbon-woven", "glass-ud", "glass-ud", "glass-woven", "carbon-sm-ud"]
    cloth = [True, False, False, True, False]
    text, letters = stack_code([45, 0, 0, 0, 90], keys, cloth)
    assert keys == [letters[m.tag] for m in read_plies(text)]
    assert text == "[45_f/0_2G/0_A/90_C]"
    assert stack_code([0, 90], ["glass-ud", "glass-ud"]) == ("[0/90]", {})


def test_hundreds_of_materials_keep_letters_of_their_own():
    keys = [f"mine {n}" for n in range(300)]
    text, letters = stack_code([0.0] * 300, keys)
    assert keys == [letters[m.tag] for m in read_plies(text)]


def test_more_plies_than_a_wall_has_are_refused_in_a_list_too():
    plies = [("carbon-sm-ud", 0, "0.01 mm")] * (MOST_PLIES + 1)
    assert len(tc.Layup.of(plies[1:]).plies) == MOST_PLIES
    with pytest.raises(tc.InputError, match="more plies than a wall has"):
        tc.Layup.of(plies)


def test_thousands_of_plies_are_read_and_written_at_once():
    irregular = [float((n * n) % 89) for n in range(MOST_PLIES)]
    regular = [0.0, 45.0, -45.0, 90.0] * (MOST_PLIES // 4)
    start = time.perf_counter()
    assert irregular == read_notation(write_notation(irregular))
    assert regular == read_notation(write_notation(regular))
    assert write_notation(regular) == "[0/+/-45/90]_1250"
    assert time.perf_counter() - start < 2.0
