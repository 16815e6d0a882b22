"""Stiffness of a wall over the direction, as a round plot: the tube axis lies left to right."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians, sin

import numpy as np

from tubecalc.share.lines import _say, _ticks
from tubecalc.share.scene import Lines, Points, Scene, Shape, Words

SIZE = 300.0
ANGLES = tuple(range(0, 181, 3))  # a wall is alike in opposite directions
_EDGE = 34.0


def polar_picture(
    E: Sequence[float], G: Sequence[float], unit: str, *, size: float = SIZE, colour: str = "ink"
) -> Scene:
    """Draw moduli over angle.

    Parameters
    ----------
    E, G : sequence of float
        Modulus and shear modulus at `ANGLES`, in the unit shown.
    unit : str
        That unit.
    size : float
        Width of the picture [px].
    colour : str
        Colour role of the modulus.

    Returns
    -------
    Scene
        The picture, which says the values along, across and between.

    Examples
    --------
    >>> polar_picture([10.0] * 61, [4.0] * 61, "GPa").says[:44]
    'Stiffness over direction: along the tube 10,'
    """
    c, reach = size / 2, size / 2 - _EDGE
    steps = [t for t in _ticks(max(*E, *G), 3) if t > 0]
    scale = reach / steps[-1]

    def at(value: float, angle: float) -> tuple[float, float]:
        a = radians(angle)
        return c + value * scale * cos(a), c - value * scale * sin(a)

    def curve(values: Sequence[float]) -> Points:
        half = list(zip(values, ANGLES, strict=True))
        return [at(v, a) for v, a in half] + [at(v, a + 180) for v, a in half[1:]]

    turn = np.linspace(0, 360, 73).tolist()
    rings: list[Points] = [[at(t, a) for a in turn] for t in steps]
    spokes: list[Points] = [[at(steps[-1], a), at(steps[-1], a + 180)] for a in (0, 45, 90, 135)]
    shapes: list[Shape] = [
        Lines(rings, "grid", 1.0), Lines(spokes, "grid", 0.8),
        Lines([curve(G)], "muted", 1.6, dash="5 3", closed=True),
        Lines([curve(E)], colour, 2.2, closed=True, fill=colour, fill_opacity=0.07),
    ]  # fmt: skip
    for t in steps:
        x, y = at(t, 65)
        shapes.append(Words(x, y - 2, _say(t), size=11, anchor="middle", halo=True))
    for angle, words, anchor in ((0, "0°", "start"), (90, "90°", "middle"), (45, "45°", "start")):
        x, y = at(steps[-1] * 1.06, angle)
        shapes.append(Words(x, y + 4, words, "ink", 12, anchor, bold=True))
    shapes.append(Words(4, size - 20, "line: pulled that way", size=11))
    shapes.append(Words(4, size - 5, f"dashed: sheared; {unit}", size=11))
    shapes.append(Words(size - 4, size - 5, "0°: along the tube", size=11, anchor="end"))
    e0, e45, e90 = (f"{E[ANGLES.index(a)]:.3g}" for a in (0, 45, 90))
    says = (
        f"Stiffness over direction: along the tube {e0}, at 45 degrees {e45}, round it {e90} "
        f"{unit}; in shear {G[0]:.3g} along, {G[ANGLES.index(45)]:.3g} at 45 degrees."
    )
    return Scene(size, size, tuple(shapes), says)


__all__ = ["ANGLES", "SIZE", "polar_picture"]
