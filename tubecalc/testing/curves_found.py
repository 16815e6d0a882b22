"""Tables of a text or of the sheets of a workbook, found before their columns have a meaning."""

from __future__ import annotations

import re
from typing import Any

from tubecalc.errors import InputError, unknown_key
from tubecalc.testing.curves_book import sheets
from tubecalc.testing.curves_bytes import Source
from tubecalc.testing.curves_dress import of_json, on_its_side, undressed, upright
from tubecalc.testing.curves_fast import fast, sample
from tubecalc.testing.curves_heads import clean
from tubecalc.testing.curves_keyed import keyed
from tubecalc.testing.curves_line import DELIMITERS
from tubecalc.testing.curves_plan import plan_of, plan_of_cells
from tubecalc.testing.curves_rows import Lines, tables
from tubecalc.testing.curves_runs import Text
from tubecalc.testing.curves_table import Line, Plan, Table

__all__ = ["no_rows", "of_book", "of_text"]

_HEADINGS = 4096  # bytes in which headings are looked for


def of_text(source: Source, decimal: str | None, delimiter: str | None) -> tuple[Plan, list[Table]]:
    """Find the tables of a text.

    Parameters
    ----------
    source : Source
        The file.
    decimal, delimiter : str, optional
        Where the user has said.

    Returns
    -------
    tuple of Plan and list of Table
        How it is split, and one table per specimen.

    Raises
    ------
    InputError
        If it holds no rows of numbers.
    """
    cells = of_json(source.data, source.label)
    data, torn = undressed(source.data), ""
    path = source.path if data is source.data else ""
    data = _joined(data)
    few = sample(data)
    cells = cells or on_its_side(few, source.notes)
    if cells is not None:
        return _of_cells(cells, decimal, source)
    if decimal == "either":
        data, decimal = _one_sign(data, few, delimiter, source.label), "."
        few, path = sample(data), ""
    if few and few[0].lower().startswith("sep=") and len(few[0]) == 5 and not delimiter:
        delimiter = few[0][4] if few[0][4] in DELIMITERS else None
    if (log := keyed(few)) is not None:
        log = keyed(list(_every(data))) or log
        return _of_cells(log, decimal, source)
    plan = plan_of(few, _every(data), delimiter, decimal, source.label)
    data, torn = _torn_end(data, plan)
    table = fast(data, plan, path, cut=bool(torn))
    found = [table] if table is not None else tables(Lines(Text(data), plan, source.label), plan)
    if torn and found:
        found[-1].skip(data.count(b"\n") + 1, "torn: the last line ends within a number", torn)
    return plan, found


def _of_cells(lines: list[Line], decimal: str | None, source: Source) -> tuple[Plan, list[Table]]:
    """Plan and tables of lines that are split already."""
    if decimal == "either":
        for line in lines:
            line.cells = [c.replace(",", ".") if isinstance(c, str) else c for c in line.cells]
        decimal = "."
    plan = plan_of_cells([line.cells for line in lines], decimal, source.label)
    return plan, tables(Lines(lines, plan, source.label), plan)


def _one_sign(data: bytes, few: list[str], delimiter: str | None, label: str) -> bytes:
    """Text whose commas are points, as both are decimal signs."""
    plan = plan_of(few, [], delimiter, ",", label)
    if plan.delimiter == ",":
        raise InputError("cannot be either: commas part the columns", where=f"{label}:decimal",
                         got="either", expected='"." or ","')  # fmt: skip
    return data.replace(b",", b".")


def no_rows(source: Source) -> InputError:
    """Error of a file without rows.

    Parameters
    ----------
    source : Source
        The file.

    Returns
    -------
    InputError
        To be raised.
    """
    return InputError(
        "holds no rows of numbers", where=source.label,
        expected="rows of load and travel in columns",
    )  # fmt: skip


def _every(data: bytes) -> Any:
    """All lines of a text, made only when they are asked for."""
    yield from data.decode("utf-8", "replace").replace("\r\n", "\n").split("\n")


def _joined(data: bytes) -> bytes:
    """Join headings in quotes that run over several lines; the numbers of the lines stay."""
    cut = data.find(b"\n", _HEADINGS)
    head = data[:cut] if cut >= 0 else data
    if b'"' not in head:
        return data
    lines, joined = head.split(b"\n"), False
    for i, line in enumerate(lines):
        if line.count(b'"') % 2 == 0 or not re.search(rb'(^|[,;\t|])\s*"[^"]*$', line):
            continue
        for stop in range(i + 1, min(i + 5, len(lines))):
            part = b" ".join(x.strip(b"\r") for x in lines[i : stop + 1])
            if part.count(b'"') % 2 == 0:
                lines[i : stop + 1] = [*[b""] * (stop - i), part]
                joined = True
                break
    return b"\n".join(lines) + (data[cut:] if cut >= 0 else b"") if joined else data


def _torn_end(data: bytes, plan: Plan) -> tuple[bytes, str]:
    """Take away a last line without an end that has fewer decimals than all others."""
    if data.endswith((b"\n", b"\r")) or data.count(b"\n", -4096 if len(data) > 4096 else 0) < 3:
        return data, ""
    lines = data[-4096:].decode("utf-8", "replace").splitlines()[1:]
    last, before = lines[-1], lines[-4:-1]
    mark = plan.delimiter if plan.delimiter != " " else None

    def places(line: str) -> int:
        cells = line.strip('" ').split(mark)
        return len(cells[-1].strip('" ').partition(plan.decimal)[2]) if cells else 0

    lengths, end = {places(line) for line in before}, places(last)
    if len(before) < 3 or len(lengths) != 1 or end >= min(lengths):
        return data, ""
    return data[: data.rfind(b"\n") + 1], clean(last, 60)


def of_book(
    source: Source, decimal: str | None, wanted: str | None
) -> list[tuple[Plan, list[Table]]]:
    """Find the tables of each sheet of a workbook.

    Parameters
    ----------
    source : Source
        The file.
    decimal : str, optional
        Sign in cells of text, where the user has said.
    wanted : str, optional
        Title of the one sheet that is read.

    Returns
    -------
    list of tuple of Plan and list of Table
        One a sheet with rows of numbers.

    Raises
    ------
    InputError
        If there is no such sheet, or no rows of numbers.
    """
    found, notes = [], []
    all_sheets = sheets(source.data, source.label)
    titles = [title for title, _, _ in all_sheets]
    if wanted is not None and wanted not in titles:
        raise unknown_key("sheet", wanted, titles, where=source.label)
    for title, lines, note in all_sheets:
        if wanted is not None and title != wanted:
            continue
        try:
            turned = upright(lines, source.notes) or lines
            plan, made = _of_cells(turned, decimal, source)
        except InputError:
            notes.append(f'Sheet "{clean(title)}" holds no rows of numbers.')
            continue
        for table in made:
            table.sheet = clean(title)
            table.notes += [note] if note else []
        found.append((plan, made))
    if not found:
        raise no_rows(source)
    source.notes += notes
    return found
