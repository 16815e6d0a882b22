"""Winding +/-a on a cylinder: circuits that close, turns at the ends, strand and mass.

A circuit is one stroke there and one back. Its bands lie side by side round the mandrel when all
circuits are done; the closing relation is arithmetic of whole numbers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.making_closing import MOST_PATTERN, Closing, Ends, circuits, closings, turning
from tubecalc.making_notes import mm
from tubecalc.unit_words import Spoken, for_system, worded
from tubecalc.units import Q_, to_si

if TYPE_CHECKING:
    import pandas as pd

MOST_CIRCUITS, MOST_LAYERS = 20_000, 200


@dataclass(frozen=True)
class Layer:
    """One +/- layer: diameter it is wound on [m], circuits, closing angle [rad], how it closes."""

    diameter: float
    exact: float
    circuits: int
    closing_angle: float
    closing: Closing
    ends: Ends
    path: float


@dataclass(frozen=True)
class Winding:
    """A winding: `table` (one row a layer), `patterns` (of the first layer) and `notes`."""

    angle: float
    band: float
    length: float
    layers: tuple[Layer, ...]
    closings: tuple[Closing, ...]
    friction: float
    thickness: float
    density: float
    strand: float

    @property
    def table(self) -> pd.DataFrame:
        """One row for each +/- layer, inside to outside."""
        import pandas as pd

        return pd.DataFrame([self._row(k, x) for k, x in enumerate(self.layers, 1)])

    @property
    def patterns(self) -> pd.DataFrame:
        """Ways to close the first layer, least turn at the ends first in each pattern."""
        import pandas as pd

        return pd.DataFrame(
            [
                {"pattern": c.pattern, "lies": "ahead" if c.ahead else "behind",
                 "end_turn_deg": math.degrees(c.end_turn),
                 "turns_per_circuit": c.turns / c.circuits, "turns": c.turns,
                 "circuits": c.circuits}
                for c in self.closings
            ]
        )  # fmt: skip

    @property
    def mass(self) -> Any:
        """Mass wound, turning zones included; NaN without thickness and density."""
        return Q_(math.fsum(self._mass(x) for x in self.layers), "kg")

    @property
    def strand_length(self) -> Any:
        """Length of band wound, turning zones included."""
        return Q_(math.fsum(x.path for x in self.layers), "m")

    @property
    def notes(self) -> list[str]:
        """How it is wound, in sentences."""
        return _notes(self)

    def _mass(self, x: Layer) -> float:
        return x.path * self.band * self.thickness * self.density

    def _row(self, number: int, x: Layer) -> dict[str, float]:
        cover = x.circuits / x.exact
        return {
            "layer": number,
            "diameter_mm": x.diameter * 1e3,
            "circuits_exact": x.exact,
            "circuits": x.circuits,
            "coverage": cover,
            "closing_angle_deg": math.degrees(x.closing_angle),
            "closing_band_mm": self.band / cover * 1e3,
            "pattern": x.closing.pattern,
            "end_turn_deg": math.degrees(x.closing.end_turn),
            "turns_per_circuit": x.closing.turns / x.circuits,
            "lead_mm": math.pi * x.diameter / math.tan(self.angle) * 1e3,
            "end_zone_mm": x.ends.length * 1e3,
            "path_m": x.path,
            "mass_g": self._mass(x) * 1e3,
            "strand_mass_g": x.path * self.strand * 1e3,
        }

    def __repr__(self) -> str:
        first = self.layers[0]
        return f"Winding(+/-{math.degrees(self.angle):g} deg, {first.circuits} circuits)"


def _layer(asked: Winding, diameter: float, pattern: int | None, least: float) -> Layer:
    exact = circuits(diameter, asked.angle, asked.band)
    if exact > MOST_CIRCUITS:
        raise InputError(f"the band needs more than {MOST_CIRCUITS} circuits", where="winding:band",
                         got=worded("{}", "length", asked.band),
                         expected="a wider band")  # fmt: skip
    if asked.band > math.pi * diameter:
        raise InputError(
            "the band is wider than the mandrel's circumference", where="winding:band",
            got=worded("{}", "length", asked.band),
            expected=worded("at most {}", "length", math.pi * diameter),
        )  # fmt: skip
    if exact < 1 - 1e-9:
        hoop = math.degrees(math.acos(asked.band / (math.pi * diameter)))
        raise InputError(
            "one band is wider than its way round at this angle", where="winding:angle",
            got=f"{math.degrees(asked.angle):.4g} deg",
            expected=f"below {hoop:.2f} deg, or hoop winding at {hoop:.2f} deg",
        )  # fmt: skip
    count = max(1, math.ceil(exact - 1e-9))
    near = max(1, min(round(exact), math.floor(math.pi * diameter / asked.band)))
    ends = turning(diameter, asked.angle, asked.friction)
    ends = Ends(max(ends.turn, least), ends.length, ends.path + max(0.0, least - ends.turn)
                * diameter / 2)  # fmt: skip
    stroke = asked.length * math.tan(asked.angle) / (diameter / 2)
    ways = closings(count, stroke, ends.turn, count if pattern else MOST_PATTERN)
    if pattern is not None:
        ways = [c for c in ways if c.pattern == pattern]
        if not ways:
            raise InputError(
                f"pattern {pattern} does not close with {count} circuits", where="winding:pattern",
                expected="a number without common divisor with it, at most half of it",
            )  # fmt: skip
    best = min(ways, key=lambda c: (c.end_turn, c.pattern))
    extra = (best.end_turn - ends.turn) * diameter / 2
    path = 2 * count * (asked.length / math.cos(asked.angle) + ends.path + extra)
    return Layer(diameter, exact, count, math.acos(near * asked.band / (math.pi * diameter)), best,
                 ends, path)  # fmt: skip


def _notes(w: Winding) -> list[str]:
    x = w.layers[0]
    cover = x.circuits / x.exact
    out: list[str] = [
        Spoken(
            lambda s: (
                f"{x.circuits} circuits close the first layer; bands overlap by {cover - 1:.1%}. "
                f"Without overlap: band {mm(w.band / cover, s)} wide, or an angle of "
                f"{math.degrees(x.closing_angle):.2f} degrees."
            )
        ),
        f"The mandrel turns {x.closing.turns}/{x.circuits} times a circuit, that is "
        f"{math.degrees(x.closing.end_turn):.1f} degrees at each end; the band comes to lie "
        f"{'ahead of' if x.closing.ahead else 'behind'} the first after {x.closing.pattern}.",
    ]
    if math.isnan(w.friction):
        out.append("Pins or a ring at the ends must hold the band where it turns.")
    else:
        out.append(Spoken(lambda s: (
            f"Each end needs {mm(x.ends.length, s, '.0f')} of mandrel beyond the tube, where the "
            f"band turns by friction of {w.friction:g} without slipping; it is cut off after cure."
        )))  # fmt: skip
    if len(w.layers) > 1:
        out.append("The way round grows with each layer, and with it the circuits: see the table.")
    out.append(
        "Where plus and minus bands cross they undulate; a layer counts as two plies of half its "
        "thickness, and stiffness is a little lower than that of flat plies."
    )
    return out


def _angle(value: Any) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool):
        angle = math.radians(value)
    else:
        angle = to_si(value, "angle", what="angle", where="winding")
    if not math.radians(5) <= abs(angle) < math.radians(90):
        raise InputError("angle is out of range", where="winding:angle",
                         got=f"{math.degrees(angle):.4g} deg",
                         expected="5 to below 90 degrees from the tube axis")  # fmt: skip
    return abs(angle)


def _part(value: Any, kind: str, what: str) -> float:
    return math.nan if value is None else to_si(value, kind, what=what, where="winding",
                                                positive=True)  # fmt: skip


def _whole(value: Any, what: str, most: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= most:
        raise InputError("must be a whole number", where=f"winding:{what}", got=repr(value),
                         expected=f"1 to {most}")  # fmt: skip
    return value


def winding(
    mandrel: Any, angle: Any, band: Any, length: Any, *, layers: int = 1, thickness: Any = None,
    density: Any = None, strand: Any = None, friction: Any = None, end_turn: Any = "0 deg",
    pattern: int | None = None,
) -> Winding:  # fmt: skip
    """Circuits, pattern and turns with which +/- layers close on a mandrel.

    Parameters
    ----------
    mandrel : str or Quantity
        Diameter wound on.
    angle : float, str or Quantity
        Band from the tube axis [deg].
    band : str or Quantity
        Width of the band.
    length : str or Quantity
        Of the tube with its trim, without the turning zones.
    layers : int
        How many +/- layers [-].
    thickness : str or Quantity, optional
        Cured thickness of one ply, half of a +/- layer.
    density : str or Quantity, optional
        Of the cured ply.
    strand : str or Quantity, optional
        Mass per length of all dry strands in the band ("1.6 g/m" is 1600 tex).
    friction : float, optional
        Slip coefficient where the band turns by friction; pins hold it where not given [-].
    end_turn : str or Quantity
        Least turn of the mandrel at each end.
    pattern : int, optional
        Pattern number wanted; the one with the least turn at the ends where not given [-].

    Returns
    -------
    Winding
        .table, .patterns, .layers, .notes, .mass, .strand_length.

    Raises
    ------
    InputError
        For an angle out of range, a band wider than its way round, or a pattern that cannot close.

    Notes
    -----
    Sources: see `tubecalc.making_closing`. Grade A for circuits and closing, B for
    the turning zone (friction is taken as even; 0.1 to 0.2 wet, 0.3 and more dry or tacky, common
    practice, no source).

    Examples
    --------
    >>> made = winding("50 mm", 45, "6 mm", "500 mm")
    >>> made.table[["circuits", "closing_angle_deg"]].round(2).values.tolist()
    [[19.0, 43.47]]
    """
    size = to_si(mandrel, "length", what="mandrel", where="winding", positive=True)
    count = _whole(layers, "layers", MOST_LAYERS)
    ply = _part(thickness, "length", "thickness")
    if count > 1 and math.isnan(ply):
        raise InputError("several layers need the ply thickness", where="winding:thickness",
                         expected=for_system('thickness="0.2 mm"',
                                             'thickness="0.008 in"'))  # fmt: skip
    slip = _part(friction, "number", "friction")
    least = to_si(end_turn, "angle", what="end_turn", where="winding")
    if least < 0:
        raise InputError("is negative; it must be zero or more", where="winding:end_turn")
    if slip > 1:
        raise InputError("is out of range", where="winding:friction", got=f"{slip:g}",
                         expected="up to 1")  # fmt: skip
    asked = Winding(
        _angle(angle), to_si(band, "length", what="band", where="winding", positive=True),
        to_si(length, "length", what="length", where="winding", positive=True), (), (), slip, ply,
        _part(density, "density", "density"), _part(strand, "linear_density", "strand"),
    )  # fmt: skip
    chosen = None if pattern is None else _whole(pattern, "pattern", MOST_CIRCUITS)
    if count > 1 and 4 * ply * count > 10 * size:
        raise InputError("the layers are far thicker than the mandrel", where="winding:layers",
                         got=str(count))  # fmt: skip
    steps = np.arange(count) * (4 * ply if count > 1 else 0.0)
    made = tuple(_layer(asked, size + float(d), chosen, least) for d in steps)
    first = made[0]
    stroke = asked.length * math.tan(asked.angle) / (size / 2)
    ways = tuple(closings(first.circuits, stroke, first.ends.turn))
    return Winding(asked.angle, asked.band, asked.length, made, ways, slip, ply, asked.density,
                   asked.strand)  # fmt: skip


__all__ = ["Layer", "Winding", "winding"]
