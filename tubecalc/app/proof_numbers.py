"""Numbers, units and shares of the evidence page as one reads them."""

from __future__ import annotations

from html import escape
from math import isnan


def number(value: float | None) -> str:
    """Number in four figures; a dash for none.

    Parameters
    ----------
    value : float or None
        The number.

    Returns
    -------
    str

    Examples
    --------
    >>> number(0.123456), number(5654850.0), number(None)
    ('0.1235', '5.655e6', '–')
    """
    if value is None or isnan(value):
        return "–"
    if value and not 1e-4 <= abs(value) < 1e5:
        head, power = f"{value:.3e}".split("e")
        return f"{float(head):g}e{int(power)}"
    return f"{value:.0f}" if abs(value) >= 1e4 else f"{value:.4g}"


def unit_text(unit: str) -> str:
    """Unit as one reads it, escaped for HTML; nothing for a plain number.

    Parameters
    ----------
    unit : str
        Unit of the row.

    Returns
    -------
    str

    Examples
    --------
    >>> unit_text("lbf in^2"), unit_text("-")
    ('lbf in²', '')
    """
    return escape(unit_words(unit))


def unit_words(unit: str) -> str:
    """Unit as one reads it, plain text.

    Parameters
    ----------
    unit : str
        Unit of the row.

    Returns
    -------
    str

    Examples
    --------
    >>> unit_words("N m^2")
    'N m²'
    """
    said = "" if unit in ("-", "1", "coef") else unit
    return said.replace("^2", "²").replace("^3", "³").replace("^4", "⁴").replace("*", " ")


def percent(value: float | None, *, sign: bool = False) -> str:
    """Share in per cent, two figures; a dash for none.

    Parameters
    ----------
    value : float or None
        Share [-].
    sign : bool
        Write a plus too.

    Returns
    -------
    str

    Examples
    --------
    >>> percent(0.0123), percent(-0.3, sign=True), percent(1e-9)
    ('1.2 %', '-30 %', '0 %')
    """
    if value is None or isnan(value):
        return "–"
    share = 100 * value
    if abs(share) < 5e-5:
        return "0 %"
    text = f"{share:+.2g}" if sign else f"{share:.2g}"
    return f"{float(text):+.0f} %".replace("+", "+" if sign else "") if "e" in text else f"{text} %"
