"""Stiffness of a wall over the direction it is pulled or sheared in."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from tubecalc.laminate.elastic import Array
from tubecalc.laminate.layup import Layup


class Polar(NamedTuple):
    """Moduli over angle: pulled along, and sheared in, axes turned by each angle [Pa]."""

    angle: Array  # from the tube axis [deg]
    E: Array
    G: Array


def stiffness_over_angle(layup: Layup, angles: ArrayLike) -> Polar:
    """Modulus and shear modulus of a wall in turned axes.

    Parameters
    ----------
    layup : Layup
        The stack; it cannot curl, as in a closed tube.
    angles : array_like
        Directions from the tube axis [deg].

    Returns
    -------
    Polar

    Notes
    -----
    The compliance of the wall is turned, S' = T S T^t with T that turns strains; source: Jones,
    Mechanics of Composite Materials, 2nd ed. 1999, sec. 2.6. At 0 degrees E is Ex and at 90
    degrees Ey of the stack.

    Examples
    --------
    >>> wall = Layup.of([("carbon-sm-ud", 0, "1 mm")])
    >>> [round(x / 1e9, 1) for x in stiffness_over_angle(wall, [0.0, 90.0]).E.tolist()]
    [125.0, 8.4]
    """
    turn = np.atleast_1d(np.asarray(angles, float))
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    rows = np.stack(
        [
            np.stack([c * c, s * s, c * s], axis=-1),
            np.stack([-2 * c * s, 2 * c * s, c * c - s * s], axis=-1),
        ],
        axis=-2,
    )
    found = np.einsum("nij,jk,nik->ni", rows, layup.a * layup.t, rows)
    return Polar(turn, 1.0 / found[:, 0], 1.0 / found[:, 1])


__all__ = ["Polar", "stiffness_over_angle"]
