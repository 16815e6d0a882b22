"""Notes for the workshop: cutting, sanding and drilling, with what harms people first."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from tubecalc import datafiles
from tubecalc.errors import unknown_key
from tubecalc.joining.galvanic import material_of
from tubecalc.laminate.construction import Construction, get_construction
from tubecalc.tube import Tube
from tubecalc.unit_words import Spoken, marked

WORKS = ("cutting", "sanding", "drilling")


@dataclass(frozen=True)
class Note:
    """One note: what it is about, which walls it holds for, text, whether it is a caution."""

    key: str
    work: str
    walls: str
    text: Spoken
    caution: bool
    source: str
    standing: str


@cache
def all_notes() -> tuple[Note, ...]:
    """Every note, in the order of the file."""
    return tuple(
        Note(r["key"], r["work"], r["walls"], marked(r["text"]), r["caution"] == "1", r["source"],
             r["standing"])
        for r in datafiles.rows("joining/notes.csv")
    )  # fmt: skip


def notes(tube: Tube | Construction | str, work: str | None = None) -> list[Note]:
    """Notes that hold for a tube, cautions first.

    Parameters
    ----------
    tube : Tube, Construction or str
        The tube, or its construction.
    work : str, optional
        "cutting", "sanding" or "drilling"; all of them else.

    Returns
    -------
    list of Note

    Raises
    ------
    InputError
        For an unknown work or construction.

    Examples
    --------
    >>> found = notes("pultruded", "drilling")
    >>> found[0].key, any("splits" in n.text for n in found)
    ('rules-first', True)
    """
    if work is not None and work not in WORKS:
        raise unknown_key("work", work, WORKS, "notes:work")
    c = tube.construction if isinstance(tube, Tube) else get_construction(tube)
    holds = {"all", "metal"} if c.metal else {"all", "composite"}
    if not c.metal:
        holds |= {"carbon"} if material_of(c) == "carbon" else set()
        holds |= {"axial"} if c.splits else set()
    wanted = [n for n in all_notes() if n.walls in holds and (work is None or n.work in
              ("all", work))]  # fmt: skip
    return sorted(wanted, key=lambda n: not n.caution)


__all__ = ["WORKS", "Note", "all_notes", "notes"]
