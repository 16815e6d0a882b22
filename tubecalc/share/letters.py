"""Letters on paper: one typeface, measured before anything is placed.

The typeface comes with matplotlib, so that a picture has the same letters on every machine. What a
person typed is drawn letter by letter and is never markup.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from tubecalc.share.page_text import bound

FONT = "DejaVu Sans"
FAMILIES = (FONT, "Verdana", "Arial", "sans-serif")  # where a viewer lacks the first; none is wider
UNKNOWN = "\ufffd"  # stands for a letter that the typeface does not have
MORE = "…"
_EM = 1000
_SLIM = 0.2  # no letter of the typeface is narrower [em]
_SPACE = re.compile("(?:(?![\u00a0\u202f])\\s)+")
_UNSEEN = ("Cc", "Cf", "Cs", "Co")  # control, format, half and private letters


@cache
def font_file(bold: bool = False) -> str:
    """File of the typeface.

    Parameters
    ----------
    bold : bool
        Whether it is the bold one.

    Returns
    -------
    str
        The file that comes with matplotlib, else one of the system.
    """
    import matplotlib
    from matplotlib import font_manager

    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    own = Path(matplotlib.get_data_path(), "fonts", "ttf", name)
    if own.exists():
        return str(own)
    weight = "bold" if bold else "normal"
    return str(font_manager.findfont(font_manager.FontProperties(family=FONT, weight=weight)))


@cache
def _face(bold: bool) -> Any:
    from matplotlib.ft2font import FT2Font

    face = FT2Font(font_file(bold))
    face.set_size(_EM, 72)
    return face


@lru_cache(maxsize=8192)
def _advance(letter: str, bold: bool) -> float:
    return float(_face(bold).load_char(ord(letter)).linearHoriAdvance) / 65536 / _EM


@lru_cache(maxsize=8192)
def _known(letter: str, bold: bool) -> bool:
    return bool(_face(bold).get_char_index(ord(letter)))


def lettered(text: str, *, bold: bool = False) -> str:
    r"""Text that can be drawn: one line, no control character, no letter without a shape.

    Parameters
    ----------
    text : str
        Any text.
    bold : bool
        Whether it is bold.

    Returns
    -------
    str
        With `UNKNOWN` for a letter that the typeface does not have.

    Examples
    --------
    >>> lettered("a\tb\x00c $x$")
    'a bc $x$'
    """
    if text.isascii() and text.isprintable() and "  " not in text:
        return text
    text = unicodedata.normalize("NFC", _SPACE.sub(" ", text))
    text = "".join(c for c in text if unicodedata.category(c) not in _UNSEEN)
    return "".join(c if _known(c, bold) else UNKNOWN for c in text)


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """Width of a line of text.

    Parameters
    ----------
    text : str
        The line.
    size : float
        Height of the letters [px].
    bold : bool
        Whether it is bold.

    Returns
    -------
    float
        In the unit of the size; kerning, which mostly narrows it, is left out.

    Examples
    --------
    >>> width_of("ii", 10) < width_of("MM", 10) < width_of("MM", 10, bold=True)
    True
    """
    return size * sum(_advance(c, bold) for c in lettered(text, bold=bold))


def folded(text: str, width: float, size: float, *, bold: bool = False, most: int = 0) -> list[str]:
    """Fold a text to lines that fit a width; a word that is too long is broken.

    Parameters
    ----------
    text : str
        The text; its own line breaks are kept.
    width : float
        Room [px].
    size : float
        Height of the letters [px].
    bold : bool
        Whether it is bold.
    most : int
        Most lines; what does not fit is cut off with `MORE`. 0 for as many as it takes [-].

    Returns
    -------
    list of str
        At least one line, unless the text is empty.

    Examples
    --------
    >>> folded("one two three", 60, 10), folded("one two three", 48, 10, most=1)
    (['one two', 'three'], ['one …'])
    """
    if most:
        text = text[: int((most + 1) * width / (_SLIM * size)) + 1]
    out: list[str] = []
    for part in text.splitlines():
        line = ""
        for word in lettered(bound(part), bold=bold).split(" "):
            for piece in _pieces(word, width, size, bold):
                longer = f"{line} {piece}" if line else piece
                if line and width_of(longer, size, bold=bold) > width:
                    out.append(line)
                    longer = piece
                line = longer
        out.append(line)
    while out and not out[-1]:
        out.pop()
    return (
        [*out[: most - 1], _cut(out[most - 1], width, size, bold)] if 0 < most < len(out) else out
    )


def _cut(line: str, width: float, size: float, bold: bool) -> str:
    words = line.split(" ")
    while len(words) > 1 and width_of(f"{' '.join(words)} {MORE}", size, bold=bold) > width:
        words.pop()
    line = " ".join(words)
    while line and width_of(f"{line} {MORE}", size, bold=bold) > width:
        line = line[:-1]
    return f"{line} {MORE}"


def _pieces(word: str, width: float, size: float, bold: bool) -> list[str]:
    if width_of(word, size, bold=bold) <= width:
        return [word]
    pieces, piece, used = [], "", 0.0
    for letter in word:
        step = size * _advance(letter, bold)
        if piece and used + step > width:
            pieces.append(piece)
            piece, used = "", 0.0
        piece, used = piece + letter, used + step
    return [*pieces, piece]


__all__ = ["FAMILIES", "FONT", "MORE", "UNKNOWN", "folded", "font_file", "lettered", "width_of"]
