"""Results of page `layup` as HTML and pictures. Pure functions; every foreign text is escaped."""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape
from typing import Any

from tubecalc.app.layup_rows import ply_names
from tubecalc.app.layup_state import LayupChoice
from tubecalc.app.layup_work import BurnFound, LoadFound, WallFound
from tubecalc.app.text import list_html, pairs_html
from tubecalc.laminate.made_ply import MadePly
from tubecalc.plystress_reserve import words_of
from tubecalc.share.polar import polar_picture
from tubecalc.share.scene import Scene, svg
from tubecalc.share.through_wall import Strip, through_picture
from tubecalc.share.wall_picture import wall_picture
from tubecalc.share.walls_row import bands
from tubecalc.unit_display import in_unit, show, unit_label

COLOUR = "ink"
_PLACES = {"tension side": "where bending pulls", "compression side": "where bending presses",
           "side": "at the side", "other side": "at the other side"}  # fmt: skip
_LONG = {
    "E1": "along, E1", "E2": "across, E2", "G12": "shear, G12", "nu12": "Poisson ratio",
    "G23": "shear through, G23", "nu23": "Poisson ratio through", "density": "density",
    "Xt": "strength along, pulled", "Xc": "strength along, pressed",
    "Yt": "strength across, pulled", "Yc": "strength across, pressed", "S12": "strength in shear",
    "alpha1": "expansion along", "alpha2": "expansion across",
}  # fmt: skip
_FIGURES = {
    "wall": "wall", "Ex": "stiffness along, Ex", "Ehoop": "round, Ehoop", "Gxy": "in shear, Gxy",
    "nuxy": "Poisson ratio", "alpha_x": "expansion along", "density": "density",
    "mass_per_length": "mass per length", "EA": "EA", "EI": "EI", "GJ": "GJ",
}  # fmt: skip


def rows_html(
    heads: Sequence[tuple[str, bool]], rows: Sequence[Sequence[str]], css: str = "", *,
    loud: frozenset[int] = frozenset(),
) -> str:  # fmt: skip
    """Table of plain texts.

    Parameters
    ----------
    heads : sequence of (heading, is a number)
        Columns.
    rows : sequence of sequence of str
        Plain texts.
    css : str
        More classes.
    loud : frozenset of int
        Rows that stand out.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> "<td>a &lt; b</td>" in rows_html([("x", False)], [["a < b"]])
    True
    """

    def cell(tag: str, text: str, number: bool) -> str:
        n = ' class="n"' if number else ""
        return f"<{tag}{n}>{escape(text)}</{tag}>"

    head = "".join(cell("th", h, n) for h, n in heads)
    body = "".join(
        f"<tr{' class=loud' if k in loud else ''}>"
        + "".join(cell("td", t, h[1]) for t, h in zip(row, heads, strict=True)) + "</tr>"
        for k, row in enumerate(rows)
    )  # fmt: skip
    region = '<div class="tc-wide" role="group" tabindex="0" aria-label="table">'
    return (f'{region}<table class="tc-short tc-plain {css}"><thead><tr>{head}</tr>'
            f"</thead><tbody>{body}</tbody></table></div>")  # fmt: skip


def picture(scene: Scene, css: str = "") -> str:
    """Picture with its words for the ear."""
    return svg(scene, css)


# ---- the wall ---------------------------------------------------------------------------------
def letters_html(found: WallFound, choice: LayupChoice) -> str:
    """What the letters in the sequence mean."""
    names = ply_names(choice.plies)
    here = {(r.ply, r.thickness.strip()) for r in choice.rows}
    bare = next((m for t, *m in found.letters if not t), ["", ""])

    def said_of(key: str, thick: str) -> str:
        return escape(f"{names.get(key, key)}{f', {thick}' if thick else ''}")

    said = f"Without a letter: {said_of(*bare)}"
    said += "".join(
        f"; <b>{escape(t)}</b> {said_of(*m)}"
        for t, *m in found.letters if t and tuple(m) in here and m != bare
    )  # fmt: skip
    rest = ", ".join(
        f"<b>{escape(t)}</b> {said_of(*m)}"
        for t, *m in found.letters if t and tuple(m) not in here
    )  # fmt: skip
    return f"{said}. <details><summary>letters of other plies</summary>{rest}.</details>"


