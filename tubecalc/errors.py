"""The one error of tubecalc: what is wrong with an input, where, and what to write instead."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

__all__ = ["InputError", "near", "unknown_key"]

_MANY = 24  # known keys beyond this number are not all listed in a message


class InputError(ValueError):
    """An input that cannot be used, said in one sentence.

    Parameters
    ----------
    message : str
        What is wrong, without a full stop, for example "is not a finite number".
    where : str, optional
        File, row and field, or the argument, joined by colons: "need.toml:case 2:load".
    got : object, optional
        What was given. Left out of the sentence where the message already says it.
    expected : str, optional
        What would be right, for example 'a force such as "200 N"'.

    Examples
    --------
    >>> str(InputError("is not a length", where="need.toml:case 1:span", got="3 kg",
    ...                expected='a length such as "1.2 m"'))
    'need.toml:case 1:span: is not a length, got "3 kg", expected a length such as "1.2 m".'
    >>> str(InputError("the wall is thicker than the radius"))
    'the wall is thicker than the radius.'
    """

    def __init__(
        self,
        message: str,
        *,
        where: str | None = None,
        got: object = None,
        expected: str | None = None,
    ) -> None:
        super().__init__(message)
        self.message = message
        self.where = where
        self.got = got
        self.expected = expected

    def __str__(self) -> str:
        return self.said()

    def said(self, system: str = "SI") -> str:
        """Sentence in a display system.

        Parameters
        ----------
        system : str
            "SI", "workshop" or "inch".

        Returns
        -------
        str
            Parts that are a `tubecalc.unit_words.Spoken` follow the system, others stay.
        """
        sentence = _said(self.message, system).rstrip()
        if self.got is not None:
            got = " ".join(_said(self.got, system).split())
            if got not in sentence or not got:
                sentence += f', got "{got}"'
        expected = None if self.expected is None else _said(self.expected, system)
        if expected is not None and expected not in sentence:
            sentence += f", expected {expected}"
        if self.where:
            sentence = f"{self.where}: {sentence}"
        return sentence if sentence.endswith((".", "?", "!")) else sentence + "."


def _said(part: object, system: str) -> str:
    """Part of a sentence; text that knows the display systems says itself in one."""
    said = getattr(part, "said", None)
    return str(said(system) if callable(said) else part)


def near(key: str, known: Iterable[str]) -> str:
    """Ask for the known key nearest to a misspelt one.

    Parameters
    ----------
    key : str
        The key as written.
    known : iterable of str
        The keys that exist.

    Returns
    -------
    str
        'did you mean "..."?', or "" where nothing is near.

    Examples
    --------
    >>> near("roll-wraped", ["pultruded", "roll-wrapped"])
    'did you mean "roll-wrapped"?'
    >>> near("zinc", ["pultruded", "roll-wrapped"])
    ''
    """
    folded = {_fold(name): name for name in known}
    match = difflib.get_close_matches(_fold(key), list(folded), n=1, cutoff=0.6)
    return f'did you mean "{folded[match[0]]}"?' if match else ""


def _fold(key: str) -> str:
    """Fold case, underscores and spaces, which people mix up."""
    return key.strip().lower().replace("_", "-").replace(" ", "-")


def unknown_key(
    kind: str, key: object, known: Iterable[str], where: str | None = None
) -> InputError:
    """Make the error for a key that does not exist.

    Parameters
    ----------
    kind : str
        What the key names, for example "construction".
    key : object
        The key as written.
    known : iterable of str
        The keys that exist.
    where : str, optional
        File, row and field, or the argument.

    Returns
    -------
    InputError
        With the near match and the known keys in its sentence; raise it.

    Examples
    --------
    >>> str(unknown_key("metal", "304-aneal", ["304-annealed", "6061-T6"]))
    'unknown metal "304-aneal", did you mean "304-annealed"? Known: 304-annealed, 6061-T6.'
    """
    names = sorted(known)
    shown = ", ".join(names[:_MANY]) + (" ..." if len(names) > _MANY else "")
    hint = near(str(key), names)
    message = f'unknown {kind} "{key}"'
    message += f", {hint} Known: {shown or 'none'}" if hint else f"; known: {shown or 'none'}"
    return InputError(message, where=where, got=key)
