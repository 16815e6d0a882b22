"""Ply stresses through the wall of one tube as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from tubecalc.section import Sections
from tubecalc.wall import WallTable

if TYPE_CHECKING:
    import pandas as pd

    from tubecalc.tube import Tube


def ply_stress_table(
    tube: Tube, *, axial: float, moment: float, torque: float, shear: float
) -> pd.DataFrame:
    """Ply-axis stresses at both faces of every ply, at the extreme fibres and the sides.

    Parameters
    ----------
    tube : Tube
        One tube.
    axial, moment, torque, shear : float
        Section loads [N, N m, N m, N].

    Returns
    -------
    pandas.DataFrame
        See `Tube.ply_stress`.

    Raises
    ------
    InputError
        If no load is given or the tube is several.
    """
    import pandas as pd

    from tubecalc.errors import InputError
    from tubecalc.tube import single

    single(tube, "ply_stress")
    if not any((axial, moment, torque, shear)):
        raise InputError("no load is given", where="ply_stress", expected='axial="1 kN"')
    s: Sections = tube.sections
    walls: WallTable = s.walls
    radius = float(s.R[0])
    places = [("tension side", moment, torque)] if moment else [("all round", 0.0, torque)]
    if moment:
        places.append(("compression side", -moment, torque))
    if shear:
        side = 2 * radius * shear
        places += [("side", 0.0, torque + side), ("other side", 0.0, torque - side)]
    rows = []
    pull, bend = s.pull, s.bend
    even = bool(walls.homogeneous[0])
    for number, ply in enumerate(tube.layup.plies):
        for face, z in zip(("inner", "outer"), tube.layup.faces[number : number + 2], strict=True):
            r = max(radius + float(z), 1e-9)
            hoop, bent = (1.0, r) if even else (1.0 / r, 1.0)
            for name, m, t in places:
                e = np.array(
                    [
                        float(pull.c11[0] * axial + pull.c13[0] * t + bend.c11[0] * m * r),
                        float(
                            (pull.c12[0] * axial + pull.c23[0] * t) * hoop + bend.c12[0] * m * bent
                        ),
                        float((pull.c13[0] * axial + pull.c33[0] * t) * r + bend.c13[0] * m * bent),
                    ]
                )
                stress = _turn(ply.angle) @ tube.layup.qbar[number] @ e / 1e6
                rows.append(
                    (
                        number + 1,
                        ply.key or ply.values.name,
                        ply.angle,
                        face,
                        name,
                        *stress.tolist(),
                    )
                )
    columns = [
        "ply",
        "material",
        "angle",
        "face",
        "station",
        "sigma1_MPa",
        "sigma2_MPa",
        "tau12_MPa",
    ]
    return pd.DataFrame(rows, columns=columns)


def _turn(angle: float) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    from tubecalc.laminate.elastic import stress_rotation

    return stress_rotation(np.radians(angle))
