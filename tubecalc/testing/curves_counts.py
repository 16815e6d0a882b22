"""Columns that count: steps of a motor, counts of a converter, and what one of them is."""

from __future__ import annotations

import math
import re

import numpy as np

from tubecalc.testing.curves_heads import Heading, clean, unit_of
from tubecalc.testing.curves_table import Table

__all__ = ["counted_load", "per_step", "zero_of"]

_STEPS = re.compile(r"\W*(steps?|counts?|pulses?|ticks?)[ _]*(?:per|/)[ _]*([A-Za-zµ°]+)\W*", re.I)
_PER_STEP = re.compile(r"\W*([A-Za-zµ°]+)[ _]*(?:per|/)[ _]*(step|count|pulse|tick)s?\W*", re.I)
_ZERO = re.compile(
    r"\W*(?:zero|offset|tare|tara|bias|null(?:punkt|wert)?)"
    r"(?:[ _](?:counts?|offset|reading|value))?\W*",
    re.IGNORECASE,
)


def per_step(table: Table, head: Heading, role: str) -> tuple[float, str] | None:
    """Factor of a column of motor steps or counts, where a line above says what one is.

    Parameters
    ----------
    table : Table
        As found in the file.
    head : Heading
        Of the column.
    role : str
        What the column is.

    Returns
    -------
    tuple of float and str, or None
        Factor to the unit of the data, and the line that says it.
    """
    stepped = not head.raw_unit or re.fullmatch(
        r"steps?|counts?|pulses?|ticks?", head.raw_unit, re.I
    )
    if not stepped or head.unit:
        return None
    for key, text in table.preamble:
        one, other = _STEPS.fullmatch(key), _PER_STEP.fullmatch(key)
        match = one or other
        try:
            number = float(text)
        except ValueError:
            continue
        if match is None or not math.isfinite(number) or number == 0:
            continue
        unit = unit_of(match[2] if one else match[1])
        if unit and unit.fits(role):
            factor = unit.of(role)
            return (factor / number if one else factor * number), clean(f"{key}={text}")
    return None


def zero_of(table: Table, column: int, used: set[int]) -> tuple[float, str] | None:
    """Zero of a column of counts, where a line above tells one near which the column begins.

    Parameters
    ----------
    table : Table
        As found in the file.
    column : int
        Which.
    used : set of int
        Columns with a meaning: the zero belongs to the one that begins nearest to it.

    Returns
    -------
    tuple of float and str, or None
        The zero, and the line that tells it.
    """
    for key, text in table.preamble:
        try:
            number = float(text)
        except ValueError:
            continue
        if not _ZERO.fullmatch(key) or not math.isfinite(number) or number == 0:
            continue
        away = {}
        for c in used:
            values = table.values[c]
            if isinstance(values, list) or not np.isfinite(values).any():
                continue
            good = values[np.isfinite(values)]
            away[c] = abs(number - float(good[0])) / (float(np.ptp(good)) or 1.0)
        if away and min(away, key=lambda c: away[c]) == column and away[column] <= 0.5:
            return number, clean(f"{key}={text}")
    return None


def counted_load(table: Table, heads: list[Heading], free: list[int]) -> int | None:
    """Find the column of counts that lines above make a force: "counts_per_N=42".

    Parameters
    ----------
    table : Table
        As found in the file.
    heads : list of Heading
        Of its columns.
    free : list of int
        Columns without a meaning yet.

    Returns
    -------
    int or None
        None where none or several would do.
    """
    found = [
        c for c in free
        if re.fullmatch(r"\W*(raw[ _])?(adc|counts?|ticks?)\W*", heads[c].text, re.IGNORECASE)
        and per_step(table, heads[c], "force")
    ]  # fmt: skip
    return found[0] if len(found) == 1 else None
