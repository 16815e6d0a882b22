"""Names of the points of a curve: none lies on another, and handles are named without values."""

from __future__ import annotations

import re
from itertools import combinations

import pytest
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextPath

from tubecalc.job import Job
from tubecalc.share.bench_curves import SHORT, one_picture
from tubecalc.share.bench_handles import handles
from tubecalc.share.bench_words import Words
from tubecalc.share.scene import Words as Letters
from tubecalc.testing.bench import Entry, demo, look, read_file
from tubecalc.testing.bench_sum import summed


@pytest.fixture(scope="module")
def words() -> Words:
    """The invented set, frame runs left out."""
    found = demo()
    tests = []
    for name, content in found.files:
        for n, curve in enumerate(read_file(name, content, {})):
            told = {k: v for k, v in found.told.get((name, n), {}).items() if k != "frame"}
            seen = look(Entry(name, name[:12], n, told), curve)
            if seen.result is not None:
                tests.append(seen)
    job = Job()
    return Words(summed(tests, job.construction), job)


def box(one: Letters) -> tuple[float, float, float]:
    """From, to and foot of a name; its length by the outline of a common sans-serif font."""
    long = TextPath((0, 0), one.text, size=one.size, prop=FontProperties("DejaVu Sans"))
    wide = float(long.get_extents().width)
    start = one.x - wide if one.anchor == "end" else one.x
    return start, start + wide, one.y


@pytest.mark.parametrize("width", [330.0, 358.0, 520.0, 720.0, 1100.0])
def test_names_of_points_do_not_lie_on_each_other(words, width) -> None:
    """Letters of 12 px are 9 px high, so feet 12 px apart leave a gap."""
    known, count = set(SHORT.values()), 0
    for seen in words.summary.tests:
        height = max(260.0, min(430.0, 0.6 * width))
        scene, _, _ = one_picture(seen, words.style("pultruded"), "SI", width=width, height=height)
        names = [s for s in scene.shapes if isinstance(s, Letters) and s.text in known]
        count += len(names)
        for a, b in combinations(names, 2):
            (a0, a1, ay), (b0, b1, by) = box(a), box(b)
            assert not (a0 < b1 and b0 < a1 and abs(ay - by) < 12), (seen.name, a.text, b.text)
    assert count > 60


def test_a_handle_says_its_name_once_and_its_value_as_a_value(words) -> None:
    first = words.summary.tests[0]
    _, axes, curve = one_picture(first, words.style("pultruded"), "inch", width=640.0)
    made = handles(axes, curve, "in")
    names = re.findall(r'aria-label="([^"]*)"', made)
    values = re.findall(r'aria-valuetext="([^"]*)"', made)
    assert len(names) == len(values) == 4
    assert not any(re.search(r"\d", n) for n in names)
    places = {k: x for k, x, _ in curve.marks}
    shown = dict(zip(re.findall(r'data-mark="([^"]*)"', made), values, strict=True))
    assert shown["linear_to"] == f"{places['linear-to']:.4g} in"


@pytest.mark.parametrize("units", ["SI", "inch"])
def test_values_behind_bars_stay_in_the_picture(words, units) -> None:
    """358 px is what a phone leaves."""
    there = Words(words.summary, Job(units=units))
    scenes = there.weights(width=358.0)
    assert len(scenes) == 8
    for scene in scenes:
        for one in scene.shapes:
            if isinstance(one, Letters):
                start, end, _ = box(one)
                assert start >= 0, one.text
                assert end <= scene.width, one.text
