"""What is left of a sample after burning: fibre, resin and voids, each with its uncertainty."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.errors import InputError, unknown_key
from tubecalc.laminate.burn_balance import RESULTS, Spread, balance, propagate
from tubecalc.laminate.constituents import Fibre, Resin, get_fibre, get_resin, spread
from tubecalc.laminate.content import packed
from tubecalc.unit_words import worded
from tubecalc.units import to_si

if TYPE_CHECKING:
    import pandas as pd

ATMOSPHERES = ("air", "inert")
KINDS = ("carbon", "glass", "aramid")
COVER = 2.0  # coverage factor of the bands: about 95 % (JCGM 100:2008, sec. 6.2)
SIZES = {
    "sample_mass": "mass", "residue_mass": "mass", "fibre_density": "density",
    "resin_density": "density", "sample_density": "density", "volume": "volume", "od": "length",
    "id": "length", "wall": "length", "length": "length", "char_yield": "ratio",
    "fibre_loss": "ratio", "voids": "ratio",
}  # fmt: skip
# Standard uncertainty where none is stated (common practice, no source): as it is [SI], or a share.
DEFAULT = {
    "sample_mass": 1e-6, "residue_mass": 1e-6, "od": 0.02e-3, "id": 0.02e-3, "wall": 0.02e-3,
    "length": 0.1e-3, "char_yield": 0.01, "voids": 0.01,
}  # fmt: skip
DEFAULT_SHARE = {
    "fibre_density": 0.005, "resin_density": 0.01, "sample_density": 0.003, "volume": 0.01,
    "fibre_loss": 0.2,
}  # fmt: skip
SIZE_MISMATCH = 0.10  # volume by sizes against volume by density or displacement
MOST_VOIDS = 0.15  # beyond this something else is wrong, most likely
TYPICAL_CHAR = 0.244  # neat epoxy under nitrogen to 450 degC, one public run: 1.785 of 7.309 mg
_LABEL = {
    "fibre_weight_fraction": "fibre, share of the weight",
    "resin_weight_fraction": "resin, share of the weight",
    "fibre_volume_fraction": "fibre, share of the volume",
    "resin_volume_fraction": "resin, share of the volume",
    "void_fraction": "voids, share of the volume",
    "fibre_mass": "fibre in the sample", "resin_mass": "resin in the sample",
    "char_mass": "char in the residue", "sample_density": "density of the sample",
    "full_density": "density it would have without voids",
}  # fmt: skip
_SHOWN = {
    **{k: ("%", 100.0) for k in RESULTS if k.endswith("_fraction")},
    **{k: ("g", 1e3) for k in RESULTS if k.endswith("_mass")},
    **{k: ("g/cm3", 1e-3) for k in RESULTS if k.endswith("_density")},
}
SOURCE = (
    "ASTM D3171 method I, ISO 14127 method A, ISO 1172: balance of mass and volume (recalled); "
    "char and fibre loss by own balance; uncertainty by JCGM 100:2008"
)


@dataclass(frozen=True)
class Content:
    """Fibre, resin and voids of a sample; shares are plain numbers [-], the rest SI.

    Parameters
    ----------
    values, u : dict of str to float
        Results and their standard uncertainties.
    inputs, input_u : dict of str to float
        What they come from, and how uncertain that is.
    spread : Spread
        Slopes and covariance.
    fibre, resin : Fibre and Resin or None
        Classes, where they were named.
    cautions : tuple of str
        What to know before believing it.
    """

    values: dict[str, float]
    u: dict[str, float]
    inputs: dict[str, float]
    input_u: dict[str, float]
    spread: Spread
    fibre: Fibre | None
    resin: Resin | None
    cautions: tuple[str, ...]

    def __getattr__(self, name: str) -> float:
        """Results by name: .fibre_volume_fraction, .void_fraction, .fibre_mass, ..."""
        values: dict[str, float] = self.__dict__.get("values", {})
        if name in values:
            return values[name]
        raise AttributeError(name)

    @property
    def resin_content(self) -> float:
        """Resin, share of the weight [-]: what a prepreg's data sheet calls resin content."""
        return self.values["resin_weight_fraction"]

    def band(self, name: str) -> tuple[float, float]:
        """Value less and plus twice its standard uncertainty, about 95 %.

        Parameters
        ----------
        name : str
            A result, for example "fibre_volume_fraction".

        Returns
        -------
        tuple of float

        Raises
        ------
        InputError
            If there is no such result.
        """
        if name not in self.values:
            raise unknown_key("result", name, RESULTS, "burn_off")
        value, u = self.values[name], self.u[name]
        return value - COVER * u, value + COVER * u

    def correlation(self, one: str, other: str) -> float:
        """How two results move together, -1 to 1; they share inputs.

        Parameters
        ----------
        one, other : str
            Results.

        Returns
        -------
        float
            NaN where one of them is exact.
        """
        i, j = (self.spread.results.index(n) for n in (one, other))
        c = self.spread.covariance
        size = math.sqrt(c[i, i] * c[j, j])
        return float(c[i, j] / size) if size > 0 else math.nan

    def causes(self, name: str) -> dict[str, float]:
        """Share of each input in the uncertainty of a result, greatest first.

        Parameters
        ----------
        name : str
            A result.

        Returns
        -------
        dict of str to float
            Input -> share of the variance [-].
        """
        parts = self.spread.share(name, self.input_u)
        return dict(sorted(parts.items(), key=lambda item: -item[1]))

    @property
    def table(self) -> pd.DataFrame:
        """Every result: quantity, value, uncertainty, low, high, unit, greatest cause, source."""
        import pandas as pd

        rows = []
        for name, value in self.values.items():
            if math.isnan(value):
                continue
            unit, factor = _SHOWN[name]
            low, high = self.band(name)
            rows.append({
                "result": name, "quantity": _LABEL[name], "value": value * factor,
                "uncertainty": self.u[name] * factor, "low": low * factor, "high": high * factor,
                "unit": unit, "greatest_cause": next(iter(self.causes(name)), ""),
                "source": SOURCE,
            })  # fmt: skip
        return pd.DataFrame(rows)

    def __repr__(self) -> str:
        v, u = self.values, self.u
        return (
            f"{type(self).__name__}(fibre {100 * v['fibre_volume_fraction']:.3g} "
            f"+/- {100 * COVER * u['fibre_volume_fraction']:.2g} % of the volume)"
        )


