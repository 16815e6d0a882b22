"""Walls side by side and lines to failure: to one scale, inside the picture, said in words."""

from __future__ import annotations

import pytest

from tubecalc.share.lines import Trace, line_picture
from tubecalc.share.scene import Lines, Words, svg
from tubecalc.share.walls_row import Wall, bands, walls_row
from tubecalc.tube import Tube


def wall(number: int, key: str, od: float, thick: float) -> Wall:
    tube = Tube(key, od=f"{od} mm", wall=f"{thick} mm")
    s = tube.sections
    return Wall(number, key, bands(tube, "ink"), 2 * float(s.ro[0]), 2 * float(s.ri[0]), "size",
                "note", key)  # fmt: skip


def middle(path) -> float:
    """Height of the highest point."""
    return min(y for _, y in path)


def test_walls_are_drawn_to_one_scale() -> None:
    scene = walls_row([wall(1, "304", 20, 1), wall(2, "6063-T6", 20, 2)], 500)
    closed = [s for s in scene.shapes if isinstance(s, Lines) and s.closed]
    edges = [s.paths[0] for s in closed if s.colour == "muted" and s.width == 0.7]
    thick = []
    for path in edges:  # outer arc there, inner arc back: their tops differ by the wall
        half = len(path) // 2
        thick.append(middle(path[half:]) - middle(path[:half]))
    assert thick[1] / thick[0] == pytest.approx(2.0, rel=1e-6)


def test_bands_fill_the_wall_and_name_the_fibres() -> None:
    tube = Tube("roll-wrapped-woven", od="20 mm", wall="1.25 mm")
    found = bands(tube, "ink")
    assert sum(b.thickness for b in found) == pytest.approx(float(tube.sections.t[0]))
    assert found[-1].label == "woven"
    assert {b.hatch for b in found} == {0.0, 90.0, "woven"}


def test_rows_break_on_a_phone_and_nothing_leaves_the_picture() -> None:
    walls = [wall(k, "304", 20, 1) for k in range(1, 7)]
    wide, narrow = walls_row(walls, 1000), walls_row(walls, 340)
    assert narrow.height > 2 * wide.height
    for scene in (wide, narrow):
        for s in scene.shapes:
            if isinstance(s, Lines):
                assert all(-1 <= x <= scene.width + 1 for path in s.paths for x, _ in path)
                assert all(-1 <= y <= scene.height + 1 for path in s.paths for _, y in path)
        assert "to one scale" in scene.says


def traces() -> list[Trace]:
    return [
        Trace(1, "steel <b>", "a", ((0, 0), (5, 100), (20, 100)), ((4, 80, "yield"),), True,
              "yields", True),
        Trace(2, "carbon", "b", ((0, 0), (17, 240)), ((6, 90, "first"), (17, 240, "end")), False,
              "breaks"),
    ]  # fmt: skip


@pytest.mark.parametrize("width", [320.0, 720.0])
def test_lines_keep_their_corners_marks_and_words(width: float) -> None:
    scene = line_picture(traces(), ("sag, mm", "load, N"), width=width, says="said")
    texts = [s.text for s in scene.shapes if isinstance(s, Words)]
    assert {"1", "2", "yield", "first damage", "carries no more", "flows on", "sag, mm"} <= {*texts}
    drawn = [s for s in scene.shapes if isinstance(s, Lines) and s.width == 2.4]
    dashed = [s for s in drawn if s.dash]
    assert len(drawn) == 4  # a line and a sample each
    assert len(dashed) == 2
    path = next(s.paths[0] for s in drawn if len(s.paths[0]) == 3)
    assert path[1][1] == path[2][1]
    for s in scene.shapes:
        if isinstance(s, Lines):
            assert all(0 <= x <= width and 0 <= y <= scene.height for p in s.paths for x, y in p)
    assert "<b>" not in svg(scene)


def test_an_empty_chart_says_so() -> None:
    scene = line_picture([Trace(1, "a", "a", ((0, 0),), (), False, "not known")], ("x", "y"),
                         empty="no strength is known")  # fmt: skip
    assert "no strength is known" in svg(scene)
