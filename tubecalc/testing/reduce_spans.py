"""Shear taken out of bending: the same tube over several spans.

One over slope and span is L^2 / (48 EI) + 1 / (4 GA) for a load in the middle: a straight line over
L^2 (Timoshenko beam; the shear stiffness GA includes the shape factor).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.testing.result import TestResult

ALIKE = 0.05  # spans closer than this are one span


@dataclass(frozen=True)
class SpanSeries:
    """Bending and shear stiffness of a tube from several spans.

    Attributes
    ----------
    EI, GA : float
        Bending stiffness [N m2], shear stiffness [N]; GA is infinite where shear cannot be seen.
    EI_half, GA_half : float
        Half of the 95 % interval; NaN for two spans.
    spans : tuple of float
        Spans [m].
    """

    EI: float
    GA: float
    EI_half: float
    GA_half: float
    spans: tuple[float, ...]


def span_series(points: Sequence[tuple[float, float]]) -> SpanSeries:
    """Bending and shear stiffness from spans and slopes.

    Parameters
    ----------
    points : sequence of pairs
        Span [m] and load per travel [N/m] in three-point bending.

    Returns
    -------
    SpanSeries

    Raises
    ------
    InputError
        If there are not two different spans, or longer spans come out stiffer.

    Examples
    --------
    >>> def slope(L):  # of EI 800 N m2, GA 200 kN
    ...     return 1 / (L**3 / (48 * 800) + L / (4 * 2e5))
    >>> out = span_series([(L, slope(L)) for L in (0.3, 0.6, 0.9)])
    >>> round(out.EI, 6), round(out.GA, 3)
    (800.0, 200000.0)
    """
    spans = np.array([p[0] for p in points], float)
    slopes = np.array([p[1] for p in points], float)
    if len(spans) < 2 or np.ptp(spans) < ALIKE * float(np.max(spans)):
        raise InputError("shear needs at least two different spans", where="spans",
                         got=", ".join(f"{s * 1e3:.4g} mm" for s in spans))  # fmt: skip
    if not np.all(np.isfinite(slopes)) or not np.all(slopes > 0):
        raise InputError("a span has no slope", where="spans")
    u, v = spans**2, 1 / (slopes * spans)
    weight = 1 / v  # errors of the slopes are relative
    table = np.stack([u * weight, weight], axis=1)
    found, *_ = np.linalg.lstsq(table, v * weight, rcond=None)
    b, a = float(found[0]), float(found[1])
    if not b > 0:
        raise InputError(
            "longer spans come out stiffer than shorter ones: spans are mixed up", where="spans"
        )
    error_a = error_b = math.nan
    if len(spans) > 2:
        from scipy.special import stdtrit

        rest = v * weight - table @ found
        n = len(spans)
        cov = float(rest @ rest) / (n - 2) * np.linalg.inv(table.T @ table)
        q = float(stdtrit(n - 2, 0.975))
        error_b, error_a = q * math.sqrt(cov[0, 0]), q * math.sqrt(cov[1, 1])
    EI = 1 / (48 * b)
    GA = 1 / (4 * a) if a > 0 else math.inf
    GA_half = GA * error_a / a if a > 0 else math.nan
    return SpanSeries(EI, GA, EI * error_b / b, GA_half, tuple(spans.tolist()))


def corrected(result: TestResult, others: Sequence[Any]) -> TestResult:
    """The result with shear taken out by tests of the same tube over other spans.

    Parameters
    ----------
    result : TestResult
        In three-point bending.
    others : sequence
        Results, or pairs of span and stiffness as text or quantities.

    Returns
    -------
    TestResult

    Raises
    ------
    InputError
        For another kind of test, or spans that do not carry the correction.
    """
    if result.kind != "three-point":
        raise InputError("spans take shear out of three-point bending only",
                         where=f"{result.name}:spans", got=result.kind)  # fmt: skip
    points = [(result.rig.span, result.si["stiffness"])]
    points += [_point(other, n) for n, other in enumerate(others, start=1)]
    found = span_series(points)
    si = dict(result.si)
    before = si["EI"]
    si["EI"], si["GA"] = found.EI, found.GA if math.isfinite(found.GA) else math.nan
    si["modulus"] = found.EI / result.rig.inertia
    si["modulus_half"] = found.EI_half / result.rig.inertia
    spans = ", ".join(f"{s * 1e3:.4g}" for s in found.spans)
    note = (
        f"Shear is taken out by spans of {spans} mm: EI is {100 * (found.EI / before - 1):+.1f} % "
        "from that of this span alone."
    )
    if not math.isfinite(found.GA):
        note = f"Spans of {spans} mm show no shear: EI is that of a slope without it."
    notes = tuple(n for n in result.notes if "shear and dents" not in n)
    return replace(result, si=si, notes=(*notes, note))


def _point(other: Any, n: int) -> tuple[float, float]:
    if isinstance(other, TestResult):
        return other.rig.span, other.si["stiffness"]
    from tubecalc.units import to_si

    if isinstance(other, str) or len(other) != 2:
        raise InputError("needs a result, or span and stiffness", where=f"spans:{n}", got=other)
    span = to_si(other[0], "length", what=f"spans:{n}", positive=True)
    return span, to_si(other[1], "stiffness", what=f"spans:{n}", positive=True)
