"""Reserve of every ply: the wall's own capacities, hand formulas and limits as second opinion."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tubecalc import section
from tubecalc.errors import InputError
from tubecalc.laminate.layup import Layup
from tubecalc.laminate.own_ply import ply_of
from tubecalc.materials import get_ply
from tubecalc.need import Case
from tubecalc.plystress import Loads
from tubecalc.plystress_reserve import carried, loads_of_case, words_of
from tubecalc.section_residual import first_damage, residual_stress
from tubecalc.tube import Tube

UD, CLOTH = "carbon-sm-ud", "carbon-woven"
WALL = Layup.from_notation("[90/+/-45/0_4/0f]", {"": UD, "f": CLOTH})
LOADS = [
    Loads(axial=1000.0), Loads(axial=-1000.0), Loads(moment=20.0), Loads(torque=5.0),
    Loads(axial=500.0, moment=20.0, torque=-5.0, shear=80.0), Loads(p_in=1e6),
]  # fmt: skip


@pytest.mark.parametrize("loads", LOADS, ids=str)
def test_least_damage_and_break_are_those_of_the_checks(loads: Loads) -> None:
    """Ply by ply at its faces, or at once in the section: one and the same number."""
    tube = Tube(WALL, id="20 mm")
    found = carried(tube, loads, cure=False)
    whole = tube.sections.capacity_of(
        section.Loads(loads.axial, loads.moment, loads.torque, loads.p_in, loads.p_out), loads.shear
    )
    assert found.damaged.damage == pytest.approx(float(whole.first[0]), rel=1e-3)
    assert found.broken == pytest.approx(float(whole.broken[0]), rel=1e-9)


@pytest.mark.parametrize("loads", [LOADS[0], LOADS[2], LOADS[3]], ids=str)
def test_with_stress_of_cure_it_is_that_of_the_check_too(loads: Loads) -> None:
    tube = Tube(WALL, id="20 mm")
    s = tube.sections
    before = residual_stress(s, 20.0)
    assert before is not None
    direct = first_damage(
        s, section.Loads(loads.axial, loads.moment, loads.torque), loads.shear, before
    )
    found = carried(tube, loads)
    assert found.cure_known
    assert found.damaged.damage == pytest.approx(float(direct[0]), rel=2e-3)
    assert found.damaged.damage < carried(tube, loads, cure=False).damaged.damage


def test_a_wall_of_one_ply_breaks_at_its_strength_over_the_mean_stress() -> None:
    tube = Tube(Layup.from_notation("[0_4]", UD), id="20 mm")
    stress = 1000.0 / float(tube.area.to("m^2").magnitude)
    ply = get_ply(UD).si
    for load, limit in ((1000.0, ply.Xt), (-1000.0, ply.Xc)):
        found = carried(tube, Loads(axial=load), cure=False)
        assert len(found.runs) == 1
        assert found.runs[0].numbers == "1 to 4"
        assert found.parted.fibre == pytest.approx(limit / stress, rel=1e-3)


def test_equal_neighbours_are_one_run_with_the_stress_of_its_plies() -> None:
    tube = Tube(WALL, id="20 mm")
    found = carried(tube, LOADS[4], cure=False)
    table = tube.ply_stress(axial="500 N", moment="20 N m", torque="-5 N m", shear="80 N")
    assert [r.numbers for r in found.runs] == ["1", "2", "3", "4 to 7", "8"]
    run = found.runs[3]
    for ply, face, k in ((4, "inner", 0), (7, "outer", 1)):
        rows = table[(table["ply"] == ply) & (table["face"] == face)]
        direct = rows[["sigma1_MPa", "sigma2_MPa", "tau12_MPa"]].to_numpy()
        assert run.stress[:, k] / 1e6 == pytest.approx(direct, rel=1e-3, abs=1e-6)
    assert run.inner == pytest.approx(0.010 + 3 * 0.15e-3)
    assert found.runs[-1].outer == pytest.approx(float(tube.sections.ro[0]))


def test_loads_of_a_case_are_those_of_the_beam() -> None:
    tube = Tube(WALL, id="20 mm")
    found = loads_of_case(tube, Case("cantilever", load=60.0, span=1.2, own_weight=True))
    own = float(tube.mass_per_length.to("kg/m").magnitude) * 9.80665
    assert found.moment == pytest.approx(60 * 1.2 + own * 1.2**2 / 2)
    assert found.shear == pytest.approx(60 + own * 1.2)
    held = loads_of_case(tube, Case("pressure", p_in=1e6, closed=True))
    assert held == Loads(p_in=1e6, closed=True)
    pulled = carried(tube, held, cure=False)
    alone = carried(tube, Loads(p_in=1e6), cure=False)
    along = [
        r.stress[0, :, 0].mean() - q.stress[0, :, 0].mean()
        for r, q in zip(pulled.runs, alone.runs, strict=True)
    ]
    assert along[3] > 0  # closed ends pull the axial plies


def test_what_is_not_known_is_said_and_not_guessed() -> None:
    bare = ply_of({"name": "bare", "E1": "40 GPa", "E2": "9 GPa", "G12": "4 GPa", "nu12": 0.3,
                   "density": "1.9 g/cm3", "thickness": "0.2 mm"})  # fmt: skip
    tube = Tube(Layup.of([(bare, 90, None), (bare, 0, None)]), id="20 mm")
    found = carried(tube, Loads(axial=1000.0))
    assert not found.cure_known
    assert "not known" in found.why_not
    assert math.isnan(found.runs[0].damage)
    assert "no known strengths" in words_of(found)[0]


def test_warmth_alone_changes_the_stress_of_cure_only() -> None:
    tube = Tube(WALL, id="20 mm")
    cold, warm = (carried(tube, LOADS[0], temperature=t) for t in (-40.0, 80.0))
    assert cold.damaged.damage < warm.damaged.damage
    assert np.array_equal(cold.runs[0].stress, warm.runs[0].stress)


def test_no_load_and_several_tubes_are_refused() -> None:
    with pytest.raises(InputError, match="no load is given"):
        carried(Tube(WALL, id="20 mm"), Loads())
    with pytest.raises(InputError, match="takes one tube"):
        carried(Tube(WALL, id=["20 mm", "30 mm"]), LOADS[0])


def test_a_bar_carries_without_stress_of_cure() -> None:
    bar = Tube("304", od="10 mm", id="0 mm")
    found = carried(bar, Loads(moment=1.0))
    assert "bar" in found.why_not
    assert words_of(found, metal=True)[0].startswith("It yields at")
