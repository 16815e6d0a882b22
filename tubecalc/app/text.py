"""Words and tables of the pages as HTML. Pure functions; every foreign text is escaped here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from html import escape

from tubecalc.share import palette
from tubecalc.share.palette import Style
from tubecalc.share.scene import svg
from tubecalc.share.wall_picture import swatch
from tubecalc.verdict import STANDING_CAUTION

PAGES = ("choose", "compare", "layup", "bench", "join", "evidence")


def style_html(styles: Iterable[Style] = ()) -> str:
    """Colours of the page as a style element.

    Parameters
    ----------
    styles : iterable of Style
        Constructions in use.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> style_html([])[:7]
    '<style>'
    """
    return f"<style>{palette.css(styles)}</style>"


def head_html(
    here: str, note: str = "", query: str = "", *, long: bool = False, left: int = 0
) -> str:
    """Head of a page: name, pages, a note at the right.

    Parameters
    ----------
    here : str
        Page shown.
    note : str
        For example the job and the units.
    query : str
        Query string that opens the same choice again, "" for no link.
    long : bool
        Some mail programs would break the link.
    left : int
        Bench tests of the job that the link leaves out.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> "<script>" in head_html("choose", "<script>")
    False
    """
    links = "".join(
        f'<span class="here" aria-current="page">{p}</span>'
        if p == here
        else f'<a href="{p}.ipynb">{p}</a>'
        for p in PAGES
    )
    name = "<b>tubecalc</b>"
    if here != "start":
        name = f'<a href="start.ipynb" style="color:inherit">{name}</a>'
    link = f' · <a href="{here}.ipynb?{escape(query)}">link to this</a>' if query else ""
    if query and long:
        link += " (too long for some mail programs: send the job file)"
    elif query and left:
        link += f" (without the job's bench tests, {left} of them: send the job file)"
    return f'<nav class="tc-head">{name}{links}<small>{escape(note)}{link}</small></nav>'


def foot_html(extra: str = "") -> str:
    """Standing caution at the foot of every page.

    Parameters
    ----------
    extra : str
        One more line, plain text.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> "licensed engineer" in foot_html()
    True
    """
    more = f'<p class="src">{escape(extra)}</p>' if extra else ""
    return (
        '<footer class="tc-foot"><p>These figures help to choose; they approve nothing. '
        f"{escape(STANDING_CAUTION)}</p>{more}</footer>"
    )


@cache
def swatch_html(style: Style) -> str:
    """Hatched sample of a construction.

    Parameters
    ----------
    style : Style
        Its style.

    Returns
    -------
    str
        One <svg>.
    """
    return svg(swatch(style.hatch, f"line:{style.slug}"), hidden=True)


@dataclass(frozen=True)
class Column:
    """A column of the shortlist.

    Parameters
    ----------
    key : str
        Column of the table it sorts by.
    head : str
        Heading with unit.
    number : bool
        Right-aligned.
    wide : bool
        Left out on a phone.
    sorts : bool
        The table can be sorted by it.
    """

    key: str
    head: str
    number: bool = True
    wide: bool = False
    sorts: bool = True


@dataclass(frozen=True)
class Row:
    """A row of the shortlist: key, style, texts in column order, share of the bar, pass or fail."""

    key: str
    style: Style
    texts: tuple[str, ...]
    bar: float
    passes: bool


def table_html(
    columns: Sequence[Column], rows: Sequence[Row], selected: str, sort: tuple[str, bool]
) -> str:
    """Sortable shortlist.

    Parameters
    ----------
    columns : sequence of Column
        The first is the name; the bar stands after the third.
    rows : sequence of Row
        In the order shown.
    selected : str
        Key of the selected row.
    sort : tuple of str and bool
        Column sorted by, and whether it falls.

    Returns
    -------
    str
        HTML table whose rows carry their key for the page's script.
    """
    head = "".join(_heading(c, sort) for c in columns)
    body = "".join(_row(columns, r, r.key == selected) for r in rows)
    return (
        '<table class="tc-short" role="grid" aria-label="Shortlist. Arrow keys choose a tube.">'
        f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
    )


def _classes(c: Column) -> str:
    return " ".join(n for n, on in (("n", c.number), ("wide", c.wide)) if on)


def _heading(c: Column, sort: tuple[str, bool]) -> str:
    mine = sort[0] == c.key
    order = ("descending" if sort[1] else "ascending") if mine else "none"
    mark = (" ▾" if sort[1] else " ▴") if mine else ""
    if not c.key:
        return f'<th class="{_classes(c)}" scope="col"><span class="tc-sr">{c.head}</span></th>'
    if not c.sorts:
        return f'<th class="{_classes(c)}" scope="col">{escape(c.head)}</th>'
    return (
        f'<th class="{_classes(c)}" scope="col" aria-sort="{order}">'
        f'<button type="button" data-sort="{escape(c.key)}">{escape(c.head)}{mark}</button></th>'
    )


def _row(columns: Sequence[Column], r: Row, selected: bool) -> str:
    cells = []
    for i, (c, text) in enumerate(zip(columns, r.texts, strict=True)):
        inner = escape(text)
        if i == 0:
            inner = f'<span class="tc-name">{swatch_html(r.style)}<span>{inner}</span></span>'
        if not c.key:
            inner = f'<i class="bar" style="width:{max(2, round(64 * r.bar))}px"></i>'
        cells.append(f'<td class="{_classes(c)}">{inner}</td>')
    fails = "" if r.passes else ' class="fails"'
    return (
        f'<tr data-pick="{escape(r.key)}" tabindex="{0 if selected else -1}" '
        f'aria-selected="{str(selected).lower()}"{fails}>{"".join(cells)}</tr>'
    )


def verdict_html(passes: bool, text: str, stale: str = "") -> str:
    """Verdict in one sentence or two.

    Parameters
    ----------
    passes : bool
        Whether the tube passes.
    text : str
        Sentences after the word "Passes" or "Fails", plain text.
    stale : str
        Said when the result belongs to an earlier entry.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> "Fails." in verdict_html(False, "sag")
    True
    """
    word = "Passes." if passes else "Fails."
    css = "tc-verdict" if passes else "tc-verdict fail"
    note = f'<div class="tc-stale-note">{escape(stale)}</div>' if stale else ""
    return f'{note}<div class="{css}"><b class="word">{word}</b> {escape(text)}</div>'


def list_html(items: Sequence[str], css: str) -> str:
    """List of plain texts.

    Parameters
    ----------
    items : sequence of str
        The texts.
    css : str
        Class of the list.

    Returns
    -------
    str
        HTML, "" for no items.

    Examples
    --------
    >>> list_html(["a < b"], "c")
    '<ul class="c"><li>a &lt; b</li></ul>'
    """
    if not items:
        return ""
    return f'<ul class="{css}">{"".join(f"<li>{escape(i)}</li>" for i in items)}</ul>'


def pairs_html(pairs: Sequence[tuple[str, str, str]]) -> str:
    """Names with value and unit.

    Parameters
    ----------
    pairs : sequence of (name, value, unit)
        Plain texts.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> pairs_html([("a", "1", "mm")])
    '<dl class="tc-specific"><dt>a</dt><dd>1</dd><dd class="u">mm</dd></dl>'
    """
    body = "".join(
        f'<dt>{escape(a)}</dt><dd>{escape(b)}</dd><dd class="u">{escape(c)}</dd>'
        for a, b, c in pairs
    )
    return f'<dl class="tc-specific">{body}</dl>'


def checks_html(rows: Sequence[tuple[str, ...]]) -> str:
    """Every check of a tube as a list: reserve and grade, expected error, the sentence why.

    Parameters
    ----------
    rows : sequence of tuple of str
        Way to fail, reserve, grade, expected error, sentence; plain texts.

    Returns
    -------
    str
        HTML, "" for no rows.

    Examples
    --------
    >>> "<b>twist</b>" in checks_html([("twist", "2", "A", "1 %", "twists")])
    True
    """
    items = "".join(
        f"<li><b>{escape(label)}</b> {escape(reserve)}, grade {escape(grade)}"
        f"<span>{escape(why)}.</span><span>Expected error: {escape(error)}.</span></li>"
        for label, reserve, grade, error, why in rows
    )
    return f'<ul class="tc-checks">{items}</ul>' if items else ""


def used_html(parts: Sequence[tuple[str, str]]) -> str:
    """Line that echoes every value as used.

    Parameters
    ----------
    parts : sequence of (name, value)
        Plain texts.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> used_html([("reach", "1 200 mm")])
    'Used: reach <b>1 200 mm</b>.'
    """
    return "Used: " + ", ".join(f"{escape(n)} <b>{escape(v)}</b>" for n, v in parts) + "."


def download_html(name: str, mime: str, base64: str) -> str:
    """Link that carries a file in itself and starts by itself on the page.

    Parameters
    ----------
    name : str
        File name.
    mime : str
        Media type.
    base64 : str
        The file.

    Returns
    -------
    str
        HTML.
    """
    return (
        f'<a data-autodownload class="tc-button" download="{escape(name)}" '
        f'href="data:{mime};base64,{base64}">{escape(name)}</a>'
    )
