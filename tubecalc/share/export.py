"""Files for a quote: the chart as PNG or SVG as wide as a page, and the shortlist as CSV."""

from __future__ import annotations

import io
import textwrap
from dataclasses import dataclass
from datetime import date
from math import isinf, isnan
from typing import TYPE_CHECKING

from tubecalc.checks import CHECKS
from tubecalc.share.chart import Axes, Picture, frame, layer
from tubecalc.share.palette import Style
from tubecalc.share.paper import About, Leaf, Placed, picture
from tubecalc.share.scene import Scene, Words

if TYPE_CHECKING:
    import pandas as pd

WIDTH_MM = 210.0
DPI = 300
_EDGE = 30.0


@dataclass(frozen=True)
class Sheet:
    """One printed chart: the pictures of the screen with the words around them.

    Parameters
    ----------
    title, need, name, verdict, caution, footer : str
        Words, from top to bottom.
    axes, picture : Axes, Picture
        The chart.
    wall, bars : Scene or None
        The selected tube.
    styles : tuple of Style
        Styles in use.
    """

    title: str
    need: str
    axes: Axes
    picture: Picture
    name: str
    verdict: str
    wall: Scene | None
    bars: Scene | None
    styles: tuple[Style, ...]
    caution: str
    footer: str


def _wrapped(text: str, width: int) -> list[str]:
    return [line for part in text.split("\n") for line in textwrap.wrap(part, width) or [""]]


def _page(sheet: Sheet) -> tuple[Scene, list[Placed]]:
    """Words of the page as a scene, and where the pictures go."""
    words: list[Words] = []
    y = 42.0
    words.append(Words(_EDGE, y, sheet.title, "ink", 24, bold=True))
    for line in _wrapped(sheet.need, 100):
        y += 21
        words.append(Words(_EDGE, y, line, "ink", 14.5))
    y += 14
    places: list[Placed] = [
        (frame(sheet.axes), 16.0, y),
        (layer(sheet.axes, sheet.picture), 16.0, y),
    ]
    y += sheet.axes.height + 26
    top = y
    words.append(Words(_EDGE, y, sheet.name, "ink", 17, bold=True))
    if sheet.wall is not None:
        places.append((sheet.wall, _EDGE, y + 8))
        y += sheet.wall.height + 12
    for line in _wrapped(sheet.verdict, 54):
        y += 17
        words.append(Words(_EDGE, y, line, "ink", 12.5))
    if sheet.bars is not None:
        words.append(Words(430, top, "Reserve, by way to fail", "muted", 13, bold=True))
        places.append((sheet.bars, 420, top + 8))
        y = max(y, top + sheet.bars.height + 8)
    y += 14
    for line in _wrapped(sheet.caution, 122):
        y += 15
        words.append(Words(_EDGE, y, line, "warn", 11.5))
    y += 20
    words.append(Words(_EDGE, y, sheet.footer, "muted", 11))
    words.append(
        Words(770, y, "filled passes, hollow fails, line: best that passes", "muted", 11, "end")
    )
    return Scene(800, y + 18, tuple(words), ""), places


def chart_file(sheet: Sheet, kind: str) -> bytes:
    """Print the chart 210 mm wide; the same bytes for the same sheet.

    Parameters
    ----------
    sheet : Sheet
        Pictures and words.
    kind : str
        "png" (300 dpi) or "svg".

    Returns
    -------
    bytes
        The file.
    """
    page, places = _page(sheet)
    leaf = Leaf(page.width, page.height, ((page, 0.0, 0.0), *places), sheet.styles)
    return picture(leaf, kind, About(sheet.title, sheet.verdict), WIDTH_MM, DPI)


_HEADS = {
    "construction": "construction", "name": "name", "id": "id", "od_mm": "OD [mm]",
    "id_mm": "bore [mm]", "wall_mm": "wall [mm]", "plies": "plies [-]",
    "mass_kg_per_m": "mass per length [kg/m]", "mass_kg": "mass of the job [kg]",
    "reserve": "reserve [-]", "governing": "governed by", "passes": "passes",
    "in_range": "usual size", "unproven": "outside the proven range",
    "EA_N": "EA [N]", "EI_N_m2": "EI [N m2]", "GJ_N_m2": "GJ [N m2]",
    "length_mm": "length [mm]", "quantity": "quantity [-]", "price": "price [per piece]",
}  # fmt: skip
_UNITS = ("MN_m_per_kg", "N_m3_per_kg", "kN_m_per_kg", "N_m2_per_kg")


def heading(column: str) -> str:
    """Heading of a table column with its unit in brackets.

    Parameters
    ----------
    column : str
        Column of a sweep.

    Returns
    -------
    str
        For example "EI per mass [N m3/kg]".

    Examples
    --------
    >>> heading("EI_per_mass_N_m3_per_kg"), heading("reserve_column")
    ('EI per mass [N m3/kg]', 'reserve column [-]')
    """
    if column in _HEADS:
        return _HEADS[column]
    for unit in _UNITS:
        if column.endswith(unit):
            name = column.removesuffix(f"_{unit}").replace("_", " ")
            return f"{name} [{unit.replace('_per_kg', '/kg').replace('_', ' ')}]"
    name = column.replace("_", " ")
    return f"{name} [-]" if column.startswith("reserve_") else name


def _trust(table: pd.DataFrame) -> list[str]:
    """Grade, expected error and range of every check in a table, one line each."""
    out = []
    for name, check in CHECKS.items():
        if f"reserve_{name}" in table:
            holds = "; holds for " + ", ".join(map(str, check.ranges)) if check.ranges else ""
            composite, metal = check.grades
            out.append(
                f"{check.label}: grade {composite} composite, {metal} metal; expected error "
                f"{check.error}{holds}; {check.basis}"
            )
    return out


def table_csv(table: pd.DataFrame, title: str, need: str, day: date) -> bytes:
    """Shortlist as CSV in UTF-8 with units in the headings.

    Parameters
    ----------
    table : pandas.DataFrame
        Rows of a sweep.
    title, need : str
        The job, and its values as used.
    day : datetime.date
        Date in the first line.

    Returns
    -------
    bytes
        The file; the lines below the table say where the figures come from.
    """
    from tubecalc import __version__

    out = io.StringIO()
    shown = table.rename(columns=heading)
    for column in shown.select_dtypes("float"):
        shown[column] = [
            "not driven" if isinf(x) else "not known" if isnan(x) else f"{x:.6g}"
            for x in shown[column]
        ]
    shown.to_csv(out, index=False, lineterminator="\n", na_rep="")
    for line in (
        f"tubecalc {__version__}, {day.isoformat()}: {title}",
        f"need as used: {need}",
        "sources: material values as listed by tubecalc.materials(), each with source and standing;"
        " rules of the constructions as listed by tubecalc.constructions()",
        "reserve: capacity over factored demand, 1 just passes; typical values, not minima",
        *_trust(table),
    ):
        out.write('"' + line.replace('"', "'") + '"\n')
    return out.getvalue().encode("utf-8-sig")
