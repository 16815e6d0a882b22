"""Pictures: labels that keep apart, hatches that stay inside, colours that can be told and read."""

from __future__ import annotations

import re
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubecalc.laminate.construction import composites, metals
from tubecalc.share import palette
from tubecalc.share.bars import Reserve, reserve_bars
from tubecalc.share.chart import (
    Axes,
    Picture,
    Series,
    best_line,
    frame,
    layer,
    layer_svg,
    nice_log,
    nice_range,
)
from tubecalc.share.hatch import strokes
from tubecalc.share.scene import Dots, Lines, Scene, Words, svg
from tubecalc.share.wall_picture import HEIGHT, WIDTH, Band, spread, wall_picture

KINDS = {**composites(), **metals()}
STYLES = [palette.style(k, c.hatch, metal=c.metal) for k, c in KINDS.items()]


# --- labels ---------------------------------------------------------------------------------
@given(
    st.lists(st.floats(-50, 450), min_size=1, max_size=14),
    st.lists(st.floats(10, 40), min_size=14, max_size=14),
)
def test_spread_labels_never_overlap_and_keep_their_order(
    wanted: list[float], heights: list[float]
) -> None:
    gaps = heights[: len(wanted)]
    places = spread(wanted, gaps, 0.0, 1000.0)
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    for above, below in pairwise(order):
        assert places[below] - places[above] >= (gaps[above] + gaps[below]) / 2 - 1e-6
    assert all(-1e-6 <= p <= 1000 + 1e-6 for p in places)


def test_spread_leaves_labels_alone_that_do_not_touch() -> None:
    assert spread([10.0, 60.0, 200.0], 20, 0, 300) == [10.0, 60.0, 200.0]


def test_spread_moves_a_touching_pair_by_equal_parts() -> None:
    assert spread([100.0, 104.0], 20, 0, 300) == [92.0, 112.0]


def test_spread_squeezes_more_labels_than_fit_evenly() -> None:
    assert spread([5.0, 5.0, 5.0], 100, 0, 60) == [0.0, 30.0, 60.0]


# --- hatches --------------------------------------------------------------------------------
@given(
    st.one_of(
        st.sampled_from(["axial", "hoop", "cross", "woven", "bias", "helix", "random", "dots"]),
        st.floats(-90, 90),
    ),
    st.floats(4, 300),
    st.floats(2, 80),
    st.floats(3, 6),
)
def test_hatch_stays_in_its_box(
    kind: str | float, width: float, height: float, pitch: float
) -> None:
    found = strokes(kind, width, height, pitch)
    points = np.array([p for path in found for p in path]).reshape(-1, 2)
    assert (points[:, 0] >= -0.02).all()
    assert (points[:, 0] <= width + 0.02).all()
    assert (points[:, 1] >= -0.02).all()
    assert (points[:, 1] <= height + 0.02).all()


@pytest.mark.parametrize("angle", [0.0, 30.0, 55.0, 90.0, -45.0])
def test_hatch_of_a_ply_runs_in_its_fibre_direction(angle: float) -> None:
    (x0, y0), (x1, y1) = max(strokes(angle, 60, 30, 4), key=lambda p: abs(p[1][0] - p[0][0]))
    assert np.degrees(np.arctan2(-(y1 - y0), x1 - x0)) % 180 == pytest.approx(angle % 180)


# --- colours --------------------------------------------------------------------------------
@pytest.mark.parametrize("style", STYLES, ids=lambda s: s.key)
def test_series_colours_reach_the_contrast_of_wcag(style: palette.Style) -> None:
    """WCAG 2.2: 4.5 : 1 for text (1.4.3), 3 : 1 for lines (1.4.11), on both papers."""
    for paper, text, line in (
        (palette.LIGHT["paper"], style.text, style.line),
        (palette.DARK["paper"], style.text_dark, style.line_dark),
    ):
        assert palette.contrast(text, paper) >= 4.5
        assert palette.contrast(line, paper) >= 3.0


@pytest.mark.parametrize("sheet", [palette.LIGHT, palette.DARK], ids=["light", "dark"])
def test_words_reach_the_contrast_of_wcag(sheet: dict[str, str]) -> None:
    for role in ("ink", "muted", "accent", "warn"):
        for ground in ("paper", "row", "field"):
            if (role, ground) in (("warn", "field"), ("accent", "row")):
                continue  # never used together
            assert palette.contrast(sheet[role], sheet[ground]) >= 4.5, (role, ground)


def test_constructions_differ_in_colour_and_metals_are_dashed() -> None:
    assert len({s.colour for s in STYLES}) == len(STYLES)
    assert all(s.dashed == KINDS[s.key].metal for s in STYLES)


def test_every_construction_has_a_hatch_that_draws() -> None:
    for s in STYLES:
        assert len(strokes(s.hatch, 30, 14)) >= 3, s.key


# --- chart ----------------------------------------------------------------------------------
def series(key: str, passes: list[bool], y: list[float], slug: str = "pultruded") -> Series:
    x = np.array([10.0, 10.0, 20.0, 20.0])
    return Series(key, key, slug, x, np.array(y), np.array(passes))


def test_line_runs_through_the_lightest_that_passes() -> None:
    x, y = best_line(series("a", [True, True, False, True], [5.0, 4.0, 1.0, 9.0]))
    assert (x.tolist(), y.tolist()) == ([10.0, 20.0], [4.0, 9.0])


