"""Measured over promised: which check is off, and factors that a user may switch on.

Nothing here changes a selection by itself. A `Calibration` holds factors that are all off until
the user switches one on; what is on is said in words and enters a need as its open factors.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tubecalc.errors import InputError, unknown_key
from tubecalc.need import Need
from tubecalc.testing.calibrate_ratio import STIFF, YIELD, Ratio, label_of, ratios, table
from tubecalc.testing.censored import fit
from tubecalc.testing.result import FAILURE_WORDS

NAN = math.nan
OPEN = 0.05  # what tolerances of a specimen and its rig leave open (common practice, no source)
_ENTERS = {"EI": "sag, slope, bowing and frequency", "GJ": "twists"}
WILD = 2.0  # a stiffness that is off by more is a mistake, not a bias (own rule)
LEAST = 3  # specimens that broke, from which a check can be called off


@dataclass(frozen=True)
class Bias:
    """How far one check is off for one construction, over all its tests.

    Attributes
    ----------
    construction, check : str
        Keys.
    failures : tuple of str
        Kinds of failure among the tests.
    n, broken : int
        Tests, and those that are no lower bound.
    ratio : float
        Middle of measured over promised [-]; NaN where all are lower bounds.
    low, high : float
        The middle lies between them with 95 % confidence; NaN for fewer than two that broke.
    spread : float
        Standard deviation of the logarithm of the ratios [-].
    at_least : float
        Largest ratio among the lower bounds; NaN where there is none.
    rigs : int
        Tests of a stiffness whose travel has the frame in it.
    """

    construction: str
    check: str
    failures: tuple[str, ...]
    n: int
    broken: int
    ratio: float
    low: float
    high: float
    spread: float
    at_least: float
    rigs: int = 0

    @property
    def label(self) -> str:
        """Name of the check on screen."""
        return label_of(self.check)

    @property
    def off(self) -> bool:
        """Whether the tests say that the check is off by more than specimens leave open."""
        if self.broken >= LEAST and (self.high < 1.0 - OPEN or self.low > 1.0 + OPEN):
            return True
        return self.at_least > 1.0 + OPEN and not self.ratio >= self.at_least

    @property
    def wild(self) -> bool:
        """Whether a stiffness is off by more than a material can be."""
        return self.check in STIFF and not 1 / WILD < self.ratio < WILD

    def cure(self) -> str:
        """What to do about a stiffness that is off.

        Returns
        -------
        str
            "" where nothing is, or where it is a load that is off.
        """
        if self.check not in STIFF or not self.off:
            return ""
        ply = {"EI": "E1 of the axial plies", "EA": "E1 of the axial plies",
               "GJ": "G12, and E1 of the plies at an angle,"}[self.check]  # fmt: skip
        if self.wild:
            return (
                "So far off is no bias: look for a wrong span, size, unit or construction, or a "
                "frame in the travel."
            )
        first = ""
        if self.rigs:
            few = "all" if self.rigs == self.n else f"{self.rigs} of {self.n}"
            first = f"The frame is still in the travel of {few}: take it out first. "
        wall = (
            "to change every figure, make an own wall on the page of stacks (layup) with "
            f"{ply} times {self.ratio:.2f} and choose with that"
        )
        if self.check == "EA" or not self.low < 1.0:
            why = "no check asks for EA" if self.check == "EA" else "a factor may not relax a need"
            return f"{first}No factor: {why}. {wall[:1].upper()}{wall[1:]}."
        return (
            f"{first}Switch its factor on below: {_ENTERS[self.check]} then count with "
            f"{self.low:.2f} of it; {wall}."
        )

    def sentence(self) -> str:
        """Say it.

        Returns
        -------
        str
        """
        tests = f"{self.broken} test{'s' if self.broken != 1 else ''}"
        if not self.broken:
            text = f"at least {self.at_least:.2f} of what is promised"
            more = ": it promises too little" if self.off else ""
            count = f"{self.n} lower bound{'s' if self.n > 1 else ''}"
            return f"{self.construction}, {self.label}: {text} ({count}){more}."
        text = f"{self.ratio:.2f} of what is promised"
        if not math.isnan(self.low):
            text += f" ({self.low:.2f} to {self.high:.2f})"
        if self.n > self.broken:
            tests += f" and {self.n - self.broken} at least"
        verdict = ""
        if self.broken < LEAST:
            verdict = f"; {LEAST - self.broken} more would tell whether it is off"
        elif self.off:
            verdict = ": it promises too " + ("much" if self.ratio < 1 else "little")
        cure = f" {self.cure()}" if self.cure() else ""
        return f"{self.construction}, {self.label}: {text}, {tests}{verdict}.{cure}"


def biases(found: Iterable[Ratio]) -> list[Bias]:
    """Gather ratios by construction and check.

    Parameters
    ----------
    found : iterable of Ratio
        Of any number of tests.

    Returns
    -------
    list of Bias
        In the order in which they first come.

    Notes
    -----
    Lognormal law by maximum likelihood; lower bounds count as such.

    Examples
    --------
    >>> where = ("pultruded", "three-point", "crush", "crush")
    >>> made = [Ratio(f"R{v}", *where, v, 1000.0, "load", False) for v in (700.0, 800.0, 750.0)]
    >>> biases(made)[0].sentence()
    'pultruded, crush at a load point: 0.75 of what is promised (0.63 to 0.88), 3 tests: it \
promises too much.'
    """
    groups: dict[tuple[str, str], list[Ratio]] = {}
    for one in found:
        groups.setdefault((one.construction, one.check), []).append(one)
    return [_bias(key, rows) for key, rows in groups.items()]


def _bias(key: tuple[str, str], rows: Sequence[Ratio]) -> Bias:
    from scipy.special import stdtrit

    x = np.array([r.ratio for r in rows])
    open_end = np.array([r.at_least for r in rows])
    broken = int(np.sum(~open_end))
    ratio = low = high = spread = NAN
    if broken:
        ratio = float(np.exp(np.mean(np.log(x[~open_end]))))
    if broken >= 2 and np.ptp(x[~open_end]) > 1e-9 * ratio:
        law = fit(x, open_end, "lognormal")
        more = math.sqrt(broken / (broken - 1))
        ratio, spread = math.exp(law.location), law.scale * more
        half = float(stdtrit(broken - 1, 0.975)) * law.location_error * more
        low, high = math.exp(law.location - half), math.exp(law.location + half)
    bounds = x[open_end]
    return Bias(
        *key, tuple(dict.fromkeys(r.failure for r in rows)), len(rows), broken, ratio, low, high,
        spread, float(np.max(bounds)) if len(bounds) else NAN, sum(r.rig_in_it for r in rows),
    )  # fmt: skip


@dataclass(frozen=True)
class Calibration:
    """Factors from tests; each is off until the user switches it on.

    Attributes
    ----------
    factors : tuple of Bias
        What the tests say.
    on : frozenset
        Pairs of construction and check that are switched on.
    """

    factors: tuple[Bias, ...]
    on: frozenset[tuple[str, str]] = frozenset()

    def switched(self, construction: str, check: str, *, on: bool = True) -> Calibration:
        """The same with one factor switched.

        Parameters
        ----------
        construction, check : str
            Keys of a factor.
        on : bool
            On or off.

        Returns
        -------
        Calibration

        Raises
        ------
        InputError
            If there is no such factor, or it may not be used: one test is an anecdote, and what
            is only a lower bound is no factor; nor may it relax a need.
        """
        key = (construction, check)
        known = {(f.construction, f.check): f for f in self.factors}
        if key not in known:
            raise unknown_key("factor", f"{construction}, {check}",
                              [", ".join(k) for k in known], "calibration")  # fmt: skip
        factor = known[key]
        if on and factor.broken < LEAST:
            raise InputError(
                f"{factor.broken} broken specimen{'s do' if factor.broken != 1 else ' does'} not "
                f"make a factor, {LEAST - factor.broken} more would",
                where=f"calibration:{construction}, {check}",
            )  # fmt: skip
        if on and ";" in construction:
            raise InputError(
                "the key of this wall holds a semicolon and cannot carry a factor: rename the wall",
                where=f"calibration:{construction}, {check}",
            )  # fmt: skip
        if on and check == "EA":
            raise InputError(
                "no check asks for EA: correct it in the plies of an own wall, not by a factor",
                where=f"calibration:{construction}, {check}",
            )  # fmt: skip
        if on and factor.wild:
            raise InputError(
                "so far off is no bias but a wrong span, size, unit or construction",
                where=f"calibration:{construction}, {check}", got=f"{factor.ratio:.2f}",
            )  # fmt: skip
        if on and not factor.low < 1.0:
            raise InputError(
                "the tests do not say that the check promises too much; a factor may not relax "
                "a need",
                where=f"calibration:{construction}, {check}", got=f"{factor.low:.2f} and more",
            )  # fmt: skip
        return replace(self, on=self.on | {key} if on else self.on - {key})

    def lines(self) -> list[str]:
        """Say what is on, for every place where its answer is shown.

        Returns
        -------
        list of str
            Empty where nothing is on.
        """
        return [
            f"Calibrated by {f.broken} tests: {f.construction}, {f.label}, "
            f"{'computed stiffness' if f.check in STIFF else 'promised loads'} times "
            f"{f.low:.2f} (tests {f.ratio:.2f}, spread {100 * f.spread:.0f} %)."
            for f in self.factors
            if (f.construction, f.check) in self.on
        ]

    def need(self, need: Need) -> Need:
        """The need with the factors that are on, open in its [factors].

        Parameters
        ----------
        need : Need
            What is asked.

        Returns
        -------
        Need
            Its `factors.bench` holds the lower end of the middle ratio of every factor that is
            on, and nothing else; other factors stay.
        """
        said = "; ".join(
            f"{f.construction} {'strength' if f.check == YIELD else f.check} {f.low:.4g}"
            for f in self.factors
            if (f.construction, f.check) in self.on
        )
        if said == need.factors.bench:
            return need
        return replace(need, factors=replace(need.factors, bench=said))


__all__ = [
    "FAILURE_WORDS", "STIFF", "Bias", "Calibration", "Ratio", "biases", "label_of", "ratios",
    "table",
]  # fmt: skip
