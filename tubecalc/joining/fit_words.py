"""A fit in sentences: what it does, where to take material off, what to mind."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from tubecalc.environment import ROOM
from tubecalc.joining.galvanic import touching
from tubecalc.unit_display import show
from tubecalc.unit_words import say

if TYPE_CHECKING:
    from tubecalc.joining.fits import Fit
    from tubecalc.joining.tube_sizes import Band
    from tubecalc.tube import Tube

_ACCURATE = {"bore": "only its bore", "od": "only its outside", "both": "both its surfaces"}
_MINUS = re.compile(r"(?<!\S)-(?=\d)")


def length(value: float, system: str = "SI") -> str:
    """A small length for reading: mm to the hundredth, inches to the ten-thousandth.

    Parameters
    ----------
    value : float
        [m].
    system : str
        Display system.

    Returns
    -------
    str

    Examples
    --------
    >>> length(5.123e-5), length(2.54e-5, "inch")
    ('0.051 mm', '0.001 in')
    """
    if system == "inch":
        return f"{round(value / 0.0254, 4) + 0.0:g} in"
    return f"{round(value * 1e3, 3 if abs(value) < 1e-3 else 2) + 0.0:g} mm"


def percent(chance: float) -> str:
    """A chance for reading.

    Parameters
    ----------
    chance : float
        0 to 1.

    Returns
    -------
    str

    Examples
    --------
    >>> percent(0.0), percent(0.123), percent(1.0)
    ('below 0.1 %', '12 %', 'above 99.9 %')
    """
    if chance < 1e-3:
        return "below 0.1 %"
    return "above 99.9 %" if chance > 0.999 else f"{100 * chance:.2g} %"


def why(f: Fit, system: str = "SI") -> str:
    """The verdict in a sentence.

    Parameters
    ----------
    f : Fit
        The fit.
    system : str
        Display system.

    Returns
    -------
    str
        Its least clearance is what oval and bow leave, as in `Clear.free`.
    """
    return _MINUS.sub("\u2212", _why(f, system))


def _why(f: Fit, system: str) -> str:
    sizes = f"{_known(2 * float(f.inner.sections.ro[0]), f.outside, system)} outside"
    sizes += f" into a {_known(2 * float(f.outer.sections.ri[0]), f.bore, system)} bore"
    if f.presses:
        return _press(f, sizes, system)
    w = f.worst
    at = "" if w.temperature == ROOM else f" at {show(w.temperature, 'temperature', system)}"
    gap = f"clearance {length(w.free, system)} to {length(w.most, system)}{at}{_counted(f)}"
    chance = f"chance of binding {percent(f.chance)}"
    if f.verdict == "will bind" and abs(f.nominal) < 1e-6:
        return f"size on size, {sizes}, will bind: {take_off(f, system)}"
    if f.verdict == "will bind":
        return f"{sizes} will bind, {gap}, {chance}: {take_off(f, system)}"
    if f.verdict == "may bind":
        return (
            f"{sizes} may bind, {gap}, {chance}: measure and select, or "
            f"{take_off(f, system, worst=True)}"
        )
    more = ""
    if "loose" in f.verdict:
        side = length(w.middle / 2.0, system)
        more = f"; it rattles: a split collar, a bush or a shim of {side} a side takes it up"
    if any(math.isnan(x.least) for x in f.at):
        more += "; away from room temperature it is not known"
    return f"{sizes} {f.verdict}: {gap}, {chance}{more}"


def _counted(f: Fit) -> str:
    """What the least clearance counts beside the diameters."""
    s = f.shape
    parts = (("oval", s.inner_round + s.outer_round), ("bow", s.inner_bow + s.outer_bow))
    names = [name for name, size in parts if size > 0.0]
    return f" with {' and '.join(names)} counted" if names else ""


def _known(nominal: float, band: Band, system: str) -> str:
    """A diameter as measured where it was, else as it is called."""
    return length(band.middle if band.grade == "A" else nominal, system)


def take_off(f: Fit, system: str = "SI", *, worst: bool = False) -> str:
    """How much to take off, where, and what it costs.

    Parameters
    ----------
    f : Fit
        The fit.
    system : str
        Display system.
    worst : bool
        The amount for the worst parts instead of middling ones.

    Returns
    -------
    str
    """
    t = f.take_off
    amount = t.most if worst else t.typical
    if amount <= 0.0:
        return "nothing to take off"
    if amount / 2.0 >= t.allowed * (1 + 1e-9):
        return (
            f"{length(amount, system)} would have to come off the inner tube, more than "
            f"{t.named} ({length(t.allowed, system)} a side): take a smaller inner tube or a "
            "wider bore instead"
        )
    said = f"take {length(amount, system)} off the outside diameter of the inner tube"
    if not worst and t.most > t.typical * 1.02:
        said += f" (up to {length(t.most, system)} for the worst pair)"
    said += " over the overlap"
    if t.paid is not None and not worst:
        said += f", which costs {100 * (1 - t.paid.bending):.2g} % of its bending stiffness there"
    return said


def _press(f: Fit, sizes: str, system: str) -> str:
    least, most = f.presses
    if f.verdict == "does not grip":
        return f"{sizes}: no interference even at its most, it does not grip"
    said = f"{sizes} {f.verdict}: interference "
    said += f"{length(max(least.interference, 0.0), system)} to {length(most.interference, system)}"
    said += f", pressure {show(least.pressure, 'pressure', system)} to "
    said += show(most.pressure, "pressure", system)
    if not math.isnan(least.force):
        said += f"; slips at {show(least.force, 'force', system)} or "
        said += f"{show(least.torque, 'torque', system)} at least"
    said += f", friction {f.friction:.2g}"
    return f"{said}; {most.weak} at {most.reserve:.2g} times the highest pressure"


def surface(tube: Tube, band: Band, side: str, system: str = "SI") -> str:
    """Which surface of a construction is the accurate one, and what is taken here.

    Parameters
    ----------
    tube : Tube
        The tube.
    band : Band
        Its diameter.
    side : str
        "outside" or "bore".
    system : str
        Display system.

    Returns
    -------
    str
    """
    accurate = tube.construction.accurate
    half, said = length((band.high - band.low) / 2.0, system), say(band.said, system)
    if math.isnan(tube.construction.size("tolerance_od")):
        return f"{tube.construction.name}: {side} +/-{half}, {said}"
    return (
        f"{tube.construction.name}: {_ACCURATE.get(accurate, accurate)} "
        f"{'are' if accurate == 'both' else 'is'} accurate; {side} +/-{half}, {said}"
    )


def cautions(f: Fit, system: str = "SI") -> list[str]:
    """What to mind with a fit.

    Parameters
    ----------
    f : Fit
        The fit.
    system : str
        Display system.

    Returns
    -------
    list of str
    """
    out = [surface(f.inner, f.outside, "outside", system),
           surface(f.outer, f.bore, "bore", system)]  # fmt: skip
    out += _unsure(f)
    if not f.presses and f.take_off.typical > 0.0:
        out.append(
            "material comes off the inner tube, never out of the bore, and never through the outer "
            "ply (common practice, no source)"
        )
        if f.take_off.most / 2.0 > f.take_off.allowed:
            out.append(
                f"the worst parts would need {length(f.take_off.most / 2.0, system)} a side, more "
                f"than {f.take_off.named}, {length(f.take_off.allowed, system)}: measure first"
            )
    if f.presses:
        out += _press_cautions(f)
    out.append(touching(f.inner, f.outer, "a glass ply or a plastic bush between them"))
    out += [
        f"{t.construction.name} slides: {why}"
        for t in (f.inner, f.outer)
        if not f.presses
        for rating, why in [t.construction.service.get("sliding", ("", ""))]
        if rating in ("poor", "fair", "no")
    ]
    return [x for x in dict.fromkeys(out) if x]


def _unsure(f: Fit) -> list[str]:
    out = []
    odd = [name for name, t, side in (("inner", f.inner, "od"), ("outer", f.outer, "bore"))
           if t.construction.accurate not in (side, "both")]  # fmt: skip
    if "inner" in odd and f.outside.grade == "C" and "ground" not in f.outside.said:
        out.append("the outside of the inner tube is not its accurate surface: grind or measure it")
    if "outer" in odd and f.bore.grade == "C":
        out.append("the bore of the outer tube is not its accurate surface: measure it")
    if math.isnan(f.overlap):
        out.append("bow is left out: no overlap is given")
    if f.shape.inner_round == f.shape.outer_round == 0.0:
        out.append("out-of-round is taken as within the tolerance of the diameters")
    if any(math.isnan(x.least) for x in f.at):
        out.append("the clearance away from room temperature is not known: a ply has no expansion")
    one = [n for n, b in (("outside", f.outside), ("bore", f.bore)) if "1 reading" in b.said]
    if one:
        out.append(f"one reading of the {' and the '.join(one)} says nothing about its spread")
    return out


def _press_cautions(f: Fit) -> list[str]:
    out = ["pressure peaks at both ends of the fit are left out: round the edges off"]
    if not (f.inner.construction.metal and f.outer.construction.metal):
        out.append(
            "a press fit on a composite wall loosens with time and heat: bond it, or do not count "
            "on it alone (common practice, no source)"
        )
    if f.presses[1].first < 1.0 <= f.presses[1].reserve:
        out.append("a ply cracks first at the highest pressure, though the wall still holds")
    return out


__all__ = ["cautions", "length", "percent", "surface", "take_off", "why"]
