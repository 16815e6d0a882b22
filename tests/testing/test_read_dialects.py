"""One curve written in a random dialect reads as the same numbers, or as a question."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, event, given, settings
from hypothesis import strategies as st

from tubecalc.testing.curve import Curve
from tubecalc.testing.curves import read_curves

# Definitions: standard gravity 9.80665 m/s2, pound 0.45359237 kg, inch 25.4 mm.
FORCE = {"N": 1.0, "kN": 1e3, "daN": 10.0, "kgf": 9.80665, "lbf": 0.45359237 * 9.80665}
TRAVEL = {"mm": 1.0, "in": 25.4, "µm": 1e-3, "cm": 10.0, "m": 1e3}
TIME = {"s": 1.0, "ms": 1e-3, "sec": 1.0}
NAMES = {
    "time": ("Time", "Zeit", "t", "Elapsed time", "Temps", "Prüfzeit"),
    "travel": (
        "Travel",
        "Displacement",
        "Weg",
        "Crosshead",
        "Stroke",
        "Déplacement",
        "Traversenweg",
    ),
    "force": ("Force", "Load", "Kraft", "F", "Standardkraft", "Charge", "Carico"),
}
PREAMBLE = (
    "Test report", "Operator{d}N. N.", "Span{d}400{d}mm", "Temperature{d}23{p}5{d}°C", "",
    "Date{d}05.11.2026", "Load cell{d}5 kN", "Specimen no.{d}17", "Speed{d}2{p}0{d}mm/min",
)  # fmt: skip
HEADS = ("bracket", "square", "row", "row in brackets", "under", "comma", "none")
COLUMNS = {"time_s": TIME, "travel_mm": TRAVEL, "force_N": FORCE}

PHASES = (Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink)


@dataclass
class Dialect:
    """How a file is written."""

    delimiter: str
    decimal: str
    thousands: str
    encoding: str
    ends: str
    head: str
    quote: bool
    order: tuple[str, ...]
    units: dict[str, str]
    names: dict[str, str]
    places: dict[str, int]
    preamble: list[str] = field(default_factory=list)
    trailing: bool = False


@st.composite
def dialects(draw: st.DrawFn) -> Dialect:
    delimiter = draw(st.sampled_from([",", ";", "\t", "|", " "]))
    decimal = draw(st.sampled_from([".", ","]))
    other = "," if decimal == "." else "."
    thousands = draw(st.sampled_from(["", "", other, "'", "\xa0"]))
    if delimiter == " ":
        thousands = thousands.replace("\xa0", "")
    columns = ["travel", "force"] + (["time"] if draw(st.booleans()) else [])
    return Dialect(
        delimiter, decimal, thousands,
        draw(st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"])),
        draw(st.sampled_from(["\n", "\r\n"])),
        draw(st.sampled_from(HEADS)),
        draw(st.booleans()) or (delimiter == "," and "," in (decimal, thousands)),
        tuple(draw(st.permutations(columns))),
        {
            "time": draw(st.sampled_from(list(TIME))),
            "travel": draw(st.sampled_from(list(TRAVEL))),
            "force": draw(st.sampled_from(list(FORCE))),
        },
        {role: draw(st.sampled_from(names)) for role, names in NAMES.items()},
        {role: draw(st.integers(0, 4)) for role in NAMES},
        draw(st.lists(st.sampled_from(PREAMBLE), max_size=5)),
        draw(st.booleans()) and delimiter != " ",
    )  # fmt: skip


@st.composite
def numbers(draw: st.DrawFn) -> dict[str, list[float]]:
    """A pull: time and travel go up, the force by a slope with noise."""
    rows = draw(st.integers(3, 40))
    step = draw(st.sampled_from([0.01, 0.25, 1.0, 7.3]))
    slope = draw(st.sampled_from([-900.0, 0.37, 85.0, 12345.6]))
    seed = draw(st.integers(0, 2**16))
    x = np.arange(rows) * step
    noise = np.random.default_rng(seed).normal(0, 0.01 * abs(slope) * step * rows, rows)
    return {"time": list(x * 0.5), "travel": list(x), "force": list(x * slope + noise)}


def written(value: float, places: int, dialect: Dialect) -> tuple[str, float]:
    """A number as text, and its value as printed."""
    text = f"{value:,.{places}f}"
    told = float(text.replace(",", ""))
    text = text.replace(",", "_").replace(".", dialect.decimal).replace("_", dialect.thousands)
    return (f'"{text}"' if dialect.quote else text), told


def block(dialect: Dialect, curve: dict[str, list[float]]) -> tuple[str, dict[str, list[float]]]:
    """Headings and rows, and the numbers that were printed."""
    mark, lines = dialect.delimiter, []
    names = [dialect.names[r].replace(" ", "_" if mark == " " else " ") for r in dialect.order]
    units = [dialect.units[r] for r in dialect.order]
    forms = {"bracket": "{} ({})", "square": "{} [{}]", "under": "{}_{}", "comma": "{} / {}"}
    form = forms.get(dialect.head, "{}")
    heads = [form.format(n, u) for n, u in zip(names, units, strict=True)]
    if mark == " ":
        heads = [h.replace(" ", "") for h in heads]
    lines.append(mark.join(heads))
    if dialect.head.startswith("row"):
        brackets = "({})" if "brackets" in dialect.head else "{}"
        lines.append(mark.join(brackets.format(u) for u in units))
    told: dict[str, list[float]] = {role: [] for role in dialect.order}
    for row in range(len(curve["travel"])):
        cells = []
        for role in dialect.order:
            text, value = written(curve[role][row], dialect.places[role], dialect)
            cells.append(text)
            told[role].append(value)
        lines.append(mark.join(cells))
    if dialect.trailing:
        lines = [line + mark for line in lines]
    return "\n".join(lines) + "\n", told


def never_wrong(curve: Curve, dialect: Dialect, told: dict[str, list[float]]) -> None:
    """Every column that is there holds the numbers printed; one that is not is asked for."""
    for role, values in told.items():
        name = next(n for n in COLUMNS if n.startswith(role))
        if name not in curve.data:
            assert any(q.open for q in curve.questions), (name, curve.understood.lines())
            continue
        expected = np.array(values) * COLUMNS[name][dialect.units[role]]
        assert len(curve.data) == len(expected)
        assert curve.data[name].to_numpy() == pytest.approx(expected, rel=1e-9, abs=1e-12)


@settings(
    max_examples=400, deadline=None, phases=PHASES, suppress_health_check=[HealthCheck.too_slow]
)
@given(
    dialects(),
    numbers(),
    st.one_of(st.none(), numbers()),
    st.sampled_from(["\n", "", "Specimen 2\n"]),
)
def test_any_dialect_reads_as_the_same_numbers_or_as_a_question(
    dialect: Dialect,
    first: dict[str, list[float]],
    second: dict[str, list[float]] | None,
    between: str,
) -> None:
    """The answer to a question gives the numbers that were printed."""
    above = [
        line.format(d=dialect.delimiter, p=dialect.decimal if dialect.delimiter != "," else ".")
        for line in dialect.preamble
    ]
    text, told = block(dialect, first)
    wanted = [told]
    if second is not None:
        more, its = block(dialect, second)
        text, wanted = text + between + more, [told, its]
    whole = "".join(f"{line}\n" for line in above) + text
    data = whole.replace("\n", dialect.ends).encode(dialect.encoding)
    curves = read_curves(data, name="pull.csv")
    answers: dict[str, Any] = {}
    event(f"asked: {sorted({q.argument for c in curves for q in c.questions})}")
    for curve in curves:
        for question in curve.questions:
            if question.open:
                right = {
                    "decimal": dialect.decimal, "delimiter": dialect.delimiter,
                    **{f"{r}_unit": u for r, u in dialect.units.items()},
                }  # fmt: skip
                assert question.argument in right, question
                answers[question.argument] = right[question.argument]
                assert right[question.argument].replace("sec", "s").replace("µ", "u") in [
                    c.value for c in question.choices
                ]
    assert len(curves) == len(wanted)
    for curve, numbers_told in zip(curves, wanted, strict=True):
        never_wrong(curve, dialect, numbers_told)
    for _ in range(2):
        if not any(q.open for c in curves for q in c.questions):
            break
        units = dict(answers)
        units |= {f"{r}_unit": dialect.units[r] for r in told} if dialect.head == "none" else {}
        curves = read_curves(data, name="pull.csv", **units)
        answers |= units
    for curve, numbers_told in zip(curves, wanted, strict=True):
        assert curve.ready, curve.questions
        never_wrong(curve, dialect, numbers_told)
