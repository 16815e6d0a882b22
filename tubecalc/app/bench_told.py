"""What page `bench` says of files that came, and what one test tells of another."""

from __future__ import annotations

from html import escape

from tubecalc.app.text import list_html
from tubecalc.testing.bench import Entry

_START = (
    ("What it reads",
     ("Load over travel, torque over angle or load over strain, with the units of the file.",
      "Decimal point or comma, many specimens in one file, loops, marks for over-range.",
      "What a file leaves open is asked, never guessed.")),
    ("What it finds",
     ("Straight part and stiffness with its interval, yield, first sudden fall, largest load.",
      "EI, EA, GJ and a modulus, once you say the kind of test, the size and the span.",
      "Every point stands on the curve and can be moved. Alike tests give mean, spread and basis "
      "values, and stand beside what is promised.")),
    ("What a test cannot say",
     ("A tube that lets go in the grip, or is not broken, would have carried more: its load "
      "counts as “at least”, never as a strength.",
      "Without an extensometer the slope of a tension test is no modulus.",
      "A handful of tubes says little of the weakest one in a hundred.")),
)  # fmt: skip
_CARE = (
    "splinters fly, and carbon dust itches and conducts. A guard around the tube, goggles for all "
    "in the room, gloves for the pieces, dust away from eyes, lungs and electrics (common "
    "practice, no source)."
)


def start_html() -> str:
    """What the page does, for who opens it without a test.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> "never guessed" in start_html()
    True
    """
    parts = "".join(f"<div><h2>{escape(h)}</h2>{list_html(t, '')}</div>" for h, t in _START)
    care = f'<p class="tc-bencare"><b>When tubes break:</b> {escape(_CARE)}</p>'
    return f'<div class="tc-benstart">{parts}</div>{care}'


def told_of(tests: int, files: int, refused: int) -> str:
    """What was read, in words.

    Examples
    --------
    >>> told_of(2, 1, 0)
    'Read 2 tests of 1 file.'
    """
    out = f"Read {tests} test{'s' * (tests != 1)} of {files} file{'s' * (files != 1)}."
    if refused:
        out += (
            f" {refused} file{'s are' if refused > 1 else ' is'} left out, with the reason below."
        )
    return out


def filled(texts: dict[str, str], given: Entry) -> dict[str, str]:
    """What is told of a test, with what is told of another where nothing is."""
    for key in ("wall_of", "kind"):
        if not texts.get(key) and given.get(key):
            texts[key] = given.get(key)
    groups: tuple[tuple[str, ...], ...] = (("od", "wall", "id"), ("load_factor",))
    if texts.get("kind") == given.get("kind"):
        groups += (("span",), ("gauge_length",), ("inner_span",), ("frame",), ("ends",), ("nose",))
    for group in groups:
        if not any(texts.get(k) for k in group):
            texts |= {k: given.get(k) for k in group if given.get(k)}
    return texts


__all__ = ["filled", "start_html", "told_of"]
