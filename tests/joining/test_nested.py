"""Telescoping poles against a finite-element frame, hand cases, and what is refused."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tubecalc.errors import InputError
from tubecalc.joining import pole as statics
from tubecalc.joining.nested import nested, telescope
from tubecalc.joining.pole import Beam
from tubecalc.joining.wear import wear
from tubecalc.tube import Tube


def frame(beams: list[Beam], overlaps: list[float], tip: float, gaps: list[float]) -> float:
    """Tip deflection by Euler beam elements tied by constraints; its own model, no formula shared.

    Every tube has its own nodes; heel and mouth of a joint are tied by Lagrange multipliers with
    the gap of the joint between them.
    """
    nodes: list[tuple[int, float]] = []  # (tube, distance), two unknowns each
    cuts = []
    for n, b in enumerate(beams):
        at = {0.0, b.length}
        if n < len(overlaps):
            at |= {b.length - overlaps[n]}
        if n > 0:
            at |= {overlaps[n - 1]}
        cuts.append(sorted(at))
        nodes += [(n, x) for x in cuts[-1]]
    index = {key: 2 * i for i, key in enumerate(nodes)}
    size = 2 * len(nodes)
    rows: list[tuple[dict[int, float], float]] = [({0: 1.0}, 0.0), ({1: 1.0}, 0.0)]
    for n, o in enumerate(overlaps):
        base = beams[n].length
        for x_out, x_in, gap in ((base - o, 0.0, -gaps[n] / 2), (base, o, gaps[n] / 2)):
            rows.append(({index[n + 1, x_in]: 1.0, index[n, x_out]: -1.0}, gap))
    k, f = np.zeros((size + len(rows), size + len(rows))), np.zeros(size + len(rows))
    for n, b in enumerate(beams):
        for a, c in itertools.pairwise(cuts[n]):
            h, i, j = c - a, index[n, a], index[n, c]
            e = (
                b.EI
                / h**3
                * np.array(
                    [
                        [12, 6 * h, -12, 6 * h],
                        [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                        [-12, -6 * h, 12, -6 * h],
                        [6 * h, 2 * h * h, -6 * h, 4 * h * h],
                    ]
                )
            )
            at = [i, i + 1, j, j + 1]
            k[np.ix_(at, at)] += e
            f[at] += b.weight * h * np.array([0.5, h / 12, 0.5, -h / 12])
    f[index[len(beams) - 1, beams[-1].length]] += tip
    for row, (terms, value) in enumerate(rows, size):
        for column, factor in terms.items():
            k[row, column] = k[column, row] = factor
        f[row] = value
    return float(np.linalg.solve(k, f)[index[len(beams) - 1, beams[-1].length]])


BEAM = st.tuples(st.floats(0.5, 3.0), st.floats(1e2, 1e5), st.floats(0.0, 10.0))


@settings(max_examples=40, deadline=None)
@given(st.lists(BEAM, min_size=2, max_size=5), st.floats(0.05, 0.45), st.floats(-50, 50),
       st.floats(0, 1e-3))  # fmt: skip
def test_stacked_pole_is_the_frame_of_beam_elements(parts, share, tip, gap):
    beams = [Beam(x, ei, 1e18, w) for x, ei, w in parts]
    overlaps = [share * min(a.length, b.length)
                for a, b in itertools.pairwise(beams)]  # fmt: skip
    points, _ = statics.statics(beams, overlaps, tip)
    turns = [gap / o for o in overlaps]
    ends = [np.array([b.length]) for b in beams]
    found = float(statics.places(beams, overlaps, points, turns, ends)[-1][0])
    expected = frame(beams, overlaps, tip, [gap] * len(overlaps))
    scale = abs(frame(beams, overlaps, abs(tip) + 1.0, [gap] * len(overlaps)))
    # short overlaps and unlike tubes cost the frame six digits; fractions agree with ours to 1e-13
    assert found == pytest.approx(expected, rel=1e-5, abs=1e-6 * scale)


def test_load_pair_by_hand():
    """10 N a metre beyond the mouth, overlap 0.1 m: 110 N at the mouth, 100 N at the heel."""
    beams = [Beam(1.0, 1e3, 1e9, 0.0), Beam(1.1, 1e3, 1e9, 0.0)]
    _, (pair,) = statics.statics(beams, [0.1], 10.0)
    assert (pair.moment, pair.mouth, pair.heel) == pytest.approx((10.0, 110.0, -100.0))


def test_pole_by_hand_without_weight_and_play():
    """Two tubes, EI 1 and 2: cantilever in steps, the joint's ramp of the moment included."""
    beams = [Beam(1.0, 200.0, 1e18, 0.0), Beam(1.1, 100.0, 1e18, 0.0)]
    points, _ = statics.statics(beams, [0.1], 10.0)
    tip = float(statics.places(beams, [0.1], points, [0.0], [np.array([1.0]),
                                                            np.array([1.1])])[-1][0])  # fmt: skip
    base = 10.0 / 200.0 * ((2.0**3 - 1.1**3) / 3)  # full moment up to the heel
    top = 10.0 / 100.0 / 3  # beyond the mouth
    whole = 10.0 / 200.0 * (1.1**3 - 1.0) / 3  # if the outer carried all of the overlap
    assert base + top < tip < base + top + 2.5 * whole


def test_play_turns_the_inner_tube_about_the_middle_of_the_overlap():
    tubes = telescope("pultruded", od="20 mm", wall="1 mm", count=2, gap="0.3 mm")
    found = nested(tubes, length="1 m", overlap="100 mm", load="1 N")
    assert found.by_play == pytest.approx(0.3e-3 / 0.1 * (1.0 - 0.1 / 2))
    assert found.joints[0].play == pytest.approx(0.003)
    assert found.droop_most > found.droop


