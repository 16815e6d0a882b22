"""Plain text for the command line: tables that line up, sentences that wrap."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from tubecalc.unit_display import in_unit, show, unit_label

if TYPE_CHECKING:
    import pandas as pd

    from tubecalc.laminate.construction import Construction
    from tubecalc.need import Need

WIDTH = 100


def columns(head: Sequence[str], body: Sequence[Sequence[str]], right: str = "") -> str:
    """Lay out a table in columns.

    Parameters
    ----------
    head : sequence of str
        Column titles.
    body : sequence of sequence of str
        Cells, one sequence per line.
    right : str
        One letter per column: "r" sets it flush right, anything else flush left.

    Returns
    -------
    str
        Lines without trailing blanks.

    Examples
    --------
    >>> print(columns(["tube", "g/m"], [["a", "55"], ["bb", "120"]], "lr"))
    tube  g/m
    a      55
    bb    120
    """
    lines = [list(head), *[list(line) for line in body]]
    widths = [max(len(line[i]) for line in lines) for i in range(len(head))]
    flush = right.ljust(len(head), "l")
    return "\n".join(
        "  ".join(
            cell.rjust(w) if f == "r" else cell.ljust(w)
            for cell, w, f in zip(line, widths, flush, strict=True)
        ).rstrip()
        for line in lines
    )


def digits(value: float) -> str:
    """Number with three or four significant digits, as one reads it.

    Parameters
    ----------
    value : float
        The number; NaN and infinity are allowed.

    Returns
    -------
    str

    Examples
    --------
    >>> [digits(x) for x in (1.42371, 0.04513, 123456.0, float("inf"), float("nan"))]
    ['1.42', '0.0451', '123456', 'inf', '-']
    """
    if math.isnan(value):
        return "-"
    if math.isinf(value):
        return "inf" if value > 0 else "-inf"
    size = math.floor(math.log10(abs(value))) if value else 0
    if -4 <= size < 9:
        return f"{value:.{max(0, 2 - size)}f}"
    return f"{value:.3g}"


def wrapped(text: str, indent: str = "") -> str:
    """Fold a sentence to the width of a page.

    Parameters
    ----------
    text : str
        The sentence.
    indent : str
        Put in front; the following lines are indented as far.

    Returns
    -------
    str
    """
    return textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=" " * len(indent))


def _length(millimetres: float, units: str) -> str:
    return digits(in_unit(millimetres / 1e3, "length", units))


def _tube(row: Any, units: str) -> str:
    size = (
        f"{_length(row.od_mm, units)} x {_length(row.id_mm, units)} {unit_label('length', units)}"
    )
    linear = show(float(row.mass_kg_per_m), "linear_density", units)
    mass = show(float(row.mass_kg), "mass", units)
    stock = f" [{row.id}]" if getattr(row, "id", "") else ""
    return f"{row.name}{stock}, {size} (OD x bore), {linear}, {mass} for the length asked"


def shortlist_text(table: pd.DataFrame, need: Need, top: int, units: str) -> str:
    """The first lines of a ranked table.

    Parameters
    ----------
    table : pandas.DataFrame
        As `tubecalc.sweep` gives it.
    need : Need
        For its title.
    top : int
        How many lines.
    units : str
        "SI", "workshop" or "inch".

    Returns
    -------
    str
    """
    passing = int(table["passes"].sum())
    title = f"{need.title or 'Need'}: {passing} of {len(table)} tubes pass."
    rank_of = "usual sizes first, lightest first" if passing else "nearest first"
    shown = table.head(max(top, 1))
    length, linear = unit_label("length", units), unit_label("linear_density", units)
    body = [
        [
            str(number), row["name"] + (f" [{row['id']}]" if row.get("id") else ""),
            f"{_length(row['od_mm'], units)} x {_length(row['id_mm'], units)}",
            digits(in_unit(row["mass_kg_per_m"], "linear_density", units)), digits(row["reserve"]),
            "yes" if row["passes"] else "no", _governed(row["governing"]), row["grade"],
            "" if row["in_range"] else "outside the usual sizes",
        ]
        for number, (_, row) in enumerate(shown.iterrows(), start=1)
    ]  # fmt: skip
    head = ["#", "tube", f"OD x bore, {length}", linear, "reserve", "passes", "governed by",
            "grade", ""]  # fmt: skip
    return f"{title} The first {len(shown)}, {rank_of}:\n\n" + columns(head, body, "rlrrrllll")


def _governed(name: str) -> str:
    """Words for the check that governs."""
    from tubecalc.checks import CHECKS

    return CHECKS[name].label if name else "nothing is driven"


def usual_first(table: pd.DataFrame) -> pd.DataFrame:
    """Put passing tubes of a usual size before those that pass but are hardly made.

    Parameters
    ----------
    table : pandas.DataFrame
        As `tubecalc.sweep` gives it.

    Returns
    -------
    pandas.DataFrame
        The same rows; what fails keeps its place.
    """
    rank = (~table["passes"]) * 2 + (table["passes"] & ~table["in_range"])
    ordered = table.iloc[rank.to_numpy().argsort(kind="stable")].reset_index(drop=True)
    ordered.attrs = table.attrs
    return ordered


def chosen(
    table: pd.DataFrame, need: Need, units: str, own: Mapping[str, Construction] | None = None
) -> str:
    """What is chosen (or nearest) and why: reserves of every check, cautions.

    Parameters
    ----------
    table : pandas.DataFrame
        As `tubecalc.sweep` gives it.
    need : Need
        The need it was ranked for.
    units : str
        "SI", "workshop" or "inch".
    own : mapping, optional
        The user's own constructions by key.

    Returns
    -------
    str
    """
    from tubecalc.tube import Tube
    from tubecalc.verdict import check, remedies

    row: Any = next(table.itertuples())
    made = (own or {}).get(row.construction, row.construction)
    tube = Tube(made, od=f"{row.od_mm!r} mm", id=f"{row.id_mm!r} mm")
    verdict = check(tube, need, system=units)
    lines = [""]
    if not row.passes:
        lines += [wrapped(str(table.attrs.get("hint") or "Nothing passes.")), ""]
        helps = "; ".join(remedies(tube, need, system=units))
        lines += [wrapped(f"Of {tube.construction.name}: {helps}."), ""]
    lines.append(("Chosen: " if row.passes else "Nearest: ") + _tube(row, units))
    lines += ["", reserves_text(verdict.table, need)]
    cautions = [wrapped(c, "- ") for c in verdict.cautions]
    if cautions:
        lines += ["", "Cautions:", *cautions]
    return "\n".join(lines)


def reserves_text(table: pd.DataFrame, need: Need) -> str:
    """Reserve of every check that applies, lowest first, with the sentence why.

    Parameters
    ----------
    table : pandas.DataFrame
        As `tubecalc.check` gives it in ``verdict.table``.
    need : Need
        Its case names are shown only where there are several.

    Returns
    -------
    str
    """
    applies = table[table["reserve"] < math.inf].sort_values("reserve", kind="stable")
    lines = [
        "Reserve (1 just passes), grade of trust (A verified, B estimate, C rule of thumb, none "
        "outside the range",
        "in which the check has been shown to hold), why, and the error to expect:",
    ]
    row: Any
    for row in applies.itertuples():
        case = f" [{row.case}]" if row.case and len(need.cases) > 1 else ""
        mark = " (to note, does not decide)" if row.advisory else ""
        why = str(row.why).removeprefix(f"{row.label}: ")
        words = why if why.startswith(str(row.label)) else f"{row.label}: {why}"
        theory = f"; {row.theory}" if row.theory else ""
        error = f" [expected error: {row.error}]" if row.grade != "none" else ""
        text = f"{digits(row.reserve):>7}  {row.grade:<4}  {words}{theory}{case}{mark}{error}"
        lines.append(textwrap.fill(text, WIDTH, subsequent_indent=" " * 15))
    return "\n".join(lines)
