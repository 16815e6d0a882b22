"""Small pieces every page is put together from."""

from __future__ import annotations

from html import escape
from typing import Any

import ipywidgets as widgets


def html(*css: str) -> widgets.HTML:
    """Empty piece of HTML.

    Parameters
    ----------
    *css : str
        Its classes.

    Returns
    -------
    ipywidgets.HTML

    Examples
    --------
    >>> html("tc-note").value
    ''
    """
    widget = widgets.HTML()
    for name in css:
        widget.add_class(name)
    return widget


def box(parts: list[Any], *css: str) -> widgets.Box:
    """Box around widgets.

    Parameters
    ----------
    parts : list of ipywidgets.Widget
        What is in it.
    *css : str
        Its classes.

    Returns
    -------
    ipywidgets.Box

    Examples
    --------
    >>> len(box([html()], "tc-row").children)
    1
    """
    made = widgets.Box(parts)
    for name in css:
        made.add_class(name)
    return made


def framed(head: list[Any], parts: list[Any], foot: list[Any], title: str = "") -> widgets.Box:
    """A whole page: its head, its main part, what stands below.

    Parameters
    ----------
    head : list of ipywidgets.Widget
        Styles, name and pages.
    parts : list of ipywidgets.Widget
        What the page is about; the one main part a screen reader jumps to.
    foot : list of ipywidgets.Widget
        Caution at the foot, and what nobody sees.
    title : str
        First heading, heard but not seen; "" where the parts show one.

    Returns
    -------
    ipywidgets.Box

    Examples
    --------
    >>> page = framed([html()], [html()], [html()], "Choose a tube")
    >>> page.children[1].children[0].value
    '<h1 class="tc-sr">Choose a tube</h1>'
    """
    if title:
        parts = [widgets.HTML(f'<h1 class="tc-sr">{escape(title)}</h1>'), *parts]
    return box([*head, box(parts, "tc-page"), *foot], "tc")


def put(widget: widgets.HTML, value: str) -> None:
    """Show HTML unless it stands there already, so that nothing is sent twice.

    Parameters
    ----------
    widget : ipywidgets.HTML
        Where.
    value : str
        HTML.

    Examples
    --------
    >>> place = html()
    >>> put(place, "<b>1</b>")
    >>> place.value
    '<b>1</b>'
    """
    if widget.value != value:
        widget.value = value


def mark(widget: widgets.Widget, css: str, on: bool) -> None:
    """Give a class to a widget or take it away.

    Parameters
    ----------
    widget : ipywidgets.Widget
        Which.
    css : str
        The class.
    on : bool
        Whether it has it.

    Examples
    --------
    >>> place = html("a")
    >>> mark(place, "a", False)
    >>> place._dom_classes
    ()
    """
    (widget.add_class if on else widget.remove_class)(css)
