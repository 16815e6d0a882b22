"""First failure of a flat or closed wall under wall forces and moments."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.laminate import strength
from tubecalc.laminate.layer import strengths_of
from tubecalc.units import to_si

if TYPE_CHECKING:
    from tubecalc.laminate.layup import Layup

_LOADS = ("Nx", "Ny", "Nxy", "Mx", "My", "Mxy")


@dataclass(frozen=True)
class Failure:
    """First failure of a stack under a load: load factor, ply counted from the inside, mode."""

    load_factor: float
    ply: int
    angle: float
    face: str
    mode: str
    criterion: str


def first_failure(
    layup: Layup, given: Mapping[str, Any], *, criterion: str, curls: bool
) -> Failure:
    """Factor on wall loads at which the first ply fails; see `Layup.first_failure`."""
    loads = [
        _wall_load(given[name], "line_load" if name.startswith("N") else "force", name)
        for name in _LOADS
    ]
    if not any(loads):
        raise InputError("no load is given", where="first_failure", expected="for example Nx")
    stress = layup.ply_stresses(layup.strains(loads, curls=curls))
    table = strengths_of([x.values for x in layup.plies])
    per_face = strength.Strengths._make(c[:, None] for c in table)
    factor = strength.first_failure_factor(
        criterion, stress[..., 0], stress[..., 1], stress[..., 2], per_face
    )
    unknown = [bool(np.isnan(f).any()) for f in factor]
    if any(unknown):
        names = {x.values.name for x, bad in zip(layup.plies, unknown, strict=True) if bad}
        raise InputError(
            "strength cannot be computed: strengths are missing",
            where="layup", got=", ".join(sorted(names)), expected="Xt, Xc, Yt, Yc and S12",
        )  # fmt: skip
    n, face = np.unravel_index(int(np.argmin(factor)), factor.shape)
    one = strength.Strengths._make(c[n] for c in table)
    s1, s2, t12 = stress[n, face].tolist()
    mode = strength.mode_name(s1, s2, t12, one)
    return Failure(
        float(factor[n, face]), int(n) + 1, layup.plies[n].angle, ("inner", "outer")[face], mode,
        criterion,
    )  # fmt: skip


def _wall_load(value: Any, kind: str, name: str) -> float:
    """A wall load to SI; a bare zero means none."""
    if isinstance(value, int | float) and value == 0:
        return 0.0
    return to_si(value, kind, what=name, where="first_failure")
