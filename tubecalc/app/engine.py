"""Asks the core and keeps its answers: what a page shows is looked up here, never computed.

A sweep is made in blocks of diameters and walls on a fixed lattice and kept, so that a moving
slider only cuts another window out of it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tubecalc.app.draft import Draft, to_toml
from tubecalc.app.lattice import Block, blocks_of
from tubecalc.app.state import Choice, StockList
from tubecalc.errors import InputError
from tubecalc.laminate.construction import Construction
from tubecalc.need import Need
from tubecalc.shortlist import shortlist
from tubecalc.sweep import sweep
from tubecalc.tube import Tube
from tubecalc.units import Q_
from tubecalc.verdict import Verdict, check, remedies

Array = NDArray[np.float64]
Index = NDArray[np.intp]
SHORTLIST = 16


@dataclass(frozen=True, eq=False)
class Sheet:
    """Judged candidates, construction by construction."""

    table: pd.DataFrame
    parts: dict[str, slice]
    memo: dict[Any, Any] = field(default_factory=dict)

    def column(self, name: str) -> Array:
        """Column as an array, kept."""
        if name not in self.memo:
            self.memo[name] = self.table[name].to_numpy()
        values: Array = self.memo[name]
        return values

    @cached_property
    def keys(self) -> list[str]:
        """Key of every candidate, stable between sweeps."""
        od, bore = self.column("od_mm").tolist(), self.column("id_mm").tolist()
        kinds = self.column("construction").tolist()
        return [f"{k}|{o:.4f}|{b:.4f}" for k, o, b in zip(kinds, od, bore, strict=True)]

    @cached_property
    def places(self) -> dict[str, int]:
        """Key -> row."""
        return {key: n for n, key in enumerate(self.keys)}


@dataclass(frozen=True, eq=False)
class Judged:
    """The selected tube with its verdict, kept while it stays selected."""

    tube: Tube
    verdict: Verdict
    remedies: tuple[str, ...] = ()
    memo: dict[Any, Any] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Result:
    """Everything the page shows, computed from one choice."""

    choice: Choice
    need: Need
    sheet: Sheet
    shown: dict[str, Index]
    short: tuple[int, ...]
    row: int | None
    judged: Judged | None
    hint: str

    @property
    def tube(self) -> Tube | None:
        """Selected tube."""
        return None if self.judged is None else self.judged.tube

    @property
    def verdict(self) -> Verdict | None:
        """Verdict on the selected tube."""
        return None if self.judged is None else self.judged.verdict

    @property
    def passing(self) -> int:
        """How many of the shown candidates pass."""
        ok = self.sheet.column("passes")
        return int(sum(ok[rows].sum() for rows in self.shown.values()))

    @property
    def count(self) -> int:
        """How many candidates are shown."""
        return sum(len(rows) for rows in self.shown.values())


@lru_cache(maxsize=64)
def need_of(draft: Draft) -> Need:
    """Let the core read a draft.

    Parameters
    ----------
    draft : Draft
        The need as typed.

    Returns
    -------
    Need
        The need as understood.

    Raises
    ------
    InputError
        For whatever the core refuses.
    """
    if not draft.cases:
        raise InputError("no case is given: add one below the sentence")
    return Need.from_toml(to_toml(draft))


@lru_cache(maxsize=256)
def _swept(need: Need, made: Construction, block: Block, specific: bool) -> pd.DataFrame:
    od = np.arange(block.od[0] + 1, block.od[1] + 1) * block.steps[0]
    wall = np.arange(block.wall[0] + 1, block.wall[1] + 1) * block.steps[1]
    return sweep(need, [made], Q_(od, "mm"), Q_(wall, "mm"), specific=specific)


@lru_cache(maxsize=12)
def _sheet(
    need: Need, kinds: tuple[Construction, ...], blocks: tuple[Block, ...], specific: bool
) -> Sheet:
    tables, parts, start = [], {}, 0
    for made in kinds:
        found = [t for b in blocks if len(t := _swept(need, made, b, specific))]
        mine = pd.concat(found, ignore_index=True) if len(found) > 1 else found[0]
        mine = mine.drop_duplicates(["od_mm", "id_mm"])
        tables.append(mine)
        parts[made.key] = slice(start, start + len(mine))
        start += len(mine)
    return Sheet(pd.concat(tables, ignore_index=True), parts)


def sheet_of(choice: Choice, need: Need) -> Sheet:
    """Judged candidates of a choice, from memory where nothing changed.

    Parameters
    ----------
    choice : Choice
        Ranges, constructions, stock list.
    need : Need
        The need.

    Returns
    -------
    Sheet
        At least the candidates in the ranges.

    Raises
    ------
    InputError
        If no construction is ticked or the core refuses the need.
    """
    if choice.stock is not None:
        return _stock_sheet(need, choice.stock, choice.units)
    if not choice.constructions:
        raise InputError("tick at least one construction")
    specific = choice.measure not in ("mass", "reserve")
    kinds = tuple(choice.made(key) for key in choice.constructions)
    return _sheet(need, kinds, tuple(blocks_of(choice)), specific)


@lru_cache(maxsize=8)
def _stock_sheet(need: Need, stock: StockList, units: str) -> Sheet:
    table = shortlist(need, stock.stock, system=units)
    table = table.sort_values("construction", kind="stable").reset_index(drop=True)
    kinds = table["construction"].to_numpy()
    parts = {}
    for key in dict.fromkeys(kinds.tolist()):
        rows = np.flatnonzero(kinds == key)
        parts[str(key)] = slice(int(rows[0]), int(rows[-1]) + 1)
    return Sheet(table, parts)


def window(choice: Choice, sheet: Sheet) -> dict[str, Index]:
    """Rows of a sheet that lie in the ranges, construction by construction.

    Parameters
    ----------
    choice : Choice
        Ranges and constructions.
    sheet : Sheet
        Judged candidates.

    Returns
    -------
    dict of str to ndarray
        Key -> rows.
    """
    od, wall = sheet.column("od_mm"), sheet.column("wall_mm")
    (a, b), (c, d) = ([v * 1e3 for v in r] for r in (choice.od, choice.wall))
    ok = (od >= a - 1e-6) & (od <= b + 1e-6) & (wall >= c - 1e-6) & (wall <= d + 1e-6)
    if not choice.beyond and choice.stock is None:
        ok &= sheet.column("in_range").astype(bool)
    out = {}
    for key in choice.constructions:
        part = sheet.parts.get(key)
        if part is not None:
            out[key] = part.start + np.flatnonzero(ok[part])
    return out


def order_by(choice: Choice) -> tuple[str, bool]:
    """Column that ranks the candidates, and whether more of it is better.

    Parameters
    ----------
    choice : Choice
        With what is compared.

    Returns
    -------
    tuple of str and bool
        Column and direction.

    Examples
    --------
    >>> order_by(Choice())
    ('mass_kg_per_m', False)
    """
    return ("mass_kg_per_m", False) if choice.measure == "mass" else (choice.measure, True)


def _ranked(choice: Choice, sheet: Sheet, rows: Index) -> Index:
    column, falls = order_by(choice)
    values = sheet.column(column)[rows]
    ranked: Index = rows[np.argsort(-values if falls else values, kind="stable")]
    return ranked


def short_rows(choice: Choice, sheet: Sheet, shown: dict[str, Index]) -> list[int]:
    """Rows of the shortlist: the best few of each construction, else its nearest.

    Parameters
    ----------
    choice : Choice
        What is compared and how the list is sorted.
    sheet : Sheet
        Judged candidates.
    shown : dict
        Rows in the ranges.

    Returns
    -------
    list of int
        Rows, in the order shown.
    """
    ok, od, reserve = (sheet.column(c) for c in ("passes", "od_mm", "reserve"))
    each = max(2, SHORTLIST // max(1, len(shown))) if choice.stock is None else SHORTLIST
    out: list[int] = []
    for rows in shown.values():
        good = _ranked(choice, sheet, rows[ok[rows].astype(bool)])
        if len(good):
            first = np.unique(od[good], return_index=True)[1] if choice.stock is None else None
            out += (good[np.sort(first)] if first is not None else good)[:each].tolist()
        elif len(rows):
            out.append(int(rows[np.argmax(np.nan_to_num(reserve[rows], nan=-1.0))]))
    column, falls = choice.sort if choice.sort[0] in sheet.table else order_by(choice)
    values = sheet.column(column)
    out.sort(key=lambda n: values[n], reverse=falls)
    out.sort(key=lambda n: not ok[n])
    return out


def _picked(choice: Choice, sheet: Sheet, shown: dict[str, Index], short: list[int]) -> int | None:
    row = sheet.places.get(choice.selected) if choice.selected else None
    if row is not None and any(row in rows for rows in shown.values()):
        return row
    ok = sheet.column("passes")
    best = _ranked(choice, sheet, np.array([n for n in short if ok[n]], np.intp))
    if len(best):
        return int(best[0])
    if not short:
        return None
    reserve = sheet.column("reserve")
    return max(short, key=lambda n: float(np.nan_to_num(reserve[n], nan=-1.0)))


def _tube(made: Construction, od: float, bore: float, wall: float, stock: bool) -> Tube:
    """Tube of one row [mm]; one of a stock list is measured, one of a sweep is made to its rule."""
    sizes = {"id": f"{bore!r} mm"} if stock else {"wall": f"{wall!r} mm"}
    return Tube(made, od=f"{od!r} mm", **sizes)


@lru_cache(maxsize=64)
def _judged(
    need: Need, made: Construction, od: float, bore: float, wall: float, stock: bool, units: str
) -> Judged:
    tube = _tube(made, od, bore, wall, stock)
    verdict = check(tube, need, system=units)
    if verdict.passes or stock:  # the sizes of a stock list cannot be changed
        return Judged(tube, verdict)
    return Judged(tube, verdict, tuple(remedies(tube, need, system=units)))


def short_table(result: Result) -> pd.DataFrame:
    """Rows of the shortlist with stiffness and strength per mass.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    pandas.DataFrame
        As from a sweep.
    """
    table = result.sheet.table.iloc[list(result.short)].reset_index(drop=True)
    if "EA_N" in table or table.empty:
        return table
    stock = result.choice.stock is not None
    rows = table[["construction", "od_mm", "id_mm", "wall_mm"]].itertuples(index=False)
    figures = [
        _tube(result.choice.made(str(kind)), float(od), float(bore), float(wall), stock).specific
        for kind, od, bore, wall in rows
    ]
    return pd.concat([table, pd.concat(figures, ignore_index=True)], axis=1)


@lru_cache(maxsize=16)
def _hint(
    need: Need,
    kinds: tuple[Construction, ...],
    od: tuple[float, ...],
    wall: tuple[float, ...],
    units: str,
) -> str:
    sizes = Q_(list(od), "mm"), Q_(list(wall), "mm")
    table = sweep(need, list(kinds), *sizes, specific=False, system=units)
    return str(table.attrs.get("hint", ""))


def _why_nothing(choice: Choice, need: Need, sheet: Sheet, shown: dict[str, Index]) -> str:
    rows = np.concatenate(list(shown.values())) if shown else np.array([], np.intp)
    if not len(rows):
        usual = "" if choice.beyond or choice.stock is not None else (
            " in the usual sizes; widen the ranges, or show unusual sizes too"
        )  # fmt: skip
        return f"No candidate lies in these ranges{usual}."
    if choice.stock is not None:
        return str(sheet.table.attrs.get("hint", "")) or "Nothing in these ranges passes."
    od = tuple(np.unique(sheet.column("od_mm")[rows]).tolist())
    wall = tuple(np.unique(sheet.column("wall_mm")[rows]).tolist())
    kinds = tuple(choice.made(k) for k, found in shown.items() if len(found))
    return _hint(need, kinds, od, wall, choice.units)


def run(choice: Choice) -> Result:
    """Compute what the page shows for a choice.

    Parameters
    ----------
    choice : Choice
        The choice; its fields can be read.

    Returns
    -------
    Result
        The result.

    Raises
    ------
    InputError
        For a need or a setting that the core refuses.
    """
    need = need_of(choice.draft)
    sheet = sheet_of(choice, need)
    shown = window(choice, sheet)
    short = short_rows(choice, sheet, shown)
    row = _picked(choice, sheet, shown, short)
    ok = sheet.column("passes")
    hint = "" if any(ok[n] for n in short) else _why_nothing(choice, need, sheet, shown)
    judged = None
    if row is not None:
        size = (float(sheet.column(c)[row]) for c in ("od_mm", "id_mm", "wall_mm"))
        made = choice.made(str(sheet.column("construction")[row]))
        judged = _judged(need, made, *size, choice.stock is not None, choice.units)
    return Result(choice, need, sheet, shown, tuple(short), row, judged, hint)
