"""Input decks for the solver: wall, ends, loads, steps. Units N, mm, t, s."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tests.oracle.fe.mesh import Mesh
from tests.oracle.fe.walls import Wall, card, constants

AXIS = "0., 0., -1., 0., 0., 1."
Load = tuple[int, int, float]  # node, direction, value
Term = tuple[int, int, float]  # the same for a linear equation


def numbers(values: Iterable[float | int], per_line: int = 8) -> list[str]:
    """Numbers in lines the solver can read."""
    text = [f"{v:d}" if isinstance(v, int) else f"{v:.12g}" for v in values]
    return [
        ", ".join(text[n : n + per_line]) + ("," if n + per_line < len(text) else "")
        for n in range(0, len(text), per_line)
    ]


class Deck:
    """A deck under construction: the meshed wall first, then ends, then steps."""

    def __init__(self, wall: Wall, mesh: Mesh) -> None:
        self.wall, self.mesh = wall, mesh
        kind = "S8R" if mesh.is_shell else "C3D20R"
        self.lines = ["*NODE, NSET=ALL"]
        self.lines += [f"{n}, {x:.12g}, {y:.12g}, {z:.12g}"
                       for n, (x, y, z) in mesh.nodes().items()]  # fmt: skip
        self.free_node = max(mesh.nodes()) + 1
        number = 1
        for layer, cells in mesh.elements().items():
            self.lines.append(f"*ELEMENT, TYPE={kind}, ELSET=PLY{layer}")
            for cell in cells:
                self.lines += numbers([number, *cell], 10)
                number += 1
        self.lines += ["*ORIENTATION, NAME=TURN, SYSTEM=CYLINDRICAL", AXIS]
        self._materials()
        self._sections()

    def _materials(self) -> None:
        for n, (material, angle, _) in enumerate(self.wall.plies):
            self.lines += [f"*MATERIAL, NAME=M{n}", "*ELASTIC, TYPE=ANISO"]
            self.lines += numbers(card(material, angle, shell=self.mesh.is_shell))
            density = constants()[material]["density_g_cm3"] * 1e-9
            self.lines += ["*DENSITY", f"{density:.9g}"]

    def _sections(self) -> None:
        if self.mesh.is_shell:
            self.lines.append("*SHELL SECTION, ELSET=PLY0, COMPOSITE, ORIENTATION=TURN")
            self.lines += [f"{t:.12g},, M{n}, TURN" for n, (_, _, t) in enumerate(self.wall.plies)]
            return
        for n in range(len(self.wall.plies)):
            self.lines.append(f"*SOLID SECTION, ELSET=PLY{n}, MATERIAL=M{n}, ORIENTATION=TURN")

    # -- ends ------------------------------------------------------------------------------
    def new_node(self) -> int:
        """A node that belongs to no element: its displacement is a free unknown."""
        node, self.free_node = self.free_node, self.free_node + 1
        self.lines += ["*NODE", f"{node}, 0., 0., 0."]
        return node

    def node_set(self, name: str, nodes: Iterable[int]) -> None:
        self.lines += [f"*NSET, NSET={name}", *numbers(list(nodes))]

    def bore_face(self) -> None:
        """Name the bricks that line the bore FACE: the first row."""
        count = self.mesh.around * self.mesh.along
        self.lines += ["*ELSET, ELSET=FACE, GENERATE", f"1, {count}, 1"]

    def equation(self, terms: Sequence[Term]) -> None:
        """Linear equation, sum of coefficient x displacement = 0; the first term is eliminated."""
        kept = [x for x in terms if abs(x[2]) > 1e-12]
        self.lines += ["*EQUATION", f"{len(kept)}"]
        flat = [f"{n}, {d}, {c:.14g}" for n, d, c in kept]
        self.lines += [", ".join(flat[k : k + 4]) for k in range(0, len(flat), 4)]

    def hold(self, node: int | str, *directions: int) -> None:
        self.lines.append("*BOUNDARY")
        self.lines += [f"{node}, {d}, {d}" for d in directions]

    def polar(self, name: str) -> None:
        """Directions of a node set become radial, tangential, axial."""
        self.lines += [f"*TRANSFORM, NSET={name}, TYPE=C", AXIS]

    # -- steps -----------------------------------------------------------------------------
    def step(
        self,
        procedure: Sequence[str],
        *,
        forces: Iterable[Load] = (),
        pressure: tuple[str, float] | None = None,
        shown: Iterable[str] = (),
    ) -> None:
        """One step; loads of earlier steps are taken off.

        Parameters
        ----------
        procedure : sequence of str
            Lines that say what is solved: "*STATIC", or "*BUCKLE" with its number of modes.
        forces : iterable of (node, direction, value)
            Point loads.
        pressure : (face, value), optional
            Pressure on the element face of set FACE: "P6" is the bore.
        shown : iterable of str
            Node sets whose displacements are printed.
        """
        self.lines += ["*STEP", *procedure]
        self.lines += ["*CLOAD, OP=NEW", *(f"{n}, {d}, {v:.12g}" for n, d, v in forces if v)]
        self.lines.append("*DLOAD, OP=NEW")
        if pressure:
            self.lines.append(f"FACE, {pressure[0]}, {pressure[1]:.12g}")
        for name in shown:
            self.lines += [f"*NODE PRINT, NSET={name}", "U"]
        self.lines.append("*END STEP")

    def __str__(self) -> str:
        return "\n".join(self.lines) + "\n"
