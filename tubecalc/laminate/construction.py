"""A process and its rules: wall thickness to whole plies, usual sizes, tolerances, limits."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tubecalc import datafiles
from tubecalc.errors import InputError, unknown_key
from tubecalc.laminate.construction_rule import Construction
from tubecalc.laminate.layer import conducts
from tubecalc.laminate.layup import Layer, Layup
from tubecalc.laminate.notation import MOST_PLIES
from tubecalc.laminate.own_ply import ply_of
from tubecalc.materials import Metal, Ply, as_values, find_key, get_metal, is_metal, plain
from tubecalc.unit_words import for_system
from tubecalc.units import to_si

if TYPE_CHECKING:
    import pandas as pd

SERVICES = (
    "sliding", "thread", "weld", "form", "insulating", "outdoor", "salt", "contact_metal",
    "finish", "radio",
)  # fmt: skip
_LENGTHS = ("od_min", "od_max", "wall_min", "wall_max", "tolerance_od", "tolerance_id")
_RATINGS = ("good", "fair", "poor", "no")
_FIELDS = (
    *_LENGTHS, "name", "process", "hatch", "inner", "fill", "outer", "continuous", "conductive",
    "fill_min", "accurate", "tolerance_wall", "straightness", "t_max", "end_bearing", "splits",
    "service", "evidence",
)  # fmt: skip


def _layers(items: Any, where: str) -> tuple[Layer, ...]:
    out = []
    if not isinstance(items or (), list | tuple):
        raise InputError("must be a list of plies", where=where, got=repr(items))
    for number, item in enumerate(items or (), start=1):
        at = f"{where}:{number}"
        if not isinstance(item, Mapping) or "ply" not in item:
            raise InputError(
                "a ply of a construction needs ply and angle", where=at, got=repr(item),
                expected='{ply="carbon-sm-ud", angle=0, count=1}',
            )  # fmt: skip
        ply = item["ply"]
        material = ply_of(ply, f"{at}:ply") if isinstance(ply, Mapping) else ply
        values = as_values(material)
        given = item.get("thickness")
        thickness = (
            values.thickness if given is None
            else to_si(given, "length", what="thickness", where=at, positive=True)
        )  # fmt: skip
        if math.isnan(thickness):
            raise InputError("ply thickness is missing", where=at, expected=for_system(
                'thickness="0.15 mm"', 'thickness="0.006 in"'))  # fmt: skip
        angle = _number(item.get("angle", 0.0), f"{at}:angle", -90.0, 90.0)
        count = _whole(item.get("count", 1), f"{at}:count", 1)
        key = material.key if isinstance(material, Ply) else find_key(material)
        out.append(Layer(values, angle, thickness, count, key))
    return tuple(out)


def _number(value: Any, where: str, least: float, most: float) -> float:
    """A bare number within its range; NaN stands for not stated."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise InputError("is not a number", where=where, got=repr(value))
    if not least <= value <= most:
        raise InputError(
            "is out of range", where=where, got=value, expected=f"{least:g} to {most:g}"
        )
    return float(value)


