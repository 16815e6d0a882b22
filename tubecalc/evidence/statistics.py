"""Families of the statistics of tests: tolerance factors, basis values, normalised strength."""

from __future__ import annotations

import re

from tubecalc.evidence.book import Row, register
from tubecalc.evidence.inputs import unit_factor
from tubecalc.testing.basis_value import basis, basis_factor
from tubecalc.testing.statistics import describe, normalised

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
