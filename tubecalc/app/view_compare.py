"""The comparison in words, tables and pictures; every foreign text is escaped here."""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Callable, Sequence
from html import escape
from typing import Any

from tubecalc.app.compare_state import CompareChoice, CompareResult
from tubecalc.app.styles import style_for
from tubecalc.app.text import swatch_html
from tubecalc.compare import Judged, size_words
from tubecalc.compare_equal import KEEP, SAME, Equal
from tubecalc.compare_lines import SAYS, Line, lines
from tubecalc.compare_loads import KINDS
from tubecalc.compare_words import (
    GRADES,
    Row,
    Suit,
    differences,
    ends_how,
    own_tests,
    rows,
    suits,
)
from tubecalc.joining.job_joints import joint_rows
from tubecalc.joining.joint_verdict import beside, orphans
from tubecalc.share.bars import number
from tubecalc.share.lines import Trace, line_picture
from tubecalc.share.palette import Style
from tubecalc.share.scene import Scene, svg
from tubecalc.share.walls_row import Wall, bands, walls_row
from tubecalc.unit_display import in_unit, show, unit_label
from tubecalc.verdict import Verdict

TRAVELS = {
    "bending": "sag at the middle", "tension": "stretch", "torsion": "twist",
    "compression": "shortening",
}  # fmt: skip
BEST = "★"


def styles_of(judged: Judged) -> list[Style]:
    """Style of every candidate."""
    return [style_for(t.construction, n) for n, t in enumerate(judged.tubes)]


# ---- pictures --------------------------------------------------------------------------
def _travel(values: Sequence[float], kind: str, system: str) -> list[float]:
    unit = KINDS[kind].travel_unit
    return [in_unit(float(v), unit, system) for v in values]


def _ends(judged: Judged, kind: str, n: int, line: Line) -> str:
    """What the legend says of one line."""
    found = judged.loads[kind]
    if not line.marks:
        return "strength not known"
    unit, system = found.kind.unit, judged.system
    last = line.marks[-1]
    load = show(last.load, unit, system)
    if line.flows:
        return f"yields at {show(float(found.first[n]), unit, system)}, flows at {load}"
    first = line.marks[0]
    early = "" if first is last else f"first damage at {show(first.load, unit, system)}, "
    return f"{early}{ends_how(found, n)} at {load} ({last.what})"


def traces(result: CompareResult) -> list[Trace]:
    """Lines of the chart in the units shown.

    Parameters
    ----------
    result : CompareResult
        The result.

    Returns
    -------
    list of Trace
    """
    judged, kind = result.judged, result.choice.kind
    unit = KINDS[kind].unit
    out = []
    for n, (line, st) in enumerate(zip(lines(judged, kind), styles_of(judged), strict=True)):
        xs = _travel(line.travel.tolist(), kind, judged.system)
        ys = [in_unit(v, unit, judged.system) for v in line.load.tolist()]
        marks = tuple(
            (_travel([m.travel], kind, judged.system)[0], in_unit(m.load, unit, judged.system),
             m.kind)
            for m in line.marks if not (line.flows and m.kind == "end")
        )  # fmt: skip
        out.append(
            Trace(n + 1, judged.names[n], st.slug, tuple(zip(xs, ys, strict=True)), marks,
                  line.flows, _ends(judged, kind, n, line), st.dashed)
        )  # fmt: skip
    return out


def chart_of(result: CompareResult) -> Scene:
    """Load over travel to failure.

    Parameters
    ----------
    result : CompareResult
        The result.

    Returns
    -------
    Scene
    """
    judged, kind = result.judged, result.choice.kind
    drawn = traces(result)
    over = show(judged.span, "length", judged.system)
    labels = (
        f"{TRAVELS[kind]} over {over}, {unit_label(KINDS[kind].travel_unit, judged.system)}",
        f"{KINDS[kind].label}, {unit_label(KINDS[kind].unit, judged.system)}",
    )
    said = "; ".join(f"{t.number} {t.name} {t.ends}" for t in drawn)
    says = f"Load over travel in {KINDS[kind].label}, {over}: {said}."
    width = float(max(320, result.choice.width))
    return line_picture(drawn, labels, width=width, height=400.0 if width >= 560 else 330.0,
                        says=says)  # fmt: skip


_KEPT: OrderedDict[Any, str] = OrderedDict()


def _kept(key: Any, make: Callable[[], str]) -> str:
    """Text made before from the same parts, or made now."""
    found = _KEPT.pop(key, None)
    _KEPT[key] = found = make() if found is None else found
    while len(_KEPT) > 128:
        _KEPT.popitem(last=False)
    return found


