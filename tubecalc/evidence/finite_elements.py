"""Families of the finite-element evidence: stiffness, bending, columns, frequency, ply stress."""

from __future__ import annotations

import re
from functools import cache

from tubecalc.evidence.book import Row, register, rows
from tubecalc.evidence.inputs import given
from tubecalc.evidence.tubes import peak_stress, si, solver_tube
from tubecalc.thickwall import ThickWall


@register(r"[AB]_")
def _stiffness(row: Row) -> float | None:
    tube = solver_tube(row.inputs)
    p = tube.sections.pull
    c11, c13, c33 = (float(c[0]) for c in (p.c11, p.c13, p.c33))
    values = {
        "EA_free": si(tube.EA),
        "EA_notwist": 1.0 / (c11 - c13**2 / c33),  # the other end cannot turn
        "GJ_free": si(tube.GJ),
        "GJ_noext": 1.0 / (c33 - c13**2 / c11),  # the other end cannot move along
        "EI": si(tube.EI),
    }
    return values[row.quantity]


@register(r"BB_.*column")
def _column(row: Row) -> float | None:
    length = f"{given(row.quantity, 'L')!r} mm"
    return si(solver_tube(row.inputs).critical("column", length=length))


@register(r"E_")
def _cantilever(row: Row) -> float | None:
    found = re.search(r"tip ([\d.]+) kg", row.quantity)
    return si(
        solver_tube(row.inputs).frequency(
            length=f"{given(row.inputs, 'L')!r} mm",
            ends="fixed-free",
            tip_mass=f"{found[1]} kg" if found and float(found[1]) else None,
            mode=int(row.quantity[1]),
        )
    )


@cache
def stack_named(name: str) -> str:
    """Inputs text of the 10 mm tube that another row describes in full.

    Parameters
    ----------
    name : str
        For example "pm45".

    Returns
    -------
    str

    Examples
    --------
    >>> stack_named("pm45")[:21]
    'OD 10 ID 8 [ud+45x0.1'
    """
    return next(row.inputs for row in rows() if row.id.startswith((f"A_{name}-", f"X10_{name}-")))


@register(r"XB_")
def _bending_stress(row: Row) -> float | None:
    name, component = row.inputs.split(" ")[0], row.quantity.split(" ")[2]
    moment = f"{given(row.inputs, 'M')!r} N m"
    return peak_stress(solver_tube(stack_named(name)), component, moment=moment)


@register(r"X(?:10|60)_")
def _layered_stress(row: Row) -> float | None:
    """Ply stress beside an exact layered solution of another hand."""
    found = re.search(r"(sigma1|sigma2|tau12) under (N|T|p closed)$", row.quantity)
    if found is None:
        return None
    tube = solver_tube(row.inputs)
    radius = (si(tube.od) + si(tube.id)) / 4
    loads = {
        "N": {"axial": "1 kN"},
        "T": {"torque": f"{1e3 * radius!r} N m"},
        "p closed": {"p_in": "10 MPa", "ends": "closed"},
    }
    return peak_stress(tube, found[1], **loads[found[2]])


@register(r"D_")
def _pressure_strain(row: Row) -> float | None:
    """Strain per pressure inside."""
    tube = solver_tube(row.inputs)
    outside = si(tube.od) / 2
    wall = ThickWall(tube.layup, outside)
    found = wall.solve(p_in=1e6, closed="closed" in row.quantity)
    if row.quantity.startswith("axial"):
        return found.axial_strain / 1e6
    return found.hoop_strain(len(tube.layup.plies) - 1, outside) / 1e6
