"""Families of the other criteria: Puck, LaRC03, strength of a held ply, ply discount."""

from __future__ import annotations

import re

import numpy as np

from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given
from tubecalc.evidence.laminates import ply_of, stack_of
from tubecalc.laminate.criteria_insitu import THICK, in_situ, last_ply_factor
from tubecalc.laminate.criteria_larc import matrix_compression
from tubecalc.laminate.criteria_puck import plane_resistance, puck_exposure
from tubecalc.laminate.layer import strengths_of
from tubecalc.laminate.strength import Strengths


def _strengths(text: str) -> Strengths:
    """Strengths of a book that prints only some; the others never act in these rows."""
    words = {"Xt": "F1t", "Xc": "F1t", "Yt": "F2t", "Yc": "F2t", "S12": "F6"}
    return strengths_of([ply_of(text).si])._replace(
        **{k: np.array([given(text, w, "MPa")]) for k, w in words.items()}
    )


@register(r"PUCK-")
def _puck(row: Row) -> float | None:
    text = row.inputs
    if row.id == "PUCK-RA":
        yc, s12, p = given(text, "Rc", "MPa"), given(text, "R21", "MPa"), given(text, "p21c")
        return float(plane_resistance(yc, s12, p))
    found = re.search(r"s2=(-?[\d.]+), t21=([\d.]+)", row.quantity)
    if found is None:
        return None
    s2, t12 = (float(v) * 1e6 for v in found.groups())
    strengths = {"Yt": "Rt", "Yc": "Rc", "S12": "R21"}
    mpa = {k: given(text, v, "MPa") for k, v in strengths.items()}
    return float(puck_exposure(s2, t12, **mpa, p21t=given(text, "p21t"), p21c=given(text, "p21c")))


@register(r"LARC03-F11_")
def _larc(row: Row) -> float | None:
    """Shear that a ply under a stated transverse compression still carries."""
    s2 = given(row.quantity, "s2") * 1e6
    yc, s12 = given(row.inputs, "Yc", "MPa"), given(row.inputs, "S", "MPa")
    low, high = 0.0, 3.0 * s12
    for _ in range(60):
        middle = 0.5 * (low + high)
        sound = float(matrix_compression(s2, middle, Yc=yc, S12=s12)) < 1.0
        low, high = (middle, high) if sound else (low, middle)
    return low


@register(r"LARC-insitu-")
def _in_place(row: Row) -> float | None:
    name = row.id.removeprefix("LARC-insitu-")
    value = np.array([given(row.inputs, name, "MPa")])
    ply = Strengths(*[value] * 5, *[np.ones(1)] * 6)
    found = in_situ(ply, 2 * THICK["glass"], thick_from=THICK["glass"])
    return float((found.Yt if name == "Yt" else found.S12)[0])


@register(r"BARBERO7\.(?:5-(?:F2t|R_)|8-)")
def _cross_ply(row: Row) -> float | None:
    """[0/90]s of thick glass plies: first crack in place, then the fibres alone."""
    text, wall = row.inputs, stack_of(row.inputs)
    loads = [given(text, "Nx", "N/mm"), 0.0, 0.0]
    if row.id == "BARBERO7.8-NLPF":
        return loads[0] * last_ply_factor(wall, np.array(loads))
    held = in_situ(_strengths(text), wall.t / 2)  # the two plies across stand together
    if row.id.endswith("F2t_insitu"):
        return float(held.Yt[0])
    stress = wall.ply_stresses(wall.strains([*loads, 0.0, 0.0, 0.0], curls=False))
    return float(held.Yt[0] / np.max(stress[..., 1]))
