"""Shares of weight and volume: what can be, and what no packing of fibres reaches."""

from __future__ import annotations

import math
from typing import Any

from tubecalc.errors import InputError
from tubecalc.units import to_si

HEXAGONAL, SQUARE = math.pi / (2.0 * math.sqrt(3.0)), math.pi / 4.0  # closest packing of circles


def share(value: Any, what: str, where: str = "ply") -> float:
    """A share of weight or volume, above 0 and below 1.

    Raises
    ------
    InputError
        For anything else; a number above 1 was probably meant as a percentage.
    """
    number = to_si(value, "ratio", what=what, where=where)
    if not 0.0 < number < 1.0:
        percent = f'between 0 and 1, for example "{number:g} %"' if 1 < number < 100 else None
        raise InputError(
            "is no share", where=f"{where}:{what}", got=f"{number:g}",
            expected=percent or "between 0 and 1",
        )  # fmt: skip
    return number


def packed(vf: float, where: str = "ply", *, slack: float = 0.0) -> str:
    """Refuse a fibre content above close packing; a sentence where it is merely high.

    Parameters
    ----------
    vf : float
        Fibre share of the volume [-].
    where : str
        For the message.
    slack : float
        Uncertainty that may explain an excess [-].

    Returns
    -------
    str
        "" where there is nothing to say.

    Raises
    ------
    InputError
        If no packing of round fibres reaches it.

    Notes
    -----
    Source: closest packing of circles, pi / (2 sqrt 3) = 0.907, and in squares pi / 4 = 0.785.

    Examples
    --------
    >>> packed(0.6), packed(0.8)[:36]
    ('', 'fibre content 0.8 is above 0.785, th')
    """
    if vf - slack > HEXAGONAL:
        raise InputError(
            "fibre content is above the closest packing of round fibres; a density is wrong, or "
            "the residue holds more than fibre",
            where=where, got=f"{vf:.3g}", expected=f"at most {HEXAGONAL:.3f}",
        )  # fmt: skip
    if vf > SQUARE:
        return (
            f"fibre content {vf:.3g} is above {SQUARE:.3f}, the closest packing in squares: "
            "walls seldom exceed 0.7, look at the densities and the residue"
        )
    return ""
