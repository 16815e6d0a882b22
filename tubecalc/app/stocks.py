"""Stock lists as the pages take them: the demo list and one's own, with the same limits."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from tubecalc import datafiles
from tubecalc.app.state import Choice, StockList
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.stock import read_stock
from tubecalc.unit_words import Spoken, for_system, say

DEMO = "demo"
_DEMO_STOCK = "stock/estuary_stock.csv"
SIZE_LIMIT = 50 * 2**20


@cache
def demo_stock() -> StockList:
    """Stock list that comes with tubecalc.

    Returns
    -------
    StockList

    Examples
    --------
    >>> demo_stock().name
    'demo'
    """
    content = (datafiles.data_dir() / _DEMO_STOCK).read_bytes()
    return open_stock(DEMO, content, "demo.csv")


def open_stock(name: str, content: bytes, file: str = "") -> StockList:
    r"""Read a stock list that was opened on a page.

    Parameters
    ----------
    name : str
        What the page calls it.
    content : bytes
        CSV or XLSX.
    file : str
        File name; the name itself when not given.

    Returns
    -------
    StockList

    Raises
    ------
    InputError
        For more than 50 MB, or as `read_stock` does.

    Examples
    --------
    >>> len(open_stock("a.csv", b"id,construction,od_mm,id_mm\nA,6063-T6,38,34\n").stock.table)
    1
    """
    if len(content) > SIZE_LIMIT:
        raise InputError("is too large", where=name, expected="at most 50 MB")
    stock = read_stock(content, name=file or name)
    return StockList(name, stock, tuple(str(p) for p in stock.problems))


def read_words(found: StockList) -> str:
    """What was read of a stock list, in words.

    Parameters
    ----------
    found : StockList
        The list.

    Returns
    -------
    str
        Plain text.

    Examples
    --------
    >>> "tubes read, 0 rows refused." in read_words(demo_stock())
    True
    """
    refused = sum(1 for p in found.stock.problems if p.refused)
    said = f"{len(found.stock.table)} tubes read, {refused} rows refused."
    return " ".join([said, *found.doubts[:2]])


def stocked(choice: Choice, found: StockList) -> Choice:
    """Choice that looks at a stock list: its constructions, ranges that hold all its tubes.

    Parameters
    ----------
    choice : Choice
        The choice.
    found : StockList
        The list.

    Returns
    -------
    Choice

    Examples
    --------
    >>> stocked(Choice(), demo_stock()).stock.name
    'demo'
    """
    table = found.stock.table
    keys = tuple(dict.fromkeys(k for k in table["construction"] if k))
    wide = {}
    for part, column in (("od", "od_mm"), ("wall", "wall_mm")):
        low, high = getattr(choice, part)
        sizes = table[column]
        wide[part] = (min(low, float(sizes.min()) * 1e-3), max(high, float(sizes.max()) * 1e-3))
    return replace(
        choice, stock=found, constructions=keys, selected="", od=wide["od"], wall=wide["wall"]
    )


@dataclass(frozen=True)
class Entry:
    """A tube of a stock list: its line in a menu, the tube, the currency of its price."""

    words: str
    candidate: Candidate
    currency: str = ""


def entries(found: StockList) -> tuple[Entry, ...]:
    """Tubes of a stock list.

    Parameters
    ----------
    found : StockList
        The list.

    Returns
    -------
    tuple of Entry
        In the order of the list, with prices per metre where price and length are known.

    Examples
    --------
    >>> entries(demo_stock())[0].candidate.price
    2.1
    """
    return tuple(entry_of(row) for row in found.stock.table.to_dict("records"))


def entry_of(row: Mapping[Any, Any]) -> Entry:
    """Tube of one row of a stock list, or of a table made from one.

    Parameters
    ----------
    row : mapping
        Columns construction, od_mm, id_mm; id, price, length_mm and currency where known.

    Returns
    -------
    Entry

    Examples
    --------
    >>> entry_of({"construction": "304", "od_mm": 10.0, "id_mm": 8.0, "id": "A1"}).candidate.note
    'A1'
    """
    od, bore = float(row["od_mm"]), float(row["id_mm"])
    name, kind = _text(row.get("id")), str(row["construction"])
    price = _per_metre(_number(row.get("price")), _number(row.get("length_mm")))
    candidate = Candidate(
        kind, round(od * 1e-3, 9), round(bore * 1e-3, 9), price=price, note=name
    )  # fmt: skip
    words = for_system(f"{od:g} × {bore:g} mm", f"{od / 25.4:.4g} × {bore / 25.4:.4g} in")
    words = _before(f"{name}, {kind} " if name else f"{kind} ", words)
    return Entry(words, candidate, "" if math.isnan(price) else _text(row.get("currency")))


def _before(text: str, words: Spoken) -> Spoken:
    return Spoken(lambda system: text + say(words, system))


def _number(value: Any) -> float:
    return float(value) if isinstance(value, int | float) else math.nan


def _text(value: Any) -> str:
    return value.strip() if isinstance(value, str) else ""


def _per_metre(price: float, length_mm: float) -> float:
    """Price of a length over that length [per m]; NaN where either is not known."""
    value = price / (length_mm * 1e-3) if length_mm > 0 else math.nan
    return round(value, 4) if 0 <= value < math.inf else math.nan


def priced(entry: Entry, job: Job) -> tuple[Candidate, Job, str]:
    """Tube of a stock list for a job, whose prices are all in one currency.

    Parameters
    ----------
    entry : Entry
        The tube.
    job : Job
        The job; without a currency it takes that of the tube.

    Returns
    -------
    tuple of Candidate, Job and str
        The tube, without its price where that is in another currency than the job's; the job; a
        sentence on what was left out.

    Examples
    --------
    >>> one = Entry("A1", Candidate("304", 0.02, 0.018, price=3.0), "EUR")
    >>> priced(one, Job())[1].currency, priced(one, Job(currency="USD"))[0].price
    ('EUR', nan)
    """
    if not entry.currency or entry.currency == job.currency:
        return entry.candidate, job, ""
    if not job.currency:
        return entry.candidate, replace(job, currency=entry.currency), ""
    return (
        replace(entry.candidate, price=math.nan), job,
        f"{entry.words} is priced in {entry.currency} and the job in {job.currency}: its price is "
        "left out.",
    )  # fmt: skip


__all__ = [
    "DEMO", "SIZE_LIMIT", "Entry", "demo_stock", "entries", "entry_of", "open_stock", "priced",
    "read_words", "stocked",
]  # fmt: skip
