"""Which metal may touch what: pairs in dry, outdoor, marine and salt service, and ways out."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from tubecalc import datafiles
from tubecalc.environment_metal import metal_family
from tubecalc.errors import InputError, unknown_key
from tubecalc.laminate.construction import Construction, get_construction
from tubecalc.materials import Metal
from tubecalc.tube import Tube

if TYPE_CHECKING:
    import pandas as pd

ENVIRONMENTS = {"dry": "", "outdoor": "industrial", "marine": "marine", "salt": "seawater"}
GRADES = ("good", "fair", "poor", "no")
INSULATORS = ("glass", "plastic", "wood")
_CARBON = 28e6  # E over density above which a ply is carbon [m2/s2]; see environment_time
_STEPS = {  # steps between the groups -> grade in dry, outdoor, marine and salt service (own rule)
    0: ("good", "good", "good", "good"),
    1: ("good", "good", "fair", "fair"),
    2: ("good", "fair", "poor", "no"),
    3: ("fair", "poor", "no", "no"),
    4: ("fair", "no", "no", "no"),
}
_OTHER = {"aluminum": "aluminium", "graphite": "carbon", "carbon fibre": "carbon",
          "brass": "copper", "bronze": "copper", "iron": "steel", "mild steel": "steel",
          "stainless steel": "stainless", "zinc plate": "zinc", "galvanised": "zinc",
          "fibreglass": "glass", "nylon": "plastic", "acetal": "plastic"}  # fmt: skip
_FAMILIES = ("stainless", "aluminium", "titanium", "steel")


@dataclass(frozen=True)
class Couple:
    """Two materials in touch.

    one and two are the materials of the table; eaten names the one that corrodes, "" where none
    does; grade is good, fair, poor or no; level the protection level of the standard (1 most, 9
    least), 0 where it is not in the table; steps between the electromotive groups.
    """

    one: str
    two: str
    environment: str
    grade: str
    eaten: str
    level: int
    steps: int
    why: str
    measures: tuple[str, ...]
    source: str
    standing: str

    @property
    def barrier(self) -> bool:
        """Whether a barrier between them is needed."""
        return self.grade in ("poor", "no")


@cache
def _groups() -> dict[str, tuple[int, str]]:
    """Material -> number of its group, source."""
    order = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5}
    return {r["one"]: (order[r["value"]], r["source"]) for r in _rows("group")}


@cache
def _levels() -> dict[frozenset[str], dict[str, str]]:
    return {frozenset((r["one"], r["two"])): r for r in _rows("level")}


@cache
def _series() -> dict[str, int]:
    return {r["one"]: int(r["value"]) for r in _rows("series")}


def _rows(kind: str) -> list[dict[str, str]]:
    return [r for r in datafiles.rows("joining/galvanic.csv") if r["kind"] == kind]


def known_materials() -> list[str]:
    """Names that a pair may have besides keys of constructions and metals.

    Returns
    -------
    list of str

    Examples
    --------
    >>> "carbon" in known_materials(), "glass" in known_materials()
    (True, True)
    """
    return [*_groups(), *INSULATORS]


def ladder() -> list[tuple[str, ...]]:
    """Materials by electromotive group, the one that is eaten first, first.

    Returns
    -------
    list of tuple of str

    Examples
    --------
    >>> ladder()[0], ladder()[-1]
    (('magnesium',), ('carbon',))
    """
    groups = _groups()
    steps = sorted({g for g, _ in groups.values()})
    return [tuple(m for m, (g, _) in groups.items() if g == step) for step in steps]


def material_of(item: str | Tube | Construction | Metal) -> str:
    """Material of the table that a tube, construction, metal or name stands for.

    Parameters
    ----------
    item : str, Tube, Construction or Metal
        What touches.

    Returns
    -------
    str
        For example "carbon", "aluminium", "glass".

    Raises
    ------
    InputError
        For an unknown name, with the known ones.

    Examples
    --------
    >>> [material_of(x) for x in ("pultruded", "filament-wound", "6061-T6", "brass")]
    ['carbon', 'glass', 'aluminium', 'copper']
    """
    if isinstance(item, str):
        name = " ".join(item.lower().split())
        name = _OTHER.get(name, name)
        if name in known_materials():
            return name
    try:
        construction = item.construction if isinstance(item, Tube) else get_construction(item)
    except InputError:
        raise unknown_key("material of a pair", item, known_materials(), "galvanic") from None
    layers = (*construction.inner, *construction.fill, *construction.outer)
    values = [x.values for x in layers]
    if values[0].isotropic:
        family = metal_family(values[0])
        for material in _FAMILIES:
            if family.startswith(material):
                return material
        raise InputError(
            "the metal is of no known family", where="galvanic", got=construction.name,
            expected="one of " + ", ".join(known_materials()),
        )  # fmt: skip
    carbon = any(max(v.E1, v.E2) / v.density > _CARBON for v in values)
    return "carbon" if carbon else "glass"


def galvanic(
    one: str | Tube | Construction | Metal,
    two: str | Tube | Construction | Metal,
    environment: str = "outdoor",
) -> Couple:
    """Whether two materials may touch.

    Parameters
    ----------
    one, two : str, Tube, Construction or Metal
        A tube, a construction or metal key, or a material such as "carbon" or "zinc".
    environment : str
        "dry", "outdoor" (rain, town air), "marine" (sea air) or "salt" (wet with salt, sweat
        included).

    Returns
    -------
    Couple

    Raises
    ------
    InputError
        For an unknown material or environment.

    Notes
    -----
    Where MIL-STD-889C gives a protection level it decides: 1 and 2 no, 3 and 4 poor, 5 and 6 fair,
    above good; dry service is one grade milder than industrial air (own rules). Else the steps
    between the electromotive groups of Niu. Equal areas; a small anode on a large cathode is worse.

    Examples
    --------
    >>> found = galvanic("pultruded", "6061-T6", "salt")
    >>> found.grade, found.eaten, found.level
    ('no', 'aluminium', 1)
    >>> galvanic("pultruded", "304", "salt").grade
    'fair'
    """
    if environment not in ENVIRONMENTS:
        raise unknown_key("environment", environment, ENVIRONMENTS, "galvanic:environment")
    a, b = material_of(one), material_of(two)
    if a in INSULATORS or b in INSULATORS:
        said = f"{a if a in INSULATORS else b} does not conduct: no current flows"
        return Couple(a, b, environment, "good", "", 0, 0, said, (), "no current without a path",
                      "COMPUTED")  # fmt: skip
    (ga, source), (gb, _) = _groups()[a], _groups()[b]
    steps = abs(ga - gb)
    grade = _STEPS[steps][list(ENVIRONMENTS).index(environment)]
    row = _levels().get(frozenset((a, b)))
    level, standing = 0, "SEEN"
    if row is not None:
        source = row["source"]
        column = ENVIRONMENTS[environment] or "industrial"
        level = int(row[column])
        index = max(0, 3 - (level - 1) // 2 - (0 if ENVIRONMENTS[environment] else 1))
        grade = GRADES[index]
    eaten = _eaten(a, b)
    return Couple(a, b, environment, grade, eaten, level, steps, _why(a, b, environment, grade,
                  eaten, level, steps), _measures(a, b, grade), source, standing)  # fmt: skip


def _eaten(a: str, b: str) -> str:
    if a == b:
        return ""
    ga, gb = _groups()[a][0], _groups()[b][0]
    if ga != gb:
        return a if ga < gb else b
    sa, sb = _series().get(a), _series().get(b)
    return "" if sa is None or sb is None else a if sa < sb else b


_WORDS = {
    "good": "may touch", "fair": "may touch with care: seal the joint",
    "poor": "barrier needed", "no": "barrier needed: bare contact is ruled out",
}  # fmt: skip
_WHERE = {"dry": "kept dry", "outdoor": "in rain", "marine": "in sea air", "salt": "wet with salt"}


def _why(a: str, b: str, env: str, grade: str, eaten: str, level: int, steps: int) -> str:
    if a == b:
        return f"{a} on {a}: one material, no cell"
    said = f"{a} on {b} {_WHERE[env]}: {_WORDS[grade]}"
    if eaten and grade != "good":
        said += f"; the {eaten} is eaten"
    if level:
        column = ENVIRONMENTS[env] or "industrial"
        return f"{said} (MIL-STD-889C, protection level {level} of 9, 1 the most, {column})"
    return f"{said} ({steps} step{'' if steps == 1 else 's'} between the electromotive groups)"


def _measures(a: str, b: str, grade: str) -> tuple[str, ...]:
    """Ways out, the surest first; care only where care is enough."""
    rows = sorted(datafiles.rows("joining/isolation.csv"), key=lambda r: int(r["rank"]))
    if grade == "good":
        return ()
    skip = set() if grade in ("poor", "no") else {"glass", "adhesive", "metal", "anodise"}
    if "carbon" not in (a, b):
        skip.add("metal")
    if "aluminium" not in (a, b):
        skip.add("anodise")
    return tuple(r["text"] for r in rows if r["key"] not in skip)


def touching(one: Any, two: Any, apart: str = "a glass ply or sleeve between them") -> str:
    """What to mind where two parts of a joint touch in the wet.

    Parameters
    ----------
    one, two : str, Tube, Construction or Metal
        See `galvanic`.
    apart : str
        What can keep them apart in this joint.

    Returns
    -------
    str
        A sentence, "" where no current flows or a material is of no known family.

    Examples
    --------
    >>> touching("pultruded", "6061-T6")[:62]
    'carbon on aluminium corrodes where it is wet or salty: the alu'
    >>> touching("pultruded", "304")
    'carbon on stainless is a sound pair; seal the ends against water all the same'
    >>> touching("filament-wound", "304")
    ''
    """
    try:
        found = galvanic(one, two, "salt")
    except InputError:
        return ""
    if not found.eaten or found.grade == "good":
        return ""
    pair = f"{found.one} on {found.two}"
    if not found.barrier:
        return f"{pair} is a sound pair; seal the ends against water all the same"
    said = f"{pair} corrodes where it is wet or salty: the {found.eaten} is eaten; {apart}"
    said += " all round, or titanium or stainless instead" if "carbon" in pair else " all round"
    said += "; sealed against water, taken apart and rinsed regularly"
    return said + ("; anodising only slows it" if "aluminium" in pair else "")


def galvanic_table(environment: str = "outdoor") -> pd.DataFrame:
    """Every pair in one environment.

    Parameters
    ----------
    environment : str
        See `galvanic`.

    Returns
    -------
    pandas.DataFrame
        Grades, one row and one column a material.

    Examples
    --------
    >>> table = galvanic_table("salt")
    >>> str(table.loc["carbon", "titanium"]), str(table.loc["carbon", "aluminium"])
    ('fair', 'no')
    """
    import pandas as pd

    names = list(_groups())
    return pd.DataFrame(
        [[galvanic(a, b, environment).grade for b in names] for a in names],
        index=names, columns=names,
    )  # fmt: skip


__all__ = ["ENVIRONMENTS", "GRADES", "Couple", "galvanic", "galvanic_table", "known_materials",
           "ladder", "material_of", "touching"]  # fmt: skip
