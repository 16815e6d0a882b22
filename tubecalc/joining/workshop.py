"""Figures of the workshop that no theory gives: gaps, friction, wear, each with its standing."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from tubecalc import datafiles
from tubecalc.errors import unknown_key
from tubecalc.unit_tables import parse_unit

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Figure:
    """One figure in SI with the range in which it lies."""

    name: str
    value: float
    low: float
    high: float
    source: str
    standing: str
    note: str


@cache
def _figures() -> dict[str, Figure]:
    out = {}
    for r in datafiles.rows("joining/workshop.csv"):
        parsed = parse_unit(r["unit"])
        assert parsed is not None, r["unit"]
        value, low, high = (float(r[c]) * parsed[0] for c in ("value", "low", "high"))
        out[r["key"]] = Figure(r["name"], value, low, high, r["source"], r["standing"], r["note"])
    return out


def figure(key: str) -> Figure:
    """One figure of the workshop.

    Parameters
    ----------
    key : str
        As in data/joining/workshop.csv.

    Returns
    -------
    Figure
        In SI.

    Raises
    ------
    InputError
        For an unknown key.

    Examples
    --------
    >>> figure("running_gap").value, figure("running_gap").standing
    (5e-05, 'PRACTICE')
    """
    if key not in _figures():
        raise unknown_key("figure of the workshop", key, list(_figures()))
    return _figures()[key]


def workshop_table() -> pd.DataFrame:
    """Every figure with its range, source and standing.

    Returns
    -------
    pandas.DataFrame
        One row a figure, in the units of the file.

    Examples
    --------
    >>> "wear_clean" in set(workshop_table()["key"])
    True
    """
    import pandas as pd

    return pd.DataFrame(list(datafiles.rows("joining/workshop.csv"))).drop(columns="row")


__all__ = ["Figure", "figure", "workshop_table"]
