"""How hot a tube gets in the sun: balance of sunlight, air and radiation round the wall."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from tubecalc import datafiles
from tubecalc.errors import InputError, unknown_key
from tubecalc.joining.galvanic import material_of
from tubecalc.tube import Tube, single
from tubecalc.unit_words import Spoken, rough, worded
from tubecalc.units import to_si

if TYPE_CHECKING:
    import pandas as pd

SIGMA = 5.670374419e-8  # W/m2K4, exact by the 2019 SI
COLDEST, WARMEST = -100.0, 80.0  # degC, of air in the shade (own rule)
FULL_SUN = 1000.0  # W/m2, clear noon square to the rays (PRACTICE)
ALBEDO = 0.2  # of grass or soil (MEMORY)
G = 9.80665
ROUND = 72  # points round the wall
_CONDUCTS = {"carbon": 0.7, "glass": 0.35, "aluminium": 200.0, "stainless": 16.0, "steel": 50.0,
             "titanium": 8.0}  # W/mK round the wall; plies across the fibre (MEMORY) # fmt: skip


class Air(NamedTuple):
    """Air at the film temperature: conductivity [W/mK], viscosity [m2/s], Prandtl number."""

    k: float
    nu: float
    pr: float


@dataclass(frozen=True)
class Sunlit:
    """A tube in the sun [degC]: hottest place, mean, coolest; what it was computed with."""

    hottest: float
    mean: float
    coolest: float
    absorptance: float
    film: float
    why: Spoken
    grade: str = "C"


def air(film: float) -> Air:
    """Air at sea level.

    Parameters
    ----------
    film : float
        Mean of surface and air [degC].

    Returns
    -------
    Air

    Notes
    -----
    Sutherland's law for the viscosity, density of an ideal gas at 101325 Pa; conductivity as a
    power law through 0.0263 W/mK at 300 K (Incropera & DeWitt, table of air; MEMORY).

    Examples
    --------
    >>> [round(x, 6) for x in air(26.85)]
    [0.0263, 1.6e-05, 0.707]
    """
    t = film + 273.15
    viscosity = 1.458e-6 * t**1.5 / (t + 110.4)
    return Air(0.0263 * (t / 300.0) ** 0.85, viscosity * 287.05 * t / 101325.0, 0.707)


def film(diameter: float, surface: float, surround: float, wind: float) -> float:
    """Heat transfer from a cylinder across the wind, or in still air if that takes more.

    Parameters
    ----------
    diameter : float
        [m].
    surface, surround : float
        [degC].
    wind : float
        [m/s].

    Returns
    -------
    float
        [W/m2K].

    Notes
    -----
    Churchill & Bernstein 1977 (cross flow) and Churchill & Chu 1975 (natural, level cylinder), as
    in Incropera & DeWitt, eq. 7.54 and 9.34 (MEMORY); each 20 to 25 %.

    Examples
    --------
    >>> round(film(0.0127, 128.4, 26.2, 10.0))  # Incropera & DeWitt, example 7.4: 96 W/m2K
    97
    """
    a = air((surface + surround) / 2.0)
    re = wind * diameter / a.nu
    forced = 0.3 + 0.62 * re**0.5 * a.pr ** (1 / 3) / (1 + (0.4 / a.pr) ** (2 / 3)) ** 0.25 * (
        1 + (re / 282000.0) ** 0.625) ** 0.8  # fmt: skip
    beta = 1.0 / ((surface + surround) / 2.0 + 273.15)
    ra = G * beta * abs(surface - surround) * diameter**3 / a.nu**2 * a.pr
    free = (0.60 + 0.387 * ra ** (1 / 6) / (1 + (0.559 / a.pr) ** (9 / 16)) ** (8 / 27)) ** 2
    return float(max(forced, free) * a.k / diameter)


@cache
def _surfaces() -> dict[str, tuple[str, float, float, float, float]]:
    """Key -> name, absorptance with low and high, emittance."""
    return {
        r["key"]: (r["name"], float(r["absorptance"]), float(r["low"]), float(r["high"]),
                   float(r["emittance"]))
        for r in datafiles.rows("joining/surfaces.csv")
    }  # fmt: skip


def surfaces() -> pd.DataFrame:
    """Every surface: share of the sunlight taken up, share of heat given off, source.

    Returns
    -------
    pandas.DataFrame

    Examples
    --------
    >>> "white-paint" in set(surfaces()["key"])
    True
    """
    import pandas as pd

    return pd.DataFrame(list(datafiles.rows("joining/surfaces.csv"))).drop(columns="row")


def usual_surface(tube: Tube) -> str:
    """Surface of a tube without paint."""
    return {"carbon": "bare-carbon", "glass": "glass-fibre", "aluminium": "bare-aluminium",
            "titanium": "stainless", "stainless": "stainless"}.get(
                material_of(tube), "grey-paint")  # fmt: skip


def in_the_sun(
    tube: Tube,
    *,
    air_temperature: Any = "35 degC",
    surface: str | None = None,
    wind: Any = 0.0,
    sun: Any = FULL_SUN,
) -> Sunlit:
    """Temperature of a level tube in the sun, steady, round its wall.

    Parameters
    ----------
    tube : Tube
        One tube.
    air_temperature : str or Quantity
        In the shade.
    surface : str, optional
        Key of data/joining/surfaces.csv; the bare tube's else.
    wind : float, str or Quantity
        Across the tube [m/s].
    sun : float, str or Quantity
        Square to the rays [W/m2].

    Returns
    -------
    Sunlit

    Raises
    ------
    InputError
        For an unknown surface, a negative wind or sun.

    Notes
    -----
    Sun from straight above, a fifth of it from the ground; loses heat to air and to surroundings
    as warm as the air (the sky is colder, so this is cautious); the wall conducts round, the bore
    exchanges radiation with its own mean. Own balance, grade C: 10 K.

    Examples
    --------
    >>> tube = Tube("pultruded", od="20 mm", wall="1 mm")
    >>> black, white = (in_the_sun(tube, surface=s) for s in ("black-paint", "white-paint"))
    >>> black.hottest > 60 > white.hottest > 35
    True
    """
    single(tube, "in_the_sun")
    key = usual_surface(tube) if surface is None else surface
    if key not in _surfaces():
        raise unknown_key("surface", key, _surfaces(), "in_the_sun:surface")
    if not isinstance(wind, int | float):
        wind = to_si(wind, "velocity", what="wind", where="in_the_sun")
    if not isinstance(sun, int | float):
        sun = to_si(sun, "heat_flux", what="sun", where="in_the_sun")
    if not (0.0 <= wind < 100.0 and 0.0 <= sun <= 2000.0):
        raise InputError("wind and sun are nought or more", where="in_the_sun",
                         got=_said(wind, sun), expected=Spoken(lambda s: (
                             f"below {rough(100.0, 'velocity', s)}, to "
                             f"{rough(2000.0, 'heat_flux', s)}")))  # fmt: skip
    around = float(
        to_si(air_temperature, "temperature", what="air temperature", where="in_the_sun")
    )
    if not COLDEST <= around <= WARMEST:
        raise InputError("that is no air in the shade", where="in_the_sun:air",
                         got=worded("{}", "temperature", around),
                         expected=worded("{} to {}", "temperature", COLDEST, WARMEST))  # fmt: skip
    name, takes, _, _, gives = _surfaces()[key]
    t, h = _balance(tube, around, takes, gives, wind, sun)
    hottest, mean = float(t.max()), float(t.mean())
    why = Spoken(lambda s: (
        f"{name}, takes up {100 * takes:.0f} % of {rough(sun, 'heat_flux', s)}, air "
        f"{_degrees(around, s)}, wind {rough(wind, 'velocity', s)}: {_degrees(hottest, s)} at the "
        f"hottest place, {_degrees(mean, s)} on the mean"
    ))  # fmt: skip
    return Sunlit(hottest, mean, float(t.min()), takes, h, why)


def _said(wind: float, sun: float) -> Spoken:
    return Spoken(lambda s: f"{rough(wind, 'velocity', s)}, {rough(sun, 'heat_flux', s)}")


def _degrees(value: float, system: str) -> str:
    return rough(value, "temperature", system)


def _balance(tube: Tube, around: float, takes: float, gives: float, wind: float,
             sun: float) -> tuple[np.ndarray[Any, np.dtype[np.float64]], float]:  # fmt: skip
    """Temperatures round the wall [degC] and the film coefficient, by repeated linear solution."""
    d, wall = 2.0 * float(tube.sections.ro[0]), float(tube.sections.t[0])
    turn = 2.0 * np.pi * np.arange(ROUND) / ROUND
    step = float(tube.sections.R[0]) * 2.0 * np.pi / ROUND
    top = np.maximum(np.cos(turn), 0.0)
    low = (1.0 - np.cos(turn)) / 2.0  # view of the ground
    heat = takes * sun * (top + ALBEDO * low)
    conduct = _CONDUCTS.get(material_of(tube), 10.0) * wall / step**2
    ring = np.roll(np.eye(ROUND), 1, 0) + np.roll(np.eye(ROUND), -1, 0) - 2.0 * np.eye(ROUND)
    t, h = np.full(ROUND, around + 20.0), 0.0
    for _ in range(60):
        mean = float(t.mean())
        h = film(d, mean, around, wind)
        kelvin, cold = t + 273.15, around + 273.15
        radiate = gives * SIGMA * (kelvin + cold) * (kelvin**2 + cold**2)
        inside = 4.0 * 0.9 * SIGMA * (mean + 273.15) ** 3
        matrix = np.diag(h + radiate + inside) - conduct * ring - inside / ROUND
        new = np.linalg.solve(matrix, heat + (h + radiate) * around)
        done = float(np.abs(new - t).max()) < 1e-9
        t = (t + new) / 2.0 if not done else new
        if done:
            break
    return t, h


__all__ = ["Air", "Sunlit", "air", "film", "in_the_sun", "surfaces", "usual_surface"]
