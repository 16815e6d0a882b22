"""Family of the facts of the trade: four 10 x 8 mm tubes and what the workshop says of them."""

from __future__ import annotations

import re

from tubecalc.evidence.book import Row, register
from tubecalc.evidence.tubes import si
from tubecalc.laminate.construction import get_construction
from tubecalc.materials import get_metal
from tubecalc.need import Need
from tubecalc.tube import Tube
from tubecalc.verdict import check

_KEYS = {
    "304": "304-annealed", "304 cold-drawn": "304-cold-drawn", "6063": "6063-T6",
    "6063-T6": "6063-T6", "roll-wrapped 0/90": "roll-wrapped", "roll-wrapped": "roll-wrapped",
    "pultruded": "pultruded", "pultruded and roll-wrapped": "roll-wrapped",
}  # fmt: skip


def _tube(row: Row) -> Tube:
    return Tube(_KEYS[row.inputs.split(";")[0]], od="10 mm", id="8 mm")


@register(r"TRADE-density-")
def _density(row: Row) -> float | None:
    if row.inputs in _KEYS:
        return float(get_metal(_KEYS[row.inputs]).density.to("kg/m^3").magnitude)
    tube = Tube("pultruded", od="10 mm", id="8 mm")
    return float((tube.mass_per_length / tube.area).to("kg/m^3").magnitude)


@register(r"TRADE-twist-")
def _twist(row: Row) -> float | None:
    steel = Tube("304", od="10 mm", id="8 mm")
    return float((steel.GJ / _tube(row).GJ).to("").magnitude)


def _breaks_at(row: Row, case: str, *names: str) -> float:
    """Load at which the first of the named checks has a reserve of 1; the case asks for 1 N."""
    reserve = check(_tube(row), Need.from_toml(f"[[case]]\n{case}")).reserve
    return min(float(reserve[name]) for name in names if name in reserve)


@register(r"TRADE-tension-")
def _tension(row: Row) -> float | None:
    return _breaks_at(row, 'kind = "strut"\nload = "1 N"\nspan = "100 mm"', "strength")


@register(r"TRADE-compression-")
def _compression(row: Row) -> float | None:
    """A piece too short to bow, standing on its plain cut ends."""
    case = 'kind = "strut"\nload = "-1 N"\nspan = "20 mm"\nend_fitting = "plain"'
    return _breaks_at(row, case, "strength", "end_crush")


@register(r"TRADE-three-point-")
def _three_point(row: Row) -> float | None:
    case = 'kind = "three-point"\nload = "1 N"\nspan = "100 mm"'
    return _breaks_at(row, case, "strength", "shear", "crush", "wall_buckling")


@register(r"TRADE-temperature")
def _heat(row: Row) -> float | None:
    return get_construction("roll-wrapped").t_max


@register(r"TRADE-bend-")
def _bend_radius(row: Row) -> float | None:
    """Radius at which a solid rod of this size breaks; a hand stops earlier with thick ones."""
    found = re.search(r"OD ([\d.]+) mm", row.inputs)
    if found is None:
        return None
    rod = Tube("pultruded", od=f"{found[1]} mm", id="0 mm")
    return si(rod.EI) / float(rod.sections.unit["bending"].broken[0])
