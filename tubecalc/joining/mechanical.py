"""Bolts, pins, threads and clamps on a tube: what bears, what tears, what crushes."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from tubecalc.checks import hole as hole_checks
from tubecalc.checks.base import NO_GRADE, Candidates, Outcome
from tubecalc.checks.local import COSINE, crush_load, split_load
from tubecalc.errors import InputError, unknown_key
from tubecalc.joining.fastened import Fastened, Limit
from tubecalc.joining.workshop import figure
from tubecalc.laminate.construction import Construction
from tubecalc.loadpoint import Patch
from tubecalc.materials import get_metal
from tubecalc.need import Case, Factors, Need
from tubecalc.tube import Tube, single
from tubecalc.unit_words import Spoken, rough, worded
from tubecalc.units import to_si

CLAMPS = ("two halves", "one slit")
_GRIP = 8.0 / math.pi  # friction around over the force of a half, pressure as the cosine


@dataclass(frozen=True)
class Clamp:
    """A split clamp, SI.

    force is what one half presses with at the limit, pressure its mean over the diameter, torque
    that of one screw; slip and slip_torque are what it holds there by friction; damage says whether
    a crack or a dent sets the limit; per screw and grade C: friction and nut factor spread widely.
    """

    force: float
    pressure: float
    torque: float
    slip: float
    slip_torque: float
    cracks: float
    dents: float
    why: str
    cautions: tuple[str, ...]
    grade: str = "C"

    @property
    def damage(self) -> str:
        """What sets the limit: "first crack" or "dent"."""
        return "first crack" if self.cracks <= self.dents else "dent"


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
    return Fastened(tuple(out), tuple(_bolt_cautions(tube, d, edge)))


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


def _bolt_cautions(tube: Tube, d: float, edge: float) -> list[str]:
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
    if tube.construction.splits:
        out.append("an all-axial wall splits at a hole: bind it with hoop plies or a sleeve")
    return out


def clamp_up(tube: Tube, *, washer: Any, plug: bool = False) -> float:
    """Pull of a bolt through both walls that first damages a tube between two washers [N].

    Parameters
    ----------
    tube : Tube
        One tube.
    washer : str or Quantity
        Diameter of the washers, saddled to the tube.
    plug : bool
        A tight core in the bore.

    Returns
    -------
    float
        Infinite with a plug: then the bolt decides.

    Examples
    --------
    >>> tube = Tube("pultruded", od="20 mm", wall="1 mm")
    >>> clamp_up(tube, washer="12 mm") < 2000, clamp_up(tube, washer="12 mm", plug=True)
    (True, inf)
    """
    single(tube, "clamp_up")
    if plug:
        return math.inf
    wide = to_si(washer, "length", what="washer", where="clamp_up", positive=True)
    angle = 2.0 * math.asin(min(wide / (2.0 * float(tube.sections.ro[0])), 1.0))
    return min(_bears(tube, Patch(wide, angle, opposed=True)))


def _bears(tube: Tube, patch: Patch) -> tuple[float, float]:
    """Force on a patch that first cracks a ply (metals: never), and that dents the wall."""
    s = tube.sections
    crack = math.inf if tube.construction.metal else float(split_load(s, patch)[0])
    return crack, float(crush_load(s, patch)[0])


def split_clamp(
    tube: Tube,
    *,
    length: Any,
    screw: Any,
    screws: int = 2,
    kind: str = "two halves",
    plug: bool = False,
    factor: float = 1.5,
    friction: float | None = None,
) -> Clamp:
    """Clamp pressure and screw torque that a tube takes, and what the clamp then holds.

    Parameters
    ----------
    tube : Tube
        One tube.
    length : str or Quantity
        Of the clamp along the tube.
    screw : str or Quantity
        Diameter of a screw.
    screws : int
        Number of all its screws.
    kind : str
        "two halves" with screws on both sides, or "one slit": a ring with a slit.
    plug : bool
        A tight core in the bore: the wall does not limit the clamp.
    factor : float
        On the force that damages the wall.
    friction : float, optional
        Of clamp on tube; else the low end of the workshop figure.

    Returns
    -------
    Clamp

    Raises
    ------
    InputError
        For an unknown kind, no screw, or a factor below 1.

    Notes
    -----
    Two opposed pressures that fade as the cosine, `tubecalc.loadpoint`; screw torque = nut factor x
    diameter x pull (Shigley). Half force: all screws together; of a slit ring twice that, being
    pulled round like a belt. Held by friction: (8 / pi) mu F of the half force F, the integral of
    the cosine. A clamp whose bore does not fit presses on lines and crushes sooner.

    Examples
    --------
    >>> axial = Tube("pultruded", od="20 mm", wall="1 mm")
    >>> hooped = Tube("pull-wound", od="20 mm", wall="1 mm")
    >>> one, two = (split_clamp(t, length="20 mm", screw="4 mm") for t in (axial, hooped))
    >>> one.torque < two.torque
    True
    """
    single(tube, "split_clamp")
    wide = to_si(length, "length", what="length", where="split_clamp", positive=True)
    d = to_si(screw, "length", what="screw", where="split_clamp", positive=True)
    if kind not in CLAMPS:
        raise unknown_key("kind of clamp", kind, CLAMPS, "split_clamp:kind")
    if isinstance(screws, bool) or not isinstance(screws, int) or not 1 <= screws <= 100:
        raise InputError("is no number of screws", where="split_clamp:screws", got=screws,
                         expected="1 to 100")  # fmt: skip
    if d >= 2.0 * float(tube.sections.ro[0]):
        raise InputError("the screw is as thick as the tube", where="split_clamp:screw", got=screw,
                         expected="the diameter of a screw beside the tube")  # fmt: skip
    factor = to_si(factor, "number", what="factor", where="split_clamp")
    if factor < 1.0:
        raise InputError("a factor is 1 or more", where="split_clamp:factor", got=factor)
    mu = figure("friction_composite").low if friction is None else to_si(
        friction, "number", what="friction", where="split_clamp")  # fmt: skip
    if not 0.0 < mu <= 1.5:
        raise InputError("is no coefficient of friction", where="split_clamp:friction", got=mu,
                         expected="above 0, to 1.5")  # fmt: skip
    crack, dent = _bears(tube, Patch(wide, COSINE, opposed=True))
    force = math.inf if plug else (crack if math.isnan(dent) else min(crack, dent)) / factor
    pull = force / screws / (2.0 if kind == "one slit" else 1.0)
    hold = _GRIP * mu * force
    od = 2.0 * float(tube.sections.ro[0])
    torque = figure("nut_factor").low * d * pull
    return Clamp(
        float(force), float(force) / (od * wide), float(torque), float(hold),
        float(hold) * od / 2.0, crack, dent, _clamp_why(tube, float(torque), crack <= dent, plug),
        tuple(_clamp_cautions(tube)),
    )  # fmt: skip


def _clamp_why(tube: Tube, torque: float, cracks: bool, plug: bool) -> str:
    if plug:
        return "a tight plug holds the wall: the screws decide, not the tube"
    if math.isnan(torque):
        return "clamp limit not known: the ply strengths are not known"
    first = "cracks" if cracks else "dents"
    name = tube.construction.name
    return Spoken(lambda s: (
        f"{name} {first} first: screws to {rough(torque, 'torque', s, 2)} at most (lubricated "
        "screws pull hardest, so their nut factor counts)"
    ))  # fmt: skip


def _clamp_cautions(tube: Tube) -> list[str]:
    out = [
        "bore the clamp with the tube's own diameter; deburr its edges",
        "friction and screw torque spread by a half either way: mark and watch for slip",
        "the screw itself is not looked at: where its own torque is less, that counts",
    ]
    if tube.construction.splits:
        out.append("an all-axial wall has only resin around it: a plug or hoop plies under a clamp")
    return out


__all__ = ["CLAMPS", "Clamp", "Fastened", "Limit", "bolt", "clamp_up", "split_clamp",
           "thread_rule"]  # fmt: skip
