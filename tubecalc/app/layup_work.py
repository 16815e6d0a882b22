"""What page `layup` computes from what is typed: calls of the core, no formulas of its own."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tubecalc.app.layup_rows import letters_of, notation_of, read_rows
from tubecalc.app.layup_state import LayupChoice, Reader
from tubecalc.errors import InputError
from tubecalc.laminate.layer import Layer
from tubecalc.laminate.layup import Layup
from tubecalc.laminate.made_ply import MadePly, ply_from_constituents
from tubecalc.laminate.polar import Polar, stiffness_over_angle
from tubecalc.laminate.practice import Note, stack_notes
from tubecalc.layup_search_space import Rules
from tubecalc.making import CutPlan, CuttingList, Winding, cut_plan, cutting_list, winding
from tubecalc.plystress import Loads
from tubecalc.plystress_reserve import Carried, carried, loads_of_case
from tubecalc.share.polar import ANGLES
from tubecalc.tube import Tube
from tubecalc.tube_burn_off import BurnOff, BurntStack, burn_off

MOST_SEEN = 8  # kinds of plies of a burnt sample
LOADS = {
    "axial": ("force", "pull along (− push)"), "moment": ("moment", "bending moment"),
    "torque": ("torque", "torque"), "shear": ("force", "force across"),
    "p_in": ("pressure", "pressure inside"), "p_out": ("pressure", "pressure outside"),
}  # fmt: skip
BURN = (
    "sample_mass", "residue_mass", "sample_density", "volume", "od", "id", "wall", "length",
    "char_yield", "fibre_loss", "fibre_density", "resin_density", "voids",
)  # fmt: skip
_PLAN_SECONDS = 2.0


@dataclass(frozen=True, eq=False)
class WallFound:
    """The wall on its tube: what it was computed from, and what came out."""

    key: tuple[Any, ...]
    layup: Layup
    tube: Tube
    notation: str
    letters: tuple[tuple[str, str, str], ...]  # letter, ply, thickness as typed
    notes: tuple[Note, ...]
    polar: Polar


def wall_found(choice: LayupChoice, reader: Reader, found: Mapping[str, Any]) -> WallFound | None:
    """Wall and tube of the rows and the size."""
    layers, wrong = read_rows(choice.rows, choice.plies, choice.job.units)
    reader.wrong.update(wrong)
    size = reader.si("size", "length", "size", positive=True)
    if not wrong and math.isnan(size):
        reader.wrong.setdefault("size", "Fill this in: the bore is the size of the mandrel.")
    if reader.wrong:
        return None
    by = choice.get("by")
    key = (choice.rows, tuple(choice.plies.items()), by, size, choice.get("name"))
    before = found.get("wall")
    if before is not None and before.key == key:
        return before  # type: ignore[no-any-return]
    layup = Layup(layers, name=choice.get("name").strip() or "own wall")
    try:
        tube = Tube(layup, **{"id" if by == "bore" else "od": f"{size!r} m"})
    except InputError as error:
        reader.wrong["size"] = error.said(reader.system)
        return None
    return WallFound(
        key, layup, tube, notation_of(choice.rows, choice.plies),
        tuple((tag, *m) for tag, m in letters_of(choice.rows, choice.plies).items()),
        tuple(stack_notes(layup)), stiffness_over_angle(layup, ANGLES),
    )  # fmt: skip


# ---- what it carries -------------------------------------------------------------------------
@dataclass(frozen=True, eq=False)
class LoadFound:
    """A load and how the wall carries it."""

    loads: Loads
    name: str
    at: float
    carried: Carried


def load_found(choice: LayupChoice, reader: Reader, found: Mapping[str, Any]) -> LoadFound | None:
    """Ply by ply stress and reserve of the load that was chosen."""
    wall = found.get("wall")
    at = reader.si("load.at", "temperature", "temperature")
    name, loads = _loads(choice, reader, wall)
    if wall is None or reader.wrong or loads is None:
        return None
    got = carried(
        wall.tube, loads, cure=choice.get("load.cure") == "yes",
        temperature=20.0 if math.isnan(at) else at,
    )  # fmt: skip
    return LoadFound(loads, name, 20.0 if math.isnan(at) else at, got)


def _loads(choice: LayupChoice, reader: Reader, wall: Any) -> tuple[str, Loads | None]:
    cases = choice.job.need.cases
    which = case_of(choice)
    if which:
        case = cases[which - 1]
        name = case.name or case.kind
        return name, None if wall is None else loads_of_case(wall.tube, case)
    values = {k: reader.si(f"load.{k}", kind, what) for k, (kind, what) in LOADS.items()}
    given = {k: 0.0 if math.isnan(v) else v for k, v in values.items()}
    if not any(given.values()) and not reader.wrong:
        reader.wrong["load"] = "No load is given: type one, or take a case of the job."
    return "the load typed", Loads(**given, closed=choice.get("load.ends") == "closed")


# ---- from fibre and resin ----------------------------------------------------------------------
def ply_found(choice: LayupChoice, reader: Reader, _: Mapping[str, Any]) -> MadePly | None:
    """Ply of the constituents."""
    by = choice.get("ply.by")
    content = reader.given("ply.content")
    asked: dict[str, Any] = {
        "fibre_volume" if by == "volume" else "fibre_weight": content,
        "voids": reader.given("ply.voids") or 0.0,
        "areal_weight": reader.given("ply.areal_weight"),
        "thickness": reader.given("ply.thickness"),
        "crimp": reader.given("ply.crimp"), "weave": choice.get("ply.weave"),
        "name": choice.get("ply.name").strip(),
    }  # fmt: skip
    try:
        return ply_from_constituents(
            choice.get("ply.fibre"), choice.get("ply.resin"),
            **{k: v for k, v in asked.items() if v is not None},
        )  # fmt: skip
    except InputError as error:
        known = {k: f"ply.{k}" for k in ("voids", "areal_weight", "thickness", "crimp")}
        known |= dict.fromkeys(("fibre_volume", "fibre_weight"), "ply.content")
        if "fibre content" in error.message or "fibre and voids" in error.message:
            known["ply"] = "ply.content"
        if "voids are" in error.message:
            known["ply"] = "ply.voids"
        if "crimp" in error.message:
            known["ply"] = "ply.crimp"
        reader.refuse(error, "ply", known)
        return None


# ---- burn-off ---------------------------------------------------------------------------------
@dataclass(frozen=True, eq=False)
class BurnFound:
    """Content of a sample, and its stack where plies were seen."""

    burnt: BurnOff
    stack: BurntStack | None


def burn_found(choice: LayupChoice, reader: Reader, _: Mapping[str, Any]) -> BurnFound | None:
    """Fibre, resin and voids of the sample, and the stack of the plies seen."""
    given = {k: reader.given(f"burn.{k}") for k in BURN}
    missing = [k for k in ("sample_mass", "residue_mass") if given[k] is None]
    if missing:
        return None  # the form is being filled in
    fibre, gas = choice.get("burn.fibre"), choice.get("burn.gas")
    if not gas:
        reader.wrong["burn.gas"] = (
            "Say what gas the sample was heated in: carbon burns in air, and in inert gas char of "
            "the resin stays with the fibre."
        )
        return None
    words: dict[str, Any] = {k: v for k, v in given.items() if v is not None}
    try:
        burnt = burn_off(
            fibre=fibre, resin=choice.get("burn.resin"), atmosphere=gas, **words
        )  # fmt: skip
    except InputError as error:
        known = {k: f"burn.{k}" for k in BURN}
        if "density" in error.message and "belong" in error.message:
            known["burn_off"] = "burn.sample_density"
        reader.refuse(error, "burn", known)
        return None
    return BurnFound(burnt, _seen(choice, reader, burnt, fibre))


def _seen(choice: LayupChoice, reader: Reader, burnt: BurnOff, fibre: str) -> BurntStack | None:
    lines: list[dict[str, Any]] = []
    at: list[int] = []
    for k in range(MOST_SEEN):
        head = f"burn.seen.{k}"
        one = {n: reader.given(f"{head}.{n}") for n in ("angle", "areal_weight", "thickness")}
        if not any(one.values()):
            continue
        count = choice.get(f"{head}.count").strip() or "1"
        if not count.isdecimal() or not 1 <= int(count[:6]) <= 1000:
            reader.wrong[f"{head}.count"] = f'"{count[:20]}" is no number of plies.'
            continue
        weave = choice.get(f"{head}.weave") or "ud"
        lines.append({"weave": weave, "count": int(count), **{k: v for k, v in one.items() if v}})
        at.append(k)
    if not lines or reader.wrong:
        return None
    size = {k: reader.given(f"burn.tube.{k}") for k in ("od", "id") if not reader.given("burn.od")}
    area = None if reader.given("burn.od") else reader.given("burn.area")
    try:
        return burnt.stack(
            lines, fibre=fibre, resin=choice.get("burn.resin"), area=area,
            **{k: v for k, v in size.items() if v is not None},
        )  # fmt: skip
    except InputError as error:
        known: dict[str, str] = {"area": "burn.area"}
        number = next((w for w in (error.where or "").split() if w.isdecimal()), "")
        if number and int(number) <= len(at):
            head = f"burn.seen.{at[int(number) - 1]}"
            said = error.message
            part = "angle" if "angle" in said else "areal_weight"
            known[number] = known["areal_weight"] = known["thickness"] = f"{head}.{part}"
        reader.refuse(error, "burn.seen", known)
        return None


# ---- lightest stack -----------------------------------------------------------------------------
@dataclass(frozen=True)
class Asked:
    """What a search is asked for."""

    plies: tuple[str, ...]
    angles: tuple[float, ...]
    most: int
    mandrels: tuple[str, ...]
    rules: Rules


def asked_of(choice: LayupChoice, reader: Reader) -> Asked | None:
    """What a search is asked for, or None with the fields that are wrong."""
    plies = tuple(choice.get("hunt.plies").split())
    if not plies:
        reader.wrong["hunt.plies"] = "Tick at least one ply."
    angles = []
    for text in _parts(choice.get("hunt.angles")):
        try:
            angles.append(float(text.removesuffix("°").replace("±", "").replace("+/-", "")))
        except ValueError:
            reader.wrong["hunt.angles"] = f'"{text[:20]}" is no angle in degrees.'
    if any(not 0 <= abs(a) <= 90 for a in angles):
        reader.wrong["hunt.angles"] = "An angle lies outside -90 to 90 degrees."
    if not angles and "hunt.angles" not in reader.wrong:
        reader.wrong["hunt.angles"] = "Fill this in, for example 0, 45, 90."
    most = reader.whole("hunt.most", 1, 60)
    mandrels = _parts(choice.get("hunt.mandrels"))
    for text in mandrels:
        one = Reader(choice.put("hunt.one", text))
        one.si("hunt.one", "length", "mandrel", positive=True)
        if one.wrong:
            reader.wrong["hunt.mandrels"] = one.wrong["hunt.one"]
    together = 0 if not reader.given("hunt.together") else reader.whole("hunt.together", 1, 60)
    if reader.wrong:
        return None
    yes = {k: choice.get(f"hunt.{k}") == "yes" for k in
           ("balanced", "hoop_inside", "hoop_outside", "outer_woven", "symmetric")}  # fmt: skip
    return Asked(plies, tuple(angles), most, mandrels, Rules(most_together=together, **yes))


def _parts(text: str) -> tuple[str, ...]:
    return tuple(t.strip() for t in text.replace(";", ",").split(",") if t.strip())


def hunt_read(choice: LayupChoice, reader: Reader, _: Mapping[str, Any]) -> None:
    """Say which fields of the search are wrong; it is started by its button."""
    asked_of(choice, reader)


# ---- for the workshop ------------------------------------------------------------------------
@dataclass(frozen=True, eq=False)
class ShopFound:
    """Cutting list, and winding where the wall is wound at +/- an angle."""

    cutting: CuttingList
    wound: Winding


def shop_found(choice: LayupChoice, reader: Reader, found: Mapping[str, Any]) -> ShopFound | None:
    """Cutting list and winding of the wall."""
    wall = found.get("wall")
    tubes = reader.whole("shop.tubes", 1, 100_000)
    if wall is None or reader.wrong:
        return None
    size = f"{2 * float(wall.tube.sections.ri[0])!r} m"
    parts = {"length": "length", "overlap": "overlap", "trim": "trim", "roll": "roll_width",
             "waste": "waste", "bulk": "bulk"}  # fmt: skip
    words: dict[str, Any] = {arg: choice.get(f"shop.{k}").strip() for k, arg in parts.items()}
    try:
        cutting = cutting_list(
            wall.layup, mandrel=size, tubes=tubes, **words
        )  # fmt: skip
    except InputError as error:
        reader.refuse(error, "shop", {arg: f"shop.{k}" for k, arg in parts.items()})
        return None
    try:
        one = slant_of(wall.layup)
        angle = choice.get("shop.angle").strip() or f"{abs(one.angle) if one else 45:g} deg"
        made: dict[str, Any] = {}
        if one is not None:
            made = {"thickness": f"{one.thickness!r} m",
                    "density": f"{one.values.density!r} kg/m3"}  # fmt: skip
        wound = winding(size, angle, choice.get("shop.band").strip(),
                        choice.get("shop.length").strip(), **made)  # fmt: skip
    except InputError as error:
        reader.refuse(error, "shop.wound", {"angle": "shop.angle", "band": "shop.band"})
        return None
    return ShopFound(cutting, wound)


def slant_of(layup: Layup) -> Layer | None:
    """First ply that could be wound at + and − its angle; None where there is none."""
    return next((x for x in layup.layers if 5 <= abs(x.angle) < 85 and not x.values.woven), None)


def plan_of(choice: LayupChoice, reader: Reader) -> CutPlan | None:
    """Cut plan of the lengths wanted; seconds at most."""
    wanted: list[tuple[str, int]] = []
    for line in _lines(choice.get("shop.wanted"), choice):
        count, length = _split(line)
        if not count.isdecimal() or not 1 <= int(count[:7]) <= 1_000_000:
            reader.wrong["shop.wanted"] = f'"{line[:40]}": write how many and how long, 6 x 450 mm.'
            return None
        wanted.append((length, int(count)))
    stock: list[Any] = list(_parts(choice.get("shop.stock")))
    try:
        return cut_plan(wanted, [(x,) for x in stock], kerf=choice.get("shop.kerf").strip(),
                        seconds=_PLAN_SECONDS)  # fmt: skip
    except InputError as error:
        known = {
            "kerf": "shop.kerf",
            "stock": "shop.stock",
            "wanted": "shop.wanted",
            "length": "shop.wanted" if "wanted" in str(error.where) else "shop.stock",
        }
        reader.refuse(error, "shop.plan", known)
        return None


def _lines(text: str, choice: LayupChoice) -> list[str]:
    lines = [p for t in text.splitlines() for p in _parts(t)]
    return lines or [f"{choice.get('shop.tubes')} x {choice.get('shop.length')}"]


def _split(line: str) -> tuple[str, str]:
    for sign in ("×", "x", "*"):
        head, found, tail = line.partition(sign)
        if found and head.strip().isdecimal():
            return head.strip(), tail.strip()
    return ("1", line) if line[:1].isdecimal() else ("", line)


WORK = {
    "wall": wall_found, "load": load_found, "ply": ply_found, "burn": burn_found,
    "hunt": hunt_read, "shop": shop_found,
}  # fmt: skip


def case_of(choice: LayupChoice) -> int:
    """Number of the job's case whose load is taken; 0 where it is typed or there is no such."""
    which = choice.get("load.from").removeprefix("case ")
    good = which.isdecimal() and 1 <= int(which[:6]) <= len(choice.job.need.cases)
    return int(which) if good else 0


__all__ = [
    "BURN",
    "LOADS",
    "MOST_SEEN",
    "WORK",
    "Asked",
    "BurnFound",
    "LoadFound",
    "ShopFound",
    "WallFound",
    "asked_of",
    "burn_found",
    "case_of",
    "load_found",
    "plan_of",
    "ply_found",
    "shop_found",
    "slant_of",
    "wall_found",
]  # fmt: skip
