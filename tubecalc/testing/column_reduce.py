"""Reduces a column test: critical load from the bow, plateau or not, EI, what must be said."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.testing.column_bow import PLATEAU, Bow, southwell
from tubecalc.testing.reduce_facts import Given
from tubecalc.testing.reduce_kinds import Rig
from tubecalc.testing.reduce_path import frame_of
from tubecalc.testing.reduce_read import Read
from tubecalc.testing.result import FAILURES, Mark

NAN = math.nan
ACROSS = "deflection_mm"
FIGURES = ("critical", "critical_half", "bow", "bow_half", "bow_from", "bow_to", "bow_origin")
_SIDEWAYS = re.compile(
    r"lateral|sideway|sidewise|transvers|defle[ct]|quer|ausbieg|durchbieg|auslenk|seitlich|fl[eè]che|"
    r"\bbow|freccia|flecha", re.IGNORECASE,
)  # fmt: skip
LAST, RISE = 0.2, 0.02  # of the travel and of the load: a load that rises less has its plateau
_BLANK = ("stiffness", "stiffness_half", "yield_departure", "yield_offset", "origin", "set",
          "modulus_half", "energy")  # fmt: skip


@dataclass(frozen=True)
class Column:
    """What is particular to a column test.

    Attributes
    ----------
    si : dict of str to float
        Figures that replace those of the curve; SI.
    marks : tuple of Mark
        Points of the line; empty where there is none.
    across : bool
        Whether the load is read against the sideways deflection, so that its slope is nothing.
    open_end : bool
        Whether the largest load is only "at least".
    notes : tuple of str
        What must be said.
    """

    si: dict[str, float]
    marks: tuple[Mark, ...]
    across: bool
    open_end: bool
    notes: tuple[str, ...]


def sideways(curve: Any, kind: str) -> Any:
    """Curve of a column whose one travel is called a sideways deflection in its file, told so.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        As read: a file with one way has it as its travel.
    kind : str
        Kind of test.

    Returns
    -------
    Curve or pandas.DataFrame
        The same for another kind, or where the file does not call it so.
    """
    understood = getattr(curve, "understood", None)
    if kind != "column" or understood is None or ACROSS in curve.data:
        return curve
    heads = [c.heading for c in understood.columns if c.name == "travel_mm"]
    if not heads or not _SIDEWAYS.search(heads[0]):
        return curve
    return replace(curve, data=curve.data.rename(columns={"travel_mm": ACROSS}))


def way_of(curve: Any, kind: str, way: str | None) -> str | None:
    """Column to read the load against: the sideways deflection of a column where it is there.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        The test.
    kind : str
        Kind of test.
    way : str or None
        As the user said.

    Returns
    -------
    str or None
        None where the kind of test decides.
    """
    if way is not None or kind != "column":
        return way
    data = frame_of(curve)
    if ACROSS not in data or not np.isfinite(data[ACROSS].to_numpy(float)).any():
        return None
    return ACROSS


def column(curve: Any, read: Read, rig: Rig, given: Given, failure: str | None,
           open_end: bool, where: str) -> Column:  # fmt: skip
    """What the sideways deflection and the end of a column test say.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        The test.
    read : Read
        What was found on it.
    rig : Rig
        How the column was held.
    given : Given
        What the user moved.
    failure : str or None
        As the user entered it.
    open_end : bool
        Whether the largest load is "at least" by how the record ends and what was entered.
    where : str
        Name of the specimen.

    Returns
    -------
    Column
    """
    path, across = read.path, read.path.way == ACROSS
    found, why = _bow(curve, read, rig, given, where)
    peak = float(path.y[read.top])
    notes: list[str] = []
    si = dict.fromkeys(FIGURES, NAN) | (dict.fromkeys(_BLANK, NAN) if across else {})
    reached = _stands(read)
    if found is not None:
        reached = reached or found.reached >= PLATEAU
        si |= _figures(found, rig, path.sign_x if across else 1.0)
        notes += _said(found, rig)
    elif why:
        notes.append(why)
    if not (failure and FAILURES[failure]) and read.end.why not in ("beyond the range", "gap"):
        open_end, more = _end(read, found, peak, reached=reached)
        notes += more
    if found is None and open_end and not math.isnan(rig.span):
        notes.append("EI and modulus are at least those given: the column would have carried more.")
    marks = _marks(found, read) if found is not None and across else ()
    return Column(si, marks, across, open_end, tuple(notes))


def _bow(
    curve: Any, read: Read, rig: Rig, given: Given, where: str
) -> tuple[Bow | None, str]:  # fmt: skip
    data = frame_of(curve)
    if ACROSS not in data:
        return None, (
            "The sideways deflection is not in the record: the largest load alone tells EI."
        )
    path = read.path
    rows = slice(read.main.first, read.top + 1)
    sideways = data[ACROSS].to_numpy(float)[path.rows[rows]] * 1e-3
    if path.way == ACROSS:
        sideways = path.x[rows] * 1e-3
    within: tuple[float, ...] = ()
    if given.linear and path.way == ACROSS:
        within = tuple(path.sign_x * v * 1e-3 for v in given.linear)
    try:
        return southwell(path.y[rows], sideways, length=rig.span, within=within, where=where), ""
    except InputError as error:
        if within:
            raise InputError(error.message, where=f"{where}:linear", got=error.got,
                             expected=error.expected) from None  # fmt: skip
        said = str(InputError(error.message, got=error.got, expected=error.expected))
        return None, f"The sideways deflection {said.rstrip('.')}."


def _stands(read: Read) -> bool:
    """Whether the load stands while the travel goes on."""
    x, y = read.path.x, read.path.y
    past = int(np.argmax(x)) + 1
    x, y = x[:past], y[:past]
    peak = float(read.path.y[read.top])
    late = x >= float(x[-1]) - LAST * float(np.ptp(x))
    if late.sum() < 4 or float(np.min(y[late])) < (1 - 2 * RISE) * peak:
        return False
    slope = float(np.polyfit(x[late] - x[-1], y[late], 1)[0])
    return abs(slope) * LAST * float(np.ptp(x)) < RISE * peak


def _figures(found: Bow, rig: Rig, sign: float) -> dict[str, float]:
    si = {
        "critical": found.critical, "critical_half": found.critical_half, "bow": found.bow,
        "bow_half": found.bow_half, "bow_from": found.first, "bow_to": found.last,
        "bow_origin": sign * found.origin,
    }  # fmt: skip
    EI = rig.euler_stiffness(found.critical)
    modulus = EI / rig.inertia
    half = abs(modulus) * found.critical_half / found.critical
    return si | {"EI": EI, "modulus": modulus, "apparent_modulus": modulus, "modulus_half": half}


def _said(found: Bow, rig: Rig) -> list[str]:
    out = [
        f"Deflection over load against deflection is straight from {found.low:.4g} to "
        f"{found.high:.4g} N ({found.used} readings, Southwell 1932): critical load "
        f"{found.critical:.4g} ± {found.critical_half:.2g} N; bow before loading, the load's "
        f"eccentricity in it, {found.bow * 1e3:.3g} ± {found.bow_half * 1e3:.2g} mm."
    ]  # fmt: skip
    if found.ended_early:
        out.append(
            f"Beyond {found.last * 1e3:.3g} mm the line is left: the bow is no longer small, or "
            "the wall no longer elastic."
        )
    if rig.span > 0 and found.bow > 0.005 * rig.span:
        out.append(f"The bow is 1/{rig.span / found.bow:.0f} of the length: far from straight.")
    return out


def _end(
    read: Read, found: Bow | None, peak: float, *, reached: bool
) -> tuple[bool, list[str]]:  # fmt: skip
    """Whether the largest load is "at least", and what is said of it."""
    share = "" if found is None else f" at {100 * found.reached:.0f} % of the critical load"
    if reached:
        return False, ["The load stands while the column bows on: its plateau is reached."]
    if read.end.broke:
        if found is not None and found.reached < PLATEAU:
            return False, [f"It gave way{share}: the bow and the wall, not the column alone."]
        return False, []
    return True, [
        f"The plateau was not reached{share}: the largest load, {peak:.4g} N, is at least."
    ]


def _marks(found: Bow, read: Read) -> tuple[Mark, ...]:
    path = read.path
    out = []
    for key, label, u, argument in (
        ("unloaded", "deflection at no load", 0.0, ""),
        ("linear-from", "line of the bow begins", found.first, "linear"),
        ("linear-to", "line of the bow ends", found.last, "linear"),
    ):
        load = found.critical * u / (u + found.bow)
        x = (found.origin + u) * 1e3
        place = float(path.sign_x * x), float(path.sign_y * (load + read.tare))
        out.append(Mark(key, label, *place, argument))
    return tuple(out)


def merged(marks: tuple[Mark, ...], found: Column) -> tuple[Mark, ...]:
    """Marks of a test, those of the bow in place of those of a slope that is none.

    Parameters
    ----------
    marks : tuple of Mark
        As found on the curve.
    found : Column
        What is particular to the column.

    Returns
    -------
    tuple of Mark
    """
    if not found.across:
        return marks
    kept = [m for m in marks if m.key in ("peak", "first-drop", "drop")]
    return (*found.marks, *kept)


__all__ = ["ACROSS", "FIGURES", "Column", "column", "merged", "sideways", "way_of"]
