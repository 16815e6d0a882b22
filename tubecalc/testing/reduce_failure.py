"""What the lines above the columns tell of the end of a test and of its preload."""

from __future__ import annotations

import re
from typing import Any

from tubecalc.testing.result import FAILURE_WORDS, FAILURES

_KEY = re.compile(
    r"\b(failure|failed|fracture|break) ?(mode|type|kind|location|place|description)?\b|"
    r"\b(mode|type) of (failure|fracture)\b|versagen|bruch(art|bild|ort|stelle)",
    re.IGNORECASE,
)  # fmt: skip
_OTHER = re.compile(r"load|force|stress|strain|time|detect|criteri|drop|threshold|last|kraft|"
                    r"spannung|dehnung|date|elong|energy", re.IGNORECASE)  # fmt: skip
_NOT = re.compile(r"\b(no|not|none|without|away|outside|off|kein\w*|nicht)\b", re.IGNORECASE)
# What is written -> failure; the first that is found counts.
_WORDS = (
    (r"pull(ed)?[ -]?out|slip|slid\b|rutsch", "slip"),
    (r"\bjaw|backe", "jaw"),
    (r"\bgrip|clamp|chuck|collet|einspann|klemm", "grip"),
    (r"\b(bond|glue|adhesive|end ?tab|debond)|kleb", "bond"),
    (r"run-?out|limit of (the )?frame|machine limit|overload", "run-out"),
    (r"abort|stopp?|interrupt|not broken|abgebrochen|unterbroch", "stopped"),
    (r"delamin", "delamination"), (r"buckl|knick|beul", "buckling"), (r"crush|quetsch", "crush"),
    (r"split|längsriss|laengsriss", "split"), (r"yield|flie(ß|ss)", "yield"),
    (r"\b(break|broke|broken|fracture|rupture|gau?ge|middle|mid-?span)|bruch|gebrochen", "break"),
)  # fmt: skip
_PRELOAD = re.compile(r"\bpre-?(load|force|tension)|vor(kraft|last)|précharge|precarga", re.I)
_VALUE = re.compile(r"[1-9]")


def told_failure(curve: Any) -> tuple[str, str]:
    """Failure that a file names, and the words it has for it.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        As read.

    Returns
    -------
    failure : str
        A key of `FAILURES`; "" where nothing is said or it is not understood.
    words : str
        As written; "" where nothing is said.

    Examples
    --------
    >>> import pandas as pd
    >>> from tubecalc.testing.curve import Curve, Understood
    >>> table = pd.DataFrame()
    >>> made = Understood(preamble=(("Failure mode", "jaw break"),))
    >>> told_failure(Curve("A", table, table, made))
    ('jaw', 'jaw break')
    """
    for key, value in getattr(getattr(curve, "understood", None), "preamble", ()):
        words = " ".join(str(value).split())[:60]
        if not _KEY.search(str(key)) or _OTHER.search(str(key)) or not re.search(r"[^\W\d]", words):
            continue
        if words.lower() in FAILURES:
            return words.lower(), words
        found = [name for pattern, name in _WORDS if re.search(pattern, words, re.IGNORECASE)]
        plain = found and (found[0] == "stopped" or not _NOT.search(words))
        return (found[0] if plain else ""), words
    return "", ""


def failure_of(curve: Any, failure: str | None) -> tuple[str | None, list[str]]:
    """Failure that counts: the user's, else that of the file; and what is said of it.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        As read.
    failure : str or None
        As the user entered it.

    Returns
    -------
    failure : str or None
    notes : list of str
    """
    told, words = told_failure(curve)
    if not words:
        return failure, []
    if failure:
        if told and FAILURES[told] != FAILURES[failure]:
            return failure, [
                f'The file says how it failed: "{words}", you say "{failure}": yours is used.'
            ]
        return failure, []
    if not told:
        return None, [f'The file says how it failed: "{words}". That is not understood: say it.']
    return told, [f'How it failed is from the file: "{words}", read as "{FAILURE_WORDS[told]}".']


def preloaded(curve: Any) -> bool:
    """Whether the lines above the columns name a preload that is not zero.

    Parameters
    ----------
    curve : Curve or pandas.DataFrame
        As read.

    Returns
    -------
    bool
    """
    told = getattr(getattr(curve, "understood", None), "preamble", ())
    return any(_PRELOAD.search(str(k)) and _VALUE.search(str(v)) for k, v in told)


__all__ = ["failure_of", "preloaded", "told_failure"]
