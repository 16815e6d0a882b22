"""Pieces of HTML around the answer of page `choose`, made from a result."""

from __future__ import annotations

from html import escape

from tubecalc.app import text, view, view_chart
from tubecalc.app.engine import Result
from tubecalc.share.scene import svg


def tube_html(result: Result) -> dict[str, str]:
    """Parts of the answer that depend on the tube, the need and the units alone.

    Parameters
    ----------
    result : Result
        With a selected tube.

    Returns
    -------
    dict of str to str
        HTML of "wall", "bars", "mind" and "more".
    """
    wall, bars = view.wall_of(result), view.bars_of(result)
    cautions = text.list_html(view.cautions_of(result), "tc-cautions")
    pairs = text.pairs_html(view.specific_pairs(result))
    assumed = text.list_html(view.assumed(result), "tc-cautions")
    checks = text.checks_html(view.checks_of(result))
    return {
        "wall": svg(wall) if wall else "",
        "bars": "<h2>Reserve, by way to fail</h2>" + (svg(bars) if bars else ""),
        "mind": f"<h2>Mind</h2>{cautions}",
        "more": (
            f"<h2>For its weight (per mass per length)</h2>{pairs}"
            f"<details><summary>Every check, its grade and its expected error</summary>{checks}"
            "</details>"
            f"<details><summary>What these figures assume</summary>{assumed}</details>"
        ),
    }


def answer_html(result: Result, wall: str, joint: str = "") -> str:
    """The selected tube: name, size, wall and verdict.

    Parameters
    ----------
    result : Result
        With a selected tube.
    wall : str
        Picture of its wall.
    joint : str
        What its joints add to the verdict.

    Returns
    -------
    str
        HTML.
    """
    if result.row is None or result.verdict is None:
        return text.verdict_html(False, result.hint)
    name, size = view_chart.name_of(result, result.row), view_chart.sizes(result, result.row)
    name = name[0].upper() + name[1:]
    title = f"<h2>Selected</h2><h3>{escape(name)}, <span>{escape(size)}</span></h3>"
    sub = f'<p class="sub">{escape(_sub(result, result.row))}</p>'
    words = " ".join(w for w in (view.verdict_words(result), joint) if w)
    verdict = text.verdict_html(bool(result.verdict.passes), words)
    return title + sub + wall + verdict


def _sub(result: Result, n: int) -> str:
    sheet = result.sheet
    plies = int(sheet.column("plies")[n])
    usual = "" if sheet.column("in_range")[n] else ", outside the usual range of sizes"
    said = f"{plies} plies, " if plies > 1 else ""
    return f"{said}{view_chart.quantity(result, n)}{usual}"


def note_words(result: Result) -> str:
    """Words at the right of the head: the job and the stock list.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    str
        Plain text.
    """
    title = result.need.title or "own need"
    stock = result.choice.stock
    return f"job: {title}" + (f" · stock list: {stock.name}" if stock else "")


def chart_title(result: Result) -> str:
    """Title of the chart.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    str
        HTML.
    """
    best = "lightest" if result.choice.measure == "mass" else "best"
    return (
        f"<h2>What passes: filled. What fails: hollow. Line: the {best} that passes. "
        f"{result.passing} of {result.count} pass.</h2>"
    )
