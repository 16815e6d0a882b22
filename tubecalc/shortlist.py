"""A stock list against a need."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.laminate.construction import Construction, get_construction
from tubecalc.laminate.elastic import Array
from tubecalc.need import Need, refuse_no_case
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
    columns = getattr(table, "columns", None)
    if columns is None:
        raise InputError(
            "is not a stock list", where="stock list", got=type(table).__name__,
            expected="the result of read_stock, or a table",
        )  # fmt: skip
    for column in ("construction", "od_mm"):
        if column not in columns:
            raise InputError("column is missing", where="stock list", expected=column)
    if "id_mm" not in columns and "wall_mm" not in columns:
        raise InputError("column is missing", where="stock list", expected="id_mm or wall_mm")
    rows = table[table["construction"].astype(str) != ""].reset_index(drop=True)
    if not len(rows):
        raise InputError("no row names a construction", where="stock list")
    od = _lengths(rows, "od_mm")
    wall = (od - _lengths(rows, "id_mm")) / 2 if "id_mm" in rows else _lengths(rows, "wall_mm")
    _refuse_sizes(rows, od, wall)
    by_key: dict[str, Construction] = {
        k: get_construction(k, "stock list") for k in dict.fromkeys(rows["construction"])
    }
    chosen = tuple(by_key.values())
    which = np.array([list(by_key).index(k) for k in rows["construction"]], np.intp)
    layups = [chosen[c].layup(w, measured=True) for c, w in zip(which, wall.tolist(), strict=True)]
    distinct, index = unique_layups(layups)
    return Grid(WallTable(distinct), index, od, chosen, which), rows


def _lengths(rows: pd.DataFrame, column: str) -> Array:
    """One column of sizes [m]; NaN where a cell is not a number."""
    import pandas as pd

    return np.asarray(pd.to_numeric(rows[column], errors="coerce").to_numpy(float) / 1e3)


def _refuse_sizes(rows: pd.DataFrame, od: Array, wall: Array) -> None:
    """Refuse a size that no tube has, naming the row."""
    bad = ~((od > 0) & (od < 1e3) & (wall > 0) & (wall <= od / 2 * (1 + 1e-9)))
    if bad.any():
        n = int(np.argmax(bad))
        name = rows["id"].iloc[n] if "id" in rows else ""
        other = "id_mm" if "id_mm" in rows else "wall_mm"
        raise InputError(
            "the sizes are not those of a tube", where=f"stock list:row {n + 1} {name}".rstrip(),
            got=f"od_mm {rows['od_mm'].iloc[n]}, {other} {rows[other].iloc[n]}",
            expected="a bore of zero or more, smaller than the outside diameter",
        )  # fmt: skip


def shortlist(need: Need, stock: Any, *, specific: bool = True, system: str = "SI") -> pd.DataFrame:
    """Tubes of a stock list ranked against a need.

    Parameters
    ----------
    need : Need
        The need.
    stock : Stock or pandas.DataFrame
        Result of `read_stock`, or a table with construction, od_mm and id_mm.
    specific : bool
        Add columns per mass.
    system : str
        Display system of the hint: "SI", "workshop" or "inch".

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

    refuse_no_case(need)
    candidates, rows = stock_grid(getattr(stock, "table", stock))
    found = reserves(candidates, need, specific=specific)
    table = to_table(found, need, extra=rows)
    table.attrs["nearest"], table.attrs["hint"] = nothing_passes(found, need, system)
    return table
