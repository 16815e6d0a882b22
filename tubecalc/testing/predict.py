"""What the checks promise for a test: stiffness, and the load of every way to fail."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tubecalc.checks import CHECKS, evaluate
from tubecalc.compare_loads import KINDS as LOADS
from tubecalc.compare_loads import Part, loaded, parts_of
from tubecalc.errors import InputError
from tubecalc.loadpoint import NOSE_ANGLE, Patch
from tubecalc.loadpoint_table import over_axis
from tubecalc.need import Case, Need
from tubecalc.testing.reduce_kinds import UNSAID
from tubecalc.testing.result import TestResult
from tubecalc.tube import Tube
from tubecalc.unit_display import show

NAN = math.nan
NOSE = 0.010  # length of tube under a nose when none is said [m]
# Failure as entered -> checks that speak of it, the least of those that apply counts.
SPEAKS = {
    "break": ("strength", "shear", "hole"),
    "crush": ("crush", "end_crush"),
    "split": ("split", "first_ply"),
    "delamination": ("first_ply", "split"),
    "buckling": ("column", "column_bow", "wall_buckling", "shaft_helix"),
    "yield": ("strength", "shear", "crush"),
}


@dataclass(frozen=True)
class Promise:
    """What the checks promise for one test, in SI.

    Attributes
    ----------
    stiffness : float
        EI, EA or GJ, whichever the kind of test measures, as the test would read it: of a beam
        with its shear, and with the dents under the nose where the travel is the nose's; NaN for a
        ring.
    quantity : str
        "EI", "EA" or "GJ".
    loads : dict of str to float
        Load of each check [N or N m].
    advisory : frozenset of str
        Checks of a first damage among them.
    last, first : float
        Load at which it carries no more, and of yield or first damage.
    last_by, first_by : str
        What happens there, in words.
    """

    stiffness: float
    quantity: str
    loads: dict[str, float]
    advisory: frozenset[str]
    last: float
    first: float
    last_by: str
    first_by: str


@dataclass(frozen=True)
class Beyond:
    """What is in the travel of a beam beside its bending, as computed.

    Attributes
    ----------
    bend, shear, dent : float
        Travel per load [m/N]; dent under the nose and over the supports, 0 where the travel is not
        the nose's.
    """

    bend: float
    shear: float
    dent: float

    @property
    def share(self) -> float:
        """Part of the travel that is no bending [-]."""
        return 1 - self.bend / (self.bend + self.shear + self.dent)


def beyond_bending(result: TestResult, tube: Tube, *, nose: float = NOSE) -> Beyond | None:
    """What is in the travel of a bending test beside bending, as computed for its tube.

    Parameters
    ----------
    result : TestResult
        A bending test.
    tube : Tube
        The specimen.
    nose : float
        Length of tube that a nose touches where the test does not say it [m].

    Returns
    -------
    Beyond or None
        None for another kind of test, without a span, or where a span series has shear out.

    Notes
    -----
    Three-point bending as `Tube.deflection`, dents at="nose". Four-point bending: Timoshenko beam
    at the noses, Roark 7th ed. Table 8.1 (MEMORY); its dents are left out.

    Examples
    --------
    >>> import pandas as pd
    >>> from tubecalc.testing.reduce import reduce_test
    >>> data = pd.DataFrame({"travel_mm": np.arange(9.0), "force_N": 100 * np.arange(9.0)})
    >>> test = reduce_test(data, "three-point", span="200 mm", od="20 mm", wall="1 mm")
    >>> found = beyond_bending(test, Tube("6061-T6", od="20 mm", wall="1 mm"))
    >>> found.dent > 0, 0 < found.share < 0.5
    (True, True)
    """
    rig, s = result.rig, tube.sections
    if not rig.bends or math.isnan(rig.span) or not math.isnan(result.si["GA"]):
        return None
    bend, shear = rig.bending_stiffness(1.0) / float(s.EI[0]), 1 / float(s.kGA[0])
    if result.kind == "four-point":
        return Beyond(bend, rig.arm / 2 * shear, 0.0)
    dent = 0.0
    if result.way == "travel_mm":
        touch = rig.nose if rig.nose > 0 else nose
        more = over_axis(s, rig.span, Patch(touch, NOSE_ANGLE))
        dent = float((more.nose + more.support)[0])
    return Beyond(bend, rig.span / 4 * shear, dent)


def bending_said(result: TestResult, found: Beyond | None, units: str = "SI") -> list[str]:
    """What dents and shear make of a bending test, for the figures beside its curve.

    Parameters
    ----------
    result : TestResult
        A test.
    found : Beyond or None
        What is in its travel beside bending.
    units : str
        Display system.

    Returns
    -------
    list of str
        Empty where no such part is known, or where it is below 2 % of the travel.
    """
    if found is None or found.share < 0.02 or not result.si["stiffness"] > 0:
        return []
    part = f"shear {100 * found.shear / (found.bend + found.shear + found.dent):.0f} %"
    if result.kind == "four-point":
        part += " (dents under the noses are not known here)"
    elif result.way == "travel_mm":
        said = result.rig.nose > 0
        touch = show(result.rig.nose if said else NOSE, "length", units)
        part += f", dents {100 * found.dent / (found.bend + found.shear + found.dent):.0f} %"
        part += f" with a nose of {touch}" + ("" if said else " (not said: give its width)")
    left = 1 / result.si["stiffness"] - found.shear - found.dent
    out = f"Computed for this tube, the travel holds beside bending: {part}. "
    if not left > 0:
        return [f"{out}That is all of what was measured: span, size or construction is wrong."]
    EI = result.rig.bending_stiffness(1 / left)
    return [
        f"{out}With these taken out the test gives EI {show(EI, 'bending_stiffness', units)} "
        "(grade B); measured over promised compares travel with travel."
    ]


def _case(result: TestResult, nose: float) -> tuple[str, Case, float]:
    """Kind of load of the house, its case with one unit, and the length that travels are for."""
    rig = result.rig
    if result.kind == "torsion":
        return "torsion", Case("shaft", torque=1.0), 1.0
    if result.kind == "tension":
        return "tension", Case("strut", load=1.0), 1.0
    if result.kind == "compression":
        return "compression", Case("strut", load=-1.0, end_fitting="plain"), 1.0
    if result.kind == UNSAID:
        raise InputError("the kind of test is not said", where=f"{result.name}:kind")
    if math.isnan(rig.span):
        raise InputError("without a span nothing can be promised", where=f"{result.name}:span")
    if result.kind == "column":
        return "buckling", Case("strut", load=-1.0, span=rig.span, ends=rig.ends), rig.span
    touch = rig.nose if rig.nose > 0 else nose
    case = Case("three-point", load=1.0, span=rig.span, roller_width=touch)
    if result.kind == "four-point":
        case = replace(case, kind="four-point", inner_span=rig.inner)
    return "bending", case, rig.span


def promise(result: TestResult, tube: Tube, *, nose: float = NOSE) -> Promise:
    """What the checks promise for a test.

    Parameters
    ----------
    result : TestResult
        The test.
    tube : Tube
        The specimen, as measured.
    nose : float
        Length of tube that each nose touches where the test does not say it [m].

    Returns
    -------
    Promise

    Raises
    ------
    InputError
        For more than one tube, or a beam or column without a span.

    Examples
    --------
    >>> import pandas as pd
    >>> from tubecalc.testing.reduce import reduce_test
    >>> turn = np.linspace(0, 9, 90)
    >>> data = pd.DataFrame({"angle_deg": turn, "torque_N_m": 2.0 * turn})
    >>> tube = Tube("304", od="10 mm", id="8 mm")
    >>> test = reduce_test(data, "torsion", gauge_length="155 mm", od="10 mm", id="8 mm")
    >>> said = promise(test, tube)
    >>> said.quantity, round(said.stiffness, 1), said.last_by
    ('GJ', 44.6, 'full plastic load')
    """
    if len(tube) != 1:
        raise InputError("one tube is compared with one test", where=f"{result.name}:tube",
                         got=f"{len(tube)} tubes")  # fmt: skip
    s = tube.sections
    quantity = {"torsion": "GJ", "tension": "EA", "compression": "EA"}.get(result.kind, "EI")
    if result.kind == "ring":
        return Promise(NAN, "", {}, frozenset(), NAN, NAN, "", "")
    kind, case, span = _case(result, nose)
    parts = parts_of(tube.candidates, evaluate(tube.candidates, Need(cases=(case,))))
    parts = [_worst(p, parts) for p in {p.check: p for p in parts}.values()]
    out = loaded(tube.candidates, replace(LOADS[kind], case=case), parts, span)
    loads = {p.check: float(p.load[0]) for p in parts if np.isfinite(p.load[0])}
    more = beyond_bending(result, tube, nose=nose)
    stiffness = float(getattr(s, quantity)[0]) * (1.0 if more is None else 1 - more.share)
    return Promise(
        stiffness, quantity, loads,
        frozenset(p.check for p in parts if p.early), float(out.last[0]), float(out.first[0]),
        out.last_by[0], out.first_by[0],
    )  # fmt: skip


def _worst(part: Part, parts: list[Part]) -> Part:
    """The least load among the outcomes of one check."""
    same = [p for p in parts if p.check == part.check]
    return min(same, key=lambda p: float(p.load[0]))


def spoken(result: TestResult, said: Promise) -> tuple[str, float]:
    """Check that speaks of the failure of a test, and the load it promised.

    Parameters
    ----------
    result : TestResult
        The test.
    said : Promise
        What was promised.

    Returns
    -------
    check : str
        Key of the check; "" for the last load of all where the failure is not known.
    load : float
        [N or N m].
    """
    known = SPEAKS.get(result.failure, ())
    mine = {c: said.loads[c] for c in known if c in said.loads}
    if mine:
        check = min(mine, key=lambda c: mine[c])
        if check == "strength" and result.failure == "break" and math.isfinite(said.last):
            return check, max(mine[check], said.last)  # metals carry on beyond yield
        return check, mine[check]
    ends = {c: v for c, v in said.loads.items() if c not in said.advisory}
    return (min(ends, key=lambda c: ends[c]) if ends else ""), said.last


def check_label(check: str) -> str:
    """Name of a check on screen; "stiffness" for none."""
    return CHECKS[check].label if check in CHECKS else (check or "last load")


def weight_for_weight(results: list[TestResult], masses: list[Any]) -> Any:
    """Stiffness and largest load of tests per mass per length.

    Parameters
    ----------
    results : list of TestResult
        Tests.
    masses : list of str, Quantity or Tube
        Mass per length of each specimen, or the tube it is.

    Returns
    -------
    pandas.DataFrame
        specimen, kind, mass_kg_per_m, and per mass: stiffness (EI, EA or GJ) and peak, with units
        in the names; at_least where the tube would have carried more.

    Raises
    ------
    InputError
        If there are not as many masses as tests.
    """
    import pandas as pd

    from tubecalc.units import to_si

    if len(masses) != len(results):
        raise InputError("as many masses as tests are needed", where="masses",
                         got=str(len(masses)), expected=str(len(results)))  # fmt: skip
    rows = []
    for n, (test, given) in enumerate(zip(results, masses, strict=True), start=1):
        if isinstance(given, Tube):
            mass = float(given.mass_per_length.to("kg/m").magnitude)
        else:
            mass = to_si(given, "linear_density", what=f"masses:{n}", positive=True)
        v = test.si
        rows.append(
            {
                "specimen": test.name, "kind": test.kind, "failure": test.failure,
                "at_least": test.peak_is_at_least, "mass_kg_per_m": mass,
                "EI_per_mass_N_m3_per_kg": v["EI"] / mass,
                "EA_per_mass_N_m_per_kg": v["EA"] / mass,
                "GJ_per_mass_N_m3_per_kg": v["GJ"] / mass,
                "peak_per_mass_N_m_per_kg": v["peak"] / mass if test.kind != "torsion" else NAN,
                "peak_per_mass_N_m2_per_kg": v["peak"] / mass if test.kind == "torsion" else NAN,
            }
        )  # fmt: skip
    return pd.DataFrame(rows)
