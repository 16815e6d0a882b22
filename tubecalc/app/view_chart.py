"""The chart of a result: what is compared, axes, series, words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from tubecalc.app.engine import Result, order_by
from tubecalc.app.styles import style_in
from tubecalc.checks import CHECKS
from tubecalc.share.bars import number
from tubecalc.share.chart import Axes, Picture, Series, nice_log, nice_range
from tubecalc.units import in_unit, show, unit_label


@dataclass(frozen=True)
class Measure:
    """What may be compared: name, unit, kind of unit ("" is shown as it is), best end."""

    name: str
    unit: str = ""
    kind: str = ""
    low: bool = False


MEASURES: dict[str, Measure] = {
    "mass": Measure("mass", kind="linear_density", low=True),
    "EI_per_mass_N_m3_per_kg": Measure("bending stiffness for its weight", "N m³/kg"),
    "EA_per_mass_MN_m_per_kg": Measure("axial stiffness for its weight", "MN m/kg"),
    "GJ_per_mass_N_m3_per_kg": Measure("torsional stiffness for its weight", "N m³/kg"),
    "bending_per_mass_N_m2_per_kg": Measure("bending strength for its weight", "N m²/kg"),
    "tension_per_mass_kN_m_per_kg": Measure("tensile strength for its weight", "kN m/kg"),
    "compression_per_mass_kN_m_per_kg": Measure("compressive strength for its weight", "kN m/kg"),
    "torsion_per_mass_N_m2_per_kg": Measure("torsional strength for its weight", "N m²/kg"),
    "reserve": Measure("reserve", "1 just passes"),
}
NARROW = 560


def label_of(check: str) -> str:
    """Name of a check in words.

    Parameters
    ----------
    check : str
        Key of the check.

    Returns
    -------
    str
        For example "column buckling".

    Examples
    --------
    >>> label_of("column")
    'column buckling'
    """
    return CHECKS[check].label if check in CHECKS else "nothing"


def figures(value: float) -> str:
    """Write a number in four figures, whole from a thousand on.

    Parameters
    ----------
    value : float
        The number.

    Returns
    -------
    str
        With a narrow space between thousands.

    Examples
    --------
    >>> figures(0.123456), figures(62.206)
    ('0.1235', '62.21')
    """
    text = f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.4g}"
    return text.replace(",", "\u202f")


def sizes(result: Result, row: int) -> str:
    """Outside diameter and bore of a candidate in the units shown.

    Parameters
    ----------
    result : Result
        The result.
    row : int
        Row of its sheet [-].

    Returns
    -------
    str
        For example "30 × 27 mm".
    """
    system = result.choice.units
    od, bore = (result.sheet.column(c)[row] * 1e-3 for c in ("od_mm", "id_mm"))
    places = 3 if system == "inch" else 2
    texts = [f"{round(in_unit(v, 'length', system), places):g}" for v in (od, bore)]
    return f"{texts[0]} × {texts[1]} {unit_label('length', system)}"


def name_of(result: Result, row: int) -> str:
    """Name of the construction of a candidate on screen."""
    return str(result.sheet.column("name")[row])


def _unit(measure: Measure, system: str) -> str:
    return unit_label(measure.kind, system) if measure.kind else measure.unit


def _values(result: Result) -> tuple[Any, Any]:
    """All x and y of a sheet in the units shown; kept with the sheet."""
    choice, sheet = result.choice, result.sheet
    memo = ("xy", choice.units, choice.measure)
    if memo not in sheet.memo:
        column, measure = order_by(choice)[0], MEASURES[choice.measure]
        x = sheet.column("od_mm") * (1e-3 * in_unit(1.0, "length", choice.units))
        y = sheet.column(column).astype(float)
        if measure.kind:
            y = y * in_unit(1.0, measure.kind, choice.units)
        sheet.memo[memo] = (x, np.where(np.isfinite(y), y, 1e3))
    return sheet.memo[memo]  # type: ignore[no-any-return]


def note_of(result: Result, row: int) -> str:
    """Name of a candidate under the pointer.

    Parameters
    ----------
    result : Result
        The result.
    row : int
        Row of its sheet [-].

    Returns
    -------
    str
        Three lines: name, size and what is compared, verdict.
    """
    sheet = result.sheet
    name = name_of(result, row)
    if "id" in sheet.table:
        name = f"{sheet.table['id'].iloc[row]}, {name}"
    word = "passes" if sheet.column("passes")[row] else "fails"
    governing, reserve = str(sheet.column("governing")[row]), float(sheet.column("reserve")[row])
    return (
        f"{name}\n{sizes(result, row)}, {quantity(result, row)}\n"
        f"{word}: {label_of(governing)} {number(reserve)}"
    )


def axes_of(result: Result) -> Axes:
    """Axes that hold the shown candidates, rounded so that they seldom change.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    Axes
        The axes.
    """
    choice, measure = result.choice, MEASURES[result.choice.measure]
    system = choice.units
    ends = [in_unit(v, "length", system) for v in choice.od]
    x, y = _values(result)
    rows = _shown_rows(result)
    low, high = (float(y[rows].min()), float(y[rows].max())) if len(rows) else (10.0, 1000.0)
    if choice.stock is not None and len(rows):
        ends = [float(x[rows].min()), float(x[rows].max())]
    span = ends[1] - ends[0]
    width = float(max(320, min(1000, choice.width)))
    height = 440.0 if width >= NARROW else 380.0
    return Axes(
        nice_range(max(0.0, ends[0] - 0.02 * span), ends[1] + 0.02 * span),
        nice_log(max(low, 1e-6), max(high, low * 2, 1e-5)),
        f"outside diameter, {unit_label('length', system)}",
        f"{measure.name}, {_unit(measure, system)}"
        + (" of length" if measure.kind == "linear_density" and width >= NARROW else ""),
        width,
        height,
    )


def _shown_rows(result: Result) -> Any:
    found = [rows for rows in result.shown.values() if len(rows)]
    return np.concatenate(found) if found else np.array([], dtype=np.intp)


def picture_of(result: Result) -> Picture:
    """Layer of the chart.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    Picture
        Series, ring and words.
    """
    x, y = _values(result)
    ok = result.sheet.column("passes").astype(bool)
    series = []
    for key, rows in result.shown.items():
        st = style_in(result.choice, key)
        series.append(
            Series(
                key, result.choice.made(key).name, st.slug, x[rows], y[rows], ok[rows], st.dashed,
            )
        )  # fmt: skip
    ring = None if result.row is None else (float(x[result.row]), float(y[result.row]))
    empty = "" if result.count else "no candidate in these ranges"
    low = MEASURES[result.choice.measure].low
    return Picture(tuple(series), ring, low, says_chart(result), empty)


def says_chart(result: Result) -> str:
    """Say the message of the chart in words, for those who do not see it.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    str
        Two or three sentences.
    """
    measure = MEASURES[result.choice.measure]
    said = f"Chart of {measure.name} over outside diameter: {result.passing} of {result.count} pass"
    ok = result.sheet.column("passes")
    best = [n for n in result.short if ok[n]]
    if not best:
        return f"{said}. {result.hint}"
    seen: dict[str, str] = {}
    for n in best:
        value = quantity(result, n)
        seen.setdefault(name_of(result, n), f"{name_of(result, n)} {sizes(result, n)} at {value}")
    return f"{said}. Best of each: {'; '.join(seen.values())}."


def quantity(result: Result, row: int) -> str:
    """Value of what is compared, with unit.

    Parameters
    ----------
    result : Result
        The result.
    row : int
        Row of its sheet [-].

    Returns
    -------
    str
        For example "178 g/m".
    """
    choice, measure = result.choice, MEASURES[result.choice.measure]
    value = float(result.sheet.column(order_by(choice)[0])[row])
    if measure.kind:
        return show(value, measure.kind, choice.units)
    if choice.measure == "reserve":
        return number(value)
    return f"{figures(value)} {measure.unit}"
