"""Tests without a machine: one reading in the middle, a pluck, a spar bent by a hung line.

Formulas of arrays in SI.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from tubecalc.errors import InputError
from tubecalc.testing.reduce_line import Array

OWN_MASS = 33 / 140  # of a cantilever's own mass that counts at its tip
APART = 0.10  # spans that differ by more are not one span (own rule; readings leave some open)
NEAR = 1e-12


def span_of_reading(compliance: ArrayLike, EI: ArrayLike, kGA: ArrayLike) -> Array:
    """Span at which a load in the middle moves a beam so far.

    Parameters
    ----------
    compliance : array_like
        Travel over load [m/N].
    EI, kGA : array_like
        Bending [N m2] and shear stiffness [N]; infinite kGA leaves shear out.

    Returns
    -------
    numpy.ndarray
        [m].

    Notes
    -----
    L^3 / (48 EI) + L / (4 kGA) = travel / load: Timoshenko beam, load in the middle (Roark, 7th
    ed., Table 8.1, MEMORY). Newton's rule from the span without shear. Grade A for the axis; dents
    under the load make the span come out too long.

    Examples
    --------
    >>> round(float(span_of_reading(1 / 170.57e3, 767.6, np.inf)), 4)
    0.6
    """
    c, bend, shear = np.broadcast_arrays(
        np.asarray(compliance, float), np.asarray(EI, float), np.asarray(kGA, float)
    )
    length = np.cbrt(48 * bend * c)
    for _ in range(60):
        miss = length**3 / (48 * bend) + length / (4 * shear) - c
        step = miss / (length**2 / (16 * bend) + 1 / (4 * shear))
        length = np.maximum(length - step, 0.0)
        if np.all(np.abs(step) <= NEAR * length):
            break
    return np.asarray(length)


def plucked_stiffness(
    frequency: ArrayLike, length: ArrayLike, tip_mass: ArrayLike, mass_per_length: ArrayLike
) -> Array:
    """Bending stiffness of a clamped tube from the frequency of its swing.

    Parameters
    ----------
    frequency : array_like
        First natural frequency [Hz].
    length : array_like
        Free length from the clamp [m].
    tip_mass : array_like
        Mass at the tip [kg].
    mass_per_length : array_like
        Of the tube itself [kg/m].

    Returns
    -------
    numpy.ndarray
        EI [N m2]; of a tapered tube that of an even one which swings alike.

    Notes
    -----
    Rayleigh: 3 EI / L^3 = (2 pi f)^2 (M + 33/140 m L), Blevins (1979), Table 6-2 (MEMORY). Grade
    A with a tip mass; without one 3 % too low (12.36 for 12.73 of the exact root). A soft clamp
    makes EI too low.

    Examples
    --------
    >>> round(float(plucked_stiffness(250 / 60, 0.9, 0.205, 0.060)), 1)
    36.3
    """
    f, length = np.asarray(frequency, float), np.asarray(length, float)
    mass = np.asarray(tip_mass, float) + OWN_MASS * np.asarray(mass_per_length, float) * length
    return np.asarray((2 * math.pi * f) ** 2 * mass * length**3 / 3)


def hung_line(weight: float, half_spar: float, half_line: float) -> tuple[float, float, float]:
    """Forces of a line between the ends of a spar, with a weight hung in its middle.

    Parameters
    ----------
    weight : float
        [N].
    half_spar, half_line : float
        Half of the spar and half of the line [m].

    Returns
    -------
    tension, sideways, inwards : float
        Of the line, and what it does to each end [N].

    Raises
    ------
    InputError
        If the line does not reach.

    Examples
    --------
    >>> [round(v, 3) for v in hung_line(1.0, 31.0, 37.0)]
    [0.916, 0.5, 0.767]
    """
    if not half_line > half_spar:
        raise InputError("the line is not longer than the spar", where="line",
                         got=f"{2e3 * half_line:.4g} mm on {2e3 * half_spar:.4g} mm")  # fmt: skip
    tension = weight / 2 / math.sqrt(1 - (half_spar / half_line) ** 2)
    return tension, weight / 2, tension * half_spar / half_line


def fulcrum_stiffness(bow: float, sideways: float, inwards: float, half_spar: float) -> float:
    """Bending stiffness of a spar bent over a fulcrum in its middle by forces at its ends.

    Parameters
    ----------
    bow : float
        How far the ends move against the middle [m].
    sideways, inwards : float
        Force on each end, across and along the spar [N].
    half_spar : float
        From the fulcrum to an end [m].

    Returns
    -------
    float
        EI [N m2].

    Notes
    -----
    Half the spar is a cantilever: EI = P L^3 / (3 bow), more by 4 P L^2 / pi^2 for the inward
    force P, which makes the bow 1 / (1 - P / Pcr) deeper (Timoshenko & Gere 1961, sec. 1.11,
    MEMORY). Grade B: bows up to a tenth of the half; a ferrule in the middle stiffens it.

    Examples
    --------
    >>> round(fulcrum_stiffness(2.0, 0.5, 0.0, 31.0)), round(fulcrum_stiffness(2.0, 0.5, 0.767, 31))
    (2483, 2781)
    """
    return sideways * half_spar**3 / (3 * bow) + 4 * inwards * half_spar**2 / math.pi**2


def share_one_span(
    names: Sequence[str], spans: Sequence[float], open_by: Sequence[float] | None = None
) -> str:
    """Say whether readings of several tubes can be from one span.

    Parameters
    ----------
    names : sequence of str
        Of the readings.
    spans : sequence of float
        What each means [m].
    open_by : sequence of float, optional
        Half of what the resolution of each reading leaves of its span [m].

    Returns
    -------
    str
        "" for fewer than two.

    Examples
    --------
    >>> share_one_span(["A", "B"], [0.429, 0.343])[:58]
    'A (429 mm) and B (343 mm) cannot be from one span: they ar'
    """
    if len(spans) < 2:
        return ""
    high, low = int(np.argmax(spans)), int(np.argmin(spans))
    left = 0.0 if open_by is None else open_by[high] + open_by[low]
    if spans[high] - spans[low] - left <= APART * spans[low]:
        middle = float(np.mean(spans)) * 1e3
        return f"All {len(spans)} readings agree with one span, {middle:.3g} mm."
    pair = [f"{names[k]} ({spans[k] * 1e3:.3g} mm)" for k in (high, low)]
    return (
        f"{pair[0]} and {pair[1]} cannot be from one span: they are not averaged. Ask for the span "
        "and for the resolution of the reading."
    )


__all__ = [
    "fulcrum_stiffness", "hung_line", "plucked_stiffness", "share_one_span", "span_of_reading",
]  # fmt: skip
