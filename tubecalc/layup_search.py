"""The lightest own stack: whole plies and mandrels for a need, ranked by mass, then cost."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.errors import InputError, unknown_key
from tubecalc.laminate.elastic import Array
from tubecalc.layup_search_check import Tried, merged
from tubecalc.layup_search_run import Search
from tubecalc.layup_search_space import Rules, Space, make_space, read_rules
from tubecalc.layup_search_tally import Progress
from tubecalc.layup_search_wall import as_wall, stack_text
from tubecalc.layup_search_words import added, front, hint, nearest, why
from tubecalc.need import Need, refuse_no_case
from tubecalc.sweep import to_table
from tubecalc.unit_words import for_system
from tubecalc.units import to_si_array

if TYPE_CHECKING:
    import pandas as pd

MOST_ROWS = 1_000


def _sizes(need: Need, mandrels: Any, od: Any) -> tuple[Array, bool]:
    """Bores or outside diameters to try, and whether they are bores."""
    limits = need.limits
    if mandrels is not None and od is not None:
        raise InputError("give mandrels or od, not both", where="mandrels")
    if mandrels is not None:
        return to_si_array(mandrels, "length", what="mandrels", positive=True), True
    if od is not None:
        return to_si_array(od, "length", what="od", positive=True), False
    if limits.id_min > 0:
        return np.array([limits.id_min]), True
    if not math.isnan(limits.od_max):
        return np.array([limits.od_max]), False
    raise InputError(
        "no size is given", where="mandrels",
        expected=for_system(
            'bores such as ["18 mm", "20 mm"], or a limit od_max or id_min in the need',
            'bores such as ["0.7 in", "0.8 in"], or a limit od_max or id_min in the need',
        ),
    )  # fmt: skip


def _number(value: Any, where: str, most: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= most:
        raise InputError("is no number of them", where=where, got=str(value)[:40],
                         expected=f"a whole number from 1 to {most}")  # fmt: skip
    return value


def search_layup(
    need: Need,
    *,
    plies: Any,
    angles: Any = (0, 45, 90),
    most_plies: int = 8,
    mandrels: Any = None,
    od: Any = None,
    rules: Rules | Mapping[str, Any] | None = None,
    cost: Mapping[str, float] | None = None,
    best: int = 50,
    orders: str = "best",
    most_checks: int = 1_000,
    progress: Callable[[Progress], object] | None = None,
    stop: Callable[[], bool] | None = None,
    system: str = "SI",
) -> pd.DataFrame:
    r"""Stacks of whole plies that meet a need, lightest first, then cheapest.

    Parameters
    ----------
    need : Need
        Cases, limits, service and factors.
    plies : sequence
        Keys of plies or Ply objects; (ply, [angles]) gives one its own angles.
    angles : sequence of float
        Fibre angles from the tube axis [deg]; one between 0 and 90 stands for plies at + and -.
    most_plies : int
        Most plies in a wall, up to 60.
    mandrels : sequence of str or Quantity, optional
        Bores to try; the outside follows from the plies.
    od : sequence of str or Quantity, optional
        Outside diameters to try instead; the bore follows. Without either the need's id_min or
        od_max is taken.
    rules : Rules or mapping, optional
        Balanced, hoop plies inside and outside, most equal plies together, cloth outside,
        symmetric, fewest plies; see `Rules`. Balanced when not given.
    cost : mapping, optional
        Cost per kg of each ply key, in any currency.
    best : int
        Rows wanted.
    orders : str
        "best": one row for each set of plies and size, in its lightest order that passes, of
        equal ones in that with the most reserve found; "all": every order is a row.
    most_checks : int
        Most stacks that meet every check; the search ends there, or when ten times as many
        have failed in a cheap check, and says what it could not prove.
    progress : callable, optional
        Called with a `Progress` now and then.
    stop : callable, optional
        Asked now and then; once it answers True the search ends and keeps what it found.
    system : str
        Display system of the sentences: "SI", "workshop" or "inch".

    Returns
    -------
    pandas.DataFrame
        Columns of `sweep`, and stack (standard notation, inside to outside), materials, cost (per
        metre). Only what passes, or the nearest where nothing does. ``attrs``: "stacks" (how many
        there are), "tubes" (times sizes), "screened", "checked", "proven" (whether nothing
        lighter exists), "rows_proven", "why" (one sentence), "partial", "order", "front" (mass
        against reserve), "added" (what each ply more buys the first row), "nearest" and "hint".

    Raises
    ------
    InputError
        For an unknown ply, an empty list, an angle outside -90 to 90, too many plies, rules that
        no stack obeys, or sizes that do not fit the need.

    Notes
    -----
    Reserves come from the same checks as those of `tubecalc.check`. What is left out on the way
    is refuted by bounds that are never too hard, see `tubecalc.layup_search_bound`.

    Examples
    --------
    >>> need = Need.from_toml('[[case]]\nkind = "strut"\nload = "20 kN"\nspan = "0.5 m"')
    >>> table = search_layup(need, plies=["carbon-sm-ud"], angles=[0, 90], most_plies=3,
    ...                      mandrels=["20 mm"])
    >>> table["stack"].iloc[0], table.attrs["stacks"], table.attrs["proven"]
    ('[0]', 14, True)
    """
    refuse_no_case(need)
    _number(best, "best", MOST_ROWS)
    _number(most_checks, "most_checks", 10_000_000)
    if orders not in ("best", "all"):
        raise unknown_key("orders", orders, ["best", "all"], "orders")
    rules = read_rules(rules)
    if need.service.finish == "woven":
        rules = replace(rules, outer_woven=True)
    sizes, bores = _sizes(need, mandrels, od)
    space = make_space(plies, angles, most_plies, rules, cost, sizes, bores=bores)

    def searched(space: Space) -> Search:
        return Search(
            space, need, best, every_order=orders == "all", most_checks=most_checks,
            progress=progress, stop=stop, system=system,
        )  # fmt: skip

    search = searched(space)
    search.run()
    fewer = search.plies_that_matter()
    if fewer:
        search = searched(replace(space, most_plies=fewer))
        search.run(beyond=search.lightest_ply() * (fewer + 1))
    return _table(search, best)


def _table(search: Search, best: int) -> pd.DataFrame:
    """Rows and what is to be said about them."""
    tally, passing = search.tally, search.rows()[:best]
    rows = passing or nearest(search)[:best]
    table = _with_stacks(search, rows)
    near, said = ("", "") if passing else hint(search, rows)
    steps = added(search, passing[0]) if passing and not tally.stopped else []
    counted = not math.isnan(tally.stacks)
    table.attrs = {
        "stacks": int(tally.stacks) if counted else None,
        "tubes": int(tally.tubes) if counted else None,
        "screened": int(np.nan_to_num(tally.settled)),
        "checked": tally.checked,
        "proven": bool(search.proven > 0 if passing else search.exhausted),
        "rows_proven": min(int(search.proven), len(passing)),
        "why": why(search),
        "partial": tally.stopped or tally.spent,
        "order": order_words(search),
        "front": front(search, steps),
        "added": steps,
        "nearest": near,
        "hint": said,
    }
    return table


def order_words(search: Search) -> str:
    """Which orders of a set of plies the rows show."""
    if search.every_order:
        return "Every order of the plies is a row of its own."
    return (
        "Each row is one set of plies on one size in its lightest order that passes, of orders as "
        "light the one that carries most of those checked."
    )


def _with_stacks(search: Search, rows: list[Tried]) -> pd.DataFrame:
    """Table of a sweep with stacks and costs, in the order of the ranking."""
    import pandas as pd

    place = pd.DataFrame({"id": range(len(rows))})
    table = to_table(merged(search.space, rows), search.need, extra=place).sort_values("id")
    names = [stack_text([search.space.letters[k] for k in row.word]) for row in rows]
    table["stack"], table["materials"] = [n[0] for n in names], [n[1] for n in names]
    table["cost"] = [row.cost for row in rows]
    first = ["stack", "materials", "construction", "od_mm", "id_mm", "wall_mm", "plies",
             "mass_kg_per_m", "cost", "reserve", "governing", "passes"]  # fmt: skip
    others = [c for c in table.columns if c not in (*first, "id")]
    return table[first + others].reset_index(drop=True)


__all__ = ["Progress", "Rules", "as_wall", "search_layup"]
