"""What page `bench` says of files that came, and what one test tells of another."""

from __future__ import annotations

from tubecalc.testing.bench import Entry


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


__all__ = ["filled", "told_of"]
