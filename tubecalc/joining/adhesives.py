"""Adhesives by class, and what surface preparation and wet service leave of a bond."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from functools import cache
from typing import TYPE_CHECKING, Any

from tubecalc import datafiles
from tubecalc.environment import MARGIN, ROOM, matrix_retention
from tubecalc.errors import InputError, unknown_key
from tubecalc.unit_words import worded
from tubecalc.units import to_si
from tubecalc.values import NAN

if TYPE_CHECKING:
    import pandas as pd

FILE, SHARES = "joining/adhesives.csv", "joining/bond_shares.csv"
_KINDS = {
    "shear_modulus": "modulus", "nu": "number", "shear_strength": "stress",
    "shear_strain": "number", "tension": "stress", "t_g": "temperature", "t_g_wet": "temperature",
    "t_max": "temperature", "t_cure": "temperature", "gap_min": "length", "gap_best": "length",
    "gap_max": "length",
}  # fmt: skip


@dataclass(frozen=True)
class Adhesive:
    """An adhesive in SI; see `Adhesive.of` for one of your own.

    Attributes
    ----------
    key, name : str
        Key and name on screen.
    shear_modulus, shear_strength, tension : float
        Shear modulus, shear stress at which it flows, strength in direct tension [Pa].
    shear_strain : float
        Shear strain at failure, elastic part included [-].
    nu : float
        Poisson's ratio [-].
    gap_min, gap_best, gap_max : float
        Thickness of the layer: least, of best strength, most [m].
    t_g, t_g_wet, t_max, t_cure : float
        Glass transition dry and saturated, highest service temperature, temperature at which it
        sets [degC]; NaN where not known.
    """

    key: str
    name: str
    shear_modulus: float
    nu: float
    shear_strength: float
    shear_strain: float
    tension: float
    gap_min: float
    gap_best: float
    gap_max: float
    t_g: float = NAN
    t_g_wet: float = NAN
    t_max: float = NAN
    t_cure: float = ROOM

    @classmethod
    def of(cls, name: str, **values: Any) -> Adhesive:
        """Own adhesive, values with their units; what is not given is that of "epoxy-tough".

        Parameters
        ----------
        name : str
            Name shown on screen.
        **values : str, Quantity or float
            Fields of the class, for example ``shear_modulus="0.7 GPa"``.

        Returns
        -------
        Adhesive

        Raises
        ------
        InputError
            For an unknown field, a missing unit or a value no adhesive can have.

        Examples
        --------
        >>> Adhesive.of("ours", shear_strength="25 MPa").shear_strength
        25000000.0
        """
        known = get_adhesive("epoxy-tough")
        given = {f.name: getattr(known, f.name) for f in fields(cls)}
        for key, value in values.items():
            if key not in _KINDS:
                raise unknown_key("field of an adhesive", key, _KINDS, name)
            kind = _KINDS[key]
            given[key] = to_si(value, kind, what=key, where=name, positive=kind != "temperature")
        made = cls(**{**given, "key": name, "name": name})
        _check(made)
        return made

    @property
    def yield_strain(self) -> float:
        """Shear strain at which it begins to flow [-]."""
        return self.shear_strength / self.shear_modulus

    @property
    def confined(self) -> float:
        """Stiffness across a thin layer that cannot give way sideways [Pa]."""
        e = 2.0 * self.shear_modulus * (1.0 + self.nu)
        return e * (1.0 - self.nu) / ((1.0 + self.nu) * (1.0 - 2.0 * self.nu))

    def softening(self, *, wet: bool = False) -> float:
        """Glass transition; where none is known, 28 K above the highest service temperature."""
        glass = self.t_g_wet if wet and not math.isnan(self.t_g_wet) else self.t_g
        return self.t_max + MARGIN if math.isnan(glass) else glass

    def heat_limit(self, *, wet: bool = False) -> float:
        """Highest service temperature: 28 K below the glass transition, or its own if lower."""
        below = self.softening(wet=wet) - MARGIN
        return below if math.isnan(self.t_max) else min(below, self.t_max)

    def left(self, temperature: float) -> float:
        """Share of stiffness and strength left at a temperature, dry; 1 at and below 20 degC."""
        glass = self.softening()
        return float(matrix_retention(temperature, glass, glass))


def _check(a: Adhesive) -> None:
    """Refuse what no adhesive can be."""
    if not a.nu < 0.5:
        raise InputError("Poisson ratio of an adhesive is out of range", where=f"{a.name}:nu",
                         got=f"{a.nu:g}", expected="below 0.5")  # fmt: skip
    if not a.gap_min <= a.gap_best <= a.gap_max:
        raise InputError(
            "the gaps of an adhesive must rise from least to most", where=a.name,
            got=worded("{}, {}, {}", "length", a.gap_min, a.gap_best, a.gap_max),
        )  # fmt: skip
    if a.shear_strain < a.yield_strain * (1.0 - 1e-9):
        raise InputError(
            "the shear strain at failure is less than shear strength over shear modulus",
            where=f"{a.name}:shear_strain", got=f"{a.shear_strain:.3g}",
            expected=f"at least {a.yield_strain:.3g}",
        )  # fmt: skip
    if math.isnan(a.softening()):
        raise InputError("neither glass transition nor highest temperature is known", where=a.name)


@cache
def _all() -> dict[str, Adhesive]:
    found: dict[str, dict[str, Any]] = {}
    for row in datafiles.rows(FILE):
        record = found.setdefault(row["key"], {"key": row["key"], "name": row["name"]})
        if row["property"] in _KINDS:
            unit = "" if row["unit"] == "-" else f" {row['unit']}"
            record[row["property"]] = to_si(
                f"{row['value']}{unit}", _KINDS[row["property"]], what=row["property"],
                where=row["row"],
            )  # fmt: skip
    made = {key: Adhesive(**record) for key, record in found.items()}
    for adhesive in made.values():
        _check(adhesive)
    return made


def get_adhesive(key: str | Adhesive) -> Adhesive:
    """Adhesive by key, or the one given.

    Parameters
    ----------
    key : str or Adhesive
        For example "epoxy-tough".

    Returns
    -------
    Adhesive

    Raises
    ------
    InputError
        If there is no such class.

    Examples
    --------
    >>> get_adhesive("epoxy-tough").heat_limit()
    40.0
    """
    if isinstance(key, Adhesive):
        return key
    known = _all()
    plain = {name.replace("-", "").lower(): name for name in known}
    name = plain.get(str(key).replace("-", "").replace(" ", "").replace("_", "").lower())
    if name is None:
        raise unknown_key("adhesive", key, known, "bond:adhesive")
    return known[name]


def adhesives() -> pd.DataFrame:
    """Every value of every adhesive class with its source and standing.

    Returns
    -------
    pandas.DataFrame
        One row a value.

    Examples
    --------
    >>> bool((adhesives()["source"] != "").all())
    True
    """
    import pandas as pd

    table = pd.DataFrame(list(datafiles.rows(FILE))).drop(columns="row")
    for column in ("value", "low", "high"):
        table[column] = pd.to_numeric(table[column], errors="coerce")
    return table


@dataclass(frozen=True)
class Share:
    """What one influence leaves of the strength, with its range, source and standing."""

    name: str
    value: float
    low: float
    high: float
    source: str
    standing: str


@cache
def shares() -> dict[tuple[str, str, str], Share]:
    """(effect, key, surface) -> share of the strength that is left."""
    return {
        (r["effect"], r["key"], r["surface"]): Share(
            r["name"], float(r["value"]), float(r["low"]), float(r["high"]),
            f"{r['source']}{', ' + r['where'] if r['where'] else ''}", r["standing"],
        )
        for r in datafiles.rows(SHARES)
    }  # fmt: skip


def preparation(key: str, surface: str) -> Share:
    """What a surface preparation leaves of the strength of a bond.

    Parameters
    ----------
    key : str
        "etched", "blasted", "abraded", "degreased" or "none".
    surface : str
        "metal" or "composite".

    Returns
    -------
    Share

    Raises
    ------
    InputError
        For an unknown preparation.

    Examples
    --------
    >>> preparation("blasted", "metal").value
    0.61
    """
    found = shares().get(("preparation", str(key), surface))
    if found is None:
        known = dict.fromkeys(k for e, k, _ in shares() if e == "preparation")
        raise unknown_key("surface preparation", key, known, "bond:preparation")
    return found


__all__ = ["Adhesive", "Share", "adhesives", "get_adhesive", "preparation", "shares"]
