"""A telescoping pole as a joint of a job: what governs, how far it droops, whether it binds."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from tubecalc.errors import InputError
from tubecalc.joining import fit_words
from tubecalc.joining.nested import Pole, nested
from tubecalc.joining.pole_sections import inward
from tubecalc.loads import G0
from tubecalc.need import Case
from tubecalc.tube import Tube
from tubecalc.unit_display import show
from tubecalc.units import to_si

ERROR = "a third; play and dents of the joints are estimates"


@dataclass(frozen=True)
class Way:
    """One way in which a pole does not do: label and reserve, factor counted [-]."""

    label: str
    reserve: float


@dataclass(frozen=True)
class JudgedPole:
    """A pole with the factor of its need and the droop allowed, NaN where that is not asked [m]."""

    pole: Pole
    factor: float
    allowed: float

    @property
    def ways(self) -> tuple[Way, ...]:
        """Every way to fail that has a number: each section, each joint, droop where asked."""
        p = self.pole
        out = [Way(f"section {n} in bending", r / self.factor) for n, r in enumerate(p.bending, 1)]
        out += [
            Way(f"joint {n} ({j.where})", j.reserve / self.factor)
            for n, j in enumerate(p.joints, 1)
        ]
        if not math.isnan(self.allowed):
            most = abs(p.droop_most)
            out.append(Way("droop", self.allowed / most if most > 0 else math.inf))
        return tuple(out)

    @property
    def governing(self) -> Way:
        """The way that fails first."""
        return min(self.ways, key=lambda w: w.reserve)

    @property
    def reserve(self) -> float:
        """Least reserve [-]."""
        return self.governing.reserve

    @property
    def binds(self) -> bool:
        """Whether some joint may bind in the worst case."""
        return not all(j.fit.slides for j in self.pole.joints)

    @property
    def passes(self) -> bool:
        """Whether it bears the load, droops no more than asked and slides in the worst case."""
        return self.reserve >= 1.0 and not self.binds

    def why(self, system: str = "SI") -> str:
        """The answer in a sentence.

        Parameters
        ----------
        system : str
            Display system.

        Returns
        -------
        str
        """
        p, g = self.pole, self.governing
        droop = f"{show(abs(p.droop), 'length', system)} at the tip"
        if abs(p.droop_most) > abs(p.droop) * 1.005:
            droop += f" ({show(abs(p.droop_most), 'length', system)} with the loosest joints)"
        said = f"{len(p.tubes)} sections reach {show(p.reach, 'length', system)} and "
        said += f"{'droop' if p.droop >= 0 else 'rise'} {droop}"
        if g.label == "droop":
            said += f"; the droop governs, {show(self.allowed, 'length', system)} is allowed"
        elif math.isfinite(g.reserve):
            factor = f" and the factor {self.factor:g} of the need" if self.factor != 1 else ""
            said += f"; {g.label} gives way first, at {g.reserve:.3g} times the load{factor}"
        pressed = max(max(abs(j.pair.mouth), abs(j.pair.heel)) for j in p.joints)
        said += f"; the overlaps press with {show(pressed, 'force', system)} at most"
        chance = fit_words.percent(p.chance)
        if self.binds:
            return f"a joint may bind, chance {chance}: measure and select the tubes; {said}"
        return f"{said}; chance that a joint binds {chance}"


def tip_load(case: Case) -> float:
    """Load that a case puts on the tip of a pole.

    Parameters
    ----------
    case : Case
        Of kind "cantilever".

    Returns
    -------
    float
        Load and weight of the mass on the tip [N].

    Raises
    ------
    InputError
        For a case of another kind.

    Examples
    --------
    >>> tip_load(Case("cantilever", load=60.0, span=1.2, tip_mass=2.0))
    79.6133
    """
    if case.kind != "cantilever":
        raise InputError("a pole takes its load from a case held at one end", where="pole:case",
                         got=case.kind, expected="cantilever")  # fmt: skip
    return case.load + case.tip_mass * G0


def judged_pole(
    tube: Tube,
    *,
    count: int,
    gap: Any,
    length: Any,
    overlap: Any,
    load: Any = "0 N",
    wall: Any = None,
    elevation: Any = "0 deg",
    temperature: Any = None,
    outside: Any = None,
    bore: Any = None,
    droop: Any = None,
    factor: float = 1.0,
) -> JudgedPole:
    """A pole whose largest section is a tube, judged.

    Parameters
    ----------
    tube : Tube
        The largest section, held at its base.
    count : int
        Sections, 2 to 20.
    gap : str or Quantity
        Clearance on the diameter.
    length, overlap, load, elevation, temperature, outside, bore : optional
        As `nested` takes them.
    wall : str or Quantity, optional
        Of the smaller sections; that of the tube else.
    droop : str or Quantity, optional
        What the tip may droop, held against the droop with the loosest joints.
    factor : float
        On the loads, for strength; droop takes none.

    Returns
    -------
    JudgedPole

    Raises
    ------
    InputError
        As `inward` and `nested` do, and for a droop that is not more than nought.

    Examples
    --------
    >>> tube = Tube("pultruded", od="20 mm", wall="1 mm")
    >>> found = judged_pole(tube, count=3, gap="0.3 mm", length="1 m", overlap="120 mm",
    ...                     load="2 N", droop="10 mm")
    >>> found.governing.label, found.passes
    ('droop', False)
    """
    allowed = math.nan if droop is None else float(
        to_si(droop, "length", what="droop", where="nested", positive=True))  # fmt: skip
    own = f"{float(tube.sections.t[0])!r} m"
    tubes = inward(tube, wall=own if wall is None else wall, count=count, gap=gap)
    made = nested(tubes, length=length, overlap=overlap, load=load, elevation=elevation,
                  temperature=temperature, outside=outside, bore=bore)  # fmt: skip
    return JudgedPole(made, factor, allowed)


__all__ = ["ERROR", "JudgedPole", "Way", "judged_pole", "tip_load"]
