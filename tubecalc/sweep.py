"""Candidates to reserves to ranking: one code path for one tube or a million."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.checks import CHECKS, Candidates, Room, evaluate
from tubecalc.checks.base import FAIL, NEAR, NO_GRADE, deciding
from tubecalc.checks.service import length_of
from tubecalc.checks.specific import specific_columns
from tubecalc.errors import InputError
from tubecalc.laminate.construction import Construction, composites, get_construction, metals
from tubecalc.laminate.elastic import Array, Bools, Ints
from tubecalc.need import Need, refuse_no_case
from tubecalc.section import Sections
from tubecalc.units import to_si, to_si_array
from tubecalc.wall import WallTable

if TYPE_CHECKING:
    import pandas as pd

LONG_RUN = 512  # candidates of one wall that are worth a portion of their own
MOST_SIZES = 100_000  # of one range
CHUNK = 4_096  # candidates at a time: keeps the working set near the size of the cache


@dataclass(frozen=True)
class Grid:
    """N candidates: walls, which wall and construction each has, outside diameters [m]."""

    walls: WallTable
    index: Ints
    od: Array
    constructions: tuple[Construction, ...]
    which: Ints

    def __len__(self) -> int:
        return len(self.od)

    def part(self, where: slice | Ints | Bools, system: str = "SI") -> Candidates:
        """Some of the candidates, ready for the checks."""
        sections = Sections(self.walls, self.index[where], self.od[where])
        return Candidates(sections, self.constructions, self.which[where], system)

    def same_wall(self, where: slice) -> Candidates:
        """Candidates that all have one wall: what belongs to the wall is held once."""
        one = slice(where.start, where.start + 1)
        sections = Sections(self.walls, self.index[one], self.od[where])
        return Candidates(sections, self.constructions, self.which[one])

    def portions(self, size: int) -> Iterator[tuple[slice, Candidates]]:
        """All candidates in portions of at most `size`, long runs of one wall by themselves."""
        ends = np.flatnonzero(np.diff(self.index)) + 1
        starts = np.concatenate([[0], ends]).tolist()
        stops = np.concatenate([ends, [len(self)]]).tolist()
        waiting = 0  # start of short runs not yet given out
        for start, stop in zip(starts, stops, strict=True):
            if stop - start >= LONG_RUN:
                for p in chunks(waiting, start, size):
                    yield p, self.part(p)
                for p in chunks(start, stop, size):
                    yield p, self.same_wall(p)
                waiting = stop
        for p in chunks(waiting, len(self), size):
            yield p, self.part(p)


@dataclass(frozen=True)
class Reserves:
    """What a sweep found: worst reserve of each check, the governing one, what passes."""

    grid: Grid
    by_check: dict[str, Array]
    reserve: Array
    governing: Ints  # index into `names`; -1 where nothing is driven
    names: tuple[str, ...]
    passes: Bools
    per_mass: dict[str, Array]  # columns of `specific_columns`; empty when not asked for
    outside: dict[str, Bools]  # check -> which candidates lie outside its range; absent if none

    @property
    def grade(self) -> Any:
        """Grade of the governing check of each candidate: "A" to "C", "none", or "" (N,)."""
        out = np.full(len(self.grid), "", dtype=object)
        metal = np.array([c.metal for c in self.grid.constructions])[self.grid.which]
        for number, name in enumerate(self.names):
            here = self.governing == number
            for of_metal, grade in zip((False, True), CHECKS[name].grades, strict=True):
                out[here & (metal == of_metal)] = grade
            if name in self.outside:
                out[here & self.outside[name]] = NO_GRADE
        return out

    @property
    def unproven(self) -> Bools:
        """Which candidates lie outside the range of a deciding check that may decide, (N,)."""
        out = np.zeros(len(self.grid), bool)
        for name in self.names:
            if name in self.outside:
                out |= self.outside[name] & ~(self.by_check[name] >= NEAR)
        return out


@lru_cache(maxsize=32)
def _walls(parts: tuple[tuple[Construction, tuple[float, ...]], ...]) -> WallTable:
    """Wall table of constructions and their real wall thicknesses, kept between sweeps."""
    return WallTable([c.layup(w) for c, walls in parts for w in walls])


def grid(constructions: Sequence[Construction], od: Array, wall: Array) -> Grid:
    """Every construction at every outside diameter and every wall it can be made with.

    Parameters
    ----------
    constructions : sequence of Construction
        Constructions and metals.
    od, wall : numpy.ndarray
        Outside diameters and wall thicknesses asked for [m].

    Returns
    -------
    Grid
        Walls are whole plies; equal ones are kept once; a wall above half the OD is left out.
    """
    parts = tuple(
        (c, tuple(dict.fromkeys(round(c.wall_of(w), 12) for w in wall.tolist())))
        for c in constructions
    )
    table = _walls(parts)
    count = [len(walls) for _, walls in parts]
    which_wall = np.repeat(np.arange(len(parts)), count)
    index = np.repeat(np.arange(len(table.t)), len(od))
    ods = np.tile(od, len(table.t))
    real = table.t[index] <= ods / 2 * (1 + 1e-9)
    index, ods = index[real], ods[real]
    return Grid(table, index, ods, tuple(constructions), which_wall[index])


def chunks(start: int, stop: int, size: int = CHUNK) -> Iterator[slice]:
    """Slices of at most `size` that cover start to stop."""
    for at in range(start, stop, size):
        yield slice(at, min(at + size, stop))


def reserves(
    candidates: Grid, need: Need, *, size: int = CHUNK, specific: bool = False,
    rooms: Sequence[Room] | None = None,
) -> Reserves:  # fmt: skip
    """Worst reserve of every check for every candidate.

    Parameters
    ----------
    candidates : Grid
        N candidates.
    need : Need
        The need.
    size : int
        Candidates at a time; memory is bounded by it.
    specific : bool
        Keep stiffness and strength per mass too, from the same capacities.
    rooms : sequence of callable, optional
        Ways to fail to look at; all when not given.

    Returns
    -------
    Reserves
    """
    n = len(candidates)
    found: dict[str, Array] = {}
    per_mass: dict[str, Array] = {}
    outside: dict[str, Bools] = {}
    for part, tubes in candidates.portions(size):
        for outcome in evaluate(tubes, need, rooms):
            column = found.get(outcome.check)
            if column is None:
                column = found[outcome.check] = np.full(n, np.inf)
            np.minimum(column[part], outcome.reserve, out=column[part])
            beyond = outcome.outside
            if beyond.any():
                outside.setdefault(outcome.check, np.zeros(n, bool))[part] |= beyond
        for name, values in specific_columns(tubes).items() if specific else ():
            if name not in per_mass:
                per_mass[name] = np.empty(n)
            per_mass[name][part] = values
    return _ranked(candidates, found, per_mass, outside)


def _ranked(
    candidates: Grid,
    found: dict[str, Array],
    per_mass: dict[str, Array],
    outside: dict[str, Bools],
) -> Reserves:
    """Worst of the deciding checks and which it is; unknown reserves are passed over."""
    ordered = {k: found[k] for k in CHECKS if k in found}
    names = tuple(k for k in ordered if not CHECKS[k].advisory)
    n = len(candidates)
    if not names:
        return Reserves(
            candidates, ordered, np.full(n, np.inf), np.full(n, -1), names, np.ones(n, bool),
            per_mass, outside,
        )  # fmt: skip
    worst = np.full(n, np.inf)
    governing = np.full(n, -1, dtype=np.intp)
    for number, name in enumerate(names):
        counted = deciding(name, ordered[name])
        lower = counted < worst  # NaN compares false: not known is passed over
        worst = np.where(lower, counted, worst)
        governing = np.where(lower, number, governing)
    passes = worst >= FAIL
    return Reserves(candidates, ordered, worst, governing, names, passes, per_mass, outside)


def in_usual_range(candidates: Grid) -> Bools:
    """Whether OD and wall lie in the construction's usual size range."""
    low, high = -math.inf, math.inf
    ok = np.ones(len(candidates), bool)
    t = candidates.walls.t[candidates.index]
    for values, least, most in ((candidates.od, "od_min", "od_max"), (t, "wall_min", "wall_max")):
        for name, default, below in ((least, low, True), (most, high, False)):
            sizes = [c.size(name) for c in candidates.constructions]
            limits = np.nan_to_num(np.array(sizes), nan=default)[candidates.which]  # fmt: skip
            margin = 1e-9
            ok &= values >= limits - margin if below else values <= limits + margin
    return ok


