"""How the lines of a text file are split, and which sign its decimals have."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterable, Sequence

from tubecalc.errors import InputError
from tubecalc.testing.curve import Choice, Question
from tubecalc.testing.curves_heads import heading, unit_of
from tubecalc.testing.curves_number import Cell, Signs, evidence, kind, split_unit
from tubecalc.testing.curves_table import Plan

__all__ = ["DELIMITERS", "kinds", "plain_pattern", "plan_of", "plan_of_cells", "shape", "split"]

DELIMITERS = {"\t": "tab", ";": "semicolon", ",": "comma", "|": "bar", " ": "spaces"}
_LONGEST = 20_000  # characters of a line
_COMMENT = re.compile(r"^\s*(#|%|//|!)\s*")


def split(line: str, delimiter: str) -> list[Cell]:
    """Split one line; quotes are honoured where they close on it.

    Parameters
    ----------
    line : str
        One line without its end.
    delimiter : str
        One of `DELIMITERS`.

    Returns
    -------
    list of str
        Cells without blanks around them.

    Examples
    --------
    >>> split('"1,5" , 2', ","), split(" 1   2.5", " ")
    (['1,5', '2'], ['1', '2.5'])
    """
    if delimiter == " ":
        if '"' in line and line.count('"') % 2 == 0:
            return [(a or b).strip() for a, b in re.findall(r'"([^"]*)"|(\S+)', line)]
        return list(line.split())
    if '"' in line and line.count('"') % 2 == 0:
        try:
            return [c.strip() for c in next(csv.reader([line.strip(" ")], delimiter=delimiter))]
        except (csv.Error, StopIteration):
            pass
    return [c.strip().strip('"').strip() for c in line.split(delimiter)]


def kinds(cells: Sequence[Cell]) -> str:
    """Kinds of the cells of a row, one letter each; "u" is a number with its unit."""
    out = ""
    for cell in cells:
        letter = kind(cell)
        if letter == "x" and isinstance(cell, str) and len(cell) < 30:
            pair = split_unit(cell)
            letter = "u" if pair and unit_of(pair[1]) else "x"
        out += letter
    return out


def shape(rows: Iterable[Sequence[Cell]]) -> tuple[int, int, frozenset[int], frozenset[int]]:
    """Give the shape most rows of numbers share.

    Parameters
    ----------
    rows : iterable of sequence of str or float
        Rows of cells.

    Returns
    -------
    tuple of int, int, frozenset and frozenset
        How many rows have it, its width, its columns of words and of time stamps.

    Examples
    --------
    >>> shape([["Load", "Way"], ["CW", "1.0"], ["CW", "2.0"]])[:2]
    (2, 2)
    """
    seen: list[tuple[int, str, Sequence[Cell]]] = []
    for row in rows:
        if len(row) < 2:
            continue
        letters = kinds(row)
        if sum(letters.count(c) for c in "ntuo"):
            seen.append((len(row), letters, row))
    strong = [s for s in seen if sum(s[1].count(c) for c in "ntuom") >= 2] or seen
    if not strong:
        return 0, 0, frozenset(), frozenset()
    best = (0, 0, frozenset[int](), frozenset[int]())
    for width, _ in Counter(s[0] for s in strong).most_common(3):
        rows_of = [s for s in strong if s[0] == width]
        texts, stamps = set(), set()
        for c in range(width):
            column = Counter(s[1][c] for s in rows_of)
            words = sum(_word(s[2][c]) for s in rows_of if s[1][c] == "x")
            if words > 0.5 * len(rows_of):
                texts.add(c)
            elif column["t"] > 0.5 * len(rows_of):
                stamps.add(c)
        clean = sum(
            all(k in "ntmoeu" or c in texts for c, k in enumerate(s[1]))
            and any(k in "nu" and c not in texts for c, k in enumerate(s[1]))
            for s in rows_of
        )
        if clean > best[0]:
            best = clean, width, frozenset(texts), frozenset(stamps)
    return best


def _word(cell: Cell) -> bool:
    """Tell a word, such as a direction or the name of a specimen."""
    return isinstance(cell, str) and bool(re.fullmatch(r"[^\W\d_][^;\t|,=]{0,30}", cell))


def plan_of(
    sample: list[str], whole: Iterable[str], delimiter: str | None, decimal: str | None, label: str
) -> Plan:
    """Find how a text file is split and how its numbers are written.

    Parameters
    ----------
    sample : list of str
        Lines of its beginning, middle and end.
    whole : iterable of str
        All its lines, asked only where the sample leaves the decimal sign open.
    delimiter, decimal : str, optional
        Where the user has said.
    label : str
        Name of the file, for the refusals.

    Returns
    -------
    Plan
        With the questions that are open.

    Raises
    ------
    InputError
        If no row of numbers is found.

    Examples
    --------
    >>> found = plan_of(["Weg;Kraft", "0,1;2,5", "0,2;5,0"], [], None, None, "a.csv")
    >>> found.delimiter, found.decimal, found.width
    (';', ',', 2)
    """
    scores = []
    longest = max(map(len, sample), default=0)
    if longest > _LONGEST:
        raise InputError(
            "has a line too long to be a row", where=label, got=f"{longest} characters",
            expected=f"at most {_LONGEST}",
        )  # fmt: skip
    for mark in [delimiter] if delimiter else DELIMITERS:
        if mark != " " and not any(mark in line for line in sample):
            continue
        rows = [split(_COMMENT.sub("", line), mark) for line in sample]
        clean, width, texts, stamps = shape(rows)
        if clean:
            score = clean * (1 + _known(rows, width))
            scores.append((score, mark, Plan(mark, ".", width, texts, stamps), rows))
    if not scores:
        raise InputError(
            "holds no rows of numbers", where=label, expected="rows of load and travel in columns"
        )
    best = max(s[0] for s in scores)
    close = [s for s in scores if s[0] >= 0.9 * best]
    close = [s for s in close if s[1] != " "] or close
    _, mark, plan, rows = close[0]
    if len(close) > 1:
        choices = tuple(Choice(s[1], f"{DELIMITERS[s[1]]}: {s[2].width} columns") for s in close)
        plan.questions.append(Question("delimiter", "What parts the columns?", choices))
    if plan.delimiter == "," and not decimal and not any('"' in line for line in sample):
        _point(plan, rows)
        decimal = "."
    _decimal(plan, rows, whole, decimal)
    _refuse_double(plan, rows, label)
    return plan


def plan_of_cells(rows: list[list[Cell]], decimal: str | None, label: str) -> Plan:
    """Find the shape of rows that are split already.

    Parameters
    ----------
    rows : list of list of str or float
        Of a sheet or a log.
    decimal : str, optional
        Where the user has said.
    label : str
        Name of the file, for the refusal.

    Returns
    -------
    Plan
        With the questions that are open.

    Raises
    ------
    InputError
        If no row of numbers is found.

    Examples
    --------
    >>> plan_of_cells([["mm", "N"], [1.0, 2.0], [2.0, 4.0]], None, "a.xlsx").width
    2
    """
    few = rows if len(rows) < 1200 else [*rows[:800], *rows[-300:]]
    clean, width, texts, stamps = shape(few)
    if not clean:
        raise InputError(
            "holds no rows of numbers", where=label, expected="rows of load and travel in columns"
        )
    plan = Plan("", ".", width, texts, stamps)
    _decimal(plan, few, rows, decimal)
    return plan


def _known(rows: list[list[Cell]], width: int) -> int:
    """How many headings are known in the row of as many cells that has the most."""
    heads = [row for row in rows if len(row) == width and not set("nu") & set(kinds(row))]
    counts = [
        sum(bool((h := heading(str(c))).roles or h.unit or unit_of(str(c))) for c in row)
        for row in heads[:40]
    ]
    return max(counts, default=0)


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


def _point(plan: Plan, rows: list[list[Cell]]) -> None:
    """Say where only the commas between the columns show that the point is the decimal sign."""
    _, doubtful = evidence(_numbers(rows, plan)).decide()
    if doubtful:
        plan.notes.append("The point is the decimal sign, as commas part the columns.")


def _decimal(
    plan: Plan, rows: list[list[Cell]], whole: Iterable[str | list[Cell]], told: str | None
) -> None:
    """Decide the decimal sign, or ask."""
    if told:
        plan.decimal = told
        return
    good = [r for r in rows if _is_row(r, plan)]
    signs = evidence(_numbers(good, plan))
    sign, doubtful = signs.decide()
    if doubtful and len(signs.decimal) < 2:
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


def _refuse_double(plan: Plan, rows: list[list[Cell]], label: str) -> None:
    """Refuse commas that part columns and decimals alike."""
    if plan.delimiter != "," or plan.width % 2 or _known(rows, plan.width):
        return
    for row in rows:
        named = [c for c in row if c]
        if 2 * len(named) == plan.width and sum(bool(heading(str(c)).roles) for c in named) > (
            len(named) > 1
        ):
            raise InputError(
                f"has {plan.width} cells in a row under {len(named)} headings, so that the commas "
                "may be decimal signs as well", where=label,
                expected="semicolons or tabs between the columns",
            )  # fmt: skip


def plain_pattern(plan: Plan) -> re.Pattern[str] | None:
    """Give the pattern of a line that holds nothing but numbers.

    Parameters
    ----------
    plan : Plan
        How lines are split.

    Returns
    -------
    re.Pattern or None
        None where rows have columns of words or stamps.

    Examples
    --------
    >>> pattern = plain_pattern(Plan(";", ",", 2))
    >>> bool(pattern.fullmatch("0,5;-1,25")), bool(pattern.fullmatch("0,5;OVER"))
    (True, False)
    """
    if plan.texts or plan.stamps or plan.questions or not plan.width:
        return None
    sign = re.escape(plan.decimal)
    number = rf"[+-]?(?:\d+(?:{sign}\d*)?|{sign}\d+)(?:[eE][+-]?\d{{1,3}})?"
    if plan.delimiter == " ":
        return re.compile(rf"\s*{number}(?:\s+{number}){{{plan.width - 1}}}\s*", re.ASCII)
    number = rf' *(?:{number}|"{number}") *'
    mark = re.escape(plan.delimiter)
    return re.compile(rf"{number}(?:{mark}{number}){{{plan.width - 1}}}\r?", re.ASCII)