def walls_svg(result: CompareResult) -> str:
    """Walls side by side.

    Parameters
    ----------
    result : CompareResult
        The result.

    Returns
    -------
    str
        One <svg>; kept while the tubes stay.
    """
    judged = result.judged
    out = []
    for n, (tube, st) in enumerate(zip(judged.tubes, styles_of(judged), strict=True)):
        s = tube.sections
        plies = 0 if tube.construction.continuous else len(tube.layup.plies)
        wall = show(float(s.t[0]), "length", judged.system)
        note = f"wall {wall}" + (f", {plies} plies" if plies > 1 else "")
        out.append(
            Wall(n + 1, judged.names[n], bands(tube, f"line:{st.slug}"), 2 * float(s.ro[0]),
                 2 * float(s.ri[0]), size_words(tube, judged.system), note, st.slug)
        )  # fmt: skip
    width = float(max(320, result.choice.width))
    return _kept(("walls", tuple(out), width), lambda: svg(walls_row(out, width)))


# ---- tables ------------------------------------------------------------------------------
def _verdict(judged: Judged, n: int) -> str:
    """Whether a candidate passes, kept with its tube, need and units."""
    verdict = judged.verdicts[n]
    if verdict is None:
        return ""
    key = ("verdict", judged.tubes[n], judged.need, judged.system)
    return _kept(key, lambda: _verdict_words(verdict))


def _verdict_words(verdict: Verdict) -> str:
    worst = float(verdict.reserve.get(verdict.governing, math.inf))
    reserve = f", reserve {number(worst)}" if verdict.governing else ""
    if verdict.passes:
        return f"<small>✓ passes the need{reserve}</small>"
    label = ""
    if verdict.governing:
        row = verdict.table[verdict.table["check"] == verdict.governing].iloc[0]
        label = f": {escape(str(row['label']))}"
    return f'<small class="fails">✗ fails the need{label}{reserve}</small>'


def _heads(result: CompareResult) -> str:
    judged = result.judged
    cells = []
    joints = joint_rows(result.choice.job)
    for n, st in enumerate(styles_of(judged)):
        marks = []
        if n == result.reference:
            marks.append("reference")
        if n == judged.best:
            picked = result.choice.job.chosen == n
            marks.append("recommended" if picked else "lightest that passes")
        note = f"<small>{', '.join(marks)}</small>" if marks else ""
        if joint := beside(joints, judged, n):
            bad = ' class="fails"' if "does not" in joint or "fails" in joint else ""
            note = f"<small{bad}>{escape(joint)}</small>{note}"
        size = escape(size_words(judged.tubes[n], judged.system))
        cells.append(
            f'<th scope="col">{swatch_html(st)}{n + 1} {escape(judged.names[n])}'
            f"<small>{size}</small>{_verdict(judged, n)}{note}</th>"
        )
    return "".join(cells)


def _table(says: str, heads: str, body: str) -> str:
    """Table in a region that scrolls sideways where it is wider than the screen."""
    return (
        f'<div class="tc-wide" role="region" tabindex="0" aria-label="{says}">'
        f'<table class="tc-cmp"><thead><tr><td></td>{heads}</tr></thead>'
        f"<tbody>{body}</tbody></table></div>"
    )


def _cell(row: Row, n: int) -> str:
    value = escape(row.cells[n])
    note = f"<small>{escape(row.notes[n])}</small>" if row.notes[n] else ""
    if n in row.best:
        value = f'<b>{value}</b> <span aria-hidden="true">{BEST}</span>'
        value += '<span class="tc-sr"> best</span>'
    return f"<td>{value}{note}</td>"


def table_html(result: CompareResult) -> str:
    """Figures of every tube, best value of a row marked by a sign.

    Parameters
    ----------
    result : CompareResult
        The result.

    Returns
    -------
    str
        HTML.
    """
    judged, per_mass = result.judged, result.choice.per_mass
    body, group = [], ""
    spanned = [kind.label for kind in KINDS.values() if kind.spanned]
    span = show(judged.span, "length", judged.system)
    for row in rows(judged, per_mass=per_mass):
        if row.group != group:
            group = row.group
            over = f", over {span}" if group in spanned else ""
            body.append(
                f'<tr class="grp"><th scope="colgroup" colspan="{len(judged) + 1}">'
                f"{escape(group[0].upper() + group[1:])}{over}</th></tr>"
            )
        unit = f"<small>{escape(row.unit)}</small>" if row.unit else ""
        cells = "".join(_cell(row, n) for n in range(len(judged)))
        body.append(f'<tr><th scope="row">{escape(row.label)}{unit}</th>{cells}</tr>')
    how = "weight for weight: each figure over its mass per length" if per_mass else "as they are"
    return f"<h2>Figures {how}. {BEST} marks the best of a row.</h2>{_told(result)}" + _table(
        "Figures of every tube", _heads(result), "".join(body)
    )


