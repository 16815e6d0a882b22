"""Equivalents: the tube of another construction that is as stiff, as strong or as heavy."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from tubecalc.errors import InputError, unknown_key
from tubecalc.laminate.construction import Construction, get_construction
from tubecalc.laminate.elastic import Array
from tubecalc.section import Sections
from tubecalc.tube import Tube, single
from tubecalc.unit_display import show
from tubecalc.units import Q_
from tubecalc.wall import WallTable

MOST_OD = 1.0  # largest outside diameter looked at [m]
_POINTS, _ROUNDS = 13, 4  # of the search; each round narrows the interval twelvefold
_CLOSE = 1e-9

# what can be held alike: words and how it is read off
SAME: dict[str, str] = {
    "od": "outside diameter and wall",
    "mass": "mass per metre",
    "EI": "bending stiffness",
    "EA": "axial stiffness",
    "GJ": "torsional stiffness",
    "bending": "bending strength",
    "tension": "tensile strength",
    "compression": "compressive strength",
    "torsion": "torsional strength",
}
_STRENGTHS = ("bending", "tension", "compression", "torsion")
KEEP = {"od": "same outside diameter, other wall", "wall": "same wall, other outside diameter"}


@dataclass(frozen=True, eq=False)
class Equal:
    """A tube that equals another in one respect, or why there is none.

    Attributes
    ----------
    tube : Tube or None
        The tube found.
    reached : float
        What it has of the quantity over what was asked: 1 or a little more, whole plies being
        rounded up; for equal mass 1 or a little less [-].
    weight : float
        Its mass per metre over that of the tube it replaces [-].
    says : str
        The answer in words, also when there is none.
    """

    tube: Tube | None
    reached: float
    weight: float
    says: str


def value_of(s: Sections, same: str) -> Array:
    """The quantity that is held alike, of N tubes.

    Parameters
    ----------
    s : Sections
        N tubes.
    same : str
        A key of `SAME` other than "od".

    Returns
    -------
    numpy.ndarray
        kg/m, N, N m2 or N m. Strength is yield of a metal, fibre failure of a composite, short
        time at room temperature; buckling is not looked at.
    """
    if same == "mass":
        return s.mass_per_length
    if same in _STRENGTHS:
        return s.unit[same].broken
    value: Array = getattr(s, same)
    return value


def _sections(construction: Construction, walls: Array, od: Array) -> Sections:
    """Tubes of real walls, one outside diameter each."""
    table = WallTable([construction.layup(float(w)) for w in walls])
    return Sections(table, np.arange(len(walls)), od)


def _plied_walls(construction: Construction, od: float) -> Array:
    """Every wall of whole plies that fits a diameter."""
    step = construction.least_step()
    least = construction.wall_of(0.0) or step  # where the rule asks for no fill, one unit
    most = od / 2 * (1 + _CLOSE)
    count = int((most - least) / step) + 1 if least <= most else 0
    return np.asarray(least + step * np.arange(count), float)


def _first_wall(construction: Construction, od: float, same: str, target: float) -> float | None:
    """Least wall that reaches the target at an outside diameter; None if none does."""
    if not construction.continuous:
        walls = np.array([construction.wall_of(0.0)]) if construction.fixed else _plied_walls(
            construction, od
        )  # fmt: skip
        walls = walls[walls <= od / 2 * (1 + _CLOSE)]
        if not len(walls):
            return None
        values = value_of(_sections(construction, walls, np.full(len(walls), od)), same)
        return _pick(walls, values, same, target)

    def values_at(walls: Array) -> Array:
        return value_of(_sections(construction, walls, np.full(len(walls), od)), same)

    return _crossing(values_at, od * 1e-5, od / 2, target)


def _pick(walls: Array, values: Array, same: str, target: float) -> float | None:
    if same == "mass":  # not heavier
        fits = np.flatnonzero(values <= target * (1 + 1e-6))
        return float(walls[fits[-1]]) if len(fits) else None
    fits = np.flatnonzero(values >= target * (1 - _CLOSE))
    return float(walls[fits[0]]) if len(fits) else None


def _crossing(
    values_at: Callable[[Array], Array], low: float, high: float, target: float
) -> float | None:
    """Least x between two ends whose value reaches the target; the value rises with x."""
    for _ in range(_ROUNDS):
        x = np.geomspace(low, high, _POINTS)
        values = values_at(x)
        over = np.flatnonzero(values >= target * (1 - _CLOSE))
        if not len(over):
            return None
        k = int(over[0])
        if k == 0:
            return float(x[0])
        low, high = float(x[k - 1]), float(x[k])
    below, above = float(values[k - 1]), float(values[k])
    share = math.log(target / below) / math.log(above / below)
    return float(low * (high / low) ** min(share, 1.0))


def _first_od(construction: Construction, wall: float, same: str, target: float) -> float | None:
    """Least outside diameter with a wall that reaches the target; None up to `MOST_OD`."""
    table = WallTable([construction.layup(wall)])

    def values_at(od: Array) -> Array:
        return value_of(Sections(table, np.zeros(len(od), np.intp), od), same)

    return _crossing(values_at, 2 * float(table.t[0]), MOST_OD, target)


def _made(construction: Construction, od: float, wall: float) -> Tube:
    return Tube(construction, od=Q_(od, "m"), wall=Q_(wall, "m"))


@lru_cache(maxsize=512)
def equal(
    target: Tube, wall_of: Any, same: str = "EI", keep: str = "od", *, od: float = math.nan,
    wall: float = math.nan, system: str = "SI",
) -> Equal:  # fmt: skip
    """Find the tube of a construction that equals another in one respect.

    Parameters
    ----------
    target : Tube
        The tube to replace.
    wall_of : str, Construction, Metal, Ply or Layup
        What the new one is made of.
    same : str
        A key of `SAME`.
    keep : str
        "od": the outside diameter stays and the wall is found, in whole plies; "wall": the wall
        stays (of the target, or as given) and the outside diameter is found.
    od, wall : float
        Outside diameter or wall to keep [m]; the target's when not given.
    system : str
        Display system of the sentence.

    Returns
    -------
    Equal

    Raises
    ------
    InputError
        For an unknown quantity, several tubes at once, or a size that is not above zero.

    Notes
    -----
    The quantity is that of the layered section, whatever theory it has there; nothing is scaled.

    Examples
    --------
    >>> found = equal(Tube("304", od="28 mm", id="0 mm"), "6063-T6", "mass")
    >>> found.tube is None  # not even a solid bar of aluminium weighs as much
    True
    """
    single(target, "equal")
    for what, given, known in (("quantity", same, SAME), ("size to keep", keep, KEEP)):
        if given not in known:
            raise unknown_key(what, given, list(known), "equal")
    construction = get_construction(wall_of, "equal")
    s = target.sections
    od = 2 * float(s.ro[0]) if math.isnan(od) else od
    t = float(s.t[0]) if math.isnan(wall) else wall
    for what, size_given in (("od", od), ("wall", t)):
        if not 0 < size_given < MOST_OD:
            raise InputError("is not above zero", where=f"equal:{what}", got=f"{size_given:g} m")
    if same == "od":
        return _alike(target, construction, od, t, system)
    wanted = float(value_of(s, same)[0])
    if not 0 < wanted < math.inf:
        return Equal(None, math.nan, math.nan, f"The {SAME[same]} of the tube is not known.")
    probe = _sections(construction, np.array([construction.wall_of(t)]), np.array([MOST_OD]))
    if math.isnan(float(value_of(probe, same)[0])):
        why = f"The {SAME[same]} of {construction.name} is not known."
        return Equal(None, math.nan, math.nan, why)
    if keep == "od":
        found = _first_wall(construction, od, same, wanted)
        size = None if found is None else (od, found)
    else:
        diameter = _first_od(construction, t, same, wanted)
        size = None if diameter is None else (diameter, construction.wall_of(t))
    if size is None:
        return Equal(
            None, math.nan, math.nan, _why_none(construction, od, t, same, keep, wanted, system)
        )
    return _answer(target, _made(construction, *size), same, keep, system)


def _alike(target: Tube, construction: Construction, od: float, t: float, system: str) -> Equal:
    """The same outside diameter with the wall next to the target's."""
    wall = construction.wall_of(t)
    if wall > od / 2 * (1 + _CLOSE):
        least = show(wall, "length", system)
        return Equal(
            None, math.nan, math.nan,
            f"No: the least wall of {construction.name} is {least}, more than the radius.",
        )  # fmt: skip
    return _answer(target, _made(construction, od, min(wall, od / 2)), "od", "od", system)


