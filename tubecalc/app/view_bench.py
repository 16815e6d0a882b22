"""What page `bench` shows, as HTML. Pure functions; every foreign text is escaped."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from html import escape

from tubecalc.app.bench_state import BenchChoice
from tubecalc.app.text import list_html, swatch_html
from tubecalc.app.view_layup import rows_html
from tubecalc.share.bench_bow import bow_picture
from tubecalc.share.bench_curves import is_torsion, one_picture
from tubecalc.share.bench_figures import frame_slope
from tubecalc.share.bench_handles import handles
from tubecalc.share.bench_words import Table, Words, figure, peak, size, slope
from tubecalc.share.page_text import clean
from tubecalc.share.scene import svg
from tubecalc.testing.bench import Seen
from tubecalc.testing.bench_sum import KIND_WORDS, no_modulus
from tubecalc.testing.result import FAILURE_WORDS, TestResult
from tubecalc.unit_display import unit_label

_ARM = re.compile(r"\b(m|cm|mm|in|ft) \* (\w+)")  # a torque with its arm before its force
_LITTLE = 0.001  # of the largest load and its travel, below which rest and slack are noise
_SHOWN = 40  # sentences on how a file was read, before the rest is folded away


def plain(text: str) -> str:
    """Foreign text, safe to stand in HTML.

    Examples
    --------
    >>> plain("<b>")
    '&lt;b&gt;'
    """
    return escape(clean(text))


def _table(table: Table, css: str = "") -> str:
    heads, rows = table
    return rows_html(heads, [[clean(t) for t in row] for row in rows], css) if rows else ""


def shelf_html(words: Words, chosen: int) -> str:
    """List of the tests: name, kind, largest load, what is open.

    Parameters
    ----------
    words : Words
        The tests.
    chosen : int
        The one that is shown.

    Returns
    -------
    str
        HTML.
    """
    rows = []
    for n, seen in enumerate(words.summary.tests):
        style = words.style(seen.entry.get("wall_of"))
        on = "true" if n == chosen else "false"
        file = (
            "" if seen.name == seen.entry.file.rpartition(".")[0] else f"{seen.entry.file[:60]}: "
        )
        rows.append(
            f'<tr data-pick="t{n}" tabindex="0" aria-selected="{on}"><td><div class="tc-name">'
            f"{swatch_html(style)}<span>{n + 1} {plain(seen.name[:60])}"
            f"<small>{plain(file)}{_state(words, seen)}</small></span></div></td></tr>"
        )
    count = f"{len(rows)} test{'s' * (len(rows) != 1)}"
    return (
        f'<table class="tc-short tc-tests"><thead><tr><th scope="col">{count}</th></tr></thead>'
        f"<tbody>{''.join(rows)}</tbody></table>"
    )


def _state(words: Words, seen: Seen) -> str:
    if seen.asked:
        return f"<b>{seen.asked} question{'s' * (seen.asked != 1)} open</b>"
    if seen.result is None:
        why = next(iter(seen.problems.values()), "not reduced")
        return f'<span class="tc-faint">{plain(words.heard(why))}</span>'
    out = f"{KIND_WORDS[seen.result.kind]}, {plain(peak(seen.result, words.job.units))}"
    if not seen.entry.counted:
        out += ", left out"
    if seen.curve is None:
        return f"{out}; from the job"
    return f"{out}; a reading is to be confirmed" if seen.curve.questions else out


def refused_html(refused: Mapping[str, str]) -> str:
    """Files that could not be read, each with its reason.

    Examples
    --------
    >>> "&lt;b&gt;" in refused_html({"<b>": "is empty."})
    True
    """
    return list_html([f"{clean(n)[:80]}: {clean(t)}" for n, t in refused.items()],
                     "tc-cautions tc-refused")  # fmt: skip


def curve_html(words: Words, seen: Seen, width: int) -> tuple[str, str]:
    """Curve of the test that is shown, and the handles on it.

    Parameters
    ----------
    words : Words
        The tests.
    seen : Seen
        The one that is shown.
    width : int
        Width [px].

    Returns
    -------
    tuple of str
        Two SVG elements.
    """
    style = words.style(seen.entry.get("wall_of"))
    height = max(260.0, min(430.0, 0.6 * width))
    scene, axes, curve = one_picture(seen, style, words.job.units, width=width, height=height)
    if seen.curve is None or seen.result is None:
        return svg(scene, "tc-bencurve"), ""
    unit = "deg" if is_torsion(seen) else unit_label("length", words.job.units)
    return svg(scene, "tc-bencurve"), handles(axes, curve, unit)


def figures_html(seen: Seen, units: str) -> str:
    """Figures of one test, with its file's own units beside them.

    Parameters
    ----------
    seen : Seen
        The test.
    units : str
        Display system.

    Returns
    -------
    str
        HTML.
    """
    r = seen.result
    if r is None:
        return _frame_html(seen, units)
    load = "torque" if r.kind == "torsion" else "force"
    rows = [("largest", peak(r, units), _own(r.peak))]
    if r.stiffness is not None:
        rows.insert(0, ("slope", slope(r, units), _own(r.stiffness)))
    if r.critical_load is not None and r.bow is not None:
        within = figure(r.si["critical_half"], load, units)
        rows.append(("critical load", f"{figure(r.si['critical'], load, units)} ± {within}",
                     _own(r.critical_load)))  # fmt: skip
        rows.append(("bow before loading", figure(r.si["bow"], "length", units), ""))
    least = "at least " if r.section_is_at_least else ""
    for label, key, own in (
        ("yield, 0.2 %", "yield_offset", r.yield_offset),
        ("leaves the line", "yield_departure", r.yield_departure),
        ("first fall", "first_drop", r.first_drop),
    ):
        if own is not None:
            rows.append((label, figure(r.si[key], load, units), _own(own)))
    for key in ("EI", "EA", "GJ", "GA"):
        if not math.isnan(r.si.get(key, math.nan)) and not (key == "EA" and no_modulus(r)):
            kind = "EA" if key in ("EA", "GA") else "bending_stiffness"
            rows.append((key, least + figure(r.si[key], kind, units), ""))
    if r.modulus is not None:
        half = r.si["modulus_half"] / r.si["modulus"]
        more = f" ± {100 * half:.2g} %" if half > 1e-6 else ""
        rows.append(("modulus", least + figure(r.si["modulus"], "modulus", units) + more, ""))
    elif r.apparent_modulus is not None:
        rows.append(
            ("apparent, no modulus", figure(r.si["apparent_modulus"], "modulus", units), "")
        )
    if r.stress is not None:
        rows.append(("stress at the largest", figure(r.si["stress"], "stress", units), ""))
    if abs(r.si["tare"]) > _LITTLE * abs(r.si["peak"]):
        rows.append(("load at rest, taken off", figure(r.si["tare"], load, units), ""))
    top = next((abs(m.x) for m in r.marks if m.key == "peak"), 0.0)
    if r.kind != "torsion" and abs(r.si["origin"]) * 1e3 > _LITTLE * top:
        rows.append(("travel begins to count at", figure(r.si["origin"], "length", units), ""))
    if r.energy is not None:
        rows.append(("work to the largest", f"{r.energy.magnitude:.4g} J", ""))
    body = "".join(
        f'<tr><th scope="row">{plain(a)}</th><td>{plain(b)}</td>'
        f'<td class="own">{plain(c)}</td></tr>'
        for a, b, c in rows
    )
    failure = FAILURE_WORDS.get(r.failure, r.failure) if r.failure else "how it failed not said"
    head = (
        f"{plain(seen.name[:80])}: {plain(KIND_WORDS[r.kind])}, {plain(size(r, units))}, {failure}"
    )
    return (
        f'<p class="tc-used">For <b>{head}</b>, load read against the {_way(r)}.</p>'
        '<div class="tc-wide"><table class="tc-figures"><thead><tr><td></td>'
        '<th scope="col">figure</th><th scope="col">in units of the file</th></tr></thead>'
        f"<tbody>{body}</tbody></table></div>"
    )


def _frame_html(seen: Seen, units: str) -> str:
    """Slope of a run on a rigid bar; nothing for another test."""
    slope_of = frame_slope(seen, units)
    if not slope_of:
        return ""
    return (
        '<div class="tc-wide"><table class="tc-figures"><tbody><tr><th scope="row">slope of the '
        f"frame</th><td>{plain(slope_of)}</td></tr></tbody></table></div>"
    )


def _way(r: TestResult) -> str:
    """What the load was read against, in words."""
    across = "sideways deflection" if r.kind == "column" else "deflection of the specimen"
    return {
        "travel_mm": "travel", "extension_mm": "extension", "deflection_mm": across,
        "angle_deg": "twist", "strain": "strain",
    }.get(r.way, plain(r.way))  # fmt: skip


def _own(value: object) -> str:
    return "" if value is None else own_unit(f"{value:.5g~}")


def own_unit(text: str) -> str:
    """A value with the unit of its file, written as people write it.

    Examples
    --------
    >>> own_unit("0.17057 kN / mm"), own_unit("6.3237 ft * lbf / deg"), own_unit("2 m * N")
    ('0.17057 kN/mm', '6.3237 lbf ft/deg', '2 N m')
    """
    text = _ARM.sub(r"\2 \1", text)
    return text.replace(" / ", "/").replace(" * ", " ")


def notes_html(words: Words, place: int) -> str:
    """What must be said of a test beside its figures."""
    return list_html([clean(t) for t in words.beside(place)], "tc-cautions")


def bow_html(words: Words, seen: Seen, width: int) -> str:
    """The straight line of a column test's deflection; nothing for another test."""
    style = words.style(seen.entry.get("wall_of"))
    scene = bow_picture(seen, style, words.job.units, width=width, height=0.4 * width + 60)
    if scene is None:
        return ""
    return (
        "<h2>Critical load from the bow</h2><p class='tc-note'>Deflection over load against "
        "deflection is a straight line while the column is elastic (Southwell 1932); where it "
        "begins and ends may be moved on the curve above. Hollow readings are not used.</p>"
        + svg(scene)
    )


