"""Plain text of ``tubecalc evidence``: counts by verdict and standing, and the worst rows."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tubecalc.cli_report import columns, wrapped
from tubecalc.evidence import Row
from tubecalc.evidence.book import KNOWN, OUTSIDE, WAITING
from tubecalc.evidence.reasons import reason
from tubecalc.evidence.report import STANDINGS, counts, meaning, ordered, share_within

_EXPLAINED = (OUTSIDE, KNOWN, WAITING)  # verdicts whose note is printed


def evidence_text(rows: Sequence[Row], worst: int = 20) -> str:
    """Counts, the worst rows with their sources, and what the words mean.

    Parameters
    ----------
    rows : sequence of Row
        Rows that were asked for.
    worst : int
        Largest number of rows to list; 0 lists every one.

    Returns
    -------
    str

    Examples
    --------
    >>> from tubecalc.evidence import rows
    >>> print(evidence_text(rows("metal value"), 1).splitlines()[0])
    6 published values; 100 % of those computed lie within 1 %.
    """
    found = ordered(rows)
    shown = found[:worst] if worst else found
    within = share_within(found, 0.01)
    near = "" if math.isnan(within) else f"; {100 * within:.0f} % of those computed lie within 1 %"
    parts = [f"{len(found)} published value{'s' * (len(found) != 1)}{near}.", _counts(found)]
    if shown:
        title = (
            f"The worst {len(shown)}:" if len(shown) < len(found) else "All of them, worst first:"
        )
        parts += [f"{title}\n\n{_table(shown)}", _reasons(shown), _sources(shown)]
    if len(shown) < len(found):
        parts.append("--worst 0 lists every row.")
    return "\n\n".join(p for p in parts if p)


def _counts(rows: Sequence[Row]) -> str:
    table = counts(rows)
    heads = [s for s in STANDINGS if any(s in c for c in table.values())]
    body = [
        [v, *(str(c.get(s, 0) or "-") for s in heads), str(sum(c.values())), meaning(v)]
        for v, c in table.items()
    ]
    return columns(["verdict", *heads, "all", ""], body, "l" + "r" * (len(heads) + 1) + "l")


def _table(rows: Sequence[Row]) -> str:
    marks = {s: str(n) for n, s in enumerate(dict.fromkeys(r.source for r in rows), start=1)}
    body = [
        [
            r.verdict, r.id, r.quantity if len(r.quantity) < 44 else f"{r.quantity[:41]}...",
            f"{r.value:.5g}", r.unit, "-" if r.computed is None else f"{r.computed:.5g}",
            _percent(r.error),
            "-" if math.isnan(r.rel_tol) else f"{100 * r.rel_tol:.2g}", r.standing,
            f"[{marks[r.source]}]",
        ]
        for r in rows
    ]  # fmt: skip
    head = ["verdict", "id", "quantity", "published", "unit", "computed", "error %", "may be %",
            "standing", "source"]  # fmt: skip
    return columns(head, body, "lllrlrrrll")


def _percent(error: float | None) -> str:
    if error is None:
        return "-"
    return f"{100 * error:+.2g}" if abs(error) < 1 else f"{100 * error:+.0f}"


def _reasons(rows: Sequence[Row]) -> str:
    """Notes of what is beyond its tolerance or not computed."""
    said = [(r, r.note or reason(r)) for r in rows if r.verdict in _EXPLAINED]
    lines = [wrapped(f"{r.id}: {why}", "  ") for r, why in said if why]
    return "\n".join(["Why:", *lines]) if lines else ""


def _sources(rows: Sequence[Row]) -> str:
    names = dict.fromkeys(r.source for r in rows)
    return "\n".join(wrapped(f"Source: {s}", f"[{n}] ") for n, s in enumerate(names, start=1))
