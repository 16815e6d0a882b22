"""A tubular lap meshed as a solid of revolution: insert in the bore, adhesive, tube.

Quadratic elements; lengths in mm, stresses in MPa. z runs from the insert's end (0), deep in the
tube, to the tube's end (l). The far end of the tube is held along z, the far end of the insert is
pulled evenly. The edges of the adhesive are square, without a fillet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np

from tests.oracle.fe.deck import numbers
from tests.oracle.fe.solve import run

Elastic = tuple[float, ...]  # (E, nu), or E_r E_z E_t nu_rz nu_rt nu_zt G_rz G_rt G_zt
CORNERS = ((0, 0), (2, 0), (2, 2), (0, 2), (1, 0), (2, 1), (1, 2), (0, 1))  # of a CAX8, (r, z)


@dataclass(frozen=True)
class Lap:
    """Sizes [mm], constants [MPa] and expansion along z [1/K] of a lap.

    thins: lengths over which the free ends of insert and tube thin out to `tip`.
    """

    bore: float  # of the insert
    insert: float  # outside radius of the insert
    gap: float
    outside: float  # of the tube
    length: float
    insert_of: Elastic
    adhesive: tuple[float, float]
    tube_of: Elastic
    alpha: tuple[float, float] = (0.0, 0.0)  # insert, tube
    far: float = 60.0
    thins: tuple[float, float] = (0.0, 0.0)  # insert, tube
    tip: float = 0.5


@dataclass(frozen=True)
class Sheared:
    """Means through the adhesive along the lap, and stretch of the lone ends.

    Shear stress; radial stress as of a layer held sideways.
    """

    z: np.ndarray
    shear: np.ndarray
    peel: np.ndarray
    stretch: tuple[float, float]


def _spaced(start: float, end: float, count: int, crowd: str) -> list[float]:
    """Grid lines after the first, crowded to the left, right or both ends."""
    s = np.linspace(0.0, 1.0, count + 1)[1:]
    curve = {"both": (1 - np.cos(np.pi * s)) / 2, "left": 1 - np.cos(np.pi * s / 2),
             "right": np.sin(np.pi * s / 2), "even": s}[crowd]  # fmt: skip
    return [float(v) for v in start + (end - start) * curve]


def _halved(lines: list[float]) -> list[float]:
    out = [lines[0]]
    for a, b in pairwise(lines):
        out += [(a + b) / 2, b]
    return out


class _Mesh:
    """Grid of half elements; which cells exist follows from their part."""

    def __init__(self, lap: Lap, walls: int, layer: int, along: int) -> None:
        self.lap, self.walls, self.layer = lap, walls, layer
        r = [lap.bore, *_spaced(lap.bore, lap.insert, walls, "right")]
        r += _spaced(lap.insert, lap.insert + lap.gap, layer, "even")
        r += _spaced(lap.insert + lap.gap, lap.outside, walls, "left")
        z = [-lap.far, *_spaced(-lap.far, 0.0, along // 3, "right")]
        z += _spaced(0.0, lap.length, along, "both")
        z += _spaced(lap.length, lap.length + lap.far, along // 3, "left")
        self.r, self.z = _halved(r), _halved(z)
        self.first, self.last = along // 3, along // 3 + along  # cells of the overlap

    def part(self, i: int, k: int) -> str:
        """INSERT, GLUE, TUBE, or nothing, of a cell."""
        if i < self.walls:
            return "INSERT" if k >= self.first else ""
        if i < self.walls + self.layer:
            return "GLUE" if self.first <= k < self.last else ""
        return "TUBE" if k < self.last else ""

    def node(self, i: int, k: int) -> int:
        return 1 + i + len(self.r) * k

    def place(self, n: int) -> tuple[float, float]:
        """Radius and z of a node; a thinned wall keeps its bonded face."""
        k, i = divmod(n - 1, len(self.r))
        r, z, lap = self.r[i], self.z[k], self.lap
        side = 0 if i < 2 * self.walls else 1 if i > 2 * (self.walls + self.layer) else -1
        length = lap.thins[side] if side >= 0 else 0.0
        end = z if side == 0 else lap.length - z
        if side < 0 or not 0.0 <= end < length:
            return r, z
        face, free = ((lap.insert, lap.bore), (lap.insert + lap.gap, lap.outside))[side]
        share = lap.tip / abs(free - face)
        return face + (r - face) * (share + (1.0 - share) * end / length), z

    def cells(self) -> dict[str, list[list[int]]]:
        out: dict[str, list[list[int]]] = {"INSERT": [], "GLUE": [], "TUBE": []}
        for k in range(len(self.z) // 2):
            for i in range(len(self.r) // 2):
                if part := self.part(i, k):
                    out[part].append([self.node(2 * i + a, 2 * k + b) for a, b in CORNERS])
        return out

    def ring(self, part: str, k: int) -> list[int]:
        """Nodes of a part on grid line k."""
        low, high = (0, 2 * self.walls) if part == "INSERT" else (
            2 * (self.walls + self.layer), len(self.r) - 1)  # fmt: skip
        return [self.node(i, k) for i in range(low, high + 1)]


def _material(name: str, constants: Elastic, alpha: float) -> list[str]:
    kind = "" if len(constants) == 2 else ", TYPE=ENGINEERING CONSTANTS"
    out = [f"*MATERIAL, NAME={name}", f"*ELASTIC{kind}", *numbers(constants)]
    if alpha:
        # along z only, so that the radial misfit of the members stays out of the comparison
        out += ["*EXPANSION, TYPE=ORTHO, ZERO=0.", f"0., {alpha:.9g}, 0."]
    return out


def solve_lap(
    lap: Lap, folder: Path, *, pull: float = 0.0, heat: float = 0.0,
    walls: int = 8, layer: int = 3, along: int = 90,
) -> Sheared:  # fmt: skip
    """Mesh and solve.

    Parameters
    ----------
    lap : Lap
        The joint.
    folder : Path
        Where the solver may write.
    pull : float
        Force on the far end of the insert [N].
    heat : float
        Rise of temperature [K].
    walls, layer, along : int
        Elements through each wall, through the adhesive, along the overlap.
    """
    steps = [["*STATIC"]]
    if pull:
        steps[0] += ["*CLOAD", f"PULLED, 2, {pull:.12g}"]
    if heat:
        steps[0] += ["*TEMPERATURE", f"ALL, {heat:.9g}"]
    return _solved(lap, folder, steps, (walls, layer, along), heat=bool(heat))[0]


def flow_lap(
    lap: Lap, folder: Path, pulls: Sequence[float], flows: float, *, walls: int = 5,
    layer: int = 2, along: int = 60,
) -> list[float]:  # fmt: skip
    """Greatest mean shear strain of an adhesive that flows, under growing pulls.

    Parameters
    ----------
    lap : Lap
        The joint; its walls stay elastic.
    folder : Path
        Where the solver may write.
    pulls : sequence of float
        Forces on the far end of the insert, one after the other [N].
    flows : float
        Shear stress at which the adhesive flows (von Mises), without hardening [MPa].
    walls, layer, along : int
        As in `solve_lap`.

    Returns
    -------
    list of float
        One a pull.
    """
    steps = [["*STATIC", "0.25, 1., 1e-5, 0.5", "*CLOAD", f"PULLED, 2, {p:.12g}"] for p in pulls]
    found = _solved(lap, folder, steps, (walls, layer, along), flows=flows)
    modulus = lap.adhesive[0] / 2 / (1 + lap.adhesive[1])
    return [float(np.abs(x.shear).max() / modulus) for x in found]


def _solved(
    lap: Lap, folder: Path, steps: Sequence[list[str]], sizes: tuple[int, int, int], *,
    heat: bool = False, flows: float = 0.0,
) -> list[Sheared]:  # fmt: skip
    """What each step leaves; PULLED stands for the node that carries the pull."""
    walls, layer, along = sizes
    mesh = _Mesh(lap, walls, layer, along)
    cells = mesh.cells()
    used = sorted({n for part in cells.values() for cell in part for n in cell})
    lines = ["*NODE, NSET=ALL"]
    lines += ["{}, {:.12g}, {:.12g}, 0.".format(n, *mesh.place(n)) for n in used]
    number = 1
    for part, rows in cells.items():
        lines.append(f"*ELEMENT, TYPE=CAX8, ELSET={part}")
        for cell in rows:
            lines += numbers([number, *cell], 9)
            number += 1
    for part, of, alpha in (("INSERT", lap.insert_of, lap.alpha[0]), ("GLUE", lap.adhesive, 0.0),
                            ("TUBE", lap.tube_of, lap.alpha[1])):  # fmt: skip
        lines += _material(part, of, alpha)
        if part == "GLUE" and flows:  # all but level, to keep the solver's step
            stress = flows * 3**0.5
            lines += ["*PLASTIC", f"{stress:.9g}, 0.", f"{1.001 * stress:.9g}, 10."]
        lines.append(f"*SOLID SECTION, ELSET={part}, MATERIAL={part}")
    held = mesh.ring("TUBE", 0)
    pulled = [n for n in mesh.ring("INSERT", len(mesh.z) - 1) if n in set(used)]
    held = [n for n in held if n in set(used)]
    rows = list(range(2 * walls, 2 * (walls + layer) + 1))
    stations = list(range(2 * mesh.first, 2 * mesh.last + 1, 2))
    faces = [mesh.node(i, k) for k in stations for i in rows]
    ends = [mesh.node(len(mesh.r) - 1, 2 * (mesh.first // 4)), mesh.node(len(mesh.r) - 1, 0),
            mesh.node(0, 2 * (mesh.last + along // 4)), mesh.node(0, len(mesh.z) - 1)]  # fmt: skip
    lines += ["*NSET, NSET=FACES", *numbers([*faces, *ends])]
    lines.append("*BOUNDARY")
    lines += [f"{n}, 2, 2" for n in held]
    for n in pulled[1:]:
        lines += ["*EQUATION", "2", f"{n}, 2, 1., {pulled[0]}, 2, -1."]
    if heat:
        lines += ["*INITIAL CONDITIONS, TYPE=TEMPERATURE", "ALL, 0."]
    for step in steps:
        lines += ["*STEP, INC=200", *(x.replace("PULLED", str(pulled[0])) for x in step)]
        lines += ["*NODE PRINT, NSET=FACES, FREQUENCY=999", "U", "*END STEP"]
    moved = run("\n".join(lines) + "\n", folder, "lap").displacement["FACES"]
    assert len(moved) == len(steps)
    return [_sheared(lap, mesh, m, stations, rows, ends) for m in moved]


def _sheared(
    lap: Lap, mesh: _Mesh, moved: dict[int, np.ndarray], stations: list[int], rows: list[int],
    ends: list[int],
) -> Sheared:  # fmt: skip
    """Mean shear of the layer: slip over gap and the slope of the radial displacement."""
    z = np.array([mesh.z[k] for k in stations])
    u, w = (np.array([[moved[mesh.node(i, k)][d] for k in stations] for i in rows]) for d in (0, 1))
    mean = np.trapezoid(u, [mesh.r[i] for i in rows], axis=0) / lap.gap
    strain = (w[0] - w[-1]) / lap.gap - np.gradient(mean, z)
    modulus = lap.adhesive[0] / 2 / (1 + lap.adhesive[1])
    where = [mesh.z[(n - 1) // len(mesh.r)] for n in ends]
    stretch = tuple(
        float((moved[ends[a]][1] - moved[ends[b]][1]) / (where[a] - where[b]))
        for a, b in ((0, 1), (3, 2))
    )
    # the insert is pulled towards +z: its slip against the tube is positive
    e, nu = lap.adhesive
    held = e * (1 - nu) / (1 + nu) / (1 - 2 * nu)
    peel = held * (u[-1] - u[0]) / lap.gap
    return Sheared(z, modulus * strain, peel, (stretch[0], stretch[1]))


__all__ = ["Lap", "Sheared", "flow_lap", "solve_lap"]
