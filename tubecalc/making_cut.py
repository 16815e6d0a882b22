"""Cut plan: which pieces from which bar of stock, so that the least stock is used."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tubecalc.errors import InputError
from tubecalc.making_notes import mm
from tubecalc.making_solver import Counts, Cutting, solve
from tubecalc.unit_words import Spoken, for_system, rough, worded
from tubecalc.units import Q_, to_si

if TYPE_CHECKING:
    import pandas as pd

NANO = 1_000_000_000
MOST_PIECES, MOST_LENGTHS, MOST_STOCKS, MOST_IN_BAR = 1_000_000, 1000, 50, 2000
_HOUR = 3600.0


@dataclass(frozen=True)
class Bar:
    """Bars that are cut alike: lengths in m, `cuts` from one end, `count` such bars."""

    stock: float
    cuts: tuple[float, ...]
    count: int
    saw: float
    trim: float
    offcut: float


@dataclass(frozen=True)
class CutPlan:
    """A cut plan.

    Parameters
    ----------
    bars : tuple of Bar
        Bars that are cut alike are one entry.
    kerf, trim : float
        Width of the saw cut, length cut off each end [m].
    bound : float
        No plan needs less: bars, length [m] or price, as `unit` says.
    cost : float
        What this plan needs in the same unit.
    unit : str
        "bars", "m" or "price".
    proven : bool
        Whether nothing better exists.
    """

    bars: tuple[Bar, ...]
    kerf: float
    trim: float
    bound: float
    cost: float
    unit: str
    proven: bool

    @property
    def count(self) -> int:
        """Bars used [-]."""
        return sum(b.count for b in self.bars)

    @property
    def waste(self) -> float:
        """Share of the stock length that is not in a piece [-]."""
        stock = math.fsum(b.count * b.stock for b in self.bars)
        return 1.0 - math.fsum(b.count * math.fsum(b.cuts) for b in self.bars) / stock

    @property
    def stock_length(self) -> Any:
        """Length of stock used."""
        return Q_(math.fsum(b.count * b.stock for b in self.bars), "m")

    @property
    def table(self) -> pd.DataFrame:
        """One row for bars that are cut alike."""
        import pandas as pd

        return pd.DataFrame(
            [
                {"bars": b.count, "stock_mm": b.stock * 1e3, "cut": said(b.cuts),
                 "pieces": len(b.cuts), "used_mm": math.fsum(b.cuts) * 1e3, "saw_mm": b.saw * 1e3,
                 "trim_mm": b.trim * 1e3, "offcut_mm": b.offcut * 1e3}
                for b in self.bars
            ]
        )  # fmt: skip

    @property
    def notes(self) -> list[str]:
        """How good the plan is and how it is meant, in sentences."""
        return _notes(self)

    def __repr__(self) -> str:
        bars = "1 bar" if self.count == 1 else f"{self.count} bars"
        return f"CutPlan({bars}, {self.waste:.1%} waste)"


def said(cuts: Sequence[float]) -> str:
    """Write the cuts of a bar, equal ones gathered.

    Parameters
    ----------
    cuts : sequence of float
        Lengths, equal ones together [m].

    Returns
    -------
    str
        In mm.

    Examples
    --------
    >>> said([0.45, 0.45, 0.2])
    '2 x 450 + 200 mm'
    """
    out: list[list[Any]] = []
    for x in cuts:
        if out and out[-1][0] == x:
            out[-1][1] += 1
        else:
            out.append([x, 1])
    return " + ".join((f"{n} x " if n > 1 else "") + f"{x * 1e3:.7g}" for x, n in out) + " mm"


def _notes(plan: CutPlan) -> list[str]:
    n = plan.count
    bars = f"{n} bar" + ("" if n == 1 else "s")
    length = f"{plan.stock_length.magnitude:.6g} m of stock"
    aim = {"bars": "bars", "m": "length of stock", "price": "price"}[plan.unit]
    used = {"bars": bars, "m": f"{bars}, {length}", "price": f"{bars} for {plan.cost:,.2f}"}
    if plan.proven:
        first = f"{used[plan.unit]}: no plan needs a smaller {aim}."
        first = first.replace("a smaller bars", "fewer")
    else:
        least = {"bars": f"{plan.bound:g} bars", "m": f"{plan.bound:.6g} m",
                 "price": f"{plan.bound:,.2f}"}[plan.unit]  # fmt: skip
        first = f"{used[plan.unit]}; at least {least} are needed, so a better plan may exist."
    out = [first, f"{plan.waste:.1%} of the stock is saw cuts, trim and offcuts."]
    out.append(
        Spoken(lambda s: (
            f"Each cut takes {mm(plan.kerf, s, 'g')}; a piece that ends where the bar ends needs "
            "none."
        ))
        if plan.kerf > 0
        else Spoken(lambda s: (
            "The saw cut is taken as nothing: a thin blade still takes "
            f"{'0.04 to 0.12 in' if s == 'inch' else '1 to 3 mm'}."
        ))
    )  # fmt: skip
    if plan.trim > 0:
        out.append(Spoken(lambda s: (
            f"{mm(plan.trim, s, 'g')} come off each end, their saw cut included."
        )))  # fmt: skip
    out.append(
        "Cutting fibre tube makes fine dust and splinters: diamond or abrasive wheel, tape round "
        "the cut, extraction and a mask; the rules of your workshop come first."
    )
    return out


def _nano(value: Any, what: str, where: str, *, zero: bool = False) -> int:
    length = to_si(value, "length", what=what, where=where, positive=not zero)
    if length < 0:
        raise InputError("is negative; it must be zero or more", where=f"{where}:{what}",
                         got=str(value))  # fmt: skip
    return round(length * NANO)


def _count(value: Any, where: str) -> int:
    if isinstance(value, bool) or not hasattr(value, "__index__") or value < 0:
        raise InputError("the count is not a whole number", where=where, got=repr(value),
                         expected="1 or more")  # fmt: skip
    return int(value)


def _items(given: Any, what: str) -> list[tuple[Any, ...]]:
    """Rows (length, count, ...) of what was given as a text, a mapping or a list."""
    if isinstance(given, str) or hasattr(given, "magnitude"):
        return [(given,)]
    if isinstance(given, Mapping):
        return [(k, v) for k, v in given.items()]
    if not isinstance(given, Sequence):
        raise InputError("is not a list of lengths", where=f"cut_plan:{what}",
                         got=type(given).__name__,
                         expected=for_system('such as [("450 mm", 12), ("200 mm", 5)]',
                                             'such as [("18 in", 12), ("8 in", 5)]'))  # fmt: skip
    return [tuple(x) if isinstance(x, list | tuple) else (x,) for x in given]


def _wanted(given: Any) -> dict[int, int]:
    out: dict[int, int] = defaultdict(int)
    for row, item in enumerate(_items(given, "wanted"), 1):
        where = f"cut_plan:wanted {row}"
        if not 1 <= len(item) <= 2:
            raise InputError("a wanted piece is (length, count)", where=where, got=repr(item))
        out[_nano(item[0], "length", where)] += _count(item[1], where) if len(item) > 1 else 1
    out = {k: v for k, v in out.items() if v}
    if not out:
        raise InputError("no piece is wanted", where="cut_plan:wanted", got="an empty list",
                         expected=for_system('such as [("450 mm", 12)]',
                                             'such as [("18 in", 12)]'))  # fmt: skip
    if sum(out.values()) > MOST_PIECES or len(out) > MOST_LENGTHS:
        raise InputError(
            f"more than {MOST_PIECES:,} pieces or {MOST_LENGTHS:,} different lengths",
            where="cut_plan:wanted",
            got=f"{sum(out.values()):,} pieces of {len(out):,} lengths",
        )  # fmt: skip
    return dict(sorted(out.items(), reverse=True))


def _stock(given: Any) -> list[tuple[int, int | None, float]]:
    out = []
    for row, item in enumerate(_items(given, "stock"), 1):
        where = f"cut_plan:stock {row}"
        if not 1 <= len(item) <= 3:
            raise InputError("a stock length is (length, count, price)", where=where,
                             got=repr(item))  # fmt: skip
        n = None if len(item) < 2 or item[1] is None else _count(item[1], where)
        price = math.nan
        if len(item) > 2 and item[2] is not None:
            price = to_si(item[2], "number", what="price", where=where, positive=True)
        if n != 0:
            out.append((_nano(item[0], "length", where), n, price))
    if not out:
        raise InputError("there is no stock to cut from", where="cut_plan:stock",
                         expected='a length such as "3 m"')  # fmt: skip
    if len(out) > MOST_STOCKS:
        raise InputError(f"more than {MOST_STOCKS} stock lengths", where="cut_plan:stock",
                         got=str(len(out)))  # fmt: skip
    if len({math.isnan(p) for *_, p in out}) > 1:
        raise InputError("some stock lengths have a price and some have none",
                         where="cut_plan:stock", expected="a price for all or none")  # fmt: skip
    return out


def _costs(stock: list[tuple[int, int | None, float]]) -> tuple[tuple[float, ...], str]:
    """What each bar counts, and in which unit: price, else length, else one a bar."""
    if not math.isnan(stock[0][2]):
        return tuple(p for *_, p in stock), "price"
    if len({length for length, *_ in stock}) == 1:
        return tuple(1.0 for _ in stock), "bars"
    unit = math.gcd(*(length for length, *_ in stock))
    return tuple(float(length // unit) for length, *_ in stock), "m"


def _bar(stock: int, cuts: list[int], count: int, kerf: int, trim: int) -> Bar:
    room = stock - 2 * trim
    rest = room - sum(cuts) - kerf * (len(cuts) - 1)
    last = min(kerf, rest)
    saw = kerf * (len(cuts) - 1) + last
    return Bar(stock / NANO, tuple(x / NANO for x in cuts), count, saw / NANO, 2 * trim / NANO,
               (rest - last) / NANO)  # fmt: skip


def _refuse_short(short: Counts, lengths: list[int], proven: bool) -> None:
    if not any(short):
        return
    lack = [(n, x / NANO) for x, n in zip(lengths, short, strict=True) if n]
    raise InputError(
        "the stock is not enough for all pieces" if proven
        else "no plan was found that gets all pieces out of this stock",
        where="cut_plan:stock", got=Spoken(lambda s: "left over " + ", ".join(
            f"{n} of {rough(x, 'length', s, 7)}" for n, x in lack)), expected="more bars",
    )  # fmt: skip


def cut_plan(
    wanted: Any, stock: Any, *, kerf: Any = "2 mm", trim: Any = "0 mm", seconds: float = 10.0
) -> CutPlan:
    """Cut wanted lengths from bars of stock with the least stock.

    Parameters
    ----------
    wanted : list of (length, count), or mapping
        For example [("450 mm", 12), ("200 mm", 5)].
    stock : str, Quantity, or list of (length, count, price)
        One or several stock lengths; count and price may be left out or None.
    kerf : str or Quantity
        Width of the saw cut; "0 mm" is allowed.
    trim : str or Quantity
        Cut off each end of a bar first, its saw cut included.
    seconds : float
        Time after which the best plan so far is given [s].

    Returns
    -------
    CutPlan
        .table, .bars, .count, .waste, .notes, .proven, .bound.

    Raises
    ------
    InputError
        For an empty list, a piece longer than every bar, a negative kerf or trim, too little
        stock, or a length that cannot be read.

    Notes
    -----
    Least bars with one stock length; least price where prices are given; else least length of
    stock. Where all cutting patterns can be written down, the plan is proven; otherwise patterns
    are generated and the bound of the linear program is shown beside the plan. Sources: see
    `tubecalc.making_solver`. Grade A.

    Examples
    --------
    >>> plan = cut_plan([("700 mm", 4), ("280 mm", 6)], "2 m", kerf="3 mm")
    >>> plan.count, plan.proven, plan.table["cut"].tolist()
    (3, True, ['2 x 700 + 2 x 280 mm', '2 x 280 mm'])
    """
    if not isinstance(seconds, int | float) or not 0 < seconds <= _HOUR:
        raise InputError("is out of range", where="cut_plan:seconds", got=repr(seconds),
                         expected="up to 3600")  # fmt: skip
    pieces, bars = _wanted(wanted), _stock(stock)
    saw = _nano(kerf, "kerf", "cut_plan", zero=True)
    ends = _nano(trim, "trim", "cut_plan", zero=True)
    longest, room = next(iter(pieces)), max(length for length, *_ in bars) - 2 * ends
    if longest > room:
        raise InputError(
            "a piece is longer than every bar" + (" without its ends" if ends else ""),
            where="cut_plan:wanted", got=worded("{}", "length", longest / NANO, digits=7),
            expected=worded("at most {}", "length", max(room, 0) / NANO, digits=7),
        )  # fmt: skip
    bars = [b for b in bars if b[0] - 2 * ends >= min(pieces)]
    if room > MOST_IN_BAR * (min(pieces) + saw):
        raise InputError(
            f"more than {MOST_IN_BAR:,} of a piece would come from one bar",
            where="cut_plan:wanted", got=worded("{}", "length", min(pieces) / NANO),
            expected="longer pieces or shorter bars",
        )  # fmt: skip
    costs, unit = _costs(bars)
    lengths = list(pieces)
    found = solve(
        Cutting(tuple(x + saw for x in lengths), tuple(pieces.values()),
                tuple(length - 2 * ends + saw for length, *_ in bars), costs,
                tuple(n for _, n, _ in bars)),
        seconds,
    )  # fmt: skip
    _refuse_short(found.short, lengths, found.proven)
    rows = [
        _bar(bars[s][0], [x for x, c in zip(lengths, counts, strict=True) for _ in range(c)], n,
             saw, ends)
        for (s, counts), n in found.bars.items()
    ]  # fmt: skip
    rows.sort(key=lambda b: (-b.stock, b.offcut, [-x for x in b.cuts]))
    metre = math.gcd(*(length for length, *_ in bars)) / NANO if unit == "m" else 1.0
    return CutPlan(tuple(rows), saw / NANO, ends / NANO, found.bound * metre, found.cost * metre,
                   unit, found.proven)  # fmt: skip


__all__ = ["Bar", "CutPlan", "cut_plan", "said"]
