"""One row of a stock list into one tube, or into sentences that say why not."""

from __future__ import annotations

import math
import re
from typing import Any

from tubecalc.errors import InputError, near
from tubecalc.stock_cells import MISSING, gauge, price, quantity, size
from tubecalc.stock_header import SIZES, Header, length_unit
from tubecalc.stock_read import Cell, Row
from tubecalc.stock_reader import Context, Problem, Reader, fold
from tubecalc.stock_tables import Pipe
from tubecalc.stock_words import NOT_ROUND
from tubecalc.unit_text import split_quantity

__all__ = ["WALL_AGREES_MM", "read_row"]

WALL_AGREES_MM = 0.05  # a wall and (OD - ID)/2 further apart than this contradict each other
LARGEST_MM = 3000.0  # an outside diameter above this is a slip of the unit or a date as a number
LONGEST_MM = 100e3
_STANDARD = "ASME B36.10M"
_INCH_HABIT = re.compile(r"(?<![\d.])\.\d")  # .065 without a leading zero
_FEET = re.compile(r"\d\s*(ft|feet|foot|in|inch(es)?|['\"′″])", re.IGNORECASE)
_SCHEDULE = re.compile(r"sch(?:edule|\.)?\s*(\d{1,3})\s*s?", re.IGNORECASE)


def _from_pipe(reader: Reader, pipe: Pipe, schedule: str) -> dict[str, float]:
    """OD and wall of a nominal pipe, with the standard noted; refused where not settled."""
    role = "od" if reader.cell("od").text else "description"
    name = f"NPS {pipe.nps} (DN {pipe.dn})"
    written = _SCHEDULE.fullmatch(reader.cell("wall").text)
    schedule = schedule or (written[1] if written else "")
    if schedule:
        if schedule not in pipe.walls:
            reader.problem(
                role, f"{name} in schedule {schedule} is not in the table; write OD, wall"
            )
            return {}
        reader.note(f"{name} schedule {schedule} by {_STANDARD}")
        return {"od": pipe.od, "wall": pipe.walls[schedule]}
    wall = reader.size("wall")
    if wall is None:
        if not reader.problems:
            reader.problem(
                role,
                f"{name} is a nominal pipe, OD {pipe.od} mm; its wall or schedule is not stated",
            )
        return {}
    if not pipe.agreed and reader.cell(role).text.upper().startswith("DN"):
        reader.problem(
            role,
            f"DN {pipe.dn} is {pipe.od} mm by {_STANDARD} but {pipe.en_od} mm by EN 10220; "
            "write the OD",
        )
        return {}
    reader.note(f"{name} by {_STANDARD}")
    return {"od": pipe.od, "wall": wall}


def _described(reader: Reader) -> dict[str, float]:
    """OD and wall from a description such as "38 x 1.5 mm tube", its length too if told apart."""
    text = reader.cell("description").text
    made, _, rest = re.sub(r"\b(tubing|chs)\b", "tube", text, flags=re.I).partition("tube ")
    if rest and fold(made) in reader.context.folded:  # 6061-T6 tube 25 x 1.5 mm
        reader.made, text = made.strip(), rest
    text = re.sub(r"\b(tube|tubing|round|chs)\b", "", text, flags=re.I)
    parts = [part.strip() for part in re.split(r"\s*[x×*]\s*", text.strip(), flags=re.I)]
    parts = _labelled(text.strip()) if len(parts) == 1 else parts
    parts[0] = re.sub(r"^[^\W\d_]+([- ][^\W\d_]+)*\s+(?=[Øø⌀\d])", "", parts[0])  # words before
    if len(parts) == 3 and "length" not in reader.header.columns and _is_length(parts):
        reader.length = parts.pop()
    if len(parts) != 2 or not all(re.match(r"[Øø⌀]?\s*[\d.½¼¾⅛]", part) for part in parts):
        gives = "more than OD and wall" if len(parts) > 2 else "no OD and wall"
        reader.problem("description", f'"{text.strip()}" gives {gives}')
        return {}
    unit = reader.context.units.get("od", "")
    bare = [re.sub(r"(?i)\b(od|id|wall|wt)\b", "", part).strip() for part in parts]
    if not unit:
        unit = _shared_unit(reader, bare)
    if not unit and not any(_own_unit(part) for part in bare):
        reader.problem(
            "description", f'"{text.strip()}" names no unit; write for example "38 x 1.5 mm"'
        )
        return {}
    second = "id" if re.search(r"(?i)\bid\b", parts[1]) else "wall"
    out = {}
    for role, part in zip(("od", second), bare, strict=True):
        try:
            wall = gauge(part, reader.context.gauge, bare=False) if role == "wall" else None
            read = wall or size(Cell(part), unit)
        except InputError as error:
            ask = error.message.replace("in the heading, for example", "behind it, for example")
            reader.problem("description", ask.replace('"OD mm"', '"38 x 1.5 mm"'))
            continue
        if read:
            reader.note(read.note)
            out[role] = read.mm
    if second == "wall" and out.get("od", 0.0) > out.get("wall", 0.0) >= out.get("od", 0.0) / 2:
        reader.note(f'"{parts[1]}" is no wall of such a tube and read as its bore')
        out["id"] = out.pop("wall")
    return out


