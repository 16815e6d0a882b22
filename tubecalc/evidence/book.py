"""Reads the evidence rows and holds the families that compute them."""

from __future__ import annotations

import csv
import importlib
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, cached_property
from typing import TYPE_CHECKING

from tubecalc.datafiles import data_dir
from tubecalc.errors import InputError, unknown_key
from tubecalc.evidence.inputs import from_si

if TYPE_CHECKING:
    import pandas as pd

COLUMNS = (
    "id", "topic", "quantity", "inputs", "value", "unit", "rel_tol", "source", "standing", "note",
    "assert",
)  # fmt: skip
AGREES, OUTSIDE = "agrees", "OUTSIDE"
KNOWN, SHOWN, WAITING = "known difference", "for information", "not computed yet"
VERDICTS = (OUTSIDE, KNOWN, AGREES, SHOWN, WAITING)  # gravest first

# The modules whose families are registered on first use.
_ROOMS = (
    "thick",
    "shells",
    "sections",
    "laminates",
    "finite_elements",
    "formulas",
    "trade",
    "criteria",
    "beams",
    "experiments",
    "micromechanics",
    "loadpoints",
    "environment",
    "fits",
    "statistics",
    "bonds",
)

Family = Callable[["Row"], float | None]
_FAMILIES: list[tuple[re.Pattern[str], Family]] = []


@dataclass(frozen=True)
class Row:
    """One published value, and what tubecalc computes from the same inputs.

    Parameters
    ----------
    id, topic, quantity, inputs, unit, source, standing, note : str
        As in the file. ``standing`` begins with SEEN, MEMORY, COMPUTED or PRACTICE.
    value : float
        Published value in ``unit``; NaN if the source prints none.
    rel_tol : float
        Largest relative difference that still agrees [-]; NaN if none is stated.
    asserted : bool
        False for a value that is listed but not held to (the note says why).
    file : str
        Name of the evidence file.
    """

    id: str
    topic: str
    quantity: str
    inputs: str
    value: float
    unit: str
    rel_tol: float
    source: str
    standing: str
    note: str
    asserted: bool
    file: str

    @cached_property
    def computed(self) -> float | None:
        """The value tubecalc computes, in the row's unit; None if no family covers the row."""
        for pattern, family in _families():
            if pattern.match(self.id):
                si = family(self)
                return None if si is None else from_si(si, self.unit)
        return None

    @property
    def error(self) -> float | None:
        """Computed over published, less one; the plain difference where the value is zero."""
        if self.computed is None or math.isnan(self.value):
            return None
        return (self.computed - self.value) / (abs(self.value) or 1.0)

    @property
    def severity(self) -> float:
        """Distance over what is allowed: 1 is at the edge; NaN where there is no tolerance."""
        if self.error is None or not self.rel_tol > 0:
            return math.nan
        return abs(self.error) / self.rel_tol

    @property
    def verdict(self) -> str:
        """One of "agrees", "OUTSIDE", "known difference", "for information", "not computed yet".

        A note that begins with "context" marks a row with nothing to compute.
        """
        if self.computed is None:
            return SHOWN if self.note.startswith("context") else WAITING
        if self.error is None or math.isnan(self.rel_tol):
            return SHOWN
        inside = abs(self.error) <= self.rel_tol  # a NaN is never inside
        if self.asserted:
            return AGREES if inside else OUTSIDE
        return AGREES if inside else KNOWN


def register(pattern: str) -> Callable[[Family], Family]:
    """Decorator: the function computes every row whose id begins with the pattern.

    Parameters
    ----------
    pattern : str
        Regular expression, matched at the start of the id.

    Returns
    -------
    callable
        The decorator. The function takes a `Row` and returns the value in SI, or None where the
        row asks for something that is not computed.
    """

    def keep(family: Family) -> Family:
        _FAMILIES.append((re.compile(pattern), family))
        return family

    return keep


@cache
def _families() -> list[tuple[re.Pattern[str], Family]]:
    for room in _ROOMS:
        importlib.import_module(f"tubecalc.evidence.{room}")
    return _FAMILIES


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return math.nan


def _row(line: dict[str, str], file: str, number: int) -> Row:
    missing = [c for c in COLUMNS if line.get(c) is None]
    if missing:
        raise InputError(
            "an evidence row has too few columns",
            where=f"{file}:row {number}", got=f"no {missing[0]}", expected=", ".join(COLUMNS),
        )  # fmt: skip
    return Row(
        id=line["id"], topic=line["topic"], quantity=line["quantity"], inputs=line["inputs"],
        value=_number(line["value"]), unit=line["unit"], rel_tol=_number(line["rel_tol"]),
        source=line["source"], standing=line["standing"], note=line["note"],
        asserted=line["assert"].strip() == "yes", file=file,
    )  # fmt: skip


@cache
def _all() -> tuple[Row, ...]:
    found: list[Row] = []
    for path in sorted((data_dir() / "evidence").glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as handle:
            reader = csv.DictReader(handle)
            if not set(COLUMNS) <= set(reader.fieldnames or ()):
                continue
            found += [_row(line, path.name, n) for n, line in enumerate(reader, start=2)]
    return tuple(found)


def topics() -> list[str]:
    """Topics of the evidence, in alphabetical order.

    Returns
    -------
    list of str
    """
    return sorted({row.topic for row in _all()})


def rows(topic: str | None = None) -> list[Row]:
    """Evidence rows, all of them or one topic's.

    Parameters
    ----------
    topic : str, optional
        A topic, or a piece of one ("buckling").

    Returns
    -------
    list of Row
        Nothing is computed until a row is asked for ``computed``, ``error`` or ``verdict``.

    Raises
    ------
    InputError
        If no topic contains the text.

    Examples
    --------
    >>> len({row.id for row in rows()}) == len(rows())
    True
    """
    if topic is None:
        return list(_all())
    found = [row for row in _all() if topic.lower() in row.topic.lower()]
    if not found:
        raise unknown_key("topic", topic, topics(), None)
    return found


def table(topic: str | None = None) -> pd.DataFrame:
    """Evidence as a table, computed values beside published ones.

    Parameters
    ----------
    topic : str, optional
        A topic, or a piece of one.

    Returns
    -------
    pandas.DataFrame
        id, topic, quantity, published, unit, computed, error_percent, tolerance_percent, source,
        standing, verdict, note.
    """
    import pandas as pd

    return pd.DataFrame(
        [
            {
                "id": r.id,
                "topic": r.topic,
                "quantity": r.quantity,
                "published": r.value,
                "unit": r.unit,
                "computed": math.nan if r.computed is None else r.computed,
                "error_percent": math.nan if r.error is None else 100 * r.error,
                "tolerance_percent": 100 * r.rel_tol,
                "source": r.source,
                "standing": r.standing,
                "verdict": r.verdict,
                "note": r.note,
            }
            for r in rows(topic)
        ]
    )
