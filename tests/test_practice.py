"""What practice says of a stack, stiffness over angle, and own plies that a job carries."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.laminate.layup import Layup
from tubecalc.laminate.own_ply import ply_of, ply_table
from tubecalc.laminate.polar import stiffness_over_angle
from tubecalc.laminate.practice import cure_stress, stack_notes
from tubecalc.materials import Metal, get_ply
from tubecalc.section_residual import residual_stress
from tubecalc.tube import Tube

UD = "carbon-sm-ud"


def keys(text: str, ply: Any = UD) -> list[str]:
    return [n.key for n in stack_notes(Layup.from_notation(text, ply))]


@pytest.mark.parametrize(
    ("text", "said", "not_said"),
    [
        ("[0_3]", {"splits", "open"}, {"twists", "together", "soft", "breaks"}),
        ("[90/0_3/90]", set(), {"splits", "open", "twists", "together", "soft"}),
        ("[90_2]", {"breaks"}, {"splits", "open"}),
        ("[45_2]", {"twists", "soft", "open"}, {"splits"}),
        ("[+/-45]", {"soft", "open"}, {"twists", "splits"}),
        ("[90/0_8/90]", {"together"}, {"splits", "open"}),
        ("[90/0_4/90]", set(), {"together"}),
    ],
)
def test_each_stack_gets_its_remarks_and_no_others(
    text: str, said: set[str], not_said: set[str]
) -> None:
    found = set(keys(text))
    assert said <= found
    assert not found & not_said


def test_cloth_outside_protects_and_counts_as_crossing() -> None:
    table = {"": UD, "f": "carbon-woven"}
    assert keys("[0_3/0f]", table) == []
    assert "open" in keys("[0f/0_3]", table)


def test_a_metal_has_no_remarks() -> None:
    assert stack_notes(Layup.of([("304", 0, "1 mm")])) == []


def test_stress_of_cure_agrees_with_the_exact_thin_tube_and_is_in_balance() -> None:
    """Thin tube, R/t 500: the layered cylinder tends to the closed flat wall."""
    wall = Layup.from_notation("[90/0_2/90]", UD)
    got = cure_stress(wall)
    assert got is not None
    thin = Tube(wall, id=f"{2 * 500 * wall.t * 1e3} mm")
    exact = residual_stress(thin.sections, 20.0)
    assert exact is not None
    assert float(got[:, 1].max()) == pytest.approx(float(np.max(exact[1])), rel=0.01)
    pairs = zip(got, wall.plies, strict=True)
    turned = [(s[0], s[1]) if p.angle == 0 else (s[1], s[0]) for s, p in pairs]
    assert np.sum(turned, axis=0) == pytest.approx([0.0, 0.0], abs=1.0)  # Pa: no force is left


def test_stress_of_cure_is_not_told_where_it_is_not_known() -> None:
    bare = ply_of({"name": "bare", "E1": "40 GPa", "E2": "9 GPa", "G12": "4 GPa", "nu12": 0.3,
                   "density": "1.9 g/cm3", "thickness": "0.2 mm"})  # fmt: skip
    wall = Layup.of([(bare, 0, None), (bare, 90, None)])
    assert cure_stress(wall) is None
    assert "cure" not in [n.key for n in stack_notes(wall)]


# --- stiffness over angle -------------------------------------------------------------------


@pytest.mark.parametrize("text", ["[0]", "[90/0_3/90]", "[+/-45]_s", "[30/0_2/-60/15]"])
def test_stiffness_over_angle_is_that_of_the_turned_stack(text: str) -> None:
    """Second opinion: turn every ply instead of the axes."""
    wall = Layup.from_notation(text, UD)
    turns = [0.0, 20.0, 45.0, 90.0, -33.0]
    found = stiffness_over_angle(wall, turns)
    for turn, e, g in zip(turns, found.E, found.G, strict=True):
        plies = [(UD, ((p.angle - turn + 90) % 180) - 90, f"{p.thickness!r} m") for p in wall.plies]
        other = Layup.of(plies)
        assert e == pytest.approx(other.Ex.to("Pa").magnitude, rel=1e-9)
        assert g == pytest.approx(other.Gxy.to("Pa").magnitude, rel=1e-9)


def test_a_metal_is_round() -> None:
    found = stiffness_over_angle(
        Layup.of([(Metal("m", E="200 GPa", nu=0.3, density="8 g/cm3"), 0, "1 mm")]),
        np.linspace(0, 90, 7),
    )
    assert pytest.approx(np.full(7, 200e9), rel=1e-12) == found.E
    assert pytest.approx(np.full(7, 200e9 / 2.6), rel=1e-12) == found.G


# --- own plies ------------------------------------------------------------------------------


def test_an_own_ply_travels_in_the_wall_of_a_job() -> None:
    known = ply_table(get_ply(UD))
    assert ply_of({**known, "name": "mine"}).si == get_ply(UD).si.__class__(
        **{**vars(get_ply(UD).si), "name": "mine"}
    )
    wall = {"name": "w", "fill": [{"ply": {**known, "name": "mine"}, "angle": 0, "count": 4}]}
    job = Job(walls={"own-w": wall}, candidates=(Candidate("own-w", 0.0212, 0.02),))
    again = Job.from_toml(job.to_toml())
    assert again == job
    made = again.candidates[0].tube(again)
    other = Tube(Layup.from_notation("[0_4]", UD), od="21.2 mm")
    assert float(made.EI.magnitude) == pytest.approx(float(other.EI.magnitude), rel=1e-9)
    assert made.layup.plies[0].key == "mine"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"name": "carbon-sm-ud"}, "comes with tubecalc"),
        ({"name": ""}, "needs a name"),
        ({"E1": "125"}, "has no unit"),
        ({"E1": None}, "needs E1"),
        ({"colour": "red"}, 'unknown field "colour"'),
        ({"nu12": 5.0}, "nu12"),
    ],
)
def test_an_own_ply_that_cannot_be_is_refused_at_its_field(
    change: dict[str, Any], words: str
) -> None:
    table: dict[str, Any] = {**ply_table(get_ply(UD)), "name": "mine", **change}
    table = {k: v for k, v in table.items() if v is not None}
    wall = {"name": "w", "fill": [{"ply": table, "angle": 0}]}
    with pytest.raises(InputError, match=words) as caught:
        Job(walls={"own-w": wall})
    assert str(caught.value).startswith("job:wall own-w:fill:1:ply")
