"""Pictures of bolts, clamps, pairs, heat and growth on page `join`; worst case and likely of each.

Pure functions that give HTML.
"""

from __future__ import annotations

import math
from html import escape

from tubecalc.app.join_work_bond import BoltFound, BondFound, HeatFound, MetalFound
from tubecalc.app.text import pairs_html
from tubecalc.app.view_join import about, scene_html
from tubecalc.app.view_layup import rows_html
from tubecalc.joining.galvanic import Couple
from tubecalc.joining.growth import per_degree
from tubecalc.joining.heat import kelvins
from tubecalc.joining.spread import LIMIT_ERROR, growth_spread, heat_spread
from tubecalc.share.bolt_picture import bolt_picture
from tubecalc.share.bond_curve import leading
from tubecalc.share.clamp_picture import clamp_picture
from tubecalc.share.growth_picture import athermal_picture, growth_picture
from tubecalc.share.heat_picture import heat_picture
from tubecalc.share.pair_picture import pair_picture

HEAD = "<h2>Worst case, and what is likely</h2>"
PARTS = {"shear_strength": "shear strength of the adhesive",
         "shear_strain": "its strain at failure", "shear_modulus": "its shear modulus"}  # fmt: skip
_UNITS = {"torsion": "torque", "bending": "moment"}
OWN_RULE = "ends of the published ranges taken as three standard deviations (own rule)"


def _note(words: str) -> str:
    return f'<p class="tc-note">{escape(words)}</p>'


# ---- bond -----------------------------------------------------------------------------------
def bond_scatter_html(found: BondFound, system: str) -> str:
    """Strength of a bond in the worst case and as is likely, and what takes how much."""
    if found.spread is None:
        return HEAD + _note("No statistical answer: the ranges of this adhesive are not known.")
    kind = leading(found.bond)
    unit = _UNITS.get(kind, "force")
    bears = float(found.bond.strengths[kind][0])
    if bears <= 0.0:
        return HEAD + _note("As computed, heat or cold alone parts this bond, whatever scatters.")
    length = float(found.bond.asked.overlap[0])
    likely, worst = found.spread.at(length, kind)
    rows = [
        ["typical values", about(bears, unit, system), "100 %"],
        ["likely least, one joint in a thousand less", about(bears * likely, unit, system),
         f"{100 * likely:.0f} %"],
        ["worst case, all at their bad ends at once", about(bears * worst, unit, system),
         f"{100 * worst:.0f} %"],
    ]  # fmt: skip
    parts = sorted(found.spread.parts.items(), key=lambda x: float(x[1].min()))
    said = ", ".join(f"{PARTS.get(n, n)} {100 * float(v.min()):.0f} %" for n, v in parts)
    return (
        HEAD + rows_html([("values", False), ("the bond bears", True), ("of typical", True)], rows)
        + _note(f"Left by each alone at its bad end: {said}; root sum square, {OWN_RULE}. Grade C.")
    )  # fmt: skip


# ---- bolts, clamps --------------------------------------------------------------------------
def bolt_picture_html(found: BoltFound, system: str) -> str:
    """End of the tube with its hole, and the section there."""
    s = found.sizes
    return scene_html(*(bolt_picture(
        found.tube, found.bolt, hole=s["hole"], edge=s["edge"], load=s["load"],
        washer=s["washer"], plug=found.plug, system=system, slim=slim,
    ) for slim in (False, True)))  # fmt: skip


def bolt_scatter_html() -> str:
    """Why a bolt has no statistical answer."""
    return HEAD + _note(
        "Worst case only: reserves count the factor of the need and strengths of the class. How "
        "far bearing and shear-out scatter from hole to hole is not published for a class of "
        "wall: break at least five joints of your own, page bench gives their basis value."
    )


def clamp_picture_html(found: BoltFound, system: str) -> str:
    """Clamp round the tube, its pressure, and the grip from the side."""
    s = found.sizes
    return scene_html(*(clamp_picture(
        found.tube, found.clamp, length=s["length"], screw=s["screw"], screws=found.screws,
        style=found.style, plug=found.plug, system=system, slim=slim,
    ) for slim in (False, True)))  # fmt: skip


