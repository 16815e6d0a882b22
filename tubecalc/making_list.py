"""Cutting list for a roll-wrapped tube: what to cut, in which order to roll, where to start."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Any

from tubecalc.errors import InputError
from tubecalc.laminate.construction import get_construction
from tubecalc.laminate.layer import Layer
from tubecalc.laminate.layup import Layup
from tubecalc.making_notes import notes_of
from tubecalc.making_pieces import Piece, across, path_of, starts, strips_of
from tubecalc.making_read import process_of, read_length, read_share, read_whole, wall_and_mandrel
from tubecalc.unit_words import for_system, worded
from tubecalc.units import Q_, to_si

if TYPE_CHECKING:
    import pandas as pd

MOST_STRIPS = 400  # strips in one piece beyond which the roll width is taken for a mistake
MOST_TUBES = 100_000


@dataclass(frozen=True)
class Rolled:
    """What a cutting list was made for, in SI; shares and factors as numbers."""

    layup: Layup
    mandrel: float
    length: float
    overlap: float
    axial_overlap: float
    trim: float
    roll: float
    waste: float
    tubes: int
    spread: float
    mandrel_spread: float
    bulk: float
    tape: float
    asked_od: float
    process: str
    tolerance_od: float

    @property
    def od(self) -> float:
        """Outside diameter of the plies, without seams [m]."""
        return self.mandrel + 2 * self.layup.t


@dataclass(frozen=True)
class CuttingList:
    """A cutting list: `table` and `notes`, the pieces, sizes and masses.

    Parameters
    ----------
    asked : Rolled
        What it was made for.
    pieces : tuple of Piece
        In the order of rolling.
    """

    asked: Rolled
    pieces: tuple[Piece, ...]

    @property
    def table(self) -> pd.DataFrame:
        """One row a piece, in the order of rolling."""
        import pandas as pd

        return pd.DataFrame([_row(p, self.asked) for p in self.pieces])

    @property
    def materials(self) -> pd.DataFrame:
        """What to buy: area and mass of every prepreg, all tubes, with the allowance for waste."""
        import pandas as pd

        rows: dict[tuple[str, float], list[float]] = {}
        for p in self.pieces:
            row = rows.setdefault((p.material, p.thickness), [0.0, 0.0])
            row[0] += p.width * p.length * self._buy
            row[1] += p.mass * self._buy
        return pd.DataFrame(
            [
                {"material": m, "thickness_mm": t * 1e3, "area_m2": a, "mass_kg": w,
                 "roll_length_m": a / self.asked.roll}
                for (m, t), (a, w) in rows.items()
            ]
        )  # fmt: skip

    @property
    def _buy(self) -> float:
        return self.asked.tubes * (1 + self.asked.waste)

    @property
    def mass(self) -> Any:
        """Mass of the pieces of one tube as rolled, trim and overlaps included."""
        return Q_(self._mass * 1e3, "g")

    @property
    def _mass(self) -> float:
        return math.fsum(p.mass for p in self.pieces)

    @property
    def mass_to_buy(self) -> Any:
        """Mass of prepreg for all tubes with the allowance for waste."""
        return Q_(self._mass * self._buy, "kg")

    @property
    def od(self) -> Any:
        """Outside diameter expected after cure, overlaps spread evenly round."""
        return Q_(_mean_od(self) * 1e3, "mm")

    @property
    def od_range(self) -> Any:
        """Lowest and highest mean outside diameter that ply thickness and mandrel allow."""
        a = self.asked
        half = 2 * a.layup.t * a.spread + a.mandrel_spread
        return Q_([(_mean_od(self) - half) * 1e3, (_mean_od(self) + half) * 1e3], "mm")

    @property
    def od_at_seam(self) -> Any:
        """Diameter over the thickest single overlap."""
        extra = max((p.thickness for p in self.pieces if p.overlap > 0), default=0.0)
        return Q_((self.asked.od + extra) * 1e3, "mm")

    @property
    def od_rolled(self) -> Any:
        """Diameter over the plies as rolled, before tape and heat press them together."""
        return Q_((self.asked.mandrel + 2 * self.asked.layup.t * self.asked.bulk) * 1e3, "mm")

    @property
    def notes(self) -> list[str]:
        """What the table does not say, in sentences."""
        return notes_of(self)

    def __repr__(self) -> str:
        return f"CuttingList({len(self.pieces)} pieces, mandrel {self.asked.mandrel * 1e3:.4g} mm)"


def _mean_od(made: CuttingList) -> float:
    """Diameter of a ring whose area is that of the plies and of the overlaps."""
    lapped = math.fsum(p.overlap * p.thickness for p in made.pieces)
    return math.sqrt(made.asked.od**2 + 4 * lapped / math.pi)


def _shape(p: Piece) -> str:
    lean = abs(p.angle)
    if len(p.strips) > 1:
        word = "strip" if lean in (0.0, 90.0) else "bias strip"
        return f"{len(p.strips)} {word}s edge to edge"
    if p.woven and lean in (0.0, 90.0):
        return "rectangle, square to the cloth"
    if lean in (0.0, 90.0):
        return "rectangle, fibres " + ("along" if lean == 0 else "round") + " the tube"
    rises = "right" if p.angle > 0 else "left"
    return f"rectangle on the bias, fibres rise to the {rises}"


def _row(p: Piece, asked: Rolled) -> dict[str, Any]:
    first, last = p.plies
    middle = p.inside + p.wraps * p.thickness
    pressed = math.pi * p.wraps * (asked.bulk - 1) * (middle - asked.mandrel)
    return {
        "order": p.order,
        "plies": f"{first}" if first == last else f"{first}-{last}",
        "material": p.material,
        "angle_deg": p.angle,
        "thickness_mm": p.thickness * 1e3,
        "wraps": p.wraps,
        "inside_diameter_mm": p.inside * 1e3,
        "path_mm": p.path * 1e3,
        "overlap_mm": p.overlap * 1e3,
        "width_mm": p.width * 1e3,
        "length_mm": p.length * 1e3,
        "shape": _shape(p),
        "strips": len(p.strips),
        "roll_length_mm": math.fsum(s.length for s in p.strips) * 1e3,
        "start_deg": p.start,
        "start_mm": p.start / 360 * math.pi * p.inside * 1e3,
        "end_deg": p.end,
        "open_before_cure_mm": max(0.0, pressed - p.overlap) * 1e3,
        "area_m2": p.width * p.length,
        "mass_g": p.mass * 1e3,
        "mass_with_waste_g": p.mass * (1 + asked.waste) * 1e3,
    }


def _groups(layup: Layup, most: int | None, a: Rolled) -> list[tuple[Layer, int]]:
    """Runs of equal plies, each divided into pieces that can be rolled and cut whole."""
    out: list[tuple[Layer, int]] = []
    inside = a.mandrel
    for _, run in groupby(layup.plies, key=lambda x: (x.key, x.values, x.angle, x.thickness)):
        plies = list(run)
        one, n = plies[0], len(plies)
        lap = _lap(one, a)
        length = a.length + 2 * a.trim
        whole = [
            k for k in range(n, 0, -1)
            if across(path_of(inside + 2 * (n - k) * one.thickness, one.thickness, k) + lap, length,
                      one.angle) <= a.roll * (1 + 1e-9)
        ][:1]  # fmt: skip
        limit = min(most or n, whole[0] if whole else n)
        parts = math.ceil(n / limit)
        out += [(one, n // parts + (k < n % parts)) for k in range(parts)]
        inside += 2 * n * one.thickness
    return out


def _lap(ply: Layer, a: Rolled) -> float:
    return a.axial_overlap if abs(ply.angle) < 1.0 and not ply.values.woven else a.overlap


def _pieces(a: Rolled, most: int | None) -> tuple[Piece, ...]:
    groups = _groups(a.layup, most, a)
    inside, ply, out = a.mandrel, 1, []
    length = a.length + 2 * a.trim
    for order, ((one, n), start) in enumerate(zip(groups, starts(len(groups)), strict=True), 1):
        path, lap = path_of(inside, one.thickness, n), _lap(one, a)
        if lap >= math.pi * (inside + one.thickness):
            raise InputError(
                "the overlap is longer than the way round", where="cutting_list:overlap",
                got=worded("{} on {}", "length", lap, math.pi * (inside + one.thickness)),
                expected=for_system("a few millimetres", "a fraction of an inch"),
            )  # fmt: skip
        if across(path + lap, length, one.angle) > MOST_STRIPS * a.roll:
            raise InputError(
                f"ply {ply} would need more than {MOST_STRIPS} strips of this roll",
                where="cutting_list:roll_width", got=worded("{}", "length", a.roll),
                expected="a wider roll",
            )  # fmt: skip
        out.append(Piece(
            order, (ply, ply + n - 1), one.key or one.values.name, one.angle, one.values.woven,
            one.thickness, one.values.density, inside, path, lap, length,
            strips_of(path + lap, length, one.angle, a.roll), start,
        ))  # fmt: skip
        inside += 2 * n * one.thickness
        ply += n
    return tuple(out)


def cutting_list(
    wall_of: Any,
    wall: Any = None,
    *,
    length: Any,
    mandrel: Any = None,
    od: Any = None,
    overlap: Any = "3 mm",
    axial_overlap: Any = None,
    trim: Any = "20 mm",
    roll_width: Any = "300 mm",
    waste: Any = 0.1,
    tubes: int = 1,
    most_wraps: int | None = None,
    thickness_spread: Any = 0.05,
    mandrel_tolerance: Any = "0 mm",
    bulk: Any = 1.1,
    tape_width: Any = "20 mm",
) -> CuttingList:
    """Cutting list for rolling a tube from prepreg on a mandrel.

    Parameters
    ----------
    wall_of : Tube, Layup, str or Construction
        A tube, an own stack, or a construction whose rule makes the stack of a wall.
    wall : str or Quantity, optional
        Wall thickness for a construction; not needed where mandrel and od are given.
    length : str or Quantity
        Finished length of the tube.
    mandrel : str or Quantity, optional
        Diameter of the mandrel, which is the bore; from od and stack, or the tube, where not given.
    od : str or Quantity, optional
        Outside diameter wanted.
    overlap : str or Quantity
        Of the edges of every piece; "0 mm" is a butt joint.
    axial_overlap : str or Quantity, optional
        Of pieces whose fibres all run along the tube, if it differs.
    trim : str or Quantity
        Extra length at each end, cut off after cure.
    roll_width : str or Quantity
        Width of the prepreg roll; the fibres run along the roll.
    waste : float or str
        Allowance for offcuts, as a share of the area [-].
    tubes : int
        How many tubes are made [-].
    most_wraps : int, optional
        Most wraps in one piece; runs of equal plies are rolled as one piece where not given [-].
    thickness_spread : float or str
        Half band of the cured ply thickness as a share [-].
    mandrel_tolerance : str or Quantity
        Half band of the mandrel's diameter.
    bulk : float
        Thickness as rolled over thickness after cure [-].
    tape_width : str or Quantity
        Width of the shrink tape.

    Returns
    -------
    CuttingList
        .table, .materials, .notes, .pieces, .od, .od_range, .od_at_seam, .od_rolled, .mass,
        .mass_to_buy.

    Raises
    ------
    InputError
        For a wall that is not rolled, a mandrel larger than the tube, an overlap longer than the
        way round, a roll that is far too narrow, or a size that cannot be read.

    Notes
    -----
    Width of a piece: `tubecalc.making_pieces.path_of`; order and start: `starts`. Roll widths of
    prepreg, pieces cut as flags and rolled on a table: Kame & Berg, "Table rolling of composite
    tubes", in Peters (ed.), Handbook of Composites, 2nd ed., Chapman & Hall 1998, ch. 19. The
    defaults of overlap, trim, waste, spread and bulk are common practice, no source. Grade A for
    widths and mass of a wall of stated thickness, B for the outside diameter.

    Examples
    --------
    >>> stack = Layup.from_notation("[90/0_2]", "carbon-sm-ud", "0.125 mm")
    >>> made = cutting_list(stack, mandrel="10 mm", length="500 mm", overlap="2 mm")
    >>> made.table[["plies", "angle_deg", "width_mm", "length_mm", "start_deg"]].round(2).values
    array([['1', 90.0, 33.81, 540.0, 0.0],
           ['2-3', 0.0, 67.97, 540.0, 180.0]], dtype=object)
    """
    layup, size, outside = wall_and_mandrel(wall_of, wall, mandrel, od)
    process = process_of(layup)
    lap = read_length(overlap, "overlap", zero=True)
    factor = to_si(bulk, "number", what="bulk", where="cutting_list")
    if not 1.0 <= factor <= 2.0:
        raise InputError("is out of range", where="cutting_list:bulk", got=f"{factor:g}",
                         expected="1 to 2, thickness as rolled over cured thickness")  # fmt: skip
    asked = Rolled(
        layup=layup, mandrel=size, length=read_length(length, "length"), overlap=lap,
        axial_overlap=lap if axial_overlap is None
        else read_length(axial_overlap, "axial_overlap", zero=True),
        trim=read_length(trim, "trim", zero=True), roll=read_length(roll_width, "roll_width"),
        waste=read_share(waste, "waste", 2.0), tubes=read_whole(tubes, "tubes", MOST_TUBES),
        spread=read_share(thickness_spread, "thickness_spread", 0.5),
        mandrel_spread=read_length(mandrel_tolerance, "mandrel_tolerance", zero=True), bulk=factor,
        tape=read_length(tape_width, "tape_width"), asked_od=outside, process=process,
        tolerance_od=get_construction(layup).size("tolerance_od"),
    )  # fmt: skip
    most = None if most_wraps is None else read_whole(most_wraps, "most_wraps", 5000)
    return CuttingList(asked, _pieces(asked, most))


__all__ = ["CuttingList", "Piece", "Rolled", "cutting_list"]
