"""Pictures for the workshop: to scale, inside their frame, read without colour, never endless."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.share.cut_bars import bar_picture
from tubecalc.share.cut_pieces import piece_picture, start_picture
from tubecalc.share.scene import Dots, Lines, Scene, Words, svg


def corners(scene: Scene) -> np.ndarray:
    found = []
    for s in scene.shapes:
        assert not isinstance(s, Dots)
        found += [(s.x, s.y)] if isinstance(s, Words) else [p for path in s.paths for p in path]
    return np.array(found)


def inside(scene: Scene) -> None:
    xy = corners(scene)
    assert xy.min() >= -1
    assert xy[:, 0].max() <= scene.width + 1
    assert xy[:, 1].max() <= scene.height + 1


def words(scene: Scene) -> list[str]:
    return [s.text for s in scene.shapes if isinstance(s, Words)]


def filled(scene: Scene) -> list[np.ndarray]:
    """Boxes of pieces, as (width, height)."""
    return [
        np.ptp(np.array(path), axis=0)
        for s in scene.shapes
        if isinstance(s, Lines) and s.fill == "field"
        for path in s.paths
    ]


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.sampled_from([0.0, 90.0, 45.0, -45.0, 20.0]), min_size=1, max_size=8),
    st.floats(4, 150), st.floats(0.05, 4),
)  # fmt: skip
def test_pieces_stay_inside_their_picture(angles: list[float], d: float, m: float) -> None:
    stack = tc.Layup.of([("carbon-sm-ud", a, "0.125 mm") for a in angles])
    made = tc.cutting_list(stack, mandrel=f"{d} mm", length=f"{m} m", overlap="2 mm")
    for scene in (piece_picture(made), start_picture(made)):
        inside(scene)
        assert "<svg" in svg(scene)
        assert scene.says


def test_pieces_are_drawn_to_one_scale() -> None:
    """Heights are as the widths of the table, lengths as the one length, both ways alike."""
    made = tc.cutting_list("roll-wrapped", "1.5 mm", mandrel="30 mm", length="460 mm")
    boxes = filled(piece_picture(made))
    scale = boxes[0][0] / 500.0
    want = (made.table["width_mm"] * scale).tolist()
    assert [float(b[1]) for b in boxes] == pytest.approx(want)


def test_long_tubes_are_broken_off_and_say_so() -> None:
    made = tc.cutting_list("roll-wrapped", "1 mm", mandrel="6 mm", length="3 m")
    scene = piece_picture(made)
    assert any("broken off" in w for w in words(scene))
    assert min(float(b[1]) for b in filled(scene)) >= 11.9


def test_joints_run_along_the_fibres() -> None:
    """A bias joint drawn at 45 deg, rising to the right for plus."""
    stack = tc.Layup.of([("carbon-sm-ud", 45, "0.125 mm")])
    made = tc.cutting_list(stack, mandrel="30 mm", length="560 mm")
    joints = [
        path for s in piece_picture(made).shapes
        if isinstance(s, Lines) and s.dash == "9 3" for path in s.paths
    ]  # fmt: skip
    assert len(joints) == len(made.pieces[0].strips) - 1
    for (x0, y0), (x1, y1) in joints:
        assert (y1 - y0) / (x1 - x0) == pytest.approx(-1.0, rel=1e-6)


def test_thousands_of_pieces_make_a_picture_of_some_and_a_sentence() -> None:
    stack = tc.Layup.from_notation("[(90/0)_500]", "carbon-sm-ud", "0.02 mm")
    made = tc.cutting_list(stack, mandrel="40 mm", length="1 m")
    scene = piece_picture(made)
    assert "976 more pieces are in the table." in words(scene)
    assert scene.height < 3000
    assert "and 976 more in the table" in words(start_picture(made))


def test_start_picture_has_every_number_apart() -> None:
    made = tc.cutting_list("roll-wrapped", "2.5 mm", mandrel="30 mm", length="1 m")
    place = {
        s.text: np.array([s.x, s.y])
        for s in start_picture(made).shapes
        if isinstance(s, Words) and s.text.isdigit()
    }
    assert set(place) == {str(p.order) for p in made.pieces}
    spots = list(place.values())
    gaps = [np.hypot(*(a - b)) for i, a in enumerate(spots) for b in spots[:i]]
    assert min(gaps) > 11


# --- bars ----------------------------------------------------------------------------------
def test_bars_are_to_scale_numbered_and_hatched() -> None:
    plan = tc.cut_plan([("900 mm", 3), ("250 mm", 4)], "2 m", kerf="3 mm", trim="10 mm")
    scene = bar_picture(plan)
    inside(scene)
    lengths = sorted(float(b[0]) for b in filled(scene))
    assert lengths[-1] / lengths[0] == pytest.approx(900 / 250)
    said = words(scene)
    assert "900" in said
    assert "250" in said
    assert any("hatched: offcut; crossed: trim" in w for w in said)
    hatches = [s for s in scene.shapes if isinstance(s, Lines) and s.colour == "muted" and s.paths]
    assert len(hatches) > 3


def test_many_ways_of_cutting_are_counted_in_words() -> None:
    wanted = [(f"{500 + 7 * k} mm", 1) for k in range(90)]
    plan = tc.cut_plan(wanted, "2 m", seconds=0.5)
    scene = bar_picture(plan, most=5)
    inside(scene)
    rest = sum(b.count for b in plan.bars[5:])
    assert f"{rest} more bars are in the table." in words(scene)
