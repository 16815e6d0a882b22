"""Families of limits and fits, tube tolerances, and pairs of metals."""

from __future__ import annotations

import re

from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import given
from tubecalc.joining import fit_press
from tubecalc.joining.galvanic import galvanic
from tubecalc.joining.iso286 import deviation, grade, iso_fit
from tubecalc.joining.tube_sizes import tube_tolerance
from tubecalc.materials import Metal
from tubecalc.tube import Tube

_ENVIRONMENT = {"seawater": "salt", "marine": "marine", "industrial": "outdoor"}


@register(r"ISO286-")
def _iso(row: Row) -> float | None:
    """At the upper end of the range of sizes."""
    size = float(row.inputs.split(" to ")[1].split(" ")[0]) * 1e-3
    found = re.fullmatch(r"IT(\d+)", row.quantity)
    return grade(size, int(found[1])) if found else deviation(size, row.quantity[-1], 7)


@register(r"FIT-")
def _fit(row: Row) -> float | None:
    size, symbol, _, which = row.quantity.split(" ")
    found = iso_fit(float(size) * 1e-3, symbol)
    return found.least if which == "least" else found.most


@register(r"PRESS-")
def _pressed(row: Row) -> float | None:
    """A solid bar in a sleeve, both of one steel."""
    text = row.inputs
    size, outside, length = (given(text, x, "mm") for x in ("shaft", "sleeve", "L"))
    steel = Metal("evidence", E=f"{given(text, 'E', 'GPa')!r} Pa", nu=given(text, "nu"),
                  density="7.85 g/cm3", yield_strength="1 GPa")  # fmt: skip
    bar = Tube(steel, od=f"{size!r} m", id="0 mm")
    sleeve = Tube(steel, od=f"{outside!r} m", id=f"{size!r} m")
    found = fit_press.pressed(
        given(text, "interference", "mm"), size, fit_press.softness(bar, sleeve),
        fit_press.walls(bar, sleeve, length), length=length, friction=given(text, "mu"),
        temperature=20.0,
    )  # fmt: skip
    return {"p": found.pressure, "hoop": found.hoop_outer, "T": found.torque}[row.id[8:]]


@register(r"ISO1127-ex-")
def _tube(row: Row) -> float | None:
    size, name = row.inputs.removeprefix("ISO 1127: ").split("-")
    return tube_tolerance(name, float(size) * 1e-3)


@register(r"ISO1127-[DT]\d-")
def _class(row: Row) -> float | None:
    """Share of a size so large, or least value at a size so small, that it alone counts."""
    _, name, which = row.id.split("-")
    return tube_tolerance(name, 1e3) / 1e3 if which == "share" else tube_tolerance(name, 1e-9)


@register(r"GALVSTEP-")
def _steps(row: Row) -> float | None:
    one, two = row.inputs.split("; ")
    return float(galvanic(one, two).steps)


@register(r"GALV-")
def _pair(row: Row) -> float | None:
    one, two, where = row.inputs.split("; ")
    return float(galvanic(one, two, _ENVIRONMENT[where]).level)
