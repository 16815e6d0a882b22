"""Heat and growth as joints of a job: what goes first, how far it grows and what is allowed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tubecalc.errors import InputError, unknown_key
from tubecalc.joining.growth import Athermal, Grown, assembly, athermal
from tubecalc.joining.heat import Heat, weakest
from tubecalc.joining.sun import Sunlit, in_the_sun
from tubecalc.materials import is_metal
from tubecalc.tube import Tube
from tubecalc.unit_words import Spoken, rough, say
from tubecalc.units import to_si

DOUBT = 0.1  # share by which each expansion may be off, as `athermal` takes it (own rule)
GROWTH_ERROR = "10 % of each expansion, counted"
HEAT_ERRORS = {"B": "limits are those of the class", "C": "the heat of the sun is an estimate"}
_SUN = ("air", "wind", "surface")


# ---- the weakest part -----------------------------------------------------------------------
@dataclass(frozen=True)
class JudgedHeat:
    """An assembly at a temperature, and the sun that makes it; None where it is given."""

    heat: Heat
    sun: Sunlit | None

    @property
    def passes(self) -> bool | None:
        """Whether every part stands it; None where none fails and one is not known."""
        h = self.heat
        if h.unknown and not h.margin < 0.0:
            return None
        return h.passes

    @property
    def grade(self) -> str:
        """How far it is to be trusted."""
        return "B" if self.sun is None else "C"

    @property
    def error(self) -> str:
        """What the error is, in words."""
        return HEAT_ERRORS[self.grade]

    @property
    def why(self) -> Spoken:
        """The answer in a sentence, for any display system."""
        return Spoken(self._why)

    def _why(self, system: str) -> str:
        known = len(self.heat.unknown) < len(self.heat.members)
        said = [say(self.heat.why, system)] if known else []
        if self.heat.unknown:
            said.append(f"how hot {' and '.join(self.heat.unknown)} may get is not known")
        if self.sun is not None:
            said.append(f"in the sun, {say(self.sun.why, system)}")
        return "; ".join(said)


def judged_heat(
    tube: Tube,
    *,
    temperature: Any = None,
    sun: Mapping[str, Any] | None = None,
    adhesive: str | None = None,
    adhesive_glass: Any = None,
    tube_glass: Any = None,
    insert: str | None = None,
    finish: str | None = None,
    wet: bool = False,
) -> JudgedHeat:
    """Weakest part of a tube and what is joined to it, at a temperature or in the sun.

    Parameters
    ----------
    tube : Tube
        The tube.
    temperature : str or Quantity, optional
        Highest of service.
    sun : mapping, optional
        Instead of it: ``air`` in the shade, ``wind``, ``surface``, as `in_the_sun` takes them.
    adhesive, adhesive_glass, tube_glass, insert, finish, wet : optional
        As `weakest` takes them.

    Returns
    -------
    JudgedHeat

    Raises
    ------
    InputError
        As `weakest` and `in_the_sun` do, and unless one of temperature and sun is given.

    Examples
    --------
    >>> found = judged_heat(Tube("pultruded", od="20 mm", wall="1 mm"), temperature="70 degC",
    ...                     adhesive_glass="54 degC")
    >>> found.passes, found.heat.weakest.part, found.grade
    (False, 'adhesive', 'B')
    """
    if (temperature is None) == (sun is None):
        raise InputError("takes a temperature or the sun", where="heat:temperature",
                         expected="one of the two")  # fmt: skip
    if not isinstance(wet, bool):
        raise InputError("is yes or no", where="heat:wet", got=repr(wet))
    lit = None if sun is None else _lit(tube, sun)
    made = weakest(tube, temperature=temperature if lit is None else lit, adhesive=adhesive,
                   adhesive_glass=adhesive_glass, tube_glass=tube_glass, insert=insert,
                   finish=finish, wet=wet)  # fmt: skip
    return JudgedHeat(made, lit)


def _lit(tube: Tube, sun: Any) -> Sunlit:
    if not isinstance(sun, Mapping):
        raise InputError("is a table of air, wind and surface", where="heat:sun", got=repr(sun))
    for key in sun:
        if key not in _SUN:
            raise unknown_key("field of the sun", key, _SUN, "heat:sun")
    names = {"air": "air_temperature", "wind": "wind", "surface": "surface"}
    return in_the_sun(tube, **{names[k]: v for k, v in sun.items()})


# ---- growth ---------------------------------------------------------------------------------
@dataclass(frozen=True)
class JudgedGrowth:
    """Growth of parts in line, what is allowed (NaN: not given) [m], lengths that cancel it."""

    grown: Grown
    allowed: float
    still: Athermal | None
    metal: bool  # all of it

    @property
    def worst(self) -> float:
        """Growth either way when every expansion is off the worse way [m]."""
        return abs(self.grown.total) + DOUBT * math.fsum(abs(p[3]) for p in self.grown.parts)

    @property
    def reserve(self) -> float:
        """What is allowed over the growth at worst; NaN where nothing is allowed or grows [-]."""
        return self.allowed / self.worst if self.worst > 0.0 else math.nan

    @property
    def passes(self) -> bool | None:
        """Whether it keeps what is allowed at worst; None where that is not given."""
        return None if math.isnan(self.allowed) else self.worst <= self.allowed

    @property
    def grade(self) -> str:
        """How far it is to be trusted."""
        return "B" if self.metal else "C"

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to mind, in sentences."""
        if self.metal:
            return ()
        return ("the expansion along a composite tube is that of its class: measure it where much "
                "hangs on it (common practice, no source)",)  # fmt: skip

    @property
    def brief(self) -> Spoken:
        """The answer in a sentence, for any display system."""
        return Spoken(self._brief)

    @property
    def why(self) -> Spoken:
        """The answer, and the lengths that cancel the growth where they are looked for."""
        still = self.still
        if still is None:
            return self.brief
        return Spoken(lambda s: (
            f"{self._brief(s)}; {rough(still.length, 'length', s, 4)} that do not grow take "
            f"{say(still.why, s)}"
        ))  # fmt: skip

    def _brief(self, system: str) -> str:
        g = self.grown
        parts = [f"{rough(abs(x), 'length', system, 4)} of {name}{' running back' * (x < 0.0)}"
                 for name, x, _, _ in g.parts]  # fmt: skip
        many, up = len(parts) > 1, g.total >= 0.0
        does = ("grow" if up else "shrink") + ("" if many else "s")
        turn = "warmer" if g.rise >= 0.0 else "colder"
        kelvins = rough(abs(g.rise), "temperature_difference", system)
        comma = "," if g.parts[-1][1] < 0.0 else ""
        said = (
            f"{' and '.join(parts)}{comma} {does} by {rough(abs(g.total), 'length', system)} when "
        )
        said += f"{kelvins} {turn}, {rough(self.worst, 'length', system)} at worst if each "
        said += f"expansion is {100 * DOUBT:.0f} % off; "
        if math.isnan(self.allowed):
            return f"{said}how far it may grow is not given, so it is not judged"
        return f"{said}{rough(self.allowed, 'length', system)} is allowed"


