"""Wear of a sliding joint: how deep, how much gap it opens, what stiffness it costs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from tubecalc.errors import InputError
from tubecalc.joining.trim import Cost, cost
from tubecalc.joining.workshop import figure
from tubecalc.tube import Tube
from tubecalc.unit_words import Spoken, rough, worded
from tubecalc.units import to_si

TENTH = 1e-4  # m, a side


@dataclass(frozen=True)
class Wear:
    """Wear of a pair after some use, SI.

    bore and outside are the depths off the bore of the outer and the outside of the inner tube;
    opens is what they add to the clearance on the diameter; low and high scale every depth to the
    ends of the range of the rate; outer and inner say what stiffness is left; tenth is the share of
    its bending stiffness that a tenth of a millimetre off the bore takes from the outer tube, and
    off the outside from the inner one, None where a wall is not twice as thick.
    """

    bore: float
    outside: float
    opens: float
    low: float
    high: float
    outer: Cost
    inner: Cost
    rate: float
    why: Spoken
    tenth: tuple[float, float] | None = None
    grade: str = "C"


def wear(
    inner: Tube,
    outer: Tube,
    *,
    cycles: float,
    stroke: Any,
    load: Any,
    touch: Any,
    gritty: bool = False,
    rate: float | None = None,
) -> Wear:
    """Wear of a sliding joint.

    Parameters
    ----------
    inner, outer : Tube
        One tube each.
    cycles : float
        Times it is pushed in and pulled out.
    stroke : str or Quantity
        Way of one push.
    load : str or Quantity
        Force that presses the two together.
    touch : str or Quantity
        Length along the tube over which they touch.
    gritty : bool
        Sand or dust in the joint.
    rate : float, optional
        Volume worn per load and way [m2/N]; else the workshop figure.

    Returns
    -------
    Wear

    Raises
    ------
    InputError
        For a negative use, or a wall that is worn through.

    Notes
    -----
    Archard's law: volume = rate x load x way, spread over half the circumference and the touching
    length; the bore takes its share (common practice, no source). Grade C: the rate is known to a
    factor of ten either way, so that only "soon" and "never" can be told apart.

    Examples
    --------
    >>> inner, outer = Tube("pultruded", od="27.3 mm", wall="1 mm"), Tube("pultruded", od="30 mm",
    ...                                                                  wall="1.2 mm")
    >>> found = wear(inner, outer, cycles=10_000, stroke="1 m", load="20 N", touch="20 mm",
    ...              gritty=True)
    >>> round(found.bore * 1e3, 3), round(1 - found.outer.bending, 3)
    (0.033, 0.024)
    """
    cycles = to_si(cycles, "number", what="cycles", where="wear")
    way = 2.0 * cycles * to_si(stroke, "length", what="stroke", where="wear", positive=True)
    force = to_si(load, "force", what="load", where="wear")
    length = to_si(touch, "length", what="touch", where="wear", positive=True)
    if not (cycles >= 0 and force >= 0):
        raise InputError("use and load are nought or more", where="wear", got=f"{cycles:g} cycles")
    known = figure("wear_gritty" if gritty else "wear_clean")
    k = known.value if rate is None else to_si(rate, "number", what="rate", where="wear")
    if k < 0:
        raise InputError("a wear rate is nought or more", where="wear:rate", got=k)
    area = math.pi * float(inner.sections.ro[0]) * length
    deep, share = k * force * way / area, figure("wear_share_bore").value
    bore, outside = deep * share, deep * (1.0 - share)
    for depth, tube, name in ((bore, outer, "outer"), (outside, inner, "inner")):
        if depth >= float(tube.sections.t[0]):
            raise InputError(
                f"the {name} tube is worn through", where="wear:cycles",
                got=worded("{} off a {} wall", "length", depth, float(tube.sections.t[0]),
                           digits=3), expected="less use, or no grit",
            )  # fmt: skip
    state = "with grit" if gritty else "clean and dry"
    why = Spoken(lambda s: (
        f"worn {rough(bore, 'length', s, 2)} off the bore and {rough(outside, 'length', s, 2)} off "
        f"the inner tube {state}, ten times less or more: {known.standing}, {known.source}"
    ))  # fmt: skip
    spread = (1.0, 1.0) if rate is not None else (known.low / k, known.high / k)
    return Wear(bore, outside, 2.0 * (bore + outside), *spread, cost(outer, bore, "bore"),
                cost(inner, outside), k, why, _tenth(inner, outer))  # fmt: skip


def _tenth(inner: Tube, outer: Tube) -> tuple[float, float] | None:
    if min(float(t.sections.t[0]) for t in (inner, outer)) < 2.0 * TENTH:
        return None
    return 1.0 - cost(outer, TENTH, "bore").bending, 1.0 - cost(inner, TENTH).bending


ADVICE = (
    "rinse the joints: grit carried up inside wears the bore (common practice, no source)",
    "dry lubricant or wax instead of oil: oil holds grit (common practice, no source)",
    "a wear tape on the inner tube is cheaper than a tube; allow for its thickness "
    "(common practice, no source)",
)

__all__ = ["ADVICE", "TENTH", "Wear", "wear"]