def _whole(value: Any, where: str, least: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= MOST_PLIES:
        raise InputError(
            "must be a whole number", where=where, got=repr(value), expected=f"{least} or more"
        )
    return value


def _service(table: Any, where: str) -> dict[str, tuple[str, str]]:
    out: dict[str, tuple[str, str]] = {}
    if not isinstance(table or {}, Mapping):
        raise InputError("must be a table", where=f"{where}:service", got=repr(table))
    for name, value in (table or {}).items():
        if name not in SERVICES:
            raise unknown_key("service", name, list(SERVICES), where)
        if not isinstance(value, list | tuple) or len(value) != 2:
            raise InputError(
                "must be a rating and a sentence", where=f"{where}:{name}", got=repr(value),
                expected='["no", "cannot be welded"]',
            )  # fmt: skip
        rating, why = value
        if rating not in _RATINGS:
            raise unknown_key("rating", rating, list(_RATINGS), f"{where}:{name}")
        out[name] = (rating, why)
    return out


def _common(key: str, table: Mapping[str, Any]) -> dict[str, Any]:
    """Fields that composites and metals share."""
    for name in table:
        if name not in _FIELDS:
            raise unknown_key("field", name, _FIELDS, key)

    def si(name: str, kind: str) -> float:
        value = table.get(name)
        return math.nan if value is None else to_si(value, kind, what=name, where=key)

    def share(name: str) -> float:
        value = table.get(name)
        return math.nan if value is None else _number(value, f"{key}:{name}", 0.0, 1.0)

    return {
        "sizes": {n: si(n, "length") for n in _LENGTHS},
        "t_max": si("t_max", "temperature"),
        "end_bearing": si("end_bearing", "stress"),
        "hatch": str(table.get("hatch", "axial")),
        "accurate": str(table.get("accurate", "both")),
        "conductive": bool(table.get("conductive", True)),
        "tolerance_wall": share("tolerance_wall"),
        "straightness": share("straightness"),
        "splits": bool(table.get("splits", False)),
        "service": _service(table.get("service"), key),
        "evidence": tuple(table.get("evidence", ())),
    }


def construction_from_table(key: str, table: Mapping[str, Any]) -> Construction:
    """Construction from its table in a data or user file.

    Parameters
    ----------
    key : str
        Key of the table.
    table : mapping
        Fields name, process, hatch, inner, fill, outer, od_min and so on.

    Returns
    -------
    Construction

    Raises
    ------
    InputError
        Naming the field that is wrong.
    """
    if not isinstance(table, Mapping):
        raise InputError("must be a table", where=key, expected=f"[{key}]")
    fill = _layers(table.get("fill"), f"{key}:fill")
    if not fill:
        raise InputError("a construction needs at least one fill ply", where=f"{key}:fill")
    return Construction(
        key=key,
        name=str(table.get("name", key)),
        process=str(table.get("process", key)),
        inner=_layers(table.get("inner"), f"{key}:inner"),
        fill=fill,
        outer=_layers(table.get("outer"), f"{key}:outer"),
        continuous=bool(table.get("continuous", False)),
        fill_min=_whole(table.get("fill_min", 0), f"{key}:fill_min", 0),
        **_common(key, table),
    )


def read_constructions(path: str | Path) -> dict[str, Construction]:
    """Read user-defined constructions from a TOML file.

    Parameters
    ----------
    path : str or pathlib.Path
        File with one table per construction, fields as in data/constructions.

    Returns
    -------
    dict
        Key -> Construction; pass the values wherever a construction key is taken.

    Raises
    ------
    InputError
        Naming the table and field that is wrong.
    """
    return {k: construction_from_table(k, t) for k, t in datafiles.read_toml(Path(path)).items()}


@cache
def composites() -> dict[str, Construction]:
    """Every composite construction of the data files, by key."""
    table = datafiles.tables("constructions/constructions.toml")
    return {k: construction_from_table(k, t) for k, t in table.items()}


@cache
def metals() -> dict[str, Construction]:
    """Every metal of the data files as a continuous one-layer construction, by key."""
    table = datafiles.tables("constructions/metals.toml")
    return {k: _of_metal(k, get_metal(k), t) for k, t in table.items()}


def _of_metal(key: str, metal: Metal, table: Mapping[str, Any]) -> Construction:
    common = _common(key, {"t_max": None, "hatch": "dots", **table})
    if math.isnan(common["t_max"]):
        common["t_max"] = metal.si.t_max
    return Construction(
        key=key, name=str(table.get("name", metal.name)), process="metal", inner=(), outer=(),
        fill=(Layer(metal.si, 0.0, math.nan, 1, key),), continuous=True, **common,
    )  # fmt: skip


def of_material(material: Metal | Ply) -> Construction:
    """Continuous one-material wall: a metal, or a ply laid all along the axis.

    Parameters
    ----------
    material : Metal or Ply
        The user's own material.

    Returns
    -------
    Construction
    """
    values = material.si
    return Construction(
        key=material.key, name=material.name, inner=(), outer=(),
        process="metal" if values.isotropic else "own material",
        hatch="dots" if values.isotropic else "axial",
        fill=(Layer(values, 0.0, math.nan, 1, material.key),),
        continuous=True, t_max=values.t_max, splits=not values.isotropic and not values.woven,
    )  # fmt: skip


def of_layup(layup: Layup) -> Construction:
    """An own stack as a construction with one fixed wall."""
    known = {**composites(), **metals()}.get(layup.construction)
    if known is not None:
        return known
    temperatures = [x.values.t_max for x in layup.layers]
    return Construction(
        key=layup.name, name=layup.name, process="own wall", hatch="axial",
        inner=layup.layers, fill=(), outer=(),
        t_max=min(temperatures) if not any(math.isnan(t) for t in temperatures) else math.nan,
        conductive=conducts(layup.layers),
        splits=all(abs(x.angle) < 1.0 and not x.values.woven for x in layup.layers),
    )  # fmt: skip


@cache
def _aliases() -> dict[str, str]:
    everything = {**composites(), **metals()}
    return {plain(t): k for k, c in everything.items() for t in (k, c.name)}


def get_construction(
    item: str | Construction | Metal | Ply | Layup, where: str = ""
) -> Construction:
    """Construction from a key, name, material or own stack.

    Parameters
    ----------
    item : str, Construction, Metal, Ply or Layup
        What the user gave.
    where : str, optional
        Where it stands, for the message.

    Returns
    -------
    Construction

    Raises
    ------
    InputError
        If the key is unknown; the message lists the nearest.

    Examples
    --------
    >>> get_construction("pultruded").continuous
    True
    """
    if isinstance(item, Construction):
        return item
    if isinstance(item, Metal | Ply):
        return of_material(item)
    if isinstance(item, Layup):
        return of_layup(item)
    text = str(item)
    key = _aliases().get(plain(text))
    if key is not None:
        return {**composites(), **metals()}[key]
    if is_metal(text):
        known = metals().get(find_key(text))
        return known if known is not None else of_material(get_metal(text))
    raise unknown_key("construction", text, [*composites(), *metals()], where or None)


def constructions() -> pd.DataFrame:
    """Every construction and metal: key, process, size range, tolerances, limits, sources.

    Returns
    -------
    pandas.DataFrame
        One row a construction.

    Examples
    --------
    >>> table = constructions()
    >>> "pultruded" in set(table["key"]), "6063-T6" in set(table["key"])
    (True, True)
    """
    import pandas as pd

    out = []
    for c in {**composites(), **metals()}.values():
        row: dict[str, Any] = {"key": c.key, "name": c.name, "process": c.process}
        row |= {f"{n}_mm": c.size(n) * 1e3 for n in _LENGTHS}
        row |= {
            "wall_step_mm": c.least_step() * 1e3, "tolerance_wall": c.tolerance_wall,
            "straightness": c.straightness, "accurate": c.accurate, "t_max_degC": c.t_max,
            "conductive": c.conductive, "splits": c.splits,
        }  # fmt: skip
        row["source"] = "; ".join(dict.fromkeys(str(e.get("source", "")) for e in c.evidence))
        row["standing"] = "; ".join(dict.fromkeys(str(e.get("standing", "")) for e in c.evidence))
        out.append(row)
    return pd.DataFrame(out)


__all__ = [
    "SERVICES", "Construction", "composites", "construction_from_table", "constructions",
    "get_construction", "metals", "of_layup", "of_material", "read_constructions",
]  # fmt: skip
