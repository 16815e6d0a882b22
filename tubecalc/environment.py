"""Heat and moisture: stiffness and strength of plies and metals at the service temperature.

Matrix-dominated values of a ply follow the distance to the glass transition (Chamis 1983),
fibre-dominated values are kept, metals follow tables of the Eurocodes in
``data/materials/heat.csv``. Cold counts as room temperature: nothing is gained by it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import TypeVar

import numpy as np

from tubecalc.environment_metal import heat_tables, metal_family, metal_retention
from tubecalc.errors import InputError
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layup import Layup
from tubecalc.unit_words import worded
from tubecalc.values import Values
from tubecalc.wall import WallTable

_T = TypeVar("_T")

ROOM = 20.0  # degC; values in the data files are of this temperature
MARGIN = 28.0  # K below the glass transition; MIL-HDBK-17-3 guidance of 50 degF (MEMORY)
RUBBER = 0.01  # share of matrix stiffness and strength kept above the glass transition (PRACTICE)
RESIN_SHARE = 1.0 / 3.0  # mass of matrix over mass of ply, to turn moisture of one into the other
KEPT = 4  # derated copies kept of one wall or table


def matrix_retention(
    temperature: Array | float, t_g: Array | float, t_g_now: Array | float, room: float = ROOM
) -> Array:
    """Share of matrix stiffness and strength left at a temperature and moisture.

    Parameters
    ----------
    temperature : array_like
        Service temperature; below `room` it counts as `room` [degC].
    t_g : array_like
        Glass transition of the dry matrix [degC].
    t_g_now : array_like
        Glass transition at the moisture of service, `t_g` when dry [degC].
    room : float
        Temperature at which the values were measured [degC].

    Returns
    -------
    numpy.ndarray
        Share, 1 at `room` when dry, 0 at and above the glass transition [-].

    Notes
    -----
    P / P0 = sqrt((Tgw - T) / (Tgd - T0)): Chamis, Simplified composite micromechanics equations for
    hygral, thermal and mechanical properties, NASA TM-83320, 1983 (MEMORY of the equation; the
    abstract, seen, names it). Valid from room temperature to the glass transition. Grade B: 15 %.

    Examples
    --------
    >>> round(float(matrix_retention(85.0, 150.0, 150.0)), 4)
    0.7071
    """
    hot = np.maximum(np.asarray(temperature, float), room)
    left = (np.asarray(t_g_now, float) - hot) / (np.asarray(t_g, float) - room)
    return np.asarray(np.sqrt(np.clip(left, 0.0, 1.0)))


def wet_glass_transition(t_g: Array | float, moisture: Array | float) -> Array:
    """Glass transition of a matrix that has taken up water.

    Parameters
    ----------
    t_g : array_like
        Glass transition, dry [degC].
    moisture : array_like
        Mass fraction of water in the matrix, up to 0.1 [-].

    Returns
    -------
    numpy.ndarray
        Glass transition, wet [degC].

    Raises
    ------
    InputError
        If the moisture lies outside 0 to 0.1, the range of the fit.

    Notes
    -----
    Tgw = (0.005 M^2 - 0.10 M + 1.0) Tgd, M in % by mass, temperatures in degF: Chamis, NASA
    TM-83320, 1983 (MEMORY). Grade C: 15 K.

    Examples
    --------
    >>> float(wet_glass_transition(150.0, 0.0)), round(float(wet_glass_transition(150.0, 0.03)), 1)
    (150.0, 107.2)
    """
    water = np.asarray(moisture, float)
    if np.any((water < 0.0) | (water > 0.1)):
        raise InputError(
            "moisture of the matrix is out of range", where="moisture",
            got=f"{float(np.max(water)):g}", expected="a mass fraction, 0 to 0.1",
        )  # fmt: skip
    percent = 100.0 * water
    fahrenheit = (np.asarray(t_g, float) * 1.8 + 32.0) * (0.005 * percent**2 - 0.10 * percent + 1.0)
    return np.asarray((fahrenheit - 32.0) / 1.8)


def glass_transition(values: Values, *, wet: bool = False) -> float:
    """Glass transition of a ply, dry or saturated; infinite for metals, NaN where not known.

    Parameters
    ----------
    values : Values
        Ply or metal.
    wet : bool
        Saturated with moisture: the ply's own wet value, else from its moisture.

    Returns
    -------
    float
        Temperature [degC].

    Examples
    --------
    >>> from tubecalc.materials import get_ply
    >>> ply = get_ply("carbon-sm-ud").si
    >>> glass_transition(ply), glass_transition(ply, wet=True)
    (150.0, 115.0)
    """
    if values.isotropic:
        return math.inf
    if not wet or math.isnan(values.t_g):
        return values.t_g
    if not math.isnan(values.t_g_wet):
        return values.t_g_wet
    if math.isnan(values.moisture):
        return math.nan
    return float(wet_glass_transition(values.t_g, min(values.moisture / RESIN_SHARE, 0.1)))


# -- one material -------------------------------------------------------------------------
def retention(values: Values, temperature: float, *, wet: bool = False) -> tuple[float, float]:
    """Shares of stiffness and strength left: of the matrix of a ply, or of a metal.

    Parameters
    ----------
    values : Values
        Ply or metal.
    temperature : float
        Service temperature [degC].
    wet : bool
        Saturated with moisture.

    Returns
    -------
    tuple of float
        Share of stiffness and of strength; 0 at the glass transition, 1 and 1 where the glass
        transition or the family of the metal is not known [-].

    Examples
    --------
    >>> from tubecalc.materials import get_ply
    >>> [round(x, 3) for x in retention(get_ply("carbon-sm-ud").si, 60.0, wet=True)]
    [0.65, 0.65]
    """
    if values.isotropic:
        family = metal_family(values)
        if not family or temperature <= ROOM:
            return 1.0, 1.0
        e, fy = (metal_retention(family, p, temperature) for p in ("E", "strength"))
        return (0.0 if math.isnan(e) else e), (0.0 if math.isnan(fy) else fy)
    now = glass_transition(values, wet=wet)
    if math.isnan(now) or math.isnan(values.t_g):
        return 1.0, 1.0
    left = float(matrix_retention(temperature, values.t_g, now))
    return left, left


def _scaled(values: Values, stiff: float, strong: float) -> Values:
    """Values with stiffness and strength of the matrix, or of the whole metal, scaled."""
    if values.isotropic:
        names = {"E1": stiff, "E2": stiff, "E3": stiff, "G12": stiff, "G23": stiff}
        names |= dict.fromkeys(("Xt", "Xc", "Yt", "Yc", "S12", "ultimate", "yield_minimum"), strong)
    elif values.woven:
        names = {"E3": stiff, "G12": stiff, "G23": stiff, "Xc": strong, "Yc": strong, "S12": strong}
    else:
        names = {"E2": stiff, "E3": stiff, "G12": stiff, "G23": stiff}
        names |= dict.fromkeys(("Xc", "Yt", "Yc", "S12"), strong)
    return replace(values, **{k: getattr(values, k) * f for k, f in names.items()})


@lru_cache(maxsize=1024)
def _soft(values: Values, temperature: float, wet: bool) -> Values:
    """Values at temperature for sweeps: a remnant is left above the glass transition."""
    stiff, strong = retention(values, temperature, wet=wet)
    if stiff == 1.0 and strong == 1.0:
        return values
    return _scaled(values, max(stiff, RUBBER), max(strong, RUBBER))


def at_temperature(values: Values, temperature: float, wet: bool = False) -> Values:
    """Values of a ply or metal at a service temperature, dry or saturated.

    Parameters
    ----------
    values : Values
        At room temperature, dry.
    temperature : float
        Service temperature; at or below room temperature nothing changes unless wet [degC].
    wet : bool
        Saturated with moisture.

    Returns
    -------
    Values
        Ply: E2, E3, G12, G23, Yt, Yc, S12 scaled with the matrix; Xc too, because the matrix holds
        the fibre against buckling and Xc follows its shear stiffness (Rosen, Mechanics of composite
        strengthening, ASM 1965); hot-wet tests keep more of Xc, so this is cautious. E1 and Xt are
        kept. Woven cloth: E1, E2, Xt, Yt kept. Metals: E, G and strengths by table.

    Raises
    ------
    InputError
        At or above the glass transition, beyond the table of a metal, or if the temperature is not
        a number.

    Notes
    -----
    The whole ply value is scaled, though the fibre carries part of E2 and G12: cautious. Expansion
    coefficients and Poisson's ratio are kept. Source: see `matrix_retention`, `metal_retention`.

    Examples
    --------
    >>> from tubecalc.materials import get_ply
    >>> cold = get_ply("carbon-sm-ud").si
    >>> hot = at_temperature(cold, 85.0)
    >>> hot.E1 == cold.E1, round(hot.G12 / cold.G12, 4)
    (True, 0.7071)
    """
    if not math.isfinite(temperature):
        raise InputError("temperature is not a finite number", where=values.name)
    stiff, strong = retention(values, temperature, wet=wet)
    if stiff <= 0.0 or strong <= 0.0:
        now = glass_transition(values, wet=wet)
        top = "the end of its table" if math.isinf(now) else worded("below {}", "temperature", now)
        raise InputError(
            "no stiffness or strength is known at this temperature", where=values.name,
            got=worded("{} wet" if wet else "{}", "temperature", temperature), expected=top,
        )  # fmt: skip
    return _soft(values, float(temperature), bool(wet))


def _celsius(temperature: float) -> str:
    return f"{temperature:.4g} degC"


def basis(
    values: Values,
    temperature: float,
    *,
    wet: bool = False,
    show: Callable[[float], str] = _celsius,
) -> str:
    """How heat and moisture enter for a material: share, basis and source in a sentence.

    Parameters
    ----------
    values : Values
        Ply or metal.
    temperature : float
        Service temperature [degC].
    wet : bool
        Saturated with moisture.
    show : callable
        How a temperature is written.

    Returns
    -------
    str
        Empty where nothing is reduced because nothing is hot or wet.

    Examples
    --------
    >>> from tubecalc.materials import get_metal
    >>> basis(get_metal("mild-steel").si, 200.0)[:50]
    'mild steel keeps 89 % of its yield strength and 90'
    """
    if values.isotropic:
        if temperature <= ROOM:
            return ""
        family = metal_family(values)
        if not family:
            return f"{values.name}: no table of its strength at heat, taken as at room temperature"
        stiff, strong = retention(values, temperature)
        source = heat_tables()[family, "strength"][2]
        return (
            f"{values.name} keeps {100 * strong:.3g} % of its yield strength and "
            f"{100 * stiff:.3g} % of E at {show(temperature)}: {source}"
        )
    if temperature <= ROOM and not wet:
        return ""
    now = glass_transition(values, wet=wet)
    if math.isnan(now) or math.isnan(values.t_g):
        return f"{values.name}: glass transition not known, taken as at room temperature and dry"
    left = retention(values, temperature, wet=wet)[0]
    state = "wet" if wet else "dry"
    return (
        f"the matrix of {values.name} keeps {100 * left:.3g} % of its stiffness and strength at "
        f"{show(max(temperature, ROOM))} {state} (glass transition {show(now)} {state}; Chamis, "
        "NASA TM-83320, 1983); what the fibres carry in tension is kept"
    )


# -- walls --------------------------------------------------------------------------------
def derated(layup: Layup, temperature: float, wet: bool = False) -> Layup:
    """The same stack with its materials at a service temperature.

    Parameters
    ----------
    layup : Layup
        Stack at room temperature.
    temperature : float
        Service temperature [degC].
    wet : bool
        Saturated with moisture.

    Returns
    -------
    Layup
        The same object where nothing changes. Above the glass transition a hundredth of the matrix
        values is left, so that a sweep can rank; the check "temperature" fails there.

    Notes
    -----
    Kept on the layup itself, so repeated calls cost a look-up.

    Examples
    --------
    >>> wall = Layup.from_notation("[0]", "carbon-sm-ud", "1 mm")
    >>> derated(wall, 20.0) is wall, derated(wall, 60.0) is derated(wall, 60.0)
    (True, True)
    """
    kept: dict[tuple[float, bool], Layup] = layup.__dict__.setdefault("_derated", {})
    key = (float(temperature), bool(wet))
    if key not in kept:
        values = [_soft(x.values, *key) for x in layup.layers]
        if all(new is x.values for new, x in zip(values, layup.layers, strict=True)):
            return layup
        layers = [replace(x, values=v) for x, v in zip(layup.layers, values, strict=True)]
        _keep(kept, key, Layup(layers, construction=layup.construction, name=layup.name,
                               asked=layup.asked))  # fmt: skip
    return kept[key]


def derated_walls(walls: WallTable, temperature: float, wet: bool = False) -> WallTable:
    """The same wall table with its materials at a service temperature; see `derated`.

    Parameters
    ----------
    walls : WallTable
        Walls at room temperature.
    temperature : float
        Service temperature [degC].
    wet : bool
        Saturated with moisture.

    Returns
    -------
    WallTable
        The same object where nothing changes; kept on the table otherwise.

    Examples
    --------
    >>> table = WallTable([Layup.from_notation("[0]", "304", "1 mm")])
    >>> float((derated_walls(table, 100.0).a[0, 0, 0] * 192e6).round(6))
    1.0
    """
    kept: dict[tuple[float, bool], WallTable] = walls.__dict__.setdefault("_derated", {})
    key = (float(temperature), bool(wet))
    if key not in kept:
        hot = [derated(x, *key) for x in walls.layups]
        if all(new is old for new, old in zip(hot, walls.layups, strict=True)):
            return walls
        _keep(kept, key, WallTable(hot))
    return kept[key]


def _keep(kept: dict[tuple[float, bool], _T], key: tuple[float, bool], value: _T) -> None:
    """Keep a value, dropping the oldest beyond a few."""
    while len(kept) >= KEPT:
        del kept[next(iter(kept))]
    kept[key] = value
