"""Measured over promised: a row for every check, a dot for every test, a line where they agree."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from math import log10

import numpy as np

from tubecalc.share.palette import Style
from tubecalc.share.scene import Dots, Lines, Points, Scene, Shape, Words

_ROW, _TOP, _BOTTOM, _RIGHT = 24.0, 26.0, 44.0, 20.0
_TICKS = (0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 1.0, 1.5, 2.0, 3.0, 5.0, 10.0, 20.0, 50.0)


@dataclass(frozen=True)
class Spot:
    """One ratio: row it stands in, measured over promised, style, whether a lower bound."""

    row: str
    ratio: float
    style: Style
    at_least: bool = False


def ratio_picture(spots: Sequence[Spot], *, width: float = 720.0, says: str = "") -> Scene:
    """Draw the ratios.

    Parameters
    ----------
    spots : sequence of Spot
        One a ratio.
    width : float
        Width [px].
    says : str
        The picture in words.

    Returns
    -------
    Scene

    Examples
    --------
    >>> from tubecalc.share.palette import style
    >>> ratio_picture([Spot("crush", 0.5, style("pultruded", "axial"))]).height
    94.0
    """
    used = [s for s in spots if s.ratio > 0 and math.isfinite(s.ratio)]
    rows = list(dict.fromkeys(s.row for s in used))
    names = min(max((6.4 * len(r) for r in rows), default=40.0) + 14, 0.42 * width)
    low = min([0.7, *(s.ratio for s in used)]) / 1.12
    high = max([1.4, *(s.ratio for s in used)]) * 1.12
    right, bottom = width - _RIGHT, _TOP + _ROW * max(len(rows), 1)

    def at(ratio: float) -> float:
        share = (log10(ratio) - log10(low)) / (log10(high) - log10(low))
        return names + share * (right - names)

    ticks = [t for t in _TICKS if low <= t <= high]
    room = (right - names) / max(len(ticks), 1)
    if room < 34:
        ticks = [t for t in ticks if t in (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)]
    up: list[Points] = [[(at(t), _TOP - 6), (at(t), bottom)] for t in ticks]
    across: list[Points] = [[(names, _TOP + k * _ROW), (right, _TOP + k * _ROW)]
                            for k in range(len(rows) + 1)]  # fmt: skip
    one: Points = [(at(1.0), _TOP - 6), (at(1.0), bottom)]
    shapes: list[Shape] = [Lines(up, "grid", 0.8), Lines(across, "grid", 0.6)]
    shapes.append(Lines([one], "ink", 1.4))
    shapes.append(Words(at(1.0), 13, "as promised", "ink", 12, "middle"))
    shapes += [Words(at(t), bottom + 17, f"{t:g}", anchor="middle") for t in ticks]
    shapes.append(Words((names + right) / 2, bottom + 36, "measured over promised",
                        anchor="middle"))  # fmt: skip
    letters = max(6, int((names - 12) / 6.4))
    for k, row in enumerate(rows):
        text = row if len(row) <= letters else f"{row[: letters - 1]}…"
        shapes.append(Words(names - 10, _TOP + k * _ROW + 16, text, "ink", 12.5, "end"))
    for s in used:
        x, y = at(s.ratio), _TOP + rows.index(s.row) * _ROW + 12
        place = np.array([x]), np.array([y])
        line = f"line:{s.style.slug}"
        shapes.append(Dots(*place, line, 9.0, s.at_least, 1.0 if s.at_least else 0.8))
        if s.at_least:
            shapes.append(Lines([[(x + 8, y - 4), (x + 13, y), (x + 8, y + 4)]], line, 1.8))
    return Scene(width, bottom + _BOTTOM, tuple(shapes), says)


__all__ = ["Spot", "ratio_picture"]
