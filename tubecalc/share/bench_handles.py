"""Handles of the points of a curve that may be moved, and where a moved one lies."""

from __future__ import annotations

import math
from html import escape
from math import ceil, log10

import numpy as np

from tubecalc.share.bench_curves import LEFT, RIGHT, SHORT, Axes, Shown
from tubecalc.testing.reduce_read import REACH

_HANDLES = {"origin": "origin", "linear-from": "linear_from", "linear-to": "linear_to",
            "peak": "peak_at"}  # fmt: skip


def handles(axes: Axes, curve: Shown, unit: str = "") -> str:
    """Handles of the points that may be moved, as an SVG that lies over the picture.

    Parameters
    ----------
    axes : Axes
        Of the picture.
    curve : Shown
        What is on it.
    unit : str
        Of the travel shown.

    Returns
    -------
    str
        One <svg>; each handle carries the field that it moves.
    """
    parts = []
    for key, x, y in sorted(curve.marks, key=lambda m: m[0] != "peak"):  # the others lie on it
        if key not in _HANDLES:
            continue
        px, py = axes.at(x, y)
        label = escape(f"{SHORT[key]}, travel; arrow keys move it")
        value = escape(f"{x:.4g} {unit}".rstrip())
        parts.append(
            f'<g class="tc-handle" tabindex="0" role="slider" data-mark="{_HANDLES[key]}" '
            f'data-x="{px:.1f}" aria-label="{label}" aria-valuenow="{x:.5f}" '
            f'aria-valuetext="{value}" aria-valuemin="{axes.x[0]:.5f}" '
            f'aria-valuemax="{axes.x[1]:.5f}" '
            f'transform="translate({px:.1f} {py:.1f})"><circle r="13"/>'
            '<path d="M-10 0h-5m3 -3l-3 3l3 3M10 0h5m-3 -3l3 3l-3 3"/></g>'
        )
    return (
        f'<svg class="tc-handles" viewBox="0 0 {axes.width:g} {axes.height:g}" '
        f'width="{axes.width:g}" height="{axes.height:g}" data-left="{LEFT:g}" '
        f'data-right="{axes.width - RIGHT:g}">{"".join(parts)}</svg>'
    )


def moved(axes: Axes, curve: Shown, px: float, *, torsion: bool, field: str = "") -> str:
    """Travel as recorded at a place of the picture, as text with its unit.

    Parameters
    ----------
    axes, curve
        Of the picture.
    px : float
        Place [px].
    torsion : bool
        Whether the travel is a twist.
    field : str
        What is moved: the largest load is looked for around a place, so that it is moved by more
        than that at least.

    Returns
    -------
    str
        For example "1.234 mm".
    """
    place = next((axes.at(x, y)[0] for k, x, y in curve.marks if k == "peak"), math.nan)
    if field == "peak_at" and len(curve.x):
        least = 2 * REACH * abs(axes.at(float(np.ptp(curve.x)), 0)[0] - axes.at(0, 0)[0])
        if 0 < abs(px - place) < least:
            px = place + math.copysign(least, px - place)
    value = axes.travel(px) / curve.per_x * curve.sign_x
    step = abs(axes.x[1] - axes.x[0]) / curve.per_x / 2000
    places = max(0, ceil(-log10(step))) if step > 0 else 3
    return f"{value:.{min(places, 6)}f} {'deg' if torsion else 'mm'}"


__all__ = ["handles", "moved"]
