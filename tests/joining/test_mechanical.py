"""Bolts, pins and clamps: hand cases, integrals, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tubecalc.errors import InputError
from tubecalc.joining.clamps import clamp_up, split_clamp
from tubecalc.joining.mechanical import bolt, thread_rule
from tubecalc.laminate.construction import composites, metals
from tubecalc.tube import Tube

WRAP = Tube("roll-wrapped", od="30 mm", wall="2 mm")


def limit(found, label):
    return next(x for x in found.limits if x.label == label)


def test_threads_go_on_metal_inserts_in_every_composite():
    """Common practice, no source."""
    for c in composites().values():
        rating, why = thread_rule(c)
        assert rating == "no"
        assert "metal insert" in why
    assert all(thread_rule(c)[0] != "no" for c in metals().values())


def test_bearing_is_two_walls_times_what_the_wall_bears():
    found = limit(bolt(WRAP, hole="6 mm", load="2 kN"), "hole: bearing")
    t = float(WRAP.sections.t[0])
    assert found.borne == pytest.approx(2 * 0.006 * t * WRAP.construction.end_bearing)
    assert found.reserve == pytest.approx(found.borne / 2000)


def test_shear_out_goes_with_the_edge_distance():
    """Four planes of length e and depth t: twice the distance, twice the load (MIL-HDBK-17-3F)."""
    one, two = (limit(bolt(WRAP, hole="6 mm", load="2 kN", edge_distance=e), "hole: shear-out")
                for e in ("12 mm", "24 mm"))  # fmt: skip
    assert two.borne == pytest.approx(2 * one.borne)
    near = bolt(WRAP, hole="6 mm", load="2 kN", edge_distance="12 mm")
    assert any("under 3 hole diameters" in c for c in near.cautions)


def test_metal_net_section_by_hand():
    """Aluminium 30 x 2: two strips of half angle asin(d / 2R) off the ring."""
    tube = Tube("6061-T6", od="30 mm", wall="2 mm")
    found = limit(bolt(tube, hole="6 mm", load="5 kN"), "hole: net section")
    lost = 4 * math.asin(6 / 28) / (2 * math.pi)
    area = math.pi * (15**2 - 13**2) * 1e-6
    fy = tube.construction.fill[0].values.Xt
    assert found.reserve == pytest.approx((1 - lost) * area * fy / 5000, rel=1e-3)


def test_hole_at_the_neutral_axis_costs_less_in_bending():
    """A 4 mm hole on radius 12: 2 d / (pi R) = 21 % of I in the plane of bending, little beside."""
    tube = Tube("304", od="24.5 mm", wall="0.5 mm")
    face, side = (
        limit(bolt(tube, hole="4 mm", load="0 N", moment="10 N m", place=p), "hole: net section")
        for p in ("face", "side")
    )
    whole = float(tube.sections.unit["bending"].broken[0]) / 10
    assert 1 - face.reserve / whole == pytest.approx(0.21, abs=0.01)
    assert 1 - side.reserve / whole < 0.01


def test_pin_in_double_shear():
    found = limit(bolt(WRAP, hole="6 mm", load="2 kN", pin="304"), "pin: shear")
    from tubecalc.materials import get_metal

    fy = get_metal("304").si.Xt
    assert found.borne == pytest.approx(2 * math.pi * 0.003**2 * fy / math.sqrt(3))


def test_factor_multiplies_the_load_and_governing_is_the_least():
    one, two = (bolt(WRAP, hole="6 mm", load="-2 kN", edge_distance="20 mm", factor=f)
                for f in (1.0, 2.0))  # fmt: skip
    assert one.reserve == pytest.approx(2 * two.reserve)
    assert one.reserve == min(x.reserve for x in one.limits if not x.advisory)
    assert set(one.table["grade"]) <= {"A", "B", "C", "none"}


def test_friction_of_a_clamp_is_the_integral_of_its_pressure():
    """Two halves, p cos: half force r l p pi / 2, friction mu p r l times 4; their ratio 8 / pi."""
    angle = np.linspace(-np.pi / 2, np.pi / 2, 20001)
    half = np.trapezoid(np.cos(angle) ** 2, angle)
    grip = 2 * np.trapezoid(np.cos(angle), angle)
    found = split_clamp(WRAP, length="20 mm", screw="4 mm", friction=0.2)
    assert found.slip == pytest.approx(0.2 * found.force * grip / half, rel=1e-6)
    assert found.slip_torque == pytest.approx(found.slip * 0.015)


@pytest.mark.parametrize("od", ["15 mm", "25 mm", "40 mm"])
def test_hoop_plies_let_a_clamp_press_harder(od):
    """All-axial walls crack between the fibres; hoop-reinforced ones of equal size take more."""
    axial, hooped = (Tube(k, od=od, wall="1.2 mm") for k in ("pultruded", "pull-wound"))
    one, two = (split_clamp(t, length="20 mm", screw="4 mm") for t in (axial, hooped))
    assert two.force > 1.3 * one.force
    assert any("all-axial" in c for c in one.cautions)
    assert not any("all-axial" in c for c in two.cautions)


def test_screws_share_the_force_and_a_slit_ring_doubles_it():
    two, four = (split_clamp(WRAP, length="20 mm", screw="4 mm", screws=n) for n in (2, 4))
    assert two.torque == pytest.approx(2 * four.torque)
    ring = split_clamp(WRAP, length="20 mm", screw="4 mm", screws=2, kind="one slit")
    assert ring.torque == pytest.approx(two.torque / 2)
    assert two.torque == pytest.approx(0.15 * 0.004 * two.force / 2)


def test_with_a_plug_the_screws_limit_a_clamp():
    """Two 4 mm screws at 250 MPa on their nominal area, 2 x 12.566 mm2, by hand: 6 283 N a half."""
    bare = split_clamp(WRAP, length="20 mm", screw="4 mm")
    held = split_clamp(WRAP, length="20 mm", screw="4 mm", plug=True)
    assert held.force == pytest.approx(6283.2, rel=1e-4)
    assert held.torque == pytest.approx(0.15 * 0.004 * 3141.6, rel=1e-4)
    assert held.damage == "screws"
    assert "the screws set the limit" in held.why
    assert bare.force < held.force
    ring = split_clamp(WRAP, length="20 mm", screw="4 mm", kind="one slit", plug=True)
    assert ring.force == pytest.approx(2 * held.force)


def test_thin_screws_yield_before_a_stout_wall():
    """A 304 tube of 4 mm wall dents later than two 2 mm screws yield (2 x 785 N, by hand)."""
    stout = split_clamp(Tube("304", od="20 mm", wall="4 mm"), length="20 mm", screw="2 mm")
    assert stout.damage == "screws"
    assert stout.force == pytest.approx(1570.8, rel=1e-4)
    assert "yield before 304" in stout.why


def test_a_washer_on_a_plugged_tube_is_not_limited_by_the_wall():
    assert clamp_up(WRAP, washer="12 mm") < clamp_up(WRAP, washer="12 mm", plug=True)


def test_metal_dents_and_does_not_crack():
    assert split_clamp(Tube("304", od="20 mm", wall="1 mm"), length="20 mm",
                       screw="4 mm").damage == "dent"  # fmt: skip


@pytest.mark.parametrize(
    ("args", "words"),
    [
        ({"hole": "30 mm"}, "as wide as the bore"), ({"hole": "0 mm"}, "hole"),
        ({"edge_distance": "2 mm"}, "runs out of the end"), ({"place": "top"}, "place of the hole"),
        ({"factor": 0.5}, "1 or more"), ({"load": "2 kg"}, "load"),
        ({"pin": "unobtainium"}, "unobtainium"),
    ],
)  # fmt: skip
def test_bolts_that_cannot_be_are_refused(args, words):
    with pytest.raises(InputError, match=words):
        bolt(WRAP, **({"hole": "6 mm", "load": "2 kN"} | args))


@pytest.mark.parametrize(
    ("args", "words"),
    [({"kind": "hinge"}, "kind of clamp"), ({"screws": 0}, "number of screws"),
     ({"factor": 0.9}, "1 or more"), ({"length": "-1 mm"}, "length")],
)  # fmt: skip
def test_clamps_that_cannot_be_are_refused(args, words):
    with pytest.raises(InputError, match=words):
        split_clamp(WRAP, **({"length": "20 mm", "screw": "4 mm"} | args))