def _answer(target: Tube, tube: Tube, same: str, keep: str, system: str) -> Equal:
    s, of = tube.sections, target.sections
    weight = float(s.mass_per_length[0] / of.mass_per_length[0])
    reached = 1.0 if same == "od" else float(value_of(s, same)[0] / value_of(of, same)[0])
    wall, od = show(float(s.t[0]), "length", system), show(2 * float(s.ro[0]), "length", system)
    mass = show(float(s.mass_per_length[0]), "linear_density", system)
    size = f"a wall of {wall}" if keep == "od" else f"an outside diameter of {od}"
    plies = len(tube.layup.plies) if not tube.construction.continuous else 0
    made = f" ({plies} plies)" if plies and keep == "od" else ""
    off = ""
    if abs(reached - 1) > 0.005:
        side = "over" if reached > 1 else "under"
        off = f", {100 * abs(reached - 1):.0f} % {side}: plies are whole"
    share = f"{100 * weight:.0f} %" if weight < 2 else f"{weight:.1f} times"
    times = f"{share} of the weight" if weight < 2 else f"{share} the weight"
    unusual = _unusual(tube)
    return Equal(tube, reached, weight, f"{size}{made}, {mass}, {times}{off}{unusual}")


def _unusual(tube: Tube) -> str:
    """Whether wall or diameter is one that is seldom made."""
    c, s = tube.construction, tube.sections
    for word, value, name in (
        ("diameter", 2 * float(s.ro[0]), "od"), ("wall", float(s.t[0]), "wall"),
    ):  # fmt: skip
        low, high = c.size(f"{name}_min"), c.size(f"{name}_max")
        if value < low - 1e-9 or value > high + 1e-9:
            return f"; an unusual {word}: ask whether it can be made"
    return ""


