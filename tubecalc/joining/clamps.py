"""Split clamps on a tube, and a bolt between washers: what cracks, dents or yields first."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from tubecalc.checks.local import COSINE, crush_load, split_load
from tubecalc.errors import InputError, unknown_key
from tubecalc.joining.galvanic import touching
from tubecalc.joining.workshop import figure
from tubecalc.loadpoint import Patch
from tubecalc.tube import Tube, single
from tubecalc.unit_words import Spoken, rough
from tubecalc.units import to_si

CLAMPS = ("two halves", "one slit")
_GRIP = 8.0 / math.pi  # friction around over the force of a half, pressure as the cosine


@dataclass(frozen=True)
class Clamp:
    """A split clamp, SI.

    force is what one half presses with at the limit, pressure its mean over the diameter, torque
    that of one screw; slip and slip_torque are what it holds there by friction; cracks, dents and
    screws are the force of a half at which the wall cracks, dents or the screws yield, damage says
    which sets the limit; grade C: friction and nut factor spread widely.
    """

    force: float
    pressure: float
    torque: float
    slip: float
    slip_torque: float
    cracks: float
    dents: float
    screws: float
    why: str
    cautions: tuple[str, ...]
    grade: str = "C"

    @property
    def damage(self) -> str:
        """What sets the limit: "first crack", "dent" or "screws"."""
        if self.force >= self.screws:
            return "screws"
        return "first crack" if self.cracks <= self.dents else "dent"


def clamp_up(tube: Tube, *, washer: Any, plug: bool = False) -> float:
    """Pull of a bolt through both walls that first damages a tube between two washers [N].

    Parameters
    ----------
    tube : Tube
        One tube.
    washer : str or Quantity
        Diameter of the washers, saddled to the tube.
    plug : bool
        A tight core in the bore.

    Returns
    -------
    float
        Infinite with a plug: then the bolt decides.

    Examples
    --------
    >>> tube = Tube("pultruded", od="20 mm", wall="1 mm")
    >>> clamp_up(tube, washer="12 mm") < 2000, clamp_up(tube, washer="12 mm", plug=True)
    (True, inf)
    """
    single(tube, "clamp_up")
    if plug:
        return math.inf
    wide = to_si(washer, "length", what="washer", where="clamp_up", positive=True)
    angle = 2.0 * math.asin(min(wide / (2.0 * float(tube.sections.ro[0])), 1.0))
    return min(_bears(tube, Patch(wide, angle, opposed=True)))


def _bears(tube: Tube, patch: Patch) -> tuple[float, float]:
    """Force on a patch that first cracks a ply (metals: never), and that dents the wall."""
    s = tube.sections
    crack = math.inf if tube.construction.metal else float(split_load(s, patch)[0])
    return crack, float(crush_load(s, patch)[0])


def split_clamp(
    tube: Tube,
    *,
    length: Any,
    screw: Any,
    screws: int = 2,
    kind: str = "two halves",
    plug: bool = False,
    factor: float = 1.5,
    friction: float | None = None,
) -> Clamp:
    """Clamp pressure and screw torque that a tube takes, and what the clamp then holds.

    Parameters
    ----------
    tube : Tube
        One tube.
    length : str or Quantity
        Of the clamp along the tube.
    screw : str or Quantity
        Diameter of a screw.
    screws : int
        Number of all its screws.
    kind : str
        "two halves" with screws on both sides, or "one slit": a ring with a slit.
    plug : bool
        A tight core in the bore: the screws limit the clamp, not the wall.
    factor : float
        On the force that damages the wall.
    friction : float, optional
        Of clamp on tube; else the low end of the workshop figure.

    Returns
    -------
    Clamp

    Raises
    ------
    InputError
        For an unknown kind, no screw, or a factor below 1.

    Notes
    -----
    Two opposed pressures that fade as the cosine, `tubecalc.loadpoint`; screw torque = nut factor x
    diameter x pull (Shigley). Half force: all screws together; of a slit ring twice that, being
    pulled round like a belt; a screw pulls no more than its own yield (figure "screw_pull" of the
    workshop, on its nominal area). Held by friction: (8 / pi) mu F of the half force F, the
    integral of the cosine. A clamp whose bore does not fit presses on lines and crushes sooner.

    Examples
    --------
    >>> axial = Tube("pultruded", od="20 mm", wall="1 mm")
    >>> hooped = Tube("pull-wound", od="20 mm", wall="1 mm")
    >>> one, two = (split_clamp(t, length="20 mm", screw="4 mm") for t in (axial, hooped))
    >>> one.torque < two.torque
    True
    """
    single(tube, "split_clamp")
    wide = to_si(length, "length", what="length", where="split_clamp", positive=True)
    d = to_si(screw, "length", what="screw", where="split_clamp", positive=True)
    if kind not in CLAMPS:
        raise unknown_key("kind of clamp", kind, CLAMPS, "split_clamp:kind")
    if isinstance(screws, bool) or not isinstance(screws, int) or not 1 <= screws <= 100:
        raise InputError("is no number of screws", where="split_clamp:screws", got=screws,
                         expected="1 to 100")  # fmt: skip
    if d >= 2.0 * float(tube.sections.ro[0]):
        raise InputError("the screw is as thick as the tube", where="split_clamp:screw", got=screw,
                         expected="the diameter of a screw beside the tube")  # fmt: skip
    factor = to_si(factor, "number", what="factor", where="split_clamp")
    if factor < 1.0:
        raise InputError("a factor is 1 or more", where="split_clamp:factor", got=factor)
    mu = figure("friction_composite").low if friction is None else to_si(
        friction, "number", what="friction", where="split_clamp")  # fmt: skip
    if not 0.0 < mu <= 1.5:
        raise InputError("is no coefficient of friction", where="split_clamp:friction", got=mu,
                         expected="above 0, to 1.5")  # fmt: skip
    crack, dent = _bears(tube, Patch(wide, COSINE, opposed=True))
    wall = math.inf if plug else (crack if math.isnan(dent) else min(crack, dent)) / factor
    shared = screws * (2.0 if kind == "one slit" else 1.0)  # half force over the pull of a screw
    bolts = figure("screw_pull").value * math.pi * d**2 / 4.0 * shared
    force = wall if math.isnan(wall) else min(wall, bolts)
    pull = force / shared
    hold = _GRIP * mu * force
    od = 2.0 * float(tube.sections.ro[0])
    torque = figure("nut_factor").low * d * pull
    return Clamp(
        float(force), float(force) / (od * wide), float(torque), float(hold),
        float(hold) * od / 2.0, crack, dent, bolts,
        _clamp_why(tube, float(torque), "" if wall >= bolts else "cracks" if crack <= dent else
                   "dents", plug), tuple(_clamp_cautions(tube, plug)),
    )  # fmt: skip


def _clamp_why(tube: Tube, torque: float, first: str, plug: bool) -> str:
    """Sentence of the limit; `first` is what the wall does, "" where the screws yield before."""
    if math.isnan(torque):
        return "clamp limit not known: the ply strengths are not known"
    name = f"the screws yield before {tube.construction.name} takes harm" if not first else (
        f"{tube.construction.name} {first} first")  # fmt: skip
    if plug:
        name = "a tight plug holds the wall, so the screws set the limit"
    return Spoken(lambda s: (
        f"{name}: screws to {rough(torque, 'torque', s, 2)} at most (lubricated screws pull "
        "hardest, so their nut factor counts)"
    ))  # fmt: skip


def _clamp_cautions(tube: Tube, plug: bool) -> list[str]:
    out = [
        "bore the clamp with the tube's own diameter; deburr its edges",
        "friction and screw torque spread by a half either way: mark and watch for slip",
        "a screw is taken as stainless of usual strength: where its maker allows less torque, that "
        "counts",
    ]
    if plug:
        out.append("the plug itself is not looked at: one of wood or foam gives where one of metal "
                   "or solid laminate does not; a sealed plug needs a vent hole")  # fmt: skip
    if touching(tube, "aluminium"):
        out.append(
            "where the clamp is of aluminium: "
            + touching(tube, "aluminium", "a glass ply or a plastic shell between them")
        )
    if tube.construction.splits:
        out.append("an all-axial wall has only resin around it: a plug or hoop plies under a clamp")
    return out


__all__ = ["CLAMPS", "Clamp", "clamp_up", "split_clamp"]
