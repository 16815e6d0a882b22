"""Stacking-sequence notation, inside to outside: from plies to the shortest text."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import chain, product
from typing import NamedTuple

MOST_SEARCHED = 26  # plies, or runs of equal plies, up to which the shortest text is looked for


class Mark(NamedTuple):
    """One ply of a notation: angle from the tube axis [deg] and letters of its material."""

    angle: float
    tag: str


def _length(text: str) -> tuple[int, int]:
    """Length as it is set in print, the two signs as one; then the number of steps."""
    plain = text.replace("+/-", "±")
    return len(plain), plain.count("/")


def _number(angle: float) -> str:
    short = f"{angle + 0.0:g}"
    return short if float(short) == angle else f"{angle!r}"


def _run(mark: Mark, count: int, *, bar: bool = False) -> str:
    low = (str(count) if count > 1 else "") + mark.tag
    return _number(mark.angle) + ("bar" if bar else "") + (f"_{low}" if low else "")


def _pair(a: Mark, b: Mark) -> str:
    if a.tag == b.tag and a.angle > 0 and a.angle == -b.angle:
        return f"+/-{_number(a.angle)}" + (f"_{a.tag}" if a.tag else "")
    return ""


def _gathered(runs: Sequence[tuple[Mark, int]]) -> str:
    """Runs one after the other, neighbours of opposite sign as pairs."""
    out, i = [], 0
    while i < len(runs):
        (mark, count), after = runs[i], runs[i + 1] if i + 1 < len(runs) else None
        pair = _pair(mark, after[0]) if after and count == after[1] == 1 else ""
        out.append(pair or _run(mark, count))
        i += 2 if pair else 1
    return "/".join(out)


class _Writer:
    """Shortest text of a row of runs, by halving and repeating (dynamic programming)."""

    def __init__(self, runs: Sequence[tuple[Mark, int]]) -> None:
        self.runs = list(runs)
        self.known: dict[tuple[int, int], str] = {}

    def best(self, i: int, j: int) -> str:
        """Shortest text of runs i to j."""
        key = (i, j)
        if key not in self.known:
            self.known[key] = min(self.forms(i, j), key=_length)
        return self.known[key]

    def forms(self, i: int, j: int) -> list[str]:
        runs, n = self.runs, j - i
        same = all(r[0] == runs[i][0] for r in runs[i:j])
        if same:
            return [_run(runs[i][0], sum(r[1] for r in runs[i:j]))]
        out = []
        if n == 2 and runs[i][1] == runs[i + 1][1] == 1 and _pair(runs[i][0], runs[i + 1][0]):
            out.append(_pair(runs[i][0], runs[i + 1][0]))
        sizes = [k for k in range(2, n // 2 + 1) if n % k == 0]
        sizes = [k for k in sizes if runs[i : j - k] == runs[i + k : j]]
        out += [f"({self.best(i, i + k)})_{n // k}" for k in sizes]
        return out + [f"{self.best(i, k)}/{self.best(k, j)}" for k in range(i + 1, j)]


def _runs(marks: Sequence[Mark]) -> list[tuple[Mark, int]]:
    out: list[tuple[Mark, int]] = []
    for mark in marks:
        if out and out[-1][0] == mark:
            out[-1] = (mark, out[-1][1] + 1)
        else:
            out.append((mark, 1))
    return out


def _inside(marks: Sequence[Mark]) -> str:
    """Shortest text of plies, without the bracket around them."""
    runs = _runs(marks)
    if len(marks) <= MOST_SEARCHED:
        return _Writer([(m, 1) for m in marks]).best(0, len(marks))
    if len(runs) <= MOST_SEARCHED:
        return _Writer(runs).best(0, len(runs))
    return _gathered(runs)


def _period(marks: Sequence[Mark]) -> int:
    """Length of the shortest set whose repeats are all the plies (border rule)."""
    border = [0] * len(marks)
    for i in range(1, len(marks)):
        k = border[i - 1]
        while k and marks[i] != marks[k]:
            k = border[k - 1]
        border[i] = k + 1 if marks[i] == marks[k] else 0
    size = len(marks) - border[-1]
    return size if len(marks) % size == 0 else len(marks)


def _forms(marks: tuple[Mark, ...]) -> list[str]:
    """Ways to write a whole stack: as it is, as repeated sets, by its half."""
    n, size = len(marks), _period(marks)
    out = [f"[{_inside(marks)}]"] if n <= MOST_SEARCHED or size == n else []
    if 1 < size < n:
        out.append(f"[{_inside(marks[:size])}]_{n // size}")
    elif size == 1:
        out.append(f"[{_run(marks[0], n)}]")
    if n < 2 or marks != marks[::-1]:
        return out
    half = marks[: n // 2]
    if n % 2 == 0:
        size = _period(half)
        times = f"{len(half) // size}" if size < len(half) and size > 1 else ""
        out.append(f"[{_inside(half[:size] if times else half)}]_{times}s")
        return out
    middle = marks[n // 2]
    count = 1
    while half and half[-1] == middle:
        half, count = half[:-1], count + 2
    if half:
        out.append(f"[{_inside(half)}/{_run(middle, count, bar=True)}]_s")
    return out


@lru_cache(maxsize=1024)
def _write(marks: tuple[Mark, ...]) -> str:
    return min(_forms(marks), key=_length)


def write_notation(angles: Sequence[float], tags: Sequence[str] | None = None) -> str:
    """Shortest notation of a stack.

    Parameters
    ----------
    angles : sequence of float
        Fibre angles, inside to outside [deg].
    tags : sequence of str, optional
        Letters of the material of each ply.

    Returns
    -------
    str
        Runs, pairs, repeated sets and mirrored stacks gathered: "[90/0_3/90]", "[+/-45]_s",
        "[0/90]_2s"; a bar marks the middle ply of an odd mirrored stack: "[+/-45/0/90bar]_s".

    Notes
    -----
    Source: ASTM D6507, laminate orientation code. `read_notation` gives the same plies back.
    Beyond some tens of plies that do not repeat only runs and pairs are gathered.

    Examples
    --------
    >>> write_notation([90, 0, 0, 0, 90])
    '[90/0_3/90]'
    >>> write_notation([45, -45, -45, 45]), write_notation([0, 90, 0, 90, 90, 0, 90, 0])
    ('[+/-45]_s', '[0/90]_2s')
    >>> write_notation([45, 0, 0, 45], ["f", "C", "C", "f"])
    '[45_f/0_C]_s'
    """
    names = tags or [""] * len(angles)
    if not angles:
        return "[]"
    return _write(tuple(Mark(float(a) + 0.0, t) for a, t in zip(angles, names, strict=True)))


def stack_code(
    angles: Sequence[float], materials: Sequence[str], woven: Sequence[bool] | None = None
) -> tuple[str, dict[str, str]]:
    """Shortest notation of a stack of several materials, and what its letters mean.

    Parameters
    ----------
    angles : sequence of float
        Fibre angles, inside to outside [deg].
    materials : sequence of str
        Key or name of the material of each ply.
    woven : sequence of bool, optional
        Which plies are cloth; the first such material gets the letter f.

    Returns
    -------
    tuple of str and dict
        The text, and letter -> material; no letters where there is one material.

    Examples
    --------
    >>> stack_code([45, 0, 0], ["carbon-woven", "glass-ud", "glass-ud"], [True, False, False])
    ('[45_f/0_2G]', {'f': 'carbon-woven', 'G': 'glass-ud'})
    >>> stack_code([0, 90], ["glass-ud", "glass-ud"])
    ('[0/90]', {})
    """
    if len(set(materials)) < 2:
        return write_notation(angles), {}
    cloth = woven or [False] * len(angles)
    letter: dict[str, str] = {}
    for name, is_cloth in zip(materials, cloth, strict=True):
        if name not in letter:
            letter[name] = _letter(name, is_cloth, set(letter.values()))
    text = write_notation(angles, [letter[name] for name in materials])
    return text, {v: k for k, v in letter.items()}


def _letter(name: str, cloth: bool, taken: set[str]) -> str:
    """Letter for a material: f for the first cloth, else its own first letter, else the next."""
    own = [c.upper() for c in name if c.isascii() and c.isalpha() and c.upper() not in "STFWN"]
    wanted = (["f"] if cloth else []) + own[:1]
    spare = ("".join(c) for n in (1, 2, 3, 4) for c in product("ABCDEGHKLM", repeat=n))
    return next(w for w in chain(wanted, spare) if w not in taken)
