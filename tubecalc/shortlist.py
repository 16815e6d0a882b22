"""A stock list against a need."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.laminate.construction import Construction, get_construction
from tubecalc.need import Need
from tubecalc.sweep import Grid, reserves, to_table
from tubecalc.wall import WallTable, unique_layups

if TYPE_CHECKING:
    import pandas as pd


def stock_grid(table: pd.DataFrame) -> tuple[Grid, pd.DataFrame]:
    """Tubes of a stock list as candidates.

    Parameters
    ----------
    table : pandas.DataFrame
        Columns construction, od_mm and id_mm (or wall_mm), others kept.

    Returns
    -------
    Grid
        The candidates, in the order of the second value.
    pandas.DataFrame
        The rows that could be used.

    Raises
    ------
    InputError
        If a column is missing or no row can be used.
    """
    for column in ("construction", "od_mm"):
        if column not in table:
            raise InputError("column is missing", where="stock list", expected=column)
    rows = table[table["construction"].astype(str) != ""].reset_index(drop=True)
    if not len(rows):
        raise InputError("no row names a construction", where="stock list")
    od = rows["od_mm"].to_numpy(float) / 1e3
    wall = (
        (od - rows["id_mm"].to_numpy(float) / 1e3) / 2
        if "id_mm" in rows
        else rows["wall_mm"].to_numpy(float) / 1e3
    )
    by_key: dict[str, Construction] = {
        k: get_construction(k, "stock list") for k in dict.fromkeys(rows["construction"])
    }
    chosen = tuple(by_key.values())
    which = np.array([list(by_key).index(k) for k in rows["construction"]], np.intp)
    layups = [chosen[c].layup(w, measured=True) for c, w in zip(which, wall.tolist(), strict=True)]
    distinct, index = unique_layups(layups)
    return Grid(WallTable(distinct), index, od, chosen, which), rows


def shortlist(need: Need, stock: Any, *, specific: bool = True) -> pd.DataFrame:
    """Tubes of a stock list ranked against a need.

    Parameters
    ----------
    need : Need
        The need.
    stock : Stock or pandas.DataFrame
        Result of `read_stock`, or a table with construction, od_mm and id_mm.
    specific : bool
        Add columns per mass.

    Returns
    -------
    pandas.DataFrame
        As from `sweep`, with the stock list's own id, length_mm, quantity, price, currency and
        note.

    Raises
    ------
    InputError
        If the list cannot be used.
    """
    from tubecalc.explain import nothing_passes

    if not need.cases:
        raise InputError("no case is given", where="need", expected="at least one case")
    candidates, rows = stock_grid(getattr(stock, "table", stock))
    found = reserves(candidates, need)
    table = to_table(found, need, specific=specific, extra=rows)
    table.attrs["nearest"], table.attrs["hint"] = nothing_passes(found, need)
    return table
