"""What lines above the headings tell of the columns: their units, the names of channels."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tubecalc.testing.curves_heads import ROLES, heading, unit_of

__all__ = ["channels", "units_told"]

_UNITS = re.compile(r"units?|einheit(?:en)?|unités?|unidad(?:es)?|unità", re.IGNORECASE)
_CHANNEL = re.compile(
    r"\W*(?:ch|chan|channel|kanal|canal|canale|col|column|spalte)\W*(\d{1,2})\W*", re.IGNORECASE
)


def units_told(preamble: Sequence[tuple[str, str]]) -> dict[str, str]:
    """Find units named above the headings: "Force unit: kN".

    Parameters
    ----------
    preamble : sequence of tuple of str
        Names and values.

    Returns
    -------
    dict of str
        Role -> unit.

    Examples
    --------
    >>> units_told([("Load unit", "kN"), ("Span", "400")])
    {'force': 'kN'}
    >>> units_told([("Units", "force kN; displacement mm")])
    {'force': 'kN', 'travel': 'mm'}
    >>> units_told([("Units", "SI (N mm s)")])
    {'force': 'N', 'travel': 'mm', 'time': 's'}
    """
    out: dict[str, str] = {}
    for key, value in preamble:
        if _UNITS.fullmatch(key.strip()):
            _listed(value, out)
        match = re.fullmatch(rf"(.*?)[\s_-]*({_UNITS.pattern})[\s_-]*(.*)", key, re.I)
        if match and unit_of(value):
            for role in heading(match[1] or match[3]).roles:
                out.setdefault(role, value)
    return out


def _listed(value: str, out: dict[str, str]) -> None:
    """Units in one line: each with the name of its column, or each of another kind."""
    parts = [part.strip() for part in re.split("[;,|]", value) if part.strip()]
    for part in parts:
        head = heading(part)
        for role in head.roles:
            if head.unit and role in ROLES:
                out.setdefault(role, head.unit.text)
    if out:
        return
    words = re.findall(r"[A-Za-zµμ°/%]+", value)
    units = {word: unit for word in words if len(word) < 6 and (unit := unit_of(word))}
    for role in ("force", "travel", "time", "torque", "angle"):
        fits = [word for word, unit in units.items() if unit.fits(role) and not unit.weight]
        if len(fits) == 1:
            out[role] = fits[0]


def channels(names: list[str], preamble: Sequence[tuple[str, str]], width: int) -> list[str]:
    """Give headings such as "Ch1" the name a line above them tells.

    Parameters
    ----------
    names : list of str
        Headings; empty where there are none.
    preamble : sequence of tuple of str
        Names and values above them.
    width : int
        Cells of a row [-].

    Returns
    -------
    list of str
        Headings with the names of the channels.

    Examples
    --------
    >>> channels(["Ch1", "Ch2"], [("Channel 1", "Force [kN]"), ("Channel 2", "Way [mm]")], 2)
    ['Force [kN]', 'Way [mm]']
    """
    told = {int(m[1]): value for key, value in preamble if (m := _CHANNEL.fullmatch(key)) and value}
    if not told or not all(heading(value).roles for value in told.values()):
        return names
    if not names:
        every = set(told) == set(range(1, width + 1))
        return [told[c] for c in range(1, width + 1)] if every else names
    return [
        told.get(int(m[1]), name) if (m := _CHANNEL.fullmatch(name)) else name for name in names
    ]
