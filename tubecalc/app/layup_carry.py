"""The wall of page `layup` as an own wall of the job, and its tube among the others."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from tubecalc.app.layup_rows import data_plies
from tubecalc.app.layup_state import LayupChoice
from tubecalc.app.layup_work import WallFound
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.laminate.own_ply import table_of
from tubecalc.layup_search_wall import wall_table

LONGEST = 60


def key_of(name: str) -> str:
    """Key of an own wall from its name.

    Parameters
    ----------
    name : str
        As typed.

    Returns
    -------
    str

    Raises
    ------
    InputError
        For no name, or one that is too long.

    Examples
    --------
    >>> key_of("Mast, thin")
    'own-mast-thin'
    """
    text = name.strip()
    if not text or len(text) > LONGEST:
        raise InputError("is no name for a wall", where="name", got=text[:LONGEST],
                         expected=f"1 to {LONGEST} characters")  # fmt: skip
    slug = "".join(c if c.isalnum() else "-" for c in text.lower())
    slug = "-".join(p for p in slug.split("-") if p)
    return f"own-{slug or 'wall'}"


def table_of_wall(found: WallFound, name: str) -> dict[str, Any]:
    """Wall table of a job for the wall of the page, own plies in it.

    Parameters
    ----------
    found : WallFound
        The wall.
    name : str
        Name shown on screen.

    Returns
    -------
    dict
        In the format of data/constructions/constructions.toml.
    """
    layers = found.layup.layers
    table = {**wall_table(layers), "name": name.strip()}
    known, values = data_plies(), {x.key: x.values for x in layers}
    table["fill"] = [
        p if p["ply"] in known else {**p, "ply": {**table_of(values[p["ply"]]), "name": p["ply"]}}
        for p in table["fill"]
    ]
    return table


def in_job(choice: LayupChoice, found: WallFound) -> str:
    """How the job knows the wall of the page: "same", "other" under its name, or "" not at all."""
    try:
        key = key_of(choice.get("name"))
    except InputError:
        return ""
    if key not in choice.job.walls:
        return ""
    want = Job(walls={key: table_of_wall(found, choice.get("name"))})
    return "same" if Job(walls={key: choice.job.walls[key]}) == want else "other"


def with_wall(choice: LayupChoice, found: WallFound) -> Job:
    """Job with the wall of the page among its own walls, under its name.

    Parameters
    ----------
    choice : LayupChoice
        The choice.
    found : WallFound
        The wall.

    Returns
    -------
    Job

    Raises
    ------
    InputError
        For a name that cannot be, or too many walls.
    """
    name = choice.get("name")
    walls = {**choice.job.walls, key_of(name): table_of_wall(found, name)}
    return replace(choice.job, walls=walls)


def with_tube(choice: LayupChoice, found: WallFound) -> Job:
    """Job with the wall, and its tube among the candidates.

    Parameters
    ----------
    choice : LayupChoice
        The choice.
    found : WallFound
        The wall.

    Returns
    -------
    Job
    """
    job, key = with_wall(choice, found), key_of(choice.get("name"))
    s = found.tube.sections
    one = Candidate(key, round(2 * float(s.ro[0]), 9), round(2 * float(s.ri[0]), 9))
    others = tuple(c for c in job.candidates if c != one and c.wall != key)
    chosen = job.candidates[job.chosen] if 0 <= job.chosen < len(job.candidates) else None
    every = (*others, one)
    return replace(
        job, candidates=every, chosen=every.index(chosen) if chosen in every else -1
    )  # fmt: skip


__all__ = ["LONGEST", "in_job", "key_of", "table_of_wall", "with_tube", "with_wall"]