def _why_none(
    construction: Construction, od: float, t: float, same: str, keep: str, wanted: float,
    system: str,
) -> str:  # fmt: skip
    """Why there is no such tube, and what there is instead."""
    name, word = construction.name, SAME[same]
    if keep == "wall":
        most = show(MOST_OD, "length", system)
        return f"No: up to {most} outside diameter {name} with this wall has not that {word}."
    if same == "mass" and not construction.continuous:
        walls = _plied_walls(construction, od) if not construction.fixed else np.array([])
        if len(walls) and float(
            value_of(_sections(construction, walls[:1], np.array([od])), same)[0]
        ) > wanted:  # fmt: skip
            least = show(float(walls[0]), "length", system)
            return f"No: the least wall of {name}, {least}, already weighs more."
    reach = _most(construction, od, same)
    if math.isnan(reach):
        return f"No: the least wall of {name} is more than the radius."
    share = f"{100 * reach / wanted:.0f} % of the {word}"
    said = f"No: at this diameter {name} has at most {share}, even solid"
    diameter = _first_od(construction, t, same, wanted)
    if diameter is None:
        return f"{said}."
    wall = show(construction.wall_of(t), "length", system)
    return f"{said}; at a wall of {wall} it takes {show(diameter, 'length', system)} outside."


def _most(construction: Construction, od: float, same: str) -> float:
    """Most of the quantity that any wall of a diameter has; NaN where no wall fits."""
    walls = np.geomspace(od / 200, od / 2, 40) if construction.continuous else (
        np.array([construction.wall_of(0.0)]) if construction.fixed
        else _plied_walls(construction, od)
    )  # fmt: skip
    walls = walls[walls <= od / 2 * (1 + _CLOSE)]
    if not len(walls):
        return math.nan
    values = value_of(_sections(construction, walls, np.full(len(walls), od)), same)
    return float(np.nanmax(values))


__all__ = ["KEEP", "SAME", "Equal", "equal", "value_of"]
