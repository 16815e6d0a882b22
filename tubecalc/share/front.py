"""Mass against reserve of the stacks that no other beats in both."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tubecalc.share.lines import _say, _ticks
from tubecalc.share.scene import Dots, Lines, Points, Scene, Shape, Words

_LEFT, _TOP, _BOTTOM, _RIGHT = 56.0, 14.0, 52.0, 18.0


@dataclass(frozen=True)
class Step:
    """One stack: mass per length as shown, reserve, its notation, whether it passes."""

    mass: float
    reserve: float
    name: str
    passes: bool


def front_picture(
    steps: Sequence[Step], unit: str, *, width: float = 560.0, height: float = 300.0
) -> Scene:
    """Draw reserve over mass; filled passes, hollow fails.

    Parameters
    ----------
    steps : sequence of Step
        Lightest first; at least one.
    unit : str
        Unit of the mass per length.
    width, height : float
        Size [px].

    Returns
    -------
    Scene

    Examples
    --------
    >>> front_picture([Step(100.0, 1.2, "[0_3]", True)], "g/m").says
    'Reserve over mass: [0_3] 100 g/m reserve 1.2 passes.'
    """
    masses = [s.mass for s in steps]
    low = min(masses) - 0.12 * max(max(masses) - min(masses), 0.1 * max(masses))
    high = max(masses) + 0.12 * max(max(masses) - min(masses), 0.1 * max(masses))
    rows = _ticks(max(1.1, *(s.reserve for s in steps)), 5)
    right, bottom = width - _RIGHT, height - _BOTTOM

    def at(mass: float, reserve: float) -> tuple[float, float]:
        return (_LEFT + (mass - low) / (high - low) * (right - _LEFT),
                bottom - reserve / rows[-1] * (bottom - _TOP))  # fmt: skip

    grid: list[Points] = [[(_LEFT, at(low, r)[1]), (right, at(low, r)[1])] for r in rows]
    shapes: list[Shape] = [
        Lines(grid, "grid", 1.0),
        Lines([[at(low, 1.0), at(high, 1.0)]], "ink", 1.2, dash="5 3"),
    ]
    shapes += [Words(_LEFT - 8, at(low, r)[1] + 4, _say(round(r, 6)), anchor="end") for r in rows]
    step = _ticks(high - low, 4)[1]
    for value in np.arange(np.ceil(low / step) * step, high, step).tolist():
        x = at(value, 0.0)[0]
        shapes.append(Words(x, bottom + 17, _say(round(value, 9)), anchor="middle"))
    shapes.append(Words((_LEFT + right) / 2, bottom + 36, f"mass, {unit}", anchor="middle"))
    shapes.append(Words(13, (_TOP + bottom) / 2, "reserve", anchor="middle", rotate=-90))
    path: Points = [at(s.mass, s.reserve) for s in steps]
    shapes.append(Lines([path], "muted", 1.4))
    for passes in (True, False):
        some = [at(s.mass, s.reserve) for s in steps if s.passes is passes]
        if some:
            x, y = np.array(some).T
            shapes.append(Dots(x, y, "ink", 8.0, hollow=not passes))
    for n in dict.fromkeys((next((k for k, s in enumerate(steps) if s.passes), 0), len(steps) - 1)):
        x, y = at(steps[n].mass, steps[n].reserve)
        over = x > (_LEFT + right) / 2
        shapes.append(Words(x + (-9 if over else 9), y - 8 if over else y + 16, steps[n].name,
                            "ink", 11.5, "end" if over else "start", halo=True))  # fmt: skip
    said = "; ".join(
        f"{s.name} {s.mass:.4g} {unit} reserve {s.reserve:.3g} {'passes' if s.passes else 'fails'}"
        for s in steps[:12]
    )
    return Scene(width, height, tuple(shapes), f"Reserve over mass: {said}.")


__all__ = ["Step", "front_picture"]
