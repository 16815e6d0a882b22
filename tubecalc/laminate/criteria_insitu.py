"""Strengths of a ply held by its neighbours, and the last ply when every matrix has gone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from tubecalc.errors import InputError

if TYPE_CHECKING:
    from tubecalc.laminate.layup import Layup
    from tubecalc.laminate.strength import Strengths

# Thickness from which a held ply counts as thick [m]; Barbero 2018, sec. 7.2.1. MEMORY
THICK = {"carbon": 0.8e-3, "glass": 0.6e-3}
_PLACES = ("embedded", "outer")


def in_situ(
    s: Strengths,
    thickness: ArrayLike,
    *,
    place: str = "embedded",
    thick_from: float = THICK["carbon"],
) -> Strengths:
    """Transverse tensile and shear strength of a ply that its neighbours hold together.

    Parameters
    ----------
    s : Strengths
        Strengths of the ply alone [Pa].
    thickness : array_like
        Thickness of the ply, equal neighbours together [m].
    place : str
        "embedded" between plies of other angles, or "outer" on a surface.
    thick_from : float
        Thickness from which a held ply counts as thick [m]; it stands for the toughness that
        data sets do not give. 0.8 mm carbon, 0.6 mm glass/epoxy.

    Returns
    -------
    Strengths
        With Yt and S12 raised; an outer thick ply keeps those it has alone.

    Raises
    ------
    InputError
        For another place.

    Notes
    -----
    Thick embedded ply: 1.12 sqrt(2) Yt and sqrt(2) S12. A thinner one is stronger by the root of
    the ratio of thicknesses, from the same energy of the crack. An outer ply has its own strength,
    raised in the same way when thin. Linear shear. Source: Camanho et al., Composites A 37 (2006)
    165, eqs. 24 to 43; Barbero, Introduction to Composite Materials Design, 3rd ed. 2018, sec.
    7.2.1. MEMORY, held by rows LARC-insitu and BARBERO7.5-F2t. Grade B.

    Examples
    --------
    >>> from tubecalc.laminate.strength import Strengths
    >>> glass = Strengths(*(np.array([v]) for v in (
    ...     1034e6, 1034e6, 31e6, 138e6, 41e6, 54e9, 18e9, 9e9, 0.25, 0.0, 0.0)))
    >>> round(float(in_situ(glass, 5.08e-3).Yt[0]) / 1e6, 1)
    49.1
    """
    if place not in _PLACES:
        raise InputError(
            "is not a place of a ply", where="in_situ:place", got=place,
            expected=" or ".join(_PLACES),
        )  # fmt: skip
    thin = np.sqrt(np.maximum(thick_from / np.asarray(thickness, float), 1.0))
    if place == "embedded":
        return s._replace(Yt=1.12 * np.sqrt(2.0) * s.Yt * thin, S12=np.sqrt(2.0) * s.S12 * thin)
    return s._replace(Yt=s.Yt * thin, S12=s.S12 * thin)


def last_ply_factor(layup: Layup, loads: ArrayLike, *, keeps: float = 0.001) -> float:
    """Load factor at which a fibre breaks once every matrix has cracked.

    Parameters
    ----------
    layup : Layup
        The wall, of plies with fibre strengths.
    loads : array_like
        Nx, Ny, Nxy [N/m] of a wall that cannot curl.
    keeps : float
        Share that a cracked ply keeps of E2, G12 and nu12 [-].

    Returns
    -------
    float
        Load factor [-].

    Notes
    -----
    Ply discount. Source: Barbero, Introduction to Composite Materials Design, 3rd ed. 2018, sec.
    7.3; row BARBERO7.8. Grade B (tubes under tension 10 % low to 10 % high, row EXP-Q1).

    Examples
    --------
    >>> from tubecalc.laminate.layup import Layup
    >>> wall = Layup.from_notation("[0/90]_s", "carbon-sm-ud", "0.15 mm")
    >>> round(last_ply_factor(wall, np.array([1e5, 0.0, 0.0])), 2)
    6.51
    """
    from tubecalc.laminate.elastic import reduced_stiffness, rotated_stiffness, stress_rotation

    plies = layup.plies
    turns = np.radians([x.angle for x in plies])
    weak = np.stack(
        [
            reduced_stiffness(
                x.values.E1, keeps * x.values.E2, keeps * x.values.G12, keeps * x.values.nu12
            )
            for x in plies
        ]
    )
    stiff = rotated_stiffness(weak, turns)
    wall = np.einsum("n,nij->ij", [x.thickness for x in plies], stiff)
    strain = np.linalg.solve(wall, np.asarray(loads, float))
    along = np.einsum("nij,njk,k->ni", stress_rotation(turns), stiff, strain)[:, 0]
    limits = np.where(along >= 0, [x.values.Xt for x in plies], [x.values.Xc for x in plies])
    return float(np.min(limits / np.maximum(np.abs(along), 1e-60)))
