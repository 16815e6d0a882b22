"""Telescoping poles: n tubes one in the other, held at the base, loaded at the tip."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.checks.local import FREE_END, FREE_END_CRUSH, crush_load, split_load
from tubecalc.errors import InputError
from tubecalc.joining import pole as statics
from tubecalc.joining.fits import WILL_BIND, Fit, fit
from tubecalc.joining.pole import Beam, Pair
from tubecalc.joining.pole_sections import MOST_SECTIONS, telescope
from tubecalc.joining.workshop import figure
from tubecalc.laminate.elastic import Array
from tubecalc.loadpoint import Patch
from tubecalc.loadpoint_table import load_table
from tubecalc.loads import G0
from tubecalc.tube import Tube
from tubecalc.unit_words import Spoken, say, worded
from tubecalc.units import to_si

if TYPE_CHECKING:
    import pandas as pd

TOUCH_LENGTH, TOUCH_ANGLE = 0.2, math.radians(60.0)  # of the inner diameter; own rule, grade C
STEEP = math.radians(10.0)  # slope beyond which small-deflection theory is off by some per cent
STATIONS = 41


@dataclass(frozen=True)
class Joint:
    """One joint of a pole, SI.

    fit is that of its two tubes; pair what it carries; play, play_high and play_most are the turns
    by the middle clearance, by what 0.135 % of pairs exceed and by the most, give the turn by the
    dents of both walls [rad]; reserve is the force that first damages a wall at an end of the
    overlap over the force there, where says which.
    """

    fit: Fit
    overlap: float
    pair: Pair
    play: float
    play_high: float
    play_most: float
    give: float
    reserve: float
    where: str


@dataclass(frozen=True)
class Pole:
    """A stack of tubes from the base to the tip, SI.

    droop is the deflection of the tip by load and weight, by weight alone, by the play of the
    joints (middle, likely most and most clearance) and by the dents of their walls [m]; stiffness
    is the bending stiffness of the one-piece tube that the load would bend as far [N m2]; curve
    holds distance along and deflection of each tube, all parts together.
    """

    tubes: tuple[Tube, ...]
    lengths: tuple[float, ...]
    joints: tuple[Joint, ...]
    load: float
    reach: float
    mass: float
    elastic: float
    by_weight: float
    by_play: float
    by_play_likely: float
    by_play_most: float
    by_give: float
    slope: float
    stiffness: float
    bending: tuple[float, ...]
    curve: tuple[tuple[Array, Array], ...]

    @property
    def droop(self) -> float:
        """Deflection of the tip, all parts, middle clearance [m]."""
        return self.elastic + self.by_weight + self.by_play + self.by_give

    @property
    def droop_most(self) -> float:
        """The same with the most clearance of every joint [m]."""
        return self.droop - self.by_play + self.by_play_most

    @property
    def droop_likely(self) -> float:
        """What about 0.1 % of poles exceed: root sum square of the plays of the joints [m]."""
        return self.droop - self.by_play + self.by_play_likely

    @property
    def chance(self) -> float:
        """Chance that any joint binds, the joints taken as independent, 0 to 1."""
        return 1.0 - math.prod(1.0 - j.fit.chance for j in self.joints)

    @property
    def reserve(self) -> float:
        """Least reserve of the tubes in bending and of the walls at the joints [-]."""
        return min([*self.bending, *(j.reserve for j in self.joints)])

    @property
    def grade(self) -> str:
        """C: dents, touch and play of the joints are estimates."""
        return "C"

    @property
    def table(self) -> pd.DataFrame:
        """One row a joint, from the base to the tip."""
        import pandas as pd

        return pd.DataFrame(
            [
                {"joint": n, "overlap_mm": j.overlap * 1e3,
                 "clearance_mm": j.fit.worst.middle * 1e3, "moment_N_m": j.pair.moment,
                 "mouth_N": j.pair.mouth, "heel_N": j.pair.heel,
                 "play_deg": math.degrees(j.play), "give_deg": math.degrees(j.give),
                 "reserve": j.reserve, "where": j.where, "fit": j.fit.verdict}
                for n, j in enumerate(self.joints, 1)
            ]
        )  # fmt: skip

    @property
    def cautions(self) -> list[str]:
        """What to mind, in sentences."""
        return _cautions(self)

    def __repr__(self) -> str:
        return f"Pole({len(self.tubes)} sections, {self.reach:.4g} m, droop {self.droop:.4g} m)"


def nested(
    tubes: Sequence[Tube],
    *,
    length: Any,
    overlap: Any,
    load: Any = "0 N",
    elevation: Any = "0 deg",
    outside: Any = None,
    bore: Any = None,
    temperature: Any = None,
) -> Pole:
    """A telescoping pole held at its base: droop, play, load pairs and walls at the joints.

    Parameters
    ----------
    tubes : sequence of Tube
        From the base to the tip, each in the one before.
    length, overlap : str, Quantity or list
        Length of the tubes, overlap of the joints; one for all, or one each.
    load : str or Quantity
        Across the pole at the tip, downwards.
    elevation : str or Quantity
        Of the pole above level: its weight acts with the cosine.
    outside, bore : optional
        Tolerances of every joint, as `fit` takes them.
    temperature : optional
        As `fit` takes it.

    Returns
    -------
    Pole

    Raises
    ------
    InputError
        For an overlap longer than a section, tubes that do not go into each other, or that will
        bind.

    Notes
    -----
    Each joint carries its moment as a pair of forces at the two ends of the overlap and turns by
    the clearance over the overlap. Small deflections; the base does not give. Touch over 60
    degrees and a fifth of the diameter (own rule); dents by `tubecalc.loadpoint`, four times as
    deep at a free end. Solid bars get no dents and no wall check.

    Examples
    --------
    >>> tubes = telescope("pultruded", od="20 mm", wall="1 mm", count=3, gap="0.3 mm")
    >>> found = nested(tubes, length="1 m", overlap="120 mm", load="2 N")
    >>> round(found.reach, 3), found.droop_most > found.droop > 0
    (2.76, True)
    """
    many = list(tubes)
    if not 2 <= len(many) <= MOST_SECTIONS:
        raise InputError("is no number of sections", where="nested", got=len(many),
                         expected=f"2 to {MOST_SECTIONS}")  # fmt: skip
    lengths = _each(length, len(many), "length")
    overlaps = _each(overlap, len(many) - 1, "overlap")
    for n, o in enumerate(overlaps, 1):
        short = min(lengths[n - 1 : n + 1])
        if o >= short * (1 - 1e-9):
            raise InputError(
                f"the overlap of joint {n} is not shorter than its section", where="nested:overlap",
                got=worded("{}", "length", o), expected=worded("less than {}", "length", short),
            )  # fmt: skip
    for n in range(1, len(many) - 1):
        if overlaps[n - 1] + overlaps[n] > lengths[n] * (1 + 1e-9):
            raise InputError(
                f"both overlaps of section {n + 1} together are longer than it",
                where="nested:overlap", got=worded("{}", "length", overlaps[n - 1] + overlaps[n]),
                expected=worded("at most {}", "length", lengths[n]),
            )  # fmt: skip
    force = to_si(load, "force", what="load", where="nested")
    angle = to_si(elevation, "angle", what="elevation", where="nested")
    if abs(angle) > math.pi / 2.0 + 1e-9:
        raise InputError("a pole points up or down by a right angle at most",
                         where="nested:elevation", got=str(elevation),
                         expected="-90 deg to 90 deg")  # fmt: skip
    lean = math.cos(angle)
    fits = _fits(many, overlaps, outside, bore, temperature)
    return _pole(many, lengths, overlaps, force, lean, fits)


def _each(given: Any, count: int, name: str) -> list[float]:
    many = list(given) if isinstance(given, list | tuple) else [given] * count
    if len(many) != count:
        raise InputError(f"one {name}, or one for each of {count}", where=f"nested:{name}",
                         got=len(many))  # fmt: skip
    return [to_si(x, "length", what=name, where="nested", positive=True) for x in many]


def _fits(tubes: Sequence[Tube], overlaps: Sequence[float], outside: Any, bore: Any,
          temperature: Any) -> list[Fit]:  # fmt: skip
    out = []
    for n, o in enumerate(overlaps, 1):
        try:
            one = fit(tubes[n], tubes[n - 1], overlap=f"{o!r} m", outside=outside, bore=bore,
                      temperature=temperature)  # fmt: skip
        except InputError as error:
            raise InputError(error.message, where=f"nested:joint {n}", got=error.got,
                             expected=error.expected) from None  # fmt: skip
        if one.verdict == WILL_BIND:
            raise InputError(_stuck(one), where=f"nested:joint {n}")
        out.append(one)
    return out


def _stuck(one: Fit) -> Spoken:
    return Spoken(lambda system: f"the tubes do not slide: {say(one.why, system)}")


def _pole(tubes: Sequence[Tube], lengths: Sequence[float], overlaps: Sequence[float], force: float,
          lean: float, fits: Sequence[Fit]) -> Pole:  # fmt: skip
    beams = [
        Beam(x, float(t.sections.EI[0]), float(t.sections.kGA[0]),
             float(t.sections.mass_per_length[0]) * G0 * lean)
        for t, x in zip(tubes, lengths, strict=True)
    ]  # fmt: skip
    points, pairs = statics.statics(beams, overlaps, force)
    joints = tuple(_joint(f, o, p) for f, o, p in zip(fits, overlaps, pairs, strict=True))
    bare = [b._replace(weight=0.0) for b in beams]
    none = [0.0] * len(joints)
    sign = math.copysign(1.0, force + sum(b.weight for b in beams))
    ends = [np.array([0.0, x]) for x in lengths]

    def tip(of: Sequence[Beam], by: float, turns: Sequence[float]) -> float:
        loads, _ = statics.statics(of, overlaps, by)
        return float(statics.places(of, overlaps, loads, turns, ends)[-1][-1])

    def alone(k: int) -> float:
        """Tip by the likely more play of one joint."""
        more = max(joints[k].play_high - joints[k].play, 0.0)
        return tip(bare, 0.0, [more if n == k else 0.0 for n in range(len(joints))])

    unit, played = tip(bare, 1.0, none), tip(bare, 0.0, [sign * j.play for j in joints])
    reach = sum(lengths) - sum(overlaps)
    turns = [sign * (j.play + j.give) for j in joints]
    along = [np.linspace(0.0, x, STATIONS) for x in lengths]
    down = statics.places(beams, overlaps, points, turns, along)
    starts = np.concatenate([[0.0], np.cumsum([x - o for x, o in
                                               zip(lengths, overlaps, strict=False)])])  # fmt: skip
    slope = abs(float(down[-1][-1] - down[-1][-2])) / (along[-1][-1] - along[-1][-2])
    return Pole(
        tuple(tubes), tuple(lengths), joints, force, reach,
        sum(float(t.sections.mass_per_length[0]) * x for t, x in zip(tubes, lengths, strict=True)),
        unit * force, tip(beams, 0.0, none), played,
        played + sign * math.hypot(*map(alone, range(len(joints)))),
        tip(bare, 0.0, [sign * j.play_most for j in joints]),
        tip(bare, 0.0, [sign * j.give for j in joints]), slope, reach**3 / 3.0 / unit,
        tuple(_bending(t, b, p) for t, b, p in zip(tubes, beams, points, strict=True)),
        tuple((s + at, w) for s, at, w in zip(starts, along, down, strict=True)),
    )  # fmt: skip


def _bending(tube: Tube, beam: Beam, points: Sequence[statics.Point]) -> float:
    at = np.array(sorted({0.0, *(min(p.at, beam.length) for p in points)}))
    worst = float(np.abs(statics.moment(beam, points, at)).max())
    can = float(tube.sections.unit["bending"].broken[0])
    return can / worst if worst > 0 else math.inf


def _touch(inner: Tube) -> Patch:
    return Patch(TOUCH_LENGTH * 2.0 * float(inner.sections.ro[0]), TOUCH_ANGLE)


def _joint(f: Fit, overlap: float, pair: Pair) -> Joint:
    """Turns and walls of one joint: the mouth is a free end of the outer, the heel of the inner."""
    patch, mouth, heel = _touch(f.inner), abs(pair.mouth), abs(pair.heel)
    dents, places = [], []
    for tube, own, other in ((f.outer, mouth, heel), (f.inner, heel, mouth)):
        if float(tube.sections.ri[0]) <= 1e-9:
            dents.append(0.0)
            continue
        s = tube.sections
        dent = float(load_table(s.walls, patch).at(s.index, s.R).dent[0])
        dents.append(dent * (FREE_END * own + other))
        name = "outer" if tube is f.outer else "inner"
        end, inside = ("mouth", "heel") if tube is f.outer else ("heel", "mouth")
        places += _walls(tube, patch, own, other, name, end, inside)
    reserve, where = min(places, default=(math.inf, ""))
    worst = f.worst
    return Joint(
        f, overlap, pair, max(f.at[0].middle, 0.0) / overlap,
        max(max(x.high for x in f.at), 0.0) / overlap,
        max(max(x.most for x in f.at), worst.most) / overlap, sum(dents) / overlap, reserve, where,
    )  # fmt: skip


def _walls(tube: Tube, patch: Patch, own: float, other: float, name: str, end: str,
           inside: str) -> list[tuple[float, str]]:  # fmt: skip
    """Reserve of one wall at its own free end and where the other tube ends."""
    s = tube.sections
    crush = float(crush_load(s, patch)[0])
    split = math.inf if tube.construction.metal else float(split_load(s, patch)[0])
    out = []
    for force, at, hard, soft in ((own, end, FREE_END_CRUSH, FREE_END), (other, inside, 1.0, 1.0)):
        can = min(crush / hard, split / soft)
        reserve = can / force if force > 0 and not math.isnan(can) else math.inf
        out.append((reserve, f"{name} tube at the {at}"))
    return out


def _cautions(p: Pole) -> list[str]:
    out = []
    least = figure("overlap_diameters").value
    short = [n for n, j in enumerate(p.joints, 1)
             if j.overlap < least * 2.0 * float(j.fit.inner.sections.ro[0])]  # fmt: skip
    if short:
        out.append(
            f"joint {', '.join(map(str, short))}: the overlap is under {least:g} diameters of the "
            "inner tube, it tilts and presses hard at its ends (common practice, no source)"
        )
    if p.slope > STEEP:
        out.append(f"the tip slopes {math.degrees(p.slope):.0f} degrees: the true droop is less "
                   "than that of small deflections")  # fmt: skip
    if any(j.fit.verdict == "may bind" for j in p.joints):
        out.append("some joints may bind: measure and select the tubes")
    weak = [n for n, j in enumerate(p.joints, 1) if j.reserve < 1.0]
    if weak:
        out.append(f"joint {', '.join(map(str, weak))}: a wall is damaged at an end of the overlap:"
                   " longer overlap, a collar or a plug")  # fmt: skip
    if any(t.construction.splits for t in p.tubes[:-1]):
        out.append("an all-axial tube splits from its mouth: bind it with a hoop or a collar")
    out.append("the base is taken as held fast; joints wear, see the wear of the bore")
    return out


__all__ = ["MOST_SECTIONS", "Joint", "Pole", "nested", "telescope"]
