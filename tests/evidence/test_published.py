"""Every published value that tubecalc computes, one test a row; sources stand in data/evidence.

The expected values come from standards, handbooks, papers, solver runs and practice of the trade,
never from tubecalc; each row names its source and the reason for its tolerance.
"""

from __future__ import annotations

import math
from collections import Counter

import pytest

from tubecalc.evidence import rows
from tubecalc.evidence.reasons import reason
from tubecalc.evidence.report import STANDINGS

ROWS = rows()
HELD = [r for r in ROWS if r.asserted and r.computed is not None and not math.isnan(r.rel_tol)]
MISPRINTS = {  # errors found in printed sources -> how far off the print is at least
    "VIB-cant-f3": 0.004,  # 17.456 for 17.547, digits transposed
    "AISC-Pipe10STD-A": 0.03,  # 11.5 in2 does not belong to the wall beside it
}
# Families not computed yet -> why. Who computes one takes its line out; nothing waits unnamed.
FORM = "constant of a closed form; the Ritz minimum is used instead"
CODE = "section classes of a code; walls are judged by shell buckling instead"
DISCS = "discs on a shaft after Rayleigh; a tube has its own mass and one coupling"
WAITING = {
    "SP8007-gPlong": "0.9 for long tubes: the cautious 0.75 is taken for all",
    "SP8007-tors-const": FORM, "SP8007-ortho-tors": FORM, "WT-260": FORM,
    "RO-": "non-linear shear of a ply: plies are linear up to their first damage",
    "CLS-AISC": CODE, "COL-SS1-eps": CODE, "TOR-AISC-H5B-Fcr2": CODE,
    "COL-AISC-E11-": "column curve of one code; ours is the strut with a bow",
    "WHIRL-1": DISCS, "WHIRL-2": DISCS,
    "EXP-P1": "clamped end of a short tube under pressure: no theory of ends",
    "EXP-L1": "a lesson; the source gives no wall", "LAP-": "ranges of a table, context",
    "MAT-": "background values with nothing to compute",
    "TRADE-roll-from": "a process rule of the shop, no function",
    "TM83320-3": "number of fibres and resin between plies: nothing here uses them",
}  # fmt: skip


@pytest.mark.parametrize("row", HELD, ids=[r.id for r in HELD])
def test_computed_value_agrees_with_the_published_one(row):
    assert row.error is not None
    assert abs(row.error) <= row.rel_tol, (
        f"{row.quantity} of {row.inputs}: {row.computed:g} against {row.value:g} {row.unit} "
        f"({100 * row.error:+.3g} %, {100 * row.rel_tol:.3g} % allowed), {row.source}"
    )


def test_the_evidence_does_not_shrink():
    """A family that silently stops matching its rows would pass the test above."""
    held = Counter(r.file.removesuffix(".csv") for r in HELD)
    least = {
        "finite_element": 317, "formulas": 88, "laminate": 174, "sections": 177, "failure": 38,
        "experiments": 9, "micromechanics": 60, "beams": 136, "environment": 18, "materials": 10,
        "trade": 18, "statistics": 76, "joints": 37,
        "fits": 61, "pairs": 17,
    }  # fmt: skip
    assert {k: held[k] >= n for k, n in least.items()} == dict.fromkeys(least, True), held


@pytest.mark.parametrize(("key", "off"), MISPRINTS.items())
def test_misprints_of_the_sources_are_not_matched(key, off):
    """Known errors of printed sources, kept as negative examples."""
    row = next(r for r in ROWS if r.id == key)
    assert not row.asserted
    assert row.error is not None
    assert abs(row.error) > off


def test_every_waiting_family_has_a_reason_and_still_waits():
    """A line that no row needs is taken out, so that the list stays true."""
    waiting = [r.id for r in ROWS if r.computed is None]
    assert [k for k, why in WAITING.items() if len(why) < 15] == []
    assert [k for k in WAITING if not any(i.startswith(k) for i in waiting)] == []


@pytest.mark.parametrize("name", sorted({r.file for r in ROWS}))
def test_each_value_held_to_has_a_tolerance_its_reason_and_a_source(name):
    mine = [r for r in ROWS if r.file == name and r.asserted]
    assert [r.id for r in mine if not r.rel_tol > 0] == []
    assert [r.id for r in mine if len(reason(r)) < 10] == []
    assert [r.id for r in mine if len(r.source) < 5 or r.standing not in STANDINGS] == []
    odd = [r.id for r in ROWS if r.file == name and not r.asserted and not r.note]
    assert odd == [], "a value nobody is held to says why in its note"


def test_every_row_not_computed_is_of_a_family_known_to_wait():
    waiting = [r.id for r in ROWS if r.computed is None]
    assert [i for i in waiting if not i.startswith(tuple(WAITING))] == []