def to_table(found: Reserves, need: Need, *, extra: pd.DataFrame | None = None) -> pd.DataFrame:
    """Ranking as a table: what passes first, lightest first; then what nearly passes.

    Parameters
    ----------
    found : Reserves
        Result of `reserves`.
    need : Need
        The need.
    extra : pandas.DataFrame, optional
        Columns of a stock list to carry along, in the order of the candidates.

    Returns
    -------
    pandas.DataFrame
        Unit-suffixed columns, one row a candidate.
    """
    import pandas as pd

    g = found.grid
    t = g.walls.t[g.index]
    every = g.part(slice(None))
    mass = every.sections.mass_per_length
    key = np.array([c.key for c in g.constructions], dtype=object)[g.which]
    name = np.array([c.name for c in g.constructions], dtype=object)[g.which]
    plies = np.array([0 if c.continuous else 1 for c in g.constructions])[g.which]
    count = np.array([len(w.plies) for w in g.walls.layups])[g.index]
    columns: dict[str, Any] = {
        "construction": key, "name": name, "od_mm": np.round(g.od * 1e3, 6),
        "id_mm": np.round(every.sections.ri * 2e3, 6), "wall_mm": np.round(t * 1e3, 6),
        "plies": plies * count, "mass_kg_per_m": mass, "mass_kg": mass * length_of(need),
    }  # fmt: skip
    columns |= {f"reserve_{k}": v for k, v in found.by_check.items()}
    columns["reserve"] = found.reserve
    columns["governing"] = np.array([*found.names, ""], dtype=object)[found.governing]
    columns["grade"] = found.grade
    columns["passes"] = found.passes
    columns["unproven"] = found.unproven
    columns["in_range"] = in_usual_range(g)
    columns |= found.per_mass
    if extra is not None:
        for column in ("id", "length_mm", "quantity", "price", "currency", "note"):
            if column in extra:
                columns[column] = extra[column].to_numpy()
    table = pd.DataFrame(columns)
    near = np.where(table["passes"], 0.0, -np.nan_to_num(found.reserve, posinf=1e9))
    order = np.lexsort((table["mass_kg_per_m"], near, ~table["passes"]))
    return table.iloc[order].reset_index(drop=True)