def _labelled(text: str) -> list[str]:
    """Parts of "OD12 ID10 mm", each label behind its number as in "12 OD x 10 ID mm"."""
    match = re.fullmatch(r"(?i)od\s*=?\s*([\d.]+)[ ,/]+(id|wt|wall)\s*=?\s*([\d.]+)\s*(\w+)", text)
    return [f"{match[1]} {match[4]}", f"{match[3]} {match[4]} {match[2]}"] if match else [text]


def _is_length(parts: list[str]) -> bool:
    """Whether the third part is a length beyond doubt.

    It is in feet or metres behind a labelled or an inch-like wall; or all three are in mm and the
    third is four times the first or more. The unit behind the last then goes to the others.
    """
    if re.fullmatch(r"(?i)[\d.]+\s*(m|ft|feet)|\d+\s*['′]", parts[2]):
        named = re.search(r"(?i)\b(wall|wt|id)\b", parts[1])
        return bool(named or _INCH_HABIT.match(parts[1]))
    plain = [re.fullmatch(r"[Øø⌀]?\s*(\d+(?:\.\d+)?)\s*(mm)?", part) for part in parts]
    if not all(plain) or not parts[2].endswith("mm"):
        return False
    first, _, third = (float(match[1]) for match in plain if match)
    parts[:2] = [part if part.endswith("mm") else f"{part} mm" for part in parts[:2]]
    return third >= 4 * first


def _own_unit(text: str) -> str:
    """Give whatever stands behind the number of a size, a gauge too."""
    try:
        return split_quantity(text)[1]
    except InputError:
        return ""


def _shared_unit(reader: Reader, parts: list[str]) -> str:
    """Unit behind the last size for both; inches where two signs of the row agree on them."""
    if _own_unit(parts[0]) or _own_unit(parts[1]):
        return length_unit(_own_unit(parts[1]))
    if any(_INCH_HABIT.search(part) for part in parts) and _FEET.search(
        reader.length or reader.cell("length").text
    ):
        reader.note("read as inches: decimals without a leading zero and a length in feet")
        return "in"
    return ""


def _sizes(reader: Reader) -> dict[str, float]:
    """OD, ID and wall of the row in mm, two of which fix the third."""
    pipe = reader.pipe()
    if pipe:
        found = _from_pipe(reader, *pipe)
    elif reader.problems:
        return {}
    elif {"od", "id"} & set(reader.header.columns) or "description" not in reader.header.columns:
        read = {role: reader.size(role) for role in SIZES}
        found = {role: mm for role, mm in read.items() if mm is not None}
    else:
        found = _described(reader)
    return {} if reader.problems else _agree(reader, found)


def _agree(reader: Reader, found: dict[str, float]) -> dict[str, float]:
    """Complete and check OD, ID and wall against each other."""
    od, bore, wall = (found.get(role, math.nan) for role in SIZES)
    given = len(found)
    for role, mm in found.items():
        if mm > LARGEST_MM:
            text = reader.cell(role).text
            reader.problem(
                role, f'"{text}" would be {mm / 1e3:g} m; a date may stand here as its number'
            )
            return {}
    if given < 2:
        missing = [
            role.upper() if role != "wall" else "wall" for role in SIZES if role not in found
        ]
        reader.problem("wall" if "od" in found else "od", f"{' and '.join(missing)} not given")
        return {}
    if math.isnan(od):
        od = bore + 2 * wall
    if not math.isnan(bore) and bore >= od:
        reader.problem("id", f"ID {bore:g} mm is not smaller than OD {od:g} mm")
        return {}
    if math.isnan(wall):
        wall = (od - bore) / 2
    if 2 * wall >= od:
        reader.problem("wall", f"wall {wall:g} mm is not smaller than the radius of OD {od:g} mm")
        return {}
    if given == 3 and abs(wall - (od - bore) / 2) > WALL_AGREES_MM:
        reader.problem(
            "wall",
            f"wall {wall:g} mm contradicts (OD - ID)/2 = {(od - bore) / 2:g} mm "
            f"from OD {od:g} and ID {bore:g} mm",
        )
        return {}
    if math.isnan(bore):
        bore = od - 2 * wall
    return {"od_mm": round(od, 4), "id_mm": round(bore, 4), "wall_mm": round(wall, 4)}


