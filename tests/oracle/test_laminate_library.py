"""Second opinion on A, B and D: a general laminate library off the package index.

`composites` (BSD-3, plates and shells of any stack) has its own ply rotation and summation; it
knows nothing of tubes. Random stacks of every ply of the data files, one to a dozen plies, every
angle and thickness, with mixed materials.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tubecalc as tc
from tubecalc.materials import get_ply

composites = pytest.importorskip("composites", reason="the laminate library is not installed")

PLIES = (
    "carbon-sm-ud", "carbon-im-ud", "carbon-hm-ud", "carbon-uhm-ud", "glass-ud", "glass-wound-ud",
    "carbon-woven", "glass-woven",
)  # fmt: skip
stacks = st.lists(
    st.tuples(
        st.sampled_from(PLIES),
        st.one_of(st.sampled_from((0.0, 90.0, 45.0, -45.0, 55.0, -90.0)), st.floats(-90, 90)),
        st.floats(0.02, 1.5),
    ),
    min_size=1,
    max_size=12,
)


def library(stack):
    """The same stack in the library: bottom to top is inside to outside."""
    props = []
    for key, _, _ in stack:
        v = get_ply(key).si
        props.append((v.E1, v.E2, v.nu12, v.G12, v.G12, v.G12))
    return composites.laminated_plate(
        stack=[angle for _, angle, _ in stack],
        plyts=[1e-3 * t for _, _, t in stack],
        laminaprops=props,
    )


def ours(stack):
    return tc.Layup.of([(key, angle, f"{t!r} mm") for key, angle, t in stack])


@settings(max_examples=150, deadline=None)
@given(stacks)
def test_stiffness_of_random_stacks(stack):
    theirs, wall = library(stack), ours(stack)
    for power, (name, unit) in enumerate((("A", "N/m"), ("B", "N"), ("D", "N*m"))):
        found = getattr(wall, name).to(unit).magnitude
        expected = np.asarray(getattr(theirs, name))
        # absolute: a wall of 1 Pa, where entries cancel
        np.testing.assert_allclose(found, expected, rtol=1e-9, atol=wall.t ** (power + 1))


@settings(max_examples=60, deadline=None)
@given(stacks)
def test_moduli_of_symmetric_stacks(stack):
    """Ex, Ey, Gxy and nuxy of a mirrored stack, where a flat plate and a closed tube agree."""
    mirrored = [*stack, *stack[::-1]]
    wall, theirs = ours(mirrored), library(mirrored)
    a = np.linalg.inv(np.asarray(theirs.A))
    t = wall.t
    assert float(wall.Ex.to("Pa").magnitude) == pytest.approx(1 / (a[0, 0] * t), rel=1e-9)
    assert float(wall.Ey.to("Pa").magnitude) == pytest.approx(1 / (a[1, 1] * t), rel=1e-9)
    assert float(wall.Gxy.to("Pa").magnitude) == pytest.approx(1 / (a[2, 2] * t), rel=1e-9)
    assert wall.nuxy == pytest.approx(-a[0, 1] / a[0, 0], rel=1e-8, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(stacks)
def test_wall_table_agrees_with_the_library(stack):
    """The array code of the sweep (not the Layup object) against the library's A, B and D."""
    wall, theirs = ours(stack), library(stack)
    moments = tc.Tube(wall, id="200 mm").sections.walls.moments[:, :, 0]  # of z^0 to z^3, six each
    for power, name in enumerate("ABD"):
        six = np.asarray(getattr(theirs, name))[np.triu_indices(3)]
        np.testing.assert_allclose(moments[power], six, rtol=1e-9, atol=wall.t ** (power + 1))
