"""Table of broken tubes: sheets of tests, groups and measured over promised, or one CSV."""

from __future__ import annotations

import csv
import io
import math
from typing import Any

from tubecalc.errors import unknown_key
from tubecalc.share.page import dated
from tubecalc.share.sheet_book import workbook
from tubecalc.share.sheet_cells import Column, Table, Value, held, number, plain
from tubecalc.testing.bench_set import Bench
from tubecalc.testing.calibrate import biases, table
from tubecalc.testing.report import compared, frame, group_sentences, groups

KINDS = ("xlsx", "csv")
_UNITS = ("N_m_per_deg", "N_per_mm", "N_m2", "N_m", "GPa", "MPa", "mm", "J", "N")
_TITLE = "Broken tubes"


def bench_sheet(bench: Bench, kind: str, *, date: str | None = None, paper: str = "A4") -> bytes:
    """Reduced tests as a workbook or as CSV.

    Parameters
    ----------
    bench : Bench
        Reduced tests.
    kind : str
        "xlsx": sheets tests, groups, promised, not reduced. "csv": the tests.
    date : str, optional
        ISO date for the properties of the workbook; today's when not given.
    paper : str
        "A4" or "Letter".

    Returns
    -------
    bytes
        The same bytes for the same tests and date.

    Raises
    ------
    InputError
        For another kind of file or a date that is none.
    """
    if kind not in KINDS:
        raise unknown_key("kind of file", kind, KINDS, "bench_sheet:kind")
    tests = _tests(bench)
    if kind == "csv":
        return _csv(tests)
    from tubecalc.job import Job
    from tubecalc.need import Need

    when = dated(Job(Need()), date)
    tables = [tests, _groups(bench), _promised(bench)]
    if bench.problems or bench.notes:
        rows: list[tuple[Value, ...]] = [(held(s),) for s in (*bench.problems, *bench.notes)]
        tables.append(Table("to look at", (Column("what", 110.0),), rows))
    foot = f"{_TITLE}, {when}"
    return workbook([t for t in tables if t.rows], title=_TITLE, author="", when=when, foot=foot,
                    paper=paper)  # fmt: skip


def heading(column: str) -> str:
    """Heading of a column with its unit in brackets.

    Parameters
    ----------
    column : str
        Name with the unit behind.

    Returns
    -------
    str

    Examples
    --------
    >>> heading("stiffness_low_N_per_mm"), heading("EI_N_m2"), heading("at_least")
    ('stiffness low [N/mm]', 'EI [N m2]', 'at least')
    """
    for unit in _UNITS:
        if column.endswith(f"_{unit}"):
            shown = unit.replace("_per_", "/").replace("_", " ")
            return f"{column.removesuffix(f'_{unit}').replace('_', ' ')} [{shown}]"
    return column.replace("_", " ")


def _tests(bench: Bench) -> Table:
    found = frame(bench.results)
    columns = [
        Column(heading(c), 60.0 if c == "notes" else 14.0, None if _worded(found[c]) else -1)
        for c in found.columns
    ]
    rows = [tuple(_cell(v) for v in row) for row in found.itertuples(index=False)]
    return Table("tests", tuple(columns), rows, frozen=1)


def _worded(values: Any) -> bool:
    return not all(isinstance(v, int | float) and not isinstance(v, bool) for v in values)


def _cell(value: Any) -> Value:
    if isinstance(value, str):
        return held(value)
    if isinstance(value, bool) or type(value).__name__ == "bool":
        return "yes" if value else "no"
    return None if value is None or math.isnan(float(value)) else number(float(value))


def _groups(bench: Bench) -> Table:
    rows: list[tuple[Value, ...]] = [
        (held(key[0]), held(key[1]), float(len(tests)), held(" ".join(group_sentences(key, tests))))
        for key, tests in groups(bench).items()
        if len(tests) > 1
    ]
    heads = (Column("tubes", 34.0), Column("kind", 26.0), Column("tests", 8.0, 0),
             Column("what they say", 90.0))  # fmt: skip
    return Table("groups", heads, rows)


def _promised(bench: Bench) -> Table:
    found, _ = compared(bench)
    rows: list[tuple[Value, ...]] = [
        tuple(_cell(v) for v in row) for row in table(found).itertuples(index=False)
    ]
    heads = (Column("specimen", 16.0), Column("construction", 16.0), Column("kind", 14.0),
             Column("failure", 12.0), Column("check", 16.0), Column("quantity", 10.0),
             Column("measured, SI", 14.0, -1), Column("promised, SI", 14.0, -1),
             Column("measured over promised", 16.0, 2), Column("at least", 9.0))  # fmt: skip
    said = [(held(b.sentence()),) + (None,) * 9 for b in biases(found)]
    return Table("promised", heads, [*rows, *said])


def _csv(tests: Table) -> bytes:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([c.head for c in tests.columns])
    for row in tests.rows:
        writer.writerow([plain(v) if isinstance(v, str) else ("" if v is None else v) for v in row])
    return out.getvalue().encode("utf-8-sig")
