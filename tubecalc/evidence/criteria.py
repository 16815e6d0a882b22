"""Families of the other criteria: Puck, LaRC03, strength of a held ply, ply discount."""

from __future__ import annotations

import re
from statistics import NormalDist

import numpy as np

from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given
from tubecalc.evidence.laminates import ply_of, stack_of
from tubecalc.evidence.sections import section_property
from tubecalc.evidence.tubes import isotropic
from tubecalc.laminate.criteria_insitu import THICK, in_situ, last_ply_factor
from tubecalc.laminate.criteria_larc import matrix_compression
from tubecalc.laminate.criteria_puck import plane_resistance, puck_exposure
from tubecalc.laminate.layer import strengths_of
from tubecalc.laminate.layup import Layup
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


@register(r"BARBERO7\.7-")
def _wound_vessel(row: Row) -> float | None:
    """Factored membrane stress of a closed vessel on its plies, and margins of factored strength.

    Load and strength scatter by 10 and 12 per cent; both are taken at the reliability stated.
    """
    text, name = row.inputs, row.id.split("-", 1)[1]
    spread = {"load_factor": 1.0, "resistance_factor": -1.0}
    away = NormalDist().inv_cdf(given(text, "reliability"))
    if name in spread:
        scatter = re.search(r"COV load ([\d.]+) strength ([\d.]+)", text)
        if scatter is None:
            return None
        return 1.0 + spread[name] * away * float(scatter[1 if name == "load_factor" else 2])
    wall = Layup.from_notation("[55/-55]_s", ply_of(text), "0.375 mm")
    hoop = (1.0 + away * 0.10) * given(text, "p", "MPa") * given(text, "d", "mm") / 2
    loads = [hoop / 2, hoop, 0.0, 0.0, 0.0, 0.0]
    stress = np.abs(wall.ply_stresses(wall.strains(loads, curls=False))[0, 0])
    face = {"1": 0, "2": 1, "6": 2, "t12": 2, "s1": 0, "s2": 1}
    if name[0] != "R":
        return float(stress[face[name]])
    alone = _strengths(text)
    held = in_situ(alone, THICK["carbon"])  # as the source: thick plies held by their neighbours
    strength = {"1": alone.Xt, "2": held.Yt, "6": held.S12}[name[1]]
    sure = 1.0 - away * 0.12
    return float(strength[0] / stress[face[name[1]]]) * sure


@register(r"BARBERO7\.14-OD_")
def _shaft(row: Row) -> float | None:
    """Smallest shaft of an 8 x 0.125 mm wall whose stress stays at the allowable."""
    bends = row.id.endswith("bending")
    allowed = 0.5 * 0.395 * 1200.1e6 if bends else 0.5 * (0.3524 * 0.5 + 0.0884) * 1200.1e6
    low, high = 5e-3, 0.2
    for _ in range(24):
        middle = 0.5 * (low + high)
        tube = isotropic(middle, 1e-3)
        modulus = section_property(tube, "W_el" if bends else "W_t")
        low, high = (low, middle) if 113.0 / modulus < allowed else (middle, high)
    return high
