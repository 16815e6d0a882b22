"""Tests of a bench in words and figures: a line each, groups, measured over promised."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tubecalc.errors import InputError
from tubecalc.testing.basis_value import Basis, basis
from tubecalc.testing.batches import ByBatch, by_batch
from tubecalc.testing.bench_set import Bench
from tubecalc.testing.calibrate import Bias, Ratio, biases, ratios
from tubecalc.testing.reduce_group import odd_slopes
from tubecalc.testing.result import FAILURE_WORDS, TestResult
from tubecalc.testing.statistics import Sample, describe

if TYPE_CHECKING:
    import pandas as pd

Key = tuple[str, str]


def frame(results: Sequence[TestResult]) -> pd.DataFrame:
    """Results as a table, one line a specimen.

    Parameters
    ----------
    results : sequence of TestResult
        Of any kinds.

    Returns
    -------
    pandas.DataFrame
        Columns carry their unit; those that no test fills are left out.
    """
    import pandas as pd

    table = pd.DataFrame([r.row() for r in results])
    if table.empty:
        return table
    words = ["notes"] if "notes" in table else []
    table = table.dropna(axis=1, how="all")
    return table[[c for c in table.columns if c not in words] + words]


def groups(bench: Bench) -> dict[Key, list[TestResult]]:
    """Tests that may be averaged: of one construction, kind and size, each test once.

    Parameters
    ----------
    bench : Bench
        Reduced tests.

    Returns
    -------
    dict
        By construction (or section, where the construction is not said) and kind.
    """
    out: dict[Key, list[TestResult]] = {}
    for result, wall in bench.counting:
        rig = result.rig
        size = f"{rig.od * 1e3:g} x {rig.wall * 1e3:g} mm" if rig.od > 0 else "size not said"
        span = f" over {rig.span * 1e3:g} mm" if rig.span > 0 else ""
        out.setdefault((f"{wall or 'tubes'} {size}", result.kind + span), []).append(result)
    return out


def strength(tests: Sequence[TestResult]) -> Sample:
    """Largest loads of a group; lower bounds count as such.

    Parameters
    ----------
    tests : sequence of TestResult
        Of one group.

    Returns
    -------
    Sample
        In N or N m.
    """
    return describe(
        [t.si["peak"] for t in tests], [t.peak_is_at_least for t in tests], [t.name for t in tests]
    )


def group_batches(tests: Sequence[TestResult]) -> ByBatch | None:
    """Basis values of a group by batches; None where no batch is told.

    Parameters
    ----------
    tests : sequence of TestResult
        Of one group.

    Returns
    -------
    ByBatch or None
    """
    return by_batch(
        [t.si["peak"] for t in tests], [t.batch for t in tests],
        censored=[t.peak_is_at_least for t in tests],
    )  # fmt: skip


def group_basis(tests: Sequence[TestResult], kind: str = "B") -> Basis | str:
    """Basis value of the largest load of a group, or the sentence that refuses it.

    Parameters
    ----------
    tests : sequence of TestResult
        Of one group.
    kind : str
        "A" or "B".

    Returns
    -------
    Basis or str
    """
    try:
        return basis(
            [t.si["peak"] for t in tests], kind, censored=[t.peak_is_at_least for t in tests]
        )
    except InputError as error:
        return error.message


def compared(bench: Bench) -> tuple[list[Ratio], list[str]]:
    """Measured over promised for every test that counts, of known construction and size.

    Parameters
    ----------
    bench : Bench
        Reduced tests.

    Returns
    -------
    ratios : list of Ratio
    problems : list of str
        One sentence for each test that could not be compared.
    """
    from tubecalc.tube import Tube
    from tubecalc.units import Q_

    found: list[Ratio] = []
    problems: list[str] = []
    known: dict[tuple[str, float, float], Tube] = {}
    for test, wall in bench.counting:
        if not wall or not test.rig.od > 0 or not test.rig.wall > 0:
            continue
        key = (wall, test.rig.od, test.rig.wall)
        try:
            if key not in known:
                bore = test.rig.od - 2 * test.rig.wall
                known[key] = Tube(wall, od=Q_(test.rig.od, "m"), id=Q_(max(bore, 0.0), "m"))
            found += ratios(test, known[key])
        except InputError as error:
            problems.append(f"{test.name}: {error}")
    return found, problems


def four(value: float) -> str:
    """Number with four digits that count, whole numbers whole.

    Parameters
    ----------
    value : float
        Any number.

    Returns
    -------
    str

    Examples
    --------
    >>> four(21523.4), four(0.064321), four(math.nan)
    ('21520', '0.06432', '-')
    """
    if math.isnan(value):
        return "-"
    text = f"{value:.4g}"
    return f"{float(text):.0f}" if "e+" in text else text


def load(test: TestResult, value: float) -> str:
    """Load of a test with its unit.

    Parameters
    ----------
    test : TestResult
        The test.
    value : float
        [N or N m].

    Returns
    -------
    str
    """
    return four(value) if math.isnan(value) else f"{four(value)} {_unit(test)}"


def slope(test: TestResult) -> str:
    """Stiffness of a test with its unit.

    Parameters
    ----------
    test : TestResult
        The test.

    Returns
    -------
    str
        "-" where there is none.
    """
    per, unit = (math.pi / 180, "N m/deg") if test.kind == "torsion" else (1e-3, "N/mm")
    value = test.si["stiffness"]
    return "-" if math.isnan(value) else f"{four(value * per)} {unit}"


def _unit(test: TestResult) -> str:
    return "N m" if test.kind == "torsion" else "N"


def _figures(test: TestResult) -> list[str]:
    """Figures of one test, each with its name."""
    v = test.si
    more = "at least " if test.peak_is_at_least else ""
    out = [f"largest load {more}{load(test, v['peak'])}"]
    if not math.isnan(v["stiffness"]):
        half = 100 * v["stiffness_half"] / v["stiffness"]
        out.append(f"stiffness {slope(test)} within {half:.2g} %")
    for key, label, factor, unit in (
        ("EI", "EI", 1.0, "N m2"), ("EA", "EA", 1e-3, "kN"), ("GJ", "GJ", 1.0, "N m2"),
        ("modulus", "modulus", 1e-9, "GPa"), ("stress", "stress", 1e-6, "MPa"),
        ("energy", "energy", 1.0, "J"),
    ):  # fmt: skip
        if not math.isnan(v[key]):
            least = "at least " if test.section_is_at_least and key in ("EI", "modulus") else ""
            out.append(f"{label} {least}{four(v[key] * factor)} {unit}")
    if not math.isnan(v.get("critical", math.nan)):
        near = f" ± {four(v['critical_half'])} N" if v["critical_half"] > 0 else ""
        out.append(f"critical load {four(v['critical'])} N{near}")
        out.append(f"bow before loading {four(v['bow'] * 1e3)} mm")
    for key, label in (("yield_departure", "leaves the line at"),
                       ("yield_offset", "0.2 % offset at"),
                       ("first_drop", "first sudden fall at")):  # fmt: skip
        if not math.isnan(v[key]):
            out.append(f"{label} {load(test, v[key])}")
    return out


def sentences(test: TestResult) -> list[str]:
    """One test in words: its figures, then what must be said with them.

    Parameters
    ----------
    test : TestResult
        A reduced test.

    Returns
    -------
    list of str
    """
    head = f"{test.name} ({test.kind}, {FAILURE_WORDS[test.failure]}): "
    return [head + ", ".join(_figures(test)) + ".", *test.notes]


def group_sentences(key: Key, tests: Sequence[TestResult]) -> list[str]:
    """A group in words: middle, spread, basis, what contradicts.

    Parameters
    ----------
    key : tuple of str
        Of `groups`.
    tests : sequence of TestResult
        Of that group.

    Returns
    -------
    list of str
        Empty for a single test.
    """
    if len(tests) < 2:
        return []
    found = strength(tests)
    out = []
    if not math.isnan(found.mean):
        text = f"{key[0]}, {key[1]}: largest load {load(tests[0], found.mean)} in the middle"
        if not math.isnan(found.low):
            text += f" ({load(tests[0], found.low)} to {load(tests[0], found.high)})"
        if not math.isnan(found.variation):
            text += f", spread {100 * found.variation:.2g} %"
        out.append(f"{text}, {found.broken} of {found.n} broke.")
    else:
        out.append(f"{key[0]}, {key[1]}: {found.n} tests.")
    out += list(found.notes)
    parted = group_batches(tests)
    low = group_basis(tests) if parted is None else parted.values["B"]
    if parted is not None and low != parted.sentence:
        out.append(parted.sentence)
    if isinstance(low, Basis):
        out.append(
            f"B-basis {load(tests[0], float(low))} ({low.distribution}, factor {low.factor:.3f})."
        )
        out += [n for n in low.notes if n not in out]
    else:
        out.append(f"{low[0].upper()}{low[1:].rstrip('.')}.")
    return out + odd_slopes(tests)


def report_text(bench: Bench) -> str:
    """Everything that is known of a bench, in plain text.

    Parameters
    ----------
    bench : Bench
        Reduced tests.

    Returns
    -------
    str
        Paragraphs with an empty line between them.
    """
    parts = [["Tests"], *[sentences(t) for t in bench.results]]
    several = [group_sentences(k, tests) for k, tests in groups(bench).items()]
    if any(several):
        parts += [["Groups"], *[s for s in several if s]]
    found, apart = compared(bench)
    if found:
        parts += [["Measured over promised (nothing is calibrated by it)"],
                  [b.sentence() for b in biases(found)]]  # fmt: skip
    said = [*bench.notes, *apart]
    if said:
        parts += [["To look at"], said]
    if bench.problems:
        parts += [["Not reduced"], list(bench.problems)]
    return "\n\n".join("\n".join(p) for p in parts) + "\n"


__all__ = ["Bias", "compared", "frame", "group_basis", "group_sentences", "groups", "report_text",
           "sentences", "strength"]  # fmt: skip
