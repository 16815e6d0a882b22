"""What a search for own stacks chooses from: plies at angles, rules, sets of plies, sizes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tubecalc.errors import InputError, unknown_key
from tubecalc.laminate.elastic import Array, Bools, Ints
from tubecalc.laminate.layer import Layer
from tubecalc.materials import Metal, Ply, find_key, get_ply, is_metal

Words = NDArray[np.uint8]  # stacks: numbers of plies, inside to outside
Counts = NDArray[np.int16]  # sets: how many of each ply
MOST_PLIES = 60  # beyond it nobody rolls a wall ply by ply (own rule)
MOST_ANGLES, MOST_SIZES = 40, 200
MOST_SETS = 300_000  # sets of plies, times sizes, that are listed one by one
HOOP = 80.0  # degrees from the axis from which a ply counts as hoop (own rule)


@dataclass(frozen=True)
class Rules:
    """What a stack must obey.

    Parameters
    ----------
    balanced : bool
        As many plies at +a as at -a of each material; cloth at 45 degrees is balanced by itself.
    hoop_inside, hoop_outside : bool
        The innermost, the outermost ply is a hoop ply: at 80 degrees or more from the axis, or
        cloth within 10 degrees of the axis or the hoop, half of whose fibres go round.
    most_together : int
        Most equal plies next to each other; 0 for any number.
    outer_woven : bool
        The outermost ply is cloth.
    symmetric : bool
        The stack reads the same from inside and from outside.
    least_plies : int
        Fewest plies.

    Examples
    --------
    >>> Rules(most_together=3).balanced
    True
    """

    balanced: bool = True
    hoop_inside: bool = False
    hoop_outside: bool = False
    most_together: int = 0
    outer_woven: bool = False
    symmetric: bool = False
    least_plies: int = 1


def read_rules(rules: Rules | Mapping[str, Any] | None) -> Rules:
    """Rules from themselves or from a table of their fields.

    Raises
    ------
    InputError
        For an unknown field, or a value that is not of its kind.
    """
    if rules is None:
        return Rules()
    if isinstance(rules, Rules):
        rules = vars(rules)
    if not isinstance(rules, Mapping):
        raise InputError("must be Rules or a table", where="rules", got=type(rules).__name__)
    known = {f.name: f for f in fields(Rules)}
    for name, value in rules.items():
        if name not in known:
            raise unknown_key("rule", name, known, "rules")
        whole = name in ("most_together", "least_plies")
        if isinstance(value, bool | np.bool_) == whole or (
            whole and (not isinstance(value, int) or value < 0)
        ):
            raise InputError(
                "is not of its kind", where=f"rules:{name}", got=repr(value)[:60],
                expected="a whole number, 0 or more" if whole else "true or false",
            )  # fmt: skip
    return Rules(**rules)


@dataclass(frozen=True)
class Space:
    """K plies at angles, what one adds at a time, the rules and the sizes."""

    letters: tuple[Layer, ...]
    units: Ints  # (U, K): plies that come together, a ply alone or a pair at +a and -a
    rules: Rules
    most_plies: int
    sizes: Array  # bores, or outside diameters [m]
    bores: bool
    price: Array  # (K,) cost per kg
    first: Bools  # (K,) may be the innermost
    last: Bools  # (K,) may be the outermost

    @property
    def thickness(self) -> Array:
        """Thickness of each ply, (K,) [m]."""
        return np.array([x.thickness for x in self.letters])

    @property
    def K(self) -> int:
        """How many plies at angles there are."""
        return len(self.letters)

    @property
    def mirror(self) -> Ints:
        """Ply at -a for each ply at +a and the other way round, (K,)."""
        place = {(x.key, x.angle): k for k, x in enumerate(self.letters)}
        return np.array([place.get((x.key, -x.angle), k) for k, x in enumerate(self.letters)])

    def bore_radius(self, size: Ints, wall: Array) -> Array:
        """Radius of the bore of walls of some thickness at some of the sizes [m]."""
        half = self.sizes[size] / 2
        return half if self.bores else half - wall


def _plies(plies: Any) -> list[tuple[str | Ply, list[Any] | None]]:
    """Pairs of material and the angles it alone may have."""
    if isinstance(plies, str | Ply):
        plies = [plies]
    if not isinstance(plies, Sequence) or not len(plies):
        raise InputError("no ply is given", where="plies", expected='keys such as "carbon-sm-ud"')
    out: list[tuple[str | Ply, list[Any] | None]] = []
    for item in plies:
        material, own = item if isinstance(item, tuple) and len(item) == 2 else (item, None)
        if own is not None and (isinstance(own, str) or not isinstance(own, Sequence)):
            own = [own]
        if isinstance(material, Metal) or (isinstance(material, str) and is_metal(material)):
            raise InputError(
                "a metal is no ply of a stack", where="plies", got=str(material)[:60],
                expected="plies only; metals are compared by a sweep",
            )  # fmt: skip
        if not isinstance(material, str | Ply):
            raise InputError("is not a ply", where="plies", got=repr(material)[:60])
        out.append((material, None if own is None else list(own)))
    return out


def _angles(given: Any, where: str) -> list[float]:
    """Angles from 0 to 90 degrees without repeats."""
    if isinstance(given, int | float):
        given = [given]
    if isinstance(given, str) or not len(given):
        raise InputError("no angle is given", where=where, expected="degrees such as [0, 45, 90]")
    if len(given) > MOST_ANGLES:
        raise InputError("there are too many angles", where=where, got=len(given),
                         expected=f"at most {MOST_ANGLES}")  # fmt: skip
    out: list[float] = []
    for value in given:
        try:
            angle = abs(float(value))
        except (TypeError, ValueError):
            angle = math.nan
        if not angle <= 90.0 or isinstance(value, bool):
            raise InputError(
                "angle is out of range", where=where, got=str(value)[:40],
                expected="-90 to 90 degrees from the axis",
            )  # fmt: skip
        if angle not in out:
            out.append(angle)
    return out


def _letter(material: str | Ply, angle: float) -> Layer:
    ply = material if isinstance(material, Ply) else get_ply(material)
    key = material.key if isinstance(material, Ply) else find_key(material)
    if not ply.si.thickness > 0:
        raise InputError("ply thickness is missing", where=f"plies:{key}")
    return Layer(ply.si, angle, ply.si.thickness, 1, key)


def _both_ways(values: Any, angle: float) -> bool:
    """Whether a ply at -a differs from one at +a."""
    return 0.0 < angle < 90.0 and not (values.woven and abs(angle - 45.0) < 1e-9)


def _is_hoop(letter: Layer) -> bool:
    angle = abs(letter.angle)
    return angle >= HOOP or (letter.values.woven and angle <= 90.0 - HOOP)


def _prices(cost: Mapping[str, Any] | None, keys: Sequence[str]) -> Array:
    """Cost per kg of each ply; NaN where nothing is given at all."""
    if cost is None:
        return np.full(len(keys), math.nan)
    if not isinstance(cost, Mapping):
        raise InputError("must be a table", where="cost", expected='{"carbon-sm-ud": 60.0}')
    for key, value in cost.items():
        if key not in keys:
            raise unknown_key("ply", key, sorted(set(keys)), "cost")
        fine = isinstance(value, int | float) and not isinstance(value, bool)
        if not fine or not 0.0 <= value < math.inf:
            raise InputError("is not a cost per kg", where=f"cost:{key}", got=repr(value)[:40],
                             expected="a number, 0 or more")  # fmt: skip
    missing = [k for k in dict.fromkeys(keys) if k not in cost]
    if missing:
        raise InputError("has no cost", where=f"cost:{missing[0]}", expected="a cost per kg")
    return np.array([float(cost[k]) for k in keys])


def make_space(
    plies: Any, angles: Any, most_plies: Any, rules: Any, cost: Any, sizes: Array, *, bores: bool
) -> Space:
    """Space of a search; see `tubecalc.layup_search.search_layup` for the arguments.

    Raises
    ------
    InputError
        Naming the argument that cannot be used and the likely cause.
    """
    rules = read_rules(rules)
    if isinstance(most_plies, bool) or not isinstance(most_plies, int) or not (
        1 <= most_plies <= MOST_PLIES
    ):  # fmt: skip
        raise InputError(
            "is no number of plies that one rolls", where="most_plies", got=str(most_plies)[:40],
            expected=f"a whole number from 1 to {MOST_PLIES}",
        )  # fmt: skip
    if rules.least_plies > most_plies:
        raise InputError("is above most_plies", where="rules:least_plies", got=rules.least_plies,
                         expected=f"at most {most_plies}")  # fmt: skip
    if len(sizes) > MOST_SIZES:
        raise InputError("there are too many sizes", where="mandrels" if bores else "od",
                         got=len(sizes), expected=f"at most {MOST_SIZES}")  # fmt: skip
    letters: list[Layer] = []
    units: list[list[int]] = []
    for material, own in _plies(plies):
        for angle in _angles(angles if own is None else own, "angles"):
            one = _letter(material, angle)
            if any(x.key == one.key and x.angle == angle for x in letters):
                continue
            at = [len(letters)]
            letters.append(one)
            if _both_ways(one.values, angle):
                at.append(len(letters))
                letters.append(_letter(material, -angle))
            units += [at] if rules.balanced else [[k] for k in at]
    return _space(letters, units, rules, most_plies, cost, sizes, bores)


def _space(
    letters: list[Layer], units: list[list[int]], rules: Rules, most_plies: int, cost: Any,
    sizes: Array, bores: bool,
) -> Space:  # fmt: skip
    hoop = np.array([_is_hoop(x) for x in letters])
    woven = np.array([x.values.woven for x in letters])
    every = np.ones(len(letters), bool)
    first = hoop if rules.hoop_inside else every
    last = (hoop if rules.hoop_outside else every) & (woven if rules.outer_woven else every)
    if rules.symmetric:
        first = last = first & last
    for may, where, place in ((first, "hoop_inside", "in"), (last, "hoop_outside", "out")):
        if not may.any():
            cause = (
                "outer_woven asks for cloth" if rules.outer_woven and place == "out" else
                f"a hoop ply is one at {HOOP:g} degrees or more, or cloth at 0 or 90"
            )  # fmt: skip
            raise InputError(
                f"no ply of the list may be the {place}nermost".replace("outnermost", "outermost"),
                where=f"rules:{where}",
                expected=f"such a ply among plies and angles: {cause}",
            )
    table = np.zeros((len(units), len(letters)), np.intp)
    for row, at in enumerate(units):
        table[row, at] = 1
    if table.sum(axis=1).min() > most_plies:
        raise InputError(
            "is fewer than the plies that must come together", where="most_plies", got=most_plies,
            expected="2 or more, as a ply at +a needs one at -a",
        )  # fmt: skip
    price = _prices(cost, [x.key for x in letters])
    return Space(
        tuple(letters), table, rules, most_plies, np.unique(sizes), bores, price, first, last
    )


def number_of_sets(space: Space) -> int:
    """How many sets of plies there are before the rules on order and symmetry."""
    ways = np.zeros(space.most_plies + 1, object)
    ways[0] = 1
    for size in space.units.sum(axis=1).tolist():
        for n in range(size, space.most_plies + 1):
            ways[n] += ways[n - size]
    return int(sum(ways[1:]))


def _kept(space: Space, counts: Counts) -> Bools:
    """Which sets of plies obey the rules that do not depend on order."""
    total = counts.sum(axis=1)
    ok = (total >= max(space.rules.least_plies, 1)) & (total <= space.most_plies)
    ok &= (counts[:, space.first].sum(axis=1) > 0) & (counts[:, space.last].sum(axis=1) > 0)
    if space.rules.symmetric:
        ok &= (counts % 2).sum(axis=1) <= 1
    return np.asarray(ok)


def all_sets(space: Space) -> Counts:
    """Every set of plies, counts (C, K)."""
    counts = np.zeros((1, len(space.letters)), np.int16)
    for unit in space.units:
        size = int(unit.sum())
        more = [counts]
        for n in range(1, space.most_plies // size + 1):
            room = counts.sum(axis=1) + n * size <= space.most_plies
            more.append(counts[room] + (n * unit).astype(np.int16))
        counts = np.concatenate(more)
    return counts[_kept(space, counts)]


def grown_sets(space: Space, worth: Any, width: int) -> Iterator[Counts]:
    """Sets of plies found by adding one unit at a time to the best, (C, K) at a time.

    Parameters
    ----------
    space : Space
        The space.
    worth : callable
        Sets (C, K) -> figure (C,), the greater the better.
    width : int
        How many are kept at each step.

    Yields
    ------
    numpy.ndarray
        The sets kept that obey the rules.
    """
    counts = np.zeros((1, len(space.letters)), np.int16)
    while len(counts):
        grown = np.concatenate([counts + unit.astype(np.int16) for unit in space.units])
        grown = np.unique(grown[grown.sum(axis=1) <= space.most_plies], axis=0)
        if not len(grown):
            return
        best = np.argsort(-worth(grown), kind="stable")[:width]
        counts = grown[best]
        yield counts[_kept(space, counts)]