def _told(result: CompareResult) -> str:
    """Own tests that count, and joints whose tube is not in the job any more."""
    said = orphans(joint_rows(result.choice.job))
    return _tested(result.judged) + "".join(f'<p class="tc-note">{escape(x)}</p>' for x in said)


def suits_html(result: CompareResult) -> str:
    """What decides beyond strength.

    Parameters
    ----------
    result : CompareResult
        The result.

    Returns
    -------
    str
        HTML.
    """
    judged = result.judged
    prices = tuple(judged.prices.tolist())
    key = ("suits", judged.tubes, judged.system, str(prices), judged.currency)
    body = _kept(key, lambda: "".join(_suit(row) for row in suits(judged)))
    return "<h2>Beyond strength: + good, o fair, - poor, × not at all.</h2>" + _table(
        "What else suits, tube by tube", _heads(result), body
    )


def _suit(row: Suit) -> str:
    cells = []
    for rating, text in zip(row.ratings, row.texts, strict=True):
        sign = f'<span class="rate">{GRADES[rating]} {rating}</span>' if rating in GRADES else ""
        cells.append(f"<td>{sign}<small>{escape(text)}</small></td>" if sign
                     else f"<td>{escape(text)}</td>")  # fmt: skip
    return f'<tr><th scope="row">{escape(row.label)}</th>{"".join(cells)}</tr>'


# ---- words -------------------------------------------------------------------------------
def words_html(result: CompareResult) -> str:
    """Differences of every tube from the reference.

    Parameters
    ----------
    result : CompareResult
        The result.

    Returns
    -------
    str
        HTML.
    """
    judged, at = result.judged, result.reference
    if len(judged) < 2:
        return f"<h2>In words</h2><p>Add a second tube to compare with.</p>{_tested(judged)}"
    out = [f"<h2>In words, against {at + 1} {escape(judged.names[at])}</h2>"]
    for n in range(len(judged)):
        if n == at:
            continue
        items = "".join(f"<li>{escape(said)}</li>" for said in differences(judged, n, at))
        out.append(f"<h3>{n + 1} {escape(judged.names[n])}</h3><ul>{items}</ul>")
    return "".join([*out, _tested(judged)])


def _tested(judged: Judged) -> str:
    """Own tests that count in chart, words and figures."""
    return "".join(f'<p class="tc-note">{escape(x)}</p>' for x in own_tests(judged))


def equal_html(result: CompareResult, n: int) -> str:
    """Equivalent of one candidate's construction, in words.

    Parameters
    ----------
    result : CompareResult
        The result.
    n : int
        Which candidate.

    Returns
    -------
    str
        HTML, "" for the reference.
    """
    found = result.equals[n]
    if found is None:
        return ""
    name = result.judged.tubes[n].construction.name
    text = found.says if found.tube is None else _equal_words(found)
    return f"<p><b>{n + 1} {escape(name)}</b>: {escape(text)}</p>"


def _equal_words(found: Equal) -> str:
    return f"{found.says}."


def question(result: CompareResult) -> str:
    """What the equivalents answer, as a question.

    Parameters
    ----------
    result : CompareResult
        The result.

    Returns
    -------
    str
        Plain text.
    """
    c, judged = result.choice, result.judged
    name = f"{result.reference + 1} {judged.names[result.reference]}"
    if c.same == "od":
        return f"Which tubes have the outside diameter of {name} and the nearest wall?"
    tests = " Sought as computed: own tests do not count in it." if own_tests(judged) else ""
    return f"Which tubes have the {SAME[c.same]} of {name}: {KEEP[c.keep]}?{tests}"


def used_words(choice: CompareChoice, judged: Judged) -> str:
    """Line that says what was compared, with every value as used.

    Parameters
    ----------
    choice : CompareChoice
        The choice.
    judged : Judged
        Its tubes.

    Returns
    -------
    str
        HTML.
    """
    tubes = "; ".join(
        f"{n + 1} {name} <b>{escape(size_words(t, judged.system))}</b>"
        for n, (name, t) in enumerate(
            zip((escape(x) for x in judged.names), judged.tubes, strict=True)
        )
    )
    span = escape(show(judged.span, "length", judged.system))
    more = len(choice.job.candidates) - len(judged)
    rest = f" The job holds {more} more, not shown." if more > 0 else ""
    return f"Used: span <b>{span}</b>; {tubes}.{rest}"


ASSUMES = (
    "Room temperature, short time, no safety factor; typical strengths, times what own tests leave "
    "where that is switched on. Three-point bending under a "
    "roller 10 mm long; local buckling as of a long tube; a strut bowed by 1/500, pinned ends. "
    + SAYS
)
