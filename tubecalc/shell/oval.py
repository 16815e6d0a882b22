"""Flattening of a bent tube: the moment at which its section gives way as a whole."""

from __future__ import annotations

import numpy as np

from tubecalc.laminate.elastic import Array
from tubecalc.section import Sections

BRAZIER = 2.0 * np.sqrt(2.0) / 9.0 * np.sqrt(12.0)  # 1.089


def flattening_moment(s: Sections, span: float = np.nan) -> Array:
    """Largest moment of a perfect tube that flattens as it bends.

    Parameters
    ----------
    s : Sections
        N tubes.
    span : float
        Length between stiff rings, ends or load points that keep the section round [m]; NaN for a
        long tube.

    Returns
    -------
    numpy.ndarray
        Moment, (N,) [N m].

    Notes
    -----
    Long: 1.089 pi R sqrt(Ex t D22), D22 reduced for coupling (Brazier, Proc. R. Soc. A 116 (1927)
    104, isotropic 0.987 E R t^2 / sqrt(1 - nu^2); the orthotropic form from the same energy). +4 to
    +11 % against non-linear finite elements. Short: the ends hold the section round, so it flattens
    at mid-length by a share e of what it would in a long tube, and the limit grows as 1 / sqrt(e).
    Flattening w cos(2 theta) rests on 9 D22 / R^4 of hoop bending and Ex t R^2 / 16 w'''' of
    stretching along (semi-membrane shell), a beam on an elastic foundation under even load
    between hinges: e = 1 - 2 cosh(b) cos(b) / (cosh(2 b) + cos(2 b)), b = L / (2 sqrt(2) l),
    l = (Ex t R^6 / (144 D22))^(1/4) (Hetenyi 1946). Own derivation, in the manner of Tatting,
    Gurdal & Vasiliev, Int. J. Solids Struct. 34 (1997) 1419 (MEMORY).

    Examples
    --------
    >>> from tubecalc.tube import Tube
    >>> s = Tube("304", od="101 mm", wall="1 mm").sections
    >>> bool(flattening_moment(s, 0.2)[0] > flattening_moment(s)[0])
    True
    """
    d22 = s.walls.d_reduced[s.index, 1, 1]
    stretch = s.Ex * s.t
    long = BRAZIER * np.pi * s.R * np.sqrt(stretch * d22)
    if np.isnan(span):
        return np.asarray(long)
    decay = (stretch * s.R**6 / (144.0 * d22)) ** 0.25
    b = np.minimum(span / (2.0 * np.sqrt(2.0) * decay), 40.0)
    flat = 1.0 - 2.0 * np.cosh(b) * np.cos(b) / (np.cosh(2 * b) + np.cos(2 * b))
    return np.asarray(long / np.sqrt(np.clip(flat, 1e-9, 1.0)))
