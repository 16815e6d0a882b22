"""How far joints scatter: worst case against the likely least, by root sum square.

Ends of a published range are taken as three standard deviations (own rule), influences as
independent. Each influence is moved alone to its bad end; the likely least leaves out about one
joint in a thousand.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np

from tubecalc import datafiles
from tubecalc.joining.adhesives import FILE, Adhesive, get_adhesive, shares
from tubecalc.joining.bond_input import Asked
from tubecalc.joining.bond_judge import bond_strengths
from tubecalc.joining.bond_state import state_at
from tubecalc.joining.clamps import Clamp
from tubecalc.joining.growth import Athermal
from tubecalc.joining.heat import Heat
from tubecalc.joining.workshop import figure
from tubecalc.laminate.elastic import Array
from tubecalc.unit_tables import parse_unit

SUN_ERROR, TYPED_ERROR, LIMIT_ERROR = 10.0, 0.0, 5.0  # K; of the sun's balance, of a class
_MOVED = ("shear_strength", "shear_strain", "shear_modulus")


@dataclass(frozen=True)
class BondSpread:
    """What is left of the strength of a bond, shares over the overlap (N,) [m, -].

    likely leaves out about one joint in a thousand, worst has everything at its bad end at once;
    parts holds what each influence alone leaves at its bad end, least over the kinds of load.
    """

    overlap: Array
    likely: dict[str, Array]
    worst: dict[str, Array]
    parts: dict[str, Array]

    def at(self, overlap: float, kind: str) -> tuple[float, float]:
        """Likely and worst share at an overlap, for one kind of load.

        Parameters
        ----------
        overlap : float
            [m].
        kind : str
            "tension", "compression", "torsion" or "bending".

        Returns
        -------
        tuple of float
        """
        one, two = (np.interp(overlap, self.overlap, of[kind]) for of in (self.likely, self.worst))
        return float(one), float(two)


@cache
def _ranges() -> dict[str, dict[str, tuple[float, float]]]:
    """Adhesive -> property -> low and high in SI."""
    out: dict[str, dict[str, tuple[float, float]]] = {}
    for row in datafiles.rows(FILE):
        if row["property"] in _MOVED and row["low"]:
            parsed = parse_unit("1" if row["unit"] == "-" else row["unit"])
            assert parsed is not None, row["unit"]
            ends = float(row["low"]) * parsed[0], float(row["high"]) * parsed[0]
            out.setdefault(row["key"], {})[row["property"]] = ends
    return out


def _made(a: Adhesive, **values: Any) -> Adhesive:
    """The adhesive with other values; it parts no sooner than it flows."""
    made = replace(a, **values)
    return replace(made, shear_strain=max(made.shear_strain, made.yield_strain))


def bond_spread(asked: Asked, now: dict[str, Array] | None = None) -> BondSpread | None:
    """What the ranges of adhesive, surface and wet service leave of the strength of bonds.

    Parameters
    ----------
    asked : Asked
        The joints, for example one over many overlaps.
    now : dict, optional
        Their strengths, where they are known already.

    Returns
    -------
    BondSpread or None
        None for an adhesive of one's own, whose range is not known.

    Notes
    -----
    Shear strength, strain at failure and shear modulus of the adhesive are moved to the end of
    their range that bears less; what the surface preparation leaves and what wet service leaves
    count as they stand in the data. Root sum square of what each takes away.

    Examples
    --------
    >>> import tubecalc as tc
    >>> tube = tc.Tube("6061-T6", od="30 mm", wall="2 mm")
    >>> made = tc.bond(tube, "6061-T6", insert_wall="2 mm", overlap="30 mm")
    >>> likely, worst = bond_spread(made.asked).at(0.03, "tension")
    >>> 0.2 < worst < likely < 1
    True
    """
    known = _ranges().get(asked.adhesive.key)
    if known is None or get_adhesive(asked.adhesive.key) != asked.adhesive:
        return None
    now = _strengths(asked, asked.adhesive) if now is None else now
    parts: dict[str, dict[str, Array]] = {}
    bad: dict[str, float] = {}
    for name, ends in known.items():
        both = ends if name == "shear_modulus" else ends[:1]  # less strength, less strain: less
        tried = [(_strengths(asked, _made(asked.adhesive, **{name: x})), x) for x in both]
        least = min(tried, key=lambda t: float(np.sum(t[0]["tension"])))
        bad[name] = least[1]
        parts[name] = {k: _share(least[0][k], now[k]) for k in now}
    kept = {"surfaces": _surface(asked), "wet service": _wet(asked)}
    for name, share in kept.items():
        if share < 1.0:
            parts[name] = {k: np.full_like(v, share) for k, v in now.items()}
    together = _strengths(asked, _made(asked.adhesive, **bad))
    most = math.prod(kept.values())
    return BondSpread(
        asked.overlap,
        {k: np.maximum(1.0 - np.sqrt(sum(((1.0 - p[k]) ** 2 for p in parts.values()),
                                         start=np.zeros_like(now[k]))), 0.0) for k in now},
        {k: _share(together[k], now[k]) * most for k in now},
        {name: np.minimum.reduce(list(p.values())) for name, p in parts.items()},
    )  # fmt: skip


def _strengths(asked: Asked, adhesive: Adhesive) -> dict[str, Array]:
    moved = replace(asked, adhesive=adhesive)
    return bond_strengths(moved, tuple(state_at(moved, t) for t in moved.temperatures))


def _share(left: Array, of: Array) -> Array:
    """What is left, at most all of it; nothing of nothing is nothing."""
    return np.minimum(np.divide(left, of, out=np.zeros_like(of), where=of > 0.0), 1.0)


def _surface(asked: Asked) -> float:
    """Low end of what the surfaces leave, over what is counted."""
    p = asked.prepared
    return p.low / p.value if p.value > 0 else 1.0


def _wet(asked: Asked) -> float:
    if not asked.wet:
        return 1.0
    row = next(s for (effect, _, _), s in shares().items() if effect == "wet")
    return row.low / row.value


@dataclass(frozen=True)
class Grip:
    """What a clamp holds along the tube at its highest torque: worst, likely least, middle [N]."""

    worst: float
    likely: float
    middle: float


def clamp_spread(found: Clamp, friction: tuple[float, float, float] | None = None) -> Grip:
    """What a clamp holds when its screws are dry and the surfaces slippery.

    Parameters
    ----------
    found : Clamp
        Whose torque and slip count lubricated screws and low friction.
    friction : tuple of float, optional
        Low, middle and high; else the workshop figure.

    Returns
    -------
    Grip

    Notes
    -----
    At a given torque the pull goes with one over the nut factor, the grip with friction over nut
    factor; both spread by ratios, so their logarithms are added as a root sum square.

    Examples
    --------
    >>> from tubecalc.joining.clamps import split_clamp
    >>> from tubecalc.tube import Tube
    >>> made = split_clamp(Tube("pull-wound", od="20 mm", wall="1 mm"), length="20 mm",
    ...                    screw="4 mm")
    >>> grip = clamp_spread(made)
    >>> grip.worst < grip.likely < grip.middle, round(made.slip / grip.worst, 3)
    (True, 2.0)
    """
    nut, rub = figure("nut_factor"), figure("friction_composite")
    low, usual, _ = friction or (rub.low, rub.value, rub.high)
    middle = found.slip * (usual / low) * (nut.low / nut.value)
    spread = math.hypot(math.log(usual / low), math.log(nut.high / nut.value))
    return Grip(found.slip * nut.low / nut.high, middle * math.exp(-spread), middle)


def grip_reserve(found: Clamp, load: float, factor: float = 1.0) -> float:
    """Reserve of a clamp against slipping along the tube, its screws dry at their highest torque.

    Parameters
    ----------
    found : Clamp
        The clamp.
    load : float
        Along the tube, either way [N].
    factor : float
        On the load [-].

    Returns
    -------
    float
        Endless without a load [-].

    Examples
    --------
    >>> from tubecalc.joining.clamps import split_clamp
    >>> from tubecalc.tube import Tube
    >>> made = split_clamp(Tube("pull-wound", od="20 mm", wall="1 mm"), length="20 mm",
    ...                    screw="4 mm")
    >>> round(grip_reserve(made, made.slip, 2.0), 3)
    0.25
    """
    asked = abs(load) * factor
    return clamp_spread(found).worst / asked if asked > 0.0 else math.inf


def heat_spread(found: Heat, error: float) -> tuple[float, float]:
    """Margin of the weakest member, worst case and likely least.

    Parameters
    ----------
    found : Heat
        The assembly.
    error : float
        Of the temperature asked [K].

    Returns
    -------
    tuple of float
        [K]; the limit of a member is that of its class, 5 K either way.

    Examples
    --------
    >>> from tubecalc.joining.heat import weakest
    >>> found = weakest("pultruded", temperature="70 degC")
    >>> [round(x, 1) for x in heat_spread(found, 10.0)], found.margin
    ([35.0, 38.8], 50.0)
    """
    return found.margin - error - LIMIT_ERROR, found.margin - math.hypot(error, LIMIT_ERROR)


def growth_spread(found: Athermal) -> float:
    """Growth that is likely left of a design that cancels it, both expansions off by its doubt.

    Parameters
    ----------
    found : Athermal
        The design; `left` is its worst case.

    Returns
    -------
    float
        [m/K]; both parts grow alike and oppositely, so it is the worst case over the root of two.

    Examples
    --------
    >>> from tubecalc.joining.growth import athermal
    >>> made = athermal("2e-6 /K", "23e-6 /K", length="1 m")
    >>> round(growth_spread(made) / made.left, 4)
    0.7071
    """
    return found.left / math.sqrt(2.0)


__all__ = [
    "LIMIT_ERROR", "SUN_ERROR", "TYPED_ERROR", "BondSpread", "Grip", "bond_spread", "clamp_spread",
    "grip_reserve", "growth_spread", "heat_spread",
]  # fmt: skip
