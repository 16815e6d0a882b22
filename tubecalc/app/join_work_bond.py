"""What page `join` computes of bonds, bolts, clamps, pairs of metals, heat and workshop."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from tubecalc.app.join_state import JoinChoice
from tubecalc.app.join_work import TubeFound, pole_found, slide_found, tube_found
from tubecalc.app.layup_state import Reader
from tubecalc.app.state import sentence
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.joining.bond import Bond
from tubecalc.joining.bond_input import deep_moment
from tubecalc.joining.clamps import Clamp, clamp_up, split_clamp
from tubecalc.joining.galvanic import ENVIRONMENTS, Couple, galvanic, known_materials, material_of
from tubecalc.joining.growth import Athermal, Grown, assembly, athermal
from tubecalc.joining.heat import Heat
from tubecalc.joining.heat_judge import JudgedGrowth, judged_growth, judged_heat
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.joining.mechanical import Fastened, bolt, thread_rule
from tubecalc.joining.notes import Note, notes
from tubecalc.joining.spread import (
    SUN_ERROR,
    TYPED_ERROR,
    BondSpread,
    Grip,
    bond_spread,
    clamp_spread,
    grip_reserve,
)
from tubecalc.joining.sun import Sunlit
from tubecalc.laminate.construction import get_construction
from tubecalc.plystress_reserve import loads_of_case
from tubecalc.tube import Tube
from tubecalc.units import to_si

POINTS = 28  # of the curve of strength over overlap
_FIELDS = {"overlap": "length", "wall": "length", "gap": "length", "axial": "force",
           "torque": "torque", "moment": "moment", "cold": "temperature", "hot": "temperature",
           "taper": "length", "barrier": "length", "off": "length", "long": "length",
           "broke": "force"}  # fmt: skip
_AT = {"insert_wall": "wall", "gap": "gap", "overlap": "overlap", "taper": "taper",
       "barrier": "barrier", "off_centre": "off", "temperature": "hot", "insert": "wall",
       "axial": "axial", "torque": "torque", "moment": "moment"}  # fmt: skip


# ---- will the bond hold ---------------------------------------------------------------------
@dataclass(frozen=True, eq=False)
class BondFound:
    """A bonded joint, the joint of a job it is, its strength over the overlap, how it scatters."""

    bond: Bond
    spec: JointSpec
    curve: Bond
    spread: BondSpread | None
    key: tuple[Any, ...]
    factor: float
    loads: str
    broke: str
    parted: float  # pull at which one came apart, NaN where not told [N]
    pull: float  # asked along the tube [N]
    heat: float  # of the need, NaN where it names none [degC]

    @property
    def belied(self) -> bool:
        """Whether one came apart under no more than the pull asked, the factor counted."""
        return self.parted <= self.pull * self.factor

    @property
    def warmest(self) -> float:
        """What its adhesive is good to [degC]."""
        return self.bond.asked.adhesive.heat_limit(wet=self.bond.asked.wet)


def bond_case(choice: JoinChoice) -> int:
    """Number of the job's case whose load the bond bears; 0 where it is typed.

    Parameters
    ----------
    choice : JoinChoice
        The choice.

    Returns
    -------
    int

    Examples
    --------
    >>> bond_case(JoinChoice())
    0
    """
    which = choice.get("bond.from").removeprefix("case ")
    good = which.isdecimal() and 1 <= int(which[:6]) <= len(choice.job.need.cases)
    return int(which) if good else 0


def _loads(choice: JoinChoice, reader: Reader, base: TubeFound,
           overlap: float) -> tuple[str, dict[str, str]]:  # fmt: skip
    """Words for the loads, and the loads as the joint carries them."""
    which = bond_case(choice)
    if which:
        case = choice.job.need.cases[which - 1]
        of = loads_of_case(base.tube, case)
        moment = deep_moment(of.moment, of.shear, overlap)
        units = {"axial": (of.axial, "N"), "torque": (of.torque, "N m"), "moment": (moment, "N m")}
        words = case.name or case.kind
        if moment > abs(of.moment):
            words += ", its moment that at the deep end of the overlap"
        return words, {k: f"{v:.9g} {u}" for k, (v, u) in units.items() if v}
    given = {k: reader.given(f"bond.{k}") for k in ("axial", "torque", "moment")}
    return "the loads typed", {k: v for k, v in given.items() if v}


def bond_found(choice: JoinChoice, reader: Reader, found: Mapping[str, Any]) -> BondFound | None:
    """Bonded joint of this tube and an insert or a sleeve."""
    base: TubeFound = found["tube"]
    loose = ("wall",) if choice.get("bond.wall").strip().lower() == "solid" else ()
    value = {k: reader.si(f"bond.{k}", kind, k) for k, kind in _FIELDS.items() if k not in loose}
    if math.isnan(value["overlap"]):
        reader.wrong.setdefault("bond.overlap", "Fill this in: how far it reaches in.")
    if reader.wrong:
        return None
    words, loads = _loads(choice, reader, base, value["overlap"])
    if reader.wrong:
        return None
    given: dict[str, Any] = {
        "insert": choice.get("bond.insert"), "overlap": choice.get("bond.overlap"),
        "adhesive": choice.get("bond.glue"), "preparation": choice.get("bond.prepared"),
        "place": choice.get("bond.place"), **loads,
    }  # fmt: skip
    names = {"wall": "insert_wall", "gap": "gap", "taper": "taper", "barrier": "barrier",
             "off": "off_centre", "long": "insert_length"}  # fmt: skip
    for key, name in names.items():
        if text := reader.given(f"bond.{key}"):
            given[name] = text
    heats = [t for k in ("cold", "hot") if (t := reader.given(f"bond.{k}"))]
    given |= {"temperature": heats} if heats else {}
    given |= {k: True for k in ("wet", "scarf") if choice.get(f"bond.{k}") == "yes"}
    try:
        spec = JointSpec("bond", given=given)
        made = spec.bond(base.tube, choice.job)
        before = found.get("bond")
        curve, spread, key = _curve(spec, made, base, before, choice.job)
        broke = reader.given("bond.broke")
        said = made.broke_at(broke) if broke else ""
    except InputError as error:
        known = {k: f"bond.{v}" for k, v in _AT.items()}
        if "temperature" in (error.where or "") and not reader.given("bond.hot"):
            known["temperature"] = "bond.cold"
        known["load"] = "bond.broke"
        reader.refuse(error, "bond", known)
        return None
    factor = choice.job.need.factors.strength
    pull = abs(to_si(given.get("axial", "0 N"), "force", what="pull"))
    return BondFound(
        made,
        spec,
        curve,
        spread,
        key,
        factor,
        words,
        said,
        value["broke"],
        pull,
        choice.job.need.service.temperature,
    )


def _curve(spec: JointSpec, made: Bond, base: TubeFound, before: Any,
           walls: Job) -> tuple[Bond, BondSpread | None, Any]:  # fmt: skip
    """Strength and scatter over overlap; kept while only the overlap moves within it."""
    rest = {k: v for k, v in spec.given.items() if k not in ("overlap", "insert_length")}
    overlap, useful = float(made.asked.overlap[0]), float(made.lengths["useful"][0])
    end = 1.6 * useful if useful > 0.0 else 2.0 * overlap  # none where heat alone parts it
    while end < 1.15 * overlap:
        end *= 1.5
    key = (base.candidate, repr(sorted(rest.items(), key=lambda x: x[0])), end,
           repr(walls.walls.get(str(rest["insert"]))))  # fmt: skip
    if before is not None and before.key == key:
        return before.curve, before.spread, key
    least = max(float(to_si(rest["taper"], "length", what="taper")) if "taper" in rest else 0.0,
                end / POINTS)  # fmt: skip
    places = np.linspace(least, max(end, 1.2 * least), POINTS)
    rest["overlap"] = [f"{x!r} m" for x in places.tolist()]
    curve = JointSpec("bond", given=rest).bond(base.tube, walls)
    return curve, bond_spread(curve.asked, curve.strengths), key


# ---- bolts, threads, clamps -----------------------------------------------------------------
@dataclass(frozen=True, eq=False)
class BoltFound:
    """A bolt, the thread rule, the pull of washers, a split clamp, and the joints they are.

    sizes holds hole, edge, load, washer, length and screw [m, N], NaN where not given.
    """

    tube: Tube
    bolt: Fastened
    thread: tuple[str, str]
    washer: float
    clamp: Clamp
    grip: Grip
    held: float  # load the clamp must hold, NaN where not asked [N]
    grips: float  # reserve against slipping, the factor counted
    specs: tuple[JointSpec, JointSpec]
    factor: float
    sizes: Mapping[str, float]
    screws: int
    style: str
    plug: bool


def bolt_found(choice: JoinChoice, reader: Reader, found: Mapping[str, Any]) -> BoltFound | None:
    """Bolt or pin through this tube, and a clamp round it."""
    base: TubeFound = found["tube"]
    kinds = {"bolt.hole": "length", "bolt.load": "force", "bolt.edge": "length",
             "bolt.moment": "moment", "clamp.length": "length", "clamp.screw": "length",
             "clamp.washer": "length", "clamp.load": "force"}  # fmt: skip
    free = ("bolt.edge", "bolt.moment", "clamp.load")
    value = {p: reader.si(p, kind, p.split(".")[1]) for p, kind in kinds.items()}
    for path in kinds:
        if math.isnan(value[path]) and path not in free:
            reader.wrong.setdefault(path, "Fill this in.")
    sizes = {p.split(".")[1]: x for p, x in value.items() if p != "clamp.load"}
    screws = reader.whole("clamp.screws", 1, 100)
    if reader.wrong:
        return None
    of_bolt: dict[str, Any] = {"hole": choice.get("bolt.hole"), "load": choice.get("bolt.load"),
                               "place": choice.get("bolt.place")}  # fmt: skip
    for key, name in (("edge", "edge_distance"), ("moment", "moment"), ("pin", "pin")):
        if text := reader.given(f"bolt.{key}"):
            of_bolt[name] = text
    plug = choice.get("clamp.plug") == "yes"
    of_clamp: dict[str, Any] = {"length": choice.get("clamp.length"), "plug": plug,
                                "screw": choice.get("clamp.screw"), "screws": screws}  # fmt: skip
    style = choice.get("clamp.style")
    factor = max(1.0, choice.job.need.factors.strength)
    known = {"load": "bolt.load", "moment": "bolt.moment", "distance": "bolt.edge",
             "hole": "bolt.hole", "edge_distance": "bolt.edge", "edge distance": "bolt.edge",
             "pin": "bolt.pin", "length": "clamp.length", "screw": "clamp.screw",
             "washer": "clamp.washer"}  # fmt: skip
    try:
        made = bolt(base.tube, **of_bolt, factor=factor)
        grip = split_clamp(base.tube, **of_clamp, kind=style)
        pull = clamp_up(base.tube, washer=choice.get("clamp.washer"), plug=plug)
    except InputError as error:
        reader.refuse(error, "bolt", known)
        return None
    if not value["bolt.hole"] < value["clamp.washer"] <= base.candidate.od:
        small = value["clamp.washer"] <= value["bolt.hole"]
        said = "A washer is wider than its hole." if small else "The washer is wider than the tube."
        reader.wrong["clamp.washer"] = said
        return None
    held = {"load": text} if (text := reader.given("clamp.load")) else {}
    specs = (JointSpec("bolt", given=of_bolt),
             JointSpec("clamp", given={**of_clamp, "style": style, **held}))  # fmt: skip
    return BoltFound(base.tube, made, thread_rule(base.tube.construction), pull, grip,
                     clamp_spread(grip), value["clamp.load"],
                     grip_reserve(grip, value["clamp.load"], factor), specs, factor, sizes,
                     screws, style, plug)  # fmt: skip


# ---- which metal may touch it ---------------------------------------------------------------
@dataclass(frozen=True, eq=False)
class MetalFound:
    """Material of the tube, the pair asked for, every other material in each environment."""

    material: str
    couple: Couple
    rows: tuple[tuple[str, tuple[Couple, ...]], ...]


def metal_found(choice: JoinChoice, reader: Reader, found: Mapping[str, Any]) -> MetalFound | None:
    """Pairs of this tube with every material of the table."""
    base: TubeFound = found["tube"]
    material = material_of(base.tube)
    others = [m for m in known_materials() if m != material]
    rows = tuple((m, tuple(galvanic(material, m, env) for env in ENVIRONMENTS)) for m in others)
    couple = galvanic(base.tube, choice.get("metal.other"), choice.get("metal.env"))
    return MetalFound(material, couple, rows)


# ---- heat -----------------------------------------------------------------------------------
@dataclass(frozen=True, eq=False)
class HeatFound:
    """The weakest member, the sun where it is asked for, growth, and lengths that cancel it."""

    heat: Heat
    error: float  # of the temperature asked [K]
    sun: Sunlit | None
    grown: Grown | str
    beside: Grown | str  # the other part, as long
    still: Athermal | str
    hatches: tuple[str, str]
    spec: JointSpec
    growth: JudgedGrowth | None  # of the tube and a part in line; None where it is not known
    growth_spec: JointSpec | None
    need: float  # highest temperature of the need, NaN where it asks none [degC]


def heat_found(choice: JoinChoice, reader: Reader, found: Mapping[str, Any]) -> HeatFound | None:
    """Heat on this tube and what is joined to it."""
    base: TubeFound = found["tube"]
    sunny = choice.get("heat.by") == "sun"
    kinds = {"heat.glass": "temperature", "heat.own": "temperature", "heat.length": "length",
             "heat.rise": "temperature_difference"}  # fmt: skip
    kinds |= {"heat.air": "temperature", "heat.wind": "velocity"} if sunny else {
        "heat.at": "temperature"}  # fmt: skip
    value = {p: reader.si(p, kind, p.split(".")[1], positive=p == "heat.length")
             for p, kind in kinds.items()}  # fmt: skip
    for path in kinds:
        if math.isnan(value[path]) and path not in ("heat.glass", "heat.own"):
            reader.wrong.setdefault(path, "Fill this in.")
    if reader.wrong:
        return None
    given: dict[str, Any] = {"temperature": choice.get("heat.at")}
    if sunny:
        names = ("air", "wind", "surface")
        given = {"sun": {k: t for k in names if (t := reader.given(f"heat.{k}"))}}
    glued = "glass" if reader.given("heat.glass") else "glue"  # what is known best
    for key, name in ((glued, _GLUES[glued]), ("own", "tube_glass"), ("insert", "insert"),
                      ("finish", "finish")):  # fmt: skip
        if text := reader.given(f"heat.{key}"):
            given[name] = text
    if choice.get("heat.wet") == "yes":
        given["wet"] = True
    try:
        made = judged_heat(base.tube, **given)
    except InputError as error:
        reader.refuse(error, "heat", {"in_the_sun": "heat.wind", "surface": "heat.surface",
                                      "air": "heat.air", "tube_glass": "heat.own"})  # fmt: skip
        return None
    grows = _growth(reader, base)
    if reader.wrong:
        return None
    other, sun = choice.get("heat.other"), made.sun
    hatches = base.tube.construction.hatch, get_construction(other).hatch
    return HeatFound(made.heat, SUN_ERROR if sun else TYPED_ERROR, sun, _grown(choice, base.tube),
                     _grown(choice, other), _still(choice, base), hatches,
                     JointSpec("heat", given=given), *grows,
                     choice.job.need.service.temperature)  # fmt: skip


_GLUES = {"glue": "adhesive", "glass": "adhesive_glass"}


def _growth(reader: Reader, base: TubeFound) -> tuple[JudgedGrowth | None, JointSpec | None]:
    """Growth of this tube and a part in line, judged, and the joint it is; nothing if unknown."""
    reader.si("growth.part", "length", "length of the part in line")
    reader.si("growth.allowed", "length", "allowed growth", positive=True)
    names = {"heat.length": "length", "heat.rise": "rise", "heat.other": "other",
             "growth.part": "other_length", "growth.allowed": "allowed"}  # fmt: skip
    given = {name: t for path, name in names.items() if (t := reader.given(path))}
    if reader.wrong:
        return None, None
    try:
        return judged_growth(base.tube, **given), JointSpec("growth", given=given)
    except InputError:  # what is not known is said by `_grown`
        return None, None


def _grown(choice: JoinChoice, item: Any) -> Grown | str:
    try:
        return assembly([(item, choice.get("heat.length"))], rise=choice.get("heat.rise"))
    except InputError as error:
        return sentence(error, choice.job.units)


def _still(choice: JoinChoice, base: TubeFound) -> Athermal | str:
    try:
        return athermal(base.tube, choice.get("heat.other"), length=choice.get("heat.length"))
    except InputError as error:
        return sentence(error, choice.job.units)


# ---- in the workshop ------------------------------------------------------------------------
def shop_found(choice: JoinChoice, reader: Reader, found: Mapping[str, Any]) -> list[Note]:
    """Notes for this tube."""
    return notes(found["tube"].tube, choice.get("shop.work") or None)


WORK = {
    "tube": tube_found, "slide": slide_found, "pole": pole_found, "bond": bond_found,
    "bolt": bolt_found, "metal": metal_found, "heat": heat_found, "shop": shop_found,
}  # fmt: skip

__all__ = ["WORK", "BoltFound", "BondFound", "HeatFound", "MetalFound", "bond_case"]
