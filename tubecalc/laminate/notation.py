"""Stacking-sequence notation, inside to outside: from text to plies."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from tubecalc.errors import InputError
from tubecalc.laminate.notation_write import Mark, stack_code, write_notation

__all__ = ["MOST_PLIES", "Mark", "read_notation", "read_plies", "stack_code", "write_notation"]

MOST_PLIES, DEEPEST = 5000, 50
EXAMPLE = "[90/0_3/90], [+/-45]_s or [0_2/(+/-45)_2]2s"
CLOTH = ("f", "w", "F", "W")  # letters that mark a woven ply
_TAKEN = ("s", "S", "t", "T", "n", "bar")  # letters that mean something else
LONGEST_TAG = 4
_SHOWN = 60  # characters of the text that a message repeats

_SPELLED = {
    "°": "", "\N{MINUS SIGN}": "-", "\N{EN DASH}": "-", "{": "", "}": "", "\\overline": "bar",
    "\\bar": "bar", "\\pm": "±", "\\mp": "∓", "\\": "",
    "\N{COMBINING OVERLINE}": "bar", "\N{COMBINING MACRON}": "bar",
    **{c: f"_{n}" for n, c in enumerate("₀₁₂₃₄₅₆₇₈₉")}, "ₛ": "s", "ₜ": "T",
}  # fmt: skip
_TOKEN = re.compile(
    r"\s*(?:(?P<both>±|\+/-|\+-)|(?P<turned>∓|-/\+|-\+)|(?P<open>[\[(])|(?P<close>[\])])"
    r"|(?P<number>[+-]?\d+(?:\.\d+)?(?:e-\d+)?)|(?P<bar>bar)|_?(?P<count>(?<=_)\d+)"
    r"|_?(?P<letters>[A-Za-z]+)|(?P<step>[/,;])|(?P<odd>\S))"
)


class _Token(NamedTuple):
    kind: str
    text: str
    at: int  # where it stands in the text as typed, 1 is the first character


def _plain(text: str) -> tuple[str, list[int]]:
    """Text in one spelling, and where each of its characters stood."""
    out: list[str] = []
    at: list[int] = []
    i = 0
    while i < len(text):
        old = next(
            (o for o in ("\\overline", "\\bar", "\\pm", "\\mp") if text.startswith(o, i)), ""
        )
        old = old or text[i]
        new = _SPELLED.get(old, old)
        if new.startswith("_") and out and re.fullmatch(r"_\d*", "".join(out[-2:])[-2:]):
            new = new[1:]  # the second digit of a written-low number
        out += list(new)
        at += [i + 1] * len(new)
        i += len(old)
    return "".join(out), at


def _bars(text: str, at: list[int]) -> tuple[str, list[int]]:
    """Put every bar behind its number: "bar(90)", "bar90" and a bar over each digit."""
    for pattern in (r"bar\(?(?P<n>[+-]?\d+(?:\.\d+)?)\)?", r"(?P<n>\d(?:bar\d)+)bar"):
        while found := re.search(pattern, text):
            if found.start() and text[found.start() - 1].isalnum():
                break
            number = found["n"].replace("bar", "")
            text = text[: found.start()] + number + "bar" + text[found.end() :]
            place = [at[found.start()]] * (len(number) + 3)
            at = at[: found.start()] + place + at[found.end() :]
    return text, at


def _tokens(text: str) -> list[_Token]:
    plain, at = _bars(*_plain(text))
    plain = re.sub(r"_(?=\s|_|$)", " ", plain)
    out = []
    for found in _TOKEN.finditer(plain):
        kind = found.lastgroup or "odd"
        start = found.start(kind)
        if kind == "number" and start and plain[start - 1] == "_":
            kind = "count"
        out.append(_Token(kind, found[kind], at[start]))
    return out


class _Reader:
    """Recursive reader of one notation text."""

    def __init__(self, text: str) -> None:
        self.text = text
        if text.count("[") + text.count("(") > DEEPEST:
            raise self.fail(f"more than {DEEPEST} brackets")
        self.tokens = _tokens(text)
        self.last = _Token("", "", len(text) + 1)
        self.at = 0
        self.barred = False

    def fail(self, why: str, token: _Token | None = None) -> InputError:
        place = f", at character {token.at}" if token is not None else ""
        shown = self.text if len(self.text) <= _SHOWN else self.text[: _SHOWN - 3] + "..."
        return InputError(
            f"stacking sequence cannot be read: {why}{place}",
            where="layup", got=repr(shown), expected=f"for example {EXAMPLE}",
        )  # fmt: skip

    def peek(self) -> _Token:
        return self.tokens[self.at] if self.at < len(self.tokens) else self.last

    def take(self) -> _Token:
        token = self.peek()
        self.at += 1
        return token

    def times(self, plies: list[Mark], token: _Token) -> list[Mark]:
        count = int(token.text[:9])
        if count < 1:
            raise self.fail("a repeat count of 0", token)
        if len(plies) * count > MOST_PLIES:
            raise self.fail(f"more than {MOST_PLIES} plies", token)
        return plies * count

    def mirror(self, plies: list[Mark], middle: int, token: _Token) -> list[Mark]:
        """Add the mirror image; the barred plies at the end stand once."""
        core = plies[len(plies) - middle :] if middle else []
        if core != core[::-1]:
            raise self.fail("the plies under a bar are not their own mirror image", token)
        half = plies[: len(plies) - middle]
        if 2 * len(half) + middle > MOST_PLIES:
            raise self.fail(f"more than {MOST_PLIES} plies", token)
        return half + core + half[::-1]

    def whole(self) -> list[Mark]:
        """Read the text: one bracket, and nothing behind it."""
        if self.peek().kind != "open":
            raise self.fail("it must start with [", self.peek())
        plies = self.group(self.take())
        if self.peek().kind:
            raise self.fail(f"{self.peek().text!r} after the end", self.peek())
        return plies

    def group(self, opened: _Token) -> list[Mark]:
        """Plies of a bracket that was just opened, with what stands behind it."""
        plies: list[Mark] = []
        while True:
            part, barred = self.item()
            plies += part
            if len(plies) > MOST_PLIES:
                raise self.fail(f"more than {MOST_PLIES} plies", opened)
            token = self.take()
            if token.kind == "close":
                break
            if not token.kind:
                raise self.fail("no closing bracket for the one that opened", opened)
            if token.kind != "step":
                raise self.fail(self.instead(token), token)
            if barred:
                raise self.fail("a bar marks the last ply of a mirrored bracket only", token)
            self.comma(token)
        if {opened.text, token.text} not in ({"[", "]"}, {"(", ")"}):
            raise self.fail(f"{opened.text} is closed by {token.text}", token)
        return self.behind(plies, len(part) if barred else 0, token)

    def instead(self, token: _Token) -> str:
        if token.kind == "count" or (token.kind == "number" and token.text.isdigit()):
            return f"{token.text!r} where / or ] should be; a repeat is written 0_{token.text}"
        return f"{token.text!r} where / or ] should be"

    def comma(self, token: _Token) -> None:
        """Refuse a comma that may stand for a point: 22,5."""
        if token.text == "," and re.match(r"[1-9](?!\d)", self.text[token.at :]):
            before = self.text[: token.at - 1]
            if before[-1:].isdigit():
                raise self.fail("is the comma a point or the next ply? Write 22.5 or 22/5", token)

    def behind(self, plies: list[Mark], middle: int, close: _Token) -> list[Mark]:
        """Apply _n, n, s, _s, ns, T and a material letter behind a bracket."""
        mirrored = False
        while True:
            token = self.peek()
            if token.kind == "count" or (token.kind == "number" and token.text.isdigit()):
                plies = self.times(plies, self.take())
            elif token.kind == "letters" and token.text in ("s", "S"):
                plies, mirrored, middle = self.mirror(plies, middle, self.take()), True, 0
            elif token.kind == "letters" and token.text in ("t", "T"):
                self.take()
            elif token.kind == "letters":
                plies = self.named(plies, self.take())
            else:
                break
        if middle and not mirrored:
            raise self.fail(
                "a bar marks the middle ply of a mirrored bracket; _s is missing", close
            )
        return plies

    def named(self, plies: list[Mark], token: _Token) -> list[Mark]:
        """Give a material to a bracket; two directions of one cloth are one ply."""
        tag = self.letters(token)
        bare = [m.angle for m in plies if not m.tag]
        if tag in CLOTH and len(plies) == len(bare) == 2 and abs(bare[0] - bare[1]) == 90.0:
            return [Mark(bare[0], tag)]
        return [m if m.tag else Mark(m.angle, tag) for m in plies]

    def letters(self, token: _Token) -> str:
        if token.text in _TAKEN:
            raise self.fail(f"{token.text!r} cannot name a material", token)
        if len(token.text) > LONGEST_TAG:
            raise self.fail(f"{token.text!r} has more than {LONGEST_TAG} letters", token)
        return token.text

    def item(self) -> tuple[list[Mark], bool]:
        """One ply, pair or bracket, and whether it lies under a bar."""
        token = self.take()
        if token.kind == "open":
            return self.group(token), False
        signs: tuple[int, ...] = {"both": (1, -1), "turned": (-1, 1)}.get(token.kind, ())
        if signs:
            token = self.take()
        if token.kind != "number":
            raise self.fail(self.no_angle(token), token)
        angle = float(token.text)
        if re.match(r"[+-]?0\d", token.text):
            raise self.fail(
                f"{token.text} may be a low figure: write 0_2 for two plies at 0", token
            )
        if abs(angle) > 90.0:
            raise self.fail(self.outside(token.text), token)
        plies = [Mark(s * abs(angle), "") for s in signs] or [Mark(angle, "")]
        return self.after_angle(plies)

    def after_angle(self, plies: list[Mark]) -> tuple[list[Mark], bool]:
        barred = False
        while True:
            token = self.peek()
            if token.kind == "count":
                plies = self.times(plies, self.take())
            elif token.kind == "bar":
                barred = bool(self.take().text)
            elif token.kind == "letters":
                tag = self.letters(self.take())
                plies = [Mark(m.angle, tag) for m in plies]
            else:
                return plies, barred

    def no_angle(self, token: _Token) -> str:
        if not token.kind:
            return "it ends early"
        if token.kind in ("close", "step"):
            return f"no angle before {token.text!r}"
        return f"{token.text!r} is not an angle"

    def outside(self, text: str) -> str:
        """Say what is wrong with the angle, and the lowered figure that was probably meant."""
        said = f"angle {text} is outside -90 to 90 degrees"
        for angle in ("90", "60", "45", "30", "0"):
            rest = text.lstrip("+-").removeprefix(angle)
            if rest != text.lstrip("+-") and rest.isdigit() and 2 <= int(rest) <= 99:
                return f"{said}; {int(rest)} plies at {angle} are written {angle}_{int(rest)}"
        return said


@lru_cache(maxsize=512)
def _read(text: str) -> tuple[Mark, ...]:
    return tuple(_Reader(text).whole())


def read_plies(text: str) -> list[Mark]:
    """Plies of a stacking sequence, inside to outside, with the letters of their materials.

    Parameters
    ----------
    text : str
        As in `read_notation`; a letter behind an angle or a bracket names the material.

    Returns
    -------
    list of Mark
        Each with angle [deg] and tag ("" where no letter stands).

    Raises
    ------
    InputError
        If the text cannot be read, with the place in it.

    Notes
    -----
    Source: "f" or "w" behind the angle of a woven ply, TM 1-1500-204-23-11 (US Army 2010), ch. 5;
    letters for the materials of a mixed stack after MIL-HDBK-17-2F, sec. 1.6.1 (MEMORY).
    A pair of directions 90 degrees apart in a bracket marked as cloth is one ply.

    Examples
    --------
    >>> [tuple(ply) for ply in read_plies("[45f/0_2C/(+/-45)_f]")]
    [(45.0, 'f'), (0.0, 'C'), (0.0, 'C'), (45.0, 'f')]
    """
    return list(_read(str(text)))


def read_notation(text: str) -> list[float]:
    """Angles of a stacking sequence, inside to outside.

    Parameters
    ----------
    text : str
        Standard notation: plies divided by "/", "_n" repeats, "+/-" or "±" pairs, "s" mirrors,
        a bar ("90bar" or an overline) marks the middle ply that stands once, brackets nest.

    Returns
    -------
    list of float
        Fibre angles from the tube axis [deg].

    Raises
    ------
    InputError
        If the text cannot be read, with the place in it.

    Notes
    -----
    Source: ASTM D6507, laminate orientation code; rules of bar, sets and signs as in
    TM 1-1500-204-23-11 (US Army 2010), sec. 5-7. A subscript behind a pair repeats the pair.

    Examples
    --------
    >>> read_notation("[90/0_3/90]")
    [90.0, 0.0, 0.0, 0.0, 90.0]
    >>> read_notation("[+/-45]_s")
    [45.0, -45.0, -45.0, 45.0]
    >>> read_notation("[0/90]2s")
    [0.0, 90.0, 0.0, 90.0, 90.0, 0.0, 90.0, 0.0]
    >>> read_notation("[±45/0₂/90bar]ₛ")
    [45.0, -45.0, 0.0, 0.0, 90.0, 0.0, 0.0, -45.0, 45.0]
    """
    return [mark.angle for mark in _read(str(text))]