def refuse(what: str, name: str, got: str, expected: str | None = None) -> InputError:
    """Error at one argument of a burn-off."""
    return InputError(what, where=f"burn_off:{name}", got=got, expected=expected)


def read_sizes(given: Mapping[str, Any]) -> dict[str, float]:
    """Arguments of a burn-off in SI, those that are None left out.

    Parameters
    ----------
    given : mapping
        Argument -> value with unit.

    Returns
    -------
    dict of str to float

    Raises
    ------
    InputError
        For a missing unit or a value that cannot be.
    """
    out = {}
    for name, value in given.items():
        if value is not None:
            kind = SIZES[name]
            out[name] = to_si(value, kind, what=name, where="burn_off", positive=kind != "ratio")
    return out


def constituents_of(
    fibre: str | Fibre | None, resin: str | Resin | None
) -> tuple[Fibre | None, str, Resin | None]:
    """Fibre and its kind, and resin; a bare kind ("carbon") names no fibre."""
    if isinstance(fibre, str) and fibre.strip().lower() in KINDS:
        return None, fibre.strip().lower(), None if resin is None else get_resin(resin)
    f = None if fibre is None else get_fibre(fibre)
    return f, "" if f is None else f.kind, None if resin is None else get_resin(resin)


def with_densities(x: dict[str, float], fibre: Fibre | None, resin: Resin | None) -> None:
    """Take a density that is not given from the class."""
    for name, owner in (("fibre_density", fibre), ("resin_density", resin)):
        if name not in x:
            if owner is None:
                raise InputError(
                    f"{name} is missing", where="burn_off",
                    expected=f"a density, or the class: {name.split('_')[0]}=",
                )  # fmt: skip
            x[name] = owner.density


