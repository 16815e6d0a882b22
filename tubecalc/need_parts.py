"""Parts of a need: case, limits, service, factors; values in SI, NaN where not given."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from tubecalc.errors import InputError

FORMAT = 1
NAN = math.nan
KINDS: dict[str, tuple[str, ...]] = {  # kind -> fields it must have
    "strut": ("load", "span"),
    "three-point": ("load", "span"),
    "four-point": ("load", "span"),
    "uniform": ("load", "span"),
    "cantilever": ("load", "span"),
    "shaft": ("torque",),
    "pressure": (),
    "combined": (),
}
ENDS = {
    "pinned-pinned": 1.0, "fixed-fixed": 0.5, "fixed-pinned": 0.6992, "fixed-free": 2.0,
}  # effective length factors of elastic stability, tan x = x for fixed-pinned  # fmt: skip
END_FITTINGS = ("bonded", "plain")
DURATIONS = ("short", "long", "cyclic")
FINISHES = ("any", "smooth", "woven")
TOUCHES = ("roller", "saddle", "clamp", "bolt")  # how a load enters the wall at a point
HOLE_PLACES = ("face", "side")  # in the plane of bending (worst), or at its neutral axis


@dataclass(frozen=True)
class Case:
    """One load case in SI; NaN where a value is not given.

    Strut: + load is tension, - compression. Four-point and uniform: load is the total. A number
    of equally spaced guides along a strut divides its free length. A tip mass counts in the
    frequency; its weight is not added to the load. On a shaft it is the coupling mass at the free
    end of the overhang beyond the second bearing. Pressure: span is the length between rigid rings
    or ends, not given for a long tube; closed ends carry the thrust of the pressure. Load points:
    roller_width is the length of the roller, saddle or clamp along the tube, saddle_angle what a
    saddle embraces; a hole goes through both walls, its edge distance from its centre to the end
    of the tube; a plug is a tight core under the load points.
    """

    kind: str
    name: str = ""
    load: float = NAN
    span: float = NAN
    ends: str | float = "pinned-pinned"
    guides: int = 0
    inner_span: float = NAN
    tip_mass: float = 0.0
    roller_width: float = 0.0
    torque: float = NAN
    speed: float = NAN
    axial: float = 0.0
    moment: float = 0.0
    shear: float = 0.0
    end_fitting: str = "bonded"
    duration: str = "short"
    p_in: float = NAN
    p_out: float = NAN
    closed: bool = True
    overhang: float = 0.0
    own_weight: bool = False
    touch: str = "roller"
    saddle_angle: float = math.radians(120.0)
    hole: float = NAN
    hole_place: str = "face"
    edge_distance: float = NAN
    plug: bool = False
    cycles: float = NAN

    @property
    def end_factor(self) -> float:
        """Effective length over length between guides [-]."""
        factor = ENDS[self.ends] if isinstance(self.ends, str) else float(self.ends)
        return factor / (self.guides + 1)


@dataclass(frozen=True)
class Limits:
    """What must not be exceeded, in SI; NaN where there is no limit."""

    deflection: float = NAN
    slope: float = NAN
    twist: float = NAN
    mass: float = NAN
    od_max: float = NAN
    id_min: float = NAN
    frequency_min: float = NAN
    bend_radius: float = NAN
    expansion: float = NAN


@dataclass(frozen=True)
class Service:
    """What the tube must put up with; temperatures in degC.

    insert is the key of a metal bonded in the bore; wet means saturated with moisture.
    """

    temperature: float = NAN
    temperature_min: float = NAN
    sliding: bool = False
    thread: bool = False
    weld: bool = False
    form: bool = False
    insulating: bool = False
    outdoor: bool = False
    salt: bool = False
    radio: bool = False
    contact_metal: str = ""
    finish: str = "any"
    insert: str = ""
    wet: bool = False


@dataclass(frozen=True)
class Factors:
    """Factors on the demand and knock-downs on the capacity; all are shown, none is hidden.

    strength and buckling multiply the load; sustained and fatigue multiply the strength of cases
    of long or cyclic duration, 0 meaning the published value of each material; bow is the
    out-of-straightness of a strut over its length (0.002: EN 10210-2 straightness); shell
    multiplies local buckling loads, 0 meaning the cautious bound of NASA SP-8007; criterion judges
    the first damage of a ply; bench holds what own tests leave of a promised load, for a wall and a
    check each, or of its EI or GJ ("roll-wrapped strength 0.87; pultruded EI 0.9").
    """

    strength: float = 1.0
    buckling: float = 1.0
    sustained: float = 1.0
    fatigue: float = 1.0
    bow: float = 0.002
    shell: float = 0.0
    criterion: str = "hashin"
    bench: str = ""


@lru_cache(maxsize=64)
def bench_shares(
    text: str, where: str = "need:factors:bench"
) -> tuple[tuple[str, str, float], ...]:
    """What own tests leave of promised loads.

    Parameters
    ----------
    text : str
        "WALL CHECK SHARE; ...".
    where : str
        Place to name.

    Returns
    -------
    tuple of (wall, check, share)
        Keys, and a share above 0 up to 1 [-].

    Raises
    ------
    InputError
        Naming the piece that cannot be read, or a share that would relax a need.

    Examples
    --------
    >>> bench_shares("pultruded crush 0.75; own wall strength 0.9")
    (('pultruded', 'crush', 0.75), ('own wall', 'strength', 0.9))
    """
    out = []
    for piece in filter(None, (p.strip() for p in text.split(";"))):
        parts = piece.rsplit(None, 2)
        try:
            share = float(parts[2])
        except (IndexError, ValueError):
            share = math.nan
        if not 0.0 < share <= 1.0:
            raise InputError(
                "is not what tests leave of a promised load", where=where, got=piece[:80],
                expected='wall, check and a share up to 1: "pultruded crush 0.75"',
            )  # fmt: skip
        out.append((parts[0].strip(), parts[1], share))
    return tuple(out)


def none_for_nan(value: object) -> object:
    """NaN as None, so that two values not given compare equal."""
    return None if isinstance(value, float) and math.isnan(value) else value
