"""Structured meshes of whole tubes: quadratic bricks ply by ply, or quadratic shells.

Lengths in mm. The tube's axis is z and its middle lies at z = 0; a node is found by its place
(i through the wall, j round, k along) on a grid of half elements.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

BRICK = ((0, 0, 0), (2, 0, 0), (2, 2, 0), (0, 2, 0), (0, 0, 2), (2, 0, 2), (2, 2, 2), (0, 2, 2),
         (1, 0, 0), (2, 1, 0), (1, 2, 0), (0, 1, 0), (1, 0, 2), (2, 1, 2), (1, 2, 2), (0, 1, 2),
         (0, 0, 1), (2, 0, 1), (2, 2, 1), (0, 2, 1))  # fmt: skip
SHELL = tuple((0, j, k) for j, k in
              ((0, 0), (2, 0), (2, 2), (0, 2), (1, 0), (2, 1), (1, 2), (0, 1)))  # fmt: skip


@dataclass(frozen=True)
class Mesh:
    """A meshed tube.

    Attributes
    ----------
    radii : tuple of float
        Radius of every grid line through the wall, mid-sides included; one for a shell.
    layers : tuple of int
        Which ply each row of elements through the wall belongs to.
    length : float
        Length of the tube.
    around, along : int
        Elements round the circle and along the tube.
    """

    radii: tuple[float, ...]
    layers: tuple[int, ...]
    length: float
    around: int
    along: int

    @property
    def is_shell(self) -> bool:
        return not self.layers

    def at(self, i: int, j: int, k: int) -> int:
        """Number of the node at a place of the grid; j wraps round."""
        round_ = 2 * self.around
        return 1 + i + len(self.radii) * (j % round_ + round_ * k)

    def angle(self, j: int) -> float:
        return math.pi * j / self.around

    def nodes(self) -> dict[int, tuple[float, float, float]]:
        """Coordinates of the nodes in use: those with at most one odd index."""
        out = {}
        for k in range(2 * self.along + 1):
            z = self.length * (k / (2 * self.along) - 0.5)
            for j in range(2 * self.around):
                c, s = math.cos(self.angle(j)), math.sin(self.angle(j))
                for i, r in enumerate(self.radii):
                    if i % 2 + j % 2 + k % 2 <= 1:
                        out[self.at(i, j, k)] = (r * c, r * s, z)
        return out

    def elements(self) -> dict[int, list[list[int]]]:
        """Corner and mid-side nodes of each element, by ply (0 for a shell)."""
        shape = SHELL if self.is_shell else BRICK
        out: dict[int, list[list[int]]] = {}
        for row, layer in enumerate(self.layers or (0,)):
            for k in range(self.along):
                for j in range(self.around):
                    cell = [self.at(2 * row + a, 2 * j + b, 2 * k + c) for a, b, c in shape]
                    out.setdefault(layer, []).append(cell)
        return out

    def section(self, k: int) -> list[tuple[int, int, int]]:
        """Nodes of the cross-section at grid line k as (node, i, j)."""
        return [
            (self.at(i, j, k), i, j)
            for j in range(2 * self.around)
            for i in range(len(self.radii))
            if i % 2 + j % 2 + k % 2 <= 1
        ]

    def ring_weights(self, k: int) -> list[tuple[int, float, float]]:
        """Consistent share of a load spread evenly over an end section: (node, share, angle).

        Line shares (1/6, 4/6, 1/6) on a shell; on bricks the 8-node face (-1/12, 1/3).
        """
        out = []
        for node, i, j in self.section(k):
            if self.is_shell:
                share = (2 / 3 if j % 2 else 1 / 3) / self.around
            else:
                share = self._face_share(i, j)
            out.append((node, share, self.angle(j)))
        return out

    def _face_share(self, i: int, j: int) -> float:
        """Share of the section's area of one node, elements weighted by their area."""
        rows = [r for r in (i // 2 - 1, i // 2) if 0 <= r < len(self.layers)] if i % 2 == 0 else [
            i // 2]  # fmt: skip
        total = self.radii[-1] ** 2 - self.radii[0] ** 2
        corner = i % 2 == 0 and j % 2 == 0
        columns = 1 if j % 2 else 2
        area = sum(self.radii[2 * r + 2] ** 2 - self.radii[2 * r] ** 2 for r in rows) / total
        return (-1 / 12 if corner else 1 / 3) * columns * area / self.around


def bricks(bore: float, plies: list[float], length: float, around: int, along: int,
           least: int = 1) -> Mesh:  # fmt: skip
    """Bricks, one row a ply; plies are split evenly where there would be less than `least` rows.

    Parameters
    ----------
    bore : float
        Bore radius.
    plies : list of float
        Thickness of each ply, inside to outside.
    length, around, along
        As in `Mesh`.
    least : int
        Rows through the wall.
    """
    rows = -(-least // len(plies))
    radii, layers = [bore], []
    for n, t in enumerate(plies):
        for _ in range(rows):
            start = radii[-1]
            radii += [start + t / rows / 2, start + t / rows]
            layers.append(n)
    return Mesh(tuple(radii), tuple(layers), length, around, along)


def shell(radius: float, length: float, around: int, along: int) -> Mesh:
    """Shell elements at the middle of the wall."""
    return Mesh((radius,), (), length, around, along)
