"""Bonds, bolts, clamps, pairs of metals, heat and notes of page `join` as HTML."""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape

from tubecalc.app.join_work_bond import BoltFound, BondFound, HeatFound, MetalFound
from tubecalc.app.text import list_html, pairs_html
from tubecalc.app.view_join import (
    BAD,
    GOOD,
    UNSURE,
    about,
    answer_html,
    capital,
    mind_html,
    scene_html,
    trust_html,
)
from tubecalc.app.view_join_scatter import (
    clamp_scatter_html,
    still_picture_html,
    still_scatter_html,
)
from tubecalc.app.view_layup import rows_html
from tubecalc.joining import bond_words
from tubecalc.joining.bond_result import GRADES
from tubecalc.joining.fit_words import length as small
from tubecalc.joining.galvanic import ENVIRONMENTS
from tubecalc.joining.heat import kelvins
from tubecalc.joining.job_joints import ERRORS, too_hot
from tubecalc.joining.notes import Note
from tubecalc.share.bars import number
from tubecalc.share.bond_curve import curve_picture, leading
from tubecalc.share.bond_picture import bond_picture
from tubecalc.unit_display import show

PLACES = {"dry": "kept dry", "outdoor": "rain, town air", "marine": "sea air",
          "salt": "wet with salt"}  # fmt: skip
MARKS = {"good": "● good", "fair": "◐ fair", "poor": "○ poor", "no": "✗ no"}


def _reserve(value: float) -> str:
    return number(value) if math.isfinite(value) else "–"


# ---- will the bond hold ---------------------------------------------------------------------
def bond_html(found: BondFound, system: str) -> str:
    """Answer of a bonded joint: joint or tube first, and what the joint is worth."""
    b = found.bond
    of = {x.key: float(x.reserve[0]) for x in b.limits if not x.advisory}
    worst = min(of, key=lambda k: of[k])
    share = float(b.efficiency.m)
    kind = leading(b)
    unit = {"torsion": "torque", "bending": "moment"}.get(kind, "force")
    bears = about(float(b.strengths[kind][0]), unit, system)
    names = {"joint": "The joint gives way first", "tube": "The tube gives way first",
             "insert": "The insert gives way first"}  # fmt: skip
    said = f"The bond bears {bears}, {100 * share:.0f} % of what the tube bears."
    if not math.isfinite(of[worst]):
        word = "The tube would break first." if share >= 1 else "The joint would part first."
        html = answer_html(word, GOOD if share >= 1 else UNSURE, f"{said} No load is given.")
    else:
        reserve = of[worst] / found.factor
        factor = f", the factor {found.factor:g} of the need counted" if found.factor != 1 else ""
        word = f"{'Holds' if reserve >= 1 else 'Fails'}."
        text = f"{names[worst]}, reserve {number(reserve)} under {found.loads}{factor}. {said}"
        how = GOOD if reserve >= 1 else BAD
        if found.belied and reserve >= 1:
            word, how = "Holds on paper, but one came apart.", UNSURE
            text += f" One came apart at {about(found.parted, 'force', system)}, no more than is "
            text += "asked with its factor: it was not made as is counted here."
        if found.warmest < found.heat and reserve >= 1:
            word, how = "Too hot for the adhesive.", BAD
            text = f"{capital(too_hot(found.warmest, found.heat), system)} {text}"
        html = answer_html(word, how, text)
    limit = next(x for x in b.limits if x.key == worst)
    return html + trust_html(limit.grade, limit.error)


def bond_figures_html(found: BondFound, system: str) -> str:
    """Strengths, stresses, lengths that matter, every way to give way."""
    b = found.bond

    def length(x: float) -> str:
        return show(x, "length", system) if math.isfinite(x) else "no length does it"

    kinds = {"tension": ("pull", "force"), "compression": ("push", "force"),
             "torsion": ("torque", "torque"), "bending": ("bending", "moment")}  # fmt: skip
    bears = [
        [name, *(about(float(of[k][0]), u, system) for of in (b.strengths, b.of_tube, b.of_insert))]
        for k, (name, u) in kinds.items()
    ]  # fmt: skip
    lengths = pairs_html([
        ("useful overlap; more does nothing", length(float(b.lengths["useful"][0])), ""),
        ("overlap as strong as the tube", length(float(b.lengths["matching"][0])), ""),
        ("overlap that resists creep", length(float(b.lengths["creep"][0])), ""),
        ("gap a side", show(float(b.asked.gap[0]), "length", system), ""),
        ("insert over tube, stiffness", f"{float(b.imbalance.m):.2g}", ""),
    ])  # fmt: skip
    stress = pairs_html([
        ("average shear stress", show(float(b.average_shear.m) * 1e6, "stress", system), ""),
        ("peak, loads alone", show(float(b.peak_shear.m) * 1e6, "stress", system), ""),
        ("peak with heat", show(float(b.peak_shear_with_heat.m) * 1e6, "stress", system), ""),
        ("peel at the worse end", show(float(b.peel[0]), "stress", system), ""),
        ("kept by preparation and wet", f"{100 * b.knockdown:.0f} %", ""),
    ])  # fmt: skip
    ways = [
        [x.label + (" (advice)" if x.advisory else ""), _reserve(float(x.reserve[0])), x.grade,
         x.error, capital(x.why, system)]
        for x in sorted(b.limits, key=lambda x: (x.advisory, float(x.reserve[0])))
    ]  # fmt: skip
    broke = f"<p><b>{escape(capital(found.broke, system))}</b></p>" if found.broke else ""
    return (
        f'{broke}<div class="tc-laytwo"><div>{lengths}</div><div>{stress}'
        f"{trust_html(*GRADES['stress'][:2])}</div></div>"
        "<h2>What each part bears</h2>"
        + rows_html([("load", False), ("bond", True), ("tube", True), ("insert", True)], bears)
        + "<h2>Every way to give way, no factor counted</h2>"
        + rows_html([("way", False), ("reserve", True), ("grade", False), ("expected error", False),
                     ("why", False)], ways)
    )  # fmt: skip