def clamp_scatter_html(found: BoltFound, system: str) -> str:
    """What a clamp holds in the worst case and likely, at its highest torque."""
    if not math.isfinite(found.clamp.force):
        return ""
    g = found.grip
    return HEAD + pairs_html([
        ("holds along the tube, usual friction", about(g.middle, "force", system), ""),
        ("likely least, one clamp in a thousand less", about(g.likely, "force", system), ""),
        ("worst: dry screws and slippery wall", about(g.worst, "force", system), ""),
    ]) + _note(f"At the highest torque; {OWN_RULE}.")  # fmt: skip


# ---- pairs ----------------------------------------------------------------------------------
def pair_picture_html(couple: Couple, where: str) -> str:
    """Both materials with what must lie between them, and the ladder."""
    return scene_html(*(pair_picture(couple, where, slim=slim) for slim in (False, True)))


def pair_scatter_html(found: MetalFound) -> str:
    """Why a pair has no statistical answer, and its grade of trust."""
    c = found.couple
    grade = "B" if c.level else "C"
    if not c.eaten and not c.steps:
        grade = "A" if c.standing == "COMPUTED" else "B"
    error = {"A": "none", "B": "one grade", "C": "one grade, own rule on published groups"}[grade]
    if not c.eaten and not c.steps:
        return f'<p class="tc-note">Grade <b>{grade}</b>; no current, so nothing scatters.</p>'
    return (
        f'<p class="tc-note">Grade <b>{grade}</b>; expected error: {escape(error)}. '
        "No statistical answer: the table grades pairs, it measures no rate; equal areas and a "
        "wet joint are the worst case it means.</p>"
    )


# ---- heat -----------------------------------------------------------------------------------
def heat_picture_html(found: HeatFound, system: str) -> str:
    """Every member on the axis of temperature."""
    return scene_html(*(heat_picture(found.heat, found.error, system, slim=slim)
                        for slim in (False, True)))  # fmt: skip


def heat_scatter_html(found: HeatFound, system: str) -> str:
    """Margin of the weakest member in the worst case and likely."""
    h = found.heat
    if not math.isfinite(h.margin):
        return ""
    worst, likely = heat_spread(h, found.error)
    asked = f"the sun's balance {kelvins(found.error, system)} off" if found.error else (
        "the temperature as typed")  # fmt: skip
    rows = [
        ["as computed", _signed(h.margin, system)],
        ["likely least, root sum square", _signed(likely, system)],
        [f"worst: {asked}, the limit {kelvins(LIMIT_ERROR, system)} low", _signed(worst, system)],
    ]
    return HEAD + rows_html([(f"margin of the {h.weakest.part}", False), ("to spare", True)], rows)


def _signed(value: float, system: str) -> str:
    sign = "\u2212" if value < 0 else "+"
    return f"{sign}{kelvins(abs(value), system)} {'✗' if value < 0 else '✓'}"


def growth_picture_html(found: HeatFound, system: str) -> str:
    """The tube and the other part, before and after."""
    parts = [(g, h) for g, h in zip((found.grown, found.beside), found.hatches, strict=True)
             if not isinstance(g, str)]  # fmt: skip
    if not parts:
        return ""
    return scene_html(*(growth_picture(parts, system, slim=slim) for slim in (False, True)))


def still_picture_html(found: HeatFound, system: str) -> str:
    """Lengths that cancel each other's growth."""
    if isinstance(found.still, str) or isinstance(found.grown, str) or isinstance(
            found.beside, str):  # fmt: skip
        return ""
    names = found.grown.parts[0][0], found.beside.parts[0][0]
    return scene_html(*(athermal_picture(found.still, names, found.hatches, system, slim=slim)
                        for slim in (False, True)))  # fmt: skip


def still_scatter_html(found: HeatFound, system: str) -> str:
    """Growth left of a design that cancels it, worst and likely."""
    s = found.still
    if isinstance(s, str):
        return ""
    off = f"{100 * s.doubt:.0f} %"
    return HEAD + pairs_html([
        (f"left, both expansions off by {off} the worse way", per_degree(s.left, system), ""),
        ("likely left, independent of each other", per_degree(growth_spread(s), system), ""),
    ])  # fmt: skip


__all__ = [
    "bolt_picture_html", "bolt_scatter_html", "bond_scatter_html", "clamp_picture_html",
    "clamp_scatter_html", "growth_picture_html", "heat_picture_html", "heat_scatter_html",
    "pair_picture_html", "pair_scatter_html", "still_picture_html", "still_scatter_html",
]  # fmt: skip
