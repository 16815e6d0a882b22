"""Scenes on paper: drawn by matplotlib as PNG, SVG or PDF, the same bytes for the same words.

Text is never markup: what a person typed is drawn letter by letter. An SVG keeps its text as text,
which can be searched and copied; a viewer without the typeface takes one that is no wider.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from html import escape
from typing import Any

from tubecalc.errors import InputError, unknown_key
from tubecalc.share.letters import (
    FAMILIES,
    FONT,
    MORE,
    UNKNOWN,
    folded,
    font_file,
    lettered,
    width_of,
)
from tubecalc.share.palette import Style, colour
from tubecalc.share.scene import Dots, Lines, Scene, Words

KINDS = ("png", "svg", "pdf")
WIDTHS, DPIS = (40.0, 600.0), (72.0, 1200.0)  # [mm], [1/in]
MOST_PIXELS = 120_000_000
Placed = tuple[Scene, float, float]


@dataclass(frozen=True)
class Leaf:
    """One side of paper: pictures and where they go, measured in pixels, y downwards.

    Parameters
    ----------
    width, height : float
        Size [px].
    places : tuple of (Scene, x, y)
        Pictures and their upper left corners [px], from back to front.
    styles : tuple of Style
        Styles in use.
    """

    width: float
    height: float
    places: tuple[Placed, ...]
    styles: tuple[Style, ...] = ()


@dataclass(frozen=True)
class About:
    """What a file says of itself.

    Parameters
    ----------
    title : str
        Title.
    says : str
        The picture in words.
    date : str
        ISO date; "" to leave it out.
    """

    title: str
    says: str = ""
    date: str = ""


# ---- drawing --------------------------------------------------------------------------------
def _white(role: str, styles: Sequence[Style]) -> str:
    """Colour of a role; paper is white where the screen has its own shade."""
    return "#FFFFFF" if role == "paper" else colour(role, styles)


def _draw(ax: Any, scene: Scene, x: float, y: float, styles: Sequence[Style], unit: float) -> None:
    """Draw a scene with its upper left corner at x, y; unit is points of paper per pixel."""
    for shape in scene.shapes:
        tone = _white(shape.colour, styles)
        if isinstance(shape, Lines):
            _draw_lines(ax, shape, x, y, tone, unit, styles)
        elif isinstance(shape, Words):
            _draw_words(ax, shape, x, y, tone, unit)
        elif len(shape.x):
            _draw_dots(ax, shape, x, y, tone, unit)


def _draw_dots(ax: Any, s: Dots, x: float, y: float, tone: str, unit: float) -> None:
    pen = 1.1 if s.hollow else 0.0
    ax.scatter(s.x + x, s.y + y, s=((s.size - pen) * unit) ** 2, zorder=2, alpha=s.opacity,
               facecolor="#FFFFFF" if s.hollow else tone, edgecolor=tone,
               linewidth=pen * unit)  # fmt: skip


def _draw_lines(
    ax: Any, s: Lines, x: float, y: float, tone: str, unit: float, styles: Sequence[Style]
) -> None:
    from matplotlib.collections import LineCollection
    from matplotlib.colors import to_rgba
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    if s.dot:
        spots = [(path[0][0] + x, path[0][1] + y) for path in s.paths]
        if spots:
            size = (s.width * unit) ** 2
            ax.scatter(*zip(*spots, strict=True), s=size, color=tone, linewidth=0, zorder=2)
        return
    paths = [[(px + x, py + y) for px, py in path] for path in s.paths if len(path) > 1]
    dash: Any = "solid"
    if s.dash and s.width:
        dash = (0, tuple(float(v) / s.width for v in s.dash.split()))
    pen = "none" if s.colour == "transparent" or not s.width else tone
    if not s.closed:
        ax.add_collection(
            LineCollection(paths, colors=pen, linewidths=s.width * unit, linestyles=dash, zorder=2)
        )
        return
    fill: Any = "none"
    if s.fill != "none":
        fill = to_rgba(_white(s.fill, styles), s.fill_opacity)
    if paths:
        outline = Path.make_compound_path(*(Path([*p, p[0]], closed=True) for p in paths))
        ax.add_patch(PathPatch(outline, facecolor=fill, edgecolor=pen, linestyle=dash,
                               linewidth=s.width * unit, joinstyle="round", zorder=2))  # fmt: skip


def _draw_words(ax: Any, s: Words, x: float, y: float, tone: str, unit: float) -> None:
    from matplotlib.font_manager import FontProperties
    from matplotlib.patches import Rectangle

    text = lettered(s.text, bold=s.bold).strip(" ")
    if not text:
        return
    anchor = {"start": "left", "middle": "center", "end": "right"}[s.anchor]
    if s.halo and not s.rotate:
        wide = width_of(text, s.size, bold=s.bold) + 2
        left = s.x - 1 - {"left": 0.0, "center": 0.5, "right": 1.0}[anchor] * (wide - 2)
        ax.add_patch(Rectangle((left + x, s.y + y - 0.8 * s.size), wide, 1.05 * s.size,
                               facecolor="#FFFFFF", alpha=0.85, linewidth=0, zorder=2))  # fmt: skip
    face = FontProperties(
        family=list(FAMILIES), weight="bold" if s.bold else "normal", size=s.size * unit,
        fname=font_file(s.bold),
    )  # fmt: skip
    ax.text(s.x + x, s.y + y, text, fontproperties=face, color=tone, ha=anchor, va="baseline",
            rotation=-s.rotate, rotation_mode="anchor", parse_math=False, zorder=2)  # fmt: skip


def _figure(leaf: Leaf, inches: tuple[float, float]) -> Any:
    from matplotlib.figure import Figure

    figure = Figure(figsize=inches)
    ax = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    ax.set_xlim(0, leaf.width)
    ax.set_ylim(leaf.height, 0)
    ax.axis("off")
    unit = 72 * inches[0] / leaf.width
    for scene, x, y in leaf.places:
        _draw(ax, scene, x, y, leaf.styles, unit)
    return figure


@contextmanager
def _plain() -> Iterator[None]:
    """Settings of matplotlib for the time of one file, whatever its user has set."""
    import matplotlib

    settings: Any = {
        "svg.hashsalt": "tubecalc", "svg.fonttype": "none", "pdf.fonttype": 42,
        "font.sans-serif": [FONT],
    }  # fmt: skip
    with matplotlib.rc_context():
        matplotlib.rcdefaults()
        matplotlib.rcParams.update(settings)
        yield


# ---- files ----------------------------------------------------------------------------------
def measures(width_mm: float, dpi: float) -> tuple[float, float]:
    """Width and resolution as numbers, refused where nobody can want them.

    Parameters
    ----------
    width_mm : float
        Width on paper [mm].
    dpi : float
        Pixels per inch of a PNG [1/in].

    Returns
    -------
    tuple of float

    Raises
    ------
    InputError
        If one is no number or outside `WIDTHS` or `DPIS`.

    Examples
    --------
    >>> measures(170, 300)
    (170.0, 300.0)
    """
    out = []
    for name, value, unit, (low, high) in (
        ("width", width_mm, "mm", WIDTHS), ("dpi", dpi, "pixels per inch", DPIS),
    ):  # fmt: skip
        try:
            number = math.nan if isinstance(value, bool | str) else float(value)
        except (TypeError, ValueError, OverflowError):
            number = math.nan
        if not low <= number <= high:
            raise InputError(
                "is too little, too much or no number", where=f"chart:{name}",
                got=str(value)[:40], expected=f"{low:g} to {high:g} {unit}",
            )  # fmt: skip
        out.append(number)
    return out[0], out[1]


def picture(leaf: Leaf, kind: str, about: About, width_mm: float, dpi: float = 300.0) -> bytes:
    """Print one leaf.

    Parameters
    ----------
    leaf : Leaf
        What to draw.
    kind : str
        "png", "svg" or "pdf".
    about : About
        Title, words and date of the file.
    width_mm : float
        Width on paper [mm].
    dpi : float
        Pixels per inch of a PNG; its width is the nearest whole number of them [1/in].

    Returns
    -------
    bytes
        The file; a PDF has its typeface embedded, an SVG names it.

    Raises
    ------
    InputError
        For another kind, or a picture of too many pixels.

    Examples
    --------
    >>> leaf = Leaf(100, 50, ((Scene(100, 50, (Words(10, 20, "<b>"),)), 0, 0),))
    >>> b"&lt;b&gt;</text>" in picture(leaf, "svg", About("a"), 80.0)
    True
    """
    if kind not in KINDS:
        raise unknown_key("kind of picture", kind, KINDS)
    across = round(width_mm / 25.4 * dpi)
    down = math.ceil(across * leaf.height / leaf.width)
    inches = (width_mm / 25.4, width_mm / 25.4 * leaf.height / leaf.width)
    if kind == "png":
        inches = ((across + 1e-3) / dpi, (down + 1e-3) / dpi)
        if across * down > MOST_PIXELS:
            raise InputError(
                "the picture has too many pixels", where="chart:dpi", got=f"{across} x {down}",
                expected=f"at most {MOST_PIXELS // 10**6} million: a smaller width or fewer dpi",
            )  # fmt: skip
    out = io.BytesIO()
    with _plain():
        _figure(leaf, inches).savefig(
            out, format=kind, dpi=dpi, facecolor="white", metadata=_metadata(kind, about)
        )
    return _svg(out.getvalue(), about) if kind == "svg" else out.getvalue()


def _svg(content: bytes, about: About) -> bytes:
    """SVG that names nothing outside itself and says what it shows."""
    text = content.decode("utf-8")
    text = re.sub(r"<!DOCTYPE[^>]*>\s*", "", text, count=1)
    label = escape(lettered(about.says or about.title), quote=True)
    return text.replace("<svg ", f'<svg role="img" aria-label="{label}" ', 1).encode("utf-8")


def booklet(leaves: Sequence[Leaf], about: About, width_mm: float) -> bytes:
    """Print leaves as the pages of a PDF.

    Parameters
    ----------
    leaves : sequence of Leaf
        The pages.
    about : About
        Title and date of the file.
    width_mm : float
        Width on paper [mm].

    Returns
    -------
    bytes
        The file, its typeface embedded.

    Examples
    --------
    >>> booklet([Leaf(100, 141, ())], About("a", date="2026-11-25"), 210.0)[:5]
    b'%PDF-'
    """
    from matplotlib.backends.backend_pdf import PdfPages

    out = io.BytesIO()
    with _plain(), PdfPages(out, metadata=_metadata("pdf", about)) as pages:
        for leaf in leaves:
            inches = (width_mm / 25.4, width_mm / 25.4 * leaf.height / leaf.width)
            pages.savefig(_figure(leaf, inches), facecolor="white")
    return out.getvalue()


def _metadata(kind: str, about: About) -> dict[str, Any]:
    """What the file says of itself; nothing of the clock or of the machine."""
    from tubecalc import __version__

    title, says, program = lettered(about.title), lettered(about.says), f"tubecalc {__version__}"
    found: dict[str, Any] = {"Title": title, "Description": says}
    if kind == "png":
        found |= {"Software": program, "Creation Time": about.date}
        return {k: v for k, v in found.items() if v}
    if kind == "svg":
        return {**found, "Creator": program, "Date": about.date or None}
    made = datetime.fromisoformat(about.date).replace(tzinfo=UTC) if about.date else None
    return {"Title": title, "Subject": says or None, "Creator": program, "Producer": program,
            "CreationDate": made}  # fmt: skip


__all__ = [
    "DPIS", "FONT", "KINDS", "MORE", "UNKNOWN", "WIDTHS", "About", "Leaf", "Placed", "booklet",
    "folded", "lettered", "measures", "picture", "width_of",
]  # fmt: skip
