"""Geometry, stiffness and mass of a tube as quantities; behaviour is in `tubecalc.tube`."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.checks.base import Candidates
from tubecalc.laminate.construction import Construction
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layup import Layup
from tubecalc.section import Sections
from tubecalc.units import Q_

if TYPE_CHECKING:
    import pandas as pd


class Figures:
    """What a tube is: sizes, stiffness, mass. Arrays where the tube is many."""

    construction: Construction
    sections: Sections
    layups: list[Layup]
    _array: bool

    @cached_property
    def candidates(self) -> Candidates:
        """The tubes as the checks want them."""
        return Candidates(
            self.sections, [self.construction], np.zeros(len(self.sections.R), np.intp)
        )

    def __len__(self) -> int:
        return len(self.sections.R)

    @property
    def layup(self) -> Layup:
        """Stack of the wall; the first one when the tubes differ."""
        return self.layups[0]

    def _out(self, values: Array, unit: str, display: str | None = None) -> Any:
        quantity = Q_(values if self._array else float(values[0]), unit)
        return quantity.to(display) if display else quantity

    # -- geometry and stiffness ------------------------------------------------------------
    @property
    def od(self) -> Any:
        """Outside diameter."""
        return self._out(2 * self.sections.ro, "m", "mm")

    @property
    def id(self) -> Any:
        """Bore."""
        return self._out(2 * self.sections.ri, "m", "mm")

    @property
    def wall(self) -> Any:
        """Wall thickness as made."""
        return self._out(self.sections.t, "m", "mm")

    @property
    def area(self) -> Any:
        """Area of the annulus."""
        return self._out(self.sections.area, "m^2", "mm^2")

    @property
    def I(self) -> Any:  # noqa: E743
        """Second moment of area."""
        return self._out(self.sections.I, "m^4", "mm^4")

    @property
    def J(self) -> Any:
        """Polar second moment of area (exact annulus, not the thin-wall form)."""
        return self._out(2 * self.sections.I, "m^4", "mm^4")

    @property
    def section_modulus(self) -> Any:
        """Elastic section modulus."""
        return self._out(self.sections.section_modulus, "m^3", "mm^3")

    @property
    def plastic_modulus(self) -> Any:
        """Plastic section modulus, for the full plastic moment of a metal."""
        return self._out(self.sections.plastic_modulus, "m^3", "mm^3")

    @property
    def mass_per_length(self) -> Any:
        """Mass per length."""
        return self._out(self.sections.mass_per_length, "kg/m", "g/m")

    @property
    def EA(self) -> Any:
        """Axial stiffness, free to twist and to contract [N]."""
        return self._out(self.sections.EA, "N")

    @property
    def EI(self) -> Any:
        """Bending stiffness [N m2]."""
        return self._out(self.sections.EI, "N*m^2")

    @property
    def GJ(self) -> Any:
        """Torsional stiffness, free to stretch [N m2]."""
        return self._out(self.sections.GJ, "N*m^2")

    @property
    def GA(self) -> Any:
        """Shear modulus times area; times `shear_coefficient` it is the beam's shear stiffness."""
        return self._out(self.sections.GA, "N")

    @property
    def shear_coefficient(self) -> Any:
        """Shear coefficient of the hollow circle [-]."""
        return self._out(self.sections.shear_coefficient, "dimensionless")

    @property
    def Ex(self) -> Any:
        """Axial modulus EA / A."""
        return self._out(self.sections.Ex, "Pa", "GPa")

    @property
    def Gxy(self) -> Any:
        """Shear modulus of the wall."""
        return self._out(self.sections.Gxy, "Pa", "GPa")

    @property
    def Ehoop(self) -> Any:
        """Hoop modulus of the wall."""
        return self._out(self.sections.Ehoop, "Pa", "GPa")

    @property
    def nuxy(self) -> Any:
        """Hoop contraction over axial stretch [-]."""
        return self._out(self.sections.nuxy, "dimensionless")

    @property
    def alpha_x(self) -> Any:
        """Axial expansion; NaN where a ply has none [1/K]."""
        alpha = np.array([float(x.alpha_x.magnitude) for x in self.layups])
        return self._out(alpha[self.sections.index], "1/K")

    @property
    def specific(self) -> pd.DataFrame:
        """Stiffness and strength, each also per mass per length; one row a tube."""
        import pandas as pd

        from tubecalc.checks.specific import specific_columns

        return pd.DataFrame(specific_columns(self.candidates))
