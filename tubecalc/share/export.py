"""The shortlist of a page as CSV: units in the headings, sources and trust below."""

from __future__ import annotations

import io
from datetime import date
from math import isinf, isnan
from typing import TYPE_CHECKING

from tubecalc.checks import CHECKS

if TYPE_CHECKING:
    import pandas as pd

_HEADS = {
    "construction": "construction", "name": "name", "id": "id", "od_mm": "OD [mm]",
    "id_mm": "bore [mm]", "wall_mm": "wall [mm]", "plies": "plies [-]",
    "mass_kg_per_m": "mass per length [kg/m]", "mass_kg": "mass of the job [kg]",
    "reserve": "reserve [-]", "governing": "governed by", "passes": "passes",
    "in_range": "usual size", "unproven": "outside the proven range",
    "EA_N": "EA [N]", "EI_N_m2": "EI [N m2]", "GJ_N_m2": "GJ [N m2]",
    "length_mm": "length [mm]", "quantity": "quantity [-]", "price": "price [per piece]",
}  # fmt: skip
_UNITS = ("MN_m_per_kg", "N_m3_per_kg", "kN_m_per_kg", "N_m2_per_kg")


def heading(column: str) -> str:
    """Heading of a table column with its unit in brackets.

    Parameters
    ----------
    column : str
        Column of a sweep.

    Returns
    -------
    str
        For example "EI per mass [N m3/kg]".

    Examples
    --------
    >>> heading("EI_per_mass_N_m3_per_kg"), heading("reserve_column")
    ('EI per mass [N m3/kg]', 'reserve column [-]')
    """
    if column in _HEADS:
        return _HEADS[column]
    for unit in _UNITS:
        if column.endswith(unit):
            name = column.removesuffix(f"_{unit}").replace("_", " ")
            return f"{name} [{unit.replace('_per_kg', '/kg').replace('_', ' ')}]"
    name = column.replace("_", " ")
    return f"{name} [-]" if column.startswith("reserve_") else name


def _trust(table: pd.DataFrame) -> list[str]:
    """Grade, expected error and range of every check in a table, one line each."""
    out = []
    for name, check in CHECKS.items():
        if f"reserve_{name}" in table:
            holds = "; holds for " + ", ".join(map(str, check.ranges)) if check.ranges else ""
            composite, metal = check.grades
            out.append(
                f"{check.label}: grade {composite} composite, {metal} metal; expected error "
                f"{check.error}{holds}; {check.basis}"
            )
    return out


def table_csv(table: pd.DataFrame, title: str, need: str, day: date) -> bytes:
    """Shortlist as CSV in UTF-8 with units in the headings.

    Parameters
    ----------
    table : pandas.DataFrame
        Rows of a sweep.
    title, need : str
        The job, and its values as used.
    day : datetime.date
        Date in the first line.

    Returns
    -------
    bytes
        The file; the lines below the table say where the figures come from.
    """
    from tubecalc import __version__

    out = io.StringIO()
    shown = table.rename(columns=heading)
    for column in shown.select_dtypes("float"):
        shown[column] = [
            "not driven" if isinf(x) else "not known" if isnan(x) else f"{x:.6g}"
            for x in shown[column]
        ]
    shown.to_csv(out, index=False, lineterminator="\n", na_rep="")
    for line in (
        f"tubecalc {__version__}, {day.isoformat()}: {title}",
        f"need as used: {need}",
        "sources: material values as listed by tubecalc.materials(), each with source and standing;"
        " rules of the constructions as listed by tubecalc.constructions()",
        "reserve: capacity over factored demand, 1 just passes; typical values, not minima",
        *_trust(table),
    ):
        out.write('"' + line.replace('"', "'") + '"\n')
    return out.getvalue().encode("utf-8-sig")
