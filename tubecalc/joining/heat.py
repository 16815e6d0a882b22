"""The weakest member in the heat: tube, adhesive, insert, finish, each with its margin."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from tubecalc import datafiles
from tubecalc.checks.climate import transition_of
from tubecalc.checks.service import heat_limit
from tubecalc.environment import MARGIN
from tubecalc.errors import InputError, unknown_key
from tubecalc.joining.adhesives import Adhesive, get_adhesive
from tubecalc.joining.sun import Sunlit
from tubecalc.laminate.construction import Construction, get_construction
from tubecalc.materials import is_metal
from tubecalc.tube import Tube
from tubecalc.unit_words import Spoken, marked
from tubecalc.units import in_unit, to_si, unit_label

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Member:
    """One part of an assembly [degC]: highest service temperature, glass transition (NaN: none)."""

    part: str
    name: str
    limit: float
    glass: float
    why: str


@dataclass(frozen=True)
class Heat:
    """An assembly at a temperature [degC]."""

    members: tuple[Member, ...]
    temperature: float
    wet: bool

    @property
    def weakest(self) -> Member:
        """Member with the lowest limit."""
        return min(self.members, key=lambda m: math.inf if math.isnan(m.limit) else m.limit)

    @property
    def margin(self) -> float:
        """Limit of the weakest less the temperature asked [K]; negative fails."""
        return self.weakest.limit - self.temperature

    @property
    def passes(self) -> bool:
        """Whether every member stands the temperature."""
        return self.margin >= 0.0

    @property
    def needed(self) -> float:
        """Glass transition that every member would need [degC]."""
        return self.temperature + MARGIN

    @property
    def cautions(self) -> list[str]:
        """What to mind, in sentences."""
        if not any(m.part == "adhesive" for m in self.members):
            return []
        return ["what cured in the cold softens below what its class promises: warm a bond after "
                "its cure to what it shall bear later (common practice, no source)"]  # fmt: skip

    @property
    def unknown(self) -> list[str]:
        """Members whose limit is not known."""
        return [m.name for m in self.members if math.isnan(m.limit)]

    @property
    def table(self) -> pd.DataFrame:
        """One row a member, the weakest first."""
        import pandas as pd

        rows = sorted(self.members, key=lambda m: math.inf if math.isnan(m.limit) else m.limit)
        return pd.DataFrame(
            [{"part": m.part, "name": m.name, "limit_degC": m.limit, "glass_degC": m.glass,
              "margin_K": m.limit - self.temperature, "why": m.why} for m in rows]
        )  # fmt: skip

    @property
    def why(self) -> Spoken:
        """The verdict in a sentence, for any display system."""
        return Spoken(self._why)

    def _why(self, system: str) -> str:
        w = self.weakest
        failing = [m for m in self.members if m.limit < self.temperature]
        said = f"the {w.part} ({w.name}) goes first: good to {degrees(w.limit, system)}, "
        said += f"{degrees(self.temperature, system)} asked"
        if not failing:
            return f"{said}, {kelvins(self.margin, system)} to spare"
        others = [f"the {m.part} to {degrees(m.limit, system)}" for m in failing if m is not w]
        if others:
            said += f"; also too weak: {', '.join(others)}"
        return f"{said}; a glass transition of {degrees(self.needed, system)} is needed"


def degrees(value: float, system: str = "SI") -> str:
    """A temperature in whole degrees.

    Parameters
    ----------
    value : float
        [degC].
    system : str
        Display system.

    Returns
    -------
    str

    Examples
    --------
    >>> degrees(26.4), degrees(26.4, "inch")
    ('26 °C', '80 °F')
    """
    return f"{in_unit(value, 'temperature', system):.0f} {unit_label('temperature', system)}"


def kelvins(value: float, system: str = "SI") -> str:
    """A difference of temperature in whole degrees.

    Parameters
    ----------
    value : float
        [K].
    system : str
        Display system.

    Returns
    -------
    str

    Examples
    --------
    >>> kelvins(28.0), kelvins(28.0, "inch")
    ('28 K', '50 Δ°F')
    """
    kind = "temperature_difference"
    return f"{in_unit(value, kind, system):.0f} {unit_label(kind, system)}"


@cache
def _members() -> dict[str, dict[str, str]]:
    return {r["key"]: r for r in datafiles.rows("joining/members.csv")}


def weakest(
    tube: Tube | Construction | str,
    *,
    temperature: Any,
    adhesive: str | Adhesive | None = None,
    adhesive_glass: Any = None,
    tube_glass: Any = None,
    insert: str | None = None,
    finish: str | None = None,
    wet: bool = False,
) -> Heat:
    """The weakest member of an assembly at a temperature.

    Parameters
    ----------
    tube : Tube, Construction or str
        The tube, or its construction.
    temperature : str, Quantity or Sunlit
        Highest of service; of a tube in the sun its hottest place is taken.
    adhesive : str or Adhesive, optional
        The bond.
    adhesive_glass : str or Quantity, optional
        Glass transition of the bond, where nothing else of it is known.
    tube_glass : str or Quantity, optional
        Glass transition of the tube's own resin, else that of its construction.
    insert, finish : str, optional
        Key of data/joining/members.csv, or a metal for the insert.
    wet : bool
        Saturated with moisture.

    Returns
    -------
    Heat

    Raises
    ------
    InputError
        For an unknown member, or a glass transition of a metal tube.

    Notes
    -----
    28 K (50 degF) below the glass transition: MIL-HDBK-17-3 (MEMORY).

    Examples
    --------
    >>> found = weakest("pultruded", temperature="70 degC", adhesive_glass="54 degC")
    >>> found.weakest.part, found.weakest.limit, found.passes
    ('adhesive', 26.0, False)
    """
    construction = tube.construction if isinstance(tube, Tube) else get_construction(tube)
    glass = transition_of(construction, wet=wet)
    limit = heat_limit(construction, wet=wet)
    if tube_glass is not None:
        if construction.metal:
            raise InputError("a metal tube has no glass transition", where="heat:tube_glass",
                             got=str(tube_glass), expected="nothing here")  # fmt: skip
        glass = float(to_si(tube_glass, "temperature", what="glass transition of the tube",
                            where="heat"))  # fmt: skip
        limit = glass - MARGIN
    out = [Member("tube", construction.name, limit, glass if math.isfinite(glass) else math.nan,
                  _of_glass(limit, glass, wet))]  # fmt: skip
    if adhesive is not None:
        a = get_adhesive(adhesive)
        out.append(Member("adhesive", a.name, a.heat_limit(wet=wet), a.softening(wet=wet),
                          _of_glass(a.heat_limit(wet=wet), a.softening(wet=wet), wet)))  # fmt: skip
    if adhesive_glass is not None:
        t_g = float(to_si(adhesive_glass, "temperature", what="glass transition", where="heat"))
        out.append(Member("adhesive", "own adhesive", t_g - MARGIN, t_g,
                          _of_glass(t_g - MARGIN, t_g, wet)))  # fmt: skip
    out += [_other(key, part) for key, part in ((insert, "insert"), (finish, "finish"))
            if key is not None]  # fmt: skip
    hot = temperature.hottest if isinstance(temperature, Sunlit) else float(
        to_si(temperature, "temperature", what="temperature", where="heat"))  # fmt: skip
    return Heat(tuple(out), hot, wet)


def _of_glass(limit: float, glass: float, wet: bool) -> str:
    if not math.isfinite(glass):
        return "no glass transition: its own limit"
    state = "wet" if wet else "dry"
    if limit < glass - MARGIN - 0.5:
        return Spoken(lambda s: f"its own limit; glass transition {degrees(glass, s)} {state}")
    return Spoken(lambda s: (
        f"{kelvins(MARGIN, s)} below its glass transition of {degrees(glass, s)} {state}"
    ))  # fmt: skip


def _other(key: str, part: str) -> Member:
    if part == "insert" and is_metal(key):
        c = get_construction(key)
        return Member(part, c.name, c.t_max, math.nan, "no glass transition: its own limit")
    known = {k: r for k, r in _members().items() if r["part"] == part}
    if key not in known:
        if key in _members():
            raise InputError(f"is not an {part}" if part == "insert" else f"is not a {part}",
                             where=f"heat:{part}", got=key)  # fmt: skip
        raise unknown_key(part, key, known, f"heat:{part}")
    r = known[key]
    why = marked(f"{r['standing']}, {r['source']}" + (f"; {r['note']}" if r["note"] else ""))
    return Member(part, r["name"], float(r["t_max"]), math.nan, why)


__all__ = ["Heat", "Member", "degrees", "kelvins", "weakest"]