def test_stiffness_is_that_of_an_equal_cantilever():
    tubes = telescope("pultruded", od="20 mm", wall="1 mm", count=3, gap="0.3 mm")
    found = nested(tubes, length="1 m", overlap="150 mm", load="2 N")
    assert found.elastic == pytest.approx(2.0 * found.reach**3 / 3 / found.stiffness)
    assert float(tubes[2].EI.m) < found.stiffness < float(tubes[0].EI.m)


@pytest.mark.parametrize("count", [2, 3, 4])
def test_longer_overlap_presses_less(count):
    tubes = telescope("roll-wrapped", od="40 mm", wall="1.5 mm", count=count, gap="0.5 mm")
    short, long = (nested(tubes, length="1 m", overlap=o, load="5 N") for o in ("80 mm", "160 mm"))
    for a, b in zip(short.joints, long.joints, strict=True):
        assert b.pair.mouth < a.pair.mouth
        assert b.reserve > a.reserve
        assert b.play < a.play
    assert any("under 3 diameters" in c for c in short.cautions)


def test_upright_pole_does_not_droop_by_its_weight():
    tubes = telescope("6061-T6", od="40 mm", wall="1.5 mm", count=2, gap="0.7 mm")
    level, up = (nested(tubes, length="1 m", overlap="150 mm", elevation=e)
                 for e in ("0 deg", "90 deg"))  # fmt: skip
    assert level.by_weight > 0
    assert up.by_weight == pytest.approx(0.0, abs=1e-12)


def test_one_end_of_the_curve_is_the_droop_and_tubes_meet_at_the_joints():
    tubes = telescope("pultruded", od="20 mm", wall="1 mm", count=3, gap="0.3 mm")
    found = nested(tubes, length=["1 m", "0.9 m", "0.8 m"], overlap=["120 mm", "100 mm"],
                   load="2 N")  # fmt: skip
    x, w = found.curve[-1]
    assert x[-1] == pytest.approx(found.reach) == pytest.approx(2.48)
    assert w[-1] == pytest.approx(found.droop, rel=1e-9)
    (xa, wa), (xb, wb) = found.curve[0], found.curve[1]
    assert np.interp(xb[0], xa, wa) == pytest.approx(wb[0], abs=0.02 * found.droop)


# -- wear ----------------------------------------------------------------------------------------


def test_wear_goes_with_load_and_way_and_opens_the_gap():
    inner, outer = Tube("pultruded", od="27.3 mm", wall="1 mm"), Tube("pultruded", od="30 mm",
                                                                     wall="1.2 mm")  # fmt: skip
    args = {"stroke": "0.5 m", "touch": "30 mm"}
    one = wear(inner, outer, cycles=1000, load="10 N", **args)
    two = wear(inner, outer, cycles=2000, load="20 N", **args)
    assert two.bore == pytest.approx(4 * one.bore)
    assert one.opens == pytest.approx(2 * (one.bore + one.outside))
    assert wear(inner, outer, cycles=1000, load="10 N", gritty=True, **args).bore > 10 * one.bore
    volume = 2e-6 * 1e-9 * 10.0 * 1000.0  # mm3/(N m) x N x m (there and back)
    area = math.pi * 13.65e-3 * 30e-3
    assert one.bore + one.outside == pytest.approx(volume / area)
    assert one.grade == "C"
    assert "MEMORY" in one.why
    with pytest.raises(InputError, match="worn through"):
        wear(inner, outer, cycles=1e9, load="10 N", gritty=True, **args)
    with pytest.raises(InputError, match="nought or more"):
        wear(inner, outer, cycles=-1, load="10 N", **args)


# -- refused -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("args", "words"),
    [
        ({"overlap": "1 m"}, "not shorter than its section"),
        ({"overlap": "2 m"}, "not shorter than its section"),
        ({"overlap": "600 mm"}, "together are longer"),
        ({"overlap": "0 mm"}, "overlap"),
        ({"overlap": ["100 mm"]}, "one overlap, or one for each of 2"),
        ({"length": ["1 m", "1 m"]}, "one length, or one for each of 3"),
        ({"outside": "-0.1 mm"}, "joint 1: a limit with one sign"),
    ],
)  # fmt: skip
def test_poles_that_cannot_be_are_refused(args, words):
    tubes = telescope("pultruded", od="20 mm", wall="1 mm", count=3, gap="0.3 mm")
    with pytest.raises(InputError, match=words):
        nested(tubes, **({"length": "1 m", "overlap": "100 mm"} | args))


def test_no_gap_and_wrong_order_are_refused():
    with pytest.raises(InputError, match="equal sizes do not slide"):
        telescope("pultruded", od="20 mm", wall="1 mm", count=3, gap="0 mm")
    with pytest.raises(InputError, match="no room for section"):
        telescope("pultruded", od="10 mm", wall="1 mm", count=6, gap="0.2 mm")
    tubes = telescope("pultruded", od="20 mm", wall="1 mm", count=2, gap="0.3 mm")
    with pytest.raises(InputError, match="joint 1: the inner tube is larger"):
        nested(tubes[::-1], length="1 m", overlap="100 mm")
    same = [Tube("pultruded", od="20 mm", id="18 mm"), Tube("pultruded", od="18 mm", id="16 mm")]
    with pytest.raises(InputError, match="will bind"):
        nested(same, length="1 m", overlap="100 mm")
    with pytest.raises(InputError, match="number of sections"):
        nested(tubes[:1], length="1 m", overlap="100 mm")