def check_gas(x: dict[str, float], kind: str, atmosphere: str | None) -> list[str]:
    """Refuse a burning that leaves no fibre to weigh; say what was not corrected."""
    if atmosphere is not None and atmosphere not in ATMOSPHERES:
        raise unknown_key("atmosphere", atmosphere, ATMOSPHERES, "burn_off")
    if kind == "aramid":
        raise refuse("aramid fibre does not outlast its resin in the oven; dissolve the resin",
                     "fibre", "aramid")  # fmt: skip
    if kind == "carbon" and atmosphere == "air" and "fibre_loss" not in x:
        raise refuse(
            "carbon fibre burns in air together with the resin: give fibre_loss from a run of the "
            "bare fibre beside the sample, or heat under inert gas",
            "fibre_loss", "none", 'for example "2 %"',
        )  # fmt: skip
    said = []
    if atmosphere is None and kind == "carbon":
        said.append(
            "the gas is not said: carbon fibre burns in air, and in inert gas char of the resin "
            "stays with the fibre"
        )
    if atmosphere == "inert" and "char_yield" not in x:
        said.append(
            "resin leaves char in inert gas, about 10 to 25 % of its weight for epoxy: without "
            "char_yield from a run of the neat resin the fibre content is too high"
        )
    if atmosphere == "air" and x.get("char_yield", 0.0) > 0.05:
        said.append("char burns off in air: a char yield of a run in inert gas does not apply")
    return said


def check_masses(x: dict[str, float]) -> None:
    """Refuse masses and corrections that contradict each other, with the likely cause."""
    for name in ("char_yield", "fibre_loss", "voids"):
        x.setdefault(name, 0.0) if name != "voids" else None
        if name in x and not 0.0 <= x[name] < 0.9:
            raise refuse("is out of range", name, f"{x[name]:g}", "a share, 0 to 0.9")
    sample, residue = x["sample_mass"], x["residue_mass"]
    if residue > sample:
        raise refuse(
            f"the residue weighs more than the sample of {sample * 1e3:.4g} g: the two are "
            "swapped, or the crucible was not taken off",
            "residue_mass", f"{residue * 1e3:.4g} g",
        )  # fmt: skip
    y, loss = x["char_yield"], x["fibre_loss"]
    if y + loss >= 1.0 - 1e-9:
        raise refuse("char and loss leave nothing to tell fibre from resin", "char_yield",
                     f"{y:g} and fibre_loss {loss:g}")  # fmt: skip
    if residue <= y * sample:
        raise refuse(
            "the char of the resin alone would weigh as much as the residue: the char yield is "
            "too high, or it burnt off in air",
            "char_yield", f"{y:g}", f"below {residue / sample:.3g}",
        )  # fmt: skip
    if (residue - y * sample) / (1.0 - loss - y) >= sample * (1.0 - 1e-9):
        raise refuse(
            "the sample would be all fibre: the fibre loss is too high, or the resin did not burn",
            "fibre_loss" if loss > 0 else "residue_mass", f"{loss or residue / sample:.3g}",
        )  # fmt: skip


def check_sizes(x: dict[str, float]) -> None:
    """Refuse a volume told twice, half, or of a tube that cannot be."""
    ways = [n for n in ("sample_density", "volume", "voids") if n in x]
    if len(ways) > 1:
        raise InputError("the volume of the sample is told twice", where="burn_off",
                         got=" and ".join(ways), expected="one of them")  # fmt: skip
    tube = [n for n in ("od", "id", "wall", "length") if n in x]
    if not tube:
        return
    if not {"od", "length"} <= set(tube) or ("id" in x) == ("wall" in x):
        raise InputError("the size of a piece of tube is od, length, and id or wall",
                         where="burn_off", got=", ".join(tube))  # fmt: skip
    bore = x["id"] if "id" in x else x["od"] - 2.0 * x["wall"]
    if not 0.0 <= bore < x["od"]:
        name = "id" if "id" in x else "wall"
        raise refuse("does not fit into the outside diameter", name,
                     worded("{}", "length", x[name]),
                     worded("od is {}", "length", x["od"]))  # fmt: skip
    inside = math.pi / 4.0 * (x["od"] ** 2 - bore**2) * x["length"]
    other = x.get("volume", x["sample_mass"] / x.get("sample_density", math.inf) or inside)
    if abs(inside / other - 1.0) > SIZE_MISMATCH:
        raise InputError(
            "the sizes of the piece and its density or volume do not belong together: they differ "
            f"by {100 * (inside / other - 1.0):+.0f} %",
            where="burn_off", got=worded("{} from the sizes", "volume", inside),
            expected=worded("about {}", "volume", other),
        )  # fmt: skip


