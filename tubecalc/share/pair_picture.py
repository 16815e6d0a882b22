"""Two materials in touch: what must lie between them, which is eaten, and where both rank."""

from __future__ import annotations

import numpy as np

from tubecalc.joining.galvanic import INSULATORS, Couple, ladder
from tubecalc.share.joint_shapes import box, hatched, rows
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words

WIDTH, SLIM, HEIGHT = 680.0, 350.0, 284.0
_X0, _X1, _TOP, _WALL, _LAYER = 24.0, 300.0, 58.0, 62.0, 16.0
_LADDER, _STEP = 392.0, 42.0
_BELOW = 92.0, 280.0  # where the ladder of a slim drawing stands, and how far down
_WORDS = {"good": "may touch", "fair": "may touch, edges sealed", "poor": "needs a barrier",
          "no": "never bare: barrier all round"}  # fmt: skip
_MARKS = {"good": "●", "fair": "◐", "poor": "○", "no": "✗"}


def pair_picture(found: Couple, where: str, *, slim: bool = False) -> Scene:
    """Draw two materials in touch and the ladder they stand on.

    Parameters
    ----------
    found : Couple
        The pair; its first material is the tube.
    where : str
        The environment in words.
    slim : bool
        For a small screen: half as wide, the ladder below the section.

    Returns
    -------
    Scene

    Examples
    --------
    >>> from tubecalc.joining.galvanic import galvanic
    >>> pair_picture(galvanic("carbon", "aluminium", "salt"), "wet with salt").says[:45]
    'Carbon on aluminium, wet with salt: never bar'
    """
    width, (x, down) = (SLIM, _BELOW) if slim else (WIDTH, (_LADDER, 0.0))
    shapes = [*_touching(found), *_ladder(found, x, down, width)]
    head = f"{_MARKS[found.grade]} {found.grade}: {_WORDS[found.grade]}"
    shapes += [
        Words(_X0, 22, head, "ink", 13, bold=True),
        Words(_X0, 40, where, size=11.5),
        Words(_X0, HEIGHT - 12, "section through the joint, not to scale", size=11.5),
    ]
    return Scene(width, HEIGHT + down, tuple(shapes), _says(found, where))


def _touching(c: Couple) -> list[Shape]:
    """Both bodies, the layer between them, the sealed edge, pits in the one that is eaten."""
    gap = _LAYER if c.barrier else 0.0
    y = _TOP + _WALL
    out: list[Shape] = []
    for name, top, kind in ((c.one, _TOP, "axial"), (c.two, y + gap, "dots")):
        if name in (*INSULATORS, "carbon"):
            kind = {"plastic": "random", "wood": "axial"}.get(name, "axial")
        else:
            kind = "dots"
        body = box(_X0, top, _X1, top + _WALL)
        fill = "row" if kind == "dots" else "field"
        out.append(Lines([body], "ink", 1.2, closed=True, fill=fill))
        out.append(hatched(kind, _X0 + 1, top + 1, _X1 - 1, top + _WALL - 1))
        out.append(Words((_X0 + _X1) / 2, top + _WALL / 2 + 5, name, "ink", 13, "middle",
                         bold=True, halo=True))  # fmt: skip
    if c.barrier:
        out.append(Lines([box(_X0 - 10, y, _X1 + 10, y + gap)], "accent", 1.0, closed=True,
                         fill="accent", fill_opacity=0.5))  # fmt: skip
        out.append(Words(_X1 + 6, y + gap + 16, "barrier", "accent", 12, "end", halo=True))
    if c.barrier or c.grade == "fair":
        out += _sealed(y, gap)
    if c.eaten and c.grade != "good":
        up = c.eaten == c.one
        out.append(_pits(y if up else y + gap, -1.0 if up else 1.0))
        at = y - 14 if up else y + gap + 20
        out.append(Words(_X0 + 8, at, "eaten where bare", "warn", 11.5, halo=True))
    return out


def _sealed(y: float, gap: float) -> list[Shape]:
    """Beads of sealant at both edges of the joint."""
    out: list[Shape] = []
    for x, side in ((_X0, -1.0), (_X1, 1.0)):
        turns = np.linspace(-np.pi / 2, np.pi / 2, 13).tolist()
        edge: Points = [
            (x + side * 9 * float(np.cos(t)), y + gap / 2 + (gap / 2 + 9) * float(np.sin(t)))
            for t in turns
        ]
        out.append(Lines([edge], "ink", 1.1, closed=True, fill="shade", fill_opacity=0.6))
    out.append(Words(_X0, y + gap + _WALL + 18, "edges sealed", "ink", 11.5))
    return out


def _pits(y: float, into: float) -> Lines:
    """Bites along a face."""
    paths: list[Points] = []
    for k in range(9):
        x = _X0 + 128 + 17.0 * k
        deep = (4.0, 7.0, 5.0)[k % 3] * into
        paths.append([(x, y), (x + 3, y + deep), (x + 7, y + deep), (x + 10, y)])
    return Lines(paths, "warn", 1.2, closed=True, fill="paper")


def _ladder(c: Couple, x: float, down: float, width: float) -> list[Shape]:
    """Groups from the one that is eaten first down to the noblest, the pair marked."""
    rungs = ladder()
    head = _X0 if down else x
    places = [down + _TOP + 6 + n * _STEP for n in range(len(rungs))]
    out: list[Shape] = [
        Words(head, down + 22, "electromotive groups", "ink", 13, bold=True),
        Words(head, down + 40, "eaten first at the top, noblest below", size=11.5),
        Lines([[(x, places[0]), (x, places[-1])]], "rule", 1.4),
    ]
    mine = []
    for y, names in zip(places, rungs, strict=True):
        here = [n for n in names if n in (c.one, c.two)]
        mine += [y] * len(here)
        out.append(Lines([[(x - 5, y), (x + 5, y)]], "ink", 1.4))
        if here:
            out.append(Lines([[(x, y)]], "accent", 10.0, dot=True))
            out.append(Words(x + 14, y + 4, " and ".join(here), "ink", 12.5, bold=True))
        rest = [n for n in names if n not in here]
        low = y + 18 if here else y + 4
        out += rows(", ".join(rest), x + 14, low, width - x - 18, size=11, pitch=13)
    if len(mine) == 2 and mine[0] != mine[1]:
        left = x - 16
        out.append(Lines([[(x - 8, mine[0]), (left, mine[0]), (left, mine[1]), (x - 8, mine[1])]],
                         "accent", 1.8))  # fmt: skip
        steps = f"{c.steps} step{'' if c.steps == 1 else 's'}"
        out.append(Words(left - 5, (mine[0] + mine[1]) / 2 + 4, steps, "ink", 11.5, "end"))
    if c.one in INSULATORS or c.two in INSULATORS:
        out.append(Words(head, places[-1] + 30, "glass, plastic, wood: no current flows", "ink",
                         11.5, bold=True))  # fmt: skip
    return out


def _says(c: Couple, where: str) -> str:
    said = f"{c.one.capitalize()} on {c.two}, {where}: {_WORDS[c.grade]}."
    if c.eaten and c.grade != "good":
        said += f" The {c.eaten} is eaten where it is bare."
    if c.one in INSULATORS or c.two in INSULATORS:
        return f"{said} One of them does not conduct."
    if c.steps:
        said += f" They stand {c.steps} step{'' if c.steps == 1 else 's'} apart on the ladder of "
        said += "electromotive groups"
        said += f", {c.eaten} nearer the end that is eaten." if c.eaten else "."
    return said


__all__ = ["HEIGHT", "SLIM", "WIDTH", "pair_picture"]
