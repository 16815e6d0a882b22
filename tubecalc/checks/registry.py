"""The ways to fail that are checked: grade, expected error, basis and range of each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tubecalc.laminate.elastic import Array, Bools
from tubecalc.unit_words import rough

GRADES = {
    "A": "closed form verified against published values and an independent solver",
    "B": "engineering estimate",
    "C": "rule of thumb of the trade",
}


@dataclass(frozen=True)
class Range:
    """Where a check has been shown to hold: a quantity and its least and greatest value.

    Both ends belong to the range. The quantity is as shown, "R/t" or "hottest temperature"; kind is
    that of a quantity with a unit, in SI (a temperature in degC).
    """

    quantity: str
    low: float
    high: float
    kind: str = ""

    def outside(self, value: Array | float) -> Bools:
        """Whether values lie outside; a value not known does not.

        Parameters
        ----------
        value : numpy.ndarray or float
            Actual values of the quantity.

        Returns
        -------
        numpy.ndarray

        Examples
        --------
        >>> Range("R/t", 2.0, 100.0).outside(np.array([1.9, 2.0, 100.0, 101.0])).tolist()
        [True, False, False, True]
        """
        v, close = np.asarray(value, float), 1e-9
        low, high = self.low - close * abs(self.low), self.high + close * abs(self.high)
        return np.asarray((v < low) | (v > high))

    def shown(self, value: float, system: str = "SI") -> str:
        """A value of the quantity, to three digits.

        Parameters
        ----------
        value : float
            As in the range.
        system : str
            Display system.

        Returns
        -------
        str

        Examples
        --------
        >>> Range("hottest temperature", -np.inf, 120.0, "temperature").shown(120.0, "inch")
        '248 °F'
        """
        return rough(value, self.kind, system) if self.kind else f"{value:.3g}"

    def said(self, system: str = "SI") -> str:
        """The range in words.

        Parameters
        ----------
        system : str
            Display system.

        Returns
        -------
        str
        """
        low, high = (
            self.shown(x, system) if self.kind else f"{x:g}" for x in (self.low, self.high)
        )
        if np.isinf(self.high):
            return f"{self.quantity} from {low}"
        if np.isinf(self.low):
            return f"{self.quantity} up to {high}"
        return f"{self.quantity} {low} to {high}"

    def __str__(self) -> str:
        return self.said()


@dataclass(frozen=True)
class Check:
    """Name of a way to fail, its grades (composite, metal), expected error, basis and range."""

    label: str
    grades: tuple[str, str]
    error: str
    basis: str
    advisory: bool = False
    envelope: bool = False  # fits or does not: governs only where it fails
    ranges: tuple[Range, ...] = ()


CHECKS: dict[str, Check] = {
    "strength": Check(
        "strength", ("B", "A"), "composite -20 to +25 %, burst lower beside the netting angle; "
        "metal 5 %",
        "ply stress of the exact layered wall (bending layer-wise), Hashin 1980 with ply discount; "
        "metals: von Mises yield", ranges=(Range("R/t", 2.0, np.inf),),
    ),
    "shear": Check(
        "transverse shear", ("B", "B"), "15 %", "thin-wall shear flow V / (pi R) on the plies",
        ranges=(Range("R/t", 2.0, np.inf),),
    ),
    "first_ply": Check(
        "first crack in a ply", ("B", "A"), "20 % and more; the stress-free temperature decides",
        "ply stress of the exact layered wall on top of cure stress, criterion of the need",
        advisory=True, ranges=(Range("R/t", 2.0, np.inf),),
    ),
    "weep": Check(
        "weeping", ("B", "A"), "20 % and more; the stress-free temperature decides",
        "first crack of any ply under pressure inside, exact layered wall on top of cure stress",
        ranges=(Range("R/t", 2.0, np.inf),),
    ),
    "collapse": Check(
        "collapse under outside pressure", ("B", "B"),
        "perfect round tube 0 to +3 % against the solver, thin vessels within 1 %",
        "least over waves round of a shell between rings, following pressure; times 0.75 (NASA "
        "SP-8007)",
        ranges=(Range("R/t", 4.5, np.inf), Range("L/R", 1.0, np.inf)),
    ),
    "column": Check(
        "column buckling", ("A", "A"), "1 % from 20 diameters on, +1.7 % at 8",
        "exact column with shear (Engesser 1891) for each end condition; Timoshenko & Gere, Theory "
        "of Elastic Stability", ranges=(Range("L/D", 8.0, 1000.0),),
    ),
    "column_bow": Check(
        "bowed strut", ("B", "B"), "10 to 20 %, the bow decides",
        "Ayrton-Perry: axial and bending strength with the bow amplified by 1 / (1 - P/Pcr)",
        ranges=(Range("L/D", 8.0, 1000.0),),
    ),
    "shaft_helix": Check(
        "shaft bowing under torque", ("B", "B"), "5 % between pins, cautious at other ends",
        "Greenhill 1883, Timoshenko & Gere 2.21, with end thrust",
        ranges=(Range("L/D", 8.0, 1000.0),),
    ),
    "wall_buckling": Check(
        "local buckling of the wall", ("B", "B"),
        "perfect tube -1 to +4 % against the solver, flattening -6 to 0 %; the knock-down takes 30 "
        "to 40 % off small sound composite tubes",
        "least over waves round and along of a shell with transverse shear (Sanders), NASA SP-8007 "
        "knock-down, shares of several loads added up; flattening after Brazier",
        ranges=(Range("R/t", 4.5, 500.0), Range("L/R", 1.0, np.inf)),
    ),
    "crush": Check(
        "crush at a load point", ("C", "C"), "factor 1.5; calibrate with a bench test",
        "dent one wall deep, after API RP 2A / Furnes & Amdahl 1980, hoop and axial strength apart",
        ranges=(Range("R/t", 2.0, 60.0),),
    ),
    "split": Check(
        "first damage at a load point", ("B", "B"),
        "ply stress -9 to +5 % against elasticity; the strength across the fibres scatters 20 %",
        "Fourier-integral shell with transverse shear, layered ring; Hashin 1980", advisory=True,
        ranges=(Range("R/t", 2.0, 100.0),),
    ),
    "hole": Check(
        "hole in the wall", ("C", "B"),
        "composite 30 %, bearing a figure of the trade; metal 15 %",
        "net section; Lekhnitskii's factor with the point stress of Whitney & Nuismer 1974",
        ranges=(Range("hole/D", 0.0, 0.3), Range("edge distance/hole", 2.0, np.inf)),
    ),
    "end_crush": Check(
        "crush of a plain cut end", ("C", "C"), "30 %", "bearing strength of the construction",
    ),
    "deflection": Check(
        "deflection", ("A", "A"),
        "2 % at 10 diameters, 0.3 % at 30; hoop plies inside +/-45 in thick walls to 8 %",
        "Timoshenko beam, shear coefficient of a hollow circle; travel of a loading nose is more",
        ranges=(Range("L/D", 10.0, np.inf),),
    ),
    "slope": Check(
        "slope", ("A", "A"), "2 %", "beam theory; shear adds no slope at a free tip",
        ranges=(Range("L/D", 10.0, np.inf),),
    ),
    "twist": Check(
        "twist", ("A", "A"), "0.1 %, single helix 2 %", "T L / GJ, free to stretch",
        ranges=(Range("R/t", 2.0, np.inf),),
    ),
    "bend_radius": Check(
        "bend radius", ("B", "B"), "20 %",
        "EI over the bending strength of the plies; flattening after Brazier 1927, wrinkling",
        ranges=(Range("R/t", 0.5, 100.0),),
    ),
    "expansion": Check(
        "thermal growth", ("B", "A"), "0.5e-6/K composite, 5 % metal: the ply values decide",
        "exact layered wall, free to grow and twist", ranges=(Range("R/t", 2.0, np.inf),),
    ),
    "insert": Check(
        "metal bonded in the bore", ("B", "B"), "20 %; hollow inserts load the wall less",
        "shrink fit of a solid plug (Timoshenko 1956) in the exact layered wall", advisory=True,
        ranges=(
            Range("coldest temperature", -55.0, np.inf, "temperature"),
            Range("hottest temperature", -np.inf, 120.0, "temperature"),
        ),
    ),
    "frequency": Check(
        "first natural frequency", ("A", "A"),
        "1 % from 8 diameters on, 2 % at 5; ovalling of short tubes up to half low",
        "exact Timoshenko beam with rotary inertia and tip mass (Huang 1961), or ovalling of the "
        "wall", ranges=(Range("L/D", 5.0, 1000.0),),
    ),
    "whirl": Check(
        "critical speed", ("B", "B"), "5 %, stiff bearings",
        "first forward whirl of a Timoshenko beam with gyroscopic moment (Huang 1961, Eshleman & "
        "Eubanks 1969), overhang and coupling mass", ranges=(Range("L/D", 8.0, 1000.0),),
    ),
    "temperature": Check(
        "heat", ("C", "B"), "10 degC",
        "lower of the construction's service limit and 28 K below the glass transition "
        "(MIL-HDBK-17)",
        ranges=(Range("coldest temperature", -55.0, np.inf, "temperature"),),
    ),
    "od": Check("outside diameter", ("A", "A"), "tolerance of the tube", "geometry", envelope=True),
    "bore": Check("bore", ("A", "A"), "tolerance of the tube", "geometry", envelope=True),
    "mass": Check("mass", ("A", "A"), "5 %", "density times volume", envelope=True),
    "service": Check("service", ("C", "C"), "a rule, not a number", "practice of the trade"),
}  # fmt: skip
