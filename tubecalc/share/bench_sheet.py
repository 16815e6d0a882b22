"""Table of broken tubes: sheets of tests, groups and measured over promised, or one CSV."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from tubecalc.errors import unknown_key
from tubecalc.share.bench_words import Words
from tubecalc.share.page import dated
from tubecalc.share.sheet_book import workbook
from tubecalc.share.sheet_cells import Column, Table, Value, held, number, plain
from tubecalc.testing.bench_set import Bench
from tubecalc.testing.calibrate import Ratio, biases, table
from tubecalc.testing.report import compared, frame, group_sentences, groups
from tubecalc.unit_display import in_unit, unit_label

KINDS = ("xlsx", "csv")
_UNITS = {  # end of a column's name -> kind of quantity, SI per unit; work has one unit only
    "N_m_per_deg": ("torque", 1.0), "N_per_mm": ("stiffness", 1e3),
    "N_m2": ("bending_stiffness", 1.0), "N_m": ("torque", 1.0), "GPa": ("modulus", 1e9),
    "MPa": ("stress", 1e6), "mm": ("length", 1e-3), "J": ("", 1.0), "N": ("force", 1.0),
}  # fmt: skip
_TITLE = "Broken tubes"


def bench_sheet(
    bench: Bench, kind: str, *, date: str | None = None, paper: str = "A4", units: str = "SI",
    heard: Callable[[str], str] = str, more: Sequence[Table] = (),
    counted: Sequence[bool] | None = None, found: Sequence[Ratio] | None = None,
) -> bytes:  # fmt: skip
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
    units : str
        Display system of the numbers.
    heard : callable
        Says a sentence of the tests in that system.
    more : sequence of Table
        Further sheets.
    counted : sequence of bool, optional
        Which tests count in the groups; all when not given.
    found : sequence of Ratio, optional
        Measured over promised; worked out from the constructions when not given.

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
    tests = _tests(bench, units)
    if kind == "csv":
        return _csv(tests)
    from tubecalc.job import Job
    from tubecalc.need import Need

    when = dated(Job(Need()), date)
    tables = [tests, _groups(bench, counted, heard), _promised(bench, found, heard), *more]
    if bench.problems or bench.notes:
        rows: list[tuple[Value, ...]] = [(held(s),) for s in (*bench.problems, *bench.notes)]
        tables.append(Table("to look at", (Column("what", 110.0),), rows))
    foot = f"{_TITLE}, {when}"
    return workbook([t for t in tables if t.rows], title=_TITLE, author="", when=when, foot=foot,
                    paper=paper)  # fmt: skip


def heading(column: str, units: str = "SI") -> str:
    """Heading of a column with its unit in brackets.

    Parameters
    ----------
    column : str
        Name with the unit behind.
    units : str
        Display system.

    Returns
    -------
    str

    Examples
    --------
    >>> heading("stiffness_low_N_per_mm"), heading("EI_N_m2"), heading("at_least")
    ('stiffness low [N/mm]', 'EI [N m2]', 'at least')
    >>> heading("stiffness_low_N_m_per_deg", "inch")
    'stiffness low [lbf in/deg]'
    """
    unit = _unit(column)
    if not unit:
        return column.replace("_", " ")
    shown = unit.replace("_per_", "/").replace("_", " ")
    kind = _UNITS[unit][0]
    if kind and unit_label(kind, units) != unit_label(kind):
        shown = unit_label(kind, units) + ("/deg" if unit.endswith("_per_deg") else "")
    return f"{column.removesuffix(f'_{unit}').replace('_', ' ')} [{shown}]"


def _unit(column: str) -> str:
    """End of a column's name that is its unit; "" for none."""
    return next((u for u in _UNITS if column.endswith(f"_{u}")), "")


def _factor(column: str, units: str) -> float:
    """What the numbers of a column are multiplied by; 1 where the unit stays."""
    kind, si = _UNITS.get(_unit(column), ("", 1.0))
    if not kind or unit_label(kind, units) == unit_label(kind):
        return 1.0
    return in_unit(si, kind, units)


def _tests(bench: Bench, units: str) -> Table:
    found = frame(bench.results)
    for name in found.columns:
        if _factor(name, units) != 1.0:
            found[name] = found[name] * _factor(name, units)
    columns = [
        Column(heading(c, units), 60.0 if c == "notes" else 14.0, None if _worded(found[c]) else -1)
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


def _groups(
    bench: Bench, counted: Sequence[bool] | None, heard: Callable[[str], str]
) -> Table:  # fmt: skip
    if counted is not None:
        on = [n for n, yes in enumerate(counted) if yes]
        bench = replace(bench, results=tuple(bench.results[n] for n in on),
                        constructions=tuple(bench.constructions[n] for n in on))  # fmt: skip
    rows: list[tuple[Value, ...]] = [
        (
            held(heard(key[0])),
            held(heard(key[1])),
            float(len(tests)),
            held(heard(" ".join(group_sentences(key, tests)))),
        )
        for key, tests in groups(bench).items()
        if len(tests) > 1
    ]
    heads = (Column("tubes", 34.0), Column("kind", 26.0), Column("tests", 8.0, 0),
             Column("what they say", 90.0))  # fmt: skip
    return Table("groups", heads, rows)


def hand_tables(words: Words) -> list[Table]:
    """Sheet of a test without a machine; none where there is none.

    Parameters
    ----------
    words : Words
        The tests.

    Returns
    -------
    list of Table
    """
    found = words.by_hand()
    if found is None:
        return []
    rows: list[tuple[Value, ...]] = [("tested without a machine", held(found.title))]
    rows += [(held(f"read: {a}"), held(b)) for a, b in found.read]
    rows += [(held(a), held(b)) for a, b in found.answer.rows]
    rows += [("to mind", held(n)) for n in words.by_hand_notes()]
    return [Table("by hand", (Column("what", 44.0), Column("value", 90.0)), rows)]


def _promised(
    bench: Bench, found: Sequence[Ratio] | None, heard: Callable[[str], str]
) -> Table:  # fmt: skip
    found = compared(bench)[0] if found is None else found
    rows: list[tuple[Value, ...]] = [
        tuple(_cell(v) for v in row) for row in table(found).itertuples(index=False)
    ]
    heads = (Column("specimen", 16.0), Column("construction", 16.0), Column("kind", 14.0),
             Column("failure", 12.0), Column("check", 16.0), Column("quantity", 10.0),
             Column("measured, SI", 14.0, -1), Column("promised, SI", 14.0, -1),
             Column("measured over promised", 16.0, 2), Column("at least", 9.0))  # fmt: skip
    said = [(held(heard(b.sentence())),) + (None,) * 9 for b in biases(found)]
    return Table("promised", heads, [*rows, *said])


def _csv(tests: Table) -> bytes:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([c.head for c in tests.columns])
    for row in tests.rows:
        writer.writerow([plain(v) if isinstance(v, str) else ("" if v is None else v) for v in row])
    return out.getvalue().encode("utf-8-sig")
