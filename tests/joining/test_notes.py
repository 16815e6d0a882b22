"""Workshop notes: cautions come first, local rules before them, none without a standing."""

from __future__ import annotations

import pytest

from tubecalc.errors import InputError
from tubecalc.joining.notes import WORKS, all_notes, notes
from tubecalc.laminate.construction import composites, metals


@pytest.mark.parametrize("key", [*composites(), *metals()])
@pytest.mark.parametrize("work", WORKS)
def test_rules_and_cautions_come_first_for_every_tube(key, work):
    found = notes(key, work)
    assert found[0].key == "rules-first"
    assert "Local rules" in found[0].text
    cautions = [n.caution for n in found]
    assert cautions == sorted(cautions, reverse=True)
    assert not all(cautions)


@pytest.mark.parametrize("key", composites())
def test_composites_are_warned_of_dust_and_splinters(key):
    said = " ".join(n.text for n in notes(key, "cutting") if n.caution)
    for word in ("lungs", "mask", "goggles", "splinters"):
        assert word in said


def test_each_wall_gets_its_own_notes():
    def keys(wall: str) -> set[str]:
        return {n.key for n in notes(wall)}

    assert "splinter-axial" in keys("pultruded")
    assert "splinter-axial" not in keys("roll-wrapped")
    assert "dust-electric" not in keys("filament-wound")
    assert "dust" not in keys("6061-T6")
    assert {"sand-inner", "drill-place"} <= keys("6061-T6") & keys("pultruded")


def test_every_note_has_a_standing_and_ends_in_a_full_stop():
    assert {n.standing for n in all_notes()} == {"PRACTICE"}
    assert {n.source for n in all_notes()} == {"common practice, no source"}
    assert all(n.text.endswith(".") and len(n.text) < 260 for n in all_notes())
    assert len({n.key for n in all_notes()}) == len(all_notes())


def test_unknown_work_is_refused():
    with pytest.raises(InputError, match='did you mean "sanding"'):
        notes("pultruded", "sandin")
