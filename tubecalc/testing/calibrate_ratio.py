"""Measured over promised, test by test."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubecalc.checks import CHECKS
from tubecalc.testing.predict import Promise, promise, spoken
from tubecalc.testing.result import TestResult
from tubecalc.tube import Tube

if TYPE_CHECKING:
    import pandas as pd

NAN = math.nan
YIELD = "yield"
STIFF = {"EI": "bending stiffness EI", "EA": "stiffness along EA", "GJ": "twist stiffness GJ"}


@dataclass(frozen=True)
class Ratio:
    """One measured value over the promised one.

    Attributes
    ----------
    specimen, construction, kind, failure : str
        Which test; construction is the key of the wall.
    check : str
        Check that made the promise; "EI", "EA" or "GJ" for a stiffness, "yield" of a metal.
    measured, promised : float
        In SI.
    quantity : str
        "load", "torque", "EI", "EA" or "GJ".
    at_least : bool
        Whether the measured value is a lower bound.
    rig_in_it : bool
        Whether the frame is still in the travel that a stiffness is from.
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
    rig_in_it: bool = False

    @property
    def ratio(self) -> float:
        """Measured over promised [-]."""
        return self.measured / self.promised

    @property
    def label(self) -> str:
        """Name of the check on screen."""
        return label_of(self.check)


def label_of(check: str) -> str:
    """Name of a check or a stiffness on screen.

    Examples
    --------
    >>> label_of("EI"), label_of("yield")
    ('bending stiffness EI', 'yield')
    """
    return CHECKS[check].label if check in CHECKS else STIFF.get(check, check)


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

    def add(check: str, measured: float, promised: float, quantity: str, at_least: bool,
            rig: bool = False) -> None:  # fmt: skip
        if measured > 0 and promised > 0 and math.isfinite(measured / promised):
            out.append(
                Ratio(result.name, key, result.kind, result.failure, check, measured, promised,
                      quantity, at_least, rig)
            )  # fmt: skip

    if result.kind != "column" and said.quantity and not math.isnan(result.si["modulus"]):
        rig = result.way == "travel_mm" and not result.framed
        add(said.quantity, result.si[said.quantity], said.stiffness, said.quantity,
            rig and result.kind == "compression", rig)  # fmt: skip
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


__all__ = ["STIFF", "YIELD", "Ratio", "label_of", "ratios", "table"]
