"""Cross-checks of a burnt sample: what the seen plies say against what was measured."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from tubecalc.errors import InputError
from tubecalc.laminate.burn_off import COVER, Content
from tubecalc.laminate.burnt_stack import GAPS, Wall

FAR, DOUBT = 0.25, 3.0  # a gap beyond both (share, standard uncertainties) is refused
_UNITS = {"wall_gap": ("mm", 1e3), "fibre_gap": ("g", 1e3)}


@dataclass(frozen=True)
class Check:
    """One cross-check: what the seen plies say against what was measured."""

    check: str
    seen: float
    measured: float
    unit: str
    off: float  # gap over its standard uncertainty
    verdict: str  # "agrees" or "doubtful"
    why: str


def cross_checks(
    wall: Wall,
    centre: Mapping[str, float],
    errors: Mapping[str, float],
    content: Content,
) -> tuple[Check, ...]:
    """Thickness and fibre of the seen plies against the measured ones.

    Parameters
    ----------
    wall : Wall
        The seen plies.
    centre, errors : mapping of str to float
        Figures and gaps, and their standard uncertainties [SI].
    content : Content
        What the burn-off found.

    Returns
    -------
    tuple of Check

    Raises
    ------
    InputError
        If a gap is beyond doubt, with the likely cause.
    """
    out = []
    for gap in GAPS:
        if gap not in errors:
            continue
        if gap == "wall_gap":
            measured = centre["wall"] - centre[gap]
            name, label, place = "thickness", "wall", "thickness"
        else:
            measured = content.values["fibre_mass"]
            name, label, place = "fibre mass", "fibre", "areal_weight"
        unit, factor = _UNITS[gap]
        seen = measured + centre[gap]
        off = centre[gap] / errors[gap] if errors[gap] > 0 else math.copysign(math.inf, centre[gap])
        said = (
            f"the seen plies make {seen * factor:.3g} {unit} of {label}, measured "
            f"{measured * factor:.3g} {unit}: {_cause(wall, seen / measured, content)}"
        )
        if abs(centre[gap]) > FAR * measured and abs(off) > DOUBT:
            raise InputError(
                f"the {name} does not match the plies: {said}", where=f"seen:{place}",
                got=f"{100 * (seen / measured - 1):+.0f} %",
            )  # fmt: skip
        agrees = abs(off) <= COVER
        out.append(Check(name, seen * factor, measured * factor, unit, off,
                         "agrees" if agrees else "doubtful",
                         "within the uncertainty" if agrees else said))  # fmt: skip
    return tuple(out)


def _cause(wall: Wall, ratio: float, content: Content) -> str:
    """Likely cause of plies that say too much or too little."""
    if abs(ratio * content.values["fibre_weight_fraction"] - 1.0) < 0.07:
        return "the areal weights seem to be those with the resin"
    plies = sum(s.count for s in wall.seen)
    number = plies - plies / ratio
    if abs(number) >= 0.5 and abs(number - round(number)) < 0.3:
        many = abs(round(number))
        more = "too many" if number > 0 else "too few"
        return f"about {many} {'ply' if many == 1 else 'plies'} {more} counted"
    return (
        "an areal weight or the count is wrong"
        if ratio > 1
        else ("a ply was missed, or an areal weight is wrong")
    )
