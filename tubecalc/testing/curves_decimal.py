"""Which sign parts the decimals of a test file; where two readings are possible, the question."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from tubecalc.errors import InputError
from tubecalc.testing.curve import Choice, Question
from tubecalc.testing.curves_heads import heading
from tubecalc.testing.curves_line import kinds, known_heads, split
from tubecalc.testing.curves_number import Cell, Signs, evidence, kind, split_unit
from tubecalc.testing.curves_table import Plan

__all__ = ["decide_decimal", "note_point", "refuse_double"]


def _is_row(row: Sequence[Cell], plan: Plan) -> bool:
    """Tell a row of numbers from a line above them."""
    if len(row) < plan.width:
        return False
    letters = kinds(row[: plan.width])
    return all(k != "x" or c in plan.texts for c, k in enumerate(letters)) and any(
        k in "nu" and c not in plan.texts for c, k in enumerate(letters)
    )


def _numbers(rows: Iterable[Sequence[Cell]], plan: Plan) -> list[Cell]:
    """Cells of the rows that are numbers."""
    out: list[Cell] = []
    for row in rows:
        if not _is_row(row, plan):
            continue
        for c, cell in enumerate(row[: plan.width]):
            if c in plan.texts or isinstance(cell, float):
                continue
            pair = split_unit(cell) if kind(cell) == "x" else None
            out.append(pair[0] if pair else cell)
    return out


def _cells(line: str | list[Cell], plan: Plan) -> list[Cell]:
    return split(line, plan.delimiter) if isinstance(line, str) else line


def note_point(plan: Plan, rows: list[list[Cell]]) -> None:
    """Say where only the commas between the columns show that the point is the decimal sign.

    Parameters
    ----------
    plan : Plan
        Gets the note.
    rows : list of list of str or float
        Of the sample.
    """
    if any(evidence(_numbers([row], plan)).decimal for row in rows):
        return  # a number shows it: most files end here at their first row
    _, doubtful = evidence(_numbers(rows, plan)).decide()
    if doubtful:
        plan.notes.append("The point is the decimal sign, as commas part the columns.")


def decide_decimal(
    plan: Plan, rows: list[list[Cell]], whole: Iterable[str | list[Cell]], told: str | None
) -> None:
    """Decide the decimal sign, or ask.

    Parameters
    ----------
    plan : Plan
        Gets the sign, or the question.
    rows : list of list of str or float
        Of the sample.
    whole : iterable of str or list of str or float
        All lines, asked only where the sample leaves the sign open.
    told : str, optional
        Where the user has said.

    Examples
    --------
    >>> plan = Plan(";", ".", 2)
    >>> decide_decimal(plan, [["0,5", "1,25"], ["2.500", "492.301"]], [], None)
    >>> plan.questions[0].argument, [c.value for c in plan.questions[0].choices]
    ('decimal', [',', 'either'])
    """
    if told:
        plan.decimal = told
        return
    good = [r for r in rows if _is_row(r, plan)]
    signs = evidence(_numbers(good, plan))
    sign, doubtful = signs.decide()
    both = len(signs.decimal) > 1
    changed = () if both or doubtful else _changed(good, plan, signs, sign)
    if both or changed:
        plan.decimal = sign
        plan.questions.append(_ask_both(good, plan, changed))
        return
    if doubtful:
        alike, few = _alike(plan, signs), signs
        rest = (line for line in whole if not isinstance(line, str) or not alike.fullmatch(line))
        signs = evidence(_numbers((_cells(line, plan) for line in rest), plan))
        signs.either |= few.either
        signs.example = few.example or signs.example
        sign, doubtful = signs.decide()
    plan.decimal = sign
    if doubtful:
        above = evidence(c for r in rows if r not in good for c in r if kind(c) == "n")
        plan.questions.append(_ask_decimal(signs, above.decimal - above.thousands))


def _changed(
    rows: list[list[Cell]], plan: Plan, signs: Signs, sign: str
) -> tuple[str, str] | tuple[()]:
    """Find a column with decimals after one sign, and the other where thousands would stand.

    Gives a number of either kind; nothing where a number with both signs proves thousands.
    """
    other = {".": ",", ",": "."}[sign]
    if other not in signs.either or other in signs.thousands:
        return ()
    for c in range(plan.width):
        cells = (
            _numbers(([row[c]] for row in rows), Plan("", sign, 1)) if c not in plan.texts else []
        )
        shown = evidence(cells)
        if sign in shown.decimal and other in shown.either:
            return (
                next(str(n) for n in cells if sign in str(n)),
                next(str(n) for n in cells if other in str(n)),
            )
    return ()


def _ask_both(rows: list[list[Cell]], plan: Plan, changed: tuple[str, str] | tuple[()]) -> Question:
    """The question of a file with decimals after commas and after points."""
    if changed:
        sign = "," if "," in changed[0] else "."
        word, other = ("comma", "point") if sign == "," else ("point", "comma")
        text = (
            f'A column has "{changed[0]}" and also "{changed[1]}". Is the {other} a decimal sign '
            "as well, or does it stand between thousands?"
        )
        whole = re.sub("[.,]", "", changed[1])
        first = Choice(sign, f'only the {word}: "{changed[1]}" is {whole}')
    else:
        cells = [str(c) for c in _numbers(rows, plan)]
        comma, point = (
            next((c for c in cells if evidence([c]).decimal == {s}), f"0{s}5") for s in ",."
        )
        text = f'Numbers have decimals after the comma ("{comma}") and after the point ("{point}").'
        text += " Are both decimal signs?"
        first = Choice(",", f'only the comma; rows such as "{point}" are left out')
    if plan.delimiter == ",":
        return Question("decimal", text, (first,))
    return Question("decimal", text, (first, Choice("either", "both are decimal signs")))


def _alike(plan: Plan, signs: Signs) -> re.Pattern[str]:
    """Pattern of lines that leave the decimal sign as open as those seen: 1,234 or 12."""
    either = "".join(map(re.escape, sorted(signs.either)))
    cell = rf"[+-]?(?:[1-9]\d{{0,2}}[{either}]\d{{3}}|\d+)" if either else r"[+-]?\d+"
    mark = r"\s+" if plan.delimiter == " " else re.escape(plan.delimiter)
    return re.compile(rf"{cell}(?:{mark}{cell})*\r?", re.ASCII)


def _ask_decimal(signs: Signs, above: set[str]) -> Question:
    """The question, with what the lines above the rows suggest."""
    example = signs.example or "1,234"
    one, two = example.replace(",", "."), re.sub("[.,]", "", example)
    comma = (one, two) if "," in example else (two, one)
    return Question(
        "decimal",
        f'Is the comma or the point the decimal sign? "{example}" may be {one} or {two}.'
        + (f' The lines above the rows have "{min(above)}".' if len(above) == 1 else ""),
        (
            Choice(",", f'the comma: "{example}" is {comma[0]}'),
            Choice(".", f'the point: "{example}" is {comma[1]}'),
        ),
    )


def refuse_double(plan: Plan, rows: list[list[Cell]], label: str) -> None:
    """Refuse commas that part columns and decimals alike.

    Parameters
    ----------
    plan : Plan
        As found.
    rows : list of list of str or float
        Of the sample.
    label : str
        Name of the file.

    Raises
    ------
    InputError
        If rows have twice as many cells as there are headings.
    """
    if plan.delimiter != "," or plan.width % 2 or known_heads(rows, plan.width) or plan.blank:
        return
    for row in rows:
        named = [c for c in row if c and ":" not in str(c)]
        if 2 * len(named) == plan.width and sum(bool(heading(str(c)).roles) for c in named) > (
            len(named) > 1
        ):
            raise InputError(
                f"has {plan.width} cells in a row under {len(named)} headings, so that the commas "
                "may be decimal signs as well", where=label,
                expected="semicolons or tabs between the columns",
            )  # fmt: skip
