"""Words, tables and the picture of the evidence page; pure functions of rows."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import numpy as np

from tubecalc.app.proof_numbers import number, percent, unit_text, unit_words
from tubecalc.evidence import Row
from tubecalc.evidence.book import AGREES, KNOWN, OUTSIDE, WAITING
from tubecalc.evidence.reasons import reason
from tubecalc.evidence.report import STANDINGS, counts, meaning, share_within
from tubecalc.share.parity import Mark, parity
from tubecalc.share.scene import Scene

_MARKS = {  # verdict -> colour, hollow, size, css class of its sample
    AGREES: ("accent", False, 4.6, "a"),
    KNOWN: ("ink", True, 8.0, "k"),
    OUTSIDE: ("warn", False, 9.0, "o"),
}

_SHORT = {"MEMORY": "mem.", "COMPUTED": "comp.", "PRACTICE": "pract."}  # narrow headings


def lead_html(rows: Sequence[Row]) -> str:
    """First sentences: how many values, and how near.

    Parameters
    ----------
    rows : sequence of Row
        All rows, computed.

    Returns
    -------
    str
        HTML.
    """
    table = {v: sum(s.values()) for v, s in counts(rows).items()}
    beyond = table.get(OUTSIDE, 0)
    told = "none lies" if not beyond else f"<b>{beyond}</b> lie{'s' if beyond == 1 else ''}"
    known, waiting = table.get(KNOWN, 0), table.get(WAITING, 0)
    rest = f" {waiting} wait for a function that computes them." if waiting else ""
    return (
        f'<p class="tc-lead">{len(rows)} values from standards, books, papers, tests and other '
        f"programs stand beside what tubecalc computes from the same inputs. "
        f"<b>{table.get(AGREES, 0)}</b> agree within the tolerance stated with each, {told} beyond "
        f"it, and {known} differ for a reason that is known and written down. "
        f"{100 * share_within(rows, 0.01):.0f} % of all computed values lie within 1 % of the "
        f"published one.{rest}</p>"
    )


def matrix_html(rows: Sequence[Row]) -> str:
    """Number of rows by verdict and standing.

    Parameters
    ----------
    rows : sequence of Row
        Rows, computed.

    Returns
    -------
    str
        HTML table.

    Examples
    --------
    >>> matrix_html([])
    ''
    """
    found = counts(rows)
    if not found:
        return ""
    heads = [s for s in STANDINGS if any(s in c for c in found.values())]
    lines = "".join(
        f'<tr title="{escape(meaning(v))}"><td><i class="{_sample(v)}"></i>'
        f"{escape(v)}</td>" + "".join(f"<td>{c.get(s, '') or '·'}</td>" for s in heads)
        + f'<td class="sum">{sum(c.values())}</td></tr>'
        for v, c in found.items()
    )  # fmt: skip
    cells = "".join(
        f'<th scope="col" title="{meaning(s)}">{_SHORT.get(s, s.lower())}</th>' for s in heads
    )
    notes = "; ".join(f"<b>{s.lower()}</b> {meaning(s)}" for s in heads)
    return (
        '<table class="tc-matrix" aria-label="Values by verdict and standing">'
        f'<thead><tr><th scope="col">verdict</th>{cells}'
        f'<th scope="col">all</th></tr></thead><tbody>{lines}</tbody></table>'
        f'<p class="tc-note">Where a value comes from: {notes}.</p>'
    )


def _sample(verdict: str) -> str:
    return str(_MARKS[verdict][3]) if verdict in _MARKS else "s"


def marks_of(rows: Sequence[Row]) -> dict[str, list[Row]]:
    """Rows of the picture by verdict, in the order they are drawn.

    Parameters
    ----------
    rows : sequence of Row
        Rows, computed.

    Returns
    -------
    dict of str to list of Row
        Only rows with a distance and a published value other than zero.
    """
    usable = [r for r in rows if r.error is not None and r.value]
    return {v: [r for r in usable if r.verdict == v] for v in _MARKS}


def picture(rows: Sequence[Row], width: float, chosen: str = "") -> Scene:
    """Parity plot of rows.

    Parameters
    ----------
    rows : sequence of Row
        Rows, computed.
    width : float
        Width [px].
    chosen : str
        Id of the ringed row.

    Returns
    -------
    Scene
    """
    found = marks_of(rows)
    marks = [
        Mark(v, v, np.array([r.value for r in mine]), np.array([r.error for r in mine], float),
             *_MARKS[v][:3])
        for v, mine in found.items()
    ]  # fmt: skip
    ring = next(
        ((v, n) for v, mine in found.items() for n, r in enumerate(mine) if r.id == chosen), None
    )
    height = 400.0 if width >= 560 else 320.0
    return parity(marks, width=width, height=height, says=message(rows), chosen=ring)


def message(rows: Sequence[Row]) -> str:
    """What the picture says, in words.

    Parameters
    ----------
    rows : sequence of Row
        Rows, computed.

    Returns
    -------
    str
        One or two sentences.
    """
    found = marks_of(rows)
    shown = [r for mine in found.values() for r in mine]
    if not shown:
        return "No value here has a computed partner."
    beyond = len(found[OUTSIDE])
    far = max(shown, key=lambda r: abs(r.error or 0.0))
    return (
        f"{len(shown)} computed values beside published ones: "
        f"{100 * share_within(shown, 0.01):.0f} % lie within 1 %, "
        f"{100 * share_within(shown, 0.1):.0f} % within 10 %; "
        f"{beyond or 'none'} outside the stated tolerance. Farthest apart: {far.quantity}, "
        f"{percent(far.error, sign=True)} ({far.verdict})."
    )


_COLUMNS = (  # key of the order, heading, number?, left out when narrow?
    ("topic", "value", False, False),
    ("", "published", True, False),
    ("", "computed", True, False),
    ("error", "apart", True, False),
    ("tolerance", "may be", True, True),
    ("verdict", "verdict", False, False),
    ("standing", "standing", False, True),
    ("", "source", False, True),
)


def table_html(rows: Sequence[Row], order: tuple[str, bool], chosen: str, limit: int) -> str:
    """Rows as a table that can be sorted and walked through.

    Parameters
    ----------
    rows : sequence of Row
        In the order shown.
    order : tuple of str and bool
        Key it is sorted by, and whether the worst stand first.
    chosen : str
        Id of the selected row.
    limit : int
        Largest number of lines [-].

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> table_html([], ("severity", True), "", 10)
    '<p class="tc-note">No value fits these filters.</p>'
    """
    if not rows:
        return '<p class="tc-note">No value fits these filters.</p>'
    head = "".join(_heading(c, order) for c in _COLUMNS)
    shown = rows[:limit]
    focus = chosen if any(r.id == chosen for r in shown) else shown[0].id
    body = "".join(_line(r, r.id == chosen, r.id == focus) for r in shown)
    return (
        '<table class="tc-short tc-proof" role="grid" aria-label="Published and computed values. '
        f'Arrow keys choose one."><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'
    )


def _heading(column: tuple[str, str, bool, bool], order: tuple[str, bool]) -> str:
    key, text, _, wide = column
    css = _classes(column)
    if not key:
        return f'<th class="{css}" scope="col">{text}</th>'
    css += " show" if not wide else ""
    mine = key == order[0]
    sort = ("descending" if order[1] else "ascending") if mine else "none"
    mark = (" ▾" if order[1] else " ▴") if mine else ""
    return (
        f'<th class="{css}" scope="col" aria-sort="{sort}">'
        f'<button type="button" data-sort="{key}">{text}{mark}</button></th>'
    )


def _classes(column: tuple[str, str, bool, bool]) -> str:
    return " ".join(n for n, on in (("n", column[2]), ("wide", column[3])) if on)


def _line(row: Row, selected: bool, focus: bool) -> str:
    cells = (
        f"{escape(row.quantity)}<br><small>{escape(row.topic)} · {escape(row.id)}</small>",
        f"{number(row.value)} {unit_text(row.unit)}", number(row.computed),
        percent(row.error, sign=True), percent(row.rel_tol), escape(row.verdict),
        escape(row.standing.lower()), escape(row.source),
    )  # fmt: skip
    body = "".join(
        f'<td class="{_classes(c) or "first"}" data-h="{c[1] if c[2] else ""}">{text}</td>'
        for text, c in zip(cells, _COLUMNS, strict=True)
    ).replace(' data-h=""', "")
    loud = ' class="loud"' if row.verdict == OUTSIDE else ""
    return (
        f'<tr data-pick="{escape(row.id)}" tabindex="{0 if focus else -1}" '
        f'aria-selected="{str(selected).lower()}"{loud}>{body}</tr>'
    )


def part_html(count: int, limit: int, worst: bool = True) -> str:
    """Heading of the table.

    Parameters
    ----------
    count : int
        Rows that pass the filters [-].
    limit : int
        Lines shown [-].
    worst : bool
        Whether the worst stand first.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> part_html(3, 40)
    '<h2 class="tc-part">3 values, worst first</h2>'
    """
    shown = f", the first {limit} shown" if count > limit else ""
    first = ", worst first" if worst else ""
    return f'<h2 class="tc-part">{count} values{first}{shown}</h2>'


def tip_html(row: Row, of: str) -> str:
    """Words beside the pointer.

    Parameters
    ----------
    row : Row
        The value under it.
    of : str
        Verdict and index of its point.

    Returns
    -------
    str
        HTML.
    """
    words = (
        f"{row.quantity}\n{number(row.value)} {row.unit} published, {number(row.computed)} "
        f"computed ({percent(row.error, sign=True)})\n{row.topic}"
    )
    return f'<span data-of="{escape(of)}">{escape(words)}</span>'


def one_html(row: Row | None) -> str:
    """Everything that is known of one value.

    Parameters
    ----------
    row : Row or None
        The value.

    Returns
    -------
    str
        HTML, a hint for none.

    Examples
    --------
    >>> "Choose" in one_html(None)
    True
    """
    if row is None:
        return '<p class="tc-note">Choose a point or a line to see its inputs and its source.</p>'
    unit = unit_words(row.unit)
    standing = f"{row.standing.lower()}: {meaning(row.standing)}"
    pairs = [
        ("inputs", row.inputs),
        ("published", f"{number(row.value)} {unit}"),
        ("computed", f"{number(row.computed)} {unit}" if row.computed is not None else "–"),
        ("apart", f"{percent(row.error, sign=True)} (may be {percent(row.rel_tol)})"),
        ("source", row.source),
        ("standing", standing),
        ("tolerance", reason(row) or "none stated"),
        ("note", row.note or "–"),
        ("row", f"{row.id}, {row.file}"),
    ]
    body = "".join(f"<dt>{a}</dt><dd>{escape(b)}</dd>" for a, b in pairs)
    title = f"{escape(row.quantity)}: {escape(row.verdict)}"
    return f'<div class="tc-one"><h3>{title}</h3><dl>{body}</dl></div>'


def trials_html(rows: Sequence[Row]) -> str:
    """Tests on real tubes: measured, predicted, and why they part.

    Parameters
    ----------
    rows : sequence of Row
        Rows of the experiments, computed.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> trials_html([])
    ''
    """
    if not rows:
        return ""
    lines = "".join(
        f'<tr><td class="first">{escape(r.quantity)}<br><small>'
        f"{escape(r.topic.removeprefix('experiments, '))}"
        f' · {escape(r.id)}</small></td><td class="n" data-h="measured">{number(r.value)} '
        f'{unit_text(r.unit)}</td><td class="n" data-h="predicted">{number(r.computed)}</td>'
        f'<td class="n" data-h="apart">{percent(r.error, sign=True)}</td>'
        f'<td class="why">{escape(r.note)} <small>{escape(r.source)} ({r.standing.lower()})</small>'
        "</td></tr>"
        for r in rows
    )
    heads = "".join(
        f'<th scope="col" class="{css}">{h}</th>'
        for h, css in (("test", ""), ("measured", "n"), ("predicted", "n"), ("apart", "n"),
                       ("why", ""))
    )  # fmt: skip
    return (
        '<h2 class="tc-part">Tests on real tubes, predicted without tuning</h2>'
        '<p class="tc-note">Perfect theory beside real tubes: where the two part, the line says by '
        "how much and why.</p>"
        f'<table class="tc-short tc-proof tc-trials"><thead><tr>{heads}</tr></thead>'
        f"<tbody>{lines}</tbody></table>"
    )
