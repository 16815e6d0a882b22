"""For the workshop: cutting list, cut plan and winding as a workbook, a CSV, a page to print."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tubecalc.errors import InputError, unknown_key
from tubecalc.making import CutPlan, CuttingList, Winding
from tubecalc.share.cut_bars import bar_picture
from tubecalc.share.cut_pieces import piece_picture, start_picture
from tubecalc.share.page_text import esc
from tubecalc.share.palette import css
from tubecalc.share.scene import svg
from tubecalc.share.sheet_book import workbook
from tubecalc.share.sheet_cells import Column, Table, Value, held, number, plain
from tubecalc.unit_words import say

if TYPE_CHECKING:
    import pandas as pd

KINDS = ("html", "xlsx", "csv")
# column -> heading, width in letters, least decimals (None: text), shown on the printed page
Heads = Mapping[str, tuple[str, float, int | None, bool]]
CUTTING: Heads = {
    "order": ("piece", 7, 0, True), "plies": ("plies", 9, None, True),
    "material": ("material", 24, None, True), "angle_deg": ("angle [deg]", 9, 0, True),
    "wraps": ("wraps", 8, 0, True), "inside_diameter_mm": ("rolled on [mm]", 11, 2, True),
    "path_mm": ("way round [mm]", 11, 1, True), "overlap_mm": ("overlap [mm]", 10, 1, True),
    "width_mm": ("width [mm]", 10, 1, True), "length_mm": ("length [mm]", 10, 0, True),
    "shape": ("shape", 30, None, True), "strips": ("strips", 8, 0, False),
    "start_deg": ("start [deg]", 9, 0, True), "start_mm": ("start [mm]", 9, 1, True),
    "end_deg": ("end [deg]", 9, 0, False), "area_m2": ("area [m2]", 9, 4, False),
    "mass_g": ("mass [g]", 9, 1, True), "mass_with_waste_g": ("with waste [g]", 11, 1, False),
    "roll_length_mm": ("off the roll [mm]", 11, 0, False),
    "open_before_cure_mm": ("open before cure [mm]", 12, 2, False),
}  # fmt: skip
BUY: Heads = {
    "material": ("material", 24, None, True), "thickness_mm": ("thickness [mm]", 11, 3, True),
    "area_m2": ("area [m2]", 9, 3, True), "mass_kg": ("mass [kg]", 9, 3, True),
    "roll_length_m": ("roll length [m]", 11, 1, True),
}  # fmt: skip
BARS: Heads = {
    "bars": ("bars", 7, 0, True), "stock_mm": ("stock [mm]", 10, 0, True),
    "cut": ("cut", 36, None, True), "pieces": ("pieces", 8, 0, True),
    "used_mm": ("used [mm]", 10, 1, False), "saw_mm": ("saw [mm]", 9, 1, True),
    "trim_mm": ("trim [mm]", 9, 1, False), "offcut_mm": ("offcut [mm]", 10, 1, True),
}  # fmt: skip
WOUND: Heads = {
    "layer": ("layer", 7, 0, True), "diameter_mm": ("wound on [mm]", 11, 2, True),
    "circuits": ("circuits", 9, 0, True), "coverage": ("coverage [-]", 10, 3, True),
    "pattern": ("pattern", 9, 0, True), "end_turn_deg": ("turn at each end [deg]", 12, 1, True),
    "turns_per_circuit": ("turns per circuit", 11, 4, True), "lead_mm": ("lead [mm]", 10, 1, True),
    "closing_angle_deg": ("closing angle [deg]", 11, 2, True),
    "closing_band_mm": ("closing band [mm]", 11, 2, False),
    "end_zone_mm": ("end zone [mm]", 10, 0, False), "path_m": ("band [m]", 10, 1, True),
    "mass_g": ("mass [g]", 9, 1, True), "strand_mass_g": ("dry mass [g]", 9, 1, False),
}  # fmt: skip

_INCH = {  # metric unit in a heading -> unit, factor, further decimals
    "[mm]": ("[in]", 1 / 25.4, 2), "[m]": ("[ft]", 1 / 0.3048, 0),
    "[m2]": ("[ft2]", 1 / 0.3048**2, -1), "[g]": ("[oz]", 1 / 28.349523125, 1),
    "[kg]": ("[lb]", 1 / 0.45359237, 0),
}  # fmt: skip


@dataclass(frozen=True)
class Shop:
    """What goes to the workshop.

    Parameters
    ----------
    title : str
        Name of the tube, anybody's words.
    lead : str
        One line: stack and sizes.
    date : str
        ISO date.
    cutting : CuttingList or None
        The cutting list.
    plan : CutPlan or None
        The cut plan.
    wound : Winding or None
        The winding.
    """

    title: str
    lead: str
    date: str
    cutting: CuttingList | None = None
    plan: CutPlan | None = None
    wound: Winding | None = None

    @property
    def parts(self) -> list[tuple[str, Heads, pd.DataFrame]]:
        """Tables by the name of their sheet."""
        out: list[tuple[str, Heads, pd.DataFrame]] = []
        if self.cutting is not None:
            out.append(("Cutting list", CUTTING, self.cutting.table))
            out.append(("To buy", BUY, self.cutting.materials))
        if self.plan is not None:
            out.append(("Cut plan", BARS, self.plan.table))
        if self.wound is not None:
            out.append(("Winding", WOUND, self.wound.table))
        return out

    @property
    def notes(self) -> list[tuple[str, str]]:
        """Sentences with what they belong to."""
        every = (("Rolling", self.cutting), ("Cut plan", self.plan), ("Winding", self.wound))
        return [(name, text) for name, part in every if part is not None for text in part.notes]


def workshop_file(shop: Shop, kind: str, *, paper: str = "A4") -> bytes:
    """Write what goes to the workshop.

    Parameters
    ----------
    shop : Shop
        Lists and plans.
    kind : str
        "html": a page to print, its pictures in it. "xlsx": a sheet each. "csv": one below the
        other.
    paper : str
        "A4" or "Letter".

    Returns
    -------
    bytes
        The same for the same lists and date; no text is taken for a formula.

    Raises
    ------
    InputError
        For another kind, or where there is nothing.

    Examples
    --------
    >>> from tubecalc.making import cut_plan
    >>> shop = Shop("Rods", "cut from bars", "2026-11-25", plan=cut_plan([("700 mm", 4)], "2 m"))
    >>> workshop_file(shop, "csv").decode("utf-8-sig").splitlines()[2][:26]
    'bars,stock [mm],cut,pieces'
    """
    if kind not in KINDS:
        raise unknown_key("kind of file", kind, KINDS)
    if not shop.parts:
        raise InputError("there is nothing for the workshop yet")
    if kind == "csv":
        return _csv(shop)
    if kind == "html":
        return _html(shop, paper).encode("utf-8")
    tables = [_table(*part) for part in shop.parts]
    notes = [(held(name), held(text)) for name, text in shop.notes]
    tables.append(Table("Notes", (Column("for", 14), Column("note", 110)), list(notes),
                        filtered=False))  # fmt: skip
    return workbook(
        tables, title=shop.title, author="", when=shop.date, foot=_foot(shop), paper=paper
    )


def _foot(shop: Shop) -> str:
    from tubecalc import __version__

    return f"tubecalc {__version__}, {shop.date}"


def _cell(value: Any, decimals: int | None) -> Value:
    return held(str(value)) if decimals is None else number(float(value))


def _table(name: str, heads: Heads, frame: pd.DataFrame) -> Table:
    columns = {c: h for c, h in heads.items() if c in frame}
    rows = [
        tuple(_cell(row[c], h[2]) for c, h in columns.items()) for row in frame.to_dict("records")
    ]
    made = tuple(Column(h[0], float(h[1]), h[2]) for h in columns.values())
    return Table(name, made, rows, frozen=1)


def _csv(shop: Shop) -> bytes:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([plain(held(shop.title))])
    writer.writerow([plain(held(f"{shop.lead}; {_foot(shop)}"))])
    for n, part in enumerate(shop.parts):
        table = _table(*part)
        if n:
            writer.writerow([])
        writer.writerow([c.head for c in table.columns])
        for row in table.rows:
            writer.writerow([plain(v) if isinstance(v, str) else "" if v is None else f"{v:.9g}"
                             for v in row])  # fmt: skip
    writer.writerow([])
    for name, text in shop.notes:
        writer.writerow([plain(held(name)), plain(held(text))])
    return out.getvalue().encode("utf-8-sig")


def table_html(
    heads: Heads, frame: pd.DataFrame, *, every: bool = False, system: str = "SI"
) -> str:
    """Table of a list as HTML; every text in it is escaped.

    Parameters
    ----------
    heads : mapping
        As `CUTTING`.
    frame : pandas.DataFrame
        The list.
    every : bool
        All columns, else those that are printed.
    system : str
        Display system; "inch" turns lengths, areas and masses.

    Returns
    -------
    str
        One <table>.

    Examples
    --------
    >>> from tubecalc.making import cut_plan
    >>> table_html(BARS, cut_plan([("700 mm", 4)], "2 m").table)[:42]
    '<table class="shop"><thead><tr><th class="'
    """
    columns = {c: h for c, h in heads.items() if c in frame and (every or h[3])}
    scale = dict.fromkeys(columns, 1.0)
    if system == "inch":
        for key, (name, wide, places, printed) in columns.items():
            for metric, (inch, factor, more) in _INCH.items():
                if metric in name and places is not None:
                    scale[key] = factor
                    columns[key] = (name.replace(metric, inch), wide, places + more, printed)
    head = "".join(f'<th class="{_css(h)}">{esc(h[0])}</th>' for h in columns.values())
    body = "".join(
        "<tr>" + "".join(f'<td class="{_css(h)}">{esc(_text(r[c], h[2], scale[c]))}</td>'
                         for c, h in columns.items()) + "</tr>"
        for r in frame.to_dict("records")
    )  # fmt: skip
    return f'<table class="shop"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'


def _css(head: tuple[str, float, int | None, bool]) -> str:
    return "t" if head[2] is None else "n"


def _text(value: Any, decimals: int | None, factor: float = 1.0) -> str:
    if decimals is None:
        return held(str(value))
    found = float(value) * factor
    return "–" if found != found else f"{found:.{decimals}f}"


def _pictures(shop: Shop) -> dict[str, str]:
    out = {}
    if shop.cutting is not None:
        out["Cutting list"] = (
            f"{svg(start_picture(shop.cutting))}{svg(piece_picture(shop.cutting))}"
        )
    if shop.plan is not None:
        out["Cut plan"] = svg(bar_picture(shop.plan))
    return out


_LOOK = """
body{margin:0 auto;max-width:1080px;padding:16px 28px 40px;background:var(--tc-paper);
color:var(--tc-ink);font:14px/1.45 "Inter","Segoe UI","Noto Sans","DejaVu Sans",Arial,sans-serif}
h1{font:400 26px/1.3 "Source Serif 4","Charter","Georgia","DejaVu Serif",serif;margin:12px 0 2px}
h2{font-size:16px;margin:26px 0 8px}p{margin:0 0 6px;color:var(--tc-muted)}
table{border-collapse:collapse;width:100%;font-size:12.5px;font-variant-numeric:tabular-nums}
th,td{text-align:left;padding:4px 8px 4px 0;border-bottom:1px solid var(--tc-rule);
vertical-align:top}th{border-bottom-color:var(--tc-ink)}.n{text-align:right}
svg{max-width:100%;height:auto;margin:10px 24px 4px 0;vertical-align:top}
svg text{font-family:inherit}
li{margin:3px 0}tr{break-inside:avoid}
"""


def _html(shop: Shop, paper: str) -> str:
    pictures = _pictures(shop)
    body = [f"<h1>{esc(held(shop.title, 200))}</h1><p>{esc(held(shop.lead))}</p>"]
    for name, heads, frame in shop.parts:
        body.append(f"<h2>{name}</h2>{table_html(heads, frame)}{pictures.get(name, '')}")
    notes = "".join(f"<li><b>{esc(n)}.</b> {esc(t)}</li>" for n, t in shop.notes)
    policy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{esc(held(shop.title, 120))}</title>"
        f"<style>{css([])}@page{{size:{paper} landscape;margin:11mm}}{_LOOK}</style></head><body>"
        f"{''.join(body)}<h2>Notes</h2><ul>{notes}</ul><p>{esc(_foot(shop))}</p></body></html>\n"
    )


def lines_of(notes: Sequence[str], system: str = "SI") -> str:
    """Sentences as a list for a page.

    Parameters
    ----------
    notes : sequence of str
        Plain texts.
    system : str
        Display system.

    Returns
    -------
    str
        One <ul>, "" for none.

    Examples
    --------
    >>> lines_of(["a < b"])
    '<ul class="tc-cautions"><li>a &lt; b</li></ul>'
    """
    items = "".join(f"<li>{esc(say(n, system))}</li>" for n in notes)
    return f'<ul class="tc-cautions">{items}</ul>' if items else ""


__all__ = ["BARS", "BUY", "CUTTING", "KINDS", "WOUND", "Shop", "lines_of", "table_html",
           "workshop_file"]  # fmt: skip