def letters_words(found: WallFound) -> str:
    """What the letters mean, by keys, for papers."""
    keys = {p.key for p in found.layup.plies}
    parts = [
        f"{t or 'no letter'} = {k}{f' {thick}' if thick else ''}"
        for t, k, thick in found.letters if k in keys and (not t or f"_{t}" in found.notation
                                                           or t in found.notation)
    ]  # fmt: skip
    return "; ".join(parts)


def wall_html(found: WallFound, system: str) -> str:
    """Wall to scale with its fibres."""
    s = found.tube.sections
    od, bore = 2 * float(s.ro[0]), 2 * float(s.ri[0])
    runs = bands(found.tube, COLOUR)
    texts = (show(bore, "length", system), show(od, "length", system))
    said = ", ".join(f"{b.label} × {b.plies}" if b.plies > 1 else b.label for b in runs)
    says = f"Wall to scale, bore {texts[0]}, outside {texts[1]}; from the bore outwards: {said}."
    return picture(wall_picture(runs, od, bore, texts=texts, says=says))


def polar_html(found: WallFound, system: str) -> str:
    """Stiffness over angle."""
    unit = in_unit(1.0, "modulus", system)
    scene = polar_picture((found.polar.E * unit).tolist(), (found.polar.G * unit).tolist(),
                          unit_label("modulus", system), colour=COLOUR)  # fmt: skip
    return picture(scene)


def _pair(name: str, value: float, kind: str, system: str) -> tuple[str, str, str]:
    if math.isfinite(value):
        value = float(f"{value:.4g}")
    text = show(value, kind, system)
    label = unit_label(kind, system)
    return name, text.removesuffix(label).strip() if label else text, label


def figures_html(found: WallFound, system: str) -> str:
    """Moduli, expansion, mass and stiffness of the tube."""
    t, layup = found.tube, found.layup
    s = t.sections
    ax, ay = (float(a.magnitude) for a in (layup.alpha_x, layup.alpha_y))
    pairs = [
        _pair("wall", layup.t, "length", system),
        _pair("outside", 2 * float(s.ro[0]), "length", system),
        _pair("bore", 2 * float(s.ri[0]), "length", system),
        _pair("mass per length", float(s.mass_per_length[0]), "linear_density", system),
        _pair("stiffness along, Ex", float(s.Ex[0]), "modulus", system),
        _pair("round, Ehoop", float(s.Ehoop[0]), "modulus", system),
        _pair("in shear, Gxy", float(s.Gxy[0]), "modulus", system),
        _pair("Poisson ratio", float(s.nuxy[0]), "number", system),
        _pair("expansion along", ax, "expansion", system),
        _pair("expansion round", ay, "expansion", system),
        _pair("EA", float(s.EA[0]), "force", system),
        _pair("EI", float(s.EI[0]), "bending_stiffness", system),
        _pair("GJ", float(s.GJ[0]), "bending_stiffness", system),
    ]
    return f"<h2>{escape(layup.name)}: figures</h2>{pairs_html(pairs)}"


def notes_html(found: WallFound) -> str:
    """What practice says of the stack."""
    if not found.notes:
        return ('<p class="tc-note">Practice has nothing against this stack: it holds round, is '
                "balanced and covered.</p>")  # fmt: skip
    return "<h2>What practice says</h2>" + list_html([n.text for n in found.notes], "tc-cautions")


def abd_html(found: WallFound) -> str:
    """Wall stiffness A, B and D on demand."""
    parts = []
    for name, matrix, unit, scale in (
        ("A, stretch", found.layup.A, "kN/mm", 1e-6), ("B, coupling", found.layup.B, "kN", 1e-3),
        ("D, bending", found.layup.D, "N m", 1.0),
    ):  # fmt: skip
        values = matrix.magnitude * scale
        floor = 1e-9 * max(1e-30, float(abs(values).max()))
        body = "".join(
            "<tr>" + "".join(f'<td class="n">{v if abs(v) > floor else 0.0:.4g}</td>' for v in row)
            + "</tr>" for row in values.tolist()
        )  # fmt: skip
        parts.append(f"<div><h3>{name}, {unit}</h3><table class='tc-abd'>{body}</table></div>")
    return (
        "<details><summary>A, B and D of the wall</summary><div class='tc-abds'>"
        f"{''.join(parts)}</div><p class='tc-fine'>About mid-wall, x along the tube, y round it, "
        "from the bore outwards; a closed tube does not curl.</p></details>"
    )


