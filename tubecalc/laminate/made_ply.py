"""A ply made from fibre, resin and fibre content, with the band between the methods."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.errors import InputError, unknown_key
from tubecalc.laminate.cloth import crimp_of, crossed, cured_thickness, fibre_areal_weight
from tubecalc.laminate.constituents import Fibre, Resin, get_fibre, get_resin
from tubecalc.laminate.content import packed, share
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.micro_ply import (
    EXPECTED_ERROR,
    METHODS,
    SOURCES,
    STRENGTH,
    Mix,
    band,
    every_method,
    mix,
    ply_constants,
)
from tubecalc.laminate.micromechanics import fibre_share
from tubecalc.materials import Ply
from tubecalc.unit_words import Spoken, rough, worded
from tubecalc.units import to_si

if TYPE_CHECKING:
    import pandas as pd

NAN = math.nan
CRIMP_ERROR = 0.05  # by how much a crimp factor may be off (common practice, no source)
CLOTH_ERROR = 0.9  # of the tensile strength of cloth, after the woven plies of data/materials
MISMATCH = 0.10  # thickness against areal weight beyond which the two do not belong together
_UNIT = {"density": ("g/cm3", 1e-3), "nu12": ("-", 1.0), "nu23": ("-", 1.0)}


def _unit(name: str) -> tuple[str, float]:
    """Display unit of a constant and the factor from SI."""
    if name in _UNIT:
        return _UNIT[name]
    if name.startswith("alpha"):
        return "1e-6/K", 1e6
    return ("MPa", 1e-6) if name in STRENGTH else ("GPa", 1e-9)


def constants_of(
    m: Mix, weave: str = "ud", crimp: float = 1.0, warp: float = 0.5, method: str = "nearest"
) -> dict[str, Array]:
    """Constants of a straight or woven ply, as arrays over many mixtures.

    Parameters
    ----------
    m : Mix
        Fibre, resin and shares.
    weave : str
        "ud", "plain", "twill" or "satin".
    crimp, warp : float
        As in `crossed`; not used for "ud".
    method : str
        As in `ply_constants`.

    Returns
    -------
    dict of str to numpy.ndarray
    """
    straight = ply_constants(m, method)
    return straight if weave == "ud" else crossed(straight, crimp, warp)


def band_of(
    m: Mix,
    weave: str,
    crimp: float,
    warp: float,
    straight: dict[str, dict[str, Array]] | None = None,
) -> tuple[dict[str, Array], dict[str, Array]]:
    """Lowest and highest constants of a straight or woven ply; of a cloth also over the crimp.

    Parameters
    ----------
    m : Mix
        Fibre, resin and shares.
    weave : str
        As in `constants_of`.
    crimp, warp : float
        As in `crossed`.
    straight : dict, optional
        Constants of the straight ply by each method, where they are known already.

    Returns
    -------
    tuple of dict
        Lows and highs [SI].
    """
    straight = straight or every_method(m)
    ends = band(m, straight)
    low, high = ({k: v[i] for k, v in ends.items()} for i in (0, 1))
    if weave == "ud":
        return low, high
    mixed = [
        {k: (b if k.startswith("alpha") else a)[k] for k in low}
        for a, b in ((low, low), (high, high), (low, high), (high, low))
    ]
    crimps = (crimp - CRIMP_ERROR, min(1.0, crimp + CRIMP_ERROR))
    sets = [crossed(one, c, warp) for one in mixed for c in crimps]
    sets += [crossed(straight[method], crimp, warp) for method in METHODS]
    low = {k: np.fmin.reduce([s[k] for s in sets]) for k in low}
    for k in ("Xt", "Yt"):  # cracks of the yarns across are not counted
        low[k] = np.fmin(low[k], sets[-len(METHODS)][k] / (1.0 + CLOTH_ERROR))
    return low, {k: np.fmax.reduce([s[k] for s in sets]) for k in high}


@dataclass(frozen=True)
class MadePly:
    """A ply from its constituents; the strengths in it are the low ends of their bands.

    Parameters
    ----------
    ply : Ply
        Ready for a stack.
    fibre, resin : Fibre and Resin
        What it is made of.
    fibre_volume, fibre_weight, voids : float
        Shares [-].
    areal_weight, thickness : float
        Fibre per area [kg/m2] and cured thickness [m]; NaN where neither was given.
    weave, crimp, warp : str and float
        Weave, crimp factor, share of the fibre along the warp.
    method : str
        As in `ply_constants`.
    values, low, high : dict of str to float
        Constants and their bands [SI].
    by_method : dict of str to dict
        Method -> constants [SI].
    cautions : tuple of str
        What to know before using it.
    """

    ply: Ply
    fibre: Fibre
    resin: Resin
    fibre_volume: float
    fibre_weight: float
    voids: float
    areal_weight: float
    thickness: float
    weave: str
    crimp: float
    warp: float
    method: str
    values: dict[str, float]
    low: dict[str, float]
    high: dict[str, float]
    by_method: dict[str, dict[str, float]]
    cautions: tuple[str, ...]

    @property
    def band(self) -> pd.DataFrame:
        """Every constant: value, unit, low, high, by method, grade and source."""
        import pandas as pd

        rows = []
        for name, value in self.values.items():
            if math.isnan(value):
                continue
            unit, factor = _unit(name)
            row: dict[str, Any] = {
                "property": name, "value": value * factor, "unit": unit,
                "low": self.low[name] * factor, "high": self.high[name] * factor,
            }  # fmt: skip
            row |= {m: v[name] * factor for m, v in self.by_method.items() if m != "nearest"}
            alike = {"E2": "E1", "Yc": "Xc"} if self.weave != "ud" else {}
            error = EXPECTED_ERROR[alike.get(name, name)]
            row["expected_error"] = CLOTH_ERROR if alike and name in ("Xt", "Yt") else error
            row["grade"] = "C" if name in STRENGTH else "B"
            rows.append(row | {"source": SOURCES[name]})
        return pd.DataFrame(rows)

    def __repr__(self) -> str:
        return f"MadePly({self.ply.name!r}, fibre {self.fibre_volume:.3g} of the volume)"


def _content(
    fibre: Fibre, resin: Resin, voids: float, volume: Any, weight: Any, areal: float, t: float
) -> float:
    """Fibre share of the volume, from whichever way it was given."""
    ways = [volume is not None, weight is not None]
    if sum(ways) == 2:
        raise InputError("give fibre_volume or fibre_weight, not both", where="ply")
    if volume is not None:
        return share(volume, "fibre_volume")
    if weight is not None:
        part = share(weight, "fibre_weight")
        return float(fibre_share(part, fibre.density, resin.density, voids))
    if math.isnan(areal) or math.isnan(t):
        raise InputError(
            "the fibre content is missing", where="ply",
            expected="fibre_volume, fibre_weight, or areal_weight with thickness",
        )  # fmt: skip
    return areal / (fibre.density * t)


def _measures(vf: float, fibre: Fibre, areal: float, t: float) -> tuple[float, float]:
    """Areal weight and thickness that belong together."""
    if math.isnan(areal):
        return (NAN if math.isnan(t) else float(fibre_areal_weight(t, fibre.density, vf))), t
    made = float(cured_thickness(areal, fibre.density, vf))
    if not math.isnan(t) and abs(t / made - 1.0) > MISMATCH:
        raise InputError(
            Spoken(lambda s: (
                f"thickness does not match the areal weight: {rough(areal, 'areal_weight', s, 4)} "
                f"of fibre at {vf:.3g} of the volume makes {rough(made, 'length', s)}; another "
                "cloth, or another fibre content"
            )),
            where="ply:thickness", got=worded("{}", "length", t, digits=3),
        )  # fmt: skip
    return areal, made if math.isnan(t) else t


def _optional(value: Any, kind: str, what: str) -> float:
    return NAN if value is None else to_si(value, kind, what=what, where="ply", positive=True)


def _plain(values: dict[str, Array]) -> dict[str, float]:
    return {k: float(v) for k, v in values.items()}


def as_ply(
    name: str, values: dict[str, float], low: dict[str, float], thickness: float = NAN
) -> Ply:
    """Ply of constants in SI, its strengths from the low ends of their bands.

    Parameters
    ----------
    name : str
        Name shown on screen.
    values, low : dict of str to float
        Constants and low ends [SI].
    thickness : float
        Cured thickness [m]; NaN leaves it open.

    Returns
    -------
    Ply
    """
    units = {"density": "kg/m3", "alpha1": "1/K", "alpha2": "1/K"}
    given: dict[str, Any] = {}
    for key, value in values.items():
        number = low[key] if key in STRENGTH else value
        if not math.isnan(number) and (number > 0 or key not in STRENGTH):
            given[key] = number if key.startswith("nu") else f"{number!r} {units.get(key, 'Pa')}"
    if not math.isnan(thickness):
        given["thickness"] = f"{thickness!r} m"
    return Ply(name, **given)


def _cautions(vf: float, voids: float, values: dict[str, float], weave: str) -> tuple[str, ...]:
    said = [packed(vf)]
    if voids > 0.05:
        said.append(f"voids of {100 * voids:.3g} %: the relations know them only as missing resin")
    if weave != "ud" and vf > 0.62:
        said.append(f"fibre content {vf:.3g} is more than cloth usually packs to, about 0.6")
    lacking = [k for k in STRENGTH if math.isnan(values[k])]
    if lacking:
        said.append(f"no strength is known of the constituents for {', '.join(lacking)}")
    said.append(
        "strengths from constituents are a first idea, off by up to a factor of two: the low "
        "ends are used"
    )
    return tuple(s for s in said if s)


def ply_from_constituents(
    fibre: str | Fibre,
    resin: str | Resin,
    *,
    fibre_volume: Any = None,
    fibre_weight: Any = None,
    voids: Any = 0.0,
    areal_weight: Any = None,
    thickness: Any = None,
    weave: str = "ud",
    crimp: Any = None,
    warp: Any = 0.5,
    method: str = "nearest",
    name: str = "",
) -> MadePly:
    """Ply from fibre, resin and fibre content, with the band between the methods.

    Parameters
    ----------
    fibre : str or Fibre
        Class key ("carbon-sm", "glass-e") or own values.
    resin : str or Resin
        Class key ("epoxy", "vinyl-ester") or own values.
    fibre_volume, fibre_weight : float or str, optional
        Fibre share of the volume or of the weight ("60 %"); one of them, or areal weight with
        thickness.
    voids : float or str
        Share of the volume that is empty [-].
    areal_weight : str or Quantity, optional
        Fibre per area, both directions of a cloth together ("200 g/m2"): gives the thickness.
    thickness : str or Quantity, optional
        Of the cured ply ("0.22 mm").
    weave : str
        "ud", "plain", "twill" or "satin".
    crimp : float, optional
        Stiffness and strength along the yarns of a cloth over those of straight ones [-]; by
        common practice 0.90 plain, 0.94 twill, 0.97 satin.
    warp : float
        Share of the fibre that runs along the roll of a cloth [-].
    method : str
        "nearest", "mixture", "halpin-tsai" or "chamis"; see `ply_constants`.
    name : str, optional
        Name shown on screen.

    Returns
    -------
    MadePly
        .ply for a stack, .band (DataFrame), .low and .high, .by_method, .thickness, .cautions.

    Raises
    ------
    InputError
        For an unknown constituent, a content no packing reaches, or measures that contradict
        each other.

    Notes
    -----
    Sources: rule of mixtures, Halpin & Tsai 1969, Chamis (NASA TM-83320, 1983), Schapery 1968,
    Hashin 1979; Ishikawa & Chou 1982 for cloth. Stiffness grade B, strength grade C. The band
    spans the methods and the error against four measured plies (World-Wide Failure Exercise,
    Soden, Hinton & Kaddour 1998); cautions say what is beyond it.

    Examples
    --------
    >>> made = ply_from_constituents("glass-e", "epoxy", fibre_volume=0.6)
    >>> round(made.ply.E1.magnitude, 1), [round(made.low["E1"] / 1e9), round(made.high["E1"] / 1e9)]
    (45.7, [42, 50])
    >>> cloth = ply_from_constituents("carbon-sm", "epoxy", fibre_volume=0.5, weave="plain",
    ...                               areal_weight="200 g/m2")
    >>> round(cloth.thickness * 1e3, 3), round(cloth.ply.E1.magnitude)
    (0.226, 56)
    """
    f, r = get_fibre(fibre), get_resin(resin)
    if method not in METHODS:
        raise unknown_key("method", method, METHODS, "ply:method")
    empty = to_si(voids, "ratio", what="voids", where="ply")
    if not 0.0 <= empty < 0.5:
        raise InputError("voids are out of range", where="ply", got=f"{empty:g}",
                         expected="0 to 0.5")  # fmt: skip
    usual = crimp_of(weave)
    c = usual if crimp is None else to_si(crimp, "ratio", what="crimp", where="ply")
    if not 0.3 <= c <= 1.0:
        raise InputError("crimp factor is out of range", where="ply", got=f"{c:g}",
                         expected="0.3 to 1")  # fmt: skip
    part = share(warp, "warp")
    faw = _optional(areal_weight, "areal_weight", "areal_weight")
    t = _optional(thickness, "length", "thickness")
    vf = _content(f, r, empty, fibre_volume, fibre_weight, faw, t)
    packed(vf)
    if vf + empty >= 1.0:
        raise InputError("fibre and voids leave no room for resin", where="ply",
                         got=f"{vf:.3g} + {empty:.3g}")  # fmt: skip
    faw, t = _measures(vf, f, faw, t)
    m = mix(f, r, vf, empty)
    straight = every_method(m)
    made = {k: v if weave == "ud" else crossed(v, c, part) for k, v in straight.items()}
    by_method = {k: _plain(v) for k, v in made.items()}
    values = by_method[method]
    low, high = (_plain(x) for x in band_of(m, weave, c, part, straight))
    label = name or f"{f.name} / {r.name}{'' if weave == 'ud' else ', ' + weave}"
    return MadePly(
        as_ply(label, values, low, t), f, r, vf,
        vf * f.density / (vf * f.density + (1 - vf - empty) * r.density), empty, faw, t, weave, c,
        part, method, values, low, high, by_method, _cautions(vf, empty, values, weave),
    )  # fmt: skip
