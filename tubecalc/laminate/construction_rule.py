"""How a construction makes a wall: whole plies for a thickness, sizes, limits."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from tubecalc.errors import InputError
from tubecalc.laminate.layer import Layer
from tubecalc.laminate.layup import Layup
from tubecalc.laminate.notation import MOST_PLIES
from tubecalc.unit_words import Spoken, rough


@dataclass(frozen=True)
class Construction:
    """How a wall is made. Lengths in m, temperature in degC, stress in Pa; NaN where not known."""

    key: str
    name: str
    process: str
    hatch: str
    inner: tuple[Layer, ...]
    fill: tuple[Layer, ...]
    outer: tuple[Layer, ...]
    continuous: bool = False
    conductive: bool = True
    fill_min: int = 0
    sizes: Mapping[str, float] = field(default_factory=dict)
    accurate: str = "both"
    tolerance_wall: float = math.nan
    straightness: float = math.nan
    t_max: float = math.nan
    end_bearing: float = math.nan
    splits: bool = False
    service: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    evidence: tuple[Mapping[str, Any], ...] = ()

    def __hash__(self) -> int:
        return hash((self.key, self.name, len(self.fill)))

    @property
    def metal(self) -> bool:
        """Whether the wall is an isotropic metal."""
        return self.continuous and self.fill[0].values.isotropic

    @property
    def fixed(self) -> bool:
        """Whether the wall is one given stack, whatever thickness is asked for."""
        return not self.fill

    def size(self, name: str) -> float:
        """One of the usual size limits.

        Parameters
        ----------
        name : str
            od_min, od_max, wall_min, wall_max, tolerance_od or tolerance_id.

        Returns
        -------
        float
            Length [m]; NaN when not stated.
        """
        return float(self.sizes.get(name, math.nan))

    def units_for(self, wall: float) -> int:
        """Whole fill units that come nearest to a wall thickness.

        Parameters
        ----------
        wall : float
            Wall thickness asked for [m].

        Returns
        -------
        int
            Number of units, at least fill_min; 0 for a continuous wall.
        """
        if self.continuous or self.fixed:
            return 0
        rest = (wall - _sum(self.inner) - _sum(self.outer)) / _sum(self.fill)
        if rest * len(self.fill) > MOST_PLIES:
            raise InputError(
                f"the wall would need more than {MOST_PLIES} plies", where="wall",
                got=Spoken(lambda s: f"{rough(wall, 'length', s, 6)} of {self.name}"),
            )  # fmt: skip
        return max(self.fill_min, round(rest))

    def wall_of(self, wall: float) -> float:
        """Thickness of the wall really made when one is asked for.

        Parameters
        ----------
        wall : float
            Wall thickness asked for [m].

        Returns
        -------
        float
            Thickness of the whole plies [m].
        """
        if self.continuous:
            return wall
        return _sum(self.inner) + _sum(self.outer) + self.units_for(wall) * _sum(self.fill)

    def layup(self, wall: float, *, measured: bool = False) -> Layup:
        """Stack for a wall thickness.

        Parameters
        ----------
        wall : float
            Wall thickness asked for [m].
        measured : bool
            The wall exists and was measured: the plies are stretched to fill it exactly.

        Returns
        -------
        Layup
            Whole plies whose thickness comes nearest, at least the least the rule allows.
        """
        if self.continuous:
            one = self.fill[0]
            layers: Sequence[Layer] = [Layer(one.values, one.angle, wall, 1, one.key)]
        else:
            layers = (*self.inner, *(self.fill * self.units_for(wall)), *self.outer)
            if measured:
                stretch = wall / self.wall_of(wall)
                layers = [replace(x, thickness=x.thickness * stretch) for x in layers]
        return Layup(layers, construction=self.key, name=self.name, asked=wall)

    def least_step(self) -> float:
        """Thickness of one fill unit, the step between walls that can be made [m]."""
        return 0.0 if self.continuous or self.fixed else _sum(self.fill)


def _sum(layers: Sequence[Layer]) -> float:
    return math.fsum(x.thickness * x.count for x in layers)
