"""Page `evidence`: every published value beside the computed one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from html import escape
from math import isnan
from typing import Any

import ipywidgets as widgets

from tubecalc.app.text import foot_html, head_html, style_html
from tubecalc.app.view_chart import figures
from tubecalc.checks import CHECKS
from tubecalc.checks.registry import GRADES
from tubecalc.evidence import Row, rows, topics

_HEADS = ("quantity", "published", "computed", "apart", "may be", "verdict", "source", "seen?")


def _number(value: float | None) -> str:
    return "–" if value is None or isnan(value) else figures(value)


def _percent(value: float | None) -> str:
    return "–" if value is None or isnan(value) else f"{100 * value:.2g} %"


def _line(row: Row) -> str:
    cells = (
        row.quantity, f"{_number(row.value)} {row.unit}", _number(row.computed),
        _percent(row.error), _percent(row.rel_tol), row.verdict, row.source, row.standing,
    )  # fmt: skip
    tip = escape(f"{row.id}: {row.inputs}. {row.note}".strip())
    body = "".join(
        f'<td class="{"n" if 0 < k < 5 else ""}{" wide" if k > 5 else ""}">{escape(text)}</td>'
        for k, text in enumerate(cells)
    )
    loud = ' class="loud"' if row.verdict == "OUTSIDE" else ""
    return f'<tr title="{tip}"{loud}>{body}</tr>'


def topic_html(found: Sequence[Row]) -> str:
    """Rows of a topic as a table, with a count of the verdicts.

    Parameters
    ----------
    found : sequence of Row
        Rows of the evidence.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> topic_html([])
    '<p class="tc-note">No values.</p>'
    """
    if not found:
        return '<p class="tc-note">No values.</p>'
    counts = Counter(r.verdict for r in found)
    said = ", ".join(f"{n} {verdict}" for verdict, n in counts.most_common())
    head = "".join(
        f'<th scope="col" class="{"n" if 0 < k < 5 else ""}{" wide" if k > 5 else ""}">{h}</th>'
        for k, h in enumerate(_HEADS)
    )
    body = "".join(_line(r) for r in found)
    return (
        f'<p class="tc-note">{len(found)} values: {escape(said)}. The inputs of a value show when '
        f'the pointer rests on it.</p><table class="tc-short tc-proof"><thead><tr>{head}</tr>'
        f"</thead><tbody>{body}</tbody></table>"
    )


def grades_html() -> str:
    """Ways to fail with grade, expected error and basis.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> "column buckling" in grades_html()
    True
    """
    grades = "; ".join(f"<b>{g}</b> {escape(t)}" for g, t in GRADES.items())
    lines = "".join(
        f"<tr><td>{escape(c.label)}</td><td>{c.grades[0]}</td><td>{c.grades[1]}</td>"
        f'<td>{escape(c.error)}</td><td class="wide">{escape(c.basis)}</td></tr>'
        for c in CHECKS.values()
    )
    heads = "".join(
        f'<th scope="col" class="{css}">{h}</th>'
        for h, css in (("way to fail", ""), ("composite", ""), ("metal", ""),
                       ("expected error", ""), ("basis", "wide"))
    )  # fmt: skip
    return (
        f'<h2>How far each check can be trusted</h2><p class="tc-note">Grade {grades}.</p>'
        f'<table class="tc-short tc-proof"><thead><tr>{heads}</tr></thead>'
        f"<tbody>{lines}</tbody></table>"
    )


def build() -> widgets.Widget:
    """Make the evidence page.

    Returns
    -------
    ipywidgets.Widget
        The page.
    """
    names = topics()
    menu = widgets.Dropdown(options=[*names, ("all topics", "")], description="topic")
    proof = widgets.HTML()

    def chosen(_: Any) -> None:
        proof.value = topic_html(rows(menu.value or None))

    menu.observe(chosen, names="value")
    chosen(None)
    row = widgets.Box([menu])
    for css in ("tc-row", "tc-jobbar"):
        row.add_class(css)
    top = '<div class="tc-list"><h1>Can I believe this?</h1></div>'
    parts = [
        widgets.HTML(style_html() + head_html("evidence") + top + grades_html()),
        widgets.HTML("<h2>Published values beside the computed ones</h2>"), row, proof,
        widgets.HTML(foot_html()),
    ]  # fmt: skip
    page = widgets.Box(parts)
    page.add_class("tc")
    return page


def main() -> widgets.Widget:
    """Show the page; the notebook's one call.

    Returns
    -------
    ipywidgets.Widget
        The page.
    """
    return build()
