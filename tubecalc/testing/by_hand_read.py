"""Readings of tests without a machine as typed, and what they mean in words."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from tubecalc.errors import InputError, unknown_key
from tubecalc.laminate.construction import Construction
from tubecalc.testing.by_hand import (
    fulcrum_stiffness,
    hung_line,
    plucked_stiffness,
    span_of_reading,
)
from tubecalc.testing.column_ends import ends_of
from tubecalc.tube import Tube
from tubecalc.unit_display import in_unit, unit_label
from tubecalc.units import to_si

# Rig -> what it is called and the fields it asks, each with its label and kind of unit.
RIGS: dict[str, tuple[str, dict[str, tuple[str, str]]]] = {
    "pluck": ("plucked, one end clamped", {
        "frequency": ("swings", "frequency"), "length": ("free length", "length"),
        "tip_mass": ("mass at the tip", "mass"), "own": ("tube's own mass per length",
                                                        "linear_density")}),
    "middle": ("one reading in the middle, span not known", {
        "load": ("load", "force"), "travel": ("travel", "length"),
        "step": ("smallest step that was read", "length")}),
    "line": ("spar over a fulcrum, weight hung from a line between its ends", {
        "spar": ("length of the spar", "length"), "line": ("length of the line", "length"),
        "weight": ("weight", "force"), "bow": ("bow in the middle", "length")}),
    "column": ("column, largest loads read by hand", {
        "loads": ("largest loads", "forces"), "length": ("free length", "length")}),
}  # fmt: skip
OPTIONAL = ("tip_mass", "own", "step")
WITH_TUBE = ("middle", "column")  # rigs that need what the tube promises
SIZES = {"od": "outside diameter", "wall": "wall", "id": "bore"}
_CYCLES = re.compile(r"([\d.,]+)\s*(?:cpm|cycles?\s*(?:/|per|a)\s*min(?:ute)?|/\s*min)\.?", re.I)
_LOAD = re.compile(r"([+-]?\d+(?:[.,]\d+)?(?:e[+-]?\d+)?)\s*([a-zA-Z]+)?")


@dataclass(frozen=True)
class Answer:
    """What readings mean: rows of name and value, and what must be said."""

    rows: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class ByHand:
    """A test without a machine: what it was, what was read as typed, what it means."""

    title: str
    read: tuple[tuple[str, str], ...]
    answer: Answer


def answered(
    rig: str, told: Mapping[str, str], tube: Tube | None = None, units: str = "SI",
    *, set_deflection: bool = False,
) -> Answer:  # fmt: skip
    """What the readings of a test without a machine mean.

    Parameters
    ----------
    rig : str
        A key of `RIGS`.
    told : mapping
        Field -> text as typed.
    tube : Tube, optional
        What was tested; needed for the span of a reading and for the ends of a column.
    units : str
        Display system.
    set_deflection : bool
        Whether loads of a column were read at a set sideways deflection.

    Returns
    -------
    Answer

    Raises
    ------
    InputError
        For an unknown rig, a missing or wrong value, or a tube that is not told.

    Examples
    --------
    >>> told = {"frequency": "250 cpm", "length": "0.9 m", "tip_mass": "205 g", "own": "60 g/m"}
    >>> answered("pluck", told).rows
    (('EI', '36.3 N m²'),)
    """
    if rig not in RIGS:
        raise unknown_key("rig", rig, RIGS, "rig")
    values = {k: _value(k, label, kind, told.get(k, "").strip())
              for k, (label, kind) in RIGS[rig][1].items() if kind != "forces"}  # fmt: skip
    if rig in WITH_TUBE and tube is None:
        raise InputError("say construction and two sizes of the tube", where="tube")
    if rig == "pluck":
        return _pluck(values, units)
    if rig == "line":
        return _line(values, units)
    assert tube is not None
    if rig == "middle":
        return _middle(values, tube, units)
    return _column(told.get("loads", ""), values["length"], tube, units, set_deflection)


def tube_told(texts: Mapping[str, str], walls: Callable[[str], Construction]) -> Tube | None:
    """Tube that was tested without a machine; None where it is not told or not asked.

    Parameters
    ----------
    texts : mapping
        "rig", "wall_of", sizes -> text as typed.
    walls : callable
        Key -> construction.

    Returns
    -------
    Tube or None

    Raises
    ------
    InputError
        If the tube cannot be.
    """
    sizes = {k: texts.get(k, "").strip() or None for k in SIZES}
    wall = texts.get("wall_of", "")
    if texts.get("rig", "pluck") not in WITH_TUBE or not wall:
        return None
    if sum(v is not None for v in sizes.values()) < 2:
        return None
    return Tube(walls(wall), od=sizes["od"], wall=sizes["wall"], id=sizes["id"])


def by_hand(
    texts: Mapping[str, str], walls: Callable[[str], Construction], units: str = "SI"
) -> ByHand | None:
    """What a job holds of a test without a machine.

    Parameters
    ----------
    texts : mapping
        "rig", "wall_of", sizes and fields of the rig -> text as typed; "held" is "yes" for loads
        read at a set sideways deflection.
    walls : callable
        Key -> construction.
    units : str
        Display system.

    Returns
    -------
    ByHand or None
        None where nothing is read yet.

    Raises
    ------
    InputError
        As `answered` and `tube_told` do.

    Examples
    --------
    >>> told = {"frequency": "250 cpm", "length": "0.9 m", "tip_mass": "205 g", "own": "60 g/m"}
    >>> found = by_hand(told, lambda key: None)
    >>> found.title, found.read[0], found.answer.rows
    ('plucked, one end clamped', ('swings', '250 cpm'), (('EI', '36.3 N m²'),))
    """
    rig = texts.get("rig", "pluck")
    if rig not in RIGS:
        raise unknown_key("rig", rig, RIGS, "rig")
    title, asked = RIGS[rig]
    if not any(texts.get(k, "").strip() for k in asked):
        return None
    held = rig == "column" and texts.get("held") == "yes"
    answer = answered(rig, texts, tube_told(texts, walls), units, set_deflection=held)

    def typed(fields: Mapping[str, str]) -> list[tuple[str, str]]:
        told = {label: texts.get(k, "").strip() for k, label in fields.items()}
        return [(label, text) for label, text in told.items() if text]

    read = typed({k: label for k, (label, _) in asked.items()})
    if rig in WITH_TUBE:
        read = [("made of", walls(texts["wall_of"]).name), *typed(SIZES), *read]
    if held:
        read.append(("loads read", "at a set sideways deflection"))
    return ByHand(title, tuple(read), answer)


def _value(key: str, label: str, kind: str, text: str) -> float:
    if not text:
        if key in OPTIONAL:
            return 0.0
        raise InputError(f"{label} is not said", where=key)
    found = _CYCLES.fullmatch(text) if kind == "frequency" else None
    if found:
        text = f"{float(found[1].replace(',', '.')) / 60!r} Hz"
    return to_si(text, kind, what=key, positive=key not in OPTIONAL)


def _shown(value: float, kind: str, units: str) -> str:
    """Value with three or four digits that count, and its unit."""
    number = in_unit(value, kind, units)
    text = f"{number:,.0f}".replace(",", "\u202f") if abs(number) >= 1000 else f"{number:.3g}"
    return f"{text} {unit_label(kind, units)}"


def _pluck(v: Mapping[str, float], units: str) -> Answer:
    if not v["tip_mass"] + v["own"] > 0:
        raise InputError("a mass at the tip or of the tube is needed", where="tip_mass")
    EI = float(plucked_stiffness(v["frequency"], v["length"], v["tip_mass"], v["own"]))
    notes = ["A clamp that gives makes EI too low. A tapered tube gives the EI of an even one.",
             "Basis: a clamped beam in its first swing (Rayleigh), grade A."]  # fmt: skip
    if not v["own"]:
        notes.insert(0, "The tube's own mass is left out: EI is too low. Weigh it.")
    elif not v["tip_mass"]:
        notes.insert(0, "Without a mass at the tip the figure is 3 % low.")
    return Answer((("EI", _shown(EI, "bending_stiffness", units)),), tuple(notes))


def _line(v: Mapping[str, float], units: str) -> Answer:
    half = v["spar"] / 2
    tension, side, inwards = hung_line(v["weight"], half, v["line"] / 2)
    plain = fulcrum_stiffness(v["bow"], side, 0.0, half)
    EI = fulcrum_stiffness(v["bow"], side, inwards, half)
    rows = [("EI", _shown(EI, "bending_stiffness", units)),
            ("tension of the line", _shown(tension, "force", units)),
            ("on each end, sideways", _shown(side, "force", units)),
            ("on each end, inwards", _shown(inwards, "force", units))]  # fmt: skip
    notes = [
        f"The inward force makes the bow deeper: without it EI would come out "
        f"{_shown(plain, 'bending_stiffness', units)}, {100 * (1 - plain / EI):.0f} % low.",
        "A ferrule in the middle stiffens the spar: what comes out is an even spar's EI.",
        "Basis: half of the spar as a cantilever under both forces, grade B.",
    ]
    if v["bow"] > 0.1 * half:
        notes.append("The bow is more than a tenth of the half: too deep for these formulas.")
    return Answer(tuple(rows), tuple(notes))


def _middle(v: Mapping[str, float], tube: Tube, units: str) -> Answer:
    s = tube.sections
    EI, kGA = float(s.EI[0]), float(s.kGA[0])
    ways = [v["travel"] + d for d in (0.0, -v["step"] / 2, v["step"] / 2)]
    if not ways[1] > 0:
        raise InputError("the step is larger than the reading", where="step")
    span, low, high = (float(x) for x in span_of_reading(
        [w / v["load"] for w in ways], EI, kGA))  # fmt: skip
    stress = v["load"] * span / 4 * float(s.ro[0]) / float(s.I[0])
    rows = [
        ("span, if the tube is as promised", _shown(span, "length", units)),
        ("largest stress, as in a wall of one material", _shown(stress, "stress", units)),
    ]
    notes = []
    if v["step"]:
        between = " to ".join(_shown(x, "length", units) for x in (low, high))
        notes.append(f"Steps of {_shown(v['step'], 'length', units)} leave {between}.")
    notes.append(
        "Dents under the load are in the travel: the true span is shorter. Two tubes on one rig "
        "must give one span; if they do not, ask for the span and the resolution."
    )
    notes.append(
        "Basis: a beam of the promised EI with its shear (Timoshenko), grade A for the axis."
    )
    return Answer(tuple(rows), tuple(notes))


def loads_of(text: str) -> list[float]:
    """Loads of a list; those without a unit have that of the next one that has.

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    list of float
        [N].

    Raises
    ------
    InputError
        If a piece is no load.

    Examples
    --------
    >>> loads_of("10, 12; 11 N"), loads_of("10 12 N")
    ([10.0, 12.0, 11.0], [10.0, 12.0])
    """
    pieces = _LOAD.findall(text)
    rest = _LOAD.sub("", text).strip(" ;,\n")
    if not pieces or rest:
        raise InputError("is no list of loads", where="loads", got=text[:60],
                         expected="43.5; 43.0; 44.1 lbf")  # fmt: skip
    unit, out = "", []
    for number, given in reversed(pieces):
        unit = given.strip() or unit
        out.append(to_si(f"{number} {unit}".strip(), "force", what="loads", positive=True))
    return out[::-1]


def _column(
    text: str, length: float, tube: Tube, units: str, set_deflection: bool
) -> Answer:  # fmt: skip
    loads = loads_of(text)
    pinned = float(
        tube.critical("column", length=f"{length!r} m", ends="pinned-pinned").to("N").magnitude
    )
    found = ends_of(loads, pinned, at_least=set_deflection)
    middle = math.fsum(loads) / len(loads)
    EI = float(tube.sections.EI[0])
    rows = [("measured", ("at least " if set_deflection else "") + _shown(middle, "force", units)),
            ("promised between pins", _shown(pinned, "force", units)),
            *([("effective length over free length", f"{found.K:.3g}")] if found.mix == 1 else []),
            ("EI promised", _shown(EI, "bending_stiffness", units)),
            ("EI if pinned", _shown(EI * found.ratio, "bending_stiffness", units))]  # fmt: skip
    basis = "Basis: measured over the critical load of the promised tube between pins, grade B."
    return Answer(tuple(rows), (*found.sentences(), basis))


__all__ = [
    "OPTIONAL", "RIGS", "SIZES", "WITH_TUBE", "Answer", "ByHand", "answered", "by_hand", "loads_of",
    "tube_told",
]  # fmt: skip
