"""Report of tests: one page that opens anywhere and asks nothing of anybody; sheet and chart."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from dataclasses import replace
from datetime import date as day
from functools import cache
from importlib.resources import files
from pathlib import Path

from tubecalc.errors import InputError
from tubecalc.share import palette
from tubecalc.share.bench_bow import bow_picture
from tubecalc.share.bench_curves import one_picture
from tubecalc.share.bench_sheet import bench_sheet, hand_tables
from tubecalc.share.bench_words import Table, Words
from tubecalc.share.files import checked, put
from tubecalc.share.page import dated
from tubecalc.share.page_text import esc
from tubecalc.share.paper import About, Leaf, measures, picture
from tubecalc.share.scene import Scene, svg
from tubecalc.testing.bench_set import Bench
from tubecalc.verdict import STANDING_CAUTION

_LOOK = (
    "td.w{white-space:normal;min-width:88px}.pics{display:grid;gap:24px 40px;"
    "grid-template-columns:repeat(auto-fit,minmax(min(420px,100%),1fr))}.pics svg{width:100%}"
    "table{font-size:12px}td,th{padding-right:8px;vertical-align:top}h3{margin:18px 0 6px}"
    "td.n,th.n{white-space:normal;min-width:58px}"
    "details{margin:6px 0}table.two{width:auto;min-width:min(560px,100%);font-size:13.5px}"
    "table.two th{text-align:left;font-weight:400;width:60%}table.two td{white-space:normal}"
    "summary{cursor:pointer}.on{border-left:4px solid var(--tc-ink);padding-left:14px}"
    "@media print{.scroll{overflow:visible}section{break-inside:auto}tr,figure{break-inside:avoid}}"
)
_CURVES = 40  # tests whose curve is shown by itself


@cache
def _own(name: str) -> str:
    return files("tubecalc.share").joinpath(name).read_text(encoding="utf-8").strip()


def _hash(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def _section(title: str, body: str) -> str:
    return f"<section><h2>{esc(title)}</h2>{body}</section>" if body else ""


def _kept(text: str) -> str:
    """A value whose number and unit stay in one line; it may break at its sign or its remark."""
    out = text.replace(" ", "\u00a0").replace("at\u00a0least\u00a0", "at least ")
    return out.replace("±\u00a0", "± ").replace("\u00a0(", " (").replace("s\u00a0l", "s l")


def _table(table: Table) -> str:
    heads, rows = table
    if not rows:
        return ""

    def cell(text: str, *, number: bool) -> str:
        text = _kept(text) if number else text
        css = ' class="n"' if number else (' class="w"' if len(text) > 14 else "")
        return f"<td{css}>{esc(text)}</td>"

    head = "".join(f'<th scope="col"{" class=n" if n else ""}>{esc(h)}</th>' for h, n in heads)
    body = "".join(
        "<tr>" + "".join(cell(t, number=h[1]) for t, h in zip(row, heads, strict=True)) + "</tr>"
        for row in rows
    )
    return (
        f'<div class="scroll" tabindex="0"><table><thead><tr>{head}</tr></thead>'
        f"<tbody>{body}</tbody></table></div>"
    )


def _list(items: Sequence[str], css: str = "plain") -> str:
    body = "".join(f"<li>{esc(i)}</li>" for i in items)
    return f'<ul class="{css}">{body}</ul>' if items else ""


def _pictures(scenes: Sequence[tuple[str, Scene]]) -> str:
    body = "".join(
        f"<figure>{svg(s)}{f'<figcaption>{esc(t)}</figcaption>' if t else ''}</figure>"
        for t, s in scenes
    )
    return f'<div class="pics">{body}</div>' if scenes else ""


def report(words: Words, *, date: str | day | None = None) -> str:
    """Report of the tests of a job.

    Parameters
    ----------
    words : Words
        The tests.
    date : str or datetime.date, optional
        ISO date on the page; the job's own, else today, when not given.

    Returns
    -------
    str
        HTML; the same text for the same tests and date.

    Raises
    ------
    InputError
        If the date is none.
    """
    when = dated(words.job, date)
    tests = words.summary.tests
    good = sum(s.result is not None for s in tests)
    title = words.job.need.title.strip() or "Tests of tubes"
    least = (
        '<p class="note">"At least": grip failure, slip or the end of the frame came first; the '
        "tube carries more, and the value is never averaged as a strength.</p>"
    )
    curves = words.overlays(width=520.0, height=300.0)
    parts = [
        _section("Look at these first", _list(words.said, "plain mind")),
        _section("Results", _table(words.results()) + least if tests else ""),
        _section("Curves, each from its origin", _pictures(curves)),
        _section("Statistics", _table(words.statistics()) + _list(words.notes())),
        _promised(words),
        _section("Weight for weight", _pictures([("", s) for s in words.weights(width=460.0)])),
        _section("Tested without a machine", _by_hand(words)),
        _section("Every test", _each(words)),
    ]  # fmt: skip
    who = " · ".join(
        esc(t.strip()) for t in (words.job.text.customer, words.job.text.reference) if t.strip()
    )
    head = (
        f'<header><div class="top"><span>{who}</span><span class="date">{when}</span></div>'
        f"<h1>{esc(title)}: {_what(good, len(tests))}</h1></header>"
    )
    return _document(words, title, f"{head}<main>{''.join(parts)}</main>{_foot(when)}")


def _what(good: int, tests: int) -> str:
    """What the report is on."""
    if not tests:
        return "read by hand"
    return f"what {good} test{'s' * (good != 1)} say{'s' * (good == 1)}"


def _by_hand(words: Words) -> str:
    """Readings of a test without a machine as typed, and what they mean."""
    found = words.by_hand()
    if found is None:
        return ""

    def table(rows: Sequence[tuple[str, str]]) -> str:
        body = "".join(f'<tr><th scope="row">{esc(a)}</th><td>{esc(b)}</td></tr>' for a, b in rows)
        shown = f'<table class="two"><tbody>{body}</tbody></table>'
        return f'<div class="scroll" tabindex="0">{shown}</div>'

    return (
        f"<h3>Read, as typed: {esc(found.title)}</h3>{table(found.read)}"
        f"<h3>What it means</h3>{table(found.answer.rows)}"
        + _list(words.by_hand_notes(), "plain mind")
    )


def _promised(words: Words) -> str:
    if not words.summary.ratios:
        return _section("Measured over promised", _list(words.unsaid()))
    on = words.effect()
    body = (
        _pictures([("", words.parity(width=720.0))]) + _list(words.biases())
        + (f'<h3>Factors that are switched on</h3><div class="on">{_list(on)}</div>' if on else "")
        + f"<details><summary>test by test</summary>{_table(words.ratios())}</details>"
        + _list(words.unsaid())
    )  # fmt: skip
    return _section("Measured over promised", body)


def _each(words: Words) -> str:
    out = []
    for n, seen in enumerate(words.summary.tests, 1):
        notes = _list(words.beside(n - 1), "plain mind")
        figure = ""
        if n <= _CURVES and len(seen.x):
            style = words.style(seen.entry.get("wall_of"))
            scene, _, _ = one_picture(seen, style, words.job.units, width=640.0, height=340.0)
            figure = f"<figure>{svg(scene)}</figure>"
            bow = bow_picture(seen, style, words.job.units, width=640.0, height=300.0)
            figure += "" if bow is None else f"<figure>{svg(bow)}</figure>"
        read = f"<details><summary>how {esc(seen.entry.file)} was understood</summary>" + _list(
            seen.understood
        ) + "</details>"  # fmt: skip
        out.append(f"<h3>{n} {esc(seen.name)}</h3>{figure}{notes}{read}")
    return "".join(out)


def _foot(when: str) -> str:
    from tubecalc import __version__

    return (
        f'<footer><p class="stand">{esc(STANDING_CAUTION)}</p><p>These figures help to choose; '
        f"they approve nothing. Reduced with tubecalc {esc(__version__)}, {when}.</p></footer>"
    )


def _document(words: Words, title: str, body: str) -> str:
    style = palette.css(words.styles) + _own("page_look.css") + _LOOK
    policy = (
        f"default-src 'none'; style-src '{_hash(style)}'; img-src data:; base-uri 'none'; "
        "form-action 'none'"
    )
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<meta name="color-scheme" content="light dark">'
        '<meta name="referrer" content="no-referrer">'
        f'<title>{esc(title)}</title><link rel="icon" href="data:,"><style>{style}</style></head>'
        f"\n<body>{body}</body></html>\n"
    )


def write_report(words: Words, path: str | Path, *, date: str | day | None = None) -> Path:
    """Write the report: one file, no outside request.

    Parameters
    ----------
    words : Words
        The tests.
    path : str or pathlib.Path
        Where, ending in .html; a failed write leaves an old file as it was.
    date : str or datetime.date, optional
        As in `report`.

    Returns
    -------
    pathlib.Path
        The file.
    """
    target = checked(path, (".html",), "report")
    return put(target, report(words, date=date).encode(), suffixes=(".html",), what="report")


def report_sheet(words: Words, *, date: str | None = None) -> bytes:
    """Workbook of the tests.

    Parameters
    ----------
    words : Words
        The tests.
    date : str, optional
        ISO date.

    Returns
    -------
    bytes
        XLSX.
    """
    good = [s for s in words.summary.tests if s.result is not None]
    problems = [f"{s.name}: {words.heard(t)}" for s in words.summary.tests
                for t in s.problems.values()]  # fmt: skip
    found = [replace(r, construction=_wall(words, r.construction))
             for n, r in words.summary.ratios if words.summary.tests[n].entry.counted]  # fmt: skip
    bench = Bench(
        tuple(replace(s.result, batch=s.entry.get("batch").strip(),
                      notes=tuple(words.heard(t) for t in s.result.notes))
              for s in good if s.result is not None),
        tuple(s.curve for s in good),
        tuple(_wall(words, s.entry.get("wall_of")) for s in good),
        tuple(problems), (*words.said, *words.effect(), *words.unsaid()),
    )  # fmt: skip
    return bench_sheet(bench, "xlsx", date=dated(words.job, date), units=words.job.units,
                       heard=words.heard, more=hand_tables(words),
                       counted=[s.entry.counted for s in good], found=found)  # fmt: skip


def _wall(words: Words, key: str) -> str:
    """Name of a construction for a cell; "" where it is not told."""
    return words.name(key) if key else ""


def report_chart(
    words: Words, kind: str, *, date: str | None = None, width_mm: float = 170.0,
    dpi: float = 300.0,
) -> bytes:  # fmt: skip
    """Curves of every kind of test on one leaf.

    Parameters
    ----------
    words : Words
        The tests.
    kind : str
        "png", "svg" or "pdf".
    date : str, optional
        ISO date.
    width_mm, dpi : float
        Width on paper [mm], dots per inch of a PNG [1/in].

    Returns
    -------
    bytes

    Raises
    ------
    InputError
        If there is no curve to draw, or as `paper.picture` does.
    """
    found = words.overlays(width=720.0, height=380.0)
    if not found:
        raise InputError("there is no curve to draw", where="chart")
    width_mm, dpi = measures(width_mm, dpi)
    places, top = [], 0.0
    for _, scene in found:
        places.append((scene, 0.0, top))
        top += scene.height + 18.0
    says = " ".join(scene.says for _, scene in found)
    leaf = Leaf(720.0, top, tuple(places), words.styles)
    title = words.job.need.title.strip() or "Tests of tubes"
    return picture(leaf, kind, About(title, says, dated(words.job, date)), width_mm, dpi)


__all__ = ["report", "report_chart", "report_sheet", "write_report"]
