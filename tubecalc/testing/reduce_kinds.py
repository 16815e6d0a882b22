"""Kinds of test: what the slope of the curve means for the tube, by the hand formulas.

Bending: simply supported beam, load in the middle or at two noses (Young & Budynas, Roark's
Formulas for Stress and Strain, 7th ed., Table 8.1; MEMORY). Ring: thin ring under two opposite
loads (Roark, Table 9.2). Column: Euler. Everything in SI.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tubecalc.errors import InputError, unknown_key
from tubecalc.need_parts import ENDS
from tubecalc.ring import RING

KINDS = ("tension", "compression", "three-point", "four-point", "torsion", "ring", "column")
UNSAID = "unsaid"  # kind of a test that nobody named: loads and slope, nothing of the wall
NAN = math.nan
OFFSET = 0.002  # strain of the offset yield [-]
STIFFEST = 600e9  # no wall of any fibre is stiffer: a ply of the stiffest pitch fibre is 560 GPa
SOFTEST = 0.5e9  # softer than any cured resin, let alone a wall


@dataclass(frozen=True)
class Rig:
    """How a specimen was held, and its section; NaN where not known.

    Attributes
    ----------
    kind : str
        Kind of test.
    span : float
        Between the supports of a beam, or the free length of a column [m].
    inner : float
        Between the two noses of four-point bending [m].
    gauge : float
        Length that travel, extension or twist is over; of a ring its length along the axis [m].
    od, wall : float
        Section [m].
    ends : str or float
        Ends of a column.
    at_nose : bool
        Whether the travel of four-point bending is that of the noses, not of the middle.
    nose : float
        Length of tube that a nose of a bending test touches [m].
    """

    kind: str
    span: float = NAN
    inner: float = NAN
    gauge: float = NAN
    od: float = NAN
    wall: float = NAN
    ends: str | float = "pinned-pinned"
    at_nose: bool = True
    nose: float = NAN

    @property
    def area(self) -> float:
        """Area of the annulus [m2]."""
        return math.pi * self.wall * (self.od - self.wall)

    @property
    def inertia(self) -> float:
        """Second moment of area [m4]."""
        return math.pi / 64 * (self.od**4 - (self.od - 2 * self.wall) ** 4)

    @property
    def arm(self) -> float:
        """From a support to the nearer nose of four-point bending [m]."""
        return (self.span - self.inner) / 2

    @property
    def end_factor(self) -> float:
        """Effective length over free length of a column [-]."""
        return ENDS[self.ends] if isinstance(self.ends, str) else float(self.ends)

    @property
    def bends(self) -> bool:
        """Whether it is a beam."""
        return self.kind in ("three-point", "four-point")

    def bending_stiffness(self, slope: float) -> float:
        """EI of a beam without shear [N m2] from load per travel [N/m].

        Examples
        --------
        >>> round(Rig("three-point", span=0.6).bending_stiffness(170.57e3), 1)
        767.6
        """
        if self.kind == "three-point":
            return slope * self.span**3 / 48
        a, length = self.arm, self.span
        if self.at_nose:
            return slope * a**2 * (3 * length - 4 * a) / 12
        return slope * a * (3 * length**2 - 4 * a**2) / 48

    def travel_of_strain(self, strain: float) -> float:
        """Travel [m], or twist [rad], at which the outside has a strain if all is straight."""
        if self.kind in ("tension", "compression"):
            return strain * self.gauge
        if self.kind == "torsion":
            return strain * self.gauge / (self.od / 2)
        curvature = 2 * strain / self.od
        if self.kind == "three-point":
            return curvature * self.span**2 / 12
        if self.kind == "four-point":
            a, length = self.arm, self.span
            if self.at_nose:
                return curvature * a * (3 * length - 4 * a) / 6
            return curvature * (3 * length**2 - 4 * a**2) / 24
        return NAN

    def stress(self, load: float) -> float:
        """Largest nominal stress [Pa] under a load [N or N m], as in a wall of one material."""
        half = self.od / 2
        if self.kind == UNSAID:
            return NAN
        if self.kind in ("tension", "compression", "column"):
            return load / self.area
        if self.kind == "torsion":
            return load * half / (2 * self.inertia)
        if self.kind == "three-point":
            return load * self.span / 4 * half / self.inertia
        if self.kind == "four-point":
            return load * self.arm / 2 * half / self.inertia
        radius = (self.od - self.wall) / 2
        return load / self.gauge * radius / math.pi * 6 / self.wall**2

    def ring_modulus(self, slope: float) -> float:
        """Hoop modulus [Pa] of a thin ring from load per travel [N/m]."""
        radius = (self.od - self.wall) / 2
        return 12 * RING * slope * radius**3 / (self.gauge * self.wall**3)

    def euler_stiffness(self, load: float) -> float:
        """EI [N m2] of the column that bows at a load [N]."""
        return load * (self.end_factor * self.span) ** 2 / math.pi**2


def check_rig(rig: Rig, where: str) -> None:
    """Refuse a rig that cannot be.

    Parameters
    ----------
    rig : Rig
        How the specimen was held.
    where : str
        Name of the specimen.

    Raises
    ------
    InputError
        For an unknown kind or end, a wall above the radius, noses outside the supports.
    """
    if rig.kind not in (*KINDS, UNSAID):
        raise unknown_key("kind of test", rig.kind, KINDS, f"{where}:kind")
    if isinstance(rig.ends, str) and rig.ends not in ENDS:
        raise unknown_key("way to hold a column", rig.ends, ENDS, f"{where}:ends")
    if not isinstance(rig.ends, str) and not 0 < float(rig.ends) < math.inf:
        raise InputError("is no effective length over free length", where=f"{where}:ends",
                         got=f"{rig.ends:g}", expected="a number above zero")  # fmt: skip
    if rig.wall > rig.od / 2 * (1 + 1e-9):
        raise InputError(
            "the wall is thicker than the radius", where=f"{where}:wall",
            got=f"{rig.wall * 1e3:.4g} mm on {rig.od * 1e3:.4g} mm OD",
        )  # fmt: skip
    if rig.nose > 0.5 * rig.span:
        raise InputError(
            "the nose is wider than half of the span", where=f"{where}:nose",
            got=f"{rig.nose * 1e3:.4g} mm on a span of {rig.span * 1e3:.4g} mm",
        )  # fmt: skip
    if rig.inner >= rig.span:
        raise InputError(
            "the noses stand outside the supports", where=f"{where}:inner_span",
            got=f"{rig.inner * 1e3:.4g} mm in a span of {rig.span * 1e3:.4g} mm",
        )  # fmt: skip


def missing(rig: Rig) -> list[str]:
    """What is not known and therefore cannot be worked out, in sentences.

    Parameters
    ----------
    rig : Rig
        How the specimen was held.

    Returns
    -------
    list of str
    """
    if rig.kind == UNSAID:
        return ["The kind of test was not said: loads and slope stand, nothing of the wall does."]
    out = []
    if (rig.bends or rig.kind == "column") and math.isnan(rig.span):
        what = "free length" if rig.kind == "column" else "span"
        out.append(f"The {what} is missing: loads and slope stand, EI and modulus do not.")
    if rig.kind in ("tension", "compression") and math.isnan(rig.gauge):
        out.append("The gauge length is missing: loads and slope stand, EA and modulus do not.")
    if rig.kind == "torsion" and math.isnan(rig.gauge):
        out.append("The gauge length is missing: torque and slope stand, GJ does not.")
    if rig.kind == "ring" and math.isnan(rig.gauge):
        out.append("The length of the ring is missing: loads and slope stand, the modulus not.")
    if math.isnan(rig.od) or math.isnan(rig.wall):
        out.append("OD or wall is missing: no modulus and no stress.")
    return out


def implied_span(slope: float, EI: float) -> float:
    """Span at which a beam under a load in the middle would have a slope.

    Parameters
    ----------
    slope : float
        Load per travel [N/m].
    EI : float
        Bending stiffness [N m2].

    Returns
    -------
    float
        Span [m], shear left out.

    Examples
    --------
    >>> round(implied_span(170.57e3, 767.6), 4)
    0.6
    """
    return float(np.cbrt(48 * EI / slope))


def implied_ends(load: float, EI: float, length: float) -> float:
    """Effective length over free length at which a column would bow at a load.

    Parameters
    ----------
    load : float
        Measured load [N].
    EI : float
        Bending stiffness [N m2].
    length : float
        Free length [m].

    Returns
    -------
    float
        1 pinned, 0.7 fixed and pinned, 0.5 fixed, 2 free at one end [-].

    Examples
    --------
    >>> EI = 21.59 / math.pi**2  # bows at 21.59 between pins, measured 43.5
    >>> round(implied_ends(43.5, EI, 1.0), 2)
    0.7
    """
    return math.pi / length * math.sqrt(EI / load)


def doubts(rig: Rig, modulus: float, slope: float) -> list[str]:
    """Contradictions between slope and geometry, in sentences.

    Parameters
    ----------
    rig : Rig
        How the specimen was held.
    modulus : float
        Apparent modulus [Pa]; NaN where not known.
    slope : float
        Load per travel [N/m] or torque per twist [N m/rad].

    Returns
    -------
    list of str
    """
    out = []
    size = f"{modulus / 1e9:.3g} GPa"
    limit = STIFFEST / 2 if rig.kind == "torsion" else STIFFEST
    if modulus > limit:
        said = f"{size} is stiffer than a wall of any fibre: span, gauge length or units are wrong"
        if rig.kind == "three-point":
            most = implied_span(slope, STIFFEST * rig.inertia)
            said += f"; with this slope the span is below {most * 1e3:.0f} mm"
        out.append(said + ".")
    elif modulus < SOFTEST:
        out.append(f"{size} is softer than any wall: span, gauge length or units are wrong.")
    if rig.bends and rig.span < 2 * rig.od:
        out.append("The span is below two diameters: this is no bending test.")
    elif rig.bends and rig.span < 16 * rig.od:
        out.append(
            f"The span is {rig.span / rig.od:.0f} diameters: shear and dents under the nose are "
            "in the travel, so EI and modulus are too low."
        )
    if rig.kind == "column" and rig.span < 8 * rig.od:
        out.append("A column this short is crushed and does not bow: it is a compression test.")
    if rig.kind == "compression" and rig.gauge > 10 * rig.od:
        out.append("A piece longer than ten diameters may bow: it is a column test.")
    if rig.kind == "ring" and (rig.od - rig.wall) / 2 < 5 * rig.wall:
        out.append("The ring is thick: shear in the wall makes its modulus too low.")
    return out
