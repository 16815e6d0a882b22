"""Tests as rows of a job file, and back; nothing in a row is believed unchecked.

One `[[test]]` of a job file has these fields; those that are not known are left out:

=========== ==================================================================================
row         "bench 1", by which a row is told from others
file        name of the file of the test machine
digest      first 12 letters of the SHA-256 of its content
number      place of the specimen in the file, from 1
told        table: field of `bench.FIELDS` -> text as typed ("od" -> "10 mm")
answers     table: argument of `read_curves` -> answer, for the whole file
name, kind, failure, way, load_unit, travel_unit
            as in `TestResult`
framed      whether the frame is taken out of the travel; false where it is left out
at_least    whether the largest load is only "at least" that of the tube
rig         table in SI: span, inner, gauge, od, wall, nose; ends (text or number), at_nose
figures     table in SI: the keys of `TestResult.si`
senses, loadings
            slopes in SI, where there is more than one
marks       list of [key, label, travel, load, argument]; mm or deg, N or N m
notes       what must be said beside the figures
understood  how the file was read, one sentence each
curve       table: x and y, at most 160 points that keep its peaks, signs as recorded
=========== ==================================================================================
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.testing.bench import (
    FIELDS,
    POINTS,
    READING,
    RIGID,
    RIGID_SAID,
    Array,
    Entry,
    Seen,
    thin,
)
from tubecalc.testing.column_reduce import FIGURES as BOW
from tubecalc.testing.reduce_kinds import KINDS, Rig, check_rig
from tubecalc.testing.result import FAILURES, Mark, TestResult

ROW = "bench 1"
_RIG = ("span", "inner", "gauge", "od", "wall", "nose")
_SI = (
    "stiffness", "stiffness_half", "peak", "tare", "stress", "set", "EI", "EA", "GJ", "GA",
    "modulus", "apparent_modulus", "modulus_half", "yield_departure", "yield_offset", "origin",
    "first_drop", "energy", *BOW,
)  # fmt: skip
_LONGEST, _MOST = 600, 400
_WAITS = "It was not reduced yet; drop its file here again."


def row_of(seen: Seen, answers: Mapping[str, str], points: int = POINTS) -> dict[str, Any]:
    """Row of a job for a test.

    Parameters
    ----------
    seen : Seen
        The test, reduced or not.
    answers : mapping
        How its file is read.
    points : int
        Points of the curve that are kept, at most [-].

    Returns
    -------
    dict
        See the head of this module.
    """
    entry, result = seen.entry, seen.result
    row: dict[str, Any] = {
        "row": ROW, "file": entry.file, "digest": entry.digest, "number": entry.number + 1,
        "name": seen.name, "told": dict(entry.texts), "answers": dict(answers),
        "understood": [line[:_LONGEST] for line in seen.understood[:_MOST]],
    }  # fmt: skip
    x, y = thin(seen.x, seen.y, min(points, POINTS))
    row["curve"] = {"x": _round(x), "y": _round(y)}
    if result is None:
        return row
    rig = {k: v for k in _RIG if math.isfinite(v := getattr(result.rig, k))}
    row |= {
        "kind": result.kind, "failure": result.failure, "at_least": result.peak_is_at_least,
        "framed": result.framed, "way": result.way,
        "load_unit": result.load_unit, "travel_unit": result.travel_unit,
        "rig": {**rig, "ends": result.rig.ends, "at_nose": result.rig.at_nose},
        "figures": {k: float(v) for k, v in result.si.items() if math.isfinite(v)},
        "senses": [float(v) for v in result.senses if math.isfinite(v)],
        "loadings": [float(v) for v in result.loadings if math.isfinite(v)],
        "marks": [[m.key, m.label, float(m.x), float(m.y), m.argument] for m in result.marks
                  if math.isfinite(m.x) and math.isfinite(m.y)],
        "notes": [note[:_LONGEST] for note in result.notes],
    }  # fmt: skip
    return row


def _round(values: Array) -> list[float]:
    return [float(f"{v:.5g}") for v in values.tolist()]


def seen_of(row: Mapping[str, Any]) -> tuple[Seen, dict[str, str]]:
    """Test of a row, without its file.

    Parameters
    ----------
    row : mapping
        A row of a job.

    Returns
    -------
    tuple of Seen and dict
        The test, and how its file was read.

    Raises
    ------
    InputError
        If it is no row of this kind, or damaged.

    Examples
    --------
    >>> try:
    ...     seen_of({"row": "bench 1", "file": "a.csv", "digest": "", "number": 0})
    ... except InputError as error:
    ...     print(error.message)
    is damaged
    """
    try:
        return _seen(row)
    except (LookupError, TypeError, ValueError, AttributeError, InputError) as error:
        where = row.get("file") if isinstance(row.get("file"), str) else "test"
        raise InputError("is damaged", where=f"test {where}"[:90],
                         got=str(error)[:80]) from None  # fmt: skip


def _seen(row: Mapping[str, Any]) -> tuple[Seen, dict[str, str]]:
    if row["row"] != ROW:
        raise ValueError("another kind of row")
    number = row["number"]
    if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= 10_000:
        raise ValueError("number")
    told = {k: _text(v) for k, v in row["told"].items() if k in FIELDS}
    answers = {k: _text(v) for k, v in row["answers"].items() if k in READING}
    entry = Entry(_text(row["file"]), _text(row["digest"]), number - 1, told)
    x, y = (_numbers(row["curve"][k], POINTS + 2) for k in ("x", "y"))
    if len(x) != len(y):
        raise ValueError("curve")
    understood = tuple(_text(t) for t in row.get("understood", [])[:_MOST])
    result = _result(row) if "figures" in row else None
    waits = RIGID_SAID if told.get("kind") == RIGID else _WAITS
    problems = {} if result else {"": waits}
    return (
        Seen(entry, None, result, problems, np.array(x), np.array(y), understood,
             _text(row["name"])),
        answers,
    )  # fmt: skip


def _result(row: Mapping[str, Any]) -> TestResult:
    kind, failure = _text(row["kind"]), _text(row["failure"])
    if kind not in KINDS or failure not in ("", *FAILURES) or not isinstance(row["at_least"], bool):
        raise ValueError("kind, failure or at_least")
    given = row["rig"]
    sizes = {k: _number(given[k]) for k in _RIG if k in given}
    ends = given["ends"] if isinstance(given["ends"], str) else _number(given["ends"])
    rig = Rig(kind, ends=ends, at_nose=bool(given["at_nose"]), **sizes)
    check_rig(rig, "test")
    figures = {k: _number(v) for k, v in row["figures"].items() if k in _SI}
    si = {**dict.fromkeys(_SI, math.nan), **figures}
    marks = tuple(
        Mark(_text(m[0]), _text(m[1]), _number(m[2]), _number(m[3]), _text(m[4]))
        for m in row["marks"][:100]
    )
    return TestResult(
        _text(row["name"]), kind, rig, failure, row["at_least"],
        tuple(_text(t) for t in row["notes"][:_MOST]), marks, _text(row["way"]), si,
        tuple(_numbers(row.get("senses", []), 10)), tuple(_numbers(row.get("loadings", []), 1000)),
        _text(row["load_unit"])[:20], _text(row["travel_unit"])[:20], row.get("framed") is True,
        _text(row["told"].get("batch", "")),
    )  # fmt: skip


def _text(value: Any) -> str:
    if not isinstance(value, str) or len(value) > _LONGEST:
        raise ValueError("text")
    return value


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError("number")
    return float(value)


def _numbers(values: Any, most: int) -> list[float]:
    if not isinstance(values, list | tuple) or len(values) > most:
        raise ValueError("numbers")
    return [_number(v) for v in values]


def is_ours(row: Mapping[str, Any]) -> bool:
    """Whether a row of a job was written here.

    Examples
    --------
    >>> is_ours({"row": "bench 1"}), is_ours({"load": 3})
    (True, False)
    """
    return row.get("row") == ROW


__all__ = ["ROW", "is_ours", "row_of", "seen_of"]
