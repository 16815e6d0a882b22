"""Several tests side by side: one test in two files, directions that differ, odd slopes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations
from typing import Any

import numpy as np

from tubecalc.testing.reduce_line import Array
from tubecalc.testing.reduce_path import frame_of
from tubecalc.testing.result import TestResult

CROOKED = 0.03  # slopes of one tube turned about its axis that differ by more
_POINTS = 200
_ALIKE = 2e-3  # of the range, within which two curves are one


def same_tests(curves: Sequence[Any]) -> list[str]:
    """Find curves that are one test: written twice, in other units, or cut in two.

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
    ['A and B are one and the same test: count it once.']
    """
    out = []
    shapes = [_shape(c) for c in curves]
    for (i, a), (j, b) in combinations(enumerate(shapes), 2):
        if a is None or b is None:
            continue
        names = f"{_name(curves[i], i)} and {_name(curves[j], j)}"
        if float(np.max(np.abs(a - b))) <= _ALIKE:
            out.append(f"{names} are one and the same test: count it once.")
        elif _goes_on(curves[i], curves[j]) or _goes_on(curves[j], curves[i]):
            out.append(f"{names} look like one test cut in two: one begins where the other ends.")
    return out


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


def _shape(curve: Any) -> Array | None:
    """Load and travel at even shares of the record, each over its own range."""
    found = _columns(curve)
    if found is None:
        return None
    x, y = found
    if not np.ptp(x) > 0 or not np.ptp(y) > 0:
        return None
    at = np.linspace(0, len(x) - 1, _POINTS)
    rows = np.arange(len(x))
    parts = []
    for v in (x, y):
        size = float(np.max(np.abs(v)))
        sign = math.copysign(1.0, float(v[int(np.argmax(np.abs(v)))]))
        parts.append(np.interp(at, rows, sign * v / size))
    return np.concatenate([*parts, [math.log(float(np.max(np.abs(y))))]])


def _goes_on(a: Any, b: Any) -> bool:
    """Whether one record begins, under load, where the other ends."""
    one, two = _columns(a), _columns(b)
    if one is None or two is None:
        return False
    (xa, ya), (xb, yb) = one, two
    wide, high = float(np.ptp(xa)) + float(np.ptp(xb)), float(max(np.ptp(ya), np.ptp(yb)))
    loaded = abs(float(yb[0])) > 0.1 * high and abs(float(xb[0])) > 0.05 * wide
    gap_x, gap_y = abs(float(xb[0] - xa[-1])), abs(float(yb[0] - ya[-1]))
    return loaded and gap_x < 0.02 * wide and gap_y < 0.03 * high


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
