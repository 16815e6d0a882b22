"""Measured over promised: which check is off, and factors that a user may switch on.

Nothing here changes a selection by itself. A `Calibration` holds factors that are all off until
the user switches one on; what is on is said in words and enters a need as its open factors.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from tubecalc.checks import CHECKS
from tubecalc.errors import InputError, unknown_key
from tubecalc.need import Need
from tubecalc.testing.censored import fit
from tubecalc.testing.predict import Promise, promise, spoken
from tubecalc.testing.result import FAILURE_WORDS, TestResult
from tubecalc.tube import Tube

if TYPE_CHECKING:
    import pandas as pd

NAN = math.nan
STIFFNESS, YIELD = "stiffness", "yield"
OPEN = 0.05  # what tolerances of a specimen and its rig leave open (common practice, no source)
LEAST = 3  # specimens that broke, from which a check can be called off


@dataclass(frozen=True)
class Ratio:
    """One measured value over the promised one.

    Attributes
    ----------
    specimen, construction, kind, failure : str
        Which test; construction is the key of the wall.
    check : str
        Check that made the promise; "stiffness", or "yield" of a metal.
    measured, promised : float
        In SI.
    quantity : str
        "load", "torque", "EI", "EA" or "GJ".
    at_least : bool
        Whether the measured value is a lower bound.
    """

    specimen: str
    construction: str
    kind: str
    failure: str
    check: str
    measured: float
    promised: float
    quantity: str
    at_least: bool

    @property
    def ratio(self) -> float:
        """Measured over promised [-]."""
        return self.measured / self.promised

    @property
    def label(self) -> str:
        """Name of the check on screen."""
        return CHECKS[self.check].label if self.check in CHECKS else self.check


def ratios(result: TestResult, tube: Tube, *, said: Promise | None = None) -> list[Ratio]:
    """Compare a test with what the checks promise for the specimen.

    Parameters
    ----------
    result : TestResult
        The test.
    tube : Tube
        The specimen as measured.
    said : Promise, optional
        What was promised; worked out when not given.

    Returns
    -------
    list of Ratio
        One for the stiffness and one for the load, where both sides are known.

    Raises
    ------
    InputError
        If nothing can be promised.
    """
    said = promise(result, tube) if said is None else said
    key = tube.construction.key
    out = []

    def add(check: str, measured: float, promised: float, quantity: str, at_least: bool) -> None:
        if measured > 0 and promised > 0 and math.isfinite(measured / promised):
            out.append(
                Ratio(result.name, key, result.kind, result.failure, check, measured, promised,
                      quantity, at_least)
            )  # fmt: skip

    if result.kind != "column" and said.quantity and not math.isnan(result.si["modulus"]):
        add(STIFFNESS, result.si[said.quantity], said.stiffness, said.quantity, False)
    check, load = spoken(result, said)
    measured = result.si["peak"]
    if result.failure == "yield" and result.yield_load is not None:
        offset = result.si["yield_offset"]
        measured = offset if not math.isnan(offset) else result.si["yield_departure"]
        check = YIELD
    if result.failure in ("split", "delamination") and not math.isnan(result.si["first_drop"]):
        measured = result.si["first_drop"]
    quantity = "torque" if result.kind == "torsion" else "load"
    critical = result.si.get("critical", NAN)
    if critical > 0:
        add("column", critical, said.loads.get("column", NAN), quantity, False)
        if check == "column":
            return out
    add(check or "strength", measured, load, quantity, result.peak_is_at_least)
    return out


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

    @property
    def label(self) -> str:
        """Name of the check on screen."""
        return CHECKS[self.check].label if self.check in CHECKS else self.check

    @property
    def off(self) -> bool:
        """Whether the tests say that the check is off by more than specimens leave open."""
        if self.broken >= LEAST and (self.high < 1.0 - OPEN or self.low > 1.0 + OPEN):
            return True
        return self.at_least > 1.0 + OPEN and not self.ratio >= self.at_least

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
        return f"{self.construction}, {self.label}: {text}, {tests}{verdict}."


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
        spread, float(np.max(bounds)) if len(bounds) else NAN,
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
        if on and check == STIFFNESS:
            raise InputError(
                "a stiffness is corrected in the plies of an own wall, not by a factor",
                where=f"calibration:{construction}, {check}",
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
            f"Calibrated by {f.broken} tests: {f.construction}, {f.label}, promised loads times "
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


def table(found: Sequence[Ratio]) -> pd.DataFrame:
    """Ratios as a table.

    Parameters
    ----------
    found : sequence of Ratio
        Of any number of tests.

    Returns
    -------
    pandas.DataFrame
        specimen, construction, kind, failure, check, quantity, measured, promised (SI), ratio,
        at_least.
    """
    import pandas as pd

    columns = ["specimen", "construction", "kind", "failure", "check", "quantity", "measured",
               "promised", "ratio", "at_least"]  # fmt: skip
    return pd.DataFrame([{c: getattr(r, c) for c in columns} for r in found], columns=columns)


__all__ = ["FAILURE_WORDS", "Bias", "Calibration", "Ratio", "biases", "ratios", "table"]
