"""Plies seen in a burnt sample: the stack they make, and whether the weights agree."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

import numpy as np
from numpy.typing import ArrayLike

from tubecalc.errors import InputError, unknown_key
from tubecalc.laminate.burn_balance import balance
from tubecalc.laminate.cloth import crimp_of
from tubecalc.laminate.constituents import Fibre, Resin
from tubecalc.laminate.elastic import (
    Array,
    Ints,
    free_thermal_strain,
    reduced_stiffness,
    rotated_stiffness,
)
from tubecalc.laminate.made_ply import constants_of
from tubecalc.laminate.micro_ply import Mix, mix
from tubecalc.laminate.notation import MOST_PLIES
from tubecalc.units import to_si

T = TypeVar("T")
FIELDS = ("weave", "areal_weight", "angle", "count", "thickness", "crimp")
AREAL_ERROR = 0.03  # standard uncertainty of an areal weight, as a share (common practice)
TUBE_FIGURES = ("mass_per_length", "EA", "EI", "GJ")
GAPS = ("wall_gap", "fibre_gap")


@dataclass(frozen=True)
class Seen:
    """One kind of ply as seen after burning, inside to outside."""

    weave: str
    angles: tuple[float, ...]  # one, or the two of a wound pair
    count: int
    areal_weight: float  # fibre per area, both directions together [kg/m2]; NaN if not known
    thickness: float  # of the cured ply [m]; NaN if not known
    crimp: float


def _angles(value: Any, where: str) -> tuple[float, ...]:
    """Angle, or the two of a pair written with both signs: "+/-55"."""
    text = str(value).strip().replace("±", "+/-").replace("\N{MINUS SIGN}", "-").removesuffix("°")
    pair = text.startswith("+/-")
    try:
        angle = float(text.removeprefix("+/-"))
    except ValueError:
        angle = math.nan
    if math.isnan(angle):
        raise InputError("angle is not a number", where=where, got=str(value),
                         expected='degrees from the axis, or a pair "+/-55"')  # fmt: skip
    if abs(angle) > 90.0:
        raise InputError("angle is out of range", where=where, got=str(value),
                         expected="-90 to 90 degrees")  # fmt: skip
    return (abs(angle), -abs(angle)) if pair else (angle,)


def _one(item: Any, number: int) -> Seen:
    where = f"seen:ply {number}"
    if not isinstance(item, Mapping):
        raise InputError("a seen ply is a table", where=where, got=type(item).__name__,
                         expected=", ".join(FIELDS))  # fmt: skip
    for name in item:
        if name not in FIELDS:
            raise unknown_key("field", name, FIELDS, where)
    weave = str(item.get("weave", "ud"))
    usual = crimp_of(weave)
    count = item.get("count", 1)
    if isinstance(count, bool) or not isinstance(count, int) or count < 1:
        raise InputError("count is no number of plies", where=where, got=str(count),
                         expected="1 or more")  # fmt: skip
    sizes = {}
    for name, kind in (("areal_weight", "areal_weight"), ("thickness", "length")):
        given = item.get(name)
        sizes[name] = (
            math.nan if given is None else to_si(given, kind, what=name, where=where, positive=True)
        )
    if all(math.isnan(v) for v in sizes.values()):
        raise InputError("a seen ply needs its areal weight or its thickness", where=where)
    if "angle" not in item:
        raise InputError("angle is missing", where=where, expected="degrees from the axis")
    c = item.get("crimp")
    crimp = usual if c is None else to_si(c, "ratio", what="crimp", where=where, positive=True)
    return Seen(weave, _angles(item["angle"], where), count, sizes["areal_weight"],
                sizes["thickness"], crimp)  # fmt: skip


def read_seen(seen: Sequence[Mapping[str, Any]]) -> list[Seen]:
    """Plies as they were seen, from tables of weave, areal weight, angle and count.

    Parameters
    ----------
    seen : sequence of mapping
        Inside to outside; each with angle (degrees, or "+/-55" for a wound pair that shares the
        areal weight), areal_weight of the fibre or thickness, and optionally weave ("ud", "plain",
        "twill", "satin"), count and crimp.

    Returns
    -------
    list of Seen

    Raises
    ------
    InputError
        Naming the ply that cannot be used; also for none and for thousands.

    Examples
    --------
    >>> plies = read_seen([{"areal_weight": "300 g/m2", "angle": 0, "count": 4}])
    >>> plies[0].count, plies[0].weave
    (4, 'ud')
    """
    if isinstance(seen, str | Mapping) or not isinstance(seen, Sequence):
        raise InputError("is a list of plies", where="seen", got=type(seen).__name__)
    if not seen:
        raise InputError("a stack needs at least one ply", where="seen", got="none")
    out = [_one(item, n) for n, item in enumerate(seen, start=1)]
    plies = sum(s.count * len(s.angles) for s in out)
    if plies > MOST_PLIES:
        raise InputError("more plies than a wall has", where="seen", got=str(plies),
                         expected=f"at most {MOST_PLIES}")  # fmt: skip
    return out


@dataclass(frozen=True)
class Wall:
    """The seen plies one by one, and what is needed to compute with them as arrays."""

    seen: tuple[Seen, ...]
    fibre: Fibre
    resin: Resin
    od: float = math.nan  # where the tube is held: outside, else inside diameter [m]
    id: float = math.nan
    area: float = math.nan  # of a flat sample [m2]
    measured: float = math.nan  # thickness of a flat sample [m]
    of: Ints = field(init=False)  # number of the seen ply, per ply
    angles: Array = field(init=False)  # [deg], per ply
    part: Array = field(init=False)  # share of the areal weight, per ply

    def __post_init__(self) -> None:
        rows = [(i, a, 1.0 / len(s.angles)) for i, s in enumerate(self.seen)
                for _ in range(s.count) for a in s.angles]  # fmt: skip
        object.__setattr__(self, "of", np.array([r[0] for r in rows], np.intp))
        object.__setattr__(self, "angles", np.array([r[1] for r in rows]))
        object.__setattr__(self, "part", np.array([r[2] for r in rows]))

    def each(self, make: Callable[[Seen], T]) -> list[T]:
        """What each seen ply gives; cloths of one weave and crimp are made once."""
        made = {(s.weave, s.crimp): s for s in self.seen}
        kept = {key: make(s) for key, s in made.items()}
        return [kept[s.weave, s.crimp] for s in self.seen]

    def thickness(self, areal: Array, rho_f: Array, vf: Array) -> Array:
        """Thickness of every ply for many mixtures, shape (K, n) [m]."""
        own = np.array([s.thickness for s in self.seen])
        faw = np.array([s.areal_weight for s in self.seen])
        made = faw * areal[:, None] / (rho_f * vf)[:, None]
        t = np.where(np.isnan(faw), own, made)
        return np.asarray(t[:, self.of] * self.part)

    def radii(self, t: Array, x: Mapping[str, Array]) -> Array:
        """Radii of the ply faces, inside first, shape (K, n + 1) [m]; NaN without a diameter."""
        total = t.sum(axis=1)
        outer = np.asarray(x.get("od", np.full_like(total, self.od))) / 2.0
        inner = np.where(np.isnan(outer), self.id / 2.0, outer - total)
        return np.concatenate([inner[:, None], inner[:, None] + np.cumsum(t, axis=1)], axis=1)


def inputs_of(wall: Wall, x: Mapping[str, float]) -> dict[str, float]:
    """Inputs of the figures: those of the burn-off, and scales of what is taken as known."""
    return {**x, "areal_weights": 1.0, "fibre_modulus": 1.0, "resin_modulus": 1.0}


def mixture_of(wall: Wall, v: Mapping[str, Array]) -> tuple[Mix, Array]:
    """Mixture in the wall for many inputs, and the fibre's share of the volume."""
    found = balance({k: a for k, a in v.items() if not k.endswith(("weights", "modulus"))})
    vf = np.asarray(found["fibre_volume_fraction"])
    voids = np.nan_to_num(np.maximum(found["void_fraction"], 0.0))
    m = mix(wall.fibre, wall.resin, vf, voids)
    m = m._replace(
        E1f=wall.fibre.E1 * v["fibre_modulus"], Em=wall.resin.E * v["resin_modulus"],
        rhof=v["fibre_density"], rhom=v["resin_density"],
    )  # fmt: skip
    return m, vf


