"""Load at which the adhesive of a lap gives way: elastic, then flowing at constant shear stress.

The slip that ends the bond is set at one end and the equation is carried along the lap, zone by
zone, each in closed form; the load that meets the other end's condition is found by halving.
"""

from __future__ import annotations

import numpy as np

from tubecalc.joining.bond_lag import Lap
from tubecalc.laminate.elastic import Array, Bools

_HALVINGS = 60
_MOST_EXPONENT = 600.0


def energy(spring: Array, strength: Array, slip: Array) -> Array:
    """Work per area up to a slip of an adhesive that yields [J/m2]; slip is at or past yield."""
    return np.asarray(strength * (slip - strength / spring / 2.0))


def long_ultimate(lap: Lap, strength: Array, slip: Array, mismatch: Array | float = 0.0) -> Array:
    """Ultimate load of an overlap without end: more length does nothing.

    Parameters
    ----------
    lap : Lap
        N laps; their length does not count.
    strength : numpy.ndarray
        Shear stress at which the adhesive flows [Pa].
    slip : numpy.ndarray
        Slip at which it breaks, elastic part included [m].
    mismatch : array_like
        Free strain of the insert less that of the tube; of a push, with its sign turned [-].

    Returns
    -------
    numpy.ndarray
        Load [N].

    Notes
    -----
    First integral of the lag equation: (P/St - e)^2 = 2 c (1/St + 1/Si) W at the insert's end and
    (P/Si + e)^2 likewise at the tube's end, W the work per area to failure. Hart-Smith, NASA
    CR-112235, 1973, with stiffness imbalance and thermal mismatch (MEMORY of its form; own
    derivation). Grade B for given values of the adhesive. Two tubular laps with an adhesive that
    flows bear 4 to 7 % more in a general finite-element solver (tests/oracle/fe).

    Examples
    --------
    >>> one = np.ones(1)
    >>> lap = Lap(0.02 * one, one, 1e12 * one, 1e7 * one, 1e7 * one)
    >>> round(float(long_ultimate(lap, 20e6 * one, 100e-6 * one)[0]) / 1e3, 1)
    268.3
    """
    reach = np.sqrt(
        2.0 * lap.width * (1.0 / lap.tube + 1.0 / lap.insert) * energy(lap.spring, strength, slip)
    )
    both = np.minimum(lap.tube * (reach + mismatch), lap.insert * (reach - mismatch))
    return np.asarray(np.maximum(both, 0.0))


def ultimate(lap: Lap, strength: Array, slip: Array, mismatch: Array | float = 0.0) -> Array:
    """Load at which an end of the lap reaches the slip that breaks the adhesive.

    Parameters
    ----------
    lap : Lap
        N laps.
    strength : numpy.ndarray
        Shear stress at which the adhesive flows [Pa].
    slip : numpy.ndarray
        Slip at which it breaks, elastic part included [m].
    mismatch : array_like
        Free strain of the insert less that of the tube; of a push, with its sign turned [-].

    Returns
    -------
    numpy.ndarray
        Load, at most that of the whole area flowing; 0 where the mismatch alone breaks it [N].

    Notes
    -----
    Elastic-plastic adhesive after Hart-Smith, NASA CR-112235, 1973 (MEMORY). Members stay elastic.
    The slip grows everywhere with the load, so the first end to fail governs.

    Examples
    --------
    >>> one = np.ones(1)
    >>> lap = Lap(0.001 * one, one, 1e12 * one, 1e7 * one, 1e7 * one)  # short: all of it flows
    >>> round(float(ultimate(lap, 20e6 * one, 100e-6 * one)[0]) / 1e3, 3)
    20.0
    """
    e = np.broadcast_to(np.asarray(mismatch, float), np.shape(lap.width * lap.length * strength))
    ends = Lap(*(np.stack(np.broadcast_arrays(e, a, b)[1:]) for a, b in
                 zip(lap, lap.turned(), strict=True)))  # fmt: skip
    return np.asarray(_one_end(ends, strength, slip, np.stack([e, -e])).min(axis=0))


