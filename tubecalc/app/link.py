"""A choice as the query of a link, and back; nothing in a link is believed unchecked."""

from __future__ import annotations

import base64
import zlib
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any
from urllib.parse import parse_qs, urlencode

from tubecalc.app.draft import Draft, from_toml, to_toml
from tubecalc.app.state import SYSTEMS, Choice
from tubecalc.errors import InputError
from tubecalc.laminate.construction import composites, metals
from tubecalc.need import Need
from tubecalc.units import to_si

VERSION = "1"
_MOST = 20_000


def write_query(choice: Choice) -> str:
    """Write a choice as a query string (a stock list does not travel).

    Parameters
    ----------
    choice : Choice
        The choice.

    Returns
    -------
    str
        Query string without the question mark.

    Examples
    --------
    >>> read_query(write_query(Choice(units="inch")), Choice(), {})[0].units
    'inch'
    """
    packed = zlib.compress(to_toml(choice.draft).encode("utf-8"), 9)
    parts = {
        "v": VERSION,
        "od": "-".join(f"{v * 1e3:.6g}" for v in choice.od) + "mm",
        "wall": "-".join(f"{v * 1e3:.6g}" for v in choice.wall) + "mm",
        "of": ",".join(choice.constructions),
        "units": choice.units,
        "by": choice.measure,
        "tube": choice.selected,
    }
    if choice.draft.cases:
        parts["need"] = base64.urlsafe_b64encode(packed).decode("ascii").rstrip("=")
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
    refused: list[str] = []
    given = {k: v[-1] for k, v in parse_qs(query[:_MOST]).items()}
    if given.get("v", VERSION) != VERSION:
        return start, ["The link was made by another version and is not used."]
    readers: dict[str, Callable[[str], dict[str, Any]]] = {
        "job": lambda t: {"draft": jobs[t]},
        "need": lambda t: {"draft": _need(t)},
        "od": lambda t: {"od": _range(t)},
        "wall": lambda t: {"wall": _range(t)},
        "of": lambda t: {"constructions": _keys(t)},
        "units": lambda t: {"units": t if t in SYSTEMS else _no(t)},
        "by": lambda t: {"measure": _measure(t)},
        "tube": lambda t: {"selected": t[:80]},
    }
    for key, read in readers.items():
        if key in given:
            try:
                start = replace(start, **read(given[key]))
            except (InputError, ValueError, KeyError, zlib.error):
                refused.append(f'The link\'s "{key}" cannot be used and is left out.')
    return start, refused


def _no(text: str) -> str:
    raise InputError("is not known", got=text)


def _need(text: str) -> Draft:
    raw = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
    unpack = zlib.decompressobj()
    words = unpack.decompress(raw, _MOST).decode("utf-8")
    Need.from_toml(words)
    return from_toml(words)


def _range(text: str) -> tuple[float, float]:
    low, high = text.removesuffix("mm").split("-")
    ends = tuple(
        to_si(f"{float(v)!r} mm", "length", what="range", positive=True) for v in (low, high)
    )
    if not 0 < ends[0] <= ends[1] <= 1:
        raise InputError("is not a range", got=text)
    return ends[0], ends[1]


def _keys(text: str) -> tuple[str, ...]:
    known = {**composites(), **metals()}
    keys = tuple(dict.fromkeys(text.split(",")))
    if not all(k in known for k in keys):
        raise InputError("names an unknown construction", got=text)
    return keys


def _measure(text: str) -> str:
    from tubecalc.app.view_chart import MEASURES

    return text if text in MEASURES else _no(text)
