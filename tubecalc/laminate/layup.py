"""The stack of plies that makes a wall, independent of diameter."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc.errors import InputError
from tubecalc.laminate.elastic import (
    Array,
    free_thermal_strain,
    reduced_stiffness,
    rotated_stiffness,
    stress_rotation,
)
from tubecalc.laminate.failure import Failure, first_failure
from tubecalc.laminate.layer import Layer, lettered, read_layers, strengths_of
from tubecalc.laminate.notation import read_plies, write_notation
from tubecalc.materials import Metal, Ply
from tubecalc.units import Q_, to_si

if TYPE_CHECKING:
    import pandas as pd


class Layup:
    """Stack of plies, inside to outside; x is the tube axis, y the hoop direction, z outward.

    Make one with `Layup.of`, `Layup.from_notation` or `Layup.from_construction`.

    Examples
    --------
    >>> wall = Layup.of([("carbon-sm-ud", 90, "0.15 mm"), ("carbon-sm-ud", 0, "0.6 mm")])
    >>> wall.notation, round(float(wall.thickness.to("mm").magnitude), 3)
    ('[90/0]', 0.75)
    """

    def __init__(
        self, layers: Sequence[Layer], *, construction: str = "", name: str = "", asked: float = 0.0
    ) -> None:
        if not layers:
            raise InputError("a wall needs at least one ply", where="layup", got="none")
        self.layers = tuple(layers)
        self.construction = construction
        self.name = name or construction or "own wall"
        self.asked = asked

    @classmethod
    def of(cls, plies: Sequence[tuple[str | Ply | Metal, float, Any]], *, name: str = "") -> Layup:
        """Stack from a list of (ply or key, angle in degrees, thickness), inside to outside.

        Parameters
        ----------
        plies : sequence of tuple
            Ply or metal (object or key), fibre angle from the tube axis [deg], thickness with
            unit; None takes the ply's own cured thickness.
        name : str, optional
            Name shown on screen.

        Returns
        -------
        Layup

        Raises
        ------
        InputError
            Naming the ply that cannot be used.
        """
        return cls(read_layers(plies), name=name)

    @classmethod
    def from_notation(
        cls,
        text: str,
        ply: str | Ply | Metal | Mapping[str, str | Ply | Metal],
        thickness: Any = None,
        *,
        name: str = "",
    ) -> Layup:
        """Stack from standard notation.

        Parameters
        ----------
        text : str
            For example "[90/0_3/90]", "[+/-45]_s" or, of two materials, "[45_f/0_3C]".
        ply : str, Ply or mapping
            Material of every ply; or the material of each letter in the text, "" of the rest.
        thickness : str, Quantity or mapping, optional
            Thickness of one ply, or of each letter's; the ply's own when not given.
        name : str, optional
            Name shown on screen.

        Returns
        -------
        Layup

        Raises
        ------
        InputError
            If the notation or the ply cannot be read.

        Examples
        --------
        >>> Layup.from_notation("[90/0_3/90]", "carbon-sm-ud", "0.125 mm").notation
        '[90/0_3/90]'
        """
        return cls.of(lettered(read_plies(text), ply, thickness), name=name)

    @classmethod
    def from_construction(cls, key: str, wall: Any) -> Layup:
        """Stack that a construction's rule makes of a wall thickness, in whole plies.

        Parameters
        ----------
        key : str
            Construction or metal key.
        wall : str or Quantity
            Wall thickness asked for; the real one is that of the whole plies.

        Returns
        -------
        Layup

        Raises
        ------
        InputError
            If the key is unknown or the wall is not a positive length.

        Examples
        --------
        >>> wall = Layup.from_construction("roll-wrapped-woven", "1 mm")
        >>> abs(wall.thickness.to("mm").magnitude - 1.0) < 0.15
        True
        """
        from tubecalc.laminate.construction import get_construction

        return get_construction(key).layup(to_si(wall, "length", what="wall", positive=True))

    # -- geometry -------------------------------------------------------------------------
    @cached_property
    def t(self) -> float:
        """Wall thickness [m]."""
        return math.fsum(layer.thickness * layer.count for layer in self.layers)

    @property
    def thickness(self) -> Any:
        """Wall thickness as a quantity."""
        return Q_(self.t, "m").to("mm")

    @property
    def notation(self) -> str:
        """Stacking sequence, inside to outside (materials are in `table`)."""
        return write_notation([layer.angle for layer in self.layers for _ in range(layer.count)])

    @cached_property
    def faces(self) -> Array:
        """Radial position of the ply faces from mid-wall, inside first, shape (n + 1,) [m]."""
        steps = [layer.thickness for layer in self.layers for _ in range(layer.count)]
        return np.concatenate([[0.0], np.cumsum(steps)]) - self.t / 2

    @cached_property
    def plies(self) -> tuple[Layer, ...]:
        """Every single ply, inside to outside."""
        return tuple(
            Layer(x.values, x.angle, x.thickness, 1, x.key)
            for x in self.layers
            for _ in range(x.count)
        )

    @property
    def table(self) -> pd.DataFrame:
        """The stack as a table: ply, material, angle_deg, thickness_mm, inside to outside."""
        import pandas as pd

        return pd.DataFrame(
            {
                "ply": range(1, len(self.plies) + 1),
                "material": [x.key or x.values.name for x in self.plies],
                "angle_deg": [x.angle for x in self.plies],
                "thickness_mm": [x.thickness * 1e3 for x in self.plies],
            }
        )

    # -- stiffness ------------------------------------------------------------------------
    @cached_property
    def qbar(self) -> Array:
        """Stiffness of every ply in wall axes, shape (n, 3, 3) [Pa]."""
        q = [
            reduced_stiffness(x.values.E1, x.values.E2, x.values.G12, x.values.nu12)
            for x in self.plies
        ]
        return rotated_stiffness(np.stack(q), np.radians([x.angle for x in self.plies]))

    @cached_property
    def abd(self) -> Array:
        """The 6 x 6 wall stiffness [[A, B], [B, D]] about mid-wall (N/m, N, N m)."""
        z = self.faces
        out = np.zeros((6, 6))
        for i, j, power in ((0, 0, 1), (0, 3, 2), (3, 0, 2), (3, 3, 3)):
            weight = (z[1:] ** power - z[:-1] ** power) / power
            out[i : i + 3, j : j + 3] = np.einsum("n,nij->ij", weight, self.qbar)
        return out

    @property
    def A(self) -> Any:
        """Membrane stiffness, 3 x 3 [N/m]. Source: Kaw 2006, eq. 4.28a."""
        return Q_(self.abd[:3, :3], "N/m")

    @property
    def B(self) -> Any:
        """Coupling stiffness about mid-wall, 3 x 3 [N]. Source: Kaw 2006, eq. 4.28b."""
        return Q_(self.abd[:3, 3:], "N")

    @property
    def D(self) -> Any:
        """Bending stiffness about mid-wall, 3 x 3 [N m]. Source: Kaw 2006, eq. 4.28c."""
        return Q_(self.abd[3:, 3:], "N*m")

    @cached_property
    def a(self) -> Array:
        """Membrane compliance of a wall that cannot curl, as in a closed tube [m/N]."""
        return np.asarray(np.linalg.inv(self.abd[:3, :3]))

    @property
    def Ex(self) -> Any:
        """Axial modulus, hoop-stress-free and twist-free [Pa]."""
        return Q_(1.0 / (self.a[0, 0] * self.t), "Pa").to("GPa")

    @property
    def Ey(self) -> Any:
        """Hoop modulus [Pa]."""
        return Q_(1.0 / (self.a[1, 1] * self.t), "Pa").to("GPa")

    @property
    def Gxy(self) -> Any:
        """Shear modulus of the wall [Pa]."""
        return Q_(1.0 / (self.a[2, 2] * self.t), "Pa").to("GPa")

    @property
    def nuxy(self) -> float:
        """Hoop contraction over axial stretch [-]."""
        return float(-self.a[0, 1] / self.a[0, 0])

    def thermal_resultant(self, delta_T: float) -> Array:
        """Forces and moments that a fully held wall would feel, shape (6,) (N/m, N).

        Parameters
        ----------
        delta_T : float
            Temperature change [K].

        Returns
        -------
        numpy.ndarray
            (Nx, Ny, Nxy, Mx, My, Mxy) of the free thermal strains.

        Notes
        -----
        Source: Kaw 2006, eq. 4.66.
        """
        z = self.faces
        alpha = free_thermal_strain(
            [x.values.alpha1 for x in self.plies],
            [x.values.alpha2 for x in self.plies],
            np.radians([x.angle for x in self.plies]),
        )
        flow = np.einsum("nij,nj->ni", self.qbar, alpha) * delta_T
        parts = [np.einsum("n,ni->i", (z[1:] ** p - z[:-1] ** p) / p, flow) for p in (1, 2)]
        return np.concatenate(parts)

    @cached_property
    def _alpha(self) -> Array:
        return np.asarray(self.a @ self.thermal_resultant(1.0)[:3])

    @property
    def alpha_x(self) -> Any:
        """Axial expansion of the wall in a closed tube [1/K]; NaN if a ply has none."""
        return Q_(float(self._alpha[0]), "1/K")

    @property
    def alpha_y(self) -> Any:
        """Hoop expansion of the wall in a closed tube [1/K]."""
        return Q_(float(self._alpha[1]), "1/K")

    @property
    def density(self) -> float:
        """Mean density over the thickness [kg/m3]."""
        return math.fsum(x.values.density * x.thickness for x in self.plies) / self.t

    # -- strain, stress, failure ----------------------------------------------------------
    def strains(self, loads: Any, *, curls: bool = True) -> Array:
        """Mid-wall strains and curvatures under wall forces and moments.

        Parameters
        ----------
        loads : array_like
            (Nx, Ny, Nxy, Mx, My, Mxy) [N/m and N].
        curls : bool
            True: a free flat strip (full ABD). False: a closed tube, which cannot curl, so
            membrane forces make no curvature.

        Returns
        -------
        numpy.ndarray
            (ex, ey, gxy, kx, ky, kxy).
        """
        n = np.asarray(loads, float)
        if curls:
            solution: Array = np.linalg.solve(self.abd, n)
            return solution
        return np.concatenate([self.a @ n[:3], np.linalg.solve(self.abd[3:, 3:], n[3:])])

    def ply_stresses(self, strains: Any, *, delta_T: float = 0.0) -> Array:
        """Ply-axis stresses on both faces of every ply, shape (n, 2, 3) [Pa].

        Parameters
        ----------
        strains : array_like
            Mid-wall strains and curvatures, shape (6,).
        delta_T : float
            Temperature change whose free strains are taken off [K].

        Returns
        -------
        numpy.ndarray
            (s1, s2, t12); face 0 is the inner one.
        """
        e = np.asarray(strains, float)
        z = np.stack([self.faces[:-1], self.faces[1:]], axis=-1)
        local = e[:3] + z[..., None] * e[3:]
        if delta_T:
            angles = np.radians([x.angle for x in self.plies])
            local = (
                local
                - delta_T
                * free_thermal_strain(
                    [x.values.alpha1 for x in self.plies],
                    [x.values.alpha2 for x in self.plies],
                    angles,
                )[:, None, :]
            )
        turn = stress_rotation(np.radians([x.angle for x in self.plies]))
        result: Array = np.einsum("nij,njk,nfk->nfi", turn, self.qbar, local)
        return result

    def first_failure(
        self,
        Nx: Any = 0.0,
        Ny: Any = 0.0,
        Nxy: Any = 0.0,
        Mx: Any = 0.0,
        My: Any = 0.0,
        Mxy: Any = 0.0,
        *,
        criterion: str = "tsai-wu",
        curls: bool = True,
    ) -> Failure:
        """Factor on a wall load at which the first ply fails, which ply, and how.

        Parameters
        ----------
        Nx, Ny, Nxy : str or Quantity, optional
            Wall forces per length ("100 N/mm").
        Mx, My, Mxy : str or Quantity, optional
            Wall moments per length ("10 N", that is N m per m).
        criterion : str
            "tsai-wu", "max-stress", "max-strain", "tsai-hill", "hashin",
            "puck" or "larc03".
        curls : bool
            See `strains`.

        Returns
        -------
        Failure
            load_factor, ply (1 is the innermost), angle, face, mode, criterion.

        Raises
        ------
        InputError
            If no load is given, or a ply has no strengths.

        Examples
        --------
        >>> wall = Layup.from_notation("[0]", "carbon-sm-ud", "1 mm")
        >>> found = wall.first_failure(Nx="1000 N/mm", criterion="max-stress")
        >>> found.mode, round(found.load_factor, 3)
        ('fibre tension', 2.17)
        """
        given = {"Nx": Nx, "Ny": Ny, "Nxy": Nxy, "Mx": Mx, "My": My, "Mxy": Mxy}
        return first_failure(self, given, criterion=criterion, curls=curls)

    def __repr__(self) -> str:
        return f"Layup({self.name!r}, {self.notation}, {self.t * 1e3:.4g} mm)"


__all__ = ["Failure", "Layer", "Layup", "strengths_of"]
