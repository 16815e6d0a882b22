"""What a cutting list says in sentences: drawing side, seams, size after cure, tape, cautions."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from tubecalc.unit_words import Spoken

if TYPE_CHECKING:
    from tubecalc.making_list import CuttingList

HALF_LAP = 0.5  # each turn of shrink tape covers half of the one before


def mm(value: float, system: str = "SI", spec: str = ".4g") -> str:
    """A length [m] of the workshop: millimetres as asked, else inches to a thousandth."""
    if system == "inch":
        return f"{round(value / 0.0254, 3):g} in"
    return f"{value * 1e3:{spec}} mm"


def _seams(made: CuttingList) -> str:
    a, n = made.asked, len(made.pieces)
    if n == 1:
        where = "There is one piece, so one seam; start it at the mark."
    else:
        where = (
            "Mark a line along the mandrel and start each piece at its angle from it: any two of "
            f"the {n} seams lie at least {_least(made):.3g} degrees apart, those of pieces that "
            f"follow one another at least {_next(made):.0f} degrees."
        )
    if a.overlap == 0 and a.axial_overlap == 0:
        return where + " Edges butt: no gap and no overlap wider than the ply is thick."
    return where + " The outer edge of a piece ends past its start by the overlap."


def _apart(a: float, b: float) -> float:
    return min(abs(a - b), 360.0 - abs(a - b))


def _least(made: CuttingList) -> float:
    places = sorted(p.start for p in made.pieces)
    return min(_apart(a, b) for a, b in zip(places, places[1:] + places[:1], strict=True))


def _next(made: CuttingList) -> float:
    s = [p.start for p in made.pieces]
    return min(_apart(a, b) for a, b in pairwise(s))


def _size(made: CuttingList) -> list[str]:
    a = made.asked
    low, high = (float(x) for x in made.od_range.magnitude)
    cured, seam = float(made.od.magnitude) * 1e-3, float(made.od_at_seam.magnitude) * 1e-3
    out: list[str] = [
        Spoken(lambda s: (
            f"After cure expect {mm(cured, s, '.3f')} outside, {_span(low, high, s)} with ply "
            f"thickness within {a.spread:.0%}; {mm(seam, s, '.2f')} over a seam. Plies of one roll "
            "err alike, so the errors are added, not averaged."
        ))
    ]  # fmt: skip
    if a.bulk > 1:
        gap = float(made.table["open_before_cure_mm"].max()) * 1e-3
        rolled = float(made.od_rolled.magnitude) * 1e-3
        out.append(Spoken(lambda s: (
            f"As rolled it is about {mm(rolled, s, '.2f')} across, {a.bulk:g} times the cured "
            "thickness; press every few plies together with tape or a vacuum bag."
            + (f" Until then edges stand open by up to {mm(gap, s, '.1f')}."
               if gap > 0.05e-3 else "")
        )))  # fmt: skip
    if not math.isnan(a.asked_od) and abs(a.asked_od - a.od) > 0.005e-3:
        out.append(Spoken(lambda s: (
            f"Whole plies make {mm(a.od, s)}; {mm(a.asked_od, s)} was asked for."
        )))  # fmt: skip
    if not math.isnan(a.tolerance_od) and (high - low) / 2e3 > a.tolerance_od:
        out.append(Spoken(lambda s: (
            f"That band is wider than the {mm(a.tolerance_od, s)} usual for {a.layup.name}: "
            "measure the ply thickness of this roll, or grind to size."
        )))  # fmt: skip
    return out


def _span(low: float, high: float, system: str) -> str:
    """Two sizes [mm] with one unit."""
    if system == "inch":
        return f"{low / 25.4:.3f} to {high / 25.4:.3f} in"
    return f"{low:.2f} to {high:.2f} mm"


def _tape(made: CuttingList) -> str:
    a = made.asked
    around = math.pi * float(made.od_rolled.to("m").magnitude)
    length = around * (a.length + 2 * a.trim) / (a.tape * (1 - HALF_LAP))
    return Spoken(lambda s: (
        f"Shrink tape {mm(a.tape, s)} wide, each turn over half of the last, takes "
        f"{f'{length / 0.3048:.0f} ft' if s == 'inch' else f'{length:.1f} m'} a layer; pull it "
        "evenly, fix both ends, and wind a second layer the other way for thick walls. It leaves "
        "fine ridges: sand them, or allow for grinding."
    ))  # fmt: skip


def _cuts(made: CuttingList) -> list[str]:
    out: list[str] = [
        "Pieces are drawn as the finished tube shows them from outside. On the table the mandrel "
        "rolls over the inner face, so lay them with the drawn face down, or a +45 becomes a -45."
    ]
    joined = [p for p in made.pieces if len(p.strips) > 1]
    if joined:
        worst = max(joined, key=lambda p: len(p.strips))
        out.append(Spoken(lambda s: (
            f"{_count(len(joined), 'piece')} {'is' if len(joined) == 1 else 'are'} wider than the "
            f"roll of {mm(made.asked.roll, s)}: lay strips edge to edge along the fibres, without "
            "gap or overlap, and do not let these joints fall over one another; piece "
            f"{worst.order} takes {len(worst.strips)} strips."
        )))  # fmt: skip
    angles = {p.angle for p in made.pieces if not p.woven}
    if any(-a in angles for a in angles if a not in (0.0, 90.0, -90.0)):
        out.append(
            "A plus and a minus piece may be pressed together flat and rolled as one, their edges "
            "half a turn apart; cut both to the width of the outer one, then trim."
        )
    if made.asked.waste == 0:
        out.append("No waste is allowed for; bias pieces always leave corners.")
    return out


def _count(n: int, word: str) -> str:
    return f"{n} {word}" + ("" if n == 1 else "s")


CAUTIONS = (
    "Uncured resin harms the skin: gloves, sleeves, no solvent on skin. The safety data sheets and "
    "the rules of your workshop and country come first.",
    "Cutting, sanding and grinding cured wall makes fine dust and splinters: extraction, mask, "
    "goggles; carbon dust conducts, keep it out of electrics.",
    "Cure in a vented oven by the prepreg maker's cycle, thermocouple on the mandrel; hot mandrels "
    "burn, and a stuck one jumps when it comes free.",
    "The bore is the mandrel at cure temperature: aluminium grows about 0.23 % in 100 K, then "
    "shrinks out of the tube; polish it and use release agent.",
)


def notes_of(made: CuttingList) -> list[str]:
    """Sentences that go with a cutting list.

    Parameters
    ----------
    made : CuttingList
        The list.

    Returns
    -------
    list of str
        Seams, cutting, size, tape, cautions.
    """
    a = made.asked
    out = [_seams(made), *_cuts(made), *_size(made), _tape(made)]
    if a.process not in ("roll-wrapped", "own wall"):
        out.append(f"This stack is that of a {a.process} wall; rolled, its properties differ.")
    if len(made.pieces) > 1 and any(p.overlap > 0.5 * p.path / p.wraps for p in made.pieces):
        out.append("The overlap is more than half the way round: it makes the tube lopsided.")
    return [*out, *CAUTIONS]


__all__ = ["CAUTIONS", "HALF_LAP", "mm", "notes_of"]