def understood_html(seen: Seen) -> str:
    """How the file was read, sentence by sentence.

    Parameters
    ----------
    seen : Seen
        The test.

    Returns
    -------
    str
        HTML.
    """
    lines = [clean(t)[:400] for t in seen.understood]
    more = lines[_SHOWN:]
    out = list_html(lines[:_SHOWN], "tc-understood")
    if more:
        out += f"<details><summary>{len(more)} more</summary>{list_html(more, '')}</details>"
    where = "" if seen.curve is not None else " (from the job; its file is not here)"
    return f"<h2>How {plain(seen.entry.file[:80])} was understood{where}</h2>{out}"


def answered_html(answers: Mapping[str, str]) -> str:
    """What was answered about a file.

    Examples
    --------
    >>> answered_html({"force_unit": "kN"})
    'You said: force unit <b>kN</b>.'
    """
    told = [f"{k.replace('_', ' ')} <b>{plain(v[:60])}</b>" for k, v in answers.items()]
    return f"You said: {', '.join(told)}." if told else ""


def all_html(words: Words, width: int, *, apart: bool = False) -> str:
    """Curves of each kind over each other, and the table of results."""
    parts = []
    height = max(260.0, min(360.0, 0.5 * width))
    for title, scene in words.overlays(width=width, height=height, apart=apart):
        parts.append(f"<h2>{escape(title)}, each from its origin</h2>{svg(scene)}")
    said = list_html([clean(t) for t in words.said], "tc-cautions")
    head = "<h2>Look at these first</h2>" if said else ""
    return (
        f"{head}{said}<h2>Results</h2>{_table(words.results(), 'tc-benres')}"
        f'<div class="tc-benpics">{"".join(f"<div>{p}</div>" for p in parts)}</div>'
    )


