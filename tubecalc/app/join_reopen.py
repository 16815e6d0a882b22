"""A joint of the job back in the fields of its room on page `join`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from tubecalc.app.join_state import START, JoinChoice
from tubecalc.errors import InputError
from tubecalc.job import Candidate
from tubecalc.joining.job_joints import entries
from tubecalc.joining.joint_spec import JointSpec
from tubecalc.units import to_si

ROOMS = {"fit": "slide", "press": "slide", "pole": "pole", "bond": "bond", "bolt": "bolt",
         "pin": "bolt", "clamp": "bolt", "thread": "bolt", "heat": "heat",
         "growth": "heat"}  # fmt: skip
_NAMES = {  # argument of the core -> field, where the names differ
    "bond": {"insert_wall": "wall", "adhesive": "glue", "preparation": "prepared",
             "off_centre": "off", "insert_length": "long"},
    "pole": {"elevation": "lean", "temperature": "at"},
    "slide": {"temperature": "at"},
    "bolt": {"edge_distance": "edge"}, "clamp": {}, "thread": {},
    "heat": {"temperature": "at", "adhesive": "glue", "adhesive_glass": "glass",
             "tube_glass": "own"},
    "growth": {"other_length": "part"},
}  # fmt: skip
_OWN_GROUP = ("clamp", "thread", "heat", "growth")  # share a room, each with fields of its own
_GROWS = ("length", "rise", "other")  # fields of the room of heat that are of growth
_FLAGS = ("wet", "scarf", "ground", "plug")


def can_reopen(spec: JointSpec) -> bool:
    """Whether a joint has a room of fields.

    Parameters
    ----------
    spec : JointSpec
        The joint.

    Returns
    -------
    bool

    Examples
    --------
    >>> can_reopen(JointSpec("pole")), can_reopen(JointSpec("thread"))
    (True, True)
    """
    return spec.kind in ROOMS


def reopened(choice: JoinChoice, number: int) -> JoinChoice:
    """Choice with a joint of the job in the fields of its room, and its tube chosen.

    Parameters
    ----------
    choice : JoinChoice
        The choice.
    number : int
        Place among the joints of the job [-].

    Returns
    -------
    JoinChoice

    Raises
    ------
    InputError
        If its tube has left the job, or it has no room of fields.
    """
    tube, spec = entries(choice.job)[number]
    if tube is None:
        raise InputError("its tube is not among those of the job any more")
    if not can_reopen(spec):
        raise InputError(f"a {spec.kind} has no fields to open")
    group = spec.kind if spec.kind in _OWN_GROUP else ROOMS[spec.kind]
    mine = {f"heat.{k}" for k in _GROWS}  # stay, whatever heat is opened
    texts = {k: v for k, v in choice.texts.items() if k.split(".")[0] != group or k in mine}
    out = replace(choice, texts=texts, section=ROOMS[spec.kind])
    out = out.put("tube.from", str(choice.job.candidates.index(tube) + 1))
    for field in _fields(group):  # nothing of the start but what the joint has
        out = out.put(field, "")
    try:
        texts = _texts(group, spec)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        if isinstance(error, InputError):
            raise
        raise InputError("the joint is not one that a room can show") from None
    for path, text in texts.items():
        out = out.put(path, text)
    return out.put(f"{group}.name", spec.name)


def _fields(group: str) -> list[str]:
    """Fields of a room that a joint leaves empty where it says nothing of them."""
    keep: tuple[str, ...] = (
        "from", "place", "glue", "prepared", "role", "style", "of", "insert", "washer", "lean",
        "load" if group == "pole" else "wall" if group == "slide" else "",
    )  # fmt: skip
    if group == "heat":
        keep = ("by", "at", "air", "wind", *_GROWS)
    return [p for p in START if p.split(".")[0] == group and p.split(".")[1] not in keep]


def _texts(group: str, spec: JointSpec) -> dict[str, str]:
    given = dict(spec.given)
    out: dict[str, str] = {}
    if group == "slide":
        out |= _other(given)
        out["slide.press"] = "yes" if spec.kind == "press" else "no"
    if group in ("bond", "pole"):
        out[f"{group}.from"] = "typed"
    if group == "bond":
        out |= _heats(given.pop("temperature", None))
        out |= {f"bond.{k}": "" for k in ("axial", "torque", "moment") if k not in given}
    if group == "heat":
        out |= _sun(given)
    names = _NAMES[group]
    for key, value in given.items():
        path = f"{group}.{names.get(key, key)}"
        if group == "growth" and key in _GROWS:
            path = f"heat.{key}"
        if key in _FLAGS:
            out["clamp.plug" if key == "plug" else path] = "yes" if value else "no"
        elif isinstance(value, Mapping):
            continue
        else:
            out[path] = _said(value)
    for key in _FLAGS:
        if key not in given and (group, key) in (
            ("bond", "wet"),
            ("bond", "scarf"),
            ("heat", "wet"),
            ("slide", "ground"),
            ("clamp", "plug"),
        ):
            out[f"{group}.{key}"] = "no"
    return out


def _said(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list | tuple) else str(value)


def _sun(given: dict[str, Any]) -> dict[str, str]:
    """Sun of a joint in the heat, or that its temperature is typed."""
    sun = given.pop("sun", None)
    if sun is None:
        return {"heat.by": "typed"}
    return {"heat.by": "sun", **{f"heat.{k}": str(v) for k, v in dict(sun).items()}}


def _heats(given: Any) -> dict[str, str]:
    """Coldest and hottest of the temperatures of a bond."""
    many = [given] if isinstance(given, str) else list(given or ())
    many.sort(key=lambda t: to_si(t, "temperature", what="temperature"))
    room = 20.0
    if len(many) == 1:
        cold = to_si(many[0], "temperature", what="temperature") < room
        many = [many[0], ""] if cold else ["", many[0]]
    return {"bond.cold": many[0], "bond.hot": many[-1]} if many else {}


def _other(given: dict[str, Any]) -> dict[str, str]:
    """The other tube of a fit, typed."""
    side = "inner" if "inner" in given else "outer"
    table = dict(given.pop(side))
    size, other = ("od", "id") if side == "inner" else ("id", "od")
    out = {"slide.from": "typed", "slide.role": "outer" if side == "inner" else "inner",
           "slide.of": str(table["of"])}  # fmt: skip
    if "wall" not in table:
        od, bore = (to_si(table[k], "length", what=k) for k in ("od", "id"))
        thick = Candidate(str(table["of"]), od, bore).wall_thickness
        table["wall"] = f"{thick * 1e3:.9g} mm"
    if size not in table:
        raise InputError(f"the other tube is given by its {other}: type it anew")
    return out | {"slide.size": str(table[size]), "slide.wall": str(table["wall"])}


__all__ = ["ROOMS", "can_reopen", "reopened"]
