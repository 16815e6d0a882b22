"""Without the solver these tests skip, or fail where TUBECALC_REQUIRE_SOLVER=1 asks for it."""

from __future__ import annotations

import os
from collections.abc import Callable

import pytest

from tests.oracle.fe.section import Section, solve_section
from tests.oracle.fe.solve import CCX
from tests.oracle.fe.walls import Wall


@pytest.fixture(scope="session")
def solver() -> str:
    if CCX is None:
        if os.environ.get("TUBECALC_REQUIRE_SOLVER") == "1":
            pytest.fail("ccx is missing and TUBECALC_REQUIRE_SOLVER=1 asks for it")
        pytest.skip("ccx (Debian package calculix-ccx) is missing")
    return CCX


@pytest.fixture(scope="session")
def section_of(solver: str, tmp_path_factory: pytest.TempPathFactory) -> Callable[[Wall], Section]:
    """The slice of a wall, solved once for all tests of that wall."""
    done: dict[Wall, Section] = {}

    def find(wall: Wall) -> Section:
        if wall not in done:
            done[wall] = solve_section(wall, tmp_path_factory.mktemp("slice"))
        return done[wall]

    return find
