"""Parts of a customer page as HTML."""

from __future__ import annotations

import math
from dataclasses import replace

from tubecalc.checks.service import length_of
from tubecalc.share.bars import number, reserve_bars
from tubecalc.share.hatch import strokes
from tubecalc.share.job_chart import NARROW, WIDE, Around, chart_scene, styles_of
from tubecalc.share.need_words import need_words
from tubecalc.share.page_reasons import reserves
from tubecalc.share.page_text import (
    SYSTEMS,
    Said,
    clean,
    esc,
    foreign,
    items,
    leaf,
    paragraphs,
    switched,
)
from tubecalc.share.page_verdict import Told, chart_message, governing, headline, lead, least, mark
from tubecalc.share.palette import Style
from tubecalc.share.scene import Lines, Scene, Words, svg
from tubecalc.share.wall_picture import swatch, wall_picture
from tubecalc.share.walls_row import bands
from tubecalc.unit_display import show

_BAND = 1076.0
_BARS_ROOM = 480.0


def style_of(told: Told, n: int) -> Style:
    """Style of the construction of one tube.

    Parameters
    ----------
    told : Told
        The job.
    n : int
        Which tube.

    Returns
    -------
    Style
    """
    return styles_of(told.judged)[told.judged.tubes[n].construction.key]


def swatch_of(style: Style) -> str:
    """Hatched sample of a construction.

    Parameters
    ----------
    style : Style
        Its style.

    Returns
    -------
    str
        One <svg> in a span.
    """
    picture = svg(swatch(style.hatch, f"line:{style.slug}"), hidden=True)
    return f'<span class="swatch">{picture}</span>'


def band(told: Told) -> str:
    """Strip over the page in the hatch of the tube it tells of.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    str
        HTML.
    """
    st = style_of(told, told.shown)
    marks = strokes(st.hatch, _BAND, 14.0, 5.0)
    dots = st.hatch == "dots"
    line = Lines(marks, f"line:{st.slug}", 1.9 if dots else 1.1, dot=dots)
    return f'<div class="band">{svg(Scene(_BAND, 14.0, (line,)), hidden=True)}</div>'


def top(told: Told, date: str) -> str:
    """Line over the headline: title, customer, reference, date.

    Parameters
    ----------
    told : Told
        The job.
    date : str
        ISO date.

    Returns
    -------
    str
        HTML.
    """
    text = told.job.text
    parts = [f"<b>{foreign(told.judged.need.title.strip() or 'Which tube?')}</b>"]
    for word, value in (("for", text.customer), ("reference", text.reference)):
        if value.strip():
            parts.append(f"<span>{word} {foreign(value.strip())}</span>")
    parts.append(f'<span class="date"><time datetime="{date}">{date}</time></span>')
    return f'<div class="top">{"".join(parts)}</div>'


def answer(told: Told) -> str:
    """Verdict, reason, somebody's introduction, the figures that count.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    str
        HTML.
    """
    own = told.job.units
    word, good = mark(told)
    css = "mark" if good else "mark no"
    out = f'<p class="{css}">{word}</p>' + leaf("h1", lambda s: headline(told, s), own)
    if lead(told, own):
        out += leaf("p", lambda s: lead(told, s), own, ' class="lead"')
    if told.job.text.introduction.strip():
        out += f'<div class="words">{paragraphs(told.job.text.introduction)}</div>'
    return out + _facts(told)


def _facts(told: Told) -> str:
    n, own, j = told.shown, told.job.units, told.judged
    pairs: list[tuple[str, Said]] = [
        ("outside × bore", lambda s: told.size(n, s)),
        ("mass per length", lambda s: told.mass(n, s)),
    ]
    length = length_of(j.need) if j.need.cases else math.nan
    if math.isfinite(length) and length > 0:
        whole = float(j.mass[n]) * length
        pairs.append(("mass of the tube", lambda s: show(whole, "mass", s)))
    if j.need.cases:
        row = governing(told.verdict(n))
        name = f"least reserve: {row['label']}" if row else "least reserve"
        pairs.append((name, lambda s: number(least(told.verdict(n)))))
    if len(pairs) < 4:
        stiff = float(j.candidates.sections.EI[n])
        pairs.append(("bending stiffness", lambda s: show(stiff, "bending_stiffness", s)))
    body = "".join(f"<div><dt>{esc(k)}</dt>{leaf('dd', v, own)}</div>" for k, v in pairs)
    return f'<dl class="facts">{body}</dl>'


def section(title: str, body: str, css: str = "") -> str:
    """Section of the page under its own heading.

    Parameters
    ----------
    title : str
        Heading, plain text.
    body : str
        HTML.
    css : str
        Class.

    Returns
    -------
    str
        HTML, "" without a body.

    Examples
    --------
    >>> section("A < B", "<p>c</p>")
    '<section><h2>A &lt; B</h2><p>c</p></section>'
    """
    if not body:
        return ""
    at = f' class="{css}"' if css else ""
    return f"<section{at}><h2>{esc(title)}</h2>{body}</section>"


