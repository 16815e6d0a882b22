"""Files of a result: the chart for a quote, the shortlist, the need."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tubecalc.app import engine, text, view, view_chart
from tubecalc.app.draft import to_toml
from tubecalc.app.engine import Result
from tubecalc.app.styles import style_of
from tubecalc.share.export import Sheet, chart_file, table_csv
from tubecalc.verdict import STANDING_CAUTION

File = tuple[str, str, bytes]


def _stem(result: Result) -> str:
    title = "".join(c if c.isalnum() else "-" for c in (result.need.title or "need").lower())
    return f"tubecalc-{title.strip('-') or 'need'}"


def printed(result: Result) -> Sheet:
    """Everything the printed chart shows, from a result.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    Sheet
        Scenes and words.
    """
    from tubecalc import __version__

    wide = replace(result.choice, width=750)
    printed = replace(result, choice=wide)
    axes = view_chart.axes_of(printed)
    name, words = "", result.hint
    if result.row is not None and result.verdict is not None:
        name = f"{view_chart.name_of(result, result.row)}, {view_chart.sizes(result, result.row)}"
        word = "Passes. " if result.verdict.passes else "Fails. "
        words = word + view.verdict_words(result)
    return Sheet(
        title=result.need.title or "Own need",
        need=text.plain_need(result.choice.draft),
        axes=axes,
        picture=view_chart.picture_of(printed),
        name=name,
        verdict=words,
        wall=view.wall_of(result),
        bars=view.bars_of(result),
        styles=tuple(style_of(k) for k in result.shown),
        caution=STANDING_CAUTION,
        footer=f"tubecalc {__version__}, {date.today().isoformat()}",
    )


def chart_png(result: Result) -> File:
    """Chart as PNG, 210 mm wide at 300 dpi: name, media type, content."""
    return f"{_stem(result)}.png", "image/png", chart_file(printed(result), "png")


def chart_svg(result: Result) -> File:
    """Chart as SVG, 210 mm wide: name, media type, content."""
    return f"{_stem(result)}.svg", "image/svg+xml", chart_file(printed(result), "svg")


def shortlist_csv(result: Result) -> File:
    """Shortlist as CSV with units and sources: name, media type, content."""
    table = engine.short_table(result)
    words = ", ".join(f"{n} {v}" for n, v in view.used_pairs(result.choice))
    content = table_csv(table, result.need.title, words, date.today())
    return f"{_stem(result)}.csv", "text/csv", content


def need_toml(result: Result) -> File:
    """Need as typed, as TOML: name, media type, content."""
    content = to_toml(result.choice.draft).encode("utf-8")
    return f"{_stem(result)}.toml", "application/toml", content
