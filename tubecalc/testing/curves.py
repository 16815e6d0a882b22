"""Files of test machines into curves: what was understood is said, what is not clear is asked."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tubecalc.errors import InputError, unknown_key
from tubecalc.testing.curve import Curve, Question, Understood
from tubecalc.testing.curves_beside import beside
from tubecalc.testing.curves_bytes import Source, open_source
from tubecalc.testing.curves_columns import Made, make
from tubecalc.testing.curves_found import no_rows, of_book, of_text
from tubecalc.testing.curves_heads import clean
from tubecalc.testing.curves_line import DELIMITERS
from tubecalc.testing.curves_pages import joined_pages
from tubecalc.testing.curves_range import beside_the_top, codes
from tubecalc.testing.curves_roles import Answers, Roles
from tubecalc.testing.curves_shape import loops, shape_notes
from tubecalc.testing.curves_split import apart
from tubecalc.testing.curves_summary import without_summaries
from tubecalc.testing.curves_table import Plan, Table

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["read_curves"]

_WAYS = ("travel_mm", "extension_mm", "deflection_mm", "angle_deg")
Pick = str | int | Sequence[str | int] | None


def read_curves(
    path: str | Path | bytes,
    force: Pick = None,
    travel: Pick = None,
    force_unit: str | None = None,
    travel_unit: str | None = None,
    *,
    extension: Pick = None,
    deflection: Pick = None,
    torque: Pick = None,
    angle: Pick = None,
    time: Pick = None,
    extension_unit: str | None = None,
    strain_unit: str | None = None,
    stress_unit: str | None = None,
    torque_unit: str | None = None,
    angle_unit: str | None = None,
    time_unit: str | None = None,
    decimal: str | None = None,
    delimiter: str | None = None,
    encoding: str | None = None,
    split: str | None = None,
    sheet: str | None = None,
    name: str | None = None,
    large: bool = False,
) -> list[Curve]:
    r"""Read a file of a test machine: one curve per specimen.

    Columns, units, encoding, decimal sign and specimens are found; what can be read in two ways
    is asked in `Curve.questions`, whose answers are arguments of this function.

    Parameters
    ----------
    path : str, pathlib.Path or bytes
        A CSV, TXT, TSV or XLSX file, or its bytes.
    force, travel, extension, deflection, torque, angle, time : str or int, optional
        Heading of the column, or its number from 1; several for several extensometers. Found by
        its heading by default.
    force_unit, travel_unit, extension_unit, strain_unit, stress_unit, torque_unit, angle_unit

        Unit of the column as written in the file, for example "kN"; that of the file by default.
        That of the extension is also that of the deflection.
    time_unit : str, optional
        Unit of the time; for time stamps "h:min", "min:s", "day first" or "month first".
    decimal : str, optional
        "." or ","; "either" where both are decimal signs.
    delimiter : str, optional
        What parts the columns: ",", ";", tab, "|" or a blank.
    encoding : str, optional
        Name of the encoding.
    split : str, optional
        "specimens" or "one", where the travel of a file begins again.
    sheet : str, optional
        Title of the one sheet of a workbook that is to be read.
    name : str, optional
        Name of the file in messages; its own by default.
    large : bool, optional
        Read a file of more than 200 MB all the same; 2 GB are always refused.

    Returns
    -------
    list of Curve
        In the order of the file.

    Raises
    ------
    InputError
        If the file is empty, too large, no text and no workbook, or holds no rows of numbers; or
        an argument names what is not there.

    Examples
    --------
    >>> (curve,) = read_curves(b"Weg;Kraft\nmm;kN\n0,0;0,0\n0,5;1,25\n1,0;2,5\n")
    >>> curve.data["force_N"].tolist(), curve.data["travel_mm"].tolist()
    ([0.0, 1250.0, 2500.0], [0.0, 0.5, 1.0])
    >>> read_curves(b"mm,load\n0,0\n1,5\n2,9\n")[0].questions[0].argument
    'force_unit'
    """
    picks = {
        "force": force, "travel": travel, "extension": extension, "deflection": deflection,
        "torque": torque, "angle": angle, "time": time,
    }  # fmt: skip
    units = {
        "force_unit": force_unit, "travel_unit": travel_unit, "extension_unit": extension_unit,
        "strain_unit": strain_unit, "stress_unit": stress_unit, "torque_unit": torque_unit,
        "angle_unit": angle_unit, "time_unit": time_unit,
    }  # fmt: skip
    answers = Answers(
        {role: _picked(pick) for role, pick in picks.items() if pick is not None},
        {key: unit for key, unit in units.items() if unit},
        _one_of("split", split, ("specimens", "one")),
    )
    if decimal is not None and decimal not in (".", ",", "either"):
        raise InputError(f'unknown decimal "{decimal}"', expected='"." or "," or "either"')
    if delimiter is not None and delimiter not in DELIMITERS:
        raise InputError(
            f'unknown delimiter "{delimiter}"', expected='";" or "," or "|" or a tab or a blank'
        )
    try:
        source = open_source(path, name, encoding, large)
        if source.book:
            found = of_book(source, decimal, sheet)
        else:
            found = [of_text(source, decimal, delimiter)]
        return _curves(source, found, answers)
    except MemoryError:
        raise InputError(
            "does not fit into the memory of this machine",
            where=name or (Path(path).name if isinstance(path, str | Path) else "test file"),
            expected="a shorter file; let the machine write fewer rows a second",
        ) from None


def _picked(pick: str | int | Sequence[str | int]) -> Sequence[str | int]:
    return [pick] if isinstance(pick, str | int) else list(pick)


def _one_of(what: str, value: str | None, known: tuple[str, ...]) -> str:
    if value is not None and value not in known:
        raise unknown_key(what, value, known)
    return value or ""


def _curves(source: Source, found: list[tuple[Plan, list[Table]]], answers: Answers) -> list[Curve]:
    """Curves of all tables."""
    pages = [(p, many if answers.split == "specimens" else joined_pages(many)) for p, many in found]
    pairs = [(plan, t) for plan, many in pages for t in many]
    if not pairs:
        raise no_rows(source)
    pairs = without_summaries(pairs, source.notes)
    parts: list[tuple[Plan, Table, Roles]] = []
    refused: list[InputError] = []
    for plan, table in pairs:
        try:
            for side in beside(table, answers.split):
                parts += [(plan, part, roles) for part, roles in apart(side, answers, source.label)]
        except InputError as error:
            refused.append(error)
            where = (
                f'Sheet "{table.sheet}"' if table.sheet else f"The table of line {table.first_line}"
            )
            source.notes.append(f"{where} is not read: {error}")
    if not parts:
        raise refused[0]
    names = _names(source, [part for _, part, _ in parts])
    return [
        _curve(source, plan, part, roles, answers, names[i], (i + 1, len(parts)))
        for i, (plan, part, roles) in enumerate(parts)
    ]


def _names(source: Source, parts: list[Table]) -> list[str]:
    """Names of the curves: what the file says, made different from each other."""
    told = [part.label or _sheet_name(part.sheet) for part in parts]
    if len(parts) == 1:
        return [clean(told[0] or source.stem)]
    out: list[str] = []
    for number, label in enumerate(told, 1):
        label = clean(label or f"{source.stem} {number}")
        out.append(label if told.count(told[number - 1]) == 1 or not told[number - 1] else
                   f"{label} {number}")  # fmt: skip
    return out


def _sheet_name(title: str) -> str:
    """Title of a sheet, "" where no one named it."""
    plain = re.fullmatch(
        r"(sheet|tabelle|feuil|feuille|hoja|foglio|data)\s*\d*", title, re.IGNORECASE
    )
    return "" if plain else title


def _curve(
    source: Source, plan: Plan, table: Table, roles: Roles, answers: Answers, name: str,
    place: tuple[int, int],
) -> Curve:  # fmt: skip
    """One curve of one table."""
    import pandas as pd

    questions: list[Question] = list(plan.questions)
    if questions:
        made = Made(questions=[])
        roles = Roles()
    else:
        made = make(table, roles, answers, source.label)
        for column in ("force_N", "torque_N_m"):
            codes(made, column)
    notes = [*source.notes, *plan.notes, *table.notes, *roles.notes, *made.notes]
    data = pd.DataFrame(made.data, index=range(table.rows), copy=False)
    way = next((made.data[w] for w in _WAYS if w in made.data), None)
    turns = loops(way) if way is not None else ()
    if turns:
        _mark_loops(data, turns)
        count = turns[-1].number
        notes.append(f"The travel turns back: {count} loading{'s' if count > 1 else ''}, all kept.")
    load, unit = ("force_N", "N") if "force_N" in made.data else ("torque_N_m", "N m")
    notes += shape_notes(load.partition("_")[0], made.data.get(load), unit, table.rows)
    notes += beside_the_top(table, made.data.get(load), load.partition("_")[0])
    understood = Understood(
        encoding=source.encoding, delimiter=plan.delimiter, decimal=plan.decimal,
        thousands=table.thousands, sheet=table.sheet, heading_line=table.heading_line,
        first_line=table.first_line, last_line=table.last_line, block=place[0], blocks=place[1],
        columns=tuple(made.columns), skipped=tuple(table.skipped),
        skipped_count=table.skipped_count, over_range=tuple(made.over), loops=turns,
        preamble=tuple(table.preamble),
    )  # fmt: skip
    questions += [*table.questions, *roles.questions, *made.questions]
    if table.skipped_count > 0.2 * table.rows:
        notes.append(f"{table.skipped_count} lines are left out beside {table.rows} rows read.")
    return Curve(
        name, data, _original(table), understood, tuple(dict.fromkeys(notes)), tuple(questions),
        source.label,
    )  # fmt: skip


def _mark_loops(data: pd.DataFrame, turns: Sequence[Any]) -> None:
    import numpy as np

    number, loading = np.zeros(len(data), dtype=int), np.zeros(len(data), dtype=bool)
    for turn in turns:
        number[turn.start : turn.stop], loading[turn.start : turn.stop] = turn.number, turn.loading
    data["loop"], data["loading"] = number, loading


def _original(table: Table) -> pd.DataFrame:
    """Columns as read, with their headings and units."""
    import pandas as pd

    columns: dict[str, Any] = {}
    for c, (name, unit) in enumerate(zip(table.names, table.units, strict=True)):
        base = clean(name) or f"column {c + 1}"
        if unit and clean(unit).strip("[]()") not in base:
            base = f"{base} ({clean(unit).strip('[]()')})"
        heading, count = base, 2
        while heading in columns:
            heading, count = f"{base} [{count}]", count + 1
        columns[heading] = table.values[c]
    return pd.DataFrame(columns, index=range(table.rows), copy=False)
