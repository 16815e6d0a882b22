"""Picture of a column test: deflection over load against deflection, and its straight line."""

from __future__ import annotations

import math

import numpy as np

from tubecalc.share.bench_curves import Shown, across, around, drawn_path
from tubecalc.share.bench_units import heard
from tubecalc.share.palette import Style
from tubecalc.share.scene import Dots, Lines, Scene, Shape, Words
from tubecalc.testing.bench import Seen
from tubecalc.testing.column_bow import quotients
from tubecalc.unit_display import in_unit, unit_label


def bow_picture(
    seen: Seen, style: Style, units: str, *, width: float = 720.0, height: float = 300.0
) -> Scene | None:
    """Deflection over load against deflection, with the line that gives the critical load.

    Parameters
    ----------
    seen : Seen
        A column test.
    style : Style
        Of its construction.
    units : str
        Display system.
    width, height : float
        Size [px].

    Returns
    -------
    Scene or None
        None where the test has no such line.
    """
    result = seen.result
    if result is None or not across(result) or not len(seen.x):
        return None
    v = result.si
    u, q = quotients(seen.y, seen.x * 1e-3, v["bow_origin"])
    length, force = in_unit(1.0, "length", units), in_unit(1.0, "force", units)
    per = 1000.0 * length / force
    x, y = u * length, q * per
    ends = np.array([0.0, 1.04 * max(float(np.max(u, initial=0.0)), v["bow_to"])])
    line = (ends + v["bow"]) / v["critical"] * per
    used = (u >= v["bow_from"] * (1 - 1e-6)) & (u <= v["bow_to"] * (1 + 1e-6))
    space = [Shown(x, y, 1, 1, length), Shown(ends * length, line, 1, 1, length)]
    names = (
        f"sideways deflection from no load, {unit_label('length', units)}",
        ("deflection over load, " if height > 260 else "")
        + f"{unit_label('length', units)} per 1000 {unit_label('force', units)}",
    )
    axes, shapes = around(space, (width, height), names, 0.0)
    drawn: list[Shape] = [Lines([drawn_path(axes, ends * length, line)], "ink", 1.4, dash="5 4")]
    for on, hollow in ((used, False), (~used, True)):
        if on.any():
            px, py = np.array(drawn_path(axes, x[on], y[on])).T
            drawn.append(Dots(px, py, f"line:{style.slug}", 5.0, hollow, 0.9))
    at = axes.at(0.0, axes.y[1])
    drawn.append(Words(at[0] + 12, at[1] + 20, "slope: one over the critical load", "ink", 12,
                       halo=True))  # fmt: skip
    told = "" if math.isnan(v["critical_half"]) else f" within {v['critical_half']:.3g} N"
    says = (
        f"Deflection over load against deflection of {seen.name}: the line gives a critical load "
        f"of {v['critical']:.4g} N{told} and a bow of {v['bow'] * 1e3:.3g} mm. Hollow: not used."
    )
    return Scene(width, height, (*shapes, *drawn), heard(says, units, [seen.name]))


__all__ = ["bow_picture"]
