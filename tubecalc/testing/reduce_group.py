"""Several tests side by side: one test in two files, directions that differ, odd slopes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from tubecalc.testing.reduce_line import Array
from tubecalc.testing.reduce_path import frame_of
from tubecalc.testing.result import TestResult

CROOKED = 0.03  # slopes of one tube turned about its axis that differ by more
_POINTS = 200
_ALIKE = 2e-3  # of the range, within which two curves look like one
_SAME = 1e-3  # and with as many rows are one: a copy rounded to three digits of its unit
_SAID = {
    "same": "are one and the same test: it counts once.",
    "alike": "look like one test in two records: both count; leave one out if it is so.",
    "cut": "look like one test cut in two: one begins where the other ends. Only the one with the "
    "larger load counts.",
}


class Pair(NamedTuple):
    """Two places of curves that are one test.

    `how` is "same" where rows, loads and travels agree, "alike" where they nearly do, "cut" where
    one record goes on with the other.
    """

    first: int
    second: int
    how: str


def pairs(curves: Sequence[Any]) -> list[Pair]:
    """Find curves that are one test: written twice, in other units, or cut in two.

    Parameters
    ----------
    curves : sequence of Curve
        As read; None where there is none.

    Returns
    -------
    list of Pair
    """
    read = [None if c is None else _columns(c) for c in curves]
    shapes = [None if r is None else _shape(*r) for r in read]
    known = [n for n, shape in enumerate(shapes) if shape is not None]
    table = np.array([shapes[n] for n in known])
    ends = {n: _ends(*r) for n, r in enumerate(read) if r is not None}
    out = []
    for place, i in enumerate(known):
        apart = np.max(np.abs(table[place + 1 :] - table[place]), axis=1, initial=0.0)
        for j, far in zip(known[place + 1 :], apart.tolist(), strict=True):
            if far <= _ALIKE:
                same = far <= _SAME and ends[i].rows == ends[j].rows
                out.append(Pair(i, j, "same" if same else "alike"))
            elif _goes_on(ends[i], ends[j]) or _goes_on(ends[j], ends[i]):
                out.append(Pair(i, j, "cut"))
    return out


def same_tests(curves: Sequence[Any]) -> list[str]:
    """Say which curves are one test: written twice, in other units, or cut in two.

    Parameters
    ----------
    curves : sequence of Curve
        As read.

    Returns
    -------
    list of str
        One sentence a pair.

    Examples
    --------
    >>> import pandas as pd
    >>> from tubecalc.testing.curve import Curve
    >>> rng = np.random.default_rng(1)
    >>> data = pd.DataFrame({"travel_mm": np.arange(99.0), "force_N": rng.normal(0, 1, 99)})
    >>> same_tests([Curve("A", data, data), Curve("B", 1.0001 * data, data)])
    ['A and B are one and the same test: it counts once.']
    """
    out = []
    for i, j, how in pairs(curves):
        out.append(f"{_name(curves[i], i)} and {_name(curves[j], j)} {_SAID[how]}")
    return out


def doubles(curves: Sequence[Any]) -> dict[int, int]:
    """Curves that must not count beside another of the same test.

    Parameters
    ----------
    curves : sequence of Curve
        As read; None where there is none.

    Returns
    -------
    dict of int to int
        Place of each that does not count -> the one that counts in its stead: of one test the
        first that holds its largest load.

    Examples
    --------
    >>> import pandas as pd
    >>> rng = np.random.default_rng(1)
    >>> one = pd.DataFrame({"travel_mm": np.arange(99.0), "force_N": rng.normal(0, 1, 99)})
    >>> doubles([one, one, 2 * one])
    {1: 0}
    """
    root = list(range(len(curves)))
    for i, j, how in pairs(curves):
        if how == "alike":
            continue
        old, new = root[j], root[i]
        root = [new if r == old else r for r in root]
    out: dict[int, int] = {}
    for key in dict.fromkeys(root):
        alike = [n for n, r in enumerate(root) if r == key]
        if len(alike) < 2:
            continue
        most = {n: _most(curves[n]) for n in alike}
        counts = next(n for n in alike if most[n] >= (1 - _ALIKE) * max(most.values()))
        out |= {n: counts for n in alike if n != counts}
    return out


def _most(curve: Any) -> float:
    """Largest load of a curve."""
    found = _columns(curve)
    return 0.0 if found is None else float(np.max(np.abs(found[1])))


def _name(curve: Any, n: int) -> str:
    return str(getattr(curve, "name", "") or f"curve {n + 1}")


def _columns(curve: Any) -> tuple[Array, Array] | None:
    data = frame_of(curve)
    load = next((c for c in ("force_N", "torque_N_m") if c in data.columns), None)
    way = next((c for c in ("travel_mm", "extension_mm", "deflection_mm", "angle_deg")
                if c in data.columns), None)  # fmt: skip
    if load is None or way is None:
        return None
    x, y = data[way].to_numpy(float), data[load].to_numpy(float)
    good = np.isfinite(x) & np.isfinite(y)
    return (x[good], y[good]) if good.sum() >= 10 else None


def _shape(x: Array, y: Array) -> Array | None:
    """Travel and load at even shares of the record over their largest, and the two largest."""
    if not np.ptp(x) > 0 or not np.ptp(y) > 0:
        return None
    at = np.linspace(0, len(x) - 1, _POINTS)
    rows = np.arange(len(x))
    parts = []
    for v in (x, y):
        size = float(np.max(np.abs(v)))
        sign = math.copysign(1.0, float(v[int(np.argmax(np.abs(v)))]))
        parts.append(np.interp(at, rows, sign * v / size))
    sizes = [math.log(float(np.max(np.abs(v)))) for v in (x, y)]
    return np.concatenate([*parts, sizes])


class _Ends(NamedTuple):
    """Where a record begins and ends, its ranges and rows."""

    x0: float
    y0: float
    x1: float
    y1: float
    wide: float
    high: float
    rows: int


def _ends(x: Array, y: Array) -> _Ends:
    return _Ends(float(x[0]), float(y[0]), float(x[-1]), float(y[-1]), float(np.ptp(x)),
                 float(np.ptp(y)), len(x))  # fmt: skip


def _goes_on(a: _Ends, b: _Ends) -> bool:
    """Whether one record begins, under load, where the other ends."""
    wide, high = a.wide + b.wide, max(a.high, b.high)
    loaded = abs(b.y0) > 0.1 * high and abs(b.x0) > 0.05 * wide
    return loaded and abs(b.x0 - a.x1) < 0.02 * wide and abs(b.y0 - a.y1) < 0.03 * high


def directions(results: Sequence[TestResult]) -> list[str]:
    """Compare tests of one tube turned about its axis.

    Parameters
    ----------
    results : sequence of TestResult
        Of one specimen, in several directions.

    Returns
    -------
    list of str
        A sentence where the slopes differ so much that the tube is crooked or uneven.
    """
    known = [(r.name, r.si["stiffness"]) for r in results if not math.isnan(r.si["stiffness"])]
    if len(known) < 2:
        return []
    low, high = min(known, key=lambda k: k[1]), max(known, key=lambda k: k[1])
    apart = high[1] / low[1] - 1
    if apart <= CROOKED:
        return [f"{len(known)} directions agree within {100 * apart:.1f} %."]
    return [
        f"{high[0]} is {100 * apart:.0f} % stiffer than {low[0]}: so much between directions looks "
        "like a crooked tube, a wall of uneven thickness or a rig that is not straight."
    ]


def odd_slopes(results: Sequence[TestResult]) -> list[str]:
    """Find tests of alike specimens whose modulus cannot be that of the others.

    Parameters
    ----------
    results : sequence of TestResult
        Of one construction.

    Returns
    -------
    list of str
        Two readings that cannot share one span, one wall or one unit.
    """
    known = [
        (r.name, r.si["apparent_modulus"]) for r in results
        if r.kind in ("three-point", "four-point") and not math.isnan(r.si["apparent_modulus"])
    ]  # fmt: skip
    if len(known) < 2:
        return []
    low, high = min(known, key=lambda k: k[1]), max(known, key=lambda k: k[1])
    if high[1] < 1.6 * low[1]:
        return []
    return [
        f"{high[0]} gives {high[1] / 1e9:.3g} GPa and {low[0]} {low[1] / 1e9:.3g} GPa: one span, "
        "size or unit is wrong; they are not averaged. Ask for span and resolution of the reading."
    ]
