"""Files of page `choose` alone: its shortlist, and the need as typed."""

from __future__ import annotations

from datetime import date

from tubecalc.app import engine, view
from tubecalc.app.draft import to_toml
from tubecalc.app.engine import Result
from tubecalc.share.export import table_csv

File = tuple[str, str, bytes]


def _stem(result: Result) -> str:
    title = "".join(c if c.isalnum() else "-" for c in (result.need.title or "need").lower())
    return f"tubecalc-{title.strip('-') or 'need'}"


def shortlist_csv(result: Result) -> File:
    """Shortlist as CSV with units and sources: name, media type, content."""
    table = engine.short_table(result)
    words = ", ".join(f"{n} {v}" for n, v in view.used_pairs(result.choice))
    content = table_csv(table, result.need.title, words, date.today())
    return f"{_stem(result)}-shortlist.csv", "text/csv", content


def need_toml(result: Result) -> File:
    """Need as typed, as TOML: name, media type, content."""
    content = to_toml(result.choice.draft).encode("utf-8")
    return f"{_stem(result)}-need.toml", "application/toml", content
