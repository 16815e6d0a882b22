"""Colour and hatch of constructions, metals and the job's own walls on the pages."""

from __future__ import annotations

from functools import lru_cache

from tubecalc.app.state import Choice
from tubecalc.laminate.construction import Construction, composites, get_construction, metals
from tubecalc.share.palette import Style, style


@lru_cache(maxsize=64)
def style_of(key: str) -> Style:
    """Style of a construction or metal that comes with tubecalc.

    Parameters
    ----------
    key : str
        Its key.

    Returns
    -------
    Style
        The style.

    Examples
    --------
    >>> style_of("304-cold-drawn").dashed
    True
    """
    c = get_construction(key)
    return style(key, c.hatch, metal=c.metal)


def style_for(construction: Construction, n: int = 0) -> Style:
    """Style of a construction, also of one of the job's own.

    Parameters
    ----------
    construction : Construction
        The construction.
    n : int
        Place among the others, for the colour of an own one [-].

    Returns
    -------
    Style

    Examples
    --------
    >>> style_for(get_construction("pultruded"), 3) == style_of("pultruded")
    True
    """
    if construction.key in composites() or construction.key in metals():
        return style_of(construction.key)
    return style(construction.key, construction.hatch, metal=construction.metal, order=n)


def style_in(choice: Choice, key: str) -> Style:
    """Style of a construction, a metal or one of the job's own walls on page `choose`.

    Parameters
    ----------
    choice : Choice
        With the job's own walls.
    key : str
        Its key.

    Returns
    -------
    Style

    Examples
    --------
    >>> style_in(Choice(), "pultruded") == style_of("pultruded")
    True
    """
    for n, own in enumerate(choice.own):
        if own.key == key:
            return style_for(own, n)
    return style_of(key)
