"""Plies and metals: values in SI, each with its source, basis and standing."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from functools import cache
from typing import TYPE_CHECKING, Any

from tubecalc import datafiles
from tubecalc.errors import InputError, unknown_key
from tubecalc.units import Q_, to_si
from tubecalc.values import NAN, Values, check_climate, check_elastic, isotropic

if TYPE_CHECKING:
    import pandas as pd

_FILES = {"metal": "materials/metals.csv", "ply": "materials/plies.csv"}
_KINDS = {
    **dict.fromkeys(("E1", "E2", "E3", "G12", "G13", "G23", "E"), "modulus"),
    **dict.fromkeys(("Xt", "Xc", "Yt", "Yc", "S12", "yield_strength", "ultimate"), "stress"),
    **dict.fromkeys(("nu12", "nu13", "nu23", "nu"), "number"),
    **dict.fromkeys(("alpha1", "alpha2", "alpha"), "expansion"),
    **dict.fromkeys(("beta1", "beta2", "moisture"), "number"),
    **dict.fromkeys(("t_free", "t_g", "t_g_wet", "t_max"), "temperature"),
    "density": "density",
    "thickness": "length",
}
_UNITS = {
    "modulus": "Pa",
    "stress": "Pa",
    "number": "dimensionless",
    "expansion": "1/K",
    "density": "kg/m^3",
    "length": "m",
    "temperature": "degC",
}
_DISPLAY = {"modulus": "GPa", "stress": "MPa", "length": "mm"}
_MAY_BE_NEGATIVE = {
    "alpha1", "alpha2", "alpha", "nu12", "nu13", "nu23", "nu", "t_max", "t_free", "t_g",
    "t_g_wet", "beta1", "beta2",
}  # fmt: skip
_BLANK = Values("", NAN, NAN, NAN, NAN, NAN)


class _Material:
    """Common face of Ply and Metal: SI values inside, quantities outside."""

    def __init__(self, values: Values, key: str = "") -> None:
        self.si = values
        self.key = key or values.name

    @property
    def name(self) -> str:
        """Name shown on screen."""
        return self.si.name

    def __getattr__(self, name: str) -> Any:
        if name.startswith("_") or name == "si":
            raise AttributeError(name)
        source = {"E": "E1", "nu": "nu12", "alpha": "alpha1", "yield_strength": "Xt"}.get(
            name, name
        )
        kind = _KINDS.get(name) or _KINDS.get(source)
        if kind is None or not hasattr(self.si, source):
            raise AttributeError(f"{type(self).__name__} has no {name}")
        quantity = Q_(getattr(self.si, source), _UNITS[kind])
        return quantity.to(_DISPLAY[kind]) if kind in _DISPLAY else quantity

    def __repr__(self) -> str:
        return f"{type(self).__name__}({self.name!r})"


def _number(name: str, value: Any, where: str) -> float:
    """One value to SI; refuses zero and negative where a material cannot have them."""
    if value is None:
        return NAN
    kind = _KINDS[name]
    if kind == "number" and isinstance(value, int | float) and not isinstance(value, bool):
        number = float(value)
        if not math.isfinite(number):
            raise InputError("is not a finite number", where=f"{where}:{name}", got=str(value))
        return number
    return to_si(value, kind, what=name, where=where, positive=name not in _MAY_BE_NEGATIVE)


class Ply(_Material):
    """One ply of the wall: unidirectional or woven.

    Parameters
    ----------
    name : str
        Name shown on screen.
    E1, E2, G12 : str or Quantity
        Moduli along the fibre, across it and in-plane shear, with unit ("130 GPa").
    nu12 : float
        Major Poisson ratio [-].
    density : str or Quantity
        Density ("1.55 g/cm3").
    nu23, G23, E3 : optional
        Through-thickness constants; E3 = E2 when not given.
    Xt, Xc, Yt, Yc, S12 : str or Quantity, optional
        Strengths along and across the fibre in tension and compression, and in shear. Without
        them stiffness is computed and strength is reported as not checked.
    alpha1, alpha2 : str or Quantity, optional
        Expansion coefficients ("-0.5e-6 1/K").
    thickness : str or Quantity, optional
        Cured thickness of one ply.
    t_max : str or Quantity, optional
        Highest service temperature.
    t_free : str or Quantity, optional
        Temperature at which a cured wall is free of stress, about that of the cure.
    t_g, t_g_wet : str or Quantity, optional
        Glass transition of the matrix, dry and saturated with moisture.
    beta1, beta2 : float, optional
        Swelling strain per mass fraction of moisture, along and across the fibre [-].
    moisture : float, optional
        Mass fraction of moisture at saturation [-].

    Raises
    ------
    InputError
        For a missing unit, a wrong dimension, or constants no elastic ply can have.

    Examples
    --------
    >>> ply = Ply("axial", E1="130 GPa", E2="9 GPa", G12="4.5 GPa", nu12=0.3, density="1.55 g/cm3")
    >>> round(float(ply.E1.to("GPa").magnitude), 3)
    130.0
    """

    def __init__(
        self,
        name: str,
        *,
        E1: Any,
        E2: Any,
        G12: Any,
        nu12: Any,
        density: Any,
        nu23: Any = None,
        G23: Any = None,
        E3: Any = None,
        Xt: Any = None,
        Xc: Any = None,
        Yt: Any = None,
        Yc: Any = None,
        S12: Any = None,
        alpha1: Any = None,
        alpha2: Any = None,
        thickness: Any = None,
        t_max: Any = None,
        t_free: Any = None,
        t_g: Any = None,
        t_g_wet: Any = None,
        beta1: Any = None,
        beta2: Any = None,
        moisture: Any = None,
    ) -> None:
        given = {k: v for k, v in locals().items() if k in _KINDS}
        numbers: dict[str, Any] = {k: _number(k, v, name) for k, v in given.items()}
        values = replace(_BLANK, name=name, **numbers)
        if math.isnan(values.E3):
            values = replace(values, E3=values.E2)
        check_elastic(values)
        check_climate(values)
        super().__init__(values)


class Metal(_Material):
    """An isotropic wall.

    Parameters
    ----------
    name : str
        Name shown on screen.
    E : str or Quantity
        Young's modulus ("193 GPa").
    nu : float
        Poisson's ratio [-].
    density : str or Quantity
        Density ("8.0 g/cm3").
    yield_strength, ultimate : str or Quantity, optional
        0.2 % proof stress and tensile strength.
    alpha : str or Quantity, optional
        Expansion coefficient.
    t_max : str or Quantity, optional
        Highest service temperature.

    Raises
    ------
    InputError
        For a missing unit, a wrong dimension, or impossible constants.

    Examples
    --------
    >>> bar = Metal("bar", E="200 GPa", nu=0.3, density="7.9 g/cm3")
    >>> round(float(bar.G12.magnitude), 2)
    76.92
    """

    def __init__(
        self,
        name: str,
        *,
        E: Any,
        nu: Any,
        density: Any,
        yield_strength: Any = None,
        ultimate: Any = None,
        alpha: Any = None,
        t_max: Any = None,
    ) -> None:
        e, v = _number("E", E, name), _number("nu", nu, name)
        fy, a = _number("yield_strength", yield_strength, name), _number("alpha", alpha, name)
        super().__init__(
            isotropic(
                name, e, v, _number("density", density, name), fy,
                _number("ultimate", ultimate, name), a, _number("t_max", t_max, name),
            )
        )  # fmt: skip


@cache
def _records(kind: str) -> dict[str, dict[str, tuple[float, str]]]:
    """Key -> property -> (SI value, basis); the typical value wins, the minimum is kept beside."""
    out: dict[str, dict[str, tuple[float, str]]] = {}
    for row in datafiles.rows(_FILES[kind]):
        record = out.setdefault(row["key"], {"name": (NAN, row["name"])})
        prop = row["property"]
        if prop not in _KINDS:
            continue
        unit = "" if row["unit"] in ("-", "") else row["unit"]
        value = _number(
            prop, float(row["value"]) if not unit else f"{row['value']} {unit}", row["row"]
        )
        if row["basis"] == "minimum" and prop == "yield_strength":
            record["yield_minimum"] = (value, "minimum")
        if prop not in record or record[prop][1] == "minimum":
            record[prop] = (value, row["basis"])
    return out


@cache
def _aliases() -> dict[str, str]:
    """Spellings people use -> key."""
    out: dict[str, str] = {}
    for kind in _FILES:
        for key, record in _records(kind).items():
            for text in (key, record["name"][1]):
                out[plain(text)] = key
    return out | {"304": "304-annealed", "304hard": "304-cold-drawn", "6063": "6063-T6"}


def plain(text: str) -> str:
    """Letters and digits of a name in lower case: what spellings are compared by."""
    return "".join(c for c in text.lower() if c.isalnum())


def find_key(text: str, where: str | None = None) -> str:
    """Key of a ply or metal from a spelling of it.

    Parameters
    ----------
    text : str
        For example "304", "6061 T6" or "carbon-sm-ud".
    where : str, optional
        Where it stands, for the message.

    Returns
    -------
    str
        The key in the data files.

    Raises
    ------
    InputError
        If there is no such key; the message lists the nearest.

    Examples
    --------
    >>> find_key("6061 t6"), find_key("304")
    ('6061-T6', '304-annealed')
    """
    key = _aliases().get(plain(str(text)))
    if key is None:
        known = [k for kind in _FILES for k in _records(kind)]
        raise unknown_key("material", str(text), known, where)
    return key


def is_metal(text: str) -> bool:
    """Whether a spelling names a metal of the data files.

    Examples
    --------
    >>> is_metal("304"), is_metal("pultruded")
    (True, False)
    """
    return _aliases().get(plain(str(text))) in _records("metal")


@cache
def get_metal(text: str) -> Metal:
    """Metal of the data files by key or name.

    Parameters
    ----------
    text : str
        Key or name.

    Returns
    -------
    Metal
        With typical values; the minimum yield strength in ``.si.yield_minimum``.

    Raises
    ------
    InputError
        If there is no such metal.

    Examples
    --------
    >>> get_metal("6061-T6").si.isotropic
    True
    """
    key = find_key(text)
    metals = _records("metal")
    if key not in metals:
        raise unknown_key("metal", text, list(metals), None)
    r = {k: v[0] for k, v in metals[key].items()}
    metal = Metal.__new__(Metal)
    values = isotropic(
        metals[key]["name"][1], r["E"], r["nu"], r["density"], r.get("yield_strength", NAN),
        r.get("ultimate", NAN), r.get("alpha", NAN), r.get("t_max", NAN),
    )  # fmt: skip
    values = replace(values, yield_minimum=r.get("yield_minimum", NAN))
    _Material.__init__(metal, values, key)
    return metal


@cache
def get_ply(text: str) -> Ply:
    """Ply of the data files by key or name.

    Parameters
    ----------
    text : str
        Key or name.

    Returns
    -------
    Ply
        With typical values.

    Raises
    ------
    InputError
        If there is no such ply.

    Examples
    --------
    >>> get_ply("carbon-sm-ud").si.woven
    False
    """
    key = find_key(text)
    plies = _records("ply")
    if key not in plies:
        raise unknown_key("ply", text, list(plies), None)
    record = plies[key]
    given: dict[str, Any] = {
        k: v[0] for k, v in record.items() if k in {f.name for f in fields(Values)} - {"name"}
    }
    ply = Ply.__new__(Ply)
    values = replace(_BLANK, name=record["name"][1], **given)
    if math.isnan(values.E3):
        values = replace(values, E3=values.E2)
    check_elastic(values)
    check_climate(values)
    _Material.__init__(ply, values, key)
    return ply


def as_values(material: str | Ply | Metal) -> Values:
    """SI values of a ply or metal given as object or key.

    Raises
    ------
    InputError
        If the key is unknown or the object is neither.
    """
    if isinstance(material, _Material):
        return material.si
    if isinstance(material, str):
        return (get_metal(material) if is_metal(material) else get_ply(material)).si
    raise InputError(
        "is not a material", where="material", got=type(material).__name__,
        expected="a key such as 'carbon-sm-ud', a Ply or a Metal",
    )  # fmt: skip


def materials() -> pd.DataFrame:
    """Every metal and ply: value, unit, basis, standing, source.

    Returns
    -------
    pandas.DataFrame
        One row a value; columns kind, key, name, property, value, unit, low, high, basis,
        standing, source, where, note.

    Examples
    --------
    >>> table = materials()
    >>> bool((table["source"] != "").all())
    True
    """
    import pandas as pd

    frames = []
    for kind, name in _FILES.items():
        frame = pd.DataFrame(list(datafiles.rows(name))).drop(columns="row")
        frame.insert(0, "kind", kind)
        frames.append(frame)
    table = pd.concat(frames, ignore_index=True)
    for column in ("value", "low", "high"):
        table[column] = pd.to_numeric(table[column], errors="coerce")
    return table
