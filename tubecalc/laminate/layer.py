"""One ply of a stack, and reading the plies a user lists."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from tubecalc.errors import InputError, unknown_key
from tubecalc.laminate import strength
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.notation import MOST_PLIES, Mark
from tubecalc.materials import Metal, Ply, as_values, find_key
from tubecalc.unit_words import for_system
from tubecalc.units import to_si
from tubecalc.values import Values


@dataclass(frozen=True)
class Layer:
    """One ply or run of equal plies: values, angle [deg], thickness [m], count."""

    values: Values
    angle: float
    thickness: float
    count: int = 1
    key: str = ""


_CARBON = ("carbon", "graphite")
_INSULATES = ("glass", "aramid", "basalt", "quartz")
_LEAST = {"isotropic": 10e9, "woven": 40e9, "straight": 60e9}  # axial modulus [Pa] (own rule)


def conducts(layers: Sequence[Layer]) -> bool:
    """Whether a stack holds carbon or metal and so carries current.

    What the name of a ply says counts first. A ply whose name says nothing is taken for carbon
    where it is stiffer along than glass gets: 40 GPa of a cloth (E-glass 25 to 30, carbon 50 to
    75), 60 GPa of straight fibres (S-glass up to 55, carbon from 100); isotropic from 10 GPa, that
    is a metal. Own rule from typical values, no source; in doubt it says that current flows.

    Parameters
    ----------
    layers : sequence of Layer
        The stack.

    Returns
    -------
    bool

    Examples
    --------
    >>> conducts(read_layers([("carbon-woven", 0, None)]))
    True
    >>> conducts(read_layers([("glass-ud", 0, "0.2 mm")]))
    False
    """
    return any(_conducts(layer.key.lower(), layer.values) for layer in layers)


def _conducts(name: str, values: Values) -> bool:
    if any(word in name for word in _CARBON):
        return True
    if any(word in name for word in _INSULATES):
        return False
    cloth = values.woven or values.E2 > 0.5 * values.E1
    kind = "isotropic" if values.isotropic else "woven" if cloth else "straight"
    return bool(_LEAST[kind] < values.E1)


def strengths_of(values: Sequence[Values]) -> strength.Strengths:
    """Strengths of many plies as arrays, in the order given."""

    def column(name: str) -> Array:
        return np.array([float(getattr(v, name)) for v in values])

    return strength.Strengths._make(column(n) for n in strength.Strengths._fields)


def read_layers(plies: Sequence[tuple[str | Ply | Metal, float, Any]]) -> list[Layer]:
    """Layers from (material, angle in degrees, thickness), inside to outside.

    Raises
    ------
    InputError
        Naming the ply that cannot be used.
    """
    if isinstance(plies, str) or not isinstance(plies, Sequence):
        raise InputError("a stack is a list of plies", where="layup", got=type(plies).__name__)
    if len(plies) > MOST_PLIES:
        raise InputError(
            "more plies than a wall has",
            where="layup", got=str(len(plies)), expected=f"at most {MOST_PLIES}",
        )  # fmt: skip
    out = []
    for number, item in enumerate(plies, start=1):
        where = f"layup:ply {number}"
        try:
            material, angle, thickness = item
        except (TypeError, ValueError):
            raise InputError(
                "a ply is (material, angle, thickness)", where=where, got=repr(item)
            ) from None
        values = as_values(material)
        angle = _angle(angle, where)
        out.append(Layer(values, angle, _thickness(thickness, values, where), 1, _key(material)))
    return out


def lettered(
    marks: Sequence[Mark],
    ply: str | Ply | Metal | Mapping[str, str | Ply | Metal],
    thickness: Any = None,
) -> list[tuple[str | Ply | Metal, float, Any]]:
    """Plies as (material, angle, thickness) from marks and what their letters mean.

    Raises
    ------
    InputError
        If a letter means nothing, or letters stand in the text and one material is given.
    """

    def meaning(table: Any, tag: str) -> Any:
        if tag in table:
            return table[tag]
        if tag:
            raise unknown_key("material letter", tag, [k for k in table if k], "layup")
        raise InputError(
            "a ply has no material letter",
            where="layup", expected='a letter behind each angle, or a material for ""',
        )  # fmt: skip

    letters = sorted({m.tag for m in marks if m.tag})
    if letters and not isinstance(ply, Mapping):
        raise InputError(
            "the stacking sequence names several materials",
            where="layup", got=", ".join(letters), expected="what each letter means",
        )  # fmt: skip
    out = []
    for mark in marks:
        material = meaning(ply, mark.tag) if isinstance(ply, Mapping) else ply
        t = thickness.get(mark.tag) if isinstance(thickness, Mapping) else thickness
        out.append((material, mark.angle, t))
    return out


def _angle(value: Any, where: str) -> float:
    try:
        angle = float(value)
    except (TypeError, ValueError):
        raise InputError(
            "angle is not a number", where=where, got=repr(value), expected="degrees from the axis"
        ) from None
    if not -90.0 <= angle <= 90.0:
        raise InputError(
            "angle is out of range", where=where, got=f"{angle:g}", expected="-90 to 90 degrees"
        )
    return angle


def _thickness(value: Any, values: Values, where: str) -> float:
    if value is None:
        if math.isnan(values.thickness):
            raise InputError(
                "ply thickness is missing",
                where=where,
                expected=for_system('"0.125 mm"', '"0.005 in"'),
            )
        return values.thickness
    return to_si(value, "length", what="thickness", where=where, positive=True)


def _key(material: str | Ply | Metal) -> str:
    if isinstance(material, str):
        return find_key(material)
    return material.key
