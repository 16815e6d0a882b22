"""Fibres and resins by class: values in SI, each with its source, basis and standing."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from tubecalc import datafiles
from tubecalc.errors import InputError, unknown_key
from tubecalc.units import to_si
from tubecalc.values import NAN

if TYPE_CHECKING:
    import pandas as pd

FILE = "materials/constituents.csv"
_KINDS = {
    **dict.fromkeys(("E1", "E2", "G12", "G23", "E"), "modulus"),
    **dict.fromkeys(("Xt", "Xc", "S12"), "stress"),
    **dict.fromkeys(("nu12", "nu"), "number"),
    **dict.fromkeys(("alpha1", "alpha2", "alpha"), "expansion"),
    "density": "density",
}
_SIGNED = ("alpha1", "alpha2", "alpha", "nu12", "nu")
ACROSS_FIBRE = 0.3  # Poisson ratio across a fibre whose G23 is not known (common practice)


def _si(name: str, value: Any, where: str) -> float:
    if value is None:
        return NAN
    kind = _KINDS[name]
    return to_si(value, kind, what=name, where=where, positive=name not in _SIGNED)


@dataclass(frozen=True)
class Fibre:
    """One fibre, transversely isotropic, in SI (Pa, kg/m3, 1/K); NaN where not known.

    Examples
    --------
    >>> mine = Fibre.of("mine", E1="240 GPa", E2="14 GPa", G12="14 GPa", nu12=0.2,
    ...                 density="1.8 g/cm3")
    >>> round(mine.G23 / 1e9, 2)
    5.38
    """

    name: str
    E1: float
    E2: float
    G12: float
    nu12: float
    density: float
    G23: float = NAN
    Xt: float = NAN
    Xc: float = NAN
    alpha1: float = NAN
    alpha2: float = NAN
    key: str = ""

    @property
    def kind(self) -> str:
        """The class a fibre burns like: "carbon", "glass", "aramid" or ""."""
        first = (self.key or self.name).lower()
        return next((k for k in ("carbon", "glass", "aramid") if first.startswith(k)), "")

    @classmethod
    def of(
        cls,
        name: str,
        *,
        E1: Any,
        density: Any,
        E2: Any = None,
        G12: Any = None,
        nu12: Any = 0.2,
        G23: Any = None,
        Xt: Any = None,
        Xc: Any = None,
        alpha1: Any = None,
        alpha2: Any = None,
    ) -> Fibre:
        """Fibre from values with units.

        Parameters
        ----------
        name : str
            Name shown on screen; one that begins with carbon, glass or aramid burns like it.
        E1, density : str or Quantity
            Modulus along the fibre ("230 GPa") and density ("1.8 g/cm3").
        E2, G12, G23 : str or Quantity, optional
            Modulus across and shear moduli; an isotropic fibre needs none of them.
        nu12 : float
            Major Poisson ratio [-].
        Xt, Xc : str or Quantity, optional
            Strength in tension and compression.
        alpha1, alpha2 : str or Quantity, optional
            Expansion along and across.

        Returns
        -------
        Fibre

        Raises
        ------
        InputError
            For a missing unit or a value no fibre can have.
        """
        given = {k: v for k, v in locals().items() if k in _KINDS}
        values = {k: _si(k, v, name) for k, v in given.items()}
        return _fibre(name, "", values)


@dataclass(frozen=True)
class Resin:
    """One resin, isotropic, in SI (Pa, kg/m3, 1/K); NaN where not known.

    Examples
    --------
    >>> round(Resin.of("mine", E="3.2 GPa", nu=0.35, density="1.15 g/cm3").density, 6)
    1150.0
    """

    name: str
    E: float
    nu: float
    density: float
    Xt: float = NAN
    Xc: float = NAN
    S12: float = NAN
    alpha: float = NAN
    key: str = ""

    @property
    def G(self) -> float:
        """Shear modulus [Pa]."""
        return self.E / (2.0 * (1.0 + self.nu))

    @classmethod
    def of(
        cls,
        name: str,
        *,
        E: Any,
        density: Any,
        nu: Any = 0.35,
        Xt: Any = None,
        Xc: Any = None,
        S12: Any = None,
        alpha: Any = None,
    ) -> Resin:
        """Resin from values with units.

        Parameters
        ----------
        name : str
            Name shown on screen.
        E, density : str or Quantity
            Modulus ("3.2 GPa") and density ("1.15 g/cm3").
        nu : float
            Poisson's ratio [-].
        Xt, Xc, S12 : str or Quantity, optional
            Strength in tension, compression and shear.
        alpha : str or Quantity, optional
            Expansion.

        Returns
        -------
        Resin

        Raises
        ------
        InputError
            For a missing unit or a value no resin can have.
        """
        given = {k: v for k, v in locals().items() if k in _KINDS}
        return _resin(name, "", {k: _si(k, v, name) for k, v in given.items()})


def _fibre(name: str, key: str, v: dict[str, float]) -> Fibre:
    """Fill what an isotropic fibre need not say, refuse what cannot be."""
    v = {k: x for k, x in v.items() if not math.isnan(x)}
    nu = v.setdefault("nu12", 0.2)
    if not 0.0 <= nu < 0.5:
        raise InputError("Poisson ratio is out of range", where=name, got=f"nu12 = {nu:g}",
                         expected="0 to 0.5")  # fmt: skip
    v.setdefault("E2", v["E1"])
    same = v["E2"] == v["E1"]
    if "G12" not in v and not same:
        raise InputError("G12 of a fibre that is softer across is missing", where=name)
    v.setdefault("G12", v["E1"] / (2.0 * (1.0 + nu)))
    across = nu if same else ACROSS_FIBRE
    v.setdefault("G23", v["E2"] / (2.0 * (1.0 + across)))
    if same:
        v.setdefault("alpha2", v.get("alpha1", NAN))
    return Fibre(name, key=key, **v)


def _resin(name: str, key: str, v: dict[str, float]) -> Resin:
    v = {k: x for k, x in v.items() if not math.isnan(x)}
    if not 0.0 <= v["nu"] < 0.5:
        raise InputError("Poisson ratio is out of range", where=name, got=f"nu = {v['nu']:g}",
                         expected="0 to 0.5")  # fmt: skip
    return Resin(name, key=key, **v)


@cache
def _records() -> dict[str, dict[str, str]]:
    out: dict[str, dict[str, str]] = {}
    for row in datafiles.rows(FILE):
        record = out.setdefault(row["key"], {"name": row["name"]})
        unit = "" if row["unit"] in ("-", "") else f" {row['unit']}"
        record[row["property"]] = f"{row['value']}{unit}"
    return out


def _values(key: str) -> dict[str, float]:
    record = {k: v for k, v in _records()[key].items() if k in _KINDS}
    return {k: _si(k, float(v) if _KINDS[k] == "number" else v, key) for k, v in record.items()}


@cache
def _all() -> dict[str, Fibre | Resin]:
    return {
        key: (_fibre if "E1" in record else _resin)(record["name"], key, _values(key))
        for key, record in _records().items()
    }


def _find(text: object, kind: type[Fibre] | type[Resin], what: str) -> Any:
    if isinstance(text, kind):
        return text
    known = {k: v for k, v in _all().items() if isinstance(v, kind)}
    folded = {"".join(c for c in k.lower() if c.isalnum()): k for k in known}
    folded |= {"".join(c for c in v.name.lower() if c.isalnum()): k for k, v in known.items()}
    key = folded.get("".join(c for c in str(text).lower() if c.isalnum()))
    if not isinstance(text, str) or key is None:
        raise unknown_key(what, text, list(known), what)
    return known[key]


def get_fibre(text: str | Fibre) -> Fibre:
    """Fibre of the data file by key or name, or the fibre itself.

    Parameters
    ----------
    text : str or Fibre
        For example "glass-e" or "carbon-sm".

    Returns
    -------
    Fibre

    Raises
    ------
    InputError
        If there is no such fibre; the message lists them.

    Examples
    --------
    >>> round(get_fibre("glass-e").density, 6)
    2540.0
    """
    found: Fibre = _find(text, Fibre, "fibre")
    return found


def get_resin(text: str | Resin) -> Resin:
    """Resin of the data file by key or name, or the resin itself.

    Parameters
    ----------
    text : str or Resin
        For example "epoxy" or "vinyl-ester".

    Returns
    -------
    Resin

    Raises
    ------
    InputError
        If there is no such resin; the message lists them.

    Examples
    --------
    >>> round(get_resin("epoxy").G / 1e9, 2)
    1.24
    """
    found: Resin = _find(text, Resin, "resin")
    return found


def spread(key: str, name: str) -> tuple[float, float]:
    """Lowest and highest published value of a class, in SI; NaN where none is given.

    Parameters
    ----------
    key : str
        Key of a fibre or resin.
    name : str
        Property, for example "density".

    Returns
    -------
    tuple of float

    Examples
    --------
    >>> [round(x) for x in spread("glass-e", "density")]
    [2520, 2600]
    """
    for row in datafiles.rows(FILE):
        if row["key"] == key and row["property"] == name and row["low"]:
            unit = "" if row["unit"] == "-" else f" {row['unit']}"
            low, high = (_si(name, float(row[c]) if not unit else f"{row[c]}{unit}", key)
                         for c in ("low", "high"))  # fmt: skip
            return low, high
    return NAN, NAN


def constituents() -> pd.DataFrame:
    """Every fibre and resin: value, unit, range, basis, standing, source.

    Returns
    -------
    pandas.DataFrame
        One row a value; columns role ("fibre" or "resin"), key, name, property, value, unit, low,
        high, basis, standing, source, where, note.

    Examples
    --------
    >>> sorted(set(constituents()["role"]))
    ['fibre', 'resin']
    """
    import pandas as pd

    table = pd.DataFrame(list(datafiles.rows(FILE))).drop(columns="row")
    roles = {k: "fibre" if isinstance(v, Fibre) else "resin" for k, v in _all().items()}
    table.insert(0, "role", table["key"].map(roles))
    for column in ("value", "low", "high"):
        table[column] = pd.to_numeric(table[column], errors="coerce")
    return table