def _other_shape(reader: Reader) -> bool:
    """Refuse what is no round tube by its shape or description."""
    for role in ("shape", "description", "construction"):
        text = reader.cell(role).text
        if NOT_ROUND.search(text):
            column = reader.header.columns[role].heading
            message = f'"{text}" is no round tube'
            reader.problems.append(Problem(reader.row.number, column, message))
            return True
    return False


def _construction(reader: Reader) -> str:
    """Key of the construction; "" with a problem where the text matches none."""
    texts = [reader.cell("construction").text or reader.made, reader.cell("face").text]
    if texts[0].lower() in MISSING:
        if "construction" in reader.header.columns and not reader.context.construction:
            reader.problem("construction", "no construction is given", refused=False)
        return reader.context.construction
    text = " ".join(t for t in texts if t.lower() not in MISSING)
    key = reader.context.folded.get(fold(text))
    if key is not None:
        reader.note(f'"{text}" read as {key}' if fold(text) != fold(key) else "")
        return key
    hint = near(text, reader.context.known)
    reader.problem(
        "construction",
        f'construction "{text}" is not known' + (f", {hint.rstrip('?')}" if hint else ""),
        refused=False,
    )
    return ""


def read_row(
    row: Row, header: Header, context: Context
) -> tuple[dict[str, Any] | None, list[Problem]]:
    """Read one row.

    Parameters
    ----------
    row : Row
        The cells.
    header : Header
        What each column holds.
    context : Context
        What holds for all rows.

    Returns
    -------
    tuple of dict or None, and list of Problem
        The tube, None where the row is refused; and what is to be said about it.
    """
    reader = Reader(row, header, context)
    if row.torn_to:
        reader.problems.append(
            Problem(
                row.number,
                "",
                f"a quotation mark opened here runs lines {row.number} to {row.torn_to} together",
            )
        )
        return None, reader.problems
    sizes = {} if _other_shape(reader) else _sizes(reader)
    length = (
        size(Cell(reader.length), "")
        if reader.length
        else reader.attempt("length", lambda c: size(c, reader.unit("length"), "Length mm"))
    )
    if length and length.mm > LONGEST_MM:
        reader.problem("length", f"{length.mm / 1e3:g} m is longer than a tube is kept")
    if length and length.mm < sizes.get("od_mm", 0.0):
        _short(reader, length.mm, sizes["od_mm"])
    count = reader.attempt("quantity", quantity, refused=False)
    cost = reader.attempt("price", price, refused=False)
    if any(problem.refused for problem in reader.problems):
        return None, reader.problems
    record: dict[str, Any] = {
        "id": reader.cell("ref").text,
        "construction": _construction(reader),
        **sizes,
        "length_mm": length.mm if length else math.nan,
        "quantity": count.mm if count else math.nan,
        "price": cost[0] if cost else math.nan,
        "currency": (cost[1] or reader.cell("currency").text or context.currency) if cost else "",
    }
    reader.note(length.note if length else "", count.note if count else "")
    _more_notes(reader, length is None, count is not None and count.mm == 0)
    return {**record, "note": "; ".join(reader.notes), "row": row.number}, reader.problems


def _short(reader: Reader, mm: float, od: float) -> None:
    """Say that a piece is shorter than it is wide; refuse "1.500", which may be 1500."""
    text = reader.cell("length").text
    if re.fullmatch(r"\d{1,3}\.\d{3}", text):
        reader.problem("length", f'"{text}" may mean {text.replace(".", "")} or {float(text):g}')
    else:
        message = f"length {mm:g} mm is less than the OD of {od:g} mm"
        reader.problem("length", message, refused=False)


def _more_notes(reader: Reader, no_length: bool, none_left: bool) -> None:
    """Add what the row says beside its sizes."""
    reader.note(reader.cell("note").text)
    for column in reader.header.columns.values():
        cell = reader.row.cell(column.index)
        reader.note(f"comment at {column.heading}: {cell.comment}" if cell.comment else "")
        reader.note(f"{column.heading} {cell.note}" if cell.note else "")
    if reader.cell("price").text.lower() == "poa":
        reader.note("price on application")
    if no_length and "length" in reader.header.columns:
        reader.note("no length given")
    if none_left:
        reader.note("none in stock")
    if reader.row.hidden:
        reader.note("hidden row")
        message = "the row is hidden in the sheet; it was read"
        reader.problems.append(Problem(reader.row.number, "", message, refused=False))
