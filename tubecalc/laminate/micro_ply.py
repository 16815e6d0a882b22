"""All constants of a ply from fibre and resin, by each method, as arrays over many mixtures."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from tubecalc.errors import unknown_key
from tubecalc.laminate.constituents import Fibre, Resin
from tubecalc.laminate.elastic import Array
from tubecalc.laminate.micro_strength import (
    fibre_crush,
    fibre_kink,
    fibre_tension,
    matrix_strength,
)
from tubecalc.laminate.micromechanics import (
    chamis,
    expansion,
    expansion_chamis,
    halpin_tsai,
    mixture,
    series,
)

METHODS = ("nearest", "mixture", "halpin-tsai", "chamis")
ELASTIC = ("E1", "E2", "G12", "nu12", "nu23", "G23", "alpha1", "alpha2", "density")
STRENGTH = ("Xt", "Xc", "Yt", "Yc", "S12")
# Greatest error of the nearest method against the four plies of the World-Wide Failure Exercise
# whose fibre and resin are published too (Soden, Hinton & Kaddour 1998); rounded up.
EXPECTED_ERROR = {
    "E1": 0.09, "E2": 0.25, "G12": 0.30, "nu12": 0.10, "nu23": 0.60, "G23": 0.20, "alpha1": 0.40,
    "alpha2": 0.25, "density": 0.01, "Xt": 0.20, "Xc": 0.60, "Yt": 1.45, "Yc": 0.55, "S12": 0.9,
}  # fmt: skip
ALPHA1_ERROR = 1.1e-6  # the same for alpha1 of carbon plies, where it is nearly nothing [1/K]
SOURCES = {
    "E1": "mixture: Kaw 2006, eq. 3.34",
    "E2": "mixture (one behind the other): Kaw 2006, eq. 3.37; Halpin & Tsai 1969; "
    "Chamis, NASA TM-83320, 1983",
    "G12": "mixture (one behind the other): Kaw 2006, eq. 3.49; Halpin & Tsai 1969; "
    "Chamis, NASA TM-83320, 1983",
    "nu12": "mixture: Kaw 2006, eq. 3.45",
    "nu23": "from E2 and the bulk modulus of Hashin 1979 (MEMORY)",
    "G23": "from E2 and the bulk modulus of Hashin 1979 (MEMORY); Chamis, NASA TM-83320, 1983",
    "alpha1": "Schapery 1968; Kaw 2006, eq. 3.117",
    "alpha2": "Schapery 1968; Chamis, NASA TM-83320, 1983",
    "density": "mixture: Kaw 2006, eq. 3.8",
    "Xt": "fibres break first: NASA TP-2515, 1986",
    "Xc": "fibres crush, or part: Chamis, NASA TM-83320, 1983 (MEMORY)",
    "Yt": "Chamis, NASA TM-83320, 1983 (MEMORY)",
    "Yc": "Chamis, NASA TM-83320, 1983 (MEMORY)",
    "S12": "Chamis, NASA TM-83320, 1983 (MEMORY)",
}


class Mix(NamedTuple):
    """Fibre, resin and shares; every entry may be an array of many mixtures (SI)."""

    E1f: ArrayLike
    E2f: ArrayLike
    G12f: ArrayLike
    G23f: ArrayLike
    nuf: ArrayLike
    rhof: ArrayLike
    a1f: ArrayLike
    a2f: ArrayLike
    Xtf: ArrayLike
    Xcf: ArrayLike
    Em: ArrayLike
    num: ArrayLike
    rhom: ArrayLike
    am: ArrayLike
    Xtm: ArrayLike
    Xcm: ArrayLike
    Sm: ArrayLike
    vf: ArrayLike
    voids: ArrayLike

    @property
    def Gm(self) -> Array:
        """Shear modulus of the resin [Pa]."""
        return np.asarray(np.asarray(self.Em, float) / (2.0 * (1.0 + np.asarray(self.num))))

    @property
    def vm(self) -> Array:
        """Resin share of the volume [-]."""
        return np.asarray(1.0 - np.asarray(self.vf, float) - np.asarray(self.voids))


def mix(fibre: Fibre, resin: Resin, vf: ArrayLike, voids: ArrayLike = 0.0) -> Mix:
    """Mixture of a fibre and a resin.

    Parameters
    ----------
    fibre : Fibre
        The fibre.
    resin : Resin
        The resin.
    vf, voids : array_like
        Shares of the volume [-].

    Returns
    -------
    Mix
    """
    return Mix(
        fibre.E1, fibre.E2, fibre.G12, fibre.G23, fibre.nu12, fibre.density, fibre.alpha1,
        fibre.alpha2, fibre.Xt, fibre.Xc, resin.E, resin.nu, resin.density, resin.alpha, resin.Xt,
        resin.Xc, resin.S12, vf, voids,
    )  # fmt: skip


def _bulk(m: Mix) -> Array:
    """Plane-strain bulk modulus across the fibres (Hashin 1979, composite cylinders; MEMORY)."""
    e1, e2, g, nu = (np.asarray(x, float) for x in (m.E1f, m.E2f, m.G23f, m.nuf))
    fibre = 1.0 / (4.0 / e2 - 1.0 / g - 4.0 * nu**2 / e1)
    num, gm = np.asarray(m.num, float), m.Gm
    resin = gm / (1.0 - 2.0 * num)
    vf = np.asarray(m.vf, float)
    gap = fibre - resin
    with np.errstate(divide="ignore", invalid="ignore"):
        raised = resin + vf / (1.0 / gap + (1.0 - vf) / (resin + gm))
    return np.asarray(np.where(np.abs(gap) > 1e-12 * resin, raised, resin))


def _across(E1: Array, E2: Array, nu12: Array, bulk: Array) -> tuple[Array, Array]:
    """G23 and nu23 that E2 leaves: 4/E2 = 1/G23 + 1/K23 + 4 nu12^2/E1."""
    g = 1.0 / (4.0 / E2 - 1.0 / bulk - 4.0 * nu12**2 / E1)
    return np.asarray(g), np.asarray(E2 / (2.0 * g) - 1.0)


def _e2(m: Mix, method: str) -> Array:
    if method == "mixture":
        return series(m.E2f, m.Em, m.vf)
    if method == "chamis":
        return chamis(m.E2f, m.Em, m.vf)
    return halpin_tsai(m.E2f, m.Em, m.vf, 2.0)


def _g12(m: Mix, method: str) -> Array:
    if method == "mixture":
        return series(m.G12f, m.Gm, m.vf)
    if method == "halpin-tsai":
        return halpin_tsai(m.G12f, m.Gm, m.vf, 1.0)
    return chamis(m.G12f, m.Gm, m.vf)


def ply_constants(m: Mix, method: str = "nearest") -> dict[str, Array]:
    """Elastic constants, expansion, density and strengths of a ply.

    Parameters
    ----------
    m : Mix
        Fibre, resin and shares of the volume; arrays broadcast.
    method : str
        "mixture" (side by side and one behind the other), "halpin-tsai", "chamis", or "nearest":
        each constant by the form that lies nearest to the four plies of the World-Wide Failure
        Exercise (E2 Halpin-Tsai; G12 and alpha2 Chamis).

    Returns
    -------
    dict of str to numpy.ndarray
        E1, E2, G12, nu12, nu23, G23, alpha1, alpha2, density, Xt, Xc, Yt, Yc, S12 [SI].

    Raises
    ------
    InputError
        If the method is unknown.

    Notes
    -----
    Sources: see `SOURCES`. Voids take the place of resin; nu12 does not count them, as in
    NASA TP-2515.

    Examples
    --------
    >>> from tubecalc.laminate.constituents import get_fibre, get_resin
    >>> found = ply_constants(mix(get_fibre("glass-e"), get_resin("epoxy"), 0.6))
    >>> [round(float(found[n]) / 1e9, 2) for n in ("E1", "E2", "G12")]
    [45.74, 14.47, 4.84]
    """
    if method not in METHODS:
        raise unknown_key("method", method, METHODS, "method")
    e1 = mixture(m.E1f, m.Em, m.vf, m.vm)
    e2, g12, nu12 = _e2(m, method), _g12(m, method), mixture(m.nuf, m.num, m.vf)
    g23, nu23 = _across(e1, e2, nu12, _bulk(m))
    along, across = expansion(m.vf, m.E1f, m.Em, m.num, m.a1f, m.a2f, m.am, m.nuf)
    if method in ("nearest", "chamis"):
        across = expansion_chamis(m.vf, m.E1f, e1, m.num, m.a2f, m.am)
    shear = matrix_strength(m.Sm, m.G12f, m.Gm, m.vf, m.voids)
    out = {
        "E1": e1, "E2": e2, "G12": g12, "nu12": nu12, "nu23": nu23, "G23": g23,
        "alpha1": along, "alpha2": across, "density": mixture(m.rhof, m.rhom, m.vf, m.vm),
        "Xt": fibre_tension(m.Xtf, m.vf, m.vm, m.E1f, m.Em), "Xc": fibre_crush(m.Xcf, m.vf),
        "Yt": matrix_strength(m.Xtm, m.E2f, m.Em, m.vf, m.voids),
        "Yc": matrix_strength(m.Xcm, m.E2f, m.Em, m.vf, m.voids), "S12": shear,
    }  # fmt: skip
    shape = np.broadcast_shapes(*(np.shape(v) for v in out.values()))
    return {k: np.broadcast_to(v, shape) for k, v in out.items()}


def kinked(m: Mix) -> Array:
    """Other relation of the strength in compression along the fibre, the lower end of its band."""
    return fibre_kink(matrix_strength(m.Sm, m.G12f, m.Gm, m.vf, m.voids), m.Xtm)


def every_method(m: Mix) -> dict[str, dict[str, Array]]:
    """Constants of a ply by each method.

    Parameters
    ----------
    m : Mix
        Fibre, resin and shares of the volume.

    Returns
    -------
    dict of str to dict
        Method -> property -> value [SI].
    """
    return {name: ply_constants(m, name) for name in METHODS}


def band(
    m: Mix, by_method: dict[str, dict[str, Array]] | None = None
) -> dict[str, tuple[Array, Array]]:
    """Lowest and highest of every constant: over the methods, widened by the expected error.

    Parameters
    ----------
    m : Mix
        Fibre, resin and shares of the volume; arrays broadcast.
    by_method : dict, optional
        From `every_method`, where it is known already.

    Returns
    -------
    dict of str to tuple of numpy.ndarray
        Property -> (low, high) [SI].

    Examples
    --------
    >>> from tubecalc.laminate.constituents import get_fibre, get_resin
    >>> low, high = band(mix(get_fibre("glass-e"), get_resin("epoxy"), 0.6))["E2"]
    >>> round(float(low) / 1e9, 2), round(float(high) / 1e9, 2)
    (7.84, 18.09)
    """
    by_method = by_method or every_method(m)
    out = {}
    for name, error in EXPECTED_ERROR.items():
        value = by_method["nearest"][name]
        wide = np.abs(value) * error
        if name == "alpha1":
            wide = np.maximum(wide, ALPHA1_ERROR)
            low, high = value - wide, value + wide
        else:
            low, high = value / (1.0 + error), value * (1.0 + error)
        each = [values[name] for values in by_method.values()]
        if name == "Xc":
            each.append(kinked(m))
        if name in ("nu23", "G23"):  # the one-behind-the-other E2 does not fit the bulk modulus
            each = [by_method[k][name] for k in ("nearest", "chamis")]
        out[name] = (np.fmin.reduce([low, *each]), np.fmax.reduce([high, *each]))
    return out
