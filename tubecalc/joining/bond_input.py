"""What is asked of a bonded joint, read and refused in words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from tubecalc.checks.service import heat_limit
from tubecalc.environment import MARGIN, ROOM
from tubecalc.errors import InputError, unknown_key
from tubecalc.joining.adhesives import Adhesive, Share, get_adhesive, preparation, shares
from tubecalc.laminate.construction import get_construction
from tubecalc.laminate.elastic import Array
from tubecalc.materials import get_ply
from tubecalc.section import Sections
from tubecalc.tube import Tube
from tubecalc.unit_words import Spoken, for_system, rough, worded
from tubecalc.units import Q_, to_si, to_si_array

TIP = 0.5e-3  # m; taper of a bonded end: 0.020 in left, MIL-HDBK-17-3F vol. 3 ch. 12 D-11 (SEEN)
PLACES = ("inside", "over")
THICK_PLY = 1e-3  # m; glass between the members is a ply or two, 0.1 to 0.3 mm (PRACTICE)
_SETS = (-40.0, 300.0)  # degC, outside which no structural adhesive sets (own rule)


class Loads(NamedTuple):
    """Pull, torque and bending moment, (N,) [N, N m, N m]."""

    axial: Array
    torque: Array
    moment: Array


class Shape(NamedTuple):
    """Tapers: length over which insert and tube thin out, what is left, (N,) [m]; scarf or not."""

    insert: Array
    tube: Array
    tip: float
    scarf: bool

    @property
    def straight(self) -> bool:
        """Whether both members keep their stiffness all along."""
        return not (self.scarf or np.any(self.insert > 0) or np.any(self.tube > 0))


@dataclass(frozen=True)
class Asked:
    """A bonded joint as asked for, in SI; arrays are (N,)."""

    tube: Tube
    insert: Tube
    tubes: Sections
    inserts: Sections
    inside: bool
    overlap: Array
    gap: Array
    off_centre: Array
    barrier: float
    adhesive: Adhesive
    loads: Loads
    shape: Shape
    temperatures: tuple[float, ...]
    bonded_at: float
    wet: bool
    prepared: Share
    preparation: str
    kept_wet: float
    many: bool

    @property
    def radius(self) -> Array:
        """Radius of the middle of the adhesive [m]."""
        side = self.tubes.ri - self.gap / 2 if self.inside else self.tubes.ro + self.gap / 2
        return np.asarray(side)


def _lengths(value: Any, what: str, default: float, *, positive: bool = True) -> Array:
    if value is None:
        return np.array([default])
    read = to_si_array(value, "length", what=what, where="bond", positive=positive)
    if np.any(read < 0):
        raise InputError("is negative; it must be zero or more", where=f"bond:{what}", got=value)
    return read


def _many(*values: Any) -> bool:
    return any(np.ndim(getattr(v, "magnitude", 0)) or isinstance(v, list | tuple) for v in values)


def spread_sections(s: Sections, n: int) -> Sections:
    """The same tubes n times where there is one."""
    if len(s.R) == n:
        return s
    return Sections(s.walls, np.repeat(s.index[:1], n), np.repeat(2.0 * s.ro[:1], n))


def make_insert(
    insert: Any, wall: Any, place: str, gap: Array, tubes: Sections
) -> tuple[Tube, bool]:
    """The insert made to fit: from its material, wall and the gap.

    Raises
    ------
    InputError
        For an unknown place, a sleeve without a wall, a wall that fills more than the bore.
    """
    if place not in PLACES:
        raise unknown_key("place of the insert", place, PLACES, "bond:place")
    inside = place == "inside"
    solid = wall is None or (isinstance(wall, str) and wall.strip().lower() == "solid")
    if solid and not inside:
        raise InputError("a sleeve over the tube needs its wall", where="bond:insert_wall",
                         expected=for_system('insert_wall="2 mm"',
                                             'insert_wall="0.08 in"'))  # fmt: skip
    face = np.atleast_1d(2.0 * (tubes.ri - gap if inside else tubes.ro + gap))
    if np.any(face <= 0):
        raise InputError("the gap leaves no room for an insert in the bore", where="bond:gap",
                         got=_long("{}", gap.max()), expected=_bore(tubes))  # fmt: skip
    if solid:
        return Tube(insert, od=Q_(face, "m"), wall=Q_(face / 2, "m")), True
    t = _lengths(wall, "insert_wall", 0.0)
    if inside and np.any(2 * t >= face * (1 - 1e-9)):
        raise InputError("the wall of the insert fills its bore", where="bond:insert_wall",
                         got=_long("{}", t.max()),
                         expected=_long('"solid", or less than {}', face.min() / 2))  # fmt: skip
    sizes = (face, face - 2 * t) if inside else (face + 2 * t, face)
    return Tube(insert, od=Q_(sizes[0], "m"), id=Q_(sizes[1], "m")), inside


def _bore(tubes: Sections) -> Spoken:
    return _long("less than half the bore of {}", 2 * tubes.ri.min())


def _long(text: str, *values: Any) -> Spoken:
    """Words with lengths in them."""
    return worded(text, "length", *(float(v) for v in values))


def fitted(tube: Tube, insert: Tube, gap: Any) -> tuple[Array, bool]:
    """Gap of an insert of given sizes, and whether it goes inside.

    Raises
    ------
    InputError
        If it neither goes in nor over, leaves no gap, or contradicts the gap that is stated.
    """
    t, s = tube.sections, insert.sections
    room_in, room_over = t.ri - s.ro, s.ri - t.ro
    inside = bool(np.all(room_in >= -1e-9) or not np.all(room_over >= -1e-9))
    room = np.asarray(room_in if inside else room_over)
    if np.any(room < -1e-9):
        n = int(np.argmin(room_in))
        od, bore = (2 * float(np.broadcast_to(x, room.shape)[n]) for x in (s.ro, t.ri))
        raise InputError(
            "the insert is larger than the bore", where="bond:insert",
            got=_long("{} into {}", od, bore),
            expected="an outside diameter below the bore by twice the gap",
        )  # fmt: skip
    if gap is not None:
        asked = _lengths(gap, "gap", 0.0, positive=False)
        if np.any(np.abs(asked - room) > 1e-6 + 1e-3 * room):
            raise InputError(
                "the gap contradicts the diameters", where="bond:gap", got=_long("{}", asked[0]),
                expected=_long("{} a side", room[0]),
            )  # fmt: skip
    return np.maximum(room, 0.0), inside


def check_gap(gap: Array, adhesive: Adhesive, off_centre: Array) -> None:
    """Refuse a gap that an adhesive cannot fill, and one that is used up on one side.

    Raises
    ------
    InputError
        For no gap, one above what the adhesive allows, an insert that touches the tube.
    """
    if np.any(gap < 1e-6):
        raise InputError(
            "the gap is zero: there is no room for adhesive", where="bond:gap",
            got=_long("{}", gap.min()), expected=_long("about {} a side", adhesive.gap_best),
        )  # fmt: skip
    if np.any(gap > adhesive.gap_max * (1 + 1e-9)):
        raise InputError(
            f"the gap is more than {adhesive.name} allows", where="bond:gap",
            got=_long("{} a side", gap.max()),
            expected=_long("at most {}; sleeve the insert, or take an adhesive that fills gaps",
                           adhesive.gap_max),
        )  # fmt: skip
    if np.any(off_centre >= gap):
        raise InputError(
            "off centre by the whole gap, the insert touches the tube", where="bond:off_centre",
            got=_long("{}", off_centre.max()), expected=_long("less than {}", gap.min()),
        )  # fmt: skip


def read_temperatures(value: Any) -> tuple[float, ...]:
    """Temperatures that are looked at: room, and the one or two of service [degC]."""
    if value is None:
        return (ROOM,)
    many = isinstance(value, list | tuple) or np.ndim(getattr(value, "magnitude", 0)) > 0
    read = (
        [to_si(v, "temperature", what="temperature", where="bond") for v in value]
        if many else [to_si(value, "temperature", what="temperature", where="bond")]
    )  # fmt: skip
    if len(read) > 2:
        raise InputError("is the coldest and the hottest of service", where="bond:temperature",
                         got=f"{len(read)} temperatures", expected="one or two")  # fmt: skip
    return tuple(sorted({ROOM, *read}))


def check_heat(
    temperatures: tuple[float, ...], adhesive: Adhesive, members: tuple[Tube, Tube], *, wet: bool
) -> None:
    """Refuse service above what adhesive, tube or insert bears.

    Raises
    ------
    InputError
        Naming the weakest member and its limit.
    """
    hot = max(temperatures)
    limits = [(adhesive.heat_limit(wet=wet), adhesive.name, adhesive.softening(wet=wet))]
    for one in members:
        top = heat_limit(one.construction, wet=wet)
        limits.append((math.inf if math.isnan(top) else top, one.construction.name, math.nan))
    limit, name, glass = min(limits, key=lambda x: x[0])
    if hot <= limit + 1e-9:
        return
    expected = worded("at most {}", "temperature", limit)
    if not math.isnan(glass):
        expected = Spoken(lambda s: (
            f"at most {rough(limit, 'temperature', s, 4)}, "
            f"{rough(MARGIN, 'temperature_difference', s)} below its glass transition of "
            f"{rough(glass, 'temperature', s, 4)}"
        ))  # fmt: skip
    state = " when wet" if wet else ""
    raise InputError(
        f"{name} is above its temperature{state}", where="bond:temperature",
        got=worded("{}", "temperature", hot), expected=expected,
    )  # fmt: skip


def check_lengths(overlap: Array, shape: Shape, insert_length: Any, tube_length: Any) -> None:
    """Refuse an overlap that is longer than a member, a taper that is longer than the overlap.

    Raises
    ------
    InputError
        Naming the member.
    """
    for name, given in (("insert", insert_length), ("tube", tube_length)):
        longest = _lengths(given, f"{name}_length", math.inf) if given is not None else None
        if longest is not None and np.any(overlap > longest * (1 + 1e-9)):
            raise InputError(
                f"the overlap is longer than the {name}", where="bond:overlap",
                got=_long("{}", overlap.max()), expected=_long("at most {}", longest.min()),
            )  # fmt: skip
    for name, length in (("taper", shape.insert), ("tube_taper", shape.tube)):
        if np.any(length > overlap * (1 + 1e-9)):
            raise InputError(
                "the taper is longer than the overlap", where=f"bond:{name}",
                got=_long("{}", length.max()), expected=_long("at most {}", overlap.min()),
            )  # fmt: skip


def read_loads(axial: Any, torque: Any, moment: Any) -> list[Array]:
    """Loads in SI, zero where not given."""
    out = []
    for name, kind, value in (("axial", "force", axial), ("torque", "torque", torque),
                              ("moment", "moment", moment)):  # fmt: skip
        out.append(np.zeros(1) if value is None else to_si_array(value, kind, what=name,
                                                                 where="bond"))  # fmt: skip
    return out


def deep_moment(moment: float, shear: float, overlap: float) -> float:
    """Bending moment at the deep end of a joint [N m], of that at its mouth and the force across.

    The larger one, which the joint is judged by: the force goes on turning over the overlap.
    """
    return abs(moment) + abs(shear) * overlap


_LISTS = ("overlap", "gap", "off_centre", "axial", "torque", "moment", "taper", "tube_taper",
          "tube", "insert")  # fmt: skip


def _common(lists: list[Array]) -> int:
    """How many joints lists of values make.

    Raises
    ------
    InputError
        Naming the lists whose lengths do not go together.
    """
    n = max(len(x) for x in lists)
    if any(len(x) not in (1, n) for x in lists):
        counts = [f"{k} {len(x)}" for k, x in zip(_LISTS, lists, strict=True) if len(x) > 1]
        raise InputError(
            "lists of different lengths do not go together", where="bond", got=", ".join(counts),
            expected="one, or as many as the others",
        )  # fmt: skip
    return n


def read(tube: Any, insert: Any, given: dict[str, Any]) -> Asked:
    """Everything asked of a joint; see `tubecalc.joining.bond.bond` for the names.

    Raises
    ------
    InputError
        One sentence for whatever cannot be used.
    """
    if not isinstance(tube, Tube):
        raise InputError("a joint needs the tube", where="bond:tube", got=type(tube).__name__,
                         expected="a Tube")  # fmt: skip
    glue = get_adhesive(given["adhesive"])
    if isinstance(insert, Tube):
        gap, inside = fitted(tube, insert, given["gap"])
    else:
        if insert is None or isinstance(insert, str):
            get_construction(insert or "", "bond:insert")  # says in words what is not known
        gap = _lengths(given["gap"], "gap", glue.gap_best, positive=False)
        check_gap(gap, glue, np.zeros(1))
        insert, inside = make_insert(
            insert, given["insert_wall"], given["place"], gap, tube.sections
        )
    off = _lengths(given["off_centre"], "off_centre", 0.0, positive=False)
    check_gap(gap, glue, off)
    overlap = _lengths(given["overlap"], "overlap", math.nan)
    if np.isnan(overlap).any():
        raise InputError("a bonded joint needs its overlap", where="bond:overlap")
    loads = read_loads(given["axial"], given["torque"], given["moment"])
    tapers = [_lengths(given[k], k, 0.0, positive=False) for k in ("taper", "tube_taper")]
    tip = to_si(given["tip"], "length", what="tip", where="bond", positive=True)
    lists = [overlap, gap, off, *loads, *tapers]
    n = _common([*lists, np.zeros(len(tube)), np.zeros(len(insert))])
    overlap, gap, off, *rest = (np.broadcast_to(x, (n,)).astype(float) for x in lists)
    shape = Shape(rest[3], rest[4], tip, _yes(given["scarf"], "scarf"))
    check_lengths(overlap, shape, given["insert_length"], given["tube_length"])
    temperatures = read_temperatures(given["temperature"])
    wet = _yes(given["wet"], "wet")
    check_heat(temperatures, glue, (tube, insert), wet=wet)
    found = [preparation(given["preparation"], "metal" if m.construction.metal else "composite")
             for m in (tube, insert)]  # fmt: skip
    return Asked(
        tube, insert, spread_sections(tube.sections, n), spread_sections(insert.sections, n),
        inside, overlap, gap, off,
        _barrier(given["barrier"]),
        glue, Loads(*rest[:3]), shape, temperatures,
        _set_at(given["bonded_at"], glue),
        wet, min(found, key=lambda s: s.value), given["preparation"],
        shares()["wet", "humid", "any"].value if wet else 1.0,
        n > 1 or _many(*(given[k] for k in ("overlap", "gap", "axial", "torque", "moment"))),
    )  # fmt: skip


def _yes(given: Any, what: str) -> bool:
    if not isinstance(given, bool | np.bool_):
        raise InputError("is yes or no", where=f"bond:{what}", got=repr(given),
                         expected="True or False")  # fmt: skip
    return bool(given)


def _set_at(given: Any, adhesive: Adhesive) -> float:
    """Temperature at which it sets [degC]."""
    if given is None:
        return adhesive.t_cure
    found = to_si(given, "temperature", what="bonded_at", where="bond")
    if not _SETS[0] <= found <= _SETS[1]:
        raise InputError("no adhesive sets at this temperature", where="bond:bonded_at",
                         got=worded("{}", "temperature", found),
                         expected=worded("{} to {}", "temperature", *_SETS))  # fmt: skip
    return found


def _barrier(given: Any) -> float:
    if given is None:
        return 0.0
    found = to_si(given, "length", what="barrier", where="bond", positive=True)
    if found > THICK_PLY:
        raise InputError("is thicker than an insulating ply", where="bond:barrier",
                         got=_long("{}", found),
                         expected=_long("at most {}", THICK_PLY))  # fmt: skip
    return found


def barrier_softness(thickness: float) -> float:
    """Slip of an insulating glass ply per shear stress [m/Pa]."""
    return thickness / get_ply("glass-woven").si.G12


__all__ = ["PLACES", "TIP", "Asked", "Loads", "Shape", "barrier_softness", "read"]
