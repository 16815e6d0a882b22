"""What is told about a test beside its curve: by the user, or by the lines above its columns."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from typing import Any

from tubecalc.errors import InputError, unknown_key
from tubecalc.testing.reduce_asked import table_of
from tubecalc.testing.reduce_failure import preloaded
from tubecalc.testing.reduce_kinds import KINDS, UNSAID, Rig, check_rig
from tubecalc.testing.reduce_tidy import numbers
from tubecalc.units import to_si

NAN = math.nan
_SPAN = re.compile(r"\b(span|support span|stützweite|stuetzweite|auflagerabstand)\b", re.IGNORECASE)
_GAUGE = re.compile(r"\b(gauge length|gage length|messlänge|messlaenge)\b", re.IGNORECASE)
_VALUE = re.compile(r"(\d+(?:[.,]\d+)?)\s*[;,\t ]*\s*(mm|cm|m|in|ft)\b")
APART = 0.01  # two statements of one length that differ by more contradict each other
_UNITS = {
    "g": "gf", "gr": "gf", "gram": "gf", "grams": "gf", "kg": "kgf", "kp": "kgf", "lb": "lbf",
    "lbs": "lbf", "°": "deg", "degrees": "deg", "steps": "mm", '"': "in", "inch": "in",
}  # fmt: skip


@dataclass(frozen=True)
class Given:
    """What the user told of a test, in the units of the curve's data.

    Attributes
    ----------
    rig : Rig
        How the specimen was held.
    origin, peak_at : float
        Travel [mm or deg] as recorded; NaN where not moved.
    linear : tuple of float
        Travel where the straight part begins and ends; empty where not moved.
    notes : tuple of str
        What was taken from the file, and what contradicts it.
    preload : bool
        Whether the file names a preload.
    per_metre : bool
        Whether a strain is read as the travel of a tube of one metre: no gauge length is told.
    """

    rig: Rig
    origin: float = NAN
    peak_at: float = NAN
    linear: tuple[float, ...] = ()
    notes: tuple[str, ...] = ()
    preload: bool = False
    per_metre: bool = False


def given_of(
    curve: Any, where: str, *, kind: str, span: Any, od: Any, wall: Any, bore: Any,
    gauge_length: Any, inner_span: Any, nose: Any, ends: Any, at: str, origin: Any, linear: Any,
    peak_at: Any,
) -> Given:  # fmt: skip
    """Read what was told of a test.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        The lines above the columns may name span and gauge length.
    where : str
        Name of the specimen.
    kind, span, od, wall, bore, gauge_length, inner_span, nose, ends, at, origin, linear, peak_at
        As in `reduce_test`.

    Returns
    -------
    Given

    Raises
    ------
    InputError
        If a value is no length, the sizes contradict each other, or the rig cannot be.
    """
    if kind not in (*KINDS, UNSAID):
        raise unknown_key("kind of test", kind, KINDS, f"{where}:kind")
    if at not in ("nose", "middle"):
        raise unknown_key("place of the travel", at, ("nose", "middle"), f"{where}:at")
    notes: list[str] = []

    def length(value: Any, what: str) -> float:
        if value is None or (isinstance(value, float) and math.isnan(value)):
            return NAN
        return to_si(value, "length", what=f"{where}:{what}", positive=True)

    span_m, gauge_m = length(span, "span"), length(gauge_length, "gauge_length")
    if kind in ("three-point", "four-point"):
        span_m = _agreed(span_m, _told(curve, _SPAN), "span", notes)
    if kind in ("tension", "compression", "torsion"):
        gauge_m = _agreed(gauge_m, _told(curve, _GAUGE), "gauge length", notes)
    outside, thick = _section(length(od, "od"), length(wall, "wall"), length(bore, "id"), where)
    inner = length(inner_span, "inner_span")
    if kind == "four-point" and math.isnan(inner) and not math.isnan(span_m):
        inner = span_m / 3
        notes.append("The noses are taken to stand at the thirds of the span.")
    touch = length(nose, "nose")
    rig = Rig(kind, span_m, inner, gauge_m, outside, thick, ends, at == "nose", touch)
    check_rig(rig, where)
    way = "angle" if kind == "torsion" else "length"

    def travel(value: Any, what: str) -> float:
        if value is None:
            return NAN
        si = to_si(value, way, what=f"{where}:{what}")
        return math.degrees(si) if way == "angle" else si * 1e3

    straight: tuple[float, ...] = ()
    if linear is not None:
        if isinstance(linear, str) or len(linear) != 2:
            raise InputError("needs two values of the travel", where=f"{where}:linear", got=linear)
        straight = (travel(linear[0], "linear"), travel(linear[1], "linear"))
    return Given(rig, travel(origin, "origin"), travel(peak_at, "peak_at"), straight, tuple(notes),
                 preloaded(curve))  # fmt: skip


def by_strain(curve: Any, given: Given, way: str | None) -> tuple[Given, str | None]:
    """Read a strain without a gauge length as the travel of a tube of one metre.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        The test.
    given : Given
        What was told.
    way : str or None
        Column that the user chose.

    Returns
    -------
    Given
    way : str or None
        "strain" where that is done, else as chosen.
    """
    rig, data = given.rig, table_of(curve)
    pulled = rig.kind in ("tension", "compression") and math.isnan(rig.gauge)
    if not pulled or way not in (None, "strain") or "strain" not in data.columns:
        return given, way
    if not bool(data["strain"].notna().any()):
        return given, way
    note = (
        "No gauge length is told: EA and modulus are by the strain, and the stiffness is that of "
        "one metre of tube."
    )
    return replace(given, rig=replace(rig, gauge=1.0), notes=(*given.notes, note),
                   per_metre=True), "strain"  # fmt: skip


def by_stress(curve: Any, rig: Rig, where: str) -> tuple[Any, list[str]]:
    """Curve with the load of a file that holds the stress only.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        The test.
    rig : Rig
        How the specimen was held.
    where : str
        Name of the specimen.

    Returns
    -------
    tuple of Curve or pandas.DataFrame and list of str
        The curve, and what was done to it.

    Raises
    ------
    InputError
        If the area of the wall is not known.
    """
    data = table_of(curve)
    along = rig.kind in ("tension", "compression")
    if not along or "force_N" in data.columns or "stress_MPa" not in data.columns:
        return curve, []
    if any(q.open for q in getattr(curve, "questions", ())):
        return curve, []
    if not rig.area > 0:
        raise InputError("has a stress and no force: the area of the wall is needed", where=where,
                         expected="OD and wall")  # fmt: skip
    data = data.assign(force_N=numbers(data, "stress_MPa", where) * rig.area * 1e6)
    said = [
        f"The file holds the stress only: the load is the stress times {rig.area * 1e6:.4g} mm2, "
        "by OD and wall. If the file's stress has another area, loads and EA are wrong, the "
        "modulus is not."
    ]
    return (replace(curve, data=data) if hasattr(curve, "understood") else data), said


def _section(od: float, wall: float, bore: float, where: str) -> tuple[float, float]:
    """Outside diameter and wall from two of the three sizes."""
    if not math.isnan(bore):
        if not math.isnan(od):
            two = (od - bore) / 2
            if not two > 0:
                raise InputError("the bore is not smaller than the OD", where=f"{where}:id",
                                 got=f"{bore * 1e3:.4g} mm in {od * 1e3:.4g} mm")  # fmt: skip
            if not math.isnan(wall) and abs(wall - two) > 0.02 * two:
                raise InputError(
                    "the wall contradicts OD and bore",
                    where=f"{where}:wall",
                    got=f"{wall * 1e3:.4g} mm",
                    expected=f"{two * 1e3:.4g} mm",
                )
            return od, two
        if not math.isnan(wall):
            return bore + 2 * wall, wall
    return od, wall


def _agreed(given: float, told: float, what: str, notes: list[str]) -> float:
    """Length of the user, else of the file; a contradiction is said."""
    if math.isnan(told):
        return given
    if math.isnan(given):
        notes.append(f"The {what} of {told * 1e3:.5g} mm is from the file.")
        return told
    if abs(given - told) > APART * told:
        notes.append(
            f"The file says a {what} of {told * 1e3:.5g} mm, you say {given * 1e3:.5g} mm: yours "
            "is used."
        )
    return given


def _told(curve: Any, name: re.Pattern[str]) -> float:
    understood = getattr(curve, "understood", None)
    for key, value in getattr(understood, "preamble", ()):
        if not name.search(str(key)):
            continue
        found = _VALUE.search(f"{value}") or _VALUE.search(f"{key} {value}")
        if found:
            return to_si(f"{found[1].replace(',', '.')} {found[2]}", "length", what=str(key))
    return NAN


def scaled(curve: Any, factor: Any, where: str) -> tuple[Any, list[str]]:
    """Curve whose load is multiplied by the calibration of its cell.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        The test.
    factor : float, str or None
        What the recorded load is multiplied by [-]; None for nothing.
    where : str
        Name of the specimen.

    Returns
    -------
    tuple of Curve or pandas.DataFrame and list of str
        The curve, and what was done to it.

    Raises
    ------
    InputError
        If the factor is no number above zero.

    Examples
    --------
    >>> import pandas as pd
    >>> made, said = scaled(pd.DataFrame({"force_N": [0.0, 10.0]}), "1.02", "A")
    >>> made.force_N.tolist(), said
    ([0.0, 10.2], ['The recorded load is multiplied by 1.02, as told.'])
    """
    if factor is None or factor == "":
        return curve, []
    try:
        value = float(str(factor).replace(",", "."))
    except ValueError:
        value = NAN
    if not 0 < value < math.inf:
        raise InputError("is no factor of the load", where=f"{where}:load_factor",
                         got=str(factor)[:40], expected="a number above zero")  # fmt: skip
    data = table_of(curve)
    loads = [c for c in ("force_N", "torque_N_m", "stress_MPa") if c in data.columns]
    data = data.assign(**{c: numbers(data, c, where) * value for c in loads})
    said = [f"The recorded load is multiplied by {value:.6g}, as told."]
    return (replace(curve, data=data) if hasattr(curve, "understood") else data), said


def units_of(curve: Any, kind: str, way: str) -> tuple[str, str]:
    """Units of load and travel as the file wrote them.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        A table has those of its columns.
    kind : str
        Kind of test.
    way : str
        Column that the load was read against.

    Returns
    -------
    tuple of str
        "N m" and "deg", or "N" and "mm", where the file's are not known here.
    """
    load, plain = ("torque_N_m", "N*m") if kind == "torsion" else ("force_N", "N")
    return _unit(curve, load, plain), _unit(curve, way, "deg" if kind == "torsion" else "mm")


def _unit(curve: Any, column: str, plain: str) -> str:
    from tubecalc.units import Q_

    understood = getattr(curve, "understood", None)
    for one in getattr(understood, "columns", ()):
        if one.name == column and one.unit:
            text = _UNITS.get(one.unit.strip(), one.unit.strip())
            try:
                Q_(1.0, plain).to(Q_(1.0, text).units)
            except Exception:
                return plain
            return f"{Q_(1.0, text).units:~C}"
    return plain
