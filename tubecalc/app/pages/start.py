"""The start page: what there is."""

from __future__ import annotations

import os
from html import escape

import ipywidgets as widgets

from tubecalc.app.bits import framed
from tubecalc.app.carrier import Carrier
from tubecalc.app.text import foot_html, head_html, style_html

PAGES = (
    ("choose", "Will a tube do, and which?",
     "State the need in a sentence; see what passes, what is lightest, what governs and why."),
    ("compare", "How does it compare with steel and aluminium?",
     "Two to six tubes side by side, as they are and weight for weight: what they carry, how they "
     "fail, what would replace one of them."),
    ("layup", "What if no tube fits, or what is this one made of?",
     "A wall of one's own, ply by ply: stiffness, what each ply carries, burn-off of a sample, the "
     "lightest stack for the job, cutting lists for the workshop."),
    ("join", "Will it slide, will it hold?",
     "The ends of a tube: sliding and press fits, telescoping poles, bonded inserts, bolts and "
     "clamps, which metal may touch it, heat, and notes for the workshop."),
    ("bench", "We broke some: what do they say?",
     "Files of test machines read and reduced, the marks on every curve, statistics, measured over "
     "promised, weight for weight."),
    ("evidence", "Can I believe this?",
     "Every check value with its source, the computed value and the distance between them."),
)  # fmt: skip


def start_html() -> str:
    """Text of the start page.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> 'href="choose.ipynb"' in start_html()
    True
    """
    live = "".join(
        f'<div><dt><a href="{key}.ipynb">{escape(title)}</a> <small>{key}</small></dt>'
        f"<dd>{escape(text)}</dd></div>"
        for key, title, text in PAGES
    )
    return (
        '<div class="tc-list"><h1>Which tube?</h1><p>Composite, stainless or aluminium tubes '
        f"checked against a stated need.</p><dl>{live}</dl></div>"
    )


def build(query: str = "") -> widgets.Widget:
    """Make the start page.

    Parameters
    ----------
    query : str
        Query string the page was opened with.

    Returns
    -------
    ipywidgets.Widget
        The page.
    """
    carrier = Carrier("start", query)
    top = widgets.HTML(style_html() + head_html("start"))
    pages, foot = widgets.HTML(start_html()), widgets.HTML(foot_html())
    return framed([top], [carrier.bar, pages, carrier.door], [foot, carrier.keeper.hidden])


def main() -> widgets.Widget:
    """Show the page; the notebook's one call.

    Returns
    -------
    ipywidgets.Widget
        The page.
    """
    return build(os.environ.get("QUERY_STRING", ""))