def _one_end(lap: Lap, strength: Array, slip: Array, mismatch: Array) -> Array:
    """Load at which the end at x = 0 breaks."""
    most = lap.width * lap.length * strength
    low, high = np.zeros_like(most), most + 0.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        up = _left_over(lap, strength, slip, mismatch, middle) > 0.0
        low, high = np.where(up, middle, low), np.where(up, high, middle)
    none = _left_over(lap, strength, slip, mismatch, np.zeros_like(most)) <= 0.0
    return np.where(none, 0.0, (low + high) / 2.0)


def _gives(lap: Lap, strength: Array, slip: Array, mismatch: Array, load: Array) -> Bools:
    """Whether the end at x = 0 lets go of a load: what is left over falls as the load grows."""
    return np.asarray(_left_over(lap, strength, slip, mismatch, load) <= 0.0)


def _left_over(lap: Lap, strength: Array, slip: Array, mismatch: Array, load: Array) -> Array:
    """Slope of the slip at the far end less what the load asks there; falls as the load grows."""
    slope = _carried(lap, strength, slip, -(load / lap.tube - mismatch))
    return np.asarray(slope - (load / lap.insert + mismatch))


def _carried(lap: Lap, strength: Array, slip: Array, slope: Array) -> Array:
    """Slope of the slip at the far end from slip and slope at this one: flow, elastic, flow."""
    rate, limit = lap.rate, strength / lap.spring
    bend = rate**2 * limit
    left = lap.length
    # flowing from this end until the slip falls to the limit
    root = slope**2 - 2.0 * bend * np.maximum(slip - limit, 0.0)
    falls = (slope < 0.0) & (root >= 0.0)
    run = np.where(falls, (-slope - np.sqrt(np.maximum(root, 0.0))) / bend, np.inf)
    run = np.minimum(np.where((slip <= limit) & (slope <= 0.0), 0.0, run), left)
    slope, left = slope + bend * run, left - run
    # elastic until the slip is at the limit again, either way
    up, down = (limit + slope / rate) / 2.0, (limit - slope / rate) / 2.0
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        back = np.where(up > 0.0, down / np.where(up > 0.0, up, 1.0), np.inf)
        under = np.abs(np.where(up < 0.0, up, 1.0))
        other = (limit + np.sqrt(limit**2 + 4.0 * under * down)) / (2.0 * under)
        grown = np.where(up > 0.0, np.maximum(back, 1.0), np.where(up < 0.0, other, np.inf))
        run = np.minimum(np.log(grown) / rate, left)
    power = np.minimum(rate * run, _MOST_EXPONENT)
    inner = rate * (up * np.exp(power) - down * np.exp(-power))
    slope = np.where(left > 0.0, inner, slope)
    # flowing again to the far end
    return np.asarray(slope + np.where(up >= 0.0, bend, -bend) * (left - run))


def overlap_for(
    lap: Lap, load: Array, strength: Array, slip: Array, mismatch: Array | float = 0.0
) -> Array:
    """Overlap at which the ultimate load reaches a load.

    Parameters
    ----------
    lap : Lap
        N laps; their length is what is looked for.
    load : numpy.ndarray
        Load to reach [N].
    strength, slip : numpy.ndarray
        As in `ultimate`.
    mismatch : array_like
        As in `ultimate`.

    Returns
    -------
    numpy.ndarray
        Overlap [m]; NaN where no length reaches it.

    Examples
    --------
    >>> one = np.ones(1)
    >>> lap = Lap(one, one, 1e12 * one, 1e7 * one, 1e7 * one)
    >>> round(float(overlap_for(lap, 20e3 * one, 20e6 * one, 100e-6 * one)[0]), 6)
    0.001
    """
    most, e = long_ultimate(lap, strength, slip, mismatch), np.asarray(mismatch, float)
    low = load / (lap.width * strength)
    high = low + 40.0 / lap.rate
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        one = lap._replace(length=middle)
        short = _gives(one, strength, slip, e, load)
        short |= _gives(one.turned(), strength, slip, -e, load)
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return np.where(load < most * (1.0 - 1e-9), high, np.nan)


__all__ = ["energy", "long_ultimate", "overlap_for", "ultimate"]
