"""Whole tubes: bending between supports (bricks), buckling and frequency (composite shells).

Ends stay round and may warp: radial and tangential movement held, axial free, loads spread evenly.
That is the simple support (SS3) of shell theory, and for a slender tube the pinned column.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import NamedTuple

import numpy as np

from tests.oracle.fe.deck import Deck, Load
from tests.oracle.fe.mesh import Mesh, bricks, shell
from tests.oracle.fe.section import STATIC
from tests.oracle.fe.solve import run
from tests.oracle.fe.walls import Wall

MODES = 8  # fewer, and the solver may miss the lowest


def _hold_middle(deck: Deck) -> None:
    """Hold a tube under self-balanced loads at three nodes of its middle section."""
    m = deck.mesh
    k = m.along
    deck.hold(m.at(0, 0, k), 1, 2, 3)
    deck.hold(m.at(0, m.around, k), 2, 3)
    deck.hold(m.at(0, m.around // 2, k), 3)


def _shear_flow(mesh: Mesh, k: int, force: float) -> list[Load]:
    """Force along y on a section, spread as a thin tube carries it: tangential, as cos(theta)."""
    loads: list[Load] = []
    for node, share, angle in mesh.ring_weights(k):
        c, s = math.cos(angle), math.sin(angle)
        loads += [(node, 1, -2 * force * share * c * s), (node, 2, 2 * force * share * c * c)]
    return loads


def deflection(wall: Wall, span: float, folder: Path, *, around: int = 16, along: int = 20,
               least: int = 1) -> float:  # fmt: skip
    """Deflection of the axis at mid-span per newton, supports and load spread as shear flow.

    Parameters
    ----------
    wall, span, folder
        The tube [mm]; where the solver may write.
    around, along, least : int
        Elements round, along (even), and through the wall at least.
    """
    mesh = bricks(wall.bore, [t for _, _, t in wall.plies], span, around, along, least)
    deck = Deck(wall, mesh)
    _hold_middle(deck)
    ends = [_shear_flow(mesh, k, 0.5) for k in (0, 2 * along)]
    loads = [*_shear_flow(mesh, along, -1.0), *ends[0], *ends[1]]
    deck.node_set("LOADED", sorted({n for n, _, _ in loads}))
    deck.step(STATIC, forces=loads, shown=["LOADED"])
    moved = run(str(deck), folder).displacement["LOADED"][0]
    return float(sum(v * moved[n][d - 1] for n, d, v in loads))


class ShellTube:
    """A tube of composite shells with its ends named and held."""

    def __init__(self, wall: Wall, length: float, around: int, along: int) -> None:
        self.wall, self.length = wall, length
        self.mesh = shell(wall.radius, length, around, along)
        self.deck = Deck(wall, self.mesh)
        self.ends = [self.mesh.ring_weights(k) for k in (0, 2 * along)]
        for name, end in zip(("LOW", "HIGH"), self.ends, strict=True):
            self.deck.node_set(name, [n for n, _, _ in end])

    def support(self, *, turns: bool = False) -> None:
        """Simple supports; with `turns` the upper end may turn as a whole about the axis."""
        deck, m = self.deck, self.mesh
        for name in ("LOW", "HIGH"):
            deck.polar(name)
            deck.hold(name, 1)
        deck.hold("LOW", 2)
        if turns:
            first, *others = [n for n, _, _ in self.ends[1]]
            for node in others:
                deck.equation([(node, 2, 1.0), (first, 2, -1.0)])
        else:
            deck.hold("HIGH", 2)
        deck.hold(m.at(0, 0, m.along), 3)

    def clamp(self) -> None:
        """Hold the lower end in all directions."""
        self.deck.hold("LOW", 1, 2, 3)

    def compression(self, force: float) -> list[Load]:
        """Axial compression, spread evenly over both ends."""
        return [(n, 3, sign * force * share)
                for end, sign in zip(self.ends, (1.0, -1.0), strict=True)
                for n, share, _ in end]  # fmt: skip

    def moment(self, moment: float) -> list[Load]:
        """Bending moment, as axial forces that vary with the height over the axis."""
        top = 2 * moment / self.wall.radius
        return [(n, 3, sign * top * share * math.cos(angle))
                for end, sign in zip(self.ends, (1.0, -1.0), strict=True)
                for n, share, angle in end]  # fmt: skip

    def torque(self, torque: float) -> list[Load]:
        """Torque on the upper end, which turns as a whole; the lower end reacts it."""
        return [(self.ends[1][0][0], 2, torque / self.wall.radius)]

    def squeeze(self, pressure: float) -> list[Load]:
        """Outside pressure on the middle surface as radial forces that keep their direction."""
        m = self.mesh
        each = pressure * 2 * math.pi * self.wall.radius * self.length / m.around / m.along
        loads: list[Load] = []
        for k in range(1, 2 * m.along):  # the ends are held
            for node, _, j in m.section(k):
                mid = j % 2 or k % 2
                force = each * (
                    2 / 3 if mid else -1 / 3
                )  # two elements meet at a side, four at a corner
                c, s = math.cos(m.angle(j)), math.sin(m.angle(j))
                loads += [(node, 1, -force * c), (node, 2, -force * s)]
        return loads


class Buckled(NamedTuple):
    """Lowest load and the waves round the circle of its mode."""

    load: float
    waves: int


def _waves(mesh: Mesh, ring: list[tuple[int, int, int]], shape: dict[int, np.ndarray]) -> int:
    """Strongest wave of the radial movement round a ring."""
    out = [shape[n][0] * math.cos(mesh.angle(j)) + shape[n][1] * math.sin(mesh.angle(j))
           for n, _, j in ring]  # fmt: skip
    return int(np.argmax(np.abs(np.fft.rfft(out))[: mesh.around // 2]))


def critical(
    wall: Wall, kind: str, length: float, folder: Path, *, around: int, along: int, guess: float
) -> Buckled:
    """Buckling load of a simply supported tube: N, N mm, or MPa of pressure that keeps direction.

    Parameters
    ----------
    wall, length, folder
        The tube [mm]; where the solver may write.
    kind : str
        "axial" (also a column), "bending", "torsion+", "torsion-" or "pressure" (on the side).
    around, along : int
        Elements.
    guess : float
        Load of the expected size. Only the shift of the eigenvalue search: the solver looks next
        to factor 1, so the base load is a quarter of what was found last, until that settles.
    """
    base = guess / 4
    for turn in range(4):
        tube = ShellTube(wall, length, around, along)
        tube.support(turns=kind.startswith("torsion"))
        loads: list[Load] = []
        if kind == "axial":
            loads = tube.compression(base)
        elif kind == "bending":
            loads = tube.moment(base)
        elif kind == "pressure":
            loads = tube.squeeze(base)
        else:
            loads = tube.torque(base if kind == "torsion+" else -base)
        ring = tube.mesh.section(along + along % 2)
        tube.deck.node_set("RING", [n for n, _, _ in ring])
        tube.deck.step(["*BUCKLE", f"{MODES}"], forces=loads, shown=["RING"])
        found = run(str(tube.deck), folder, f"turn{turn}")
        factor = min(f for f in found.factors if f > 0)
        if 1.8 < factor < 8:
            shape = found.displacement["RING"][1 + found.factors.index(factor)]
            return Buckled(factor * base, _waves(tube.mesh, ring, shape))
        base *= factor / 4
    raise AssertionError("the search for the lowest factor does not settle")


def frequencies(
    wall: Wall, ends: str, length: float, folder: Path, *, around: int, along: int
) -> list[float]:
    """Natural frequencies [Hz] of a cantilever ("fixed-free") or a "pinned-pinned" tube."""
    tube = ShellTube(wall, length, around, along)
    if ends == "fixed-free":
        tube.clamp()
    else:
        tube.support()
    tube.deck.step(["*FREQUENCY", "6"])
    return run(str(tube.deck), folder).frequencies
