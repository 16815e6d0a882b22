"""Time and cycles: share of the short-time strength that a wall keeps, with its source.

The shares are published values in ``data/materials/knockdowns.csv``, one family a row: carbon and
glass along the fibre, matrix-dominated walls, metals. They are used only where a need asks for
them (factor 0); a factor of 1 means none, any other number is the user's own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from tubecalc import datafiles
from tubecalc.environment_metal import metal_family
from tubecalc.errors import InputError
from tubecalc.laminate.layup import Layup
from tubecalc.values import Values

if TYPE_CHECKING:
    import pandas as pd

EFFECTS = ("sustained", "fatigue")
LOADS = ("tension", "compression", "bending", "torsion", "hoop")
CYCLES = 1e7  # taken where a cyclic case does not say how many
FEWEST, MOST = 1.0, 1e9  # cycles
ENOUGH_FIBRE = 0.1  # share of the wall along a load above which the fibre decides (own rule)
_CARBON = 28e6  # E1 over density above which a ply is carbon [m2/s2]; glass lies near 15 to 23e6
_KNEE, _END = 5e6, 1e8  # cycles where the slope of a metal's curve changes, and where it is level
_AT = 2e6  # cycles of the reference stress range of a metal


@dataclass(frozen=True)
class KnockDown:
    """Share of the short-time strength left, and where it comes from."""

    share: float
    family: str
    source: str


@dataclass(frozen=True)
class _Line:
    law: str
    value: float
    exponent: float
    source: str


@cache
def _lines() -> dict[tuple[str, str, str], _Line]:
    """(family, effect, load) -> law, value and source."""
    out = {}
    for row in datafiles.rows("materials/knockdowns.csv"):
        scale = 1e6 if row["unit"] == "MPa" else 1.0
        where = f", {row['where']}" if row["where"] else ""
        out[row["family"], row["effect"], row["load"]] = _Line(
            row["law"], float(row["value"]) * scale, float(row["exponent"] or math.nan),
            f"{row['source']}{where} ({row['standing']}); holds for {row['valid']}",
        )  # fmt: skip
    return out


def _fibre(values: Values) -> str:
    """Fibre of a ply: "carbon" or "glass", by stiffness over density."""
    return "carbon" if max(values.E1, values.E2) / values.density > _CARBON else "glass"


def _carries(values: Values, angle: float, load: str) -> bool:
    """Whether the fibres of a ply lie along a load, within 30 degrees of it (torsion: of 45)."""
    a = abs(angle)
    ways = (a, 90.0 - a) if values.woven else (a,)
    if load == "torsion":
        return any(30.0 <= x <= 60.0 for x in ways)
    return any((x >= 60.0 if load == "hoop" else x <= 30.0) for x in ways)


def family_of(layup: Layup, load: str) -> str:
    """What decides how a wall ages under a load.

    Parameters
    ----------
    layup : Layup
        The wall.
    load : str
        "tension", "compression", "bending", "torsion" or "hoop".

    Returns
    -------
    str
        Metal family, "carbon" or "glass" where at least a tenth of the wall has fibres within 30
        degrees of the load (torsion: of 45 degrees), else "matrix"; "" for an unknown metal.

    Examples
    --------
    >>> wall = Layup.from_notation("[0]", "carbon-sm-ud", "1 mm")
    >>> family_of(wall, "tension"), family_of(wall, "torsion")
    ('carbon', 'matrix')
    """
    first = layup.layers[0].values
    if first.isotropic:
        return metal_family(first).removesuffix("-6063")
    along: dict[str, float] = {}
    for x in layup.layers:
        if _carries(x.values, x.angle, load):
            fibre = _fibre(x.values)
            along[fibre] = along.get(fibre, 0.0) + x.thickness * x.count
    if sum(along.values()) < ENOUGH_FIBRE * layup.t:
        return "matrix"
    return max(along, key=lambda k: along[k])


def stress_range(reference: float, exponent: float, cycles: float) -> float:
    """Stress range that a metal detail survives.

    Parameters
    ----------
    reference : float
        Stress range at 2 million cycles, the detail category [Pa].
    exponent : float
        Slope m of log N over log stress up to 5 million cycles, m + 2 beyond [-].
    cycles : float
        Number of cycles.

    Returns
    -------
    float
        Stress range [Pa]; level beyond 100 million cycles.

    Notes
    -----
    EN 1993-1-9, 7.1 and figure 7.1 (m = 3, then 5); EN 1999-1-3, 6.2 has the same form with its own
    slopes (MEMORY).

    Examples
    --------
    >>> [round(stress_range(160.0, 3.0, n) / 160.0, 3) for n in (2e6, 5e6, 1e8, 1e9)]
    [1.0, 0.737, 0.405, 0.405]
    """
    n = min(cycles, _END)
    knee = reference * (_AT / _KNEE) ** (1.0 / exponent)
    if n <= _KNEE:
        return float(reference * (_AT / n) ** (1.0 / exponent))
    return float(knee * (_KNEE / n) ** (1.0 / (exponent + 2.0)))


def share_left(line: _Line, cycles: float, yields: float) -> float:
    """Share of the short-time strength of one line of the table [-]."""
    if line.law == "share":
        return line.value
    if line.law == "slope":
        return max(0.0, 1.0 - line.value * math.log10(cycles))
    return min(1.0, stress_range(line.value, line.exponent, cycles) / yields)


def published(layup: Layup, effect: str, load: str, cycles: float = math.nan) -> KnockDown:
    """Published share of the short-time strength that a wall keeps under a load.

    Parameters
    ----------
    layup : Layup
        The wall.
    effect : str
        "sustained" (decades under load) or "fatigue".
    load : str
        "tension", "compression", "bending", "torsion" or "hoop".
    cycles : float
        Number of load cycles, from nothing to the full load; 10 million where not given.

    Returns
    -------
    KnockDown
        Share, what decides, source with its standing; share NaN where no value is known.

    Raises
    ------
    InputError
        For an unknown effect or load, or cycles outside 1 to 1e9.

    Notes
    -----
    Composites in fatigue: S / S0 = 1 - b log10 N (Mandell et al. 1981); compression and bending
    take the slope of reversed loading. Metals: stress range of the plain tube over the yield
    strength; holes, welds and threads have lower categories. Grade C: factor 1.5 on the share.

    Examples
    --------
    >>> wall = Layup.from_notation("[0]", "glass-ud", "1 mm")
    >>> found = published(wall, "fatigue", "tension", 1e6)
    >>> round(found.share, 3), found.family
    (0.4, 'glass')
    """
    if effect not in EFFECTS:
        raise InputError("is not known", where="effect", got=effect, expected=", ".join(EFFECTS))
    if load not in LOADS:
        raise InputError("is not known", where="load", got=load, expected=", ".join(LOADS))
    n = CYCLES if math.isnan(cycles) else cycles
    if not FEWEST <= n <= MOST:
        raise InputError(
            "number of cycles is out of range", where="cycles", got=f"{n:g}",
            expected=f"{FEWEST:g} to {MOST:g}",
        )  # fmt: skip
    family = family_of(layup, load)
    sense = "reversed" if load in ("compression", "bending") else "tension"
    for name in (sense, "any"):
        line = _lines().get((family, effect, name))
        if line is not None:
            yields = layup.layers[0].values.Xt
            return KnockDown(share_left(line, n, yields), family, line.source)
    return KnockDown(math.nan, family, "no published value for this material")


def sentence(found: KnockDown, effect: str, cycles: float = math.nan) -> str:
    """A knock-down in words, with its source.

    Parameters
    ----------
    found : KnockDown
        As from `published`.
    effect : str
        "sustained" or "fatigue".
    cycles : float
        Number of cycles, where given.

    Returns
    -------
    str

    Examples
    --------
    >>> sentence(KnockDown(0.2, "glass", "ACI 440.1R-15 (MEMORY)"), "sustained")
    'glass fibre keeps 0.2 of its strength under sustained load: ACI 440.1R-15 (MEMORY)'
    """
    what = f"{found.family} fibre" if found.family in ("carbon", "glass") else found.family
    if math.isnan(found.share):
        return f"{what or 'this metal'}: {found.source}, set the factor by hand"
    n, assumed = (CYCLES, " (not given, assumed)") if math.isnan(cycles) else (cycles, "")
    after = "under sustained load" if effect == "sustained" else f"after {n:.3g} cycles{assumed}"
    return f"{what} keeps {found.share:.3g} of its strength {after}: {found.source}"


def table() -> pd.DataFrame:
    """Every published share: family, effect, load, law, value, range, standing, source.

    Returns
    -------
    pandas.DataFrame
        One row a value.

    Examples
    --------
    >>> sorted(set(table()["effect"]))
    ['fatigue', 'sustained']
    """
    import pandas as pd

    return pd.DataFrame(list(datafiles.rows("materials/knockdowns.csv"))).drop(columns="row")


__all__ = ["CYCLES", "KnockDown", "family_of", "published", "sentence", "share_left",
           "stress_range", "table"]  # fmt: skip
