"""Strength of a bonded joint over its overlap: where more length does nothing, and the tube."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from tubecalc.joining.bond_result import Bond
from tubecalc.share.joint_shapes import kept
from tubecalc.share.scene import Lines, Scene, Shape, Words
from tubecalc.unit_display import in_unit, show, unit_label

WIDTH, SLIM, HEIGHT = 680.0, 350.0, 250.0
_TOP, _LOW = 30.0, 202.0


class _Room(NamedTuple):
    """Room of a drawing: width and margins [px]."""

    width: float
    left: float
    right: float


_BROAD_ROOM, _SLIM_ROOM = _Room(WIDTH, 62.0, 150.0), _Room(SLIM, 62.0, 14.0)
NAMES = {
    "tension": ("pull", "force"), "compression": ("push", "force"), "torsion": ("torque", "torque"),
    "bending": ("bending moment", "moment"),
}  # fmt: skip


def leading(bond: Bond) -> str:
    """Kind of strength that the loads use up most, of the first joint.

    Parameters
    ----------
    bond : Bond
        The joint.

    Returns
    -------
    str
        "tension", "compression", "torsion" or "bending"; tension without a load.
    """
    loads = bond.asked.loads
    asked = {
        "tension": max(float(loads.axial[0]), 0.0), "compression": max(-float(loads.axial[0]), 0.0),
        "torsion": abs(float(loads.torque[0])), "bending": abs(float(loads.moment[0])),
    }  # fmt: skip
    share = {k: v / max(float(bond.strengths[k][0]), 1e-30) for k, v in asked.items()}
    worst = max(share, key=lambda k: share[k])
    return worst if share[worst] > 0 else "tension"


def _step(most: float) -> float:
    raw = most / 6.0
    power = 10.0 ** math.floor(math.log10(raw))
    return float(next(m * power for m in (1, 2, 5, 10) if m * power >= raw * (1 - 1e-9)))


def curve_picture(bond: Bond, curve: Bond, system: str = "SI", *, slim: bool = False) -> Scene:
    """Draw the strength of a joint over its overlap.

    Parameters
    ----------
    bond : Bond
        The joint; its overlap is marked.
    curve : Bond
        The same with many overlaps.
    system : str
        Display system.
    slim : bool
        For a small screen: half as wide, what the tube bears below the curve.

    Returns
    -------
    Scene

    Examples
    --------
    >>> import tubecalc as tc
    >>> tube = tc.Tube("6061-T6", od="30 mm", wall="2 mm")
    >>> one, many = (tc.bond(tube, "6061-T6", insert_wall="2 mm", overlap=x, axial="5 kN")
    ...              for x in ("30 mm", ["10 mm", "30 mm", "60 mm"]))
    >>> curve_picture(one, many).says[:38]
    'Pull the bond bears over its overlap: '
    """
    kind = leading(bond)
    room = _SLIM_ROOM if slim else _BROAD_ROOM
    name, unit = NAMES[kind]
    x = np.array([in_unit(float(v), "length", system) for v in curve.asked.overlap])
    y = np.array([in_unit(float(v), unit, system) for v in curve.strengths[kind]])
    here = in_unit(float(bond.asked.overlap[0]), "length", system)
    now = in_unit(float(bond.strengths[kind][0]), unit, system)
    useful = in_unit(float(bond.lengths["useful"][0]), "length", system)
    of_tube = in_unit(float(bond.of_tube[kind][0]), unit, system)
    across, up = float(x[-1]), max(float(y.max()), now) * 1.12
    up = up if up > 0.0 else max(of_tube, 1.0) / 2.0  # heat alone parts it at any length
    shown = not math.isnan(of_tube) and of_tube <= 1.6 * up
    up = max(up, of_tube * 1.08) if shown else up
    sx, sy = (room.width - room.left - room.right) / across, (_LOW - _TOP) / (_step(up) * math.ceil(
        up / _step(up) - 1e-9))  # fmt: skip
    shapes = _frame(across, up, sx, sy, room.left)
    line = [
        (room.left + a * sx, _LOW - b * sy) for a, b in zip(x.tolist(), y.tolist(), strict=True)
    ]
    shapes.append(Lines([line], "ink", 2.0))
    left, edge, bears = room.left, room.left + across * sx, "the tube breaks"
    if useful <= across:
        at = left + useful * sx
        shapes.append(Lines([[(at, _TOP), (at, _LOW)]], "accent", 1.4, dash="7 4"))
        shapes.append(kept(Words(at + 5, _LOW - 8, "more does nothing", "accent", 11.5, halo=True),
                           left, room.width - 4))  # fmt: skip
    if shown:
        h = _LOW - of_tube * sy
        shapes.append(Lines([[(left, h), (edge, h)]], "muted", 1.4, dash="2 3"))
        told = [Words(edge + 8, h + 4, bears, "muted", 11.5)]
        if slim:
            told = [Words(left, _LOW + 56, f"dotted: {bears}", "muted", 11.5)]
    else:
        words = f"{_plain(float(f'{of_tube:.3g}'))} {unit_label(unit, system)}"
        told = [Words(edge + 8, _TOP + 4, "the tube bears", "muted", 11.5),
                Words(edge + 8, _TOP + 20, words, "muted", 11.5)]  # fmt: skip
        if slim:
            told = [Words(left, _LOW + 56, f"the tube bears {words}", "muted", 11.5)]
    shapes += told
    shapes.append(Lines([[(left + here * sx, _LOW - now * sy)]], "ink", 9.0, dot=True))
    words = f"{_plain(float(f'{now:.3g}'))} {unit_label(unit, system)}"
    value = Words(
        left + here * sx + 8, _LOW - now * sy + 18, words, "ink", 12.0, bold=True, halo=True
    )
    shapes.append(kept(value, left, room.width - 4))
    label = f"{name} the bond bears, {unit_label(unit, system)}"
    shapes.append(Words(left, _TOP - 12, label, "ink", 12.0))
    shapes.append(Words((left + edge) / 2, _LOW + 36, f"overlap, {unit_label('length', system)}",
                        "ink", 12.0, "middle"))  # fmt: skip
    high = HEIGHT + (16.0 if slim else 0.0)
    return Scene(room.width, high, tuple(shapes), _says(bond, kind, system))


def _plain(value: float) -> str:
    return f"{value:,.6g}".replace(",", "\u202f")


def _frame(across: float, up: float, sx: float, sy: float, left: float) -> list[Shape]:
    out: list[Shape] = []
    grid = []
    edge = left + across * sx
    for k in range(math.ceil(up / _step(up) - 1e-9) + 1):
        y = _LOW - k * _step(up) * sy
        grid.append([(left, y), (edge, y)])
        out.append(Words(left - 6, y + 4, _plain(k * _step(up)), size=11.0, anchor="end"))
    for k in range(math.floor(across / _step(across) + 1e-9) + 1):
        at = left + k * _step(across) * sx
        out.append(Words(at, _LOW + 17, f"{k * _step(across):g}", size=11.0, anchor="middle"))
    ends = [(left, _TOP), (left, _LOW), (edge, _LOW)]
    return [Lines(grid, "grid", 1.0), Lines([ends], "rule", 1.0), *out]


def _says(bond: Bond, kind: str, system: str) -> str:
    name, unit = NAMES[kind]
    length, most = float(bond.asked.overlap[0]), float(bond.lengths["useful"][0])
    said = f"{name.capitalize()} the bond bears over its overlap: "
    said += f"{show(float(bond.strengths[kind][0]), unit, system)} at "
    said += f"{show(length, 'length', system)}; "
    said += "no length helps" if math.isnan(most) else (
        f"beyond {show(most, 'length', system)} more length does nothing")  # fmt: skip
    return f"{said}; the tube bears {show(float(bond.of_tube[kind][0]), unit, system)}."


__all__ = ["HEIGHT", "NAMES", "SLIM", "WIDTH", "curve_picture", "leading"]
