"""Stock lists as people keep them, CSV or XLSX, into tubes; doubtful rows are refused by name."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tubecalc.errors import InputError, unknown_key
from tubecalc.stock_header import SIZES, Column, Header, find_header, length_unit
from tubecalc.stock_parts import Part, parts, unit_above
from tubecalc.stock_read import Row, Sheet, load
from tubecalc.stock_reader import Context, Problem, fold
from tubecalc.stock_rows import read_row
from tubecalc.stock_tables import GAUGES
from tubecalc.unit_text import split_quantity

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["COLUMNS", "Problem", "Stock", "read_stock"]

COLUMNS = (
    *("id", "construction", "od_mm", "id_mm", "wall_mm", "length_mm"),
    *("quantity", "price", "currency", "note", "row"),
)
_TEXT = ("id", "construction", "currency", "note")
_ANSWERS = ("od", "id", "wall", "length", "gauge", "construction", "currency")
_PAGE = re.compile(r"(page|seite|sheet|blatt)\b", re.IGNORECASE)
_TOTAL = re.compile(
    r"(grand |sub)?-?\s*totals?\b.*|(sum|(gesamt|zwischen)?summe|gesamt|totale?|suma)\b.*",
    re.IGNORECASE,
)
_RULE = re.compile(r":?[-=_]{2,}:?")  # a drawn line
_UNREAD = {"price per length": "price of a piece", "stock in length": "number of pieces"}


@dataclass(frozen=True)
class Stock:
    """A stock list as understood.

    Parameters
    ----------
    table : pandas.DataFrame
        One row per usable tube: id, construction (key, "" where not known), od_mm, id_mm, wall_mm,
        length_mm, quantity, price, currency, note, row (line or row in the file). A length,
        quantity or price that the list does not give is NaN.
    problems : list of Problem
        What was refused or doubtful, by row and column; `refused` says whether the row is out.
    understood : str
        How the file was read: encoding, header, columns, units, rows skipped.
    name : str
        Name of the file.
    """

    table: pd.DataFrame
    problems: list[Problem]
    understood: str
    name: str

    def __len__(self) -> int:
        return len(self.table)

    def problem_table(self) -> pd.DataFrame:
        r"""Give the problems as a table.

        Returns
        -------
        pandas.DataFrame
            Columns row, column, message, refused.

        Examples
        --------
        >>> read_stock(b"Ref,OD mm,Wall mm\nA,10,0\n").problem_table()["row"].tolist()
        [0, 2]
        """
        rows = [(p.row, p.column, p.message, p.refused) for p in self.problems]
        import pandas as pd

        return pd.DataFrame(rows, columns=["row", "column", "message", "refused"])


def read_stock(
    path: str | Path | bytes,
    *,
    name: str | None = None,
    known: Mapping[str, str] | None = None,
    assume: Mapping[str, str] | None = None,
) -> Stock:
    r"""Read a stock list; keep the rows that are certain and name the others.

    Parameters
    ----------
    path : str, pathlib.Path or bytes
        A CSV, TSV or XLSX file, or its content.
    name : str, optional
        Name for messages, where content is given.
    known : mapping of str to str, optional
        Construction key by the name used in lists; by default the names in tubecalc's data.
    assume : mapping of str to str, optional
        Answers to what the list leaves open: a unit for "od", "id", "wall" or "length" where the
        heading names none, "gauge" ("SWG" or "BWG"), "construction" (a key) for rows without one,
        "currency".

    Returns
    -------
    Stock
        With `.table`, `.problems`, `.understood`.

    Raises
    ------
    InputError
        If the file cannot be read, or no row of headings is found in it.

    Notes
    -----
    Headings may be English, German, French, Spanish, Italian or Dutch (general trade words,
    MEMORY). Tables below or beside each other are read by their own headings; of a workbook the
    first sheet with headings is read and the others are named. What can be read in two ways is
    refused and asked: dates, bare gauges, nominal names, 11/2, 1.500 in a list with decimal commas.

    Examples
    --------
    >>> stock = read_stock(b"Ref,OD mm,ID mm\nA1,25,22\nA2,05-Aug,22\n")
    >>> stock.table[["id", "od_mm", "wall_mm"]].values.tolist()
    [['A1', 25.0, 1.5]]
    >>> print(stock.problems[1])  # doctest: +ELLIPSIS
    row 3, OD mm: holds the date "05-Aug", which a spreadsheet may have made of 5/8 or 8/5; ...
    """
    answers = _answers(assume or {})
    label, sheets = load(path, name)
    sheet, header, others = _choose(sheets, label)
    problems: list[Problem] = []
    records: list[dict[str, Any]] = []
    told: list[str] = []
    for part in parts(sheet, header):
        more, said, words = _read_part(sheet, part, answers, known)
        records += more
        problems += [p for p in said if p not in problems]
        told.append(words)
    records, repeats = _once(records)
    problems += repeats + _others(others, records)
    if not records and not any(problem.refused for problem in problems):
        problems.append(Problem(0, "", "no tube stands below the headings", refused=False))
    problems.sort(key=lambda problem: problem.row)
    refused = len({p.row for p in problems if p.refused})
    count = f"tubes read: {len(records)}, rows refused: {refused}"
    words = "; ".join([f"{label}: {sheet.understood}", *told, count]) + "."
    return Stock(_frame(records), problems, words, label)


def _read_part(
    sheet: Sheet, part: Part, answers: dict[str, str], known: Mapping[str, str] | None
) -> tuple[list[dict[str, Any]], list[Problem], str]:
    """Read one table of the sheet: its tubes, what is to be said, how it was understood."""
    header = part.header
    units, remarks = _units(sheet, part, answers)
    context = Context(
        units=units,
        gauge=_gauge(header, answers),
        decimal_comma=sheet.decimal_comma,
        known=_default_known() if known is None else known,
        construction=answers.get("construction", ""),
        currency=answers.get("currency") or _currency(header),
    )
    records: list[dict[str, Any]] = []
    problems: list[Problem] = []
    skipped: list[str] = []
    grouped = False
    titles = next(tuple(c.text for c in r.cells) for r in sheet.rows if r.number == header.row)
    indices = {column.index for column in header.columns.values()}
    for row in part.rows:
        if part.shared and not any(row.cell(index).text for index in indices):
            continue  # only the table beside has this row
        reason, group = _skip(row, header, titles)
        if group and "construction" not in header.columns:
            key = context.folded.get(fold(group), "")
            grouped = grouped or bool(key)
            context = replace(context, construction=key or answers.get("construction", ""))
            reason = f'("{group}") names the construction of the rows below' if key else reason
        if reason is not None:
            skipped += [f"row {row.number} {reason}"] if reason else []
            continue
        record, said = read_row(row, header, context)
        problems += said
        records += [record] if record is not None else []
    known_kind = grouped or any(record["construction"] for record in records)
    known_kind = known_kind or bool(answers.get("construction"))
    return (
        records,
        _list_problems(header, known_kind) + problems,
        _told(header, remarks, skipped, part.first),
    )


def _answers(assume: Mapping[str, str]) -> dict[str, str]:
    """Check what the caller assumes."""
    out = dict(assume)
    for key, value in out.items():
        if key not in _ANSWERS:
            raise unknown_key("answer", key, _ANSWERS, "assume")
        if key in (*SIZES, "length") and not length_unit(value):
            raise InputError("is not a unit of length", where=f"assume:{key}", got=value)
        if key == "gauge" and value.upper() not in GAUGES:
            raise unknown_key("gauge", value, GAUGES, "assume:gauge")
    return out


def _choose(sheets: list[list[Sheet]], label: str) -> tuple[Sheet, Header, list[Sheet]]:
    """First sheet with a header, read by the separator that makes most of it."""
    for number, readings in enumerate(sheets):
        found = [(sheet, header) for sheet in readings if (header := find_header(sheet))]
        if found:
            sheet, header = max(found, key=lambda pair: len(pair[1].columns))
            return sheet, header, [r[0] for i, r in enumerate(sheets) if i != number]
    raise InputError(
        "has no row of headings with OD or ID and wall, or a description",
        where=label,
        expected="headings such as Ref, Type, OD mm, ID mm, Wall mm, Length mm",
    )


def _units(sheet: Sheet, part: Part, answers: dict[str, str]) -> tuple[dict[str, str], list[str]]:
    """Unit of each size column: its own, the answer, that of all sizes or of those beside it."""
    header = part.header
    stated = {
        role: unit
        for role in (*SIZES, "length")
        if role in header.columns and (unit := length_unit(header.columns[role].unit))
    }
    units = {**{k: v for k, v in answers.items() if k in (*SIZES, "length")}, **stated}
    beside = {stated[role] for role in SIZES if role in stated}
    remarks = []
    unit, line = unit_above(sheet, header)
    for role in (*SIZES, "length", "description"):
        column = header.columns.get(role)
        if not unit or column is None or role in units or _is_gauge(header, column):
            continue
        units["od" if role == "description" else role] = unit
        remarks.append(f'"{column.heading}" is read in {unit}, as "{line[:60]}" above says')
    for role in SIZES:
        column = header.columns.get(role)
        if column is None or role in units or len(beside) != 1:
            continue
        if _is_gauge(header, column) or "unit" in header.columns:
            continue
        own = {_own_unit(row.cell(column.index).text) for row in part.rows}
        if own - {""} <= beside:
            units[role] = next(iter(beside))
            remarks.append(
                f'"{column.heading}" names no unit, read in {units[role]} like the others'
            )
    return units, remarks


def _is_gauge(header: Header, column: Column) -> bool:
    return "gauge" in header.columns and header.columns["gauge"].index == column.index


def _own_unit(text: str) -> str:
    try:
        return length_unit(split_quantity(text)[1])
    except InputError:
        return ""


def _gauge(header: Header, answers: dict[str, str]) -> str:
    """Gauge named by the heading or the answer."""
    column = header.columns.get("gauge")
    named = column.unit.upper() if column else ""
    return named if named in GAUGES else answers.get("gauge", "").upper()


def _currency(header: Header) -> str:
    column = header.columns.get("price")
    unit = column.unit if column else ""
    return {"€": "EUR", "£": "GBP"}.get(unit, unit.upper() if len(unit) == 3 else unit)


def _default_known() -> dict[str, str]:
    """Keys and names of the constructions and metals of tubecalc's data.

    A bare "304" is taken as annealed, the weaker of the two conditions; the row's note says so.
    """
    from tubecalc.laminate.construction import composites, metals

    everything = {**composites(), **metals()}
    names = {text: key for key, c in everything.items() for text in (key, c.name)}
    return {**names, **({"304": "304-annealed"} if "304-annealed" in everything else {})}


def _list_problems(header: Header, known_kind: bool) -> list[Problem]:
    """Say what concerns the whole list."""
    out = [Problem(0, "", remark, refused=False) for remark in header.remarks]
    if "diameter" in header.columns and "od" not in header.columns:
        heading = header.columns["diameter"].heading
        out.append(Problem(0, heading, "does not say outside or inside; it was not read", False))
    for role, words in _UNREAD.items():
        if role in header.columns:
            message = f"is no {words}; it was not read"
            out.append(Problem(0, header.columns[role].heading, message, False))
    if "construction" not in header.columns and not known_kind:
        out.append(Problem(0, "", "no column names the construction of the tubes", refused=False))
    return out


def _skip(row: Row, header: Header, titles: tuple[str, ...]) -> tuple[str | None, str]:
    """Reason to pass over a row ("" in silence, None for a row to read) and its lone text."""
    if row.blank:
        return "", ""
    texts = [cell.text for cell in row.cells if cell.text]
    if all(_RULE.fullmatch(text) for text in texts):
        return "", ""
    if _TOTAL.fullmatch(texts[0]):
        return f'("{texts[0]}") is a total', ""
    if tuple(cell.text for cell in row.cells) == titles:
        return "repeats the headings", ""
    sized = [
        header.columns[role].index for role in (*SIZES, "description") if role in header.columns
    ]
    if len(texts) == 1 and not any(row.cell(index).text for index in sized):
        return f'holds only "{texts[0][:60]}"', "" if _PAGE.match(texts[0]) else texts[0]
    return None, ""


def _once(records: list[dict[str, Any]]) -> tuple[list[dict[str, Any]], list[Problem]]:
    """Keep exact repeats once; tell where one id stands for two sections."""
    seen: dict[tuple[Any, ...], dict[str, Any]] = {}
    sections: dict[str, dict[str, Any]] = {}
    problems: list[Problem] = []
    for record in records:
        row = record["row"]
        key = tuple("" if record[k] != record[k] else record[k] for k in COLUMNS[:-2])
        twin = seen.setdefault(key, record)
        if twin is not record:
            said = f"repeated in row {row}, kept once"
            twin["note"] = "; ".join(filter(None, (twin["note"], said)))
            problems.append(Problem(row, "", f"repeats row {twin['row']}; it was kept once"))
            continue
        other = sections.setdefault(record["id"], record) if record["id"] else record
        if any(record[k] != other[k] for k in ("od_mm", "id_mm", "wall_mm")):
            message = f'"{record["id"]}" also stands for another size in row {other["row"]}'
            problems.append(Problem(row, "", message, refused=False))
    return list(seen.values()), problems


def _others(sheets: list[Sheet], records: list[dict[str, Any]]) -> list[Problem]:
    """Report the sheets that were not read, and which of the ids read they list too."""
    out = []
    ids = {record["id"] for record in records} - {""}
    for sheet in sheets:
        filled = [row for row in sheet.rows if not row.blank]
        if not filled:
            continue
        shared = sorted(ids & {cell.text for row in filled for cell in row.cells})
        also = f" and also lists {', '.join(shared[:5])}" if shared else ""
        rows = f"{len(filled)} filled row{'s' if len(filled) > 1 else ''}"
        out.append(Problem(0, "", f"{sheet.understood} has {rows}{also}; it was not read", False))
    return out


def _frame(records: list[dict[str, Any]]) -> pd.DataFrame:
    import pandas as pd

    table = pd.DataFrame(records, columns=list(COLUMNS))
    kinds = {c: "object" if c in _TEXT else "float64" for c in COLUMNS}
    return table.astype({**kinds, "row": "int64"})


def _told(header: Header, remarks: list[str], skipped: list[str], first: bool) -> str:
    """Say how one table was read."""
    columns = [
        f'{role} from "{c.heading}"'
        + (f" in {c.unit}" if c.unit and c.unit not in c.heading else "")
        for role, c in header.columns.items()
        if role not in ("diameter", "gauge", *_UNREAD)
    ]
    above = f", {header.row - 1} rows above it passed over" if first and header.row > 1 else ""
    units = f", units in row {header.units_row}" if header.units_row else ""
    said = [
        f"headings in row {header.row}{units}{above}",
        ", ".join(columns),
        *remarks,
        f"not used: {', '.join(header.unused)}" if header.unused else "",
        *skipped,
    ]
    return "; ".join(part for part in said if part)
