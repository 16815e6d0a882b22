"""Answer of a bonded joint: stresses, loads it bears, against the tube, in plain names."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.joining.bond_input import Asked
from tubecalc.joining.bond_state import State
from tubecalc.laminate.elastic import Array
from tubecalc.units import Q_

if TYPE_CHECKING:
    import pandas as pd

    from tubecalc.unit_words import Spoken

GRADES = {  # what -> grade, expected error, basis
    "stress": ("B", "peak of a pull -15 to +40 %, of a torque -3 to +40 % of a general "
               "finite-element solver",
               "shear lag, of a pull with shear through the walls (Volkersen 1938; tubes Lubkin & "
               "Reissner 1956, Adams & Peppiatt 1977)"),
    "bending": ("B", "peak -10 to +45 % of a general finite-element solver; to +70 % where a soft "
                "adhesive lets pressure pass part of the moment",
                "shear lag of the outermost line, plane sections, own form; no published value"),
    "strength": ("C", "30 % from the class of adhesive; preparation and workmanship can take 85 %",
                 "elastic-plastic adhesive (Hart-Smith, NASA CR-112235, 1973)"),
    "peel": ("C", "50 %, of a moment -25 to +80 %; too high at the insert's end",
             "end of a lap as a beam on the adhesive (Hart-Smith, NASA CR-112235, 1973)"),
}  # fmt: skip


@dataclass(frozen=True)
class Limit:
    """One way in which the joint or its neighbours give way, for N joints.

    reserve: factor on the loads at which it does [-]; advisory ones warn and do not govern.
    """

    key: str
    label: str
    reserve: Array
    grade: str
    error: str
    advisory: bool
    why: str


@dataclass(frozen=True)
class Bond:
    """One bonded joint, or N of them; quantities outside, SI inside `asked` and `states`.

    Parameters
    ----------
    asked : Asked
        What was asked.
    states : tuple of State
        The joint at room, coldest and hottest temperature.
    strengths : dict
        "tension", "compression" [N], "torsion", "bending" [N m] that the bond bears, (N,).
    of_tube, of_insert : dict
        The same of the members.
    limits : tuple of Limit
        Ways to give way under the loads.
    peel : numpy.ndarray
        Peel stress at both ends under the loads, the greater one [Pa].
    radial : numpy.ndarray
        Greatest pull across the bond that heat or cold adds [Pa].
    """

    asked: Asked
    states: tuple[State, ...]
    strengths: dict[str, Array]
    of_tube: dict[str, Array]
    of_insert: dict[str, Array]
    limits: tuple[Limit, ...]
    peel: Array
    radial: Array

    def __len__(self) -> int:
        return len(self.asked.overlap)

    def _out(self, values: Array, unit: str, display: str | None = None) -> Any:
        one = values if self.asked.many else float(np.asarray(values).reshape(-1)[0])
        quantity = Q_(one, unit)
        return quantity.to(display) if display else quantity

    # -- geometry ----------------------------------------------------------------------------
    @property
    def overlap(self) -> Any:
        """Length of the overlap."""
        return self._out(self.asked.overlap, "m", "mm")

    @property
    def gap(self) -> Any:
        """Thickness of the adhesive, a side."""
        return self._out(self.asked.gap, "m", "mm")

    @property
    def diameter(self) -> Any:
        """Diameter of the middle of the adhesive."""
        return self._out(2.0 * self.asked.radius, "m", "mm")

    @property
    def bonded_area(self) -> Any:
        """Bonded area."""
        return self._out(2.0 * np.pi * self.asked.radius * self.asked.overlap, "m^2", "mm^2")

    # -- stress ------------------------------------------------------------------------------
    @cached_property
    def room(self) -> State:
        """The joint at room temperature."""
        return min(self.states, key=lambda s: abs(s.temperature - 20.0))

    def shear_along(self, state: State, *, heat: bool = True) -> Array:
        """Greatest shear stress round the tube along the overlap, signed by pull (M + 1, N) [Pa].

        Parameters
        ----------
        state : State
            At which temperature.
        heat : bool
            Whether the mismatch of heat is counted.

        Returns
        -------
        numpy.ndarray
            Resultant of pull, bending, heat and torque.
        """
        straight, turned = parts(self.asked, state, heat=heat)
        both = np.hypot(straight, turned)
        return np.asarray(np.where(straight < 0, -both, both))

    @property
    def average_shear(self) -> Any:
        """Loads over the bonded area: pull, and torque at its radius."""
        a, r = self.asked, self.asked.radius
        area = 2.0 * np.pi * r * a.overlap
        return self._out(np.hypot(a.loads.axial / area, a.loads.torque / (r * area)), "Pa", "MPa")

    @property
    def peak_shear(self) -> Any:
        """Greatest elastic shear stress of the loads alone, at room temperature."""
        along = np.abs(self.shear_along(self.room, heat=False))
        return self._out(along.max(axis=0), "Pa", "MPa")

    @property
    def peak_shear_with_heat(self) -> Any:
        """Greatest elastic shear stress of loads and heat at any of the temperatures."""
        along = [np.abs(self.shear_along(s)).max(axis=0) for s in self.states]
        return self._out(np.maximum.reduce(along), "Pa", "MPa")

    @property
    def shear_at_insert_end(self) -> Any:
        """Elastic shear stress at the insert's end, loads alone, at room temperature."""
        return self._out(np.abs(self.shear_along(self.room, heat=False))[0], "Pa", "MPa")

    @property
    def shear_at_tube_end(self) -> Any:
        """Elastic shear stress at the tube's end, loads alone, at room temperature."""
        return self._out(np.abs(self.shear_along(self.room, heat=False))[-1], "Pa", "MPa")

    @property
    def peak_over_average(self) -> Any:
        """Peak over average of a pull alone [-]."""
        s = self.room
        unit = np.abs(s.unit["pull"]).max(axis=0)
        return self._out(unit * s.laps["pull"].width * self.asked.overlap, "dimensionless")

    @property
    def transfer_length(self) -> Any:
        """Length over which a pull passes from one member to the other, to 1/e."""
        return self._out(1.0 / self.room.laps["pull"].rate, "m", "mm")

    @property
    def imbalance(self) -> Any:
        """Axial stiffness of the insert over that of the tube [-]."""
        return self._out(self.room.insert.pull / self.room.tube.pull, "dimensionless")

    @property
    def thermal(self) -> pd.DataFrame:
        """Shear and pull across the bond from heat alone, a row for each temperature and joint."""
        import pandas as pd

        from tubecalc.joining.bond_judge import radial_pull

        rows = []
        for s in self.states:
            tau = s.unit["heat"] * s.mismatch
            pull = radial_pull(self.asked, s)
            rows += [
                {"joint": n, "temperature_degC": s.temperature,
                 "shear_insert_end_MPa": tau[0, n] / 1e6,
                 "shear_tube_end_MPa": tau[-1, n] / 1e6, "pull_across_MPa": pull[n] / 1e6}
                for n in range(len(self))
            ]  # fmt: skip
        return pd.DataFrame(rows)

    @property
    def peel_stress(self) -> Any:
        """Peel stress at the worse end under the loads, with what heat adds; an estimate."""
        return self._out(self.peel, "Pa", "MPa")

    # -- strength ----------------------------------------------------------------------------
    @property
    def tension(self) -> Any:
        """Pull that the bond bears, knock-downs included."""
        return self._out(self.strengths["tension"], "N", "kN")

    @property
    def compression(self) -> Any:
        """Push that the bond bears without a shoulder, knock-downs included."""
        return self._out(self.strengths["compression"], "N", "kN")

    @property
    def torsion(self) -> Any:
        """Torque that the bond bears, knock-downs included."""
        return self._out(self.strengths["torsion"], "N*m")

    @property
    def bending(self) -> Any:
        """Bending moment that the bond bears, knock-downs included; a rough estimate."""
        return self._out(self.strengths["bending"], "N*m")

    @property
    def tube_tension(self) -> Any:
        """Pull that breaks the tube."""
        return self._out(self.of_tube["tension"], "N", "kN")

    @property
    def knockdown(self) -> float:
        """Share of the strength that surface preparation and wet service leave [-]."""
        return self.asked.prepared.value * self.asked.kept_wet

    @property
    def reserve(self) -> Any:
        """Least factor on the loads at which joint, tube or insert gives way [-]."""
        firm = [x.reserve for x in self.limits if not x.advisory]
        return self._out(np.minimum.reduce(firm), "dimensionless")

    @cached_property
    def _worst(self) -> list[str]:
        firm = [x for x in self.limits if not x.advisory]
        least = np.argmin([x.reserve for x in firm], axis=0)
        return [firm[k].key for k in np.atleast_1d(least)]

    @property
    def governing(self) -> Any:
        """What gives way first under the loads: "joint", "tube" or "insert"."""
        return list(self._worst) if self.asked.many else self._worst[0]

    @property
    def efficiency(self) -> Any:
        """Strength of the joint over that of the tube, for the loads (a pull if none) [-]."""
        of = {x.key: x.reserve for x in self.limits}
        return self._out(of["joint"] / of["tube"], "dimensionless")

    @cached_property
    def lengths(self) -> dict[str, Array]:
        """Overlaps that matter (N,) [m]; see the properties."""
        from tubecalc.joining.bond_judge import lengths

        return lengths(self)

    @property
    def useful_overlap(self) -> Any:
        """Overlap at which 98 % of all that length can do is reached; more does nothing."""
        return self._out(self.lengths["useful"], "m", "mm")

    @property
    def creep_overlap(self) -> Any:
        """Overlap that leaves its middle nearly unloaded, against creep, while the ends flow."""
        return self._out(self.lengths["creep"], "m", "mm")

    @property
    def matching_overlap(self) -> Any:
        """Overlap at which the bond is as strong as the tube; NaN where no length does it."""
        return self._out(self.lengths["matching"], "m", "mm")

    # -- tables and words --------------------------------------------------------------------
    @property
    def table(self) -> pd.DataFrame:
        """One row for each joint and way to give way: reserve, grade, error, why."""
        import pandas as pd

        return pd.DataFrame(
            [
                {"joint": n, "limit": x.key, "label": x.label, "reserve": float(x.reserve[n]),
                 "grade": x.grade, "error": x.error, "advisory": x.advisory, "why": x.why}
                for n in range(len(self)) for x in self.limits
            ]
        )  # fmt: skip

    @property
    def curve(self) -> pd.DataFrame:
        """One row for each joint: what was asked, stress, strength, efficiency, what governs."""
        import pandas as pd

        a = self.asked
        return pd.DataFrame(
            {"overlap_mm": 1e3 * a.overlap, "gap_mm": 1e3 * a.gap,
             "average_shear_MPa": np.atleast_1d(self.average_shear.m),
             "peak_shear_MPa": np.atleast_1d(self.peak_shear.m),
             "tension_kN": self.strengths["tension"] / 1e3,
             "compression_kN": self.strengths["compression"] / 1e3,
             "torsion_N_m": self.strengths["torsion"], "bending_N_m": self.strengths["bending"],
             "efficiency": np.atleast_1d(self.efficiency.m),
             "reserve": np.atleast_1d(self.reserve.m), "governing": self._worst}
        )  # fmt: skip

    @property
    def cautions(self) -> list[str]:
        """What to mind, in sentences, for the first joint."""
        from tubecalc.joining.bond_words import cautions

        return cautions(self)

    @property
    def grades(self) -> dict[str, tuple[str, str, str]]:
        """What -> grade, expected error, basis."""
        return dict(GRADES)

    def broke_at(self, load: Any) -> Spoken:
        """Judge a pull at which a joint like this one came apart.

        Parameters
        ----------
        load : str or Quantity
            The pull.

        Returns
        -------
        Spoken
            Average stress, share of what a sound bond bears, and what that points to.
        """
        from tubecalc.joining.bond_words import broke_at

        return broke_at(self, load)

    def __repr__(self) -> str:
        a = self.asked
        many = f" and {len(self) - 1} more" if len(self) > 1 else ""
        return (
            f"Bond({a.insert.construction.name!r} {'in' if a.inside else 'over'} "
            f"{a.tube.construction.name!r}, {1e3 * a.overlap[0]:.4g} mm{many})"
        )


def parts(asked: Asked, state: State, *, heat: bool) -> tuple[Array, Array]:
    """Shear along and round the tube at the worst line, (M + 1, N) [Pa]."""
    loads, r, unit = asked.loads, asked.radius, state.unit
    along = unit["pull"] * loads.axial + (unit["heat"] * state.mismatch if heat else 0.0)
    bent = unit["bend"] * np.abs(2.0 * loads.moment / r)
    straight = np.where(along < 0, along - bent, along + bent)
    return straight, unit["twist"] * (loads.torque / r)


__all__ = ["GRADES", "Bond", "Limit", "parts"]
