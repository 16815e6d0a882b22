"""How bands of a wound layer close: circuits, turning by friction, patterns of whole numbers."""

from __future__ import annotations

import math
from dataclasses import dataclass

MOST_PATTERN = 12


@dataclass(frozen=True)
class Ends:
    """Turning zone at one end: least turn [rad], length along the tube [m], length of band [m]."""

    turn: float
    length: float
    path: float


@dataclass(frozen=True)
class Closing:
    """One way to close: circuits until a band lies beside the first, which side, turns."""

    pattern: int
    ahead: bool
    turns: int
    circuits: int
    end_turn: float


def circuits(diameter: float, angle: float, band: float) -> float:
    """Circuits whose bands lie side by side exactly once round.

    Parameters
    ----------
    diameter : float
        Of the surface wound on [m].
    angle : float
        Band from the tube axis [rad].
    band : float
        Width of the band [m].

    Returns
    -------
    float
        pi D cos(a) / b, in general not whole [-].

    Notes
    -----
    A band at the angle a takes b / cos(a) of the way round. Source: Koussios, Filament winding: a
    unified approach, Delft University Press 2004 (MEMORY); geometry.

    Examples
    --------
    >>> round(circuits(0.1, math.radians(60.0), 0.01), 3)
    15.708
    """
    return math.pi * diameter * math.cos(angle) / band


def turning(diameter: float, angle: float, friction: float) -> Ends:
    """Zone in which a band turns from its angle to hoop and back without slipping.

    Parameters
    ----------
    diameter : float
        Of the surface wound on [m].
    angle : float
        Band from the tube axis [rad].
    friction : float
        Slip coefficient between band and surface [-]; NaN where pins hold the band.

    Returns
    -------
    Ends
        Turn of the mandrel and band length there and back, length of the zone along the tube.

    Notes
    -----
    On a cylinder the angle may change at most by mu sin(a)^2 / R per length of band. From a to 90
    deg that takes (R / mu) (1 / sin a - 1) along the tube, ln(cot(a / 2)) / mu of turn and
    (R / mu) cot a of band. Source: Koussios 2004 (MEMORY); derived from the balance of side force
    and friction, checked by integration.

    Examples
    --------
    >>> zone = turning(0.04, math.radians(45.0), 0.2)
    >>> round(zone.length * 1e3, 1), round(math.degrees(zone.turn))
    (41.4, 505)
    """
    if math.isnan(friction):
        return Ends(0.0, 0.0, 0.0)
    r = diameter / 2
    return Ends(
        2 * math.log(1 / math.tan(angle / 2)) / friction,
        r / friction * (1 / math.sin(angle) - 1),
        2 * r / (friction * math.tan(angle)),
    )


def closings(count: int, stroke: float, least: float, most: int = MOST_PATTERN) -> list[Closing]:
    """Turns at the ends with which all circuits close, each place visited once.

    Parameters
    ----------
    count : int
        Circuits in the layer, N [-].
    stroke : float
        Turn of the mandrel in one stroke along the tube [rad].
    least : float
        Least turn at each end [rad].
    most : int
        Highest pattern number listed [-].

    Returns
    -------
    list of Closing
        One for each pattern number and side, lowest pattern first.

    Notes
    -----
    The mandrel turns M / N times in a circuit, M without common divisor with N, so that the N
    starts fall on N different places. Pattern p is the number of circuits after which a band
    comes to lie beside the first: p M = 1 or -1 (mod N). Residue classes: Dalibor, Lisboa,
    Marczak & Amico, "A geometric approach for filament winding pattern generation and study of
    the influence of the slippage coefficient", J. Braz. Soc. Mech. Sci. Eng. 41:576, 2019.

    Examples
    --------
    >>> [(c.pattern, c.turns % 5) for c in closings(5, 1.0, 0.0)]
    [(1, 1), (1, 4), (2, 3), (2, 2)]
    """
    lowest = math.ceil(count * 2 * (stroke + least) / (2 * math.pi) - 1e-9)
    out = []
    for pattern in range(1, min(most, max(1, count // 2)) + 1):
        if math.gcd(pattern, count) != 1:
            continue
        step = pow(pattern, -1, count) if count > 1 else 0
        for ahead, residue in ((True, step), (False, -step % count)):
            turns = lowest + (residue - lowest) % count
            if count <= 2 and not ahead:
                continue
            end = math.pi * turns / count - stroke
            out.append(Closing(pattern, ahead, turns, count, end))
    return out


__all__ = ["MOST_PATTERN", "Closing", "Ends", "circuits", "closings", "turning"]
