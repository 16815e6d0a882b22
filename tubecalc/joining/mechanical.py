"""Bolts, pins and threads on a tube: what bears, what tears, what shears."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from typing import Any

from tubecalc.checks import hole as hole_checks
from tubecalc.checks.base import NO_GRADE, Candidates, Outcome
from tubecalc.errors import InputError, unknown_key
from tubecalc.joining.fastened import Fastened, Limit
from tubecalc.joining.galvanic import touching
from tubecalc.joining.workshop import figure
from tubecalc.laminate.construction import Construction
from tubecalc.materials import get_metal
from tubecalc.need import Case, Factors, Need
from tubecalc.tube import Tube, single
from tubecalc.unit_words import Spoken, rough, worded
from tubecalc.units import to_si


def thread_rule(construction: Construction) -> tuple[str, str]:
    """Whether a thread may be cut in a wall, and what to do instead.

    Parameters
    ----------
    construction : Construction
        The construction.

    Returns
    -------
    tuple of str
        Rating (good, fair, poor, no) and sentence. A composite wall never takes a thread: it goes
        on a bonded metal insert (common practice, no source).

    Examples
    --------
    >>> from tubecalc.laminate.construction import get_construction
    >>> thread_rule(get_construction("pultruded"))[0]
    'no'
    """
    if construction.metal:
        return construction.service.get("thread", ("fair", "cut it where the wall is thick enough"))
    return ("no", "a thread cut in a composite wall strips along the plies: it goes on a bonded "
            "metal insert")  # fmt: skip


def bolt(
    tube: Tube,
    *,
    hole: Any,
    load: Any,
    edge_distance: Any = None,
    moment: Any = None,
    place: str = "face",
    pin: str | None = None,
    factor: float = 1.0,
) -> Fastened:
    """A bolt or pin through both walls, pulled or pushed along the tube.

    Parameters
    ----------
    tube : Tube
        One tube.
    hole : str or Quantity
        Diameter of hole and pin.
    load : str or Quantity
        Along the tube; + pulls, - pushes.
    edge_distance : str or Quantity, optional
        From the centre of the hole to the end; shear-out is left out without it.
    moment : str or Quantity, optional
        Bending moment in the tube at the hole.
    place : str
        Of the hole, "face" (in the plane of bending) or "side" (at the neutral axis).
    pin : str, optional
        Key of the pin's metal, for its own shear.
    factor : float
        On the loads.

    Returns
    -------
    Fastened
        Net section, bearing, shear-out, first damage at the edge (a warning), shear of the pin.

    Raises
    ------
    InputError
        For a hole wider than the tube, one that runs out of the end, or a factor below 1.

    Notes
    -----
    Walls by `tubecalc.checks.hole`. Pin in double shear: 2 A fy / sqrt 3 (von Mises).

    Examples
    --------
    >>> tube = Tube("roll-wrapped", od="30 mm", wall="2 mm")
    >>> found = bolt(tube, hole="6 mm", load="2 kN", edge_distance="18 mm", pin="304")
    >>> [x.label for x in found.limits][:3]
    ['hole: net section', 'first damage at the edge of the hole', 'hole: bearing']
    """
    single(tube, "bolt")
    d = to_si(hole, "length", what="hole", where="bolt", positive=True)
    force = to_si(load, "force", what="load", where="bolt")
    bending = 0.0 if moment is None else to_si(moment, "moment", what="moment", where="bolt")
    edge = math.nan if edge_distance is None else to_si(
        edge_distance, "length", what="edge distance", where="bolt", positive=True)  # fmt: skip
    if d >= 2.0 * float(tube.sections.ri[0]) * (1 - 1e-9):
        raise InputError("the hole is as wide as the bore", where="bolt:hole",
                         got=worded("{}", "length", d),
                         expected=worded("less than {}", "length",
                                         2.0 * float(tube.sections.ri[0])))  # fmt: skip
    if edge <= d / 2.0:
        raise InputError(
            "the hole runs out of the end", where="bolt:edge_distance",
            got=worded("{}", "length", edge), expected=worded("more than {}", "length", d / 2.0),
        )  # fmt: skip
    if place not in ("face", "side"):
        raise unknown_key("place of the hole", place, ("face", "side"), "bolt:place")
    if force == 0.0 and bending == 0.0:
        raise InputError("a bolt needs a load", where="bolt:load", got=load,
                         expected="a pull, a push or a moment")  # fmt: skip
    factor = to_si(factor, "number", what="factor", where="bolt")
    if factor < 1.0:
        raise InputError("a factor on the loads is 1 or more", where="bolt:factor", got=factor)
    case = Case("combined", name="bolt", axial=force, moment=bending, touch="bolt", hole=d,
                hole_place=place, edge_distance=edge)  # fmt: skip
    need = Need(cases=(case,), factors=Factors(strength=factor))
    out = []

    @cache
    def outcomes(system: str) -> list[Outcome]:
        c = tube.candidates
        named = Candidates(c.sections, c.constructions, c.which, system)
        return hole_checks.outcomes_of(named, need, case, "bolt")

    for k, x in enumerate(outcomes("SI")):
        grade = NO_GRADE if x.outside[0] else tube.candidates.grade(x.check, 0)
        out.append(Limit(x.label, float(x.demand[0]), float(x.capacity[0]), x.kind,
                         _why_of(outcomes, k), grade, x.advisory))  # fmt: skip
    if pin is not None:
        out.append(_pin(pin, d, abs(force) * factor))
    return Fastened(tuple(out), tuple(_bolt_cautions(tube, d, edge, pin)))


def _why_of(outcomes: Callable[[str], list[Outcome]], k: int) -> Spoken:
    """Sentence of one check, from its outcome in a display system."""
    return Spoken(lambda system: outcomes(system)[k].why(0))


def _pin(key: str, d: float, force: float) -> Limit:
    metal = get_metal(key)
    borne = 2.0 * math.pi * d**2 / 4.0 * metal.si.Xt / math.sqrt(3.0)
    why = Spoken(lambda s: (
        f"the {metal.name} pin yields in double shear at {rough(borne, 'force', s)}"
    ))  # fmt: skip
    return Limit("pin: shear", force, borne, "force", why, "A")


def _bolt_cautions(tube: Tube, d: float, edge: float, pin: str | None) -> list[str]:
    out = []
    least = figure("edge_diameters").value
    if edge < least * d:
        out.append(f"edge distance under {least:g} hole diameters: the bolt tears out before it "
                   "bears fully")  # fmt: skip
    if math.isnan(edge):
        out.append("shear-out is left out: no edge distance is given")
    if not tube.construction.metal:
        out.append("a tight plug in the bore under the bolt: tightening crushes a bare tube; a "
                   "sealed plug needs a vent hole (common practice, no source)")  # fmt: skip
        out.append("a washer or a bonded bush in the hole keeps threads off the wall")
    apart = "a bonded bush of glass or plastic between them"
    screw = touching(tube, pin, apart) if pin is not None else ""
    if pin is None and tube.construction.conductive and not tube.construction.metal:
        screw = f"a plain screw of steel: {touching(tube, 'steel', apart)}"
    if screw:
        out.append(screw)
    if tube.construction.splits:
        out.append("an all-axial wall splits at a hole: bind it with hoop plies or a sleeve")
    return out


__all__ = ["Fastened", "Limit", "bolt", "thread_rule"]
