"""Stiffness and strength for their weight."""

from __future__ import annotations

from tubecalc.checks.base import Candidates
from tubecalc.laminate.elastic import Array


def specific_columns(part: Candidates) -> dict[str, Array]:
    """Stiffness and strength of each tube and both per mass per length.

    Parameters
    ----------
    part : Candidates
        N tubes.

    Returns
    -------
    dict
        Columns with their unit in the name.
    """
    s = part.sections
    m = s.mass_per_length
    out = {"EA_N": s.EA, "EI_N_m2": s.EI, "GJ_N_m2": s.GJ}
    out["EA_per_mass_MN_m_per_kg"] = s.EA / m / 1e6
    out["EI_per_mass_N_m3_per_kg"] = s.EI / m
    out["GJ_per_mass_N_m3_per_kg"] = s.GJ / m
    for load, unit, scale in (
        ("tension", "kN_m_per_kg", 1e3), ("compression", "kN_m_per_kg", 1e3),
        ("bending", "N_m2_per_kg", 1.0), ("torsion", "N_m2_per_kg", 1.0),
    ):  # fmt: skip
        out[f"{load}_per_mass_{unit}"] = s.unit[load].broken / m / scale
    return out
