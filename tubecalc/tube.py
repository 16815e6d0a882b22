"""Tube: geometry and wall, one or many at a time, with quantities in and out."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from tubecalc import shell
from tubecalc.checks import column, stiffness, vibration
from tubecalc.errors import InputError, unknown_key
from tubecalc.laminate.construction import Construction, get_construction
from tubecalc.laminate.layup import Layup
from tubecalc.loadpoint import NOSE, Patch
from tubecalc.loadpoint_table import over_axis
from tubecalc.loads import flexure
from tubecalc.materials import Metal, Ply
from tubecalc.need import ENDS, Case
from tubecalc.ring_layered import LayeredRing
from tubecalc.section import Sections
from tubecalc.tube_figures import Figures
from tubecalc.tube_sizes import walls_of
from tubecalc.unit_words import worded
from tubecalc.units import to_si, to_si_array
from tubecalc.wall import WallTable, unique_layups

if TYPE_CHECKING:
    import pandas as pd

CRITICAL = ("axial", "bending", "torsion+", "torsion-", "pressure", "column")


class Tube(Figures):
    """One tube, or N tubes of one construction when a size is an array.

    Parameters
    ----------
    wall_of : Layup, str, Construction, Metal or Ply
        An own stack, or a construction or metal key whose rule makes the wall.
    od : str or Quantity, optional
        Outside diameter ("10 mm"), one or many.
    wall : str or Quantity, optional
        Wall thickness; made of the nearest whole plies where the construction has plies.
    id : str or Quantity, optional
        Bore. With od it is a measured tube: the plies are stretched to fill the wall exactly.
        With wall the bore is kept and the outside follows from the whole plies.

    Raises
    ------
    InputError
        For a missing or contradictory size, a wall above half the outside diameter, an unknown
        key.

    Examples
    --------
    >>> tube = Tube("6063-T6", od="10 mm", wall="1 mm")
    >>> round(float(tube.area.to("mm^2").magnitude), 3)
    28.274
    """

    def __init__(
        self,
        wall_of: Layup | str | Construction | Metal | Ply,
        od: Any = None,
        wall: Any = None,
        id: Any = None,  # the trade's name for the bore
    ) -> None:
        given = {"od": od, "wall": wall, "id": id}
        sizes = {
            k: to_si_array(v, "length", what=k, positive=k != "id")
            for k, v in given.items()
            if v is not None
        }
        self.construction = get_construction(wall_of)
        own = wall_of if isinstance(wall_of, Layup) else None
        layups, ods = walls_of(self.construction, own, sizes)
        distinct, index = unique_layups(layups)
        self._array = any(np.ndim(getattr(v, "magnitude", 0)) or isinstance(v, list | tuple)
                          for v in given.values())  # fmt: skip
        self.layups = distinct
        self.sections = Sections(WallTable(distinct), index, ods)
        bad = self.sections.t > ods / 2 * (1 + 1e-9)
        if bad.any():
            n = int(np.argmax(bad))
            raise InputError(
                "the wall is thicker than the radius", where="tube:wall",
                got=worded("{} on {} OD", "length", float(self.sections.t[n]), float(ods[n])),
                expected=worded("at most {}", "length", float(ods[n]) / 2),
            )  # fmt: skip

    # -- behaviour -------------------------------------------------------------------------
    def deflection(
        self, kind: str, *, load: Any, span: Any, at: str = "axis", nose: Any = None
    ) -> Any:
        """Largest deflection under a bending load, shear included.

        Parameters
        ----------
        kind : str
            "three-point", "four-point" (third points), "uniform" (total load) or "cantilever".
        load, span : str or Quantity
            Load and span.
        at : str
            "axis"; or "nose", the travel of a loading nose in three-point bending, which is larger
            by the dents under the nose and over the two supports.
        nose : str or Quantity, optional
            Length of tube that the nose touches; 2 mm when not given. It embraces 30 degrees.

        Returns
        -------
        Quantity
            Deflection.

        Raises
        ------
        InputError
            For another kind or place.

        Notes
        -----
        Travel = beam + dent at the nose + dent at the supports, half as deep since each carries
        half the load. Against a general finite-element solver at R/t 4.5 within 1.1 % of the
        travel at spans of 10 and 30 diameters. See `tubecalc.loadpoint`.

        Examples
        --------
        >>> tube = Tube("304", od="10 mm", id="8 mm")
        >>> round(float(tube.deflection("three-point", load="1 N", span="300 mm").to("um").m), 2)
        9.77
        """
        if at not in ("axis", "nose"):
            raise unknown_key("place", at, ["axis", "nose"], "deflection:at")
        if at == "nose" and kind != "three-point":
            raise InputError(
                "the travel of a nose is worked out for three-point bending only",
                where="deflection:kind", got=kind, expected='"three-point", or at="axis"',
            )  # fmt: skip
        if nose is not None and at != "nose":
            raise InputError(
                'the length of a nose counts only with at="nose"', where="deflection:nose"
            )
        case = Case(
            kind,
            load=to_si(load, "force", what="load"),
            span=to_si(span, "length", what="span", positive=True),
        )
        f = flexure(case)
        if f is None:
            known = ["three-point", "four-point", "uniform", "cantilever"]
            raise unknown_key("kind of bending", kind, known, "deflection:kind")
        s = self.sections
        out = stiffness.deflection(s, f)
        if at == "nose":
            length = NOSE.length if nose is None else to_si(nose, "length", what="nose")
            more = over_axis(s, case.span, Patch(length, NOSE.angle))
            out = out + abs(case.load) * (more.nose + more.support)
        return self._out(out, "m", "mm")

    def twist(self, *, torque: Any, length: Any) -> Any:
        """Angle of twist over a length, T L / GJ.

        Parameters
        ----------
        torque, length : str or Quantity
            Torque and length.

        Returns
        -------
        Quantity
            Angle.

        Examples
        --------
        >>> tube = Tube("304", od="10 mm", id="8 mm")
        >>> round(float(tube.twist(torque="5 N m", length="155 mm").to("deg").m), 2)
        1.0
        """
        t = to_si(torque, "torque", what="torque")
        length_m = to_si(length, "length", what="length", positive=True)
        return self._out(t * length_m / self.sections.GJ, "rad", "deg")

    def pinch(self, *, per_length: Any) -> Any:
        """Loss of diameter under two opposite line loads along the tube.

        Parameters
        ----------
        per_length : str or Quantity
            Line load ("10 N/mm").

        Returns
        -------
        Quantity
            Change of diameter along the load, at mid-wall; see `tubecalc.ring_layered`.

        Raises
        ------
        InputError
            If a tube has no bore.
        """
        load = to_si(per_length, "line_load", what="per_length")
        s = self.sections
        size = [
            (k, float(r)) for k, r in zip(np.broadcast_to(s.index, s.R.shape), s.R, strict=True)
        ]
        ring = {x: LayeredRing(self.layups[x[0]], x[1]) for x in dict.fromkeys(size)}
        motion = np.array([ring[x].motion(x[1], 0.0) for x in size])
        return self._out(-2.0 * load * motion, "m", "mm")

    def frequency(
        self, *, length: Any, ends: str = "pinned-pinned", tip_mass: Any = None, mode: int = 1
    ) -> Any:
        """Natural frequency in bending.

        Parameters
        ----------
        length : str or Quantity
            Span.
        ends : str
            "pinned-pinned", "fixed-free" (also "cantilever"), "fixed-fixed", "fixed-pinned" or
            "free-free".
        tip_mass : str or Quantity, optional
            Mass on the free tip.
        mode : int
            1 to 5.

        Returns
        -------
        Quantity
            Frequency; see `tubecalc.checks.vibration.frequency`.
        """
        span = to_si(length, "length", what="length", positive=True)
        mass = 0.0 if tip_mass is None else to_si(tip_mass, "mass", what="tip_mass")
        if mass < 0:
            raise InputError("is negative; it must be zero or more", where="frequency:tip_mass")
        ends = "fixed-free" if ends == "cantilever" else ends
        return self._out(vibration.frequency(self.sections, span, ends, mass, mode), "Hz")

    def critical_speed(
        self,
        *,
        length: Any,
        ends: str = "pinned-pinned",
        overhang: Any = None,
        coupling_mass: Any = None,
    ) -> Any:
        """First speed at which a shaft whirls in step with its rotation, no margin inside.

        Parameters
        ----------
        length : str or Quantity
            Span between bearings.
        ends : str
            What the bearings hold, as in `frequency`.
        overhang : str or Quantity, optional
            Length beyond the second bearing.
        coupling_mass : str or Quantity, optional
            Mass on the free end of the overhang; over the bearing it has no effect.

        Returns
        -------
        Quantity
            Speed of rotation; see `tubecalc.checks.vibration.critical_speed`.

        Raises
        ------
        InputError
            For unknown ends, or a negative overhang or mass.

        Examples
        --------
        >>> shaft = Tube("304", od="40 mm", wall="2 mm")
        >>> round(float(shaft.critical_speed(length="1.5 m").magnitude), -1)
        2830.0
        >>> held = shaft.critical_speed(length="1.5 m", overhang="0.3 m", coupling_mass="2 kg")
        >>> round(float(held.magnitude), -1)
        2060.0
        """
        span = to_si(length, "length", what="length", positive=True)
        beyond = 0.0 if overhang is None else to_si(overhang, "length", what="overhang")
        mass = 0.0 if coupling_mass is None else to_si(coupling_mass, "mass", what="coupling_mass")
        for name, value in (("overhang", beyond), ("coupling_mass", mass)):
            if value < 0:
                raise InputError(
                    "is negative; it must be zero or more", where=f"critical_speed:{name}"
                )
        found = vibration.critical_speed(self.sections, span, ends, beyond, mass)
        return self._out(found * 60, "rpm")

    def critical(
        self, kind: str, *, length: Any = None, ends: str | float = "pinned-pinned"
    ) -> Any:
        """Buckling load of the perfect tube, before any knock-down.

        Parameters
        ----------
        kind : str
            "axial", "bending", "torsion+", "torsion-", "pressure" or "column".
        length : str or Quantity, optional
            Between simply supported ends. Needed for "column"; the others are those of a long tube
            without it.
        ends : str or float
            End condition or effective length factor of a column.

        Returns
        -------
        Quantity
            N, N m or MPa; see `tubecalc.shell` and `tubecalc.checks.column`.

        Raises
        ------
        InputError
            For an unknown kind or a column without length.

        Notes
        -----
        "axial" is the least of all shapes of the wall, n = 0, 2, 3 ... waves round, and with a
        length also of the bow of the whole tube as a shell (n = 1). "bending" is 0.9 of the lower
        of wrinkling and flattening. "torsion+" and "torsion-" differ where plies at + and - angles
        are not alike. "pressure" acts outside and follows the wall.

        Examples
        --------
        >>> tube = Tube("304", od="60 mm", wall="1.5 mm")
        >>> loads = (tube.critical("axial", length=x).to("MN") for x in ("120 mm", "0.5 m"))
        >>> [round(float(load.m), 2) for load in loads]
        [1.43, 0.86]
        """
        s = self.sections
        if kind == "column":
            if length is None:
                raise InputError("a column needs its length", where="critical:length")
            if isinstance(ends, str) and ends not in ENDS:
                raise unknown_key("end condition", ends, list(ENDS), "critical:ends")
            factor = ENDS[ends] if isinstance(ends, str) else ends
            if not isinstance(factor, int | float) or not 0 < factor < math.inf:
                raise InputError(
                    "is not an effective length factor", where="critical:ends", got=str(ends),
                    expected="a number above zero",
                )  # fmt: skip
            span = to_si(length, "length", what="length", positive=True)
            return self._out(column.critical_load(s, span, ends), "N")
        if kind not in CRITICAL:
            raise unknown_key("kind of buckling", kind, list(CRITICAL), "critical:kind")
        span = math.nan if length is None else to_si(length, "length", what="length", positive=True)
        if kind == "bending":
            return self._out(shell.critical_bending(s, span), "N*m")
        found = shell.perfect(s, kind, span).load
        unit, shown = {"axial": ("N", None), "pressure": ("Pa", "MPa")}.get(kind, ("N*m", None))
        return self._out(found, unit, shown)

    def ply_stress(
        self,
        *,
        axial: Any = None,
        moment: Any = None,
        torque: Any = None,
        shear: Any = None,
        p_in: Any = None,
        p_out: Any = None,
        ends: str = "open",
        delta_T: Any = None,
    ) -> pd.DataFrame:
        """Ply-axis stresses through the wall of one tube.

        Parameters
        ----------
        axial, moment, torque, shear : str or Quantity, optional
            Section loads.
        p_in, p_out : str or Quantity, optional
            Pressure inside and outside.
        ends : str
            "open", or "closed" when the pressure also pulls on the ends.
        delta_T : str or Quantity, optional
            Temperature change, even through the wall, from the stress-free state.

        Returns
        -------
        pandas.DataFrame
            ply, material, angle, face, station ("all round", or "tension side", "compression
            side", "side", "other side" when it bends or shears),
            sigma1_MPa, sigma2_MPa, tau12_MPa.

        Raises
        ------
        InputError
            For several tubes at once, or no load.

        Examples
        --------
        >>> table = Tube("304", od="10 mm", id="8 mm").ply_stress(axial="1 kN")
        >>> table["sigma1_MPa"].round(2).unique().tolist()
        [35.37]
        """
        from tubecalc.plystress import ply_stress_table, read_loads

        single(self, "ply_stress")
        given = {
            "axial": axial, "moment": moment, "torque": torque, "shear": shear,
            "p_in": p_in, "p_out": p_out, "delta_T": delta_T,
        }  # fmt: skip
        return ply_stress_table(self, read_loads(given, ends))

    def __repr__(self) -> str:
        s = self.sections
        many = f" and {len(self) - 1} more" if len(self) > 1 else ""
        return (
            f"Tube({self.construction.name!r}, {2e3 * s.ro[0]:.4g} x {2e3 * s.ri[0]:.4g} mm{many})"
        )


def single(tube: Tube, where: str) -> None:
    """Refuse several tubes where one is meant."""
    if len(tube) != 1:
        raise InputError(
            "takes one tube", where=where, got=f"{len(tube)} tubes", expected="a Tube of one size"
        )


__all__ = ["CRITICAL", "Tube", "single"]
