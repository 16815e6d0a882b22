"""The state of a page as the query of a link, and back; nothing in a link is believed unchecked."""

from __future__ import annotations

import base64
import binascii
import zlib
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any
from urllib.parse import parse_qs, quote, unquote, urlencode

from tubecalc.app.carry import LONGEST, keys_of, measure_of, range_of, sort_of, units_of
from tubecalc.app.draft import Draft, from_toml, to_toml
from tubecalc.app.state import Choice
from tubecalc.errors import InputError
from tubecalc.job import Job
from tubecalc.need import Need
from tubecalc.units import to_si

VERSION = "1"
MAIL = 2000  # characters of a whole address that every mail program leaves in one piece
_ADDRESS = 60  # of them for host and page
_QUERY = 30_000
_UNPACKED = 200_000
_NOT_STATE = ("token", "template", "theme")


def too_long(query: str) -> bool:
    """Whether some mail programs would break a link with this query.

    Parameters
    ----------
    query : str
        Query string.

    Returns
    -------
    bool

    Examples
    --------
    >>> too_long("v=1")
    False
    """
    return len(query) > MAIL - _ADDRESS


def has_state(query: str) -> bool:
    """Whether a query says anything about the page, not only who asks for it.

    Parameters
    ----------
    query : str
        Query string.

    Returns
    -------
    bool

    Examples
    --------
    >>> has_state("token=abc"), has_state("token=abc&units=inch")
    (False, True)
    """
    return any(key not in _NOT_STATE for key in parse_qs(query[:_QUERY]))


# ---- a whole job -----------------------------------------------------------------------------
def write_job(job: Job, *, tests: bool = True) -> str:
    """Write a whole job as a query string, for any page.

    Parameters
    ----------
    job : Job
        The job.
    tests : bool
        Whether its bench tests go along; they are long, and only page bench shows them. What they
        leave of a load stands in the need and always goes along.

    Returns
    -------
    str
        Query string without the question mark.

    Examples
    --------
    >>> read_job(write_job(Job(currency="EUR")))[0].currency
    'EUR'
    """
    whole = job if tests else replace(job, tests=())
    return urlencode({"v": VERSION, "j": _pack(whole.to_toml())})


def read_job(query: str) -> tuple[Job | None, str, list[str]]:
    """Take a whole job out of a query string.

    Parameters
    ----------
    query : str
        Query string.

    Returns
    -------
    tuple of Job or None, str and list of str
        The job, the TOML it was read from, and a sentence where it was refused.
    """
    given, refused = _given(query)
    if "j" not in given:
        return None, "", refused
    try:
        text = _unpack(given["j"], _UNPACKED)
        return Job.from_toml(text + "\n"), text, refused
    except (InputError, ValueError, zlib.error) as error:
        why = f" ({error})" if isinstance(error, InputError) else ""
        return None, "", [f"The link's job cannot be used and is left out{why}."[:400]]


# ---- page choose -----------------------------------------------------------------------------
def write_query(choice: Choice, base: Job | None = None) -> str:
    """Write a choice as a query string (a stock list does not travel).

    Parameters
    ----------
    choice : Choice
        The choice.
    base : Job, optional
        The job it belongs to: its candidates, own walls and words go along, its bench tests do not.

    Returns
    -------
    str
        Query string without the question mark.

    Examples
    --------
    >>> read_query(write_query(Choice(units="inch")), Choice(), {})[0].units
    'inch'
    """
    column, falls = choice.sort
    parts = {
        "v": VERSION,
        "od": "-".join(f"{v * 1e3:.6g}" for v in choice.od) + "mm",
        "wall": "-".join(f"{v * 1e3:.6g}" for v in choice.wall) + "mm",
        "of": ",".join(quote(key, safe=" ") for key in choice.constructions),
        "units": choice.units,
        "by": choice.measure,
        "tube": choice.selected,
        "beyond": "1" if choice.beyond else "",
        "sort": ("-" if falls else "") + column if column else "",
    }
    if choice.draft.cases:
        parts["need"] = _pack(to_toml(choice.draft))
    if base is not None:
        rest = replace(base, need=Need(), tests=(), page={}, units="SI")
        if rest != Job(version=base.version):
            parts["j"] = _pack(rest.to_toml())
    return urlencode({k: v for k, v in parts.items() if v})


def read_query(query: str, start: Choice, jobs: Mapping[str, Draft]) -> tuple[Choice, list[str]]:
    """Read a query string; what cannot be used is named and left out.

    Parameters
    ----------
    query : str
        Query string.
    start : Choice
        Choice to change.
    jobs : mapping
        Demo needs by name, for "job=".

    Returns
    -------
    tuple of Choice and list of str
        The choice and one sentence for each part that was refused.

    Examples
    --------
    >>> choice, refused = read_query("od=10-nan", Choice(), {})
    >>> refused[0][:8]
    'The link'
    """
    given, refused = _given(query)
    own = [c.key for c in start.own]
    readers: dict[str, Callable[[str], dict[str, Any]]] = {
        "job": lambda t: {"draft": jobs[t]},
        "need": lambda t: {"draft": _need(t)},
        "od": lambda t: {"od": _range(t)},
        "wall": lambda t: {"wall": _range(t)},
        "of": lambda t: {"constructions": keys_of([unquote(k) for k in t.split(",")], *own)},
        "units": lambda t: {"units": units_of(t)},
        "by": lambda t: {"measure": measure_of(t)},
        "tube": lambda t: {"selected": t[:80]},
        "beyond": lambda t: {"beyond": {"1": True, "0": False}[t]},
        "sort": lambda t: {"sort": sort_of((t.removeprefix("-"), t.startswith("-")))},
    }
    for key, read in readers.items():
        if key in given:
            try:
                start = replace(start, **read(given[key]))
            except (InputError, ValueError, KeyError, TypeError, AttributeError, zlib.error):
                refused.append(f'The link\'s "{key}" cannot be used and is left out.')
    return start, refused


def _given(query: str) -> tuple[dict[str, str], list[str]]:
    """Parts of a query string, or why none of it is used."""
    if len(query) > _QUERY:
        return {}, ["The link is longer than any that this page writes and is not used."]
    try:
        given = {k: v[-1] for k, v in parse_qs(query, max_num_fields=50).items()}
    except ValueError:
        return {}, ["The link has more parts than any that this page writes and is not used."]
    if given.get("v", VERSION) != VERSION:
        return {}, ["The link was made by another version and is not used."]
    return given, []


def _pack(text: str) -> str:
    packed = zlib.compress(text.encode("utf-8"), 9)
    return base64.urlsafe_b64encode(packed).decode("ascii").rstrip("=")


def _unpack(text: str, most: int) -> str:
    """Text of a packed part; one that would swell beyond a limit, or is cut off, is refused."""
    try:
        raw = base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
    except (binascii.Error, ValueError):
        raise InputError("is damaged") from None
    unpack = zlib.decompressobj()
    words = unpack.decompress(raw, most)
    if not unpack.eof or unpack.unused_data:
        raise InputError("is damaged or too big")
    return words.decode("utf-8")


def _need(text: str) -> Draft:
    words = _unpack(text, LONGEST)
    Need.from_toml(words + "\n")
    return from_toml(words)


def _range(text: str) -> tuple[float, float]:
    low, high = text.removesuffix("mm").split("-")
    return range_of(
        [to_si(f"{float(v)!r} mm", "length", what="range", positive=True) for v in (low, high)]
    )