# ---- what it carries ---------------------------------------------------------------------------
def load_words(got: LoadFound, system: str) -> str:
    """The load as used, in words."""
    x = got.loads
    parts = [("along", x.axial, "force"), ("bending", x.moment, "moment"),
             ("twisting", x.torque, "torque"), ("across", x.shear, "force"),
             ("inside", x.p_in, "pressure"), ("outside", x.p_out, "pressure")]  # fmt: skip
    said = ", ".join(f"{show(v, k, system)} {n}" for n, v, k in parts if v)
    ends = "; ends closed" if x.closed else ""
    return f"Used: {got.name}: {said}{ends}, at {show(got.at, 'temperature', system)}."


def load_html(got: LoadFound, wall: WallFound, system: str) -> str:
    """First damage and the end in sentences."""
    metal = all(x.values.isotropic for x in wall.layup.layers)
    said = list(words_of(got.carried, metal=metal))
    if got.carried.cure_known:
        said.append("The stress of cure is counted in the first damage.")
    elif got.carried.why_not:
        said.append(f"The stress of cure is not counted: {got.carried.why_not}.")
    worst = min(got.carried.broken, got.carried.damaged.damage)
    css = "tc-verdict" if not worst < 1.0 else "tc-verdict fail"
    lead, rest = said[0], " ".join(said[1:])
    return f'<div class="{css}"><b>{escape(lead)}</b> {escape(rest)}</div>'


def through_html(got: LoadFound, wall: WallFound, width: int, system: str) -> str:
    """Stress through the wall, ply by ply."""
    unit = in_unit(1.0, "stress", system)
    woven = {p.key for p in wall.layup.plies if p.values.woven}
    metal = {p.key for p in wall.layup.plies if p.values.isotropic}
    strips = []
    for r in got.carried.runs:
        hatch: str | float = float(r.angle)
        if r.material in woven or r.material in metal:
            hatch = "woven" if r.material in woven else "dots"
        label = f"{r.numbers.replace(' to ', '–')}: {r.angle:g}°"
        strips.append(Strip(hatch, label, r.outer - r.inner, (r.stress * unit).tolist(),
                            r.damage, r.fibre))  # fmt: skip
    places = [_PLACES.get(p, p) for p in got.carried.places]
    said = "; ".join(
        f"plies {r.numbers} at {r.angle:g} degrees first damage {_times(r.damage)}"
        for r in got.carried.runs[:20]
    )
    says = f"Stress through the wall for {got.name}: {said} times this load."
    return picture(through_picture(strips, places, unit_label("stress", system),
                                   width=float(max(320, min(width, 1000))), says=says))  # fmt: skip


def _times(value: float) -> str:
    if math.isnan(value):
        return "not known"
    return f"{value:.3g}" if value < 1e5 else "not driven"


def load_table_html(got: LoadFound, choice: LayupChoice, system: str) -> str:
    """Every run of plies with its worst stress and reserves."""
    unit = unit_label("stress", system)
    names = ply_names(choice.plies)
    rows = []
    first = got.carried.damaged
    for row, r in zip(got.carried.table.to_dict("records"), got.carried.runs, strict=True):
        stress = [f"{in_unit(float(row[c]) * 1e6, 'stress', system):.3g}"
                  for c in ("sigma1_MPa", "sigma2_MPa", "tau12_MPa")]  # fmt: skip
        rows.append([r.numbers, names.get(r.material, r.material), f"{r.angle:g}°", *stress,
                     _times(r.damage), r.damage_mode, r.damage_place, _times(r.fibre)])  # fmt: skip
    heads = [("plies", False), ("ply", False), ("angle", True), (f"along, {unit}", True),
             (f"across, {unit}", True), (f"shear, {unit}", True), ("first damage, times", True),
             ("how", False), ("where", False), ("fibres, times", True)]  # fmt: skip
    loud = frozenset({got.carried.runs.index(first)})
    return rows_html(heads, rows, loud=loud)


# ---- from fibre and resin -----------------------------------------------------------------------
def _range(low: float, value: float, high: float) -> str:
    """Band as a small bar: where value lies between its ends, from nil to the highest."""
    top = max(abs(low), abs(high), abs(value), 1e-30) * 1.05
    if min(low, value) < 0:
        return ""
    a, b, c = (100 * v / top for v in (low, high, value))
    return (f'<span class="tc-span" aria-hidden="true"><i style="left:{a:.1f}%;'
            f'width:{max(b - a, 0.8):.1f}%"></i><b style="left:{c:.1f}%"></b></span>')  # fmt: skip


