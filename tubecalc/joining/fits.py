"""Will it slide: two tubes one in the other, from their tolerances, shape and temperature."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tubecalc.checks.climate import transition_of
from tubecalc.environment import ROOM
from tubecalc.environment_growth import growth
from tubecalc.errors import InputError
from tubecalc.joining import fit_press, fit_words, iso286
from tubecalc.joining.fit_parts import Clear, Shape, bow_over, clear
from tubecalc.joining.fit_press import Pressed
from tubecalc.joining.trim import Cost, cost, outer_ply
from tubecalc.joining.tube_sizes import SIGMAS, Band, band_of, even
from tubecalc.joining.workshop import figure
from tubecalc.tube import Tube, single
from tubecalc.unit_words import Spoken, for_system, worded
from tubecalc.units import to_si

if TYPE_CHECKING:
    import pandas as pd

HOTTEST = 500.0  # degC, of metals; no fit of tubes is asked for beyond it (own rule)
SAME = 0.5e-6  # m, below which two diameters are called equal
WILL_BIND, MAY_BIND, TIGHT, SLIDES, LOOSE = (
    "will bind", "may bind", "slides, close", "slides", "slides, loose",
)  # fmt: skip
NO_GRIP, MAY_GRIP, GRIPS, BREAKS = "does not grip", "may not grip", "grips", "breaks a wall"


@dataclass(frozen=True)
class TakeOff:
    """What to take off the outside of the inner tube, on its diameter [m].

    typical makes middling parts slide, most the worst ones; allowed is the depth (a side) that the
    outer ply leaves, and named what that is; paid is what the typical amount costs.
    """

    typical: float
    most: float
    allowed: float
    named: str
    paid: Cost | None


@dataclass(frozen=True)
class Fit:
    """Two tubes one in the other; lengths in m.

    at holds the clearance at every temperature, the worst of them is `worst`; presses holds the
    press fit at least and most interference; verdict is a few words, grade A to C.
    """

    inner: Tube
    outer: Tube
    outside: Band
    bore: Band
    nominal: float
    overlap: float
    shape: Shape
    at: tuple[Clear, ...]
    take_off: TakeOff
    presses: tuple[Pressed, ...]
    friction: float
    verdict: str

    @property
    def grade(self) -> str:
        """Of the poorer known of both diameters: A measured, B stated, C usual in the trade."""
        return max(self.outside.grade, self.bore.grade)

    @property
    def worst(self) -> Clear:
        """Temperature at which least is free; of a press fit, at which it grips least."""
        return (max if self.presses else min)(self.at, key=lambda x: x.free)

    @property
    def chance(self) -> float:
        """Chance of binding at the worst temperature, 0 to 1."""
        return max(x.chance for x in self.at)

    @property
    def slides(self) -> bool:
        """Whether it slides in the worst case."""
        return self.verdict in (TIGHT, SLIDES, LOOSE)

    @property
    def why(self) -> Spoken:
        """The verdict in a sentence, for any display system."""
        return Spoken(lambda system: fit_words.why(self, system))

    @property
    def cautions(self) -> list[str]:
        """What to mind, in sentences."""
        return fit_words.cautions(self)

    @property
    def table(self) -> pd.DataFrame:
        """Clearance at every temperature, um on the diameter."""
        import pandas as pd

        return pd.DataFrame(
            [
                {"temperature_degC": x.temperature, "least_um": x.least * 1e6,
                 "middle_um": x.middle * 1e6, "most_um": x.most * 1e6,
                 "free_worst_um": x.free * 1e6, "free_statistical_um": x.low * 1e6,
                 "most_statistical_um": x.high * 1e6, "chance_of_binding": x.chance}
                for x in self.at
            ]
        )  # fmt: skip

    def __repr__(self) -> str:
        return f"Fit({self.inner!r} in {self.outer!r}: {self.verdict})"


def fit(
    inner: Tube,
    outer: Tube,
    *,
    overlap: Any = None,
    temperature: Any = None,
    outside: Any = None,
    bore: Any = None,
    iso: str | None = None,
    ground: bool = False,
    out_of_round: Any = None,
    straightness: float | None = None,
    press: bool = False,
    friction: float | None = None,
) -> Fit:
    """Fit of one tube in another: worst case, spread, chance of binding, what to take off.

    Parameters
    ----------
    inner, outer : Tube
        One tube each.
    overlap : str or Quantity, optional
        Length in each other; bow counts over it, and a press fit slips over it.
    temperature : str, Quantity or list, optional
        Where it must work, one temperature or several; room temperature else.
    outside, bore : str, Quantity or list, optional
        What is known of the outside of the inner and the bore of the outer tube: "+/-0.05 mm",
        "0/-0.1 mm", a symbol ("h9", "H7", "D4"), or measured diameters; else what is usual for
        their constructions.
    iso : str, optional
        Fit for both, "H7/g6", of one nominal diameter.
    ground : bool
        The outside of the inner tube is ground.
    out_of_round : str, Quantity or list, optional
        Largest less smallest diameter, of both or [inner, outer]; taken as within the tolerance of
        the diameters where not given.
    straightness : float, optional
        Bow over length of both; else that of their constructions.
    press : bool
        It shall grip instead of slide.
    friction : float, optional
        Of the press fit; else a cautious value for the pair.

    Returns
    -------
    Fit

    Raises
    ------
    InputError
        For an inner tube larger than the bore (unless it is pressed in), a tolerance that is not
        known or has the wrong sign, a length or shape that is negative.

    Notes
    -----
    Clearances are on the diameter. A tolerance is taken as three standard deviations. See
    `tubecalc.joining.fit_parts` for oval and bow, `fit_press` for the press fit. That equal sizes
    do not slide and a little must come off the inner tube is common practice, no source.

    Examples
    --------
    >>> inner, outer = Tube("pultruded", od="4 mm", id="2.5 mm"), Tube("pultruded", od="6 mm",
    ...                                                                id="4 mm")
    >>> found = fit(inner, outer, overlap="40 mm")
    >>> found.verdict, round(found.take_off.typical * 1e3, 2)
    ('will bind', 0.05)
    """
    for tube, name in ((inner, "fit:inner"), (outer, "fit:outer")):
        if not isinstance(tube, Tube):
            raise InputError("a fit is of two tubes", where=name, got=repr(tube), expected="a Tube")
        single(tube, name)
    length = math.nan if overlap is None else to_si(
        overlap, "length", what="overlap", where="fit", positive=True)  # fmt: skip
    out, hole = _bands(inner, outer, outside, bore, iso, ground)
    nominal = 2.0 * float(outer.sections.ri[0] - inner.sections.ro[0])
    if nominal < -SAME and not press:
        raise InputError(
            "the inner tube is larger than the bore", where="fit:inner",
            got=worded("{} into {}", "length", 2.0 * float(inner.sections.ro[0]),
                       2.0 * float(outer.sections.ri[0])),
            expected="a smaller tube, or a press fit, which grips and does not slide",
        )  # fmt: skip
    shape = _shape(inner, outer, length, out_of_round, straightness)
    grow = (float(growth(inner.sections).outside[0]), float(growth(outer.sections).bore[0]))
    temperatures = _temperatures(temperature, inner, outer)
    at = tuple(clear(out, hole, shape, grow, t, t - ROOM) for t in temperatures)
    mu = _friction(inner, outer, friction)
    presses = _presses(inner, outer, at, length, mu) if press else ()
    return Fit(
        inner, outer, out, hole, nominal, length, shape, at, _take_off(inner, at, shape), presses,
        mu, _press_verdict(presses) if press else _verdict(at, nominal, out, hole),
    )  # fmt: skip


def _temperatures(given: Any, inner: Tube, outer: Tube) -> tuple[float, ...]:
    """Room temperature and those of service; none at which a wall goes soft."""
    many = given if isinstance(given, list | tuple) and given else [given]
    found = [ROOM if x is None else float(to_si(x, "temperature", what="temperature", where="fit"))
             for x in many]  # fmt: skip
    for tube, what in ((inner, "inner"), (outer, "outer")):
        soft = transition_of(tube.construction, wet=False)
        hot = min(soft, HOTTEST) if math.isfinite(soft) else HOTTEST
        if max(found) >= hot:
            raise InputError(f"the {what} tube is soft so hot", where="fit:temperature",
                             got=worded("{}", "temperature", max(found)),
                             expected=worded("below {}", "temperature", hot))  # fmt: skip
    return tuple(dict.fromkeys([ROOM, *sorted(found)]))


def _bands(inner: Tube, outer: Tube, outside: Any, bore: Any, iso: str | None,
           ground: bool) -> tuple[Band, Band]:  # fmt: skip
    """Band of the outside of the inner tube, and of the bore of the outer one."""
    d, hole = 2.0 * float(inner.sections.ro[0]), 2.0 * float(outer.sections.ri[0])
    if hole <= SAME:
        raise InputError("the outer tube has no bore", where="fit:outer", got=repr(outer))
    if iso is not None:
        if outside is not None or bore is not None or ground:
            raise InputError("iso states both diameters already", where="fit:iso", got=iso,
                             expected="either iso, or outside and bore")  # fmt: skip
        if abs(d - hole) > SAME:
            raise InputError(
                "an ISO fit is of one nominal diameter", where="fit:iso",
                got=worded("{} into {}", "length", d, hole),
                expected="both of one size (the size of the other tube left empty), or a "
                         "tolerance for each",
            )  # fmt: skip
        iso286.iso_fit(hole, iso)  # says in words what is wrong with it
        bore, outside = (x.strip() for x in iso.split("/"))
    if outside is not None and ground:
        raise InputError("either the tolerance is given, or that of a ground outside is taken",
                         where="fit:ground")  # fmt: skip
    if outside is not None:
        one = band_of(d, outside, bore=False, where="fit:outside")
    elif ground:
        one = even(d, figure("ground_outside").value, "ground outside, usual in the trade", "C")
    else:
        one = _usual(inner, d, "od")
    two = _usual(outer, hole, "id") if bore is None else band_of(
        hole, bore, bore=True, where="fit:bore")  # fmt: skip
    return one, two


def _usual(tube: Tube, diameter: float, side: str) -> Band:
    half = tube.construction.size(f"tolerance_{side}")
    word = "outside" if side == "od" else "bore"
    if math.isnan(half):
        raise InputError(
            f"the tolerance of the {word} is not known", where=f"fit:{word}",
            got=tube.construction.name, expected=for_system(
                f'{word}="+/-0.05 mm", or measured diameters',
                f'{word}="+/-0.002 in", or measured diameters'),
        )  # fmt: skip
    return even(diameter, half, f"usual for {tube.construction.name}", "C")


def _shape(inner: Tube, outer: Tube, length: float, oval: Any, straight: float | None) -> Shape:
    pair = [0.0, 0.0]
    if oval is not None:
        many = list(oval) if isinstance(oval, list | tuple) else [oval, oval]
        if len(many) != 2:
            raise InputError("out of round is one length, or that of inner and outer",
                             where="fit:out_of_round", got=len(many))  # fmt: skip
        pair = [to_si(x, "length", what="out_of_round", where="fit") for x in many]
    if straight is not None:
        straight = to_si(straight, "number", what="straightness", where="fit")
    bows = [t.construction.straightness if straight is None else straight for t in (inner, outer)]
    if min(pair) < 0:
        raise InputError("out of round is nought or more", where="fit:out_of_round",
                         got=worded("{}", "length", min(pair)),
                         expected=for_system('"0.1 mm"', '"0.004 in"'))  # fmt: skip
    if any(not math.isnan(x) and not 0.0 <= x <= 0.1 for x in bows):
        raise InputError("straightness is bow over length, nought or more",
                         where="fit:straightness", expected="0.001")  # fmt: skip
    if math.isnan(length):
        return Shape(*pair)
    return Shape(*pair, *(0.0 if math.isnan(x) else bow_over(x, length) for x in bows))


def _take_off(inner: Tube, at: Sequence[Clear], shape: Shape) -> TakeOff:
    gap, allowed = figure("running_gap").value, outer_ply(inner)
    least, middle = min(x.free for x in at), min(x.middle for x in at)
    most = max(0.0, gap - least)
    typical = max(0.0, gap + SIGMAS / 2.0 * sum(shape.spreads) - middle)
    typical = min(typical, most)
    wall = float(inner.sections.t[0])
    paid = cost(inner, typical / 2.0) if 0.0 < typical / 2.0 < 0.9 * wall else None
    return TakeOff(typical, most, *allowed, paid)


def _verdict(at: Sequence[Clear], nominal: float, out: Band, hole: Band) -> str:
    """Verdict of a sliding fit."""
    stated = out.grade == hole.grade == "A" or abs(hole.middle - out.middle - nominal) > SAME
    free, middle = min(x.free for x in at), min(x.middle for x in at)
    if middle <= SAME or (abs(nominal) <= SAME and not stated):
        return WILL_BIND
    if free <= SAME:
        return MAY_BIND
    if middle > figure("loose_gap").value:
        return LOOSE
    return TIGHT if free < figure("running_gap").value else SLIDES


def _friction(inner: Tube, outer: Tube, given: float | None) -> float:
    if given is None:
        both = inner.construction.metal and outer.construction.metal
        return figure("friction_metal" if both else "friction_composite").low
    given = to_si(given, "number", what="friction", where="fit")
    if not 0.0 < given <= 1.5:
        raise InputError("is no coefficient of friction", where="fit:friction", got=given,
                         expected="above 0, to 1.5")  # fmt: skip
    return given


def _presses(inner: Tube, outer: Tube, at: Sequence[Clear], length: float,
             mu: float) -> tuple[Pressed, ...]:  # fmt: skip
    """Press fit at the least and the most interference, of all temperatures."""
    diameter = 2.0 * float(outer.sections.ri[0])
    loose, tight = max(at, key=lambda x: x.most), min(at, key=lambda x: x.least)
    if -tight.least > fit_press.MOST_INTERFERENCE * diameter:
        raise InputError(
            "too much interference for a press fit", where="fit:inner",
            got=worded("{} on {}", "length", -tight.least, diameter),
            expected=worded("at most {}", "length", fit_press.MOST_INTERFERENCE * diameter,
                            digits=3),
        )  # fmt: skip
    soft, bears = fit_press.softness(inner, outer), fit_press.walls(inner, outer, length)
    return tuple(
        fit_press.pressed(-c, diameter, soft, bears, length=length, friction=mu, temperature=t)
        for c, t in ((loose.most, loose.temperature), (tight.least, tight.temperature))
    )


def _press_verdict(presses: Sequence[Pressed]) -> str:
    least, most = presses
    if most.pressure <= 0.0:
        return NO_GRIP
    if most.reserve < 1.0:
        return BREAKS
    return MAY_GRIP if least.pressure <= 0.0 else GRIPS


__all__ = ["Fit", "TakeOff", "fit"]
