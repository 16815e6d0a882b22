"""Which column of a stock list holds what, and in which unit."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from tubecalc.stock_read import Row, Sheet
from tubecalc.stock_words import PER_LENGTH, heading_role
from tubecalc.unit_tables import KINDS, parse_unit

__all__ = ["SIZES", "Column", "Header", "find_header", "header_at", "length_unit"]

SIZES = ("od", "id", "wall")
_LOOK = 40  # rows searched for the header
_MARK_UNITS = {'"': "in", "'": "ft", "″": "in", "inches": "in", "metres": "m", "meters": "m"}
_MARK_UNITS |= {"millimetres": "mm", "millimeters": "mm", "metre": "m", "meter": "m"}
_CURRENCY = {"€": "EUR", "£": "GBP", "$": "$"}
_CODES = r"eur|gbp|usd|chf|sek|nok|dkk|pln|czk|jpy|cad|aud"
_OUT, _IN, _DIA = r"(outside|outer|external)", r"(inside|inner|internal)", r"(diam(eter)?|dia)"
_ROLES: dict[str, str] = {  # the first that matches the folded header names the role
    "od": rf"od|o/d|{_OUT}( {_DIA})?|{_DIA} {_OUT}|{_OUT} ø|ø {_OUT}|tube od",
    "id": rf"id|i/d|{_IN}( {_DIA})?|{_DIA} {_IN}|{_IN} ø|bore( {_DIA})?|tube id",
    "gauge": r"(wall )?(ga(u)?ge|swg|bwg)",
    "wall": r"(tube )?wall( (thickness|thk|th))?|wt|w/t|thickness|thk|t",
    "length": r"(stock |bar |piece )?(lengths?|len|lg)|l",
    "quantity": r"(stock )?(qty|quantity)|pieces|pcs|(in |on )?stock|on hand|no off|count",
    "price": r"(unit |list )?price( each)?|cost( each)?|each|price per (piece|length|pc)",
    "currency": r"currency|cur|ccy",
    "ref": r"(stock |our |item )?(ref(erence)?|item|part|code|sku|article)( (no|number|nr|code))?"
    r"|no|nr",
    "description": r"(item )?desc(ription)?|sizes?|dimensions?|section|od ?[x×] ?(wall|wt)",
    "construction": r"construction|material|type|grade|alloy|lay-?up|make|process",
    "face": r"(outer|outside|surface|face|top) (ply|layer|face)|surface|face",
    "note": r"notes?|remarks?|comments?|status|condition",
    "diameter": rf"{_DIA}|ø|tube {_DIA}",
}


@dataclass(frozen=True)
class Column:
    """One column: what it holds, its heading, its unit ("" where none is stated)."""

    role: str
    index: int
    heading: str
    unit: str = ""
    rank: str = ""  # "actual" or "nominal", where the heading says it of a size


@dataclass(frozen=True)
class Header:
    """The understood heading of a sheet; further tables beside it in `beside`."""

    row: int
    first: int
    columns: dict[str, Column]
    unused: tuple[str, ...] = ()
    remarks: tuple[str, ...] = field(default_factory=tuple)
    units_row: int = 0
    twins: tuple[Column, ...] = ()  # further columns of a size, to be compared
    beside: tuple[Header, ...] = ()

    @property
    def usable(self) -> bool:
        """Whether sizes can be found below it."""
        named = set(self.columns)
        sized = {"od", "id", "description"} & named or {"diameter", "wall"} <= named
        return bool(sized) and len(named) > 1


def _fold(text: str) -> str:
    """Lower case without dots, underscores and doubled spaces: "O.D._mm" gives "od mm"."""
    text = text.lower().replace("_", " ").replace("⌀", "ø")
    text = re.sub(r"(?<=\w)\.(?=\w)", "", text).replace(".", " ")
    return " ".join(text.split())


def length_unit(text: str) -> str:
    """Unit of length that a heading names, in the spelling of the units table; else ""."""
    unit = _MARK_UNITS.get(text.strip().strip("[]().").lower(), text.strip().strip("[]()."))
    parsed = parse_unit(unit) if unit and len(unit) < 8 else None
    return unit if parsed and parsed[1] == KINDS["length"].dimension else ""


def _unit_of(heading: str) -> tuple[str, str]:
    """Split a heading into its name and the unit behind it."""
    match = re.fullmatch(r"(.*?)\s*(?:[\[(]\s*([^\])]+)\s*[\])]|[ ,/:_]\s*(\S+)|(\"))\s*", heading)
    if match is None:
        return heading, ""
    inside = match[2] or match[3] or match[4] or ""
    unit = length_unit(inside)
    if unit or match[2] or re.fullmatch(_CODES, inside, re.IGNORECASE):
        return match[1], unit or inside
    return heading, ""


def _column(index: int, heading: str) -> Column:
    name, unit = _unit_of(heading)
    folded = _fold(name)
    if re.search(r"[€£$]", heading):
        folded = re.sub(r"[€£$]", "", folded).strip() or "price"
        unit = unit or next(code for mark, code in _CURRENCY.items() if mark in heading)
    rank, folded = _rank(folded)
    role = next((role for role, words in _ROLES.items() if re.fullmatch(words, folded)), "")
    role = role or heading_role(folded)
    if role == "gauge" and folded[-3:] in ("swg", "bwg"):
        unit = folded[-3:].upper()
    if role == "quantity" and length_unit(unit):
        return Column("stock in length", index, heading, unit)
    if PER_LENGTH.search(heading):
        return Column("price per length", index, heading, unit)
    return Column(role, index, heading, unit if role else "", rank if role in SIZES else "")


def _rank(folded: str) -> tuple[str, str]:
    """Part "actual od" and "nominal od" into the rank of the size and its name."""
    words = r"(actual|act|measured|ist|nominal|nom|nenn)"
    match = re.fullmatch(rf"{words}[- ]*(.+)", folded) or re.fullmatch(rf"(.+) {words}", folded)
    if match is None or "bore" in folded:
        return "", folded
    rank, name = match.groups() if re.fullmatch(words, match[1]) else match.groups()[::-1]
    return ("nominal" if rank[0] == "n" else "actual"), name


def _headings(sheet: Sheet, at: int) -> list[str]:
    """Headings of a row; a merged group above fills a blank one or completes a vague one."""
    row = sheet.rows[at]
    group = sheet.spans.get(row.number - 1, ())
    out = []
    for index, cell in enumerate(row.cells):
        above = group[index] if index < len(group) else ""
        text = cell.text or above or (sheet.rows[at - 1].cell(index).text if group and at else "")
        joined = f"{above} {cell.text}".strip()
        if above and not _column(index, text).role and _column(index, joined).role:
            text = joined
        out.append(text)
    return out


def _units_row(row: Row, columns: list[Column]) -> list[str] | None:
    """Units of a row that holds nothing but units, one per column; None for a row of data."""
    found = [row.cell(i).text for i in range(max(len(row.cells), len(columns)))]
    merged = [column.heading for column in columns]  # a heading merged down stands here again
    found = ["" if found[i] == heading else found[i] for i, heading in enumerate(merged)]
    filled = [text for text in found if text]
    units = [text for text in filled if length_unit(text)]
    other = [t for t in filled if t not in units and not re.fullmatch(r"[\[(]?[-–]?[\])]?", t)]
    plain = [t for t in other if re.fullmatch(r"[\[(]?([€£$%]|[A-Z]{3}|pcs|each|off)[\])]?", t)]
    return found if units and len(other) == len(plain) else None


def _assign(columns: list[Column]) -> Header:
    """One column per role; doubled roles are named, a lone "ID" of references is settled."""
    chosen: dict[str, Column] = {}
    twins: list[Column] = []
    unused, remarks = [], []
    for column in columns:
        twin = chosen.get(column.role)
        if not column.role:
            unused += [column.heading] if column.heading else []
        elif twin is None:
            chosen[column.role] = column
        elif column.role == "id" and "ref" not in chosen and column.unit != twin.unit:
            plain, sized = (column, twin) if twin.unit else (twin, column)
            chosen["id"], chosen["ref"] = sized, replace(plain, role="ref")
        else:
            kept, other = twin, column
            if "actual" in (column.rank, twin.rank) and column.rank != twin.rank:
                kept, other = (twin, column) if twin.rank == "actual" else (column, twin)
            elif column.role in SIZES:
                twins.append(column)
            chosen[column.role] = kept
            where = " where they agree" if twins[-1:] == [column] else ""
            unused.append(other.heading)
            remarks.append(
                f'columns "{twin.heading}" and "{column.heading}" say the same; '
                f'"{kept.heading}" is read{where}'
            )
    if "gauge" in chosen and "wall" not in chosen:
        chosen["wall"] = replace(chosen["gauge"], role="wall")
    return Header(0, 0, chosen, tuple(unused), tuple(remarks), twins=tuple(twins))


def _side_by_side(columns: list[Column]) -> list[list[Column]]:
    """Part columns whose headings repeat as a whole: tables beside each other."""
    named = [column for column in columns if column.role]
    roles = [column.role for column in named]
    for period in range(2, len(roles) // 2 + 1):
        first = roles[:period]
        repeats = len(roles) % period == 0 and first * (len(roles) // period) == roles
        if repeats and len(set(first)) == period and "ref" in first and set(first) & set(SIZES):
            return [named[at : at + period] for at in range(0, len(named), period)]
    return [columns]


def _settle_id(sheet: Sheet, header: Header) -> Header:
    """Take a column "ID" as references where it holds no sizes at all."""
    column = header.columns.get("id")
    if column is None or column.unit or "ref" in header.columns:
        return header
    texts = [row.cell(column.index).text for row in sheet.rows[header.first :]]
    filled = [text for text in texts if text]
    if not filled or any(re.match(r"[-+]?[\d.,]+\s*(\D{0,3})$", text) for text in filled):
        return header
    columns = {k: v for k, v in header.columns.items() if k != "id"}
    return replace(header, columns={**columns, "ref": replace(column, role="ref")})


def find_header(sheet: Sheet) -> Header | None:
    """Find the row of headings and what each column holds.

    Parameters
    ----------
    sheet : Sheet
        The cells.

    Returns
    -------
    Header or None
        None where no row names an outside or inside diameter or a description.
    """
    best: Header | None = None
    for at in range(min(_LOOK, len(sheet.rows))):
        header = header_at(sheet, at)
        if header and (best is None or len(header.columns) > len(best.columns)):
            best = header
    return _settle_id(sheet, best) if best else None


def header_at(sheet: Sheet, at: int) -> Header | None:
    """Read one row as a row of headings.

    Parameters
    ----------
    sheet : Sheet
        The cells.
    at : int
        Position of the row in the sheet.

    Returns
    -------
    Header or None
        None where the row names no sizes.
    """
    row = sheet.rows[at]
    if sum(bool(cell.text) for cell in row.cells) < 2:
        return None
    columns = [_column(i, text) for i, text in enumerate(_headings(sheet, at))]
    first, units_row = at + 1, 0
    if first < len(sheet.rows):
        units = _units_row(sheet.rows[first], columns)
        if units is not None:
            columns = [
                replace(c, unit=c.unit or length_unit(u) or u.strip("[]() -–"))
                for c, u in zip(columns, units, strict=False)
            ]
            units_row, first = sheet.rows[first].number, first + 1
    tables = [
        replace(_assign(block), row=row.number, first=first, units_row=units_row)
        for block in _side_by_side(columns)
    ]
    header = replace(tables[0], beside=tuple(tables[1:]))
    return header if header.usable else None
