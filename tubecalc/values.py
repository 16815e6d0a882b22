"""Values of one ply or metal in SI, and what makes them possible."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tubecalc.errors import InputError
from tubecalc.unit_words import worded

NAN = math.nan
WOVEN_RATIO = 0.6  # E2/E1 above which the second direction is taken as fibre too (woven cloth)
MOST_MOISTURE = 0.2  # mass fraction of water in a ply beyond which a percentage was meant


@dataclass(frozen=True)
class Values:
    """Values of one ply or metal in SI (Pa, kg/m3, 1/K, m, degC); NaN where not known.

    t_free is the temperature at which a cured wall is free of stress, t_g and t_g_wet the glass
    transition of the matrix dry and saturated; beta1 and beta2 are swelling strains per mass
    fraction of moisture, moisture is the mass fraction at saturation.
    """

    name: str
    E1: float
    E2: float
    G12: float
    nu12: float
    density: float
    nu23: float = NAN
    G23: float = NAN
    E3: float = NAN
    Xt: float = NAN
    Xc: float = NAN
    Yt: float = NAN
    Yc: float = NAN
    S12: float = NAN
    alpha1: float = NAN
    alpha2: float = NAN
    thickness: float = NAN
    t_max: float = NAN
    t_free: float = NAN
    t_g: float = NAN
    t_g_wet: float = NAN
    beta1: float = NAN
    beta2: float = NAN
    moisture: float = NAN
    ultimate: float = NAN
    yield_minimum: float = NAN
    isotropic: bool = False

    @property
    def woven(self) -> bool:
        """Whether both in-plane directions carry fibre."""
        return not self.isotropic and self.E2 > WOVEN_RATIO * self.E1


def isotropic(
    name: str, e: float, nu: float, rho: float, fy: float, fu: float, alpha: float, t_max: float
) -> Values:
    """Write isotropic constants as a ply; the strengths are the yield strength."""
    if not -1.0 < nu < 0.5:
        raise InputError(
            "Poisson ratio of an isotropic wall is out of range",
            where=name, got=f"nu = {nu:g}", expected="between -1 and 0.5",
        )  # fmt: skip
    values = Values(
        name=name, E1=e, E2=e, E3=e, G12=e / (2 * (1 + nu)), G23=e / (2 * (1 + nu)),
        nu12=nu, nu23=nu, density=rho, Xt=fy, Xc=fy, Yt=fy, Yc=fy, S12=fy / math.sqrt(3.0),
        alpha1=alpha, alpha2=alpha, ultimate=fu, t_max=t_max, isotropic=True,
    )  # fmt: skip
    check_elastic(values)
    return values


def check_elastic(v: Values) -> None:
    """Refuse constants that are missing or break positive strain energy (Jones 1999, sec. 2.4)."""
    for name in ("E1", "E2", "G12", "nu12", "density"):
        if math.isnan(getattr(v, name)):
            said = {"E1": "E", "E2": "E", "G12": "E", "nu12": "nu"} if v.isotropic else {}
            raise InputError(f"{said.get(name, name)} is missing", where=v.name)
    if v.nu12**2 >= v.E1 / v.E2:
        raise InputError(
            "Poisson ratio breaks positive strain energy",
            where=v.name, got=f"nu12 = {v.nu12:g}", expected=f"below {(v.E1 / v.E2) ** 0.5:.3g}",
        )  # fmt: skip


def check_climate(v: Values) -> None:
    """Refuse a moisture content that is no mass fraction and a glass transition raised by water."""
    if not math.isnan(v.moisture) and not 0.0 <= v.moisture <= MOST_MOISTURE:
        raise InputError(
            "moisture is out of range",
            where=v.name, got=f"{v.moisture:g}",
            expected=f"a mass fraction, 0 to {MOST_MOISTURE:g}",
        )  # fmt: skip
    if v.t_g_wet > v.t_g:
        raise InputError(
            "the wet glass transition lies above the dry one",
            where=v.name, got=worded("{}", "temperature", v.t_g_wet),
            expected=worded("at most {}", "temperature", v.t_g),
        )  # fmt: skip
