"""Logs that write each value with its name: "t=1200ms F=93g s=280"."""

from __future__ import annotations

import re
from collections import Counter

from tubecalc.testing.curves_table import Line

__all__ = ["keyed"]

_PAIR = re.compile(
    r"([A-Za-z_][\w .()/°%]{0,30}?)\s*[=:]\s*([^\s=;,]+(?:,\d[^\s=;,]*)?"
    r"(?:[ \t]+[A-Za-zµ°%]{1,6}(?=\s*(?:[,;|]|$)))?)"
)
_GLUE = re.compile(r"[\s,;|]*")


def _pairs(line: str) -> list[tuple[str, str]]:
    """Names and values of a line that holds nothing else."""
    found = list(_PAIR.finditer(line))
    if not found or _GLUE.fullmatch(_PAIR.sub("", line)) is None:
        return []
    return [(m[1].strip(), m[2]) for m in found]


def keyed(lines: list[str]) -> list[Line] | None:
    """Turn a log of named values into rows below headings.

    Parameters
    ----------
    lines : list of str
        The lines of a text.

    Returns
    -------
    list of Line or None
        None where it is no such log.

    Examples
    --------
    >>> rows = keyed(["boot ok", "t=0ms F=1g", "t=100ms F=5g", "t=200ms F=9g"])
    >>> [row.cells for row in rows]
    [['boot ok'], ['t', 'F'], ['0ms', '1g'], ['100ms', '5g'], ['200ms', '9g']]
    """
    sample = [line for line in lines[:600] if line.strip()][:300]
    found = [tuple(key for key, _ in _pairs(line)) for line in sample]
    usual = Counter(keys for keys in found if len(keys) > 1).most_common(1)
    if not usual or usual[0][1] < max(2, 0.5 * len(sample)):
        return None
    names = list(usual[0][0])
    if len(set(names)) < len(names):
        return None
    out: list[Line] = []
    begun = False
    for number, line in enumerate(lines, 1):
        pairs = _pairs(line.strip())
        keys = [key for key, _ in pairs]
        if keys == names:
            if not begun:
                out.append(Line(number, list(names), line))
                begun = True
            out.append(Line(number, [text for _, text in pairs], line))
        elif len(pairs) == 1 and not begun:
            out.append(Line(number, list(pairs[0]), line))
        else:
            out.append(Line(number, [line.strip()] if line.strip() else [""], line))
    return out
