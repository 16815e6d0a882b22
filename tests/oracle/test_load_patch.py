"""The shell under a patch against three-dimensional elasticity of the same load."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.oracle.elastic_patch import patch as elastic
from tests.oracle.elastic_patch import waves
from tubecalc.evidence.tubes import solver_tube
from tubecalc.loadpoint import Patch, respond
from tubecalc.ring_wave import wave_strains

WALLS = {
    "steel": "steel+0x1",
    "axial": "ud+0x1",
    "hoop": "ud+90x1",
    "0/90/0": "ud+0x0.25 ud+90x0.5 ud+0x0.25",
    "90/0/90": "ud+90x0.25 ud+0x0.5 ud+90x0.25",
    "rolled": "ud+90x0.125 ud+0x0.625 woven+0x0.25",
    "+-45": "ud+45x0.25 ud-45x0.25 ud+45x0.25 ud-45x0.25",
}


def compare(name, od, length):
    """Shell over elasticity: dent, hoop strain at the bore."""
    tube = solver_tube(f"OD {od} ID {od - 2} [{WALLS[name]}]")
    s, angle = tube.sections, math.radians(30.0)
    exact, bore = elastic(tube.layup, od / 1e3, length, angle, most=50, along=60, per_ply=2)
    found = respond(s.walls, s.R[None, :], Patch(length, angle))
    strain = (found.stretch - s.t[0] / 2 * found.curve)[0, 0, 0] * s.R[0] / s.ri[0]
    return float(found.dent[0, 0] / exact), float(strain[1] / bore[1])


@pytest.mark.parametrize("name", WALLS)
@pytest.mark.parametrize("length", [2e-3, 10e-3])
def test_thick(name, length):
    """R/t 4.5: dent 5 %; bore 9 % under 2 mm and 3 % under 10 mm."""
    dent, strain = compare(name, 10, length)
    assert dent == pytest.approx(1.0, abs=0.05)
    assert strain == pytest.approx(1.0, abs=0.09 if length < 5e-3 else 0.03)


@pytest.mark.parametrize("name", WALLS)
def test_thin(name):
    """R/t 19.5: dent 1 %, bore 3 %."""
    dent, strain = compare(name, 40, 4e-3)
    assert dent == pytest.approx(1.0, abs=0.01)
    assert strain == pytest.approx(1.0, abs=0.03)


def test_waves_of_the_layered_ring():
    """Ring and elasticity of one wave agree to 0.1 %, angle plies and their sliding included."""
    n = np.array([2.0, 3.0, 5.0, 9.0, 20.0])
    for name in ("steel", "90/0/90", "+-45"):
        tube = solver_tube(f"OD 10 ID 8 [{WALLS[name]}]")
        _, strains = waves(tube.layup, 4e-3, np.full_like(n, 1e-3), n, 6)
        ring = wave_strains(tube.layup, np.array([4.5e-3]), n)[0, 0]
        assert np.allclose(ring, strains[:, 1] * 4.5 / 5.0, rtol=1e-3)


@pytest.mark.parametrize("name", ["steel", "0/90/0"])
def test_at_the_ends_of_the_range(name):
    """R/t 2 and 100, 5 mm long: dent 12 and 1 %."""
    assert compare(name, 5, 5e-3)[0] == pytest.approx(1.0, abs=0.12)
    assert compare(name, 201, 5e-3)[0] == pytest.approx(1.0, abs=0.01)
    assert np.isfinite(compare(name, 5, 5e-3)[1])
