"""Words that hold quantities and can be said in every display system."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from tubecalc.unit_display import in_unit, show, unit_label
from tubecalc.unit_tables import KINDS, parse_unit
from tubecalc.unit_text import split_quantity

__all__ = ["Said", "Spoken", "for_system", "marked", "micro", "rough", "say", "signed", "worded"]

Said = Callable[[str], str]  # display system -> text


class Spoken(str):
    """Text in one display system that can be said in the others.

    Wherever a plain text is wanted it is one; `say` gives the other systems. A text that is made
    of it by joining is a plain one again.

    Parameters
    ----------
    said : callable
        Display system -> text.
    system : str
        In which it reads as a plain text.

    Examples
    --------
    >>> text = Spoken(lambda s: f"at most {show(0.0254, 'length', s)}")
    >>> text, say(text, "inch")
    ('at most 25.4 mm', 'at most 1 in')
    >>> Spoken(text.said, "inch")
    'at most 1 in'
    """

    said: Said

    def __new__(cls, said: Said, system: str = "SI") -> Spoken:
        """Make the text."""
        made = super().__new__(cls, said(system))
        made.said = said
        return made

    def __reduce__(self) -> tuple[type[str], tuple[str]]:
        return str, (str(self),)


def say(text: str, system: str = "SI") -> str:
    """A text in a display system; one that holds no quantity stays as it is.

    Parameters
    ----------
    text : str
        Plain, or a `Spoken`.
    system : str
        "SI", "workshop" or "inch".

    Returns
    -------
    str

    Examples
    --------
    >>> say("it slides", "inch")
    'it slides'
    """
    return text.said(system) if isinstance(text, Spoken) else text


def worded(text: str, kind: str, *values: float, digits: int = 4) -> Spoken:
    """Words with values of one kind in them, such as the limit that an error expects.

    Parameters
    ----------
    text : str
        With "{}" for each value; no name that somebody gave.
    kind : str
        A key of `KINDS`.
    *values : float
        In SI, a temperature in degC.
    digits : int
        How many count [-].

    Returns
    -------
    Spoken

    Examples
    --------
    >>> found = worded("{} into {}", "length", 0.0254, 0.0127)
    >>> found, say(found, "inch")
    ('25.4 mm into 12.7 mm', '1 in into 0.5 in')
    """
    return Spoken(lambda s: text.format(*(rough(v, kind, s, digits) for v in values)))


def for_system(si: str, inch: str) -> Spoken:
    """An example to copy, of round numbers in millimetres or in inches.

    Parameters
    ----------
    si, inch : str
        The example for "SI" and "workshop", and that for "inch".

    Returns
    -------
    Spoken

    Examples
    --------
    >>> say(for_system('wall="1 mm"', 'wall="0.04 in"'), "inch")
    'wall="0.04 in"'
    """
    return Spoken(lambda s: inch if s == "inch" else si)


def rough(value_si: float, kind: str, system: str = "SI", digits: int = 3) -> str:
    """A value to a few digits, as far as an estimate goes.

    Parameters
    ----------
    value_si : float
        In SI, a temperature in degC.
    kind : str
        A key of `KINDS`.
    system : str
        Display system.
    digits : int
        How many count [-].

    Returns
    -------
    str

    Examples
    --------
    >>> rough(8.3456e6, "stress", digits=2), rough(8.3456e6, "stress", "inch")
    ('8.3 MPa', '1.21 ksi')
    >>> rough(3.5e-7, "length", "inch")
    '0.0000138 in'
    """
    shown = in_unit(value_si, kind, system)
    if shown == 0.0 or not math.isfinite(shown):
        return show(value_si, kind, system)
    places = max(0, digits - 1 - math.floor(math.log10(abs(shown))))
    text = f"{float(f'{shown:.{digits}g}'):,.{places}f}".replace(",", "\u202f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{text} {unit_label(kind, system)}".rstrip()


def signed(value_si: float, kind: str, system: str = "SI", digits: int = 3) -> str:
    """A change, with its sign.

    Parameters
    ----------
    value_si : float
        In SI.
    kind : str
        A key of `KINDS`.
    system : str
        Display system.
    digits : int
        How many count [-].

    Returns
    -------
    str

    Examples
    --------
    >>> signed(2.5e-5, "length"), signed(-2.54e-5, "length", "inch")
    ('+0.025 mm', '-0.001 in')
    """
    return f"{'+' if value_si >= 0 else ''}{rough(value_si, kind, system, digits)}"


def micro(value_m: float, system: str = "SI") -> str:
    """A change of a diameter, with its sign: micrometres, or decimals of an inch.

    Parameters
    ----------
    value_m : float
        [m].
    system : str
        Display system.

    Returns
    -------
    str

    Examples
    --------
    >>> micro(2.5e-5), micro(-2.54e-5, "inch")
    ('+25 µm', '-0.001 in')
    """
    return signed(value_m, "length", system) if system == "inch" else f"{value_m * 1e6:+.3g} µm"


_MARKED = re.compile(r"\[([^\[\]]+)\]")
_KINDS = ("length", "temperature", "force", "stress")


def marked(text: str) -> Spoken:
    """Text of a data file, whose quantities stand in square brackets.

    Parameters
    ----------
    text : str
        For example "good to [120 degC]".

    Returns
    -------
    Spoken

    Raises
    ------
    ValueError
        For brackets that hold no length, temperature, force or stress.

    Examples
    --------
    >>> found = marked("take [0.01 mm] off")
    >>> found, say(found, "inch")
    ('take 0.01 mm off', 'take 0.0004 in off')
    """

    def one(match: re.Match[str], system: str) -> str:
        number, unit = split_quantity(match[1])
        parsed = parse_unit(unit)
        kind = next((k for k in _KINDS if parsed and KINDS[k].dimension == parsed[1]), "")
        if parsed is None or not kind:
            raise ValueError(f"{match[1]} is no quantity")
        if system != "inch":
            return f"{number:g} {unit}".replace("degC", "°C")
        return rough(number * parsed[0], kind, system, 1 if kind == "length" else 3)

    return Spoken(lambda system: _MARKED.sub(lambda m: one(m, system), text))