def test_line_runs_through_the_stiffest_when_more_is_better() -> None:
    _, y = best_line(series("a", [True, True, False, True], [5.0, 4.0, 1.0, 9.0]), low=False)
    assert y.tolist() == [5.0, 9.0]


def test_layer_fills_what_passes_and_leaves_hollow_what_fails() -> None:
    axes = Axes((0, 30), (1, 10), "x", "y")
    shapes = layer(axes, Picture((series("a", [True, False, False, False], [5, 4, 3, 2]),))).shapes
    dots = {s.hollow: len(s.x) for s in shapes if isinstance(s, Dots)}
    assert dots == {True: 3, False: 1}


def test_layer_says_which_construction_has_none() -> None:
    axes = Axes((0, 30), (1, 10), "x", "y")
    shapes = layer(axes, Picture((series("a", [False] * 4, [5, 4, 3, 2]),))).shapes
    assert [s.text for s in shapes if isinstance(s, Words)] == ["a: none"]


def test_points_lie_on_their_ticks() -> None:
    axes = Axes((10, 40), (100, 1000), "x", "y")
    words = {s.text: s for s in frame(axes).shapes if isinstance(s, Words)}
    assert float(axes.px(np.array(20.0))) == pytest.approx(words["20"].x)
    assert float(axes.py(np.array(200.0))) + 4 == pytest.approx(words["200"].y)


@given(st.floats(0.5, 60), st.floats(0.5, 40))
def test_axes_hold_their_range_and_seldom_change(low: float, span: float) -> None:
    a, b = nice_range(low, low + span)
    assert a <= low + 1e-9
    assert b >= low + span - 1e-9
    assert b - a <= 2.2 * span


@given(st.floats(1e-3, 1e4), st.floats(1.0, 1e3))
def test_log_axis_holds_its_range(low: float, ratio: float) -> None:
    a, b = nice_log(low, low * ratio)
    assert a < low
    assert b > low * ratio


def test_foreign_names_cannot_break_out_of_the_picture() -> None:
    bad = "<img src=x onerror=alert(1)>'\""
    axes = Axes((0, 30), (1, 10), bad, bad)
    text = layer_svg(axes, Picture((series(bad, [True] * 4, [5, 4, 3, 2]),), says=bad))
    text += svg(frame(axes))
    assert "<img" not in text
    points = re.search(r"data-points='([^']*)'", text)
    assert points is not None
    assert "onerror" in points[1]  # escaped, inside its attribute


# --- wall and bars --------------------------------------------------------------------------
@given(
    st.floats(0.5, 80),
    st.floats(0.02, 1.0),
    st.lists(st.floats(0.1, 1), min_size=1, max_size=8),
)
def test_wall_picture_fits_whatever_the_tube(od: float, share: float, parts: list[float]) -> None:
    wall = od / 2 * share
    bands = [Band(90.0 if k % 2 else 0.0, "0°", wall * p / sum(parts)) for k, p in enumerate(parts)]
    scene = wall_picture(bands, od, od - 2 * wall, texts=("a", "b"))
    edges = [p for s in scene.shapes if isinstance(s, Lines) for path in s.paths for p in path]
    xs, ys = zip(*edges, strict=True)
    assert 0 <= min(xs) <= max(xs) <= WIDTH
    assert 0 <= min(ys) <= max(ys) <= HEIGHT


def test_wall_picture_is_to_scale() -> None:
    """A ply of a third of the wall takes a third of the picture's wall, on the middle line."""
    bands = [Band(90.0, "90°", 0.5), Band(0.0, "0°", 1.0)]
    scene = wall_picture(bands, 20, 17, texts=("", ""))
    edges = [s.paths[0] for s in scene.shapes if isinstance(s, Lines) and s.closed and s.width == 0]
    tops = [min(y for _, y in path) for path in edges[:2]]
    bottom = max(path[len(path) // 2 + 12][1] for path in edges[:1])
    inner = min(y for _, y in edges[0][25:])
    assert (inner - tops[0]) / (inner - tops[1]) == pytest.approx(1 / 3, rel=1e-6)
    assert bottom > tops[0]


def test_governing_bar_is_solid_and_bold_and_advice_is_marked() -> None:
    scene = reserve_bars(
        [Reserve("sag", 1.1, governing=True), Reserve("split", 0.8, advisory=True)],
        hatch="hoop",
        colour="line:pultruded",
    )
    words = {s.text: s for s in scene.shapes if isinstance(s, Words)}
    assert words["sag"].bold
    assert not words["split"].bold
    assert "0.80 advice" in words
    assert any(isinstance(s, Lines) and s.fill == "ink" for s in scene.shapes)


def test_bars_start_at_one() -> None:
    scene = reserve_bars([Reserve("a", 0.5), Reserve("b", 2.0)], hatch="axial", colour="ink")
    line = next(s for s in scene.shapes if isinstance(s, Lines) and s.width == 1.6).paths[0][0][0]
    boxes = [s.paths[0] for s in scene.shapes if isinstance(s, Lines) and s.closed]
    assert boxes[0][1][0] == pytest.approx(line)  # 0.5 ends at the line from the left
    assert boxes[1][0][0] == pytest.approx(line)  # 2.0 starts there


def test_empty_scene_is_valid_svg() -> None:
    assert svg(Scene(10, 10, (), "nothing")).endswith("></svg>")