def need(told: Told) -> str:
    """Need in words.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    str
        HTML.
    """
    if not told.judged.need.cases:
        return ""
    own = told.job.units
    words = items(lambda s: need_words(told.judged.need, s), own, "plain asked")
    return section("What is asked", words, "keep")


def chart(told: Told, sizes: tuple[Around, ...]) -> tuple[str, str]:
    """Main chart, once broad and once for a narrow screen.

    Parameters
    ----------
    told : Told
        The job.
    sizes : tuple of Around
        Sizes around the tubes.

    Returns
    -------
    tuple of str
        HTML and its templates.
    """

    def draw(system: str) -> str:
        out = ""
        for css, width in (("broad", WIDE), ("slim", NARROW)):
            picture = svg(_said(chart_scene(told.judged, sizes, system, width)), css)
            out += picture.replace("tc-dots-", f"d-{css}-{system}-")
        return out

    own = told.job.units
    body = f'<div data-picture="chart">{draw(own)}</div>'
    spare = "".join(f'<template id="chart-{s}">{draw(s)}</template>' for s in SYSTEMS if s != own)
    caption = (
        "The numbers are the tubes of this page, with a dashed ring where one does not pass. Dots "
        "are the sizes around them: filled where they pass, hollow where they fail. A line runs "
        "through the lightest of each construction that passes; metals are dashed."
        if sizes
        else "The numbers are the tubes of this page."
    )
    figure = f'<figure class="chart">{body}<figcaption>{caption}</figcaption></figure>'
    return section(chart_message(told), figure, "keep"), spare


def _said(scene: Scene) -> Scene:
    """Scene whose words hold nothing that HTML forbids."""
    shapes = tuple(
        replace(x, text=clean(x.text)) if isinstance(x, Words) else x for x in scene.shapes
    )
    return replace(scene, shapes=shapes, says=clean(scene.says))


def bars(told: Told) -> str:
    """Reserve bars of the tube the page tells of.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    str
        HTML, "" where nothing is judged.
    """
    if not told.judged.need.cases or not (found := reserves(told)):
        return ""
    st = style_of(told, told.shown)
    says = "Reserve by way to fail: " + "; ".join(
        f"{r.label} {number(r.value)}{' (governs)' if r.governing else ''}" for r in found
    )
    picture = svg(reserve_bars(found, hatch=st.hatch, colour=f"line:{st.slug}",
                               width=_BARS_ROOM, says=f"{says}."))  # fmt: skip
    slim = svg(reserve_bars(found, hatch=st.hatch, colour=f"line:{st.slug}", says=f"{says}."),
               "slim")  # fmt: skip
    picture = picture.replace('class=""', 'class="broad"', 1)
    caption = (
        "Reserve: what the tube bears over what is asked, factors included; at 1 it just passes. "
        "The solid bar governs."
    )
    if any(r.advisory for r in found):
        caption += " Dashed bars are advice and decide nothing."
    title = "Reserve, by way to fail"
    body = f"<figure>{picture}{slim}<figcaption>{caption}</figcaption></figure>"
    return section(title, body, "keep")


def wall(told: Told) -> str:
    """Wall to scale.

    Parameters
    ----------
    told : Told
        The job.

    Returns
    -------
    str
        HTML.
    """
    n = told.shown
    tube = told.judged.tubes[n]
    runs = bands(tube, f"line:{style_of(told, n).slug}")
    outer, bore = (2 * float(r[0]) for r in (tube.sections.ro, tube.sections.ri))
    named = [f"{b.label} × {b.plies}" if b.plies > 1 else b.label for b in runs]
    words = ", ".join(named)
    if len(named) > 7:
        words = f"{len(named)} runs of plies, {named[0]} at the bore and {named[-1]} outside"

    def draw(system: str) -> str:
        texts = (show(bore, "length", system), show(outer, "length", system))
        says = f"Wall to scale, every ply hatched along its fibres; from the bore: {words}."
        return svg(_said(wall_picture(runs, outer, bore, texts=texts, says=says)))

    body = switched({s: draw(s) for s in SYSTEMS}, told.job.units)
    caption = leaf(
        "figcaption",
        lambda s: (
            f"{told.label(n)}: {show(float(tube.sections.t[0]), 'length', s)} of wall, from "
            f"the bore outwards {words}."
        ),
        told.job.units,
    )
    return section("The wall, to scale", f"<figure>{body}{caption}</figure>", "keep")


__all__ = [
    "answer", "band", "bars", "chart", "need", "section", "style_of", "swatch_of", "top", "wall",
]  # fmt: skip
