"""Areal weight and thickness of a ply; woven cloth as crossed plies with crimp."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from tubecalc.errors import unknown_key
from tubecalc.laminate.elastic import Array

# Stiffness and strength of crimped yarns over those of straight ones (common practice, no source).
CRIMP = {"plain": 0.90, "twill": 0.94, "satin": 0.97, "ud": 1.0}
WEAVES = tuple(CRIMP)


def cured_thickness(areal_weight: ArrayLike, rho_f: ArrayLike, vf: ArrayLike) -> Array:
    """Thickness of a cured ply from the weight of its fibre.

    Parameters
    ----------
    areal_weight : array_like
        Fibre per area, both directions of a cloth together [kg/m2].
    rho_f : array_like
        Density of the fibre [kg/m3].
    vf : array_like
        Fibre share of the volume [-].

    Returns
    -------
    numpy.ndarray
        [m].

    Notes
    -----
    Source: ASTM D3171, method II; MIL-HDBK-17-2F (2002), secs. 4.2.1 and 6.2.1 agree within 5 %.

    Examples
    --------
    >>> round(float(cured_thickness(0.142, 1790.0, 0.614)) * 1e3, 4)
    0.1292
    """
    return np.asarray(np.asarray(areal_weight, float) / (np.asarray(rho_f) * np.asarray(vf)))


def fibre_areal_weight(thickness: ArrayLike, rho_f: ArrayLike, vf: ArrayLike) -> Array:
    """Weight of the fibre of a cured ply from its thickness.

    Parameters
    ----------
    thickness : array_like
        Of the cured ply [m].
    rho_f : array_like
        Density of the fibre [kg/m3].
    vf : array_like
        Fibre share of the volume [-].

    Returns
    -------
    numpy.ndarray
        Fibre per area [kg/m2].

    Examples
    --------
    >>> round(float(fibre_areal_weight(0.15e-3, 1770.0, 0.55)), 3)
    0.146
    """
    return np.asarray(np.asarray(thickness, float) * np.asarray(rho_f) * np.asarray(vf))


def crimp_factor(
    steepest: ArrayLike, E1: ArrayLike, E3: ArrayLike, G13: ArrayLike, nu13: ArrayLike
) -> Array:
    """What waves leave of the stiffness of a yarn: mean compliance along a sine-shaped path.

    Parameters
    ----------
    steepest : array_like
        Greatest slope of the yarn out of the cloth [deg].
    E1, E3, G13 : array_like
        Moduli of the straight yarn along, through and in shear [Pa].
    nu13 : array_like
        Its Poisson ratio [-].

    Returns
    -------
    numpy.ndarray
        At most 1 [-].

    Notes
    -----
    Source: Cox & Flanagan, Handbook of Analytical Methods for Textile Composites, NASA CR-4750,
    1997, waviness of nominally straight tows (MEMORY).

    Examples
    --------
    >>> round(float(crimp_factor(8.0, 130e9, 9e9, 4.5e9, 0.3)), 2)
    0.8
    """
    turn = np.linspace(0.0, 2.0 * np.pi, 64, endpoint=False)
    slope = np.tan(np.radians(np.asarray(steepest, float)))[..., None] * np.cos(turn)
    c2 = 1.0 / (1.0 + slope**2)
    s2 = 1.0 - c2
    e1, e3, g, nu = (np.asarray(x, float)[..., None] for x in (E1, E3, G13, nu13))
    compliance = c2**2 / e1 + s2**2 / e3 + s2 * c2 * (1.0 / g - 2.0 * nu / e1)
    return np.asarray(1.0 / (e1[..., 0] * compliance.mean(axis=-1)))


def crimp_of(weave: str) -> float:
    """Crimp factor a weave has by common practice.

    Parameters
    ----------
    weave : str
        "plain", "twill", "satin" or "ud".

    Returns
    -------
    float
        [-].

    Raises
    ------
    InputError
        If the weave is unknown.

    Examples
    --------
    >>> crimp_of("plain")
    0.9
    """
    if weave not in CRIMP:
        raise unknown_key("weave", weave, WEAVES, "weave")
    return CRIMP[weave]


def crossed(ply: dict[str, Array], crimp: ArrayLike, warp: ArrayLike = 0.5) -> dict[str, Array]:
    """Constants of a woven ply: two straight plies crossed, weakened along by crimp.

    Parameters
    ----------
    ply : dict of str to numpy.ndarray
        Constants of the straight ply, as of `ply_constants` [SI].
    crimp : array_like
        Stiffness and strength along the yarn over those of a straight one [-].
    warp : array_like
        Share of the fibre that runs along the roll [-].

    Returns
    -------
    dict of str to numpy.ndarray
        The same constants of the cloth, 1 along the warp; a strength is reached when the yarns
        along the load break (netting of the others kept, their cracks not counted).

    Notes
    -----
    Source: mosaic model, Ishikawa & Chou, J. Compos. Mater. 16 (1982) 2 (MEMORY), the two plies
    strained alike.

    Examples
    --------
    >>> one = {"E1": 130e9, "E2": 9e9, "G12": 4.5e9, "nu12": 0.3}
    >>> round(float(crossed({k: np.array(v) for k, v in one.items()}, 1.0)["E1"]) / 1e9, 1)
    69.8
    """
    b = np.asarray(warp, float)
    c = np.asarray(crimp, float)
    e1, e2 = ply["E1"] * c, ply["E2"]
    d = 1.0 - ply["nu12"] ** 2 * e2 / e1
    q1, q2, q12 = e1 / d, e2 / d, ply["nu12"] * e2 / d
    a1, a2 = b * q1 + (1 - b) * q2, b * q2 + (1 - b) * q1
    out = dict(ply)
    out["E1"], out["E2"] = np.asarray(a1 - q12**2 / a2), np.asarray(a2 - q12**2 / a1)
    out["nu12"] = np.asarray(q12 / a2)
    if "alpha1" in ply:
        n1 = b * (q1 * ply["alpha1"] + q12 * ply["alpha2"])
        n1 = n1 + (1 - b) * (q2 * ply["alpha2"] + q12 * ply["alpha1"])
        n2 = b * (q2 * ply["alpha2"] + q12 * ply["alpha1"])
        n2 = n2 + (1 - b) * (q1 * ply["alpha1"] + q12 * ply["alpha2"])
        det = a1 * a2 - q12**2
        out["alpha1"] = np.asarray((a2 * n1 - q12 * n2) / det)
        out["alpha2"] = np.asarray((a1 * n2 - q12 * n1) / det)
    if "Xt" in ply:
        for along, across, own in (("Xt", "Yt", ply["Xt"]), ("Xc", "Yc", ply["Xc"])):
            strain = own / ply["E1"]  # a crimped yarn is softer and weaker by the same share
            out[along] = np.asarray(strain * out["E1"])
            out[across] = np.asarray(strain * out["E2"])
    return out