def group_html(words: Words) -> str:
    """Statistics of every group."""
    notes = list_html([clean(t) for t in words.notes()], "tc-cautions")
    return (
        "<p class='tc-note'>Grip failure, slip and run-out count as \"at least\" and are never "
        "averaged as a strength. A basis value is the load that 90 (B) or 99 (A) of 100 tubes "
        "reach, with 95 % confidence. Where every test says its batch, it is told whether the "
        "batches may be pooled, and the basis follows that.</p>"
        f"{_table(words.statistics(), 'tc-benstat')}{notes}"
    )


def promise_html(words: Words, width: int) -> str:
    """Measured over promised."""
    if not words.summary.ratios:
        return (
            "<p class='tc-note'>Say construction, outside and wall of a test to compare it.</p>"
            + list_html([clean(t) for t in words.unsaid()], "tc-cautions")
        )
    off = [words.biases()[n] for n, b in enumerate(words.summary.biases) if b.off]
    on = [words.biases()[n] for n, b in enumerate(words.summary.biases) if not b.off]
    wide = min(width, 860)
    return (
        f"<h2>Measured over promised, by check</h2>{svg(words.parity(width=wide))}"
        f"<p class='tc-note'>{_legend(words)}</p>"
        + (f"<h2>Which check is off</h2>{list_html(off, 'tc-cautions')}" if off else "")
        + (f"<h2>Not shown to be off</h2>{list_html(on, 'tc-cautions')}" if on else "")
        + f"<details><summary>test by test</summary>{_table(words.ratios())}</details>"
        + list_html([clean(t) for t in words.unsaid()], "tc-cautions")
    )


