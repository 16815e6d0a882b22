"""Burn-off of a piece of tube: content, then stack, then the tube with the band that gives."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.laminate.burn_balance import propagate
from tubecalc.laminate.burn_off import (
    COVER,
    Content,
    check_gas,
    check_masses,
    check_sizes,
    constituents_of,
    content_of,
    read_sizes,
    uncertainties,
    with_densities,
)
from tubecalc.laminate.burnt_checks import Check, cross_checks
from tubecalc.laminate.burnt_stack import (
    AREAL_ERROR,
    TUBE_FIGURES,
    Seen,
    Wall,
    figures,
    inputs_of,
    mixture_of,
    read_seen,
)
from tubecalc.laminate.constituents import Fibre, Resin, get_fibre, get_resin, spread
from tubecalc.laminate.layup import Layup
from tubecalc.laminate.made_ply import MadePly, band_of, ply_from_constituents
from tubecalc.tube import Tube
from tubecalc.units import to_si

if TYPE_CHECKING:
    import pandas as pd

MODULUS_ERROR = 0.03  # standard uncertainty of a modulus with no range of its own (practice)
_SHOWN = {
    "wall": ("mm", 1e3), "nuxy": ("-", 1.0), "alpha_x": ("1e-6/K", 1e6),
    "density": ("g/cm3", 1e-3), "mass_per_length": ("g/m", 1e3), "EA": ("MN", 1e-6),
    "EI": ("N m2", 1.0), "GJ": ("N m2", 1.0),
}  # fmt: skip
_SIGNED = ("nuxy", "alpha_x")


@dataclass(frozen=True)
class BurntStack:
    """The stack a burnt sample had, the tube it makes, and how sure that is.

    Parameters
    ----------
    layup : Layup
        Ply by ply, inside to outside.
    tube : Tube or None
        Where a diameter is known.
    made : tuple of MadePly
        One of each seen ply.
    checks : tuple of Check
        Thickness and fibre mass against the seen plies.
    figures, low, high, u : dict of str to float
        Figures, their bands, and the part of the standard uncertainty that comes from the
        burn-off and the constituents [SI].
    cautions : tuple of str
        What to know before using it.
    """

    layup: Layup
    tube: Tube | None
    made: tuple[MadePly, ...]
    checks: tuple[Check, ...]
    figures: dict[str, float]
    low: dict[str, float]
    high: dict[str, float]
    u: dict[str, float]
    cautions: tuple[str, ...]

    @property
    def band(self) -> pd.DataFrame:
        """Figures of wall and tube: figure, value, low, high, uncertainty of the input, unit."""
        import pandas as pd

        rows = []
        for name, value in self.figures.items():
            unit, factor = _SHOWN.get(name, ("GPa", 1e-9))
            rows.append({
                "figure": name, "value": value * factor, "low": self.low[name] * factor,
                "high": self.high[name] * factor, "from_input": self.u[name] * factor,
                "unit": unit,
            })  # fmt: skip
        return pd.DataFrame(rows)

    @property
    def agreement(self) -> pd.DataFrame:
        """The cross-checks as a table."""
        import pandas as pd

        return pd.DataFrame([vars(c) for c in self.checks])

    def __repr__(self) -> str:
        return f"BurntStack({self.layup.notation}, {self.layup.t * 1e3:.4g} mm)"


class BurnOff(Content):
    """Content of a burnt sample; `stack` goes on to the wall and the tube."""

    def ply(self, **how: Any) -> MadePly:
        """Ply of the fibre and resin found, at the content found.

        Parameters
        ----------
        **how
            weave, crimp, warp, areal_weight, thickness, method, name, and fibre or resin where
            they were not named, as in `ply_from_constituents`.

        Returns
        -------
        MadePly

        Raises
        ------
        InputError
            If fibre or resin is not known.
        """
        f = self._part(how.pop("fibre", None) or self.fibre, "fibre")
        r = self._part(how.pop("resin", None) or self.resin, "resin")
        voids = self.values["void_fraction"]
        return ply_from_constituents(
            f, r, fibre_volume=self.values["fibre_volume_fraction"],
            voids=0.0 if math.isnan(voids) else max(voids, 0.0), **how,
        )  # fmt: skip

    def _part(self, given: Any, role: str) -> Any:
        """Fibre or resin, with the density that was used."""
        if given is None:
            raise InputError(
                f"the {role} is not named", where=f"burn_off:{role}",
                expected='a class such as "glass-e" or "epoxy"',
            )  # fmt: skip
        own: Fibre | Resin = get_fibre(given) if role == "fibre" else get_resin(given)
        return replace(own, density=self.inputs[f"{role}_density"])

    def stack(
        self,
        seen: Sequence[Mapping[str, Any]],
        *,
        fibre: str | Fibre | None = None,
        resin: str | Resin | None = None,
        od: Any = None,
        id: Any = None,
        area: Any = None,
        thickness: Any = None,
        name: str = "burnt sample",
    ) -> BurntStack:
        """Stack of the plies seen layer by layer, checked against weights and thickness.

        Parameters
        ----------
        seen : sequence of mapping
            Inside to outside: angle (degrees, "+/-55" for a wound pair), areal_weight of the fibre
            or thickness, and optionally weave, count, crimp; see `read_seen`.
        fibre, resin : str, Fibre and Resin, optional
            Where the burn-off did not name them.
        od, id : str or Quantity, optional
            Diameter of the tube, one of them, where the burn-off did not have it.
        area : str or Quantity, optional
            Area of a flat sample, to check the areal weights against the fibre found.
        thickness : str or Quantity, optional
            Measured thickness of a flat sample.
        name : str
            Name of the wall shown on screen.

        Returns
        -------
        BurntStack
            .layup, .tube, .checks, .band.

        Raises
        ------
        InputError
            For plies that cannot be used, or that contradict what was measured beyond doubt.
        """
        x = self.inputs
        size = {
            n: math.nan if v is None else to_si(v, k, what=n, where="burn_off", positive=True)
            for n, v, k in (("od", od, "length"), ("id", id, "length"), ("area", area, "area"),
                            ("thickness", thickness, "length"))
        }  # fmt: skip
        if not math.isnan(size["od"]) and not math.isnan(size["id"]):
            raise InputError("the stack makes the wall: give od or id, not both", where="burn_off")
        wall = Wall(
            tuple(read_seen(seen)), self._part(fibre or self.fibre, "fibre"),
            self._part(resin or self.resin, "resin"), size["od"], size["id"], size["area"],
            size["thickness"],
        )  # fmt: skip
        made = tuple(wall.each(
            lambda s: self.ply(fibre=wall.fibre, resin=wall.resin, weave=s.weave, crimp=s.crimp)
        ))  # fmt: skip
        at = inputs_of(wall, x)
        u = {**self.input_u, **_known_errors(wall)}
        centre = {k: float(a[0]) for k, a in figures(wall, at).items()}
        results = tuple(k for k, value in centre.items() if not math.isnan(value))
        found = propagate(lambda v: figures(wall, v), at, u, results)
        errors = dict(zip(results, np.sqrt(np.diag(found.covariance)).tolist(), strict=True))
        checks = cross_checks(wall, centre, errors, self)
        layup = _layup(wall, made, at, name)
        tube = _tube(layup, x, size)
        values = _values(layup, tube, centre)
        low, high = _bands(wall, at, centre, values, errors)
        return BurntStack(
            layup, tube, made, checks, values, low, high,
            {k: errors[k] * _ratio(k, values, centre) for k in values},
            (*self.cautions, *(c.why for c in checks if c.verdict != "agrees")),
        )  # fmt: skip


def _known_errors(wall: Wall) -> dict[str, float]:
    """Standard uncertainty of the scales in `inputs_of`; a class as wide as its range."""
    out = {"areal_weights": AREAL_ERROR}
    for name, owner, prop in (
        ("fibre_modulus", wall.fibre, "E1"),
        ("resin_modulus", wall.resin, "E"),
    ):
        low, high = spread(owner.key, prop)
        wide = (high - low) / math.sqrt(12.0) / getattr(owner, prop)
        out[name] = MODULUS_ERROR if math.isnan(wide) else wide
    return out


def _layup(wall: Wall, made: Sequence[MadePly], at: Mapping[str, float], name: str) -> Layup:
    v = {k: np.array([value]) for k, value in at.items()}
    _, vf = mixture_of(wall, v)
    t = wall.thickness(v["areal_weights"], v["fibre_density"], vf)[0]
    plies = [
        (made[i].ply, float(angle), f"{float(one)!r} m")
        for i, angle, one in zip(wall.of, wall.angles, t, strict=True)
    ]
    return Layup.of(plies, name=name)


def _tube(layup: Layup, x: Mapping[str, float], size: Mapping[str, float]) -> Tube | None:
    od = x.get("od", size["od"])
    if not math.isnan(od):
        return Tube(layup, od=f"{od!r} m")
    return None if math.isnan(size["id"]) else Tube(layup, id=f"{size['id']!r} m")


def _values(layup: Layup, tube: Tube | None, centre: Mapping[str, float]) -> dict[str, float]:
    """Figures by the stack and the tube themselves, in SI."""
    out = {
        "wall": layup.t, "Ex": layup.Ex.to("Pa").magnitude, "Ehoop": layup.Ey.to("Pa").magnitude,
        "Gxy": layup.Gxy.to("Pa").magnitude, "nuxy": layup.nuxy,
        "alpha_x": layup.alpha_x.to("1/K").magnitude, "density": layup.density,
    }  # fmt: skip
    if tube is not None:
        out |= {k: float(getattr(tube, k).to_base_units().magnitude) for k in TUBE_FIGURES}
    return {k: float(v) for k, v in out.items() if not math.isnan(v) and k in centre}


def _ratio(name: str, values: Mapping[str, float], centre: Mapping[str, float]) -> float:
    """How much larger a figure of the tube is than that of the layers strained alike."""
    return 1.0 if name in _SIGNED else values[name] / centre[name]


def _bands(
    wall: Wall,
    at: Mapping[str, float],
    centre: Mapping[str, float],
    values: Mapping[str, float],
    errors: Mapping[str, float],
) -> tuple[dict[str, float], dict[str, float]]:
    """Twice the uncertainty of the input and the band of the methods, as root of squares."""
    v = {k: np.array([value]) for k, value in at.items()}
    m, _ = mixture_of(wall, v)
    pairs = wall.each(lambda s: band_of(m, s.weave, s.crimp, 0.5))
    ends = [figures(wall, v, [pair[i] for pair in pairs]) for i in (0, 1)]
    low, high = {}, {}
    for name, value in values.items():
        scale = _ratio(name, values, centre)
        seen = [float(e[name][0]) for e in ends]
        own = COVER * errors[name]
        below = math.hypot(own, max(0.0, centre[name] - min(seen)))
        above = math.hypot(own, max(0.0, max(seen) - centre[name]))
        low[name], high[name] = value - below * scale, value + above * scale
    return low, high


def burn_off(
    *,
    sample_mass: Any,
    residue_mass: Any,
    fibre_density: Any = None,
    resin_density: Any = None,
    sample_density: Any = None,
    char_yield: Any = None,
    fibre_loss: Any = None,
    fibre: str | Fibre | None = None,
    resin: str | Resin | None = None,
    atmosphere: str | None = None,
    volume: Any = None,
    od: Any = None,
    id: Any = None,
    wall: Any = None,
    length: Any = None,
    voids: Any = None,
    uncertainty: Mapping[str, Any] | None = None,
) -> BurnOff:
    """Fibre, resin and voids of a sample from its mass before and after burning.

    Parameters
    ----------
    sample_mass, residue_mass : str or Quantity
        Before and after, without the crucible ("2.500 g").
    fibre_density, resin_density : str or Quantity, optional
        "2.54 g/cm3"; those of the classes named by fibre and resin where not given.
    sample_density : str or Quantity, optional
        Measured density, for the voids; instead of it volume, or od, length, and id or wall.
    char_yield : float or str, optional
        Char that the neat resin leaves, share of its weight ("24 %"); 0 where not given.
    fibre_loss : float or str, optional
        Share of its weight that the bare fibre loses; 0 where not given.
    fibre : str or Fibre, optional
        Class ("glass-e", "carbon-sm"), own values, or only "carbon", "glass" or "aramid".
    resin : str or Resin, optional
        Class ("epoxy") or own values.
    atmosphere : str, optional
        "air" or "inert". Carbon in air needs its loss.
    volume : str or Quantity, optional
        Volume of the sample ("1.35 cm3").
    od, id, wall, length : str or Quantity, optional
        Sizes of a piece of tube; id or wall.
    voids : float or str, optional
        Assumed share of voids, where nothing measured tells them.
    uncertainty : mapping, optional
        Standard uncertainty of inputs by name, with unit: {"sample_mass": "0.2 mg"}. Others: 1 mg,
        0.02 mm, 0.1 mm of length, 0.01 of char yield and voids, 20 % of a loss, 0.3 % of the
        sample's density, 1 % of a volume and of the resin's density, 0.5 % of the fibre's; the
        range of a class where its density is used (common practice, no source).

    Returns
    -------
    BurnOff
        .fibre_weight_fraction .fibre_volume_fraction .void_fraction .resin_content .u .band()
        .table .cautions; .ply() and .stack(seen) go on to ply, wall and tube.

    Raises
    ------
    InputError
        For masses, densities or gases that contradict each other, with the likely cause.

    Notes
    -----
    Sources: ASTM D3171 method I, ISO 14127, ISO 1172 (balance of mass and volume); close packing
    0.907 hexagonal, 0.785 square; uncertainty by JCGM 100:2008.

    Examples
    --------
    >>> glass = burn_off(sample_mass="2.5 g", residue_mass="1.75 g", fibre_density="2.54 g/cm3",
    ...                  resin_density="1.20 g/cm3", sample_density="1.85 g/cm3")
    >>> round(glass.fibre_volume_fraction, 3), round(glass.void_fraction, 3)
    (0.51, 0.028)
    >>> carbon = burn_off(sample_mass="2 g", residue_mass="1.49 g", fibre_density="1.79 g/cm3",
    ...                   resin_density="1.20 g/cm3", char_yield="24.4 %")
    >>> round(carbon.fibre_weight_fraction, 3), round(carbon.fibre_volume_fraction, 3)
    (0.663, 0.568)
    """
    given = {
        "sample_mass": sample_mass, "residue_mass": residue_mass, "fibre_density": fibre_density,
        "resin_density": resin_density, "sample_density": sample_density, "volume": volume,
        "od": od, "id": id, "wall": wall, "length": length, "char_yield": char_yield,
        "fibre_loss": fibre_loss, "voids": voids,
    }  # fmt: skip
    for name in ("sample_mass", "residue_mass"):
        if given[name] is None:
            raise InputError(f"{name} is missing", where="burn_off", expected='"2.500 g"')
    x = read_sizes(given)
    f, kind, r = constituents_of(fibre, resin)
    with_densities(x, f, r)
    said = check_gas(x, kind, atmosphere)
    check_masses(x)
    check_sizes(x)
    u = uncertainties(x, uncertainty, f, r)
    return BurnOff(**content_of(x, u, f, r, said))


__all__ = ["BurnOff", "BurntStack", "Check", "Seen", "burn_off"]
