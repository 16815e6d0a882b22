"""LaRC03 in plane stress: matrix cracks on their own fracture plane, and kinking of fibres."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from tubecalc.laminate.elastic import Array, Bools

if TYPE_CHECKING:
    from tubecalc.laminate.strength import Strengths

_TINY = 1e-60
FRACTURE_ANGLE = np.radians(53.0)  # of pure transverse compression, carbon and glass/epoxy
_PLANES = np.radians(np.arange(2.0, 57.0, 3.0))  # tried planes of a crack under compression
_HALVINGS = 32
_AT_ONCE = 100_000  # stress states worked on together, to bound the memory


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
    shears on a plane at angle a, max over a in steps of three degrees (0.1 % of the load). MEMORY;
    held by the digitised curve of its fig. 11 (rows LARC03-F11).

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


def _root(a: Array, b: Array) -> Array:
    """Positive root of a x^2 + b x = 1."""
    return np.asarray(2.0 / np.maximum(b + np.sqrt(b * b + 4.0 * a), _TINY))


def _kink_index(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    _, m2, m12 = kinked(s1, s2, t12, s)
    eta = friction(s.Yc, s.S12).along
    rubbed = np.maximum(np.abs(m12) + eta * m2, 0.0) / s.S12
    return np.where(m2 < 0, rubbed, matrix_tension(m2, m12, s))


def _turned_index(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    _, m2, m12 = kinked(s1, s2, t12, s)
    return matrix_compression(np.minimum(m2, 0.0), m12, Yc=s.Yc, S12=s.S12)


def _halve(
    index: Callable[..., Array], stress: Sequence[Array], s: Strengths, low: Array, high: Array
) -> Array:
    """Factor between two bounds at which an index reaches 1; the upper one where it does not."""
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        sound = index(*(middle * v for v in stress), s) < 1.0
        low, high = np.where(sound, middle, low), np.where(sound, high, middle)
    return high


def _only(s: Strengths, where: Bools) -> Strengths:
    return type(s)(*(v[where] for v in s))


def _matrix_factor(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    """Criteria 2, 1 and, for fibres beyond the crushing strength of the matrix, 3."""
    g = toughness_ratio(s)
    pull = np.maximum(s2, 0.0) / s.Yt
    out = _root(g * pull**2 + (t12 / s.S12) ** 2, (1 - g) * pull)
    pressed = s2 < 0
    if not pressed.any():
        return out
    own = _only(s, pressed)
    a, b, c = s1[pressed], s2[pressed], t12[pressed]
    plain = 1.0 / np.sqrt(np.maximum(matrix_compression(b, c, Yc=own.Yc, S12=own.S12), _TINY))
    late = plain * np.maximum(-a, 0.0) > own.Yc
    if late.any():
        few, start = _only(own, late), own.Yc[late] / -a[late]
        found = _halve(
            _turned_index, (a[late], b[late], c[late]), few, start, 4.0 * few.Xc / -a[late]
        )
        plain[late] = found
    out[pressed] = plain
    return out


def _factor(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    """Load factor of stress states in a row, woven plies by largest stress."""
    ratios = [
        np.abs(s1) / np.where(s1 >= 0, s.Xt, s.Xc),
        np.abs(s2) / np.where(s2 >= 0, s.Yt, s.Yc),
        np.abs(t12) / s.S12,
    ]
    largest = np.maximum(np.maximum(ratios[0], ratios[1]), ratios[2])
    pulled = s.Xt / np.maximum(s1 - s.nu12 * s2, _TINY)
    factor = np.minimum(_matrix_factor(s1, s2, t12, s), np.where(s1 >= 0, pulled, np.inf))
    turns = (s1 < 0) & (np.abs(s1) * 1e6 > np.abs(t12))
    if turns.any():
        few, stress = _only(s, turns), (s1[turns], s2[turns], t12[turns])
        top = np.minimum(factor[turns], 4.0 * few.Xc / -stress[0])
        factor[turns] = _halve(_kink_index, stress, few, np.zeros_like(top), top)
    factor = np.where(s.woven > 0, 1.0 / np.maximum(largest, _TINY), factor)
    factor = np.where(largest > _TINY, factor, np.inf)
    needed = s.Xt + s.Xc + s.Yt + s.Yc + s.S12 + s.E1 + s.E2 + s.G12 + s.nu12
    return np.where(np.isnan(needed + largest), np.nan, factor)


def larc03(s1: Array, s2: Array, t12: Array, s: Strengths) -> Array:
    """Load factor by LaRC03; where fibres turn under compression it is found by halving.

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
        Load factor, to 1e-8 [-].

    Notes
    -----
    Source: Davila, Camanho & Rose, J. Compos. Mater. 39 (2005) 323, criteria 1 to 6, with strains
    along the fibre for its tension. MEMORY. Woven plies: largest stress. Grade B. Some ten times
    the work of a closed criterion.

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
    shape = np.broadcast_shapes(np.shape(s1), np.shape(s2), np.shape(t12), np.shape(s.Xt))
    full = shape or (1,)
    spread = [np.broadcast_to(v, full) for v in (s1, s2, t12, *s)]
    rows = max(1, _AT_ONCE // max(1, int(np.prod(full[1:]))))
    out = np.empty(full)
    for first in range(0, full[0], rows):
        part = [np.array(v[first : first + rows], float).reshape(-1) for v in spread]
        found = _factor(part[0], part[1], part[2], type(s)(*part[3:]))
        out[first : first + rows] = found.reshape(out[first : first + rows].shape)
    return out.reshape(shape)
