"""LaRC03 in plane stress: matrix cracks on their own fracture plane, and kinking of fibres."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from tubecalc.laminate.elastic import Array

if TYPE_CHECKING:
    from tubecalc.laminate.strength import Strengths

_TINY = 1e-60
FRACTURE_ANGLE = np.radians(53.0)  # of pure transverse compression, carbon and glass/epoxy
_PLANES = np.radians(np.arange(0.0, 57.0, 1.0))  # tried planes of a crack under compression
_HALVINGS = 44


class Friction(NamedTuple):
    """What the fracture plane of pure compression tells: shear strength across, two frictions."""

    transverse_shear: Array
    across: Array
    along: Array


def friction(Yc: ArrayLike, S12: ArrayLike, angle: float = FRACTURE_ANGLE) -> Friction:
    """Transverse shear strength and the coefficients of pressure on a crack.

    Parameters
    ----------
    Yc, S12 : array_like
        Transverse compressive and in-plane shear strength [Pa].
    angle : float
        Fracture plane under pure transverse compression [rad].

    Returns
    -------
    Friction
        Shear strength across the fibres [Pa], coefficients across and along them [-].

    Notes
    -----
    Source: Davila, Camanho & Rose, J. Compos. Mater. 39 (2005) 323, and NASA/TM-2003-212663,
    eqs. 8 to 13. MEMORY.

    Examples
    --------
    >>> round(float(friction(200e6, 79e6).transverse_shear) / 1e6, 1)
    75.4
    """
    c, s = np.cos(angle), np.sin(angle)
    crush, shear = np.asarray(Yc, float), np.asarray(S12, float)
    across = -1.0 / np.tan(2 * angle)
    return Friction(
        np.asarray(crush * c * (s + c / np.tan(2 * angle))),
        np.asarray(across),
        np.asarray(-shear * np.cos(2 * angle) / (crush * c**2)),
    )


def matrix_compression(s2: ArrayLike, t12: ArrayLike, *, Yc: ArrayLike, S12: ArrayLike) -> Array:
    """Failure index of a matrix under compression and shear, on its worst plane; 1 is failure.

    Parameters
    ----------
    s2, t12 : array_like
        Transverse (negative) and shear stress in ply axes [Pa].
    Yc, S12 : array_like
        Strengths [Pa].

    Returns
    -------
    numpy.ndarray
        Index, of the second degree in the stress [-].

    Notes
    -----
    Source: Davila, Camanho & Rose 2005, LaRC03 criterion 1: Mohr-Coulomb with the effective
    shears on a plane at angle a, max over a in steps of one degree. MEMORY; held by the digitised
    curve of its fig. 11 (rows LARC03-F11).

    Examples
    --------
    >>> index = matrix_compression(-200.0, 0.0, Yc=200.0, S12=79.0)
    >>> round(float(index), 3)
    1.0
    """
    f = friction(Yc, S12)
    side, shear = np.asarray(s2, float)[..., None], np.abs(np.asarray(t12, float))[..., None]
    c, s = np.cos(_PLANES), np.sin(_PLANES)
    lift = [np.asarray(v)[..., None] for v in (*f, S12)]
    strength, across, along, s12 = lift
    rolling = np.maximum(-side * c * (s - across * c), 0.0) / strength
    sliding = np.maximum(c * (shear + along * side * c), 0.0) / s12
    return np.asarray(np.max(rolling**2 + sliding**2, axis=-1))


def toughness_ratio(s: Strengths) -> Array:
    """Ratio of the toughness of a crack opened to that of one sheared, from the strengths.

    Parameters
    ----------
    s : Strengths
        Strengths and moduli [Pa].

    Returns
    -------
    numpy.ndarray
        g = G_Ic / G_IIc [-].

    Notes
    -----
    Source: Davila, Camanho & Rose 2005, the ratio of a thick ply: 1.12^2 (L22 / L44) (Yt / S12)^2
    with L22 = 2 (1/E2 - nu21^2/E1), L44 = 1/G12. MEMORY.
    """
    nu21 = s.nu12 * s.E2 / s.E1
    opened, sheared = 2 * (1 / s.E2 - nu21**2 / s.E1), 1 / s.G12
    return np.asarray(np.minimum(1.12**2 * opened / sheared * (s.Yt / s.S12) ** 2, 1.0))


def matrix_tension(s2: Array, t12: Array, s: Strengths) -> Array:
    """Failure index of a crack opened and sheared, LaRC03 criterion 2; 1 is failure."""
    g = toughness_ratio(s)
    pull = np.maximum(s2, 0.0) / s.Yt
    return np.asarray((1 - g) * pull + g * pull**2 + (t12 / s.S12) ** 2)


def kinked(s1: Array, s2: Array, t12: Array, s: Strengths) -> tuple[Array, Array, Array]:
    """Stress in the frame of fibres that compression has turned.

    Parameters
    ----------
    s1, s2, t12 : numpy.ndarray
        Ply-axis stresses [Pa].
    s : Strengths
        Strengths and moduli [Pa].

    Returns
    -------
    tuple of numpy.ndarray
        Stress along, across and shear in the turned frame [Pa].

    Notes
    -----
    Source: Davila, Camanho & Rose 2005, eqs. 17 to 24, linear shear law. MEMORY.
    """
    share = s.S12 / s.Xc
    eta = friction(s.Yc, s.S12).along
    root = np.sqrt(np.maximum(1 - 4 * (share + eta) * share, 0.0))
    first = np.arctan((1 - root) / (2 * (share + eta)))
    shear = np.abs(t12)
    turn = (shear + (s.G12 - s.Xc) * first) / np.maximum(s.G12 + s1 - s2, 0.05 * s.G12)
    c, n = np.cos(turn), np.sin(turn)
    return (
        np.asarray(c * c * s1 + n * n * s2 + 2 * n * c * shear),
        np.asarray(n * n * s1 + c * c * s2 - 2 * n * c * shear),
        np.asarray(-n * c * s1 + n * c * s2 + (c * c - n * n) * shear),
    )


def larc03_index(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    """Largest of the LaRC03 indices; below 1 is sound, not of one degree in the stress.

    Parameters
    ----------
    s1, s2, t12 : numpy.ndarray
        Ply-axis stresses [Pa].
    s : Strengths
        Strengths and moduli [Pa].

    Returns
    -------
    numpy.ndarray
        Index [-].

    Notes
    -----
    Source: Davila, Camanho & Rose, J. Compos. Mater. 39 (2005) 323, criteria 1 to 6. MEMORY.
    """
    pulled = np.maximum(s1 - s.nu12 * s2, 0.0) / s.Xt  # largest strain along the fibre
    _, m2, m12 = kinked(np.minimum(s1, 0.0), s2, t12, s)
    eta = friction(s.Yc, s.S12).along
    kink = np.where(
        m2 < 0,
        np.maximum(np.abs(m12) + eta * m2, 0.0) / s.S12,
        matrix_tension(m2, m12, s),
    )
    crushed = np.where(
        s1 < -s.Yc,
        matrix_compression(np.minimum(m2, 0.0), m12, Yc=s.Yc, S12=s.S12),
        matrix_compression(np.minimum(s2, 0.0), t12, Yc=s.Yc, S12=s.S12),
    )
    matrix = np.where(s2 < 0, crushed, matrix_tension(s2, t12, s))
    return np.asarray(np.maximum(np.maximum(pulled, matrix), np.where(s1 < 0, kink, 0.0)))


def larc03(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    """Load factor by LaRC03, found by halving since the turned fibres make it non-linear.

    Parameters
    ----------
    s1, s2, t12 : numpy.ndarray
        Ply-axis stresses of the unit load [Pa].
    s : Strengths
        Strengths and moduli [Pa]; those of a ply alone are cautious for a ply held by its
        neighbours, see `tubecalc.laminate.criteria_insitu`.

    Returns
    -------
    numpy.ndarray
        Load factor, to 1e-9 [-].

    Notes
    -----
    Source: see `larc03_index`. Woven plies: largest stress. Grade B.

    Examples
    --------
    >>> from tubecalc.laminate.strength import Strengths
    >>> ply = Strengths(*(np.array([v]) for v in (
    ...     1950e6, 1480e6, 48e6, 200e6, 79e6, 126e9, 11e9, 6.6e9, 0.28, 0.0, 0.0)))
    >>> one, none = np.array([1e6]), np.zeros(1)
    >>> [round(float(larc03(*x, ply)[0]), 1) for x in (
    ...     (one, none, none), (-one, none, none), (none, one, none), (none, -one, none))]
    [1950.0, 1480.0, 48.0, 200.0]
    """
    largest = np.maximum(np.maximum(np.abs(s1) / s.Xt, np.abs(s1) / s.Xc), np.abs(t12) / s.S12)
    largest = np.maximum(np.maximum(largest, np.abs(s2) / s.Yt), np.abs(s2) / s.Yc)
    size = np.maximum(largest, _TINY)
    a, b, c = (np.asarray(v / size) for v in np.broadcast_arrays(s1, s2, t12))
    low, high = np.zeros_like(a), np.full_like(a, 40.0)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        sound = larc03_index(middle * a, middle * b, middle * c, s) < 1.0
        low, high = np.where(sound, middle, low), np.where(sound, high, middle)
    factor = np.where(largest > _TINY, high / size, np.inf)
    woven = s.woven > 0
    if woven.any():
        ratios = (
            np.abs(s1) / np.where(s1 >= 0, s.Xt, s.Xc),
            np.abs(s2) / np.where(s2 >= 0, s.Yt, s.Yc),
            np.abs(t12) / s.S12,
        )
        cloth = 1.0 / np.maximum(np.maximum(np.maximum(*ratios[:2]), ratios[2]), _TINY)
        factor = np.where(woven, cloth, factor)
    missing = np.isnan(sum(s.Xt * 0 + v for v in s[:9])) | np.isnan(size)
    return np.asarray(np.where(missing, np.nan, factor))