def _range(values: Any, what: str) -> Array:
    """(lo, hi, step) of texts, or a list or quantity of lengths, to an array [m]."""
    if isinstance(values, tuple) and len(values) == 3 and not hasattr(values, "magnitude"):
        names = ("lowest", "highest", "step")
        low, high, step = (
            to_si(v, "length", what=f"{what} {n}", positive=True)
            for v, n in zip(values, names, strict=True)
        )
        if high < low:
            raise InputError(
                "range runs backwards", where=what, got=f"{values[0]} to {values[1]}",
                expected="(lowest, highest, step)",
            )  # fmt: skip
        if (high - low) / step > MOST_SIZES:
            raise InputError(
                "the step makes too many sizes", where=what, got=str(values[2]),
                expected=f"at most {MOST_SIZES} sizes",
            )  # fmt: skip
        return np.asarray(low + step * np.arange(int((high - low) / step + 1e-6) + 1))
    return to_si_array(values, "length", what=what, positive=True)


def default_sizes(need: Need) -> tuple[Array, Array]:
    """Outside diameters and walls to try when none are given [m]: some forty, in round steps."""
    top = 0.06 if math.isnan(need.limits.od_max) else need.limits.od_max
    low = min(0.002, top) if math.isnan(need.limits.id_min) else need.limits.id_min
    step = max(top - low, 1e-6) / 40
    power = 10.0 ** math.floor(math.log10(step))
    step = power * next(x for x in (1.0, 2.0, 2.5, 5.0, 10.0) if x * power >= step * (1 - 1e-9))
    first, last = math.ceil(low / step - 1e-6), math.floor(top / step + 1e-6)
    ods = np.unique(np.append(np.arange(first, last + 1) * step, top).round(9))
    return ods, np.arange(0.0003, 0.0051, 0.0002)


