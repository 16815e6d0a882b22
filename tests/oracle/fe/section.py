"""A slice of an endless tube: stiffness, pressure strain and pinch from one mesh of bricks.

The slice is one element long. Each node of its upper face moves as the node below it, but for an
axial strain, a twist and a curvature common to the whole section (three free unknowns E, K, T whose
forces are the axial force, the moment and the torque). This is the middle of a long tube, free to
warp and to distort; nothing is assumed about the wall.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tests.oracle.fe.deck import Deck, Load
from tests.oracle.fe.mesh import Mesh, bricks
from tests.oracle.fe.solve import run
from tests.oracle.fe.walls import Wall

AROUND = 24
STATIC = ("*STATIC",)


@dataclass(frozen=True)
class Section:
    """Results of the slice, N and mm.

    Attributes
    ----------
    EA, EI, GJ : float
        Stiffness, free to twist, to contract and to stretch.
    twist : float
        Twist per length under an axial force of 1 N.
    open_axial, open_hoop : float
        Axial strain and hoop strain of the outer face per MPa inside, ends open.
    force_hoop : float
        Hoop strain of the outer face under an axial force of 1 N.
    pinch : float
        Loss of diameter per line load, mean through the wall.
    """

    EA: float
    EI: float
    GJ: float
    twist: float
    open_axial: float
    open_hoop: float
    force_hoop: float
    pinch: float
    bore: float

    @property
    def closed_axial(self) -> float:
        return self.open_axial + math.pi * self.bore**2 / self.EA

    @property
    def closed_hoop(self) -> float:
        return self.open_hoop + math.pi * self.bore**2 * self.force_hoop


def _tie(deck: Deck, mesh: Mesh, free: int) -> None:
    """Upper face follows the lower one but for E (3), K (2) and T (1) of the free node."""
    where = mesh.nodes()
    for node, i, j in mesh.section(2):
        below = mesh.at(i, j, 0)
        x, y, _ = where[node]
        deck.equation([(node, 1, 1.0), (below, 1, -1.0), (free, 1, y)])
        deck.equation([(node, 2, 1.0), (below, 2, -1.0), (free, 1, -x)])
        deck.equation([(node, 3, 1.0), (below, 3, -1.0), (free, 3, -1.0), (free, 2, -x)])


def _pinch(mesh: Mesh) -> list[Load]:
    """Unit line load through the wall at the top and at the bottom, as an 8-node face takes it."""
    rows = len(mesh.layers)
    thick = mesh.radii[-1] - mesh.radii[0]
    loads: list[Load] = []
    for j, sign in ((mesh.around // 2, -1.0), (3 * mesh.around // 2, 1.0)):
        for row in range(rows):
            part = (mesh.radii[2 * row + 2] - mesh.radii[2 * row]) / thick * mesh.length
            for a, c in ((0, 0), (2, 0), (0, 2), (2, 2), (1, 0), (1, 2), (0, 1), (2, 1)):
                share = 1 / 3 if a % 2 or c % 2 else -1 / 12
                loads.append((mesh.at(2 * row + a, j, c), 2, sign * part * share))
    return loads


def solve_section(wall: Wall, folder: Path, around: int = AROUND, least: int = 2) -> Section:
    """Mesh and solve the slice.

    Parameters
    ----------
    wall : Wall
        The tube.
    folder : Path
        Where the solver may write.
    around, least : int
        Elements round the circle; rows of elements through the wall at least.
    """
    plies = [t for _, _, t in wall.plies]
    height = 2 * math.pi * wall.radius / around
    mesh = bricks(wall.bore, plies, height, around, 1, least)
    deck = Deck(wall, mesh)
    free = deck.new_node()
    _tie(deck, mesh, free)
    deck.hold(mesh.at(0, 0, 0), 1, 2, 3)
    deck.hold(mesh.at(0, mesh.around, 0), 2)
    outer = [mesh.at(len(mesh.radii) - 1, j, 0) for j in range(2 * mesh.around)]
    pinched = _pinch(mesh)
    deck.node_set("FREE", [free])
    deck.node_set("OUTER", outer)
    deck.node_set("PINCHED", sorted({n for n, _, _ in pinched}))
    deck.bore_face()
    sets = ("FREE", "OUTER", "PINCHED")
    for direction in (3, 2, 1):
        deck.step(STATIC, forces=[(free, direction, 1.0)], shown=sets)
    deck.step(STATIC, pressure=("P6", 1.0), shown=sets)
    deck.step(STATIC, forces=pinched, shown=sets)
    found = run(str(deck), folder).displacement
    moved = [step[free] / mesh.length for step in found["FREE"]]
    hoop = [_growth(mesh, outer, step) for step in found["OUTER"]]
    work = sum(v * found["PINCHED"][4][n][d - 1] for n, d, v in pinched) / mesh.length
    return Section(
        EA=float(1 / moved[0][2]), EI=float(1 / moved[1][1]), GJ=float(1 / moved[2][0]),
        twist=float(moved[0][0]), open_axial=float(moved[3][2]), open_hoop=hoop[3],
        force_hoop=hoop[0], pinch=float(work), bore=wall.bore,
    )  # fmt: skip


def _growth(mesh: Mesh, ring: list[int], step: dict[int, np.ndarray]) -> float:
    """Mean outward movement of a ring over its radius."""
    where = mesh.nodes()
    out = [step[n][0] * where[n][0] + step[n][1] * where[n][1] for n in ring]
    return float(np.mean(out)) / mesh.radii[-1] ** 2
