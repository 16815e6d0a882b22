"""Cautions of a bonded joint, and what a joint that came apart tells."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.environment_metal import metal_family
from tubecalc.joining.adhesives import shares
from tubecalc.joining.bond_input import TIP
from tubecalc.joining.fit_words import length
from tubecalc.unit_words import Spoken, rough
from tubecalc.units import to_si

if TYPE_CHECKING:
    from tubecalc.joining.bond_result import Bond

PEOPLE = (
    "A bonded joint that carries people needs a test of the joint as it is built and the practice "
    "of a licensed engineer; a bond can look sound and hold nothing."
)
POOR = 0.4  # share of the expected load below which the surfaces are blamed (own rule)
_NOBLE = ("titanium", "stainless")


def cautions(bond: Bond, system: str = "SI") -> list[str]:
    """What to mind with the first joint, the gravest first.

    Parameters
    ----------
    bond : Bond
        The joints.
    system : str
        Display system.

    Returns
    -------
    list of str
        Sentences.
    """
    return [PEOPLE, *_strength(bond), *_shape(bond, system), *_heat(bond, system),
            *_pair(bond, system), *_making(bond, system)]  # fmt: skip


def _strength(bond: Bond) -> list[str]:
    a, out = bond.asked, []
    p = a.prepared
    out.append(
        f"Surfaces {p.name}: {p.value:.2g} of the strength of the adhesive is counted "
        f"({p.low:.2g} to {p.high:.2g}; {p.source}, {p.standing})."
    )
    if a.wet:
        w = shares()["wet", "humid", "any"]
        out.append(
            f"Wet service leaves {w.value:.2g} ({w.low:.2g} to {w.high:.2g}; {w.source}, "
            f"{w.standing}); at 50 % humidity bonds did not weaken."
        )
    out.append(
        "The strength is typical of the class of adhesive and has no safety in it: published "
        "factors on adhesives multiply to 4 at least for long service."
    )
    if bond._worst[0] == "joint":
        out.append(
            "The bond gives way before the tube: a bond should be stronger than the members it "
            "joins (MIL-HDBK-17-3F, vol. 3, ch. 12, D-2)."
        )
    if any(np.any(s.ply_limits) for s in bond.states):
        out.append("The ply next to the bond is weaker in shear than the adhesive and decides.")
    return out


def _shape(bond: Bond, system: str) -> list[str]:
    a, out = bond.asked, []
    useful, overlap = float(bond.lengths["useful"][0]), float(a.overlap[0])
    if overlap > 1.1 * useful:
        out.append(
            f"An overlap beyond {rough(useful, 'length', system)} adds nothing to the strength; "
            "it helps against creep and against flaws only."
        )
    of = {x.key: float(x.reserve[0]) for x in bond.limits}
    ends = (
        f"taper the ends to {rough(TIP, 'length', system, 2)} at a slope of 1 to 10 "
        "(MIL-HDBK-17-3F, vol. 3, ch. 12, D-11)"
    )
    if of["peel"] < of["joint"]:
        out.append(f"Peel at an end may part the joint before shear does: {ends}.")
    stiff = float(bond.room.insert.pull[0] / bond.room.tube.pull[0])
    if not 0.5 <= stiff <= 2.0:
        softer = "tube's" if stiff < 1 else "insert's"
        out.append(
            f"Insert and tube differ in stiffness by {max(stiff, 1 / stiff):.2g}: the load crowds "
            f"at the {softer} end of the overlap; thin the stiffer member towards its end."
        )
    gap, glue = float(a.gap[0]), a.adhesive
    if gap > glue.gap_best * (1 + 1e-9):
        out.append(
            f"A gap of {length(gap, system)} is more than the {length(glue.gap_best, system)} at "
            f"which {glue.name} is strongest: the softer layer evens out the stress, but thick "
            "layers hold flaws, so no strength is credited for it."
        )
    if gap < glue.gap_min * (1 - 1e-9):
        out.append(f"A gap of {length(gap, system)} starves the bond of adhesive.")
    if np.any(a.off_centre > 0):
        thin = gap - float(a.off_centre[0])
        out.append(f"Off centre, the thin side is {length(thin, system)} and sets the peak.")
    return out


def _heat(bond: Bond, system: str) -> list[str]:
    a, out = bond.asked, []
    limit = a.adhesive.heat_limit(wet=a.wet)
    glass = a.adhesive.softening(wet=a.wet)
    out.append(
        f"The adhesive is good to {rough(limit, 'temperature', system)}, "
        f"{rough(glass - limit, 'temperature_difference', system)} below where it softens; dark "
        f"parts in the sun reach {rough(70.0, 'temperature', system)} and more."
    )
    unknown = [
        m for m, s in (("tube", bond.room.tube), ("insert", bond.room.insert))
        if math.isnan(float(s.grows[0]))
    ]  # fmt: skip
    if unknown:
        out.append(f"The expansion of the {unknown[0]} is not known: heat is not counted.")
    for s in bond.states:
        share = float(np.abs(s.unit["heat"][:, 0] * s.mismatch[0]).max() / s.strength[0])
        if share > 0.3:
            out.append(
                f"At {rough(s.temperature, 'temperature', system)} unlike growth alone takes "
                f"{_percent(share)} % of the adhesive's flow stress at the ends."
            )
    if float(bond.radial[0]) > 1e6:
        out.append(
            "Heat or cold pulls across the bond with "
            f"{rough(float(bond.radial[0]), 'stress', system, 2)}: the inner part shrinks "
            "away from the outer one."
        )
    if min(a.temperatures) < 0:
        out.append("Adhesives are more brittle in the cold; no gain is counted there.")
    return out


def _pair(bond: Bond, system: str) -> list[str]:
    """Carbon beside a metal."""
    a = bond.asked
    members = (a.tube, a.insert)
    metals = [m for m in members if m.construction.metal]
    carbon = [m for m in members if not m.construction.metal and m.construction.conductive]
    if not (metals and carbon):
        return []
    family = metal_family(metals[0].layup.layers[0].values)
    if family in _NOBLE:
        return [f"Carbon on {family} is a sound pair; seal the ends against water all the same."]
    if a.barrier:
        return [
            f"A glass ply of {length(a.barrier, system)} keeps carbon and metal apart; let it "
            "reach past the overlap at both ends and seal the ends."
        ]
    return [
        "Carbon and this metal corrode each other where it is wet or salty: put a glass ply "
        "between them past both ends, keep the adhesive unbroken all round, or take titanium or "
        "stainless; anodising only slows it."
    ]


def _making(bond: Bond, system: str) -> list[str]:
    a = bond.asked
    gap = length(float(a.gap[0]), system)
    vent = "0.04 to 0.08 in" if system == "inch" else "1 to 2 mm"
    out = [
        f"Centre the insert: glass beads or wire of {gap}, not thinner than the gap, or two "
        "narrow lands; turn it as it goes in; a bead of adhesive must show all round (PRACTICE)."
    ]
    if a.inside:
        out.append(
            f"Trapped air pushes a plug out while it cures: drill a vent of {vent} through it, "
            "or through the wall beyond it (PRACTICE)."
        )
    if not a.tube.construction.metal and a.tube.construction.splits:
        out.append("An all-axial tube splits at its end: wind or bind it round over the joint.")
    return out


def broke_at(bond: Bond, load: Any) -> Spoken:
    """Judge the pull at which a joint came apart.

    Parameters
    ----------
    bond : Bond
        The joint; the first one of several.
    load : str or Quantity
        The pull.

    Returns
    -------
    Spoken
        A sentence, for any display system.
    """
    force = to_si(load, "force", what="load", where="broke_at", positive=True)
    a = bond.asked
    average = force / (2 * math.pi * float(a.radius[0]) * float(a.overlap[0]))
    sound = float(bond.strengths["tension"][0]) / bond.knockdown
    if sound <= 0.0:
        return Spoken(lambda s: (
            f"{rough(average, 'stress', s, 2)} on average; as computed, heat or cold alone parts "
            "this bond: there is nothing to hold it against."
        ))  # fmt: skip
    share = force / sound
    if share < POOR:
        says = "the surfaces let go, not the size; degrease, abrade, fill the gap all round."
    elif share < 0.8:
        says = "preparation, voids or an uneven gap took part of it."
    else:
        says = "the bond did what it can; a longer one helps up to its useful overlap only."
    return Spoken(lambda s: (
        f"{rough(average, 'stress', s, 2)} on average, {_percent(share)} % of what a sound bond of "
        f"this size bears (about {rough(sound, 'force', s)}): {says}"
    ))  # fmt: skip


def _percent(share: float) -> str:
    return f"{100 * share:.2g}" if share < 0.995 else f"{100 * share:.0f}"


__all__ = ["PEOPLE", "broke_at", "cautions"]
