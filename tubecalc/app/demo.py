"""The demo needs and the demo stock list, and stock lists in general as the pages take them."""

from __future__ import annotations

from functools import cache

from tubecalc import datafiles
from tubecalc.app.draft import Draft, from_toml
from tubecalc.app.state import StockList
from tubecalc.errors import InputError
from tubecalc.stock import read_stock

FIRST_JOB = "sampling-boom"
DEMO = "demo"
_DEMO_STOCK = "stock/estuary_stock.csv"
SIZE_LIMIT = 50 * 2**20


def jobs() -> dict[str, Draft]:
    """Demo needs that come with tubecalc.

    Returns
    -------
    dict of str to Draft
        File stem -> need as typed.

    Examples
    --------
    >>> "sampling-boom" in jobs()
    True
    """
    files = sorted((datafiles.data_dir() / "jobs").glob("*.toml"))
    return {f.stem: from_toml(f.read_text(encoding="utf-8")) for f in files}


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


__all__ = ["DEMO", "FIRST_JOB", "SIZE_LIMIT", "demo_stock", "jobs", "open_stock", "read_words"]
