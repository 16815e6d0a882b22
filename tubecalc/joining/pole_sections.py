"""Tubes that fit one in the other: the sections of a telescoping pole."""

from __future__ import annotations

from typing import Any

from tubecalc.errors import InputError
from tubecalc.tube import Tube, single
from tubecalc.unit_words import for_system, worded
from tubecalc.units import to_si

MOST_SECTIONS = 20


def telescope(construction: Any, *, od: Any, wall: Any, count: int, gap: Any) -> list[Tube]:
    """Tubes that fit one in the other, the largest first.

    Parameters
    ----------
    construction : str or Construction
        Of every tube.
    od, wall : str or Quantity
        Outside of the largest; wall of all, made of whole plies.
    count : int
        How many, 2 to 20.
    gap : str or Quantity
        Clearance on the diameter.

    Returns
    -------
    list of Tube

    Raises
    ------
    InputError
        For no gap, or where the tubes grow too small.

    Examples
    --------
    >>> tubes = telescope("pultruded", od="20 mm", wall="1 mm", count=3, gap="0.2 mm")
    >>> [round(float(t.od.m), 2) for t in tubes]
    [20.0, 17.8, 15.6]
    """
    _room(count, gap)
    return inward(Tube(construction, od=od, wall=wall), wall=wall, count=count, gap=gap)


def inward(base: Tube, *, wall: Any, count: int, gap: Any) -> list[Tube]:
    """A tube and smaller ones of its construction that slide in it, the largest first.

    Parameters
    ----------
    base : Tube
        The largest.
    wall : str or Quantity
        Wall of the smaller ones, made of whole plies.
    count : int
        How many, 2 to 20, the largest counted.
    gap : str or Quantity
        Clearance on the diameter.

    Returns
    -------
    list of Tube

    Raises
    ------
    InputError
        For no gap, or where the tubes grow too small.

    Examples
    --------
    >>> base = Tube("pultruded", od="20 mm", wall="1 mm")
    >>> [round(float(t.id.m), 2) for t in inward(base, wall="0.5 mm", count=2, gap="0.2 mm")]
    [18.0, 16.8]
    """
    space = _room(count, gap)
    single(base, "telescope")
    out = [base]
    while len(out) < count:
        next_od = 2.0 * float(out[-1].sections.ri[0]) - space
        if next_od <= 2.0 * float(out[-1].sections.t[0]):
            raise InputError(
                f"no room for section {len(out) + 1} of {count}", where="telescope:count",
                got=worded("{} outside", "length", next_od, digits=3),
                expected="a larger tube or a thinner wall",
            )  # fmt: skip
        out.append(Tube(base.construction, od=f"{next_od!r} m", wall=wall))
    return out


def _room(count: int, gap: Any) -> float:
    """Clearance [m]; refuses what cannot be."""
    space = float(to_si(gap, "length", what="gap", where="telescope"))
    if space <= 0.0:
        raise InputError("equal sizes do not slide: the gap must be more than nought",
                         where="telescope:gap", got=str(gap),
                         expected=for_system('"0.2 mm"', '"0.01 in"'))  # fmt: skip
    if isinstance(count, bool) or not isinstance(count, int) or not 2 <= count <= MOST_SECTIONS:
        raise InputError("is no number of sections", where="telescope:count", got=count,
                         expected=f"2 to {MOST_SECTIONS}")  # fmt: skip
    return space


__all__ = ["MOST_SECTIONS", "inward", "telescope"]