def sweep(
    need: Need,
    constructions: Sequence[Any] | None = None,
    od: Any = None,
    wall: Any = None,
    *,
    specific: bool = True,
    system: str = "SI",
) -> pd.DataFrame:
    r"""Every construction over a range of diameters and walls against a need.

    Parameters
    ----------
    need : Need
        Cases, limits, service and factors.
    constructions : sequence, optional
        Keys, Construction, Metal, Ply or Layup objects; all of the data files when not given.
    od, wall : tuple or array, optional
        ("10 mm", "40 mm", "2 mm") as lowest, highest, step; or lengths with unit.
    specific : bool
        Add columns per mass.
    system : str
        Display system of the hint: "SI", "workshop" or "inch".

    Returns
    -------
    pandas.DataFrame
        Ranked: what passes, lightest first, then what fails, nearest first. When nothing passes,
        ``attrs["hint"]`` says what is nearest and what to relax.

    Raises
    ------
    InputError
        For an unknown construction, an empty list, or a range that cannot be read.

    Examples
    --------
    >>> need = Need.from_toml('[[case]]\nkind = "strut"\nload = "-800 N"\nspan = "0.9 m"')
    >>> table = sweep(need, ["pultruded", "6063-T6"], od=("8 mm", "20 mm", "2 mm"),
    ...               wall=("1 mm", "2 mm", "0.5 mm"))
    >>> bool(table["passes"].iloc[0]), "reserve_column" in table
    (True, True)
    """
    from tubecalc.explain import nothing_passes

    if isinstance(constructions, str):
        constructions = [constructions]
    keys = [*composites(), *metals()] if constructions is None else list(constructions)
    if not keys:
        raise InputError("no construction is given", where="constructions", expected="at least one")
    refuse_no_case(need)
    default_od, default_wall = default_sizes(need)
    chosen = [get_construction(k, "constructions") for k in keys]
    found = reserves(
        grid(
            chosen,
            default_od if od is None else _range(od, "od"),
            default_wall if wall is None else _range(wall, "wall"),
        ),
        need,
        specific=specific,
    )
    table = to_table(found, need)
    table.attrs["nearest"], table.attrs["hint"] = nothing_passes(found, need, system)
    return table


def frontier(table: pd.DataFrame) -> pd.DataFrame:
    """Rows that no other row beats in both mass and reserve.

    Parameters
    ----------
    table : pandas.DataFrame
        Result of `sweep` or `shortlist`.

    Returns
    -------
    pandas.DataFrame
        Lightest first; each further row is heavier and has more in reserve.

    Examples
    --------
    >>> import pandas as pd
    >>> t = pd.DataFrame({"mass_kg_per_m": [1.0, 2.0, 3.0], "reserve": [1.0, 0.9, 2.0]})
    >>> frontier(t)["mass_kg_per_m"].tolist()
    [1.0, 3.0]
    """
    ordered = table.sort_values(["mass_kg_per_m", "reserve"], ascending=[True, False])
    best = ordered["reserve"].cummax().shift(fill_value=-math.inf)
    return ordered[ordered["reserve"] > best].reset_index(drop=True)
