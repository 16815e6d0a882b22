"""Which ends a column had, from what it carried over what it would carry between pins."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tubecalc.errors import InputError

# Effective length over free length: the root of tan x = x makes 0.699 of pinned and fixed.
KNOWN = {"fixed and free": 2.0, "pinned at both": 1.0, "pinned and fixed": 0.699,
         "fixed at both": 0.5}  # fmt: skip
OPEN = 0.05  # of K, what size and modulus of a specimen leave open (common practice, no source)
MIX = 16.0  # diameters taken for radii: the second moment of area goes with the fourth power


@dataclass(frozen=True)
class Ends:
    """What loads of a column say of its ends.

    Attributes
    ----------
    ratio, low, high : float
        Measured load over that between pins, and its interval of 95 %; NaN for one reading [-].
    K, K_low, K_high : float
        Effective length over free length [-].
    ends : str
        The known ends whose K is that; "" where none is.
    mix : float
        Factor that a mix of radii and diameters would explain: 16, 1/16, or 1 [-].
    unexplained : float
        What stays: promised over measured for the nearest ends that can be, mix taken off [-].
    n : int
        Readings [-].
    at_least : bool
        Whether the readings stop before the plateau.
    """

    ratio: float
    low: float
    high: float
    K: float
    K_low: float
    K_high: float
    ends: str
    mix: float
    unexplained: float
    n: int
    at_least: bool

    def sentences(self) -> list[str]:
        """Say it.

        Returns
        -------
        list of str
        """
        least = "at least " if self.at_least else ""
        text = f"Measured over what pinned ends promise: {least}{self.ratio:.3g}"
        if not math.isnan(self.low):
            text += f" ({self.low:.3g} to {self.high:.3g}, {self.n} readings)"
        out = [f"{text}."]
        most = "at most " if self.at_least else ""
        length = f"effective length over free length {most}{self.K:.2f}"
        if self.ends:
            out.append(f"{_first(length)}: as {self.ends} ({KNOWN[self.ends]:.2f}).")
        elif 0.5 <= self.K <= 1.0:
            out.append(f"{_first(length)}: the ends give, between pinned and fixed at both.")
        elif self.mix == 1.0:
            out.append(
                f"{_first(length)}: no ends of a column explain it. A factor of about "
                f"{_factor(self.unexplained)} stays unexplained: length, size, modulus or how the "
                "load was read."
            )
        if self.mix != 1.0:
            out.append(self._mixed())
        if self.at_least:
            out.append(
                "The readings stop before the load stands: at a set sideways deflection it is not "
                "yet the plateau, and the column carries more."
            )
        return out

    def _mixed(self) -> str:
        way = f"{'diameters' if self.mix > 1 else 'radii'} were taken for "
        way += "radii" if self.mix > 1 else "diameters"
        said = f"The promise is {1 / self.ratio:.3g} times the measured load: if {way}, "
        said += f"that is {MIX:.0f} of it" if self.mix > 1 else f"that is 1/{MIX:.0f} of it"
        if abs(math.log(self.unexplained)) < math.log(1 + 2 * OPEN):
            return f"{said}, and all is explained by pinned ends."
        return (
            f"{said}; a factor of about {_factor(self.unexplained)} stays unexplained: ask for the "
            "sizes, the length and how the load was read."
        )


def _first(text: str) -> str:
    return text[:1].upper() + text[1:]


def _factor(value: float) -> str:
    if value >= 1:
        return f"{value:.2g} (measured less)"
    return f"{1 / value:.2g} (measured more)"


def ends_of(
    loads: Sequence[float], pinned: float, *, at_least: bool = False, where: str = "column"
) -> Ends:
    """Infer how the ends of a column were held.

    Parameters
    ----------
    loads : sequence of float
        Measured critical loads of one column [N].
    pinned : float
        Load promised between pins [N].
    at_least : bool
        Whether the readings stop before the plateau, as those at a set sideways deflection do.
    where : str
        Name of the column.

    Returns
    -------
    Ends

    Raises
    ------
    InputError
        If a load is not above zero.

    Notes
    -----
    K = sqrt(pinned / measured), from Euler's load; interval by Student's t over the readings.
    Grade B: the modulus and sizes that the promise is made of leave about 5 % of K open.

    Examples
    --------
    >>> found = ends_of([43.0, 43.5, 44.0], 21.59)
    >>> round(found.K, 2), found.ends
    (0.7, 'pinned and fixed')
    >>> round(ends_of([1.0], 34.0).unexplained, 2)
    2.12
    """
    x = np.asarray(loads, float)
    if not len(x) or not np.all(x > 0) or not np.all(np.isfinite(x)) or not pinned > 0:
        raise InputError("a load of a column is above zero", where=where)
    from scipy.special import stdtrit

    mean, half = float(np.mean(x)), math.nan
    if len(x) > 1:
        half = float(stdtrit(len(x) - 1, 0.975)) * float(np.std(x, ddof=1)) / math.sqrt(len(x))
    ratio, low, high = mean / pinned, (mean - half) / pinned, (mean + half) / pinned
    length = 1 / math.sqrt(ratio)
    ends = next((k for k, v in KNOWN.items() if abs(length / v - 1) <= OPEN), "")
    mix, left = 1.0, 1.0
    if not ends and not 0.5 <= length <= 1.0:
        if 1 / ratio > MIX / 2:
            mix, left = MIX, 1 / ratio / MIX
        elif ratio > 4 * MIX / 2:
            mix, left = 1 / MIX, MIX / ratio
        elif length < 0.5:
            left = 4 / ratio  # even fixed ends promise less
        else:
            left = 1 / ratio
    return Ends(
        ratio, low, high, length, 1 / math.sqrt(high) if high > 0 else math.nan,
        1 / math.sqrt(low) if low > 0 else math.nan, ends, mix, left, len(x), at_least,
    )  # fmt: skip


__all__ = ["KNOWN", "Ends", "ends_of"]
