"""The tubes that go out of page `choose`: those put beside, else the selected one and others."""

from __future__ import annotations

from dataclasses import replace

from tubecalc.app import view_chart
from tubecalc.app.carry import candidate_of
from tubecalc.app.engine import Result, order_by
from tubecalc.app.outgoing import told
from tubecalc.app.stocks import entry_of, priced
from tubecalc.job import Candidate, Job

OTHERS = 2  # constructions beside the selected tube
_STOCK = ("construction", "od_mm", "id_mm", "id", "price", "length_mm", "currency")


def candidate_at(result: Result, row: int, job: Job) -> tuple[Candidate, Job, str]:
    """Tube of one row on the page, with name and price where a stock list has them.

    Parameters
    ----------
    result : Result
        The result.
    row : int
        Row of its sheet [-].
    job : Job
        The job it goes into.

    Returns
    -------
    tuple of Candidate, Job and str
        As `stocks.priced` gives them.
    """
    if result.choice.stock is None:
        return candidate_of(result.sheet.keys[row]), job, ""
    table = result.sheet.table
    return priced(entry_of({c: table[c].iloc[row] for c in _STOCK if c in table}), job)


def rows_out(result: Result) -> list[int]:
    """Rows that go out: the selected tube and the best of other constructions on the page.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    list of int
        The selected one first; none where nothing is selected.
    """
    if result.row is None:
        return []
    sheet, (column, falls) = result.sheet, order_by(result.choice)
    kinds, ok, values = (sheet.column(c) for c in ("construction", "passes", column))
    out, seen = [result.row], {kinds[result.row]}
    some = any(ok[n] for n in result.short)
    near = [n for n in result.short if ok[n] or not some]  # the rest is no offer
    for n in sorted(near, key=lambda n: -values[n] if falls else values[n]):
        if len(out) <= OTHERS and kinds[n] not in seen:
            out.append(n)
            seen.add(kinds[n])
    return out


def going(result: Result, job: Job) -> Job:
    """Job that is handed over from page `choose`.

    Parameters
    ----------
    result : Result
        The result.
    job : Job
        The job as it stands on the page.

    Returns
    -------
    Job
        With the tubes that were put beside, else with those of `rows_out`, the selected one
        recommended where it passes.
    """
    rows = rows_out(result)
    if job.candidates or not rows:
        return job
    tubes = []
    for n in rows:
        one, job, _ = candidate_at(result, n, job)
        tubes.append(one)
    passes = bool(result.sheet.column("passes")[rows[0]])
    return replace(job, candidates=tuple(tubes), chosen=0 if passes else -1)


def going_words(result: Result) -> str:
    """Which tubes go out of page `choose` where none was put beside, in words.

    Parameters
    ----------
    result : Result
        The result.

    Returns
    -------
    str
        Plain text.
    """
    rows = rows_out(result)
    if not rows:
        return "Nothing is selected, so nothing goes out."
    names = [f"{view_chart.name_of(result, n)} {view_chart.sizes(result, n)}" for n in rows]
    passes = bool(result.sheet.column("passes")[rows[0]])
    alone = "" if passes else "The selected one fails."
    return told(names, 0 if passes else -1, alone)


__all__ = ["candidate_at", "going", "going_words", "rows_out"]
