"""Families of the statistics of tests: tolerance factors, basis values, normalised strength."""

from __future__ import annotations

import re

from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import unit_factor
from tubecalc.testing.basis_value import basis, basis_factor, pooled_basis
from tubecalc.testing.statistics import (
    critical_residual,
    describe,
    goodness,
    modified_variation,
    normalised,
)

_NUMBER = r"\d+(?:\.\d+)?"


@register(r"k[AB]-")
def _factor(row: Row) -> float | None:
    return basis_factor(row.id[1], int(row.id.rsplit("-", 1)[1]))


@register(r"BASIS-n\d+-")
def _basis(row: Row) -> float | None:
    listed = row.inputs.split(":", 1)[1].split(";")[0]
    sample = [float(x) for x in re.findall(_NUMBER, listed)]
    what = row.id.split("-", 2)[2]
    if what in ("mean", "sd"):
        found = describe(sample)
        return found.mean if what == "mean" else found.deviation
    distribution, kind = what.split("-")
    return float(basis(sample, kind, distribution))


@register(r"CPT-norm")
def _normalised(row: Row) -> float | None:
    strength, wall, nominal = (float(x) for x in re.findall(_NUMBER, row.inputs))
    return normalised(strength, wall, nominal) * unit_factor(row.unit)


def _groups(row: Row) -> dict[str, list[float]]:
    """Samples of the inputs by their name: "dry: 93.0 95.0; wet: 80.0 82.0"."""
    parts = (part.split(":", 1) for part in row.inputs.split(";") if ":" in part)
    return {name.strip(): [float(x) for x in re.findall(_NUMBER, text)] for name, text in parts}


def _all(row: Row) -> list[float]:
    return [x for sample in _groups(row).values() for x in sample]


@register(r"OSL-")
def _significance(row: Row) -> float | None:
    return goodness(_all(row), row.id.rsplit("-", 1)[1])


@register(r"MNR-")
def _residual(row: Row) -> float | None:
    return describe(_groups(row)[f"batch {row.id[-1]}"]).residual


@register(r"MNRC-")
def _critical(row: Row) -> float | None:
    return critical_residual(int(row.id.rsplit("-", 1)[1]))


@register(r"BATCH-")
def _batches(row: Row) -> float | None:
    batch = [name for name, sample in _groups(row).items() for _ in sample]
    return float(basis(_all(row), row.id[-1], batches=batch))


@register(r"POOL-")
def _pooled(row: Row) -> float | None:
    _, group, kind = row.id.split("-")
    return float(pooled_basis(_groups(row), kind)[group])


@register(r"(MOD)?CV-")
def _variation(row: Row) -> float | None:
    what, group = row.id.split("-")
    plain = describe(_groups(row)[group]).variation
    return modified_variation(plain) if what == "MODCV" else plain
