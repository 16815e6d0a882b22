"""What passes and what is lightest, found with fewer checks, is what the whole sweep says."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import tubecalc as tc
from tubecalc.laminate.construction import composites, get_construction, metals
from tubecalc.sweep import default_sizes, grid, reserves
from tubecalc.sweep_quick import lightest, passing

JOBS = sorted((Path(__file__).parent.parent / "data" / "jobs").glob("*.toml"))


@pytest.mark.parametrize("job", JOBS, ids=lambda p: p.stem)
def test_what_passes_is_what_passes_in_a_sweep(job):
    need = tc.Need.from_toml(job)
    made = [get_construction(k) for k in ("roll-wrapped", "pultruded", "6063-T6")]
    every = grid(made, np.linspace(0.008, 0.05, 9), np.array([0.0008, 0.0015, 0.003]))
    whole = reserves(every, need)
    assert passing(every, need).tolist() == whole.passes.tolist()
    assert whole.passes.any()
    assert not whole.passes.all()


@pytest.mark.parametrize("job", JOBS, ids=lambda p: p.stem)
def test_the_lightest_are_the_first_of_each_construction_in_a_sweep(job):
    need = tc.Need.from_toml(job)
    every = grid((*composites().values(), *metals().values()), *default_sizes(need))
    found = lightest(every, need, 3)
    table = tc.sweep(need, specific=False)
    good = table[table["passes"] & table["in_range"] & ~table["unproven"]]
    first = good.drop_duplicates("construction").head(3)
    keys = [every.constructions[k].key for k in every.which[found]]
    assert keys == first["construction"].tolist()
    np.testing.assert_allclose(every.od[found] * 1e3, first["od_mm"], atol=1e-5)
    t = every.walls.t[every.index[found]] * 1e3
    np.testing.assert_allclose(t, first["wall_mm"], atol=1e-5)


def test_nothing_passes_is_said_and_not_guessed():
    need = tc.Need.from_toml('[[case]]\nkind = "strut"\nload = "90 MN"\nspan = "1 m"')
    every = grid([get_construction("6063-T6")], np.array([0.02]), np.array([0.001, 0.002]))
    assert lightest(every, need, 3) is None
    assert not passing(every, need).any()