def bond_picture_html(found: BondFound, system: str) -> str:
    """Half section to scale with the shear stress along it."""
    return scene_html(bond_picture(found.bond, system=system),
                      bond_picture(found.bond, slim=True, system=system))  # fmt: skip


def bond_curve_html(found: BondFound, system: str) -> str:
    """Strength over the overlap."""
    return scene_html(*(curve_picture(found.bond, found.curve, system, slim=slim)
                        for slim in (False, True)))  # fmt: skip


def bond_mind_html(found: BondFound, system: str) -> str:
    """Cautions of a bond."""
    return mind_html(bond_words.cautions(found.bond, system))


# ---- bolts, threads, clamps -----------------------------------------------------------------
def bolt_html(found: BoltFound, system: str) -> str:
    """Answer of a bolt or pin."""
    worst = found.bolt.governing
    holds = worst.reserve >= 1.0
    text = f"{capital(worst.label)} {capital(worst.why, system)} Reserve {_reserve(worst.reserve)}"
    text += f", the factor {found.factor:g} of the need counted." if found.factor != 1 else "."
    word = "The bolt holds." if holds else "The bolt tears out."
    return answer_html(word, GOOD if holds else BAD, text) + trust_html(
        worst.grade, ERRORS.get(worst.grade, "not known"))  # fmt: skip


def ways_to_fail_html(found: BoltFound, system: str) -> str:
    """Every way a bolt fails."""
    rows = [
        [x.label + (" (warning)" if x.advisory else ""),
         "not known" if math.isnan(x.reserve) else _reserve(x.reserve), x.grade,
         ERRORS.get(x.grade, "not known"), capital(x.why, system)]
        for x in found.bolt.limits
    ]  # fmt: skip
    heads = [("way", False), ("reserve", True), ("grade", False), ("expected error", False),
             ("why", False)]  # fmt: skip
    return rows_html(heads, rows) + mind_html(found.bolt.cautions)


def thread_html(found: BoltFound) -> str:
    """Whether a thread may be cut."""
    rating, said = found.thread
    words = {"no": ("No thread in this wall.", BAD), "poor": ("Better not.", UNSURE)}
    word, how = words.get(rating, ("It may be cut.", GOOD))
    return answer_html(word, how, capital(said))


def clamp_html(found: BoltFound, system: str) -> str:
    """Answer of a clamp."""
    c = found.clamp
    word = "The screws set the limit." if c.damage == "screws" else (
        f"{c.damage.capitalize()} sets the limit.")  # fmt: skip
    if math.isnan(c.force):
        word = "The limit is not known."
    how, said = UNSURE, capital(c.why, system)
    if math.isfinite(found.held) and math.isfinite(found.grips):
        holds = found.grips >= 1.0
        word, how = ("It grips.", GOOD) if holds else ("It slips.", BAD)
        factor = f", the factor {found.factor:g} of the need counted" if found.factor != 1 else ""
        load = show(abs(found.held), "force", system)
        grip = f"Reserve {number(found.grips)} against slipping under {load}, screws dry"
        said = f"{grip}{factor}. {said}"
    return answer_html(word, how, said) + trust_html(
        c.grade, "a half either way: friction and nut factor spread"
    )


def clamp_figures_html(found: BoltFound, system: str) -> str:
    """What a clamp may press, and what it then holds."""
    c = found.clamp
    pairs = [] if not math.isfinite(c.force) else [
        ("torque of one screw, at most", about(c.torque, "torque", system), ""),
        ("force of one half", about(c.force, "force", system), ""),
        ("pressure", show(c.pressure, "pressure", system), ""),
        ("then holds along the tube, screws lubricated", about(c.slip, "force", system), ""),
        ("then holds in torque, screws lubricated", about(c.slip_torque, "torque", system), ""),
    ]  # fmt: skip
    held = not math.isfinite(found.washer)
    washer = "what bolt and plug bear" if held else about(found.washer, "force", system)
    pairs.append(("a bolt between washers may pull", washer, ""))
    return pairs_html(pairs) + clamp_scatter_html(found, system) + mind_html(c.cautions)


