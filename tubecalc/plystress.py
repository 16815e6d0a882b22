"""Ply stresses through the wall of one tube as a table.

Axial force, torque, pressure and temperature by the exact layered solution; bending and transverse
shear by the layer-wise membrane section (within 5 % of a finite-element solver for the governing
stress of balanced walls, 15 % for a single helix).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc import section
from tubecalc.errors import InputError
from tubecalc.laminate.elastic import Array, stress_rotation
from tubecalc.thickwall import ThickWall
from tubecalc.units import to_si

if TYPE_CHECKING:
    import pandas as pd

    from tubecalc.tube import Tube

_KINDS = {
    "axial": "force", "moment": "moment", "torque": "torque", "shear": "force",
    "p_in": "pressure", "p_out": "pressure", "delta_T": "temperature_difference",
}  # fmt: skip
COLUMNS = (
    "ply", "material", "angle", "face", "station", "sigma1_MPa", "sigma2_MPa", "tau12_MPa",
)  # fmt: skip


@dataclass(frozen=True)
class Loads:
    """Loads of `ply_stress_table` in SI."""

    axial: float = 0.0
    moment: float = 0.0
    torque: float = 0.0
    shear: float = 0.0
    p_in: float = 0.0
    p_out: float = 0.0
    delta_T: float = 0.0
    closed: bool = False


def read_loads(given: dict[str, Any], ends: str) -> Loads:
    """Loads from texts and quantities.

    Raises
    ------
    InputError
        For a value that cannot be read, no load at all, or unknown ends.
    """
    if ends not in ("open", "closed"):
        raise InputError(
            "ends are not known", where="ply_stress:ends", got=ends, expected='"open" or "closed"'
        )
    values = {k: to_si(v, _KINDS[k], what=k) for k, v in given.items() if v is not None}
    if not any(values.values()):
        raise InputError("no load is given", where="ply_stress", expected='axial="1 kN"')
    return Loads(closed=ends == "closed", **values)


def _even_part(tube: Tube, loads: Loads) -> Callable[[int, float], Array]:
    """Stress (s1, s2, t12) of a ply at a radius from loads that act alike all round."""
    s = tube.sections
    if s.ri[0] > 1e-6 * s.ro[0]:
        if loads.delta_T:
            _need_expansion(tube)
        found = ThickWall(tube.layup, float(s.ro[0])).solve(
            axial=loads.axial, torque=loads.torque, p_in=loads.p_in, p_out=loads.p_out,
            closed=loads.closed, delta_T=loads.delta_T,
        )  # fmt: skip
        return lambda ply, r: found.ply_stress(ply, r)[[0, 1, 3]]
    if loads.p_in or loads.p_out or loads.delta_T:
        raise InputError("pressure and temperature need a bore", where="ply_stress", got="ID 0")
    return lambda ply, r: _membrane(tube, ply, r, loads.axial, 0.0, loads.torque)


def _need_expansion(tube: Tube) -> None:
    missing = {x.values.name for x in tube.layup.plies if math.isnan(x.values.alpha1)}
    if missing:
        raise InputError(
            "expansion coefficients are missing", where="ply_stress:delta_T",
            got=", ".join(sorted(missing)), expected="alpha1 and alpha2",
        )  # fmt: skip


def _membrane(tube: Tube, ply: int, r: float, axial: float, moment: float, torque: float) -> Array:
    """Stress of the layer-wise section; transverse shear is like a torque at the sides."""
    one = np.ones(1)
    strain = tube.sections.strains_at(r * one, section.Loads(axial, moment, torque))
    turn = stress_rotation(np.radians(tube.layup.plies[ply].angle))
    return np.asarray(turn @ tube.layup.qbar[ply] @ np.concatenate(strain))


def ply_stress_table(tube: Tube, loads: Loads) -> pd.DataFrame:
    """Ply-axis stresses at both faces of every ply, at the extreme fibres and the sides.

    Parameters
    ----------
    tube : Tube
        One tube.
    loads : Loads
        Section loads, pressure and temperature in SI.

    Returns
    -------
    pandas.DataFrame
        See `Tube.ply_stress`.

    Raises
    ------
    InputError
        If pressure or temperature is asked of a solid bar, or expansion is not known.
    """
    import pandas as pd

    radius = float(tube.sections.R[0])
    places = [("all round", 0.0, 0.0)]
    if loads.moment:
        places = [("tension side", loads.moment, 0.0), ("compression side", -loads.moment, 0.0)]
    if loads.shear:
        side = 2 * radius * loads.shear
        places += [("side", 0.0, side), ("other side", 0.0, -side)]
    even = _even_part(tube, loads)
    rows = []
    for number, ply in enumerate(tube.layup.plies):
        for face, z in zip(("inner", "outer"), tube.layup.faces[number : number + 2], strict=True):
            r = max(radius + float(z), 1e-9)
            base = even(number, r)
            for name, moment, torque in places:
                total = (base + _membrane(tube, number, r, 0.0, moment, torque)) / 1e6
                material = ply.key or ply.values.name
                rows.append((number + 1, material, ply.angle, face, name, *total.tolist()))
    return pd.DataFrame(rows, columns=list(COLUMNS))
