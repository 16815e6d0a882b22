"""All tests of the bench together: groups, statistics, measured over promised, contradictions."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from tubecalc.errors import InputError
from tubecalc.testing.basis_value import Basis, basis
from tubecalc.testing.batches import ByBatch, by_batch
from tubecalc.testing.bench import Seen
from tubecalc.testing.bench_said import PAIRS, Walls, curves_of, key_of, said_of, tube_of
from tubecalc.testing.calibrate import Bias, Ratio, biases, ratios
from tubecalc.testing.predict import Beyond, beyond_bending, weight_for_weight
from tubecalc.testing.reduce_group import doubles
from tubecalc.testing.result import TestResult
from tubecalc.testing.statistics import Sample, describe
from tubecalc.tube import Tube

KIND_WORDS = {
    "tension": "tension", "compression": "compression", "three-point": "bending, one nose",
    "four-point": "bending, two noses", "torsion": "torsion", "ring": "ring, crushed from the side",
    "column": "column, pushed until it bows",
}  # fmt: skip
STIFF = {"tension": "EA", "compression": "EA", "torsion": "GJ", "ring": "modulus"}
Memo = dict[tuple[int, str], tuple[TestResult, Any]]


@dataclass(frozen=True)
class Stat:
    """Statistics of one figure of a group.

    Attributes
    ----------
    key, label, unit_kind : str
        Key of `TestResult.si`, name on screen, kind of quantity.
    sample : Sample
        Mean, spread, interval; SI.
    basis : mapping
        "A" and "B" -> the value, or the sentence that refuses it; empty for a stiffness.
    batches : ByBatch or None
        The same by batches; None where no batch is told.
    """

    key: str
    label: str
    unit_kind: str
    sample: Sample
    basis: Mapping[str, Basis | str]
    batches: ByBatch | None = None


@dataclass(frozen=True)
class Group:
    """Alike tests: one construction, size, kind of test and span.

    Attributes
    ----------
    wall_of, name, kind : str
        Key and name of the construction ("" where it is not told), kind of test.
    od, wall, span : float
        [m]; NaN where not known.
    members : tuple of int
        Places among the tests, each test once.
    stats : tuple of Stat
        Of the tests that count.
    """

    wall_of: str
    name: str
    kind: str
    od: float
    wall: float
    span: float
    members: tuple[int, ...]
    stats: tuple[Stat, ...]

    @property
    def title(self) -> str:
        """Construction, size and kind in words."""
        size = "" if math.isnan(self.od) else f" {self.od * 1e3:.4g}"
        if size and not math.isnan(self.wall):
            size += f" × {(self.od - 2 * self.wall) * 1e3:.4g}"
        span = "" if math.isnan(self.span) else f", {self.span * 1e3:.4g} mm apart"
        name = self.name or "construction not said"
        return f"{name}{size + ' mm' if size else ''}, {KIND_WORDS[self.kind]}{span}"


@dataclass(frozen=True)
class Weighed:
    """Stiffness and load of one test per mass per length, SI; NaN where not known."""

    place: int
    stiffness: float
    quantity: str
    peak: float


@dataclass(frozen=True)
class Summary:
    """Everything the tests say together.

    Attributes
    ----------
    tests : tuple of Seen
        In order.
    groups : tuple of Group
        In the order in which they first come.
    ratios : tuple of (int, Ratio)
        Place of the test, and measured over promised.
    biases : tuple of Bias
        The same by construction and check.
    weighed : tuple of Weighed
        Weight for weight.
    said : tuple of str
        Contradictions, and what spans and directions tell.
    unsaid : mapping
        Place of a test -> why nothing is promised for it.
    beyond : mapping
        Place of a bending test -> what is in its travel beside bending.
    """

    tests: tuple[Seen, ...]
    groups: tuple[Group, ...]
    ratios: tuple[tuple[int, Ratio], ...]
    biases: tuple[Bias, ...]
    weighed: tuple[Weighed, ...]
    said: tuple[str, ...]
    unsaid: Mapping[int, str]
    beyond: Mapping[int, Beyond] = field(default_factory=dict)


Told = str | tuple[Weighed, tuple[Ratio, ...], Beyond | None]


def summed(
    tests: Sequence[Seen], walls: Walls, law: str = "normal", memo: Memo | None = None
) -> Summary:
    """Put the tests together.

    Parameters
    ----------
    tests : sequence of Seen
        Reduced or not.
    walls : callable
        Key -> construction; raises `InputError` for an unknown one.
    law : str
        "normal", "lognormal" or "weibull", for basis values.
    memo : dict, optional
        What was promised, kept for the next call.

    Returns
    -------
    Summary

    Examples
    --------
    >>> summed([], lambda key: None).groups
    ()
    """
    good = [(n, s, s.result) for n, s in enumerate(tests) if s.result is not None]
    counted = _once([(n, s, r) for n, s, r in good if s.entry.counted])
    found: list[tuple[int, Ratio]] = []
    weighed: list[Weighed] = []
    unsaid: dict[int, str] = {}
    beyond: dict[int, Beyond] = {}
    for n, seen, result in good:
        told = _promised(seen, result, walls, {} if memo is None else memo)
        if isinstance(told, str):
            unsaid[n] = told
            continue
        weighed.append(replace(told[0], place=n))
        if told[2] is not None:
            beyond[n] = told[2]
        found += [(n, r) for r in told[1]]
        if not told[1]:
            unsaid[n] = "no check speaks of this kind of test"
    on = {n for n, _, _ in counted}
    return Summary(
        tuple(tests), tuple(_groups(counted, walls, law)), tuple(found),
        tuple(biases(r for n, r in found if n in on)), tuple(weighed),
        tuple(said_of(tests, counted, walls)), unsaid, beyond,
    )  # fmt: skip


def _once(counted: list[tuple[int, Seen, TestResult]]) -> list[tuple[int, Seen, TestResult]]:
    """The same without tests that are there twice."""
    if len(counted) > PAIRS:
        return counted
    again = doubles(curves_of([s for _, s, _ in counted]))
    return [one for n, one in enumerate(counted) if n not in again]


def _promised(seen: Seen, result: TestResult, walls: Walls, memo: Memo) -> Told:
    """What is promised for a test, or why nothing is; worked out once a result."""
    key = (id(result), seen.entry.get("wall_of"))
    if key not in memo or memo[key][0] is not result:
        told: Told
        try:
            tube = tube_of(seen, result, walls)
            told = (_weighed(result, tube), tuple(ratios(result, tube)),
                    beyond_bending(result, tube))  # fmt: skip
        except InputError as error:
            told = str(InputError(error.message, got=error.got, expected=error.expected))
        memo[key] = (result, told)
    out: Told = memo[key][1]
    return out


def _weighed(result: TestResult, tube: Tube) -> Weighed:
    row: Any = weight_for_weight([result], [tube]).iloc[0]
    torsion = result.kind == "torsion"
    quantity = {"tension": "EA", "compression": "EA", "torsion": "GJ"}.get(result.kind, "EI")
    unit = "N_m_per_kg" if quantity == "EA" else "N_m3_per_kg"
    peak = "peak_per_mass_N_m2_per_kg" if torsion else "peak_per_mass_N_m_per_kg"
    stiff = math.nan if no_modulus(result) else float(row[f"{quantity}_per_mass_{unit}"])
    return Weighed(0, stiff, quantity, float(row[peak]))


def no_modulus(result: TestResult) -> bool:
    """Whether the slope is no stiffness of the tube: pulled without an extensometer."""
    return result.kind == "tension" and math.isnan(result.si["modulus"])


def _name(key: str, walls: Walls) -> str:
    try:
        return walls(key).name if key else ""
    except InputError:
        return ""


def _groups(counted: Sequence[tuple[int, Seen, TestResult]], walls: Walls, law: str) -> list[Group]:
    found: dict[tuple[Any, ...], list[tuple[int, Seen, TestResult]]] = {}
    for one in counted:
        found.setdefault(key_of(one[1], one[2]), []).append(one)
    out = []
    for key, rows in found.items():
        first = rows[0][2]
        span = first.rig.span if first.rig.bends or first.kind == "column" else math.nan
        out.append(
            Group(key[0], _name(key[0], walls), first.kind, first.rig.od, first.rig.wall, span,
                  tuple(n for n, _, _ in rows), tuple(_stats(rows, law)))
        )  # fmt: skip
    return out


def _stats(rows: Sequence[tuple[int, Seen, TestResult]], law: str) -> list[Stat]:
    kind = rows[0][2].kind
    load = "torque" if kind == "torsion" else "force"
    stiff = STIFF.get(kind, "EI")
    stiff_kind = {"EA": "force", "modulus": "modulus"}.get(stiff, "bending_stiffness")
    wanted = [("peak", f"largest {'torque' if kind == 'torsion' else 'load'}", load),
              ("yield_offset", "0.2 % offset", load), (stiff, stiff, stiff_kind)]  # fmt: skip
    if kind == "column":
        wanted.insert(1, ("critical", "critical load", load))
    if stiff != "modulus":
        wanted.append(("modulus", "modulus", "modulus"))
    out = []
    for key, label, unit in wanted:
        mine = [(s.name, r.si[key], _open(key, r), s.entry.get("batch")) for _, s, r in rows
                if not math.isnan(r.si.get(key, math.nan))
                and not (key == "EA" and no_modulus(r))]  # fmt: skip
        if not mine:
            continue
        names, values, open_end, told = (list(c) for c in zip(*mine, strict=True))
        sample = describe(values, open_end, names)
        strength = key in ("peak", "yield_offset", "critical")
        shares = {k: _basis(values, k, law, open_end) for k in "BA"} if strength else {}
        batches = by_batch(values, told, law, open_end) if strength else None
        out.append(Stat(key, label, unit, sample, shares, batches))
    return out


def _open(key: str, r: TestResult) -> bool:
    """Whether a figure is only "at least"."""
    return (
        r.peak_is_at_least
        if key == "peak"
        else key in ("EI", "modulus") and (r.section_is_at_least)
    )


def _basis(values: list[float], kind: str, law: str, open_end: list[bool]) -> Basis | str:
    try:
        return basis(values, kind, law, open_end)
    except InputError as error:
        return error.message[0].upper() + error.message[1:] + "."


__all__ = [
    "KIND_WORDS",
    "STIFF",
    "Group",
    "Stat",
    "Summary",
    "Weighed",
    "no_modulus",
    "summed",
    "tube_of",
]  # fmt: skip
