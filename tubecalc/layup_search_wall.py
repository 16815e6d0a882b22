"""An own stack as a construction: notation, key, wall table of a job."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Mapping, Sequence
from typing import Any

from tubecalc.errors import InputError
from tubecalc.laminate.construction import Construction, composites
from tubecalc.laminate.layer import Layer, conducts
from tubecalc.laminate.notation import read_plies, stack_code
from tubecalc.materials import get_ply

_OF_GLASS = ("insulating", "salt", "radio", "contact_metal")


def runs(layers: Sequence[Layer]) -> list[Layer]:
    """Neighbouring equal plies gathered into one layer with a count."""
    out = []
    for (key, angle), group in itertools.groupby(layers, key=lambda x: (x.key, x.angle)):
        plies = list(group)
        count = sum(x.count for x in plies)
        out.append(Layer(plies[0].values, angle, plies[0].thickness, count, key))
    return out


def stack_text(layers: Sequence[Layer]) -> tuple[str, str]:
    """Stack in standard notation, and its materials: one key, or what the letters mean."""
    plies = [x for x in layers for _ in range(x.count)]
    text, letters = stack_code(
        [x.angle for x in plies], [x.key for x in plies], [x.values.woven for x in plies]
    )
    if not letters:
        return text, plies[0].key
    return text, "; ".join(f"{letter} = {key}" for letter, key in letters.items())


def wall_key(layers: Sequence[Layer]) -> str:
    """Key of an own stack, from its plies inside to outside: letters, digits and dashes."""
    keys = list(dict.fromkeys(x.key for x in layers))
    said = []
    for x in runs(layers):
        angle = f"{abs(x.angle):g}".replace(".", "p")
        sign = "m" if x.angle < 0 else ""
        count = f"x{x.count}" if x.count > 1 else ""
        which = f"-{re.sub('[^a-z0-9]+', '-', x.key.lower())}" if len(keys) > 1 else ""
        said.append(f"{sign}{angle}{count}{which}")
    head = "" if len(keys) > 1 else f"{re.sub('[^a-z0-9]+', '-', keys[0].lower())}-"
    return f"own-{head}{'-'.join(said)}"


def wall_table(layers: Sequence[Layer]) -> dict[str, Any]:
    """Wall table of a job, in the format of data/constructions/constructions.toml."""
    carbon = conducts(layers)
    of_carbon, of_glass = (composites()[k].service for k in ("roll-wrapped", "filament-wound"))
    ratings = {**of_carbon, **({} if carbon else {k: of_glass[k] for k in _OF_GLASS})}
    plies = runs(layers)
    woven = plies[-1].values.woven
    hatch = "woven" if woven else "cross" if len({abs(x.angle) for x in plies}) > 1 else "axial"
    limits = [x.values.t_max for x in plies]
    table: dict[str, Any] = {
        "name": f"own {stack_text(layers)[0]}", "process": "own wall", "hatch": hatch,
        "conductive": carbon, "fill_min": 1,
        "fill": [
            {"ply": x.key, "angle": x.angle, "count": x.count,
             "thickness": f"{x.thickness * 1e3!r} mm"}
            for x in plies
        ],
        "splits": all(abs(x.angle) < 1.0 and not x.values.woven for x in plies),
        "service": {k: list(v) for k, v in ratings.items()},
    }  # fmt: skip
    if not any(math.isnan(t) for t in limits):
        table["t_max"] = f"{min(limits)!r} degC"
    return table


def wall_of(layers: Sequence[Layer]) -> Construction:
    """The same as a construction, also of plies that are no data file's."""
    table, limits = wall_table(layers), [x.values.t_max for x in layers]
    return Construction(
        key=wall_key(layers), name=table["name"], process=table["process"], hatch=table["hatch"],
        inner=(), fill=tuple(runs(layers)), outer=(), conductive=table["conductive"], fill_min=1,
        t_max=min(limits) if "t_max" in table else math.nan, splits=table["splits"],
        service={k: (v[0], v[1]) for k, v in table["service"].items()},
    )  # fmt: skip


def as_wall(row: Mapping[str, Any]) -> dict[str, Any]:
    """Wall table of a job for one row of a search.

    Parameters
    ----------
    row : mapping
        A row of `tubecalc.layup_search.search_layup`, or its fields stack and materials.

    Returns
    -------
    dict
        Table in the format of data/constructions/constructions.toml; put it under the key of the
        row's "construction" into the walls of a `tubecalc.job.Job`. Service ratings are those of
        roll-wrapped tubes, of wound glass where no ply is carbon.

    Raises
    ------
    InputError
        If the row has no stack, or a ply that no data file holds, which a job cannot carry.

    Examples
    --------
    >>> wall = as_wall({"stack": "[90/0_3]", "materials": "carbon-sm-ud"})
    >>> wall["name"], wall["fill"][1]
    ('own [90/0_3]', {'ply': 'carbon-sm-ud', 'angle': 0.0, 'count': 3, 'thickness': '0.15 mm'})
    """
    try:
        stack, materials = str(row["stack"]), str(row["materials"])
    except (KeyError, TypeError):
        raise InputError(
            "is no row of a search", where="as_wall", expected="its fields stack and materials"
        ) from None
    pairs = [part.split("=") for part in materials.split(";")] if "=" in materials else []
    keys = {a.strip(): b.strip() for a, b in pairs} if pairs else {"": materials.strip()}
    layers = []
    for mark in read_plies(stack):
        if mark.tag not in keys:
            raise InputError("has a ply without a material", where="as_wall", got=stack)
        ply = get_ply(keys[mark.tag])
        layers.append(Layer(ply.si, mark.angle, ply.si.thickness, 1, ply.key))
    return wall_table(layers)
