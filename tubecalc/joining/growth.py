"""Growth of assemblies with heat, and lengths of two materials that cancel it."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tubecalc.environment_growth import growth, wall_expansion
from tubecalc.errors import InputError
from tubecalc.laminate.construction import get_construction
from tubecalc.materials import Metal, get_metal, is_metal
from tubecalc.tube import Tube, single
from tubecalc.unit_words import Spoken, for_system, rough, worded
from tubecalc.units import to_si
from tubecalc.wall import WallTable

SAME = 1e-9  # 1/K, below which two expansions are called equal
_VALUE = re.compile(r"\s*[+-]?[\d.]+(e[+-]?\d+)?\s*($|/|1/|ppm)", re.IGNORECASE)
FOLDED = 5.0  # length in the tubes over length gained, beyond which a design is no use (own rule)


@dataclass(frozen=True)
class Grown:
    """Growth of a chain of parts, SI: of each part and of the whole."""

    parts: tuple[tuple[str, float, float, float], ...]  # name, length, expansion, growth
    rise: float

    @property
    def total(self) -> float:
        """Growth of the whole [m]."""
        return math.fsum(x[3] for x in self.parts)

    @property
    def length(self) -> float:
        """Length of the whole, folded parts taken off [m]."""
        return math.fsum(x[1] for x in self.parts)

    @property
    def expansion(self) -> float:
        """Of the whole [1/K]."""
        return self.total / self.length / self.rise if self.rise and self.length else math.nan


@dataclass(frozen=True)
class Athermal:
    """Lengths of two materials with no growth between the ends [m].

    one and two are lengths of tube; folded says that the second runs back inside the first;
    left is the growth per kelvin when both expansions are off by `doubt` the worse way [m/K].
    """

    one: float
    two: float
    folded: bool
    length: float
    left: float
    doubt: float
    why: Spoken


def expansion_of(item: Any, *, where: str = "growth") -> tuple[str, float]:
    """Name and lengthwise expansion of a tube, a construction, a metal or a plain value.

    Parameters
    ----------
    item : Tube, Construction, Metal, str or Quantity
        "pultruded", "6061-T6", or an expansion such as "23e-6 /K".
    where : str
        For messages.

    Returns
    -------
    tuple
        Name, expansion [1/K].

    Raises
    ------
    InputError
        Where it is not known.

    Examples
    --------
    >>> expansion_of("304")[1], expansion_of("23.6e-6 /K")[1]
    (1.73e-05, 2.36e-05)
    """
    name, value = _expansion(item, where)
    if math.isnan(value):
        raise InputError("the expansion is not known", where=where, got=name,
                         expected=for_system('an expansion such as "23e-6 /K"',
                                             'an expansion such as "13e-6 /degF"'))  # fmt: skip
    return name, value


def _expansion(item: Any, where: str) -> tuple[str, float]:
    if isinstance(item, Tube):
        single(item, where)
        return item.construction.name, float(growth(item.sections).axial[0])
    if isinstance(item, Metal) or (isinstance(item, str) and is_metal(item)):
        metal = item if isinstance(item, Metal) else get_metal(item)
        return metal.name, metal.si.alpha1
    if isinstance(item, str) and _VALUE.match(item):
        return item, float(to_si(item, "expansion", what="expansion", where=where))
    if isinstance(item, str) or not hasattr(item, "magnitude"):
        c = get_construction(item, where)
        wall = c.size("wall_min")
        layup = c.layup(1e-3 if math.isnan(wall) else max(wall, 1e-3))
        return c.name, float(wall_expansion(WallTable([layup]))[0, 0])
    return str(item), float(to_si(item, "expansion", what="expansion", where=where))


def assembly(parts: Sequence[tuple[Any, Any]], *, rise: Any) -> Grown:
    """Growth of parts end to end.

    Parameters
    ----------
    parts : sequence of (item, length)
        Item as `expansion_of` takes it; a negative length runs back.
    rise : str or Quantity
        Change of temperature.

    Returns
    -------
    Grown

    Raises
    ------
    InputError
        For no part, or an expansion that is not known.

    Examples
    --------
    >>> found = assembly([("23e-6 /K", "1 m"), ("12e-6 /K", "2 m")], rise="10 K")
    >>> round(found.total * 1e3, 4)
    0.47
    """
    if not parts:
        raise InputError("an assembly has at least one part", where="assembly")
    dt = float(to_si(rise, "temperature_difference", what="rise", where="assembly"))
    out = []
    for n, part in enumerate(parts, 1):
        if not (isinstance(part, list | tuple) and len(part) == 2):
            raise InputError("is a material and a length", where=f"assembly:part {n}",
                             got=repr(part), expected='("pultruded", "1 m")')  # fmt: skip
        item, length = part
        name, alpha = expansion_of(item, where=f"assembly:part {n}")
        x = float(to_si(length, "length", what="length", where=f"assembly:part {n}"))
        out.append((name, x, alpha, alpha * x * dt))
    return Grown(tuple(out), dt)


def per_degree(growth: float, system: str = "SI") -> str:
    """Growth per degree for reading.

    Parameters
    ----------
    growth : float
        [m/K].
    system : str
        Display system.

    Returns
    -------
    str
        In micrometres per kelvin, or millionths of an inch per degree Fahrenheit.

    Examples
    --------
    >>> per_degree(4.57e-6), per_degree(4.572e-6, "inch")
    ('4.6 µm/K', '100 µin/°F')
    """
    if system == "inch":
        return f"{float(f'{growth / 0.0254 / 1.8 * 1e6:.2g}'):g} µin/°F"
    return f"{float(f'{growth * 1e6:.2g}'):g} µm/K"


def athermal(one: Any, two: Any, *, length: Any, doubt: float = 0.1) -> Athermal:
    """Lengths of two materials so that the distance between the ends does not grow.

    Parameters
    ----------
    one, two : Tube, Construction, Metal, str or Quantity
        As `expansion_of` takes them.
    length : str or Quantity
        Distance that must stay.
    doubt : float
        Share by which each expansion may be off.

    Returns
    -------
    Athermal

    Raises
    ------
    InputError
        For equal expansions, none that cancels, or a design many times longer than what it holds.

    Notes
    -----
    a1 L1 + a2 L2 = 0 and L1 + L2 = L: L1 = L a2 / (a2 - a1). Where both expand the same way the one
    that expands more runs back, its length negative. Elementary.

    Examples
    --------
    >>> found = athermal("2e-6 /K", "23e-6 /K", length="1 m")
    >>> round(found.one, 4), round(found.two, 4), found.folded
    (1.0952, 0.0952, True)
    """
    name1, a1 = expansion_of(one, where="athermal:one")
    name2, a2 = expansion_of(two, where="athermal:two")
    whole = to_si(length, "length", what="length", where="athermal", positive=True)
    doubt = to_si(doubt, "number", what="doubt", where="athermal")
    if not 0.0 <= doubt < 1.0:
        raise InputError("is no share", where="athermal:doubt", got=doubt, expected="0 to 1")
    if abs(a2 - a1) <= SAME:
        raise InputError("both expand alike, so none cancels the other", where="athermal",
                         got=f"{name1}, {name2}")  # fmt: skip
    l1 = whole * a2 / (a2 - a1)
    l2 = whole - l1
    if abs(l1) + abs(l2) > FOLDED * whole:
        raise InputError(
            "the two expand too much alike: the parts would be many times longer than what they "
            "hold", where="athermal",
            got=worded("{} for {}", "length", abs(l1) + abs(l2), whole, digits=3),
        )  # fmt: skip
    left = doubt * (abs(a1 * l1) + abs(a2 * l2))
    back = name2 if l2 < 0 else name1
    how = f", the {back} running back" if min(l1, l2) < 0 else " end to end"
    said = Spoken(lambda s: (
        f"{rough(abs(l1), 'length', s, 4)} of {name1} and {rough(abs(l2), 'length', s, 4)} of "
        f"{name2}{how}; {per_degree(left, s)} may be left when both expansions are off by "
        f"{100 * doubt:.0f} %"
    ))  # fmt: skip
    return Athermal(abs(l1), abs(l2), min(l1, l2) < 0, whole, left, doubt, said)


__all__ = ["Athermal", "Grown", "assembly", "athermal", "expansion_of", "per_degree"]
