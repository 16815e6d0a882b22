"""Sizes tried on the page: a fixed lattice of diameters and walls, cut into blocks.

The lattice does not move with the sliders, so what was computed for one window serves the next.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from tubecalc.app.state import Choice

_INCH = 25.4
# span above which a step is used, step; both in mm
_OD_STEPS = {
    "SI": ((24, 1.0), (12, 0.5), (5, 0.25), (0, 0.1)),
    "inch": ((_INCH, _INCH / 16), (_INCH / 2, _INCH / 32), (0, _INCH / 64)),
}
_WALL_STEPS = {
    "SI": ((1.5, 0.25), (0.6, 0.1), (0, 0.05)),
    "inch": ((1.5, 0.01 * _INCH), (0, 0.005 * _INCH)),
}
_BLOCK = 20


@dataclass(frozen=True)
class Block:
    """A piece of the lattice: first and last step of diameters and walls, and the steps [mm]."""

    od: tuple[int, int]
    wall: tuple[int, int]
    steps: tuple[float, float]


def _step(span: float, steps: Sequence[tuple[float, float]]) -> float:
    return next(step for least, step in steps if span > least or least == 0)


def _blocks(low: float, high: float, step: float) -> list[tuple[int, int]]:
    first, last = floor(low / step / _BLOCK + 1e-9), ceil(high / step / _BLOCK - 1e-9)
    return [(b * _BLOCK, (b + 1) * _BLOCK) for b in range(first, max(last, first + 1))]


def blocks_of(choice: Choice) -> list[Block]:
    """Blocks of the lattice that cover the ranges of a choice.

    Parameters
    ----------
    choice : Choice
        With ranges and display system.

    Returns
    -------
    list of Block
        The blocks.

    Examples
    --------
    >>> [b.od for b in blocks_of(Choice())]
    [(0, 20), (20, 40)]
    """
    system = "inch" if choice.units == "inch" else "SI"
    (a, b), (c, d) = ([v * 1e3 for v in r] for r in (choice.od, choice.wall))
    steps = _step(b - a, _OD_STEPS[system]), _step(d - c, _WALL_STEPS[system])
    return [Block(o, w, steps) for o in _blocks(a, b, steps[0]) for w in _blocks(c, d, steps[1])]