# ---- which metal may touch it ---------------------------------------------------------------
def metal_html(found: MetalFound) -> str:
    """Answer of the pair."""
    c = found.couple
    how = {"good": GOOD, "fair": GOOD, "poor": UNSURE}.get(c.grade, BAD)
    words = {"good": "May touch.", "fair": "May touch, sealed.", "poor": "Needs a barrier.",
             "no": "Must not touch."}  # fmt: skip
    return answer_html(words[c.grade], how, capital(c.why))


def ways_html(found: MetalFound) -> str:
    """Ways out, and where the grade is from."""
    c, out = found.couple, ""
    if c.measures:
        out = f"<h2>Ways out, the surest first</h2>{list_html(list(c.measures), 'tc-mind')}"
    return out + f'<p class="tc-fine">{escape(c.source)} ({escape(c.standing)}).</p>'


def metals_html(found: MetalFound) -> str:
    """Every material against this tube in each environment."""
    heads = [(f"{found.material} with", False), *((PLACES[e], False) for e in ENVIRONMENTS),
             ("eaten", False)]  # fmt: skip
    rows = [
        [name, *(MARKS[c.grade] for c in couples),
         next((c.eaten for c in couples if c.eaten), "–")]
        for name, couples in found.rows
    ]  # fmt: skip
    return rows_html(heads, rows) + (
        '<p class="tc-fine">poor and no: never bare; a small part of the eaten metal on a large '
        "one of the other is worse than this table says.</p>"
    )


# ---- heat -----------------------------------------------------------------------------------
def heat_html(found: HeatFound, system: str) -> str:
    """Weakest member first."""
    h = found.heat
    word = "Stands it." if h.passes else f"The {h.weakest.part} is too weak."
    out = answer_html(word, GOOD if h.passes else BAD, capital(h.why, system))
    if found.sun is not None:
        out += f'<p class="tc-note">In the sun: {escape(capital(found.sun.why, system))}</p>'
    return out + trust_html(
        "C" if found.sun else "B",
        kelvins(10.0, system)
        if found.sun
        else f"{kelvins(5.0, system)}: limits are those of the class, not of the batch",
    )


def members_html(found: HeatFound, system: str) -> str:
    """Every member with what it stands, the weakest first."""
    h, rows = found.heat, []
    for m in sorted(h.members, key=lambda m: math.inf if math.isnan(m.limit) else m.limit):
        soft = show(m.glass, "temperature", system) if math.isfinite(m.glass) else "–"
        top = show(m.limit, "temperature", system) if math.isfinite(m.limit) else "not known"
        spare = kelvins(m.limit - h.temperature, system) if math.isfinite(m.limit) else "–"
        spare = spare.replace("-", "\u2212")
        rows.append([m.part, m.name, top, soft, spare, capital(m.why, system)])
    heads = [("part", False), ("name", False), ("good to", True), ("softens at", True),
             ("to spare", True), ("why", False)]  # fmt: skip
    return rows_html(heads, rows) + mind_html(h.cautions)


def growth_html(found: HeatFound, system: str) -> str:
    """How much the tube grows, and lengths that cancel it."""
    g = found.grown
    if isinstance(g, str):
        out = f"<p>{escape(capital(g))}</p>"
    else:
        name, length, alpha, by = g.parts[0]
        out = f"<p>{escape(show(length, 'length', system))} of {escape(name)} "
        out += f"{'grow' if by >= 0 else 'shrink'} by <b>{escape(small(abs(by), system))}</b> "
        out += f"({escape(show(alpha, 'expansion', system))}).</p>"
    s = found.still
    head = "<h2>Length that does not grow, with the metal beside it</h2>"
    out += f"{head}<p>{escape(capital(s if isinstance(s, str) else s.why, system))}</p>"
    return out + still_picture_html(found, system) + still_scatter_html(found, system)


# ---- in the workshop ------------------------------------------------------------------------
def notes_html(found: Sequence[Note], system: str = "SI") -> str:
    """Notes, what harms people first."""
    harm = [n.text for n in found if n.caution]
    rest: dict[str, list[str]] = {}
    for n in found:
        if not n.caution:
            rest.setdefault(n.work, []).append(n.text)
    told = [capital(x, system) for x in harm]
    out = f"<h2>What harms people, first</h2>{list_html(told, 'tc-mind')}"
    for work, texts in rest.items():
        name = "Always" if work == "all" else work.capitalize()
        out += f"<h2>{escape(name)}</h2>{list_html([capital(x, system) for x in texts], 'tc-mind')}"
    return out


__all__ = [
    "PLACES", "bolt_html", "bond_curve_html", "bond_figures_html", "bond_html", "bond_mind_html",
    "bond_picture_html", "clamp_figures_html", "clamp_html", "growth_html", "heat_html",
    "members_html", "metal_html", "metals_html", "notes_html", "thread_html", "ways_html",
    "ways_to_fail_html",
]  # fmt: skip
