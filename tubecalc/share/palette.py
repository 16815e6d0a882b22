"""Colours and hatches: one style per construction or metal, the same on screen and in print.

The colours are Paul Tol's "muted" qualitative scheme, which stays distinct for the common kinds of
colour blindness (P. Tol, "Colour Schemes", technical note SRON/EPS/TN/09-002, issue 3.2, 2021).
Steels carry greys of our own. Text in a series colour is darkened (on dark paper lightened) until
it reaches the 4.5 : 1 contrast that WCAG 2.2, criterion 1.4.3, asks of text; lines reach 3 : 1
(criterion 1.4.11).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

TOL_MUTED = {
    "rose": "#CC6677",
    "indigo": "#332288",
    "sand": "#DDCC77",
    "green": "#117733",
    "cyan": "#88CCEE",
    "wine": "#882255",
    "teal": "#44AA99",
    "olive": "#999933",
    "purple": "#AA4499",
    "pale grey": "#DDDDDD",
}

LIGHT = {
    "paper": "#FCFBF8",
    "ink": "#1B2030",
    "muted": "#575E6C",
    "grid": "#DFDDD6",
    "rule": "#C9C6BD",
    "field": "#ECEAF6",
    "accent": "#332288",
    "row": "#EFEDE5",
    "warn": "#7A2312",
    "shade": "#55585F",
}
DARK = {
    "paper": "#17191E",
    "ink": "#ECE9E2",
    "muted": "#A9AEB8",
    "grid": "#30343C",
    "rule": "#464B55",
    "field": "#2A2B45",
    "accent": "#A9A2EE",
    "row": "#23262D",
    "warn": "#FFB29E",
    "shade": "#9AA0AA",
}

_COLOURS = {
    "pultruded": TOL_MUTED["indigo"],
    "roll-wrapped": TOL_MUTED["green"],
    "roll-wrapped-woven": TOL_MUTED["teal"],
    "roll-wrapped-45": TOL_MUTED["cyan"],
    "pull-wound": TOL_MUTED["wine"],
    "filament-wound": TOL_MUTED["purple"],
    "moulded": TOL_MUTED["rose"],
    "6063-T6": TOL_MUTED["olive"],
    "6061-T6": TOL_MUTED["sand"],
    "304-cold-drawn": "#70757F",
    "304-annealed": "#9A9EA6",
    "4130": "#4C525E",
    "mild-steel": "#83776B",
    "Ti-3Al-2.5V": "#6A7FA0",
}
_SPARE = tuple(TOL_MUTED[c] for c in ("rose", "wine", "cyan", "purple", "olive", "teal", "indigo"))


@dataclass(frozen=True)
class Style:
    """How one construction or metal is drawn.

    Parameters
    ----------
    key : str
        Construction or metal key.
    colour : str
        Published colour, "#RRGGBB".
    hatch : str
        axial, hoop, cross, woven, bias, helix, random or dots.
    dashed : bool
        Metals are drawn with a dashed line.
    """

    key: str
    colour: str
    hatch: str
    dashed: bool = False

    @property
    def line(self) -> str:
        """Colour of lines and points on light paper, at least 3 : 1."""
        return readable(self.colour, LIGHT["paper"], 3.0)

    @property
    def line_dark(self) -> str:
        """Colour of lines and points on dark paper, at least 3 : 1."""
        return readable(self.colour, DARK["paper"], 3.0)

    @property
    def text(self) -> str:
        """Colour of text on light paper, at least 4.5 : 1."""
        return readable(self.colour, LIGHT["paper"], 4.6)

    @property
    def text_dark(self) -> str:
        """Colour of text on dark paper, at least 4.5 : 1."""
        return readable(self.colour, DARK["paper"], 4.6)

    @property
    def slug(self) -> str:
        """Name that is safe in CSS and in element ids."""
        return "".join(c if c.isalnum() else "-" for c in self.key.lower())


def style(key: str, hatch: str, *, metal: bool = False, order: int = 0) -> Style:
    """Style of a construction or metal; unknown keys take a spare colour in turn.

    Parameters
    ----------
    key : str
        Construction or metal key.
    hatch : str
        Hatch of the swatch.
    metal : bool
        True for a metal.
    order : int
        Position among the user's own constructions [-].

    Returns
    -------
    Style
        The style.

    Examples
    --------
    >>> style("pultruded", "axial").colour
    '#332288'
    >>> style("my own", "bias").colour
    '#CC6677'
    """
    colour = _COLOURS.get(key) or _SPARE[order % len(_SPARE)]
    return Style(key, colour, hatch, metal)


def luminance(colour: str) -> float:
    """Relative luminance of a colour (WCAG 2.2 definition).

    Parameters
    ----------
    colour : str
        "#RRGGBB".

    Returns
    -------
    float
        0 for black to 1 for white [-].

    Examples
    --------
    >>> round(luminance("#FFFFFF"), 3)
    1.0
    """

    def channel(v: float) -> float:
        return v / 12.92 if v <= 0.04045 else float(((v + 0.055) / 1.055) ** 2.4)

    r, g, b = (channel(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(a: str, b: str) -> float:
    """Contrast ratio of two colours (WCAG 2.2 definition).

    Parameters
    ----------
    a, b : str
        "#RRGGBB".

    Returns
    -------
    float
        1 to 21 [-].

    Examples
    --------
    >>> round(contrast("#000000", "#FFFFFF"))
    21
    """
    low, high = sorted((luminance(a), luminance(b)))
    return (high + 0.05) / (low + 0.05)


@cache
def readable(colour: str, paper: str, ratio: float) -> str:
    """Move a colour towards black or white until it stands out from the paper.

    Parameters
    ----------
    colour, paper : str
        "#RRGGBB".
    ratio : float
        Contrast wanted [-].

    Returns
    -------
    str
        "#RRGGBB", the colour itself when it is enough.

    Examples
    --------
    >>> readable("#117733", "#FCFBF8", 4.5)
    '#117733'
    """
    goal = 0 if luminance(paper) > 0.4 else 255
    rgb = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
    for step in range(51):
        mixed = [round(c + (goal - c) * step / 50) for c in rgb]
        text = "#{:02X}{:02X}{:02X}".format(*mixed)
        if contrast(text, paper) >= ratio:
            return text
    return "#000000" if goal == 0 else "#FFFFFF"


def colour(role: str, styles: Iterable[Style] = ()) -> str:
    """Resolve a colour role on light paper, for print and export.

    Parameters
    ----------
    role : str
        A role of `LIGHT`, "line:SLUG", "text:SLUG", "none" or a colour.
    styles : iterable of Style
        The styles in use.

    Returns
    -------
    str
        "#RRGGBB" or "none".

    Examples
    --------
    >>> colour("ink")
    '#1B2030'
    """
    if role in LIGHT:
        return LIGHT[role]
    kind, _, slug = role.partition(":")
    for s in styles:
        if s.slug == slug:
            return s.line if kind == "line" else s.text
    return role


def css(styles: Iterable[Style]) -> str:
    """Write custom properties for every role and style, light and dark.

    Parameters
    ----------
    styles : iterable of Style
        The styles in use.

    Returns
    -------
    str
        A style sheet.

    Examples
    --------
    >>> "--tc-ink:#1B2030" in css([])
    True
    """
    styles = list(styles)
    light = [f"--tc-{k}:{v}" for k, v in LIGHT.items()]
    light += [f"--tc-line-{s.slug}:{s.line};--tc-text-{s.slug}:{s.text}" for s in styles]
    dark = [f"--tc-{k}:{v}" for k, v in DARK.items()]
    dark += [f"--tc-line-{s.slug}:{s.line_dark};--tc-text-{s.slug}:{s.text_dark}" for s in styles]
    return (
        f":root{{{';'.join(light)}}}"
        f"@media screen and (prefers-color-scheme:dark){{:root{{{';'.join(dark)}}}}}"
    )
