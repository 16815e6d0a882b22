"""Counts and order of evidence rows, for the page and the command line."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Sequence

from tubecalc.errors import unknown_key
from tubecalc.evidence.book import AGREES, KNOWN, OUTSIDE, SHOWN, VERDICTS, WAITING, Row

STANDINGS = ("SEEN", "MEMORY", "COMPUTED", "PRACTICE")
_MEANING = {
    AGREES: "computed value within the stated tolerance",
    OUTSIDE: "beyond the tolerance: a fault, here or in the source",
    KNOWN: "beyond it, with the reason in the note; not held to",
    SHOWN: "no tolerance stated, or nothing to compute: context",
    WAITING: "no function computes it yet; never counts as a pass",
    "SEEN": "read in the source, or in a public copy that quotes it",
    "MEMORY": "recalled, not read again",
    "COMPUTED": "computed elsewhere: another solver, another library, by hand",
    "PRACTICE": "common practice of the trade, no source",
}


def meaning(word: str) -> str:
    """What a verdict or a standing says.

    Parameters
    ----------
    word : str
        A verdict or a standing.

    Returns
    -------
    str
        A phrase, "" for an unknown word.

    Examples
    --------
    >>> meaning("MEMORY")
    'recalled, not read again'
    """
    return _MEANING.get(word, "")


def verdict_of(text: str) -> str:
    """Verdict meant by a word of the user.

    Parameters
    ----------
    text : str
        A verdict in any case, or a piece of one ("known", "outside").

    Returns
    -------
    str
        One of the verdicts.

    Raises
    ------
    InputError
        If no verdict contains the text.

    Examples
    --------
    >>> verdict_of("known"), verdict_of("outside")
    ('known difference', 'OUTSIDE')
    """
    for verdict in VERDICTS:
        if text and text.lower() in verdict.lower():
            return verdict
    raise unknown_key("verdict", text, list(VERDICTS), None)


def counts(rows: Iterable[Row]) -> dict[str, dict[str, int]]:
    """Number of rows by verdict and standing.

    Parameters
    ----------
    rows : iterable of Row
        Evidence rows.

    Returns
    -------
    dict of str to dict of str to int
        Verdict -> standing -> number; verdicts and standings without rows are left out.

    Examples
    --------
    >>> from tubecalc.evidence import rows
    >>> counts(rows("metal value"))
    {'agrees': {'SEEN': 6}}
    """
    found: dict[str, Counter[str]] = {}
    for row in rows:
        found.setdefault(row.verdict, Counter())[row.standing] += 1
    return {
        v: {
            s: found[v][s]
            for s in (*STANDINGS, *sorted(set(found[v]) - set(STANDINGS)))
            if found[v][s]
        }
        for v in VERDICTS
        if v in found
    }


def _gravity(row: Row) -> tuple[int, float, float]:
    """Sorts rows gravest first; rows without a tolerance by their distance alone."""
    far = row.severity
    apart = 0.0 if row.error is None else abs(row.error)
    return VERDICTS.index(row.verdict), -math.inf if math.isnan(far) else -far, -apart


_ORDERS: dict[str, Callable[[Row], tuple[float | str, ...]]] = {
    "severity": _gravity,
    "error": lambda r: (-abs(r.error) if r.error is not None else 1.0,),
    "tolerance": lambda r: (1.0 if math.isnan(r.rel_tol) else -r.rel_tol,),
    "topic": lambda r: (r.topic, r.id),
    "standing": lambda r: (r.standing, r.topic, r.id),
    "verdict": lambda r: (float(VERDICTS.index(r.verdict)), *_gravity(r)[1:]),
}


def ordered(rows: Sequence[Row], by: str = "severity", *, falls: bool = True) -> list[Row]:
    """Rows in order, worst first unless asked otherwise.

    Parameters
    ----------
    rows : sequence of Row
        Evidence rows.
    by : str
        "severity" (distance over tolerance), "error", "tolerance", "topic", "standing" or
        "verdict".
    falls : bool
        False turns the order round.

    Returns
    -------
    list of Row

    Raises
    ------
    InputError
        For another order.

    Examples
    --------
    >>> from tubecalc.evidence import rows
    >>> ordered(rows("facts of the trade"))[0].id
    'TRADE-bend-3'
    """
    if by not in _ORDERS:
        raise unknown_key("order", by, list(_ORDERS), None)
    return sorted(rows, key=_ORDERS[by], reverse=not falls)


def share_within(rows: Iterable[Row], limit: float) -> float:
    """Share of the computed rows that lie within a distance of the published value.

    Parameters
    ----------
    rows : iterable of Row
        Evidence rows; those without an error are left out.
    limit : float
        Relative distance [-].

    Returns
    -------
    float
        0 to 1 [-]; NaN where nothing is computed.
    """
    apart = [abs(r.error) for r in rows if r.error is not None]
    return sum(a <= limit for a in apart) / len(apart) if apart else math.nan
