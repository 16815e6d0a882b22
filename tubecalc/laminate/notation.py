"""Stacking-sequence notation, inside to outside: text to angles and back."""

from __future__ import annotations

import re

from tubecalc.errors import InputError

_TOKEN = re.compile(r"\s*(\[|\]|/|_?\d*[sS](?![\w.])|_\d+|±|\+/-|\+-|[+-]?\d+(?:\.\d+)?|\S)")
MOST_PLIES, DEEPEST = 5000, 50
EXAMPLE = "[90/0_3/90], [+/-45]_s or [0_2/(+/-45)_2]2s"


class _Reader:
    """Recursive reader of one notation text."""

    def __init__(self, text: str) -> None:
        self.text = text
        if text.count("[") + text.count("(") > DEEPEST:
            raise self.fail(f"more than {DEEPEST} brackets")
        plain = text.strip().replace("(", "[").replace(")", "]").replace("°", "")
        plain = plain.replace("\N{MINUS SIGN}", "-").replace(",", "/").replace(";", "/")
        self.tokens = _TOKEN.findall(plain)
        self.at = 0

    def fail(self, why: str) -> InputError:
        return InputError(
            f"stacking sequence cannot be read: {why}",
            where="layup", got=repr(self.text), expected=f"for example {EXAMPLE}",
        )  # fmt: skip

    def peek(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self) -> str:
        token = self.peek()
        self.at += 1
        return token

    def repeats(self, angles: list[float], *, symmetric_allowed: bool) -> list[float]:
        """Apply _n, n, s, _s and ns after a ply or a bracket."""
        while True:
            token = self.peek()
            match = re.fullmatch(r"_?(\d*)([sS]?)", token)
            if token in ("", "/", "]", "[") or match is None:
                return angles
            if not symmetric_allowed and not token.startswith("_"):
                return angles
            self.take()
            count = int(match.group(1) or 1)
            if count < 1:
                raise self.fail("a repeat count of 0")
            if len(angles) * count > MOST_PLIES:
                raise self.fail(f"more than {MOST_PLIES} plies")
            angles = angles * count
            if match.group(2):
                angles = angles + angles[::-1]

    def group(self) -> list[float]:
        out: list[float] = []
        while True:
            out += self.ply()
            token = self.take()
            if token == "]":
                return self.repeats(out, symmetric_allowed=True)
            if token != "/":
                raise self.fail(f"{token!r} where / or ] should be" if token else "no closing ]")

    def ply(self) -> list[float]:
        token = self.take()
        if token == "[":
            return self.group()
        both = token in ("±", "+/-", "+-")
        if both:
            token = self.take()
        try:
            angle = float(token)
        except ValueError:
            raise self.fail(f"{token!r} is not an angle" if token else "it ends early") from None
        if abs(angle) > 90.0:
            raise self.fail(f"angle {token} is outside -90 to 90 degrees")
        angles = [abs(angle), -abs(angle)] if both else [angle]
        return self.repeats(angles, symmetric_allowed=False)


def read_notation(text: str) -> list[float]:
    """Angles of a stacking sequence, inside to outside.

    Parameters
    ----------
    text : str
        Standard notation: plies divided by "/", "_n" repeats, "+/-" or "±" pairs, "s" mirrors,
        brackets nest.

    Returns
    -------
    list of float
        Fibre angles from the tube axis [deg].

    Raises
    ------
    InputError
        If the text cannot be read.

    Notes
    -----
    Source: standard laminate orientation code, MIL-HDBK-17-3F sec. 1.6.1 (MEMORY).

    Examples
    --------
    >>> read_notation("[90/0_3/90]")
    [90.0, 0.0, 0.0, 0.0, 90.0]
    >>> read_notation("[+/-45]_s")
    [45.0, -45.0, -45.0, 45.0]
    >>> read_notation("[0/90]2s")
    [0.0, 90.0, 0.0, 90.0, 90.0, 0.0, 90.0, 0.0]
    """
    reader = _Reader(str(text))
    if reader.peek() != "[":
        raise reader.fail("it must start with [")
    reader.take()
    angles = reader.group()
    if reader.peek():
        raise reader.fail(f"{reader.peek()!r} after the end")
    return angles


def write_notation(angles: list[float]) -> str:
    """Notation of a list of angles, runs of equal plies gathered.

    Parameters
    ----------
    angles : list of float
        Fibre angles, inside to outside [deg].

    Returns
    -------
    str
        For example "[90/0_3/90]".

    Examples
    --------
    >>> write_notation([90, 0, 0, 0, 90])
    '[90/0_3/90]'
    """
    out: list[str] = []
    i = 0
    while i < len(angles):
        n = 1
        while i + n < len(angles) and angles[i + n] == angles[i]:
            n += 1
        out.append(f"{angles[i]:g}" + (f"_{n}" if n > 1 else ""))
        i += n
    return "[" + "/".join(out) + "]"
