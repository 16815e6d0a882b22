"""What page `choose` keeps in a job, and back: the need as typed and everything set beside it.

Nothing that stands in a job is believed unchecked: it may have come with a stranger's mail.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from tubecalc.app.draft import Draft, from_table, from_toml, to_toml
from tubecalc.app.grammar import MAX_CASES
from tubecalc.app.state import SYSTEMS, Choice
from tubecalc.errors import InputError
from tubecalc.job import Candidate, Job
from tubecalc.laminate.construction import composites, metals
from tubecalc.need import Need

PAGE = "choose"
LONGEST = 20_000
WIDEST = 2.0  # m, of a range that is swept
_MOST_CASES = 2 * MAX_CASES


# ---- out -------------------------------------------------------------------------------------
def job_of(choice: Choice, base: Job, need: Need) -> Job:
    """Job as it stands on the page.

    Parameters
    ----------
    choice : Choice
        What is set on the page.
    base : Job
        The job that was opened, with all the page does not show.
    need : Need
        The need as last understood.

    Returns
    -------
    Job
        The opened job with need, units and the state of this page.
    """
    from tubecalc import __version__

    page = {**base.page, PAGE: state_of(choice)}
    return replace(base, need=need, units=choice.units, page=page, version=__version__)


def state_of(choice: Choice) -> dict[str, Any]:
    """Everything set on the page beside need and units, as a table.

    Parameters
    ----------
    choice : Choice
        What is set on the page.

    Returns
    -------
    dict
        Lengths in m; of a stock list its name alone.
    """
    return {
        "typed": to_toml(choice.draft),
        "od": list(choice.od),
        "wall": list(choice.wall),
        "constructions": list(choice.constructions),
        "stock": "" if choice.stock is None else choice.stock.name,
        "measure": choice.measure,
        "beyond": choice.beyond,
        "selected": choice.selected,
        "sort": list(choice.sort),
    }


def candidate_of(key: str) -> Candidate:
    """Candidate from the key of a tube picked on the page.

    Parameters
    ----------
    key : str
        Construction, outside diameter and bore in mm.

    Returns
    -------
    Candidate

    Examples
    --------
    >>> candidate_of("pultruded|10.0000|8.0000")
    Candidate(wall='pultruded', od=0.01, id=0.008, label='', price=nan, note='')
    """
    wall, od, bore = key.rsplit("|", 2)
    return Candidate(wall, round(float(od) * 1e-3, 9), round(float(bore) * 1e-3, 9))


# ---- in --------------------------------------------------------------------------------------
def choice_of(job: Job, text: str, start: Choice) -> tuple[Choice, list[str]]:
    """Choice that shows a job.

    Parameters
    ----------
    job : Job
        The job.
    text : str
        The TOML it was read from, for the need as it was typed.
    start : Choice
        What holds where the job says nothing.

    Returns
    -------
    tuple of Choice and list of str
        The choice (without a stock list), and a sentence on each part that was left out.

    Raises
    ------
    InputError
        If the need has more cases than the page can show.
    """
    choice = with_own(replace(start, draft=draft_of(job, text), selected=""), job)
    if "job" in tomllib.loads(text):  # a need file says nothing on units
        choice = replace(choice, units=job.units)
    state = job.page.get(PAGE, {})
    if state:
        choice = replace(choice, stock=None)
    elif job.need.limits.od_max > 0:  # the diameters reach up to its largest
        top = min(job.need.limits.od_max, WIDEST)
        choice = replace(choice, od=(min(choice.od[0], top / 2), top))
    refused = []
    for key, read in READERS.items():
        if key in state:
            try:
                own = [c.key for c in choice.own] if key == "constructions" else []
                choice = replace(choice, **{key: read(state[key], *own)})
            except (InputError, ValueError, TypeError):
                refused.append(f'The job\'s "{key}" of this page cannot be used and is left out.')
    return choice, refused


def with_own(choice: Choice, job: Job) -> Choice:
    """Choice with the own walls of a job, which are looked at as those that come with tubecalc.

    Parameters
    ----------
    choice : Choice
        The choice.
    job : Job
        The job.

    Returns
    -------
    Choice

    Examples
    --------
    >>> wall = {"name": "my wall", "fill": [{"ply": "glass-ud", "angle": 0}]}
    >>> with_own(Choice(), Job(walls={"mine": wall})).constructions[0]
    'mine'
    """
    own = job.constructions
    before = {c.key for c in choice.own}
    rest = [k for k in choice.constructions if k not in before or k in own]
    new = [k for k in own if k not in rest]
    return replace(choice, own=tuple(own.values()), constructions=(*new, *rest))


def draft_of(job: Job, text: str) -> Draft:
    """Need of a job as it was typed, if it still is the need of the job or was never finished.

    Parameters
    ----------
    job : Job
        The job.
    text : str
        The TOML it was read from.

    Returns
    -------
    Draft
        The need as typed, else as the file has it.

    Raises
    ------
    InputError
        If it has more cases than the page can show.
    """
    typed = job.page.get(PAGE, {}).get("typed")
    draft = _typed(typed) if isinstance(typed, str) and len(typed) <= LONGEST else None
    if draft is None or not _same_need(str(typed), job.need):
        table = tomllib.loads(text) if text else tomllib.loads(job.need.to_toml())
        draft = from_table(table.get("need", {}) if "job" in table else table)
    if len(draft.cases) > _MOST_CASES:
        raise InputError(
            "has more cases than this page can show", where="need", got=len(draft.cases),
            expected=f"at most {_MOST_CASES}",
        )  # fmt: skip
    return draft


def _typed(text: str) -> Draft | None:
    try:
        return from_toml(text)
    except (ValueError, TypeError, AttributeError, RecursionError):
        return None


def _same_need(typed: str, need: Need) -> bool:
    try:
        return Need.from_toml(typed) == need
    except InputError:
        return True  # not finished, so it is nobody else's


def range_of(ends: Any) -> tuple[float, float]:
    """Range in m that may be swept.

    Parameters
    ----------
    ends : list of float
        Least and most [m].

    Returns
    -------
    tuple of float

    Raises
    ------
    InputError
        If it is none, or too wide.

    Examples
    --------
    >>> range_of([0.01, 0.04])
    (0.01, 0.04)
    """
    low, high = (float(v) if not isinstance(v, bool | str) else math.nan for v in ends)
    if not 0 < low <= high <= WIDEST:
        raise InputError("is not a range", got=f"{low} to {high}")
    return low, high


def keys_of(keys: Any, *own: str) -> tuple[str, ...]:
    """Constructions and metals that exist, each once.

    Parameters
    ----------
    keys : list of str
        Their keys.
    *own : str
        Keys of the job's own walls.

    Returns
    -------
    tuple of str

    Raises
    ------
    InputError
        If one does not exist.
    """
    known = {*own, *composites(), *metals()}
    out = tuple(dict.fromkeys(keys)) if isinstance(keys, list | tuple) else ("",)
    if not all(k in known for k in out):
        raise InputError("names an unknown construction", got=str(keys)[:80])
    return out


def measure_of(key: Any) -> str:
    """Measure of the chart that exists.

    Parameters
    ----------
    key : str
        Its key.

    Returns
    -------
    str

    Raises
    ------
    InputError
        If it does not exist.
    """
    from tubecalc.app.view_chart import MEASURES

    if not isinstance(key, str) or key not in MEASURES:
        raise InputError("is not known", got=str(key)[:80])
    return key


def units_of(key: Any) -> str:
    """Display system that exists.

    Parameters
    ----------
    key : str
        Its key.

    Returns
    -------
    str

    Raises
    ------
    InputError
        If it does not exist.
    """
    if not isinstance(key, str) or key not in SYSTEMS:
        raise InputError("is not known", got=str(key)[:80])
    return key


def sort_of(pair: Any) -> tuple[str, bool]:
    """Column and direction of the shortlist.

    Parameters
    ----------
    pair : list of str and bool
        Column and whether it falls.

    Returns
    -------
    tuple of str and bool

    Raises
    ------
    InputError
        If it is no such pair.
    """
    column, falls = pair
    return _short(column), _flag(falls)


def _flag(value: Any) -> bool:
    if not isinstance(value, bool):
        raise InputError("must be true or false", got=str(value)[:80])
    return value


def _short(value: Any) -> str:
    if not isinstance(value, str) or len(value) > 80:
        raise InputError("is not a name", got=str(value)[:80])
    return value


READERS: Mapping[str, Callable[..., Any]] = {
    "od": range_of, "wall": range_of, "constructions": keys_of, "measure": measure_of,
    "beyond": _flag, "selected": _short, "sort": sort_of,
}  # fmt: skip
