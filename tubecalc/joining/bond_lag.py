"""Shear lag of a lap between two coaxial members: closed form for members of even stiffness.

One equation serves tension, torsion and bending. With the slip d between the faces of the
adhesive, the shear stress is k d and

    d'' = w^2 d,   w^2 = c k (1/St + 1/Si),   d'(0) = -(P/St - e),   d'(l) = P/Si + e

where x runs from the insert's end (0), deep in the tube, to the tube's end (l); e is the free
strain of the insert less that of the tube. Tension: P = F, S = EA. Torsion: P = T/a, S = GJ/a^2.
Bending: P = 2M/a, S = 2EI/a^2, the stress being that of the outermost line. c = 2 pi a.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tubecalc.laminate.elastic import Array


class Lap(NamedTuple):
    """N laps under one kind of load, all arrays (N,) or alike in shape.

    length of the overlap [m], width of the bond round the tube c [m], spring: shear stress per
    slip k [Pa/m], stiffness of tube and insert S [N].
    """

    length: Array
    width: Array
    spring: Array
    tube: Array
    insert: Array

    @property
    def rate(self) -> Array:
        """Decay of the shear stress along the lap w [1/m]; 1/w is the transfer length."""
        return np.asarray(np.sqrt(self.width * self.spring * (1.0 / self.tube + 1.0 / self.insert)))

    def turned(self) -> Lap:
        """The same lap seen from its other end: tube and insert change places."""
        return self._replace(tube=self.insert, insert=self.tube)


def shear(lap: Lap, load: Array | float, mismatch: Array | float, x: Array) -> Array:
    """Shear stress of the adhesive along the lap, elastic.

    Parameters
    ----------
    lap : Lap
        N laps.
    load : array_like
        Load P, positive pulls the members apart [N].
    mismatch : array_like
        Free strain of the insert less that of the tube e [-].
    x : numpy.ndarray
        Places from the insert's end, broadcast against the laps [m].

    Returns
    -------
    numpy.ndarray
        Shear stress [Pa].

    Notes
    -----
    Tension: Volkersen, Luftfahrtforschung 15 (1938) 41-47; with unequal members and mismatch as in
    Hart-Smith, NASA CR-112235, 1973. Tubes: Lubkin & Reissner, Trans. ASME 78 (1956) 1213, without
    peel; torsion: Adams & Peppiatt, J. Adhesion 9 (1977) 1-18, thin adhesive (MEMORY of the
    papers; the formulas agree with published numbers in data/evidence/joints.csv). Bending: the
    same lag with plane sections, own derivation; that the walls also press on each other and pass
    part of the moment so is left out, which is on the safe side. All three are held to a general
    finite-element solver in tests/oracle/fe. That a layer's shear modulus does not depend on its
    thickness, from 0.1 to 1.0 mm: Hughes & Rutherford, DTIC AD0673745, 1968 (abstract SEEN).

    Examples
    --------
    >>> one = np.ones(1)
    >>> lap = Lap(0.02 * one, one, 1e12 * one, 1e7 * one, 1e7 * one)
    >>> (shear(lap, 1e4, 0.0, np.array([0.0, 0.01, 0.02])) / 1e6).round(3).tolist()
    [2.237, 0.051, 2.237]
    """
    rate, lead, tail = _ends(lap, load, mismatch)
    x = np.asarray(x, float)
    left = lap.length - x
    twice = 2.0 * lap.length
    scale = lap.spring / (rate * -np.expm1(-rate * twice))
    from_0 = np.exp(-rate * x) + np.exp(-rate * (twice - x))
    from_l = np.exp(-rate * left) + np.exp(-rate * (twice - left))
    return np.asarray(scale * (lead * from_0 + tail * from_l))


def _ends(lap: Lap, load: Array | float, mismatch: Array | float) -> tuple[Array, Array, Array]:
    """Decay, and the slope of the slip at both ends (the first one with its sign turned)."""
    lead = np.asarray(load / lap.tube - mismatch)
    tail = np.asarray(load / lap.insert + mismatch)
    return lap.rate, lead, tail


def end_shear(lap: Lap, load: Array | float, mismatch: Array | float = 0.0) -> tuple[Array, Array]:
    """Shear stress at the insert's end and at the tube's end, elastic [Pa].

    Parameters
    ----------
    lap : Lap
        N laps.
    load, mismatch : array_like
        As in `shear`.

    Returns
    -------
    tuple of numpy.ndarray
        At the insert's end, at the tube's end.

    Examples
    --------
    >>> one = np.ones(1)
    >>> lap = Lap(0.02 * one, one, 1e12 * one, 1e7 * one, 2e7 * one)
    >>> [round(float(t[0]) / 1e6, 3) for t in end_shear(lap, 1e4)]
    [2.583, 1.293]
    """
    rate, lead, tail = _ends(lap, load, mismatch)
    turn = rate * lap.length
    gone = np.exp(-2.0 * turn)
    scale = lap.spring / (rate * -np.expm1(-2.0 * turn))
    both, far = 1.0 + gone, 2.0 * np.exp(-turn)
    return np.asarray(scale * (lead * both + tail * far)), np.asarray(
        scale * (lead * far + tail * both)
    )


def average(lap: Lap, load: Array | float) -> Array:
    """Load over the bonded area [Pa]."""
    return np.asarray(load / (lap.width * lap.length))


def yield_load(lap: Lap, strength: Array | float, mismatch: Array | float = 0.0) -> Array:
    """Load at which an end of the lap first reaches a shear stress, elastic up to there.

    Parameters
    ----------
    lap : Lap
        N laps.
    strength : array_like
        Shear stress that is reached [Pa].
    mismatch : array_like
        Free strain of the insert less that of the tube; of a push, with its sign turned [-].

    Returns
    -------
    numpy.ndarray
        Load [N]; 0 where the mismatch alone reaches it.

    Examples
    --------
    >>> one = np.ones(1)
    >>> lap = Lap(0.02 * one, one, 1e12 * one, 1e7 * one, 1e7 * one)
    >>> round(float(yield_load(lap, 2.237e6)[0]))
    10002
    """
    found = []
    for load, heat in zip(end_shear(lap, 1.0), end_shear(lap, 0.0, mismatch), strict=True):
        found.append(np.where(np.abs(heat) >= strength, 0.0, (strength - heat) / load))
    return np.asarray(np.minimum(*found))


def long_yield_load(lap: Lap, strength: Array | float, mismatch: Array | float = 0.0) -> Array:
    """The same for an overlap without end: the least of both ends [N].

    Parameters
    ----------
    lap : Lap
        N laps; their length does not count.
    strength, mismatch : array_like
        As in `yield_load`.

    Returns
    -------
    numpy.ndarray
        Load [N].
    """
    slope = lap.rate * strength / lap.spring
    first = lap.tube * (slope + mismatch)
    return np.asarray(np.maximum(np.minimum(first, lap.insert * (slope - mismatch)), 0.0))


__all__ = ["Lap", "average", "end_shear", "long_yield_load", "shear", "yield_load"]
