"""Tests and state of page `bench` taken out of a job."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from tubecalc.app.bench_hand import hand_of
from tubecalc.app.bench_state import LAWS, MOST, PAGE, SECTIONS, BenchChoice
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.testing.bench import Entry, Seen
from tubecalc.testing.bench_rows import is_ours, seen_of


def choice_of(job: Job) -> tuple[BenchChoice, list[str]]:
    """Choice of a job; nothing in it is believed unchecked.

    Parameters
    ----------
    job : Job
        A job, perhaps from a file or a link.

    Returns
    -------
    tuple of BenchChoice and list of str
        The choice, and one sentence for each part that was left out.

    Examples
    --------
    >>> choice_of(Job(tests=({"row": "bench 1", "file": "a.csv"},)))[1]
    ['A test of this job is damaged and is left out: a.csv.']
    """
    entries: list[Entry] = []
    kept: dict[tuple[str, int], Seen] = {}
    answers: dict[str, dict[str, str]] = {}
    refused: list[str] = []
    for row in job.tests:
        if not is_ours(row):
            continue
        try:
            seen, given = seen_of(row)
        except InputError:
            name = row.get("file")
            name = name[:60] if isinstance(name, str) and name else "its file is not named"
            refused.append(f"A test of this job is damaged and is left out: {name}.")
            continue
        place = (seen.entry.digest, seen.entry.number)
        if place in kept or len(entries) >= MOST:
            refused.append(f"A test of {seen.entry.file[:60]} is in this job twice, or too many.")
            continue
        kept[place] = seen
        answers[seen.entry.digest] = given
        entries.append(seen.entry)
    choice = BenchChoice(job, entries=tuple(entries), kept=kept, answers=answers)
    return replace(choice, **_state(job.page.get(PAGE), len(entries))), refused


def _state(state: Any, count: int) -> dict[str, Any]:
    """State of the page in a job, what of it can be used."""
    out: dict[str, Any] = {}
    if not isinstance(state, Mapping):
        return out
    if state.get("section") in SECTIONS:
        out["section"] = state["section"]
    if state.get("law") in LAWS:
        out["law"] = state["law"]
    out["apart"] = state.get("apart") is True
    out["hand"] = hand_of(state.get("hand"))
    chosen = state.get("chosen")
    if isinstance(chosen, int) and not isinstance(chosen, bool) and 0 <= chosen < count:
        out["chosen"] = chosen
    on = state.get("on")
    if isinstance(on, list) and len(on) < 200:
        pairs = [tuple(p) for p in on if isinstance(p, list) and len(p) == 2]
        out["on"] = frozenset(p for p in pairs if all(isinstance(t, str) for t in p))
    return out


__all__ = ["choice_of"]