def offers_html(count: int) -> str:
    """Words above the switches of factors.

    Examples
    --------
    >>> "off" in offers_html(1)
    True
    """
    if not count:
        return (
            "<h2>Factors from the tests</h2><p class='tc-note'>None is offered: a factor needs "
            "three broken specimens and a check that promises too much.</p>"
        )
    return (
        "<h2>Factors from the tests</h2><p class='tc-note'>All are off until you switch one on; "
        "what is on goes into the job's need, counts on every page and is said there.</p>"
    )


def effect_html(words: Words) -> str:
    """What the factors that are on do."""
    return list_html([clean(t) for t in words.effect()], "")


def _legend(words: Words) -> str:
    keys = dict.fromkeys(r.construction for _, r in words.summary.ratios)
    told = [f"<span class='tc-key'>{swatch_html(words.style(k))} {plain(words.name(k))}</span>"
            for k in keys]  # fmt: skip
    return " ".join([*told, 'A ring with an arrow is only "at least".'])


def weight_html(words: Words, width: int) -> str:
    """Tests weight for weight."""
    scenes = words.weights(width=min(width, 470))
    if not scenes:
        return "<p class='tc-note'>Say construction, outside and wall of a test to weigh it.</p>"
    body = "".join(f"<div>{svg(s)}</div>" for s in scenes)
    return (
        "<p class='tc-note'>Largest load and stiffness over mass per length of the same tube. A "
        'hollow bar with an arrow is only "at least".</p>'
        f'<div class="tc-benpics">{body}</div>'
    )


def own_units(choice: BenchChoice) -> str:
    """Words of the head: which job."""
    count = len(choice.entries)
    tests = f"{count} test{'s' * (count != 1)}"
    return f"job: {choice.job.need.title or 'own need'}, {tests}"


__all__ = [
    "all_html", "answered_html", "bow_html", "curve_html", "effect_html", "figures_html",
    "group_html", "notes_html", "offers_html", "own_units", "plain", "promise_html", "refused_html",
    "shelf_html", "understood_html", "weight_html",
]  # fmt: skip