def _sheets(wall: Wall, plies: Sequence[Mapping[str, Array]]) -> tuple[Ints, Array, Array]:
    """Distinct (seen ply, angle) pairs: index per ply, stiffness (K, S, 3, 3), expansion."""
    keys = [(int(i), float(a)) for i, a in zip(wall.of, wall.angles, strict=True)]
    place = {key: n for n, key in enumerate(dict.fromkeys(keys))}
    q, grow = [], []
    for i, angle in place:
        p = plies[i]
        turn = math.radians(angle)
        q.append(rotated_stiffness(reduced_stiffness(p["E1"], p["E2"], p["G12"], p["nu12"]), turn))
        grow.append(free_thermal_strain(p["alpha1"], p["alpha2"], turn))
    return np.array([place[k] for k in keys], np.intp), np.stack(q, axis=1), np.stack(grow, axis=1)


def _gathered(index: Ints, count: int, weight: Array) -> Array:
    """Weights of the plies summed over those that are alike, shape (K, S)."""
    out = np.zeros((weight.shape[0], count))
    np.add.at(out.T, index, weight.T)
    return out


def figures(
    wall: Wall, v: Mapping[str, ArrayLike], ends: Sequence[Mapping[str, Array]] | None = None
) -> dict[str, Array]:
    """Figures of the wall and the tube for many inputs at once, and the gaps of the cross-checks.

    Parameters
    ----------
    wall : Wall
        The seen plies.
    v : mapping of str to array_like
        Inputs of `inputs_of`, all of one length K [SI].
    ends : sequence of mapping, optional
        Constants of each seen ply instead of those of the nearest method.

    Returns
    -------
    dict of str to numpy.ndarray
        wall, Ex, Ehoop, Gxy, nuxy, alpha_x, density; mass_per_length, EA, EI, GJ; wall_gap and
        fibre_gap (seen less measured) [SI]; NaN where a size is missing.

    Notes
    -----
    Layers are strained alike, weighed with their radius; meant for how figures move, not for the
    figures of a thick wall themselves.
    """
    x = {k: np.atleast_1d(np.asarray(a, float)) for k, a in v.items()}
    m, vf = mixture_of(wall, x)
    plies = ends or wall.each(lambda s: constants_of(m, s.weave, s.crimp))
    t = wall.thickness(x["areal_weights"], x["fibre_density"], vf)
    index, q, grow = _sheets(wall, plies)
    rho = np.stack([np.broadcast_to(p["density"], vf.shape) for p in plies], axis=1)[:, wall.of]
    count, total = q.shape[1], t.sum(axis=1)
    flat = _gathered(index, count, t)
    a = np.einsum("ks,ksij->kij", flat, q)
    c = np.linalg.inv(a)
    pull = np.einsum("ks,ksij,ksj->ki", flat, q, grow)
    r = wall.radii(t, x)
    out = {
        "wall": total, "Ex": 1.0 / (c[:, 0, 0] * total), "Ehoop": 1.0 / (c[:, 1, 1] * total),
        "Gxy": 1.0 / (c[:, 2, 2] * total), "nuxy": -c[:, 0, 1] / c[:, 0, 0],
        "alpha_x": np.einsum("ki,ki->k", c[:, 0, :], pull),
        "density": (rho * t).sum(axis=1) / total,
        "mass_per_length": np.pi * (rho * (r[:, 1:] ** 2 - r[:, :-1] ** 2)).sum(axis=1),
    }  # fmt: skip
    for name, power, entry, times in (("EA", 2, 0, 2.0), ("EI", 4, 0, 1.0), ("GJ", 4, 2, 2.0)):
        weight = times * np.pi * (r[:, 1:] ** power - r[:, :-1] ** power) / power
        if np.isnan(weight).any():
            out[name] = np.full_like(total, np.nan)
            continue
        whole = np.einsum("ks,ksij->kij", _gathered(index, count, weight), q)
        out[name] = 1.0 / np.linalg.inv(whole)[:, entry, entry]
    return out | _gaps(wall, x, t, r, total)


def _gaps(wall: Wall, x: Mapping[str, Array], t: Array, r: Array, total: Array) -> dict[str, Array]:
    """Seen thickness and fibre less the measured ones."""
    bore = x["od"] - 2.0 * x["wall"] if "wall" in x else x.get("id")
    measured = (x["od"] - bore) / 2.0 if bore is not None else np.full_like(total, wall.measured)
    faw = np.array([s.areal_weight for s in wall.seen])[wall.of] * wall.part
    areal = faw * x["areal_weights"][:, None]
    if "length" in x:
        seen = (areal * np.pi * (r[:, 1:] + r[:, :-1])).sum(axis=1) * x["length"]
    else:
        seen = areal.sum(axis=1) * wall.area
    return {
        "wall_gap": np.asarray(total - measured),
        "fibre_gap": np.asarray(seen - balance_mass(x)),
    }


def balance_mass(x: Mapping[str, Array]) -> Array:
    """Fibre in the sample, for many inputs [kg]."""
    found = balance({k: a for k, a in x.items() if not k.endswith(("weights", "modulus"))})
    return np.asarray(found["fibre_mass"])
