"""Statics of a stack of tubes: every joint is a pair of forces, every tube a bent beam.

Each tube beyond the first stands on two points, the ends of its overlap; the whole is statically
determinate, so each tube is solved alone from the tip inwards and the deflections are put together
from the base outwards. Moments are polynomials between the loads and are integrated exactly.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from tubecalc.laminate.elastic import Array

_POINTS = np.array([-1.0, 0.0, 1.0]) * np.sqrt(0.6)
_WEIGHTS = np.array([5.0, 8.0, 5.0]) / 18.0  # Gauss, exact to the fifth power


class Beam(NamedTuple):
    """One tube of the stack: length [m], bending and shear stiffness [N m2, N], weight [N/m]."""

    length: float
    EI: float
    kGA: float
    weight: float


class Point(NamedTuple):
    """A force across a tube, downwards, at a distance from its inner end [m, N]."""

    at: float
    force: float


class Pair(NamedTuple):
    """Forces of one joint on the outer tube, downwards [N], and what it carries [N m, N].

    mouth acts at the open end of the outer tube, heel at the inner end of the inner one.
    """

    mouth: float
    heel: float
    moment: float
    shear: float


def moment(beam: Beam, points: Sequence[Point], s: Array) -> Array:
    """Bending moment at distances from the inner end, by all that acts farther out [N m].

    Parameters
    ----------
    beam : Beam
        The tube.
    points : sequence of Point
        Forces on it.
    s : numpy.ndarray
        Distances [m].

    Returns
    -------
    numpy.ndarray
        Positive where the tube hangs down.
    """
    out = 0.5 * beam.weight * (beam.length - s) ** 2
    for p in points:
        out = out + p.force * np.maximum(p.at - s, 0.0)
    return np.asarray(out)


def shear(beam: Beam, points: Sequence[Point], s: Array) -> Array:
    """Shear force at distances from the inner end, by all that acts farther out [N]."""
    out = beam.weight * (beam.length - s)
    for p in points:
        out = out + p.force * (p.at > s)
    return np.asarray(out)


def bend(beam: Beam, points: Sequence[Point], at: Array) -> Array:
    """Deflection from the tangent at the inner end, downwards.

    Parameters
    ----------
    beam : Beam
        The tube.
    points : sequence of Point
        Forces on it, supports included.
    at : numpy.ndarray
        Distances from the inner end [m].

    Returns
    -------
    numpy.ndarray
        [m]; bending and shear.

    Notes
    -----
    w(x) = integral of M(s) (x - s) / EI + V(s) / kGA from 0 to x.

    Examples
    --------
    >>> beam = Beam(2.0, 100.0, 1e12, 0.0)
    >>> round(float(bend(beam, [Point(2.0, 10.0)], np.array([2.0]))[0]), 6)  # F L^3 / 3 EI
    0.266667
    """
    cuts = sorted({0.0, *(p.at for p in points if 0.0 < p.at < beam.length)})
    out = np.zeros(len(at))
    for n, x in enumerate(at):
        edges = np.array([*(c for c in cuts if c < x), x])
        width = np.diff(edges)[:, None]
        s = (edges[:-1, None] + edges[1:, None]) / 2.0 + width / 2.0 * _POINTS
        rate = moment(beam, points, s) * (x - s) / beam.EI + shear(beam, points, s) / beam.kGA
        out[n] = float((rate * _WEIGHTS * width).sum())
    return out


def statics(beams: Sequence[Beam], overlaps: Sequence[float], tip: float) -> tuple[
    list[list[Point]], list[Pair]
]:  # fmt: skip
    """Forces on every tube of a stack and at every joint.

    Parameters
    ----------
    beams : sequence of Beam
        From the base to the tip.
    overlaps : sequence of float
        Of each joint [m].
    tip : float
        Force on the tip, downwards [N].

    Returns
    -------
    tuple
        Forces on each tube, supports included, and the pair of each joint.

    Notes
    -----
    The inner tube on supports at its heel and at the mouth: mouth = moment / overlap + shear,
    heel = -moment / overlap, moment and shear about the mouth of all that is farther out, with the
    inner tube's own weight within the overlap counted to both.
    """
    points: list[list[Point]] = [[] for _ in beams]
    points[-1].append(Point(beams[-1].length, tip))
    pairs: list[Pair] = []
    for n in range(len(beams) - 1, 0, -1):
        beam, o = beams[n], overlaps[n - 1]
        outside = np.array([o])
        m = float(moment(beam, points[n], outside)[0])
        v = float(shear(beam, points[n], outside)[0])
        own = beam.weight * o
        pair = Pair(v + m / o + own / 2.0, own / 2.0 - m / o, m, v)
        pairs.append(pair)
        points[n] += [Point(0.0, -pair.heel), Point(o, -pair.mouth)]
        base = beams[n - 1].length
        points[n - 1] += [Point(base - o, pair.heel), Point(base, pair.mouth)]
    return points, pairs[::-1]


def places(
    beams: Sequence[Beam],
    overlaps: Sequence[float],
    points: Sequence[Sequence[Point]],
    turns: Sequence[float],
    stations: Sequence[Array],
) -> list[Array]:
    """Deflection of every tube at stations along it.

    Parameters
    ----------
    beams, overlaps : sequence
        The stack.
    points : sequence
        Forces, as from `statics`.
    turns : sequence of float
        By which each joint lets the inner tube hang [rad], from play and dents.
    stations : sequence of numpy.ndarray
        Distances from the inner end of each tube [m].

    Returns
    -------
    list of numpy.ndarray
        Downwards from the straight line of the base [m].
    """
    out = [bend(beams[0], points[0], stations[0])]
    start, slope = 0.0, 0.0
    for n in range(1, len(beams)):
        o, base = overlaps[n - 1], beams[n - 1]
        ends = np.array([base.length - o, base.length])
        w = start + slope * ends + bend(base, points[n - 1], ends)
        own = float(bend(beams[n], points[n], np.array([o]))[0])
        turn = turns[n - 1]  # the heel lifts by half of what the mouth and it give together
        start, slope = float(w[0]) - turn * o / 2.0, (float(w[1] - w[0]) - own) / o + turn
        out.append(start + slope * stations[n] + bend(beams[n], points[n], stations[n]))
    return out


__all__ = ["Beam", "Pair", "Point", "bend", "moment", "places", "shear", "statics"]
