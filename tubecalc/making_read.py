"""What a cutting list is asked for: sizes, shares, the wall and its mandrel."""

from __future__ import annotations

import math
from typing import Any

from tubecalc.errors import InputError
from tubecalc.laminate.construction import get_construction
from tubecalc.laminate.layup import Layup
from tubecalc.tube import Tube, single
from tubecalc.unit_words import for_system
from tubecalc.units import to_si


def read_share(value: Any, what: str, most: float) -> float:
    """Read a share from nil to the most."""
    number = to_si(value, "ratio", what=what, where="cutting_list")
    if not 0.0 <= number <= most:
        raise InputError("is out of range", where=f"cutting_list:{what}", got=f"{number:g}",
                         expected=f"0 to {most:g}")  # fmt: skip
    return number


def read_length(value: Any, what: str, *, zero: bool = False) -> float:
    """Read a length that is not negative [m]."""
    number = to_si(value, "length", what=what, where="cutting_list", positive=not zero)
    if number < 0:
        raise InputError("is negative; it must be zero or more", where=f"cutting_list:{what}",
                         got=str(value))  # fmt: skip
    return number


def read_whole(value: Any, what: str, most: int) -> int:
    """Read a whole number from one to the most."""
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= most:
        raise InputError("must be a whole number", where=f"cutting_list:{what}", got=repr(value),
                         expected=f"1 to {most}")  # fmt: skip
    return value


def wall_and_mandrel(wall_of: Any, wall: Any, mandrel: Any, od: Any) -> tuple[Layup, float, float]:
    """Stack, mandrel diameter and outside diameter asked for (NaN where none was)."""
    where = "cutting_list"
    size = math.nan if mandrel is None else read_length(mandrel, "mandrel")
    outside = math.nan if od is None else read_length(od, "od")
    if isinstance(wall_of, Tube):
        single(wall_of, where)
        s = wall_of.sections
        size = 2 * float(s.ri[0]) if mandrel is None else size
        outside, stack = 2 * float(s.ro[0]), wall_of.layup
    elif isinstance(wall_of, Layup):
        stack = wall_of
    else:
        known = get_construction(wall_of, where)
        if wall is None and (math.isnan(size) or math.isnan(outside)):
            raise InputError("the wall thickness is missing", where=f"{where}:wall",
                             expected=for_system('wall="1 mm", or mandrel and od',
                                                 'wall="0.04 in", or mandrel and od'))  # fmt: skip
        if wall is None and size >= outside:
            raise _too_big(size, outside)
        stack = known.layup((outside - size) / 2 if wall is None else read_length(wall, "wall"))
    if math.isnan(size):
        if math.isnan(outside):
            raise InputError("the mandrel is missing", where=f"{where}:mandrel",
                             expected=for_system('its diameter, such as "20 mm"',
                                                 'its diameter, such as "0.75 in"'))  # fmt: skip
        size = outside - 2 * stack.t
    if size <= 0 or size >= outside:
        raise _too_big(size, outside)
    return stack, size, outside


def _too_big(mandrel: float, od: float) -> InputError:
    if mandrel <= 0:
        return InputError("the wall leaves no bore, so there is no mandrel to roll it on",
                          where="cutting_list:mandrel", got=f"bore {mandrel * 1e3:.4g} mm",
                          expected="a wall thinner than half the diameter")  # fmt: skip
    return InputError("the mandrel is larger than the tube", where="cutting_list:mandrel",
                      got=f"{mandrel * 1e3:.4g} mm in {od * 1e3:.4g} mm OD",
                      expected="a mandrel of the bore")  # fmt: skip


def process_of(layup: Layup) -> str:
    """What the construction is made by; walls that are no sheets are refused."""
    made = get_construction(layup)
    if made.metal or any(x.values.isotropic for x in layup.layers):
        raise InputError("a metal wall is not rolled from prepreg", where="cutting_list",
                         got=layup.name)  # fmt: skip
    if made.continuous:
        raise InputError("this wall is one solid ply, not rolled from sheets", where="cutting_list",
                         got=made.name,
                         expected="a roll-wrapped construction or an own stack")  # fmt: skip
    return made.process


__all__ = ["process_of", "read_length", "read_share", "read_whole", "wall_and_mandrel"]
