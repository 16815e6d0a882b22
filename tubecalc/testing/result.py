"""What one test said: figures with intervals, found points, and what must be said too."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

from tubecalc.testing.reduce_kinds import Rig

NAN = math.nan
# Failures as a user may name them -> whether the largest load is only "at least" the tube's.
FAILURES: dict[str, bool] = {
    "break": False, "crush": False, "split": False, "buckling": False, "yield": False,
    "delamination": False, "grip": True, "jaw": True, "bond": True, "slip": True,
    "run-out": True, "stopped": True,
}  # fmt: skip
FAILURE_WORDS = {
    "break": "broke", "crush": "crushed", "split": "split", "buckling": "buckled",
    "yield": "yielded", "delamination": "plies came apart", "grip": "broke at the grip",
    "jaw": "crushed in the jaw", "bond": "the bonded end let go", "slip": "slipped in the grip",
    "run-out": "reached the limit of the frame", "stopped": "stopped before it broke",
    "": "not said",
}  # fmt: skip


@dataclass(frozen=True)
class Mark:
    """A point found on the curve.

    Attributes
    ----------
    key : str
        "origin", "linear-from", "linear-to", "departure", "offset", "peak", "first-drop", "slip";
        "unloaded" for the sideways deflection of a column at no load.
    label : str
        What it is, in words.
    x, y : float
        Travel [mm or deg] and load [N or N m], signs as recorded.
    argument : str
        Argument of `reduce_test` that moves it; "" where it follows from the others.
    """

    key: str
    label: str
    x: float
    y: float
    argument: str = ""


@dataclass(frozen=True)
class TestResult:
    """One reduced test; quantities where a figure is known, None where it is not.

    Attributes
    ----------
    name, kind : str
        Specimen and kind of test.
    rig : Rig
        How it was held, and its section.
    failure : str
        As entered; "" where it was not.
    peak_is_at_least : bool
        Whether the tube would have carried more: never averaged as a strength.
    notes : tuple of str
        What a reader must know.
    marks : tuple of Mark
        Every point found.
    way : str
        Column that the load was read against.
    si : dict of str to float
        All figures in SI, NaN where not known: stiffness, stiffness_half, EI, EA, GJ, modulus and
        their _half, apparent_modulus, yield_departure, yield_offset, peak, first_drop, energy,
        stress, tare, origin, set; of a column with its sideways deflection critical,
        critical_half, bow, bow_half, bow_from, bow_to, bow_origin.
    senses : tuple of float
        Slope of each sense of loading, SI.
    loadings : tuple of float
        Slope of each loading of a test with loops, SI.
    load_unit, travel_unit : str
        Units of the file.
    framed : bool
        Whether the frame is taken out of the travel.
    batch : str
        Batch that the specimen is from; "" where it is not told.
    """

    __test__ = False  # not a test of pytest's

    name: str
    kind: str
    rig: Rig
    failure: str
    peak_is_at_least: bool
    notes: tuple[str, ...]
    marks: tuple[Mark, ...]
    way: str
    si: dict[str, float] = field(repr=False)
    senses: tuple[float, ...] = ()
    loadings: tuple[float, ...] = ()
    load_unit: str = "N"
    travel_unit: str = "mm"
    framed: bool = False
    batch: str = ""

    def _q(self, key: str, si: str, unit: str) -> Any:
        from tubecalc.units import Q_

        value = self.si.get(key, NAN)
        return None if math.isnan(value) else Q_(value, si).to(unit)

    @property
    def _si_load(self) -> str:
        return "N*m" if self.kind == "torsion" else "N"

    @property
    def _slope_units(self) -> tuple[str, str]:
        if self.kind == "torsion":
            return "N*m/rad", f"{self.load_unit}/{self.travel_unit}"
        return "N/m", f"{self.load_unit}/{self.travel_unit}"

    @property
    def stiffness(self) -> Any:
        """Slope of the straight part, in units of the file."""
        return self._q("stiffness", *self._slope_units)

    @property
    def stiffness_interval(self) -> Any:
        """The stiffness lies between these two with 95 % confidence."""
        k, half = self.si["stiffness"], self.si["stiffness_half"]
        if math.isnan(k) or math.isnan(half):
            return None
        from tubecalc.units import Q_

        si, unit = self._slope_units
        return Q_(k - half, si).to(unit), Q_(k + half, si).to(unit)

    @property
    def EI(self) -> Any:
        """Bending stiffness; with shear taken out where a span series was given."""
        return self._q("EI", "N*m^2", "N*m^2")

    @property
    def EA(self) -> Any:
        """Stiffness along the axis."""
        return self._q("EA", "N", "N")

    @property
    def GJ(self) -> Any:
        """Twist stiffness."""
        return self._q("GJ", "N*m^2", "N*m^2")

    @property
    def GA(self) -> Any:
        """Shear stiffness, from a span series."""
        return self._q("GA", "N", "N")

    @property
    def modulus(self) -> Any:
        """E of a bar, beam or ring, G of a twisted tube; None where the test cannot give it."""
        return self._q("modulus", "Pa", "GPa")

    @property
    def apparent_modulus(self) -> Any:
        """The same without any correction, also where it is no modulus of the wall."""
        return self._q("apparent_modulus", "Pa", "GPa")

    @property
    def yield_load(self) -> Any:
        """Load at 0.2 % offset; where that was not reached, where the curve leaves the line."""
        return self.yield_offset if self.yield_offset is not None else self.yield_departure

    @property
    def yield_offset(self) -> Any:
        """Load where the curve meets the line shifted by 0.2 % strain of the outside."""
        return self._q("yield_offset", self._si_load, self.load_unit)

    @property
    def yield_departure(self) -> Any:
        """Load where the curve leaves its line for good."""
        return self._q("yield_departure", self._si_load, self.load_unit)

    @property
    def peak(self) -> Any:
        """Largest load, tare taken off."""
        return self._q("peak", self._si_load, self.load_unit)

    @property
    def critical_load(self) -> Any:
        """Load at which a column bows, by the line of its sideways deflection."""
        return self._q("critical", "N", self.load_unit)

    @property
    def bow(self) -> Any:
        """Bow of a column before any load, the load's eccentricity in it."""
        return self._q("bow", "m", "mm")

    @property
    def section_is_at_least(self) -> bool:
        """Whether EI and modulus are lower bounds: of a column that reached no plateau."""
        known = not math.isnan(self.si.get("critical", NAN))
        return self.kind == "column" and self.peak_is_at_least and not known

    @property
    def first_drop(self) -> Any:
        """Load at the first sudden fall."""
        return self._q("first_drop", self._si_load, self.load_unit)

    @property
    def energy(self) -> Any:
        """Work up to the largest load."""
        return self._q("energy", "J", "J")

    @property
    def stress(self) -> Any:
        """Largest nominal stress at the largest load, as in a wall of one material."""
        return self._q("stress", "Pa", "MPa")

    def row(self) -> dict[str, Any]:
        """Give one line of a table.

        Returns
        -------
        dict
            Names carry their unit; NaN where not known.
        """
        torsion = self.kind == "torsion"
        load, slope = ("N_m", "N_m_per_deg") if torsion else ("N", "N_per_mm")
        per = math.pi / 180 if torsion else 1e-3
        v = self.si

        def both(key: str, unit: str, factor: float = 1.0) -> dict[str, float]:
            return {f"{key}_{unit}": v.get(key, NAN) * factor}

        return {
            "specimen": self.name, "kind": self.kind,
            **({"batch": self.batch} if self.batch else {}),
            "failure": self.failure, "at_least": self.peak_is_at_least,
            **both("peak", load), **both("first_drop", load), **both("yield_departure", load),
            **both("yield_offset", load), **both("stiffness", slope, per),
            f"stiffness_low_{slope}": (v["stiffness"] - v["stiffness_half"]) * per,
            f"stiffness_high_{slope}": (v["stiffness"] + v["stiffness_half"]) * per,
            **both("EI", "N_m2"), **both("EA", "N"), **both("GJ", "N_m2"), **both("GA", "N"),
            **both("modulus", "GPa", 1e-9), **both("apparent_modulus", "GPa", 1e-9),
            **both("stress", "MPa", 1e-6), **both("energy", "J"), **both("critical", "N"),
            **both("bow", "mm", 1e3),
            "od_mm": self.rig.od * 1e3, "wall_mm": self.rig.wall * 1e3,
            "span_mm": self.rig.span * 1e3, "gauge_length_mm": self.rig.gauge * 1e3,
            "notes": " ".join(self.notes),
        }  # fmt: skip