def judged_growth(
    tube: Tube,
    *,
    length: Any,
    rise: Any,
    other: str | None = None,
    other_length: Any = None,
    allowed: Any = None,
) -> JudgedGrowth:
    """Growth of a tube, or of a tube and a part in line with it, against what is allowed.

    Parameters
    ----------
    tube : Tube
        The tube.
    length, rise : str or Quantity
        Its length, and the change of temperature.
    other : str, optional
        What the other part is made of, as `assembly` takes it.
    other_length : str or Quantity, optional
        Its length in line; a negative one runs back. Without it the lengths of the two that cancel
        each other's growth are looked for.
    allowed : str or Quantity, optional
        How far the ends may move, either way.

    Returns
    -------
    JudgedGrowth

    Raises
    ------
    InputError
        As `assembly` does, and for a length or an allowance that is not above nought.

    Notes
    -----
    The growth held against the allowance is the sum of alpha L dT, with each part's share off by
    `DOUBT` the worse way. Elementary; the doubt is an own rule.

    Examples
    --------
    >>> tube = Tube("304", od="20 mm", wall="1 mm")
    >>> found = judged_growth(tube, length="1 m", rise="10 K", allowed="0.2 mm")
    >>> round(found.worst * 1e3, 4), found.passes, round(found.reserve, 3)
    (0.1903, True, 1.051)
    """
    to_si(length, "length", what="length", where="growth:length", positive=True)
    limit = math.nan if allowed is None else float(
        to_si(allowed, "length", what="allowed growth", where="growth:allowed", positive=True)
    )  # fmt: skip
    if other_length is not None and other is None:
        raise InputError("a part in line needs its material", where="growth:other")
    parts: list[tuple[Any, Any]] = [(tube, length)]
    if other_length is not None:
        parts.append((other, other_length))
    grown = assembly(parts, rise=rise)
    still = None
    if other is not None and other_length is None:
        try:
            still = athermal(tube, other, length=length, doubt=DOUBT)
        except InputError:  # none that cancels: nothing to say
            still = None
    metal = tube.construction.metal and (other_length is None or is_metal(str(other)))
    return JudgedGrowth(grown, limit, still, metal)


__all__ = ["DOUBT", "GROWTH_ERROR", "HEAT_ERRORS", "JudgedGrowth", "JudgedHeat", "judged_growth",
           "judged_heat"]  # fmt: skip
