"""Families of shells: buckling by the finite-element solver, flattening, SP-8007, vessels."""

from __future__ import annotations

import math

import numpy as np

from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given, has
from tubecalc.evidence.tubes import isotropic, si, solver_tube
from tubecalc.shell import (
    critical_bending,
    flattening_moment,
    knock_down,
    perfect,
    ritz,
    short_wave_axial,
)
from tubecalc.shell.ritz import Acting
from tubecalc.shell.walls import shell_walls
from tubecalc.tube import Tube

_STEEL60 = "OD 60 ID 57 [steel+0x1.5]"


def _least(tube: Tube, span: float, acting: Acting, *, clamped: bool = False) -> float:
    """Least factor over the waves round, simple or clamped ends."""
    s = tube.sections
    wall, R = shell_walls(s.walls), float(s.R[0])
    along = range(1, 15)
    return min(ritz(wall, R, span, acting, [n], along, clamped=clamped) for n in range(13))


@register(r"BB_(?!.*column)|BL_")
def _solver(row: Row) -> float | None:
    """Perfect tube between simply supported ends or clamped plates; the pressure is dead."""
    tube, span = solver_tube(row.inputs), given(row.quantity, "L", "mm")
    if "clamped" in row.quantity:
        return _least(tube, span, Acting(axial=1.0), clamped=True)
    if "torsional" in row.quantity:
        sign = "-" if "- torque" in row.quantity else "+"
        return si(tube.critical(f"torsion{sign}", length=f"{span!r} m"))
    if "axial" in row.quantity:
        return si(tube.critical("axial", length=f"{span!r} m"))
    kind = "dead pressure" if "pressure" in row.quantity else "bending"
    return float(perfect(tube.sections, kind, span).load[0])


@register(r"BS_")
def _bricks(row: Row) -> float | None:
    return _least(solver_tube(_STEEL60), given(row.inputs, "L", "mm"), Acting(axial=1.0),
                  clamped=True)  # fmt: skip


@register(r"BZ_")
def _limit(row: Row) -> float | None:
    """Non-linear limit moment beside 0.9 of the lower of wrinkling and flattening."""
    s = solver_tube(row.inputs).sections
    return float(critical_bending(s, given(row.inputs, "L", "mm"))[0])


def _shell(text: str) -> Tube:
    """Isotropic tube of a row that gives r or D to mid-wall, t, E and nu."""
    t = given(text, "t", "mm")
    r = given(text, "r", "mm") if has(text, "r") else given(text, "D", "mm") / 2
    E = given(text, "E", "GPa") if has(text, "E") else 200e9
    return isotropic(2 * r + t, t, E, given(text, "nu") if has(text, "nu") else 0.3)


@register(r"BRAZIER-")
def _flattening(row: Row) -> float | None:
    if row.id.endswith("const"):
        moment = flattening_moment(isotropic(0.101, 1e-3, 1e9, 0.3).sections)[0]
        return float(moment / (1e9 * 0.05 * 1e-6 / math.sqrt(1 - 0.3**2)))
    return float(flattening_moment(_shell(row.inputs).sections)[0])


@register(r"SP8007-g[ABT]|SP8007-ortho-phi$")
def _share(row: Row) -> float | None:
    if row.id.endswith("gT"):
        torsion = float(knock_down(isotropic(0.101, 1e-3).sections, "torsion")[0])
        return math.pow(torsion, 4 / 3)
    ratio = given(row.inputs, "r/t") if has(row.inputs, "r/t") else 100.0
    s = isotropic(2 * ratio * 1e-3 + 1e-3, 1e-3).sections  # r is to mid-wall
    if row.id.startswith("SP8007-g") and "gP" not in row.id:
        return float(knock_down(s, "bending" if "-gB-" in row.id else "axial")[0])
    if "phi" in row.id:
        lost = (1.0 - float(knock_down(s)[0])) / 0.901
        return -math.log(1.0 - lost) / math.sqrt(ratio)
    return None


@register(r"SP8007-(?:ax|class)$")
def _short(row: Row) -> float | None:
    """Short thin cylinder in small waves, Donnell's equations."""
    if row.id.endswith("class"):
        s = isotropic(0.201, 1e-3, 70e9, given(row.inputs, "nu")).sections
        return float(short_wave_axial(s)[0]) / (2 * math.pi * 70e9 * 1e-6)
    s = _shell(row.inputs).sections
    return float(short_wave_axial(s)[0]) * given(row.inputs, "gamma")


@register(r"SP8007-tors$")
def _torsion(row: Row) -> float | None:
    """The row's share of the perfect cylinder between simply supported ends."""
    found = perfect(_shell(row.inputs).sections, "torsion+", given(row.inputs, "L", "mm"))
    return float(found.load[0]) * math.pow(given(row.inputs, "gamma"), 0.75)


@register(r"SP8007-lat")
def _lateral(row: Row) -> float | None:
    """Three quarters of the perfect cylinder's, pressure on the wall alone."""
    found = perfect(_shell(row.inputs).sections, "pressure", given(row.inputs, "L", "mm"))
    return 0.75 * float(found.load[0])


@register(r"SP8007-long$|WT-LC$")
def _long(row: Row) -> float | None:
    """Long cylinder under outside pressure; SP-8007 takes a share of it."""
    share = given(row.quantity, "gamma", "1") if "gamma 0" in row.quantity else 1.0
    share = 0.9 if row.id == "SP8007-long" else share
    return share * si(_shell(row.inputs).critical("pressure"))


@register(r"WT-(?:18ga|24ga|vs)")
def _hydrostatic(row: Row) -> float | None:
    """Pressure on the wall and on the closed ends."""
    tube, span = _shell(row.inputs), given(row.inputs, "L", "mm")
    R = float(tube.sections.R[0])
    wall = shell_walls(tube.sections.walls)
    acting = Acting(axial=np.pi * R**2, pressure=1.0)
    return min(ritz(wall, R, span, acting, [n], [1, 2]) for n in range(2, 20))