def uncertainties(
    x: dict[str, float], given: Mapping[str, Any] | None, fibre: Fibre | None, resin: Resin | None
) -> dict[str, float]:
    """Standard uncertainty of every input: as stated, else of the class, else the usual one."""
    stated = dict(given or {})
    unknown = [k for k in stated if k not in x]
    if unknown:
        raise unknown_key("input", unknown[0], list(x), "burn_off:uncertainty")
    out = {}
    for name, value in x.items():
        if name in stated:
            out[name] = to_si(stated[name], SIZES[name], what=name, where="burn_off:uncertainty")
            if out[name] < 0.0:
                raise InputError("an uncertainty is negative", got=str(stated[name]),
                                 where=f"burn_off:uncertainty:{name}")  # fmt: skip
        elif name in ("char_yield", "fibre_loss") and value == 0.0:
            out[name] = 0.0
        else:
            out[name] = DEFAULT.get(name, DEFAULT_SHARE.get(name, 0.0) * value)
    for name, owner in (("fibre_density", fibre), ("resin_density", resin)):
        if owner is not None and name not in stated and x[name] == owner.density:
            low, high = spread(owner.key, "density")
            if not math.isnan(low):  # all values of the class equally likely
                out[name] = (high - low) / math.sqrt(12.0)
    return out


def check_result(values: dict[str, float], u: dict[str, float], full: float) -> list[str]:
    """Refuse contents that no sample can have beyond their uncertainty; caution within it."""
    vf, voids = values["fibre_volume_fraction"], values["void_fraction"]
    said = [packed(vf, "burn_off", slack=COVER * u["fibre_volume_fraction"])]
    if math.isnan(voids):
        said.append(
            "nothing tells the voids: the fibre share of the volume is that of a sound wall"
        )
    elif voids < -COVER * u["void_fraction"]:
        raise InputError(
            f"the voids come out negative: the sample is denser than its fibre and resin without "
            f"voids, {full / 1e3:.4g} g/cm3; a density is wrong, the residue holds char or "
            "filler, or the volume was measured too small",
            where="burn_off", got=f"{100 * voids:.3g} %",
            expected=f"above {-100 * COVER * u['void_fraction']:.2g} %, the uncertainty",
        )  # fmt: skip
    elif voids < 0.0:
        said.append(f"voids of {100 * voids:.2g} % are none, within the uncertainty")
    elif voids > MOST_VOIDS:
        said.append(
            f"voids of {100 * voids:.3g} % are more than walls have: look at the volume, the "
            "densities, and whether fibre was lost"
        )
    return [s for s in said if s]


def content_of(
    x: dict[str, float],
    u: dict[str, float],
    fibre: Fibre | None,
    resin: Resin | None,
    said: list[str],
) -> dict[str, Any]:
    """Fields of `Content` from inputs that were checked."""
    values = {k: float(v) for k, v in balance(x).items()}
    found = propagate(balance, x, u, RESULTS)
    sizes = np.sqrt(np.diag(found.covariance))
    errors = {k: float(sizes[i]) for i, k in enumerate(RESULTS)}
    said = said + check_result(values, errors, values["full_density"])
    return {
        "values": values, "u": errors, "inputs": x, "input_u": u, "spread": found,
        "fibre": fibre, "resin": resin, "cautions": tuple(said),
    }  # fmt: skip
