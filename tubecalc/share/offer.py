"""What a job offers: its own candidates, or the best tubes of different constructions."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.laminate.construction import composites, metals
from tubecalc.need import Need
from tubecalc.sweep import default_sizes, grid, sweep
from tubecalc.sweep_quick import lightest

COUNT = 3  # tubes offered where the job names none


def offered(job: Job, *, count: int = COUNT) -> Job:
    """Job with something to offer: where it names no tube, the best of different constructions.

    Parameters
    ----------
    job : Job
        A need, with or without candidates.
    count : int
        How many tubes to take where it has none [-].

    Returns
    -------
    Job
        The job itself if it has candidates; else one with the lightest that pass, each of another
        construction, those of a usual size first. Where nothing passes, those that come nearest.

    Raises
    ------
    InputError
        If the job has neither a candidate nor a case.

    Examples
    --------
    >>> job = Job(candidates=(Candidate("6063-T6", 0.02, 0.017),))
    >>> offered(job) is job
    True
    """
    if job.candidates:
        return job
    if not job.need.cases:
        raise InputError(
            "there is nothing to offer: the job has neither a tube nor a need", where="job",
            expected="a [[candidate]] or a [[need.case]]",
        )  # fmt: skip
    found = tuple(Candidate(k, od, bore) for k, od, bore in _best(job.need, count))
    return replace(job, candidates=found, chosen=-1)


@lru_cache(maxsize=16)
def _best(need: Need, count: int) -> tuple[tuple[str, float, float], ...]:
    """Construction, outside diameter and bore [m] of the best of each, best first."""
    made = (*composites().values(), *metals().values())
    every = grid(made, *default_sizes(need))
    best = lightest(every, need, count)
    if best is not None:
        t = every.walls.t[every.index[best]]
        sizes = np.stack([every.od[best], every.od[best] - 2 * t], axis=1).round(9).tolist()
        keys = [made[k].key for k in every.which[best].tolist()]
        return tuple((key, od, bore) for key, (od, bore) in zip(keys, sizes, strict=True))
    table = sweep(need, specific=False)
    for rows in (table[table["reserve"] >= 0], table):
        if len(rows):
            first = rows.drop_duplicates("construction").head(count)
            sizes = (first[["od_mm", "id_mm"]].to_numpy(float) / 1e3).round(9).tolist()
            keys = first["construction"].astype(str).tolist()
            return tuple((key, od, bore) for key, (od, bore) in zip(keys, sizes, strict=True))
    raise InputError("no tube has these sizes", where="job")


__all__ = ["COUNT", "offered"]
