"""Texts of a page as HTML: escaped, with their form in every display system beside them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from html import escape

from tubecalc.unit_display import DISPLAY

SYSTEMS = ("SI", "workshop", "inch")
Said = Callable[[str], str]  # display system -> text
_LABELS = {u.label for kinds in DISPLAY.values() for u in kinds.values() if u.label} | {"K", "kN"}
_UNIT = re.compile(
    rf"(?<=\d) (?=(?:{'|'.join(sorted(map(re.escape, _LABELS), reverse=True))})(?![\w/]))"
)
_TEXT = re.compile(r"<text([^>]*)>([^<]*)</text>")
_TURNS = re.compile("[\u202a-\u202e\u2066-\u2069]")  # marks that turn the reading direction


def clean(text: str) -> str:
    r"""Text of somebody as it may stand on a page: no control characters, no turned reading.

    Parameters
    ----------
    text : str
        Anything.

    Returns
    -------
    str
        Not escaped yet; what HTML forbids is shown as the replacement character.

    Examples
    --------
    >>> clean("a\u202eb\x00c")
    'ab�c'
    """
    text = _TURNS.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))
    return "".join(c if c.isprintable() or _allowed(c) else "\ufffd" for c in text)


def _allowed(c: str) -> bool:
    code = ord(c)
    if code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF:
        return False
    return c in "\t\n" or unicodedata.category(c) not in ("Cc", "Cs")


def esc(text: str) -> str:
    """Text escaped for element and attribute.

    Parameters
    ----------
    text : str
        Anything.

    Returns
    -------
    str

    Examples
    --------
    >>> esc('<b a="1">')
    '&lt;b a=&quot;1&quot;&gt;'
    """
    return escape(clean(text))


def bound(text: str) -> str:
    r"""Text whose numbers do not part from their units at the end of a line.

    Parameters
    ----------
    text : str
        Words.

    Returns
    -------
    str
        With no-break spaces.

    Examples
    --------
    >>> bound("20 × 18 mm of 3").replace("\N{NO-BREAK SPACE}", "~")
    '20~×~18~mm of 3'
    """
    return _UNIT.sub("\u00a0", text).replace(" × ", "\u00a0×\u00a0").replace(" N m", " N\u00a0m")


def foreign(text: str) -> str:
    """Somebody's words, kept to themselves whatever their reading direction.

    Parameters
    ----------
    text : str
        Anything.

    Returns
    -------
    str
        One <bdi>.

    Examples
    --------
    >>> foreign("<script>")
    '<bdi>&lt;script&gt;</bdi>'
    """
    return f"<bdi>{esc(text)}</bdi>"


def paragraphs(text: str) -> str:
    """Somebody's words as paragraphs, split at empty lines.

    Parameters
    ----------
    text : str
        Anything.

    Returns
    -------
    str
        HTML, "" for nothing.

    Examples
    --------
    >>> paragraphs("a & b")
    '<p dir="auto">a &amp; b</p>'
    """
    parts = [p.strip() for p in re.split(r"\n\s*\n", clean(text))]
    lines = ["<br>".join(escape(line.strip()) for line in p.split("\n")) for p in parts if p]
    return "".join(f'<p dir="auto">{p}</p>' for p in lines)


def leaf(tag: str, said: Said, own: str, attributes: str = "") -> str:
    r"""Element whose text has a form in every display system.

    Parameters
    ----------
    tag : str
        Name of the element.
    said : callable
        Display system -> text.
    own : str
        System that is shown first.
    attributes : str
        More attributes, with a space before.

    Returns
    -------
    str
        The other forms stand in data attributes where they differ.

    Examples
    --------
    >>> leaf("b", {"SI": "1 mm", "workshop": "1 mm", "inch": "-"}.__getitem__, "SI").replace(
    ...     "\N{NO-BREAK SPACE}", " ")
    '<b data-inch="-">1 mm</b>'
    """
    text = bound(esc(said(own)))
    others = "".join(
        f' data-{s.lower()}="{other}"'
        for s in SYSTEMS
        if s != own and (other := bound(esc(said(s)))) != text
    )
    return f"<{tag}{attributes}{others}>{text}</{tag}>"


def switched(pictures: dict[str, str], own: str) -> str:
    """Picture whose texts have a form in every display system, all else being the same.

    Parameters
    ----------
    pictures : dict of str to str
        One <svg> a display system, that differ only in their texts.
    own : str
        System that is shown first.

    Returns
    -------
    str
        One <svg>.

    Examples
    --------
    >>> switched({s: f"<text>{s}</text>" for s in SYSTEMS}, "SI")
    '<text data-workshop="workshop" data-inch="inch">SI</text>'
    """
    texts = {s: iter(_TEXT.findall(p)) for s, p in pictures.items()}

    def one(_: re.Match[str]) -> str:
        here = {s: next(found) for s, found in texts.items()}
        attributes, shown = here[own]
        others = "".join(
            f' data-{s.lower()}="{text}"' for s, (_, text) in here.items() if text != shown
        )
        return f"<text{attributes}{others}>{shown}</text>"

    return _TEXT.sub(one, pictures[own])


def items(said: Callable[[str], Sequence[str]], own: str, css: str) -> str:
    """List whose items have a form in every display system.

    Parameters
    ----------
    said : callable
        Display system -> texts, as many in every system.
    own : str
        System that is shown first.
    css : str
        Class of the list.

    Returns
    -------
    str
        HTML, "" for no items.

    Examples
    --------
    >>> items(lambda system: ["a"], "SI", "plain")
    '<ul class="plain"><li>a</li></ul>'
    """
    every = {s: list(said(s)) for s in SYSTEMS}
    count = min(len(texts) for texts in every.values())
    same = all(len(texts) == count for texts in every.values())
    body = "".join(
        leaf("li", {s: every[s if same else own][k] for s in SYSTEMS}.__getitem__, own)
        for k in range(len(every[own]))
    )
    return f'<ul class="{css}">{body}</ul>' if body else ""


__all__ = ["SYSTEMS", "Said", "clean", "esc", "foreign", "items", "leaf", "paragraphs", "switched"]
