"""The tubular lap of `lap` in bricks, a sector of it: bent, or twisted.

Bent: a quarter of the circumference, x = 0 and y = 0 being its planes of antisymmetry and symmetry;
nothing is assumed of how the tubes bend. Twisted: one brick round, points move round the axis only,
which is exact for a body of revolution. Lengths in mm, stresses in MPa.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import product
from pathlib import Path

import numpy as np

from tests.oracle.fe.deck import AXIS, numbers
from tests.oracle.fe.lap import Elastic, Lap, _Mesh
from tests.oracle.fe.solve import run

# corners of a brick, then middles of its edges: (r, turn, z) in half bricks
PLACES = (
    (0, 0, 0), (2, 0, 0), (2, 2, 0), (0, 2, 0), (0, 0, 2), (2, 0, 2), (2, 2, 2), (0, 2, 2),
    (1, 0, 0), (2, 1, 0), (1, 2, 0), (0, 1, 0), (1, 0, 2), (2, 1, 2), (1, 2, 2), (0, 1, 2),
    (0, 0, 1), (2, 0, 1), (2, 2, 1), (0, 2, 1),
)  # fmt: skip


@dataclass(frozen=True)
class Turned:
    """Along the lap at the outermost line: means through the adhesive.

    Shear stress, along or round it; radial stress as of a layer held sideways, of bending only.
    """

    z: np.ndarray
    shear: np.ndarray
    peel: np.ndarray


class _Solid:
    """Bricks of a sector; node numbers follow from their place in the grid."""

    def __init__(self, lap: Lap, angle: float, around: int, mesh: _Mesh) -> None:
        self.lap, self.angle, self.around, self.mesh = lap, angle, around, mesh
        self.plane = len(mesh.r) * len(mesh.z)
        self.cells: dict[str, list[list[int]]] = {"INSERT": [], "GLUE": [], "TUBE": []}
        for k, i in product(range(len(mesh.z) // 2), range(len(mesh.r) // 2)):
            if part := mesh.part(i, k):
                self.cells[part] += [
                    [self.node(2 * i + a, 2 * k + c, 2 * j + b) for a, b, c in PLACES]
                    for j in range(around)
                ]
        self.used = sorted({n for part in self.cells.values() for c in part for n in c})

    def node(self, i: int, k: int, j: int) -> int:
        return self.mesh.node(i, k) + self.plane * j

    def place(self, n: int) -> tuple[float, float, float]:
        """Radius, turn, z of a node."""
        j, rest = divmod(n - 1, self.plane)
        k, i = divmod(rest, len(self.mesh.r))
        return self.mesh.r[i], self.angle * j / (2 * self.around), self.mesh.z[k]

    def ring(self, part: str, k: int) -> list[int]:
        """Nodes of a part at grid line k, all round."""
        found = {n for c in self.cells[part] for n in c}
        at = self.mesh.z[k]
        return sorted(n for n in found if self.place(n)[2] == at)

    def lines(self) -> list[str]:
        """Nodes, bricks, materials."""
        out = ["*NODE, NSET=ALL"]
        for n in self.used:
            r, turn, z = self.place(n)
            out.append(f"{n}, {r * math.cos(turn):.12g}, {r * math.sin(turn):.12g}, {z:.12g}")
        number = 1
        for part, rows in self.cells.items():
            out.append(f"*ELEMENT, TYPE=C3D20, ELSET={part}")
            for cell in rows:
                out += numbers([number, *cell], 10)
                number += 1
        out += ["*ORIENTATION, NAME=TURN, SYSTEM=CYLINDRICAL", AXIS]
        of = {"INSERT": self.lap.insert_of, "GLUE": self.lap.adhesive, "TUBE": self.lap.tube_of}
        for part, constants in of.items():
            out += _material(part, constants)
            out.append(f"*SOLID SECTION, ELSET={part}, MATERIAL={part}, ORIENTATION=TURN")
        return out


def _material(name: str, c: Elastic) -> list[str]:
    """Constants of `lap` in the order radius, round, axis."""
    if len(c) == 2:
        return [f"*MATERIAL, NAME={name}", "*ELASTIC", *numbers(c)]
    er, ez, et, nu_rz, nu_rt, nu_zt, g_rz, g_rt, g_zt = c
    order = (er, et, ez, nu_rt, nu_rz, nu_zt * et / ez, g_rt, g_rz, g_zt)
    return [f"*MATERIAL, NAME={name}", "*ELASTIC, TYPE=ENGINEERING CONSTANTS", *numbers(order)]


def _face(solid: _Solid, k: int) -> list[int]:
    """Nodes through the layer at a station, on the outermost line."""
    low, high = 2 * solid.mesh.walls, 2 * (solid.mesh.walls + solid.mesh.layer)
    return [solid.node(i, k, 0) for i in range(low, high + 1)]


def _stations(mesh: _Mesh) -> list[int]:
    return list(range(2 * mesh.first, 2 * mesh.last + 1, 2))


def bend_lap(
    lap: Lap, folder: Path, moment: float = 0.0, *, force: float = 0.0, walls: int = 4,
    layer: int = 2, along: int = 45, around: int = 4,
) -> Turned:  # fmt: skip
    """Bend a lap, evenly or by a force across it: shear stress along the outermost line.

    Parameters
    ----------
    lap : Lap
        The joint.
    folder : Path
        Where the solver may write.
    moment : float
        Bending moment, plane sections at both far ends [N mm].
    force : float
        Instead of it, force across the far end of the insert, the tube held as a cantilever [N].
    walls, layer, along, around : int
        Elements through each wall, through the adhesive, along the overlap, round a quarter.
    """
    solid = _Solid(lap, math.pi / 2, around, _Mesh(lap, walls, layer, along))
    mesh = solid.mesh
    free = max(solid.used) + 1
    lines = [*solid.lines(), "*NODE", f"{free}, 0., 0., 0.", "*BOUNDARY"]
    held = solid.ring("TUBE", 0)
    lines += [f"{n}, 3, 3" for n in held]
    flat = [n for n in solid.used if solid.place(n)[1] == 0.0]
    upright = [n for n in solid.used if (n - 1) // solid.plane == 2 * around]
    lines += [f"{n}, 2, 2" for n in flat]
    lines += [f"{n}, {d}, {d}" for n in upright for d in (2, 3) if d == 2 or n not in set(held)]
    lines.append(f"{next(n for n in held if n in set(upright))}, 1, 1")
    lines += [f"{free}, 2, 3"]
    pulled = solid.ring("INSERT", len(mesh.z) - 1)
    if force:
        lines.append(f"{free}, 1, 1")
    for n in () if force else pulled:
        r, turn, _ = solid.place(n)
        if n not in set(upright):
            lines += ["*EQUATION", "2", f"{n}, 3, 1., {free}, 1, {-r * math.cos(turn):.12g}"]
    stations = _stations(mesh)
    faces = [_face(solid, k) for k in stations]
    lines += ["*NSET, NSET=FACES", *numbers([n for f in faces for n in f])]
    loads = [f"{n}, 1, {force / 4 / len(pulled):.12g}" for n in pulled] if force else [
        f"{free}, 1, {moment / 4:.12g}"]  # fmt: skip
    lines += ["*STEP", "*STATIC", "*CLOAD", *loads]
    lines += ["*NODE PRINT, NSET=FACES", "U", "*END STEP"]
    moved = run("\n".join(lines) + "\n", folder, "bent").displacement["FACES"][0]
    z = np.array([mesh.z[k] for k in stations])
    u, w = (np.array([[moved[n][d] for n in f] for f in faces]) for d in (0, 2))
    radii = [solid.place(n)[0] for n in faces[0]]
    mean = np.trapezoid(u, radii, axis=1) / lap.gap
    strain = (w[:, 0] - w[:, -1]) / lap.gap - np.gradient(mean, z)
    e, nu = lap.adhesive
    held = e * (1 - nu) / (1 + nu) / (1 - 2 * nu)
    return Turned(z, e / 2 / (1 + nu) * strain, held * (u[:, -1] - u[:, 0]) / lap.gap)


def twist_lap(
    lap: Lap, folder: Path, torque: float, *, walls: int = 8, layer: int = 3, along: int = 90
) -> Turned:
    """Twist a lap: shear stress round the axis along it.

    Parameters
    ----------
    lap : Lap
        The joint.
    folder : Path
        Where the solver may write.
    torque : float
        Torque [N mm].
    walls, layer, along : int
        Elements through each wall, through the adhesive, along the overlap.
    """
    angle = math.radians(2.0)
    solid = _Solid(lap, angle, 1, _Mesh(lap, walls, layer, along))
    mesh = solid.mesh
    free = max(solid.used) + 1
    lines = [*solid.lines(), "*TRANSFORM, NSET=ALL, TYPE=C", AXIS]
    lines += ["*NODE", f"{free}, 0., 0., 0.", "*BOUNDARY", "ALL, 1, 1", "ALL, 3, 3"]
    held = set(solid.ring("TUBE", 0))
    lines += [f"{n}, 2, 2" for n in sorted(held)]
    lines += [f"{free}, 2, 3"]
    pulled = set(solid.ring("INSERT", len(mesh.z) - 1))
    for n in solid.used:
        r, turn, _ = solid.place(n)
        first = (n - 1) % solid.plane + 1
        if n in pulled:
            lines += ["*EQUATION", "2", f"{n}, 2, 1., {free}, 1, {-r:.12g}"]
        elif turn > 0 and n not in held:
            first = first if first in set(solid.used) else 0
            assert first
            lines += ["*EQUATION", "2", f"{n}, 2, 1., {first}, 2, -1."]
    stations = _stations(mesh)
    faces = [_face(solid, k) for k in stations]
    lines += ["*NSET, NSET=FACES", *numbers([n for f in faces for n in f])]
    lines += ["*STEP", "*STATIC", "*CLOAD", f"{free}, 1, {torque * angle / 2 / math.pi:.12g}"]
    lines += ["*NODE PRINT, NSET=FACES, GLOBAL=YES", "U", "*END STEP"]
    moved = run("\n".join(lines) + "\n", folder, "twisted").displacement["FACES"][0]
    z = np.array([mesh.z[k] for k in stations])
    inner, outer = (np.array([moved[f[a]][1] for f in faces]) for a in (0, -1))
    low, high = lap.insert, lap.insert + lap.gap
    modulus = lap.adhesive[0] / 2 / (1 + lap.adhesive[1])
    # strain r d(u/r)/dr, even through so thin a layer
    slip = (low + high) / 2 * (inner / low - outer / high) / lap.gap
    return Turned(z, modulus * slip, np.zeros_like(z))


__all__ = ["Turned", "bend_lap", "twist_lap"]