def made_html(made: MadePly, system: str) -> str:
    """Ply of constituents: content, thickness, every constant with its band."""
    pairs = [
        ("fibre of the volume", f"{100 * made.fibre_volume:.1f}", "%"),
        ("fibre of the weight", f"{100 * made.fibre_weight:.1f}", "%"),
        _pair("cured thickness", made.thickness, "length", system),
        _pair("fibre per area", made.areal_weight, "areal_weight", system),
    ]
    body = ""
    for row in made.band.to_dict("records"):
        low, value, high = (float(row[k]) for k in ("low", "value", "high"))
        methods = ", ".join(
            f"{m} {_three(float(row[m]))}" for m in ("mixture", "halpin-tsai", "chamis")
            if m in row and not math.isnan(float(row[m]))
        )  # fmt: skip
        body += (
            f"<tr><td>{escape(_LONG.get(str(row['property']), str(row['property'])))}</td>"
            f'<td class="n"><b>{_three(value)}</b> {escape(_unit(str(row["unit"])))}</td>'
            f'<td class="n">{_three(low)} to {_three(high)}</td><td>{_range(low, value, high)}</td>'
            f'<td class="wide">{escape(methods)}</td><td>{escape(str(row["grade"]))}</td></tr>'
        )
    return (
        pairs_html(pairs) + '<div class="tc-wide" role="group" tabindex="0">'
        '<table class="tc-short tc-plain"><thead><tr>'
        '<th>constant</th><th class="n">value</th><th class="n">band</th>'
        '<th><span class="tc-sr">band, as a bar</span></th><th class="wide">by method</th>'
        f"<th>grade</th></tr></thead><tbody>{body}</tbody></table></div>"
        + list_html([_upper(c) for c in made.cautions], "tc-cautions")
    )


def _three(value: float) -> str:
    """Three digits, never as a power of ten."""
    text = f"{value:.3g}"
    return f"{float(text):.0f}" if "e" in text and abs(value) >= 1 else text


_UNITS = {"-": "", "1e-6/K": "µm/m/K", "g/cm3": "g/cm³", "N m2": "N m²"}


def _unit(text: str) -> str:
    return _UNITS.get(text, text)


def _upper(text: str) -> str:
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


# ---- burn-off -----------------------------------------------------------------------------------
def burn_html(got: BurnFound) -> str:
    """Content with its uncertainty, the stack seen, and what it makes."""
    rows = []
    for row in got.burnt.table.to_dict("records"):
        u = float(row["uncertainty"])
        digits = _digits(2 * u, float(row["value"]))
        rows.append([str(row["quantity"]), f"{float(row['value']):.{digits}f} {_unit(row['unit'])}",
                     f"± {2 * u:.{digits}f}" if u > 0 else "",
                     str(row["greatest_cause"]).replace("_", " ")])  # fmt: skip
    heads = [("what", False), ("value", True), ("twice its uncertainty", True),
             ("most of it from", False)]  # fmt: skip
    out = rows_html(heads, rows)
    cautions: Sequence[str] = got.burnt.cautions
    if got.stack is not None:
        out += _stack_html(got.stack)
        cautions = got.stack.cautions
    return out + list_html([_upper(c) for c in dict.fromkeys(cautions)], "tc-cautions")


def _digits(u: float, value: float) -> int:
    """Decimals that show two digits of an uncertainty, at most six."""
    size = u if u > 0 else abs(value) * 1e-3
    return max(0, min(6, 1 - math.floor(math.log10(size)))) if size > 0 else 3


def _stack_html(stack: Any) -> str:
    out = f"<h2>The stack seen, {escape(stack.layup.notation)}</h2>"
    if len(stack.checks):
        rows = [[_words(str(r.get("check", r.get("name", "")))), str(r.get("verdict", "")),
                 str(r.get("why", ""))] for r in stack.agreement.to_dict("records")]  # fmt: skip
        out += rows_html([("check", False), ("verdict", False), ("why", False)], rows)
    rows = [
        [_FIGURES.get(str(r["figure"]), str(r["figure"])),
         f"{float(r['value']):.4g} {_unit(r['unit'])}",
         f"{float(r['low']):.3g} to {float(r['high']):.3g}"]
        for r in stack.band.to_dict("records")
    ]  # fmt: skip
    return out + rows_html([("figure", False), ("value", True), ("band", True)], rows)


def _words(text: str) -> str:
    return text.replace("_", " ")


__all__ = [
    "abd_html", "burn_html", "figures_html", "letters_html", "letters_words", "load_html",
    "load_table_html", "load_words", "made_html", "notes_html", "polar_html", "rows_html",
    "through_html", "wall_html",
]  # fmt: skip
